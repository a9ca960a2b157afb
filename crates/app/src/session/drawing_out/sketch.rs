//! What is being drawn, stepwise: points set, moved and taken away, sides bowed, ovals, strokes. It
//! knows no job and no floor: places are the board's own, in millimetres, y up.

use heartside_geometry::{Point, Side};
use heartside_timber::length::Unit;

use super::line::{Line, Node, What, few_corners, few_points};
use crate::protocol::DrawWay;

/// What is drawn freehand is simplified within this many millimetres, or a pixel where that is more:
/// no hand is surer than the screen.
const FREEHAND: f64 = 0.5;
/// The same along the grain, where only the direction counts.
const FREEHAND_GRAIN: f64 = 2.0;
/// A mark of the rule that is jumped to is so many pixels wide at least.
const LEAST_MARK: f64 = 6.0;

const FLAT: &str = "Drag from one corner of the oval to the other.";
pub(super) const NO_MORE: &str =
    "The area is drawn: drag its points, tap a side for another one, or draw it anew.";

/// Where the pointer is.
#[derive(Debug, Clone, Copy)]
pub(super) struct Hand {
    pub(super) at: Point,
    /// Millimetres to a pixel.
    pub(super) pixel: f64,
    /// How far off a point is still meant, in millimetres.
    pub(super) reach: f64,
    /// Without jumping to marks of the rule.
    pub(super) free: bool,
}

/// A point: which line, and which of it.
pub(super) type Place = (usize, usize);

/// The lines as they stand after a step.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Figure {
    pub(super) lines: Vec<Line>,
    pub(super) chosen: Option<Place>,
}

#[derive(Debug, Clone)]
enum Held {
    Node(Place),
    Bow(Place),
    /// A finger that slides to where a point is to be.
    Aim,
    Stroke(Vec<Point>),
    Oval(Point),
}

enum Under {
    Node(Place),
    /// The middle of the side after a point, or another place of it.
    Side(Place, bool),
    Nothing,
}

#[derive(Debug, Clone)]
pub(super) struct Sketch {
    pub(super) what: What,
    pub(super) way: DrawWay,
    pub(super) figure: Figure,
    pub(super) hover: Option<Point>,
    /// Points jump to marks of the rule.
    pub(super) snaps: bool,
    /// Something to know about the last step.
    pub(super) told: Option<String>,
    /// The next point begins another line.
    pub(super) begins: bool,
    unit: Unit,
    pixel: f64,
    past: Vec<Figure>,
    future: Vec<Figure>,
    held: Option<(Held, Figure)>,
    /// The point that arrow keys move: many small moves are one step.
    pub(super) nudged: Option<Place>,
}

impl Sketch {
    pub(super) fn new(what: What, lines: Vec<Line>, unit: Unit) -> Sketch {
        Sketch {
            what,
            way: DrawWay::Points,
            begins: lines.is_empty() || what == What::Grain,
            figure: Figure {
                lines,
                chosen: None,
            },
            hover: None,
            snaps: true,
            told: None,
            unit,
            pixel: 1.0,
            past: Vec::new(),
            future: Vec::new(),
            held: None,
            nudged: None,
        }
    }

    /// The line that is being drawn.
    pub(super) fn open_line(&self) -> Option<usize> {
        let last = self.figure.lines.len().checked_sub(1)?;
        (!self.figure.lines[last].finished).then_some(last)
    }

    /// What was drawn freehand so far, while the hand still draws.
    pub(super) fn stroke(&self) -> &[Point] {
        match &self.held {
            Some((Held::Stroke(points), _)) => points,
            _ => &[],
        }
    }

    pub(super) fn can_go(&self, back: bool) -> bool {
        !(if back { &self.past } else { &self.future }).is_empty()
    }

    /// The distance of the marks that points jump to.
    pub(super) fn mark(&self) -> f64 {
        let marks = match self.unit {
            Unit::Millimetres => [5.0, 10.0, 50.0],
            Unit::Inches => [6.35, 12.7, 50.8],
        };
        let seen = |mark: &f64| *mark >= LEAST_MARK * self.pixel;
        marks.into_iter().find(seen).unwrap_or(marks[2])
    }

    fn jumped(&self, hand: &Hand) -> Point {
        let step = match self.snaps && !hand.free {
            true => self.mark(),
            false => 0.1,
        };
        let round = |mm: f64| (mm / step).round() * step;
        Point::new(round(hand.at.x), round(hand.at.y))
    }

