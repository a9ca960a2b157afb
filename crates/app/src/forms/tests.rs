use std::collections::BTreeMap;

use heartside_timber::document::{Board, Document, Part, Zone};
use heartside_timber::length::{DisplayUnits, InchFraction};
use proptest::prelude::*;
use serde_json::json;

use crate::protocol::FieldKind;

use super::*;
use heartside_timber::document as doc;

/// What a reader borrows.
struct Ground {
    values: BTreeMap<String, f64>,
    usual: BTreeMap<&'static str, UsualText>,
    parts: Vec<(String, String)>,
}

impl Ground {
    fn new() -> Ground {
        Ground {
            values: BTreeMap::from([
                ("top_length".to_owned(), 1400.0),
                ("overhang".to_owned(), 20.0),
            ]),
            usual: BTreeMap::from([(
                "part.allowances.end",
                UsualText {
                    text: "10".to_owned(),
                    standing: "As set for all parts of the job".to_owned(),
                },
            )]),
            parts: vec![
                ("leg".to_owned(), "Leg".to_owned()),
                ("rail".to_owned(), "Rail, front".to_owned()),
            ],
        }
    }

    fn reader(&self, units: DisplayUnits) -> Reader<'_> {
        Reader {
            units,
            values: &self.values,
            usual: &self.usual,
            parts: &self.parts,
        }
    }

    fn metric(&self) -> Reader<'_> {
        self.reader(DisplayUnits::metric())
    }

    fn inches(&self) -> Reader<'_> {
        self.reader(DisplayUnits::inches(InchFraction::Sixteenths))
    }
}

fn board() -> Board {
    serde_json::from_value(json!({
        "id": "A", "thickness": 27,
        "outline": { "form": "tape", "length": 2000, "stations": [{ "at": 0, "left": 90, "right": 100 }] },
        "zones": [{ "kind": "defect", "shape": { "form": "spot", "along": 500, "across": 40, "length": 50, "width": 30 } }],
    }))
    .unwrap()
}

fn part() -> Part {
    serde_json::from_value(json!({
        "id": "leg", "name": "Leg", "thickness": 32, "shape": { "form": "rectangle", "length": 742, "width": 56 },
    }))
    .unwrap()
}

fn typed<T>(
    kind: ThingKind,
    thing: &T,
    field: &str,
    text: &str,
    reader: &Reader<'_>,
) -> (T, Option<String>)
where
    T: Serialize + DeserializeOwned,
{
    match type_into(kind, thing, field, text, reader) {
        Typed::Taken { thing, problem, .. } => (thing, problem),
        Typed::Same => panic!("{field} was {text} before"),
        Typed::Refused(why) => panic!("{field} = {text}: {why}"),
    }
}

fn shown<T: Serialize>(kind: ThingKind, thing: &T, field: &str, reader: &Reader<'_>) -> Field {
    let value = as_typed(thing);
    let sheet = sheet(kind).unwrap();
    sheet
        .find(field)
        .unwrap_or_else(|| panic!("no field {field}"))
        .field(field, &value, reader)
}

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

#[test]
fn emptied_fields_leave_nothing_behind() {
    let ground = Ground::new();
    let reader = ground.metric();
    let (with, _) = typed(ThingKind::Part, &part(), "tenon.start", "30", &reader);
    assert!(with.tenon.is_some());
    let (without, _) = typed(ThingKind::Part, &with, "tenon.start", "", &reader);
    assert_eq!(without, part());
    let (own, _) = typed(ThingKind::Part, &part(), "allowances.end", "4", &reader);
    let (usual, _) = typed(ThingKind::Part, &own, "allowances.end", "", &reader);
    assert_eq!(usual, part());
    let (priced, _) = typed(ThingKind::Board, &board(), "price.amount", "18,50", &reader);
    assert_eq!(
        serde_json::to_value(&priced).unwrap()["price"]["amount"],
        json!(18.5)
    );
    assert_eq!(
        typed(ThingKind::Board, &priced, "price.amount", "", &reader)
            .0
            .price,
        None
    );
}

