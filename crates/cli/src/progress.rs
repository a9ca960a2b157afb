//! A progress bar on a terminal, nothing in a pipe.

use std::io::IsTerminal;
use std::time::Duration;

use indicatif::{ProgressBar, ProgressStyle};

use crate::team::Limits;

/// Shows how far a run is.
pub(crate) struct Progress {
    bar: ProgressBar,
    limits: Limits,
}

/// The bar counts in thousandths of the whole.
const WHOLE: u64 = 1000;

impl Progress {
    /// A bar if the error stream is a terminal, else nothing at all.
    pub(crate) fn new(limits: Limits) -> Progress {
        let bar = if std::io::stderr().is_terminal() {
            ProgressBar::new(WHOLE)
        } else {
            ProgressBar::hidden()
        };
        // A template that cannot be read would be a mistake of ours; the plain bar serves then.
        let style = ProgressStyle::with_template("setting out  {bar:30}  {msg}")
            .unwrap_or_else(|_| ProgressStyle::default_bar());
        bar.set_style(style);
        Progress { bar, limits }
    }

    /// Shows the state after a round.
    pub(crate) fn round(&self, steps: u64, elapsed: Duration, message: String) {
        let by_steps = self
            .limits
            .steps
            .map_or(0.0, |all| steps as f64 / all.max(1) as f64);
        let seconds = self.limits.by_the_clock();
        let by_time = seconds.map_or(0.0, |all| elapsed.as_secs_f64() / all.max(1e-9));
        self.bar
            .set_position((by_steps.max(by_time).min(1.0) * WHOLE as f64) as u64);
        self.bar.set_message(message);
    }

    /// Takes the bar away.
    pub(crate) fn done(&self) {
        self.bar.finish_and_clear();
    }
}