    fn under(&self, hand: &Hand) -> Under {
        let mut nearest = (hand.reach, Under::Nothing);
        for (l, line) in self.figure.lines.iter().enumerate() {
            for (k, node) in line.nodes.iter().enumerate() {
                let off = node.at.distance(hand.at);
                // Of points that lie on each other the later one: it was set last.
                if off <= nearest.0 {
                    nearest = (off, Under::Node((l, k)));
                }
            }
        }
        if let Under::Node(_) = nearest.1 {
            return nearest.1;
        }
        for (l, line) in self.figure.lines.iter().enumerate() {
            for k in 0..line.sides(self.what) {
                let (a, b) = line.side(k);
                let middle = line.middle(k);
                let off = middle.distance(hand.at);
                if off <= nearest.0 && a.distance(b) > 3.0 * hand.reach {
                    nearest = (off, Under::Side((l, k), true));
                    continue;
                }
                let halves = [(a, middle), (middle, b)];
                let off = halves.map(|(a, b)| hand.at.distance_to_segment(a, b));
                let off = off[0].min(off[1]) + 0.3 * hand.reach;
                if line.finished && off <= nearest.0 {
                    nearest = (off, Under::Side((l, k), false));
                }
            }
        }
        nearest.1
    }

    /// Whether a drag from here draws or moves something.
    pub(super) fn grips(&self, hand: &Hand, is_touch: bool) -> bool {
        let on = || !matches!(self.under(hand), Under::Nothing | Under::Side(_, false));
        is_touch || self.way != DrawWay::Points || on()
    }

    // Steps.

    /// What was done since `before` is a step.
    pub(super) fn stepped(&mut self, before: Figure) {
        self.nudged = None;
        if before.lines != self.figure.lines {
            self.past.push(before);
            self.future.clear();
        }
    }

    /// Takes the last step back; false where there is none.
    pub(super) fn back(&mut self) -> bool {
        self.give_up();
        self.told = None;
        let Some(before) = self.past.pop() else {
            return false;
        };
        self.future
            .push(std::mem::replace(&mut self.figure, before));
        self.nudged = None;
        true
    }

    pub(super) fn forward(&mut self) {
        self.give_up();
        if let Some(after) = self.future.pop() {
            self.past.push(std::mem::replace(&mut self.figure, after));
        }
    }

    pub(super) fn step(&mut self, act: impl FnOnce(&mut Sketch)) {
        self.give_up();
        self.told = None;
        let before = self.figure.clone();
        act(self);
        self.stepped(before);
    }

    // The pointer.

    pub(super) fn press(&mut self, hand: &Hand) {
        self.pixel = hand.pixel;
        self.give_up();
        self.told = None;
        let is_open = self.open_line().is_some();
        // A line that is begun goes on by strokes too; an oval waits until it is finished.
        let under = match self.way == DrawWay::Freehand && is_open {
            true => Under::Nothing,
            false => self.under(hand),
        };
        let held = match under {
            Under::Node(place) => {
                self.figure.chosen = Some(place);
                Held::Node(place)
            }
            Under::Side(place, true) => Held::Bow(place),
            _ => match self.way {
                DrawWay::Freehand => Held::Stroke(vec![hand.at]),
                DrawWay::Oval | DrawWay::FromMiddle if !is_open => Held::Oval(self.jumped(hand)),
                _ => Held::Aim,
            },
        };
        self.held = Some((held, self.figure.clone()));
    }

    pub(super) fn drag(&mut self, hand: &Hand) {
        self.pixel = hand.pixel;
        let to = self.jumped(hand);
        let Some((held, before)) = &mut self.held else {
            self.hover = Some(to);
            return;
        };
        match held {
            Held::Node(place) => {
                let place = *place;
                self.move_to(place, to);
            }
            Held::Bow((l, k)) => {
                let line = &mut self.figure.lines[*l];
                let (a, b) = line.side(*k);
                let Some(along) = (b - a).unit() else { return };
                let most = a.distance(b) / 2.0;
                let bow = (hand.at - a.midpoint(b)).dot(along.turned_right());
                let bow = if bow.abs() < 3.0 * hand.pixel {
                    0.0
                } else {
                    bow
                };
                let bow = if hand.free { bow } else { bow.round() };
                line.nodes[*k].bow = bow.clamp(-most, most);
            }
            Held::Aim => self.hover = Some(to),
            Held::Stroke(points) => {
                if points.last() != Some(&hand.at) {
                    points.push(hand.at);
                }
            }
            Held::Oval(from) => {
                let first = match self.way {
                    DrawWay::FromMiddle => *from - (to - *from),
                    _ => *from,
                };
                self.figure = before.clone();
                self.figure.lines.push(Line::oval_between(first, to));
                self.figure.chosen = Some((self.figure.lines.len() - 1, 1));
            }
        }
    }

