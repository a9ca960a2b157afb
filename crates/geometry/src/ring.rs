//! A closed outline without crossings.

use core::fmt;

use serde::{Deserialize, Serialize};
use thiserror::Error;

use crate::arrange::Arrange;
use crate::crossings::{Conflict, self_conflicts};
use crate::library::orientation;
use crate::transform::Transform;
use crate::{Bounds, Point};

/// Where a point lies with regard to a closed area.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Location {
    /// Strictly within.
    Inside,
    /// On the outline or on the outline of a hole.
    Boundary,
    /// Strictly without; the inside of a hole is outside.
    Outside,
}

/// A closed line of straight sides: finite, without crossings, counter-clockwise, at least
/// three distinct points, no point repeated in succession. The last point is joined to the
/// first and is not repeated.
///
/// A ring may touch itself in single points.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "Vec<Point>", into = "Vec<Point>")]
pub struct Ring {
    points: Vec<Point>,
}

/// One thing that is wrong with an outline. Points and sides count from 0 as given; side k
/// runs from point k to the next one. Messages count from 1.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum RingFault {
    /// A coordinate is missing, infinite or not a number.
    #[error("point {} of the outline has a coordinate that is not a number", .point + 1)]
    NotFinite {
        /// Index of the point.
        point: usize,
    },
    /// Fewer than three different points.
    #[error("an outline needs at least three different points; this one has {distinct}")]
    TooFewPoints {
        /// How many different points there are.
        distinct: usize,
    },
    /// All points lie on one line, or the outline encloses nothing.
    #[error("the outline encloses no area")]
    ZeroArea,
    /// Two sides cross.
    #[error(
        "the outline crosses itself: sides {} and {} meet near ({:.3}, {:.3}) mm",
        .first + 1, .second + 1, .at.x, .at.y
    )]
    Crossing {
        /// Index of one side.
        first: usize,
        /// Index of the other side.
        second: usize,
        /// Where they cross, in millimetres.
        at: Point,
    },
    /// Two sides run over each other along a stretch.
    #[error(
        "the outline runs over itself: sides {} and {} share a stretch near ({:.3}, {:.3}) mm",
        .first + 1, .second + 1, .at.x, .at.y
    )]
    Overlap {
        /// Index of one side.
        first: usize,
        /// Index of the other side.
        second: usize,
        /// A place on the common stretch, in millimetres.
        at: Point,
    },
}

/// Everything that is wrong with an outline; never empty. Of crossings and overlaps at most
/// [`RingFaults::MOST_CROSSINGS`] are listed.
#[derive(Debug, Clone, PartialEq, Error)]
pub struct RingFaults(pub Vec<RingFault>);

impl RingFaults {
    /// So many crossings are listed at most: a scribble has millions, and nobody reads more.
    pub const MOST_CROSSINGS: usize = 100;
}

impl fmt::Display for RingFaults {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (k, fault) in self.0.iter().enumerate() {
            write!(f, "{}{fault}", if k == 0 { "" } else { "; " })?;
        }
        Ok(())
    }
}

impl Ring {
    /// Builds a ring from points in either direction of travel. Points repeated in
    /// succession (and a last point equal to the first) are dropped; a clockwise outline is
    /// reversed, keeping its first point.
    ///
    /// # Errors
    /// All faults found, by the numbers of the points as given: coordinates that are not
    /// finite; else fewer than three different points; else no area, and all crossings and
    /// overlaps of sides.
    ///
    /// # Cost and accuracy
    /// O(n log n + k) for k pairs of sides close to each other along the longer axis. Exact
    /// for the coordinates as given.
    pub fn new(points: Vec<Point>) -> Result<Ring, RingFaults> {
        let not_finite: Vec<RingFault> = points
            .iter()
            .enumerate()
            .filter(|(_, p)| !p.is_finite())
            .map(|(point, _)| RingFault::NotFinite { point })
            .collect();
        if !not_finite.is_empty() {
            return Err(RingFaults(not_finite));
        }
        // Index of each kept point in the list as given: messages speak of those. Of repeated
        // points the last is kept, where the side to the next one starts.
        let mut kept: Vec<usize> = Vec::with_capacity(points.len());
        for k in 0..points.len() {
            match kept.last_mut() {
                Some(last) if points[*last] == points[k] => *last = k,
                _ => kept.push(k),
            }
        }
        while kept.len() > 1 && points[kept[0]] == points[kept[kept.len() - 1]] {
            kept.pop();
        }
        let clean: Vec<Point> = kept.iter().map(|&k| points[k]).collect();
        let distinct = count_distinct(&clean);
        if distinct < 3 {
            return Err(RingFaults(vec![RingFault::TooFewPoints { distinct }]));
        }
        let mut faults = Vec::new();
        let area = signed_area(&clean);
        let extent = Bounds::around(&clean);
        // Far below any rounding of real outlines; catches all points on one line.
        let nothing =
            1e-14 * (extent.width() + extent.height()) * (extent.width() + extent.height());
        if !area.is_finite() || area.abs() <= nothing {
            faults.push(RingFault::ZeroArea);
        }
        faults.extend(
            self_conflicts(&clean, RingFaults::MOST_CROSSINGS)
                .into_iter()
                .map(
                    |Conflict {
                         first,
                         second,
                         at,
                         overlap,
                     }| {
                        let (first, second) = (kept[first], kept[second]);
                        if overlap {
                            RingFault::Overlap { first, second, at }
                        } else {
                            RingFault::Crossing { first, second, at }
                        }
                    },
                ),
        );
        if faults.is_empty() {
            Ok(Ring {
                points: counter_clockwise(clean, area),
            })
        } else {
            Err(RingFaults(faults))
        }
    }

