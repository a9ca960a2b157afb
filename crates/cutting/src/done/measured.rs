//! A piece as it was measured after it was cut: what the tape says wins over what was planned.

use heartside_geometry::{Arrange, Bounds, Point, Region, Ring, Vector};
use heartside_timber::document::{self, BoardCopy, BoardEnd, Document, Hand, Length, Zone};
use heartside_timber::edit::{Edit, RowEdit};
use heartside_timber::job::{EdgeKind, Job};
use heartside_timber::length::write_length;

use super::laying::plan_edit;
use super::row::zones;
use super::wood::Wood;
use super::{Ground, Refused};

/// A piece may be measured larger than the board that it came from by this much, in mm: no two tapes
/// agree better over a board's length.
const TAPE: f64 = 1.0;
/// An edge off a straight line by more than this, in mm, is not true: a fence would show it.
const TRUE_WITHIN: f64 = 0.2;
/// A bent edge is drawn by so many corners: their chords leave its curve by a 64th of the gap.
const BENDS: usize = 8;

/// What was measured; what is left out stays as it was.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Measured {
    /// From end to end, in millimetres.
    pub length: Option<f64>,
    /// The end that stays where it is; the other moves.
    pub stays: BoardEnd,
    /// Widths, at one place or more.
    pub widths: Vec<WidthAt>,
    /// The edge that stays where it is; the other moves.
    pub edge: Hand,
    /// Edges that are no longer straight.
    pub bends: Vec<Bend>,
    /// Its thickness.
    pub thickness: Option<Length>,
    /// Its warp anew.
    pub warp: Option<document::Warp>,
    /// All its marked areas, as what came to light leaves them.
    pub zones: Option<Vec<Zone>>,
}

/// A width at one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WidthAt {
    /// From the start end, in millimetres.
    pub at: f64,
    /// From edge to edge there, in millimetres.
    pub width: f64,
}

/// An edge under a straight edge held from end to end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bend {
    /// Which edge.
    pub edge: Hand,
    /// The greatest gap, in millimetres: above 0 where the edge is hollow, below 0 where it is round.
    pub gap: f64,
}

/// The edit that writes down what was measured on a board or piece.
///
/// # Errors
/// Sizes that cannot be: none at all, or larger than the board that the piece came from.
pub fn measured(
    document: &Document,
    job: &Job,
    board: &BoardCopy,
    measured: &Measured,
) -> Result<Edit, Refused> {
    let ground = Ground::find(document, job, board)?;
    let words = &ground.words;
    let wood = Wood::of(ground.board);
    let old = wood.region.bounds();
    let shape = Shape::new(&wood, measured, words)?;
    let moved = shape.moved(&wood);
    let refuse = |why: &str| Refused(format!("{words}: {why}"));
    let crossed = || refuse("with these sizes its outline would cross itself: measure again");
    let moved = moved.ok_or_else(crossed)?;
    let new = moved.region.bounds();
    let thick = match measured.thickness {
        Some(Length::Mm(mm)) => mm,
        // Whoever reads what was typed says what is wrong with it.
        _ => ground.board.thickness,
    };
    if thick.is_nan() || thick <= 0.0 {
        return Err(refuse(
            "its thickness must be more than 0: measure it again",
        ));
    }
    let from = ground.board.from.as_ref().and_then(|from| {
        let cut = job.done.get(from.done)?;
        job.board(&cut.board.board)
    });
    if let Some(from) = from {
        let whole = from.outline.bounds();
        for (what, is, was, before) in [
            ("longer", new.width(), whole.width(), old.width()),
            ("wider", new.height(), whole.height(), old.height()),
            ("thicker", thick, from.thickness, ground.board.thickness),
        ] {
            if is > was.max(before) + TAPE {
                let [is, was] = [is, was].map(|mm| write_length(mm, &job.units));
                return Err(refuse(&format!(
                    "at {is} it would be {what} than what it was cut from, which was {was}: measure again"
                )));
            }
        }
    }
    let mut row = ground.source.clone();
    row.zones = zones(ground.source, ground.board, &moved.region, Vector::ZERO);
    row.outline = Some(moved.outline().ok_or_else(crossed)?);
    row.measured = true;
    if let Some(thickness) = &measured.thickness {
        row.thickness = Some(thickness.clone());
    }
    if let Some(warp) = &measured.warp {
        row.warp = Some(warp.clone());
    }
    if let Some(zones) = &measured.zones {
        row.zones.clone_from(zones);
    }
    let mut edits = vec![Edit::Board(RowEdit::put(ground.row, row))];
    // What lies on the piece stays there, to be judged by its new sizes.
    edits.extend(document.plan.clone().map(|plan| plan_edit(document, plan)));
    Ok(Edit::Many(edits))
}

