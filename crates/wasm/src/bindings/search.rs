//! The classes that a worker holds.

use tsify::Ts;
use wasm_bindgen::prelude::wasm_bindgen;

use super::{give, timing::measured};
use heartside_app::figure::asked::FaceAsked;
use heartside_app::protocol::{FacesFound, SearchFigures, SearchSettings, SearchStatus, WhatIf};
use heartside_app::search::Search;
use heartside_app::what_if::SizeAsked;

/// A search in a worker: it makes steps until it is told otherwise.
#[wasm_bindgen(js_name = Search)]
#[derive(Debug)]
pub struct PageSearch {
    search: Search,
}

#[wasm_bindgen(js_class = Search)]
impl PageSearch {
    /// Starts a search on a job file. Never throws: see `problem()`.
    #[wasm_bindgen(constructor)]
    pub fn new(document: &str, settings: Ts<SearchSettings>) -> PageSearch {
        let search = match settings.to_rust() {
            Ok(settings) => measured("search-start", || Search::new(document, &settings)),
            Err(e) => Search::refused(format!("the settings of the search cannot be read: {e}")),
        };
        PageSearch { search }
    }

    /// Why there is nothing to search, if so.
    pub fn problem(&self) -> Option<String> {
        self.search.problem()
    }

    /// Steps in a round: the same number in every worker and in the native command.
    pub fn steps_per_round() -> u32 {
        Search::steps_per_round()
    }

    /// Makes at most `steps` steps.
    pub fn step(&mut self, steps: u32) -> Ts<SearchStatus> {
        give(&measured("search-step", || self.search.step(steps)))
    }

    /// The best plan so far, as JSON.
    pub fn best(&self) -> Option<String> {
        self.search.best()
    }

    /// Figures of the best plan so far.
    pub fn figures(&self) -> Ts<SearchFigures> {
        give(&self.search.figures())
    }

    /// The state of the search in sixteen letters, for telling whether two runs went the same way.
    pub fn fingerprint(&self) -> String {
        self.search.fingerprint()
    }

    /// Takes over another worker's best plan where that is better.
    pub fn adopt(&mut self, plan: &str) -> bool {
        self.search.adopt(plan)
    }
}

/// What one size would cost over its range, looked at in a worker.
#[wasm_bindgen(js_name = SizeAsked)]
#[derive(Debug)]
pub struct PageSizeAsked {
    asked: SizeAsked,
}

#[wasm_bindgen(js_class = SizeAsked)]
impl PageSizeAsked {
    /// Asks of the size in a row of a job file's dimensions.
    #[wasm_bindgen(constructor)]
    pub fn new(document: &str, row: u32) -> PageSizeAsked {
        PageSizeAsked {
            asked: SizeAsked::new(document, row),
        }
    }

    /// What is known so far.
    pub fn seen(&self) -> Ts<WhatIf> {
        give(&self.asked.seen())
    }

    /// Looks at the next value and tells its place; none where all were looked at.
    pub fn look(&mut self) -> Option<u32> {
        self.asked.look()
    }

    /// The plan that was found for a value, as JSON.
    pub fn plan(&self, index: u32) -> Option<String> {
        self.asked.plan(index)
    }
}

/// Better ones of a face, looked for in a worker.
#[wasm_bindgen(js_name = FaceAsked)]
pub struct PageFaceAsked {
    asked: FaceAsked,
}

#[wasm_bindgen(js_class = FaceAsked)]
impl PageFaceAsked {
    /// Asks for better ones of a face of a job file, or for more like the one in a plan.
    #[wasm_bindgen(constructor)]
    pub fn new(document: &str, key: &str, like: Option<String>) -> PageFaceAsked {
        PageFaceAsked {
            asked: FaceAsked::new(document, key, like.as_deref()),
        }
    }

    /// Does a little more; false where nothing more is to come.
    pub fn step(&mut self) -> bool {
        measured("face-step", || self.asked.step())
    }

    /// How many faces were found so far.
    pub fn known(&self) -> u32 {
        self.asked.known()
    }

    /// What is known so far.
    pub fn found(&self) -> Ts<FacesFound> {
        give(&self.asked.found())
    }

    /// The plan of a face that was found, as JSON.
    pub fn plan(&self, index: u32) -> Option<String> {
        self.asked.plan(index)
    }
}
