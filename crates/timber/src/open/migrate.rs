//! Brings older forms of the job file up to date, one version at a time.

mod shown;
mod tools;
mod zones;

use serde_json::Value;

use crate::diagnostic::Diagnostic;
use crate::document::VERSION;

/// Changes a file of one version into the next, and says what now counts differently.
type Step = fn(&mut Value) -> Vec<Diagnostic>;

/// `STEPS[n]` takes version n + 1 to version n + 2.
const STEPS: [Step; VERSION as usize - 1] = [guides_and_fixings, done_cuts];

/// Takes a file of an older version to the present one. What a person should look at, because
/// the same file now means something else, comes back; it is told once, for saving writes the
/// new form.
pub(super) fn to_present(value: &mut Value, version: u64) -> Vec<Diagnostic> {
    through(value, version, &STEPS)
}

/// Takes a file through every step from `version` on, and writes the version it arrives at.
fn through(value: &mut Value, version: u64, steps: &[Step]) -> Vec<Diagnostic> {
    let done = usize::try_from(version.saturating_sub(1)).unwrap_or(steps.len());
    let told = steps
        .iter()
        .skip(done)
        .flat_map(|step| step(value))
        .collect();
    if let Some(object) = value.as_object_mut() {
        object.insert("version".into(), Value::from(steps.len() as u64 + 1));
    }
    told
}

/// Version 1 to 2: tools say what guides them and whether their edges are true, fixings are
/// kept at a distance unless set, and a dimension's value is the preferred one.
fn guides_and_fixings(job: &mut Value) -> Vec<Diagnostic> {
    tools::name_any_saw(job);
    let mut told = tools::say_their_guide(job);
    told.extend(zones::keep_clear_of_fixings(job));
    told.extend(shown::finer_inches(job));
    told.extend(shown::board_feet_by_the_tally(job));
    told.extend(zones::count_from_the_start_end(job));
    for dimension in rows(job, "/dimensions") {
        rename(dimension, "value", "preferred");
    }
    for board in rows(job, "/boards") {
        // Never written by the program; whatever stands there is kept and named.
        rename(board, "from", "from_in_form_1");
    }
    told
}

/// Version 2 to 3: cuts that were made leave pieces, and nothing that an older file can say
/// means anything else.
fn done_cuts(_: &mut Value) -> Vec<Diagnostic> {
    Vec::new()
}

/// The rows of a list; none where there is no list.
fn rows<'a>(job: &'a mut Value, pointer: &str) -> impl Iterator<Item = &'a mut Value> {
    job.pointer_mut(pointer)
        .and_then(Value::as_array_mut)
        .into_iter()
        .flatten()
}

/// Gives a field another name, unless one of that name is there.
fn rename(row: &mut Value, old: &str, new: &str) {
    if let Some(fields) = row.as_object_mut()
        && !fields.contains_key(new)
        && let Some(value) = fields.remove(old)
    {
        fields.insert(new.into(), value);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn every_step_from_the_version_on_is_taken_in_order() {
        fn add(value: &mut Value, letter: char) -> Vec<Diagnostic> {
            let path = value["path"].as_str().unwrap_or_default();
            value["path"] = json!(format!("{path}{letter}"));
            Vec::new()
        }
        let steps: [Step; 3] = [|v| add(v, 'a'), |v| add(v, 'b'), |v| add(v, 'c')];
        for (version, path) in [(1, "abc"), (2, "bc"), (4, "")] {
            let mut value = json!({"version": version, "path": ""});
            through(&mut value, version, &steps);
            assert_eq!(value, json!({"version": 4, "path": path}));
        }
    }

    #[test]
    fn a_row_that_is_no_row_stays_as_it_is() {
        let odd = json!({"version": 1, "workshop": {"tools": [7, null, "saw", {"does": 3, "fence": "yes"}]},
                         "dimensions": {"value": 3}, "boards": [[], {"zones": 4}, {"zones": [1]}]});
        let mut value = odd.clone();
        to_present(&mut value, 1);
        assert_eq!(value["dimensions"], odd["dimensions"]);
        assert_eq!(value["boards"], odd["boards"]);
        assert_eq!(value["workshop"]["tools"][3]["fence"], "yes");
    }
}
