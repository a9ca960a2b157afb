//! One scene of boards, plans and sheets, for screen, export and print alike.
//!
//! [`floor()`] gives the page its [`Fragment`]s; [`board_svg`] and [`overview_svg`] give
//! drawings in true millimetres that stand alone; [`sheets`] gives pages to be printed. All
//! are pure functions of a job, a plan and its steps; the date comes in as text. Nothing
//! here judges a plan, and nothing is left to a font: text widths come from a table.

mod arrangement;
mod blanks;
mod call_out;
mod chosen_cut;
mod diagram;
mod first_sheet;
mod fitting;
mod floor;
mod hatch;
mod inscription;
mod kept;
mod laid;
mod legend;
mod marking;
mod measures;
mod numbers;
mod pen;
mod picture;
mod room;
mod rows;
mod sheet;
mod sheet_lists;
mod style;
mod svg;
mod text;
mod title;
mod trestle;
mod wood;
mod zones;

pub use arrangement::boards_on_floor;
pub use diagram::{Drawing, Options, board_svg, overview_svg};
pub use floor::{BoardOnFloor, Floor, Fragment, OnTheFloor, View, floor, floor_again};
pub use kept::KeptFloor;
pub use sheet::{Paper, sheets};
pub use style::{Theme, palette_variables, style_sheet};
pub use svg::{escape, number, safe_file_name};
pub use text::text_width;
pub use title::Verdict;
pub use trestle::{
    TrestleBlank, blank_outline, blank_words, held_part, held_transform, trestle, trestle_blank,
    waiting,
};
