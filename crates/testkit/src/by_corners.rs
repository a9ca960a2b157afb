//! The same board entered in the other way: by its corners, counted from any place.

use heartside_timber::document::{Board, BoardOutline, EdgeKind, Length, ZoneFrom, ZoneShape};

use crate::timberyard::plain;

/// Makes a board measured by tape one that is entered by its corners, which begin to count at
/// `from`: the same wood with the same flaws, moved. Boards of other kinds stay as they are.
///
/// Nothing but the board is moved: neither pins nor a plan.
pub fn by_corners(board: &mut Board, from: (f64, f64)) {
    let Some(BoardOutline::Tape {
        length,
        stations,
        left,
        right,
        start,
        end,
    }) = &board.outline
    else {
        return;
    };
    let length = plain(length);
    let mut widths: Vec<(f64, f64, f64)> = stations
        .iter()
        .map(|s| (plain(&s.at), plain(&s.left), plain(&s.right)))
        .collect();
    widths.sort_by(|a, b| a.0.total_cmp(&b.0));
    if let Some(first) = widths.first().copied().filter(|w| w.0 > 0.0) {
        widths.insert(0, (0.0, first.1, first.2));
    }
    if let Some(last) = widths.last().copied().filter(|w| w.0 < length) {
        widths.push((length, last.1, last.2));
    }
    let corner = |x: f64, y: f64| [Length::Mm(x + from.0), Length::Mm(y + from.1)];
    let low = widths.iter().map(|(x, _, right)| corner(*x, -right));
    let high = widths.iter().rev().map(|(x, left, _)| corner(*x, *left));
    let points = low.chain(high).collect();
    let between = widths.len().saturating_sub(1);
    let sides: Vec<EdgeKind> = std::iter::repeat_n(*right, between)
        .chain([*end])
        .chain(std::iter::repeat_n(*left, between))
        .chain([*start])
        .collect();
    board.outline = Some(BoardOutline::Polygon {
        points,
        sides,
        holes: Vec::new(),
        hole_sides: Vec::new(),
    });
    for zone in &mut board.zones {
        match &mut zone.shape {
            // Taped from the board itself: along from its start end, across from the line at 0.
            Some(ZoneShape::Spot {
                across,
                from: ZoneFrom::ChalkLine,
                ..
            }) => *across = Length::Mm(plain(across) + from.1),
            Some(ZoneShape::Polygon { points }) => {
                for [x, y] in points {
                    (*x, *y) = (Length::Mm(plain(x) + from.0), Length::Mm(plain(y) + from.1));
                }
            }
            _ => {}
        }
    }
    if let Some(grain) = &mut board.grain {
        for [x, y] in grain.lines.iter_mut().flatten() {
            (*x, *y) = (*x + from.0, *y + from.1);
        }
    }
}

#[cfg(test)]
mod tests {
    use heartside_timber::prepare::prepare;

    use super::*;
    use crate::{JobSize, workshop_job};

    #[test]
    fn it_is_the_same_board_elsewhere() {
        let mut document = workshop_job(
            3,
            JobSize {
                boards: 6,
                pieces: 8,
                sawn: 0,
            },
        );
        let here = prepare(&document).job;
        let (dx, dy) = (300.0, -75.0);
        for board in &mut document.boards {
            by_corners(board, (dx, dy));
        }
        let there = prepare(&document).job;
        assert_eq!(here.boards.len(), there.boards.len());
        let mut zones = 0;
        for (a, b) in here.boards.iter().zip(&there.boards) {
            let moved = a.outline.bounds();
            let found = b.outline.bounds();
            assert!((moved.min.x + dx - found.min.x).abs() < 1e-9);
            assert!((moved.max.y + dy - found.max.y).abs() < 1e-9);
            assert_eq!(a.sides, b.sides);
            for (z, w) in a.zones.iter().zip(&b.zones) {
                let (z, w) = (z.shape.bounds().centre(), w.shape.bounds().centre());
                assert!((z.x + dx - w.x).abs() < 1e-6 && (z.y + dy - w.y).abs() < 1e-6);
                zones += 1;
            }
        }
        assert!(zones > 0);
    }
}
