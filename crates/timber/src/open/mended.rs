//! Lets go of what was kept aside once its field has been written anew.

use serde::Serialize;
use serde_json::Value;

use crate::document::Unknown;
use crate::keep::KEPT_ASIDE;
use crate::path::{at, read_path};

/// The unknown fields of a row without the values kept aside for fields in which `new`
/// differs from `old`.
pub(crate) fn without_mended<T: Serialize>(unknown: &Unknown, old: &T, new: &T) -> Unknown {
    let mut unknown = unknown.clone();
    let values = (serde_json::to_value(old), serde_json::to_value(new));
    let (Ok(old), Ok(new)) = values else {
        return unknown;
    };
    let Some(Value::Array(list)) = unknown.get_mut(KEPT_ASIDE) else {
        return unknown;
    };
    if list.is_empty() {
        return unknown;
    }
    list.retain(|entry| {
        let known = entry.get("known") == Some(&Value::Bool(true));
        let path = entry
            .get("field")
            .and_then(Value::as_str)
            .and_then(read_path);
        // A strange field is nobody's to mend.
        let Some(path) = path.filter(|_| known) else {
            return true;
        };
        at(&old, &path) == at(&new, &path)
    });
    if list.is_empty() {
        unknown.remove(KEPT_ASIDE);
    }
    unknown
}
