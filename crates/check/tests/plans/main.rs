//! The checker on hand-made and generated plans: each rule and cause, plans broken by a
//! hundredth, laws, damaged plans, and the checker while dragging.
#![allow(
    clippy::unwrap_used,
    reason = "a test that cannot build its job must stop"
)]

mod cases;
mod causes;
mod cutting;
mod done;
mod dragging;
mod fixtures;
mod laws;
mod mutations;
mod scenes;
