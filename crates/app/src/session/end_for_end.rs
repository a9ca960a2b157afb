//! Whether a photograph of a piece was taken in end for end: its light is compared with that of the board.

use heartside_geometry::{Bounds, Point};
use heartside_timber::document::FigureMap;
use heartside_timber::job::{FigureLayer, Job};

/// So much more alike the other way round, and so alike at least, it is asked; a correlation is from -1 to 1.
const PLAINLY: f64 = 0.25;
const ALIKE: f64 = 0.4;

/// How far a photograph may be off, in millimetres, and the steps in which that is tried.
const OFF: i32 = 2;
const STEP: f64 = 4.0;

/// Every so many cells are compared at most.
const CELLS: usize = 1500;

/// True where the light of a piece that reaches so far, in the frame of the face, fits that of the board plainly better
/// turned by half a turn. False where either is not known.
pub(super) fn is_end_for_end(
    job: &Job,
    (root, is_down): (&str, bool),
    piece: Bounds,
    rows: &[FigureMap],
) -> bool {
    let mut maps = job.figure.iter();
    let whole = maps.find(|map| map.board == root && map.is_down == is_down);
    let mut layers = whole.into_iter().flat_map(|map| &map.layers);
    let Some(whole) = layers.find(|layer| layer.name == "light") else {
        return false;
    };
    let Some((row, levels)) = rows
        .iter()
        .find_map(|row| Some((row, row.layers.get("light")?)))
    else {
        return false;
    };
    let columns = (row.columns as usize).max(1);
    let known = levels.0.iter().enumerate().filter(|(_, level)| **level > 0);
    let cells: Vec<(Point, f64)> = known
        .map(|(at, level)| {
            let along = |cells: usize| (cells as f64 + 0.5) * row.cell;
            let x = row.origin[0] + along(at % columns);
            let y = row.origin[1] + along(at / columns);
            (Point::new(x, y), f64::from(*level))
        })
        .collect();
    let every = cells.len().div_ceil(CELLS).max(1);
    let middle = piece.centre();
    let turned = |p: Point| Point::new(2.0 * middle.x - p.x, 2.0 * middle.y - p.y);
    let alike = |turn: bool| {
        let offs = (-OFF..=OFF).flat_map(|i| (-OFF..=OFF).map(move |j| (i, j)));
        let all = offs.map(|(i, j)| {
            let pairs = cells.iter().step_by(every).filter_map(|(p, level)| {
                let p = if turn { turned(*p) } else { *p };
                let p = Point::new(p.x + STEP * f64::from(i), p.y + STEP * f64::from(j));
                Some((*level, level_at(whole, p)?))
            });
            correlated(&pairs.collect::<Vec<_>>())
        });
        all.fold(-1.0, f64::max)
    };
    let other = alike(true);
    other > ALIKE && other > alike(false) + PLAINLY
}

fn level_at(layer: &FigureLayer, p: Point) -> Option<f64> {
    let [x, y] = [p.x - layer.origin[0], p.y - layer.origin[1]].map(|v| (v / layer.cell).floor());
    let columns = layer.columns as f64;
    let is_within = x >= 0.0 && y >= 0.0 && x < columns;
    let at = is_within.then_some((y * columns + x) as usize)?;
    let level = *layer.levels.get(at)?;
    (level > 0).then(|| f64::from(level))
}

/// Pearson's correlation; 0 of too few, and of what does not vary.
fn correlated(pairs: &[(f64, f64)]) -> f64 {
    let count = pairs.len() as f64;
    if count < 50.0 {
        return 0.0;
    }
    let mean = |of: fn(&(f64, f64)) -> f64| pairs.iter().map(of).sum::<f64>() / count;
    let (a, b) = (mean(|p| p.0), mean(|p| p.1));
    let (mut both, mut one, mut other) = (0.0, 0.0, 0.0);
    for (x, y) in pairs {
        both += (x - a) * (y - b);
        one += (x - a) * (x - a);
        other += (y - b) * (y - b);
    }
    let scale = (one * other).sqrt();
    if scale > 0.0 { both / scale } else { 0.0 }
}
