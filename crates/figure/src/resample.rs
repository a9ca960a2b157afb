//! A photograph at true scale, row by row.

use heartside_geometry::{Bounds, Point};

use crate::{Picture, Remark, Spot, TruePicture, View};

/// The most pixels of a straightened picture: 300 MB. A board of 40 m has a fifth of it at 2 pixels a
/// millimetre.
const MOST_PIXELS: f64 = 1e8;

/// The most samples of a pixel along each of its sides. With fewer, fine lines shimmer where the picture
/// shrinks; more than eight times smaller is a thumbnail.
const MOST_SAMPLES: f64 = 8.0;

/// What the photograph does not show.
const UNSEEN: [u8; 3] = [128, 128, 128];

/// The work of straightening, to be done in steps: `step(a); step(b)` is `step(a + b)`.
#[derive(Debug, Clone)]
pub struct Resampling {
    view: View,
    done: u32,
    seen: u64,
    made: TruePicture,
}

impl Resampling {
    /// Begins a picture of what lies within `shown` (millimetres of the board's frame) with pixels of the
    /// side `pixel` in millimetres.
    ///
    /// # Errors
    /// [`Remark::NoSize`] where nothing would be shown or a number is not finite, [`Remark::TooLarge`] above
    /// 100 million pixels.
    pub fn new(view: View, shown: Bounds, pixel: f64) -> Result<Resampling, Remark> {
        let numbers = [
            shown.min.x,
            shown.min.y,
            shown.width(),
            shown.height(),
            pixel,
        ];
        let is_sound = numbers.iter().all(|n| n.is_finite())
            && shown.width() > 0.0
            && shown.height() > 0.0
            && pixel > 0.0;
        if !is_sound {
            return Err(Remark::NoSize);
        }
        // A hair less, so that rounding does not add a row.
        let of = |length: f64| (length / pixel - 1e-9).ceil().max(1.0);
        let (columns, rows) = (of(shown.width()), of(shown.height()));
        if columns * rows > MOST_PIXELS {
            let possible = 1.01 * (shown.width() * shown.height() / MOST_PIXELS).sqrt();
            return Err(Remark::TooLarge {
                pixel,
                columns,
                rows,
                possible,
            });
        }
        Ok(Resampling {
            view,
            done: 0,
            seen: 0,
            made: TruePicture {
                picture: Picture {
                    width: columns as u32,
                    height: rows as u32,
                    rgb: Vec::with_capacity(3 * (columns * rows) as usize),
                },
                pixel,
                origin: [shown.min.x, shown.min.y],
            },
        })
    }

    /// Makes up to so many rows more, from the top; true when all are made.
    ///
    /// A photograph that has not the bytes its size asks for shows nothing.
    /// Where the photograph is finer than the picture a pixel is the average of its area, sampled on a grid of
    /// one sample a pixel of the photograph; elsewhere it is blended from the four nearest. O(1) for each
    /// pixel of the picture and each of the photograph.
    pub fn step(&mut self, from: &Picture, rows: u32) -> bool {
        let last = self.made.picture.height.min(self.done.saturating_add(rows));
        let is_whole = from.is_whole();
        for row in self.done..last {
            if is_whole {
                self.make_row(from, row);
            } else {
                let columns = self.made.picture.width as usize;
                self.made.picture.rgb.extend(UNSEEN.repeat(columns));
            }
        }
        self.done = last;
        self.is_done()
    }

    /// Whether all rows are made.
    fn is_done(&self) -> bool {
        self.done == self.made.picture.height
    }

    /// Pixels in a row of the picture, and rows.
    pub fn size(&self) -> [u32; 2] {
        [self.made.picture.width, self.made.picture.height]
    }

    /// The share of rows that are made.
    pub fn progress(&self) -> f64 {
        f64::from(self.done) / f64::from(self.made.picture.height)
    }

    /// The picture, and the share of it that the photograph shows, once all rows are made; the rest of it is
    /// grey.
    pub fn finish(self) -> Option<(TruePicture, f64)> {
        let share = self.seen as f64 / (self.made.picture.rgb.len() as f64 / 3.0);
        self.is_done().then_some((self.made, share))
    }

    fn make_row(&mut self, from: &Picture, row: u32) {
        let TruePicture {
            picture,
            pixel,
            origin,
        } = &mut self.made;
        let y = origin[1] + (f64::from(picture.height - row) - 0.5) * *pixel;
        for column in 0..picture.width {
            let place = Point::new(origin[0] + (f64::from(column) + 0.5) * *pixel, y);
            let colour = sampled(&self.view, from, place, *pixel);
            self.seen += u64::from(colour.is_some());
            picture.rgb.extend(colour.unwrap_or(UNSEEN));
        }
    }
}

/// The colour of a pixel of a given side; none beyond the photograph.
fn sampled(view: &View, from: &Picture, place: Point, pixel: f64) -> Option<[u8; 3]> {
    let middle = view.spot_of(place)?;
    let [along, across] = view.change_at(place)?.map(|change| change * pixel);
    let samples = |length: f64| length.ceil().clamp(1.0, MOST_SAMPLES);
    let (n, m) = (samples(along.length()), samples(across.length()));
    let mut sum = [0.0; 3];
    for i in 0..n as u32 {
        let u = (f64::from(i) + 0.5) / n - 0.5;
        for j in 0..m as u32 {
            let v = (f64::from(j) + 0.5) / m - 0.5;
            let at = Spot::new(
                middle.x + u * along.x + v * across.x,
                middle.y + u * along.y + v * across.y,
            );
            let colour = blended(from, at)?;
            for (s, c) in sum.iter_mut().zip(colour) {
                *s += c;
            }
        }
    }
    Some(sum.map(|s| (s / (n * m)).round() as u8))
}

/// The colour at a spot, blended from the four nearest pixels; none beyond the picture.
fn blended(from: &Picture, at: Spot) -> Option<[f64; 3]> {
    let (columns, rows) = (f64::from(from.width), f64::from(from.height));
    if !((0.0..=columns).contains(&at.x) && (0.0..=rows).contains(&at.y)) {
        return None;
    }
    // From the middles of pixels; at the rim its own pixels go on.
    let (x, y) = ((at.x - 0.5).max(0.0), (at.y - 0.5).max(0.0));
    let (u, v) = (x - x.floor(), y - y.floor());
    let (last, lowest) = (from.width.saturating_sub(1), from.height.saturating_sub(1));
    let (left, top) = ((x as u32).min(last), (y as u32).min(lowest));
    let (right, bottom) = ((left + 1).min(last), (top + 1).min(lowest));
    let colour = |column: u32, row: u32| {
        let at = 3 * (row as usize * from.width as usize + column as usize);
        let bytes = from.rgb.get(at..at + 3)?;
        Some([0, 1, 2].map(|k| f64::from(bytes[k])))
    };
    let (a, b) = (colour(left, top)?, colour(right, top)?);
    let (c, d) = (colour(left, bottom)?, colour(right, bottom)?);
    Some([0, 1, 2].map(|k| {
        let upper = a[k] + (b[k] - a[k]) * u;
        let lower = c[k] + (d[k] - c[k]) * u;
        upper + (lower - upper) * v
    }))
}
