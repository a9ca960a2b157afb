//! Filling one board, blank by blank.

use heartside_geometry::Arrange;
use heartside_geometry::math;
use heartside_timber::job::Job;
use heartside_timber::plan::Direction;

use super::priority_rule::PriorityRule;
use crate::chance::Chance;
use crate::cuts::cutting::Cutting;
use crate::cuts::fits::Fit;
use crate::cuts::ground::Ground;
use crate::cuts::saw::Saws;
use crate::cuts::side::Side;
use crate::objective::Choices;

/// How many of the most promising blanks are tried on a workpiece before it is given up.
///
/// Most that are small enough fit at once; a workpiece full of defects refuses many, and
/// then looking further down the list is slow and finds crumbs.
const MOST_CANDIDATES: usize = 24;

/// In a list longer than this the parts too large for what is open are passed over in one step: at one
/// a step a list of thousands would be gone through for every board.
const LONG_LIST: usize = 400;

/// What a part is worth to a filling, apart from where it goes.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Worth {
    /// Pieces of higher priority first, and those that few boards can take.
    pub(crate) weight: f64,
    /// Value of one, for knapsacks; its blank's area elsewhere.
    pub(crate) measure: f64,
}

/// One board being filled.
#[derive(Debug, Clone)]
pub(crate) struct Filling {
    /// The board so far.
    pub(crate) cutting: Cutting,
    rule: PriorityRule,
    order: Vec<usize>,
    next: usize,
}

/// What filling needs to know besides.
pub(crate) struct Shop<'a> {
    /// The job.
    pub(crate) job: &'a Job,
    /// The board in its frame.
    pub(crate) ground: &'a Ground,
    /// The tools.
    pub(crate) saws: &'a Saws,
    /// What each part is worth.
    pub(crate) worths: &'a [Worth],
}

impl Filling {
    /// Goes on with a board by these preferences.
    pub(crate) fn new(
        shop: &Shop<'_>,
        cutting: Cutting,
        rule: PriorityRule,
        pool: &[u32],
        chance: &mut Chance,
    ) -> Filling {
        let order = if rule.by_order {
            order_by_size(shop, &rule, pool, chance)
        } else {
            Vec::new()
        };
        Filling {
            cutting,
            rule,
            order,
            next: 0,
        }
    }

    /// Lays one blank or gives one workpiece (or part) up; false once nothing is left to try.
    pub(crate) fn advance(
        &mut self,
        shop: &Shop<'_>,
        pool: &mut [u32],
        chance: &mut Chance,
    ) -> bool {
        if self.rule.by_order {
            self.lay_next_part(shop, pool, chance)
        } else {
            self.fill_next_leaf(shop, pool, chance)
        }
    }

    /// The smallest open workpiece gets the best blank for it, or is closed.
    fn fill_next_leaf(&mut self, shop: &Shop<'_>, pool: &mut [u32], chance: &mut Chance) -> bool {
        let area = |leaf: usize| self.cutting.works[leaf].map_or(0.0, |w| w.tight.area());
        let Some(leaf) = self
            .cutting
            .open
            .iter()
            .copied()
            .min_by(|a, b| area(*a).total_cmp(&area(*b)).then(a.cmp(b)))
        else {
            return false;
        };
        let mut candidates = self.candidates(shop, leaf, pool, chance);
        if self.rule.divide_percent > 0
            && candidates.len() > 1
            && chance.percent(self.rule.divide_percent)
            && self.divide(shop, leaf, &candidates, chance)
        {
            return true;
        }
        candidates.arrange_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        for (_, choice) in candidates.into_iter().take(MOST_CANDIDATES) {
            if self.lay(shop, leaf, choice, pool, chance) {
                return true;
            }
        }
        self.cutting.open.retain(|o| *o != leaf);
        true
    }

    /// Cuts a workpiece right across where two or three blanks, one after the other, would end.
    ///
    /// Without this every cut would run along some single blank, and patterns whose first
    /// cut only lines up with a sum of blanks (Herz 1972: all that matter do) were never met.
    fn divide(
        &mut self,
        shop: &Shop<'_>,
        leaf: usize,
        candidates: &[(f64, Choice)],
        chance: &mut Chance,
    ) -> bool {
        let Some(work) = self.cutting.works[leaf] else {
            return false;
        };
        let Some(room) = work.tight.intersection(shop.ground.usable) else {
            return false;
        };
        let (side, kerf) = if chance.percent(50) {
            (Side::HighX, Direction::Crosscut)
        } else {
            (Side::HighY, Direction::Rip)
        };
        let Some(kerf) = shop.saws.least_kerf(shop.job, kerf) else {
            return false;
        };
        let (start, end) = match side {
            Side::HighX => (room.min.x, room.max.x),
            _ => (room.min.y, room.max.y),
        };
        let mut edge = start;
        for k in 0..2 + chance.below(2) {
            let fit = candidates[chance.below(candidates.len())]
                .1
                .fit(shop.ground);
            let extent = if side == Side::HighX {
                fit.width
            } else {
                fit.height
            };
            let next = edge + extent + if k > 0 { kerf } else { 0.0 };
            if next >= end - kerf {
                break;
            }
            edge = next;
        }
        let edge = shop.job.snap(edge + shop.ground.grid_step() * 0.5);
        edge > start
            && self
                .cutting
                .part_in_two(shop.job, shop.ground, shop.saws, leaf, side, edge)
                .is_some()
    }

