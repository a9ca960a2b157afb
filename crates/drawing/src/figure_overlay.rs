//! What is known of the figure of a face, quietly over its wood: strokes along it, longer where it is stronger; a
//! dashed line where sapwood begins; plus and minus where the maker wants it seen or not.

use heartside_geometry::{Bounds, Point, math};
use heartside_timber::document::{ZoneFace, ZoneKind};
use heartside_timber::job::{Board, FigureLayer, Job};

use crate::pen::Pen;
use crate::svg::Origin;

/// A level of strength whose stroke is as long as its cell; weaker ones are shorter by their share.
const WHOLE_STROKE: f64 = 100.0;
/// Weaker figure gets no stroke.
const LEAST_STRENGTH: u8 = 8;
/// As much of a cell as a stroke takes at most.
const STROKE: f64 = 0.85;
/// From here on a cell is sapwood rather than heartwood.
const SAPWOOD: u8 = 128;
/// Apart of the signs of what is wanted, in millimetres.
const SIGNS_APART: f64 = 40.0;
/// Half the length of such a sign, in millimetres.
const SIGN: f64 = 7.0;

/// Draws it in the frame of the face that is seen. O(cells).
pub(crate) fn draw(pen: &mut Pen, job: &Job, board: &Board, origin: Origin) {
    let root = board
        .from
        .as_ref()
        .map_or(&board.id, |from| &from.root.board);
    let is_down = origin.turned_over;
    let maps = job
        .figure
        .iter()
        .filter(|map| map.is_down == is_down && (map.board == board.id || map.board == *root));
    let face = origin.of_face();
    pen.open("", "hs-overlay", "", " opacity=\"0.8\"");
    let mirrored = |p: Point| Point::new(p.x, if is_down { -p.y } else { p.y });
    for map in maps {
        let layer = |name: &str| map.layers.iter().find(|layer| layer.name == name);
        if let (Some(strength), Some(direction)) = (layer("strength"), layer("direction")) {
            let strokes = strokes(strength, direction, |p| board.outline.contains(mirrored(p)));
            pen.path("hs-ink", &face.lines(&strokes), 0.16, &[]);
        }
        if let Some(sapwood) = layer("sapwood") {
            let edges = edges_of(sapwood, |p| board.outline.contains(mirrored(p)));
            pen.path("hs-ink", &face.lines(&edges), 0.3, &[0.9, 0.9]);
        }
    }
    let here = |zone: ZoneFace| match zone {
        ZoneFace::Through => true,
        ZoneFace::Up => !is_down,
        ZoneFace::Down => is_down,
    };
    let zones = board.zones.iter().filter(|z| z.kind == ZoneKind::Figure);
    for zone in zones.filter(|z| here(z.face) && z.weight != 0.0) {
        let signs = signs(zone.shape.bounds(), zone.weight > 0.0, |p| {
            zone.shape.contains(p)
        });
        pen.path("hs-zone", &origin.lines(&signs), 0.3, &[]);
    }
    pen.close();
}

fn middle(layer: &FigureLayer, at: usize) -> Point {
    let columns = layer.columns.max(1);
    let along = |cells: usize| (cells as f64 + 0.5) * layer.cell;
    Point::new(
        layer.origin[0] + along(at % columns),
        layer.origin[1] + along(at / columns),
    )
}

/// A stroke in each cell whose strength and direction are known.
fn strokes(
    strength: &FigureLayer,
    direction: &FigureLayer,
    holds: impl Fn(Point) -> bool,
) -> Vec<(Point, Point)> {
    let cells = strength
        .levels
        .iter()
        .zip(direction.levels.iter())
        .enumerate();
    let known = cells.filter(|(_, (strength, way))| **strength >= LEAST_STRENGTH && **way > 0);
    let stroke = |(at, (strength, way)): (usize, (&u8, &u8))| {
        let place = middle(direction, at);
        let half = (f64::from(*strength) / WHOLE_STROKE).min(1.0) * 0.5 * STROKE * direction.cell;
        let (sine, cosine) = math::sin_cos_deg((f64::from(*way) - 128.0) * 90.0 / 127.0);
        let off = Point::new(half * cosine, half * sine);
        holds(place).then(|| {
            let (a, b) = (
                Point::new(place.x - off.x, place.y - off.y),
                Point::new(place.x + off.x, place.y + off.y),
            );
            (a, b)
        })
    };
    known.filter_map(stroke).collect()
}

/// The sides of cells between heartwood and sapwood, those along one line as one.
fn edges_of(layer: &FigureLayer, holds: impl Fn(Point) -> bool) -> Vec<(Point, Point)> {
    let columns = layer.columns.max(1);
    let rows = layer.levels.len() / columns;
    let is_sap = |column: usize, row: usize| {
        let level = layer.levels[row * columns + column];
        (level > 0).then_some(level >= SAPWOOD)
    };
    let parts = |one: (usize, usize), other: (usize, usize)| {
        let (a, b) = (is_sap(one.0, one.1), is_sap(other.0, other.1));
        let place = middle(layer, one.1 * columns + one.0);
        matches!((a, b), (Some(a), Some(b)) if a != b) && holds(place)
    };
    let corner = |column: usize, row: usize| {
        Point::new(
            layer.origin[0] + column as f64 * layer.cell,
            layer.origin[1] + row as f64 * layer.cell,
        )
    };
    let mut edges = Vec::new();
    for row in 1..rows {
        let mut from = None;
        for column in 0..=columns {
            let goes_on = column < columns && parts((column, row - 1), (column, row));
            match (goes_on, from) {
                (true, None) => from = Some(column),
                (false, Some(start)) => {
                    edges.push((corner(start, row), corner(column, row)));
                    from = None;
                }
                _ => {}
            }
        }
    }
    for column in 1..columns {
        let mut from = None;
        for row in 0..=rows {
            let goes_on = row < rows && parts((column - 1, row), (column, row));
            match (goes_on, from) {
                (true, None) => from = Some(row),
                (false, Some(start)) => {
                    edges.push((corner(column, start), corner(column, row)));
                    from = None;
                }
                _ => {}
            }
        }
    }
    edges
}

/// Plus where it is wanted, minus where not, on a lattice of the board.
fn signs(within: Bounds, wanted: bool, holds: impl Fn(Point) -> bool) -> Vec<(Point, Point)> {
    let first = |v: f64| (v / SIGNS_APART).floor();
    let count = |from: f64, to: f64| (((to - from) / SIGNS_APART).ceil() as usize + 1).min(500);
    let (columns, rows) = (
        count(within.min.x, within.max.x),
        count(within.min.y, within.max.y),
    );
    let mut lines = Vec::new();
    for row in 0..rows {
        for column in 0..columns {
            let at = |from: f64, k: usize| (first(from) + k as f64 + 0.5) * SIGNS_APART;
            let place = Point::new(at(within.min.x, column), at(within.min.y, row));
            if holds(place) {
                let ends = |x: f64, y: f64| {
                    (
                        Point::new(place.x - x, place.y - y),
                        Point::new(place.x + x, place.y + y),
                    )
                };
                lines.push(ends(SIGN, 0.0));
                if wanted {
                    lines.push(ends(0.0, SIGN));
                }
            }
        }
    }
    lines
}
