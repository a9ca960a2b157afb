//! The cuts in order, board by board.

use super::Session;
use super::picture::board_label;
use heartside_cutting::Caution;

use crate::protocol::{BenchBoard, BenchStep, CopyOf};
use heartside_timber::length::write_length;

/// The cautions of a step: in full where they are due for the first time, the others by their
/// short names on one line.
fn cautions_shown(cautions: &[Caution]) -> Vec<String> {
    let mut shown: Vec<String> = Vec::new();
    let again: Vec<&str> = cautions
        .iter()
        .filter(|c| !c.first)
        .map(Caution::shown)
        .collect();
    shown.extend(cautions.iter().filter(|c| c.first).map(|c| c.text.clone()));
    if !again.is_empty() {
        shown.push(format!("As before: {}.", again.join(", ")));
    }
    shown
}

impl Session {
    pub(super) fn bench_boards(&self) -> Vec<BenchBoard> {
        let Some(judged) = &self.judged else {
            return Vec::new();
        };
        let mut boards: Vec<BenchBoard> = Vec::new();
        for step in &judged.steps {
            let board = CopyOf {
                id: step.board.board.clone(),
                copy: step.board.copy,
            };
            if boards.last().is_none_or(|b| b.board != board) {
                let thick = self
                    .job
                    .board(&step.board.board)
                    .map(|b| format!(", {} thick", write_length(b.thickness, &self.job.units)));
                let title = format!(
                    "Board {}{}",
                    board_label(&self.job, &step.board),
                    thick.unwrap_or_default()
                );
                boards.push(BenchBoard {
                    board: board.clone(),
                    title,
                    steps: Vec::new(),
                });
            }
            let out = BenchStep {
                number: step.number,
                fragment: Some(format!("cuts-{}-{}", board.id, board.copy)),
                board,
                title: step.title.clone(),
                lines: step.text.clone(),
                cautions: cautions_shown(&step.cautions),
            };
            if let Some(last) = boards.last_mut() {
                last.steps.push(out);
            }
        }
        boards
    }
}
