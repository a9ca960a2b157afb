//! Which saws a workshop has decides how a piece is cut free, never whether: a thinner saw beside the
//! others makes nothing impossible.

use crate::sample;

use heartside_nest::{Search, Settings};
use heartside_timber::document::Document;
use heartside_timber::job::Job;
use heartside_timber::plan::Plan;
use heartside_timber::prepare::prepare;
use sample::assert_legal;

const DINING_TABLE: &str = include_str!("../../../fixtures/dining-table.heartside.json");

#[allow(clippy::unwrap_used)]
fn dining_table() -> Job {
    let opened = Document::open(DINING_TABLE).unwrap();
    let prepared = prepare(&opened.document);
    assert!(!prepared.has_errors(), "{:#?}", prepared.diagnostics);
    prepared.job
}

/// Only the two reclaimed boards with screws near their ends, and the planks of the top.
fn reclaimed_planks() -> Job {
    let mut job = dining_table();
    job.boards.retain(|b| b.id == "E");
    job.parts.retain(|p| p.id == "plank");
    job
}

#[allow(clippy::unwrap_used)]
fn set_out(job: &Job, seed: u32, steps: u64) -> Plan {
    let settings = Settings {
        seed,
        ..Settings::default()
    };
    let mut search = Search::new(job, settings).unwrap();
    search.step(steps);
    assert_legal("a workshop's plan", job, search.best());
    search.best().clone()
}

#[test]
fn the_dining_table_is_placed_whole_at_the_kerfs_of_its_own_saws() {
    let job = dining_table();
    assert_eq!(job.piece_count(), 15);
    let plan = set_out(&job, 1, 40_000);
    assert_eq!(plan.placed_count(), 15, "{:?}", plan.unplaced);
}

#[test]
fn a_saw_thinner_than_the_one_that_crosscuts_leaves_no_board_empty() {
    for band_saw in [0.8, 1.5, 2.8, 4.5] {
        let mut job = reclaimed_planks();
        for tool in job.workshop.tools.iter_mut().filter(|t| t.saws) {
            tool.kerf = band_saw;
        }
        let plan = set_out(&job, 1, 1_000);
        assert_eq!(plan.placed_count(), 2, "band saw of {band_saw} mm");
    }
}

/// With every kerf as thick as the thickest the job is harder; what can be placed then, thinner saws place too.
#[test]
fn thinner_kerfs_place_no_fewer() {
    let kerfs = [0.8, 1.5, 2.2, 2.8, 3.2, 4.5];
    let mut number = 7usize;
    let mut drawn = || {
        number = (number * 1_103 + 12_345) % 65_536;
        kerfs[number / 7 % kerfs.len()]
    };
    for _ in 0..24 {
        let mut easier = reclaimed_planks();
        for tool in &mut easier.workshop.tools {
            tool.kerf = drawn();
        }
        let mut harder = easier.clone();
        let thickest = easier
            .workshop
            .tools
            .iter()
            .map(|t| t.kerf)
            .fold(0.0, f64::max);
        for tool in &mut harder.workshop.tools {
            tool.kerf = thickest;
        }
        let (easier, harder) = (set_out(&easier, 1, 600), set_out(&harder, 1, 600));
        let placed = (easier.placed_count(), harder.placed_count());
        assert!(placed.0 >= placed.1, "{placed:?}");
    }
}
