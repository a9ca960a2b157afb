//! Workpieces: the board's outline within an upright rectangle of the frame of the cuts, and within
//! the sides that cuts made before the frame was turned.

use heartside_geometry::{Arrange, Bounds, Point, Pose, PreparedRegion, Vector};
use heartside_timber::plan::Direction;

/// A span that holds nothing.
const NOTHING: (f64, f64) = (f64::INFINITY, f64::NEG_INFINITY);
/// The sine of a millionth of a degree, as for straight sides of the board.
const PARALLEL: f64 = 1.7e-8;

/// A workpiece as convex pieces in the frame of the cuts.
#[derive(Debug, Clone)]
pub(crate) struct Workpiece {
    /// The rectangle; a side without an earlier cut lies at infinity.
    pub(crate) rectangle: Bounds,
    /// Which sides of the rectangle a tool made that leaves a true edge, by [`place_of`].
    made_true: [bool; 4],
    /// Sides that were cut before the frame was turned, seen from the frame as it is now.
    earlier: Vec<Side>,
    pieces: Vec<Vec<Point>>,
}

/// A side that a cut made.
#[derive(Debug, Clone, Copy)]
struct Side {
    /// A point on its line.
    on: Point,
    /// Square to it, away from the wood.
    out: Point,
    is_true: bool,
}

impl Side {
    /// Where its line lies, if it is the low or high side that cuts of a direction make.
    fn level(&self, direction: Direction, high: bool) -> Option<f64> {
        let sign = if high { 1.0 } else { -1.0 };
        let runs_along = along(direction, self.out).abs() <= PARALLEL;
        (runs_along && sign * across(direction, self.out) > 0.0)
            .then_some(across(direction, self.on))
    }
}

/// Place of a side in [`Workpiece::made_true`]: the low or high one that cuts of a direction make.
fn place_of(direction: Direction, high: bool) -> usize {
    2 * usize::from(direction == Direction::Crosscut) + usize::from(high)
}

/// What one cut makes of a workpiece.
pub(crate) struct Parted {
    pub(crate) low: Workpiece,
    pub(crate) dust: Workpiece,
    pub(crate) high: Workpiece,
}

impl Workpiece {
    /// The whole board, its outline seen from the frame.
    pub(crate) fn whole(outline: &PreparedRegion, frame: &Pose) -> Workpiece {
        let pieces = outline
            .pieces()
            .iter()
            .map(|piece| {
                piece
                    .points()
                    .iter()
                    .map(|p| frame.inverse_apply(*p))
                    .collect()
            })
            .collect();
        let everywhere = Bounds {
            min: Point::new(f64::NEG_INFINITY, f64::NEG_INFINITY),
            max: Point::new(f64::INFINITY, f64::INFINITY),
        };
        Workpiece {
            rectangle: everywhere,
            made_true: [false; 4],
            earlier: Vec::new(),
            pieces,
        }
    }

    /// The same wood in a frame turned by some degrees: what was cut so far is square to it no
    /// longer, but where the frame has been turned back.
    pub(crate) fn turned(&self, angle: f64) -> Workpiece {
        let turn = Pose {
            turn: angle,
            ..Pose::IDENTITY
        };
        let seen = |p: &Point| turn.inverse_apply(*p);
        let mut earlier: Vec<Side> = self.earlier.clone();
        for direction in [Direction::Rip, Direction::Crosscut] {
            for (high, corner, sign) in [
                (false, self.rectangle.min, -1.0),
                (true, self.rectangle.max, 1.0),
            ] {
                let at = across(direction, corner);
                if at.is_finite() {
                    earlier.push(Side {
                        on: place(direction, 0.0, at),
                        out: place(direction, 0.0, sign),
                        is_true: self.made_true[place_of(direction, high)],
                    });
                }
            }
        }
        for side in &mut earlier {
            (side.on, side.out) = (seen(&side.on), seen(&side.out));
        }
        let pieces = self.pieces.iter();
        Workpiece {
            rectangle: Bounds {
                min: Point::new(f64::NEG_INFINITY, f64::NEG_INFINITY),
                max: Point::new(f64::INFINITY, f64::INFINITY),
            },
            made_true: [false; 4],
            earlier,
            pieces: pieces.map(|p| p.iter().map(seen).collect()).collect(),
        }
    }

