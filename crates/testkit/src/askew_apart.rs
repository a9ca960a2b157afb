//! Boards cut apart by a random legal tree in which some pieces are turned from their line of reference.

use heartside_geometry::{Bounds, Point, Pose};
use heartside_timber::document::{
    Board, BoardCopy, BoardOutline, CutKind, Document, EdgeKind, Guide, Length, Part, PartGrain,
    Shape, Tool,
};
use heartside_timber::plan::{CutNode, CutTree, Direction, Frame, Layout, Placement, Plan, Way};

use crate::chance::{Chance, round};
use crate::timberyard::{KERF, SAWN_ALLOWANCE, TRIM, empty_job, letter, mm, sawn_part};

const RAIL: &str = "Hand-led saw";
const FENCE: &str = "Bench saw";
const MITRE: &str = "Mitre saw";
/// Allowances of an empty job: at ends, at edges.
const ALLOWANCE: (f64, f64) = (8.0, 2.0);
/// Two places nearer than this are one, in mm.
const SAME: f64 = 1e-6;

/// A way of breaking what is turned.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AskewBreakage {
    /// A cut turns by another angle.
    AngleOff,
    /// A cut that turns, or comes after one, moves.
    TurnedCutMoved,
    /// A cut that turns is made against a fence.
    TurnedAtFence,
    /// A cut that turns is made on a mitre saw.
    TurnedOnMitre,
    /// A blank lies a little beside its piece.
    TurnedBlankOff,
}

impl AskewBreakage {
    /// Every way.
    pub const ALL: [AskewBreakage; 5] = [
        AskewBreakage::AngleOff,
        AskewBreakage::TurnedCutMoved,
        AskewBreakage::TurnedAtFence,
        AskewBreakage::TurnedOnMitre,
        AskewBreakage::TurnedBlankOff,
    ];
}

/// A job whose boards were cut apart by through cuts, one to three of each turning their piece by a
/// few degrees, with the complete plan; some turn back, and some of the rest runs along fences.
pub fn askew_apart(seed: u32, boards: usize) -> Document {
    let mut chance = Chance::new(seed ^ 0x7e7e_0000);
    let mut document = empty_job(format!("Askew apart {seed}"));
    document.workshop.tools.push(Tool {
        name: MITRE.into(),
        does: vec![CutKind::Crosscut],
        kerf: mm(KERF),
        guide: Guide::Square,
        can_skim: true,
        min_piece: mm(60.0),
        ..Tool::default()
    });
    let mut plan = Plan::default();
    for index in 0..boards {
        let board = board(&mut chance, index);
        let mut frame = Frame::default();
        if chance.percent(40) {
            frame = Frame {
                x: chance.between(-300.0, 300.0),
                y: chance.between(-300.0, 300.0),
                angle: round(chance.between(-3.0, 3.0), 100.0),
            };
        }
        let mut cutter = Cutter {
            chance: &mut chance,
            id: board.id.clone(),
            outline: corners(&board),
            usable: usable(&board),
            turns_left: 0,
            nodes: Vec::new(),
            placements: Vec::new(),
            parts: Vec::new(),
        };
        cutter.turns_left = 1 + cutter.chance.below(3);
        cutter.whole(frame, &board);
        let (nodes, placements) = (cutter.nodes, cutter.placements);
        document.parts.extend(cutter.parts);
        plan.layouts.push(Layout {
            board: BoardCopy {
                board: board.id.clone(),
                copy: 1,
            },
            way: Way::Straight,
            frame,
            placements,
            cuts: Some(CutTree { nodes }),
        });
        document.boards.push(board);
    }
    document.plan = Some(plan);
    document
}

