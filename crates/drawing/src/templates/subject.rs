//! What a template shows: lines at full size and the parts that they bound.

use heartside_cutting::{Action, Step, board_label, board_words, finished_size};
use heartside_geometry::{Bounds, Point, Pose, Region, offset};
use heartside_timber::blank::Blank;
use heartside_timber::document::{Faces, PartCut};
use heartside_timber::job::{GrainRule, Job, Part};
use heartside_timber::length::write_length;
use heartside_timber::plan::{Layout, Plan, Way};

use crate::laid::Laid;
use crate::svg::safe_file_name;

/// What a line of a template is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum LineOf {
    /// The finished outline of a part.
    Finished,
    /// The outline of a board.
    Board,
    /// What is sawn along: the blank.
    Blank,
    /// The shoulder of a tenon.
    Shoulder,
    /// A marked area of a board.
    Zone,
    /// A straight cut that breaks the board down first.
    Cut,
}

/// Lines that belong together, each an open chain; a ring ends where it began. y down, in millimetres.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Lines {
    pub(crate) of: LineOf,
    pub(crate) chain: Vec<Point>,
}

/// A part that is inscribed. y down.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Inscribed {
    pub(crate) name: String,
    pub(crate) size: String,
    pub(crate) region: Region,
    /// Direction of its grain, y up.
    pub(crate) grain: Option<Point>,
    pub(crate) seen: (bool, bool),
}

/// What is drawn at full size.
#[derive(Debug, Clone, PartialEq)]
pub struct Template {
    /// A file name without ending, in safe letters.
    pub name: String,
    /// "Bracket", "Board D".
    pub title: String,
    /// What else is said of it.
    pub facts: Vec<String>,
    pub(crate) lines: Vec<Lines>,
    pub(crate) parts: Vec<Inscribed>,
}

/// The frame of wood has y up, that of paper y down.
const ONTO_PAPER: Pose = Pose {
    x: 0.0,
    y: 0.0,
    turn: 0.0,
    turned_over: true,
};

impl Template {
    fn add_region(&mut self, of: LineOf, region: &Region) {
        for ring in region.rings() {
            let mut chain: Vec<Point> = ring.points().to_vec();
            chain.extend(ring.points().first().copied());
            self.add_chain(of, chain);
        }
    }

    fn add_chain(&mut self, of: LineOf, chain: Vec<Point>) {
        let chain = chain.into_iter().map(|p| ONTO_PAPER.apply(p)).collect();
        self.lines.push(Lines { of, chain });
    }

    /// The least box round all its lines; none without any.
    pub(crate) fn bounds(&self) -> Option<Bounds> {
        Bounds::of_points(self.lines.iter().flat_map(|l| l.chain.iter().copied()))
    }
}

/// A template for each part, glued panels among them, whose outline is no rectangle; one for all its copies.
///
/// A part is drawn as its seen face shows it. Where it is sawn by line its blank is drawn round it.
pub fn part_templates(job: &Job) -> Vec<Template> {
    let panels = job.panels.iter().map(|panel| &panel.part);
    let parts = job.parts.iter().filter(|p| p.stave.is_none());
    parts
        .chain(panels)
        .filter(|part| !is_rectangle(&part.outline))
        .map(|part| of_part(job, part))
        .collect()
}

fn is_rectangle(region: &Region) -> bool {
    let whole = region.bounds().area();
    (whole - region.area()).abs() <= 1e-6 * whole
}

fn of_part(job: &Job, part: &Part) -> Template {
    let size = finished_size(job, part);
    let seen = match part.faces {
        Faces::Both => (true, true),
        Faces::One => (true, false),
        Faces::Hidden | Faces::Painted => (false, false),
    };
    let name = match part.name.trim() {
        "" => part.id.clone(),
        name => name.to_owned(),
    };
    let mut template = Template {
        name: format!("template-part-{}", safe_file_name(&part.id)),
        title: name.clone(),
        facts: vec![
            size.clone(),
            format!("{} thick", write_length(part.thickness, &job.units)),
            format!("{} wanted", part.count),
        ],
        lines: Vec::new(),
        parts: Vec::new(),
    };
    if part.faces == Faces::One {
        template
            .facts
            .push("drawn as its seen face shows it".into());
    }
    template.add_region(LineOf::Finished, &part.outline);
    if part.cut == PartCut::Sawn {
        let blank = Blank::of(part);
        for region in offset(&blank.core, blank.radius, 0.05) {
            template.add_region(LineOf::Blank, &region);
        }
    }
    let bounds = part.outline.bounds();
    let (start, end) = part.tenon;
    let shoulders = [(start, bounds.min.x + start), (end, bounds.max.x - end)];
    for (_, x) in shoulders.into_iter().filter(|(long, _)| *long > 0.0) {
        let ends = [bounds.min.y, bounds.max.y].map(|y| Point { x, y });
        template.add_chain(LineOf::Shoulder, ends.to_vec());
    }
    let grain = match part.grain {
        GrainRule::Axis { across: true, .. } => Some(Point { x: 0.0, y: 1.0 }),
        GrainRule::Axis { .. } => Some(Point { x: 1.0, y: 0.0 }),
        GrainRule::Any | GrainRule::Turns(_) => None,
    };
    template.parts.push(Inscribed {
        name,
        size,
        region: ONTO_PAPER.apply_region(&part.outline),
        grain,
        seen,
    });
    template
}

/// A template for each board that is sawn by line: its outline, marked areas, straight cuts that come first, and
/// all parts with their blanks, as its up face shows them.
pub fn layout_templates(job: &Job, plan: &Plan, steps: &[Step]) -> Vec<Template> {
    plan.layouts
        .iter()
        .enumerate()
        .filter(|(_, layout)| layout.way == Way::Sawn && !layout.placements.is_empty())
        .filter_map(|(place, layout)| of_layout(job, layout, place, steps))
        .collect()
}

fn of_layout(job: &Job, layout: &Layout, place: usize, steps: &[Step]) -> Option<Template> {
    let board = job.board(&layout.board.board)?;
    let label = board_label(job, &layout.board);
    let mut template = Template {
        name: format!("template-board-{}", safe_file_name(&label)),
        title: heartside_timber::words::capital(&board_words(job, &layout.board)),
        facts: vec![
            format!("{} thick", write_length(board.thickness, &job.units)),
            "drawn as its up face shows it".into(),
        ],
        lines: Vec::new(),
        parts: Vec::new(),
    };
    template.add_region(LineOf::Board, &board.outline);
    for zone in &board.zones {
        template.add_region(LineOf::Zone, &zone.shape);
    }
    for step in steps.iter().filter(|s| s.layout == place) {
        if !matches!(step.action, Action::SawByLine | Action::Resaw) && step.line[0] != step.line[1]
        {
            template.add_chain(LineOf::Cut, step.line.to_vec());
        }
    }
    for placement in &layout.placements {
        let Some(laid) = Laid::of(job, placement, false).filter(|laid| !laid.is_beneath) else {
            continue;
        };
        template.add_region(LineOf::Finished, &laid.finished);
        for region in &laid.blank {
            template.add_region(LineOf::Blank, region);
        }
        for (a, b) in &laid.shoulders {
            template.add_chain(LineOf::Shoulder, vec![*a, *b]);
        }
        template.parts.push(Inscribed {
            name: laid.name.clone(),
            size: laid.size.clone(),
            region: ONTO_PAPER.apply_region(&laid.finished),
            grain: laid.grain,
            seen: laid.seen,
        });
    }
    Some(template)
}
