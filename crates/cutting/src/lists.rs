//! Cut list, part list, offcut list and what must still be bought.

use heartside_geometry::Bounds;
use heartside_timber::blank::Blank;
use heartside_timber::document::Faces;
use heartside_timber::job::{GrainRule, Job, Part, PartCut};
use heartside_timber::length::{write_decimal, write_dimension, write_length};
use heartside_timber::plan::{Plan, Unplaced, UnplacedReason};
use heartside_timber::words::counted;

use crate::brief::set_up_count;
use crate::finished::finished_size;
use crate::naming::{board_label, copies_words};
use crate::step::{Becomes, Setting, Step};
use crate::table::Table;
use crate::waiting::waiting;

/// The cuts in order: number, board, what is cut, how, with what, what it gives. The title
/// tells how many cuts and set-ups they are.
pub fn cut_list(job: &Job, steps: &[Step]) -> Table {
    let set_ups = set_up_count(steps);
    let title = format!(
        "{}, {}",
        counted(steps.len(), "cut", "cuts"),
        counted(set_ups, "set-up", "set-ups")
    );
    let mut table = Table::new(
        &title,
        &[
            "#no.",
            "board",
            "cut",
            "workpiece",
            "setting",
            "tool",
            "gives",
        ],
    );
    for step in steps {
        let gives: Vec<String> = step
            .yields
            .iter()
            .map(|y| match &y.becomes {
                Becomes::Region { parts } => {
                    format!("{} ({})", y.name, copies_words(job, parts))
                }
                _ => y.name.clone(),
            })
            .collect();
        table.rows.push(vec![
            step.number.to_string(),
            board_label(job, &step.board),
            step.action.words().to_owned(),
            step.workpiece.clone(),
            step.setting
                .as_ref()
                .map_or_else(|| "by the drawn line".into(), setting_words),
            step.tool.clone(),
            gives.join(", "),
        ]);
    }
    table
}

/// What is set: "fence 106 mm, its right edge against it", or where to mark.
fn setting_words(setting: &Setting) -> String {
    let (shown, from) = (&setting.shown, &setting.from);
    match (setting.by_fence, setting.by_stop, setting.kept_from) {
        (true, _, Some(_)) => format!("fence {shown}, {from} against it, waste between"),
        (true, ..) => format!("fence {shown}, {from} against it"),
        (_, true, _) => format!("stop {shown}, {from} against it"),
        _ => setting.words.clone(),
    }
}

/// The parts of one board, or of the whole plan: where each lies and how large it is.
pub fn part_list(job: &Job, plan: &Plan, layout: Option<usize>) -> Table {
    let headings = [
        "part", "board", "finished", "#thick", "blank", "lies", "how",
    ];
    let mut table = Table::new("Parts", &headings);
    for (place, board_layout) in plan.layouts.iter().enumerate() {
        if layout.is_some_and(|only| only != place) {
            continue;
        }
        let label = board_label(job, &board_layout.board);
        let datum = job
            .board(&board_layout.board.board)
            .map(crate::datum::Datum::of);
        for placement in &board_layout.placements {
            let Some(part) = job.part(&placement.part) else {
                continue;
            };
            let blank = Blank::of(part);
            let bounds = placement
                .pose()
                .apply_region(&blank.core)
                .bounds()
                .grown(blank.radius);
            let lies = datum.as_ref().map_or_else(String::new, |d| {
                let units = &job.units;
                let across = [bounds.min, bounds.max].map(|p| d.across_at(p));
                format!(
                    "{} to {} along, {} to {} across",
                    write_dimension(d.along(bounds.min), units),
                    write_dimension(d.along(bounds.max), units),
                    write_dimension(across[0].min(across[1]), units),
                    write_dimension(across[0].max(across[1]), units)
                )
            });
            table.rows.push(vec![
                part.copy_name(placement.copy),
                label.clone(),
                finished_size(job, part),
                write_dimension(part.thickness, &job.units),
                size(job, blank.bounds()),
                lies,
                how_words(part, placement.at.turned_over),
            ]);
        }
    }
    table
}

