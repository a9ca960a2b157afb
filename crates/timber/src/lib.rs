//! The words of the trade as types: lengths, documents, jobs, plans, findings.

pub mod expression;
pub mod length;
pub mod measure;
