//! The best pattern of straight cuts for one clear, upright board and any number of copies of each part, proved.
//!
//! The best value of a rectangle is that of one blank, or the best sum of the two
//! rectangles that a cut leaves (Gilmore & Gomory 1966; Beasley 1985). Only rectangles
//! whose sides are reduced raster points need to be looked at (Terno, Lindemann &
//! Scheithauer 1987): with S the sums of blank sizes and <x> the greatest of S up to x,
//! those are <L - s> for the s in S. Every size is taken a kerf larger, blanks and board
//! alike, so that kerfs need no thought of their own.
//!
//! It is a ceiling for copies that are limited as well, and for tools that cannot make
//! every cut; the pattern itself is then cut out of the board by the same code as all
//! others, and only what that managed is offered.

use heartside_timber::job::{Goal, Job};
use heartside_timber::plan::{Direction, Layout};

use super::cutting::{Cutting, First};
use super::layouts::layouts_of;
use super::position::Edge;
use super::stockroom::Stockroom;
use super::workpiece::Side;
use crate::engine::{Engine, Task};

/// Lengths are counted in these (a thousandth of the placement grid of jobs).
const UNIT: f64 = 1e-6;

/// Longest side in common measures of all sizes that sums are listed for.
const MOST_MEASURES: i64 = 200_000;

/// Most rectangles looked at: 4 million take about 50 MB.
const MOST_RECTANGLES: usize = 4_000_000;

/// One way in which a part may lie, in whole measures.
#[derive(Debug, Clone, Copy)]
struct Item {
    part: usize,
    fit: usize,
    width: i64,
    height: i64,
    value: f64,
}

/// What the best of a rectangle begins with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Choice {
    Nothing,
    Item(u32),
    /// A crosscut after the raster point with this place.
    Crosscut(u32),
    /// A rip above the raster point with this place.
    Rip(u32),
}

/// Raster points along one side.
#[derive(Debug)]
struct Raster {
    points: Vec<i64>,
}

impl Raster {
    /// The reduced raster points of a side for these sizes. O(length x sizes).
    fn new(length: i64, sizes: &[i64]) -> Raster {
        let end = usize::try_from(length).unwrap_or(0);
        let mut is_sum = vec![false; end + 1];
        is_sum[0] = true;
        for at in 0..=end {
            if is_sum[at] {
                for size in sizes.iter().filter_map(|s| usize::try_from(*s).ok()) {
                    if size > 0 && at + size <= end {
                        is_sum[at + size] = true;
                    }
                }
            }
        }
        let mut greatest = vec![0i64; end + 1];
        for at in 1..=end {
            greatest[at] = if is_sum[at] {
                at as i64
            } else {
                greatest[at - 1]
            };
        }
        let mut points: Vec<i64> = (0..=end)
            .filter(|at| is_sum[*at])
            .map(|at| greatest[end - at])
            .collect();
        points.sort_unstable();
        points.dedup();
        Raster { points }
    }

    /// The place of the greatest point up to a length of at least nought.
    fn down(&self, length: i64) -> usize {
        self.points
            .partition_point(|p| *p <= length)
            .saturating_sub(1)
    }
}

/// The programme, advanced a column of rectangles at a time.
pub(crate) struct Exact {
    room: Stockroom,
    /// How long a measure is, in millimetres.
    measure: f64,
    items: Vec<Item>,
    along: Raster,
    across: Raster,
    /// For each place across and each cut in its lower half: what lies above.
    above: Vec<Vec<u32>>,
    best: Vec<f64>,
    choices: Vec<Choice>,
    /// Columns done.
    done: usize,
    layouts: Vec<Layout>,
}

