//! Undo and redo.

use std::collections::VecDeque;

use super::{Edit, EditError, apply};
use crate::document::Document;

/// What was done to a document, to be taken back and done again.
///
/// Pure: the document is handed in. Results that were worked out for a revision are never
/// mistaken for another's, since no revision number is given out twice, undone edits
/// included.
#[derive(Debug, Clone, PartialEq)]
pub struct History {
    done: VecDeque<Step>,
    undone: Vec<Step>,
    limit: usize,
    /// How many of the oldest steps were forgotten.
    forgotten: usize,
    /// The highest revision given out.
    highest: u64,
}

#[derive(Debug, Clone, PartialEq)]
struct Step {
    label: String,
    /// Takes the step back, or does it again.
    edit: Edit,
}

/// A point in a history to come back to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Mark(usize);

/// So many steps are remembered unless set: enough for a day's work, and a plan of a
/// hundred boards each stays far below the memory of a phone.
const USUAL_LIMIT: usize = 500;

impl Default for History {
    fn default() -> Self {
        History::with_limit(USUAL_LIMIT)
    }
}

impl History {
    /// A history that remembers at most so many steps; at least one.
    pub fn with_limit(limit: usize) -> History {
        History {
            done: VecDeque::new(),
            undone: Vec::new(),
            limit: limit.max(1),
            forgotten: 0,
            highest: 0,
        }
    }

    /// Changes the document as one step called `label`; what was undone is forgotten.
    ///
    /// # Errors
    /// As [`apply`]; document and history are then unchanged.
    pub fn apply(
        &mut self,
        document: &mut Document,
        label: impl Into<String>,
        edit: Edit,
    ) -> Result<(), EditError> {
        let before = document.revision;
        let inverse = apply(document, edit)?;
        self.highest = self.highest.max(before);
        if document.revision != before {
            document.revision = document.revision.max(self.highest.saturating_add(1));
            self.highest = document.revision;
        }
        self.undone.clear();
        self.remember(Step {
            label: label.into(),
            edit: inverse,
        });
        Ok(())
    }

    /// Takes the last step back and says what it was called; nothing if there is none.
    pub fn undo(&mut self, document: &mut Document) -> Option<String> {
        let Step { label, edit } = self.done.pop_back()?;
        // An inverse fits the document that its edit left behind; should the document have
        // been changed behind the history's back, the step is dropped rather than half done.
        let edit = apply(document, edit).ok()?;
        self.undone.push(Step {
            label: label.clone(),
            edit,
        });
        Some(label)
    }

    /// Does the last undone step again and says what it was called; nothing if there is none.
    pub fn redo(&mut self, document: &mut Document) -> Option<String> {
        let Step { label, edit } = self.undone.pop()?;
        let edit = apply(document, edit).ok()?;
        self.remember(Step {
            label: label.clone(),
            edit,
        });
        Some(label)
    }

    /// What [`History::undo`] would take back.
    pub fn undo_label(&self) -> Option<&str> {
        self.done.back().map(|step| step.label.as_str())
    }

    /// What [`History::redo`] would do again.
    pub fn redo_label(&self) -> Option<&str> {
        self.undone.last().map(|step| step.label.as_str())
    }

    /// The present point, to join from.
    pub fn mark(&self) -> Mark {
        Mark(self.forgotten + self.done.len())
    }

    /// Makes one step called `label` of all steps since `mark`; none of none.
    pub fn join(&mut self, mark: Mark, label: impl Into<String>) {
        let first = mark.0.saturating_sub(self.forgotten).min(self.done.len());
        let mut edits: Vec<Edit> = self.done.drain(first..).map(|step| step.edit).collect();
        edits.reverse();
        let Some(revision) = edits.last().and_then(revision_after) else {
            return;
        };
        let edit = Edit::At {
            revision,
            edit: Box::new(Edit::Many(edits)),
        };
        self.done.push_back(Step {
            label: label.into(),
            edit,
        });
    }

    /// The files of photographs that some step would bring back or take away.
    pub fn photos(&self) -> Vec<&str> {
        let mut found = Vec::new();
        for step in self.done.iter().chain(&self.undone) {
            step.edit.note_photos(&mut found);
        }
        found
    }

    /// Forgets every step, as when another job is opened; no revision is given out twice
    /// even so.
    pub fn clear(&mut self) {
        self.forgotten += self.done.len();
        self.done.clear();
        self.undone.clear();
    }

    fn remember(&mut self, step: Step) {
        self.done.push_back(step);
        while self.done.len() > self.limit {
            self.done.pop_front();
            self.forgotten += 1;
        }
    }
}

/// The revision at which an inverse leaves the document.
fn revision_after(edit: &Edit) -> Option<u64> {
    match edit {
        Edit::At { revision, .. } => Some(*revision),
        _ => None,
    }
}
