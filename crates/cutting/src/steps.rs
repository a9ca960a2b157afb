//! From a plan to numbered steps.

use heartside_geometry::{Arrange, Bounds, Point, SortedMap};
use heartside_timber::document::BoardCopy;
use heartside_timber::job::{Board, Job, Tool};
use heartside_timber::length::{write_dimension, write_length};
use heartside_timber::plan::{CutNode, Direction, Layout, Plan, Way};
use heartside_timber::words::listed;

use crate::brief::brief_words;
use crate::caution::{eyes_and_ears, guard_caution, say_once};
use crate::cut_caution::{CutToWeigh, band_region};
use crate::datum::Datum;
use crate::leaves::{in_one_blank, still_to_resaw, to_be_resawn};
use crate::naming::{ChalkNames, board_words};
use crate::order::{InHand, SetTo, SettingKey, Task, Work, cuts_of, drop_single_stops, order};
use crate::setting::{CutToSet, Set};
use crate::step::{Action, Becomes, Setting, Step, Yielded};
use crate::wood_caution::{blank_cautions, board_cautions};
use crate::workpiece::{Workpiece, Workpieces};

/// Said at the first through cut of a board that is then sawn by line: measures from the board's
/// ends and its chalk line hold only as long as it is whole.
const DRAW_FIRST: &str = "Draw all parts of this board first, while it is whole: its through cuts run clear between them.";

/// The steps of a whole plan, numbered from 1.
///
/// Parents first, tools changed as seldom as can be, equal settings together where the trees
/// allow, across boards too; then board by board in the plan's order, large workpieces first. A
/// layout without a cut tree that is not sawn (none has been found yet) gives no steps. They are
/// numbered on from the cuts that were made. O(cuts² + cuts x outline vertices).
pub fn steps(job: &Job, plan: &Plan) -> Vec<Step> {
    steps_in(job, plan, |_, _| true)
}

/// As [`steps()`], but one board after the other, each with all of its pieces.
pub fn steps_by_board(job: &Job, plan: &Plan) -> Vec<Step> {
    steps_in(job, plan, |a, b| job.root(a) == job.root(b))
}

/// The steps, set-ups shared among neighbours in the plan that go together.
fn steps_in(
    job: &Job,
    plan: &Plan,
    together: impl Fn(&BoardCopy, &BoardCopy) -> bool,
) -> Vec<Step> {
    let thick = still_to_resaw(job);
    let mut boards: Vec<BoardSteps> = Vec::new();
    let mut tasks: Vec<Task> = Vec::new();
    let mut roots: SortedMap<BoardCopy, usize> = SortedMap::new();
    // What is still to be resawn comes beside the rest of its board.
    let mut layouts: Vec<(usize, &Layout)> = plan.layouts.iter().enumerate().collect();
    for (place, layout) in (plan.layouts.len()..).zip(&thick) {
        let mut others = layouts.iter();
        let beside =
            others.position(|(_, other)| job.root(&other.board) == job.root(&layout.board));
        layouts.insert(beside.unwrap_or(layouts.len()), (place, layout));
    }
    for (place, layout) in layouts {
        if let Some(board) = job.board(&layout.board.board) {
            let on = BoardSteps::new(job, board, layout, place);
            let root = job.root(&layout.board);
            let root = *roots.entry(root.clone()).or_insert(boards.len());
            on.append_tasks((boards.len(), root), &mut tasks);
            boards.push(on);
        }
    }
    // The work goes on from the cut that was made last.
    let made_last = job.done.last();
    let in_hand = made_last.map(|cut| InHand {
        tool: &cut.tool,
        set_to: cut.set_to,
        resawn: cut.resawn,
        root: roots.get(job.root(&cut.board)).copied(),
    });
    let goes_on = |copy: &BoardCopy| made_last.is_some_and(|cut| together(&cut.board, copy));
    let mut sequence: Vec<usize> = Vec::with_capacity(tasks.len());
    let copy = |task: &Task| &boards[task.board].layout.board;
    while let Some(first) = tasks.get(sequence.len()) {
        let start = sequence.len();
        let first = copy(first);
        let own = tasks[start..].iter();
        let count = own.take_while(|task| together(first, copy(task))).count();
        let hand = in_hand.as_ref().filter(|_| goes_on(first));
        let own = &mut tasks[start..start + count.max(1)];
        for task in own.iter_mut() {
            task.after = task.after.and_then(|before| before.checked_sub(start));
        }
        drop_single_stops(own, hand);
        sequence.extend(order(own, hand).into_iter().map(|k| start + k));
    }
    let mut all: Vec<Step> = Vec::new();
    let mut last: Option<&SettingKey> = None;
    let mut begun = vec![false; boards.len()];
    let mut names = ChalkNames::of(job);
    for task in sequence.into_iter().map(|k| &tasks[k]) {
        let on = &mut boards[task.board];
        let made = match task.work {
            Work::Cut(node) => on.cut(node, &mut names),
            Work::ByLine(placement, piece) => on.sawn(placement, piece),
            Work::Resaw {
                first,
                node,
                by_line,
            } => on.resawn(first, node, by_line),
        };
        let Some(mut step) = made else { continue };
        if let (Some(setting), SetTo::Mark) = (&mut step.setting, task.key.set_to) {
            // It was worded as one against a stop, whose measure the heading would have.
            if std::mem::take(&mut setting.by_stop) {
                let scale = write_dimension(setting.scale, &job.units);
                setting.brief = format!("{scale} {}", setting.brief);
            }
        }
        // Of the first everything is told: the saw may have been moved since the cut that was made last.
        step.same_setting = last.is_some_and(|l| l.is_same(&task.key));
        if let (Some(tool), true) = (
            on.tool(&step.tool),
            last.is_none_or(|l| l.tool != step.tool),
        ) {
            step.cautions
                .insert(0, guard_caution(job, tool, step.action == Action::TrueEdge));
        }
        if all.is_empty() {
            step.cautions.insert(0, eyes_and_ears());
        }
        if !std::mem::replace(&mut begun[task.board], true) {
            step.cautions.extend(board_cautions(on.board));
        }
        on.word(&mut step);
        last = Some(&task.key);
        all.push(step);
    }
    for (place, step) in all.iter_mut().enumerate() {
        step.number = (job.done.len() + place) as u32 + 1;
    }
    say_once(&mut all);
    all
}