/// How a part is cut and lies: "straight, grain along", "by line, turned over".
fn how_words(part: &Part, turned_over: bool) -> String {
    let mut words = vec![match part.cut {
        PartCut::Straight => "straight",
        PartCut::Sawn => "by line",
    }];
    match &part.grain {
        GrainRule::Axis { across: true, .. } => words.push("grain across"),
        GrainRule::Axis { .. } => words.push("grain along"),
        GrainRule::Any | GrainRule::Turns(_) => {}
    }
    match part.faces {
        Faces::Both => words.push("both faces seen"),
        Faces::One => words.push("one face seen"),
        Faces::Painted => words.push("painted"),
        Faces::Hidden => {}
    }
    if turned_over {
        words.push("turned over");
    }
    words.join(", ")
}

/// Offcuts worth keeping, in the order they come off.
pub fn offcut_list(job: &Job, steps: &[Step]) -> Table {
    let mut table = Table::new(
        "Offcuts",
        &[
            "offcut", "board", "size", "#thick", "species", "from cut", "holds",
        ],
    );
    for step in steps {
        let board = job.board(&step.board.board);
        for offcut in step.yields.iter().filter(|y| y.becomes == Becomes::Offcut) {
            table.rows.push(vec![
                offcut.name.clone(),
                board_label(job, &step.board),
                offcut.size.clone(),
                board
                    .map(|b| write_dimension(b.thickness, &job.units))
                    .unwrap_or_default(),
                board.map(|b| b.species.clone()).unwrap_or_default(),
                step.number.to_string(),
                offcut.holds.join(", "),
            ]);
        }
    }
    table
}

/// What found no place: how many, why, and the least board that would take one. Staves of one panel
/// are one row.
pub fn shopping_list(job: &Job, plan: &Plan) -> Table {
    let mut table = Table::new(
        "Still to find",
        &[
            "part",
            "#pieces",
            "finished",
            "why",
            "least board that takes one",
        ],
    );
    for row in waiting(job, plan) {
        table.rows.push(vec![
            row.name.clone(),
            row.pieces().to_string(),
            row.finished(job),
            reason_words(job, row.of[0]),
            least_board_words(job, row.least()),
        ]);
    }
    table
}

/// The least board that would take one copy: "810 × 66 × 32 mm"; empty where none is known.
pub fn least_board_words(job: &Job, unplaced: &Unplaced) -> String {
    unplaced
        .least_board
        .map_or_else(String::new, |[length, width, thickness]| {
            let show = |mm: f64| write_dimension(mm, &job.units);
            format!(
                "{} × {} × {}",
                show(length),
                show(width),
                write_length(thickness, &job.units)
            )
        })
}

/// Why a part found no place, in a maker's words.
pub fn reason_words(job: &Job, unplaced: &Unplaced) -> String {
    let why = cause_words(unplaced.reason);
    match &unplaced.longest {
        Some(longest) => format!(
            "{why}; the longest run of these parts that any board gives is {}, from board {}",
            write_length(longest.length, &job.units),
            board_label(job, &longest.board)
        ),
        None => why.to_owned(),
    }
}

fn cause_words(reason: UnplacedReason) -> &'static str {
    match reason {
        UnplacedReason::NoRoom => "no room found on the boards that could take it",
        UnplacedReason::Species => "no board of a species it accepts",
        UnplacedReason::Thickness => "no board is thick enough once flat",
        UnplacedReason::Length => "no board is long enough along its grain",
        UnplacedReason::Width => "no board that is long enough is wide enough",
        UnplacedReason::Grain => "the grain runs too far out of line on every board large enough",
        UnplacedReason::Zones => "flaws or old fixings are in the way on every board large enough",
        UnplacedReason::Tools => "no tool of the workshop can make the cuts",
        UnplacedReason::Order => {
            "there is wood for it, but no order of cuts was found that frees it"
        }
        UnplacedReason::NoBoards => "there is no board that may be used",
        UnplacedReason::PartNotSound => "the part itself has a problem to be mended first",
        UnplacedReason::NotTried => "not looked at yet",
    }
}

fn size(job: &Job, bounds: Bounds) -> String {
    format!(
        "{} × {}",
        write_dimension(bounds.width(), &job.units),
        write_dimension(bounds.height(), &job.units)
    )
}

/// Kilograms as a bare number with one decimal, for lists.
pub fn kilograms(kg: f64) -> String {
    write_decimal(kg, 1)
}
