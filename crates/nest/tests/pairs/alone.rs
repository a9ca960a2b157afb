//! Whether one piece can be had from one empty board, found without any of the engines: places at the
//! ends of the wood and beside its flaws, every order of the cuts that free a rectangle, judged by
//! the independent checker alone.

use heartside_check::Checker;
use heartside_geometry::{Bounds, Point, Pose, Region};
use heartside_timber::blank::Blank;
use heartside_timber::document::{BoardCopy, Cuts, PartCut, Use};
use heartside_timber::finding::{Finding, Rule, Severity};
use heartside_timber::job::{GrainRule, Job, Tool};
use heartside_timber::plan::{
    CutNode, CutTree, Direction, Frame, Layout, Placement, Plan, Unplaced, Way,
};

/// Places at which orders of cuts are looked for before the answer is no.
const MOST_PLACES: usize = 12;
/// Orders of cuts, each with its tools, that are judged at one place: all of them for two tools of each kind.
const MOST_ORDERS: usize = 400;
/// A little more than the checker's slack.
const CLEAR: f64 = 0.01;

/// A layout of one copy of the part alone on the board, sound by the checker; none where none is found.
///
/// It misses places: nothing is tried between the ends of the wood and its flaws but a coarse grid,
/// no askew cut but along the grain at its middle, no cut but those that free the blank.
pub(crate) fn alone(job: &Job, part: usize, board: usize) -> Option<Layout> {
    let only = only(job, part, board)?;
    let mut places = Vec::new();
    for angle in angles(&only) {
        for quarter in quarters(&only) {
            let overs: &[bool] = match only.parts[0].may_turn_over {
                true => &[false, true],
                false => &[false],
            };
            for over in overs {
                places_at(&only, angle, quarter, *over, &mut places);
            }
        }
    }
    let judge = Judge::new(&only);
    if by_line(&only) {
        let layouts = places.iter().map(|place| place.layout(Way::Sawn, None));
        return layouts.into_iter().find(|layout| judge.is_sound(layout));
    }
    let lying: Vec<&Place> = places
        .iter()
        .filter(|place| judge.lies_well(&place.layout(Way::Straight, None)))
        .collect();
    // Spread over all that were found: neighbours share what is wrong with their cuts.
    let every = lying.len().div_ceil(MOST_PLACES).max(1);
    let mut some = lying.into_iter().step_by(every);
    some.find_map(|place| cut_free(&only, &judge, place))
}

/// The job with this part once and this board alone; none where the board is not for it at all.
fn only(job: &Job, part: usize, board: usize) -> Option<Job> {
    let (board, mut part) = (job.boards[board].clone(), job.parts[part].clone());
    if board.usage == Use::Leave {
        return None;
    }
    let straight_only = part.cut == PartCut::Straight && board.cuts == Cuts::Sawn;
    part.count = 1;
    (!straight_only || board.cuts == Cuts::Sawn).then(|| Job {
        parts: vec![part],
        boards: vec![board],
        matches: Vec::new(),
        pins: Vec::new(),
        ..job.clone()
    })
}

fn by_line(only: &Job) -> bool {
    match only.boards[0].cuts {
        Cuts::Sawn => true,
        Cuts::Any => only.parts[0].cut == PartCut::Sawn,
        Cuts::Straight => false,
    }
}

/// Turns of the frame: the board's own, and along the grain in its middle.
fn angles(only: &Job) -> Vec<f64> {
    let board = &only.boards[0];
    let middle = board.outline.bounds().centre();
    let grain = board.grain.angle_at(middle);
    let mut angles = vec![0.0];
    if grain.abs() > 0.05 && grain.abs() < 30.0 {
        angles.push((grain * 100.0).round() / 100.0);
    }
    angles
}

fn quarters(only: &Job) -> Vec<f64> {
    match &only.parts[0].grain {
        GrainRule::Axis { across: false, .. } => vec![0.0, 180.0],
        GrainRule::Axis { across: true, .. } => vec![90.0, 270.0],
        GrainRule::Any => vec![0.0, 90.0, 180.0, 270.0],
        GrainRule::Turns(turns) => turns.clone(),
    }
}

/// Where the part lies, and its blank's rectangle in a frame of the board.
#[derive(Debug, Clone)]
struct Place {
    board: BoardCopy,
    frame: Frame,
    placement: Placement,
    blank: Bounds,
}

impl Place {
    fn layout(&self, way: Way, cuts: Option<CutTree>) -> Layout {
        Layout {
            board: self.board.clone(),
            way,
            frame: self.frame,
            placements: vec![self.placement.clone()],
            cuts,
        }
    }
}

