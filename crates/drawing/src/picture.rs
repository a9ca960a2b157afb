//! One board with everything on it: the single scene that screen, export and print share.

use heartside_geometry::Arrange;
use std::collections::BTreeSet;

use heartside_cutting::{Becomes, Datum, Step, holds_words};
use heartside_geometry::{Bounds, Point, Region, clip_bounds};
use heartside_timber::document::{BoardCopy, PartCopy};
use heartside_timber::finding::Finding;
use heartside_timber::job::{Board, Job};
use heartside_timber::length::write_dimension;
use heartside_timber::plan::{CutNode, Layout, Way};
use heartside_timber::score::workpiece_bounds;

use crate::blanks;
use crate::call_out::pole;
use crate::fitting::{Wording, around, fit_inside, is_within};
use crate::inscription::{Inscription, inscribe};
use crate::laid::{Laid, TYPE};
use crate::pen::{Pen, Words};
use crate::room::{Room, Taken};
use crate::svg::Origin;
use crate::text::{LINE, text_width};
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
    /// The cut that is picked out, by its number.
    pub(crate) chosen: Option<u32>,
    pub(crate) outside: Outside,
    /// Type smaller than this is not written, in the drawing's unit; 0 where any size will do.
    pub(crate) least_type: f64,
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
    /// What else lies near in the drawing: no label stands there and no leader crosses it.
    pub(crate) others: &'a [Bounds],
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
    /// The cut that is picked out, above everything else.
    pub(crate) chosen: String,
    /// Labels that found no room.
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
    let mut room = Room::with_strips(10.0 * unit);
    room.least_type = look.least_type;
    let mut drawing = Drawing {
        subject,
        steps,
        look,
        origin,
        unit,
        datum: Datum::of(subject.board),
        done: Picture {
            room,
            ..Picture::default()
        },
        refused: 0,
        called_out: 0,
    };
    for other in subject.others {
        drawing.done.room.take(Taken::Other, *other);
    }
    drawing.run();
    drawing.done
}