/// Breaks what is turned in a plan in one way, by about `by` millimetres (degrees for an angle).
///
/// Nothing happens where no cut turns.
pub fn break_askew(document: &mut Document, way: AskewBreakage, by: f64, chance: &mut Chance) {
    let Some(plan) = &mut document.plan else {
        return;
    };
    let sign = if chance.percent(50) { by } else { -by };
    let turning: Vec<(usize, usize)> = plan
        .layouts
        .iter()
        .enumerate()
        .flat_map(|(l, layout)| {
            let nodes = layout.cuts.iter().flat_map(|tree| &tree.nodes).enumerate();
            let turns = |n: &CutNode| n.cut().is_some_and(|cut| cut.angle != 0.0);
            nodes
                .filter(move |(_, n)| turns(n))
                .map(move |(place, _)| (l, place))
        })
        .collect();
    if turning.is_empty() {
        return;
    }
    let (layout, node) = *chance.one_of(&turning);
    let layout = &mut plan.layouts[layout];
    if way == AskewBreakage::TurnedBlankOff {
        let place = chance.below(layout.placements.len().max(1));
        let along = chance.percent(50);
        if let Some(placement) = layout.placements.get_mut(place) {
            *(if along {
                &mut placement.at.x
            } else {
                &mut placement.at.y
            }) += sign;
        }
        return;
    }
    let Some(tree) = &mut layout.cuts else { return };
    // The cut itself, or one of those right after it.
    let after = tree.nodes[node]
        .cut()
        .map_or([node; 2], |cut| [cut.low, cut.high]);
    let after = *chance.one_of(&after);
    let is_cut = matches!(tree.nodes.get(after), Some(CutNode::Cut { .. }));
    let moves = way == AskewBreakage::TurnedCutMoved && is_cut && chance.percent(50);
    let node = if moves { after } else { node };
    if let CutNode::Cut {
        at,
        angle,
        tool,
        direction,
        ..
    } = &mut tree.nodes[node]
    {
        match way {
            AskewBreakage::AngleOff => *angle = Some(angle.unwrap_or(0.0) + sign),
            AskewBreakage::TurnedCutMoved => *at += sign,
            AskewBreakage::TurnedAtFence if *direction == Direction::Rip => *tool = FENCE.into(),
            AskewBreakage::TurnedOnMitre if *direction == Direction::Crosscut => {
                *tool = MITRE.into();
            }
            _ => *at += sign,
        }
    }
}

/// A convex board with four sides, each raw or straight, often with no two of them square.
fn board(chance: &mut Chance, index: usize) -> Board {
    let (length, width) = (chance.length(1200.0, 2200.0), chance.length(320.0, 560.0));
    let mut off = |limit: f64| match chance.percent(50) {
        true => chance.length(0.0, limit),
        false => 0.0,
    };
    let points = [
        (off(20.0), 0.0),
        (length, off(15.0)),
        (length - off(20.0), width),
        (0.0, width - off(15.0)),
    ];
    let mut side = || match chance.percent(50) {
        true => EdgeKind::Straight,
        false => EdgeKind::Raw,
    };
    let sides = (0..4).map(|_| side()).collect();
    Board {
        id: letter(index),
        name: format!("Board {}", letter(index)),
        species: "ash".into(),
        outline: Some(BoardOutline::Polygon {
            points: points.map(|(x, y)| [Length::Mm(x), Length::Mm(y)]).to_vec(),
            sides,
            holes: Vec::new(),
            hole_sides: Vec::new(),
        }),
        thickness: mm(33.0),
        ..Board::default()
    }
}

fn corners(board: &Board) -> Vec<Point> {
    let Some(BoardOutline::Polygon { points, .. }) = &board.outline else {
        return Vec::new();
    };
    let plain = crate::timberyard::plain;
    points
        .iter()
        .map(|[x, y]| Point::new(plain(x), plain(y)))
        .collect()
}

/// The board less the trims of its raw sides.
fn usable(board: &Board) -> Vec<Point> {
    let all = corners(board);
    let Some(BoardOutline::Polygon { sides, .. }) = &board.outline else {
        return all;
    };
    let mut left = all.clone();
    for (place, kind) in sides.iter().enumerate() {
        let (a, b) = (all[place], all[(place + 1) % all.len()]);
        let is_end = (b.y - a.y).abs() > (b.x - a.x).abs();
        let trim = match (kind, is_end) {
            (EdgeKind::Raw, true) => TRIM.0,
            (EdgeKind::Raw, false) => TRIM.1,
            _ => 0.0,
        };
        if let Some(inwards) = (b - a).turned_left().unit() {
            left = kept(&left, |p| (p - a).dot(inwards) - trim - 0.01);
        }
    }
    left
}

/// What of a convex polygon lies where `height` is at least 0.
fn kept(points: &[Point], height: impl Fn(Point) -> f64) -> Vec<Point> {
    let mut left = Vec::with_capacity(points.len() + 1);
    for (k, &here) in points.iter().enumerate() {
        let next = points[(k + 1) % points.len()];
        let (a, b) = (height(here), height(next));
        if a >= 0.0 {
            left.push(here);
        }
        if (a >= 0.0) != (b >= 0.0) {
            left.push(here.towards(next, a / (a - b)));
        }
    }
    left
}

