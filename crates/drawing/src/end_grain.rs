//! The ends of a board with the rings that are seen on them.

use heartside_geometry::{Bounds, Point};
use heartside_timber::document::HeartSide;
use heartside_timber::job::{Board, RingRun};

use crate::pen::Pen;
use crate::svg::number;

/// An end as it is drawn, in units of the pen.
const WIDE: f64 = 8.0;
const HIGH: f64 = 2.8;

/// "heart side up, quartersawn": what is known of the heart and the rings.
pub(crate) fn end_words(board: &Board) -> Option<String> {
    let heart = match board.heart_side {
        HeartSide::Up => Some("heart side up".to_owned()),
        HeartSide::Down => Some("heart side down".to_owned()),
        HeartSide::Unknown => None,
    };
    let run = |run| match run {
        RingRun::Unknown => None,
        RingRun::Flat => Some("flatsawn"),
        RingRun::Rift => Some("riftsawn"),
        RingRun::Quarter => Some("quartersawn"),
        RingRun::BoxedHeart => Some("heart boxed"),
    };
    let [start, far] = board.rings.map(run);
    let rings = match (start, far) {
        (Some(start), Some(far)) if start == far => Some(start.to_owned()),
        _ => {
            let start = start.map(|words| format!("{words} at the start end"));
            let far = far.map(|words| format!("{words} at the far end"));
            let both: Vec<String> = start.into_iter().chain(far).collect();
            (!both.is_empty()).then(|| both.join(", "))
        }
    };
    let all: Vec<String> = heart.into_iter().chain(rings).collect();
    (!all.is_empty()).then(|| all.join(", "))
}

/// Whether its two ends are known and differ.
fn ends_differ(board: &Board) -> bool {
    let [start, far] = board.rings;
    start != far && !board.rings.contains(&RingRun::Unknown)
}

/// The ends of a board, the left edge of the first at a place: the start end, and the far end beside
/// it where that is otherwise. Gives their right edge.
pub(crate) fn ends(pen: &mut Pen, board: &Board, left: Point) -> f64 {
    let [start, far] = board.rings;
    let first = if start == RingRun::Unknown {
        far
    } else {
        start
    };
    let u = pen.unit;
    let shown = [Some(first), ends_differ(board).then_some(far)];
    let mut x = left.x;
    for run in shown.into_iter().flatten() {
        let middle = Point {
            x: x + WIDE * u / 2.0,
            y: left.y,
        };
        end(pen, run, board.heart_side, middle);
        x += (WIDE + 1.0) * u;
    }
    x - u
}

/// How wide [`ends`] draws them, in units of the pen.
pub(crate) fn ends_wide(board: &Board) -> f64 {
    if ends_differ(board) {
        2.0 * WIDE + 1.0
    } else {
        WIDE
    }
}

/// One end with its rings.
pub(crate) fn end(pen: &mut Pen, run: RingRun, heart: HeartSide, middle: Point) {
    let u = pen.unit;
    let own = Bounds {
        min: Point {
            x: middle.x - WIDE * u / 2.0,
            y: middle.y - HIGH * u / 2.0,
        },
        max: Point {
            x: middle.x + WIDE * u / 2.0,
            y: middle.y + HIGH * u / 2.0,
        },
    };
    pen.rect("hs-ink", own, 0.0, 0.2);
    let rings = rings(run, heart, middle, u);
    if !rings.is_empty() {
        pen.path("hs-pencil", &rings, 0.18, &[]);
    }
}

/// An end with its rings as two paths, to choose from: 80 by 30 units, the wood and what is seen on it.
pub fn end_picture(run: RingRun) -> [String; 2] {
    let heart = match run {
        RingRun::Unknown => HeartSide::Unknown,
        _ => HeartSide::Down,
    };
    let rings = rings(run, heart, Point { x: 40.0, y: 15.0 }, 9.0);
    ["M4,2.4h72v25.2h-72z".to_owned(), rings]
}

