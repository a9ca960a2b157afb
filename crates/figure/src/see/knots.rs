//! Knots: dark and round, with the grain bent round them.
//!
//! The lightness less its median along the grain shows what does not run along the board; blobs in it are
//! extremes of differences of Gaussians over scales (Lindeberg 1998), measured by the moments of what is
//! nearly as dark as their middle.

use heartside_geometry::{Arrange, math};

use super::areas::{Mask, medians};
use super::blur::blurred;
use super::colours::Colours;
use super::grain::GrainField;
use super::ribbon::Ribbon;
use super::seen::{Oval, Seen, share};

/// Window of the median along the board, in millimetres: longer than twice the longest knot.
const WINDOW: f64 = 300.0;
/// Radii of the knots that are looked for, in millimetres: on pixels of two, smaller ones cannot be told from
/// pores, of which there are ten a board.
const RADII: [f64; 2] = [3.0, 45.0];
/// Each scale is this much the one before: coarser, and knots between two scales are missed.
const RATIO: f64 = 1.3;
/// How much darker than its surroundings a knot is at least, in CIELAB's lightness.
const DARKER: f32 = 5.0;
/// A knot reaches to where it has this share of its darkness: at a half the stained wood round a small one
/// makes it twice as large.
const LEVEL: f32 = 0.6;
/// Longer in proportion, and it is a dark line of the grain.
const LONGEST: f64 = 3.5;
/// Blobs are measured in one step until their windows have so many pixels together: some hundredths of a second.
const MEASURED: usize = 400_000;

/// The board at half size: how much darker each pixel is than the wood along the grain from it.
#[derive(Debug, Clone)]
pub(crate) struct KnotSearch {
    width: usize,
    height: usize,
    dark: Vec<f32>,
    /// The spread of `dark` over the board.
    noise: f32,
    /// The last smoothed plane, the differences of neighbours so far, and the scales of all.
    smooth: Vec<f32>,
    differences: Vec<Vec<f32>>,
    sigmas: Vec<f64>,
    is_scaled: bool,
    /// Column, row and radius (in half pixels) of everything dark and round that is still to be measured, last
    /// first.
    blobs: Vec<(usize, usize, f64)>,
    /// The ovals among those that were.
    ovals: Vec<Seen<Oval>>,
}

impl KnotSearch {
    pub(crate) fn new(colours: &Colours, ribbon: &Ribbon) -> KnotSearch {
        let (width, height) = (colours.width / 2, colours.height / 2);
        let mut dark = darker_than_along(colours, ribbon, width, height);
        let noise = spread(&dark, ribbon, width).max(0.5);
        // A black stone on the board is as dark as a knot, not ten times as much.
        for value in &mut dark {
            *value = value.clamp(-10.0, 40.0);
        }
        KnotSearch {
            width,
            height,
            smooth: Vec::new(),
            dark,
            noise,
            differences: Vec::new(),
            sigmas: Vec::new(),
            is_scaled: false,
            blobs: Vec::new(),
            ovals: Vec::new(),
        }
    }

    /// One more scale, or some more of what is dark and round; true after the last.
    pub(crate) fn step(
        &mut self,
        colours: &Colours,
        ribbon: &Ribbon,
        grain: Option<&GrainField>,
    ) -> bool {
        if !self.is_scaled {
            self.is_scaled = self.add_scale(colours);
            if self.is_scaled {
                self.blobs = self.blobs(ribbon);
                self.blobs.reverse();
            }
            return false;
        }
        let mut pixels = 0;
        while pixels < MEASURED {
            let Some((column, row, radius)) = self.blobs.pop() else {
                return true;
            };
            let side = 2 * reach(radius) + 1;
            pixels += side * side;
            self.ovals
                .extend(self.measured(colours, ribbon, grain, [column, row], radius));
        }
        false
    }

    /// One more scale; true after the last.
    fn add_scale(&mut self, colours: &Colours) -> bool {
        // A disc answers most at a sigma of its radius by the root of 2.
        let unit = std::f64::consts::SQRT_2 * 2.0 * colours.pixel;
        let [least, most] = RADII.map(|radius| radius / unit);
        let sigma = self
            .sigmas
            .last()
            .map_or(least / RATIO, |sigma| sigma * RATIO);
        let smooth = blurred(&self.dark, self.width, sigma);
        if !self.smooth.is_empty() {
            self.differences.push(
                self.smooth
                    .iter()
                    .zip(&smooth)
                    .map(|(fine, coarse)| fine - coarse)
                    .collect(),
            );
        }
        self.smooth = smooth;
        self.sigmas.push(sigma);
        sigma > most * RATIO
    }

    /// Knots, surest first, once all steps are done.
    pub(crate) fn found(&mut self) -> Vec<Seen<Oval>> {
        let mut found = std::mem::take(&mut self.ovals);
        found.arrange_by(|a, b| b.sure.total_cmp(&a.sure));
        let mut kept: Vec<Seen<Oval>> = Vec::new();
        for knot in found {
            let apart = kept.iter().all(|other| {
                knot.what.middle.distance(other.what.middle)
                    > 0.7 * f64::max(knot.what.half_length, other.what.half_length)
            });
            if apart {
                kept.push(knot);
            }
        }
        kept
    }

