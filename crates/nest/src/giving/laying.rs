//! Staves laid where they were proposed, each board with an order of cuts.

use heartside_geometry::Arrange;
use heartside_timber::choices::PanelChoice;
use heartside_timber::document::{BoardCopy, Cuts, ZoneKind};
use heartside_timber::job::Job;
use heartside_timber::plan::{Layout, Placement, Way};

use super::lanes::Lane;
use crate::cuts::ground::Ground;
use crate::straight::tree_for::{TreeResult, tree_for};
use crate::task::Stock;

/// Cuts looked at for the order of cuts of one board.
const TREE_STEPS: u64 = 4_000;

/// Staves for all panels, and where those of one panel lie.
pub(super) struct Proposal {
    pub(super) panels: Vec<PanelChoice>,
    pub(super) lying: Vec<Lying>,
    /// What else lies on these boards stays there.
    pub(super) is_beside: bool,
}

/// Where a stave lies.
pub(super) struct Lying {
    pub(super) stave: String,
    pub(super) stock: Stock,
    pub(super) lane: Lane,
    pub(super) way: (f64, bool),
}

/// The layouts with the staves of a proposal, each board with an order of cuts. A board for which none
/// is found stays as it is.
pub(super) fn laid(job: &Job, mut layouts: Vec<Layout>, proposal: &Proposal) -> Vec<Layout> {
    let mut boards: Vec<Stock> = proposal.lying.iter().map(|l| l.stock).collect();
    boards.arrange();
    boards.dedup();
    for stock in boards {
        let board = BoardCopy {
            board: job.boards[stock.board].id.clone(),
            copy: stock.copy,
        };
        let place = layouts.iter().position(|l| l.board == board);
        let there = place.map(|k| &layouts[k]).filter(|_| proposal.is_beside);
        let mut placements = there.map_or_else(Vec::new, |l| l.placements.clone());
        let lying = proposal.lying.iter().filter(|l| l.stock == stock);
        placements.extend(lying.filter_map(|lying| placement(job, lying)));
        let Some(layout) = cut_apart(job, stock, board, placements) else {
            continue;
        };
        match place {
            Some(place) => layouts[place] = layout,
            None => layouts.push(layout),
        }
    }
    layouts
}

fn placement(job: &Job, lying: &Lying) -> Option<Placement> {
    let part = job.part(&lying.stave)?;
    let (angle, turned_over) = lying.way;
    let ground = Ground::for_parts(job, lying.stock.board, angle, &|_| false);
    let fit = ground.fit(part, 0.0, angle, turned_over, 0);
    let (at, _) = ground.settle(&fit, lying.lane.x, lying.lane.y);
    Some(Placement {
        part: part.id.clone(),
        copy: 1,
        at,
        ..Placement::default()
    })
}

fn cut_apart(
    job: &Job,
    stock: Stock,
    board: BoardCopy,
    placements: Vec<Placement>,
) -> Option<Layout> {
    let source = &job.boards[stock.board];
    if source.cuts == Cuts::Sawn {
        // Lines stay clear of fixings by their own kerf, which lanes know nothing of.
        let has_fixing = source.zones.iter().any(|z| z.kind == ZoneKind::Fixing);
        return (!has_fixing).then_some(Layout {
            board,
            way: Way::Sawn,
            frame: Default::default(),
            placements,
            cuts: None,
        });
    }
    match tree_for(job, stock.board, &placements, TREE_STEPS) {
        TreeResult::Tree(tree, frame) => Some(Layout {
            board,
            way: Way::Straight,
            frame,
            placements,
            cuts: Some(tree),
        }),
        _ => None,
    }
}