    /// By how much a shape reaches over a cut made before the frame was turned; minus infinity
    /// where there is none.
    pub(crate) fn over_earlier_cuts(&self, core: &[Point], radius: f64) -> f64 {
        let over = |side: &Side| {
            let out = Vector::new(side.out.x, side.out.y);
            let reach = core.iter().map(|p| (*p - side.on).dot(out));
            reach.fold(f64::NEG_INFINITY, f64::max) + radius
        };
        self.earlier
            .iter()
            .map(over)
            .fold(f64::NEG_INFINITY, f64::max)
    }

    /// Whether a cut made the low or high side that lies at `edge`, and left it true if that is asked.
    pub(crate) fn is_cut(
        &self,
        direction: Direction,
        high: bool,
        edge: f64,
        slack: f64,
        true_only: bool,
    ) -> bool {
        let corner = if high {
            self.rectangle.max
        } else {
            self.rectangle.min
        };
        let own = (
            across(direction, corner),
            self.made_true[place_of(direction, high)],
        );
        let earlier = self.earlier.iter();
        earlier
            .filter_map(|side| Some((side.level(direction, high)?, side.is_true)))
            .chain([own])
            .filter(|(_, is_true)| *is_true || !true_only)
            .any(|(made, _)| made.is_finite() && (made - edge).abs() <= slack)
    }

    /// The box round the wood; none where there is no wood.
    pub(crate) fn extents(&self) -> Option<Bounds> {
        Bounds::of_points(self.pieces.iter().flatten().copied())
    }

    /// The area of the wood in square millimetres.
    pub(crate) fn area(&self) -> f64 {
        self.pieces.iter().map(|piece| area(piece)).sum()
    }

    /// Where along it wood touches a line that runs along cuts of a direction (y = `at` for a
    /// rip): apart from each other, in order; none where at most points touch.
    pub(crate) fn contact(&self, direction: Direction, at: f64, slack: f64) -> Vec<(f64, f64)> {
        let mut spans: Vec<(f64, f64)> = self
            .pieces
            .iter()
            .filter_map(|piece| {
                let touching = piece
                    .iter()
                    .filter(|p| (across(direction, **p) - at).abs() <= slack)
                    .map(|p| along(direction, *p));
                let (low, high) = touching.fold(NOTHING, |(low, high), value| {
                    (f64::min(low, value), f64::max(high, value))
                });
                (high - low > slack).then_some((low, high))
            })
            .collect();
        spans.arrange_by(|a, b| a.0.total_cmp(&b.0));
        let mut joined: Vec<(f64, f64)> = Vec::with_capacity(spans.len());
        for (low, high) in spans {
            match joined.last_mut() {
                Some(last) if low <= last.1 + slack => last.1 = last.1.max(high),
                _ => joined.push((low, high)),
            }
        }
        joined
    }

