//! Floors that no plan can go under.
//!
//! **Timber cost.** Take the boards E that could hold some part p, and all parts Q whose
//! boards lie among them. A plan that places every copy of Q lays at least their blanks'
//! area on boards of E. Of board b no more than its clear area can be blanks, so no plan
//! is cheaper than the cheapest whole boards of E that have that clear area together (a
//! covering knapsack: `cover`). Parts with disjoint sets of boards buy separately, so their
//! floors add up. Blanks at least a kerf apart, grown by discs of
//! half a kerf, do not overlap and lie in the outline grown likewise, whose area is at
//! most A + P k/2 + pi k²/4 (Steiner); the stronger of both counts is taken.
//!
//! Kept offcuts earn money back: board b with area a of blanks costs at least
//! price - value x thickness x (A - a), which is linear in a and enters as such.
//!
//! **Strips.** Total area over the height, the longest part, and, as blanks on a line
//! across the strip are a kerf apart, the sum of lengths of blanks too high for two to
//! lie side by side.
//!
//! **Values.** The continuous knapsack of values over areas, a ceiling.

use std::rc::Rc;

use heartside_geometry::{Arrange, Bounds, SortedMap};
use heartside_timber::blank::Blank;
use heartside_timber::document::{ZoneFace, ZoneKind};
use heartside_timber::job::{Board, ClearOf, Job, Match, MatchKind, Part, PartCut};
use heartside_timber::plan::{Bound, Plan};
use heartside_timber::score::{Score, price_in_use};

use crate::cover::{Offer, least_cost};
use crate::fit;
use crate::objective::{Choices, Measured};
use crate::reasons::Reasons;
use crate::task::{Stock, usable_stock};

/// A floor under the cost of every plan that places all pieces which some board could
/// take; for strips the length, for values a ceiling on the value.
pub fn bound_of(job: &Job) -> Bound {
    bound_with(job, &Reasons::all(job))
}

/// As [`bound_of`], but it speaks only of the parts that are found possible in passing: lower, and there
/// within a fraction of a second however large the job is.
pub fn quick_bound_of(job: &Job) -> Bound {
    bound_with(job, &Reasons::new(job))
}

/// As [`bound_of`], where it is known already which parts some board could take.
pub(crate) fn bound_with(job: &Job, reasons: &Reasons) -> Bound {
    let (value, because) = match Choices::of(job).measured {
        Measured::Cost => (
            cost_floor(job, reasons),
            "the cheapest whole boards with room for the blanks' area".to_owned(),
        ),
        Measured::CostInOrder => (
            in_order_floor(job, reasons),
            "the blanks' area at the lowest rate".to_owned(),
        ),
        Measured::Length => strip_floor(job),
        Measured::Value => (
            value_ceiling(job),
            "the parts' area against the boards' clear area".to_owned(),
        ),
    };
    Bound {
        value,
        because,
        class: Some(with_sizes(job, "")).filter(|class| !class.is_empty()),
        proved_for: None,
    }
}

/// A class of plans, with what it says of sizes and staves where some may be chosen anew.
pub(crate) fn with_sizes(job: &Job, class: &str) -> String {
    let sizes_give = job.dimensions.iter().any(|d| d.gives());
    let sizes = match (sizes_give, job.panels.is_empty()) {
        (false, true) => "",
        (true, true) => "with these sizes",
        (false, false) => "of these staves",
        (true, false) => "with these sizes and staves",
    };
    let words = [class, sizes].into_iter().filter(|w| !w.is_empty());
    words.collect::<Vec<_>>().join(" ")
}

/// Where the plan meets the bound, the class for which it is proved best: the bound holds for every way of cutting.
pub(crate) fn is_met(
    job: &Job,
    plan: &Plan,
    score: &Score,
    bound: &Bound,
    reasons: &Reasons,
) -> Option<String> {
    let all_placed = plan.unplaced.iter().all(|u| {
        job.part_index(&u.part)
            .is_some_and(|p| reasons.cannot_be_placed(p))
    });
    let met = if Choices::of(job).buys_boards {
        bound.value > 0.0 && reaches(job, score, bound.value, all_placed)
    } else {
        reaches(job, score, bound.value, plan.unplaced.is_empty())
    };
    met.then(|| "every way of cutting".to_owned())
}

/// True where a score is as good as a bound allows; `is_whole` where nothing is left out that counts.
pub(crate) fn reaches(job: &Job, score: &Score, bound: f64, is_whole: bool) -> bool {
    let close = 1e-9 * (1.0 + bound.abs());
    if Choices::of(job).is_value() {
        let value = -score.missing.first().copied().unwrap_or(0.0);
        value >= bound - close && costs_least(job, score)
    } else {
        is_whole && score.cost <= bound + close
    }
}

