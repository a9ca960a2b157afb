//! Parts as the search sees them: convex shells, turned and mirrored once and then only moved.

use heartside_geometry::Arrange;
use std::collections::BTreeMap;
use std::sync::Arc;

use heartside_geometry::math::sin_cos_deg;
use heartside_geometry::{Bounds, Convex, Point, Pose, PreparedRegion, Vector, simplify_outer};
use heartside_timber::blank::Blank;
use heartside_timber::job::Part;

/// A convex polygon, counter-clockwise, or a segment run there and back.
#[derive(Debug, Clone)]
pub(super) struct Shell {
    /// Its corners.
    pub(super) points: Vec<Point>,
    /// Outward unit normals; number k belongs to the side from corner k to the next.
    pub(super) normals: Vec<Vector>,
    /// The box round it.
    pub(super) bounds: Bounds,
    /// About how wide it is: the root of its area, or a tenth of its greatest extent where it is thinner than that; infinite for a segment, which bars all of what meets it.
    pub(super) width: f64,
}

impl Shell {
    /// The shell of a convex piece.
    pub(super) fn of(piece: &Convex) -> Shell {
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
        }
    }

    /// The shell turned about the origin by an angle of this cosine and sine.
    pub(super) fn turned(&self, (cos, sin): (f64, f64)) -> Shell {
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
        }
    }

    /// A segment; none where its ends are one point.
    pub(super) fn segment(a: Point, b: Point) -> Option<Shell> {
        let normal = (b - a).turned_right().unit()?;
        Some(Shell {
            points: vec![a, b],
            normals: vec![normal, -normal],
            bounds: Bounds::new(a, b),
            width: f64::INFINITY,
        })
    }
}

/// Shapes of more convex pieces than this are simplified outwards for the search.
///
/// A hollow arc has a piece for every chord, and a pair of such parts has the product of
/// both numbers: 60 curved parts of 16 pieces each took 9 s for a first layout on true outlines.
const FEW_PIECES: usize = 5;

/// How far a simplified outline may go beyond the true one, in shares of the part's length, tried in turn.
const SIMPLER: [f64; 5] = [0.000_2, 0.000_5, 0.001, 0.002, 0.004];

/// The greatest of these shares for outlines without an allowance, which are laid as tightly as can be.
const SIMPLER_IF_EXACT: f64 = 0.000_2;

/// The share of the allowance that simplifying may add to it: at the usual 3 mm no more than 1.5 mm.
const OF_ALLOWANCE: f64 = 0.5;

/// A part's blank before it is turned.
#[derive(Debug, Clone)]
pub(super) struct PartShape {
    /// The core of its blank, true.
    pub(super) core: PreparedRegion,
    /// The core or a simpler region that holds it.
    simple: PreparedRegion,
    /// How far the blank reaches round it.
    pub(super) radius: f64,
    /// About the area of the blank, in square millimetres.
    pub(super) area: f64,
    /// The larger extent of its core.
    pub(super) length: f64,
}

impl PartShape {
    /// Decomposes the part's blank.
    pub(super) fn new(part: &Part) -> PartShape {
        let blank = Blank::of(part);
        let bounds = blank.core.bounds();
        let around: f64 = blank.core.rings().map(|r| r.perimeter()).sum();
        let area = blank.core.area() + around * blank.radius;
        let core = PreparedRegion::new(blank.core);
        PartShape {
            simple: simpler(&core, blank.radius),
            area,
            length: bounds.width().max(bounds.height()),
            core,
            radius: blank.radius,
        }
    }
}

fn tmp(name: &str, or: f64) -> f64 {
    std::env::var(name).ok().and_then(|v| v.parse().ok()).unwrap_or(or)
}

/// The core, or a region of fewer pieces that holds it and goes beyond it by little.
fn simpler(core: &PreparedRegion, radius: f64) -> PreparedRegion {
    let size = core.bounds().width().max(core.bounds().height());
    let most_area = core.region().area() * (1.0 + tmp("CAP", 0.0015));
    let few = tmp("FEW", FEW_PIECES as f64) as usize;
    let top = tmp("TOP", 0.0002);
    let mut best = core.clone();
    for share in SIMPLER {
        if best.pieces().len() <= few {
            break;
        }
        let off = if radius > 0.0 {
            (share * size).min(OF_ALLOWANCE * radius)
        } else {
            if share > top {
                break;
            }
            share * size
        };
        let simple = simplify_outer(core.region(), off);
        if radius <= 0.0 && share > SIMPLER_IF_EXACT && simple.area() > most_area {
            break;
        }
        let next = PreparedRegion::new(simple);
        if next.pieces().len() < best.pieces().len() {
            best = next;
        }
    }
    best
}

/// A part face up or turned over, before it is turned: what all its forms have in common.
#[derive(Debug)]
pub(super) struct Side {
    /// Names it: no two sides or forms of one search have the same number.
    pub(super) id: u32,
    /// Convex shells of the core, simplified outwards where it has many corners.
    pub(super) shells: Vec<Shell>,
}

/// A blank turned, perhaps mirrored, lying at its origin.
#[derive(Debug)]
pub(super) struct Form {
    /// Names this form: no two of one search have the same number.
    pub(super) id: u32,
    /// What it is before it is turned.
    pub(super) side: Arc<Side>,
    /// The part.
    pub(super) part: usize,
    /// Degrees, counter-clockwise.
    pub(super) turn: f64,
    /// Cosine and sine of that.
    pub(super) cos_sin: (f64, f64),
    /// Turned over.
    pub(super) turned_over: bool,
    /// The shells of its side, turned.
    pub(super) shells: Vec<Shell>,
    /// The box round the core.
    pub(super) bounds: Bounds,
    /// How far the blank reaches round the core.
    pub(super) radius: f64,
}

impl Form {
    fn new(id: u32, part: usize, side: Arc<Side>, radius: f64, turn: f64, over: bool) -> Form {
        let (sin, cos) = sin_cos_deg(turn);
        let shells: Vec<Shell> = side.shells.iter().map(|s| s.turned((cos, sin))).collect();
        let corners = shells.iter().flat_map(|shell| shell.points.iter().copied());
        Form {
            id,
            part,
            turn,
            cos_sin: (cos, sin),
            turned_over: over,
            bounds: Bounds::of_points(corners).unwrap_or(Bounds::new(Point::ORIGIN, Point::ORIGIN)),
            shells,
            side,
            radius,
        }
    }

    /// The box round the core once the origin lies at a point.
    pub(super) fn bounds_at(&self, at: Point) -> Bounds {
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

/// All forms made so far, each once.
#[derive(Debug, Default)]
pub(super) struct Forms {
    kept: BTreeMap<(usize, u64, bool), Arc<Form>>,
    sides: BTreeMap<(usize, bool), Arc<Side>>,
    next: u32,
}

impl Forms {
    /// A number no form has.
    pub(super) fn number(&mut self) -> u32 {
        self.next = self.next.wrapping_add(1);
        self.next
    }

    /// The form of a part at one of the turns that come up again and again.
    pub(super) fn kept(
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
        self.kept.insert(key, form.clone());
        form
    }

    /// The form of a part at a turn that will hardly come up again; it is not remembered.
    pub(super) fn passing(
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
        });
        self.sides.insert((part, turned_over), side.clone());
        side
    }
}

/// Leaves out forms that are moved copies of earlier ones (a rectangle half turned is itself).
pub(super) fn without_repeats(
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
