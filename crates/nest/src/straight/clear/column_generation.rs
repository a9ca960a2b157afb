//! The cheapest boards that give all pieces, by prices on the pieces.
//!
//! Each way of cutting a board up is a column of a covering problem (Gilmore & Gomory 1961,
//! 1966). A linear programme over the columns known gives every piece a price; for each kind
//! of board the pattern that is worth most at these prices is looked for, and one that is
//! worth more than its board costs becomes a column. Whole boards are then chosen by diving:
//! the column used most is bought, the rest decided again.
//!
//! # What is proved
//! Whatever the prices, all pieces are worth no more than the boards bought for them cost
//! plus, for every board that might be bought, what its best pattern is worth above its cost
//! (Lagrange; Geoffrion 1974). The worth of the best pattern is taken from its ceiling
//! (`Proof`), never from a pattern found, so neither the linear programme nor the columns it
//! knows need be believed.

use heartside_timber::document::Use;
use heartside_timber::job::Job;
use heartside_timber::plan::Layout;
use microlp::{ComparisonOp, OptimizationDirection, Problem};

use super::Proof;
use crate::engine::Engine;
use crate::objective::Choices;
use crate::straight::stockroom::{Stockroom, board_copy};
use crate::task::{Stock, Task};

/// Steps after which a pattern that is worth its board is taken without looking for a better one.
const SOON: u32 = 40;
/// Steps after which the search for a pattern is given up.
const MOST_STEPS: u32 = 4_000;
/// Rounds of prices between two dives.
const ROUNDS_A_DIVE: u32 = 25;
/// Most rounds in all.
const MOST_ROUNDS: u32 = 2_000;
/// Most pieces, and most kinds of parts.
const MOST_PIECES: u64 = 400;
/// Share of a board's cost by which a pattern must be worth more.
const CLOSE: f64 = 1e-7;

/// Boards alike.
struct Kind {
    cost: f64,
    stock: Vec<Stock>,
    /// One such board, and all parts.
    job: Job,
}

/// One way of cutting up a board of a kind.
struct Pattern {
    kind: usize,
    counts: Vec<u32>,
    layout: Layout,
}

/// What is done next.
enum Stage {
    /// New prices.
    Prices,
    /// The best pattern of a kind at these prices.
    Pattern {
        kind: usize,
        proof: Box<Proof>,
        steps: u32,
    },
    /// Boards bought so far, and what they leave to be covered.
    Dive {
        bought: Vec<usize>,
        left: Vec<u32>,
    },
    Done,
}

/// The search as an engine.
pub(crate) struct ColumnGeneration {
    kinds: Vec<Kind>,
    demand: Vec<u32>,
    task: Task,
    patterns: Vec<Pattern>,
    prices: Vec<f64>,
    /// Of each kind seen in this round: what no pattern is worth more than.
    ceilings: Vec<f64>,
    /// Patterns found in this round.
    found: usize,
    rounds: u32,
    /// No further prices are looked for.
    is_settled: bool,
    stage: Stage,
    floor: f64,
    layouts: Vec<Layout>,
}

impl ColumnGeneration {
    /// For clear boards, each with its price; none where offcuts earn money or boards differ in other ways.
    pub(crate) fn new(job: &Job, task: Task) -> Option<ColumnGeneration> {
        let is_plain = Choices::of(job).furnishes
            && job.offcut_value == 0.0
            && task.pins.is_empty()
            && job.matches.is_empty()
            && job.piece_count() <= MOST_PIECES;
        if !is_plain || task.stock.len() < 2 {
            return None;
        }
        let mut kinds: Vec<Kind> = Vec::new();
        for stock in &task.stock {
            let board = &job.boards[stock.board];
            if board.usage != Use::Freely || board.cost <= 0.0 {
                return None;
            }
            if let Some(kind) = kinds.iter_mut().find(|k| k.stock[0].board == stock.board) {
                kind.stock.push(*stock);
                continue;
            }
            kinds.push(Kind {
                cost: board.cost,
                stock: vec![*stock],
                job: Job {
                    boards: vec![board.clone()],
                    ..job.clone()
                },
            });
        }
        let mut generation = ColumnGeneration {
            demand: task.wanted.iter().map(|w| w.len() as u32).collect(),
            patterns: Vec::new(),
            prices: vec![0.0; job.parts.len()],
            ceilings: Vec::new(),
            found: 0,
            rounds: 0,
            is_settled: false,
            stage: Stage::Prices,
            floor: 0.0,
            layouts: Vec::new(),
            kinds,
            task,
        };
        // Every kind of board must be one whose best pattern can be proved.
        for kind in 0..generation.kinds.len() {
            generation.set_prices(kind, |_| 1.0);
            generation.proof(kind)?;
        }
        generation.drop_what_fits_nowhere(job);
        Some(generation)
    }

