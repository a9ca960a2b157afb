//! The form of a board.

use heartside_drawing::end_picture;
use heartside_timber::document::RingRun;
use heartside_timber::length::LengthContext;
use serde_json::Value;

use super::asking;
use super::path;
use super::reading::Reader;
use super::spec::{Column, Kind, Rows, Sheet, Spec, always, field, length, number};
use super::switches;
use crate::protocol::{SmallPicture, ThingKind};

const EDGE: &[(&str, &str)] = &[
    ("raw", "raw: trimmed first"),
    ("straight", "straight and sawn"),
    ("sawn", "sawn, but not true"),
];

fn by_tape(board: &Value) -> bool {
    switches::board_outline_now(board) == "tape"
}

/// Whether no width was measured at the far end yet.
pub(super) fn far_end_is_open(board: &Value, reader: &Reader<'_>) -> bool {
    let mm = |value: &Value| reader.millimetres(value);
    let Some(length) = path::get(board, "outline.length").and_then(mm) else {
        return false;
    };
    let stations = path::get(board, "outline.stations").and_then(Value::as_array);
    let places = stations
        .into_iter()
        .flatten()
        .map(|s| s.get("at").and_then(mm));
    places
        .into_iter()
        .all(|at| at.is_some_and(|at| at < length))
}

fn by_corners(board: &Value) -> bool {
    !by_tape(board)
}

const RINGS: &[(&str, &str)] = &[
    ("unknown", "not yet"),
    ("flat", "flat"),
    ("rift", "rift"),
    ("quarter", "quarter"),
    ("boxed_heart", "boxed heart"),
];

/// The end of a board whose rings run so.
fn end_of(run: &str) -> Option<SmallPicture> {
    let run = match run {
        "flat" => RingRun::Flat,
        "rift" => RingRun::Rift,
        "quarter" => RingRun::Quarter,
        "boxed_heart" => RingRun::BoxedHeart,
        _ => RingRun::Unknown,
    };
    let [wood, sign] = end_picture(run);
    Some(SmallPicture { wood, sign })
}

fn heart_boxed(board: &Value) -> bool {
    let at = |end| path::get(board, end).and_then(Value::as_str);
    [at("rings.start"), at("rings.end")].contains(&Some("boxed_heart"))
}

fn warp_measured(board: &Value) -> bool {
    path::get(board, "warp").is_some()
}

const fn edge(path: &'static str, label: &'static str) -> Spec {
    field(path, "Edges", label, Kind::Choice(EDGE)).when(by_tape)
}

