//! A whole job from the first cut to the offcuts, disturbed as jobs are, written and read again
//! after everything that was done.

use serde_json::{Value, json};

use super::*;

/// A small cupboard from four kinds of boards; a scarce one where a spoiled part finds no wood.
fn cupboard(scarce: bool) -> String {
    let straight = |id: &str, count: u32, length: f64, width: f64, price: f64| {
        json!({"id": id, "name": "", "species": "European oak", "thickness": 30, "count": count,
            "price": {"amount": price}, "heart_side": "up",
            "warp": {"cup": {"gap": 1}, "bow": {"gap": 2}, "twist": {"lift": 0}},
            "outline": {"form": "tape", "length": length,
                "stations": [{"at": 0, "left": width / 2.0, "right": width / 2.0}],
                "left": "straight", "right": "straight", "start": "raw", "end": "raw"}})
    };
    let mut boards = vec![
        straight("A", if scarce { 1 } else { 2 }, 2400.0, 225.0, 48.0),
        straight("B", 1, 1700.0, 180.0, 22.0),
        straight("C", 1, 1300.0, 160.0, 15.0),
        json!({"id": "W", "name": "the waney one", "species": "European oak", "thickness": 34,
            "price": {"amount": 40}, "warp": {"cup": {"gap": 2}, "bow": {"gap": 1}, "twist": {"lift": 0}},
            "outline": {"form": "tape", "length": 1900,
                "stations": [{"at": 0, "left": 150, "right": 140}, {"at": 800, "left": 165, "right": 120},
                             {"at": 1900, "left": 130, "right": 150}],
                "left": "raw", "right": "raw", "start": "raw", "end": "straight"}}),
    ];
    boards[1]["zones"] = json!([
        {"note": "knot", "margin": 5,
         "shape": {"form": "spot", "along": 1000, "across": 60, "length": 30, "width": 25}},
        {"kind": "fixing", "material": "wood", "stops": "all",
         "shape": {"form": "spot", "along": 400, "across": 20, "length": 16, "width": 16}}]);
    boards[3]["zones"] =
        json!([{"kind": "sapwood", "shape": {"form": "strip", "side": "left", "width": 20}}]);
    let part = |id: &str, name: &str, count: u32, length: f64, width: f64| {
        json!({"id": id, "name": name, "count": count, "thickness": 22,
            "shape": {"form": "rectangle", "length": length, "width": width}})
    };
    let mut parts = vec![
        part("side", "Side", 2, 860.0, 200.0),
        part("shelf", "Shelf", 3, 540.0, 130.0),
        part("rail", "Rail", 4, 540.0, 55.0),
        part("foot", "Foot", 4, 110.0, 60.0),
    ];
    parts.push(
        json!({"id": "handle", "name": "Handle", "count": 2, "thickness": 22, "cut": "sawn",
        "shape": {"form": "polygon", "points": [[0, 0], [90, 0], [70, 35], [20, 35]]}}),
    );
    json!({"format": "heartside-job", "version": 3, "title": "Cupboard", "boards": boards, "parts": parts})
        .to_string()
}

/// What happens to a maker in the middle of a job.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Mishap {
    Shorter,
    Narrower,
    Hollow,
    Thinner,
    Dowel,
    Spoiled,
    Askew,
}

const MISHAPS: [Mishap; 7] = [
    Mishap::Shorter,
    Mishap::Dowel,
    Mishap::Narrower,
    Mishap::Askew,
    Mishap::Hollow,
    Mishap::Spoiled,
    Mishap::Thinner,
];

