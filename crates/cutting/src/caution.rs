//! Cautions that belong to a step. Reminders only: the machine's manual, local rules and a qualified person come first.
//!
//! No published rule gives a least workpiece length for a saw; 300 mm is a rule of
//! practice. Where a figure is published its source stands beside it. A caution's sentence
//! is the same wherever it is due (figures of the single cut stand in the step's own words), so
//! that it can be said in full once and by its short name afterwards.

use std::collections::BTreeSet;

use heartside_geometry::{Bounds, PreparedRegion, Region, separation};
use heartside_timber::blank::Blank;
use heartside_timber::defaults::{FIXING_KEEP_OFF, LEAST_HELD, MOST_TWIST_MOVED};
use heartside_timber::job::{Board, FixingMaterial, Guide, Job, Tool, Warp, Zone, ZoneKind};
use heartside_timber::length::{write_length, write_weight};
use heartside_timber::plan::Placement;
use heartside_timber::words::capital;

use crate::dust::dust_cautions;
use crate::rough::write_rough_length;
use crate::step::{Caution, Step};
use crate::workpiece::Guided;

/// Said once with every list of cautions.
pub const DEFERENCE: &str = "Cautions are reminders, not instructions: the machine's manual, local rules and a qualified person come first.";

/// A workpiece shorter than this is short, in millimetres.
const SHORT: f64 = LEAST_HELD;
/// A strip narrower than this between blade and fence is narrow, in millimetres. Common practice.
const NARROW: f64 = 60.0;
/// The last stretch of a rip that wants a push stick, in millimetres. HSE, circular saw benches.
const PUSH_STICK: f64 = 300.0;
/// Least length of a push stick, in millimetres. HSE, circular saw benches.
const STICK: f64 = 450.0;
/// Farthest that a riving knife stands from the blade, in millimetres. HSE, circular saw benches.
const KNIFE: f64 = 8.0;
/// A workpiece longer than this wants support at both ends, in millimetres. Common practice.
const LONG: f64 = 1800.0;
/// A fixing whose margin comes nearer to the kerf than this is named, in millimetres: as much
/// again as the usual keep-off, which stands for tape, pencil and the unseen width.
const NEAR: f64 = FIXING_KEEP_OFF;
/// Least piece for planing by hand feed, in millimetres (one machine manual gives 12 in, another 10 in). Common practice: 300.
const SHORT_FOR_PLANING: f64 = 300.0;
/// Least cup left across a workpiece that is cautioned, in millimetres. Common practice.
const CUPPED: f64 = 1.0;
/// Least bow left along a workpiece that is cautioned, in millimetres. Common practice: what a
/// board of a metre or two gives under a hand without rocking.
const BOWED: f64 = 3.0;
/// Least twist left over a workpiece that is cautioned, in millimetres. Common practice.
const TWISTED: f64 = 0.5;
/// Heavier than any wood in use, in kg/m³: what an unknown wood may weigh at most.
const HEAVIEST: f64 = 1100.0;

impl Caution {
    /// A caution that was not said before.
    pub(crate) fn new(code: &str, text: String, short: &str, source: &str) -> Caution {
        Caution {
            code: code.into(),
            text,
            short: short.into(),
            source: source.into(),
            first: true,
        }
    }

    /// True where a hand or the blade is in danger at this very cut, so that its words stand on
    /// the cut's own line and not a tap away.
    pub fn is_grave(&self) -> bool {
        const GRAVE: [&str; 6] = [
            "short-piece",
            "narrow-strip",
            "raw-edge",
            "too-twisted",
            "buried-near-cut",
            "buried-in-blank",
        ];
        GRAVE.contains(&self.code.as_str())
    }

    /// The whole sentence where it is due for the first time, its short name afterwards.
    pub fn shown(&self) -> &str {
        if self.first { &self.text } else { &self.short }
    }
}

/// Marks all cautions that were given in full by an earlier step.
///
/// What is buried in the wood is said in full every time.
pub(crate) fn say_once(steps: &mut [Step]) {
    let mut said: BTreeSet<String> = BTreeSet::new();
    for caution in steps.iter_mut().flat_map(|s| &mut s.cautions) {
        let new = said.insert(caution.text.clone());
        caution.first = new || caution.code.starts_with("buried");
    }
}

