//! A thick blank at the saw that parts it into leaves, seen from its end: it stands on its edge, its up face
//! along the high fence.

use heartside_cutting::Step;
use heartside_geometry::{Bounds, Point};
use heartside_timber::blank::Blank;
use heartside_timber::composite::resawn_extents;
use heartside_timber::job::Job;

use crate::one_step::{AtMachine, MEASURE, NAME};
use crate::pen::{Pen, Words};
use crate::text::LINE;

/// How high and how wide the end is shown at most, in millimetres of paper.
const MOST: (f64, f64) = (42.0, 32.0);

/// The end of the blank that a step resaws; none where the job does not know it.
pub(crate) fn at_resaw(job: &Job, step: &Step) -> Option<AtMachine> {
    let setting = step.setting.as_ref()?;
    let thick = job.board(&step.board.board)?.thickness;
    let first = step.yields.first()?.becomes.blank_of()?;
    let (length, width) = resawn_extents(&Blank::of(job.part(&first.part)?).bounds());
    let kerf = job.workshop.resaw_kerf_for(length, width);
    let u = (width / MOST.0).max(thick / MOST.1);
    let mut pen = Pen::new(u);
    pen.open("", "hs hs-at-machine", &step.title, "");
    // y down; the fence is at the right, where x is the thickness.
    let slice = |from: f64, to: f64| {
        Bounds::new(Point::new(thick - to, 0.0), Point::new(thick - from, width))
    };
    let end = slice(0.0, thick);
    pen.rect("hs-wood", end, 0.0, 0.0);
    let mut extent = end;
    let count = step.yields.len();
    let mut at = 0.0;
    for (place, leaf) in step.yields.iter().enumerate() {
        let own = slice(at, at + setting.distance);
        pen.rect("hs-blank", own, 0.0, 0.26);
        at += setting.distance;
        if place + 1 < count {
            let cut = slice(at, at + kerf);
            pen.rect("hs-kerf", cut, 0.0, 0.0);
            let x = cut.centre().x;
            pen.line(
                "hs-chosen-cut",
                Point::new(x, 0.0),
                Point::new(x, width),
                0.8,
            );
            at += kerf;
        }
        let y = width * (place as f64 + 0.5) / count as f64;
        let size = (NAME * u).min(width / count as f64 / LINE);
        let words = Words::ending(leaf.name.clone(), "hs-name", Point::new(-5.0 * u, y), size);
        extent = extent.union(words.bounds());
        let middle = Point::new(own.centre().x, y);
        pen.line("hs-ink", Point::new(-4.0 * u, y), middle, 0.3);
        pen.circle("hs-dot", middle, 0.7 * u, 0.0);
        pen.words(&words);
    }
    pen.rect("hs-edge", end, 0.0, 0.5);
    // The table, and the fence that the up face runs along.
    let (left, right) = (-4.0 * u, thick + 9.0 * u);
    pen.line(
        "hs-ink",
        Point::new(left, width),
        Point::new(right, width),
        0.6,
    );
    let thin = if setting.by_fence { 2.2 } else { 0.9 };
    let gap = if setting.by_fence { 0.4 * u } else { 0.0 };
    let bar = Bounds::new(
        Point::new(thick + gap, 0.0),
        Point::new(thick + gap + thin * u, width),
    );
    pen.rect("hs-dot", bar, 0.0, 0.0);
    let word = if setting.by_fence {
        "high fence"
    } else {
        "up face"
    };
    let beside = bar.max.x + 1.2 * u + LINE * NAME * u / 2.0;
    let fence = Words::new(word, "hs-name", Point::new(beside, width / 2.0), NAME * u).turned();
    pen.words(&fence);
    extent = extent.union(bar).union(fence.bounds());
    // The measure, above.
    let y = -2.5 * u;
    let (a, b) = (
        Point::new(thick - setting.distance, y),
        Point::new(thick, y),
    );
    pen.line("hs-ink", a, b, 0.4);
    for p in [a, b] {
        let tick = |out: f64| Point::new(p.x, p.y + out * 1.6 * u);
        pen.line("hs-ink", tick(-1.0), tick(1.0), 0.4);
    }
    let above = Point::new((a.x + b.x) / 2.0, y - 1.2 * u - LINE * MEASURE * u / 2.0);
    let measure = Words::new(setting.shown.clone(), "hs-number", above, MEASURE * u);
    pen.words(&measure);
    extent = extent.union(measure.bounds());
    pen.close();
    let names: Vec<&str> = step.yields.iter().map(|y| y.name.as_str()).collect();
    let fence = match setting.by_fence {
        true => "against a high fence at the right, set to",
        false => "at the right, the first cut from it at",
    };
    Some(AtMachine {
        svg: pen.out,
        bounds: extent.grown(3.0 * u),
        description: format!(
            "The end of {}, standing on its edge, the up face {fence} {}; from there {}",
            step.workpiece,
            setting.shown,
            heartside_timber::words::listed(&names)
        ),
    })
}
