//! The piece of one cut alone, as it lies at the machine: the line to cut, what is kept, and the
//! side that is measured from.

use heartside_cutting::{Action, Setting, Step, chalk_name};
use heartside_geometry::{Bounds, Point, Pose, Region, math};
use heartside_timber::document::ZoneKind;
use heartside_timber::job::{Board, Job};
use heartside_timber::length::{DisplayUnits, write_length};
use heartside_timber::plan::{Layout, Plan};
use heartside_timber::workpieces::Workpieces;

use crate::at_resaw::at_resaw;
use crate::fitting::{around, pole};
use crate::laid::Laid;
use crate::numbers::centre_line;
use crate::one_step::{AtMachine, MEASURE, NAME};
use crate::pen::{Pen, Words};
use crate::svg::{Origin, number};
use crate::text::{LINE, text_width};
use crate::zones;

/// How many millimetres of paper the longer side of a piece is made to be read at: a phone propped on
/// the saw is read from two metres, so type is large beside the wood.
const READ_AT: f64 = 90.0;
/// A piece that stands upright is shown this high at most, as a share of the width there is.
const TALLEST: f64 = 0.46;
/// The piece of a step as it lies at the machine; none where the plan does not hold the step.
///
/// Along a fence it runs upwards with the fence at its right; against a stop, and where a cut across
/// is marked, the side measured from lies left; where a rip is marked it lies below. What is sawn
/// by line lies as on its board. What is resawn is seen from its end.
pub fn at_machine(job: &Job, plan: &Plan, step: &Step) -> Option<AtMachine> {
    if step.action == Action::Resaw {
        return at_resaw(job, step);
    }
    let board = job.board(&step.board.board)?;
    let layout = plan.layouts.get(step.layout)?;
    let whole = piece(board, layout, step.node)?;
    let placed = step.placement.and_then(|p| layout.placements.get(p));
    let kept = match placed {
        Some(placement) => Laid::of(job, placement, false).map(|laid| laid.blank),
        None => step
            .yields
            .first()
            .and_then(|y| piece(board, layout, y.node)),
    };
    let drawing = Drawing::new((board, job.units), layout, step, whole);
    Some(drawing.drawn(step, kept))
}

/// The wood of a node of a layout's tree in the board's frame, the whole board where there is none.
fn piece(board: &Board, layout: &Layout, node: Option<usize>) -> Option<Vec<Region>> {
    let (Some(node), Some(tree)) = (node, &layout.cuts) else {
        return Some(vec![board.outline.clone()]);
    };
    let all = Workpieces::of(tree, layout.frame, &board.outline);
    let pieces = all.get(node)?.wood();
    (!pieces.is_empty()).then_some(pieces)
}

/// Where the side that is measured from lies in the picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Lies {
    Right,
    Left,
    Below,
}

impl Lies {
    fn of(setting: &Setting, step: &Step) -> Lies {
        let [a, b] = step.line;
        // The cut runs square to the way to its datum; which way it runs on the board tells rip from crosscut.
        let along = (b.x - a.x).abs() >= (b.y - a.y).abs();
        match (setting.by_fence, setting.by_stop, along) {
            (true, ..) => Lies::Right,
            (false, true, _) | (false, false, false) => Lies::Left,
            (false, false, true) => Lies::Below,
        }
    }

    fn direction(self) -> f64 {
        match self {
            Lies::Right => 0.0,
            Lies::Left => 180.0,
            Lies::Below => 270.0,
        }
    }

    fn words(self) -> &'static str {
        match self {
            Lies::Right => "at the right",
            Lies::Left => "at the left",
            Lies::Below => "below",
        }
    }
}

struct Drawing<'a> {
    board: &'a Board,
    units: DisplayUnits,
    whole: Vec<Region>,
    lies: Option<Lies>,
    /// From the board's frame to the picture's, y up.
    turn: Pose,
    unit: f64,
    /// Of the piece in the picture, y up.
    bounds: Bounds,
}

