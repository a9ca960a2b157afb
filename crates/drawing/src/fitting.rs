//! Finds room for a label inside an outline.

use heartside_geometry::{Bounds, Point, Region};

use crate::pen::{Anchor, Words};
use crate::room::{Room, line_meets};
use crate::svg::Origin;
use crate::text::{LINE, shorten, text_width};

/// A label as it might be written: its lines, each of runs with classes and a size.
#[derive(Debug, Clone)]
pub(crate) struct Wording {
    pub(crate) lines: Vec<(Vec<(String, &'static str)>, f64)>,
}

impl Wording {
    fn size(&self) -> (f64, f64) {
        let width = self
            .lines
            .iter()
            .map(|(runs, size)| runs.iter().map(|(t, _)| text_width(t, *size)).sum::<f64>());
        let height = self.lines.iter().map(|(_, size)| LINE * size).sum();
        (width.fold(0.0, f64::max), height)
    }

    fn scaled(&self, by: f64) -> Wording {
        Wording {
            lines: self
                .lines
                .iter()
                .map(|(runs, size)| (runs.clone(), size * by))
                .collect(),
        }
    }

    /// The same with the longest run of each line shortened, so that no line is wider.
    pub(crate) fn no_wider(&self, most: f64) -> Wording {
        let mut shortened = self.scaled(1.0);
        for (runs, size) in &mut shortened.lines {
            let width: f64 = runs.iter().map(|(text, _)| text_width(text, *size)).sum();
            let longest = runs.iter_mut().max_by_key(|(text, _)| text.len());
            if let Some((text, _)) = longest.filter(|_| width > most) {
                *text = shorten(text, *size, text_width(text, *size) + most - width);
            }
        }
        shortened
    }

    /// The lines round a middle, lying or turned.
    pub(crate) fn at(&self, middle: Point, turned: bool) -> Vec<Words> {
        let (_, height) = self.size();
        let mut offset = -height / 2.0;
        self.lines
            .iter()
            .map(|(runs, size)| {
                let along = offset + LINE * size / 2.0;
                offset += LINE * size;
                let middle = if turned {
                    Point {
                        x: middle.x + along,
                        y: middle.y,
                    }
                } else {
                    Point {
                        x: middle.x,
                        y: middle.y + along,
                    }
                };
                Words {
                    runs: runs.clone(),
                    middle,
                    size: *size,
                    turned,
                    anchor: Anchor::Middle,
                    halo: None,
                }
            })
            .collect()
    }
}

/// Shrinking below this, text is no longer read at arm's length.
const SMALLEST: f64 = 0.74;

/// The first wording that finds a free place wholly inside a region (given in the board's
/// frame): lying before turned, large before small, near the low-x side before further on.
pub(crate) fn fit_inside(
    wordings: &[Wording],
    region: &Region,
    origin: Origin,
    room: &Room,
    inset: f64,
) -> Option<Vec<Words>> {
    for scale in [1.0, 0.86, SMALLEST] {
        for wording in wordings {
            let wording = wording.scaled(scale);
            if scale < 1.0
                && wording
                    .lines
                    .iter()
                    .any(|(_, size)| *size < room.least_type)
            {
                continue;
            }
            for turned in [false, true] {
                let (long, high) = wording.size();
                let (w, h) = if turned { (high, long) } else { (long, high) };
                if let Some(middle) = free_place(w, h, region, origin, room, inset) {
                    return Some(wording.at(middle, turned));
                }
            }
        }
    }
    None
}

/// The middle (in the drawing) of a box of a size that lies in a region and meets nothing taken.
pub(crate) fn free_place(
    w: f64,
    h: f64,
    region: &Region,
    origin: Origin,
    room: &Room,
    inset: f64,
) -> Option<Point> {
    let bounds = region.bounds();
    let (spare_x, spare_y) = (
        bounds.width() - w - 2.0 * inset,
        bounds.height() - h - inset / 2.0,
    );
    if spare_x < 0.0 || spare_y < 0.0 {
        return None;
    }
    let centre = bounds.centre();
    for dx in [0.0, 0.06, 0.12, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0] {
        for dy in [0.0, 0.25, -0.25, 0.5, -0.5] {
            let middle = Point {
                x: bounds.min.x + inset + w / 2.0 + dx * spare_x,
                y: centre.y + dy * spare_y,
            };
            let own = around(middle, w, h);
            if is_within(region, &own) && room.is_clear(&around(origin.map(middle), w, h)) {
                return Some(origin.map(middle));
            }
        }
    }
    None
}

/// The box of a size round a middle.
pub(crate) fn around(middle: Point, w: f64, h: f64) -> Bounds {
    Bounds {
        min: Point {
            x: middle.x - w / 2.0,
            y: middle.y - h / 2.0,
        },
        max: Point {
            x: middle.x + w / 2.0,
            y: middle.y + h / 2.0,
        },
    }
}

/// True where a box lies wholly inside a region, in one frame. O(edges).
pub(crate) fn is_within(region: &Region, own: &Bounds) -> bool {
    // A hair smaller, so that a label may touch its outline.
    let own = own.grown(-1e-6);
    region.contains(own.centre()) && region.edges().all(|(a, b)| !line_meets(&own, a, b))
}

/// A point well inside a region: where a leader may end.
pub(crate) fn pole(region: &Region) -> Point {
    heartside_geometry::poles_of_inaccessibility(region, 0.3, 1)
        .first()
        .map_or_else(|| region.bounds().centre(), |c| c.centre)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_name_is_shortened_and_its_size_stays() {
        let size = ("  700 × 84".to_owned(), "hs-size");
        let runs = vec![("Rail ".repeat(60), "hs-name"), size.clone()];
        let other = (vec![("Leg".to_owned(), "hs-name")], 3.0);
        let long = Wording {
            lines: vec![(runs, 2.0), other.clone()],
        };
        let short = long.no_wider(90.0);
        assert!(short.size().0 <= 90.0);
        let name = &short.lines[0].0[0].0;
        assert!(name.starts_with("Rail Rail") && name.ends_with('…'));
        assert_eq!(short.lines[0].0[1], size);
        assert_eq!(short.lines[1], other);
        assert_eq!(long.no_wider(1e6).lines, long.lines);
    }
}
