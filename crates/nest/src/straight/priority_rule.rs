//! What one filling prefers: drawn anew for each, so that repeated fillings differ.

use crate::chance::Chance;
use crate::cuts::cutting::First;
use crate::cuts::position::Edge;

/// The preferences of one filling.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct PriorityRule {
    /// How much a blank's area weighs: above 1 large blanks come first, below 1 good fits do.
    pub(crate) area: f64,
    /// How much a blank's length weighs besides.
    pub(crate) length: f64,
    /// What an exact fit along or across is worth.
    pub(crate) exact: f64,
    /// Spread of chance over the choice; 0 is none.
    pub(crate) noise: f64,
    /// Percent of blanks freed by rips first.
    pub(crate) rips_percent: u32,
    /// Takes the blanks in order of size and looks for the best workpiece, instead of the other way round.
    pub(crate) by_order: bool,
    /// Which edge blanks are laid against.
    pub(crate) edge: Edge,
    /// Percent of workpieces that are first divided where several blanks end together.
    pub(crate) divide_percent: u32,
    /// Whether sawn parts may share a rectangle.
    pub(crate) pairs: bool,
}

impl PriorityRule {
    /// Without chance: the first plan.
    pub(crate) const PLAIN: PriorityRule = PriorityRule {
        area: 1.0,
        length: 1.0,
        exact: 0.3,
        noise: 0.0,
        rips_percent: 50,
        by_order: false,
        edge: Edge::Low,
        divide_percent: 0,
        pairs: true,
    };

    /// Longest first into the first workpiece that takes it.
    pub(crate) const LONGEST_FIRST: PriorityRule = PriorityRule {
        area: 0.0,
        length: 1.0,
        exact: 0.0,
        noise: 0.0,
        rips_percent: 100,
        by_order: true,
        edge: Edge::Low,
        divide_percent: 0,
        pairs: false,
    };

    /// Drawn by chance, over the ranges in which fillings were found good; `spread` is the most noise.
    pub(crate) fn drawn(chance: &mut Chance, spread: f64) -> PriorityRule {
        PriorityRule {
            area: 0.3 + 1.2 * chance.unit(),
            length: 2.0 * chance.unit(),
            exact: chance.unit(),
            noise: spread * chance.unit() * chance.unit(),
            rips_percent: [0, 15, 50, 85, 100][chance.below(5)],
            by_order: chance.percent(35),
            edge: if chance.percent(15) {
                Edge::High
            } else {
                Edge::Low
            },
            divide_percent: [0, 0, 5, 15, 30][chance.below(5)],
            pairs: chance.percent(75),
        }
    }

    /// Which cuts come first for the next blank.
    pub(crate) fn first(&self, chance: &mut Chance) -> First {
        if self.rips_percent == 100 || (self.rips_percent > 0 && chance.percent(self.rips_percent))
        {
            First::Rips
        } else {
            First::Crosscuts
        }
    }

    /// A factor round 1.
    pub(crate) fn jitter(&self, chance: &mut Chance) -> f64 {
        if self.noise == 0.0 {
            1.0
        } else {
            1.0 + self.noise * (2.0 * chance.unit() - 1.0)
        }
    }
}