pub(crate) struct BoardSteps<'a> {
    pub(crate) job: &'a Job,
    pub(crate) board: &'a Board,
    pub(crate) layout: &'a Layout,
    pub(crate) place: usize,
    pub(crate) datum: Datum,
    /// "board C".
    pub(crate) words: String,
    /// Names of the workpieces by node.
    pub(crate) named: SortedMap<usize, String>,
    /// None where the board has no tree of cuts.
    pub(crate) pieces: Option<Workpieces>,
}

impl<'a> BoardSteps<'a> {
    fn new(job: &'a Job, board: &'a Board, layout: &'a Layout, place: usize) -> Self {
        let words = board_words(job, &layout.board);
        let named = SortedMap::from_iter([(0, words.clone())]);
        let tree = layout.cuts.as_ref();
        BoardSteps {
            job,
            board,
            layout,
            place,
            datum: Datum::of(board),
            words,
            named,
            pieces: tree.map(|tree| Workpieces::of(job, board, layout, tree)),
        }
    }

    fn append_tasks(&self, (board, root): (usize, usize), tasks: &mut Vec<Task>) {
        let resaw = |tasks: &mut Vec<Task>, first, node, by_line, after| {
            let key = self.resaw_key(first);
            tasks.extend(key.map(|(key, area)| Task {
                board,
                root,
                work: Work::Resaw {
                    first,
                    node,
                    by_line,
                },
                after,
                key,
                area,
            }));
        };
        let by_line = |tasks: &mut Vec<Task>, placement, piece, after| {
            let leaves = in_one_blank(self.job, &self.layout.placements, placement);
            if leaves.first() != Some(&placement) {
                return;
            }
            let place = tasks.len();
            tasks.push(Task {
                board,
                root,
                work: Work::ByLine(placement, piece),
                after,
                key: SettingKey {
                    tool: self.line_tool().map(|t| t.name.clone()).unwrap_or_default(),
                    set_to: SetTo::Line,
                },
                area: 0.0,
            });
            if leaves.len() > 1 {
                resaw(tasks, placement, piece, true, Some(place));
            }
        };
        if let (Some(tree), Some(pieces)) = (&self.layout.cuts, &self.pieces) {
            let first = tasks.len();
            tasks.extend(cuts_of((board, root, first), tree, pieces, |node| {
                self.key(node)
            }));
            // The task that gives a node.
            let mut given: SortedMap<usize, usize> = SortedMap::new();
            for (place, task) in tasks.iter().enumerate().skip(first) {
                if let Work::Cut(node) = task.work
                    && let Some(CutNode::Cut { low, high, .. }) = tree.nodes.get(node)
                {
                    given.extend([(*low, place), (*high, place)]);
                }
            }
            for (node, kind) in tree.nodes.iter().enumerate() {
                if pieces.get(node).is_none() {
                    continue;
                }
                let after = given.get(&node).copied();
                match kind {
                    CutNode::Region { placements } => {
                        for placement in placements {
                            by_line(tasks, *placement, Some(node), after);
                        }
                    }
                    CutNode::Leaves { placements } => {
                        if let Some(first) = placements.first() {
                            resaw(tasks, *first, Some(node), false, after);
                        }
                    }
                    _ => {}
                }
            }
        } else if self.layout.way == Way::Sawn {
            let mut placements: Vec<usize> = (0..self.layout.placements.len()).collect();
            let start = |p: &usize| self.layout.placements[*p].at.x;
            placements.arrange_by(|a, b| start(a).total_cmp(&start(b)).then(a.cmp(b)));
            for placement in placements {
                by_line(tasks, placement, None, None);
            }
        }
    }

