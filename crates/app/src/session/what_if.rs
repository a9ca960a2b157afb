//! A plan that was found for another value of a size is taken.

use heartside_timber::choices::Choices;
use heartside_timber::length::write_length;
use heartside_timber::plan::Plan;

use super::judged::Judged;
use super::{Change, Session};
use crate::protocol::Outcome;
use crate::words::GONE;

impl Session {
    /// Puts the plan that was found for a value of the size in a row on the floor
    /// ([`crate::what_if::SizeAsked`]): one undo step. Refused where it breaks a rule of the job as it is now.
    pub fn take_size(&mut self, row: u32, plan: &str) -> Outcome {
        self.put_down();
        self.end_set_out();
        let typed = self.document.dimensions.get(row as usize);
        let name = typed.map_or_else(String::new, |d| d.name.trim().to_owned());
        let Ok(plan) = Plan::read(plan) else {
            return Outcome::refused(GONE);
        };
        let choices = Choices::of(&plan);
        let value = choices.dimensions.iter().find(|d| d.name == name);
        let Some(value) = value.filter(|_| self.judged_of(&plan).is_sound()) else {
            return Outcome::refused(GONE);
        };
        let value = write_length(value.value, &self.job.units);
        let mut after = self.document.clone();
        after.plan = Some(Plan {
            // No numbers repeat it, and its bound was for this one value.
            made: Default::default(),
            bound: None,
            ..plan
        });
        self.progress.clear();
        self.commit(&format!("taking {name} {value}"), after, Change::Hand);
        let verdict = self.judged.as_ref().map(Judged::verdict_text);
        Outcome::done().saying(format!(
            "{name} is {value} now. {}.",
            verdict.unwrap_or_default()
        ))
    }
}