    /// Parts and pairs small enough for a workpiece, with what they are worth there.
    fn candidates(
        &self,
        shop: &Shop<'_>,
        leaf: usize,
        pool: &[u32],
        chance: &mut Chance,
    ) -> Vec<(f64, Choice)> {
        let Some(work) = self.cutting.works[leaf] else {
            return Vec::new();
        };
        let room = work.tight;
        let play = shop.ground.bite;
        let mut list = Vec::new();
        for choice in self.choices(shop.ground, pool) {
            let fit = choice.fit(shop.ground);
            if fit.width > room.width() + play || fit.height > room.height() + play {
                continue;
            }
            let worths = choice.parts(shop.ground).map(|part| &shop.worths[part]);
            let measure: f64 = worths.clone().map(|w| w.measure).sum();
            let weight = worths.map(|w| w.weight).fold(0.0, f64::max);
            let base = power(measure, self.rule.area) * weight;
            let long = 1.0
                + self.rule.length * fit.width.max(fit.height) / room.width().max(room.height());
            let exact = |extent: f64, room: f64| {
                if extent > 0.985 * room {
                    self.rule.exact
                } else {
                    0.0
                }
            };
            let fits = 1.0 + exact(fit.width, room.width()) + exact(fit.height, room.height());
            list.push((base * long * fits * self.rule.jitter(chance), choice));
        }
        list
    }

    /// The next part in order goes into the workpiece that it fits best, or is left for other boards.
    fn lay_next_part(&mut self, shop: &Shop<'_>, pool: &mut [u32], chance: &mut Chance) -> bool {
        while self.next < self.order.len() && pool[self.order[self.next]] == 0 {
            self.next += 1;
        }
        if self.order.len() > LONG_LIST {
            self.pass_over(shop, pool);
        }
        let Some(part) = self.order.get(self.next).copied() else {
            return false;
        };
        let play = shop.ground.bite;
        // A pair with the part in it goes before the part alone.
        let mut places: Vec<(bool, f64, usize, Choice)> = Vec::new();
        for choice in self.choices_with(shop.ground, pool, part) {
            let fit = choice.fit(shop.ground);
            for leaf in &self.cutting.open {
                let Some(work) = self.cutting.works[*leaf] else {
                    continue;
                };
                let (spare_x, spare_y) = (
                    work.tight.width() - fit.width,
                    work.tight.height() - fit.height,
                );
                if spare_x >= -play && spare_y >= -play {
                    places.push((
                        matches!(choice, Choice::One { .. }),
                        spare_x.min(spare_y) * self.rule.jitter(chance),
                        *leaf,
                        choice,
                    ));
                }
            }
        }
        places.arrange_by(|a, b| {
            let spare = a.1.total_cmp(&b.1);
            a.0.cmp(&b.0).then(spare).then((a.2, a.3).cmp(&(b.2, b.3)))
        });
        for (_, _, leaf, choice) in places {
            if self.lay(shop, leaf, choice, pool, chance) {
                return true;
            }
        }
        self.next += 1;
        true
    }

    /// Goes on to the next part that is small enough for some workpiece.
    fn pass_over(&mut self, shop: &Shop<'_>, pool: &[u32]) {
        let play = shop.ground.bite;
        let leaves = self.cutting.open.iter();
        let rooms: Vec<(f64, f64)> = leaves
            .filter_map(|leaf| self.cutting.works[*leaf])
            .map(|work| (work.tight.width() + play, work.tight.height() + play))
            .collect();
        let has_room = |part: usize| {
            let mut choices = self.choices_with(shop.ground, pool, part);
            choices.any(|choice| {
                let fit = choice.fit(shop.ground);
                let mut rooms = rooms.iter();
                rooms.any(|(width, height)| fit.width <= *width && fit.height <= *height)
            })
        };
        let waiting = self.order[self.next..].iter();
        let passed = waiting.take_while(|part| pool[**part] == 0 || !has_room(**part));
        self.next += passed.count();
    }

