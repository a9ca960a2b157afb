//! Registrations made exact, and both tiles laid by them where they may lie.

use heartside_geometry::{Arrange, Point, Pose, Vector};

use super::aligning::aligned;
use super::ground::{COARSE, FINE, Ground, Lie, about, middle, tilt};
use super::halves::{Halves, Relation};
use super::registering::{Registration, tile_about};

/// Two tiles that answer each other and may lie where they do.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct PairPlace {
    pub(super) halves: usize,
    pub(super) one: Lie,
    pub(super) other: Lie,
    pub(super) value: f64,
    /// Which registration it comes from: places of one differ by a slide alone.
    pub(super) of: usize,
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
    for _ in 0..3 {
        let before = best.0;
        for change in [[2.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]] {
            for sign in [1.0, -1.0] {
                let by = changed(best.1, found.at, change.map(|c| sign * c), 12.0, 1.0);
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
    let from = ((found.one, one), found.other);
    let (relation, value) = aligned(ground, &block, from, best.1, COARSE);
    Registration {
        relation,
        value,
        ..*found
    }
}

/// A relation that brings a place elsewhere by `change` steps, and turned further about it.
fn changed(by: Relation, place: Point, change: [f64; 3], step: f64, degrees: f64) -> Relation {
    let to = by.apply(place) + Vector::new(change[0] * step, change[1] * step);
    Relation::between(place, to, by.turn + change[2] * degrees, by.mirrored)
}

/// Where places are looked for about one: how many steps to either side along and across, each how long in lengths and
/// widths of what answers, and how many steps of tilt.
#[derive(Clone, Copy)]
struct Round {
    along: (i32, f64),
    across: (i32, f64),
    tilt: i32,
}

/// Roughly, where there is room; and closely, where there is hardly any.
const ROUGH: Round = Round {
    along: (4, 0.125),
    across: (2, 0.25),
    tilt: 0,
};
const CLOSE: Round = Round {
    along: (3, 0.12),
    across: (7, 0.06),
    tilt: 3,
};

/// How often the room is asked for one registration at most.
const MOST_ASKED: usize = 200;

/// Both tiles laid by a registration where they are most alike and may lie, either way round; none where they may not.
/// Only the first few registrations are worth looking closely.
pub(super) fn laid(ground: &Ground, found: &Registration, of: usize) -> Option<PairPlace> {
    let pair = &ground.halves[found.halves];
    let one = (
        found.one,
        tile_about(ground, pair, found.at, 0.5 * tilt(found.relation.turn)),
    );
    let place = PairPlace {
        halves: found.halves,
        one,
        other: (found.other, pair.other_at(one.1, found.relation)),
        value: 0.0,
        of,
    };
    let is_legal = |one: Lie, other: Lie| is_legal(ground, pair, one, other);
    let rounds = [ROUGH, CLOSE]
        .into_iter()
        .take(if of < LOOKED_CLOSELY { 2 } else { 1 });
    let mut legal = rounds
        .filter_map(|round| found_about(ground, &place, round, &is_legal))
        .next()?;
    slide(
        ground,
        pair,
        &mut legal,
        &[(24.0, 0.5), (12.0, 0.25), (6.0, 0.12)],
    );
    Some(legal)
}

/// For how many registrations places are looked for closely where there is hardly room.
const LOOKED_CLOSELY: usize = 8;

/// The place about one, both tiles slid together, at which they are most alike and may lie, as it is or end for end.
fn found_about(
    ground: &Ground,
    place: &PairPlace,
    round: Round,
    may_be: &dyn Fn(Lie, Lie) -> bool,
) -> Option<PairPlace> {
    let pair = &ground.halves[place.halves];
    let by = pair.relation(place.one.1, place.other.1);
    let now = tilt(place.one.1.turn);
    // Both tilts stay within what is allowed.
    let whole = now + tilt(place.other.1.turn) * if pair.mirrored { 1.0 } else { -1.0 };
    let (low, high) = if pair.mirrored {
        (
            (whole - MOST_TILT).max(-MOST_TILT),
            (whole + MOST_TILT).min(MOST_TILT),
        )
    } else {
        (
            (now - MOST_TILT).max(-MOST_TILT),
            (now + MOST_TILT).min(MOST_TILT),
        )
    };
    let mut tried: Vec<(f64, Lie, Lie)> = Vec::new();
    for t in -round.tilt..=round.tilt {
        let share = f64::from(t) / f64::from(round.tilt.max(1));
        let to = now + share * if t < 0 { now - low } else { high - now };
        for i in -round.along.0..=round.along.0 {
            for j in -round.across.0..=round.across.0 {
                let change = [
                    round.along.1 * pair.part.width() * f64::from(i),
                    round.across.1 * pair.part.height() * f64::from(j),
                    to - now,
                ];
                let (one, other) = slid(pair, place, by, change);
                tried.push((ground.alike(pair, one, other, COARSE), one, other));
            }
        }
    }
    tried.arrange_by(|a, b| b.0.total_cmp(&a.0));
    let least = LEAST_SLID * tried.first()?.0;
    let ways = tried
        .iter()
        .take_while(|t| t.0 >= least)
        .take(MOST_ASKED)
        .flat_map(|&(value, one, other)| {
            let turned = (
                turned(ground, pair.one, one),
                turned(ground, pair.other, other),
            );
            [(value, one, other), (value, turned.0, turned.1)]
        });
    let (value, one, other) = { ways }.find(|&(_, one, other)| may_be(one, other))?;
    Some(PairPlace {
        one,
        other,
        value,
        ..*place
    })
}

/// A pair slid aside, so that it lies apart from tiles that lie already.
pub(super) fn beside(
    ground: &Ground,
    place: &PairPlace,
    taken: &[(usize, Lie)],
) -> Option<PairPlace> {
    let pair = &ground.halves[place.halves];
    let may_be = |one: Lie, other: Lie| {
        let are_apart = taken.iter().all(|&t| {
            ground.are_apart(t, (pair.one, one)) && ground.are_apart(t, (pair.other, other))
        });
        are_apart && is_legal(ground, pair, one, other)
    };
    let found = found_about(ground, place, CLOSE, &may_be)?;
    Some(PairPlace {
        value: place.value * LEAST_SLID,
        ..found
    })
}

/// The same place end for end.
fn turned(ground: &Ground, tile: usize, (source, at): Lie) -> Lie {
    let bounds = ground.sought.tiles[tile];
    (source, about(bounds, middle(bounds, at), at.turn + 180.0))
}

/// A place with its relation as fine as the maps tell it; and, where more than one pair is laid, a few slid along from
/// there, so that pairs on one board can lie beside each other.
pub(super) fn made_exact(ground: &Ground, place: &PairPlace) -> Vec<PairPlace> {
    let pair = &ground.halves[place.halves];
    let from = (place.one, place.other.0);
    let (relation, _) = aligned(
        ground,
        pair,
        from,
        pair.relation(place.one.1, place.other.1),
        FINE,
    );
    let value = |one: Lie, other: Lie| ground.alike(pair, one, other, FINE);
    let exact = NEAR
        .iter()
        .map(|&by| slid(pair, place, relation, by))
        .find(|(one, other)| is_legal(ground, pair, *one, *other));
    let (one, other) = exact.unwrap_or((place.one, place.other));
    let exact = PairPlace {
        one,
        other,
        value: value(one, other),
        ..*place
    };
    let mut places = vec![exact];
    if ground.halves.len() > 1 {
        places.extend(slid_along(ground, pair, &exact));
    }
    places
}

/// How far both tiles are slid, along, across (millimetres) and round (degrees), where the finer relation
/// leaves no room.
const NEAR: [[f64; 3]; 15] = [
    [0.0, 0.0, 0.0],
    [0.0, 2.0, 0.0],
    [0.0, -2.0, 0.0],
    [0.0, 5.0, 0.0],
    [0.0, -5.0, 0.0],
    [0.0, 0.0, 0.2],
    [0.0, 0.0, -0.2],
    [0.0, 10.0, 0.0],
    [0.0, -10.0, 0.0],
    [20.0, 0.0, 0.0],
    [-20.0, 0.0, 0.0],
    [0.0, 5.0, 0.3],
    [0.0, -5.0, 0.3],
    [0.0, 5.0, -0.3],
    [0.0, -5.0, -0.3],
];

/// The tiles of a place slid together, by a relation.
fn slid(pair: &Halves, place: &PairPlace, by: Relation, change: [f64; 3]) -> (Lie, Lie) {
    let one = moved(place.one.1, pair.part.centre(), change, 1.0, 1.0);
    let other = pair.other_at(one, by);
    ((place.one.0, one), (place.other.0, other))
}

/// How many places a pair is slid to, and how much less alike it may be there.
const SLID: usize = 8;
const LEAST_SLID: f64 = 0.65;

fn slid_along(ground: &Ground, pair: &Halves, exact: &PairPlace) -> Vec<PairPlace> {
    let by = pair.relation(exact.one.1, exact.other.1);
    let value = |one: Lie, other: Lie| ground.alike(pair, one, other, COARSE);
    let whole = value(exact.one, exact.other).max(1e-6);
    let mut places = Vec::new();
    for i in -3..=3 {
        for j in -3..=3 {
            let change = [
                0.1 * pair.part.width() * f64::from(i),
                0.1 * pair.part.height() * f64::from(j),
                0.0,
            ];
            let (one, other) = slid(pair, exact, by, change);
            let share = value(one, other) / whole;
            if (i, j) != (0, 0) && share >= LEAST_SLID && is_legal(ground, pair, one, other) {
                places.push(PairPlace {
                    one,
                    other,
                    value: exact.value * share.min(1.0),
                    ..*exact
                });
            }
        }
    }
    places.arrange_by(|a, b| b.value.total_cmp(&a.value));
    places.truncate(SLID);
    places
}

pub(super) fn is_legal(ground: &Ground, pair: &Halves, one: Lie, other: Lie) -> bool {
    tilt(one.1.turn).abs() <= MOST_TILT + 1e-9
        && tilt(other.1.turn).abs() <= MOST_TILT + 1e-9
        && ground.are_apart((pair.one, one), (pair.other, other))
        && ground.may_lie(pair.one, one)
        && ground.may_lie(pair.other, other)
}

/// Slides both tiles together while that makes them more alike.
fn slide(ground: &Ground, pair: &Halves, place: &mut PairPlace, steps: &[(f64, f64)]) {
    let by = pair.relation(place.one.1, place.other.1);
    for &(step, degrees) in steps {
        for _ in 0..3 {
            let before = place.value;
            for change in [[4.0, 0.0, 0.0], [0.0, 2.0, 0.0], [0.0, 0.0, 2.0]] {
                for sign in [1.0, -1.0] {
                    let [along, across, round] = change.map(|c| sign * c);
                    let change = [along * step, across * step, round * degrees];
                    let (one, other) = slid(pair, place, by, change);
                    let value = ground.alike(pair, one, other, COARSE);
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
