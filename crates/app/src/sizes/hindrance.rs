//! What is in the way of parts that would be larger where they lie.

use heartside_check::Checker;
use heartside_cutting::{board_words, zone_words};
use heartside_geometry::{Bounds, Point};
use heartside_timber::blank::Blank;
use heartside_timber::document::BoardCopy;
use heartside_timber::finding::{Amount, Finding, Rule, Severity};
use heartside_timber::job::{Board, Job, Part};
use heartside_timber::length::{write_angle, write_length};
use heartside_timber::plan::{CutNode, CutTree, Direction, Layout, Placement, Plan};

/// Positions nearer than this are one, in mm: cuts lie on the sides of blanks to less.
const SAME: f64 = 0.01;

/// What is in the way of one part.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Hindrance {
    /// As it goes on after a value: "would leave the end of Top in the dowels of board E, 70 mm from its end",
    /// or up to how much is missing: "would need ".
    start: String,
    /// How much is missing, and how it goes on: "50 mm", " more for Top than board E gives"; empty where it is
    /// not told.
    by: String,
    rest: String,
    /// That the value chosen is clear of it, or that it fits.
    pub(crate) is_cleared: bool,
    pub(crate) board: BoardCopy,
    /// In the board's frame.
    pub(crate) at: Option<Point>,
}

impl Hindrance {
    /// As it goes on after a value: "would need 50 mm more for Top than board E gives".
    pub(crate) fn words(&self) -> String {
        format!("{}{}{}", self.start, self.by, self.rest)
    }

    /// The same of several values of which this one is the worst.
    pub(crate) fn words_at_worst(&self) -> String {
        let up_to = if self.by.is_empty() { "" } else { "up to " };
        format!("{}{up_to}{}{}", self.start, self.by, self.rest)
    }

    /// The same thing is in the way, by however much.
    pub(crate) fn is_like(&self, other: &Hindrance) -> bool {
        self.start == other.start && self.rest == other.rest
    }
}

/// What the wood has against the parts of one job where a plan made for another has them: the parts
/// that differ are tried with either end and either edge where it is, and as far along as would mend it.
/// None where the wood would take all of them, so that only room between parts is missing.
///
/// O(parts that differ) checks of their boards, up to nine each.
pub(crate) fn in_the_way(there: &Job, here: &Job, plan: &Plan) -> Option<Hindrance> {
    let checker = Checker::new(there);
    let mut first: Option<(u8, Hindrance)> = None;
    for layout in &plan.layouts {
        for (place, placement) in layout.placements.iter().enumerate() {
            let (Some(now), Some(then)) = (here.part(&placement.part), there.part(&placement.part))
            else {
                continue;
            };
            if now.outline == then.outline && now.thickness == then.thickness {
                continue;
            }
            let trial = Trial {
                checker: &checker,
                there,
                layout,
                place,
                now,
                then,
            };
            let Some((weight, found)) = trial.hindrance() else {
                continue;
            };
            if first.as_ref().is_none_or(|(known, _)| weight < *known) {
                first = Some((weight, found));
            }
        }
    }
    first.map(|(_, found)| found)
}

/// One part that would be another where it lies.
struct Trial<'a> {
    checker: &'a Checker,
    there: &'a Job,
    layout: &'a Layout,
    place: usize,
    now: &'a Part,
    then: &'a Part,
}

