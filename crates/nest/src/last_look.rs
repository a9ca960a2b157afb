//! A last look before a piece is left out: is there room for it on a board that is not used, or beside
//! what lies on one already?
//!
//! The engines look at what pays: they fill boards in the order of their price, give a workpiece up
//! after some candidates, and share the boards out between them. What they leave waiting is tried
//! here on every board, piece by piece, as hard as a single piece is worth it. One step looks at one
//! part and one board; each better plan is looked at anew, but for boards on which nothing changed.

use heartside_geometry::{Arrange, SortedMap};
use heartside_timber::document::{BoardCopy, Cuts};
use heartside_timber::job::{Job, PartCut};
use heartside_timber::plan::{Layout, Plan, Way};

use crate::fit;
use crate::objective::Choices;
use crate::portfolio::Jobs;
use crate::settings::WayWanted;
use crate::task::{Stock, usable_stock};
use crate::{sawn, straight};

/// Parts with boards that one plan is looked at for, the largest parts first.
///
/// Workshop jobs have some hundreds of them; a list of thousands of kinds would be looked through
/// for minutes, and the engines find places for most of it sooner.
const MOST_LOOKS: usize = 2_000;

/// What is to be looked at next.
#[derive(Debug, Clone)]
struct Look {
    part: usize,
    copy: u32,
    stock: Stock,
}

/// Looks for room for what the best plan leaves out.
pub(crate) struct LastLook {
    way: WayWanted,
    stock: Vec<Stock>,
    rectangles: Option<straight::spare::Spare>,
    outlines: Option<sawn::spare::Spare>,
    /// The layouts of the plan that is looked at.
    layouts: Vec<Layout>,
    /// What is still to be looked at, the next one last.
    waiting: Vec<Look>,
    /// For a part and a board, what lay on the board when there was no room.
    refused: SortedMap<(usize, usize, u32), Option<Layout>>,
}

impl LastLook {
    /// Nothing is looked at before there is a plan.
    pub(crate) fn new(job: &Job, way: WayWanted) -> LastLook {
        let is_wanted = Choices::of(job).furnishes;
        LastLook {
            way,
            stock: if is_wanted {
                usable_stock(job, |_| true)
            } else {
                Vec::new()
            },
            rectangles: None,
            outlines: None,
            layouts: Vec::new(),
            waiting: Vec::new(),
            refused: SortedMap::new(),
        }
    }

    /// Begins with a plan: each part that it leaves out, on each board that could take it.
    ///
    /// Boards that are cut into already come first, then others by their price; of copies of one board
    /// that are not used one stands for all.
    pub(crate) fn begin(&mut self, job: &Job, plan: &Plan) {
        self.waiting.clear();
        self.layouts.clone_from(&plan.layouts);
        let places = SortedMap::from_iter(
            job.parts
                .iter()
                .enumerate()
                .map(|(k, p)| (p.id.as_str(), k)),
        );
        let mut parts: Vec<(usize, u32)> = plan
            .unplaced
            .iter()
            .filter_map(|u| Some((*places.get(u.part.as_str())?, *u.copies.first()?)))
            .collect();
        let area = |part: usize| job.parts[part].outline.area();
        parts.arrange_by(|a, b| area(b.0).total_cmp(&area(a.0)).then(a.cmp(b)));
        for (part, copy) in parts {
            if self.waiting.len() == MOST_LOOKS {
                break;
            }
            for stock in self.boards_for(job, part) {
                if self.waiting.len() == MOST_LOOKS {
                    break;
                }
                self.waiting.push(Look { part, copy, stock });
            }
        }
        self.waiting.reverse();
    }

    /// True while something is left to look at.
    pub(crate) fn is_waiting(&self) -> bool {
        !self.waiting.is_empty()
    }

