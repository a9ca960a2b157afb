//! Volumes, board feet, surface measure and weights.

/// Millimetres in one inch, exactly (international inch of 1959).
pub const MM_PER_INCH: f64 = 25.4;
/// Millimetres in one foot, exactly.
pub const MM_PER_FOOT: f64 = 304.8;

/// Cubic millimetres in one board foot (1 ft x 1 ft x 1 in = 144 cubic inches), exactly.
pub const MM3_PER_BOARD_FOOT: f64 = 2_359_737.216;
/// Cubic millimetres in one cubic metre.
pub const MM3_PER_M3: f64 = 1.0e9;
/// Kilograms in one pound, exactly.
pub const KG_PER_POUND: f64 = 0.453_592_37;

/// Board feet of a volume in cubic millimetres.
pub fn board_feet(volume_mm3: f64) -> f64 {
    volume_mm3 / MM3_PER_BOARD_FOOT
}

/// Cubic metres of a volume in cubic millimetres.
pub fn cubic_metres(volume_mm3: f64) -> f64 {
    volume_mm3 / MM3_PER_M3
}

/// The tally of one board as hardwood is sold by the board foot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BoardTally {
    /// Surface measure: square feet of face, rounded to a whole number.
    pub surface_measure: f64,
    /// Surface measure times the nominal thickness in inches, counted as at least one.
    pub board_feet: f64,
}

/// Surface measure and board feet of one board by the hardwood tally.
///
/// Width in inches with its fractions, times length in whole feet (fractions dropped),
/// over 12, rounded to the nearest whole number; times the thickness in inches, where less
/// than one inch counts as one. A surface measure of exactly one half is rounded up; in
/// the trade it goes up and down alternately, so single boards may differ by one.
///
/// A board of less than half a square foot, which the rule would give away, counts by its true
/// face. Source of the rule: NHLA measuring rules as given in the AHEC guide to American
/// hardwood lumber.
///
/// # Units and conventions
/// Millimetres. Lengths within a micrometre of a whole foot count as that foot, since
/// feet are not whole numbers of millimetres.
pub fn board_tally(length_mm: f64, width_mm: f64, nominal_thickness_mm: f64) -> BoardTally {
    let whole_feet = (length_mm / MM_PER_FOOT + 1e-6).floor();
    let rounded = (width_mm / MM_PER_INCH * whole_feet / 12.0 + 1e-9).round();
    let surface_measure = if rounded > 0.0 {
        rounded
    } else {
        width_mm * length_mm / (MM_PER_FOOT * MM_PER_FOOT)
    };
    let thickness = (nominal_thickness_mm / MM_PER_INCH).max(1.0);
    BoardTally {
        surface_measure,
        board_feet: surface_measure * thickness,
    }
}

/// What a board sold by a nominal thickness usually measures, in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UsualThickness {
    /// From the saw, dried: a sixteenth of an inch under nominal. Published for 4/4 (15/16 in)
    /// and 5/4 (1-3/16 in) by E. M. Wengert; for thicker boards common practice, no source.
    pub rough: f64,
    /// Planed on both faces, as graders count it. Published table of hardwood lumber sizes
    /// (rough and S2S); nothing where the table has no such size.
    pub planed: Option<f64>,
}

/// Nominal thickness and the thickness planed on both faces, in sixteenths of an inch.
const PLANED: [(f64, f64); 7] = [
    (12.0, 9.0),
    (16.0, 13.0),
    (20.0, 17.0),
    (24.0, 21.0),
    (32.0, 28.0),
    (48.0, 44.0),
    (64.0, 60.0),
];

impl UsualThickness {
    /// The usual sizes of a nominal one, in mm.
    pub fn of_nominal(nominal_mm: f64) -> UsualThickness {
        const SIXTEENTH: f64 = MM_PER_INCH / 16.0;
        UsualThickness {
            rough: (nominal_mm - SIXTEENTH).max(0.0),
            planed: PLANED
                .iter()
                .find(|(nominal, _)| (nominal * SIXTEENTH - nominal_mm).abs() < 0.01)
                // An inch is 127/5 mm; rounded once, 1 3/4 in is the number 44.45.
                .map(|(_, planed)| planed * 127.0 / 80.0),
        }
    }
}

/// Weight in kilograms of a volume in cubic millimetres at a density in kg/m³.
pub fn weight_kg(volume_mm3: f64, density_kg_m3: f64) -> f64 {
    cubic_metres(volume_mm3) * density_kg_m3
}

/// How the densities of the table of woods come from published gravities.
#[cfg(test)]
pub(crate) mod gravity {
    /// Density at a moisture content, in kg/m³: water's density x `gravity` x (1 + moisture/100).
    ///
    /// `gravity` is the specific gravity on oven-dry mass and on the volume at `moisture`
    /// (percent). Source: Wood Handbook FPL-GTR-190, chapter 4.
    pub(crate) fn density_from_gravity(gravity: f64, moisture: f64) -> f64 {
        1000.0 * gravity * (1.0 + moisture / 100.0)
    }

    /// Specific gravity on the volume at `moisture` percent (at most 30), from basic gravity
    /// on green volume: G / (1 - 0.265 a G) with a = (30 - moisture)/30.
    ///
    /// Source: Wood Handbook, 1999 edition, chapter 3; value from memory.
    pub(crate) fn gravity_at_moisture(basic_gravity: f64, moisture: f64) -> f64 {
        let dryness = (30.0 - moisture.clamp(0.0, 30.0)) / 30.0;
        basic_gravity / (1.0 - 0.265 * dryness * basic_gravity)
    }
}

#[cfg(test)]
mod tests {
    use super::gravity::{density_from_gravity, gravity_at_moisture};
    use super::*;

