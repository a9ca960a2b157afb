//! In jobs disturbed in the middle what is spent is counted once in every total, no total lies under
//! the floor, and a size that a part in hand was sawn by stays as cut.

#![allow(clippy::unwrap_used)]

use crate::disturbed;

use std::collections::BTreeSet;

use disturbed::{DISTURBANCES, cut_some, disturb, document_of, set_out};
use heartside_app::protocol::{PageName, View};
use heartside_app::session::Session;
use heartside_cutting::{cost_words, steps, totals};
use heartside_testkit::{Chance, FilledJob, Outfit, filled_job};
use heartside_timber::document::{Dimension, Document, Length, Shape};
use heartside_timber::job::Job;
use heartside_timber::prepare::prepare;

const JOBS: u32 = 6;
const STEPS: u32 = 400;
const SHARED: &str = "rail_width";

/// Up to four parts are as wide as a size with a range.
fn job(seed: u32, chance: &mut Chance) -> Document {
    let wanted = FilledJob {
        boards: 3,
        share: 35.0 + chance.below(25) as f64,
        sawn: 25,
        outfit: Outfit::Sensible,
    };
    let mut document = filled_job(seed, wanted);
    let mut shared = None;
    let shapes = document.parts.iter_mut().filter_map(|p| p.shape.as_mut());
    for shape in shapes.take(4) {
        if let Shape::Rectangle { width, .. } = shape
            && let Length::Mm(mm) = *width
        {
            shared.get_or_insert(mm);
            *width = Length::Expr {
                expr: SHARED.into(),
            };
        }
    }
    document.dimensions.extend(shared.map(|most| Dimension {
        name: SHARED.into(),
        preferred: Some(Length::Mm(most - 2.0)),
        least: Some(Length::Mm(most - 4.0)),
        most: Some(Length::Mm(most)),
        ..Dimension::default()
    }));
    document
}

/// Spent, and still to spend: worked out from the cuts and the plan alone.
fn by_hand(document: &Document, job: &Job) -> (f64, f64) {
    let price = |id: &str| {
        let board = job.board(id).filter(|b| b.from.is_none());
        board.map_or(0.0, |b| b.cost)
    };
    let cut = document.done.iter();
    let cut: BTreeSet<(&str, u32)> = cut.map(|c| (c.board.as_str(), c.board_copy)).collect();
    let spent = cut.iter().map(|(board, _)| price(board)).sum();
    let layouts = document.plan.iter().flat_map(|p| &p.layouts);
    let used = layouts.filter(|l| !l.placements.is_empty());
    (spent, used.map(|l| price(&l.board.board)).sum())
}

/// The first amount in some words.
fn amount(words: &str) -> f64 {
    let at = words.find(|c: char| c.is_ascii_digit()).unwrap();
    let end = words[at..].find(|c: char| !c.is_ascii_digit() && c != '.' && c != ',');
    let figure = &words[at..end.map_or(words.len(), |end| at + end)];
    figure
        .trim_end_matches(['.', ','])
        .replace(',', "")
        .parse()
        .unwrap()
}

