//! Handier cuts for a layout that is found: the same blanks in the same places, sawn free in
//! fewer, safer cuts that share their settings.
//!
//! # What is looked for
//! The engines free blank after blank and never look back, so an end is trimmed off every strip
//! instead of off the board, a sliver is sawn off before a cut that would have taken it along,
//! and the saw with the thinnest kerf does everything. Here the whole tree of cuts of one board is
//! sought anew by branch and bound over the workpieces that cuts through its gaps and beside
//! its outermost blanks can leave. A cut costs one; a little more where it is set to a mark and
//! not by a fence or a stop that other blanks want as well, where the board is guided less
//! surely, and where a long board is ripped before it is crosscut. Large offcuts earn a little.
//! m blanks take m - 1 cuts between them, and one more for every side on which the wood goes
//! beyond the outermost: a floor under the cuts of a workpiece that prunes nearly everything.
//! The prices of inconvenience are judgement, common practice without a source.
//!
//! # What stays as it was
//! Frame and timber, and placements but for blanks that slide into the waste beside them
//! (`flush`). Nothing is taken that has more cuts, or that spoils the offcuts. Where
//! the steps run out the better cuts found so far lie in branches; the rest of the tree stays.
//! Every cut is asked for by the same rules as the engines' (`cuts::saw`), for the workpiece as it then is.
//!
//! | module | idea |
//! |---|---|
//! | `finder` | the workpieces of one board and what becomes of each |
//! | `price` | what cuts cost and offcuts earn, and a floor under both |
//! | `candidates` | the cuts that may be made next |
//! | `best` | branch and bound |
//! | `flush` | blanks that slide where that spares a cut |

mod best;
mod candidates;
mod finder;
mod flush;
mod price;

use heartside_timber::document::Aim;
use heartside_timber::job::{Board, Job};
use heartside_timber::plan::{Layout, Plan, Way};
use heartside_timber::score::{counted_offcut_areas, cuts_made};

use self::finder::{Finder, Offcuts};
use crate::cuts::ground::Ground;
use crate::cuts::saw::Saws;
use crate::cuts::workpiece::Workpiece;
use crate::objective::Choices;

/// Cuts looked at for one board. More find little on boards of a dozen blanks; fewer leave those as they were.
const STEPS: u32 = 1200;
/// Share of the sum of squares of the offcuts that may be lost for fewer cuts, where labour counts more.
const LOST_FOR_FEWER: f64 = 0.1;

/// Plans with handier cuts; what was made of a board's layout is kept for the next plan that has it.
#[derive(Debug, Clone, Default)]
pub(crate) struct Handier {
    known: Vec<(Layout, Layout)>,
}

impl Handier {
    /// The plan with handier cuts.
    pub(crate) fn plan(&mut self, job: &Job, plan: &Plan) -> Plan {
        let mut better = plan.clone();
        let mut known = Vec::with_capacity(plan.layouts.len());
        for layout in &mut better.layouts {
            let old = layout.clone();
            let before = self.known.iter().find(|(from, _)| *from == old);
            let made = before.map_or_else(|| with_handier_cuts(job, &old), |(_, to)| to.clone());
            layout.clone_from(&made);
            known.push((old, made));
        }
        self.known = known;
        better
    }
}

/// The layout with fewer, handier cuts at equal timber; as it was where none are found.
///
/// Bounded by a number of cuts looked at; the same layout gives the same answer.
pub fn with_handier_cuts(job: &Job, layout: &Layout) -> Layout {
    let board = job.board(&layout.board.board);
    let (Some(board), true, Way::Straight) = (board, Choices::of(job).furnishes, layout.way) else {
        return layout.clone();
    };
    // First as if offcuts hardly counted: few boards have one.
    let found = [Offcuts::Few, Offcuts::Kept]
        .into_iter()
        .filter_map(|offcuts| handier_layout(job, layout, offcuts))
        .find(|new| is_acceptable(job, board, layout, new));
    found.unwrap_or_else(|| layout.clone())
}

/// No more cuts and the offcuts as good, or fewer cuts and the offcuts nearly as good where they
/// count less: so the score is never worse.
fn is_acceptable(job: &Job, board: &Board, old: &Layout, new: &Layout) -> bool {
    let cuts = (cuts_made(old), cuts_made(new));
    let areas = [old, new].map(|l| counted_offcut_areas(job, board, l));
    let [old_sum, new_sum] = areas.each_ref().map(|a| a.iter().sum::<f64>());
    let [old_squares, new_squares] =
        areas.map(|a| a.iter().map(|a| (a * 1e-6) * (a * 1e-6)).sum::<f64>());
    let place = |aim: Aim| job.order.iter().position(|a| *a == aim);
    let offcuts_first = job.offcut_value > 0.0 || place(Aim::Offcuts) < place(Aim::Labour);
    let lost = if cuts.1 < cuts.0 && !offcuts_first {
        LOST_FOR_FEWER
    } else {
        0.0
    };
    cuts.1 <= cuts.0
        && new_squares >= (1.0 - lost) * old_squares
        && (job.offcut_value <= 0.0 || new_sum >= old_sum)
}

fn handier_layout(job: &Job, layout: &Layout, offcuts: Offcuts) -> Option<Layout> {
    let tree = layout.cuts.as_ref()?;
    let board = job.board_index(&layout.board.board)?;
    let lies_here = |part: usize| {
        let id = &job.parts[part].id;
        layout.placements.iter().any(|p| p.part == *id)
    };
    let ground = Ground::for_parts(job, board, layout.frame.angle, &lies_here);
    if ground.frame != layout.frame {
        return None;
    }
    let saws = Saws::of(job);
    let mut finder = Finder::new(job, &ground, &saws, layout, tree)?;
    let whole = Workpiece::whole(&ground);
    finder.offcuts = offcuts;
    let mut root = finder.branch_of(tree, 0, Some(whole))?;
    let mut placements = layout.placements.clone();
    let mut is_better = false;
    for _ in 0..2 {
        if let Some(new) = finder.improved(root, Some(whole), STEPS) {
            (root, is_better) = (new, true);
        }
        if !finder.slide(root, whole, &mut placements) {
            break;
        }
        is_better = true;
    }
    is_better.then(|| Layout {
        cuts: Some(finder.tree(root, whole)),
        placements,
        ..layout.clone()
    })
}
