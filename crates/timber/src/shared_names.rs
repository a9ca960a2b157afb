//! Names that stand for different woods on different continents, or for several on one.
//!
//! Trade usage: common practice, no source. The woods are rows of [`crate::species::WOODS`].

use crate::species::{Wood, find_wood};

/// A name, and the woods that are sold under it, those of inch countries first.
const SHARED: &[(&str, &[&str])] = &[
    ("oak", &["white oak", "red oak", "European oak"]),
    ("ash", &["white ash", "black ash", "European ash"]),
    ("beech", &["American beech", "European beech"]),
    ("birch", &["yellow birch", "paper birch", "European birch"]),
    ("cherry", &["black cherry", "European cherry"]),
    ("elm", &["American elm", "European elm"]),
    ("walnut", &["black walnut", "European walnut"]),
    ("poplar", &["yellow-poplar", "European poplar"]),
    ("sycamore", &["American sycamore", "European sycamore"]),
    ("maple", &["sugar maple", "red maple", "European sycamore"]),
    ("larch", &["western larch", "European larch"]),
    ("spruce", &["Sitka spruce", "Norway spruce"]),
    ("fir", &["coast Douglas-fir", "white fir", "silver fir"]),
    (
        "pine",
        &["eastern white pine", "ponderosa pine", "Scots pine"],
    ),
    (
        "cedar",
        &["western red cedar", "eastern red cedar", "Spanish-cedar"],
    ),
    ("mahogany", &["true mahogany", "khaya", "sapele"]),
];

/// The two or three woods that a name may stand for; none where it stands for one, or for
/// none that is known.
pub fn woods_called(name: &str) -> &'static [&'static str] {
    let name = name.trim().to_lowercase();
    SHARED
        .iter()
        .find(|(shared, _)| *shared == name)
        .map_or(&[], |(_, woods)| woods)
}

/// The wood that a name stands for while nobody has said which: the heaviest, so that nobody
/// is asked to lift more than the list of cuts says.
pub fn counts_as(name: &str) -> Option<&'static Wood> {
    let mut heaviest = None;
    for wood in woods_called(name).iter().filter_map(|wood| find_wood(wood)) {
        if heaviest.is_none_or(|other: &Wood| wood.density > other.density) {
            heaviest = Some(wood);
        }
    }
    heaviest.or_else(|| find_wood(name))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::species::WOODS;
    use crate::words::either;

    #[test]
    fn every_wood_is_in_the_table_and_every_short_name_is_asked_about() {
        for (name, woods) in SHARED {
            assert!((2..=3).contains(&woods.len()), "{name}");
            for wood in *woods {
                assert_eq!(find_wood(wood).map(|w| w.name), Some(*wood));
            }
        }
        for wood in WOODS.iter().filter(|w| !w.short_name.is_empty()) {
            assert!(
                woods_called(wood.short_name).contains(&wood.name),
                "{} is taken for {} without a question",
                wood.short_name,
                wood.name
            );
        }
    }

    #[test]
    fn a_name_of_one_wood_is_no_question() {
        for name in ["white oak", "European ash", "teak", "Huon pine", ""] {
            assert!(woods_called(name).is_empty(), "{name}");
        }
        assert_eq!(woods_called(" Oak "), woods_called("oak"));
        assert_eq!(
            either(woods_called("oak")),
            "white oak, red oak or European oak"
        );
    }

    #[test]
    fn what_nobody_has_named_is_reckoned_heavy() {
        let name = |name| counts_as(name).map(|wood| wood.name);
        assert_eq!(name("oak"), Some("white oak"));
        assert_eq!(name("European oak"), Some("European oak"));
        assert_eq!(name("Huon pine"), None);
        for (shared, woods) in SHARED {
            let heaviest = counts_as(shared).and_then(|w| w.density);
            for wood in *woods {
                assert!(
                    find_wood(wood).and_then(|w| w.density) <= heaviest,
                    "{wood}"
                );
            }
        }
    }
}
