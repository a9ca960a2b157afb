//! Rule 4: the saw and the planer stay clear of fixings.

use heartside_geometry::{
    Bounds, Point, PreparedRegion, Region, Ring, distance_to_segment, protrusion, separation,
    separation_at_most,
};
use heartside_timber::document::BoardCopy;
use heartside_timber::finding::{Finding, Rule};
use heartside_timber::job::{FixingMaterial, Job, Stops, Zone, ZoneKind};
use heartside_timber::plan::Direction;

use crate::index::{JobIndex, Piece, ZoneIndex};
use crate::report::{About, broken};

/// What rule 4 says about a blank and the fixings in it.
///
/// A blank may hold a fixing only if its part says so, and then wholly, with the margin from
/// every edge. One that is or may be metal is refused even then where the board is thicker than
/// the finished part, for then it is planed, whatever the allowance says; unless it is drawn
/// before that, or lies deeper than all that could come off either face.
pub(crate) fn held(
    index: &JobIndex<'_>,
    board: usize,
    copy: &BoardCopy,
    piece: &Piece,
) -> Vec<Finding> {
    let (words, slack) = (index.words(), index.slack());
    let (wood, _) = index.board(board);
    let part = index.part(piece.part);
    let mut found = Vec::new();
    for (near, zone) in fixings_near(index, board, piece, 0.0) {
        let Some(overlap) = separation_at_most(&piece.core, &near.shape, piece.radius) else {
            continue;
        };
        let depth = piece.radius - overlap.amount;
        if depth <= slack {
            continue;
        }
        let at = near.shape.bounds().centre();
        let report = |cause: &str, message: String, by: f64| {
            broken(Rule::Fixings, cause, message)
                .on(copy)
                .of(&piece.copy)
                .zone(zone.index)
                .at(at)
                .mm(by)
        };
        // A blade that resaws runs through all of the blank.
        if !part.fixing_ok || piece.leaf.is_some() {
            found.push(report(
                "fixing-in-blank",
                words.holds_fixing(&piece.copy, copy, zone, depth),
                depth,
            ));
            continue;
        }
        let clearance = protrusion(&near.shape, &piece.core).amount + piece.radius;
        // Moving the blank off the fixing may be less than taking it in with its margin.
        let by = (zone.margin - clearance).min(depth);
        if by > slack {
            found.push(report(
                "fixing-near-edge",
                words.fixing_near_edge(&piece.copy, copy, zone, by),
                by,
            ));
        }
        let comes_off = wood.thickness - part.thickness;
        let may_be_metal = zone.material != FixingMaterial::Wood && !zone.drawn_before_planing;
        if !may_be_metal || comes_off <= slack {
            continue;
        }
        match zone.buried.filter(|(_, to)| to.is_finite()) {
            None => found.push(report(
                "fixing-planed",
                words.fixing_planed(&piece.copy, copy, zone, (wood.thickness, part.thickness)),
                depth,
            )),
            // All of it may come off the one face or off the other.
            Some((from, to)) => {
                let by = comes_off - from.min(wood.thickness - to);
                if by > slack {
                    found.push(report(
                        "fixing-too-shallow",
                        words.fixing_too_shallow(&piece.copy, copy, zone, by),
                        by,
                    ));
                }
            }
        }
    }
    found
}

/// What rule 4 says about the line sawn round a piece: its kerf lies next to the blank and
/// runs along and across the grain, so every fixing stops it.
pub(crate) fn sawn_line(
    index: &JobIndex<'_>,
    board: usize,
    copy: &BoardCopy,
    piece: &Piece,
) -> Vec<Finding> {
    let slack = index.slack();
    let kerf = index.sawn_kerf(Some(board));
    let mut found = Vec::new();
    for (near, zone) in fixings_near(index, board, piece, kerf) {
        let needed = piece.radius + kerf + zone.margin;
        let Some(apart) = separation_at_most(&piece.core, &near.shape, needed) else {
            continue;
        };
        // What lies in the blank is judged by [`held`].
        if apart.amount < piece.radius - slack {
            continue;
        }
        let by = needed - apart.amount;
        if by > slack {
            let message = index
                .words()
                .sawn_line_at_fixing(&piece.copy, copy, zone, by);
            let at = Job::between(apart.from, apart.to);
            found.push(
                broken(Rule::Fixings, "saw-at-fixing", message)
                    .on(copy)
                    .of(&piece.copy)
                    .zone(zone.index)
                    .at(at)
                    .mm(by),
            );
        }
    }
    found
}

fn fixings_near<'a>(
    index: &'a JobIndex<'a>,
    board: usize,
    piece: &Piece,
    reach: f64,
) -> impl Iterator<Item = (&'a ZoneIndex, &'a Zone)> + use<'a> {
    let (wood, prepared) = index.board(board);
    prepared
        .zones_near(&piece.bounds.grown(reach))
        .map(|near| (near, &wood.zones[near.place]))
        .filter(|(_, zone)| zone.kind == ZoneKind::Fixing)
}

/// A straight cut as the saw runs: from where it enters its workpiece to where it leaves it.
pub(crate) struct Band {
    pub(crate) direction: Direction,
    /// Low side in the frame, for the sentence.
    pub(crate) at: f64,
    /// The four corners of the dust, in the board's frame, round it; the first two and the
    /// last two lie on its long sides.
    pub(crate) corners: [Point; 4],
}

/// What rule 4 says about one straight cut.
pub(crate) fn band(
    index: &JobIndex<'_>,
    board: usize,
    copy: &BoardCopy,
    band: &Band,
) -> Vec<Finding> {
    let (wood, prepared) = index.board(board);
    let Some(bounds) = Bounds::of_points(band.corners) else {
        return Vec::new();
    };
    // A kerf of no width is a line and no region.
    let dust = Ring::new(band.corners.to_vec())
        .ok()
        .map(|ring| PreparedRegion::new(Region::from_ring(ring)));
    let mut found = Vec::new();
    for near in prepared.zones_near(&bounds) {
        let zone = &wood.zones[near.place];
        if zone.kind != ZoneKind::Fixing || !stops(zone.stops, band.direction) {
            continue;
        }
        let distance = match &dust {
            Some(dust) => separation(dust, &near.shape).amount,
            None => distance_to_segment(&near.shape, band.corners[0], band.corners[1]),
        };
        let by = zone.margin - distance;
        if by > index.slack() {
            let middle = near.shape.bounds().centre();
            let message = index
                .words()
                .cut_at_fixing(band.direction, band.at, copy, zone, by);
            found.push(
                broken(Rule::Fixings, "cut-at-fixing", message)
                    .on(copy)
                    .zone(zone.index)
                    .at(middle.nearest_on_segment(band.corners[0], band.corners[1]))
                    .mm(by),
            );
        }
    }
    found
}

fn stops(stops: Stops, direction: Direction) -> bool {
    match stops {
        Stops::All => true,
        Stops::Rips => direction == Direction::Rip,
        Stops::Crosscuts => direction == Direction::Crosscut,
    }
}
