//! From which boards staves come, and how many from each: a covering knapsack over widths and numbers.

use heartside_geometry::Arrange;
use heartside_timber::choices::{Held, Stave};
use heartside_timber::job::Panel;

use super::lanes::{Lane, tenth_down};
use crate::task::Stock;

/// Choices of boards that are gone on with, for each number of staves.
const MOST_CHOICES: usize = 48;

/// So many staves of one board: what they make up once glued, how they lie in the frame turned by an
/// angle, and whether turned over.
#[derive(Debug, Clone)]
pub(super) struct Given {
    pub(super) sum: f64,
    pub(super) lanes: Vec<Lane>,
    pub(super) way: (f64, bool),
}

/// A copy of a board, what it gives for each number of staves, and what it costs to cut it.
pub(super) struct Offer {
    pub(super) stock: Stock,
    pub(super) cost: f64,
    pub(super) given: Vec<Given>,
}

/// What a copy of a panel still wants.
pub(super) struct Copy {
    pub(super) held: Held,
    pub(super) kept: Vec<Stave>,
    pub(super) need: f64,
    pub(super) most: usize,
}

/// A stave of an offer: which, and its lane.
pub(super) type Sawn = (Stock, (f64, bool), Lane);

/// Some boards of the offers and how many staves each gives.
#[derive(Clone)]
struct Choice {
    cost: f64,
    sum: f64,
    staves: Vec<(usize, usize)>,
}

/// The staves that make up all copies at the least cost, as few as can be; none where all boards
/// together do not. O(boards x staves² x choices).
pub(super) fn cheapest(
    offers: &[Offer],
    copies: &[Copy],
    least: f64,
    more: f64,
) -> Option<Vec<Sawn>> {
    let need: f64 = copies.iter().map(|c| c.need).sum();
    let count: usize = copies.iter().map(|c| c.most).sum();
    let wanted = need * more;
    let none = Choice {
        cost: 0.0,
        sum: 0.0,
        staves: Vec::new(),
    };
    // For each number of staves what no other choice beats in both cost and width, the cheapest first.
    let mut best: Vec<Vec<Choice>> = vec![Vec::new(); count + 1];
    best[0].push(none);
    for (k, offer) in offers.iter().enumerate() {
        for before in (0..count).rev() {
            let from = best[before].clone();
            for (own, given) in offer.given.iter().enumerate().skip(1) {
                let to = before + own;
                // More staves than make up the panel at their narrowest.
                if to > count || to as f64 * least > need + 1e-6 {
                    break;
                }
                for choice in from.iter().filter(|c| c.sum < wanted - 1e-6) {
                    let (cost, sum) = (choice.cost + offer.cost, choice.sum + given.sum);
                    let sum = sum.min(wanted);
                    let beaten = |c: &Choice| c.cost <= cost && c.sum >= sum - 1e-6;
                    if best[to].iter().any(beaten) {
                        continue;
                    }
                    let staves = choice.staves.iter().copied().chain([(k, own)]).collect();
                    best[to].retain(|c| !(cost <= c.cost && sum >= c.sum));
                    best[to].push(Choice { cost, sum, staves });
                }
            }
        }
        for choices in &mut best {
            choices.arrange_by(|a, b| a.cost.total_cmp(&b.cost).then(b.sum.total_cmp(&a.sum)));
            thin_out(choices);
        }
    }
    let whole = best
        .into_iter()
        .flatten()
        .filter(|c| c.sum >= wanted - 1e-6);
    let best = whole.reduce(|a, b| if b.cost < a.cost { b } else { a })?;
    let mut sawn = Vec::new();
    for (k, own) in best.staves {
        let (offer, given) = (&offers[k], &offers[k].given[own]);
        sawn.extend(
            given
                .lanes
                .iter()
                .map(|lane| (offer.stock, given.way, *lane)),
        );
    }
    Some(sawn)
}

/// Keeps as many choices as are gone on with, from the cheapest to the widest.
fn thin_out(choices: &mut Vec<Choice>) {
    let count = choices.len();
    if count > MOST_CHOICES {
        let mut at = 0;
        choices.retain(|_| {
            at += 1;
            (at - 1) * MOST_CHOICES / count != at * MOST_CHOICES / count || at == 1
        });
    }
}

/// Shares staves out to the copies and narrows them to what is missing; none where that cannot be.
pub(super) fn share(
    mut sawn: Vec<Sawn>,
    copies: &[Copy],
    panel: &Panel,
    least: f64,
) -> Option<Vec<Vec<Sawn>>> {
    let worth = |s: &Sawn| s.2.width - panel.joint;
    sawn.arrange_by(|a, b| b.2.width.total_cmp(&a.2.width));
    let mut all: Vec<(f64, Vec<Sawn>)> = copies.iter().map(|c| (c.need, Vec::new())).collect();
    for stave in sawn {
        // The widest to where most is missing.
        let open = (0..all.len()).filter(|k| all[*k].1.len() < copies[*k].most);
        let most = open.reduce(|a, b| if all[b].0 > all[a].0 { b } else { a })?;
        if all[most].0 > 1e-6 {
            all[most].0 -= worth(&stave);
            all[most].1.push(stave);
        }
    }
    for (missing, staves) in &mut all {
        let mut over = -*missing;
        if over < -1e-6 {
            return None;
        }
        // What is as narrow as what is over is not needed at all.
        while let Some(last) = staves
            .last()
            .filter(|s| !panel.equal && worth(s) <= over + 1e-6)
        {
            over -= worth(last);
            staves.pop();
        }
        for stave in staves.iter_mut().rev() {
            let less = tenth_down(over.min(stave.2.width - least)).max(0.0);
            stave.2.width = (stave.2.width * 10.0 - less * 10.0).round() / 10.0;
            over -= less;
        }
    }
    Some(all.into_iter().map(|(_, staves)| staves).collect())
}
