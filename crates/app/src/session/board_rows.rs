//! Rows of boards.

use heartside_timber::document::{self, PricePer, Use};
use heartside_timber::finding::Severity;
use heartside_timber::job::Board;
use heartside_timber::length::{write_dimension, write_money, write_percent};
use heartside_timber::words::{counted, listed};

use super::Session;
use super::picture::board_label;
use super::rows::{NOT_KNOWN, count_of};
use crate::protocol::{BoardRow, Thing, ThingKind};
use heartside_cutting::is_scrap;

impl Session {
    pub(super) fn board_rows(&self) -> Vec<BoardRow> {
        self.document
            .boards
            .iter()
            .enumerate()
            .map(|(row, board)| self.board_row(row, board))
            .collect()
    }

    fn board_row(&self, row: usize, typed: &document::Board) -> BoardRow {
        let thing = Thing::row(ThingKind::Board, row);
        let sound = self.sound_board(row, typed);
        let show = |mm: f64| write_dimension(mm, &self.job.units);
        BoardRow {
            problems: self.problem_count(&thing),
            thing,
            id: typed.id.clone(),
            name: typed.name.clone(),
            count: sound.map_or_else(|| count_of(typed.count), |b| b.count),
            size: sound.map_or_else(
                || NOT_KNOWN.to_owned(),
                |b| {
                    let bounds = b.outline.bounds();
                    format!("{} \u{d7} {}", show(bounds.width()), show(bounds.height()))
                },
            ),
            thickness: sound.map_or_else(
                || self.length_words(typed.thickness.as_ref()),
                |b| show(b.thickness),
            ),
            species: typed.species.clone(),
            price: self.price_words(typed.price.as_ref()),
            use_word: match typed.usage {
                Use::Freely => "freely",
                Use::IfNeeded => "only if needed",
                Use::First => "before the others",
                Use::Leave => "leave it alone",
            }
            .to_owned(),
            sound: sound.is_some(),
            used: sound
                .filter(|b| b.left() > 0 && !b.is_in_hand())
                .map(|b| self.used_words(b))
                .unwrap_or_default(),
            findings: self.judged.as_ref().map_or(0, |j| {
                let of_board = |f: &&heartside_timber::finding::Finding| {
                    f.board.as_ref().is_some_and(|b| b.board == typed.id)
                        && f.severity == Severity::Broken
                };
                j.findings.iter().filter(of_board).count() as u32
            }),
            state: self.board_state(typed),
            gone: sound.is_some_and(|b| b.left() == 0),
            is_piece: typed.from.is_some(),
        }
    }

    /// What has become of a board, in a word or two; empty for one that is whole.
    fn board_state(&self, typed: &document::Board) -> String {
        let Some(board) = self.job.board(typed.id.trim()) else {
            return String::new();
        };
        let held = typed.holds.as_ref().filter(|_| board.is_in_hand());
        if let Some(held) = held {
            let all = std::iter::once(held).chain(&typed.leaves);
            let names: Vec<String> = all.map(|p| self.copy_words(&p.part_copy())).collect();
            return format!("{}, in hand", listed(&names));
        }
        if board.left() == 0 {
            return "cut up".to_owned();
        }
        let what = match is_scrap(&self.job, self.document.plan.as_ref(), board) {
            true => "waste",
            false => "piece",
        };
        match &board.from {
            Some(from) => format!("{what} of {}", board_label(&self.job, &from.root)),
            None if board.gone.is_empty() => String::new(),
            None => format!("{} of {} cut up", board.gone.len(), board.count),
        }
    }

    fn price_words(&self, price: Option<&document::Price>) -> String {
        let Some(price) = price else {
            return NOT_KNOWN.to_owned();
        };
        let currency = self.document.currency.as_deref().unwrap_or_default();
        let per = match price.per {
            PricePer::Board => "",
            PricePer::M3 => " a m\u{b3}",
            PricePer::M2 => " a m\u{b2}",
            PricePer::BoardFoot => " a board foot",
            PricePer::M => " a metre",
        };
        write_money(price.amount, currency) + per
    }

    fn used_words(&self, board: &Board) -> String {
        let Some(plan) = &self.document.plan else {
            return String::new();
        };
        let layouts = || {
            plan.layouts
                .iter()
                .filter(|l| l.board.board == board.id && !l.placements.is_empty())
        };
        let parts: usize = layouts().map(|l| l.placements.len()).sum();
        if parts == 0 {
            return "nothing on it".to_owned();
        }
        let wood: f64 = layouts()
            .flat_map(|l| &l.placements)
            .filter_map(|p| self.job.part(&p.part))
            .map(|p| p.outline.area() * p.thickness)
            .sum();
        let share = wood / (board.volume() * layouts().count() as f64);
        format!(
            "{}, {} in parts",
            counted(parts, "part", "parts"),
            write_percent(share)
        )
    }
}
