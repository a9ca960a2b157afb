//! Tools, kerfs, trims and allowances.

use super::reading::{Reading, Thing, Wanted};
use crate::defaults;
use crate::diagnostic::{Level, Subject};
use crate::document;
use crate::job::{Allowances, CutKind, Tool, Workshop};

/// Allowances where the job sets none.
pub(super) const USUAL_ALLOWANCES: Allowances = Allowances {
    end: defaults::ALLOWANCE_END,
    edge: defaults::ALLOWANCE_EDGE,
    sawn: defaults::ALLOWANCE_SAWN,
    planing: defaults::PLANING,
    clean_up: defaults::CLEAN_UP,
};

/// Reads the workshop. A faulty setting falls back to the usual one and is reported; a
/// faulty tool is left out, so that no cut is planned on it.
pub(super) fn workshop(source: &document::Workshop, reading: &mut Reading<'_>) -> Workshop {
    let place = Thing::of(Subject::Workshop);
    let mut setting = |field: &str, what: &str, length: &Option<document::Length>, usual: f64| {
        reading
            .usual(
                place.field(field),
                what,
                length.as_ref(),
                Wanted::EXTRA,
                usual,
            )
            .unwrap_or(usual)
    };
    let kerfs = &source.fallback_kerf;
    let rip = setting(
        "fallback_kerf.rip",
        "kerf of rips",
        &kerfs.rip,
        defaults::RIP_KERF,
    );
    let crosscut = setting(
        "fallback_kerf.crosscut",
        "kerf of crosscuts",
        &kerfs.crosscut,
        defaults::CROSSCUT_KERF,
    );
    let sawn = setting(
        "fallback_kerf.sawn",
        "kerf of sawn lines",
        &kerfs.sawn,
        defaults::SAWN_KERF,
    );
    let trim_end = setting(
        "trim.end",
        "trim of raw ends",
        &source.trim.end,
        defaults::TRIM_END,
    );
    let trim_edge = setting(
        "trim.edge",
        "trim of raw edges",
        &source.trim.edge,
        defaults::TRIM_EDGE,
    );
    let none = document::MinOffcut::default();
    let offcut = source.min_offcut.as_ref().unwrap_or(&none);
    let min_offcut = (
        setting(
            "min_offcut.length",
            "length of the smallest offcut",
            &offcut.length,
            defaults::OFFCUT_LENGTH,
        ),
        setting(
            "min_offcut.width",
            "width of the smallest offcut",
            &offcut.width,
            defaults::OFFCUT_WIDTH,
        ),
    );
    let max_lift_kg = source
        .max_lift_kg
        .and_then(|kg| {
            reading.number(
                place.field("max_lift_kg"),
                "weight one person lifts",
                kg,
                (1.0, 1000.0),
            )
        })
        .unwrap_or(defaults::MAX_LIFT_KG);
    let mut tools = tools(source, reading);
    let sawn_kerf = tools
        .iter()
        .filter(|t| t.saws)
        .map(|t| t.kerf)
        .next()
        .unwrap_or(sawn);
    add_missing(&mut tools, source, (rip, crosscut), reading);
    Workshop {
        tools,
        sawn_kerf,
        trim_end,
        trim_edge,
        min_offcut,
        max_lift_kg,
    }
}

