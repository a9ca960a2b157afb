//! How far each part is: in hand, to saw, or waiting.

use heartside_cutting::{Step, before_planing, work_after_saw};
use heartside_geometry::SortedMap;
use heartside_timber::document::{BoardCopy, PartCopy};
use heartside_timber::finding::Severity;
use heartside_timber::job::Part;

use crate::protocol::{BenchCopy, BenchPart, CopyOf, PartState, Thing, ThingKind};
use crate::session::Session;
use crate::session::picture::{board_label, on_board};
use crate::session::state::copy_of;

/// So many copies of a part are listed one by one.
const MOST_COPIES_LISTED: u32 = 200;

/// How many copies are how far.
#[derive(Debug, Clone, Copy, Default)]
struct Tally {
    in_hand: usize,
    to_saw: usize,
    waiting: usize,
}

impl Tally {
    fn words(self) -> String {
        let said = [
            (self.in_hand, "in hand"),
            (self.to_saw, "to saw"),
            (self.waiting, "waiting"),
        ];
        let said = said.into_iter().filter(|(count, _)| *count > 0);
        let said: Vec<String> = said.map(|(n, word)| format!("{n} {word}")).collect();
        said.join(", ")
    }

    fn add(&mut self, other: Tally) {
        self.in_hand += other.in_hand;
        self.to_saw += other.to_saw;
        self.waiting += other.waiting;
    }
}

/// Where copies are, by copy.
struct Places<'a> {
    lies: SortedMap<PartCopy, &'a BoardCopy>,
    held: SortedMap<PartCopy, &'a str>,
    freed: SortedMap<PartCopy, &'a Step>,
    waits: SortedMap<PartCopy, String>,
}

impl Session {
    /// The parts with the state of their copies, and all of it in a line.
    pub(in crate::session) fn bench_parts(&self) -> (Vec<BenchPart>, String) {
        let places = self.bench_places();
        let mut all = Tally::default();
        let mut rows = Vec::new();
        for (row, typed) in self.document.parts.iter().enumerate() {
            let Some(part) = self.sound_part(row, typed) else {
                continue;
            };
            let staves = self.staves_of(part);
            let own = [part];
            let pieces: &[&Part] = if staves.is_empty() { &own } else { &staves };
            let (mut copies, mut tally) = (Vec::new(), Tally::default());
            for piece in pieces {
                let (of_piece, count) = self.bench_copies(piece, &places);
                copies.extend(of_piece);
                tally.add(count);
            }
            all.add(tally);
            rows.push(BenchPart {
                thing: Thing::row(ThingKind::Part, row),
                name: part.name.clone(),
                text: tally.words(),
                copies,
                work: pieces
                    .first()
                    .map_or_else(Vec::new, |p| work_after_saw(&self.job, p)),
            });
        }
        (rows, all.words())
    }

