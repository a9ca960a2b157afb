//! The best of one small, flawed, upright board, proved: every set of pieces that can come out of it.
//!
//! For every rectangle that cuts can leave, the largest sets of pieces that can come out
//! of it: one blank that fills it, or what its two halves give together, for every cut.
//! Only normal places need be looked at (Herz 1972; with flaws Afsharian, Niknejad &
//! Wäscher 2014): pushed down and to the left as far as they go, blanks and pieces begin at
//! the board's edge, past a flaw, or a kerf beyond a cut; cuts end a blank, make the edge
//! past a flaw, or pass just beyond a fixing. A fixing stops a cut only over the piece that
//! is really sawn, which is why rectangles are known by their places and not by their sizes.
//!
//! The number of sets grows fast, so this is for a handful of pieces; where a limit is
//! reached nothing is proved and nothing offered. Flaws that are not upright boxes are
//! taken as the boxes round them: what comes out is then a good plan, and no proof.

use heartside_geometry::Arrange;
use std::cmp::Ordering;

use heartside_geometry::{Bounds, Point};
use heartside_timber::job::{Goal, Job};
use heartside_timber::plan::Layout;

use heartside_nest::kit::{Engine, Task};

use super::boxed::{Blank, Boxed, Fate};

/// Most kinds of parts, and most pieces of one kind.
const MOST_PARTS: usize = 10;
const MOST_COPIES: usize = 12;
/// Most pieces in all.
const MOST_PIECES: usize = 14;
/// Most rectangles.
const MOST_RECTANGLES: usize = 200_000;
/// Pairs of sets looked at in a step.
const STEP: usize = 1_000;
/// Most sets of one rectangle.
const MOST_SETS: usize = 300;

/// How many of each kind of part.
type Set = [u8; MOST_PARTS];

/// Normal places along one axis.
#[derive(Debug, Clone)]
struct Places {
    /// Stretches that a piece can take up, short ones first.
    spans: Vec<(f64, f64)>,
    /// Low sides of cuts.
    cuts: Vec<f64>,
    kerf: f64,
}

impl Places {
    /// All places within a range; none where there are too many.
    fn new(
        (start, end): (f64, f64),
        sizes: &[f64],
        flaws: &[f64],
        fixings: &[f64],
        kerf: f64,
        same: f64,
    ) -> Option<Places> {
        let (mut starts, mut cuts) = (vec![start], Vec::new());
        starts.extend(flaws.iter().copied().filter(|f| *f > start && *f < end));
        cuts.extend(fixings.iter().copied().filter(|f| *f > start && *f < end));
        let known = |list: &[f64], at: f64| list.iter().any(|l| (l - at).abs() <= same);
        for s in starts.clone() {
            if s - kerf > start && !known(&cuts, s - kerf) {
                cuts.push(s - kerf);
            }
        }
        let (mut new_starts, mut new_cuts) = (0, 0);
        while new_starts < starts.len() || new_cuts < cuts.len() {
            for s in starts[new_starts..].iter().copied() {
                for at in sizes.iter().map(|w| s + w) {
                    if at < end - same && !known(&cuts, at) {
                        cuts.push(at);
                    }
                }
            }
            new_starts = starts.len();
            for c in cuts[new_cuts..].iter().copied() {
                let at = c + kerf;
                if at < end - same && !known(&starts, at) {
                    starts.push(at);
                }
            }
            new_cuts = cuts.len();
            if starts.len() + cuts.len() > 400 {
                return None;
            }
        }
        let mut spans: Vec<(f64, f64)> = starts
            .iter()
            .flat_map(|s| cuts.iter().chain([&end]).map(move |c| (*s, *c)))
            .filter(|(s, c)| c - s > same)
            .collect();
        spans.arrange_by(|a, b| {
            (a.1 - a.0)
                .total_cmp(&(b.1 - b.0))
                .then(a.0.total_cmp(&b.0))
        });
        cuts.arrange_by(f64::total_cmp);
        Some(Places { spans, cuts, kerf })
    }

    /// The place of a stretch in the list. O(log n + equal lengths).
    fn find(&self, from: f64, to: f64, same: f64) -> Option<usize> {
        let first = self
            .spans
            .partition_point(|s| s.1 - s.0 < to - from - 2.0 * same);
        (first..self.spans.len())
            .take_while(|k| self.spans[*k].1 - self.spans[*k].0 <= to - from + 2.0 * same)
            .find(|k| {
                (self.spans[*k].0 - from).abs() <= same && (self.spans[*k].1 - to).abs() <= same
            })
    }

    /// For a stretch, each cut in it: where, and the stretches below and above; none above where nothing is left there.
    fn parted(
        &self,
        (from, to): (f64, f64),
        least_strip: f64,
        same: f64,
    ) -> Vec<(f64, usize, Option<usize>)> {
        self.cuts
            .iter()
            .filter(|at| **at > from + same && **at < to - same && to - **at >= least_strip - same)
            .filter_map(|at| {
                let low = self.find(from, *at, same)?;
                Some((*at, low, self.find(at + self.kerf, to, same)))
            })
            .collect()
    }
}

