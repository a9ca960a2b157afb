//! Room for a through cut, made by moving parts along the board.
//!
//! The blanks stand in a row in the order of their middles. Blocks of neighbours are taken
//! together; each block moves towards one end of the board just as far as leaves a kerf between
//! it and the block before, or not at all where that much is free already. Parts of two blocks
//! then lie on the two sides of a line. Where a slanting side is in the way a part steps aside by
//! a little. All distances are then measured afresh; where one is too small nothing is moved.

use std::cmp::Ordering;

use heartside_geometry::Arrange;
use heartside_timber::document::PartCopy;
use heartside_timber::plan::{Direction, Placement};

use super::Breaking;
use super::looks::{Looks, MOST_MOVED};
use super::span::{ASIDE, Span};
use crate::cuts::workpiece::Workpiece;

/// More ways to move the parts of a board than this are not looked into.
const MOST_TRIES: usize = 40;

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
    matches.any(|m| {
        !m.kind.leaves_places_free() && m.parts.iter().filter(|p| lies_here(p)).count() > 1
    })
}

/// The room that a crosscut needs; none where no tool takes the board. A sawn line has room in
/// it too, should the cut not be made after all.
fn gap_wanted(breaking: &Breaking<'_>) -> Option<f64> {
    let whole = Workpiece::whole(&breaking.ground);
    let (job, ground) = (breaking.job, &breaking.ground);
    let mut tools = breaking
        .saws
        .tools_for(job, ground, &whole, Direction::Crosscut);
    let (_, tool) = tools.next()?;
    Some(tool.kerf.max(job.workshop.sawn_kerf) + job.tolerance.extra)
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
                free: [(end - high).min(MOST_MOVED); ASIDE.len()],
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
