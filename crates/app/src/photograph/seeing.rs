//! What was seen in a straightened picture, as the page shows it.

use heartside_figure::{Oval, Proposals, Seen};
use heartside_geometry::{Point, math};

use crate::protocol::{PhotoSeen, PhotoSeenArea, PhotoSeenKind, PhotoSeenLines};

pub(super) fn told(seen: &Proposals) -> PhotoSeen {
    let outline = seen.outline.as_ref();
    let grain = seen.grain.as_ref();
    let mut areas: Vec<PhotoSeenArea> = seen.knots.iter().map(oval).collect();
    for (kind, of_kind) in [
        (PhotoSeenKind::Split, &seen.splits),
        (PhotoSeenKind::Bark, &seen.bark),
        (PhotoSeenKind::Sapwood, &seen.sapwood),
    ] {
        areas.extend(of_kind.iter().map(|seen| PhotoSeenArea {
            kind,
            oval: false,
            corners: corners(&seen.what),
            sure: seen.sure,
            because: seen.because.clone(),
        }));
    }
    PhotoSeen {
        problem: None,
        outline: outline.map(|seen| lines(seen, vec![corners(seen.what.points())])),
        areas,
        grain: grain.map(|seen| lines(seen, seen.what.lines.iter().map(|l| corners(l)).collect())),
    }
}

fn lines<T>(seen: &Seen<T>, lines: Vec<Vec<[f64; 2]>>) -> PhotoSeenLines {
    PhotoSeenLines {
        lines,
        sure: seen.sure,
        because: seen.because.clone(),
    }
}

/// A knot in its box: zones have no oval that lies aslant.
fn oval(seen: &Seen<Oval>) -> PhotoSeenArea {
    let Oval {
        middle,
        half_length,
        half_width,
        direction,
    } = seen.what;
    let (sine, cosine) = math::sin_cos_deg(direction);
    let along = math::hypot(half_length * cosine, half_width * sine);
    let across = math::hypot(half_length * sine, half_width * cosine);
    PhotoSeenArea {
        kind: PhotoSeenKind::Knot,
        oval: true,
        corners: vec![
            [middle.x - along, middle.y - across],
            [middle.x + along, middle.y + across],
        ],
        sure: seen.sure,
        because: seen.because.clone(),
    }
}

fn corners(points: &[Point]) -> Vec<[f64; 2]> {
    points.iter().map(|p| [p.x, p.y]).collect()
}
