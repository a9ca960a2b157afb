//! Whether one straight cut can be made: its tool, its workpiece and the fence.

use heartside_geometry::{Bounds, Point};
use heartside_timber::blank::twist_over;
use heartside_timber::defaults::{FENCE_CONTACT, MOST_TWIST_MOVED};
use heartside_timber::document::BoardCopy;
use heartside_timber::finding::{Finding, Rule};
use heartside_timber::job::{Board, EdgeKind, Guide, Tool};
use heartside_timber::plan::{Cut, Direction, Frame};

use super::workpiece::{Parted, Workpiece, across, along, place};
use crate::index::{ANGLE_SLACK, JobIndex};
use crate::report::{About, broken};
use crate::wording::{Extent, Held, Words};

/// Everything about the bench that the cuts of one board share.
pub(crate) struct Bench<'a, 'j> {
    index: &'a JobIndex<'j>,
    board: &'a Board,
    copy: &'a BoardCopy,
    /// What is cut in it is square to this.
    pub(super) frame: Frame,
    /// Degrees by which cuts turned the frame, all in all.
    pub(super) turned: f64,
    /// Some cut turned the frame, be it back since: what was square to it before need not be.
    is_turned: bool,
    /// Straight sides of the board that run along or across the frame.
    true_sides: Vec<TrueSide>,
}

/// A straight side of the board against which a fence can run.
struct TrueSide {
    direction: Direction,
    at: f64,
    from: f64,
    to: f64,
}

impl<'a, 'j> Bench<'a, 'j> {
    pub(crate) fn new(
        index: &'a JobIndex<'j>,
        board: &'a Board,
        copy: &'a BoardCopy,
        frame: Frame,
    ) -> Bench<'a, 'j> {
        let pose = frame.pose();
        let straight = board
            .outline
            .outer()
            .edges()
            .zip(&board.sides)
            .filter(|(_, s)| s.kind == EdgeKind::Straight);
        let true_sides = straight
            .filter_map(|((a, b), _)| TrueSide::new(pose.inverse_apply(a), pose.inverse_apply(b)))
            .collect();
        Bench {
            index,
            board,
            copy,
            frame,
            turned: 0.0,
            is_turned: false,
            true_sides,
        }
    }

    /// The same bench for what a cut turned from its line.
    pub(super) fn turned(&self, angle: f64) -> Bench<'a, 'j> {
        Bench {
            turned: self.turned + angle,
            is_turned: true,
            ..Bench::new(self.index, self.board, self.copy, self.frame.turned(angle))
        }
    }

    /// What is wrong with one cut of one workpiece.
    pub(crate) fn judge(
        &self,
        cut: &Cut<'_>,
        workpiece: &Workpiece,
        parted: &Parted,
    ) -> Vec<Finding> {
        let mut found = Vec::new();
        let Some(extents) = workpiece.extents() else {
            found.push(self.report(
                cut,
                "cut-misses",
                |w| w.cut_misses(cut.direction, cut.at, self.copy, 0.0),
                None,
            ));
            return found;
        };
        let low = across(cut.direction, extents.min);
        let high = across(cut.direction, extents.max);
        let tool = self.tool(cut, &mut found);
        let planes = tool.is_some_and(|t| planes(t, cut.direction));
        let leaves_pieces = self.leaves_pieces(cut, tool, (low, high), extents, &mut found);
        if planes && leaves_pieces {
            self.parts_nothing(cut, (low, high), &mut found);
        }
        if let Some(tool) = tool {
            self.fits(cut, tool, &extents, &mut found);
            self.held(cut, tool, &extents, parted, &mut found);
            self.lies_flat(cut, tool, &extents, &mut found);
            if tool.needs_true_edge() && leaves_pieces && !planes {
                self.fence(cut, tool, workpiece, parted, &extents, &mut found);
            }
            if tool.has_square_fence() && self.is_turned && leaves_pieces {
                self.square_fence(cut, tool, workpiece, &extents, &mut found);
            }
        }
        found
    }

    /// Whether the edges that a cut makes can run against a fence. A tool that is not there is a
    /// finding of its own.
    pub(crate) fn leaves_true(&self, cut: &Cut<'_>) -> bool {
        self.named(cut).next().is_none_or(|t| t.leaves_true_edge)
    }

    /// The tools that a cut may mean, those that make such cuts first.
    fn named(&self, cut: &Cut<'_>) -> impl Iterator<Item = &'a Tool> + use<'a> {
        let tools = &self.index.job().workshop.tools;
        let (name, direction) = (cut.tool.to_owned(), cut.direction);
        // Without a name any tool without limits is meant: one stands in for each kind of cut
        // where the workshop lists none.
        let is_meant = move |t: &&Tool| t.name == name || (name.is_empty() && is_free(t));
        let able = tools.iter().filter(move |t| does(t, direction));
        let others = tools.iter().filter(move |t| !does(t, direction));
        able.chain(others).filter(is_meant)
    }

