//! An order of cuts for blanks that lie at different small angles on one board.
//!
//! A cut at an angle turns the line of reference for itself and all below it. So a board is first
//! parted between blanks of different angles, across before along, until every piece holds blanks
//! of one angle; such a piece is turned to it and cut up like a board of its own
//! ([`super::separator`]). A line that parts two groups may run at any angle; those tried are the one
//! so far, the board's, those of the blanks, halfway between them, and square to the shortest way
//! from blank to blank, which parts them where anything does (convex sets are furthest apart along it).
//!
//! | module | idea |
//! |---|---|
//! | `lines` | at which angles and where groups can be parted |
//! | `part` | what came of a piece, and the tree of all |

mod lines;
mod part;

use std::sync::Arc;

use heartside_geometry::{Arrange, Bounds, Point, Pose, math};
use heartside_timber::blank::Blank;
use heartside_timber::job::{Job, PartCut};
use heartside_timber::plan::{Frame, Placement};

use super::separator::{Failure, Separator, square_angle};
use crate::cuts::cutting::{Cutout, Cutting};
use crate::cuts::ground::Ground;
use crate::cuts::saw::Saws;
use crate::cuts::workpiece::Workpiece;
pub(crate) use part::Part;

/// Angles nearer than this are one, in degrees: as near as blanks must lie to the frame they are cut in.
const SAME: f64 = 1e-7;

/// A piece whose blanks have one angle is given so many steps at least.
const LEAST_STEPS: u64 = 500;

/// Most cuts of a piece that are tried before it is given up: each may be followed by as many.
const MOST_PARTINGS: usize = 60;

/// Most cuts that take off waste, one after the other, before anything is parted.
const MOST_TRIMMINGS: usize = 6;

/// True where straight parts lie at angles that no one frame is square to.
pub(crate) fn is_askew(job: &Job, placements: &[Placement]) -> bool {
    let mut angles = straight_angles(job, placements);
    let first = angles.next();
    angles.any(|angle| first.is_some_and(|first| !is_same(angle, first)))
}

fn straight_angles(job: &Job, placements: &[Placement]) -> impl Iterator<Item = f64> {
    let straight = placements.iter().filter(|p| {
        let part = job.part(&p.part);
        part.is_some_and(|part| part.cut == PartCut::Straight)
    });
    straight.map(|p| square_angle(p.at.turn))
}

/// Whether blanks at these angles are square to each other.
fn is_same(a: f64, b: f64) -> bool {
    let off = math::normalise_deg(a - b).rem_euclid(90.0);
    off.min(90.0 - off) <= SAME
}

/// A blank as it lies on the board.
struct Lying {
    /// Its place in the list of placements.
    place: usize,
    part: usize,
    placement: Placement,
    /// Its angle; none where it is sawn by line and no cut need be square to it.
    angle: Option<f64>,
    corners: Vec<Point>,
    radius: f64,
}

/// Cuts a board up so that exactly these blanks are free, each square to its own line.
///
/// One step is one cut looked at.
pub(crate) fn apart(
    (job, saws): (&Job, &Saws),
    ground: Ground,
    placements: &[Placement],
    step_limit: u64,
) -> Result<Part, Failure> {
    let lying: Vec<Lying> = placements
        .iter()
        .enumerate()
        .filter_map(|(place, placement)| {
            let part = job.part_index(&placement.part)?;
            let blank = Blank::of(&job.parts[part]);
            let pose = Pose::from(placement.at);
            let corners = blank.core.outer().points().iter();
            let is_straight = job.parts[part].cut == PartCut::Straight;
            Some(Lying {
                place,
                part,
                placement: placement.clone(),
                angle: is_straight.then(|| square_angle(placement.at.turn)),
                corners: corners.map(|p| pose.apply(*p)).collect(),
                radius: blank.radius,
            })
        })
        .collect();
    if lying.len() < placements.len() {
        let is_known = |place: &usize| lying.iter().any(|l| l.place == *place);
        let unknown = (0..placements.len()).filter(|place| !is_known(place));
        return Err(Failure::Inseparable(unknown.collect()));
    }
    let members = (0..lying.len()).collect();
    let work = Workpiece::whole(&ground);
    let mut bench = Bench {
        job,
        saws,
        first: ground.frame.angle,
        lying,
        steps_left: step_limit,
        trimmed: 0,
        gave_up: false,
        dead_ends: Vec::new(),
    };
    match bench.separate(&Arc::new(ground), Some(work), members) {
        Err(Failure::Inseparable(_)) if bench.gave_up => Err(Failure::GaveUp),
        found => found,
    }
}