fn tools(source: &document::Workshop, reading: &mut Reading<'_>) -> Vec<Tool> {
    let mut tools: Vec<Tool> = Vec::new();
    for (row, tool) in source.tools.iter().enumerate() {
        let name = tool.name.trim();
        let thing = Thing::row(Subject::Workshop, row, name, name);
        let path = |field: &str| format!("tools[{row}].{field}");
        let before = reading.errors();
        if name.is_empty() {
            reading.error(
                "tool-without-name",
                thing.field(&path("name")),
                "this tool has no name",
                "cuts refer to tools by name: give it one",
            );
        } else if tools.iter().any(|other| other.name == name) {
            reading.error(
                "tool-twice",
                thing.field(&path("name")),
                format!("two tools are called \u{201c}{name}\u{201d}"),
                "give this one another name; the first one counts",
            );
        }
        if tool.does.is_empty() {
            reading.error(
                "tool-without-use",
                thing.field(&path("does")),
                "nothing says what this tool does",
                "choose what it does: rip, crosscut, saw by line, resaw or true an edge",
            );
        }
        let kerf = reading.needed(
            thing.field(&path("kerf")),
            "kerf",
            tool.kerf.as_ref(),
            Wanted::EXTRA,
        );
        let mut limit = |field: &str, what: &str, length: &Option<document::Length>, none: f64| {
            reading.usual(
                thing.field(&path(field)),
                what,
                length.as_ref(),
                Wanted::SIZE,
                none,
            )
        };
        let max_length = limit(
            "max_length",
            "greatest length",
            &tool.max_length,
            f64::INFINITY,
        );
        let max_width = limit(
            "max_width",
            "greatest width",
            &tool.max_width,
            f64::INFINITY,
        );
        let max_depth = limit(
            "max_depth",
            "greatest depth",
            &tool.max_depth,
            f64::INFINITY,
        );
        let does = |kind| tool.does.contains(&kind);
        let (saws, trues) = (does(CutKind::Sawn), does(CutKind::TrueEdge));
        let (work_moves, leaves_true_edge) = (tool.moves_the_work(), tool.edge_is_true());
        let mut small = |field: &str, what: &str, length: &Option<document::Length>, usual: f64| {
            reading.usual(
                thing.field(&path(field)),
                what,
                length.as_ref(),
                Wanted::EXTRA,
                usual,
            )
        };
        let min_piece = small(
            "min_piece",
            "least held length",
            &tool.min_piece,
            tool.usual_least_held(),
        );
        let least_radius = small("least_radius", "smallest radius", &tool.least_radius, 0.0);
        if reading.errors() > before {
            continue;
        }
        if let (Some(kerf), Some(max_length), Some(max_width), Some(max_depth)) =
            (kerf, max_length, max_width, max_depth)
            && let (Some(min_piece), Some(least_radius)) = (min_piece, least_radius)
        {
            tools.push(Tool {
                name: name.to_owned(),
                rips: does(CutKind::Rip),
                crosscuts: does(CutKind::Crosscut),
                saws,
                resaws: does(CutKind::Resaw),
                trues,
                kerf,
                max_length,
                max_width,
                max_depth,
                min_piece,
                guide: tool.guide,
                work_moves,
                leaves_true_edge,
                can_skim: tool.can_skim,
                least_radius,
            });
        }
    }
    tools
}

/// Where the document names no tool at all, two free tools with the fallback kerfs stand
/// in. Where it names some but none for a kind of straight cut, that is said, not mended:
/// the maker may well have no crosscut saw.
fn add_missing(
    tools: &mut Vec<Tool>,
    source: &document::Workshop,
    (rip, crosscut): (f64, f64),
    reading: &mut Reading<'_>,
) {
    if source.tools.is_empty() {
        tools.push(free_tool(ANY_RIP_SAW, true, rip));
        tools.push(free_tool(ANY_CROSSCUT_SAW, false, crosscut));
        return;
    }
    for (found, what) in [
        (tools.iter().any(|t| t.rips), "rips"),
        (tools.iter().any(|t| t.crosscuts), "crosscuts"),
    ] {
        if !found {
            reading.say(
                Level::Warning,
                "tool-kind-missing",
                Thing::of(Subject::Workshop).field("tools"),
                format!("no usable tool {what}, so straight cuts of that kind are not planned"),
                "add a tool, if only a hand saw",
            );
        }
    }
}

/// What stands in a cut list where the workshop names no tool: the maker takes what there is.
pub(crate) const ANY_RIP_SAW: &str = "any rip saw";
/// As [`ANY_RIP_SAW`], across the grain.
pub(crate) const ANY_CROSSCUT_SAW: &str = "any crosscut saw";

fn free_tool(name: &str, rips: bool, kerf: f64) -> Tool {
    Tool {
        name: name.to_owned(),
        rips,
        crosscuts: !rips,
        kerf,
        leaves_true_edge: true,
        can_skim: true,
        ..Tool::default()
    }
}

/// Reads allowances; what is not set is as in `usual`. Nothing if a field is faulty.
pub(super) fn allowances(
    source: &document::Allowances,
    usual: &Allowances,
    thing: &Thing,
    reading: &mut Reading<'_>,
) -> Option<Allowances> {
    let mut field = |name: &str, what: &str, length: &Option<document::Length>, usual: f64| {
        let place = thing.field(&format!("allowances.{name}"));
        reading.usual(place, what, length.as_ref(), Wanted::EXTRA, usual)
    };
    let end = field("end", "allowance at the ends", &source.end, usual.end);
    let edge = field("edge", "allowance at the edges", &source.edge, usual.edge);
    let sawn = field(
        "sawn",
        "allowance round sawn parts",
        &source.sawn,
        usual.sawn,
    );
    let planing = field(
        "planing",
        "planing allowance",
        &source.planing,
        usual.planing,
    );
    let clean_up = field(
        "clean_up",
        "clean-up allowance",
        &source.clean_up,
        usual.clean_up,
    );
    Some(Allowances {
        end: end?,
        edge: edge?,
        sawn: sawn?,
        planing: planing?,
        clean_up: clean_up?,
    })
}
