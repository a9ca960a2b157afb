//! What comes in or goes out as a table, as lines or as a drawing.
//!
//! - [`outlines`]: boards drawn in SVG and DXF files;
//! - [`paste`]: lists of parts and of boards, pasted from a spreadsheet or typed as lines;
//! - [`tape`]: boards typed as lines, as they are measured;
//! - [`csv`]: tables as comma-separated values;
//! - [`dxf`]: layouts and parts for drawing programs;
//! - [`bundle`]: a job with its photographs in one file;
//! - [`text_of`]: the letters of a file, however they are encoded.

pub mod bundle;
pub mod csv;
pub mod dxf;
mod encoding;
pub mod outlines;
pub mod paste;
pub mod tape;

pub use encoding::text_of;
