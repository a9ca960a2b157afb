//! From a document as typed to a job that engines can trust.
//!
//! Every problem is reported at once, each with its place and how to mend it. A board or
//! part with an error is left out of the job, so that the sound rest can be planned; a
//! warning leaves the thing in.

mod board;
mod dimensions;
mod fit;
mod outline;
mod part;
mod price;
mod reading;
mod relations;
mod settings;
mod shape;
mod unknown;
mod workshop;
mod zone;

use std::collections::BTreeMap;

use heartside_geometry::Tolerance;

use crate::diagnostic::Diagnostic;
use crate::document::Document;
use crate::ids::{TakenIds, is_safe_id};
use crate::job::{Goal, Job};

use reading::{Reading, Thing};

/// A job and everything that is wrong with the document it came from.
#[derive(Debug, Clone, PartialEq)]
pub struct Prepared {
    /// The sound rest; boards and parts with an error are not in it.
    pub job: Job,
    /// All problems: the job as a whole first, then workshop, dimensions, boards, parts,
    /// relations, and last what fits nowhere.
    pub diagnostics: Vec<Diagnostic>,
}

impl Prepared {
    /// True if something had to be left out.
    pub fn has_errors(&self) -> bool {
        self.diagnostics
            .iter()
            .any(|d| d.level == crate::diagnostic::Level::Error)
    }
}

/// Reads a document into a job with its dimensions as they stand.
///
/// Never fails: the worst document gives an empty job and its diagnostics.
///
/// # Cost
/// O(total size of the document + corners log corners + parts x boards).
pub fn prepare(document: &Document) -> Prepared {
    prepare_with(document, &BTreeMap::new())
}

/// As [`prepare`], with other values for some of the named dimensions, in mm.
///
/// A plan that stretched dimensions is judged against the job made with its values. A
/// value for a name that the document does not have is passed over.
pub fn prepare_with(document: &Document, values: &BTreeMap<String, f64>) -> Prepared {
    let unit = document.units.length;
    let named = dimensions::read(document, values);
    let mut reading = Reading::new(unit, &named.table, &named.resolved.values);

    settings::note_form(document, &mut reading);
    let units = settings::display_units(document, &mut reading);
    let order = settings::order(document, &mut reading);
    let offcut_value = settings::offcut_value(document, &mut reading);
    unknown::note_all(document, &mut reading);

    let workshop = workshop::workshop(&document.workshop, &mut reading);
    let dimensions = dimensions::ranges(document, &named, &mut reading);
    let allowances = workshop::allowances(
        &document.allowances,
        &workshop::USUAL_ALLOWANCES,
        &Thing::job(),
        &mut reading,
    )
    .unwrap_or(workshop::USUAL_ALLOWANCES);

    let prices = price::Rates::read(document, &mut reading);
    let drafts = board::boards(document, &prices, &mut reading);
    let (boards, cost_is_volume) = prices.settle(document, drafts, &mut reading);
    let parts = part::parts(document, &allowances, &prices, &mut reading);
    let matches = relations::matches(document, &parts, &mut reading);
    let pins = relations::pins(document, &parts, &boards, &mut reading);
    relations::note_panels(document, &mut reading);
    dimensions::note_unused(document, &named, &mut reading);

    let job = Job {
        title: document.title.clone(),
        units,
        currency: if cost_is_volume {
            String::new()
        } else {
            document.currency.clone().unwrap_or_default()
        },
        cost_is_volume,
        offcut_value,
        goal: Goal::Furnish,
        order,
        tolerance: Tolerance::JOB,
        workshop,
        boards,
        parts,
        matches,
        pins,
        dimensions,
        revision: document.revision,
    };
    fit::note_misfits(document, &job, &mut reading);
    Prepared {
        job,
        diagnostics: reading.notes,
    }
}

/// Ids that were seen, to find doubles.
#[derive(Default)]
struct Ids {
    seen: TakenIds,
}

impl Ids {
    /// Notes an id that is missing, unsafe or used twice; true if it can be used.
    fn take(&mut self, id: &str, thing: &Thing, kind: &str, reading: &mut Reading<'_>) -> bool {
        if id.is_empty() {
            reading.error(
                "id-missing",
                thing.field("id"),
                format!("this {kind} has no id"),
                "give it a short one, such as A or leg",
            );
            return false;
        }
        if !is_safe_id(id) {
            reading.error(
                "id-not-usable",
                thing.field("id"),
                format!("the id of this {kind} has signs that cannot be used"),
                "use letters, figures, - and _ (at most 60), beginning with a letter or figure",
            );
            return false;
        }
        // Files are named after ids, and some systems do not tell capitals apart.
        if !self.seen.take(id) {
            reading.error(
                "id-used-twice",
                thing.field("id"),
                format!("the id \u{201c}{id}\u{201d} is used twice"),
                format!("give this {kind} another id; the first one keeps it"),
            );
            return false;
        }
        true
    }
}

#[cfg(test)]
mod tests;
