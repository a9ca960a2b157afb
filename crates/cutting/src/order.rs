//! The order of the work on all boards of a plan.

use std::cmp::Reverse;

use heartside_geometry::{Arrange, SortedMap, SortedSet};
use heartside_timber::plan::{CutNode, CutTree};

use crate::workpiece::Workpieces;

/// Settings that differ by less are one, in millimetres.
const SAME_SETTING: f64 = 0.05;

/// What a tool is set to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum SetTo {
    /// A mark: every such cut is set by itself.
    Mark,
    /// A fence so far from the blade, whatever runs between.
    Fence(f64),
    /// A stop so far from the blade.
    Stop(f64),
    /// A high fence so far from the blade, for what stands on its edge.
    HighFence(f64),
    /// Nothing: it follows drawn lines.
    Line,
}

/// What has to be set for a cut. Cuts with like keys can follow each other without a change.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct SettingKey {
    pub(crate) tool: String,
    pub(crate) set_to: SetTo,
}

impl SettingKey {
    /// True where the second needs no change after the first.
    pub(crate) fn is_same(&self, other: &SettingKey) -> bool {
        self.tool == other.tool
            && match (self.set_to, other.set_to) {
                (SetTo::Fence(a), SetTo::Fence(b))
                | (SetTo::Stop(a), SetTo::Stop(b))
                | (SetTo::HighFence(a), SetTo::HighFence(b)) => (a - b).abs() < SAME_SETTING,
                (SetTo::Line, SetTo::Line) => true,
                _ => false,
            }
    }
}

/// Where the work stands: what is in hand from the cut that was made last.
#[derive(Debug, Clone, Copy)]
pub(crate) struct InHand<'a> {
    /// The tool.
    pub(crate) tool: &'a str,
    /// What its fence or stop is set to.
    pub(crate) set_to: Option<f64>,
    /// That is a high fence: something was resawn.
    pub(crate) resawn: bool,
    /// The root of what was cut, as tasks have it; none where nothing is left of it to cut.
    pub(crate) root: Option<usize>,
}

impl InHand<'_> {
    /// True where a cut needs no change after it.
    pub(crate) fn serves(&self, key: &SettingKey) -> bool {
        self.tool == key.tool
            && match (key.set_to, self.set_to) {
                (SetTo::Fence(mm) | SetTo::Stop(mm), Some(set)) if !self.resawn => {
                    (mm - set).abs() < SAME_SETTING
                }
                (SetTo::HighFence(mm), Some(set)) if self.resawn => (mm - set).abs() < SAME_SETTING,
                (SetTo::Line, None) => !self.resawn,
                _ => false,
            }
    }
}

/// One thing to do.
#[derive(Debug, Clone)]
pub(crate) struct Task {
    /// The board's place in the list of boards.
    pub(crate) board: usize,
    /// The place there of the first that was cut from the same board as it was bought.
    pub(crate) root: usize,
    /// What is done.
    pub(crate) work: Work,
    /// The task that gives its workpiece; none for the whole board.
    pub(crate) after: Option<usize>,
    pub(crate) key: SettingKey,
    /// Area of the workpiece; 0 where the order of the list decides.
    pub(crate) area: f64,
}

/// What is done to a workpiece.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Work {
    /// The cut of this node of the board's tree.
    Cut(usize),
    /// A placement is sawn by line, out of the piece of a node or out of the whole board.
    ByLine(usize, Option<usize>),
    /// The thick blank of this placement and its neighbours is resawn: the piece of a node, or what was
    /// sawn by line out of that or out of the whole board.
    Resaw {
        /// The first of its leaves.
        first: usize,
        /// The node.
        node: Option<usize>,
        /// It was sawn by line.
        by_line: bool,
    },
}

