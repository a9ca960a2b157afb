//! Parts that must look related: what a plan may not show is left out of it.
//!
//! The straight engine deals its copies so that parts of one board lie on one board
//! ([`crate::straight`]); whatever else an engine lays out is looked at here before it
//! becomes a plan.

use heartside_timber::document::{BoardCopy, PartCopy};
use heartside_timber::job::{Job, Match, MatchKind};
use heartside_timber::plan::Layout;

/// The layouts without the copies that would break a match; pinned copies always stay.
pub fn keep_matches(job: &Job, mut layouts: Vec<Layout>) -> Vec<Layout> {
    for wanted in &job.matches {
        let dropped = match wanted.kind {
            MatchKind::SameBoard => away_from_home(job, wanted, &layouts),
            // Runs are composite blanks by now.
            MatchKind::ContinuousAlong | MatchKind::ContinuousAcross => Vec::new(),
            // No engine sets these out yet and no checker judges them.
            MatchKind::Slip | MatchKind::Book | MatchKind::Balanced | MatchKind::Frame => {
                Vec::new()
            }
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

/// True for a copy that stays where it is: pinned, or in hand.
fn stays(job: &Job, copy: &PartCopy) -> bool {
    job.pins.iter().any(|p| p.part == *copy) || blank_of(job, copy).is_some()
}

/// The board as it was bought from which the blank of a copy in hand was sawn.
fn blank_of<'a>(job: &'a Job, copy: &PartCopy) -> Option<&'a BoardCopy> {
    let mut pieces = job.boards.iter().filter_map(|b| b.from.as_ref());
    let holds = pieces.find(|from| from.held().any(|p| p.part_copy() == *copy));
    holds.map(|from| &from.root)
}

/// The copies of a match that are placed or in hand, each with its board as it was bought: pieces of one
/// board are that board.
fn lying<'a>(
    job: &'a Job,
    wanted: &'a Match,
    layouts: &'a [Layout],
) -> Vec<(&'a PartCopy, &'a BoardCopy)> {
    wanted
        .parts
        .iter()
        .filter_map(|copy| {
            let holds = |l: &&Layout| {
                l.placements
                    .iter()
                    .any(|p| p.part == copy.part && p.copy == copy.copy)
            };
            let there = layouts.iter().find(holds).map(|l| job.root(&l.board));
            there.or_else(|| blank_of(job, copy)).map(|b| (copy, b))
        })
        .collect()
}

/// The copies that do not lie where most of them (or those that stay) lie.
fn away_from_home(job: &Job, wanted: &Match, layouts: &[Layout]) -> Vec<PartCopy> {
    let lying = lying(job, wanted, layouts);
    let weight = |board: &BoardCopy| {
        let there = lying.iter().filter(|(_, b)| *b == board);
        there
            .map(|(c, _)| if stays(job, c) { 1000 } else { 1 })
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
        .filter(|(copy, board)| Some(*board) != home && !stays(job, copy))
        .map(|(copy, _)| (*copy).clone())
        .collect()
}
