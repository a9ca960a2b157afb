//! The checker while parts are moved by hand.

use std::sync::Arc;

use heartside_geometry::Pose;
use heartside_timber::choices::stave_named;
use heartside_timber::document::{BoardCopy, PartCopy};
use heartside_timber::finding::Finding;
use heartside_timber::job::{Cuts, Job, PartCut};
use heartside_timber::plan::{Layout, Placement, Plan, Unplaced, UnplacedReason, Way};

use crate::floor::{Floor, Laid, no_place};
use crate::index::{JobIndex, Piece};
use crate::rules::all_but_cuts_and_dimensions;
use crate::{done, matches, panels, report, stock};

/// A plan that is being changed by hand, checked as it changes.
///
/// Rules 1 to 8 and 10 are kept up to date, and rule 12 as far as something lies where it must not:
/// [`Live::findings`] is what [`check`](crate::check()) would say about [`Live::plan`] on those rules. An order of
/// straight cuts holds only for the placements it was made for: the first change on a board
/// drops it.
#[derive(Clone)]
pub struct Live {
    index: Arc<JobIndex<'static>>,
    laid: Vec<Laid>,
    /// The plan without its layouts, which `laid` holds.
    rest: Plan,
}

impl Live {
    pub(crate) fn on(index: Arc<JobIndex<'static>>, plan: &Plan) -> Live {
        let lay = |layout: &Layout| Laid::new(&index, layout.clone());
        let laid = plan.layouts.iter().map(lay).collect();
        let rest = Plan {
            layouts: Vec::new(),
            ..plan.clone()
        };
        Live { index, laid, rest }
    }

    /// The job that it is checked by.
    pub fn job(&self) -> &Job {
        self.index.job()
    }

    /// The plan as it stands now.
    pub fn plan(&self) -> Plan {
        let layouts = self.laid.iter().map(|l| l.layout().clone()).collect();
        Plan {
            layouts,
            ..self.rest.clone()
        }
    }

    /// What rules 1 to 8, 10 and 12 would say about a part if it lay there: findings that name
    /// it, and what rules 10 and 12 say about the board itself. Nothing is changed.
    ///
    /// Equal to what [`Live::put`] would make [`Live::findings`] say about the part, at the
    /// cost of looking at this part and its neighbours alone. A part that still lies
    /// somewhere else is taken to have left that place.
    pub fn trial(&self, part: &PartCopy, board: &BoardCopy, pose: Pose) -> Vec<Finding> {
        let index = &self.index;
        let mut found = stock::one_board(index, board, true);
        found.extend(stock::one_copy(index, part).or_else(|| done::placed(index, part)));
        let piece = index.piece(part, pose);
        match (&piece, index.board_place(board)) {
            (Some(piece), Some(_)) => {
                let fresh;
                let laid = match self.laid.iter().find(|l| l.board() == board) {
                    Some(laid) => laid,
                    None => {
                        fresh = Laid::empty(index, board, self.way_for(part, board));
                        &fresh
                    }
                };
                found.extend(laid.supposing(index, piece));
            }
            (None, Some(_)) if index.part_place(part).is_some() => {
                found.push(no_place(index, board, part))
            }
            _ => {}
        }
        found.extend(self.match_findings(part, board, piece.as_ref()));
        report::sort(&mut found, index);
        found
    }

    /// Lays a part there, taking it away from wherever it lay.
    pub fn put(&mut self, part: &PartCopy, board: &BoardCopy, pose: Pose) {
        let way = self.way_for(part, board);
        self.lift(part);
        for unplaced in &mut self.rest.unplaced {
            if unplaced.part == part.part {
                unplaced.copies.retain(|copy| *copy != part.copy);
            }
        }
        self.rest
            .unplaced
            .retain(|unplaced| !unplaced.copies.is_empty());
        let there = match self.laid.iter().position(|l| l.board() == board) {
            Some(there) => there,
            None => {
                // Layouts stand in the order of the job's boards.
                let key = |copy: &BoardCopy| {
                    (
                        self.index.board_place(copy).unwrap_or(usize::MAX),
                        copy.clone(),
                    )
                };
                let there = self.laid.partition_point(|l| key(l.board()) < key(board));
                self.laid
                    .insert(there, Laid::empty(&self.index, board, way));
                there
            }
        };
        self.laid[there].forget_cuts(&self.index);
        let placement = Placement {
            part: part.part.clone(),
            copy: part.copy,
            at: pose.into(),
            ..Placement::default()
        };
        self.laid[there].put(&self.index, placement);
    }

