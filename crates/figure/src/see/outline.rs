//! The board against its ground.
//!
//! Each pixel votes whether it is wood or ground, and a board has one upper and one lower edge at each
//! place along it; so both are found exactly, as cheapest paths, where a cut through a graph of all pixels
//! would be too much for a phone. A path weighs the votes on both sides and likes a sharp step in colour. What wood
//! looks like is learnt again from within the edges found (as Rother, Kolmogorov & Blake 2004 do). For how
//! sure an edge is, the next best path is found that keeps away from it.

use std::ops::Range;

use heartside_geometry::{Point, Ring};

use super::best_path::{Moves, best_path};
use super::colours::Colours;
use super::how_sure::Evidence;
use super::ribbon::Ribbon;
use super::seen::Seen;
use super::wood_or_ground::{Beyond, Looks};

/// What a step in colour of full height counts, in pixels of certain colour. Smaller, and shadows and
/// blurred edges go to the wrong side; larger, and the path prefers a strong line of grain.
const STEP_WORTH: f32 = 12.0;
/// A step of this height in CIELAB is full, and what is above counts a quarter: between pale wood and dark
/// ground sapwood would else have no edge of its own.
const FULL_STEP: f32 = 25.0;
const ABOVE_FULL: f32 = 0.25;
/// One long edge moves this much; waney edges are seldom steeper than two in one.
const MOVES: Moves = Moves {
    steepest: 2,
    slope: 1.5,
};
/// What the path pays to jump at an end of the board.
const JUMP: f32 = 12.0;
/// What a place near the edge already found costs more.
const AVOIDED: f32 = 1000.0;
/// Dents narrower than this, in millimetres, are knots or dirt on the edge, not the edge.
const DENT: f64 = 24.0;

/// The search for the outline, step by step.
#[derive(Debug, Clone)]
pub(crate) struct OutlineSearch {
    /// Columns and rows that the marks enclose: left, top, right, bottom.
    within: [usize; 4],
    beyond: Beyond,
    looks: Looks,
    votes: Vec<f32>,
    steps: Vec<f32>,
    rounds: usize,
    next: Work,
    /// Between the rows of both edges.
    middle: usize,
    /// First and last column.
    ends: (usize, usize),
    /// The upper and the lower edge as they were found, and how much worse the next best ones are.
    lines: [Vec<usize>; 2],
    worse: [Vec<f32>; 2],
    ribbon: Option<Ribbon>,
}

/// What is done in the next step.
#[derive(Debug, Clone, Copy)]
enum Work {
    Smooth,
    Learn,
    Vote,
    Edge(usize),
    SecondBest(usize),
}

/// How often wood is learnt: the third time moves edges by less than a pixel.
const ROUNDS: usize = 3;
/// Rows that vote in one step.
const ROWS: usize = 80;
/// The next best edge lies this far from the one found, in millimetres: nearer ones are the same edge.
const APART: f64 = 6.0;

impl OutlineSearch {
    /// `marks` are places at or round the board; without them it is thought to lie in the middle.
    pub(crate) fn new(colours: &Colours, marks: &[Point]) -> Option<OutlineSearch> {
        let (width, height) = (colours.width, colours.height);
        let mut within = [width, height, 0, 0];
        for mark in marks {
            let (column, row) = colours.column_row(*mark);
            let column = column.clamp(0.0, width as f64) as usize;
            let row = row.clamp(0.0, height as f64) as usize;
            within = [
                within[0].min(column),
                within[1].min(row),
                within[2].max(column),
                within[3].max(row),
            ];
        }
        if marks.len() < 3 {
            within = [0, 0, width, height];
        }
        (within[2] >= within[0] + 8 && within[3] >= within[1] + 4).then(|| OutlineSearch {
            within,
            beyond: beyond(colours, within),
            looks: Looks::new(colours),
            votes: Vec::new(),
            steps: steps_in_colour(colours),
            rounds: 0,
            next: Work::Smooth,
            middle: usize::midpoint(within[1], within[3]),
            ends: (0, 0),
            lines: [const { Vec::new() }; 2],
            worse: [const { Vec::new() }; 2],
            ribbon: None,
        })
    }

