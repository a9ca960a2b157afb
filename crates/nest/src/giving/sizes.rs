//! Which values of the dimensions to try next.

use heartside_timber::job::{Dimension, Job};
use heartside_timber::plan::DimensionValue;

/// Values are looked for to this, in mm, where the maker has set no steps: what a rule shows.
const FINEST: f64 = 1.0;

/// Up to so many dimensions all corners of their ranges are tried together.
const MOST_CORNERS: usize = 4;

/// The values to try in one round.
///
/// First nearer to what is preferred, dimension by dimension in the maker's order: the preferred value,
/// then halving the way to it. Then further off, at the ends of the ranges, all dimensions together
/// and each by itself: what saves a part or timber there is brought nearer again.
#[derive(Debug, Default)]
pub(super) struct Sizes {
    /// What was proposed last was an end of a range, and not a way nearer.
    is_end: bool,
    /// Which dimension is brought nearer, and the value nearest to where it is that failed.
    nearer: usize,
    failed: Option<f64>,
    /// How many of the ends have been tried.
    ends: usize,
    through: bool,
}

impl Sizes {
    /// The values to try next, of every dimension of the job; none where the round has no more.
    pub(super) fn next(&mut self, job: &Job) -> Option<Vec<DimensionValue>> {
        let gives: Vec<usize> = (0..job.dimensions.len())
            .filter(|k| job.dimensions[*k].gives())
            .collect();
        while let Some(&at) = gives.get(self.nearer) {
            let dimension = &job.dimensions[at];
            let goal = self.failed.unwrap_or(dimension.preferred);
            let value = match self.failed {
                None => Some(goal).filter(|goal| *goal != dimension.value.value),
                Some(_) => between(dimension, dimension.value.value, goal),
            };
            match value {
                Some(value) => {
                    self.is_end = false;
                    return Some(with(job, &[(at, value)]));
                }
                None => {
                    self.nearer += 1;
                    self.failed = None;
                }
            }
        }
        let corners = if gives.len() > 1 && gives.len() <= MOST_CORNERS {
            1 << gives.len()
        } else {
            0
        };
        while self.ends < corners + 2 * gives.len() {
            let end = self.ends;
            self.ends += 1;
            let changed: Vec<(usize, f64)> = if end < corners {
                let place = |(bit, at): (usize, &usize)| {
                    (*at, last(&job.dimensions[*at], end >> bit & 1 == 1))
                };
                gives.iter().enumerate().map(place).collect()
            } else {
                let (at, upper) = (gives[(end - corners) / 2], (end - corners) % 2 == 1);
                vec![(at, last(&job.dimensions[at], upper))]
            };
            let values = with(job, &changed);
            if values
                .iter()
                .zip(&job.dimensions)
                .any(|(v, d)| v.value != d.value.value)
            {
                self.is_end = true;
                return Some(values);
            }
        }
        self.through = true;
        None
    }

    /// True where the round has no more values to try.
    pub(super) fn is_through(&self) -> bool {
        self.through
    }

    /// The job of this trial is held from now on: what is nearer to what is preferred is tried again.
    pub(super) fn took(&mut self) {
        if self.is_end {
            self.nearer = 0;
            self.failed = None;
        }
        self.through = false;
    }

    /// This trial came to nothing better.
    pub(super) fn failed(&mut self, tried: &Job) {
        if self.is_end {
            return;
        }
        let gives = tried.dimensions.iter().filter(|d| d.gives());
        self.failed = gives.map(|d| d.value.value).nth(self.nearer);
    }

    /// The job for these values came out as it was: they are not tried.
    pub(super) fn passed_over(&mut self) {
        if !self.is_end {
            self.nearer += 1;
            self.failed = None;
        }
    }
}

/// All values, some of them others.
fn with(job: &Job, changed: &[(usize, f64)]) -> Vec<DimensionValue> {
    let mut values: Vec<DimensionValue> = job.dimensions.iter().map(|d| d.value.clone()).collect();
    for (at, value) in changed {
        values[*at].value = *value;
    }
    values
}

/// The last value at an end of the range that lies on the dimension's steps.
fn last(dimension: &Dimension, upper: bool) -> f64 {
    let end = if upper {
        dimension.most
    } else {
        dimension.least
    };
    if dimension.step <= 0.0 {
        return end;
    }
    let steps = ((end - dimension.preferred) / dimension.step).abs() + 1e-9;
    let far = steps.floor() * dimension.step;
    if upper {
        dimension.preferred + far
    } else {
        dimension.preferred - far
    }
}

/// A value about half way from where it is to one that failed; none where nothing lies between.
fn between(dimension: &Dimension, here: f64, failed: f64) -> Option<f64> {
    let grid = if dimension.step > 0.0 {
        dimension.step
    } else {
        FINEST
    };
    let steps = ((failed - here) / grid).abs();
    if steps < 1.5 {
        return None;
    }
    let middle = (here + failed) / 2.0;
    let value = dimension.preferred + ((middle - dimension.preferred) / grid).round() * grid;
    let is_between = (value - here).abs() > 1e-9 && (value - failed).abs() > 1e-9;
    (is_between && dimension.may_be(value)).then_some(value)
}
