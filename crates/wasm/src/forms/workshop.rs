//! The forms of the workshop: kerfs, trims, allowances, tools.

use serde_json::Value;

use super::path;
use super::spec::{Kind, Sheet, field, length, number};

/// The workshop's own settings.
pub(super) static WORKSHOP: Sheet = Sheet {
    fields: &[
        length("trim.end", "Trimmed off", "At raw ends").usual("trim.end"),
        length("trim.edge", "Trimmed off", "At raw edges").usual("trim.edge"),
        length(
            "fallback_kerf.rip",
            "Saw kerf without a named tool",
            "Along the grain",
        )
        .usual("fallback_kerf.rip"),
        length(
            "fallback_kerf.crosscut",
            "Saw kerf without a named tool",
            "Across the grain",
        )
        .usual("fallback_kerf.crosscut"),
        length(
            "fallback_kerf.sawn",
            "Saw kerf without a named tool",
            "By line",
        )
        .usual("fallback_kerf.sawn"),
        length(
            "min_offcut.length",
            "Offcuts worth keeping",
            "At least this long",
        )
        .usual("min_offcut.length"),
        length(
            "min_offcut.width",
            "Offcuts worth keeping",
            "At least this wide",
        )
        .usual("min_offcut.width"),
        number(
            "max_lift_kg",
            "Lifting",
            "What one person lifts (kg)",
            1.0,
            1000.0,
            false,
        )
        .usual("max_lift_kg"),
    ],
    tables: &[],
};

/// Extra wood on every blank.
pub(super) static ALLOWANCES: Sheet = Sheet {
    fields: &[
        length("end", "Extra wood", "At each end of a straight-cut part").usual("allowances.end"),
        length("edge", "Extra wood", "At each edge of a straight-cut part")
            .usual("allowances.edge"),
        length("sawn", "Extra wood", "All round a sawn part").usual("allowances.sawn"),
        length(
            "planing",
            "Planed off each face",
            "Where the warp is unknown",
        )
        .usual("allowances.planing"),
        length(
            "clean_up",
            "Planed off each face",
            "Where the warp was measured",
        )
        .usual("allowances.clean_up"),
    ],
    tables: &[],
};

fn does(tool: &Value, word: &str) -> bool {
    path::get(tool, "does")
        .and_then(Value::as_array)
        .is_some_and(|l| l.iter().any(|v| v.as_str() == Some(word)))
}

/// A tool.
pub(super) static TOOL: Sheet = Sheet {
    fields: &[
        field("name", "Tool", "Name", Kind::Text).hint("Cuts name their tool by it."),
        field(
            "does:rip",
            "Tool",
            "Rips along the grain",
            Kind::Member("rip"),
        ),
        field(
            "does:crosscut",
            "Tool",
            "Cuts across the grain",
            Kind::Member("crosscut"),
        ),
        field("does:sawn", "Tool", "Follows a line", Kind::Member("sawn")),
        length("kerf", "Tool", "Kerf").empty("the workshop\u{2019}s"),
        field(
            "does:resaw",
            "Tool",
            "Resaws thick pieces",
            Kind::Member("resaw"),
        ),
        field(
            "does:true_edge",
            "Tool",
            "Planes an edge true",
            Kind::Member("true_edge"),
        ),
        field(
            "guide",
            "Tool",
            "Guided by",
            Kind::Choice(&[
                ("none", "hand and eye"),
                ("along", "a fence or rail along the cut"),
                ("square", "a fence square to the cut"),
            ]),
        )
        .hint("The work that runs along a fence needs a straight, true edge against it."),
        field(
            "can_skim",
            "Tool",
            "Can take off less than its kerf",
            Kind::Flag(false),
        ),
        length("max_length", "Limits", "Longest cut").empty("no limit"),
        length("max_width", "Limits", "Widest piece beside the cut").empty("no limit"),
        length("max_depth", "Limits", "Thickest piece").empty("no limit"),
        length(
            "min_piece",
            "Limits",
            "Shortest piece that can be held safely",
        )
        .empty("no limit"),
        length("least_radius", "Limits", "Smallest inside radius")
            .empty("no limit")
            .when(|tool| does(tool, "sawn")),
    ],
    tables: &[],
};
