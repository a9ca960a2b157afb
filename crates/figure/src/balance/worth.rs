//! How well a face meets a wish.

use super::{Answer, Measure, Measured, Sapwood, Spread, Wish};

/// How well measures meet a wish, from 0 to 1: the mean of the measures that the wish asks for, and of what the maker painted
/// where something was painted. What is not known counts as a half, neither for nor against: so a face
/// of which nothing is known is better than a bad one and worse than a good one.
///
/// Where nothing is chosen, what nobody minds counts: mirror or run-on, whichever is better, and sapwood on both edges
/// or on neither.
///
/// The mean and not the least: a search climbs better where every step is felt. Tried: the product, by which one measure near nothing
/// hid all others.
pub fn worth(measured: &[Measured], wish: &Wish) -> f64 {
    of(wish, |measure| {
        measured
            .iter()
            .find(|m| m.measure == measure)
            .and_then(|m| m.value)
    })
}

/// The same of measures that are made when they are asked for.
pub(super) fn of(wish: &Wish, value: impl Fn(Measure) -> Option<f64>) -> f64 {
    let known = |measure: Measure| value(measure).unwrap_or(0.5);
    let (mut sum, mut count) = (0.0, 0.0);
    let mut counts = |value: f64| {
        sum += value;
        count += 1.0;
    };
    if *wish == Wish::default() {
        counts(known(Measure::Mirror).max(known(Measure::RunOn)));
        counts(known(Measure::Sapwood));
    }
    for &measure in asked(wish).iter().flatten() {
        counts(known(measure));
    }
    if let Some(wanted) = value(Measure::Wanted) {
        counts(wanted);
    }
    sum / count
}

/// The measures that a wish asks for, one for each choice that matters.
pub fn asked(wish: &Wish) -> [Option<Measure>; 3] {
    [
        match wish.answer {
            Answer::Any => None,
            Answer::Mirror => Some(Measure::Mirror),
            Answer::RunOn => Some(Measure::RunOn),
        },
        match wish.spread {
            Spread::Any => None,
            Spread::Middle => Some(Measure::Middle),
            Spread::Even => Some(Measure::Even),
        },
        match wish.sapwood {
            Sapwood::Any => None,
            Sapwood::Both => Some(Measure::Sapwood),
            Sapwood::None => Some(Measure::Heartwood),
        },
    ]
}
