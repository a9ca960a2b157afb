//! A part sawn out of its board by line.

use heartside_geometry::{Point, PreparedRegion, Region, offset, subtracted};
use heartside_timber::blank::Blank;
use heartside_timber::document::{Document, PartCopy};
use heartside_timber::edit::Edit;
use heartside_timber::job::{EdgeKind, Hand, Job};
use heartside_timber::plan::{CutNode, Layout, Placement, Way};

use super::carrying::{Carried, home, lies_on};
use super::laying::{Making, Named, Piece};
use super::wood::Wood;
use super::{Ground, Refused};
use crate::leaves::in_one_blank;
use crate::naming::copies_words;

/// A side of what is left within this of a side of its board, in mm, is that side: corners of
/// outlines that follow a sawn line are known no better.
const SAME_SIDE: f64 = 1e-3;
/// Outlines smaller than this, in mm, are none.
const LEAST: f64 = 0.01;

/// The edit that saws one placement of a layout out of its board: its blank is in hand, what is left is a
/// piece, with the blank and the kerf round it missing.
pub(super) fn sawn(
    document: &Document,
    job: &Job,
    ground: Ground<'_>,
    layout: &Layout,
    (place, tool): (usize, &str),
) -> Result<Edit, Refused> {
    let words = ground.words.clone();
    let lying = layout.placements.get(place).cloned();
    let part = lying.as_ref().and_then(|p| job.part(&p.part));
    let (Some(lying), Some(part)) = (lying, part) else {
        let why = "does not have this part any more: look at the list again";
        return Err(Refused(format!("{words} {why}")));
    };
    let all = in_one_blank(job, &layout.placements, place);
    let all = all.iter().filter_map(|p| layout.placements.get(*p));
    let holds: Vec<Placement> = all.cloned().collect();
    let copies: Vec<PartCopy> = holds.iter().map(Placement::part_copy).collect();
    let name = copies_words(job, &copies);
    let wood = Wood::of(ground.board);
    let thickness = ground.board.thickness;
    let kerf = job.workshop.sawn_kerf_for(thickness);
    let able = job.workshop.sawing_tool_for(thickness);
    let tool = able.map_or(tool, |tool| &tool.name).to_owned();
    let blank = Blank::of(part);
    let core = lying.pose().apply_region(&blank.core);
    if !lies_on(job, &lying, &PreparedRegion::new(wood.region.clone())) {
        return Err(Refused(format!(
            "{name} does not lie on {words} any more: set out the rest again"
        )));
    }
    let grown = |by: f64| offset(&core, blank.radius + by, LEAST).into_iter().next();
    let (Some(own), Some(middle), Some(cut)) = (grown(0.0), grown(kerf / 2.0), grown(kerf)) else {
        return Err(Refused(format!(
            "the blank of {name} cannot be drawn: check the part"
        )));
    };
    let left = wood.pieces(subtracted(&wood.region, &cut), SAME_SIDE, EdgeKind::Sawn);
    let regions: Vec<&Region> = left.iter().map(|w| &w.region).collect();
    let carried = carried(job, layout, &copies, &regions);
    let sides = own.rings().map(|ring| ring.points().len()).sum();
    let mut pieces = vec![Piece {
        wood: Wood {
            region: own,
            sides: vec![EdgeKind::Sawn; sides],
        },
        side: Hand::Left,
        carried: Carried {
            holds,
            layout: None,
        },
        name: Named::Next,
        leaf: None,
    }];
    pieces.extend(left.into_iter().zip(carried).map(|(wood, carried)| Piece {
        wood,
        side: Hand::Right,
        carried,
        name: Named::Rest,
        leaf: None,
    }));
    // Counter-clockwise round the blank, so that it lies to the left.
    let ring = middle.outer().points();
    let line: Vec<Point> = ring.iter().chain(ring.first()).copied().collect();
    let making = Making {
        document,
        job,
        ground,
        line,
        kerf,
        tool,
        set_to: None,
        pieces,
    };
    making.edit()
}

/// What goes along to what is left once a part, or a blank of leaves, has been sawn out.
pub(super) fn carried(
    job: &Job,
    layout: &Layout,
    sawn: &[PartCopy],
    left: &[&Region],
) -> Vec<Carried> {
    let others = layout.clone().without(|copy| sawn.contains(copy));
    let homes: Vec<(PartCopy, usize)> = others
        .placements
        .iter()
        .map(|p| (p.part_copy(), home(job, p, left)))
        .collect();
    let on = |piece: usize| {
        let elsewhere = |copy: &PartCopy| !homes.contains(&(copy.clone(), piece));
        let mut own = others.clone().without(elsewhere);
        let whole = matches!(
            own.cuts.as_ref().map(|tree| tree.nodes.as_slice()),
            Some([CutNode::Region { .. }])
        );
        if left.len() > 1 || !whole {
            own.cuts = None;
            own.way = Way::Sawn;
        }
        (!own.placements.is_empty()).then_some(own)
    };
    (0..left.len())
        .map(|piece| Carried {
            holds: Vec::new(),
            layout: on(piece),
        })
        .collect()
}
