//! The form of a marked area.

use serde_json::Value;

use super::path;
use super::spec::{Column, Kind, Rows, Sheet, field, length};
use super::switches;
use crate::protocol::ThingKind;

/// What a zone may mark.
pub(super) const KINDS: &[(&str, &str)] = &[
    ("defect", "defect: kept out of the parts"),
    ("sapwood", "sapwood: kept off seen faces"),
    ("fixing", "old fixing: kept off the saw"),
    ("figure", "figure: forbids nothing"),
];

fn word(zone: &Value, at: &str, usual: &str) -> String {
    path::get(zone, at)
        .and_then(Value::as_str)
        .unwrap_or(usual)
        .to_owned()
}

fn is_spot(zone: &Value) -> bool {
    switches::zone_shape_now(zone) == "spot"
}

fn is_span(zone: &Value) -> bool {
    switches::zone_shape_now(zone) == "span"
}

fn is_strip(zone: &Value) -> bool {
    switches::zone_shape_now(zone) == "strip"
}

fn is_drawn(zone: &Value) -> bool {
    switches::zone_shape_now(zone) == "polygon"
}

fn on_one_face(zone: &Value) -> bool {
    word(zone, "face", "through") != "through"
}

fn is_defect(zone: &Value) -> bool {
    word(zone, "kind", "defect") == "defect"
}

fn is_fixing(zone: &Value) -> bool {
    word(zone, "kind", "defect") == "fixing"
}

fn is_no_fixing(zone: &Value) -> bool {
    !is_fixing(zone)
}

/// A fixing says where it begins and ends; a file may still have one depth for it.
fn has_one_depth(zone: &Value) -> bool {
    on_one_face(zone) && (is_no_fixing(zone) || path::get(zone, "depth").is_some())
}

fn is_figure(zone: &Value) -> bool {
    word(zone, "kind", "defect") == "figure"
}

/// Every field of a zone.
pub(super) static ZONE: Sheet = Sheet {
    fields: &[
        field("kind", "Area", "What it is", Kind::Choice(KINDS)),
        field(
            "shape.end",
            "Place",
            "Along, from",
            Kind::Choice(&[("start", "the start end"), ("far", "the far end")]),
        )
        .when(is_span),
        length("shape.begins", "Place", "begins at").needed().when(is_span),
        length("shape.ends", "Place", "ends at").needed().when(is_span),
        field(
            "shape.edge",
            "Place",
            "Across, from",
            Kind::Choice(&[
                ("right_edge", "the right edge"),
                ("left_edge", "the left edge"),
                ("chalk_line", "the chalk line, left is plus"),
            ]),
        )
        .when(is_span),
        length("shape.near", "Place", "begins at").needed().signed().when(is_span),
        length("shape.far", "Place", "ends at").needed().signed().when(is_span),
        length("shape.along", "Place", "From the start end to its middle")
            .needed()
            .signed()
            .when(is_spot),
        length("shape.across", "Place", "Across to its middle")
            .needed()
            .signed()
            .when(is_spot),
        field(
            "shape.from",
            "Place",
            "Across is measured from",
            Kind::Choice(&[
                ("right_edge", "the right edge"),
                ("left_edge", "the left edge"),
                ("chalk_line", "the chalk line, left is plus"),
            ]),
        )
        .when(is_spot),
        length("shape.length", "Place", "Its length along the board")
            .needed()
            .when(is_spot),
        length("shape.width", "Place", "Its width")
            .needed()
            .when(|z| is_spot(z) || is_strip(z)),
        field(
            "shape.side",
            "Place",
            "Along the edge",
            Kind::Choice(&[("right", "right"), ("left", "left")]),
        )
        .when(is_strip),
        field("shape.oval", "Place", "Rounded", Kind::Flag(true))
            .when(|z| is_spot(z) || is_span(z))
            .hint("No: a rectangle."),
        field("note", "Place", "Word for it", Kind::Text)
            .hint("Shown on the picture: knot, split, old screw."),
        length("depth_from", "The fixing", "Begins at a depth of")
            .when(is_fixing)
            .empty("unknown: at the face")
            .hint("From the face it was put in from. What lies deeper than all that is planed off may stay.").below(),
        length("depth_to", "The fixing", "Ends at a depth of")
            .when(is_fixing)
            .empty("unknown: right through").below(),
        field(
            "material",
            "The fixing",
            "Made of",
            Kind::Choice(&[
                ("unknown", "not known: taken as metal"),
                ("metal", "metal"),
                ("wood", "wood, a dowel or tenon"),
            ]),
        )
        .when(is_fixing).below(),
        field(
            "drawn_before_planing",
            "The fixing",
            "It is drawn before planing",
            Kind::Flag(false),
        )
        .when(is_fixing)
        .hint("Then only its hole is left for the planer.").below(),
        field(
            "shape.form",
            "Place",
            "Measured",
            Kind::Switch {
                choices: &[
                    ("span", "from where it begins to where it ends"),
                    ("spot", "by its middle and size"),
                    ("strip", "as a strip along an edge"),
                    ("polygon", "corner by corner"),
                ],
                now: switches::zone_shape_now,
                make: switches::zone_shape,
            },
        ).detail(),
        field(
            "face",
            "Depth",
            "Shows",
            Kind::Choice(&[
                ("through", "on both faces"),
                ("up", "on the up face"),
                ("down", "on the down face"),
            ]),
        ).detail(),
        length("depth", "Depth", "How deep it goes")
            .when(has_one_depth)
            .empty("unknown: as if right through").detail(),
        field("sound", "Depth", "The wood is sound", Kind::Flag(false))
            .when(is_defect)
            .hint("Sound: harmless where the face is not seen.").detail(),
        length("margin", "Keep off", "Keep off by")
            .usual("zone.fixing.margin")
            .when(is_fixing)
            .hint("For tape, pencil and what the eye does not see of it.").detail(),
        length("margin", "Keep off", "Keep off by")
            .empty("0")
            .when(is_no_fixing).detail(),
        length("uncertain", "The fixing", "Somewhere here, give or take")
            .when(is_fixing)
            .empty("0")
            .hint("Where its place is only roughly known: half the width in which it may be. Empty: just where it is marked.").below(),
        field(
            "clear_of",
            "Keep off",
            "What keeps off",
            Kind::Choice(&[
                ("blank", "the rough blank"),
                ("finished", "only the finished part"),
            ]),
        )
        .when(is_defect).detail(),
        field(
            "stops",
            "Keep off",
            "Stops",
            Kind::Choice(&[
                ("all", "every cut"),
                ("rips", "cuts along the grain"),
                ("crosscuts", "cuts across the grain"),
            ]),
        )
        .when(is_fixing).detail(),
        field(
            "weight",
            "Figure",
            "In a finished face",
            Kind::Switch {
                choices: &[
                    ("wanted", "I want this seen"),
                    ("unwanted", "not this"),
                    ("either", "either way"),
                ],
                now: switches::wanted_now,
                make: switches::wanted,
            },
        )
        .when(is_figure)
        .hint("What is looked for where faces are matched, and what is kept out of sight.").below(),
    ],
    tables: &[Rows {
        label: "Corners",
        row_label: "Corner",
        list: "shape.points",
        kind: ThingKind::Corner,
        add_label: "Add a corner",
        opens: false,
        hint: "Round the area in order.",
        when: is_drawn,
        columns: &[
            Column {
                spec: length("shape.points[#][0]", "", "Along").needed().signed(),
            },
            Column {
                spec: length("shape.points[#][1]", "", "Across").needed().signed(),
            },
        ],
    }],
};
