//! Jobs disturbed in the middle, as a maker at the bench disturbs them: the rest is planned as well as
//! from nothing in ten times the steps, and what still holds stays.
//!
//! `HEARTSIDE_DISTURBED=300 HEARTSIDE_DISTURBED_FROM=1000` tries so many jobs from that seed on.

#![allow(clippy::unwrap_used)]

use crate::disturbed;

use disturbed::{DISTURBANCES, cut_some, disturb, document_of, searched, set_out};
use heartside_app::session::Session;
use heartside_app::still_sound::still_sound;
use heartside_testkit::{Chance, FilledJob, Outfit, filled_job};
use heartside_timber::document::{BoardCopy, Document, PartCopy, Pin};
use heartside_timber::job::Job;
use heartside_timber::plan::{Layout, Placed, Plan};
use heartside_timber::prepare::prepare;

/// Jobs where nobody asks for more: half a minute or so on two cores.
const JOBS: u32 = 20;
/// Steps of a set-out: ten rounds of one worker, which a page makes in a second or two.
const STEPS: u32 = 5_000;
/// Of so many jobs this many must be as good as from nothing, and must move nothing in vain.
const OF_100: usize = 95;

fn number(name: &str, otherwise: u32) -> u32 {
    let given = std::env::var(name).ok();
    given.and_then(|n| n.parse().ok()).unwrap_or(otherwise)
}

/// Copies in these layouts, each where it lies.
fn lying(layouts: &[Layout]) -> impl Iterator<Item = (&BoardCopy, PartCopy, Placed)> {
    let all = layouts.iter();
    all.flat_map(|l| l.placements.iter().map(|p| (&l.board, p.part_copy(), p.at)))
}

fn moved(held: &[Layout], plan: &Plan) -> usize {
    let now: Vec<_> = lying(&plan.layouts).collect();
    lying(held).filter(|one| !now.contains(one)).count()
}

/// The same with everything that still holds pinned where it lies.
fn all_pinned(document: &Document, held: &[Layout]) -> Document {
    let pins = lying(held).map(|(board, part, at)| Pin {
        part,
        board: board.board.clone(),
        board_copy: board.copy,
        at,
    });
    Document {
        pins: pins.collect(),
        ..document.clone()
    }
}

/// Whether one plan places more, or as much on fewer or cheaper boards, than another.
fn is_worth_it(job: &Job, plan: &Plan, other: &Plan) -> bool {
    let uncut = |plan: &Plan| {
        let used = plan.layouts.iter().filter(|l| !l.placements.is_empty());
        let whole = used.filter(|l| job.board(&l.board.board).is_some_and(|b| b.from.is_none()));
        whole.count()
    };
    let (placed, before) = (plan.placed_count(), other.placed_count());
    placed > before
        || placed == before && (uncut(plan) < uncut(other) || plan.cost < other.cost - 1e-6)
}

/// What came of one job.
#[derive(Debug, Default)]
struct Tally {
    all: usize,
    /// Fewer parts than from nothing.
    fewer: Vec<String>,
    /// Copies moved in vain.
    in_vain: Vec<String>,
    /// Jobs in which anything moved, copies that did, and copies that held.
    moving: usize,
    moves: usize,
    holding: usize,
    /// Parts placed, and by searches from nothing.
    placed: [usize; 2],
    cost: [f64; 2],
}

fn one_job(seed: u32, tally: &mut Tally) -> bool {
    let mut chance = Chance::new(seed ^ 0x00d1_5707);
    let wanted = FilledJob {
        boards: 3 + chance.below(4),
        share: 35.0 + chance.below(35) as f64,
        sawn: *chance.one_of(&[0, 0, 25, 50]),
        outfit: Outfit::Sensible,
    };
    let mut session = Session::default();
    assert!(session.open(&filled_job(seed, wanted).save()).accepted);
    if set_out(&mut session, STEPS).is_none() || document_of(&session).plan.is_none() {
        return false;
    }
    cut_some(&mut session, &mut chance);
    let first = chance.below(4);
    let mut happened = vec![DISTURBANCES[first]];
    if chance.percent(30) {
        happened.push(DISTURBANCES[(first + 1 + chance.below(3)) % 4]);
    }
    happened.retain(|what| disturb(&mut session, &mut chance, what));
    if happened.is_empty() || document_of(&session).done.is_empty() {
        return false;
    }
    let before = document_of(&session);
    let job = prepare(&before).job;
    let held = still_sound(&job, before.plan.as_ref().unwrap());
    let Some(document) = set_out(&mut session, STEPS) else {
        return false;
    };
    let rest = document_of(&session).plan.unwrap();
    let from_nothing = Document {
        plan: None,
        ..document.clone()
    };
    let (_, nothing) = searched::set_out(&from_nothing, 10 * STEPS);
    let name = format!("seed {seed}, {happened:?}");
    tally.all += 1;
    let placed = [rest.placed_count(), nothing.placed_count()];
    if placed[0] < placed[1] {
        tally
            .fewer
            .push(format!("{name}: {placed:?} of {}", job.piece_count()));
    }
    for (k, plan) in [&rest, &nothing].into_iter().enumerate() {
        tally.placed[k] += placed[k];
        tally.cost[k] += plan.cost;
    }
    let moves = moved(&held, &rest);
    tally.moves += moves;
    tally.holding += lying(&held).count();
    if moves > 0 {
        tally.moving += 1;
        let (_, pinned) = searched::set_out(&all_pinned(&document, &held), STEPS);
        let is_sound = heartside_check::check(&job, &pinned);
        let is_sound = heartside_timber::finding::is_sound(&is_sound);
        if is_sound && !is_worth_it(&job, &rest, &pinned) {
            tally.in_vain.push(format!("{name}: {moves} moved"));
        }
    }
    true
}

#[test]
fn the_rest_is_as_good_as_from_nothing_and_what_holds_stays() {
    let jobs = number("HEARTSIDE_DISTURBED", JOBS) as usize;
    let from = number("HEARTSIDE_DISTURBED_FROM", 0);
    // Two at a time: of each the jobs are its own, so nothing depends on which is quicker.
    let half = |first: u32| {
        let mut tally = Tally::default();
        let wanted = (jobs + 1 - first as usize) / 2;
        for seed in (from + first..).step_by(2) {
            if tally.all == wanted {
                break;
            }
            one_job(seed, &mut tally);
            let tried = (seed - from) as usize;
            assert!(tried < 8 * jobs, "too few jobs can be disturbed");
        }
        tally
    };
    let halves = std::thread::scope(|scope| {
        let running = [0, 1].map(|first| scope.spawn(move || half(first)));
        running.map(|one| one.join().unwrap())
    });
    for tally in &halves {
        eprintln!("{tally:#?}");
    }
    let all: usize = halves.iter().map(|t| t.all).sum();
    let fewer: Vec<&String> = halves.iter().flat_map(|t| &t.fewer).collect();
    let in_vain: Vec<&String> = halves.iter().flat_map(|t| &t.in_vain).collect();
    eprintln!(
        "of {all} disturbed jobs {} have at least as many parts as from nothing in ten times the steps, \
         and {} move nothing in vain",
        all - fewer.len(),
        all - in_vain.len()
    );
    assert!(100 * (all - fewer.len()) >= OF_100 * all, "{fewer:#?}");
    assert!(100 * (all - in_vain.len()) >= OF_100 * all, "{in_vain:#?}");
}
