//! Jobs as a maker might have them, with no plan.

use heartside_timber::document::{
    Board, Document, Faces, GrainAxis, Length, Part, PartCut, PartGrain, Shape, Zone, ZoneFace,
    ZoneKind,
};

use crate::chance::Chance;
use crate::timberyard::{board, clear_size, empty_job, mm, spot};

/// How large a job is.
#[derive(Debug, Clone, Copy)]
pub struct JobSize {
    /// Boards.
    pub boards: usize,
    /// Pieces in all.
    pub pieces: usize,
    /// Share of sawn pieces with curved outlines, in per cent.
    pub sawn: usize,
}

/// A job with flawed boards and parts in several sizes, most of which should fit.
pub fn workshop_job(seed: u32, size: JobSize) -> Document {
    let mut chance = Chance::new(seed ^ 0x00c0_ffee);
    let mut document = empty_job(format!("Workshop job {seed}"));
    let mut area = 0.0;
    for index in 0..size.boards {
        let thickness = *chance.one_of(&[27.0, 27.0, 27.0, 34.0]);
        let mut board = board(&mut chance, index, thickness);
        let (length, left, right) = clear_size(&board);
        area += length * (left + right);
        add_flaws(&mut chance, &mut board, 4);
        document.boards.push(board);
    }
    // About two thirds of the timber, so that choosing boards matters and all can fit.
    let each = 0.5 * area / size.pieces.max(1) as f64;
    let mut made = 0;
    while made < size.pieces {
        let count = (1 + chance.below(4)).min(size.pieces - made);
        let width = chance.length(40.0, 110.0);
        let length = (each / width * chance.between(0.5, 1.5)).clamp(120.0, 1200.0);
        let length = (length * 2.0).round() / 2.0;
        let curved = chance.percent(size.sawn);
        let index = document.parts.len() + 1;
        document.parts.push(Part {
            id: format!("p{index}"),
            name: format!("Part {index}"),
            count: Some(count as f64),
            shape: Some(if curved {
                curved_outline(length.min(420.0), width)
            } else {
                Shape::Rectangle {
                    length: Length::Mm(length),
                    width: Length::Mm(width),
                }
            }),
            thickness: mm(*chance.one_of(&[18.0, 20.0, 21.0])),
            grain: PartGrain {
                axis: GrainAxis::Along,
                tolerance: Some(5.0),
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
        made += count;
    }
    document
}

/// Up to so many knots, spots of sapwood and old screws, wherever they fall.
pub(crate) fn add_flaws(chance: &mut Chance, board: &mut Board, most: usize) {
    let (length, left, right) = clear_size(board);
    for _ in 0..chance.below(most + 1) {
        let (x, y) = (
            chance.length(60.0, length - 60.0),
            chance.length(-right + 20.0, left - 20.0),
        );
        let zone = spot(
            x,
            y,
            chance.length(20.0, 70.0),
            chance.length(16.0, 40.0),
            true,
        );
        board.zones.push(match chance.below(6) {
            0 => Zone {
                face: ZoneFace::Down,
                depth: mm(6.0),
                sound: true,
                note: "knot underneath".into(),
                ..zone
            },
            1 => Zone {
                kind: ZoneKind::Fixing,
                margin: mm(10.0),
                note: "old screw".into(),
                ..spot(x, y, 8.0, 8.0, true)
            },
            2 => Zone {
                kind: ZoneKind::Sapwood,
                note: "sapwood".into(),
                ..zone
            },
            _ => Zone {
                margin: mm(5.0),
                note: "knot".into(),
                ..zone
            },
        });
    }
}

/// A bracket-like outline with one hollow side.
pub(crate) fn curved_outline(length: f64, width: f64) -> Shape {
    let at = |x: f64, y: f64| {
        [
            Length::Mm((x * 2.0).round() / 2.0),
            Length::Mm((y * 2.0).round() / 2.0),
        ]
    };
    Shape::ArcSided {
        points: vec![
            at(0.0, 0.0),
            at(length, 0.0),
            at(length, width * 0.35),
            at(length * 0.3, width),
            at(0.0, width),
        ],
        swells: [0.0, 0.0, -width * 0.12, 0.0, 0.0].map(Length::Mm).to_vec(),
        holes: Vec::new(),
    }
}
