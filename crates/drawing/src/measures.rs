//! Scale bar and ruler.

use heartside_geometry::Point;
use heartside_timber::job::Job;
use heartside_timber::length::{Unit, write_dimension, write_length};

use crate::pen::{Pen, Words};
use crate::svg::number;

/// A length of about a tenth of the drawing in round figures of the job's unit, in millimetres, and its words.
pub(crate) fn round_length(job: &Job, about: f64) -> (f64, String) {
    let (unit, steps): (f64, &[f64]) = match job.units.unit {
        Unit::Millimetres => (
            1.0,
            &[
                1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0, 5000.0,
                10000.0,
            ],
        ),
        Unit::Inches => (
            25.4,
            &[
                0.25, 0.5, 1.0, 2.0, 6.0, 12.0, 24.0, 48.0, 96.0, 240.0, 480.0,
            ],
        ),
    };
    let mm = steps
        .iter()
        .map(|s| s * unit)
        .filter(|mm| *mm <= about)
        .fold(steps[0] * unit, f64::max);
    (mm, write_length(mm, &job.units))
}

/// A scale bar with its left end at a place; `per_mm` is the drawing's length of a true millimetre.
pub(crate) fn scale_bar(pen: &mut Pen, job: &Job, at: Point, per_mm: f64, about: f64) {
    let u = pen.unit;
    let (mm, words) = round_length(job, about / per_mm);
    let long = mm * per_mm;
    let d = format!(
        "M{x},{top}V{y}H{end}V{top}M{middle},{half}V{y}",
        x = number(at.x),
        top = number(at.y - 1.6 * u),
        y = number(at.y),
        end = number(at.x + long),
        middle = number(at.x + long / 2.0),
        half = number(at.y - 0.9 * u)
    );
    pen.open("", "hs-scale-bar", &words, "");
    pen.path("hs-pencil", &d, 0.2, &[]);
    pen.words(&Words::starting(
        words,
        "hs-dim",
        Point {
            x: at.x + long + 1.2 * u,
            y: at.y - 0.8 * u,
        },
        2.3 * u,
    ));
    pen.close();
}

/// A ruler over a stretch of the drawing, zero at `zero`, ticks upwards from `y`.
pub(crate) fn ruler(pen: &mut Pen, job: &Job, zero: f64, from: f64, to: f64, y: f64) {
    let u = pen.unit;
    let (major, _) = round_length(job, 34.0 * u);
    let minor = match job.units.unit {
        Unit::Millimetres
            if (major / 5.0).fract() == 0.0 && !major.to_string().starts_with('2') =>
        {
            major / 5.0
        }
        Unit::Millimetres => major / 4.0,
        Unit::Inches => major / 6.0,
    };
    let first = ((from - zero) / minor).ceil() as i64;
    let last = (((to - zero) / minor).floor() as i64).min(first + 4000);
    let every = (major / minor).round() as i64;
    let mut d = String::new();
    for k in first..=last {
        let x = zero + k as f64 * minor;
        let tall = if k % every == 0 { 2.6 } else { 1.3 };
        d.push_str(&format!(
            "M{},{}v{}",
            number(x),
            number(y),
            number(-tall * u)
        ));
    }
    pen.path("hs-pencil", &d, 0.16, &[]);
    let size = 2.3 * u;
    for k in (first..=last).filter(|k| k % every == 0) {
        let words = Words::new(
            write_dimension(k as f64 * minor, &job.units),
            "hs-dim",
            Point {
                x: zero + k as f64 * minor,
                y: y - 4.3 * u,
            },
            size,
        );
        pen.words(&words);
    }
}
