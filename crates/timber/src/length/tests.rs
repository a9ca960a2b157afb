//! Reading and writing of lengths, against tables and laws.

use super::*;
use proptest::prelude::*;

fn mm(text: &str) -> Result<f64, LengthError> {
    read_length(text, Unit::Millimetres, LengthContext::Length)
}

fn inch(text: &str) -> Result<f64, LengthError> {
    read_length(text, Unit::Inches, LengthContext::Length)
}

#[test]
fn every_way_of_writing_metric() {
    for (text, expected) in [
        ("1400", 1400.0),
        (" 1400 ", 1400.0),
        ("1 400", 1400.0),
        ("1\u{a0}400", 1400.0),
        ("1\u{202f}400,5", 1400.5),
        ("1400mm", 1400.0),
        ("1400 MM", 1400.0),
        ("1.4 m", 1400.0),
        ("1,4 m", 1400.0),
        ("1.4m", 1400.0),
        ("1.1 m", 1100.0),
        ("140 cm", 1400.0),
        ("140,5cm", 1405.0),
        (".5 m", 500.0),
        ("0,400 m", 400.0),
        ("5.", 5.0),
        ("1,400.5", 1400.5),
        ("1.400,5", 1400.5),
        ("27,5", 27.5),
        ("0", 0.0),
        ("2 metres", 2000.0),
        ("1/2 m", 500.0),
    ] {
        assert_eq!(mm(text), Ok(expected), "{text}");
    }
}

#[test]
fn every_way_of_writing_inches_and_feet() {
    for (text, expected) in [
        ("55\"", 55.0),
        ("55\u{2033}", 55.0),
        ("55\u{201d}", 55.0),
        ("55''", 55.0),
        ("55 in", 55.0),
        ("55 in.", 55.0),
        ("55 inches", 55.0),
        ("16.25\"", 16.25),
        ("16,25\"", 16.25),
        ("16 1/4", 16.25),
        ("16 1/4\"", 16.25),
        ("16-1/4\"", 16.25),
        ("16\u{2013}1/4 in", 16.25),
        ("16\u{bc}", 16.25),
        ("16 \u{bc}\"", 16.25),
        ("\u{215b}", 0.125),
        ("3/4", 0.75),
        ("3\u{2044}4", 0.75),
        ("5/4\"", 1.25),
        ("5'", 60.0),
        ("5 ft", 60.0),
        ("5 1/2 ft", 66.0),
        ("5' 3\"", 63.0),
        ("5\u{2032} 3 1/2\u{2033}", 63.5),
        ("5' 3 1/2\"", 63.5),
        ("5'3.5\"", 63.5),
        ("5'-3 1/2\"", 63.5),
        ("5' 3 1/2", 63.5),
        ("5ft 3in", 63.0),
        ("5 feet 3 inches", 63.0),
        ("5' 1/2\"", 60.5),
        ("0' 11 63/64\"", 11.984375),
    ] {
        // Whatever the job's setting: none of these depends on it.
        let read = mm(text).unwrap_or(f64::NAN);
        assert!((read - expected * 25.4).abs() < 1e-9, "{text}: {read}");
        assert_eq!(inch(text), Ok(read), "{text}");
    }
    assert_eq!(inch("55"), Ok(1397.0));
    assert_eq!(inch("16.25"), Ok(412.75));
}

#[test]
fn quarters_are_for_what_a_board_is_sold_as() {
    for unit in [Unit::Millimetres, Unit::Inches] {
        let nominal = |text| read_length(text, unit, LengthContext::NominalThickness);
        assert_eq!(nominal("8/4"), Ok(50.8));
        assert_eq!(nominal("4/4"), Ok(25.4));
        assert_eq!(nominal("5/4"), Ok(31.75));
        assert_eq!(nominal("3/4"), Ok(19.05));
        assert!(matches!(
            nominal("9/8"),
            Err(LengthError::QuartersElsewhere { .. })
        ));
        for context in [
            LengthContext::FinishedThickness,
            LengthContext::MeasuredThickness,
        ] {
            let thickness = |text| read_length(text, unit, context);
            for (quarters, mm) in [("8/4", 50.8), ("4/4", 25.4), ("10/4", 63.5)] {
                assert_eq!(
                    thickness(quarters),
                    Err(LengthError::Nominal {
                        text: quarters.into(),
                        mm,
                        finished: context == LengthContext::FinishedThickness
                    })
                );
            }
            assert_eq!(thickness("3/4"), Ok(19.05));
            assert_eq!(thickness("8/4\""), Ok(50.8));
            assert_eq!(thickness("1 3/4"), Ok(44.45));
            assert!(matches!(
                thickness("9/8"),
                Err(LengthError::QuartersElsewhere { .. })
            ));
        }
        let length = |text| read_length(text, unit, LengthContext::Length);
        assert!(matches!(
            length("8/4"),
            Err(LengthError::QuartersElsewhere { .. })
        ));
    }
}

