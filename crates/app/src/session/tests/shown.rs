//! The floor, the bench and drawings.

use super::*;
use heartside_timber::document::{Zone, ZoneKind};

#[test]
fn the_scene_sends_only_what_changed() {
    let mut session = opened(STOOL);
    set_out(&mut session, 10, 200);
    let whole = session.scene(&View {
        reset: true,
        ..view(PageName::SettingOut)
    });
    assert!(whole.fragments.iter().any(|f| f.id.starts_with("part-")));
    assert!(whole.bounds.width > 0.0);
    assert_eq!(
        whole.boards.len(),
        session
            .job
            .boards
            .iter()
            .map(|b| b.count as usize)
            .sum::<usize>()
    );
    let again = session.scene(&view(PageName::SettingOut));
    assert!(again.fragments.is_empty() && again.removed.is_empty());
    let timber = session.scene(&view(PageName::Timber));
    assert!(timber.removed.iter().any(|id| id.starts_with("part-")));
    let back = session.scene(&view(PageName::SettingOut));
    assert!(back.fragments.iter().any(|f| f.id.starts_with("part-")));
    for fragment in &whole.fragments {
        assert!(fragment.svg.starts_with("<g"), "{}", fragment.svg);
        if let Some(part) = &fragment.part {
            let thing = session.thing_of(&fragment.id).unwrap();
            assert_eq!(session.document.parts[thing.at()].id, part.id);
        }
    }
    assert_eq!(session.thing_of("no-such"), None);
}

#[test]
fn boards_move_on_the_floor_and_nothing_else_does() {
    let mut session = opened(STOOL);
    let id = session.document.boards[0].id.clone();
    let before = session.scene(&view(PageName::Timber)).boards;
    assert!(session.move_board(&id, 1, 1234.0, 567.0).done);
    let after = session.scene(&view(PageName::Timber)).boards;
    assert_eq!(
        (after[0].bounds.x, after[0].bounds.y.round()),
        (1234.0, 567.0)
    );
    assert_eq!(before[1], after[1]);
    assert!(!session.move_board("no-such", 1, 0.0, 0.0).done);
    assert!(!session.move_board(&id, 1, f64::NAN, 0.0).done);
}

#[test]
fn drawings_and_sheets_stand_alone() {
    let mut session = opened(STOOL);
    set_out(&mut session, 10, 200);
    let id = session.document.plan.as_ref().unwrap().layouts[0]
        .board
        .board
        .clone();
    let one = session.svg_board(&id, 1, "25 November 2026");
    assert!(one.svg.contains("<svg") && one.svg.contains("mm\""));
    assert!(one.name.ends_with(".svg") && !one.name.contains('/'));
    assert!(one.svg.contains("25 November 2026"));
    assert!(session.svg_all("").svg.contains("<svg"));
    for paper in [Paper::A4, Paper::Letter] {
        let sheets = session.sheets(paper, "");
        assert!(!sheets.is_empty());
        assert!(sheets.iter().all(|s| s.svg.contains("<svg")));
    }
    assert!(session.svg_board("../x", 1, "").svg.is_empty());
    assert!(Session::default().svg_all("").name.ends_with(".svg"));
    assert_eq!(Session::default().svg_all("").svg, "");
}

#[test]
fn the_bench_lists_every_cut_once_in_order() {
    let mut session = opened(STOOL);
    set_out(&mut session, 10, 200);
    let bench = state(&mut session, PageName::Bench).bench;
    let steps: Vec<_> = bench.set_ups.iter().flat_map(|s| &s.steps).collect();
    let numbers: Vec<u32> = steps.iter().map(|s| s.number).collect();
    assert!(!numbers.is_empty());
    assert_eq!(numbers, (1..=numbers.len() as u32).collect::<Vec<_>>());
    assert!(
        steps
            .iter()
            .all(|s| !s.brief.is_empty() && !s.lines.is_empty())
    );
    assert!(
        bench
            .set_ups
            .iter()
            .all(|s| !s.steps.is_empty() && !s.heading.is_empty())
    );
    assert!(
        bench
            .heading
            .starts_with(&format!("{} cuts, ", numbers.len()))
    );
    assert_eq!(bench.wrong, Vec::<String>::new());
}

