//! Registrations made exact, and both tiles laid by them where they may lie.

use heartside_geometry::{Point, Pose, Vector};

use super::ground::{COARSE, FINE, Ground, Lie, tilt};
use super::halves::{Halves, Relation};
use super::registering::{Registration, tile_about};

/// Two tiles that answer each other and may lie where they do.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct PairPlace {
    pub(super) halves: usize,
    pub(super) one: Lie,
    pub(super) other: Lie,
    pub(super) value: f64,
}

/// The most that a tile may be turned from straight, in degrees.
pub(super) const MOST_TILT: f64 = 3.0;

/// Registrations that say the same, the best of them left: those of one pair of sources whose relations bring the
/// middle of the block within so many millimetres along and across of the same place.
const SAME: [f64; 2] = [45.0, 15.0];

/// The best registrations of which none says the same as a better one.
pub(super) fn distinct(found: &[Registration], most: usize) -> Vec<Registration> {
    let mut kept: Vec<Registration> = Vec::new();
    for r in found {
        let is_same = |k: &Registration| {
            let turn = (k.relation.turn - r.relation.turn + 180.0).rem_euclid(360.0) - 180.0;
            if (k.one, k.other, k.halves) != (r.one, r.other, r.halves) || turn.abs() > 2.0 {
                return false;
            }
            // The turn is uncertain, so relations are compared half way between the blocks.
            let half = k.at.midpoint(r.at);
            let apart = k.relation.apply(half) - r.relation.apply(half);
            let far = k.at - r.at;
            far.x.abs() < 1200.0 && apart.x.abs() <= SAME[0] && apart.y.abs() <= SAME[1]
        };
        if !kept.iter().any(is_same) {
            kept.push(*r);
            if kept.len() == most {
                break;
            }
        }
    }
    kept
}

/// The relation of a registration made better by small steps; the tiles need not lie legally yet.
pub(super) fn fitted(ground: &Ground, found: &Registration) -> Registration {
    let pair = &ground.halves[found.halves];
    // Only the block is known to answer: the rest is not looked at yet.
    let mut block = *pair;
    let long = (0.5 * pair.part.width()).max(300.0).min(pair.part.width());
    let middle = pair.part.centre();
    block.part.min.x = middle.x - 0.5 * long;
    block.part.max.x = middle.x + 0.5 * long;
    let one = tile_about(ground, pair, found.at, 0.5 * tilt(found.relation.turn));
    let value = |by: Relation| {
        ground.alike(
            &block,
            (found.one, one),
            (found.other, block.other_at(one, by)),
            COARSE,
        )
    };
    let mut best = (value(found.relation), found.relation);
    for (step, degrees) in [(12.0, 1.0), (6.0, 0.5), (3.0, 0.25)] {
        for _ in 0..4 {
            let before = best.0;
            for change in [[2.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]] {
                for sign in [1.0, -1.0] {
                    let by = changed(best.1, found.at, change.map(|c| sign * c), step, degrees);
                    let value = value(by);
                    if value > best.0 {
                        best = (value, by);
                    }
                }
            }
            if best.0 <= before {
                break;
            }
        }
    }
    Registration {
        relation: best.1,
        value: best.0,
        ..*found
    }
}

/// A relation that brings a place elsewhere by `change` steps, and turned further about it.
fn changed(by: Relation, place: Point, change: [f64; 3], step: f64, degrees: f64) -> Relation {
    let to = by.apply(place) + Vector::new(change[0] * step, change[1] * step);
    Relation::between(place, to, by.turn + change[2] * degrees, by.mirrored)
}

/// Both tiles laid by a registration, the ways round in which they may lie.
pub(super) fn laid(ground: &Ground, found: &Registration) -> Vec<PairPlace> {
    let pair = ground.halves[found.halves];
    let mut places = Vec::new();
    for half_turn in [0.0, 180.0] {
        if let Some(place) = laid_one_way(ground, found, &pair, half_turn) {
            places.push(place);
        }
    }
    places
}

/// How often the room is asked for one registration at most.
const MOST_ASKED: usize = 40;

fn laid_one_way(
    ground: &Ground,
    found: &Registration,
    pair: &Halves,
    half_turn: f64,
) -> Option<PairPlace> {
    let [long, wide] = [pair.part.width(), pair.part.height()];
    let whole = found.relation.turn;
    let shared = 0.5 * tilt(whole);
    let mut tried: Vec<(f64, Lie, Lie)> = Vec::new();
    for turn in [shared, 0.0, tilt(whole)] {
        if turn.abs() > MOST_TILT || (tilt(whole) - turn).abs() > MOST_TILT + 1e-9 {
            continue;
        }
        for i in -4..=4 {
            for j in -2..=2 {
                let at =
                    found.at + Vector::new(0.125 * long * f64::from(i), 0.25 * wide * f64::from(j));
                let one = tile_about(ground, pair, at, turn + half_turn);
                let one = (found.one, one);
                let other = (found.other, pair.other_at(one.1, found.relation));
                let value = ground.alike(pair, one, other, COARSE);
                tried.push((value, one, other));
            }
        }
        if shared.abs() < 0.2 {
            break;
        }
    }
    tried.sort_by(|a, b| b.0.total_cmp(&a.0));
    let best = tried.first()?.0;
    let mut asked = tried
        .iter()
        .take(MOST_ASKED)
        .take_while(|t| t.0 > 0.5 * best);
    let legal = asked
        .find(|t| is_legal(ground, pair, t.1, t.2))
        .copied()
        .or_else(|| squeezed(ground, found, pair, half_turn))?;
    let mut place = PairPlace {
        halves: found.halves,
        one: legal.1,
        other: legal.2,
        value: legal.0,
    };
    climb(
        ground,
        pair,
        &mut place,
        COARSE,
        &[(24.0, 0.5), (12.0, 0.25), (6.0, 0.12)],
    );
    Some(place)
}