    /// The tool of a cut: it exists, makes cuts of this kind and has this kerf.
    fn tool(&self, cut: &Cut<'_>, found: &mut Vec<Finding>) -> Option<&'a Tool> {
        let (d, at) = (cut.direction, cut.at);
        let Some(tool) = self.named(cut).next().filter(|t| does(t, d)) else {
            found.push(if cut.tool.is_empty() || self.named(cut).next().is_none() {
                let words = |w: Words<'_>| w.no_such_tool(d, at, self.copy, cut.tool);
                self.report(cut, "no-such-tool", words, None)
            } else {
                let words = |w: Words<'_>| w.wrong_tool(d, at, self.copy, cut.tool);
                self.report(cut, "wrong-tool", words, None)
            });
            return None;
        };
        if planes(tool, d) {
            let by = cut.kerf - tool.kerf;
            if by > self.index.slack() {
                let words = |w: Words<'_>| w.planed_too_deep(d, at, self.copy, by, &tool.name);
                found.push(self.report(cut, "planed-too-deep", words, Some(by)));
            }
            return Some(tool);
        }
        let off = (tool.kerf - cut.kerf).abs();
        if off > self.index.slack() {
            let words = |w: Words<'_>| w.wrong_kerf(d, at, self.copy, cut.kerf, tool.kerf);
            found.push(self.report(cut, "wrong-kerf", words, Some(off)));
        }
        Some(tool)
    }

    /// A cut leaves two or more pieces, or takes a whole kerf off one side, or skims: takes
    /// off less than its kerf, where the tool can. What is taken off is measured square to
    /// the cut where it is largest, kerf included. True if something is left on a side.
    fn leaves_pieces(
        &self,
        cut: &Cut<'_>,
        tool: Option<&Tool>,
        (low, high): (f64, f64),
        extents: Bounds,
        found: &mut Vec<Finding>,
    ) -> bool {
        let slack = self.index.slack();
        let (d, at) = (cut.direction, cut.at);
        let end = cut.at + cut.kerf;
        if end <= low + slack || cut.at >= high - slack {
            let by = (low - end).max(cut.at - high).max(0.0);
            let mut finding = self.report(
                cut,
                "cut-misses",
                |w| w.cut_misses(d, at, self.copy, by),
                Some(by),
            );
            finding.at = Some(self.frame.pose().apply(extents.centre()));
            found.push(finding);
            return false;
        }
        let (low_left, high_left) = (cut.at > low + slack, end < high - slack);
        if !low_left && !high_left {
            found.push(self.report(
                cut,
                "cut-leaves-nothing",
                |w| w.cut_leaves_nothing(d, at, self.copy),
                None,
            ));
            return false;
        }
        if !(low_left && high_left) {
            let taken = if low_left { high - cut.at } else { end - low };
            let by = cut.kerf - taken;
            if by > slack && !tool.is_some_and(|t| t.can_skim || planes(t, d)) {
                let words = |w: Words<'_>| w.cannot_skim(d, at, self.copy, by, cut.tool);
                found.push(self.report(cut, "cannot-skim", words, Some(by)));
            }
        }
        true
    }

    /// A planer takes wood off one side and leaves nothing there.
    fn parts_nothing(&self, cut: &Cut<'_>, (low, high): (f64, f64), found: &mut Vec<Finding>) {
        let by = (cut.at - low).min(high - cut.at - cut.kerf);
        if by > self.index.slack() {
            let words =
                |w: Words<'_>| w.planer_parts(cut.direction, cut.at, self.copy, by, cut.tool);
            found.push(self.report(cut, "planer-parts", words, Some(by)));
        }
    }

    /// The workpiece before the cut fits the tool.
    fn fits(&self, cut: &Cut<'_>, tool: &Tool, extents: &Bounds, found: &mut Vec<Finding>) {
        let (d, at) = (cut.direction, cut.at);
        let length = along(d, extents.max) - along(d, extents.min);
        let width = across(d, extents.max) - across(d, extents.min);
        let mut too_big = |extent: Extent, by: f64, cause: &str| {
            if by > self.index.slack() {
                let words = |w: Words<'_>| {
                    w.piece_too_big_for_tool(d, at, self.copy, extent, by, &tool.name)
                };
                found.push(self.report(cut, cause, words, Some(by)));
            }
        };
        too_big(Extent::Length, length - tool.max_length, "piece-too-long");
        // A rip fence limits the piece between itself and the blade, see [`Bench::fence`].
        if !tool.has_rip_fence() {
            too_big(Extent::Width, width - tool.max_width, "piece-too-wide");
        }
        too_big(
            Extent::Depth,
            self.board.thickness - tool.max_depth,
            "piece-too-thick",
        );
    }

