//! A thick blank is resawn into leaves: pieces of one outline, each the blank of one copy.

use heartside_geometry::{Arrange, Point};
use heartside_timber::document::{Document, Hand};
use heartside_timber::edit::Edit;
use heartside_timber::job::{Job, ZoneFace};
use heartside_timber::plan::Placement;

use super::carrying::Carried;
use super::laying::{Leaf, Making, Named, Piece};
use super::wood::Wood;
use super::{Ground, Refused};
use crate::leaves::Resawing;
use crate::step::Step;

/// The edit that resaws a board or piece all of which is the blank of leaves: they are in hand, each by itself.
pub(super) fn resawn(
    document: &Document,
    job: &Job,
    ground: Ground<'_>,
    step: &Step,
) -> Result<Edit, Refused> {
    let board = ground.board;
    let held = board.from.iter().flat_map(|from| from.held());
    let mut leaves: Vec<&Placement> = held.collect();
    if leaves.is_empty() {
        let plan = document.plan.as_ref();
        let layout = plan.and_then(|p| p.layout(&ground.copy.board, ground.copy.copy));
        leaves = layout.iter().flat_map(|l| &l.placements).collect();
    }
    leaves.retain(|p| p.leaf.is_some());
    leaves.arrange_by(|a, b| a.leaf.cmp(&b.leaf));
    let resawing = Resawing::of(job, &board.id, &leaves).filter(|_| leaves.len() > 1);
    let Some(resawing) = resawing else {
        let why = "holds no leaves any more: look at the list again";
        return Err(Refused(format!("{} {why}", ground.words)));
    };
    let bounds = board.outline.bounds();
    let middle = bounds.centre();
    let line = match bounds.width() >= bounds.height() {
        true => [bounds.min.x, bounds.max.x].map(|x| Point { x, ..middle }),
        false => [bounds.min.y, bounds.max.y].map(|y| Point { y, ..middle }),
    };
    // How far in the leaves begin, seen from the up face.
    let mut begins = vec![0.0];
    begins.extend(resawing.leaves.iter().scan(0.0, |at, thick| {
        *at += thick + resawing.kerf;
        Some(*at)
    }));
    let last = leaves.len() - 1;
    let pieces = leaves.iter().zip(&resawing.leaves).enumerate();
    let pieces = pieces.map(|(place, (leaf, thickness))| {
        let mut own = board.clone();
        own.zones.retain(|zone| match zone.face {
            ZoneFace::Through => true,
            ZoneFace::Up => place == 0 || zone.depth > begins[place],
            ZoneFace::Down => place == last || zone.depth > begins[last - place],
        });
        Piece {
            wood: Wood::of(board),
            side: Hand::Left,
            carried: Carried {
                holds: vec![(*leaf).clone()],
                layout: None,
            },
            name: Named::Next,
            leaf: Some(Leaf {
                thickness: *thickness,
                board: own,
            }),
        }
    });
    let making = Making {
        document,
        job,
        line: line.to_vec(),
        kerf: resawing.kerf,
        tool: step.tool.clone(),
        set_to: step.set_to(),
        pieces: pieces.collect(),
        ground,
    };
    making.edit()
}