/// The search, some rectangles a step.
pub(crate) struct Sets {
    board: Boxed,
    /// The parts that the places of a set stand for.
    parts: Vec<usize>,
    limits: Set,
    values: Vec<f64>,
    along: Places,
    across: Places,
    /// Cuts of each stretch: where, below, above.
    along_cuts: Vec<Vec<(f64, usize, Option<usize>)>>,
    across_cuts: Vec<Vec<(f64, usize, Option<usize>)>>,
    sets: Vec<Vec<Set>>,
    gave_up: bool,
    layouts: Vec<Layout>,
}

impl Sets {
    /// For a task that is small enough: the greatest value from one upright board.
    pub(crate) fn new(job: &Job, task: Task) -> Option<Sets> {
        let pieces: usize = task.wanted.iter().map(Vec::len).sum();
        let parts: Vec<usize> = (0..task.wanted.len())
            .filter(|p| !task.wanted[*p].is_empty())
            .collect();
        let is_small = pieces <= MOST_PIECES
            && parts.len() <= MOST_PARTS
            && task.wanted.iter().all(|w| w.len() <= MOST_COPIES);
        if !is_small || job.goal != Goal::Value || !job.matches.is_empty() {
            return None;
        }
        let mut limits = [0; MOST_PARTS];
        for (limit, part) in limits.iter_mut().zip(&parts) {
            *limit = task.wanted[*part].len() as u8;
        }
        let board = Boxed::new(job, task)?;
        let same = board.same();
        let (widths, heights): (Vec<f64>, Vec<f64>) = board.sizes().unzip();
        let (boxes, fixings) = (board.flaws(), board.fixings());
        let ends =
            |list: &[Bounds], of: fn(&Bounds) -> f64| list.iter().map(of).collect::<Vec<_>>();
        let u = board.usable();
        let (kerf_u, kerf_v) = board.kerf();
        let along = Places::new(
            (u.min.x, u.max.x),
            &widths,
            &ends(&boxes, |b| b.max.x),
            &ends(&fixings, |b| b.max.x),
            kerf_u,
            same,
        )?;
        let across = Places::new(
            (u.min.y, u.max.y),
            &heights,
            &ends(&boxes, |b| b.max.y),
            &ends(&fixings, |b| b.max.y),
            kerf_v,
            same,
        )?;
        if along.spans.len() * across.spans.len() > MOST_RECTANGLES {
            return None;
        }
        let cuts = |places: &Places, strip: f64| {
            places
                .spans
                .iter()
                .map(|s| places.parted(*s, strip, same))
                .collect::<Vec<_>>()
        };
        let (strip_u, strip_v) = board.least_strip();
        Some(Sets {
            values: parts.iter().map(|p| job.parts[*p].value.max(0.0)).collect(),
            along_cuts: cuts(&along, strip_u),
            across_cuts: cuts(&across, strip_v),
            sets: Vec::with_capacity(along.spans.len() * across.spans.len()),
            board,
            parts,
            limits,
            along,
            across,
            gave_up: false,
            layouts: Vec::new(),
        })
    }

    fn rect(&self, column: usize, row: usize) -> Bounds {
        let ((x0, x1), (y0, y1)) = (self.along.spans[column], self.across.spans[row]);
        Bounds {
            min: Point { x: x0, y: y0 },
            max: Point { x: x1, y: y1 },
        }
    }

    fn of(&self, column: usize, row: usize) -> &[Set] {
        &self.sets[column * self.across.spans.len() + row]
    }

    fn is_done(&self) -> bool {
        self.sets.len() == self.along.spans.len() * self.across.spans.len()
    }

    /// The cuts of a rectangle that no fixing stops: where, whether across u, and the two pieces.
    fn cuts(&self, column: usize, row: usize) -> Vec<Parted> {
        let rect = self.rect(column, row);
        let along = self.along_cuts[column]
            .iter()
            .filter(|c| self.board.can_cut(true, c.0, (rect.min.y, rect.max.y)))
            .map(|(at, low, high)| Parted {
                along_u: true,
                at: *at,
                low: (*low, row),
                high: high.map(|h| (h, row)),
            });
        let across = self.across_cuts[row]
            .iter()
            .filter(|c| self.board.can_cut(false, c.0, (rect.min.x, rect.max.x)))
            .map(|(at, low, high)| Parted {
                along_u: false,
                at: *at,
                low: (column, *low),
                high: high.map(|h| (column, h)),
            });
        along.chain(across).collect()
    }