#[test]
fn a_comma_before_three_digits_is_refused_with_both_readings() {
    let error = mm("1,400").unwrap_err();
    assert_eq!(
        error,
        LengthError::TwoReadings {
            text: "1,400".into(),
            decimal: "1.4".into(),
            thousands: "1400".into()
        }
    );
    assert_eq!(error.hint(), "write 1.4 or 1400, whichever you mean");
    // A reading of three decimals would be refused again if it were written bare.
    let error = mm("1,125").unwrap_err();
    assert_eq!(
        error.hint(),
        "write 1.125 or 1125 with its unit, whichever you mean"
    );
    assert_eq!(mm("1.125 mm"), Ok(1.125));
    assert!(matches!(
        mm("12,000 mm"),
        Err(LengthError::TwoReadings { .. })
    ));
    assert!(matches!(
        inch("1,125\""),
        Err(LengthError::TwoReadings { .. })
    ));
}

#[test]
fn a_point_before_three_digits_is_refused_where_it_would_be_millimetres() {
    for (text, decimal, thousands) in [
        ("1.400", "1.4", "1400"),
        ("2.500", "2.5", "2500"),
        ("12.000", "12", "12000"),
        ("27.125", "27.125", "27125"),
        ("999.999", "999.999", "999999"),
    ] {
        let two_readings = LengthError::TwoReadings {
            text: text.into(),
            decimal: decimal.into(),
            thousands: thousands.into(),
        };
        for typed in [text.to_owned(), format!(" {text} ")] {
            assert_eq!(mm(&typed), Err(two_readings.clone()), "{typed}");
        }
        // Inches are untouched, and so is every unit that is written out.
        let inches: f64 = text.parse().unwrap();
        assert!((inch(text).unwrap() - inches * 25.4).abs() < 1e-9, "{text}");
        assert_eq!(mm(&format!("{text} mm")), Ok(inches), "{text} mm");
        assert_eq!(mm(&format!("{text} m")).is_ok(), inches <= 100.0);
    }
    for (text, expected) in [
        ("1.4", 1.4),
        ("1.40", 1.4),
        ("1.4000", 1.4),
        ("0.400", 0.4),
        (".400", 0.4),
        ("1400.500", 1400.5),
        ("1 400.500", 1400.5),
        ("1,400.500", 1400.5),
    ] {
        assert_eq!(mm(text), Ok(expected), "{text}");
    }
}

#[test]
fn what_sawn_quarters_usually_measure_is_offered_with_them() {
    let hint = |text, context| read_length(text, Unit::Inches, context).unwrap_err().hint();
    assert_eq!(
        hint("8/4", LengthContext::MeasuredThickness),
        "measure the board where it is thinnest; usual are 1 15/16\" (49 mm) from the saw and \
         1 3/4\" (44 mm) planed"
    );
    assert_eq!(
        hint("10/4", LengthContext::MeasuredThickness),
        "measure the board where it is thinnest; usual is 2 7/16\" (62 mm) from the saw"
    );
    assert_eq!(
        hint("4/4", LengthContext::FinishedThickness),
        "write the thickness of the finished part; planed on both faces such a board is usually \
         13/16\" (21 mm)"
    );
}

