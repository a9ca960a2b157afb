//! What stands over the drawing of a panel.

use heartside_timber::choices::PanelChoice;
use heartside_timber::job::{Job, Panel};
use heartside_timber::length::{write_dimension, write_length};
use heartside_timber::words::counted;

use super::Glued;
use crate::document::Options;
use crate::title::{Title, Verdict};

/// "1500 × 700 × 20 mm, glued up from 6 staves".
pub fn panel_facts(job: &Job, panel: &Panel, choice: &PanelChoice) -> String {
    let show = |mm: f64| write_dimension(mm, &job.units);
    let staves = choice.staves.len();
    let pieces: usize = choice.staves.iter().map(|s| s.pieces.len().max(1)).sum();
    let glued = format!(
        "{} × {} × {}, glued up from {}",
        show(panel.length),
        show(panel.width),
        write_length(panel.part.thickness, &job.units),
        counted(staves, "stave", "staves")
    );
    if pieces == staves {
        return glued;
    }
    format!("{glued} of {}", counted(pieces, "piece", "pieces"))
}

pub(super) fn head(glued: &Glued<'_>, small: String, options: &Options) -> Title {
    Title {
        heading: format!("{}, glued up", glued.name()),
        job: glued.job.title.clone(),
        facts: vec![panel_facts(glued.job, glued.panel, glued.choice)],
        verdict: Verdict::of(options.findings, None),
        missing: 0,
        small,
    }
}
