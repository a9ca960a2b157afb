//! Breaks the rules of machines: what is held and how, what a fence is set to, what is true, flat
//! or planed.

use heartside_geometry::{Bounds, Point};
use heartside_timber::document::{CutKind, Document, FixingMaterial, Guide, Tool, Twist, Warp};
use heartside_timber::document::{Zone, ZoneKind};
use heartside_timber::job::Job;
use heartside_timber::plan::{CutNode, Direction, Layout};
use heartside_timber::prepare::prepare;

use super::Breakage;
use crate::chance::Chance;
use crate::timberyard::{mm, spot};

/// One cut of a tree and the boxes of the wood before and after it, in the frame of the cuts.
struct Made {
    node: usize,
    tool: String,
    direction: Direction,
    whole: Bounds,
    halves: [Option<Bounds>; 2],
    /// What lies below and above the kerf holds no part.
    waste: [bool; 2],
    at: f64,
    kerf: f64,
}

impl Made {
    fn along(&self, bounds: &Bounds) -> f64 {
        match self.direction {
            Direction::Rip => bounds.width(),
            Direction::Crosscut => bounds.height(),
        }
    }

    fn square(&self, bounds: &Bounds) -> f64 {
        match self.direction {
            Direction::Rip => bounds.height(),
            Direction::Crosscut => bounds.width(),
        }
    }

    /// The length by which the piece is held with such a guide.
    fn held(&self, guide: Guide) -> f64 {
        match guide {
            Guide::Along => self.along(&self.whole),
            Guide::Square => {
                let halves = self.halves.iter().flatten();
                halves.map(|h| self.square(h)).fold(0.0, f64::max)
            }
            Guide::None => self.along(&self.whole).max(self.square(&self.whole)),
        }
    }

    /// The width between a fence on the nearer side and the blade.
    fn beside_fence(&self) -> f64 {
        let (low, high) = match self.direction {
            Direction::Rip => (self.whole.min.y, self.whole.max.y),
            Direction::Crosscut => (self.whole.min.x, self.whole.max.x),
        };
        let gaps = [self.at - low, high - self.at - self.kerf];
        gaps.into_iter()
            .filter(|gap| *gap > 0.0)
            .fold(f64::INFINITY, f64::min)
    }
}

/// Breaks one of the rules of machines by `by`, on the board of a layout; `beyond` the limit, or
/// on the good side of it.
pub(super) fn break_machine(
    document: &mut Document,
    layout: &mut Layout,
    way: Breakage,
    (by, beyond): (f64, bool),
    chance: &mut Chance,
) {
    let job = prepare(document).job;
    let more = if beyond { by } else { -by };
    let made = cuts_made(&job, layout);
    match way {
        Breakage::Metal => return metal(document, &job, layout, more, chance),
        Breakage::TooThick => {
            let thickness = job.board(&layout.board.board).map_or(0.0, |b| b.thickness);
            let for_lines = |t: &&mut Tool| t.does.contains(&CutKind::Sawn);
            for tool in document.workshop.tools.iter_mut().filter(for_lines) {
                tool.max_depth = mm(thickness - more);
            }
            return;
        }
        _ => {}
    }
    if made.is_empty() {
        return;
    }
    let chosen = chance.below(made.len());
    let name = made[chosen].tool.clone();
    let by_it = || made.iter().filter(|m| m.tool == name);
    let Some(tool) = document.workshop.tools.iter_mut().find(|t| t.name == name) else {
        return;
    };
    match way {
        Breakage::Held => {
            let guide = *chance.one_of(&[Guide::Along, Guide::Square, Guide::None]);
            let least = by_it().map(|m| m.held(guide)).fold(f64::INFINITY, f64::min);
            (tool.guide, tool.work_moves) = (guide, Some(false));
            tool.min_piece = mm((least + more).max(0.0));
        }
        Breakage::FenceSet => {
            let widest = by_it().map(Made::beside_fence).fold(0.0, f64::max);
            (tool.guide, tool.work_moves) = (Guide::Along, Some(true));
            (tool.min_piece, tool.leaves_true_edge) = (mm(0.0), Some(true));
            tool.max_width = mm((widest - more).max(1.0));
        }
        Breakage::TrueEdges => {
            (tool.guide, tool.work_moves) = (Guide::Along, Some(true));
            (tool.min_piece, tool.max_width) = (mm(0.0), None);
            for tool in &mut document.workshop.tools {
                tool.leaves_true_edge = Some(!beyond || chance.percent(50));
            }
        }
        Breakage::Twisted => {
            let area = |m: &Made| m.whole.width() * m.whole.height();
            let largest = by_it().map(area).fold(1.0, f64::max);
            tool.work_moves = Some(true);
            let (length, width) = (1000.0, 200.0);
            let lift = (1.5 + more).max(0.1) * length * width / largest;
            let board = document
                .boards
                .iter_mut()
                .find(|b| b.id == layout.board.board);
            if let Some(board) = board {
                board.warp = Some(Warp {
                    twist: Some(Twist {
                        lift: heartside_timber::document::Length::Mm(lift),
                        over_length: mm(length),
                        over_width: mm(width),
                    }),
                    ..Warp::default()
                });
            }
        }
        Breakage::Planed => {
            let trims = |m: &&Made| m.direction == Direction::Rip && m.waste != [false; 2];
            let trims: Vec<&Made> = made.iter().filter(trims).collect();
            let Some(trim) = trims.get(chance.below(trims.len().max(1))) else {
                return;
            };
            let planer = "Planer for edges";
            let mut kerf_planned = 0.0;
            // Planed off is all that lies beyond, kerf and waste; or some of it is left over.
            let low = trim.waste[0];
            let taken = if low {
                trim.at + trim.kerf - trim.whole.min.y
            } else {
                trim.whole.max.y - trim.at
            };
            let left_over = chance.percent(30);
            if let Some(CutNode::Cut { tool, at, kerf, .. }) = layout
                .cuts
                .as_mut()
                .and_then(|t| t.nodes.get_mut(trim.node))
            {
                *tool = planer.into();
                let edge = *at + *kerf;
                *kerf = if left_over { taken - more } else { taken };
                if low {
                    *at = edge - *kerf;
                }
                kerf_planned = *kerf;
            }
            document.workshop.tools.push(Tool {
                name: planer.into(),
                does: vec![CutKind::TrueEdge],
                kerf: mm(if left_over {
                    kerf_planned
                } else {
                    kerf_planned - more
                }),
                ..Tool::default()
            });
        }
        _ => {}
    }
}

