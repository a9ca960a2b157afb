//! The wood pushed along under a part: the part stays where it is in its face, and its blank moves on the board.

use heartside_geometry::{Pose, Vector};

use super::held::Hand;
use super::poses::finite;
use crate::protocol::Held;
use crate::session::Session;
use crate::snapping::on_grid;

/// Why the wood under a part cannot be pushed.
const NO_WOOD: &str = "it lies on no board yet: lay it on one first";

impl Session {
    /// Moves the wood that is seen in the part in the hand by so much of the face, in all: `right` along its grain, `up`
    /// across it. Its blank moves the other way on its board, no further than it is told; nothing snaps.
    pub fn slide_held(&mut self, face: &str, right: f64, up: f64) -> Held {
        let Some(mut hand) = self.hand.take() else {
            return Held::default();
        };
        let held = self.slid(&mut hand, face, Vector::new(finite(right), finite(up)));
        self.hand = Some(hand);
        held.unwrap_or_else(|| Held {
            problem: Some(NO_WOOD.to_owned()),
            ..Held::default()
        })
    }

    fn slid(&self, hand: &mut Hand, face: &str, by: Vector) -> Option<Held> {
        let part = self.job.part(&hand.part.part)?;
        let (board, from) = hand.from.clone()?;
        let place = hand.boards.iter().find(|b| b.board == board)?.clone();
        let shown = hand.faces.iter().find(|s| s.face.key == face)?;
        let tile = shown.face.tiles.iter().find(|t| t.part == hand.part)?;
        let mut by = tile.to_part.apply_vector(by);
        if shown.face.is_back {
            by = Vector::new(by.x, -by.y);
        }
        let pose: Pose = on_grid(&self.job, from.moved(-from.apply_vector(by)));
        Some(self.held_at(hand, part, &place, pose))
    }
}