/// What is left of a board's warp over a workpiece, in millimetres: cup and bow fall with the
/// square of the extent, twist with the product of both (trade facts 2.3).
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct WarpLeft {
    pub(crate) cup: f64,
    pub(crate) bow: f64,
    pub(crate) twist: f64,
}

impl WarpLeft {
    /// Over an extent along the board and across it.
    pub(crate) fn of(warp: &Warp, along: f64, across: f64) -> WarpLeft {
        let Warp::Measured { cup, bow, twist } = *warp else {
            return WarpLeft::default();
        };
        let share = |extent: f64, over: f64| if over > 0.0 { extent / over } else { 0.0 };
        let squared =
            |(gap, over): (f64, f64), extent: f64| gap * share(extent, over) * share(extent, over);
        WarpLeft {
            cup: squared(cup, across),
            bow: squared(bow, along),
            twist: twist.0 * share(along, twist.1) * share(across, twist.2),
        }
    }
}

/// The cut that cautions are sought for.
pub(crate) struct CutToWeigh<'a> {
    pub(crate) job: &'a Job,
    pub(crate) board: &'a Board,
    pub(crate) tool: Option<&'a Tool>,
    pub(crate) ripping: bool,
    /// Real extents of the workpiece along the board and across it.
    pub(crate) along: f64,
    pub(crate) across: f64,
    /// None where the density is not known.
    pub(crate) weight_kg: Option<f64>,
    /// Volume of the workpiece in cubic millimetres.
    pub(crate) volume: f64,
    /// Width of the piece between fence and blade; none where no fence is used.
    pub(crate) beside_fence: Option<f64>,
    /// The least length by which a piece is held against a fence, before or after the cut.
    pub(crate) held: Option<f64>,
    /// How the edge that runs along the fence, or lies against it, came about; none where none is there to lie against.
    pub(crate) against_fence: Option<Guided>,
    /// The kerf in the board's frame.
    pub(crate) band: Option<&'a Region>,
    /// The waste that is taken off is less than the kerf.
    pub(crate) skim: bool,
}

