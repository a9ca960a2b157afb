//! What a plan leaves the house as: files for other programs, spreadsheets and paper.
//!
//! [`Leaving`] is the plan and how it is wanted, [`FileKind`] a kind of files, [`FileNames`] keeps their names
//! apart. The page and the command write the same texts; each puts the photographs into them, which are
//! called by `photo:` and their hash, and owns the folder or the archive.

mod kinds;
mod names;
mod typed;

pub use crate::protocol::FileKind;
pub use kinds::{Leaving, Refused};
pub use names::{FileNames, NamedFile};
pub(crate) use typed::{Typed, grids, measures};

/// By how much the sheets of a template overlap unless said, in millimetres.
pub const OVERLAP: f64 = 10.0;
