//! Waney boards cut apart by bent lines: the full answer is known.
//!
//! # How
//! What a board gives at all is its clear area: the outline less the trim of its raw sides. It
//! is divided into cells by bent lines, one cell in two at a time, each line moved to where
//! both sides have the area that is meant for them; so the share of waste is what was wanted,
//! and not what chance left. The lines are the middles of the kerfs. A part is its cell less
//! half a kerf and the sawn allowance along every line, and less the allowance alone along the
//! trims, which the kerf may run into. So any two blanks are a kerf apart or more, and every
//! line that is sawn frees a blank on both sides but for the waste.

mod bent_line;

use heartside_geometry::math::atan2_deg;
use heartside_geometry::{
    Bounds, Point, Pose, PreparedRegion, Region, Ring, Vector, poles_of_inaccessibility, separation,
};
use heartside_timber::document::{
    Board, BoardGrain, BoardOutline, Cuts, Document, EdgeKind, Faces, Length, Part, Station, Zone,
};
use heartside_timber::plan::{Placement, Plan};

use self::bent_line::{BentLine, Cell, Corner, SPARE, area};
use crate::chance::{Chance, round};
use crate::timberyard::{
    SAWN_ALLOWANCE, SAWN_KERF, TRIM, add_cut_up, board, clear_size, empty_job, mm, sawn_part, spot,
};

/// What to generate.
#[derive(Debug, Clone, Copy)]
pub struct SawnCutApart {
    /// Boards.
    pub boards: usize,
    /// Parts in all, shared out evenly; fewer where a board is too small to be cut into so many.
    pub parts: usize,
    /// Grain tolerance of every part, in degrees; the plan turns parts by up to as much.
    pub tolerance: f64,
}

impl Default for SawnCutApart {
    fn default() -> SawnCutApart {
        SawnCutApart {
            boards: 2,
            parts: 12,
            tolerance: 5.0,
        }
    }
}

/// Least and most of a clear area that is set aside for waste, in per cent.
///
/// What corners leave is waste too and adds up to half a per cent; so each board keeps well
/// within 12 ± 3.
const WASTE: (f64, f64) = (10.0, 13.5);
/// Corners of a part.
const CORNERS: std::ops::RangeInclusive<usize> = 4..=12;
/// Least side of a part. Shorter ones would vanish in the allowance.
const LEAST_SIDE: f64 = 12.0;
/// Least angle of a part's corners, in degrees, inside and outside.
const LEAST_ANGLE: f64 = 30.0;
/// Radius of the disc that every part has room for: no slivers.
const LEAST_RADIUS: f64 = 14.0;
/// Width of a cell that is cut no thinner along the board.
const LEAST_WIDTH: f64 = 48.0;
/// How long a cell is for its width: at least, and at most for each part that it is cut into.
/// Furniture has more legs and rails than squares.
const LEAST_LONG: f64 = 0.8;
const MOST_LONG: f64 = 7.0;
/// Least area of a waste cell: enough for a knot.
const LEAST_WASTE: f64 = 2500.0;
/// How often a board is cut apart anew before it is cut into one part less.
const TRIES: usize = 2000;
/// Margin of the knots.
const KNOT_MARGIN: f64 = 4.0;

/// A job whose waney boards were cut apart by bent lines, with the complete plan.
///
/// The plan obeys every rule; the job's parts are exactly what was cut, and lie with the grain
/// within their tolerance, many turned end for end, some turned over. Parts have 4 to 12 corners,
/// many of them hollow. Knots lie in the waste and nowhere else. The grain of every board is straight.
///
/// # Waste
/// Of every board's clear area, 12 per cent, within three, is waste: it lies in no blank, nor
/// within half a kerf of one. So neither kerfs nor allowances are counted as waste, nor is
/// what is trimmed off raw sides.
pub fn sawn_cut_apart(seed: u32, wanted: SawnCutApart) -> Document {
    let mut chance = Chance::new(seed ^ 0x3c3c_0000);
    let mut document = empty_job(format!("Sawn cut apart {seed}"));
    let mut plan = Plan::default();
    for index in 0..wanted.boards {
        let thickness = *chance.one_of(&[27.0, 33.0]);
        let (mut board, clear) = waney_board(&mut chance, index, thickness);
        let angle = chance.between(-4.0, 4.0);
        let parts =
            wanted.parts * (index + 1) / wanted.boards - wanted.parts * index / wanted.boards;
        let apart = cut_into(&mut chance, &clear, parts);
        let mut placements = Vec::new();
        for (place, outline) in apart.parts.iter().enumerate() {
            let id = format!("{}{}", board.id.to_lowercase(), place + 1);
            let off = round(chance.between(-wanted.tolerance, wanted.tolerance), 100.0);
            let still = Pose {
                x: 0.0,
                y: 0.0,
                turn: angle + off + if chance.percent(50) { 180.0 } else { 0.0 },
                turned_over: chance.percent(30),
            };
            let (points, at) = in_own_frame(outline, still);
            placements.push(Placement {
                part: id.clone(),
                copy: 1,
                at: at.into(),
                ..Placement::default()
            });
            let name = format!("Shape {}", document.parts.len() + 1);
            document.parts.push(Part {
                faces: *chance.one_of(&[Faces::One, Faces::Both, Faces::Hidden]),
                ..sawn_part(id, name, points, thickness, wanted.tolerance)
            });
        }
        for cell in &apart.waste {
            board.zones.extend(knots(&mut chance, cell));
        }
        board.cuts = Cuts::Sawn;
        board.grain = Some(BoardGrain {
            angle,
            ..BoardGrain::default()
        });
        add_cut_up(&mut document, &mut plan, board, placements, None);
    }
    document.plan = Some(plan);
    document
}