    /// The number of steps in all.
    pub(crate) fn steps(colours: &Colours) -> usize {
        6 + ROUNDS * (3 + colours.height.div_ceil(ROWS)) + 2
    }

    /// One more step; true after the last.
    pub(crate) fn step(&mut self, colours: &Colours) -> bool {
        self.next = match self.next {
            Work::Smooth if self.looks.smooth(colours) => {
                self.looks.learn_ground(self.beyond);
                Work::Learn
            }
            Work::Smooth => Work::Smooth,
            Work::Learn => {
                self.learn();
                self.votes.clear();
                Work::Vote
            }
            Work::Vote => {
                self.vote(colours);
                if self.votes.len() < colours.width * colours.height {
                    Work::Vote
                } else {
                    self.middle = self.middle_row(colours);
                    self.ends = self.end_columns(colours);
                    Work::Edge(0)
                }
            }
            Work::Edge(side) => {
                self.lines[side] = self.edge(colours, side, &[]);
                if side == 0 {
                    Work::Edge(1)
                } else {
                    self.ribbon = Some(self.between(colours));
                    self.rounds += 1;
                    if self.rounds < ROUNDS {
                        Work::Learn
                    } else {
                        Work::SecondBest(0)
                    }
                }
            }
            Work::SecondBest(side) => {
                let other = self.edge(colours, side, &self.lines[side]);
                self.worse[side] = self.how_much_worse(colours, side, &other);
                if side == 1 {
                    return true;
                }
                Work::SecondBest(1)
            }
        };
        false
    }

    /// What wood looks like: in a band in the middle of the marks, then within the edges found.
    fn learn(&mut self) {
        let [_, top, _, bottom] = self.within;
        let (middle, half) = ((top + bottom) / 2, (bottom - top) / 7);
        match &self.ribbon {
            None => self
                .looks
                .learn_wood(0, |_| (middle - half, middle + half + 1)),
            Some(ribbon) => {
                for part in 0..3 {
                    self.looks.learn_wood(part, |column| {
                        let (from, to) = ribbon.rows(column, 3.0);
                        let third = (to - from) / 3;
                        match part {
                            0 => (from + third, to - third),
                            1 => (from, from + third),
                            _ => (to - third, to),
                        }
                    });
                }
            }
        }
    }

    /// The votes of some rows more.
    fn vote(&mut self, colours: &Colours) {
        let [left, _, right, _] = self.within;
        let inner = (right - left) / 10;
        let done = self.votes.len() / colours.width;
        for row in done..(done + ROWS).min(colours.height) {
            for column in 0..colours.width {
                let ends = [column < left + inner, column + inner > right];
                self.votes.push(self.looks.vote(column, row, ends));
            }
        }
    }

    /// The row that lies in the board all along.
    fn middle_row(&self, colours: &Colours) -> usize {
        let told = (self.within[1] + self.within[3]) / 2;
        let Some(ribbon) = &self.ribbon else {
            return told;
        };
        let Some((first, last)) = ribbon.columns() else {
            return told;
        };
        let sum: f32 = (first..=last)
            .map(|c| ribbon.top[c] + ribbon.bottom[c])
            .sum();
        let middle = sum / (2 * (last + 1 - first)) as f32;
        (middle as usize).clamp(1, colours.height - 1)
    }

    /// Near an end an edge may jump to the middle line, so that the end itself is found at every row.
    fn near_end(colours: &Colours) -> usize {
        colours.pixels(50.0)
    }

    /// What the boundary costs at each place of a column, counted from the middle row outwards.
    fn cost(&self, colours: &Colours, side: usize, column: usize, cost: &mut [f32]) {
        let near = Self::near_end(colours);
        let outside = column + near < self.ends.0 || column > self.ends.1 + near;
        let mut sum = 0.0;
        for (place, cost) in cost.iter_mut().enumerate() {
            // The boundary above this row.
            let row = if side == 0 {
                self.middle - place
            } else {
                self.middle + place
            };
            if place > 0 {
                let taken = if side == 0 { row } else { row - 1 };
                sum += if outside {
                    -1.0
                } else {
                    self.votes[taken * colours.width + column]
                };
            }
            let step = if row > 0 && row < colours.height && place > 0 && !outside {
                self.steps[row * colours.width + column]
            } else {
                0.0
            };
            *cost = -sum - STEP_WORTH * step;
        }
    }

