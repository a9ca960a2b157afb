//! Plans by stages: sections across the board, rows in them, columns in those, blanks stacked in columns.
//!
//! # What is searched
//! A node is a partial plan, filled from one corner; its children lay one more blank in
//! the open column, row, section or board (Libralesso & Fontan 2020; Fontan & Libralesso
//! 2020). The search is memory-bounded best-first: nodes wait in a queue of limited
//! length, the most promising is opened first, the least promising drops off the end; when
//! the queue is empty it starts again, twice as long, with the next guide. Guides weigh
//! the area lost against the area used and prefer nodes whose blanks are large, so that
//! small blanks are not spent early. Both directions of sections are searched at once.
//!
//! # What is pruned, and why that is safe
//! - Where a blank fits without enlarging anything, the levels above wait: see
//!   [`node::on_same_board`]. Safe: the blank could be moved there in any plan.
//! - Nodes that cannot beat the best plan known by area alone. Safe.
//! - Nodes whose parts another node has laid in no more room, and what drops off the
//!   queue. Not safe, only good; nothing is ever called proved here.
//!
//! Patterns are cut out of the boards by the same code as all others ([`replay`]), so a
//! plan that no tool can make never leaves this module.

mod node;
mod replay;

use heartside_geometry::Arrange;
use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, BTreeSet};

use heartside_timber::blank::Blank;
use heartside_timber::job::{Goal, Job, MatchKind, Part};
use heartside_timber::plan::Layout;

use heartside_nest::kit::{Chance, Engine, Task};

use self::node::{Front, Habit, Level, NONE, Node, first_front, on_same_board};
use crate::straight::boxed::{Axis, Boxes, Field, Mirror};

/// Queue of the first pass.
const FIRST_QUEUE: usize = 24;

/// Longest queue: nodes of a pass are kept until it ends, and this many keep them under 100 MB.
const LONGEST_QUEUE: usize = 20_000;

/// Most boards times kinds of parts: with more, no pass comes to an end in any time that a maker
/// waits, and what is made ready for it takes gigabytes.
const MOST_PAIRS: usize = 100_000;

/// Most nodes kept in one pass: some 60 MB, with room to grow into.
const MOST_NODES: usize = 500_000;

/// Most sets of blanks and boards whose fronts are remembered in one pass: some 100 MB.
///
/// Those that come later are not recognised when they come again. Without a limit a search of
/// five minutes came to a gigabyte.
const MOST_SEEN: usize = 200_000;

/// Fronts remembered of one set of blanks and boards.
const MOST_FRONTS: usize = 6;

/// Kinds of boards and first blanks tried where a new board is opened.
const NEW_BOARDS: usize = 3;
const FIRST_BLANKS: usize = 12;

/// Boards that are alike but for their copy.
#[derive(Debug, Clone)]
struct Kind {
    /// Place in the job's list.
    board: usize,
    /// Places of its copies in the list of boards.
    shelves: Vec<usize>,
    fields: Vec<usize>,
    cost: f64,
    /// Cost of a square millimetre; 1 where timber costs nothing.
    rate: f64,
    area: f64,
}

/// What a pass prefers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Guide {
    /// Least share lost.
    Waste,
    /// Least share lost, large blanks first.
    WasteBySize,
    /// As [`Guide::WasteBySize`], but a little loss is no worse than none.
    LossBySize,
    /// Least area for what it is worth.
    Worth,
    /// Least area for what it is worth, large blanks first.
    WorthBySize,
}

/// A search by stages over the boards of one task.
struct Staged {
    boxes: Boxes,
    full_pool: Vec<u32>,
    pieces: u32,
    fields: Vec<Field>,
    kinds: Vec<Kind>,
    chance: Chance,
    /// Area of one blank of each part.
    areas: Vec<f64>,
    /// Parts in order of value for area, for the ceiling of a knapsack.
    by_worth: Vec<usize>,
    /// Least rate of all boards.
    least_rate: f64,
    /// Measure of the best known: cost, length, or minus the value.
    best: f64,
    layouts: Vec<Layout>,
    pass: Pass,
    passes: usize,
    finished: bool,
}

/// One pass: a queue and the nodes it refers to.
#[derive(Default)]
struct Pass {
    limit: usize,
    guide: Option<Guide>,
    habit: Option<Habit>,
    /// Share of chance in the guide.
    noise: f64,
    nodes: Vec<Node>,
    queue: BTreeSet<(u64, u32)>,
    /// For blanks, board and area of the boards before: how far the board was filled.
    seen: BTreeMap<Known, Vec<Front>>,
    dropped: bool,
}

