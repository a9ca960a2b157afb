//! What one board gives of staves: for every number of them the most width, and where they lie.
//!
//! A board is ripped into bands between its flaws, a band is crosscut into sections as long as a stave,
//! and a section is ripped into lanes between what lies there: cuts in three stages, as guillotine
//! patterns are made up (Gilmore & Gomory 1965). Bands begin and end at flaws only, sections begin at
//! the band's end, beyond a flaw or beyond another section, and everything is found by dynamic
//! programming over places and numbers of staves.

use heartside_geometry::{Arrange, Bounds};

use crate::cuts::ground::Ground;

/// Most places along a band at which a section is thought to begin.
const MOST_PLACES: usize = 120;

/// Where a board's sides slope, sections are also thought to begin at so many places evenly.
const EVEN_PLACES: usize = 16;

/// Most flaws along which bands may end.
const MOST_FLAWS: usize = 5;

/// Two lengths this near are one, in mm.
const SAME: f64 = 1e-6;

/// What is asked of a board.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Asked {
    /// Length of a stave's blank.
    pub long: f64,
    /// Narrowest and widest stave, finished, in whole tenths.
    pub widths: (f64, f64),
    /// What a blank is wider than its stave.
    pub edges: f64,
    /// What a joint takes.
    pub joint: f64,
    /// Most staves.
    pub most: usize,
    /// Kerf of rips and of crosscuts.
    pub kerf: (f64, f64),
}

/// Wood for one stave, in the frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Lane {
    /// Low corner of the blank.
    pub x: f64,
    pub y: f64,
    /// Width of the stave, finished.
    pub width: f64,
}

/// For each number of staves, from none, the most that they make up once glued (each less a joint)
/// and their lanes; nothing beyond the number that the board gives.
pub(super) type Yield = Vec<(f64, Vec<Lane>)>;

/// Something that staves keep clear of.
enum Taken<'a> {
    /// A flaw: a place in the ground's list of pieces, and what it keeps to spare.
    Piece(&'a crate::cuts::obstacle::Piece, f64),
    /// A blank that lies there.
    Blank(&'a Bounds),
}

/// A board and what is asked of it.
pub(super) struct Wood<'a> {
    asked: Asked,
    usable: Bounds,
    taken: Vec<Taken<'a>>,
    slopes: bool,
}

/// The greatest sum for each number of staves; minus infinity where they do not all fit.
type Sums = Vec<f64>;

/// A band and what it gives.
struct Band {
    low: f64,
    high: f64,
    sections: Sections,
    /// The sums of this band and those below it, and for each number how many staves are this band's
    /// and which band comes below.
    upto: Vec<(f64, usize, Option<usize>)>,
}

/// The sections of a band: from each place on the greatest sums, and how many staves begin there.
struct Sections {
    places: Vec<f64>,
    best: Vec<Vec<(f64, usize)>>,
}

impl<'a> Wood<'a> {
    /// A board beside what lies there; `class` says which flaws a stave keeps clear of.
    pub(super) fn new(
        ground: &'a Ground,
        class: usize,
        others: &'a [Bounds],
        asked: Asked,
        extra: f64,
    ) -> Self {
        let class = &ground.classes[class];
        let pieces = class
            .blank
            .iter()
            .chain(&class.finished)
            .chain(&class.around);
        let outside = ground.outside_count();
        // What the engines keep to spare from flaws would cost every stave a tenth.
        let taken = pieces
            .map(|k| Taken::Piece(&ground.pieces[*k], if *k < outside { 0.0 } else { extra }))
            .chain(others.iter().map(Taken::Blank))
            .collect();
        Wood {
            asked,
            usable: ground.usable,
            taken,
            slopes: outside > 0,
        }
    }

    /// The most that the board gives. O(bands x (places x flaws + places x staves²)).
    pub(super) fn gives(&self) -> Yield {
        let mut bands: Vec<Band> = Vec::new();
        for (low, high) in self.bands() {
            let sections = self.sections(low, high);
            let mut upto: Vec<(f64, usize, Option<usize>)> = (sections.best[0].iter())
                .enumerate()
                .map(|(n, (sum, _))| (*sum, n, None))
                .collect();
            let below = low - self.asked.kerf.0 + SAME;
            for (place, band) in bands.iter().enumerate().filter(|(_, b)| b.high <= below) {
                for own in 0..upto.len() {
                    for (under, (sum, ..)) in band.upto.iter().enumerate().take(upto.len() - own) {
                        let both = sections.best[0][own].0 + sum;
                        if both > upto[own + under].0 + SAME {
                            upto[own + under] = (both, own, Some(place));
                        }
                    }
                }
            }
            bands.push(Band {
                low,
                high,
                sections,
                upto,
            });
        }
        let mut all: Yield = vec![(0.0, Vec::new())];
        for count in 1..=self.asked.most {
            let sum = |band: &Band| band.upto[count].0;
            let best = (0..bands.len()).reduce(|a, b| {
                if sum(&bands[b]) > sum(&bands[a]) + SAME {
                    b
                } else {
                    a
                }
            });
            let Some(top) = best.filter(|k| sum(&bands[*k]) > f64::NEG_INFINITY) else {
                break;
            };
            all.push((sum(&bands[top]), self.lanes_of(&bands, top, count)));
        }
        all
    }