/// A board with waney edges, and its clear area.
fn waney_board(chance: &mut Chance, index: usize, thickness: f64) -> (Board, Cell) {
    let mut board = board(chance, index, thickness);
    let (length, half, _) = clear_size(&board);
    let (mut start, mut end) = (EdgeKind::Raw, EdgeKind::Raw);
    if let Some(BoardOutline::Tape {
        start: s, end: e, ..
    }) = &board.outline
    {
        (start, end) = (*s, *e);
    }
    let last = 5 + chance.below(5);
    let crook = chance.between(-14.0, 14.0);
    let stations: Vec<(f64, f64, f64)> = (0..=last)
        .map(|k| {
            let t = k as f64 / last as f64;
            let aside = 4.0 * crook * t * (1.0 - t);
            let mut half = || half + chance.between(-12.0, 12.0);
            let (left, right) = (half() + aside, half() - aside);
            (round(t * length, 2.0), round(left, 2.0), round(right, 2.0))
        })
        .collect();
    board.outline = Some(BoardOutline::Tape {
        length: Length::Mm(length),
        stations: stations
            .iter()
            .map(|(at, left, right)| Station {
                at: Length::Mm(*at),
                left: Length::Mm(*left),
                right: Length::Mm(*right),
            })
            .collect(),
        left: EdgeKind::Raw,
        right: EdgeKind::Raw,
        start,
        end,
    });
    let trim = |kind| if kind == EdgeKind::Raw { TRIM.0 } else { 0.0 };
    let mut outline: Cell = Vec::new();
    for (at, _, right) in &stations {
        outline.push(Corner {
            at: Point { x: *at, y: -right },
            keep: TRIM.1,
        });
    }
    outline[last].keep = trim(end);
    for (at, left, _) in stations.iter().rev() {
        outline.push(Corner {
            at: Point { x: *at, y: *left },
            keep: TRIM.1,
        });
    }
    outline[2 * last + 1].keep = trim(start);
    let clear = less_its_sides(&outline)
        .into_iter()
        .map(|at| Corner {
            at,
            keep: SAWN_ALLOWANCE + SPARE,
        })
        .collect();
    (board, clear)
}

/// A cell less what is to be kept from each of its sides: its corners, where the moved sides meet.
fn less_its_sides(cell: &[Corner]) -> Vec<Point> {
    (0..cell.len())
        .map(|k| {
            let before = cell[(k + cell.len() - 1) % cell.len()];
            let (here, after) = (cell[k], cell[(k + 1) % cell.len()]);
            let inwards = |from: Point, to: Point| {
                let along = Vector {
                    x: to.x - from.x,
                    y: to.y - from.y,
                };
                along
                    .unit()
                    .map_or(Vector { x: 0.0, y: 0.0 }, Vector::turned_left)
            };
            let (n, m) = (inwards(before.at, here.at), inwards(here.at, after.at));
            // The point at `before.keep` from one side's line and `here.keep` from the other's;
            // where both sides run on straight, that beside the corner.
            let cross = n.cross(m);
            let by = if cross.abs() < 1e-9 {
                Vector {
                    x: n.x * here.keep,
                    y: n.y * here.keep,
                }
            } else {
                Vector {
                    x: (before.keep * m.y - here.keep * n.y) / cross,
                    y: (here.keep * n.x - before.keep * m.x) / cross,
                }
            };
            Point {
                x: here.at.x + by.x,
                y: here.at.y + by.y,
            }
        })
        .collect()
}