impl<'a> Drawing<'a> {
    fn new(
        (board, units): (&'a Board, DisplayUnits),
        layout: &Layout,
        step: &Step,
        whole: Vec<Region>,
    ) -> Drawing<'a> {
        let lies = step.setting.as_ref().map(|s| Lies::of(s, step));
        let turn = match (&step.setting, lies) {
            (Some(setting), Some(lies)) => {
                lies.direction() - math::atan2_deg(setting.towards.y, setting.towards.x)
            }
            _ => -layout.frame.angle,
        };
        let turn = Pose {
            x: 0.0,
            y: 0.0,
            turn: math::normalise_deg(turn),
            turned_over: false,
        };
        let boxes = whole.iter().map(|r| turn.apply_region(r).bounds());
        let bounds = boxes
            .reduce(Bounds::union)
            .unwrap_or(Bounds::of_size(1.0, 1.0));
        let reach = bounds.width().max(bounds.height() / TALLEST);
        let unit = (reach / READ_AT).max(0.05);
        Drawing {
            board,
            units,
            whole,
            lies,
            turn,
            unit,
            bounds,
        }
    }

    fn drawn(&self, step: &Step, kept: Option<Vec<Region>>) -> AtMachine {
        let mut pen = Pen::new(self.unit);
        let mut extent = self.on_paper(self.bounds);
        pen.open("", "hs hs-at-machine", &step.title, "");
        self.wood(&mut pen, step, kept.as_deref());
        if let Some(kept) = &kept {
            let name = step.yields.first().map_or("", |y| chalk_name(&y.name));
            self.name(&mut pen, kept, name);
        }
        if let (Some(setting), Some(lies)) = (&step.setting, self.lies) {
            extent = extent.union(self.datum(&mut pen, setting, lies));
            extent = extent.union(self.measure(&mut pen, setting, lies, step));
        }
        pen.close();
        AtMachine {
            svg: pen.out,
            bounds: extent.grown(3.0 * self.unit),
            description: self.description(step),
        }
    }

    /// A box of the picture with y down.
    fn on_paper(&self, bounds: Bounds) -> Bounds {
        let origin = Origin::at(0.0, 0.0);
        Bounds::new(origin.map(bounds.min), origin.map(bounds.max))
    }

    /// The wood with its flaws, what is kept, the kerf and the line: drawn as on the board, and turned.
    fn wood(&self, pen: &mut Pen, step: &Step, kept: Option<&[Region]>) {
        let origin = Origin::at(0.0, 0.0);
        let turn = number(-self.turn.turn);
        pen.out
            .push_str(&format!("<g transform=\"rotate({turn})\">"));
        let path =
            |regions: &[Region]| -> String { regions.iter().map(|r| origin.region(r)).collect() };
        pen.path("hs-wood", &path(&self.whole), 0.0, &[]);
        if let Some(kept) = kept {
            pen.path("hs-blank", &path(kept), 0.26, &[]);
        }
        let own: Vec<Bounds> = self.whole.iter().map(Region::bounds).collect();
        let meets = |bounds: Bounds| own.iter().any(|b| b.intersects(&bounds));
        let zones = self
            .board
            .zones
            .iter()
            .filter(|z| z.kind != ZoneKind::Figure);
        for zone in zones.filter(|z| meets(zones::reach(z, self.unit))) {
            pen.open("", "hs-a-zone", &zones::words(zone), "");
            zones::draw(pen, zone, origin);
            pen.close();
        }
        pen.path("hs-edge", &path(&self.whole), 0.5, &[]);
        if step.band.is_empty() {
            pen.out.push_str("</g>");
            return;
        }
        pen.path("hs-kerf", &origin.ring(&step.band), 0.0, &[]);
        let (a, b) = centre_line(&step.band);
        pen.line("hs-chosen-cut", origin.map(a), origin.map(b), 1.2);
        pen.out.push_str("</g>");
    }

    /// The name of what is kept, on its wood, as large as it goes.
    fn name(&self, pen: &mut Pen, kept: &[Region], name: &str) {
        let largest = kept.iter().max_by(|a, b| a.area().total_cmp(&b.area()));
        let Some(body) = largest.map(|r| self.turn.apply_region(r)) else {
            return;
        };
        let middle = pole(&body);
        let room = body.bounds();
        let wide = room.width() * 0.9 / text_width(name, 1.0).max(1e-9);
        let size = (NAME * self.unit).min(wide).min(room.height() * 0.8 / LINE);
        if size < 0.4 * NAME * self.unit {
            return;
        }
        let at = Point {
            x: middle.x,
            y: -middle.y,
        };
        let words = Words::new(name, "hs-name", at, size);
        pen.words(&words.haloed(0.8 * self.unit, "hs-halo-part"));
    }

