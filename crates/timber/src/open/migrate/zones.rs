//! In version 1 nothing was kept between a saw and a fixing unless a distance was set, and spots
//! on boards entered by corners were taken from where the corners count as 0.

use serde_json::Value;

use super::rows;
use crate::defaults::FIXING_KEEP_OFF;
use crate::diagnostic::{Diagnostic, Level, Place, Subject};
use crate::words::counted;

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
        let what = counted(count, "fixing", "fixings");
        told.push(Diagnostic {
            code: "older-fixing".into(),
            level: Level::Note,
            message: format!(
                "the saw is now kept {FIXING_KEEP_OFF} mm clear of {what} for which no distance was set"
            ),
            place: zones_of(board, row),
            hint: Some("set a distance of your own where you know better".into()),
        });
    }
    told
}

/// Tells of the spots that lie elsewhere now: they count from the board's start end, as the form
/// always said, and no longer from where its corners begin to count.
pub(super) fn count_from_the_start_end(job: &mut Value) -> Vec<Diagnostic> {
    let mut told = Vec::new();
    for (row, board) in rows(job, "/boards").enumerate() {
        let is_spot =
            |zone: &&Value| zone.pointer("/shape/form").and_then(Value::as_str) == Some("spot");
        let zones = board.get("zones").and_then(Value::as_array);
        let corners = board.pointer("/outline/points").and_then(Value::as_array);
        let (Some(zones), Some(corners)) = (zones, corners) else {
            continue;
        };
        let count = zones.iter().filter(is_spot).count();
        // A length that is an expression may be anything: better told once too often.
        let is_at_nought = |corner: &Value| match corner.get(0) {
            Some(x) => x.as_f64().or_else(|| x.get("mm")?.as_f64()) == Some(0.0),
            None => false,
        };
        let begins_before = corners.iter().any(|corner| {
            let x = corner.get(0);
            x.and_then(|x| x.as_f64().or_else(|| x.get("mm")?.as_f64()))
                .is_none_or(|x| x < 0.0)
        });
        if count == 0 || (corners.iter().any(is_at_nought) && !begins_before) {
            continue;
        }
        told.push(Diagnostic {
            code: "older-spot".into(),
            level: Level::Warning,
            message: "marked areas measured by their middle now count from this board\u{2019}s start end, \
                      and lay elsewhere before: they counted from where its corners begin"
                .into(),
            place: zones_of(board, row),
            hint: Some(
                "look where they lie; measure again those that were moved to suit the picture".into(),
            ),
        });
    }
    told
}

/// The place of a board's marked areas.
fn zones_of(board: &Value, row: usize) -> Place {
    let text = |field: &str| board.get(field).and_then(Value::as_str).map(str::to_owned);
    Place {
        subject: Subject::Board,
        row: Some(row),
        id: text("id"),
        name: text("name"),
        field: Some("zones".into()),
        ..Place::default()
    }
}