fn every_total_counts_it_once(session: &mut Session, what: &str) {
    let document = document_of(session);
    let Some(plan) = &document.plan else { return };
    let job = prepare(&document).job;
    let (spent, left) = by_hand(&document, &job);
    let words = |cost: f64| cost_words(&job, cost);
    let (all, first) = (words(spent + left), words(spent));
    let split = (spent > 0.0).then(|| format!("{first} spent, {} still to spend", words(left)));
    let rows = totals(&job, plan, &steps(&job, plan)).rows;
    let mut told: Vec<String> = rows
        .iter()
        .filter(|r| r.0 == "Timber used")
        .map(|r| r.1.clone())
        .collect();
    let shown = session
        .state(PageName::SettingOut, &View::default())
        .plan
        .unwrap();
    told.extend(
        shown
            .figures
            .iter()
            .filter(|l| l.label == "Timber used")
            .map(|l| l.value.clone()),
    );
    assert_eq!(told.len(), 2, "{what}");
    for told in told {
        assert_eq!(
            told,
            split
                .as_ref()
                .map_or(all.clone(), |s| format!("{all}: {s}")),
            "{what}"
        );
    }
    assert_eq!((&shown.cost, &shown.spent), (&all, &split), "{what}");
    let proved = heartside_nest::bound_of(&job);
    let floor = proved.value;
    let bound = shown.bound.unwrap();
    assert_eq!(
        bound,
        format!("{} can be under {}", proved.no_plan(), words(spent + floor)),
        "{what}"
    );
    let is_whole = shown.placed_count == shown.wanted_count;
    if is_whole && heartside_check::check(&job, plan).is_empty() {
        assert!(floor <= left + 1e-6, "{what}: {floor} above {left}");
        assert!(amount(&bound) <= amount(&all), "{what}: {bound}, {all}");
    }
    if let Some(progress) = shown.progress {
        assert_eq!(progress.cost_text, all, "{what}");
        assert_eq!(progress.bound_text, words(spent + floor), "{what}");
        let last = progress.points.last().unwrap().cost;
        assert!((last - left).abs() < 1e-6, "{what}: {last} of {left}");
    }
    for kept in session.state(PageName::SettingOut, &View::default()).kept {
        let compared = session.compare(&kept.name, "");
        let timber = compared
            .rows
            .iter()
            .find(|r| r.label == "Timber used")
            .unwrap();
        assert_eq!(timber.second, all, "{what}");
        let is_older = kept.text.contains("from before");
        let of_kept = match is_older {
            true => "from before a cut".to_owned(),
            false => kept.text.split(", ").nth(1).unwrap().to_owned(),
        };
        assert_eq!(timber.first, of_kept, "{what}: {}", kept.text);
    }
}

/// The shared size, if a part in hand was sawn by it: then it has no range any more, and else all of it.
fn size_in_hand(session: &Session) -> Option<f64> {
    let document = document_of(session);
    let job = prepare(&document).job;
    let is_by_it = |width: &Length| matches!(width, Length::Expr { .. });
    let parts = document.parts.iter().filter(|part| match &part.shape {
        Some(Shape::Rectangle { width, .. }) => is_by_it(width),
        _ => false,
    });
    let size = job.dimensions.iter().find(|d| d.value.name == SHARED)?;
    let mut parts = parts.filter_map(|part| job.part(&part.id));
    let Some(part) = parts.find(|part| !part.in_hand.is_empty()) else {
        assert!(size.most - size.least > 3.9);
        return None;
    };
    let as_cut = size.value.value;
    assert_eq!((size.least, size.most), (as_cut, as_cut));
    assert!((part.width() - as_cut).abs() < 1e-9);
    let plan = document.plan.unwrap();
    assert!(plan.dimensions.contains(&size.value));
    Some(as_cut)
}

#[test]
fn what_is_spent_counts_once_and_sizes_in_hand_stay() {
    let (mut tried, mut cut_by_size) = (0, 0);
    for seed in 0..8 * JOBS {
        if tried == JOBS {
            break;
        }
        let mut chance = Chance::new(seed ^ 0x0059_e27d);
        let mut session = Session::default();
        assert!(session.open(&job(seed, &mut chance).save()).accepted);
        if set_out(&mut session, STEPS).is_none() || document_of(&session).plan.is_none() {
            continue;
        }
        session.keep_plan("First");
        every_total_counts_it_once(&mut session, &format!("seed {seed}, set out"));
        let mut disturbed = false;
        for what in [0, 1].map(|k| DISTURBANCES[(seed as usize + k) % 4]) {
            cut_some(&mut session, &mut chance);
            every_total_counts_it_once(&mut session, &format!("seed {seed}, cut before {what}"));
            let size = size_in_hand(&session);
            let happened = disturb(&mut session, &mut chance, what);
            every_total_counts_it_once(&mut session, &format!("seed {seed}, {what}"));
            let still = size_in_hand(&session);
            if !happened || set_out(&mut session, STEPS).is_none() {
                continue;
            }
            disturbed = true;
            every_total_counts_it_once(&mut session, &format!("seed {seed}, rest after {what}"));
            if let Some(still) = still {
                cut_by_size += 1;
                assert_eq!(size, Some(still), "seed {seed}, {what}");
                assert_eq!(
                    size_in_hand(&session),
                    Some(still),
                    "seed {seed}, rest after {what}"
                );
            }
        }
        tried += u32::from(disturbed);
    }
    assert_eq!(tried, JOBS);
    assert!(cut_by_size > 1, "{cut_by_size}");
}
