//! What is published about the woods of the trade: density, shrinkage, movement.
//!
//! Sources of the rows:
//! - Wood Handbook FPL-GTR-190 (2010): shrinkage from Table 4-3 (imported woods 4-4),
//!   coefficients from Table 13-5, specific gravity at 12 % moisture from Table 5-3 (imported
//!   woods: on green volume, Table 5-5, brought to 12 % by the edition of 1999, chapter 3). Part
//!   of the numbers were read there, part are from memory; each row says which. For most rows the
//!   two tables of movement confirm each other (a test below); for the rows named there they do not.
//! - Woods of Europe: differential shrinkage as in a German trade table after DIN 68100
//!   (published values differ by up to 40 %); density after Niemz 1993, or usual figures of the
//!   trade from memory.
//!
//! Density from gravity: 1000 x G x 1.12 kg/m³ at 12 % (Wood Handbook, chapter 4).
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
            Source::Handbook => "Wood Handbook FPL-GTR-190 (2010)",
            Source::HandbookPartly => {
                "Wood Handbook FPL-GTR-190 (2010), half of the values from memory"
            }
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
    /// The density was not read but remembered.
    pub density_from_memory: bool,
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

impl Wood {
    /// Where the numbers come from, and which are from memory, for a list that is shown: "Wood
    /// Handbook FPL-GTR-190 (2010); weight from memory".
    pub fn source_words(&self) -> String {
        let weight = if self.density_from_memory {
            "; weight from memory"
        } else {
            ""
        };
        format!("{}{weight}", self.source.words())
    }

    /// It is a conifer's.
    pub fn is_softwood(&self) -> bool {
        is_softwood(self.name) == Some(true)
    }
}

/// A specific gravity: oven-dry mass over volume.
#[derive(Clone, Copy)]
enum Gravity {
    /// On the volume at 12 %, read.
    Read(f64),
    /// On the volume at 12 %, from memory.
    Known(f64),
    /// On green volume, from memory.
    Green(f64),
}

impl Gravity {
    /// kg/m³ at 12 %: 1000 x G x 1.12, and G = Gb / (1 - 0.265 a Gb) with a = (30 - 12)/30
    /// from the gravity on green volume (as `gravity_at_moisture` of the tests, which a
    /// constant cannot call).
    const fn density(self) -> f64 {
        match self {
            Gravity::Read(gravity) | Gravity::Known(gravity) => gravity * 1120.0,
            Gravity::Green(basic) => basic / (1.0 - 0.265 * 0.6 * basic) * 1120.0,
        }
    }
}

const fn handbook(
    name: &'static str,
    gravity: Gravity,
    coefficients: (f64, f64),
    shrinkage: (f64, f64),
    shrinks_from: f64,
    source: Source,
) -> Wood {
    Wood {
        name,
        short_name: "",
        density: Some(gravity.density()),
        density_from_memory: !matches!(gravity, Gravity::Read(_)),
        tangential: Some(coefficients.0),
        radial: Some(coefficients.1),
        shrinkage: Some(shrinkage),
        shrinks_from,
        source,
    }
}

/// A density in kg/m³ at about 12 %.
#[derive(Clone, Copy)]
enum Density {
    /// Niemz 1993.
    Niemz(f64),
    /// Usual in the trade, from memory.
    Known(f64),
}

const fn european(
    name: &'static str,
    short_name: &'static str,
    density: Density,
    coefficients: Option<(f64, f64)>,
    source: Source,
) -> Wood {
    let (tangential, radial) = match coefficients {
        Some((tangential, radial)) => (Some(tangential), Some(radial)),
        None => (None, None),
    };
    let (density, density_from_memory) = match density {
        Density::Niemz(density) => (density, false),
        Density::Known(density) => (density, true),
    };
    Wood {
        name,
        short_name,
        density: Some(density),
        density_from_memory,
        tangential,
        radial,
        shrinkage: None,
        shrinks_from: 30.0,
        source,
    }
}

