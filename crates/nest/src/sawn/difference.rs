//! Where one shape may not lie for another: the differences of their convex shells.
//!
//! A convex shell Q moved by d meets a fixed one P exactly where d lies in the Minkowski sum
//! of P and -Q, again a convex polygon; the distance of the two is the distance of d from
//! it. So every question about a pair (how far apart, how deep, which way out, which heights
//! are barred at this x) becomes one about a point and a few convex polygons, worked out once
//! for each pair of forms and kept.

use heartside_geometry::{Point, Vector};

use super::shape::{Form, Shell};

/// The barred places of a moving form, as convex polygons with a distance to keep from each.
#[derive(Debug, Default)]
pub(super) struct Difference {
    spans: Vec<Span>,
    corners: Vec<Corner>,
    /// For many polygons: which of them may matter at an x, in slots of equal width.
    slots: Option<Slots>,
}

/// One convex polygon: a run of corners, the distance kept from it, and the box of what is barred.
#[derive(Debug, Clone, Copy)]
struct Span {
    low: Point,
    high: Point,
    from: u32,
    to: u32,
    keep: f64,
}

/// A corner and the side that leaves it: outward normal and its height.
#[derive(Debug, Clone, Copy)]
struct Corner {
    at: Point,
    normal: Vector,
    height: f64,
}

#[derive(Debug)]
struct Slots {
    start: f64,
    per_mm: f64,
    lists: Vec<Vec<u32>>,
}

/// So many polygons are looked through one by one; more are sorted into slots.
///
/// Below this the scan of boxes is quicker than finding the slot's list.
const FEW: usize = 24;

/// The way out of a barred place.
#[derive(Debug, Clone, Copy)]
pub(super) struct WayOut {
    /// How far one would have to go to leave the worst polygon.
    pub(super) depth: f64,
    /// The direction, a unit vector.
    pub(super) direction: Vector,
}

impl Difference {
    /// Where `moving` may not have its origin, given that `fixed` has its own at (0, 0): nearer than `kerf` between the blanks.
    pub(super) fn between(moving: &Form, fixed: &Form, kerf: f64) -> Difference {
        let keep = kerf + moving.radius + fixed.radius;
        Difference::new(moving, fixed.shells.iter().map(|shell| (shell, keep)))
    }

    /// Where `moving` may not have its origin, given shells that lie fast, each with the distance that the core must keep from it.
    pub(super) fn new<'a>(
        moving: &Form,
        fixed: impl Iterator<Item = (&'a Shell, f64)>,
    ) -> Difference {
        let mut difference = Difference::default();
        let negated: Vec<Shell> = moving.shells.iter().map(negated).collect();
        for (shell, keep) in fixed {
            for other in &negated {
                difference.add(shell, other, keep);
            }
        }
        difference.sort_into_slots();
        difference
    }

    /// Numbers held, as a measure of memory.
    pub(super) fn weight(&self) -> usize {
        5 * self.corners.len() + 8 * self.spans.len()
    }

    /// The Minkowski sum of two convex shells: their sides in the order of their directions.
    fn add(&mut self, p: &Shell, q: &Shell, keep: f64) {
        let (n, m) = (p.points.len(), q.points.len());
        let (start_p, start_q) = (lowest(&p.points), lowest(&q.points));
        let from = self.corners.len();
        let (mut i, mut j) = (0, 0);
        let mut at = p.points[start_p] + q.points[start_q].to_vector();
        while i < n || j < m {
            let side = |shell: &Shell, start: usize, k: usize| {
                let count = shell.points.len();
                let here = (start + k) % count;
                (
                    shell.points[(here + 1) % count] - shell.points[here],
                    shell.normals[here],
                )
            };
            let take_p = if i == n {
                false
            } else if j == m {
                true
            } else {
                is_before(side(p, start_p, i).1, side(q, start_q, j).1)
            };
            let (step, normal) = if take_p {
                i += 1;
                side(p, start_p, i - 1)
            } else {
                j += 1;
                side(q, start_q, j - 1)
            };
            self.corners.push(Corner {
                at,
                normal,
                height: at.to_vector().dot(normal),
            });
            at += step;
        }
        let (mut low, mut high) = (self.corners[from].at, self.corners[from].at);
        for corner in &self.corners[from..] {
            low = Point::new(low.x.min(corner.at.x), low.y.min(corner.at.y));
            high = Point::new(high.x.max(corner.at.x), high.y.max(corner.at.y));
        }
        self.spans.push(Span {
            low: Point::new(low.x - keep, low.y - keep),
            high: Point::new(high.x + keep, high.y + keep),
            from: from as u32,
            to: self.corners.len() as u32,
            keep,
        });
    }

