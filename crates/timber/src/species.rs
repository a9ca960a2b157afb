//! What is published about the woods of the trade: density, shrinkage, movement.
//!
//! Sources of the rows:
//! - Wood Handbook FPL-GTR-190 (2010): shrinkage from Table 4-3 (imported woods 4-4),
//!   coefficients from Table 13-5, specific gravity from Table 5-3. Part of the numbers were
//!   read there, part are from memory; each row says which. For most rows the two tables
//!   confirm each other (a test below); for the rows named there they do not.
//! - Woods of Europe: differential shrinkage as in a German trade table after DIN 68100
//!   (published values differ by up to 40 %); density after Niemz 1993.
//!
//! Real boards differ by a quarter and more, so a job may set its own values.

/// Where the numbers of a row come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Source {
    /// Wood Handbook FPL-GTR-190, shrinkage and coefficients read.
    Handbook,
    /// Wood Handbook, one of the two read, the other from memory and confirmed by it.
    HandbookPartly,
    /// Wood Handbook, values from memory.
    HandbookFromMemory,
    /// German trade table after DIN 68100 (movement), Niemz 1993 (density).
    TradeTable,
    /// As before, movement from memory.
    TradeTableFromMemory,
}

impl Source {
    /// The source in words, for a footnote.
    pub fn words(self) -> &'static str {
        match self {
            Source::Handbook | Source::HandbookPartly => "Wood Handbook FPL-GTR-190 (2010)",
            Source::HandbookFromMemory => "Wood Handbook FPL-GTR-190 (2010), value from memory",
            Source::TradeTable => "trade table after DIN 68100; Niemz 1993",
            Source::TradeTableFromMemory => "trade table after DIN 68100, value from memory",
        }
    }
}

/// One wood.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wood {
    /// Its common name, letters small but for proper names.
    pub name: &'static str,
    /// A short name that stands for it where nothing else is said; may be empty.
    pub short_name: &'static str,
    /// kg/m³ at about 12 % moisture.
    pub density: Option<f64>,
    /// Change per 1 % of moisture as a share of the size at 10 %, tangential.
    pub tangential: Option<f64>,
    /// The same, radial.
    pub radial: Option<f64>,
    /// Percent of green size lost from green to oven-dry: (tangential, radial).
    pub shrinkage: Option<(f64, f64)>,
    /// Moisture in percent at which it begins to shrink.
    pub shrinks_from: f64,
    /// Where the numbers come from.
    pub source: Source,
}

const fn handbook(
    name: &'static str,
    gravity: Option<f64>,
    coefficients: (f64, f64),
    shrinkage: (f64, f64),
    shrinks_from: f64,
    source: Source,
) -> Wood {
    Wood {
        name,
        short_name: "",
        density: match gravity {
            // 1000 x G x 1.12: gravity on the volume at 12 %.
            Some(gravity) => Some(gravity * 1120.0),
            None => None,
        },
        tangential: Some(coefficients.0),
        radial: Some(coefficients.1),
        shrinkage: Some(shrinkage),
        shrinks_from,
        source,
    }
}

const fn european(
    name: &'static str,
    short_name: &'static str,
    density: Option<f64>,
    coefficients: Option<(f64, f64)>,
    source: Source,
) -> Wood {
    let (tangential, radial) = match coefficients {
        Some((tangential, radial)) => (Some(tangential), Some(radial)),
        None => (None, None),
    };
    Wood {
        name,
        short_name,
        density,
        tangential,
        radial,
        shrinkage: None,
        shrinks_from: 30.0,
        source,
    }
}

