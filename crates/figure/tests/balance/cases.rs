//! Sixty faces beside sixty worse ones, which people tell apart at once.

use heartside_figure::balance::{Answer, Sapwood, Spread, Wish, measure, worth};
use heartside_geometry::{Point, Pose};
use heartside_testkit::{Chance, FiguredWood, RealBoard, Taking};

use crate::balance::faces::{
    END_FOR_END, HALF, LENGTH, Side, UP, halves, over, piece, rendered, shifted, single,
};

/// A case that people see at once: the better face, the worse one, and what counts.
fn case(kind: usize, seed: u32) -> (Side, Side, Wish) {
    let mut chance = Chance::new(seed * 97 + kind as u32);
    let chance = &mut chance;
    let wish = Wish::default();
    let (mirror, run_on) = (
        Wish {
            answer: Answer::Mirror,
            ..wish
        },
        Wish {
            answer: Answer::RunOn,
            ..wish
        },
    );
    let middle = Wish {
        spread: Spread::Middle,
        ..wish
    };
    let both = Wish {
        sapwood: Sapwood::Both,
        ..wish
    };
    // Two photographs: noise and light of their own.
    let taking = Taking {
        noise: chance.between(1.0, 7.0),
        fall_off: chance.between(0.0, 14.0),
        seed,
        ..Taking::default()
    };
    let other = Taking {
        noise: chance.between(1.0, 7.0),
        fall_off: chance.between(-14.0, 14.0),
        seed: seed + 1000,
        ..Taking::default()
    };
    let mut wood = FiguredWood::new(seed * 13 + kind as u32);
    wood.lively = chance.between(0.05, 0.3);
    let half = piece(0.0, 0.0, LENGTH + 400.0, HALF);
    let whole = piece(0.0, 0.0, LENGTH, 2.0 * HALF);
    let pair = |wood: &FiguredWood, other_wood: &FiguredWood, pose: Pose| {
        halves(
            wood.map(half, false, &taking),
            other_wood.map(half, true, &other),
            pose,
        )
    };
    let deep = chance.between(25.0, 90.0);
    match kind {
        // Sapwood on one edge, against both edges and against none.
        0 | 1 => {
            let mut one = wood.clone();
            one.sapwood[0] = deep;
            let mut better = wood.clone();
            if kind == 0 {
                better.sapwood = [deep, 2.0 * HALF - deep * chance.between(0.8, 1.2)];
            }
            let map = |w: &FiguredWood| single(w.map(whole, false, &taking));
            (map(&better), map(&one), both)
        }
        // Sapwood at the joint, against at the edges.
        2 => {
            let mut wood = wood;
            wood.sapwood[0] = deep;
            let inside = Pose::new(0.0, -HALF, 0.0);
            let (maps, mut face) = pair(&wood, &wood, inside);
            let better = (maps.clone(), face.clone());
            // Both halves turned end for end: each edge goes to the joint.
            face.tiles[0].to_map = Pose::new(LENGTH, HALF, 180.0);
            face.tiles[1].to_map = END_FOR_END;
            (better, (maps, face), both)
        }
        // A plain middle against a lively one; a lively place cut off at an end against one in the middle.
        3 | 4 => {
            let mut better = wood.clone();
            let place = Point::new(
                0.5 * LENGTH + chance.between(-120.0, 120.0),
                HALF + chance.between(-50.0, 50.0),
            );
            let size = [chance.between(220.0, 450.0), chance.between(90.0, 200.0)];
            better.patches.push((place, size, 0.6));
            let mut worse = wood.clone();
            if kind == 3 {
                worse.lively = 0.5;
                worse.patches.push((place, size, -0.6));
            } else {
                let end = *chance.one_of(&[0.0, LENGTH]);
                let end = Point::new(end, HALF + chance.between(-150.0, 150.0));
                worse.patches.push((end, size, 0.6));
            }
            let map = |w: &FiguredWood| single(w.map(whole, false, &taking));
            (map(&better), map(&worse), middle)
        }
        // One half turned end for end, shifted, or dark beside a light one, against mirrored.
        5 => (
            pair(&wood, &wood, UP),
            pair(&wood, &wood, END_FOR_END),
            mirror,
        ),
        6 => {
            let by = chance.between(60.0, 400.0);
            (
                pair(&wood, &wood, UP),
                pair(&wood, &wood, shifted(by)),
                mirror,
            )
        }
        7 => {
            let mut pale = wood.clone();
            pale.tone = chance.between(22.0, 45.0);
            (pair(&wood, &wood, UP), pair(&wood, &pale, UP), mirror)
        }
        // A joint that runs on, a kerf of 4 mm lost, against another board's or one that slid; end to end too.
        8 => {
            let lower = wood.map(half, false, &taking);
            let next = wood.map(piece(0.0, HALF + 4.0, LENGTH + 400.0, HALF), false, &other);
            let better = halves(lower.clone(), next.clone(), UP);
            let worse = if seed.is_multiple_of(2) {
                let mut alien = wood.clone();
                alien.seed += 500;
                halves(lower, alien.map(half, false, &other), UP)
            } else {
                halves(lower, next, shifted(chance.between(150.0, 400.0)))
            };
            (better, worse, run_on)
        }
        // Rendered boards by their photographs: a joint against one to another board, and a half turned end for end.
        _ => {
            let board = RealBoard::new(seed + 20, LENGTH + 100.0, 2.0 * HALF + 120.0);
            let map = rendered(&board, seed);
            let (maps, mut face) = if seed.is_multiple_of(2) {
                let alien = RealBoard::new(seed + 30, LENGTH + 100.0, 2.0 * HALF + 120.0);
                halves(map, rendered(&alien, seed + 30), UP)
            } else {
                let turned = over(&map, 2.0 * HALF + 120.0);
                halves(map, turned, UP)
            };
            face.tiles[0].to_map = Pose::new(50.0, 50.0, 0.0);
            if seed.is_multiple_of(2) {
                // A kerf of 3 mm was lost.
                face.tiles[1].to_map = Pose::new(50.0, 53.0, 0.0);
                let worse = (maps.clone(), face.clone());
                face.tiles[1].map = Some(0);
                ((maps, face), worse, run_on)
            } else {
                let up = 2.0 * HALF + 120.0 - 50.0 - 2.0 * HALF;
                face.tiles[1].to_map = Pose::new(50.0, up, 0.0);
                let better = (maps.clone(), face.clone());
                face.tiles[1].to_map = Pose::new(50.0 + LENGTH, up + 3.0 * HALF, 180.0);
                (better, (maps, face), mirror)
            }
        }
    }
}

#[test]
fn faces_of_plain_cases_come_out_in_the_order_that_people_see() {
    let mut right = 0;
    let mut wrong = Vec::new();
    for kind in 0..10 {
        let mut told = Vec::new();
        for seed in 1..=6 {
            let (better, worse, wish) = case(kind, seed);
            let [b, w] = [&better, &worse].map(|(maps, face)| worth(&measure(maps, face), &wish));
            told.push(format!("{b:.2}>{w:.2}"));
            if b > w {
                right += 1;
            } else {
                wrong.push((kind, seed, b, w));
            }
        }
        println!("case {kind}: {}", told.join("  "));
    }
    println!("{right} of 60 in the right order");
    assert!(right >= 57, "{right} of 60, wrong: {wrong:?}");
}
