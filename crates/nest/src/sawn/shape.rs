//! Parts as the search sees them: convex shells, turned and mirrored once and then only moved.
//!
//! # Outlines of many corners
//! Two parts are compared by every convex piece of one with every piece of the other, so what a
//! move costs grows with the square of the pieces. Almost every hollow corner makes a piece: a
//! hollow curve of n chords cannot be covered by fewer than n, whether the pieces overlap or
//! not, for no convex piece reaches two of its chords. So the number of hollow corners is what
//! must come down, not the way in which they are cut. The outline is therefore simplified
//! outwards ([`simplify_outer`]), a little more at a time, until the pieces are few or
//! the area would grow by too much ([`simpler`]). What is laid is judged on the true outlines.

use std::sync::Arc;

use heartside_geometry::math::{atan2_deg, sin_cos_deg};
use heartside_geometry::{
    Arrange, Bounds, Convex, Point, Pose, PreparedRegion, SortedMap, Vector, simplify_outer,
};
use heartside_timber::blank::Blank;
use heartside_timber::job::Part;

/// A convex polygon, counter-clockwise, or a segment run there and back.
#[derive(Debug, Clone)]
pub(crate) struct Shell {
    /// Its corners.
    pub(crate) points: Vec<Point>,
    /// Outward unit normals; number k belongs to the side from corner k to the next.
    pub(crate) normals: Vec<Vector>,
    /// The box round it.
    pub(crate) bounds: Bounds,
    /// About how wide it is: the root of its area, or a tenth of its greatest extent where it is thinner than that; infinite for a segment, which bars all of what meets it.
    pub(crate) width: f64,
    /// The mean of its corners.
    pub(crate) middle: Point,
}

impl Shell {
    /// The shell of a convex piece.
    pub(crate) fn of(piece: &Convex) -> Shell {
        let points = piece.points();
        let from = |a: &Point| {
            let squared = points.iter().map(|b| a.distance_squared(*b));
            squared.fold(0.0, f64::max)
        };
        let extent = points.iter().map(from).fold(0.0, f64::max).sqrt();
        Shell {
            points: points.to_vec(),
            normals: piece.normals().to_vec(),
            bounds: *piece.bounds(),
            width: piece.area().max(0.0).sqrt().max(0.1 * extent),
            middle: middle_of(points),
        }
    }

    /// The shell turned about the origin by an angle of this cosine and sine.
    pub(crate) fn turned(&self, (cos, sin): (f64, f64)) -> Shell {
        let turned = |v: Vector| Vector::new(cos * v.x - sin * v.y, sin * v.x + cos * v.y);
        let points: Vec<Point> = self
            .points
            .iter()
            .map(|p| Point::ORIGIN + turned(p.to_vector()))
            .collect();
        Shell {
            bounds: Bounds::of_points(points.iter().copied()).unwrap_or(self.bounds),
            points,
            normals: self.normals.iter().map(|n| turned(*n)).collect(),
            width: self.width,
            middle: Point::ORIGIN + turned(self.middle.to_vector()),
        }
    }

    /// A segment; none where its ends are one point.
    pub(crate) fn segment(a: Point, b: Point) -> Option<Shell> {
        let normal = (b - a).turned_right().unit()?;
        Some(Shell {
            points: vec![a, b],
            normals: vec![normal, -normal],
            bounds: Bounds::new(a, b),
            width: f64::INFINITY,
            middle: middle_of(&[a, b]),
        })
    }
}

fn middle_of(points: &[Point]) -> Point {
    let sum = points
        .iter()
        .fold(Vector::ZERO, |sum, p| sum + p.to_vector());
    Point::ORIGIN + sum / points.len() as f64
}

/// Shapes of more convex pieces than this are simplified outwards for the search.
///
/// A hollow arc has a piece for every chord, and a pair of such parts has the product of
/// both numbers: 60 curved parts of 16 pieces each took 9 s for a first layout on true outlines.
const FEW_PIECES: usize = 5;

/// So are shapes of more corners than this, be they convex: a disc drawn with thousands of corners
/// would bring them all into each of its pairs. Published parts and arcs of usual size have fewer.
const FEW_CORNERS: usize = 256;

