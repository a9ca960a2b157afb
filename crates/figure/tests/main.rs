//! One program of tests: linked once, where one for each file would be linked for minutes together.

mod balance;
mod laws;
mod mapping;
mod matching;
mod remarks;
mod resampling;
mod seeing;
mod straightening;
