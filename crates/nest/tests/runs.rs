//! Grain that runs on: the copies of a run come from one board, in order, wherever some board can.

#![allow(clippy::unwrap_used)]

use crate::sample;

use heartside_geometry::Point;
use heartside_nest::{Search, Settings, WayWanted};
use heartside_testkit::make_cut;
use heartside_timber::document::{BoardCopy, Cuts, EdgeKind, Guide, MatchKind, PartCopy, ZoneKind};
use heartside_timber::job::{Board, Job, Match, Part, PartCut, Pin, Tool};
use heartside_timber::plan::{Placed, Placement, Plan, Way};
use sample::{assert_legal, band_saw, job, part, plank, polygon, rectangle, tool, track_saw, zone};

fn copy(part: &str, copy: u32) -> PartCopy {
    PartCopy {
        part: part.into(),
        copy,
    }
}

fn straight(id: &str, count: u32, length: f64, width: f64) -> Part {
    Part {
        cut: PartCut::Straight,
        ..part(id, count, rectangle(0.0, 0.0, length, width))
    }
}

/// A board for straight cuts, its ends raw.
fn board(id: &str, length: f64, width: f64) -> Board {
    Board {
        cuts: Cuts::Straight,
        ..plank(id, length, width)
    }
}

fn run(kind: MatchKind, parts: &[(&str, u32)]) -> Match {
    Match {
        kind,
        parts: parts.iter().map(|(p, c)| copy(p, *c)).collect(),
    }
}

fn planned(what: &str, job: &Job, steps: u64) -> Plan {
    let mut search = Search::new(job, Settings::default()).unwrap();
    for _ in 0..4 {
        search.step(steps / 4);
        assert_legal(what, job, search.best());
    }
    search.best().clone()
}

fn placed<'a>(plan: &'a Plan, part: &str, copy: u32) -> Option<(&'a BoardCopy, &'a Placement)> {
    let (l, k) = plan.find(part, copy)?;
    let layout = &plan.layouts[l];
    Some((&layout.board, &layout.placements[k]))
}

/// A small generator of numbers, so that each seed is one job.
struct Numbers(u64);

impl Numbers {
    fn between(&mut self, low: f64, high: f64) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        low + (high - low) * ((self.0 >> 11) as f64 / (1u64 << 53) as f64)
    }

    fn below(&mut self, n: u32) -> u32 {
        self.between(0.0, f64::from(n)) as u32
    }
}

/// A board that tapers, with flaws right through.
fn flawed(numbers: &mut Numbers, id: &str) -> Board {
    let (length, start) = (
        numbers.between(1300.0, 2600.0),
        numbers.between(80.0, 200.0),
    );
    let end = start * numbers.between(0.7, 1.0);
    let outline = polygon(&[(0.0, 0.0), (length, 0.0), (length, end), (0.0, start)]);
    let mut board = board(id, length, start);
    let raw = numbers.below(2) == 0;
    board.outline = outline;
    for side in &mut board.sides {
        let is_raw = side.is_end || raw;
        side.kind = if is_raw {
            EdgeKind::Raw
        } else {
            EdgeKind::Straight
        };
    }
    for index in 0..numbers.below(4) as usize {
        let (x, y) = (numbers.between(0.0, length), numbers.between(0.0, start));
        let (w, h) = (numbers.between(8.0, 60.0), numbers.between(8.0, 40.0));
        let mut flaw = zone(ZoneKind::Defect, rectangle(x, y, x + w, y + h));
        flaw.index = index;
        board.zones.push(flaw);
    }
    board
}

