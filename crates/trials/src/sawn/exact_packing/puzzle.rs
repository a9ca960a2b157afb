//! What is to be put together: boards, kinds of parts and their corners, and what angles alone tell of them.

use std::cmp::Ordering;
use std::sync::Arc;

use heartside_geometry::math::{cos, sin};
use heartside_geometry::{Arrange, Bounds, Pose, Region, Vector};
use heartside_timber::job::{Goal, GrainRule, Job};

use heartside_nest::kit::{Form, Piece, Stock, Tools, Yard, filling_order};
use heartside_timber::blank::Blank;

use super::Candidate;
use super::angles::{HALF, Outline, Ray, Sector, TAU, Wedge};

/// Directions further apart than this (radians) are never taken for one, however short the sides.
const WIDEST: f64 = 1e-3;

/// A corner of a kind of part, turned in one way.
#[derive(Debug, Clone, Copy)]
pub(super) struct Corner {
    pub(super) kind: usize,
    pub(super) outline: usize,
    /// From the lower left of the outline's box.
    pub(super) at: Vector,
    pub(super) wedge: Wedge,
}

/// Parts that are alike, turns and all.
#[derive(Debug)]
pub(super) struct Kind {
    /// What it may look like.
    pub(super) outlines: Vec<usize>,
    pub(super) area: f64,
    /// The pieces not laid yet.
    pub(super) left: Vec<usize>,
}

/// A board to be filled.
#[derive(Debug)]
pub(super) struct Empty {
    /// Its place in the engine's stock.
    pub(super) stock: usize,
    pub(super) board: usize,
    /// What is filled of it.
    pub(super) frame: Bounds,
    pub(super) outside: Outline,
}

/// Boards and parts that might fill them without any waste.
#[derive(Debug)]
pub(super) struct Puzzle {
    pub(super) boards: Vec<Empty>,
    pub(super) outlines: Vec<Outline>,
    pub(super) kinds: Vec<Kind>,
    /// For every part: its forms, each with its outline.
    pub(super) forms: Vec<Vec<(usize, Arc<Form>)>>,
    /// Corners of all kinds by the direction of their lower side; those near the whole turn stand at both ends.
    corners: Vec<Corner>,
    /// Two points no further apart are one.
    pub(super) near: f64,
    /// How far two parts may overlap for rounding.
    pub(super) close: f64,
    /// Of all parts.
    pub(super) area: f64,
}

impl Puzzle {
    /// The puzzle of a task without pins; none where a filling without waste is out of the question.
    pub(super) fn new(tools: &mut Tools<'_>) -> Option<Puzzle> {
        let (job, stock, pieces) = (tools.job, tools.stock, tools.pieces);
        let yard = &mut *tools.yard;
        let near = job.tolerance.slack;
        let by_list = |p: &Piece| {
            let part = &job.parts[p.part];
            matches!(part.grain, GrainRule::Turns(_)) && Blank::of(part).radius <= 0.0
        };
        if job.workshop.sawn_kerf > 0.0 || pieces.is_empty() || !pieces.iter().all(by_list) {
            return None;
        }
        let area_of = |part: usize| yard.core(part).region().area();
        let area: f64 = pieces.iter().map(|p| area_of(p.part)).sum();
        let boards = boards_to_fill(job, yard, stock, area)?;

        let mut outlines: Vec<Outline> = Vec::new();
        let mut forms: Vec<Vec<(usize, Arc<Form>)>> = vec![Vec::new(); job.parts.len()];
        let mut kinds: Vec<Kind> = Vec::new();
        let mut kind_of: Vec<Option<usize>> = vec![None; job.parts.len()];
        for (k, piece) in pieces.iter().enumerate() {
            let part = piece.part;
            if let Some(kind) = kind_of[part] {
                kinds[kind].left.push(k);
                continue;
            }
            for empty in &boards {
                for form in yard.forms_on(job, empty.board, part) {
                    if forms[part].iter().any(|f| f.1.id == form.id) {
                        continue;
                    }
                    if !yard.is_exact(&form) {
                        // Simplified for the search: it would not go in exactly.
                        return None;
                    }
                    let outline = outline_of(yard, &form);
                    let known = outlines.iter().position(|o| o.is_like(&outline, near));
                    let outline = known.unwrap_or_else(|| {
                        outlines.push(outline);
                        outlines.len() - 1
                    });
                    forms[part].push((outline, form));
                }
            }
            let mut looks: Vec<usize> = forms[part].iter().map(|f| f.0).collect();
            looks.arrange();
            looks.dedup();
            let fits = |o: &usize| {
                let size = outlines[*o].size;
                (boards.iter())
                    .any(|b| size.x <= b.frame.width() + near && size.y <= b.frame.height() + near)
            };
            if !looks.iter().any(fits) {
                return None;
            }
            let kind = (kinds.iter())
                .position(|kind| kind.outlines == looks)
                .unwrap_or_else(|| {
                    kinds.push(Kind {
                        outlines: looks,
                        area: yard.core(part).region().area(),
                        left: Vec::new(),
                    });
                    kinds.len() - 1
                });
            kinds[kind].left.push(k);
            kind_of[part] = Some(kind);
        }
        if !is_on_grid(&outlines, &boards, near) {
            return None;
        }
        Some(Puzzle {
            corners: corners_of(&kinds, &outlines),
            boards,
            outlines,
            kinds,
            forms,
            near,
            close: yard.margin(0.25 * near),
            area,
        })
    }

