//! An area with holes.

use core::fmt;

use serde::{Deserialize, Serialize};
use thiserror::Error;

use crate::crossings::conflicts_between;
use crate::ring::Location;
use crate::transform::Transform;
use crate::{Bounds, Point, Ring, Vector};

/// An area bounded by one outer ring, less any number of holes. The outlines belong to it.
///
/// Holes lie inside the outer ring and apart from each other; they may touch it and each
/// other in single points.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "RawRegion")]
pub struct Region {
    outer: Ring,
    holes: Vec<Ring>,
}

/// One thing that is wrong with the holes of an area. Holes and sides count from 0; messages
/// count from 1.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum RegionFault {
    /// A hole crosses the outline, or shares a stretch with it.
    #[error(
        "hole {} crosses the outline: its side {} meets side {} of the outline near ({:.3}, {:.3}) mm",
        .hole + 1, .hole_side + 1, .outer_side + 1, .at.x, .at.y
    )]
    HoleCrossesOutline {
        /// Index of the hole.
        hole: usize,
        /// Index of the side of the hole.
        hole_side: usize,
        /// Index of the side of the outline.
        outer_side: usize,
        /// Where they meet, in millimetres.
        at: Point,
    },
    /// A hole lies outside the outline.
    #[error("hole {} lies outside the outline, near ({:.3}, {:.3}) mm", .hole + 1, .at.x, .at.y)]
    HoleOutside {
        /// Index of the hole.
        hole: usize,
        /// A point of the hole, in millimetres.
        at: Point,
    },
    /// Two holes cross, or share a stretch.
    #[error("holes {} and {} cross near ({:.3}, {:.3}) mm", .first + 1, .second + 1, .at.x, .at.y)]
    HolesCross {
        /// Index of one hole.
        first: usize,
        /// Index of the other hole.
        second: usize,
        /// Where they meet, in millimetres.
        at: Point,
    },
    /// A hole lies within another hole.
    #[error("hole {} lies inside hole {}, near ({:.3}, {:.3}) mm", .inner + 1, .outer + 1, .at.x, .at.y)]
    HoleInHole {
        /// Index of the inner hole.
        inner: usize,
        /// Index of the hole round it.
        outer: usize,
        /// A point of the inner hole, in millimetres.
        at: Point,
    },
}

/// Everything that is wrong with the holes of an area; never empty. Of each pair of rings the
/// first conflict is listed. Sides are numbered along the rings as built (counter-clockwise).
#[derive(Debug, Clone, PartialEq, Error)]
pub struct RegionFaults(pub Vec<RegionFault>);

impl fmt::Display for RegionFaults {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (k, fault) in self.0.iter().enumerate() {
            write!(f, "{}{fault}", if k == 0 { "" } else { "; " })?;
        }
        Ok(())
    }
}

/// The form in files, before the holes have been checked.
#[derive(Deserialize)]
struct RawRegion {
    outer: Ring,
    #[serde(default)]
    holes: Vec<Ring>,
}

impl TryFrom<RawRegion> for Region {
    type Error = RegionFaults;
    fn try_from(raw: RawRegion) -> Result<Region, RegionFaults> {
        Region::new(raw.outer, raw.holes)
    }
}

