//! Files as they are written: names that no file system and no other file refuses, and what is told of them.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use heartside_drawing::safe_file_name;

use crate::failure::Failure;
use crate::folder;

/// How the names of files begin, whatever they hold, and how they end.
const STEMS: [(&str, &str); 8] = [
    ("board-", ".dxf"),
    ("part-", ".dxf"),
    ("list-", ".csv"),
    ("board-", ".svg"),
    ("all-", ".svg"),
    ("sheet-", ".svg"),
    ("label-", ".svg"),
    ("template-", ".svg"),
];

/// More names than this are told by the first and the last.
const MOST_TOLD: usize = 6;

/// The files of a run.
pub(super) struct Files<'a> {
    folder: &'a Path,
    /// Names in small letters: some systems do not tell capitals apart.
    taken: BTreeSet<String>,
    /// Names since [`Files::begin`].
    named: Vec<String>,
    /// What is written at the end, so that where one kind is refused nothing is written.
    waiting: Vec<(String, String)>,
    /// How the names of this run's files begin and end.
    stems: BTreeSet<(&'static str, &'static str)>,
}

impl<'a> Files<'a> {
    /// None yet.
    pub(super) fn new(folder: &'a Path) -> Files<'a> {
        Files {
            folder,
            taken: BTreeSet::new(),
            named: Vec::new(),
            waiting: Vec::new(),
            stems: BTreeSet::new(),
        }
    }

    /// Counts anew.
    pub(super) fn begin(&mut self) {
        self.named.clear();
    }

    /// Takes a file: what it is, which one, and how its name ends. A name that is taken gets a number.
    pub(super) fn add(&mut self, what: &str, which: &str, ending: &str, text: String) {
        let stem = format!("{what}-{}", safe_file_name(which));
        let mut name = format!("{stem}.{ending}");
        let mut count = 2;
        while !self.taken.insert(name.to_lowercase()) {
            name = format!("{stem}.{count}.{ending}");
            count += 1;
        }
        let known = STEMS.into_iter().find(|s| is_of(s, &name));
        self.stems.extend(known);
        self.named.push(name.clone());
        self.waiting.push((name, text));
    }

    /// Writes all that it was given.
    pub(super) fn write(&mut self) -> Result<(), Failure> {
        let folder = self.folder;
        std::fs::create_dir_all(folder).map_err(|cause| Failure::writing(folder, cause))?;
        for (name, text) in self.waiting.drain(..) {
            folder::write(&folder.join(name), &text)?;
        }
        Ok(())
    }

    /// "3 files, a.csv, b.csv, c.csv".
    pub(super) fn told(&self) -> String {
        match self.named.as_slice() {
            [] => "none".into(),
            [one] => one.clone(),
            [first, .., last] if self.named.len() > MOST_TOLD => {
                format!("{} files, {first} to {last}", self.named.len())
            }
            all => format!("{} files, {}", all.len(), all.join(", ")),
        }
    }

    /// Files in the folder that are called like those of this run and are none of them.
    pub(super) fn left(&self) -> Result<Vec<PathBuf>, Failure> {
        let reading = |cause| Failure::reading(self.folder, cause);
        let mut left = Vec::new();
        for entry in std::fs::read_dir(self.folder).map_err(reading)? {
            let name = entry.map_err(reading)?.file_name();
            let Some(name) = name.to_str() else { continue };
            let is_alike = self.stems.iter().any(|stem| is_of(stem, name));
            if is_alike && !self.taken.contains(&name.to_lowercase()) {
                left.push(self.folder.join(name));
            }
        }
        left.sort();
        Ok(left)
    }
}

fn is_of((begins, ends): &(&str, &str), name: &str) -> bool {
    name.starts_with(begins) && name.ends_with(ends)
}
