//! Reasons against better values of sizes: boards with things at known places.

#![allow(clippy::unwrap_used)]

use crate::searched;

use heartside_app::protocol::WhatIf;
use heartside_app::sizes::{sizes_that_gave, why_not};
use heartside_app::what_if::SizeAsked;
use heartside_check::check;
use heartside_testkit::sizes_job;
use heartside_timber::choices::Choices;
use heartside_timber::document::{
    BoardOutline, Document, Length, Price, PricePer, Shape, Zone, ZoneKind, ZoneShape,
};
use heartside_timber::finding::is_sound;
use heartside_timber::plan::Plan;
use heartside_timber::prepare::prepare_with;
use searched::set_out;

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
    let (job, plan) = set_out(document, 1_500);
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
        "As the parts lie now, 1500 would bring the saw at the end of Top into the dowels of board E, 70 mm from its end; 1484 is clear"
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
        "As the parts lie now, 1500 would leave the end of Top in the knot of board E, 120 mm from its end; 1449 is clear"
    );
}

#[test]
fn a_board_that_is_too_short_says_by_how_much() {
    let (plan, text) = told(&job(&[("E", 1_450.0, 30.0)]));
    assert_eq!(plan.dimensions[0].value, 1_450.0);
    assert_eq!(
        text,
        "As the parts lie now, 1500 would need 50 mm more for Top than board E gives; 1450 fits"
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
    assert_eq!(
        text,
        "The best plan found with 1500 needs 1 more board: 42.00 more"
    );
}

/// All that is known of the length in the end.
fn looked_at(document: &Document) -> (SizeAsked, WhatIf) {
    let mut asked = SizeAsked::new(&document.save(), 0);
    while asked.look().is_some() {}
    let seen = asked.seen();
    assert!(seen.done);
    (asked, seen)
}

#[test]
fn neighbouring_values_with_one_thing_in_their_way_are_told_together() {
    let mut document = job(&[("E", 1_600.0, 30.0)]);
    document.boards[0]
        .zones
        .push(zone(ZoneKind::Fixing, "dowels", (1_500.0, 1_530.0)));
    document.plan = Some(told(&document).0);
    // What is in the way is known before anything is looked at.
    let ranges = SizeAsked::new(&document.save(), 0).seen().ranges;
    let told: Vec<(&str, usize)> = ranges
        .iter()
        .map(|r| (r.why.as_str(), r.points.len()))
        .collect();
    assert_eq!(
        told,
        [
            ("", 11),
            (
                "As the parts lie now, 1497 to 1520 mm would bring the saw at the end of Top into the dowels of board E, 70 mm from its end",
                4
            )
        ]
    );
    let points = ranges.iter().flat_map(|r| &r.points);
    let places: Vec<u32> = points.map(|p| p.index).collect();
    assert_eq!(places, (0..15).collect::<Vec<u32>>());
}

#[test]
fn of_values_that_lack_more_and_more_the_most_is_told() {
    let mut document = job(&[("E", 1_450.0, 30.0)]);
    document.plan = Some(told(&document).0);
    let (_, seen) = looked_at(&document);
    let why = &seen.ranges.last().unwrap().why;
    assert_eq!(
        why,
        "As the parts lie now, 1462 to 1520 mm would need up to 70 mm more for Top than board E gives"
    );
    // No plan was found with the Top in it.
    assert!(seen.ranges[1].points.iter().all(|p| p.cost.is_none()));
    assert_eq!(seen.better, None);
}

#[test]
fn a_better_plan_than_the_one_on_the_floor_is_told() {
    let dear = job(&[("F", 1_400.0, 42.0)]);
    let mut document = job(&[("F", 1_400.0, 42.0), ("E", 1_600.0, 30.0)]);
    document.plan = Some(set_out(&dear, 500).1);
    let (asked, seen) = looked_at(&document);
    assert_eq!(
        seen.better_text,
        "1500 mm comes out better than the plan on the floor: 30.00, not 42.00"
    );
    let best = asked.plan(seen.better.unwrap()).unwrap();
    document.plan = Some(Plan::read(&best).unwrap());
    let (_, again) = looked_at(&document);
    assert_eq!((again.better, again.better_text.as_str()), (None, ""));
}

#[test]
fn every_size_that_gave_is_told_though_the_reasons_of_few_are_looked_for() {
    let mut document = job(&[("E", 1_450.0, 30.0)]);
    let (_, mut plan) = set_out(&document, 500);
    for k in 0..8 {
        let name = format!("other{k}");
        let mut size = document.dimensions[0].clone();
        size.name.clone_from(&name);
        document.dimensions.push(size);
        let mut chosen = plan.dimensions[0].clone();
        chosen.name = name;
        plan.dimensions.push(chosen);
    }
    let job = prepare_with(&document, &Choices::of(&plan)).job;
    let said = sizes_that_gave(&document, &job, &plan);
    assert_eq!(said.len(), 9);
    assert_eq!(
        said[0],
        "length is 1450 mm, 1500 mm preferred. As the parts lie now, 1500 would need 50 mm more for Top than board E gives; 1450 fits."
    );
    assert_eq!(said[8], "other7 is 1450 mm, 1500 mm preferred.");
}
