//! The same blanks on the same boards, sawn free more handily.

#![allow(clippy::unwrap_used)]

use crate::sample;

use heartside_nest::{Search, Settings, with_handier_cuts};
use heartside_testkit as testkit;
use heartside_timber::document::{BoardCopy, EdgeKind};
use heartside_timber::job::{Guide, Job, SideState, Tool};
use heartside_timber::plan::{CutNode, CutTree, Direction, Layout, Placed, Placement, Plan, Way};
use heartside_timber::prepare::prepare;
use heartside_timber::score::{Score, counted_offcut_areas, cuts_made};
use proptest::prelude::*;
use sample::assert_legal;

fn squares(job: &Job, layout: &Layout) -> f64 {
    let board = job.board(&layout.board.board).unwrap();
    let areas = counted_offcut_areas(job, board, layout);
    areas.iter().map(|a| a * a).sum()
}

/// What must hold of any layout and what is made of it.
fn assert_handier(job: &Job, old: &Layout, new: &Layout) {
    assert_eq!((&old.board, old.way), (&new.board, new.way));
    // Blanks may slide along or across, but fewer cuts must come of it.
    let lie = |l: &Layout| -> Vec<_> {
        let lie = |p: &Placement| (p.part_copy(), p.at.turn, p.at.turned_over);
        l.placements.iter().map(lie).collect()
    };
    assert_eq!(lie(old), lie(new));
    assert!(old.placements == new.placements || cuts_made(new) < cuts_made(old));
    assert_eq!(old.frame, new.frame);
    assert!(cuts_made(new) <= cuts_made(old));
    assert!(squares(job, new) >= 0.899 * squares(job, old));
    if cuts_made(new) == cuts_made(old) {
        assert!(squares(job, new) >= squares(job, old));
    }
    let score = |layout: &Layout| {
        let plan = Plan {
            layouts: vec![layout.clone()],
            ..Plan::default()
        };
        Score::of(job, &plan)
    };
    assert!(!score(old).better_than(&score(new), &job.order));
    // The same again, and no more cuts if asked twice.
    assert_eq!(*new, with_handier_cuts(job, old));
    let twice = with_handier_cuts(job, new);
    assert!(cuts_made(&twice) <= cuts_made(new));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    /// Boards cut apart at random: every plan stays as legal as it was.
    #[test]
    fn boards_cut_apart_stay_legal(seed in 0u32..100_000, parts in 2usize..12, zones in any::<bool>()) {
        let document = testkit::cut_apart(seed, testkit::CutApart {
            boards: 2,
            parts_a_board: parts,
            zones,
            ..testkit::CutApart::default()
        });
        let job = prepare(&document).job;
        let mut plan = document.plan.clone().unwrap();
        for layout in &mut plan.layouts {
            let new = with_handier_cuts(&job, layout);
            assert_handier(&job, layout, &new);
            *layout = new;
        }
        assert_legal(&format!("cut apart {seed}"), &job, &plan);
    }
}

/// Flat boards of the length and width with all edges straight, and a part of the sizes given.
fn job(length: f64, width: f64, sizes: &[(f64, f64)], tools: Vec<Tool>) -> Job {
    let mut job = prepare(&testkit::cut_apart(1, testkit::CutApart::default())).job;
    job.pins.clear();
    job.workshop.tools = tools;
    job.workshop.min_offcut = (300.0, 60.0);
    job.boards.truncate(1);
    let board = &mut job.boards[0];
    board.outline = heartside_geometry::Region::rectangle(heartside_geometry::Bounds {
        min: heartside_geometry::Point { x: 0.0, y: 0.0 },
        max: heartside_geometry::Point {
            x: length,
            y: width,
        },
    })
    .unwrap();
    board.sides = [false, true, false, true]
        .map(|is_end| SideState {
            kind: EdgeKind::Straight,
            is_end,
        })
        .to_vec();
    board.zones.clear();
    let plain = job.parts[0].clone();
    job.parts = sizes
        .iter()
        .enumerate()
        .map(|(place, (length, width))| {
            let mut part = plain.clone();
            part.id = format!("p{place}");
            part.count = 1;
            part.cut = heartside_timber::job::PartCut::Straight;
            part.allowances.end = 0.0;
            part.allowances.edge = 0.0;
            part.outline = heartside_geometry::Region::rectangle(heartside_geometry::Bounds {
                min: heartside_geometry::Point { x: 0.0, y: 0.0 },
                max: heartside_geometry::Point {
                    x: *length,
                    y: *width,
                },
            })
            .unwrap();
            part
        })
        .collect();
    job
}

