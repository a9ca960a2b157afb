//! What every way of bettering a floor works with.

use heartside_timber::job::Job;

use super::lie::Piece;
use super::yard::Yard;
use crate::chance::Chance;
use crate::engine::Stock;

/// What a search over floors works with.
pub(super) struct Tools<'a> {
    pub(super) job: &'a Job,
    pub(super) yard: &'a mut Yard,
    pub(super) stock: &'a [Stock],
    pub(super) pieces: &'a [Piece],
    pub(super) chance: &'a mut Chance,
}
