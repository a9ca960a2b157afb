//! One program of tests: linked once, where one for each file would be linked for minutes together.

mod askew;
mod breaking_down;
mod compaction;
mod cut_apart;
mod empty_board;
mod floor;
mod frames;
mod going_on;
mod handier;
mod large;
mod last_look;
mod law;
mod laws;
mod leaves;
mod legal;
mod machines;
mod odd_shapes;
mod pairs;
mod rest;
mod runs;
mod sample;
mod sawn;
mod sawn_laws;
mod twins;
mod waiting;
mod workshops;
