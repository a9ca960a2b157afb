//! Placed parts: the blank, the finished outline in it, name and size, and what lies how.

use heartside_cutting::{Datum, finished_size};
use heartside_geometry::{Bounds, Point, Region, offset};
use heartside_timber::blank::{Blank, is_seen};
use heartside_timber::document::{PartCopy, PartCut};
use heartside_timber::job::{GrainRule, Job, Part};
use heartside_timber::length::write_dimension;
use heartside_timber::plan::Placement;

use crate::fitting::{Wording, around, fit_inside, free_place, is_within};
use crate::pen::{Pen, Words};
use crate::room::{Room, Taken};
use crate::svg::Origin;
use crate::zones::Sign;

/// Sizes of text on paper, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Type {
    pub(crate) name: f64,
    pub(crate) size: f64,
    pub(crate) dim: f64,
    pub(crate) zone: f64,
    pub(crate) number: f64,
}

pub(crate) const TYPE: Type = Type {
    name: 3.0,
    size: 2.6,
    dim: 2.25,
    zone: 2.4,
    number: 2.4,
};

/// A placed part as it will be drawn.
#[derive(Debug, Clone)]
pub(crate) struct Laid {
    pub(crate) part: PartCopy,
    pub(crate) name: String,
    pub(crate) size: String,
    /// "turned over", "pinned": words that follow the size.
    pub(crate) remarks: Vec<&'static str>,
    /// The blank, its holes shrunk and corners rounded where it is sawn; in the board's frame.
    pub(crate) blank: Vec<Region>,
    /// The finished outline, in the board's frame.
    pub(crate) finished: Region,
    /// Shoulders of tenons as lines in the board's frame.
    pub(crate) shoulders: Vec<(Point, Point)>,
    /// Direction of its grain axis in the board's frame: a unit vector; none where the grain does not matter.
    pub(crate) grain: Option<Point>,
    /// A seen face lies up; down.
    pub(crate) seen: (bool, bool),
    pub(crate) sawn: bool,
}

impl Laid {
    /// Works out how a placement lies. None where its part is not in the job.
    pub(crate) fn of(job: &Job, placement: &Placement, pinned: bool) -> Option<Laid> {
        let part = job.part(&placement.part)?;
        let pose = placement.pose();
        let blank = Blank::of(part);
        let rounded = offset(&blank.core, blank.radius, 0.05);
        let mut remarks = Vec::new();
        if placement.at.turned_over {
            remarks.push("turned over");
        }
        if pinned {
            remarks.push("pinned");
        }
        let axis = match &part.grain {
            GrainRule::Axis { across, .. } => Some(if *across {
                Point { x: 0.0, y: 1.0 }
            } else {
                Point { x: 1.0, y: 0.0 }
            }),
            GrainRule::Any | GrainRule::Turns(_) => None,
        };
        let zero = pose.apply(Point { x: 0.0, y: 0.0 });
        Some(Laid {
            part: placement.part_copy(),
            name: part.copy_name(placement.copy),
            size: finished_size(job, part),
            remarks,
            blank: rounded.iter().map(|r| pose.apply_region(r)).collect(),
            finished: pose.apply_region(&part.outline),
            shoulders: shoulders(part)
                .into_iter()
                .map(|(a, b)| (pose.apply(a), pose.apply(b)))
                .collect(),
            grain: axis.map(|a| pose.apply(a)).map(|p| Point {
                x: p.x - zero.x,
                y: p.y - zero.y,
            }),
            seen: (
                is_seen(part.faces, placement.at.turned_over, true),
                is_seen(part.faces, placement.at.turned_over, false),
            ),
            sawn: part.cut == PartCut::Sawn,
        })
    }

    /// The blank's bounding box in the board's frame.
    pub(crate) fn bounds(&self) -> Bounds {
        self.blank
            .iter()
            .map(Region::bounds)
            .reduce(|a, b| a.union(b))
            .unwrap_or_else(|| self.finished.bounds())
    }

    /// The largest piece of the blank: where a label may stand.
    pub(crate) fn body(&self) -> &Region {
        self.blank
            .iter()
            .max_by(|a, b| a.area().total_cmp(&b.area()))
            .unwrap_or(&self.finished)
    }

    /// True where the blank is a rectangle along the board's axes: its sides are struck with tape and square alone.
    pub(crate) fn is_square_to_board(&self) -> bool {
        let bounds = self.bounds();
        (self.body().area() - bounds.area()).abs() <= 1e-6 * bounds.area()
    }

    /// What is read out for it.
    pub(crate) fn title(&self) -> String {
        let mut words = format!("{}, finished {}", self.name, self.size);
        for remark in &self.remarks {
            words.push_str(", ");
            words.push_str(remark);
        }
        match self.seen {
            (true, true) => words.push_str(", both faces seen"),
            (true, false) => words.push_str(", seen face up"),
            (false, true) => words.push_str(", seen face underneath"),
            (false, false) => {}
        }
        words
    }

