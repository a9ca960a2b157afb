//! Where the parts of a board could lie: asked of the board by exact distances.

use heartside_geometry::{
    Bounds, PreparedRegion, distance_to_segment, protrusion_at_most, separation_at_most,
};
use heartside_timber::blank::Blank;
use heartside_timber::job::{Part, Zone, ZoneKind};
use heartside_timber::plan::{Placed, Placement};

use super::Breaking;
use super::span::{ASIDE, Span};
use crate::fit;

/// How far a part may move, in millimetres, tried in turn. Further, and waste at the end that is
/// still of use would be eaten up for a convenience.
const MOVES: [f64; 6] = [2.0, 8.0, 20.0, 50.0, 100.0, MOST_MOVED];

/// The furthest of these.
pub(super) const MOST_MOVED: f64 = 160.0;

/// Halvings between the last move that is free and the first that is not: to a few millimetres.
const HALVINGS: usize = 4;

/// The core of a blank, and how far it reaches round that.
struct Core<'a> {
    part: &'a Part,
    region: PreparedRegion,
    radius: f64,
}

/// Looks at parts where they would lie, by exact distances from the board.
pub(super) struct Looks<'a> {
    breaking: &'a Breaking<'a>,
    outline: PreparedRegion,
    zones: Vec<PreparedRegion>,
    /// One for each part that lies here: few, so they are gone through.
    blanks: Vec<Core<'a>>,
}