#[test]
fn the_same_text_is_no_change() {
    let ground = Ground::new();
    assert_eq!(
        type_into(
            ThingKind::Board,
            &board(),
            "outline.length",
            "2000",
            &ground.metric()
        ),
        Typed::Same
    );
    assert_eq!(
        type_into(
            ThingKind::Board,
            &board(),
            "use",
            "freely",
            &ground.metric()
        ),
        Typed::Same
    );
}

#[test]
fn choices_that_are_not_there_are_refused() {
    let ground = Ground::new();
    assert!(matches!(
        type_into(ThingKind::Board, &board(), "use", "burn", &ground.metric()),
        Typed::Refused(_)
    ));
    assert!(matches!(
        type_into(ThingKind::Board, &board(), "no.such", "x", &ground.metric()),
        Typed::Refused(_)
    ));
    assert!(matches!(
        type_into(
            ThingKind::Part,
            &part(),
            "handed",
            "maybe",
            &ground.metric()
        ),
        Typed::Refused(_)
    ));
}

#[test]
fn shapes_keep_their_sizes_when_they_change() {
    let ground = Ground::new();
    let reader = ground.metric();
    let mut part = part();
    for form in ["taper", "ellipse", "arc_sided", "polygon", "rectangle"] {
        part = typed(ThingKind::Part, &part, "shape.form", form, &reader).0;
    }
    let value = serde_json::to_value(&part).unwrap();
    assert_eq!(value["shape"]["length"].as_f64(), Some(742.0));
    assert_eq!(value["shape"]["width"].as_f64(), Some(56.0));
}

#[test]
fn a_board_goes_from_tape_to_corners_and_back() {
    let ground = Ground::new();
    let reader = ground.metric();
    let (corners, _) = typed(
        ThingKind::Board,
        &board(),
        "outline.form",
        "polygon",
        &reader,
    );
    let (sided, _) = typed(
        ThingKind::Board,
        &corners,
        "outline.sides[2]",
        "straight",
        &reader,
    );
    assert_eq!(
        shown(ThingKind::Board, &sided, "outline.sides[2]", &reader).text,
        "straight"
    );
    let (tape, _) = typed(ThingKind::Board, &sided, "outline.form", "tape", &reader);
    assert_eq!(
        shown(ThingKind::Board, &tape, "outline.length", &reader).text,
        "2000"
    );
    assert_eq!(
        shown(ThingKind::Board, &tape, "outline.stations[1].left", &reader).text,
        "90"
    );
    assert_eq!(
        shown(
            ThingKind::Board,
            &tape,
            "outline.stations[1].right",
            &reader
        )
        .text,
        "100"
    );
}

#[test]
fn zones_go_through_all_their_forms() {
    let ground = Ground::new();
    let reader = ground.metric();
    let mut zone: Zone = board().zones[0].clone();
    for form in ["strip", "spot", "polygon", "spot"] {
        zone = typed(ThingKind::Zone, &zone, "shape.form", form, &reader).0;
        assert_eq!(
            shown(ThingKind::Zone, &zone, "shape.form", &reader).text,
            form
        );
    }
}

#[test]
fn copies_are_named_as_people_name_them() {
    let ground = Ground::new();
    let empty: doc::Match =
        serde_json::from_value(json!({ "kind": "same_board", "parts": [] })).unwrap();
    let (named, _) = typed(
        ThingKind::Match,
        &empty,
        "parts",
        "Leg 1, leg 2; rail",
        &ground.metric(),
    );
    assert_eq!(named.parts.len(), 3);
    assert_eq!(
        shown(ThingKind::Match, &named, "parts", &ground.metric()).text,
        "Leg 1, Leg 2, rail 1"
    );
    assert!(matches!(
        type_into(ThingKind::Match, &empty, "parts", "Lgg 1", &ground.metric()),
        Typed::Refused(_)
    ));
}

#[test]
fn bent_grain_is_typed_line_by_line() {
    let ground = Ground::new();
    let (bent, problem) = typed(
        ThingKind::Board,
        &board(),
        "grain.lines",
        "0, 0; 400, 20\n0, 50; 400, 65.5",
        &ground.metric(),
    );
    assert_eq!(problem, None);
    assert_eq!(
        shown(ThingKind::Board, &bent, "grain.lines", &ground.metric()).text,
        "0, 0; 400, 20\n0, 50; 400, 65.5"
    );
    let (_, problem) = typed(
        ThingKind::Board,
        &board(),
        "grain.lines",
        "wavy",
        &ground.metric(),
    );
    assert!(problem.is_some());
}

