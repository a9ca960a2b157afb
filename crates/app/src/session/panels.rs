//! Panels as they are glued up: their picture, their order, and how they move over the year.

use heartside_drawing::{MARK_WORDS, StaveSeen, panel_facts, row_words, staves_seen};
use heartside_geometry::Arrange;
use heartside_timber::choices::PanelChoice;
use heartside_timber::defaults;
use heartside_timber::document::{PartCopy, Rings};
use heartside_timber::finding::Severity;
use heartside_timber::job::Panel;
use heartside_timber::length::{Unit, write_decimal, write_length};
use heartside_timber::movement::{coefficient_from_shrinkage, over_the_year};
use heartside_timber::species::find_wood;
use heartside_timber::words::{capital, listed};

use super::Session;
use super::state::copy_of;
use crate::protocol::{Line, Outcome, PanelSheet, StaveRow};
use crate::words::GONE;

/// A real piece differs from mean wood by a quarter or more.
const BAND: f64 = 0.25;

impl Session {
    /// Every copy of every panel as it is glued up.
    pub fn panels(&self) -> Vec<PanelSheet> {
        let panels = self.job.panels.iter();
        let copies = panels.flat_map(|panel| panel.copies.iter().map(move |c| (panel, c)));
        copies
            .map(|(panel, choice)| self.panel_sheet(panel, choice))
            .collect()
    }

    fn panel_sheet(&self, panel: &Panel, choice: &PanelChoice) -> PanelSheet {
        let plan = self.plan_or_empty();
        let seen = staves_seen(&self.job, &plan, choice);
        let (movement, movement_because) = match self.movement(panel, &seen) {
            Ok((lines, because)) => (lines, because),
            Err(why) => (Vec::new(), why),
        };
        let row = |row: &[StaveSeen]| {
            let stave = &row[0];
            let between = if row.len() == 1 { ", " } else { "; " };
            let told = row_words(&self.job, row).replace(" · ", between);
            StaveRow {
                part: copy_of(&stave.part),
                number: stave.number,
                name: format!("Stave {}", stave.number),
                text: format!("{}{between}{told}", self.wide_words(stave.width)),
            }
        };
        let rows: Vec<&[StaveSeen]> = seen.chunk_by(|a, b| a.number == b.number).collect();
        PanelSheet {
            panel: copy_of(&choice.panel),
            title: panel.part.copy_name(choice.panel.copy),
            facts: panel_facts(&self.job, panel, choice),
            key: format!("panel {} {}", choice.panel.part, choice.panel.copy),
            mark: MARK_WORDS.to_owned(),
            staves: rows.into_iter().rev().map(row).collect(),
            problems: self.wrong_as_glued(&seen),
            movement,
            movement_because,
        }
    }

    /// What the checker found wrong with staves of a panel.
    fn wrong_as_glued(&self, seen: &[StaveSeen]) -> Vec<String> {
        let is_here = |part: &PartCopy| seen.iter().any(|s| s.part == *part);
        let findings = self.judged.iter().flat_map(|j| &j.findings);
        let broken = findings.filter(|f| f.severity == Severity::Broken);
        let here = broken.filter(|f| f.parts.iter().any(is_here));
        here.map(|f| f.message.clone()).collect()
    }

    /// Puts a stave at another place in its panel, counted from 0 from the uppermost: one undo step.
    pub fn move_stave(&mut self, part: &str, copy: u32, number: u32, to: u32) -> Outcome {
        self.put_down();
        let of = PartCopy {
            part: part.to_owned(),
            copy,
        };
        let mut plan = self.plan_or_empty();
        // What the job is made for, should the plan have chosen something that no longer holds.
        let chosen = self.chosen();
        (plan.dimensions, plan.panels) = (chosen.dimensions, chosen.panels);
        let mut panels = plan.panels.iter_mut();
        let staves = panels.find(|c| c.panel == of).map(|c| &mut c.staves);
        let Some(staves) = staves else {
            return Outcome::refused(GONE);
        };
        let Some(from) = staves.iter().position(|s| s.number == number) else {
            return Outcome::refused(GONE);
        };
        let last = staves.len() - 1;
        let place = last - (to as usize).min(last);
        if from == place {
            return Outcome::done();
        }
        let stave = staves.remove(from);
        staves.insert(place, stave);
        let mut after = self.document.clone();
        after.plan = Some(plan);
        let name = self.job.name_of(&of).unwrap_or_default();
        let change = self.by_hand();
        self.commit(&format!("moving stave {number} of {name}"), after, change);
        let place = match place {
            0 => "lowest now".to_owned(),
            at if at == last => "uppermost now".to_owned(),
            at => format!("number {} from below now", at + 1),
        };
        let said = format!("Stave {number} of {name} is {place}");
        let sheets = self.panels().into_iter();
        let mut wrong = sheets
            .filter(|s| s.panel == copy_of(&of))
            .flat_map(|s| s.problems);
        Outcome::done().saying(match wrong.next() {
            Some(wrong) => format!("{said}. {wrong}"),
            None => said,
        })
    }

