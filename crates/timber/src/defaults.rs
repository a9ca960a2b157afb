//! What counts where the maker has set nothing, and where each value comes from.
//!
//! [`USUAL`] is the one list of them: forms show it, and tests hold it to what `prepare` does.
//! Every value can be changed in the job.

/// Kerf of a rip where no tool is named, in mm.
pub const RIP_KERF: f64 = 3.2;
/// Kerf of a crosscut where no tool is named, in mm.
pub const CROSSCUT_KERF: f64 = 3.2;
/// Kerf of a line sawn with a bandsaw or jigsaw where no tool is named, in mm.
pub const SAWN_KERF: f64 = 2.0;
/// Trimmed off every raw end, in mm.
pub const TRIM_END: f64 = 15.0;
/// Trimmed off every raw edge, in mm.
pub const TRIM_EDGE: f64 = 4.0;
/// Extra at each end of a straight-cut part, in mm.
pub const ALLOWANCE_END: f64 = 6.0;
/// Extra at each edge of a straight-cut part, in mm.
pub const ALLOWANCE_EDGE: f64 = 3.0;
/// Extra all round a sawn part, in mm.
pub const ALLOWANCE_SAWN: f64 = 3.0;
/// Planed off each face of a board whose warp is unknown, in mm.
pub const PLANING: f64 = 2.5;
/// Planed off each face once measured warp is gone, in mm.
pub const CLEAN_UP: f64 = 0.8;
/// Least length by which a piece is held to a hand-fed circular saw where the tool gives none,
/// in mm. Common practice, no source; the machine's manual goes before it.
pub const LEAST_HELD: f64 = 300.0;
/// The share of a workpiece's length, along the cut, over which a true edge must touch the rip
/// fence that guides it. Common practice, no source: short of it the piece pivots about the end of
/// its edge, but corners knocked off and trimmed ends do no harm.
pub const FENCE_CONTACT: f64 = 0.9;
/// Degrees that a workpiece is turned at most against its board's line of reference: beyond them what
/// is called a rip would run more across the board than along it, and is a crosscut.
pub const MOST_ASKEW: f64 = 45.0;
/// Most twist of a workpiece that moves over a machine, in mm of the lifted corner: more and it
/// rocks on the table. Common practice, no source.
pub const MOST_TWIST_MOVED: f64 = 1.5;
/// Kept between a saw and a fixing where nothing is said, in mm: the width of tape and pencil
/// and a buried thing's unseen extent. Common practice, no source.
pub const FIXING_KEEP_OFF: f64 = 12.0;
/// Degrees by which the grain of a part may be off.
pub const GRAIN_TOLERANCE: f64 = 3.0;
/// Shortest offcut worth keeping, in mm.
pub const OFFCUT_LENGTH: f64 = 250.0;
/// Narrowest offcut worth keeping, in mm.
pub const OFFCUT_WIDTH: f64 = 60.0;
/// What one person lifts, in kg.
pub const MAX_LIFT_KG: f64 = 25.0;
/// Longest workpiece that a line is sawn out of without need, in mm, where the saw for lines
/// gives no length of its own. Common practice, no source: an arm's reach of 600 mm to each
/// side of the blade; what reaches further swings, and has to be held by stands or a helper.
pub const HANDY_LENGTH: f64 = 1200.0;
/// Narrowest stave of a panel, in mm. Common practice, no source: narrower ones are more gluing than wood.
pub const LEAST_STAVE: f64 = 40.0;
/// Taken off each face when a glued panel is flattened, in mm. Common practice, no source: what steps
/// at the joints and a little cup come to where the staves were planed flat before.
pub const FLATTEN: f64 = 0.5;
/// Shortest piece of a stave that is joined end to end, in mm. Common practice, no source: shorter ones
/// are hard to clamp in line.
pub const LEAST_PIECE: f64 = 300.0;
/// How far end joints of neighbouring staves stand apart, in mm. Common practice, no source: the wood
/// beside a joint is to carry what the joint does not.
pub const ENDS_APART: f64 = 150.0;
/// Driest and dampest air round a piece over a year, in per cent: a heated room in a temperate
/// country. Common practice, no source.
pub const AIR: (f64, f64) = (35.0, 65.0);
/// Most staves of one panel.
pub const MOST_STAVES: u32 = 60;
/// More copies of one part or board than this are refused as a slip of the finger.
pub const MOST_COPIES: u32 = 10_000;
/// Most pieces in a job, all parts together; more would only make a browser stand still.
pub const MOST_PIECES: u64 = 100_000;
/// Thickest board or part, in mm.
pub const MOST_THICKNESS: f64 = 1000.0;
/// Most corners of one outline.
pub const MOST_CORNERS: usize = 5000;