#[test]
fn what_is_no_length_is_refused_with_its_reason() {
    use LengthError as E;
    assert_eq!(mm(""), Err(E::Empty));
    assert_eq!(mm(" \u{a0} "), Err(E::Empty));
    assert_eq!(mm("-5"), Err(E::Negative));
    assert_eq!(mm("\u{2212}5 mm"), Err(E::Negative));
    assert!(matches!(mm("NaN"), Err(E::NotALength { .. })));
    assert!(matches!(mm("inf"), Err(E::NotALength { .. })));
    assert!(matches!(mm("about 5"), Err(E::NotALength { .. })));
    assert!(matches!(mm("<b>5</b>"), Err(E::NotALength { .. })));
    assert!(matches!(mm("1e3"), Err(E::UnknownUnit { .. })));
    assert!(matches!(mm("5 yards"), Err(E::UnknownUnit { .. })));
    assert!(matches!(mm("5 mm 3"), Err(E::NotALength { .. })));
    assert!(matches!(mm("5 5"), Err(E::NotALength { .. })));
    assert!(matches!(mm("1.2.3.4"), Err(E::NotALength { .. })));
    assert!(matches!(mm("3 / "), Err(E::NotALength { .. })));
    assert!(matches!(mm("1.5/2"), Err(E::NotALength { .. })));
    assert_eq!(mm("3/0"), Err(E::OverNought));
    assert_eq!(mm("1 5/4\""), Err(E::FractionNotBelowOne));
    assert_eq!(mm("5' 12\""), Err(E::TooManyInches));
    assert!(matches!(mm("5' 3 mm"), Err(E::NotALength { .. })));
    assert_eq!(mm("100 m"), Ok(100_000.0));
    assert!(matches!(mm("100.001 m"), Err(E::TooLong { .. })));
    assert!(matches!(mm(&"9".repeat(500)), Err(E::TooLong { .. })));
    let endless = format!("{0}/{0}\"", "9".repeat(500));
    assert!(matches!(mm(&endless), Err(E::TooLong { .. })));
    for error in [
        mm("").unwrap_err(),
        mm("1,400").unwrap_err(),
        mm("-1").unwrap_err(),
    ] {
        assert!(!error.hint().is_empty() && error.code().starts_with("length-"));
    }
}

/// Computed conversions: fractions to millimetres, exact since 1 in = 25.4 mm.
#[test]
fn fractions_to_millimetres() {
    for (text, expected) in [
        ("1/64", 0.396875),
        ("1/32", 0.79375),
        ("1/16", 1.5875),
        ("3/32", 2.38125),
        ("1/8", 3.175),
        ("3/16", 4.7625),
        ("1/4", 6.35),
        ("5/16", 7.9375),
        ("3/8", 9.525),
        ("7/16", 11.1125),
        ("1/2", 12.7),
        ("9/16", 14.2875),
        ("5/8", 15.875),
        ("11/16", 17.4625),
        ("3/4", 19.05),
        ("13/16", 20.6375),
        ("7/8", 22.225),
        ("15/16", 23.8125),
        ("1-1/16", 26.9875),
        ("1-5/16", 33.3375),
        ("1-3/4", 44.45),
        ("3 ft 4-1/2 in", 1028.7),
    ] {
        let read = mm(text).unwrap();
        assert!((read - expected).abs() < 1e-12, "{text}: {read}");
    }
}

/// Computed conversions: millimetres to the nearest 1/16, 1/32 and 1/64 of an inch.
#[test]
fn millimetres_to_the_nearest_fraction() {
    for (mm, sixteenth, thirty_second, sixty_fourth) in [
        (3.0, "1/8", "1/8", "1/8"),
        (3.2, "1/8", "1/8", "1/8"),
        (5.0, "3/16", "3/16", "13/64"),
        (6.0, "1/4", "1/4", "15/64"),
        (10.0, "3/8", "13/32", "25/64"),
        (12.0, "1/2", "15/32", "15/32"),
        (15.0, "9/16", "19/32", "19/32"),
        (18.0, "11/16", "23/32", "45/64"),
        (19.0, "3/4", "3/4", "3/4"),
        (20.0, "13/16", "25/32", "25/32"),
        (22.0, "7/8", "7/8", "55/64"),
        (25.0, "1", "31/32", "63/64"),
        (27.0, "1 1/16", "1 1/16", "1 1/16"),
        (32.0, "1 1/4", "1 1/4", "1 17/64"),
        (38.0, "1 1/2", "1 1/2", "1 1/2"),
        (40.0, "1 9/16", "1 9/16", "1 37/64"),
        (50.0, "1 15/16", "1 31/32", "1 31/32"),
        (100.0, "3 15/16", "3 15/16", "3 15/16"),
        (150.0, "5 7/8", "5 29/32", "5 29/32"),
        (200.0, "7 7/8", "7 7/8", "7 7/8"),
        (300.0, "11 13/16", "11 13/16", "11 13/16"),
        (400.0, "15 3/4", "15 3/4", "15 3/4"),
        (450.0, "17 11/16", "17 23/32", "17 23/32"),
        (600.0, "23 5/8", "23 5/8", "23 5/8"),
        (750.0, "29 1/2", "29 17/32", "29 17/32"),
        (900.0, "35 7/16", "35 7/16", "35 7/16"),
        (1000.0, "39 3/8", "39 3/8", "39 3/8"),
        (1200.0, "47 1/4", "47 1/4", "47 1/4"),
        (1800.0, "70 7/8", "70 7/8", "70 55/64"),
        (2000.0, "78 3/4", "78 3/4", "78 47/64"),
        (2400.0, "94 1/2", "94 1/2", "94 31/64"),
        (2440.0, "96 1/16", "96 1/16", "96 1/16"),
    ] {
        for (fraction, expected) in [
            (InchFraction::Sixteenths, sixteenth),
            (InchFraction::ThirtySeconds, thirty_second),
            (InchFraction::SixtyFourths, sixty_fourth),
        ] {
            let written = write_length(mm, &DisplayUnits::inches(fraction));
            assert_eq!(written, format!("{expected}\""), "{mm} mm");
        }
    }
}

