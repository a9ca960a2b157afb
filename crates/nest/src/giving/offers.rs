//! What boards give of staves, in any frame and either face up, beside what lies there.

use heartside_geometry::{Bounds, Point, Region};
use heartside_timber::blank::greatest_finished_thickness;
use heartside_timber::choices::{Held, PanelChoice};
use heartside_timber::document::Cuts;
use heartside_timber::job::{Job, Panel, Part};
use heartside_timber::plan::{Layout, Placement};

use super::choosing::{Copy, Given};
use super::lanes::{Asked, Wood, tenth_down, tenth_up};
use crate::cuts::frames::frame_angles;
use crate::cuts::ground::Ground;
use crate::fit::{grain_allows, same_turn};

/// The staves of all panels with those of one as given.
pub(super) fn with_copies(job: &Job, place: usize, own: &[PanelChoice]) -> Vec<PanelChoice> {
    let panels = job.panels.iter().enumerate();
    let copies = panels.flat_map(|(k, other)| if k == place { own } else { &other.copies });
    copies.cloned().collect()
}

pub(super) fn of_panel(job: &Job, place: usize, part: &str) -> bool {
    let stave = job.part(part).and_then(|p| p.stave.as_ref());
    stave.is_some_and(|s| s.panel == place)
}

/// The job with a piece like one of its parts, but of this length and width, as its last part.
pub(super) fn with_sample(job: &Job, like: &Part, (length, width): (f64, f64)) -> Option<Job> {
    let bounds = Bounds {
        min: Point { x: 0.0, y: 0.0 },
        max: Point {
            x: length,
            y: width,
        },
    };
    let sample = Part {
        outline: Region::rectangle(bounds)?,
        ..like.clone()
    };
    let mut job = job.clone();
    job.parts.push(sample);
    Some(job)
}

/// What one copy wants besides the staves that stay as they are: in hand, or pinned.
pub(super) fn wants(job: &Job, panel: &Panel, copy: &PanelChoice) -> Copy {
    let (mut held, mut kept) = (Held::new(), Vec::new());
    for stave in &copy.staves {
        let mut is_kept = false;
        for (piece, id) in stave.piece_numbers().zip(stave.ids(&copy.panel)) {
            let part = job.part(&id);
            if let Some(part) = part.filter(|p| !p.in_hand.is_empty()) {
                held.insert((stave.number, piece), (stave.width, part.length()));
                is_kept = true;
            }
            is_kept |= job.pins.iter().any(|pin| pin.part.part == id);
        }
        if is_kept {
            kept.push(stave.clone());
        }
    }
    let there: f64 = kept.iter().map(|s| s.width - panel.joint).sum();
    Copy {
        need: (panel.width - panel.joint - there).max(0.0),
        most: (panel.max_count as usize).saturating_sub(kept.len()),
        held,
        kept,
    }
}

/// The widths that staves of one width may have where so much is missing, the widest first.
pub(super) fn equal_widths(panel: &Panel, need: f64) -> Vec<f64> {
    let all = (1..=panel.max_count).map(|n| tenth_up(need / f64::from(n) + panel.joint));
    all.filter(|w| (panel.widths.0..=panel.widths.1).contains(w))
        .collect()
}

/// What is asked of a board; none where no tool can saw staves from it.
pub(super) fn asked(
    job: &Job,
    panel: &Panel,
    stave: &Part,
    board: usize,
    (least, most): (f64, f64),
) -> Option<Asked> {
    let thickness = job.boards[board].thickness;
    let kerf = |rips: bool| {
        let tools = job.workshop.tools.iter().filter(|t| !t.trues);
        let able = tools.filter(|t| if rips { t.rips } else { t.crosscuts });
        able.map(|t| t.kerf).fold(f64::INFINITY, f64::min)
    };
    let kerf = match job.boards[board].cuts {
        Cuts::Sawn if job.workshop.can_saw_by_line(thickness) => {
            let line = job.workshop.sawn_kerf_for(thickness);
            (line, line)
        }
        Cuts::Sawn => return None,
        _ => (kerf(true), kerf(false)),
    };
    let long = stave.length() + 2.0 * stave.allowances.end;
    let most = tenth_down(thick_enough(job, board, stave, long, most));
    let wanted = panel.max_count * panel.part.count;
    (kerf.0.is_finite() && kerf.1.is_finite() && most >= least).then_some(Asked {
        long,
        widths: (least, most),
        edges: 2.0 * stave.allowances.edge,
        joint: panel.joint,
        most: wanted as usize,
        kerf,
    })
}

/// What lies on a board already.
#[derive(Default)]
pub(super) struct Beside<'a> {
    /// The angle of its frame; any where nothing lies there.
    pub(super) angle: Option<f64>,
    pub(super) placements: &'a [Placement],
    /// Blanks that were proposed, in the frame.
    pub(super) blanks: Vec<Bounds>,
}

impl<'a> Beside<'a> {
    pub(super) fn of(layout: &'a Layout) -> Beside<'a> {
        Beside {
            angle: Some(layout.frame.angle),
            placements: &layout.placements,
            blanks: Vec::new(),
        }
    }
}

/// What a board gives for each number of staves, in any frame and either face up; beside what lies
/// there in the frame of that.
pub(super) fn on_board(
    job: &Job,
    (part, board): (usize, usize),
    asked: Asked,
    beside: &Beside<'_>,
) -> Vec<Given> {
    let angles = match beside.angle {
        Some(angle) => vec![angle],
        None => frame_angles(job, board),
    };
    let mut all: Vec<Given> = Vec::new();
    for angle in angles {
        if !grain_allows(&job.boards[board], &job.parts[part], angle) {
            continue;
        }
        let ground = Ground::for_parts(job, board, angle, &|p| p == part);
        let placements = beside.placements.iter();
        let others: Option<Vec<Bounds>> = placements
            .map(|p| ground.rect_of(job.part(&p.part)?, &p.at))
            .collect();
        let Some(mut others) = others else { continue };
        others.extend(&beside.blanks);
        let fits = ground.fits[part].iter();
        for fit in fits.filter(|fit| same_turn(fit.turn, angle)) {
            let wood = Wood::new(&ground, fit.class, &others, asked, job.tolerance.extra);
            for (count, (sum, lanes)) in wood.gives().into_iter().enumerate() {
                let given = Given {
                    sum,
                    lanes,
                    way: (angle, fit.turned_over),
                };
                match all.get_mut(count) {
                    Some(known) if known.sum >= given.sum => {}
                    Some(known) => *known = given,
                    None => all.push(given),
                }
            }
        }
    }
    all
}

/// The widest stave for which the board is thick enough once flat, at most `most`.
fn thick_enough(job: &Job, board: usize, stave: &Part, long: f64, most: f64) -> f64 {
    let board = &job.boards[board];
    let edges = 2.0 * stave.allowances.edge;
    let fits = |width: f64| {
        greatest_finished_thickness(board, &stave.allowances, long, width + edges)
            >= stave.thickness
    };
    let (mut low, mut high) = (0.0, most.min(board.outline.bounds().height()));
    if fits(high) {
        return high;
    }
    for _ in 0..20 {
        let middle = (low + high) / 2.0;
        if fits(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    low
}
