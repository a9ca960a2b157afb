//! What is wrong with a job as typed: what, where, and how to mend it.

use serde::{Deserialize, Serialize};

use crate::document::form::word_enum;

word_enum! {
    /// How serious a diagnostic is.
    pub enum Level {
        /// The thing named cannot be used until it is mended.
        #[default]
        Error,
        /// It is used, but probably not as meant.
        Warning,
        /// For information.
        Note,
    }
}

word_enum! {
    /// The kind of thing a place names.
    pub enum Subject {
        /// The job as a whole.
        #[default]
        Job,
        /// A board.
        Board,
        /// A part.
        Part,
        /// A tool or other setting of the workshop.
        Workshop,
        /// A named dimension.
        Dimension,
        /// A match, panel or pin.
        Relation,
        /// A kept plan.
        Plan,
        /// A cut that was made.
        Cut,
        /// A file being read.
        File,
    }
}

/// Where a problem is.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Place {
    /// The kind of thing.
    pub subject: Subject,
    /// Its id where it has one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub id: Option<String>,
    /// Its name or another label a person knows it by.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// Its place in the list, from 0.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub row: Option<usize>,
    /// The field, as a path such as `outline.stations[2].left`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub field: Option<String>,
    /// Line of a file, from 1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub line: Option<usize>,
    /// Column of a file, from 1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub column: Option<usize>,
}

/// One problem.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Diagnostic {
    /// Stable name of the problem, such as `length-unreadable`.
    pub code: String,
    /// How serious.
    pub level: Level,
    /// What is wrong, as a sentence.
    pub message: String,
    /// Where.
    pub place: Place,
    /// How to mend it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hint: Option<String>,
}