impl Region {
    /// An area with holes.
    ///
    /// # Errors
    /// All holes that cross or leave the outline, cross each other or lie in each other.
    pub fn new(outer: Ring, holes: Vec<Ring>) -> Result<Region, RegionFaults> {
        let mut faults = Vec::new();
        let boxes: Vec<Bounds> = holes.iter().map(Ring::bounds).collect();
        for (k, hole) in holes.iter().enumerate() {
            let crossing = conflicts_between(outer.points(), hole.points(), 1);
            if let Some(c) = crossing.first() {
                faults.push(RegionFault::HoleCrossesOutline {
                    hole: k,
                    hole_side: c.second,
                    outer_side: c.first,
                    at: c.at,
                });
            } else if !lies_within(hole, &outer) {
                faults.push(RegionFault::HoleOutside {
                    hole: k,
                    at: hole.points()[0],
                });
            }
            for (earlier, other) in holes[..k].iter().enumerate() {
                if !boxes[k].intersects(&boxes[earlier]) {
                    continue;
                }
                let crossing = conflicts_between(other.points(), hole.points(), 1);
                if let Some(c) = crossing.first() {
                    faults.push(RegionFault::HolesCross {
                        first: earlier,
                        second: k,
                        at: c.at,
                    });
                } else if lies_within(hole, other) {
                    let at = hole.points()[0];
                    faults.push(RegionFault::HoleInHole {
                        inner: k,
                        outer: earlier,
                        at,
                    });
                } else if lies_within(other, hole) {
                    let at = other.points()[0];
                    faults.push(RegionFault::HoleInHole {
                        inner: earlier,
                        outer: k,
                        at,
                    });
                }
            }
        }
        if faults.is_empty() {
            Ok(Region { outer, holes })
        } else {
            Err(RegionFaults(faults))
        }
    }

    /// An area without holes.
    pub fn from_ring(outer: Ring) -> Region {
        Region {
            outer,
            holes: Vec::new(),
        }
    }

    /// The area of a box along the axes; none if it has no width or height.
    pub fn rectangle(bounds: Bounds) -> Option<Region> {
        let Bounds { min, max } = bounds;
        (min.is_finite() && max.is_finite() && min.x < max.x && min.y < max.y)
            .then(|| Ring::from_sound_points(bounds.corners().to_vec()))
            .flatten()
            .map(Region::from_ring)
    }

    /// Rings known to form an area, from our own constructions.
    pub(crate) fn from_sound_rings(outer: Ring, holes: Vec<Ring>) -> Region {
        Region { outer, holes }
    }

    /// As [`Region::from_sound_rings`] from points, the outer ring first; holes without area are none.
    pub(crate) fn from_sound_points(rings: Vec<Vec<Point>>) -> Option<Region> {
        let mut rings = rings.into_iter().map(Ring::from_sound_points);
        let outer = rings.next()??;
        Some(Region::from_sound_rings(outer, rings.flatten().collect()))
    }

    /// The outer ring.
    pub fn outer(&self) -> &Ring {
        &self.outer
    }

    /// The holes; each ring is counter-clockwise, like the outer one.
    pub fn holes(&self) -> &[Ring] {
        &self.holes
    }

    /// The outer ring, then the holes.
    pub fn rings(&self) -> impl Iterator<Item = &Ring> + Clone + '_ {
        core::iter::once(&self.outer).chain(&self.holes)
    }

    /// All sides as their two ends; the area lies to the left, so holes run clockwise.
    pub fn edges(&self) -> impl Iterator<Item = (Point, Point)> + Clone + '_ {
        self.outer.edges().chain(
            self.holes
                .iter()
                .flat_map(|h| h.edges().map(|(a, b)| (b, a))),
        )
    }

    /// How many points the rings have together.
    pub fn point_count(&self) -> usize {
        self.rings().map(|ring| ring.points().len()).sum()
    }

    /// The area in square millimetres, holes taken off.
    pub fn area(&self) -> f64 {
        self.outer.signed_area() - self.holes.iter().map(Ring::signed_area).sum::<f64>()
    }

    /// The least box round the area.
    pub fn bounds(&self) -> Bounds {
        self.outer.bounds()
    }

    /// Whether a point lies inside, on the outline or outside: exact, O(n).
    pub fn locate(&self, p: Point) -> Location {
        match self.outer.locate(p) {
            Location::Inside => {}
            elsewhere => return elsewhere,
        }
        for hole in &self.holes {
            match hole.locate(p) {
                Location::Inside => return Location::Outside,
                Location::Boundary => return Location::Boundary,
                Location::Outside => {}
            }
        }
        Location::Inside
    }

    /// Whether a point lies in the area or on its outline.
    pub fn contains(&self, p: Point) -> bool {
        self.locate(p) != Location::Outside
    }

    /// The area moved by a displacement.
    pub fn translated(&self, by: Vector) -> Region {
        self.transformed(&Transform::moving(by))
    }

    /// The area as it comes to lie after a pose.
    pub fn transformed(&self, transform: &Transform) -> Region {
        Region {
            outer: self.outer.transformed(transform),
            holes: self
                .holes
                .iter()
                .map(|hole| hole.transformed(transform))
                .collect(),
        }
    }
}

