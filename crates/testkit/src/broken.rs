//! Breaks a sound plan in one way.
//!
//! Each way leaves a document that still reads, and a plan that most likely breaks the
//! rule meant by about the amount asked; what exactly is broken is for two judges, the
//! checker and the outside oracle, to agree upon.

mod machines;
mod panels;

use heartside_timber::document::{
    BoardOutline, ClearOf, Document, EdgeKind, Length, Match, MatchKind, PartCopy, Pin, Tool, Use,
    Wish, Zone, ZoneFace, ZoneKind,
};
use heartside_timber::plan::CutNode;

use crate::by_corners::by_corners;
use crate::chance::Chance;
use crate::timberyard::{mm, plain, spot};

pub use panels::{PanelBreakage, break_panel};

/// A way of breaking a plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Breakage {
    /// A part is pushed along or across.
    Pushed,
    /// A part is turned a little.
    Turned,
    /// The trim grows.
    MoreTrim,
    /// A kerf grows.
    MoreKerf,
    /// A knot lies in a part or just beside it.
    Knot,
    /// Rot on one face lies in a part or just beside it.
    Rot,
    /// A screw lies beside a cut or in a part.
    Screw,
    /// Sapwood runs into a part.
    Sapwood,
    /// A part may be off the grain by less than it is.
    Grain,
    /// A part grows thicker than its board allows.
    Thicker,
    /// A part that was turned over may not be.
    Refused,
    /// Two parts should have come from one board.
    SameBoard,
    /// A cut moves.
    CutMoved,
    /// A tool's limit shrinks.
    SmallTool,
    /// A part is placed twice, too often, or forgotten.
    Miscounted,
    /// A species that the board is not, a board that was to be left, a pin elsewhere.
    WrongStock,
    /// A named dimension leaves its range.
    Dimension,
    /// A part may hold a fixing that the planer may meet.
    Metal,
    /// A piece is hardly long enough where it is held.
    Held,
    /// A fence cannot be set so far from the blade.
    FenceSet,
    /// A fence runs along edges that some tools leave untrue.
    TrueEdges,
    /// A board is twisted and moves over a machine.
    Twisted,
    /// An edge is planed, too deep or not all of it.
    Planed,
    /// No saw for lines takes a board.
    TooThick,
    /// A hole in a board lies hardly far enough from a part.
    HoleSide,
}

/// Every way.
pub const WAYS: [Breakage; 25] = [
    Breakage::Pushed,
    Breakage::Turned,
    Breakage::MoreTrim,
    Breakage::MoreKerf,
    Breakage::Knot,
    Breakage::Rot,
    Breakage::Screw,
    Breakage::Sapwood,
    Breakage::Grain,
    Breakage::Thicker,
    Breakage::Refused,
    Breakage::SameBoard,
    Breakage::CutMoved,
    Breakage::SmallTool,
    Breakage::Miscounted,
    Breakage::WrongStock,
    Breakage::Dimension,
    Breakage::Metal,
    Breakage::Held,
    Breakage::FenceSet,
    Breakage::TrueEdges,
    Breakage::Twisted,
    Breakage::Planed,
    Breakage::TooThick,
    Breakage::HoleSide,
];

