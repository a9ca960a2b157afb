//! The staves of a panel as they lie in it, and what is said of each.

use heartside_cutting::board_label;
use heartside_timber::choices::PanelChoice;
use heartside_timber::document::{BoardCopy, HeartSide, PartCopy};
use heartside_timber::job::Job;
use heartside_timber::length::write_dimension;
use heartside_timber::plan::Plan;

use crate::document::joined;

/// A stave in its place in the panel, or a piece of one that is joined end to end.
#[derive(Debug, Clone, PartialEq)]
pub struct StaveSeen {
    /// It, as a part of the job.
    pub part: PartCopy,
    /// Its number.
    pub number: u32,
    /// Which of its pieces, from 1; 0 for a stave in one piece.
    pub piece: u32,
    /// Its finished width before gluing.
    pub width: f64,
    /// Its finished length before joining.
    pub length: f64,
    /// From where to where it is seen along the panel, up to the middle of its end joints.
    pub(super) along: (f64, f64),
    /// The board that it comes out of, or the piece that it is.
    pub board: Option<BoardCopy>,
    /// Its blank is sawn.
    pub in_hand: bool,
    /// The face of the panel that its heart side shows on.
    pub heart: HeartSide,
}

/// The staves of a copy of a panel, the first lowest, of each its pieces from the panel's start on.
pub fn staves_seen(job: &Job, plan: &Plan, choice: &PanelChoice) -> Vec<StaveSeen> {
    let panel = job.panels.iter().find(|p| p.part.id == choice.panel.part);
    let (long, taken) = panel.map_or((0.0, 0.0), |p| (p.length, p.ends.taken));
    let pieces = choice.staves.iter().flat_map(|stave| {
        let ends = stave.ends(taken);
        let numbers = stave.piece_numbers().zip(stave.ids(&choice.panel));
        let seen = numbers.enumerate().map(move |(k, (piece, id))| {
            let from = k.checked_sub(1).map_or(0.0, |k| ends[k]);
            let to = ends.get(k).copied().unwrap_or(long);
            let length = stave.pieces.get(k).copied().unwrap_or(long);
            (piece, id, length, (from, to))
        });
        let seen: Vec<_> = seen.collect();
        seen.into_iter().map(move |seen| (stave, seen))
    });
    let staves = pieces.map(|(stave, (piece, id, length, along))| {
        let part = PartCopy { part: id, copy: 1 };
        let held = job.boards.iter().find_map(|board| {
            let held = board.from.as_ref()?.holds.as_ref()?;
            let piece = BoardCopy {
                board: board.id.clone(),
                copy: 1,
            };
            (held.part_copy() == part).then_some((piece, held.at.turned_over))
        });
        let in_hand = held.is_some();
        let lies = held.or_else(|| {
            let (layout, place) = plan.find(&part.part, part.copy)?;
            let layout = &plan.layouts[layout];
            let over = layout.placements[place].at.turned_over;
            Some((layout.board.clone(), over))
        });
        let heart = lies.as_ref().and_then(|(board, over)| {
            let side = job.board(&board.board)?.heart_side;
            Some(match (side, over) {
                (HeartSide::Up, true) => HeartSide::Down,
                (HeartSide::Down, true) => HeartSide::Up,
                (side, _) => side,
            })
        });
        StaveSeen {
            number: stave.number,
            piece,
            width: stave.width,
            length,
            along,
            board: lies.map(|(board, _)| board),
            in_hand,
            heart: heart.unwrap_or_default(),
            part,
        }
    });
    staves.collect()
}

/// "heart side up"; empty where nobody has looked.
pub(super) fn heart_words(heart: HeartSide) -> &'static str {
    match heart {
        HeartSide::Unknown => "",
        HeartSide::Up => "heart side up",
        HeartSide::Down => "heart side down",
    }
}

/// Where a stave comes from: "from A", "in hand", "on the trestle".
pub(super) fn from_words(job: &Job, stave: &StaveSeen) -> String {
    match (&stave.board, stave.in_hand) {
        (_, true) => "in hand".to_owned(),
        (Some(board), false) => format!("from {}", board_label(job, board)),
        (None, false) => "on the trestle".to_owned(),
    }
}

/// Where a stave comes from and its heart side; piece by piece where it is joined.
pub fn row_words(job: &Job, row: &[StaveSeen]) -> String {
    let hearts = |seen: &StaveSeen| heart_words(seen.heart);
    if let [whole] = row {
        return joined(&[&from_words(job, whole), hearts(whole)]);
    }
    let pieces = row.iter().map(|piece| {
        let long = write_dimension(piece.length, &job.units);
        let told = format!(
            "piece {}, {long} long, {}",
            piece.piece,
            from_words(job, piece)
        );
        match hearts(piece) {
            "" => told,
            heart => format!("{told}, {heart}"),
        }
    });
    joined(
        &pieces
            .collect::<Vec<_>>()
            .iter()
            .map(String::as_str)
            .collect::<Vec<_>>(),
    )
}
