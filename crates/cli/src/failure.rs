//! What makes a run end before it has an answer, and how it is told.
#![allow(clippy::print_stderr)]

use std::io;
use std::path::{Path, PathBuf};

use heartside_timber::diagnostic::{Diagnostic, Level, Subject};
use heartside_timber::prepare::LeftOut;

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
            eprintln!("{}", printable(&format!("heartside: {self}")));
        }
    }
}

/// Prints what is wrong with a job, most serious first, to the error stream.
pub(crate) fn tell_diagnostics(diagnostics: &[Diagnostic], left_out: &[LeftOut]) {
    for level in [Level::Error, Level::Warning] {
        for diagnostic in diagnostics.iter().filter(|d| d.level == level) {
            eprintln!("{}", printable(&diagnostic_text(diagnostic, left_out)));
        }
    }
}

/// Prints what opening a file had to say, notes as well: what an older file means now is told
/// here or nowhere.
pub(crate) fn tell_opening(diagnostics: &[Diagnostic]) {
    tell_diagnostics(diagnostics, &[]);
    for note in diagnostics.iter().filter(|d| d.level == Level::Note) {
        eprintln!("{}", printable(&diagnostic_text(note, &[])));
    }
}

/// Prints what is in a file and was not used.
pub(crate) fn tell_passed_over(path: &Path, names: &[String]) {
    for name in names {
        let told = format!("passed over in {}: {name}", path.display());
        eprintln!("{}", printable(&told));
    }
}

/// A diagnostic on two or three lines. One that leaves a board or part out says so: nobody
/// may take it for a flaw that was merely passed over.
pub(crate) fn diagnostic_text(diagnostic: &Diagnostic, left_out: &[LeftOut]) -> String {
    let place = &diagnostic.place;
    let whole = left_out
        .iter()
        .find(|l| l.subject == place.subject && Some(l.row) == place.row);
    let head = match (diagnostic.level, whole) {
        (Level::Error, Some(thing)) => {
            let heading = thing_words(thing.subject, &thing.id, &thing.name);
            format!("{heading} is left out")
        }
        (Level::Error, None) => "left out".to_owned(),
        (Level::Warning, _) => "note well".to_owned(),
        (Level::Note, _) => "note".to_owned(),
    };
    let mut place_words: Vec<String> = Vec::new();
    let (id, name) = (place.id.as_deref(), place.name.as_deref());
    if whole.is_none() && (id.is_some() || name.is_some()) {
        let either = name.or(id).unwrap_or_default();
        place_words.push(thing_words(place.subject, id.unwrap_or(either), either));
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

/// "board A (Wide plank)", "part Tread": a board by its mark, since two may have one name.
pub(crate) fn thing_words(subject: Subject, id: &str, name: &str) -> String {
    match subject {
        Subject::Board if !id.is_empty() && id != name => format!("board {id} ({name})"),
        Subject::Board => format!("board {name}"),
        Subject::Part => format!("part {name}"),
        _ => name.to_owned(),
    }
}

/// Text as it may go to a terminal: what would move the cursor, ring or turn the direction of
/// reading stands there as a visible escape. Line ends stay.
pub(crate) fn printable(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for c in text.chars() {
        let turns_reading = matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{200e}' | '\u{200f}');
        if c != '\n' && (c.is_control() || turns_reading) {
            safe.extend(c.escape_default());
        } else {
            safe.push(c);
        }
    }
    safe
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_that_is_printed_moves_the_cursor() {
        assert_eq!(
            printable("Desk\u{0}\u{1b}[2J\u{9b}\r \u{202e}x\n\tÄ 1/2″"),
            "Desk\\u{0}\\u{1b}[2J\\u{9b}\\r \\u{202e}x\n\\tÄ 1/2″"
        );
    }
}
