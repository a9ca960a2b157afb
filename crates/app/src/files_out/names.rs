//! Names that no file system and no other file refuses.

use heartside_drawing::safe_file_name;
use heartside_geometry::SortedSet;

/// A text and the name that it is written under.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NamedFile {
    /// In safe letters, with its ending.
    pub name: String,
    /// The whole file.
    pub text: String,
}

/// The names of files that lie in one folder.
#[derive(Debug, Clone, Default)]
pub struct FileNames {
    /// In small letters: some systems do not tell capitals apart.
    taken: SortedSet<String>,
}

impl FileNames {
    /// A name for a file: what it is, which one, and how the name ends. One that is taken gets a number.
    pub fn take(&mut self, what: &str, which: &str, ending: &str) -> String {
        let stem = format!("{what}-{}", safe_file_name(which));
        let mut name = format!("{stem}.{ending}");
        let mut count = 2;
        while !self.taken.insert(name.to_lowercase()) {
            name = format!("{stem}.{count}.{ending}");
            count += 1;
        }
        name
    }

    /// Whether a file is called so, capitals or not.
    pub fn has(&self, name: &str) -> bool {
        self.taken.contains(&name.to_lowercase())
    }
}
