//! Marks before a view is sought: what keeps them from determining one.

use heartside_geometry::Point;

use crate::{Mark, Remark, Spot};

/// Far beyond any board in millimetres and any picture in pixels; squares and products of it are exact
/// enough.
pub(crate) const BEYOND: f64 = 1e6;

/// Every three marks are looked at, so their number is bounded.
const MOST_MARKS: usize = 40;

/// Marks that are nearer than a click can tell are one, in pixels.
const SAME: f64 = 1.0;

/// Nearer than this in pixels, and half a pixel is more than two hundredths of the way between.
const CLOSE: f64 = 24.0;

/// Marks less than this off a line do not tell which side of it they are on, in pixels.
const OFF_LINE: f64 = 2.0;

/// What keeps marks from being used at all, one by one.
pub(crate) fn unusable(marks: &[Mark]) -> Vec<Remark> {
    let given = marks.len();
    if given < 2 {
        return vec![Remark::TooFew { given }];
    }
    if given > MOST_MARKS {
        let most = MOST_MARKS;
        return vec![Remark::TooMany { given, most }];
    }
    let is_number = |m: &Mark| {
        let numbers = [m.seen.x, m.seen.y, m.place.x, m.place.y];
        numbers.iter().all(|n| n.abs() < BEYOND)
    };
    let mut remarks: Vec<Remark> = (0..given)
        .filter(|&mark| !is_number(&marks[mark]))
        .map(|mark| Remark::NotANumber { mark })
        .collect();
    if remarks.is_empty() {
        remarks.extend(pairs(given).filter_map(|[a, b]| {
            let is_one = marks[a].seen.distance(marks[b].seen) < SAME
                || marks[a].place.distance(marks[b].place) < 1e-3;
            is_one.then_some(Remark::SamePlace { marks: [a, b] })
        }));
    }
    remarks
}

/// Marks so near each other that a pixel counts for much.
pub(crate) fn close_together(marks: &[Mark]) -> impl Iterator<Item = Remark> {
    pairs(marks.len()).filter_map(move |[a, b]| {
        let apart = marks[a].seen.distance(marks[b].seen);
        let marks = [a, b];
        (apart < CLOSE).then_some(Remark::CloseTogether { marks, apart })
    })
}

/// What is wrong with how the marks lie to each other.
///
/// A camera sees a plane it looks at without turning any three of its places over, so every three marks
/// run round one way in the picture and the other way (its y runs down) on the board.
/// `misfit` tells of some of the marks how badly they fit each other, 1 being the most that pixels explain.
pub(crate) fn out_of_order(marks: &[Mark], misfit: impl Fn(&[Mark]) -> f64) -> Option<Remark> {
    let turns = |marks: &[Mark]| -> [usize; 2] {
        let all = triples(marks.len()).map(|triple| turn(triple.map(|k| marks[k])));
        all.fold([0, 0], |[right, wrong], turn| match turn {
            Some(true) => [right + 1, wrong],
            Some(false) => [right, wrong + 1],
            None => [right, wrong],
        })
    };
    let [right, wrong] = turns(marks);
    if wrong == 0 {
        return None;
    }
    if right == 0 {
        return Some(Remark::Mirrored);
    }
    let without = |left_out: usize| {
        let mut rest = marks.to_vec();
        rest.remove(left_out);
        rest
    };
    let mended = pairs(marks.len()).find(|&[a, b]| {
        let mut exchanged = marks.to_vec();
        (exchanged[a].place, exchanged[b].place) = (marks[b].place, marks[a].place);
        turns(&exchanged)[1] == 0
    });
    if mended.is_some() || marks.len() < 5 {
        return Some(Remark::Crossed { exchanged: mended });
    }
    // Where the rest fits without either of two marks, nobody knows which it is.
    let mut misplaced = (0..marks.len()).filter(|&k| {
        let rest = without(k);
        turns(&rest)[1] == 0 && misfit(&rest) <= 1.0
    });
    Some(match (misplaced.next(), misplaced.next()) {
        (Some(mark), None) => Remark::Misplaced { mark },
        _ => Remark::Crossed { exchanged: None },
    })
}

/// Whether all marks, or all but one, lie in one line: then they do not determine a homography.
pub(crate) fn are_in_line(marks: &[Mark]) -> bool {
    (0..marks.len()).any(|left_out| {
        triples(marks.len())
            .filter(|triple| !triple.contains(&left_out))
            .all(|triple| turn(triple.map(|k| marks[k])).is_none())
    })
}

/// Whether three marks run round as they should; none where they are too near one line to tell.
fn turn(marks: [Mark; 3]) -> Option<bool> {
    let [a, b, c] = marks.map(|m| m.place);
    let [p, q, r] = marks.map(|m| upright(m.seen));
    let on_board = (b - a).cross(c - a);
    let in_picture = (q - p).cross(r - p);
    let longest =
        |a: Point, b: Point, c: Point| a.distance(b).max(b.distance(c)).max(c.distance(a));
    // The height of the triangle over its longest side.
    let is_clear = in_picture.abs() > OFF_LINE * longest(p, q, r)
        && on_board.abs() > 1e-4 * longest(a, b, c) * longest(a, b, c);
    is_clear.then_some((on_board > 0.0) == (in_picture > 0.0))
}

/// A spot with y up, as on the board.
fn upright(spot: Spot) -> Point {
    Point::new(spot.x, -spot.y)
}

fn pairs(n: usize) -> impl Iterator<Item = [usize; 2]> {
    (0..n).flat_map(move |a| (a + 1..n).map(move |b| [a, b]))
}

fn triples(n: usize) -> impl Iterator<Item = [usize; 3]> {
    pairs(n).flat_map(move |[a, b]| (b + 1..n).map(move |c| [a, b, c]))
}