/// The tasks in order: each after the one that gives its workpiece, tools changed as seldom as
/// can be found, then settings, then boards; large workpieces first.
///
/// Greedy among what a tool in hand can do: cuts to a mark cost a setting each whenever they
/// are made, so they come first and free pieces for the others; a fence or a stop is set once
/// everything that it will be wanted for lies ready, where the trees allow. It goes on from what is
/// in hand, so the order of the rest after a cut is the rest of the order. O(tasks log tasks)
/// for each tool taken up.
pub(crate) fn order(tasks: &[Task], in_hand: Option<&InHand<'_>>) -> Vec<usize> {
    let ids = Ids::of(tasks);
    let mut gives: Vec<Vec<usize>> = vec![Vec::new(); tasks.len()];
    for (k, task) in tasks.iter().enumerate() {
        if let Some(list) = task.after.and_then(|before| gives.get_mut(before)) {
            list.push(k);
        }
    }
    let mut done = vec![false; tasks.len()];
    let mut ordered: Vec<usize> = Vec::new();
    let mut last = in_hand.map(|hand| Last {
        setting: ids.setting_of(tasks, hand),
        root: hand.root,
    });
    let tool = in_hand.and_then(|hand| ids.tool_of(tasks, hand.tool));
    for tool in tool_sequence(tasks, &ids, tool) {
        // What this tool can do by and by.
        let after = done_with(tasks, &ids, done.clone(), tool);
        let mut ready = Ready::new(tasks, &ids);
        let own = |k: usize, done: &[bool]| after[k] && !done[k];
        let (now, later): (Vec<usize>, Vec<usize>) = (0..tasks.len())
            .filter(|k| own(*k, &done))
            .partition(|k| is_ready(tasks, &done, *k));
        later.into_iter().for_each(|k| ready.wait_for(k));
        now.into_iter().for_each(|k| ready.put(k));
        while let Some(next) = ready.take(last) {
            last = Some(Last {
                setting: match tasks[next].key.set_to {
                    SetTo::Mark => None,
                    _ => Some(ids.setting[next]),
                },
                root: Some(tasks[next].root),
            });
            done[next] = true;
            ordered.push(next);
            for k in gives[next].iter().filter(|k| own(**k, &done)) {
                ready.come(*k);
            }
        }
    }
    ordered
}

/// What was done last: its setting, if another cut may share it, and where.
#[derive(Clone, Copy)]
struct Last {
    setting: Option<usize>,
    root: Option<usize>,
}

/// What lies ready for the tool in hand, by setting and by how eagerly it is done.
struct Ready<'a> {
    tasks: &'a [Task],
    ids: &'a Ids,
    /// How many tasks each setting still waits for.
    waiting: Vec<usize>,
    by_setting: SortedMap<usize, Heap>,
    /// Not before all is there; all is there; to a mark.
    by_eagerness: [Heap; 3],
}

/// Tasks by root, on each the largest workpiece last, of equals the first in the list.
type Heap = SortedMap<usize, SortedSet<(i64, Reverse<usize>)>>;

impl<'a> Ready<'a> {
    fn new(tasks: &'a [Task], ids: &'a Ids) -> Ready<'a> {
        Ready {
            tasks,
            ids,
            waiting: vec![0; ids.settings],
            by_setting: SortedMap::new(),
            by_eagerness: Default::default(),
        }
    }

    /// A task will come by and by.
    fn wait_for(&mut self, k: usize) {
        self.waiting[self.ids.setting[k]] += 1;
    }

    /// A task that was waited for is ready.
    fn come(&mut self, k: usize) {
        let setting = self.ids.setting[k];
        if self.waiting[setting] == 1 {
            // With it all is there: what lay back comes forward.
            let all = self.by_setting.get(&setting).into_iter().flatten();
            let lying: Vec<usize> = all
                .flat_map(|(_, heap)| heap.iter().map(|e| e.1.0))
                .collect();
            for k in &lying {
                self.lay(*k, false);
            }
            self.waiting[setting] = 0;
            for k in lying {
                self.lay(k, true);
            }
        } else {
            self.waiting[setting] = self.waiting[setting].saturating_sub(1);
        }
        self.put(k);
    }

    fn put(&mut self, k: usize) {
        self.lay(k, true);
    }

    /// Lays a task in its two heaps, or takes it out of them.
    fn lay(&mut self, k: usize, put: bool) {
        // To a square millimetre: the same piece is measured anew once it is a board of its own.
        let area = self.tasks[k].area.round();
        let (root, entry) = (self.tasks[k].root, (in_order(area), Reverse(k)));
        let setting = self.ids.setting[k];
        let eagerness = match self.tasks[k].key.set_to {
            SetTo::Mark => 2,
            _ => usize::from(self.waiting[setting] == 0),
        };
        let heaps = [
            self.by_setting.entry(setting).or_default(),
            &mut self.by_eagerness[eagerness],
        ];
        for heap in heaps {
            let on_board = heap.entry(root).or_default();
            if put {
                on_board.insert(entry);
            } else {
                on_board.remove(&entry);
                if on_board.is_empty() {
                    heap.remove(&root);
                }
            }
        }
    }

    /// The next task after the last one done: with the setting as it is if there is one.
    fn take(&mut self, last: Option<Last>) -> Option<usize> {
        let setting = last.and_then(|l| l.setting);
        let stays = setting.and_then(|s| self.by_setting.get(&s).filter(|h| !h.is_empty()));
        let heap = stays.or_else(|| self.by_eagerness.iter().rev().find(|h| !h.is_empty()))?;
        let same_board = last.and_then(|l| heap.get(&l.root?));
        let on_board = same_board.or_else(|| heap.values().next())?;
        let next = on_board.last()?.1.0;
        self.lay(next, false);
        Some(next)
    }
}

