//! The independent checker of plans: it shares no placement code with the solvers and
//! believes nothing that a plan claims.
//!
//! [`check`] looks at a whole plan ([`Checker`] at many of one job); [`Live`] keeps the findings up to date while parts are
//! moved by hand, answers what would be wrong if a part lay somewhere, and snaps. Both speak
//! in [`Finding`](heartside_timber::finding::Finding)s: rule, amount, place, parts and a
//! sentence in the job's units.
//!
//! It places nothing, mends nothing and scores nothing.

mod cuts;
mod dimensions;
mod fixings;
mod floor;
mod index;
mod inside;
mod keep;
mod kerf;
mod lie;
mod live;
mod matches;
mod places;
mod report;
mod snap;
mod stock;
mod whole;
mod wording;
mod zones;

pub use index::{ANGLE_SLACK, FAR, GRAIN_SLACK};
pub use keep::still_sound;
pub use live::Live;
pub use whole::{Checker, check};
