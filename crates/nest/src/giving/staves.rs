//! Which staves to try next: as wide as boards give them, from the boards that come cheapest.
//!
//! A proposal takes from every board what it gives for each number of staves (`lanes`), chooses boards
//! that make up the panel at the least cost (a covering knapsack over widths and numbers, by dynamic
//! programming over what no other choice beats), and narrows staves to what is missing. It says where
//! the staves lie, so that a trial need not find that again. Boards that the plan cuts anyway cost
//! nothing more and give what is free on them; what boards cost is told a little differently every
//! time, so that proposals differ.

use heartside_geometry::Arrange;
use heartside_timber::choices::{PanelChoice, Stave, stave_id};
use heartside_timber::job::{Job, Panel};
use heartside_timber::plan::Plan;
use heartside_timber::score::price_in_use;

use super::choosing::{Copy, Given, Offer, Sawn, cheapest, share};
use super::end_to_end::Joining;
use super::lanes::{Asked, tenth_down, tenth_up};
use super::laying::{Lying, Proposal};
use super::offers::{
    Beside, asked, equal_widths, of_panel, on_board, wants, with_copies, with_sample,
};
use crate::chance::Chance;
use crate::fit::species_fits;
use crate::task::usable_stock;

/// By so much more is asked of the boards where staves could not be shared out between copies.
const MORE: [f64; 3] = [0.0, 0.04, 0.1];

/// True where a panel could be made of other staves than it is.
pub(super) fn gives(panel: &Panel) -> bool {
    panel.ends.allowed || (panel.max_count > 1 && panel.widths.0 < panel.widths.1)
}

/// How many proposals were made, and what empty boards give.
#[derive(Default)]
pub(super) struct Staves {
    made: usize,
    joining: Joining,
    known: Vec<(usize, usize, Asked, Vec<Given>)>,
}

impl Staves {
    /// The staves of all panels, those of one panel chosen anew; none where this proposal comes to
    /// nothing.
    pub(super) fn next(&mut self, job: &Job, plan: &Plan, chance: &mut Chance) -> Option<Proposal> {
        let giving: Vec<usize> = (0..job.panels.len())
            .filter(|k| gives(&job.panels[*k]))
            .collect();
        let turn = self.made;
        self.made += 1;
        let place = *giving.get(turn % giving.len().max(1))?;
        let mut turn = turn / giving.len();
        let panel = &job.panels[place];
        let copies: Vec<Copy> = panel.copies.iter().map(|c| wants(job, panel, c)).collect();
        if panel.ends.allowed {
            let is_joined = turn.is_multiple_of(2);
            turn /= 2;
            if is_joined {
                return self.joining.next(job, plan, (place, &copies), turn, chance);
            }
        }
        let is_beside = turn % 2 == 1;
        let widths = if panel.equal {
            let need = copies.iter().map(|c| c.need).find(|need| *need > 0.0)?;
            let widths = equal_widths(panel, need);
            let width = *widths.get(turn / 2 % widths.len().max(1))?;
            (width, width)
        } else {
            (tenth_up(panel.widths.0), tenth_down(panel.widths.1))
        };
        // The first of either kind is by the true prices.
        let blur = if turn < 2 { 0.0 } else { 0.4 };
        let offers = self.offers(
            job,
            place,
            is_beside.then_some(plan),
            widths,
            (blur, chance),
        )?;
        let shared = MORE.iter().find_map(|more| {
            let chosen = cheapest(&offers, &copies, widths.0 - panel.joint, 1.0 + more)?;
            share(chosen, &copies, panel, widths.0)
        })?;
        let (mut own, mut lying) = (Vec::new(), Vec::new());
        for ((copy, wants), sawn) in panel.copies.iter().zip(&copies).zip(shared) {
            let (staves, lanes) = numbered(copy, &wants.kept, sawn);
            let mut pairs = staves.windows(2);
            let stands_apart = pairs.all(|p| panel.keeps_apart(&p[0], &p[1]));
            if !stands_apart || !panel.allows(&staves, &wants.held) {
                return None;
            }
            let id = |n| stave_id(&panel.part.id, copy.panel.copy, n);
            lying.extend(lanes.into_iter().map(|(n, (stock, way, lane))| Lying {
                stave: id(n),
                stock,
                lane,
                way,
            }));
            own.push(PanelChoice {
                panel: copy.panel.clone(),
                staves,
            });
        }
        Some(Proposal {
            panels: with_copies(job, place, &own),
            lying,
            is_beside,
        })
    }

