//! What is selected, in words.

use heartside_cutting::board_words;
use heartside_timber::choices::part_named;
use heartside_timber::document::BoardCopy;
use heartside_timber::job::{GrainRule, PartCut};
use heartside_timber::length::{write_angle, write_dimension, write_length, write_weight};
use heartside_timber::words::capital;

use super::Session;
use super::picture::{blank_extents, on_board};
use super::rows::faces_words;
use crate::protocol::{CopyOf, Line, SelectionSheet, Thing, ThingKind, View};

impl Session {
    /// The sheet of what is selected: the first part, else the board.
    pub fn selection(&self, view: &View) -> Option<SelectionSheet> {
        match (view.selected_parts.first(), &view.selected_board) {
            (Some(part), _) => self.part_sheet(part),
            (None, Some(board)) => self.board_sheet(board),
            (None, None) => None,
        }
    }

    /// The row of a part, or of the panel that a stave is of.
    pub(super) fn thing_of_part(&self, id: &str) -> Option<Thing> {
        let named = part_named(id);
        let row = self.document.parts.iter().position(|p| p.id == named)?;
        Some(Thing::row(ThingKind::Part, row))
    }

    fn part_sheet(&self, of: &CopyOf) -> Option<SelectionSheet> {
        let thing = self.thing_of_part(&of.id)?;
        let Some(part) = self.job.part(&of.id) else {
            return Some(SelectionSheet {
                title: self.called(&thing),
                thing: Some(thing),
                ..SelectionSheet::default()
            });
        };
        let place = self.document.plan.as_ref().and_then(|p| {
            let (layout, slot) = p.find(&of.id, of.copy)?;
            let layout = &p.layouts[layout];
            Some((layout, &layout.placements[slot]))
        });
        let mut lines = Vec::new();
        let mut add = |label: &str, value: String| {
            lines.push(Line {
                label: label.to_owned(),
                value,
            })
        };
        add("Finished", self.finished_words(part));
        add("Blank", self.blank_words(part));
        add("Faces", faces_words(part.faces).to_owned());
        if let Some((layout, placement)) = place
            && let Some(board) = self.job.board(&layout.board.board)
        {
            if let GrainRule::Axis { across, tolerance } = part.grain {
                let middle = placement.pose().apply(part.outline.bounds().centre());
                let axis = placement.at.turn + if across { 90.0 } else { 0.0 };
                let off = angle_off(axis, board.grain.angle_at(middle));
                add(
                    "Grain off straight",
                    format!(
                        "{} of {}",
                        write_angle(round_to_tenth(off)),
                        write_angle(tolerance)
                    ),
                );
            }
            let (along, across) = blank_extents(part);
            let gives = heartside_timber::blank::greatest_finished_thickness(
                board,
                &part.allowances,
                along,
                across,
            );
            add("Could finish at", write_length(gives, &self.job.units));
            add("Turned", write_angle(placement.at.turn));
            if placement.at.turned_over {
                add("Lies", "turned over".to_owned());
            }
        }
        if self.is_pinned(&of.id, of.copy) {
            add("Pinned", "stays where it lies".to_owned());
        }
        Some(SelectionSheet {
            title: part.copy_name(of.copy),
            subtitle: match place {
                Some((l, _)) => on_board(&self.job, &l.board),
                None if part.in_hand.contains(&of.copy) => "in hand".to_owned(),
                None => "on the trestle".to_owned(),
            },
            lines,
            thing: Some(thing),
            part: Some(of.clone()),
            board: None,
            placed: place.is_some(),
            pinned: self.is_pinned(&of.id, of.copy),
            may_turn_over: part.may_turn_over,
            sawn: part.cut == PartCut::Sawn
                || place.is_some_and(|(l, _)| l.way == heartside_timber::plan::Way::Sawn),
        })
    }

    fn board_sheet(&self, of: &CopyOf) -> Option<SelectionSheet> {
        let row = self.document.boards.iter().position(|b| b.id == of.id)?;
        let thing = Thing::row(ThingKind::Board, row);
        let copy = BoardCopy {
            board: of.id.clone(),
            copy: of.copy,
        };
        let mut lines = Vec::new();
        if let Some(board) = self.job.board(&of.id) {
            let show = |mm: f64| write_dimension(mm, &self.job.units);
            let bounds = board.outline.bounds();
            let mut add = |label: &str, value: String| {
                lines.push(Line {
                    label: label.to_owned(),
                    value,
                })
            };
            add(
                "Size",
                format!(
                    "{} \u{d7} {} \u{d7} {}",
                    show(bounds.width()),
                    show(bounds.height()),
                    show(board.thickness)
                ),
            );
            if !board.species.is_empty() {
                add("Species", board.species.clone());
            }
            if board.density > 0.0 {
                add(
                    "Weight",
                    write_weight(board.volume() * 1e-9 * board.density, &self.job.units),
                );
            }
            match &board.from {
                Some(from) => add("Piece of", board_words(&self.job, &from.root)),
                None => add("Price", super::picture::cost_words(&self.job, board.cost)),
            }
            add("Marked areas", board.zones.len().to_string());
        }
        Some(SelectionSheet {
            title: capital(&board_words(&self.job, &copy)),
            subtitle: self.document.boards[row].name.clone(),
            lines,
            thing: Some(thing),
            board: Some(of.clone()),
            ..SelectionSheet::default()
        })
    }
}

/// The angle between two directions, 0 to 90 degrees.
fn angle_off(a: f64, b: f64) -> f64 {
    let apart = (a - b).rem_euclid(180.0);
    apart.min(180.0 - apart)
}

fn round_to_tenth(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}