/// How far a simplified outline may go beyond the true one, in shares of the part's length, tried in turn.
const SIMPLER: [f64; 7] = [0.000_2, 0.000_5, 0.001, 0.002, 0.004, 0.008, 0.016];

/// The first of these costs next to nothing. Outlines without an allowance are laid as tightly
/// as can be, so beyond it their area may only grow by [`Detail::more_area`].
const NOTHING: f64 = 0.000_2;

/// Only outlines without an allowance that still have more pieces than this are then simplified further.
///
/// With some fewer a search is not quicker, and what their area grows by is lost.
const MANY_PIECES: usize = 8;

/// How closely outlines are seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Detail {
    /// As closely as searches can bear.
    Fine,
    /// As they are.
    True,
    /// In outline, for finding arrangements that are pressed together afterwards.
    Coarse,
}

impl Detail {
    /// The share of its area that simplifying may add to an outline without an allowance.
    ///
    /// What is asked of a layout is a hundredth or two of its length, and a search that makes
    /// ten times as many moves gains more than this. Outlines of 80 to 160 corners, 50 parts in
    /// one strip, moves a second: with 0.02 % of the length alone 680, with 0.15 % of the area 2900,
    /// with 0.4 % 4100; 80 parts of up to 1043 corners: 1700, 2500, 5500.
    const fn more_area(self) -> f64 {
        match self {
            Detail::True => 0.0,
            Detail::Fine => 0.002_5,
            Detail::Coarse => 0.015,
        }
    }
}

/// The share of the allowance that simplifying may add to it: at the usual 3 mm no more than 1.5 mm.
const OF_ALLOWANCE: f64 = 0.5;

/// A part's blank before it is turned.
#[derive(Debug, Clone)]
pub(crate) struct PartShape {
    /// The core of its blank, true.
    pub(crate) core: PreparedRegion,
    /// The core or a simpler region that holds it.
    simple: PreparedRegion,
    /// How far the blank reaches round it.
    pub(crate) radius: f64,
    /// About the area of the blank, in square millimetres.
    pub(crate) area: f64,
    /// The larger extent of its core.
    pub(crate) length: f64,
}

impl PartShape {
    /// Area of the outline that the search sees, in square millimetres.
    pub(crate) fn seen_area(&self) -> f64 {
        self.simple.region().area()
    }

    /// Convex pieces of that outline.
    pub(crate) fn seen_pieces(&self) -> usize {
        self.simple.pieces().len()
    }

    /// Decomposes the part's blank.
    pub(crate) fn new(part: &Part, detail: Detail) -> PartShape {
        let blank = Blank::of(part);
        let bounds = blank.core.bounds();
        let around: f64 = blank.core.rings().map(|r| r.perimeter()).sum();
        let area = blank.core.area() + around * blank.radius;
        let core = PreparedRegion::new(blank.core);
        PartShape {
            simple: simpler(&core, blank.radius, detail),
            area,
            length: bounds.width().max(bounds.height()),
            core,
            radius: blank.radius,
        }
    }
}

/// The core, or a region of fewer pieces that holds it and goes beyond it by little.
fn simpler(core: &PreparedRegion, radius: f64, detail: Detail) -> PreparedRegion {
    let size = core.bounds().width().max(core.bounds().height());
    let most_area = core.region().area() * (1.0 + detail.more_area());
    let mut best = core.clone();
    let shares = match detail {
        Detail::True => &SIMPLER[..0],
        Detail::Fine => &SIMPLER[..5],
        Detail::Coarse => &SIMPLER[..],
    };
    for share in shares.iter().copied() {
        let (pieces, corners) = (best.pieces().len(), best.region().point_count());
        if pieces <= FEW_PIECES && corners <= FEW_CORNERS {
            break;
        }
        let off = if radius > 0.0 {
            (share * size).min(OF_ALLOWANCE * radius)
        } else {
            share * size
        };
        let many = pieces > MANY_PIECES || corners > FEW_CORNERS;
        if radius <= 0.0 && share > NOTHING && !many {
            break;
        }
        let simple = simplify_outer(core.region(), off);
        if radius <= 0.0 && share > NOTHING && simple.area() > most_area {
            break;
        }
        let next = PreparedRegion::new(simple);
        let fewer_corners = corners > FEW_CORNERS && next.region().point_count() < corners;
        if next.pieces().len() < pieces || (fewer_corners && next.pieces().len() == pieces) {
            best = next;
        }
    }
    best
}