/// Adds places at one turn: all pairs of what may stop the blank along and across.
fn places_at(only: &Job, angle: f64, quarter: f64, turned_over: bool, places: &mut Vec<Place>) {
    let (board, part) = (&only.boards[0], &only.parts[0]);
    let frame = Frame {
        x: 0.0,
        y: 0.0,
        angle,
    };
    let wood = frame.region_in_frame(&board.outline);
    let still = Pose {
        x: 0.0,
        y: 0.0,
        turn: quarter,
        turned_over,
    };
    let blank = Blank::of(part);
    let own = still.apply_region(&blank.core).bounds().grown(blank.radius);
    let (length, width) = (own.width(), own.height());
    let shop = &only.workshop;
    let kerf = |tools: &mut dyn Iterator<Item = &Tool>| {
        tools.map(|t| t.kerf).fold(shop.sawn_kerf, f64::max)
    };
    let along = kerf(&mut shop.tools.iter().filter(|t| t.crosscuts || t.trues));
    let across = kerf(&mut shop.tools.iter().filter(|t| t.rips || t.trues));
    let zones: Vec<Bounds> = board
        .zones
        .iter()
        .map(|zone| {
            let shape = frame.region_in_frame(&zone.shape);
            shape.bounds().grown(zone.margin + CLEAR)
        })
        .collect();
    let whole = wood.bounds();
    let mut xs = vec![whole.min.x, whole.max.x - length];
    for step in [shop.trim_end + CLEAR, shop.trim_end + along + CLEAR] {
        xs.push(whole.min.x + step);
        xs.push(whole.max.x - length - step);
    }
    for zone in &zones {
        xs.push(zone.max.x);
        xs.push(zone.max.x + along);
        xs.push(zone.min.x - length);
        xs.push(zone.min.x - length - along);
    }
    let play = whole.width() - length;
    xs.extend((1..8).map(|k| whole.min.x + play * f64::from(k) / 8.0));
    xs.retain(|x| *x >= whole.min.x - CLEAR && *x <= whole.max.x - length + CLEAR);
    for x in xs {
        let Some((low, high)) = clear_across(&wood, x, x + length) else {
            continue;
        };
        let mut ys = vec![low, high - width];
        for step in [shop.trim_edge + CLEAR, shop.trim_edge + across + CLEAR] {
            ys.push(low + step);
            ys.push(high - width - step);
        }
        for zone in zones.iter().filter(|z| z.min.x < x + length && z.max.x > x) {
            ys.push(zone.max.y);
            ys.push(zone.max.y + across);
            ys.push(zone.min.y - width);
            ys.push(zone.min.y - width - across);
        }
        let play = high - low - width;
        ys.extend((1..4).map(|k| low + play * f64::from(k) / 4.0));
        ys.retain(|y| *y >= low - CLEAR && *y <= high - width + CLEAR);
        for y in ys {
            let corner = Point {
                x: only.snap(x),
                y: only.snap(y),
            };
            let moved = frame.pose().apply(Point {
                x: corner.x - own.min.x,
                y: corner.y - own.min.y,
            });
            let mut placement = Placement {
                part: part.id.clone(),
                copy: 1,
                ..Placement::default()
            };
            placement.at.x = only.snap(moved.x);
            placement.at.y = only.snap(moved.y);
            placement.at.turn = angle + quarter;
            placement.at.turned_over = turned_over;
            let pose = frame.inverse();
            let lies = placement.pose().apply_region(&blank.core);
            places.push(Place {
                board: BoardCopy {
                    board: board.id.clone(),
                    copy: 1,
                },
                frame,
                placement,
                blank: pose.apply_region(&lies).bounds().grown(blank.radius),
            });
        }
    }
}

/// The least and greatest y between which the outline is clear over [from, to] of x.
fn clear_across(wood: &Region, from: f64, to: f64) -> Option<(f64, f64)> {
    let bounds = wood.bounds();
    let middle = bounds.centre().y;
    let (mut low, mut high) = (bounds.min.y, bounds.max.y);
    let mut met = false;
    for (a, b) in wood.outer().edges() {
        // An end runs across: it bounds x, not y.
        if (b.y - a.y).abs() > (b.x - a.x).abs() || a.x.max(b.x) < from || a.x.min(b.x) > to {
            continue;
        }
        met = true;
        let at = |x: f64| a.y + (b.y - a.y) * (x - a.x) / (b.x - a.x);
        let ends = [
            at(from.clamp(a.x.min(b.x), a.x.max(b.x))),
            at(to.clamp(a.x.min(b.x), a.x.max(b.x))),
        ];
        for y in ends {
            if y < middle {
                low = low.max(y);
            } else {
                high = high.min(y);
            }
        }
    }
    (met && low < high).then_some((low, high))
}

/// The checker of the one part and the one board.
struct Judge {
    checker: Checker,
    part: String,
}

impl Judge {
    fn new(only: &Job) -> Judge {
        Judge {
            checker: Checker::new(only),
            part: only.parts[0].id.clone(),
        }
    }

