//! What crosses between the page and the core, as plain types with TypeScript twins.
//!
//! Everything is worded and formatted here in Rust; the page only shows it. A value that
//! is missing crosses as `null`. No maps, no big integers. Things are addressed by
//! [`Thing`]; a row carries the thing that it is about, so that the page hands it back.

mod asking;
mod bench;
mod bundle;
mod by_tape;
mod crossing;
mod done;
mod drawing_out;
mod face;
mod figure;
mod files_out;
mod form;
mod from_files;
mod outcome;
mod panel;
mod photo;
mod plan;
mod rows;
mod scene;
mod search;
mod sheet;
mod state;
mod thing;

pub use asking::*;
pub use bench::*;
pub use bundle::*;
pub use by_tape::*;
pub(crate) use crossing::{from_page, to_page};
pub use done::*;
pub use drawing_out::*;
pub use face::*;
pub use figure::*;
pub use files_out::*;
pub use form::*;
pub use from_files::*;
pub use outcome::*;
pub use panel::*;
pub use photo::*;
pub use plan::*;
pub use rows::*;
pub use scene::*;
pub use search::*;
pub use sheet::*;
pub use state::*;
pub use thing::*;
