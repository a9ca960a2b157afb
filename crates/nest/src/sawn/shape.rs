//! Parts as the search sees them: convex shells, turned and mirrored once and then only moved.

use heartside_geometry::Arrange;
use std::collections::BTreeMap;
use std::sync::Arc;

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
}

impl Shell {
    /// The shell of a convex piece.
    pub(super) fn of(piece: &Convex) -> Shell {
        Shell {
            points: piece.points().to_vec(),
            normals: piece.normals().to_vec(),
        }
    }

    /// A segment; none where its ends are one point.
    pub(super) fn segment(a: Point, b: Point) -> Option<Shell> {
        let normal = (b - a).turned_right().unit()?;
        Some(Shell {
            points: vec![a, b],
            normals: vec![normal, -normal],
        })
    }
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

/// The core, or a region of fewer pieces that holds it and goes beyond it by little.
fn simpler(core: &PreparedRegion, radius: f64) -> PreparedRegion {
    let size = core.bounds().width().max(core.bounds().height());
    let mut best = core.clone();
    for share in SIMPLER {
        let off = if radius > 0.0 {
            (share * size).min(OF_ALLOWANCE * radius)
        } else if share <= SIMPLER_IF_EXACT {
            share * size
        } else {
            break;
        };
        let (pieces, corners) = (best.pieces().len(), best.region().point_count());
        if pieces <= FEW_PIECES && corners <= FEW_CORNERS {
            break;
        }
        let next = PreparedRegion::new(simplify_outer(core.region(), off));
        let fewer_corners = corners > FEW_CORNERS && next.region().point_count() < corners;
        if next.pieces().len() < pieces || (fewer_corners && next.pieces().len() == pieces) {
            best = next;
        }
    }
    best
}

/// A blank turned, perhaps mirrored, lying at its origin.
#[derive(Debug)]
pub(super) struct Form {
    /// Names this form: no two of one search have the same number.
    pub(super) id: u32,
    /// The number of the form that this one is, or is when turned by a half.
    pub(super) upright: u32,
    /// This is that form turned by a half: every corner mirrored in the origin.
    pub(super) half_turned: bool,
    /// The part.
    pub(super) part: usize,
    /// Degrees, counter-clockwise.
    pub(super) turn: f64,
    /// Turned over.
    pub(super) turned_over: bool,
    /// Convex shells of the core, simplified outwards where it has many corners.
    pub(super) shells: Vec<Shell>,
    /// The box round the core.
    pub(super) bounds: Bounds,
    /// How far the blank reaches round the core.
    pub(super) radius: f64,
}

impl Form {
    fn new(id: u32, part: usize, shape: &PartShape, turn: f64, turned_over: bool) -> Form {
        let pose = Pose {
            x: 0.0,
            y: 0.0,
            turn,
            turned_over,
        };
        let core = shape.simple.posed(&pose);
        Form {
            id,
            upright: id,
            half_turned: false,
            part,
            turn,
            turned_over,
            shells: core.pieces().iter().map(Shell::of).collect(),
            bounds: *core.bounds(),
            radius: shape.radius,
        }
    }

    /// This form turned by a half.
    fn half_turned(&self, id: u32, turn: f64) -> Form {
        let mirrored = |p: &Point| Point::new(-p.x, -p.y);
        Form {
            id,
            upright: self.upright,
            half_turned: !self.half_turned,
            part: self.part,
            turn,
            turned_over: self.turned_over,
            shells: self
                .shells
                .iter()
                .map(|shell| Shell {
                    points: shell.points.iter().map(mirrored).collect(),
                    normals: shell.normals.iter().map(|n| -*n).collect(),
                })
                .collect(),
            bounds: Bounds {
                min: mirrored(&self.bounds.max),
                max: mirrored(&self.bounds.min),
            },
            radius: self.radius,
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
        let other = turn - 180.0;
        let upright = self.kept.get(&(part, other.to_bits(), turned_over));
        let form = match upright.cloned() {
            Some(upright) => Arc::new(upright.half_turned(self.number(), turn)),
            None => self.passing(part, shape, turn, turned_over),
        };
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
        Arc::new(Form::new(self.number(), part, shape, turn, turned_over))
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
