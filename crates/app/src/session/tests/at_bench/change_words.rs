//! What the last change came to, in three lines, on small jobs whose figures are worked out by hand.
//!
//! Two rails of 400 × 100 lie one behind the other on board A, 1000 × 120 for 10.00. Blanks are 5 mm
//! longer at each end and 2 mm wider at each edge: 410 × 104. A saw takes 3 mm, so the first cut leaves
//! 1000 - 410 - 3 = 587 mm of A with one rail to saw, and 120 - 104 = 16 mm of play across.

use serde_json::{Value, json};

use super::*;

fn rails(spare: Option<(f64, f64)>, zones: Value) -> Session {
    let board = |id: &str, (length, price): (f64, f64), zones: &Value| {
        json!({"id": id, "name": "", "species": "ash", "thickness": 30, "price": {"amount": price},
            "heart_side": "up", "zones": zones,
            "warp": {"cup": {"gap": 0}, "bow": {"gap": 0}, "twist": {"lift": 0}},
            "outline": {"form": "tape", "length": length, "stations": [{"at": 0, "left": 60, "right": 60}],
                "left": "straight", "right": "straight", "start": "straight", "end": "straight"}})
    };
    let mut boards = vec![board("A", (1000.0, 10.0), &zones)];
    boards.extend(spare.map(|spare| board("B", spare, &json!([]))));
    let job = json!({"format": "heartside-job", "version": 3, "title": "Rails", "boards": boards,
        "allowances": {"end": 5, "edge": 2, "planing": 2.5, "clean_up": 0.5},
        "workshop": {"trim": {"end": 10, "edge": 4}, "tools": [
            {"name": "Panel saw", "does": ["rip", "crosscut"], "kerf": 3, "guide": "along",
                "work_moves": false}]},
        "parts": [{"id": "rail", "name": "Rail", "count": 2, "thickness": 22,
            "shape": {"form": "rectangle", "length": 400, "width": 100}}]});
    planned(&job.to_string())
}

const LEAST: &str = "The least board that would take it is 430 \u{d7} 112 \u{d7} 27 mm.";

/// The first rail is in hand, and of the second's piece this is measured.
fn measured(session: &mut Session, answers: &[(&str, &str)]) {
    let held = one_in_hand(session);
    let placed = &session.document.plan.as_ref().unwrap().layouts[0];
    let piece = CopyOf::from(&placed.board);
    assert_eq!((held.copy, placed.placements[0].copy), (1, 2));
    let outcome = session.answer(&ask(AskKind::Measure, Some(piece), answers));
    assert!(outcome.done, "{:?}", outcome.problem);
}

fn spoiled(session: &mut Session) {
    let held = one_in_hand(session);
    assert_eq!(held.copy, 1);
    let outcome = session.spoil(&held.id, held.copy);
    assert!(outcome.done, "{:?}", outcome.problem);
}

/// The three lines before and after the rest is set out.
fn told(session: &mut Session) -> [Vec<String>; 2] {
    let before = bench(session).changed;
    set_out(session, 1, 1_000);
    assert!(session.judged.as_ref().unwrap().is_sound());
    [before, bench(session).changed]
}

const SPARE: Option<(f64, f64)> = Some((1000.0, 24.0));
const AS_BEFORE: [&str; 2] = [
    "What was placed lies where it lay.",
    "The same boards, 10.00 in all as before.",
];
const NO_LONGER: &str = "Some parts no longer fit where they lie.";
const TO_SPARE: [&str; 3] = [
    "1 part lies elsewhere: Rail 2.",
    "1 board more (B), 24.00 more: 34.00 in all.",
    "Every part has its place.",
];

fn waiting(rail: u32, why: &str) -> String {
    format!("Rail {rail} has no place: {why}. {LEAST}")
}

/// 104 less 2 leaves 102 mm in the middle for a blank of 104; B is bought whole, and A is paid for.
#[test]
fn a_sprung_edge() {
    let sprang = [("right_edge", "hollow"), ("right_gap", "2")];
    let mut session = rails(None, json!([]));
    measured(&mut session, &sprang);
    let [before, after] = told(&mut session);
    assert_eq!(before, [AS_BEFORE[0], AS_BEFORE[1], NO_LONGER]);
    let why = "no room found on the boards that could take it";
    assert_eq!(after, [AS_BEFORE[0], AS_BEFORE[1], &waiting(2, why)]);
    let mut session = rails(SPARE, json!([]));
    measured(&mut session, &sprang);
    assert_eq!(told(&mut session)[1], TO_SPARE);
}

/// A dowel 20 to 40 mm from the start leaves 547 mm of the piece, its margin less: the rail moves up.
/// One from 280 to 300 leaves 280 and 287 mm beside it, and neither takes 410.
#[test]
fn a_fixing_found() {
    let dowel = |begins: &'static str, ends: &'static str| {
        let across = [("near", "40"), ("far", "60")];
        [
            ("found", "wood"),
            ("begins", begins),
            ("ends", ends),
            across[0],
            across[1],
        ]
    };
    for spare in [None, SPARE] {
        let mut session = rails(spare, json!([]));
        measured(&mut session, &dowel("20", "40"));
        let [before, after] = told(&mut session);
        assert_eq!(before, [AS_BEFORE[0], AS_BEFORE[1], NO_LONGER]);
        assert_eq!(after, [TO_SPARE[0], AS_BEFORE[1], TO_SPARE[2]]);
    }
    let mut session = rails(None, json!([]));
    measured(&mut session, &dowel("280", "300"));
    let why = "flaws or old fixings are in the way on every board large enough";
    let after = &told(&mut session)[1];
    assert_eq!(after[..], [AS_BEFORE[0], AS_BEFORE[1], &waiting(2, why)]);
    let mut session = rails(SPARE, json!([]));
    measured(&mut session, &dowel("280", "300"));
    assert_eq!(told(&mut session)[1], TO_SPARE);
}

