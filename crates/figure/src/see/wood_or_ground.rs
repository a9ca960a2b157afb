//! Whether a pixel is wood or ground, by the colours round it.
//!
//! Light falls off over a photograph, and ground changes along a board; so what wood and ground look like is
//! learnt anew every few centimetres, as bells in the colour space: wood from within the board, ground from
//! the strips that surely lie beyond it. Each pixel is told by the likelier of the two, colours that neither
//! has shown being a little likelier in wood: sapwood, knots and bark are met nowhere yet.

use heartside_geometry::math;

use super::blur::blurred;
use super::colours::Colours;

/// A colour: lightness and 16, green to red, blue to yellow. In shadow all three shrink alike, since each is
/// a difference of cube roots of light.
type Colour = [f32; 3];

/// Length of a stretch that is learnt by itself, in millimetres, and how many to either side count with it.
const STRETCH: f64 = 50.0;
const AROUND: usize = 3;
/// What is added to the spread of each colour: noise that a strip happened not to show. Smaller, and every
/// knot and stain is neither wood nor ground; larger, and pale wood is the same as pale ground.
const LEAST_SPREAD: Colour = [2.5, 1.2, 1.2];
/// The logarithm of how likely any colour is that was not met, in wood and on the ground: a tenth and a
/// thirtieth of pixels, over 300,000 units of the colour space.
const UNMET_WOOD: f32 = -14.9;
const UNMET_GROUND: f32 = -16.1;
/// What shadow makes of a colour, and the logarithm of the share of ground that lies in it.
const SHADOWS: [f32; 4] = [0.9, 0.8, 0.7, 0.62];
const IN_SHADOW: f32 = -3.0;
/// The same of textures, where neither is likelier: beside an edge there is none like it.
const UNMET_TEXTURE: f32 = -6.0;
/// Over how many millimetres colour and texture are seen.
const SIGMA: f64 = 1.5;
const TEXTURE_SIGMA: f64 = 4.0;
const LEAST_TEXTURE: Colour = [0.3, 0.3, 0.1];
/// A change of lightness counts as no more than the root of this, times two pixels: an edge or the rim of a
/// knot is no texture, and would be seen for a centimetre to either side.
const MOST_CHANGE: f32 = 6.0;
/// No pixel tells more than this: dust on the board is no reason to cut it in two.
const MOST: f32 = 2.0;

/// Sums over pixels of a colour and its products.
#[derive(Debug, Clone, Copy, Default)]
struct Sums {
    count: f64,
    first: [f64; 3],
    second: [f64; 6],
}

const PAIRS: [(usize, usize); 6] = [(0, 0), (1, 1), (2, 2), (0, 1), (0, 2), (1, 2)];

impl Sums {
    fn add(&mut self, colour: Colour) {
        let colour = colour.map(f64::from);
        self.count += 1.0;
        for (sum, value) in self.first.iter_mut().zip(colour) {
            *sum += value;
        }
        for (sum, (a, b)) in self.second.iter_mut().zip(PAIRS) {
            *sum += colour[a] * colour[b];
        }
    }

    fn join(&mut self, other: &Sums) {
        self.count += other.count;
        for (sum, value) in self.first.iter_mut().zip(other.first) {
            *sum += value;
        }
        for (sum, value) in self.second.iter_mut().zip(other.second) {
            *sum += value;
        }
    }

    fn bell(&self, least: Colour) -> Option<Bell> {
        if self.count < 30.0 {
            return None;
        }
        let mean = self.first.map(|sum| sum / self.count);
        let mut spread = [0.0; 6];
        for ((value, sum), (a, b)) in spread.iter_mut().zip(self.second).zip(PAIRS) {
            *value = sum / self.count - mean[a] * mean[b];
            if a == b {
                *value += f64::from(least[a] * least[a]);
            }
        }
        let [xx, yy, zz, xy, xz, yz] = spread;
        // The inverse by cofactors.
        let cofactors = [
            yy * zz - yz * yz,
            xx * zz - xz * xz,
            xx * yy - xy * xy,
            xz * yz - xy * zz,
            xy * yz - xz * yy,
            xy * xz - xx * yz,
        ];
        let size = xx * cofactors[0] + xy * cofactors[3] + xz * cofactors[4];
        Some(Bell {
            mean: mean.map(|value| value as f32),
            inverse: cofactors.map(|value| (value / size) as f32),
            height: (-0.5 * math::ln(size) - 2.757) as f32,
        })
    }
}

