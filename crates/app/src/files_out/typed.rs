//! What was typed for labels and templates, read in the job's unit.

use heartside_drawing::{COMMON_GRIDS, LabelGrid, LabelPrint, Paper};
use heartside_timber::length::{DisplayUnits, LengthContext, read_length, write_dimension};

use super::OVERLAP;
use crate::protocol::{Choice, FileKind, FilesWanted, WrongField};

/// The sheet of labels whose measures are typed, and the one for plain paper.
const OWN: &str = "own";
const PLAIN: &str = "plain";

/// Labels and templates as they are to be printed, and what keeps them from it.
#[derive(Debug)]
pub(crate) struct Typed {
    pub(crate) labels: LabelPrint,
    /// In millimetres.
    pub(crate) overlap: f64,
    pub(crate) wrong: Vec<WrongField>,
    /// Which of the sheets of labels is used.
    pub(crate) grid: String,
}

impl Typed {
    /// How many labels a sheet has; 0 where its measures are wrong.
    pub(crate) fn on_a_sheet(&self) -> usize {
        let is_measure = |wrong: &WrongField| wrong.field.parse::<usize>().is_ok();
        match self.wrong.iter().any(is_measure) {
            true => 0,
            false => self.labels.grid.on_a_sheet(),
        }
    }

    /// Reads what was typed. What cannot be read is told, and the usual stands in its place.
    pub(crate) fn of(wanted: &FilesWanted, paper: Paper, units: &DisplayUnits) -> Typed {
        let mut reading = Reading {
            units,
            wrong: Vec::new(),
        };
        let own = wanted.grid == OWN;
        let common = COMMON_GRIDS.iter().find(|grid| {
            LabelGrid::to_cut_out(paper).paper == grid.paper && name_of(grid, paper) == wanted.grid
        });
        let plain = LabelGrid::to_cut_out(paper);
        let grid = match own {
            true => reading.grid(&wanted.measures, plain),
            false => *common.unwrap_or(&plain),
        };
        let name = match own {
            true => OWN.to_owned(),
            false => name_of(&grid, paper),
        };
        let first = match wanted.first.trim() {
            "" => 1,
            text => reading.count("first", text),
        };
        let overlap = match wanted.overlap.trim() {
            "" => OVERLAP,
            text => reading.length("overlap", FileKind::Templates, text),
        };
        Typed {
            labels: LabelPrint {
                grid,
                first,
                cut_lines: name == PLAIN,
            },
            overlap,
            wrong: reading.wrong,
            grid: name,
        }
    }
}

/// The usual sheets of labels for a paper, by their names.
pub(crate) fn grids(paper: Paper, units: &DisplayUnits) -> Vec<Choice> {
    let plain = LabelGrid::to_cut_out(paper);
    let of_paper = COMMON_GRIDS.iter().filter(|grid| grid.paper == plain.paper);
    of_paper
        .map(|grid| Choice {
            value: name_of(grid, paper),
            label: grid.words(&finely(units)),
            picture: None,
        })
        .collect()
}

/// Measures of a sheet as they would be typed.
pub(crate) fn measures(grid: &LabelGrid, units: &DisplayUnits) -> Vec<String> {
    let ((width, height), fine) = (grid.label, finely(units));
    let lengths = [
        width,
        height,
        grid.left,
        grid.top,
        grid.gap_across,
        grid.gap_down,
    ];
    let counts = [grid.rows, grid.columns].map(|count| count.to_string());
    let lengths = lengths.map(|mm| write_dimension(mm, &fine));
    counts.into_iter().chain(lengths).collect()
}

/// Labels are told to a hundredth of a millimetre: a sheet has many of them.
fn finely(units: &DisplayUnits) -> DisplayUnits {
    DisplayUnits {
        decimals: 2,
        ..*units
    }
}

/// "7x3"; no two sheets of a paper have as many rows and columns.
fn name_of(grid: &LabelGrid, paper: Paper) -> String {
    match *grid == LabelGrid::to_cut_out(paper) {
        true => PLAIN.to_owned(),
        false => format!("{}x{}", grid.rows, grid.columns),
    }
}

struct Reading<'a> {
    units: &'a DisplayUnits,
    wrong: Vec<WrongField>,
}

impl Reading<'_> {
    /// Rows, columns and lengths, in the order of [`measures`].
    fn grid(&mut self, typed: &[String], plain: LabelGrid) -> LabelGrid {
        let text = |k: usize| typed.get(k).map_or("", |text| text.trim());
        let [rows, columns] = [0, 1].map(|k| self.count(&k.to_string(), text(k)));
        let [width, height, left, top, across, down] = [2, 3, 4, 5, 6, 7].map(|k| match text(k) {
            // Labels have a size; what lies round them may be nothing.
            "" if k > 3 => 0.0,
            text => self.length(&k.to_string(), FileKind::Labels, text),
        });
        LabelGrid {
            rows,
            columns,
            label: (width, height),
            left,
            top,
            gap_across: across,
            gap_down: down,
            ..plain
        }
    }

    fn count(&mut self, field: &str, text: &str) -> usize {
        text.parse().unwrap_or_else(|_| {
            let words = match text {
                "" => "Type how many.".to_owned(),
                _ => format!("\u{201c}{text}\u{201d} is no whole number: type one such as 7."),
            };
            self.tell(field, FileKind::Labels, words);
            1
        })
    }

    fn length(&mut self, field: &str, kind: FileKind, text: &str) -> f64 {
        read_length(text, self.units.unit, LengthContext::Length).unwrap_or_else(|error| {
            self.tell(field, kind, format!("{error}: {}", error.hint()));
            OVERLAP
        })
    }

    fn tell(&mut self, field: &str, kind: FileKind, words: String) {
        let field = field.to_owned();
        self.wrong.push(WrongField { field, kind, words });
    }
}
