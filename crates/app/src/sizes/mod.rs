//! Sizes that give: what they came to, and why a plan has not chosen a better value.

mod gave;
mod hindrance;
mod why_not;

pub use gave::sizes_that_gave;
pub(crate) use hindrance::Hindrance;
pub(crate) use why_not::{AS_THEY_LIE, against};
pub use why_not::{Reason, why_not};
