//! Which staves to try next: as wide as boards give them, from the boards that come cheapest.
//!
//! A proposal takes from every board what it gives for each number of staves (`lanes`), chooses boards
//! that make up the panel at the least cost (a covering knapsack over widths and numbers, by dynamic
//! programming over what no other choice beats), and narrows staves to what is missing. It says where
//! the staves lie, so that a trial need not find that again. Boards that the plan cuts anyway cost
//! nothing more and give what is free on them; what boards cost is told a little differently every
//! time, so that proposals differ.

use std::collections::BTreeMap;

use heartside_geometry::{Arrange, Bounds};
use heartside_timber::blank::greatest_finished_thickness;
use heartside_timber::choices::{PanelChoice, Stave, stave_id};
use heartside_timber::document::{BoardCopy, Cuts, ZoneKind};
use heartside_timber::job::{Job, Panel, Part};
use heartside_timber::plan::{Layout, Placement, Plan, Way};
use heartside_timber::score::price_in_use;

use super::lanes::{Asked, Lane, Wood, tenth_down, tenth_up};
use crate::chance::Chance;
use crate::cuts::frames::frame_angles;
use crate::cuts::ground::Ground;
use crate::fit::{grain_allows, same_turn, species_fits};
use crate::straight::tree_for::{TreeResult, tree_for};
use crate::task::{Stock, usable_stock};

/// Cuts looked at for the order of cuts of one board.
const TREE_STEPS: u64 = 4_000;

/// Choices of boards that are gone on with, for each number of staves.
const MOST_CHOICES: usize = 48;

/// By so much more is asked of the boards where staves could not be shared out between copies.
const MORE: [f64; 3] = [0.0, 0.04, 0.1];

/// True where a panel could be made of other staves than it is.
pub(super) fn gives(panel: &Panel) -> bool {
    panel.max_count > 1 && panel.widths.0 < panel.widths.1
}

/// How many proposals were made, and what empty boards give.
#[derive(Default)]
pub(super) struct Staves {
    made: usize,
    known: Vec<(usize, usize, Asked, Vec<Given>)>,
}

/// Staves for all panels, and where those of one panel lie.
pub(super) struct Proposal {
    pub panels: Vec<PanelChoice>,
    pub lying: Vec<Lying>,
    /// What else lies on these boards stays there.
    pub is_beside: bool,
}

/// Where a stave lies.
pub(super) struct Lying {
    stave: String,
    stock: Stock,
    lane: Lane,
    way: (f64, bool),
}

/// So many staves of one board: what they make up once glued, how they lie in the frame turned by an
/// angle, and whether turned over.
#[derive(Debug, Clone)]
struct Given {
    sum: f64,
    lanes: Vec<Lane>,
    way: (f64, bool),
}

/// A copy of a board, what it gives for each number of staves, and what it costs to cut it.
struct Offer {
    stock: Stock,
    cost: f64,
    given: Vec<Given>,
}

/// What a copy of a panel still wants.
struct Copy {
    held: BTreeMap<u32, f64>,
    kept: BTreeMap<u32, f64>,
    need: f64,
    most: usize,
}

