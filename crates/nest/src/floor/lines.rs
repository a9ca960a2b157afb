//! What a board yields at most, line by line.

use heartside_geometry::SortedMap;

/// A bound of what a board yields, and by which copies (fractions of them).
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Yield {
    pub(super) value: f64,
    pub(super) copies: Vec<f64>,
}

impl Yield {
    pub(super) fn none(parts: usize) -> Yield {
        Yield {
            value: 0.0,
            copies: vec![0.0; parts],
        }
    }
}

/// One thing that lines can meet.
#[derive(Debug, Clone, Copy)]
pub(super) struct Fill {
    /// The part's place in its group.
    pub(super) part: usize,
    /// Units that it takes of a line, at least one.
    pub(super) units: usize,
    /// Copies of the part that a millimetre of such lines takes.
    pub(super) copies_a_mm: f64,
}

/// For each fill the units where it may begin, a bit a unit.
pub(super) type Begins = Vec<Vec<u64>>;

/// Lines that count as alike.
struct Sort {
    /// How many, in millimetres.
    thick: f64,
    begins: Begins,
}

/// The lines across a board, ready to be filled at any prices.
pub(super) struct Lines {
    units: usize,
    fills: Vec<Fill>,
    sorts: Vec<Sort>,
}

/// Lines times fills that are worked through at once, so that no step takes long.
const MOST_AT_ONCE: usize = 400;
/// Sorts of lines that are kept apart at most, and at least.
const SORTS: (usize, usize) = (4, 32);

impl Lines {
    /// Lines of so many units from columns of one thickness. O(columns² x units x fills / 64).
    pub(super) fn new(units: usize, fills: Vec<Fill>, thick: f64, columns: Vec<Begins>) -> Lines {
        let mut alike: SortedMap<Begins, (usize, f64)> = SortedMap::new();
        for (place, begins) in columns.into_iter().enumerate() {
            if begins.iter().flatten().any(|b| *b != 0) {
                alike.entry(begins).or_insert((place, 0.0)).1 += thick;
            }
        }
        let mut ordered: SortedMap<usize, Sort> = SortedMap::new();
        for (begins, (place, thick)) in alike {
            ordered.insert(place, Sort { thick, begins });
        }
        let mut sorts: Vec<Sort> = ordered.into_values().collect();
        let most = (MOST_AT_ONCE / fills.len().max(1)).clamp(SORTS.0, SORTS.1);
        while sorts.len() > most {
            let loss = |k: &usize| sorts[*k].differs_from(&sorts[k + 1]);
            let Some(k) = (0..sorts.len() - 1).min_by(|a, b| loss(a).total_cmp(&loss(b))) else {
                break;
            };
            let other = sorts.remove(k + 1);
            sorts[k].join(&other);
        }
        Lines {
            units,
            fills,
            sorts,
        }
    }

    /// The most that all lines earn at these prices: on each the best row of fills, one after the other
    /// where they may begin (a knapsack by places, after Gilmore & Gomory 1966). O(sorts x units x fills).
    pub(super) fn best(&self, prices: &[f64]) -> Yield {
        let mut found = Yield::none(prices.len());
        let mut value = vec![0.0f64; self.units + 1];
        let mut by = vec![usize::MAX; self.units + 1];
        let worth: Vec<f64> = self
            .fills
            .iter()
            .map(|f| prices[f.part] * f.copies_a_mm)
            .collect();
        for sort in &self.sorts {
            let open = sort.begins.iter().zip(&worth).enumerate();
            let open: Vec<(usize, usize, f64, &[u64])> = open
                .filter(|(_, (begins, worth))| **worth > 0.0 && begins.iter().any(|b| *b != 0))
                .map(|(k, (begins, worth))| (k, self.fills[k].units, *worth, &begins[..]))
                .collect();
            for at in 1..=self.units {
                let (mut best, mut which) = (value[at - 1], usize::MAX);
                for (k, units, worth, begins) in &open {
                    if *units > at {
                        continue;
                    }
                    let from = at - units;
                    let with = value[from] + worth;
                    if with > best && begins[from / 64] >> (from % 64) & 1 == 1 {
                        (best, which) = (with, *k);
                    }
                }
                (value[at], by[at]) = (best, which);
            }
            found.value += value[self.units] * sort.thick;
            let mut left = self.units;
            while left > 0 {
                let Some(fill) = self.fills.get(by[left]) else {
                    left -= 1;
                    continue;
                };
                found.copies[fill.part] += sort.thick * fill.copies_a_mm;
                left -= fill.units;
            }
        }
        found
    }
}

impl Sort {
    /// How much more could lie on the lines if the two sorts counted as one.
    fn differs_from(&self, other: &Sort) -> f64 {
        let (mut here, mut there) = (0, 0);
        for (a, b) in self
            .begins
            .iter()
            .flatten()
            .zip(other.begins.iter().flatten())
        {
            here += (b & !a).count_ones();
            there += (a & !b).count_ones();
        }
        f64::from(here) * self.thick + f64::from(there) * other.thick
    }

    /// What may begin on either may begin on both.
    fn join(&mut self, other: &Sort) {
        self.thick += other.thick;
        for (a, b) in self
            .begins
            .iter_mut()
            .flatten()
            .zip(other.begins.iter().flatten())
        {
            *a |= b;
        }
    }
}