/// The same blanks on the same board after the same boards.
type Known = (u64, u16, u64);

impl Pass {
    /// True if as much was free with the same blanks before; else that is remembered, as far as there is room.
    fn knows(&mut self, known: Known, front: &Front) -> bool {
        let is_full = self.seen.len() >= MOST_SEEN;
        let fronts = match self.seen.entry(known) {
            Entry::Occupied(fronts) => fronts.into_mut(),
            Entry::Vacant(_) if is_full => return false,
            Entry::Vacant(place) => place.insert(Vec::new()),
        };
        if fronts.iter().any(|f| f.is_within(front)) {
            return true;
        }
        if fronts.len() < MOST_FRONTS {
            fronts.push(*front);
        }
        false
    }
}

impl Staged {
    /// For a task without pins, where plans of measure `best` are known; none where there is nothing to lay.
    fn new(job: &Job, task: Task, best: f64) -> Option<Staged> {
        let boxes = Boxes::new(job, &task);
        let full_pool = boxes.possible();
        let mut chance = task.chance.clone();
        let mut mark = || {
            let half = |c: &mut Chance| c.below(usize::MAX) as u64;
            (half(&mut chance) << 32) | half(&mut chance)
        };
        let marks: Vec<u64> = job.parts.iter().map(|_| mark()).collect();
        let (mut fields, mut kinds) = (Vec::new(), Vec::<Kind>::new());
        // Along a strip only sections shorten it.
        let both = !matches!(job.goal, Goal::StripLength | Goal::InOrder);
        for (place, index) in boxes.boards().enumerate() {
            if let Some(kind) = kinds.iter_mut().find(|k| k.board == index) {
                kind.shelves.push(place);
                continue;
            }
            let board = &job.boards[index];
            let views = boxes.fields(job, place, (&full_pool, &marks), (kinds.len(), both));
            let own: Vec<usize> = (fields.len()..fields.len() + views.len()).collect();
            fields.extend(views);
            if own.is_empty() {
                continue;
            }
            let area = fields[own[0]].usable.area().max(1e-9);
            let price = match job.goal {
                Goal::Furnish | Goal::InOrder => board.cost,
                Goal::StripLength | Goal::Value => 0.0,
            };
            kinds.push(Kind {
                board: index,
                shelves: vec![place],
                fields: own,
                cost: price + replay::reluctance(board),
                rate: if price > 0.0 { price / area } else { 1.0 },
                area,
            });
        }
        let nothing = full_pool.iter().all(|n| *n == 0);
        if nothing || fields.is_empty() || fields.len() > usize::from(u16::MAX) {
            return None;
        }
        // Of what may share its rectangle only its own area is sure to be taken up.
        let area = |(place, part): (usize, &Part)| {
            let blank = Blank::of(part);
            match boxes.may_pair(place) {
                true => blank.core.area(),
                false => blank.bounds().area(),
            }
        };
        let areas: Vec<f64> = job.parts.iter().enumerate().map(area).collect();
        let mut by_worth: Vec<usize> = (0..job.parts.len())
            .filter(|p| full_pool[*p] > 0 && job.parts[*p].value > 0.0)
            .collect();
        let worth = |p: usize| job.parts[p].value / areas[p].max(1e-9);
        by_worth.arrange_by(|a, b| worth(*b).total_cmp(&worth(*a)).then(a.cmp(b)));
        let least_rate = kinds.iter().map(|k| k.rate).fold(f64::INFINITY, f64::min);
        let mut staged = Staged {
            boxes,
            pieces: full_pool.iter().sum(),
            full_pool,
            fields,
            kinds,
            chance,
            areas,
            by_worth,
            least_rate,
            best,
            layouts: Vec::new(),
            pass: Pass::default(),
            passes: 0,
            finished: false,
        };
        staged.begin_pass(job);
        Some(staged)
    }

