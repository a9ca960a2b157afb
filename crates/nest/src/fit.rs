//! Which part can come out of which board, and which way round.
//!
//! Everything here follows from one board and one part alone; where on the board the
//! part may lie is the engines' business. Where a rule leaves a choice of reading, the
//! stricter one is taken, so that an engine never has to be corrected afterwards.

use heartside_geometry::math::within_turn;
use heartside_geometry::{Bounds, Pose};
use heartside_timber::blank::{
    Blank, flattened_bounds, greatest_finished_thickness, is_seen, is_seen_or_painted,
    planed_off_each_face, straight_bounds,
};
use heartside_timber::document::{Cuts, PartCut};
use heartside_timber::grain::difference;
use heartside_timber::job::{
    Board, ClearOf, Faces, FixingMaterial, GrainRule, Job, Part, Zone, ZoneFace, ZoneKind,
};

/// How far a turn may miss a grain tolerance of its own making, in degrees.
///
/// Angles are worked out by adding quarter turns to a measured direction; a tolerance of
/// nought must survive that. A thousandth of what a protractor shows.
const ANGLE_SLACK: f64 = 1e-9;

/// True where the board is of a species that the part accepts.
pub fn species_fits(board: &Board, part: &Part) -> bool {
    part.species.is_empty() || part.species.contains(&board.species)
}

/// True where a saw for lines takes the board's thickness, or none is needed: a straight part on a board that
/// is cut straight across.
pub fn can_be_sawn(job: &Job, board: &Board, part: &Part) -> bool {
    let follows_line = part.cut == PartCut::Sawn || board.cuts == Cuts::Sawn;
    !follows_line || job.workshop.can_saw_by_line(board.thickness)
}

/// The bounding box of the part's blank once turned (and turned over), about the part's origin.
pub fn turned_blank(part: &Part, turn: f64, turned_over: bool) -> Bounds {
    let pose = Pose {
        x: 0.0,
        y: 0.0,
        turn,
        turned_over,
    };
    if part.cut == PartCut::Straight {
        // Asked for every part on every board: without making an outline of it first.
        let corners = straight_bounds(part).corners();
        let turned = Bounds::of_points(corners.iter().map(|p| pose.apply(*p)));
        if let Some(turned) = turned.filter(|t| t.area() > 0.0) {
            return turned;
        }
    }
    let blank = Blank::of(part);
    let points = blank.core.outer().points().iter().map(|p| pose.apply(*p));
    Bounds::of_points(points)
        .unwrap_or_else(|| blank.core.bounds())
        .grown(blank.radius)
}

/// True where the board, once flat, is thick enough for the part lying at this turn.
///
/// Rule: with measured warp a blank of extents l along and w across the board loses
/// cup (w/over)² + bow (l/over)² + half the twist it keeps, and a clean-up on each face.
pub fn thick_enough(job: &Job, board: &Board, part: &Part, turn: f64, turned_over: bool) -> bool {
    let pose = Pose {
        turn,
        ..Pose::IDENTITY
    };
    let extents = flattened_bounds(part)
        .and_then(|flat| Bounds::of_points(flat.corners().iter().map(|p| pose.apply(*p))))
        .unwrap_or_else(|| turned_blank(part, turn, turned_over));
    greatest_finished_thickness(board, &part.allowances, extents.width(), extents.height())
        + job.tolerance.slack * 0.5
        >= part.thickness
}

/// True where a straight-grained board's grain allows the part at this turn; for a bent
/// board, where some direction that occurs on it does.
pub fn grain_allows(board: &Board, part: &Part, turn: f64) -> bool {
    match &part.grain {
        GrainRule::Any => true,
        GrainRule::Turns(turns) => turns.iter().any(|t| same_turn(*t, turn)),
        GrainRule::Axis { tolerance, .. } => {
            let axis = grain_axis(part, turn);
            let (least, most) = board.grain.range();
            let nearest = if board.grain.is_bent() {
                // Within the range the axis itself may occur.
                let inside = (axis - least).rem_euclid(180.0) <= most - least;
                if inside {
                    0.0
                } else {
                    difference(axis, least).min(difference(axis, most))
                }
            } else {
                difference(axis, board.grain.base_angle())
            };
            nearest <= tolerance + ANGLE_SLACK
        }
    }
}

/// Direction, in the board, of the part's grain axis at this turn.
pub fn grain_axis(part: &Part, turn: f64) -> f64 {
    match part.grain {
        GrainRule::Axis { across: true, .. } => turn + 90.0,
        _ => turn,
    }
}

