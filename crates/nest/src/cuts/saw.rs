//! Which tool can make a cut, and what its kerf then is.
//!
//! A cut is a straight line right across its workpiece. The workpiece must suit the tool
//! (length along the cut, width, depth, twist, length by which it is held), a rip fence needs a
//! true edge against it and a piece of safe length between it and the blade, and no fixing that
//! stops this kind of cut may come within its margin of the kerf from where the saw enters the
//! workpiece to where it leaves it. A planer takes what lies beyond an edge, as far as it can,
//! and leaves it true.

use heartside_geometry::Arrange;
use heartside_geometry::{Bounds, Point};
use heartside_timber::defaults::MOST_TWIST_MOVED;
use heartside_timber::document::Stops;
use heartside_timber::job::{Guide, Job, Tool};
use heartside_timber::plan::Direction;

use super::ground::Ground;
use super::side::Side;
use super::workpiece::Workpiece;

/// A cut that a tool can make.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Cut {
    /// The tool's place in the workshop's list.
    pub(crate) tool: usize,
    /// Low side of the kerf.
    pub(crate) at: f64,
    /// Width of the kerf.
    pub(crate) kerf: f64,
}

impl Cut {
    /// The two pieces that it leaves; a piece without wood has none.
    pub(crate) fn halves(
        &self,
        job: &Job,
        ground: &Ground,
        piece: &Workpiece,
        direction: Direction,
    ) -> (Option<Workpiece>, Option<Workpiece>) {
        let leaves_true = job.workshop.tools[self.tool].leaves_true_edge;
        piece.halves(ground, direction, (self.at, self.kerf), leaves_true)
    }
}

/// The tools for straight cuts, in the order in which they are tried: smallest kerf first, then as listed.
#[derive(Debug, Clone)]
pub struct Saws {
    rips: Vec<usize>,
    crosscuts: Vec<usize>,
    /// Planers, as listed.
    planers: Vec<usize>,
}

impl Saws {
    /// The tools of the workshop.
    pub(crate) fn of(job: &Job) -> Saws {
        let tools = &job.workshop.tools;
        let sorted = |does: fn(&Tool) -> bool| {
            let mut list: Vec<usize> = (0..tools.len()).filter(|t| does(&tools[*t])).collect();
            list.arrange_by(|a, b| tools[*a].kerf.total_cmp(&tools[*b].kerf).then(a.cmp(b)));
            list
        };
        Saws {
            rips: sorted(|t| t.rips),
            crosscuts: sorted(|t| t.crosscuts),
            planers: (0..tools.len()).filter(|t| is_planer(&tools[*t])).collect(),
        }
    }

    /// The tools of the workshop, in one direction only those of one kerf.
    pub(crate) fn of_kerf(job: &Job, direction: Direction, kerf: f64) -> Saws {
        let mut saws = Saws::of(job);
        let tools = match direction {
            Direction::Rip => &mut saws.rips,
            Direction::Crosscut => &mut saws.crosscuts,
        };
        tools.retain(|t| job.workshop.tools[*t].kerf == kerf);
        saws
    }

    /// The tools that cut in this direction.
    pub(crate) fn along(&self, direction: Direction) -> &[usize] {
        match direction {
            Direction::Rip => &self.rips,
            Direction::Crosscut => &self.crosscuts,
        }
    }

    /// The least kerf of a cut in this direction; none where no tool makes it.
    pub fn least_kerf(&self, job: &Job, direction: Direction) -> Option<f64> {
        self.along(direction)
            .first()
            .map(|t| job.workshop.tools[*t].kerf)
    }

    /// The width below which a strip cannot be taken off a board of this thickness: 0 where some tool
    /// can skim, or a planer takes it (in two goes, if need be).
    pub fn least_strip(&self, job: &Job, direction: Direction, thickness: f64) -> f64 {
        let mut least = f64::INFINITY;
        let all = self.along(direction).iter().chain(self.planers(direction));
        for tool in all.map(|t| &job.workshop.tools[*t]) {
            if thickness <= tool.max_depth {
                let takes_all = tool.can_skim || is_planer(tool);
                least = least.min(if takes_all { 0.0 } else { tool.kerf });
            }
        }
        least
    }