    /// The side that is measured from, as a heavy line; a fence or stop as a bar with its word.
    fn datum(&self, pen: &mut Pen, setting: &Setting, lies: Lies) -> Bounds {
        let u = self.unit;
        let own = self.on_paper(self.bounds);
        let word = match (setting.by_fence, setting.by_stop) {
            (true, _) => "fence",
            (_, true) => "stop",
            _ => "",
        };
        let (thick, gap) = if word.is_empty() {
            (0.9 * u, 0.0)
        } else {
            (2.2 * u, 0.4 * u)
        };
        let bar = match lies {
            Lies::Right => Bounds::new(
                Point {
                    x: own.max.x + gap,
                    ..own.min
                },
                Point {
                    x: own.max.x + gap + thick,
                    ..own.max
                },
            ),
            Lies::Left => Bounds::new(
                Point {
                    x: own.min.x - gap - thick,
                    ..own.min
                },
                Point {
                    x: own.min.x - gap,
                    ..own.max
                },
            ),
            Lies::Below => Bounds::new(
                Point {
                    y: own.max.y + gap,
                    ..own.min
                },
                Point {
                    y: own.max.y + gap + thick,
                    ..own.max
                },
            ),
        };
        pen.rect("hs-dot", bar, 0.0, 0.0);
        if word.is_empty() {
            return bar;
        }
        let size = NAME * u;
        let (half, beside) = (text_width(word, size) / 2.0, 1.2 * u + LINE * size / 2.0);
        let middle = bar.centre();
        let words = match lies {
            Lies::Right => Words::new(
                word,
                "hs-name",
                Point {
                    x: bar.max.x + beside,
                    ..middle
                },
                size,
            )
            .turned(),
            Lies::Left => Words::new(
                word,
                "hs-name",
                Point {
                    x: bar.min.x - beside,
                    ..middle
                },
                size,
            )
            .turned(),
            Lies::Below => Words::new(
                word,
                "hs-name",
                Point {
                    y: bar.max.y + beside,
                    ..middle
                },
                size,
            ),
        };
        pen.words(&words);
        bar.union(around(words.middle, 2.0 * half, LINE * size))
            .union(words.bounds())
    }

    /// The measure between that side and the kerf.
    fn measure(&self, pen: &mut Pen, setting: &Setting, lies: Lies, step: &Step) -> Bounds {
        let u = self.unit;
        let own = self.on_paper(self.bounds);
        let line = step.line.map(|p| self.turn.apply(p));
        // Along a fence or against a stop the near side of the kerf, else the marked line.
        let band: Vec<Point> = step.band.iter().map(|p| self.turn.apply(*p)).collect();
        let near = |key: fn(&Point) -> f64, most: bool| {
            let values = band.iter().map(key);
            match most {
                true => values.reduce(f64::max),
                false => values.reduce(f64::min),
            }
        };
        let set = setting.by_fence || setting.by_stop;
        let middle = |key: fn(&Point) -> f64| (key(&line[0]) + key(&line[1])) / 2.0;
        let (x, y) = (|p: &Point| p.x, |p: &Point| p.y);
        if let Some(far) = setting.distance_far {
            let distances = [setting.distance, far];
            // From a chalk line, or from the board when this is a piece of it, they are words only.
            let drawn = line.map(|p| match lies {
                Lies::Right => self.bounds.max.x - p.x,
                Lies::Left => p.x - self.bounds.min.x,
                Lies::Below => p.y - self.bounds.min.y,
            });
            if (drawn.iter().zip(distances)).all(|(drawn, told)| (drawn - told).abs() < 1.0) {
                return self.both_measures(pen, distances, lies, line);
            }
        }
        let (from, to) = match lies {
            Lies::Right => (
                own.max.x,
                near(x, true).filter(|_| set).unwrap_or(middle(x)),
            ),
            Lies::Left => (
                own.min.x,
                near(x, false).filter(|_| set).unwrap_or(middle(x)),
            ),
            Lies::Below => (own.max.y, -middle(y)),
        };
        let size = MEASURE * u;
        let away = 2.5 * u;
        let tick = 1.6 * u;
        let (half_w, half_h) = (text_width(&setting.shown, size) / 2.0, LINE * size / 2.0);
        let (a, b, ticks, at) = if lies == Lies::Below {
            let x = own.min.x - away;
            let end = |y: f64| (Point { x: x - tick, y }, Point { x: x + tick, y });
            let at = Point {
                x: x - 1.2 * u - half_w,
                y: (from + to) / 2.0,
            };
            (
                Point { x, y: from },
                Point { x, y: to },
                [end(from), end(to)],
                at,
            )
        } else {
            let y = own.min.y - away;
            let end = |x: f64| (Point { x, y: y - tick }, Point { x, y: y + tick });
            let at = Point {
                x: (from + to) / 2.0,
                y: y - 1.2 * u - half_h,
            };
            (
                Point { x: from, y },
                Point { x: to, y },
                [end(from), end(to)],
                at,
            )
        };
        pen.line("hs-ink", a, b, 0.4);
        for (a, b) in ticks {
            pen.line("hs-ink", a, b, 0.4);
        }
        let words = Words::new(setting.shown.clone(), "hs-number", at, size);
        pen.words(&words);
        let lines = Bounds::new(a, b).grown(tick);
        lines.union(words.bounds())
    }