    /// How much a panel moves across its width over the year and what room that needs, with what that
    /// rests on; else why it is not known.
    fn movement(&self, panel: &Panel, seen: &[StaveSeen]) -> Result<(Vec<Line>, String), String> {
        let mut typed = self.document.panels.iter();
        let typed = typed.find(|p| p.part == panel.part.id);
        let rings = typed.map_or(Rings::Mixed, |p| p.rings);
        let air = (
            typed.and_then(|p| p.driest).unwrap_or(defaults::AIR.0),
            typed.and_then(|p| p.dampest).unwrap_or(defaults::AIR.1),
        );
        let woods = self.woods_of(panel, seen);
        if woods.is_empty() {
            return Err("Write in the species of the boards to see how much it moves.".to_owned());
        }
        let (mut least, mut most) = (f64::INFINITY, 0.0_f64);
        for wood in &woods {
            let (tangential, radial) = self.coefficients(wood).ok_or_else(|| {
                format!("How much {wood} moves is not known here. Write it in as a species of your own, in the workshop.")
            })?;
            let moves = |coefficient: f64| {
                over_the_year(panel.width, coefficient, (air.0 / 100.0, air.1 / 100.0)).map_err(
                    |_| "Driest and dampest air are from 0 to 100 %, the driest first.".to_owned(),
                )
            };
            let (low, high) = match rings {
                Rings::Mixed => (radial.min(tangential), tangential.max(radial)),
                Rings::Flat => (tangential, tangential),
                Rings::Quarter => (radial, radial),
            };
            least = least.min(moves(low)? * (1.0 - BAND));
            most = most.max(moves(high)? * (1.0 + BAND));
        }
        // Up to what a rule shows, so that there is room enough.
        let fine = match self.job.units.unit {
            Unit::Millimetres => 0.5,
            Unit::Inches => 25.4 / 32.0,
        };
        let up = |mm: f64| write_length((mm / fine - 1e-9).ceil() * fine, &self.job.units);
        let line = |label: &str, value: String| Line {
            label: label.to_owned(),
            value,
        };
        let lines = vec![
            line(
                "Its width changes by",
                match up(least) == up(most) {
                    true => up(most),
                    false => format!("{} to {}", up(least), up(most)),
                },
            ),
            line(
                "Held in its middle",
                format!("slots for {} at each edge", up(most / 2.0)),
            ),
            line(
                "Held at one edge",
                format!("slots for {} at the other", up(most)),
            ),
            line(
                "Set in a frame, made in dry air",
                format!("{} of gap in all", up(most)),
            ),
        ];
        let how = match rings {
            Rings::Mixed => "rings flat or upright",
            Rings::Flat => "rings flat",
            Rings::Quarter => "rings upright",
        };
        let because = format!(
            "{}, {how}, in air of {} to {} % humidity: published means, with a quarter to either side.",
            capital(&listed(&woods)),
            write_decimal(air.0, 1),
            write_decimal(air.1, 1)
        );
        Ok((lines, because))
    }

    /// What its staves are of; before any is placed what the part may be of.
    fn woods_of(&self, panel: &Panel, seen: &[StaveSeen]) -> Vec<String> {
        let boards = seen.iter().filter_map(|s| s.board.as_ref());
        let boards = boards.filter_map(|b| self.job.board(&b.board));
        let mut woods: Vec<String> = boards.map(|b| b.species.clone()).collect();
        if woods.is_empty() {
            woods.clone_from(&panel.part.species);
        }
        if woods.is_empty() {
            woods = self.job.boards.iter().map(|b| b.species.clone()).collect();
        }
        woods.retain(|wood| !wood.trim().is_empty());
        woods.arrange();
        woods.dedup();
        woods
    }

    /// Change for each per cent of moisture, tangential and radial: the maker's own, else published.
    fn coefficients(&self, name: &str) -> Option<(f64, f64)> {
        let mut own = self.document.species.iter();
        let own = own.find(|s| s.name.eq_ignore_ascii_case(name.trim()));
        let wood = find_wood(name);
        let worked_out = |of: fn((f64, f64)) -> f64| {
            let wood = wood?;
            let shrinkage = of(wood.shrinkage?);
            Some(coefficient_from_shrinkage(shrinkage, wood.shrinks_from))
        };
        let tangential = own.and_then(|s| s.tangential);
        let radial = own.and_then(|s| s.radial);
        Some((
            tangential
                .or_else(|| wood?.tangential)
                .or_else(|| worked_out(|s| s.0))?,
            radial
                .or_else(|| wood?.radial)
                .or_else(|| worked_out(|s| s.1))?,
        ))
    }
}