    /// Everything dark and round.
    fn blobs(&self, ribbon: &Ribbon) -> Vec<(usize, usize, f64)> {
        let (width, height) = (self.width, self.height);
        // A disc answers with about 0.22 of its darkness at this ratio.
        let least = 0.12 * DARKER;
        let mut blobs = Vec::new();
        for (scale, plane) in self.differences.iter().enumerate() {
            for row in 1..height.saturating_sub(1) {
                for column in 1..width.saturating_sub(1) {
                    let value = plane[row * width + column];
                    if value < least || !ribbon.holds(2 * column, 2 * row) {
                        continue;
                    }
                    let greatest = (scale.saturating_sub(1)
                        ..(scale + 2).min(self.differences.len()))
                        .all(|s| {
                            (row - 1..row + 2).all(|r| {
                                (column - 1..column + 2).all(|c| {
                                    let other = self.differences[s][r * width + c];
                                    other < value
                                        || (other == value && (s, r, c) >= (scale, row, column))
                                })
                            })
                        });
                    if greatest {
                        blobs.push((column, row, self.sigmas[scale] * std::f64::consts::SQRT_2));
                    }
                }
            }
        }
        blobs
    }

    /// The oval of what is nearly as dark as the middle, if it is one.
    fn measured(
        &self,
        colours: &Colours,
        ribbon: &Ribbon,
        grain: Option<&GrainField>,
        [column, row]: [usize; 2],
        radius: f64,
    ) -> Option<Seen<Oval>> {
        let reach = reach(radius);
        let left = column.saturating_sub(reach);
        let top = row.saturating_sub(reach);
        let right = (column + reach + 1).min(self.width);
        let bottom = (row + reach + 1).min(self.height);
        let (wide, high) = (right - left, bottom - top);
        let mut window: Vec<f32> = (top..bottom)
            .flat_map(|r| {
                self.dark[r * self.width + left..r * self.width + right]
                    .iter()
                    .copied()
            })
            .collect();
        window = blurred(&window, wide, 0.2 * radius);
        let (mut inner, mut outer) = ([0.0_f32, 0.0], [0.0_f32, 0.0]);
        for (at, value) in window.iter().enumerate() {
            let x = (left + at % wide) as f64 - column as f64;
            let y = (top + at / wide) as f64 - row as f64;
            let away = math::hypot(x, y) / radius;
            let part = if away < 0.5 {
                &mut inner
            } else if (1.8..2.6).contains(&away)
                && ribbon.holds(2 * (left + at % wide), 2 * (top + at / wide))
            {
                &mut outer
            } else {
                continue;
            };
            part[0] += value;
            part[1] += 1.0;
        }
        let mean = |[sum, count]: [f32; 2]| if count > 0.0 { sum / count } else { 0.0 };
        let (inner, outer) = (mean(inner), mean(outer));
        let contrast = inner - outer;
        if contrast < DARKER {
            return None;
        }
        let level = outer + LEVEL * contrast;
        let mut mask = Mask {
            width: wide,
            counts: window.iter().map(|value| *value > level).collect(),
        };
        let spot = mask.take_area((row - top) * wide + column - left, false)?;
        let mut moments = Moments::default();
        let mut cut_off = 0_usize;
        for (c, r) in spot {
            moments.add(c as f64, r as f64);
            let at_side = c == 0 || r == 0 || c + 1 == wide || r + 1 == high;
            cut_off += usize::from(at_side);
        }
        let (middle, half_length, half_width, direction) = moments.oval()?;
        let filled = moments.count / (core::f64::consts::PI * half_length * half_width);
        let unit = 2.0 * colours.pixel;
        if cut_off > 0
            || half_length > LONGEST * half_width
            || half_width * unit < RADII[0]
            || filled < 0.7
        {
            return None;
        }
        let what = Oval {
            middle: colours.place(
                2.0 * (left as f64 + middle[0] + 0.5),
                2.0 * (top as f64 + middle[1] + 0.5),
            ),
            half_length: half_length * unit,
            half_width: half_width * unit,
            direction: -direction,
        };
        let bent = grain.map_or(0.0, |grain| bending(grain, &what));
        let times = f64::from(contrast / self.noise);
        let sure = share(times, 1.0, 5.0)
            * share(filled, 0.6, 0.9)
            * share(LONGEST + 1.0 - half_length / half_width, 0.0, 1.5);
        let sure = f64::min(1.0, sure * (0.8 + 0.4 * share(bent, 2.0, 10.0)));
        let because = format!(
            "A dark {} {:.0} mm long, {} than the wood round it{}.",
            if half_length < 1.4 * half_width {
                "round spot"
            } else {
                "oval"
            },
            2.0 * what.half_length,
            if contrast > 15.0 {
                "much darker"
            } else {
                "darker"
            },
            if bent > 5.0 {
                "; the grain bends round it"
            } else {
                ""
            },
        );
        (sure >= LEAST_SURE).then_some(Seen {
            what,
            sure,
            because,
        })
    }
}

