//! Through cuts that break sawn boards down before anything is sawn by line.

// Helpers outside the test functions may unwrap what they have just made themselves.
#![allow(clippy::unwrap_used)]

use crate::sample;

use heartside_geometry::{Bounds, area_in_bounds};
use heartside_nest::{Search, Settings, WayWanted, break_down};
use heartside_testkit as testkit;
use heartside_timber::defaults::HANDY_LENGTH;
use heartside_timber::document::{BoardCopy, ZoneKind};
use heartside_timber::job::{Board, Goal, GrainRule, Job, Part, Pin, Tool, Zone};
use heartside_timber::plan::{CutNode, Direction, Frame, Layout, Placed, Placement, Plan, Way};
use heartside_timber::prepare::prepare;
use heartside_timber::score::Score;
use heartside_timber::workpieces::Workpieces;
use sample::{assert_legal, job, part, plank, polygon, rectangle, tool, zone};

fn board(length: f64, width: f64) -> Board {
    plank("A", length, width)
}

/// A bracket with a sloping side; its blank reaches 3 mm further all round.
fn bracket(id: &str, count: u32, length: f64, width: f64) -> Part {
    let corners = [
        (0.0, 0.0),
        (length, 0.0),
        (length, 0.4 * width),
        (0.3 * length, width),
        (0.0, width),
    ];
    Part {
        thickness: 22.0,
        grain: GrainRule::Axis {
            across: false,
            tolerance: 3.0,
        },
        ..part(id, count, polygon(&corners))
    }
}

fn on_a() -> BoardCopy {
    BoardCopy {
        board: "A".into(),
        copy: 1,
    }
}

/// Brackets on the board, their lower left corners here.
fn laid(places: &[(f64, f64)]) -> Layout {
    let placement = |(k, p): (usize, &(f64, f64))| Placement {
        part: "bracket".into(),
        copy: k as u32 + 1,
        at: Placed {
            x: p.0,
            y: p.1,
            turn: 0.0,
            turned_over: false,
        },
        ..Placement::default()
    };
    Layout {
        board: on_a(),
        way: Way::Sawn,
        frame: Frame::default(),
        placements: places.iter().enumerate().map(placement).collect(),
        cuts: None,
    }
}

fn search(job: &Job) -> Search {
    let settings = Settings {
        way: WayWanted::Sawn,
        ..Settings::default()
    };
    Search::new(job, settings).unwrap()
}

/// What the search makes of a layout as it stands, before any step: checked.
fn taken_up(job: &Job, layout: Layout) -> Layout {
    let mut search = search(job);
    assert!(search.go_on_from(vec![layout]));
    assert_legal("broken down", job, search.best());
    search.best().layouts[0].clone()
}

/// The through cuts: kind, low side of the kerf, tool.
fn cuts(layout: &Layout) -> Vec<(Direction, f64, String)> {
    let nodes = layout.cuts.iter().flat_map(|t| &t.nodes);
    nodes
        .filter_map(|n| match n {
            CutNode::Cut {
                direction,
                at,
                tool,
                ..
            } => Some((*direction, *at, tool.clone())),
            _ => None,
        })
        .collect()
}

/// The regions: their boxes and how many parts each holds.
fn regions(job: &Job, layout: &Layout) -> Vec<(Bounds, usize)> {
    let tree = layout.cuts.as_ref().unwrap();
    Workpieces::of(tree, Frame::default(), &job.boards[0].outline)
        .iter()
        .filter_map(|piece| match &tree.nodes[piece.node] {
            CutNode::Region { placements } => Some((piece.bounds, placements.len())),
            _ => None,
        })
        .collect()
}

/// A board of 3 m with ten brackets of 250 mm in a row, 20 mm between their blanks.
fn long_job() -> (Job, Layout) {
    let job = job(
        vec![board(3000.0, 200.0)],
        vec![bracket("bracket", 10, 250.0, 150.0)],
    );
    let places: Vec<(f64, f64)> = (0..10)
        .map(|k| (20.0 + 276.0 * f64::from(k), 10.0))
        .collect();
    (job, laid(&places))
}

