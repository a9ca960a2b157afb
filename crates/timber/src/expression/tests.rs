//! Expressions: what they mean, what is refused, and laws.

use super::*;
use heartside_geometry::SortedMap;
use proptest::prelude::*;

fn names(name: &str) -> Option<f64> {
    match name {
        "top" => Some(1400.0),
        "leg_width" => Some(60.0),
        "Höhe2" => Some(720.0),
        _ => None,
    }
}

fn mm(text: &str) -> Result<f64, ExpressionError> {
    Expression::read(text, Unit::Millimetres)?.value(&names)
}

fn inch(text: &str) -> Result<f64, ExpressionError> {
    Expression::read(text, Unit::Inches)?.value(&names)
}

#[test]
fn arithmetic_with_names_and_units() {
    for (text, expected) in [
        ("top / 2 - 20", 680.0),
        ("top - 2 * leg_width", 1280.0),
        ("(top - leg_width) / 2", 670.0),
        ("top/2/2", 350.0),
        ("top - 20 - 30", 1350.0),
        ("-20 + top", 1380.0),
        ("--20", 20.0),
        ("top + 2 cm", 1420.0),
        ("top + 1.5 m", 2900.0),
        ("top + 1,5m", 2900.0),
        ("top \u{2212} 1\"", 1374.6),
        ("top + 1 1/2\"", 1438.1),
        ("top + 1 1/2", 1438.1),
        ("top + 1\u{bd}", 1438.1),
        ("top - 3/4\"", 1380.95),
        ("top * 3/4", 1050.0),
        ("3/4 * top", 1050.0),
        ("top / 3/4", 1400.0 / 12.0),
        ("top * leg_width / leg_width + 0", f64::NAN),
        ("leg_width * (top / leg_width)", 1400.0),
        ("top \u{d7} 2 \u{f7} 4", 700.0),
        ("5' 3 1/2\" + 0", 63.5 * 25.4),
        ("2 * 5 ft", 3048.0),
        ("20 + 30", 50.0),
        ("20 / 2", 10.0),
        ("Höhe2 - 20", 700.0),
        ("1400", 1400.0),
    ] {
        match mm(text) {
            Ok(value) => assert!((value - expected).abs() < 1e-9, "{text}: {value}"),
            Err(error) => assert!(expected.is_nan(), "{text}: {error:?}"),
        }
    }
    assert_eq!(inch("top - 3/4"), Ok(1400.0 - 19.05));
    assert_eq!(inch("20"), Ok(508.0));
    assert_eq!(inch("2 * top + 1"), Ok(2825.4));
}

#[test]
fn faults_have_a_place_and_a_kind() {
    use ExpressionFault as F;
    let fault = |text: &str| {
        let error = mm(text).expect_err(text);
        assert!(!error.fault.hint().is_empty() && !error.to_string().is_empty());
        (error.at, error.fault)
    };
    assert_eq!(fault(""), (0, F::Empty));
    assert_eq!(fault("  "), (0, F::Empty));
    assert_eq!(fault("top +"), (5, F::ValueMissing));
    assert_eq!(fault("top + * 2"), (6, F::ValueMissing));
    assert_eq!(fault("(top"), (0, F::Bracket));
    assert_eq!(fault("top)"), (3, F::Bracket));
    assert_eq!(
        fault("2 leg"),
        (2, F::OperatorMissing { word: "leg".into() })
    );
    assert_eq!(fault("top ^ 2"), (4, F::UnknownSign { sign: '^' }));
    assert_eq!(
        fault("2 * tip"),
        (
            4,
            F::UnknownName {
                name: "tip".into(),
                like: None
            }
        )
    );
    assert_eq!(fault("top / (2 - 2)"), (4, F::DivisionByNought));
    assert_eq!(fault("top * leg_width").1, F::LengthTimesLength);
    assert_eq!(fault("2 / top").1, F::NumberByLength);
    assert_eq!(fault("top / leg_width").1, F::RatioAsLength);
    assert_eq!(fault("top + top / leg_width").1, F::RatioAsLength);
    assert_eq!(fault("top - 3/4").1, F::FractionWithoutUnit);
    assert_eq!(fault("1/2").1, F::FractionWithoutUnit);
    assert!(matches!(
        fault("top + 1,400").1,
        F::Number(LengthError::TwoReadings { .. })
    ));
    assert_eq!(fault("top * 1000").1, F::ResultTooLarge);
    assert_eq!(fault(&"9".repeat(400)).1, F::ResultTooLarge);
    assert_eq!(fault(&"(".repeat(400)).1, F::TooLong);
    assert_eq!(fault(&"-".repeat(400)).1, F::TooLong);
    assert_eq!(fault(&"1+".repeat(400)).1, F::TooLong);
}