/// Whether a rectangle along a board lies somewhere on a grid of 2 mm: brute force on the rules alone.
fn has_room(job: &Job, board: &Board, length: f64, width: f64) -> bool {
    let bounds = board.outline.bounds();
    let ring: Vec<Point> = board.outline.outer().points().to_vec();
    let is_clear = |x: f64, y: f64| {
        let corners = [
            (x, y),
            (x + length, y),
            (x + length, y + width),
            (x, y + width),
        ];
        let inside = ring.iter().enumerate().all(|(k, a)| {
            let b = ring[(k + 1) % ring.len()];
            let (dx, dy) = (b.x - a.x, b.y - a.y);
            let trim = board.sides[k].trim(&job.workshop);
            corners.iter().all(|(cx, cy)| {
                let beyond = (dx * (cy - a.y) - dy * (cx - a.x)) / (dx * dx + dy * dy).sqrt();
                beyond >= trim + 0.01
            })
        });
        inside
            && board.zones.iter().all(|zone| {
                let z = zone.shape.bounds();
                let gap =
                    |low: f64, high: f64, from: f64, to: f64| (from - high).max(low - to).max(0.0);
                let dx = gap(z.min.x, z.max.x, x, x + length);
                let dy = gap(z.min.y, z.max.y, y, y + width);
                (dx * dx + dy * dy).sqrt() >= zone.margin + 0.01
            })
    };
    let steps = |extent: f64, of: f64| ((extent - of) / 2.0).max(-1.0) as i64;
    (0..=steps(bounds.width(), length)).any(|i| {
        (0..=steps(bounds.height(), width))
            .any(|j| is_clear(bounds.min.x + 2.0 * i as f64, bounds.min.y + 2.0 * j as f64))
    })
}

#[test]
fn four_rails_come_from_one_board_in_order_where_some_board_can() {
    let (mut possible, mut impossible) = (0, 0);
    for seed in 1..=150u64 {
        let mut numbers = Numbers(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15));
        let boards = 1 + numbers.below(4);
        let boards = (0..boards).map(|k| flawed(&mut numbers, &format!("B{k}")));
        let boards: Vec<Board> = boards.collect();
        let lengths = [numbers.between(180.0, 620.0), numbers.between(180.0, 420.0)];
        let width = numbers.between(40.0, 110.0);
        let mut parts = vec![
            straight("long", 2, lengths[0], width),
            straight("short", 2, lengths[1], width),
        ];
        let mut rest = straight(
            "rest",
            1 + numbers.below(4),
            numbers.between(100.0, 700.0),
            50.0,
        );
        rest.priority = 2;
        parts.push(rest);
        let mut job = job(boards, parts);
        job.workshop.tools = vec![track_saw()];
        let order = [("long", 1), ("short", 1), ("long", 2), ("short", 2)];
        job.matches = vec![run(MatchKind::ContinuousAlong, &order)];
        let kerf = job.workshop.tools[0].kerf;
        let row = 2.0 * (lengths[0] + lengths[1]) + 8.0 * 5.0 + 3.0 * kerf;
        let can = |b: &Board| has_room(&job, b, row, width + 4.0);
        let can = job.boards.iter().any(can);
        let plan = planned(&format!("rails {seed}"), &job, 1_200);
        let boards: Vec<Option<&BoardCopy>> = order
            .iter()
            .map(|(part, copy)| placed(&plan, part, *copy).map(|(board, _)| board))
            .collect();
        if can {
            possible += 1;
            assert!(
                boards[0].is_some(),
                "job {seed}: some board can take all four"
            );
            assert!(
                boards.iter().all(|b| *b == boards[0]),
                "job {seed}: {boards:?}"
            );
        } else {
            impossible += 1;
            // All or none.
            let count = boards.iter().flatten().count();
            assert!(count == 0 || count == 4, "job {seed}: {count}");
        }
    }
    assert!(
        possible >= 40 && impossible >= 20,
        "{possible} {impossible}"
    );
}

