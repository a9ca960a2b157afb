//! Whether one straight cut can be made: its tool, its workpiece and the fence.

use heartside_geometry::{Bounds, Point};
use heartside_timber::document::BoardCopy;
use heartside_timber::finding::{Finding, Rule};
use heartside_timber::job::{Board, EdgeKind, Tool};
use heartside_timber::plan::{Direction, Frame};

use super::workpiece::{Parted, Workpiece, across, along, place};
use crate::ground::{ANGLE_SLACK, Ground};
use crate::report::{About, broken};
use crate::wording::{Extent, Words};

/// One straight cut as planned.
pub(crate) struct Cut<'a> {
    pub(crate) direction: Direction,
    pub(crate) tool: &'a str,
    pub(crate) at: f64,
    pub(crate) kerf: f64,
}

/// Everything about the bench that the cuts of one board share.
pub(crate) struct Bench<'a, 'j> {
    ground: &'a Ground<'j>,
    board: &'a Board,
    copy: &'a BoardCopy,
    frame: Frame,
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
        ground: &'a Ground<'j>,
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
            ground,
            board,
            copy,
            frame,
            true_sides,
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
        let leaves_pieces = self.leaves_pieces(cut, tool, low, high, extents, &mut found);
        if let Some(tool) = tool {
            self.fits(cut, tool, &extents, &mut found);
            if tool.has_rip_fence() && leaves_pieces {
                self.fence(cut, tool, workpiece, parted, (low, high), &mut found);
            }
        }
        found
    }

    /// The tool of a cut: it exists, makes cuts of this kind and has this kerf.
    fn tool(&self, cut: &Cut<'_>, found: &mut Vec<Finding>) -> Option<&'a Tool> {
        let tools = &self.ground.job().workshop.tools;
        let does = |tool: &&Tool| match cut.direction {
            Direction::Rip => tool.rips,
            Direction::Crosscut => tool.crosscuts,
        };
        // Without a name any tool without limits is meant: one stands in for each kind of cut
        // where the workshop lists none.
        let is_meant = |t: &&Tool| t.name == cut.tool || (cut.tool.is_empty() && is_free(t));
        let named = || tools.iter().filter(is_meant);
        let (d, at) = (cut.direction, cut.at);
        let Some(tool) = named().find(does) else {
            found.push(if cut.tool.is_empty() || named().next().is_none() {
                let words = |w: Words<'_>| w.no_such_tool(d, at, self.copy, cut.tool);
                self.report(cut, "no-such-tool", words, None)
            } else {
                let words = |w: Words<'_>| w.wrong_tool(d, at, self.copy, cut.tool);
                self.report(cut, "wrong-tool", words, None)
            });
            return None;
        };
        let off = (tool.kerf - cut.kerf).abs();
        if off > self.ground.slack() {
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
        low: f64,
        high: f64,
        extents: Bounds,
        found: &mut Vec<Finding>,
    ) -> bool {
        let slack = self.ground.slack();
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
            if by > slack && !tool.is_some_and(|t| t.can_skim) {
                let words = |w: Words<'_>| w.cannot_skim(d, at, self.copy, by, cut.tool);
                found.push(self.report(cut, "cannot-skim", words, Some(by)));
            }
        }
        true
    }

    /// The workpiece before the cut fits the tool and is large enough to be held.
    fn fits(&self, cut: &Cut<'_>, tool: &Tool, extents: &Bounds, found: &mut Vec<Finding>) {
        let (d, at) = (cut.direction, cut.at);
        let length = along(d, extents.max) - along(d, extents.min);
        let width = across(d, extents.max) - across(d, extents.min);
        let mut too_big = |extent: Extent, by: f64, cause: &str| {
            if by > self.ground.slack() {
                let words = |w: Words<'_>| {
                    w.piece_too_big_for_tool(d, at, self.copy, extent, by, &tool.name)
                };
                found.push(self.report(cut, cause, words, Some(by)));
            }
        };
        too_big(Extent::Length, length - tool.max_length, "piece-too-long");
        if !tool.has_rip_fence() {
            too_big(Extent::Width, width - tool.max_width, "piece-too-wide");
        }
        too_big(
            Extent::Depth,
            self.board.thickness - tool.max_depth,
            "piece-too-thick",
        );
        let by = tool.min_piece - length.max(width);
        if by > self.ground.slack() {
            let words = |w: Words<'_>| w.piece_too_small(d, at, self.copy, by, &tool.name, false);
            found.push(self.report(cut, "piece-too-small", words, Some(by)));
        }
    }

    /// A fence may stand on either side: one with a true edge against it where the piece
    /// between it and the blade is neither too wide nor too small.
    fn fence(
        &self,
        cut: &Cut<'_>,
        tool: &Tool,
        workpiece: &Workpiece,
        parted: &Parted,
        (low, high): (f64, f64),
        found: &mut Vec<Finding>,
    ) {
        let slack = self.ground.slack();
        let (d, at) = (cut.direction, cut.at);
        let sides = [
            (low, &parted.low, cut.at - low),
            (high, &parted.high, high - cut.at - cut.kerf),
        ];
        let mut least: Option<(f64, Finding)> = None;
        for (edge, piece, width) in sides {
            let Some(held) = piece.extents().filter(|_| width > slack) else {
                continue;
            };
            if !self.is_true(cut.direction, workpiece, edge) {
                continue;
            }
            let too_wide = width - tool.max_width;
            let too_small = tool.min_piece - held.width().max(held.height());
            let by = too_wide.max(too_small);
            if by <= slack {
                return;
            }
            let finding = if too_wide >= too_small {
                let words = |w: Words<'_>| {
                    w.piece_too_big_for_tool(d, at, self.copy, Extent::FenceWidth, by, &tool.name)
                };
                self.report(cut, "fence-too-far", words, Some(by))
            } else {
                let words =
                    |w: Words<'_>| w.piece_too_small(d, at, self.copy, by, &tool.name, true);
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

    /// Whether the outermost edge of a workpiece on one side was made by an earlier cut, or
    /// is a straight side of the board along the cut.
    fn is_true(&self, direction: Direction, workpiece: &Workpiece, edge: f64) -> bool {
        let slack = self.ground.slack();
        let Some((from, to)) = workpiece.contact(direction, edge, slack) else {
            return false;
        };
        let rectangle = &workpiece.rectangle;
        let made = [
            across(direction, rectangle.min),
            across(direction, rectangle.max),
        ];
        let by_earlier_cut = made
            .iter()
            .any(|m| m.is_finite() && (m - edge).abs() <= slack);
        let by_side = |side: &&TrueSide| {
            side.direction == direction
                && (side.at - edge).abs() <= slack
                && side.to.min(to) - side.from.max(from) > slack
        };
        by_earlier_cut || self.true_sides.iter().find(by_side).is_some()
    }

    fn report(
        &self,
        cut: &Cut<'_>,
        cause: &str,
        words: impl FnOnce(Words<'_>) -> String,
        amount: Option<f64>,
    ) -> Finding {
        let mut finding = broken(Rule::Cuts, cause, words(self.ground.words())).on(self.copy);
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

/// Whether a tool takes every workpiece.
fn is_free(tool: &Tool) -> bool {
    let limits = [tool.max_length, tool.max_width, tool.max_depth];
    !tool.has_rip_fence() && tool.min_piece <= 0.0 && limits.iter().all(|l| l.is_infinite())
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