/// The rings on an end round its middle. Along the faces they arch away from the heart; while it is
/// not known where that was they are drawn flat.
fn rings(run: RingRun, heart: HeartSide, middle: Point, u: f64) -> String {
    let (top, bottom) = (middle.y - HIGH * u / 2.0, middle.y + HIGH * u / 2.0);
    let n = number;
    let mut d = String::new();
    match run {
        RingRun::Unknown | RingRun::Flat if heart != HeartSide::Unknown => {
            let (foot, rise) = match heart {
                HeartSide::Up => (top, 1.0),
                _ => (bottom, -1.0),
            };
            for reach in [0.95, 2.0, 3.3] {
                let deep = (reach * 0.8_f64).min(2.6);
                d.push_str(&format!(
                    "M{},{}Q{},{} {},{}",
                    n(middle.x - reach * u),
                    n(foot),
                    n(middle.x),
                    n(foot + rise * deep * 1.9 * u * 0.5),
                    n(middle.x + reach * u),
                    n(foot)
                ));
            }
        }
        RingRun::Unknown => {}
        RingRun::Flat => {
            for k in [-0.7, 0.0, 0.7] {
                let (x, y) = (middle.x - WIDE * u / 2.0, middle.y + k * u);
                d.push_str(&format!("M{},{}h{}", n(x), n(y), n(WIDE * u)));
            }
        }
        RingRun::Rift | RingRun::Quarter => {
            let lean = if run == RingRun::Rift { HIGH * u } else { 0.0 };
            let room = WIDE * u - lean;
            for k in 1..8 {
                let x = middle.x - WIDE * u / 2.0 + room * f64::from(k) / 8.0;
                d.push_str(&format!(
                    "M{},{}L{},{}",
                    n(x),
                    n(bottom),
                    n(x + lean),
                    n(top)
                ));
            }
        }
        RingRun::BoxedHeart => {
            for r in [0.25, 0.65, 1.1] {
                d.push_str(&format!(
                    "M{left},{y}a{r},{r} 0 1 0 {across},0a{r},{r} 0 1 0 -{across},0",
                    left = n(middle.x - r * u),
                    y = n(middle.y),
                    r = n(r * u),
                    across = n(2.0 * r * u)
                ));
            }
            for r in [1.8, 2.6, 3.4] {
                let reach = (r * r - HIGH * HIGH / 4.0_f64).sqrt() * u;
                for (side, sweep) in [(1.0, 1), (-1.0, 0)] {
                    d.push_str(&format!(
                        "M{x},{}A{r},{r} 0 0 {sweep} {x},{}",
                        n(top),
                        n(bottom),
                        x = n(middle.x + side * reach),
                        r = n(r * u)
                    ));
                }
            }
        }
    }
    d
}

#[cfg(test)]
mod tests {
    use heartside_testkit::by_hand;
    use heartside_timber::document::EdgeKind;

    use super::*;

    #[test]
    fn every_way_of_rings_has_a_picture_and_words_of_its_own() {
        let all = [
            RingRun::Flat,
            RingRun::Rift,
            RingRun::Quarter,
            RingRun::BoxedHeart,
        ];
        let mut seen: Vec<(String, String)> = Vec::new();
        for run in all {
            let outline = by_hand::rectangle(1000.0, 200.0);
            let mut board = by_hand::board("A", outline, |_, _| EdgeKind::Raw);
            assert_eq!(end_words(&board), None);
            board.rings = [run, run];
            let pair = (end_picture(run)[1].clone(), end_words(&board).unwrap());
            assert!(!pair.0.contains("NaN") && !pair.0.is_empty());
            assert!(seen.iter().all(|s| s.0 != pair.0 && s.1 != pair.1));
            seen.push(pair);
            board.heart_side = HeartSide::Up;
            board.rings = [run, RingRun::Unknown];
            let words = end_words(&board).unwrap();
            assert!(words.starts_with("heart side up, ") && words.ends_with(" at the start end"));
        }
    }
}
