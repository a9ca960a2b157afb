//! One board with everything on it: the single scene that screen, export and print share.

use std::collections::BTreeSet;

use heartside_cutting::{Becomes, Datum, Step};
use heartside_geometry::{Bounds, Point, Region, clip_bounds};
use heartside_timber::document::{BoardCopy, PartCopy};
use heartside_timber::finding::Finding;
use heartside_timber::job::{Board, Job};
use heartside_timber::length::write_dimension;
use heartside_timber::plan::{CutNode, Layout};
use heartside_timber::score::workpiece_bounds;

use crate::blanks::{self, Inscription, Laid, TYPE};
use crate::fitting::{Wording, around, fit_inside};
use crate::hatch::hatch;
use crate::pen::{Anchor, Pen, Words};
use crate::room::{Room, Taken, spread};
use crate::svg::Origin;
use crate::text::{LINE, text_width, wrap};
use crate::wood;
use crate::zones::{self, Sign};

/// How much room a picture may take outside its board, in the drawing's unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Outside {
    /// As much as the text needs.
    Free,
    /// No more than this above and below: neighbours lie there.
    Within(f64),
}

/// What a picture shows besides the board.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Look {
    /// Running dimensions for marking out.
    pub(crate) dimensions: bool,
    /// The cuts and their numbers.
    pub(crate) cuts: bool,
    pub(crate) outside: Outside,
}

/// What is drawn.
#[derive(Clone, Copy)]
pub(crate) struct Subject<'a> {
    pub(crate) job: &'a Job,
    pub(crate) board: &'a Board,
    pub(crate) copy: &'a BoardCopy,
    pub(crate) layout: Option<&'a Layout>,
    /// The steps of the whole job; those of this board are picked out.
    pub(crate) steps: &'a [Step],
    pub(crate) findings: &'a [Finding],
    pub(crate) selected: &'a [PartCopy],
}

/// A finished picture, in layers.
#[derive(Debug, Clone, Default)]
pub(crate) struct Picture {
    /// Wood, grain, outline, zones that lie under the parts, offcuts.
    pub(crate) ground: String,
    /// One group's content for each placement that is in the job, with its title.
    pub(crate) parts: Vec<(usize, PartCopy, String, String)>,
    /// Zones over the parts, with their words.
    pub(crate) zones: String,
    pub(crate) cuts: String,
    /// Offcut sizes and labels that stand outside.
    pub(crate) labels: String,
    pub(crate) dimensions: String,
    pub(crate) notes: String,
    /// Labels that found no room (only where the room outside is limited).
    pub(crate) left_out: usize,
    pub(crate) room: Room,
    pub(crate) signs: BTreeSet<Sign>,
}

/// Draws one board. `unit` is how many millimetres of the drawing are one on paper.
pub(crate) fn picture(subject: Subject, look: Look, origin: Origin, unit: f64) -> Picture {
    let steps: Vec<&Step> = subject
        .steps
        .iter()
        .filter(|s| s.board == *subject.copy)
        .collect();
    let mut drawing = Drawing {
        subject,
        steps,
        look,
        origin,
        unit,
        datum: Datum::of(subject.board),
        done: Picture::default(),
    };
    drawing.run();
    drawing.done
}

struct Drawing<'a> {
    subject: Subject<'a>,
    steps: Vec<&'a Step>,
    look: Look,
    origin: Origin,
    unit: f64,
    datum: Datum,
    done: Picture,
}

impl<'a> Drawing<'a> {
    fn run(&mut self) {
        let laid = self.laid();
        self.ground(&laid);
        self.take_zones();
        self.datum_words();
        let inscribed: Vec<Inscription> = laid.iter().map(|(_, l)| self.inscribe(l)).collect();
        for (_, l) in &laid {
            for piece in &l.blank {
                let bounds = self.drawn(piece.bounds());
                let small = bounds.width().min(bounds.height()) < 5.0 * self.unit;
                let what = if small { Taken::Small } else { Taken::Body };
                self.done.room.take(what, bounds);
            }
        }
        if self.look.cuts {
            self.cuts(&laid);
        }
        self.zone_words();
        self.offcut_words();
        self.parts(&laid, inscribed);
        if self.look.dimensions {
            self.along(&laid);
        }
        self.notes();
    }

    fn pen(&self) -> Pen {
        Pen::new(self.unit)
    }

    fn sign(&mut self, sign: Sign) {
        self.done.signs.insert(sign);
    }

