//! The words of the trade as types.
//!
//! Three forms of the same job, each a type: a [`document::Document`] as a person typed
//! it (it may be wrong), a [`job::Job`] that is sound and flattened, and a
//! [`plan::Plan`] that says which part comes out of which board. What is wrong with a
//! document is a [`diagnostic::Diagnostic`]; what is wrong with a plan is a
//! [`finding::Finding`]. This crate does no layout and no checking.

pub mod blank;
pub mod choices;
pub mod composite;
pub mod defaults;
pub mod diagnostic;
pub mod document;
pub mod edit;
pub mod expression;
pub mod finding;
pub mod grain;
pub mod ids;
pub mod job;
pub mod keep;
pub mod length;
mod lengths;
pub mod measure;
pub mod misfit;
pub mod movement;
pub mod open;
pub mod path;
pub mod plan;
pub mod prepare;
#[cfg(not(target_arch = "wasm32"))]
pub mod schema;
pub mod score;
pub mod shared_names;
pub mod species;
pub mod staves;
pub mod tools;
pub mod warp;
pub mod words;
pub mod workpieces;

pub use choices::Choices;
pub use edit::{Edit, EditError, History, RowEdit};
pub use open::{OpenError, Opened};
pub use prepare::{Prepared, prepare, prepare_with};
