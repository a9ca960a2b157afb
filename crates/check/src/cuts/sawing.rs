//! What is sawn by line: boards too thick to saw, and cautions for tight corners and holes.

use heartside_geometry::{Arrange, Point, Region, SortedMap};
use heartside_timber::document::{BoardCopy, PartCopy};
use heartside_timber::finding::{Finding, Rule};
use heartside_timber::job::PartCut;

use crate::index::{JobIndex, Piece};
use crate::report::{About, broken};

/// How far, in millimetres, an arc drawn as straight sides may leave the true arc. Smaller,
/// and true arcs would be taken for corners; larger, and blunt corners for arcs.
const ARC_DEVIATION: f64 = 0.1;

/// What there is to say about the pieces of one board that are sawn by line: a finding where no
/// tool for that takes the board (one that is not listed is taken to), cautions one for each part.
pub(crate) fn judge<'a>(
    index: &JobIndex<'_>,
    board: usize,
    copy: &BoardCopy,
    sawn: impl Iterator<Item = &'a Piece>,
) -> Vec<Finding> {
    let words = index.words();
    let mut by_part: SortedMap<usize, Vec<&Piece>> = SortedMap::new();
    for piece in sawn {
        by_part.entry(piece.part).or_default().push(piece);
    }
    let saws = || index.job().workshop.tools.iter().filter(|t| t.saws);
    let mut found = Vec::new();
    let deepest = saws().map(|t| t.max_depth).fold(0.0, f64::max);
    let too_thick = index.board(board).0.thickness - deepest;
    if !by_part.is_empty() && saws().next().is_some() && too_thick > index.slack() {
        let message = words.too_thick_to_saw(copy, too_thick);
        found.push(
            broken(Rule::Cuts, "too-thick-to-saw", message)
                .on(copy)
                .mm(too_thick),
        );
    }
    let least_radius = saws().map(|t| t.least_radius).fold(f64::INFINITY, f64::min);
    for (part, mut pieces) in by_part {
        let part = index.part(part);
        if part.cut != PartCut::Sawn {
            continue;
        }
        pieces.arrange_by(|a, b| a.copy.cmp(&b.copy));
        let copies: Vec<PartCopy> = pieces.iter().map(|p| p.copy.clone()).collect();
        let about = |cause: &str, message: String| {
            let mut finding = broken(Rule::Cuts, cause, message).on(copy).caution();
            finding.parts = copies.clone();
            finding
        };
        if let Some((radius, corner)) = tightest_inside_corner(&part.outline) {
            // Sawing outside the outline by the allowance makes an inside curve tighter.
            let by = least_radius - (radius - part.allowances.sawn).max(0.0);
            if least_radius.is_finite() && by > index.slack() {
                let at = pieces[0].pose.apply(corner);
                found.push(
                    about(
                        "tight-corner",
                        words.tight_corner(&copies, copy, least_radius),
                    )
                    .at(at)
                    .mm(by),
                );
            }
        }
        if let Some(hole) = part.outline.holes().first() {
            let at = pieces[0].pose.apply(hole.bounds().centre());
            found.push(about("hole-entry", words.hole_entry(&copies, copy)).at(at));
        }
    }
    found
}

/// The smallest radius of an inside corner of an outline, and where.
///
/// At a corner that turns into the wood by an angle t, the largest arc that touches both
/// sides within half the shorter one has radius s / (2 tan(t/2)); it leaves the corner by
/// r (1 / cos(t/2) - 1), which must not exceed [`ARC_DEVIATION`], or the corner is a real one.
fn tightest_inside_corner(outline: &Region) -> Option<(f64, Point)> {
    let mut tightest: Option<(f64, Point)> = None;
    let rings = outline.rings().enumerate();
    for (k, ring) in rings {
        let points = ring.points();
        let n = points.len();
        for i in 0..n {
            let (before, here, after) = (points[(i + n - 1) % n], points[i], points[(i + 1) % n]);
            let (Some(u), Some(v)) = ((here - before).unit(), (after - here).unit()) else {
                continue;
            };
            // Rings run counter-clockwise, so an inside corner of the outer ring turns right,
            // and one of a hole turns left.
            let turns = if k == 0 { -u.cross(v) } else { u.cross(v) };
            if turns <= 0.0 {
                continue;
            }
            // tan(t/2) = sin t / (1 + cos t) and cos(t/2) = sqrt((1 + cos t) / 2).
            let cosine = u.dot(v).clamp(-1.0, 1.0);
            let half_tangent = turns / (1.0 + cosine).max(f64::MIN_POSITIVE);
            let half_cosine = ((1.0 + cosine) / 2.0).sqrt().max(f64::MIN_POSITIVE);
            let shorter = before.distance(here).min(here.distance(after));
            let radius = (0.5 * shorter / half_tangent)
                .min(ARC_DEVIATION / (1.0 / half_cosine - 1.0).max(f64::MIN_POSITIVE));
            if tightest.is_none_or(|(least, _)| radius < least) {
                tightest = Some((radius, here));
            }
        }
    }
    tightest
}
