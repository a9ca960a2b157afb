//! How good the engine's boards are: the score, and a finer measure to climb by.

use heartside_geometry::Arrange;
use std::cmp::Ordering;

use heartside_timber::document::{Aim, Use};
use heartside_timber::job::{Goal, Job, Part};
use heartside_timber::plan::CutNode;
use heartside_timber::score::{Score, counted_area};

use crate::cuts::cutting::Cutting;
use crate::cuts::ground::Ground;
use crate::cuts::offcut::is_offcut;

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
        let (mut labour, mut offcuts, mut cost) = (0.0, 0.0, board.cost);
        for node in &tree.nodes {
            match node {
                CutNode::Cut { .. } => labour += 1.0,
                CutNode::Region { placements } => labour += placements.len() as f64,
                _ => {}
            }
        }
        // The same outline, frame and clipping as the score's own, so that sums agree.
        let outline = ground.frame.region_in_frame(&board.outline);
        for (node, bounds) in heartside_timber::score::workpiece_bounds(&tree, outline.bounds()) {
            if tree.nodes[node] == CutNode::Offcut {
                let area = counted_area(job, board, &ground.frame, &outline, &bounds);
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
            reluctant: if board.usage == Use::IfNeeded {
                1.0
            } else {
                0.0
            },
            labour,
            offcuts,
            fullness: fill * fill * board.cost.max(1e-9),
            in_order: if job.goal == Goal::InOrder && span.0 <= span.1 {
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
        if job.goal == Goal::InOrder {
            cost = in_order;
        }
        if job.goal == Goal::StripLength {
            cost = if span.0 <= span.1 {
                span.1 - span.0
            } else {
                0.0
            };
        }
        let missing = match job.goal {
            Goal::Value => vec![-placed_value],
            Goal::Furnish | Goal::InOrder | Goal::StripLength => {
                missing_by_priority(job, left, |_| 1.0)
            }
        };
        let area = |p: &Part| p.length() * p.width();
        let missing_area = match job.goal {
            Goal::Value => vec![-placed_value],
            _ => missing_by_priority(job, left, area),
        };
        Standing {
            score: Score {
                missing,
                reluctant,
                cost,
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
                        Aim::Figure => Ordering::Equal,
                        Aim::Labour => self.score.labour.total_cmp(&other.score.labour),
                        Aim::Offcuts => self.score.offcuts.total_cmp(&other.score.offcuts),
                    })
                })
            })
    }
}

fn lexicographic(a: &[f64], b: &[f64]) -> Ordering {
    let orders = a.iter().zip(b).map(|(x, y)| x.total_cmp(y));
    orders
        .into_iter()
        .find(|o| o.is_ne())
        .unwrap_or(Ordering::Equal)
}

/// What is left, each piece with its measure, for each priority.
fn missing_by_priority(job: &Job, left: &[u32], measure: impl Fn(&Part) -> f64) -> Vec<f64> {
    let mut priorities: Vec<u32> = job.parts.iter().map(|p| p.priority).collect();
    priorities.arrange();
    priorities.dedup();
    let mut missing = vec![0.0; priorities.len()];
    for (part, left) in job.parts.iter().zip(left) {
        if let Ok(place) = priorities.binary_search(&part.priority) {
            missing[place] += f64::from(*left) * measure(part);
        }
    }
    missing
}