    fn size_and_remarks(&self) -> String {
        self.remarks.iter().fold(self.size.clone(), |mut text, r| {
            text.push_str(" · ");
            text.push_str(r);
            text
        })
    }

    /// The ways its label may be written, best first.
    fn wordings(&self, unit: f64) -> Vec<Wording> {
        let (name, size) = (TYPE.name * unit, TYPE.size * unit);
        let (full, bare) = (self.size_and_remarks(), self.size.clone());
        let mut ways = vec![
            Wording {
                lines: vec![(
                    vec![
                        (self.name.clone(), "hs-name"),
                        (format!("  {full}"), "hs-size"),
                    ],
                    (name + size) / 2.0,
                )],
            },
            Wording {
                lines: vec![
                    (vec![(self.name.clone(), "hs-name")], name),
                    (vec![(full, "hs-size")], size),
                ],
            },
        ];
        if !self.remarks.is_empty() {
            let mut lines = vec![
                (vec![(self.name.clone(), "hs-name")], name),
                (vec![(bare, "hs-size")], size),
            ];
            lines.extend(
                self.remarks
                    .iter()
                    .map(|r| (vec![((*r).to_owned(), "hs-size")], size)),
            );
            ways.push(Wording { lines });
        }
        ways
    }

    /// The whole label in one line, for a place outside.
    pub(crate) fn one_line(&self) -> Vec<(String, &'static str)> {
        vec![
            (self.name.clone(), "hs-name"),
            (format!("  {}", self.size_and_remarks()), "hs-size"),
        ]
    }
}

/// The shoulder lines of a part's tenons in its own frame.
fn shoulders(part: &Part) -> Vec<(Point, Point)> {
    let bounds = part.outline.bounds();
    let at = |x: f64| (Point { x, y: bounds.min.y }, Point { x, y: bounds.max.y });
    let mut lines = Vec::new();
    if part.tenon.0 > 0.0 {
        lines.push(at(bounds.min.x + part.tenon.0));
    }
    if part.tenon.1 > 0.0 {
        lines.push(at(bounds.max.x - part.tenon.1));
    }
    lines
}

/// What of a part's text found room inside it.
#[derive(Debug, Clone, Default)]
pub(crate) struct Inscription {
    /// Name and size; empty where they need a place outside.
    pub(crate) label: Vec<Words>,
    /// Distances across, at its extreme corners.
    pub(crate) across: Vec<Words>,
    /// Distances across that found no room at the part, ready to follow its name outside.
    pub(crate) across_outside: Option<String>,
    /// Middle of the grain arrow, and of the face mark.
    pub(crate) arrow: Option<Point>,
    pub(crate) face_mark: Option<Point>,
}

/// Distances across the board as they are written at a blank: "62", or "36 L" and "12 R" of a chalk line.
pub(crate) fn across_words(job: &Job, datum: &Datum, at: Point) -> String {
    let distance = datum.across_at(at);
    if datum.chalk_from_right.is_none() {
        return write_dimension(distance, &job.units);
    }
    let shown = write_dimension(distance.abs(), &job.units);
    if shown.starts_with('0') && distance.abs() < 0.05 {
        "0".into()
    } else if distance > 0.0 {
        format!("{shown} L")
    } else {
        format!("{shown} R")
    }
}

/// Finds room inside a part for its text, and takes it.
pub(crate) fn inscribe(
    laid: &Laid,
    job: &Job,
    marking: Option<(&Datum, &Region)>,
    short: bool,
    origin: Origin,
    room: &mut Room,
    unit: f64,
) -> Inscription {
    let mut found = Inscription::default();
    let body = laid.body();
    if let Some((datum, board)) = marking {
        mark_across(laid, job, datum, board, origin, room, unit, &mut found);
    }
    for (a, b) in &laid.shoulders {
        room.take_leader(origin.map(*a), origin.map(*b));
    }
    let mut ways = laid.wordings(unit);
    if short {
        // From afar the name alone; the size shows when one comes nearer.
        ways.push(Wording {
            lines: vec![(vec![(laid.name.clone(), "hs-name")], TYPE.name * unit)],
        });
    }
    let fitted = fit_inside(&ways, &laid.finished, origin, room, 0.7 * unit)
        .or_else(|| fit_inside(&ways, body, origin, room, 0.7 * unit));
    if let Some(words) = fitted {
        for line in &words {
            room.take(Taken::Label, line.bounds());
        }
        found.label = words;
    }
    if short && found.label.is_empty() {
        return found;
    }
    // Arrow and face mark stand at the far end, where there is room.
    let bounds = laid.finished.bounds();
    let mut place = |w: f64, h: f64| {
        for back in [0.0, 0.15, 0.3, 0.5] {
            for up in [0.0, 0.3, -0.3] {
                let x = bounds.max.x - 1.0 * unit - w / 2.0 - back * (bounds.width() - w).max(0.0);
                let middle = Point {
                    x,
                    y: bounds.centre().y + up * (bounds.height() - h).max(0.0),
                };
                let own = around(middle, w, h);
                let drawn = around(origin.map(middle), w, h);
                if is_within(&laid.finished, &own) && room.is_clear(&drawn) {
                    room.take(Taken::Label, drawn);
                    return Some(origin.map(middle));
                }
            }
        }
        None
    };
    if laid.seen.0 || laid.seen.1 {
        found.face_mark = place(3.4 * unit, 3.0 * unit);
    }
    if let Some(axis) = laid.grain {
        let (w, h) = (
            axis.x.abs() * 7.0 + axis.y.abs() * 2.0,
            axis.y.abs() * 7.0 + axis.x.abs() * 2.0,
        );
        found.arrow = place(w * unit, h * unit);
    }
    found
}

