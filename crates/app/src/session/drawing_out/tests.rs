//! What the hand draws is what the job gets.

use heartside_geometry::{Point, Region, Ring, convex_hull};
use heartside_testkit::Chance;
use heartside_timber::document::{BoardOutline, EdgeKind, ZoneShape};

use super::line::Line;
use crate::protocol::{self, DrawOrder, DrawStep, DrawWay, DrawWhat, Thing, ThingKind};
use crate::session::Session;
use crate::session::tests::one_board;

const BOARD: Thing = Thing {
    kind: ThingKind::Board,
    row: 0,
    index: None,
    of_part: false,
};

/// What a hand does on board A, in the board's own millimetres, at two millimetres to a pixel.
struct Drawer(Session);

impl Drawer {
    fn of(what: DrawWhat) -> Drawer {
        let mut session = one_board();
        assert!(session.draw(&BOARD, what, None).done);
        session.draw_way(DrawWay::Points);
        Drawer(session)
    }

    /// An outline with nothing drawn yet.
    fn anew() -> Drawer {
        let mut drawer = Drawer::of(DrawWhat::Outline);
        drawer.0.draw_order(DrawOrder::RemoveLine);
        drawer
    }

    fn step(&mut self, step: DrawStep, x: f64, y: f64) {
        let origin = self.0.lying()[0].origin;
        self.0
            .draw_step(step, [origin.x + x, origin.y - y], 2.0, 20.0, false);
    }

    fn tap(&mut self, x: f64, y: f64) {
        self.step(DrawStep::Tap, x, y);
    }

    fn drag(&mut self, through: &[(f64, f64)]) {
        let (first, last) = (through[0], through[through.len() - 1]);
        self.step(DrawStep::Press, first.0, first.1);
        for (x, y) in through {
            self.step(DrawStep::Drag, *x, *y);
        }
        self.step(DrawStep::Release, last.0, last.1);
    }

    fn type_all(&mut self, typed: &[(&str, &str)]) {
        for (first, second) in typed {
            assert_eq!(self.0.draw_typed(first, second), None, "{first} {second}");
        }
    }

    fn lines(&self) -> &[Line] {
        &self.0.drawing.as_ref().unwrap().sketch.figure.lines
    }

    fn seen(&mut self) -> protocol::Drawing {
        self.0.drawing(2.0).unwrap()
    }

    fn take(&mut self) {
        let outcome = self.0.take_drawing();
        assert!(outcome.done, "{:?}", outcome.problem);
    }

    fn refusal(&mut self) -> String {
        let before = self.0.document.clone();
        let outcome = self.0.take_drawing();
        assert!(!outcome.done && self.0.drawing.is_some());
        assert_eq!(self.0.document, before);
        outcome.problem.unwrap()
    }

    fn wood(&self) -> &Region {
        &self.0.job.boards[0].outline
    }
}

#[test]
fn an_outline_is_typed_side_by_side_and_taken_as_one_step() {
    let mut drawer = Drawer::anew();
    let before = drawer.0.document.clone();
    drawer.type_all(&[
        ("0", "0"),
        ("2400", ""),
        ("180", ""),
        ("2400", "180"),
        ("", ""),
    ]);
    assert!(drawer.lines()[0].finished);
    drawer.take();
    let corners = [(0.0, 0.0), (2400.0, 0.0), (2400.0, 180.0), (0.0, 180.0)];
    assert_eq!(
        drawer.wood().outer().points(),
        corners.map(|(x, y)| Point::new(x, y))
    );
    assert!(drawer.0.undo().done);
    assert_eq!(drawer.0.document.boards, before.boards);
}

#[test]
fn taps_jump_to_marks_of_the_rule_and_the_first_point_closes() {
    let mut drawer = Drawer::anew();
    // At two millimetres to a pixel marks are 50 mm apart.
    for (x, y) in [(3.0, -8.0), (1510.0, 20.0), (1490.0, 260.0), (4.0, 2.0)] {
        drawer.tap(x, y);
    }
    assert!(drawer.lines()[0].finished);
    let at: Vec<(f64, f64)> = drawer.lines()[0]
        .nodes
        .iter()
        .map(|n| (n.at.x, n.at.y))
        .collect();
    assert_eq!(at, [(0.0, 0.0), (1500.0, 0.0), (1500.0, 250.0)]);
    // Each point is taken back alone, the closing first.
    for left in [3, 2, 1] {
        assert!(drawer.0.draw_order(DrawOrder::Back));
        assert!(!drawer.lines()[0].finished);
        assert_eq!(drawer.lines()[0].nodes.len(), left);
    }
}

