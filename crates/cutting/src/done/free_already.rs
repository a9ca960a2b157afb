//! Pieces that are the blank of their part already: nothing is left to saw.

use heartside_timber::document::{Document, PartCopy};
use heartside_timber::edit::{Edit, RowEdit};
use heartside_timber::job::Job;
use heartside_timber::plan::{CutNode, Placement, Plan};

use super::laying::plan_edit;
use crate::naming::copies_words;

/// The edit that lays down a plan for a document and takes in hand what no cut of it would set free: pieces
/// that are just the blank that lies on them. None where there is no such piece.
///
/// A cut of the maker's own along the edge of a blank leaves such pieces, and a search may find
/// one for a part of the same size.
pub fn free_already(document: &Document, job: &Job, plan: &Plan) -> Option<Edit> {
    let mut plan = plan.clone();
    let mut edits = Vec::new();
    plan.layouts.retain(|layout| {
        let mut rows = document.boards.iter();
        let row = rows.position(|b| b.id == layout.board.board);
        let row = row.filter(|row| document.boards[*row].from.is_some());
        let root = layout.cuts.as_ref().and_then(|tree| tree.nodes.first());
        let held: Vec<&Placement> = match root {
            Some(blank @ (CutNode::Blank { .. } | CutNode::Leaves { .. })) => {
                let held = blank.placements().iter();
                held.filter_map(|p| layout.placements.get(*p)).collect()
            }
            _ => Vec::new(),
        };
        let (Some(row), Some((first, others))) = (row, held.split_first()) else {
            return true;
        };
        let mut piece = document.boards[row].clone();
        let copies: Vec<PartCopy> = held.iter().map(|p| p.part_copy()).collect();
        piece.name = copies_words(job, &copies);
        piece.holds = Some(job.as_held(first));
        piece.leaves = others.iter().map(|p| job.as_held(p)).collect();
        edits.push(Edit::Board(RowEdit::put(row, piece)));
        false
    });
    if edits.is_empty() {
        return None;
    }
    edits.push(plan_edit(document, plan));
    Some(Edit::Many(edits))
}
