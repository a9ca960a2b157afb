//! Parts and boards that have to do with each other, and the floor under what the parts cost.

use heartside_geometry::Arrange;
use heartside_timber::document::Cuts;
use heartside_timber::job::{Job, PartCut};
use heartside_timber::score::price_in_use;

use crate::bound::{blank_area, capacity, leaves};
use crate::cuts::frames::frame_angles;

use super::choice::{Offer, Row, cheapest};
use super::lines::{Lines, Yield};
use super::reach::Reach;
use super::wood::View;

/// Prices are moved so often for one choice of boards before it counts as one that might do.
const MOST_MOVES: u32 = 150;
/// Rows that are kept at most.
const MOST_ROWS: usize = 60;
/// By this share prices move at first.
const PACE: f64 = 0.1;
/// Moves after which they move half as far.
const HALF: f64 = 50.0;
/// Moves without a better set of prices after which they go back to the best and move less.
const PATIENCE: u32 = 30;

/// Boards alike.
struct Kind {
    /// Its place in the job's list.
    board: usize,
    /// Clear area, which holds for any way of cutting.
    area: f64,
    takes: Vec<bool>,
    lines: Ready,
    /// How much of each part's price the lines across stand for; those along for the rest.
    shares: Vec<f64>,
    /// What it yields at most at the prices.
    yields: Yield,
    /// By how many copies the lines along hold more than those across.
    off: Vec<f64>,
}

/// The lines of each frame, across the board and along it.
enum Ready {
    /// Only areas are known of it: it is sawn by line.
    ByArea,
    /// Still being made: the frames that wait, what is made of one, and all that is done.
    Making(Vec<f64>, Vec<Reach>, Vec<Lines>),
    Lines(Vec<[Lines; 2]>),
}

/// Parts and boards that have nothing to do with others.
pub(super) struct Group {
    parts: Vec<usize>,
    wanted: Vec<f64>,
    area: Vec<f64>,
    kinds: Vec<Kind>,
    offers: Vec<Offer>,
    rows: Vec<Row>,
    /// The cheapest boards that no row forbids.
    chosen: Vec<u32>,
    prices: Vec<f64>,
    /// Kinds whose yields at the prices are still to be worked out.
    waiting: Vec<usize>,
    /// The chosen boards do not suffice: the others are asked too, for a row.
    forbids: bool,
    climb: Climb,
    /// What boards cost.
    floor: f64,
    /// What is paid or earned besides.
    besides: f64,
    finished: bool,
}

/// How the prices move while one choice of boards is looked at.
#[derive(Default)]
struct Climb {
    moves: u32,
    since: u32,
    pace: f64,
    slope: Vec<f64>,
    /// The least that the chosen boards gave for what was needed, with its prices and shares.
    best: Option<(f64, Vec<f64>, Vec<Vec<f64>>)>,
}

impl Group {
    /// Parts and boards by their places in the job's lists; `copies` and `holds` speak of these.
    pub(super) fn new(
        job: &Job,
        parts: Vec<usize>,
        boards: &[usize],
        copies: &[u32],
        holds: &dyn Fn(usize, usize) -> bool,
    ) -> Group {
        let of = |p: &usize| &job.parts[*p];
        let wanted = parts
            .iter()
            .map(|p| f64::from(of(p).wanted_count()))
            .collect();
        let area = parts.iter().map(|p| blank_area(of(p)) / leaves(job, of(p)));
        let area: Vec<f64> = area.map(|a| a.max(f64::MIN_POSITIVE)).collect();
        let kind = |b: &usize| Kind {
            board: *b,
            area: capacity(job, &job.boards[*b], 0.0).plain.max(0.0),
            takes: parts.iter().map(|p| holds(*b, *p)).collect(),
            lines: match job.boards[*b].cuts {
                Cuts::Sawn => Ready::ByArea,
                Cuts::Straight | Cuts::Any => {
                    Ready::Making(frame_angles(job, *b), Vec::new(), Vec::new())
                }
            },
            shares: vec![0.5; parts.len()],
            yields: Yield::none(parts.len()),
            off: vec![0.0; parts.len()],
        };
        // What remains to be paid if all but the blanks were kept as offcuts.
        let rate = |b: usize| job.offcut_value * job.boards[b].thickness * 1e-9;
        let least = |b: usize| {
            let board = &job.boards[b];
            price_in_use(job, board) - rate(b) * board.outline.area()
        };
        let offer = |b: &usize| Offer {
            cost: least(*b).max(0.0),
            copies: copies[*b],
        };
        // A board that earns more than it costs counts as cut.
        let earns = boards
            .iter()
            .map(|b| f64::from(copies[*b]) * least(*b).min(0.0));
        let pays = parts.iter().zip(&area).map(|(p, area)| {
            let rates = boards.iter().filter(|b| holds(**b, *p)).map(|b| rate(*b));
            let lowest = rates.reduce(f64::min).unwrap_or(0.0);
            f64::from(of(p).wanted_count()) * area * lowest
        });
        let besides = earns.sum::<f64>() + pays.sum::<f64>();
        let mut group = Group {
            prices: area.clone(),
            kinds: boards.iter().map(kind).collect(),
            offers: boards.iter().map(offer).collect(),
            rows: Vec::new(),
            chosen: Vec::new(),
            waiting: Vec::new(),
            forbids: false,
            climb: Climb::default(),
            floor: 0.0,
            besides,
            finished: false,
            parts,
            wanted,
            area,
        };
        let rooms = group.kinds.iter().map(|k| group.by_area(k).value).collect();
        let need = group.earned();
        group.add(Row { rooms, need });
        group
    }