/// What a board was cut into: outlines of parts as they lie, and cells of waste.
#[derive(Debug, Default)]
struct Apart {
    parts: Vec<Vec<Point>>,
    waste: Vec<Cell>,
}

/// Cuts a clear area into so many parts and the waste, or into fewer where that cannot be.
fn cut_into(chance: &mut Chance, clear: &[Corner], parts: usize) -> Apart {
    for fewer in (1..=parts).rev() {
        for _ in 0..TRIES {
            let leaves = leaves(chance, area(clear), fewer);
            let mut apart = Apart::default();
            if divide(chance, clear.to_vec(), &leaves, &mut apart).is_some()
                && all_apart(&apart.parts)
            {
                return apart;
            }
        }
    }
    Apart {
        parts: Vec::new(),
        waste: vec![clear.to_vec()],
    }
}

/// What a cell is to become.
#[derive(Debug, Clone, Copy)]
struct Leaf {
    area: f64,
    is_waste: bool,
}

/// Parts and waste in a random order, their areas adding up to the whole.
fn leaves(chance: &mut Chance, whole: f64, parts: usize) -> Vec<Leaf> {
    let wasted = whole * chance.between(WASTE.0, WASTE.1) / 100.0;
    let most = ((wasted / (2.0 * LEAST_WASTE)) as usize).clamp(1, 1 + parts / 3);
    let mut leaves = Vec::new();
    for (count, area, is_waste) in [
        (parts, whole - wasted, false),
        (1 + chance.below(most), wasted, true),
    ] {
        let weights: Vec<f64> = (0..count).map(|_| chance.between(0.5, 1.5)).collect();
        let sum: f64 = weights.iter().sum();
        leaves.extend(weights.iter().map(|weight| Leaf {
            area: area * weight / sum,
            is_waste,
        }));
    }
    for place in (1..leaves.len()).rev() {
        let other = chance.below(place + 1);
        leaves.swap(place, other);
    }
    leaves
}

/// Divides a cell among leaves; none if something comes out that is no good part.
fn divide(chance: &mut Chance, cell: Cell, leaves: &[Leaf], apart: &mut Apart) -> Option<()> {
    if let [leaf] = leaves {
        if leaf.is_waste {
            apart.waste.push(cell);
        } else {
            apart.parts.push(good_part(&cell)?);
        }
        return Some(());
    }
    let (first, second) = leaves.split_at(1 + chance.below(leaves.len() - 1));
    let wanted: f64 = first.iter().map(|leaf| leaf.area).sum();
    let bounds = Bounds::of_points(cell.iter().map(|c| c.at))?;
    let share = wanted / area(&cell);
    let sides = [(share, first.len()), (1.0 - share, second.len())];
    let lengthwise = runs_along(chance, &bounds, sides)?;
    let room = |(share, leaves): (f64, usize)| match lengthwise {
        true => bounds.height() * share,
        false => bounds.width() * share / leaves as f64,
    };
    let room = room(sides[0]).min(room(sides[1]));
    let line = BentLine::across(chance, &bounds, lengthwise, 0.3 * room);
    let (low, high) = line.cut(&cell, wanted)?;
    divide(chance, low, first, apart)?;
    divide(chance, high, second, apart)
}

/// Whether a line through a cell of these bounds had better run along the board or across it,
/// if the two sides have these shares of the area and are cut into so many leaves; none where
/// both ways lead to slivers or to parts much wider than long.
fn runs_along(chance: &mut Chance, bounds: &Bounds, sides: [(f64, usize); 2]) -> Option<bool> {
    let (length, width) = (bounds.width(), bounds.height());
    let good = |length: f64, width: f64, leaves: usize| {
        width >= LEAST_WIDTH && (LEAST_LONG..=MOST_LONG * leaves as f64).contains(&(length / width))
    };
    let along = sides
        .iter()
        .all(|(share, leaves)| good(length, width * share, *leaves));
    let across = sides
        .iter()
        .all(|(share, leaves)| good(length * share, width, *leaves));
    match (along, across) {
        (true, true) => Some(chance.percent(60)),
        (true, false) => Some(true),
        (false, true) => Some(false),
        (false, false) => None,
    }
}