/// All woods with published values. Specific gravities of white oak, red oak, sugar maple,
/// black walnut, yellow-poplar, Douglas-fir and white pine are from memory.
#[rustfmt::skip]
pub const WOODS: &[Wood] = &[
    // Name, gravity at 12 %, (C_T, C_R), (S_T, S_R), start of shrinkage.
    handbook("red alder", None, (0.00256, 0.00151), (7.3, 4.4), 30.0, Source::Handbook),
    handbook("black ash", None, (0.00274, 0.00172), (7.8, 5.0), 30.0, Source::Handbook),
    handbook("Oregon ash", None, (0.00285, 0.00141), (8.1, 4.1), 30.0, Source::Handbook),
    handbook("green ash", None, (0.00274, 0.00169), (7.1, 4.6), 30.0, Source::Handbook),
    handbook("white ash", Some(0.6), (0.00274, 0.00169), (7.8, 4.9), 30.0, Source::Handbook),
    handbook("quaking aspen", None, (0.00234, 0.00119), (6.7, 3.5), 30.0, Source::Handbook),
    handbook("American basswood", None, (0.00330, 0.00230), (9.3, 6.6), 30.0, Source::Handbook),
    handbook("American beech", Some(0.64), (0.00431, 0.00190), (11.9, 5.5), 30.0, Source::Handbook),
    handbook("paper birch", None, (0.00304, 0.00219), (8.6, 6.3), 30.0, Source::Handbook),
    handbook("sweet birch", None, (0.00338, 0.00256), (9.0, 6.5), 30.0, Source::Handbook),
    handbook("yellow birch", None, (0.00338, 0.00256), (9.5, 7.3), 30.0, Source::Handbook),
    handbook("yellow buckeye", None, (0.00285, 0.00123), (8.1, 3.6), 30.0, Source::Handbook),
    handbook("butternut", None, (0.00223, 0.00116), (6.4, 3.4), 30.0, Source::Handbook),
    handbook("black cherry", Some(0.5), (0.00248, 0.00126), (7.1, 3.7), 30.0, Source::Handbook),
    handbook("American chestnut", None, (0.00234, 0.00116), (6.7, 3.4), 30.0, Source::Handbook),
    handbook("black cottonwood", None, (0.00304, 0.00123), (8.6, 3.6), 30.0, Source::Handbook),
    handbook("eastern cottonwood", None, (0.00327, 0.00133), (9.2, 3.9), 30.0, Source::Handbook),
    handbook("American elm", None, (0.00338, 0.00144), (9.5, 4.2), 30.0, Source::Handbook),
    handbook("rock elm", None, (0.00285, 0.00165), (8.1, 4.8), 30.0, Source::Handbook),
    handbook("slippery elm", None, (0.00315, 0.00169), (8.9, 4.9), 30.0, Source::Handbook),
    handbook("winged elm", None, (0.00419, 0.00183), (11.6, 5.3), 30.0, Source::Handbook),
    handbook("hackberry", None, (0.00315, 0.00165), (8.9, 4.8), 30.0, Source::Handbook),
    handbook("pecan hickory", None, (0.00315, 0.00169), (8.9, 4.9), 30.0, Source::Handbook),
    handbook("true hickory", None, (0.00411, 0.00259), (10.5, 7.0), 30.0, Source::HandbookFromMemory),
    handbook("honeylocust", None, (0.00230, 0.00144), (6.6, 4.2), 30.0, Source::HandbookPartly),
    handbook("black locust", None, (0.00252, 0.00158), (7.2, 4.6), 30.0, Source::HandbookPartly),
    handbook("Pacific madrone", None, (0.00451, 0.00194), (12.4, 5.6), 30.0, Source::HandbookPartly),
    handbook("southern magnolia", None, (0.00230, 0.00187), (6.6, 5.4), 30.0, Source::HandbookPartly),
    handbook("bigleaf maple", None, (0.00248, 0.00126), (7.1, 3.7), 30.0, Source::HandbookPartly),
    handbook("black maple", None, (0.00353, 0.00165), (9.3, 4.8), 30.0, Source::HandbookFromMemory),
    handbook("red maple", None, (0.00289, 0.00137), (8.2, 4.0), 30.0, Source::HandbookPartly),
    handbook("silver maple", None, (0.00252, 0.00102), (7.2, 3.0), 30.0, Source::HandbookPartly),
    handbook("sugar maple", Some(0.63), (0.00353, 0.00165), (9.9, 4.8), 30.0, Source::HandbookPartly),
    handbook("red oak", Some(0.63), (0.00369, 0.00158), (8.6, 4.0), 30.0, Source::HandbookFromMemory),
    handbook("white oak", Some(0.68), (0.00365, 0.00180), (10.5, 5.6), 30.0, Source::Handbook),
    handbook("live oak", None, (0.00338, 0.00230), (9.5, 6.6), 30.0, Source::Handbook),
    handbook("overcup oak", None, (0.00462, 0.00183), (12.7, 5.3), 30.0, Source::Handbook),
    handbook("persimmon", None, (0.00403, 0.00278), (11.2, 7.9), 30.0, Source::Handbook),
    handbook("sassafras", None, (0.00216, 0.00137), (6.2, 4.0), 30.0, Source::Handbook),
    handbook("sweetgum", None, (0.00365, 0.00183), (10.2, 5.3), 30.0, Source::Handbook),
    handbook("American sycamore", None, (0.00296, 0.00172), (8.4, 5.0), 30.0, Source::Handbook),
    handbook("tanoak", None, (0.00423, 0.00169), (11.7, 4.9), 30.0, Source::Handbook),
    handbook("black tupelo", None, (0.00308, 0.00176), (8.7, 5.1), 30.0, Source::Handbook),
    handbook("water tupelo", None, (0.00267, 0.00144), (7.6, 4.2), 30.0, Source::Handbook),
    handbook("black walnut", Some(0.55), (0.00274, 0.00190), (7.8, 5.5), 30.0, Source::Handbook),
    handbook("black willow", None, (0.00308, 0.00112), (8.7, 3.3), 30.0, Source::HandbookPartly),
    handbook("yellow-poplar", Some(0.42), (0.00289, 0.00158), (8.2, 4.6), 30.0, Source::HandbookPartly),
    handbook("baldcypress", None, (0.00216, 0.00130), (6.2, 3.8), 30.0, Source::HandbookFromMemory),
    handbook("yellow cedar", None, (0.00208, 0.00095), (6.0, 2.8), 30.0, Source::HandbookPartly),
    handbook("Atlantic white cedar", None, (0.00187, 0.00099), (5.4, 2.9), 30.0, Source::HandbookPartly),
    handbook("eastern red cedar", None, (0.00162, 0.00106), (4.7, 3.1), 30.0, Source::HandbookPartly),
    handbook("incense cedar", None, (0.00180, 0.00112), (5.2, 3.3), 30.0, Source::HandbookPartly),
    handbook("northern white cedar", None, (0.00229, 0.00101), (4.9, 2.2), 22.0, Source::HandbookPartly),
    handbook("Port-Orford cedar", None, (0.00241, 0.00158), (6.9, 4.6), 30.0, Source::HandbookPartly),
    handbook("western red cedar", None, (0.00234, 0.00111), (5.0, 2.4), 22.0, Source::HandbookPartly),
    handbook("coast Douglas-fir", Some(0.48), (0.00267, 0.00165), (7.6, 4.8), 30.0, Source::HandbookPartly),
    handbook("interior north Douglas-fir", None, (0.00241, 0.00130), (6.9, 3.8), 30.0, Source::HandbookPartly),
    handbook("balsam fir", None, (0.00241, 0.00099), (6.9, 2.9), 30.0, Source::HandbookPartly),
    handbook("white fir", None, (0.00245, 0.00112), (7.0, 3.3), 30.0, Source::HandbookPartly),
    handbook("western hemlock", None, (0.00274, 0.00144), (7.8, 4.2), 30.0, Source::HandbookFromMemory),
    handbook("western larch", None, (0.00323, 0.00155), (9.1, 4.5), 30.0, Source::HandbookFromMemory),
    handbook("eastern white pine", Some(0.35), (0.00212, 0.00071), (6.1, 2.1), 30.0, Source::HandbookFromMemory),
    handbook("loblolly pine", None, (0.00259, 0.00165), (7.4, 4.8), 30.0, Source::HandbookFromMemory),
    handbook("lodgepole pine", None, (0.00234, 0.00148), (6.7, 4.3), 30.0, Source::HandbookFromMemory),
    handbook("longleaf pine", None, (0.00263, 0.00176), (7.5, 5.1), 30.0, Source::HandbookFromMemory),
    handbook("ponderosa pine", None, (0.00216, 0.00133), (6.2, 3.9), 30.0, Source::HandbookFromMemory),
    handbook("red pine", None, (0.00252, 0.00130), (7.2, 3.8), 30.0, Source::HandbookFromMemory),
    handbook("sugar pine", None, (0.00194, 0.00099), (5.6, 2.9), 30.0, Source::HandbookFromMemory),
    handbook("western white pine", None, (0.00259, 0.00141), (7.4, 4.1), 30.0, Source::HandbookFromMemory),
    handbook("old-growth redwood", None, (0.00205, 0.00120), (4.4, 2.6), 22.0, Source::HandbookFromMemory),
    handbook("second-growth redwood", None, (0.00229, 0.00101), (4.9, 2.2), 22.0, Source::HandbookFromMemory),
    handbook("Engelmann spruce", None, (0.00248, 0.00130), (7.1, 3.8), 30.0, Source::HandbookFromMemory),
    handbook("red spruce", None, (0.00274, 0.00130), (7.8, 3.8), 30.0, Source::HandbookFromMemory),
    handbook("Sitka spruce", None, (0.00263, 0.00148), (7.5, 4.3), 30.0, Source::HandbookFromMemory),
    handbook("iroko", None, (0.00205, 0.00153), (3.8, 2.8), 22.0, Source::HandbookFromMemory),
    handbook("khaya", None, (0.00201, 0.00141), (4.5, 2.5), 30.0, Source::HandbookFromMemory),
    handbook("true mahogany", None, (0.00238, 0.00172), (4.1, 3.0), 22.0, Source::HandbookFromMemory),
    handbook("limba", None, (0.00187, 0.00151), (6.2, 4.5), 30.0, Source::HandbookFromMemory),
    handbook("teak", None, (0.00186, 0.00101), (5.8, 2.5), 22.0, Source::HandbookFromMemory),
    handbook("Spanish-cedar", None, (0.00219, 0.00141), (6.3, 4.2), 30.0, Source::HandbookFromMemory),
    // Name, short name, kg/m³, (tangential, radial).
    european("European oak", "oak", Some(670.0), Some((0.0036, 0.0016)), Source::TradeTable),
    european("European beech", "beech", Some(690.0), Some((0.0041, 0.0020)), Source::TradeTable),
    european("European ash", "ash", Some(690.0), Some((0.0038, 0.0021)), Source::TradeTable),
    european("European sycamore", "sycamore", None, Some((0.0026, 0.0015)), Source::TradeTableFromMemory),
    european("European elm", "elm", None, Some((0.0023, 0.0020)), Source::TradeTable),
    european("European birch", "birch", Some(650.0), Some((0.0041, 0.0029)), Source::TradeTable),
    european("European walnut", "walnut", None, Some((0.0029, 0.0018)), Source::TradeTable),
    european("European cherry", "cherry", None, Some((0.0028, 0.0017)), Source::TradeTableFromMemory),
    european("European poplar", "poplar", None, Some((0.0031, 0.0013)), Source::TradeTable),
    european("Scots pine", "pine", Some(520.0), Some((0.0036, 0.0019)), Source::TradeTable),
    european("Norway spruce", "spruce", Some(470.0), Some((0.0039, 0.0019)), Source::TradeTable),
    european("European larch", "larch", Some(590.0), Some((0.0030, 0.0014)), Source::TradeTable),
    european("silver fir", "fir", None, Some((0.0028, 0.0014)), Source::TradeTable),
    european("sapele", "", None, Some((0.0032, 0.0024)), Source::TradeTable),
    european("utile", "", Some(590.0), Some((0.0025, 0.0020)), Source::TradeTable),
    european("wenge", "", None, Some((0.0034, 0.0022)), Source::TradeTable),
    european("robinia", "", Some(730.0), None, Source::TradeTable),
];