    /// A ring of points known not to cross, from our own constructions: drops repeated points,
    /// turns it counter-clockwise; none if fewer than three points or no area is left.
    pub(crate) fn from_sound_points(mut points: Vec<Point>) -> Option<Ring> {
        points.dedup();
        while points.len() > 1 && points.first() == points.last() {
            points.pop();
        }
        let area = signed_area(&points);
        (points.len() >= 3 && area != 0.0 && area.is_finite()).then(|| Ring {
            points: counter_clockwise(points, area),
        })
    }

    /// The points, counter-clockwise; the last is joined to the first.
    pub fn points(&self) -> &[Point] {
        &self.points
    }

    /// The sides, in order, each as its two ends; the inside lies to the left.
    pub fn edges(&self) -> impl ExactSizeIterator<Item = (Point, Point)> + Clone + '_ {
        let n = self.points.len();
        (0..n).map(move |k| {
            (
                self.points[k],
                self.points[if k + 1 == n { 0 } else { k + 1 }],
            )
        })
    }

    /// The enclosed area in square millimetres; always above 0.
    pub fn signed_area(&self) -> f64 {
        signed_area(&self.points)
    }

    /// The length of the outline.
    pub fn perimeter(&self) -> f64 {
        self.edges().map(|(a, b)| a.distance(b)).sum()
    }

    /// The least box round the ring.
    pub fn bounds(&self) -> Bounds {
        Bounds::around(&self.points)
    }

    /// The lowest and the highest place of the ring on the upright line at x, if it has any. O(n).
    pub fn span_at(&self, x: f64) -> Option<(f64, f64)> {
        let mut found: Option<(f64, f64)> = None;
        for (a, b) in self.edges() {
            let (left, right) = if a.x <= b.x { (a, b) } else { (b, a) };
            if !(left.x..=right.x).contains(&x) {
                continue;
            }
            let ends = if left.x == right.x {
                [a.y, b.y]
            } else {
                [left.y + (right.y - left.y) * ((x - left.x) / (right.x - left.x)); 2]
            };
            for y in ends {
                found =
                    Some(found.map_or((y, y), |(low, high)| (f64::min(low, y), f64::max(high, y))));
            }
        }
        found
    }

    /// Whether a point lies inside, on or outside the ring: exact, O(n).
    pub fn locate(&self, p: Point) -> Location {
        locate(&self.points, p)
    }

    /// The ring as it comes to lie after a pose.
    pub fn transformed(&self, transform: &Transform) -> Ring {
        Ring {
            points: transform.apply_points(&self.points),
        }
    }
}

impl TryFrom<Vec<Point>> for Ring {
    type Error = RingFaults;
    fn try_from(points: Vec<Point>) -> Result<Ring, RingFaults> {
        Ring::new(points)
    }
}

impl From<Ring> for Vec<Point> {
    fn from(ring: Ring) -> Vec<Point> {
        ring.points
    }
}

/// The signed area by the trapezoid sum about the first point, which keeps digits for
/// outlines far from the origin.
pub(crate) fn signed_area(points: &[Point]) -> f64 {
    let Some(&origin) = points.first() else {
        return 0.0;
    };
    let mut twice = 0.0;
    for pair in points.windows(2) {
        twice += (pair[0] - origin).cross(pair[1] - origin);
    }
    0.5 * twice
}