/// How colours are spread about their mean.
#[derive(Debug, Clone, Copy)]
struct Bell {
    mean: Colour,
    inverse: [f32; 6],
    /// The logarithm of its height.
    height: f32,
}

impl Bell {
    /// The logarithm of how likely a colour is.
    fn likely(&self, colour: Colour) -> f32 {
        let [x, y, z] = [0, 1, 2].map(|axis| colour[axis] - self.mean[axis]);
        let [xx, yy, zz, xy, xz, yz] = self.inverse;
        self.height
            - 0.5 * (xx * x * x + yy * y * y + zz * z * z)
            - (xy * x * y + xz * x * z + yz * y * z)
    }
}

/// Bells every [`STRETCH`] along a line.
#[derive(Debug, Clone, Default)]
struct Bells(Vec<Option<[Bell; 2]>>);

impl Bells {
    fn of(sums: &[[Sums; 2]]) -> Bells {
        let bell = |at: usize| {
            let mut near = [Sums::default(); 2];
            for sums in &sums[at.saturating_sub(AROUND)..(at + AROUND + 1).min(sums.len())] {
                near[0].join(&sums[0]);
                near[1].join(&sums[1]);
            }
            Some([near[0].bell(LEAST_SPREAD)?, near[1].bell(LEAST_TEXTURE)?])
        };
        Bells((0..sums.len()).map(bell).collect())
    }

    fn likely(&self, kind: usize, at: usize, colour: Colour) -> f32 {
        match self.0.get(at) {
            Some(Some(bells)) => bells[kind].likely(colour),
            _ => f32::NEG_INFINITY,
        }
    }
}

/// What surely is ground: how far it reaches in from each side of the picture, in pixels.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Beyond {
    pub(crate) left: usize,
    pub(crate) top: usize,
    pub(crate) right: usize,
    pub(crate) bottom: usize,
}

/// Ground and wood as they look along a board.
#[derive(Debug, Clone)]
pub(crate) struct Looks {
    /// Colours and textures, smoothed.
    planes: [[Vec<f32>; 3]; 2],
    /// How many of them are smoothed so far.
    smoothed: usize,
    width: usize,
    height: usize,
    stretch: usize,
    /// Above, below, left, right.
    ground: [Bells; 4],
    /// The middle of the board, and its parts towards the upper and the lower edge.
    wood: [Bells; 3],
}

impl Looks {
    pub(crate) fn new(colours: &Colours) -> Looks {
        let mut planes = [colours.planes.clone(), textures(colours)];
        for value in &mut planes[0][0] {
            *value += 16.0;
        }
        Looks {
            planes,
            smoothed: 0,
            width: colours.width,
            height: colours.height,
            stretch: colours.pixels(STRETCH),
            ground: Default::default(),
            wood: Default::default(),
        }
    }

    /// Smooths one plane more; true once all are.
    pub(crate) fn smooth(&mut self, colours: &Colours) -> bool {
        let (kind, axis) = (self.smoothed / 3, self.smoothed % 3);
        let sigma = [SIGMA, TEXTURE_SIGMA][kind] / colours.pixel;
        self.planes[kind][axis] = blurred(&self.planes[kind][axis], self.width, sigma);
        self.smoothed += 1;
        if self.smoothed == 6 {
            textures_told(&mut self.planes[1]);
        }
        self.smoothed == 6
    }

    /// Learns what ground looks like.
    pub(crate) fn learn_ground(&mut self, beyond: Beyond) {
        let (width, height) = (self.width, self.height);
        let right = width - beyond.right.min(width);
        let bottom = height - beyond.bottom.min(height);
        self.ground = [
            self.learnt(true, |_| (0, beyond.top)),
            self.learnt(true, |_| (bottom, height)),
            self.learnt(false, |_| (0, beyond.left)),
            self.learnt(false, |_| (right, width)),
        ];
    }

