//! What is said about a file and what comes of it.

use heartside_timber::diagnostic::Diagnostic;
use heartside_timber::document::Board;

use super::meaning::Meaning;

/// What a drawing is measured in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FileUnit {
    /// Millimetres.
    Millimetres,
    /// Centimetres.
    Centimetres,
    /// Metres.
    Metres,
    /// Inches.
    Inches,
    /// Feet.
    Feet,
    /// The 96th part of an inch, as a page of the web counts.
    Pixels,
}

impl FileUnit {
    /// All of them: the word to hand over and what a person reads.
    pub const ALL: [(&'static str, &'static str, FileUnit); 6] = [
        ("mm", "millimetres", FileUnit::Millimetres),
        ("cm", "centimetres", FileUnit::Centimetres),
        ("m", "metres", FileUnit::Metres),
        ("in", "inches", FileUnit::Inches),
        ("ft", "feet", FileUnit::Feet),
        ("px", "pixels, 96 to the inch", FileUnit::Pixels),
    ];

    /// The unit that one of the words of [`FileUnit::ALL`] stands for.
    pub fn of_word(word: &str) -> Option<FileUnit> {
        let known = FileUnit::ALL.iter().find(|(known, _, _)| *known == word);
        known.map(|(_, _, unit)| *unit)
    }

    /// The word that stands for it.
    pub fn word(self) -> &'static str {
        Self::ALL[self as usize].0
    }

    /// Millimetres in one of it.
    pub fn millimetres(self) -> f64 {
        match self {
            FileUnit::Millimetres => 1.0,
            FileUnit::Centimetres => 10.0,
            FileUnit::Metres => 1000.0,
            FileUnit::Inches => 25.4,
            FileUnit::Feet => 304.8,
            FileUnit::Pixels => 25.4 / 96.0,
        }
    }
}

/// What a person said about a file.
#[derive(Debug, Clone, Default)]
pub struct Said {
    /// Its unit; it wins over what the file says.
    pub unit: Option<FileUnit>,
    /// What names in it mean, each as it is written there; they win over the usual words.
    pub meanings: Vec<(String, Meaning)>,
}

/// What came of reading a file.
#[derive(Debug, Clone, PartialEq)]
pub enum Read {
    /// Boards, and what could not be used.
    Boards(Proposals),
    /// The file does not say its unit: read it again with [`Said::unit`].
    AskUnit {
        /// How far everything drawn reaches across and up, in the file's own numbers.
        extent: [f64; 2],
    },
}

/// Boards as a file shows them; none of them is in the job yet.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Proposals {
    /// A board for every outline. The thickness is open: drawings do not show it.
    pub boards: Vec<Board>,
    /// What could not be used, and where.
    pub diagnostics: Vec<Diagnostic>,
    /// The names of layers, ids and groups, and what they were taken for: the first thousand.
    pub names: Vec<Named>,
}

/// A name in a drawing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Named {
    /// As it is written there.
    pub name: String,
    /// What it was taken for; nothing where the shapes' place told.
    pub meaning: Option<Meaning>,
    /// How many shapes have it.
    pub shapes: usize,
}
