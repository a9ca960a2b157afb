//! Whatever refers to a thing follows its new name, and forgets it when it is gone.

use heartside_timber::choices::{part_named, piece_id, stave_id, stave_named};
use heartside_timber::document::{Document, Length, Pin, Use};
use heartside_timber::edit::{Edit, apply, change_units, rename_dimension};
use heartside_timber::expression::Expression;
use heartside_timber::length::write_decimal;
use heartside_timber::plan::{CutNode, Layout, Plan};

use super::keeping_figure::forget_figure;
use crate::protocol::{Thing, ThingKind};

/// After a field was typed into: if it was a name that others use, they use the new one.
pub(super) fn follow(before: &Document, after: &mut Document, thing: &Thing, field: &str) {
    let row = thing.at();
    match (thing.kind, field) {
        (ThingKind::Board, "id") => {
            if let (Some(old), Some(new)) = (before.boards.get(row), after.boards.get(row)) {
                let (old, new) = (old.id.clone(), new.id.clone());
                // A second board of that id keeps the name, and what refers to it with it.
                if !old.is_empty() && !new.is_empty() && !after.boards.iter().any(|b| b.id == old) {
                    rename_board(after, &old, &new);
                }
            }
        }
        (ThingKind::Part, "id") => {
            if let (Some(old), Some(new)) = (before.parts.get(row), after.parts.get(row)) {
                let (old, new) = (old.id.clone(), new.id.clone());
                if !old.is_empty() && !new.is_empty() && !after.parts.iter().any(|p| p.id == old) {
                    rename_part(after, &old, &new);
                }
            }
        }
        (ThingKind::Tool, "name") => {
            if let (Some(old), Some(new)) = (
                before.workshop.tools.get(row),
                after.workshop.tools.get(row),
            ) {
                let (old, new) = (old.name.clone(), new.name.clone());
                if !old.is_empty() && !after.workshop.tools.iter().any(|t| t.name == old) {
                    rename_tool(after, &old, &new);
                }
            }
        }
        (ThingKind::Dimension, "name") => {
            let name = |d: &Document| {
                d.dimensions
                    .get(row)
                    .map(|d| d.name.clone())
                    .unwrap_or_default()
            };
            let (old, new) = (name(before), name(after));
            if !old.is_empty() && !after.dimensions.iter().any(|d| d.name == old) {
                take_over(before, after, rename_dimension(before, row, &new));
                let names = plans(after).flat_map(|p| &mut p.dimensions);
                names
                    .filter(|v| v.name == old)
                    .for_each(|v| new.clone_into(&mut v.name));
            }
        }
        (ThingKind::Job, "units.length") => {
            let units = after.units.clone();
            take_over(before, after, change_units(before, units));
        }
        _ => {}
    }
}

fn plans(d: &mut Document) -> impl Iterator<Item = &mut Plan> {
    d.plan
        .iter_mut()
        .chain(d.plans.iter_mut().filter_map(|k| k.plan.as_mut()))
}

/// Those of every plan, and those that done cuts remember.
fn layouts(d: &mut Document) -> impl Iterator<Item = &mut Layout> {
    let of_plans = d
        .plan
        .iter_mut()
        .chain(d.plans.iter_mut().filter_map(|k| k.plan.as_mut()))
        .flat_map(|p| &mut p.layouts);
    of_plans.chain(d.done.iter_mut().filter_map(|c| c.layout.as_mut()))
}

/// Those of the plan on the floor and those of plans that were kept.
fn pins(d: &mut Document) -> impl Iterator<Item = &mut Pin> {
    let kept = d.plans.iter_mut().filter_map(|k| k.pins.as_mut());
    d.pins.iter_mut().chain(kept.flatten())
}

fn rename_board(d: &mut Document, old: &str, new: &str) {
    let change = |id: &mut String| {
        if id == old {
            new.clone_into(id);
        }
    };
    pins(d).for_each(|p| change(&mut p.board));
    d.floor.iter_mut().for_each(|f| change(&mut f.board.board));
    d.done.iter_mut().for_each(|c| change(&mut c.board));
    d.photos.iter_mut().for_each(|p| change(&mut p.board));
    layouts(d).for_each(|l| change(&mut l.board.board));
}

fn rename_part(d: &mut Document, old: &str, new: &str) {
    let change = |id: &mut String| {
        if id == old {
            new.clone_into(id);
        } else if let Some(stave) = stave_named(id).filter(|s| s.panel == old) {
            *id = piece_id(new, stave.copy, stave.number, stave.piece);
        }
    };
    pins(d).for_each(|p| change(&mut p.part.part));
    d.matches
        .iter_mut()
        .flat_map(|m| &mut m.parts)
        .for_each(|p| change(&mut p.part));
    d.panels.iter_mut().for_each(|p| change(&mut p.part));
    layouts(d)
        .flat_map(|l| &mut l.placements)
        .for_each(|p| change(&mut p.part));
    let boards = d.boards.iter_mut();
    let held = boards.flat_map(|b| b.holds.iter_mut().chain(&mut b.leaves));
    held.for_each(|p| change(&mut p.part));
    plans(d)
        .flat_map(|p| &mut p.unplaced)
        .for_each(|u| change(&mut u.part));
    plans(d)
        .flat_map(|p| &mut p.panels)
        .for_each(|c| change(&mut c.panel.part));
}

