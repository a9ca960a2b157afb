//! Labels of panels, once they are glued up.

use heartside_cutting::finished_size;
use heartside_timber::choices::PanelChoice;
use heartside_timber::document::Faces;
use heartside_timber::job::{Job, Panel};
use heartside_timber::length::write_length;
use heartside_timber::words::counted;

use crate::labels::wording::{Label, grain_is_across, tenons, told};

/// A label for every copy of every glued panel, which reads along the panel as that of a part does.
pub fn panel_labels(job: &Job) -> Vec<Label> {
    let panels = job.panels.iter();
    let copies = panels.flat_map(|panel| panel.copies.iter().map(move |copy| (panel, copy)));
    copies
        .map(|(panel, copy)| of_panel(job, panel, copy))
        .collect()
}

fn of_panel(job: &Job, panel: &Panel, choice: &PanelChoice) -> Label {
    let part = &panel.part;
    let (faces, seen) = match part.faces {
        Faces::Both => ("both faces seen", (true, true)),
        Faces::One => ("seen face up", (true, false)),
        Faces::Painted => ("painted", (false, false)),
        Faces::Hidden => ("no face seen", (false, false)),
    };
    let staves = counted(choice.staves.len(), "stave", "staves");
    Label {
        name: part.copy_name(choice.panel.copy),
        facts: told([
            finished_size(job, part),
            format!("{} thick", write_length(part.thickness, &job.units)),
            format!("glued up from {staves}"),
            tenons(job, part),
            faces.to_owned(),
            job.title.clone(),
        ]),
        grain_is_across: grain_is_across(part),
        seen,
    }
}
