//! Parts off their boards: blanks that wait on the trestle, and a part in the hand.

use heartside_geometry::{Point, Pose, Region, SortedSet};
use heartside_timber::blank::Blank;
use heartside_timber::document::PartCopy;
use heartside_timber::job::{Job, Part};
use heartside_timber::length::write_dimension;
use heartside_timber::plan::{Placed, Placement, Plan};

use crate::laid::Laid;
use crate::on_floor::unit_of;
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
    /// "770 × 66 × 36": the blank's length, width and the thickness it must at least come from.
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
    waiting(job, plan)
        .into_iter()
        .flat_map(|(part, copies)| {
            let id = &job.parts[part].id;
            copies.into_iter().map(move |copy| PartCopy {
                part: id.clone(),
                copy,
            })
        })
        .take(most)
        .filter_map(|copy| trestle_blank(job, &copy, pixels_per_mm))
        .collect()
}

/// The copies that a plan does not place: places of parts in the job, each with its copies, none empty.
pub fn waiting(job: &Job, plan: Option<&Plan>) -> Vec<(usize, Vec<u32>)> {
    let placed: SortedSet<(&str, u32)> = SortedSet::from_iter(
        plan.iter()
            .flat_map(|p| &p.layouts)
            .flat_map(|l| &l.placements)
            .map(|p| (p.part.as_str(), p.copy)),
    );
    let mut waiting = Vec::new();
    for (index, part) in job.parts.iter().enumerate() {
        let mut copies: Vec<u32> = part.wanted().collect();
        copies.retain(|copy| !placed.contains(&(part.id.as_str(), *copy)));
        if !copies.is_empty() {
            waiting.push((index, copies));
        }
    }
    waiting
}

/// One blank as it waits on the trestle.
pub fn trestle_blank(job: &Job, copy: &PartCopy, pixels_per_mm: f64) -> Option<TrestleBlank> {
    let part = job.part(&copy.part)?;
    let bounds = Blank::of(part).bounds();
    let at = Placed {
        x: -bounds.min.x,
        y: -bounds.min.y,
        ..Placed::default()
    };
    let svg = lying(job, copy, at, pixels_per_mm, "trestle")?;
    Some(TrestleBlank {
        name: part.copy_name(copy.copy),
        part: copy.clone(),
        blank: blank_words(job, part),
        svg,
        width: bounds.width(),
        height: bounds.height(),
    })
}

/// "770 × 66 × 36": the blank's length, width and the part's finished thickness.
pub fn blank_words(job: &Job, part: &Part) -> String {
    let bounds = Blank::of(part).bounds();
    let show = |mm: f64| write_dimension(mm, &job.units);
    format!(
        "{} × {} × {}",
        show(bounds.width()),
        show(bounds.height()),
        show(part.thickness + 2.0 * part.allowances.planing)
    )
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
    let origin = Origin::at(0.0, 0.0);
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
