//! What the page has been sent of the floor.

use heartside_geometry::SortedMap;
use std::hash::{DefaultHasher, Hash, Hasher};

use crate::protocol::CopyOf;

/// What the page has been sent, by the ids of fragments.
#[derive(Debug, Clone, Default)]
pub(super) struct Sent {
    /// A hash of each text: equal hashes are taken for equal texts (one chance in 2^64).
    pub(super) texts: SortedMap<String, u64>,
    pub(super) shows: SortedMap<String, (Option<CopyOf>, Option<CopyOf>)>,
}

/// The same in every run and on every machine: the hasher's keys are fixed.
pub(super) fn hash_of(text: &str) -> u64 {
    let mut hasher = DefaultHasher::new();
    text.hash(&mut hasher);
    hasher.finish()
}
