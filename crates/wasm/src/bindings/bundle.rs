//! A job with its photographs in one file.

use tsify::Ts;
use wasm_bindgen::prelude::wasm_bindgen;

use super::give;
use heartside_app::bundle::{Packing, find_in_bundle};
use heartside_app::protocol::BundleFound;

/// Writes a job and its photographs as a ZIP file: the page joins what each call gives, and the text or picture that
/// it was given, in turn.
#[wasm_bindgen(js_name = Packing)]
#[derive(Debug, Default)]
pub struct PagePacking {
    packing: Packing,
}

#[wasm_bindgen(js_class = Packing)]
impl PagePacking {
    /// Begins a file.
    #[wasm_bindgen(constructor)]
    pub fn new() -> PagePacking {
        PagePacking::default()
    }

    /// Begins a file whose entries are of this year, month, day, hour and minute.
    pub fn of(moment: Vec<u32>) -> PagePacking {
        let field = |k: usize| moment.get(k).copied().unwrap_or_default();
        PagePacking {
            packing: Packing::of([0, 1, 2, 3, 4].map(field)),
        }
    }

    /// What stands before the text of the job; it comes first.
    pub fn job(&mut self, text: &str) -> Vec<u8> {
        self.packing.job(text)
    }

    /// What stands before the bytes of a picture; none where a ZIP file cannot be so large.
    pub fn photo(&mut self, hash: &str, bytes: &[u8]) -> Option<Vec<u8>> {
        self.packing.photo(hash, bytes)
    }

    /// What stands before the bytes of any file; none where a ZIP file cannot be so large.
    pub fn file(&mut self, name: &str, bytes: &[u8]) -> Option<Vec<u8>> {
        self.packing.file(name, bytes)
    }

    /// What stands at the end.
    pub fn finish(&mut self) -> Vec<u8> {
        std::mem::take(&mut self.packing).finish()
    }
}

/// What lies in a ZIP file.
#[wasm_bindgen]
#[must_use]
pub fn unpack(bytes: &[u8]) -> Ts<BundleFound> {
    give(&find_in_bundle(bytes))
}
