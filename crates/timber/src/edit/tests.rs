//! Every edit can be taken back to the letter.

use proptest::prelude::*;
use serde_json::{Value, json};

use super::*;
use crate::document::{BoardCopy, Length, MatchKind, PartCopy, Wish};
use crate::length::Unit;
use crate::plan::Placed;
use crate::prepare;

const DESK: &str = include_str!("../../../../fixtures/writing-desk.heartside.json");
const DESK_INCHES: &str = include_str!("../../../../fixtures/writing-desk-inches.heartside.json");

fn desk() -> Document {
    let mut value: Value = serde_json::from_str(DESK).expect("JSON");
    // Strangers and wrong forms at several levels.
    value["colour"] = json!({"a": 1});
    value["boards"][1]["kiln"] = json!("north");
    value["boards"][2]["surface"] = json!(5);
    value["boards"][0]["zones"][0]["kind"] = json!("kont");
    value["matches"][0]["strength"] = json!(3);
    value["currency"] = json!(["€"]);
    value["parts"][3]["faces"] = json!("all");
    Document::open(&value.to_string())
        .expect("it opens")
        .document
}

fn any_index() -> impl Strategy<Value = usize> {
    0..12_usize
}

fn any_row<T: Clone + std::fmt::Debug + 'static>(rows: Vec<T>) -> BoxedStrategy<RowEdit<T>> {
    let row = prop::sample::select(rows.clone());
    prop_oneof![
        (any_index(), row.clone()).prop_map(|(at, row)| RowEdit::insert(at, row)),
        any_index().prop_map(|at| RowEdit::Remove { at }),
        (any_index(), row).prop_map(|(at, row)| RowEdit::put(at, row)),
        (any_index(), any_index()).prop_map(|(from, to)| RowEdit::Move { from, to }),
        Just(RowEdit::All(rows)),
    ]
    .boxed()
}

fn any_edit() -> impl Strategy<Value = Edit> {
    let desk = desk();
    let mut board = desk.boards[2].clone();
    board.surface = crate::document::Surface::Planed;
    let mut part = desk.parts[3].clone();
    part.faces = crate::document::Faces::Both;
    let boards = [desk.boards.clone(), vec![Board::default(), board]].concat();
    let parts = [desk.parts.clone(), vec![Part::default(), part]].concat();
    let copy = PartCopy {
        part: "leg".into(),
        copy: 2,
    };
    let pin = Pin {
        part: copy.clone(),
        board: "A".into(),
        board_copy: 1,
        at: Placed::default(),
    };
    let spot = OnFloor {
        board: BoardCopy {
            board: "A".into(),
            copy: 1,
        },
        x: 5.0,
        y: 6.0,
    };
    let relation = Match {
        kind: MatchKind::Book,
        parts: vec![copy],
        wish: Wish::default(),
    };
    let leaf = prop_oneof![
        "[a-z]{0,5}".prop_map(Edit::Title),
        Just(Edit::Units(Units {
            length: Unit::Inches,
            ..Units::default()
        })),
        Just(Edit::Currency(Some("$".into()))),
        Just(Edit::Currency(None)),
        Just(Edit::TimberRate(Some(3.0))),
        Just(Edit::OffcutValue(Some(4.0))),
        Just(Edit::FigureWorth(Some(40.0))),
        Just(Edit::Workshop(Box::default())),
        Just(Edit::Allowances(Box::default())),
        Just(Edit::Objective(vec![Aim::Labour])),
        any_row(desk.workshop.tools).prop_map(Edit::Tool),
        any_row(desk.dimensions).prop_map(Edit::Dimension),
        any_row(vec![Species::default()]).prop_map(Edit::Species),
        any_row(boards).prop_map(Edit::Board),
        any_row(parts).prop_map(Edit::Part),
        any_row(vec![relation]).prop_map(Edit::Match),
        any_row(vec![Panel::default()]).prop_map(Edit::Panel),
        any_row(vec![pin]).prop_map(Edit::Pin),
        Just(Edit::Plan(Some(Box::default()))),
        Just(Edit::Plan(None)),
        any_row(vec![KeptPlan::default()]).prop_map(Edit::KeptPlan),
        any_row(vec![spot]).prop_map(Edit::OnFloor),
        any_row(vec![DoneCut::default()]).prop_map(Edit::Done),
        any_row(vec![Photo::default()]).prop_map(Edit::Photo),
        any_row(vec![FigureMap::default()]).prop_map(Edit::FigureMap),
        Just(Edit::Unknown(Unknown::new())),
        Just(Edit::Whole(Box::default())),
    ];
    leaf.prop_recursive(2, 12, 4, |inner| {
        prop_oneof![
            3 => prop::collection::vec(inner.clone(), 0..4).prop_map(Edit::Many),
            1 => (any::<u64>(), inner)
                .prop_map(|(revision, edit)| Edit::At { revision, edit: Box::new(edit) }),
        ]
    })
}

