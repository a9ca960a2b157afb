//! The no-fit polygons of pairs of forms, each made once and kept.

use heartside_geometry::math::sin_cos_deg;
use heartside_geometry::{Point, Vector};

use super::direct::Direct;
use super::no_fit::NoFit;
use super::shape::{Form, Shell};
use super::span::WayOut;

/// Where a form may not lie because of another: their no-fit polygon, turned about the origin, or the forms themselves as long as that is not made.
///
/// Where b may not lie because of a is where a may not lie because of b, mirrored, which is
/// half a turn; and turning both turns it too. So there is one for each angle between two
/// parts: a quarter of what turns by a half would need, fewer still with more turns. More
/// of them stay in the processor's cache, which is what the speed depends on.
///
/// Parts that are turned freely meet at angles that never come again. So a no-fit polygon is made
/// only when it has been asked for some times ([`ASKED`]).
#[derive(Debug, Clone, Copy)]
pub(super) enum View<'a> {
    /// The no-fit polygon, and the cosine and sine of its turn.
    Made(&'a NoFit, (f64, f64)),
    /// The forms' own shells.
    Direct(Direct<'a>),
}

impl View<'_> {
    /// True where every distance is kept but for `slack`.
    pub(super) fn is_clear(&self, d: Point, slack: f64) -> bool {
        match self {
            View::Made(no_fit, by) => no_fit.is_clear(turned_back(d, *by), slack),
            View::Direct(direct) => direct.is_clear(d, slack),
        }
    }

    /// A measure of the overlap: see [`NoFit::overlap`].
    pub(super) fn overlap(&self, d: Point, slack: f64) -> f64 {
        match self {
            View::Made(no_fit, by) => no_fit.overlap(turned_back(d, *by), slack),
            View::Direct(direct) => direct.overlap(d, slack),
        }
    }

    /// The way out of the deepest polygon at `d`.
    pub(super) fn way_out(&self, d: Point, slack: f64) -> Option<WayOut> {
        match self {
            View::Made(no_fit, by) => {
                let out = no_fit.way_out(turned_back(d, *by), slack)?;
                Some(WayOut {
                    depth: out.depth,
                    direction: turned(out.direction, *by),
                })
            }
            View::Direct(direct) => direct.way_out(d, slack),
        }
    }

    /// How many corners there are in all.
    pub(super) fn corner_count(&self) -> usize {
        match self {
            View::Made(no_fit, _) => no_fit.corner_count(),
            View::Direct(direct) => direct.corner_count(),
        }
    }

    /// A place where the moving form just touches the fixed one with a corner: corner k of the polygons.
    pub(super) fn touching(&self, k: usize, keep: f64) -> Point {
        match self {
            View::Made(no_fit, by) => {
                let corner = no_fit.corner(k);
                Point::ORIGIN + turned(corner.at.to_vector() + corner.normal * keep, *by)
            }
            View::Direct(direct) => direct.touching(k),
        }
    }
}

/// A place as a turned no-fit polygon sees it: turned back.
fn turned_back(d: Point, (cos, sin): (f64, f64)) -> Point {
    Point::new(cos * d.x + sin * d.y, cos * d.y - sin * d.x)
}

fn turned(v: Vector, (cos, sin): (f64, f64)) -> Vector {
    Vector::new(cos * v.x - sin * v.y, sin * v.x + cos * v.y)
}

/// A no-fit polygon that is made, turned about the origin.
#[derive(Debug, Clone, Copy)]
pub(super) struct Barred<'a> {
    no_fit: &'a NoFit,
    by: (f64, f64),
}

impl Barred<'_> {
    /// Adds the barred heights at x, moved by `by`: open intervals.
    pub(super) fn heights(&self, x: f64, by: Vector, into: &mut Vec<(f64, f64)>) {
        self.no_fit.barred_heights(x, by, self.by, into);
    }

    /// The greatest x of every polygon with its distance, moved by `by`: where the moving shape just clears it on the right.
    pub(super) fn right_ends(&self, by: f64, into: &mut Vec<f64>) {
        self.no_fit.right_ends(by, self.by, into);
    }
}

