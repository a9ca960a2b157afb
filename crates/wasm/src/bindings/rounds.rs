//! The rounds of a search, held by the page's thread while workers do the steps.

use heartside_app::rounds::{Look, Made, Order, Rounds, Terms};
use js_sys::{Function, JsString};
use wasm_bindgen::prelude::wasm_bindgen;
use wasm_bindgen::{JsCast, JsValue};

/// Who steps, who merges, when a plan is taken and when it ends. Plans are texts that are never read here.
#[wasm_bindgen(js_name = Rounds)]
#[derive(Debug)]
pub struct PageRounds {
    rounds: Rounds<JsString>,
    adopt: Option<JsString>,
    look: Option<Look<JsString>>,
}

/// Asks the page which of two plans is better; one that cannot be judged is not.
fn judged(better: &Function) -> impl FnMut(&JsString, &JsString) -> bool {
    |first, second| {
        better
            .call2(
                &JsValue::NULL,
                first.unchecked_ref(),
                second.unchecked_ref(),
            )
            .is_ok_and(|answer| answer.is_truthy())
    }
}

#[wasm_bindgen(js_class = Rounds)]
impl PageRounds {
    /// A search of which no step is asked for yet; `from` is a plan to go on from.
    #[wasm_bindgen(constructor)]
    pub fn new(workers: u32, round: u32, from: Option<JsString>) -> PageRounds {
        let terms = Terms {
            workers: workers as usize,
            round: round.into(),
            limit: None,
            in_pieces: true,
        };
        PageRounds {
            rounds: Rounds::new(terms, from),
            adopt: None,
            look: None,
        }
    }

    /// Steps that every worker is to make now, after taking over `adopt()`; none where the search is over.
    /// `was_quick`: whether those before took less than one wants to wait between looks.
    pub fn next(&mut self, was_quick: bool) -> Option<u32> {
        let order = self.rounds.next(was_quick);
        self.steps_of(order)
    }

    /// A worker fell: the steps that the one in its place is to make, after taking over
    /// `adopt()`; none where it has happened too often.
    pub fn fallen(&mut self, worker: u32) -> Option<u32> {
        let order = self.rounds.fallen(worker as usize);
        self.steps_of(order)
    }

    /// The plan that belongs to the last order.
    pub fn adopt(&self) -> Option<JsString> {
        self.adopt.clone()
    }

    /// Takes down what a worker has made; true where all have answered, which is the time to look.
    pub fn made(
        &mut self,
        worker: u32,
        better: Option<JsString>,
        places: bool,
        finished: bool,
    ) -> bool {
        let made = Made {
            better,
            places,
            finished,
        };
        self.rounds.made(worker as usize, made)
    }

    /// Looks at what all have made; true where `best()` is worth showing.
    pub fn look(
        &mut self,
        #[wasm_bindgen(unchecked_param_type = "(first: string, second: string) => boolean")]
        better: &Function,
    ) -> bool {
        let look = self.rounds.look(judged(better));
        let is_shown = look.is_shown;
        self.look = Some(look);
        is_shown
    }

    /// The best plan at the last look.
    pub fn best(&self) -> Option<JsString> {
        self.rounds.best().cloned()
    }

    /// Whether nothing follows the last look.
    pub fn is_over(&self) -> bool {
        self.look.as_ref().is_some_and(|look| look.is_over)
    }

    /// The plan to keep where one stops before anything was shown: the best that any has placed.
    pub fn unshown(
        &self,
        #[wasm_bindgen(unchecked_param_type = "(first: string, second: string) => boolean")]
        better: &Function,
    ) -> Option<JsString> {
        self.rounds.unshown(judged(better))
    }
}

impl PageRounds {
    fn steps_of(&mut self, order: Option<Order<JsString>>) -> Option<u32> {
        let Order { adopt, steps } = order?;
        self.adopt = adopt;
        u32::try_from(steps).ok()
    }
}
