//! Outlines of boards: by tape from a chalk line, or corner by corner.

use heartside_geometry::Arrange;
use heartside_geometry::{Point, Region, Ring, RingFault};

use super::reading::{Reading, Thing, Wanted};
use crate::defaults::MOST_CORNERS;
use crate::diagnostic::Place;
use crate::document::{BoardOutline, EdgeKind, Length, Station};
use crate::job::SideState;

/// A sound outline and the state of each of its sides, those of holes after those of the outer ring.
pub(super) struct Outline {
    pub(super) region: Region,
    pub(super) sides: Vec<SideState>,
}

pub(super) fn outline(
    source: &BoardOutline,
    thing: &Thing,
    reading: &mut Reading<'_>,
) -> Option<Outline> {
    match source {
        BoardOutline::Tape {
            length,
            stations,
            left,
            right,
            start,
            end,
        } => {
            let states = TapeSides {
                left: *left,
                right: *right,
                start: *start,
                end: *end,
            };
            by_tape(length, stations, states, thing, reading)
        }
        BoardOutline::Polygon {
            points,
            sides,
            holes,
            hole_sides,
        } => {
            let mut outline = by_corners(points, sides, holes, thing, reading)?;
            for (hole, ring) in outline.region.holes().iter().enumerate() {
                let said = hole_sides.get(hole).map_or(&[][..], Vec::as_slice);
                let entered = holes.get(hole).filter(|_| !said.is_empty());
                let field = format!("outline.holes[{hole}]");
                let entered = entered.and_then(|hole| corners(hole, &field, thing, reading));
                outline
                    .sides
                    .extend(sides_of_hole(ring, &entered.unwrap_or_default(), said));
            }
            Some(outline)
        }
    }
}

struct TapeSides {
    left: EdgeKind,
    right: EdgeKind,
    start: EdgeKind,
    end: EdgeKind,
}

/// Widths at one place, in mm.
struct Widths {
    row: usize,
    at: f64,
    left: f64,
    right: f64,
}

fn by_tape(
    length: &Length,
    stations: &[Station],
    states: TapeSides,
    thing: &Thing,
    reading: &mut Reading<'_>,
) -> Option<Outline> {
    let before = reading.errors();
    let length = reading.length(
        thing.field("outline.length"),
        "length",
        length,
        Wanted::SIZE,
    );
    if too_many(stations.len(), thing.field("outline.stations"), reading) {
        return None;
    }
    let mut widths = Vec::with_capacity(stations.len());
    for (row, station) in stations.iter().enumerate() {
        let number = row + 1;
        let mut read = |field: &str, what: &str, length: &Length, wanted| {
            let place = thing.field(&format!("outline.stations[{row}].{field}"));
            reading.length(place, &format!("{what} {number}"), length, wanted)
        };
        let at = read("at", "place of measurement", &station.at, Wanted::PLACE);
        let left = read(
            "left",
            "width left of the line at measurement",
            &station.left,
            Wanted::PLACE,
        );
        let right = read(
            "right",
            "width right of the line at measurement",
            &station.right,
            Wanted::PLACE,
        );
        if let (Some(at), Some(left), Some(right)) = (at, left, right) {
            widths.push(Widths {
                row,
                at,
                left,
                right,
            });
        }
    }
    if stations.is_empty() {
        reading.error(
            "stations-missing",
            thing.field("outline.stations"),
            "no width has been measured",
            "measure left and right of the chalk line at one place at least",
        );
    }
    let length = length?;
    check_stations(&widths, length, thing, reading);
    if reading.errors() > before {
        return None;
    }
    widths.arrange_by(|a, b| a.at.total_cmp(&b.at));
    let (points, kinds) = walk_round(&widths, length, &states);
    from_corners(points, kinds, Vec::new(), thing, "outline", reading)
}

fn check_stations(widths: &[Widths], length: f64, thing: &Thing, reading: &mut Reading<'_>) {
    let field = |row: usize, name: &str| thing.field(&format!("outline.stations[{row}].{name}"));
    for station in widths {
        let number = station.row + 1;
        if !(0.0..=length).contains(&station.at) {
            reading.error(
                "station-off-board",
                field(station.row, "at"),
                format!("measurement {number} lies beyond the ends of the board"),
                "measure from the start end; nothing lies beyond the length",
            );
        }
        if station.left + station.right <= 0.0 {
            reading.error(
                "station-without-width",
                field(station.row, "left"),
                format!("at measurement {number} the board has no width"),
                "left and right together must be more than 0",
            );
        }
        let twin = widths
            .iter()
            .find(|other| other.row < station.row && other.at == station.at);
        if let Some(twin) = twin {
            reading.error(
                "station-twice",
                field(station.row, "at"),
                format!(
                    "measurements {} and {number} were made at the same place",
                    twin.row + 1
                ),
                "remove one of them, or move it",
            );
        }
    }
}