/// How far the window round a blob reaches.
fn reach(radius: f64) -> usize {
    (3.5 * radius).ceil() as usize + 2
}

/// Below this nothing is proposed: it would be more work to refuse than to draw.
const LEAST_SURE: f64 = 0.25;

/// Sums over the pixels of a spot.
#[derive(Default)]
struct Moments {
    count: f64,
    x: f64,
    y: f64,
    xx: f64,
    yy: f64,
    xy: f64,
}

impl Moments {
    fn add(&mut self, x: f64, y: f64) {
        self.count += 1.0;
        self.x += x;
        self.y += y;
        self.xx += x * x;
        self.yy += y * y;
        self.xy += x * y;
    }

    /// The oval with the same moments: middle, half lengths, direction in degrees (y down).
    fn oval(&self) -> Option<([f64; 2], f64, f64, f64)> {
        if self.count < 4.0 {
            return None;
        }
        let (x, y) = (self.x / self.count, self.y / self.count);
        // A pixel is no point: it has a twelfth of its own.
        let xx = self.xx / self.count - x * x + 1.0 / 12.0;
        let yy = self.yy / self.count - y * y + 1.0 / 12.0;
        let xy = self.xy / self.count - x * y;
        let (mean, turn) = (0.5 * (xx + yy), math::hypot(0.5 * (xx - yy), xy));
        let (long, short) = (
            2.0 * (mean + turn).sqrt(),
            2.0 * (mean - turn).max(0.0).sqrt(),
        );
        (short > 0.0).then(|| {
            (
                [x, y],
                long,
                short,
                0.5 * math::atan2_deg(2.0 * xy, xx - yy),
            )
        })
    }
}

/// How far the grain round an oval strays from the one further off, in degrees.
fn bending(grain: &GrainField, knot: &Oval) -> f64 {
    let off = knot.half_length + grain.cell;
    let (mut sum, mut count) = (0.0, 0.0);
    for k in 0..8 {
        let (sine, cosine) = math::sin_cos_deg(45.0 * f64::from(k));
        let at = |distance: f64| {
            let mut place = knot.middle;
            place.x += distance * cosine;
            place.y += distance * sine;
            grain.direction_at(place)
        };
        if let (Some(near), Some(far)) = (at(off), at(off + 4.0 * grain.cell)) {
            let turn = (near - far).abs();
            sum += f64::min(turn, 180.0 - turn);
            count += 1.0;
        }
    }
    if count > 0.0 { sum / count } else { 0.0 }
}

/// The lightness at half size, less which its median along the board; 0 outside.
fn darker_than_along(colours: &Colours, ribbon: &Ribbon, width: usize, height: usize) -> Vec<f32> {
    let lightness = colours.lightness();
    let mut half = vec![0.0_f32; width * height];
    for column in 0..width {
        let (from, to) = ribbon.rows(2 * column, 2.0);
        for row in 0..height {
            // Beyond the edge its last wood goes on.
            let own = if to > from {
                (2 * row).clamp(from, to - 1)
            } else {
                2 * row
            };
            let next = (own + 1).min(colours.height - 1);
            let sum = |r: usize| {
                lightness[r * colours.width + 2 * column]
                    + lightness[r * colours.width + 2 * column + 1]
            };
            half[row * width + column] = 0.25 * (sum(own) + sum(next));
        }
    }
    let radius = (WINDOW / (4.0 * colours.pixel)).round() as usize;
    let mut dark = vec![0.0; width * height];
    let Some((first, last)) = ribbon.columns() else {
        return dark;
    };
    // Beyond the ends the last wood goes on.
    let first = (first / 2 + 2).min(width - 1);
    let last = (last / 2).saturating_sub(2).clamp(first, width - 1);
    let mut line = Vec::new();
    for row in 0..height {
        let values = &half[row * width..(row + 1) * width];
        line.clear();
        line.extend(
            values[first..=last]
                .iter()
                .map(|value| (2.5 * value).clamp(0.0, 255.0).round() as u8),
        );
        medians(&line, radius, |place, median| {
            let column = first + place;
            let (from, to) = ribbon.rows(2 * column, 3.0);
            if (from.div_ceil(2)..to / 2).contains(&row) {
                dark[row * width + column] = f32::from(median) / 2.5 - values[column];
            }
        });
    }
    dark
}

/// 1.5 times the median of what pixels of the board differ: the spread of most, whatever the few.
fn spread(dark: &[f32], ribbon: &Ribbon, width: usize) -> f32 {
    let mut counts = [0_usize; 400];
    let mut all = 0;
    for (at, value) in dark.iter().enumerate() {
        if ribbon.holds(2 * (at % width), 2 * (at / width)) {
            counts[((value.abs() * 10.0) as usize).min(399)] += 1;
            all += 1;
        }
    }
    let mut sum = 0;
    for (at, count) in counts.iter().enumerate() {
        sum += count;
        if 2 * sum >= all {
            return 1.5 * (at as f32 + 0.5) / 10.0;
        }
    }
    40.0
}
