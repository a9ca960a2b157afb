//! A whole plan from the engines' layouts: claims filled in, the rest listed with reasons.

use heartside_geometry::{Arrange, SortedMap};
use heartside_timber::job::Job;
use heartside_timber::plan::{Bound, Layout, Made, Plan, Unplaced, UnplacedReason};
use heartside_timber::score::Score;

use crate::breaking_down::break_down_making_room;
use crate::fit;
use crate::hearts::keep_hearts;
use crate::matches::keep_matches;
use crate::portfolio::Jobs;
use crate::reasons::Reasons;

/// The whole plan for some layouts: sorted by board, boards that are sawn by line broken down
/// first, every other copy listed as unplaced.
pub(crate) fn whole_plan(
    (job, by_line): Jobs<'_>,
    mut layouts: Vec<Layout>,
    reasons: &Reasons,
    bound: &Bound,
    made: Made,
) -> Plan {
    layouts = keep_hearts(job, keep_matches(job, layouts));
    tell_sizes(job, &mut layouts);
    layouts.retain(|l| !l.placements.is_empty());
    layouts.arrange_by_key(|l| (job.board_index(&l.board.board), l.board.copy));
    let layouts = layouts
        .into_iter()
        .map(|l| break_down_making_room(by_line.unwrap_or(job), l))
        .collect();
    let was_tried = made.steps > 0;
    let mut plan = Plan {
        layouts,
        dimensions: job.dimensions.iter().map(|d| d.value.clone()).collect(),
        panels: job.panel_choices(),
        made,
        revision: job.revision,
        ..Plan::default()
    };
    plan.unplaced = unplaced(job, &plan, reasons, was_tried);
    plan.cost = Score::of(job, &plan).cost;
    plan.bound = Some(bound.clone());
    plan
}

/// Staves tell their sizes: what is sawn once is known by them, whatever staves are chosen next.
fn tell_sizes(job: &Job, layouts: &mut [Layout]) {
    if job.panels.is_empty() {
        return;
    }
    for placement in layouts.iter_mut().flat_map(|l| &mut l.placements) {
        *placement = job.as_held(placement);
    }
}

/// Every copy that lies nowhere, part by part; before anything was tried only what is certain is a reason.
pub(crate) fn unplaced(
    job: &Job,
    plan: &Plan,
    reasons: &Reasons,
    was_tried: bool,
) -> Vec<Unplaced> {
    let places = SortedMap::from_iter(
        job.parts
            .iter()
            .enumerate()
            .map(|(k, p)| (p.id.as_str(), k)),
    );
    let mut placed: Vec<Vec<u32>> = vec![Vec::new(); job.parts.len()];
    for placement in plan.layouts.iter().flat_map(|l| &l.placements) {
        if let Some(part) = places.get(placement.part.as_str()) {
            placed[*part].push(placement.copy);
        }
    }
    let mut list = Vec::new();
    for (index, part) in job.parts.iter().enumerate() {
        placed[index].arrange();
        let copies: Vec<u32> = part
            .wanted()
            .filter(|c| placed[index].binary_search(c).is_err())
            .collect();
        if !copies.is_empty() {
            // Where one copy lies there was no room for more, whatever the empty boards were asked.
            let reason = if !was_tried && !reasons.cannot_be_placed(index) {
                UnplacedReason::NotTried
            } else if placed[index].is_empty() {
                reasons.of(index)
            } else {
                UnplacedReason::NoRoom
            };
            list.push(Unplaced {
                part: part.id.clone(),
                copies,
                reason,
                least_board: Some(fit::least_board(job, part)),
                longest: None,
            });
        }
    }
    list
}
