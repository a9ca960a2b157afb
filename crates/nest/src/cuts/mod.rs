//! Boards under straight cuts: workpieces, saws and the cuts that they can make.
//!
//! One model for all that plan straight cuts: the engine of `straight`, the order of cuts
//! of a layout dropped by hand, the offcut that compaction parts off and the through cuts of
//! breaking down. Nothing here chooses; it says what can be sawn and what that leaves.
//!
//! | module | idea |
//! |---|---|
//! | `ground` | a board in the frame of its cuts: wood, obstacles, true edges, how parts may lie |
//! | `outline`, `obstacle` | the board's outline, and convex pieces that blanks keep clear of |
//! | `fits` | how parts, and pairs of sawn parts in one rectangle, may lie there |
//! | `frames` | the angles at which a board may be cut up |
//! | `pair` | sawn parts nested head to tail in one rectangle |
//! | `side`, `workpiece` | what one cut leaves of a board |
//! | `saw` | which tool can make a cut, and where |
//! | `position`, `elsewhere` | free places for a blank in a workpiece |
//! | `chain` | an order of cuts that frees a rectangle from a workpiece |
//! | `cutting` | a board partly cut up: its cuts so far and the workpieces still open |
//! | `offcut` | whether a leftover is worth keeping |

pub(crate) mod chain;
pub(crate) mod cutting;
pub(crate) mod elsewhere;
pub(crate) mod fits;
pub(crate) mod frames;
pub(crate) mod ground;
pub(crate) mod obstacle;
pub(crate) mod offcut;
mod outline;
pub(crate) mod pair;
pub(crate) mod position;
pub(crate) mod saw;
pub(crate) mod side;
pub(crate) mod workpiece;
