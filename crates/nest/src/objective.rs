//! What makes one set of layouts better than another while searching, and what each goal changes.
//!
//! Whole plans are compared by [`Score`]. While searching a finer measure is climbed by: of boards cut
//! straight a [`Standing`], of boards sawn by line a [`Worth`]. Jobs of makers are furnished; the other
//! goals are those of published instances, and [`Choices`] says where the search heeds them: that costs
//! furnishing a comparison each, and to take them out would need more code.

use std::cmp::Ordering;

use heartside_timber::document::Aim;
use heartside_timber::job::{Goal, Job, Part};
use heartside_timber::plan::CutNode;
use heartside_timber::score::{
    Score, by_priority, counted_area, kept_whole, lexicographic, price_in_use,
};
use heartside_timber::workpieces::Workpieces;

use crate::cuts::cutting::Cutting;
use crate::cuts::ground::Ground;
use crate::cuts::offcut::is_offcut;

/// What is made small, once everything that is to be placed is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Measured {
    /// Cost of the boards used.
    Cost,
    /// The same, of the last board as far along as it is cut.
    CostInOrder,
    /// Length along the board.
    Length,
    /// The value of what is placed, made large; not everything need be placed.
    Value,
}

/// What a goal changes in the search.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Choices {
    /// What is made small.
    pub(crate) measured: Measured,
    /// It is a maker's job: cuts are made handier and sawn boards broken down, there is a last look
    /// for room, and the search goes on for labour and offcuts once the cost is proved.
    pub(crate) furnishes: bool,
    /// Boards are bought: whole ones are emptied, fillings chosen anew for all, and the search
    /// begins anew only when it is stuck.
    pub(crate) buys_boards: bool,
    /// Else the one board there is is filled anew in one of so many attempts.
    pub(crate) anew_every: usize,
    /// How widely rules for what is laid first are drawn.
    pub(crate) rule_spread: f64,
}

impl Choices {
    /// Those of a job.
    pub(crate) fn of(job: &Job) -> Choices {
        let furnish = Choices {
            measured: Measured::Cost,
            furnishes: true,
            buys_boards: true,
            anew_every: 0,
            rule_spread: 0.6,
        };
        match job.goal {
            Goal::Furnish => furnish,
            Goal::InOrder => Choices {
                measured: Measured::CostInOrder,
                furnishes: false,
                ..furnish
            },
            Goal::StripLength => Choices {
                measured: Measured::Length,
                furnishes: false,
                buys_boards: false,
                anew_every: 2,
                ..furnish
            },
            Goal::Value => Choices {
                measured: Measured::Value,
                furnishes: false,
                buys_boards: false,
                anew_every: 3,
                // Most pieces are left out, and it needs more chance to leave the right ones out.
                rule_spread: 1.0,
            },
        }
    }

    /// The greatest value is wanted.
    pub(crate) fn is_value(&self) -> bool {
        self.measured == Measured::Value
    }

    /// The shortest strip is wanted.
    pub(crate) fn is_strip(&self) -> bool {
        self.measured == Measured::Length
    }

    /// Boards are taken in the order of the list.
    pub(crate) fn in_order(&self) -> bool {
        self.measured == Measured::CostInOrder
    }

    /// True where a bound says more than another: a floor that is higher, a ceiling that is lower.
    pub(crate) fn is_nearer(&self, bound: f64, other: f64) -> bool {
        if self.is_value() {
            bound < other
        } else {
            bound > other
        }
    }
}

/// What one filled board adds to the score, worked out once when it is filled.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct BoardMeasure {
    cost: f64,
    reluctant: f64,
    labour: f64,
    offcuts: f64,
    /// Area of blanks over the board's, squared, times the board's cost: full boards and empty ones beat halves.
    fullness: f64,
    /// Least and greatest x of the blanks.
    span: (f64, f64),
    /// Cost of all boards before this one in the list, and of this one as far as blanks reach on it.
    in_order: f64,
}

impl BoardMeasure {
    /// Measures a board as its finished tree will have it.
    pub(crate) fn of(job: &Job, ground: &Ground, cutting: &Cutting) -> BoardMeasure {
        let board = &job.boards[ground.board];
        let tree = cutting.finished_tree(|w| is_offcut(job, ground, w));
        let whole = kept_whole(job, board) * 1e-6;
        let (mut labour, mut offcuts, mut cost) = (0.0, whole * whole, price_in_use(job, board));
        for node in &tree.nodes {
            match node {
                CutNode::Cut { .. } => labour += 1.0,
                CutNode::Region { placements } => labour += placements.len() as f64,
                _ => {}
            }
        }
        // The same outline, frame and clipping as the score's own, so that sums agree.
        for piece in Workpieces::of(&tree, ground.frame, &board.outline).iter() {
            if tree.nodes[piece.node] == CutNode::Offcut {
                let area = counted_area(job, board, piece.ground, &piece.bounds);
                cost -= job.offcut_value * area * board.thickness * 1e-9;
                offcuts -= (area * 1e-6) * (area * 1e-6);
            }
        }
        let used: f64 = cutting.cutouts.iter().map(|c| c.rect.area()).sum();
        let fill = used / board.outline.area().max(1e-9);
        let span = cutting
            .cutouts
            .iter()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), c| {
                (low.min(c.rect.min.x), high.max(c.rect.max.x))
            });
        BoardMeasure {
            cost,
            reluctant: if board.is_spared() { 1.0 } else { 0.0 },
            labour,
            offcuts,
            fullness: fill * fill * board.cost.max(1e-9),
            in_order: if Choices::of(job).in_order() && span.0 <= span.1 {
                let before: f64 = job.boards[..ground.board].iter().map(|b| b.cost).sum();
                let bounds = ground.bounds;
                before + board.cost * (span.1 - bounds.min.x) / bounds.width()
            } else {
                0.0
            },
            span,
        }
    }
}

