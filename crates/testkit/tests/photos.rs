//! Photographs of boards are what they are said to be.

use heartside_geometry::{Point, Vector, math};
use heartside_testkit::{
    FlawKind, Ground, PhotoSettings, RealBoard, board_photo, photo_marks, straight_photo,
};

fn area(outline: &[Point]) -> f64 {
    let next = outline.iter().cycle().skip(1);
    let doubled: f64 = outline
        .iter()
        .zip(next)
        .map(|(a, b)| a.x * b.y - a.y * b.x)
        .sum();
    0.5 * doubled
}

#[test]
fn a_camera_finds_back_what_it_sees() {
    for seed in 0..60 {
        let settings = PhotoSettings {
            bend: if seed % 2 == 0 { 0.0 } else { -0.04 },
            size: if seed % 3 == 0 {
                [1200, 1600]
            } else {
                [1600, 1200]
            },
            ..PhotoSettings::default()
        };
        let (camera, marks) = photo_marks(seed, &settings);
        for mark in &marks {
            let spot = camera.spot_of(mark.place);
            assert!(
                camera.place_of(spot).distance(mark.place) < 1e-6,
                "seed {seed}"
            );
            assert!((spot.x - mark.seen.x).abs() <= 0.5 && (spot.y - mark.seen.y).abs() <= 0.5);
        }
        for (x, y) in [(0.0, 0.0), (2000.0, 0.0), (2000.0, 180.0), (0.0, 180.0)] {
            let spot = camera.spot_of(Point::new(x, y));
            let [columns, rows] = settings.size.map(f64::from);
            assert!(
                (0.0..columns).contains(&spot.x) && (0.0..rows).contains(&spot.y),
                "seed {seed}"
            );
        }
    }
}

#[test]
fn boards_have_flaws_of_all_kinds_within_their_outline() {
    let mut counts = [0; 4];
    for seed in 0..80 {
        let board = RealBoard::new(seed, 2400.0, 200.0);
        let share = area(&board.outline) / (2400.0 * 200.0);
        assert!((0.7..=1.0).contains(&share), "seed {seed}: {share}");
        for flaw in &board.flaws {
            counts[flaw.kind as usize] += 1;
            assert!(
                area(&flaw.outline) > 0.0,
                "seed {seed}: {:?} runs the wrong way",
                flaw.kind
            );
            let is_near =
                |p: &Point| (-5.0..=2405.0).contains(&p.x) && (-5.0..=205.0).contains(&p.y);
            assert!(flaw.outline.iter().all(is_near), "seed {seed}: {flaw:?}");
        }
    }
    println!("knots, splits, bark, sapwood: {counts:?}");
    assert!(counts.iter().all(|&n| n >= 20), "{counts:?}");
}

#[test]
fn the_figure_runs_as_the_grain_is_told() {
    // Along the grain the picture changes less than in any other direction.
    for seed in [1, 5, 9] {
        let board = RealBoard::new(seed, 800.0, 160.0);
        let picture = straight_photo(seed, Ground::Concrete, &board, 0.5, 0.0);
        let level = |p: Point| {
            let column = (p.x / 0.5) as u32;
            let row = picture.picture.height - 1 - (p.y / 0.5) as u32;
            let at = 3 * (row * picture.picture.width + column) as usize;
            f64::from(picture.picture.rgb[at])
        };
        let is_clear = |p: Point| {
            board
                .flaws
                .iter()
                .filter(|f| f.kind != FlawKind::Sapwood)
                .all(|f| f.outline.iter().all(|q| q.distance(p) > 30.0))
        };
        let mut change = [0.0; 9];
        for k in 0..4000 {
            let p = Point::new(
                60.0 + f64::from(k % 80) * 8.0,
                40.0 + f64::from(k / 80) * 1.6,
            );
            if !is_clear(p) {
                continue;
            }
            for (n, sum) in change.iter_mut().enumerate() {
                let angle = math::to_radians(board.grain_at(p) + 4.0 * (n as f64 - 4.0));
                let along = Vector::new(math::cos(angle), math::sin(angle)) * 20.0;
                *sum += (level(p + along) - level(p)).abs();
            }
        }
        let least = (0..9).min_by(|&a, &b| change[a].total_cmp(&change[b]));
        assert_eq!(least, Some(4), "seed {seed}: {change:.0?}");
    }
}

#[test]
fn a_seed_gives_one_picture_and_grounds_differ() {
    let of = |ground| {
        let settings = PhotoSettings {
            ground,
            size: [160, 120],
            ..PhotoSettings::default()
        };
        board_photo(3, &settings).picture
    };
    let pictures = Ground::ALL.map(of);
    assert_eq!(pictures[0], of(Ground::ALL[0]));
    for (k, picture) in pictures.iter().enumerate() {
        assert!(pictures[..k].iter().all(|p| p != picture));
    }
}
