//! What makes one plan better than another.

use std::cmp::Ordering;

use heartside_geometry::{Arrange, Bounds, SortedMap};

use crate::blank::Blank;
use crate::document::{Aim, ZoneKind};
use crate::job::{Board, Goal, Job, Part, Zone};
use crate::plan::{CutNode, Frame, Layout, Plan, Way};
use crate::workpieces::{Ground, Workpieces};

/// The measures by which plans are compared: smaller is better everywhere.
#[derive(Debug, Clone, PartialEq)]
pub struct Score {
    /// Pieces not placed, for each priority, most important first. For [`Goal::Value`] one entry: minus the value placed.
    pub missing: Vec<f64>,
    /// Boards cut that were to be used only if needed; none of those that are cut already.
    pub reluctant: f64,
    /// Timber cost less the value of kept offcuts; for [`Goal::StripLength`] the length, for [`Goal::InOrder`] the cost of what is cut into.
    pub cost: f64,
    /// Copies that lie elsewhere than in what holds of an earlier plan; none where nothing does ([`Job::earlier`]).
    pub moved: Option<f64>,
    /// How far the sizes that give are from those preferred, each against its range, summed up.
    pub sizes: f64,
    /// How far the faces that are put together are from the best figure that could be wished for, from 0 to 1; 0
    /// where nothing is known of it.
    pub figure: f64,
    /// What all of that would be worth, in the unit of cost ([`Job::figure_worth`]).
    pub figure_worth: f64,
    /// Cuts made.
    pub labour: f64,
    /// Minus the sum of the squares of the kept offcuts' areas as they count (in square metres): a few
    /// large ones beat many crumbs. A piece of a board that is cut already was an offcut itself, and
    /// counts as lost where something is cut from it.
    pub offcuts: f64,
}

impl Score {
    /// Measures a plan. Nothing in the plan's own claims is read.
    ///
    /// O(placements + cuts x outline vertices).
    pub fn of(job: &Job, plan: &Plan) -> Score {
        let missing = match job.goal {
            Goal::Value => vec![-value_placed(job, plan)],
            Goal::Furnish | Goal::InOrder | Goal::StripLength => missing_by_priority(job, plan),
        };
        let (mut cost, mut reluctant, mut labour, mut offcuts) = (0.0, 0.0, 0.0, 0.0);
        for layout in plan.layouts.iter().filter(|l| !l.placements.is_empty()) {
            let Some(board) = job.board(&layout.board.board) else {
                continue;
            };
            cost += price_in_use(job, board);
            if board.is_spared() {
                reluctant += 1.0;
            }
            labour += cuts_made(layout) as f64;
            offcuts += squared(kept_whole(job, board));
            for area in counted_offcut_areas(job, board, layout) {
                cost -= job.offcut_value * area * board.thickness * 1e-9;
                offcuts -= squared(area);
            }
        }
        match job.goal {
            Goal::StripLength => cost = strip_length(job, plan),
            Goal::InOrder => cost = cost_in_order(job, plan),
            Goal::Furnish | Goal::Value => {}
        }
        Score {
            missing,
            reluctant,
            cost,
            moved: moved(job, plan),
            sizes: given_way(job),
            figure: job
                .judge
                .as_ref()
                .map_or(0.0, |judge| judge.0.loss(job, plan)),
            figure_worth: job.figure_worth,
            labour,
            offcuts,
        }
    }

    /// The cost with what the figure lacks: what faces of better figure cost more is made up for by this.
    pub fn weighed(&self) -> f64 {
        self.cost + self.figure_worth * self.figure
    }

    /// True where no more is missing than in another plan, and no more boards are cut that were to be spared.
    pub fn is_as_whole(&self, other: &Score) -> bool {
        lexicographic(&self.missing, &other.missing).is_le() && self.reluctant <= other.reluctant
    }

    /// True where it costs more than another plan and so much beside.
    pub fn is_dearer(&self, other: &Score, by: f64) -> bool {
        close(self.cost, other.cost + by).is_gt()
    }

