//! Pairs that answer each other put together into whole faces.

use heartside_geometry::Arrange;

use super::fitting::{PairPlace, beside};
use super::ground::{Ground, Lie};
use super::places::Places;

/// The most places of each pair that are combined.
const COMBINED: usize = 60;

/// The most faces that are made.
const FACES: usize = 10;

/// The most faces in part that are gone on with, pair by pair.
const GONE_ON_WITH: usize = 40;

/// How often a place is looked for where none that is known lies apart from what is chosen already.
const MOST_BESIDE: usize = 8;

/// Whole faces of what was found for the pairs, the most alike first. What answers nothing lies wherever it may.
pub(super) fn joined(ground: &Ground, places: &Places, pairs: &[PairPlace]) -> Vec<Vec<Lie>> {
    let of_each: Vec<Vec<PairPlace>> = (0..ground.halves.len())
        .map(|k| of_halves(ground, pairs, k))
        .collect();
    if of_each.is_empty() || of_each.iter().any(Vec::is_empty) {
        return Vec::new();
    }
    let mut left = MOST_BESIDE;
    let mut chosen: Vec<(f64, Vec<PairPlace>)> = vec![(0.0, Vec::new())];
    for (k, list) in of_each.iter().enumerate() {
        let area = ground.halves[k].part.area();
        let mut longer = Vec::new();
        for (sum, before) in &chosen {
            for registration in registrations(list) {
                let of = |p: &&PairPlace| p.of == registration;
                let clear = |p: &&PairPlace| {
                    let mut before = before.iter().enumerate();
                    before.all(|(j, b)| are_apart(ground, b, (j, k), p))
                };
                let mut clear: Vec<PairPlace> =
                    list.iter().filter(of).filter(clear).copied().collect();
                if !before.is_empty() {
                    clear.truncate(1);
                }
                if clear.is_empty() && left > 0 && !shares(ground, k) {
                    left -= 1;
                    let taken: Vec<_> = (0..k).flat_map(|j| tiles(ground, j, &before[j])).collect();
                    let first = list.iter().find(of);
                    clear.extend(first.and_then(|first| beside(ground, first, &taken)));
                }
                for place in clear {
                    let mut next = before.clone();
                    next.push(place);
                    longer.push((sum + area * place.value, next));
                }
            }
        }
        longer.arrange_by(|a, b| b.0.total_cmp(&a.0));
        longer.truncate(GONE_ON_WITH);
        chosen = longer;
    }
    // Of what answers by the same registrations the best alone.
    let mut seen: Vec<Vec<usize>> = Vec::new();
    chosen.retain(|(_, chosen)| {
        let of: Vec<usize> = chosen.iter().map(|p| p.of).collect();
        let is_new = !seen.contains(&of);
        if is_new {
            seen.push(of);
        }
        is_new
    });
    chosen
        .iter()
        .take(FACES)
        .filter_map(|(_, chosen)| whole(ground, places, chosen))
        .collect()
}

/// The registrations of some places, each once, the best first.
fn registrations(list: &[PairPlace]) -> Vec<usize> {
    let mut all: Vec<usize> = Vec::new();
    for place in list {
        if !all.contains(&place.of) {
            all.push(place.of);
        }
    }
    all
}

/// Whether a pair has a tile that belongs to one before it.
fn shares(ground: &Ground, k: usize) -> bool {
    let of = |j: usize| [ground.halves[j].one, ground.halves[j].other];
    (0..k).any(|j| of(j).iter().any(|t| of(k).contains(t)))
}

/// Where the tiles of a pair lie.
fn tiles(ground: &Ground, k: usize, place: &PairPlace) -> [(usize, Lie); 2] {
    let halves = &ground.halves[k];
    [(halves.one, place.one), (halves.other, place.other)]
}

/// What was found for a pair, or for one that is like it if its tiles may lie there.
fn of_halves(ground: &Ground, pairs: &[PairPlace], k: usize) -> Vec<PairPlace> {
    let halves = &ground.halves[k];
    let serves = |p: &&PairPlace| {
        p.halves == k
            || (ground.halves[p.halves].is_like(halves)
                && ground.may_lie(halves.one, p.one)
                && ground.may_lie(halves.other, p.other)
                && ground.are_apart((halves.one, p.one), (halves.other, p.other)))
    };
    let found = pairs
        .iter()
        .filter(serves)
        .map(|p| PairPlace { halves: k, ..*p });
    found.take(COMBINED).collect()
}

fn are_apart(ground: &Ground, a: &PairPlace, (j, k): (usize, usize), b: &PairPlace) -> bool {
    tiles(ground, j, a).iter().all(|x| {
        tiles(ground, k, b).iter().all(|y| {
            // Pairs along joints share tiles: those must lie where both say.
            if x.0 == y.0 {
                x.1 == y.1
            } else {
                ground.are_apart(*x, *y)
            }
        })
    })
}

/// A face of what was chosen, the other tiles laid beside it.
fn whole(ground: &Ground, places: &Places, chosen: &[PairPlace]) -> Option<Vec<Lie>> {
    let mut lies: Vec<Option<Lie>> = vec![None; ground.sought.tiles.len()];
    for (k, place) in chosen.iter().enumerate() {
        for (tile, lie) in tiles(ground, k, place) {
            lies[tile] = Some(lie);
        }
    }
    filled(ground, places, lies)
}

/// Tiles that lie nowhere yet laid where they may, apart from the others.
pub(super) fn filled(
    ground: &Ground,
    places: &Places,
    mut lies: Vec<Option<Lie>>,
) -> Option<Vec<Lie>> {
    for tile in 0..lies.len() {
        if lies[tile].is_some() {
            continue;
        }
        let free = places.of[tile].iter().find(|&&lie| {
            let mut others = lies
                .iter()
                .enumerate()
                .filter_map(|(k, l)| l.map(|l| (k, l)));
            others.all(|other| ground.are_apart((tile, lie), other))
        });
        lies[tile] = Some(*free?);
    }
    lies.into_iter().collect()
}
