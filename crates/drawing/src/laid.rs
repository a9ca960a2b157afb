//! How a placed part lies on its board: blank, finished outline, faces, grain, words.

use heartside_cutting::finished_size;
use heartside_geometry::{Bounds, Point, Region, offset};
use heartside_timber::blank::{Blank, is_seen};
use heartside_timber::composite::is_of_leaves;
use heartside_timber::document::{MatchKind, PartCopy, PartCut};
use heartside_timber::job::{GrainRule, Job, Match, Part};
use heartside_timber::plan::Placement;
use heartside_timber::words::listed;

use crate::fitting::Wording;

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
    pub(crate) remarks: Vec<String>,
    /// A leaf that lies beneath the first of its blank, which bears the words for all of them.
    pub(crate) is_beneath: bool,
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
        let leaves = leaves_of(job, placement);
        let mut remarks = Vec::new();
        if let Some((count, opened)) = leaves.map(|m| (m.parts.len(), m.kind == MatchKind::Book)) {
            let how = if opened {
                "opened like a book"
            } else {
                "slipped"
            };
            remarks.push(format!("{count} leaves, {how}"));
        } else if placement.at.turned_over {
            remarks.push("turned over".to_owned());
        }
        if pinned {
            remarks.push("pinned".to_owned());
        }
        let number = placement.leaf.filter(|_| leaves.is_some());
        let name = match leaves.filter(|_| number == Some(1)) {
            None => part.copy_name(placement.copy),
            // From the up face down.
            Some(all) => {
                let names = all.parts.iter().filter_map(|c| job.name_of(c));
                listed(&names.collect::<Vec<_>>())
            }
        };
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
            name,
            is_beneath: number.is_some_and(|leaf| leaf > 1),
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
    pub(crate) fn wordings(&self, unit: f64) -> Vec<Wording> {
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
                    .map(|r| (vec![(r.clone(), "hs-size")], size)),
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

/// The leaves of one blank that a placement is one of.
fn leaves_of<'a>(job: &'a Job, placement: &Placement) -> Option<&'a Match> {
    placement.leaf?;
    let copy = placement.part_copy();
    let mut leaves = job.matches.iter().filter(|m| is_of_leaves(m));
    leaves.find(|m| m.parts.contains(&copy))
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

/// The points of a blank that reach furthest along and across the board, going round it.
pub(crate) fn extreme_corners(laid: &Laid) -> Vec<Point> {
    let points = laid.body().outer().points();
    let by = |key: fn(&Point) -> f64| {
        points
            .iter()
            .copied()
            .min_by(|a, b| key(a).total_cmp(&key(b)))
    };
    let reaching = [by(|p| p.x), by(|p| -p.x), by(|p| p.y), by(|p| -p.y)];
    points
        .iter()
        .copied()
        .filter(|p| reaching.contains(&Some(*p)))
        .collect()
}
