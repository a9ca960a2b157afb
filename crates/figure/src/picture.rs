//! Pictures as pixels, and places in them.

use heartside_geometry::Point;

/// A picture in memory: rows from the top, three bytes a pixel (red, green, blue in sRGB).
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// Pixels in a row.
    pub width: u32,
    /// Rows.
    pub height: u32,
    /// `3 * width * height` bytes.
    pub rgb: Vec<u8>,
}

impl Picture {
    /// Whether it has as many bytes as its size says.
    pub(crate) fn is_whole(&self) -> bool {
        let pixels = u64::from(self.width) * u64::from(self.height);
        pixels.checked_mul(3) == Some(self.rgb.len() as u64)
    }
}

/// A place in a picture, in pixels: x to the right, y down. The upper left pixel reaches from 0 to 1
/// both ways, its middle is at (0.5, 0.5).
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Spot {
    /// To the right.
    pub x: f64,
    /// Down.
    pub y: f64,
}

impl Spot {
    /// A place by its coordinates.
    pub const fn new(x: f64, y: f64) -> Spot {
        Spot { x, y }
    }

    /// The straight-line distance to another place of the picture, in pixels.
    pub fn distance(self, other: Spot) -> f64 {
        Point::new(self.x, self.y).distance(Point::new(other.x, other.y))
    }
}

/// A place of the board that was found in the picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mark {
    /// Where it is seen.
    pub seen: Spot,
    /// Where it lies, in millimetres of the board's frame.
    pub place: Point,
}

/// A length that is known between two places of the picture, to check the marks by.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CheckLength {
    /// Where it begins.
    pub from: Spot,
    /// Where it ends.
    pub to: Spot,
    /// How long it is in truth, in millimetres.
    pub length: f64,
}

/// A picture at true scale, in the frame of a board: x along it, y across and up.
#[derive(Debug, Clone, PartialEq)]
pub struct TruePicture {
    /// The pixels; the top row lies at the greatest y.
    pub picture: Picture,
    /// Side of a pixel in millimetres.
    pub pixel: f64,
    /// The lower left corner of the lower left pixel, in millimetres of the board's frame.
    pub origin: [f64; 2],
}
