//! Which values of the dimensions to try next.
//!
//! A trial that comes to nothing proves little: a search may need long for a plan that is there. So what is
//! known of a set of values is a chance, and the next trial goes where chance times gain is greatest.
//! Without a trial yet that halves the way to the values preferred; steps spent in vain make a set of
//! values, and all that ask for larger parts, less likely. With several dimensions all are weighed
//! together, so that one is brought nearer while another gives way.

use heartside_timber::job::{Dimension, Job};
use heartside_timber::plan::DimensionValue;

/// Values are looked for to this, in mm, where the maker has set no steps: what a rule shows.
const FINEST: f64 = 1.0;

/// Up to so many dimensions all corners of their ranges are tried together.
const MOST_CORNERS: usize = 4;

/// Up to so many dimensions are weighed all together; of more two at a time, in turn: sets of values grow as a power
/// of the dimensions.
const MOST_TOGETHER: usize = 4;

/// Sets of values that are weighed against each other: of finer ranges every second value is weighed,
/// or every third, and then those about the best plan's.
const MOST_WEIGHED: usize = 400;

/// Sets of values of which is remembered how long they were tried.
const MOST_TRIED: usize = 400;

/// Values nearer than this are one, in mm.
const SAME: f64 = 1e-9;

/// How likely values are that make some part larger than preferred, against others as far off: flaws
/// may be clear of a larger part that stop a smaller one.
const AGAINST_THE_RULE: f64 = 0.25;

/// Each so manieth time timber is looked for at another end of the ranges than at the smallest parts.
const OTHER_ENDS: usize = 4;

/// The values to try, and what is known of them.
#[derive(Debug)]
pub(super) struct Sizes {
    /// For each dimension that gives, which way its parts become smaller: up (1) or down (-1).
    smaller: Vec<f64>,
    /// Values of the dimensions that give, and the steps that they were tried for in vain.
    tried: Vec<(Vec<f64>, f64)>,
    /// What is tried now.
    trying: Vec<f64>,
    /// How often timber was looked for.
    ends: usize,
    /// How often nearer values were asked for.
    turns: usize,
}

/// The chance of what was likely before some steps were spent in vain, in what a plan takes usually.
pub(super) fn chance_of(before: f64, in_vain: f64) -> f64 {
    let left = before * heartside_geometry::math::exp(-in_vain);
    left / (1.0 - before + left)
}

impl Sizes {
    /// `smaller` tells for each dimension that gives which way its parts become smaller.
    pub(super) fn new(smaller: Vec<f64>) -> Sizes {
        Sizes {
            smaller,
            tried: Vec::new(),
            trying: Vec::new(),
            ends: 0,
            turns: 0,
        }
    }

    /// Which dimensions may take other values this time: all, or where they are many one that is off and another.
    fn varied(&mut self, gives: &[&Dimension]) -> Vec<usize> {
        self.turns += 1;
        let is_off = |k: &usize| (gives[*k].value.value - gives[*k].preferred).abs() > SAME;
        let off: Vec<usize> = (0..gives.len()).filter(is_off).collect();
        if gives.len() <= MOST_TOGETHER {
            return (0..gives.len()).collect();
        }
        let one = off[self.turns % off.len()];
        let further = 1 + self.turns / off.len() % (gives.len() - 1);
        vec![one, (one + further) % gives.len()]
    }

    /// The values of the smallest parts, which show what timber can be saved; now and then another end of the
    /// ranges.
    pub(super) fn smallest(&mut self, job: &Job) -> Vec<DimensionValue> {
        let gives = giving(job);
        self.ends += 1;
        let turn = self.ends / OTHER_ENDS;
        let is_other = self.ends.is_multiple_of(OTHER_ENDS) && gives.len() <= MOST_CORNERS;
        let sides: Vec<f64> = (0..gives.len())
            .map(|k| match is_other {
                true => [-1.0, 1.0][turn >> k & 1],
                false => self.smaller.get(k).copied().unwrap_or(-1.0),
            })
            .collect();
        self.trying = ends(&gives, &sides);
        with(job, &self.trying)
    }

