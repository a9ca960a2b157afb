//! What a plan has chosen besides places: values of sizes that may give, staves of panels.
//!
//! A [`crate::job::Job`] is always made for one set of choices, so that whoever reads it sees plain
//! parts of plain sizes; another choice is another job.

use heartside_geometry::SortedMap;

use crate::plan::{DimensionValue, Plan};
pub use crate::staves::{Held, PanelChoice, Stave, part_named, piece_id, stave_id, stave_named};

/// What a job is made for. What is missing or does not hold is as usual.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Choices {
    /// Values of named dimensions.
    pub dimensions: Vec<DimensionValue>,
    /// Staves of copies of panels.
    pub panels: Vec<PanelChoice>,
}

impl Choices {
    /// What a plan was made for.
    pub fn of(plan: &Plan) -> Choices {
        Choices {
            dimensions: plan.dimensions.clone(),
            panels: plan.panels.clone(),
        }
    }

    /// The value chosen for each dimension, in millimetres.
    pub fn values(&self) -> SortedMap<String, f64> {
        let chosen = self.dimensions.iter();
        chosen.map(|d| (d.name.clone(), d.value)).collect()
    }
}
