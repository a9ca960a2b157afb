//! What found no place, in rows as a person reads them.

use heartside_geometry::Arrange;
use heartside_timber::document::PartCopy;
use heartside_timber::job::{Job, Part};
use heartside_timber::length::{write_dimension, write_length};
use heartside_timber::plan::{Plan, Unplaced};
use heartside_timber::staves::stave_named;
use heartside_timber::words::listed;

use crate::finished::finished_size;

/// One row: a part, or all staves of one panel that wait for the same reason.
pub struct Waiting<'a> {
    /// What waits; never empty.
    pub of: Vec<&'a Unplaced>,
    /// "Leg", "Top, stave 3", "Top, stave 3, piece 2" or "Top, staves 1, 3 and 4".
    pub name: String,
}

/// The parts of a plan that found no place, in its order.
pub fn waiting<'a>(job: &Job, plan: &'a Plan) -> Vec<Waiting<'a>> {
    let mut rows: Vec<Vec<&Unplaced>> = Vec::new();
    for unplaced in plan.unplaced.iter().filter(|u| !u.copies.is_empty()) {
        let alike = |row: &&mut Vec<&Unplaced>| are_of_one_panel(row[0], unplaced);
        match rows.iter_mut().find(alike) {
            Some(row) => row.push(unplaced),
            None => rows.push(vec![unplaced]),
        }
    }
    let named = |of: Vec<&'a Unplaced>| Waiting {
        name: name_of(job, &of),
        of,
    };
    rows.into_iter().map(named).collect()
}

fn are_of_one_panel(a: &Unplaced, b: &Unplaced) -> bool {
    let panel = |u: &Unplaced| stave_named(&u.part).map(|s| (s.panel.to_owned(), s.copy));
    panel(a).is_some() && panel(a) == panel(b) && a.reason == b.reason && a.longest == b.longest
}

fn name_of(job: &Job, of: &[&Unplaced]) -> String {
    let first = of[0];
    let Some(stave) = stave_named(&first.part) else {
        let part = job.part(&first.part);
        return part.map_or_else(|| first.part.clone(), |p| p.name.clone());
    };
    let glued = PartCopy {
        part: stave.panel.to_owned(),
        copy: stave.copy,
    };
    let name = job.name_of(&glued).unwrap_or(glued.part);
    if of.len() == 1 {
        return format!("{name}, {}", stave.words());
    }
    let named = of.iter().filter_map(|u| stave_named(&u.part));
    let mut numbers: Vec<u32> = named.map(|s| s.number).collect();
    numbers.arrange_by(u32::cmp);
    numbers.dedup();
    let words: Vec<String> = numbers.iter().map(u32::to_string).collect();
    match words.len() {
        1 => format!("{name}, stave {}", stave.number),
        _ => format!("{name}, staves {}", listed(&words)),
    }
}

impl Waiting<'_> {
    /// How many pieces wait.
    pub fn pieces(&self) -> usize {
        self.of.iter().map(|u| u.copies.len()).sum()
    }

    /// The one that the least board would take.
    pub fn least(&self) -> &Unplaced {
        let volume = |u: &Unplaced| u.least_board.map_or(f64::INFINITY, |b| b.iter().product());
        let mut least = self.of[0];
        for unplaced in &self.of[1..] {
            if volume(unplaced) < volume(least) {
                least = unplaced;
            }
        }
        least
    }

    /// Its finished size: "900 × 240 × 22 mm", of staves "1340 × 80 to 120 × 21 mm".
    pub(crate) fn finished(&self, job: &Job) -> String {
        let parts: Vec<&Part> = self.of.iter().filter_map(|u| job.part(&u.part)).collect();
        let Some(part) = parts.first() else {
            return String::new();
        };
        let span = |of: fn(&Part) -> f64| {
            let sizes = || parts.iter().map(|p| of(p));
            let ends = [
                sizes().fold(f64::INFINITY, f64::min),
                sizes().fold(0.0, f64::max),
            ];
            match ends.map(|mm| write_dimension(mm, &job.units)) {
                [least, most] if least == most => least,
                [least, most] => format!("{least} to {most}"),
            }
        };
        let size = match parts.len() {
            1 => finished_size(job, part),
            _ => format!("{} × {}", span(Part::length), span(Part::width)),
        };
        format!("{size} × {}", write_length(part.thickness, &job.units))
    }
}