    /// The workpiece is long enough to be held, where it is held: along a guide (or over a
    /// planer) by its length along the cut, against a fence square to the cut by the length there
    /// of the larger piece that the cut leaves, for the other falls off; in the hand anywhere.
    fn held(
        &self,
        cut: &Cut<'_>,
        tool: &Tool,
        extents: &Bounds,
        parted: &Parted,
        found: &mut Vec<Finding>,
    ) {
        let d = cut.direction;
        let length = |b: &Bounds| along(d, b.max) - along(d, b.min);
        let width = |b: &Bounds| across(d, b.max) - across(d, b.min);
        let (length_held, held) = if tool.has_square_fence() {
            let left = [&parted.low, &parted.high].into_iter();
            let longest = left.filter_map(|p| Some(width(&p.extents()?)));
            (longest.fold(0.0, f64::max), Held::AgainstFence)
        } else if tool.guide == Guide::Along || planes(tool, d) {
            (length(extents), Held::AlongCut)
        } else {
            (length(extents).max(width(extents)), Held::InHand)
        };
        let by = tool.min_piece - length_held;
        if by > self.index.slack() {
            let words =
                |w: Words<'_>| w.piece_too_small(d, cut.at, self.copy, by, &tool.name, held);
            found.push(self.report(cut, "piece-too-small", words, Some(by)));
        }
    }