/// Where a default comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// Printed in the source named.
    Published(&'static str),
    /// What workshops do; no source was found.
    CommonPractice,
    /// Remembered, with the source it is believed to stand in; may be empty.
    FromMemory(&'static str),
}

impl Standing {
    /// What is said beside the value: `common practice, no source`.
    pub fn words(self) -> String {
        match self {
            Standing::Published(source) => format!("published: {source}"),
            Standing::CommonPractice => "common practice, no source".into(),
            Standing::FromMemory("") => "from memory, no source".into(),
            Standing::FromMemory(source) => format!("from memory: {source}"),
        }
    }
}

/// What a default measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Quantity {
    /// Millimetres.
    Length,
    /// Kilograms.
    Weight,
    /// Degrees.
    Angle,
}

/// One default.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Usual {
    /// Its path in the workshop, the allowances, a part, a zone or a tool.
    pub setting: &'static str,
    /// The value.
    pub value: f64,
    /// Of what.
    pub quantity: Quantity,
    /// Where it comes from.
    pub standing: Standing,
}

const TEXTBOOK: &str = "a textbook of furniture making on first rough sawing (12 mm on the length, \
    6 mm on the width) and planing (3/32\" a face); by E. Joyce, the name from memory";

const fn length(setting: &'static str, value: f64, standing: Standing) -> Usual {
    Usual {
        setting,
        value,
        quantity: Quantity::Length,
        standing,
    }
}

/// Every default that a form can show.
pub const USUAL: &[Usual] = &[
    length(
        "fallback_kerf.rip",
        RIP_KERF,
        Standing::FromMemory("the common 1/8\" blade"),
    ),
    length(
        "fallback_kerf.crosscut",
        CROSSCUT_KERF,
        Standing::FromMemory("the common 1/8\" blade"),
    ),
    length("fallback_kerf.sawn", SAWN_KERF, Standing::CommonPractice),
    length("trim.end", TRIM_END, Standing::CommonPractice),
    length("trim.edge", TRIM_EDGE, Standing::CommonPractice),
    length(
        "allowances.end",
        ALLOWANCE_END,
        Standing::Published(TEXTBOOK),
    ),
    length(
        "allowances.edge",
        ALLOWANCE_EDGE,
        Standing::Published(TEXTBOOK),
    ),
    length("allowances.sawn", ALLOWANCE_SAWN, Standing::CommonPractice),
    length("allowances.planing", PLANING, Standing::Published(TEXTBOOK)),
    length(
        "allowances.clean_up",
        CLEAN_UP,
        Standing::Published(
            "E. M. Wengert on planing cupped boards: the hollow and about 1/32\" of roughness. From \
             the saw the trade takes twice that: 15/16\" to 13/16\" planed on both faces",
        ),
    ),
    length("min_offcut.length", OFFCUT_LENGTH, Standing::CommonPractice),
    length("min_offcut.width", OFFCUT_WIDTH, Standing::CommonPractice),
    length(
        "zone.fixing.margin",
        FIXING_KEEP_OFF,
        Standing::CommonPractice,
    ),
    length("tool.min_piece", LEAST_HELD, Standing::CommonPractice),
    Usual {
        setting: "max_lift_kg",
        value: MAX_LIFT_KG,
        quantity: Quantity::Weight,
        standing: Standing::FromMemory(
            "HSE, Manual handling at work (INDG143), for a man at waist height close to the body; \
             16 kg for a woman, less at arm\u{2019}s length",
        ),
    },
    length("panel.min_width", LEAST_STAVE, Standing::CommonPractice),
    length("panel.flatten", FLATTEN, Standing::CommonPractice),
    length("panel.min_piece", LEAST_PIECE, Standing::CommonPractice),
    length("panel.ends_apart", ENDS_APART, Standing::CommonPractice),
    Usual {
        setting: "grain.tolerance",
        value: GRAIN_TOLERANCE,
        quantity: Quantity::Angle,
        standing: Standing::CommonPractice,
    },
];

