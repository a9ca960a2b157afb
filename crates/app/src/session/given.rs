//! A file of boards that was given, what was said about it, and what it comes to.

use heartside_exchange::outlines::{Named, Read, Said, read_dxf, read_svg};
use heartside_exchange::paste::read_boards;
use heartside_timber::diagnostic::Diagnostic;
use heartside_timber::document::Board;
use heartside_timber::ids::TakenIds;
use heartside_timber::length::Unit;

/// A file of boards and what was said about it.
#[derive(Debug, Clone, Default)]
pub(super) struct GivenFile {
    pub(super) name: String,
    pub(super) text: String,
    pub(super) said: Said,
    /// Of all its boards that have none, as it was typed.
    pub(super) thickness: String,
    /// The boards of it that are left out, by their places.
    pub(super) without: Vec<u32>,
}

/// What a file comes to.
#[derive(Default)]
pub(super) struct Proposed {
    pub(super) boards: Vec<Board>,
    pub(super) told: Vec<Diagnostic>,
    pub(super) names: Vec<Named>,
    /// How far all reaches in the file's own numbers, where its unit is to be said.
    pub(super) asks: Option<[f64; 2]>,
    /// Boards are drawn: a table says more of them.
    pub(super) drawn: bool,
    /// The thickness of some board is open.
    pub(super) asks_thickness: bool,
}

impl GivenFile {
    /// Reads it. Bare numbers of a table are in `unit`; ids come from `taken`.
    pub(super) fn read(&self, unit: Unit, taken: &mut TakenIds) -> Proposed {
        let kind = self.name.rsplit('.').next().unwrap_or_default();
        let reader = match kind.to_lowercase().as_str() {
            "svg" => read_svg,
            "dxf" => read_dxf,
            _ => {
                let read = read_boards(&self.text, unit, taken);
                return Proposed {
                    boards: read.boards,
                    told: read.diagnostics,
                    ..Proposed::default()
                };
            }
        };
        match reader(&self.text, &self.said, taken) {
            Read::AskUnit { extent } => Proposed {
                asks: Some(extent),
                ..Proposed::default()
            },
            Read::Boards(read) => Proposed {
                boards: read.boards,
                told: read.diagnostics,
                names: read.names,
                drawn: true,
                ..Proposed::default()
            },
        }
    }

    /// Those of its boards that are neither left out nor of no use.
    pub(super) fn taken<'a>(
        &'a self,
        boards: &'a [Board],
        cannot: &'a [(String, String)],
    ) -> impl Iterator<Item = &'a Board> {
        let places = boards.iter().enumerate();
        let kept = places.filter(|(place, board)| {
            !self.without.contains(&(*place as u32)) && cannot.iter().all(|(id, _)| *id != board.id)
        });
        kept.map(|(_, board)| board)
    }
}
