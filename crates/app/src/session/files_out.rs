//! What the plan on the floor leaves as: files by kind.

use heartside_drawing::{LabelsRefused, safe_file_name};
use heartside_exchange::csv::Separator;
use heartside_timber::length::write_dimension;

use super::Session;
use crate::files_out::{FileNames, Leaving, OVERLAP, Refused, Typed, grids, measures};
use crate::protocol::{BetweenCells, FileKind, FileOut, FilesOut, FilesWanted, WrongField};
use crate::sizes::sizes_that_gave;

impl Session {
    /// The files that are wanted, or their names. Where something that was typed cannot be, its kind has none.
    pub fn files_out(&self, wanted: &FilesWanted) -> FilesOut {
        let (job, units) = (&self.job, &self.job.units);
        let paper = wanted.paper.into();
        let typed = Typed::of(wanted, paper, units);
        let mut out = FilesOut {
            name: format!("{}-files.zip", safe_file_name(self.title_or_job())),
            grids: grids(paper, units),
            measures: measures(&typed.labels.grid, units),
            on_a_sheet: typed.on_a_sheet() as u32,
            usual_overlap: write_dimension(OVERLAP, units),
            wrong: typed.wrong,
            grid: typed.grid,
            files: Vec::new(),
        };
        let (Some(judged), Some(plan)) = (&self.judged, &self.document.plan) else {
            return out;
        };
        let leaving = Leaving {
            job,
            document: &self.document,
            plan,
            steps: &judged.steps,
            findings: &judged.findings,
            sizes: &sizes_that_gave(&self.document, job, plan),
            paper,
            separator: match wanted.between {
                BetweenCells::Commas => Separator::Comma,
                BetweenCells::Semicolons => Separator::Semicolon,
            },
            labels: typed.labels,
            overlap: typed.overlap,
            date: &wanted.date,
        };
        let mut names = FileNames::default();
        for &kind in &wanted.kinds {
            if out.wrong.iter().any(|wrong| wrong.kind == kind) {
                continue;
            }
            match kind.files(&leaving, &mut names) {
                Ok(files) => out.files.extend(files.into_iter().map(|file| FileOut {
                    kind,
                    name: file.name,
                    text: if wanted.texts {
                        file.text
                    } else {
                        String::new()
                    },
                })),
                Err(refused) => out.wrong.push(wrong_field(kind, &refused)),
            }
        }
        out
    }
}

fn wrong_field(kind: FileKind, refused: &Refused) -> WrongField {
    let field = match refused {
        Refused::Labels(LabelsRefused::Grid(_)) => "grid",
        Refused::Labels(LabelsRefused::First { .. }) => "first",
        Refused::Templates(_) => "overlap",
    };
    WrongField {
        field: field.to_owned(),
        kind,
        words: refused.to_string(),
    }
}
