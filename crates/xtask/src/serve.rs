//! Building the page again whenever a source changes.

use std::fs;
use std::path::Path;
use std::thread;
use std::time::{Duration, SystemTime};

use crate::core_module::Finish;
use crate::fault::Outcome;
use crate::page;
use crate::project::Project;

/// Often enough to feel immediate, seldom enough to cost nothing.
const PAUSE: Duration = Duration::from_millis(500);

const SOURCES: [&str; 5] = [
    "crates",
    "web/src",
    "web/index.html",
    "fixtures",
    "Cargo.toml",
];

/// Builds, then watches until it is stopped from outside. A build that fails is shown and the
/// watching goes on.
pub(crate) fn run(project: &Project) -> Outcome<()> {
    loop {
        let state = Sources::look(project);
        match page::build(project, Finish::Quick) {
            Ok(built) => println!(
                "Reload {} in the browser. Waiting for changes; Ctrl-C ends.",
                built.display()
            ),
            Err(fault) => eprintln!("{fault}"),
        }
        while Sources::look(project) == state {
            thread::sleep(PAUSE);
        }
    }
}

/// How many source files there are and when the last one changed.
#[derive(Debug, Default, PartialEq, Eq)]
struct Sources {
    count: usize,
    newest: Option<SystemTime>,
}

impl Sources {
    fn look(project: &Project) -> Self {
        let mut seen = Self::default();
        for source in SOURCES {
            seen.add(&project.at(source));
        }
        seen
    }

    fn add(&mut self, path: &Path) {
        if path.is_dir() {
            for entry in fs::read_dir(path).into_iter().flatten().flatten() {
                self.add(&entry.path());
            }
        } else if path.file_name().is_some_and(|name| name != "generated.js") {
            // The build itself writes generated.js.
            self.count += 1;
            self.newest = self
                .newest
                .max(path.metadata().and_then(|file| file.modified()).ok());
        }
    }
}
