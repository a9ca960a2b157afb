//! Measures of a face and what it takes, in words.

use heartside_figure::balance::{Measure, Measured};
use heartside_geometry::Bounds;
use heartside_timber::length::write_decimal;

use crate::protocol::{LostPlace, MeasureRow};

/// Where less is lost than this share of what the worst place loses nothing is pointed at.
const WORTH_SHOWING: f64 = 0.5;
/// So many places where a measure is lost are shown.
const SHOWN: usize = 3;

/// The measures of a face of this length and width, each with where it is lost. `stands`: its grain is shown upright,
/// its start at the top and its lowest part to the left.
pub(crate) fn measure_rows(measured: &[Measured], size: [f64; 2], stands: bool) -> Vec<MeasureRow> {
    let row = |found: &Measured| {
        let worst = found.lost.first().map_or(0.0, |(_, share)| *share);
        let is_lost = found.value.is_some_and(|value| value < 0.95);
        let is_shown = |share: f64| is_lost && share >= WORTH_SHOWING * worst;
        let lost = found.lost.iter().filter(|(_, share)| is_shown(*share));
        let lost: Vec<&(Bounds, f64)> = lost.take(SHOWN).collect();
        MeasureRow {
            name: name(found.measure).to_owned(),
            value: found.value,
            text: found.value.map_or_else(
                || "too little is seen to say".to_owned(),
                |value| write_decimal(value, 2),
            ),
            lost_at: lost
                .first()
                .map_or_else(String::new, |(at, _)| place_words(at, size, stands)),
            lost: lost
                .iter()
                .map(|(at, share)| place(at, *share, (size, stands)))
                .collect(),
        }
    };
    // Where nothing was painted nothing is missing.
    let is_told = |found: &&Measured| found.measure != Measure::Wanted || found.value.is_some();
    measured.iter().filter(is_told).map(row).collect()
}

fn name(measure: Measure) -> &'static str {
    match measure {
        Measure::Mirror => "Halves answer each other",
        Measure::Even => "Even from end to end",
        Measure::RunOn => "Runs on across the joints",
        Measure::Middle => "Liveliest in the middle",
        Measure::Sapwood => "Sapwood on both edges or neither",
        Measure::Heartwood => "No sapwood seen",
        Measure::Wanted => "What you want of it is seen",
    }
}

fn place(at: &Bounds, share: f64, (size, stands): ([f64; 2], bool)) -> LostPlace {
    if stands {
        return LostPlace {
            x: at.min.y,
            y: at.min.x,
            width: at.height(),
            height: at.width(),
            share,
        };
    }
    LostPlace {
        x: at.min.x,
        // Pictures have y downwards.
        y: size[1] - at.max.y,
        width: at.width(),
        height: at.height(),
        share,
    }
}

/// "left end of the lower half".
fn place_words(at: &Bounds, size: [f64; 2], stands: bool) -> String {
    let [start, far, low, high] = match stands {
        true => ["upper end", "lower end", "left half", "right half"],
        false => ["left end", "right end", "lower half", "upper half"],
    };
    let spans = |from: f64, to: f64, whole: f64, share: f64| to - from > share * whole;
    let middle = at.centre();
    let along = if spans(at.min.x, at.max.x, size[0], 0.6) {
        ""
    } else if middle.x < size[0] * 0.36 {
        start
    } else if middle.x > size[0] * 0.64 {
        far
    } else {
        "middle"
    };
    let across = if spans(at.min.y, at.max.y, size[1], 0.6) {
        ""
    } else if middle.y < size[1] / 2.0 {
        low
    } else {
        high
    };
    match (along, across) {
        ("", "") => "all over".to_owned(),
        ("", half) => format!("all along the {half}"),
        (end, "") => end.to_owned(),
        (end, half) => format!("{end} of the {half}"),
    }
}
