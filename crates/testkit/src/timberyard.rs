//! Boards and settings that the generators share.

use heartside_timber::document::{
    Allowances, Board, BoardCopy, BoardOutline, CutKind, Document, EdgeKind, FORMAT, FallbackKerf,
    GapOver, GrainAxis, Guide, Length, MinOffcut, Part, PartCut, PartGrain, Price, Shape, Station,
    Tool, Trim, Twist, VERSION, Warp, Workshop, Zone, ZoneFrom, ZoneShape,
};
use heartside_timber::plan::{CutTree, Frame, Layout, Placement, Plan, Way};

use crate::chance::Chance;

/// Kerf of every straight tool of the generated workshops.
pub(crate) const KERF: f64 = 3.0;
/// Kerf of sawn lines.
pub(crate) const SAWN_KERF: f64 = 2.0;
/// Sawn allowance.
pub(crate) const SAWN_ALLOWANCE: f64 = 3.0;
/// Trim off raw ends and raw edges.
pub(crate) const TRIM: (f64, f64) = (12.0, 4.0);

pub(crate) fn mm(value: f64) -> Option<Length> {
    Some(Length::Mm(value))
}

/// A part that is sawn by line out of a board this thick, its grain along it.
///
/// The worst warp that the generators give costs less than 13 mm; planing costs 5. Faces are
/// still to be said.
pub(crate) fn sawn_part(
    id: String,
    name: String,
    points: Vec<[Length; 2]>,
    board_thickness: f64,
    tolerance: f64,
) -> Part {
    Part {
        id,
        name,
        shape: Some(Shape::Polygon {
            points,
            holes: Vec::new(),
        }),
        thickness: mm(board_thickness - 16.0),
        grain: PartGrain {
            axis: GrainAxis::Along,
            tolerance: Some(tolerance),
            ..PartGrain::default()
        },
        cut: PartCut::Sawn,
        ..Part::default()
    }
}

/// Adds a board to a job, and what was cut out of it to the plan: by straight cuts where there is a tree of them, else by line.
pub(crate) fn add_cut_up(
    document: &mut Document,
    plan: &mut Plan,
    board: Board,
    placements: Vec<Placement>,
    cuts: Option<CutTree>,
) {
    let way = match cuts {
        Some(_) => Way::Straight,
        None => Way::Sawn,
    };
    plan.layouts.push(Layout {
        board: BoardCopy {
            board: board.id.clone(),
            copy: 1,
        },
        way,
        frame: Frame::default(),
        placements,
        cuts,
    });
    document.boards.push(board);
}

/// An empty job with a workshop and every allowance set.
pub(crate) fn empty_job(title: String) -> Document {
    let tool = |name: &str, does: &[CutKind], kerf: f64| Tool {
        name: name.into(),
        does: does.to_vec(),
        kerf: mm(kerf),
        ..Tool::default()
    };
    let tools = vec![
        Tool {
            can_skim: true,
            guide: Guide::Along,
            work_moves: Some(false),
            ..tool("Hand-led saw", &[CutKind::Rip, CutKind::Crosscut], KERF)
        },
        Tool {
            guide: Guide::Along,
            max_width: mm(650.0),
            max_length: mm(3500.0),
            max_depth: mm(80.0),
            min_piece: mm(120.0),
            ..tool("Bench saw", &[CutKind::Rip], KERF)
        },
        Tool {
            least_radius: mm(10.0),
            ..tool("Band saw", &[CutKind::Sawn], SAWN_KERF)
        },
    ];
    Document {
        format: FORMAT.into(),
        version: VERSION,
        title,
        timber_rate: Some(1200.0),
        workshop: Workshop {
            tools,
            fallback_kerf: FallbackKerf {
                rip: mm(KERF),
                crosscut: mm(KERF),
                sawn: mm(SAWN_KERF),
                ..FallbackKerf::default()
            },
            trim: Trim {
                end: mm(TRIM.0),
                edge: mm(TRIM.1),
                ..Trim::default()
            },
            min_offcut: Some(MinOffcut {
                length: mm(200.0),
                width: mm(50.0),
                ..MinOffcut::default()
            }),
            ..Workshop::default()
        },
        allowances: Allowances {
            end: mm(8.0),
            edge: mm(2.0),
            sawn: mm(SAWN_ALLOWANCE),
            planing: mm(2.5),
            clean_up: mm(0.8),
            ..Allowances::default()
        },
        ..Document::default()
    }
}

