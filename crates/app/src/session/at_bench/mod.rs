//! At the bench: what is cut stays cut, what moved is measured again, and the rest goes over to
//! the pieces.
//!
//! | file | idea |
//! |---|---|
//! | `ticking` | a cut is done, or was not done after all |
//! | `asking` | questions with their fields, and the answers as one step |
//! | `measuring` | a piece as it is by tape |
//! | `own_cut`, `lines` | a cut that the plan does not hold, and a line drawn over the floor |
//! | `spoiling` | a part in hand is wanted again |
//! | `steps` | what is next, what to look at and to mark, one step alone |
//! | `done_rows`, `parts` | what is done, how far each part is |
//! | `change`, `standing` | what the last change came to, in three lines; how things lay before |
//! | `doing` | an edit as one step, and what is said after it |
//! | `offcuts` | offcuts as boards of a new job |

mod asking;
mod change;
mod doing;
mod done_rows;
mod lines;
mod measuring;
mod offcuts;
mod own_cut;
mod parts;
mod spoiling;
mod standing;
mod steps;
mod ticking;

pub(super) use standing::Standing;