/// Breaks the plan in `document` in one way by about `by` millimetres, degrees or steps.
///
/// Nothing happens where the document has no plan or nothing to break.
pub fn break_one(document: &mut Document, way: Breakage, by: f64, chance: &mut Chance) {
    let Some(mut plan) = document.plan.take() else {
        return;
    };
    let layout = chance.below(plan.layouts.len().max(1));
    let sign = if chance.percent(50) { 1.0 } else { -1.0 };
    if let Some(chosen) = plan
        .layouts
        .get_mut(layout)
        .filter(|l| !l.placements.is_empty())
    {
        let place = chance.below(chosen.placements.len());
        let board = document
            .boards
            .iter()
            .position(|b| b.id == chosen.board.board);
        let part = document
            .parts
            .iter()
            .position(|p| p.id == chosen.placements[place].part);
        if let (Some(board), Some(part)) = (board, part) {
            let at = chosen.placements[place].at;
            match way {
                Breakage::Pushed if chance.percent(50) => {
                    chosen.placements[place].at.x += sign * by
                }
                Breakage::Pushed => chosen.placements[place].at.y += sign * by,
                Breakage::Turned => chosen.placements[place].at.turn += sign * by,
                Breakage::MoreTrim => {
                    let trim = &mut document.workshop.trim;
                    // The generator leaves a kerf or two millimetres more than the trim.
                    for side in [&mut trim.end, &mut trim.edge] {
                        *side = side.as_ref().map(|l| Length::Mm(plain(l) + 3.0 + by));
                    }
                }
                Breakage::MoreKerf => {
                    for tool in &mut document.workshop.tools {
                        tool.kerf = tool.kerf.as_ref().map(|l| Length::Mm(plain(l) + by));
                    }
                }
                Breakage::Knot => {
                    let mut knot = beside(chance, at, by);
                    knot.sound = chance.percent(40);
                    document.boards[board].zones.push(knot);
                }
                Breakage::Rot => {
                    let rot = beside(chance, at, by);
                    document.boards[board].zones.push(Zone {
                        face: *chance.one_of(&[ZoneFace::Up, ZoneFace::Down]),
                        depth: (!chance.percent(20)).then(|| Length::Mm(chance.length(0.5, 8.0))),
                        clear_of: *chance.one_of(&[ClearOf::Blank, ClearOf::Finished]),
                        sound: chance.percent(30),
                        ..rot
                    });
                }
                Breakage::Screw => {
                    let screw = chosen
                        .cuts
                        .as_ref()
                        .and_then(|tree| near_a_cut(chance, &tree.nodes, by))
                        .unwrap_or_else(|| beside(chance, at, by));
                    document.boards[board].zones.push(Zone {
                        kind: ZoneKind::Fixing,
                        margin: mm(6.0),
                        ..screw
                    });
                }
                Breakage::Sapwood => {
                    let sap = beside(chance, at, by);
                    document.boards[board].zones.push(Zone {
                        kind: ZoneKind::Sapwood,
                        margin: None,
                        ..sap
                    });
                }
                Breakage::Grain => {
                    let angle = 3.0 + by;
                    let grain = document.boards[board]
                        .grain
                        .get_or_insert_with(Default::default);
                    grain.angle += sign * angle;
                }
                Breakage::Thicker => {
                    // What planing alone takes; a measured warp takes a little more.
                    let planed = if document.boards[board].warp.is_some() {
                        1.6
                    } else {
                        5.0
                    };
                    let thickness = document.boards[board].thickness.as_ref().map_or(0.0, plain);
                    document.parts[part].thickness = mm(thickness - planed + by);
                }
                Breakage::Refused => {
                    document.parts[part].handed = true;
                    chosen.placements[place].at.turned_over |= chance.percent(80);
                }
                Breakage::SameBoard => {
                    let copy = |p: usize| PartCopy {
                        part: document.parts[p].id.clone(),
                        copy: 1,
                    };
                    // The first and the last part lie on the first and the last board.
                    let parts = vec![copy(0), copy(document.parts.len() - 1)];
                    document.matches.push(Match {
                        kind: MatchKind::SameBoard,
                        parts,
                        wish: Wish::default(),
                    });
                }
                Breakage::CutMoved => {
                    if let Some(tree) = &mut chosen.cuts {
                        let start = chance.below(tree.nodes.len().max(1));
                        let count = tree.nodes.len();
                        for offset in 0..count {
                            if let CutNode::Cut { at, .. } =
                                &mut tree.nodes[(start + offset) % count]
                            {
                                *at += sign * by;
                                break;
                            }
                        }
                    }
                }
                Breakage::SmallTool => shrink_tool(chance, &mut document.workshop.tools, by),
                Breakage::Miscounted => match chance.below(3) {
                    0 => {
                        chosen.placements[place].copy = 2;
                    }
                    1 => document.parts[part].count = Some(2.0),
                    _ => {
                        let twin = chosen.placements[place].clone();
                        chosen.placements.push(twin);
                    }
                },
                Breakage::WrongStock => match chance.below(3) {
                    0 => document.parts[part].species = vec!["European oak".into()],
                    1 => document.boards[board].usage = Use::Leave,
                    _ => {
                        let mut moved = at;
                        moved.x += sign * by;
                        document.pins.push(Pin {
                            part: chosen.placements[place].part_copy(),
                            board: chosen.board.board.clone(),
                            board_copy: chosen.board.copy,
                            at: moved,
                        });
                    }
                },
                Breakage::HoleSide => {
                    let trims = &document.workshop.trim;
                    let trim = |l: &Option<Length>| l.as_ref().map_or(0.0, plain);
                    let edge = trim(&document.allowances.edge);
                    // Below the blank's low edge, its long sides along the board.
                    let high = at.y - edge - trim(&trims.edge) + sign * by;
                    let x = at.x + chance.length(5.0, 60.0);
                    let corners = [
                        (x, high - 2.0),
                        (x + 8.0, high - 2.0),
                        (x + 8.0, high),
                        (x, high),
                    ];
                    by_corners(&mut document.boards[board], (0.0, 0.0));
                    if let Some(BoardOutline::Polygon {
                        holes, hole_sides, ..
                    }) = &mut document.boards[board].outline
                    {
                        holes.push(
                            corners
                                .map(|(x, y)| [Length::Mm(x), Length::Mm(y)])
                                .to_vec(),
                        );
                        if chance.percent(30) {
                            hole_sides.push(vec![EdgeKind::Straight; 1 + chance.below(4)]);
                        }
                    }
                }
                Breakage::Metal
                | Breakage::Held
                | Breakage::FenceSet
                | Breakage::TrueEdges
                | Breakage::Twisted
                | Breakage::Planed
                | Breakage::TooThick => {
                    let beyond = chance.percent(70);
                    machines::break_machine(document, chosen, way, (by, beyond), chance);
                }
                Breakage::Dimension => {
                    document
                        .dimensions
                        .push(heartside_timber::document::Dimension {
                            name: "reach".into(),
                            preferred: mm(400.0),
                            least: mm(380.0),
                            most: mm(420.0),
                            ..Default::default()
                        });
                    plan.dimensions
                        .push(heartside_timber::plan::DimensionValue {
                            name: "reach".into(),
                            value: if sign > 0.0 { 420.0 + by } else { 380.0 - by },
                            preferred: None,
                        });
                }
            }
        }
    }
    document.plan = Some(plan);
}