    /// The cut that makes `side` of the wanted rectangle true at `edge`, taking off what lies beyond; none if no tool can.
    pub(crate) fn cut(
        &self,
        job: &Job,
        ground: &Ground,
        piece: &Workpiece,
        side: Side,
        edge: f64,
    ) -> Option<Cut> {
        self.cuts(job, ground, piece, side, edge).next()
    }

    /// As [`Saws::cut`], by each tool that can.
    pub(crate) fn cuts<'a>(
        &'a self,
        job: &'a Job,
        ground: &'a Ground,
        piece: &'a Workpiece,
        side: Side,
        edge: f64,
    ) -> impl Iterator<Item = Cut> + 'a {
        let direction = side.direction();
        let beyond = if side.is_low() {
            edge - side.of(&piece.tight)
        } else {
            side.of(&piece.tight) - edge
        };
        let tools = &job.workshop.tools;
        let sawn = self.along(direction).iter().filter_map(move |index| {
            let tool = &tools[*index];
            let can_take = tool.can_skim || beyond >= tool.kerf - ground.noise;
            can_take.then_some((*index, tool.kerf))
        });
        // A planer takes just what lies beyond.
        let planed = self.planers(direction).iter().filter_map(move |index| {
            let can_take = beyond > 0.0 && beyond <= tools[*index].kerf;
            can_take.then_some((*index, beyond))
        });
        sawn.chain(planed).filter_map(move |(tool, kerf)| {
            let at = if side.is_low() { edge - kerf } else { edge };
            let cut = Cut { tool, at, kerf };
            can_make(job, ground, piece, direction, &cut).then_some(cut)
        })
    }

    /// The planers, for cuts along the frame; none for the others.
    pub(crate) fn planers(&self, direction: Direction) -> &[usize] {
        match direction {
            Direction::Rip => &self.planers,
            Direction::Crosscut => &[],
        }
    }

    /// True if some tool can cut this workpiece right across at `at`: used where both sides go on to be cut.
    pub(crate) fn tools_for<'a>(
        &'a self,
        job: &'a Job,
        ground: &'a Ground,
        piece: &'a Workpiece,
        direction: Direction,
    ) -> impl Iterator<Item = (usize, &'a Tool)> + 'a {
        self.along(direction)
            .iter()
            .map(|index| (*index, &job.workshop.tools[*index]))
            .filter(move |(_, tool)| suits(tool, ground, piece, direction))
    }
}

/// True if this tool can make this cut: the workpiece suits it, fences hold it, and no fixing is met.
pub(crate) fn can_make(
    job: &Job,
    ground: &Ground,
    piece: &Workpiece,
    direction: Direction,
    cut: &Cut,
) -> bool {
    let tool = &job.workshop.tools[cut.tool];
    let holds = match tool {
        _ if is_planer(tool) => true,
        _ if tool.has_rip_fence() => fence_holds(tool, ground, piece, direction, cut),
        _ if tool.has_square_fence() => is_held_square(tool, ground, piece, direction, cut),
        _ => true,
    };
    holds
        && suits(tool, ground, piece, direction)
        && clear_of_fixings(ground, piece, direction, cut)
}

/// True for a tool that planes edges true and saws nothing along the grain.
pub(crate) fn is_planer(tool: &Tool) -> bool {
    tool.trues && !tool.rips
}

