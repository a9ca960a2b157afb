//! How everything lay before a change.

use heartside_geometry::{SortedMap, SortedSet};

use heartside_timber::document::{BoardCopy, PartCopy};
use heartside_timber::plan::Placed;

/// How everything lay before a change.
#[derive(Debug, Clone, Default)]
pub(in crate::session) struct Standing {
    /// Where copies lay: the board as it was bought, and the place in its coordinates. A cut moves none.
    pub(in crate::session) places: SortedMap<PartCopy, (BoardCopy, Placed)>,
    /// Boards as they were bought that are cut or to be cut.
    pub(super) boards: SortedSet<BoardCopy>,
    /// What is spent and what the plan still costs.
    pub(super) cost: f64,
}
