//! Whether what is drawn encloses something, and what is wrong where it does not.

use heartside_geometry::{Point, Region, RegionFault, Ring, RingFault, Side};

use super::line::{Corner, Line, What};

/// Less than this, in square millimetres, is a slip of the hand and no board, hole or area.
const LEAST_WOOD: f64 = 1000.0;
const LEAST_AREA: f64 = 4.0;

/// What is wrong with lines, and where.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Fault {
    pub(super) sentence: String,
    pub(super) at: Option<Point>,
}

impl Fault {
    fn near(what: impl std::fmt::Display, at: Point, mend: &str) -> Fault {
        Fault {
            sentence: format!(
                "{what} near {:.0} mm along and {:.0} mm across: {mend}.",
                at.x, at.y
            ),
            at: Some(at),
        }
    }

    fn of(what: &str) -> Fault {
        Fault {
            sentence: what.to_owned(),
            at: None,
        }
    }
}

/// A board or an area that can be taken: its outline and its holes, as corners and as an area.
#[derive(Debug)]
pub(super) struct Sound {
    /// The outline first.
    pub(super) rings: Vec<Vec<Corner>>,
    pub(super) region: Region,
}

/// The finished lines of a board or an area as an outline and its holes: the one that encloses most
/// is the outline.
pub(super) fn sound(what: What, lines: &[Line]) -> Result<Sound, Fault> {
    let finished = || lines.iter().filter(|l| l.finished);
    let largest = finished().map(Line::area).fold(0.0, f64::max);
    let Some(outline) = finished().position(|l| l.area() == largest) else {
        return Err(Fault::of(match what {
            What::Wood => "There is no outline yet.",
            What::Area | What::Grain => "Nothing is drawn yet.",
        }));
    };
    let mut rings = Vec::new();
    let mut closed = Vec::new();
    for (k, line) in finished().enumerate() {
        let side = match what == What::Wood && k == outline {
            true => Side::Inside,
            false => Side::Outside,
        };
        let least = if side == Side::Inside {
            LEAST_WOOD
        } else {
            LEAST_AREA
        };
        let corners = line.corners(what, side);
        let points: Vec<Point> = corners.iter().map(|(at, _, _)| *at).collect();
        let ring = Ring::new(points).map_err(|faults| fault_of(&faults.0))?;
        if ring.signed_area() < least {
            let at = ring.points()[0];
            return Err(Fault::near(
                "What is drawn is too small to be meant",
                at,
                "draw it larger, or remove it",
            ));
        }
        let at = if k == outline { 0 } else { rings.len() };
        rings.insert(at, corners);
        closed.insert(at, ring);
    }
    let outer = closed.remove(0);
    let region = Region::new(outer, closed).map_err(|faults| hole_fault(&faults.0))?;
    Ok(Sound { rings, region })
}

fn fault_of(faults: &[RingFault]) -> Fault {
    let at = faults.iter().find_map(|fault| match fault {
        RingFault::Crossing { at, .. } | RingFault::Overlap { at, .. } => Some(*at),
        _ => None,
    });
    match at {
        Some(at) => Fault::near(
            "The line crosses itself",
            at,
            "move a point there, or remove it",
        ),
        None => Fault::of("The points enclose nothing: they lie on one line."),
    }
}

fn hole_fault(faults: &[RegionFault]) -> Fault {
    let mend = "move it inside the outline, away from other holes";
    match faults.first() {
        Some(RegionFault::HoleCrossesOutline { at, .. }) => {
            Fault::near("A hole crosses the outline", *at, mend)
        }
        Some(RegionFault::HoleOutside { at, .. }) => {
            Fault::near("A hole lies outside the outline", *at, mend)
        }
        Some(RegionFault::HolesCross { at, .. }) => Fault::near("Two holes cross", *at, mend),
        Some(RegionFault::HoleInHole { at, .. }) => {
            Fault::near("A hole lies in another one", *at, mend)
        }
        _ => Fault::of("The holes are not sound: draw them anew."),
    }
}
