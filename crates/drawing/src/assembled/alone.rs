//! The picture of a panel beside the floor, and the drawing of one that stands alone.

use heartside_geometry::{Bounds, Point};
use heartside_timber::document::PartCopy;
use heartside_timber::job::Job;
use heartside_timber::plan::Plan;

use super::facts::head;
use super::{FaceShown, Glued};
use crate::document::{Drawing, Options, document, joined};
use crate::measures::scale_bar;
use crate::pen::{Pen, Words};
use crate::svg::{Ids, number, safe_file_name};
use crate::text::wrap;
use crate::title::{Title, title};

/// The width on paper that the drawing in a file is made to be read at, in millimetres.
const READ_AT: f64 = 170.0;

/// A panel as it is glued up, to be shown beside the floor: an `svg` element in millimetres of wood.
/// None where the job has no such panel.
pub fn assembled(job: &Job, plan: &Plan, copy: &PartCopy, shown: FaceShown) -> Option<String> {
    let glued = Glued::of(job, plan, copy, shown.is_back)?;
    let mut pen = Pen::new(glued.unit(shown.read_at()));
    let (extent, _) = glued.draw(&mut pen, &mut Ids::default(), shown.is_bare);
    Some(format!(
        "<svg viewBox=\"{} {} {} {}\" role=\"img\"><title>{}</title><g class=\"hs\">{}</g></svg>",
        number(extent.min.x),
        number(extent.min.y),
        number(extent.width()),
        number(extent.height()),
        crate::svg::escape(&format!("{}, glued up", glued.name())),
        pen.out
    ))
}

/// The drawing of a panel that stands alone, one unit a millimetre of wood. None where the job has
/// no such panel.
pub fn assembled_svg(
    job: &Job,
    plan: &Plan,
    copy: &PartCopy,
    is_back: bool,
    options: &Options,
) -> Option<Drawing> {
    let glued = Glued::of(job, plan, copy, is_back)?;
    let mut pen = Pen::new(glued.unit(READ_AT));
    let (extent, labels) = glued.draw(&mut pen, &mut Ids::default(), false);
    let head = head(&glued, small(options), options);
    let name = format!("panel-{}", safe_file_name(&glued.name()));
    let drawn = Drawn {
        pen,
        extent,
        labels,
    };
    Some(drawn.alone(job, &name, &head, &glued.told_below(), options))
}

/// What stands in a title beside the size of the drawing.
pub(super) fn small(options: &Options) -> String {
    joined(&["true size, scale 1:1", options.date])
}

/// A face that is drawn, without its title.
pub(super) struct Drawn {
    pub(super) pen: Pen,
    pub(super) extent: Bounds,
    pub(super) labels: Vec<Bounds>,
}

impl Drawn {
    /// The drawing that stands alone: its title above, a scale and what is told of it below.
    pub(super) fn alone(
        self,
        job: &Job,
        name: &str,
        head: &Title,
        told: &str,
        options: &Options,
    ) -> Drawing {
        let Drawn {
            mut pen,
            mut extent,
            labels,
        } = self;
        let unit = pen.unit;
        let width = extent.width().max(150.0 * unit);
        let left = extent.min.x;
        let height = title(&mut Pen::new(unit), head, Point { x: 0.0, y: 0.0 }, width);
        let top = extent.min.y - height - 4.0 * unit;
        title(&mut pen, head, Point { x: left, y: top }, width);
        extent.min.y = top;
        extent.max.x = extent.max.x.max(left + width);
        let mut y = extent.max.y + 4.0 * unit;
        scale_bar(&mut pen, job, Point { x: 0.0, y }, 1.0, 45.0 * unit);
        y += 3.5 * unit;
        for line in wrap(told, 2.3 * unit, width) {
            let at = Point { x: left, y };
            pen.words(&Words::starting(line, "hs-quiet", at, 2.3 * unit));
            y += 3.2 * unit;
        }
        extent.max.y = y;
        let described = format!("{}. {}.", head.heading, head.facts.join(". "));
        let page = extent.grown(5.0 * unit);
        document(
            name,
            &head.heading,
            &described,
            page,
            options.theme,
            &pen.out,
            labels,
        )
    }
}
