//! What lies near a part that is held over a board: asked by whoever lays parts by hand.

use heartside_geometry::{Bounds, Pose, PreparedRegion};
use heartside_timber::document::{BoardCopy, PartCopy};
use heartside_timber::finding::{Rule, Severity};
use heartside_timber::job::{Board, Zone};
use heartside_timber::plan::Way;

use crate::floor::Laid;
use crate::index::Piece;
use crate::live::Live;

/// A part held over a board, and what lies near it there.
#[derive(Debug)]
pub struct Near<'a> {
    /// The part as it would lie there.
    pub piece: Piece,
    /// The board.
    pub board: &'a Board,
    /// The board's outline.
    pub outline: &'a PreparedRegion,
    /// What else lies on the board near by.
    pub others: Vec<&'a Piece>,
    /// The zones near by, each with the box round its shape.
    pub zones: Vec<(&'a Zone, Bounds)>,
    /// How the board is cut, or would be to take the part.
    pub way: Way,
    /// What two blanks keep between them while no order of cuts is known, in millimetres.
    pub kerf: f64,
}

impl Live {
    /// What lies within some millimetres of a part, were it to lie there; none where the job
    /// knows no such part or board, or the pose is no place.
    pub fn near(
        &self,
        part: &PartCopy,
        board: &BoardCopy,
        pose: Pose,
        within_mm: f64,
    ) -> Option<Near<'_>> {
        let index = self.index();
        let piece = index.piece(part, pose)?;
        let place = index.board_place(board)?;
        let (wood, prepared) = index.board(place);
        let laid = self.laid_on(board);
        let way = laid.map_or_else(|| self.way_for(part, board), |l| l.layout().way);
        let others = laid.iter().flat_map(|l| l.neighbours(&piece, within_mm));
        let others = others.map(|(_, other)| other);
        Some(Near {
            others: others.filter(|other| other.copy != piece.copy).collect(),
            zones: prepared
                .zones_near(&piece.bounds.grown(within_mm))
                .map(|zone| (&wood.zones[zone.place], *zone.shape.bounds()))
                .collect(),
            board: wood,
            outline: &prepared.outline,
            way,
            kerf: index.kerf_once_moved(way, Some(place)),
            piece,
        })
    }

    /// True if a part that lay there would break no rule about its place: inside the board,
    /// kerf, zones, fixings. What no move could mend does not count.
    pub fn is_free(&self, part: &PartCopy, board: &BoardCopy, pose: Pose) -> bool {
        let index = self.index();
        let Some(piece) = index.piece(part, pose) else {
            return false;
        };
        let found = match self.laid_on(board) {
            Some(laid) => laid.supposing(index, &piece),
            None => Laid::empty(index, board, self.way_for(part, board)).supposing(index, &piece),
        };
        !found.iter().any(|finding| {
            finding.severity == Severity::Broken
                && matches!(
                    finding.rule,
                    Rule::Inside | Rule::Kerf | Rule::Zones | Rule::Fixings
                )
        })
    }
}
