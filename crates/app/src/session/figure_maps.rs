//! What is known of the figure of each face, of the job on the floor.

use super::Session;
use crate::figure::maps;

impl Session {
    /// The faces of which something is known, each once, in the order of the boards, up faces first.
    pub fn faces_known(&self) -> Vec<maps::KnownFace> {
        maps::faces_known(&self.job)
    }
}
