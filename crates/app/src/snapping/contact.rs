//! Contacts: a part keeps just its distance from neighbours, edges and trims.

use heartside_check::{Live, Near, Piece};
use heartside_geometry::{
    Bounds, Point, Pose, PreparedRegion, Vector, distance_to_segment, protrusion, separation,
};
use heartside_timber::document::{BoardCopy, PartCopy};
use heartside_timber::job::Job;

use super::near::{is_reach, near, on_grid, sides};

/// A contact counts as reached this close, in millimetres: far below the grid of placements,
/// far above rounding. Smaller costs rounds, larger would leave gaps that are not seen but
/// add up.
const THERE: f64 = 1e-6;
/// A contact is looked for in so many rounds; slanted sides need several, square ones one.
const ROUNDS: usize = 40;
/// So many overlaps are moved out of one after the other before giving up.
const MOST_OVERLAPS: usize = 6;

/// The pose nearby at which a part just keeps its distance from what is nearest: a kerf
/// from neighbours' blanks, the trim from raw sides, nothing from straight ones; in x
/// and in y, each by at most `reach_mm`. A part that overlaps something by less than
/// that is moved out of it.
///
/// Exact for rectangles along the axes; others slide along x and y until they touch. The
/// distance includes what solvers keep extra. The turn stays. Where nothing is near, or
/// there is no way out within reach, the pose comes back on the job's grid. Zones do not
/// attract.
pub fn to_contact(
    live: &Live,
    part: &PartCopy,
    board: &BoardCopy,
    pose: Pose,
    reach_mm: f64,
) -> Pose {
    let job = live.job();
    let Some(near) = near(live, part, board, pose, reach_mm) else {
        return pose;
    };
    if !is_reach(reach_mm) {
        return on_grid(job, pose);
    }
    on_grid(job, pose.moved(Around::new(job, &near, reach_mm).contact()))
}

/// What a held piece keeps its distance from.
pub(super) struct Around<'a> {
    piece: &'a Piece,
    outline: &'a PreparedRegion,
    things: Vec<Thing<'a>>,
    reach: f64,
}

/// One thing near a held piece, with the distance to keep from the core of its blank.
enum Thing<'a> {
    /// Another blank's core.
    Blank(&'a PreparedRegion, f64),
    /// A side of the board or of a hole in it.
    Side(Point, Point, f64),
    /// The outline itself: nothing may stick out, whatever the trim.
    Outline(f64),
}