    /// Pieces that no board takes are nobody's to place.
    fn drop_what_fits_nowhere(&mut self, job: &Job) {
        let room = Stockroom::new(job, &self.task);
        for (part, wanted) in self.demand.iter_mut().enumerate() {
            if !room.shelves.iter().any(|s| room.takes(s, part)) {
                *wanted = 0;
            }
        }
    }

    fn set_prices(&mut self, kind: usize, price: impl Fn(usize) -> f64) {
        let parts = self.kinds[kind].job.parts.iter_mut().enumerate();
        for (place, part) in parts {
            part.value = if self.demand[place] > 0 {
                price(place)
            } else {
                0.0
            };
        }
    }

    /// The search for the best pattern of a kind at its present prices.
    fn proof(&self, kind: usize) -> Option<Proof> {
        let task = Task {
            stock: vec![Stock { board: 0, copy: 1 }],
            ..self.task.clone()
        };
        let mut proof = Proof::new(&self.kinds[kind].job, task)?;
        proof.known = self.kinds[kind].cost * (1.0 + CLOSE);
        Some(proof)
    }

    /// The most worthwhile prices at which no pattern known is worth more than its board.
    fn solve_prices(&self) -> Option<Vec<f64>> {
        let mut problem = Problem::new(OptimizationDirection::Maximize);
        // No piece is worth more than all boards together; no price is without end before patterns are known.
        let all: f64 = self.kinds.iter().map(|k| k.cost).fold(0.0, f64::max);
        let prices: Vec<_> = self
            .demand
            .iter()
            .map(|n| problem.add_var(f64::from(*n), (0.0, if *n > 0 { all } else { 0.0 })))
            .collect();
        // What a board is worth beyond its cost because there are no more of its kind.
        let scarce: Vec<_> = self
            .kinds
            .iter()
            .map(|k| problem.add_var(-(k.stock.len() as f64), (0.0, f64::INFINITY)))
            .collect();
        for pattern in &self.patterns {
            let counted = pattern.counts.iter().enumerate().filter(|(_, n)| **n > 0);
            let mut sum: Vec<_> = counted.map(|(p, n)| (prices[p], f64::from(*n))).collect();
            sum.push((scarce[pattern.kind], -1.0));
            problem.add_constraint(&sum[..], ComparisonOp::Le, self.kinds[pattern.kind].cost);
        }
        let solved = problem.solve().ok()?.into_solution().ok()?;
        Some(
            prices
                .iter()
                .map(|p| solved.var_value(*p).max(0.0))
                .collect(),
        )
    }