/// A part face up or turned over, before it is turned: what all its forms have in common.
#[derive(Debug)]
pub(crate) struct Side {
    /// Names it: no two sides or forms of one search have the same number.
    pub(crate) id: u32,
    /// Convex shells of the core, simplified outwards where it has many corners.
    pub(crate) shells: Vec<Shell>,
    /// The sides of the outline, the core to their left.
    pub(crate) edges: Vec<Edge>,
}

/// A side of an outline.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Edge {
    /// Where it begins.
    pub(crate) from: Point,
    /// Where it ends.
    pub(crate) to: Point,
    /// Its direction in degrees.
    pub(crate) angle: f64,
}

impl Edge {
    /// The side between two points.
    pub(crate) fn new((from, to): (Point, Point)) -> Edge {
        let along = to - from;
        Edge {
            from,
            to,
            angle: atan2_deg(along.y, along.x),
        }
    }

    /// The side turned by the angle of a form and moved to where it lies.
    pub(crate) fn posed(&self, form: &Form, at: Point) -> Edge {
        let (cos, sin) = form.cos_sin;
        let posed = |p: Point| at + Vector::new(cos * p.x - sin * p.y, sin * p.x + cos * p.y);
        Edge {
            from: posed(self.from),
            to: posed(self.to),
            angle: self.angle + form.turn,
        }
    }
}

/// A blank turned, perhaps mirrored, lying at its origin.
#[derive(Debug)]
pub struct Form {
    /// Names this form: no two of one search have the same number.
    pub id: u32,
    /// What it is before it is turned.
    pub(crate) side: Arc<Side>,
    /// The part.
    pub part: usize,
    /// Degrees, counter-clockwise.
    pub turn: f64,
    /// Cosine and sine of that.
    pub(crate) cos_sin: (f64, f64),
    /// Turned over.
    pub turned_over: bool,
    /// The shells of its side, turned.
    pub(crate) shells: Vec<Shell>,
    /// The box round the core.
    pub bounds: Bounds,
    /// How far the blank reaches round the core.
    pub radius: f64,
}

impl Form {
    fn new(id: u32, part: usize, side: Arc<Side>, radius: f64, turn: f64, over: bool) -> Form {
        let (sin, cos) = sin_cos_deg(turn);
        let shells: Vec<Shell> = side.shells.iter().map(|s| s.turned((cos, sin))).collect();
        let boxes = shells.iter().map(|shell| shell.bounds);
        let nowhere = Bounds::new(Point::ORIGIN, Point::ORIGIN);
        Form {
            id,
            part,
            turn,
            cos_sin: (cos, sin),
            turned_over: over,
            bounds: boxes.reduce(Bounds::union).unwrap_or(nowhere),
            shells,
            side,
            radius,
        }
    }

    /// About how many numbers it holds.
    fn weight(&self) -> usize {
        let of_shell = |shell: &Shell| 4 * shell.points.len() + 12;
        16 + self.shells.iter().map(of_shell).sum::<usize>()
    }

    /// The box round the core once the origin lies at a point.
    pub fn bounds_at(&self, at: Point) -> Bounds {
        self.bounds.translated(at.to_vector())
    }

    /// True if two forms are the same shape but for a displacement, so that one of them is enough.
    fn same_shape(&self, other: &Form) -> bool {
        let by = other.bounds.min - self.bounds.min;
        let close = 1e-9 * (self.bounds.width() + self.bounds.height());
        let corners = |form: &Form, by: Vector| {
            let mut list: Vec<Point> = form
                .shells
                .iter()
                .flat_map(|s| s.points.iter().map(|p| *p + by))
                .collect();
            // Rounded for the order only.
            let key = |v: f64| (v / (8.0 * close)).round();
            list.arrange_by(|a, b| {
                key(a.x)
                    .total_cmp(&key(b.x))
                    .then(key(a.y).total_cmp(&key(b.y)))
            });
            list
        };
        let (own, theirs) = (corners(self, by), corners(other, Vector::ZERO));
        own.len() == theirs.len()
            && own
                .iter()
                .zip(&theirs)
                .all(|(a, b)| a.distance(*b) <= close)
    }
}

