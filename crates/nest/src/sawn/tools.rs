//! What every way of bettering a floor works with.

use heartside_timber::job::Job;

use super::lie::Piece;
use super::yard::Yard;
use crate::chance::Chance;
use crate::task::Stock;

/// What a search over floors works with.
pub struct Tools<'a> {
    /// The job.
    pub job: &'a Job,
    /// Its boards and parts.
    pub yard: &'a mut Yard,
    /// The boards that the engine may cut.
    pub stock: &'a [Stock],
    /// The copies that it is to place, pinned ones after the others.
    pub pieces: &'a [Piece],
    /// Its chance.
    pub chance: &'a mut Chance,
}
