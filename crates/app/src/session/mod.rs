//! The job on the floor, with everything that can be done to it: plain Rust, no browser.
//!
//! | file | idea |
//! |---|---|
//! | `on_the_floor` | what is held of the job, and how an edit becomes a step |
//! | `difference` | what was done, as edits with inverses, for undo and redo |
//! | `editing` | fields, rows added, removed, moved |
//! | `pasting` | parts added from a list |
//! | `by_tape` | boards typed as lines: read back, then taken |
//! | `from_files`, `given` | boards of drawings and tables: read back, then taken |
//! | `form`, `called` | the form of a thing, and what it is called |
//! | `renaming` | whatever refers to a thing follows its new name |
//! | `judged` | the plan as the checker sees it |
//! | `choosing` | the job is made for what a plan has chosen |
//! | `state`, `rows`, `board_rows`, `summary`, `selection`, `bench`, `problems` | what the side sheet shows |
//! | `at_bench` | cuts done, taken back or otherwise; pieces measured; what is left to do |
//! | `progress` | how a set-out came to its plan |
//! | `floor` | what of the picture has changed |
//! | `hand`, `placed` | parts moved by hand, and what lies where |
//! | `engine` | the order of cuts of a board, remembered |
//! | `staying`, `to_mend` | no edit makes another board or part vanish |
//! | `marking` | marked areas dropped and moved on the picture, widths added at an edge |
//! | `drawing_out` | outlines, marked areas and grain drawn on the floor |
//! | `setting_out` | plans offered by searches |
//! | `kept` | plans kept and compared |
//! | `what_if` | a plan found for another value of a size is taken |
//! | `panels` | panels as they are glued up |
//! | `figure` | how faces are balanced, and better ones taken |
//! | `faces` | faces with their wood, live while a blank is in the hand |
//! | `paper`, `files_out` | drawings and sheets; all that a plan leaves as |
//! | `photos` | what is taken of photographs, and which of them are shown |
//! | `figure_maps`, `keeping_figure` | what is known of the figure of each face; maps of photographs |

mod at_bench;
mod bench;
mod board_rows;
mod by_line;
mod by_tape;
mod called;
mod choosing;
mod difference;
mod drawing_out;
#[cfg(test)]
mod drop_tests;
mod editing;
mod end_for_end;
mod engine;
mod faces;
mod figure;
mod figure_maps;
mod files_out;
mod floor;
mod form;
mod from_files;
mod given;
mod hand;
mod judged;
mod keeping_figure;
mod kept;
mod marking;
mod on_the_floor;
mod panels;
mod paper;
mod pasting;
mod photos;
mod picture;
mod placed;
mod problems;
mod progress;
mod renaming;
mod rows;
mod selection;
mod sent;
mod set_out;
mod setting_out;
mod side_by_side;
mod state;
mod staying;
mod summary;
#[cfg(test)]
mod tests;
mod to_mend;
mod what_if;
#[cfg(test)]
mod work_tests;

use on_the_floor::Change;
pub use on_the_floor::Session;