#[test]
fn points_are_moved_added_and_removed_and_other_sides_keep_what_they_are() {
    let mut drawer = Drawer::of(DrawWhat::Outline);
    assert_eq!(drawer.lines()[0].nodes.len(), 4);
    drawer.tap(600.0, -108.0);
    drawer.drag(&[(600.0, -110.0), (600.0, -80.0), (600.0, -52.0)]);
    drawer.0.draw_nudge(0.0, 10.0);
    drawer.0.draw_nudge(0.0, 1.0);
    drawer.take();
    assert_eq!(drawer.wood().outer().points().len(), 5);
    let (low, _) = drawer.wood().outer().span_at(600.0).unwrap();
    assert_eq!(low, -39.0);
    assert!(drawer.0.draw(&BOARD, DrawWhat::Outline, None).done);
    drawer.tap(600.0, -39.0);
    drawer.0.draw_order(DrawOrder::Remove);
    drawer.take();
    assert_eq!(drawer.wood().outer().points().len(), 4);
}

#[test]
fn a_bowed_side_lies_within_the_wood_and_a_twentieth_of_a_millimetre_of_its_arc() {
    for bow in [-60.0, 60.0] {
        let mut drawer = Drawer::anew();
        drawer.type_all(&[
            ("0", "0"),
            ("1000", "0"),
            ("400", "90"),
            ("1000", "180"),
            ("", ""),
        ]);
        drawer.drag(&[(500.0, 0.0), (500.0, -bow / 2.0), (500.0, -bow)]);
        drawer.take();
        let radius = (500.0 * 500.0 + 60.0 * 60.0) / 120.0;
        // Swelling, the middle of the circle lies above; hollow, below.
        let centre = Point::new(500.0, f64::signum(bow) * (radius - 60.0));
        let points = drawer.wood().outer().points().iter();
        let arc: Vec<&Point> = points
            .filter(|p| p.y.abs() < 100.0 && p.x > 0.0 && p.x < 1000.0)
            .collect();
        assert!(arc.len() > 4, "{bow}");
        for p in arc {
            let off = p.distance(centre) - radius;
            match bow > 0.0 {
                true => assert!(off.abs() < 1.1e-3, "{off}"),
                false => assert!((-1e-3..0.051).contains(&off), "{off}"),
            }
        }
        let segment = drawer.wood().area() - 400_000.0;
        assert!(segment * bow > 0.0);
    }
}

#[test]
fn a_line_that_crosses_itself_is_named_with_its_place_and_not_taken() {
    let mut drawer = Drawer::anew();
    for (x, y) in [(0.0, 0.0), (1000.0, 0.0), (0.0, 400.0), (1000.0, 400.0)] {
        drawer.tap(x, y);
    }
    drawer.0.draw_order(DrawOrder::Close);
    let seen = drawer.seen();
    assert!(seen.wrong && seen.svg.contains("draw-wrong"));
    assert_eq!(
        drawer.refusal(),
        "The line crosses itself near 500 mm along and 200 mm across: move a point there, or remove it."
    );
    drawer.drag(&[(0.0, 400.0), (1200.0, 420.0)]);
    drawer.take();
}

#[test]
fn what_is_too_small_or_beside_the_board_is_refused() {
    let mut drawer = Drawer::anew();
    for (x, y) in [(0.0, 0.0), (50.0, 0.0), (0.0, 50.0)] {
        drawer.type_all(&[(&x.to_string(), &y.to_string())]);
        drawer.0.draw_order(DrawOrder::RemoveLine);
    }
    assert!(drawer.refusal().starts_with("There is no outline"));
    drawer.type_all(&[("0", "0"), ("20", "0"), ("20", "90"), ("", "")]);
    assert!(drawer.refusal().starts_with("What is drawn is too small"));
    let mut area = Drawer::of(DrawWhat::Area);
    for (x, y) in [(100.0, 500.0), (300.0, 500.0), (200.0, 700.0)] {
        area.tap(x, y);
    }
    assert!(area.refusal().contains("beside the board"));
}

