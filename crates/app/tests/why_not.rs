//! Reasons against better values of sizes: boards with things at known places.

#![allow(clippy::unwrap_used)]

use heartside_app::protocol::SearchSettings;
use heartside_app::search::Search;
use heartside_app::sizes::why_not;
use heartside_check::check;
use heartside_testkit::sizes_job;
use heartside_timber::choices::Choices;
use heartside_timber::document::{
    BoardOutline, Document, Length, Price, PricePer, Shape, Zone, ZoneKind, ZoneShape,
};
use heartside_timber::finding::is_sound;
use heartside_timber::plan::Plan;
use heartside_timber::prepare::prepare_with;

fn mm(value: f64) -> Option<Length> {
    Some(Length::Mm(value))
}

fn expr(text: &str) -> Length {
    Length::Expr { expr: text.into() }
}

/// One part, "Top", as long as the size "length" (preferred 1500, from 1380 to 1520), on boards of these lengths and 200
/// wide; a kerf of 3 and nothing trimmed off.
fn job(boards: &[(&str, f64, f64)]) -> Document {
    let mut document = sizes_job(2);
    let board = document.boards[0].clone();
    document.boards.clear();
    for (id, length, price) in boards {
        let mut board = board.clone();
        board.id = (*id).into();
        board.name = (*id).into();
        board.zones.clear();
        board.price = Some(Price {
            amount: *price,
            per: PricePer::Board,
        });
        if let Some(BoardOutline::Polygon { points, .. }) = &mut board.outline {
            let corners = [[0.0, 0.0], [*length, 0.0], [*length, 200.0], [0.0, 200.0]];
            *points = corners.map(|p| p.map(Length::Mm)).to_vec();
        }
        document.boards.push(board);
    }
    document.workshop.tools.truncate(1);
    document.workshop.tools[0].kerf = mm(3.0);
    document.allowances.end = mm(0.0);
    document.allowances.edge = mm(0.0);
    document.parts.truncate(1);
    let part = &mut document.parts[0];
    part.name = "Top".into();
    part.id = "top".into();
    part.count = Some(1.0);
    part.shape = Some(Shape::Rectangle {
        length: expr("length"),
        width: Length::Mm(190.0),
    });
    document.dimensions.truncate(1);
    let size = &mut document.dimensions[0];
    size.name = "length".into();
    (size.preferred, size.least, size.most) = (mm(1500.0), mm(1380.0), mm(1520.0));
    size.step = None;
    document
}

fn zone(kind: ZoneKind, note: &str, (x0, x1): (f64, f64)) -> Zone {
    let corners = [[x0, 20.0], [x1, 20.0], [x1, 180.0], [x0, 180.0]];
    Zone {
        kind,
        note: note.into(),
        shape: Some(ZoneShape::Polygon {
            points: corners.map(|p| p.map(Length::Mm)).to_vec(),
        }),
        ..Zone::default()
    }
}

/// The plan of a search, and the reason against a better length.
fn told(document: &Document) -> (Plan, String) {
    let settings = SearchSettings {
        seed: 1,
        worker: 0,
        workers: 1,
        ..SearchSettings::default()
    };
    let mut search = Search::new(&document.save(), &settings);
    search.step(1_500);
    let plan = Plan::read(&search.best().unwrap()).unwrap();
    let job = prepare_with(document, &Choices::of(&plan)).job;
    assert!(is_sound(&check(&job, &plan)));
    let reason = why_not(document, &plan, "length").unwrap();
    (plan, reason.text)
}

#[test]
fn old_dowels_stop_the_saw() {
    let mut document = job(&[("E", 1_600.0, 30.0)]);
    document.boards[0]
        .zones
        .push(zone(ZoneKind::Fixing, "dowels", (1_500.0, 1_530.0)));
    let (plan, text) = told(&document);
    // 12 mm of margin and the kerf before the dowels, to the millimetre.
    assert_eq!(plan.dimensions[0].value, 1_484.0);
    assert_eq!(
        text,
        "1500 would bring the saw at the end of Top into the dowels of board E, 70 mm from its end; 1484 is clear"
    );
}

#[test]
fn a_knot_keeps_the_end_away() {
    let mut document = job(&[("E", 1_600.0, 30.0)]);
    document.boards[0]
        .zones
        .push(zone(ZoneKind::Defect, "knot", (1_450.0, 1_480.0)));
    let (plan, text) = told(&document);
    // To the millimetre: a search keeps two micrometres clear.
    assert_eq!(plan.dimensions[0].value, 1_449.0);
    assert_eq!(
        text,
        "1500 would leave the end of Top in the knot of board E, 120 mm from its end; 1449 is clear"
    );
}

#[test]
fn a_board_that_is_too_short_says_by_how_much() {
    let (plan, text) = told(&job(&[("E", 1_450.0, 30.0)]));
    assert_eq!(plan.dimensions[0].value, 1_450.0);
    assert_eq!(
        text,
        "1500 would need 50 mm more for Top than board E gives; 1450 fits"
    );
}

#[test]
fn room_for_another_part_costs_another_board() {
    let mut document = job(&[("E", 1_600.0, 30.0), ("F", 1_600.0, 42.0)]);
    let mut rail = document.parts[0].clone();
    (rail.id, rail.name) = ("rail".into(), "Rail".into());
    rail.shape = Some(Shape::Rectangle {
        length: Length::Mm(200.0),
        width: Length::Mm(190.0),
    });
    document.parts.push(rail);
    let (plan, text) = told(&document);
    assert_eq!(plan.dimensions[0].value, 1_397.0);
    assert_eq!(text, "1500 would need 1 more board: 42.00 more");
}
