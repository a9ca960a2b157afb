//! Parts off their boards: blanks that wait on the trestle, and a part in the hand.

use heartside_geometry::{Point, Pose, Region};
use heartside_timber::blank::Blank;
use heartside_timber::document::PartCopy;
use heartside_timber::job::Job;
use heartside_timber::length::write_dimension;
use heartside_timber::plan::{Placed, Placement, Plan};

use crate::floor::unit_of;
use crate::laid::Laid;
use crate::pen::{Pen, Words};
use crate::room::{Room, Taken};
use crate::svg::{Origin, number};
use crate::{blanks, inscription};

/// A blank that waits on the trestle.
#[derive(Debug, Clone, PartialEq)]
pub struct TrestleBlank {
    /// Which.
    pub part: PartCopy,
    /// "Leg 2".
    pub name: String,
    /// "770 × 66 × 36": the blank's length, width and the part's finished thickness.
    pub blank: String,
    /// A `g` element whose lower left corner lies at (0, 0), in millimetres, y down.
    pub svg: String,
    /// Its extent along.
    pub width: f64,
    /// Its extent across.
    pub height: f64,
}

/// The blanks of all copies that a plan does not place, in the job's order, at most `most` of them.
pub fn trestle(
    job: &Job,
    plan: Option<&Plan>,
    pixels_per_mm: f64,
    most: usize,
) -> Vec<TrestleBlank> {
    let waiting = job
        .parts
        .iter()
        .flat_map(|p| {
            (1..=p.count).map(move |copy| PartCopy {
                part: p.id.clone(),
                copy,
            })
        })
        .filter(|c| plan.is_none_or(|p| p.find(&c.part, c.copy).is_none()));
    waiting
        .take(most)
        .filter_map(|copy| {
            let part = job.part(&copy.part)?;
            let bounds = Blank::of(part).bounds();
            let at = Placed {
                x: -bounds.min.x,
                y: -bounds.min.y,
                ..Placed::default()
            };
            let svg = lying(job, &copy, at, pixels_per_mm, "trestle")?;
            let show = |mm: f64| write_dimension(mm, &job.units);
            let blank = format!(
                "{} × {} × {}",
                show(bounds.width()),
                show(bounds.height()),
                show(part.thickness)
            );
            Some(TrestleBlank {
                name: part.copy_name(copy.copy),
                part: copy,
                blank,
                svg,
                width: bounds.width(),
                height: bounds.height(),
            })
        })
        .collect()
}

/// A part in the hand: a `g` element with the middle of its blank at (0, 0), turned as it lies. It is drawn once and then moved by a transform.
pub fn held_part(
    job: &Job,
    part: &PartCopy,
    turn: f64,
    turned_over: bool,
    pixels_per_mm: f64,
) -> Option<String> {
    let middle = Blank::of(job.part(&part.part)?).bounds().centre();
    let off = Pose {
        x: 0.0,
        y: 0.0,
        turn,
        turned_over,
    }
    .apply(middle);
    lying(
        job,
        part,
        Placed {
            x: -off.x,
            y: -off.y,
            turn,
            turned_over,
        },
        pixels_per_mm,
        "held",
    )
}

fn lying(job: &Job, copy: &PartCopy, at: Placed, pixels_per_mm: f64, word: &str) -> Option<String> {
    let unit = unit_of(pixels_per_mm);
    let laid = Laid::of(
        job,
        &Placement {
            part: copy.part.clone(),
            copy: copy.copy,
            at,
            ..Placement::default()
        },
        false,
    )?;
    let mut room = Room::default();
    let origin = Origin { x: 0.0, y: 0.0 };
    let inscription = inscription::inscribe(&laid, job, None, true, origin, &mut room, unit);
    let mut pen = Pen::new(unit);
    let id = format!(
        "{word}-{}-{}",
        crate::svg::safe_file_name(&copy.part),
        copy.copy
    );
    pen.open(&id, "hs hs-part", &laid.title(), "");
    blanks::draw(
        &mut pen,
        &laid,
        &inscription,
        origin,
        false,
        false,
        &mut |_| {},
    );
    if inscription.label.is_empty() && word == "trestle" {
        let top = laid.body().bounds();
        let words = Words::starting(
            laid.name.clone(),
            "hs-name",
            Point {
                x: top.min.x,
                y: -top.max.y - 2.0 * unit,
            },
            2.6 * unit,
        );
        room.take(Taken::Label, words.bounds());
        pen.words(&words);
    }
    pen.close();
    Some(pen.out)
}

/// The SVG transform that puts a held part's middle at a place of the floor.
pub fn held_transform(middle: Point) -> String {
    format!("translate({} {})", number(middle.x), number(middle.y))
}

/// The outline of a blank (rounded where it is sawn) in the part's own frame, for templates.
pub fn blank_outline(job: &Job, part: &str) -> Option<Vec<Region>> {
    let blank = Blank::of(job.part(part)?);
    Some(heartside_geometry::offset(&blank.core, blank.radius, 0.05))
}