impl Mishap {
    /// Tells it of one piece or part; false where that cannot be.
    fn happens(self, session: &mut Session, chance: &mut Chance) -> bool {
        let lying = session.job.boards.iter().filter(|b| b.is_usable());
        let pieces: Vec<_> = lying.filter(|b| b.from.is_some()).cloned().collect();
        if self == Mishap::Spoiled {
            return session.answer(&ask(AskKind::Spoil, None, &[])).done;
        }
        if pieces.is_empty() {
            return false;
        }
        let piece = chance.one_of(&pieces).clone();
        let of = Some(CopyOf {
            id: piece.id.clone(),
            copy: 1,
        });
        let size = piece.outline.bounds();
        let mm = |mm: f64| format!("{mm:.1}");
        let (kind, answers) = match self {
            Mishap::Shorter => (AskKind::Measure, vec![("length", mm(size.width() - 15.0))]),
            Mishap::Narrower => (
                AskKind::Measure,
                vec![
                    ("width_start", mm(size.height() - 1.5)),
                    ("width_end", mm(size.height() - 2.0)),
                ],
            ),
            Mishap::Hollow => (
                AskKind::Measure,
                vec![("right_edge", "hollow".into()), ("right_gap", "2".into())],
            ),
            Mishap::Thinner => (
                AskKind::Measure,
                vec![("thickness", mm(piece.thickness - 0.5))],
            ),
            Mishap::Dowel => (
                AskKind::Measure,
                vec![
                    ("found", "wood".into()),
                    ("begins", mm(size.width() * 0.3)),
                    ("ends", mm(size.width() * 0.3 + 16.0)),
                    ("near", "10".into()),
                    ("far", "26".into()),
                ],
            ),
            Mishap::Askew => (
                AskKind::Cut,
                vec![("distance", mm(size.width() * 0.6)), ("angle", "4".into())],
            ),
            Mishap::Spoiled => return false,
        };
        let answers: Vec<(&str, &str)> = answers.iter().map(|(n, t)| (*n, t.as_str())).collect();
        session.answer(&ask(kind, of, &answers)).done
    }
}

/// Writes the job and goes on with what is read of it.
fn read_again(session: &mut Session, what: &str) {
    let text = session.save();
    let mut other = opened(&text);
    assert_eq!(other.document, session.document, "{what}");
    assert_eq!(other.job, session.job, "{what}");
    assert_eq!(bench(&mut other).parts, bench(session).parts, "{what}");
    assert_eq!(other.save(), text, "{what}");
    *session = other;
}

/// What holds after everything that is done.
fn nothing_is_lost(session: &mut Session, all: usize, what: &str) {
    let errors = session.diagnostics.iter();
    let errors = errors.filter(|d| d.level == heartside_timber::diagnostic::Level::Error);
    assert_eq!(errors.count(), 0, "{what}: {:?}", session.diagnostics);
    let (in_hand, to_saw, waiting) = counts(&bench(session));
    assert_eq!(in_hand + to_saw + waiting, all, "{what}");
    let cut = session.job.boards.iter().filter(|b| b.from.is_none());
    let spent: f64 = cut.map(|b| b.cost * b.gone.len() as f64).sum();
    assert_eq!(session.job.spent, spent, "{what}");
}

/// Sets the rest out, if there is anything to set out.
fn set_out_the_rest(session: &mut Session, what: &str) {
    let held: Vec<Vec<u32>> = session
        .job
        .parts
        .iter()
        .map(|p| p.in_hand.clone())
        .collect();
    let start = session.begin_set_out();
    session.end_set_out();
    if !start.ready {
        return;
    }
    assert!(start.rest, "{what}");
    set_out(session, 1, 600);
    let judged = session.judged.as_ref().unwrap();
    assert!(judged.is_sound(), "{what}: {:?}", judged.findings);
    let now: Vec<Vec<u32>> = session
        .job
        .parts
        .iter()
        .map(|p| p.in_hand.clone())
        .collect();
    assert_eq!(now, held, "{what}: what is in hand stays in hand");
    let bench = bench(session);
    if counts(&bench).2 > 0 {
        let told = &bench.changed[2];
        assert!(told.contains("The least board"), "{what}: {told}");
        assert!(!told.contains("set out the rest"), "{what}: {told}");
    }
}