    /// The upper (0) or the lower edge (1) in rows from the middle; away from a line, if one is given.
    fn edge(&self, colours: &Colours, side: usize, away: &[usize]) -> Vec<usize> {
        let places = [self.middle + 1, colours.height - self.middle + 1][side];
        let (first, last) = self.ends;
        let near = Self::near_end(colours);
        let jump = |column: usize| {
            if column.abs_diff(first) <= near || column.abs_diff(last) <= near {
                JUMP
            } else {
                f32::INFINITY
            }
        };
        let apart = colours.pixels(APART);
        best_path(colours.width, places, &MOVES, jump, |column, cost| {
            self.cost(colours, side, column, cost);
            if let Some(&line) = away.get(column) {
                let from = line.saturating_sub(apart);
                for cost in cost.iter_mut().skip(from).take(line + apart + 1 - from) {
                    *cost += AVOIDED;
                }
            }
        })
    }

    /// How much more another line costs than the one found, in each column.
    fn how_much_worse(&self, colours: &Colours, side: usize, other: &[usize]) -> Vec<f32> {
        let places = [self.middle + 1, colours.height - self.middle + 1][side];
        let mut cost = vec![0.0; places];
        let column = |(column, (&found, &other)): (usize, (&usize, &usize))| {
            self.cost(colours, side, column, &mut cost);
            cost[other] - cost[found]
        };
        self.lines[side]
            .iter()
            .zip(other)
            .enumerate()
            .map(column)
            .collect()
    }

    /// The board between both edges.
    fn between(&self, colours: &Colours) -> Ribbon {
        let (first, last) = self.ends;
        let near = Self::near_end(colours);
        let middle = self.middle;
        let top: Vec<f32> = self.lines[0]
            .iter()
            .map(|place| (middle - place) as f32)
            .collect();
        let bottom: Vec<f32> = self.lines[1]
            .iter()
            .map(|place| (middle + place) as f32)
            .collect();
        let dent = colours.pixels(DENT / 2.0);
        let (inner_first, inner_last) = (first + near.min(20), last.saturating_sub(near.min(20)));
        let tidy = |line: &[f32], outwards: f32| {
            let mut line = line.to_vec();
            if inner_last > inner_first + 2 * dent {
                fill_dents(&mut line[inner_first..=inner_last], dent, outwards);
            }
            smooth(&line)
        };
        Ribbon {
            top: tidy(&top, -1.0),
            bottom: tidy(&bottom, 1.0),
        }
    }

    /// The columns where the middle of the board ends: the run about the middle of the marks with the
    /// greatest sum of votes.
    fn end_columns(&self, colours: &Colours) -> (usize, usize) {
        let [left, _, right, _] = self.within;
        let rows = self.middle_rows(colours);
        let vote = |column: usize| -> f32 {
            rows.clone()
                .map(|row| self.votes[row * colours.width + column])
                .sum()
        };
        let centre = (left + right) / 2;
        let furthest = |columns: &mut dyn Iterator<Item = usize>| {
            let (mut sum, mut best, mut at) = (0.0, 0.0, centre);
            for column in columns {
                sum += vote(column);
                if sum > best {
                    (best, at) = (sum, column);
                }
            }
            at
        };
        let first = furthest(&mut (0..=centre.min(colours.width - 1)).rev());
        (first, furthest(&mut (centre..colours.width)))
    }