impl CutToWeigh<'_> {
    pub(crate) fn cautions(&self) -> Vec<Caution> {
        let mut found = Vec::new();
        self.of_the_piece(&mut found);
        self.of_the_fence(&mut found);
        self.of_warp(&mut found);
        self.fixings(&mut found);
        found
    }

    fn manual(&self) -> String {
        follow_manual(self.tool)
    }

    fn say(&self, found: &mut Vec<Caution>, code: &str, text: String, short: &str, source: &str) {
        found.push(Caution::new(code, text, short, source));
    }

    fn of_the_piece(&self, found: &mut Vec<Caution>) {
        let units = &self.job.units;
        let longest = self.along.max(self.across);
        if longest < SHORT || self.held.is_some_and(|h| h < SHORT) {
            let text = format!(
                "Short piece, held by less than {}: hold it with a jig or clamp, hands well away from the blade; {}.",
                write_length(SHORT, units),
                self.manual()
            );
            self.say(
                found,
                "short-piece",
                text,
                "short piece",
                "common practice, 300 mm",
            );
        }
        let limit = self.job.workshop.max_lift_kg;
        match self.weight_kg {
            Some(kg) if kg > limit => {
                let text = format!(
                    "Heavy, more than the {} set for one person: get help or supports.",
                    write_weight(limit, units)
                );
                self.say(found, "heavy", text, "heavy", "the job's own limit");
            }
            None if self.volume * 1e-9 * HEAVIEST > limit => {
                let text = format!(
                    "Weight unknown, as this board's wood has no density here: it may be more than the {} set for one person. Lift one end first.",
                    write_weight(limit, units)
                );
                self.say(
                    found,
                    "weight-unknown",
                    text,
                    "weight unknown",
                    "the job's own limit",
                );
            }
            _ => {}
        }
        if longest > LONG {
            let text = format!(
                "Long piece, more than {}: support both ends, and what comes off besides.",
                write_length(LONG, units)
            );
            self.say(found, "long-piece", text, "long piece", "common practice");
        }
        if self.skim && !self.tool.is_some_and(|t| t.trues) {
            let text =
                "The saw takes less than its own kerf here: the blade is pushed aside; cut slowly.";
            self.say(
                found,
                "skim",
                text.into(),
                "less than a kerf",
                "common practice",
            );
        }
    }

    fn of_the_fence(&self, found: &mut Vec<Caution>) {
        let Some(tool) = self.tool else { return };
        let units = &self.job.units;
        let rips_along = self.ripping && tool.has_rip_fence() && !tool.trues;
        if rips_along {
            let text = format!(
                "Push stick, at least {} long, for the last {} of the rip: no fingers between blade and fence.",
                write_length(STICK, units),
                write_length(PUSH_STICK, units)
            );
            let source = "HSE, circular saw benches: push stick at least 450 mm long, used for the last 300 mm";
            self.say(found, "push-stick", text, "push stick", source);
        }
        if rips_along && self.beside_fence.is_some_and(|w| w < NARROW) {
            let text = format!(
                "Narrow strip between blade and fence, under {}: no room for a hand at all. The stick, or a sled that carries the strip; {}.",
                write_length(NARROW, units),
                self.manual()
            );
            self.say(
                found,
                "narrow-strip",
                text,
                "narrow strip",
                "common practice, 60 mm",
            );
        }
        if rips_along && self.against_fence.is_none() {
            let text = "Raw edge: do not run it along the fence. Saw this line with a guided saw or a sled, or true an edge first.";
            self.say(
                found,
                "raw-edge",
                text.into(),
                "raw edge",
                "common practice",
            );
        }
        if !self.ripping && tool.has_square_fence() && self.against_fence.is_none() {
            let text = "Raw edge against the fence of the saw: it rocks and the blade can catch. Put a straight edge there, wedge or clamp the board so that it cannot move, or use a guided saw.";
            self.say(
                found,
                "raw-edge",
                text.into(),
                "raw edge",
                "common practice",
            );
        }
        if rips_along && self.against_fence == Some(Guided::MaybeSprung) {
            let text = "After the long rip before, this piece may have sprung: look along the edge, and true it again before it goes along the fence.";
            self.say(
                found,
                "sprung",
                text.into(),
                "may have sprung",
                "common practice",
            );
        }
    }

    fn of_warp(&self, found: &mut Vec<Caution>) {
        let left = WarpLeft::of(&self.board.warp, self.along, self.across);
        if left.cup >= CUPPED {
            let text = "Cupped board: it can rock and pinch the blade, in a rip as in a crosscut. Hollow face down, wedged where it does not bear, or flatten a face first.";
            self.say(found, "cupped", text.into(), "cupped", "common practice");
        }
        if left.bow >= BOWED {
            let text = "Bowed board: it does not lie flat along its length, and the kerf can close. Support it where it hangs free, or crosscut it first where the list lets you.";
            self.say(found, "bowed", text.into(), "bowed", "common practice");
        }
        let moves = self.tool.is_some_and(|t| t.work_moves);
        if left.twist > MOST_TWIST_MOVED && moves {
            let text = format!(
                "Twisted by more than {} over this piece: it does not go on a machine over which the work moves. Use a guided saw on the clamped board, or plane a face flat first.",
                write_length(MOST_TWIST_MOVED, &self.job.units)
            );
            self.say(
                found,
                "too-twisted",
                text,
                "too twisted",
                "common practice, 1.5 mm",
            );
        } else if left.twist >= TWISTED {
            let text =
                "Twisted board: wedge it on the bench so that it cannot rock while it is cut.";
            self.say(found, "twisted", text.into(), "twisted", "common practice");
        }
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
            if gap > NEAR + zone.margin {
                continue;
            }
            let metal = if zone.material == FixingMaterial::Wood {
                "wood"
            } else {
                "metal, until proved otherwise"
            };
            let text = format!(
                "{} {} from the kerf ({metal}): check with a detector and draw it first if you can.",
                capital(&zone_words(zone)),
                write_length(gap.max(0.0), &self.job.units)
            );
            // Never farther than it is.
            let near = write_rough_length((gap - 0.5).max(0.0), &self.job.units);
            let short = format!("{} {near} from kerf", zone_words(zone));
            found.push(Caution::new(
                "buried-near-cut",
                text,
                &short,
                "common practice",
            ));
        }
    }
}