/// What a no-fit polygon is found by: two sides and the angle between them, or a form and what is fixed.
type Key = (u32, u32, u32);

/// A key and its no-fit polygon, or how often that was asked for.
type Entry = Option<(Key, Held)>;

#[derive(Debug)]
enum Held {
    Asked(u32),
    Made(Box<NoFit>),
}

impl Held {
    fn weight(&self) -> usize {
        match self {
            Held::Asked(_) => 0,
            Held::Made(no_fit) => no_fit.weight(),
        }
    }
}

/// Asked for so often a no-fit polygon is made.
///
/// 161 parts of up to 200 corners, 12 s, moves made: 1500 where it is made at once, 5200 after
/// 8, 7100 after 40. Parts turned freely gain a third; parts that meet at few angles nothing.
/// Making one costs less where the pieces are few, hence no more than a dozen.
const ASKED: u32 = 12;

/// In place of an angle where there is none.
const FIXED: u32 = u32::MAX;

/// Angles are told apart to a millionth of a degree: a hundred-thousandth of a millimetre in a metre.
const PER_DEGREE: f64 = 1e6;

/// No-fit polygons of forms, kept in a table of fixed size.
#[derive(Debug)]
pub(super) struct NoFits {
    table: Vec<Entry>,
    held: usize,
    kerf: f64,
    /// How often there was too little room: what is asked for must come up twice as often each time before it is kept.
    crowded: u32,
}

/// Places in the table, in groups. Fewer and pairs in use push each other out; more only costs memory.
const PLACES: usize = 1 << 14;

/// A pair may lie at so many places.
const GROUP: usize = 4;

/// Numbers held at most (80 MB); beyond that what was asked for longest ago goes.
const MOST_HELD: usize = 10_000_000;

/// So often at most what is kept must be asked for twice as often as before.
///
/// 85 kinds of parts at four turns have 15,000 no-fit polygons, several times what is held: kept after a
/// dozen times as elsewhere, most went before they were asked for again. Moves in 15 s: 18,700 so,
/// 30,800 where they are asked for 40 times first and get their nets after 400.
const MOST_CROWDED: u32 = 3;

impl NoFits {
    /// An empty table for pairs that keep `kerf` between their blanks.
    pub(super) fn new(kerf: f64) -> NoFits {
        let mut table = Vec::new();
        table.resize_with(PLACES, || None);
        NoFits {
            table,
            held: 0,
            kerf,
            crowded: 0,
        }
    }

    /// What the blanks of two pieces keep between them.
    pub(super) fn kerf(&self) -> f64 {
        self.kerf
    }