    /// Compares in the maker's order: what is placed first, then the aims. Where the rest of a job is
    /// planned timber and fewest moves go before the aims.
    ///
    /// Of timber and figure the one that comes first compares [`Score::weighed`], so that a plan of better figure
    /// is never dearer by more than that is worth; what weighs alike is told apart by each in its own place.
    pub fn compare(&self, other: &Score, order: &[Aim]) -> Ordering {
        let mut start = lexicographic(&self.missing, &other.missing)
            .then(self.reluctant.total_cmp(&other.reluctant));
        if let (Some(here), Some(there)) = (self.moved, other.moved) {
            // Whatever the maker's order: nothing moves but to save timber.
            start = start
                .then_with(|| close(self.cost, other.cost))
                .then_with(|| here.total_cmp(&there));
        }
        let weighed = || close(self.weighed(), other.weighed());
        order.iter().fold(start, |so_far, aim| {
            so_far.then_with(|| match aim {
                Aim::Timber => weighed().then_with(|| close(self.cost, other.cost)),
                Aim::Sizes => close(self.sizes, other.sizes),
                Aim::Figure => weighed().then_with(|| close(self.figure, other.figure)),
                Aim::Labour => self.labour.total_cmp(&other.labour),
                Aim::Offcuts => self.offcuts.total_cmp(&other.offcuts),
            })
        })
    }

    /// True if this is strictly better.
    pub fn better_than(&self, other: &Score, order: &[Aim]) -> bool {
        self.compare(other, order) == Ordering::Less
    }
}

/// How far the sizes of a job that give are from those preferred, each against the length of its
/// range: 1 for one that is as far off as its whole range.
pub fn given_way(job: &Job) -> f64 {
    let giving = job.dimensions.iter().filter(|d| d.gives());
    giving
        .map(|d| (d.value.value - d.preferred).abs() / (d.most - d.least))
        .sum()
}

/// Costs that differ by less than one part in a million million are equal: sums in another order.
fn close(a: f64, b: f64) -> Ordering {
    if (a - b).abs() <= 1e-12 * (a.abs() + b.abs()) {
        Ordering::Equal
    } else {
        a.total_cmp(&b)
    }
}

/// The first difference decides.
pub fn lexicographic(a: &[f64], b: &[f64]) -> Ordering {
    a.iter()
        .zip(b)
        .map(|(x, y)| x.total_cmp(y))
        .find(|o| o.is_ne())
        .unwrap_or_else(|| a.len().cmp(&b.len()))
}

fn missing_by_priority(job: &Job, plan: &Plan) -> Vec<f64> {
    let mut placed: Vec<&str> = plan
        .layouts
        .iter()
        .flat_map(|layout| &layout.placements)
        .map(|p| p.part.as_str())
        .collect();
    placed.arrange();
    by_priority(job, |_, part| {
        let first = placed.partition_point(|id| *id < part.id.as_str());
        let copies = placed[first..].partition_point(|id| *id == part.id.as_str());
        let missing = (f64::from(part.wanted_count()) - copies as f64).max(0.0);
        missing * part.weight()
    })
    .into_iter()
    // Shares of whole panels add up to whole numbers.
    .map(|sum| (sum * 1e9).round() / 1e9)
    .collect()
}

/// What is summed up over the parts of each priority, most important first; parts are told by their
/// place in the job's list. O(parts log parts).
pub fn by_priority(job: &Job, of_part: impl Fn(usize, &Part) -> f64) -> Vec<f64> {
    let mut priorities: Vec<u32> = job.parts.iter().map(|p| p.priority).collect();
    priorities.arrange();
    priorities.dedup();
    let mut sums = vec![0.0; priorities.len()];
    for (place, part) in job.parts.iter().enumerate() {
        if let Ok(priority) = priorities.binary_search(&part.priority) {
            sums[priority] += of_part(place, part);
        }
    }
    sums
}

/// How many of the copies still to be sawn have a place, each counted once.
///
/// A plan may hold more: what was placed before the job asked for fewer, or twice. O(placements log placements).
pub fn pieces_placed(job: &Job, plan: &Plan) -> u64 {
    let places = job.parts.iter().enumerate();
    let places = SortedMap::from_iter(places.map(|(k, p)| (p.id.as_str(), k)));
    let is_wanted = |place: &usize, copy: &u32| {
        let part = &job.parts[*place];
        (1..=part.count).contains(copy) && part.in_hand.binary_search(copy).is_err()
    };
    let mut placed: Vec<(&str, u32)> = plan
        .layouts
        .iter()
        .flat_map(|layout| &layout.placements)
        .map(|p| (p.part.as_str(), p.copy))
        .filter(|(part, copy)| places.get(part).is_some_and(|p| is_wanted(p, copy)))
        .collect();
    placed.arrange();
    placed.dedup();
    placed.len() as u64
}