    const INCH: f64 = 25.4;
    const FOOT: f64 = 304.8;

    fn near(value: f64, expected: f64, within: f64) {
        assert!(
            (value - expected).abs() <= within,
            "{value} is not {expected}"
        );
    }

    /// Computed conversions.
    #[test]
    fn board_feet_of_volumes() {
        near(board_feet(27.0 * 200.0 * 2400.0), 5.49214, 5e-6);
        near(cubic_metres(27.0 * 200.0 * 2400.0), 0.01296, 1e-12);
        near(board_feet(MM3_PER_M3), 423.776_000_658, 5e-9);
        near(board_feet(INCH * 8.0 * INCH * 12.0 * FOOT), 8.0, 1e-12);
        near(
            cubic_metres(8.0 * MM3_PER_BOARD_FOOT),
            0.018_877_897_728,
            1e-15,
        );
    }

    /// AHEC guide to American hardwood lumber, worked examples of surface measure, and
    /// the chief inspector's example (6-7/16 in x 10 ft 9 in).
    #[test]
    fn surface_measure_of_published_boards() {
        for (width_in, length_ft, thickness_in, surface, feet) in [
            (6.25, 8.0, 2.0, 4.0, 8.0),
            (6.5, 8.0, 1.0, 4.0, 4.0),
            (8.0, 12.0, 1.0, 8.0, 8.0),
            (10.0, 13.0, 1.0, 11.0, 11.0),
            (6.4375, 10.75, 1.0, 5.0, 5.0),
            // Computed by the same rule: less than an inch counts as an inch.
            (7.75, 8.25, 2.0, 5.0, 10.0),
            (8.0, 8.0, 0.75, 5.0, 5.0),
            (5.5, 9.0, 1.0, 4.0, 4.0),
        ] {
            let tally = board_tally(length_ft * FOOT, width_in * INCH, thickness_in * INCH);
            near(tally.surface_measure, surface, 0.0);
            near(tally.board_feet, feet, 1e-12);
        }
    }

    #[test]
    fn no_board_is_given_away() {
        for (length, width) in [(0.9, 6.0), (1.0, 4.0), (2.0, 1.5)] {
            let tally = board_tally(length * FOOT, width * INCH, INCH);
            near(tally.board_feet, length * width / 12.0, 1e-9);
        }
    }

    #[test]
    fn a_whole_number_of_feet_is_not_cut_short_by_rounding() {
        for feet in 1..=40 {
            let tally = board_tally(f64::from(feet) * FOOT, 12.0 * INCH, INCH);
            near(tally.surface_measure, f64::from(feet), 0.0);
        }
    }

    /// Published table of hardwood lumber, rough and planed on both faces (S2S), in inches; the
    /// rough sizes of 4/4 and 5/4 kiln-dried after Wengert.
    #[test]
    fn usual_sizes_of_nominal_thicknesses() {
        for (nominal, planed) in [
            (0.75, 9.0 / 16.0),
            (1.0, 13.0 / 16.0),
            (1.25, 1.0 + 1.0 / 16.0),
            (1.5, 1.0 + 5.0 / 16.0),
            (2.0, 1.75),
            (3.0, 2.75),
            (4.0, 3.75),
        ] {
            let usual = UsualThickness::of_nominal(nominal * INCH);
            near(usual.planed.unwrap(), planed * INCH, 1e-9);
            assert!(usual.planed.unwrap() < usual.rough && usual.rough < nominal * INCH);
        }
        let rough = |nominal: f64| UsualThickness::of_nominal(nominal * INCH).rough / INCH;
        near(rough(1.0), 15.0 / 16.0, 1e-9);
        near(rough(1.25), 1.0 + 3.0 / 16.0, 1e-9);
        assert_eq!(UsualThickness::of_nominal(27.0).planed, None);
        near(UsualThickness::of_nominal(1.0).rough, 0.0, 0.0);
    }

    /// Wood Handbook chapter 4: gravity 0.40 at 12 % gives 448 kg/m³, 27.968 lb/ft³.
    #[test]
    fn density_of_the_published_example() {
        let density = density_from_gravity(0.40, 12.0);
        near(density, 448.0, 1e-9);
        // The handbook takes water as 62.43 lb/ft³, that is 1000.03 kg/m³.
        near(density / 16.018_463_4, 27.968, 0.001);
    }

    /// Computed from the same formula for 1000 x 200 x 25 mm pieces at 12 %.
    #[test]
    fn weights_of_pieces() {
        for (gravity, density, piece_kg, lb_per_board_foot) in [
            (0.68, 761.6, 3.808, 3.962),
            (0.63, 705.6, 3.528, 3.671),
            (0.64, 716.8, 3.584, 3.729),
            (0.60, 672.0, 3.360, 3.496),
            (0.55, 616.0, 3.080, 3.205),
            (0.50, 560.0, 2.800, 2.913),
            (0.42, 470.4, 2.352, 2.447),
            (0.48, 537.6, 2.688, 2.797),
            (0.35, 392.0, 1.960, 2.039),
        ] {
            near(density_from_gravity(gravity, 12.0), density, 1e-9);
            near(weight_kg(1000.0 * 200.0 * 25.0, density), piece_kg, 1e-9);
            near(
                weight_kg(MM3_PER_BOARD_FOOT, density) / KG_PER_POUND,
                lb_per_board_foot,
                6e-4,
            );
        }
    }

    #[test]
    fn gravity_rises_as_wood_shrinks() {
        near(gravity_at_moisture(0.5, 30.0), 0.5, 1e-12);
        assert!(gravity_at_moisture(0.5, 12.0) > 0.5);
        assert!(gravity_at_moisture(0.5, 0.0) > gravity_at_moisture(0.5, 12.0));
    }
}