/// A mark with its edge `by` millimetres past a part's lower left corner, or beside it.
fn beside(chance: &mut Chance, at: heartside_timber::plan::Placed, by: f64) -> Zone {
    let size = chance.length(10.0, 30.0);
    let dx = chance.length(-30.0, 30.0);
    let dy = chance.length(-30.0, 30.0);
    Zone {
        margin: mm(chance.length(0.0, 4.0)),
        ..spot(at.x + dx + by, at.y + dy, size, size, chance.percent(50))
    }
}

/// A screw whose margin of 6 mm reaches `by` into the kerf of some cut, somewhere along it.
fn near_a_cut(chance: &mut Chance, nodes: &[CutNode], by: f64) -> Option<Zone> {
    let cuts: Vec<_> = nodes
        .iter()
        .filter_map(|n| match n {
            CutNode::Cut { direction, at, .. } => Some((*direction, *at)),
            _ => None,
        })
        .collect();
    let (direction, line) = *cuts.get(chance.below(cuts.len().max(1)))?;
    let along = chance.length(100.0, 1200.0);
    let across = chance.length(-60.0, 60.0);
    let away = line - 6.0 - 4.0 + by;
    Some(match direction {
        heartside_timber::plan::Direction::Rip => spot(along, away, 8.0, 8.0, false),
        heartside_timber::plan::Direction::Crosscut => spot(away, across, 8.0, 8.0, false),
    })
}

fn shrink_tool(chance: &mut Chance, tools: &mut [Tool], by: f64) {
    let Some(tool) = tools.first_mut() else {
        return;
    };
    match chance.below(4) {
        0 => tool.max_depth = mm(27.0 - by),
        1 => tool.max_length = mm(chance.length(300.0, 2600.0)),
        2 => tool.min_piece = mm(chance.length(200.0, 900.0)),
        _ => {
            (tool.guide, tool.work_moves) = (heartside_timber::document::Guide::Along, Some(true));
            tool.max_width = mm(chance.length(150.0, 400.0));
        }
    }
}