#[test]
fn names_are_words_that_are_no_units() {
    for good in [
        "top",
        "Top",
        "leg_width",
        "a1",
        "Höhe",
        "table height",
        "rail 2",
    ] {
        assert!(is_name(good), "{good}");
    }
    for bad in [
        "",
        "1a",
        "_a",
        "leg  width",
        "leg ",
        "leg in front",
        "leg-width",
        "mm",
        "IN",
        "feet",
        "<b>",
    ] {
        assert!(!is_name(bad), "{bad}");
    }
}

fn table(rows: &[(&str, &str)]) -> SortedMap<String, Definition> {
    rows.iter()
        .map(|(name, text)| {
            let expression = Expression::read(text, Unit::Millimetres).unwrap();
            ((*name).to_owned(), Definition::Worked(expression))
        })
        .collect()
}

#[test]
fn dimensions_may_use_one_another_in_any_order() {
    let resolved = resolve(&table(&[("a", "b + c"), ("b", "c * 2"), ("c", "100")]));
    assert!(resolved.faults.is_empty());
    assert_eq!(resolved.values["a"], 300.0);
}

#[test]
fn circles_and_what_hangs_on_them_are_named_and_the_rest_is_usable() {
    use ExpressionFault as F;
    let resolved = resolve(&table(&[
        ("a", "b + 1"),
        ("b", "c + 1"),
        ("c", "a + 1"),
        ("d", "a + 1"),
        ("e", "e"),
        ("f", "nothing + 1"),
        ("g", "f + 1"),
        ("h", "Sound"),
        ("sound", "5"),
    ]));
    let fault = |name: &str| resolved.faults[name].fault.clone();
    assert_eq!(
        fault("a"),
        F::Circle {
            names: vec!["a".into(), "b".into(), "c".into()]
        }
    );
    assert_eq!(fault("d"), F::NameWithoutValue { name: "a".into() });
    assert_eq!(
        fault("e"),
        F::Circle {
            names: vec!["e".into()]
        }
    );
    assert_eq!(
        fault("f"),
        F::UnknownName {
            name: "nothing".into(),
            like: None
        }
    );
    assert_eq!(fault("g"), F::NameWithoutValue { name: "f".into() });
    assert_eq!(
        fault("h"),
        F::UnknownName {
            name: "Sound".into(),
            like: Some("sound".into())
        }
    );
    assert_eq!(resolved.values.len(), 1);
    assert_eq!(resolved.values.len() + resolved.faults.len(), 9);
}

#[test]
fn a_chain_of_thousands_is_worked_out() {
    let mut long: SortedMap<String, Definition> = (1..5000)
        .map(|n| {
            let text = format!("d{} + 1", n - 1);
            let expression = Expression::read(&text, Unit::Millimetres).unwrap();
            (format!("d{n}"), Definition::Worked(expression))
        })
        .collect();
    long.insert("d0".into(), Definition::Fixed(0.0));
    assert_eq!(resolve(&long).values["d4999"], 4999.0);
}