    /// From where to where bands may run, by where they end: the whole board, and between flaws.
    fn bands(&self) -> Vec<(f64, f64)> {
        let (rip, usable) = (self.asked.kerf.0, self.usable);
        let mut flaws: Vec<(f64, f64, f64)> = (self.taken.iter())
            .filter_map(|taken| match taken {
                Taken::Piece(_, 0.0) => None,
                Taken::Piece(piece, extra) => {
                    let b = piece.bounds();
                    Some((b.area(), b.min.y + extra, b.max.y - extra))
                }
                // The kerf runs beside a blank.
                Taken::Blank(b) => Some((b.area(), b.min.y - rip, b.max.y + rip)),
            })
            .collect();
        flaws.arrange_by(|a, b| b.0.total_cmp(&a.0));
        flaws.truncate(MOST_FLAWS);
        let (mut lows, mut highs) = (vec![usable.min.y], vec![usable.max.y]);
        for (_, from, to) in flaws {
            lows.extend([to, from + rip]);
            highs.extend([from, to - rip]);
        }
        for ends in [&mut lows, &mut highs] {
            ends.retain(|y| (usable.min.y..=usable.max.y).contains(y));
            ends.arrange_by(f64::total_cmp);
            ends.dedup_by(|a, b| (*a - *b).abs() < SAME);
        }
        let least = self.asked.widths.0 + self.asked.edges - SAME;
        let mut bands = Vec::new();
        for high in highs {
            bands.extend(
                lows.iter()
                    .filter(|low| high - **low >= least)
                    .map(|low| (*low, high)),
            );
        }
        bands
    }

    /// The best sections of a band.
    fn sections(&self, low: f64, high: f64) -> Sections {
        let Asked { long, most, .. } = self.asked;
        let cross = self.asked.kerf.1;
        let places = self.places(low, high);
        let none = vec![(f64::NEG_INFINITY, 0); most + 1];
        let mut best = vec![none; places.len() + 1];
        for from in &mut best {
            from[0].0 = 0.0;
        }
        for k in (0..places.len()).rev() {
            let here = self.stack(&self.strips(places[k], low, high));
            let next = places[k] + long + cross - SAME;
            let after = places.partition_point(|x| *x < next);
            for count in 0..=most {
                let mut found = (best[k + 1][count].0, 0);
                for (own, sum) in here.iter().enumerate().take(count + 1).skip(1) {
                    let both = sum + best[after][count - own].0;
                    if both > found.0 + SAME {
                        found = (both, own);
                    }
                }
                best[k][count] = found;
            }
        }
        Sections { places, best }
    }

    /// Where sections may begin: at the end, beyond what lies there, and beyond each other.
    fn places(&self, low: f64, high: f64) -> Vec<f64> {
        let Asked { long, kerf, .. } = self.asked;
        let (first, last) = (self.usable.min.x, self.usable.max.x - long);
        let mut places = vec![first];
        for taken in &self.taken {
            let (bounds, x) = match taken {
                Taken::Piece(piece, extra) => (piece.bounds(), piece.bounds().max.x - extra),
                Taken::Blank(bounds) => (*bounds, bounds.max.x + kerf.1),
            };
            if bounds.min.y < high && bounds.max.y > low {
                places.push(x);
            }
        }
        if self.slopes && last > first {
            let step = (last - first) / EVEN_PLACES as f64;
            places.extend((1..=EVEN_PLACES).map(|k| first + step * k as f64));
        }
        places.retain(|x| (first - SAME..=last + SAME).contains(x));
        let mut at = 0;
        while at < places.len() && places.len() < MOST_PLACES {
            let next = places[at] + long + kerf.1;
            if next <= last + SAME {
                places.push(next);
            }
            at += 1;
        }
        places.arrange_by(f64::total_cmp);
        places.dedup_by(|a, b| (*a - *b).abs() < SAME);
        places
    }

    /// The clear strips of a section, from below.
    fn strips(&self, x: f64, low: f64, high: f64) -> Vec<(f64, f64)> {
        let Asked { long, kerf, .. } = self.asked;
        let mut taken: Vec<(f64, f64)> = (self.taken.iter())
            .filter_map(|taken| match taken {
                Taken::Piece(piece, extra) => {
                    let (from, to) = piece.span_y(x + extra, x + long - extra)?;
                    Some((from + extra, to - extra))
                }
                Taken::Blank(b) => {
                    let beside = b.min.x - kerf.1 < x + long - SAME && b.max.x + kerf.1 > x + SAME;
                    beside.then_some((b.min.y - kerf.0, b.max.y + kerf.0))
                }
            })
            .collect();
        taken.arrange_by(|a, b| a.0.total_cmp(&b.0));
        let (mut from, mut strips) = (low, Vec::new());
        let least = self.asked.widths.0 + self.asked.edges - SAME;
        for (begins, ends) in taken.into_iter().chain([(high, f64::INFINITY)]) {
            let to = begins.min(high);
            if to - from >= least {
                strips.push((from, to));
            }
            from = from.max(ends);
        }
        strips
    }

