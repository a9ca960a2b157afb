//! Pairs that answer each other put together into whole faces.

use super::fitting::PairPlace;
use super::ground::{Ground, Lie};
use super::places::Places;

/// The most places of each pair that are combined.
const COMBINED: usize = 24;

/// The most faces that are made.
const FACES: usize = 14;

/// The most combinations that are looked at: the room is asked for each.
const LOOKED_AT: usize = 600;

/// Whole faces of what was found for the pairs, the most alike first. What answers nothing lies wherever it may.
pub(super) fn joined(ground: &Ground, places: &Places, pairs: &[PairPlace]) -> Vec<Vec<Lie>> {
    let of_each: Vec<Vec<PairPlace>> = (0..ground.halves.len())
        .map(|k| of_halves(ground, pairs, k))
        .collect();
    if of_each.is_empty() || of_each.iter().any(Vec::is_empty) {
        return Vec::new();
    }
    let area = |k: usize| ground.halves[k].part.area();
    let mut chosen: Vec<(f64, Vec<usize>)> = vec![(0.0, Vec::new())];
    for (k, list) in of_each.iter().enumerate() {
        let mut longer = Vec::new();
        for (sum, before) in &chosen {
            for (n, place) in list.iter().enumerate() {
                let clear = before
                    .iter()
                    .enumerate()
                    .all(|(j, &m)| are_apart(ground, &of_each[j][m], (j, k), place));
                if clear {
                    let mut next = before.clone();
                    next.push(n);
                    longer.push((sum + area(k) * place.value, next));
                }
            }
        }
        longer.sort_by(|a, b| b.0.total_cmp(&a.0));
        longer.truncate(LOOKED_AT / COMBINED);
        chosen = longer;
    }
    chosen
        .iter()
        .take(FACES)
        .filter_map(|(_, chosen)| {
            let picked = chosen.iter().enumerate().map(|(k, &n)| (k, of_each[k][n]));
            whole(ground, places, &picked.collect::<Vec<_>>())
        })
        .collect()
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
    let lies = |place: &PairPlace, halves: usize| {
        let halves = &ground.halves[halves];
        [(halves.one, place.one), (halves.other, place.other)]
    };
    lies(a, j).iter().all(|x| {
        lies(b, k).iter().all(|y| {
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
fn whole(ground: &Ground, places: &Places, chosen: &[(usize, PairPlace)]) -> Option<Vec<Lie>> {
    let mut lies: Vec<Option<Lie>> = vec![None; ground.sought.tiles.len()];
    for (k, place) in chosen {
        lies[ground.halves[*k].one] = Some(place.one);
        lies[ground.halves[*k].other] = Some(place.other);
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