struct Bench<'a> {
    job: &'a Job,
    saws: &'a Saws,
    /// The angle of the layout's own frame.
    first: f64,
    lying: Vec<Lying>,
    steps_left: u64,
    /// How many cuts before the one that is looked at took off waste.
    trimmed: usize,
    /// Some piece of one angle took more steps than there were for it.
    gave_up: bool,
    /// Pieces from which these blanks cannot be freed.
    dead_ends: Vec<(Arc<Ground>, Workpiece, Vec<usize>, Failure)>,
}

impl Bench<'_> {
    /// Frees the members from a piece. As deep as cuts follow one another: one level for each member,
    /// and for each cut that takes off waste.
    fn separate(
        &mut self,
        ground: &Arc<Ground>,
        work: Option<Workpiece>,
        members: Vec<usize>,
    ) -> Result<Part, Failure> {
        if members.is_empty() {
            return Ok(Part::rest(ground, work));
        }
        if self.steps_left == 0 {
            return Err(Failure::GaveUp);
        }
        let Some(work) = work else {
            return Err(self.inseparable(&members));
        };
        let mut known = self.dead_ends.iter();
        let known = known.find(|(g, w, m, _)| *w == work && *m == members && g.is_like(ground));
        if let Some((.., failure)) = known {
            return Err(failure.clone());
        }
        let found = match self.only_angle(&members, ground) {
            Some(angle) => self.turn_and_cut(ground, &work, &members, angle),
            None => self.part(ground, &work, &members),
        };
        if let Err(failure @ Failure::Inseparable(_)) = &found {
            let dead_end = (Arc::clone(ground), work, members, failure.clone());
            self.dead_ends.push(dead_end);
        }
        found
    }

    /// The angle that all members are square to; that of the piece itself where none has one.
    fn only_angle(&self, members: &[usize], ground: &Ground) -> Option<f64> {
        let mut angles = members.iter().filter_map(|m| self.lying[*m].angle);
        let Some(first) = angles.next() else {
            return Some(ground.frame.angle);
        };
        angles.all(|angle| is_same(angle, first)).then_some(first)
    }

    /// Crosscuts a piece between its members and cuts long ends off before it is turned, where that can be, and then
    /// the rest up.
    fn turn_and_cut(
        &mut self,
        ground: &Arc<Ground>,
        work: &Workpiece,
        members: &[usize],
        angle: f64,
    ) -> Result<Part, Failure> {
        if !is_same(angle, ground.frame.angle) {
            let between = self.across_between(ground, members);
            let ends = self.ends_beyond(ground, work, members);
            for line in between.into_iter().chain(ends) {
                let cuts = self.cuts_along(ground, work, &line);
                if let Some(cut) = cuts.first()
                    && let Ok(part) = self.part_at(ground, work, &line, *cut)
                {
                    return Ok(part);
                }
            }
        }
        self.cut_square(ground, work, members, angle)
    }

    /// Turns a piece to the angle of all that lies in it, and cuts it up like a board.
    fn cut_square(
        &mut self,
        ground: &Arc<Ground>,
        work: &Workpiece,
        members: &[usize],
        angle: f64,
    ) -> Result<Part, Failure> {
        let is_square = is_same(angle, ground.frame.angle);
        let turn = if is_square {
            0.0
        } else {
            self.turn_to(ground, angle)
        };
        let (ground, cutting) = match is_square {
            true => (Arc::clone(ground), Cutting::piece(*work)),
            false => {
                let turned = ground.turned(self.job, work, turn);
                let cutting = Cutting::whole(&turned);
                (Arc::new(turned), cutting)
            }
        };
        let mut blanks = Vec::with_capacity(members.len());
        for member in members {
            let lying = &self.lying[*member];
            let placed = lying.placement.at;
            let Some(rect) = ground.rect_of(&self.job.parts[lying.part], &placed) else {
                return Err(self.inseparable(members));
            };
            let cutout = Cutout {
                part: lying.part,
                copy: Some(lying.placement.copy),
                placed,
                rect,
            };
            blanks.push((lying.place, cutout));
        }
        // One piece that takes long is not to keep others from being looked for.
        let share = (self.steps_left / 4).max(LEAST_STEPS).min(self.steps_left);
        let mut separator = Separator::new((self.job, &ground, self.saws), &blanks, share);
        let found = separator.free_all(cutting);
        self.steps_left -= share - separator.steps_left();
        let (cutting, order) = match found {
            Err(Failure::GaveUp) if self.steps_left > 0 => {
                self.gave_up = true;
                return Err(self.inseparable(members));
            }
            found => found?,
        };
        let order = order.into_iter().map(|b| blanks[b].0).collect();
        Ok(Part::Square {
            ground,
            turn,
            cutting: Box::new(cutting),
            order,
        })
    }

    /// By how much a frame has to be turned to be square to an angle.
    fn turn_to(&self, ground: &Ground, angle: f64) -> f64 {
        // What is square to the first frame is also within 45 degrees of it.
        self.first + square_angle(angle - self.first) - ground.frame.angle
    }

    /// Parts a piece between members of different angles.
    fn part(
        &mut self,
        ground: &Arc<Ground>,
        work: &Workpiece,
        members: &[usize],
    ) -> Result<Part, Failure> {
        let mut worst: Option<Failure> = None;
        let mut tried = 0;
        for line in self.lines(ground, work, members) {
            let turned = match line.turn == 0.0 {
                true => Arc::clone(ground),
                false => Arc::new(ground.turned(self.job, work, line.turn)),
            };
            let piece = match line.turn == 0.0 {
                true => *work,
                false => Workpiece::whole(&turned),
            };
            for cut in self.cuts_along(&turned, &piece, &line) {
                tried += 1;
                if tried > MOST_PARTINGS {
                    return Err(worst.unwrap_or_else(|| self.inseparable(members)));
                }
                let found = self.part_at(&turned, &piece, &line, cut);
                match found {
                    Err(Failure::GaveUp) => return Err(Failure::GaveUp),
                    Err(failure) => worst = worst.or(Some(failure)),
                    done => return done,
                }
            }
        }
        Err(worst.unwrap_or_else(|| self.inseparable(members)))
    }

    fn inseparable(&self, members: &[usize]) -> Failure {
        Failure::Inseparable(members.iter().map(|m| self.lying[*m].place).collect())
    }

    /// The box round a member in a frame.
    fn box_in(&self, frame: Frame, member: usize) -> Bounds {
        let lying = &self.lying[member];
        let pose = frame.pose();
        let corners = lying.corners.iter().map(|p| pose.inverse_apply(*p));
        let bounds = Bounds::of_points(corners);
        bounds
            .unwrap_or(Bounds::of_size(0.0, 0.0))
            .grown(lying.radius)
    }

    /// The angles of all members, least first, each once.
    fn angles_of(&self, members: &[usize]) -> Vec<f64> {
        let mut angles: Vec<f64> = members
            .iter()
            .filter_map(|m| self.lying[*m].angle)
            .collect();
        angles.arrange_by(f64::total_cmp);
        angles.dedup_by(|a, b| is_same(*a, *b));
        angles
    }
}