/// Forms, each made once and kept while there is room or something else holds it too.
#[derive(Debug, Default)]
pub(crate) struct Forms {
    kept: SortedMap<(usize, u64, bool), Arc<Form>>,
    /// Numbers in those kept.
    held: usize,
    /// Numbers that may be held before those are forgotten that nothing else holds.
    room: usize,
    sides: SortedMap<(usize, bool), Arc<Side>>,
    next: u32,
}

/// Numbers held at most in forms that nothing else holds (16 MB).
///
/// A part that is turned freely comes to lie at some hundred turns, and those of thousands of
/// corners took more memory the longer a search went on.
const MOST_KEPT: usize = 2_000_000;

impl Forms {
    /// A number no form has.
    pub(crate) fn number(&mut self) -> u32 {
        self.next = self.next.wrapping_add(1);
        self.next
    }

    /// The form of a part at one of the turns that come up again and again.
    pub(crate) fn kept(
        &mut self,
        part: usize,
        shape: &PartShape,
        turn: f64,
        turned_over: bool,
    ) -> Arc<Form> {
        // Not minus nothing, whose digits are others.
        let turn = turn + 0.0;
        let key = (part, turn.to_bits(), turned_over);
        if let Some(form) = self.kept.get(&key) {
            return form.clone();
        }
        let form = self.passing(part, shape, turn, turned_over);
        self.held += form.weight();
        if self.held > self.room.max(MOST_KEPT) {
            self.make_room();
        }
        self.kept.insert(key, form.clone());
        form
    }

    /// Forgets the forms that nothing else holds. A form made anew is the same but for its number.
    fn make_room(&mut self) {
        self.kept.retain(|_, form| {
            let is_used = Arc::strong_count(form) > 1;
            if !is_used {
                self.held -= form.weight();
            }
            is_used
        });
        // Where most are used, not at every further one again.
        self.room = self.held + MOST_KEPT;
    }

    /// The form of a part at a turn that will hardly come up again; it is not remembered.
    pub(crate) fn passing(
        &mut self,
        part: usize,
        shape: &PartShape,
        turn: f64,
        turned_over: bool,
    ) -> Arc<Form> {
        let side = self.side(part, shape, turned_over);
        let id = self.number();
        Arc::new(Form::new(id, part, side, shape.radius, turn, turned_over))
    }

    fn side(&mut self, part: usize, shape: &PartShape, turned_over: bool) -> Arc<Side> {
        if let Some(side) = self.sides.get(&(part, turned_over)) {
            return side.clone();
        }
        let pose = Pose {
            x: 0.0,
            y: 0.0,
            turn: 0.0,
            turned_over,
        };
        let core = shape.simple.posed(&pose);
        let side = Arc::new(Side {
            id: self.number(),
            shells: core.pieces().iter().map(Shell::of).collect(),
            edges: core.region().outer().edges().map(Edge::new).collect(),
        });
        self.sides.insert((part, turned_over), side.clone());
        side
    }
}

/// Leaves out forms that are moved copies of earlier ones (a rectangle half turned is itself).
pub(crate) fn without_repeats(
    forms: Vec<Arc<Form>>,
    alike: impl Fn(&Form, &Form) -> bool,
) -> Vec<Arc<Form>> {
    let mut list: Vec<Arc<Form>> = Vec::with_capacity(forms.len());
    for form in forms {
        if !list.iter().any(|f| alike(f, &form) && f.same_shape(&form)) {
            list.push(form);
        }
    }
    list
}

#[cfg(test)]
mod tests {
    use heartside_geometry::{Region, Ring, protrusion};

    use super::*;
    use crate::chance::Chance;

    /// An outline of many corners round the origin: a few waves of random depth.
    fn wavy(corners: usize, chance: &mut Chance) -> Region {
        let waves = [3, 5, 11].map(|n| (n, 0.12 * chance.unit(), 360.0 * chance.unit()));
        let points = (0..corners)
            .map(|k| {
                let angle = 360.0 * k as f64 / corners as f64;
                let wave = |(n, depth, from): (i32, f64, f64)| {
                    depth * sin_cos_deg(f64::from(n) * angle + from).0
                };
                let radius = 400.0 * (1.0 + waves.into_iter().map(wave).sum::<f64>());
                let (sin, cos) = sin_cos_deg(angle);
                Point::new(radius * cos, 0.6 * radius * sin)
            })
            .collect();
        Region::from_ring(Ring::new(points).expect("a star of some corners never crosses itself"))
    }

