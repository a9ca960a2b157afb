//! Sizes that give: why a plan has not chosen a better value.

mod hindrance;
mod why_not;

pub(crate) use why_not::against;
pub use why_not::{Reason, why_not};