/// The part of a cell, where it is neither a sliver nor all corners.
fn good_part(cell: &[Corner]) -> Option<Vec<Point>> {
    let outline = less_its_sides(cell);
    if !CORNERS.contains(&outline.len()) {
        return None;
    }
    for k in 0..outline.len() {
        let after = (k + 1) % outline.len();
        let side = |points: &dyn Fn(usize) -> Point| Vector {
            x: points(after).x - points(k).x,
            y: points(after).y - points(k).y,
        };
        let (own, of_cell) = (side(&|k| outline[k]), side(&|k| cell[k].at));
        if own.length() < LEAST_SIDE || own.dot(of_cell) <= 0.0 {
            return None;
        }
        let next = outline[(k + 2) % outline.len()];
        let next = Vector {
            x: next.x - outline[after].x,
            y: next.y - outline[after].y,
        };
        let bend = atan2_deg(own.cross(next), own.dot(next));
        if bend.abs() > 180.0 - LEAST_ANGLE {
            return None;
        }
    }
    let region = Region::from_ring(Ring::new(outline.clone()).ok()?);
    let disc = *poles_of_inaccessibility(&region, 0.1, 1).first()?;
    (disc.radius >= LEAST_RADIUS).then_some(outline)
}

/// Whether all parts keep a kerf and both allowances from each other; so they do by
/// construction but where a corner of a cell reaches round another.
fn all_apart(parts: &[Vec<Point>]) -> bool {
    let regions: Vec<PreparedRegion> = parts
        .iter()
        .filter_map(|points| Ring::new(points.clone()).ok())
        .map(|ring| PreparedRegion::new(Region::from_ring(ring)))
        .collect();
    let needed = SAWN_KERF + 2.0 * SAWN_ALLOWANCE + SPARE;
    regions.len() == parts.len()
        && (0..regions.len())
            .all(|k| (0..k).all(|j| separation(&regions[j], &regions[k]).amount >= needed))
}

/// The corners of a part in its own frame, in hundredths of a millimetre, and the pose that lays it where it was cut.
fn in_own_frame(outline: &[Point], still: Pose) -> (Vec<[Length; 2]>, Pose) {
    let own: Vec<(f64, f64)> = outline
        .iter()
        .map(|p| still.inverse_apply(*p))
        .map(|p| (round(p.x, 100.0), round(p.y, 100.0)))
        .collect();
    let least = |axis: fn(&(f64, f64)) -> f64| own.iter().map(axis).fold(f64::INFINITY, f64::min);
    let (x, y) = (least(|p| p.0), least(|p| p.1));
    let points = own
        .iter()
        .map(|p| [p.0 - x, p.1 - y].map(|value| Length::Mm(round(value, 100.0))))
        .collect();
    let corner = still.apply(Point { x, y });
    let at = Pose {
        x: round(corner.x, 1000.0),
        y: round(corner.y, 1000.0),
        ..still
    };
    (points, at)
}

/// One or two knots that keep their margin from the sides of a waste cell, where they find room.
fn knots(chance: &mut Chance, cell: &[Corner]) -> Vec<Zone> {
    let Ok(ring) = Ring::new(cell.iter().map(|c| c.at).collect()) else {
        return Vec::new();
    };
    let wanted = 1 + chance.below(2);
    let mut zones = Vec::new();
    for disc in poles_of_inaccessibility(&Region::from_ring(ring.clone()), 0.9, wanted) {
        // Knots are drawn outwards by up to 0.05 mm.
        let room = disc.radius - KNOT_MARGIN - 1.0;
        let half = round(room.min(chance.between(8.0, 30.0)), 2.0);
        if half < 4.0 {
            continue;
        }
        let centre = Point {
            x: round(disc.centre.x, 10.0),
            y: round(disc.centre.y, 10.0),
        };
        let reach = chance.between(1.0, 1.8);
        let long = round(half * reach, 2.0);
        let long = if keeps_clear(&ring, centre, long, half) {
            long
        } else {
            half
        };
        zones.push(Zone {
            margin: mm(KNOT_MARGIN),
            note: "knot".into(),
            ..spot(centre.x, centre.y, 2.0 * long, 2.0 * half, true)
        });
    }
    zones
}

/// Whether an oval keeps the knots' margin and a little more from a ring round it.
fn keeps_clear(ring: &Ring, centre: Point, long: f64, half: f64) -> bool {
    (0..48).all(|k| {
        let (sine, cosine) = heartside_geometry::math::sin_cos_deg(7.5 * f64::from(k));
        let p = Point {
            x: centre.x + long * cosine,
            y: centre.y + half * sine,
        };
        ring.locate(p) == heartside_geometry::Location::Inside
            && ring
                .edges()
                .all(|(a, b)| p.distance_to_segment(a, b) >= KNOT_MARGIN + 0.5)
    })
}

#[cfg(test)]
mod tests;