    /// A box of the board's frame in the drawing.
    fn drawn(&self, bounds: Bounds) -> Bounds {
        Bounds::new(self.origin.map(bounds.min), self.origin.map(bounds.max))
    }

    /// The board's box in the drawing.
    fn board_box(&self) -> Bounds {
        self.drawn(self.subject.board.outline.bounds())
    }

    fn laid(&self) -> Vec<(usize, Laid)> {
        let Some(layout) = self.subject.layout else {
            return Vec::new();
        };
        let pinned = |part: &PartCopy| {
            self.subject
                .job
                .pins
                .iter()
                .any(|p| p.part == *part && p.board == *self.subject.copy)
        };
        layout
            .placements
            .iter()
            .enumerate()
            .filter_map(|(place, p)| {
                Laid::of(self.subject.job, p, pinned(&p.part_copy())).map(|l| (place, l))
            })
            .collect()
    }

    fn ground(&mut self, laid: &[(usize, Laid)]) {
        let mut pen = self.pen();
        let board = self.subject.board;
        wood::draw(&mut pen, board, self.origin);
        let kinds: Vec<_> = board.sides.iter().map(|s| s.kind).collect();
        if kinds.contains(&heartside_timber::document::EdgeKind::Raw) {
            self.sign(Sign::Raw);
        }
        if kinds.contains(&heartside_timber::document::EdgeKind::Straight) {
            self.sign(Sign::Straight);
        }
        for zone in zones::of(board, true) {
            self.zone(&mut pen, zone);
        }
        for (_, offcut, _) in self.offcuts() {
            let lines: String = offcut
                .iter()
                .map(|r| self.origin.lines(&hatch(r, 30.0, 2.4 * self.unit)))
                .collect();
            pen.path("hs-faint", &lines, 0.13, &[]);
            self.sign(Sign::Offcut);
        }
        if self.look.dimensions {
            // Drawn under the parts: the lines show in the gaps and vanish under blanks.
            let foot = board.outline.bounds().min.y;
            let mut lines = Vec::new();
            for (_, l) in laid {
                let bounds = l.bounds();
                for x in [bounds.min.x, bounds.max.x] {
                    lines.push((Point { x, y: bounds.min.y }, Point { x, y: foot }));
                }
            }
            pen.path("hs-faint", &self.origin.lines(&lines), 0.11, &[0.5, 0.6]);
        }
        self.done.ground = pen.out;
        let bounds = self.board_box();
        self.done.room.take(Taken::Ground, bounds);
    }

    fn zone(&mut self, pen: &mut Pen, zone: &heartside_timber::job::Zone) {
        pen.open("", "hs-a-zone", &zones::words(zone), "");
        zones::draw(pen, zone, self.origin);
        pen.close();
        self.sign(zones::sign(zone.kind));
        if zone.face == heartside_timber::document::ZoneFace::Down {
            self.sign(Sign::Underneath);
        }
        if zone.margin > 0.0 {
            self.sign(Sign::Margin);
        }
    }

    fn take_zones(&mut self) {
        let mut pen = self.pen();
        let board = self.subject.board;
        for zone in zones::of(board, false) {
            self.zone(&mut pen, zone);
            let reach = self.drawn(zones::reach(zone, self.unit));
            self.done.room.take(Taken::Body, reach);
        }
        self.done.zones = pen.out;
    }

    fn inscribe(&mut self, laid: &Laid) -> Inscription {
        let short = self.look.outside != Outside::Free;
        let marking = self
            .look
            .dimensions
            .then_some((&self.datum, &self.subject.board.outline));
        blanks::inscribe(
            laid,
            self.subject.job,
            marking,
            short,
            self.origin,
            &mut self.done.room,
            self.unit,
        )
    }