    /// Cuts right across: wood below `at`, the kerf's dust, and wood above `at + kerf`. The new
    /// edges are true if the tool leaves them so.
    pub(crate) fn part(
        &self,
        direction: Direction,
        at: f64,
        kerf: f64,
        leaves_true: bool,
    ) -> Parted {
        let part = |from: f64, to: f64| {
            let pieces = self
                .pieces
                .iter()
                .map(|piece| clip(&clip(piece, direction, from, false), direction, to, true))
                .filter(|piece| piece.len() >= 2)
                // Pieces without area are kept only for a kerf without width, whose line they are.
                .filter(|piece| from == to || area(piece) > 0.0)
                .collect();
            let mut rectangle = self.rectangle;
            let mut made_true = self.made_true;
            if from > across(direction, rectangle.min) {
                made_true[place_of(direction, false)] = leaves_true;
            }
            if to < across(direction, rectangle.max) {
                made_true[place_of(direction, true)] = leaves_true;
            }
            match direction {
                Direction::Rip => {
                    rectangle.min.y = rectangle.min.y.max(from);
                    rectangle.max.y = rectangle.max.y.min(to);
                }
                Direction::Crosscut => {
                    rectangle.min.x = rectangle.min.x.max(from);
                    rectangle.max.x = rectangle.max.x.min(to);
                }
            }
            Workpiece {
                rectangle,
                made_true,
                earlier: self.earlier.clone(),
                pieces,
            }
        };
        Parted {
            low: part(f64::NEG_INFINITY, at),
            dust: part(at, at + kerf),
            high: part(at + kerf, f64::INFINITY),
        }
    }
}

/// A point's place along a cut.
pub(crate) fn along(direction: Direction, p: Point) -> f64 {
    match direction {
        Direction::Rip => p.x,
        Direction::Crosscut => p.y,
    }
}

/// A point's place square to a cut.
pub(crate) fn across(direction: Direction, p: Point) -> f64 {
    match direction {
        Direction::Rip => p.y,
        Direction::Crosscut => p.x,
    }
}

/// The point with these places along and square to a cut.
pub(crate) fn place(direction: Direction, along: f64, across: f64) -> Point {
    match direction {
        Direction::Rip => Point::new(along, across),
        Direction::Crosscut => Point::new(across, along),
    }
}

/// What of a convex polygon lies at or below (or at or above) a line square to the axis.
///
/// Clipping one side of a convex polygon (Sutherland & Hodgman 1974). New corners get the
/// line's own coordinate to the last bit, so that neighbours meet exactly.
fn clip(points: &[Point], direction: Direction, limit: f64, keep_low: bool) -> Vec<Point> {
    if limit.is_infinite() {
        return points.to_vec();
    }
    let keeps = |p: Point| {
        if keep_low {
            across(direction, p) <= limit
        } else {
            across(direction, p) >= limit
        }
    };
    let mut kept = Vec::with_capacity(points.len() + 1);
    for (k, &here) in points.iter().enumerate() {
        let next = points[(k + 1) % points.len()];
        if keeps(here) {
            kept.push(here);
        }
        let (from, to) = (across(direction, here), across(direction, next));
        if keeps(here) != keeps(next) && from != limit && to != limit {
            let t = (limit - from) / (to - from);
            let beside =
                along(direction, here) + t * (along(direction, next) - along(direction, here));
            kept.push(place(direction, beside, limit));
        }
    }
    kept
}

/// Area of a polygon, counter-clockwise positive, by triangles from its first corner.
fn area(points: &[Point]) -> f64 {
    let Some(&first) = points.first() else {
        return 0.0;
    };
    0.5 * points
        .windows(2)
        .map(|w| (w[0] - first).cross(w[1] - first))
        .sum::<f64>()
}

#[cfg(test)]
mod tests {
    use heartside_geometry::{Region, Ring};

    use super::*;

    /// A board with a notch: 10 by 6, the notch 4 wide and 3 deep from above.
    fn notched() -> Workpiece {
        let corners = [
            (0.0, 0.0),
            (10.0, 0.0),
            (10.0, 6.0),
            (7.0, 6.0),
            (7.0, 3.0),
            (3.0, 3.0),
            (3.0, 6.0),
            (0.0, 6.0),
        ];
        let ring = Ring::new(corners.map(|(x, y)| Point::new(x, y)).to_vec()).unwrap();
        Workpiece::whole(
            &PreparedRegion::new(Region::from_ring(ring)),
            &Pose::IDENTITY,
        )
    }

