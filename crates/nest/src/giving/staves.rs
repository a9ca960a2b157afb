//! Which staves to try next: as wide as boards give them, from the boards that come cheapest.
//!
//! A proposal takes every board apart into lanes that are as long as a stave, as wide as the wood is
//! clear there, chooses boards whose lanes make up the panel at the least cost (a covering knapsack over
//! widths by dynamic programming), and narrows the last stave to what is missing. Boards that the
//! plan cuts anyway cost nothing more and give what is free on them; what boards cost is told a little
//! differently every time, so that proposals differ.

use std::collections::BTreeMap;

use heartside_geometry::{Arrange, Bounds};
use heartside_timber::blank::greatest_finished_thickness;
use heartside_timber::choices::{PanelChoice, Stave, stave_id};
use heartside_timber::document::Cuts;
use heartside_timber::job::{Job, Panel, Part};
use heartside_timber::plan::Plan;
use heartside_timber::score::price_in_use;

use crate::chance::Chance;
use crate::cuts::ground::Ground;
use crate::fit::{grain_allows, species_fits};
use crate::task::{Stock, usable_stock};

/// Most places along a board at which a stave is thought to begin.
const MOST_PLACES: usize = 160;

/// Widths are told to this, in mm.
const TENTH: f64 = 0.1;

/// True where a panel could be made of other staves than it is.
pub(super) fn gives(panel: &Panel) -> bool {
    panel.max_count > 1 && panel.widths.0 < panel.widths.1
}

/// How many proposals were made; each differs from the one before.
#[derive(Debug, Default)]
pub(super) struct Staves {
    made: usize,
}

/// What one board gives: the widths of staves, and what it costs to cut it.
struct Yield {
    widths: Vec<f64>,
    cost: f64,
}

impl Staves {
    /// The staves of all panels, those of one panel others than they are; none where this proposal
    /// comes to nothing.
    pub(super) fn next(
        &mut self,
        job: &Job,
        plan: &Plan,
        chance: &mut Chance,
    ) -> Option<Vec<PanelChoice>> {
        let giving: Vec<usize> = (0..job.panels.len())
            .filter(|k| gives(&job.panels[*k]))
            .collect();
        let turn = self.made;
        self.made += 1;
        let place = *giving.get(turn % giving.len().max(1))?;
        let panel = &job.panels[place];
        let turn = turn / giving.len();
        let proposed = if panel.equal {
            even(job, place, turn)
        } else {
            let beside = (turn % 2 == 1).then_some(plan);
            // The first of either kind is by the true prices.
            let blur = if turn < 2 { 0.0 } else { 0.3 };
            free(job, place, beside, blur, chance)
        }?;
        if proposed == panel.copies {
            return None;
        }
        let mut all = Vec::new();
        for (k, other) in job.panels.iter().enumerate() {
            let copies = if k == place { &proposed } else { &other.copies };
            all.extend(copies.iter().cloned());
        }
        Some(all)
    }
}

/// Staves of one copy that stay as they are: in hand, or pinned.
fn kept(job: &Job, panel: &Panel, copy: &PanelChoice) -> (BTreeMap<u32, f64>, BTreeMap<u32, f64>) {
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
    (held, kept)
}

/// Staves of one width, one more of them with every proposal.
fn even(job: &Job, place: usize, turn: usize) -> Option<Vec<PanelChoice>> {
    let panel = &job.panels[place];
    let numbers: Vec<u32> = (1..=panel.max_count)
        .filter(|n| {
            let width = (panel.width + f64::from(n - 1) * panel.joint) / f64::from(*n);
            (panel.widths.0..=panel.widths.1).contains(&width)
        })
        .collect();
    let count = *numbers.get(turn % numbers.len().max(1))?;
    let width = (panel.width + f64::from(count - 1) * panel.joint) / f64::from(count);
    let all = panel.copies.iter().map(|copy| {
        let (held, kept) = kept(job, panel, copy);
        let staves = panel.evenly(&kept, width + TENTH);
        panel.allows(&staves, &held).then(|| PanelChoice {
            panel: copy.panel.clone(),
            staves,
        })
    });
    all.collect()
}