pub(crate) struct Drawing<'a> {
    pub(crate) subject: Subject<'a>,
    pub(crate) steps: Vec<&'a Step>,
    pub(crate) look: Look,
    pub(crate) origin: Origin,
    pub(crate) unit: f64,
    pub(crate) datum: Datum,
    pub(crate) done: Picture,
    /// Labels in a row that found no place outside, where the room there is limited.
    pub(crate) refused: usize,
    /// Labels for which a place outside was looked for.
    pub(crate) called_out: usize,
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
        if self.look.cuts {
            self.region_words();
        }
        self.parts(&laid, inscribed);
        if self.look.dimensions {
            self.along(&laid);
        }
        self.notes();
        self.chosen_cut(&laid);
    }

    pub(crate) fn pen(&self) -> Pen {
        Pen::new(self.unit)
    }

    pub(crate) fn sign(&mut self, sign: Sign) {
        self.done.signs.insert(sign);
    }

    /// A box of the board's frame in the drawing.
    pub(crate) fn drawn(&self, bounds: Bounds) -> Bounds {
        Bounds::new(self.origin.map(bounds.min), self.origin.map(bounds.max))
    }

    /// The board's box in the drawing.
    pub(crate) fn board_box(&self) -> Bounds {
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
            let corners: String = offcut
                .iter()
                .map(|r| self.origin.lines(&keep_corners(r, self.unit)))
                .collect();
            pen.path("hs-pencil", &corners, 0.28, &[]);
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
            // A number would hide a knot wholly; of a long strip it hides little.
            let small = reach.width().max(reach.height()) < 14.0 * self.unit;
            let what = if small { Taken::Small } else { Taken::Body };
            self.done.room.take(what, reach);
        }
        self.done.zones = pen.out;
    }

    fn inscribe(&mut self, laid: &Laid) -> Inscription {
        let short = self.look.outside != Outside::Free;
        let marking = self
            .look
            .dimensions
            .then_some((&self.datum, &self.subject.board.outline));
        inscribe(
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
        outside.arrange_by(|a, b| a.2.x.total_cmp(&b.2.x));
        for (place, wording, target) in outside {
            match self.call_out(&wording, target, "hs-leader") {
                Some(svg) => self.done.parts[place].3.push_str(&svg),
                None => self.done.left_out += 1,
            }
        }
    }

    /// The kept offcuts: node, its pieces in the board's frame, its name.
    fn offcuts(&self) -> Vec<(usize, Vec<Region>, String)> {
        self.leaves(
            |node| matches!(node, CutNode::Offcut),
            |becomes| *becomes == Becomes::Offcut,
        )
    }

    /// The pieces that through cuts leave of a sawn board, as [`Drawing::offcuts`].
    fn regions(&self) -> Vec<(usize, Vec<Region>, String)> {
        if self.subject.layout.is_none_or(|l| l.way != Way::Sawn) {
            return Vec::new();
        }
        self.leaves(
            |node| matches!(node, CutNode::Region { .. }),
            |becomes| matches!(becomes, Becomes::Region { .. }),
        )
    }

    fn leaves(
        &self,
        is_wanted: impl Fn(&CutNode) -> bool,
        comes_as: impl Fn(&Becomes) -> bool,
    ) -> Vec<(usize, Vec<Region>, String)> {
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
            .filter(|(node, _)| is_wanted(&tree.nodes[*node]))
            .map(|(node, bounds)| {
                let pieces = clip_bounds(&outline, &bounds)
                    .iter()
                    .map(|r| pose.apply_region(r))
                    .collect();
                let name = self
                    .steps
                    .iter()
                    .flat_map(|s| &s.yields)
                    .find(|y| y.node == Some(node) && comes_as(&y.becomes));
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
        for (node, pieces, name) in self.offcuts() {
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
            let mut yields = self.steps.iter().flat_map(|s| &s.yields);
            let own = yields.find(|y| y.node == Some(node) && y.becomes == Becomes::Offcut);
            let size = own.map_or(size, |y| y.size.clone());
            let holds = own
                .filter(|y| !y.holds.is_empty())
                .map(|y| holds_words(&y.holds));
            all.push((body, name, size, holds));
        }
        let unit = self.unit;
        let text = TYPE.size * unit;
        for (body, name, size, holds) in all {
            // Whoever takes the offcut up must know what it holds, so that is never left out.
            let class = "hs-quiet hs-halo-wood";
            let gap = |text: &String| (format!("  {text}"), class);
            let mut whole = vec![(name.clone(), class), gap(&size)];
            whole.extend(holds.iter().map(gap));
            let lines = |rows: Vec<Vec<(String, &'static str)>>| Wording {
                lines: rows.into_iter().map(|runs| (runs, text)).collect(),
            };
            let mut rows = vec![vec![(name.clone(), class)], vec![(size.clone(), class)]];
            let mut two = vec![vec![(name.clone(), class), gap(&size)]];
            if let Some(held) = &holds {
                rows.push(vec![(held.clone(), class)]);
                two.push(vec![(held.clone(), class)]);
            }
            let ways = [lines(vec![whole]), lines(two), lines(rows)];
            match fit_inside(&ways, &body, self.origin, &self.done.room, 1.0 * unit) {
                Some(lines) => {
                    for line in lines {
                        self.done.room.take(Taken::Label, line.bounds());
                        pen.words(&line.haloed(0.9 * unit, ""));
                    }
                }
                None => {
                    let target = self.origin.map(pole(&body));
                    let mut runs = vec![(name, "hs-quiet"), (format!("  {size}"), "hs-quiet")];
                    runs.extend(holds.map(|h| (format!("  {h}"), "hs-quiet")));
                    let wording = Wording {
                        lines: vec![(runs, text)],
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

    /// The names of the pieces that through cuts leave of a sawn board: on the wood between
    /// their parts, else led out of the board from there.
    fn region_words(&mut self) {
        let mut pen = self.pen();
        let unit = self.unit;
        let size = TYPE.size * unit;
        for (_, pieces, name) in self.regions() {
            let (w, h) = (text_width(&name, size), LINE * size);
            let free = |w: f64, h: f64| {
                pieces.iter().find_map(|body| {
                    let spots = spots(body, w, h);
                    spots.map(|p| self.origin.map(p)).find(|middle| {
                        let own = around(*middle, w, h);
                        self.done.room.is_clear(&own)
                    })
                })
            };
            if let Some(middle) = free(w + unit, h) {
                let words =
                    Words::new(name, "hs-quiet", middle, size).haloed(0.9 * unit, "hs-halo-wood");
                self.done.room.take(Taken::Label, words.bounds());
                pen.words(&words);
            } else {
                let target =
                    free(unit, unit).or_else(|| pieces.first().map(|body| self.free_target(body)));
                let wording = Wording {
                    lines: vec![(vec![(name, "hs-quiet")], size)],
                };
                match target.and_then(|t| self.call_out(&wording, t, "hs-leader")) {
                    Some(svg) => pen.out.push_str(&svg),
                    None => self.done.left_out += 1,
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
            // A long strip bears its word on itself, wherever it is not covered; where the strip
            // is narrower than the word is high, the word stands over its inner side.
            let own = zone.shape.bounds();
            let inwards = (board.outline.bounds().centre().y - own.centre().y).signum();
            let along_it: Vec<Point> = if own.width() > 3.0 * w {
                [0.0, 0.5, 1.0]
                    .into_iter()
                    .flat_map(|lift| {
                        (1..24).map(move |k| {
                            let x = own.min.x + own.width() * f64::from(k) / 24.0;
                            let y = strip_middle(zone, x) + lift * h * inwards;
                            Point { x, y }
                        })
                    })
                    .filter(|p| is_within(&board.outline, &around(*p, w, h)))
                    .map(|p| self.origin.map(p))
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
                None if !self.may_call_out() => self.done.left_out += 1,
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
}

/// The mark of a piece that is kept: a stroke each way in every corner of its box that has wood,
/// as a maker chalks round what is not to go to the stove.
fn keep_corners(body: &Region, unit: f64) -> Vec<(Point, Point)> {
    let bounds = body.bounds();
    let inset = 1.3 * unit;
    let arm = |extent: f64| (3.4 * unit).min(extent / 2.0 - inset);
    let (long, high) = (arm(bounds.width()), arm(bounds.height()));
    if long <= 0.0 || high <= 0.0 {
        return Vec::new();
    }
    let mut lines = Vec::new();
    for (x, dx) in [(bounds.min.x, 1.0), (bounds.max.x, -1.0)] {
        for (y, dy) in [(bounds.min.y, 1.0), (bounds.max.y, -1.0)] {
            // A waney side leaves a corner of the box bare: the mark moves in to the wood.
            let corner = (0..6)
                .map(|k| Point {
                    x: x + dx * inset,
                    y: y + dy * (inset + f64::from(k) * bounds.height() / 12.0),
                })
                .find(|p| body.contains(*p));
            let Some(corner) = corner else { continue };
            let ends = [
                Point {
                    x: corner.x + dx * long,
                    ..corner
                },
                Point {
                    y: corner.y + dy * high,
                    ..corner
                },
            ];
            lines.extend(
                ends.into_iter()
                    .filter(|p| body.contains(*p))
                    .map(|p| (corner, p)),
            );
        }
    }
    lines
}

/// Places for a box of a size inside a region, from above and from its middle outwards.
fn spots(body: &Region, w: f64, h: f64) -> impl Iterator<Item = Point> + '_ {
    let bounds = body.bounds();
    let rows = 12;
    let columns = 12_i32;
    let spare = (
        (bounds.width() - w).max(0.0),
        (bounds.height() - h).max(0.0),
    );
    let centre = bounds.centre();
    (0..=rows)
        .flat_map(move |row| {
            let y = bounds.max.y - h / 2.0 - spare.1 * f64::from(row) / f64::from(rows);
            (0..=columns).flat_map(|k| [k, -k]).map(move |k| Point {
                x: centre.x + spare.0 * f64::from(k) / f64::from(2 * columns),
                y,
            })
        })
        .filter(move |p| is_within(body, &around(*p, w, h)))
}

/// The middle across of a strip at one x.
fn strip_middle(zone: &heartside_timber::job::Zone, x: f64) -> f64 {
    let mut crossings: Vec<f64> = zone
        .shape
        .edges()
        .filter(|(a, b)| (a.x > x) != (b.x > x))
        .map(|(a, b)| a.y + (x - a.x) / (b.x - a.x) * (b.y - a.y))
        .collect();
    crossings.arrange_by(f64::total_cmp);
    match crossings.as_slice() {
        [a, b, ..] => (a + b) / 2.0,
        _ => zone.shape.bounds().centre().y,
    }
}
