//! What went wrong, and how to mend it.

use std::fmt;
use std::path::Path;

/// Result of anything that can go wrong here.
pub(crate) type Outcome<T> = Result<T, Fault>;

/// A failure in words, with the mend where one is known.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Fault {
    what: String,
    mend: Option<String>,
}

impl Fault {
    /// A failure that explains itself.
    pub(crate) fn new(what: impl Into<String>) -> Self {
        Self {
            what: what.into(),
            mend: None,
        }
    }

    /// Adds what to do about it, best as a command that can be pasted.
    pub(crate) fn mended_by(mut self, mend: impl Into<String>) -> Self {
        self.mend = Some(mend.into());
        self
    }

    /// A file that could not be read, written or made.
    pub(crate) fn about_file(doing: &str, path: &Path, error: &std::io::Error) -> Self {
        Self::new(format!("cannot {doing} {}: {error}", path.display()))
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "error: {}", self.what)?;
        if let Some(mend) = &self.mend {
            write!(out, "\n  mend: {}", mend.replace('\n', "\n        "))?;
        }
        Ok(())
    }
}

/// Reads a text file.
pub(crate) fn read_text(path: &Path) -> Outcome<String> {
    std::fs::read_to_string(path).map_err(|error| Fault::about_file("read", path, &error))
}

/// Reads a file of bytes.
pub(crate) fn read_bytes(path: &Path) -> Outcome<Vec<u8>> {
    std::fs::read(path).map_err(|error| Fault::about_file("read", path, &error))
}

/// Writes a file, making its folder, and leaves an equal file untouched.
pub(crate) fn write_file(path: &Path, content: impl AsRef<[u8]>) -> Outcome<()> {
    if std::fs::read(path).is_ok_and(|old| old == content.as_ref()) {
        return Ok(());
    }
    if let Some(folder) = path.parent() {
        std::fs::create_dir_all(folder)
            .map_err(|error| Fault::about_file("make", folder, &error))?;
    }
    std::fs::write(path, content).map_err(|error| Fault::about_file("write", path, &error))
}