/// The letters A, B, ... as a board's id.
pub(crate) fn letter(index: usize) -> String {
    let letter = char::from(b'A' + (index % 26) as u8);
    if index < 26 {
        letter.to_string()
    } else {
        format!("{letter}{}", index / 26)
    }
}

/// A board by tape: straight or waney sides, raw or straight ends, sometimes cupped.
pub(crate) fn board(chance: &mut Chance, index: usize, thickness: f64) -> Board {
    let length = chance.length(1400.0, 2800.0);
    let half = chance.length(70.0, 140.0);
    let straight = chance.percent(35);
    let count = if straight { 2 } else { 3 + chance.below(4) };
    let stations = (0..count)
        .map(|i| {
            let wander = |chance: &mut Chance| {
                if straight {
                    0.0
                } else {
                    chance.length(-10.0, 10.0)
                }
            };
            Station {
                at: Length::Mm(((length * 2.0 * i as f64 / (count - 1) as f64).round()) / 2.0),
                left: Length::Mm(half + wander(chance)),
                right: Length::Mm(half + wander(chance)),
            }
        })
        .collect();
    let edge = |chance: &mut Chance| {
        if straight && chance.percent(70) {
            EdgeKind::Straight
        } else {
            EdgeKind::Raw
        }
    };
    let (left, right) = (edge(chance), edge(chance));
    let end = |chance: &mut Chance| {
        if chance.percent(30) {
            EdgeKind::Straight
        } else {
            EdgeKind::Raw
        }
    };
    let (start, end) = (end(chance), end(chance));
    let gap = |chance: &mut Chance, most: f64| chance.length(0.0, most);
    let warp = match chance.below(4) {
        0 => Some(Warp::default()),
        1 => Some(Warp {
            cup: Some(GapOver {
                gap: Length::Mm(gap(chance, 3.0)),
                over: mm(2.0 * half),
            }),
            bow: Some(GapOver {
                gap: Length::Mm(gap(chance, 4.0)),
                over: mm(length),
            }),
            twist: Some(Twist {
                lift: Length::Mm(gap(chance, 4.0)),
                over_length: mm(length),
                over_width: mm(2.0 * half),
            }),
            ..Warp::default()
        }),
        _ => None,
    };
    Board {
        id: letter(index),
        name: format!("Board {}", letter(index)),
        species: "European ash".into(),
        outline: Some(BoardOutline::Tape {
            length: Length::Mm(length),
            stations,
            left,
            right,
            start,
            end,
        }),
        thickness: mm(thickness),
        warp,
        price: Some(Price {
            amount: chance.length(10.0, 50.0),
            per: Default::default(),
        }),
        ..Board::default()
    }
}

/// A rectangular or oval zone with its middle at a point of the board's frame.
pub(crate) fn spot(x: f64, y: f64, length: f64, width: f64, oval: bool) -> Zone {
    Zone {
        shape: Some(ZoneShape::Spot {
            oval,
            along: Length::Mm(x),
            across: Length::Mm(y),
            from: ZoneFrom::ChalkLine,
            length: Length::Mm(length),
            width: Length::Mm(width),
        }),
        ..Zone::default()
    }
}

/// Millimetres of a plain length; generated documents hold no others.
pub(crate) fn plain(length: &Length) -> f64 {
    length.plain_mm().unwrap_or(0.0)
}

/// Length, and the least left and right half-widths, of a board measured by tape.
pub(crate) fn clear_size(board: &Board) -> (f64, f64, f64) {
    match &board.outline {
        Some(BoardOutline::Tape {
            length, stations, ..
        }) => {
            let least = |side: fn(&Station) -> &Length| {
                stations
                    .iter()
                    .map(|s| plain(side(s)))
                    .fold(f64::INFINITY, f64::min)
            };
            (plain(length), least(|s| &s.left), least(|s| &s.right))
        }
        _ => (0.0, 0.0, 0.0),
    }
}
