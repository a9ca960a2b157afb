//! The turns at which a part may lie on a board.

use std::sync::Arc;

use heartside_geometry::math::within_turn;
use heartside_timber::job::{Board, GrainRule};

use super::shape::Form;

/// Turns tried for a part that may lie at any angle: every 15 degrees.
///
/// Finer ones are found by turning a little afterwards; twice as many only make the table of pairs larger.
const ANY_TURNS: usize = 24;

/// How a part may lie on a board.
#[derive(Debug, Default)]
pub(crate) struct Choices {
    /// Turns along the grain, the right way up: for the first layout.
    pub(crate) first: Vec<Arc<Form>>,
    /// Turns along the grain, half turns and turned-over copies included: for quick layouts.
    pub(crate) plain: Vec<Arc<Form>>,
    /// All turns kept ready.
    pub(crate) all: Vec<Arc<Form>>,
    /// Ranges within which any turn is allowed; empty where only those kept ready are.
    pub(crate) ranges: Vec<(f64, f64)>,
}

impl Choices {
    /// A turn as one within the ranges, if it is allowed.
    pub(crate) fn allowed(&self, turn: f64) -> Option<f64> {
        self.ranges.iter().find_map(|(low, high)| {
            let near = low + within_turn(turn - low);
            (near <= *high).then_some(near)
        })
    }
}

impl Choices {
    /// True if the part can lie on the board in no way at all.
    pub(crate) fn is_empty(&self) -> bool {
        self.all.is_empty()
    }
}

/// Turns for quick layouts, all turns kept ready, and the ranges of allowed turns.
pub(crate) fn turns(board: &Board, rule: &GrainRule) -> (Vec<f64>, Vec<f64>, Vec<(f64, f64)>) {
    match rule {
        GrainRule::Turns(turns) => (turns.clone(), turns.clone(), Vec::new()),
        GrainRule::Any => {
            let all: Vec<f64> = (0..ANY_TURNS)
                .map(|k| 360.0 * k as f64 / ANY_TURNS as f64)
                .collect();
            let square = [0.0, 90.0, 180.0, 270.0];
            (square.to_vec(), all, vec![(0.0, 360.0)])
        }
        GrainRule::Axis { across, tolerance } => {
            let (least, most) = board.grain.range();
            let off = if *across { -90.0 } else { 0.0 };
            let (low, high) = (least - tolerance + off, most + tolerance + off);
            let both_ways = |list: Vec<f64>| -> Vec<f64> {
                list.iter()
                    .copied()
                    .chain(list.iter().map(|t| t + 180.0))
                    .collect()
            };
            if tolerance.min(90.0) >= 90.0 {
                return turns(board, &GrainRule::Any);
            }
            let spread = |low: f64, high: f64, count: usize| -> Vec<f64> {
                (0..count)
                    .map(|k| low + (high - low) * k as f64 / (count - 1) as f64)
                    .collect()
            };
            let (plain, all) = if board.grain.is_bent() {
                (spread(least + off, most + off, 5), spread(low, high, 11))
            } else {
                let middle = board.grain.base_angle() + off;
                let all = if *tolerance > 0.0 {
                    // The middle first: it is what quick layouts use.
                    vec![
                        middle,
                        middle - tolerance,
                        middle + tolerance,
                        middle - tolerance / 2.0,
                        middle + tolerance / 2.0,
                    ]
                } else {
                    vec![middle]
                };
                (vec![middle], all)
            };
            let ranges = if high > low {
                vec![(low, high), (low + 180.0, high + 180.0)]
            } else {
                Vec::new()
            };
            (both_ways(plain), both_ways(all), ranges)
        }
    }
}
