//! Rule 2: room for the saw between blanks.

use heartside_geometry::separation_at_most;
use heartside_timber::document::BoardCopy;
use heartside_timber::finding::{Finding, Rule};
use heartside_timber::job::Job;

use crate::index::{JobIndex, Piece};
use crate::report::{About, broken, in_order};

/// Whether two blanks on one board are nearer than the kerf that parts them.
pub(crate) fn kerf_between(
    index: &JobIndex<'_>,
    copy: &BoardCopy,
    a: &Piece,
    b: &Piece,
    kerf: f64,
) -> Option<Finding> {
    let (a, b) = in_order(a, b);
    let needed = kerf + a.radius + b.radius;
    if a.bounds.separation(&b.bounds) >= kerf {
        return None;
    }
    let found = separation_at_most(&a.core, &b.core, needed)?;
    let by = needed - found.amount;
    if by <= index.slack() {
        return None;
    }
    let message = index
        .words()
        .too_near_each_other(&a.copy, &b.copy, copy, by, kerf);
    let at = Job::between(found.from, found.to);
    Some(
        broken(Rule::Kerf, "too-near-part", message)
            .on(copy)
            .of(&a.copy)
            .of(&b.copy)
            .at(at)
            .mm(by),
    )
}