/// How an outline changes: along by one factor, across by a factor at each place, edges by bends.
struct Shape {
    /// The fixed x and the factor of distances from it.
    along: (f64, f64),
    /// The edge that stays.
    edge: Hand,
    /// By place, in the old x: the factor of the width there.
    across: Vec<(f64, f64)>,
    /// Right, left: how far the edge moves inwards, by place.
    bends: [Vec<(f64, f64)>; 2],
    /// Right, left: the edge is no longer straight.
    bent: [bool; 2],
}

impl Shape {
    fn new(wood: &Wood, measured: &Measured, words: &str) -> Result<Shape, Refused> {
        let refuse = |why: &str| Refused(format!("{words}: {why}"));
        let old = wood.region.bounds();
        let length = measured.length.unwrap_or(old.width());
        if !length.is_finite() || length <= 0.0 {
            return Err(refuse("its length must be more than 0: measure it again"));
        }
        let factor = length / old.width();
        let fixed = match measured.stays {
            BoardEnd::Start => old.min.x,
            BoardEnd::Far => old.max.x,
        };
        let mut across: Vec<(f64, f64)> = Vec::new();
        let mut widths = measured.widths.clone();
        widths.arrange_by(|a, b| a.at.total_cmp(&b.at));
        for WidthAt { at, width } in widths {
            if !width.is_finite() || width <= 0.0 {
                return Err(refuse("a width must be more than 0: measure it again"));
            }
            if !(0.0..=length).contains(&at) {
                return Err(refuse(
                    "a width was measured beyond its ends: measure from its start end",
                ));
            }
            let x = old.min.x + at / length * old.width();
            let planned = wood
                .region
                .outer()
                .span_at(x)
                .map_or(0.0, |(low, high)| high - low);
            if planned <= 0.0 {
                return Err(refuse(
                    "where a width was measured there is no wood by the plan: measure elsewhere",
                ));
            }
            across.push((x, width / planned));
        }
        let bend = |hand: Hand| -> Result<Vec<(f64, f64)>, Refused> {
            let gap: f64 = measured
                .bends
                .iter()
                .filter(|b| b.edge == hand)
                .map(|b| b.gap)
                .sum();
            if !gap.is_finite() || gap.abs() > old.width() / 2.0 {
                return Err(refuse("a gap is a few millimetres: measure it again"));
            }
            Ok(curve(gap, old))
        };
        let bends = [bend(Hand::Right)?, bend(Hand::Left)?];
        // Widths that do not change evenly bend the edge that moves.
        let uneven = across.windows(3).any(|w| {
            let [(x0, f0), (x, f), (x1, f1)] = [w[0], w[1], w[2]];
            let even = f0 + (f1 - f0) * if x1 > x0 { (x - x0) / (x1 - x0) } else { 0.0 };
            (f - even).abs() * old.height() > TRUE_WITHIN
        });
        let moves = |hand: Hand| uneven && hand != measured.edge;
        let bent = [
            !bends[0].is_empty() || moves(Hand::Right),
            !bends[1].is_empty() || moves(Hand::Left),
        ];
        Ok(Shape {
            along: (fixed, factor),
            edge: measured.edge,
            across,
            bends,
            bent,
        })
    }

    /// The wood as measured; none where its outline would cross itself.
    fn moved(&self, wood: &Wood) -> Option<Wood> {
        let mut sides = wood.sides.iter().copied();
        let mut kinds = Vec::new();
        let mut rings = Vec::new();
        for (k, ring) in wood.region.rings().enumerate() {
            let (points, own) = self.ring(wood, ring, k == 0, &mut sides);
            let made = Ring::new(points.clone()).ok()?;
            // Corners that fell together would leave the sides without their states.
            if made.points() != points.as_slice() {
                return None;
            }
            kinds.extend(own);
            rings.push(made);
        }
        let mut rings = rings.into_iter();
        let region = Region::new(rings.next()?, rings.collect()).ok()?;
        Some(Wood {
            region,
            sides: kinds,
        })
    }

