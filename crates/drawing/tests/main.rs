//! One program of tests: linked once, where one for each file would be linked for minutes together.

mod arrangement;
mod drawings;
mod faces;
mod kept_floor;
mod leaves;
mod panels;
mod photos;
mod sample;
mod svg_read;
