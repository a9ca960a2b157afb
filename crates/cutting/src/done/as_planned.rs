//! A cut made as the plan has it.

use heartside_geometry::Region;
use heartside_timber::document::Document;
use heartside_timber::edit::Edit;
use heartside_timber::job::Job;
use heartside_timber::plan::{CutNode, Plan};

use super::carrying::{FirstCut, left_by};
use super::laying::{Making, Named, Piece};
use super::resawn::resawn;
use super::sawn::sawn;
use super::wood::Wood;
use super::{Ground, Refused};
use crate::brief::chalk_name;
use crate::step::{Action, Becomes, Step};
use crate::steps::steps;

/// The edit that makes the cut of a step: its board is gone, its pieces lie there, and what the plan
/// had on it lies on them. `job` is the document's, made with the plan's dimensions, and `step` one
/// of [`steps()`] of both.
///
/// # Errors
/// Where an earlier cut must be made first, where the board was cut already, or where the step is none
/// of this plan.
pub fn as_planned(document: &Document, job: &Job, step: &Step) -> Result<Edit, Refused> {
    let older = || Refused("this step is of an earlier plan: look at the list again".into());
    let plan = document.plan.as_ref().ok_or_else(older)?;
    if step.action == Action::Resaw {
        let ground = Ground::find(document, job, &step.board)?;
        return match step.is_ready() {
            true => resawn(document, job, ground, step),
            false => Err(not_yet(job, plan, step, &ground)),
        };
    }
    let ground = Ground::to_be_cut(document, job, &step.board)?;
    let layout = plan.layouts.iter().find(|l| l.board == step.board);
    let layout = layout.ok_or_else(older)?;
    let wood = Wood::of(ground.board);
    if let Some(placement) = step.placement {
        let is_free = match (&layout.cuts, step.node) {
            (None, None) => true,
            (Some(tree), Some(0)) => matches!(tree.nodes.first(), Some(CutNode::Region { .. })),
            _ => false,
        };
        if !is_free {
            return Err(not_yet(job, plan, step, &ground));
        }
        return sawn(document, job, ground, layout, (placement, &step.tool));
    }
    if step.node != Some(0) {
        return Err(not_yet(job, plan, step, &ground));
    }
    let cut = FirstCut::of(layout).ok_or_else(older)?;
    let pieces = straight(job, step, &cut, &wood).ok_or_else(|| {
        let words = &ground.words;
        Refused(format!(
            "the order of cuts of {words} is damaged: set out the rest again"
        ))
    })?;
    let making = Making {
        document,
        job,
        line: cut.line(&wood.region).to_vec(),
        kerf: cut.kerf,
        tool: cut.tool.to_owned(),
        set_to: step.set_to(),
        ground,
        pieces,
    };
    making.edit()
}

/// The pieces of a straight cut, low side first; none where the tree is damaged.
fn straight(job: &Job, step: &Step, cut: &FirstCut<'_>, wood: &Wood) -> Option<Vec<Piece>> {
    let made = left_by(job, cut.tool);
    let mut pieces = Vec::new();
    for half in cut.halves() {
        let woods = wood.beyond(half.beyond, made);
        let regions: Vec<&Region> = woods.iter().map(|w| &w.region).collect();
        if regions.is_empty() {
            continue;
        }
        let carried = cut.carried(job, &half, &regions)?;
        let area = |k: &usize| regions[*k].area();
        let largest = (0..woods.len()).max_by(|a, b| area(a).total_cmp(&area(b)));
        let listed = step.yields.iter().find(|y| y.node == Some(half.node));
        let name = |place| match listed.map(|y| &y.becomes) {
            None | Some(Becomes::Waste) => Named::Waste,
            Some(Becomes::Blank { .. } | Becomes::Leaves { .. }) => Named::Next,
            Some(_) if Some(place) != largest => Named::Next,
            Some(_) => {
                let name = listed.map_or("", |y| y.name.as_str());
                Named::As(chalk_name(name).trim_start_matches("offcut ").to_owned())
            }
        };
        let named: Vec<Named> = (0..woods.len()).map(name).collect();
        for ((wood, carried), name) in woods.into_iter().zip(carried).zip(named) {
            pieces.push(Piece {
                wood,
                side: half.side,
                carried,
                name,
                leaf: None,
            });
        }
    }
    Some(pieces)
}

/// What must be cut first.
fn not_yet(job: &Job, plan: &Plan, step: &Step, ground: &Ground<'_>) -> Refused {
    let all = steps(job, plan);
    let first = all.iter().find(|s| s.board == step.board && s.is_ready());
    let before = first.map_or("the first cut of its board".into(), |s| {
        format!("cut {}", s.number)
    });
    Refused(format!(
        "first make {before}: {} is still part of {}",
        step.workpiece, ground.words
    ))
}
