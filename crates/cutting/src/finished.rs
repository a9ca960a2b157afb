//! The finished size of a part, in words.

use heartside_timber::job::{Form, Job, Part};
use heartside_timber::length::write_dimension;

/// The finished length and width of a part, as written on drawings: "742 × 56 → 32".
pub fn finished_size(job: &Job, part: &Part) -> String {
    let show = |mm: f64| write_dimension(mm, &job.units);
    match part.form {
        Form::Taper(start, end) if (start - end).abs() > 1e-9 => {
            format!("{} × {} → {}", show(part.length()), show(start), show(end))
        }
        Form::Round if (part.length() - part.width()).abs() < 0.2 => {
            format!("⌀ {}", show(part.length()))
        }
        _ => format!("{} × {}", show(part.length()), show(part.width())),
    }
}
