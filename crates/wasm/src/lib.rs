//! Thin bindings for the page: a Session for its thread, a Search for its workers.
//!
//! [`session::Session`] and [`search::Search`] are plain Rust and are tested natively;
//! [`bindings`] hands them to JavaScript and does nothing else. Everything that crosses
//! is declared in [`protocol`], which also makes the page's TypeScript types. All
//! wording and all drawing is done on this side; the page shows what it gets.
//!
//! # After a trap
//! A panic is told in words by [`panics::last_panic`] (through the hook set at start)
//! and leaves the WebAssembly instance unusable. The page keeps the text of
//! [`session::Session::save`] after every edit; it makes a new instance from the
//! compiled module, a new `Session`, and opens the last text. Undo begins anew there;
//! nothing else is lost. A worker is ended and started again in the same way.

pub mod bindings;
mod forms;
pub mod panics;
pub mod protocol;
pub mod ruler;
pub mod search;
pub mod session;

use wasm_bindgen::prelude::wasm_bindgen;

/// Version of the core, as in `heartside --version`.
#[wasm_bindgen]
#[must_use]
pub fn version() -> String {
    env!("CARGO_PKG_VERSION").to_owned()
}