/// Workshops that saw boards by line, alone or beside straight cuts, with kerfs that have nothing in common.
#[test]
fn rails_come_from_one_board_whatever_the_kerf_of_the_way_it_is_sawn() {
    let (mut by_line, mut by_cuts, mut impossible) = (0, 0, 0);
    for seed in 1..=150u64 {
        let mut numbers = Numbers(seed.wrapping_mul(0xd1b5_4a32_d192_ed03));
        let boards = 1 + numbers.below(3);
        let boards = (0..boards).map(|k| {
            let mut board = flawed(&mut numbers, &format!("B{k}"));
            board.cuts = [Cuts::Sawn, Cuts::Sawn, Cuts::Straight][numbers.below(3) as usize];
            board
        });
        let boards: Vec<Board> = boards.collect();
        let lengths = [numbers.between(180.0, 520.0), numbers.between(180.0, 420.0)];
        let width = numbers.between(40.0, 100.0);
        let mut parts = vec![
            straight("long", 2, lengths[0], width),
            straight("short", 2, lengths[1], width),
        ];
        let mut rest = straight(
            "rest",
            numbers.below(3),
            numbers.between(100.0, 500.0),
            50.0,
        );
        rest.priority = 2;
        if rest.count > 0 {
            parts.push(rest);
        }
        let mut job = job(boards, parts);
        let line = numbers.between(1.0, 6.0);
        let saws = |name: &str, kerf| tool(name, kerf);
        job.workshop.tools = vec![
            Tool {
                crosscuts: true,
                can_skim: true,
                ..saws("Crosscut saw", 3.0)
            },
            Tool {
                rips: true,
                can_skim: true,
                leaves_true_edge: true,
                ..saws("Rip saw", 3.2)
            },
            Tool {
                saws: true,
                ..saws("Line saw", line)
            },
        ];
        let order = [("long", 1), ("short", 1), ("long", 2), ("short", 2)];
        job.matches = vec![run(MatchKind::ContinuousAlong, &order)];
        let row = |kerf: f64| 2.0 * (lengths[0] + lengths[1]) + 8.0 * 5.0 + 3.0 * kerf;
        let can = |b: &&Board| match b.cuts {
            Cuts::Sawn => has_room(&job, b, row(line), width + 4.0),
            _ => has_room(&job, b, row(3.0), width + 4.0),
        };
        let able: Vec<Cuts> = job.boards.iter().filter(can).map(|b| b.cuts).collect();
        let plan = planned(&format!("rails {seed}, line {line}"), &job, 1_200);
        let boards: Vec<Option<&BoardCopy>> = order
            .iter()
            .map(|(part, copy)| placed(&plan, part, *copy).map(|(board, _)| board))
            .collect();
        if able.is_empty() {
            impossible += 1;
            let count = boards.iter().flatten().count();
            assert!(count == 0 || count == 4, "job {seed}: {count}");
            continue;
        }
        match able.contains(&Cuts::Straight) {
            true => by_cuts += 1,
            false => by_line += 1,
        }
        assert!(
            boards[0].is_some() && boards.iter().all(|b| *b == boards[0]),
            "job {seed}, line {line}: {able:?} {boards:?}"
        );
    }
    assert!(
        by_line >= 20 && by_cuts >= 20 && impossible >= 20,
        "{by_line} {by_cuts} {impossible}"
    );
}

#[test]
fn parts_of_other_widths_and_lengths_run_on() {
    for kind in [MatchKind::ContinuousAlong, MatchKind::ContinuousAcross] {
        let parts = vec![
            straight("wide", 1, 420.0, 90.0),
            straight("narrow", 1, 300.0, 60.0),
            straight("a hair", 1, 420.0, 89.0),
        ];
        let mut job = job(vec![board("A", 1500.0, 320.0)], parts);
        job.workshop.tools = vec![track_saw()];
        job.matches = vec![run(kind, &[("wide", 1), ("narrow", 1), ("a hair", 1)])];
        let plan = planned("widths", &job, 400);
        assert_eq!(plan.placed_count(), 3, "{kind:?}: {:?}", plan.unplaced);
    }
}

/// A cross-cut saw that takes no thick board, and a thicker blade for those.
#[test]
fn each_board_is_cut_apart_by_a_saw_that_takes_it() {
    let saw = |name: &str, kerf, max_depth| Tool {
        crosscuts: true,
        max_depth,
        ..tool(name, kerf)
    };
    let rips = Tool {
        rips: true,
        ..tool("Rip saw", 2.8)
    };
    for thickness in [27.0, 45.0] {
        let mut thick = board("A", 1500.0, 100.0);
        thick.thickness = thickness;
        let mut other = board("B", 300.0, 100.0);
        other.thickness = 72.0 - thickness;
        let mut job = job(vec![other, thick], vec![straight("rail", 4, 300.0, 60.0)]);
        job.workshop.tools = vec![
            saw("Fine saw", 1.2, 30.0),
            saw("Large saw", 3.4, 80.0),
            rips.clone(),
        ];
        let order = [("rail", 3), ("rail", 1), ("rail", 2), ("rail", 4)];
        job.matches = vec![run(MatchKind::ContinuousAlong, &order)];
        let plan = planned("two saws", &job, 400);
        assert_eq!(plan.placed_count(), 4, "{thickness}: {:?}", plan.unplaced);
    }
}

