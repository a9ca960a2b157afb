//! Published instances, and the goals, proofs and searches that only they need.
//!
//! - [`instance`]: published cutting and packing instances become a [`Job`], so that the
//!   engines and the checker that serve a maker are the ones that are measured;
//! - [`solution`]: a plan for such an instance in the form in which others can check it.
//!
//! [`Job`]: heartside_timber::job::Job

pub mod instance;
pub mod solution;