impl Trial<'_> {
    fn placement(&self) -> &Placement {
        &self.layout.placements[self.place]
    }

    /// The box of the part's blank as it lies, in the board's frame.
    fn lies(&self, part: &Part) -> Option<Bounds> {
        let blank = Blank::of(part);
        let pose = self.placement().pose();
        let points = blank.core.outer().points().iter().map(|p| pose.apply(*p));
        Bounds::of_points(points).map(|b| b.grown(blank.radius))
    }

    /// What is in the way wherever the part is moved to, where moving it is least; the gravest first.
    fn hindrance(&self) -> Option<(u8, Hindrance)> {
        let (now, then) = (self.lies(self.now)?, self.lies(self.then)?);
        let steps_x = [now.min.x - then.min.x, now.max.x - then.max.x];
        let steps_y = [now.min.y - then.min.y, now.max.y - then.max.y];
        let along = (then.width() - now.width()).abs() >= (then.height() - now.height()).abs();
        let mut best: Option<(f64, Finding)> = None;
        for (k, x) in steps_x.iter().enumerate() {
            for (l, y) in steps_y.iter().enumerate() {
                let found = self.against((*x, *y))?;
                let by = amount(&found);
                // As far towards the other end, or edge, as it reaches into what is in the way.
                let back = |k: usize| if k == 0 { -(by + SAME) } else { by + SAME };
                let moved = match (along, found.amount) {
                    (_, Some(Amount::Millimetres(_))) if along => (x + back(k), *y),
                    (_, Some(Amount::Millimetres(_))) => (*x, y + back(l)),
                    _ => (*x, *y),
                };
                self.against(moved)?;
                if best.as_ref().is_none_or(|(least, _)| by < *least) {
                    best = Some((by, found));
                }
            }
        }
        best.map(|(_, found)| self.told(found, along))
    }

    /// The gravest thing that the wood has against the part, moved so far from where it lies.
    fn against(&self, (x, y): (f64, f64)) -> Option<Finding> {
        let copy = self.placement().part_copy();
        let mut layout = self.layout.clone();
        let at = &mut layout.placements[self.place].at;
        (at.x, at.y) = (at.x + x, at.y + y);
        if let (Some(cuts), Some((now, then))) = (
            &mut layout.cuts,
            self.lies(self.now).zip(self.lies(self.then)),
        ) && layout.frame.angle == 0.0
        {
            let (dx, dy) = (x - layout.frame.x, y - layout.frame.y);
            let now = moved(&now, -layout.frame.x, -layout.frame.y);
            move_cuts(cuts, self.place, &now, &moved(&then, dx, dy));
        }
        let plan = Plan {
            layouts: vec![layout],
            ..Plan::default()
        };
        let found = self.checker.check(&plan).into_iter().filter(|f| {
            let is_of_saw = f.parts.is_empty() && f.rule == Rule::Fixings;
            f.severity == Severity::Broken
                && weight(f.rule).is_some()
                && f.board.as_ref() == Some(&self.layout.board)
                && (f.parts.contains(&copy) || is_of_saw)
        });
        found.max_by(|a, b| amount(a).total_cmp(&amount(b)))
    }

    fn told(&self, found: Finding, along: bool) -> (u8, Hindrance) {
        let job = self.there;
        let board_copy = &self.layout.board;
        let copy = self.placement().part_copy();
        let part = job.name_of(&copy).unwrap_or_else(|| copy.part.clone());
        let board_name = board_words(job, board_copy);
        let board = job.board(&board_copy.board);
        let zone = found.zone.zip(board).and_then(|(index, board)| {
            let zone = board.zones.iter().find(|z| z.index == index)?;
            let away = from_side(board, zone.shape.bounds(), along);
            let away = write_length(away, &job.units);
            let side = if along { "end" } else { "edge" };
            Some(format!(
                "the {} of {board_name}, {away} from its {side}",
                zone_words(zone)
            ))
        });
        let zone = zone.unwrap_or_else(|| format!("what is marked on {board_name}"));
        let by = match found.amount {
            Some(Amount::Degrees(by)) => write_angle(by),
            _ => write_length(tenth_up(amount(&found)), &job.units),
        };
        let side = if along { "end" } else { "edge" };
        let told = |start: &str, rest: String| (start.to_owned(), by, rest);
        let whole = |start: String| (start, String::new(), String::new());
        let (start, by, rest) = match found.rule {
            Rule::Fixings if found.parts.is_empty() => whole(format!(
                "would bring the saw at the {side} of {part} into {zone}"
            )),
            Rule::Zones | Rule::Fixings => {
                whole(format!("would leave the {side} of {part} in {zone}"))
            }
            Rule::Inside => told(
                "would need ",
                format!(" more for {part} than {board_name} gives"),
            ),
            Rule::Grain => told(
                &format!("would have the grain of {board_name} run "),
                format!(" too steeply for {part}"),
            ),
            _ => told(
                "would ask for ",
                format!(" more thickness of {board_name} to get {part} flat"),
            ),
        };
        let hindrance = Hindrance {
            start,
            by,
            rest,
            is_cleared: matches!(found.rule, Rule::Zones | Rule::Fixings),
            board: board_copy.clone(),
            at: found.at,
        };
        (weight(found.rule).unwrap_or(u8::MAX), hindrance)
    }
}

