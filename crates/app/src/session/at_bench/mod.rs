//! At the bench: what is cut stays cut, what moved is measured again, and the rest goes over to
//! the pieces.
//!
//! | file | idea |
//! |---|---|
//! | `ticking` | a cut is done, or was not done after all |
//! | `asking` | questions with their fields, and the answers as one step |
//! | `measuring` | a piece as it is by tape |
//! | `own_cut`, `lines` | a cut that the plan does not hold, and a line drawn over the floor |
//! | `spoiling` | a part in hand is wanted again |
//! | `steps` | what is next, what to look at and to mark, one step alone |
//! | `done_rows`, `parts` | what is done, and how far each part is |
//! | `change` | what the last change came to, in three lines |
//! | `offcuts` | offcuts as boards of a new job |

mod asking;
mod change;
mod done_rows;
mod lines;
mod measuring;
mod offcuts;
mod own_cut;
mod parts;
mod spoiling;
mod steps;
mod ticking;

pub(super) use change::Standing;
pub(super) use steps::is_ready;

use heartside_timber::document::Document;
use heartside_timber::edit::{Edit, apply};
use heartside_timber::finding::Severity;
use heartside_timber::words::counted;

use super::Session;
use super::engine::KnownCuts;
use crate::protocol::Outcome;

impl Session {
    /// Does an edit that *cutting* worked out of this document as one step. With `look_for_cuts` an
    /// order of cuts is looked for wherever the edit left a layout without one.
    fn do_at_bench(
        &mut self,
        edit: Edit,
        look_for_cuts: bool,
        label: impl FnOnce(&Session, &Document) -> String,
    ) -> Result<String, String> {
        let mut after = self.document.clone();
        apply(&mut after, edit).map_err(|e| e.to_string())?;
        // The history gives out revisions.
        after.revision = self.document.revision;
        let prepared = self.work.prepare(&after);
        if let Some(plan) = after.plan.as_mut().filter(|_| look_for_cuts) {
            KnownCuts::default().find(&prepared.job, plan);
        }
        let label = label(self, &after);
        let change = self.by_hand();
        self.commit_prepared(&label, after, change, prepared);
        Ok(label)
    }

    /// What was done, and what the checker says of the rest.
    fn said_at_bench(&self, said: &str) -> Outcome {
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