    /// Values nearer to those preferred, with the best chance of the greatest gain; none where nothing gives, or
    /// nothing is nearer. A plan that there is takes some `usual` steps to be found.
    ///
    /// O(sets weighed x (sets weighed + sets tried)).
    pub(super) fn nearer(&mut self, job: &Job, usual: f64) -> Option<Vec<DimensionValue>> {
        let gives = giving(job);
        if gives.len() != self.smaller.len() || gives.is_empty() {
            return None;
        }
        let here: Vec<f64> = gives.iter().map(|d| d.value.value).collect();
        let held = off(&gives, &here);
        if held <= SAME {
            return None;
        }
        let varied = self.varied(&gives);
        let share = heartside_geometry::math::powf(MOST_WEIGHED as f64, 1.0 / varied.len() as f64);
        let most = (share as usize).max(3);
        let ladders: Vec<Vec<f64>> = (gives.iter().zip(&here).enumerate())
            .map(|(k, (d, here))| match varied.contains(&k) {
                true => about(ladder(d), *here, d.preferred, most),
                false => vec![*here],
            })
            .collect();
        // Each set of values may be the nearest that there is a plan for; that is then true of all with
        // smaller parts, and what was tried in vain speaks against it.
        let all: Vec<(Vec<f64>, f64)> = every(&ladders)
            .into_iter()
            .map(|values| {
                let likely = heartside_geometry::math::exp(-self.in_vain(&values) / usual);
                (values, likely)
            })
            .collect();
        let sum: f64 = all.iter().map(|a| a.1).sum();
        let mut best: Option<(f64, Vec<f64>)> = None;
        for (values, _) in &all {
            let gain = held - off(&gives, values);
            if gain <= SAME {
                continue;
            }
            let nearest = all.iter().filter(|a| self.is_as_hard(&a.0, values));
            let chance = nearest.map(|a| a.1).sum::<f64>() / sum;
            let mut each = values.iter().zip(&gives).zip(&self.smaller);
            let is_smaller = each.all(|((v, d), s)| (v - d.preferred) * s >= -SAME);
            let by_rule = if is_smaller { 1.0 } else { AGAINST_THE_RULE };
            let worth = gain * chance * by_rule;
            if best.as_ref().is_none_or(|(most, _)| worth > *most) {
                best = Some((worth, values.clone()));
            }
        }
        self.trying = best?.1;
        Some(with(job, &self.trying))
    }

    /// What was tried came to nothing better in so many steps.
    pub(super) fn failed(&mut self, steps: u64) {
        let steps = steps as f64;
        if let Some(tried) = self.tried.iter_mut().find(|t| same(&t.0, &self.trying)) {
            tried.1 += steps;
        } else if self.tried.len() < MOST_TRIED {
            self.tried.push((self.trying.clone(), steps));
        }
    }

    /// Steps spent in vain on values that ask for no larger parts.
    fn in_vain(&self, values: &[f64]) -> f64 {
        let easier = self.tried.iter().filter(|t| self.is_as_hard(values, &t.0));
        easier.map(|t| t.1).sum()
    }

    /// True where the parts of the one are nowhere smaller than those of the other.
    fn is_as_hard(&self, one: &[f64], other: &[f64]) -> bool {
        let mut both = one.iter().zip(other).zip(&self.smaller);
        both.all(|((a, b), smaller)| (a - b) * smaller <= SAME)
    }
}

fn giving(job: &Job) -> Vec<&Dimension> {
    job.dimensions.iter().filter(|d| d.gives()).collect()
}

/// The values of all dimensions, those that give others.
fn with(job: &Job, values: &[f64]) -> Vec<DimensionValue> {
    let mut values = values.iter();
    let all = job.dimensions.iter().map(|d| {
        let mut value = d.value.clone();
        if d.gives() {
            value.value = values.next().copied().unwrap_or(value.value);
        }
        value
    });
    all.collect()
}

/// How far values are from those preferred, as the score has it.
fn off(gives: &[&Dimension], values: &[f64]) -> f64 {
    let each = gives.iter().zip(values);
    each.map(|(d, v)| (v - d.preferred).abs() / (d.most - d.least))
        .sum()
}

