//! The two layout engines, their bounds and their common search.
//!
//! [`Search`] is the one way in: made from a [`Job`](heartside_timber::job::Job) and
//! [`Settings`], it is advanced by [`Search::step`], and at any moment holds a complete
//! [`Plan`](heartside_timber::plan::Plan): every piece is either placed or listed as
//! unplaced with the reason. [`tree_for`] looks for a legal order of cuts for a layout
//! dropped by hand, [`break_down`] for the through cuts of one that is sawn by line,
//! [`bound_of`] proves a floor under the cost.
//!
//! The crate reads no clock, draws no chance but from its own named generator, and knows
//! nothing of the checker: what it emits is judged elsewhere.
//!
//! | module | idea |
//! |---|---|
//! | [`search`] | advances the engines and keeps the best whole plan |
//! | `engine`, `task` | what both engines offer, and what they are given |
//! | `assemble`, `matches` | whole plans from layouts, without what would break a match |
//! | [`fit`] | which part can come out of which board, and which way round |
//! | [`giving`] | sizes and staves that may give: which to try, and what comes of it |
//! | `cuts` | boards under straight cuts: workpieces, saws and the cuts they can make |
//! | `objective` | what makes one set of layouts better than another, and what each goal changes |
//! | `straight` | blanks parted by straight cuts right across |
//! | `sawn` | blanks sawn out by line |
//! | `breaking_down` | through cuts that part a sawn board into handy pieces first |
//! | `bound` | floors that no plan can go under, by areas |
//! | `floor` | a higher one, by prices on parts and what each board can yield at them |
//! | `composite` | what must lie together as one blank |
//! | `waney` | outlines of very many corners in few lines |
//! | `parted` | boards whose pins lie at different angles, parted before the rest is planned |
//! | `copies` | of alike blanks the copy that lay there before |
//! | `hearts` | heart sides of staves as their panel asks |
//! | `figured` | the best figure among plans as good or a little dearer, beside the search |
//! | `last_look` | room for what the engines leave waiting |
//! | `empty_board` | whether a part fits an empty board, and if not, why |
//! | `reasons` | what is known of each part while the search runs |
//! | [`kit`] | what engines from outside are made of |

mod assemble;
mod bound;
mod breaking_down;
mod chance;
mod composite;
mod copies;
mod cover;
mod cuts;
mod empty_board;
mod engine;
mod figured;
pub mod fit;
mod floor;
pub mod giving;
mod hearts;
pub mod kit;
mod last_look;
mod matches;
mod objective;
mod parted;
mod portfolio;
mod reasons;
mod sawn;
pub mod search;
mod settings;
mod straight;
mod task;
mod waney;

#[cfg(test)]
mod samples;
#[cfg(test)]
mod tests;

pub use bound::{bound_of, quick_bound_of};
pub use breaking_down::break_down;
pub use floor::{Floor, greater_bound, is_square};
pub use giving::{Giving, Remake, laid_in};
pub use reasons::reasons_of;
pub use search::{ROUND_STEPS, Search, SearchError, Status};
pub use settings::{Settings, WayWanted};
pub use straight::handier::with_handier_cuts;
pub use straight::tree_for::{TreeResult, tree_crosscut_first, tree_for};