    /// Looks at one part and one board: the layouts with the part on it, where there is room. `by_line` is the
    /// job for boards that are sawn by line, where that is another.
    pub(crate) fn step(&mut self, job: &Job, by_line: Option<&Job>) -> Option<Vec<Layout>> {
        let look = self.waiting.pop()?;
        let board = straight::stockroom::board_copy(job, look.stock);
        let place = self.layouts.iter().position(|l| l.board == board);
        let before = place.map(|k| self.layouts[k].clone());
        let Some(layout) = self.with_piece((job, by_line), &look, board, before.as_ref()) else {
            self.refused.insert(key(&look, place), before);
            return None;
        };
        let mut layouts = self.layouts.clone();
        match place {
            Some(place) => layouts[place] = layout,
            None => layouts.push(layout),
        }
        Some(layouts)
    }

    fn with_piece(
        &mut self,
        (job, line_job): Jobs<'_>,
        look: &Look,
        board: BoardCopy,
        before: Option<&Layout>,
    ) -> Option<Layout> {
        let piece = (look.part, look.copy);
        let (by_cuts, by_line) = self.ways(job, look, before);
        let rectangles = &mut self.rectangles;
        let mut cut = || {
            let spare = rectangles.get_or_insert_with(|| straight::spare::Spare::new(job));
            match before {
                Some(layout) => spare.on_cut(job, piece, layout),
                None => spare.on_empty(job, piece, look.stock),
            }
        };
        let found = by_cuts.then(&mut cut).flatten();
        if found.is_some() || !by_line {
            return found;
        }
        let job = line_job.unwrap_or(job);
        let spare = self
            .outlines
            .get_or_insert_with(|| sawn::spare::Spare::new(job));
        spare.on(job, piece, board, before)
    }

    /// Whether the piece may come out of the board by straight cuts, and by line.
    fn ways(&self, job: &Job, look: &Look, before: Option<&Layout>) -> (bool, bool) {
        let cuts = job.boards[look.stock.board].cuts;
        let wanted = (
            self.way != WayWanted::Sawn && cuts != Cuts::Sawn,
            self.way != WayWanted::Straight
                && cuts != Cuts::Straight
                && job
                    .workshop
                    .can_saw_by_line(job.boards[look.stock.board].thickness),
        );
        match before {
            Some(layout) => (
                wanted.0 && layout.way == Way::Straight,
                wanted.1 && layout.way == Way::Sawn,
            ),
            None => {
                let follows_line = job.parts[look.part].cut == PartCut::Sawn
                    || cuts == Cuts::Sawn
                    || self.way == WayWanted::Sawn;
                (wanted.0, wanted.1 && follows_line)
            }
        }
    }

    /// The boards that are worth a look for a part.
    fn boards_for(&self, job: &Job, part: usize) -> Vec<Stock> {
        let mut boards: Vec<(bool, f64, usize, Stock)> = Vec::new();
        let mut empty: Option<usize> = None;
        for (place, stock) in self.stock.iter().enumerate() {
            let board = &job.boards[stock.board];
            let (wants, can) = (&job.parts[part], fit::can_be_sawn);
            if !fit::species_fits(board, wants) || !can(job, board, wants) {
                continue;
            }
            let copy = straight::stockroom::board_copy(job, *stock);
            let on_it = self.layouts.iter().position(|l| l.board == copy);
            if on_it.is_none() && empty.replace(stock.board) == Some(stock.board) {
                continue;
            }
            let look = Look {
                part,
                copy: 0,
                stock: *stock,
            };
            let known = self.refused.get(&key(&look, on_it));
            if known.is_some_and(|then| then.as_ref() == on_it.map(|k| &self.layouts[k])) {
                continue;
            }
            boards.push((on_it.is_none(), board.cost, place, *stock));
        }
        boards.arrange_by(|a, b| {
            let by_cost = a.1.total_cmp(&b.1);
            a.0.cmp(&b.0).then(by_cost).then(a.2.cmp(&b.2))
        });
        boards.into_iter().map(|(_, _, _, stock)| stock).collect()
    }
}

/// Copies of a board are alike while nothing lies on them.
fn key(look: &Look, on_it: Option<usize>) -> (usize, usize, u32) {
    let copy = on_it.map_or(0, |_| look.stock.copy);
    (look.part, look.stock.board, copy)
}
