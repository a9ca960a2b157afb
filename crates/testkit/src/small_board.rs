//! A small flawed board and an exact reference for it: every cut at every whole measure, every
//! division of the parts.
//!
//! The reference knows nothing of the engines: it is a memoised recursion over
//! sub-rectangles that lists which sets of parts can come out of each.

use std::collections::HashMap;

use heartside_timber::document::ZoneKind;
use heartside_timber::job::Job;
use heartside_trials::instance::{Instance, InstanceError};
use serde_json::json;

use crate::chance::Chance;

/// Left, bottom, right, top.
type Box4 = [u32; 4];

/// A board of 24 x 10 with flaws, and up to six parts with values, each wanted once.
pub struct SmallBoard {
    /// Left, bottom, right, top; true for fixings, which stop cuts besides.
    flaws: Vec<(Box4, bool)>,
    /// Length, width, value.
    parts: Vec<(u32, u32, u32)>,
    may_turn: bool,
}

const WIDTH: u32 = 24;
const HEIGHT: u32 = 10;

impl SmallBoard {
    /// The board and parts of a seed.
    pub fn random(seed: u32) -> SmallBoard {
        let mut chance = Chance::new(seed);
        let mut between =
            |low: u32, high: u32| low + chance.below((high - low + 1) as usize) as u32;
        let flaws = (0..between(0, 3))
            .map(|_| {
                let (w, h) = (between(1, 3), between(1, 2));
                let (x, y) = (between(0, WIDTH - w), between(0, HEIGHT - h));
                ([x, y, x + w, y + h], between(0, 2) == 0)
            })
            .collect();
        let parts = (0..between(3, 6))
            .map(|_| {
                let (w, h) = (between(3, 13), between(2, 8));
                (w, h, w * h + between(0, 6))
            })
            .collect();
        SmallBoard {
            flaws,
            parts,
            may_turn: seed.is_multiple_of(3),
        }
    }

    /// The job, in which the greatest value is wanted and a cut takes no width.
    ///
    /// # Errors
    /// None that a seed is known to give: as [`Instance::read`].
    pub fn job(&self) -> Result<Job, InstanceError> {
        let rectangle = |[a, b, c, d]: Box4| json!([[a, b], [c, b], [c, d], [a, d]]);
        let turns = if self.may_turn {
            json!([0, 90])
        } else {
            json!([0])
        };
        let text = json!({
            "name": "small", "kind": "knapsack-guillotine", "units": "none",
            "best_known": null, "optimum_proven": false,
            "boards": [{
                "outline": rectangle([0, 0, WIDTH, HEIGHT]),
                "defects": self.flaws.iter().map(|f| rectangle(f.0)).collect::<Vec<_>>(),
                "quantity": 1,
            }],
            "parts": self.parts.iter().enumerate().map(|(i, (w, h, v))| json!({
                "id": format!("p{i}"), "outline": rectangle([0, 0, *w, *h]), "quantity": 1,
                "rotations_deg": turns, "value": v,
            })).collect::<Vec<_>>(),
        });
        let mut job = Instance::read(&text.to_string(), &Default::default())?.job;
        for (zone, (_, is_fixing)) in job.boards[0].zones.iter_mut().zip(&self.flaws) {
            if *is_fixing {
                zone.kind = ZoneKind::Fixing;
            }
        }
        Ok(job)
    }

    /// The greatest value, by the definition.
    pub fn best(&self) -> u32 {
        let mut known = HashMap::new();
        let sets = self.sets([0, 0, WIDTH, HEIGHT], &mut known);
        let value = |set: u64| {
            let parts = self.parts.iter().enumerate();
            parts
                .filter(|(i, _)| set >> i & 1 == 1)
                .map(|(_, p)| p.2)
                .sum()
        };
        sets.into_iter().map(value).max().unwrap_or(0)
    }

    /// The largest sets of parts that can come out of a rectangle.
    fn sets(&self, rect: Box4, known: &mut HashMap<Box4, Vec<u64>>) -> Vec<u64> {
        let [x0, y0, x1, y1] = rect;
        let (w, h) = (x1 - x0, y1 - y0);
        let takes =
            |p: &(u32, u32, u32)| (p.0 <= w && p.1 <= h) || (self.may_turn && p.1 <= w && p.0 <= h);
        if !self.parts.iter().any(takes) {
            return vec![0];
        }
        if let Some(sets) = known.get(&rect) {
            return sets.clone();
        }
        let mut sets: Vec<u64> = vec![0];
        let overlaps = |f: &Box4| f[0] < x1 && f[2] > x0 && f[1] < y1 && f[3] > y0;
        if !self.flaws.iter().any(|f| overlaps(&f.0)) {
            for (i, p) in self.parts.iter().enumerate() {
                if (p.0, p.1) == (w, h) || (self.may_turn && (p.1, p.0) == (w, h)) {
                    add(&mut sets, 1 << i);
                }
            }
        }
        let fixings = || self.flaws.iter().filter(|f| f.1 && overlaps(&f.0));
        for at in x0 + 1..x1 {
            if fixings().all(|f| at <= f.0[0] || at >= f.0[2]) {
                let low = self.sets([x0, y0, at, y1], known);
                let high = self.sets([at, y0, x1, y1], known);
                join(&mut sets, &low, &high);
            }
        }
        for at in y0 + 1..y1 {
            if fixings().all(|f| at <= f.0[1] || at >= f.0[3]) {
                let low = self.sets([x0, y0, x1, at], known);
                let high = self.sets([x0, at, x1, y1], known);
                join(&mut sets, &low, &high);
            }
        }
        known.insert(rect, sets.clone());
        sets
    }
}

/// Adds a set, unless a larger one is there; smaller ones go.
fn add(sets: &mut Vec<u64>, set: u64) {
    if sets.iter().any(|s| s & set == set) {
        return;
    }
    sets.retain(|s| s & set != *s);
    sets.push(set);
}

/// Every union of two sets; a part that both hold comes out once, so each side may have it.
fn join(sets: &mut Vec<u64>, low: &[u64], high: &[u64]) {
    for a in low {
        for b in high {
            add(sets, a | b);
        }
    }
}
