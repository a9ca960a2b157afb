//! Lengths, numbers and expressions as they are typed.

use super::*;

#[test]
fn a_length_with_its_unit_is_kept_as_written() {
    let ground = Ground::new();
    let (board, problem) = typed(
        ThingKind::Board,
        &board(),
        "outline.length",
        "5' 3 1/2\"",
        &ground.metric(),
    );
    assert_eq!(problem, None);
    let field = shown(ThingKind::Board, &board, "outline.length", &ground.metric());
    assert_eq!(field.text, "5' 3 1/2\"");
    assert_eq!(field.reads_as.as_deref(), Some("= 1612.9 mm"));
}

#[test]
fn a_bare_number_does_not_change_its_meaning_with_the_units() {
    let ground = Ground::new();
    let (metric, _) = typed(
        ThingKind::Board,
        &board(),
        "outline.length",
        "1400",
        &ground.metric(),
    );
    // Rounded to what the job shows, with the truth beside it and untouched by being looked at.
    let field = shown(
        ThingKind::Board,
        &metric,
        "outline.length",
        &ground.inches(),
    );
    assert_eq!(field.text, "55 1/8\"");
    assert_eq!(field.reads_as.as_deref(), Some("exactly 1400 mm"));
    assert_eq!(
        type_into(
            ThingKind::Board,
            &metric,
            "outline.length",
            &field.text,
            &ground.inches()
        ),
        Typed::Same
    );
    let (inches, _) = typed(
        ThingKind::Board,
        &board(),
        "outline.length",
        "55",
        &ground.inches(),
    );
    let field = shown(
        ThingKind::Board,
        &inches,
        "outline.length",
        &ground.metric(),
    );
    assert_eq!(field.text, "55\"");
    assert_eq!(field.reads_as.as_deref(), Some("= 1397 mm"));
}

#[test]
fn what_may_be_thousands_is_asked_about_and_kept() {
    let ground = Ground::new();
    for (kind, field, text) in [
        (ThingKind::Board, "outline.length", "1.400"),
        (ThingKind::Board, "thickness", "27.500"),
        (ThingKind::Board, "outline.stations[0].at", "1.250"),
        (ThingKind::Board, "price.amount", "1.400"),
        (ThingKind::Board, "price.amount", "1,400"),
    ] {
        let (wrong, problem) = typed(kind, &board(), field, text, &ground.metric());
        let problem = problem.unwrap_or_else(|| panic!("{field} takes {text}"));
        assert!(problem.contains("can be read as"), "{problem}");
        let field = shown(kind, &wrong, field, &ground.metric());
        assert_eq!(field.text, text);
        assert!(field.problem.unwrap().contains("whichever you mean"));
        assert_eq!(
            field.offers.len(),
            if text.contains('.') && field.kind == FieldKind::Length {
                2
            } else {
                0
            }
        );
        for offer in field.offers {
            let (_, problem) = typed(kind, &wrong, &field.name, &offer.value, &ground.metric());
            assert_eq!(problem, None, "{}", offer.value);
        }
    }
    let (_, problem) = typed(
        ThingKind::Part,
        &part(),
        "shape.length",
        "top_length - 1.250",
        &ground.metric(),
    );
    assert!(problem.unwrap().contains("can be read as"));
    for (field, text) in [("outline.length", "1.400 m"), ("price.amount", "1.40")] {
        let (_, problem) = typed(ThingKind::Board, &board(), field, text, &ground.metric());
        assert_eq!(problem, None, "{field} = {text}");
    }
    let (_, problem) = typed(
        ThingKind::Board,
        &board(),
        "thickness",
        "1.125",
        &ground.inches(),
    );
    assert_eq!(problem, None);
}

#[test]
fn what_a_board_is_sold_as_is_no_thickness() {
    let ground = Ground::new();
    for reader in [ground.metric(), ground.inches()] {
        let (_, problem) = typed(ThingKind::Board, &board(), "thickness", "8/4", &reader);
        let problem = problem.unwrap();
        assert!(problem.contains("nominal"), "{problem}");
        assert!(problem.contains("1 3/4\" (44 mm) planed"), "{problem}");
        let (_, problem) = typed(ThingKind::Part, &part(), "thickness", "4/4", &reader);
        let problem = problem.unwrap();
        assert!(problem.contains("13/16\" (21 mm)"), "{problem}");
    }
}

#[test]
fn quarters_offer_what_such_a_board_usually_measures() {
    let ground = Ground::new();
    for (reader, rough, planed) in [
        (ground.metric(), "49.2 mm from the saw", "44.5 mm planed"),
        (ground.inches(), "1 15/16\" from the saw", "1 3/4\" planed"),
    ] {
        let (asked, _) = typed(ThingKind::Board, &board(), "thickness", "8/4", &reader);
        let field = shown(ThingKind::Board, &asked, "thickness", &reader);
        let labels: Vec<&str> = field.offers.iter().map(|o| o.label.as_str()).collect();
        assert_eq!(labels, [rough, planed]);
        assert!(field.standing.unwrap().contains("published"));
        assert_eq!(
            field.reads_as, None,
            "what is refused is not also understood"
        );
        let (taken, problem) = typed(
            ThingKind::Board,
            &asked,
            "thickness",
            &field.offers[1].value,
            &reader,
        );
        assert_eq!(problem, None);
        let field = shown(ThingKind::Board, &taken, "thickness", &reader);
        assert!(field.offers.is_empty() && field.problem.is_none());
        let (asked, _) = typed(ThingKind::Part, &part(), "thickness", "8/4", &reader);
        let field = shown(ThingKind::Part, &asked, "thickness", &reader);
        assert_eq!(field.offers.len(), 1);
    }
}

