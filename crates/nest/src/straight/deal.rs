//! Which copy of a part each blank is.
//!
//! Blanks of one part are alike, so copies are dealt out last. Copies that must lie on
//! one board are dealt to the board that can hold most of them; what then is left over
//! stays unplaced, and counts as such while plans are compared.

use heartside_timber::job::{Job, MatchKind};

use crate::cuts::cutting::Cutting;

/// The copy of each blank, board by board; none for a blank that no copy may be.
#[derive(Debug, Clone, Default)]
pub(crate) struct Dealt {
    /// For each board, for each of its cutouts.
    pub(crate) copies: Vec<Vec<Option<u32>>>,
    /// Blanks left without a copy, for each part.
    pub(crate) undealt: Vec<u32>,
}

/// True where the job asks for parts on one board, so that dealing matters to the score.
pub(crate) fn matters(job: &Job) -> bool {
    job.matches.iter().any(|m| m.kind == MatchKind::SameBoard)
}

/// Deals the wanted copies of every part out to the blanks of the boards.
///
/// O(matches x boards x blanks).
pub(crate) fn deal(job: &Job, wanted: &[Vec<u32>], boards: &[Option<&Cutting>]) -> Dealt {
    let cutouts = |board: usize| boards[board].map_or(&[][..], |c| &c.cutouts);
    let mut copies: Vec<Vec<Option<u32>>> = (0..boards.len())
        .map(|b| cutouts(b).iter().map(|c| c.copy).collect())
        .collect();
    let mut left: Vec<Vec<u32>> = wanted.to_vec();
    for group in job
        .matches
        .iter()
        .filter(|m| m.kind == MatchKind::SameBoard)
    {
        let members: Vec<(usize, u32)> = group
            .parts
            .iter()
            .filter_map(|c| Some((job.part_index(&c.part)?, c.copy)))
            .collect();
        let holds = |board: usize, copies: &[Vec<Option<u32>>]| -> usize {
            let mut free: Vec<usize> = Vec::new();
            members
                .iter()
                .filter(|(part, copy)| {
                    let list = cutouts(board);
                    let pinned = list
                        .iter()
                        .any(|c| c.part == *part && c.copy == Some(*copy));
                    let place = (0..list.len()).find(|k| {
                        list[*k].part == *part && copies[board][*k].is_none() && !free.contains(k)
                    });
                    if let (false, Some(k)) = (pinned, place) {
                        free.push(k);
                    }
                    pinned || place.is_some()
                })
                .count()
        };
        let is_pinned_at = |board: usize| {
            members.iter().any(|(p, c)| {
                cutouts(board)
                    .iter()
                    .any(|k| k.part == *p && k.copy == Some(*c))
            })
        };
        let rank = |b: usize, copies: &[Vec<Option<u32>>]| (is_pinned_at(b), holds(b, copies));
        let home = (0..boards.len()).max_by_key(|b| (rank(*b, &copies), std::cmp::Reverse(*b)));
        for (part, copy) in &members {
            let Some(place) = left[*part].iter().position(|c| c == copy) else {
                continue;
            };
            // Dealt at home or to nobody.
            left[*part].remove(place);
            if let Some(home) = home {
                let free = (0..copies[home].len())
                    .find(|k| cutouts(home)[*k].part == *part && copies[home][*k].is_none());
                if let Some(k) = free {
                    copies[home][k] = Some(*copy);
                }
            }
        }
    }
    let mut next = vec![0usize; left.len()];
    let mut undealt = vec![0u32; left.len()];
    for (board, list) in copies.iter_mut().enumerate() {
        for (k, copy) in list.iter_mut().enumerate().filter(|(_, c)| c.is_none()) {
            let part = cutouts(board)[k].part;
            *copy = left[part].get(next[part]).copied();
            next[part] += 1;
            undealt[part] += u32::from(copy.is_none());
        }
    }
    Dealt { copies, undealt }
}
