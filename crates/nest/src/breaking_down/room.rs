//! Room for a through cut, made by moving parts along the board.
//!
//! The blanks stand in a row in the order of their middles. Blocks of neighbours are taken
//! together; each block moves towards one end of the board just as far as leaves a kerf between
//! it and the block before, or not at all where that much is free already. Parts of two blocks
//! then lie on the two sides of a line. Where a slanting side is in the way a part steps aside by
//! a little. All distances are then measured afresh; where one is too small nothing is moved.

use std::cmp::Ordering;

use heartside_geometry::{
    Arrange, Bounds, PreparedRegion, distance_to_segment, protrusion_at_most, separation_at_most,
};
use heartside_timber::blank::Blank;
use heartside_timber::document::PartCopy;
use heartside_timber::job::{Part, Zone, ZoneKind};
use heartside_timber::plan::{Direction, Placed, Placement};

use super::Breaking;
use crate::fit;

/// How far a part may move, in millimetres, tried in turn. Further, and waste at the end that is
/// still of use would be eaten up for a convenience.
const MOVES: [f64; 6] = [2.0, 8.0, 20.0, 50.0, 100.0, 160.0];

/// How far a part may step aside as it moves, in millimetres, tried in turn: waney sides slant,
/// so what lies against one is stopped by it at once.
const ASIDE: [f64; 7] = [0.0, -0.5, 0.5, -2.0, 2.0, -5.0, 5.0];

/// More ways to move the parts of a board than this are not looked into.
const MOST_TRIES: usize = 40;

/// Halvings between the last move that is free and the first that is not: to a few millimetres.
const HALVINGS: usize = 4;

/// More blanks on one board than this are not moved: blocks of them grow with the square.
const MOST_BLANKS: usize = 80;

/// Where the parts of a layout would lie if they made room for through cuts: moved towards the
/// far end, and towards the start. Empty where nothing is gained; every part is looked at by
/// exact distances where it would lie.
///
/// `effort` is what the board costs as it lies.
pub(super) fn made(breaking: &Breaking<'_>, effort: f64) -> Vec<Vec<Placement>> {
    if breaking.blanks.len() > MOST_BLANKS || is_matched(breaking) {
        return Vec::new();
    }
    let Some(gap) = gap_wanted(breaking) else {
        return Vec::new();
    };
    let looks = Looks::new(breaking);
    [1.0, -1.0]
        .into_iter()
        .filter_map(|sign| moved(breaking, &looks, sign, gap, effort))
        .collect()
}

/// True where grain is to run on between parts of this board: they keep their distance.
fn is_matched(breaking: &Breaking<'_>) -> bool {
    let lies_here = |p: &PartCopy| {
        let mut lying = breaking.layout.placements.iter();
        lying.any(|q| q.part == p.part && q.copy == p.copy)
    };
    let mut matches = breaking.job.matches.iter();
    matches.any(|m| m.parts.iter().filter(|p| lies_here(p)).count() > 1)
}

/// The room that a crosscut needs; none where no tool takes the board. A sawn line has room in
/// it too, should the cut not be made after all.
fn gap_wanted(breaking: &Breaking<'_>) -> Option<f64> {
    let kerf = breaking
        .saws
        .least_kerf(breaking.job, Direction::Crosscut)?;
    Some(kerf.max(breaking.job.workshop.sawn_kerf) + breaking.job.tolerance.extra)
}

/// A blank in the row. Positions grow towards the end to which blanks move.
#[derive(Debug, Clone, Copy)]
struct Span {
    placement: usize,
    low: f64,
    high: f64,
    /// How far it may move, for each step aside.
    free: [f64; ASIDE.len()],
    /// The board itself was asked; otherwise only its box.
    is_looked_at: bool,
}

impl Span {
    fn most_free(&self) -> f64 {
        self.free.iter().copied().fold(0.0, f64::max)
    }
}

/// Neighbours that move together: their places in the row, and how far.
#[derive(Debug, Clone, Copy)]
struct Block {
    first: usize,
    end: usize,
    shift: f64,
}

/// A way to part the first blanks of the row into blocks.
#[derive(Debug, Clone, Copy)]
struct Way {
    effort: f64,
    spread: f64,
    /// Where the last blank of the last block ends, once moved.
    reach: f64,
    shift: f64,
    /// Number of blanks before the last block, and which of the ways to them this goes on from.
    before: (usize, usize),
}

fn moved(
    breaking: &Breaking<'_>,
    looks: &Looks<'_>,
    sign: f64,
    gap: f64,
    effort: f64,
) -> Option<Vec<Placement>> {
    let mut row = row(breaking, sign);
    let mut barred = Vec::new();
    for _ in 0..MOST_TRIES {
        let blocks = blocks(breaking, &row, (sign, gap), effort, &barred)?;
        // What the board bars is asked only of blanks that would move: as a rule few.
        let mut asked = false;
        for block in &blocks {
            for span in &mut row[block.first..block.end] {
                if !std::mem::replace(&mut span.is_looked_at, true) {
                    span.free = looks.free(span, sign);
                    asked = true;
                }
            }
        }
        if asked {
            continue;
        }
        let mut placements = breaking.layout.placements.clone();
        let stuck = blocks.iter().find(|block| {
            let spans = &row[block.first..block.end];
            let settled = looks.settle(spans, sign, block.shift);
            for (span, at) in spans.iter().zip(settled.iter().flatten()) {
                placements[span.placement].at = *at;
            }
            settled.is_none()
        });
        let Some(stuck) = stuck else {
            return looks.are_apart(&placements).then_some(placements);
        };
        barred.push((stuck.first, stuck.end));
    }
    None
}