    fn sort_into_slots(&mut self) {
        if self.spans.len() <= FEW {
            return;
        }
        let start = self
            .spans
            .iter()
            .map(|s| s.low.x)
            .fold(f64::INFINITY, f64::min);
        let end = self
            .spans
            .iter()
            .map(|s| s.high.x)
            .fold(f64::NEG_INFINITY, f64::max);
        let count = (self.spans.len() / 2).clamp(8, 256);
        let per_mm = count as f64 / (end - start).max(1e-9);
        let mut lists = vec![Vec::new(); count];
        let slot = |x: f64| (((x - start) * per_mm).max(0.0) as usize).min(count - 1);
        for (k, span) in self.spans.iter().enumerate() {
            for list in &mut lists[slot(span.low.x)..=slot(span.high.x)] {
                list.push(k as u32);
            }
        }
        self.slots = Some(Slots {
            start,
            per_mm,
            lists,
        });
    }

    /// Calls `look` with every polygon whose box holds x (at least those); stops where it says so.
    fn near(&self, x: f64, mut look: impl FnMut(&Span) -> bool) {
        match &self.slots {
            None => {
                for span in &self.spans {
                    if !look(span) {
                        return;
                    }
                }
            }
            Some(slots) => {
                let place = (x - slots.start) * slots.per_mm;
                if place < 0.0 {
                    return;
                }
                let last = slots.lists.len() - 1;
                for k in &slots.lists[(place as usize).min(last)] {
                    if !look(&self.spans[*k as usize]) {
                        return;
                    }
                }
            }
        }
    }

    /// How much of the kept distance is missing at `d`, and which way out; none where more than `keep - slack` is kept.
    fn missing(&self, span: &Span, d: Point, slack: f64) -> Option<WayOut> {
        if d.x <= span.low.x || d.x >= span.high.x || d.y <= span.low.y || d.y >= span.high.y {
            return None;
        }
        let enough = span.keep - slack;
        let corners = &self.corners[span.from as usize..span.to as usize];
        let v = d.to_vector();
        let mut gap = f64::NEG_INFINITY;
        let mut direction = Vector::ZERO;
        for corner in corners {
            let g = v.dot(corner.normal) - corner.height;
            if g >= enough {
                return None;
            }
            if g > gap {
                gap = g;
                direction = corner.normal;
            }
        }
        if gap > 0.0 {
            // Between the polygon and its offset: the nearest point may be a corner.
            let (squared, nearest) = self.nearest(corners, d);
            let distance = squared.sqrt();
            if distance >= enough {
                return None;
            }
            if distance > 0.0 {
                direction = (d - nearest) / distance;
                gap = distance;
            }
        }
        Some(WayOut {
            depth: span.keep - gap,
            direction,
        })
    }

    fn nearest(&self, corners: &[Corner], d: Point) -> (f64, Point) {
        let mut best = (f64::INFINITY, d);
        for (k, corner) in corners.iter().enumerate() {
            if d.to_vector().dot(corner.normal) - corner.height <= 0.0 {
                continue;
            }
            let next = corners[if k + 1 == corners.len() { 0 } else { k + 1 }].at;
            let near = d.nearest_on_segment(corner.at, next);
            let squared = d.distance_squared(near);
            if squared < best.0 {
                best = (squared, near);
            }
        }
        best
    }

    /// True where every distance is kept but for `slack`.
    pub(super) fn is_clear(&self, d: Point, slack: f64) -> bool {
        let mut clear = true;
        self.near(d.x, |span| {
            clear = self.missing(span, d, slack).is_none();
            clear
        });
        clear
    }

    /// A measure of the overlap, 0 where all is clear: what is missing, summed over the polygons.
    pub(super) fn overlap(&self, d: Point, slack: f64) -> f64 {
        let mut sum = 0.0;
        self.near(d.x, |span| {
            if let Some(out) = self.missing(span, d, slack) {
                sum += out.depth;
            }
            true
        });
        sum
    }

    /// The way out of the deepest polygon at `d`.
    pub(super) fn way_out(&self, d: Point, slack: f64) -> Option<WayOut> {
        let mut worst: Option<WayOut> = None;
        self.near(d.x, |span| {
            if let Some(out) = self.missing(span, d, slack)
                && worst.is_none_or(|w| out.depth > w.depth)
            {
                worst = Some(out);
            }
            true
        });
        worst
    }

    /// Adds the barred heights at x, moved by `by`: open intervals.
    pub(super) fn barred_heights(&self, x: f64, by: Vector, into: &mut Vec<(f64, f64)>) {
        let own = x - by.x;
        self.near(own, |span| {
            if own <= span.low.x || own >= span.high.x {
                return true;
            }
            let corners = &self.corners[span.from as usize..span.to as usize];
            if let Some((low, high)) = heights_at(corners, span.keep, own) {
                into.push((low + by.y, high + by.y));
            }
            true
        });
    }