#[test]
fn a_hole_is_drawn_in_the_board_and_removed_again() {
    let mut drawer = Drawer::of(DrawWhat::Outline);
    drawer.0.draw_order(DrawOrder::Another);
    for (x, y) in [
        (500.0, -50.0),
        (600.0, -50.0),
        (600.0, 50.0),
        (500.0, 50.0),
        (500.0, -50.0),
    ] {
        drawer.tap(x, y);
    }
    drawer.take();
    assert_eq!(drawer.wood().holes().len(), 1);
    let Some(BoardOutline::Polygon { holes, sides, .. }) = &drawer.0.document.boards[0].outline
    else {
        panic!("not by corners")
    };
    assert_eq!(
        (holes.len(), sides.as_slice()),
        (1, [EdgeKind::Raw; 4].as_slice())
    );
    assert!(drawer.0.draw(&BOARD, DrawWhat::Outline, None).done);
    drawer.tap(600.0, 50.0);
    drawer.0.draw_order(DrawOrder::RemoveLine);
    drawer.take();
    assert!(drawer.wood().holes().is_empty());
    // Over the edge it is no hole.
    assert!(drawer.0.draw(&BOARD, DrawWhat::Outline, None).done);
    drawer.0.draw_order(DrawOrder::Another);
    for (x, y) in [
        (500.0, -50.0),
        (600.0, -50.0),
        (600.0, 250.0),
        (500.0, 250.0),
        (500.0, -50.0),
    ] {
        drawer.tap(x, y);
    }
    assert!(drawer.refusal().contains("A hole crosses the outline"));
}

#[test]
fn an_oval_is_kept_as_an_oval_and_drawn_again_as_it_was_measured() {
    let mut drawer = Drawer::of(DrawWhat::Area);
    drawer.0.draw_way(DrawWay::Oval);
    drawer.drag(&[(500.0, -50.0), (560.0, -10.0), (610.0, 48.0)]);
    drawer.type_all(&[("84", "36")]);
    drawer.take();
    let zone = Thing::inner(ThingKind::Zone, 0, 0);
    let around = drawer.0.job.boards[0].zones[0].shape.bounds();
    assert!((around.width() - 84.0).abs() < 1e-6 && (around.height() - 36.0).abs() < 1e-6);
    assert!((around.centre().x - 550.0).abs() < 1e-6 && around.centre().y.abs() < 1e-6);
    assert!(matches!(
        drawer.0.document.boards[0].zones[0].shape,
        Some(ZoneShape::Spot { oval: true, .. })
    ));
    // The form says from where to where; drawn on, it still does.
    assert!(drawer.0.set(&zone, "shape.form", "span").done);
    assert!(drawer.0.draw(&zone, DrawWhat::Area, None).done);
    drawer.drag(&[(592.0, 18.0), (610.0, 30.0)]);
    drawer.take();
    assert!(matches!(
        drawer.0.document.boards[0].zones[0].shape,
        Some(ZoneShape::Span { oval: true, .. })
    ));
    assert_eq!(
        drawer.0.job.boards[0].zones[0].shape.bounds().max,
        Point::new(600.0, 50.0)
    );
}

#[test]
fn grain_is_drawn_by_lines_and_they_are_removed() {
    let mut drawer = Drawer::of(DrawWhat::Grain);
    for (x, y) in [(200.0, 0.0), (700.0, 50.0), (1200.0, 0.0), (1200.0, 0.0)] {
        drawer.tap(x, y);
    }
    drawer.0.draw_way(DrawWay::Freehand);
    drawer.drag(&[
        (200.0, -50.0),
        (400.0, -40.0),
        (600.0, -30.0),
        (800.0, -20.0),
    ]);
    assert_eq!(drawer.lines().len(), 2);
    drawer.take();
    let grain = drawer.0.document.boards[0].grain.clone().unwrap();
    assert_eq!(grain.lines[0], [[200.0, 0.0], [700.0, 50.0], [1200.0, 0.0]]);
    assert_eq!(grain.lines[1], [[200.0, -50.0], [800.0, -20.0]]);
    assert!(drawer.0.job.boards[0].grain.is_bent());
    assert!(drawer.0.draw(&BOARD, DrawWhat::Grain, None).done);
    drawer.tap(200.0, -50.0);
    drawer.0.draw_order(DrawOrder::RemoveLine);
    drawer.take();
    assert_eq!(
        drawer.0.document.boards[0]
            .grain
            .as_ref()
            .unwrap()
            .lines
            .len(),
        1
    );
    assert!(drawer.0.undo().done && drawer.0.undo().done);
    assert_eq!(drawer.0.document.boards[0].grain, None);
}

