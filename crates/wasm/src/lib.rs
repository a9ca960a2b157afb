//! Thin bindings for the page: a Session for its thread, a Search for its workers.

use wasm_bindgen::prelude::wasm_bindgen;

/// Version of the core, as in `heartside --version`.
#[wasm_bindgen]
#[must_use]
pub fn version() -> String {
    env!("CARGO_PKG_VERSION").to_owned()
}
