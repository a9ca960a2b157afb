//! What holds of every field of every form.

use super::*;

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
