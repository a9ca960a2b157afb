//! What a drop leaves behind: a part carried away and let go near where it lay lies there
//! again, and the plan is as sound as before.

use heartside_testkit::{Chance, CutApart, JobSize, Outfit, cut_apart, workshop_job};
use heartside_timber::document::{Document, PartCut};
use heartside_timber::finding::Severity;

use super::*;
use crate::protocol::*;
use crate::search::Search;

const DESK: &str = include_str!("../../../../fixtures/writing-desk.heartside.json");
const STOOL: &str = include_str!("../../../../fixtures/step-stool.heartside.json");
const TABLE: &str = include_str!("../../../../fixtures/dining-table.heartside.json");

/// A desktop window's usual scale: a snap reaches 35 mm.
const PIXELS_PER_MM: f64 = 0.4;

/// A session with a sound plan on the floor; none where the search found none.
fn planned(text: &str, steps: u32) -> Session {
    let mut session = Session::default();
    assert!(session.open(text).accepted);
    if session.document.plan.is_none() {
        let start = session.begin_set_out();
        assert!(start.ready, "{:?}", start.problem);
        let settings = SearchSettings {
            seed: 1,
            worker: 0,
            workers: 1,
            ..Default::default()
        };
        let mut search = Search::new(&start.document, &settings);
        search.step(steps);
        if let Some(best) = search.best() {
            session.offer(&best, start.revision);
        }
        session.end_set_out();
    }
    session.scene(&View {
        place: PageName::SettingOut,
        pixels_per_mm: Some(PIXELS_PER_MM),
        ..View::default()
    });
    session
}

fn broken(session: &Session) -> usize {
    session
        .judged
        .as_ref()
        .map_or(0, |j| j.count(Severity::Broken))
}

/// Carries every part of a plan far off and back to near its place, once in one go and once by
/// way of the trestle: it lies there again to the last micrometre, or somewhere as sound.
fn every_part_comes_home(name: &str, session: &mut Session, chance: &mut Chance) -> usize {
    let plan = session.document.plan.clone().unwrap();
    let before = session.document.clone();
    let wrong = broken(session);
    let mut carried = 0;
    for layout in &plan.layouts {
        for placement in &layout.placements {
            for by_trestle in [false, true] {
                let (part, copy) = (placement.part.as_str(), placement.copy);
                let case = format!("{name}: {part} {copy}, by the trestle: {by_trestle}");
                let held = session.drag_begin(part, copy);
                let (home, turn, over) = ((held.x, held.y), held.turn, held.turned_over);
                session.drag(home.0 + 90_000.0, home.1, turn, over, true);
                if by_trestle {
                    assert!(session.drag_end().done);
                    session.drag_begin(part, copy);
                }
                let near = 6.0 / PIXELS_PER_MM;
                let (x, y) = (
                    home.0 + chance.between(-near, near),
                    home.1 + chance.between(-near, near),
                );
                let there = session.drag(x, y, turn, over, true);
                let outcome = session.drag_end();
                assert!(there.fits, "{case}: {}", there.sentence);
                let now = session.document.plan.clone().unwrap();
                let (on, slot) = now.find(part, copy).unwrap();
                assert_eq!(now.layouts[on].placements[slot].at, placement.at, "{case}");
                assert_eq!(broken(session), wrong, "{case}: {:?}", outcome.announce);
                let way_back = if by_trestle { 2 } else { 0 };
                for _ in 0..way_back {
                    assert!(session.undo().done, "{case}");
                }
                assert_eq!(session.document, before, "{case}");
                carried += 1;
            }
        }
    }
    carried
}

#[test]
fn a_part_dropped_near_its_old_place_lies_there_again() {
    let mut chance = Chance::new(7);
    let mut carried = 0;
    for (name, text) in [("desk", DESK), ("stool", STOOL), ("table", TABLE)] {
        carried += every_part_comes_home(name, &mut planned(text, 2000), &mut chance);
    }
    for seed in 0..10 {
        let outfit = (seed % 2 == 0).then_some(Outfit::Sensible);
        let wanted = CutApart {
            outfit,
            ..CutApart::default()
        };
        let mut session = planned(&cut_apart(seed, wanted).save(), 0);
        carried += every_part_comes_home(&format!("cut {seed}"), &mut session, &mut chance);
    }
    for seed in 0..4 {
        let size = JobSize {
            boards: 3,
            pieces: 12,
            sawn: 20,
        };
        let mut session = planned(&workshop_job(seed, size).save(), 1000);
        carried += every_part_comes_home(&format!("shop {seed}"), &mut session, &mut chance);
    }
    assert!(carried > 300, "{carried}");
}

/// Nobody remembers where these parts lay: what is near tells where they are meant to go.
#[test]
fn a_part_dropped_into_a_gap_that_fits_it_falls_into_it() {
    let mut chance = Chance::new(8);
    let (mut dropped, mut cut) = (0, 0);
    for seed in 0..12 {
        let mut session = planned(&cut_apart(seed, CutApart::default()).save(), 0);
        let plan = session.document.plan.clone().unwrap();
        for placement in plan.layouts.iter().flat_map(|l| &l.placements) {
            let (part, copy) = (placement.part.as_str(), placement.copy);
            let held = session.drag_begin(part, copy);
            let (home, turn, over) = ((held.x, held.y), held.turn, held.turned_over);
            session.drag_cancel();
            assert!(session.to_trestle(part, copy).done);
            session.taken_off.clear();
            session.drag_begin(part, copy);
            let off = 1.0 / PIXELS_PER_MM;
            let (x, y) = (
                home.0 + chance.between(-off, off),
                home.1 + chance.between(-off, off),
            );
            session.drag(x, y, turn, over, true);
            session.drag_end();
            dropped += 1;
            cut += usize::from(broken(&session) == 0);
            assert!(session.undo().done && session.undo().done);
        }
    }
    // Some gaps are wider than their part, and not every place in them can be cut.
    assert!(
        dropped > 120 && cut * 100 >= dropped * 95,
        "{cut} of {dropped}"
    );
}