/// Where both may lie although there is hardly room: many places and tilts, the room asked first.
fn squeezed(
    ground: &Ground,
    found: &Registration,
    pair: &Halves,
    half_turn: f64,
) -> Option<(f64, Lie, Lie)> {
    let [long, wide] = [pair.part.width(), pair.part.height()];
    let whole = tilt(found.relation.turn);
    let (low, high) = (
        (whole - MOST_TILT).max(-MOST_TILT),
        (whole + MOST_TILT).min(MOST_TILT),
    );
    let mut best: Option<(f64, Lie, Lie)> = None;
    for k in 0..5 {
        let turn = low + (high - low) * f64::from(k) / 4.0;
        for i in -4..=4 {
            for j in -4..=4 {
                let at =
                    found.at + Vector::new(0.125 * long * f64::from(i), 0.1 * wide * f64::from(j));
                let one = (found.one, tile_about(ground, pair, at, turn + half_turn));
                let other = (found.other, pair.other_at(one.1, found.relation));
                if is_legal(ground, pair, one, other) {
                    let value = ground.alike(pair, one, other, COARSE);
                    if best.is_none_or(|b| value > b.0) {
                        best = Some((value, one, other));
                    }
                }
            }
        }
    }
    best
}

/// The last steps, read as finely as the maps are.
pub(super) fn made_exact(ground: &Ground, place: &PairPlace) -> PairPlace {
    let pair = ground.halves[place.halves];
    let mut place = *place;
    place.value = ground.alike(&pair, place.one, place.other, FINE);
    climb(
        ground,
        &pair,
        &mut place,
        FINE,
        &[(4.0, 0.2), (2.0, 0.1), (1.0, 0.05)],
    );
    place
}

pub(super) fn is_legal(ground: &Ground, pair: &Halves, one: Lie, other: Lie) -> bool {
    tilt(one.1.turn).abs() <= MOST_TILT + 1e-9
        && tilt(other.1.turn).abs() <= MOST_TILT + 1e-9
        && ground.are_apart((pair.one, one), (pair.other, other))
        && ground.may_lie(pair.one, one)
        && ground.may_lie(pair.other, other)
}

/// Changes the relation, and slides both tiles along it, while that makes them more alike.
fn climb(
    ground: &Ground,
    pair: &Halves,
    place: &mut PairPlace,
    fineness: usize,
    steps: &[(f64, f64)],
) {
    let middle = pair.part.centre();
    for &(step, degrees) in steps {
        for _ in 0..6 {
            let before = place.value;
            for (which, change) in [
                (false, [2.0, 0.0, 0.0]),
                (false, [0.0, 1.0, 0.0]),
                (false, [0.0, 0.0, 1.0]),
                (true, [4.0, 0.0, 0.0]),
                (true, [0.0, 2.0, 0.0]),
                (true, [0.0, 0.0, 2.0]),
            ] {
                for sign in [1.0, -1.0] {
                    let change = change.map(|c| sign * c);
                    let by = pair.relation(place.one.1, place.other.1);
                    let (mut one, mut relation) = (place.one, by);
                    if which {
                        one.1 = moved(one.1, middle, change, step, degrees);
                    } else {
                        relation = changed(by, one.1.apply(middle), change, step, degrees);
                    }
                    let other = (place.other.0, pair.other_at(one.1, relation));
                    let value = ground.alike(pair, one, other, fineness);
                    if value > place.value + LEAST_GAIN && is_legal(ground, pair, one, other) {
                        *place = PairPlace {
                            one,
                            other,
                            value,
                            ..*place
                        };
                    }
                }
            }
            if place.value <= before {
                break;
            }
        }
    }
}

/// What a step must gain: less is not worth a tilt.
const LEAST_GAIN: f64 = 1e-5;

/// A tile that lies elsewhere, turned about a place of its own.
pub(super) fn moved(at: Pose, about: Point, change: [f64; 3], step: f64, degrees: f64) -> Pose {
    let to = at.apply(about) + Vector::new(change[0] * step, change[1] * step);
    let turned = Pose {
        turn: at.turn + change[2] * degrees,
        ..at
    };
    let there = turned.apply(about);
    turned.moved(to - there)
}
