//! Boards typed as lines. They are read back as words and pictures at every key, and are in the job
//! only once they are taken, all in one step. What was typed is the whole proposal: nothing else is kept.

use heartside_drawing::{Options, board_svg};
use heartside_exchange::tape::{TapeReading, UNFINISHED, read_tape, write_tape};
use heartside_timber::diagnostic::{Diagnostic, Level};
use heartside_timber::document::{Board, BoardCopy, Document};
use heartside_timber::ids::TakenIds;
use heartside_timber::job::Job;
use heartside_timber::plan::Plan;
use heartside_timber::prepare::prepare;
use heartside_timber::words::counted;

use super::editing::adding::like_last_bought;
use super::{Change, Session};
use crate::protocol::{BoardRead, BoardsRead, LineTold, Outcome, Thing, ThingKind};

/// Pictures of more boards at once would help nobody and take long at every key.
const MOST_PICTURES: usize = 12;

/// Boards that were typed and are not in the job yet.
struct Proposed {
    /// Each with its line.
    boards: Vec<(usize, Board)>,
    told: Vec<LineTold>,
}

impl Session {
    /// Reads boards typed as lines and gives them back as they were understood. Changes nothing.
    pub fn read_boards(&self, text: &str) -> BoardsRead {
        let (Proposed { boards, told }, job) = self.tried(text);
        let picture = |board: &Board| {
            let of = BoardCopy {
                board: board.id.clone(),
                copy: 1,
            };
            board_svg(&job, &Plan::default(), &of, &[], &Options::default())
                .map_or_else(String::new, |drawing| drawing.svg)
        };
        let read = boards.iter().enumerate();
        let read = read.map(|(k, (line, board))| BoardRead {
            line: *line as u32,
            mark: board.id.clone(),
            words: self.read_back(board),
            svg: if k < MOST_PICTURES {
                picture(board)
            } else {
                String::new()
            },
        });
        BoardsRead {
            boards: read.collect(),
            ready: !boards.is_empty() && told.iter().all(|t| t.harmless),
            told,
        }
    }

    /// Adds the boards of all lines, as one step. Refused as long as one of them cannot be read.
    pub fn take_boards(&mut self, text: &str) -> Outcome {
        let (Proposed { boards, told }, _) = self.tried(text);
        if let Some(wrong) = told.iter().find(|t| !t.harmless) {
            return Outcome::refused(match text.trim().contains('\n') {
                true => format!("line {}: {}", wrong.line, wrong.message),
                false => wrong.message.clone(),
            });
        }
        let Some((_, first)) = boards.first() else {
            return Outcome::refused(
                "there is no board here: write its length, widths and thickness",
            );
        };
        let (label, said) = match boards.len() {
            1 => (
                format!("adding board {}", first.id),
                format!("board {}", first.id),
            ),
            n => (
                format!("adding {}", counted(n, "board", "boards")),
                counted(n, "board", "boards"),
            ),
        };
        let mut after = self.document.clone();
        after
            .boards
            .extend(boards.into_iter().map(|(_, board)| board));
        let last = after.boards.len() - 1;
        let prepared = match self.with_all_usable(&after) {
            Ok(prepared) => prepared,
            Err(why) => return Outcome::refused(why),
        };
        self.commit_prepared(&label, after, Change::Job, prepared);
        Outcome::done()
            .saying(format!("Added: {said}"))
            .with_thing(Thing::row(ThingKind::Board, last))
    }

    /// What was typed, prepared by itself: a board that no job could use is told of too.
    fn tried(&self, text: &str) -> (Proposed, Job) {
        let mut proposed = self.proposed(text);
        let boards = proposed.boards.iter().map(|(_, board)| board.clone());
        let alone = Document {
            units: self.document.units.clone(),
            species: self.document.species.clone(),
            workshop: self.document.workshop.clone(),
            boards: boards.collect(),
            ..Document::new()
        };
        let prepared = prepare(&alone);
        for lame in &prepared.left_out {
            let line = proposed.boards.get(lame.row).map_or(1, |(line, _)| *line);
            proposed.told.push(LineTold {
                line: line as u32,
                column: 1,
                message: format!("this board cannot be used: {}", lame.because),
                ..LineTold::default()
            });
        }
        (proposed, prepared.job)
    }

    fn proposed(&self, text: &str) -> Proposed {
        let d = &self.document;
        let mut taken = TakenIds::of(d.boards.iter().map(|b| b.id.as_str()));
        let woods: Vec<String> = d.species.iter().map(|s| s.name.clone()).collect();
        let reading = TapeReading {
            unit: d.units.length,
            woods: &woods,
        };
        let mut like = like_last_bought(d);
        let mut proposed = Proposed {
            boards: Vec::new(),
            told: Vec::new(),
        };
        for line in read_tape(text, &reading, &mut taken) {
            proposed.told.extend(line.diagnostics.iter().map(told));
            let Some(typed) = line.board else {
                continue;
            };
            // Lines taken together are as lines taken one by one.
            let board = like_the_last(typed, &like);
            like = board.clone();
            proposed.boards.push((line.number, board));
        }
        proposed
    }

    /// The board as a line in which nothing is left to be guessed, and what else it has.
    fn read_back(&self, board: &Board) -> String {
        let written = write_tape(board, self.document.units.length);
        let Some(written) = written else {
            return board.id.clone();
        };
        let (_, sizes) = written.split_once(": ").unwrap_or_default();
        sizes.replace(" x ", " \u{d7} ").replace(", of ", ", ")
    }
}