/// Writes the distances across at the extreme corners of a blank: one above the other in its
/// start corner, else both in one line, else close beside it, else outside with its name.
#[allow(clippy::too_many_arguments)] // One private place; a struct would only repeat the names.
fn mark_across(
    laid: &Laid,
    job: &Job,
    datum: &Datum,
    board: &Region,
    origin: Origin,
    room: &mut Room,
    unit: f64,
    found: &mut Inscription,
) {
    let body = laid.body();
    let corners = [extreme_across(laid, false), extreme_across(laid, true)];
    let texts = corners.map(|c| across_words(job, datum, c));
    for scale in [1.0, 0.88] {
        let size = TYPE.dim * unit * scale;
        let pair = [0, 1].map(|k| {
            let words = Words::new(texts[k].clone(), "hs-dim", corners[k], size);
            let (w, h) = (words.length(), words.bounds().height());
            let inwards = if k == 1 { -1.0 } else { 1.0 };
            let row = corners[k].y + inwards * (0.15 * unit + h / 2.0);
            let inside = [0.5, 1.5, 3.0, 5.0].map(|dx| Point {
                x: corners[k].x + dx * unit + w / 2.0,
                y: row,
            });
            let before = Point {
                x: corners[k].x - w / 2.0 - 0.6 * unit,
                y: row,
            };
            let below = Point {
                x: corners[k].x + w / 2.0,
                y: corners[k].y - inwards * (0.5 * unit + h / 2.0),
            };
            let free = |m: &Point| room.is_clear(&around(origin.map(*m), w, h));
            let found = inside
                .into_iter()
                .find(|m| is_within(body, &around(*m, w, h)) && free(m));
            let beside = || {
                if laid.is_square_to_board() {
                    None
                } else {
                    [before, below]
                        .into_iter()
                        .find(|m| is_within(board, &around(*m, w, h)) && free(m))
                }
            };
            found.or_else(beside).map(|middle| Words {
                middle: origin.map(middle),
                ..words
            })
        });
        if let [Some(low), Some(high)] = pair
            && !crate::room::overlaps(&low.bounds(), &high.bounds())
        {
            for words in [low, high] {
                room.take(Taken::Label, words.bounds());
                found.across.push(words.haloed(0.6 * unit, "hs-halo-part"));
            }
            return;
        }
    }
    let span = across_span(job, datum, corners);
    for scale in [1.0, 0.88] {
        let words = Words::new(
            span.clone(),
            "hs-dim",
            Point { x: 0.0, y: 0.0 },
            TYPE.dim * unit * scale,
        );
        let (w, h) = (words.length(), words.bounds().height());
        if let Some(middle) = free_place(w, h, body, origin, room, 0.5 * unit) {
            let words = Words { middle, ..words };
            room.take(Taken::Label, words.bounds());
            found.across.push(words.haloed(0.6 * unit, "hs-halo-part"));
            return;
        }
    }
    found.across_outside = Some(format!("across {span}"));
}

/// The corner of a blank that reaches furthest across the board, high or low; of several the one nearest the start.
fn extreme_across(laid: &Laid, high: bool) -> Point {
    let bounds = laid.bounds();
    let side = if high { bounds.max.y } else { bounds.min.y };
    let points = laid
        .body()
        .outer()
        .points()
        .iter()
        .filter(|p| (p.y - side).abs() < 0.01);
    points
        .copied()
        .min_by(|a, b| a.x.total_cmp(&b.x))
        .unwrap_or(Point {
            x: bounds.min.x,
            y: side,
        })
}

