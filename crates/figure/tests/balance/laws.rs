//! What holds of every face.

use heartside_figure::balance::{
    Answer, CELL, Face, Measure, Measured, Mosaic, Sapwood, Spread, Tile, Wish, measure, worth,
};
use heartside_figure::map::{FigureMap, Layer};
use heartside_geometry::{Bounds, Point, Pose};
use heartside_testkit::{FiguredWood, Taking};
use proptest::prelude::*;

use crate::balance::faces::{HALF, LENGTH, UP, halves, over, piece, single};

fn value(all: &[Measured], measure: Measure) -> Option<f64> {
    all.iter().find(|m| m.measure == measure).unwrap().value
}

/// Wood with sapwood on one edge and a lively place off the middle: every measure has something to say.
fn lopsided(seed: u32) -> FiguredWood {
    let mut wood = FiguredWood::new(seed);
    wood.sapwood[0] = 50.0;
    wood.paler = 15.0;
    wood.patches
        .push((Point::new(300.0, 130.0), [260.0, 110.0], 0.6));
    wood
}

fn close(one: &[Measured], other: &[Measured], within: f64) {
    for (a, b) in one.iter().zip(other) {
        let [x, y] = [a.value, b.value].map(|v| v.unwrap_or(-1.0));
        assert!((x - y).abs() <= within, "{:?}: {x} and {y}", a.measure);
    }
}

#[test]
fn a_mirrored_face_measures_the_same() {
    for seed in 1..4 {
        let whole = piece(0.0, 0.0, LENGTH, 2.0 * HALF);
        let map = lopsided(seed).map(whole, false, &Taking::default());
        let mirrored = over(&map, 2.0 * HALF);
        let (maps, mut face) = single(map);
        let once = measure(&maps, &face);
        close(&once, &measure(&[mirrored], &face), 0.01);
        // Turned end for end as a whole it is the same face from the other side of the table.
        face.tiles[0].to_map = Pose::new(LENGTH, 2.0 * HALF, 180.0);
        close(&once, &measure(&maps, &face), 0.01);
        assert!(
            once[..6].iter().filter(|m| m.value.is_some()).count() == 5,
            "{once:?}"
        );
    }
}

#[test]
fn moving_both_halves_alike_changes_little() {
    let wood = lopsided(5);
    let half = piece(0.0, 0.0, LENGTH + 60.0, HALF);
    let taking = Taking::default();
    let (maps, mut face) = halves(
        wood.map(half, false, &taking),
        wood.map(half, true, &taking),
        UP,
    );
    let before = measure(&maps, &face);
    for tile in &mut face.tiles {
        tile.to_map.x += 37.0;
    }
    close(&before, &measure(&maps, &face), 0.1);
}

#[test]
fn cells_of_face_and_map_matter_little() {
    let whole = piece(0.0, 0.0, LENGTH, 2.0 * HALF);
    let of = |cell: f64| {
        let taking = Taking {
            cell,
            ..Taking::default()
        };
        single(lopsided(7).map(whole, false, &taking))
    };
    let (maps, face) = of(4.0);
    let once = measure(&maps, &face);
    close(
        &once,
        &Mosaic::new(&maps, &face, 1.25 * CELL).measure(),
        0.1,
    );
    let (maps, face) = of(5.0);
    close(&once, &measure(&maps, &face), 0.1);
}

/// A map of one level everywhere.
fn flat(level: u8) -> FigureMap {
    let layer = |cell: f64| {
        let [columns, rows] = [LENGTH, 2.0 * HALF].map(|s| (s / cell) as usize);
        Layer {
            cell,
            origin: [0.0; 2],
            columns,
            levels: vec![level; columns * rows],
        }
    };
    FigureMap {
        light: layer(4.0),
        sapwood: Layer {
            levels: vec![1; layer(4.0).levels.len()],
            ..layer(4.0)
        },
        strength: layer(20.0),
        direction: layer(20.0),
        wanted: Layer::default(),
    }
}

#[test]
fn a_face_of_one_colour_is_perfect_but_has_no_middle() {
    let all = {
        let (maps, face) = single(flat(90));
        measure(&maps, &face)
    };
    for one in [
        Measure::Mirror,
        Measure::Even,
        Measure::Sapwood,
        Measure::Heartwood,
    ] {
        assert_eq!(value(&all, one), Some(1.0), "{one:?}");
    }
    for none in [Measure::Middle, Measure::RunOn, Measure::Wanted] {
        assert_eq!(value(&all, none), None, "{none:?}");
    }
    assert!(all.iter().all(|m| m.lost.is_empty()));
}