/// All woods with published values.
#[rustfmt::skip]
pub const WOODS: &[Wood] = &[
    // Name, gravity, (C_T, C_R), (S_T, S_R), start of shrinkage.
    handbook("red alder", Gravity::Read(0.41), (0.00256, 0.00151), (7.3, 4.4), 30.0, Source::Handbook),
    handbook("black ash", Gravity::Known(0.49), (0.00274, 0.00172), (7.8, 5.0), 30.0, Source::Handbook),
    handbook("Oregon ash", Gravity::Known(0.55), (0.00285, 0.00141), (8.1, 4.1), 30.0, Source::Handbook),
    handbook("green ash", Gravity::Known(0.56), (0.00274, 0.00169), (7.1, 4.6), 30.0, Source::Handbook),
    handbook("white ash", Gravity::Read(0.60), (0.00274, 0.00169), (7.8, 4.9), 30.0, Source::Handbook),
    handbook("quaking aspen", Gravity::Read(0.38), (0.00234, 0.00119), (6.7, 3.5), 30.0, Source::Handbook),
    handbook("American basswood", Gravity::Read(0.37), (0.00330, 0.00230), (9.3, 6.6), 30.0, Source::Handbook),
    handbook("American beech", Gravity::Read(0.64), (0.00431, 0.00190), (11.9, 5.5), 30.0, Source::Handbook),
    handbook("paper birch", Gravity::Read(0.55), (0.00304, 0.00219), (8.6, 6.3), 30.0, Source::Handbook),
    handbook("sweet birch", Gravity::Read(0.65), (0.00338, 0.00256), (9.0, 6.5), 30.0, Source::Handbook),
    handbook("yellow birch", Gravity::Read(0.62), (0.00338, 0.00256), (9.5, 7.3), 30.0, Source::Handbook),
    handbook("yellow buckeye", Gravity::Known(0.36), (0.00285, 0.00123), (8.1, 3.6), 30.0, Source::Handbook),
    handbook("butternut", Gravity::Read(0.38), (0.00223, 0.00116), (6.4, 3.4), 30.0, Source::Handbook),
    handbook("black cherry", Gravity::Read(0.50), (0.00248, 0.00126), (7.1, 3.7), 30.0, Source::Handbook),
    handbook("American chestnut", Gravity::Read(0.43), (0.00234, 0.00116), (6.7, 3.4), 30.0, Source::Handbook),
    handbook("black cottonwood", Gravity::Known(0.35), (0.00304, 0.00123), (8.6, 3.6), 30.0, Source::Handbook),
    handbook("eastern cottonwood", Gravity::Known(0.40), (0.00327, 0.00133), (9.2, 3.9), 30.0, Source::Handbook),
    handbook("American elm", Gravity::Read(0.50), (0.00338, 0.00144), (9.5, 4.2), 30.0, Source::Handbook),
    handbook("rock elm", Gravity::Read(0.63), (0.00285, 0.00165), (8.1, 4.8), 30.0, Source::Handbook),
    handbook("slippery elm", Gravity::Known(0.53), (0.00315, 0.00169), (8.9, 4.9), 30.0, Source::Handbook),
    handbook("winged elm", Gravity::Known(0.66), (0.00419, 0.00183), (11.6, 5.3), 30.0, Source::Handbook),
    handbook("hackberry", Gravity::Read(0.53), (0.00315, 0.00165), (8.9, 4.8), 30.0, Source::Handbook),
    handbook("pecan hickory", Gravity::Read(0.66), (0.00315, 0.00169), (8.9, 4.9), 30.0, Source::Handbook),
    handbook("true hickory", Gravity::Read(0.72), (0.00411, 0.00259), (10.5, 7.0), 30.0, Source::HandbookFromMemory),
    handbook("honeylocust", Gravity::Green(0.60), (0.00230, 0.00144), (6.6, 4.2), 30.0, Source::HandbookPartly),
    handbook("black locust", Gravity::Read(0.69), (0.00252, 0.00158), (7.2, 4.6), 30.0, Source::HandbookPartly),
    handbook("Pacific madrone", Gravity::Known(0.65), (0.00451, 0.00194), (12.4, 5.6), 30.0, Source::HandbookPartly),
    handbook("southern magnolia", Gravity::Known(0.50), (0.00230, 0.00187), (6.6, 5.4), 30.0, Source::HandbookPartly),
    handbook("bigleaf maple", Gravity::Read(0.48), (0.00248, 0.00126), (7.1, 3.7), 30.0, Source::HandbookPartly),
    handbook("black maple", Gravity::Read(0.57), (0.00353, 0.00165), (9.3, 4.8), 30.0, Source::HandbookFromMemory),
    handbook("red maple", Gravity::Read(0.54), (0.00289, 0.00137), (8.2, 4.0), 30.0, Source::HandbookPartly),
    handbook("silver maple", Gravity::Known(0.47), (0.00252, 0.00102), (7.2, 3.0), 30.0, Source::HandbookPartly),
    handbook("sugar maple", Gravity::Known(0.63), (0.00353, 0.00165), (9.9, 4.8), 30.0, Source::HandbookPartly),
    handbook("red oak", Gravity::Known(0.63), (0.00369, 0.00158), (8.6, 4.0), 30.0, Source::HandbookFromMemory),
    handbook("white oak", Gravity::Known(0.68), (0.00365, 0.00180), (10.5, 5.6), 30.0, Source::Handbook),
    handbook("live oak", Gravity::Known(0.88), (0.00338, 0.00230), (9.5, 6.6), 30.0, Source::Handbook),
    handbook("overcup oak", Gravity::Known(0.63), (0.00462, 0.00183), (12.7, 5.3), 30.0, Source::Handbook),
    handbook("persimmon", Gravity::Green(0.64), (0.00403, 0.00278), (11.2, 7.9), 30.0, Source::Handbook),
    handbook("sassafras", Gravity::Known(0.46), (0.00216, 0.00137), (6.2, 4.0), 30.0, Source::Handbook),
    handbook("sweetgum", Gravity::Known(0.52), (0.00365, 0.00183), (10.2, 5.3), 30.0, Source::Handbook),
    handbook("American sycamore", Gravity::Known(0.49), (0.00296, 0.00172), (8.4, 5.0), 30.0, Source::Handbook),
    handbook("tanoak", Gravity::Green(0.58), (0.00423, 0.00169), (11.7, 4.9), 30.0, Source::Handbook),
    handbook("black tupelo", Gravity::Known(0.50), (0.00308, 0.00176), (8.7, 5.1), 30.0, Source::Handbook),
    handbook("water tupelo", Gravity::Known(0.50), (0.00267, 0.00144), (7.6, 4.2), 30.0, Source::Handbook),
    handbook("black walnut", Gravity::Known(0.55), (0.00274, 0.00190), (7.8, 5.5), 30.0, Source::Handbook),
    handbook("black willow", Gravity::Known(0.39), (0.00308, 0.00112), (8.7, 3.3), 30.0, Source::HandbookPartly),
    handbook("yellow-poplar", Gravity::Known(0.42), (0.00289, 0.00158), (8.2, 4.6), 30.0, Source::HandbookPartly),
    handbook("baldcypress", Gravity::Known(0.46), (0.00216, 0.00130), (6.2, 3.8), 30.0, Source::HandbookFromMemory),
    handbook("yellow cedar", Gravity::Known(0.44), (0.00208, 0.00095), (6.0, 2.8), 30.0, Source::HandbookPartly),
    handbook("Atlantic white cedar", Gravity::Known(0.32), (0.00187, 0.00099), (5.4, 2.9), 30.0, Source::HandbookPartly),
    handbook("eastern red cedar", Gravity::Known(0.47), (0.00162, 0.00106), (4.7, 3.1), 30.0, Source::HandbookPartly),
    handbook("incense cedar", Gravity::Known(0.37), (0.00180, 0.00112), (5.2, 3.3), 30.0, Source::HandbookPartly),
    handbook("northern white cedar", Gravity::Known(0.31), (0.00229, 0.00101), (4.9, 2.2), 22.0, Source::HandbookPartly),
    handbook("Port-Orford cedar", Gravity::Known(0.43), (0.00241, 0.00158), (6.9, 4.6), 30.0, Source::HandbookPartly),
    handbook("western red cedar", Gravity::Known(0.32), (0.00234, 0.00111), (5.0, 2.4), 22.0, Source::HandbookPartly),
    handbook("coast Douglas-fir", Gravity::Known(0.48), (0.00267, 0.00165), (7.6, 4.8), 30.0, Source::HandbookPartly),
    handbook("interior north Douglas-fir", Gravity::Known(0.48), (0.00241, 0.00130), (6.9, 3.8), 30.0, Source::HandbookPartly),
    handbook("balsam fir", Gravity::Known(0.35), (0.00241, 0.00099), (6.9, 2.9), 30.0, Source::HandbookPartly),
    handbook("white fir", Gravity::Known(0.39), (0.00245, 0.00112), (7.0, 3.3), 30.0, Source::HandbookPartly),
    handbook("western hemlock", Gravity::Known(0.45), (0.00274, 0.00144), (7.8, 4.2), 30.0, Source::HandbookFromMemory),
    handbook("western larch", Gravity::Known(0.52), (0.00323, 0.00155), (9.1, 4.5), 30.0, Source::HandbookFromMemory),
    handbook("eastern white pine", Gravity::Known(0.35), (0.00212, 0.00071), (6.1, 2.1), 30.0, Source::HandbookFromMemory),
    handbook("loblolly pine", Gravity::Known(0.51), (0.00259, 0.00165), (7.4, 4.8), 30.0, Source::HandbookFromMemory),
    handbook("lodgepole pine", Gravity::Known(0.41), (0.00234, 0.00148), (6.7, 4.3), 30.0, Source::HandbookFromMemory),
    handbook("longleaf pine", Gravity::Known(0.59), (0.00263, 0.00176), (7.5, 5.1), 30.0, Source::HandbookFromMemory),
    handbook("ponderosa pine", Gravity::Read(0.40), (0.00216, 0.00133), (6.2, 3.9), 30.0, Source::HandbookFromMemory),
    handbook("red pine", Gravity::Known(0.46), (0.00252, 0.00130), (7.2, 3.8), 30.0, Source::HandbookFromMemory),
    handbook("sugar pine", Gravity::Known(0.36), (0.00194, 0.00099), (5.6, 2.9), 30.0, Source::HandbookFromMemory),
    handbook("western white pine", Gravity::Known(0.38), (0.00259, 0.00141), (7.4, 4.1), 30.0, Source::HandbookFromMemory),
    handbook("old-growth redwood", Gravity::Read(0.40), (0.00205, 0.00120), (4.4, 2.6), 22.0, Source::HandbookFromMemory),
    handbook("second-growth redwood", Gravity::Known(0.35), (0.00229, 0.00101), (4.9, 2.2), 22.0, Source::HandbookFromMemory),
    handbook("Engelmann spruce", Gravity::Known(0.35), (0.00248, 0.00130), (7.1, 3.8), 30.0, Source::HandbookFromMemory),
    handbook("red spruce", Gravity::Known(0.40), (0.00274, 0.00130), (7.8, 3.8), 30.0, Source::HandbookFromMemory),
    handbook("Sitka spruce", Gravity::Known(0.40), (0.00263, 0.00148), (7.5, 4.3), 30.0, Source::HandbookFromMemory),
    handbook("iroko", Gravity::Green(0.54), (0.00205, 0.00153), (3.8, 2.8), 22.0, Source::HandbookFromMemory),
    handbook("khaya", Gravity::Green(0.42), (0.00201, 0.00141), (4.5, 2.5), 30.0, Source::HandbookFromMemory),
    handbook("true mahogany", Gravity::Green(0.45), (0.00238, 0.00172), (4.1, 3.0), 22.0, Source::HandbookFromMemory),
    handbook("limba", Gravity::Green(0.38), (0.00187, 0.00151), (6.2, 4.5), 30.0, Source::HandbookFromMemory),
    handbook("teak", Gravity::Green(0.55), (0.00186, 0.00101), (5.8, 2.5), 22.0, Source::HandbookFromMemory),
    handbook("Spanish-cedar", Gravity::Green(0.41), (0.00219, 0.00141), (6.3, 4.2), 30.0, Source::HandbookFromMemory),
    // Name, short name, kg/m³, (tangential, radial).
    european("European oak", "oak", Density::Niemz(670.0), Some((0.0036, 0.0016)), Source::TradeTable),
    european("European beech", "beech", Density::Niemz(690.0), Some((0.0041, 0.0020)), Source::TradeTable),
    european("European ash", "ash", Density::Niemz(690.0), Some((0.0038, 0.0021)), Source::TradeTable),
    european("European sycamore", "sycamore", Density::Known(610.0), Some((0.0026, 0.0015)), Source::TradeTableFromMemory),
    european("European elm", "elm", Density::Known(600.0), Some((0.0023, 0.0020)), Source::TradeTable),
    european("European birch", "birch", Density::Niemz(650.0), Some((0.0041, 0.0029)), Source::TradeTable),
    european("European walnut", "walnut", Density::Known(660.0), Some((0.0029, 0.0018)), Source::TradeTable),
    european("European cherry", "cherry", Density::Known(600.0), Some((0.0028, 0.0017)), Source::TradeTableFromMemory),
    european("European poplar", "poplar", Density::Known(450.0), Some((0.0031, 0.0013)), Source::TradeTable),
    european("Scots pine", "pine", Density::Niemz(520.0), Some((0.0036, 0.0019)), Source::TradeTable),
    european("Norway spruce", "spruce", Density::Niemz(470.0), Some((0.0039, 0.0019)), Source::TradeTable),
    european("European larch", "larch", Density::Niemz(590.0), Some((0.0030, 0.0014)), Source::TradeTable),
    european("silver fir", "fir", Density::Known(450.0), Some((0.0028, 0.0014)), Source::TradeTable),
    european("sapele", "", Density::Known(650.0), Some((0.0032, 0.0024)), Source::TradeTable),
    european("utile", "", Density::Niemz(590.0), Some((0.0025, 0.0020)), Source::TradeTable),
    european("wenge", "", Density::Known(870.0), Some((0.0034, 0.0022)), Source::TradeTable),
    european("robinia", "", Density::Niemz(730.0), None, Source::TradeTable),
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

/// Words in the names of conifers.
const SOFTWOODS: [&str; 14] = [
    "pine",
    "spruce",
    "fir",
    "larch",
    "cedar",
    "hemlock",
    "redwood",
    "cypress",
    "baldcypress",
    "yew",
    "juniper",
    "kauri",
    "softwood",
    "tamarack",
];
/// Woods of broad-leaved trees whose name has a conifer's word in it.
const NOT_CONIFERS: [&str; 2] = ["spanish-cedar", "spanish cedar"];
/// Words in the names of broad-leaved woods that the table does not have.
const HARDWOODS: [&str; 40] = [
    "oak",
    "beech",
    "ash",
    "elm",
    "birch",
    "maple",
    "sycamore",
    "walnut",
    "cherry",
    "poplar",
    "lime",
    "linden",
    "alder",
    "chestnut",
    "hickory",
    "hornbeam",
    "plane",
    "pear",
    "apple",
    "plum",
    "robinia",
    "locust",
    "willow",
    "aspen",
    "mahogany",
    "teak",
    "iroko",
    "wenge",
    "sapele",
    "utile",
    "meranti",
    "rosewood",
    "padauk",
    "ebony",
    "obeche",
    "zebrano",
    "bubinga",
    "balsa",
    "hardwood",
    "tulipwood",
];

/// Whether a wood of this name is a conifer's; none where the name tells nothing.
pub fn is_softwood(name: &str) -> Option<bool> {
    let plain = plain_name(name);
    if NOT_CONIFERS.iter().any(|n| plain.contains(n)) {
        return Some(false);
    }
    let words = || plain.split([' ', '-', '(', ')', '/']);
    if words().any(|w| SOFTWOODS.contains(&w)) {
        return Some(true);
    }
    let hard = find_wood(name).is_some() || words().any(|w| HARDWOODS.contains(&w));
    hard.then_some(false)
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
    use crate::measure::gravity::{density_from_gravity, gravity_at_moisture};
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
                wood.density.is_some_and(|d| (300.0..1100.0).contains(&d)),
                "{} has no weight",
                wood.name
            );
            for coefficient in [wood.tangential, wood.radial].into_iter().flatten() {
                assert!((0.0005..0.005).contains(&coefficient), "{}", wood.name);
            }
        }
    }

    #[test]
    fn densities_are_those_of_the_gravity() {
        let oak = find_wood("white oak").and_then(|w| w.density).unwrap();
        assert!((oak - density_from_gravity(0.68, 12.0)).abs() < 1e-9);
        // From the gravity on green volume, by way of that at 12 %.
        let teak = find_wood("teak").and_then(|w| w.density).unwrap();
        let at_12 = gravity_at_moisture(0.55, 12.0);
        assert!((teak - density_from_gravity(at_12, 12.0)).abs() < 1e-9);
    }

    /// Gravities at 12 % as a web copy of the Wood Handbook's Table 5-3 has them.
    #[test]
    fn densities_that_were_read_are_not_marked_as_remembered() {
        for (name, gravity) in [
            ("red alder", 0.41),
            ("paper birch", 0.55),
            ("true hickory", 0.72),
            ("ponderosa pine", 0.40),
        ] {
            let wood = find_wood(name).unwrap();
            assert!(
                (wood.density.unwrap() - 1120.0 * gravity).abs() < 1e-9,
                "{name}"
            );
            assert!(!wood.density_from_memory, "{name}");
        }
        let read = WOODS.iter().filter(|w| !w.density_from_memory).count();
        assert_eq!(read, 22 + 9, "Table 5-3 and Niemz");
    }

    #[test]
    fn what_is_from_memory_is_said() {
        assert_eq!(
            find_wood("western red cedar").unwrap().source_words(),
            "Wood Handbook FPL-GTR-190 (2010), half of the values from memory; weight from memory"
        );
        assert_eq!(
            find_wood("white ash").unwrap().source_words(),
            "Wood Handbook FPL-GTR-190 (2010)"
        );
        for wood in WOODS {
            let said = wood.source_words().contains("from memory");
            let from_memory = wood.density_from_memory
                || matches!(
                    wood.source,
                    Source::HandbookPartly
                        | Source::HandbookFromMemory
                        | Source::TradeTableFromMemory
                );
            assert_eq!(said, from_memory, "{}", wood.name);
        }
    }

    #[test]
    fn conifers_are_told_from_broad_leaved_trees() {
        let conifers = WOODS.iter().filter(|w| w.is_softwood()).count();
        assert_eq!(conifers, 1 + 7 + 5 + 1 + 8 + 2 + 3 + 4);
        assert_eq!(is_softwood("Cedar, western red"), Some(true));
        assert_eq!(is_softwood("Spanish-cedar"), Some(false));
        assert_eq!(is_softwood("yellow-poplar"), Some(false));
        assert_eq!(is_softwood("spruce (old)"), Some(true));
        assert_eq!(is_softwood("apple"), Some(false));
        assert_eq!(is_softwood("firewood"), None, "no fir");
        assert_eq!(is_softwood(""), None);
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
