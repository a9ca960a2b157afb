//! The direction of the grain.
//!
//! The structure tensor (Bigun & Granlund 1987; Kass & Witkin 1987) of the photograph's lightness, summed
//! over square cells and weighted by itself: strong lines say more than faint ones. Gradients are those of
//! Scharr 2000, whose direction is true to a fraction of a degree for lines of three pixels and more.

use heartside_geometry::{Point, math};

use super::colours::Colours;
use super::ribbon::{Ribbon, simpler};
use super::seen::{Oval, Seen, share};
use crate::TruePicture;

/// Side of a cell in millimetres, as where bent grain is followed in a plan.
const CELL: f64 = 20.0;
/// Distance of the lines across the board, in millimetres.
const APART: f64 = 150.0;
/// Kept from the outline, in millimetres: an edge is no grain.
const MARGIN: f64 = 5.0;
/// Side of the pixels that gradients are taken on, in millimetres: coarser ones lose fine grain.
const FINE: f64 = 0.5;

/// The direction of the grain on square cells.
#[derive(Debug, Clone, PartialEq)]
pub struct GrainField {
    /// The upper left corner of the first cell, in millimetres of the board's frame.
    pub corner: Point,
    /// Side of a cell in millimetres.
    pub cell: f64,
    /// Cells in a row; rows run from the top down.
    pub columns: usize,
    /// For each cell the direction in degrees from the board's length, above -90 and at most 90, and
    /// how clear it is (0 to 1); none outside the board.
    pub cells: Vec<Option<(f64, f64)>>,
    /// Lines along the grain, about every 150 mm across the board, for the maker to see and to take.
    pub lines: Vec<Vec<Point>>,
}

impl GrainField {
    /// The direction at a place in degrees, between the middles of cells; none outside the board.
    pub fn direction_at(&self, place: Point) -> Option<f64> {
        let (x, y) = self.column_row(place);
        let (mut cosine, mut sine) = (0.0, 0.0);
        for (column, share_x) in [
            (x.floor(), 1.0 - x + x.floor()),
            (x.floor() + 1.0, x - x.floor()),
        ] {
            for (row, share_y) in [
                (y.floor(), 1.0 - y + y.floor()),
                (y.floor() + 1.0, y - y.floor()),
            ] {
                if let Some((direction, clear)) = self.cell_at(column, row) {
                    let (s, c) = math::sin_cos_deg(2.0 * direction);
                    let weight = share_x * share_y * (0.05 + clear);
                    cosine += weight * c;
                    sine += weight * s;
                }
            }
        }
        (cosine != 0.0 || sine != 0.0).then(|| 0.5 * math::atan2_deg(sine, cosine))
    }

    /// Column and row, where whole numbers are middles of cells.
    fn column_row(&self, place: Point) -> (f64, f64) {
        (
            (place.x - self.corner.x) / self.cell - 0.5,
            (self.corner.y - place.y) / self.cell - 0.5,
        )
    }

    fn cell_at(&self, column: f64, row: f64) -> Option<(f64, f64)> {
        if column < 0.0 || row < 0.0 || column >= self.columns as f64 {
            return None;
        }
        *self
            .cells
            .get(row as usize * self.columns + column as usize)?
    }
}

/// The gradients of one cell: sums of x², y² and xy (y up), and their number.
type Tensor = [f64; 3];

/// Gathers gradients strip by strip.
#[derive(Debug, Clone)]
pub(crate) struct GrainSearch {
    factor: usize,
    row: usize,
    /// Fine pixels in a cell.
    cell: usize,
    columns: usize,
    tensors: Vec<Tensor>,
    lines: [Vec<f32>; 3],
}

impl GrainSearch {
    pub(crate) fn new(photo: &TruePicture) -> GrainSearch {
        GrainSearch::with_pixel(photo, FINE)
    }

    /// As [`GrainSearch::new`], by gradients on pixels of about so many millimetres.
    pub(crate) fn with_pixel(photo: &TruePicture, wished: f64) -> GrainSearch {
        let factor = ((wished / photo.pixel).round() as usize).max(1);
        let fine = photo.pixel * factor as f64;
        let cell = ((CELL / fine).round() as usize).max(1);
        let (width, height) = size(photo, factor);
        let columns = width.div_ceil(cell);
        GrainSearch {
            factor,
            row: 0,
            cell,
            columns,
            tensors: vec![[0.0; 3]; columns * height.div_ceil(cell)],
            lines: [const { Vec::new() }; 3],
        }
    }

