//! Whatever is done at the bench in whatever order: nothing is lost, and every step is taken back.

use super::*;

/// One thing that can be done, whether it was done.
fn any_act(session: &mut Session, chance: &mut Chance) -> (&'static str, Outcome) {
    let pieces = session.job.boards.iter().filter(|b| b.left() > 0);
    let pieces: Vec<CopyOf> = pieces
        .map(|b| CopyOf {
            id: b.id.clone(),
            copy: b.copies().next().unwrap(),
        })
        .collect();
    let board = Some(chance.one_of(&pieces).clone());
    match chance.below(14) {
        0..=6 => {
            let steps = session.judged.as_ref().unwrap().steps.clone();
            if steps.is_empty() {
                return ("nothing to tick", Outcome::refused("all is cut"));
            }
            // Mostly one that can be made now.
            let ready = ready(session);
            let any = session.tick_of(chance.one_of(&steps));
            let tick = match chance.percent(80) && !ready.is_empty() {
                true => chance.one_of(&ready).clone(),
                false => any,
            };
            ("tick", session.tick(&tick))
        }
        7 => {
            let done: Vec<u32> = session.document.done.iter().map(|cut| cut.id).collect();
            let id = done.get(chance.below(done.len() + 1)).copied();
            ("not cut", session.not_cut(id.unwrap_or(999)))
        }
        8 => {
            let by = ["1", "40", "300", "1700"];
            let answers = [("length", *chance.one_of(&by)), ("width_start", "55")];
            (
                "size",
                session.answer(&ask(AskKind::Measure, board, &answers)),
            )
        }
        9 => {
            let edges = [("right_edge", "hollow"), ("right_gap", "2"), ("bow", "3")];
            (
                "bend",
                session.answer(&ask(AskKind::Measure, board, &edges)),
            )
        }
        10 => {
            let flaw = [
                (
                    "found",
                    *chance.one_of(&["wood", "metal", "defect", "sapwood"]),
                ),
                ("begins", "10"),
                ("ends", "60"),
                ("near", "0"),
                ("far", "30"),
            ];
            ("flaw", session.answer(&ask(AskKind::Measure, board, &flaw)))
        }
        11 => {
            let cut = [
                ("from", *chance.one_of(&["start", "far", "left", "right"])),
                ("distance", *chance.one_of(&["20", "45", "200", "700"])),
                ("angle", *chance.one_of(&["", "2", "-7", "30"])),
            ];
            ("own cut", session.answer(&ask(AskKind::Cut, board, &cut)))
        }
        12 => ("spoil", session.answer(&ask(AskKind::Spoil, None, &[]))),
        _ => {
            let start = session.begin_set_out();
            if let Some(problem) = start.problem {
                return ("nothing to set out", Outcome::refused(problem));
            }
            session.end_set_out();
            let before = session.document.clone();
            set_out(session, 1, 120);
            let outcome = match session.document == before {
                true => Outcome::refused("no better plan"),
                false => Outcome::done(),
            };
            ("set out", outcome)
        }
    }
}

#[test]
fn every_step_at_the_bench_is_taken_back_and_kept_and_none_loses_a_part() {
    let mut done: Vec<&str> = Vec::new();
    for seed in 0..8 {
        let text = match seed % 3 {
            0 => STOOL.to_owned(),
            1 => DESK.to_owned(),
            _ => generated(seed),
        };
        let mut session = planned(&text);
        let mut chance = Chance::new(100 + seed);
        for _ in 0..4 * seed {
            tick_any(&mut session, &mut chance);
        }
        let (in_hand, to_saw, waiting) = counts(&bench(&mut session));
        let all = in_hand + to_saw + waiting;
        for turn in 0..24 {
            let before = session.document.clone();
            let (what, outcome) = any_act(&mut session, &mut chance);
            let at = format!("seed {seed}, turn {turn}, {what}");
            if !outcome.done {
                assert!(outcome.problem.is_some(), "{at}");
                assert_eq!(session.document, before, "{at}: refused, and yet changed");
                continue;
            }
            done.push(what);
            let after = session.document.clone();
            assert!(session.undo().done, "{at}");
            assert_eq!(session.document, before, "{at}");
            assert!(session.redo().done, "{at}");
            assert_eq!(session.document, after, "{at}");
            // Nothing that was sound is left out of the job by what was done.
            let left_out = session.diagnostics.iter();
            let errors = left_out.filter(|d| d.level == heartside_timber::diagnostic::Level::Error);
            assert_eq!(errors.count(), 0, "{at}: {:?}", session.diagnostics);
            let (in_hand, to_saw, waiting) = counts(&bench(&mut session));
            assert_eq!(in_hand + to_saw + waiting, all, "{at}");
            let mut other = opened(&session.save());
            assert_eq!(other.document, session.document, "{at}");
            assert_eq!(bench(&mut other).parts, bench(&mut session).parts, "{at}");
            assert!(!session.scene(&view(PageName::Bench)).boards.is_empty());
        }
    }
    for what in [
        "tick", "not cut", "size", "bend", "flaw", "own cut", "spoil",
    ] {
        assert!(done.contains(&what), "{what} was never done: {done:?}");
    }
}
