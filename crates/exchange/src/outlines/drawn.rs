//! What a reader makes of a file: lines of sides with their names, and what it could not use.

use heartside_geometry::Point;
use heartside_timber::diagnostic::{Diagnostic, Level, Place, Subject};
use heartside_timber::words::shortened;

use super::curve::{Affine, Curve};
use super::meaning::Meaning;

/// More lines and curves than this are refused, however often blocks repeat them.
pub(super) const MOST_CURVES: usize = 400_000;
/// Kinds of things that are told apart where they cannot be used.
const MOST_KINDS: usize = 100;
/// How deep groups and blocks may lie in each other.
pub(super) const MOST_DEPTH: usize = 64;

/// Ends so near each other meet: what a drawing with three decimals of an inch leaves open.
pub(super) const MEETS: f64 = 0.05;

/// A line of sides, end to end, in the file's unit.
#[derive(Debug, Clone)]
pub(super) struct Chain {
    /// Never empty.
    pub(super) curves: Vec<Curve>,
    pub(super) closed: bool,
    /// What it is called: its own names first, then those of the groups round it.
    pub(super) names: Vec<String>,
    /// What it means, as far as its names say; nothing before they are gone through.
    pub(super) meaning: Option<Meaning>,
    /// The layer or group it lies in: only lines of one are joined end to end.
    pub(super) within: String,
    /// Where it stands in the file, from 1.
    pub(super) line: usize,
}

impl Chain {
    pub(super) fn start(&self) -> Point {
        self.curves[0].start()
    }

    pub(super) fn end(&self) -> Point {
        self.curves[self.curves.len() - 1].end()
    }

    /// Whether its ends meet.
    pub(super) fn comes_round(&self) -> bool {
        self.curves.len() > 1 && self.start().distance(self.end()) <= MEETS
    }

    pub(super) fn reverse(&mut self) {
        self.curves.reverse();
        for curve in &mut self.curves {
            curve.reverse();
        }
    }

    pub(super) fn map(&mut self, by: &Affine) {
        for curve in &mut self.curves {
            curve.map(by);
        }
    }
}

/// What a file shows, y up.
#[derive(Debug, Default)]
pub(super) struct Drawing {
    pub(super) chains: Vec<Chain>,
    pub(super) curves: usize,
    /// Millimetres in one of its unit, where the file says so.
    pub(super) unit: Option<f64>,
    pub(super) diagnostics: Vec<Diagnostic>,
    /// Kinds of things that were met and cannot be used: how many, and the line of the first.
    pub(super) unusable: Vec<(String, usize, usize)>,
}

impl Drawing {
    /// Takes a chain; false if the drawing is full.
    pub(super) fn take(&mut self, chain: Chain) -> bool {
        if chain.curves.is_empty() {
            return true;
        }
        let is_sound = |curve: &Curve| curve.hull().iter().all(|point| point.is_finite());
        if !chain.curves.iter().all(is_sound) {
            self.cannot_use("shape of numbers beyond all measure", chain.line);
            return true;
        }
        self.curves += chain.curves.len();
        if self.curves > MOST_CURVES {
            return false;
        }
        self.chains.push(chain);
        true
    }

    /// Tells of a thing that cannot be used, once for each kind.
    pub(super) fn cannot_use(&mut self, what: &str, line: usize) {
        let full = self.unusable.len() >= MOST_KINDS;
        let known = self.unusable.iter().position(|(known, _, _)| known == what);
        match known.or(full.then_some(MOST_KINDS - 1)) {
            Some(at) => self.unusable[at].1 += 1,
            None if self.unusable.len() + 1 == MOST_KINDS => {
                self.unusable
                    .push(("many other things".to_owned(), 1, line));
            }
            None => self.unusable.push((what.to_owned(), 1, line)),
        }
    }

    /// Tells of one thing that is wrong where it stands.
    pub(super) fn say(&mut self, line: usize, code: &str, message: &str, hint: &str) {
        self.diagnostics
            .push(told(Level::Warning, Some(line), code, message, hint));
    }
}

/// Why a file is refused as a whole.
pub(super) type Refused = Box<Diagnostic>;

/// The drawing has more lines than anybody draws.
pub(super) fn too_many(line: usize) -> Refused {
    let message = "there are too many lines and curves for a drawing of boards";
    let hint = "save only the boards";
    told(Level::Error, Some(line), "drawing-too-large", message, hint).into()
}

/// A file that is not what it should be.
pub(super) fn broken(line: usize, message: &str) -> Refused {
    let hint = "save the drawing again: the file is damaged or of another kind";
    told(Level::Error, Some(line), "drawing-broken", message, hint).into()
}

pub(super) fn told(
    level: Level,
    line: Option<usize>,
    code: &str,
    message: &str,
    hint: &str,
) -> Diagnostic {
    Diagnostic {
        code: code.to_owned(),
        level,
        message: message.to_owned(),
        place: Place {
            subject: Subject::File,
            line,
            ..Place::default()
        },
        hint: (!hint.is_empty()).then(|| hint.to_owned()),
    }
}

/// A name from a file as it is shown in a sentence.
pub(super) fn quoted(name: &str) -> String {
    format!("\u{201c}{}\u{201d}", shortened(name))
}
