//! Jobs whose blanks are a given share of the boards' area, in workshops of all kinds.

use heartside_geometry::Point;
use heartside_timber::document::{
    BoardOutline, Cuts, Document, Faces, GrainAxis, Length, Part, PartCut, PartGrain, Shape,
};

use crate::by_corners::by_corners;
use crate::chance::Chance;
use crate::timberyard::{board, clear_size, empty_job, mm, plain};
use crate::workshop::{Outfit, fit_out};
use crate::workshop_job::{add_flaws, curved_outline};

/// What to generate.
#[derive(Debug, Clone, Copy)]
pub struct FilledJob {
    /// Boards.
    pub boards: usize,
    /// Area of all blanks together, in per cent of the boards' area.
    pub share: f64,
    /// Share of sawn pieces with curved outlines, in per cent.
    pub sawn: usize,
    /// The workshop.
    pub outfit: Outfit,
}

/// A job without a plan: flawed boards, some for straight cuts only and some to be sawn, and parts
/// in several sizes until their blanks fill the share that is asked.
///
/// Whether they all can be placed is not known: sizes, flaws, warp and tools are drawn apart.
pub fn filled_job(seed: u32, wanted: FilledJob) -> Document {
    let mut chance = Chance::new(seed ^ 0x00f1_11ed);
    let mut document = empty_job(format!("Filled job {seed}"));
    fit_out(&mut document, seed, wanted.outfit);
    let (end, edge, sawn) = (
        chance.length(0.0, 10.0),
        chance.length(0.0, 4.0),
        chance.length(1.0, 5.0),
    );
    document.allowances.end = mm(end);
    document.allowances.edge = mm(edge);
    document.allowances.sawn = mm(sawn);
    // A third of the jobs leave the way of cutting open everywhere.
    let open = chance.percent(33);
    for index in 0..wanted.boards {
        let mut board = any_board(&mut chance, index);
        board.cuts = match chance.below(10) {
            _ if open => Cuts::Any,
            0..=2 => Cuts::Straight,
            3 => Cuts::Sawn,
            _ => Cuts::Any,
        };
        document.boards.push(board);
    }
    let area: f64 = document.boards.iter().map(area_of_board).sum();
    let longest = document.boards.iter().map(|b| clear_size(b).0);
    let longest = 0.8 * longest.fold(0.0, f64::max);
    let mut left = area * wanted.share / 100.0;
    while left > 0.0 {
        let width = chance.length(40.0, 120.0);
        let length = chance.length(140.0, 900.0).min(longest);
        let curved = chance.percent(wanted.sawn);
        let shape = if curved {
            curved_outline(length.min(420.0), width)
        } else {
            Shape::Rectangle {
                length: Length::Mm(length),
                width: Length::Mm(width),
            }
        };
        let each = if curved {
            area_within(&shape) + 2.0 * (length.min(420.0) + width) * sawn
        } else {
            (length + 2.0 * end) * (width + 2.0 * edge)
        };
        // What would go over by more than half of its own area is left out: the share is met
        // to half a part.
        let count = (1 + chance.below(4)).min((left / each + 0.5) as usize);
        if count == 0 {
            break;
        }
        left -= count as f64 * each;
        let index = document.parts.len() + 1;
        document.parts.push(Part {
            id: format!("p{index}"),
            name: format!("Part {index}"),
            count: Some(count as f64),
            shape: Some(shape),
            thickness: mm(*chance.one_of(&[16.0, 18.0, 20.0])),
            grain: PartGrain {
                axis: *chance.one_of(&[
                    GrainAxis::Along,
                    GrainAxis::Along,
                    GrainAxis::Along,
                    GrainAxis::Any,
                ]),
                tolerance: Some(*chance.one_of(&[2.0, 3.0, 5.0, 8.0])),
                ..PartGrain::default()
            },
            faces: *chance.one_of(&[Faces::One, Faces::One, Faces::Both, Faces::Hidden]),
            cut: if curved {
                PartCut::Sawn
            } else {
                PartCut::Straight
            },
            ..Part::default()
        });
    }
    for board in &mut document.boards {
        if chance.percent(15) {
            let from = (chance.length(-300.0, 300.0), chance.length(-100.0, 100.0));
            by_corners(board, from);
        }
    }
    document
}

/// A board as the filled jobs have them, priced by the piece.
pub(crate) fn any_board(chance: &mut Chance, index: usize) -> heartside_timber::document::Board {
    let thickness = *chance.one_of(&[27.0, 27.0, 27.0, 34.0]);
    let mut board = board(chance, index, thickness);
    add_flaws(chance, &mut board, 4);
    board
}

/// Area of a board's outline, in square millimetres.
fn area_of_board(board: &heartside_timber::document::Board) -> f64 {
    let Some(BoardOutline::Tape { stations, .. }) = &board.outline else {
        return 0.0;
    };
    let width = |k: usize| plain(&stations[k].left) + plain(&stations[k].right);
    let long = |k: usize| plain(&stations[k + 1].at) - plain(&stations[k].at);
    (0..stations.len().saturating_sub(1))
        .map(|k| long(k) * 0.5 * (width(k) + width(k + 1)))
        .sum()
}

/// Area within the corners of an outline, in square millimetres.
fn area_within(shape: &Shape) -> f64 {
    let Shape::ArcSided { points, .. } = shape else {
        return 0.0;
    };
    let corners: Vec<Point> = points
        .iter()
        .map(|[x, y]| Point::new(plain(x), plain(y)))
        .collect();
    let twice = (0..corners.len()).map(|k| {
        let (a, b) = (corners[k], corners[(k + 1) % corners.len()]);
        a.x * b.y - a.y * b.x
    });
    0.5 * twice.sum::<f64>()
}

#[cfg(test)]
mod tests {
    use heartside_timber::blank::Blank;
    use heartside_timber::job::PartCut;
    use heartside_timber::prepare;

    use super::*;

    #[test]
    fn blanks_have_their_share_of_the_boards() {
        for seed in 0..200 {
            for share in [60.0, 75.0] {
                let wanted = FilledJob {
                    boards: 3,
                    share,
                    sawn: 15,
                    outfit: Outfit::Sensible,
                };
                let document = filled_job(seed, wanted);
                let job = prepare(&document).job;
                assert_eq!(job.boards.len(), 3);
                assert_eq!(job.parts.len(), document.parts.len());
                let boards: f64 = job.boards.iter().map(|b| b.outline.area()).sum();
                let blanks: f64 = job
                    .parts
                    .iter()
                    .map(|part| {
                        let blank = Blank::of(part);
                        let area = match part.cut {
                            PartCut::Straight => blank.core.area(),
                            // The rim round it, its corners left out.
                            PartCut::Sawn => {
                                let bounds = blank.core.bounds();
                                let round = 2.0 * (bounds.width() + bounds.height());
                                blank.core.area() + round * blank.radius
                            }
                        };
                        f64::from(part.count) * area
                    })
                    .sum();
                let got = 100.0 * blanks / boards;
                assert!((got - share).abs() < 8.0, "{seed}: {got} %, not {share}");
            }
        }
    }
}
