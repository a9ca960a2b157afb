//! Files as they are written, and what is told of them.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use heartside_app::files_out::{FileNames, NamedFile};

use crate::failure::Failure;
use crate::folder::{self, sealed};
use crate::photos::Photos;

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

/// Names of PDF files, which are always the same: pages, labels, templates.
pub(super) const PDF_FILES: [&str; 3] = ["sheets.pdf", "labels.pdf", "templates.pdf"];

/// More names than this are told by the first and the last.
const MOST_TOLD: usize = 6;

/// A file as it is written.
pub(super) struct Written {
    pub(super) name: String,
    pub(super) contents: Vec<u8>,
}

impl Written {
    /// A text as it is; pictures get their photographs and a seal.
    pub(super) fn of(file: NamedFile, photos: &Photos) -> Written {
        let contents = if file.name.ends_with(".svg") {
            sealed(&photos.inlined(&file.text))
        } else {
            file.text
        };
        Written {
            name: file.name,
            contents: contents.into_bytes(),
        }
    }
}

/// The files of a run.
pub(super) struct Files<'a> {
    folder: &'a Path,
    /// All names so far.
    pub(super) names: FileNames,
    /// What is written at the end, so that where one kind is refused nothing is written.
    waiting: Vec<Written>,
    /// Those of [`PDF_FILES`] that were written.
    fixed: BTreeSet<String>,
    /// How the names of this run's files begin and end.
    stems: BTreeSet<(&'static str, &'static str)>,
}

impl<'a> Files<'a> {
    /// None yet.
    pub(super) fn new(folder: &'a Path) -> Files<'a> {
        Files {
            folder,
            names: FileNames::default(),
            waiting: Vec::new(),
            fixed: BTreeSet::new(),
            stems: BTreeSet::new(),
        }
    }

    /// Takes the files of a kind.
    pub(super) fn add(&mut self, made: Vec<Written>) {
        for file in made {
            let known = STEMS.into_iter().find(|stem| is_of(stem, &file.name));
            self.stems.extend(known);
            if file.name.ends_with(".pdf") {
                self.stems.extend(PDF_FILES.map(|name| (name, "")));
                self.fixed.insert(file.name.clone());
            }
            self.waiting.push(file);
        }
    }

    /// Writes all that it was given.
    pub(super) fn write(&mut self) -> Result<(), Failure> {
        let folder = self.folder;
        std::fs::create_dir_all(folder).map_err(|cause| Failure::writing(folder, cause))?;
        for file in self.waiting.drain(..) {
            folder::write(&folder.join(file.name), &file.contents)?;
        }
        Ok(())
    }

    /// Files in the folder that are called like those of this run and are none of them.
    pub(super) fn left(&self) -> Result<Vec<PathBuf>, Failure> {
        let reading = |cause| Failure::reading(self.folder, cause);
        let mut left = Vec::new();
        for entry in std::fs::read_dir(self.folder).map_err(reading)? {
            let name = entry.map_err(reading)?.file_name();
            let Some(name) = name.to_str() else { continue };
            let is_alike = self.stems.iter().any(|stem| is_of(stem, name));
            if is_alike && !self.names.has(name) && !self.fixed.contains(name) {
                left.push(self.folder.join(name));
            }
        }
        left.sort();
        Ok(left)
    }
}

/// "3 files, a.csv, b.csv, c.csv".
pub(super) fn told(files: &[Written]) -> String {
    match files {
        [] => "none".into(),
        [one] => one.name.clone(),
        [first, .., last] if files.len() > MOST_TOLD => {
            format!("{} files, {} to {}", files.len(), first.name, last.name)
        }
        all => {
            let names: Vec<&str> = all.iter().map(|file| file.name.as_str()).collect();
            format!("{} files, {}", all.len(), names.join(", "))
        }
    }
}

fn is_of((begins, ends): &(&str, &str), name: &str) -> bool {
    name.starts_with(begins) && name.ends_with(ends)
}