    /// The tool that follows lines.
    pub(crate) fn line_tool(&self) -> Option<&'a Tool> {
        self.job.workshop.tools.iter().find(|t| t.saws)
    }

    fn tool(&self, name: &str) -> Option<&'a Tool> {
        self.job.workshop.tools.iter().find(|t| t.name == name)
    }

    fn to_set<'b>(&'b self, node: usize, name: &'b str) -> Option<CutToSet<'b>> {
        let tree = self.layout.cuts.as_ref()?;
        let pieces = self.pieces.as_ref()?;
        let cut = tree.nodes.get(node)?.cut()?;
        let (came, workpiece) = (pieces.get(node)?, pieces.at_cut(node)?);
        let band = pieces
            .band(node)
            .unwrap_or_else(|| nominal_band(workpiece, cut.direction, cut.at, cut.kerf));
        Some(CutToSet {
            job: self.job,
            tree,
            pieces,
            frame: &workpiece.frame,
            datum: &self.datum,
            workpiece,
            came,
            name,
            board_words: &self.words,
            direction: cut.direction,
            at: cut.at,
            kerf: cut.kerf,
            low: cut.low,
            high: cut.high,
            named: cut.tool,
            tool: self.tool(cut.tool),
            band,
        })
    }

    fn key(&self, node: usize) -> Option<SettingKey> {
        let to_set = self.to_set(node, "")?;
        let setting = to_set.set().setting;
        let set_to = match (setting.by_fence, setting.by_stop) {
            (true, _) => SetTo::Fence(setting.distance),
            (_, true) => SetTo::Stop(setting.distance),
            _ => SetTo::Mark,
        };
        Some(SettingKey {
            tool: to_set.named.to_owned(),
            set_to,
        })
    }

    fn cut(&mut self, node: usize, names: &mut ChalkNames) -> Option<Step> {
        let name = self
            .named
            .get(&node)
            .cloned()
            .unwrap_or_else(|| "the piece".into());
        let to_set = self.to_set(node, &name)?;
        let Set {
            setting,
            line,
            keeps_low,
            against_fence,
            held,
        } = to_set.set();
        let (direction, tool_name) = (to_set.direction, to_set.named.to_owned());
        let tool = self.tool(&tool_name);
        let (low, high, band_box) = (to_set.low, to_set.high, to_set.band);
        let band = band_region(band_box, to_set.frame);
        let (first, second) = if keeps_low { (low, high) } else { (high, low) };
        let pieces = self.pieces.as_ref()?;
        let (came, workpiece) = (pieces.get(node)?.clone(), pieces.at_cut(node)?.clone());
        let trims = pieces.is_waste(second);
        let skim = trims
            && pieces.get(second).is_none_or(|p| {
                let width = match direction {
                    Direction::Rip => p.extent.height(),
                    Direction::Crosscut => p.extent.width(),
                };
                p.area <= 1e-6 && width <= 1e-6
            });
        let ripping = direction == Direction::Rip;
        let action = match (tool.is_some_and(|t| t.trues), trims, direction) {
            (true, true, _) => Action::TrueEdge,
            (_, true, _) => Action::Trim,
            (_, _, Direction::Rip) => Action::Rip,
            (_, _, Direction::Crosscut) => Action::Crosscut,
        };
        let yields: Vec<Yielded> = [first, second]
            .into_iter()
            .filter_map(|child| self.yielded(child, names))
            .collect();
        let weigh = CutToWeigh {
            job: self.job,
            board: self.board,
            tool,
            ripping,
            along: workpiece.extent.width(),
            across: workpiece.extent.height(),
            weight_kg: self.weight(workpiece.area),
            volume: workpiece.area * self.board.thickness,
            beside_fence: setting.by_fence.then_some(setting.distance),
            held,
            against_fence,
            band: band.as_ref(),
            skim,
            askew: came.frame != workpiece.frame && !setting.by_fence,
        };
        let mut cautions = weigh.cautions();
        for child in [first, second] {
            let node = self.layout.cuts.as_ref().and_then(|t| t.nodes.get(child));
            let first = match node {
                Some(CutNode::Blank { placement }) => Some(placement),
                Some(CutNode::Leaves { placements }) => {
                    cautions.push(to_be_resawn(placements.len()));
                    placements.first()
                }
                _ => None,
            };
            let Some(placement) = first.and_then(|p| self.layout.placements.get(*p)) else {
                continue;
            };
            cautions.extend(blank_cautions(self.job, self.board, placement));
        }
        let sawn_length = if ripping {
            band_box.width()
        } else {
            band_box.height()
        };
        Some(Step {
            number: 0,
            board: self.layout.board.clone(),
            layout: self.place,
            node: Some(node),
            placement: None,
            action,
            tool: tool_name,
            same_setting: false,
            workpiece: name,
            workpiece_size: self.rough_size(came.extent),
            workpiece_kg: self.weight(workpiece.area),
            setting: Some(setting),
            line,
            band: band.map_or_else(Vec::new, |r| r.outer().points().to_vec()),
            sawn_length,
            yields,
            cautions,
            title: String::new(),
            brief: String::new(),
            text: Vec::new(),
        })
    }

    /// The kerf of a step's cut.
    fn kerf_of(&self, step: &Step) -> f64 {
        let tree = self.layout.cuts.as_ref();
        let node = step.node.and_then(|n| tree?.nodes.get(n)?.cut());
        node.map_or(0.0, |cut| cut.kerf)
    }

    /// Title and sentences of a straight cut.
    fn word(&self, step: &mut Step) {
        let Some(setting) = &step.setting else { return };
        let units = &self.job.units;
        let kerf = write_length(self.kerf_of(step), units);
        step.title = match step.action {
            Action::TrueEdge => format!("True {} of {}", edge_words(setting), step.workpiece),
            Action::Trim => format!("Trim {}, {}", step.workpiece, setting.words),
            _ => format!(
                "{} {}, {}",
                step.action.words(),
                step.workpiece,
                setting.words
            ),
        };
        step.brief = brief_words(step.action, &step.workpiece, setting);
        if step.action == Action::Resaw {
            return self.word_resawn(step);
        }
        let with = if step.tool.is_empty() {
            String::new()
        } else {
            format!("With the {}. ", step.tool)
        };
        let weight = match self.weight_words(step.workpiece_kg) {
            _ if step.workpiece_kg.is_none() => "; weight unknown".into(),
            words if words.is_empty() => words,
            words => format!(" and weighs {}", words.trim_start_matches(", ")),
        };
        step.text.push(format!(
            "{with}The workpiece is {} × {}{weight}.",
            step.workpiece_size,
            write_length(self.board.thickness, units),
        ));
        // The title has the measure.
        let kerf_falls = format!("the kerf of {kerf} falls {}", setting.kerf_side);
        let (shown, from) = (&setting.shown, &setting.from);
        let between = setting.kept_from.map(|kept| {
            format!(
                "The waste runs between fence and blade: the kept side begins a kerf further on, {} from {from}.",
                write_length(kept, units)
            )
        });
        step.text.push(if step.action == Action::TrueEdge {
            format!("Take off no more than {kerf}; nothing is parted.")
        } else {
            match (setting.by_fence, setting.by_stop, step.same_setting) {
                (true, _, true) => {
                    format!("Fence as before, {shown}, {from} against it; {kerf_falls}.")
                }
                (true, _, false) => {
                    format!("Set the fence to {shown}, {from} against it; {kerf_falls}.")
                }
                (_, true, true) => {
                    format!("Stop as before, {shown}, {from} against it; {kerf_falls}.")
                }
                (_, true, false) => {
                    format!("Set a stop {shown} from the blade, {from} against it; {kerf_falls}.")
                }
                _ => format!("Mark the line; {kerf_falls}."),
            }
        });
        step.text.extend(between);
        let parts: Vec<&str> = step
            .yields
            .iter()
            .filter(|y| y.becomes != Becomes::Waste)
            .map(|y| y.words.as_str())
            .collect();
        if !parts.is_empty() {
            step.text.push(format!("Gives {}.", listed(&parts)));
        }
        if step.yields.iter().any(|y| y.becomes == Becomes::Waste) {
            step.text.push("The rest is waste.".into());
        }
        if step.node == Some(0) && self.layout.way == Way::Sawn {
            step.text.push(DRAW_FIRST.into());
        }
    }
}

/// "the right edge": what is planed when an edge is trued, the side that the kerf falls on.
fn edge_words(setting: &Setting) -> &str {
    setting.kerf_side.trim_start_matches("towards ")
}

fn nominal_band(workpiece: &Workpiece, direction: Direction, at: f64, kerf: f64) -> Bounds {
    let mut band = workpiece.extent;
    match direction {
        Direction::Rip => {
            (band.min, band.max) = (
                Point { y: at, ..band.min },
                Point {
                    y: at + kerf,
                    ..band.max
                },
            )
        }
        Direction::Crosscut => {
            (band.min, band.max) = (
                Point { x: at, ..band.min },
                Point {
                    x: at + kerf,
                    ..band.max
                },
            )
        }
    }
    band
}
