//! Noise at places, by formula.

/// Noise of a seed: the same at a place, whoever asks and in whatever order.
#[derive(Debug, Clone, Copy)]
pub struct Noise(u32);

impl Noise {
    /// The noise of a seed.
    pub fn new(seed: u32) -> Noise {
        Noise(mixed(seed ^ 0x5bd1_e995))
    }

    /// Noise that has nothing to do with this one.
    pub fn other(self, number: u32) -> Noise {
        Noise(mixed(self.0 ^ number.wrapping_mul(0x9e37_79b9)))
    }

    /// A number within [0, 1) for a cell of a grid.
    pub fn of_cell(self, column: i32, row: i32) -> f64 {
        let column = (column as u32).wrapping_mul(0x85eb_ca6b);
        let row = (row as u32).wrapping_mul(0xc2b2_ae35);
        f64::from(mixed(self.0 ^ mixed(column ^ row.rotate_left(16)))) / 4_294_967_296.0
    }

    /// Smooth noise within [-1, 1] that changes over a length of 1 (value noise: random numbers on a grid,
    /// blended between).
    pub fn at(self, x: f64, y: f64) -> f64 {
        let (left, low) = (x.floor(), y.floor());
        let (u, v) = (smooth(x - left), smooth(y - low));
        let (column, row) = (left as i32, low as i32);
        let corner = |dx: i32, dy: i32| self.of_cell(column.wrapping_add(dx), row.wrapping_add(dy));
        let lower = blend(corner(0, 0), corner(1, 0), u);
        let upper = blend(corner(0, 1), corner(1, 1), u);
        2.0 * blend(lower, upper, v) - 1.0
    }

    /// The same with details: each of `times` layers twice as fine and half as strong.
    pub fn detailed(self, x: f64, y: f64, times: u32) -> f64 {
        let (mut sum, mut finer, mut strength) = (0.0, 1.0, 0.5);
        for layer in 0..times {
            sum += strength * self.other(layer).at(x * finer, y * finer);
            finer *= 2.0;
            strength *= 0.5;
        }
        sum
    }

    /// A number spread like the bell curve with a standard deviation of 1, near enough for pixels (three
    /// even ones summed).
    pub fn bell(self, column: u32, row: u32, channel: u32) -> f64 {
        let one = |k: u32| {
            self.other(4 * channel + k)
                .of_cell(column as i32, row as i32)
        };
        2.0 * (one(0) + one(1) + one(2) - 1.5)
    }
}

/// The bits of a number, mixed (the finish of a hash: Appleby 2008).
fn mixed(mut bits: u32) -> u32 {
    bits ^= bits >> 16;
    bits = bits.wrapping_mul(0x85eb_ca6b);
    bits ^= bits >> 13;
    bits = bits.wrapping_mul(0xc2b2_ae35);
    bits ^ (bits >> 16)
}

/// From 0 to 1 without a corner at either.
pub fn smooth(t: f64) -> f64 {
    let t = t.clamp(0.0, 1.0);
    t * t * (3.0 - 2.0 * t)
}

/// `a` where `t` is 0, `b` where it is 1.
pub fn blend(a: f64, b: f64, t: f64) -> f64 {
    a + (b - a) * t
}

/// Two colours blended.
pub fn blended(a: [f64; 3], b: [f64; 3], t: f64) -> [f64; 3] {
    [
        blend(a[0], b[0], t),
        blend(a[1], b[1], t),
        blend(a[2], b[2], t),
    ]
}

/// A colour, lighter or darker.
pub fn lit(colour: [f64; 3], by: f64) -> [f64; 3] {
    colour.map(|c| c * by)
}