    /// A line askew: a measure at each of its ends.
    fn both_measures(
        &self,
        pen: &mut Pen,
        distances: [f64; 2],
        lies: Lies,
        line: [Point; 2],
    ) -> Bounds {
        let u = self.unit;
        let own = self.on_paper(self.bounds);
        let (size, away, tick) = (MEASURE * u, 2.5 * u, 1.6 * u);
        let mut all = own;
        // Which of them lies nearer to the left, or on top.
        let ends = line.map(|p| Point { x: p.x, y: -p.y });
        let first = match lies {
            Lies::Below => ends[0].x <= ends[1].x,
            _ => ends[0].y <= ends[1].y,
        };
        for (place, (end, distance)) in ends.into_iter().zip(distances).enumerate() {
            let shown = write_length(distance.abs(), &self.units);
            let out = if (place == 0) == first { -1.0 } else { 1.0 };
            let (half_w, half_h) = (text_width(&shown, size) / 2.0, LINE * size / 2.0);
            let (a, b, at) = if lies == Lies::Below {
                let x = if out < 0.0 { own.min.x } else { own.max.x } + out * away;
                let a = Point { x, y: own.max.y };
                let b = Point { x, y: end.y };
                let at = Point {
                    x: x + out * (1.2 * u + half_w),
                    y: (a.y + b.y) / 2.0,
                };
                (a, b, at)
            } else {
                let y = if out < 0.0 { own.min.y } else { own.max.y } + out * away;
                let x = match lies {
                    Lies::Right => own.max.x,
                    _ => own.min.x,
                };
                let (a, b) = (Point { x, y }, Point { x: end.x, y });
                let at = Point {
                    x: (a.x + b.x) / 2.0,
                    y: y + out * (1.2 * u + half_h),
                };
                (a, b, at)
            };
            pen.line("hs-ink", a, b, 0.4);
            for p in [a, b] {
                let across = match lies {
                    Lies::Below => Point { x: tick, y: 0.0 },
                    _ => Point { x: 0.0, y: tick },
                };
                let [from, to] = [-1.0, 1.0].map(|sign| Point {
                    x: p.x + sign * across.x,
                    y: p.y + sign * across.y,
                });
                pen.line("hs-ink", from, to, 0.4);
            }
            let words = Words::new(shown, "hs-number", at, size);
            pen.words(&words);
            all = all
                .union(Bounds::new(a, a).with_point(b).grown(tick))
                .union(words.bounds());
        }
        all
    }

    /// "Piece C2 with its right edge against the fence, at the right; fence 104 mm; Leg 2 is kept."
    fn description(&self, step: &Step) -> String {
        let mut said = step.workpiece.clone();
        if let (Some(setting), Some(lies)) = (&step.setting, self.lies) {
            let (from, side) = (&setting.from, lies.words());
            said = match (setting.by_fence, setting.by_stop) {
                (true, _) => format!(
                    "{said}, {from} against the fence {side}, the fence at {}",
                    setting.shown
                ),
                (_, true) => format!(
                    "{said}, {from} against the stop {side}, the stop at {}",
                    setting.shown
                ),
                _ => format!("{said}, measured from {from}, {side}: {}", setting.shown),
            };
        }
        match step.yields.first() {
            Some(kept) => format!("{said}; {} is kept", kept.name),
            None => said,
        }
    }
}