/// True where no plan with a board can be cheaper: among plans of equal value cost decides.
fn costs_least(job: &Job, score: &Score) -> bool {
    let least = job
        .boards
        .iter()
        .map(|b| b.cost)
        .fold(f64::INFINITY, f64::min);
    score.cost <= least * (1.0 + 1e-9)
}

/// How many copies of a part lie in one footprint at most: the leaves that a blank is resawn into.
pub(crate) fn leaves(job: &Job, part: &Part) -> f64 {
    let resawn = |m: &&Match| matches!(m.kind, MatchKind::Slip | MatchKind::Book);
    let ours = job.matches.iter().filter(resawn);
    let ours = ours.filter(|m| m.parts.iter().any(|copy| copy.part == part.id));
    ours.map(|m| m.parts.len())
        .max()
        .map_or(1.0, |n| n.max(1) as f64)
}

/// Area of wood in a part's blank.
pub(crate) fn blank_area(part: &Part) -> f64 {
    let blank = Blank::of(part);
    // A sawn blank's ring of allowance is left out: smaller, so still a floor.
    blank.core.area()
}

/// Area of the blank grown by a disc of half a kerf.
fn grown_area(part: &Part, kerf: f64) -> f64 {
    let blank = Blank::of(part);
    match part.cut {
        PartCut::Straight => {
            let b = blank.core.bounds();
            b.area() + (b.width() + b.height()) * kerf + core::f64::consts::PI * kerf * kerf / 4.0
        }
        PartCut::Sawn => blank.core.area(),
    }
}

/// What a board can give: at most this area of blanks, counted plainly and counted grown by half a kerf.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Capacity {
    pub(crate) plain: f64,
    grown: f64,
}

pub(crate) fn capacity(job: &Job, board: &Board, kerf: f64) -> Capacity {
    let area = board.outline.area();
    let perimeter: f64 = board.outline.edges().map(|(a, b)| a.distance(b)).sum();
    Capacity {
        plain: (area - trimmed_area(job, board)).min(area) - defect_area(board),
        grown: area + perimeter * kerf / 2.0 + core::f64::consts::PI * kerf * kerf / 4.0,
    }
}

/// What is trimmed off an upright rectangle; other outlines count as untrimmed, which is safe.
fn trimmed_area(job: &Job, board: &Board) -> f64 {
    let bounds = board.outline.bounds();
    if board.outline.outer().points().len() != 4
        || (board.outline.area() - bounds.area()).abs() > 1e-6 * bounds.area()
    {
        return 0.0;
    }
    let mut clear: Bounds = bounds;
    for ((a, b), side) in board.outline.outer().edges().zip(&board.sides) {
        let trim = side.trim(&job.workshop);
        let middle = a.midpoint(b);
        if side.is_end {
            if middle.x < bounds.centre().x {
                clear.min.x += trim
            } else {
                clear.max.x -= trim
            }
        } else if middle.y < bounds.centre().y {
            clear.min.y += trim;
        } else {
            clear.max.y -= trim;
        }
    }
    bounds.area() - clear.width().max(0.0) * clear.height().max(0.0)
}

/// Area of defects right through that no blank may touch, counted only where it is sure
/// that none is counted twice or lies outside: boxes apart from one another and from what is trimmed.
fn defect_area(board: &Board) -> f64 {
    let bounds = board.outline.bounds();
    let is_plain = board.outline.outer().points().len() == 4
        && board
            .sides
            .iter()
            .all(|s| s.kind != heartside_timber::document::EdgeKind::Raw)
        && (board.outline.area() - bounds.area()).abs() <= 1e-6 * bounds.area();
    if !is_plain {
        return 0.0;
    }
    let mut taken: Vec<Bounds> = Vec::new();
    let mut area = 0.0;
    for zone in &board.zones {
        let through = zone.kind == ZoneKind::Defect
            && zone.face == ZoneFace::Through
            && zone.clear_of == ClearOf::Blank;
        let b = zone.shape.bounds();
        let inside = bounds
            .intersection(b)
            .is_some_and(|c| (c.area() - b.area()).abs() <= 1e-9 * b.area());
        if through
            && inside
            && taken.iter().all(|t| {
                t.separation(&b) >= 0.0 && t.intersection(b).is_none_or(|c| c.area() <= 0.0)
            })
        {
            taken.push(b);
            area += zone.shape.area();
        }
    }
    area
}