fn saw(name: &str, kerf: f64, guide: Guide, work_moves: bool) -> Tool {
    Tool {
        name: name.into(),
        rips: guide != Guide::Square,
        crosscuts: !(guide == Guide::Along && work_moves),
        kerf,
        guide,
        work_moves,
        leaves_true_edge: guide != Guide::None,
        ..Tool::default()
    }
}

fn layout(job: &Job, at: &[(f64, f64)], nodes: Vec<CutNode>) -> Layout {
    let placements = at
        .iter()
        .enumerate()
        .map(|(place, (x, y))| Placement {
            part: format!("p{place}"),
            copy: 1,
            at: Placed {
                x: *x,
                y: *y,
                ..Placed::default()
            },
            ..Placement::default()
        })
        .collect();
    Layout {
        board: BoardCopy {
            board: job.boards[0].id.clone(),
            copy: 1,
        },
        way: Way::Straight,
        frame: heartside_timber::plan::Frame::default(),
        placements,
        cuts: Some(CutTree { nodes }),
    }
}

fn cut(direction: Direction, tool: &str, at: f64, kerf: f64, low: usize, high: usize) -> CutNode {
    CutNode::Cut {
        direction,
        tool: tool.into(),
        at,
        kerf,
        low,
        high,
        angle: None,
    }
}

fn used(layout: &Layout) -> Vec<(Direction, String)> {
    let nodes = &layout.cuts.as_ref().unwrap().nodes;
    let cuts = nodes.iter().filter_map(|n| match n {
        CutNode::Cut {
            direction, tool, ..
        } => Some((*direction, tool.clone())),
        _ => None,
    });
    cuts.collect()
}

const BLANK: fn(usize) -> CutNode = |placement| CutNode::Blank { placement };

#[test]
fn an_end_is_trimmed_once_and_not_off_every_strip() {
    let tools = vec![saw("guided", 3.0, Guide::Along, false)];
    let job = job(1000.0, 106.0, &[(900.0, 50.0), (900.0, 53.0)], tools);
    let rip = |at, low, high| cut(Direction::Rip, "guided", at, 3.0, low, high);
    let trim = |low, high| cut(Direction::Crosscut, "guided", 900.0, 3.0, low, high);
    let old = layout(
        &job,
        &[(0.0, 0.0), (0.0, 53.0)],
        vec![
            rip(50.0, 1, 2),
            trim(3, 4),
            trim(5, 6),
            BLANK(0),
            CutNode::Waste,
            BLANK(1),
            CutNode::Waste,
        ],
    );
    let new = with_handier_cuts(&job, &old);
    assert_handier(&job, &old, &new);
    assert_eq!((cuts_made(&old), cuts_made(&new)), (3, 2));
    let first = &used(&new)[0];
    assert_eq!(first.0, Direction::Crosscut, "the end comes off the board");
}

#[test]
fn a_long_board_is_crosscut_before_it_is_ripped() {
    let tools = vec![saw("guided", 3.0, Guide::Along, false)];
    let sizes = [(1200.0, 100.0); 4];
    let job = job(2403.0, 203.0, &sizes, tools);
    let rip = |low, high| cut(Direction::Rip, "guided", 100.0, 3.0, low, high);
    let part = |low, high| cut(Direction::Crosscut, "guided", 1200.0, 3.0, low, high);
    let at = [(0.0, 0.0), (1203.0, 0.0), (0.0, 103.0), (1203.0, 103.0)];
    let old = layout(
        &job,
        &at,
        vec![
            rip(1, 2),
            part(3, 4),
            part(5, 6),
            BLANK(0),
            BLANK(1),
            BLANK(2),
            BLANK(3),
        ],
    );
    let new = with_handier_cuts(&job, &old);
    assert_handier(&job, &old, &new);
    assert_eq!(used(&old)[0].0, Direction::Rip);
    assert_eq!(used(&new)[0].0, Direction::Crosscut);
}