#[test]
fn units_are_written_behind_lengths_and_not_behind_factors() {
    let written = |text: &str| {
        Expression::read(text, Unit::Millimetres)
            .unwrap()
            .with_units_written()
    };
    for (text, expected) in [
        ("top / 2 - 20", "top / 2 - 20 mm"),
        ("20 + 30", "20 mm + 30 mm"),
        ("(20 + 30) / 2", "(20 mm + 30 mm) / 2"),
        ("2 * 30 + top", "2 mm * 30 + top"),
        ("2 * (top - 5) + 1.5", "2 * (top - 5 mm) + 1.5 mm"),
        ("top - 3/4\"", "top - 3/4\""),
        ("top * 3/4", "top * 3/4"),
        ("-20", "-20 mm"),
        ("top", "top"),
        ("5", "5 mm"),
        (
            "leg_width * (top / leg_width)",
            "leg_width * (top / leg_width)",
        ),
    ] {
        assert_eq!(written(text), expected);
        assert_eq!(mm(text), inch(expected), "{text}");
    }
    let inches = Expression::read("top - 3/4", Unit::Inches).unwrap();
    assert_eq!(inches.with_units_written(), "top - 3/4 in");
    assert_eq!(mm("top - 3/4 in"), inch("top - 3/4"));
}

#[test]
fn a_point_before_three_digits_is_refused_in_a_length_and_taken_in_a_factor() {
    for text in [
        "1.400",
        "top - 1.400",
        "1.400 + top",
        "-(1.400 - 20)",
        "2.500 / 2",
        "leg_width + 12.000 * 2",
    ] {
        let read = Expression::read(text, Unit::Millimetres);
        let Err(ExpressionError { at, fault }) = read else {
            panic!("{text} is taken")
        };
        assert!(
            matches!(
                fault,
                ExpressionFault::Number(LengthError::TwoReadings { .. })
            ),
            "{text}: {fault:?}"
        );
        assert!(
            text[at..].starts_with(|c: char| c.is_ascii_digit()),
            "{text} at {at}"
        );
        assert!(Expression::read(text, Unit::Inches).is_ok(), "{text}");
    }
    for text in [
        "top * 1.618",
        "1.618 * top",
        "(top - 20) / 1.125",
        "100 * 1.618",
        "top - 1.400 m",
        "top - 1.125 mm",
        "top - 0.125",
        "top * (1 + 1.125)",
    ] {
        assert!(mm(text).is_ok(), "{text}");
    }
}

#[test]
fn names_are_replaced_as_whole_words() {
    let expression = Expression::read("top + (top_2 - 2 * top)/top", Unit::Millimetres).unwrap();
    assert_eq!(
        expression.renamed("top", "lid"),
        "lid + (top_2 - 2 * lid)/lid"
    );
    assert_eq!(expression.renamed("leg", "lid"), expression.text());
}

fn any_tree() -> impl Strategy<Value = (String, f64)> {
    let leaf = prop_oneof![
        (1..1000_u32).prop_map(|n| (format!("{n} mm"), f64::from(n))),
        Just(("top".to_owned(), 1400.0)),
    ];
    leaf.prop_recursive(5, 24, 2, |inner| {
        prop_oneof![
            (inner.clone(), inner.clone())
                .prop_map(|(a, b)| (format!("{}+{}", a.0, b.0), a.1 + b.1)),
            (inner.clone(), inner.clone())
                .prop_map(|(a, b)| (format!("{} - ({})", a.0, b.0), a.1 - b.1)),
            (inner.clone(), 2..9_u32)
                .prop_map(|(a, n)| (format!("({})*{n}", a.0), a.1 * f64::from(n))),
            (inner, 2..9_u32).prop_map(|(a, n)| (format!("({})/{n}", a.0), a.1 / f64::from(n))),
        ]
    })
}