    /// Takes in up to `rows` more rows; true once all are.
    pub(crate) fn step(
        &mut self,
        photo: &TruePicture,
        colours: &Colours,
        ribbon: &Ribbon,
        rows: usize,
    ) -> bool {
        let (width, height) = size(photo, self.factor);
        if width < 3 || height < 3 {
            return true;
        }
        let scale = photo.pixel * self.factor as f64 / colours.pixel;
        let margin = (MARGIN / colours.pixel) as f32;
        for _ in 0..rows {
            if self.row >= height {
                return true;
            }
            self.lines.rotate_left(1);
            let line = std::mem::take(&mut self.lines[2]);
            self.lines[2] = read(photo, self.factor, self.row, line);
            self.row += 1;
            if self.row < 3 {
                continue;
            }
            // The middle one of the three rows.
            let row = self.row - 2;
            let place = ((row as f64 + 0.5) * scale) as f32;
            let [above, here, below] = &self.lines;
            for column in 1..width - 1 {
                let coarse = (((column as f64 + 0.5) * scale) as usize).min(colours.width - 1);
                let beside = [
                    coarse.saturating_sub(margin as usize),
                    coarse + margin as usize,
                ];
                if place < ribbon.top[coarse] + margin
                    || place > ribbon.bottom[coarse] - margin
                    || beside
                        .iter()
                        .any(|c| *c >= colours.width || !ribbon.holds(*c, place as usize))
                {
                    continue;
                }
                let (west, east) = (column - 1, column + 1);
                let x = 47.0 * (above[east] - above[west] + below[east] - below[west])
                    + 162.0 * (here[east] - here[west]);
                let y = 47.0 * (above[west] - below[west] + above[east] - below[east])
                    + 162.0 * (above[column] - below[column]);
                let tensor = &mut self.tensors[row / self.cell * self.columns + column / self.cell];
                let (x, y) = (f64::from(x), f64::from(y));
                tensor[0] += x * x;
                tensor[1] += y * y;
                tensor[2] += x * y;
            }
        }
        self.row >= height
    }

    /// The field, the cells under `knots` told by those round them.
    pub(crate) fn found(
        &self,
        photo: &TruePicture,
        colours: &Colours,
        ribbon: &Ribbon,
        knots: &[Seen<Oval>],
    ) -> Option<Seen<GrainField>> {
        let cell = photo.pixel * (self.factor * self.cell) as f64;
        let corner = colours.place(0.0, 0.0);
        let rows = self.tensors.len() / self.columns.max(1);
        let middle = |column: usize, row: usize| {
            Point::new(
                corner.x + (column as f64 + 0.5) * cell,
                corner.y - (row as f64 + 0.5) * cell,
            )
        };
        let mut own = self.tensors.clone();
        for (at, tensor) in own.iter_mut().enumerate() {
            let place = middle(at % self.columns, at / self.columns);
            if knots
                .iter()
                .any(|knot| place.distance(knot.what.middle) < knot.what.half_width.max(0.5 * cell))
            {
                *tensor = [0.0; 3];
            }
        }
        let mut cells = Vec::with_capacity(own.len());
        let (mut clearness, mut count) = (0.0, 0.0);
        for row in 0..rows {
            for column in 0..self.columns {
                let (c, r) = colours.column_row(middle(column, row));
                let inside = c >= 0.0
                    && r >= 0.0
                    && (c as usize) < colours.width
                    && ribbon.holds(c as usize, r as usize);
                let near = near_sum(&own, self.columns, rows, column, row);
                let found = inside.then(|| direction(near)).flatten();
                if let Some((_, clear)) = found {
                    clearness += clear;
                    count += 1.0;
                }
                cells.push(found);
            }
        }
        if count == 0.0 {
            return None;
        }
        let mut what = GrainField {
            corner,
            cell,
            columns: self.columns,
            cells,
            lines: Vec::new(),
        };
        what.lines = lines(&what, colours, ribbon);
        let clear = clearness / count;
        let sure = share(clear, 0.05, 0.6);
        let because = if sure > 0.7 {
            "The grain shows clearly in nearly every place."
        } else if sure > 0.3 {
            "The grain shows, but it is faint in places."
        } else {
            "Hardly any grain shows: a rough or dirty face, or the photograph is not sharp."
        };
        Some(Seen {
            what,
            sure,
            because: because.to_owned(),
        })
    }
}

