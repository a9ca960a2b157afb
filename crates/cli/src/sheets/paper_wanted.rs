//! What is said of labels and templates.

use heartside_app::files_out::OVERLAP;
use heartside_drawing::{LabelGrid, LabelPrint, Paper};
use heartside_timber::length::{DisplayUnits, LengthContext, read_length};

use crate::failure::Failure;

/// How labels and templates are printed.
#[derive(clap::Args)]
pub(crate) struct OnPaper {
    /// Sheets of labels by their measures, in the job's unit: rows, columns, width and height of a
    /// label, margins left and top, then gaps between columns and between rows. Unless said, labels
    /// are to be cut out of plain paper.
    #[arg(long, value_name = "MEASURE", num_args = 6..=8)]
    label_grid: Vec<String>,
    /// The first label that is still on the first sheet, counted row by row.
    #[arg(long, value_name = "NUMBER", default_value_t = 1)]
    first_label: usize,
    /// By how much the sheets of a template overlap, 10 mm unless said.
    #[arg(long, value_name = "LENGTH")]
    overlap: Option<String>,
    /// The date as it shall stand on labels and templates.
    #[arg(long, value_name = "TEXT", default_value = "")]
    pub(super) date: String,
}

impl OnPaper {
    /// The grid that was asked for, or that of plain paper.
    pub(super) fn labels(&self, paper: Paper, units: &DisplayUnits) -> Result<LabelPrint, Failure> {
        let plain = LabelGrid::to_cut_out(paper);
        let [rows, columns, lengths @ ..] = self.label_grid.as_slice() else {
            return Ok(LabelPrint {
                grid: plain,
                first: self.first_label,
                cut_lines: true,
            });
        };
        let count = |text: &String| {
            text.parse::<usize>().map_err(|_| {
                Failure::Option(format!(
                    "--label-grid begins with the numbers of rows and columns, not \"{text}\""
                ))
            })
        };
        let lengths = lengths
            .iter()
            .map(|text| length("--label-grid", text, units));
        let lengths = lengths.collect::<Result<Vec<f64>, Failure>>()?;
        let at = |k: usize| lengths.get(k).copied().unwrap_or(0.0);
        Ok(LabelPrint {
            grid: LabelGrid {
                rows: count(rows)?,
                columns: count(columns)?,
                label: (at(0), at(1)),
                left: at(2),
                top: at(3),
                gap_across: at(4),
                gap_down: at(5),
                ..plain
            },
            first: self.first_label,
            cut_lines: false,
        })
    }

    /// The overlap of templates in millimetres.
    pub(super) fn overlap(&self, units: &DisplayUnits) -> Result<f64, Failure> {
        match &self.overlap {
            None => Ok(OVERLAP),
            Some(text) => length("--overlap", text, units),
        }
    }
}

fn length(option: &str, text: &str, units: &DisplayUnits) -> Result<f64, Failure> {
    read_length(text, units.unit, LengthContext::Length).map_err(|error| {
        Failure::Option(format!("{option} \"{text}\": {error} ({})", error.hint()))
    })
}