/// A board with straight sides and a screw in its middle, and two parts.
const SCREW: &str = r#"{"format": "heartside-job", "version": 1, "title": "Screw",
 "units": {"length": "mm"},
 "allowances": {"end": 0, "edge": 0, "sawn": 0},
 "boards": [{"id": "A", "thickness": 40, "surface": "planed", "warp": {},
   "outline": {"form": "tape", "length": 1000, "left": "straight", "right": "straight", "start": "straight", "end": "straight",
     "stations": [{"at": 0, "left": 100, "right": 100}]},
   "zones": [{"kind": "fixing", "note": "old screw", "margin": 5,
     "shape": {"form": "spot", "oval": true, "along": 500, "across": 100, "from": "right_edge", "length": 10, "width": 10}}]}],
 "parts": [{"id": "p", "name": "Rail", "count": 2, "thickness": 20, "grain": {"axis": "any"},
   "shape": {"form": "rectangle", "length": 200, "width": 100}}]
}"#;

#[test]
fn a_drop_too_near_a_screw_says_so() {
    let mut session = planned(SCREW, 0);
    let place = session.lying()[0].clone();
    let drop = |session: &mut Session, end: f64| {
        session.drag_begin("p", 1);
        let (x, y) = (place.origin.x + end - 100.0, place.origin.y);
        let held = session.drag(x, y, 0.0, false, false);
        assert!(held.fits, "{}", held.sentence);
        session.drag_end()
    };
    // Clear of the screw and its margin, but with no room for a cut between them.
    let outcome = drop(&mut session, 489.0);
    let said = outcome.announce.unwrap();
    assert!(
        said.contains("The saw would meet the old screw")
            && said.contains("move Rail 1 3.2 mm further"),
        "{said}"
    );
    assert!(
        !said.contains("No order") && !said.contains("No straight cut"),
        "{said}"
    );
    // With the room of a cut more all is well.
    let outcome = drop(&mut session, 489.0 - 4.5);
    assert_eq!(outcome.announce.unwrap(), "Rail 1 lies on A, pinned");
    assert_eq!(broken(&session), 0);
}

#[test]
fn sawing_one_copy_by_line_leaves_the_others_as_they_are() {
    let mut session = planned(DESK, 2000);
    let row = session
        .document
        .parts
        .iter()
        .position(|p| p.count.is_some_and(|c| c >= 3.0) && p.cut == PartCut::Straight)
        .unwrap();
    let part = session.document.parts[row].clone();
    let count = part.count.unwrap();
    let before = session.document.clone();
    let where_before = places(&before);
    let outcome = session.saw_by_line(&part.id, 2);
    let said = outcome.announce.unwrap();
    let after = &session.document;
    let name = format!("{} 2, by line", part.name);
    assert!(said.contains(&name), "{said}");
    assert_eq!(after.parts[row].cut, PartCut::Straight);
    assert_eq!(after.parts[row].count, Some(count - 1.0));
    let own = &after.parts[row + 1];
    assert_eq!(
        (own.name.as_str(), own.count, own.cut),
        (name.as_str(), Some(1.0), PartCut::Sawn)
    );
    // Every piece lies where it lay.
    assert_eq!(places(after), where_before);
    assert!(session.undo().done);
    assert_eq!(session.document, before);
}

/// Where pieces lie, whatever they are called.
fn places(document: &Document) -> Vec<String> {
    let plan = document.plan.as_ref().unwrap();
    let mut places: Vec<String> = plan
        .layouts
        .iter()
        .flat_map(|l| {
            l.placements
                .iter()
                .map(move |p| format!("{:?} {:?}", l.board, p.at))
        })
        .collect();
    places.sort();
    places
}

#[test]
fn sawing_by_line_is_offered_only_where_it_makes_the_drop_right() {
    let mut session = planned(DESK, 2000);
    let plan = session.document.plan.clone().unwrap();
    for layout in &plan.layouts {
        for placement in &layout.placements {
            // Half over whatever lies beside it no saw helps.
            session.drag_begin(&placement.part, placement.copy);
            let held = session.nudge_held(37.0, 23.0);
            let outcome = session.drag_end();
            let said = outcome.announce.unwrap_or_default();
            assert!(outcome.offers.len() <= 1, "{said}");
            assert!(said.chars().count() <= 160, "{said}");
            // What lies wrongly is said as that, not as a want of cuts.
            assert!(held.fits || !said.contains("straight cut"), "{said}");
            for offer in &outcome.offers {
                assert!(held.fits);
                assert!(session.saw_by_line(&offer.part.id, offer.part.copy).done);
                assert_eq!(broken(&session), 0, "{said}");
                assert!(session.undo().done);
            }
            assert!(session.undo().done);
        }
    }
}
