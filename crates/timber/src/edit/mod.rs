//! Changes to a document, each with its inverse.
//!
//! An [`Edit`] says what to change; [`apply`] changes it and gives back the edit that takes
//! it back, to the letter. Undo, redo and drags that can be abandoned are built on that
//! alone, in [`History`].

mod history;
mod meaning;
mod rows;

pub use history::{History, Mark};
pub use meaning::{change_units, rename_dimension};
pub use rows::RowEdit;
use rows::apply_row;

use thiserror::Error;

use crate::document::{
    Aim, Allowances, Board, Dimension, Document, DoneCut, FigureMap, KeptPlan, Match, OnFloor,
    Panel, Part, Photo, Pin, Species, Tool, Units, Unknown, Workshop,
};
use crate::keep::KEPT_ASIDE;
use crate::open;
use crate::plan::Plan;

/// One change to a document.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Edit {
    /// What the piece is called.
    Title(String),
    /// How lengths are read and shown. To keep what was typed meaning the same, use
    /// [`change_units`].
    Units(Units),
    /// Currency sign.
    Currency(Option<String>),
    /// Price of timber.
    TimberRate(Option<f64>),
    /// Value of offcuts.
    OffcutValue(Option<f64>),
    /// What the best figure may cost more.
    FigureWorth(Option<f64>),
    /// The workshop with its tools.
    Workshop(Box<Workshop>),
    /// Extra wood on every blank.
    Allowances(Box<Allowances>),
    /// The order of aims.
    Objective(Vec<Aim>),
    /// A row of the tools.
    Tool(RowEdit<Tool>),
    /// A row of the named dimensions.
    Dimension(RowEdit<Dimension>),
    /// A row of the species.
    Species(RowEdit<Species>),
    /// A row of the boards.
    Board(RowEdit<Board>),
    /// A row of the parts.
    Part(RowEdit<Part>),
    /// A row of the matches.
    Match(RowEdit<Match>),
    /// A row of the panels.
    Panel(RowEdit<Panel>),
    /// A row of the pins.
    Pin(RowEdit<Pin>),
    /// The plan on the floor.
    Plan(Option<Box<Plan>>),
    /// A row of the kept plans.
    KeptPlan(RowEdit<KeptPlan>),
    /// A row of the places on the floor.
    OnFloor(RowEdit<OnFloor>),
    /// A row of the done cuts.
    Done(RowEdit<DoneCut>),
    /// A row of the photographs.
    Photo(RowEdit<Photo>),
    /// A row of the maps of figure.
    FigureMap(RowEdit<FigureMap>),
    /// Unknown fields of the job itself, and what it keeps aside.
    Unknown(Unknown),
    /// Another document in place of this one, as on opening a file.
    Whole(Box<Document>),
    /// Several changes as one: all of them or none.
    Many(Vec<Edit>),
    /// A change that leaves the document at a given revision; how inverses come back to
    /// exactly what was.
    At {
        /// The revision afterwards.
        revision: u64,
        /// The change.
        edit: Box<Edit>,
    },
}

/// Why a document cannot be changed so.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum EditError {
    /// There is no such row.
    #[error("there is no {list} number {}", .row + 1)]
    NoSuchRow {
        /// What the list holds.
        list: &'static str,
        /// The row asked for, from 0.
        row: usize,
    },
}

impl Edit {
    /// True if plans depend on what is changed; such an edit raises the revision.
    pub fn changes_plans(&self) -> bool {
        match self {
            Edit::Title(_)
            | Edit::Currency(_)
            | Edit::Plan(_)
            | Edit::KeptPlan(_)
            | Edit::OnFloor(_)
            | Edit::Photo(_)
            | Edit::Unknown(_) => false,
            Edit::Many(edits) => edits.iter().any(Edit::changes_plans),
            Edit::At { edit, .. } => edit.changes_plans(),
            _ => true,
        }
    }

    /// Notes the files of the photographs that it puts in place.
    pub(super) fn note_photos<'a>(&'a self, found: &mut Vec<&'a str>) {
        let rows: &[Photo] = match self {
            Edit::Photo(RowEdit::Insert { row, .. } | RowEdit::Put { row, .. }) => {
                std::slice::from_ref(row)
            }
            Edit::Photo(RowEdit::All(rows)) => rows,
            Edit::Whole(document) => &document.photos,
            Edit::Many(edits) => return edits.iter().for_each(|e| e.note_photos(found)),
            Edit::At { edit, .. } => return edit.note_photos(found),
            _ => &[],
        };
        found.extend(rows.iter().map(|photo| photo.hash.as_str()));
    }
}