    pub(super) fn floor(&self) -> f64 {
        (self.floor + self.besides).max(0.0)
    }

    pub(super) fn is_finished(&self) -> bool {
        self.finished
    }

    /// Asks one kind of board, and draws what follows when all that were to be asked have answered.
    pub(super) fn step(&mut self, job: &Job) {
        if self.finished {
            return;
        }
        if let Some(k) = self.waiting.last().copied() {
            if !self.kinds[k].make(job, &self.parts) {
                return;
            }
            self.ask(k);
            self.waiting.pop();
        }
        if !self.waiting.is_empty() {
            return;
        }
        let need = self.earned();
        let given: f64 = self.chosen().map(|(n, kind)| n * kind.yields.value).sum();
        if !self.forbids && given >= need * (1.0 - 1e-6) {
            self.climb.moves += 1;
            self.finished = self.climb.moves >= MOST_MOVES;
            self.move_prices(given / need);
            self.begin();
            return;
        }
        if !self.forbids {
            self.forbids = true;
            self.waiting = (0..self.kinds.len())
                .filter(|k| self.chosen[*k] == 0)
                .collect();
        }
        if self.waiting.is_empty() {
            let rooms = self.kinds.iter().map(|k| k.yields.value).collect();
            self.add(Row { rooms, need });
        }
    }

    /// What all copies earn.
    fn earned(&self) -> f64 {
        let each = self.wanted.iter().zip(&self.prices);
        each.map(|(n, price)| n * price).sum()
    }

    fn chosen(&self) -> impl Iterator<Item = (f64, &Kind)> {
        let taken = self.chosen.iter().zip(&self.kinds);
        taken
            .filter(|(n, _)| **n > 0)
            .map(|(n, kind)| (f64::from(*n), kind))
    }

    /// Takes in what boards give at most, and chooses boards anew.
    fn add(&mut self, row: Row) {
        self.rows.push(row);
        let (floor, chosen) = cheapest(&self.offers, &self.rows);
        self.floor = self.floor.max(floor);
        self.finished = chosen.is_none() || self.rows.len() >= MOST_ROWS;
        self.chosen = chosen.unwrap_or_default();
        self.forbids = false;
        self.climb = Climb {
            pace: 1.0,
            slope: vec![0.0; self.parts.len()],
            ..Climb::default()
        };
        self.begin();
    }

    /// The chosen boards are to be asked.
    fn begin(&mut self) {
        self.waiting = (0..self.chosen.len())
            .filter(|k| self.chosen[*k] > 0)
            .collect();
        // Where nothing is needed that costs anything, nothing is left to prove.
        self.finished |= self.waiting.is_empty();
    }

    /// Dearer what the chosen boards yield too little of, cheaper what they yield too much of.
    fn move_prices(&mut self, ratio: f64) {
        let mut made = vec![0.0; self.parts.len()];
        for (n, kind) in self.chosen() {
            made.iter_mut()
                .zip(&kind.yields.copies)
                .for_each(|(m, c)| *m += n * c);
        }
        let before = self.earned();
        let climb = &mut self.climb;
        climb.since += 1;
        if climb.best.as_ref().is_none_or(|b| ratio < b.0) {
            let shares = self.kinds.iter().map(|k| k.shares.clone()).collect();
            climb.best = Some((ratio, self.prices.clone(), shares));
            climb.since = 0;
        } else if climb.since >= PATIENCE
            && let Some((_, prices, shares)) = &climb.best
        {
            self.prices.clone_from(prices);
            self.kinds
                .iter_mut()
                .zip(shares)
                .for_each(|(k, s)| k.shares.clone_from(s));
            climb.slope.fill(0.0);
            climb.pace *= 0.6;
            climb.since = 0;
            return;
        }
        let by = climb.pace * PACE / (1.0 + f64::from(climb.moves) / HALF);
        let slopes = climb.slope.iter_mut().zip(&mut self.prices);
        for ((slope, price), (made, wanted)) in slopes.zip(made.iter().zip(&self.wanted)) {
            let more = (made / wanted - ratio).clamp(-1.0, 2.0);
            *slope = 0.5 * (*slope + more);
            *price /= 1.0 + by * *slope;
        }
        for (kind, _) in self
            .kinds
            .iter_mut()
            .zip(&self.chosen)
            .filter(|(_, n)| **n > 0)
        {
            for (p, share) in kind.shares.iter_mut().enumerate() {
                let off = (kind.off[p] / self.wanted[p]).clamp(-2.0, 2.0);
                *share = (*share + by * off).clamp(0.0, 1.0);
            }
        }
        let scale = before / self.earned();
        self.prices.iter_mut().for_each(|p| *p *= scale);
    }