    fn parts(&mut self, laid: &[(usize, Laid)], inscribed: Vec<Inscription>) {
        let mut outside = Vec::new();
        for ((place, l), inscription) in laid.iter().zip(inscribed) {
            let mut pen = self.pen();
            let mut used = Vec::new();
            let selected = self.subject.selected.contains(&l.part);
            blanks::draw(
                &mut pen,
                l,
                &inscription,
                self.origin,
                selected,
                self.look.dimensions,
                &mut |s| used.push(s),
            );
            self.done.signs.extend(used);
            if inscription.label.is_empty() || inscription.across_outside.is_some() {
                let mut runs = if inscription.label.is_empty() {
                    l.one_line()
                } else {
                    vec![(l.name.clone(), "hs-name")]
                };
                if let Some(across) = &inscription.across_outside {
                    runs.push((format!("  {across}"), "hs-dim"));
                }
                let size = TYPE.size * self.unit;
                let target = self.free_target(l.body());
                outside.push((
                    self.done.parts.len(),
                    Wording {
                        lines: vec![(runs, size)],
                    },
                    target,
                ));
            }
            self.done
                .parts
                .push((*place, l.part.clone(), l.title(), pen.out));
        }
        // From left to right, so that leaders do not cross more than they must.
        outside.sort_by(|a, b| a.2.x.total_cmp(&b.2.x));
        for (place, wording, target) in outside {
            match self.call_out(&wording, target, "hs-leader") {
                Some(svg) => self.done.parts[place].3.push_str(&svg),
                None => self.done.left_out += 1,
            }
        }
    }

    /// The kept offcuts: node, its pieces in the board's frame, its name.
    fn offcuts(&self) -> Vec<(usize, Vec<Region>, String)> {
        let Some(layout) = self.subject.layout else {
            return Vec::new();
        };
        let Some(tree) = &layout.cuts else {
            return Vec::new();
        };
        let outline = layout
            .frame
            .inverse()
            .apply_region(&self.subject.board.outline);
        let pose = layout.frame.pose();
        workpiece_bounds(tree, outline.bounds())
            .into_iter()
            .filter(|(node, _)| matches!(tree.nodes[*node], CutNode::Offcut))
            .map(|(node, bounds)| {
                let pieces = clip_bounds(&outline, &bounds)
                    .iter()
                    .map(|r| pose.apply_region(r))
                    .collect();
                let name = self
                    .steps
                    .iter()
                    .flat_map(|s| &s.yields)
                    .find(|y| y.node == Some(node) && y.becomes == Becomes::Offcut);
                (
                    node,
                    pieces,
                    name.map_or_else(|| "offcut".into(), |y| y.name.clone()),
                )
            })
            .collect()
    }

    fn offcut_words(&mut self) {
        let mut pen = self.pen();
        let units = &self.subject.job.units;
        let mut all = Vec::new();
        for (_, pieces, name) in self.offcuts() {
            let Some(body) = pieces
                .iter()
                .max_by(|a, b| a.area().total_cmp(&b.area()))
                .cloned()
            else {
                continue;
            };
            let bounds = body.bounds();
            let size = format!(
                "{} × {}",
                write_dimension(bounds.width(), units),
                write_dimension(bounds.height(), units)
            );
            all.push((body, name, size));
        }
        let unit = self.unit;
        let text = TYPE.size * unit;
        for (body, name, size) in all {
            let ways = [
                Wording {
                    lines: vec![(
                        vec![(format!("{name}  {size}"), "hs-quiet hs-halo-wood")],
                        text,
                    )],
                },
                Wording {
                    lines: vec![
                        (vec![(name.clone(), "hs-quiet hs-halo-wood")], text),
                        (vec![(size.clone(), "hs-quiet hs-halo-wood")], text),
                    ],
                },
            ];
            match fit_inside(&ways, &body, self.origin, &self.done.room, 1.0 * unit) {
                Some(lines) => {
                    for line in lines {
                        self.done.room.take(Taken::Label, line.bounds());
                        pen.words(&line.haloed(0.9 * unit, ""));
                    }
                }
                None => {
                    let target = self.origin.map(pole(&body));
                    let wording = Wording {
                        lines: vec![(vec![(format!("{name}  {size}"), "hs-quiet")], text)],
                    };
                    match self.call_out(&wording, target, "hs-leader") {
                        Some(svg) => pen.out.push_str(&svg),
                        None => self.done.left_out += 1,
                    }
                }
            }
        }
        self.done.labels.push_str(&pen.out);
    }

