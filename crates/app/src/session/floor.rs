//! What of the picture of the floor has changed.

use heartside_drawing::{BoardOnFloor, Floor, OnTheFloor};
use heartside_geometry::{Bounds, SortedMap};
use heartside_timber::document::{BoardCopy, OnFloor, PartCopy};

use super::sent::{Sent, hash_of};
use super::state::copy_of;
use super::{Change, Session};
use crate::protocol::{
    BoardPlace, CopyOf, Fragment, Outcome, PageName, Rectangle, Scene, Thing, ThingKind, View,
};

impl Session {
    /// What of the floor has changed since the last call.
    pub fn scene(&mut self, view: &View) -> Scene {
        self.view = view.clone();
        let floor = self.drawn(view);
        // The boards alone: what is written round them must not move the picture.
        let bounds = round_boards(&floor);
        if view.reset {
            self.sent = Sent::default();
        }
        let mut texts = SortedMap::new();
        let mut shows = SortedMap::new();
        let mut fragments = Vec::new();
        for fragment in floor.fragments {
            let hash = hash_of(&fragment.svg);
            let board = fragment.board.as_ref().map(CopyOf::from);
            let part = fragment.part.as_ref().map(copy_of);
            shows.insert(fragment.id.clone(), (board.clone(), part.clone()));
            if self.sent.texts.get(&fragment.id) != Some(&hash) {
                fragments.push(Fragment {
                    id: fragment.id.clone(),
                    svg: fragment.svg,
                    layer: fragment.layer,
                    board,
                    part,
                });
            }
            texts.insert(fragment.id, hash);
        }
        let removed = self
            .sent
            .texts
            .keys()
            .filter(|id| !texts.contains_key(*id))
            .cloned()
            .collect();
        self.sent = Sent { texts, shows };
        Scene {
            bounds: rectangle(&bounds),
            fragments,
            removed,
            boards: floor
                .boards
                .iter()
                .map(|b| BoardPlace {
                    board: CopyOf::from(&b.board),
                    bounds: rectangle(&b.bounds),
                })
                .collect(),
            description: floor.description,
        }
    }

    fn drawn(&mut self, view: &View) -> Floor {
        let selected: Vec<PartCopy> = view
            .selected_parts
            .iter()
            .map(|c| PartCopy {
                part: c.id.clone(),
                copy: c.copy,
            })
            .collect();
        let board = view.selected_board.as_ref().map(BoardCopy::from);
        let usual = heartside_drawing::View::default();
        let with_parts = matches!(view.place, PageName::SettingOut | PageName::Bench);
        let drawn = heartside_drawing::View {
            pixels_per_mm: view.pixels_per_mm.unwrap_or(usual.pixels_per_mm),
            parts: with_parts,
            cuts: with_parts,
            dimensions: view.place == PageName::Bench,
            figure: self.figure_shown,
            aspect: view.aspect.unwrap_or(usual.aspect),
            selected_parts: &selected,
            selected_board: board.as_ref(),
            chosen_cut: view.chosen_cut.filter(|_| view.place == PageName::Bench),
        };
        let judged = self.judged.as_ref().filter(|_| with_parts);
        let on = OnTheFloor {
            job: &self.job,
            plan: self.document.plan.as_ref(),
            steps: judged.map_or(&[], |j| &j.steps),
            findings: judged.map_or(&[], |j| &j.findings),
            moved: &self.document.floor,
        };
        heartside_drawing::floor_again(&on, &drawn, &mut self.kept_floor)
    }

    /// Where the boards lie, without drawing them.
    pub(super) fn lying(&self) -> Vec<BoardOnFloor> {
        heartside_drawing::boards_on_floor(
            &self.job,
            &self.document.floor,
            self.view
                .aspect
                .unwrap_or(heartside_drawing::View::default().aspect),
        )
    }

    /// The part or board that a fragment shows.
    pub fn thing_of(&self, fragment: &str) -> Option<Thing> {
        let (board, part) = self.sent.shows.get(fragment)?;
        if let Some(part) = part {
            return self.thing_of_part(&part.id);
        }
        let board = board.as_ref()?;
        let row = self.document.boards.iter().position(|b| b.id == board.id)?;
        Some(Thing::row(ThingKind::Board, row))
    }

    /// Puts a board's box with its top left corner at a place of the floor.
    pub fn move_board(&mut self, board: &str, copy: u32, x: f64, y: f64) -> Outcome {
        let of = BoardCopy {
            board: board.to_owned(),
            copy,
        };
        // Pieces go with the board that they came from: each stays a kerf from the next.
        let root = self.job.root(&of).clone();
        let known = self.job.board(board);
        let known = known.filter(|b| b.copies().any(|there| there == copy));
        let (Some(known), Some(whole)) = (known, self.job.board(&root.board)) else {
            return Outcome::refused("this board is not there any more");
        };
        if !x.is_finite() || !y.is_finite() {
            return Outcome::refused("a board can only lie on the floor");
        }
        let (own, whole) = (known.outline.bounds(), whole.outline.bounds());
        let (x, y) = (x + whole.min.x - own.min.x, y + own.max.y - whole.max.y);
        let (height, of) = (whole.height(), root);
        let mut after = self.document.clone();
        // Kept as the lower left corner, y up: a job file has one direction for up.
        let place = OnFloor {
            board: of.clone(),
            x: x.round(),
            y: -(y + height).round(),
        };
        match after.floor.iter_mut().find(|f| f.board == of) {
            Some(there) => *there = place,
            None => after.floor.push(place),
        }
        self.commit(
            &format!("moving board {} on the floor", of.board),
            after,
            Change::Aside,
        );
        Outcome::done()
    }
}

/// The box round all boards; a plain one where there are none.
fn round_boards(floor: &Floor) -> Bounds {
    let boards = floor.boards.iter().map(|b| b.bounds);
    boards.reduce(|a, b| a.union(b)).unwrap_or(floor.bounds)
}

fn rectangle(bounds: &Bounds) -> Rectangle {
    Rectangle {
        x: bounds.min.x,
        y: bounds.min.y,
        width: bounds.width(),
        height: bounds.height(),
    }
}