#[test]
fn a_true_edge_goes_to_the_saw_with_the_fence() {
    let tools = vec![
        saw("band", 1.5, Guide::None, true),
        saw("table", 3.0, Guide::Along, true),
        saw("mitre", 2.8, Guide::Square, false),
    ];
    let job = job(900.0, 130.0, &[(900.0, 100.0)], tools);
    let old = layout(
        &job,
        &[(0.0, 0.0)],
        vec![
            cut(Direction::Rip, "band", 100.0, 1.5, 1, 2),
            BLANK(0),
            CutNode::Waste,
        ],
    );
    let new = with_handier_cuts(&job, &old);
    assert_handier(&job, &old, &new);
    assert_eq!(used(&new), [(Direction::Rip, "table".to_owned())]);
    // Where the strip that falls off is thinner than the kerf of the table saw, it stays.
    let mut narrow = job.clone();
    narrow.boards[0].outline = job_outline(900.0, 102.0);
    let new = with_handier_cuts(&narrow, &old);
    assert_eq!(used(&new), [(Direction::Rip, "band".to_owned())]);
}

fn job_outline(length: f64, width: f64) -> heartside_geometry::Region {
    job(length, width, &[], Vec::new()).boards[0]
        .outline
        .clone()
}

#[test]
fn a_blank_slides_into_the_waste_beside_it_where_that_spares_a_cut() {
    let tools = vec![saw("guided", 3.0, Guide::Along, false)];
    let job = job(1000.0, 100.0, &[(900.0, 100.0)], tools);
    let trim = |at, low, high| cut(Direction::Crosscut, "guided", at, 3.0, low, high);
    let old = layout(
        &job,
        &[(4.0, 0.0)],
        vec![
            trim(1.0, 1, 2),
            CutNode::Waste,
            trim(904.0, 3, 4),
            BLANK(0),
            CutNode::Waste,
        ],
    );
    let new = with_handier_cuts(&job, &old);
    assert_handier(&job, &old, &new);
    assert_eq!(cuts_made(&new), 1);
    assert_eq!(new.placements[0].at.x, 0.0);
    let plan = Plan {
        layouts: vec![new],
        ..Plan::default()
    };
    assert_legal("slid", &job, &plan);
    // A pinned one stays, and so does one that would slide on to a knot or a raw end's trim.
    let mut pinned = job.clone();
    pinned.pins.push(heartside_timber::job::Pin {
        part: old.placements[0].part_copy(),
        board: old.board.clone(),
        at: old.placements[0].at,
    });
    assert_eq!(with_handier_cuts(&pinned, &old), old);
    let mut raw = job.clone();
    for end in [1, 3] {
        raw.boards[0].sides[end].kind = EdgeKind::Raw;
    }
    raw.workshop.trim_end = 2.0;
    assert_eq!(with_handier_cuts(&raw, &old), old);
}

#[test]
fn whatever_the_workshop_plans_with_handier_cuts_are_legal() {
    for seed in 0..12 {
        let mut document = testkit::workshop_job(
            seed,
            testkit::JobSize {
                boards: 4,
                pieces: 12,
                sawn: 10,
            },
        );
        testkit::fit_out(&mut document, seed, testkit::Outfit::Sensible);
        let job = prepare(&document).job;
        let mut search = Search::new(
            &job,
            Settings {
                seed,
                ..Settings::default()
            },
        )
        .unwrap();
        search.step(250);
        assert_legal(&format!("workshop {seed}"), &job, search.best());
        for layout in &search.best().layouts {
            let new = with_handier_cuts(&job, layout);
            assert_handier(&job, layout, &new);
        }
    }
}

#[test]
fn the_same_numbers_give_the_same_cuts_in_whatever_steps() {
    for seed in 0..4 {
        let size = testkit::JobSize {
            boards: 4,
            pieces: 14,
            sawn: 20,
        };
        let job = prepare(&testkit::workshop_job(seed, size)).job;
        let settings = Settings {
            seed,
            ..Settings::default()
        };
        let mut whole = Search::new(&job, settings).unwrap();
        let mut parts = Search::new(&job, settings).unwrap();
        whole.step(1200);
        for n in [1, 498, 1, 1, 699] {
            parts.step(n);
        }
        assert_eq!(whole.best(), parts.best());
        let best: &Plan = whole.best();
        assert_legal(&format!("workshop job {seed}"), &job, best);
        // What is handed out cannot be bettered by asking again.
        for layout in &best.layouts {
            let again = with_handier_cuts(&job, layout);
            assert!(cuts_made(&again) <= cuts_made(layout));
        }
    }
}