#[test]
fn lengths_as_shown() {
    let metric = DisplayUnits::metric();
    assert_eq!(write_length(1400.0, &metric), "1400 mm");
    assert_eq!(write_dimension(1400.0, &metric), "1400");
    assert_eq!(write_dimension(27.25, &metric), "27.3");
    assert_eq!(write_dimension(-27.25, &metric), "-27.3");
    assert_eq!(write_dimension(-0.01, &metric), "0");
    assert_eq!(
        write_dimension(
            1.0 / 3.0,
            &DisplayUnits {
                decimals: 3,
                ..metric
            }
        ),
        "0.333"
    );
    assert_eq!(
        write_dimension(
            0.6,
            &DisplayUnits {
                decimals: 0,
                ..metric
            }
        ),
        "1"
    );
    assert_eq!(InchFraction::default(), InchFraction::ThirtySeconds);
    let inches = DisplayUnits::inches(InchFraction::Sixteenths);
    assert_eq!(write_length(0.0, &inches), "0\"");
    assert_eq!(write_length(-0.5, &inches), "0\"");
    assert_eq!(write_length(-25.4 * 1.5, &inches), "-1 1/2\"");
    assert_eq!(write_length(25.4 * 63.5, &inches), "63 1/2\"");
    let feet = DisplayUnits {
        feet: true,
        ..inches
    };
    assert_eq!(write_length(25.4 * 63.5, &feet), "5' 3 1/2\"");
    assert_eq!(write_length(25.4 * 60.0, &feet), "5'");
    assert_eq!(write_length(25.4 * 60.5, &feet), "5' 1/2\"");
    assert_eq!(write_length(25.4 * 11.99, &feet), "1'");
    assert_eq!(write_gap(0.014, &metric), "0.01 mm");
    assert_eq!(write_gap(1.4, &inches), "0.055\"");
    assert_eq!(write_gap(25.4, &inches), "1\"");
    for broken in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        assert_eq!(write_length(broken, &inches), "?");
        assert_eq!(write_length(broken, &metric), "?");
    }
    assert!(write_length(f64::MAX, &inches).ends_with('"'));
}

#[test]
fn other_measures_as_shown() {
    let metric = DisplayUnits::metric();
    let inches = DisplayUnits::inches(InchFraction::Sixteenths);
    assert_eq!(write_area(480_000.0, &metric), "0.48 m²");
    assert_eq!(write_area(480_000.0, &inches), "5.17 sq ft");
    assert_eq!(write_volume(12_960_000.0, &metric), "0.01296 m³");
    assert_eq!(write_volume(12_960_000.0, &inches), "5.49 board feet");
    // A used volume and its floor are told apart, however small the piece.
    assert_eq!(write_volume(30_010_000.0, &metric), "0.03001 m³");
    assert_eq!(write_volume(29_990_000.0, &metric), "0.02999 m³");
    assert_eq!(write_volume(1_234_567.0, &metric), "0.001235 m³");
    assert_eq!(write_volume(1.5e9, &metric), "1.5 m³");
    assert_eq!(write_volume(12.3456e9, &metric), "12.3456 m³");
    assert_eq!(write_volume(0.0, &metric), "0 m³");
    assert_eq!(write_volume(2_359_737.216, &inches), "1 board foot");
    assert_eq!(write_weight(3.808, &metric), "3.8 kg");
    assert_eq!(write_weight(3.808, &inches), "8.4 lb");
    assert_eq!(write_angle(1.5), "1.5°");
    assert_eq!(write_money(12.5, "€"), "€12.50");
    assert_eq!(write_money(12.5, "EUR"), "12.50 EUR");
    assert_eq!(write_money(-12.5, "€"), "-€12.50");
    assert_eq!(write_money(-0.001, ""), "0.00");
    assert_eq!(write_percent(0.8333), "83.3 %");
    assert_eq!(write_percent(1.0), "100 %");
}