#[test]
fn a_drawing_whose_board_was_changed_meanwhile_is_not_taken() {
    let mut drawer = Drawer::of(DrawWhat::Outline);
    drawer.drag(&[(2000.0, 120.0), (1900.0, 100.0)]);
    assert!(drawer.0.set(&BOARD, "outline.length", "2100").done);
    assert!(drawer.refusal().contains("changed elsewhere"));
    drawer.0.leave_drawing();
    assert!(!drawer.0.take_drawing().done);
}

/// A stroke round a middle by a hand that trembles; its ends may cross.
fn stroke(chance: &mut Chance) -> Vec<(f64, f64)> {
    let (rx, ry) = (chance.between(200.0, 900.0), chance.between(60.0, 200.0));
    let bumps = chance.between(1.0, 7.0).floor();
    let over = chance.between(-0.02, 0.02);
    let count = 200 + chance.below(300);
    let at = |k: usize, chance: &mut Chance| {
        let turn = k as f64 / count as f64 * (1.0 + over) * 360.0;
        let (sin, cos) = heartside_geometry::math::sin_cos_deg(turn);
        let (wave, _) = heartside_geometry::math::sin_cos_deg(turn * bumps);
        let swell = 1.0 + 0.1 * wave;
        let tremble = chance.between(-1.5, 1.5);
        (
            1000.0 + rx * cos * swell + tremble,
            ry * sin * swell + tremble,
        )
    };
    (0..=count).map(|k| at(k, chance)).collect()
}

/// A board drawn freehand lies within what was drawn and stays back by no more than was told; an area
/// lies round it likewise.
#[test]
fn freehand_is_simplified_on_the_safe_side_by_no_more_than_is_told() {
    let mut taken = 0;
    for seed in 0..60 {
        let mut chance = Chance::new(seed);
        let drawn = stroke(&mut chance);
        let points: Vec<Point> = drawn.iter().map(|(x, y)| Point::new(*x, *y)).collect();
        for what in [DrawWhat::Outline, DrawWhat::Area] {
            let mut drawer = match what {
                DrawWhat::Outline => Drawer::anew(),
                _ => Drawer::of(what),
            };
            drawer.0.draw_way(DrawWay::Freehand);
            drawer.drag(&drawn);
            let Some(line) = drawer.lines().first().cloned() else {
                continue;
            };
            assert!(line.finished, "seed {seed}");
            let told = drawer.seen().sentence;
            assert!(
                told.contains("2.0 mm") && told.contains("your line"),
                "{told}"
            );
            assert!(
                line.nodes.len() * 3 < drawn.len() * 2,
                "seed {seed}: {told}"
            );
            let ring = Ring::new(line.nodes.iter().map(|n| n.at).collect()).unwrap();
            if let Ok(whole) = Ring::new(points.clone()) {
                let (inner, outer) = match what {
                    DrawWhat::Outline => (ring.clone(), whole),
                    _ => (whole, ring.clone()),
                };
                let [inner, outer] = [inner, outer]
                    .map(|r| heartside_geometry::PreparedRegion::new(Region::from_ring(r)));
                let least = heartside_geometry::protrusion(&inner, &outer).amount;
                assert!(least > -1e-6, "seed {seed}: {least}");
            }
            for node in &line.nodes {
                let sides = points.iter().zip(points.iter().cycle().skip(1));
                let off = sides
                    .map(|(a, b)| node.at.distance_to_segment(*a, *b))
                    .fold(f64::INFINITY, f64::min);
                assert!(off <= 2.0 + 1e-6, "seed {seed}: {off}");
            }
            if what == DrawWhat::Outline {
                let hull = Ring::new(convex_hull(&points)).unwrap();
                let region = Region::from_ring(hull);
                let inside = |p: &Point| region.contains(*p) || hull_is_near(&region, *p);
                assert!(line.nodes.iter().all(|n| inside(&n.at)), "seed {seed}");
                drawer.take();
                taken += 1;
            }
        }
    }
    assert!(taken > 50, "{taken}");
}

