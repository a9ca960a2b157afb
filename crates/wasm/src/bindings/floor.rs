//! What the page needs to show the floor and is no business of a job.

use tsify::Ts;
use wasm_bindgen::prelude::wasm_bindgen;

use super::give_all;
use heartside_app::protocol::RulerMark;
use heartside_app::ruler::ruler;

/// Marks and numbers of the ruler between two places of the floor: see [`ruler`].
#[wasm_bindgen]
#[must_use]
pub fn ruler_marks(inches: bool, from: f64, to: f64, pixels_per_mm: f64) -> Vec<Ts<RulerMark>> {
    give_all(&ruler(inches, from, to, pixels_per_mm))
}

/// The style sheet of everything that is drawn on the floor and the trestle, with the page's own colours.
#[wasm_bindgen]
#[must_use]
pub fn floor_style() -> String {
    heartside_app::floor_style()
}