/// For each part the boards that could hold it; parts that ask the same have one answer.
fn eligible(job: &Job, stock: &[Stock]) -> Vec<Rc<[bool]>> {
    let mut known: Vec<(&Part, Rc<[bool]>)> = Vec::new();
    let asks_alike = |a: &Part, b: &Part| {
        a.thickness == b.thickness && a.allowances == b.allowances && a.species == b.species
    };
    job.parts
        .iter()
        .map(|part| {
            let like = known.iter().find(|(other, _)| asks_alike(other, part));
            if let Some((_, boards)) = like {
                return Rc::clone(boards);
            }
            let boards: Rc<[bool]> = boards_for(job, stock, part).into();
            known.push((part, Rc::clone(&boards)));
            boards
        })
        .collect()
}

/// Boards that could hold the part, as far as species, thickness and use say.
fn boards_for(job: &Job, stock: &[Stock], part: &Part) -> Vec<bool> {
    stock
        .iter()
        .map(|s| {
            let board = &job.boards[s.board];
            // The thickest a part could come out: warp only takes away more from a larger blank.
            let thick = heartside_timber::blank::greatest_finished_thickness(
                board,
                &part.allowances,
                0.0,
                0.0,
            );
            fit::species_fits(board, part) && thick + job.tolerance.slack >= part.thickness
        })
        .collect()
}

/// The least kerf that can part two blanks.
fn least_kerf(job: &Job) -> f64 {
    job.workshop
        .tools
        .iter()
        .map(|t| t.kerf)
        .fold(job.workshop.sawn_kerf, f64::min)
}

fn cost_floor(job: &Job, reasons: &Reasons) -> f64 {
    let stock = usable_stock(job, |_| true);
    let kerf = least_kerf(job);
    let capacities: Vec<Capacity> = job.boards.iter().map(|b| capacity(job, b, kerf)).collect();
    let parts: Vec<usize> = (0..job.parts.len())
        .filter(|p| reasons.could_be_placed(*p))
        .collect();
    let eligible = eligible(job, &stock);
    // Parts that the same boards could hold have one floor.
    let mut known: SortedMap<&[bool], f64> = SortedMap::new();
    let mut floors: Vec<(f64, usize)> = parts
        .iter()
        .map(|p| {
            if let Some(floor) = known.get(&eligible[*p][..]) {
                return (*floor, *p);
            }
            let inside = |q: &usize| {
                eligible[*q]
                    .iter()
                    .zip(eligible[*p].iter())
                    .all(|(a, b)| !*a || *b)
            };
            let among: Vec<usize> = parts.iter().copied().filter(inside).collect();
            let floor = cover(job, &stock, &eligible[*p], &among, &capacities, kerf);
            known.insert(&eligible[*p], floor);
            (floor, *p)
        })
        .collect();
    floors.arrange_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    let mut used = vec![false; stock.len()];
    let mut total = 0.0;
    for (floor, part) in floors {
        let apart = used
            .iter()
            .zip(eligible[part].iter())
            .all(|(u, e)| !(*u && *e));
        if apart && floor > 0.0 {
            total += floor;
            used.iter_mut()
                .zip(eligible[part].iter())
                .for_each(|(u, e)| *u |= *e);
        }
    }
    total
}

/// The blanks' area at the lowest rate of all boards: what is cut into holds them all.
fn in_order_floor(job: &Job, reasons: &Reasons) -> f64 {
    let rates = job.boards.iter().map(|b| b.cost / b.outline.area());
    let rate = rates.fold(f64::INFINITY, f64::min);
    let placed = (0..job.parts.len()).filter(|p| reasons.could_be_placed(*p));
    let area: f64 = placed
        .map(|p| &job.parts[p])
        .map(|part| f64::from(part.wanted_count()) * blank_area(part) / leaves(job, part))
        .sum();
    if rate.is_finite() { rate * area } else { 0.0 }
}

/// The least that it costs to buy the parts' area from these boards: the stronger of both counts.
fn cover(
    job: &Job,
    stock: &[Stock],
    eligible: &[bool],
    parts: &[usize],
    capacities: &[Capacity],
    kerf: f64,
) -> f64 {
    let area = |of: &dyn Fn(&Part) -> f64| -> f64 {
        parts
            .iter()
            .map(|p| &job.parts[*p])
            .map(|part| f64::from(part.wanted_count()) * of(part) / leaves(job, part))
            .sum()
    };
    let plain = cheapest(job, stock, eligible, area(&blank_area), &|s| {
        capacities[s.board].plain
    });
    let grown = cheapest(job, stock, eligible, area(&|p| grown_area(p, kerf)), &|s| {
        capacities[s.board].grown
    });
    plain.max(grown)
}

