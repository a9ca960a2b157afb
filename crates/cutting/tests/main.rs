//! One program of tests: linked once, where one for each file would be linked for minutes together.

mod at_the_saw;
mod bench;
mod by_board;
mod done_by_hand;
mod resawn;
#[path = "../../drawing/tests/sample/mod.rs"]
mod sample;