    fn bench_places(&self) -> Places<'_> {
        let plan = self.document.plan.as_ref();
        let layouts = plan.iter().flat_map(|p| &p.layouts);
        let steps = self.judged.iter().flat_map(|j| &j.steps);
        let frees = steps.flat_map(|step| {
            let blanks = step.yields.iter().flat_map(|y| y.becomes.blank_of());
            blanks.map(move |part| (part.clone(), step))
        });
        let rows = plan.map(|p| self.unplaced_rows(p)).unwrap_or_default();
        let waits = rows.into_iter().flat_map(|row| {
            let why = row.reason;
            row.parts.into_iter().map(move |part| {
                let of = PartCopy {
                    part: part.id,
                    copy: part.copy,
                };
                (of, why.clone())
            })
        });
        let held = self.job.boards.iter().flat_map(|board| {
            let held = board.from.iter().flat_map(|from| from.held());
            held.map(|held| (held.part_copy(), board.id.as_str()))
        });
        Places {
            lies: SortedMap::from_iter(layouts.flat_map(|l| {
                let placed = l.placements.iter();
                placed.map(move |p| (p.part_copy(), &l.board))
            })),
            held: SortedMap::from_iter(held),
            freed: SortedMap::from_iter(frees),
            waits: SortedMap::from_iter(waits),
        }
    }

    fn bench_copies(&self, part: &Part, places: &Places<'_>) -> (Vec<BenchCopy>, Tally) {
        let mut tally = Tally::default();
        let mut rows = Vec::new();
        for copy in 1..=part.count {
            let of = PartCopy {
                part: part.id.clone(),
                copy,
            };
            let is_in_hand = part.in_hand.binary_search(&copy).is_ok();
            let state = match (is_in_hand, places.lies.contains_key(&of)) {
                (true, _) => PartState::InHand,
                (false, true) => PartState::ToSaw,
                (false, false) => PartState::Waiting,
            };
            match state {
                PartState::InHand => tally.in_hand += 1,
                PartState::ToSaw => tally.to_saw += 1,
                PartState::Waiting => tally.waiting += 1,
            }
            if copy <= MOST_COPIES_LISTED {
                rows.push(self.bench_copy(part, of, state, places));
            }
        }
        (rows, tally)
    }

    fn bench_copy(
        &self,
        part: &Part,
        of: PartCopy,
        state: PartState,
        places: &Places<'_>,
    ) -> BenchCopy {
        let step = places.freed.get(&of);
        let mut broken = None;
        let (text, board) = match state {
            PartState::InHand => {
                let piece = places.held.get(&of).copied().unwrap_or_default();
                let board = CopyOf {
                    id: piece.to_owned(),
                    copy: 1,
                };
                broken = self.broken_on(piece);
                let sound = self.job.board(piece);
                let mut words = vec![match step {
                    Some(step) => format!("piece {piece}, to be resawn by cut {}", step.number),
                    None => format!("piece {piece}"),
                }];
                words.extend(sound.iter().flat_map(|b| before_planing(&self.job, b)));
                (words.join("; "), Some(board))
            }
            PartState::ToSaw => {
                let board = places.lies.get(&of);
                let on = board.map_or_else(String::new, |b| on_board(&self.job, b));
                let text = match step {
                    Some(step) => format!("{on}, free after cut {}", step.number),
                    None => on,
                };
                let board = board.map(|b| CopyOf::from(*b));
                (text, board)
            }
            PartState::Waiting => {
                let why = places.waits.get(&of).cloned();
                (
                    why.unwrap_or_else(|| "Waiting on the trestle".to_owned()),
                    None,
                )
            }
        };
        BenchCopy {
            name: part.copy_name(of.copy),
            part: copy_of(&of),
            state,
            text,
            broken,
            board,
            tick: step.map(|s| self.tick_of(s)),
        }
    }

    /// What is wrong with the blank in hand that a piece is.
    fn broken_on(&self, piece: &str) -> Option<String> {
        let mut findings = self.judged.iter().flat_map(|j| &j.findings);
        let own = findings.find(|f| {
            f.severity == Severity::Broken && f.board.as_ref().is_some_and(|b| b.board == piece)
        });
        own.map(|finding| finding.message.clone())
    }

    /// Why the rest should be set out again: parts wait, a rule is broken, or a board cannot be cut.
    pub(in crate::session) fn rest_reason(&self) -> Option<String> {
        let judged = self.judged.as_ref()?;
        if self.job.done.is_empty() {
            return None;
        }
        if !judged.is_sound() {
            return Some("The plan no longer holds".to_owned());
        }
        let without = self.boards_without_cuts();
        if let [(board, _), ..] = without.as_slice() {
            let label = board_label(&self.job, board);
            return Some(format!("No order of cuts is known for {label}"));
        }
        let waiting = judged.wanted.saturating_sub(judged.placed as u64) as usize;
        (waiting > 0).then(|| {
            let parts = heartside_timber::words::counted(waiting, "part waits", "parts wait");
            format!("{parts} for a place")
        })
    }
}
