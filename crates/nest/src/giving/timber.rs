//! Which boards to try to do with, where fewer or cheaper ones might be enough.

use heartside_geometry::Arrange;
use heartside_timber::document::BoardCopy;
use heartside_timber::job::Job;
use heartside_timber::plan::Plan;
use heartside_timber::score::price_in_use;

use super::sizes::chance_of;

/// With more boards in use none are exchanged two for one: there would be too many ways.
const MOST_PAIRED: usize = 12;

/// Boards are as likely as not to do where this share of them, or this much more than of the boards held, would be
/// blanks; so much more or less makes that three times less or more likely. Of small jobs in which some boards
/// do and others do not: up to 0.70 most do, above 0.80 none.
const EVEN: f64 = 0.75;
const FULLER: f64 = 0.03;
const THREEFOLD: f64 = 0.04;

/// However empty, this likely at most: flaws may be in the way.
const MOST_LIKELY: f64 = 0.9;

/// Boards that were tried, and the steps spent on them in vain.
#[derive(Debug, Default)]
pub(super) struct Timber {
    tried: Vec<(Vec<BoardCopy>, f64)>,
    trying: Vec<BoardCopy>,
}

/// The boards that a plan cuts.
pub(super) fn used(plan: &Plan) -> Vec<BoardCopy> {
    let layouts = plan.layouts.iter().filter(|l| !l.placements.is_empty());
    sorted(layouts.map(|l| l.board.clone()).collect())
}

/// Takes away all boards but some: their copies count as cut. Boards with pins stay.
pub(super) fn restrict(job: &mut Job, to: &[BoardCopy]) {
    let pinned: Vec<BoardCopy> = job.pins.iter().map(|pin| pin.board.clone()).collect();
    for board in &mut job.boards {
        let id = &board.id;
        let is_kept = |copy: u32| {
            let named = |b: &BoardCopy| b.board == *id && b.copy == copy;
            to.iter().any(named) || pinned.iter().any(named)
        };
        let away: Vec<u32> = board.copies().filter(|copy| !is_kept(*copy)).collect();
        board.gone.extend(away);
        board.gone.arrange();
    }
}

impl Timber {
    /// Boards that cost less than those of a plan and have wood enough for the parts at their smallest
    /// (`need`, in square mm): one less, one for another, or one for two; those with the best chance of
    /// the greatest saving are tried. Their chance; none where there are none.
    ///
    /// O(boards used^2 x kinds of boards).
    pub(super) fn next(&mut self, job: &Job, plan: &Plan, need: f64, usual: f64) -> Option<f64> {
        let used = used(plan);
        let price = |copy: &BoardCopy| job.board(&copy.board).map_or(0.0, |b| price_in_use(job, b));
        let area = |copy: &BoardCopy| job.board(&copy.board).map_or(0.0, |b| b.outline.area());
        let mut others: Vec<BoardCopy> = Vec::new();
        for board in job.boards.iter().filter(|b| b.is_usable()) {
            let copy = |copy| BoardCopy {
                board: board.id.clone(),
                copy,
            };
            others.extend(board.copies().map(copy).find(|c| !used.contains(c)));
        }
        let paired = if used.len() <= MOST_PAIRED {
            used.len()
        } else {
            0
        };
        let full = |boards: &[BoardCopy]| need / boards.iter().map(area).sum::<f64>().max(1.0);
        let even = (full(&used) + FULLER).max(EVEN);
        let mut best: Option<(f64, f64, Vec<BoardCopy>)> = None;
        let mut weigh = |left_out: &[usize], other: Option<&BoardCopy>| {
            let saved =
                left_out.iter().map(|k| price(&used[*k])).sum::<f64>() - other.map_or(0.0, price);
            if saved <= 1e-9 {
                return;
            }
            let kept = (0..used.len()).filter(|k| !left_out.contains(k));
            let kept = kept.map(|k| used[k].clone()).chain(other.cloned());
            let boards = sorted(kept.collect());
            let share = full(&boards);
            if share >= 1.0 {
                return;
            }
            let odds = heartside_geometry::math::exp((even - share) / THREEFOLD);
            let before = MOST_LIKELY * odds / (1.0 + odds);
            let chance = chance_of(before, self.in_vain(&boards) / usual);
            let worth = saved * chance;
            if best.as_ref().is_none_or(|(most, ..)| worth > *most) {
                best = Some((worth, chance, boards));
            }
        };
        for k in 0..used.len() {
            weigh(&[k], None);
            others.iter().for_each(|other| weigh(&[k], Some(other)));
            for l in k + 1..paired {
                others.iter().for_each(|other| weigh(&[k, l], Some(other)));
            }
        }
        let (_, chance, boards) = best?;
        self.trying = boards;
        Some(chance)
    }

    /// All boards are tried; the chance that smaller parts leave less out.
    pub(super) fn all(&mut self, usual: f64) -> f64 {
        self.trying.clear();
        chance_of(MOST_LIKELY, self.in_vain(&[]) / usual)
    }

    /// What all boards come to is open again: another plan is held.
    pub(super) fn reopen(&mut self) {
        self.tried.retain(|t| !t.0.is_empty());
    }

    /// The boards that are tried now.
    pub(super) fn trying(&self) -> &[BoardCopy] {
        &self.trying
    }

    fn in_vain(&self, boards: &[BoardCopy]) -> f64 {
        let tried = self.tried.iter().find(|t| t.0 == boards);
        tried.map_or(0.0, |t| t.1)
    }

    /// What was tried came to nothing better in so many steps.
    pub(super) fn failed(&mut self, steps: u64) {
        let steps = steps as f64;
        match self.tried.iter().position(|t| t.0 == self.trying) {
            Some(place) => self.tried[place].1 += steps,
            None => self.tried.push((self.trying.clone(), steps)),
        }
    }
}

fn sorted(mut boards: Vec<BoardCopy>) -> Vec<BoardCopy> {
    boards.arrange();
    boards
}
