//! Maps of rendered boards, held against what is true of them and against each other.

#![allow(clippy::unwrap_used, clippy::print_stdout)]

use std::rc::Rc;

use heartside_figure::TruePicture;
use heartside_figure::map::{CannotMap, Cells, FigureMap, Layer, Mapping};
use heartside_geometry::{Location, Point, Ring};
use heartside_testkit::{FlawKind, Ground, RealBoard, straight_photo};

const LENGTH: f64 = 900.0;
const WIDTH: f64 = 240.0;
const SEEDS: [u32; 5] = [2, 3, 5, 8, 13];

fn photo(board: &RealBoard, seed: u32, pixel: f64) -> TruePicture {
    straight_photo(seed, Ground::Concrete, board, pixel, 40.0)
}

fn mapped(photo: TruePicture, outline: &Ring, rows: usize) -> FigureMap {
    let mut mapping = Mapping::new(Rc::new(photo), outline, Cells::default()).unwrap();
    while !mapping.step(rows) {}
    mapping.finish().unwrap()
}

fn outline(board: &RealBoard) -> Ring {
    Ring::new(board.outline.clone()).unwrap()
}

/// Every place where both layers know something: the two levels, the second read at a place of its own.
fn both(one: &Layer, other: &Layer, there: impl Fn(Point) -> Point) -> Vec<(f64, f64)> {
    let places = (0..one.levels.len()).map(|at| one.middle(at));
    let places = places.map(|p| Point::new(p.x + 0.25, p.y + 0.25));
    places
        .filter_map(|p| Some((one.at(p)?, other.at(there(p))?)))
        .collect()
}

fn mean_off(pairs: &[(f64, f64)]) -> f64 {
    assert!(pairs.len() > 100, "{} places are known", pairs.len());
    pairs.iter().map(|(a, b)| (a - b).abs()).sum::<f64>() / pairs.len() as f64
}

/// Light that falls off to the right and upwards, as from a window.
fn lit(mut photo: TruePicture, share: f64) -> TruePicture {
    let (width, height) = (photo.picture.width as usize, photo.picture.height as usize);
    for (at, byte) in photo.picture.rgb.iter_mut().enumerate() {
        let (x, y) = (at / 3 % width, at / 3 / width);
        let along = x as f64 / width as f64;
        let up = 1.0 - y as f64 / height as f64;
        let light = 1.0 - share * (0.9 * along + 0.1 * up);
        *byte = (f64::from(*byte) * light).round() as u8;
    }
    photo
}

#[test]
fn a_map_is_the_same_however_the_light_falls_and_the_board_lies() {
    for seed in SEEDS {
        let board = RealBoard::new(seed, LENGTH, WIDTH);
        let photo = photo(&board, seed, 1.0);
        let outline = outline(&board);
        let map = mapped(photo.clone(), &outline, usize::MAX);
        assert_eq!(map, mapped(photo.clone(), &outline, 7), "by other steps");

        let dark = mapped(lit(photo.clone(), 0.3), &outline, usize::MAX);
        let same = |p: Point| p;
        let light = mean_off(&both(&map.light, &dark.light, same));
        let strength = mean_off(&both(&map.strength, &dark.strength, same));
        println!("{seed}: light off by {light:.2}, strength by {strength:.2} where it is darker");
        assert!(light < 2.0 && strength < 8.0);

        // Turned half round.
        let mut turned = photo.clone();
        let pixels: Vec<[u8; 3]> = photo
            .picture
            .rgb
            .chunks_exact(3)
            .map(|p| [p[0], p[1], p[2]])
            .collect();
        turned.picture.rgb = pixels.iter().rev().flatten().copied().collect();
        let size = [photo.picture.width, photo.picture.height].map(f64::from);
        turned.origin = [0, 1].map(|k| -photo.origin[k] - size[k] * photo.pixel);
        let opposite = |p: Point| Point::new(-p.x, -p.y);
        let round = Ring::new(board.outline.iter().map(|&p| opposite(p)).collect()).unwrap();
        let turned = mapped(turned, &round, usize::MAX);
        for (one, other, most) in [
            (&map.light, &turned.light, 0.5),
            (&map.strength, &turned.strength, 0.5),
            (&map.direction, &turned.direction, 0.5),
            (&map.sapwood, &turned.sapwood, 2.0),
        ] {
            let off = mean_off(&both(one, other, opposite));
            assert!(off < most, "{seed}: {off:.2} levels");
        }
    }
}

