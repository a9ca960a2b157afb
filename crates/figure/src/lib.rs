//! Photographs of boards: straightened to true scale, and what can be seen in them.
//!
//! Pixels come in and numbers go out: reading files is the caller's, so is every decision. What is seen
//! is proposed, never used by itself. Everything is stepwise and deterministic.
//!
//! [`straighten()`] finds from marks where the places of a board are seen (a [`View`]), how far that may
//! be off at any place, and what is wrong with the marks. A [`Resampling`] then makes the picture at true
//! scale.
//!
//! A [`map`] keeps what a photograph says of the figure, in whole numbers; [`balance`] measures faces that are put
//! together from pieces of boards, [`matching`] seeks the pieces. A [`log`] is invented from a number, for a job to
//! show them by.

pub mod balance;
mod fit;
pub mod log;
pub mod map;
mod marks;
pub mod matching;
pub mod noise;
mod picture;
mod remark;
mod resample;
mod see;
mod solve;
mod straighten;
mod suspect;
mod view;

pub use picture::{CheckLength, Mark, Picture, Spot, TruePicture};
pub use remark::Remark;
pub use resample::Resampling;
pub use see::{CannotLook, GrainField, Looking, Oval, Proposals, Seen, Where};
pub use straighten::{Given, Straightened, straighten};
pub use view::View;
