//! How stiles, rails and panels are put together to a frame.

use heartside_geometry::{Bounds, Point, Pose};
use heartside_timber::job::{Job, Match};
use heartside_timber::words::listed;

use super::put_together::units;
use super::{Made, Piece, after};

/// A panel is broader or narrower than the rails between their shoulders by more than this, in millimetres.
const ALIKE: f64 = 1.0;

/// A frame, its stiles along x, so that it stands like a door: the first stile lowest (left, once it stands), rails
/// from the start on (from the top). Tenons are hidden in the stiles. Rails are spread over the stiles evenly; what is
/// not as long as they are is a panel in the opening behind them. None where it is fewer than two stiles and a rail.
pub(super) fn of_frame(job: &Job, wanted: &Match) -> Option<Made> {
    let units = units(job, wanted)?;
    let [first, second, within @ ..] = units.as_slice() else {
        return None;
    };
    let within: Vec<Made> = within.iter().map(|unit| shouldered(job, unit)).collect();
    let opening = within.first()?.size[0];
    let is_rail = |unit: &Made| unit.size[0].min(opening) > unit.size[0].max(opening) - ALIKE;
    let rails = within.iter().filter(|unit| is_rail(unit));
    let (count, filled) = rails.fold((0, 0.0), |(n, sum), rail| (n + 1, sum + rail.size[1]));
    let long = first.size[0].max(second.size[0]).max(filled);
    let gap = (long - filled) / f64::from((count - 1).max(1));
    let low = first.size[1];
    let names: Vec<&str> = units.iter().map(|unit| unit.name.as_str()).collect();
    let mut frame = Made {
        name: listed(&names),
        stands: true,
        size: [long, low + opening + second.size[1]],
        pieces: first.pieces.clone(),
    };
    let upper = Pose::new(0.0, -low - opening, 0.0);
    let upper = second.pieces.iter().map(|piece| put(piece, &upper));
    frame.pieces.extend(upper);
    // Where the last rail ended: panels after it lie in the gap there.
    let mut reached = 0.0;
    let mut is_first = true;
    for unit in &within {
        let [along, across] = unit.size;
        if is_rail(unit) {
            let start = if is_first { 0.0 } else { reached + gap };
            is_first = false;
            reached = start + across;
            let pieces = unit.pieces.iter();
            frame
                .pieces
                .extend(pieces.map(|piece| put(piece, &crossing(start, low, across))));
            continue;
        }
        // Whichever way it goes into the opening better, in the middle of it.
        let stands = (across - opening).abs() <= (along - opening).abs();
        let [x, y] = if stands {
            [along, across]
        } else {
            [across, along]
        };
        let (x, y) = (reached + (gap - x) / 2.0, low + (opening - y) / 2.0);
        let at = if stands {
            Pose::new(-x, -y, 0.0)
        } else {
            crossing(x, y, across)
        };
        let seen = Bounds::new(
            Point::new(reached, low),
            Point::new(reached + gap, low + opening),
        );
        let pieces = unit.pieces.iter().map(|piece| put(piece, &at));
        let pieces = pieces.filter_map(|piece| {
            let seen = piece.seen.intersection(seen)?;
            Some(Piece { seen, ..piece })
        });
        frame.pieces.extend(pieces);
    }
    Some(frame)
}

/// The same without its tenons; a panel stays as it is.
fn shouldered(job: &Job, unit: &Made) -> Made {
    let [piece] = unit.pieces.as_slice() else {
        return unit.clone();
    };
    // Tenons are at the ends of the part's length.
    let part = job
        .part(&piece.part.part)
        .filter(|_| piece.to_part.turn == 0.0);
    let (start, end) = part.map_or((0.0, 0.0), |p| p.tenon);
    let size = [(unit.size[0] - start - end).max(0.0), unit.size[1]];
    let to_part = after(&piece.to_part, &Pose::new(start, 0.0, 0.0));
    Made {
        size,
        pieces: vec![Piece {
            part: piece.part.clone(),
            seen: Bounds::of_size(size[0], size[1]),
            to_part,
        }],
        ..unit.clone()
    }
}

/// Takes places of the frame into those of a unit of this height that lies across it from x and y on.
fn crossing(x: f64, y: f64, height: f64) -> Pose {
    Pose::new(-y, x + height, 270.0)
}

/// A piece of a unit as it is in the frame, whose places `into` takes into the unit's.
fn put(piece: &Piece, into: &Pose) -> Piece {
    let Bounds { min, max } = piece.seen;
    let corner = into.inverse_apply(min);
    let other = into.inverse_apply(max);
    let seen = Bounds::new(
        Point::new(corner.x.min(other.x), corner.y.min(other.y)),
        Point::new(corner.x.max(other.x), corner.y.max(other.y)),
    );
    Piece {
        part: piece.part.clone(),
        seen,
        to_part: after(&piece.to_part, into),
    }
}
