//! Why a wish is not met, in words.

use super::worth::asked;
use super::{Measure, Measured, Wish};

/// A measure that reaches this much is met, more or less.
const MET: f64 = 0.5;

/// What stands between a wish and the faces that could be made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum WhyNot {
    /// Too little is known of any of the faces to measure it.
    Unknown(Measure),
    /// No face reaches much: the best as much as this.
    OutOfReach(Measure, f64),
    /// There are faces for the one and faces for the other, and none for both.
    Apart(Measure, Measure),
}

/// What of a wish none of these faces meets, in the order of the choices; nothing where one meets all of it, or where
/// there are no faces. What the maker painted counts as chosen.
pub fn why_not(wish: &Wish, faces: &[&[Measured]]) -> Vec<WhyNot> {
    if faces.is_empty() {
        return Vec::new();
    }
    let value = |face: &[Measured], measure: Measure| {
        let of = face.iter().find(|m| m.measure == measure);
        of.and_then(|m| m.value)
    };
    let is_painted = faces.iter().any(|f| value(f, Measure::Wanted).is_some());
    let painted = is_painted.then_some(Measure::Wanted);
    let chosen = asked(wish).into_iter().chain([painted]).flatten();
    let (mut reasons, mut met): (Vec<WhyNot>, Vec<Measure>) = Default::default();
    for measure in chosen {
        let values = faces.iter().filter_map(|f| value(f, measure));
        match values.reduce(f64::max) {
            None => reasons.push(WhyNot::Unknown(measure)),
            Some(best) if best < MET => reasons.push(WhyNot::OutOfReach(measure, best)),
            Some(_) => met.push(measure),
        }
    }
    let meets = |face: &[Measured], measure| value(face, measure).is_some_and(|v| v >= MET);
    for (k, &one) in met.iter().enumerate() {
        for &other in &met[k + 1..] {
            if !faces.iter().any(|f| meets(f, one) && meets(f, other)) {
                reasons.push(WhyNot::Apart(one, other));
            }
        }
    }
    reasons
}

impl WhyNot {
    /// It as a sentence that says what can be done.
    pub fn sentence(&self) -> String {
        match *self {
            WhyNot::Unknown(measure) => format!(
                "Too little is known of {}: {}.",
                called(measure),
                match measure {
                    Measure::Sapwood | Measure::Heartwood =>
                        "take photographs of the boards\u{2019} faces, or mark their sapwood",
                    Measure::Middle =>
                        "take photographs of the boards\u{2019} faces, or mark where their figure is",
                    _ =>
                        "take photographs of the boards\u{2019} faces, finer ones where there are some",
                }
            ),
            WhyNot::OutOfReach(measure, best) => {
                let said = match measure {
                    Measure::Mirror => "No halves of these boards mirror each other well",
                    Measure::RunOn => "No joint of these boards runs on well",
                    Measure::Middle => "The lively wood of these boards cannot come to the middle",
                    Measure::Even => "These boards do not make a face that is alike all along",
                    Measure::Sapwood => {
                        "These boards do not give sapwood on both edges alike, nor a face without it"
                    }
                    Measure::Heartwood => "These boards do not give a face without sapwood",
                    Measure::Wanted => {
                        "What is painted as wanted cannot be seen without what is not"
                    }
                };
                let percent = (100.0 * best).round();
                format!(
                    "{said}: the best face reaches {percent} of 100. Allow more boards, or choose otherwise."
                )
            }
            WhyNot::Apart(one, other) => format!(
                "These boards give {} or {}, and not both in one face. Choose which matters more.",
                called(one),
                called(other)
            ),
        }
    }
}

/// What a measure is called in a sentence.
fn called(measure: Measure) -> &'static str {
    match measure {
        Measure::Mirror => "halves that mirror each other",
        Measure::RunOn => "joints that run on",
        Measure::Middle => "lively wood in the middle",
        Measure::Even => "a face alike all along",
        Measure::Sapwood => "sapwood on both edges or on neither",
        Measure::Heartwood => "a face without sapwood",
        Measure::Wanted => "what is painted as wanted",
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Answer, Sapwood, Spread};
    use super::*;

    fn face(values: &[(Measure, f64)]) -> Vec<Measured> {
        let of = |&(measure, value): &(Measure, f64)| Measured {
            measure,
            value: Some(value),
            lost: Vec::new(),
        };
        values.iter().map(of).collect()
    }

    #[test]
    fn each_reason_is_told_once_and_only_where_it_holds() {
        let wish = Wish {
            answer: Answer::Mirror,
            spread: Spread::Middle,
            sapwood: Sapwood::None,
        };
        let (mirror, middle, heart) = (Measure::Mirror, Measure::Middle, Measure::Heartwood);
        let of = |faces: &[Vec<Measured>]| {
            let faces: Vec<&[Measured]> = faces.iter().map(Vec::as_slice).collect();
            why_not(&wish, &faces)
        };
        assert_eq!(of(&[]), []);
        assert_eq!(
            of(&[face(&[(mirror, 0.9), (middle, 0.7), (heart, 1.0)])]),
            []
        );
        let apart = [
            face(&[(mirror, 0.9), (middle, 0.2), (heart, 0.3)]),
            face(&[(mirror, 0.1), (middle, 0.8), (heart, 0.2)]),
        ];
        let reasons = of(&apart);
        assert_eq!(
            reasons,
            [
                WhyNot::OutOfReach(heart, 0.3),
                WhyNot::Apart(mirror, middle)
            ]
        );
        let reasons = of(&[face(&[(mirror, 0.9), (Measure::Wanted, 0.1)])]);
        assert_eq!(
            reasons,
            [
                WhyNot::Unknown(middle),
                WhyNot::Unknown(heart),
                WhyNot::OutOfReach(Measure::Wanted, 0.1)
            ]
        );
        for measure in Measure::ALL {
            let all = [
                WhyNot::Unknown(measure),
                WhyNot::OutOfReach(measure, 0.31),
                WhyNot::Apart(measure, mirror),
            ];
            for reason in all {
                assert!(reason.sentence().ends_with('.'));
            }
        }
    }
}
