//! Irregular parts lying apart on boards that are sawn by line.

use heartside_geometry::{Bounds, Point, Pose};
use heartside_timber::document::{
    Board, BoardGrain, CutKind, Cuts, Document, Faces, Length, Part, Shape, Zone,
};
use heartside_timber::plan::{CutNode, CutTree, Direction, Placement, Plan};

use crate::chance::{Chance, round};
use crate::saw::{Kept, Saw, Work};
use crate::timberyard::{
    SAWN_ALLOWANCE, add_cut_up, board, clear_size, empty_job, mm, plain, sawn_part, spot,
};
use crate::workshop::{Outfit, fit_out};

/// A job of sawn boards with a sound plan: the parts lie in rows of boxes of their own.
///
/// Parts are turned freely within their grain tolerance, some turned over, on straight or
/// bent grain; defects lie between the boxes.
pub fn sawn_apart(seed: u32, boards: usize, parts_a_board: usize) -> Document {
    sawn_apart_in(seed, boards, parts_a_board, None)
}

/// As [`sawn_apart`], with tools at random where an outfit is given.
pub fn sawn_apart_in(
    seed: u32,
    boards: usize,
    parts_a_board: usize,
    outfit: Option<Outfit>,
) -> Document {
    let document = job_in(format!("Sawn apart {seed}"), seed, outfit);
    let kerf = widest_sawn_kerf(&document);
    let chance = Chance::new(seed ^ 0x5a5a_0000);
    laid_apart(document, chance, (boards, parts_a_board), kerf)
}

/// An empty job, with the three tools that all generators share or with others.
fn job_in(title: String, seed: u32, outfit: Option<Outfit>) -> Document {
    let mut document = empty_job(title);
    if let Some(outfit) = outfit {
        fit_out(&mut document, seed, outfit);
    }
    document
}

/// The widest kerf of a line that any tool follows.
fn widest_sawn_kerf(document: &Document) -> f64 {
    let tools = &document.workshop.tools;
    tools
        .iter()
        .filter(|tool| tool.does.contains(&CutKind::Sawn))
        .filter_map(|tool| tool.kerf.as_ref().map(plain))
        .fold(0.0, f64::max)
}

/// As [`sawn_apart`], with room between the boxes for the kerf of a crosscut, and some through
/// cuts that break each board down into regions first.
pub fn broken_down(seed: u32, boards: usize, parts_a_board: usize) -> Document {
    broken_down_in(seed, boards, parts_a_board, None)
}

/// As [`broken_down`], with tools at random where an outfit is given.
pub fn broken_down_in(
    seed: u32,
    boards: usize,
    parts_a_board: usize,
    outfit: Option<Outfit>,
) -> Document {
    let document = job_in(format!("Broken down {seed}"), seed, outfit);
    // Of the three tools that all other jobs share the first makes every cut.
    let saws = match outfit {
        None => Saw::all(&document.workshop.tools[..1]),
        Some(_) => Saw::all(&document.workshop.tools),
    };
    let kerf = saws.iter().map(|saw| saw.kerf).fold(0.0, f64::max);
    let kerf = kerf.max(widest_sawn_kerf(&document));
    let chance = Chance::new(seed ^ 0x6b6b_0000);
    let size = (boards, parts_a_board);
    let mut document = laid_apart(document, chance, size, kerf);
    let mut chance = Chance::new(seed ^ 0x6c6c_0000);
    let mut plan = document.plan.take().unwrap_or_default();
    for layout in &mut plan.layouts {
        // The generator lays the parts from left to right.
        let blanks: Vec<(f64, f64)> = layout
            .placements
            .iter()
            .filter_map(|p| {
                let part = document.parts.iter().find(|q| q.id == p.part)?;
                let Some(Shape::Polygon { points, .. }) = &part.shape else {
                    return None;
                };
                let corners: Vec<Point> = points
                    .iter()
                    .map(|[x, y]| Point {
                        x: plain(x),
                        y: plain(y),
                    })
                    .collect();
                let bounds = extent(&corners, p.at.turn, p.at.turned_over);
                let low = p.at.x + bounds.min.x - SAWN_ALLOWANCE;
                Some((low, low + bounds.width() + 2.0 * SAWN_ALLOWANCE))
            })
            .collect();
        // The least of a workpiece before such a cut lies between two of them: what has a limit below
        // may not make it. Edges are raw.
        let Some(board) = document
            .boards
            .iter()
            .find(|board| board.id == layout.board.board)
        else {
            continue;
        };
        let work = work_of(board);
        let mut cuts = Vec::new();
        for (k, pair) in blanks.windows(2).enumerate() {
            let spare = pair[1].0 - pair[0].1 - kerf;
            if chance.percent(60) && spare > 0.0 {
                let at = round(pair[0].1 + chance.between(0.1, 0.9) * spare, 1000.0);
                if let Some(saw) = crosscutting(&mut chance, &saws, &work, at) {
                    cuts.push((k + 1, at, saw));
                }
            }
        }
        if cuts.is_empty() {
            continue;
        }
        let mut nodes = Vec::new();
        part_at(&mut chance, &cuts, (0, blanks.len()), &mut nodes);
        layout.cuts = Some(CutTree { nodes });
    }
    document.plan = Some(plan);
    document
}

