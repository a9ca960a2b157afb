//! What comes in or goes out as a table.
//!
//! - [`paste`]: lists of parts, pasted from a spreadsheet or typed as lines;
//! - [`csv`]: tables as comma-separated values.

pub mod csv;
pub mod paste;