/// Counter-clockwise from the start end: along the right edge, up the far end, back along
/// the left edge.
fn walk_round(widths: &[Widths], length: f64, states: &TapeSides) -> (Vec<Point>, Vec<EdgeKind>) {
    let mut chain: Vec<(f64, f64, f64)> = widths.iter().map(|w| (w.at, w.left, w.right)).collect();
    if let Some(first) = chain.first().copied().filter(|first| first.0 > 0.0) {
        chain.insert(0, (0.0, first.1, first.2));
    }
    if let Some(last) = chain.last().copied().filter(|last| last.0 < length) {
        chain.push((length, last.1, last.2));
    }
    let mut points = Vec::with_capacity(2 * chain.len());
    let mut kinds = Vec::with_capacity(2 * chain.len());
    for (k, (x, _, right)) in chain.iter().enumerate() {
        points.push(Point { x: *x, y: -right });
        kinds.push(if k + 1 == chain.len() {
            states.end
        } else {
            states.right
        });
    }
    for (k, (x, left, _)) in chain.iter().enumerate().rev() {
        points.push(Point { x: *x, y: *left });
        kinds.push(if k == 0 { states.start } else { states.left });
    }
    (points, kinds)
}

fn by_corners(
    points: &[[Length; 2]],
    sides: &[EdgeKind],
    holes: &[Vec<[Length; 2]>],
    thing: &Thing,
    reading: &mut Reading<'_>,
) -> Option<Outline> {
    let corners = corners(points, "outline.points", thing, reading);
    let kinds = (0..points.len())
        .map(|k| sides.get(k).copied().unwrap_or_default())
        .collect();
    if sides.len() > points.len() {
        reading.warn(
            "sides-too-many",
            thing.field("outline.sides"),
            "there are more sides described than the outline has",
            "remove the last ones",
        );
    }
    let rings = hole_rings(holes, "outline.holes", thing, reading);
    from_corners(corners?, kinds, rings?, thing, "outline", reading)
}

fn from_corners(
    points: Vec<Point>,
    kinds: Vec<EdgeKind>,
    holes: Vec<Ring>,
    thing: &Thing,
    field: &str,
    reading: &mut Reading<'_>,
) -> Option<Outline> {
    let (points, kinds) = counter_clockwise(points, kinds);
    let ring = ring(points.clone(), thing.field(field), "outline", reading)?;
    // A ring that was rearranged would not fit the list of sides; raw is the safe side.
    let same = ring.points() == points.as_slice();
    let sides = ring
        .edges()
        .enumerate()
        .map(|(k, (a, b))| SideState {
            kind: if same {
                kinds.get(k).copied().unwrap_or_default()
            } else {
                EdgeKind::Raw
            },
            is_end: (b.y - a.y).abs() > (b.x - a.x).abs(),
        })
        .collect();
    let region = region(ring, holes, thing.field(field), reading)?;
    Some(Outline { region, sides })
}

/// Drops corners that repeat the one before, and turns the walk counter-clockwise; each
/// side keeps its state.
fn counter_clockwise(points: Vec<Point>, kinds: Vec<EdgeKind>) -> (Vec<Point>, Vec<EdgeKind>) {
    let n = points.len();
    let mut kept: Vec<(Point, EdgeKind)> = (0..n)
        .filter(|k| points[*k] != points[(k + 1) % n])
        .map(|k| (points[k], kinds.get(k).copied().unwrap_or_default()))
        .collect();
    let m = kept.len();
    let doubled_area: f64 = (0..m)
        .map(|k| {
            let (a, b) = (kept[k].0, kept[(k + 1) % m].0);
            a.x * b.y - b.x * a.y
        })
        .sum();
    if doubled_area < 0.0 {
        // Side k ran from corner k; backwards it runs to it.
        let states: Vec<EdgeKind> = kept.iter().map(|(_, kind)| *kind).collect();
        kept.reverse();
        for (j, corner) in kept.iter_mut().enumerate() {
            corner.1 = states[(2 * m - 2 - j) % m];
        }
    }
    kept.into_iter().unzip()
}

