//! Rules 1 to 8, 10 and 11: every cause on a hand-made job.
//!
//! In the job sawn by line the first rail's blank covers x 95 to 305, y 18 to 72 of a board
//! of 1000 by 200; its finished outline x 100 to 300, y 20 to 70.

mod dimensions;
mod fixings;
mod inside;
mod kerf;
mod leaves;
mod lying;
mod matching;
pub(crate) mod panels;
mod stock;
mod zones;

use heartside_check::check;
use heartside_geometry::{Region, Ring};
use heartside_timber::document::*;
use heartside_timber::finding::{Rule, Severity};
use heartside_timber::grain::GrainField;
use heartside_timber::job::{self, Allowances, Form, Goal, GrainRule, Job, Pin, Warp, Zone};
use heartside_timber::length::{DisplayUnits, InchFraction};
use heartside_timber::plan::*;

use crate::fixtures::*;

fn rail() -> [PartCopy; 1] {
    [part_copy("rail", 1)]
}

#[test]
fn amounts_are_told_in_the_jobs_units_and_never_as_nothing() {
    let (mut job, mut plan) = sawn_job();
    first(&mut plan).y = 2.0 - 0.01;
    assert_eq!(
        only(&job, &plan).message,
        "rail 1 sticks out of board A by 0.01 mm."
    );
    first(&mut plan).y = 2.0 - 0.003;
    assert_eq!(
        only(&job, &plan).message,
        "rail 1 sticks out of board A by less than 0.01 mm."
    );
    job.units = DisplayUnits::inches(InchFraction::Sixteenths);
    assert_eq!(
        only(&job, &plan).message,
        "rail 1 sticks out of board A by less than 0.001\"."
    );
    first(&mut plan).y = 2.0 - 1.27;
    assert_eq!(
        only(&job, &plan).message,
        "rail 1 sticks out of board A by 0.05\"."
    );
    // Names that say "board" themselves are not doubled.
    job.boards[0].name = "Board by the door".into();
    assert!(
        only(&job, &plan)
            .message
            .contains("out of Board by the door by")
    );
}

#[test]
fn holes_of_sawn_parts_shrink_and_may_hold_others() {
    let mut ring = part("ring", 1);
    ring.cut = PartCut::Sawn;
    ring.form = Form::Free;
    let hole: Ring = box_of(20.0, 20.0, 140.0, 140.0).outer().clone();
    ring.outline = Region::new(box_of(0.0, 0.0, 160.0, 160.0).outer().clone(), vec![hole]).unwrap();
    let mut plug = part("plug", 1);
    plug.outline = box_of(0.0, 0.0, 100.0, 60.0);
    plug.allowances = Allowances {
        end: 0.0,
        edge: 0.0,
        sawn: 0.0,
        planing: 0.0,
        clean_up: 0.0,
    };
    let job = job(vec![board("A")], vec![ring, plug]);
    let mut plan = plan(vec![sawn(
        "A",
        vec![place("ring", 1, 100.0, 20.0), place("plug", 1, 122.5, 60.0)],
    )]);
    let found: Vec<_> = check(&job, &plan)
        .into_iter()
        .filter(|f| f.severity == Severity::Broken)
        .collect();
    assert_eq!(told(&found), vec![]);
    // The hole's edge at x = 120, 1.5 of allowance, 1 of kerf.
    plan.layouts[0].placements[1].at.x = 122.0;
    let found: Vec<_> = check(&job, &plan)
        .into_iter()
        .filter(|f| f.severity == Severity::Broken)
        .collect();
    assert_eq!(
        told(&found),
        vec![(Rule::Kerf, "too-near-part".into(), Some(0.5))]
    );
}
