//! The forms of the workshop: kerfs, trims, allowances, tools.

use serde_json::Value;

use super::path;
use super::spec::{Kind, Sheet, Spec, field, length, number};
use super::switches;

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

fn follows_lines(tool: &Value) -> bool {
    does(tool, "sawn")
}

fn trues_edges(tool: &Value) -> bool {
    does(tool, "true_edge")
}

fn cuts(tool: &Value) -> bool {
    !trues_edges(tool)
}

fn has_rip_fence(tool: &Value) -> bool {
    switches::guide_now(tool) == "rip_fence"
}

fn has_no_rip_fence(tool: &Value) -> bool {
    !has_rip_fence(tool)
}

/// A guide along the cut says by itself whether the work moves.
fn may_move_or_stay(tool: &Value) -> bool {
    matches!(switches::guide_now(tool).as_str(), "hand" | "square")
}

fn is_hand_fed_circular(tool: &Value) -> bool {
    switches::as_tool(tool).usual_least_held() > 0.0
}

fn is_not_hand_fed_circular(tool: &Value) -> bool {
    !is_hand_fed_circular(tool)
}

const fn does_field(path: &'static str, word: &'static str, label: &'static str) -> Spec {
    field(path, "What it does", label, Kind::Member(word))
}

const fn least_held() -> Spec {
    length("min_piece", "Limits", "Least length held safely").hint(
        "Along the fence or rail that guides it. The machine\u{2019}s manual goes before any usual value.",
    )
}

/// A tool.
pub(super) static TOOL: Sheet = Sheet {
    fields: &[
        field("name", "Tool", "Name", Kind::Text).hint("Cuts name their tool by it."),
        length("kerf", "Tool", "Kerf").needed().when(cuts),
        length("kerf", "Tool", "Takes off at most")
            .needed()
            .when(trues_edges)
            .hint("In truing an edge. It parts nothing."),
        does_field("does:rip", "rip", "Rips along the grain").below(),
        does_field("does:crosscut", "crosscut", "Cuts across the grain").below(),
        does_field("does:sawn", "sawn", "Follows a line").below(),
        does_field("does:resaw", "resaw", "Resaws thick blanks into leaves")
            .hint("Slip and book matched parts: the blade must reach through their width.").detail(),
        does_field("does:true_edge", "true_edge", "Planes an edge true").below(),
        field(
            "can_skim",
            "What it does",
            "Can take off less than its kerf",
            Kind::Flag(false),
        )
        .when(cuts).detail(),
        field(
            "guide",
            "How it is guided",
            "Guided by",
            Kind::Switch {
                choices: &[
                    ("hand", "the hand and the eye"),
                    ("rip_fence", "a rip fence that the edge runs along"),
                    ("rail", "a rail on the clamped board"),
                    ("square", "a fence square to the cut"),
                ],
                now: switches::guide_now,
                make: switches::guide,
            },
        )
        .hint(
            "Table saw: a rip fence, which needs a true edge against it. Mitre saw: a fence square to the cut. Band saw without a fence, hand saw, planer: hand and eye.",
        ).below(),
        field(
            "work_moves",
            "How it is guided",
            "The work",
            Kind::Switch {
                choices: &[
                    ("moves", "moves over the machine"),
                    ("stays", "stays, the tool moves"),
                ],
                now: switches::work_moves_now,
                make: switches::work_moves,
            },
        )
        .when(may_move_or_stay)
        .hint("What moves must not rock: a twisted board does.").detail(),
        field(
            "leaves_true_edge",
            "How it is guided",
            "The edge it leaves",
            Kind::Switch {
                choices: &[
                    ("yes", "is true: it can run along a fence"),
                    ("no", "is not true enough for a fence"),
                ],
                now: switches::true_edge_now,
                make: switches::true_edge,
            },
        ).detail(),
        length("max_length", "Limits", "Longest cut").empty("no limit").detail(),
        length("max_width", "Limits", "Widest between blade and fence")
            .empty("no limit")
            .when(has_rip_fence).detail(),
        length("max_width", "Limits", "Widest piece square to the cut")
            .empty("no limit")
            .when(has_no_rip_fence).detail(),
        length("max_depth", "Limits", "Thickest piece").empty("no limit").detail(),
        least_held()
            .usual("tool.min_piece")
            .when(is_hand_fed_circular).detail(),
        least_held()
            .empty("no limit")
            .when(is_not_hand_fed_circular).detail(),
        length("least_radius", "Limits", "Smallest inside radius")
            .empty("no limit")
            .when(follows_lines).detail(),
    ],
    tables: &[],
};