/// Both distances across in one: "62–128", "3–69 L", "12 R–30 L".
pub(crate) fn across_span(job: &Job, datum: &Datum, corners: [Point; 2]) -> String {
    let [low, high] = corners.map(|c| across_words(job, datum, c));
    match (low.split_once(' '), high.split_once(' ')) {
        (Some((bare, a)), Some((_, b))) if a == b && datum.chalk_from_right.is_some() => {
            format!("{bare}–{high}")
        }
        _ => format!("{low}–{high}"),
    }
}

/// Draws a part with what was inscribed in it, and notes the signs it uses.
pub(crate) fn draw(
    pen: &mut Pen,
    laid: &Laid,
    inscription: &Inscription,
    origin: Origin,
    selected: bool,
    corners: bool,
    sign: &mut impl FnMut(Sign),
) {
    let unit = pen.unit;
    let blank: String = laid.blank.iter().map(|r| origin.region(r)).collect();
    if selected {
        pen.path("hs-cut", &blank, 1.3, &[]);
    }
    pen.path("hs-blank", &blank, 0.26, &[]);
    sign(Sign::Blank);
    pen.path(
        "hs-finish",
        &origin.region(&laid.finished),
        0.17,
        &[1.1, 0.8],
    );
    sign(Sign::Finish);
    if !laid.shoulders.is_empty() {
        pen.path("hs-pencil", &origin.lines(&laid.shoulders), 0.2, &[]);
        sign(Sign::Shoulder);
    }
    if corners && !laid.is_square_to_board() {
        for corner in extreme_corners(laid) {
            pen.circle("hs-dot", origin.map(corner), 0.42 * unit, 0.0);
        }
        sign(Sign::Corner);
    }
    if let (Some(middle), Some(axis)) = (inscription.arrow, laid.grain) {
        grain_arrow(pen, middle, axis);
        sign(Sign::GrainArrow);
    }
    if let Some(middle) = inscription.face_mark {
        face_mark(pen, middle, laid.seen);
        sign(Sign::FaceMark);
    }
    for words in inscription.label.iter().chain(&inscription.across) {
        pen.words(words);
    }
}

/// The points of a blank that reach furthest along and across the board.
pub(crate) fn extreme_corners(laid: &Laid) -> Vec<Point> {
    let points = laid.body().outer().points();
    let by = |key: fn(&Point) -> f64| {
        points
            .iter()
            .copied()
            .min_by(|a, b| key(a).total_cmp(&key(b)))
    };
    let mut corners: Vec<Point> = [by(|p| p.x), by(|p| -p.x), by(|p| p.y), by(|p| -p.y)]
        .into_iter()
        .flatten()
        .collect();
    corners.dedup_by(|a, b| a.distance(*b) < 0.01);
    corners
}

/// A double arrow along the grain: it has no head and tail.
pub(crate) fn grain_arrow(pen: &mut Pen, middle: Point, axis: Point) {
    let u = pen.unit;
    // The drawing's y runs down.
    let (ax, ay) = (axis.x, -axis.y);
    let at = |along: f64, across: f64| Point {
        x: middle.x + (ax * along - ay * across) * u,
        y: middle.y + (ay * along + ax * across) * u,
    };
    pen.line("hs-pencil", at(-3.2, 0.0), at(3.2, 0.0), 0.18);
    for end in [-1.0, 1.0] {
        let head = [at(end * 2.2, 0.7), at(end * 3.2, 0.0), at(end * 2.2, -0.7)];
        let d: String = head
            .iter()
            .enumerate()
            .map(|(i, p)| {
                format!(
                    "{}{},{}",
                    if i == 0 { "M" } else { "L" },
                    crate::svg::number(p.x),
                    crate::svg::number(p.y)
                )
            })
            .collect();
        pen.path("hs-pencil", &d, 0.18, &[]);
    }
}

/// The looped face mark, whole where a seen face lies up, broken where only the one underneath is seen.
pub(crate) fn face_mark(pen: &mut Pen, middle: Point, seen: (bool, bool)) {
    let u = pen.unit;
    let n = |dx: f64, dy: f64| {
        format!(
            "{},{}",
            crate::svg::number(middle.x + dx * u),
            crate::svg::number(middle.y + dy * u)
        )
    };
    let d = format!(
        "M{}C{} {} {}S{} {}S{} {}",
        n(1.4, 1.2),
        n(0.2, 0.6),
        n(-1.4, 0.2),
        n(-1.3, -0.6),
        n(-0.1, -1.6),
        n(0.3, -0.7),
        n(-0.4, 0.9),
        n(-1.5, 1.2)
    );
    let dash: &[f64] = if seen.0 { &[] } else { &[0.6, 0.5] };
    pen.path("hs-ink", &d, 0.22, dash);
}