/// Every field of a board.
pub(super) static BOARD: Sheet = Sheet {
    fields: &[
        length("outline.length", "By tape", "Length").needed().when(by_tape).hint("From end to end along the chalk line."),
        length("thickness", "By tape", "Thickness")
            .context(LengthContext::MeasuredThickness)
            .asks(asking::thickness)
            .hint("The least you measured."),
        field("species", "Timber", "Species", Kind::Text)
            .empty("unknown: only for parts of any species")
            .asks(asking::species)
            .below(),
        number("price.amount", "Timber", "Price", 0.0, f64::INFINITY, false)
            .empty("the job\u{2019}s rate by volume")
            .below(),
        field(
            "price.per",
            "Timber",
            "buys",
            Kind::Choice(&[
                ("board", "the whole board"),
                ("m3", "a cubic metre"),
                ("m2", "a square metre of face"),
                ("board_foot", "a board foot"),
                ("m", "a metre of length"),
            ]),
        )
        .when(|board| path::get(board, "price").is_some())
        .below(),
        number("count", "Timber", "How many alike", 1.0, 10_000.0, true).empty("1").below(),
        field("id", "Timber", "Mark", Kind::Text)
            .hint("Short, as chalked on the board: A, B, C. Drawings and cuts use it.")
            .below(),
        field("name", "Timber", "Name", Kind::Text)
            .hint("What you call it, such as \u{201c}the waney one\u{201d}.")
            .below(),
        field(
            "use",
            "Use",
            "Use",
            Kind::Choice(&[
                ("freely", "freely"),
                ("if_needed", "only if needed"),
                ("first", "before the others"),
                ("leave", "leave it alone"),
            ]),
        )
        .detail(),
        field(
            "cuts",
            "Use",
            "May be cut",
            Kind::Choice(&[("any", "either way"), ("straight", "by straight cuts"), ("sawn", "by line, on the bandsaw")]),
        )
        .detail(),
        field(
            "outline.form",
            "Size",
            "Measured",
            Kind::Switch {
                choices: &[("tape", "by tape, from a chalk line"), ("polygon", "corner by corner")],
                now: switches::board_outline_now,
                make: switches::board_outline,
            },
        )
        .detail(),
        length("nominal", "Size", "Sold as")
            .context(LengthContext::NominalThickness)
            .empty("as it measures")
            .hint("8/4, say. Only a price by the board foot goes by it.")
            .detail(),
        field("surface", "Size", "Faces", Kind::Choice(&[("sawn", "from the saw"), ("planed", "planed")])).detail(),
        edge("outline.left", "Left edge").detail(),
        edge("outline.right", "Right edge").detail(),
        edge("outline.start", "Start end").detail(),
        edge("outline.end", "Far end").detail(),
        field(
            "warp",
            "Flatness",
            "Warp",
            Kind::Switch {
                choices: &[("unknown", "not measured"), ("measured", "measured")],
                now: switches::warp_now,
                make: switches::warp,
            },
        )
        .hint("Where it was not measured, more is reckoned to be planed off. Measured with nothing written in means flat.").detail(),
        length("warp.cup.gap", "Flatness", "Cup: gap").when(warp_measured).empty("none").hint("Lay a straight edge across the hollow face and measure the greatest gap under it.")
            .measured("M5,13Q40,27 75,13V20Q40,34 5,20Z", "M1,8H79V13H1ZM40,13V20M38,17.5l2,2.500l2,-2.500").detail(),
        length("warp.cup.over", "Flatness", "Cup: over a width of").when(warp_measured).empty("the whole width").detail(),
        length("warp.bow.gap", "Flatness", "Bow: gap").when(warp_measured).empty("none").hint("Stretch a string along the hollow face from end to end and measure the greatest gap under it.")
            .measured("M3,11Q40,30 77,11V15Q40,34 3,15Z", "M1,11H79M3,8V11M77,8V11M40,11V20.500M38,18l2,2.500l2,-2.500").detail(),
        length("warp.bow.over", "Flatness", "Bow: over a length of").when(warp_measured).empty("the whole length").detail(),
        length("warp.twist.lift", "Flatness", "Twist: one corner lifts").when(warp_measured).empty("none").hint("Lay a straight stick as long as the board is wide across each end and sight over one at the other: their left tips in line, what the right ones stand apart is the lift. Or on a flat bench: how far one corner lifts with the other three down.")
            .measured("M10,22H70V28H10ZM18,17L62,9", "M4,19H76V22H4ZM12,15.500L68,5V8L12,18.500ZM73,6V18.500M71.500,8l1.500,-2l1.500,2M71.500,16.500l1.500,2l1.500,-2").detail(),
        length("warp.twist.over_length", "Flatness", "Twist: over a length of").when(warp_measured).empty("the whole length").detail(),
        length("warp.twist.over_width", "Flatness", "Twist: over a width of").when(warp_measured).empty("the whole width").detail(),
        number("grain.angle", "Grain", "Grain runs off by (degrees)", -90.0, 90.0, false)
            .empty("0: along the board")
            .hint("Against the chalk line, counter-clockwise as seen from above.").detail(),
        field("grain.lines", "Grain", "Bent grain, lines followed", Kind::Chains)
            .empty("straight")
            .hint("One line of grain a row, along and across, like 0, 0; 400, 20; 900, 25.").detail(),
        field("rings.start", "Grain", "Rings at the start end", Kind::Choice(RINGS)).looks(end_of).detail(),
        field("rings.end", "Grain", "Rings at the far end", Kind::Choice(RINGS)).looks(end_of).detail(),
        field(
            "pith",
            "Grain",
            "The pith",
            Kind::Switch {
                choices: &[
                    ("open", "not marked yet"),
                    ("marked", "marked: kept out of the parts"),
                    ("allowed", "may be in parts"),
                ],
                now: switches::pith_now,
                make: switches::pith,
            },
        )
        .when(heart_boxed)
        .hint("Marked, it is a defect along the middle of the board: drag it to where the pith is, or type its place under Marked areas. The other answers take it away again.").detail(),
        field(
            "heart_side",
            "Grain",
            "Heart side",
            Kind::Choice(&[("unknown", "not looked at"), ("up", "up"), ("down", "down")]),
        )
        .hint("The face that looked towards the middle of the tree. It is written on the drawings; nothing is reckoned with it yet.").detail(),
        number("moisture", "Grain", "Moisture (per cent)", 0.0, 200.0, false)
            .empty("not measured")
            .hint("Kept with the board; nothing is reckoned with it yet.").detail(),
        field("outline.holes", "Holes", "Holes right through", Kind::Chains)
            .when(by_corners)
            .hint("One hole a row, corner by corner: along, across; along, across; \u{2026}").detail(),
        field("note", "Note", "Note", Kind::Note).detail(),
    ],
    tables: &[
        Rows {
            label: "Widths by tape",
            row_label: "Width",
            list: "outline.stations",
            kind: ThingKind::Station,
            add_label: "Add a width",
            opens: false,
            hint: "Snap a chalk line along the board and measure from it to both edges at as many places as it needs. A tap on an edge of the picture adds one there.",
            when: by_tape,
            columns: &[
                Column { spec: length("outline.stations[#].at", "", "From the start end").needed() },
                Column { spec: length("outline.stations[#].left", "", "Left of the line").needed() },
                Column { spec: length("outline.stations[#].right", "", "Right of the line").needed() },
            ],
        },
        Rows {
            label: "Corners",
            row_label: "Corner",
            list: "outline.points",
            kind: ThingKind::Corner,
            add_label: "Add a corner",
            opens: false,
            hint: "Round the board in order; along from the start end, across from your line.",
            when: by_corners,
            columns: &[
                Column { spec: length("outline.points[#][0]", "", "Along").needed().signed() },
                Column { spec: length("outline.points[#][1]", "", "Across").needed().signed() },
                Column { spec: field("outline.sides[#]", "", "Side to the next", Kind::Choice(EDGE)) },
            ],
        },
        Rows {
            label: "Marked areas",
            row_label: "Area",
            list: "zones",
            kind: ThingKind::Zone,
            add_label: "Mark an area",
            opens: true,
            hint: "Knots, splits, sapwood, old screws, figure: where they begin and how far the saw or the part must keep off.",
            when: always,
            columns: &[
                Column { spec: field("zones[#].kind", "", "What", Kind::Choice(super::zone::KINDS)) },
                Column { spec: field("zones[#].note", "", "Word for it", Kind::Text) },
            ],
        },
    ],
};
