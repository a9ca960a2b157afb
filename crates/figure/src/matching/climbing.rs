//! Whole faces made better by small steps, by what they are worth.

use std::cmp::Ordering;

use heartside_geometry::{Point, Pose};

use super::fitting::{MOST_TILT, moved};
use super::ground::{Ground, Lie, tilt};
use super::halves::Halves;
use super::judge::Judge;

/// A face on its way up.
#[derive(Debug, Clone)]
pub(super) struct Climber {
    pub(super) lies: Vec<Lie>,
    /// What it is worth, measured finely.
    pub(super) worth: f64,
    /// What it is worth as finely as its steps are measured.
    now: f64,
    /// The share of its tiles whose wood was seen at least half.
    pub(super) seen: f64,
    /// Which size of steps is next; beyond the last it is at the top.
    next: usize,
    /// Its pairs are only slid together.
    answers: bool,
    judge: Judge,
}

/// Steps in millimetres and degrees, and whether they are measured finely.
const STEPS: [(f64, f64, bool); 6] = [
    (48.0, 1.0, false),
    (24.0, 0.5, false),
    (12.0, 0.5, false),
    (6.0, 0.2, true),
    (3.0, 0.1, true),
    (1.0, 0.05, true),
];

/// The first of the small steps: those that a face takes that answers already. How its pairs answer is told by
/// correlation more finely than by what it is worth, and stays.
pub(super) const SMALL: usize = 3;

/// What a step must gain in worth: less is not worth a tilt.
const LEAST_GAIN: f64 = 2e-4;

impl Climber {
    /// A face that begins with steps of some size: 0 for the largest.
    pub(super) fn new(ground: &Ground, lies: Vec<Lie>, next: usize) -> Climber {
        let seen = |(tile, lie): (usize, &Lie)| f64::from(u8::from(ground.seen(tile, *lie) >= 0.5));
        let share = lies.iter().enumerate().map(seen).sum::<f64>() / lies.len().max(1) as f64;
        let mut climber = Climber {
            judge: Judge::new(ground, &lies, false),
            worth: Judge::new(ground, &lies, true).worth(ground),
            lies,
            now: 0.0,
            seen: share,
            next,
            answers: next >= SMALL,
        };
        climber.now = climber.judge.worth(ground);
        climber
    }

    /// Which of two is better: what was seen comes first.
    pub(super) fn before(&self, other: &Climber) -> Ordering {
        other
            .seen
            .total_cmp(&self.seen)
            .then(other.worth.total_cmp(&self.worth))
    }

    pub(super) fn is_at_top(&self) -> bool {
        self.next >= STEPS.len()
    }

    /// How many sizes of steps there are from one on.
    pub(super) fn units(next: usize) -> usize {
        STEPS.len() - next
    }

    /// Takes steps of one size while they gain.
    pub(super) fn unit(&mut self, ground: &Ground) {
        let Some(&(step, degrees, is_fine)) = STEPS.get(self.next) else {
            return;
        };
        self.judge = Judge::new(ground, &self.lies, is_fine);
        self.now = self.judge.worth(ground);
        let from = self.lies.clone();
        for _ in 0..2 {
            let before = self.now;
            // The first of a pair moves with the second, or the second alone.
            let answers = self.answers;
            let alone = |tile: &usize| {
                let moves = |h: &Halves| h.one == *tile || (answers && h.other == *tile);
                !ground.halves.iter().any(moves)
            };
            for tile in (0..self.lies.len()).filter(alone) {
                for change in CHANGES {
                    for sign in [1.0, -1.0] {
                        self.try_tile(ground, tile, change.map(|c| sign * c), step, degrees);
                    }
                }
            }
            for halves in 0..ground.halves.len() {
                for change in CHANGES {
                    for sign in [1.0, -1.0] {
                        self.try_pair(
                            ground,
                            halves,
                            change.map(|c| 2.0 * sign * c),
                            step,
                            degrees,
                        );
                    }
                }
            }
            if self.now <= before {
                break;
            }
        }
        self.next += 1;
        let worth = if is_fine {
            self.now
        } else {
            Judge::new(ground, &self.lies, true).worth(ground)
        };
        if worth >= self.worth {
            self.worth = worth;
        } else {
            // What seemed better coarsely was not.
            self.lies = from;
        }
    }

    fn try_tile(
        &mut self,
        ground: &Ground,
        tile: usize,
        change: [f64; 3],
        step: f64,
        degrees: f64,
    ) {
        let (source, at) = self.lies[tile];
        let bounds = ground.sought.tiles[tile];
        let middle = Point::new(0.5 * bounds.width(), 0.5 * bounds.height());
        self.attempt(
            ground,
            &[(tile, (source, moved(at, middle, change, step, degrees)))],
        );
    }

    /// Slides both of a pair along what they answer each other by.
    fn try_pair(
        &mut self,
        ground: &Ground,
        halves: usize,
        change: [f64; 3],
        step: f64,
        degrees: f64,
    ) {
        let pair = ground.halves[halves];
        let (one, other) = (self.lies[pair.one], self.lies[pair.other]);
        let by = pair.relation(one.1, other.1);
        let to: Pose = moved(one.1, pair.part.centre(), change, step, degrees);
        self.attempt(
            ground,
            &[
                (pair.one, (one.0, to)),
                (pair.other, (other.0, pair.other_at(to, by))),
            ],
        );
    }

    /// Keeps a change that gains and may be.
    fn attempt(&mut self, ground: &Ground, changes: &[(usize, Lie)]) {
        let mut judge = self.judge.clone();
        for &(tile, lie) in changes {
            if tilt(lie.1.turn).abs() > MOST_TILT + 1e-9 {
                return;
            }
            judge.put(ground, tile, lie);
        }
        let worth = judge.worth(ground);
        if worth <= self.now + LEAST_GAIN {
            return;
        }
        let mut lies = self.lies.clone();
        for &(tile, lie) in changes {
            lies[tile] = lie;
        }
        let changed = |tile: usize| changes.iter().any(|c| c.0 == tile);
        let may_be = changes.iter().all(|&(tile, lie)| {
            let others = lies.iter().enumerate().filter(|(k, _)| *k != tile);
            let mut others = others.filter(|(k, _)| !changed(*k) || *k > tile);
            others.all(|(k, l)| ground.are_apart((tile, lie), (k, *l))) && ground.may_lie(tile, lie)
        });
        if may_be {
            (self.lies, self.now, self.judge) = (lies, worth, judge);
        }
    }
}

/// Along twice as far as across: figure runs along the board.
const CHANGES: [[f64; 3]; 3] = [[2.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];