/// The blanks by their middles; each may move as far as the board's box lets it.
fn row(breaking: &Breaking<'_>, sign: f64) -> Vec<Span> {
    let whole = breaking.board.outline.bounds();
    let mut row: Vec<Span> = breaking
        .blanks
        .iter()
        .enumerate()
        .map(|(placement, b)| {
            let (low, high, end) = if sign > 0.0 {
                (b.min.x, b.max.x, whole.max.x)
            } else {
                (-b.max.x, -b.min.x, -whole.min.x)
            };
            Span {
                placement,
                low,
                high,
                free: [(end - high).min(MOVES[MOVES.len() - 1]); ASIDE.len()],
                is_looked_at: false,
            }
        })
        .collect();
    row.arrange_by(|a, b| {
        (a.low + a.high)
            .total_cmp(&(b.low + b.high))
            .then(a.placement.cmp(&b.placement))
    });
    row
}

/// The blocks that move in the way that costs least; none where none moves, or nothing is gained
/// against `effort`. Barred blocks do not move.
fn blocks(
    breaking: &Breaking<'_>,
    row: &[Span],
    (sign, gap): (f64, f64),
    effort: f64,
    barred: &[(usize, usize)],
) -> Option<Vec<Block>> {
    let whole = breaking.board.outline.bounds();
    let (from, to) = if sign > 0.0 {
        (whole.min.x, whole.max.x)
    } else {
        (-whole.max.x, -whole.min.x)
    };
    let density = breaking.board.outline.area() / whole.width();
    let piece = |from: f64, to: f64, parts: usize, is_whole: bool| {
        let length = to - from;
        breaking.stretch((length, whole.height()), density * length, parts, is_whole)
    };
    let start = Way {
        effort: 0.0,
        spread: 0.0,
        reach: f64::NEG_INFINITY,
        shift: 0.0,
        before: (0, 0),
    };
    let mut ways: Vec<Vec<Way>> = vec![Vec::new(); row.len() + 1];
    ways[0].push(start);
    for first in 0..row.len() {
        for k in 0..ways[first].len() {
            let way = ways[first][k];
            let block_from = if first == 0 { from } else { way.reach + gap };
            let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
            let mut free = f64::INFINITY;
            for last in first..row.len() {
                let span = &row[last];
                (low, high) = (low.min(span.low), high.max(span.high));
                free = free.min(span.most_free());
                // Whole millimetres, so that measures stay round.
                let shift = (way.reach + gap - low).max(0.0).ceil();
                if shift > free {
                    break;
                }
                if shift > 0.0 && barred.contains(&(first, last + 1)) {
                    continue;
                }
                let (end, parts) = (high + shift, last + 1 - first);
                let mut go_on = |to: f64, cuts: f64| {
                    let is_whole = parts == row.len() && cuts == 0.0;
                    let piece = piece(block_from, to, parts, is_whole);
                    let next = Way {
                        effort: way.effort + piece.effort + cuts,
                        spread: way.spread + piece.load * piece.load,
                        reach: end,
                        shift,
                        before: (first, k),
                    };
                    keep(&mut ways[last + 1], next);
                };
                if last + 1 == row.len() {
                    go_on(to, 0.0);
                }
                go_on(end, 1.0);
            }
        }
    }
    let mut at = ways[row.len()].iter().copied().reduce(|best, way| {
        if order(&way, &best) == Ordering::Less {
            way
        } else {
            best
        }
    })?;
    if at.effort >= effort {
        return None;
    }
    let mut blocks = Vec::new();
    let mut end = row.len();
    while end > 0 {
        let (first, k) = at.before;
        if at.shift > 0.0 {
            blocks.push(Block {
                first,
                end,
                shift: at.shift,
            });
        }
        at = *ways.get(first)?.get(k)?;
        end = first;
    }
    (!blocks.is_empty()).then_some(blocks)
}

fn order(a: &Way, b: &Way) -> Ordering {
    a.effort
        .total_cmp(&b.effort)
        .then(a.spread.total_cmp(&b.spread))
        .then(a.reach.total_cmp(&b.reach))
}

/// Adds a way unless one as good reaches no further; those that it beats so are dropped. All
/// ways to a blank are known before any goes on from it.
fn keep(ways: &mut Vec<Way>, next: Way) {
    let beats = |a: &Way, b: &Way| a.reach <= b.reach && order(a, b) != Ordering::Greater;
    if next.effort.is_infinite() || ways.iter().any(|way| beats(way, &next)) {
        return;
    }
    ways.retain(|way| !beats(&next, way));
    ways.push(next);
}

/// The core of a blank, and how far it reaches round that.
struct Core<'a> {
    part: &'a Part,
    region: PreparedRegion,
    radius: f64,
}

/// Looks at parts where they would lie, by exact distances from the board.
struct Looks<'a> {
    breaking: &'a Breaking<'a>,
    outline: PreparedRegion,
    zones: Vec<PreparedRegion>,
    /// One for each part that lies here: few, so they are gone through.
    blanks: Vec<Core<'a>>,
}

impl<'a> Looks<'a> {
    fn new(breaking: &'a Breaking<'a>) -> Looks<'a> {
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
    /// is pinned.
    fn free(&self, span: &Span, sign: f64) -> [f64; ASIDE.len()] {
        let lying = &self.breaking.layout.placements[span.placement];
        let mut pins = self.breaking.job.pins.iter();
        let mut free = [0.0; ASIDE.len()];
        if pins.any(|p| p.part == lying.part_copy()) {
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
            return MOVES[MOVES.len() - 1];
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
    fn settle(&self, block: &[Span], sign: f64, shift: f64) -> Option<Vec<Placed>> {
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
    fn are_apart(&self, placements: &[Placement]) -> bool {
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
            let mut sides = board.outline.outer().edges().zip(&board.sides);
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
