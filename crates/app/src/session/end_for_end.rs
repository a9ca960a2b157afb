//! Whether a photograph of a piece was taken in end for end: its light is compared with that of the board.

use heartside_geometry::{Bounds, Point};
use heartside_timber::document::FigureMap;
use heartside_timber::job::Job;

use crate::figure::likeness::correlation;
use crate::figure::maps::layer_of;

/// So much more alike the other way round, and so alike at least, it is asked; a correlation is from -1 to 1.
const PLAINLY: f64 = 0.25;
const ALIKE: f64 = 0.4;

/// How far a photograph may be off, in millimetres, and the steps in which that is tried.
const OFF: i32 = 2;
const STEP: f64 = 4.0;

/// So many cells are compared at most, and so many pairs of them at least.
const CELLS: usize = 1500;
const LEAST_PAIRS: usize = 50;

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
    let Some(whole) = layers.find(|layer| layer.name == "light").map(layer_of) else {
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
                let there = whole.in_cell(p);
                (there > 0).then(|| (*level, f64::from(there)))
            });
            let pairs: Vec<(f64, f64)> = pairs.collect();
            let is_enough = pairs.len() >= LEAST_PAIRS;
            let found = is_enough.then(|| correlation(&pairs));
            found.flatten().unwrap_or(0.0)
        });
        all.fold(-1.0, f64::max)
    };
    let other = alike(true);
    other > ALIKE && other > alike(false) + PLAINLY
}