    /// The outline with how sure it is, once all rounds are done.
    pub(crate) fn found(&self, colours: &Colours) -> Option<(Ribbon, Seen<Ring>)> {
        let ribbon = self.ribbon.clone()?;
        let columns = ribbon.columns()?;
        let what = ribbon.outline(colours, OUTLINE_TOLERANCE)?;
        let (sure, because) = Evidence {
            votes: &self.votes,
            worse: &self.worse,
            ribbon: &ribbon,
            columns,
            ends: self.ends,
            middle: self.middle_rows(colours),
        }
        .sure(colours);
        Some((
            ribbon,
            Seen {
                what,
                sure,
                because,
            },
        ))
    }

    /// The rows round the middle that lie in the board from end to end.
    fn middle_rows(&self, colours: &Colours) -> Range<usize> {
        let [_, top, _, bottom] = self.within;
        let half = ((bottom - top) / 7).max(1);
        self.middle.saturating_sub(half)..(self.middle + half).min(colours.height)
    }
}

/// What surely is ground: most of what lies beyond the marks across the board, and the picture's border.
fn beyond(colours: &Colours, [_, top, _, bottom]: [usize; 4]) -> Beyond {
    let height = colours.height;
    let border = (height / 25).clamp(3, height / 6);
    let most = border.max(colours.pixels(40.0));
    // Wood may reach beyond marks that lie on it.
    let of = |beside: usize| (beside * 2 / 3).clamp(border, most);
    Beyond {
        left: border,
        right: border,
        top: of(top),
        bottom: of(height - bottom),
    }
}

/// The greatest distance, in millimetres, of the proposed outline from the edge as it was found.
const OUTLINE_TOLERANCE: f64 = 0.5;

/// How great the step in colour is between the three rows above each row and the three from it on, meant
/// along the board over some millimetres: 0 to 1.
fn steps_in_colour(colours: &Colours) -> Vec<f32> {
    let (width, height) = (colours.width, colours.height);
    let mut steps = vec![0.0; width * height];
    let mut line = vec![[0.0_f32; 3]; width];
    for row in 3..height.saturating_sub(2) {
        for (column, step) in line.iter_mut().enumerate() {
            for (axis, plane) in colours.planes.iter().enumerate() {
                let sum = |from: usize| -> f32 {
                    (from..from + 3).map(|r| plane[r * width + column]).sum()
                };
                step[axis] = (sum(row) - sum(row - 3)) / 3.0;
            }
        }
        for column in 0..width {
            let near = &line[column.saturating_sub(2)..(column + 3).min(width)];
            let mut squares = 0.0;
            for axis in 0..3 {
                let mean = near.iter().map(|step| step[axis]).sum::<f32>() / near.len() as f32;
                squares += mean * mean;
            }
            let step = squares.sqrt() / FULL_STEP;
            steps[row * width + column] = step.min(1.0) + ABOVE_FULL * (step - 1.0).max(0.0);
        }
    }
    steps
}

/// Fills dents narrower than twice `half`; `outwards` is the sign of rows away from the board.
fn fill_dents(line: &mut [f32], half: usize, outwards: f32) {
    let outer: Vec<f32> = extremes(line, half, outwards);
    let filled = extremes(&outer, half, -outwards);
    line.copy_from_slice(&filled);
}

/// The value furthest in a direction within `half` of each place.
fn extremes(line: &[f32], half: usize, towards: f32) -> Vec<f32> {
    (0..line.len())
        .map(|at| {
            let near = &line[at.saturating_sub(half)..(at + half + 1).min(line.len())];
            near.iter().fold(line[at], |best, value| {
                if (value - best) * towards > 0.0 {
                    *value
                } else {
                    best
                }
            })
        })
        .collect()
}

/// Steps of whole pixels made a line again, but not over the jumps at the ends.
fn smooth(line: &[f32]) -> Vec<f32> {
    let mut line = line.to_vec();
    for _ in 0..4 {
        let old = line.clone();
        for at in 1..line.len().saturating_sub(1) {
            if (old[at] - old[at - 1]).abs() < 4.0 && (old[at] - old[at + 1]).abs() < 4.0 {
                line[at] = 0.25 * old[at - 1] + 0.5 * old[at] + 0.25 * old[at + 1];
            }
        }
    }
    line
}
