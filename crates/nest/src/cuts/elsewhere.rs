//! Other places for a blank, where the first free one cannot be cut free.
//!
//! The first free place keeps the least kerf from fixings and from the edges of the wood. Whether
//! the saw with that kerf is the one that comes to cut there shows only when it is cut: it may be
//! a band saw, while the crosscut is made by a mitre saw with twice the kerf. So each kerf of the
//! workshop gives places of its own.

use heartside_geometry::{Arrange, Bounds};
use heartside_timber::job::Job;
use heartside_timber::plan::Direction;

use super::chain::Care;
use super::fits::Fit;
use super::ground::Ground;
use super::position::{Spot, place_at, starts_beside_obstacles};
use super::saw::Saws;
use super::side::Side;
use super::workpiece::Workpiece;

/// Places offered, and looked at, at most: for filling few, since each is cut free in trial.
fn most_places(care: Care) -> (usize, usize) {
    match care {
        Care::Quick => (12, 120),
        Care::Thorough => (100, 4_000),
    }
}

/// Obstacles looked at for all places together: some milliseconds.
const MOST_PIECES: usize = 400_000;

/// Places where the blank lies clear, a kerf of the workshop beside a fixing or beside the edge of the
/// wood, or at an end of the room: the lowest x first, then the lowest y.
///
/// O((fixings x kerfs + obstacles)² x obstacles), within a limit.
pub(crate) fn elsewhere(
    (job, ground, saws): (&Job, &Ground, &Saws),
    piece: &Workpiece,
    fit: &Fit,
    care: Care,
) -> Vec<Spot> {
    let Some(room) = piece.tight.intersection(ground.usable) else {
        return Vec::new();
    };
    let bench = (job, ground, saws);
    let (most, mut looks) = most_places(care);
    // On a board with thousands of flaws each look is slow.
    looks = looks.min(MOST_PIECES / (1 + ground.classes[fit.class].blank.len()));
    let mut along = starts(bench, piece, &room, fit, Direction::Crosscut);
    if care == Care::Thorough {
        along.extend(ends_of_obstacles(ground, fit, &room, most.min(looks)));
    }
    in_order(&mut along, ground.noise);
    let across = starts(bench, piece, &room, fit, Direction::Rip);
    let mut spots: Vec<Spot> = Vec::new();
    for x in along {
        if looks == 0 {
            break;
        }
        let mut rows = across.clone();
        rows.extend(starts_beside_obstacles(ground, fit, x, &room).0);
        in_order(&mut rows, ground.noise);
        for y in rows {
            if looks == 0 || spots.len() == most {
                return spots;
            }
            looks -= 1;
            let spot = place_at(ground, fit, (x, y), &room);
            spots.extend(spot.filter(|s| !spots.contains(s)));
        }
    }
    spots
}

/// The first of the x at which obstacles end.
fn ends_of_obstacles(ground: &Ground, fit: &Fit, room: &Bounds, most: usize) -> Vec<f64> {
    let (mut ends, mut x) = (Vec::new(), room.min.x);
    for _ in 0..most {
        x = starts_beside_obstacles(ground, fit, x, room).1;
        if !x.is_finite() || x + fit.width > room.max.x {
            break;
        }
        ends.push(x);
    }
    ends
}

fn in_order(starts: &mut Vec<f64>, noise: f64) {
    starts.arrange_by(f64::total_cmp);
    starts.dedup_by(|a, b| (*a - *b).abs() <= noise);
}

/// Where a blank may begin along x (between crosscuts) or along y (between rips) so that a saw passes beside it.
fn starts(
    (job, ground, saws): (&Job, &Ground, &Saws),
    piece: &Workpiece,
    room: &Bounds,
    fit: &Fit,
    direction: Direction,
) -> Vec<f64> {
    let (low, high) = Side::pair(direction);
    let extent = match direction {
        Direction::Crosscut => fit.width,
        Direction::Rip => fit.height,
    };
    let (from, to) = (low.of(room), high.of(room) - extent);
    let play = ground.leaf_play;
    let mut kerfs: Vec<f64> = saws
        .along(direction)
        .iter()
        .map(|tool| job.workshop.tools[*tool].kerf)
        .collect();
    kerfs.dedup();
    let mut starts = vec![from, to];
    for kerf in &kerfs {
        starts.extend([
            low.of(&piece.tight) + kerf,
            high.of(&piece.tight) - kerf - extent,
        ]);
    }
    for (fixing, _) in &ground.fixings {
        let fixing = ground.pieces[*fixing].bounds();
        for kerf in &kerfs {
            starts.extend([
                high.of(fixing) + kerf,
                low.of(fixing) - kerf - extent - play,
            ]);
        }
    }
    starts.retain(|start| *start >= from - ground.bite && *start <= to + ground.bite);
    starts
}
