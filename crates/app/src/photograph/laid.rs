//! How the marks of a photograph are laid: which is which, and where each lies on the board.

use heartside_figure::{Mark, Spot};
use heartside_geometry::{Bounds, Point};

use crate::protocol::{PhotoAsked, PhotoLaid, PhotoMarkTaken, PhotoSpot};

const CORNERS: [&str; 4] = [
    "left end, lower corner",
    "right end, lower corner",
    "right end, upper corner",
    "left end, upper corner",
];
const RULE: [&str; 2] = ["start of the length", "end of the length"];

/// Marks with their places.
#[derive(Debug)]
pub(super) struct Laid {
    pub(super) marks: Vec<Mark>,
    pub(super) taken: Vec<PhotoMarkTaken>,
    /// What was measured: the board, or what the marks span.
    pub(super) measured: Bounds,
}

/// What is still to be set or typed, and the marks it is about.
#[derive(Debug)]
pub(super) struct Wanting {
    pub(super) text: String,
    pub(super) marks: Vec<u32>,
}

pub(super) fn spot(at: &PhotoSpot) -> Spot {
    Spot::new(at.x, at.y)
}

/// The marks with their places.
///
/// # Errors
/// What is still to be set or typed.
pub(super) fn laid(asked: &PhotoAsked) -> Result<Laid, Wanting> {
    let (places, names) = told_places(asked)?;
    let seen: Vec<Spot> = asked.marks.iter().map(|m| spot(&m.seen)).collect();
    let order = match *names {
        [] => Vec::new(),
        [_, _] => along_the_rule(&seen, asked),
        _ => round_the_board(&seen, asked),
    };
    let mut marks = Vec::new();
    let mut taken = Vec::new();
    for (k, mark) in asked.marks.iter().enumerate() {
        let told = order.iter().position(|&o| o == k);
        let own = mark.place.map(|[x, y]| Point::new(x, y));
        let Some(place) = told.map_or(own, |t| Some(places[t])) else {
            return Err(Wanting {
                text: format!(
                    "mark {}: type how far along and how far across it lies",
                    k + 1
                ),
                marks: vec![k as u32],
            });
        };
        marks.push(Mark {
            seen: seen[k],
            place,
        });
        taken.push(PhotoMarkTaken {
            name: told.map(|t| names[t].to_owned()),
            place: Some([place.x, place.y]),
        });
    }
    let all = if places.is_empty() {
        marks.iter().map(|m| m.place).collect()
    } else {
        places
    };
    let measured = Bounds::of_points(all).unwrap_or_else(|| Bounds::of_size(0.0, 0.0));
    Ok(Laid {
        marks,
        taken,
        measured,
    })
}

/// Where the first marks lie, and how each is called.
fn told_places(asked: &PhotoAsked) -> Result<(Vec<Point>, &'static [&'static str]), Wanting> {
    let right_width = asked.right_width.unwrap_or(asked.width);
    let (lengths, count): (&[f64], usize) = match asked.laid {
        PhotoLaid::Corners => (&[asked.length, asked.width, right_width], 4),
        PhotoLaid::Rectangle => (&[asked.length, asked.width], 4),
        PhotoLaid::Rule => (&[asked.length], 2),
        PhotoLaid::Places => (&[], 0),
    };
    let wanting = |text: String| {
        Err(Wanting {
            text,
            marks: Vec::new(),
        })
    };
    if !lengths.iter().all(|l| *l > 0.0 && l.is_finite()) {
        return wanting("type the lengths that were measured; each is above 0".to_owned());
    }
    let missing = count.saturating_sub(asked.marks.len());
    if missing > 0 {
        let what = match (asked.laid, missing) {
            (PhotoLaid::Corners, 1) => "the last corner of the board".to_owned(),
            (PhotoLaid::Corners, n) => format!("{n} more corners of the board"),
            (PhotoLaid::Rule, 1) => "the other end of the length".to_owned(),
            (PhotoLaid::Rule, _) => "the two ends of the length".to_owned(),
            (_, 1) => "the last mark".to_owned(),
            (_, n) => format!("{n} more marks"),
        };
        return wanting(format!("tap {what}"));
    }
    let (l, w) = (asked.length, asked.width);
    Ok(match asked.laid {
        PhotoLaid::Places => (Vec::new(), &[]),
        PhotoLaid::Rule if asked.across => {
            (vec![Point::new(0.0, 0.0), Point::new(0.0, l)], &RULE[..])
        }
        PhotoLaid::Rule => (vec![Point::new(0.0, 0.0), Point::new(l, 0.0)], &RULE[..]),
        PhotoLaid::Rectangle => (Bounds::of_size(l, w).corners().to_vec(), &CORNERS[..]),
        PhotoLaid::Corners => {
            // Both ends square to the middle line, and in the middle of it.
            let middle = 0.5 * w.max(right_width);
            let corner = |x: f64, y: f64| Point::new(x, middle + 0.5 * y);
            let places = vec![
                corner(0.0, -w),
                corner(l, -right_width),
                corner(l, right_width),
                corner(0.0, w),
            ];
            (places, &CORNERS[..])
        }
    })
}

/// The first two marks, so that a length along the board runs to the right in the photo, one across it up.
fn along_the_rule(seen: &[Spot], asked: &PhotoAsked) -> Vec<usize> {
    let (a, b) = (seen[0], seen[1]);
    let forward = if asked.across {
        a.y >= b.y
    } else {
        leads_right(a, b)
    };
    if forward == (asked.turned % 4 < 2) {
        vec![0, 1]
    } else {
        vec![1, 0]
    }
}

/// The first four marks from the lower left corner counter-clockwise.
///
/// The longer sides in the photo are those of the longer size, and the left end is on the left, or below
/// where the board stands upright in the photo.
fn round_the_board(seen: &[Spot], asked: &PhotoAsked) -> Vec<usize> {
    let four = &seen[..4];
    let middle = four.iter().fold(Spot::new(0.0, 0.0), |sum, s| {
        Spot::new(sum.x + 0.25 * s.x, sum.y + 0.25 * s.y)
    });
    // Round the middle with y up, without angles: half planes first, then which is further round.
    let from = |k: usize| (four[k].x - middle.x, middle.y - four[k].y);
    let is_lower = |k: usize| {
        let (x, y) = from(k);
        y < 0.0 || (y == 0.0 && x < 0.0)
    };
    let is_before = |a: usize, b: usize| {
        let ((ax, ay), (bx, by)) = (from(a), from(b));
        if is_lower(a) == is_lower(b) {
            ax * by - ay * bx > 0.0
        } else {
            is_lower(a)
        }
    };
    let mut ring = vec![0];
    for k in 1..4 {
        let at = ring.iter().position(|&r| is_before(k, r));
        ring.insert(at.unwrap_or(ring.len()), k);
    }
    let side = |k: usize| four[ring[k % 4]].distance(four[ring[(k + 1) % 4]]);
    let widest = asked.right_width.unwrap_or(0.0).max(asked.width);
    if (side(0) + side(2) >= side(1) + side(3)) != (asked.length >= widest) {
        ring.rotate_left(1);
    }
    if !leads_right(four[ring[0]], four[ring[1]]) {
        ring.rotate_left(2);
    }
    ring.rotate_left(asked.turned as usize % 4);
    ring
}

/// Whether a line leads to the right, or up where it is rather upright.
fn leads_right(a: Spot, b: Spot) -> bool {
    let (right, down) = (b.x - a.x, b.y - a.y);
    if right.abs() >= down.abs() {
        right >= 0.0
    } else {
        down < 0.0
    }
}
