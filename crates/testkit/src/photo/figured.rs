//! Maps of figure made straight from a formula, without a photograph: wood of which only the figure counts.

use core::f64::consts::TAU;

use heartside_figure::TruePicture;
use heartside_figure::map::{FigureMap, Layer};
use heartside_geometry::{Bounds, Point, math};

use super::RealBoard;
use super::noise::{Noise, smooth};

/// A piece of wood that reaches without end along x and y; its maps are cut out of it.
#[derive(Debug, Clone, PartialEq)]
pub struct FiguredWood {
    /// Which wood it is.
    pub seed: u32,
    /// How much lighter all of it is, in levels.
    pub tone: f64,
    /// How much lighter it becomes over a metre, in levels.
    pub paler: f64,
    /// The heights up to which, and from which on, it is sapwood.
    pub sapwood: [f64; 2],
    /// Middles and half lengths of lively places, and how lively, from -1 to 1: below 0 they are plain.
    pub patches: Vec<(Point, [f64; 2], f64)>,
    /// How lively it is elsewhere, from 0 to 1.
    pub lively: f64,
}

/// How a map is taken of a piece of wood.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Taking {
    /// Standard deviation of the noise of each cell, in levels.
    pub noise: f64,
    /// How much darker the far corner is than the near one, in levels.
    pub fall_off: f64,
    /// Side of a cell of light in millimetres; those of strength are five times that.
    pub cell: f64,
    /// Which noise it is.
    pub seed: u32,
}

impl Default for Taking {
    fn default() -> Taking {
        Taking {
            noise: 3.0,
            fall_off: 6.0,
            cell: 4.0,
            seed: 1,
        }
    }
}

impl FiguredWood {
    /// Plain heartwood with its rings.
    pub fn new(seed: u32) -> FiguredWood {
        FiguredWood {
            seed,
            tone: 0.0,
            paler: 0.0,
            sapwood: [f64::NEG_INFINITY, f64::INFINITY],
            patches: Vec::new(),
            lively: 0.15,
        }
    }

    /// The map of a piece of it, the piece's lower left corner at (0, 0); seen from below if `mirrored` (y to -y, so that
    /// the piece's upper edge in the wood comes to lie at 0).
    pub fn map(&self, piece: Bounds, mirrored: bool, taking: &Taking) -> FigureMap {
        let place = |p: Point| {
            let y = if mirrored {
                piece.max.y - p.y
            } else {
                piece.min.y + p.y
            };
            Point::new(piece.min.x + p.x, y)
        };
        let size = [piece.max.x - piece.min.x, piece.max.y - piece.min.y];
        let noise = Noise::new(taking.seed).other(61);
        let layer = |cell: f64, number: u32, off: f64, level: &dyn Fn(Point) -> f64| {
            let [columns, rows] = size.map(|s| (s / cell).ceil().max(1.0) as u32);
            let cells = (0..rows).flat_map(|row| (0..columns).map(move |column| (row, column)));
            let levels = cells.map(|(row, column)| {
                let p = Point::new(
                    (f64::from(column) + 0.5) * cell,
                    (f64::from(row) + 0.5) * cell,
                );
                let level = level(p) + off * taking.noise * noise.bell(column, row, number);
                level.round().clamp(1.0, 255.0) as u8
            });
            Layer {
                cell,
                origin: [0.0, 0.0],
                columns: columns as usize,
                levels: levels.collect(),
            }
        };
        let darker = |p: Point| taking.fall_off * 0.5 * (p.x / size[0] + p.y / size[1]);
        let hand = 5.0 * taking.cell;
        let turned = if mirrored { -1.0 } else { 1.0 };
        FigureMap {
            light: layer(taking.cell, 0, 1.0, &|p| self.light(place(p)) - darker(p)),
            sapwood: layer(taking.cell, 1, 1.0, &|p| {
                1.0 + 254.0 * self.sapwood_at(place(p))
            }),
            strength: layer(hand, 2, 0.5, &|p| 1.0 + 220.0 * self.liveliness(place(p))),
            direction: layer(hand, 3, 0.2, &|p| {
                (turned * self.angle(place(p)) + 90.0) * 255.0 / 180.0
            }),
            wanted: Layer::default(),
        }
    }

    /// Its lightness in levels.
    fn light(&self, p: Point) -> f64 {
        let noise = Noise::new(self.seed).other(60);
        let ring = TAU * self.ring(p) / 46.0;
        let streaks = noise.other(1).detailed(p.x / 700.0, self.ring(p) / 24.0, 2);
        // Across the grain, as curl and blister are.
        let ripple = noise.other(2).at(p.x / 14.0, p.y / 40.0);
        128.0
            + self.tone
            + self.paler * p.x / 1000.0
            + 11.0 * math::sin(ring)
            + 14.0 * streaks
            + 30.0 * self.liveliness(p) * ripple
            + 34.0 * self.sapwood_at(p)
    }

