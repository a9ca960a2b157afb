//! What engines from outside are made of.
//!
//! A search takes them from [`Beside`], given in its settings. Jobs of makers need none of them, so
//! the page neither gives any nor carries them.
//!
//! | what | for |
//! |---|---|
//! | [`Beside`], [`Engine`] | what a search asks of those who bring engines, and of an engine |
//! | [`Task`], [`Stock`], [`Pinned`], [`Chance`] | what an engine is given |
//! | [`clear`] | clear boards in whole measures: tables of the best rectangles, joined blocks |
//! | [`greatest_value`], [`cheapest_boards`] | engines on them that prove a value, and buy boards by prices |
//! | [`Phase`], [`Stepped`] | a way of bettering what lies on boards that are sawn by line |
//! | [`Tools`], [`Yard`], [`Form`], [`Piece`], [`Lie`], [`Floor`] | what such a phase works with |
//! | [`Separation`], [`is_sound`], [`filling_order`] | parts overlaps, judges, and says which boards come first |
//! | [`cuts`] | boards under straight cuts, and the layouts of boards cut up |

use heartside_timber::job::Job;

pub use crate::chance::Chance;
pub use crate::engine::{Beside, Engine};
pub use crate::sawn::{
    Floor, Form, Lie, Moved, Phase, Piece, Separation, Stepped, Tools, Yard, filling_order,
    is_sound,
};
pub use crate::task::{Pinned, Stock, Task};

/// Boards under straight cuts: what can be sawn, what that leaves, and the layouts of boards cut up.
pub mod cuts {
    pub use crate::cuts::cutting::{Cutout, Cutting, First};
    pub use crate::cuts::fits::{Class, Fit, Pair};
    pub use crate::cuts::ground::Ground;
    pub use crate::cuts::obstacle::Piece;
    pub use crate::cuts::position::{Edge, Spot, find_spot};
    pub use crate::cuts::saw::Saws;
    pub use crate::cuts::side::Side;
    pub use crate::cuts::workpiece::Workpiece;
    pub use crate::matches::keep_matches;
    pub use crate::straight::layouts::layouts_of;
    pub use crate::straight::stockroom::{Shelf, Stockroom};
    pub use crate::task::usable_stock;
}

/// Clear, upright boards in whole measures.
pub mod clear {
    pub use crate::straight::clear::{Clear, Item, Joined, Make, Table};
}

/// The greatest value from one clear, upright board, proved; none for other tasks.
pub fn greatest_value(job: &Job, task: Task) -> Option<Box<dyn Engine>> {
    let proof = crate::straight::clear::Proof::new(job, task)?;
    Some(Box::new(proof))
}

/// The cheapest clear, upright boards for all parts, by prices on the parts (column generation),
/// with a proved floor; none for other tasks.
pub fn cheapest_boards(job: &Job, task: Task) -> Option<Box<dyn Engine>> {
    let generation = crate::straight::clear::ColumnGeneration::new(job, task)?;
    Some(Box::new(generation))
}