/// Said where a tool is taken up: guard, riving knife, supports.
pub(crate) fn guard_caution(job: &Job, tool: &Tool, trues: bool) -> Caution {
    let manual = follow_manual(Some(tool));
    let (text, source) = if trues {
        (
            "Planer: guard over the block up to the work, fence square, push blocks, and with the grain".to_owned(),
            "common practice",
        )
    } else if tool.has_rip_fence() {
        (
            format!(
                "Guard over the blade, riving knife in place and within {} of it, a table or a helper behind to take the work off",
                write_length(KNIFE, &job.units)
            ),
            "HSE, circular saw benches",
        )
    } else {
        let text = match tool.guide {
            Guide::Along => {
                "Guard and riving knife in order; rail and board clamped, both pieces supported so that the kerf cannot close on the blade"
            }
            Guide::Square => {
                "Guard free to fall; board down on the table and back against the fence, hands out of the blade's way, offcut not held"
            }
            Guide::None => {
                "On a band saw guard and guides just above the work; with a saw in the hand the board clamped, and both pieces supported so that the kerf cannot close"
            }
        };
        (text.to_owned(), "common practice")
    };
    Caution::new("guard", format!("{text}; {manual}."), "guard", source)
}

/// Said at the first cut of all.
pub(crate) fn eyes_and_ears() -> Caution {
    Caution::new(
        "eyes-and-ears",
        "Eye and hearing protection, for everybody near: saws are louder than the 85 dB(A) at which rules at work ask for it.".into(),
        "eyes and ears",
        "European and British rules on noise at work; value from memory",
    )
}

/// Said at a board's first cut: its dust, and what of its warp has to be seen to.
pub(crate) fn board_cautions(board: &Board) -> Vec<Caution> {
    let mut found = dust_cautions(&board.species);
    if board.warp == Warp::Unknown {
        found.push(Caution::new(
            "warp-not-measured",
            "Warp not measured: sight along the board and try on the bench whether it rocks. Cupped, bowed or twisted it can pinch the blade: flatten a face first, or clamp it and use a guided saw.".into(),
            "warp not measured",
            "common practice",
        ));
    }
    found
}

fn follow_manual(tool: Option<&Tool>) -> String {
    match tool.map(|t| t.name.trim()).filter(|n| !n.is_empty()) {
        Some(name) => format!("follow the manual of the {name}"),
        None => "follow the machine's manual".into(),
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

/// Cautions about a blank that comes off: what is buried in it, how its twist is lost, and whether it is short for planing.
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
            let text = format!(
                "{name} holds the {}: draw it before planing, or plane by hand short of it.",
                zone_words(zone)
            );
            found.push(Caution::new(
                "buried-in-blank",
                text,
                &format!("holds {}", zone_words(zone)),
                "common practice",
            ));
        }
    }
    let bounds = placement.pose().apply_region(&blank.core).bounds();
    let left = WarpLeft::of(&board.warp, bounds.width(), bounds.height());
    if left.twist >= TWISTED {
        found.push(Caution::new(
            "wedge-twist",
            "Before the first face of a twisted blank is planed, wedge two corners so that it rocks equally: only so is no more than half of its twist lost, and the plan counts on that.".into(),
            "twisted: wedge it",
            "geometry; common practice",
        ));
    }
    let longest = blank.bounds().width().max(blank.bounds().height());
    if longest < SHORT_FOR_PLANING {
        found.push(Caution::new(
            "short-for-planing",
            format!(
                "Short for machine planing, under {}: plane it before crosscutting, or by hand.",
                write_length(SHORT_FOR_PLANING, &job.units)
            ),
            "short for planing",
            "machine manuals give 250 to 300 mm as the least length; follow yours",
        ));
    }
    found
}

/// The box of a kerf as a region of the board's frame.
pub(crate) fn band_region(band: Bounds, frame: &heartside_timber::plan::Frame) -> Option<Region> {
    Region::rectangle(band).map(|r| frame.pose().apply_region(&r))
}
