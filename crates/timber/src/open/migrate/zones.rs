//! In version 1 nothing was kept between a saw and a fixing unless a distance was set.

use serde_json::Value;

use super::rows;
use crate::defaults::FIXING_KEEP_OFF;
use crate::diagnostic::{Diagnostic, Level, Place, Subject};

/// Tells of the fixings that are now kept at the usual distance because none was set.
pub(super) fn keep_clear_of_fixings(job: &mut Value) -> Vec<Diagnostic> {
    let mut told = Vec::new();
    for (row, board) in rows(job, "/boards").enumerate() {
        let unset = |zone: &&Value| {
            zone.get("kind").and_then(Value::as_str) == Some("fixing")
                && zone.get("margin").is_none_or(Value::is_null)
        };
        let zones = board.get("zones").and_then(Value::as_array);
        let count = zones.map_or(0, |zones| zones.iter().filter(unset).count());
        if count == 0 {
            continue;
        }
        let text = |field: &str| board.get(field).and_then(Value::as_str).map(str::to_owned);
        let what = if count == 1 {
            "1 fixing".into()
        } else {
            format!("{count} fixings")
        };
        told.push(Diagnostic {
            code: "older-fixing".into(),
            level: Level::Note,
            message: format!(
                "the saw is now kept {FIXING_KEEP_OFF} mm clear of {what} for which no distance was set"
            ),
            place: Place {
                subject: Subject::Board,
                row: Some(row),
                id: text("id"),
                name: text("name"),
                field: Some("zones".into()),
                ..Place::default()
            },
            hint: Some("set a distance of your own where you know better".into()),
        });
    }
    told
}
