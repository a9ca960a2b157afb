//! What is done to a drawing: by a pointer on the floor, by keys and buttons, by numbers typed.

use heartside_geometry::{Point, Vector};
use heartside_timber::document::BoardCopy;

use super::sketch::Hand;
use super::{shown, typed};
use crate::protocol::{self, DrawOrder, DrawStep, DrawWay};
use crate::session::Session;
use crate::session::marking::rule_step;

impl Session {
    /// The drawing as it is seen at so many millimetres to a pixel; nothing where none is under way.
    pub fn drawing(&mut self, pixel: f64) -> Option<protocol::Drawing> {
        let drawing = self.drawing.as_mut()?;
        drawing.sketch.seen_at(pixel);
        let on = drawing.on.clone();
        let Some(origin) = self.origin_of(&on) else {
            // Its board went away.
            self.drawing = None;
            return None;
        };
        let words = format!("board {}", on.board);
        let sketch = &self.drawing.as_ref()?.sketch;
        Some(shown::shown(sketch, words, origin, &self.job.units))
    }

    fn origin_of(&self, of: &BoardCopy) -> Option<Point> {
        let lying = self.lying();
        lying.iter().find(|b| b.board == *of).map(|b| b.origin)
    }

    /// Where a pointer is, as a place of the board. The floor's y runs down.
    fn drawing_hand(&self, at: [f64; 2], pixel: f64, reach: f64, free: bool) -> Option<Hand> {
        let origin = self.origin_of(&self.drawing.as_ref()?.on)?;
        let at = Point::new(at[0] - origin.x, origin.y - at[1]);
        let is_sound = at.is_finite() && pixel.is_finite() && pixel > 0.0 && reach.is_finite();
        is_sound.then_some(Hand {
            at,
            pixel,
            reach,
            free,
        })
    }

    /// Whether a drag from a place of the floor draws, and does not move the picture.
    pub fn draw_grips(&self, x: f64, y: f64, pixel: f64, reach: f64, is_touch: bool) -> bool {
        let hand = self.drawing_hand([x, y], pixel, reach, false);
        let drawing = hand.zip(self.drawing.as_ref());
        drawing.is_some_and(|(hand, drawing)| drawing.sketch.grips(&hand, is_touch))
    }

    /// What a pointer does at a place of the floor; `reach` is how far off a point is still meant, in millimetres.
    pub fn draw_step(&mut self, step: DrawStep, at: [f64; 2], pixel: f64, reach: f64, free: bool) {
        let Some(hand) = self.drawing_hand(at, pixel, reach, free) else {
            return;
        };
        let Some(drawing) = &mut self.drawing else {
            return;
        };
        let sketch = &mut drawing.sketch;
        match step {
            DrawStep::Hover | DrawStep::Drag => sketch.drag(&hand),
            DrawStep::Press => sketch.press(&hand),
            DrawStep::Release => sketch.release(&hand),
            DrawStep::Tap => sketch.tap(&hand),
            DrawStep::GiveUp => sketch.give_up(),
        }
    }

    /// Does something to the drawing; false where there was no step to take back.
    pub fn draw_order(&mut self, order: DrawOrder) -> bool {
        let Some(drawing) = &mut self.drawing else {
            return false;
        };
        let sketch = &mut drawing.sketch;
        match order {
            DrawOrder::Back => return sketch.back(),
            DrawOrder::Forward => sketch.forward(),
            DrawOrder::Close => sketch.finish(),
            DrawOrder::Another => sketch.another(),
            DrawOrder::Remove => sketch.remove(),
            DrawOrder::RemoveLine => sketch.remove_line(),
            DrawOrder::Next => sketch.walk(false),
            DrawOrder::Before => sketch.walk(true),
            DrawOrder::Snap => sketch.snaps = !sketch.snaps,
        }
        true
    }

    /// Chooses how the pointer draws.
    pub fn draw_way(&mut self, way: DrawWay) {
        if let Some(drawing) = &mut self.drawing {
            drawing.sketch.give_up();
            drawing.sketch.told = None;
            drawing.sketch.way = way;
        }
    }

    /// Moves the chosen point by steps of the rule along the board and to the left of it: a millimetre, or
    /// a sixteenth of an inch.
    pub fn draw_nudge(&mut self, along: f64, left: f64) {
        let step = rule_step(self.job.units.unit);
        let by = Vector::new(along * step, left * step);
        if let Some(drawing) = self.drawing.as_mut().filter(|_| (by.x + by.y).is_finite()) {
            drawing.sketch.nudge(by);
        }
    }

    /// Takes the two numbers that were typed; says what cannot be read.
    pub fn draw_typed(&mut self, first: &str, second: &str) -> Option<String> {
        let is_angle = {
            let sketch = &self.drawing.as_ref()?.sketch;
            matches!(sketch.typed(), typed::Typed::Side(..))
        };
        let length = |text: &str| self.with_reader(|reader| reader.read_out(text));
        let read = |text: &str, is_angle: bool| {
            if text.trim().is_empty() {
                return Ok(None);
            }
            if is_angle {
                let plain = text.trim().trim_end_matches('\u{b0}').replace(',', ".");
                let degrees = plain
                    .trim()
                    .parse::<f64>()
                    .ok()
                    .filter(|d| d.abs() <= 360.0);
                let told = "An angle is a number of degrees from the board\u{2019}s length, such as 90 or -12.5.";
                return degrees.map(Some).ok_or_else(|| told.to_owned());
            }
            let read = length(text);
            read.mm
                .map(Some)
                .ok_or_else(|| read.problem.unwrap_or_default())
        };
        match (read(first, false), read(second, is_angle)) {
            (Ok(first), Ok(second)) => {
                self.drawing.as_mut()?.sketch.put(first, second);
                None
            }
            (Err(why), _) | (_, Err(why)) => Some(why),
        }
    }

    /// Leaves the drawing: nothing of it is taken.
    pub fn leave_drawing(&mut self) {
        self.drawing = None;
    }
}
