//! Pieces that are the blank of their part already: nothing is left to saw.

use heartside_timber::document::Document;
use heartside_timber::edit::{Edit, RowEdit};
use heartside_timber::job::Job;
use heartside_timber::plan::{CutNode, Plan};

use super::laying::plan_edit;

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
        let held = match root {
            Some(CutNode::Blank { placement }) => layout.placements.get(*placement),
            _ => None,
        };
        let (Some(row), Some(held)) = (row, held) else {
            return true;
        };
        let mut piece = document.boards[row].clone();
        if let Some(part) = job.part(&held.part) {
            piece.name = part.copy_name(held.copy);
        }
        piece.holds = Some(job.as_held(held));
        edits.push(Edit::Board(RowEdit::put(row, piece)));
        false
    });
    if edits.is_empty() {
        return None;
    }
    edits.push(plan_edit(document, plan));
    Some(Edit::Many(edits))
}