    /// What so many staves in one strip come to, finished; none where they do not fit.
    fn in_strip(&self, strip: f64, count: usize) -> Option<f64> {
        let Asked {
            widths: (least, most),
            edges,
            kerf,
            ..
        } = self.asked;
        let n = count as f64;
        let wood = strip - (n - 1.0) * kerf.0 - n * edges;
        let whole = tenth_down(wood.min(n * most));
        (whole >= n * least - SAME).then_some(whole)
    }

    /// The greatest sums in a section.
    fn stack(&self, strips: &[(f64, f64)]) -> Sums {
        let mut sums = vec![0.0];
        for strip in strips {
            sums = self.beside(&sums, *strip);
        }
        sums.truncate(self.asked.most + 1);
        sums
    }

    /// The sums with one more strip.
    fn beside(&self, sums: &Sums, strip: (f64, f64)) -> Sums {
        let mut all = sums.clone();
        // Fewer may be too wide and more too narrow, but never the other way round.
        let own =
            (1..=self.asked.most).map_while(|n| Some((n, self.in_strip(strip.1 - strip.0, n)?)));
        for (n, whole) in own {
            let worth = whole - n as f64 * self.asked.joint;
            for before in 0..sums.len() {
                let both = sums[before] + worth;
                if all.len() <= before + n {
                    all.resize(before + n + 1, f64::NEG_INFINITY);
                }
                all[before + n] = all[before + n].max(both);
            }
        }
        all
    }

    /// The lanes of so many staves in a band and those below it.
    fn lanes_of(&self, bands: &[Band], top: usize, count: usize) -> Vec<Lane> {
        let (mut lanes, mut at, mut count) = (Vec::new(), Some(top), count);
        while let Some(band) = at.map(|k| &bands[k]) {
            let (_, own, below) = band.upto[count];
            let (mut place, mut left) = (0, own);
            while left > 0 && place < band.sections.places.len() {
                let (_, here) = band.sections.best[place][left];
                if here == 0 {
                    place += 1;
                    continue;
                }
                let x = band.sections.places[place];
                lanes.extend(self.lanes_at(x, &self.strips(x, band.low, band.high), here));
                left -= here;
                let next = x + self.asked.long + self.asked.kerf.1 - SAME;
                place = band.sections.places.partition_point(|x| *x < next);
            }
            count -= own;
            at = below;
        }
        lanes
    }

    /// The lanes of so many staves in a section.
    fn lanes_at(&self, x: f64, strips: &[(f64, f64)], count: usize) -> Vec<Lane> {
        let mut upto: Vec<Sums> = vec![vec![0.0]];
        for strip in strips {
            upto.push(self.beside(&upto[upto.len() - 1], *strip));
        }
        let (mut lanes, mut left) = (Vec::new(), count);
        for (k, strip) in strips.iter().enumerate().rev() {
            let sum = upto[k + 1][left];
            let own = (0..=left).find(|n| {
                let below = upto[k].get(left - n).copied();
                let own = match n {
                    0 => Some(0.0),
                    n => self
                        .in_strip(strip.1 - strip.0, *n)
                        .map(|w| w - *n as f64 * self.asked.joint),
                };
                below
                    .zip(own)
                    .is_some_and(|(a, b)| (a + b - sum).abs() < SAME)
            });
            let own = own.unwrap_or(0);
            if own > 0 {
                lanes.extend(self.in_one_strip(x, *strip, own));
            }
            left -= own;
        }
        lanes
    }

    /// So many staves side by side, as alike as tenths let them be.
    fn in_one_strip(&self, x: f64, strip: (f64, f64), count: usize) -> Vec<Lane> {
        let Some(whole) = self.in_strip(strip.1 - strip.0, count) else {
            return Vec::new();
        };
        let each = tenth_down(whole / count as f64);
        let wider = ((whole - count as f64 * each) * 10.0).round() as usize;
        let mut y = strip.0;
        let lanes = (0..count).map(|k| {
            let width = if k < wider {
                tenth_down(each + 0.1)
            } else {
                each
            };
            let lane = Lane { x, y, width };
            y += width + self.asked.edges + self.asked.kerf.0;
            lane
        });
        lanes.collect()
    }
}

/// Rounded down to a tenth.
pub(super) fn tenth_down(width: f64) -> f64 {
    (width * 10.0 + 1e-5).floor() / 10.0
}

/// Rounded up to a tenth.
pub(super) fn tenth_up(width: f64) -> f64 {
    (width * 10.0 - 1e-5).ceil() / 10.0
}