#[test]
fn a_saw_that_must_hold_the_work_is_obeyed() {
    let mitre = Tool {
        crosscuts: true,
        guide: Guide::Square,
        min_piece: 200.0,
        max_length: 120.0,
        ..tool("Mitre saw", 2.6)
    };
    let rips = Tool {
        rips: true,
        ..tool("Rip saw", 2.8)
    };
    let mut job = job(
        vec![board("A", 1500.0, 110.0)],
        vec![straight("rail", 4, 300.0, 60.0)],
    );
    job.workshop.tools = vec![mitre, rips];
    let order = [("rail", 1), ("rail", 2), ("rail", 3), ("rail", 4)];
    job.matches = vec![run(MatchKind::ContinuousAlong, &order)];
    let plan = planned("mitre saw", &job, 400);
    assert_eq!(plan.placed_count(), 4, "{:?}", plan.unplaced);
}

#[test]
fn runs_come_from_boards_that_are_sawn_by_line() {
    for (cuts, tools) in [
        (Cuts::Sawn, vec![track_saw(), band_saw()]),
        (Cuts::Any, vec![track_saw(), band_saw()]),
        // Lines are wider than straight cuts here.
        (
            Cuts::Any,
            vec![
                Tool {
                    kerf: 1.1,
                    ..track_saw()
                },
                band_saw(),
            ],
        ),
    ] {
        let mut wood = plank("A", 1500.0, 220.0);
        wood.cuts = cuts;
        let round = part(
            "round",
            2,
            polygon(&[(0.0, 0.0), (200.0, 0.0), (260.0, 60.0), (0.0, 80.0)]),
        );
        let mut job = job(vec![wood], vec![straight("rail", 3, 300.0, 60.0), round]);
        job.workshop.tools = tools;
        let order = [("rail", 2), ("rail", 1), ("rail", 3)];
        job.matches = vec![
            run(MatchKind::ContinuousAlong, &order),
            run(MatchKind::ContinuousAcross, &[("round", 1), ("round", 2)]),
        ];
        for way in [WayWanted::AsJob, WayWanted::Sawn] {
            let settings = Settings {
                way,
                ..Settings::default()
            };
            let mut search = Search::new(&job, settings).unwrap();
            search.step(600);
            assert_legal("by line", &job, search.best());
            let best = search.best();
            assert_eq!(
                best.placed_count(),
                5,
                "{cuts:?} {way:?}: {:?}",
                best.unplaced
            );
            if cuts == Cuts::Sawn {
                assert_eq!(best.layouts[0].way, Way::Sawn);
            }
        }
    }
}

fn rails(count: u32) -> Job {
    let mut job = job(
        vec![board("A", 900.0, 100.0), board("B", 1500.0, 100.0)],
        vec![straight("rail", count, 300.0, 60.0)],
    );
    job.workshop.tools = vec![track_saw()];
    let order: Vec<(&str, u32)> = (1..=count).map(|c| ("rail", c)).collect();
    job.matches = vec![run(MatchKind::ContinuousAlong, &order)];
    job
}

fn pin(part: PartCopy, board: &str, x: f64, y: f64) -> Pin {
    let board = BoardCopy {
        board: board.into(),
        copy: 1,
    };
    let at = Placed {
        x,
        y,
        ..Placed::default()
    };
    Pin { part, board, at }
}

#[test]
fn the_rest_of_a_run_lies_beside_a_member_that_is_pinned() {
    let mut job = rails(4);
    job.pins = vec![pin(copy("rail", 3), "B", 700.0, 20.0)];
    let plan = planned("pinned", &job, 400);
    assert_eq!(plan.placed_count(), 4, "{:?}", plan.unplaced);
    assert_eq!(plan.layouts.len(), 1);
    assert_eq!(placed(&plan, "rail", 3).unwrap().1.at.x, 700.0);
    // The fourth does not fit beyond it.
    job.pins = vec![pin(copy("rail", 3), "B", 1150.0, 20.0)];
    let plan = planned("pinned at the end", &job, 400);
    assert_eq!(plan.placed_count(), 3);
    assert_eq!(plan.unplaced[0].copies, [4]);
    // On a board that is too short for all.
    job.pins = vec![pin(copy("rail", 1), "A", 30.0, 20.0)];
    let plan = planned("pinned on a short board", &job, 400);
    assert_eq!(plan.layouts[0].board.board, "A");
    assert_eq!(
        plan.placed_count(),
        1,
        "the other three lie together or not at all"
    );
}

