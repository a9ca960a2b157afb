//! A board in a picture: between an upper and a lower line, column by column.

use heartside_geometry::{Point, Ring};

use super::colours::Colours;

/// Where the board lies: rows from `top` down to `bottom` in each column, none where they meet.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Ribbon {
    pub(crate) top: Vec<f32>,
    pub(crate) bottom: Vec<f32>,
}

impl Ribbon {
    /// The board as its outline says.
    pub(crate) fn of(outline: &Ring, colours: &Colours) -> Option<Ribbon> {
        let mut ribbon = Ribbon {
            top: vec![0.0; colours.width],
            bottom: vec![0.0; colours.width],
        };
        let edge = colours.height as f64;
        for column in 0..colours.width {
            let x = colours.place(column as f64 + 0.5, 0.0).x;
            if let Some((low, high)) = outline.span_at(x) {
                let row = |y| colours.column_row(Point::new(x, y)).1.clamp(0.0, edge) as f32;
                (ribbon.top[column], ribbon.bottom[column]) = (row(high), row(low));
            }
        }
        ribbon.columns().map(|_| ribbon)
    }

    /// The rows of the board in a column, `margin` pixels within it: from, to (not included).
    pub(crate) fn rows(&self, column: usize, margin: f32) -> (usize, usize) {
        let from = (self.top[column] + margin).max(0.0).round() as usize;
        let to = (self.bottom[column] - margin).max(0.0).round() as usize;
        (from, to.max(from))
    }

    /// The longest run of columns in which there is board: first, last.
    pub(crate) fn columns(&self) -> Option<(usize, usize)> {
        let (mut best, mut start) = (None, None);
        for column in 0..=self.top.len() {
            let there = column < self.top.len() && self.bottom[column] - self.top[column] >= 3.0;
            match (there, start) {
                (true, None) => start = Some(column),
                (false, Some(first)) => {
                    if best.is_none_or(|(a, b): (usize, usize)| column - 1 - first > b - a) {
                        best = Some((first, column - 1));
                    }
                    start = None;
                }
                _ => {}
            }
        }
        best
    }

    /// Whether the middle of a pixel lies in the board.
    pub(crate) fn holds(&self, column: usize, row: usize) -> bool {
        let row = row as f32 + 0.5;
        self.top[column] <= row && row < self.bottom[column]
    }

    /// The outline, counter-clockwise in the board's frame, its corners left out where that moves a line
    /// by less than `tolerance` millimetres.
    pub(crate) fn outline(&self, colours: &Colours, tolerance: f64) -> Option<Ring> {
        let (first, last) = self.columns()?;
        let lower = chain(first, last, colours, &self.bottom);
        let mut upper = chain(first, last, colours, &self.top);
        upper.reverse();
        let all = |lower: Vec<Point>, upper: Vec<Point>| Ring::new([lower, upper].concat()).ok();
        all(simpler(&lower, tolerance), simpler(&upper, tolerance)).or_else(|| all(lower, upper))
    }
}

/// One long side, from end to end; the outer columns reach to their outer sides.
fn chain(first: usize, last: usize, colours: &Colours, rows: &[f32]) -> Vec<Point> {
    let at = |column: f64, row: f32| colours.place(column, f64::from(row));
    let mut points = vec![at(first as f64, rows[first])];
    points.extend((first..=last).map(|column| at(column as f64 + 0.5, rows[column])));
    points.push(at(last as f64 + 1.0, rows[last]));
    points
}

/// A line with fewer corners, each left out one within `tolerance` of it (Douglas & Peucker 1973).
pub(crate) fn simpler(line: &[Point], tolerance: f64) -> Vec<Point> {
    let Some(last) = line.len().checked_sub(1) else {
        return Vec::new();
    };
    let mut kept = vec![false; line.len()];
    kept[0] = true;
    kept[last] = true;
    let mut open = vec![(0, last)];
    while let Some((from, to)) = open.pop() {
        let mut furthest = (from, tolerance);
        for at in from + 1..to {
            let distance = line[at].distance_to_segment(line[from], line[to]);
            if distance > furthest.1 {
                furthest = (at, distance);
            }
        }
        if furthest.0 > from {
            kept[furthest.0] = true;
            open.push((from, furthest.0));
            open.push((furthest.0, to));
        }
    }
    line.iter()
        .zip(kept)
        .filter_map(|(point, kept)| kept.then_some(*point))
        .collect()
}
