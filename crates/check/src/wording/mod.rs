//! Every sentence of the checker: what is wrong, where, and by how much, in the job's units.

mod counts;
mod dimensions;
mod done;
mod lying;
mod machines;
mod matching;
mod names;
mod orders;
mod panels;
mod placing;
mod zones;

pub(crate) use machines::{Extent, Held};
pub(crate) use names::Words;
