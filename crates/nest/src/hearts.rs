//! Heart sides of staves: turned over in place until they lie as their panel asks.
//!
//! A stave is a rectangle, so turning it over about its own middle line leaves its blank where it is,
//! and the cuts with it. What cannot be turned and lies the wrong way is left out, for the plan would
//! not keep the rule.

use heartside_geometry::Point;
use heartside_timber::choices::stave_id;
use heartside_timber::document::{HeartSide, Hearts, PartCopy};
use heartside_timber::job::{Job, Part};
use heartside_timber::plan::{Layout, Placed, Placement};

use crate::cuts::ground::Ground;
use crate::fit;

/// A stave that lies somewhere, or is in hand.
struct Lying {
    /// Its place in the glued panel.
    place: usize,
    /// Its layout's and its own place in the lists; none for what is in hand.
    at: Option<(usize, usize)>,
    is_up: bool,
    may_turn: bool,
}

/// The layouts with heart sides as panels ask for.
pub(crate) fn keep_hearts(job: &Job, mut layouts: Vec<Layout>) -> Vec<Layout> {
    for panel in job.panels.iter().filter(|p| p.hearts != Hearts::Any) {
        for chosen in &panel.copies {
            let staves: Vec<Lying> = chosen
                .staves
                .iter()
                .enumerate()
                .filter_map(|(place, stave)| {
                    let id = stave_id(&panel.part.id, chosen.panel.copy, stave.number);
                    lying(job, &layouts, place, job.part(&id)?)
                })
                .collect();
            let wanted = |place: usize, first: bool| {
                first != (panel.hearts == Hearts::Alternate && place % 2 == 1)
            };
            let wrong = |first: bool| {
                let off = staves.iter().filter(|s| s.is_up != wanted(s.place, first));
                let (turned, fixed): (Vec<&Lying>, Vec<&Lying>) = off.partition(|s| s.may_turn);
                (fixed, turned)
            };
            let count = |first| {
                let (fixed, turned) = wrong(first);
                (fixed.len(), turned.len())
            };
            let (fixed, turned) = wrong(count(true) <= count(false));
            for (layout, placement) in turned.iter().filter_map(|s| s.at) {
                let placement = &mut layouts[layout].placements[placement];
                if let Some(part) = job.part(&placement.part) {
                    placement.at = turned_over(job, part, placement);
                }
            }
            let dropped = |(layout, placement): (usize, usize)| {
                layouts[layout].placements[placement].part_copy()
            };
            let dropped: Vec<PartCopy> = fixed
                .iter()
                .filter_map(|s| s.at)
                .map(dropped)
                .filter(|copy| job.pins.iter().all(|pin| pin.part != *copy))
                .collect();
            if !dropped.is_empty() {
                layouts = layouts
                    .into_iter()
                    .map(|l| l.without(|copy| dropped.contains(copy)))
                    .collect();
            }
        }
    }
    layouts
}

/// Where a stave lies and which way; none where it lies nowhere, or nobody knows its heart side.
fn lying(job: &Job, layouts: &[Layout], place: usize, part: &Part) -> Option<Lying> {
    let up = |side: HeartSide, turned_over: bool| {
        (side != HeartSide::Unknown).then_some((side == HeartSide::Up) != turned_over)
    };
    let held = job.boards.iter().find_map(|board| {
        let holds = board.from.as_ref()?.holds.as_ref()?;
        (holds.part == part.id).then_some((board, holds))
    });
    if let Some((board, holds)) = held {
        return Some(Lying {
            place,
            at: None,
            is_up: up(board.heart_side, holds.at.turned_over)?,
            may_turn: false,
        });
    }
    let mut all = layouts.iter().enumerate().flat_map(|(l, layout)| {
        let placements = layout.placements.iter().enumerate();
        placements.map(move |(k, placement)| (l, k, placement))
    });
    let (l, k, placement) = all.find(|(_, _, p)| p.part == part.id)?;
    let board = job.board_index(&layouts[l].board.board)?;
    let pinned = job.pins.iter().any(|pin| pin.part.part == part.id);
    Some(Lying {
        place,
        at: Some((l, k)),
        is_up: up(job.boards[board].heart_side, placement.at.turned_over)?,
        may_turn: !pinned && may_turn(job, part, (board, &layouts[l]), placement),
    })
}

/// True where the stave may lie there the other way up.
fn may_turn(job: &Job, part: &Part, (board, layout): (usize, &Layout), at: &Placement) -> bool {
    if !part.may_turn_over {
        return false;
    }
    if !fit::turning_over_matters(&job.boards[board], part) {
        return true;
    }
    let Some(index) = job.part_index(&part.id) else {
        return false;
    };
    let turned = turned_over(job, part, at);
    let angle = layout.frame.angle;
    let ground = Ground::for_parts(job, board, angle, &|p| p == index);
    let Some(rect) = ground.rect_of(part, &turned) else {
        return false;
    };
    let over = turned.turned_over;
    let mut fits = ground.fits[index].iter().filter(|f| f.turned_over == over);
    // What is kept to spare is there already on either side.
    let rect = rect.grown(-job.tolerance.extra);
    fits.any(|fit| {
        let class = &ground.classes[fit.class];
        let mut all = class
            .blank
            .iter()
            .chain(&class.finished)
            .chain(&class.around);
        all.all(|k| !ground.pieces[*k].meets(&rect))
    })
}

/// The stave as it lies once turned over about its middle line: its blank stays where it is.
fn turned_over(job: &Job, part: &Part, placement: &Placement) -> Placed {
    let corner = Point {
        x: 0.0,
        y: part.width(),
    };
    let there = placement.pose().apply(corner);
    // A grid point up to rounding is that point; others stay, so that the blank does not move.
    let snapped = |v: f64| {
        let near = job.tolerance.snap(v);
        if (near - v).abs() < 1e-6 { near } else { v }
    };
    Placed {
        x: snapped(there.x),
        y: snapped(there.y),
        turned_over: !placement.at.turned_over,
        ..placement.at
    }
}