fn rename_tool(d: &mut Document, old: &str, new: &str) {
    for cut in d.done.iter_mut().filter(|c| c.tool == old) {
        new.clone_into(&mut cut.tool);
    }
    for node in layouts(d)
        .filter_map(|l| l.cuts.as_mut())
        .flat_map(|t| &mut t.nodes)
    {
        if let CutNode::Cut { tool, .. } = node
            && tool == old
        {
            new.clone_into(tool);
        }
    }
}

/// Does what timber knows how to do to the document as it was.
fn take_over(before: &Document, after: &mut Document, edit: Edit) {
    let mut changed = before.clone();
    if apply(&mut changed, edit).is_ok() {
        changed.revision = before.revision;
        *after = changed;
    }
}

/// A board is gone: its parts go to the trestle, its pins are let go.
pub(super) fn forget_board(d: &mut Document, id: &str) {
    d.pins.retain(|p| p.board != id);
    let kept = d.plans.iter_mut().filter_map(|k| k.pins.as_mut());
    kept.for_each(|pins| pins.retain(|p| p.board != id));
    d.floor.retain(|f| f.board.board != id);
    d.photos.retain(|p| p.board != id);
    forget_figure(d);
    if let Some(plan) = &mut d.plan {
        let gone: Vec<_> = plan
            .layouts
            .iter()
            .filter(|l| l.board.board == id)
            .flat_map(|l| l.placements.clone())
            .collect();
        plan.layouts.retain(|l| l.board.board != id);
        for placement in gone {
            plan.wait(&placement.part, placement.copy);
        }
    }
}

/// A part is gone: so are its placements, pins and matches; blanks of it are plain pieces again.
pub(super) fn forget_part(d: &mut Document, id: &str) {
    forget_pieces(d, &|piece| part_named(piece) == id);
    d.matches
        .iter_mut()
        .for_each(|m| m.parts.retain(|p| part_named(&p.part) != id));
    d.matches.retain(|m| !m.parts.is_empty());
    d.panels.retain(|p| p.part != id);
}

/// A part is glued up from now on, or is not any more: what lay there for it in one piece or as staves
/// lies there no longer.
pub(super) fn forget_other_making(d: &mut Document, id: &str) {
    let is_glued = d.panels.iter().any(|p| p.part == id);
    forget_pieces(d, &|piece| {
        part_named(piece) == id && (piece == id) == is_glued
    });
}

/// No such piece is placed, pinned or in hand any more.
fn forget_pieces(d: &mut Document, is_gone: &dyn Fn(&str) -> bool) {
    for board in &mut d.boards {
        let was_held = board.holds.is_some();
        board.leaves.retain(|p| !is_gone(&p.part));
        if board.holds.as_ref().is_some_and(|p| is_gone(&p.part)) {
            let others = &mut board.leaves;
            board.holds = (!others.is_empty()).then(|| others.remove(0));
        }
        if board.holds.is_none() && was_held {
            // It was sawn for something: no search saws it up before the maker says so.
            board.usage = Use::Leave;
        }
    }
    for cut in &mut d.done {
        let layout = cut.layout.take();
        cut.layout = layout.map(|l| l.without(|p| is_gone(&p.part)));
    }
    d.pins.retain(|p| !is_gone(&p.part.part));
    let kept = d.plans.iter_mut().filter_map(|k| k.pins.as_mut());
    kept.for_each(|pins| pins.retain(|p| !is_gone(&p.part.part)));
    if let Some(plan) = &mut d.plan {
        for layout in &mut plan.layouts {
            if layout.placements.iter().any(|p| is_gone(&p.part)) {
                layout.placements.retain(|p| !is_gone(&p.part));
                // The order of cuts was for the placements as they were.
                layout.cuts = None;
            }
        }
        plan.layouts.retain(|l| !l.placements.is_empty());
        plan.unplaced.retain(|u| !is_gone(&u.part));
        plan.panels
            .retain(|c| !is_gone(&stave_id(&c.panel.part, c.panel.copy, 1)));
    }
}

/// A dimension goes: lengths that were worked out with it keep what it came to.
pub(super) fn forget_dimension(d: &mut Document, name: &str, value: f64) {
    let unit = d.units.length;
    d.each_length(&mut |length| {
        let Length::Expr { expr } = length else {
            return;
        };
        let Ok(read) = Expression::read(expr, unit) else {
            return;
        };
        if !read.names().contains(name) {
            return;
        }
        let left = read.renamed(name, &format!("({} mm)", write_decimal(value, 4)));
        let worked = Expression::read(&left, unit).and_then(|e| e.value(&|_| None));
        *length = worked.map_or(Length::Expr { expr: left }, Length::Mm);
    });
}
