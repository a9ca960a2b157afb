//! Cautions that belong to a step. Reminders only: the machine's manual, local rules and a qualified person come first.
//!
//! No published rule gives a least workpiece length for a saw; 300 mm is a rule of
//! practice. Where a figure is published its source stands beside it.

use heartside_geometry::{Bounds, PreparedRegion, Region, separation};
use heartside_timber::blank::Blank;
use heartside_timber::job::{Board, FixingMaterial, Job, Tool, Warp, Zone, ZoneKind};
use heartside_timber::length::{write_length, write_weight};
use heartside_timber::plan::Placement;

use crate::step::Caution;

/// Said once with every list of cautions.
pub const DEFERENCE: &str = "Cautions are reminders, not instructions: the machine's manual, local rules and a qualified person come first.";

/// A workpiece shorter than this is short, in millimetres. Common practice.
const SHORT: f64 = 300.0;
/// A strip narrower than this between blade and fence is narrow, in millimetres. Common practice.
const NARROW: f64 = 60.0;
/// The last stretch of a rip that wants a push stick, in millimetres. HSE, circular saw benches.
const PUSH_STICK: f64 = 300.0;
/// A workpiece longer than this wants support at both ends, in millimetres. Common practice.
const LONG: f64 = 1800.0;
/// A fixing nearer to the kerf than this is named, in millimetres: about what a tape and a pencil may be out.
const NEAR: f64 = 25.0;
/// Least piece for planing by hand feed, in millimetres (one machine manual gives 12 in, another 10 in). Common practice: 300.
const SHORT_FOR_PLANING: f64 = 300.0;

/// The cut that cautions are sought for.
pub(crate) struct CutToWeigh<'a> {
    pub(crate) job: &'a Job,
    pub(crate) board: &'a Board,
    pub(crate) tool: Option<&'a Tool>,
    pub(crate) ripping: bool,
    /// Real extents of the workpiece.
    pub(crate) longest: f64,
    /// Its extent across the board.
    pub(crate) across: f64,
    pub(crate) weight_kg: f64,
    /// Width of the piece on the fence side; none where no fence is used.
    pub(crate) beside_fence: Option<f64>,
    /// The side measured from is straight and true.
    pub(crate) true_side: bool,
    /// The kerf in the board's frame.
    pub(crate) band: Option<&'a Region>,
    /// Width of the waste that is taken off where it is less than the kerf.
    pub(crate) skim: bool,
}

impl CutToWeigh<'_> {
    pub(crate) fn cautions(&self) -> Vec<Caution> {
        let mut found = Vec::new();
        let units = &self.job.units;
        let tool = self.tool.map(|t| t.name.as_str()).filter(|n| !n.is_empty());
        let manual = tool.map_or("follow the machine's manual".to_owned(), |t| {
            format!("follow the manual of the {t}")
        });
        let mut say = |code: &str, text: String, source: &str| {
            found.push(Caution {
                code: code.into(),
                text,
                source: source.into(),
            });
        };
        if self.longest < SHORT {
            say(
                "short-piece",
                format!(
                    "Short piece ({}): hold it with a jig or clamp, hands well away from the blade; {manual}.",
                    write_length(self.longest, units)
                ),
                "common practice, 300 mm",
            );
        }
        if self.ripping && self.beside_fence.is_some_and(|w| w < NARROW) {
            let width = self.beside_fence.unwrap_or(0.0);
            say(
                "narrow-strip",
                format!(
                    "Narrow strip beside the fence ({}): push stick for the last {}; {manual}.",
                    write_length(width, units),
                    write_length(PUSH_STICK, units)
                ),
                "HSE, circular saw benches: push stick at least 450 mm long, used for the last 300 mm",
            );
        }
        if self.ripping && self.tool.is_some_and(Tool::has_rip_fence) && !self.true_side {
            say(
                "raw-edge",
                "Raw edge: do not run it along the fence. Saw this line with a guided saw or a sled, or true an edge first.".into(),
                "common practice",
            );
        }
        if self.ripping && self.is_cupped() {
            say(
                "cupped",
                "Cupped board: it can rock and pinch the blade; hollow face down on the table, or flatten a face first.".into(),
                "common practice",
            );
        }
        if self.weight_kg > self.job.workshop.max_lift_kg {
            say(
                "heavy",
                format!(
                    "Heavy: {} is more than the {} set for one person; get help or supports.",
                    write_weight(self.weight_kg, units),
                    write_weight(self.job.workshop.max_lift_kg, units)
                ),
                "the job's own limit",
            );
        }
        if self.longest > LONG {
            say(
                "long-piece",
                format!(
                    "Long piece ({}): support both ends.",
                    write_length(self.longest, units)
                ),
                "common practice",
            );
        }
        if self.skim {
            say(
                "skim",
                "The saw takes less than its own kerf here: the blade is pushed aside; cut slowly."
                    .into(),
                "common practice",
            );
        }
        self.fixings(&mut found);
        found
    }

    fn is_cupped(&self) -> bool {
        // What is left of the cup in this piece: gap (w / span)^2.
        matches!(self.board.warp, Warp::Measured { cup: (gap, span), .. }
            if span > 0.0 && gap * (self.across / span) * (self.across / span) >= 1.0)
    }

    fn fixings(&self, found: &mut Vec<Caution>) {
        let Some(band) = self.band else { return };
        let band = PreparedRegion::new(band.clone());
        for zone in self
            .board
            .zones
            .iter()
            .filter(|z| z.kind == ZoneKind::Fixing)
        {
            let shape = PreparedRegion::new(zone.shape.clone());
            let gap = separation(&band, &shape).amount;
            if gap > NEAR.max(zone.margin) {
                continue;
            }
            let metal = if zone.material == FixingMaterial::Wood {
                "wood"
            } else {
                "metal, until proved otherwise"
            };
            found.push(Caution {
                code: "buried-near-cut".into(),
                text: format!(
                    "{} {} from the kerf ({metal}): check with a detector and draw it first if you can.",
                    capital(&zone_words(zone)),
                    write_length(gap.max(0.0), &self.job.units)
                ),
                source: "common practice".into(),
            });
        }
    }
}

