//! The cuts of a picture: kerfs true to size, and a number for each that hides nothing.

use heartside_cutting::Step;
use heartside_geometry::Arrange;
use heartside_geometry::Point;

use crate::fitting::around;
use crate::laid::{Laid, TYPE};
use crate::pen::Words;
use crate::room::{Room, Taken};
use crate::scene::{Outside, Scene};
use crate::text::text_width;
use crate::zones::Sign;

impl Scene<'_> {
    /// The kerfs, true to size, and their numbers.
    pub(crate) fn cuts(&mut self, laid: &[(usize, Laid)]) {
        let mut pen = self.pen();
        let steps = self.steps.clone();
        let straight: Vec<&Step> = steps
            .iter()
            .copied()
            .filter(|s| !s.band.is_empty())
            .collect();
        for step in &straight {
            pen.path("hs-kerf", &self.origin.ring(&step.band), 0.0, &[]);
            let (a, b) = centre_line(&step.band);
            pen.line("hs-cut", self.origin.map(a), self.origin.map(b), 0.22);
            self.done.signs.insert(Sign::Kerf);
        }
        let mut bubbles = String::new();
        // Short cuts have fewer places for their number: they choose first.
        let mut order: Vec<&Step> = straight.clone();
        order.arrange_by(|a, b| {
            a.sawn_length
                .total_cmp(&b.sawn_length)
                .then(a.number.cmp(&b.number))
        });
        for step in order {
            let (a, b) = centre_line(&step.band);
            if self.is_small_beside_its_number(step.number, step.sawn_length) {
                self.done.left_out += 1;
                continue;
            }
            if let Some(svg) = self.number(step.number, &step.title, a, b) {
                bubbles.push_str(&svg);
            } else {
                self.done.left_out += 1;
            }
        }
        for step in steps.iter().filter(|s| s.band.is_empty()) {
            let body = laid
                .iter()
                .find(|(place, _)| Some(*place) == step.placement);
            let near = body.map_or_else(
                || self.origin.map(step.line[0]),
                |(_, l)| self.free_target(l.body()),
            );
            // A part's way round is about three times its length.
            if self.is_small_beside_its_number(step.number, step.sawn_length / 3.0) {
                self.done.left_out += 1;
                continue;
            }
            if let Some(svg) = self.number_near(step.number, &step.title, near) {
                bubbles.push_str(&svg);
            } else {
                self.done.left_out += 1;
            }
        }
        self.done.cuts = pen.out + &bubbles;
    }

    /// On the floor, seen from far: a number as large as its cut would hide it, and shows when one comes nearer.
    fn is_small_beside_its_number(&self, number: u32, length: f64) -> bool {
        self.look.outside != Outside::Free && length < 1.6 * self.bubble_size(number).0
    }

    fn bubble_size(&self, number: u32) -> (f64, f64) {
        let size = TYPE.number * self.unit;
        let high = 3.9 * self.unit;
        (
            (text_width(&number.to_string(), size) + 1.5 * self.unit).max(high),
            high,
        )
    }

    fn bubble(&mut self, number: u32, title: &str, middle: Point, from: Option<Point>) -> String {
        let (w, h) = self.bubble_size(number);
        let mut pen = self.pen();
        pen.open("", "hs-a-cut", title, &format!(" data-cut=\"{number}\""));
        if let Some(from) = from {
            pen.line("hs-cut", from, middle, 0.22);
            self.done.room.take_leader(from, middle);
        }
        let own = around(middle, w, h);
        pen.rect("hs-bubble", own, h / 2.0, 0.24);
        pen.words(&Words::new(
            number.to_string(),
            "hs-number",
            middle,
            TYPE.number * self.unit,
        ));
        pen.close();
        self.done.room.take(Taken::Label, own);
        pen.out
    }

    /// The number of a straight cut: beyond an end that lies at the board's rim, else on the line, else further out.
    fn number(&mut self, number: u32, title: &str, a: Point, b: Point) -> Option<String> {
        let (w, h) = self.bubble_size(number);
        let unit = self.unit;
        let length = a.distance(b).max(1e-9);
        let (ux, uy) = ((b.x - a.x) / length, (b.y - a.y) / length);
        let outline = &self.subject.board.outline;
        let at_rim = |p: Point, sign: f64| {
            !outline.contains(Point {
                x: p.x + sign * ux * 0.5 * unit,
                y: p.y + sign * uy * 0.5 * unit,
            })
        };
        let mut beyond = Vec::new();
        // The end that is higher in the drawing first, then the other.
        let ends = if b.y >= a.y {
            [(b, 1.0), (a, -1.0)]
        } else {
            [(a, -1.0), (b, 1.0)]
        };
        for (end, sign) in ends.into_iter().filter(|(end, sign)| at_rim(*end, *sign)) {
            for out in [2.9, 7.0, 11.1] {
                if self.look.dimensions && uy.abs() > 0.5 && sign * uy < 0.0 {
                    // Below the board the dimensions stand.
                    continue;
                }
                let p = Point {
                    x: end.x + sign * ux * out * unit,
                    y: end.y + sign * uy * out * unit,
                };
                beyond.push((self.origin.map(p), Some(self.origin.map(end))));
            }
        }
        let on_line = [0.5, 0.35, 0.65, 0.22, 0.78, 0.12, 0.88]
            .map(|t| (self.origin.map(a.towards(b, t)), None));
        let limit = self.board_box().grown(match self.look.outside {
            Outside::Free => f64::INFINITY,
            Outside::Within(by) => by,
        });
        let (near, far): (Vec<_>, Vec<_>) = beyond
            .into_iter()
            .partition(|(m, from)| from.is_some_and(|f| m.distance(f) < 3.5 * unit));
        let places: Vec<(Point, Option<Point>)> =
            near.into_iter().chain(on_line).chain(far).collect();
        let fits = |room: &Room, (middle, from): (Point, Option<Point>)| {
            let own = around(middle, w, h);
            limit.contains_bounds(&own)
                && room.is_free(&own)
                && from.is_none_or(|f| room.leader_is_free(f, middle))
        };
        let room = &self.done.room;
        let sparing = places
            .iter()
            .copied()
            .find(|p| fits(room, *p) && room.spares_small(&around(p.0, w, h)));
        if let Some((middle, from)) = sparing {
            return Some(self.bubble(number, title, middle, from));
        }
        self.number_near(number, title, self.origin.map(a.midpoint(b)))
    }

    /// A number near a place, off small blanks where it can be, or led out of the board.
    fn number_near(&mut self, number: u32, title: &str, at: Point) -> Option<String> {
        let (w, h) = self.bubble_size(number);
        let step = 2.1 * self.unit;
        let around_it = [
            (1.0, 0.0),
            (-1.0, 0.0),
            (0.0, 1.0),
            (0.0, -1.0),
            (1.0, 1.0),
            (-1.0, -1.0),
            (1.0, -1.0),
            (-1.0, 1.0),
        ];
        let rings = (1..5).flat_map(|ring| {
            around_it.map(|(dx, dy)| (f64::from(ring) * dx, f64::from(ring) * dy))
        });
        for (dx, dy) in std::iter::once((0.0, 0.0)).chain(rings) {
            let middle = Point {
                x: at.x + dx * step,
                y: at.y + dy * step,
            };
            let own = around(middle, w, h);
            let from = (dx != 0.0 || dy != 0.0).then_some(at);
            let room = &self.done.room;
            if room.is_free(&own)
                && room.spares_small(&own)
                && self.board_box().contains_bounds(&own)
                && from.is_none_or(|f| room.leader_is_free(f, middle))
            {
                return Some(self.bubble(number, title, middle, from));
            }
        }
        let place = self.outside_place(w, h, at)?;
        Some(self.bubble(number, title, place.centre(), Some(at)))
    }
}

/// The middle line of a kerf along its longer way.
pub(crate) fn centre_line(band: &[Point]) -> (Point, Point) {
    let [a, b, c, d] = band else {
        let p = band.first().copied().unwrap_or(Point { x: 0.0, y: 0.0 });
        return (p, p);
    };
    if a.distance(*b) >= b.distance(*c) {
        (a.midpoint(*d), b.midpoint(*c))
    } else {
        (a.midpoint(*b), d.midpoint(*c))
    }
}