/// A stave of an offer: which, and its lane.
type Sawn = (Stock, (f64, bool), Lane);

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
        let turn = turn / giving.len();
        let panel = &job.panels[place];
        let is_beside = turn % 2 == 1;
        let copies: Vec<Copy> = panel.copies.iter().map(|c| wants(job, panel, c)).collect();
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
            if !panel.allows(&staves, &wants.held) {
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
        let mut panels = Vec::new();
        for (k, other) in job.panels.iter().enumerate() {
            let copies = if k == place { &own } else { &other.copies };
            panels.extend(copies.iter().cloned());
        }
        Some(Proposal {
            panels,
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
            let given = match &others {
                Some(layout) => on_board(job, (part, stock.board), asked, Some(layout)),
                None => {
                    let is_it = |k: &&(usize, usize, Asked, Vec<Given>)| {
                        (k.0, k.1, k.2) == (place, stock.board, asked)
                    };
                    match self.known.iter().find(is_it) {
                        Some((.., given)) => given.clone(),
                        None => {
                            let given = on_board(job, (part, stock.board), asked, None);
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

fn of_panel(job: &Job, place: usize, part: &str) -> bool {
    let stave = job.part(part).and_then(|p| p.stave.as_ref());
    stave.is_some_and(|s| s.panel == place)
}

/// What one copy wants besides the staves that stay as they are: in hand, or pinned.
fn wants(job: &Job, panel: &Panel, copy: &PanelChoice) -> Copy {
    let (mut held, mut kept) = (BTreeMap::new(), BTreeMap::new());
    for stave in &copy.staves {
        let id = stave_id(&panel.part.id, copy.panel.copy, stave.number);
        let is_held = job.part(&id).is_some_and(|p| !p.in_hand.is_empty());
        if is_held {
            held.insert(stave.number, stave.width);
        }
        if is_held || job.pins.iter().any(|pin| pin.part.part == id) {
            kept.insert(stave.number, stave.width);
        }
    }
    let there: f64 = kept.values().map(|w| w - panel.joint).sum();
    Copy {
        need: (panel.width - panel.joint - there).max(0.0),
        most: (panel.max_count as usize).saturating_sub(kept.len()),
        held,
        kept,
    }
}

/// The widths that staves of one width may have where so much is missing, the widest first.
fn equal_widths(panel: &Panel, need: f64) -> Vec<f64> {
    let all = (1..=panel.max_count).map(|n| tenth_up(need / f64::from(n) + panel.joint));
    all.filter(|w| (panel.widths.0..=panel.widths.1).contains(w))
        .collect()
}

/// What is asked of a board; none where no tool can saw staves from it.
fn asked(
    job: &Job,
    panel: &Panel,
    stave: &Part,
    board: usize,
    (least, most): (f64, f64),
) -> Option<Asked> {
    let thickness = job.boards[board].thickness;
    let kerf = |rips: bool| {
        let tools = job.workshop.tools.iter().filter(|t| !t.trues);
        let able = tools.filter(|t| if rips { t.rips } else { t.crosscuts });
        able.map(|t| t.kerf).fold(f64::INFINITY, f64::min)
    };
    let kerf = match job.boards[board].cuts {
        Cuts::Sawn if job.workshop.can_saw_by_line(thickness) => {
            let line = job.workshop.sawn_kerf_for(thickness);
            (line, line)
        }
        Cuts::Sawn => return None,
        _ => (kerf(true), kerf(false)),
    };
    let long = stave.length() + 2.0 * stave.allowances.end;
    let most = tenth_down(thick_enough(job, board, stave, long, most));
    let wanted = panel.max_count * panel.part.count;
    (kerf.0.is_finite() && kerf.1.is_finite() && most >= least).then_some(Asked {
        long,
        widths: (least, most),
        edges: 2.0 * stave.allowances.edge,
        joint: panel.joint,
        most: wanted as usize,
        kerf,
    })
}

/// What a board gives for each number of staves, in any frame and either face up; beside what lies
/// there in the frame of that.
fn on_board(
    job: &Job,
    (part, board): (usize, usize),
    asked: Asked,
    layout: Option<&Layout>,
) -> Vec<Given> {
    let angles = match layout {
        Some(layout) => vec![layout.frame.angle],
        None => frame_angles(job, board),
    };
    let mut all: Vec<Given> = Vec::new();
    for angle in angles {
        if !grain_allows(&job.boards[board], &job.parts[part], angle) {
            continue;
        }
        let ground = Ground::for_parts(job, board, angle, &|p| p == part);
        let placements = layout.iter().flat_map(|l| &l.placements);
        let others: Option<Vec<Bounds>> = placements
            .map(|p| ground.rect_of(job.part(&p.part)?, &p.at))
            .collect();
        let Some(others) = others else { continue };
        let fits = ground.fits[part].iter();
        for fit in fits.filter(|fit| same_turn(fit.turn, angle)) {
            let wood = Wood::new(&ground, fit.class, &others, asked, job.tolerance.extra);
            for (count, (sum, lanes)) in wood.gives().into_iter().enumerate() {
                let given = Given {
                    sum,
                    lanes,
                    way: (angle, fit.turned_over),
                };
                match all.get_mut(count) {
                    Some(known) if known.sum >= given.sum => {}
                    Some(known) => *known = given,
                    None => all.push(given),
                }
            }
        }
    }
    all
}

/// The widest stave for which the board is thick enough once flat, at most `most`.
fn thick_enough(job: &Job, board: usize, stave: &Part, long: f64, most: f64) -> f64 {
    let board = &job.boards[board];
    let edges = 2.0 * stave.allowances.edge;
    let fits = |width: f64| {
        greatest_finished_thickness(board, &stave.allowances, long, width + edges)
            >= stave.thickness
    };
    let (mut low, mut high) = (0.0, most.min(board.outline.bounds().height()));
    if fits(high) {
        return high;
    }
    for _ in 0..20 {
        let middle = (low + high) / 2.0;
        if fits(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    low
}

/// Some boards of the offers and how many staves each gives.
#[derive(Clone)]
struct Choice {
    cost: f64,
    sum: f64,
    staves: Vec<(usize, usize)>,
}

/// The staves that make up all copies at the least cost, as few as can be; none where all boards
/// together do not. O(boards x staves² x choices).
fn cheapest(offers: &[Offer], copies: &[Copy], least: f64, more: f64) -> Option<Vec<Sawn>> {
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
fn share(
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

/// Staves of these widths beside those that stay: one that is as wide as one there was has its number.
fn numbered(
    copy: &PanelChoice,
    kept: &BTreeMap<u32, f64>,
    sawn: Vec<Sawn>,
) -> (Vec<Stave>, Vec<(u32, Sawn)>) {
    let mut taken: Vec<u32> = kept.keys().copied().collect();
    let mut lanes: Vec<(u32, Sawn)> = Vec::new();
    let mut fresh = Vec::new();
    for stave in sawn {
        let alike =
            |s: &&Stave| (s.width - stave.2.width).abs() < 1e-6 && !taken.contains(&s.number);
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
    let width = |(number, sawn): &(u32, Sawn)| Stave {
        number: *number,
        width: sawn.2.width,
    };
    let kept = kept.iter().map(|(number, width)| Stave {
        number: *number,
        width: *width,
    });
    let mut staves: Vec<Stave> = kept.chain(lanes.iter().map(width)).collect();
    staves.arrange_by_key(|s| s.number);
    (staves, lanes)
}

/// The layouts with the staves of a proposal, each board with an order of cuts. A board for which none
/// is found stays as it is.
pub(super) fn laid(job: &Job, mut layouts: Vec<Layout>, proposal: &Proposal) -> Vec<Layout> {
    let mut boards: Vec<Stock> = proposal.lying.iter().map(|l| l.stock).collect();
    boards.arrange();
    boards.dedup();
    for stock in boards {
        let board = BoardCopy {
            board: job.boards[stock.board].id.clone(),
            copy: stock.copy,
        };
        let place = layouts.iter().position(|l| l.board == board);
        let there = place.map(|k| &layouts[k]).filter(|_| proposal.is_beside);
        let mut placements = there.map_or_else(Vec::new, |l| l.placements.clone());
        let lying = proposal.lying.iter().filter(|l| l.stock == stock);
        placements.extend(lying.filter_map(|lying| placement(job, lying)));
        let Some(layout) = cut_apart(job, stock, board, placements) else {
            continue;
        };
        match place {
            Some(place) => layouts[place] = layout,
            None => layouts.push(layout),
        }
    }
    layouts
}

fn placement(job: &Job, lying: &Lying) -> Option<Placement> {
    let part = job.part(&lying.stave)?;
    let (angle, turned_over) = lying.way;
    let ground = Ground::for_parts(job, lying.stock.board, angle, &|_| false);
    let fit = ground.fit(part, 0.0, angle, turned_over, 0);
    let (at, _) = ground.settle(&fit, lying.lane.x, lying.lane.y);
    Some(Placement {
        part: part.id.clone(),
        copy: 1,
        at,
        leaf: None,
        width: None,
    })
}

fn cut_apart(
    job: &Job,
    stock: Stock,
    board: BoardCopy,
    placements: Vec<Placement>,
) -> Option<Layout> {
    let source = &job.boards[stock.board];
    if source.cuts == Cuts::Sawn {
        // Lines stay clear of fixings by their own kerf, which lanes know nothing of.
        let has_fixing = source.zones.iter().any(|z| z.kind == ZoneKind::Fixing);
        return (!has_fixing).then_some(Layout {
            board,
            way: Way::Sawn,
            frame: Default::default(),
            placements,
            cuts: None,
        });
    }
    match tree_for(job, stock.board, &placements, TREE_STEPS) {
        TreeResult::Tree(tree, frame) => Some(Layout {
            board,
            way: Way::Straight,
            frame,
            placements,
            cuts: Some(tree),
        }),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use heartside_testkit::panel_job;
    use heartside_timber::choices::Choices;
    use heartside_timber::prepare::{prepare, prepare_with};

    use super::*;

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
