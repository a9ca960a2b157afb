//! What keeps its distance from a shell of a board.

use heartside_timber::job::{Job, Zone, ZoneKind};

use super::shape::Shell;
use crate::fit::Asks;

/// A shell and what keeps its distance from it.
#[derive(Debug)]
pub(super) struct Keep {
    pub(super) shell: Shell,
    pub(super) distance: Distance,
}

/// What a blank and its core keep from something; the larger demand counts.
#[derive(Debug, Clone, Copy)]
pub(super) struct Distance {
    /// Kept by the blank.
    pub(super) blank: f64,
    /// Kept by the core; minus infinity where nothing is asked of it.
    pub(super) core: f64,
}

impl Distance {
    /// Kept by the blank alone.
    pub(super) fn of_blank(distance: f64) -> Distance {
        Distance {
            blank: distance,
            core: f64::NEG_INFINITY,
        }
    }

    /// What a part keeps from a zone of its board; none where it may lie over it.
    ///
    /// The line sawn round a blank stays clear of fixings too. A part that may hold a
    /// fixing keeps away from it like any other: that is stricter than the rule.
    pub(super) fn from_zone(job: &Job, zone: &Zone, asks: Asks) -> Option<Distance> {
        let kerf = if zone.kind == ZoneKind::Fixing {
            job.workshop.sawn_kerf
        } else {
            0.0
        };
        let when = |asked: bool, distance: f64| if asked { distance } else { f64::NEG_INFINITY };
        let blank = when(asks.blank_clear || asks.or_around, zone.margin + kerf)
            .max(when(asks.blank_outside, 0.0));
        let core = when(asks.finished_clear, zone.margin);
        (blank.max(core) > f64::NEG_INFINITY).then_some(Distance { blank, core })
    }

    /// What the core keeps, for a blank of this radius.
    pub(super) fn of_core(&self, radius: f64) -> f64 {
        (self.blank + radius).max(self.core)
    }
}
