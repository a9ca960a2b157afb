//! Parts that must look related: what a plan may not show is left out of it.
//!
//! The straight engine deals its copies so that parts of one board lie on one board
//! ([`crate::straight`]); whatever else an engine lays out is looked at here before it
//! becomes a plan. Grain that runs on from part to part is not set out by the engines
//! yet: of such a row only what a person pinned, or else one part, is kept, and the rest
//! stays unplaced.

use heartside_timber::document::{BoardCopy, PartCopy};
use heartside_timber::job::{Job, Match, MatchKind};
use heartside_timber::plan::Layout;

/// The layouts without the copies that would break a match; pinned copies always stay.
pub fn keep_matches(job: &Job, mut layouts: Vec<Layout>) -> Vec<Layout> {
    for wanted in &job.matches {
        let dropped = match wanted.kind {
            MatchKind::SameBoard => away_from_home(job, wanted, &layouts),
            MatchKind::ContinuousAlong | MatchKind::ContinuousAcross => {
                all_but_one(job, wanted, &layouts)
            }
            // No engine sets these out yet and no checker judges them.
            MatchKind::Slip | MatchKind::Book | MatchKind::Balanced => Vec::new(),
        };
        if !dropped.is_empty() {
            layouts = layouts
                .into_iter()
                .map(|l| l.without(|copy| dropped.contains(copy)))
                .collect();
        }
    }
    layouts
}

fn is_pinned(job: &Job, copy: &PartCopy) -> bool {
    job.pins.iter().any(|p| p.part == *copy)
}

/// The placed copies of a match, each with its board.
fn lying<'a>(wanted: &'a Match, layouts: &'a [Layout]) -> Vec<(&'a PartCopy, &'a BoardCopy)> {
    wanted
        .parts
        .iter()
        .filter_map(|copy| {
            let holds = |l: &&Layout| {
                l.placements
                    .iter()
                    .any(|p| p.part == copy.part && p.copy == copy.copy)
            };
            layouts.iter().find(holds).map(|l| (copy, &l.board))
        })
        .collect()
}

/// The copies that do not lie where most of them (or the pinned ones) lie.
fn away_from_home(job: &Job, wanted: &Match, layouts: &[Layout]) -> Vec<PartCopy> {
    let lying = lying(wanted, layouts);
    let weight = |board: &BoardCopy| {
        let there = lying.iter().filter(|(_, b)| *b == board);
        there
            .map(|(c, _)| if is_pinned(job, c) { 1000 } else { 1 })
            .sum::<usize>()
    };
    let home = lying
        .iter()
        .map(|(_, board)| *board)
        .fold(None, |best: Option<&BoardCopy>, b| {
            if best.is_some_and(|best| weight(best) >= weight(b)) {
                best
            } else {
                Some(b)
            }
        });
    lying
        .iter()
        .filter(|(copy, board)| Some(*board) != home && !is_pinned(job, copy))
        .map(|(copy, _)| (*copy).clone())
        .collect()
}

/// Everything but the pinned copies, or the first where none is pinned.
fn all_but_one(job: &Job, wanted: &Match, layouts: &[Layout]) -> Vec<PartCopy> {
    let lying = lying(wanted, layouts);
    let any_pinned = lying.iter().any(|(copy, _)| is_pinned(job, copy));
    lying
        .iter()
        .enumerate()
        .filter(|(place, (copy, _))| !is_pinned(job, copy) && (any_pinned || *place > 0))
        .map(|(_, (copy, _))| (*copy).clone())
        .collect()
}