/// Crosscuts in any order, and the regions between them; the node that was added.
fn part_at(
    chance: &mut Chance,
    cuts: &[(usize, f64, &Saw)],
    (from, to): (usize, usize),
    nodes: &mut Vec<CutNode>,
) -> usize {
    let place = nodes.len();
    if cuts.is_empty() {
        nodes.push(CutNode::Region {
            placements: (from..to).collect(),
        });
        return place;
    }
    let first = chance.below(cuts.len());
    let (below, at, saw) = cuts[first];
    nodes.push(CutNode::Waste);
    let low = part_at(chance, &cuts[..first], (from, below), nodes);
    let high = part_at(chance, &cuts[first + 1..], (below, to), nodes);
    nodes[place] = CutNode::Cut {
        direction: Direction::Crosscut,
        tool: saw.name.clone(),
        at,
        kerf: saw.kerf,
        angle: None,
        low,
        high,
    };
    place
}

/// A saw that surely makes a crosscut at this place, whichever other cuts come before.
fn crosscutting<'a>(chance: &mut Chance, saws: &'a [Saw], work: &Work, at: f64) -> Option<&'a Saw> {
    let makes = |saw: &&Saw| {
        saw.has_no_least_length() && saw.makes(Direction::Crosscut, work, at, Kept::Both)
    };
    let all: Vec<&Saw> = saws.iter().filter(makes).collect();
    match all.as_slice() {
        [] => None,
        [only] => Some(only),
        several => Some(*chance.one_of(several)),
    }
}

/// The whole board as a workpiece.
fn work_of(board: &Board) -> Work {
    let (length, left, right) = clear_size(board);
    let wander = 20.0;
    let bounds = |by: f64| Bounds {
        min: Point {
            x: 0.0,
            y: -right - by,
        },
        max: Point {
            x: length,
            y: left + by,
        },
    };
    Work {
        outer: bounds(wander),
        inner: bounds(0.0),
        is_true: [false; 4],
        thickness: board.thickness.as_ref().map_or(0.0, plain),
        is_twisted: board.warp.as_ref().is_some_and(|w| w.twist.is_some()),
    }
}

fn laid_apart(
    mut document: Document,
    mut chance: Chance,
    (boards, parts_a_board): (usize, usize),
    kerf: f64,
) -> Document {
    let (trim_end, trim_edge) = (
        document.workshop.trim.end.as_ref().map_or(0.0, plain),
        document.workshop.trim.edge.as_ref().map_or(0.0, plain),
    );
    let mut plan = Plan::default();
    for index in 0..boards {
        let thickness = *chance.one_of(&[27.0, 33.0]);
        let mut board = board(&mut chance, index, thickness);
        board.cuts = Cuts::Sawn;
        let (length, left, right) = clear_size(&board);
        let base = chance.between(-4.0, 4.0);
        board.grain = Some(BoardGrain {
            angle: base,
            lines: if chance.percent(40) {
                bent_lines(&mut chance, length, left, right)
            } else {
                Vec::new()
            },
            ..BoardGrain::default()
        });
        let bent = board.grain.as_ref().is_some_and(|g| !g.lines.is_empty());
        // A waney side slopes gently, so a little more than the trim always clears it.
        let gap = kerf + 2.0 * SAWN_ALLOWANCE + chance.between(0.1, 6.0);
        let mut x = trim_end + SAWN_ALLOWANCE + 2.0;
        let (low, high) = (
            -right + trim_edge + SAWN_ALLOWANCE + 2.0,
            left - trim_edge - SAWN_ALLOWANCE - 2.0,
        );
        let mut placements: Vec<Placement> = Vec::new();
        while placements.len() < parts_a_board {
            let (size_x, size_y) = (chance.length(90.0, 260.0), chance.length(50.0, high - low));
            if x + size_x > length - trim_end - SAWN_ALLOWANCE - 2.0 {
                break;
            }
            let id = format!("{}{}", board.id.to_lowercase(), placements.len() + 1);
            let tolerance = if bent { 40.0 } else { 9.0 };
            let off = round(chance.between(-3.0, 3.0), 100.0);
            let turn = base + off + if chance.percent(50) { 180.0 } else { 0.0 };
            let turned_over = chance.percent(30);
            let shape = shape(&mut chance, size_x * 0.86, size_y * 0.72);
            let bounds = extent(&shape, turn, turned_over);
            if bounds.width() <= size_x && bounds.height() <= high - low {
                let at = Pose {
                    x: round(x - bounds.min.x, 1000.0),
                    y: round(low - bounds.min.y, 1000.0),
                    turn,
                    turned_over,
                };
                placements.push(Placement {
                    part: id.clone(),
                    copy: 1,
                    at: at.into(),
                    ..Placement::default()
                });
                let name = format!("Curve {}", document.parts.len() + 1);
                document.parts.push(Part {
                    faces: *chance.one_of(&[Faces::One, Faces::Both, Faces::Hidden]),
                    ..sawn_part(id, name, lengths(&shape), thickness, tolerance)
                });
                x += bounds.width() + gap;
            } else {
                x += 20.0;
            }
            if chance.percent(25) && x + 80.0 < length - 100.0 {
                board.zones.push(Zone {
                    margin: mm(5.0),
                    note: "knot".into(),
                    ..spot(x + 20.0, 0.0, 24.0, 30.0, true)
                });
                x += 50.0 + SAWN_ALLOWANCE;
            }
        }
        add_cut_up(&mut document, &mut plan, board, placements, None);
    }
    document.plan = Some(plan);
    document
}