/// A number that is in the order of a float's value.
fn in_order(value: f64) -> i64 {
    let bits = value.to_bits() as i64;
    bits ^ (((bits >> 63) as u64) >> 1) as i64
}

/// Takes back stops that one cut alone is set by: a mark is as quick, and a stop is a sure gain
/// only where the next piece of that length comes. The stop that is set already stays.
pub(crate) fn drop_single_stops(tasks: &mut [Task], in_hand: Option<&InHand<'_>>) {
    let ids = Ids::of(tasks);
    let mut wanted = vec![0usize; ids.settings];
    ids.setting.iter().for_each(|s| wanted[*s] += 1);
    for (task, setting) in tasks.iter_mut().zip(&ids.setting) {
        let is_set = in_hand.is_some_and(|hand| hand.serves(&task.key));
        if matches!(task.key.set_to, SetTo::Stop(_)) && wanted[*setting] == 1 && !is_set {
            task.key.set_to = SetTo::Mark;
        }
    }
}

/// The cuts of one board that leave more than waste, each after the one that gives its
/// workpiece; `first` is the place of the first in the list of tasks.
pub(crate) fn cuts_of(
    (board, root, first): (usize, usize, usize),
    tree: &CutTree,
    pieces: &Workpieces,
    key_of: impl Fn(usize) -> Option<SettingKey>,
) -> Vec<Task> {
    let mut cuts: Vec<Task> = Vec::new();
    let mut seen = vec![false; tree.nodes.len()];
    let mut waiting = vec![(0usize, None)];
    while let Some((node, after)) = waiting.pop() {
        let Some(CutNode::Cut { low, high, .. }) = tree.nodes.get(node) else {
            continue;
        };
        if pieces.is_waste(node) || std::mem::replace(&mut seen[node], true) {
            continue;
        }
        let Some(key) = key_of(node) else { continue };
        let place = first + cuts.len();
        cuts.push(Task {
            board,
            root,
            work: Work::Cut(node),
            after,
            key,
            area: pieces.get(node).map_or(0.0, |p| p.area),
        });
        waiting.extend([(*high, Some(place)), (*low, Some(place))]);
    }
    cuts
}

/// Tools and settings of the tasks by number.
struct Ids {
    tool: Vec<usize>,
    tools: usize,
    setting: Vec<usize>,
    settings: usize,
}

impl Ids {
    fn of(tasks: &[Task]) -> Ids {
        let mut tools: Vec<&str> = Vec::new();
        // Settings by tool, kind and millimetres.
        let mut known: SortedMap<(usize, u8, i64), usize> = SortedMap::new();
        let (mut tool, mut setting) = (Vec::new(), Vec::new());
        let mut settings = 0;
        for task in tasks {
            let place = tools.iter().position(|t| *t == task.key.tool);
            let own_tool = place.unwrap_or(tools.len());
            if place.is_none() {
                tools.push(&task.key.tool);
            }
            tool.push(own_tool);
            let (kind, mm) = match task.key.set_to {
                // Every mark is set by itself.
                SetTo::Mark => (None, 0.0),
                SetTo::Fence(mm) => (Some(0), mm),
                SetTo::Stop(mm) => (Some(1), mm),
                SetTo::Line => (Some(2), 0.0),
                SetTo::HighFence(mm) => (Some(3), mm),
            };
            let alike = kind.and_then(|kind| {
                let key = |mm: f64| (own_tool, kind, in_order(mm));
                let near = known.range(key(mm - SAME_SETTING)..=key(mm + SAME_SETTING));
                near.map(|(_, id)| *id).min()
            });
            let id = alike.unwrap_or(settings);
            setting.push(id);
            if alike.is_none() {
                settings += 1;
                known.extend(kind.map(|kind| ((own_tool, kind, in_order(mm)), id)));
            }
        }
        Ids {
            tool,
            tools: tools.len(),
            setting,
            settings,
        }
    }
}