    /// What every board gives.
    fn offers(
        &mut self,
        job: &Job,
        place: usize,
        beside: Option<&Plan>,
        widths: (f64, f64),
        (blur, chance): (f64, &mut Chance),
    ) -> Option<Vec<Offer>> {
        let panel = &job.panels[place];
        // What wood asks of a stave is asked of one that there is.
        let part = job.parts.iter().position(|p| {
            let of_panel = p.stave.as_ref().is_some_and(|s| s.panel == place);
            of_panel && p.in_hand.is_empty()
        })?;
        // Where that is a piece of one, of a whole one like it.
        let own = &job.parts[part];
        let is_piece = own.stave.as_ref().is_some_and(|s| s.piece > 0);
        let whole = match is_piece {
            true => Some(with_sample(job, own, (panel.length, own.width()))?),
            false => None,
        };
        let part = whole.as_ref().map_or(part, |whole| whole.parts.len() - 1);
        let job = whole.as_ref().unwrap_or(job);
        let mut offers = Vec::new();
        for stock in usable_stock(job, |_| true) {
            let board = &job.boards[stock.board];
            if !species_fits(board, &job.parts[part]) {
                continue;
            }
            let layout = beside.and_then(|plan| plan.layout(&board.id, stock.copy));
            let others = layout.map(|l| l.clone().without(|c| of_panel(job, place, &c.part)));
            let others = others.filter(|l| !l.placements.is_empty());
            let Some(asked) = asked(job, panel, &job.parts[part], stock.board, widths) else {
                continue;
            };
            let at = (part, stock.board);
            let given = match &others {
                Some(layout) => on_board(job, at, asked, &Beside::of(layout)),
                None => {
                    let is_it = |k: &&(usize, usize, Asked, Vec<Given>)| {
                        (k.0, k.1, k.2) == (place, stock.board, asked)
                    };
                    match self.known.iter().find(is_it) {
                        Some((.., given)) => given.clone(),
                        None => {
                            let given = on_board(job, at, asked, &Beside::default());
                            let known = (place, stock.board, asked, given.clone());
                            self.known.push(known);
                            given
                        }
                    }
                }
            };
            if given.len() < 2 {
                continue;
            }
            let in_use = others.is_some();
            let cost = if in_use {
                0.0
            } else {
                price_in_use(job, board)
            };
            let cost = cost * (1.0 + blur * (chance.unit() - 0.5));
            offers.push(Offer { stock, cost, given });
        }
        Some(offers)
    }
}

/// Staves of these widths beside those that stay: one that is as wide as one there was has its number.
fn numbered(copy: &PanelChoice, kept: &[Stave], sawn: Vec<Sawn>) -> (Vec<Stave>, Vec<(u32, Sawn)>) {
    let mut taken: Vec<u32> = kept.iter().map(|s| s.number).collect();
    let mut lanes: Vec<(u32, Sawn)> = Vec::new();
    let mut fresh = Vec::new();
    for stave in sawn {
        let alike = |s: &&Stave| {
            let is_free = s.pieces.is_empty() && !taken.contains(&s.number);
            is_free && (s.width - stave.2.width).abs() < 1e-6
        };
        match copy.staves.iter().find(alike) {
            Some(same) => {
                taken.push(same.number);
                lanes.push((same.number, stave));
            }
            None => fresh.push(stave),
        }
    }
    let mut free = (1..).filter(|n| !taken.contains(n));
    lanes.extend(
        fresh
            .into_iter()
            .map_while(|stave| Some((free.next()?, stave))),
    );
    let whole = |(number, sawn): &(u32, Sawn)| Stave::whole(*number, sawn.2.width);
    let mut staves: Vec<Stave> = kept
        .iter()
        .cloned()
        .chain(lanes.iter().map(whole))
        .collect();
    staves.arrange_by_key(|s| s.number);
    (staves, lanes)
}

#[cfg(test)]
mod tests {
    use heartside_testkit::panel_job;
    use heartside_timber::choices::Choices;
    use heartside_timber::prepare::{prepare, prepare_with};

    use super::*;
    use crate::giving::laying::laid;

    /// What is proposed first for a job, on the boards as they are, and how many of the staves lie there.
    fn proposed(seed: u32) -> Option<(Vec<PanelChoice>, usize, usize)> {
        let document = panel_job(seed);
        let job = prepare(&document).job;
        let mut chance = Chance::new(1, 0, 7);
        let proposal = Staves::default().next(&job, &Plan::default(), &mut chance)?;
        let choices = Choices {
            panels: proposal.panels.clone(),
            ..Choices::default()
        };
        let other = prepare_with(&document, &choices).job;
        assert_eq!(other.panel_choices(), proposal.panels, "panel {seed}");
        let laid = laid(&other, Vec::new(), &proposal);
        let count = laid.iter().map(|l| l.placements.len()).sum();
        Some((proposal.panels, proposal.lying.len(), count))
    }

    #[test]
    fn proposed_staves_lie_as_proposed() {
        let mut waiting = Vec::new();
        for seed in 0..100 {
            if let Some((panels, staves, count)) = proposed(seed) {
                assert_eq!(staves, panels[0].staves.len(), "panel {seed}");
                if count < staves {
                    waiting.push((seed, count, staves));
                }
            }
        }
        // Lanes know of no fences and no slivers: now and then a saw cannot free them.
        assert!(waiting.len() <= 5, "{waiting:?}");
    }
}
