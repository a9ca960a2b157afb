//! Pixels that belong together, and medians along a line.

/// A picture of what counts and what does not, in rows.
#[derive(Debug, Clone)]
pub(crate) struct Mask {
    pub(crate) width: usize,
    pub(crate) counts: Vec<bool>,
}

impl Mask {
    /// Gaps of up to twice `reach` pixels closed, both ways: grown by so much and shrunk again (Serra 1982).
    pub(crate) fn closed(&self, reach: usize) -> Mask {
        self.grown(reach, true).grown(reach, false)
    }

    /// What counts (or what does not) reaches so far further, along rows and along columns.
    fn grown(&self, reach: usize, what: bool) -> Mask {
        let mut mask = self.clone();
        let height = self.counts.len() / self.width.max(1);
        for (stride, length) in [(1, self.width), (self.width, height)] {
            let old = mask.counts.clone();
            for at in (0..old.len()).filter(|at| old[*at] == what) {
                let place = at / stride % length;
                for to in place.saturating_sub(reach)..(place + reach + 1).min(length) {
                    mask.counts[at + to * stride - place * stride] = what;
                }
            }
        }
        mask
    }

    /// The pixels of every area, as column and row; corners join pixels too if `corners` is set. Areas come
    /// in the order of their first pixels. O(pixels) time.
    pub(crate) fn areas(&self, corners: bool) -> Vec<Vec<(usize, usize)>> {
        let mut open = self.clone();
        let starts = (0..open.counts.len()).filter_map(|start| open.take_area(start, corners));
        starts.collect()
    }

    /// The pixels of the area that a pixel belongs to, which count no more from then on; none if the pixel
    /// does not count. O(pixels of the area) time.
    pub(crate) fn take_area(&mut self, start: usize, corners: bool) -> Option<Vec<(usize, usize)>> {
        let (width, height) = (self.width, self.counts.len() / self.width.max(1));
        let open = &mut self.counts;
        if !std::mem::take(open.get_mut(start)?) {
            return None;
        }
        let mut area = vec![(start % width, start / width)];
        let mut next = 0;
        while let Some(&(column, row)) = area.get(next) {
            next += 1;
            for r in row.saturating_sub(1)..(row + 2).min(height) {
                for c in column.saturating_sub(1)..(column + 2).min(width) {
                    let is_beside = corners || r == row || c == column;
                    if is_beside && std::mem::take(&mut open[r * width + c]) {
                        area.push((c, r));
                    }
                }
            }
        }
        Some(area)
    }
}

/// The median of the bytes within `radius` of each place of a line, the outermost bytes going on beyond it:
/// counts that move along (Huang, Yang & Tang 1979).
pub(crate) fn medians(line: &[u8], radius: usize, mut put: impl FnMut(usize, u8)) {
    let Some(last) = line.len().checked_sub(1) else {
        return;
    };
    let at = |place: isize| line[place.clamp(0, last as isize) as usize];
    let reach = radius as isize;
    let mut counts = [0_usize; 256];
    for place in -reach..=reach {
        counts[usize::from(at(place))] += 1;
    }
    // So many lie below the median at present.
    let (mut median, mut below) = (0_usize, 0_usize);
    for place in 0..=last {
        while below > radius {
            median -= 1;
            below -= counts[median];
        }
        while below + counts[median] <= radius {
            below += counts[median];
            median += 1;
        }
        put(place, median as u8);
        let (gone, new) = (
            usize::from(at(place as isize - reach)),
            usize::from(at(place as isize + reach + 1)),
        );
        counts[gone] -= 1;
        counts[new] += 1;
        below = below + usize::from(new < median) - usize::from(gone < median);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mask(rows: &[&str]) -> Mask {
        Mask {
            width: rows[0].len(),
            counts: rows.concat().bytes().map(|byte| byte == b'#').collect(),
        }
    }

    #[test]
    fn areas_join_at_sides_or_at_corners_too() {
        let mask = mask(&["##..", "..#.", "#..#"]);
        let sizes = |corners| -> Vec<usize> { mask.areas(corners).iter().map(Vec::len).collect() };
        assert_eq!(sizes(false), [2, 1, 1, 1]);
        assert_eq!(sizes(true), [4, 1]);
    }

    #[test]
    fn an_area_is_taken_once_from_any_of_its_pixels() {
        let whole = mask(&["##..", "..#.", "#.##"]);
        for start in [6, 10, 11] {
            let mut mask = whole.clone();
            let mut area = mask.take_area(start, false).expect("it counts");
            area.sort_unstable();
            assert_eq!(area, [(2, 1), (2, 2), (3, 2)]);
            assert_eq!(mask.take_area(start, false), None);
            assert_eq!(mask.areas(false).len(), 2);
        }
        let mut mask = whole;
        assert_eq!(mask.take_area(3, true), None, "it does not count");
        assert_eq!(mask.take_area(99, true), None, "it is not there");
    }

    #[test]
    fn gaps_are_closed_and_nothing_else_grows() {
        let rows = [".......", ".......", "##..###", ".......", "......."];
        let closed = mask(&rows).closed(1);
        let mut filled = rows;
        filled[2] = "#######";
        assert_eq!(closed.counts, mask(&filled).counts);
    }

    #[test]
    fn medians_are_those_of_sorted_windows() {
        let line: Vec<u8> = (0..40_u8).map(|k| k.wrapping_mul(97) ^ (k << 3)).collect();
        for radius in [0, 1, 3, 50] {
            medians(&line, radius, |place, median| {
                let reach = radius as isize;
                let mut near: Vec<u8> = (-reach..=reach)
                    .map(|by| line[(place as isize + by).clamp(0, 39) as usize])
                    .collect();
                near.sort_unstable();
                assert_eq!(median, near[radius], "at {place}, radius {radius}");
            });
        }
    }
}