impl Ids {
    fn tool_of(&self, tasks: &[Task], name: &str) -> Option<usize> {
        let task = tasks.iter().position(|t| t.key.tool == name)?;
        Some(self.tool[task])
    }

    /// The setting that is in hand, if anything is still cut by it.
    fn setting_of(&self, tasks: &[Task], hand: &InHand<'_>) -> Option<usize> {
        let task = tasks.iter().position(|t| hand.serves(&t.key))?;
        Some(self.setting[task])
    }
}

fn is_ready(tasks: &[Task], done: &[bool], task: usize) -> bool {
    !done[task] && tasks[task].after.is_none_or(|before| done[before])
}

/// Tools in the order in which they are taken up, as few as possible.
///
/// Once a tool is in hand nothing is gained by leaving a cut that it can make, so what is done
/// by then follows from the tools taken up so far: all sequences are gone through, shortest
/// first, those that come to the same once. Past a limit the tool that does most is taken. The
/// one in hand goes first where it can do anything.
fn tool_sequence(tasks: &[Task], ids: &Ids, in_hand: Option<usize>) -> Vec<usize> {
    // Ways kept at a time: all for the tens of cuts of a piece of furniture, few for hundreds.
    let most = (30_000 / tasks.len().max(1)).clamp(8, 500);
    let none = vec![false; tasks.len()];
    let goes_on = |tool: &usize| {
        let mut own = (0..tasks.len()).filter(|k| ids.tool[*k] == *tool);
        own.any(|k| is_ready(tasks, &none, k))
    };
    let first: Vec<usize> = in_hand.filter(goes_on).into_iter().collect();
    let done = first.iter().fold(none.clone(), |done, tool| {
        done_with(tasks, ids, done, *tool)
    });
    let mut ways: Vec<(Vec<usize>, Vec<bool>)> = vec![(first, done)];
    let mut seen: SortedSet<Vec<bool>> = SortedSet::new();
    loop {
        if let Some(way) = ways.iter().find(|way| way.1.iter().all(|d| *d)) {
            return way.0.clone();
        }
        let mut next = Vec::new();
        for (tools, done) in &ways {
            let mut largest = vec![None::<f64>; ids.tools];
            for k in (0..tasks.len()).filter(|k| is_ready(tasks, done, *k)) {
                let place = &mut largest[ids.tool[k]];
                let area = tasks[k].area.round();
                *place = Some(place.map_or(area, |a: f64| a.max(area)));
            }
            let mut ready: Vec<usize> = (0..ids.tools).filter(|t| largest[*t].is_some()).collect();
            ready.arrange_by(|a, b| {
                let area = |t: usize| largest[t].unwrap_or(0.0);
                area(*b).total_cmp(&area(*a)).then(a.cmp(b))
            });
            for tool in ready {
                let after = done_with(tasks, ids, done.clone(), tool);
                if seen.insert(after.clone()) {
                    next.push(([&tools[..], &[tool]].concat(), after));
                }
            }
        }
        if next.is_empty() {
            return ways.pop().map_or_else(Vec::new, |way| way.0);
        }
        if next.len() > most {
            let done = |way: &(Vec<usize>, Vec<bool>)| way.1.iter().filter(|d| **d).count();
            next.arrange_by_key(|way| Reverse(done(way)));
            next.truncate(most.div_ceil(8));
        }
        ways = next;
    }
}

