//! The ruler along the top of the floor: where its marks stand and what they say.

use crate::protocol::RulerMark;

/// Numbers stand at least this far apart on the screen, in pixels: nearer, and four digits run together.
const LABEL_ROOM: f64 = 58.0;
/// Marks without a number stand at least this far apart.
const MARK_ROOM: f64 = 9.0;
/// Never more marks than this, whatever is asked for.
const MOST_MARKS: f64 = 2000.0;
/// Millimetres of an inch (exact, by definition).
const INCH: f64 = 25.4;

/// The marks between two places of the floor, in millimetres from the start end.
///
/// `inches` picks the system; `pixels_per_mm` says how far the picture is enlarged, so that
/// numbers never run together. The numbers are whole millimetres, or inches and their
/// common fractions. A range or scale that is not finite and positive gives no marks.
pub fn ruler(inches: bool, from: f64, to: f64, pixels_per_mm: f64) -> Vec<RulerMark> {
    if !(from.is_finite() && to.is_finite() && pixels_per_mm.is_finite())
        || pixels_per_mm <= 0.0
        || to <= from
    {
        return Vec::new();
    }
    let (unit, steps) = if inches {
        (INCH, INCH_STEPS)
    } else {
        (1.0, METRIC_STEPS)
    };
    let step_for = |room: f64| {
        let least = room / pixels_per_mm / unit;
        steps
            .iter()
            .copied()
            .find(|step| *step >= least)
            .or(steps.last().copied())
            .unwrap_or(1.0)
    };
    let between_numbers = step_for(LABEL_ROOM);
    // Marks must fall on the numbers, so their step has to divide the numbers' step.
    let between_marks = steps
        .iter()
        .copied()
        .filter(|step| (between_numbers / step).fract() == 0.0)
        .find(|step| *step * unit * pixels_per_mm >= MARK_ROOM)
        .unwrap_or(between_numbers);
    let first = (from / unit / between_marks).ceil();
    let last = (to / unit / between_marks).floor();
    if last - first > MOST_MARKS {
        return Vec::new();
    }
    let mut marks = Vec::new();
    let mut place = first;
    while place <= last {
        let value = place * between_marks;
        let numbered = (value / between_numbers).fract() == 0.0;
        marks.push(RulerMark {
            at: value * unit,
            label: numbered.then(|| {
                if inches {
                    inch_text(value)
                } else {
                    whole(value)
                }
            }),
        });
        place += 1.0;
    }
    marks
}

/// Millimetres between marks, all of them binary-exact.
const METRIC_STEPS: &[f64] = &[
    1.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0, 5000.0, 10_000.0, 50_000.0,
    100_000.0,
];
/// Inches between marks: the fractions of a tape, then feet.
const INCH_STEPS: &[f64] = &[
    0.0625, 0.125, 0.25, 0.5, 1.0, 2.0, 6.0, 12.0, 24.0, 48.0, 96.0, 240.0, 480.0, 2400.0, 4800.0,
];

fn whole(value: f64) -> String {
    // A nought never carries a sign.
    format!("{}", if value == 0.0 { 0.0 } else { value })
}

fn inch_text(value: f64) -> String {
    let sixteenths = (value.abs() * 16.0).round();
    let (inches, rest) = ((sixteenths / 16.0).floor(), sixteenths % 16.0);
    let sign = if value < 0.0 { "−" } else { "" };
    if rest == 0.0 {
        return format!("{sign}{inches}\"");
    }
    let (mut over, mut under) = (rest, 16.0);
    while over % 2.0 == 0.0 {
        over /= 2.0;
        under /= 2.0;
    }
    if inches == 0.0 {
        format!("{sign}{over}/{under}\"")
    } else {
        format!("{sign}{inches} {over}/{under}\"")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn numbers(marks: &[RulerMark]) -> Vec<&str> {
        marks
            .iter()
            .filter_map(|mark| mark.label.as_deref())
            .collect()
    }

    #[test]
    fn a_whole_floor_is_numbered_by_half_metres_or_by_feet() {
        let metric = ruler(false, -100.0, 2600.0, 0.4);
        assert_eq!(numbers(&metric)[..4], ["0", "200", "400", "600"]);
        let far = ruler(false, 0.0, 2600.0, 0.15);
        assert_eq!(numbers(&far), ["0", "500", "1000", "1500", "2000", "2500"]);
        let inches = ruler(true, 0.0, 1300.0, 0.2);
        assert_eq!(numbers(&inches), ["0\"", "12\"", "24\"", "36\"", "48\""]);
        let foot = inches
            .iter()
            .find(|m| m.label.as_deref() == Some("12\""))
            .map_or(0.0, |m| m.at);
        assert!((foot - 304.8).abs() < 1e-9, "{foot}");
    }

    #[test]
    fn close_up_there_are_fractions_of_an_inch() {
        let marks = ruler(true, 0.0, 30.0, 8.0);
        assert!(numbers(&marks).contains(&"1/2\""), "{marks:?}");
        assert!(numbers(&marks).contains(&"1\""));
    }

    #[test]
    fn numbers_never_run_together_and_every_one_is_on_a_mark() {
        for inches in [false, true] {
            let mut scale = 0.011;
            while scale < 9.0 {
                let marks = ruler(inches, -500.0, 1400.0 / scale, scale);
                assert!(
                    !marks.is_empty() || 1400.0 / scale > 200_000.0,
                    "no marks at {scale}"
                );
                let at: Vec<f64> = marks
                    .iter()
                    .filter(|m| m.label.is_some())
                    .map(|m| m.at)
                    .collect();
                for pair in at.windows(2) {
                    assert!(
                        (pair[1] - pair[0]) * scale >= LABEL_ROOM - 1e-6,
                        "{pair:?} at {scale}"
                    );
                }
                scale *= 1.37;
            }
        }
    }

    #[test]
    fn nonsense_gives_no_marks() {
        assert!(ruler(false, f64::NAN, 1.0, 1.0).is_empty());
        assert!(ruler(false, 0.0, 1.0, 0.0).is_empty());
        assert!(ruler(false, 5.0, 1.0, 1.0).is_empty());
        assert!(ruler(true, 0.0, f64::INFINITY, 1.0).is_empty());
        assert!(ruler(false, 0.0, 1e300, 1.0).is_empty());
    }
}