    /// Starts the next pass: the guides by turns, then a longer queue.
    fn begin_pass(&mut self, job: &Job) {
        let guides: &[Guide] = match job.goal {
            Goal::Value => &[Guide::Worth, Guide::WorthBySize, Guide::WasteBySize],
            Goal::StripLength | Goal::Furnish | Goal::InOrder => {
                &[Guide::WasteBySize, Guide::Waste, Guide::LossBySize]
            }
        };
        let obstacles = self.fields.iter().any(|f| f.has_obstacles);
        let round = self.passes / guides.len() / if obstacles { 4 } else { 1 };
        let doublings = u32::try_from(round % 10).unwrap_or(0);
        let mut room = std::mem::take(&mut self.pass.nodes);
        room.clear();
        self.pass = Pass {
            nodes: room,
            limit: (FIRST_QUEUE << doublings).min(LONGEST_QUEUE),
            guide: Some(guides[self.passes % guides.len()]),
            habit: Some(Habit {
                loose: obstacles,
                tall_first: round % 2 == 1,
            }),
            // After the first time through, passes differ by chance.
            noise: if round < 10 { 0.0 } else { 0.1 },
            ..Pass::default()
        };
        if obstacles {
            // Each length of queue from every corner, by turns.
            let corner = self.passes / guides.len() % 4;
            for field in self.fields.iter_mut().filter(|f| f.has_obstacles) {
                field.set_mirror(Mirror {
                    // What is left of the last board is to lie at its end.
                    along_u: corner % 2 == 1 && job.goal != Goal::InOrder,
                    along_v: corner / 2 == 1,
                });
            }
        }
        self.passes += 1;
        let pool = self.full_pool.clone();
        self.open_boards(job, None, &pool, &vec![0; self.kinds.len()]);
    }

    /// Opens the most promising node.
    fn open(&mut self, job: &Job, place: u32) -> Option<u32> {
        let node = self.pass.nodes[place as usize];
        let (pool, used) = self.left_by(place);
        if self.cannot_win(job, &node, &pool) {
            return None;
        }
        let field = &self.fields[usize::from(node.field)];
        let habit = self.pass.habit.unwrap_or(Habit {
            loose: false,
            tall_first: false,
        });
        let (mut children, mut starts) = (Vec::new(), Vec::new());
        let fits = on_same_board(field, &node, &pool, habit, &mut starts, &mut children);
        let mut won = None;
        for mut child in children {
            let block = &self.fields[usize::from(node.field)].blocks[usize::from(child.block)];
            child.parent = place;
            child.first_row = match child.level {
                Level::Stack | Level::Column => node.first_row,
                Level::Row => false,
                Level::Section | Level::Board => true,
            };
            child.first_column = match child.level {
                Level::Stack => node.first_column,
                Level::Column => false,
                _ => true,
            };
            child.area += block.area;
            child.value += block.value;
            child.count += block.blanks;
            child.parts = child.parts.wrapping_add(block.mark);
            won = self.consider(job, child).or(won);
        }
        if !fits {
            won = self.open_boards(job, Some(place), &pool, &used).or(won);
        }
        won
    }

    /// What is left to lay after a node, and how many boards of each kind are used.
    fn left_by(&self, place: u32) -> (Vec<u32>, Vec<u32>) {
        let (mut pool, mut used) = (self.full_pool.clone(), vec![0; self.kinds.len()]);
        let mut at = place;
        while at != NONE {
            let node = &self.pass.nodes[at as usize];
            let field = &self.fields[usize::from(node.field)];
            for (part, n) in &field.blocks[usize::from(node.block)].needs {
                pool[*part] -= n;
            }
            if node.level == Level::Board {
                used[field.kind] += 1;
            }
            at = node.parent;
        }
        (pool, used)
    }

    /// True where no plan that begins so is better than the best known.
    fn cannot_win(&self, job: &Job, node: &Node, pool: &[u32]) -> bool {
        let field = &self.fields[usize::from(node.field)];
        let close = 1e-9 * (1.0 + self.best.abs());
        match job.goal {
            Goal::Furnish => node.cost >= self.best - close,
            Goal::InOrder => {
                let left: f64 = (0..pool.len())
                    .map(|p| f64::from(pool[p]) * self.areas[p])
                    .sum();
                let used = node.closed + (node.front.area(&field.usable) + left) * self.least_rate;
                used.max(self.cost_in_order(node)) >= self.best - close
            }
            Goal::StripLength => {
                let left: f64 = (0..pool.len())
                    .map(|p| f64::from(pool[p]) * self.areas[p])
                    .sum();
                let used = node.front.area(&field.usable) + left;
                let length = (used / field.usable.height()).max(node.front.u1 - field.usable.min.x);
                length >= self.best - close
            }
            Goal::Value => {
                let total: f64 = self
                    .kinds
                    .iter()
                    .map(|k| k.area * k.shelves.len() as f64)
                    .sum();
                let mut room = total - node.closed - node.front.area(&field.usable);
                let mut value = node.value;
                for part in &self.by_worth {
                    if pool[*part] == 0 {
                        continue;
                    }
                    let offered = f64::from(pool[*part]) * self.areas[*part];
                    let share = (room / offered).clamp(0.0, 1.0);
                    value += share * f64::from(pool[*part]) * job.parts[*part].value;
                    room -= share * offered;
                }
                -value >= self.best - close
            }
        }
    }

