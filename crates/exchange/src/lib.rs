//! Files of other forms in and out: tables and lists.
//!
//! - [`paste`]: lists of parts, pasted from a spreadsheet or typed as lines.

pub mod paste;
