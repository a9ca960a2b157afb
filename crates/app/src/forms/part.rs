//! The form of a part.

use heartside_timber::defaults;
use heartside_timber::length::LengthContext;
use serde_json::Value;

use super::asking;
use super::path;
use super::spec::{Column, Kind, Rows, Sheet, Spec, field, length, number};
use super::{switches, wishes};
use crate::protocol::ThingKind;

fn shape(part: &Value) -> String {
    switches::part_shape_now(part)
}

fn is_taper(part: &Value) -> bool {
    shape(part) == "taper"
}

fn has_length(part: &Value) -> bool {
    matches!(shape(part).as_str(), "rectangle" | "taper" | "ellipse")
}

fn has_width(part: &Value) -> bool {
    matches!(shape(part).as_str(), "rectangle" | "ellipse")
}

fn is_disc(part: &Value) -> bool {
    shape(part) == "disc"
}

fn is_polygon(part: &Value) -> bool {
    shape(part) == "polygon"
}

fn is_arc_sided(part: &Value) -> bool {
    shape(part) == "arc_sided"
}

fn has_corners(part: &Value) -> bool {
    is_polygon(part) || is_arc_sided(part)
}

fn by_grain(part: &Value) -> bool {
    path::get(part, "turns").is_none()
}

fn is_sawn(part: &Value) -> bool {
    path::get(part, "cut").and_then(Value::as_str) == Some("sawn")
}

fn is_glued(part: &Value) -> bool {
    switches::made_now(part) == "staves"
}

fn is_joined(part: &Value) -> bool {
    is_glued(part) && path::get(part, "panel.end_to_end").and_then(Value::as_bool) == Some(true)
}

fn is_straight(part: &Value) -> bool {
    !is_sawn(part)
}

const fn allowance(path: &'static str, label: &'static str, setting: &'static str) -> Spec {
    length(path, "Extra wood", label).usual(setting)
}

const fn of_panel(path: &'static str, label: &'static str) -> Spec {
    length(path, "Made of", label).when(is_glued)
}

const ALONG: Spec = length("shape.points[#][0]", "", "Along").needed().signed();
const ACROSS: Spec = length("shape.points[#][1]", "", "Across").needed().signed();

