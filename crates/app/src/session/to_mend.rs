//! How many things must be mended before anything can be planned with them.

use heartside_timber::diagnostic::Subject;
use heartside_timber::prepare::Prepared;

/// How many rows have a problem, so that nothing can be planned with them.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct ToMend {
    pub(super) boards: usize,
    pub(super) parts: usize,
}

impl ToMend {
    pub(super) fn of(prepared: &Prepared) -> ToMend {
        let left_out = |subject: Subject| {
            let rows = prepared.left_out.iter();
            rows.filter(|row| row.subject == subject).count()
        };
        ToMend {
            boards: left_out(Subject::Board),
            parts: left_out(Subject::Part),
        }
    }
}