    /// Puts a node into the queue, unless it is hopeless or known; its place, where it is the best plan so far.
    fn consider(&mut self, job: &Job, node: Node) -> Option<u32> {
        let field = &self.fields[usize::from(node.field)];
        let close = 1e-9 * (1.0 + self.best.abs());
        let measure = match job.goal {
            Goal::Furnish => node.cost,
            Goal::InOrder => self.cost_in_order(&node),
            Goal::StripLength => node.front.u1 - field.usable.min.x,
            Goal::Value => -node.value,
        };
        let is_whole = node.count == self.pieces;
        if job.goal != Goal::Value && measure >= self.best - close {
            return None;
        }
        let wins = (job.goal == Goal::Value || is_whole) && measure < self.best - close;
        if is_whole && !wins {
            return None;
        }
        let known = (node.parts, node.field, node.closed.to_bits());
        if self.pass.knows(known, &node.front) && !wins {
            return None;
        }
        let key = self.key(&node);
        let place = self.pass.nodes.len() as u32;
        if self.pass.queue.len() >= self.pass.limit {
            self.pass.dropped = true;
            let last = self.pass.queue.last().copied();
            if !wins && last.is_none_or(|last| (key, place) >= last) {
                return None;
            }
            self.pass.queue.pop_last();
        }
        self.pass.nodes.push(node);
        if !is_whole {
            self.pass.queue.insert((key, place));
        }
        if wins {
            self.best = measure;
            return Some(place);
        }
        None
    }

    /// The node's cost where the last board counts only as far as it is cut.
    fn cost_in_order(&self, node: &Node) -> f64 {
        let field = &self.fields[usize::from(node.field)];
        let kind = &self.kinds[field.kind];
        let share = (node.front.u1 - field.whole.min.x) / field.whole.width();
        node.cost - kind.cost * (1.0 - share)
    }

    /// How promising a node is: less is better. Never negative, so that bits order as numbers do.
    fn key(&mut self, node: &Node) -> u64 {
        let field = &self.fields[usize::from(node.field)];
        let kind = &self.kinds[field.kind];
        let used = node.closed + node.front.area(&field.usable) * kind.rate;
        let laid = node.area * self.least_rate;
        let lost = (used - laid).max(0.0) / used.max(1e-12);
        let mean = node.area / f64::from(node.count.max(1));
        let value = node.value.max(1e-12);
        let key = match self.pass.guide.unwrap_or(Guide::Waste) {
            Guide::Waste => lost,
            Guide::WasteBySize => lost / mean,
            Guide::LossBySize => (lost + 0.03) / mean,
            Guide::Worth => used / value,
            Guide::WorthBySize => used / value / mean,
        };
        let noise = if self.pass.noise > 0.0 {
            1.0 + self.pass.noise * self.chance.unit()
        } else {
            1.0
        };
        (key * noise).max(0.0).to_bits()
    }

    /// Children that lay a first blank on another board.
    fn open_boards(
        &mut self,
        job: &Job,
        parent: Option<u32>,
        pool: &[u32],
        used: &[u32],
    ) -> Option<u32> {
        let before = parent.map(|p| self.pass.nodes[p as usize]);
        let mut open: Vec<usize> = (0..self.kinds.len())
            .filter(|k| (used[*k] as usize) < self.kinds[*k].shelves.len())
            .collect();
        if job.goal == Goal::InOrder {
            open.truncate(1);
        }
        let left: f64 = (0..pool.len())
            .map(|p| f64::from(pool[p]) * self.areas[p])
            .sum();
        // The cheapest for what it will take, of those that take the hardest piece left.
        let takes = |kind: usize, part: usize| {
            self.kinds[kind]
                .fields
                .iter()
                .any(|f| self.fields[*f].blocks.iter().any(|b| b.needs[0].0 == part))
        };
        let hardest = (0..pool.len())
            .filter(|p| pool[*p] > 0)
            .filter_map(|p| {
                let takers = open.iter().filter(|k| takes(**k, p)).count();
                (takers > 0).then_some((p, self.areas[p] / takers as f64))
            })
            .max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)));
        let (hardest, _) = hardest?;
        open.retain(|k| takes(*k, hardest));
        let price = |k: usize| self.kinds[k].cost / self.kinds[k].area.min(left).max(1e-9);
        open.arrange_by(|a, b| price(*a).total_cmp(&price(*b)).then(a.cmp(b)));
        open.truncate(NEW_BOARDS);
        let closed = before.map_or(0.0, |node| {
            let kind = &self.kinds[self.fields[usize::from(node.field)].kind];
            node.closed + kind.area * kind.rate
        });
        let (mut starts, mut won) = (Vec::new(), None);
        for kind in open {
            for place in self.kinds[kind].fields.clone() {
                let field = &self.fields[place];
                let usable = field.usable;
                let mut firsts = Vec::new();
                for place_in_field in &field.order {
                    let block = &field.blocks[usize::from(*place_in_field)];
                    if !block.is_in(pool) {
                        continue;
                    }
                    let Some(at) = field.place(block, &usable, Axis::U, &mut starts) else {
                        continue;
                    };
                    firsts.push(Node {
                        parent: parent.unwrap_or(NONE),
                        field: place as u16,
                        block: *place_in_field,
                        level: Level::Board,
                        front: first_front(at, block.width(), block.height()),
                        first_row: true,
                        first_column: true,
                        closed,
                        cost: before.map_or(0.0, |b| b.cost) + self.kinds[kind].cost,
                        area: before.map_or(0.0, |b| b.area) + block.area,
                        value: before.map_or(0.0, |b| b.value) + block.value,
                        count: before.map_or(0, |b| b.count) + block.blanks,
                        parts: before.map_or(0, |b| b.parts).wrapping_add(block.mark),
                    });
                    if before.is_some() && firsts.len() == FIRST_BLANKS {
                        break;
                    }
                }
                for node in firsts {
                    won = self.consider(job, node).or(won);
                }
            }
        }
        won
    }
}