/// 400 mm are left for a blank of 410. The strip that was ripped off is 1000 mm long, and 13 wide.
#[test]
fn a_piece_too_short() {
    let mut session = rails(None, json!([]));
    measured(&mut session, &[("length", "400")]);
    let [before, after] = told(&mut session);
    assert_eq!(before, [AS_BEFORE[0], AS_BEFORE[1], NO_LONGER]);
    let why = "no board that is long enough is wide enough";
    assert_eq!(after, [AS_BEFORE[0], AS_BEFORE[1], &waiting(2, why)]);
    let mut session = rails(SPARE, json!([]));
    measured(&mut session, &[("length", "400")]);
    assert_eq!(told(&mut session)[1], TO_SPARE);
}

/// The other rail needs 410 of the 587 mm left, and its wood is left alone: only B takes a new one.
#[test]
fn a_part_spoiled() {
    let mut session = rails(None, json!([]));
    spoiled(&mut session);
    let [before, after] = told(&mut session);
    let why = "set out the rest to look for one";
    assert_eq!(before, [AS_BEFORE[0], AS_BEFORE[1], &waiting(1, why)]);
    let why = "no room found on the boards that could take it";
    assert_eq!(after, [AS_BEFORE[0], AS_BEFORE[1], &waiting(1, why)]);
    let mut session = rails(SPARE, json!([]));
    spoiled(&mut session);
    assert_eq!(
        told(&mut session)[1],
        [AS_BEFORE[0], TO_SPARE[1], TO_SPARE[2]]
    );
}

/// A knot from 700 to 720 mm leaves A room for one rail before it, 410 of 698, and none behind it: the
/// other comes out of B, 500 mm long. The knot is not there after all, and 587 mm take the other.
#[test]
fn a_flaw_that_is_none() {
    let knot = json!([{"note": "knot", "margin": 2,
        "shape": {"form": "spot", "along": 710, "across": 0, "length": 20, "width": 90}}]);
    let mut session = rails(Some((500.0, 5.0)), knot);
    one_in_hand(&mut session);
    let lying = session.job.boards.iter();
    let mut lying = lying.filter(|b| b.is_usable() && b.from.is_some());
    let piece = lying.find(|b| !b.zones.is_empty()).unwrap().id.clone();
    let piece = CopyOf { id: piece, copy: 1 };
    let outcome = session.answer(&ask(AskKind::Measure, Some(piece), &[("gone", "0")]));
    assert!(outcome.done, "{:?}", outcome.problem);
    let [before, after] = told(&mut session);
    let cost = "The same boards, 15.00 in all as before.";
    assert_eq!(before, [AS_BEFORE[0], cost, TO_SPARE[2]]);
    let less = "1 board less (B), 5.00 less: 10.00 in all.";
    assert_eq!(after, [TO_SPARE[0], less, TO_SPARE[2]]);
}

/// Each part that waits is told with its own reason and its own least board.
#[test]
fn two_parts_that_wait() {
    let mut session = rails(None, json!([]));
    spoiled(&mut session);
    let mut job: Value = serde_json::from_str(&session.save()).unwrap();
    // A stile of 900 × 80: a blank of 910 × 84, and a board of 930 × 92.
    job["parts"].as_array_mut().unwrap().push(
        json!({"id": "stile", "name": "Stile", "count": 1, "thickness": 22,
        "shape": {"form": "rectangle", "length": 900, "width": 80}}),
    );
    let mut session = opened(&job.to_string());
    set_out(&mut session, 1, 1_000);
    let line = &bench(&mut session).changed[2];
    let rail = waiting(1, "no room found on the boards that could take it");
    let stile = "Stile has no place: no board that is long enough is wide enough. \
        The least board that would take it is 930 \u{d7} 92 \u{d7} 27 mm.";
    assert_eq!(*line, format!("{rail} {stile}"));
}

/// A is paid for with the first cut: with a plan from before it counts no second time.
#[test]
fn money_of_a_plan_from_before_a_cut() {
    let mut session = rails(None, json!([]));
    assert!(session.keep_plan("Whole").done);
    let timber = |session: &Session| {
        let compared = session.compare("Whole", "");
        let row = compared.rows.into_iter().find(|r| r.label == "Timber used");
        let row = row.unwrap();
        (row.first, row.second, row.better)
    };
    let progress = |session: &mut Session| {
        let plan = state(session, PageName::SettingOut).plan.unwrap();
        plan.progress
            .map(|p| (p.first_text, p.cost_text, p.bound_text))
    };
    let ten = || "10.00".to_owned();
    assert_eq!(timber(&session), (ten(), ten(), 0));
    assert_eq!(progress(&mut session), Some((ten(), ten(), ten())));
    one_in_hand(&mut session);
    assert_eq!(timber(&session), ("from before a cut".to_owned(), ten(), 0));
    assert_eq!(progress(&mut session), None);
}