    /// Where `moving` may not lie because of `fixed`.
    pub(super) fn between<'a>(&'a mut self, moving: &'a Form, fixed: &'a Form) -> View<'a> {
        let (place, by) = self.place_between(moving, fixed, ASKED << self.crowded);
        self.view(place, by, (moving, fixed))
    }

    fn view<'a>(
        &'a self,
        place: Option<usize>,
        by: (f64, f64),
        (moving, fixed): (&'a Form, &'a Form),
    ) -> View<'a> {
        match place {
            Some(place) => View::Made(self.at(place), by),
            None => View::Direct(Direct {
                moving: &moving.shells,
                fixed: &fixed.shells,
                keep: self.kerf + moving.radius + fixed.radius,
            }),
        }
    }

    /// The same, made at once: for columns, which ask for every polygon.
    pub(super) fn barred(&mut self, moving: &Form, fixed: &Form) -> Barred<'_> {
        let (place, by) = self.place_between(moving, fixed, 0);
        Barred {
            no_fit: place.map_or(&EMPTY, |place| self.at(place)),
            by,
        }
    }

    /// How much `moving` overlaps `fixed` if it lies at `d` from it: see [`NoFit::overlap`].
    pub(super) fn overlap(&mut self, moving: &Form, fixed: &Form, d: Point, slack: f64) -> f64 {
        let (place, by) = self.place_between(moving, fixed, ASKED << self.crowded);
        if let Some(place) = place {
            self.weigh(place);
        }
        self.view(place, by, (moving, fixed)).overlap(d, slack)
    }

    /// Where the no-fit polygon of two forms stands in the table, and how it is turned; no place where it was asked for less than `often`.
    fn place_between(
        &mut self,
        moving: &Form,
        fixed: &Form,
        often: u32,
    ) -> (Option<usize>, (f64, f64)) {
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
            NoFit::new(&turned, fixed.side.shells.iter().map(|h| (h, keep)))
        };
        let key = (moving.side.id, fixed.side.id, between);
        (self.place(key, often, make), (sign * cos, sign * sin))
    }

    /// Where a form may not lie because of what has the given number, made if it is not there.
    pub(super) fn find(&mut self, form: &Form, fixed: u32, make: impl FnOnce() -> NoFit) -> &NoFit {
        let place = self.place((form.id, fixed, FIXED), 0, make);
        place.map_or(&EMPTY, |place| self.at(place))
    }

    fn weigh(&mut self, place: usize) {
        if let Some((_, Held::Made(no_fit))) = &mut self.table[place] {
            self.held += no_fit.is_weighed(self.crowded);
        }
    }

    fn at(&self, place: usize) -> &NoFit {
        match &self.table[place] {
            Some((_, Held::Made(no_fit))) => no_fit,
            // Only places that were filled are asked for.
            _ => &EMPTY,
        }
    }

    /// The place of a no-fit polygon, made if it was asked for at least `often` before; none if not.
    fn place(&mut self, key: Key, often: u32, make: impl FnOnce() -> NoFit) -> Option<usize> {
        if self.held > MOST_HELD {
            self.make_room();
        }
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
                // The last of the group makes room: it was asked for longest ago, or nearly so.
                let place = (group.clone())
                    .find(|k| self.table[*k].is_none())
                    .unwrap_or(first + GROUP - 1);
                self.held -= self.table[place].take().map_or(0, |(_, h)| h.weight());
                self.table[place] = Some((key, Held::Asked(0)));
                place
            }
        };
        if let Some((_, Held::Asked(count))) = &mut self.table[place] {
            *count += 1;
            if *count <= often {
                return None;
            }
            let made = make();
            self.held += made.weight();
            self.table[place] = Some((key, Held::Made(Box::new(made))));
        }
        if place > first {
            self.table.swap(place - 1, place);
            place -= 1;
        }
        Some(place)
    }

    /// Forgets what stands last in each group until half of what is held is gone.
    fn make_room(&mut self) {
        self.crowded = (self.crowded + 1).min(MOST_CROWDED);
        for back in (0..GROUP).rev() {
            for entry in self.table[back..].iter_mut().step_by(GROUP) {
                self.held -= entry.take().map_or(0, |(_, h)| h.weight());
            }
            if self.held <= MOST_HELD / 2 {
                return;
            }
        }
    }
}

