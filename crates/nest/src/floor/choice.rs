//! The cheapest whole boards that meet every row of needs.
//!
//! A covering knapsack with several rows: branch and bound, the lowest floor first (Land & Doig 1960), with
//! fractions of boards, row by row, as the floor of each branch (Dantzig 1957). Broken off after a set
//! number of branches it is still a floor, only a lower one.

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use heartside_geometry::Arrange;

/// Most branches looked at, and most kinds times rows times branches.
const MOST_BRANCHES: usize = 1_500;
const MOST_WORK: usize = 2_000_000;

/// Boards alike: what one costs, and how many there are.
#[derive(Debug, Clone, Copy)]
pub(super) struct Offer {
    pub(super) cost: f64,
    pub(super) copies: u32,
}

/// What boards of each kind give at most, and what is needed in all.
#[derive(Debug, Clone)]
pub(super) struct Row {
    pub(super) rooms: Vec<f64>,
    pub(super) need: f64,
}

/// A floor under the cost, and boards of each kind that meet all rows: the cheapest, unless it was broken
/// off. No boards where all together do not meet them; the floor is what all cost, then.
pub(super) fn cheapest(kinds: &[Offer], rows: &[Row]) -> (f64, Option<Vec<u32>>) {
    let all: Vec<u32> = kinds.iter().map(|k| k.copies).collect();
    let cost_of = |taken: &[u32]| -> f64 {
        taken
            .iter()
            .zip(kinds)
            .map(|(n, k)| f64::from(*n) * k.cost)
            .sum()
    };
    let missing = |row: &Row, taken: &[u32]| {
        let given: f64 = taken
            .iter()
            .zip(&row.rooms)
            .map(|(n, room)| f64::from(*n) * room)
            .sum();
        // A hair less than is needed keeps rounding on the safe side.
        row.need * (1.0 - 1e-9) - given
    };
    if rows.iter().any(|row| missing(row, &all) > 0.0) {
        return (cost_of(&all), None);
    }
    // Kinds in the order in which they are decided: cheap ones for what they give first.
    let rate = |k: usize, row: &Row| kinds[k].cost / row.rooms[k].max(1e-12 * row.need);
    let shares = |k: usize| -> f64 { rows.iter().map(|row| row.rooms[k] / row.need).sum() };
    let mut order: Vec<usize> = (0..kinds.len()).collect();
    order.arrange_by(|a, b| {
        let of = |k: usize| kinds[k].cost / shares(k).max(1e-12);
        of(*a).total_cmp(&of(*b)).then(a.cmp(b))
    });
    let place_of = |k: usize| order.iter().position(|o| *o == k).unwrap_or(0);
    let places: Vec<usize> = (0..kinds.len()).map(place_of).collect();
    let by_rate: Vec<Vec<usize>> = rows
        .iter()
        .map(|row| {
            let mut by: Vec<usize> = (0..kinds.len()).filter(|k| row.rooms[*k] > 0.0).collect();
            by.arrange_by(|a, b| rate(*a, row).total_cmp(&rate(*b, row)).then(a.cmp(b)));
            by
        })
        .collect();
    // What a branch costs at least; none where it leads nowhere.
    let floor_of = |taken: &[u32], next: usize| -> Option<f64> {
        let so_far = cost_of(taken);
        let mut floor = so_far;
        for (row, by) in rows.iter().zip(&by_rate) {
            let (mut left, mut cost) = (missing(row, taken), so_far);
            for k in by.iter().filter(|k| places[**k] >= next) {
                if left <= 0.0 {
                    break;
                }
                let more = f64::from(kinds[*k].copies - taken[*k]);
                let used = (left / row.rooms[*k]).min(more);
                cost += used * kinds[*k].cost;
                left -= used * row.rooms[*k];
            }
            if left > 1e-9 * row.need {
                return None;
            }
            floor = floor.max(cost);
        }
        Some(floor)
    };
    let start: Vec<u32> = kinds
        .iter()
        .map(|k| if k.cost <= 0.0 { k.copies } else { 0 })
        .collect();
    let mut open = BinaryHeap::new();
    if let Some(floor) = floor_of(&start, 0) {
        open.push(Branch {
            floor,
            next: 0,
            taken: start,
        });
    }
    let mut floor = 0.0;
    let mut last: Vec<u32> = all;
    let branches = (MOST_WORK / (kinds.len() * rows.len()).max(1)).clamp(1, MOST_BRANCHES);
    for _ in 0..branches {
        let Some(branch) = open.pop() else {
            break;
        };
        floor = branch.floor;
        if rows.iter().all(|row| missing(row, &branch.taken) <= 0.0) {
            return (floor, Some(branch.taken));
        }
        let Some(k) = order.get(branch.next).copied() else {
            continue;
        };
        if branch.taken[k] < kinds[k].copies {
            let mut taken = branch.taken.clone();
            taken[k] += 1;
            if let Some(f) = floor_of(&taken, branch.next) {
                open.push(Branch {
                    floor: f.max(floor),
                    next: branch.next,
                    taken,
                });
            }
        }
        if let Some(f) = floor_of(&branch.taken, branch.next + 1) {
            open.push(Branch {
                floor: f.max(floor),
                next: branch.next + 1,
                taken: branch.taken.clone(),
            });
        }
        last = branch.taken;
    }
    for k in order {
        while last[k] < kinds[k].copies
            && rows
                .iter()
                .any(|row| missing(row, &last) > 0.0 && row.rooms[k] > 0.0)
        {
            last[k] += 1;
        }
    }
    (floor, Some(last))
}

/// Some boards taken, all kinds before `next` decided.
struct Branch {
    floor: f64,
    next: usize,
    taken: Vec<u32>,
}

impl PartialEq for Branch {
    fn eq(&self, other: &Branch) -> bool {
        self.cmp(other).is_eq()
    }
}

impl Eq for Branch {}

impl PartialOrd for Branch {
    fn partial_cmp(&self, other: &Branch) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Branch {
    /// The lowest floor comes first out of a heap; of equal ones the farthest along.
    fn cmp(&self, other: &Branch) -> Ordering {
        (other.floor.total_cmp(&self.floor))
            .then(self.next.cmp(&other.next))
            .then_with(|| self.taken.cmp(&other.taken))
    }
}