/// The wood of this name: full, short, or turned round (`maple, sugar`), in any letters.
pub fn find_wood(name: &str) -> Option<&'static Wood> {
    let wanted = plain_name(name);
    if wanted.is_empty() {
        return None;
    }
    WOODS
        .iter()
        .find(|wood| wood.name.to_lowercase() == wanted)
        .or_else(|| WOODS.iter().find(|wood| wood.short_name == wanted))
}

/// Small letters, single spaces, and `maple, sugar` turned into `sugar maple`.
fn plain_name(name: &str) -> String {
    let small = name.to_lowercase();
    let turned = match small.split_once(',') {
        Some((kind, which)) => format!("{which} {kind}"),
        None => small,
    };
    turned.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::density_from_gravity;
    use crate::movement::coefficient_from_shrinkage;

    /// Rows whose printed coefficient is not the one that their shrinkage gives: shared
    /// commercial values, or the two handbook tables disagree.
    const NOT_MATCHING: [&str; 12] = [
        "green ash",
        "sweet birch",
        "true hickory",
        "black maple",
        "red oak",
        "white oak",
        "iroko",
        "khaya",
        "true mahogany",
        "limba",
        "teak",
        "Spanish-cedar",
    ];

    /// Wood Handbook FPL-GTR-190: Table 13-5 follows from Table 4-3 by the footnote's formula.
    #[test]
    fn coefficients_follow_from_shrinkage() {
        let mut checked = 0;
        for wood in WOODS.iter().filter(|w| !NOT_MATCHING.contains(&w.name)) {
            let Some((tangential, radial)) = wood.shrinkage else {
                continue;
            };
            for (shrinkage, printed) in [(tangential, wood.tangential), (radial, wood.radial)] {
                let worked = coefficient_from_shrinkage(shrinkage, wood.shrinks_from);
                let off = (worked - printed.unwrap()).abs();
                assert!(off < 0.00003, "{}: {worked} is not {printed:?}", wood.name);
                checked += 1;
            }
        }
        assert_eq!(checked, 2 * (80 - NOT_MATCHING.len()));
    }

    #[test]
    fn the_table_is_sound() {
        for (row, wood) in WOODS.iter().enumerate() {
            assert!(
                WOODS[..row].iter().all(|other| other.name != wood.name),
                "{}",
                wood.name
            );
            assert!(
                wood.density.is_none_or(|d| (300.0..1100.0).contains(&d)),
                "{}",
                wood.name
            );
            for coefficient in [wood.tangential, wood.radial].into_iter().flatten() {
                assert!((0.0005..0.005).contains(&coefficient), "{}", wood.name);
            }
            assert!(
                wood.density.is_some() || wood.tangential.is_some(),
                "{}",
                wood.name
            );
        }
    }

    #[test]
    fn densities_are_those_of_the_gravity() {
        let oak = find_wood("white oak").and_then(|w| w.density).unwrap();
        assert!((oak - density_from_gravity(0.68, 12.0)).abs() < 1e-9);
    }

    #[test]
    fn woods_are_found_by_any_usual_name() {
        assert_eq!(find_wood("Maple, sugar").unwrap().name, "sugar maple");
        assert_eq!(find_wood("  SUGAR   maple ").unwrap().name, "sugar maple");
        assert_eq!(find_wood("ash").unwrap().name, "European ash");
        assert_eq!(
            find_wood("coast douglas-fir").unwrap().name,
            "coast Douglas-fir"
        );
        assert_eq!(find_wood("plastic"), None);
        assert_eq!(find_wood(""), None);
    }
}
