//! Lists for spreadsheets: one bare value a cell, one unit a column, the unit in the heading.
//!
//! The lists of `lists.rs` are read by people at the bench; these are reckoned with. Numbers have decimal
//! points and no unit: millimetres to the hundredth, inches to the ten-thousandth.

use heartside_geometry::Bounds;
use heartside_timber::blank::Blank;
use heartside_timber::document::{BoardCopy, Faces, PartCopy};
use heartside_timber::job::{GrainRule, Job, PartCut, Use};
use heartside_timber::length::{Unit, write_decimal};
use heartside_timber::measure::{board_feet, cubic_metres};
use heartside_timber::plan::{Layout, Plan};

use crate::datum::Datum;
use crate::lists::reason_words;
use crate::naming::board_label;
use crate::step::{Becomes, Step};
use crate::table::Table;
use crate::workpiece::Workpieces;

/// How a job's measures stand in bare cells.
struct Bare<'a> {
    job: &'a Job,
}

impl Bare<'_> {
    fn is_metric(&self) -> bool {
        self.job.units.unit == Unit::Millimetres
    }

    /// An empty list; `#mm:` before a heading names a column of lengths, `#` one of other numbers.
    fn table(&self, title: &str, headings: &[&str]) -> Table {
        let unit = if self.is_metric() { "mm" } else { "in" };
        let headings: Vec<String> = headings
            .iter()
            .map(|heading| match heading.strip_prefix("#mm:") {
                Some(length) => format!("#{length} ({unit})"),
                None => (*heading).to_owned(),
            })
            .collect();
        let headings: Vec<&str> = headings.iter().map(String::as_str).collect();
        Table::new(title, &headings)
    }

    fn length(&self, mm: f64) -> String {
        let places = if self.is_metric() { 2 } else { 4 };
        // What is not known is an empty cell, never a word among numbers.
        if !mm.is_finite() {
            return String::new();
        }
        write_decimal(mm / self.job.units.unit.millimetres(), places)
    }

    fn size(&self, bounds: Bounds) -> [String; 2] {
        [self.length(bounds.width()), self.length(bounds.height())]
    }

    fn thickness_of(&self, board: &BoardCopy) -> String {
        let board = self.job.board(&board.board);
        board.map_or_else(String::new, |board| self.length(board.thickness))
    }
}

fn yes(claim: bool) -> String {
    if claim { "yes" } else { "no" }.to_owned()
}

/// The boards and pieces that lie there, those in hand aside: a row each, alike ones together.
pub fn bare_board_list(job: &Job, plan: &Plan) -> Table {
    let bare = Bare { job };
    let volume = match bare.is_metric() {
        true => "#volume of one (m³)",
        false => "#volume of one (board feet)",
    };
    let price = match (job.cost_is_volume, job.currency.trim()) {
        (true, _) => "#price of one".to_owned(),
        (false, "") => "#price of one (no currency)".to_owned(),
        (false, sign) => format!("#price of one ({sign})"),
    };
    let mut table = bare.table(
        "Boards",
        &[
            "board",
            "name",
            "species",
            "#how many",
            "#cut in this plan",
            "#mm:length",
            "#mm:greatest width",
            "#mm:thickness",
            volume,
            &price,
            "use",
        ],
    );
    for board in job.boards.iter().filter(|b| !b.is_in_hand()) {
        let here = |l: &&Layout| l.board.board == board.id && !l.placements.is_empty();
        let [length, width] = bare.size(board.outline.bounds());
        let volume = match bare.is_metric() {
            true => write_decimal(cubic_metres(board.volume()), 5),
            false => write_decimal(board_feet(board.volume()), 2),
        };
        let is_priced = !(job.cost_is_volume || board.cost_is_estimate);
        let price = is_priced.then(|| write_decimal(board.cost, 2));
        table.rows.push(vec![
            board.id.clone(),
            board.name.clone(),
            board.species.clone(),
            board.left().to_string(),
            plan.layouts.iter().filter(here).count().to_string(),
            length,
            width,
            bare.length(board.thickness),
            volume,
            price.unwrap_or_default(),
            match board.usage {
                Use::Freely => "freely",
                Use::IfNeeded => "only if needed",
                Use::First => "before the others",
                Use::Leave => "not at all",
            }
            .to_owned(),
        ]);
    }
    table
}