impl<'a> Looks<'a> {
    pub(super) fn new(breaking: &'a Breaking<'a>) -> Looks<'a> {
        let prepared = |zone: &Zone| PreparedRegion::new(zone.shape.clone());
        let mut blanks: Vec<Core<'a>> = Vec::new();
        for placement in &breaking.layout.placements {
            let known = blanks.iter().any(|b| b.part.id == placement.part);
            if let Some(part) = breaking.job.part(&placement.part).filter(|_| !known) {
                let blank = Blank::of(part);
                blanks.push(Core {
                    part,
                    region: PreparedRegion::new(blank.core),
                    radius: blank.radius,
                });
            }
        }
        Looks {
            breaking,
            outline: PreparedRegion::new(breaking.board.outline.clone()),
            zones: breaking.board.zones.iter().map(prepared).collect(),
            blanks,
        }
    }

    fn core(&self, part: &str) -> Option<&Core<'a>> {
        self.blanks.iter().find(|b| b.part.id == part)
    }

    /// How far a blank may move for each step aside, as far as trying tells; not at all where it
    /// is pinned or lay before.
    pub(super) fn free(&self, span: &Span, sign: f64) -> [f64; ASIDE.len()] {
        let lying = &self.breaking.layout.placements[span.placement];
        let job = self.breaking.job;
        let mut free = [0.0; ASIDE.len()];
        let is_pinned = job.pins.iter().any(|p| p.part == lying.part_copy());
        if is_pinned || job.lay_there(&self.breaking.layout.board, lying) {
            return free;
        }
        for (free, aside) in free.iter_mut().zip(ASIDE) {
            *free = self.free_beside(lying, sign, aside);
        }
        free
    }

    fn free_beside(&self, lying: &Placement, sign: f64, aside: f64) -> f64 {
        let job = self.breaking.job;
        let lies_well = |by: f64| {
            let mut at = lying.at;
            at.x = job.snap(at.x + sign * by);
            at.y = job.snap(at.y + aside);
            self.lies_well(&lying.part, &at)
        };
        let Some(stopped) = MOVES.iter().position(|by| !lies_well(*by)) else {
            return MOST_MOVED;
        };
        let last = stopped.checked_sub(1);
        let (mut free, mut barred) = (last.map_or(0.0, |k| MOVES[k]), MOVES[stopped]);
        for _ in 0..HALVINGS {
            let middle = (0.5 * (free + barred)).floor();
            if middle <= free {
                break;
            }
            if lies_well(middle) {
                free = middle;
            } else {
                barred = middle;
            }
        }
        free
    }

    /// Where the blanks of a block lie once moved; none where one has no place.
    ///
    /// Each steps aside no more than the board asks of it. One that thereby comes too near to
    /// another pushes that along by as much, as long as the board lets it.
    pub(super) fn settle(&self, block: &[Span], sign: f64, shift: f64) -> Option<Vec<Placed>> {
        let job = self.breaking.job;
        let placed = |span: &Span, step: usize| {
            let lying = &self.breaking.layout.placements[span.placement];
            let mut at = lying.at;
            at.x = job.snap(at.x + sign * shift);
            at.y = job.snap(at.y + ASIDE[step]);
            let part = lying.part.as_str();
            let core = self.core(part)?;
            let well = self.lies_well(part, &at);
            well.then(|| (at, core.region.posed(&at.into()), core.radius))
        };
        let mut steps = Vec::with_capacity(block.len());
        let mut lying = Vec::with_capacity(block.len());
        for span in block {
            let step = span.free.iter().position(|free| shift <= *free)?;
            steps.push(step);
            lying.push(placed(span, step)?);
        }
        let kept = job.workshop.sawn_kerf - 0.5 * job.tolerance.slack;
        let too_near = |(_, a, one): &(Placed, PreparedRegion, f64),
                        (_, b, other): &(Placed, PreparedRegion, f64)| {
            let needed = kept + one + other;
            separation_at_most(a, b, needed).is_some_and(|s| s.amount < needed)
        };
        // Each push takes one blank further aside, so there are not many.
        for _ in 0..ASIDE.len() * block.len() {
            let pairs = (0..block.len()).flat_map(|k| (0..k).map(move |j| (j, k)));
            let mut pairs = pairs.filter(|(j, k)| steps[*j] != steps[*k]);
            let Some((j, k)) = pairs.find(|(j, k)| too_near(&lying[*j], &lying[*k])) else {
                return Some(lying.into_iter().map(|l| l.0).collect());
            };
            let (pushed, by) = if steps[j] < steps[k] { (j, k) } else { (k, j) };
            let step = steps[by];
            if shift > block[pushed].free[step] {
                return None;
            }
            steps[pushed] = step;
            lying[pushed] = placed(&block[pushed], step)?;
        }
        None
    }

    /// True where all parts keep a sawn kerf from each other.
    pub(super) fn are_apart(&self, placements: &[Placement]) -> bool {
        let job = self.breaking.job;
        let lying: Vec<(PreparedRegion, f64)> = placements
            .iter()
            .filter_map(|p| {
                let core = self.core(&p.part)?;
                Some((core.region.posed(&p.pose()), core.radius))
            })
            .collect();
        let kept = job.workshop.sawn_kerf - 0.5 * job.tolerance.slack;
        lying.iter().enumerate().all(|(k, (a, one))| {
            lying[..k].iter().all(|(b, other)| {
                let needed = kept + one + other;
                separation_at_most(a, b, needed).is_none_or(|s| s.amount >= needed)
            })
        })
    }

    /// True where a part keeps rules 1, 3, 4 and 5 towards the board.
    fn lies_well(&self, part: &str, at: &Placed) -> bool {
        let Some(Core {
            part,
            region,
            radius,
        }) = self.core(part)
        else {
            return false;
        };
        let (job, board) = (self.breaking.job, self.breaking.board);
        let core = region.posed(&(*at).into());
        let forgiven = 0.5 * job.tolerance.slack;
        let inside = || {
            let needed = radius - forgiven;
            protrusion_at_most(&core, &self.outline, needed).is_none_or(|s| s.amount >= needed)
        };
        let trimmed = || {
            let mut sides = board.outline.edges().zip(&board.sides);
            sides.all(|((from, to), side)| {
                let trim = side.trim(&job.workshop);
                let needed = trim + radius - forgiven;
                let far = Bounds::of_points([from, to])
                    .is_some_and(|b| b.separation(core.bounds()) >= needed);
                trim <= 0.0 || far || distance_to_segment(&core, from, to) >= needed
            })
        };
        let clear = || {
            board.zones.iter().zip(&self.zones).all(|(zone, shape)| {
                let asks = fit::zone_asks(board, zone, part, at.turned_over);
                let kerf = if zone.kind == ZoneKind::Fixing {
                    job.workshop.sawn_kerf
                } else {
                    0.0
                };
                let when = |asked: bool, kept: f64| if asked { kept } else { f64::NEG_INFINITY };
                let blank = when(asks.blank_clear || asks.or_around, zone.margin + kerf);
                let needed = (blank.max(when(asks.blank_outside, 0.0)) + radius)
                    .max(when(asks.finished_clear, zone.margin))
                    - forgiven;
                needed == f64::NEG_INFINITY
                    || separation_at_most(&core, shape, needed).is_none_or(|s| s.amount >= needed)
            })
        };
        let runs_with_the_grain = || {
            let Some(tolerance) = fit::grain_tolerance(part).filter(|_| board.grain.is_bent())
            else {
                return true;
            };
            let axis = fit::grain_axis(part, at.turn);
            board.grain.worst_over(axis, &core, *radius).0 <= tolerance
        };
        inside() && trimmed() && clear() && runs_with_the_grain()
    }
}