/// What a zone is called: the maker's note, else its kind.
pub fn zone_words(zone: &Zone) -> String {
    if !zone.note.trim().is_empty() {
        return zone.note.trim().to_owned();
    }
    match zone.kind {
        ZoneKind::Defect => "defect",
        ZoneKind::Sapwood => "sapwood",
        ZoneKind::Fixing => "old fixing",
        ZoneKind::Figure => "figure",
    }
    .to_owned()
}

/// Cautions about a blank that comes off: what is buried in it, and whether it is short for planing.
pub(crate) fn blank_cautions(job: &Job, board: &Board, placement: &Placement) -> Vec<Caution> {
    let mut found = Vec::new();
    let Some(part) = job.part(&placement.part) else {
        return found;
    };
    let name = part.copy_name(placement.copy);
    let blank = Blank::of(part);
    let lying = PreparedRegion::new(placement.pose().apply_region(&blank.core));
    for zone in board
        .zones
        .iter()
        .filter(|z| z.kind == ZoneKind::Fixing && z.material != FixingMaterial::Wood)
    {
        if separation(&lying, &PreparedRegion::new(zone.shape.clone())).amount < blank.radius {
            found.push(Caution {
                code: "buried-in-blank".into(),
                text: format!(
                    "{name} holds the {}: draw it before planing, or plane by hand short of it.",
                    zone_words(zone)
                ),
                source: "common practice".into(),
            });
        }
    }
    let longest = blank.bounds().width().max(blank.bounds().height());
    if longest < SHORT_FOR_PLANING {
        found.push(Caution {
            code: "short-for-planing".into(),
            text: format!(
                "{name} is short for machine planing ({}): plane it before crosscutting, or by hand.",
                write_length(longest, &job.units)
            ),
            source: "machine manuals give 250 to 300 mm as the least length; follow yours".into(),
        });
    }
    found
}

/// What is known of the dust of a species; said once a board. Sources: EH40/2005 (UK) and
/// Directive 2017/2398 (EU) for limits; ACGIH for oak and beech (A1), birch, mahogany,
/// teak and walnut (A2).
pub(crate) fn dust_caution(species: &str) -> Option<Caution> {
    let lower = species.to_lowercase();
    let any = |words: &[&str]| words.iter().any(|w| lower.contains(w));
    let text = if any(&["oak", "beech"]) {
        "Oak and beech dust is a confirmed carcinogen: extraction first, a fitting mask besides."
    } else if any(&["birch", "mahogany", "teak", "walnut"]) {
        "The dust of this wood is a suspected carcinogen: extraction first, a fitting mask besides."
    } else if any(&["cedar"]) {
        "Western red cedar dust can cause asthma: extraction first, a fitting mask besides."
    } else if lower.is_empty() {
        return None;
    } else {
        "Wood dust harms the lungs: extraction first, a fitting mask besides."
    };
    Some(Caution {
        code: "dust".into(),
        text: format!("{text} Check the limits in force where you work."),
        source: "ACGIH classes; limits EH40/2005 (UK), Directive 2017/2398 (EU)".into(),
    })
}

/// The box of a kerf as a region of the board's frame.
pub(crate) fn band_region(band: Bounds, frame: &heartside_timber::plan::Frame) -> Option<Region> {
    Region::rectangle(band).map(|r| frame.pose().apply_region(&r))
}

/// The same sentence with its first letter large.
pub(crate) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}
