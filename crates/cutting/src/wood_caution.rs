//! Cautions about the wood itself: a board's dust and warp, and what a blank holds when it comes off.

use heartside_geometry::{PreparedRegion, separation};
use heartside_timber::blank::Blank;
use heartside_timber::job::{Board, FixingMaterial, Job, Warp, ZoneKind};
use heartside_timber::length::write_length;
use heartside_timber::plan::Placement;

use crate::caution::zone_words;
use crate::dust::dust_cautions;
use crate::step::Caution;

/// Least piece for planing by hand feed, in millimetres (one machine manual gives 12 in, another 10 in). Common practice: 300.
const SHORT_FOR_PLANING: f64 = 300.0;

/// Least twist left over a workpiece that is cautioned, in millimetres. Common practice.
pub(crate) const TWISTED: f64 = 0.5;

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

/// What has to be seen to in a blank in hand before it is planed: what is buried in it in full, the rest
/// by its short name. Nothing for wood that is not in hand.
pub fn before_planing(job: &Job, piece: &Board) -> Vec<String> {
    let held = piece.from.as_ref().and_then(|from| from.holds.as_ref());
    let found = held.map(|placement| blank_cautions(job, piece, placement));
    let found = found.unwrap_or_default().into_iter();
    found
        .map(|caution| match caution.is_grave() {
            true => caution.text.trim_end_matches('.').to_owned(),
            false => caution.short,
        })
        .collect()
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