    /// A twisted workpiece rocks on a machine that it moves over.
    fn lies_flat(&self, cut: &Cut<'_>, tool: &Tool, extents: &Bounds, found: &mut Vec<Finding>) {
        // Twist goes with the product of both extents, so the frame may lie askew on the board.
        let twist = twist_over(self.board, extents.width(), extents.height());
        let by = twist - MOST_TWIST_MOVED;
        if tool.work_moves && by > self.index.slack() {
            let words = |w: Words<'_>| {
                w.piece_twisted(cut.direction, cut.at, self.copy, twist, by, &tool.name)
            };
            found.push(self.report(cut, "piece-twisted", words, Some(by)));
        }
    }

    /// A fence may stand on either side: one with a true edge against nearly all of it, where the
    /// piece between fence and blade, kept or waste, is neither too wide nor too short.
    fn fence(
        &self,
        cut: &Cut<'_>,
        tool: &Tool,
        workpiece: &Workpiece,
        parted: &Parted,
        extents: &Bounds,
        found: &mut Vec<Finding>,
    ) {
        let slack = self.index.slack();
        let (d, at) = (cut.direction, cut.at);
        let (low, high) = (across(d, extents.min), across(d, extents.max));
        let length = along(d, extents.max) - along(d, extents.min);
        let needed = FENCE_CONTACT * length;
        // Where the whole piece is too short, that is said of it already, see [`Bench::held`].
        let least_length = tool.min_piece.min(length);
        let sides = [
            (false, low, &parted.low, cut.at - low),
            (true, high, &parted.high, high - cut.at - cut.kerf),
        ];
        let mut least: Option<(f64, Finding)> = None;
        for (is_high, edge, piece, width) in sides {
            let Some(held) = piece.extents().filter(|_| width > slack) else {
                continue;
            };
            let touching = self.true_length(d, workpiece, is_high, edge);
            if touching <= slack {
                continue;
            }
            let too_short = needed - touching;
            let too_wide = width - tool.max_width;
            let too_small = least_length - (along(d, held.max) - along(d, held.min));
            let by = too_short.max(too_wide).max(too_small);
            if by <= slack {
                return;
            }
            let name = &tool.name;
            let finding = if by == too_short {
                let words =
                    |w: Words<'_>| w.true_edge_too_short(d, at, self.copy, name, touching, by);
                self.report(cut, "true-edge-too-short", words, Some(by))
            } else if by == too_wide {
                let words = |w: Words<'_>| {
                    w.piece_too_big_for_tool(d, at, self.copy, Extent::FenceWidth, by, name)
                };
                self.report(cut, "fence-too-far", words, Some(by))
            } else {
                let words =
                    |w: Words<'_>| w.piece_too_small(d, at, self.copy, by, name, Held::BesideFence);
                self.report(cut, "fence-piece-too-small", words, Some(by))
            };
            if least.as_ref().is_none_or(|(so_far, _)| by < *so_far) {
                least = Some((by, finding));
            }
        }
        found.push(match least {
            Some((_, finding)) => finding,
            None => self.report(
                cut,
                "no-true-edge",
                |w| w.no_true_edge(d, at, self.copy, &tool.name),
                None,
            ),
        });
    }

    /// Where the line of reference was turned, an edge that follows it lies against a fence square to
    /// the cut: one that was cut since, true or not, or a straight side of the board. The old ones
    /// would turn the cut back.
    fn square_fence(
        &self,
        cut: &Cut<'_>,
        tool: &Tool,
        workpiece: &Workpiece,
        extents: &Bounds,
        found: &mut Vec<Finding>,
    ) {
        let slack = self.index.slack();
        let beside = match cut.direction {
            Direction::Rip => Direction::Crosscut,
            Direction::Crosscut => Direction::Rip,
        };
        let follows = |(is_high, corner): (bool, Point)| {
            let edge = across(beside, corner);
            let is_cut = workpiece.is_cut(beside, is_high, edge, slack, false);
            (is_cut && !workpiece.contact(beside, edge, slack).is_empty())
                || self.true_length(beside, workpiece, is_high, edge) > slack
        };
        if ![(false, extents.min), (true, extents.max)]
            .into_iter()
            .any(follows)
        {
            let words =
                |w: Words<'_>| w.no_edge_in_line(cut.direction, cut.at, self.copy, &tool.name);
            found.push(self.report(cut, "no-edge-in-line", words, None));
        }
    }

    /// Over what length the outermost edge of a workpiece on one side is true: all the wood on it
    /// where an earlier cut left it so, else what lies on straight sides of the board.
    fn true_length(
        &self,
        direction: Direction,
        workpiece: &Workpiece,
        is_high: bool,
        edge: f64,
    ) -> f64 {
        let slack = self.index.slack();
        let touching = workpiece.contact(direction, edge, slack);
        if workpiece.is_cut(direction, is_high, edge, slack, true) {
            return touching.iter().map(|(from, to)| to - from).sum();
        }
        let lies_there = |s: &&TrueSide| s.direction == direction && (s.at - edge).abs() <= slack;
        self.true_sides
            .iter()
            .filter(lies_there)
            .flat_map(|side| {
                let shared = |(from, to): &(f64, f64)| to.min(side.to) - from.max(side.from);
                touching.iter().map(shared)
            })
            .filter(|length| *length > 0.0)
            .sum()
    }

    fn report(
        &self,
        cut: &Cut<'_>,
        cause: &str,
        words: impl FnOnce(Words<'_>) -> String,
        amount: Option<f64>,
    ) -> Finding {
        let mut finding = broken(Rule::Cuts, cause, words(self.index.words())).on(self.copy);
        if let Some(amount) = amount {
            finding = finding.mm(amount);
        }
        finding.at(self.middle(cut))
    }

    /// The middle of a cut as far as the board's box goes, in the board's frame.
    fn middle(&self, cut: &Cut<'_>) -> Point {
        let pose = self.frame.pose();
        let centre = pose.inverse_apply(self.board.outline.bounds().centre());
        pose.apply(place(
            cut.direction,
            along(cut.direction, centre),
            cut.at + 0.5 * cut.kerf,
        ))
    }
}

/// Whether a tool makes cuts of a kind. Only long edges are planed true: a planer tears end grain.
fn does(tool: &Tool, direction: Direction) -> bool {
    match direction {
        Direction::Rip => tool.rips || tool.trues,
        Direction::Crosscut => tool.crosscuts,
    }
}

/// Whether a cut with this tool planes an edge true instead of sawing.
fn planes(tool: &Tool, direction: Direction) -> bool {
    direction == Direction::Rip && tool.trues && !tool.rips
}

/// Whether a tool takes every workpiece.
fn is_free(tool: &Tool) -> bool {
    let limits = [tool.max_length, tool.max_width, tool.max_depth];
    let held = tool.work_moves || tool.trues;
    !held && tool.min_piece <= 0.0 && limits.iter().all(|l| l.is_infinite())
}

impl TrueSide {
    /// A side by its ends in the frame; none if it runs neither along nor across it.
    fn new(a: Point, b: Point) -> Option<TrueSide> {
        let angle = heartside_timber::grain::difference((b - a).angle_deg(), 0.0);
        let direction = if angle <= ANGLE_SLACK {
            Direction::Rip
        } else if 90.0 - angle <= ANGLE_SLACK {
            Direction::Crosscut
        } else {
            return None;
        };
        let (from, to) = (along(direction, a), along(direction, b));
        Some(TrueSide {
            direction,
            at: across(direction, a),
            from: from.min(to),
            to: from.max(to),
        })
    }
}
