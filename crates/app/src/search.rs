//! A search in a worker: plain Rust, no browser.

use std::sync::Arc;

use heartside_cutting::cost_words;
use heartside_nest::{ROUND_STEPS, Remake, Settings, WayWanted};
use heartside_timber::document::Document;
use heartside_timber::plan::Plan;
use heartside_timber::prepare::{prepare, prepare_with};

use crate::figure::judge_figure;
use crate::protocol::{SearchFigures, SearchSettings, SearchStatus, WayAsked};
use crate::still_sound::begun_from;

/// A search for the best plan of a job, or the reason why there is none.
pub struct Search {
    running: Result<Running, String>,
}

struct Running {
    search: heartside_nest::Giving,
}

impl std::fmt::Debug for Search {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Search")
            .field("problem", &self.problem())
            .finish_non_exhaustive()
    }
}

impl Search {
    /// Starts a search on the text of a job file. The same text and settings make the same plans.
    pub fn new(document: &str, settings: &SearchSettings) -> Search {
        Search {
            running: Running::new(document, settings),
        }
    }

    /// A search that cannot be.
    pub fn refused(problem: String) -> Search {
        Search {
            running: Err(problem),
        }
    }

    /// Why there is nothing to search, if so.
    pub fn problem(&self) -> Option<String> {
        self.running.as_ref().err().cloned()
    }

    /// Steps in a round.
    pub fn steps_per_round() -> u32 {
        u32::try_from(ROUND_STEPS).unwrap_or(u32::MAX)
    }

    /// Makes at most `steps` steps.
    pub fn step(&mut self, steps: u32) -> SearchStatus {
        match &mut self.running {
            Ok(running) => {
                let status = running.search.step(u64::from(steps));
                SearchStatus {
                    steps: status.steps as f64,
                    improved: status.improved,
                    finished: status.finished,
                }
            }
            Err(_) => SearchStatus {
                finished: true,
                ..SearchStatus::default()
            },
        }
    }

    /// The best plan so far, as JSON.
    pub fn best(&self) -> Option<String> {
        self.running
            .as_ref()
            .ok()
            .and_then(|r| serde_json::to_string(r.search.best()).ok())
    }

    /// Figures of the best plan so far.
    pub fn figures(&self) -> SearchFigures {
        let Ok(Running { search }) = &self.running else {
            return SearchFigures::default();
        };
        let job = search.job();
        let (best, bound) = (search.best(), search.bound());
        SearchFigures {
            cost: best.cost,
            cost_text: cost_words(job, job.spent + best.cost),
            bound: Some(bound.value),
            bound_text: Some(format!(
                "{} can be under {}",
                bound.no_plan(),
                cost_words(job, job.spent + bound.value)
            )),
            placed: best.placed_count() as u32,
            wanted: u32::try_from(job.piece_count()).unwrap_or(u32::MAX),
        }
    }

    /// The state of the search, for telling whether two runs went the same way; empty where there is none.
    pub fn fingerprint(&self) -> String {
        self.running
            .as_ref()
            .map_or_else(|_| String::new(), |r| r.search.fingerprint())
    }

    /// Takes over another worker's best plan where that is better.
    pub fn adopt(&mut self, plan: &str) -> bool {
        match (&mut self.running, Plan::read(plan)) {
            (Ok(running), Ok(plan)) => running.search.adopt(&plan),
            _ => false,
        }
    }
}

impl Running {
    fn new(document: &str, settings: &SearchSettings) -> Result<Running, String> {
        let opened = Document::open(document).map_err(|e| e.to_string())?;
        let mut job = prepare(&opened.document).job;
        judge_figure(&mut job);
        let holds = begun_from(&opened.document, &mut job);
        let way = match settings.way {
            WayAsked::AsJob => WayWanted::AsJob,
            WayAsked::Straight => WayWanted::Straight,
            WayAsked::Sawn => WayWanted::Sawn,
        };
        let settings = Settings {
            seed: settings.seed,
            worker: settings.worker,
            workers: settings.workers,
            way,
            ..Settings::default()
        };
        let document = opened.document;
        let remake: Remake = Arc::new(move |choices| prepare_with(&document, choices).job);
        let search = heartside_nest::Giving::new(&job, settings, remake);
        let mut search = search.map_err(|e| e.to_string())?;
        search.go_on_from(holds);
        Ok(Running { search })
    }
}
