//! The checker on hand-made and generated plans: each rule and cause, plans broken by a
//! hundredth, laws, damaged plans, and the checker while dragging.

mod causes;
mod cutting;
mod dragging;
mod fixtures;
mod laws;
mod mutations;
mod scenes;