/// Length, width, depth and twist of the workpiece, and whether it is long enough where it is held.
fn suits(tool: &Tool, ground: &Ground, piece: &Workpiece, direction: Direction) -> bool {
    let (along, square) = (piece.along(direction), piece.square_to(direction));
    let held = if tool.has_square_fence() {
        square
    } else if tool.guide == Guide::Along || is_planer(tool) {
        along
    } else {
        along.max(square)
    };
    ground.thickness <= tool.max_depth
        && along <= tool.max_length
        && held >= tool.min_piece
        && (tool.has_rip_fence() || square <= tool.max_width)
        && (!tool.work_moves || ground.twist_of(&piece.tight) <= MOST_TWIST_MOVED)
}

/// Along a rip fence: a true edge on one side, and between it and the blade a piece, kept or waste,
/// that is neither too wide nor too short.
fn fence_holds(
    tool: &Tool,
    ground: &Ground,
    piece: &Workpiece,
    direction: Direction,
    cut: &Cut,
) -> bool {
    let (low, high) = Side::pair(direction);
    let (below, above) = piece.halves(ground, direction, (cut.at, cut.kerf), false);
    let fits = |held: Option<Workpiece>, distance: f64| {
        held.is_some_and(|h| distance <= tool.max_width && h.along(direction) >= tool.min_piece)
    };
    (fits(below, cut.at - low.of(&piece.tight)) && piece.is_true(ground, low))
        || (fits(above, high.of(&piece.tight) - (cut.at + cut.kerf)) && piece.is_true(ground, high))
}

/// Against a fence square to the cut: one of the pieces that the cut leaves is long enough there to
/// be held; the other falls off.
fn is_held_square(
    tool: &Tool,
    ground: &Ground,
    piece: &Workpiece,
    direction: Direction,
    cut: &Cut,
) -> bool {
    // Where a cut turned the line of reference, edges cut before would turn this one back.
    let (low, high) = Side::pair(direction);
    if ground.is_turned
        && ![low, high]
            .into_iter()
            .any(|s| piece.is_in_line(ground, s.beside()))
    {
        return false;
    }
    if tool.min_piece <= 0.0 {
        return true;
    }
    let (below, above) = piece.halves(ground, direction, (cut.at, cut.kerf), false);
    let is_held = |half: &Workpiece| half.square_to(direction) >= tool.min_piece;
    below.iter().chain(&above).any(is_held)
}

/// No fixing that stops this kind of cut within its margin of the band, over the length really sawn.
fn clear_of_fixings(ground: &Ground, piece: &Workpiece, direction: Direction, cut: &Cut) -> bool {
    if ground.fixings.is_empty() {
        return true;
    }
    let band = match direction {
        Direction::Rip => Bounds {
            min: Point {
                x: piece.rect.min.x,
                y: cut.at,
            },
            max: Point {
                x: piece.rect.max.x,
                y: cut.at + cut.kerf,
            },
        },
        Direction::Crosscut => Bounds {
            min: Point {
                x: cut.at,
                y: piece.rect.min.y,
            },
            max: Point {
                x: cut.at + cut.kerf,
                y: piece.rect.max.y,
            },
        },
    };
    // A band beside the wood meets nothing; one that is partly in it is sawn from the first wood to the last.
    let Some(wood) = ground.wood_touching(&band) else {
        return true;
    };
    let sawn = match direction {
        Direction::Rip => Bounds {
            min: Point {
                x: wood.min.x,
                y: band.min.y,
            },
            max: Point {
                x: wood.max.x,
                y: band.max.y,
            },
        },
        Direction::Crosscut => Bounds {
            min: Point {
                x: band.min.x,
                y: wood.min.y,
            },
            max: Point {
                x: band.max.x,
                y: wood.max.y,
            },
        },
    };
    let stopped_by = |stops: Stops| match stops {
        Stops::All => true,
        Stops::Rips => direction == Direction::Rip,
        Stops::Crosscuts => direction == Direction::Crosscut,
    };
    ground
        .fixings
        .iter()
        .filter(|(_, stops)| stopped_by(*stops))
        .all(|(piece, _)| !ground.pieces[*piece].meets(&sawn))
}
