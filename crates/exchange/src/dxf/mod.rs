//! Layouts of boards and outlines of parts as DXF files, in millimetres.
//!
//! What stands on which layer: [`Layer`]. Arcs are arcs, ovals are ellipses, all else is corners. A board
//! lies as in the job: x along it, y across it and up.

mod file;
mod outline;

use heartside_cutting::{Action, Step};
use heartside_geometry::{Point, Pose, Region, offset, poles_of_inaccessibility};
use heartside_timber::blank::Blank;
use heartside_timber::document::{Document, ZoneKind};
use heartside_timber::job::{Form, Job, Part, PartCut};
use heartside_timber::length::write_length;
use heartside_timber::plan::{Layout, Placement};
use heartside_timber::words::counted;

use file::File;
pub use file::Layer;
use outline::Outline;

/// Pieces of offset outlines below this size are noise, in millimetres.
const LEAST_PIECE: f64 = 0.01;

/// A board as it is set out: its outline, its marked areas, the blanks, the finished parts in them with
/// their names, and the middle of every kerf, drawn as wide as it is. None for a board that the job does not know.
///
/// `document` is what the job was made from: it tells which sides are arcs.
pub fn board_dxf(
    job: &Job,
    document: &Document,
    layout: &Layout,
    steps: &[Step],
) -> Option<String> {
    let board = job.board(&layout.board.board)?;
    let mut file = File::default();
    file.region(Layer::Outline, &board.outline);
    for zone in &board.zones {
        let layer = match zone.kind {
            ZoneKind::Defect => Layer::Defects,
            ZoneKind::Sapwood => Layer::Sapwood,
            ZoneKind::Fixing => Layer::Fixings,
            ZoneKind::Figure => Layer::Figure,
        };
        file.region(layer, &zone.shape);
    }
    for placement in &layout.placements {
        let Some(part) = job.part(&placement.part) else {
            continue;
        };
        let pose = placement.pose();
        for blank in blank_outlines(part, 0.0) {
            file.region(Layer::Blanks, &pose.apply_region(&blank));
        }
        draw_part(
            &mut file,
            Layer::Parts,
            &Outline::of(job, document, part),
            &pose,
        );
        name_part(&mut file, part, &part.copy_name(placement.copy), &pose);
    }
    let of_board = steps.iter().filter(|step| step.board == layout.board);
    for step in of_board {
        match (step.action, step.placement) {
            (Action::SawByLine, Some(place)) => {
                let kerf = job.workshop.sawn_kerf_for(board.thickness);
                if let Some(placement) = layout.placements.get(place) {
                    sawn_line(&mut file, job, placement, kerf);
                }
            }
            _ => straight_cut(&mut file, step),
        }
    }
    Some(file.finished())
}

/// The finished outline of a part in its own frame, tenons with it, on the layer of outlines.
///
/// `document` is what the job was made from: it tells which sides are arcs.
pub fn part_dxf(job: &Job, document: &Document, part: &Part) -> String {
    let mut file = File::default();
    let outline = Outline::of(job, document, part);
    draw_part(&mut file, Layer::Outline, &outline, &Pose::IDENTITY);
    let thick = write_length(part.thickness, &job.units);
    let count = counted(part.count as usize, "piece", "pieces");
    let words = format!("{}, {count}, {thick} thick", part.name);
    name_part(&mut file, part, &words, &Pose::IDENTITY);
    file.finished()
}

fn draw_part(file: &mut File, layer: Layer, outline: &Outline, pose: &Pose) {
    match outline {
        Outline::Corners(region) => file.region(layer, &pose.apply_region(region)),
        Outline::Arcs { outer, holes } => {
            // Mirrored, an arc goes round the other way.
            let sense = if pose.turned_over { -1.0 } else { 1.0 };
            let placed = outer
                .iter()
                .map(|&(p, bulge)| (pose.apply(p), sense * bulge));
            file.polyline(layer, &placed.collect::<Vec<_>>(), None);
            for hole in holes {
                let placed = hole.points().iter().map(|&p| (pose.apply(p), 0.0));
                file.polyline(layer, &placed.collect::<Vec<_>>(), None);
            }
        }
        Outline::Oval { length, width } => {
            let middle = Point::new(length / 2.0, width / 2.0);
            let [centre, end, side] = [
                middle,
                Point::new(*length, middle.y),
                Point::new(middle.x, *width),
            ]
            .map(|p| pose.apply(p));
            file.oval(layer, centre, end - centre, side - centre);
        }
    }
}

/// Words in the middle of a part, small enough to stay within it.
fn name_part(file: &mut File, part: &Part, words: &str, pose: &Pose) {
    let (length, width) = (part.length(), part.width());
    let bar = [length.max(width), length.min(width)];
    let (middle, [along, across]) = match part.form {
        Form::Rectangle => (Point::new(length / 2.0, width / 2.0), bar),
        // Where there is most room all round.
        _ => match poles_of_inaccessibility(&part.outline, 1.0, 1).first() {
            Some(circle) => (circle.centre, [2.0 * circle.radius; 2]),
            None => return,
        },
    };
    let own = if length >= width { 0.0 } else { 90.0 };
    let turn = if pose.turned_over {
        pose.turn - own
    } else {
        pose.turn + own
    };
    // Read from below or from the right, never upside down.
    let turn = (turn + 90.0 - 1e-9).rem_euclid(180.0) - 90.0;
    let room = [0.9 * along, 0.4 * across];
    file.words(words, pose.apply(middle), turn, room);
}

/// What a blank's outline is, and so much more all round.
fn blank_outlines(part: &Part, more: f64) -> Vec<Region> {
    let blank = Blank::of(part);
    match (part.cut, blank.radius + more > 0.0) {
        (PartCut::Straight, _) | (_, false) => vec![blank.core],
        (PartCut::Sawn, true) => offset(&blank.core, blank.radius + more, LEAST_PIECE),
    }
}

/// The middle of the kerf round a part that is sawn out by line.
fn sawn_line(file: &mut File, job: &Job, placement: &Placement, kerf: f64) {
    let Some(part) = job.part(&placement.part) else {
        return;
    };
    let pose = placement.pose();
    let blank = Blank::of(part);
    for line in offset(&blank.core, blank.radius + kerf / 2.0, LEAST_PIECE) {
        for ring in pose.apply_region(&line).rings() {
            let corners: Vec<_> = ring.points().iter().map(|&p| (p, 0.0)).collect();
            file.polyline(Layer::Cuts, &corners, Some(kerf));
        }
    }
}

/// The middle of a straight kerf.
fn straight_cut(file: &mut File, step: &Step) {
    let [from, to] = step.line;
    let Some(along) = (to - from).unit() else {
        return;
    };
    let across = along.turned_left();
    let span = |by: heartside_geometry::Vector| {
        let reach = step.band.iter().map(|p| (*p - from).dot(by));
        reach.fold(None, |span: Option<(f64, f64)>, at| {
            let (least, most) = span.unwrap_or((at, at));
            Some((least.min(at), most.max(at)))
        })
    };
    if let (Some((start, end)), Some((low, high))) = (span(along), span(across)) {
        let middle = from + across * ((low + high) / 2.0);
        file.line(
            Layer::Cuts,
            [middle + along * start, middle + along * end],
            high - low,
        );
    }
}

#[cfg(test)]
mod tests;