fn any_display() -> impl Strategy<Value = DisplayUnits> {
    (any::<bool>(), 0..3_usize, 0..4_u8, any::<bool>()).prop_map(|(metric, f, decimals, feet)| {
        DisplayUnits {
            unit: if metric {
                Unit::Millimetres
            } else {
                Unit::Inches
            },
            fraction: [
                InchFraction::Sixteenths,
                InchFraction::ThirtySeconds,
                InchFraction::SixtyFourths,
            ][f],
            decimals,
            feet,
        }
    })
}

/// The largest difference, in millimetres, between a length and what is shown for it.
fn half_step_mm(units: DisplayUnits) -> f64 {
    match units.unit {
        Unit::Millimetres => {
            let mut step = 0.5;
            for _ in 0..units.decimals.min(3) {
                step /= 10.0;
            }
            step
        }
        Unit::Inches => MM_PER_INCH / f64::from(units.fraction.denominator()) / 2.0,
    }
}

proptest! {
    /// What is shown, read again, is the length to within half a shown step.
    #[test]
    fn shown_lengths_read_back(length in 0.0..99_000.0_f64, units in any_display()) {
        for text in [write_length(length, &units), write_dimension(length, &units)] {
            let read = match read_length(&text, units.unit, LengthContext::Length) {
                // A bare number of three decimals is asked about; it is one of the readings.
                Err(LengthError::TwoReadings { decimal, .. }) => {
                    prop_assert!(units.decimals == 3 && !text.contains("mm"), "{text}");
                    prop_assert_eq!(&decimal, &text);
                    decimal.parse().unwrap()
                }
                read => read.unwrap(),
            };
            prop_assert!((read - length).abs() <= half_step_mm(units) + 1e-9, "{text}");
        }
    }

    /// Showing is stable: what is shown for a shown length is the same text.
    #[test]
    fn shown_lengths_are_fixed_points(length in 0.0..99_000.0_f64, units in any_display()) {
        let text = write_length(length, &units);
        let read = read_length(&text, units.unit, LengthContext::Length).unwrap();
        prop_assert_eq!(write_length(read, &units), text);
    }

    /// Metric decimals are read to the nearest number, as if typed in millimetres.
    #[test]
    fn metres_are_millimetres_with_the_point_moved(thousandths in 0..99_000_000_u32) {
        let metres = format!("{}.{:06} m", thousandths / 1_000_000, thousandths % 1_000_000);
        let millimetres = format!("{}.{:03} mm", thousandths / 1000, thousandths % 1000);
        prop_assert_eq!(mm(&metres), mm(&millimetres));
    }

    /// Any text is answered, and what is accepted is a sound length.
    #[test]
    fn any_text_is_answered(text in "[0-9., /'\"a-z½¼″′-]{0,24}|\\PC{0,20}") {
        for unit in [Unit::Millimetres, Unit::Inches] {
            for context in [
                LengthContext::Length,
                LengthContext::FinishedThickness,
                LengthContext::MeasuredThickness,
                LengthContext::NominalThickness,
            ] {
                match read_length(&text, unit, context) {
                    Ok(read) => prop_assert!((0.0..=MAX_LENGTH_MM).contains(&read)),
                    Err(error) => prop_assert!(!error.hint().is_empty()),
                }
            }
        }
    }
}

/// As numbers were written before by formatting the rounded fraction.
fn formatted(value: f64, places: u8) -> String {
    let scale: f64 = (0..places).map(|_| 10.0).product();
    let mut text = format!(
        "{:.*}",
        usize::from(places),
        (value * scale).round() / scale
    );
    if text.contains('.') {
        text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
    }
    if text == "-0" { "0".into() } else { text }
}

#[test]
fn decimals_are_written_as_formatting_would() {
    let known = [
        0.0,
        -0.0,
        0.04,
        -0.04,
        0.05,
        9.95,
        10.0,
        100.0,
        2.25,
        2.35,
        -1.5,
        0.001,
        -0.0004,
        1e-9,
        123_456.789,
        1e9,
        -1e8,
    ];
    let some = (0..20_000).map(|k| f64::from(k) * 0.37 - 3_000.0 + f64::from(k % 7) * 1e-4);
    for value in known.into_iter().chain(some) {
        for places in 0..=6 {
            assert_eq!(
                write_decimal(value, places),
                formatted(value, places),
                "{value} to {places}"
            );
        }
    }
}
