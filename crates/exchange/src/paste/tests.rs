//! Lists as people paste them.

use heartside_timber::document::{BoardOutline, Document, Faces, GrainAxis, Length, Shape};
use heartside_timber::ids::is_safe_id;
use heartside_timber::length::{LengthContext, LengthError, read_length};
use heartside_timber::prepare;
use proptest::prelude::*;

use super::*;

fn read(text: &str, unit: Unit) -> Pasted {
    read_parts(text, unit, &mut TakenIds::default(), &[])
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
    let pasted = read_parts(text, Unit::Millimetres, &mut taken, &[]);
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

#[test]
fn lines_as_a_maker_types_them() {
    let text = "Leg 4 720 60 60\n\
                4x Long rail 1400x90x24 tenons 30\n\
                2 off Short rail, 620 x 90 x 24 tenon 30 20 European oak\n\
                \n\
                Panel 560 300 12 across\n\
                Slat 6 500 50 16 t12\n";
    let pasted = read(text, Unit::Millimetres);
    assert_eq!(pasted.diagnostics, []);
    assert_eq!(
        sizes(&pasted),
        [
            ("Leg".to_owned(), Some(4.0), [720.0, 60.0, 60.0]),
            ("Long rail".to_owned(), Some(4.0), [1460.0, 90.0, 24.0]),
            ("Short rail".to_owned(), Some(2.0), [670.0, 90.0, 24.0]),
            ("Panel".to_owned(), Some(1.0), [560.0, 300.0, 12.0]),
            ("Slat".to_owned(), Some(6.0), [524.0, 50.0, 16.0]),
        ]
    );
    assert_eq!(pasted.parts[2].species, ["European oak"]);
    assert_eq!(pasted.parts[3].grain.axis, GrainAxis::Across);
    let inches = read(
        "Rail 2 16 1/4 3 1/2\" 3/4\nShelf 18\" x 11\" x 3/4",
        Unit::Inches,
    );
    assert_eq!(inches.diagnostics, []);
    assert_eq!(
        sizes(&inches),
        [
            ("Rail".to_owned(), Some(2.0), [412.75, 88.9, 19.05]),
            ("Shelf".to_owned(), Some(1.0), [18.0 * 25.4, 279.4, 19.05]),
        ]
    );
}

#[test]
fn typed_lines_say_what_they_lack_and_what_is_not_understood() {
    let pasted = read(
        "Leg 4 720 60\nRail 2 560 84 22 5 wobbly\n",
        Unit::Millimetres,
    );
    let told: Vec<_> = pasted
        .diagnostics
        .iter()
        .map(|d| (d.place.line.unwrap_or(0), d.message.as_str()))
        .collect();
    assert_eq!(
        told,
        [
            (1, "the thickness is missing"),
            (2, "\u{201c}5\u{201d} is not understood"),
            (2, "\u{201c}wobbly\u{201d} is not understood"),
        ]
    );
    assert_eq!(pasted.parts[0].count, Some(4.0));
    assert_eq!(pasted.parts[1].note, "5 wobbly");
}

#[test]
fn tenons_and_shoulders_come_from_columns() {
    let text = "Item,Pcs,Shoulder length,Len,Breadth,Thk,Timber\nRail,2,500,560,84,22,Ash\n";
    let pasted = read(text, Unit::Millimetres);
    assert_eq!(pasted.diagnostics, []);
    assert_eq!(sizes(&pasted)[0].2, [560.0, 84.0, 22.0]);
    let tenon = pasted.parts[0].tenon.clone().unwrap();
    assert_eq!(tenon.start, Some(Length::Mm(30.0)));
    let text = "part;no.;length;width;thick;tenon left;tenon right\nRail;2;500;84;22;30;20\n";
    assert_eq!(sizes(&read(text, Unit::Millimetres))[0].2[0], 550.0);
    let text = "part;qty;length;width;thick;tenon\nRail;2;500;84;22;30\n";
    assert_eq!(sizes(&read(text, Unit::Millimetres))[0].2[0], 560.0);
}

/// A heading that is not known is asked about; until it is said, its cells stand in the note.
#[test]
fn unknown_columns_mean_what_one_says() {
    let text = "name;how thick;length;width;colour\nTop;22;700;80;red\n";
    let open = read(text, Unit::Millimetres);
    let unknown = [(1, "how thick".to_owned()), (4, "colour".to_owned())];
    assert_eq!(open.unknown, unknown);
    assert_eq!(open.parts[0].note, "how thick: 22; colour: red");
    let said: Vec<String> = ["", "thickness", "", "", "left_out"]
        .map(str::to_owned)
        .into();
    let pasted = read_parts(text, Unit::Millimetres, &mut TakenIds::default(), &said);
    assert_eq!(pasted.diagnostics, []);
    assert_eq!(pasted.unknown, unknown);
    assert_eq!(sizes(&pasted)[0].2, [700.0, 80.0, 22.0]);
    assert_eq!(pasted.parts[0].note, "");
}

proptest! {
    /// A typed line gives back the name, the count and the sizes that it was made of.
    #[test]
    fn typed_lines_are_read_as_they_were_meant(
        name in "[A-Z][a-z]{2,8}( [a-z]{3,8})?",
        count in 1_u32..40,
        sizes_mm in proptest::array::uniform3(50_u32..3000),
        first in proptest::bool::ANY,
        times in proptest::bool::ANY,
    ) {
        prop_assume!(find_no_wood(&name));
        let [l, w, t] = sizes_mm;
        let size = if times { format!("{l}x{w}x{t}") } else { format!("{l} {w} {t}") };
        let line = if first { format!("{count} {name} {size}") } else { format!("{name} {count} {size}") };
        let pasted = read(&line, Unit::Millimetres);
        prop_assert_eq!(&pasted.diagnostics, &[]);
        prop_assert_eq!(&pasted.parts[0].name, &name);
        prop_assert_eq!(pasted.parts[0].count, Some(f64::from(count)));
        let Some(Shape::Rectangle { length, width }) = &pasted.parts[0].shape else { panic!() };
        prop_assert_eq!(length.plain_mm(), Some(f64::from(l)));
        prop_assert_eq!(width.plain_mm(), Some(f64::from(w)));
        prop_assert_eq!(pasted.parts[0].thickness.as_ref().and_then(Length::plain_mm), Some(f64::from(t)));
    }
}

/// Words such as "off" and "pcs" after a count, and headings, are no names.
fn find_no_wood(name: &str) -> bool {
    !["off", "pcs", "pieces", "no"].contains(&name.to_lowercase().as_str())
        && Column::of(name).field.is_none()
}

#[test]
fn a_table_of_plain_boards() {
    let text = "Mark;Length;Width;Far width;Thickness;Species;Pcs;Price;Moisture %;Shelf\n\
                A;2400;180;160;27,5;Oak;;41,50;9,5;top\n\
                ;1,2 m;120;;8/4;Ash;3;;;\n\
                A;900;wide;;20;;;cheap;;\n";
    let read = read_boards(text, Unit::Millimetres, &mut TakenIds::default());
    let [first, second, third] = read.boards.as_slice() else {
        panic!("{read:?}");
    };
    assert_eq!((first.id.as_str(), first.species.as_str()), ("A", "Oak"));
    assert_eq!(
        first.thickness.as_ref().and_then(Length::plain_mm),
        Some(27.5)
    );
    assert_eq!(first.price.as_ref().map(|p| p.amount), Some(41.5));
    assert_eq!(
        (first.moisture, first.note.as_str()),
        (Some(9.5), "Shelf: top")
    );
    let Some(BoardOutline::Tape { stations, .. }) = &first.outline else {
        panic!()
    };
    let widths: Vec<f64> = stations
        .iter()
        .filter_map(|s| Some(s.left.plain_mm()? + s.right.plain_mm()?))
        .collect();
    assert_eq!(widths, [180.0, 160.0]);
    assert_eq!((second.id.as_str(), second.count), ("B", Some(3.0)));
    assert_eq!(second.thickness, None);
    assert_eq!(
        second.nominal.as_ref().and_then(Length::plain_mm),
        Some(50.8)
    );
    assert_eq!(third.note, "price: cheap");
    let lines = |code: &str| -> Vec<Option<usize>> {
        let told = read.diagnostics.iter().filter(|d| d.code == code);
        told.map(|d| d.place.line).collect()
    };
    assert_eq!(lines("paste-column-unknown"), [Some(1)]);
    assert_eq!(lines("paste-nominal"), [Some(3)]);
    assert_eq!(lines("paste-id"), [Some(4)]);
    assert_eq!(lines("paste-word"), [Some(4)]);
    assert_eq!(
        read.diagnostics
            .iter()
            .filter(|d| d.message.starts_with("the width"))
            .count(),
        1
    );
    let job = prepare(&Document {
        boards: read.boards.clone(),
        ..Document::new()
    })
    .job;
    assert_eq!(job.boards.len(), 1, "the others wait for what is missing");
}

/// Tables that cannot be used say so, each at its line.
#[test]
fn broken_tables_of_boards_are_told() {
    for (text, code) in [
        ("", "paste-without-headings"),
        ("2400;180;27\n", "paste-without-headings"),
        ("Length,Thickness\n3,4\n", "paste-without-headings"),
        ("Length,Width,Thickness\n", "paste-empty"),
        ("Length,Width,Width\n1000,90,80\n", "paste-column-twice"),
        ("Length,Width,Thickness\n1000,90\n", "paste-size-missing"),
        (
            "Length,Width,Thickness\n1000,90,20,oak\n",
            "paste-cell-without-heading",
        ),
        (
            "Length,Width,Thickness,Pcs\n1000,90,20,some\n",
            "paste-count",
        ),
    ] {
        let read = read_boards(text, Unit::Millimetres, &mut TakenIds::default());
        assert!(
            read.diagnostics
                .iter()
                .any(|d| d.code == code && d.hint.is_some()),
            "{text:?}: {read:?}"
        );
    }
}

proptest! {
    /// A table that was changed anywhere is read or told, and never ends in a panic.
    #[test]
    fn broken_tables_are_answered(
        changes in proptest::collection::vec((0.0..1.0_f64, any::<char>(), any::<bool>()), 1..12),
    ) {
        let good = "Mark;Length;Width;Far width;Thickness;Pcs\nA;2400;180;160;27,5;2\n\"B\";8' 6\";5 1/2\";;1\";1\n";
        let mut characters: Vec<char> = good.chars().collect();
        for (place, character, instead) in changes {
            let at = (characters.len() as f64 * place) as usize;
            if instead { characters[at] = character } else { characters.insert(at, character) }
        }
        let text: String = characters.into_iter().collect();
        let read = read_boards(&text, Unit::Millimetres, &mut TakenIds::default());
        prop_assert!(!read.boards.is_empty() || !read.diagnostics.is_empty());
    }
}