fn work_through(seed: u32) -> Vec<Mishap> {
    let mut session = planned(&cupboard(seed % 2 == 1));
    let mut chance = Chance::new(seed);
    let (in_hand, to_saw, waiting) = counts(&bench(&mut session));
    let all = in_hand + to_saw + waiting;
    assert_eq!(all, 15);
    let mut to_come: Vec<Mishap> = MISHAPS.to_vec();
    let mut happened = Vec::new();
    let mut ticks = 0;
    loop {
        let what = format!("seed {seed}, after {ticks} cuts and {happened:?}");
        if ticks % 2 == 1 && !to_come.is_empty() {
            let mishap = to_come[0];
            if (0..6).any(|_| mishap.happens(&mut session, &mut chance)) {
                to_come.remove(0);
                happened.push(mishap);
                let what = format!("{what}, {mishap:?}");
                assert_eq!(bench(&mut session).changed.len(), 3, "{what}");
                nothing_is_lost(&mut session, all, &what);
                read_again(&mut session, &what);
                set_out_the_rest(&mut session, &what);
                nothing_is_lost(&mut session, all, &what);
                read_again(&mut session, &what);
            }
        }
        if !tick_any(&mut session, &mut chance) {
            if bench(&mut session).rest.is_some() {
                set_out_the_rest(&mut session, &what);
            }
            if ready(&session).is_empty() {
                let (_, to_saw, _) = counts(&bench(&mut session));
                assert_eq!(to_saw, 0, "{what}: a part to saw and no cut for it");
                break;
            }
            continue;
        }
        ticks += 1;
        assert!(ticks < 200, "{what}");
        nothing_is_lost(&mut session, all, &what);
        read_again(&mut session, &what);
    }
    let judged = session.judged.as_ref().unwrap();
    assert!(judged.is_sound(), "seed {seed}: {:?}", judged.findings);
    let rows = bench(&mut session).parts;
    for copy in rows.iter().flat_map(|p| &p.copies) {
        match copy.state {
            PartState::InHand => {}
            PartState::Waiting => {
                assert_ne!(
                    copy.text, "Waiting on the trestle",
                    "seed {seed}, {}",
                    copy.name
                );
            }
            PartState::ToSaw => panic!("seed {seed}: {} is still to be sawn", copy.name),
        }
    }
    offcuts_are_used(&session, seed);
    happened
}

/// The offcuts lie in the next job as boards, and parts come out of them.
fn offcuts_are_used(session: &Session, seed: u32) {
    let home = session.offcuts_home();
    assert!(home.count > 0, "seed {seed}: {}", home.sentence);
    let mut next: Value = serde_json::from_str(&home.job).unwrap();
    next["parts"] = json!([{"id": "peg", "name": "Peg", "count": 2, "thickness": 15,
        "shape": {"form": "rectangle", "length": 90, "width": 14}}]);
    let mut next = opened(&next.to_string());
    assert_eq!(next.job.boards.len(), home.count as usize);
    for (board, row) in next.job.boards.iter().zip(&next.document.boards) {
        let old = session.job.board(&board.id).unwrap();
        assert!((board.outline.area() - old.outline.area()).abs() < 1e-6);
        assert_eq!(board.zones.len(), old.zones.len());
        assert!(row.note.contains("Cupboard"), "{}", row.note);
    }
    assert!(set_out(&mut next, 1, 300) > 0);
    let judged = next.judged.as_ref().unwrap();
    assert!(judged.is_sound() && judged.placed == 2, "seed {seed}");
}

#[test]
fn a_whole_job_disturbed_again_and_again_comes_to_its_end_and_loses_nothing() {
    let mut happened = Vec::new();
    for seed in 0..4 {
        happened.extend(work_through(seed));
    }
    for mishap in MISHAPS {
        assert!(happened.contains(&mishap), "{mishap:?} never happened");
    }
}
