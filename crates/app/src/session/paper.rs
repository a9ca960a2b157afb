//! Drawings and sheets for files and print.

use heartside_drawing::{Drawing, Options, Theme, board_svg, overview_svg};
use heartside_timber::document::BoardCopy;

use super::Session;
use crate::protocol::{Paper, Sheet};
use crate::sizes::sizes_that_gave;

impl Session {
    pub(super) fn options<'a>(&'a self, date: &'a str) -> Options<'a> {
        Options {
            date,
            findings: self.judged.as_ref().map(|j| j.findings.as_slice()),
            ..Options::default()
        }
    }

    /// The drawing of one board; an empty sheet where there is no such board.
    pub fn svg_board(&self, board: &str, copy: u32, date: &str) -> Sheet {
        let of = BoardCopy {
            board: board.to_owned(),
            copy,
        };
        let plan = self.plan_or_empty();
        let steps = self.judged.as_ref().map_or(&[][..], |j| &j.steps);
        board_svg(&self.job, &plan, &of, steps, &self.options(date))
            .map(sheet)
            .unwrap_or_default()
    }

    /// The drawing of all boards; without text where no board can be drawn.
    pub fn svg_all(&self, date: &str) -> Sheet {
        let plan = self.plan_or_empty();
        let steps = self.judged.as_ref().map_or(&[][..], |j| &j.steps);
        let sizes = sizes_that_gave(&self.document, &self.job, &plan);
        let options = Options {
            sizes: &sizes,
            ..self.options(date)
        };
        let mut all = sheet(overview_svg(&self.job, &plan, steps, &options));
        if self.job.boards.is_empty() {
            all.svg.clear();
        }
        all
    }

    /// One printable sheet or more for each board that is cut.
    pub fn sheets(&self, paper: Paper, date: &str) -> Vec<Sheet> {
        let plan = self.plan_or_empty();
        let steps = self.judged.as_ref().map_or(&[][..], |j| &j.steps);
        let sizes = sizes_that_gave(&self.document, &self.job, &plan);
        let options = Options {
            theme: Theme::Print,
            sizes: &sizes,
            ..self.options(date)
        };
        heartside_drawing::sheets(&self.job, &plan, steps, paper.into(), &options)
            .into_iter()
            .map(sheet)
            .collect()
    }
}

pub(super) fn sheet(drawing: Drawing) -> Sheet {
    Sheet {
        name: format!("{}.svg", drawing.name),
        title: drawing.title,
        svg: drawing.svg,
        width_mm: drawing.width_mm,
        height_mm: drawing.height_mm,
    }
}
