//! Lists as people paste them.

use super::*;
use crate::document::Document;
use crate::prepare;
use proptest::prelude::*;

fn read(text: &str, unit: Unit) -> Pasted {
    read_parts(text, unit, &mut TakenIds::default())
}

fn sizes(pasted: &Pasted) -> Vec<(String, Option<f64>, [f64; 3])> {
    let document = Document {
        parts: pasted.parts.clone(),
        ..Document::new()
    };
    let job = prepare(&document).job;
    job.parts
        .iter()
        .map(|p| {
            (
                p.name.clone(),
                Some(f64::from(p.count)),
                [p.length(), p.width(), p.thickness],
            )
        })
        .collect()
}

#[test]
fn a_list_from_a_spreadsheet() {
    let text = "Name\tQty\tLength (mm)\tWidth\tThick\tWood\tSeen\n\
                Leg\t4\t720\t60\t45\tAsh\tboth\n\
                \n\
                Front rail\t1\t1,01 m\t84\t22\tAsh / Oak\tone\n";
    let pasted = read(text, Unit::Millimetres);
    assert_eq!(pasted.diagnostics, []);
    assert_eq!(
        sizes(&pasted),
        [
            ("Leg".to_owned(), Some(4.0), [720.0, 60.0, 45.0]),
            ("Front rail".to_owned(), Some(1.0), [1010.0, 84.0, 22.0])
        ]
    );
    assert_eq!(pasted.parts[1].species, ["Ash", "Oak"]);
    assert_eq!(pasted.parts[1].id, "front-rail");
    assert_eq!(pasted.parts[0].faces, Faces::Both);
}

#[test]
fn both_units_side_by_side() {
    let text = "part,length in inches,width (mm),thickness\nTop,\"55 1/4\",600,7/8\"\nShelf,30,300,1 3/4\n";
    let pasted = read(text, Unit::Millimetres);
    assert_eq!(pasted.diagnostics, []);
    let sizes = sizes(&pasted);
    assert_eq!(sizes[0].2, [55.25 * 25.4, 600.0, 22.225]);
    assert_eq!(sizes[1].2, [762.0, 300.0, 44.45]);
}

#[test]
fn bad_cells_are_reported_by_line_and_kept() {
    let text = "name;count;length;width;thickness;colour\n\
                Leg;some;1,400;60;45;red\n\
                ;2;;60;45;;too much\n";
    let pasted = read(text, Unit::Millimetres);
    let found: Vec<_> = pasted
        .diagnostics
        .iter()
        .map(|d| {
            (
                d.place.line.unwrap_or(0),
                d.code.as_str(),
                d.place.field.as_deref().unwrap_or(""),
            )
        })
        .collect();
    assert_eq!(
        found,
        [
            (1, "paste-column-unknown", ""),
            (2, "paste-count", "count"),
            (2, "length-two-readings", "length"),
            (3, "paste-cell-without-heading", ""),
            (3, "paste-size-missing", "length"),
        ]
    );
    assert_eq!(pasted.parts[0].note, "count: some; colour: red");
    assert_eq!(pasted.parts[1].note, "too much");
    let Some(Shape::Rectangle { length, .. }) = &pasted.parts[0].shape else {
        panic!()
    };
    assert_eq!(
        *length,
        Length::Typed {
            mm: None,
            typed: "1,400".into()
        }
    );
}

/// What may mean two things is asked about in whatever unit the column is, and never becomes
/// sure by standing in a job of the other unit; nothing is finished at a nominal thickness.
#[test]
fn doubtful_cells_stay_doubtful_in_every_job() {
    for (heading, unit) in [
        ("length", Unit::Millimetres),
        ("length (mm)", Unit::Millimetres),
        ("length (mm)", Unit::Inches),
    ] {
        let pasted = read(
            &format!("name;{heading};width (mm);thickness (mm)\nTop;1.400;600;8/4\n"),
            unit,
        );
        let codes: Vec<_> = pasted.diagnostics.iter().map(|d| d.code.as_str()).collect();
        assert_eq!(
            codes,
            ["length-two-readings", "length-nominal"],
            "{heading}"
        );
        let Some(Shape::Rectangle { length, .. }) = &pasted.parts[0].shape else {
            panic!()
        };
        let Length::Typed { mm: None, typed } = length else {
            panic!("{length:?}")
        };
        for unit in [unit, Unit::Millimetres] {
            assert!(
                matches!(
                    read_length(typed, unit, LengthContext::Length),
                    Err(LengthError::TwoReadings { .. })
                ),
                "{typed}"
            );
        }
    }
    let inches = read(
        "name,length (in),width (in),thickness\nTop,1.400,6,3/4\n",
        Unit::Millimetres,
    );
    assert_eq!(inches.diagnostics, []);
}

#[test]
fn lists_without_headings_or_parts_are_refused_plainly() {
    for (text, code) in [
        ("", "paste-empty"),
        ("  \n\n", "paste-empty"),
        ("Leg\t4\t720\n", "paste-without-headings"),
        ("Name\tLength\n", "paste-empty"),
    ] {
        let pasted = read(text, Unit::Millimetres);
        assert!(pasted.parts.is_empty());
        assert_eq!(pasted.diagnostics[0].code, code, "{text}");
    }
}

#[test]
fn ids_are_made_safe_and_new() {
    let mut taken = TakenIds::of(["leg"]);
    let text =
        "id\tname\tlength\twidth\tthickness\n../x\tLeg\t1\t1\t1\nA1\tB\t1\t1\t1\na1\tC\t1\t1\t1\n";
    let pasted = read_parts(text, Unit::Millimetres, &mut taken);
    let ids: Vec<_> = pasted.parts.iter().map(|p| p.id.as_str()).collect();
    assert_eq!(ids, ["leg-2", "A1", "c"]);
    assert_eq!(
        pasted
            .diagnostics
            .iter()
            .filter(|d| d.code == "paste-id")
            .count(),
        2
    );
}

#[test]
fn quoted_cells_may_hold_anything() {
    let text =
        "name,length,width,thickness\n\"Leg, \"\"left\"\"\nfront\",5\",3\",1\"\n\"open,2,3,4\n";
    let pasted = read(text, Unit::Inches);
    assert_eq!(pasted.parts[0].name, "Leg, \"left\"\nfront");
    assert_eq!(sizes(&pasted)[0].2, [127.0, 76.2, 25.4]);
    assert_eq!(pasted.parts[1].name, "\"open");
}

proptest! {
    /// Any text is answered; every part has a safe id of its own.
    #[test]
    fn any_list_is_answered(text in "(name|length|width|[a-z]{0,4}|[0-9,.\"]{0,4}|\t|;|,|\n|\"|\\PC){0,40}") {
        let pasted = read(&text, Unit::Inches);
        let mut seen = TakenIds::default();
        for part in &pasted.parts {
            prop_assert!(is_safe_id(&part.id) && seen.take(&part.id));
        }
        for diagnostic in &pasted.diagnostics {
            prop_assert!(diagnostic.place.line.is_some());
        }
    }
}
