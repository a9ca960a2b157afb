//! Of which staves a face could be glued up: of those of the plan, and of a few of one width, whose halves can answer
//! each other. A face that is not a panel has one shape.

use heartside_drawing::FaceOf;
use heartside_timber::choices::{Choices, PanelChoice, Stave, stave_named};
use heartside_timber::document::{Document, PartCopy};
use heartside_timber::job::{Job, Panel};
use heartside_timber::plan::Plan;
use heartside_timber::prepare::prepare_with;
use heartside_timber::words::capital;

use super::known::KnownFace;
use super::wanted::{Wanted, wanted};
use super::why_not::{MOST, why_not};
use crate::words::GONE;

/// So many numbers of staves are tried, from the fewest that boards give on.
const NUMBERS: u32 = 3;

/// Widths that differ by less, in millimetres, are one.
const SAME: f64 = 0.05;

/// A face made up in one way, and the job made for that.
pub(super) struct Shape {
    pub(super) job: Job,
    pub(super) wanted: Wanted,
    /// It is made up as in the job that was asked about.
    pub(super) is_here: bool,
}

/// The ways in which a face of a job can be looked for, what is likely to be chosen first; else why there is none.
pub(super) fn shapes(
    document: &Document,
    (job, known): (&Job, &[KnownFace]),
    here: Wanted,
) -> Result<Vec<Shape>, String> {
    let others = others(job, &here).into_iter();
    let mut shapes: Vec<Shape> = others
        .filter_map(|choices| made_for(document, &choices, &here))
        .filter(|shape| why_not(&shape.job, known, &shape.wanted).is_none())
        .collect();
    match why_not(job, known, &here) {
        Some(why) if shapes.is_empty() => return Err(why),
        Some(_) => {}
        None => {
            // Staves of one width can answer each other as they are.
            let place = if is_of_one_width(job, &here) { 0 } else { 1 };
            let here = Shape {
                job: job.clone(),
                wanted: here,
                is_here: true,
            };
            shapes.insert(place.min(shapes.len()), here);
        }
    }
    Ok(shapes)
}

/// Why better ones of a face cannot be looked for however it is made up; none where they can.
pub(crate) fn why_in_no_shape(
    document: &Document,
    (job, known): (&Job, &[KnownFace]),
    here: &Wanted,
) -> Option<String> {
    // Other jobs are made only where they are asked about.
    let why = why_not(job, known, here)?;
    shapes(document, (job, known), here.clone())
        .is_err()
        .then_some(why)
}

/// The one shape that a face has in a plan; else why it cannot be looked for.
pub(super) fn alike(
    document: &Document,
    known: &[KnownFace],
    here: &Wanted,
    plan: &Plan,
) -> Result<Vec<Shape>, String> {
    let shape = made_for(document, &Choices::of(plan), here).ok_or_else(|| capital(GONE))?;
    match why_not(&shape.job, known, &shape.wanted) {
        Some(why) => Err(why),
        None => Ok(vec![shape]),
    }
}

/// The face in a job made for other choices; none where those do not hold.
fn made_for(document: &Document, choices: &Choices, here: &Wanted) -> Option<Shape> {
    let job = prepare_with(document, choices).job;
    let holds = job.panel_choices() == choices.panels;
    let wanted = wanted(&job, &here.key).filter(|_| holds)?;
    Some(Shape {
        job,
        // What is chosen of other panels makes it no other face.
        is_here: wanted.seats == here.seats,
        wanted,
    })
}

/// Choices with other staves for a panel, of one width each: even numbers first, whose halves have a joint between.
fn others(job: &Job, here: &Wanted) -> Vec<Choices> {
    let FaceOf::Panel(of) = &here.of else {
        return Vec::new();
    };
    let is_it = |panel: &&Panel| panel.part.id == of.part;
    let Some(panel) = job.panels.iter().find(is_it) else {
        return Vec::new();
    };
    let own = panel.copies.iter().find(|c| c.panel == *of);
    let (Some(own), true) = (own, may_change(job, of)) else {
        return Vec::new();
    };
    let widest = job.boards.iter().filter(|b| b.is_usable());
    let widest = widest.fold(0.0, |most, b| b.outline.bounds().height().max(most));
    let numbers = (2..=MOST as u32).filter_map(|count| panel.of_one_width(count));
    let fits = |staves: &Vec<Stave>| staves[0].width + 2.0 * panel.part.allowances.edge <= widest;
    let numbers: Vec<Vec<Stave>> = numbers.filter(fits).take(NUMBERS as usize).collect();
    let (even, odd): (Vec<_>, Vec<_>) = numbers
        .into_iter()
        .filter(|staves| !is_same(&own.staves, staves))
        .partition(|staves| staves.len() % 2 == 0);
    let choices = |staves: Vec<Stave>| {
        let other = |choice: &PanelChoice| match choice.panel == *of {
            true => PanelChoice {
                staves: staves.clone(),
                ..choice.clone()
            },
            false => choice.clone(),
        };
        Choices {
            dimensions: job.dimensions.iter().map(|d| d.value.clone()).collect(),
            panels: job.panel_choices().iter().map(other).collect(),
        }
    };
    even.into_iter().chain(odd).map(choices).collect()
}

/// No stave of a panel is sawn already.
fn may_change(job: &Job, of: &PartCopy) -> bool {
    let mut own = job.parts.iter().filter(|part| is_stave_of(of, &part.id));
    own.all(|part| part.in_hand.is_empty())
}

fn is_of_one_width(job: &Job, wanted: &Wanted) -> bool {
    let seats = wanted.seats.iter();
    let parts = seats.filter_map(|seat| job.part(&seat.part.part));
    let widths: Vec<f64> = parts.map(|part| part.width()).collect();
    widths.iter().all(|width| (width - widths[0]).abs() < SAME)
}

fn is_same(some: &[Stave], others: &[Stave]) -> bool {
    let alike = |(a, b): (&Stave, &Stave)| a.pieces.is_empty() && (a.width - b.width).abs() < 0.05;
    some.len() == others.len() && some.iter().zip(others).all(alike)
}

/// Whether a part is a stave of a panel, or a piece of one, however many it has.
pub(crate) fn is_stave_of(of: &PartCopy, part: &str) -> bool {
    stave_named(part).is_some_and(|s| s.panel == of.part && s.copy == of.copy)
}