/// Staves as wide as boards give them.
fn free(
    job: &Job,
    place: usize,
    beside: Option<&Plan>,
    blur: f64,
    chance: &mut Chance,
) -> Option<Vec<PanelChoice>> {
    let panel = &job.panels[place];
    // What wood asks of a stave is asked of one that there is.
    let part = job.parts.iter().position(|p| {
        let of_panel = p.stave.as_ref().is_some_and(|s| s.panel == place);
        of_panel && p.in_hand.is_empty()
    })?;
    let mut need = 0.0;
    let mut stays = Vec::new();
    for copy in &panel.copies {
        let (held, kept) = kept(job, panel, copy);
        let there: f64 = kept.values().map(|w| w - panel.joint).sum();
        need += (panel.width - panel.joint - there).max(0.0);
        stays.push((held, kept));
    }
    let mut yields = Vec::new();
    let mut known: Option<(usize, Vec<f64>)> = None;
    for stock in usable_stock(job, |cuts| cuts != Cuts::Sawn) {
        let board = &job.boards[stock.board];
        if !species_fits(board, &job.parts[part]) || !grain_allows(board, &job.parts[part], 0.0) {
            continue;
        }
        let others = beside.map_or_else(Vec::new, |plan| others(job, place, stock, plan));
        let widths = match known
            .take()
            .filter(|(b, _)| *b == stock.board && others.is_empty())
        {
            Some((_, widths)) => widths,
            None => lanes(job, panel, (part, stock.board), &others),
        };
        if others.is_empty() {
            known = Some((stock.board, widths.clone()));
        }
        let in_use = !others.is_empty();
        let cost = if in_use {
            0.0
        } else {
            price_in_use(job, board)
        };
        let cost = cost * (1.0 + blur * (chance.unit() - 0.5));
        if !widths.is_empty() {
            yields.push(Yield { widths, cost });
        }
    }
    let chosen = cheapest(&yields, panel.joint, need)?;
    let mut widths: Vec<f64> = chosen
        .iter()
        .flat_map(|k| yields[*k].widths.clone())
        .collect();
    widths.arrange_by(|a, b| b.total_cmp(a));
    let mut widths = widths.into_iter();
    let mut copies = Vec::new();
    for (copy, (held, kept)) in panel.copies.iter().zip(&stays) {
        let staves = one_copy(panel, copy, kept, &mut widths)?;
        if !panel.allows(&staves, held) {
            return None;
        }
        copies.push(PanelChoice {
            panel: copy.panel.clone(),
            staves,
        });
    }
    Some(copies)
}

/// Takes as many of these widths as make up the copy, the last one only as wide as is missing.
fn one_copy(
    panel: &Panel,
    copy: &PanelChoice,
    kept: &BTreeMap<u32, f64>,
    widths: &mut dyn Iterator<Item = f64>,
) -> Option<Vec<Stave>> {
    let there: f64 = kept.values().map(|w| w - panel.joint).sum();
    let mut missing = panel.width - panel.joint - there;
    let mut taken: Vec<f64> = Vec::new();
    while missing > 1e-6 {
        let width = widths.next()?;
        missing -= width - panel.joint;
        taken.push(width);
    }
    if let Some(last) = taken.last_mut() {
        *last = tenth_up(*last + missing).max(panel.widths.0);
    }
    // A last one that is as narrow as may be leaves the widest the rest.
    let over: f64 =
        taken.iter().map(|w| w - panel.joint).sum::<f64>() + there - (panel.width - panel.joint);
    if over > TENTH {
        let widest = taken.first_mut()?;
        *widest = tenth_up(*widest - over);
    }
    Some(numbered(copy, kept, taken))
}

/// Rounded up to a tenth.
fn tenth_up(width: f64) -> f64 {
    (width * 10.0 - 1e-6).ceil() / 10.0
}

/// Staves of these widths: one that is as wide as one there was has its number.
fn numbered(copy: &PanelChoice, kept: &BTreeMap<u32, f64>, widths: Vec<f64>) -> Vec<Stave> {
    let mut staves: Vec<Stave> = kept
        .iter()
        .map(|(number, width)| Stave {
            number: *number,
            width: *width,
        })
        .collect();
    let mut fresh = Vec::new();
    for width in widths {
        let same = copy.staves.iter().find(|s| {
            (s.width - width).abs() < 1e-6 && staves.iter().all(|t| t.number != s.number)
        });
        match same {
            Some(stave) => staves.push(*stave),
            None => fresh.push(width),
        }
    }
    let mut number = 0;
    for width in fresh {
        number += 1;
        while staves.iter().any(|s| s.number == number) {
            number += 1;
        }
        staves.push(Stave { number, width });
    }
    staves.arrange_by_key(|s| s.number);
    staves
}

/// The boards whose staves make up at least `need` at the least cost, by their places; none where all
/// together do not. O(boards x need in mm).
fn cheapest(yields: &[Yield], joint: f64, need: f64) -> Option<Vec<usize>> {
    let gives = |y: &Yield| y.widths.iter().map(|w| w - joint).sum::<f64>();
    let whole = need.ceil().clamp(0.0, 1e5) as usize;
    // The least cost of so much at least, and the boards that give it.
    let mut best: Vec<Option<(f64, Vec<usize>)>> = vec![None; whole + 1];
    best[0] = Some((0.0, Vec::new()));
    for (k, board) in yields.iter().enumerate() {
        let given = gives(board).max(0.0);
        for from in (0..whole).rev() {
            let Some((cost, boards)) = best[from].clone() else {
                continue;
            };
            // What is left missing counts in whole millimetres, rounded so that nothing is missing at last.
            let to = if from as f64 + given >= need {
                whole
            } else {
                ((from as f64 + given).floor() as usize).min(whole)
            };
            let cost = cost + board.cost;
            if to > from && best[to].as_ref().is_none_or(|(known, _)| cost < *known) {
                let boards = boards.iter().copied().chain([k]).collect();
                best[to] = Some((cost, boards));
            }
        }
    }
    best.pop().flatten().map(|(_, boards)| boards)
}

