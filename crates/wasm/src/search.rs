//! A search in a worker: plain Rust, no browser.

use crate::protocol::{SearchFigures, SearchSettings, SearchStatus};

/// A search.
#[derive(Debug, Default)]
pub struct Search {
    problem: Option<String>,
}

#[allow(missing_docs)]
impl Search {
    pub fn new(_document: &str, _settings: &SearchSettings) -> Search {
        Search::refused("not there yet".to_owned())
    }
    pub fn refused(problem: String) -> Search {
        Search {
            problem: Some(problem),
        }
    }
    pub fn problem(&self) -> Option<String> {
        self.problem.clone()
    }
    pub fn steps_per_round() -> u32 {
        64
    }
    pub fn step(&mut self, _steps: u32) -> SearchStatus {
        SearchStatus {
            finished: true,
            ..SearchStatus::default()
        }
    }
    pub fn best(&self) -> Option<String> {
        None
    }
    pub fn figures(&self) -> SearchFigures {
        SearchFigures::default()
    }
    pub fn adopt(&mut self, _plan: &str) -> bool {
        false
    }
}