    /// Corners whose lower side may leave in a direction, of parts that are left.
    fn leaving(&self, ray: Ray) -> impl Iterator<Item = &Corner> {
        let from = self
            .corners
            .partition_point(|c| c.wedge.low.angle < ray.angle - WIDEST);
        self.corners[from..]
            .iter()
            .take_while(move |c| c.wedge.low.angle <= ray.angle + WIDEST)
            .filter(move |c| {
                !self.kinds[c.kind].left.is_empty() && c.wedge.low.meets(&ray, self.near)
            })
    }

    /// True if the corner is no wider than what is free.
    fn goes_into(&self, corner: &Wedge, free: &Wedge) -> bool {
        corner.opening <= free.opening || corner.high.meets(&free.high, self.near)
    }

    /// Whether a free angle is less than 180 degrees, just that, or more.
    pub(super) fn bend(&self, free: &Wedge) -> Ordering {
        let off = (free.opening - HALF) * free.low.length.min(free.high.length);
        if off.abs() <= self.near {
            Ordering::Equal
        } else {
            off.total_cmp(&0.0)
        }
    }

    /// The length of the straight wall that leaves a corner along its lower side; none where it
    /// does not end at another corner, so that what lies along it may reach beyond.
    pub(super) fn wall(&self, sector: &Sector, sectors: &[Sector]) -> Option<f64> {
        let (mut from, mut ray, mut length) = (sector.at, sector.free.low, 0.0);
        let along = Vector::new(cos(ray.angle), sin(ray.angle));
        for _ in sectors {
            let (end, way) = (sectors.iter())
                .filter_map(|s| {
                    let to = s.at - from;
                    let way = to.dot(along);
                    let is_on = way > self.near
                        && way <= ray.length + self.near
                        && to.cross(along).abs() <= self.near
                        && s.free.high.meets(&ray.back(), self.near);
                    is_on.then_some((s, way))
                })
                .min_by(|a, b| a.1.total_cmp(&b.1))?;
            length += way;
            match self.bend(&end.free) {
                Ordering::Less => return Some(length),
                Ordering::Equal => (from, ray) = (end.at, end.free.low),
                Ordering::Greater => return None,
            }
        }
        None
    }

    /// True if sides of parts that are left might add up to the length of a wall; so it is held to be where four of them may.
    pub(super) fn can_line(&self, ray: Ray, length: f64) -> bool {
        let mut sides: Vec<&Corner> = self.leaving(ray).collect();
        let long = |c: &Corner| c.wedge.low.length;
        sides.retain(|c| long(c) <= length + self.near);
        sides.arrange_by(|a, b| long(a).total_cmp(&long(b)));
        let Some(shortest) = sides.first().map(|c| long(c)) else {
            return false;
        };
        if 4.0 * shortest <= length + self.near {
            return true;
        }
        // Two sides of one part may lie along one wall, if it is turned one way.
        let together = |a: &Corner, b: &Corner| {
            a.kind != b.kind || a.outline == b.outline || self.kinds[a.kind].left.len() > 1
        };
        let of_this_length = |rest: f64| {
            let from = sides.partition_point(|c| long(c) < rest - self.near);
            sides[from..]
                .iter()
                .take_while(move |c| long(c) <= rest + self.near)
        };
        let two = |a: &Corner, rest: f64| of_this_length(rest).any(|b| together(a, b));
        of_this_length(length).next().is_some()
            || sides.iter().any(|a| two(a, length - long(a)))
            || (sides.iter().enumerate()).any(|(k, a)| {
                (sides[k..].iter())
                    .take_while(|b| long(a) + 2.0 * long(b) <= length + self.near)
                    .any(|b| together(a, b) && two(b, length - long(a) - long(b)))
            })
    }

    /// Corners that angles allow in what is free.
    pub(super) fn filling(&self, free: &Wedge) -> Vec<&Corner> {
        self.leaving(free.low)
            .filter(|c| self.goes_into(&c.wedge, free) && self.can_go_on(c, free))
            .collect()
    }