/// The default of a setting.
pub fn usual(setting: &str) -> Option<&'static Usual> {
    USUAL.iter().find(|usual| usual.setting == setting)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::document::Document;
    use crate::prepare;

    /// What the list says is what counts where nothing is set.
    #[test]
    fn the_list_is_what_counts() {
        let part = serde_json::json!({
            "id": "leg", "thickness": 20, "shape": { "form": "rectangle", "length": 700, "width": 50 }
        });
        let document = Document {
            parts: vec![serde_json::from_value(part).unwrap()],
            ..Document::default()
        };
        let job = prepare(&document).job;
        let (shop, part) = (&job.workshop, &job.parts[0]);
        let kerf = |does: fn(&crate::job::Tool) -> bool| {
            shop.tools.iter().find(|tool| does(tool)).unwrap().kerf
        };
        for (setting, counts) in [
            ("fallback_kerf.rip", kerf(|tool| tool.rips)),
            ("fallback_kerf.crosscut", kerf(|tool| tool.crosscuts)),
            ("fallback_kerf.sawn", shop.sawn_kerf),
            ("trim.end", shop.trim_end),
            ("trim.edge", shop.trim_edge),
            ("min_offcut.length", shop.min_offcut.0),
            ("min_offcut.width", shop.min_offcut.1),
            ("max_lift_kg", shop.max_lift_kg),
            ("allowances.end", part.allowances.end),
            ("allowances.edge", part.allowances.edge),
            ("allowances.sawn", part.allowances.sawn),
            ("allowances.planing", part.allowances.planing),
            ("allowances.clean_up", part.allowances.clean_up),
        ] {
            assert_eq!(
                usual(setting).map(|usual| usual.value),
                Some(counts),
                "{setting}"
            );
        }
    }

    /// A source that is named can be looked up, and nothing claims to be published without one.
    #[test]
    fn every_default_says_where_it_comes_from() {
        for (row, entry) in USUAL.iter().enumerate() {
            assert!(
                USUAL[..row]
                    .iter()
                    .all(|other| other.setting != entry.setting),
                "{} is there twice",
                entry.setting
            );
            let words = entry.standing.words();
            match entry.standing {
                Standing::Published(source) => {
                    assert!(source.len() > 20 && words.contains(source), "{words}");
                }
                Standing::CommonPractice => assert_eq!(words, "common practice, no source"),
                Standing::FromMemory(_) => assert!(words.starts_with("from memory"), "{words}"),
            }
            assert!(entry.value > 0.0);
        }
    }

    /// Published: 12 mm on the length and 6 mm on the width in all (a textbook of furniture
    /// making), planing 3/32 in a face; roughness 1/32 in (Wengert), from the saw 1/16 in a face
    /// (15/16 to 13/16 in, the usual dried and planed sizes of 4/4).
    #[test]
    fn published_values_are_those_of_their_sources() {
        const INCH: f64 = 25.4;
        let near = |value: f64, expected: f64| assert!((value - expected).abs() < 0.15, "{value}");
        near(2.0 * ALLOWANCE_END, 12.0);
        near(2.0 * ALLOWANCE_EDGE, 6.0);
        near(PLANING, 3.0 / 32.0 * INCH);
        near(CLEAN_UP, INCH / 32.0);
        let four_quarters = crate::measure::UsualThickness::of_nominal(INCH);
        let planed = four_quarters.planed.unwrap();
        near((four_quarters.rough - planed) / 2.0, 2.0 * CLEAN_UP);
    }
}