    /// The corners of one ring, and the state of the side from each to the next.
    fn ring(
        &self,
        wood: &Wood,
        ring: &Ring,
        is_outer: bool,
        sides: &mut impl Iterator<Item = EdgeKind>,
    ) -> (Vec<Point>, Vec<EdgeKind>) {
        let edges: Vec<(Point, Point)> = ring.edges().collect();
        let hand = |(a, b): (Point, Point)| hand_of(a, b).filter(|_| is_outer);
        let (mut points, mut kinds) = (Vec::new(), Vec::new());
        for (k, &(a, b)) in edges.iter().enumerate() {
            let before = edges[(k + edges.len() - 1) % edges.len()];
            let mut kind = sides.next().unwrap_or_default();
            let own = hand((a, b));
            if own.is_some_and(|h| self.bent[usize::from(h == Hand::Left)])
                && kind == EdgeKind::Straight
            {
                kind = EdgeKind::Sawn;
            }
            points.push(self.point(wood, a, own.or(hand(before))));
            kinds.push(kind);
            let mut places: Vec<f64> = match own {
                Some(h) => {
                    let bend = &self.bends[usize::from(h == Hand::Left)];
                    bend.iter().chain(&self.across).map(|(x, _)| *x).collect()
                }
                None => Vec::new(),
            };
            let inside = |x: &f64| *x > a.x.min(b.x) && *x < a.x.max(b.x);
            places.retain(inside);
            places.arrange_by(|p, q| {
                if a.x <= b.x {
                    p.total_cmp(q)
                } else {
                    q.total_cmp(p)
                }
            });
            places.dedup();
            for x in places {
                let on = a.towards(b, (x - a.x) / (b.x - a.x));
                points.push(self.point(wood, on, own));
                kinds.push(kind);
            }
        }
        (points, kinds)
    }

    /// Where a corner comes to lie; `hand` is the edge that it belongs to.
    fn point(&self, wood: &Wood, p: Point, hand: Option<Hand>) -> Point {
        let (fixed, factor) = self.along;
        let mut y = p.y;
        if !self.across.is_empty() {
            let (low, high) = wood.region.outer().span_at(p.x).unwrap_or((p.y, p.y));
            let stays = match self.edge {
                Hand::Right => low,
                Hand::Left => high,
            };
            y = stays + (y - stays) * at(&self.across, p.x);
        }
        match hand {
            Some(Hand::Right) => y += at(&self.bends[0], p.x),
            Some(Hand::Left) => y -= at(&self.bends[1], p.x),
            None => {}
        }
        Point {
            x: fixed + (p.x - fixed) * factor,
            y,
        }
    }
}

/// The edge that a side belongs to; none for an end.
fn hand_of(a: Point, b: Point) -> Option<Hand> {
    let (along, across) = (b.x - a.x, b.y - a.y);
    // The wood lies to the left of a side.
    let hand = if along > 0.0 { Hand::Right } else { Hand::Left };
    (across.abs() <= along.abs()).then_some(hand)
}

/// How far an edge moves inwards along a board, as a chain of straight pieces that takes off no less
/// than the parabola of the gap: tangents where it is hollow, chords where it is round.
fn curve(gap: f64, bounds: Bounds) -> Vec<(f64, f64)> {
    if gap == 0.0 {
        return Vec::new();
    }
    let x = |t: f64| bounds.min.x + t * bounds.width();
    let step = |k: usize| k as f64 / BENDS as f64;
    let mut curve = vec![(x(0.0), 0.0)];
    if gap > 0.0 {
        // Two tangents of 4 gap t (1 - t) meet halfway between the places where they touch.
        curve.extend((0..BENDS).map(|k| {
            let (s, t) = (step(k), step(k + 1));
            (x((s + t) / 2.0), 4.0 * gap * ((s + t) / 2.0 - s * t))
        }));
    } else {
        curve.extend((1..BENDS).map(|k| (x(step(k)), 4.0 * gap * step(k) * (1.0 - step(k)))));
    }
    curve.push((x(1.0), 0.0));
    curve
}

/// The value of a chain at a place; that of its ends beyond them, nothing of an empty one.
fn at(chain: &[(f64, f64)], x: f64) -> f64 {
    let (Some(first), Some(last)) = (chain.first(), chain.last()) else {
        return 0.0;
    };
    if x <= first.0 {
        return first.1;
    }
    for pair in chain.windows(2) {
        let ((a, from), (b, to)) = (pair[0], pair[1]);
        if x <= b && b > a {
            return from + (to - from) * ((x - a) / (b - a));
        }
    }
    last.1
}