impl<'a> Around<'a> {
    pub(super) fn new(job: &Job, near: &'a Near<'_>, reach: f64) -> Around<'a> {
        let extra = job.tolerance.extra;
        let piece = &near.piece;
        let mut things = vec![Thing::Outline(piece.radius + extra)];
        things.extend(near.others.iter().map(|other| {
            let keeps = near.kerf + extra + piece.radius + other.radius;
            Thing::Blank(&other.core, keeps)
        }));
        for ((a, b), trim) in sides(job, near) {
            let box_near = piece.bounds.grown(trim + 2.0 * reach);
            if box_near.intersects(&Bounds::new(a, b)) {
                things.push(Thing::Side(a, b, trim + extra + piece.radius));
            }
        }
        Around {
            piece,
            outline: near.outline,
            things,
            reach,
        }
    }

    /// The move to what is nearest in x and in y, out of what the piece overlaps first.
    pub(super) fn contact(&self) -> Vector {
        let Some(mut moved) = self.way_out() else {
            return Vector::ZERO;
        };
        for axis in [Vector::new(1.0, 0.0), Vector::new(0.0, 1.0)] {
            moved += self.to_contact(moved, axis);
        }
        moved
    }

    /// How much room the moved piece has from a thing; below 0, how much is missing.
    fn room(&self, thing: &Thing<'_>, moved: Vector) -> f64 {
        let core = self.piece.core.translated(moved);
        match thing {
            Thing::Blank(other, keeps) => separation(&core, other).amount - keeps,
            Thing::Side(a, b, keeps) => distance_to_segment(&core, *a, *b).max(0.0) - keeps,
            Thing::Outline(keeps) => protrusion(&core, self.outline).amount - keeps,
        }
    }

    /// The move out of everything that the piece overlaps or is too near to; none if there is
    /// none within reach. Goes out of one thing after the other, the outline first, each by
    /// the shorter way along an axis.
    fn way_out(&self) -> Option<Vector> {
        let mut moved = Vector::ZERO;
        for _ in 0..MOST_OVERLAPS {
            let Some(thing) = self
                .things
                .iter()
                .find(|thing| self.room(thing, moved) < -THERE)
            else {
                return Some(moved);
            };
            let ways =
                [(1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)].map(|(x, y)| Vector::new(x, y));
            let (far, way) = ways
                .into_iter()
                .filter_map(|way| Some((self.clear_of(thing, moved, way)?, way)))
                .min_by(|a, b| a.0.total_cmp(&b.0))?;
            moved += way * far;
            if moved.x.abs().max(moved.y.abs()) > self.reach {
                return None;
            }
        }
        None
    }

    /// How far to go in a direction until a thing leaves room. The room changes by no more
    /// than the move, so going by what is missing never goes too far.
    fn clear_of(&self, thing: &Thing<'_>, moved: Vector, way: Vector) -> Option<f64> {
        let mut far = 0.0;
        for _ in 0..ROUNDS {
            let room = self.room(thing, moved + way * far);
            if room >= -THERE {
                return Some(far);
            }
            far -= room;
            if far > self.reach {
                return None;
            }
        }
        None
    }

    /// The shortest move along an axis, either way, that ends in touching something; none
    /// where the piece touches something on that axis already, or nothing is within reach.
    fn to_contact(&self, moved: Vector, axis: Vector) -> Vector {
        let mut best: Option<Vector> = None;
        for way in [axis, -axis] {
            for thing in &self.things {
                if matches!(thing, Thing::Outline(_)) {
                    continue;
                }
                let room = self.room(thing, moved);
                if room <= 2.0 * THERE {
                    if self.room(thing, moved + way * 0.01) < room - 0.005 {
                        return Vector::ZERO;
                    }
                    continue;
                }
                let step = self.touch(thing, moved, way, room).map(|far| way * far);
                if let Some(step) =
                    step.filter(|s| best.is_none_or(|b| s.length_squared() < b.length_squared()))
                {
                    best = Some(step);
                }
            }
        }
        best.filter(|step| {
            self.things
                .iter()
                .all(|thing| self.room(thing, moved + *step) >= -2.0 * THERE)
        })
        .unwrap_or(Vector::ZERO)
    }

    /// The moves that begin with a given one and go on along an axis, either way, until the piece
    /// is clear of everything; and from there to what it touches next.
    pub(super) fn slides(&self, start: Vector, axis: Vector) -> Vec<Vector> {
        let mut slides = Vec::new();
        for way in [axis, -axis] {
            let mut far = 0.0;
            for _ in 0..ROUNDS {
                let moved = start + way * far;
                let room = self
                    .things
                    .iter()
                    .map(|thing| self.room(thing, moved))
                    .fold(f64::INFINITY, f64::min);
                if room >= -THERE {
                    slides.push(moved);
                    if far == 0.0 {
                        slides.push(moved + self.to_contact(moved, axis));
                    }
                    break;
                }
                far -= room;
                if far > self.reach {
                    break;
                }
            }
        }
        slides
    }

    /// How far to go in a direction until a thing is touched; none if it is passed or out of
    /// reach. The room shrinks by no more than the move, so going by the room never jumps
    /// over the contact.
    fn touch(&self, thing: &Thing<'_>, moved: Vector, way: Vector, room: f64) -> Option<f64> {
        let (mut far, mut room) = (0.0, room);
        for _ in 0..ROUNDS {
            far += room;
            if far > self.reach {
                return None;
            }
            room = self.room(thing, moved + way * far);
            if room <= THERE {
                return Some(far);
            }
        }
        None
    }
}
