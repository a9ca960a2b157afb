//! Measures of balance on people's plain cases, and the laws they keep.

// What was found is told in full.
#![allow(clippy::unwrap_used, clippy::print_stdout, unreachable_pub)]

mod cases;
mod faces;
mod laws;
