//! The picture as it is looked at: lightness and two colours on pixels of about a millimetre.

use heartside_geometry::{Point, math};

use super::seen::CannotLook;
use crate::TruePicture;

/// Side of a working pixel in millimetres: at twice of it a band of bark is missed, at half of it
/// everything takes four times as long and the outline is no truer.
const WORKING_PIXEL: f64 = 1.0;
/// Beyond this many working pixels they grow: 4 bytes for each of some ten planes must fit a phone.
const MOST_PIXELS: usize = 3_000_000;

/// The picture in CIELAB (CIE 15:2004; white D65), in rows from the top.
#[derive(Debug, Clone)]
pub(crate) struct Colours {
    pub(crate) width: usize,
    pub(crate) height: usize,
    /// Side of a pixel in millimetres.
    pub(crate) pixel: f64,
    /// Lightness 0 to 100, green to red, blue to yellow.
    pub(crate) planes: [Vec<f32>; 3],
    /// The upper left corner, in the board's frame.
    corner: Point,
    /// Pixels of the photograph in one of these, both ways.
    factor: usize,
    /// The light of each byte.
    light: Vec<f32>,
}

impl Colours {
    /// An empty picture of the size that is worked on.
    pub(crate) fn new(photo: &TruePicture) -> Result<Colours, CannotLook> {
        Colours::with_pixel(photo, WORKING_PIXEL)
    }

    /// As [`Colours::new`], with pixels of about so many millimetres.
    pub(crate) fn with_pixel(photo: &TruePicture, wished: f64) -> Result<Colours, CannotLook> {
        let (width, height) = (photo.picture.width as usize, photo.picture.height as usize);
        let bytes = width.checked_mul(height).and_then(|n| n.checked_mul(3));
        if !(photo.pixel > 0.0 && photo.pixel.is_finite())
            || photo.origin.iter().any(|value| !value.is_finite())
            || bytes != Some(photo.picture.rgb.len())
        {
            return Err(CannotLook::NotAPicture);
        }
        let mut factor = ((wished / photo.pixel).round() as usize).max(1);
        while (width / factor) * (height / factor) > MOST_PIXELS {
            factor += 1;
        }
        let (width, height) = (width / factor, height / factor);
        if width < 16 || height < 16 {
            return Err(CannotLook::TooSmall);
        }
        let light = (0..256)
            .map(|byte| {
                let value = f64::from(byte) / 255.0;
                if value <= 0.04045 {
                    (value / 12.92) as f32
                } else {
                    math::powf((value + 0.055) / 1.055, 2.4) as f32
                }
            })
            .collect();
        Ok(Colours {
            width,
            height,
            pixel: photo.pixel * factor as f64,
            planes: [const { Vec::new() }; 3],
            corner: Point::new(
                photo.origin[0],
                photo.origin[1] + f64::from(photo.picture.height) * photo.pixel,
            ),
            factor,
            light,
        })
    }

    /// Reads up to `rows` more rows; true once all are there.
    pub(crate) fn read(&mut self, photo: &TruePicture, rows: usize) -> bool {
        let done = self.planes[0].len() / self.width;
        let end = (done + rows).min(self.height);
        let across = photo.picture.width as usize;
        let share = 1.0 / (self.factor * self.factor) as f32;
        for row in done..end {
            for column in 0..self.width {
                let mut sum = [0.0_f32; 3];
                for y in row * self.factor..(row + 1) * self.factor {
                    let start = 3 * (y * across + column * self.factor);
                    for bytes in photo.picture.rgb[start..start + 3 * self.factor].chunks_exact(3) {
                        for (sum, &byte) in sum.iter_mut().zip(bytes) {
                            *sum += self.light[usize::from(byte)];
                        }
                    }
                }
                let lab = lab(sum.map(|value| f64::from(value * share)));
                for (plane, value) in self.planes.iter_mut().zip(lab) {
                    plane.push(value);
                }
            }
        }
        end == self.height
    }

    /// The colour of a pixel.
    pub(crate) fn at(&self, pixel: usize) -> [f32; 3] {
        [
            self.planes[0][pixel],
            self.planes[1][pixel],
            self.planes[2][pixel],
        ]
    }

    /// The lightness.
    pub(crate) fn lightness(&self) -> &[f32] {
        &self.planes[0]
    }

    /// The place of a column and a row, where 0.5 is the middle of the first.
    pub(crate) fn place(&self, column: f64, row: f64) -> Point {
        Point::new(
            self.corner.x + column * self.pixel,
            self.corner.y - row * self.pixel,
        )
    }

    /// The column and row of a place.
    pub(crate) fn column_row(&self, place: Point) -> (f64, f64) {
        (
            (place.x - self.corner.x) / self.pixel,
            (self.corner.y - place.y) / self.pixel,
        )
    }

    /// Millimetres as pixels, at least one.
    pub(crate) fn pixels(&self, millimetres: f64) -> usize {
        ((millimetres / self.pixel).round() as usize).max(1)
    }
}

fn lab(light: [f64; 3]) -> [f32; 3] {
    let [r, g, b] = light;
    let part = |value: f64| {
        if value > 0.008_856 {
            math::cbrt(value)
        } else {
            7.787 * value + 16.0 / 116.0
        }
    };
    let x = part((0.4124 * r + 0.3576 * g + 0.1805 * b) / 0.9505);
    let y = part(0.2126 * r + 0.7152 * g + 0.0722 * b);
    let z = part((0.0193 * r + 0.1192 * g + 0.9505 * b) / 1.089);
    [
        (116.0 * y - 16.0) as f32,
        (500.0 * (x - y)) as f32,
        (200.0 * (y - z)) as f32,
    ]
}
