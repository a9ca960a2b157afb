//! Rules 3 and 4: marked areas and old fixings.

use heartside_timber::document::{BoardCopy, PartCopy};
use heartside_timber::job::Zone;
use heartside_timber::plan::Direction;
use heartside_timber::words::capital;

use super::names::Words;

impl Words<'_> {
    pub(crate) fn too_near_zone(
        &self,
        part: &PartCopy,
        board: &BoardCopy,
        zone: &Zone,
        by: f64,
        touching: bool,
    ) -> String {
        let (part, board, by, zone) = (
            self.part(part),
            self.board(board),
            self.gap(by),
            self.zone(zone),
        );
        if touching {
            format!("{part} overlaps {zone} on {board}: it reaches {by} too far.")
        } else {
            format!("{part} is {by} too near {zone} on {board}.")
        }
    }

    pub(crate) fn defect_on_face(
        &self,
        part: &PartCopy,
        board: &BoardCopy,
        zone: &Zone,
        by: f64,
    ) -> String {
        format!(
            "{} would show {} of {} on a face that matters: it reaches {} too far.",
            self.part(part),
            self.zone(zone),
            self.board(board),
            self.gap(by)
        )
    }

    pub(crate) fn sapwood_seen(
        &self,
        part: &PartCopy,
        board: &BoardCopy,
        zone: &Zone,
        by: f64,
    ) -> String {
        format!(
            "{} would show {} of {} on its seen face: it reaches {} too far.",
            self.part(part),
            self.zone(zone),
            self.board(board),
            self.gap(by)
        )
    }

    pub(crate) fn holds_fixing(
        &self,
        part: &PartCopy,
        board: &BoardCopy,
        zone: &Zone,
        by: f64,
    ) -> String {
        format!(
            "{} reaches {} over {} on {}, and it may not hold one.",
            self.part(part),
            self.gap(by),
            self.zone(zone),
            self.board(board)
        )
    }

    pub(crate) fn fixing_near_edge(
        &self,
        part: &PartCopy,
        board: &BoardCopy,
        zone: &Zone,
        by: f64,
    ) -> String {
        format!(
            "{} of {} lies {} too near the edge of {}: it must stay wholly inside, {} from every edge.",
            capital(&self.zone(zone)),
            self.board(board),
            self.gap(by),
            self.part(part),
            self.length(zone.margin)
        )
    }

    pub(crate) fn fixing_planed(
        &self,
        part: &PartCopy,
        board: &BoardCopy,
        zone: &Zone,
        (thickness, finished): (f64, f64),
    ) -> String {
        format!(
            "{} of {} lies in {}, which is planed from {} to {}: it may be metal and would ruin the knives. Draw it before planing, or say how deep it lies.",
            capital(&self.zone(zone)),
            self.board(board),
            self.part(part),
            self.length(thickness),
            self.length(finished)
        )
    }

    pub(crate) fn fixing_too_shallow(
        &self,
        part: &PartCopy,
        board: &BoardCopy,
        zone: &Zone,
        by: f64,
    ) -> String {
        format!(
            "{} of {} lies in {}, {} too near to what may be planed off it: it may be metal and would ruin the knives.",
            capital(&self.zone(zone)),
            self.board(board),
            self.part(part),
            self.gap(by)
        )
    }

    pub(crate) fn sawn_line_at_fixing(
        &self,
        part: &PartCopy,
        board: &BoardCopy,
        zone: &Zone,
        by: f64,
    ) -> String {
        format!(
            "The saw going round {} comes {} too near {} on {}.",
            self.part(part),
            self.gap(by),
            self.zone(zone),
            self.board(board)
        )
    }

    pub(crate) fn cut_at_fixing(
        &self,
        direction: Direction,
        at: f64,
        board: &BoardCopy,
        zone: &Zone,
        by: f64,
    ) -> String {
        format!(
            "{} comes {} too near {}.",
            capital(&self.cut(direction, at, board)),
            self.gap(by),
            self.zone(zone)
        )
    }
}