/// The parts of a plan, a row for each copy that has a place: sizes, and where its blank lies from the
/// board's end and edge or chalk line.
pub fn bare_part_list(job: &Job, plan: &Plan) -> Table {
    let bare = Bare { job };
    let mut table = bare.table(
        "Parts",
        &[
            "part",
            "#copy",
            "board",
            "#mm:finished length",
            "#mm:finished width",
            "#mm:finished thickness",
            "#mm:blank length",
            "#mm:blank width",
            "#mm:along from",
            "#mm:along to",
            "#mm:across from",
            "#mm:across to",
            "#turn (degrees)",
            "turned over",
            "grain",
            "seen faces",
            "cut",
        ],
    );
    for layout in &plan.layouts {
        let label = board_label(job, &layout.board);
        let datum = job.board(&layout.board.board).map(Datum::of);
        for placement in &layout.placements {
            let Some(part) = job.part(&placement.part) else {
                continue;
            };
            let blank = Blank::of(part);
            let pose = placement.pose();
            let lies = pose.apply_region(&blank.core).bounds().grown(blank.radius);
            let lies = datum.as_ref().map_or(Default::default(), |d| {
                let across = [lies.min, lies.max].map(|p| d.across_at(p));
                [
                    d.along(lies.min),
                    d.along(lies.max),
                    across[0].min(across[1]),
                    across[0].max(across[1]),
                ]
                .map(|mm| bare.length(mm))
            });
            let mut row = vec![
                part.name.clone(),
                placement.copy.to_string(),
                label.clone(),
                bare.length(part.length()),
                bare.length(part.width()),
                bare.length(part.thickness),
            ];
            row.extend(bare.size(blank.bounds()));
            row.extend(lies);
            row.extend([
                write_decimal(placement.at.turn, 3),
                yes(placement.at.turned_over),
                match part.grain {
                    GrainRule::Axis { across: true, .. } => "across",
                    GrainRule::Axis { .. } => "along",
                    GrainRule::Any => "any",
                    GrainRule::Turns(_) => "as turned",
                }
                .to_owned(),
                match part.faces {
                    Faces::Both => "both",
                    Faces::One => "one",
                    Faces::Hidden => "none",
                    Faces::Painted => "painted",
                }
                .to_owned(),
                match part.cut {
                    PartCut::Straight => "straight",
                    PartCut::Sawn => "by line",
                }
                .to_owned(),
            ]);
            table.rows.push(row);
        }
    }
    table
}

/// The cuts in their order: what is cut, how large it is before, what is set and from where.
pub fn bare_cut_list(job: &Job, plan: &Plan, steps: &[Step]) -> Table {
    let bare = Bare { job };
    let pieces = pieces_of(job, plan);
    let mut table = bare.table(
        "Cuts",
        &[
            "#number",
            "board",
            "cut",
            "workpiece",
            "#mm:its length",
            "#mm:its width",
            "tool",
            "set by",
            "#mm:set to",
            "measured from",
            "#mm:length of cut",
            "gives",
        ],
    );
    for step in steps {
        let setting = step.setting.as_ref();
        let [length, width] = extent(&pieces, step.layout, step.node)
            .map_or_else(Default::default, |extent| bare.size(extent));
        let gives: Vec<&str> = step.yields.iter().map(|y| y.name.as_str()).collect();
        let set_by = setting.map_or("a drawn line", |s| match (s.by_fence, s.by_stop) {
            (true, _) => "fence",
            (_, true) => "stop",
            _ => "mark",
        });
        table.rows.push(vec![
            step.number.to_string(),
            board_label(job, &step.board),
            step.action.words().to_owned(),
            step.workpiece.clone(),
            length,
            width,
            step.tool.clone(),
            set_by.to_owned(),
            setting.map_or_else(String::new, |s| bare.length(s.distance)),
            setting.map_or_else(String::new, |s| s.from.clone()),
            bare.length(step.sawn_length),
            gives.join(", "),
        ]);
    }
    table
}

