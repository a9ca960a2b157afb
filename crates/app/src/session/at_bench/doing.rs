//! An edit of the bench as one step, and what is said after it.

use heartside_cutting::{board_words, free_already};
use heartside_timber::diagnostic::Subject;
use heartside_timber::document::Document;
use heartside_timber::edit::{Edit, apply};
use heartside_timber::finding::Severity;
use heartside_timber::job::{Board, DoneCut, Job};
use heartside_timber::words::counted;

use crate::protocol::Outcome;
use crate::session::Session;
use crate::session::engine::KnownCuts;

/// Sums of areas lose far less than this share of a board to rounding.
const AREA_SHARE: f64 = 1e-6;

impl Session {
    /// Does an edit that *cutting* worked out of this document as one step. With `look_for_cuts` an
    /// order of cuts is looked for wherever the edit left a layout without one.
    pub(super) fn do_at_bench(
        &mut self,
        edit: Edit,
        look_for_cuts: bool,
        label: impl FnOnce(&Session, &Document, &Job) -> String,
    ) -> Result<String, String> {
        let mut after = self.document.clone();
        apply(&mut after, edit).map_err(|e| e.to_string())?;
        // The history gives out revisions.
        after.revision = self.document.revision;
        let mut prepared = self.work.prepare(&after);
        if let Some(why) = self.lost_by(&after, &prepared) {
            return Err(why);
        }
        let is_new = |id: &str| self.document.boards.iter().all(|b| b.id != id);
        let mut left_out = prepared.left_out.iter();
        let lost = left_out.find(|l| l.subject == Subject::Board && is_new(&l.id));
        if let Some(lost) = lost {
            let (id, because) = (&lost.id, &lost.because);
            return Err(format!("{id} could not be used: {because}"));
        }
        if let Some(why) = self.more_than_there_was(&prepared.job) {
            return Err(why);
        }
        if let Some(plan) = after.plan.as_mut().filter(|_| look_for_cuts) {
            KnownCuts::default().find(&prepared.job, plan);
        }
        let plan = after.plan.as_ref();
        if let Some(free) = plan.and_then(|plan| free_already(&after, &prepared.job, plan)) {
            apply(&mut after, free).map_err(|e| e.to_string())?;
            after.revision = self.document.revision;
            prepared = self.work.prepare(&after);
        }
        let label = label(self, &after, &prepared.job);
        let change = self.by_hand();
        match self.commit_prepared(&label, after, change, prepared) {
            true => Ok(label),
            false => Err("it is so already: nothing is changed by this".to_owned()),
        }
    }

    /// Why sizes cannot be: all pieces of a cut would hold more wood than what was cut, and did not before.
    fn more_than_there_was(&self, then: &Job) -> Option<String> {
        let has_grown = |job: &Job, cut: &DoneCut| {
            let area = |board: &Board| board.outline.area();
            let pieces = cut.pieces.iter().filter_map(|place| job.boards.get(*place));
            let whole = job.board(&cut.board.board).map_or(f64::INFINITY, area);
            // Leaves lie one below the other.
            !cut.resawn && pieces.map(area).sum::<f64>() > whole * (1.0 + AREA_SHARE)
        };
        let before = |cut: &DoneCut| {
            let mut done = self.job.done.iter();
            done.any(|old| old.id == cut.id && has_grown(&self.job, old))
        };
        let mut done = then.done.iter();
        let cut = done.find(|cut| has_grown(then, cut) && !before(cut))?;
        let words = board_words(then, &cut.board);
        Some(format!(
            "the pieces of {words} would hold more wood than it did: measure them again"
        ))
    }

    /// As [`Session::said_at_bench`] after more than a cut as planned: with what waits, if anything does.
    pub(super) fn said_after_change(&self, said: &str) -> Outcome {
        let sound = self.judged.as_ref().is_some_and(|j| j.is_sound());
        match self.rest_reason().filter(|_| sound) {
            Some(rest) => self.said_at_bench(&format!("{}. {rest}", said.trim_end_matches('.'))),
            None => self.said_at_bench(said),
        }
    }

    /// What was done, and what the checker says of the rest.
    pub(super) fn said_at_bench(&self, said: &str) -> Outcome {
        let said = said.trim_end_matches('.');
        let judged = self.judged.iter();
        let mut broken = judged
            .flat_map(|j| &j.findings)
            .filter(|f| f.severity == Severity::Broken);
        let Some(first) = broken.next() else {
            return Outcome::done().saying(format!("{said}."));
        };
        let more = match broken.count() {
            0 => String::new(),
            n => format!(
                " And {} wrong.",
                counted(n, "thing more is", "things more are")
            ),
        };
        let first = first.message.trim_end_matches('.');
        Outcome::done().saying(format!("{said}. {first}.{more}"))
    }
}
