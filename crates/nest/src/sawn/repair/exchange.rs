//! Boards given up for fewer or cheaper ones that are not in use.

use heartside_geometry::Arrange;

use super::{MOST_BOARDS, Repair};
use crate::chance::Chance;
use crate::sawn::attempt::{Attempt, shuffle_a_little, yard_room};
use crate::sawn::build::{covered, placing_order};
use crate::sawn::tools::Tools;

/// So many exchanges are drawn, and so many boards at most are given up in one.
const EXCHANGES: usize = 40;

const GIVEN_UP: usize = 3;

/// By so much at most the share of the boards that is covered may grow in an exchange, as a share of it.
const FULLER: f64 = 0.15;

impl Repair {
    /// Takes up the pieces of some boards, to lay them on the others and on fewer or cheaper ones
    /// that are not in use; false where no such exchange is found.
    ///
    /// Of those drawn the one that saves most is taken, among those that ask for no more than a
    /// certain share of the boards to be covered.
    pub(super) fn exchange(
        &self,
        tools: &mut Tools<'_>,
        attempt: &mut Attempt,
        used: &[usize],
    ) -> bool {
        let free: Vec<usize> = (used.iter().copied())
            .filter(|s| self.current.boards[*s].iter().all(|l| !l.pinned))
            .collect();
        let clear =
            |tools: &Tools<'_>, s: usize| tools.yard.boards[tools.stock[s].board].clear_area;
        let cost = |tools: &Tools<'_>, list: &[usize]| -> (f64, f64) {
            let boards = list
                .iter()
                .map(|s| &tools.job.boards[tools.stock[*s].board]);
            boards.fold((0.0, 0.0), |sum, b| {
                let reluctant = f64::from(u8::from(b.is_spared()));
                (sum.0 + reluctant, sum.1 + b.cost)
            })
        };
        let mut unused: Vec<usize> = (0..tools.stock.len())
            .filter(|s| self.current.boards[*s].is_empty())
            .collect();
        let laid: f64 = (used.iter())
            .map(|s| covered(tools.yard, &self.current.boards[*s]))
            .sum();
        let all: f64 = used.iter().map(|s| clear(tools, *s)).sum();
        let fuller = FULLER * tools.chance.unit() * tools.chance.unit();
        let most = (laid / all.max(1.0) * (1.0 + fuller)).min(1.0);
        let mut best: Option<(f64, Vec<usize>, Vec<usize>)> = None;
        for _ in 0..EXCHANGES {
            let given_up = 1 + tools.chance.below(GIVEN_UP.min(free.len()).max(1));
            let taken = tools.chance.below(given_up + 1).min(unused.len());
            let given_up = drawn(&mut free.clone(), given_up, tools.chance);
            let taken = drawn(&mut unused, taken, tools.chance);
            let (before, after) = (cost(tools, &given_up), cost(tools, &taken));
            let saved = before.1 - after.1;
            let area = |list: &[usize]| list.iter().map(|s| clear(tools, *s)).sum::<f64>();
            let room = all - area(&given_up) + area(&taken);
            if given_up.is_empty() || after.0 > before.0 || saved <= 0.0 || laid > most * room {
                continue;
            }
            if saved > best.as_ref().map_or(0.0, |b| b.0) {
                best = Some((saved, given_up, taken));
            }
        }
        let Some((_, given_up, taken)) = best else {
            return false;
        };
        for s in &given_up {
            attempt.take_up(tools, *s, 100);
        }
        let mut order: Vec<usize> = (used.iter().copied())
            .filter(|s| !given_up.contains(s))
            .chain(taken)
            .collect();
        let room = |s: usize| yard_room(tools.yard, tools.stock[s].board, &attempt.floor.boards[s]);
        order.arrange_by(|a, b| room(*b).total_cmp(&room(*a)).then(a.cmp(b)));
        order.truncate(MOST_BOARDS);
        attempt.order = order;
        (attempt.forcing, attempt.forces_all) = (false, true);
        placing_order(tools.job, tools.yard, tools.pieces, &mut attempt.queue);
        shuffle_a_little(&mut attempt.queue, tools.chance);
        attempt.queue.reverse();
        true
    }
}

/// So many of a list, drawn by chance; the list changes its order.
fn drawn(list: &mut [usize], count: usize, chance: &mut Chance) -> Vec<usize> {
    let count = count.min(list.len());
    for k in 0..count {
        list.swap(k, k + chance.below(list.len() - k));
    }
    list[..count].to_vec()
}