#[test]
fn a_long_board_is_broken_down_by_as_few_cuts_as_make_it_handy() {
    let (job, layout) = long_job();
    let broken_down = taken_up(&job, layout.clone());
    assert_eq!(broken_down.way, Way::Sawn);
    assert_eq!(
        broken_down.placements, layout.placements,
        "there is room as it is"
    );
    assert_eq!(cuts(&broken_down).len(), 2);
    let regions = regions(&job, &broken_down);
    assert_eq!(regions.iter().map(|r| r.1).sum::<usize>(), 10);
    for (bounds, _) in &regions {
        assert!(bounds.width() <= HANDY_LENGTH, "{bounds:?}");
    }
    // In the middle of the gaps, at whole millimetres from where they are measured.
    for (direction, at, tool) in cuts(&broken_down) {
        assert_eq!(
            (direction, tool.as_str()),
            (Direction::Crosscut, "Track saw")
        );
        let nearest = layout
            .placements
            .iter()
            .map(|p| (p.at.x - 3.0 - (at + 2.4)).abs())
            .fold(f64::INFINITY, f64::min);
        assert!((8.0..=9.6).contains(&nearest), "{at}: {nearest}");
    }
    let text = serde_json::to_string(&broken_down).unwrap();
    let back: Layout = serde_json::from_str(&text).unwrap();
    assert_eq!(back, broken_down);
}

#[test]
fn a_board_that_is_handy_as_it_lies_stays_whole() {
    let job = job(
        vec![board(1190.0, 200.0)],
        vec![bracket("bracket", 3, 250.0, 150.0)],
    );
    let layout = laid(&[(20.0, 10.0), (320.0, 10.0), (620.0, 10.0)]);
    assert!(taken_up(&job, layout).cuts.is_none());
}

#[test]
fn the_saw_for_lines_and_the_weight_say_what_is_handy() {
    let (mut job, layout) = long_job();
    job.workshop.tools[1].max_length = 3200.0;
    assert!(taken_up(&job, layout.clone()).cuts.is_none());
    job.workshop.tools[1].max_length = 1600.0;
    assert_eq!(cuts(&taken_up(&job, layout.clone())).len(), 1);
    // 10.5 kg in all, of which one person lifts four; without a density nobody knows.
    job.workshop.tools[1].max_length = 3200.0;
    job.workshop.max_lift_kg = 4.0;
    let by_weight = taken_up(&job, layout.clone());
    assert_eq!(cuts(&by_weight).len(), 2);
    let outline = &job.boards[0].outline;
    for (bounds, _) in regions(&job, &by_weight) {
        let kilograms = area_in_bounds(outline, &bounds) * 27.0 * 650.0 * 1e-9;
        assert!(kilograms <= 4.0, "{kilograms}");
    }
    job.boards[0].density = 0.0;
    assert!(taken_up(&job, layout).cuts.is_none());
}

#[test]
fn without_a_saw_for_it_there_is_no_through_cut() {
    let (job, layout) = long_job();
    let without = |change: &dyn Fn(&mut Vec<Tool>)| {
        let mut job = job.clone();
        change(&mut job.workshop.tools);
        taken_up(&job, layout.clone()).cuts
    };
    assert!(without(&|tools| drop(tools.remove(0))).is_none());
    assert!(without(&|tools| tools[0].max_depth = 20.0).is_none());
    assert!(without(&|tools| tools[0].max_length = 150.0).is_none());
    assert!(without(&|tools| tools[0].max_width = 2500.0).is_none());
    assert!(without(&|tools| tools[0].crosscuts = false).is_none());
    // A kerf wider than any gap, and further than parts are moved.
    assert!(without(&|tools| tools[0].kerf = 300.0).is_none());
    // A second saw takes what the first cannot.
    let mitre_saw = Tool {
        crosscuts: true,
        ..tool("Mitre saw", 3.0)
    };
    let by_mitre_saw = without(&|tools| {
        tools[0].max_depth = 20.0;
        tools.push(mitre_saw.clone());
    });
    assert!(by_mitre_saw.is_some());
}

