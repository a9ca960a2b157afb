//! What crosses between the page and the core, as plain types with TypeScript twins.
//!
//! Everything is worded and formatted here in Rust; the page only shows it. A value that
//! is missing crosses as `null`. No maps, no big integers. Things are addressed by
//! [`Thing`]; a row carries the thing that it is about, so that the page hands it back.

mod bench;
mod form;
mod outcome;
mod plan;
mod rows;
mod scene;
mod search;
mod sheet;
mod state;
mod thing;

pub use bench::*;
pub use form::*;
pub use outcome::*;
pub use plan::*;
pub use rows::*;
pub use scene::*;
pub use search::*;
pub use sheet::*;
pub use state::*;
pub use thing::*;

/// Declares a type that goes to the page.
macro_rules! to_page {
    ($(#[$meta:meta])* pub struct $name:ident { $($body:tt)* }) => {
        $(#[$meta])*
        #[derive(Debug, Clone, PartialEq, Default, serde::Serialize)]
        #[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
        pub struct $name { $($body)* }
    };
    ($(#[$meta:meta])* pub enum $name:ident { $($body:tt)* }) => {
        $(#[$meta])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, serde::Serialize, serde::Deserialize)]
        #[cfg_attr(feature = "page", derive(tsify::Tsify))]
        #[serde(rename_all = "snake_case")]
        pub enum $name { $($body)* }
    };
}

/// Declares a type that comes from the page (and may go back to it).
macro_rules! from_page {
    ($(#[$meta:meta])* pub struct $name:ident { $($body:tt)* }) => {
        $(#[$meta])*
        #[derive(Debug, Clone, PartialEq, Default, serde::Serialize, serde::Deserialize)]
        #[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
        pub struct $name { $($body)* }
    };
}

pub(crate) use {from_page, to_page};