/// What lies on a board of the plan besides this panel's staves.
fn others(job: &Job, place: usize, stock: Stock, plan: &Plan) -> Vec<Bounds> {
    let Some(layout) = plan.layout(&job.boards[stock.board].id, stock.copy) else {
        return Vec::new();
    };
    let others = layout.placements.iter().filter_map(|p| {
        let part = job.part(&p.part)?;
        let own = part.stave.as_ref().is_some_and(|s| s.panel == place);
        let blank = heartside_timber::blank::Blank::of(part);
        let points = blank
            .core
            .outer()
            .points()
            .iter()
            .map(|q| p.pose().apply(*q));
        (!own).then(|| Bounds::of_points(points).map(|b| b.grown(blank.radius)))?
    });
    others.collect()
}

/// The widths of the staves that a board gives, in lanes as long as a stave, beside what lies there.
fn lanes(job: &Job, panel: &Panel, (part, board): (usize, usize), others: &[Bounds]) -> Vec<f64> {
    let ground = Ground::for_parts(job, board, 0.0, &|p| p == part);
    let stave = &job.parts[part];
    let Some(fit) = ground.fits[part].first() else {
        return Vec::new();
    };
    let kerf = |rips: bool| {
        let tools = job.workshop.tools.iter();
        let able = tools.filter(|t| if rips { t.rips } else { t.crosscuts });
        able.map(|t| t.kerf).fold(f64::INFINITY, f64::min)
    };
    let (rip, cross) = (kerf(true), kerf(false));
    if !rip.is_finite() || !cross.is_finite() {
        return Vec::new();
    }
    let class = &ground.classes[fit.class];
    let pieces: Vec<usize> = class.blank.iter().chain(&class.finished).copied().collect();
    let long = fit.width;
    let (first, last) = (ground.usable.min.x, ground.usable.max.x - long);
    let widest = thick_enough(job, board, stave, long, panel.widths.1);
    let mut places = vec![first];
    for piece in &pieces {
        places.push(ground.pieces[*piece].bounds().max.x);
    }
    places.extend(others.iter().map(|b| b.max.x + cross));
    places.retain(|x| (first..=last).contains(x));
    let mut at = 0;
    while at < places.len() && places.len() < MOST_PLACES {
        let next = places[at] + long + cross;
        if next <= last {
            places.push(next);
        }
        at += 1;
    }
    places.arrange_by(f64::total_cmp);
    places.dedup();
    let widths_at = |x: f64| -> Vec<f64> {
        let mut taken: Vec<(f64, f64)> = pieces
            .iter()
            .filter_map(|k| ground.pieces[*k].span_y(x, x + long))
            .collect();
        let beside = others
            .iter()
            .filter(|b| b.min.x - cross < x + long && b.max.x + cross > x);
        taken.extend(beside.map(|b| (b.min.y - rip, b.max.y + rip)));
        taken.arrange_by(|a, b| a.0.total_cmp(&b.0));
        let (mut low, mut widths) = (ground.usable.min.y, Vec::new());
        for (from, to) in taken
            .into_iter()
            .chain([(ground.usable.max.y, f64::INFINITY)])
        {
            let high = from.min(ground.usable.max.y);
            widths.extend(parted(panel, stave, high - low, widest, rip));
            low = low.max(to);
        }
        widths
    };
    let worth = |widths: &[f64]| widths.iter().map(|w| w - panel.joint).sum::<f64>();
    // From the far end: the best that can be had from each place on.
    let mut best: Vec<(f64, Vec<f64>)> = vec![(0.0, Vec::new()); places.len() + 1];
    for k in (0..places.len()).rev() {
        let widths = widths_at(places[k]);
        let after = places.partition_point(|x| *x < places[k] + long + cross);
        let here = worth(&widths) + best[after].0;
        best[k] = if here > best[k + 1].0 {
            let with = widths.into_iter().chain(best[after].1.iter().copied());
            (here, with.collect())
        } else {
            best[k + 1].clone()
        };
    }
    best.swap_remove(0).1
}

/// The staves that a strip of this width gives: as few as make the most of it.
fn parted(panel: &Panel, stave: &Part, strip: f64, widest: f64, kerf: f64) -> Vec<f64> {
    let edges = 2.0 * stave.allowances.edge;
    let mut best: (f64, Vec<f64>) = (0.0, Vec::new());
    for count in 1..=panel.max_count {
        let n = f64::from(count);
        let width = ((strip - (n - 1.0) * kerf) / n - edges).min(widest);
        let width = (width * 10.0 + 1e-6).floor() / 10.0;
        if width < panel.widths.0 {
            break;
        }
        let worth = n * (width - panel.joint);
        if worth > best.0 + 1e-6 {
            best = (worth, vec![width; count as usize]);
        }
    }
    best.1
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