/// Changes a document and gives back the inverse: applied in turn, it leaves the document
/// exactly as it was, its revision and unknown fields included.
///
/// An edit that plans depend on raises the revision by one. A value that was kept aside
/// because it could not be read is let go when its field is written anew.
///
/// # Errors
/// A row that is not there; the document is then unchanged.
pub fn apply(document: &mut Document, edit: Edit) -> Result<Edit, EditError> {
    let revision = document.revision;
    let raises = edit.changes_plans();
    let (inverse, after) = match edit {
        Edit::At { revision, edit } => (apply_as_is(document, *edit)?, Some(revision)),
        // Another document brings its own revision; it must not repeat one of the old.
        Edit::Whole(other) => {
            let own = other.revision;
            (
                apply_as_is(document, Edit::Whole(other))?,
                Some(own.max(revision.saturating_add(1))),
            )
        }
        edit => (
            apply_as_is(document, edit)?,
            raises.then(|| revision.saturating_add(1)),
        ),
    };
    if let Some(after) = after {
        document.revision = after;
    }
    Ok(Edit::At {
        revision,
        edit: Box::new(inverse),
    })
}

/// Changes a document without touching its revision.
fn apply_as_is(document: &mut Document, edit: Edit) -> Result<Edit, EditError> {
    // What the job itself keeps aside is about its settings; only then are they compared.
    let before = document
        .unknown
        .contains_key(KEPT_ASIDE)
        .then(|| Box::new(document.clone()));
    let inverse = change(document, edit)?;
    let Some(before) = before else {
        return Ok(inverse);
    };
    if before.unknown == document.unknown {
        let kept = open::without_mended(&document.unknown, &*before, document);
        if kept != document.unknown {
            let old = std::mem::replace(&mut document.unknown, kept);
            return Ok(Edit::Many(vec![Edit::Unknown(old), inverse]));
        }
    }
    Ok(inverse)
}

fn change(document: &mut Document, edit: Edit) -> Result<Edit, EditError> {
    use std::mem::replace;
    Ok(match edit {
        Edit::Title(title) => Edit::Title(replace(&mut document.title, title)),
        Edit::Units(units) => Edit::Units(replace(&mut document.units, units)),
        Edit::Currency(currency) => Edit::Currency(replace(&mut document.currency, currency)),
        Edit::TimberRate(rate) => Edit::TimberRate(replace(&mut document.timber_rate, rate)),
        Edit::OffcutValue(value) => Edit::OffcutValue(replace(&mut document.offcut_value, value)),
        Edit::FigureWorth(value) => Edit::FigureWorth(replace(&mut document.figure_worth, value)),
        Edit::Workshop(workshop) => {
            Edit::Workshop(Box::new(replace(&mut document.workshop, *workshop)))
        }
        Edit::Allowances(allowances) => {
            Edit::Allowances(Box::new(replace(&mut document.allowances, *allowances)))
        }
        Edit::Objective(aims) => Edit::Objective(replace(&mut document.objective, aims)),
        Edit::Tool(row) => Edit::Tool(apply_row(row, &mut document.workshop.tools)?),
        Edit::Dimension(row) => Edit::Dimension(apply_row(row, &mut document.dimensions)?),
        Edit::Species(row) => Edit::Species(apply_row(row, &mut document.species)?),
        Edit::Board(row) => Edit::Board(apply_row(row, &mut document.boards)?),
        Edit::Part(row) => Edit::Part(apply_row(row, &mut document.parts)?),
        Edit::Match(row) => Edit::Match(apply_row(row, &mut document.matches)?),
        Edit::Panel(row) => Edit::Panel(apply_row(row, &mut document.panels)?),
        Edit::Pin(row) => Edit::Pin(apply_row(row, &mut document.pins)?),
        Edit::Plan(plan) => {
            Edit::Plan(replace(&mut document.plan, plan.map(|plan| *plan)).map(Box::new))
        }
        Edit::KeptPlan(row) => Edit::KeptPlan(apply_row(row, &mut document.plans)?),
        Edit::OnFloor(row) => Edit::OnFloor(apply_row(row, &mut document.floor)?),
        Edit::Done(row) => Edit::Done(apply_row(row, &mut document.done)?),
        Edit::Photo(row) => Edit::Photo(apply_row(row, &mut document.photos)?),
        Edit::FigureMap(row) => Edit::FigureMap(apply_row(row, &mut document.figure_maps)?),
        Edit::Unknown(unknown) => Edit::Unknown(replace(&mut document.unknown, unknown)),
        Edit::Whole(other) => Edit::Whole(Box::new(replace(document, *other))),
        Edit::Many(edits) => many(document, edits)?,
        Edit::At { revision, edit } => {
            let before = document.revision;
            let inverse = change(document, *edit)?;
            document.revision = revision;
            Edit::At {
                revision: before,
                edit: Box::new(inverse),
            }
        }
    })
}

/// All changes in order, or none: after a failure the ones already made are taken back.
fn many(document: &mut Document, edits: Vec<Edit>) -> Result<Edit, EditError> {
    let mut inverses = Vec::with_capacity(edits.len());
    for edit in edits {
        match change(document, edit) {
            Ok(inverse) => inverses.push(inverse),
            Err(error) => {
                for inverse in inverses.into_iter().rev() {
                    // An inverse always fits the document that its edit left behind.
                    change(document, inverse)?;
                }
                return Err(error);
            }
        }
    }
    inverses.reverse();
    Ok(Edit::Many(inverses))
}

#[cfg(test)]
mod tests;
