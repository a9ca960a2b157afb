//! The differences of pairs of forms, each made once and kept.

use heartside_geometry::math::sin_cos_deg;
use heartside_geometry::{Point, Vector};

use super::difference::{Difference, WayOut};
use super::shape::{Form, Shell};

/// A difference, turned about the origin.
///
/// Where b may not lie because of a is where a may not lie because of b, mirrored, which is
/// half a turn; and turning both turns it too. So there is one for each angle between two
/// parts: a quarter of what turns by a half would need, fewer still with more turns. More
/// of them stay in the processor's cache, which is what the speed depends on.
#[derive(Debug, Clone, Copy)]
pub(super) struct View<'a> {
    difference: &'a Difference,
    /// Cosine and sine of the turn.
    turned: (f64, f64),
}

impl View<'_> {
    /// A place as the difference sees it: turned back.
    fn own(&self, d: Point) -> Point {
        let (cos, sin) = self.turned;
        Point::new(cos * d.x + sin * d.y, cos * d.y - sin * d.x)
    }

    fn turn(&self, v: Vector) -> Vector {
        let (cos, sin) = self.turned;
        Vector::new(cos * v.x - sin * v.y, sin * v.x + cos * v.y)
    }

    /// True where every distance is kept but for `slack`.
    pub(super) fn is_clear(&self, d: Point, slack: f64) -> bool {
        self.difference.is_clear(self.own(d), slack)
    }

    /// A measure of the overlap: see [`Difference::overlap`].
    pub(super) fn overlap(&self, d: Point, slack: f64) -> f64 {
        self.difference.overlap(self.own(d), slack)
    }

    /// The way out of the deepest polygon at `d`.
    pub(super) fn way_out(&self, d: Point, slack: f64) -> Option<WayOut> {
        let out = self.difference.way_out(self.own(d), slack)?;
        Some(WayOut {
            depth: out.depth,
            direction: self.turn(out.direction),
        })
    }

    /// Adds the barred heights at x, moved by `by`: open intervals.
    pub(super) fn barred_heights(&self, x: f64, by: Vector, into: &mut Vec<(f64, f64)>) {
        self.difference.barred_heights(x, by, self.turned, into);
    }

    /// The greatest x of every polygon with its distance, moved by `by`: where the moving shape just clears it on the right.
    pub(super) fn right_ends(&self, by: f64, into: &mut Vec<f64>) {
        self.difference.right_ends(by, self.turned, into);
    }

    /// How many corners there are in all.
    pub(super) fn corner_count(&self) -> usize {
        self.difference.corner_count()
    }

    /// A place where the moving form just touches the fixed one with a corner: corner k of the polygons.
    pub(super) fn touching(&self, k: usize, keep: f64) -> Point {
        let corner = self.difference.corner(k);
        Point::ORIGIN + self.turn(corner.at.to_vector() + corner.normal * keep)
    }
}

/// What a difference is found by: two sides and the angle between them, or a form and what is fixed.
type Key = (u32, u32, u32);

/// A key and its difference.
type Entry = Option<(Key, Box<Difference>)>;

/// In place of an angle where there is none.
const FIXED: u32 = u32::MAX;

/// Angles are told apart to a millionth of a degree: a hundred-thousandth of a millimetre in a metre.
const PER_DEGREE: f64 = 1e6;

/// Differences of forms, kept in a table of fixed size.
#[derive(Debug)]
pub(super) struct Differences {
    table: Vec<Entry>,
    held: usize,
    kerf: f64,
}

/// Places in the table, in groups. Fewer and pairs in use push each other out; more only costs memory.
const PLACES: usize = 1 << 14;

/// A pair may lie at so many places.
const GROUP: usize = 4;

/// Numbers held at most (80 MB); beyond that the table is emptied.
const MOST_HELD: usize = 10_000_000;

impl Differences {
    /// An empty table for pairs that keep `kerf` between their blanks.
    pub(super) fn new(kerf: f64) -> Differences {
        let mut table = Vec::new();
        table.resize_with(PLACES, || None);
        Differences {
            table,
            held: 0,
            kerf,
        }
    }

