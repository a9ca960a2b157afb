//! A drawing under way, as a session holds it.

use heartside_timber::document::{BoardCopy, BoardGrain, BoardOutline, ZoneShape};

use super::line::Line;
use super::sketch::Sketch;
use crate::protocol::MarkKind;

/// A drawing under way.
#[derive(Debug, Clone)]
pub(in crate::session) struct Drawing {
    pub(super) sketch: Sketch,
    pub(super) on: BoardCopy,
    pub(super) target: Target,
    /// The lines that were there.
    pub(super) before: Vec<Line>,
}

/// What is drawn, as it was in the job when drawing was begun: changed meanwhile, nothing is taken.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Target {
    Outline(Option<BoardOutline>),
    NewArea(Option<MarkKind>),
    Area(usize, Option<ZoneShape>),
    Grain(Option<BoardGrain>),
}
