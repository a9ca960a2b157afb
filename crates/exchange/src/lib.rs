//! What comes in or goes out as a table or as lines.
//!
//! - [`paste`]: lists of parts, pasted from a spreadsheet or typed as lines;
//! - [`tape`]: boards typed as lines, as they are measured;
//! - [`csv`]: tables as comma-separated values;
//! - [`bundle`]: a job with its photographs in one file.

pub mod bundle;
pub mod csv;
pub mod paste;
pub mod tape;