#[test]
fn the_rest_of_a_run_follows_the_member_in_hand() {
    let mut job = rails(4);
    let whole = planned("whole", &job, 400);
    let (board, first) = placed(&whole, "rail", 1).unwrap();
    assert_eq!(board.board, "B");
    let at = first.at;
    assert_eq!(at.turn, 0.0, "as the engine lays it first");
    let x = at.x + 305.0 + 1.2;
    let line = [Point::new(x, 100.0), Point::new(x, 0.0)];
    make_cut(&mut job, "B", line, 2.4, EdgeKind::Straight);
    let left = job
        .boards
        .iter()
        .position(|b| b.outline.bounds().min.x < 1.0 && b.from.is_some());
    let left = left.unwrap();
    let from = job.boards[left].from.as_mut().unwrap();
    from.holds = Some(first.clone());
    from.measured = true;
    job.parts[0].in_hand = vec![1];
    let rest = planned("the rest", &job, 400);
    assert_eq!(rest.placed_count(), 3, "{:?}", rest.unplaced);
    for number in 2..=4 {
        let (_, before) = placed(&whole, "rail", number).unwrap();
        let (_, now) = placed(&rest, "rail", number).unwrap();
        assert!((before.at.x - now.at.x).abs() < 1e-6, "{before:?} {now:?}");
    }
}

#[test]
fn a_plan_of_a_run_is_gone_on_from() {
    let mut job = rails(4);
    job.parts.push(straight("other", 2, 250.0, 70.0));
    let plan = planned("whole", &job, 800);
    assert_eq!(plan.placed_count(), 6, "{:?}", plan.unplaced);
    let mut other = Search::new(
        &job,
        Settings {
            seed: 9,
            ..Settings::default()
        },
    )
    .unwrap();
    assert!(other.adopt(&plan));
    assert_eq!(other.best().layouts, plan.layouts);
    let mut again = Search::new(
        &job,
        Settings {
            seed: 9,
            ..Settings::default()
        },
    )
    .unwrap();
    assert!(again.go_on_from(plan.layouts.clone()));
    assert_eq!(again.best().layouts, plan.layouts);
    job.earlier = plan.layouts.clone();
    let mut rest = Search::new(&job, Settings::default()).unwrap();
    rest.step(300);
    assert_legal("the rest", &job, rest.best());
    assert_eq!(rest.score().moved, Some(0.0));
    assert_eq!(rest.best().placed_count(), 6);
}

#[test]
fn parts_of_one_board_stay_with_their_run() {
    let mut job = rails(3);
    job.boards = vec![board("A", 1300.0, 70.0), board("B", 1300.0, 160.0)];
    job.parts.push(straight("other", 1, 700.0, 70.0));
    job.matches
        .push(run(MatchKind::SameBoard, &[("rail", 2), ("other", 1)]));
    let plan = planned("same board", &job, 800);
    assert_eq!(plan.placed_count(), 4, "{:?}", plan.unplaced);
    assert_eq!(plan.layouts.len(), 1);
}

#[test]
fn what_two_runs_share_lies_in_the_first() {
    let mut job = rails(3);
    job.parts.push(straight("other", 1, 300.0, 60.0));
    job.matches.push(run(
        MatchKind::ContinuousAlong,
        &[("rail", 2), ("other", 1)],
    ));
    let plan = planned("shared", &job, 400);
    assert_eq!(plan.placed_count(), 3);
    assert_eq!(plan.unplaced[0].part, "other");
}

#[test]
fn a_run_that_no_board_takes_says_how_long_one_could_be() {
    let mut job = rails(4);
    job.boards = vec![board("A", 700.0, 100.0), board("B", 1000.0, 100.0)];
    let middle = rectangle(800.0, 0.0, 830.0, 100.0);
    job.boards[1].zones = vec![zone(ZoneKind::Defect, middle)];
    let plan = planned("too long", &job, 400);
    assert_eq!(plan.placed_count(), 0);
    let longest = plan.unplaced[0].longest.as_ref().unwrap();
    // From the trim of 15 mm at the end to the margin of 4 mm before the flaw, on the board that has more.
    assert_eq!(longest.board.board, "B");
    assert!((780.0..=781.0).contains(&longest.length), "{longest:?}");
}