    /// The column to buy next for what is left to cover, and how often; none where nothing can be bought.
    fn solve_boards(&self, bought: &[usize], left: &[u32]) -> Option<(usize, usize)> {
        let mut problem = Problem::new(OptimizationDirection::Minimize);
        let useful = |p: &Pattern| p.counts.iter().zip(left).any(|(n, l)| *n > 0 && *l > 0);
        let columns: Vec<_> = self
            .patterns
            .iter()
            .enumerate()
            .filter(|(_, p)| useful(p))
            .map(|(place, p)| {
                let cost = self.kinds[p.kind].cost;
                (place, p, problem.add_var(cost, (0.0, f64::INFINITY)))
            })
            .collect();
        for (part, wanted) in left.iter().enumerate().filter(|(_, n)| **n > 0) {
            let with = columns.iter().filter(|(_, p, _)| p.counts[part] > 0);
            // What lies in the pattern beyond need counts for nothing.
            let sum: Vec<_> = with
                .map(|(_, p, x)| (*x, f64::from(p.counts[part].min(*wanted))))
                .collect();
            problem.add_constraint(&sum[..], ComparisonOp::Ge, f64::from(*wanted));
        }
        for (place, kind) in self.kinds.iter().enumerate() {
            let used = bought.iter().filter(|b| self.patterns[**b].kind == place);
            let free = kind.stock.len().saturating_sub(used.count());
            let of_kind = columns.iter().filter(|(_, p, _)| p.kind == place);
            let sum: Vec<_> = of_kind.map(|(_, _, x)| (*x, 1.0)).collect();
            if !sum.is_empty() {
                problem.add_constraint(&sum[..], ComparisonOp::Le, free as f64);
            }
        }
        let solved = problem.solve().ok()?.into_solution().ok()?;
        let most = columns
            .iter()
            .map(|(place, _, x)| (*place, solved.var_value(*x)))
            .max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)))
            .filter(|(_, share)| *share > 1e-7)?;
        Some((most.0, (most.1 + 1e-6).floor().max(1.0) as usize))
    }

    /// The floor that these prices prove, once every kind's best pattern has a ceiling.
    fn prove(&mut self) {
        let worth: f64 = self
            .prices
            .iter()
            .zip(&self.demand)
            .map(|(p, n)| p * f64::from(*n))
            .sum();
        let above: f64 = self
            .kinds
            .iter()
            .zip(&self.ceilings)
            .map(|(k, ceiling)| k.stock.len() as f64 * (ceiling - k.cost).max(0.0))
            .sum();
        let shares = self
            .kinds
            .iter()
            .zip(&self.ceilings)
            .map(|(k, c)| k.cost / c.max(k.cost));
        // Prices lowered until no pattern is worth more than its board prove as much as they are still worth.
        let lowered = worth * shares.fold(1.0, f64::min);
        let whole = self.kinds.iter().all(|k| k.cost.fract() == 0.0);
        let floor = (worth - above).max(lowered) * (1.0 - 1e-9);
        let floor = if whole { (floor - 1e-6).ceil() } else { floor };
        if floor.is_finite() {
            self.floor = self.floor.max(floor);
        }
    }

    fn next_kind(&mut self, kind: usize) {
        self.stage = if kind < self.kinds.len() {
            let prices = std::mem::take(&mut self.prices);
            self.set_prices(kind, |part| prices[part]);
            self.prices = prices;
            match self.proof(kind) {
                Some(proof) => Stage::Pattern {
                    kind,
                    proof: Box::new(proof),
                    steps: 0,
                },
                None => {
                    // Nothing of worth fits on it.
                    self.ceilings.push(0.0);
                    return self.next_kind(kind + 1);
                }
            }
        } else {
            self.prove();
            self.is_settled = self.found == 0 || self.rounds >= MOST_ROUNDS;
            if self.is_settled || self.rounds.is_multiple_of(ROUNDS_A_DIVE) {
                let left = self.demand.clone();
                Stage::Dive {
                    bought: Vec::new(),
                    left,
                }
            } else {
                Stage::Prices
            }
        };
    }

    /// A pattern becomes a column.
    fn learn(&mut self, kind: usize, layouts: &[Layout]) {
        let Some(layout) = layouts.first() else {
            return;
        };
        let job = &self.kinds[kind].job;
        let count = |part: &heartside_timber::job::Part| {
            let laid = layout.placements.iter().filter(|p| p.part == part.id);
            laid.count() as u32
        };
        self.patterns.push(Pattern {
            kind,
            counts: job.parts.iter().map(count).collect(),
            layout: layout.clone(),
        });
        self.found += 1;
    }

    /// Layouts of the boards bought; what lies there beyond need is left out.
    fn lay_out(&self, job: &Job, bought: &[usize]) -> Vec<Layout> {
        let mut left: Vec<std::vec::IntoIter<u32>> = self
            .task
            .wanted
            .iter()
            .map(|w| w.clone().into_iter())
            .collect();
        let mut used = vec![0usize; self.kinds.len()];
        let mut layouts = Vec::new();
        for place in bought {
            let pattern = &self.patterns[*place];
            let stock = &self.kinds[pattern.kind].stock;
            let Some(stock) = stock.get(used[pattern.kind]) else {
                continue;
            };
            used[pattern.kind] += 1;
            let mut dealt = Vec::new();
            let mut beyond = Vec::new();
            for placement in &pattern.layout.placements {
                let part = job.part_index(&placement.part);
                match part.and_then(|part| left[part].next()) {
                    Some(copy) => dealt.push(copy),
                    None => beyond.push(placement.part_copy()),
                }
            }
            let mut layout = pattern.layout.clone().without(|copy| beyond.contains(copy));
            for (placement, copy) in layout.placements.iter_mut().zip(dealt) {
                placement.copy = copy;
            }
            layout.board = board_copy(job, *stock);
            if !layout.placements.is_empty() {
                layouts.push(layout);
            }
        }
        layouts
    }
}

