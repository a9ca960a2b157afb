//! What of an earlier plan still holds after the job was changed.

use std::cmp::Reverse;

use heartside_check::Checker;
use heartside_timber::document::{BoardCopy, Document, PartCopy};
use heartside_timber::finding::{Finding, Severity};
use heartside_timber::job::Job;
use heartside_timber::plan::{Layout, Plan, Way};

/// What a search begins from: what still holds of the plan that the document has, unless that was made for
/// the job as it is. Where boards are cut already it is the rest that is planned: what holds of any plan is
/// begun from, and is what [`Job::earlier`] says from now on, so that it stays where nothing is gained by
/// moving it.
pub fn begun_from(document: &Document, job: &mut Job) -> Vec<Layout> {
    let is_rest = !job.done.is_empty();
    let plan = match is_rest {
        true => document.plan.as_ref(),
        false => document.plan_before_edits(),
    };
    let holds = plan.map_or_else(Vec::new, |plan| still_sound(job, plan));
    if is_rest {
        job.earlier.clone_from(&holds);
    }
    holds
}

/// The layouts of an earlier plan without what breaks a rule of the job as it is now.
///
/// Of the parts that findings name, the one named most often is taken off its board, and its
/// wood counts as waste there; then the rest is looked at again. Where findings name no part,
/// their board is given up. So an edit of one part leaves the others where they were. The
/// layouts that are left keep every rule together. Through cuts that break a sawn board down
/// follow from what lies on it and are found anew, so they keep nothing from staying.
///
/// O(placements) checks of the whole plan at worst; as a rule two.
pub fn still_sound(job: &Job, plan: &Plan) -> Vec<Layout> {
    let is_known = |copy: &PartCopy| {
        let part = job.part(&copy.part);
        part.is_some_and(|p| p.wanted().any(|wanted| wanted == copy.copy))
    };
    let mut layouts: Vec<Layout> = plan
        .layouts
        .iter()
        .filter(|l| {
            let board = job.board(&l.board.board);
            board.is_some_and(|b| b.is_usable() && b.copies().any(|copy| copy == l.board.copy))
        })
        .map(|l| l.clone().without(|copy| !is_known(copy)))
        .map(without_through_cuts)
        .collect();
    let checker = Checker::new(job);
    loop {
        layouts.retain(|l| !l.placements.is_empty());
        let trial = Plan {
            layouts,
            ..Plan::default()
        };
        let found = checker.check(&trial);
        layouts = trial.layouts;
        if let Some((board, part)) = worst(&found, &layouts) {
            let off = |l: &mut Layout| {
                if l.board == board {
                    *l = l.clone().without(|copy| *copy == part);
                }
            };
            layouts.iter_mut().for_each(off);
            continue;
        }
        let before = layouts.len();
        layouts.retain(|l| !broken(&found).any(|f| f.board.as_ref() == Some(&l.board)));
        if layouts.len() == before {
            // What is said of no board speaks of pieces not placed yet.
            return layouts;
        }
    }
}

fn without_through_cuts(mut layout: Layout) -> Layout {
    if layout.way == Way::Sawn {
        layout.cuts = None;
    }
    layout
}

fn broken(found: &[Finding]) -> impl Iterator<Item = &Finding> {
    found.iter().filter(|f| f.severity == Severity::Broken)
}

/// The placed part that findings name most often, the first of equals, and its board.
fn worst(found: &[Finding], layouts: &[Layout]) -> Option<(BoardCopy, PartCopy)> {
    let named = |board: &BoardCopy, part: &PartCopy| {
        let speaks = |f: &&Finding| f.board.as_ref() == Some(board) && f.parts.contains(part);
        broken(found).filter(speaks).count()
    };
    layouts
        .iter()
        .flat_map(|l| l.placements.iter().map(|p| (&l.board, p.part_copy())))
        .map(|(board, part)| (named(board, &part), board, part))
        .filter(|(times, _, _)| *times > 0)
        .min_by_key(|(times, _, _)| Reverse(*times))
        .map(|(_, board, part)| (board.clone(), part))
}