/// The greatest angle from the grain that the part bears; none where the grain does not matter or turns are listed.
pub fn grain_tolerance(part: &Part) -> Option<f64> {
    match part.grain {
        GrainRule::Axis { tolerance, .. } => Some(tolerance + ANGLE_SLACK),
        GrainRule::Any | GrainRule::Turns(_) => None,
    }
}

/// True for turns that differ by whole circles, up to rounding.
pub fn same_turn(a: f64, b: f64) -> bool {
    let off = within_turn(a - b);
    off.min(360.0 - off) <= ANGLE_SLACK
}

/// What a zone asks of a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Asks {
    /// Its blank keeps the zone's margin away.
    pub blank_clear: bool,
    /// Its finished outline keeps the zone's margin away.
    pub finished_clear: bool,
    /// Its blank stays out of the zone itself, without a margin.
    pub blank_outside: bool,
    /// It is a fixing that the blank may also hold wholly, the margin from every edge.
    pub or_around: bool,
}

/// What a zone of the board asks of the part, lying this way up.
///
/// A defect that is unsound, right through, or of unknown depth keeps its margin from the
/// blank or, where marked so, from the finished part; an unsound one then still lies in no
/// blank. A sound one on a single face keeps its margin from the finished part where that
/// face will be seen or painted, unless planing takes it off. Sapwood keeps out of the finished part on seen faces. A
/// fixing keeps out of the blank; a part that may hold one may lie round it if it is wood, drawn
/// before, or deeper than the knives can come.
pub fn zone_asks(board: &Board, zone: &Zone, part: &Part, turned_over: bool) -> Asks {
    let leaf = part.composed.map_or(f64::INFINITY, |held| held.leaf);
    let through = zone.face == ZoneFace::Through || zone.depth >= board.thickness.min(leaf);
    let mut asks = Asks::default();
    match zone.kind {
        ZoneKind::Figure => {}
        ZoneKind::Sapwood => {
            let seen = |up| is_seen(part.faces, turned_over, up);
            asks.finished_clear = if through {
                seen(true) || seen(false)
            } else {
                seen(zone.face == ZoneFace::Up)
            };
        }
        // Nobody sees where rot ends, so its margin is kept on every face.
        ZoneKind::Defect if through || !zone.sound => match zone.clear_of {
            ClearOf::Blank => asks.blank_clear = true,
            ClearOf::Finished => {
                asks.finished_clear = true;
                asks.blank_outside = !zone.sound;
            }
        },
        ZoneKind::Defect => {
            let shows = is_seen_or_painted(part.faces, turned_over, zone.face == ZoneFace::Up);
            asks.finished_clear =
                shows && zone.depth > planed_off_each_face(board, &part.allowances);
        }
        ZoneKind::Fixing => {
            asks.blank_clear = true;
            asks.or_around = part.fixing_ok && !may_meet_knives(board, zone, part);
        }
    }
    asks
}

/// True where a fixing that stays in the blank may meet the knives of a planer: what the board is
/// thicker than the finished part may all come off the one face, or off the other.
fn may_meet_knives(board: &Board, zone: &Zone, part: &Part) -> bool {
    let comes_off = board.thickness - part.thickness;
    if zone.material == FixingMaterial::Wood || zone.drawn_before_planing || comes_off <= 0.0 {
        return false;
    }
    zone.buried
        .is_none_or(|(from, to)| from < comes_off || board.thickness - to < comes_off)
}

/// True where turning the part over could change what the board's zones ask of it, or its outline.
pub fn turning_over_matters(board: &Board, part: &Part) -> bool {
    part.may_turn_over
        && (part.faces == Faces::One
            && board
                .zones
                .iter()
                .any(|z| zone_asks(board, z, part, false) != zone_asks(board, z, part, true)))
}

/// The least board that would take the part whatever its warp: length, width and
/// thickness in millimetres, with trim at raw ends and edges and full planing.
pub fn least_board(job: &Job, part: &Part) -> [f64; 3] {
    let bounds = turned_blank(part, 0.0, false);
    let (mut along, mut across) = (bounds.width(), bounds.height());
    match part.grain {
        GrainRule::Axis { across: true, .. } => std::mem::swap(&mut along, &mut across),
        GrainRule::Any if across > along => std::mem::swap(&mut along, &mut across),
        _ => {}
    }
    [
        along + 2.0 * job.workshop.trim_end,
        across + 2.0 * job.workshop.trim_edge,
        part.thickness + 2.0 * part.allowances.planing,
    ]
}