impl Staged {
    fn step(&mut self, job: &Job) -> bool {
        let next = self.pass.queue.pop_first();
        let Some((_, place)) = next.filter(|_| self.pass.nodes.len() < MOST_NODES) else {
            self.pass.dropped |= next.is_some();
            // A queue that never overflowed has seen everything there is, from each corner and by each habit.
            self.finished = !self.pass.dropped && self.passes > 24;
            if !self.finished {
                self.begin_pass(job);
            }
            return false;
        };
        let Some(won) = self.open(job, place) else {
            return false;
        };
        self.layouts = self.cut_out(job, won);
        true
    }
}

/// The search as an engine. What it works with is made at its first turn, so that it does
/// not stand in the way of a first plan.
pub(crate) struct ByStages {
    task: Option<Task>,
    staged: Option<Staged>,
    /// The best made elsewhere before the first turn.
    best: f64,
}

impl ByStages {
    /// For a task that can be searched by stages: no pins, no parts that must share a board.
    pub(crate) fn new(job: &Job, task: Task) -> Option<ByStages> {
        let bound_together = job.matches.iter().any(|m| m.kind == MatchKind::SameBoard);
        let has_work = !task.stock.is_empty() && task.wanted.iter().any(|w| !w.is_empty());
        let is_small = task.stock.len().saturating_mul(job.parts.len()) <= MOST_PAIRS;
        (has_work && is_small && task.pins.is_empty() && !bound_together).then_some(ByStages {
            task: Some(task),
            staged: None,
            best: f64::INFINITY,
        })
    }
}

impl Engine for ByStages {
    fn step(&mut self, job: &Job) -> bool {
        if let Some(task) = self.task.take() {
            self.staged = Staged::new(job, task, self.best);
            return false;
        }
        match &mut self.staged {
            Some(staged) if !staged.finished => staged.step(job),
            _ => false,
        }
    }

    fn turn_steps(&self) -> u64 {
        300
    }

    fn layouts(&self) -> &[Layout] {
        self.staged.as_ref().map_or(&[], |s| &s.layouts)
    }

    fn is_finished(&self) -> bool {
        self.task.is_none() && self.staged.as_ref().is_none_or(|s| s.finished)
    }

    fn adopt(&mut self, job: &Job, layouts: &[Layout]) -> bool {
        let best = match &mut self.staged {
            Some(staged) => &mut staged.best,
            None => &mut self.best,
        };
        let measure = replay::measure(job, layouts);
        let better = measure.is_some_and(|m| m < *best);
        if let Some(m) = measure.filter(|_| better) {
            *best = m;
        }
        better
    }

    fn chance_state(&self) -> u64 {
        self.staged.as_ref().map_or(0, |s| s.chance.state())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_pass_remembers_is_limited() {
        let mut pass = Pass::default();
        let front = first_front((0.0, 0.0), 10.0, 10.0);
        let most = MOST_SEEN as u64;
        for blanks in 0..most + 10 {
            assert!(!pass.knows((blanks, 0, 0), &front));
        }
        assert_eq!(pass.seen.len(), MOST_SEEN);
        assert!(pass.knows((3, 0, 0), &front));
        assert!(!pass.knows((most + 3, 0, 0), &front), "there was no room");
    }
}
