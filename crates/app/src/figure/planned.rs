//! A proposal made into a plan of the whole job, in which the checker finds nothing wrong.

use heartside_check::check;
use heartside_geometry::{Arrange, Pose, math};
use heartside_nest::{Search, Settings, TreeResult, tree_crosscut_first};
use heartside_timber::blank::Blank;
use heartside_timber::document::{BoardCopy, Cuts, PartCopy};
use heartside_timber::finding::is_sound;
use heartside_timber::job::{Job, Pin};
use heartside_timber::plan::{Layout, Placement, Plan, Way};

use super::wood::Lies;
use crate::snapping::on_grid;

/// Cuts looked at for the order of cuts of one board.
const TREE_STEPS: u64 = 4_000;
/// Steps of the search that plans the rest, for each piece and beside them: the first plan comes within some
/// hundred, and a maker waits for it.
const REST_STEPS: (u64, u64) = (10, 200);

/// A plan of the whole job in which a face is put together as proposed.
#[derive(Debug, Clone)]
pub(super) struct Planned {
    pub(super) plan: Plan,
    /// The job with its parts pinned, that the plan was made for.
    pub(super) job: Job,
    /// They lie square to the board although they were to lie askew.
    pub(super) is_straightened: bool,
}

/// A plan with some parts where they are proposed to lie and the rest round them, begun from layouts that hold.
///
/// None where no order of cuts frees the parts, also after they were laid square to the board, or where the
/// checker finds a rule broken.
pub(super) fn planned(
    job: &Job,
    holds: &[Layout],
    lies: &[Lies],
    may_lie: impl Fn(usize, &BoardCopy, Pose) -> bool,
) -> Option<Planned> {
    let lies: Vec<Lies> = lies
        .iter()
        .map(|(part, board, pose)| (part.clone(), board.clone(), on_grid(job, *pose)))
        .collect();
    let askew = with_order(job, &lies).map(|layouts| (lies.clone(), layouts, false));
    let (lies, layouts, is_straightened) = askew.or_else(|| {
        let straight = straightened(job, &lies);
        if straight == lies {
            return None;
        }
        let mut places = straight.iter().enumerate();
        if !places.all(|(tile, (_, board, pose))| may_lie(tile, board, *pose)) {
            return None;
        }
        let layouts = with_order(job, &straight)?;
        Some((straight, layouts, true))
    })?;
    let mut job = job.clone();
    let is_here = |copy: &PartCopy| lies.iter().any(|(part, ..)| part == copy);
    job.pins.retain(|pin| !is_here(&pin.part));
    job.pins.extend(lies.iter().map(|(part, board, pose)| Pin {
        part: part.clone(),
        board: board.clone(),
        at: (*pose).into(),
    }));
    let beside = |l: &&Layout| layouts.iter().all(|own| own.board != l.board);
    let beside = holds.iter().filter(beside).cloned();
    let mut begun: Vec<Layout> = beside.map(|l| l.without(is_here)).collect();
    begun.extend(layouts);
    let mut search = Search::new(&job, Settings::default()).ok()?;
    search.go_on_from(begun);
    search.step(REST_STEPS.0 * job.piece_count() + REST_STEPS.1);
    let mut plan = search.best().clone();
    // What is shown was not found from nothing: no numbers repeat it.
    (plan.made, plan.bound) = Default::default();
    is_sound(&check(&job, &plan)).then_some(Planned {
        plan,
        job,
        is_straightened,
    })
}

/// The boards on which parts of a face lie, each with an order of cuts that frees them and what is pinned beside.
fn with_order(job: &Job, lies: &[Lies]) -> Option<Vec<Layout>> {
    let mut boards: Vec<&BoardCopy> = lies.iter().map(|(_, board, _)| board).collect();
    boards.arrange();
    boards.dedup();
    let layout = |board: &BoardCopy| {
        let place = job.board_index(&board.board)?;
        let own = lies.iter().filter(|(_, on, _)| on == board);
        let mut placements: Vec<Placement> = own.map(placement).collect();
        let is_own = |copy: &PartCopy| lies.iter().any(|(part, ..)| part == copy);
        let others = job
            .pins
            .iter()
            .filter(|p| p.board == *board && !is_own(&p.part));
        placements.extend(
            others.map(|pin| placement(&(pin.part.clone(), pin.board.clone(), pin.at.into()))),
        );
        let (way, frame, cuts) = if job.boards[place].cuts == Cuts::Sawn {
            (Way::Sawn, Default::default(), None)
        } else {
            match tree_crosscut_first(job, place, &placements, TREE_STEPS) {
                TreeResult::Tree(tree, frame) => (Way::Straight, frame, Some(tree)),
                TreeResult::Inseparable(_) | TreeResult::GaveUp => return None,
            }
        };
        Some(Layout {
            board: board.clone(),
            way,
            frame,
            placements,
            cuts,
        })
    };
    boards.into_iter().map(layout).collect()
}

fn placement((part, _, pose): &Lies) -> Placement {
    Placement {
        part: part.part.clone(),
        copy: part.copy,
        at: (*pose).into(),
        ..Placement::default()
    }
}

/// The same, each part turned square to its board about the middle of its blank.
fn straightened(job: &Job, lies: &[Lies]) -> Vec<Lies> {
    let straight = lies.iter().map(|(part, board, pose)| {
        let turn = 90.0 * (pose.turn / 90.0).round();
        let square = Pose {
            turn: math::normalise_deg(turn),
            ..*pose
        };
        let middle = job.part(&part.part).map(|p| Blank::of(p).bounds().centre());
        let moved = middle.map_or(square, |m| square.moved(pose.apply(m) - square.apply(m)));
        (part.clone(), board.clone(), on_grid(job, moved))
    });
    straight.collect()
}