/// A fixing in the middle of a part that may hold one, buried about as deep as what is planed off.
fn metal(document: &mut Document, job: &Job, layout: &Layout, more: f64, chance: &mut Chance) {
    let place = chance.below(layout.placements.len().max(1));
    let Some(placement) = layout.placements.get(place) else {
        return;
    };
    let (Some(part), Some(board)) = (job.part(&placement.part), job.board(&layout.board.board))
    else {
        return;
    };
    let middle = placement.pose().apply(part.outline.bounds().centre());
    let comes_off = board.thickness - part.thickness;
    let (from, to) = if chance.percent(50) {
        (comes_off - more, comes_off - more + 1.0)
    } else {
        let to = board.thickness - comes_off + more;
        (to - 1.0, to)
    };
    // Spots are taped from the start end of the board.
    let along = middle.x - board.outline.bounds().min.x;
    let known = chance.percent(80);
    let zone = Zone {
        kind: ZoneKind::Fixing,
        margin: mm(2.0),
        material: *chance.one_of(&[
            FixingMaterial::Metal,
            FixingMaterial::Unknown,
            FixingMaterial::Metal,
            FixingMaterial::Wood,
        ]),
        depth_from: known.then(|| mm(from.max(0.0))).flatten(),
        depth_to: known.then(|| mm(to.max(0.0))).flatten(),
        drawn_before_planing: chance.percent(15),
        ..spot(along, middle.y, 5.0, 5.0, false)
    };
    let id = placement.part.as_str();
    for part in document.parts.iter_mut().filter(|p| p.id == id) {
        part.fixing_ok = true;
    }
    let id = layout.board.board.as_str();
    for board in document.boards.iter_mut().filter(|b| b.id == id) {
        board.zones.push(zone.clone());
    }
}

/// Every cut of a layout with its wood; none where there is no tree or no such board.
fn cuts_made(job: &Job, layout: &Layout) -> Vec<Made> {
    let (Some(tree), Some(board)) = (&layout.cuts, job.board(&layout.board.board)) else {
        return Vec::new();
    };
    let frame = layout.frame.pose();
    let outline: Vec<Point> = board
        .outline
        .outer()
        .points()
        .iter()
        .map(|p| frame.inverse_apply(*p))
        .collect();
    let Some(all) = Bounds::of_points(outline.iter().copied()) else {
        return Vec::new();
    };
    let mut made = Vec::new();
    let mut waiting = vec![(0usize, all)];
    while let Some((node, rect)) = waiting.pop() {
        let Some(CutNode::Cut {
            direction,
            tool,
            at,
            kerf,
            low,
            high,
            ..
        }) = tree.nodes.get(node)
        else {
            continue;
        };
        let (below, above) = heartside_timber::workpieces::split(rect, *direction, *at, *kerf);
        let is_waste = |n: &usize| {
            matches!(
                tree.nodes.get(*n),
                Some(CutNode::Waste | CutNode::Offcut) | None
            )
        };
        if let Some(whole) = wood_in(&outline, &rect) {
            made.push(Made {
                node,
                tool: tool.clone(),
                direction: *direction,
                whole,
                halves: [wood_in(&outline, &below), wood_in(&outline, &above)],
                waste: [is_waste(low), is_waste(high)],
                at: *at,
                kerf: *kerf,
            });
        }
        waiting.extend([(*high, above), (*low, below)]);
        if made.len() > tree.nodes.len() {
            break;
        }
    }
    made
}

/// The box round the wood of an outline within a rectangle: the outline clipped side by side
/// (Sutherland & Hodgman 1974).
fn wood_in(outline: &[Point], rect: &Bounds) -> Option<Bounds> {
    type Seen = fn(&Point) -> f64;
    let (x, y): (Seen, Seen) = (|p| p.x, |p| p.y);
    let sides = [
        (x, rect.min.x, 1.0),
        (x, rect.max.x, -1.0),
        (y, rect.min.y, 1.0),
        (y, rect.max.y, -1.0),
    ];
    let mut points = outline.to_vec();
    for (seen, limit, sign) in sides {
        let inside = |p: &Point| sign * (seen(p) - limit) >= 0.0;
        let mut kept = Vec::with_capacity(points.len() + 2);
        for (k, a) in points.iter().enumerate() {
            let b = &points[(k + 1) % points.len()];
            if inside(a) {
                kept.push(*a);
            }
            if inside(a) != inside(b) {
                kept.push(a.towards(*b, (limit - seen(a)) / (seen(b) - seen(a))));
            }
        }
        points = kept;
    }
    Bounds::of_points(points)
}
