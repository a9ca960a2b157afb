//! What the last change at the bench came to, in three lines.

use heartside_geometry::{SortedMap, SortedSet};
use heartside_nest::fit::least_board;
use heartside_timber::document::{BoardCopy, PartCopy};
use heartside_timber::plan::{Plan, Unplaced, UnplacedReason};
use heartside_timber::words::{capital, counted, listed};

use super::standing::Standing;
use crate::session::Session;
use crate::session::picture::{board_label, cost_words, least_board_words, reason_words};

/// More names make a line that nobody reads.
const MOST_NAMES: usize = 4;
/// More reasons make one as well.
const MOST_WAITING: usize = 2;

impl Session {
    pub(in crate::session) fn standing(&self) -> Standing {
        let plan = self.document.plan.as_ref();
        let layouts = || plan.iter().flat_map(|p| &p.layouts);
        let used = layouts().filter(|l| !l.placements.is_empty());
        let cut = self.job.done.iter().map(|cut| &cut.board);
        let boards = used.map(|l| &l.board).chain(cut);
        Standing {
            places: SortedMap::from_iter(layouts().flat_map(|l| {
                let root = self.job.root(&l.board);
                let placed = l.placements.iter();
                placed.map(move |p| (p.part_copy(), (root.clone(), p.at)))
            })),
            boards: SortedSet::from_iter(boards.map(|board| self.job.root(board).clone())),
            cost: self.job.spent + self.judged.as_ref().map_or(0.0, |j| j.totals.cost),
        }
    }

    /// Parts moved; boards more or less, and money; what can no longer be had. None where nothing
    /// was changed but by cuts as they were planned.
    pub(in crate::session) fn changed_lines(&self) -> Vec<String> {
        let (Some(before), Some(plan)) = (&self.changed_from, &self.document.plan) else {
            return Vec::new();
        };
        let now = self.standing();
        vec![
            self.moved_line(before, &now),
            self.boards_line(before, &now),
            self.waiting_line(plan),
        ]
    }

    fn moved_line(&self, before: &Standing, now: &Standing) -> String {
        let moved = now.places.iter().filter(|(part, place)| {
            let was = before.places.get(part);
            was.is_some_and(|was| was != *place)
        });
        let moved: Vec<&PartCopy> = moved.map(|(part, _)| part).collect();
        match moved.len() {
            0 => "What was placed lies where it lay.".to_owned(),
            n => format!(
                "{} elsewhere: {}.",
                counted(n, "part lies", "parts lie"),
                self.names(&moved)
            ),
        }
    }

    fn boards_line(&self, before: &Standing, now: &Standing) -> String {
        let only_in = |a: &SortedSet<BoardCopy>, b: &SortedSet<BoardCopy>| -> Vec<String> {
            let own = a.difference(b);
            own.map(|board| board_label(&self.job, board)).collect()
        };
        let more = only_in(&now.boards, &before.boards);
        let less = only_in(&before.boards, &now.boards);
        let mut words = Vec::new();
        for (boards, word) in [(more, "more"), (less, "less")] {
            if !boards.is_empty() {
                let count = counted(boards.len(), "board", "boards");
                words.push(format!("{count} {word} ({})", listed(&boards)));
            }
        }
        let boards = match words.is_empty() {
            true => "The same boards".to_owned(),
            false => listed(&words),
        };
        let money = |cost: f64| cost_words(&self.job, cost);
        let all = money(now.cost);
        let by = now.cost - before.cost;
        match (all == money(before.cost), by > 0.0) {
            (true, _) => format!("{boards}, {all} in all as before."),
            (_, true) => format!("{boards}, {} more: {all} in all.", money(by)),
            (_, false) => format!("{boards}, {} less: {all} in all.", money(-by)),
        }
    }

    /// One sentence for each part of which copies wait: each has its own reason and size.
    fn waiting_line(&self, plan: &Plan) -> String {
        let waits = plan.unplaced.iter().filter(|u| !u.copies.is_empty());
        let all: Vec<&Unplaced> = waits.collect();
        if all.is_empty() {
            return match self.judged.as_ref().is_none_or(|j| j.is_sound()) {
                true => "Every part has its place.".to_owned(),
                false => "Some parts no longer fit where they lie.".to_owned(),
            };
        }
        let shown = &all[..all.len().min(MOST_WAITING)];
        let mut said: Vec<String> = shown.iter().map(|u| self.waiting_words(u)).collect();
        let more: usize = all[shown.len()..].iter().map(|u| u.copies.len()).sum();
        if more > 0 {
            let more = counted(more, "more part has", "more parts have");
            said.push(format!("{more} no place."));
        }
        said.join(" ")
    }

    fn waiting_words(&self, waits: &Unplaced) -> String {
        let copies = waits.copies.iter().map(|copy| PartCopy {
            part: waits.part.clone(),
            copy: *copy,
        });
        let copies: Vec<PartCopy> = copies.collect();
        let names = self.names(&copies.iter().collect::<Vec<_>>());
        let (verb, it) = match copies.len() {
            1 => ("has", "it"),
            _ => ("have", "one"),
        };
        let mut told = waits.clone();
        if let (None, Some(part)) = (told.least_board, self.job.part(&told.part)) {
            told.least_board = Some(least_board(&self.job, part));
        }
        let least = least_board_words(&self.job, &told);
        let why = match told.reason {
            UnplacedReason::NotTried => "set out the rest to look for one".to_owned(),
            _ => reason_words(&self.job, &told),
        };
        let board = match least.is_empty() {
            true => String::new(),
            false => format!(". The least board that would take {it} is {least}"),
        };
        capital(&format!("{names} {verb} no place: {why}{board}."))
    }

    fn names(&self, parts: &[&PartCopy]) -> String {
        let shown = match parts.len() > MOST_NAMES + 1 {
            true => &parts[..MOST_NAMES],
            false => parts,
        };
        let mut names: Vec<String> = shown.iter().map(|p| self.copy_words(p)).collect();
        if shown.len() < parts.len() {
            names.push(format!("{} more", parts.len() - shown.len()));
        }
        listed(&names)
    }
}
