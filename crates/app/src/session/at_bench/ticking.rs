//! A cut is done, or was not done after all.

use heartside_cutting::{Step, board_words};
use heartside_cutting::{as_planned, not_cut};
use heartside_timber::document::BoardCopy;
use heartside_timber::words::{capital, listed};

use super::done_rows::pieces_of;
use crate::protocol::Outcome;
use crate::session::Session;

impl Session {
    /// The cut of this tick was made as it was planned: its pieces lie where the board lay, and the
    /// rest of the plan goes over to them.
    pub fn tick(&mut self, tick: &str) -> Outcome {
        self.put_down();
        self.end_set_out();
        let Some(step) = self.step_of(tick).cloned() else {
            return Outcome::refused(self.why_no_step(tick));
        };
        if !step.is_ready() {
            return Outcome::refused(self.why_not_ready(&step));
        }
        let wrong = self.boards_without_cuts();
        if let Some((board, why)) = wrong.iter().find(|(board, _)| *board == step.board) {
            let name = capital(&board_words(&self.job, board));
            return Outcome::refused(format!("{name} is not to be cut like this. {why}"));
        }
        let edit = match as_planned(&self.document, &self.job, &step) {
            Ok(edit) => edit,
            Err(refused) => return Outcome::refused(refused.to_string()),
        };
        let number = step.number;
        let done = self.do_at_bench(edit, false, |session, after, job| {
            let cut = after.done.last();
            let words = cut.map(|cut| session.cut_into_words(after, job, cut));
            format!("cut {number}: {}", words.unwrap_or_default())
        });
        match done {
            Ok(label) => {
                self.changed_from = None;
                self.said_at_bench(&self.with_what_came_free(capital(&label)))
            }
            Err(why) => Outcome::refused(why),
        }
    }

    /// What the last cut set free is said with it: it is in hand.
    fn with_what_came_free(&self, said: String) -> String {
        // What was resawn was in hand before.
        let last = self.document.done.last().filter(|cut| !cut.resawn);
        let pieces = last
            .into_iter()
            .flat_map(|c| pieces_of(&self.document, c.id));
        let free: Vec<String> = pieces
            .flat_map(|piece| piece.holds.iter().chain(&piece.leaves))
            .map(|held| self.copy_words(&held.part_copy()))
            .collect();
        match free.len() {
            0 => said,
            1 => format!("{said}. {} is in hand", free[0]),
            _ => format!("{said}. {} are in hand", listed(&free)),
        }
    }

    /// Which cut comes before one whose piece is still part of a board.
    fn why_not_ready(&self, step: &Step) -> String {
        let mut steps = self.judged.iter().flat_map(|j| &j.steps);
        let before = steps.find(|s| s.board == step.board && s.is_ready());
        let first = before.map_or_else(
            || "the cuts before it".to_owned(),
            |before| format!("cut {}", before.number),
        );
        format!(
            "first {first}: {} is still part of {}",
            step.workpiece,
            board_words(&self.job, &step.board)
        )
    }

    /// Why a tick stands for no cut.
    fn why_no_step(&self, tick: &str) -> String {
        let mut words = tick.split('#');
        let board = BoardCopy {
            board: words.next().unwrap_or_default().to_owned(),
            copy: words.next().and_then(|c| c.parse().ok()).unwrap_or(1),
        };
        let known = self.job.board(&board.board);
        match known {
            Some(known) if known.gone.contains(&board.copy) => format!(
                "{} is cut already; its pieces have cuts of their own",
                board_words(&self.job, &board)
            ),
            _ => {
                "the list has changed since, and this cut is not in it any more; nothing was ticked"
                    .to_owned()
            }
        }
    }

    /// A done cut was not made after all: what it cut lies there as it did. Where nothing was
    /// measured or set out since, all of the plan is as it was before the cut.
    pub fn not_cut(&mut self, id: u32) -> Outcome {
        self.put_down();
        self.end_set_out();
        let Some(place) = self.document.done.iter().position(|cut| cut.id == id) else {
            return Outcome::refused("this cut is not among those that were made");
        };
        let cut = &self.document.done[place];
        let board = BoardCopy {
            board: cut.board.clone(),
            copy: cut.board_copy,
        };
        let had_an_order = cut.layout.as_ref().is_some_and(|l| l.cuts.is_some());
        let edit = match not_cut(&self.document, &self.job, id) {
            Ok(edit) => edit,
            Err(refused) => return Outcome::refused(refused.to_string()),
        };
        let words = board_words(&self.job, &board);
        let before = self.standing();
        let label = format!("taking back cut {} of {words}", place + 1);
        match self.do_at_bench(edit, had_an_order, |_, _, _| label) {
            Ok(_) => {
                self.changed_from = Some(before);
                self.said_after_change(&format!("{} was not cut after all", capital(&words)))
            }
            Err(why) => Outcome::refused(why),
        }
    }
}