/// Every field of a part.
pub(super) static PART: Sheet = Sheet {
    fields: &[
        field("name", "Part", "Name", Kind::Text),
        number("count", "Part", "How many", 1.0, 10_000.0, true).empty("1"),
        field(
            "shape.form",
            "Finished size",
            "Shape",
            Kind::Switch {
                choices: &[
                    ("rectangle", "square-cornered"),
                    ("taper", "tapered"),
                    ("disc", "round"),
                    ("ellipse", "oval"),
                    ("arc_sided", "with curved sides"),
                    ("polygon", "corner by corner"),
                ],
                now: switches::part_shape_now,
                make: switches::part_shape,
            },
        ),
        length("shape.length", "Finished size", "Length")
            .needed()
            .when(has_length),
        length("shape.width", "Finished size", "Width")
            .needed()
            .when(has_width),
        length("shape.start_width", "Finished size", "Width at the start")
            .needed()
            .when(is_taper),
        length("shape.end_width", "Finished size", "Width at the far end")
            .needed()
            .when(is_taper),
        field(
            "shape.both_sides",
            "Finished size",
            "Both edges slope",
            Kind::Flag(false),
        )
        .when(is_taper)
        .hint("No: one edge stays straight."),
        length("shape.diameter", "Finished size", "Diameter")
            .needed()
            .when(is_disc),
        length("thickness", "Finished size", "Thickness")
            .context(LengthContext::FinishedThickness)
            .asks(asking::thickness),
        length("tenon.start", "Finished size", "Tenon at the start")
            .empty("none")
            .hint("Added to the length; it belongs to the finished part."),
        length("tenon.end", "Finished size", "Tenon at the far end").empty("none"),
        field(
            "panel",
            "Made of",
            "Made",
            Kind::Switch {
                choices: &[("one", "in one piece"), ("staves", "glued up from staves")],
                now: switches::made_now,
                make: switches::made,
            },
        )
        .hint("Staves are cut from the boards one by one and glued side by side."),
        of_panel("panel.min_width", "Narrowest stave").usual("panel.min_width"),
        of_panel("panel.max_width", "Widest stave").empty("what the boards give"),
        number(
            "panel.max_count",
            "Made of",
            "Most staves",
            1.0,
            defaults::MOST_STAVES as f64,
            true,
        )
        .empty("as many as it needs")
        .when(is_glued),
        field("panel.equal", "Made of", "All of one width", Kind::Flag(false)).when(is_glued),
        of_panel("panel.joint", "Each joint takes")
            .empty("nothing")
            .hint("Of the width: a tongue goes into the next stave. A plain glued edge takes nothing."),
        of_panel("panel.flatten", "Flattening of each face")
            .usual("panel.flatten")
            .hint("Taken off each face once it is glued; staves are so much thicker."),
        field(
            "panel.end_to_end",
            "Made of",
            "Staves may be joined end to end",
            Kind::Flag(false),
        )
        .when(is_glued)
        .hint("Of pieces, where timber is short. End grain glued to end grain holds little (common practice, no source): use fingers or a scarf, and keep the joints away from loads."),
        of_panel("panel.min_piece", "Shortest piece")
            .usual("panel.min_piece")
            .when(is_joined),
        of_panel("panel.ends_apart", "End joints of neighbours apart")
            .usual("panel.ends_apart")
            .when(is_joined),
        of_panel("panel.end_joint", "Each end joint takes")
            .empty("nothing")
            .when(is_joined)
            .hint("Of the length: the depth of fingers or of a scarf. A butt joint takes nothing."),
        field(
            "panel.hearts",
            "Made of",
            "Heart sides",
            Kind::Choice(&[
                ("any", "as they come"),
                ("alternate", "alternating, up and down"),
                ("same", "all one way"),
            ]),
        )
        .when(is_glued),
        wishes::answer("panel.wish.answer").when(is_glued),
        wishes::spread("panel.wish.spread").when(is_glued),
        wishes::sapwood("panel.wish.sapwood").when(is_glued),
        field(
            "panel.rings",
            "In its place",
            "Growth rings",
            Kind::Choice(&[
                ("mixed", "mixed or unknown"),
                ("flat", "flat, along the faces"),
                ("quarter", "upright, quarter-sawn"),
            ]),
        )
        .when(is_glued)
        .detail(),
        number("panel.driest", "In its place", "Driest air (% humidity)", 0.0, 95.0, false)
            .empty("a heated room")
            .when(is_glued)
            .hint("How much the panel moves over the year is worked out from it. In a heated room 35 to 65, common practice, no source.")
            .detail(),
        number("panel.dampest", "In its place", "Dampest air (% humidity)", 0.0, 95.0, false)
            .empty("a heated room")
            .when(is_glued)
            .detail(),
        field("species", "Timber", "Species", Kind::Words)
            .empty("any")
            .hint("Several with commas between: European oak, white ash. Plain oak takes any oak.")
            .below(),
        field(
            "grain.axis",
            "Timber",
            "Grain runs",
            Kind::Choice(&[
                ("along", "along the part"),
                ("across", "across it"),
                ("any", "any way"),
            ]),
        )
        .when(by_grain)
        .below(),
        field(
            "faces",
            "Timber",
            "Seen",
            Kind::Choice(&[
                ("one", "one face"),
                ("both", "both faces"),
                ("none", "neither"),
                ("painted", "painted"),
            ]),
        )
        .below(),
        field(
            "cut",
            "Timber",
            "Cut",
            Kind::Choice(&[
                ("straight", "by straight cuts, as a rectangle"),
                ("sawn", "by line, following its outline"),
            ]),
        )
        .below(),
        field("id", "Mark", "Mark", Kind::Text)
            .hint("Short and used once: leg, rail-front. Drawings use it.")
            .detail(),
        number(
            "grain.tolerance",
            "Grain",
            "May be off by (degrees)",
            0.0,
            90.0,
            false,
        )
        .usual("grain.tolerance")
        .when(by_grain)
        .detail(),
        field(
            "turns",
            "Grain",
            "Only these turns (degrees)",
            Kind::Numbers,
        )
        .empty("any that the grain allows")
        .hint("Instead of the grain: 0, 180.")
        .detail(),
        field(
            "may_turn_over",
            "Faces",
            "May be turned over",
            Kind::Flag(true),
        )
        .detail(),
        field(
            "handed",
            "Faces",
            "Left and right hands differ",
            Kind::Flag(false),
        )
        .hint("Then a turned-over copy is another part.")
        .detail(),
        field(
            "fixing_ok",
            "Cutting",
            "An old fixing may stay inside",
            Kind::Flag(false),
        )
        .detail(),
        allowance("allowances.end", "At each end", "part.allowances.end")
            .when(is_straight)
            .detail(),
        allowance("allowances.edge", "At each edge", "part.allowances.edge")
            .when(is_straight)
            .detail(),
        allowance("allowances.sawn", "All round", "part.allowances.sawn")
            .when(is_sawn)
            .detail(),
        allowance(
            "allowances.planing",
            "Planed off each face, warp unknown",
            "part.allowances.planing",
        )
        .detail(),
        allowance(
            "allowances.clean_up",
            "Planed off each face, warp measured",
            "part.allowances.clean_up",
        )
        .detail(),
        number(
            "priority",
            "Order",
            "Comes first: 1, then 2, \u{2026}",
            1.0,
            1000.0,
            true,
        )
        .empty("1")
        .detail(),
        field("shape.holes", "Holes", "Holes right through", Kind::Chains)
            .when(has_corners)
            .hint("One hole a row, corner by corner: along, across; along, across; \u{2026}")
            .detail(),
        field("note", "Note", "Note", Kind::Note).detail(),
    ],
    tables: &[
        Rows {
            label: "Corners",
            row_label: "Corner",
            list: "shape.points",
            kind: ThingKind::Corner,
            add_label: "Add a corner",
            opens: false,
            hint: "Round the part in order.",
            when: is_polygon,
            columns: &[Column { spec: ALONG }, Column { spec: ACROSS }],
        },
        Rows {
            label: "Corners and curves",
            row_label: "Corner",
            list: "shape.points",
            kind: ThingKind::Corner,
            add_label: "Add a corner",
            opens: false,
            hint: "Round the part in order. A side swells outwards by so much at its middle, or inwards with a minus.",
            when: is_arc_sided,
            columns: &[
                Column { spec: ALONG },
                Column { spec: ACROSS },
                Column {
                    spec: length("shape.swells[#]", "", "Side to the next swells by").signed(),
                },
            ],
        },
    ],
};
