//! What makes one floor better than another.

use heartside_geometry::Arrange;
use std::cmp::Ordering;

use heartside_timber::document::Use;
use heartside_timber::job::{Goal, Job};

use super::build::{Floor, covered};
use super::lie::Piece;
use super::yard::Yard;
use crate::engine::Stock;

/// Measures of a floor; smaller is better everywhere, the first ones count most.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Worth {
    /// Pieces missing, for each priority; where value is the aim, minus the value placed.
    missing: Vec<f64>,
    /// Boards used that are to be used only if needed.
    reluctant: f64,
    /// Cost of the boards used.
    cost: f64,
    /// Minus the sum of the squared covers: one full and one nearly empty board are better than two half full ones.
    pub(super) spread: f64,
}

impl Worth {
    /// Measures a floor.
    pub(super) fn of(
        job: &Job,
        yard: &Yard,
        stock: &[Stock],
        pieces: &[Piece],
        floor: &Floor,
    ) -> Worth {
        let missing = if job.goal == Goal::Value {
            let lying = floor.boards.iter().flatten();
            vec![-lying.map(|l| job.parts[l.form.part].value).sum::<f64>()]
        } else {
            let mut priorities: Vec<u32> = job.parts.iter().map(|p| p.priority).collect();
            priorities.arrange();
            priorities.dedup();
            let mut missing = vec![0.0; priorities.len()];
            for piece in &floor.left {
                let priority = job.parts[pieces[*piece].part].priority;
                if let Ok(place) = priorities.binary_search(&priority) {
                    missing[place] += 1.0;
                }
            }
            missing
        };
        let mut worth = Worth {
            missing,
            reluctant: 0.0,
            cost: 0.0,
            spread: 0.0,
        };
        for (stock, lies) in stock.iter().zip(&floor.boards) {
            if lies.is_empty() {
                continue;
            }
            let board = &job.boards[stock.board];
            worth.cost += board.cost;
            if board.usage == Use::IfNeeded {
                worth.reluctant += 1.0;
            }
            let share = covered(yard, lies) / yard.boards[stock.board].clear_area.max(1.0);
            worth.spread -= share * share;
        }
        worth
    }

    /// Compares all but the spread.
    pub(super) fn compare(&self, other: &Worth) -> Ordering {
        let close = 1e-9 * (self.cost.abs() + other.cost.abs());
        let cost = if (self.cost - other.cost).abs() <= close {
            Ordering::Equal
        } else {
            self.cost.total_cmp(&other.cost)
        };
        self.missing
            .iter()
            .zip(&other.missing)
            .map(|(a, b)| a.total_cmp(b))
            .find(|o| o.is_ne())
            .unwrap_or(Ordering::Equal)
            .then(self.reluctant.total_cmp(&other.reluctant))
            .then(cost)
    }
}
