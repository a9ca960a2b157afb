//! What makes a run end before it has an answer, and how it is told.
#![allow(clippy::print_stderr)]

use std::io;
use std::path::{Path, PathBuf};

use heartside_timber::diagnostic::{Diagnostic, Level};

/// A run that could not be made.
#[derive(Debug, thiserror::Error)]
pub(crate) enum Failure {
    /// A file or folder could not be read or written.
    #[error("{what} {path}: {cause}", path = path.display())]
    File {
        /// "cannot read".
        what: &'static str,
        /// Which.
        path: PathBuf,
        /// Why.
        cause: io::Error,
    },
    /// A file is not what it should be.
    #[error("{path}: {message}", path = path.display())]
    Unreadable {
        /// Which.
        path: PathBuf,
        /// Why, and how to mend it.
        message: String,
    },
    /// An option that makes no sense.
    #[error("{0}")]
    Option(String),
    /// Results could not be written out.
    #[error("cannot write the results: {0}")]
    Output(#[from] io::Error),
}

impl Failure {
    /// For a path that could not be read.
    pub(crate) fn reading(path: &Path, cause: io::Error) -> Failure {
        Failure::File {
            what: "cannot read",
            path: path.to_owned(),
            cause,
        }
    }

    /// For a path that could not be written.
    pub(crate) fn writing(path: &Path, cause: io::Error) -> Failure {
        Failure::File {
            what: "cannot write",
            path: path.to_owned(),
            cause,
        }
    }

    /// Prints it; a pipe that was closed is no news.
    pub(crate) fn tell(&self) {
        if !matches!(self, Failure::Output(cause) if cause.kind() == io::ErrorKind::BrokenPipe) {
            eprintln!("heartside: {self}");
        }
    }
}

/// Prints what is wrong with a job, most serious first, to the error stream.
pub(crate) fn tell_diagnostics(diagnostics: &[Diagnostic]) {
    for level in [Level::Error, Level::Warning] {
        for diagnostic in diagnostics.iter().filter(|d| d.level == level) {
            eprintln!("{}", diagnostic_text(diagnostic));
        }
    }
}

/// A diagnostic on two or three lines.
pub(crate) fn diagnostic_text(diagnostic: &Diagnostic) -> String {
    let head = match diagnostic.level {
        Level::Error => "left out",
        Level::Warning => "note well",
        Level::Note => "note",
    };
    let place = &diagnostic.place;
    let mut place_words: Vec<String> = Vec::new();
    if let Some(name) = place.name.as_ref().or(place.id.as_ref()) {
        place_words.push(name.clone());
    }
    if let Some(field) = &place.field {
        place_words.push(field.clone());
    }
    if let Some(line) = place.line {
        place_words.push(format!("line {line}"));
    }
    let at = if place_words.is_empty() {
        String::new()
    } else {
        format!("\n   at: {}", place_words.join(", "))
    };
    let mend = diagnostic
        .hint
        .as_ref()
        .map_or_else(String::new, |hint| format!("\n   mend: {hint}"));
    format!("{head}: {}{at}{mend}", diagnostic.message)
}
