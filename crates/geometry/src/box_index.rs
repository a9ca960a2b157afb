//! An index of boxes that come and go: the one file that speaks to the `rstar` library.

use rstar::{AABB, RTree, RTreeObject};

use crate::Bounds;
use crate::arrange::Arrange;

/// Things with keys, found by the boxes that they lie in.
///
/// Inserting, removing and asking cost about O(log n) each, plus what is found. Answers come
/// in the order of their keys, whatever the order of insertion.
#[derive(Debug, Clone)]
pub struct BoxIndex<T: Ord + Clone> {
    tree: RTree<Entry<T>>,
}

#[derive(Debug, Clone, PartialEq)]
struct Entry<T> {
    bounds: Bounds,
    key: T,
}

impl<T> RTreeObject for Entry<T> {
    type Envelope = AABB<[f64; 2]>;
    fn envelope(&self) -> Self::Envelope {
        envelope(&self.bounds)
    }
}

fn envelope(bounds: &Bounds) -> AABB<[f64; 2]> {
    AABB::from_corners([bounds.min.x, bounds.min.y], [bounds.max.x, bounds.max.y])
}

impl<T: Ord + Clone> Default for BoxIndex<T> {
    fn default() -> Self {
        BoxIndex::new()
    }
}

impl<T: Ord + Clone> BoxIndex<T> {
    /// An index of nothing.
    pub fn new() -> BoxIndex<T> {
        BoxIndex { tree: RTree::new() }
    }

    /// An index of many things at once, faster than one by one. Boxes that are empty or not
    /// finite are left out, since no box can meet them.
    pub fn of(entries: impl IntoIterator<Item = (Bounds, T)>) -> BoxIndex<T> {
        let entries = entries
            .into_iter()
            .filter(|(bounds, _)| is_sound(bounds))
            .map(|(bounds, key)| Entry { bounds, key })
            .collect();
        BoxIndex {
            tree: RTree::bulk_load(entries),
        }
    }

    /// Adds a thing; the same key may be added with several boxes. False, and nothing added,
    /// if the box is empty or not finite.
    pub fn insert(&mut self, bounds: Bounds, key: T) -> bool {
        let sound = is_sound(&bounds);
        if sound {
            self.tree.insert(Entry { bounds, key });
        }
        sound
    }

    /// Removes a thing by the very box it was added with; false if it is not there.
    pub fn remove(&mut self, bounds: Bounds, key: &T) -> bool {
        is_sound(&bounds)
            && self
                .tree
                .remove(&Entry {
                    bounds,
                    key: key.clone(),
                })
                .is_some()
    }

    /// The keys of all things whose boxes meet this one (touching counts), in order.
    pub fn query(&self, bounds: &Bounds) -> Vec<T> {
        if !is_sound(bounds) {
            return Vec::new();
        }
        let mut found: Vec<T> = self
            .tree
            .locate_in_envelope_intersecting(envelope(bounds))
            .map(|entry| entry.key.clone())
            .collect();
        found.arrange();
        found.dedup();
        found
    }

    /// How many boxes the index holds.
    pub fn len(&self) -> usize {
        self.tree.size()
    }

    /// Whether the index holds nothing.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }
}

/// The library refuses numbers that are not finite by panicking, long after they came in.
fn is_sound(bounds: &Bounds) -> bool {
    bounds.min.is_finite() && bounds.max.is_finite() && !bounds.is_empty()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Point;
    use crate::Vector;

    #[test]
    fn answers_come_in_the_order_of_keys() {
        let cell = |x: f64, y: f64| Bounds::of_size(1.0, 1.0).translated(Vector::new(x, y));
        let mut index = BoxIndex::new();
        for k in (0..100u32).rev() {
            assert!(index.insert(cell(f64::from(k % 10), f64::from(k / 10)), k));
        }
        let middle = Bounds::new(Point::new(2.2, 3.2), Point::new(3.8, 4.8));
        assert_eq!(index.query(&middle), vec![32, 33, 42, 43]);
        assert!(index.remove(cell(3.0, 3.0), &33));
        assert!(!index.remove(cell(3.0, 3.0), &33));
        assert_eq!(index.query(&middle), vec![32, 42, 43]);
        assert_eq!(index.len(), 99);
    }

    #[test]
    fn boxes_that_are_no_boxes_are_refused() {
        let mut index = BoxIndex::new();
        assert!(!index.insert(Bounds::EMPTY, 1u32));
        let nan = Bounds {
            min: Point::new(f64::NAN, 0.0),
            max: Point::new(1.0, 1.0),
        };
        assert!(!index.insert(nan, 1));
        assert!(index.query(&nan).is_empty());
        let bulk = BoxIndex::of([(Bounds::EMPTY, 1u32), (Bounds::of_size(1.0, 1.0), 2)]);
        assert_eq!(bulk.query(&Bounds::of_size(9.0, 9.0)), vec![2]);
    }
}
