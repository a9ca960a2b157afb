//! Brings older forms of the job file up to date, one version at a time.

use serde_json::Value;

use crate::document::VERSION;

/// Changes a file of one version into the next.
type Step = fn(&mut Value);

/// `STEPS[n]` takes version n + 1 to version n + 2.
const STEPS: [Step; VERSION as usize - 1] = [];

/// Takes a file of an older version to the present one.
pub(super) fn to_present(value: &mut Value, version: u64) {
    through(value, version, &STEPS);
}

/// Takes a file through every step from `version` on, and writes the version it arrives at.
fn through(value: &mut Value, version: u64, steps: &[Step]) {
    let done = usize::try_from(version.saturating_sub(1)).unwrap_or(steps.len());
    for step in steps.iter().skip(done) {
        step(value);
    }
    if let Some(object) = value.as_object_mut() {
        object.insert("version".into(), Value::from(steps.len() as u64 + 1));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn every_step_from_the_version_on_is_taken_in_order() {
        let steps: [Step; 3] = [
            |v| v["path"] = json!(format!("{}a", v["path"].as_str().unwrap_or_default())),
            |v| v["path"] = json!(format!("{}b", v["path"].as_str().unwrap_or_default())),
            |v| v["path"] = json!(format!("{}c", v["path"].as_str().unwrap_or_default())),
        ];
        for (version, path) in [(1, "abc"), (2, "bc"), (4, "")] {
            let mut value = json!({"version": version, "path": ""});
            through(&mut value, version, &steps);
            assert_eq!(value, json!({"version": 4, "path": path}));
        }
    }
}
