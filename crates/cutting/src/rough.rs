//! Lengths as tape and scale read them, where a tenth of a millimetre decides nothing.

use heartside_timber::length::{DisplayUnits, Unit, write_dimension, write_length};

/// A length of a rough piece: whole millimetres, or the job's fraction of an inch.
pub fn write_rough(mm: f64, units: &DisplayUnits) -> String {
    write_dimension(to_scale(mm, units), units)
}

/// The same with its unit.
pub(crate) fn write_rough_length(mm: f64, units: &DisplayUnits) -> String {
    write_length(to_scale(mm, units), units)
}

/// To the nearest mark of a millimetre scale; inches are rounded to their fraction on writing.
fn to_scale(mm: f64, units: &DisplayUnits) -> f64 {
    match units.unit {
        Unit::Millimetres => mm.round(),
        Unit::Inches => mm,
    }
}

/// A setting moved to the next mark of the scale, away from the wood that is kept: waste gives
/// the fraction of a millimetre, never the kept piece.
pub(crate) fn moved_into_waste(mm: f64, upwards: bool, units: &DisplayUnits) -> f64 {
    // A setting that is whole but for the noise of sums stays.
    let near = mm.round();
    match units.unit {
        Unit::Inches => mm,
        Unit::Millimetres if (mm - near).abs() < 1e-6 || mm < 2.0 => mm,
        Unit::Millimetres if upwards => mm.ceil(),
        Unit::Millimetres => mm.floor(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use heartside_timber::length::InchFraction;

    #[test]
    fn rough_lengths_are_whole_and_inches_keep_their_fraction() {
        let mm = DisplayUnits::default();
        assert_eq!(write_rough(1705.2, &mm), "1705");
        assert_eq!(write_rough_length(208.6, &mm), "209 mm");
        let inches = DisplayUnits::inches(InchFraction::Sixteenths);
        assert_eq!(write_rough(25.4 * 2.5, &inches), "2 1/2\"");
    }

    #[test]
    fn waste_gives_the_fraction() {
        let mm = DisplayUnits::default();
        assert_eq!(moved_into_waste(15.2, true, &mm), 16.0);
        assert_eq!(moved_into_waste(15.2, false, &mm), 15.0);
        assert_eq!(
            moved_into_waste(15.000_000_000_1, true, &mm),
            15.000_000_000_1
        );
        assert_eq!(moved_into_waste(0.8, false, &mm), 0.8);
    }
}
