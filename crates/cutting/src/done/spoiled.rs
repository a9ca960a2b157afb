//! A part that was spoiled after it was sawn.

use heartside_timber::document::{Board, Document, PartCopy, Use};
use heartside_timber::edit::{Edit, RowEdit};
use heartside_timber::plan::Placement;

use super::Refused;
use super::laying::plan_edit;

/// The edit that puts a copy in hand back among those wanted; its wood is a piece.
///
/// The piece is left aside until the maker lets it be used: nothing is known yet of what is wrong
/// with it, and the same part would fit it again.
///
/// # Errors
/// Where that copy is not in hand.
pub fn spoiled(document: &Document, copy: &PartCopy) -> Result<Edit, Refused> {
    let is_it = |p: &Placement| p.part_copy() == *copy;
    let holds = |b: &Board| b.holds.iter().chain(&b.leaves).any(is_it);
    let Some(row) = document.boards.iter().position(holds) else {
        let part = document.parts.iter().find(|p| p.id == copy.part);
        let name = part.map_or(copy.part.as_str(), |p| p.name.as_str());
        return Err(Refused(format!(
            "number {} of {name} is not in hand: only what was sawn can be spoiled",
            copy.copy
        )));
    };
    let mut board = document.boards[row].clone();
    let mut left: Vec<Placement> = board.holds.into_iter().chain(board.leaves).collect();
    left.retain(|p| !is_it(p));
    board.usage = Use::Leave;
    // What else is in the blank is in hand as before.
    board.holds = (!left.is_empty()).then(|| left.remove(0));
    board.leaves = left;
    if !board.name.is_empty() {
        board.name.push_str(", spoiled");
    }
    let mut edits = vec![Edit::Board(RowEdit::put(row, board))];
    if let Some(plan) = &document.plan {
        let mut plan = plan.clone();
        plan.wait(&copy.part, copy.copy);
        edits.push(plan_edit(document, plan));
    }
    Ok(Edit::Many(edits))
}