proptest! {
    /// The value is that of the same sum worked out by Rust, in the same order.
    #[test]
    fn sums_are_worked_out_as_written((text, expected) in any_tree()) {
        match mm(&text) {
            Ok(value) => prop_assert!((value - expected).abs() < 1e-6, "{text}: {value}"),
            Err(error) => {
                let fault = &error.fault;
                let too_much = matches!(fault, ExpressionFault::ResultTooLarge | ExpressionFault::TooLong);
                prop_assert!(too_much, "{}: {:?}", text, error);
            }
        }
    }

    /// With its units written out, an expression means the same in a job of another unit.
    #[test]
    fn written_units_change_nothing(text in "(top|[1-9]|[1-9]/[24]|2 mm|\\(3 \\+ top\\))( ?[-+*/] ?(top|leg_width|[1-9]|1/[24]|\\(4 - 1\\)|3 in)){0,4}") {
        for unit in [Unit::Millimetres, Unit::Inches] {
            let Ok(expression) = Expression::read(&text, unit) else { continue };
            let Ok(meant) = expression.value(&names) else { continue };
            let other = if unit == Unit::Inches { Unit::Millimetres } else { Unit::Inches };
            let written = expression.with_units_written();
            let read = Expression::read(&written, other).and_then(|e| e.value(&names));
            let Ok(read) = read else { panic!("{written} is refused: {read:?}") };
            prop_assert!((read - meant).abs() < 1e-6, "{} -> {}: {} {}", text, written, meant, read);
        }
    }

    /// Any text is answered; a value is finite, a fault lies within the text.
    #[test]
    fn any_text_is_answered(text in "[0-9a-z_ .,/*()'\"+-]{0,40}|\\PC{0,20}") {
        for unit in [Unit::Millimetres, Unit::Inches] {
            match Expression::read(&text, unit).and_then(|e| e.value(&names)) {
                Ok(value) => prop_assert!(value.is_finite()),
                Err(error) => prop_assert!(error.at <= text.chars().count()),
            }
        }
    }
}

#[test]
fn thousands_of_dimensions_that_need_each_other_are_told_at_once() {
    const COUNT: usize = 20_000;
    let table = |needs: &dyn Fn(usize) -> String| -> SortedMap<String, Definition> {
        let worked = |k| {
            let read = Expression::read(&needs(k), Unit::Millimetres);
            Definition::Worked(read.expect("it can be read"))
        };
        (0..COUNT).map(|k| (format!("d{k}"), worked(k))).collect()
    };
    let started = std::time::Instant::now();
    // One circle of all, a long way that leads into a circle of two, and names that nobody knows.
    let round = resolve(&table(&|k| format!("d{} + 1", (k + 1) % COUNT)));
    assert_eq!(round.faults.len(), COUNT);
    let ExpressionFault::Circle { names } = &round.faults["d7"].fault else {
        panic!("{:?}", round.faults["d7"]);
    };
    assert_eq!(names[..3], ["d7", "d8", "d9"]);
    assert!(names.len() < 12 && names.last().is_some_and(|n| n == "\u{2026}"));
    let led = resolve(&table(&|k| format!("d{}", if k == 0 { 1 } else { k - 1 })));
    let fault = |name: &str| led.faults[name].fault.clone();
    assert_eq!(
        fault("d1"),
        ExpressionFault::Circle {
            names: vec!["d1".into(), "d0".into()]
        }
    );
    assert_eq!(
        fault("d900"),
        ExpressionFault::NameWithoutValue {
            name: "d899".into()
        }
    );
    assert_eq!(resolve(&table(&|k| format!("e{k}"))).faults.len(), COUNT);
    // Some tenths of a second; a walk for every name took minutes.
    assert!(started.elapsed().as_secs() < 20, "{:?}", started.elapsed());
}

/// Names of several words are read as they were given, and one that was known before still is.
#[test]
fn names_may_hold_spaces() {
    let value = |text: &str| {
        let known = |name: &str| match name {
            "table height" => Some(740.0),
            "top_length" => Some(1400.0),
            _ => None,
        };
        Expression::read(text, Unit::Millimetres).and_then(|e| e.value(&known))
    };
    assert_eq!(value("table height - 22"), Ok(718.0));
    assert_eq!(value("table   height/2 + top_length"), Ok(1770.0));
    assert_eq!(value("2 in + table height"), Ok(790.8));
    assert!(value("table - 22").is_err());
    let read = Expression::read("table  height - table", Unit::Millimetres).unwrap();
    assert_eq!(
        read.renamed("table height", "total height"),
        "total height - table"
    );
    assert_eq!(
        Expression::read("table height - 22", Unit::Millimetres)
            .unwrap()
            .with_units_written(),
        "table height - 22 mm"
    );
}