impl Exact {
    /// The programme for a task, where it is one: the greatest value from one clear, upright board.
    pub(crate) fn new(job: &Job, task: &Task) -> Option<Exact> {
        if job.goal != Goal::Value || task.stock.len() != 1 || !task.pins.is_empty() {
            return None;
        }
        let room = Stockroom::new(job, task);
        let shelf = room.shelves.first()?;
        let ground = &room.grounds[*shelf.frames.first()?];
        if !ground.is_clear_rectangle() {
            return None;
        }
        let kerf_along = room.saws.least_kerf(job, Direction::Crosscut)?;
        let kerf_across = room.saws.least_kerf(job, Direction::Rip)?;
        let whole = |size: f64| {
            let units = size / UNIT;
            ((units - units.round()).abs() < 1e-3).then_some(units.round() as i64)
        };
        let length = whole(ground.bounds.width() + kerf_along)?;
        let height = whole(ground.bounds.height() + kerf_across)?;
        let mut items = Vec::new();
        for (part, fits) in ground.fits.iter().enumerate() {
            if task.wanted.get(part).is_none_or(Vec::is_empty) {
                continue;
            }
            for (place, fit) in fits.iter().enumerate() {
                let item = Item {
                    part,
                    fit: place,
                    width: whole(fit.width + kerf_along)?,
                    height: whole(fit.height + kerf_across)?,
                    value: job.parts[part].value,
                };
                if item.width <= length && item.height <= height && item.value > 0.0 {
                    items.push(item);
                }
            }
        }
        let gcd = |a: i64, b: i64| {
            let (mut a, mut b) = (a, b);
            while b != 0 {
                (a, b) = (b, a % b);
            }
            a
        };
        let common = items
            .iter()
            .fold(0, |m, item| gcd(gcd(m, item.width), item.height));
        if common == 0 {
            return None;
        }
        for item in &mut items {
            item.width /= common;
            item.height /= common;
        }
        let (length, height) = (length / common, height / common);
        if length.max(height) > MOST_MEASURES {
            return None;
        }
        let sizes = |size: fn(&Item) -> i64| items.iter().map(size).collect::<Vec<_>>();
        let along = Raster::new(length, &sizes(|i| i.width));
        let across = Raster::new(height, &sizes(|i| i.height));
        let count = along.points.len() * across.points.len();
        if count > MOST_RECTANGLES {
            return None;
        }
        let above = across
            .points
            .iter()
            .map(|whole| {
                let lower = across
                    .points
                    .iter()
                    .skip(1)
                    .take_while(|y| 2 * **y <= *whole);
                lower.map(|y| across.down(whole - y) as u32).collect()
            })
            .collect();
        Some(Exact {
            measure: common as f64 * UNIT,
            room,
            items,
            above,
            best: vec![0.0; count],
            choices: vec![Choice::Nothing; count],
            done: 0,
            along,
            across,
            layouts: Vec::new(),
        })
    }

    /// The greatest value of any pattern, once it is known.
    pub(crate) fn ceiling(&self) -> Option<f64> {
        if self.is_done() {
            self.best.last().copied()
        } else {
            None
        }
    }

    fn is_done(&self) -> bool {
        self.done == self.along.points.len()
    }

    /// The best of all rectangles as long as one raster point.
    fn fill_column(&mut self, column: usize) {
        let rows = self.across.points.len();
        let length = self.along.points[column];
        let (before, here) = self.best.split_at_mut(column * rows);
        let here = &mut here[..rows];
        let choices = &mut self.choices[column * rows..(column + 1) * rows];
        // Crosscuts: both sides are shorter and known.
        for left in 1..column {
            if 2 * self.along.points[left] > length {
                break;
            }
            let right = self.along.down(length - self.along.points[left]);
            let left_best = &before[left * rows..(left + 1) * rows];
            let right_best = &before[right * rows..(right + 1) * rows];
            for row in 0..rows {
                let sum = left_best[row] + right_best[row];
                if sum > here[row] {
                    here[row] = sum;
                    choices[row] = Choice::Crosscut(left as u32);
                }
            }
        }
        for row in 0..rows {
            let height = self.across.points[row];
            for (place, item) in self.items.iter().enumerate() {
                if item.width <= length && item.height <= height && item.value > here[row] {
                    here[row] = item.value;
                    choices[row] = Choice::Item(place as u32);
                }
            }
            for (low, high) in (1..).zip(&self.above[row]) {
                let sum = here[low] + here[*high as usize];
                if sum > here[row] {
                    here[row] = sum;
                    choices[row] = Choice::Rip(low as u32);
                }
            }
        }
    }