/// What stands in the closed list, counted as words.
fn bench_words(bench: &Bench) -> usize {
    let of_step =
        |s: &BenchStep| format!("{} {} {} {}", s.number, s.brief, s.gives, s.grave.join(" "));
    let mut text = bench.heading.clone();
    for caution in &bench.cautions {
        text = format!("{text} {}", caution.label);
    }
    for set_up in &bench.set_ups {
        let steps: Vec<String> = set_up.steps.iter().map(of_step).collect();
        text = format!("{text} {} {}", set_up.heading, steps.join(" "));
    }
    text.split_whitespace().count()
}

#[test]
fn the_bench_of_the_desk_is_told_in_few_words() {
    let mut session = opened(DESK);
    set_out(&mut session, 20, 100);
    let bench = state(&mut session, PageName::Bench).bench;
    let steps: Vec<&BenchStep> = bench.set_ups.iter().flat_map(|s| &s.steps).collect();
    assert!(steps.len() > 40, "{}", steps.len());
    let words = bench_words(&bench);
    assert!(
        words <= 12 * steps.len() + 100,
        "{words} words, {} cuts",
        steps.len()
    );
    assert!(words <= 800, "{words} words");
    for step in &steps {
        assert!(!step.gives.contains("waste"), "{step:?}");
        // All that is left out of the line is one tap away, and what can hurt is not left out.
        let said = |c: &String| bench.cautions.iter().any(|l| is_of(c, &l.value));
        assert!(step.cautions.iter().all(said), "{step:?}");
        let short = step.grave.iter().chain(&step.care);
        assert_eq!(step.cautions.len(), short.map(|s| times(s)).sum::<usize>());
        assert!(step.lines.len() >= 2, "{step:?}");
    }
    // Nothing here weighs half of what one person lifts.
    assert!(
        steps
            .iter()
            .all(|s| s.lines.iter().all(|l| !l.contains(" kg")))
    );
}

/// True of a caution and a line of the head that says it, of a thing near the kerf at the nearest.
fn is_of(caution: &str, line: &str) -> bool {
    match caution.split_once(" from the kerf") {
        None => line.starts_with(caution),
        Some((thing, rest)) => {
            line.starts_with(&thing[..thing.find(char::is_numeric).unwrap()]) && line.contains(rest)
        }
    }
}

/// For how many things a short name stands.
fn times(short: &str) -> usize {
    match short.rsplit_once(", ") {
        Some((_, "twice")) => 2,
        Some((_, n)) => n.trim_end_matches(" times").parse().unwrap_or(1),
        None => 1,
    }
}

/// The millimetres in "Old screw 13.2 mm from the kerf".
fn from_the_kerf(words: &str) -> Option<f64> {
    let before = words.split_once(" mm from the kerf")?.0;
    before.rsplit(' ').next()?.parse().ok()
}

#[test]
fn screws_that_lie_alike_are_said_once() {
    let mut session = opened(DESK);
    let mut document = session.document.clone();
    // Every old fixing twice, one just beneath the other.
    for board in &mut document.boards {
        let is_fixing = |z: &&Zone| z.kind == ZoneKind::Fixing;
        let again: Vec<Zone> = board.zones.iter().filter(is_fixing).cloned().collect();
        board.zones.extend(again);
    }
    session = opened(&document.save());
    set_out(&mut session, 20, 100);
    let bench = state(&mut session, PageName::Bench).bench;
    let steps: Vec<&BenchStep> = bench.set_ups.iter().flat_map(|s| &s.steps).collect();
    let mut doubled = 0;
    for step in &steps {
        for (k, short) in step.grave.iter().enumerate() {
            assert!(!step.grave[..k].contains(short), "{step:?}");
            doubled += usize::from(short.ends_with("from kerf, twice"));
        }
    }
    assert!(doubled > 0, "{steps:?}");
    // The head says one thing once, with the least distance of all.
    let head: Vec<(&str, f64)> = bench
        .cautions
        .iter()
        .filter_map(|l| {
            Some((
                l.value.split(char::is_numeric).next()?,
                from_the_kerf(&l.value)?,
            ))
        })
        .collect();
    assert!(!head.is_empty());
    for (k, (thing, gap)) in head.iter().enumerate() {
        assert!(
            head[..k].iter().all(|(other, _)| other != thing),
            "{head:?}"
        );
        let all = steps.iter().flat_map(|s| &s.cautions);
        let gaps = all
            .filter(|c| c.starts_with(thing))
            .filter_map(|c| from_the_kerf(c));
        assert_eq!(gaps.fold(f64::INFINITY, f64::min), *gap);
    }
}

