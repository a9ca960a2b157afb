//! A photograph that a worker holds.

use tsify::Ts;
use wasm_bindgen::prelude::wasm_bindgen;

use super::{give, timing::measured};
use heartside_app::photograph::Photograph;
use heartside_app::protocol::{
    PhotoAsked, PhotoError, PhotoFigure, PhotoFit, PhotoRemark, PhotoSeen, PhotoTrue,
};

/// A photograph of a board in a worker: straightened by marks.
#[wasm_bindgen(js_name = Photograph)]
#[derive(Debug)]
pub struct PagePhotograph {
    photograph: Photograph,
}

#[wasm_bindgen(js_class = Photograph)]
impl PagePhotograph {
    /// Takes in pixels, four bytes each. Never throws: see `problem()`.
    #[wasm_bindgen(constructor)]
    pub fn new(rgba: Vec<u8>, width: u32, height: u32) -> PagePhotograph {
        let photograph = measured("photo-in", || Photograph::new(rgba, width, height));
        PagePhotograph { photograph }
    }

    /// Why there is no photograph, if so.
    pub fn problem(&self) -> Option<String> {
        self.photograph.problem()
    }

    /// How well marks fit; the photograph is straightened by them from now on.
    pub fn straighten(&mut self, asked: &Ts<PhotoAsked>) -> Ts<PhotoFit> {
        give(&match super::take(asked) {
            Ok(asked) => self.photograph.straighten(&asked),
            Err(outcome) => PhotoFit {
                remarks: vec![PhotoRemark {
                    text: outcome.problem.unwrap_or_default(),
                    in_the_way: true,
                    ..PhotoRemark::default()
                }],
                ..PhotoFit::default()
            },
        })
    }

    /// How far it may be off at the ends of a part of the board: x and y from, x and y to, in millimetres.
    pub fn error_over(
        &self,
        from_x: f64,
        from_y: f64,
        to_x: f64,
        to_y: f64,
    ) -> Option<Ts<PhotoError>> {
        let error = self.photograph.error_over([from_x, from_y, to_x, to_y]);
        error.as_ref().map(give)
    }

    /// Begins the picture at true scale, with pixels of so many millimetres; `within` is x and y from, x and y
    /// to, or empty for what the fit said is shown.
    pub fn begin(&mut self, pixel: f64, within: &[f64]) -> Ts<PhotoTrue> {
        give(&self.photograph.begin(pixel, within.try_into().ok()))
    }

    /// Makes up to so many rows more and tells the share that is made.
    pub fn step(&mut self, rows: u32) -> f64 {
        measured("photo-step", || self.photograph.step(rows))
    }

    /// The picture at true scale, four bytes a pixel; empty before it is made.
    pub fn pixels(&self) -> Vec<u8> {
        self.photograph.pixels()
    }

    /// Begins to look for what can be seen in the picture at true scale: within an outline (x and y of its
    /// points in turn, in millimetres), or for a board where the marks lie if that is empty.
    pub fn look_begin(&mut self, outline: &[f64]) {
        self.photograph.look_begin(outline);
    }

    /// Looks on by so many steps and tells the share that is done.
    pub fn look(&mut self, steps: usize) -> f64 {
        measured("photo-look", || self.photograph.look(steps))
    }

    /// A picture that is at true scale already, for its map alone.
    pub fn at_true_scale(
        rgba: Vec<u8>,
        width: u32,
        height: u32,
        pixel: f64,
        x: f64,
        y: f64,
    ) -> PagePhotograph {
        PagePhotograph {
            photograph: Photograph::at_true_scale(rgba, width, height, pixel, [x, y]),
        }
    }

    /// A picture of an invented log, at true scale: the log's number and which of its boards, pixels in a row
    /// and rows.
    pub fn rendered(
        log: u32,
        board: u32,
        is_down: bool,
        size: &[u32],
        pixel: f64,
        origin: &[f64],
    ) -> PagePhotograph {
        let [wide, high] = size else {
            return PagePhotograph {
                photograph: Photograph::default(),
            };
        };
        let at = origin.try_into().unwrap_or_default();
        PagePhotograph {
            photograph: Photograph::rendered([log, board], is_down, [*wide, *high], pixel, at),
        }
    }

    /// Begins the map of the figure within an outline (x and y of its points in turn, in millimetres).
    pub fn map_begin(&mut self, outline: &[f64]) {
        self.photograph.map_begin(outline);
    }

    /// Goes on with the map by so many rows and tells the share that is done.
    pub fn map(&mut self, rows: usize) -> f64 {
        measured("photo-map", || self.photograph.map(rows))
    }

    /// The map, once it is done.
    pub fn figure(&self) -> Ts<PhotoFigure> {
        give(&self.photograph.figure())
    }

    /// What was seen so far: proposals, used by nothing until they are accepted.
    pub fn seen(&self) -> Ts<PhotoSeen> {
        give(&self.photograph.seen())
    }
}
