//! One board's picture while it is drawn: what is drawn, how it shall look, and what is there so far.

use heartside_cutting::{Datum, Step};
use heartside_geometry::{Bounds, SortedSet};
use heartside_timber::document::{BoardCopy, PartCopy};
use heartside_timber::finding::Finding;
use heartside_timber::job::{Board, Job};
use heartside_timber::plan::Layout;

use crate::pen::Pen;
use crate::room::Room;
use crate::svg::Origin;
use crate::zones::Sign;

/// How much room a picture may take outside its board, in the drawing's unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Outside {
    /// As much as the text needs.
    Free,
    /// No more than this above and below: neighbours lie there.
    Within(f64),
}

/// What a picture shows besides the board.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Look {
    /// Running dimensions for marking out.
    pub(crate) dimensions: bool,
    /// The cuts and their numbers.
    pub(crate) cuts: bool,
    /// The cut that is picked out, by its number.
    pub(crate) chosen: Option<u32>,
    pub(crate) outside: Outside,
    /// Type smaller than this is not written, in the drawing's unit; 0 where any size will do.
    pub(crate) least_type: f64,
    /// What is known of the figure, over the wood.
    pub(crate) figure: bool,
}

/// What is drawn.
#[derive(Clone, Copy)]
pub(crate) struct Subject<'a> {
    pub(crate) job: &'a Job,
    pub(crate) board: &'a Board,
    pub(crate) copy: &'a BoardCopy,
    pub(crate) layout: Option<&'a Layout>,
    /// The steps of the whole job; those of this board are picked out.
    pub(crate) steps: &'a [Step],
    pub(crate) findings: &'a [Finding],
    pub(crate) selected: &'a [PartCopy],
    /// What else lies near in the drawing: no label stands there and no leader crosses it.
    pub(crate) others: &'a [Bounds],
}

/// A finished picture, in layers.
#[derive(Debug, Clone, Default)]
pub(crate) struct Picture {
    /// Wood, grain, outline, zones that lie under the parts, offcuts.
    pub(crate) ground: String,
    /// One group's content for each placement that is in the job, with its title.
    pub(crate) parts: Vec<(usize, PartCopy, String, String)>,
    /// Zones over the parts, with their words.
    pub(crate) zones: String,
    pub(crate) cuts: String,
    /// Offcut sizes and labels that stand outside.
    pub(crate) labels: String,
    pub(crate) dimensions: String,
    pub(crate) notes: String,
    /// The cut that is picked out, above everything else.
    pub(crate) chosen: String,
    /// Labels that found no room.
    pub(crate) left_out: usize,
    pub(crate) room: Room,
    pub(crate) signs: SortedSet<Sign>,
}

/// A picture that is being drawn.
pub(crate) struct Scene<'a> {
    pub(crate) subject: Subject<'a>,
    pub(crate) steps: Vec<&'a Step>,
    pub(crate) look: Look,
    pub(crate) origin: Origin,
    pub(crate) unit: f64,
    pub(crate) datum: Datum,
    /// The board shows a photograph.
    pub(crate) on_photo: bool,
    pub(crate) done: Picture,
    /// Labels in a row that found no place outside, where the room there is limited.
    pub(crate) refused: usize,
    /// Labels for which a place outside was looked for.
    pub(crate) called_out: usize,
}

impl Scene<'_> {
    pub(crate) fn pen(&self) -> Pen {
        Pen {
            on_photo: self.on_photo,
            ..Pen::new(self.unit)
        }
    }

    pub(crate) fn sign(&mut self, sign: Sign) {
        self.done.signs.insert(sign);
    }

    /// A box of the board's frame in the drawing.
    pub(crate) fn drawn(&self, bounds: Bounds) -> Bounds {
        Bounds::new(self.origin.map(bounds.min), self.origin.map(bounds.max))
    }

    /// The board's box in the drawing.
    pub(crate) fn board_box(&self) -> Bounds {
        self.drawn(self.subject.board.outline.bounds())
    }
}