#[test]
fn a_name_of_several_woods_is_asked_about_in_its_field() {
    let ground = Ground::new();
    let reader = ground.inches();
    let (oak, problem) = typed(ThingKind::Board, &board(), "species", "Oak", &reader);
    assert_eq!(problem, None);
    let field = shown(ThingKind::Board, &oak, "species", &reader);
    assert_eq!(field.text, "Oak");
    assert!(
        field
            .question
            .unwrap()
            .contains("white oak, red oak or European oak")
    );
    assert_eq!(field.offers[0].value, "White oak");
    let (white, _) = typed(ThingKind::Board, &oak, "species", "White oak", &reader);
    let field = shown(ThingKind::Board, &white, "species", &reader);
    assert_eq!((field.question, field.offers.len()), (None, 0));
    assert!(field.standing.unwrap().contains("Wood Handbook"));
}

/// A field shows no finer fraction than the job, and typing over what it shows is what is meant.
#[test]
fn inches_are_never_finer_than_the_job_shows() {
    let ground = Ground::new();
    for fraction in [
        InchFraction::Sixteenths,
        InchFraction::ThirtySeconds,
        InchFraction::SixtyFourths,
    ] {
        let reader = ground.reader(DisplayUnits::inches(fraction));
        for tenths in (1..20_000).step_by(37) {
            let mm = f64::from(tenths) / 10.0;
            let shown = reader.shown(mm);
            assert!(!shown.contains('.'), "{mm} mm is shown as {shown}");
            let under = shown.trim_end_matches('"').split_once('/');
            let finest = f64::from(fraction.denominator());
            assert!(under.is_none_or(|(_, d)| d.parse::<f64>().unwrap() <= finest));
            let again = reader.unrounded(mm);
            let kind = super::reading::LengthKind::default();
            let read = reader.read_signed(&again, reader.units.unit, kind).unwrap();
            assert!((read - mm).abs() < 1e-9, "{mm} mm is written {again}");
        }
    }
}

#[test]
fn grain_lines_keep_their_places_in_inches() {
    let ground = Ground::new();
    let mut bent = board();
    bent.grain =
        serde_json::from_value(json!({ "lines": [[[0, 0], [400, 20.125], [914.4, 25]]] })).unwrap();
    for reader in [ground.metric(), ground.inches()] {
        let field = shown(ThingKind::Board, &bent, "grain.lines", &reader);
        let more = format!("{}; 950 mm, 26 mm", field.text);
        let (longer, problem) = typed(ThingKind::Board, &bent, "grain.lines", &more, &reader);
        assert_eq!(problem, None, "{more}");
        let lines = serde_json::to_value(&longer).unwrap()["grain"]["lines"].clone();
        assert_eq!(
            lines,
            json!([[[0.0, 0.0], [400.0, 20.125], [914.4, 25.0], [950.0, 26.0]]])
        );
    }
}

#[test]
fn a_bad_length_stays_with_its_problem_and_the_last_value() {
    let ground = Ground::new();
    let (board, problem) = typed(
        ThingKind::Board,
        &board(),
        "thickness",
        "2u7",
        &ground.metric(),
    );
    assert!(problem.is_some());
    let field = shown(ThingKind::Board, &board, "thickness", &ground.metric());
    assert_eq!(field.text, "2u7");
    assert!(field.problem.is_some());
    assert_eq!(
        serde_json::to_value(&board).unwrap()["thickness"]["mm"],
        json!(27.0)
    );
}

#[test]
fn bad_numbers_stay_where_they_were_typed() {
    let ground = Ground::new();
    for (field, text) in [
        ("count", "two"),
        ("price.amount", "dear"),
        ("moisture", "wet"),
    ] {
        let (board, problem) = typed(ThingKind::Board, &board(), field, text, &ground.metric());
        assert!(problem.is_some(), "{field}");
        let shown = shown(ThingKind::Board, &board, field, &ground.metric());
        assert_eq!(shown.text, text);
        assert!(shown.problem.is_some(), "{field}");
        // It survives the file, and gives way to a good one.
        let document = Document {
            boards: vec![board.clone()],
            ..Document::new()
        };
        let again = Document::open(&document.save()).unwrap().document;
        assert_eq!(again, document);
        let (mended, problem) = typed(
            ThingKind::Board,
            &again.boards[0],
            field,
            "3",
            &ground.metric(),
        );
        assert_eq!(problem, None);
        assert!(mended.unknown.is_empty(), "{:?}", mended.unknown);
    }
    let (part, problem) = typed(
        ThingKind::Part,
        &part(),
        "grain.tolerance",
        "little",
        &ground.metric(),
    );
    assert!(problem.is_some());
    assert_eq!(
        shown(ThingKind::Part, &part, "grain.tolerance", &ground.metric()).text,
        "little"
    );
}

#[test]
fn expressions_are_for_known_names_only() {
    let ground = Ground::new();
    let (good, problem) = typed(
        ThingKind::Part,
        &part(),
        "shape.length",
        "top_length - 2 * overhang",
        &ground.metric(),
    );
    assert_eq!(problem, None);
    let field = shown(ThingKind::Part, &good, "shape.length", &ground.metric());
    assert_eq!(field.text, "top_length - 2 * overhang");
    assert_eq!(field.reads_as.as_deref(), Some("= 1360 mm"));
    let (_, problem) = typed(
        ThingKind::Part,
        &part(),
        "shape.length",
        "12 mn",
        &ground.metric(),
    );
    assert!(problem.is_some());
}
