//! What makes one document of the other, as edits with inverses.
//!
//! Whatever a person does is worked out on a copy; what it changed becomes one
//! [`Edit`] of timber, so that undo holds the changed rows and nothing else.

use heartside_timber::document::Document;
use heartside_timber::edit::{Edit, RowEdit};

/// Row edits that make one list of the other: common rows at both ends stay. O(rows).
fn rows<T: Clone + PartialEq>(
    before: &[T],
    after: &[T],
    edit: impl Fn(RowEdit<T>) -> Edit,
    edits: &mut Vec<Edit>,
) {
    let same = before.iter().zip(after).take_while(|(a, b)| a == b).count();
    let most = before.len().min(after.len()) - same;
    let tail = before
        .iter()
        .rev()
        .zip(after.iter().rev())
        .take(most)
        .take_while(|(a, b)| a == b)
        .count();
    let (old, new) = (
        &before[same..before.len() - tail],
        &after[same..after.len() - tail],
    );
    let shared = old.len().min(new.len());
    for (i, (a, b)) in old.iter().zip(new).enumerate() {
        if a != b {
            edits.push(edit(RowEdit::put(same + i, b.clone())));
        }
    }
    for _ in shared..old.len() {
        edits.push(edit(RowEdit::Remove { at: same + shared }));
    }
    for (i, row) in new.iter().enumerate().skip(shared) {
        edits.push(edit(RowEdit::insert(same + i, row.clone())));
    }
}

/// The edits of everything but the plan on the floor; empty where nothing else differs.
///
/// Revisions are left to the history, format and version to the writer of files.
pub(super) fn edits_between(before: &Document, after: &Document) -> Vec<Edit> {
    // Taken apart, so that a field that nobody handles here does not compile.
    let Document {
        format: _,
        version: _,
        title,
        units,
        currency,
        timber_rate,
        offcut_value,
        figure_worth,
        workshop,
        allowances,
        objective,
        dimensions,
        species,
        boards,
        parts,
        matches,
        panels,
        pins,
        plan: _,
        plans,
        done,
        photos,
        figure_maps,
        floor,
        revision: _,
        unknown,
    } = after;
    let mut edits = Vec::new();
    if before.unknown != *unknown {
        edits.push(Edit::Unknown(unknown.clone()));
    }
    if before.title != *title {
        edits.push(Edit::Title(title.clone()));
    }
    if before.units != *units {
        edits.push(Edit::Units(units.clone()));
    }
    if before.currency != *currency {
        edits.push(Edit::Currency(currency.clone()));
    }
    if before.timber_rate != *timber_rate {
        edits.push(Edit::TimberRate(*timber_rate));
    }
    if before.offcut_value != *offcut_value {
        edits.push(Edit::OffcutValue(*offcut_value));
    }
    if before.figure_worth != *figure_worth {
        edits.push(Edit::FigureWorth(*figure_worth));
    }
    if before.workshop != *workshop {
        edits.push(Edit::Workshop(Box::new(workshop.clone())));
    }
    if before.allowances != *allowances {
        edits.push(Edit::Allowances(Box::new(allowances.clone())));
    }
    if before.objective != *objective {
        edits.push(Edit::Objective(objective.clone()));
    }
    rows(&before.dimensions, dimensions, Edit::Dimension, &mut edits);
    rows(&before.species, species, Edit::Species, &mut edits);
    rows(&before.boards, boards, Edit::Board, &mut edits);
    rows(&before.parts, parts, Edit::Part, &mut edits);
    rows(&before.matches, matches, Edit::Match, &mut edits);
    rows(&before.panels, panels, Edit::Panel, &mut edits);
    rows(&before.pins, pins, Edit::Pin, &mut edits);
    rows(&before.plans, plans, Edit::KeptPlan, &mut edits);
    rows(&before.floor, floor, Edit::OnFloor, &mut edits);
    rows(&before.done, done, Edit::Done, &mut edits);
    rows(&before.photos, photos, Edit::Photo, &mut edits);
    rows(
        &before.figure_maps,
        figure_maps,
        Edit::FigureMap,
        &mut edits,
    );
    edits
}

#[cfg(test)]
mod tests {
    use heartside_timber::document::Board;
    use heartside_timber::edit::apply;
    use proptest::prelude::*;

    use super::*;

    fn document(ids: &[u8]) -> Document {
        let board = |id: &u8| Board {
            id: id.to_string(),
            ..Board::default()
        };
        Document {
            boards: ids.iter().map(board).collect(),
            ..Document::default()
        }
    }

    proptest! {
        /// Any list is made of any other, and back again.
        #[test]
        fn edits_make_one_document_of_the_other(
            before in proptest::collection::vec(0u8..4, 0..8),
            after in proptest::collection::vec(0u8..4, 0..8),
        ) {
            let (before, after) = (document(&before), document(&after));
            let edits = edits_between(&before, &after);
            prop_assert_eq!(edits.is_empty(), before == after);
            let mut changed = before.clone();
            let inverse = apply(&mut changed, Edit::Many(edits)).unwrap();
            prop_assert_eq!(&changed.boards, &after.boards);
            apply(&mut changed, inverse).unwrap();
            prop_assert_eq!(changed, before);
        }
    }
}