    /// How far across the rings a place lies, in millimetres: rings in arches, one behind the other.
    fn ring(&self, p: Point) -> f64 {
        let noise = Noise::new(self.seed).other(60);
        let arch = 90.0 * noise.other(3).at(p.x / 420.0, p.y / 400.0);
        p.y + arch + 14.0 * noise.other(4).at(p.x / 120.0, p.y / 90.0)
    }

    /// Which way it runs, in degrees.
    fn angle(&self, p: Point) -> f64 {
        let step = 4.0;
        let along = self.ring(Point::new(p.x + step, p.y)) - self.ring(Point::new(p.x - step, p.y));
        let across =
            self.ring(Point::new(p.x, p.y + step)) - self.ring(Point::new(p.x, p.y - step));
        math::to_degrees(math::atan(-along / across.max(0.2 * step)))
    }

    fn sapwood_at(&self, p: Point) -> f64 {
        let noise = Noise::new(self.seed).other(60);
        let wander = 6.0 * noise.other(5).at(p.x / 260.0, 0.5);
        let [low, high] = self.sapwood;
        smooth(0.5 + (low + wander - p.y) / 6.0).max(smooth(0.5 + (p.y - high + wander) / 6.0))
    }

    fn liveliness(&self, p: Point) -> f64 {
        let noise = Noise::new(self.seed).other(60);
        let patches = self.patches.iter().map(|(middle, half, lively)| {
            let off = math::hypot((p.x - middle.x) / half[0], (p.y - middle.y) / half[1]);
            lively * smooth(2.0 - 2.0 * off)
        });
        let quiet = self.lively * (1.0 + 0.4 * noise.other(6).at(p.x / 200.0, p.y / 80.0));
        (quiet + patches.sum::<f64>()).clamp(0.0, 1.0)
    }
}

/// A map of light of a picture at true scale, its pixels averaged over cells, about the lightness `middle`, with the
/// board's own direction and sapwood; strength is how much light varies at the scale of a hand. Nothing is taken out of it,
/// so that it shows what is on the picture.
pub fn plain_map(photo: &TruePicture, board: &RealBoard, cell: f64, middle: f64) -> FigureMap {
    let [columns, rows] = [board.length, board.width].map(|s| (s / cell).floor().max(1.0) as usize);
    let per = (cell / photo.pixel).round() as usize;
    let wide = photo.picture.width as usize;
    let first = photo.origin.map(|o| (-o / photo.pixel).round() as usize);
    let from_top = photo.picture.height as usize - first[1];
    let of_cell = |column: usize, row: usize| {
        let mut sum = [0.0; 3];
        for y in 0..per {
            for x in 0..per {
                let at = (from_top - 1 - row * per - y) * wide + first[0] + column * per + x;
                for (channel, s) in sum.iter_mut().enumerate() {
                    *s += f64::from(photo.picture.rgb[3 * at + channel]) / (per * per) as f64;
                }
            }
        }
        sum
    };
    let place = |column: usize, row: usize| {
        Point::new((column as f64 + 0.5) * cell, (row as f64 + 0.5) * cell)
    };
    let cells = |of: &dyn Fn(usize, usize) -> f64| Layer {
        cell,
        origin: [0.0, 0.0],
        columns,
        levels: (0..rows)
            .flat_map(|row| (0..columns).map(move |column| (column, row)))
            .map(|(column, row)| {
                let level = of(column, row).round().clamp(1.0, 255.0) as u8;
                level * u8::from(board.is_wood(place(column, row)))
            })
            .collect(),
    };
    let light: Vec<f64> = (0..rows)
        .flat_map(|row| (0..columns).map(move |column| (column, row)))
        .map(|(column, row)| of_cell(column, row).iter().sum::<f64>() / 3.0)
        .collect();
    let reach = (40.0 / cell).ceil() as usize;
    let varies = |column: usize, row: usize| {
        let (mut n, mut sum, mut squares) = (0.0, 0.0, 0.0);
        for r in row.saturating_sub(reach)..(row + reach + 1).min(rows) {
            for c in column.saturating_sub(reach)..(column + reach + 1).min(columns) {
                let level = light[r * columns + c];
                n += 1.0;
                sum += level;
                squares += level * level;
            }
        }
        8.0 * (squares / n - sum * sum / n / n).max(0.0).sqrt()
    };
    FigureMap {
        light: cells(&|c, r| 128.0 + light[r * columns + c] - middle),
        sapwood: cells(&|c, r| {
            if board.is_sapwood(place(c, r)) {
                255.0
            } else {
                1.0
            }
        }),
        strength: cells(&varies),
        direction: cells(&|c, r| (board.grain_at(place(c, r)) + 90.0) * 255.0 / 180.0),
        wanted: Layer::default(),
    }
}
