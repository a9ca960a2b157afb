//! A part in hand was spoiled: it is wanted again, and its wood is a piece.

use heartside_cutting::spoiled;
use heartside_timber::document::PartCopy;

use crate::protocol::Outcome;
use crate::session::Session;

impl Session {
    /// A copy in hand was spoiled.
    pub fn spoil(&mut self, part: &str, copy: u32) -> Outcome {
        self.put_down();
        self.end_set_out();
        let of = PartCopy {
            part: part.to_owned(),
            copy,
        };
        let edit = match spoiled(&self.document, &of) {
            Ok(edit) => edit,
            Err(refused) => return Outcome::refused(refused.to_string()),
        };
        let name = self.copy_words(&of);
        let piece = self.document.boards.iter().find(|b| {
            let mut held = b.holds.iter().chain(&b.leaves);
            held.any(|held| held.part_copy() == of)
        });
        let piece = piece.map(|b| b.id.clone()).unwrap_or_default();
        let before = self.standing();
        match self.do_at_bench(edit, false, |_, _, _| format!("{name} spoiled")) {
            Ok(_) => {
                self.changed_from = Some(before);
                let name = self.copy_words(&of);
                self.said_after_change(&format!(
                    "{name} is wanted again, and waits. Its wood is piece {piece}, left alone until you say under Timber that it may be used"
                ))
            }
            Err(why) => Outcome::refused(why),
        }
    }
}
