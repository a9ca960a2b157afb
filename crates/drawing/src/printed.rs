//! What is printed to be cut out or glued on: black on white, with the boxes of all words kept.

use heartside_geometry::{Bounds, Point};

use crate::document::{Drawing, document};
use crate::pen::{Pen, Words};
use crate::room::stretch_within;
use crate::style::Theme;
use crate::svg::number;

/// Nearer to the edge of the paper nothing is drawn, in millimetres: few printers reach beyond 5, and the
/// boldest line is half a millimetre wide.
pub(crate) const EDGE: f64 = 5.3;

/// Six points, in millimetres: the least type of what is read with the wood in the hand.
pub(crate) const LEAST_PRINTED: f64 = 6.0 * 25.4 / 72.0;

/// A page while it is drawn.
#[derive(Debug, Clone)]
pub(crate) struct Printed {
    pub(crate) pen: Pen,
    /// Boxes of words and signs.
    pub(crate) labels: Vec<Bounds>,
    page: Bounds,
}

impl Printed {
    /// A page of so many millimetres.
    pub(crate) fn new(width: f64, height: f64) -> Printed {
        Printed {
            pen: Pen::new(1.0),
            labels: Vec::new(),
            page: Bounds::of_size(width, height),
        }
    }

    /// What a printer reaches.
    pub(crate) fn reached(&self) -> Bounds {
        self.page.grown(-EDGE)
    }

    /// Words in ink, with their box.
    pub(crate) fn words(&mut self, words: &Words) {
        self.labels.push(words.bounds());
        self.pen.words(words);
    }

    /// A line of words in ink that starts at a place, at mid height.
    pub(crate) fn line_of_words(&mut self, text: &str, left: Point, size: f64) {
        if !text.is_empty() {
            self.words(&Words::starting(text, "hs-name", left, size));
        }
    }

    /// A sign drawn by a pen of its own size, with its box.
    pub(crate) fn sign(&mut self, taken: Bounds, unit: f64, draw: impl FnOnce(&mut Pen)) {
        let mut own = Pen::new(unit);
        draw(&mut own);
        self.pen.out.push_str(&own.out);
        self.labels.push(taken);
    }

    /// The page as a drawing that stands alone.
    pub(crate) fn finished(self, name: &str, title: &str, described: &str) -> Drawing {
        document(
            name,
            title,
            described,
            self.page,
            Theme::Print,
            &self.pen.out,
            self.labels,
        )
    }
}

/// The stretch of a line within a box; none where it has no length in it.
pub(crate) fn clipped(a: Point, b: Point, within: &Bounds) -> Option<(Point, Point)> {
    let held = |share: f64| {
        let p = a.towards(b, share);
        Point {
            x: p.x.clamp(within.min.x, within.max.x),
            y: p.y.clamp(within.min.y, within.max.y),
        }
    };
    stretch_within(within, a, b).map(|(enter, leave)| (held(enter), held(leave)))
}

/// One line without line breaks, blanks at its ends or several in a row: as it will be drawn and measured.
pub(crate) fn in_one_line(text: &str) -> String {
    let seen: String = text
        .chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    seen.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The path of an open chain of places on the page.
pub(crate) fn path_of(chain: &[Point]) -> String {
    let mut d = String::new();
    for (place, p) in chain.iter().enumerate() {
        d.push(if place == 0 { 'M' } else { 'L' });
        d.push_str(&format!("{},{}", number(p.x), number(p.y)));
    }
    d
}