/// Offcuts worth keeping, in the order they come off.
pub fn bare_offcut_list(job: &Job, plan: &Plan, steps: &[Step]) -> Table {
    let bare = Bare { job };
    let pieces = pieces_of(job, plan);
    let mut table = bare.table(
        "Offcuts",
        &[
            "offcut",
            "board",
            "species",
            "#mm:length",
            "#mm:width",
            "#mm:thickness",
            "#from cut",
            "holds",
        ],
    );
    for step in steps {
        let species = job.board(&step.board.board).map(|b| b.species.clone());
        for offcut in step.yields.iter().filter(|y| y.becomes == Becomes::Offcut) {
            let [length, width] = extent(&pieces, step.layout, offcut.node)
                .map_or_else(Default::default, |extent| bare.size(extent));
            table.rows.push(vec![
                offcut.name.clone(),
                board_label(job, &step.board),
                species.clone().unwrap_or_default(),
                length,
                width,
                bare.thickness_of(&step.board),
                step.number.to_string(),
                offcut.holds.join(", "),
            ]);
        }
    }
    table
}

/// What found no place, a row for each part or stave: how many, why, and the least board that would take
/// one, where that is known.
pub fn bare_shopping_list(job: &Job, plan: &Plan) -> Table {
    let bare = Bare { job };
    let mut table = bare.table(
        "Still to find",
        &[
            "part",
            "#pieces",
            "#mm:finished length",
            "#mm:finished width",
            "#mm:finished thickness",
            "species",
            "why",
            "#mm:least board length",
            "#mm:least board width",
            "#mm:least board thickness",
        ],
    );
    for unplaced in plan.unplaced.iter().filter(|u| !u.copies.is_empty()) {
        let part = job.part(&unplaced.part);
        let size = part.map_or_else(Default::default, |p| {
            [p.length(), p.width(), p.thickness].map(|mm| bare.length(mm))
        });
        // A stave of a plan may be one that its panel has no more.
        let copy = PartCopy {
            part: unplaced.part.clone(),
            copy: unplaced.copies[0],
        };
        let name = part.map(|p| p.name.clone()).or_else(|| job.name_of(&copy));
        let least = unplaced.least_board.map(|b| b.map(|mm| bare.length(mm)));
        let mut row = vec![
            name.unwrap_or_else(|| unplaced.part.clone()),
            unplaced.copies.len().to_string(),
        ];
        row.extend(size);
        row.push(part.map_or_else(String::new, |p| p.species.join(", ")));
        row.push(reason_words(job, unplaced));
        row.extend(least.unwrap_or_default());
        table.rows.push(row);
    }
    table
}

/// The workpieces of every layout that is cut.
fn pieces_of(job: &Job, plan: &Plan) -> Vec<Option<Workpieces>> {
    let of = |layout: &Layout| {
        let (board, tree) = (job.board(&layout.board.board)?, layout.cuts.as_ref()?);
        Some(Workpieces::of(job, board, layout, tree))
    };
    plan.layouts.iter().map(of).collect()
}

/// How large the piece of a node is in the frame that it is cut in.
fn extent(pieces: &[Option<Workpieces>], layout: usize, node: Option<usize>) -> Option<Bounds> {
    let piece = pieces.get(layout)?.as_ref()?.get(node?)?;
    Some(piece.extent)
}