    /// Works out what a kind yields at most.
    fn ask(&mut self, k: usize) {
        let kind = &self.kinds[k];
        let mut yields = self.by_area(kind);
        let mut off = vec![0.0; self.parts.len()];
        if let Ready::Lines(frames) = &kind.lines {
            let found = frames.iter().map(|pair| self.by_lines(kind, pair));
            let most = found.reduce(|a, b| if b.0.value > a.0.value { b } else { a });
            if let Some(most) = most.filter(|m| m.0.value < yields.value) {
                (yields, off) = most;
            }
        }
        let kind = &mut self.kinds[k];
        (kind.yields, kind.off) = (yields, off);
    }

    /// By the lines of one frame: each part's price is shared out between lines across and along.
    fn by_lines(&self, kind: &Kind, [across, along]: &[Lines; 2]) -> (Yield, Vec<f64>) {
        let of_across: Vec<f64> = self
            .prices
            .iter()
            .zip(&kind.shares)
            .map(|(p, s)| p * s)
            .collect();
        let of_along: Vec<f64> = self
            .prices
            .iter()
            .zip(&of_across)
            .map(|(p, s)| p - s)
            .collect();
        let (a, b) = (across.best(&of_across), along.best(&of_along));
        let copies = a.copies.iter().zip(&b.copies).zip(&kind.shares);
        let copies = copies
            .map(|((a, b), share)| share * a + (1.0 - share) * b)
            .collect();
        let off = a.copies.iter().zip(&b.copies).map(|(a, b)| b - a).collect();
        (
            Yield {
                value: a.value + b.value,
                copies,
            },
            off,
        )
    }

    /// The dearest area first, no more copies than are wanted.
    fn by_area(&self, kind: &Kind) -> Yield {
        let mut order: Vec<usize> = (0..self.parts.len()).filter(|p| kind.takes[*p]).collect();
        let rate = |p: usize| self.prices[p] / self.area[p];
        order.arrange_by(|a, b| rate(*b).total_cmp(&rate(*a)).then(a.cmp(b)));
        let mut found = Yield::none(self.parts.len());
        let mut left = kind.area;
        for p in order {
            let count = (left / self.area[p]).min(self.wanted[p]);
            left -= count * self.area[p];
            found.copies[p] = count;
            found.value += count * self.prices[p];
        }
        found
    }
}

impl Kind {
    /// Makes a little more of the lines; true when they are ready.
    fn make(&mut self, job: &Job, parts: &[usize]) -> bool {
        let Ready::Making(frames, reach, done) = &mut self.lines else {
            return true;
        };
        let board = &job.boards[self.board];
        if reach.is_empty()
            && let Some(angle) = frames.pop()
        {
            let sizes = (straight_kerf(job), narrowest(job, parts));
            // Along first: the last is taken first.
            let of = |crosswise| Reach::new(job, board, View { angle, crosswise }, sizes);
            reach.extend([of(true), of(false)]);
            return false;
        }
        let Some(now) = reach.last_mut() else {
            let mut all = std::mem::take(done).into_iter();
            let mut pairs = Vec::new();
            while let (Some(across), Some(along)) = (all.next(), all.next()) {
                pairs.push([across, along]);
            }
            self.lines = Ready::Lines(pairs);
            return true;
        };
        if let Some(lines) = now.step(job, board, parts, &self.takes) {
            done.push(lines);
            reach.pop();
        }
        false
    }
}

/// The least kerf of a straight cut.
fn straight_kerf(job: &Job) -> f64 {
    let saws = job.workshop.tools.iter().filter(|t| t.rips || t.crosscuts);
    saws.map(|t| t.kerf).reduce(f64::min).unwrap_or(0.0)
}

/// The least side of a straight blank among the parts.
fn narrowest(job: &Job, parts: &[usize]) -> f64 {
    use heartside_timber::blank::straight_bounds;
    let straight = parts
        .iter()
        .map(|p| &job.parts[*p])
        .filter(|p| p.cut == PartCut::Straight);
    let sides = straight
        .map(straight_bounds)
        .map(|b| b.width().min(b.height()));
    sides.fold(1e4, f64::min).max(1.0)
}
