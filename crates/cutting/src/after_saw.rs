//! From the blank to the finished part: the work after the saw, in order.
//!
//! The order keeps every measure true to the one before it: a face, an edge square to it, then
//! thickness from the face, width from the edge, length from a squared end, shoulders from the length.

use heartside_timber::job::{Form, Job, Part, PartCut};
use heartside_timber::length::{write_dimension, write_length};

/// The wood moves until its fresh faces are as moist as the air: Wood Handbook (Forest Products
/// Laboratory, 1999), chapter 3, moisture relations.
const SETTLE: &str = "Let it settle in the air of the workshop: its fresh faces take up or give off moisture until they match the air, and until then it moves (Wood Handbook, chapter 3).";

/// What is to be done to the blank of a part, a sentence each, with the sizes to set.
pub fn work_after_saw(job: &Job, part: &Part) -> Vec<String> {
    let show = |mm: f64| write_length(mm, &job.units);
    let mut work = vec![
        SETTLE.to_owned(),
        "Flatten one face and give it the face mark.".to_owned(),
        "True one edge square to that face and give it the edge mark.".to_owned(),
        format!("Plane to {} thick, from the face.", show(part.thickness)),
    ];
    let bounds = part.outline.bounds();
    if part.cut == PartCut::Sawn || matches!(part.form, Form::Round | Form::Free) {
        work.push(format!(
            "Saw and smooth to the drawn outline, {} × {} over all.",
            write_dimension(bounds.width(), &job.units),
            show(bounds.height())
        ));
    } else {
        work.push(format!(
            "Bring it to {} wide, from the edge.",
            show(bounds.height())
        ));
        work.push(format!(
            "Square one end, and cut to {} long{}.",
            show(bounds.width()),
            if part.tenon == (0.0, 0.0) {
                ""
            } else {
                " with the tenons"
            }
        ));
    }
    let shoulders: Vec<String> = [("start", part.tenon.0), ("far", part.tenon.1)]
        .into_iter()
        .filter(|(_, length)| *length > 0.0)
        .map(|(end, length)| format!("{} from the {end} end", show(length)))
        .collect();
    if !shoulders.is_empty() {
        let between = bounds.width() - part.tenon.0 - part.tenon.1;
        work.push(format!(
            "Cut the shoulders {}: {} between them.",
            heartside_timber::words::listed(&shoulders),
            show(between)
        ));
    }
    if let Form::Taper(start, end) = part.form
        && part.cut == PartCut::Straight
    {
        work.push(format!(
            "Taper it from {} at the start end to {} at the far end.",
            show(start),
            show(end)
        ));
    }
    work
}