#[test]
fn what_was_not_seen_is_not_measured() {
    let whole = piece(0.0, 0.0, LENGTH, 2.0 * HALF);
    let map = lopsided(3).map(whole, false, &Taking::default());
    let (maps, face) = single(map.clone());
    let none = |maps: &[FigureMap], face: &Face, but: &[Measure]| {
        for m in measure(maps, face) {
            assert_eq!(
                m.value.is_some(),
                but.contains(&m.measure),
                "{:?}",
                m.measure
            );
        }
    };
    // No map, a map that is not there, one of another place, a face without a size.
    let with = |change: &dyn Fn(&mut Face)| {
        let mut face = face.clone();
        change(&mut face);
        face
    };
    none(&maps, &with(&|f| f.tiles[0].map = None), &[]);
    none(&maps, &with(&|f| f.tiles[0].map = Some(7)), &[]);
    none(&maps, &with(&|f| f.tiles[0].to_map.x = 5000.0), &[]);
    none(&maps, &with(&|f| f.size = [0.0, f64::NAN]), &[]);
    none(&maps, &with(&|f| f.tiles.clear()), &[]);
    // Half of it seen.
    none(&maps, &with(&|f| f.tiles[0].seen.max.x = 0.5 * LENGTH), &[]);
    // Light too coarse to tell a joint: what needs none is still measured.
    let mut coarse = map.clone();
    coarse.light = coarse.strength.clone();
    let rest = [
        Measure::Even,
        Measure::Middle,
        Measure::Sapwood,
        Measure::Heartwood,
    ];
    none(&[coarse], &face, &rest);
    // Zones alone, without a photograph.
    let mut zones = map;
    zones.light = Layer::default();
    none(&[zones], &face, &rest);
}

#[test]
fn where_it_is_lost_is_where_it_is_wrong() {
    let whole = piece(0.0, 0.0, LENGTH, 2.0 * HALF);
    let (maps, face) = single(lopsided(3).map(whole, false, &Taking::default()));
    let all = measure(&maps, &face);
    let lost = |measure: Measure| all.iter().find(|m| m.measure == measure).unwrap().lost[0].0;
    assert!(lost(Measure::Sapwood).max.y < 100.0);
    assert!(lost(Measure::Heartwood).max.y < 100.0);
    // A lively end and a plain middle: both are pointed at.
    let mut ended = FiguredWood::new(3);
    ended
        .patches
        .push((Point::new(0.0, HALF), [300.0, 150.0], 0.7));
    let (ended, _) = single(ended.map(whole, false, &Taking::default()));
    let ended = measure(&ended, &face);
    let middle = &ended
        .iter()
        .find(|m| m.measure == Measure::Middle)
        .unwrap()
        .lost;
    assert!(
        middle[0].0.min.x == 0.0 && middle[0].0.max.x < 400.0,
        "{middle:?}"
    );
    // A dark square in the upper half alone.
    let mut stained = flat(128);
    let columns = stained.light.columns;
    for row in 75..90 {
        stained.light.levels[row * columns + 100..row * columns + 125].fill(60);
    }
    let stained = measure(&[stained], &face);
    let mirror = &stained[0].lost;
    assert!(
        mirror.iter().any(|(b, _)| {
            b.min.x < 450.0 && b.max.x > 450.0 && b.min.y <= 300.0 && b.max.y >= 340.0
        }),
        "{mirror:?}"
    );
    assert!(value(&stained, Measure::Mirror).unwrap() < 0.5);
}

#[test]
fn an_end_that_is_paler_is_not_even() {
    let whole = piece(0.0, 0.0, LENGTH, 2.0 * HALF);
    let even = |wood: &FiguredWood| {
        let (maps, face) = single(wood.map(whole, false, &Taking::default()));
        value(&measure(&maps, &face), Measure::Even).unwrap()
    };
    for seed in 1..5 {
        let alike = FiguredWood::new(seed);
        let mut pale = alike.clone();
        pale.paler = 35.0;
        let mut wild = alike.clone();
        wild.patches
            .push((Point::new(0.0, HALF), [500.0, 300.0], 0.7));
        assert!(even(&alike) > 0.7 && even(&alike) > even(&pale) + 0.15);
        assert!(even(&alike) > even(&wild) + 0.15);
    }
}