/// The values at both ends of a dimension's range, the lower one first.
pub(super) fn both_ends(dimension: &Dimension) -> (f64, f64) {
    let values = ladder(dimension);
    let end = |value: Option<&f64>| value.copied().unwrap_or(dimension.preferred);
    (end(values.first()), end(values.last()))
}

fn same(a: &[f64], b: &[f64]) -> bool {
    a.iter().zip(b).all(|(a, b)| (a - b).abs() < SAME)
}

/// The last values on the steps towards these sides.
fn ends(gives: &[&Dimension], sides: &[f64]) -> Vec<f64> {
    let each = gives.iter().zip(sides);
    each.map(|(d, side)| {
        let (low, high) = both_ends(d);
        if *side > 0.0 { high } else { low }
    })
    .collect()
}

/// The values of a dimension, rising.
fn ladder(dimension: &Dimension) -> Vec<f64> {
    let grid = if dimension.step > 0.0 {
        dimension.step
    } else {
        FINEST
    };
    let steps = |far: f64| (far.max(0.0) / grid + 1e-9).floor().min(1e4) as i32;
    let (below, above) = (
        steps(dimension.preferred - dimension.least),
        steps(dimension.most - dimension.preferred),
    );
    let mut values: Vec<f64> = (-below..=above)
        .map(|k| dimension.preferred + grid * f64::from(k))
        .collect();
    if dimension.step <= 0.0 {
        if values.first().is_some_and(|v| v - dimension.least > SAME) {
            values.insert(0, dimension.least);
        }
        if values.last().is_some_and(|v| dimension.most - v > SAME) {
            values.push(dimension.most);
        }
    }
    values
}

/// At most so many of the values: evenly some, those next to where it is, and the one preferred.
fn about(values: Vec<f64>, here: f64, preferred: f64, most: usize) -> Vec<f64> {
    if values.len() <= most {
        return values;
    }
    let each = values.len().div_ceil((most / 2).max(1));
    let at = values
        .iter()
        .position(|v| (v - here).abs() < SAME)
        .unwrap_or(0);
    let near = (most / 4).max(1);
    let is_kept = |k: usize, v: f64| {
        k.is_multiple_of(each) || k.abs_diff(at) <= near || (v - preferred).abs() < SAME
    };
    let kept = values.iter().enumerate().filter(|(k, v)| is_kept(*k, **v));
    kept.map(|(_, v)| *v).collect()
}

/// Every combination of one value of each ladder.
fn every(ladders: &[Vec<f64>]) -> Vec<Vec<f64>> {
    let mut all = vec![Vec::new()];
    for ladder in ladders {
        let longer = all.iter().flat_map(|some: &Vec<f64>| {
            ladder.iter().map(move |v| {
                let mut more = some.clone();
                more.push(*v);
                more
            })
        });
        all = longer.collect();
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A job of sizes that give and nothing else, all at their least.
    fn job_of(sizes: usize) -> Job {
        let dimensions = (0..sizes).map(|k| Dimension {
            value: DimensionValue {
                name: format!("size_{k}"),
                value: 500.0,
                preferred: None,
            },
            preferred: 560.0,
            least: 500.0,
            most: 600.0,
            step: 0.0,
            follows: false,
        });
        Job {
            dimensions: dimensions.collect(),
            ..heartside_timber::prepare::prepare(&Default::default()).job
        }
    }

    #[test]
    fn of_many_sizes_two_are_tried_at_a_time_and_each_has_its_turn() {
        for count in [5, 9, 40] {
            let job = job_of(count);
            let mut sizes = Sizes::new(vec![-1.0; count]);
            let mut moved = vec![false; count];
            for _ in 0..2 * count {
                let values = sizes.nearer(&job, 100.0).expect("none is as preferred");
                let other: Vec<usize> = (0..count)
                    .filter(|k| values[*k].value != job.dimensions[*k].value.value)
                    .collect();
                assert!((1..=2).contains(&other.len()), "{other:?}");
                other.iter().for_each(|k| moved[*k] = true);
                sizes.failed(50);
            }
            assert!(moved.iter().all(|m| *m), "{moved:?}");
        }
    }
}