fn across(direction: Direction, p: Point) -> f64 {
    match direction {
        Direction::Rip => p.y,
        Direction::Crosscut => p.x,
    }
}

fn along(direction: Direction, p: Point) -> f64 {
    match direction {
        Direction::Rip => p.x,
        Direction::Crosscut => p.y,
    }
}

/// A true side: the frame's angle in which it was cut, and its line there.
type TrueSide = (f64, Direction, f64);

/// One workpiece: its wood seen from its frame.
#[derive(Clone)]
struct Work {
    frame: Frame,
    wood: Vec<Point>,
    usable: Vec<Point>,
    sides: Vec<TrueSide>,
    has_turned: bool,
}

impl Work {
    fn turned(&self, angle: f64) -> Work {
        let turn = Pose {
            turn: angle,
            ..Pose::IDENTITY
        };
        let seen = |points: &[Point]| points.iter().map(|p| turn.inverse_apply(*p)).collect();
        Work {
            frame: self.frame.turned(angle),
            wood: seen(&self.wood),
            usable: seen(&self.usable),
            sides: self.sides.clone(),
            has_turned: true,
        }
    }

    fn extents(&self) -> Bounds {
        Bounds::of_points(self.wood.iter().copied()).unwrap_or(Bounds::of_size(0.0, 0.0))
    }

    fn halves(&self, direction: Direction, at: f64) -> [Work; 2] {
        let half = |sign: f64, level: f64| {
            let keeps = |points: &[Point]| kept(points, |p| sign * (across(direction, p) - level));
            let mut half = Work {
                frame: self.frame,
                wood: keeps(&self.wood),
                usable: keeps(&self.usable),
                sides: self.sides.clone(),
                has_turned: self.has_turned,
            };
            half.sides.push((self.frame.angle, direction, level));
            half
        };
        [half(-1.0, at), half(1.0, at + KERF)]
    }

    /// Over what length wood touches a true side that lies outermost at a level.
    fn true_length(&self, direction: Direction, level: f64) -> f64 {
        let is_it = |side: &TrueSide| {
            let (angle, own, at) = *side;
            own == direction && (angle - self.frame.angle).abs() < 1e-9 && (at - level).abs() < SAME
        };
        if !self.sides.iter().any(is_it) {
            return 0.0;
        }
        let touching = self.wood.iter();
        let touching = touching
            .filter(|p| (across(direction, **p) - level).abs() < SAME)
            .map(|p| along(direction, *p));
        let (low, high) = touching.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| {
            (low.min(at), high.max(at))
        });
        (high - low).max(0.0)
    }
}

struct Cutter<'a> {
    chance: &'a mut Chance,
    id: String,
    outline: Vec<Point>,
    usable: Vec<Point>,
    turns_left: usize,
    nodes: Vec<CutNode>,
    placements: Vec<Placement>,
    parts: Vec<Part>,
}

