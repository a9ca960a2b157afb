//! A few faces of many: the best, of which no two look alike.

use heartside_geometry::{Arrange, Bounds, Point};

use super::climbing::Climber;
use super::ground::{Ground, Lie, middle, tilt};

/// The most proposals that are offered: more are not looked at.
const OFFERED: usize = 6;

/// Places nearer than a hand count as the same.
const HAND: f64 = 100.0;

/// The best, best first: those of which all was seen before others.
pub(super) fn differing(ground: &Ground, faces: &[Climber]) -> Vec<Climber> {
    let mut order: Vec<&Climber> = faces.iter().collect();
    order.arrange_by(|a, b| a.before(b));
    let mut chosen: Vec<Climber> = Vec::new();
    for face in order {
        if chosen.len() == OFFERED {
            break;
        }
        // What was not all seen counts only where nothing better is known.
        if face.seen < 1.0 && chosen.iter().any(|c| c.seen >= 1.0) {
            break;
        }
        if chosen.iter().all(|c| differ(ground, &c.lies, &face.lies)) {
            chosen.push(face.clone());
        }
    }
    chosen
}

/// Whether two faces differ plainly, whichever way round they are put down.
pub(super) fn differ(ground: &Ground, one: &[Lie], other: &[Lie]) -> bool {
    let tiles = &ground.sought.tiles;
    let as_they_are: Vec<Option<usize>> = (0..tiles.len()).map(Some).collect();
    let [long, wide] = ground.sought.size;
    let turned: Vec<Option<usize>> = tiles
        .iter()
        .map(|t| {
            let image = Bounds::new(
                Point::new(long - t.max.x, wide - t.max.y),
                Point::new(long - t.min.x, wide - t.min.y),
            );
            tiles
                .iter()
                .position(|u| u.min.distance(image.min) + u.max.distance(image.max) < 1.0)
        })
        .collect();
    let same = |to: &[Option<usize>], half_turn: bool| {
        (0..tiles.len()).all(|k| {
            let Some(at) = to[k] else { return false };
            let ((s, p), (t, q)) = (one[k], other[at]);
            let apart = middle(tiles[k], p) - middle(tiles[at], q);
            let turn = p.turn - q.turn;
            let is_turned = (turn - tilt(turn)).rem_euclid(360.0) > 90.0;
            s == t && is_turned == half_turn && apart.x.abs().max(apart.y.abs()) <= HAND
        })
    };
    !(same(&as_they_are, false) || same(&turned, true))
}
