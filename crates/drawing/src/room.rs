//! Which places of a drawing are taken: labels never lie on one another.

use heartside_geometry::{Arrange, Bounds, Point, SortedMap};

/// What lies at a place of the drawing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Taken {
    /// Text.
    Label,
    /// The board: words of its parts and zones stand on it, words from elsewhere keep off.
    Ground,
    /// A blank or a flaw so small that a number would hide it: numbers keep off it where they can.
    Small,
    /// Another board, or its name: nothing of this one stands on it or crosses it.
    Other,
    /// Something that text from elsewhere should keep off, such as a board or a blank.
    Body,
}

/// The taken places, in drawing coordinates.
///
/// Boxes and leaders are kept by upright strips of the drawing, so that asking about one
/// place looks only at what is near it.
#[derive(Debug, Clone)]
pub(crate) struct Room {
    boxes: Vec<(Taken, Bounds)>,
    leaders: Vec<(Point, Point)>,
    box_strips: Strips,
    leader_strips: Strips,
    /// Type smaller than this is not written here, in the drawing's unit.
    pub(crate) least_type: f64,
}

impl Default for Room {
    fn default() -> Room {
        Room::with_strips(100.0)
    }
}

impl Room {
    /// Nothing is taken; strips are as wide as given, best about half a label.
    pub(crate) fn with_strips(width: f64) -> Room {
        Room {
            boxes: Vec::new(),
            leaders: Vec::new(),
            box_strips: Strips::new(width),
            leader_strips: Strips::new(width),
            least_type: 0.0,
        }
    }

    /// Takes a box.
    pub(crate) fn take(&mut self, what: Taken, bounds: Bounds) {
        self.box_strips
            .put(self.boxes.len(), bounds.min.x, bounds.max.x);
        self.boxes.push((what, bounds));
    }

    /// Takes a leader's line.
    pub(crate) fn take_leader(&mut self, from: Point, to: Point) {
        self.leader_strips
            .put(self.leaders.len(), from.x.min(to.x), from.x.max(to.x));
        self.leaders.push((from, to));
    }

    /// Boxes whose strips a stretch of x meets; some may come more than once.
    fn near(&self, from: f64, to: f64) -> impl Iterator<Item = &(Taken, Bounds)> {
        self.box_strips
            .within(from, to)
            .map(|place| &self.boxes[place])
    }

    fn meets(&self, bounds: &Bounds, counts: impl Fn(Taken) -> bool) -> bool {
        self.near(bounds.min.x, bounds.max.x)
            .any(|(what, taken)| counts(*what) && overlaps(bounds, taken))
    }

    fn meets_leader(&self, bounds: &Bounds) -> bool {
        self.leader_strips
            .within(bounds.min.x, bounds.max.x)
            .any(|place| {
                let (a, b) = self.leaders[place];
                line_meets(bounds, a, b)
            })
    }

    /// True where a label's box meets no other label and no leader.
    pub(crate) fn is_free(&self, bounds: &Bounds) -> bool {
        !self.meets(bounds, |what| matches!(what, Taken::Label | Taken::Other))
            && !self.meets_leader(bounds)
    }

    /// True where a label's box meets neither labels, leaders nor bodies; it may stand on the ground.
    pub(crate) fn is_clear(&self, bounds: &Bounds) -> bool {
        !self.meets(bounds, |what| what != Taken::Ground) && !self.meets_leader(bounds)
    }

    /// As [`Room::is_clear`], and off the ground too.
    pub(crate) fn is_clear_outside(&self, bounds: &Bounds) -> bool {
        !self.meets(bounds, |_| true) && !self.meets_leader(bounds)
    }

    /// True where a leader crosses no label.
    pub(crate) fn leader_is_free(&self, from: Point, to: Point) -> bool {
        self.crossed(from, to) == 0
    }

    /// How many labels and other boards a leader crosses.
    pub(crate) fn crossed(&self, from: Point, to: Point) -> usize {
        let mut places: Vec<usize> = self
            .box_strips
            .within(from.x.min(to.x), from.x.max(to.x))
            .filter(|place| {
                let (what, taken) = &self.boxes[*place];
                // A little wider than high text: a line that grazes a word strikes it through.
                matches!(what, Taken::Label | Taken::Other)
                    && line_meets(&taken.grown(0.06 * taken.height()), from, to)
            })
            .collect();
        places.arrange();
        places.dedup();
        places.len()
    }