    fn zone_words(&mut self) {
        let mut pen = self.pen();
        let unit = self.unit;
        let size = TYPE.zone * unit;
        let board = self.subject.board;
        for zone in &board.zones {
            let words = zones::words(zone);
            let (w, h) = (text_width(&words, size), LINE * size);
            let reach = self.drawn(zones::reach(zone, unit));
            let middle = reach.centre();
            let gap = 0.7 * unit;
            let beside = [
                Point {
                    x: reach.max.x + gap + w / 2.0,
                    y: middle.y,
                },
                Point {
                    x: reach.min.x - gap - w / 2.0,
                    y: middle.y,
                },
                Point {
                    x: middle.x,
                    y: reach.min.y - gap - h / 2.0,
                },
                Point {
                    x: middle.x,
                    y: reach.max.y + gap + h / 2.0,
                },
            ];
            let on_board = self.board_box();
            // A long strip bears its word on itself, wherever it is not covered.
            let own = zone.shape.bounds();
            let along_it: Vec<Point> = if own.width() > 3.0 * w {
                (1..24)
                    .map(|k| {
                        self.origin.map(Point {
                            x: own.min.x + own.width() * f64::from(k) / 24.0,
                            y: strip_middle(zone, own.min.x + own.width() * f64::from(k) / 24.0),
                        })
                    })
                    .collect()
            } else {
                Vec::new()
            };
            let free = |m: &Point| self.done.room.is_clear(&around(*m, w, h));
            let inside = |m: &Point| on_board.contains_bounds(&around(*m, w, h));
            let found = along_it
                .into_iter()
                .find(&free)
                .or_else(|| beside.into_iter().find(|m| inside(m) && free(m)));
            match found {
                Some(middle) => {
                    let words = Words::new(words, "hs-zone-word", middle, size)
                        .haloed(0.9 * unit, "hs-halo-wood");
                    self.done.room.take(Taken::Label, words.bounds());
                    pen.words(&words);
                }
                None => {
                    let target = self.free_target(&zone.shape);
                    let wording = Wording {
                        lines: vec![(vec![(words, "hs-zone-word")], size)],
                    };
                    match self.call_out(&wording, target, "hs-leader") {
                        Some(svg) => pen.out.push_str(&svg),
                        None => self.done.left_out += 1,
                    }
                }
            }
        }
        self.done.zones.push_str(&pen.out);
    }

    /// The kerfs, true to size, and their numbers.
    fn cuts(&mut self, laid: &[(usize, Laid)]) {
        let mut pen = self.pen();
        let steps = self.steps.clone();
        let straight: Vec<&Step> = steps
            .iter()
            .copied()
            .filter(|s| !s.band.is_empty())
            .collect();
        for step in &straight {
            pen.path("hs-kerf", &self.origin.ring(&step.band), 0.0, &[]);
            let (a, b) = centre_line(&step.band);
            pen.line("hs-cut", self.origin.map(a), self.origin.map(b), 0.22);
            self.done.signs.insert(Sign::Kerf);
        }
        let mut bubbles = String::new();
        // Short cuts have fewer places for their number: they choose first.
        let mut order: Vec<&Step> = straight.clone();
        order.sort_by(|a, b| {
            a.sawn_length
                .total_cmp(&b.sawn_length)
                .then(a.number.cmp(&b.number))
        });
        for step in order {
            let (a, b) = centre_line(&step.band);
            if self.is_small_beside_its_number(step.number, step.sawn_length) {
                self.done.left_out += 1;
                continue;
            }
            if let Some(svg) = self.number(step.number, &step.title, a, b) {
                bubbles.push_str(&svg);
            } else {
                self.done.left_out += 1;
            }
        }
        for step in steps.iter().filter(|s| s.band.is_empty()) {
            let body = laid
                .iter()
                .find(|(place, _)| Some(*place) == step.placement);
            let near = body.map_or_else(
                || self.origin.map(step.line[0]),
                |(_, l)| self.free_target(l.body()),
            );
            // A part's way round is about three times its length.
            if self.is_small_beside_its_number(step.number, step.sawn_length / 3.0) {
                self.done.left_out += 1;
                continue;
            }
            if let Some(svg) = self.number_near(step.number, &step.title, near) {
                bubbles.push_str(&svg);
            } else {
                self.done.left_out += 1;
            }
        }
        self.done.cuts = pen.out + &bubbles;
    }

    /// On the floor, seen from far: a number as large as its cut would hide it, and shows when one comes nearer.
    fn is_small_beside_its_number(&self, number: u32, length: f64) -> bool {
        self.look.outside != Outside::Free && length < 1.6 * self.bubble_size(number).0
    }

    fn bubble_size(&self, number: u32) -> (f64, f64) {
        let size = TYPE.number * self.unit;
        let high = 3.9 * self.unit;
        (
            (text_width(&number.to_string(), size) + 1.5 * self.unit).max(high),
            high,
        )
    }