#[test]
fn the_direction_is_that_of_the_grain() {
    let mut off = Vec::new();
    for seed in SEEDS {
        let board = RealBoard::new(seed, LENGTH, WIDTH);
        let map = mapped(photo(&board, seed, 1.0), &outline(&board), usize::MAX);
        let knots: Vec<Ring> = board
            .flaws
            .iter()
            .filter(|f| f.kind == FlawKind::Knot || f.kind == FlawKind::Bark)
            .map(|f| Ring::new(f.outline.clone()).unwrap())
            .collect();
        for (at, &level) in map.direction.levels.iter().enumerate() {
            let middle = map.direction.middle(at);
            let is_clear = knots.iter().all(|k| {
                k.locate(middle) == Location::Outside && k.bounds().centre().distance(middle) > 40.0
            });
            if level > 0 && is_clear {
                let told = (f64::from(level) - 128.0) * 90.0 / 127.0;
                off.push((told - board.grain_at(middle)).abs());
            }
        }
    }
    off.sort_by(f64::total_cmp);
    let (median, most) = (off[off.len() / 2], off[off.len() * 9 / 10]);
    println!(
        "{} cells: off by {median:.2} degrees, nine in ten by less than {most:.2}",
        off.len()
    );
    assert!(off.len() > 1000 && median < 1.5 && most < 4.0);
}

#[test]
fn sapwood_is_told_where_it_is_and_never_invented() {
    let (mut seen, mut there, mut boards) = (0.0, 0.0, 0);
    for seed in 20..32 {
        let board = RealBoard::new(seed, 700.0, 200.0);
        let outline = outline(&board);
        let map = mapped(photo(&board, seed, 1.0), &outline, usize::MAX);
        let sapwood = board.flaws.iter().find(|f| f.kind == FlawKind::Sapwood);
        let truth = sapwood.map(|f| Ring::new(f.outline.clone()).unwrap());
        let share = |told: &dyn Fn(usize) -> f64| {
            let known: Vec<usize> = (0..map.sapwood.levels.len())
                .filter(|&at| map.sapwood.levels[at] > 0)
                .collect();
            known.iter().map(|&at| told(at)).sum::<f64>() / known.len() as f64
        };
        let told = share(&|at| f64::from(map.sapwood.levels[at] - 1) / 254.0);
        let truth = truth.map_or(0.0, |ring| {
            share(&|at| {
                f64::from(u8::from(
                    ring.locate(map.sapwood.middle(at)) != Location::Outside,
                ))
            })
        });
        println!("{seed}: {:.0} % of {:.0} %", 100.0 * told, 100.0 * truth);
        assert!(truth > 0.0 || told < 0.02, "{seed}: sapwood invented");
        assert!(told < truth + 0.05, "{seed}: too much sapwood");
        if truth > 0.0 {
            boards += 1;
            there += truth;
            seen += told;
        }
    }
    println!(
        "{boards} boards with sapwood: {:.0} % of it seen",
        100.0 * seen / there
    );
    assert!(boards > 3 && seen > 0.75 * there);
}

#[test]
fn what_gives_no_map_is_said() {
    let board = RealBoard::new(1, 300.0, 100.0);
    let outline = outline(&board);
    let coarse = Rc::new(photo(&board, 1, 2.2));
    let why = Mapping::new(coarse, &outline, Cells::default()).unwrap_err();
    assert_eq!(
        why,
        CannotMap::TooCoarse {
            pixel: 2.2,
            most: 2.0
        }
    );
    assert!(why.to_string().contains("2.2 mm"));
    let mut other = photo(&board, 1, 1.0);
    other.origin = [5000.0, 0.0];
    let why = Mapping::new(Rc::new(other.clone()), &outline, Cells::default()).unwrap_err();
    assert_eq!(why, CannotMap::Elsewhere);
    other.picture.rgb.pop();
    let why = Mapping::new(Rc::new(other), &outline, Cells::default()).unwrap_err();
    assert_eq!(why, CannotMap::NotAPicture);
    let picture = Rc::new(photo(&board, 1, 1.0));
    for cells in [(0.0, 20.0), (f64::NAN, 20.0), (4.0, 2.0)] {
        let cells = Cells {
            fine: cells.0,
            coarse: cells.1,
        };
        assert!(Mapping::new(Rc::clone(&picture), &outline, cells).is_err());
    }
}

/// How long it takes: `HEARTSIDE_TIMES=1 cargo test -p heartside-figure --test all -- --nocapture mapping::time`.
#[test]
fn time_of_a_wide_board() {
    if std::env::var_os("HEARTSIDE_TIMES").is_none() {
        return;
    }
    let board = RealBoard::new(4, 2500.0, 300.0);
    let photo = photo(&board, 4, 0.5);
    let before = std::time::Instant::now();
    let map = mapped(photo, &outline(&board), 64);
    println!("{:?}, {} cells", before.elapsed(), map.light.levels.len());
}
