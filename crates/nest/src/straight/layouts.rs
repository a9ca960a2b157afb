//! Boards cut up become layouts: copies dealt out in order, trees finished.

use heartside_timber::job::Job;
use heartside_timber::plan::{Layout, Placement, Way};

use super::deal::deal;
use super::stockroom::{Stockroom, board_copy};
use crate::cuts::cutting::Cutting;
use crate::cuts::offcut::is_offcut;

/// The layouts of the stockroom's boards, each with its ground's place and how it is cut; none for boards not used.
pub fn layouts_of(
    job: &Job,
    room: &Stockroom,
    wanted: &[Vec<u32>],
    boards: &[Option<(usize, &Cutting)>],
) -> Vec<Layout> {
    let cuttings: Vec<Option<&Cutting>> = boards.iter().map(|b| b.map(|(_, c)| c)).collect();
    let dealt = deal(job, wanted, &cuttings);
    let mut layouts = room.stuck.clone();
    for ((shelf, board), copies) in room.shelves.iter().zip(boards).zip(&dealt.copies) {
        let Some((ground, cutting)) = board else {
            continue;
        };
        let ground = &room.grounds[*ground];
        let placements = cutting
            .cutouts
            .iter()
            .zip(copies)
            .map(|(c, copy)| Placement {
                part: job.parts[c.part].id.clone(),
                // Copies count from 1: a blank that no copy may be is dropped just below.
                copy: copy.unwrap_or(0),
                at: c.placed,
                ..Placement::default()
            })
            .collect();
        let layout = Layout {
            board: board_copy(job, shelf.stock),
            way: Way::Straight,
            frame: ground.frame,
            placements,
            cuts: Some(cutting.finished_tree(|w| is_offcut(job, ground, w))),
        };
        layouts.push(layout.without(|copy| copy.copy == 0));
    }
    layouts
}