    fn bubble(&mut self, number: u32, title: &str, middle: Point, from: Option<Point>) -> String {
        let (w, h) = self.bubble_size(number);
        let mut pen = self.pen();
        pen.open("", "hs-a-cut", title, &format!(" data-cut=\"{number}\""));
        if let Some(from) = from {
            pen.line("hs-cut", from, middle, 0.22);
            self.done.room.take_leader(from, middle);
        }
        let own = around(middle, w, h);
        pen.rect("hs-bubble", own, h / 2.0, 0.24);
        pen.words(&Words::new(
            number.to_string(),
            "hs-number",
            middle,
            TYPE.number * self.unit,
        ));
        pen.close();
        self.done.room.take(Taken::Label, own);
        pen.out
    }

    /// The number of a straight cut: beyond an end that lies at the board's rim, else on the line, else further out.
    fn number(&mut self, number: u32, title: &str, a: Point, b: Point) -> Option<String> {
        let (w, h) = self.bubble_size(number);
        let unit = self.unit;
        let length = a.distance(b).max(1e-9);
        let (ux, uy) = ((b.x - a.x) / length, (b.y - a.y) / length);
        let outline = &self.subject.board.outline;
        let at_rim = |p: Point, sign: f64| {
            !outline.contains(Point {
                x: p.x + sign * ux * 0.5 * unit,
                y: p.y + sign * uy * 0.5 * unit,
            })
        };
        let mut beyond = Vec::new();
        // The end that is higher in the drawing first, then the other.
        let ends = if b.y >= a.y {
            [(b, 1.0), (a, -1.0)]
        } else {
            [(a, -1.0), (b, 1.0)]
        };
        for (end, sign) in ends.into_iter().filter(|(end, sign)| at_rim(*end, *sign)) {
            for out in [2.9, 7.0, 11.1] {
                if self.look.dimensions && uy.abs() > 0.5 && sign * uy < 0.0 {
                    // Below the board the dimensions stand.
                    continue;
                }
                let p = Point {
                    x: end.x + sign * ux * out * unit,
                    y: end.y + sign * uy * out * unit,
                };
                beyond.push((self.origin.map(p), Some(self.origin.map(end))));
            }
        }
        let on_line = [0.5, 0.35, 0.65, 0.22, 0.78, 0.12, 0.88]
            .map(|t| (self.origin.map(a.towards(b, t)), None));
        let limit = self.board_box().grown(match self.look.outside {
            Outside::Free => f64::INFINITY,
            Outside::Within(by) => by,
        });
        let (near, far): (Vec<_>, Vec<_>) = beyond
            .into_iter()
            .partition(|(m, from)| from.is_some_and(|f| m.distance(f) < 3.5 * unit));
        let places: Vec<(Point, Option<Point>)> =
            near.into_iter().chain(on_line).chain(far).collect();
        let fits = |room: &Room, (middle, from): (Point, Option<Point>)| {
            let own = around(middle, w, h);
            limit.contains_bounds(&own)
                && room.is_free(&own)
                && from.is_none_or(|f| room.leader_is_free(f, middle))
        };
        let room = &self.done.room;
        let sparing = places
            .iter()
            .copied()
            .find(|p| fits(room, *p) && room.spares_small(&around(p.0, w, h)));
        if let Some((middle, from)) = sparing {
            return Some(self.bubble(number, title, middle, from));
        }
        self.number_near(number, title, self.origin.map(a.midpoint(b)))
    }

    /// A number near a place, off small blanks where it can be, or led out of the board.
    fn number_near(&mut self, number: u32, title: &str, at: Point) -> Option<String> {
        let (w, h) = self.bubble_size(number);
        let step = 2.1 * self.unit;
        let around_it = [
            (1.0, 0.0),
            (-1.0, 0.0),
            (0.0, 1.0),
            (0.0, -1.0),
            (1.0, 1.0),
            (-1.0, -1.0),
            (1.0, -1.0),
            (-1.0, 1.0),
        ];
        let rings = (1..5).flat_map(|ring| {
            around_it.map(|(dx, dy)| (f64::from(ring) * dx, f64::from(ring) * dy))
        });
        for (dx, dy) in std::iter::once((0.0, 0.0)).chain(rings) {
            let middle = Point {
                x: at.x + dx * step,
                y: at.y + dy * step,
            };
            let own = around(middle, w, h);
            let from = (dx != 0.0 || dy != 0.0).then_some(at);
            let room = &self.done.room;
            if room.is_free(&own)
                && room.spares_small(&own)
                && self.board_box().contains_bounds(&own)
                && from.is_none_or(|f| room.leader_is_free(f, middle))
            {
                return Some(self.bubble(number, title, middle, from));
            }
        }
        let place = self.outside_place(w, h, at)?;
        Some(self.bubble(number, title, place.centre(), Some(at)))
    }

