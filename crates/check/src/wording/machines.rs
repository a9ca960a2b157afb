//! Rule 9: what each tool can do.

use heartside_timber::document::{BoardCopy, PartCopy};
use heartside_timber::plan::Direction;
use heartside_timber::words::capital;

use super::names::{Words, has};

/// What of a workpiece is too much for a tool.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Extent {
    Length,
    Width,
    Depth,
    FenceWidth,
}

/// How a piece is held while it is cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Held {
    /// By hand, anywhere.
    InHand,
    /// Along a guide that runs along the cut.
    AlongCut,
    /// Against a fence square to the cut.
    AgainstFence,
    /// Between a rip fence and the blade.
    BesideFence,
}

impl Words<'_> {
    pub(crate) fn cut_misses(&self, d: Direction, at: f64, board: &BoardCopy, by: f64) -> String {
        format!(
            "{} misses its piece by {}.",
            self.about_cut(d, at, board),
            self.gap(by)
        )
    }

    pub(crate) fn cut_leaves_nothing(&self, d: Direction, at: f64, board: &BoardCopy) -> String {
        format!(
            "{} turns its whole piece to dust.",
            self.about_cut(d, at, board)
        )
    }

    pub(crate) fn cannot_skim(
        &self,
        d: Direction,
        at: f64,
        board: &BoardCopy,
        by: f64,
        tool: &str,
    ) -> String {
        format!(
            "{} runs {} over the edge of its piece, and {} cannot take off less than its kerf.",
            self.about_cut(d, at, board),
            self.gap(by),
            tool_name(tool)
        )
    }

    pub(crate) fn no_such_tool(
        &self,
        d: Direction,
        at: f64,
        board: &BoardCopy,
        tool: &str,
    ) -> String {
        if tool.is_empty() {
            format!(
                "{} names no tool, and the workshop has none that takes every piece.",
                self.about_cut(d, at, board)
            )
        } else {
            format!(
                "{} wants {}, which is not in the workshop.",
                self.about_cut(d, at, board),
                tool_name(tool)
            )
        }
    }

    pub(crate) fn wrong_tool(
        &self,
        d: Direction,
        at: f64,
        board: &BoardCopy,
        tool: &str,
    ) -> String {
        let does = match d {
            Direction::Rip => "rip",
            Direction::Crosscut => "crosscut",
        };
        format!(
            "{} cannot be made with {}: it does not {does}.",
            self.about_cut(d, at, board),
            tool_name(tool)
        )
    }

    pub(crate) fn wrong_kerf(
        &self,
        d: Direction,
        at: f64,
        board: &BoardCopy,
        kerf: f64,
        tools: f64,
    ) -> String {
        format!(
            "{} is planned with a kerf of {}, but its tool takes {}.",
            self.about_cut(d, at, board),
            self.gap(kerf),
            self.gap(tools)
        )
    }

    pub(crate) fn piece_too_big_for_tool(
        &self,
        d: Direction,
        at: f64,
        board: &BoardCopy,
        extent: Extent,
        by: f64,
        tool: &str,
    ) -> String {
        let what = match extent {
            Extent::Length => "long",
            Extent::Width => "wide",
            Extent::Depth => "thick",
            Extent::FenceWidth => {
                return format!(
                    "{} is {} too far from the fence for {}.",
                    self.about_cut(d, at, board),
                    self.gap(by),
                    tool_name(tool)
                );
            }
        };
        format!(
            "{}: the piece is {} too {what} for {}.",
            self.about_cut(d, at, board),
            self.gap(by),
            tool_name(tool)
        )
    }

    pub(crate) fn piece_too_small(
        &self,
        d: Direction,
        at: f64,
        board: &BoardCopy,
        by: f64,
        tool: &str,
        held: Held,
    ) -> String {
        let (cut, by, tool) = (self.about_cut(d, at, board), self.gap(by), tool_name(tool));
        match held {
            Held::InHand => {
                format!("{cut}: the piece is {by} too short to be held safely at {tool}.")
            }
            Held::AlongCut => format!(
                "{cut}: the piece is {by} too short along the cut to be held safely at {tool}."
            ),
            Held::AgainstFence => format!(
                "{cut}: what lies against the fence of {tool} is {by} too short to be held safely."
            ),
            Held::BesideFence => format!(
                "{cut}: the piece between fence and blade is {by} too short to be held safely at {tool}."
            ),
        }
    }

    pub(crate) fn piece_twisted(
        &self,
        d: Direction,
        at: f64,
        board: &BoardCopy,
        twist: f64,
        by: f64,
        tool: &str,
    ) -> String {
        format!(
            "{}: the piece is twisted by {}, {} too much to be pushed over {}, where it would rock. Cut it smaller first with a saw that moves over the clamped work.",
            self.about_cut(d, at, board),
            self.gap(twist),
            self.gap(by),
            tool_name(tool)
        )
    }

    pub(crate) fn planed_too_deep(
        &self,
        d: Direction,
        at: f64,
        board: &BoardCopy,
        by: f64,
        tool: &str,
    ) -> String {
        format!(
            "{} takes {} more off the edge than {} can.",
            self.about_cut(d, at, board),
            self.gap(by),
            tool_name(tool)
        )
    }

    pub(crate) fn planer_parts(
        &self,
        d: Direction,
        at: f64,
        board: &BoardCopy,
        by: f64,
        tool: &str,
    ) -> String {
        format!(
            "{} leaves {} of wood beyond the planed edge, and {} cannot cut that off.",
            self.about_cut(d, at, board),
            self.gap(by),
            tool_name(tool)
        )
    }

    pub(crate) fn true_edge_too_short(
        &self,
        d: Direction,
        at: f64,
        board: &BoardCopy,
        tool: &str,
        touching: f64,
        by: f64,
    ) -> String {
        format!(
            "{}: only {} of true edge runs against the fence of {}, {} too little for this piece.",
            self.about_cut(d, at, board),
            self.length(touching),
            tool_name(tool),
            self.gap(by)
        )
    }

    pub(crate) fn no_true_edge(
        &self,
        d: Direction,
        at: f64,
        board: &BoardCopy,
        tool: &str,
    ) -> String {
        format!(
            "{}: {} needs a straight, true edge against its fence, and this piece has none along the cut.",
            self.about_cut(d, at, board),
            tool_name(tool)
        )
    }

    pub(crate) fn no_edge_in_line(
        &self,
        d: Direction,
        at: f64,
        board: &BoardCopy,
        tool: &str,
    ) -> String {
        format!(
            "{}: its piece is turned against its old edges, and none follows the new line to lie against the fence of {}. Cut to a mark, or cut such an edge first.",
            self.about_cut(d, at, board),
            tool_name(tool)
        )
    }

    pub(crate) fn tight_corner(
        &self,
        parts: &[PartCopy],
        board: &BoardCopy,
        radius: f64,
    ) -> String {
        format!(
            "{} on {} {} an inside corner tighter than the {} that the saw can follow.",
            self.parts(parts),
            self.board(board),
            has(parts),
            self.length(radius)
        )
    }

    pub(crate) fn hole_entry(&self, parts: &[PartCopy], board: &BoardCopy) -> String {
        format!(
            "{} on {} {} a hole: drill a place for the blade to start.",
            self.parts(parts),
            self.board(board),
            has(parts)
        )
    }

    pub(crate) fn too_thick_to_saw(&self, board: &BoardCopy, by: f64) -> String {
        format!(
            "{} is {} too thick for every tool that saws by line.",
            capital(&self.board(board)),
            self.gap(by)
        )
    }
}

fn tool_name(tool: &str) -> String {
    if tool.is_empty() {
        "the saw".into()
    } else {
        format!("\u{201c}{tool}\u{201d}")
    }
}