/// Reads the corners of one ring, or nothing and a note for each faulty one.
pub(super) fn corners(
    points: &[[Length; 2]],
    field: &str,
    thing: &Thing,
    reading: &mut Reading<'_>,
) -> Option<Vec<Point>> {
    if too_many(points.len(), thing.field(field), reading) {
        return None;
    }
    let mut corners = Vec::with_capacity(points.len());
    for (row, [x, y]) in points.iter().enumerate() {
        let number = row + 1;
        let mut read = |axis: usize, what: &str, length: &Length| {
            let place = thing.field(&format!("{field}[{row}][{axis}]"));
            reading.length(
                place,
                &format!("{what} of corner {number}"),
                length,
                Wanted::PLACE,
            )
        };
        let x = read(0, "distance along", x);
        let y = read(1, "distance across", y);
        if let (Some(x), Some(y)) = (x, y) {
            corners.push(Point { x, y });
        }
    }
    (corners.len() == points.len()).then_some(corners)
}

/// The states of a hole's sides, in the order of its ring. A hole is raw unless said otherwise: a
/// knot fell out, or a branch was there.
fn sides_of_hole(ring: &Ring, entered: &[Point], said: &[EdgeKind]) -> Vec<SideState> {
    // The ring may begin elsewhere and run the other way than it was entered: its corners are found.
    let joins = |k: usize, a: Point, b: Point| {
        let ends = (entered[k], entered[(k + 1) % entered.len()]);
        ends == (a, b) || ends == (b, a)
    };
    ring.edges()
        .map(|(a, b)| {
            let side = (0..entered.len()).find(|k| joins(*k, a, b));
            SideState {
                kind: side.and_then(|k| said.get(k)).copied().unwrap_or_default(),
                is_end: (b.y - a.y).abs() > (b.x - a.x).abs(),
            }
        })
        .collect()
}

/// Reads all holes, or nothing if one of them is faulty.
pub(super) fn hole_rings(
    holes: &[Vec<[Length; 2]>],
    field: &str,
    thing: &Thing,
    reading: &mut Reading<'_>,
) -> Option<Vec<Ring>> {
    let mut rings = Vec::with_capacity(holes.len());
    if too_many(holes.len(), thing.field(field), reading) {
        return None;
    }
    for (row, hole) in holes.iter().enumerate() {
        let field = format!("{field}[{row}]");
        let ring = corners(hole, &field, thing, reading).and_then(|c| {
            ring(
                c,
                thing.field(&field),
                &format!("hole {}", row + 1),
                reading,
            )
        });
        rings.extend(ring);
    }
    (rings.len() == holes.len()).then_some(rings)
}

/// Makes a ring, or notes every fault of it.
pub(super) fn ring(
    points: Vec<Point>,
    place: Place,
    what: &str,
    reading: &mut Reading<'_>,
) -> Option<Ring> {
    match Ring::new(points) {
        Ok(ring) => Some(ring),
        Err(faults) => {
            // A scribble crosses itself a hundred times; the first few say enough.
            for fault in faults.0.iter().take(5) {
                let (code, hint) = words_for(fault);
                reading.error(code, place.clone(), format!("{what}: {fault}"), hint);
            }
            None
        }
    }
}

fn words_for(fault: &RingFault) -> (&'static str, &'static str) {
    match fault {
        RingFault::NotFinite { .. } => ("outline-not-a-number", "measure that corner again"),
        RingFault::TooFewPoints { .. } => ("outline-too-few-corners", "add corners"),
        RingFault::ZeroArea => ("outline-without-area", "the corners must enclose some wood"),
        RingFault::Crossing { .. } => (
            "outline-crosses-itself",
            "put the corners in the order in which they follow each other",
        ),
        RingFault::Overlap { .. } => (
            "outline-runs-over-itself",
            "remove the corner that leads back along the same line",
        ),
        _ => ("outline-not-sound", "check the corners"),
    }
}

/// Makes an area of a ring and its holes, or notes every fault of the holes.
pub(super) fn region(
    outer: Ring,
    holes: Vec<Ring>,
    place: Place,
    reading: &mut Reading<'_>,
) -> Option<Region> {
    match Region::new(outer, holes) {
        Ok(region) => Some(region),
        Err(faults) => {
            for fault in faults.0.iter().take(5) {
                let hint = "move the hole inside the outline, away from the others";
                reading.error("outline-hole", place.clone(), fault.to_string(), hint);
            }
            None
        }
    }
}

fn too_many(count: usize, place: Place, reading: &mut Reading<'_>) -> bool {
    if count > MOST_CORNERS {
        let message = format!("{count} entries are more than the {MOST_CORNERS} that can be used");
        reading.error(
            "corners-too-many",
            place,
            message,
            "draw the outline with fewer corners",
        );
    }
    count > MOST_CORNERS
}

/// The height at x of the line through two points that are not above each other.
pub(super) fn height_at(left: Point, right: Point, x: f64) -> f64 {
    left.y + (right.y - left.y) * ((x - left.x) / (right.x - left.x))
}