/// Sum of the values of the parts placed.
pub fn value_placed(job: &Job, plan: &Plan) -> f64 {
    plan.layouts
        .iter()
        .flat_map(|l| &l.placements)
        .filter_map(|p| job.part(&p.part))
        .map(|p| p.value)
        .sum()
}

/// Largest minus smallest x of the finished outlines on the first board.
pub fn strip_length(job: &Job, plan: &Plan) -> f64 {
    let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
    for placement in plan.layouts.iter().flat_map(|l| &l.placements) {
        let Some(part) = job.part(&placement.part) else {
            continue;
        };
        let pose = placement.pose();
        for point in part.outline.outer().points() {
            let x = pose.apply(*point).x;
            least = least.min(x);
            most = most.max(x);
        }
    }
    if least <= most { most - least } else { 0.0 }
}

/// Cost of all boards before the last one used, and of the last as far along as blanks lie on it.
///
/// Every copy of a board stands in the list by itself.
pub fn cost_in_order(job: &Job, plan: &Plan) -> f64 {
    let used = plan.layouts.iter().filter(|l| !l.placements.is_empty());
    let order = |l: &&Layout| (job.board_index(&l.board.board), l.board.copy);
    let Some(last) = used.max_by_key(order) else {
        return 0.0;
    };
    let Some(index) = job.board_index(&last.board.board) else {
        return 0.0;
    };
    let board = &job.boards[index];
    let before: f64 = job.boards[..index]
        .iter()
        .map(|b| b.cost * f64::from(b.left()))
        .sum();
    let bounds = board.outline.bounds();
    let reach = last
        .placements
        .iter()
        .filter_map(|p| Some((Blank::of(job.part(&p.part)?), p.pose())))
        .flat_map(|(blank, pose)| {
            let points = blank.core.outer().points().to_vec();
            let radius = blank.radius;
            points.into_iter().map(move |p| pose.apply(p).x + radius)
        })
        .fold(bounds.min.x, f64::max);
    let share = (reach - bounds.min.x) / bounds.width().max(f64::MIN_POSITIVE);
    before + board.cost * (f64::from(last.board.copy.saturating_sub(1)) + share)
}

/// Finished volume of the parts placed over the volume of the boards used; 0 for an empty plan.
pub fn wood_in_parts(job: &Job, plan: &Plan) -> f64 {
    let (mut parts, mut boards) = (0.0, 0.0);
    for layout in plan.layouts.iter().filter(|l| !l.placements.is_empty()) {
        boards += job.board(&layout.board.board).map_or(0.0, Board::volume);
        parts += layout
            .placements
            .iter()
            .filter_map(|p| job.part(&p.part))
            .map(|p| p.outline.area() * p.thickness)
            .sum::<f64>();
    }
    if boards > 0.0 { parts / boards } else { 0.0 }
}

/// What using a board costs, in the job's cost unit: its price; of a piece of a board that is cut already what
/// it is worth as an offcut, which is nothing unless offcuts earn money.
pub fn price_in_use(job: &Job, board: &Board) -> f64 {
    board.cost + job.offcut_value * kept_whole(job, board) * board.thickness * 1e-9
}

/// The area that a piece of a board counts as the offcut that it is while nothing is cut from it, in
/// square millimetres; 0 for boards as they were bought.
pub fn kept_whole(job: &Job, board: &Board) -> f64 {
    if board.from.is_none() {
        return 0.0;
    }
    let (outline, bounds) = (&board.outline, board.outline.bounds());
    let (least_length, least_width) = job.workshop.min_offcut;
    if bounds.width() < least_length || bounds.height() < least_width {
        return 0.0;
    }
    let whole = Ground::whole(Frame::default(), outline);
    counted_area(job, board, &whole, &bounds)
}

/// An area in square metres, squared.
fn squared(area: f64) -> f64 {
    (area * 1e-6) * (area * 1e-6)
}

