//! Rule 11: the dimensions a plan was made with.

use super::names::Words;

impl Words<'_> {
    pub(crate) fn dimension_missing(&self, name: &str) -> String {
        format!("The plan does not say which {name} it was made with.")
    }

    pub(crate) fn dimension_unknown(&self, name: &str) -> String {
        format!("The plan gives a value for {name}, which is no dimension of this job.")
    }

    pub(crate) fn dimension_twice(&self, name: &str) -> String {
        format!("The plan gives two values for {name}.")
    }

    pub(crate) fn dimension_not_a_number(&self, name: &str) -> String {
        format!("The plan's value for {name} is not a number.")
    }

    pub(crate) fn dimension_off_step(&self, name: &str, value: f64, by: f64) -> String {
        format!(
            "{name} is {}: {} off its steps.",
            self.length(value),
            self.gap(by)
        )
    }

    pub(crate) fn dimension_out_of_range(
        &self,
        name: &str,
        value: f64,
        by: f64,
        too_small: bool,
    ) -> String {
        format!(
            "{name} is {}: {} too {}.",
            self.length(value),
            self.gap(by),
            if too_small { "small" } else { "large" }
        )
    }

    pub(crate) fn dimension_not_applied(
        &self,
        name: &str,
        planned: f64,
        worked_out: f64,
    ) -> String {
        format!(
            "The plan was made with {name} = {}, but the parts were worked out with {}.",
            self.length(planned),
            self.length(worked_out)
        )
    }
}