/// Everything that a tool in hand can do by and by.
fn done_with(tasks: &[Task], ids: &Ids, mut done: Vec<bool>, tool: usize) -> Vec<bool> {
    // A task comes after the one that gives its workpiece, so one pass is enough.
    for k in 0..tasks.len() {
        if ids.tool[k] == tool && is_ready(tasks, &done, k) {
            done[k] = true;
        }
    }
    done
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const TOOLS: [&str; 3] = ["mitre saw", "table saw", "track saw"];

    fn tasks(made: &[(usize, usize, u8)]) -> Vec<Task> {
        let of = |(place, (after, tool, set)): (usize, &(usize, usize, u8))| Task {
            board: place % 2,
            root: place % 2,
            work: Work::Cut(place),
            after: (place > 1).then(|| after % place),
            key: SettingKey {
                tool: TOOLS[*tool].into(),
                set_to: match set {
                    0 => SetTo::Mark,
                    n => SetTo::Fence(f64::from(*n)),
                },
            },
            area: 1.0,
        };
        made.iter().enumerate().map(of).collect()
    }

    /// The fewest tools taken up over every order that keeps a workpiece's cut before its pieces'.
    fn fewest(tasks: &[Task], done: &mut Vec<bool>, hand: Option<&str>) -> usize {
        if done.iter().all(|d| *d) {
            return 0;
        }
        let mut least = usize::MAX;
        for k in 0..tasks.len() {
            if !is_ready(tasks, done, k) {
                continue;
            }
            done[k] = true;
            let tool = tasks[k].key.tool.as_str();
            let taken_up = usize::from(hand != Some(tool));
            least = least.min(taken_up + fewest(tasks, done, Some(tool)));
            done[k] = false;
        }
        least
    }

    fn set_ups(tasks: &[Task], order: &[usize]) -> usize {
        let kept = |w: &&[usize]| tasks[w[0]].key.is_same(&tasks[w[1]].key);
        order.len() - order.windows(2).filter(kept).count()
    }

    proptest! {
        #[test]
        fn tools_are_changed_as_seldom_as_can_be(
            made in prop::collection::vec((0usize..8, 0usize..3, 0u8..4), 1..8),
        ) {
            let tasks = tasks(&made);
            let ids = Ids::of(&tasks);
            let sequence = tool_sequence(&tasks, &ids, None);
            let none = vec![false; tasks.len()];
            let done = sequence.iter().fold(none.clone(), |done, tool| done_with(&tasks, &ids, done, *tool));
            prop_assert!(done.iter().all(|d| *d));
            prop_assert_eq!(sequence.len(), fewest(&tasks, &mut none.clone(), None));
        }

        /// Everything once, a piece never cut before it is there, and set-ups no more than cuts,
        /// nor more than when the list is simply gone through.
        #[test]
        fn the_order_can_be_followed_and_saves_set_ups(
            made in prop::collection::vec((0usize..30, 0usize..3, 0u8..4), 1..30),
        ) {
            let tasks = tasks(&made);
            let order = order(&tasks, None);
            let mut done = vec![false; tasks.len()];
            for k in &order {
                prop_assert!(is_ready(&tasks, &done, *k));
                done[*k] = true;
            }
            prop_assert!(done.iter().all(|d| *d));
            let simply: Vec<usize> = (0..tasks.len()).collect();
            let (ours, plain) = (set_ups(&tasks, &order), set_ups(&tasks, &simply));
            prop_assert!(ours <= tasks.len());
            // Greedy: it may lose one against luck, hardly more.
            prop_assert!(ours <= plain + 1, "{ours} set-ups, {plain} as listed");
        }
    }

    #[test]
    fn one_fence_setting_serves_two_boards() {
        // Boards 0 and 1 by turns; both are ripped at 1 and at 2.
        let tasks = tasks(&[(0, 1, 1), (0, 1, 1), (0, 1, 2), (1, 1, 2)]);
        let order = order(&tasks, None);
        assert_eq!(set_ups(&tasks, &order), 2);
    }

    #[test]
    fn a_large_floor_is_put_in_order_quickly() {
        let made: Vec<(usize, usize, u8)> = (0..60_000)
            .map(|k| (k * 7919, k % 3, (k % 5) as u8))
            .collect();
        let tasks = tasks(&made);
        let started = std::time::Instant::now();
        let order = order(&tasks, None);
        assert_eq!(order.len(), tasks.len());
        // A second or two; comparing each with each took minutes.
        assert!(started.elapsed().as_secs() < 30, "{:?}", started.elapsed());
    }
}