/// The measures of a whole set of boards.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Standing {
    /// The score by which plans are compared.
    pub(crate) score: Score,
    /// Area of the parts not placed, for each priority; minus the value placed where that is wanted.
    missing_area: Vec<f64>,
    /// Minus the sum of the boards' fullness.
    spread: f64,
}

impl Standing {
    /// Adds up the boards; `left` is what is not placed, for each part.
    pub(crate) fn of<'a>(
        job: &Job,
        boards: impl Iterator<Item = &'a BoardMeasure>,
        left: &[u32],
        placed_value: f64,
    ) -> Standing {
        let (mut cost, mut reluctant, mut labour, mut offcuts, mut spread) =
            (0.0, 0.0, 0.0, 0.0, 0.0);
        let mut span = (f64::INFINITY, f64::NEG_INFINITY);
        let mut in_order = 0.0;
        for b in boards {
            cost += b.cost;
            reluctant += b.reluctant;
            labour += b.labour;
            offcuts += b.offcuts;
            spread -= b.fullness;
            span = (span.0.min(b.span.0), span.1.max(b.span.1));
            in_order = f64::max(in_order, b.in_order);
        }
        let choices = Choices::of(job);
        match choices.measured {
            Measured::CostInOrder => cost = in_order,
            Measured::Length => cost = (span.1 - span.0).max(0.0),
            Measured::Cost | Measured::Value => {}
        }
        let (missing, missing_area) = if choices.is_value() {
            (vec![-placed_value], vec![-placed_value])
        } else {
            let of_each = |measure: fn(&Part) -> f64| {
                by_priority(job, |k, part| f64::from(left[k]) * measure(part))
            };
            (of_each(Part::weight), of_each(|p| p.length() * p.width()))
        };
        Standing {
            score: Score {
                missing,
                reluctant,
                cost,
                moved: None,
                sizes: 0.0,
                figure: 0.0,
                figure_worth: 0.0,
                labour,
                offcuts,
            },
            missing_area,
            spread,
        }
    }

    /// Orders by what is worth accepting: as the score does, but full boards before fine differences of cuts and offcuts.
    pub(crate) fn guide(&self, other: &Standing, order: &[Aim]) -> Ordering {
        // By area first: where one large part is missing, the way to a full plan leads over
        // plans that lack several small ones instead.
        lexicographic(&self.missing_area, &other.missing_area)
            .then_with(|| lexicographic(&self.score.missing, &other.score.missing))
            .then(self.score.reluctant.total_cmp(&other.score.reluctant))
            .then_with(|| {
                order.iter().fold(Ordering::Equal, |so_far, aim| {
                    so_far.then_with(|| match aim {
                        Aim::Timber => self
                            .score
                            .cost
                            .total_cmp(&other.score.cost)
                            .then(self.spread.total_cmp(&other.spread)),
                        Aim::Sizes | Aim::Figure => Ordering::Equal,
                        Aim::Labour => self.score.labour.total_cmp(&other.score.labour),
                        Aim::Offcuts => self.score.offcuts.total_cmp(&other.score.offcuts),
                    })
                })
            })
    }
}

/// Measures of boards sawn by line; smaller is better everywhere, the first ones count most.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Worth {
    /// Pieces missing, for each priority; where value is the aim, minus the value placed.
    missing: Vec<f64>,
    /// Boards used that are to be used only if needed.
    reluctant: f64,
    /// Cost of the boards used.
    cost: f64,
    /// Minus the sum of the squared covers: one full and one nearly empty board are better than two half full ones.
    pub(crate) spread: f64,
}

impl Worth {
    /// Adds up the boards used, each told by its place in the job's list and the share of it that is
    /// covered; `left` and `laid` are the pieces that lie nowhere and somewhere, by their parts.
    pub(crate) fn of(
        job: &Job,
        boards: impl Iterator<Item = (usize, f64)>,
        left: impl Iterator<Item = usize>,
        laid: impl Iterator<Item = usize>,
    ) -> Worth {
        let missing = if Choices::of(job).is_value() {
            vec![-laid.map(|part| job.parts[part].value).sum::<f64>()]
        } else {
            let mut counts = vec![0u32; job.parts.len()];
            left.for_each(|part| counts[part] += 1);
            by_priority(job, |k, part| f64::from(counts[k]) * part.weight())
        };
        let mut worth = Worth {
            missing,
            reluctant: 0.0,
            cost: 0.0,
            spread: 0.0,
        };
        for (board, share) in boards {
            let board = &job.boards[board];
            worth.cost += price_in_use(job, board);
            if board.is_spared() {
                worth.reluctant += 1.0;
            }
            worth.spread -= share * share;
        }
        worth
    }

    /// True where as much lies somewhere, and it costs no more than the other and so much beside.
    pub(crate) fn is_near(&self, other: &Worth, dearer: f64) -> bool {
        let cost = other.cost + dearer;
        lexicographic(&self.missing, &other.missing).is_le()
            && self.reluctant <= other.reluctant
            && self.cost <= cost + 1e-9 * cost.abs()
    }

    /// Compares all but the spread.
    pub(crate) fn compare(&self, other: &Worth) -> Ordering {
        let close = 1e-9 * (self.cost.abs() + other.cost.abs());
        let cost = if (self.cost - other.cost).abs() <= close {
            Ordering::Equal
        } else {
            self.cost.total_cmp(&other.cost)
        };
        lexicographic(&self.missing, &other.missing)
            .then(self.reluctant.total_cmp(&other.reluctant))
            .then(cost)
    }
}