    /// A free box outside the board, as near as may be to a place on it. A leader that crosses
    /// labels is a way round as long as several lines; where neighbours limit the room, such a place is none.
    fn outside_place(&self, w: f64, h: f64, target: Point) -> Option<Bounds> {
        let board = self.board_box();
        let unit = self.unit;
        let step = 1.3 * unit;
        let free = self.look.outside == Outside::Free;
        let (rows, below) = match self.look.outside {
            Outside::Free => (60, !self.look.dimensions),
            Outside::Within(by) => (
                (((by - h - unit) / step).floor().max(-1.0) + 1.0) as usize,
                true,
            ),
        };
        let reach = ((board.width() / 2.0 / (2.0 * unit)) as i32).clamp(12, 80);
        let mut best: Option<(f64, Bounds)> = None;
        for row in 0..rows {
            let out = 1.2 * unit + row as f64 * step;
            if best.as_ref().is_some_and(|(cost, _)| *cost <= out * 1.6) {
                break;
            }
            for (down, y) in [
                (false, board.min.y - out - h / 2.0),
                (true, board.max.y + out + h / 2.0),
            ] {
                if down && !below {
                    continue;
                }
                for place in -reach..=reach {
                    let dx = f64::from(place) * 2.0 * unit;
                    let own = around(
                        Point {
                            x: target.x + dx,
                            y,
                        },
                        w,
                        h,
                    );
                    let cost = out * 1.6
                        + (dx.abs() - w / 2.0).max(0.0)
                        + dx.abs() * 0.25
                        + (y - target.y).abs() * 0.3;
                    if best.as_ref().is_some_and(|(least, _)| *least <= cost)
                        || !(free || own.min.x >= board.min.x - 2.0 * unit)
                        || !self.done.room.is_clear_outside(&own.grown(0.35 * unit))
                    {
                        continue;
                    }
                    let crossed = self.done.room.crossed(target, leader_end(&own, target));
                    if crossed > 0 && !free {
                        continue;
                    }
                    let cost = cost + 25.0 * unit * crossed as f64;
                    if best.as_ref().is_none_or(|(least, _)| cost < *least) {
                        best = Some((cost, own));
                    }
                }
            }
        }
        best.map(|(_, own)| own)
    }

    /// A point of a region from which a leader can start: not under a label, rather at its upper side.
    fn free_target(&self, region: &Region) -> Point {
        let bounds = region.bounds();
        let at = |fx: f64, fy: f64| Point {
            x: bounds.min.x + fx * bounds.width(),
            y: bounds.min.y + fy * bounds.height(),
        };
        let places = [0.85, 0.5, 0.2]
            .into_iter()
            .flat_map(|fy| [0.5, 0.7, 0.3, 0.85, 0.15].map(|fx| at(fx, fy)));
        let dot = 0.5 * self.unit;
        std::iter::once(pole(region))
            .chain(places)
            .filter(|p| region.contains(*p))
            .map(|p| self.origin.map(p))
            .find(|p| {
                self.done
                    .room
                    .is_free(&Bounds { min: *p, max: *p }.grown(dot))
            })
            .unwrap_or_else(|| self.origin.map(pole(region)))
    }

    /// Words outside the board with a leader to a place on it; takes their room.
    fn call_out(
        &mut self,
        wording: &Wording,
        target: Point,
        leader: &'static str,
    ) -> Option<String> {
        let lines = wording.at(Point { x: 0.0, y: 0.0 }, false);
        let box_at_zero = lines.iter().map(Words::bounds).reduce(|a, b| a.union(b))?;
        let own = self.outside_place(box_at_zero.width(), box_at_zero.height(), target)?;
        let mut pen = self.pen();
        let end = leader_end(&own, target);
        pen.line(leader, target, end, 0.16);
        pen.circle(
            if leader == "hs-note-leader" {
                "hs-kerf"
            } else {
                "hs-pencil-dot"
            },
            target,
            0.35 * self.unit,
            0.0,
        );
        self.done.room.take_leader(target, end);
        for line in wording.at(own.centre(), false) {
            self.done.room.take(Taken::Label, line.bounds());
            pen.words(&line);
        }
        Some(pen.out)
    }