    /// The greatest x of every polygon with its distance, moved by `by`: where the moving shape just clears it on the right.
    pub(super) fn right_ends(&self, by: f64, into: &mut Vec<f64>) {
        into.extend(self.spans.iter().map(|s| s.high.x + by));
    }

    /// How many corners there are in all.
    pub(super) fn corner_count(&self) -> usize {
        self.corners.len()
    }

    /// A place where the moving form just touches the fixed one with a corner: corner k of the polygons.
    pub(super) fn touching(&self, k: usize, keep: f64) -> Point {
        let corner = self.corners[k];
        corner.at + corner.normal * keep
    }
}

/// Least and greatest y at x of a convex polygon grown by `keep`.
fn heights_at(corners: &[Corner], keep: f64, x: f64) -> Option<(f64, f64)> {
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    let mut add = |y: f64| {
        low = low.min(y);
        high = high.max(y);
    };
    for (k, corner) in corners.iter().enumerate() {
        let next = corners[if k + 1 == corners.len() { 0 } else { k + 1 }].at;
        let off = corner.normal * keep;
        let (a, b) = (corner.at + off, next + off);
        if (a.x <= x && x <= b.x) || (b.x <= x && x <= a.x) {
            let run = b.x - a.x;
            if run == 0.0 {
                add(a.y);
                add(b.y);
            } else {
                add(a.y + (b.y - a.y) * ((x - a.x) / run));
            }
        }
        let dx = x - corner.at.x;
        let rest = keep * keep - dx * dx;
        if rest > 0.0 {
            let rise = rest.sqrt();
            add(corner.at.y + rise);
            add(corner.at.y - rise);
        }
    }
    (low < high).then_some((low, high))
}

/// The shell mirrored in the origin; it still runs counter-clockwise.
fn negated(shell: &Shell) -> Shell {
    Shell {
        points: shell
            .points
            .iter()
            .map(|p| Point::new(-p.x, -p.y))
            .collect(),
        normals: shell.normals.iter().map(|n| -*n).collect(),
    }
}

/// The lowest corner, the leftmost of those.
fn lowest(points: &[Point]) -> usize {
    (1..points.len()).fold(0, |best, k| {
        let (p, b) = (points[k], points[best]);
        if p.y < b.y || (p.y == b.y && p.x < b.x) {
            k
        } else {
            best
        }
    })
}

/// True if a side with outward normal `a` comes before one with `b`, counted counter-clockwise
/// from the sides that run to the right (normals straight down).
fn is_before(a: Vector, b: Vector) -> bool {
    // Normals from straight down (0, -1) through the right (1, 0): the first half has x > 0, or points straight down.
    let late = |n: Vector| !(n.x > 0.0 || (n.x == 0.0 && n.y < 0.0));
    match (late(a), late(b)) {
        (false, true) => true,
        (true, false) => false,
        _ => a.cross(b) >= 0.0,
    }
}

/// Differences of forms, kept in a table of fixed size.
#[derive(Debug)]
pub(super) struct Differences {
    table: Vec<Option<(u32, u32, Box<Difference>)>>,
    held: usize,
    kerf: f64,
}

/// Places in the table. Fewer and pairs in use push each other out; more only costs memory.
const PLACES: usize = 1 << 13;

/// Numbers held at most (32 MB); beyond that the table is emptied.
const MOST_HELD: usize = 4_000_000;

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
    pub(super) fn between(&mut self, moving: &Form, fixed: &Form) -> &Difference {
        let kerf = self.kerf;
        self.find(moving.id, fixed.id, || {
            Difference::between(moving, fixed, kerf)
        })
    }

    /// The difference with these numbers, made if it is not there.
    pub(super) fn find(
        &mut self,
        a: u32,
        b: u32,
        make: impl FnOnce() -> Difference,
    ) -> &Difference {
        let mixed = a.wrapping_mul(0x9e37_79b1) ^ b.wrapping_mul(0x85eb_ca77).rotate_left(15);
        let place = (mixed >> 16 ^ mixed) as usize % PLACES;
        let there = matches!(&self.table[place], Some((x, y, _)) if *x == a && *y == b);
        if !there {
            let made = make();
            let old = self.table[place].take().map_or(0, |(_, _, d)| d.weight());
            self.held = self.held - old + made.weight();
            if self.held > MOST_HELD {
                self.table.iter_mut().for_each(|entry| *entry = None);
                self.held = made.weight();
            }
            self.table[place] = Some((a, b, Box::new(made)));
        }
        match &self.table[place] {
            Some((_, _, difference)) => difference,
            // Filled just above.
            None => &EMPTY,
        }
    }
}

static EMPTY: Difference = Difference {
    spans: Vec::new(),
    corners: Vec::new(),
    slots: None,
};
