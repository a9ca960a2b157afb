//! The wood of a face on square cells: mean colour and how much it varies within a cell.

use heartside_geometry::Point;

use super::Layer;
use crate::see::colours::Colours;
use crate::see::ribbon::Ribbon;

/// Kept from the outline in millimetres: pixels there are half ground.
const RIM: f64 = 1.5;
/// The least share of a cell that is wood.
const LEAST_WOOD: f64 = 0.3;

/// The wood within one cell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Wood {
    /// CIELAB, with 16 added to the lightness: where light falls off all three shrink by one factor, its cube root.
    pub(super) colour: [f64; 3],
    /// Variance of the lightness within the cell.
    pub(super) variance: f64,
}

/// Square cells over a face.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Grid {
    pub(super) cell: f64,
    /// The lower left corner.
    pub(super) origin: [f64; 2],
    pub(super) columns: usize,
    pub(super) rows: usize,
    /// Row by row, the lowest first; none where no wood was seen.
    pub(super) wood: Vec<Option<Wood>>,
}

impl Grid {
    /// Gathers the pixels of the wood, each into the cell that holds its middle. O(1) for each pixel.
    pub(super) fn gathered(colours: &Colours, ribbon: &Ribbon, cell: f64) -> Grid {
        let corner = colours.place(0.0, colours.height as f64);
        let opposite = colours.place(colours.width as f64, 0.0);
        let origin = [corner.x, corner.y].map(|v| (v / cell).floor() * cell);
        let count = |from: f64, to: f64| (((to - from) / cell).ceil() as usize).max(1);
        let columns = count(origin[0], opposite.x);
        let rows = count(origin[1], opposite.y);
        let mut sums = vec![[0.0_f64; 5]; columns * rows];
        let margin = (RIM / colours.pixel) as f32;
        for x in 0..colours.width {
            let (from, to) = ribbon.rows(x, margin);
            let column = |place: f64| (((place - origin[0]) / cell) as usize).min(columns - 1);
            let column = column(colours.place(x as f64 + 0.5, 0.0).x);
            for y in from..to.min(colours.height) {
                let place = colours.place(0.0, y as f64 + 0.5).y;
                let row = (((place - origin[1]) / cell) as usize).min(rows - 1);
                let [lightness, red, blue] = colours.at(y * colours.width + x).map(f64::from);
                let sum = &mut sums[row * columns + column];
                let light = lightness + 16.0;
                let values = [light, red, blue, light * light, 1.0];
                for (sum, value) in sum.iter_mut().zip(values) {
                    *sum += value;
                }
            }
        }
        let whole = (cell / colours.pixel) * (cell / colours.pixel);
        let wood = sums.iter().map(|&[light, red, blue, squares, count]| {
            (count > 0.0 && count >= LEAST_WOOD * whole).then(|| Wood {
                colour: [light, red, blue].map(|sum| sum / count),
                variance: (squares / count - (light / count) * (light / count)).max(0.0),
            })
        });
        Grid {
            cell,
            origin,
            columns,
            rows,
            wood: wood.collect(),
        }
    }

    /// The middle of a cell.
    pub(super) fn middle(&self, at: usize) -> Point {
        Point::new(
            self.origin[0] + ((at % self.columns) as f64 + 0.5) * self.cell,
            self.origin[1] + ((at / self.columns) as f64 + 0.5) * self.cell,
        )
    }

    /// A layer on these cells: what is told of each cell with wood, from 1 to 255.
    pub(super) fn layer(&self, level: impl Fn(usize, Wood) -> f64) -> Layer {
        let levels = self.wood.iter().enumerate();
        let levels = levels.map(|(at, wood)| wood.map_or(0, |wood| as_level(level(at, wood))));
        Layer {
            cell: self.cell,
            origin: self.origin,
            columns: self.columns,
            levels: levels.collect(),
        }
    }

    /// Coarser cells whose corners lie on corners of these: for each the cells of these within it.
    pub(super) fn coarser(&self, cell: f64) -> (Layer, Vec<Vec<usize>>) {
        let origin = self.origin.map(|v| (v / cell).floor() * cell);
        let count = |axis: usize, cells: usize| {
            let to = self.origin[axis] + cells as f64 * self.cell;
            (((to - origin[axis]) / cell).ceil() as usize).max(1)
        };
        let (columns, rows) = (count(0, self.columns), count(1, self.rows));
        let mut within = vec![Vec::new(); columns * rows];
        for (at, _) in self.wood.iter().enumerate().filter(|(_, w)| w.is_some()) {
            let middle = self.middle(at);
            let column = (((middle.x - origin[0]) / cell) as usize).min(columns - 1);
            let row = (((middle.y - origin[1]) / cell) as usize).min(rows - 1);
            within[row * columns + column].push(at);
        }
        let whole = (cell / self.cell) * (cell / self.cell);
        for cells in &mut within {
            if (cells.len() as f64) < LEAST_WOOD * whole {
                cells.clear();
            }
        }
        let layer = Layer {
            cell,
            origin,
            columns,
            levels: vec![0; columns * rows],
        };
        (layer, within)
    }
}

/// A measure as a level: known wood is never 0.
pub(super) fn as_level(value: f64) -> u8 {
    value.round().clamp(1.0, 255.0) as u8
}