#[test]
fn wanted_wood_that_is_seen_counts_for_it_and_unwanted_against() {
    let mut map = flat(100);
    map.wanted = Layer {
        levels: vec![128; map.light.levels.len()],
        ..map.light.clone()
    };
    let wanted = |map: &FigureMap, x: f64| {
        let (maps, mut face) = single(map.clone());
        face.tiles[0].seen.max.x = 600.0;
        face.size[0] = 600.0;
        face.tiles[0].to_map.x = x;
        value(&measure(&maps, &face), Measure::Wanted)
    };
    assert_eq!(wanted(&map, 0.0), None);
    let columns = map.light.columns;
    let paint = |map: &mut FigureMap, level: u8| {
        for row in 40..60 {
            map.wanted.levels[row * columns + 30..row * columns + 90].fill(level);
        }
    };
    paint(&mut map, 255);
    assert!(wanted(&map, 0.0).unwrap() > 0.95 && wanted(&map, 600.0).unwrap() < 0.05);
    let half = wanted(&map, 240.0).unwrap();
    assert!((0.4..0.6).contains(&half), "{half}");
    paint(&mut map, 1);
    assert!(wanted(&map, 0.0).unwrap() < 0.35 && wanted(&map, 600.0).unwrap() > 0.95);
}

fn any_layer() -> impl Strategy<Value = Layer> {
    let odd = prop_oneof![
        Just(4.0),
        Just(20.0),
        Just(0.0),
        Just(-3.0),
        Just(f64::NAN),
        Just(f64::INFINITY),
        0.5..60.0
    ];
    let origin = prop_oneof![Just(0.0), Just(f64::NAN), Just(-1e300), -200.0..200.0];
    (
        odd,
        [origin.clone(), origin],
        0usize..40,
        prop::collection::vec(any::<u8>(), 0..900),
    )
        .prop_map(|(cell, origin, columns, levels)| Layer {
            cell,
            origin,
            columns,
            levels,
        })
}

fn any_number() -> impl Strategy<Value = f64> {
    prop_oneof![4 => -50.0..400.0, 1 => Just(f64::NAN), 1 => Just(f64::INFINITY), 1 => Just(1e300)]
}

fn any_tile() -> impl Strategy<Value = Tile> {
    let corner = || [0.0..250.0, 0.0..150.0].prop_map(|[x, y]| Point::new(x, y));
    let number = any_number;
    (
        corner(),
        corner(),
        any::<bool>(),
        prop::option::of(0usize..3),
        [number(), number(), number()],
    )
        .prop_map(|(a, b, odd, map, [x, y, turn])| Tile {
            seen: if odd {
                Bounds {
                    min: a,
                    max: Point::new(turn, x),
                }
            } else {
                Bounds::new(a, b)
            },
            map,
            to_map: Pose::new(x, y, turn),
        })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    /// Whatever a file holds: from 0 to 1 or none, at most five places, all on the face; and changing tiles one by one comes to
    /// the same as sampling them all.
    #[test]
    fn random_bytes_give_no_false_measure(
        layers in prop::collection::vec([any_layer(), any_layer(), any_layer(), any_layer(), any_layer()], 0..3),
        tiles in prop::collection::vec(any_tile(), 0..5),
        other in any_tile(),
        size in [prop_oneof![9 => 20.0..250.0, 1 => any_number()], prop_oneof![9 => 20.0..150.0, 1 => any_number()]],
    ) {
        let maps: Vec<FigureMap> = layers
            .into_iter()
            .map(|[light, sapwood, strength, direction, wanted]| FigureMap { light, sapwood, strength, direction, wanted })
            .collect();
        let mut face = Face { size, tiles };
        let all = measure(&maps, &face);
        for m in &all {
            prop_assert!(m.value.is_none_or(|v| (0.0..=1.0).contains(&v)), "{m:?}");
            prop_assert!(m.lost.len() <= 5);
            for (place, share) in &m.lost {
                prop_assert!((0.0..=1.0 + 1e-9).contains(share), "{m:?}");
                prop_assert!(place.min.x >= 0.0 && place.max.x <= size[0] * (1.0 + 1e-9), "{m:?}");
                prop_assert!(place.min.y >= 0.0 && place.max.y <= size[1] * (1.0 + 1e-9), "{m:?}");
            }
        }
        for answer in [Answer::Any, Answer::Mirror, Answer::RunOn] {
            for spread in [Spread::Any, Spread::Middle, Spread::Even] {
                for sapwood in [Sapwood::Any, Sapwood::Both, Sapwood::None] {
                    let wish = Wish { answer, spread, sapwood };
                    let of = worth(&all, &wish);
                    prop_assert!((0.0..=1.0).contains(&of));
                    prop_assert_eq!(of, Mosaic::new(&maps, &face, CELL).worth(&wish));
                }
            }
        }
        // Tiles that lie over each other are as the last one put there has it.
        if let Some(last) = face.tiles.last_mut() {
            let mut mosaic = Mosaic::new(&maps, &Face { size, tiles: vec![*last] }, CELL);
            let seen = last.seen;
            *last = Tile { seen, ..other };
            mosaic.put(&maps, 0, *last);
            let anew = Mosaic::new(&maps, &Face { size, tiles: vec![*last] }, CELL);
            prop_assert_eq!(mosaic.measure(), anew.measure());
        }
    }
}