    /// Findings of this board as margin notes.
    fn notes(&mut self) {
        let size = TYPE.size * self.unit;
        let mut svg = String::new();
        let findings: Vec<&Finding> = self
            .subject
            .findings
            .iter()
            .filter(|f| f.board.as_ref() == Some(self.subject.copy))
            .collect();
        for finding in findings {
            let board = self.board_box();
            let target = finding.at.map_or_else(
                || Point {
                    x: board.centre().x,
                    y: board.min.y,
                },
                |p| self.origin.map(p),
            );
            let lines = wrap(&finding.message, size, 62.0 * self.unit)
                .into_iter()
                .map(|l| (vec![(l, "hs-note")], size))
                .collect();
            match self.call_out(&Wording { lines }, target, "hs-note-leader") {
                Some(note) => svg.push_str(&note),
                None => self.done.left_out += 1,
            }
        }
        self.done.notes = svg;
    }

    /// Names of the datum: where the running dimensions start.
    fn datum_words(&mut self) {
        if !self.look.dimensions {
            return;
        }
        let unit = self.unit;
        let mut pen = self.pen();
        let board = self.board_box();
        let y = self
            .origin
            .map(Point {
                x: 0.0,
                y: self.datum.line_y(),
            })
            .y;
        let size = TYPE.dim * unit;
        if let Some((start, far)) = self.datum.chalk_from_right {
            let d = format!(
                "M{},{}H{}",
                crate::svg::number(board.min.x),
                crate::svg::number(y),
                crate::svg::number(board.max.x)
            );
            pen.path("hs-pencil", &d, 0.16, &[3.0, 0.8, 0.5, 0.8]);
            self.sign(Sign::Chalk);
            let show = |mm: f64| write_dimension(mm, &self.subject.job.units);
            let far_words = Words::starting(
                format!("chalk line, {} from the right edge", show(far)),
                "hs-dim",
                Point {
                    x: board.max.x + 1.5 * unit,
                    y,
                },
                size,
            );
            let lines = wrap(&far_words.runs[0].0, size, 14.0 * unit);
            let mut at = y - LINE * size * (lines.len() as f64 - 1.0) / 2.0;
            for line in lines {
                let words = Words::starting(
                    line,
                    "hs-dim",
                    Point {
                        x: board.max.x + 1.5 * unit,
                        y: at,
                    },
                    size,
                );
                self.done.room.take(Taken::Label, words.bounds());
                pen.words(&words);
                at += LINE * size;
            }
            self.datum_at_start(
                &mut pen,
                board,
                y,
                vec![
                    "0 across:".into(),
                    "chalk line,".into(),
                    format!("{} from", show(start)),
                    "right edge".into(),
                ],
            );
        } else {
            let words = vec![
                "0 across:".into(),
                self.datum
                    .across_words()
                    .trim_start_matches("the ")
                    .to_owned(),
            ];
            self.datum_at_start(&mut pen, board, y, words);
        }
        self.done.dimensions.push_str(&pen.out);
    }

    fn datum_at_start(&mut self, pen: &mut Pen, board: Bounds, y: f64, lines: Vec<String>) {
        let unit = self.unit;
        let size = TYPE.dim * unit;
        pen.line(
            "hs-pencil",
            Point {
                x: board.min.x - 4.0 * unit,
                y,
            },
            Point {
                x: board.min.x - 0.6 * unit,
                y,
            },
            0.2,
        );
        pen.circle(
            "hs-pencil",
            Point {
                x: board.min.x - 4.6 * unit,
                y,
            },
            0.6 * unit,
            0.2,
        );
        let mut at = y - LINE * size * (lines.len() as f64 - 1.0) / 2.0;
        for line in lines {
            let words = Words::ending(
                line,
                "hs-dim",
                Point {
                    x: board.min.x - 6.0 * unit,
                    y: at,
                },
                size,
            );
            self.done.room.take(Taken::Label, words.bounds());
            pen.words(&words);
            at += LINE * size;
        }
    }