proptest! {
    // A whole desk is compared again and again.
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    /// An edit and its inverse leave the document as it was; the inverse of the inverse
    /// does the edit again. A refused edit changes nothing.
    #[test]
    fn inverses_bring_back_what_was(edits in prop::collection::vec(any_edit(), 1..6)) {
        let mut document = desk();
        for edit in edits {
            let before = document.clone();
            let raises = edit.changes_plans() && !matches!(edit, Edit::At { .. });
            match apply(&mut document, edit) {
                Ok(inverse) => {
                    let after = document.clone();
                    if raises {
                        prop_assert!(after.revision > before.revision || before.revision == u64::MAX);
                    }
                    let again = apply(&mut document, inverse).expect("an inverse fits");
                    prop_assert!(document == before, "not as before");
                    apply(&mut document, again).expect("an edit fits again");
                    prop_assert!(document == after, "not as after");
                }
                Err(_) => prop_assert!(document == before, "a refused edit changed something"),
            }
        }
    }

    /// Whatever is done and undone, undoing all brings back the first document and redoing
    /// all the last; no revision is given out twice.
    #[test]
    fn histories_run_back_and_forth(
        steps in prop::collection::vec((any_edit(), 0..4_u8), 1..12)
    ) {
        let first = desk();
        let mut document = first.clone();
        let mut history = History::default();
        let mut states: std::collections::BTreeMap<u64, Document> = [(first.revision, first.clone())].into();
        for (edit, what) in steps {
            // Revisions set by hand are an inverse's business.
            if matches!(edit, Edit::At { .. } | Edit::Many(_)) { continue }
            match what {
                0 => { history.undo(&mut document); }
                1 => { history.redo(&mut document); }
                _ => { let _ = history.apply(&mut document, "step", edit); }
            }
            let plain = |d: &Document| Document {
                title: String::new(), currency: None, plan: None, plans: vec![], floor: vec![], photos: vec![],
                unknown: Unknown::new(), ..d.clone()
            };
            let known = states.entry(document.revision).or_insert_with(|| document.clone());
            prop_assert!(plain(known) == plain(&document), "revision {} given twice", document.revision);
        }
        let last = document.clone();
        let mut undone = 0;
        while history.undo(&mut document).is_some() { undone += 1; }
        prop_assert!(document == first);
        for _ in 0..undone { history.redo(&mut document); }
        prop_assert!(document == last);
    }
}

#[test]
fn one_step_of_many() {
    let mut document = desk();
    let mut history = History::default();
    let title = |text: &str| Edit::Title(text.into());
    history
        .apply(&mut document, "Name the piece", title("a"))
        .expect("applies");
    let before = document.clone();
    let mark = history.mark();
    for text in ["b", "c", "d"] {
        history
            .apply(&mut document, "Drag", title(text))
            .expect("applies");
    }
    history.join(mark, "Move the leg");
    assert_eq!(history.undo_label(), Some("Move the leg"));
    assert_eq!(history.undo(&mut document).as_deref(), Some("Move the leg"));
    assert_eq!(document, before);
    assert_eq!(history.redo(&mut document).as_deref(), Some("Move the leg"));
    assert_eq!(document.title, "d");
    // Nothing to join makes no step.
    history.join(history.mark(), "Nothing");
    assert_eq!(history.undo_label(), Some("Move the leg"));
}

#[test]
fn joined_steps_come_back_to_their_first_revision() {
    let mut document = desk();
    let first = document.revision;
    let mut history = History::default();
    let mark = history.mark();
    for rate in [1.0, 2.0, 3.0] {
        history
            .apply(&mut document, "Rate", Edit::TimberRate(Some(rate)))
            .expect("applies");
    }
    let last = document.revision;
    assert_eq!(last, first + 3);
    history.join(mark, "Rates");
    history.undo(&mut document);
    assert_eq!(document.revision, first);
    history.redo(&mut document);
    assert_eq!(document.revision, last);
    history.undo(&mut document);
    history
        .apply(&mut document, "Rate", Edit::TimberRate(Some(9.0)))
        .expect("applies");
    assert_eq!(document.revision, last + 1);
}

#[test]
fn the_oldest_steps_are_forgotten() {
    let mut document = Document::new();
    let mut history = History::with_limit(3);
    for n in 0..5 {
        history
            .apply(&mut document, n.to_string(), Edit::Title(n.to_string()))
            .expect("applies");
    }
    while history.undo(&mut document).is_some() {}
    assert_eq!(document.title, "1");
    history.clear();
    assert_eq!((history.undo_label(), history.redo_label()), (None, None));
}

