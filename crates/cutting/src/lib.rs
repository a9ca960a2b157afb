//! From a plan to the work at the bench: ordered steps, cautions, lists and sums.
//!
//! [`steps()`] gives the numbered [`Step`]s of a whole plan; [`cut_list`], [`part_list`],
//! [`offcut_list`] and [`shopping_list`] give [`Table`]s with ready-worded cells, [`bare_cut_list`]
//! and its kin such as spreadsheets reckon with;
//! [`totals()`] gives the sums. [`Datum`] says what a maker measures from on a board.
//! [`as_planned`] and its kin give the edits of a job when a cut is made, taken back or measured.
//! This crate judges no plan and finds no cuts: it puts those of the plan in order.

mod after_saw;
mod bare_lists;
mod brief;
mod by_line;
mod caution;
mod cut_caution;
mod datum;
mod done;
mod dust;
mod finished;
mod leaves;
mod lists;
mod naming;
mod order;
mod resawing;
mod ripped;
mod rough;
mod scrap;
mod setting;
mod step;
mod steps;
mod table;
mod totals;
mod waiting;
mod wood_caution;
mod workpiece;
mod yields;

pub use after_saw::work_after_saw;
pub use bare_lists::{
    bare_board_list, bare_cut_list, bare_offcut_list, bare_part_list, bare_shopping_list,
};
pub use brief::{SetUp, chalk_name, set_up_count, set_up_words, set_ups};
pub use caution::{DEFERENCE, zone_words};
pub use datum::{Across, Datum};
pub use done::{
    Bend, CutOtherwise, Measured, Refused, WidthAt, as_planned, cut_otherwise, free_already,
    measured, not_cut, offcuts_home, spoiled,
};
pub use finished::finished_size;
pub use lists::{
    cut_list, kilograms, least_board_words, offcut_list, part_list, reason_words, shopping_list,
};
pub use naming::{board_label, board_words, copies_words};
pub use ripped::{ripped, ripped_words};
pub use rough::write_rough;
pub use scrap::is_scrap;
pub use step::{Action, Becomes, Caution, Near, Setting, Step, Yielded};
pub use steps::{steps, steps_by_board};
pub use table::{Column, Table};
pub use totals::{Totals, boards_cut, cost_words, spent_words, timber_words, totals};
pub use waiting::{Waiting, waiting};
pub use wood_caution::before_planing;
pub use yields::holds_words;
