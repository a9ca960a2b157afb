//! Changes to one row of a list.

use super::EditError;
use crate::document::{
    Board, Dimension, DoneCut, FigureMap, KeptPlan, Match, OnFloor, Panel, Part, Photo, Pin,
    Species, Tool, Unknown, Zone,
};
use crate::open;

/// A change to one row of a list.
#[derive(Debug, Clone, PartialEq)]
pub enum RowEdit<T> {
    /// Puts a new row before the row at `at` (at the end where `at` is the length).
    Insert {
        /// Place in the list afterwards.
        at: usize,
        /// The row.
        row: Box<T>,
    },
    /// Takes a row away.
    Remove {
        /// Its place.
        at: usize,
    },
    /// Puts another row in place of one.
    Put {
        /// Its place.
        at: usize,
        /// The row.
        row: Box<T>,
    },
    /// Moves a row to another place.
    Move {
        /// Its place before.
        from: usize,
        /// Its place afterwards.
        to: usize,
    },
    /// Puts another list in place of the whole.
    All(Vec<T>),
}

impl<T> RowEdit<T> {
    /// Puts a row before the row at `at`.
    pub fn insert(at: usize, row: T) -> RowEdit<T> {
        RowEdit::Insert {
            at,
            row: Box::new(row),
        }
    }

    /// Puts another row in place of one.
    pub fn put(at: usize, row: T) -> RowEdit<T> {
        RowEdit::Put {
            at,
            row: Box::new(row),
        }
    }
}

/// A row of one of the lists of a document.
pub(super) trait Row: Sized {
    /// What the list holds, for messages.
    const NAME: &'static str;

    /// Lets go of what was kept aside for fields that `self` writes anew.
    fn settle(&mut self, _before: &Self) {}
}

macro_rules! plain_rows {
    ($($type:ty => $name:literal),*) => {
        $(impl Row for $type { const NAME: &'static str = $name; })*
    };
}

macro_rules! keeping_rows {
    ($($type:ty => $name:literal),*) => {
        $(impl Row for $type {
            const NAME: &'static str = $name;

            fn settle(&mut self, before: &Self) {
                if let Some(unknown) = settled(&self.unknown, &before.unknown, before, self) {
                    self.unknown = unknown;
                }
            }
        })*
    };
}

plain_rows!(Match => "match", Pin => "pin", OnFloor => "place on the floor");
keeping_rows!(
    Tool => "tool",
    Dimension => "dimension",
    Species => "species",
    Part => "part",
    Panel => "panel",
    KeptPlan => "kept plan",
    DoneCut => "done cut",
    Photo => "photograph",
    FigureMap => "map of figure",
    Zone => "marked area"
);

impl Row for Board {
    const NAME: &'static str = "board";

    fn settle(&mut self, before: &Self) {
        if let Some(unknown) = settled(&self.unknown, &before.unknown, before, self) {
            self.unknown = unknown;
        }
        for (zone, old) in self.zones.iter_mut().zip(&before.zones) {
            zone.settle(old);
        }
    }
}

/// What of the unknown fields is left, where that is less than before.
fn settled<T: serde::Serialize>(
    unknown: &Unknown,
    before: &Unknown,
    old: &T,
    new: &T,
) -> Option<Unknown> {
    // A row that comes with another list has been settled by whoever changed that.
    (unknown.contains_key(crate::keep::KEPT_ASIDE) && unknown == before)
        .then(|| open::without_mended(unknown, old, new))
}

/// Changes the list and gives back the inverse.
pub(super) fn apply_row<T: Row>(
    edit: RowEdit<T>,
    list: &mut Vec<T>,
) -> Result<RowEdit<T>, EditError> {
    let no_row = |row: usize| EditError::NoSuchRow { list: T::NAME, row };
    match edit {
        RowEdit::Insert { at, row } => {
            if at > list.len() {
                return Err(no_row(at));
            }
            list.insert(at, *row);
            Ok(RowEdit::Remove { at })
        }
        RowEdit::Remove { at } => {
            if at >= list.len() {
                return Err(no_row(at));
            }
            Ok(RowEdit::insert(at, list.remove(at)))
        }
        RowEdit::Put { at, mut row } => {
            let old = list.get_mut(at).ok_or_else(|| no_row(at))?;
            row.settle(old);
            std::mem::swap(old, &mut *row);
            Ok(RowEdit::Put { at, row })
        }
        RowEdit::Move { from, to } => {
            if from >= list.len() || to >= list.len() {
                return Err(no_row(from.max(to)));
            }
            let row = list.remove(from);
            list.insert(to, row);
            Ok(RowEdit::Move { from: to, to: from })
        }
        RowEdit::All(rows) => Ok(RowEdit::All(std::mem::replace(list, rows))),
    }
}