    /// What the blanks of two pieces keep between them.
    pub(super) fn kerf(&self) -> f64 {
        self.kerf
    }

    /// Where `moving` may not lie because of `fixed`.
    pub(super) fn between(&mut self, moving: &Form, fixed: &Form) -> View<'_> {
        let (place, turned) = self.place_between(moving, fixed);
        View {
            difference: self.at(place),
            turned,
        }
    }

    /// How much `moving` overlaps `fixed` if it lies at `d` from it: see [`Difference::overlap`].
    pub(super) fn overlap(&mut self, moving: &Form, fixed: &Form, d: Point, slack: f64) -> f64 {
        let (place, turned) = self.place_between(moving, fixed);
        self.weigh(place);
        let difference = self.at(place);
        View { difference, turned }.overlap(d, slack)
    }

    fn place_between(&mut self, moving: &Form, fixed: &Form) -> (usize, (f64, f64)) {
        let whole = (360.0 * PER_DEGREE) as u32;
        // Turns are from -360 to 720 degrees.
        let angle = |m: &Form, f: &Form| {
            let degrees = m.turn - f.turn;
            let degrees = degrees - 360.0 * (degrees / 360.0).floor();
            (degrees * PER_DEGREE).round() as u32 % whole
        };
        let (m, f) = (moving.side.id, fixed.side.id);
        let between = angle(moving, fixed);
        let (moving, fixed, between, sign) = if m > f || (m == f && between > whole / 2) {
            (fixed, moving, (whole - between) % whole, -1.0)
        } else {
            (moving, fixed, between, 1.0)
        };
        let (cos, sin) = fixed.cos_sin;
        let keep = self.kerf + moving.radius + fixed.radius;
        let make = || {
            let (s, c) = sin_cos_deg(f64::from(between) / PER_DEGREE);
            let turned: Vec<Shell> =
                (moving.side.shells.iter().map(|h| h.turned((c, s)))).collect();
            Difference::new(&turned, fixed.side.shells.iter().map(|h| (h, keep)))
        };
        let key = (moving.side.id, fixed.side.id, between);
        (self.place(key, make), (sign * cos, sign * sin))
    }

    /// Where a form may not lie because of what has the given number, made if it is not there.
    pub(super) fn find(
        &mut self,
        form: &Form,
        fixed: u32,
        make: impl FnOnce() -> Difference,
    ) -> &Difference {
        let place = self.place((form.id, fixed, FIXED), make);
        self.at(place)
    }

    fn weigh(&mut self, place: usize) {
        if let Some((_, difference)) = &mut self.table[place] {
            self.held += difference.is_weighed();
        }
    }

    fn at(&self, place: usize) -> &Difference {
        match &self.table[place] {
            Some((_, difference)) => difference,
            // Only places that were filled are asked for.
            None => &EMPTY,
        }
    }

    fn place(&mut self, key: Key, make: impl FnOnce() -> Difference) -> usize {
        let (a, b, c) = key;
        let mixed = a.wrapping_mul(0x9e37_79b1)
            ^ b.wrapping_mul(0x85eb_ca77).rotate_left(15)
            ^ c.wrapping_mul(0xc2b2_ae3d).rotate_left(7);
        let first = (mixed >> 16 ^ mixed) as usize % (PLACES / GROUP) * GROUP;
        let group = first..first + GROUP;
        let is_it = |entry: &Entry| matches!(entry, Some((other, _)) if *other == key);
        let mut place = match self.table[group.clone()].iter().position(is_it) {
            Some(k) => first + k,
            None => {
                let made = make();
                // The last of the group makes room: it was asked for longest ago, or nearly so.
                let place = (group.clone())
                    .find(|k| self.table[*k].is_none())
                    .unwrap_or(first + GROUP - 1);
                let old = self.table[place].take().map_or(0, |(_, d)| d.weight());
                self.held = self.held - old + made.weight();
                if self.held > MOST_HELD {
                    self.table.iter_mut().for_each(|entry| *entry = None);
                    self.held = made.weight();
                }
                self.table[place] = Some((key, Box::new(made)));
                place
            }
        };
        if place > first {
            self.table.swap(place - 1, place);
            place -= 1;
        }
        place
    }
}

