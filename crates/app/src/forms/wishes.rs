//! What counts in a face, chosen among small pictures of extremes.

use super::spec::{Kind, Spec, field};
use crate::protocol::SmallPicture;

const ANSWER: &[(&str, &str)] = &[
    ("any", "no matter"),
    ("mirror", "halves mirrored"),
    ("run_on", "as if one board"),
];

const SPREAD: &[(&str, &str)] = &[
    ("any", "no matter"),
    ("middle", "in the middle"),
    ("even", "alike all along"),
];

const SAPWOOD: &[(&str, &str)] = &[
    ("any", "no matter"),
    ("both", "on both edges or none"),
    ("none", "none"),
];

/// How the halves go together.
pub(super) const fn answer(path: &'static str) -> Spec {
    field(path, "Figure", "Halves and joints", Kind::Choice(ANSWER))
        .looks(answer_looks)
        .hint("Photographs tell the figure: faces are measured and looked for by what is chosen here.")
}

/// Where the figure goes.
pub(super) const fn spread(path: &'static str) -> Spec {
    field(path, "Figure", "Lively wood", Kind::Choice(SPREAD)).looks(spread_looks)
}

/// What is seen of sapwood.
pub(super) const fn sapwood(path: &'static str) -> Spec {
    field(path, "Figure", "Sapwood seen", Kind::Choice(SAPWOOD)).looks(sapwood_looks)
}

/// A face of two halves, 80 by 30 units.
const HALVES: &str = "M4 3H76V27H4ZM4 15H76";
/// A face.
const FACE: &str = "M4 3H76V27H4Z";

fn drawn(wood: &str, sign: &str) -> Option<SmallPicture> {
    Some(SmallPicture {
        wood: wood.to_owned(),
        sign: sign.to_owned(),
    })
}

fn answer_looks(answer: &str) -> Option<SmallPicture> {
    let sign = match answer {
        // Arches that open from the joint.
        "mirror" => {
            "M10 13C28 13 28 5.5 44 5.5S58 13 70 13M24 13C34 13 36 9.5 44 9.5S52 13 59 13\
             M10 17C28 17 28 24.5 44 24.5S58 17 70 17M24 17C34 17 36 20.5 44 20.5S52 17 59 17"
        }
        // Lines that cross the joint without a step.
        "run_on" => {
            "M5 25C30 25 46 15 75 13M5 20C26 20 42 9 75 7.5M5 14C22 14 36 6 58 4\
             M22 26C44 25 56 20 75 18.5"
        }
        // An arch beside lines that have nothing to do with it.
        _ => {
            "M8 13C16 13 16 6 26 6S36 13 44 13M50 7H74M52 11H74M6 19H32M6 23H28M42 26C50 26 52 18 60 18S68 26 74 26"
        }
    };
    drawn(HALVES, sign)
}

fn spread_looks(spread: &str) -> Option<SmallPicture> {
    let sign = match spread {
        "middle" => {
            "M30 15A10 7 0 1 0 50 15A10 7 0 1 0 30 15M35 15A5 3.5 0 1 0 45 15A5 3.5 0 1 0 35 15\
             M8 8H24M8 15H22M8 22H24M56 8H72M58 15H72M56 22H72"
        }
        "even" => {
            "M7 9q4 -4 8 0t8 0t8 0t8 0t8 0t8 0t8 0t8 0M7 15q4 -4 8 0t8 0t8 0t8 0t8 0t8 0t8 0t8 0\
             M7 21q4 -4 8 0t8 0t8 0t8 0t8 0t8 0t8 0t8 0"
        }
        // A lively place cut off at an end, and another somewhere.
        _ => {
            "M4 6A12 8 0 0 1 4 22M4 10A6 4 0 0 1 4 18M52 20A7 4.5 0 1 0 66 20A7 4.5 0 1 0 52 20\
             M22 8H72M22 15H46M22 22H46"
        }
    };
    drawn(FACE, sign)
}

fn sapwood_looks(seen: &str) -> Option<SmallPicture> {
    const LOWER: &str = "M4 21C20 19 30 23 44 21S66 20 76 21M9 27l4 -6M19 27l4 -7M29 27l4 -6M39 27l4 -6M49 27l4 -6M59 27l4 -6.5M69 27l4 -6";
    const UPPER: &str = "M4 9C20 7 30 11 44 9S66 8 76 9M9 9l4 -6M19 8.5l4 -5.5M29 9l4 -6M39 9.5l4 -6.5M49 9l4 -6M59 8.5l4 -5.5M69 8.5l4 -5.5";
    let both = [LOWER, UPPER].concat();
    let sign = match seen {
        "both" => both.as_str(),
        "none" => "M9 9H71M9 15H71M9 21H71",
        _ => UPPER,
    };
    drawn(FACE, sign)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_choice_looks_like_itself_alone() {
        let of = |choices: &[(&str, &str)], looks: fn(&str) -> Option<SmallPicture>| {
            for (k, (a, _)) in choices.iter().enumerate() {
                for (b, _) in &choices[k + 1..] {
                    assert_ne!(looks(a), looks(b), "{a} and {b}");
                }
            }
        };
        of(ANSWER, answer_looks);
        of(SPREAD, spread_looks);
        of(SAPWOOD, sapwood_looks);
    }
}
