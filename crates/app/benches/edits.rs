//! How long one edit and one drop take on large jobs: `cargo bench -p heartside-app`, of rows
//! that hold some words alone with `-- 1000 dropped`.
//!
//! Medians and the slowest of twenty, in milliseconds of processor time; "shown" counts what the sheet and the
//! floor ask for afterwards, as the page does.
#![allow(clippy::print_stdout, missing_docs)]

use std::time::Instant;

use heartside_app::protocol::{CopyOf, PageName, Thing, ThingKind, View};
use heartside_app::session::Session;
use heartside_testkit::{CutApart, cut_apart};
use heartside_timber::plan::{Placement, Plan};

/// Times that a figure is the median of.
const TIMES: usize = 20;

fn main() {
    for (boards, parts_a_board) in [(40, 8), (100, 10)] {
        let wanted = CutApart {
            boards,
            parts_a_board,
            ..CutApart::default()
        };
        let document = cut_apart(7, wanted);
        let plan = document.plan.clone().unwrap_or_default();
        let job = format!("{boards} boards x {} parts", plan.placed_count());
        measure(&job, &document.save(), &plan);
    }
}

fn measure(job: &str, text: &str, plan: &Plan) {
    let mut session = Session::default();
    session.open(text);
    row(job, "opening the file", |_, session| {
        let mut other = Session::default();
        let time = timed(|| other.open(text).accepted);
        session.undo();
        time
    })(&mut session);
    shown(&mut session);
    type Act<'a> = Box<dyn Fn(usize, &mut Session) + 'a>;
    let part = |k: usize| Thing::row(ThingKind::Part, 7 * k);
    let edits: Vec<(&str, Act<'_>)> = vec![
        (
            "a part's name",
            Box::new(|k, s| done(s.set(&part(k), "name", &format!("Mine {k}")).done)),
        ),
        (
            "a part's allowance",
            Box::new(|k, s| done(s.set(&part(k), "allowances.end", "12").done)),
        ),
        (
            "a part added",
            Box::new(|k, s| done(s.add(ThingKind::Part, Some(&part(k))).done)),
        ),
        (
            "a part taken away",
            Box::new(|k, s| done(s.remove(&part(k)).done)),
        ),
        (
            "a part doubled",
            Box::new(|k, s| done(s.duplicate(&part(k)).done)),
        ),
        (
            "a part pinned",
            Box::new(|k, s| {
                let (_, one) = nth(plan, k);
                done(s.pin(&one.part, one.copy, true).done);
            }),
        ),
        (
            "a part put on the trestle",
            Box::new(|k, s| {
                let (_, one) = nth(plan, k);
                done(s.to_trestle(&one.part, one.copy).done);
            }),
        ),
    ];
    for (what, edit) in edits {
        row(job, what, |k, session| {
            let time = timed(|| edit(k, session));
            session.undo();
            shown(session);
            time
        })(&mut session);
    }
    for (what, dx, dy) in [
        ("dropped a little aside", 60.0, 20.0),
        ("dropped beside that place", 140.0, 45.0),
    ] {
        row(job, what, |k, session| {
            hold(session, plan, k, dx, dy);
            let time = timed(|| session.drag_end());
            session.undo();
            shown(session);
            time
        })(&mut session);
        row(job, &format!("{what}, shown"), |k, session| {
            hold(session, plan, k, dx, dy);
            let time = timed(|| {
                session.drag_end();
                shown(session);
            });
            session.undo();
            shown(session);
            time
        })(&mut session);
    }
    row(job, "a cut ticked", |k, session| {
        let tick = nth_tick(session, k);
        let time = timed(|| done(session.tick(&tick).done));
        session.undo();
        shown(session);
        time
    })(&mut session);
    row(job, "a cut ticked, shown", |k, session| {
        let tick = nth_tick(session, k);
        session.scene(&at_bench());
        let time = timed(|| {
            done(session.tick(&tick).done);
            std::hint::black_box(session.state(PageName::Bench, &at_bench()));
            std::hint::black_box(session.scene(&at_bench()));
        });
        session.undo();
        shown(session);
        time
    })(&mut session);
    row(job, "one move in the hand", |k, session| {
        let (x, y) = hold(session, plan, k, 35.0, 10.0);
        let time = timed(|| session.drag(x + 50.0, y + 6.0, 0.0, false, true));
        session.drag_cancel();
        time
    })(&mut session);
}

/// Takes a part of the plan in the hand and holds it beside its place; where it is held.
fn hold(session: &mut Session, plan: &Plan, k: usize, dx: f64, dy: f64) -> (f64, f64) {
    let (_, one) = nth(plan, k);
    let held = session.drag_begin(&one.part, one.copy);
    done(held.held);
    let sign = if k.is_multiple_of(2) { 1.0 } else { -1.0 };
    let (x, y) = (held.x + sign * dx, held.y + dy);
    session.drag(x, y, held.turn, held.turned_over, true);
    (x, y)
}

/// A placement of the k-th board that is measured.
fn nth(plan: &Plan, k: usize) -> (usize, &Placement) {
    let board = k * plan.layouts.len() / TIMES;
    let placements = &plan.layouts[board].placements;
    (board, &placements[k % placements.len()])
}

/// The tick of one of the cuts that can be made now.
fn nth_tick(session: &mut Session, k: usize) -> String {
    let bench = session.state(PageName::Bench, &at_bench()).bench;
    let steps = bench.set_ups.iter().flat_map(|s| &s.steps);
    let ready: Vec<_> = steps.filter(|s| s.ready).collect();
    ready[k * ready.len() / TIMES].tick.clone()
}

fn at_bench() -> View {
    View {
        place: PageName::Bench,
        ..view()
    }
}

fn view() -> View {
    View {
        place: PageName::SettingOut,
        pixels_per_mm: Some(0.4),
        aspect: Some(1.5),
        selected_parts: Vec::<CopyOf>::new(),
        ..View::default()
    }
}

/// What the page asks for after a change.
fn shown(session: &mut Session) {
    std::hint::black_box(session.state(PageName::SettingOut, &view()));
    std::hint::black_box(session.scene(&view()));
}

fn done(done: bool) {
    assert!(done, "what is measured must happen");
}

fn timed<T>(work: impl FnOnce() -> T) -> f64 {
    let start = (Instant::now(), on_processor());
    std::hint::black_box(work());
    match (start.1, on_processor()) {
        (Some(before), Some(now)) => (now - before) / 1e6,
        _ => start.0.elapsed().as_secs_f64() * 1000.0,
    }
}

/// Nanoseconds that this thread was on a processor, so that other work on the machine does not
/// count; none where the system does not tell.
fn on_processor() -> Option<f64> {
    // The system brings its account up to date when the thread lets others go first.
    std::thread::yield_now();
    let told = std::fs::read_to_string("/proc/thread-self/schedstat").ok()?;
    told.split_whitespace().next()?.parse().ok()
}

fn row(
    job: &str,
    what: &str,
    measured: impl Fn(usize, &mut Session) -> f64,
) -> impl FnOnce(&mut Session) {
    let what = format!("{job}: {what}");
    move |session| {
        let mut words = std::env::args().skip(1).filter(|word| word != "--bench");
        if !words.all(|word| what.contains(&word)) {
            return;
        }
        let mut times: Vec<f64> = (0..TIMES).map(|k| measured(k, session)).collect();
        times.sort_by(f64::total_cmp);
        let median = (times[TIMES / 2 - 1] + times[TIMES / 2]) / 2.0;
        println!("{what}: {median:.2} ms (slowest {:.2})", times[TIMES - 1]);
    }
}
