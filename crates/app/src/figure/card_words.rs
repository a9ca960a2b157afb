//! A face that was found in words: where its parts come from, and what is cut away for it.

use heartside_cutting::board_label;
use heartside_geometry::{Arrange, math};
use heartside_timber::document::BoardCopy;
use heartside_timber::job::Job;
use heartside_timber::length::{write_decimal, write_length, write_percent};
use heartside_timber::plan::Plan;
use heartside_timber::score::wood_in_parts;
use heartside_timber::words::{capital, listed};

use super::planned::Planned;
use super::wanted::Wanted;
use super::wood::Lies;

/// Less than this, in degrees, is square to the board.
const SQUARE: f64 = 0.02;

/// "Other staves than now: 2 of 215 mm".
pub(super) fn made_of(job: &Job, wanted: &Wanted) -> Option<String> {
    let first = wanted.seats.first()?;
    let part = job.part(&first.part.part)?;
    Some(format!(
        "Other staves than now: {} of {}",
        wanted.seats.len(),
        write_length(part.width(), &job.units)
    ))
}

/// Where the parts of a face lie in a plan.
pub(super) fn lies(plan: &Plan, wanted: &Wanted) -> Vec<Lies> {
    let lies = wanted.seats.iter().filter_map(|seat| {
        let (layout, place) = plan.find(&seat.part.part, seat.part.copy)?;
        let layout = &plan.layouts[layout];
        let pose = layout.placements[place].pose();
        Some((seat.part.clone(), layout.board.clone(), pose))
    });
    lies.collect()
}

/// "Stave 1 from A, stave 2 from C, turned over".
pub(super) fn lies_words(job: &Job, wanted: &Wanted, lies: &[Lies]) -> String {
    let said = wanted
        .seats
        .iter()
        .zip(lies)
        .map(|(seat, (_, board, pose))| {
            let turn = math::normalise_deg(pose.turn);
            let mut said = format!("{} from {}", seat.name, board_label(job, board));
            if (135.0..225.0).contains(&turn) {
                said.push_str(", end for end");
            }
            if pose.turned_over {
                said.push_str(", turned over");
            }
            said
        });
    capital(&said.collect::<Vec<_>>().join("; "))
}

/// What falls away because parts lie askew, and what of the boards becomes parts.
pub(super) fn cut_away(made: &Planned, wanted: &Wanted, lies: &[Lies]) -> Vec<String> {
    let job = &made.job;
    let mut said: Vec<String> = wanted
        .seats
        .iter()
        .zip(lies)
        .filter_map(|(seat, (_, board, pose))| {
            let part = job.part(&seat.part.part)?;
            let askew = pose.turn - 90.0 * (pose.turn / 90.0).round();
            if askew.abs() < SQUARE {
                return None;
            }
            let (sin, cos) = math::sin_cos_deg(askew.abs());
            Some(format!(
                "{} lies {}° askew: beside it a wedge of up to {} falls away from {}",
                capital(&seat.name),
                write_decimal(askew.abs(), 1),
                write_length((part.length() * sin / cos).round(), &job.units),
                board_label(job, board)
            ))
        })
        .collect();
    if made.is_straightened {
        said.push(
            "Its parts were to lie askew, which could not be cut: they lie square to the boards"
                .to_owned(),
        );
    }
    let mut boards: Vec<&BoardCopy> = lies.iter().map(|(_, board, _)| board).collect();
    boards.arrange();
    boards.dedup();
    let own = Plan {
        layouts: made
            .plan
            .layouts
            .iter()
            .filter(|l| boards.contains(&&l.board))
            .cloned()
            .collect(),
        ..made.plan.clone()
    };
    let names: Vec<String> = boards.iter().map(|board| board_label(job, board)).collect();
    said.push(format!(
        "{} of {} becomes parts, the rest is offcuts and waste",
        write_percent(wood_in_parts(job, &own)),
        listed(&names)
    ));
    said
}
