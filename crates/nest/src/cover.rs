//! The least that whole boards cost whose room adds up to an area.
//!
//! A covering knapsack in which each board bought costs something to open and something for
//! what is used of it. Branch and bound, the lowest floor first (Land & Doig 1960), with
//! fractions of boards as the floor of each branch (Dantzig 1957). Broken off after a set
//! number of branches it is still a floor, only a lower one.

use heartside_geometry::Arrange;
use std::cmp::Ordering;
use std::collections::BinaryHeap;

/// Most branches looked at.
const MOST_BRANCHES: usize = 3_000;

/// Boards alike.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Offer {
    /// What it costs to open one, at least nought.
    pub(crate) opening: f64,
    /// What each unit of area used costs besides, at least nought.
    pub(crate) rate: f64,
    /// Area that one gives, more than nought.
    pub(crate) room: f64,
    /// How many there are.
    pub(crate) count: u32,
}

impl Offer {
    /// Price of a unit of area on boards used whole.
    fn price(&self) -> f64 {
        self.opening / self.room + self.rate
    }
}

/// Some boards bought, all kinds before one of them decided.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Branch {
    /// What every way of going on costs at least.
    floor: f64,
    cost: f64,
    missing: f64,
    /// The kind that is decided next, and how many of it are bought.
    kind: usize,
    bought: u32,
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
            .then(self.kind.cmp(&other.kind))
            .then(self.bought.cmp(&other.bought))
            .then(other.missing.total_cmp(&self.missing))
    }
}

/// A floor under what boards cost that give this area together; that of all boards where they do not.
/// O(kinds log branches) for each branch.
pub(crate) fn least_cost(offers: &[Offer], area: f64) -> f64 {
    let mut kinds: Vec<Offer> = Vec::new();
    for offer in offers {
        let alike =
            |k: &&mut Offer| (k.opening, k.rate, k.room) == (offer.opening, offer.rate, offer.room);
        match kinds.iter_mut().find(alike) {
            Some(kind) => kind.count += offer.count,
            None => kinds.push(*offer),
        }
    }
    kinds.arrange_by(|a, b| {
        a.price()
            .total_cmp(&b.price())
            .then(b.room.total_cmp(&a.room))
    });
    let highest_rate = kinds.iter().map(|k| k.rate).fold(0.0, f64::max);
    let floor_of = |branch: &Branch| {
        if branch.missing <= 0.0 {
            // Of the boards bought one need not be used whole.
            return branch.cost + branch.missing * highest_rate;
        }
        let (mut cost, mut missing) = (branch.cost, branch.missing);
        for (place, kind) in kinds.iter().enumerate().skip(branch.kind) {
            let bought = if place == branch.kind {
                branch.bought
            } else {
                0
            };
            let taken = missing.min(kind.room * f64::from(kind.count - bought));
            cost += taken * kind.price();
            missing -= taken;
            if missing <= 0.0 {
                break;
            }
        }
        cost
    };
    // A hair less, so that rounding never asks for one board more.
    let area = area * (1.0 - 1e-9);
    let start = Branch {
        floor: 0.0,
        cost: 0.0,
        missing: area,
        kind: 0,
        bought: 0,
    };
    let mut open = BinaryHeap::from([Branch {
        floor: floor_of(&start),
        ..start
    }]);
    // More than all boards together cannot be asked for: what is asked for is what they can give.
    let all: f64 = kinds.iter().map(|k| k.room * f64::from(k.count)).sum();
    let mut floor = 0.0;
    for _ in 0..MOST_BRANCHES {
        let Some(branch) = open.pop() else {
            return floor;
        };
        floor = branch.floor;
        let Some(kind) = kinds
            .get(branch.kind)
            .filter(|_| branch.missing > 0.0 && area <= all)
        else {
            return floor;
        };
        let mut next = Vec::new();
        if branch.bought < kind.count {
            next.push(Branch {
                cost: branch.cost + kind.opening + kind.rate * kind.room,
                missing: branch.missing - kind.room,
                bought: branch.bought + 1,
                ..branch
            });
        }
        let rest: f64 = kinds[branch.kind + 1..]
            .iter()
            .map(|k| k.room * f64::from(k.count))
            .sum();
        if rest >= branch.missing {
            next.push(Branch {
                kind: branch.kind + 1,
                bought: 0,
                ..branch
            });
        }
        for way in next {
            open.push(Branch {
                floor: floor_of(&way).max(branch.floor),
                ..way
            });
        }
    }
    floor
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn offer(opening: f64, room: f64, count: u32) -> Offer {
        Offer {
            opening,
            rate: 0.0,
            room,
            count,
        }
    }

    #[test]
    fn whole_boards_are_bought() {
        // 100 for 10, 70 for 6: 11 are had for 140 by two of the smaller, not for 110 by fractions.
        let offers = [offer(100.0, 10.0, 3), offer(70.0, 6.0, 3)];
        assert_eq!(least_cost(&offers, 11.0), 140.0);
        assert_eq!(least_cost(&offers, 10.0), 100.0);
        assert_eq!(least_cost(&offers, 0.0), 0.0);
    }

    #[test]
    fn what_is_not_used_is_not_paid_for() {
        let one = Offer {
            opening: 10.0,
            rate: 2.0,
            room: 10.0,
            count: 2,
        };
        assert!((least_cost(&[one], 13.0) - 46.0).abs() < 1e-6);
    }

    #[test]
    fn more_than_there_is_costs_what_there_is() {
        assert!((least_cost(&[offer(5.0, 2.0, 3)], 100.0) - 15.0).abs() < 1e-9);
        assert_eq!(least_cost(&[], 1.0), 0.0);
    }

    proptest! {
        #[test]
        fn as_trying_every_choice(
            boards in prop::collection::vec((1u32..60, 0u32..4, 1u32..30), 1..9),
            share in 0u32..=100,
        ) {
            let offers: Vec<Offer> = boards
                .iter()
                .map(|(opening, rate, room)| Offer {
                    opening: f64::from(*opening),
                    rate: f64::from(*rate),
                    room: f64::from(*room),
                    count: 1,
                })
                .collect();
            let all: u32 = boards.iter().map(|b| b.2).sum();
            let area = f64::from(all * share / 100);
            let mut best = f64::INFINITY;
            for choice in 0u32..1 << boards.len() {
                let taken = || (0..offers.len()).filter(|k| choice >> k & 1 == 1);
                let room: f64 = taken().map(|k| offers[k].room).sum();
                if room < area {
                    continue;
                }
                // Of the boards opened, the area is used where it is cheapest.
                let mut rates: Vec<(f64, f64)> = taken().map(|k| (offers[k].rate, offers[k].room)).collect();
                rates.sort_by(|a, b| a.0.total_cmp(&b.0));
                let mut missing = area;
                let mut cost: f64 = taken().map(|k| offers[k].opening).sum();
                for (rate, room) in rates {
                    let used = room.min(missing);
                    cost += rate * used;
                    missing -= used;
                }
                best = best.min(cost);
            }
            let found = least_cost(&offers, area);
            prop_assert!(found <= best + 1e-9, "{found} over {best}");
            if boards.iter().all(|b| b.1 == boards[0].1) {
                prop_assert!(found >= best - 1e-6, "{found} under {best}");
            }
        }
    }
}