fn hull_is_near(region: &Region, p: Point) -> bool {
    region
        .edges()
        .any(|(a, b)| p.distance_to_segment(a, b) < 1e-6)
}

/// Whatever the hand does: taking every step back gives the lines that were there; what is taken is a
/// board that can be used, and undone it is as before; what is not taken is told.
#[test]
fn any_order_of_work_is_taken_back_and_what_is_taken_is_sound() {
    let orders = [
        DrawOrder::Close,
        DrawOrder::Another,
        DrawOrder::Remove,
        DrawOrder::RemoveLine,
        DrawOrder::Next,
        DrawOrder::Before,
        DrawOrder::Snap,
        DrawOrder::Forward,
        DrawOrder::Back,
    ];
    let ways = [
        DrawWay::Points,
        DrawWay::Freehand,
        DrawWay::Oval,
        DrawWay::FromMiddle,
    ];
    let steps = [
        DrawStep::Hover,
        DrawStep::Press,
        DrawStep::Drag,
        DrawStep::Release,
        DrawStep::GiveUp,
    ];
    let (mut taken, mut refused) = (0, 0);
    for seed in 0..150 {
        let mut chance = Chance::new(seed);
        let what = *chance.one_of(&[DrawWhat::Outline, DrawWhat::Area, DrawWhat::Grain]);
        let mut drawer = Drawer::of(what);
        let before = drawer.0.document.clone();
        let first = drawer.lines().to_vec();
        for _ in 0..chance.below(30) {
            let at = |chance: &mut Chance| {
                (chance.between(-50.0, 2050.0), chance.between(-130.0, 130.0))
            };
            let (x, y) = at(&mut chance);
            match chance.below(8) {
                0..=2 => drawer.tap(x, y),
                3 => {
                    let through: Vec<(f64, f64)> =
                        (0..2 + chance.below(12)).map(|_| at(&mut chance)).collect();
                    drawer.drag(&through);
                }
                4 => {
                    let order = *chance.one_of(&orders);
                    drawer.0.draw_order(order);
                }
                5 => {
                    let way = *chance.one_of(&ways);
                    drawer.0.draw_way(way);
                }
                6 => {
                    let typed = *chance.one_of(&[
                        ("", ""),
                        ("120", ""),
                        ("", "45"),
                        ("-3", "x"),
                        ("300", "90"),
                    ]);
                    drawer.0.draw_typed(typed.0, typed.1);
                    drawer.0.draw_nudge(1.0, -10.0);
                }
                _ => {
                    let step = *chance.one_of(&steps);
                    drawer.step(step, x, y);
                }
            }
            let seen = drawer.seen();
            assert!(
                !seen.sentence.is_empty() && !seen.svg.contains("NaN"),
                "seed {seed}"
            );
        }
        let mut again = Drawer(one_board());
        again.0.drawing.clone_from(&drawer.0.drawing);
        while again.0.draw_order(DrawOrder::Back) {}
        assert_eq!(again.lines(), first, "seed {seed}");
        let outcome = drawer.0.take_drawing();
        if outcome.done {
            taken += 1;
            assert_eq!(drawer.0.job.boards.len(), 1, "seed {seed}");
            if drawer.0.document != before {
                assert!(drawer.0.undo().done);
            }
            assert_eq!(drawer.0.document.boards, before.boards, "seed {seed}");
        } else {
            refused += 1;
            assert!(!outcome.problem.unwrap().is_empty(), "seed {seed}");
            assert_eq!(drawer.0.document, before, "seed {seed}");
        }
    }
    assert!(
        taken > 20 && refused > 10,
        "{taken} taken, {refused} refused"
    );
}