static EMPTY: Difference = Difference::empty();

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use heartside_timber::document::Document;
    use heartside_timber::prepare::prepare;

    use super::super::shape::{Form, Forms, PartShape};
    use super::*;
    use crate::chance::Chance;

    /// A hollow part with a sawn allowance and a triangle, at a few turns and turned over.
    fn forms() -> Vec<Arc<Form>> {
        let document: Document = serde_json::from_value(serde_json::json!({
            "format": "heartside-job", "version": 1,
            "parts": [
                { "id": "a", "thickness": 20, "cut": "sawn", "shape": { "form": "polygon",
                  "points": [[0, 0], [200, 0], [200, 60], [120, 30], [80, 90], [0, 40]] } },
                { "id": "b", "thickness": 20, "cut": "sawn", "shape": { "form": "polygon",
                  "points": [[0, 0], [90, 0], [20, 70]] } },
            ],
        }))
        .expect("a document");
        let job = prepare(&document).job;
        assert_eq!(job.parts.len(), 2, "both parts are sound");
        let mut forms = Forms::default();
        let shapes: Vec<PartShape> = job.parts.iter().map(PartShape::new).collect();
        let mut list = Vec::new();
        for (part, shape) in shapes.iter().enumerate() {
            for turn in [0.0, 12.5, 90.0, 180.0, 192.5, 300.0] {
                for over in [false, true] {
                    list.push(forms.kept(part, shape, turn, over));
                }
            }
        }
        list
    }

    #[test]
    fn turned_pairs_and_exchanged_roles_are_turned_images() {
        let forms = forms();
        let mut table = Differences::new(3.0);
        let mut chance = Chance::new(5, 0, 0);
        let mut barred = 0;
        for a in &forms {
            for b in &forms {
                let plain = Difference::new(
                    &a.shells,
                    b.shells.iter().map(|s| (s, 3.0 + a.radius + b.radius)),
                );
                for _ in 0..40 {
                    let d =
                        Point::new(600.0 * chance.unit() - 300.0, 300.0 * chance.unit() - 150.0);
                    let view = table.between(a, b);
                    assert_eq!(view.is_clear(d, 0.0), plain.is_clear(d, 0.0), "at {d:?}");
                    let (x, y) = (view.overlap(d, 0.0), plain.overlap(d, 0.0));
                    assert!((x - y).abs() <= 1e-9 * (1.0 + y), "{x} is not {y}");
                    barred += u32::from(y > 0.0);
                    let (mut own, mut theirs) = (Vec::new(), Vec::new());
                    view.barred_heights(d.x, Vector::new(0.0, 1.0), &mut own);
                    plain.barred_heights(d.x, Vector::new(0.0, 1.0), (1.0, 0.0), &mut theirs);
                    let sum =
                        |list: &[(f64, f64)]| list.iter().map(|(l, h)| h * h - l * l).sum::<f64>();
                    assert!((sum(&own) - sum(&theirs)).abs() <= 1e-6 * (1.0 + sum(&theirs).abs()));
                }
            }
        }
        assert!(barred > 1000, "some places are barred: {barred}");
    }

    #[test]
    fn a_net_changes_nothing_that_is_measured() {
        let forms = forms();
        let mut chance = Chance::new(7, 0, 0);
        for (a, b) in [(0, 1), (0, 8), (3, 9), (2, 5)] {
            let (a, b) = (&forms[a], &forms[b]);
            let make = || {
                Difference::new(
                    &a.shells,
                    b.shells.iter().map(|s| (s, 3.0 + a.radius + b.radius)),
                )
            };
            let (without, mut with) = (make(), make());
            while !with.has_net() {
                with.is_weighed();
            }
            for _ in 0..4000 {
                let d = Point::new(800.0 * chance.unit() - 400.0, 500.0 * chance.unit() - 250.0);
                let (x, y) = (with.overlap(d, 1e-3), without.overlap(d, 1e-3));
                assert_eq!(x, y, "at {d:?}");
            }
        }
    }
}
