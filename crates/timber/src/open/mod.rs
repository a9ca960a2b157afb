//! Opening and saving of job files.
//!
//! A file is read leniently: what cannot be read is kept aside (see [`crate::keep`]), named
//! by [`crate::prepare()`], and written back on saving. Only a file that is no JSON, no job,
//! or of a newer version is refused.

mod mended;
mod migrate;
mod restore;
mod sort_out;

pub(crate) use mended::without_mended;

use serde_json::Value;
use thiserror::Error;

use crate::diagnostic::{Diagnostic, Level, Place, Subject};
use crate::document::{Document, FORMAT, VERSION};
use crate::plan::Plan;
use crate::words::shortened;

/// Files larger than this, in bytes, are refused: a job of thousands of parts takes a few
/// megabytes, and more would only make a browser stand still.
pub const MOST_BYTES: usize = 64 * 1024 * 1024;

/// A file that could be opened.
#[derive(Debug, Clone, PartialEq)]
pub struct Opened {
    /// The document; what could not be read is kept in it.
    pub document: Document,
    /// What the opening itself has to say, such as that an older form was brought up to
    /// date. What is wrong inside is said by [`crate::prepare()`].
    pub diagnostics: Vec<Diagnostic>,
}

/// Why a file cannot be opened at all.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum OpenError {
    /// The text is no JSON.
    #[error("this is not a readable job file: {reason} (line {line}, column {column})")]
    NotReadable {
        /// What is wrong there.
        reason: String,
        /// Line, from 1.
        line: usize,
        /// Column, from 1; 0 at the end of the file.
        column: usize,
    },
    /// It is JSON, but no job.
    #[error("this file is not a Heartside job{}", .format.as_ref().map_or(String::new(), |f| format!(": it calls itself \u{201c}{f}\u{201d}")))]
    NotAJob {
        /// What it calls itself.
        format: Option<String>,
    },
    /// A version that this program does not know yet.
    #[error(
        "this file was written by a newer version of the program (form {version}, this one reads up to {VERSION})"
    )]
    Newer {
        /// The version of the form.
        version: u64,
    },
    /// A version that never was.
    #[error("the version of this file cannot be read: {found}")]
    NoSuchVersion {
        /// What stands there.
        found: String,
    },
    /// More than [`MOST_BYTES`].
    #[error("this file is too large to be a job ({megabytes} MB)")]
    TooLarge {
        /// Its size.
        megabytes: usize,
    },
}

impl OpenError {
    /// The problem as every other one is shown: with a code, a place and a mend.
    pub fn diagnostic(&self) -> Diagnostic {
        let mut place = Place {
            subject: Subject::File,
            ..Place::default()
        };
        let (code, hint) = match self {
            OpenError::NotReadable { line, column, .. } => {
                (place.line, place.column) = (Some(*line), Some(*column));
                (
                    "file-not-readable",
                    "open an earlier copy, or mend that place in a text editor",
                )
            }
            OpenError::NotAJob { .. } => (
                "file-not-a-job",
                "choose a file that was saved here, mostly *.heartside.json",
            ),
            OpenError::Newer { .. } => ("file-newer", "get the newer version of the program"),
            OpenError::NoSuchVersion { .. } => {
                ("file-version", "write \"version\": 3 into the file")
            }
            OpenError::TooLarge { .. } => ("file-too-large", "split the work into several jobs"),
        };
        Diagnostic {
            code: code.into(),
            level: Level::Error,
            message: self.to_string(),
            place,
            hint: Some(hint.into()),
        }
    }
}

impl Document {
    /// An empty job of the present version.
    pub fn new() -> Document {
        Document {
            format: FORMAT.into(),
            version: VERSION,
            ..Document::default()
        }
    }

    /// Opens the text of a job file.
    ///
    /// # Errors
    /// [`OpenError`] if it is no JSON, no job, too large, or of a newer version. Anything
    /// else is opened, with what cannot be read kept aside in the document.
    ///
    /// # Cost
    /// O(size), times the depth of nesting for the parts that cannot be read.
    pub fn open(text: &str) -> Result<Opened, OpenError> {
        if text.len() > MOST_BYTES {
            return Err(OpenError::TooLarge {
                megabytes: text.len() / (1024 * 1024),
            });
        }
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let mut value: Value = serde_json::from_str(text).map_err(|e| not_readable(&e))?;
        let version = version_of(&value)?;
        let mut diagnostics = Vec::new();
        if u64::from(VERSION) > version {
            diagnostics.push(brought_up_to_date(version));
            diagnostics.extend(migrate::to_present(&mut value, version));
        }
        let document = sort_out::document(value);
        Ok(Opened {
            document,
            diagnostics,
        })
    }

    /// The plan on the floor, where the job was changed since it was made.
    pub fn plan_before_edits(&self) -> Option<&Plan> {
        let plan = self.plan.as_ref()?;
        (plan.revision != self.revision).then_some(plan)
    }

    /// The text of the job file: what [`Document::open`] reads back to the same document.
    pub fn save(&self) -> String {
        restore::text(self)
    }
}

/// The version of a job, or why it is none.
fn version_of(value: &Value) -> Result<u64, OpenError> {
    let format = value.get("format").and_then(Value::as_str);
    if format != Some(FORMAT) {
        return Err(OpenError::NotAJob {
            format: format.map(shortened),
        });
    }
    let version = match value.get("version") {
        Some(Value::Number(n)) => n.as_u64().filter(|v| *v >= 1).ok_or_else(|| n.to_string()),
        Some(other) => Err(shortened(&other.to_string())),
        None => Err("it is missing".into()),
    };
    match version {
        Ok(version) if version > u64::from(VERSION) => Err(OpenError::Newer { version }),
        Ok(version) => Ok(version),
        Err(found) => Err(OpenError::NoSuchVersion { found }),
    }
}

fn brought_up_to_date(version: u64) -> Diagnostic {
    Diagnostic {
        code: "file-older".into(),
        level: Level::Note,
        message: format!(
            "this file was written in an older form ({version}) and has been brought up to date"
        ),
        place: Place {
            subject: Subject::File,
            ..Place::default()
        },
        hint: Some("save it to keep the new form".into()),
    }
}

fn not_readable(error: &serde_json::Error) -> OpenError {
    let full = error.to_string();
    // The library ends its sentence with the place, which stands apart here.
    let reason = full.split(" at line ").next().unwrap_or_default();
    let reason = match error.classify() {
        serde_json::error::Category::Eof => "it ends too early, as if cut off".to_owned(),
        _ if reason.contains("recursion limit") => "it is nested too deeply".to_owned(),
        _ if reason.contains("number out of range") => "a number is too large".to_owned(),
        _ => reason.to_owned(),
    };
    OpenError::NotReadable {
        reason,
        line: error.line(),
        column: error.column(),
    }
}

#[cfg(test)]
mod tests;
