//! The forms of the job itself, of named dimensions, matches and species.

use heartside_timber::document::{Document, Panel, Units, Unknown};
use heartside_timber::keep::KEPT_ASIDE;
use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::asking;
use super::spec::{Kind, Sheet, field, length, number};
use super::wishes;

/// The job's own fields, without its lists: small enough to be edited as one.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(default)]
pub(crate) struct Head {
    pub(crate) title: String,
    pub(crate) units: Units,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) currency: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) timber_rate: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) offcut_value: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) figure_worth: Option<f64>,
    #[serde(flatten)]
    pub(crate) unknown: Unknown,
}

/// The head of a document.
pub(crate) fn head_of(document: &Document) -> Head {
    Head {
        title: document.title.clone(),
        units: document.units.clone(),
        currency: document.currency.clone(),
        timber_rate: document.timber_rate,
        offcut_value: document.offcut_value,
        figure_worth: document.figure_worth,
        unknown: document.unknown.clone(),
    }
}

/// How a part is glued up, if it is: what the form of a part shows beside the part's own fields.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(default)]
pub(crate) struct Glued {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) panel: Option<Panel>,
    #[serde(flatten)]
    pub(crate) unknown: Unknown,
}

/// How a part of a document is glued up.
pub(crate) fn glued_of(document: &Document, part: &str) -> Glued {
    let panel = document.panels.iter().find(|p| p.part == part);
    let mut glued = Glued {
        panel: panel.cloned(),
        ..Glued::default()
    };
    // What is kept aside is told from the part's own point of view, as its fields are.
    let kept = glued
        .panel
        .as_mut()
        .and_then(|p| p.unknown.remove(KEPT_ASIDE));
    if let Some(kept) = kept {
        let kept = with_fields(kept, &|field| Some(format!("{OF_PANEL}{field}")));
        glued.unknown.insert(KEPT_ASIDE.to_owned(), kept);
    }
    glued
}

/// Says in a document how a part is glued up.
pub(crate) fn put_glued(document: &mut Document, part: &str, mut glued: Glued) {
    let kept = glued.unknown.remove(KEPT_ASIDE);
    if let (Some(panel), Some(kept)) = (&mut glued.panel, kept) {
        let own = |field: &str| field.strip_prefix(OF_PANEL).map(str::to_owned);
        let kept = with_fields(kept, &own);
        panel.unknown.insert(KEPT_ASIDE.to_owned(), kept);
    }
    let at = document.panels.iter().position(|p| p.part == part);
    match (at, glued.panel) {
        (Some(at), Some(panel)) => document.panels[at] = panel,
        (None, Some(panel)) => document.panels.push(Panel {
            part: part.to_owned(),
            ..panel
        }),
        (_, None) => document.panels.retain(|p| p.part != part),
    }
}

const OF_PANEL: &str = "panel.";

/// A list of what is kept aside with its fields called otherwise.
fn with_fields(mut kept: Value, called: &dyn Fn(&str) -> Option<String>) -> Value {
    for entry in kept.as_array_mut().into_iter().flatten() {
        let name = entry.get("field").and_then(Value::as_str).and_then(called);
        if let Some(name) = name {
            entry["field"] = Value::from(name);
        }
    }
    kept
}

/// Puts a head on a document.
pub(crate) fn put_head(document: &mut Document, head: Head) {
    document.title = head.title;
    document.units = head.units;
    document.currency = head.currency;
    document.timber_rate = head.timber_rate;
    document.offcut_value = head.offcut_value;
    document.figure_worth = head.figure_worth;
    document.unknown = head.unknown;
}

/// The job.
pub(super) static JOB: Sheet = Sheet {
    fields: &[
        field("title", "Job", "Piece", Kind::Text).hint("What is being made."),
        field("units.length", "Lengths", "Lengths in", Kind::Choice(&[("mm", "millimetres"), ("in", "inches")]))
            .hint("Any unit can be typed anywhere; this is for numbers without one, and for what is shown."),
        field(
            "units.fraction",
            "Lengths",
            "Inches shown to",
            Kind::NumberChoice(&[("", "the usual 1/32"), ("16", "1/16"), ("32", "1/32"), ("64", "1/64")]),
        )
        .when(|job| job.pointer("/units/length").and_then(serde_json::Value::as_str) == Some("in")),
        field("currency", "Money", "Currency", Kind::Text).empty("none"),
        number("timber_rate", "Money", "A cubic metre costs", 0.0, f64::INFINITY, false)
            .empty("unknown")
            .hint("For boards without a price of their own."),
        number("offcut_value", "Money", "A cubic metre of kept offcuts is worth", 0.0, f64::INFINITY, false).empty("0"),
        number("figure_worth", "Money", "The best figure may cost more", 0.0, f64::INFINITY, false)
            .empty("0")
            .hint("By so much a plan whose faces look their best may be dearer than one whose faces look their worst. With 0 figure only decides between plans that cost the same."),
    ],
    tables: &[],
};

/// A named dimension.
pub(super) static DIMENSION: Sheet = Sheet {
    fields: &[
        field("name", "Dimension", "Name", Kind::Text)
            .hint("Used in lengths of parts: top width - 2 * overhang."),
        length("preferred", "Dimension", "Best value")
            .signed()
            .hint("What it is unless a better plan needs another within the limits."),
        length("least", "Dimension", "At least")
            .empty("as it is")
            .signed(),
        length("most", "Dimension", "At most")
            .empty("as it is")
            .signed(),
        length("step", "Dimension", "In steps of")
            .empty("any value between")
            .hint("Counted from the best value."),
    ],
    tables: &[],
};

/// Parts that must look related.
pub(super) static MATCH: Sheet = Sheet {
    fields: &[
        field(
            "kind",
            "Match",
            "Related by",
            Kind::Choice(&[
                ("same_board", "one board"),
                ("continuous_along", "grain that runs on, end to end"),
                ("continuous_across", "grain that runs on, side by side"),
                (
                    "slip",
                    "leaves of one thick piece, side by side as they were sawn",
                ),
                ("book", "leaves of one thick piece, opened like a book"),
                ("balanced", "figure that mirrors"),
                ("frame", "a frame that they make"),
            ]),
        ),
        field("parts", "Match", "Parts in order", Kind::Copies)
            .hint("Names with the number of the copy: Drawer front 1, Drawer front 2. Of a frame the left and the right stile first, then rails and panels from the top down."),
        wishes::spread("wish.spread").hint(
            "Of the parts as they stand together, where there are photographs of the boards.",
        ),
        wishes::sapwood("wish.sapwood"),
    ],
    tables: &[],
};

/// A species of the maker's own.
pub(super) static SPECIES: Sheet = Sheet {
    fields: &[
        field("name", "Species", "Name", Kind::Text),
        number(
            "density",
            "Species",
            "Weight (kg a cubic metre)",
            1.0,
            2000.0,
            false,
        )
        .empty("from the built-in table")
        .asks(asking::density),
        number(
            "tangential",
            "Species",
            "Moves along the rings (share of width for 1 % moisture)",
            0.0,
            0.1,
            false,
        )
        .empty("from the built-in table"),
        number(
            "radial",
            "Species",
            "Moves across the rings (share of width for 1 % moisture)",
            0.0,
            0.1,
            false,
        )
        .empty("from the built-in table"),
        number(
            "price_m3",
            "Species",
            "A cubic metre costs",
            0.0,
            f64::INFINITY,
            false,
        )
        .empty("the job\u{2019}s rate"),
    ],
    tables: &[],
};
