//! The data of a path: its commands become curves.

use heartside_geometry::math::{atan2_deg, sin_cos_deg};
use heartside_geometry::{Point, Vector};

use super::curve::{Curve, oval};
use super::scan::Scan;

/// Part of a path, from one move to the next.
#[derive(Debug, Default)]
pub(super) struct Stretch {
    pub(super) curves: Vec<Curve>,
    pub(super) closed: bool,
}

/// Reads path data; none where it cannot be read to its end.
pub(super) fn stretches(data: &str) -> Option<Vec<Stretch>> {
    let mut scan = Scan::of(data);
    let mut pen = Pen::default();
    let mut command = None;
    while !scan.is_done() {
        // A command goes on until the next; after a move come lines.
        let letter = match (scan.letter(), command) {
            (Some(letter), _) => letter,
            (None, Some('M')) => 'L',
            (None, Some('m')) => 'l',
            (None, Some(last)) if !matches!(last, 'z' | 'Z') => last,
            _ => return None,
        };
        if command.is_none() && !matches!(letter, 'm' | 'M') {
            return None;
        }
        command = Some(letter);
        pen.draw(letter, &mut scan)?;
    }
    pen.found.retain(|stretch| !stretch.curves.is_empty());
    Some(pen.found)
}

/// What draws a path.
struct Pen {
    found: Vec<Stretch>,
    here: Point,
    begin: Point,
    /// The last point that bent the curve before, if that was one of three or of four points.
    bend: Option<(usize, Point)>,
}

impl Default for Pen {
    fn default() -> Pen {
        let origin = Point::new(0.0, 0.0);
        Pen {
            found: vec![Stretch::default()],
            here: origin,
            begin: origin,
            bend: None,
        }
    }
}

impl Pen {
    /// Carries out one command with the numbers that follow it.
    fn draw(&mut self, letter: char, scan: &mut Scan<'_>) -> Option<()> {
        let here = self.here;
        let base = match letter.is_ascii_lowercase() {
            true => here - Point::new(0.0, 0.0),
            false => Vector::ZERO,
        };
        let kind = letter.to_ascii_lowercase();
        // A command after a closed stretch begins a new one where that began; so does a move.
        let last = self.found.last()?;
        if last.closed || (kind == 'm' && !last.curves.is_empty()) {
            self.found.push(Stretch::default());
        }
        let stretch = self.found.last_mut()?;
        let before = self.bend.take();
        let mut n = [0.0; 6];
        let mut points = |count: usize| -> Option<[Point; 3]> {
            scan.fill(&mut n[..2 * count])?;
            let at = |k: usize| Point::new(n[k], n[k + 1]) + base;
            Some([at(0), at(2), at(4)])
        };
        // Smooth commands mirror the point that bent the curve before.
        let mirrored = |points: usize| match before {
            Some((of, bend)) if of == points => here + (here - bend),
            _ => here,
        };
        let mut line_to = |to: Point| {
            if to != here {
                stretch.curves.push(Curve::line(here, to));
            }
            to
        };
        let through: [Point; 3] = match kind {
            'm' => {
                [self.here, ..] = points(1)?;
                self.begin = self.here;
                return Some(());
            }
            'z' => {
                self.here = line_to(self.begin);
                stretch.closed = true;
                return Some(());
            }
            'l' => {
                let [to, ..] = points(1)?;
                self.here = line_to(to);
                return Some(());
            }
            'h' => {
                self.here = line_to(Point::new(scan.number()? + base.x, here.y));
                return Some(());
            }
            'v' => {
                self.here = line_to(Point::new(here.x, scan.number()? + base.y));
                return Some(());
            }
            'a' => {
                let mut axes = [0.0; 3];
                scan.fill(&mut axes)?;
                let (large, positive) = (scan.flag()?, scan.flag()?);
                scan.fill(&mut n[..2])?;
                let to = Point::new(n[0], n[1]) + base;
                stretch.curves.extend(arc(here, to, axes, large, positive));
                self.here = to;
                return Some(());
            }
            'c' => points(3)?,
            's' => {
                let [second, to, _] = points(2)?;
                [mirrored(4), second, to]
            }
            'q' => {
                let [middle, to, _] = points(2)?;
                [middle, to, to]
            }
            't' => {
                let [to, ..] = points(1)?;
                [mirrored(3), to, to]
            }
            _ => return None,
        };
        let [first, second, to] = through;
        let (curve, bend) = match kind {
            'c' | 's' => (Curve::cubic([here, first, second, to]), (4, second)),
            _ => (Curve::quadratic([here, first, to]), (3, first)),
        };
        stretch.curves.push(curve);
        self.bend = Some(bend);
        self.here = to;
        Some(())
    }
}

/// An arc by its ends, by the rules of the standard (SVG 2, appendix B.2.4 and B.2.5): radii that are
/// too small grow until they reach, and an arc without radius is a line. `axes` are the two radii
/// and by how many degrees they are turned.
fn arc(
    from: Point,
    to: Point,
    [across, up, turn]: [f64; 3],
    large: bool,
    positive: bool,
) -> Vec<Curve> {
    let (across, up) = (across.abs(), up.abs());
    if from == to {
        return Vec::new();
    }
    if !(across.min(up) > 0.0 && across.max(up).is_finite()) {
        return vec![Curve::line(from, to)];
    }
    let (sin, cos) = sin_cos_deg(turn);
    let half = (from - to) * 0.5;
    // In the ellipse's own axes, measured in its radii: half the chord of a circle of radius 1.
    let half = Vector::new(
        (half.x * cos + half.y * sin) / across,
        (half.y * cos - half.x * sin) / up,
    );
    let grow = half.length().max(1.0);
    let half = half / grow;
    let rest = (1.0 - half.length_squared()).max(0.0).sqrt();
    let aside = half.unit().unwrap_or(Vector::ZERO).turned_left() * rest;
    let centre = if large == positive { aside } else { -aside };
    let (start, end) = (half - centre, -half - centre);
    let start_angle = atan2_deg(start.y, start.x);
    let mut sweep = atan2_deg(end.y, end.x) - start_angle;
    if positive && sweep < 0.0 {
        sweep += 360.0;
    } else if !positive && sweep > 0.0 {
        sweep -= 360.0;
    }
    let x = Vector::new(cos, sin) * (across * grow);
    let y = Vector::new(-sin, cos) * (up * grow);
    let middle = from.midpoint(to) + x * centre.x + y * centre.y;
    let mut curves = oval(middle, x, y, start_angle, sweep);
    // The ends as they were given, to the last bit.
    if let Some(first) = curves.first_mut() {
        first.begin_at(from);
    }
    if let Some(last) = curves.last_mut() {
        last.end_at(to);
    }
    curves
}
