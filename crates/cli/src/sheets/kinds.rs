//! The kinds of files that a plan leaves as, each with what is written of it.

use clap::ValueEnum;
use heartside_cutting::{
    Step, bare_board_list, bare_cut_list, bare_offcut_list, bare_part_list, bare_shopping_list,
    board_label,
};
use heartside_drawing::{
    Options, Paper, TemplatePrint, Theme, board_svg, label_sheets, layout_templates, offcut_labels,
    overview_svg, part_labels, part_templates, sheets, template_sheets,
};
use heartside_exchange::csv::{Separator, write_csv};
use heartside_exchange::dxf::{board_dxf, part_dxf};
use heartside_timber::document::Document;
use heartside_timber::finding::Finding;
use heartside_timber::job::Job;
use heartside_timber::plan::{Layout, Plan};

use super::files::Files;
use super::paper_wanted::OnPaper;
use crate::failure::Failure;
use crate::folder::sealed;
use crate::photos::Photos;

/// A kind of files. A further kind is a variant here, its sentence and what it writes.
#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Kind {
    /// A drawing for other programs of every board that is cut, and of every part.
    Dxf,
    /// Lists for spreadsheets: boards, parts, cuts, offcuts, what is still to find.
    Csv,
    /// A picture of every board that is cut, in true size, and of all boards together.
    Svg,
    /// Pages to be printed, as pictures.
    Pages,
    /// Labels for parts and offcuts, as pages to be printed.
    Labels,
    /// Parts that are no rectangles and boards sawn by line at full size, over sheets that are joined.
    Templates,
}

/// The plan that is written out, and how.
pub(super) struct Made<'a> {
    pub(super) job: &'a Job,
    pub(super) document: &'a Document,
    pub(super) plan: &'a Plan,
    pub(super) steps: &'a [Step],
    pub(super) findings: &'a [Finding],
    pub(super) sizes: &'a [String],
    pub(super) photos: &'a Photos,
    pub(super) paper: Paper,
    pub(super) separator: Separator,
    pub(super) on_paper: &'a OnPaper,
}

impl Kind {
    /// What was written, before how many and which.
    pub(super) fn words(self, made: &Made<'_>) -> String {
        match self {
            Kind::Dxf => "Drawings for other programs (DXF, in millimetres)".into(),
            Kind::Csv => match made.separator {
                Separator::Comma => "Lists (CSV, commas between cells)".into(),
                Separator::Semicolon => "Lists (CSV, semicolons between cells)".into(),
            },
            Kind::Svg => "Pictures in true size (SVG)".into(),
            Kind::Labels => "Labels to stick on (SVG, standing)".into(),
            Kind::Templates => "Templates at full size (SVG)".into(),
            Kind::Pages => {
                let paper = match made.paper {
                    Paper::A4 => "A4",
                    Paper::A3 => "A3",
                    Paper::Letter => "Letter",
                };
                format!("Pages to print (SVG, {paper}, lying)")
            }
        }
    }

    /// Makes the files of this kind. Refused where labels or templates are asked for as they cannot be.
    pub(super) fn make(self, made: &Made<'_>, files: &mut Files<'_>) -> Result<(), Failure> {
        files.begin();
        match self {
            Kind::Dxf => made.dxf(files),
            Kind::Csv => made.csv(files),
            Kind::Svg => made.svg(files),
            Kind::Pages => made.pages(files),
            Kind::Labels => return made.labels(files),
            Kind::Templates => return made.templates(files),
        }
        Ok(())
    }
}

impl Made<'_> {
    fn layouts(&self) -> impl Iterator<Item = &Layout> {
        let layouts = self.plan.layouts.iter();
        layouts.filter(|layout| !layout.placements.is_empty())
    }

    fn options(&self, theme: Theme) -> Options<'_> {
        Options {
            theme,
            findings: Some(self.findings),
            sizes: self.sizes,
            ..Options::default()
        }
    }

    fn dxf(&self, files: &mut Files<'_>) {
        for layout in self.layouts() {
            let drawn = board_dxf(self.job, self.document, layout, self.steps);
            if let Some(drawn) = drawn {
                let label = board_label(self.job, &layout.board);
                files.add("board", &label, "dxf", drawn);
            }
        }
        // Of a panel the whole, not its staves: these are straight, and lie on the boards.
        let whole = self.job.parts.iter().filter(|part| part.stave.is_none());
        for part in whole.chain(self.job.panels.iter().map(|panel| &panel.part)) {
            let drawn = part_dxf(self.job, self.document, part);
            files.add("part", &part.name, "dxf", drawn);
        }
    }

    fn csv(&self, files: &mut Files<'_>) {
        let (job, plan, steps) = (self.job, self.plan, self.steps);
        for (name, list) in [
            ("boards", bare_board_list(job, plan)),
            ("parts", bare_part_list(job, plan)),
            ("cuts", bare_cut_list(job, plan, steps)),
            ("offcuts", bare_offcut_list(job, plan, steps)),
            ("still-to-find", bare_shopping_list(job, plan)),
        ] {
            files.add("list", name, "csv", write_csv(&list, self.separator));
        }
    }

    fn svg(&self, files: &mut Files<'_>) {
        let (job, plan, steps) = (self.job, self.plan, self.steps);
        let options = self.options(Theme::default());
        for layout in self.layouts() {
            if let Some(drawing) = board_svg(job, plan, &layout.board, steps, &options) {
                let label = board_label(job, &layout.board);
                files.add("board", &label, "svg", self.whole(&drawing.svg));
            }
        }
        let all = overview_svg(job, plan, steps, &options);
        files.add("all", "boards", "svg", self.whole(&all.svg));
    }

    fn pages(&self, files: &mut Files<'_>) {
        let options = self.options(Theme::Print);
        for page in sheets(self.job, self.plan, self.steps, self.paper, &options) {
            let name = page.name.trim_start_matches("sheet-");
            files.add("sheet", name, "svg", self.whole(&page.svg));
        }
    }

    fn labels(&self, files: &mut Files<'_>) -> Result<(), Failure> {
        let (job, plan, steps) = (self.job, self.plan, self.steps);
        let print = self.on_paper.labels(self.paper, &job.units)?;
        let mut labels = part_labels(job, plan);
        labels.extend(offcut_labels(job, plan, steps, &self.on_paper.date));
        let pages = label_sheets(&labels, &print, &job.units);
        let pages = pages.map_err(|faults| Failure::Option(faults.to_string()))?;
        for (number, page) in (1..).zip(pages) {
            files.add(
                "label",
                &format!("sheet-{number}"),
                "svg",
                sealed(&page.svg),
            );
        }
        Ok(())
    }

    fn templates(&self, files: &mut Files<'_>) -> Result<(), Failure> {
        let print = TemplatePrint {
            paper: self.paper,
            overlap: self.on_paper.overlap(&self.job.units)?,
            date: &self.on_paper.date,
        };
        let mut templates = part_templates(self.job);
        templates.extend(layout_templates(self.job, self.plan, self.steps));
        for template in &templates {
            let sheets = template_sheets(template, &print);
            let sheets = sheets.map_err(|error| Failure::Option(error.to_string()))?;
            for page in sheets.pages {
                let name = page.name.trim_start_matches("template-");
                files.add("template", name, "svg", sealed(&page.svg));
            }
        }
        Ok(())
    }

    /// A picture with the photographs that it shows.
    fn whole(&self, svg: &str) -> String {
        sealed(&self.photos.inlined(svg))
    }
}