fn size(photo: &TruePicture, factor: usize) -> (usize, usize) {
    (
        photo.picture.width as usize / factor,
        photo.picture.height as usize / factor,
    )
}

/// One row of lightness, each pixel the mean of `factor` x `factor` of the photograph.
fn read(photo: &TruePicture, factor: usize, row: usize, mut line: Vec<f32>) -> Vec<f32> {
    let across = photo.picture.width as usize;
    line.clear();
    for column in 0..across / factor {
        let mut sum = 0_u32;
        for y in row * factor..(row + 1) * factor {
            let start = 3 * (y * across + column * factor);
            for rgb in photo.picture.rgb[start..start + 3 * factor].chunks_exact(3) {
                sum += 3 * u32::from(rgb[0]) + 6 * u32::from(rgb[1]) + u32::from(rgb[2]);
            }
        }
        line.push(sum as f32 / (10 * factor * factor) as f32);
    }
    line
}

/// The sum over a cell and its eight neighbours, which count half and a quarter.
fn near_sum(tensors: &[Tensor], columns: usize, rows: usize, column: usize, row: usize) -> Tensor {
    let mut sum = [0.0; 3];
    for r in row.saturating_sub(1)..(row + 2).min(rows) {
        for c in column.saturating_sub(1)..(column + 2).min(columns) {
            let weight = [1.0, 0.5, 0.25][r.abs_diff(row) + c.abs_diff(column)];
            for (sum, value) in sum.iter_mut().zip(tensors[r * columns + c]) {
                *sum += weight * value;
            }
        }
    }
    sum
}

/// The direction along the lines, and how much they outweigh what runs across.
fn direction([xx, yy, xy]: Tensor) -> Option<(f64, f64)> {
    let all = xx + yy;
    if all <= 0.0 {
        return None;
    }
    let clear = math::hypot(xx - yy, 2.0 * xy) / all;
    // The gradient's direction and a right angle.
    let across = 0.5 * math::atan2_deg(2.0 * xy, xx - yy);
    let along = if across > 0.0 {
        across - 90.0
    } else {
        across + 90.0
    };
    Some((along, clear))
}

/// Lines along the field from the middle of the board, every [`APART`] across.
fn lines(field: &GrainField, colours: &Colours, ribbon: &Ribbon) -> Vec<Vec<Point>> {
    let Some((first, last)) = ribbon.columns() else {
        return Vec::new();
    };
    let column = (first + last) / 2;
    let (top, bottom) = (
        f64::from(ribbon.top[column]),
        f64::from(ribbon.bottom[column]),
    );
    let width = (bottom - top) * colours.pixel;
    let count = (width / APART).round().max(1.0);
    let step = 10.0;
    let most = ((last - first) as f64 * colours.pixel / step) as usize * 2;
    (0..count as usize)
        .map(|k| {
            let share = (k as f64 + 0.5) / count;
            let start = colours.place(column as f64 + 0.5, top + share * (bottom - top));
            let follow = |sense: f64| {
                let mut points = Vec::new();
                let mut at = start;
                while points.len() < most {
                    // Half a step first (Runge 1895), so that bends are not cut.
                    let Some(half) = along(field, at, sense, step / 2.0) else {
                        break;
                    };
                    let Some(there) = field.direction_at(half) else {
                        break;
                    };
                    let next = moved(at, there, sense, step);
                    let (c, r) = colours.column_row(next);
                    if c < 0.0
                        || r < 0.0
                        || c as usize > last
                        || !ribbon.holds(c as usize, r as usize)
                    {
                        break;
                    }
                    points.push(next);
                    at = next;
                }
                points
            };
            let mut line = follow(-1.0);
            line.reverse();
            line.push(start);
            line.extend(follow(1.0));
            simpler(&line, 1.0)
        })
        .filter(|line| line.len() > 1)
        .collect()
}

fn along(field: &GrainField, at: Point, sense: f64, step: f64) -> Option<Point> {
    Some(moved(at, field.direction_at(at)?, sense, step))
}

/// Directions lie within a right angle of the board's length, so a sense along the board is one along it.
fn moved(at: Point, direction: f64, sense: f64, step: f64) -> Point {
    let (sine, cosine) = math::sin_cos_deg(direction);
    Point::new(at.x + sense * step * cosine, at.y + sense * step * sine)
}