    /// The layout of a board as [`Live::put`] of a part there would leave it. Nothing is changed,
    /// and the other boards are not looked at.
    pub fn layout_with(&self, part: &PartCopy, board: &BoardCopy, pose: Pose) -> Option<Layout> {
        let mut alone = Live {
            index: Arc::clone(&self.index),
            laid: self.laid_on(board).cloned().into_iter().collect(),
            rest: Plan::default(),
        };
        alone.put(part, board, pose);
        let there = alone.laid_on(board)?;
        Some(there.layout().clone())
    }

    /// Takes a part off its board: it is then listed as not tried yet. Nothing happens if it
    /// lies nowhere.
    pub fn take(&mut self, part: &PartCopy) {
        if !self.lift(part) {
            return;
        }
        let listed = self
            .rest
            .unplaced
            .iter()
            .any(|u| u.part == part.part && u.copies.contains(&part.copy));
        if !listed {
            self.rest.unplaced.push(Unplaced {
                part: part.part.clone(),
                copies: vec![part.copy],
                reason: UnplacedReason::NotTried,
                least_board: None,
                longest: None,
            });
        }
    }

    /// What the rules 1 to 8 and 10 say about the plan as it stands now, in the order of
    /// [`check`](crate::check()).
    pub fn findings(&self) -> Vec<Finding> {
        let mut found = all_but_cuts_and_dimensions(&self.index, &self.laid, &self.plan());
        report::sort(&mut found, &self.index);
        found
    }

    pub(crate) fn index(&self) -> &JobIndex<'static> {
        &self.index
    }

    pub(crate) fn laid_on(&self, board: &BoardCopy) -> Option<&Laid> {
        self.laid.iter().find(|l| l.board() == board)
    }

    /// How a board without a layout would be cut to take a part.
    pub(crate) fn way_for(&self, part: &PartCopy, board: &BoardCopy) -> Way {
        let cuts = self
            .index
            .board_place(board)
            .map_or(Cuts::Any, |place| self.index.board(place).0.cuts);
        let sawn = self
            .index
            .part_place(part)
            .is_some_and(|place| self.index.part(place).cut == PartCut::Sawn);
        match cuts {
            Cuts::Sawn => Way::Sawn,
            Cuts::Any if sawn => Way::Sawn,
            Cuts::Any | Cuts::Straight => Way::Straight,
        }
    }

    /// Takes every placement of a copy away; layouts left without any go too. True if it lay
    /// somewhere.
    fn lift(&mut self, part: &PartCopy) -> bool {
        let mut lay = false;
        for laid in &mut self.laid {
            while let Some(slot) = laid.find(part) {
                laid.forget_cuts(&self.index);
                laid.take(slot);
                lay = true;
            }
        }
        if lay {
            self.laid.retain(|l| !l.layout().placements.is_empty());
        }
        lay
    }

    fn match_findings(
        &self,
        part: &PartCopy,
        board: &BoardCopy,
        piece: Option<&Piece>,
    ) -> Vec<Finding> {
        let job = self.index.job();
        let mut concerned = job
            .matches
            .iter()
            .filter(|m| m.parts.contains(part))
            .peekable();
        let is_stave = stave_named(&part.part).is_some();
        if concerned.peek().is_none() && !is_stave {
            return Vec::new();
        }
        let floor = Floor::new(&self.index, &self.laid);
        let floor = match piece {
            Some(piece) => floor.supposing(board, piece),
            None => floor.without(part),
        };
        let mut found: Vec<Finding> = concerned
            .flat_map(|m| matches::check(&self.index, m, &floor))
            .collect();
        if is_stave {
            found.extend(panels::hearts(&self.index, &self.rest, &floor));
        }
        found.retain(|finding| finding.parts.contains(part));
        found
    }
}