/// What wood can have against a part, the most telling first; none for what another plan could mend.
fn weight(rule: Rule) -> Option<u8> {
    match rule {
        Rule::Fixings => Some(0),
        Rule::Zones => Some(1),
        Rule::Thickness => Some(2),
        Rule::Grain => Some(3),
        Rule::Inside => Some(4),
        _ => None,
    }
}

fn amount(finding: &Finding) -> f64 {
    match finding.amount {
        Some(Amount::Millimetres(by) | Amount::Degrees(by) | Amount::Count(by)) => by,
        None => 0.0,
    }
}

/// Rounded up to a tenth: what is missing is never told too small.
fn tenth_up(mm: f64) -> f64 {
    (mm * 10.0 - 1e-6).ceil() / 10.0
}

/// How far what is marked lies from the nearer end of its board, or from the nearer edge.
fn from_side(board: &Board, zone: Bounds, along: bool) -> f64 {
    let whole = board.outline.bounds();
    let away = match along {
        true => (zone.min.x - whole.min.x).min(whole.max.x - zone.max.x),
        false => (zone.min.y - whole.min.y).min(whole.max.y - zone.max.y),
    };
    away.max(0.0)
}

fn moved(bounds: &Bounds, x: f64, y: f64) -> Bounds {
    let by = |p: Point| Point {
        x: p.x + x,
        y: p.y + y,
    };
    Bounds {
        min: by(bounds.min),
        max: by(bounds.max),
    }
}

/// Moves the cuts beside a blank along with its sides.
fn move_cuts(tree: &mut CutTree, placement: usize, now: &Bounds, then: &Bounds) {
    for node in way_to(tree, placement) {
        let CutNode::Cut {
            direction,
            at,
            kerf,
            ..
        } = &mut tree.nodes[node]
        else {
            continue;
        };
        let (low, high, new_low, new_high) = match direction {
            Direction::Crosscut => (now.min.x, now.max.x, then.min.x, then.max.x),
            Direction::Rip => (now.min.y, now.max.y, then.min.y, then.max.y),
        };
        if (*at - high).abs() < SAME {
            *at = new_high;
        } else if (*at + *kerf - low).abs() < SAME {
            *at = new_low - *kerf;
        }
    }
}

/// The cuts that lead to a placement's workpiece.
fn way_to(tree: &CutTree, placement: usize) -> Vec<usize> {
    let ends_in = |node: &CutNode| match node {
        CutNode::Blank { placement: own } => *own == placement,
        CutNode::Region { placements } => placements.contains(&placement),
        _ => false,
    };
    let mut way = Vec::new();
    let mut at = tree.nodes.iter().position(ends_in);
    while let Some(child) = at {
        let leads = |node: &CutNode| {
            node.cut()
                .is_some_and(|c| c.low == child || c.high == child)
        };
        at = tree
            .nodes
            .iter()
            .position(leads)
            .filter(|n| !way.contains(n));
        way.extend(at);
    }
    way
}