impl Cutter<'_> {
    fn whole(&mut self, frame: Frame, board: &Board) {
        let pose = frame.pose();
        let seen = |points: &[Point]| -> Vec<Point> {
            points.iter().map(|p| pose.inverse_apply(*p)).collect()
        };
        let (wood, usable) = (seen(&self.outline), seen(&self.usable));
        let mut sides = Vec::new();
        if let Some(BoardOutline::Polygon { sides: kinds, .. }) = &board.outline {
            for (place, kind) in kinds.iter().enumerate() {
                let (a, b) = (wood[place], wood[(place + 1) % wood.len()]);
                for direction in [Direction::Rip, Direction::Crosscut] {
                    let level = across(direction, a);
                    if *kind == EdgeKind::Straight && level == across(direction, b) {
                        sides.push((frame.angle, direction, level));
                    }
                }
            }
        }
        let work = Work {
            frame,
            wood,
            usable,
            sides,
            has_turned: false,
        };
        self.part(&work, frame.angle, 3);
    }

    /// Cuts a workpiece up; the node that was added.
    fn part(&mut self, work: &Work, first: f64, depth: usize) -> usize {
        let mut work = work.clone();
        let mut angle = 0.0;
        if self.turns_left > 0 && (self.chance.percent(50) || depth == 1) {
            self.turns_left -= 1;
            let so_far = work.frame.angle - first;
            angle = if so_far != 0.0 && self.chance.percent(50) {
                -so_far
            } else {
                round(self.chance.between(-5.0, 5.0), 100.0)
            };
            work = work.turned(angle);
        }
        let extents = work.extents();
        let crosscut = extents.width() > 500.0 && self.chance.percent(60);
        let direction = match crosscut || extents.height() < 150.0 {
            true => Direction::Crosscut,
            false => Direction::Rip,
        };
        let (low, high) = (
            across(direction, extents.min),
            across(direction, extents.max),
        );
        if depth == 0 || high - low < 140.0 {
            return self.leaf(&work, angle);
        }
        let at = round(low + self.chance.between(0.3, 0.7) * (high - low), 1000.0);
        let place = self.nodes.len();
        self.nodes.push(CutNode::Waste);
        let tool = self.tool(&work, direction, at);
        let [below, above] = work.halves(direction, at);
        let low = self.part(&below, first, depth - 1);
        let high = self.part(&above, first, depth - 1);
        self.nodes[place] = cut(direction, tool, at, angle, low, high);
        place
    }

    /// A tool that surely makes the cut.
    fn tool(&mut self, work: &Work, direction: Direction, at: f64) -> &'static str {
        let extents = work.extents();
        let length = along(direction, extents.max) - along(direction, extents.min);
        let (low, high) = (
            across(direction, extents.min),
            across(direction, extents.max),
        );
        let halves = work.halves(direction, at);
        let guided = [
            (low, at - low, &halves[0]),
            (high, high - at - KERF, &halves[1]),
        ]
        .into_iter()
        .any(|(level, width, half)| {
            let own = half.extents();
            let held = along(direction, own.max) - along(direction, own.min);
            let touches = work.true_length(direction, level) > 0.92 * length;
            touches && width > 1.0 && width < 600.0 && held > 150.0
        });
        let along_fence = direction == Direction::Rip && guided && length > 150.0;
        if along_fence && self.chance.percent(80) {
            return FENCE;
        }
        let square = !work.has_turned;
        let edges = [extents.min.y, extents.max.y];
        let in_line = edges
            .iter()
            .any(|y| work.true_length(Direction::Rip, *y) > 5.0);
        let held = halves
            .iter()
            .map(|h| h.extents().width())
            .fold(0.0, f64::max);
        if direction == Direction::Crosscut
            && (square || in_line)
            && held > 70.0
            && self.chance.percent(60)
        {
            return MITRE;
        }
        RAIL
    }

    /// A blank is cut free all round, or drawn on its piece and sawn by line; else an offcut.
    fn leaf(&mut self, work: &Work, angle: f64) -> usize {
        let by_line = self.chance.percent(20);
        let Some(blank) = self.blank(work) else {
            return self.offcut();
        };
        let place = self.placements.len();
        let size = (blank.width(), blank.height());
        let id = format!("{}{}", self.id.to_lowercase(), place + 1);
        let least = if by_line {
            (2.0 * SAWN_ALLOWANCE + 20.0, 2.0 * SAWN_ALLOWANCE + 20.0)
        } else {
            (2.0 * ALLOWANCE.0 + 20.0, 2.0 * ALLOWANCE.1 + 20.0)
        };
        if size.0 < least.0 || size.1 < least.1 {
            return self.offcut();
        }
        let name = format!("Part {id}");
        let inset = match by_line {
            true => (SAWN_ALLOWANCE, SAWN_ALLOWANCE),
            false => ALLOWANCE,
        };
        let (length, width) = (size.0 - 2.0 * inset.0, size.1 - 2.0 * inset.1);
        let part = if by_line {
            let corners = [(0.0, 0.0), (length, 0.0), (length, width), (0.0, width)];
            let points = corners.map(|(x, y)| [Length::Mm(x), Length::Mm(y)]);
            sawn_part(id.clone(), name, points.to_vec(), 33.0, 45.0)
        } else {
            Part {
                id: id.clone(),
                name,
                shape: Some(Shape::Rectangle {
                    length: Length::Mm(length),
                    width: Length::Mm(width),
                }),
                thickness: mm(17.0),
                grain: PartGrain {
                    tolerance: Some(45.0),
                    ..PartGrain::default()
                },
                ..Part::default()
            }
        };
        self.parts.push(part);
        let corner = Point::new(blank.min.x + inset.0, blank.min.y + inset.1);
        let on_board = work.frame.pose().apply(corner);
        self.placements.push(Placement {
            part: id,
            copy: 1,
            at: Pose {
                x: on_board.x,
                y: on_board.y,
                turn: work.frame.angle,
                turned_over: false,
            }
            .into(),
            ..Placement::default()
        });
        // A turn without a cut of its own is none: the first cut turns.
        if by_line && angle == 0.0 {
            self.nodes.push(CutNode::Region {
                placements: vec![place],
            });
            return self.nodes.len() - 1;
        }
        self.freed(work, blank, angle, place, by_line)
    }

    fn offcut(&mut self) -> usize {
        self.nodes.push(CutNode::Offcut);
        self.nodes.len() - 1
    }

    /// The cuts round a blank, in any order.
    fn freed(
        &mut self,
        work: &Work,
        blank: Bounds,
        angle: f64,
        place: usize,
        by_line: bool,
    ) -> usize {
        let mut waiting = vec![
            (Direction::Rip, false, blank.min.y),
            (Direction::Rip, true, blank.max.y),
            (Direction::Crosscut, false, blank.min.x),
            (Direction::Crosscut, true, blank.max.x),
        ];
        let (mut work, mut angle) = (work.clone(), angle);
        let root = self.nodes.len();
        self.nodes.push(CutNode::Waste);
        let mut here = root;
        while !waiting.is_empty() {
            let (direction, is_high, level) = waiting.remove(self.chance.below(waiting.len()));
            let extents = work.extents();
            let beyond = match is_high {
                true => across(direction, extents.max) - level,
                false => level - across(direction, extents.min),
            };
            if beyond < 1e-3 {
                continue;
            }
            let at = if is_high { level } else { level - KERF };
            let [low, high] = work.halves(direction, at);
            let (kept, waste) = (self.nodes.len(), self.nodes.len() + 1);
            self.nodes.extend([CutNode::Waste, CutNode::Waste]);
            let children = if is_high {
                (kept, waste)
            } else {
                (waste, kept)
            };
            self.nodes[here] = cut(direction, RAIL, at, angle, children.0, children.1);
            work = if is_high { low } else { high };
            (here, angle) = (kept, 0.0);
        }
        self.nodes[here] = match by_line {
            true => CutNode::Region {
                placements: vec![place],
            },
            false => CutNode::Blank { placement: place },
        };
        root
    }

    /// A rectangle of the frame within what is usable.
    fn blank(&mut self, work: &Work) -> Option<Bounds> {
        let count = work.usable.len();
        if count < 3 {
            return None;
        }
        let mean =
            |value: fn(&Point) -> f64| work.usable.iter().map(value).sum::<f64>() / count as f64;
        let middle = Point::new(mean(|p| p.x), mean(|p| p.y));
        let extents = Bounds::of_points(work.usable.iter().copied())?;
        let (wide, high) = (0.5 * extents.width(), 0.5 * extents.height());
        let shape = self.chance.between(0.6, 1.0);
        let box_of = |scale: f64| {
            let (x, y) = (
                round(wide * scale, 1000.0),
                round(high * scale * shape, 1000.0),
            );
            let middle = Point::new(round(middle.x, 1000.0), round(middle.y, 1000.0));
            Bounds::new(
                Point::new(middle.x - x, middle.y - y),
                Point::new(middle.x + x, middle.y + y),
            )
        };
        let fits = |scale: f64| {
            let b = box_of(scale);
            let corners = [
                b.min,
                Point::new(b.max.x, b.min.y),
                b.max,
                Point::new(b.min.x, b.max.y),
            ];
            (0..count).all(|k| {
                let (from, to) = (work.usable[k], work.usable[(k + 1) % count]);
                let side = to - from;
                side.length() < 1e-9
                    || corners
                        .iter()
                        .all(|p| side.cross(*p - from) / side.length() > 0.01)
            })
        };
        let (mut least, mut most) = (0.0, 1.0);
        for _ in 0..30 {
            let scale = 0.5 * (least + most);
            *(if fits(scale) { &mut least } else { &mut most }) = scale;
        }
        (least > 0.05).then(|| box_of(least))
    }
}

fn cut(direction: Direction, tool: &str, at: f64, angle: f64, low: usize, high: usize) -> CutNode {
    CutNode::Cut {
        direction,
        tool: tool.into(),
        at,
        kerf: KERF,
        angle: (angle != 0.0).then_some(angle),
        low,
        high,
    }
}
