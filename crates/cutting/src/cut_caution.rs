//! Cautions about one cut: the piece, the fence, warp that rocks it, fixings near the kerf.

use heartside_geometry::{Bounds, PreparedRegion, Region, separation};
use heartside_timber::defaults::{FIXING_KEEP_OFF, LEAST_HELD, MOST_TWIST_MOVED};
use heartside_timber::job::{Board, FixingMaterial, Job, Tool, ZoneKind};
use heartside_timber::length::{write_length, write_weight};
use heartside_timber::plan::Frame;
use heartside_timber::words::capital;

use crate::caution::{follow_manual, zone_words};
use crate::rough::write_rough_length;
use crate::step::{Caution, Near};
use crate::wood_caution::{TWISTED, WarpLeft};
use crate::workpiece::Guided;

/// A workpiece shorter than this is short, in millimetres.
const SHORT: f64 = LEAST_HELD;

/// A strip narrower than this between blade and fence is narrow, in millimetres. Common practice.
const NARROW: f64 = 60.0;

/// The last stretch of a rip that wants a push stick, in millimetres. HSE, circular saw benches.
const PUSH_STICK: f64 = 300.0;

/// Least length of a push stick, in millimetres. HSE, circular saw benches.
const STICK: f64 = 450.0;

/// A workpiece longer than this wants support at both ends, in millimetres. Common practice.
const LONG: f64 = 1800.0;

/// A fixing whose margin comes nearer to the kerf than this is named, in millimetres: as much
/// again as the usual keep-off, which stands for tape, pencil and the unseen width.
const NEAR: f64 = FIXING_KEEP_OFF;

/// Least cup left across a workpiece that is cautioned, in millimetres. Common practice.
const CUPPED: f64 = 1.0;

/// Least bow left along a workpiece that is cautioned, in millimetres. Common practice: what a
/// board of a metre or two gives under a hand without rocking.
const BOWED: f64 = 3.0;

/// Heavier than any wood in use, in kg/m³: what an unknown wood may weigh at most.
const HEAVIEST: f64 = 1100.0;

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
    /// It runs askew to the cuts made before, and along no fence.
    pub(crate) askew: bool,
}

impl CutToWeigh<'_> {
    pub(crate) fn cautions(&self) -> Vec<Caution> {
        let mut found = Vec::new();
        self.of_the_line(&mut found);
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

    fn of_the_line(&self, found: &mut Vec<Caution>) {
        if !self.askew {
            return;
        }
        let text = format!(
            "Cut askew: mark both ends, join the marks and follow that line, a guided saw along its rail on a clamped board; no fence; a wedge falls away; {}.",
            self.manual()
        );
        self.say(found, "askew", text, "askew, no fence", "common practice");
    }

    pub(crate) fn of_the_piece(&self, found: &mut Vec<Caution>) {
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
            let thing = format!("{} ({metal})", zone_words(zone));
            let gap = gap.max(0.0);
            found.push(Caution {
                near: Some(Near { thing, gap }),
                ..Caution::new("buried-near-cut", text, &short, "common practice")
            });
        }
    }
}

/// The box of a kerf as a region of the board's frame.
pub(crate) fn band_region(band: Bounds, frame: &Frame) -> Option<Region> {
    Region::rectangle(band).map(|r| frame.pose().apply_region(&r))
}