fn cheapest(
    job: &Job,
    stock: &[Stock],
    eligible: &[bool],
    area: f64,
    capacity: &dyn Fn(&Stock) -> f64,
) -> f64 {
    let mut total = 0.0;
    let mut offers: Vec<Offer> = Vec::new();
    for (s, _) in stock.iter().zip(eligible).filter(|(_, may)| **may) {
        let board = &job.boards[s.board];
        let room = capacity(s);
        if room <= 0.0 {
            continue;
        }
        // What remains to be paid if everything but the blanks were kept as offcuts.
        let rate = job.offcut_value * board.thickness * 1e-9;
        let least = price_in_use(job, board) - rate * board.outline.area();
        if least < 0.0 {
            // Opening this board could even earn; then it counts as opened and only its use costs.
            total += least;
        }
        offers.push(Offer {
            opening: least.max(0.0),
            rate,
            room,
            count: 1,
        });
    }
    (total + least_cost(&offers, area)).max(0.0)
}

fn strip_floor(job: &Job) -> (f64, String) {
    let Some(board) = job.boards.first() else {
        return (0.0, "there is no strip".to_owned());
    };
    let height = board.outline.bounds().height();
    let pieces = || job.parts.iter().map(|p| (f64::from(p.wanted_count()), p));
    let by_area =
        pieces().map(|(n, p)| n * p.outline.area()).sum::<f64>() / height.max(f64::MIN_POSITIVE);
    let least_extent = |p: &Part| {
        let turns = allowed_quarters(p);
        let b = p.outline.bounds();
        turns.map_or_else(
            // At any angle the extent along x is at least the area over the strip's height.
            || p.outline.area() / height.max(f64::MIN_POSITIVE),
            |(upright, turned)| match (
                upright && b.height() <= height,
                turned && b.width() <= height,
            ) {
                (true, true) => b.width().min(b.height()),
                (true, false) => b.width(),
                (false, true) => b.height(),
                (false, false) => 0.0,
            },
        )
    };
    let longest = pieces().map(|(_, p)| least_extent(p)).fold(0.0, f64::max);
    let high_rows: f64 = pieces()
        .filter(|(_, p)| {
            let b = p.outline.bounds();
            let is_rectangle = (p.outline.area() - b.area()).abs() <= 1e-9 * b.area();
            is_rectangle
                && match allowed_quarters(p) {
                    Some((true, false)) => b.height() > height / 2.0,
                    Some((false, true)) => b.width() > height / 2.0,
                    Some((true, true)) => b.height().min(b.width()) > height / 2.0,
                    _ => false,
                }
        })
        .map(|(n, p)| n * least_extent(p))
        .sum();
    let best = by_area.max(longest).max(high_rows);
    let because = if best == by_area {
        "the parts' area over the strip's width"
    } else if best == longest {
        "the longest part"
    } else {
        "parts too wide to lie side by side"
    };
    (best, because.to_owned())
}

/// Whether the part may lie along and turned by a quarter; none where other turns are allowed too.
fn allowed_quarters(part: &Part) -> Option<(bool, bool)> {
    use heartside_timber::job::GrainRule;
    let GrainRule::Turns(turns) = &part.grain else {
        return None;
    };
    let quarter = |t: f64| {
        [0.0, 90.0, 180.0, 270.0]
            .iter()
            .position(|q| fit::same_turn(t, *q))
    };
    let mut allowed = (false, false);
    for turn in turns {
        match quarter(*turn)? {
            0 | 2 => allowed.0 = true,
            _ => allowed.1 = true,
        }
    }
    Some(allowed)
}

fn value_ceiling(job: &Job) -> f64 {
    let stock: Vec<Stock> = usable_stock(job, |_| true);
    let room: f64 = stock
        .iter()
        .map(|s| {
            let board = &job.boards[s.board];
            capacity(job, board, 0.0).plain.max(0.0)
        })
        .sum();
    let mut offers: Vec<(f64, f64, usize)> = job
        .parts
        .iter()
        .enumerate()
        .filter(|(_, p)| p.value > 0.0)
        .map(|(k, p)| {
            (
                p.value / blank_area(p).max(f64::MIN_POSITIVE),
                f64::from(p.wanted_count()) * blank_area(p),
                k,
            )
        })
        .collect();
    offers.arrange_by(|a, b| b.0.total_cmp(&a.0).then(a.2.cmp(&b.2)));
    let (mut left, mut total) = (room, 0.0);
    for (rate, area, _) in offers {
        let taken = area.min(left);
        total += rate * taken;
        left -= taken;
    }
    let whole = job.parts.iter().all(|p| p.value == p.value.round());
    // Whole values add up to whole values; the small addition keeps rounding on the safe side.
    if whole { (total + 1e-6).floor() } else { total }
}
