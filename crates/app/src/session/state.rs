//! Everything that the header and the side sheet show.

use heartside_geometry::SortedMap;

use heartside_drawing::BoardOnFloor;
use heartside_timber::blank::Blank;
use heartside_timber::document::PartCopy;
use heartside_timber::finding::{Finding, Severity};
use heartside_timber::job::Board;
use heartside_timber::length::Unit;
use heartside_timber::words::counted;

use super::Session;
use super::staying::makers_parts;
use crate::protocol::{
    Bench, CopyOf, FindingRow, PageName, State, Tabs, TrestleRow, VerdictKind, View,
};
use crate::words::aim_words;
use heartside_cutting::is_scrap;

impl Session {
    /// Everything that the header and the side sheet show in one of the four places.
    pub fn state(&mut self, place: PageName, selection: &View) -> State {
        let plan = self.plan_summary();
        State {
            place,
            title: self.document.title.clone(),
            units: match self.job.units.unit {
                Unit::Millimetres => "mm",
                Unit::Inches => "in",
            }
            .to_owned(),
            revision: self.epoch,
            undo: self.undo_label(),
            redo: self.history.redo_label().map(str::to_owned),
            tabs: self.tabs(),
            problems: self.problem_rows(),
            boards: self.board_rows(),
            parts: self.part_rows(),
            plan,
            findings: self.finding_rows(),
            kept: if place == PageName::SettingOut {
                self.kept_rows()
            } else {
                Vec::new()
            },
            trestle: self.trestle_rows(),
            tools: self.tool_rows(),
            dimensions: self.dimension_rows(),
            matches: self.match_rows(),
            species: self.species_rows(),
            aims: self
                .aims()
                .into_iter()
                .map(|aim| aim_words(aim).to_owned())
                .collect(),
            bench: if place == PageName::Bench {
                self.bench()
            } else {
                Bench::default()
            },
            selection: self.selection(selection),
            setting_out: self.set_out.is_some(),
            announce: self.announce.take(),
        }
    }

    fn undo_label(&self) -> Option<String> {
        // A set-out that is on is taken back as a whole.
        if self.set_out_changed_something() {
            return Some("set out".to_owned());
        }
        self.history.undo_label().map(str::to_owned)
    }

    fn tabs(&self) -> Tabs {
        let whole = self.job.boards.iter().filter(|b| b.from.is_none());
        let boards: usize = whole.map(|b| b.left() as usize).sum();
        let plan = self.document.plan.as_ref();
        let is_kept =
            |b: &&Board| b.from.is_some() && b.is_usable() && !is_scrap(&self.job, plan, b);
        let pieces = self.job.boards.iter().filter(is_kept);
        let pieces = match pieces.count() {
            0 => String::new(),
            n => format!(", {}", counted(n, "piece", "pieces")),
        };
        let lame = |count: usize| {
            if count == 0 {
                String::new()
            } else {
                format!(", {count} to mend")
            }
        };
        let parts: usize = makers_parts(&self.job).map(|p| p.count as usize).sum();
        let setting_out = match &self.judged {
            None => "not yet".to_owned(),
            Some(judged) => match judged.verdict() {
                VerdictKind::Checked if self.is_stale() => "changed since".to_owned(),
                VerdictKind::Checked => "all placed".to_owned(),
                VerdictKind::NotAllPlaced => {
                    format!("{} of {} placed", judged.placed, judged.wanted)
                }
                VerdictKind::Wrong => counted(
                    judged.count(Severity::Broken),
                    "thing wrong",
                    "things wrong",
                ),
            },
        };
        Tabs {
            timber: counted(boards, "board", "boards") + &pieces + &lame(self.to_mend.boards),
            piece: counted(parts, "part", "parts") + &lame(self.to_mend.parts),
            setting_out,
            bench: match self.judged.as_ref().map(|j| j.steps.len()) {
                None => "no cuts yet".to_owned(),
                Some(0) if !self.job.done.is_empty() => "all cut".to_owned(),
                Some(n) if !self.job.done.is_empty() => {
                    format!("{} left", counted(n, "cut", "cuts"))
                }
                Some(n) => counted(n, "cut", "cuts"),
            },
        }
    }

    pub(super) fn finding_rows(&self) -> Vec<FindingRow> {
        let Some(judged) = &self.judged else {
            return Vec::new();
        };
        let boards = self.lying();
        let row = |(i, f)| finding_row(i, f, &boards);
        judged.findings.iter().enumerate().map(row).collect()
    }

    /// One row for each part that waits, whatever its copies: thousands of them are one blank and a number.
    fn trestle_rows(&self) -> Vec<TrestleRow> {
        let plan = self.document.plan.as_ref();
        let unplaced = plan.map(|p| self.unplaced_rows(p)).unwrap_or_default();
        let reasons: SortedMap<&str, &str> = unplaced
            .iter()
            .rev()
            .flat_map(|u| u.parts.iter().map(|p| (p.id.as_str(), u.reason.as_str())))
            .collect();
        heartside_drawing::waiting(&self.job, plan)
            .into_iter()
            .map(|(index, copies)| {
                let part = &self.job.parts[index];
                let bounds = Blank::of(part).bounds();
                TrestleRow {
                    part: CopyOf {
                        id: part.id.clone(),
                        copy: copies[0],
                    },
                    name: match copies.as_slice() {
                        [one] => part.copy_name(*one),
                        _ => part.name.clone(),
                    },
                    copies,
                    blank: heartside_drawing::blank_words(&self.job, part),
                    reason: reasons.get(part.id.as_str()).map(|r| (*r).to_owned()),
                    width: bounds.width(),
                    height: bounds.height(),
                }
            })
            .collect()
    }

    /// A blank's picture for the trestle, asked for when it comes into sight.
    pub fn trestle_picture(&self, part: &str, copy: u32) -> String {
        let of = PartCopy {
            part: part.to_owned(),
            copy,
        };
        let pixels = self.view.pixels_per_mm.unwrap_or(0.4);
        heartside_drawing::trestle_blank(&self.job, &of, pixels)
            .map(|blank| blank.svg)
            .unwrap_or_default()
    }
}

/// A finding with its place on the floor.
pub(super) fn finding_row(index: usize, finding: &Finding, boards: &[BoardOnFloor]) -> FindingRow {
    let place = finding
        .board
        .as_ref()
        .and_then(|board| boards.iter().find(|b| b.board == *board));
    let at = place.zip(finding.at);
    FindingRow {
        id: format!("finding-{}", index + 1),
        rule: u32::from(finding.rule.number()),
        severity: finding.severity,
        message: finding.message.clone(),
        board: finding.board.as_ref().map(CopyOf::from),
        parts: finding.parts.iter().map(copy_of).collect(),
        x: at.map(|(place, at)| place.origin.x + at.x),
        y: at.map(|(place, at)| place.origin.y - at.y),
    }
}

pub(super) fn copy_of(part: &PartCopy) -> CopyOf {
    CopyOf {
        id: part.part.clone(),
        copy: part.copy,
    }
}
