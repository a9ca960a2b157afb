//! The plain rules that the search is measured against.
//!
//! Both lay pieces out one after the other, each into the first place of the first board
//! that takes it, with the same tools, obstacles and cuts as the search has: what is
//! measured is the search, not the rules of the workshop. No pins are heeded.

use heartside_nest::kit::Chance;
use heartside_timber::job::Job;
use heartside_timber::plan::Plan;
use heartside_timber::score::Score;

use crate::first_fit::FirstFit;

/// The score of the rule: longest piece first, each into the first board that it fits.
pub fn longest_first(job: &Job) -> Score {
    let mut order = pieces(job);
    let longest = |p: usize| job.parts[p].length().max(job.parts[p].width());
    order.sort_by(|a, b| longest(*b).total_cmp(&longest(*a)).then(a.cmp(b)));
    lay_out(job, &mut FirstFit::new(job), &order)
}

/// The best score of `count` random orders of the same rule.
pub fn best_of_random_orders(job: &Job, count: u32, seed: u32) -> Score {
    let mut boards = FirstFit::new(job);
    let mut chance = Chance::new(seed, 0, 9);
    let mut order = pieces(job);
    let mut best = lay_out(job, &mut boards, &[]);
    for _ in 0..count.max(1) {
        // Fisher and Yates.
        for k in (1..order.len()).rev() {
            order.swap(k, chance.below(k + 1));
        }
        let score = lay_out(job, &mut boards, &order);
        if score.better_than(&best, &job.order) {
            best = score;
        }
    }
    best
}

/// Every piece, by its part.
fn pieces(job: &Job) -> Vec<usize> {
    let copies = |p: usize| std::iter::repeat_n(p, job.parts[p].wanted_count() as usize);
    (0..job.parts.len()).flat_map(copies).collect()
}

fn lay_out(job: &Job, boards: &mut FirstFit, order: &[usize]) -> Score {
    boards.begin_anew();
    for part in order {
        boards.lay(*part);
    }
    let plan = Plan {
        layouts: boards.layouts(),
        ..Plan::default()
    };
    Score::of(job, &plan)
}