    /// The sets of the next rectangle, and how many pairs were looked at; none once there are too many.
    fn next(&mut self) -> Option<usize> {
        let rows = self.across.spans.len();
        let (column, row) = (self.sets.len() / rows, self.sets.len() % rows);
        let rect = self.rect(column, row);
        let mut sets: Vec<Set> = vec![[0; MOST_PARTS]];
        for blank in self.board.that_fill(&rect) {
            if let Some(place) = self.parts.iter().position(|p| *p == blank.part) {
                let mut one = [0; MOST_PARTS];
                one[place] = 1;
                add(&mut sets, one);
            }
        }
        let mut work = 20;
        for cut in self.cuts(column, row) {
            let highs = cut.high.map_or(1, |(c, r)| self.of(c, r).len());
            work += 1 + self.of(cut.low.0, cut.low.1).len() * highs;
            for a in self.of(cut.low.0, cut.low.1) {
                match cut.high {
                    None => add(&mut sets, *a),
                    Some((c, r)) => {
                        for b in self.of(c, r) {
                            add(&mut sets, self.joined(a, b));
                        }
                    }
                }
            }
            if sets.len() > MOST_SETS {
                return None;
            }
        }
        self.sets.push(sets);
        Some(work)
    }

    fn joined(&self, a: &Set, b: &Set) -> Set {
        let mut sum = *a;
        for ((s, b), limit) in sum.iter_mut().zip(b).zip(&self.limits) {
            *s = (*s + b).min(*limit);
        }
        sum
    }

    fn value(&self, set: &Set) -> f64 {
        set.iter()
            .zip(&self.values)
            .map(|(n, v)| f64::from(*n) * v)
            .sum()
    }

    fn best(&self) -> Option<Set> {
        let order = |a: &&Set, b: &&Set| -> Ordering { self.value(a).total_cmp(&self.value(b)) };
        self.sets.last()?.iter().max_by(order).copied()
    }

    /// Cuts the best set out of the board.
    fn cut_out(&self, job: &Job) -> Vec<Layout> {
        let Some(best) = self.best() else {
            return Vec::new();
        };
        let whole = (self.along.spans.len() - 1, self.across.spans.len() - 1);
        self.board
            .cut_out(job, (whole, best), |((column, row), set)| {
                let count: u32 = set.iter().map(|n| u32::from(*n)).sum();
                let place = set.iter().position(|n| *n > 0).unwrap_or(0);
                let is_it = |blank: &Blank| blank.part == self.parts[place];
                let fill = || self.board.that_fill(&self.rect(*column, *row));
                match count {
                    0 => return Fate::Left,
                    1 => {
                        if let Some(blank) = fill().into_iter().find(is_it) {
                            return Fate::Blank(blank);
                        }
                    }
                    _ => {}
                }
                let Some((cut, low, high)) = self.division(*column, *row, set) else {
                    return Fate::Left;
                };
                Fate::Parted {
                    along_x: cut.along_u,
                    at: cut.at,
                    low: (cut.low, low),
                    high: cut.high.map(|rect| (rect, high)),
                }
            })
    }

    /// A cut whose halves give at least a set, and what each gives of it.
    fn division(&self, column: usize, row: usize, set: &Set) -> Option<(Parted, Set, Set)> {
        let nothing = [[0; MOST_PARTS]];
        for cut in self.cuts(column, row) {
            let highs = cut.high.map_or(&nothing[..], |(c, r)| self.of(c, r));
            for a in self.of(cut.low.0, cut.low.1) {
                for b in highs {
                    if is_below(set, &self.joined(a, b)) {
                        let mut low = *a;
                        let mut high = *b;
                        for k in 0..MOST_PARTS {
                            low[k] = low[k].min(set[k]);
                            high[k] = high[k].min(set[k] - low[k]);
                        }
                        return Some((cut, low, high));
                    }
                }
            }
        }
        None
    }
}

/// A cut of a rectangle and the pieces it leaves.
#[derive(Debug, Clone, Copy)]
struct Parted {
    along_u: bool,
    at: f64,
    low: (usize, usize),
    high: Option<(usize, usize)>,
}

fn is_below(a: &Set, b: &Set) -> bool {
    a.iter().zip(b).all(|(a, b)| a <= b)
}

/// Adds a set unless one that holds it is there; those that it holds go.
fn add(sets: &mut Vec<Set>, set: Set) {
    if sets.iter().any(|s| is_below(&set, s)) {
        return;
    }
    sets.retain(|s| !is_below(s, &set));
    sets.push(set);
}

impl Engine for Sets {
    fn step(&mut self, job: &Job) -> bool {
        if self.is_finished() {
            return false;
        }
        let mut work = 0;
        while work < STEP && !self.is_done() {
            match self.next() {
                Some(more) => work += more,
                None => {
                    self.gave_up = true;
                    return false;
                }
            }
        }
        if self.is_done() {
            self.layouts = self.cut_out(job);
        }
        self.is_done()
    }

    fn turn_steps(&self) -> u64 {
        300
    }

    fn layouts(&self) -> &[Layout] {
        &self.layouts
    }

    fn is_finished(&self) -> bool {
        self.gave_up || self.is_done()
    }

    fn adopt(&mut self, _job: &Job, _layouts: &[Layout]) -> bool {
        false
    }

    fn limit(&self) -> Option<f64> {
        let best = self
            .best()
            .filter(|_| self.is_done() && self.board.is_exact())?;
        Some(self.value(&best))
    }
}