    /// Learns what wood looks like from rows of each column: from, to (not included).
    pub(crate) fn learn_wood(&mut self, part: usize, rows: impl Fn(usize) -> (usize, usize)) {
        self.wood[part] = self.learnt(true, rows);
    }

    fn learnt(&self, along: bool, span: impl Fn(usize) -> (usize, usize)) -> Bells {
        let (length, depth) = if along {
            (self.width, self.height)
        } else {
            (self.height, self.width)
        };
        let mut sums = vec![[Sums::default(); 2]; length.div_ceil(self.stretch)];
        for at in 0..length {
            let (from, to) = span(at);
            for other in from..to.min(depth) {
                let pixel = if along {
                    other * self.width + at
                } else {
                    at * self.width + other
                };
                for (kind, sums) in sums[at / self.stretch].iter_mut().enumerate() {
                    sums.add(self.colour(kind, pixel));
                }
            }
        }
        Bells::of(&sums)
    }

    fn colour(&self, kind: usize, pixel: usize) -> Colour {
        [0, 1, 2].map(|axis| self.planes[kind][axis][pixel])
    }

    /// How much likelier a pixel is wood than ground: -1 to 1.
    pub(crate) fn vote(&self, column: usize, row: usize, near_ends: [bool; 2]) -> f32 {
        let pixel = row * self.width + column;
        let along = column / self.stretch;
        let across = row / self.stretch;
        let wood = |kind: usize, colour: Colour| {
            self.wood
                .iter()
                .map(|bells| bells.likely(kind, along, colour))
                .fold(f32::NEG_INFINITY, f32::max)
        };
        let side = usize::from(2 * row > self.height);
        let ground = |kind: usize, colour: Colour| {
            let mut likely = self.ground[side].likely(kind, along, colour);
            for end in [0, 1] {
                if near_ends[end] {
                    likely = likely.max(self.ground[2 + end].likely(kind, across, colour));
                }
            }
            likely
        };
        let colour = self.colour(0, pixel);
        let of_wood = wood(0, colour).max(UNMET_WOOD);
        let mut of_ground = ground(0, colour).max(UNMET_GROUND);
        // What is surely ground already cannot be more so in shadow.
        if of_wood - of_ground > -MOST {
            for shadow in SHADOWS {
                let lit = colour.map(|value| value / shadow);
                of_ground = of_ground.max(ground(0, lit) + IN_SHADOW);
            }
        }
        let texture = self.colour(1, pixel);
        let woody = wood(1, texture).max(UNMET_TEXTURE);
        let earthy = ground(1, texture).max(UNMET_TEXTURE);
        let by_colour = (of_wood - of_ground).clamp(-MOST, MOST);
        let by_texture = (woody - earthy).clamp(-MOST, MOST);
        ((by_colour + by_texture) / MOST).clamp(-1.0, 1.0)
    }
}

/// How lightness changes along the board and across it: squares, and their product.
fn textures(colours: &Colours) -> [Vec<f32>; 3] {
    let (width, height) = (colours.width, colours.height);
    let lightness = colours.lightness();
    let mut planes = [const { Vec::new() }; 3];
    for row in 0..height {
        let above = row.saturating_sub(1) * width;
        let below = (row + 1).min(height - 1) * width;
        for column in 0..width {
            let west = column.saturating_sub(1);
            let east = (column + 1).min(width - 1);
            let x = lightness[row * width + east] - lightness[row * width + west];
            let y = lightness[above + column] - lightness[below + column];
            for (plane, value) in planes.iter_mut().zip([x * x, y * y, x * y]) {
                plane.push(value.clamp(-MOST_CHANGE, MOST_CHANGE));
            }
        }
    }
    planes
}

/// Squares of changes as a logarithm, which way they run, and how aslant.
fn textures_told(planes: &mut [Vec<f32>; 3]) {
    for pixel in 0..planes[0].len() {
        let [x, y, xy] = [0, 1, 2].map(|axis: usize| planes[axis][pixel]);
        let all = x + y + 1.0;
        planes[0][pixel] = math::ln(f64::from(all)) as f32;
        planes[1][pixel] = (x - y) / all * 2.0;
        planes[2][pixel] = xy / all;
    }
}