    fn broken(&self, layout: &Layout) -> Vec<Finding> {
        let plan = Plan {
            layouts: vec![layout.clone()],
            unplaced: Vec::<Unplaced>::new(),
            ..Plan::default()
        };
        debug_assert_eq!(layout.placements[0].part, self.part);
        // Dimensions are the plan's affair.
        self.checker
            .check(&plan)
            .into_iter()
            .filter(|f| f.severity == Severity::Broken && f.rule != Rule::Dimensions)
            .collect()
    }

    fn is_sound(&self, layout: &Layout) -> bool {
        self.broken(layout).is_empty()
    }

    /// Nothing but the cuts is wrong, which are not there yet.
    fn lies_well(&self, layout: &Layout) -> bool {
        self.broken(layout).iter().all(|f| f.rule == Rule::Cuts)
    }
}

/// A sound order of the cuts that free the blank at this place: any order, each by any tool.
fn cut_free(only: &Job, judge: &Judge, place: &Place) -> Option<Layout> {
    let wood = place
        .frame
        .region_in_frame(&only.boards[0].outline)
        .bounds();
    let blank = place.blank;
    let sides: Vec<(Direction, f64, bool)> = [
        (
            Direction::Crosscut,
            blank.min.x,
            true,
            blank.min.x - wood.min.x,
        ),
        (
            Direction::Crosscut,
            blank.max.x,
            false,
            wood.max.x - blank.max.x,
        ),
        (Direction::Rip, blank.min.y, true, blank.min.y - wood.min.y),
        (Direction::Rip, blank.max.y, false, wood.max.y - blank.max.y),
    ]
    .into_iter()
    .filter(|side| side.3 > only.tolerance.extra)
    .map(|(direction, edge, is_low, _)| (direction, edge, is_low))
    .collect();
    let mut order: Vec<usize> = (0..sides.len()).collect();
    let mut judged = 0;
    orders(&mut order, 0, &mut |order| {
        let mut chosen = vec![0; order.len()];
        loop {
            judged += 1;
            if judged > MOST_ORDERS {
                return None;
            }
            let layout = place.layout(
                Way::Straight,
                chain(only, &sides, order, &chosen, only.parts[0].cut),
            );
            if layout.cuts.is_some() && judge.is_sound(&layout) {
                return Some(layout);
            }
            // The next choice of tools, as a counter counts.
            let mut k = 0;
            loop {
                if k == order.len() {
                    return None;
                }
                chosen[k] += 1;
                if chosen[k] < cutting(only, sides[order[k]].0).len() {
                    break;
                }
                chosen[k] = 0;
                k += 1;
            }
        }
    })
}

fn cutting(only: &Job, direction: Direction) -> Vec<&Tool> {
    let does = |tool: &&Tool| match direction {
        Direction::Rip => tool.rips,
        Direction::Crosscut => tool.crosscuts,
    };
    let takes = |tool: &&Tool| tool.max_depth >= only.boards[0].thickness;
    let tools = only.workshop.tools.iter();
    tools.filter(does).filter(takes).collect()
}

/// Each order in turn, until one gives an answer.
fn orders<T>(
    order: &mut Vec<usize>,
    from: usize,
    ask: &mut impl FnMut(&[usize]) -> Option<T>,
) -> Option<T> {
    if from == order.len() {
        return ask(order);
    }
    for k in from..order.len() {
        order.swap(from, k);
        if let Some(answer) = orders(order, from + 1, ask) {
            return Some(answer);
        }
        order.swap(from, k);
    }
    None
}

/// One cut after the other, each taking off what lies beyond one side of the blank.
fn chain(
    only: &Job,
    sides: &[(Direction, f64, bool)],
    order: &[usize],
    chosen: &[usize],
    cut: PartCut,
) -> Option<CutTree> {
    let mut nodes = Vec::new();
    for (k, side) in order.iter().enumerate() {
        let (direction, edge, is_low) = sides[*side];
        let tool = *cutting(only, direction).get(chosen[k])?;
        // Each cut is followed by its waste, then by what is kept of it.
        let (waste, kept) = (nodes.len() + 1, nodes.len() + 2);
        nodes.push(CutNode::Cut {
            direction,
            tool: tool.name.clone(),
            at: if is_low { edge - tool.kerf } else { edge },
            kerf: tool.kerf,
            angle: None,
            low: if is_low { waste } else { kept },
            high: if is_low { kept } else { waste },
        });
        nodes.push(CutNode::Waste);
    }
    nodes.push(match cut {
        PartCut::Straight => CutNode::Blank { placement: 0 },
        PartCut::Sawn => CutNode::Region {
            placements: vec![0],
        },
    });
    Some(CutTree { nodes })
}
