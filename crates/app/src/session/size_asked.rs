//! What was asked of one size, value by value, and what is known so far.

use heartside_geometry::Arrange;
use heartside_nest::Search;
use heartside_timber::job::Dimension;
use heartside_timber::plan::Plan;

/// So many values are looked at, the ends of the range among them.
const POINTS: u32 = 13;
/// What was asked of a size, and what is known so far.
#[derive(Debug)]
pub(super) struct Asked {
    pub(super) name: String,
    /// The job that it was asked of.
    pub(super) epoch: u32,
    pub(super) points: Vec<Point>,
    /// Points still to be looked at, the next one last.
    pub(super) waiting: Vec<usize>,
    pub(super) running: Option<Running>,
}

#[derive(Debug)]
pub(super) struct Point {
    pub(super) value: f64,
    pub(super) found: Option<Found>,
}

#[derive(Debug)]
pub(super) struct Found {
    pub(super) plan: Plan,
    pub(super) cost: f64,
    pub(super) missing: u64,
    pub(super) is_sound: bool,
    /// What is in the way of this value as the plan on the floor lies.
    pub(super) why: Option<String>,
}

pub(super) struct Running {
    pub(super) point: usize,
    pub(super) search: Search,
    pub(super) left: u64,
}

impl std::fmt::Debug for Running {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Running")
            .field("point", &self.point)
            .finish_non_exhaustive()
    }
}

/// Values over the range of a size, on its steps: the ends, the one preferred and the one it has among them.
pub(super) fn values(dimension: &Dimension) -> Vec<f64> {
    let (least, most) = (dimension.least, dimension.most);
    let share = |k: u32| least + (most - least) * f64::from(k) / f64::from(POINTS - 1);
    let on_step = |value: f64| match dimension.step > 0.0 {
        true => {
            let steps = ((value - dimension.preferred) / dimension.step).round();
            dimension.preferred + steps * dimension.step
        }
        // A tenth, as a rule shows it.
        false => (value * 10.0).round() / 10.0,
    };
    let even = (0..POINTS).map(|k| on_step(share(k)));
    let mut values: Vec<f64> = even
        .chain([dimension.preferred, dimension.value.value])
        .filter(|value| dimension.may_be(*value))
        .collect();
    values.arrange_by(f64::total_cmp);
    values.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
    values
}
