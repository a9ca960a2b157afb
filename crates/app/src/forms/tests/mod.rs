//! Forms: what is typed into them and what they show.

mod laws;
mod measures;
mod shapes;

use heartside_geometry::SortedMap;

use heartside_timber::document::{Board, Document, Part, Zone};
use heartside_timber::length::{DisplayUnits, InchFraction};
use proptest::prelude::*;
use serde_json::json;

use crate::protocol::FieldKind;

use super::*;
use heartside_timber::document as doc;

/// What a reader borrows.
struct Ground {
    values: SortedMap<String, f64>,
    usual: SortedMap<&'static str, UsualText>,
    parts: Vec<(String, String)>,
}

impl Ground {
    fn new() -> Ground {
        Ground {
            values: SortedMap::from_iter([
                ("top_length".to_owned(), 1400.0),
                ("overhang".to_owned(), 20.0),
            ]),
            usual: SortedMap::from_iter([(
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