#[test]
fn a_fixing_is_passed_by_or_stops_the_cut() {
    let (mut job, layout) = long_job();
    // A nail in every gap, near its far side: the middle of the gap is too near to it.
    let nails = |at: f64| {
        let nail = |k: i32| {
            let x = 20.0 + 276.0 * f64::from(k) - 23.0 + at;
            zone(ZoneKind::Fixing, rectangle(x - 1.0, 99.0, x + 1.0, 101.0))
        };
        (1..10).map(nail).collect::<Vec<Zone>>()
    };
    job.boards[0].zones = nails(12.0);
    let passed = taken_up(&job, layout.clone());
    assert_eq!(cuts(&passed).len(), 2);
    // With 9 mm round a nail in the middle, neither side leaves room for the kerf.
    job.boards[0].zones = nails(10.0);
    for zone in &mut job.boards[0].zones {
        zone.margin = 7.0;
    }
    job.boards[0] = Board {
        zones: job.boards[0].zones.clone(),
        ..board(2780.0, 200.0)
    };
    let mut stopped = layout;
    break_down(&job, &mut stopped);
    assert!(stopped.cuts.is_none());
}

#[test]
fn no_piece_with_parts_in_it_is_too_short_to_hold() {
    // Two brackets at the very start of a long board: cut off with some waste, so that the
    // piece can be held.
    let job = job(
        vec![board(2400.0, 200.0)],
        vec![bracket("bracket", 1, 150.0, 150.0)],
    );
    let broken_down = taken_up(&job, laid(&[(20.0, 10.0)]));
    assert_eq!(cuts(&broken_down).len(), 1);
    let piece = regions(&job, &broken_down)[0].0;
    assert!(piece.width() >= 300.0 && piece.width() < 320.0, "{piece:?}");
    let tree = broken_down.cuts.unwrap();
    assert!(
        tree.nodes.contains(&CutNode::Offcut),
        "two metres are worth keeping"
    );
}

/// Six brackets in two rows, the upper 40 mm further than the lower, so that every line across
/// meets one; between the rows a saw for lines has room and no other. The last two could move
/// by so much.
fn staggered(room: f64) -> (Job, Layout) {
    let job = job(
        vec![board(1592.0 + room, 220.0)],
        vec![bracket("bracket", 6, 500.0, 90.0)],
    );
    let layout = laid(&[
        (18.0, 10.0),
        (58.0, 108.1),
        (526.0, 10.0),
        (566.0, 108.1),
        (1034.0, 10.0),
        (1074.0, 108.1),
    ]);
    (job, layout)
}

#[test]
fn parts_move_by_a_little_where_that_makes_room() {
    let (job, layout) = staggered(60.0);
    let mut unmoved = layout.clone();
    break_down(&job, &mut unmoved);
    assert!(unmoved.cuts.is_none(), "nothing is moved by hand's helper");
    assert_eq!(unmoved.placements, layout.placements);
    let moved = taken_up(&job, layout.clone());
    assert!(!cuts(&moved).is_empty());
    let shifts: Vec<f64> = layout
        .placements
        .iter()
        .zip(&moved.placements)
        .map(|(a, b)| b.at.x - a.at.x)
        .collect();
    assert!(shifts.iter().any(|s| *s != 0.0), "{shifts:?}");
    assert!(shifts.iter().all(|s| s.abs() <= 60.0), "{shifts:?}");
    for (a, b) in layout.placements.iter().zip(&moved.placements) {
        let unshifted = Placed { x: a.at.x, ..b.at };
        assert_eq!(unshifted, a.at, "only along the board");
    }
}

#[test]
fn without_room_at_the_end_nothing_moves() {
    let (job, layout) = staggered(20.0);
    let taken = taken_up(&job, layout.clone());
    assert_eq!(taken, layout);
}

#[test]
fn a_flaw_where_a_part_would_lie_keeps_it_where_it_is() {
    let (mut job, layout) = staggered(60.0);
    // The lower of the two last brackets ends at 1537 with its blank, 41 mm are wanted.
    let knot = zone(ZoneKind::Defect, rectangle(1560.0, 20.0, 1570.0, 30.0));
    job.boards[0].zones = vec![knot];
    assert_eq!(taken_up(&job, layout.clone()), layout);
}

#[test]
fn what_is_pinned_stays_where_it_is() {
    let (mut job, layout) = staggered(60.0);
    for placement in &layout.placements {
        job.pins.push(Pin {
            part: placement.part_copy(),
            board: on_a(),
            at: placement.at,
        });
    }
    let search = search(&job);
    assert_legal("broken down", &job, search.best());
    assert_eq!(search.best().layouts, std::slice::from_ref(&layout));
    // With only the first four pinned the last two may move.
    job.pins.truncate(4);
    let taken = taken_up(&job, layout.clone());
    assert!(taken.cuts.is_some());
    assert_eq!(taken.placements[..4], layout.placements[..4]);
    assert_ne!(taken.placements[4..], layout.placements[4..]);
}

