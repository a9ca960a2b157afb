//! From the blank to the finished part: the work after the saw, in order.
//!
//! The order keeps every measure true to the one before it: a face, an edge square to it, then
//! thickness from the face, width from the edge, length from a squared end, shoulders from the length.

use heartside_timber::job::{Form, Job, Part, PartCut, StaveOf};
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
    work.extend(part.stave.as_ref().and_then(|s| end_joint_words(job, s)));
    work
}

/// How a piece of a stave is joined to the others; none for a stave in one piece.
fn end_joint_words(job: &Job, stave: &StaveOf) -> Option<String> {
    let panel = job.panels.get(stave.panel).filter(|_| stave.piece > 0)?;
    let joint = match panel.ends.taken {
        0.0 => "End grain glued to end grain holds little: a dowel or a loose tongue helps it"
            .to_owned(),
        taken => format!(
            "Each joint takes {} of the length",
            write_length(taken, &job.units)
        ),
    };
    Some(format!(
        "Join the pieces of stave {} end to end before the panel is glued up, in a straight line and with one side up. {joint} (common practice, no source).",
        stave.number
    ))
}
