//! Parts moved by hand: dragged, turned, nudged, pinned, put back on the trestle.
//!
//! While a part is in the hand the checker's live index says what is wrong wherever it is
//! held; nothing of the job changes. Dropping it is one undo step: the part is pinned, and
//! an order of straight cuts is looked for on the boards that it left and came to.

mod dragging;
mod first_fit;
mod held;
mod laying;
mod poses;
mod seen;
mod sliding;

pub(super) use held::{Hand, TakenOff};
