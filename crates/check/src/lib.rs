//! The independent checker of plans: it shares no placement code with the solvers and
//! believes nothing that a plan claims.
//!
//! [`check`] looks at a whole plan ([`Checker`] at many of one job); [`Live`] keeps the findings up to date while parts are
//! moved by hand, and answers what would be wrong if a part lay somewhere and what lies near there. Both speak
//! in [`Finding`](heartside_timber::finding::Finding)s: rule, amount, place, parts and a
//! sentence in the job's units.
//!
//! It places nothing, mends nothing and scores nothing.

mod cuts;
mod dimensions;
mod done;
mod fixings;
mod floor;
mod index;
mod inside;
mod kerf;
mod leaves;
mod lie;
mod live;
mod lying;
mod matches;
mod near;
mod panels;
mod report;
mod rules;
mod stock;
mod whole;
mod wording;
mod zones;

pub use index::{ANGLE_SLACK, FAR, GRAIN_SLACK, Piece};
pub use live::Live;
pub use near::Near;
pub use whole::{Checker, check};