/// How many copies lie elsewhere than in what holds of an earlier plan, or nowhere.
fn moved(job: &Job, plan: &Plan) -> Option<f64> {
    if job.earlier.is_empty() {
        return None;
    }
    let moved = job.earlier.iter().map(|before| {
        let now = plan.layouts.iter().filter(|l| l.board == before.board);
        let now: Vec<_> = now.flat_map(|l| &l.placements).collect();
        let left = before.placements.iter().filter(|p| !now.contains(p));
        left.count()
    });
    Some(moved.sum::<usize>() as f64)
}

/// How many cuts a layout asks for; every sawn part counts one.
///
/// Through cuts that break a sawn board down count nothing: they spare at least as much labour
/// as they cost, and a plan must not be worse for being easier to handle.
pub fn cuts_made(layout: &Layout) -> usize {
    layout
        .cuts
        .as_ref()
        .filter(|_| layout.way == Way::Straight)
        .map_or(layout.placements.len(), |tree| {
            tree.nodes
                .iter()
                .map(|n| match n {
                    CutNode::Cut { .. } => 1,
                    CutNode::Region { placements } => placements.len(),
                    CutNode::Leaves { placements } => placements.len().saturating_sub(1),
                    _ => 0,
                })
                .sum()
        })
}

/// Areas in square millimetres of the offcuts kept, in the order of the tree, each as it counts in the
/// score (see [`counted_area`]).
pub fn counted_offcut_areas(job: &Job, board: &Board, layout: &Layout) -> Vec<f64> {
    let Some(tree) = &layout.cuts else {
        return Vec::new();
    };
    Workpieces::of(tree, layout.frame, &board.outline)
        .iter()
        .filter(|piece| matches!(tree.nodes[piece.node], CutNode::Offcut))
        .map(|piece| counted_area(job, board, piece.ground, &piece.bounds))
        .collect()
}

/// What an offcut within these bounds counts, in square millimetres of wood.
///
/// Where offcuts are asked for, only what is clear: the wood of the largest upright rectangle
/// in it that no defect or fixing reaches into, so that a plan gains nothing by keeping a knot
/// in the middle of a long piece. Else all of it, as it only decides between equals.
pub fn counted_area(job: &Job, board: &Board, ground: &Ground, bounds: &Bounds) -> f64 {
    let mut flaws: Vec<Bounds> = Vec::new();
    if job.asks_for_offcuts() {
        let zones = board.zones.iter();
        let flawed = zones.filter(|z| matches!(z.kind, ZoneKind::Defect | ZoneKind::Fixing));
        let seen = |z: &Zone| ground.frame.region_in_frame(&z.shape).bounds();
        flaws.extend(flawed.map(|z| seen(z).grown(z.margin)));
        flaws.retain(|f| meet(f, bounds));
    }
    clear_area(ground, bounds, &flaws)
}

/// More rectangles than this are not looked at between the flaws of one offcut.
const MOST_RECTANGLES: usize = 400;

/// The wood of the largest rectangle between flaws: each flaw leaves what lies to one of its
/// four sides (branch and bound, the larger rectangles first).
fn clear_area(ground: &Ground, bounds: &Bounds, flaws: &[Bounds]) -> f64 {
    let mut best = 0.0_f64;
    let mut waiting = vec![*bounds];
    for _ in 0..MOST_RECTANGLES {
        let Some(rectangle) = waiting.pop() else {
            break;
        };
        if rectangle.area() <= best {
            continue;
        }
        let centre = rectangle.centre();
        let within = flaws.iter().filter(|f| meet(f, &rectangle));
        let middle = within.reduce(|a, b| {
            if b.distance(centre) < a.distance(centre) {
                b
            } else {
                a
            }
        });
        let Some(flaw) = middle else {
            best = best.max(ground.area_in(&rectangle));
            continue;
        };
        let mut beside = [rectangle; 4];
        beside[0].max.x = flaw.min.x;
        beside[1].min.x = flaw.max.x;
        beside[2].max.y = flaw.min.y;
        beside[3].min.y = flaw.max.y;
        let has_room = |r: &&Bounds| r.min.x < r.max.x && r.min.y < r.max.y;
        waiting.extend(beside.iter().filter(has_room));
        waiting.arrange_by(|a, b| a.area().total_cmp(&b.area()));
    }
    best
}

/// True where two boxes share more than a side.
fn meet(a: &Bounds, b: &Bounds) -> bool {
    a.min.x < b.max.x && b.min.x < a.max.x && a.min.y < b.max.y && b.min.y < a.max.y
}