    #[test]
    fn what_the_search_sees_holds_the_true_outline() {
        let mut chance = Chance::new(3, 0, 0);
        for corners in [40, 90, 200, 400, 1000] {
            for radius in [0.0, 3.0] {
                let core = PreparedRegion::new(wavy(corners, &mut chance));
                let simple = simpler(&core, radius, Detail::Fine);
                let inside = protrusion(&core, &simple).amount;
                assert!(inside >= -1e-8, "{corners} corners stick out by {inside}");
                let out = protrusion(&simple, &core).amount;
                let most = 0.004 * core.bounds().width().max(core.bounds().height());
                let most = if radius > 0.0 {
                    most.min(0.5 * radius)
                } else {
                    most
                };
                assert!(out >= -most - 1e-8, "{corners} corners go beyond by {out}");
                let more = simple.region().area() / core.region().area() - 1.0;
                assert!(
                    radius > 0.0 || more <= Detail::Fine.more_area(),
                    "{corners} corners: {more} more area"
                );
            }
        }
    }

    #[test]
    fn a_thousand_corners_come_down_to_a_few_pieces() {
        let mut chance = Chance::new(4, 0, 0);
        for _ in 0..5 {
            let core = PreparedRegion::new(wavy(1000, &mut chance));
            let simple = simpler(&core, 0.0, Detail::Fine);
            assert!(core.pieces().len() > 200, "{} pieces", core.pieces().len());
            assert!(
                simple.pieces().len() <= MOST && simple.region().point_count() <= 4 * MOST,
                "{} pieces, {} corners",
                simple.pieces().len(),
                simple.region().point_count()
            );
        }
    }

    /// Eleven waves have eleven dents, each of a few chords.
    const MOST: usize = 55;

    #[test]
    fn forms_that_nothing_holds_are_forgotten_in_time() {
        let document: heartside_timber::document::Document =
            serde_json::from_value(serde_json::json!({
                "format": "heartside-job", "version": 1,
                "parts": [{ "id": "a", "thickness": 20, "cut": "sawn", "shape":
                    { "form": "polygon", "points": [[0, 0], [200, 0], [150, 90], [0, 60]] } }],
            }))
            .expect("a document");
        let job = heartside_timber::prepare::prepare(&document).job;
        let shape = PartShape::new(&job.parts[0], Detail::Fine);
        let mut forms = Forms::default();
        let laid = forms.kept(0, &shape, 7.0, false);
        let (mut most, turns) = (0, MOST_KEPT / laid.weight() + 10);
        for k in 0..2 * turns {
            forms.kept(0, &shape, 8.0 + 0.001 * k as f64, false);
            most = most.max(forms.kept.len());
            if k % 10_000 == 0 {
                let held: usize = forms.kept.values().map(|form| form.weight()).sum();
                assert_eq!(held, forms.held, "numbers after {k} turns");
            }
        }
        assert!(most <= turns, "{most} forms at a time");
        assert!(Arc::ptr_eq(&laid, &forms.kept(0, &shape, 7.0, false)));
        let again = forms.kept(0, &shape, 8.0, false);
        let made = forms.passing(0, &shape, 8.0, false);
        assert_eq!(again.bounds, made.bounds);
        assert_ne!(again.id, made.id);
    }

    #[test]
    fn plain_outlines_stay_as_they_are() {
        let points = [
            (0.0, 0.0),
            (200.0, 0.0),
            (200.0, 60.0),
            (120.0, 30.0),
            (80.0, 90.0),
            (0.0, 40.0),
        ];
        let points = points.iter().map(|p| Point::new(p.0, p.1)).collect();
        let core = PreparedRegion::new(Region::from_ring(Ring::new(points).expect("sound")));
        assert_eq!(simpler(&core, 0.0, Detail::Coarse), core);
    }
}
