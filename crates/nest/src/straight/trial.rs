//! Whether an empty board takes a part, and if not, what is in the way.

use heartside_timber::job::{Cuts, Job};
use heartside_timber::plan::UnplacedReason;

use super::cutting::{Cutout, Cutting, First};
use super::frames::frame_angles;
use super::ground::{Class, Ground};
use super::position::{Edge, find_spot, has_clear_room};
use super::saw::Saws;
use crate::fit;

/// Frames tried for the answer.
const MOST_FRAMES: usize = 2;

/// The best that any of these boards, empty, has to say to a part: [`UnplacedReason::NoRoom`] where one takes it.
pub(crate) fn best_answer(job: &Job, part: usize, boards: &[usize]) -> UnplacedReason {
    let saws = Saws::of(job);
    let mut best = UnplacedReason::Length;
    for board in boards {
        for angle in frame_angles(job, *board).into_iter().take(MOST_FRAMES) {
            let answer = answer(job, &saws, part, *board, angle);
            if answer == UnplacedReason::NoRoom {
                return answer;
            }
            if nearness(answer) > nearness(best) {
                best = answer;
            }
        }
    }
    best
}

/// How near to a place a reason is.
fn nearness(reason: UnplacedReason) -> u8 {
    match reason {
        UnplacedReason::Length => 1,
        UnplacedReason::Width => 2,
        UnplacedReason::Zones => 3,
        UnplacedReason::Tools => 4,
        UnplacedReason::NoRoom => 5,
        _ => 0,
    }
}

fn answer(job: &Job, saws: &Saws, part: usize, board: usize, angle: f64) -> UnplacedReason {
    let ground = one_part_ground(job, board, angle, part);
    let mut best = UnplacedReason::Length;
    for fit in &ground.fits[part] {
        let answer = if fit.width > ground.usable.width() + ground.bite {
            UnplacedReason::Length
        } else if fit.height > ground.usable.height() + ground.bite {
            UnplacedReason::Width
        } else {
            let whole = Cutting::whole(&ground);
            let Some(work) = whole.works[0] else { continue };
            match find_spot(job, &ground, saws, &work, fit, Edge::Low) {
                // Straight cuts do not matter there.
                Some(_) if job.boards[board].cuts == Cuts::Sawn => UnplacedReason::NoRoom,
                Some(spot) => {
                    let cutout = Cutout {
                        part,
                        copy: None,
                        placed: spot.placed,
                        rect: spot.rect,
                    };
                    let freed = [First::Rips, First::Crosscuts]
                        .into_iter()
                        .any(|first| whole.clone().free((job, &ground, saws), 0, cutout, first));
                    if freed {
                        UnplacedReason::NoRoom
                    } else {
                        UnplacedReason::Tools
                    }
                }
                None => {
                    // Without the zones, is the outline itself wide enough somewhere?
                    let mut bare = ground.clone();
                    let outside = bare.outside_count();
                    bare.classes[fit.class] = Class {
                        blank: (0..outside).collect(),
                        ..Class::default()
                    };
                    if has_clear_room(&ground, &work, fit) {
                        UnplacedReason::Tools
                    } else if has_clear_room(&bare, &work, fit)
                        && ground.classes[fit.class] != bare.classes[fit.class]
                    {
                        UnplacedReason::Zones
                    } else {
                        UnplacedReason::Width
                    }
                }
            }
        };
        if nearness(answer) > nearness(best) {
            best = answer;
        }
    }
    best
}

/// The ground with the ways of one part only, for speed.
fn one_part_ground(job: &Job, board: usize, angle: f64, part: usize) -> Ground {
    let ground = Ground::for_parts(job, board, angle, &|p| p == part);
    debug_assert!(fit::is_usable(&job.boards[board]));
    ground
}
