//! The cuts in order, board by board.

use super::Session;
use super::picture::board_label;
use crate::protocol::{BenchBoard, BenchStep, CopyOf};
use heartside_timber::length::write_length;

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
                cautions: step.cautions.iter().map(|c| c.text.clone()).collect(),
            };
            if let Some(last) = boards.last_mut() {
                last.steps.push(out);
            }
        }
        boards
    }
}
