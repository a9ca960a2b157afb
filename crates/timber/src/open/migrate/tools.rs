//! Version 1 knew of a tool only whether it had a fence.

use serde_json::Value;

use super::rows;
use crate::defaults::LEAST_HELD;
use crate::diagnostic::{Diagnostic, Level, Place, Subject};
use crate::prepare::workshop::{ANY_CROSSCUT_SAW, ANY_RIP_SAW};

/// Gives every tool its guide, and tells what each was taken for.
///
/// The reading errs on the side that asks more: a tool that only crosscuts is taken for one
/// with a fence square to the cut, and a saw that follows lines leaves no true edge.
pub(super) fn say_their_guide(job: &mut Value) -> Vec<Diagnostic> {
    let mut told = Vec::new();
    for (row, tool) in rows(job, "/workshop/tools").enumerate() {
        let Some(fields) = tool.as_object_mut() else {
            continue;
        };
        let does = |kind: &str| {
            let kinds = fields.get("does").and_then(Value::as_array);
            kinds.is_some_and(|kinds| kinds.iter().any(|k| k.as_str() == Some(kind)))
        };
        let fence = match fields.get("fence") {
            None => false,
            Some(Value::Bool(fence)) => *fence,
            // Not a word that this step can read: kept as it is and named on opening.
            Some(_) => continue,
        };
        let (rips, crosscuts, saws) = (does("rip"), does("crosscut"), does("sawn"));
        let (guide, moves, taken_for) = match (fence, rips, crosscuts, saws) {
            (true, false, true, false) | (false, false, true, false) => {
                ("square", false, "a saw with a fence square to the cut")
            }
            (true, ..) => ("along", true, "a saw with a rip fence"),
            (false, _, _, true) => (
                "none",
                rips,
                "a saw without a guide, whose edges are not true enough for a fence",
            ),
            (false, ..) => (
                "along",
                false,
                "a saw guided along a rail on the clamped board",
            ),
        };
        fields.remove("fence");
        fields.insert("guide".into(), guide.into());
        fields.insert("work_moves".into(), moves.into());
        let hand_fed = (guide == "square" || moves) && !saws;
        let least = if hand_fed && !fields.contains_key("min_piece") {
            format!(
                " It now holds no piece by less than {LEAST_HELD} mm, which is usual where nothing else is set."
            )
        } else {
            String::new()
        };
        if fence && least.is_empty() {
            // A fence was said, and nothing else changes.
            continue;
        }
        let name = fields
            .get("name")
            .and_then(Value::as_str)
            .map(str::to_owned);
        told.push(Diagnostic {
            code: "older-tool".into(),
            level: Level::Note,
            message: format!(
                "\u{201c}{}\u{201d} is taken for {taken_for}.{least}",
                crate::words::shortened(name.as_deref().unwrap_or("a tool"))
            ),
            place: Place {
                subject: Subject::Workshop,
                row: Some(row),
                id: name.clone(),
                name,
                field: Some(format!("tools[{row}].guide")),
                ..Place::default()
            },
            hint: Some("change it among the tools if it is another kind of tool".into()),
        });
    }
    told
}

/// Where a workshop named no tools, plans called those that stood in "Rip" and "Crosscut".
pub(super) fn name_any_saw(job: &mut Value) {
    let has_tools = job
        .pointer("/workshop/tools")
        .and_then(Value::as_array)
        .is_some_and(|tools| !tools.is_empty());
    if has_tools {
        return;
    }
    for layout in rows(job, "/plan/layouts") {
        name_in_cuts(layout);
    }
    for kept in rows(job, "/plans") {
        for layout in rows(kept, "/plan/layouts") {
            name_in_cuts(layout);
        }
    }
}

fn name_in_cuts(layout: &mut Value) {
    for node in rows(layout, "/cuts/nodes") {
        let name = match node.get("tool").and_then(Value::as_str) {
            Some("Rip") => ANY_RIP_SAW,
            Some("Crosscut") => ANY_CROSSCUT_SAW,
            _ => continue,
        };
        node["tool"] = Value::from(name);
    }
}