#[test]
fn a_wide_slab_is_ripped_where_crosscuts_are_not_enough() {
    // 62 kg; three long parts side by side, which no crosscut can part.
    let mut slab = board(2000.0, 600.0);
    slab.thickness = 80.0;
    let mut job = job(vec![slab], vec![bracket("bracket", 3, 1900.0, 180.0)]);
    job.workshop.tools[1].max_length = 2500.0;
    let layout = laid(&[(40.0, 10.0), (40.0, 206.0), (40.0, 402.0)]);
    let broken_down = taken_up(&job, layout);
    let ripped = cuts(&broken_down);
    assert_eq!(ripped.len(), 2, "{ripped:?}");
    assert!(ripped.iter().all(|c| c.0 == Direction::Rip));
    assert!(regions(&job, &broken_down).iter().all(|r| r.1 == 1));
}

#[test]
fn the_score_sees_no_labour_in_it_and_an_offcut_earns_its_money() {
    let (mut job, layout) = long_job();
    let plan = |layout: Layout| Plan {
        layouts: vec![layout],
        ..Plan::default()
    };
    let broken_down = taken_up(&job, layout.clone());
    assert_eq!(
        Score::of(&job, &plan(broken_down.clone())).labour,
        Score::of(&job, &plan(layout)).labour
    );
    job.offcut_value = 1000.0;
    let short = laid(&[(20.0, 10.0), (320.0, 10.0)]);
    let kept = taken_up(&job, short.clone());
    assert!(Score::of(&job, &plan(kept)).cost < Score::of(&job, &plan(short)).cost);
}

#[test]
fn an_offcut_that_earns_money_is_not_given_up_for_a_cut() {
    let (mut job, layout) = staggered(60.0);
    job.boards[0] = board(2010.0, 220.0);
    job.workshop.min_offcut = (300.0, 60.0);
    let moved = taken_up(&job, layout.clone());
    job.offcut_value = 1000.0;
    let kept = taken_up(&job, layout.clone());
    let area = |l: &Layout| {
        heartside_timber::score::counted_offcut_areas(&job, &job.boards[0], l)
            .iter()
            .sum::<f64>()
    };
    assert!(area(&kept) >= area(&moved));
    assert_eq!(
        kept.placements, layout.placements,
        "moving would spoil the offcut at the end"
    );
    assert!(area(&kept) > 0.0);
}

#[test]
fn other_aims_than_furniture_are_left_alone() {
    let (mut job, layout) = long_job();
    for goal in [Goal::Value, Goal::InOrder, Goal::StripLength] {
        job.goal = goal;
        let mut same = layout.clone();
        break_down(&job, &mut same);
        assert_eq!(same, layout);
    }
}

#[test]
fn generated_jobs_are_broken_down_legally_and_repeatably() {
    let (mut long, mut parted) = (0, 0);
    for seed in 0..16 {
        let size = testkit::JobSize {
            boards: 3 + seed as usize % 5,
            pieces: 10 + 2 * seed as usize,
            sawn: 100,
        };
        let mut document = if seed % 2 == 0 {
            testkit::workshop_job(seed, size)
        } else {
            testkit::sawn_apart(seed, 2, 8)
        };
        document.plan = None;
        if seed % 4 > 1 {
            testkit::fit_out(&mut document, seed, testkit::Outfit::Sensible);
        }
        let job = prepare(&document).job;
        let mut search = search(&job);
        search.step(150);
        assert_legal("broken down", &job, search.best());
        for layout in &search.best().layouts {
            let outline = &job.board(&layout.board.board).unwrap().outline;
            if outline.bounds().width() <= HANDY_LENGTH {
                continue;
            }
            long += 1;
            parted += usize::from(layout.cuts.is_some());
            let mut again = Layout {
                cuts: None,
                ..layout.clone()
            };
            break_down(&job, &mut again);
            assert_eq!(&again, layout, "the room is there now: the same cuts again");
        }
    }
    assert!(
        4 * parted >= 3 * long,
        "only {parted} of {long} long boards are broken down"
    );
}