/// What the line does not say is as on the last board: of one stack all have it alike.
pub(super) fn like_the_last(typed: Board, like: &Board) -> Board {
    let mm = |board: &Board| board.thickness.as_ref().and_then(|t| t.plain_mm());
    let species = match typed.species.is_empty() {
        true => like.species.clone(),
        false => typed.species.clone(),
    };
    let is_alike = species == like.species;
    Board {
        species,
        surface: like.surface,
        // Of another wood or thickness they cost something else and were sold as something else.
        price: like.price.clone().filter(|_| is_alike),
        nominal: like.nominal.clone().filter(|_| mm(&typed) == mm(like)),
        ..typed
    }
}

pub(super) fn told(diagnostic: &Diagnostic) -> LineTold {
    let hint = diagnostic.hint.iter().map(|hint| format!("; {hint}"));
    LineTold {
        line: diagnostic.place.line.unwrap_or(1) as u32,
        column: diagnostic.place.column.unwrap_or(1) as u32,
        message: diagnostic.message.clone() + &hint.collect::<String>(),
        harmless: diagnostic.level != Level::Error,
        unfinished: diagnostic.code == UNFINISHED,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::session::tests::small_workshop;

    #[test]
    fn lines_are_read_back_and_change_nothing() {
        let session = small_workshop();
        let before = session.save();
        let read = session.read_boards("2680 x 128/110 131/110 27 teak\n1800 x 140");
        assert_eq!(session.save(), before);
        assert!(!read.ready);
        assert_eq!(read.boards.len(), 1);
        assert!(
            read.boards[0].svg.contains("<svg"),
            "{}",
            read.boards[0].svg
        );
        assert_eq!(
            read.boards[0].words,
            "2680 \u{d7} 128+110 131+110 \u{d7} 27, teak"
        );
        let told = &read.told[0];
        assert!(told.unfinished && !told.harmless);
        assert_eq!((told.line, told.column), (2, 11));
    }

    #[test]
    fn all_lines_are_taken_as_one_step_or_none_is() {
        let mut session = small_workshop();
        let before = session.document.clone();
        let outcome = session.take_boards("2680 x 140 27\n1800 x");
        assert!(!outcome.done && outcome.problem.unwrap().starts_with("line 2:"));
        assert_eq!(session.document, before);
        let outcome = session.take_boards("Q1: 2680 x 140 27 teak\n1800 x 100 27\n");
        assert!(outcome.done, "{:?}", outcome.problem);
        assert_eq!(outcome.announce.as_deref(), Some("Added: 2 boards"));
        assert_eq!(session.document.boards.len(), before.boards.len() + 2);
        assert_eq!(session.document.boards[before.boards.len()].id, "Q1");
        assert!(session.undo().done);
        assert_eq!(session.document, before);
    }

    #[test]
    fn what_a_line_does_not_say_is_as_on_the_last_board() {
        let mut session = small_workshop();
        assert!(session.take_boards("2680 x 140 27 teak").done);
        let row = session.document.boards.len() - 1;
        assert!(
            session
                .set(&Thing::row(ThingKind::Board, row), "nominal", "5/4")
                .done
        );
        assert!(session.take_boards("1800 x 100 27").done);
        assert!(session.take_boards("1800 x 100 40").done);
        assert!(session.take_boards("1800 x 100 40 ash").done);
        let boards = &session.document.boards[row..];
        let species: Vec<&str> = boards.iter().map(|b| b.species.as_str()).collect();
        assert_eq!(species, ["teak", "teak", "teak", "ash"]);
        let sold = boards.iter().map(|b| b.nominal.is_some());
        assert_eq!(sold.collect::<Vec<_>>(), [true, true, false, false]);
        let one_by_one = session.document.clone();
        for _ in 0..3 {
            assert!(session.undo().done);
        }
        let lines = "1800 x 100 27\n1800 x 100 40\n1800 x 100 40 ash";
        assert!(session.take_boards(lines).done);
        assert_eq!(session.document.boards, one_by_one.boards);
    }

    #[test]
    fn a_board_that_no_job_can_use_is_not_taken() {
        let mut session = small_workshop();
        let read = session.read_boards("2680 x 140 1200");
        assert!(!read.ready, "{read:?}");
        assert!(!session.take_boards("2680 x 140 1200").done);
        assert!(!session.take_boards("  \n").done);
    }

    #[test]
    fn another_board_has_the_sizes_and_not_the_flaws() {
        let mut session = small_workshop();
        assert!(
            session
                .take_boards("2680 x 128/110 131/110 27 teak, 3 alike")
                .done
        );
        let row = session.document.boards.len() - 1;
        let thing = Thing::row(ThingKind::Board, row);
        assert!(session.add(ThingKind::Zone, Some(&thing)).done);
        assert!(session.set(&thing, "warp", "measured").done);
        let outcome = session.duplicate(&thing);
        assert!(outcome.done);
        assert!(outcome.announce.unwrap().contains("flaws"));
        let (one, other) = (
            &session.document.boards[row],
            &session.document.boards[row + 1],
        );
        assert_eq!(one.outline, other.outline);
        assert_eq!(
            (&one.species, &one.thickness),
            (&other.species, &other.thickness)
        );
        assert!(other.zones.is_empty() && other.warp.is_none() && other.count.is_none());
        assert_ne!(one.id, other.id);
    }
}