    /// What may still be laid of a part: alone, and in pairs where this filling likes them.
    fn choices_with<'a>(
        &self,
        ground: &'a Ground,
        pool: &'a [u32],
        part: usize,
    ) -> impl Iterator<Item = Choice> + use<'a> {
        let ones = 0..if pool[part] > 0 {
            ground.fits[part].len()
        } else {
            0
        };
        let pairs = if self.rule.pairs {
            0..ground.pairs.len()
        } else {
            0..0
        };
        let twos = pairs.map(|pair| Choice::Two { pair });
        ones.map(move |fit| Choice::One { part, fit }).chain(
            twos.filter(move |two| two.parts(ground).any(|p| p == part) && two.is_in(ground, pool)),
        )
    }

    /// All that may still be laid: single parts, and pairs where this filling likes them.
    fn choices<'a>(
        &self,
        ground: &'a Ground,
        pool: &'a [u32],
    ) -> impl Iterator<Item = Choice> + use<'a> {
        let left = pool.iter().enumerate().filter(|(_, left)| **left > 0);
        let ones = left.flat_map(|(part, _)| {
            let fits = 0..ground.fits[part].len();
            fits.map(move |fit| Choice::One { part, fit })
        });
        let pairs = if self.rule.pairs {
            0..ground.pairs.len()
        } else {
            0..0
        };
        let twos = pairs.map(|pair| Choice::Two { pair });
        ones.chain(twos.filter(|two| two.is_in(ground, pool)))
    }

    /// Lays a choice in a workpiece and takes it out of the pool; false where it finds no place there.
    fn lay(
        &mut self,
        shop: &Shop<'_>,
        leaf: usize,
        choice: Choice,
        pool: &mut [u32],
        chance: &mut Chance,
    ) -> bool {
        let first = self.rule.first(chance);
        let bench = (shop.job, shop.ground, shop.saws);
        let how = (self.rule.edge, first);
        let fit = choice.fit(shop.ground);
        let is_laid = match choice {
            Choice::One { part, .. } => self.cutting.lay(bench, leaf, part, fit, how),
            Choice::Two { pair } => {
                let pair = &shop.ground.pairs[pair];
                self.cutting.lay_pair(bench, leaf, pair, how)
            }
        };
        if is_laid {
            choice.parts(shop.ground).for_each(|part| pool[part] -= 1);
        }
        is_laid
    }
}

/// What may be laid next.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Choice {
    /// A part, and the place of its fit.
    One { part: usize, fit: usize },
    /// The place of a pair.
    Two { pair: usize },
}

impl Choice {
    fn fit(self, ground: &Ground) -> &Fit {
        match self {
            Choice::One { part, fit } => &ground.fits[part][fit],
            Choice::Two { pair } => &ground.pairs[pair].fit,
        }
    }

    fn parts(self, ground: &Ground) -> impl Iterator<Item = usize> + Clone + use<> {
        let (first, second) = match self {
            Choice::One { part, .. } => (part, None),
            Choice::Two { pair } => {
                let [first, second] = ground.pairs[pair].parts;
                (first, Some(second))
            }
        };
        std::iter::once(first).chain(second)
    }

    fn is_in(self, ground: &Ground, pool: &[u32]) -> bool {
        self.parts(ground).all(|part| {
            let needs = self.parts(ground).filter(|p| *p == part).count();
            pool[part] as usize >= needs
        })
    }
}

fn order_by_size(
    shop: &Shop<'_>,
    rule: &PriorityRule,
    pool: &[u32],
    chance: &mut Chance,
) -> Vec<usize> {
    let mut keyed: Vec<(f64, usize)> = pool
        .iter()
        .enumerate()
        .filter(|(_, left)| **left > 0)
        .map(|(part, _)| {
            let outline = &shop.job.parts[part];
            let longest = outline.length().max(outline.width());
            let worth = &shop.worths[part];
            let long = power(longest, 1.0 + rule.length);
            (
                power(worth.measure, rule.area) * long * worth.weight * rule.jitter(chance),
                part,
            )
        })
        .collect();
    keyed.arrange_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    keyed.into_iter().map(|k| k.1).collect()
}

fn power(base: f64, exponent: f64) -> f64 {
    if exponent == 1.0 {
        base
    } else if exponent == 0.0 {
        1.0
    } else {
        math::powf(base, exponent)
    }
}

/// What each part is worth to fillings of this job.
///
/// `takers` is the share of the stock that could take the part at all.
pub(crate) fn worths(job: &Job, takers: &[f64]) -> Vec<Worth> {
    let is_value = Choices::of(job).is_value();
    let last = job.parts.iter().map(|p| p.priority).max().unwrap_or(1);
    job.parts
        .iter()
        .zip(takers)
        .map(|(part, takers)| {
            let bounds = heartside_timber::blank::Blank::of(part).bounds();
            let measure = if is_value {
                part.value.max(0.0)
            } else {
                bounds.area()
            };
            // Each step of priority outweighs any difference of size met on one board.
            let steps = if is_value {
                0
            } else {
                (last - part.priority).min(6)
            };
            let urgency = (0..steps).fold(1.0, |w, _| w * 1000.0);
            Worth {
                weight: urgency * (1.0 + 2.0 * (1.0 - takers)),
                measure: measure.max(1e-9),
            }
        })
        .collect()
}