    /// True where a box hides no small blank.
    pub(crate) fn spares_small(&self, bounds: &Bounds) -> bool {
        !self.meets(bounds, |what| what == Taken::Small)
    }

    /// The boxes of all labels.
    pub(crate) fn labels(&self) -> impl Iterator<Item = &Bounds> {
        self.boxes
            .iter()
            .filter(|(what, _)| *what == Taken::Label)
            .map(|(_, b)| b)
    }

    /// The least box round everything taken that is this board's.
    pub(crate) fn extent(&self) -> Option<Bounds> {
        let points = self.leaders.iter().flat_map(|(a, b)| [*a, *b]);
        Bounds::of_points(
            self.boxes
                .iter()
                .filter(|(what, _)| *what != Taken::Other)
                .flat_map(|(_, b)| [b.min, b.max])
                .chain(points),
        )
    }
}

/// Places in a list by upright strips of the drawing.
#[derive(Debug, Clone)]
struct Strips {
    width: f64,
    strips: SortedMap<i64, Vec<usize>>,
    /// What reaches over so many strips that it is looked at always.
    wide: Vec<usize>,
}

/// Over more strips than this a thing is wide: putting it in each would cost more than it saves.
const WIDE: i64 = 40;

impl Strips {
    fn new(width: f64) -> Strips {
        Strips {
            width: width.max(1e-6),
            strips: SortedMap::new(),
            wide: Vec::new(),
        }
    }

    fn strip(&self, x: f64) -> i64 {
        // A cast holds what is not finite at the ends of the range.
        (x / self.width).floor() as i64
    }

    fn put(&mut self, place: usize, from: f64, to: f64) {
        // One strip more on either side: labels are asked about a little larger than they are.
        let (first, last) = (
            self.strip(from).saturating_sub(1),
            self.strip(to).saturating_add(1),
        );
        if last.saturating_sub(first) > WIDE {
            self.wide.push(place);
        } else {
            for strip in first..=last {
                self.strips.entry(strip).or_default().push(place);
            }
        }
    }

    fn within(&self, from: f64, to: f64) -> impl Iterator<Item = usize> {
        let (first, last) = (self.strip(from), self.strip(to).max(self.strip(from)));
        self.strips
            .range(first..=last)
            .flat_map(|(_, places)| places)
            .chain(&self.wide)
            .copied()
    }
}

/// True where the insides of two boxes meet.
pub(crate) fn overlaps(a: &Bounds, b: &Bounds) -> bool {
    a.min.x < b.max.x && b.min.x < a.max.x && a.min.y < b.max.y && b.min.y < a.max.y
}

/// The stretch of a line within a box, as shares of the way from `a` to `b`; none where it has no length in it.
///
/// Clipped by each side in turn (Liang & Barsky 1984).
pub(crate) fn stretch_within(bounds: &Bounds, a: Point, b: Point) -> Option<(f64, f64)> {
    let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
    let sides = [
        (b.x - a.x, bounds.min.x - a.x, bounds.max.x - a.x),
        (b.y - a.y, bounds.min.y - a.y, bounds.max.y - a.y),
    ];
    for (step, low, high) in sides {
        if step == 0.0 {
            if low > 0.0 || high < 0.0 {
                return None;
            }
            continue;
        }
        let (first, last) = (low / step, high / step);
        enter = enter.max(first.min(last));
        leave = leave.min(first.max(last));
    }
    (enter < leave).then_some((enter, leave))
}

/// True where a line passes through the inside of a box; one along its edge does not.
pub(crate) fn line_meets(bounds: &Bounds, a: Point, b: Point) -> bool {
    let beside =
        |at: f64, along: f64, low: f64, high: f64| along == 0.0 && (at <= low || at >= high);
    let is_beside = beside(a.x, b.x - a.x, bounds.min.x, bounds.max.x)
        || beside(a.y, b.y - a.y, bounds.min.y, bounds.max.y);
    !is_beside && stretch_within(bounds, a, b).is_some()
}