    #[test]
    fn parts_and_dust_add_up() {
        for (direction, at, kerf) in [
            (Direction::Rip, 2.0, 0.5),
            (Direction::Rip, 2.8, 1.0),
            (Direction::Crosscut, 2.0, 3.0),
            (Direction::Rip, 4.0, 0.0),
        ] {
            let whole = notched();
            let parted = whole.part(direction, at, kerf, true);
            let sum = parted.low.area() + parted.dust.area() + parted.high.area();
            assert!((sum - whole.area()).abs() < 1e-12, "{direction:?} {at}");
        }
        assert!((notched().area() - 48.0).abs() < 1e-12);
    }

    #[test]
    fn a_cut_through_the_notch_leaves_two_horns() {
        let high = notched().part(Direction::Rip, 3.5, 0.5, true).high;
        assert_eq!(
            high.extents(),
            Some(Bounds::new(Point::new(0.0, 4.0), Point::new(10.0, 6.0)))
        );
        assert!((high.area() - 12.0).abs() < 1e-12);
        assert_eq!(high.rectangle.min.y, 4.0);
        let horns = vec![(0.0, 3.0), (7.0, 10.0)];
        assert_eq!(high.contact(Direction::Rip, 4.0, 1e-3), horns);
        assert_eq!(high.contact(Direction::Rip, 5.0, 1e-3), vec![]);
    }

    #[test]
    fn an_edge_is_as_true_as_the_tool_that_made_it() {
        let is_true = |w: &Workpiece, high, edge| w.is_cut(Direction::Rip, high, edge, 1e-3, true);
        let parted = notched().part(Direction::Rip, 2.0, 0.5, true);
        assert!(is_true(&parted.low, true, 2.0) && is_true(&parted.high, false, 2.5));
        assert!(!is_true(&parted.low, false, 0.0) && !is_true(&parted.high, true, 6.0));
        // A rougher cut beside it, and one the other way, which leaves it as it was.
        let rough = parted.low.part(Direction::Rip, 1.0, 0.5, false);
        assert!(!is_true(&rough.low, true, 1.0) && !is_true(&rough.high, false, 1.5));
        assert!(is_true(&rough.high, true, 2.0));
        let across = parted.low.part(Direction::Crosscut, 4.0, 1.0, false);
        assert!(is_true(&across.low, true, 2.0));
    }

    #[test]
    fn turned_back_it_knows_its_edges_again() {
        let is_true = |w: &Workpiece, edge| w.is_cut(Direction::Rip, false, edge, 1e-3, true);
        let high = notched().part(Direction::Rip, 1.0, 0.5, true).high;
        let turned = high.turned(3.0);
        assert!(is_true(&high, 1.5) && !is_true(&turned, turned.extents().unwrap().min.y));
        assert!((turned.area() - high.area()).abs() < 1e-12);
        let back = turned.turned(-3.0);
        assert!(is_true(&back, 1.5));
        // A point above the cut, and one half a millimetre within its kerf.
        assert!(back.over_earlier_cuts(&[Point::new(2.0, 2.0)], 0.0) < -0.4);
        let within = back.over_earlier_cuts(&[Point::new(2.0, 2.0)], 1.0);
        assert!((within - 0.5).abs() < 1e-9);
        assert_eq!(
            high.over_earlier_cuts(&[Point::new(0.0, 0.0)], 0.0),
            f64::NEG_INFINITY
        );
    }

    #[test]
    fn a_kerf_without_width_still_has_a_line() {
        let dust = notched().part(Direction::Rip, 2.0, 0.0, true).dust;
        let extents = dust.extents().unwrap();
        assert_eq!((extents.min.x, extents.max.x), (0.0, 10.0));
        assert_eq!(dust.area(), 0.0);
    }

    #[test]
    fn a_cut_beside_the_board_takes_nothing() {
        let parted = notched().part(Direction::Crosscut, 12.0, 3.0, true);
        assert!(parted.high.extents().is_none() && parted.dust.extents().is_none());
        assert_eq!(parted.low.area(), notched().area());
    }
}