static EMPTY: NoFit = NoFit::empty();

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use heartside_timber::document::Document;
    use heartside_timber::prepare::prepare;

    use super::super::shape::{Detail, Form, Forms, PartShape};
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
        let shapes: Vec<PartShape> = (job.parts.iter())
            .map(|part| PartShape::new(part, Detail::Fine))
            .collect();
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
        let mut table = NoFits::new(3.0);
        let mut chance = Chance::new(5, 0, 0);
        let mut barred = 0;
        for a in &forms {
            for b in &forms {
                let plain = NoFit::new(
                    &a.shells,
                    b.shells.iter().map(|s| (s, 3.0 + a.radius + b.radius)),
                );
                for _ in 0..2 * ASKED {
                    let d =
                        Point::new(600.0 * chance.unit() - 300.0, 300.0 * chance.unit() - 150.0);
                    let view = table.between(a, b);
                    assert_eq!(view.is_clear(d, 0.0), plain.is_clear(d, 0.0), "at {d:?}");
                    let (x, y) = (view.overlap(d, 0.0), plain.overlap(d, 0.0));
                    assert!((x - y).abs() <= 1e-9 * (1.0 + y), "{x} is not {y}");
                    barred += u32::from(y > 0.0);
                    let (mut own, mut theirs) = (Vec::new(), Vec::new());
                    table
                        .barred(a, b)
                        .heights(d.x, Vector::new(0.0, 1.0), &mut own);
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
    fn shells_asked_directly_say_what_their_no_fit_polygon_says() {
        let forms = forms();
        let mut chance = Chance::new(6, 0, 0);
        let (mut barred, mut rounded) = (0, 0);
        for a in &forms {
            for b in &forms {
                for keep in [0.0, 11.0] {
                    let made = NoFit::new(&a.shells, b.shells.iter().map(|s| (s, keep)));
                    let direct = Direct {
                        moving: &a.shells,
                        fixed: &b.shells,
                        keep,
                    };
                    for _ in 0..20 {
                        let (x, y) = (chance.unit() - 0.5, chance.unit() - 0.5);
                        let d = Point::new(700.0 * x, 400.0 * y);
                        assert_eq!(direct.is_clear(d, 1e-3), made.is_clear(d, 1e-3), "at {d:?}");
                        let (x, y) = (direct.overlap(d, 1e-3), made.overlap(d, 1e-3));
                        assert!((x - y).abs() <= 1e-9 * (1.0 + y), "{x} is not {y} at {d:?}");
                        let depths = [direct.way_out(d, 1e-3), made.way_out(d, 1e-3)]
                            .map(|out| out.map_or(0.0, |out| out.depth));
                        assert!((depths[0] - depths[1]).abs() <= 1e-9, "{depths:?} at {d:?}");
                        if let Some(out) = direct.way_out(d, 1e-3) {
                            // Straight out of the deepest pair, that one at least is parted.
                            let length = out.direction.dot(out.direction);
                            assert!((length - 1.0).abs() < 1e-9, "a unit vector");
                            barred += 1;
                            rounded += u32::from(out.depth < keep);
                        }
                    }
                    assert_eq!(direct.corner_count(), made.corner_count());
                    let k = chance.below(made.corner_count());
                    let corner = made.corner(k);
                    let there = corner.at + corner.normal * keep;
                    assert!(direct.touching(k).distance(there) < 1e-9);
                }
            }
        }
        assert!(
            barred > 1000 && rounded > 50,
            "{barred} places, {rounded} near"
        );
    }

    #[test]
    fn a_no_fit_polygon_is_made_once_it_was_asked_for_often() {
        let forms = forms();
        let mut table = NoFits::new(3.0);
        for asked in 0..=ASKED {
            let made = matches!(table.between(&forms[0], &forms[14]), View::Made(..));
            assert_eq!(made, asked >= ASKED, "asked {asked} times before");
        }
        table.make_room();
        assert!(table.held <= MOST_HELD / 2);
        for asked in 0..=2 * ASKED {
            let made = matches!(table.between(&forms[0], &forms[20]), View::Made(..));
            assert_eq!(made, asked >= 2 * ASKED, "room was too little once");
        }
    }

    #[test]
    fn a_net_changes_nothing_that_is_measured() {
        let forms = forms();
        let mut chance = Chance::new(7, 0, 0);
        for (a, b) in [(0, 1), (0, 8), (3, 9), (2, 5)] {
            let (a, b) = (&forms[a], &forms[b]);
            let make = || {
                NoFit::new(
                    &a.shells,
                    b.shells.iter().map(|s| (s, 3.0 + a.radius + b.radius)),
                )
            };
            let (without, mut with) = (make(), make());
            while !with.has_net() {
                with.is_weighed(0);
            }
            for _ in 0..4000 {
                let d = Point::new(800.0 * chance.unit() - 400.0, 500.0 * chance.unit() - 250.0);
                let (x, y) = (with.overlap(d, 1e-3), without.overlap(d, 1e-3));
                assert_eq!(x, y, "at {d:?}");
            }
        }
    }
}
