//! What is drawn on the floor, for the page's thread. Places are the floor's units: millimetres, y down.

use tsify::Ts;
use wasm_bindgen::prelude::wasm_bindgen;

use super::session::PageSession;
use super::{give, take, timing::measured};
use heartside_app::protocol::{
    DrawOrder, DrawStep, DrawWay, DrawWhat, Drawing, MarkKind, Outcome, Thing,
};

#[wasm_bindgen(js_class = Session)]
impl PageSession {
    /// Begins to draw on a board, or the marked area that is named; nothing is changed before it is taken.
    pub fn draw(
        &mut self,
        thing: Ts<Thing>,
        what: Ts<DrawWhat>,
        mark: Option<Ts<MarkKind>>,
    ) -> Ts<Outcome> {
        let mark = mark.and_then(|m| take(&m).ok());
        match take(&what) {
            Ok(what) => self.with(thing, |session, thing| session.draw(&thing, what, mark)),
            Err(outcome) => give(outcome.as_ref()),
        }
    }

    /// The drawing as it is seen at so many millimetres to a pixel; nothing where none is under way.
    pub fn drawing(&mut self, pixel: f64) -> Option<Ts<Drawing>> {
        self.session.drawing(pixel).map(|drawing| give(&drawing))
    }

    /// Whether a drag from a place of the floor draws; `reach` is how far off a point is meant, in millimetres.
    pub fn draw_grips(&self, x: f64, y: f64, pixel: f64, reach: f64, touch: bool) -> bool {
        self.session.draw_grips(x, y, pixel, reach, touch)
    }

    /// What a pointer does to the drawing; `free`: without jumping to marks of the rule.
    pub fn draw_step(
        &mut self,
        step: Ts<DrawStep>,
        x: f64,
        y: f64,
        pixel: f64,
        reach: f64,
        free: bool,
    ) {
        if let Ok(step) = take(&step) {
            self.session.draw_step(step, [x, y], pixel, reach, free);
        }
    }

    /// Does something else to the drawing; false where there was no step to take back.
    pub fn draw_order(&mut self, order: Ts<DrawOrder>) -> bool {
        take(&order).is_ok_and(|order| self.session.draw_order(order))
    }

    /// Chooses how the pointer draws.
    pub fn draw_way(&mut self, way: Ts<DrawWay>) {
        if let Ok(way) = take(&way) {
            self.session.draw_way(way);
        }
    }

    /// Moves the chosen point by steps of the rule along the board and to the left of it.
    pub fn draw_nudge(&mut self, along: f64, left: f64) {
        self.session.draw_nudge(along, left);
    }

    /// Takes the two numbers that were typed; gives back what cannot be read.
    pub fn draw_typed(&mut self, first: &str, second: &str) -> Option<String> {
        self.session.draw_typed(first, second)
    }

    /// Takes the drawing into the job: one step to undo.
    pub fn take_drawing(&mut self) -> Ts<Outcome> {
        give(&measured("take-drawing", || self.session.take_drawing()))
    }

    /// Leaves the drawing: nothing of it is taken.
    pub fn leave_drawing(&mut self) {
        self.session.leave_drawing();
    }
}
