//! What is known of a face that is put together, and what is not.

use heartside_cutting::board_label;
use heartside_drawing::FaceSeen;
use heartside_timber::job::Job;
use heartside_timber::words::{counted, listed};

use super::doubts::{doubts, is_photographed};
use super::known::{KnownFace, place_of};

/// What a maker should know of what is measured, in sentences without their full stops.
pub(crate) fn notes(job: &Job, known: &[KnownFace], seen: &FaceSeen) -> Vec<String> {
    let waiting = seen
        .tiles
        .iter()
        .filter(|tile| tile.board.is_none())
        .count();
    if waiting == seen.tiles.len() {
        return vec!["None of it has its place yet: set out, or look for a better face".to_owned()];
    }
    let mut said = Vec::new();
    if waiting > 0 {
        let parts = counted(waiting, "part", "parts");
        said.push(format!(
            "{parts} of it without a place: nothing is said of what is not there"
        ));
    }
    let (mut unseen, mut blank): (Vec<String>, Vec<String>) = Default::default();
    for tile in &seen.tiles {
        let Some(board) = &tile.board else { continue };
        if place_of(known, &tile.root, tile.is_down).is_none() {
            let face = if tile.is_down { "down" } else { "up" };
            let name = format!("the {face} face of {}", board_label(job, board));
            let list = match is_photographed(job, &tile.root, tile.is_down) {
                true => &mut blank,
                false => &mut unseen,
            };
            if !list.contains(&name) {
                list.push(name);
            }
        }
    }
    if !unseen.is_empty() {
        said.push(format!(
            "Nothing is known of {}: photograph it to see it here",
            listed(&unseen)
        ));
    }
    if !blank.is_empty() {
        said.push(format!(
            "The photo of {} tells nothing of its figure, too coarse or not of the board: take it in again from nearer",
            listed(&blank)
        ));
    }
    said.extend(doubts(job, known, |board| {
        seen.tiles.iter().any(|tile| tile.root == board)
    }));
    said
}