/// Three lines that sweep gently upwards along a board.
fn bent_lines(chance: &mut Chance, length: f64, left: f64, right: f64) -> Vec<Vec<[f64; 2]>> {
    let rise = chance.length(20.0, 90.0);
    [-right * 0.7, 0.0, left * 0.5]
        .iter()
        .map(|y| {
            (0..6)
                .map(|i| {
                    let t = f64::from(i) / 5.0;
                    [(t * length * 2.0).round() / 2.0, (y + rise * t * t).round()]
                })
                .collect()
        })
        .collect()
}

/// A simple outline within a box with its lower left corner at (0, 0): a taper, a wedge, an L or a lobed shape.
fn shape(chance: &mut Chance, length: f64, width: f64) -> Vec<Point> {
    let p = |x: f64, y: f64| Point {
        x: (x * 2.0).round() / 2.0,
        y: (y * 2.0).round() / 2.0,
    };
    let (l, w) = (length.max(40.0), width.max(24.0));
    match chance.below(4) {
        0 => vec![p(0.0, 0.0), p(l, 0.0), p(l, w * 0.55), p(0.0, w)],
        1 => vec![
            p(0.0, 0.0),
            p(l, w * 0.2),
            p(l * 0.8, w),
            p(l * 0.1, w * 0.8),
        ],
        2 => vec![
            p(0.0, 0.0),
            p(l, 0.0),
            p(l, w * 0.4),
            p(l * 0.35, w * 0.4),
            p(l * 0.35, w),
            p(0.0, w),
        ],
        _ => vec![
            p(0.0, w * 0.3),
            p(l * 0.3, 0.0),
            p(l * 0.7, w * 0.15),
            p(l, w * 0.1),
            p(l * 0.92, w * 0.8),
            p(l * 0.5, w * 0.6),
            p(l * 0.2, w),
        ],
    }
}

/// The bounding box of an outline, turned over and turned about the origin of its normalised frame.
fn extent(shape: &[Point], turn: f64, turned_over: bool) -> Bounds {
    // The part frame starts at the outline's lower left corner.
    let x = shape.iter().map(|p| p.x).fold(f64::INFINITY, f64::min);
    let y = shape.iter().map(|p| p.y).fold(f64::INFINITY, f64::min);
    let pose = Pose {
        x: 0.0,
        y: 0.0,
        turn,
        turned_over,
    };
    let mut bounds: Option<Bounds> = None;
    for point in shape {
        let moved = pose.apply(Point {
            x: point.x - x,
            y: point.y - y,
        });
        bounds = Some(bounds.map_or(
            Bounds {
                min: moved,
                max: moved,
            },
            |b| b.with_point(moved),
        ));
    }
    bounds.unwrap_or(Bounds {
        min: Point { x: 0.0, y: 0.0 },
        max: Point { x: 0.0, y: 0.0 },
    })
}

fn lengths(points: &[Point]) -> Vec<[Length; 2]> {
    points
        .iter()
        .map(|p| [Length::Mm(p.x), Length::Mm(p.y)])
        .collect()
}