/// Places of labels along a line: as near as possible to where they are wanted, each at
/// least `gap` from the one before, in the same order.
///
/// Least squares by pooling neighbours that would collide (isotonic regression; Barlow et
/// al. 1972). `wanted` is in rising order. O(n).
pub(crate) fn spread(wanted: &[f64], gap: f64) -> Vec<f64> {
    // Pools: first index, count, sum of (wanted - gap x place in the list).
    let mut pools: Vec<(usize, usize, f64)> = Vec::new();
    for (place, value) in wanted.iter().enumerate() {
        let mut pool = (place, 1, value - gap * place as f64);
        while let Some(last) = pools.last() {
            if last.2 / last.1 as f64 <= pool.2 / pool.1 as f64 {
                break;
            }
            pool = (last.0, last.1 + pool.1, last.2 + pool.2);
            pools.pop();
        }
        pools.push(pool);
    }
    let mut places = vec![0.0; wanted.len()];
    for (first, count, sum) in pools {
        for (offset, place) in places[first..first + count].iter_mut().enumerate() {
            *place = sum / count as f64 + gap * (first + offset) as f64;
        }
    }
    places
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bounds(x0: f64, y0: f64, x1: f64, y1: f64) -> Bounds {
        Bounds {
            min: Point { x: x0, y: y0 },
            max: Point { x: x1, y: y1 },
        }
    }

    #[test]
    fn touching_boxes_do_not_overlap() {
        assert!(!overlaps(
            &bounds(0.0, 0.0, 1.0, 1.0),
            &bounds(1.0, 0.0, 2.0, 1.0)
        ));
        assert!(overlaps(
            &bounds(0.0, 0.0, 1.1, 1.0),
            &bounds(1.0, 0.0, 2.0, 1.0)
        ));
    }

    #[test]
    fn a_line_through_a_box_is_seen_and_one_beside_it_is_not() {
        let b = bounds(0.0, 0.0, 2.0, 2.0);
        assert!(line_meets(
            &b,
            Point { x: -1.0, y: 1.0 },
            Point { x: 3.0, y: 1.0 }
        ));
        assert!(line_meets(
            &b,
            Point { x: 1.0, y: 1.0 },
            Point { x: 1.5, y: 1.2 }
        ));
        assert!(!line_meets(
            &b,
            Point { x: -1.0, y: 3.0 },
            Point { x: 3.0, y: 3.0 }
        ));
        assert!(!line_meets(
            &b,
            Point { x: 3.0, y: -1.0 },
            Point { x: 3.0, y: 3.0 }
        ));
    }

    #[test]
    fn what_is_taken_is_found_wherever_it_lies() {
        let mut room = Room::with_strips(10.0);
        room.take(Taken::Label, bounds(0.0, 0.0, 5.0, 2.0));
        room.take(Taken::Body, bounds(-3000.0, 10.0, 3000.0, 12.0));
        room.take_leader(Point { x: 40.0, y: 0.0 }, Point { x: 90.0, y: 50.0 });
        assert!(
            !room.is_free(&bounds(4.0, 1.0, 30.0, 3.0))
                && room.is_free(&bounds(5.0, 0.0, 30.0, 3.0))
        );
        let far = bounds(2500.0, 11.0, 2510.0, 13.0);
        assert!(room.is_free(&far) && !room.is_clear(&far));
        assert!(!room.is_free(&bounds(60.0, 20.0, 70.0, 30.0)));
        assert_eq!(
            room.crossed(Point { x: -20.0, y: 1.0 }, Point { x: 200.0, y: 1.0 }),
            1
        );
    }

    #[test]
    fn labels_are_spread_no_nearer_than_the_gap_and_stay_where_they_can() {
        assert_eq!(spread(&[0.0, 10.0, 20.0], 5.0), vec![0.0, 10.0, 20.0]);
        assert_eq!(spread(&[0.0, 0.0], 4.0), vec![-2.0, 2.0]);
        let places = spread(&[0.0, 1.0, 2.0, 50.0], 3.0);
        assert!(places.windows(2).all(|w| w[1] - w[0] >= 3.0 - 1e-9));
        assert_eq!(places[3], 50.0);
        assert!(spread(&[], 1.0).is_empty());
    }
}