    /// A corner laid into a free one, and how well its sides go with those beside it.
    pub(super) fn candidate(&self, corner: &Corner, sector: &Sector) -> Candidate {
        let (own, free) = (&corner.wedge, &sector.free);
        let alike = |a: f64, b: f64| f64::from(u8::from((a - b).abs() <= self.near));
        let mut rank = alike(own.low.length, free.low.length);
        if own.high.meets(&free.high, self.near) {
            rank += 1.0 + alike(own.high.length, free.high.length);
        }
        Candidate {
            kind: corner.kind,
            outline: corner.outline,
            at: sector.at - corner.at,
            rank: rank + self.kinds[corner.kind].area / self.area,
        }
    }

    /// True if the corner fills what is free, or another could lie beside it.
    fn can_go_on(&self, corner: &Corner, free: &Wedge) -> bool {
        if corner.wedge.high.meets(&free.high, self.near) {
            return true;
        }
        let rest = Wedge {
            low: corner.wedge.high,
            high: free.high,
            opening: free.opening - corner.wedge.opening,
        };
        self.leaving(rest.low).any(|c| {
            self.goes_into(&c.wedge, &rest)
                && (c.kind != corner.kind || self.kinds[c.kind].left.len() > 1)
        })
    }
}

/// The boards whose area is just that of the parts, taken from the cheapest for their area on: no others could be cheaper.
fn boards_to_fill(job: &Job, yard: &Yard, stock: &[Stock], area: f64) -> Option<Vec<Empty>> {
    let near = job.tolerance.slack;
    let untouched = |board: usize| {
        let board = &job.boards[board];
        board.zones.is_empty() && (board.sides.iter()).all(|s| s.trim(&job.workshop) <= 0.0)
    };
    let empty = |stock: usize, board: usize, region: &Region| Empty {
        stock,
        board,
        frame: region.bounds(),
        outside: Outline::of(region, Vector::ZERO, true),
    };
    match job.goal {
        Goal::StripLength => {
            let board = stock.first()?.board;
            let mut frame = yard.frame(board);
            let whole = job.boards[board].outline.area();
            if !untouched(board) || (whole - frame.area()).abs() > near * frame.height() {
                return None;
            }
            frame.max.x = (frame.min.x + area / frame.height()).min(frame.max.x);
            Some(vec![empty(0, board, &Region::rectangle(frame)?)])
        }
        Goal::Furnish => {
            let mut boards = Vec::new();
            let mut missing = area;
            for s in filling_order(job, yard, stock) {
                let board = stock[s].board;
                let outline = &job.boards[board].outline;
                let around: f64 = outline.rings().map(|r| r.perimeter()).sum();
                missing -= outline.area();
                if !untouched(board) || missing < -near * around {
                    return None;
                }
                boards.push(empty(s, board, outline));
                if missing <= near * around {
                    return Some(boards);
                }
            }
            None
        }
        Goal::InOrder | Goal::Value => None,
    }
}

fn outline_of(yard: &Yard, form: &Form) -> Outline {
    let pose = Pose {
        x: 0.0,
        y: 0.0,
        turn: form.turn,
        turned_over: form.turned_over,
    };
    let core = yard.core(form.part).posed(&pose);
    Outline::of(core.region(), -form.bounds.min.to_vector(), false)
}

/// All corners by the direction in which their lower side leaves.
fn corners_of(kinds: &[Kind], outlines: &[Outline]) -> Vec<Corner> {
    let mut corners = Vec::new();
    for (k, kind) in kinds.iter().enumerate() {
        for o in &kind.outlines {
            for (s, side) in outlines[*o].sides.iter().enumerate() {
                let mut corner = Corner {
                    kind: k,
                    outline: *o,
                    at: side.from.to_vector(),
                    wedge: outlines[*o].corner(s),
                };
                corners.push(corner);
                let low = &mut corner.wedge.low;
                if low.angle <= WIDEST {
                    low.angle += TAU;
                    corners.push(corner);
                } else if low.angle >= TAU - WIDEST {
                    low.angle -= TAU;
                    corners.push(corner);
                }
            }
        }
    }
    corners.arrange_by(|a, b| {
        (a.wedge.low.angle.total_cmp(&b.wedge.low.angle)).then(a.kind.cmp(&b.kind))
    });
    corners
}

/// False where the outlines' corners lie on a grid and the boards' do not.
///
/// In a filling every part begins at a corner of another or of the board, so all of them lie on the grid.
fn is_on_grid(outlines: &[Outline], boards: &[Empty], near: f64) -> bool {
    let mut grid = 0.0f64;
    for side in outlines.iter().flat_map(|o| &o.sides) {
        for extent in [side.from.x, side.from.y] {
            let (mut a, mut b) = (grid.max(extent), grid.min(extent).max(0.0));
            while b > near {
                let rest = a % b;
                (a, b) = (b, if b - rest <= near { 0.0 } else { rest });
            }
            grid = a;
        }
    }
    let on_grid = |extent: f64| {
        let times = extent / grid;
        (times - times.round()).abs() * grid <= near * times.max(1.0)
    };
    (boards.iter()).all(|b| on_grid(b.frame.width()) && on_grid(b.frame.height()))
}
