//! Which tool can make a cut, and what its kerf then is.
//!
//! A cut is a straight line right across its workpiece. The workpiece must suit the tool
//! (length along the cut, width, depth, smallest piece), a fence needs a true edge
//! against it and a piece of safe size between it and the blade, and no fixing that stops
//! this kind of cut may come within its margin of the kerf from where the saw enters the
//! workpiece to where it leaves it.

use heartside_geometry::Arrange;
use heartside_geometry::{Bounds, Point};
use heartside_timber::document::Stops;
use heartside_timber::job::{Job, Tool};
use heartside_timber::plan::Direction;

use super::ground::Ground;
use super::workpiece::{Side, Workpiece};

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

/// The tools for straight cuts, in the order in which they are tried: smallest kerf first, then as listed.
#[derive(Debug, Clone)]
pub(crate) struct Saws {
    rips: Vec<usize>,
    crosscuts: Vec<usize>,
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
        }
    }

    /// The tools that cut in this direction.
    pub(crate) fn along(&self, direction: Direction) -> &[usize] {
        match direction {
            Direction::Rip => &self.rips,
            Direction::Crosscut => &self.crosscuts,
        }
    }

    /// The least kerf of a cut in this direction; none where no tool makes it.
    pub(crate) fn least_kerf(&self, job: &Job, direction: Direction) -> Option<f64> {
        self.along(direction)
            .first()
            .map(|t| job.workshop.tools[*t].kerf)
    }

    /// The width below which a strip cannot be taken off a board of this thickness: 0 where some tool can skim.
    pub(crate) fn least_strip(&self, job: &Job, direction: Direction, thickness: f64) -> f64 {
        let mut least = f64::INFINITY;
        for tool in self
            .along(direction)
            .iter()
            .map(|t| &job.workshop.tools[*t])
        {
            if thickness <= tool.max_depth {
                least = least.min(if tool.can_skim { 0.0 } else { tool.kerf });
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
        self.along(direction).iter().filter_map(move |index| {
            let tool = &job.workshop.tools[*index];
            let at = if side.is_low() {
                edge - tool.kerf
            } else {
                edge
            };
            let beyond = if side.is_low() {
                edge - side.of(&piece.tight)
            } else {
                side.of(&piece.tight) - edge
            };
            let can_take = tool.can_skim || beyond >= tool.kerf - ground.noise;
            let cut = Cut {
                tool: *index,
                at,
                kerf: tool.kerf,
            };
            (can_take && can_make(job, ground, piece, direction, &cut)).then_some(cut)
        })
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

/// True if this tool can make this cut: the workpiece suits it, the fence has its edge, and no fixing is met.
pub(crate) fn can_make(
    job: &Job,
    ground: &Ground,
    piece: &Workpiece,
    direction: Direction,
    cut: &Cut,
) -> bool {
    let tool = &job.workshop.tools[cut.tool];
    suits(tool, ground, piece, direction)
        && fence_holds(tool, ground, piece, direction, cut)
        && clear_of_fixings(ground, piece, direction, cut)
}

/// Length, width, depth and least size of the workpiece.
fn suits(tool: &Tool, ground: &Ground, piece: &Workpiece, direction: Direction) -> bool {
    let (along, square) = (piece.along(direction), piece.square_to(direction));
    ground.thickness <= tool.max_depth
        && along <= tool.max_length
        && along.max(square) >= tool.min_piece
        && (tool.has_rip_fence() || square <= tool.max_width)
}

/// Where a fence guides the cut: a true edge on one side, and a piece of the right size between it and the blade.
fn fence_holds(
    tool: &Tool,
    ground: &Ground,
    piece: &Workpiece,
    direction: Direction,
    cut: &Cut,
) -> bool {
    if !tool.has_rip_fence() {
        return true;
    }
    let (low, high) = Side::pair(direction);
    let (below, above) = piece.halves(ground, direction, cut.at, cut.kerf);
    let fits = |held: Option<Workpiece>, distance: f64| {
        held.is_some_and(|h| {
            distance <= tool.max_width && h.tight.width().max(h.tight.height()) >= tool.min_piece
        })
    };
    (piece.is_true(ground, low) && fits(below, cut.at - low.of(&piece.tight)))
        || (piece.is_true(ground, high) && fits(above, high.of(&piece.tight) - (cut.at + cut.kerf)))
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
