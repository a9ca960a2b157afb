//! Workpieces: the board's outline within an upright rectangle of the frame of the cuts.

use heartside_geometry::{Bounds, Point, Pose, PreparedRegion};
use heartside_timber::plan::Direction;

/// A workpiece as convex pieces in the frame of the cuts.
#[derive(Debug, Clone)]
pub(crate) struct Workpiece {
    /// The rectangle; a side without an earlier cut lies at infinity.
    pub(crate) rectangle: Bounds,
    pieces: Vec<Vec<Point>>,
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
            pieces,
        }
    }

    /// The box round the wood; none where there is no wood.
    pub(crate) fn extents(&self) -> Option<Bounds> {
        Bounds::of_points(self.pieces.iter().flatten().copied())
    }

    /// The area of the wood in square millimetres.
    pub(crate) fn area(&self) -> f64 {
        self.pieces.iter().map(|piece| area(piece)).sum()
    }

    /// How far the wood that touches a line square to `direction`'s axis reaches along it;
    /// none where at most a point touches. The line is y = `at` for a rip.
    pub(crate) fn contact(&self, direction: Direction, at: f64, slack: f64) -> Option<(f64, f64)> {
        let touching = self
            .pieces
            .iter()
            .flatten()
            .filter(|p| (across(direction, **p) - at).abs() <= slack);
        let (low, high) = touching
            .map(|p| along(direction, *p))
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
                (low.min(value), high.max(value))
            });
        (high - low > slack).then_some((low, high))
    }

    /// Cuts right across: wood below `at`, the kerf's dust, and wood above `at + kerf`.
    pub(crate) fn part(&self, direction: Direction, at: f64, kerf: f64) -> Parted {
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
            Workpiece { rectangle, pieces }
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
            let parted = whole.part(direction, at, kerf);
            let sum = parted.low.area() + parted.dust.area() + parted.high.area();
            assert!((sum - whole.area()).abs() < 1e-12, "{direction:?} {at}");
        }
        assert!((notched().area() - 48.0).abs() < 1e-12);
    }

    #[test]
    fn a_cut_through_the_notch_leaves_two_horns() {
        let high = notched().part(Direction::Rip, 3.5, 0.5).high;
        assert_eq!(
            high.extents(),
            Some(Bounds::new(Point::new(0.0, 4.0), Point::new(10.0, 6.0)))
        );
        assert!((high.area() - 12.0).abs() < 1e-12);
        assert_eq!(high.rectangle.min.y, 4.0);
        assert_eq!(high.contact(Direction::Rip, 4.0, 1e-3), Some((0.0, 10.0)));
        assert_eq!(high.contact(Direction::Rip, 5.0, 1e-3), None);
    }

    #[test]
    fn a_kerf_without_width_still_has_a_line() {
        let dust = notched().part(Direction::Rip, 2.0, 0.0).dust;
        let extents = dust.extents().unwrap();
        assert_eq!((extents.min.x, extents.max.x), (0.0, 10.0));
        assert_eq!(dust.area(), 0.0);
    }

    #[test]
    fn a_cut_beside_the_board_takes_nothing() {
        let parted = notched().part(Direction::Crosscut, 12.0, 3.0);
        assert!(parted.high.extents().is_none() && parted.dust.extents().is_none());
        assert_eq!(parted.low.area(), notched().area());
    }
}