/// Whether a ring lies within another, given that they do not cross.
fn lies_within(ring: &Ring, around: &Ring) -> bool {
    if !around.bounds().contains_bounds(&ring.bounds()) {
        return false;
    }
    // Corners may all touch the other ring; then the middle of some side does not.
    let middles = ring.edges().map(|(a, b)| a.midpoint(b));
    ring.points()
        .iter()
        .copied()
        .chain(middles)
        .map(|p| around.locate(p))
        .find(|&location| location != Location::Boundary)
        == Some(Location::Inside)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ring(list: &[(f64, f64)]) -> Ring {
        Ring::new(list.iter().map(|&(x, y)| Point::new(x, y)).collect()).unwrap()
    }

    fn square(x: f64, y: f64, side: f64) -> Ring {
        ring(&[(x, y), (x + side, y), (x + side, y + side), (x, y + side)])
    }

    #[test]
    fn areas_and_places_take_holes_off() {
        let region = Region::new(square(0.0, 0.0, 10.0), vec![square(2.0, 2.0, 3.0)]).unwrap();
        assert_eq!(region.area(), 91.0);
        assert_eq!(region.locate(Point::new(3.0, 3.0)), Location::Outside);
        assert_eq!(region.locate(Point::new(2.0, 3.0)), Location::Boundary);
        assert_eq!(region.locate(Point::new(1.0, 3.0)), Location::Inside);
        assert!(!region.contains(Point::new(11.0, 3.0)));
        assert_eq!(region.edges().count(), 8);
        let moved = region.translated(Vector::new(100.0, 0.0));
        assert!(moved.contains(Point::new(101.0, 3.0)));
    }

    #[test]
    fn all_faults_of_holes_are_found() {
        let holes = vec![
            square(8.0, 8.0, 4.0),
            square(20.0, 0.0, 2.0),
            square(1.0, 1.0, 4.0),
            square(2.0, 2.0, 1.0),
            square(4.0, 4.0, 2.0),
        ];
        let RegionFaults(faults) = Region::new(square(0.0, 0.0, 10.0), holes).unwrap_err();
        assert!(matches!(
            faults[0],
            RegionFault::HoleCrossesOutline { hole: 0, .. }
        ));
        assert!(matches!(
            faults[1],
            RegionFault::HoleOutside { hole: 1, .. }
        ));
        assert!(matches!(
            faults[2],
            RegionFault::HoleInHole {
                inner: 3,
                outer: 2,
                ..
            }
        ));
        assert!(matches!(
            faults[3],
            RegionFault::HolesCross {
                first: 2,
                second: 4,
                ..
            }
        ));
        assert_eq!(faults.len(), 4);
    }

    #[test]
    fn holes_may_touch_in_points() {
        let diamond = ring(&[(5.0, 0.0), (10.0, 5.0), (5.0, 10.0), (0.0, 5.0)]);
        assert!(Region::new(square(0.0, 0.0, 10.0), vec![diamond]).is_ok());
        let side_by_side = vec![square(1.0, 1.0, 2.0), square(3.0, 3.0, 2.0)];
        assert!(Region::new(square(0.0, 0.0, 10.0), side_by_side).is_ok());
    }

    #[test]
    fn a_flat_rectangle_is_none() {
        assert!(Region::rectangle(Bounds::of_size(10.0, 0.0)).is_none());
        assert_eq!(
            Region::rectangle(Bounds::of_size(10.0, 2.0))
                .unwrap()
                .area(),
            20.0
        );
    }
}
