//! Searches beside the search, in which boards have other prices: so boards are taken that are as cheap, or a little
//! dearer, and may be of better figure.
//!
//! Each begins from nothing with prices drawn anew (noising the data: Charon & Hurdy 1993), makes some steps and ends.
//! What it comes to is measured by the true prices. The search itself does not learn of it.

use std::sync::Arc;

use heartside_geometry::SortedMap;
use heartside_timber::job::Job;
use heartside_timber::plan::Plan;

use super::{Giving, Remake};
use crate::chance::Chance;
use crate::settings::Settings;

/// What is added at most to a board's price, as a share of it, where figure may cost nothing: enough to choose
/// between equals.
const A_LITTLE: f64 = 1e-6;

/// Each lasts so many times what the first search has for itself.
const LASTS: u64 = 3;

/// The searches, one after the other.
pub(super) struct OtherPrices {
    chance: Chance,
    begun: u32,
    now: Option<(Box<Giving>, u64)>,
}

impl OtherPrices {
    pub(super) fn new(settings: Settings) -> OtherPrices {
        OtherPrices {
            chance: Chance::new(settings.seed, settings.worker, 11),
            begun: 0,
            now: None,
        }
    }

    /// Goes on by a step; a plan where that was the last step of one search. `alone` is what the first search of the
    /// job has for itself.
    pub(super) fn step(
        &mut self,
        (job, remake): (&Job, Option<&Remake>),
        settings: Settings,
        alone: u64,
    ) -> Option<Plan> {
        let Some((giving, left)) = &mut self.now else {
            self.now = self
                .begun(job, remake, settings)
                .map(|giving| (giving, LASTS * alone));
            return None;
        };
        let status = giving.step(1);
        *left = left.saturating_sub(1);
        if *left > 0 && !status.finished {
            return None;
        }
        let (giving, _) = self.now.take()?;
        // What was proved of it holds with its prices alone.
        Some(Plan {
            bound: None,
            ..giving.best().clone()
        })
    }

    fn begun(
        &mut self,
        job: &Job,
        remake: Option<&Remake>,
        settings: Settings,
    ) -> Option<Box<Giving>> {
        self.begun += 1;
        let settings = Settings {
            seed: settings.seed.wrapping_add(self.begun),
            floor: false,
            ..settings
        };
        let added = job.boards.iter().map(|board| {
            let most = job.figure_worth + A_LITTLE * board.cost;
            let share = if self.chance.percent(50) {
                self.chance.unit()
            } else {
                0.0
            };
            (board.id.clone(), most * share)
        });
        let added = SortedMap::from_iter(added);
        let with_prices = move |mut job: Job| {
            job.judge = None;
            for board in &mut job.boards {
                board.cost += added.get(&board.id).copied().unwrap_or(0.0);
            }
            job
        };
        let here = with_prices(job.clone());
        let remake: Remake = match remake.cloned() {
            Some(remake) => Arc::new(move |choices| with_prices(remake(choices))),
            None => {
                let here = here.clone();
                Arc::new(move |_| here.clone())
            }
        };
        let mut giving = Giving::new(&here, settings, remake).ok()?;
        giving.held.search.hurry();
        Some(Box::new(giving))
    }
}