#[test]
fn the_largest_offcut_is_told_in_whole_millimetres() {
    for text in [DESK, STOOL] {
        let mut session = opened(text);
        set_out(&mut session, 20, 100);
        let plan = state(&mut session, PageName::SettingOut).plan.unwrap();
        let largest = plan.figures.iter().find(|l| l.label == "Largest offcut");
        let value = &largest.unwrap().value;
        let whole = |side: &str| side.trim().parse::<u32>().is_ok();
        assert!(value.split('\u{d7}').all(whole), "{value}");
    }
}

#[test]
fn a_wrong_board_is_named_and_its_cuts_are_not_shown() {
    let mut session = opened(DESK);
    set_out(&mut session, 20, 100);
    let before = state(&mut session, PageName::Bench).bench;
    let first = before.set_ups[0].steps[0].board.clone();
    // Everything on the board is shifted off it.
    let plan = session.document.plan.as_mut().unwrap();
    let layout = plan
        .layouts
        .iter_mut()
        .find(|l| l.board.board == first.id)
        .unwrap();
    layout.placements[0].at.x += 5000.0;
    let text = session.document.save();
    let mut session = opened(&text);
    let bench = state(&mut session, PageName::Bench).bench;
    assert!(
        bench.wrong[0].starts_with(&format!("Board {}", first.id)),
        "{:?}",
        bench.wrong
    );
    let mut steps = bench.set_ups.iter().flat_map(|s| &s.steps).peekable();
    assert!(steps.peek().is_some());
    assert!(steps.all(|s| s.board != first));
    // A board without an order of cuts is named too.
    let plan = session.document.plan.as_mut().unwrap();
    let layout = plan
        .layouts
        .iter_mut()
        .find(|l| l.board.board == first.id)
        .unwrap();
    layout.placements[0].at.x -= 5000.0;
    layout.cuts = None;
    let text = session.document.save();
    let mut session = opened(&text);
    let bench = state(&mut session, PageName::Bench).bench;
    assert!(
        bench
            .wrong
            .iter()
            .any(|w| w.starts_with(&format!("Board {}", first.id))),
        "{:?}",
        bench.wrong
    );
}

#[test]
fn every_cut_has_its_own_tick() {
    let mut session = opened(DESK);
    set_out(&mut session, 20, 100);
    let bench = state(&mut session, PageName::Bench).bench;
    let steps: Vec<BenchStep> = bench.set_ups.into_iter().flat_map(|s| s.steps).collect();
    let mut ticks: Vec<String> = steps.iter().map(|s| s.tick.clone()).collect();
    ticks.sort();
    ticks.dedup();
    assert_eq!(ticks.len(), steps.len());
}

#[test]
fn markup_in_names_is_never_markup_in_pictures() {
    let mut session = opened(STOOL);
    session.set(&part(0), "name", "<script>alert(1)</script>");
    session.set(&board(0), "name", "<img src=x onerror=alert(1)>");
    set_out(&mut session, 5, 200);
    let scene = session.scene(&View {
        reset: true,
        ..view(PageName::SettingOut)
    });
    let all: String = scene.fragments.iter().map(|f| f.svg.as_str()).collect();
    let state = state(&mut session, PageName::SettingOut);
    let trestle: String = state
        .trestle
        .iter()
        .map(|t| session.trestle_picture(&t.part.id, t.part.copy))
        .collect();
    for text in [all, trestle, session.svg_all("").svg] {
        assert!(
            !text.contains("<script") && !text.contains("<img"),
            "markup came through"
        );
    }
}
