//! Of version 1 inches were shown to 1/16 unless set, and a price by the board foot went by what
//! the board measured.

use serde_json::Value;

use super::rows;
use crate::diagnostic::{Diagnostic, Level, Place, Subject};

/// Tells that inches are shown finer now where no fraction was set.
pub(super) fn finer_inches(job: &Value) -> Option<Diagnostic> {
    let inches = job.pointer("/units/length").and_then(Value::as_str) == Some("in");
    let unset = job.pointer("/units/fraction").is_none_or(Value::is_null);
    (inches && unset).then(|| Diagnostic {
        code: "older-inches".into(),
        level: Level::Note,
        message: "inches are now shown to 1/32".into(),
        place: Place {
            subject: Subject::Job,
            field: Some("units.fraction".into()),
            ..Place::default()
        },
        hint: Some("choose another fraction for the job where 1/32 is too fine".into()),
    })
}

/// Tells of boards whose price goes by the trade's tally now.
pub(super) fn board_feet_by_the_tally(job: &mut Value) -> Vec<Diagnostic> {
    let mut told = Vec::new();
    for (row, board) in rows(job, "/boards").enumerate() {
        if board.pointer("/price/per").and_then(Value::as_str) != Some("board_foot") {
            continue;
        }
        let text = |field: &str| board.get(field).and_then(Value::as_str).map(str::to_owned);
        told.push(Diagnostic {
            code: "older-price".into(),
            level: Level::Note,
            message:
                "its price by the board foot now goes by the trade\u{2019}s tally: whole feet of \
                      length, square feet rounded, and the thickness it was sold as"
                    .into(),
            place: Place {
                subject: Subject::Board,
                row: Some(row),
                id: text("id"),
                name: text("name"),
                field: Some("nominal".into()),
                ..Place::default()
            },
            hint: Some("write in what it was sold as, such as 8/4".into()),
        });
    }
    told
}
