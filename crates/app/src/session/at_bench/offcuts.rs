//! Offcuts come home: what is left of a job as the boards of the next.

use heartside_cutting::offcuts_home;
use heartside_timber::document::Document;
use heartside_timber::words::counted;

use crate::protocol::OffcutsHome;
use crate::session::Session;

impl Session {
    /// The pieces worth keeping as the boards of a new job, with this job's workshop, units and species.
    pub fn offcuts_home(&self) -> OffcutsHome {
        let boards = offcuts_home(&self.document, &self.job);
        if boards.is_empty() {
            return OffcutsHome {
                sentence: match self.job.done.is_empty() {
                    true => "nothing is cut yet, so there are no offcuts".to_owned(),
                    false => "no piece is left that is worth keeping: see the smallest offcut under Workshop"
                        .to_owned(),
                },
                ..OffcutsHome::default()
            };
        }
        let count = boards.len();
        let old = &self.document;
        let title = match old.title.trim() {
            "" => "Offcuts".to_owned(),
            title => format!("Offcuts of {title}"),
        };
        let new = Document {
            title,
            units: old.units.clone(),
            currency: old.currency.clone(),
            timber_rate: old.timber_rate,
            offcut_value: old.offcut_value,
            workshop: old.workshop.clone(),
            allowances: old.allowances.clone(),
            objective: old.objective.clone(),
            species: old.species.clone(),
            boards,
            ..Document::new()
        };
        OffcutsHome {
            job: new.save(),
            count: count as u32,
            sentence: format!(
                "{} of a new job",
                counted(count, "offcut as board", "offcuts as boards")
            ),
        }
    }
}
