//! What lies where on the floor.

use heartside_geometry::Pose;
use heartside_timber::choices::Choices;
use heartside_timber::document::{BoardCopy, PartCopy};
use heartside_timber::job::{Job, Part};
use heartside_timber::plan::{Plan, Unplaced, UnplacedReason};

use super::Session;
use crate::words::NO_PART;

impl Session {
    pub(super) fn known_copy(&self, of: &PartCopy) -> Option<&Part> {
        self.job
            .part(&of.part)
            .filter(|p| p.wanted().any(|copy| copy == of.copy))
    }

    /// Why a copy is none to be laid: it is in hand, or not there at all.
    pub(super) fn no_such_copy(&self, of: &PartCopy) -> String {
        let part = self.job.part(&of.part);
        match part.filter(|p| p.in_hand.contains(&of.copy)) {
            Some(part) => format!(
                "{} is in hand: its blank is sawn, and lies nowhere else",
                part.copy_name(of.copy)
            ),
            None => NO_PART.to_owned(),
        }
    }

    pub(super) fn copy_words(&self, of: &PartCopy) -> String {
        let unknown = || format!("{} {}", of.part, of.copy);
        self.job.name_of(of).unwrap_or_else(unknown)
    }

    pub(super) fn place_of(&self, of: &PartCopy) -> Option<(BoardCopy, Pose)> {
        let plan = self.document.plan.as_ref()?;
        let (layout, place) = plan.find(&of.part, of.copy)?;
        let layout = &plan.layouts[layout];
        Some((layout.board.clone(), layout.placements[place].pose()))
    }

    /// The plan on the floor; before the first, one with everything on the trestle.
    pub(super) fn plan_or_empty(&self) -> Plan {
        self.document.plan.clone().unwrap_or_else(|| Plan {
            revision: self.document.revision,
            ..self.empty_plan()
        })
    }

    /// Nothing lies anywhere: all waits, in the sizes and staves that the job is made for.
    pub(super) fn empty_plan(&self) -> Plan {
        let Choices { dimensions, panels } = self.chosen();
        Plan {
            unplaced: everything_waits(&self.job),
            dimensions,
            panels,
            ..Plan::default()
        }
    }
}

/// Every copy of every part as waiting on the trestle.
pub(super) fn everything_waits(job: &Job) -> Vec<Unplaced> {
    job.parts
        .iter()
        .filter(|p| p.wanted_count() > 0)
        .map(|p| Unplaced {
            part: p.id.clone(),
            copies: p.wanted().collect(),
            reason: UnplacedReason::NotTried,
            least_board: None,
            longest: None,
        })
        .collect()
}
