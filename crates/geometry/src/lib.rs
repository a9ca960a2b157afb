//! Points, outlines, exact distances, arcs and tolerances for layouts on boards.
//!
//! Three types carry the rest: a [`Ring`] is a closed outline without crossings, a [`Region`]
//! an area with holes, and a [`PreparedRegion`] a region decomposed into convex pieces, which
//! answers how far it is from another one, and how deep they overlap, exactly.
//!
//! Millimetres and degrees throughout, y up, outlines counter-clockwise. Everything is pure
//! and gives the same bits on every machine. Decisions rest on the distances here alone:
//! [`offset`](offset()) and the simplified shapes serve drawing and search.

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
mod tolerance;
mod triangulate;

pub use bounds::Bounds;
pub use box_index::BoxIndex;
pub use clip::{area_in_bounds, clip_bounds, clip_half_plane};
pub use convex::Convex;
pub use flatten::{
    Arc, ArcSide, Ellipse, FLATTEN_TOLERANCE, FlattenError, Side, flatten_arc, flatten_arc_sided,
    flatten_disc, flatten_ellipse,
};
pub use hull::{TurnedRectangle, convex_hull, least_rectangle, least_rectangle_angle, least_width};
pub use interval::Intervals;
pub use offset::{offset, offset_outer_safe};
pub use pieces::{convex_pieces, outside_pieces};
pub use point::{Point, Vector};
pub use poles::{Circle, poles_of_inaccessibility};
pub use pose::{Pose, Transform};
pub use prepared::{
    PreparedRegion, distance_to_point, distance_to_segment, interiors_disjoint, protrusion,
    protrusion_at_most, separation, separation_at_most,
};
pub use region::{Location, Region, RegionFault, RegionFaults};
pub use ring::{Ring, RingFault, RingFaults};
pub use separation::Separation;
pub use simplify::{simplify_inner, simplify_outer};
pub use tolerance::Tolerance;