    /// Cuts the best pattern out of the board.
    fn cut_out(&self, job: &Job, task_wanted: &[Vec<u32>]) -> Vec<Layout> {
        let Some(shelf) = self.room.shelves.first() else {
            return Vec::new();
        };
        let ground = &self.room.grounds[shelf.frames[0]];
        let mut cutting = Cutting::whole(ground);
        let mut left: Vec<usize> = task_wanted.iter().map(Vec::len).collect();
        let mut waiting = vec![(0, self.along.points.len() - 1, self.across.points.len() - 1)];
        while let Some((leaf, column, row)) = waiting.pop() {
            let Some(work) = cutting.works[leaf] else {
                continue;
            };
            let choice = self.choices[column * self.across.points.len() + row];
            let (side, point) = match choice {
                Choice::Nothing => continue,
                Choice::Item(place) => {
                    let item = &self.items[place as usize];
                    if left[item.part] == 0 {
                        continue;
                    }
                    let fit = &ground.fits[item.part][item.fit];
                    let bench = (job, ground, &self.room.saws);
                    let how = (Edge::Low, First::Rips);
                    let freed = cutting.lay(bench, leaf, item.part, fit, how);
                    left[item.part] -= usize::from(freed);
                    continue;
                }
                Choice::Crosscut(left) => (Side::HighX, self.along.points[left as usize]),
                Choice::Rip(low) => (Side::HighY, self.across.points[low as usize]),
            };
            let direction = side.direction();
            let kerf = self.room.saws.least_kerf(job, direction).unwrap_or(0.0);
            let (low_side, _) = Side::pair(direction);
            let edge = low_side.of(&work.tight) + point as f64 * self.measure - kerf;
            let halves = cutting.part_in_two(job, ground, &self.room.saws, leaf, side, edge);
            let Some((low, high)) = halves else { continue };
            let (first, second) = match choice {
                Choice::Crosscut(left) => {
                    let length = self.along.points[column] - point;
                    (
                        (low, left as usize, row),
                        (high, self.along.down(length), row),
                    )
                }
                Choice::Rip(below) => {
                    let height = self.across.points[row] - point;
                    (
                        (low, column, below as usize),
                        (high, column, self.across.down(height)),
                    )
                }
                Choice::Nothing | Choice::Item(_) => continue,
            };
            waiting.extend([second, first]);
        }
        layouts_of(
            job,
            &self.room,
            task_wanted,
            &[Some((shelf.frames[0], &cutting))],
        )
    }
}

/// The programme as an engine: it offers one plan, at its end.
pub(crate) struct Proof {
    exact: Exact,
    wanted: Vec<Vec<u32>>,
}

impl Proof {
    /// For a task that the programme is for.
    pub(crate) fn new(job: &Job, task: Task) -> Option<Proof> {
        Some(Proof {
            exact: Exact::new(job, &task)?,
            wanted: task.wanted,
        })
    }
}

impl Engine for Proof {
    fn step(&mut self, job: &Job) -> bool {
        if self.exact.is_done() {
            return false;
        }
        self.exact.fill_column(self.exact.done);
        self.exact.done += 1;
        if self.exact.is_done() {
            self.exact.layouts = self.exact.cut_out(job, &self.wanted);
        }
        self.exact.is_done()
    }

    fn turn_steps(&self) -> u64 {
        20
    }

    fn layouts(&self) -> &[Layout] {
        &self.exact.layouts
    }

    fn is_finished(&self) -> bool {
        self.exact.is_done()
    }

    fn adopt(&mut self, _job: &Job, _layouts: &[Layout]) -> bool {
        false
    }

    fn ceiling(&self) -> Option<f64> {
        self.exact.ceiling()
    }
}
