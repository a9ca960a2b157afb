//! Thin bindings for the page: a Session for its thread, a Search for its workers.
//!
//! [`heartside_app`] does the work; [`bindings`] hands it to JavaScript and does nothing
//! else. Everything that crosses is declared in [`heartside_app::protocol`], which also
//! makes the page's TypeScript types.
//!
//! # After a trap
//! A panic is told in words by [`panics::last_panic`] (through the hook set at start)
//! and leaves the WebAssembly instance unusable. The page keeps the text of
//! `Session.save` after every edit; it makes a new instance from the
//! compiled module, a new `Session`, and opens the last text. Undo begins anew there;
//! nothing else is lost. A worker is ended and started again in the same way.

pub mod bindings;
pub mod panics;

use wasm_bindgen::prelude::wasm_bindgen;

/// Version of the core, as in `heartside --version`.
#[wasm_bindgen]
#[must_use]
pub fn version() -> String {
    env!("CARGO_PKG_VERSION").to_owned()
}
