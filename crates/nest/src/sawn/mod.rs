//! Blanks sawn out by line, with their true outlines.
//!
//! The engine itself is not here yet: it places nothing but the pins on its boards.

use heartside_timber::document::{BoardCopy, PartCopy};
use heartside_timber::job::Job;
use heartside_timber::plan::{Frame, Layout, Placement, Way};

use crate::engine::{Engine, Task};

/// The engine for a task.
pub(crate) fn engine(job: &Job, task: Task) -> Box<dyn Engine> {
    Box::new(PinsOnly {
        layouts: pinned_layouts(job, &task),
    })
}

/// Layouts that hold the pins alone.
fn pinned_layouts(job: &Job, task: &Task) -> Vec<Layout> {
    task.stock
        .iter()
        .filter_map(|stock| {
            let placements: Vec<Placement> = task
                .pins
                .iter()
                .filter(|p| p.stock == *stock)
                .map(|p| {
                    let PartCopy { part, copy } = PartCopy {
                        part: job.parts[p.part].id.clone(),
                        copy: p.copy,
                    };
                    Placement {
                        part,
                        copy,
                        at: p.at,
                    }
                })
                .collect();
            (!placements.is_empty()).then(|| Layout {
                board: BoardCopy {
                    board: job.boards[stock.board].id.clone(),
                    copy: stock.copy,
                },
                way: Way::Sawn,
                frame: Frame::default(),
                placements,
                cuts: None,
            })
        })
        .collect()
}

struct PinsOnly {
    layouts: Vec<Layout>,
}

impl Engine for PinsOnly {
    fn step(&mut self, _job: &Job) -> bool {
        false
    }

    fn layouts(&self) -> &[Layout] {
        &self.layouts
    }

    fn is_finished(&self) -> bool {
        true
    }

    fn adopt(&mut self, _job: &Job, _layouts: &[Layout]) -> bool {
        false
    }
}