impl Engine for ColumnGeneration {
    fn step(&mut self, job: &Job) -> bool {
        match std::mem::replace(&mut self.stage, Stage::Done) {
            Stage::Prices => {
                if let Some(prices) = self.solve_prices() {
                    self.prices = prices;
                    self.ceilings.clear();
                    self.found = 0;
                    self.rounds += 1;
                    self.next_kind(0);
                }
                false
            }
            Stage::Pattern {
                kind,
                mut proof,
                steps,
            } => {
                proof.step(&self.kinds[kind].job);
                let is_found = !proof.layouts.is_empty();
                if proof.is_finished() || (is_found && steps >= SOON) || steps >= MOST_STEPS {
                    let layouts = std::mem::take(&mut proof.layouts);
                    self.learn(kind, &layouts);
                    self.ceilings.push(proof.ceiling.max(proof.known));
                    let before = self.floor;
                    self.next_kind(kind + 1);
                    return self.floor > before;
                }
                let steps = steps + 1;
                self.stage = Stage::Pattern { kind, proof, steps };
                false
            }
            Stage::Dive {
                mut bought,
                mut left,
            } => {
                if left.iter().all(|n| *n == 0) {
                    self.layouts = self.lay_out(job, &bought);
                    if !self.is_settled {
                        self.stage = Stage::Prices;
                    }
                    return true;
                }
                match self.solve_boards(&bought, &left) {
                    Some((column, times)) => {
                        for _ in 0..times {
                            bought.push(column);
                            let counts = &self.patterns[column].counts;
                            left.iter_mut()
                                .zip(counts)
                                .for_each(|(l, n)| *l = l.saturating_sub(*n));
                        }
                        self.stage = Stage::Dive { bought, left };
                    }
                    None if !self.is_settled => self.stage = Stage::Prices,
                    None => {}
                }
                false
            }
            Stage::Done => false,
        }
    }

    fn turn_steps(&self) -> u64 {
        100
    }

    fn layouts(&self) -> &[Layout] {
        &self.layouts
    }

    fn is_finished(&self) -> bool {
        matches!(self.stage, Stage::Done)
    }

    fn adopt(&mut self, job: &Job, layouts: &[Layout]) -> bool {
        // Good boards of other engines are columns too.
        for layout in layouts {
            let kind = self.kinds.iter().position(|k| {
                let board = &job.boards[k.stock[0].board];
                board.id == layout.board.board
            });
            let is_new = |patterns: &[Pattern], kind: usize| {
                patterns.iter().all(|p| {
                    p.kind != kind
                        || p.layout.placements.len() != layout.placements.len()
                        || p.counts.iter().zip(&job.parts).any(|(n, part)| {
                            let laid = layout.placements.iter().filter(|l| l.part == part.id);
                            laid.count() as u32 != *n
                        })
                })
            };
            if let Some(kind) = kind.filter(|k| is_new(&self.patterns, *k)) {
                self.learn(kind, std::slice::from_ref(layout));
            }
        }
        false
    }

    fn limit(&self) -> Option<f64> {
        Some(self.floor)
    }
}