fn counter_clockwise(mut points: Vec<Point>, area: f64) -> Vec<Point> {
    if area < 0.0 {
        points[1..].reverse();
    }
    points
}

fn count_distinct(points: &[Point]) -> usize {
    let mut sorted: Vec<Point> = points.to_vec();
    sorted.arrange_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    sorted.dedup();
    sorted.len()
}

/// Winding number of a counter-clockwise closed line about a point, with exact sides.
pub(crate) fn locate(points: &[Point], p: Point) -> Location {
    let mut winding = 0;
    let mut a = match points.last() {
        Some(&last) => last,
        None => return Location::Outside,
    };
    for &b in points {
        let low = a.y.min(b.y);
        let high = a.y.max(b.y);
        if low <= p.y && p.y <= high && p.x <= a.x.max(b.x) {
            if p.x < a.x.min(b.x) {
                // Wholly to the right of the point: only the heights decide.
                winding += i32::from(a.y <= p.y && b.y > p.y);
                winding -= i32::from(b.y <= p.y && a.y > p.y);
            } else {
                let side = orientation(a, b, p);
                if side == 0 {
                    return Location::Boundary;
                }
                winding += i32::from(a.y <= p.y && b.y > p.y && side > 0);
                winding -= i32::from(b.y <= p.y && a.y > p.y && side < 0);
            }
        }
        a = b;
    }
    if winding == 0 {
        Location::Outside
    } else {
        Location::Inside
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ring(list: &[(f64, f64)]) -> Result<Ring, RingFaults> {
        Ring::new(list.iter().map(|&(x, y)| Point::new(x, y)).collect())
    }

    #[test]
    fn clockwise_and_closed_input_is_mended() {
        let r = ring(&[
            (0.0, 0.0),
            (0.0, 2.0),
            (0.0, 2.0),
            (3.0, 2.0),
            (3.0, 0.0),
            (0.0, 0.0),
        ])
        .unwrap();
        assert_eq!(r.points().len(), 4);
        assert_eq!(r.points()[0], Point::new(0.0, 0.0));
        assert_eq!(r.signed_area(), 6.0);
        assert_eq!(r.perimeter(), 10.0);
    }

    #[test]
    fn every_fault_is_reported_with_its_place() {
        let faults = ring(&[(0.0, f64::NAN), (1.0, 0.0), (f64::INFINITY, 2.0)]).unwrap_err();
        assert_eq!(
            faults.0,
            vec![
                RingFault::NotFinite { point: 0 },
                RingFault::NotFinite { point: 2 }
            ]
        );
        let faults = ring(&[(0.0, 0.0), (1.0, 0.0), (0.0, 0.0), (1.0, 0.0)]).unwrap_err();
        assert_eq!(faults.0, vec![RingFault::TooFewPoints { distinct: 2 }]);
        let faults = ring(&[(0.0, 0.0), (1.0, 1.0), (2.0, 2.0)]).unwrap_err();
        assert!(faults.0.contains(&RingFault::ZeroArea));
        // Indices speak of the points as given, repeated ones included.
        let faults =
            ring(&[(0.0, 0.0), (0.0, 0.0), (4.0, 4.0), (4.0, 1.0), (0.0, 4.0)]).unwrap_err();
        assert!(matches!(
            faults.0[..],
            [RingFault::Crossing {
                first: 1,
                second: 3,
                ..
            }]
        ));
        assert!(faults.to_string().contains("sides 2 and 4"), "{faults}");
    }

    #[test]
    fn locates_exactly() {
        let r = ring(&[
            (0.0, 0.0),
            (10.0, 0.0),
            (10.0, 10.0),
            (5.0, 5.0),
            (0.0, 10.0),
        ])
        .unwrap();
        for (x, y, wanted) in [
            (5.0, 4.9, Location::Inside),
            (5.0, 5.0, Location::Boundary),
            (5.0, 5.1, Location::Outside),
            (0.0, 3.0, Location::Boundary),
            (-1.0, 0.0, Location::Outside),
            (-1.0, 10.0, Location::Outside),
            (0.0, 10.0, Location::Boundary),
            (11.0, 5.0, Location::Outside),
        ] {
            assert_eq!(r.locate(Point::new(x, y)), wanted, "({x}, {y})");
        }
    }

    #[test]
    fn huge_coordinates_are_refused_not_trusted() {
        assert!(ring(&[(0.0, 0.0), (1e300, 0.0), (0.0, 1e300)]).is_err());
    }
}
