//! The kinds of files that a plan leaves as, each with what is made of it.

use heartside_cutting::{
    Step, bare_board_list, bare_cut_list, bare_offcut_list, bare_part_list, bare_shopping_list,
    board_label,
};
use heartside_drawing::{
    LabelPrint, LabelsRefused, Options, Paper, TemplateError, TemplatePrint, Theme, board_svg,
    label_sheets, layout_templates, offcut_labels, overview_svg, panel_labels, part_labels,
    part_templates, sheets, template_sheets,
};
use heartside_exchange::csv::{Separator, write_csv};
use heartside_exchange::dxf::{board_dxf, part_dxf};
use heartside_timber::document::Document;
use heartside_timber::finding::Finding;
use heartside_timber::job::Job;
use heartside_timber::plan::{Layout, Plan};

use super::names::{FileNames, NamedFile};
use crate::protocol::FileKind;

/// The plan that leaves, and how.
#[derive(Debug)]
pub struct Leaving<'a> {
    /// The job that was made of the document.
    pub job: &'a Job,
    /// As it was typed.
    pub document: &'a Document,
    /// What leaves.
    pub plan: &'a Plan,
    /// Its order of cuts.
    pub steps: &'a [Step],
    /// What the checker has found in it.
    pub findings: &'a [Finding],
    /// Sentences about sizes that gave.
    pub sizes: &'a [String],
    /// Paper of pages and templates; labels lie on standing A4 or Letter.
    pub paper: Paper,
    /// What parts the cells of lists.
    pub separator: Separator,
    /// How labels lie on their sheets.
    pub labels: LabelPrint,
    /// By how much the sheets of a template overlap, in millimetres.
    pub overlap: f64,
    /// As it shall stand on labels and templates.
    pub date: &'a str,
}

/// Why there are no files of a kind, in words that say how to mend it.
#[derive(Debug, Clone, PartialEq)]
pub enum Refused {
    /// The grid of the labels, or where they are to begin.
    Labels(LabelsRefused),
    /// The overlap of the templates, or their size.
    Templates(TemplateError),
}

impl std::fmt::Display for Refused {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Refused::Labels(refused) => refused.fmt(out),
            Refused::Templates(error) => error.fmt(out),
        }
    }
}

impl FileKind {
    /// The files of this kind, under names that no other file has.
    ///
    /// # Errors
    /// Labels or templates that cannot be printed as they are wanted.
    pub fn files(
        self,
        leaving: &Leaving<'_>,
        names: &mut FileNames,
    ) -> Result<Vec<NamedFile>, Refused> {
        let mut made = Files {
            names,
            files: Vec::new(),
        };
        match self {
            FileKind::Dxf => leaving.dxf(&mut made),
            FileKind::Csv => leaving.csv(&mut made),
            FileKind::Svg => leaving.svg(&mut made),
            FileKind::Pages => leaving.pages(&mut made),
            FileKind::Labels => leaving.labels(&mut made)?,
            FileKind::Templates => leaving.templates(&mut made)?,
        }
        Ok(made.files)
    }
}

/// The files of a kind while they are made.
struct Files<'a> {
    names: &'a mut FileNames,
    files: Vec<NamedFile>,
}

impl Files<'_> {
    fn add(&mut self, what: &str, which: &str, ending: &str, text: String) {
        let name = self.names.take(what, which, ending);
        self.files.push(NamedFile { name, text });
    }
}

impl Leaving<'_> {
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

    fn dxf(&self, made: &mut Files<'_>) {
        for layout in self.layouts() {
            let drawn = board_dxf(self.job, self.document, layout, self.steps);
            if let Some(drawn) = drawn {
                let label = board_label(self.job, &layout.board);
                made.add("board", &label, "dxf", drawn);
            }
        }
        // Of a panel the whole, not its staves: these are straight, and lie on the boards.
        let whole = self.job.parts.iter().filter(|part| part.stave.is_none());
        for part in whole.chain(self.job.panels.iter().map(|panel| &panel.part)) {
            let drawn = part_dxf(self.job, self.document, part);
            made.add("part", &part.name, "dxf", drawn);
        }
    }

    fn csv(&self, made: &mut Files<'_>) {
        let (job, plan, steps) = (self.job, self.plan, self.steps);
        for (name, list) in [
            ("boards", bare_board_list(job, plan)),
            ("parts", bare_part_list(job, plan)),
            ("cuts", bare_cut_list(job, plan, steps)),
            ("offcuts", bare_offcut_list(job, plan, steps)),
            ("still-to-find", bare_shopping_list(job, plan)),
        ] {
            made.add("list", name, "csv", write_csv(&list, self.separator));
        }
    }

    fn svg(&self, made: &mut Files<'_>) {
        let (job, plan, steps) = (self.job, self.plan, self.steps);
        let options = self.options(Theme::default());
        for layout in self.layouts() {
            if let Some(drawing) = board_svg(job, plan, &layout.board, steps, &options) {
                let label = board_label(job, &layout.board);
                made.add("board", &label, "svg", drawing.svg);
            }
        }
        let all = overview_svg(job, plan, steps, &options);
        made.add("all", "boards", "svg", all.svg);
    }

    fn pages(&self, made: &mut Files<'_>) {
        let options = self.options(Theme::Print);
        for page in sheets(self.job, self.plan, self.steps, self.paper, &options) {
            let name = page.name.trim_start_matches("sheet-");
            made.add("sheet", name, "svg", page.svg);
        }
    }

    fn labels(&self, made: &mut Files<'_>) -> Result<(), Refused> {
        let (job, plan, steps) = (self.job, self.plan, self.steps);
        let mut labels = part_labels(job, plan);
        labels.extend(panel_labels(job));
        labels.extend(offcut_labels(job, plan, steps, self.date));
        let pages = label_sheets(&labels, &self.labels, &job.units).map_err(Refused::Labels)?;
        for (number, page) in (1..).zip(pages) {
            made.add("label", &format!("sheet-{number}"), "svg", page.svg);
        }
        Ok(())
    }

    fn templates(&self, made: &mut Files<'_>) -> Result<(), Refused> {
        let print = TemplatePrint {
            paper: self.paper,
            overlap: self.overlap,
            date: self.date,
        };
        let mut templates = part_templates(self.job);
        templates.extend(layout_templates(self.job, self.plan, self.steps));
        for template in &templates {
            let sheets = template_sheets(template, &print).map_err(Refused::Templates)?;
            for page in sheets.pages {
                let name = page.name.trim_start_matches("template-");
                made.add("template", name, "svg", page.svg);
            }
        }
        Ok(())
    }
}