#[test]
fn a_field_written_anew_lets_go_of_what_could_not_be_read() {
    let mut document = desk();
    let errors = |d: &Document| {
        prepare(d)
            .diagnostics
            .iter()
            .filter(|d| d.code == "field-not-readable")
            .count()
    };
    assert_eq!(errors(&document), 4);
    let mut board = document.boards[2].clone();
    board.surface = crate::document::Surface::Planed;
    let back = apply(&mut document, Edit::Board(RowEdit::put(2, board))).expect("applies");
    assert!(!document.boards[2].unknown.contains_key(KEPT_ASIDE));
    assert_eq!(errors(&document), 3);
    let mut board = document.boards[0].clone();
    board.zones[0].kind = crate::document::ZoneKind::Sapwood;
    apply(&mut document, Edit::Board(RowEdit::put(0, board))).expect("applies");
    assert_eq!(errors(&document), 2);
    apply(&mut document, Edit::Currency(Some("€".into()))).expect("applies");
    assert_eq!(errors(&document), 1);
    // A stranger stays.
    assert!(
        document.unknown[KEPT_ASIDE]
            .to_string()
            .contains("strength")
    );
    apply(&mut document, back).expect("applies");
    assert_eq!(errors(&document), 2);
}

#[test]
fn rows_that_are_not_there_are_refused_in_words() {
    let mut document = desk();
    let error = apply(&mut document, Edit::Board(RowEdit::Remove { at: 99 })).unwrap_err();
    assert_eq!(error.to_string(), "there is no board number 100");
}

#[test]
fn another_unit_changes_no_length() {
    for text in [DESK, DESK_INCHES] {
        let mut document: Document = serde_json::from_str(text).expect("JSON");
        document.boards[0].thickness = Some(Length::Typed {
            mm: None,
            typed: "27".into(),
        });
        if document.units.length == Unit::Inches {
            document.boards[0].thickness = Some(Length::Typed {
                mm: None,
                typed: "1.1".into(),
            });
        }
        document.parts[0].thickness = Some(Length::Typed {
            mm: None,
            typed: "3/4".into(),
        });
        document.parts[1].tenon = Some(crate::document::Tenon {
            start: Some(Length::Expr {
                expr: "top_depth / 4 - 1".into(),
            }),
            ..Default::default()
        });
        let before = prepare(&document).job;
        let unit = match document.units.length {
            Unit::Millimetres => Unit::Inches,
            Unit::Inches => Unit::Millimetres,
        };
        let units = Units {
            length: unit,
            ..document.units.clone()
        };
        let old = document.clone();
        let edit = change_units(&document, units);
        let inverse = apply(&mut document, edit).expect("applies");
        let after = prepare(&document).job;
        assert_eq!(after.boards, before.boards);
        assert_eq!(after.parts, before.parts);
        assert_eq!(after.workshop, before.workshop);
        assert_eq!(after.units.unit, unit);
        apply(&mut document, inverse).expect("applies");
        assert_eq!(document, old);
    }
}

#[test]
fn a_dimension_is_renamed_wherever_it_is_used() {
    let mut document: Document = serde_json::from_str(DESK).expect("JSON");
    let before = prepare(&document).job;
    let edit = rename_dimension(&document, 1, "depth_of_top");
    apply(&mut document, edit).expect("applies");
    let after = prepare(&document);
    assert_eq!(after.job.parts, before.parts);
    assert_eq!(
        after.diagnostics,
        prepare(&serde_json::from_str(DESK).expect("JSON")).diagnostics
    );
    assert_eq!(document.dimensions[1].name, "depth_of_top");
    let edit = rename_dimension(&document, 99, "x");
    assert!(apply(&mut document, edit).is_err());
}

/// What is refused as doubtful in one unit is not taken without a word in another.
#[test]
fn another_unit_makes_no_doubtful_length_sure() {
    for typed in [
        Length::Typed {
            mm: None,
            typed: "1.400".into(),
        },
        Length::Expr {
            expr: "1.400 - 20".into(),
        },
    ] {
        let mut document = Document::default();
        document.boards.push(crate::document::Board {
            thickness: Some(typed),
            ..Default::default()
        });
        let units = Units {
            length: Unit::Inches,
            ..document.units.clone()
        };
        let edit = change_units(&document, units);
        apply(&mut document, edit).unwrap();
        let prepared = prepare(&document);
        assert!(
            prepared
                .diagnostics
                .iter()
                .any(|d| d.code == "length-two-readings"),
            "{:?}",
            document.boards[0].thickness
        );
    }
}
