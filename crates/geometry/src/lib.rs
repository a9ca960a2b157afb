//! Points, outlines, exact distances, arcs and tolerances for layouts on boards.
//!
//! Three types carry the rest: a [`Ring`] is a closed outline without crossings, a [`Region`]
//! an area with holes, and a [`PreparedRegion`] a region decomposed into convex pieces, which
//! answers how far it is from another one, and how deep they overlap, exactly.
//!
//! Millimetres and degrees throughout, y up, outlines counter-clockwise. Everything is pure
//! and gives the same bits on every machine. Decisions rest on the distances here alone:
//! [`offset`](offset()) and the simplified shapes serve drawing and search.
//!
//! What it refuses: outlines that cross themselves or hold numbers that are not finite are
//! reported with all their faults and never become a [`Ring`]; nothing panics on them.
//!
//! ```
//! use heartside_geometry::{Bounds, Pose, PreparedRegion, Region, protrusion, separation};
//!
//! let rectangle = |length, width| Region::rectangle(Bounds::of_size(length, width));
//! let (Some(board), Some(leg)) = (rectangle(2000.0, 240.0), rectangle(700.0, 60.0)) else {
//!     return;
//! };
//! let (board, leg) = (PreparedRegion::new(board), PreparedRegion::new(leg));
//! let first = leg.posed(&Pose::new(10.0, 5.0, 0.0));
//! let second = leg.posed(&Pose::new(10.0, 68.2, 0.0));
//! assert!((separation(&first, &second).amount - 3.2).abs() < 1e-12);
//! assert_eq!(protrusion(&first, &board).amount, 5.0);
//! ```

mod arrange;
mod bounds;
mod bounds_tree;
mod box_index;
mod clip;
mod convex;
mod crossings;
pub mod flatten;
mod hull;
mod interval;
mod library;
pub mod math;
mod offset;
mod pieces;
mod point;
mod poles;
mod pose;
mod prepared;
mod region;
mod ring;
mod separation;
mod simplify;
mod sorted;
mod tolerance;
mod transform;
mod triangulate;

pub use arrange::Arrange;
pub use bounds::Bounds;
pub use box_index::BoxIndex;
pub use clip::{area_in_bounds, clip_bounds, clip_half_plane};
pub use convex::Convex;
pub use flatten::{
    Arc, ArcSide, Ellipse, FLATTEN_TOLERANCE, FlattenError, Side, flatten_arc, flatten_arc_sided,
    flatten_between, flatten_disc, flatten_ellipse,
};
pub use hull::{TurnedRectangle, convex_hull, least_rectangle, least_rectangle_angle, least_width};
pub use interval::Intervals;
pub use offset::{offset, subtracted};
pub use pieces::{convex_pieces, outside_pieces};
pub use point::{Point, Vector};
pub use poles::{Circle, poles_of_inaccessibility};
pub use pose::Pose;
pub use prepared::{
    PreparedRegion, distance_to_point, distance_to_segment, interiors_disjoint, protrusion,
    protrusion_at_most, separation, separation_at_most,
};
pub use region::{Region, RegionFault, RegionFaults};
pub use ring::{Location, Ring, RingFault, RingFaults};
pub use separation::Separation;
pub use simplify::{simplify_inner, simplify_outer};
pub use sorted::{Entry, SortedMap, SortedSet};
pub use tolerance::Tolerance;
pub use transform::Transform;