    pub(super) fn release(&mut self, hand: &Hand) {
        self.drag(hand);
        let Some((held, before)) = self.held.take() else {
            return;
        };
        self.hover = None;
        match held {
            Held::Aim => return self.tap(hand),
            Held::Stroke(points) => self.take_stroke(&points, hand),
            Held::Oval(_) => {
                let made = self.figure.lines.last().and_then(Line::oval_box);
                let is_flat = made.is_none_or(|b| b.width() < 1.0 || b.height() < 1.0);
                let may = self.may_begin(&before.lines);
                if is_flat || !may {
                    let why = if may { FLAT } else { NO_MORE };
                    self.told = Some(why.to_owned());
                    self.figure = before.clone();
                }
            }
            Held::Node(_) | Held::Bow(_) => {}
        }
        self.stepped(before);
    }

    /// Lets go of what is held, as if it had not been taken.
    pub(super) fn give_up(&mut self) {
        if let Some((_, before)) = self.held.take() {
            self.figure = before;
        }
        self.hover = None;
    }

    /// Whether another line may lie beside these: an area is one.
    pub(super) fn may_begin(&self, beside: &[Line]) -> bool {
        self.what != What::Area || beside.iter().all(|l| !l.finished)
    }

    /// A tap, or a finger lifted where a point is to be.
    pub(super) fn tap(&mut self, hand: &Hand) {
        self.pixel = hand.pixel;
        let at = self.jumped(hand);
        self.step(|sketch| match (sketch.open_line(), sketch.under(hand)) {
            (Some(open), Under::Node((l, 0))) if l == open && sketch.can_close() => sketch.close(),
            (Some(open), Under::Node((l, k)))
                if sketch.what == What::Grain
                    && (l, k + 1) == (open, sketch.figure.lines[open].nodes.len()) =>
            {
                sketch.close();
            }
            (_, Under::Node(place)) => sketch.figure.chosen = Some(place),
            (None, Under::Side(place, _)) => sketch.split(place, hand.at),
            (open, _) => {
                let is_more = open.is_some() || sketch.begins || sketch.figure.lines.is_empty();
                match is_more {
                    true => sketch.add(at),
                    false => sketch.figure.chosen = None,
                }
            }
        });
    }

    // What happens to the lines.

    pub(super) fn move_to(&mut self, (l, k): Place, to: Point) {
        if let Some(node) = self
            .figure
            .lines
            .get_mut(l)
            .and_then(|l| l.nodes.get_mut(k))
        {
            node.at = to;
            node.typed = None;
        }
    }

    /// Sets a point at the end of the line that is being drawn, or the first of another one.
    pub(super) fn add(&mut self, at: Point) {
        let l = self.open_line().unwrap_or_else(|| {
            self.figure.lines.push(Line::default());
            self.figure.lines.len() - 1
        });
        let nodes = &mut self.figure.lines[l].nodes;
        if nodes.last().is_none_or(|last| last.at != at) {
            nodes.push(Node::at(at));
        }
        self.figure.chosen = Some((l, nodes.len() - 1));
        self.begins = self.what == What::Grain;
    }

    fn can_close(&self) -> bool {
        let Some(line) = self.open_line().map(|l| &self.figure.lines[l]) else {
            return false;
        };
        let least = if self.what == What::Grain { 2 } else { 3 };
        line.nodes.len() + line.nodes.iter().map(|n| n.stroke.len()).sum::<usize>() >= least
    }

    /// Finishes the line that is being drawn: of a board or an area by a side back to its first point.
    pub(super) fn close(&mut self) {
        let Some(l) = self.open_line() else { return };
        if !self.can_close() {
            self.told = Some(match self.what {
                What::Grain => "A line along the grain needs two points.".to_owned(),
                _ => "A closed line needs three points: set another one.".to_owned(),
            });
            return;
        }
        if self.figure.lines[l].is_freehand() {
            let closed = Line {
                finished: true,
                ..self.figure.lines[l].clone()
            };
            return self.take_ring(l, closed.points(self.what, Side::Inside));
        }
        self.figure.lines[l].finished = true;
        self.figure.chosen = None;
    }