    /// Running dimensions along the board, from its start end to every side of every blank, below the board.
    fn along(&mut self, laid: &[(usize, Laid)]) {
        let unit = self.unit;
        let units = self.subject.job.units;
        let outline = self.subject.board.outline.bounds();
        let mut values: Vec<f64> = laid
            .iter()
            .flat_map(|(_, l)| [l.bounds().min.x, l.bounds().max.x])
            .chain([outline.min.x, outline.max.x])
            .collect();
        values.sort_by(f64::total_cmp);
        let written = |x: f64| write_dimension(x - self.datum.start, &units);
        values.dedup_by(|a, b| (*a - *b).abs() < 0.05 || written(*a) == written(*b));
        let size = TYPE.dim * unit;
        let drawn: Vec<f64> = values
            .iter()
            .map(|x| self.origin.map(Point { x: *x, y: 0.0 }).x)
            .collect();
        let places = spread(&drawn, LINE * size);
        let foot = self.board_box().max.y;
        let mut pen = self.pen();
        let (near, far, text) = (foot + 0.8 * unit, foot + 5.2 * unit, foot + 5.8 * unit);
        let mut d = String::new();
        let n = crate::svg::number;
        for (x, place) in drawn.iter().zip(&places) {
            d.push_str(&format!(
                "M{},{}V{}L{},{}V{}",
                n(*x),
                n(near),
                n(near + 1.4 * unit),
                n(*place),
                n(far - 1.0 * unit),
                n(far)
            ));
        }
        pen.path("hs-pencil", &d, 0.14, &[]);
        let mut deepest = text;
        for (value, place) in values.iter().zip(&places) {
            let label = written(*value);
            let length = text_width(&label, size);
            // Held at its upper end, which is the end of text that reads upwards.
            let words = Words {
                anchor: Anchor::End,
                ..Words::new(
                    label,
                    "hs-dim",
                    Point {
                        x: *place,
                        y: text + length / 2.0,
                    },
                    size,
                )
                .turned()
            };
            self.done.room.take(Taken::Label, words.bounds());
            pen.words(&words);
            deepest = deepest.max(text + length);
        }
        let first = places
            .first()
            .copied()
            .unwrap_or(drawn.first().copied().unwrap_or(0.0));
        pen.circle(
            "hs-pencil",
            Point {
                x: drawn.first().copied().unwrap_or(first),
                y: near,
            },
            0.6 * unit,
            0.2,
        );
        let lines = ["0 along:", "start end"];
        let mut at = text + LINE * size / 2.0;
        for line in lines {
            let words = Words::ending(
                line,
                "hs-dim",
                Point {
                    x: first - 2.6 * unit,
                    y: at,
                },
                size,
            );
            self.done.room.take(Taken::Label, words.bounds());
            pen.words(&words);
            at += LINE * size;
        }
        self.done.dimensions.push_str(&pen.out);
    }
}

/// Where a leader meets a label: the middle of the side that faces the target, no further along than need be.
fn leader_end(own: &Bounds, target: Point) -> Point {
    let x = target.x.clamp(
        own.min.x + own.width() * 0.12,
        own.max.x - own.width() * 0.12,
    );
    let y = if target.y > own.max.y {
        own.max.y
    } else if target.y < own.min.y {
        own.min.y
    } else {
        own.centre().y
    };
    Point { x, y }
}

/// The middle line of a kerf along its longer way.
fn centre_line(band: &[Point]) -> (Point, Point) {
    let [a, b, c, d] = band else {
        let p = band.first().copied().unwrap_or(Point { x: 0.0, y: 0.0 });
        return (p, p);
    };
    if a.distance(*b) >= b.distance(*c) {
        (a.midpoint(*d), b.midpoint(*c))
    } else {
        (a.midpoint(*b), d.midpoint(*c))
    }
}

/// A point well inside a region: where a leader may end.
fn pole(region: &Region) -> Point {
    heartside_geometry::poles_of_inaccessibility(region, 0.3, 1)
        .first()
        .map_or_else(|| region.bounds().centre(), |c| c.centre)
}

/// The middle across of a strip at one x.
fn strip_middle(zone: &heartside_timber::job::Zone, x: f64) -> f64 {
    let mut crossings: Vec<f64> = zone
        .shape
        .edges()
        .filter(|(a, b)| (a.x > x) != (b.x > x))
        .map(|(a, b)| a.y + (x - a.x) / (b.x - a.x) * (b.y - a.y))
        .collect();
    crossings.sort_by(f64::total_cmp);
    match crossings.as_slice() {
        [a, b, ..] => (a + b) / 2.0,
        _ => zone.shape.bounds().centre().y,
    }
}
