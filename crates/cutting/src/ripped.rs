//! What a cupped board finishes at if it is ripped into staves first.

use heartside_timber::defaults;
use heartside_timber::job::{Board, Job, Warp};
use heartside_timber::length::write_length;
use heartside_timber::warp::{CuppedBoard, StavesRow, staves_for_thickness};

/// Millimetres of cup left that nobody planes for: more staves gain nothing.
const AS_FLAT: f64 = 0.1;
/// More glue lines than this are another piece of furniture.
const MOST_ROWS: usize = 6;

/// A board with a measured cup, whole and in two, three and more staves, until that gains nothing.
///
/// It is ripped by the saw with the thinnest kerf, and as much is planed off as any part asks for.
/// Nothing for a board without a cup. O(parts).
pub fn ripped(job: &Job, board: &Board) -> Vec<StavesRow> {
    let Warp::Measured {
        cup: (gap, over), ..
    } = board.warp
    else {
        return Vec::new();
    };
    if gap == 0.0 {
        return Vec::new();
    }
    let rips = job.workshop.tools.iter().filter(|tool| tool.rips);
    let planed = job.parts.iter().map(|part| part.allowances.clean_up);
    let cupped = CuppedBoard {
        width: over,
        thickness: board.thickness,
        cup: gap,
        kerf: rips
            .map(|tool| tool.kerf)
            .reduce(f64::min)
            .unwrap_or(defaults::RIP_KERF),
        clean_up: planed.reduce(f64::max).unwrap_or(defaults::CLEAN_UP),
    };
    let wanted = cupped.thickness - 2.0 * cupped.clean_up - AS_FLAT;
    let mut rows = staves_for_thickness(&cupped, wanted).unwrap_or_default();
    rows.truncate(MOST_ROWS);
    rows.retain(|row| row.finishes_at > 0.0);
    rows
}

/// "whole 21.3 mm; 2 staves of 97 mm: 23.2 mm; 3 of 64 mm: 23.6 mm"; nothing for a board without a cup.
pub fn ripped_words(job: &Job, board: &Board) -> Option<String> {
    let words = |mm| write_length(mm, &job.units);
    let row = |row: &StavesRow| match row.staves {
        1 => format!("whole {}", words(row.finishes_at)),
        n => format!(
            "{n} staves of {}: {}",
            words(row.stave_width),
            words(row.finishes_at)
        ),
    };
    let rows: Vec<String> = ripped(job, board).iter().map(row).collect();
    (!rows.is_empty()).then(|| rows.join("; "))
}

#[cfg(test)]
mod tests {
    use heartside_testkit::by_hand;
    use heartside_timber::document::EdgeKind;

    use super::*;

    /// A cup of 4 over 200 on a board 27 thick: a quarter of it is left in each half, as arcs have it.
    #[test]
    fn a_cupped_board_finishes_thicker_in_more_staves() {
        let outline = by_hand::rectangle(1000.0, 200.0);
        let mut board = by_hand::board("A", outline, |_, _| EdgeKind::Raw);
        let job = by_hand::job(vec![board.clone()], Vec::new());
        assert_eq!(ripped_words(&job, &board), None);
        board.thickness = 27.0;
        board.warp = Warp::Measured {
            cup: (4.0, 200.0),
            bow: (0.0, 1000.0),
            twist: (0.0, 1000.0, 200.0),
        };
        let rows = ripped(&job, &board);
        let finish: Vec<f64> = rows.iter().map(|row| row.finishes_at).collect();
        assert!((finish[0] - (27.0 - 1.6 - 4.0)).abs() < 0.01, "{finish:?}");
        assert!(
            (finish[1] - (27.0 - 1.6 - 0.967)).abs() < 0.01,
            "{finish:?}"
        );
        assert!(finish.windows(2).all(|pair| pair[0] < pair[1]));
        assert_eq!(rows.len(), MOST_ROWS);
        let words = ripped_words(&job, &board).unwrap();
        assert!(words.starts_with("whole 21.4"), "{words}");
    }
}
