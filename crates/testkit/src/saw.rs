//! Which tool of a generated workshop surely makes a cut, for boards that are cut apart.
//!
//! It errs on the safe side: what it allows is allowed by every rule, not the other way round.

use heartside_geometry::Bounds;
use heartside_timber::document::{CutKind, Guide, Tool};
use heartside_timber::plan::Direction;

use crate::timberyard::plain;

/// Least held length of hand-fed circular saws where the tool says nothing (common practice).
const LEAST_HELD: f64 = 300.0;

/// A tool for straight cuts, its unset fields filled in.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Saw {
    pub(crate) name: String,
    pub(crate) kerf: f64,
    rips: bool,
    crosscuts: bool,
    guide: Guide,
    work_moves: bool,
    pub(crate) leaves_true_edge: bool,
    max_length: f64,
    max_width: f64,
    max_depth: f64,
    least_held: f64,
}

/// A workpiece that is to be cut: no wood outside `outer`, none missing inside `inner`.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Work {
    pub(crate) outer: Bounds,
    pub(crate) inner: Bounds,
    /// True edges: at the least x, the least y, the greatest x, the greatest y.
    pub(crate) is_true: [bool; 4],
    pub(crate) thickness: f64,
    pub(crate) is_twisted: bool,
}

/// The sides of a piece of which one may fall off, however small it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kept {
    Low,
    High,
    Both,
}

impl Saw {
    /// The saws among some tools: planers and what only follows lines left out.
    pub(crate) fn all(tools: &[Tool]) -> Vec<Saw> {
        let straight = |tool: &&Tool| {
            tool.does.contains(&CutKind::Rip) || tool.does.contains(&CutKind::Crosscut)
        };
        tools.iter().filter(straight).map(Saw::of).collect()
    }

    fn of(tool: &Tool) -> Saw {
        let does = |kind| tool.does.contains(&kind);
        let follows = does(CutKind::Sawn);
        let work_moves = tool
            .work_moves
            .unwrap_or(tool.guide == Guide::Along || (does(CutKind::Rip) && follows));
        let is_fed_by_hand = match tool.guide {
            Guide::None => false,
            Guide::Along => work_moves,
            Guide::Square => true,
        };
        let limit = |given: &Option<heartside_timber::document::Length>| {
            given.as_ref().map_or(f64::INFINITY, plain)
        };
        Saw {
            name: tool.name.clone(),
            kerf: tool.kerf.as_ref().map_or(0.0, plain),
            rips: does(CutKind::Rip),
            crosscuts: does(CutKind::Crosscut),
            guide: tool.guide,
            work_moves,
            leaves_true_edge: tool
                .leaves_true_edge
                .unwrap_or(tool.guide != Guide::None && !follows),
            max_length: limit(&tool.max_length),
            max_width: limit(&tool.max_width),
            max_depth: limit(&tool.max_depth),
            least_held: match &tool.min_piece {
                Some(length) => plain(length),
                None if is_fed_by_hand && !follows => LEAST_HELD,
                None => 0.0,
            },
        }
    }

    /// True where it holds any piece, however short.
    pub(crate) fn has_no_least_length(&self) -> bool {
        self.least_held == 0.0
    }

    /// True where this saw may surely make the cut whose kerf begins at `at`.
    pub(crate) fn makes(&self, direction: Direction, work: &Work, at: f64, kept: Kept) -> bool {
        let turned = |b: Bounds| match direction {
            Direction::Rip => b,
            Direction::Crosscut => b.transposed(),
        };
        // From here on the cut runs along x.
        let (outer, inner) = (turned(work.outer), turned(work.inner));
        let does = match direction {
            Direction::Rip => self.rips,
            Direction::Crosscut => self.crosscuts,
        };
        let suits = work.thickness <= self.max_depth
            && outer.width() <= self.max_length
            && !(self.work_moves && work.is_twisted);
        let (low, high) = (at - outer.min.y, outer.max.y - at - self.kerf);
        let (low_held, high_held) = (at - inner.min.y, inner.max.y - at - self.kerf);
        let is_long = inner.width() >= self.least_held;
        let is_deep = |held: f64| held >= self.least_held;
        let kept_are_deep =
            (kept == Kept::High || is_deep(low_held)) && (kept == Kept::Low || is_deep(high_held));
        does && suits
            && match (self.guide, self.work_moves) {
                (Guide::Along, true) => {
                    let [left, lower, right, upper] = work.is_true;
                    let (lower, upper) = match direction {
                        Direction::Rip => (lower, upper),
                        Direction::Crosscut => (left, right),
                    };
                    is_long
                        && ((lower && low <= self.max_width) || (upper && high <= self.max_width))
                }
                (Guide::Along, false) => is_long && outer.height() <= self.max_width,
                (Guide::Square, _) => kept_are_deep && outer.height() <= self.max_width,
                (Guide::None, _) => is_long && kept_are_deep && outer.height() <= self.max_width,
            }
    }
}