/// Every field of every form can be typed into without losing the rest of the thing.
#[test]
fn every_field_of_every_form_takes_what_it_shows() {
    let ground = Ground::new();
    let reader = ground.metric();
    let document = Document::default();
    let head = head_of(&document);
    check_all(ThingKind::Job, &head, &reader);
    check_all(ThingKind::Workshop, &document.workshop, &reader);
    check_all(ThingKind::Allowances, &document.allowances, &reader);
    check_all(ThingKind::Board, &board(), &reader);
    check_all(ThingKind::Zone, &board().zones[0], &reader);
    check_all(ThingKind::Part, &part(), &reader);
    check_all(ThingKind::Tool, &doc::Tool::default(), &reader);
    check_all(ThingKind::Dimension, &doc::Dimension::default(), &reader);
    check_all(ThingKind::Species, &doc::Species::default(), &reader);
}

fn check_all<T>(kind: ThingKind, thing: &T, reader: &Reader<'_>)
where
    T: Serialize + DeserializeOwned + Clone + PartialEq + std::fmt::Debug,
{
    let value = serde_json::to_value(thing).unwrap();
    for field in fields(sheet(kind).unwrap(), &value, reader) {
        let texts: Vec<String> = match field.kind {
            crate::protocol::FieldKind::Length => vec!["12.5 mm".into(), "nonsense".into()],
            crate::protocol::FieldKind::Number => {
                vec!["1".into(), "nonsense".into(), "1e999".into(), "NaN".into()]
            }
            crate::protocol::FieldKind::Choice => {
                field.choices.iter().map(|c| c.value.clone()).collect()
            }
            crate::protocol::FieldKind::Flag => vec!["yes".into(), "no".into()],
            _ => vec!["<b>words</b>".into(), "1, 2".into()],
        };
        for text in texts {
            match type_into(kind, thing, &field.name, &text, reader) {
                Typed::Taken { thing: changed, .. } => {
                    assert_eq!(
                        shown(kind, &changed, &field.name, reader).text,
                        text,
                        "{kind:?} {}",
                        field.name
                    );
                    // And it can be written to a file and read again.
                    let text = serde_json::to_string(&changed).unwrap();
                    assert_eq!(
                        text,
                        serde_json::to_string(&serde_json::from_str::<Value>(&text).unwrap())
                            .map(|_| text.clone())
                            .unwrap()
                    );
                }
                Typed::Same => assert_eq!(field.text, text),
                Typed::Refused(why) => assert!(!why.is_empty()),
            }
        }
    }
}

proptest! {
    /// Whatever is typed, nothing panics, and what is taken shows again.
    #[test]
    fn any_text_is_taken_or_refused(text in "\\PC{0,20}", pick in 0usize..60) {
        let ground = Ground::new();
        let reader = ground.metric();
        let board = board();
        let all = fields(&board::BOARD, &serde_json::to_value(&board).unwrap(), &reader);
        let field = &all[pick % all.len()];
        if let Typed::Taken { thing, .. } = type_into(ThingKind::Board, &board, &field.name, &text, &reader) {
            let again = serde_json::to_string(&thing).unwrap();
            prop_assert!(serde_json::from_str::<Value>(&again).is_ok());
        }
    }

    /// Millimetres shown in a field read back as the same length, in inches to the fraction shown.
    #[test]
    fn shown_lengths_read_back(mm in 0u32..5_000_000) {
        let ground = Ground::new();
        let mm = f64::from(mm) / 1000.0;
        for reader in [ground.metric(), ground.inches()] {
            let fine = match reader.units.unit {
                heartside_timber::length::Unit::Millimetres => 6e-4,
                heartside_timber::length::Unit::Inches => {
                    12.7 / f64::from(reader.units.fraction.denominator()) + 1e-9
                }
            };
            for (text, within) in [(reader.shown(mm), fine), (reader.unrounded(mm), 6e-4)] {
                let back = reader.length(&text, reading::LengthKind::default(), None).value.unwrap();
                let back = reader.millimetres(&back).unwrap();
                prop_assert!((back - mm).abs() < within, "{mm} shown as {text} reads {back}");
            }
        }
    }
}