    /// On which side of what was drawn the straight sides lie: a board promises no wood that is not
    /// there, a hole and an area leave nothing out.
    fn side_of(&self, l: usize) -> Side {
        let mut others = self.figure.lines.iter().enumerate();
        let within = self.what == What::Area || others.any(|(o, line)| o != l && line.finished);
        if within { Side::Outside } else { Side::Inside }
    }

    fn within(&self) -> f64 {
        let least = match self.what {
            What::Grain => FREEHAND_GRAIN,
            What::Wood | What::Area => FREEHAND,
        };
        least.max(self.pixel)
    }

    fn take_ring(&mut self, l: usize, drawn: Vec<Point>) {
        let (count, side, within) = (drawn.len(), self.side_of(l), self.within());
        let Some(ring) = few_corners(drawn, within, side) else {
            self.told = Some("The line crosses itself: take it back, or draw it anew.".to_owned());
            return;
        };
        let few = ring.points().len();
        let lies = match side {
            Side::Inside => "inside",
            Side::Outside => "outside",
        };
        self.told = Some(format!(
            "Drawn freehand: {few} corners of {count}, at most {:.1} mm {lies} your line.",
            within
        ));
        self.figure.lines[l] = Line::through(ring.points().iter().copied());
        self.figure.chosen = None;
    }

    fn take_stroke(&mut self, drawn: &[Point], hand: &Hand) {
        let [first, .., last] = drawn else { return };
        if self.what == What::Grain {
            // A single point that was set before is no line.
            if self.can_close() {
                self.close();
            }
            self.figure.lines.retain(|l| l.finished);
            self.figure.chosen = None;
            self.figure
                .lines
                .push(Line::through(few_points(drawn, self.within())));
            return;
        }
        if !self.may_begin(&self.figure.lines) {
            self.told = Some(NO_MORE.to_owned());
            return;
        }
        let long: f64 = drawn.windows(2).map(|p| p[0].distance(p[1])).sum();
        let Some(l) = self.open_line() else {
            let l = self.figure.lines.len();
            if first.distance(*last) < (2.0 * hand.reach).max(0.15 * long) {
                self.figure.lines.push(Line::default());
                self.take_ring(l, drawn.to_vec());
                if !self.figure.lines[l].finished {
                    self.figure.lines.pop();
                }
                return;
            }
            let mut begin = Node::at(*first);
            begin.stroke = drawn[1..drawn.len() - 1].to_vec();
            self.figure.lines.push(Line {
                nodes: vec![begin, Node::at(*last)],
                ..Line::default()
            });
            self.figure.chosen = Some((l, 1));
            return;
        };
        let line = &mut self.figure.lines[l];
        let closes = line.nodes[0].at.distance(*last) < 2.0 * hand.reach;
        let until = drawn.len() - usize::from(!closes);
        if let Some(node) = line.nodes.last_mut() {
            node.stroke = drawn[..until].to_vec();
        }
        match closes {
            true => self.close(),
            false => {
                line.nodes.push(Node::at(*last));
                self.figure.chosen = Some((l, line.nodes.len() - 1));
            }
        }
    }

    /// Sets a point on a side.
    fn split(&mut self, (l, k): Place, near: Point) {
        let line = &mut self.figure.lines[l];
        let (a, b) = line.side(k);
        let bow = line.nodes[k].bow;
        let mut at = near.nearest_on_segment(a, b);
        let mut bows = [0.0; 2];
        if bow != 0.0 {
            let half = a.distance(b) / 2.0;
            let radius = (half * half + bow * bow) / (2.0 * bow.abs());
            let middle = line.middle(k);
            let inwards = (a.midpoint(b) - middle).unit().unwrap_or_default();
            let centre = middle + inwards * radius;
            at = centre + (near - centre).unit().unwrap_or(inwards) * radius;
            bows = [a, b].map(|end| {
                let half = at.distance(end) / 2.0;
                let rest = (radius * radius - half * half).max(0.0).sqrt();
                bow.signum() * (radius - rest)
            });
        }
        let mut node = Node::at(at);
        node.kind = line.nodes[k].kind;
        (line.nodes[k].bow, node.bow) = (bows[0], bows[1]);
        line.nodes.insert(k + 1, node);
        self.figure.chosen = Some((l, k + 1));
    }

    pub(super) fn seen_at(&mut self, pixel: f64) {
        if pixel.is_finite() && pixel > 0.0 {
            self.pixel = pixel;
        }
    }

    pub(super) fn pixel(&self) -> f64 {
        self.pixel
    }
}
