//! From a plan to numbered steps.

use std::collections::BTreeMap;

use heartside_geometry::{Arrange, Bounds, Point, map_of};
use heartside_timber::job::{Board, Job, Tool};
use heartside_timber::length::{write_length, write_weight};
use heartside_timber::plan::{CutNode, CutTree, Direction, Layout, Plan, Way};

use crate::caution::{CutToWeigh, band_region, blank_cautions, dust_caution};
use crate::datum::Datum;
use crate::naming::{PieceNames, board_words};
use crate::order::{SettingKey, order};
use crate::setting::{CutToSet, Set};
use crate::step::{Action, Becomes, Step, Yielded};
use crate::workpiece::{Workpiece, Workpieces};

/// Said at the first through cut of a board that is then sawn by line: measures from the board's
/// ends and its chalk line hold only as long as it is whole.
const DRAW_FIRST: &str = "Draw all parts of this board first, while it is whole: its through cuts run clear between them.";

/// The steps of a whole plan, numbered from 1, board by board in the plan's order.
///
/// Within a board: parents first, equal settings together where the tree allows, large
/// workpieces first; then what is sawn by line, piece by piece. A layout without a cut tree that is not
/// sawn (none has been found yet) gives no steps. O(boards x cuts² + cuts x outline vertices).
pub fn steps(job: &Job, plan: &Plan) -> Vec<Step> {
    let mut all = Vec::new();
    for (place, layout) in plan.layouts.iter().enumerate() {
        let Some(board) = job.board(&layout.board.board) else {
            continue;
        };
        let start = all.len();
        BoardSteps::new(job, board, layout, place).append_to(&mut all);
        if let (Some(first), Some(dust)) = (all.get_mut(start), dust_caution(&board.species)) {
            first.cautions.push(dust);
        }
    }
    for (place, step) in all.iter_mut().enumerate() {
        step.number = place as u32 + 1;
    }
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
    pub(crate) names: PieceNames,
    /// Names of the workpieces by node.
    pub(crate) named: BTreeMap<usize, String>,
    pub(crate) last: Option<SettingKey>,
}

impl<'a> BoardSteps<'a> {
    fn new(job: &'a Job, board: &'a Board, layout: &'a Layout, place: usize) -> Self {
        let names = PieceNames::of(job, &layout.board);
        let words = board_words(job, &layout.board);
        let named = map_of([(0, words.clone())]);
        BoardSteps {
            job,
            board,
            layout,
            place,
            datum: Datum::of(board),
            words,
            names,
            named,
            last: None,
        }
    }

    fn append_to(mut self, all: &mut Vec<Step>) {
        match &self.layout.cuts {
            Some(tree) => {
                let pieces = Workpieces::of(self.board, self.layout, tree);
                let key_of = |node| Some((node, self.key(tree, &pieces, node)?));
                let keys = map_of((0..tree.nodes.len()).filter_map(key_of));
                for node in order(tree, &pieces, |node| keys.get(&node).cloned()) {
                    all.extend(self.cut(tree, &pieces, node, keys.get(&node)));
                }
                for (node, kind) in tree.nodes.iter().enumerate() {
                    if let (CutNode::Region { placements }, Some(piece)) = (kind, pieces.get(node))
                    {
                        let name = self
                            .named
                            .get(&node)
                            .cloned()
                            .unwrap_or_else(|| self.words.clone());
                        for placement in placements {
                            all.extend(self.sawn(*placement, &name, Some((node, piece))));
                        }
                    }
                }
            }
            None if self.layout.way == Way::Sawn => {
                let mut placements: Vec<usize> = (0..self.layout.placements.len()).collect();
                let start = |p: &usize| self.layout.placements[*p].at.x;
                placements.arrange_by(|a, b| start(a).total_cmp(&start(b)).then(a.cmp(b)));
                let name = self.words.clone();
                for placement in placements {
                    all.extend(self.sawn(placement, &name, None));
                }
            }
            None => {}
        }
    }

    fn tool(&self, name: &str) -> Option<&'a Tool> {
        self.job.workshop.tools.iter().find(|t| t.name == name)
    }

    fn to_set<'b>(
        &'b self,
        tree: &'b CutTree,
        pieces: &'b Workpieces,
        node: usize,
        name: &'b str,
    ) -> Option<CutToSet<'b>> {
        let CutNode::Cut {
            direction,
            tool,
            at,
            kerf,
            low,
            high,
            ..
        } = tree.nodes.get(node)?
        else {
            return None;
        };
        let workpiece = pieces.get(node)?;
        let band = pieces
            .band(node, *direction, *at, *kerf)
            .unwrap_or_else(|| nominal_band(workpiece, *direction, *at, *kerf));
        Some(CutToSet {
            job: self.job,
            tree,
            pieces,
            frame: &self.layout.frame,
            datum: &self.datum,
            workpiece,
            name,
            board_words: &self.words,
            direction: *direction,
            at: *at,
            kerf: *kerf,
            low: *low,
            high: *high,
            fence: self.tool(tool).is_some_and(Tool::has_rip_fence),
            band,
        })
    }

    fn key(&self, tree: &CutTree, pieces: &Workpieces, node: usize) -> Option<SettingKey> {
        let set = self.to_set(tree, pieces, node, "")?.set();
        let CutNode::Cut { tool, .. } = &tree.nodes[node] else {
            return None;
        };
        let fence = set.setting.by_fence.then_some(set.setting.distance);
        Some(SettingKey {
            tool: tool.clone(),
            fence,
        })
    }

    fn cut(
        &mut self,
        tree: &CutTree,
        pieces: &Workpieces,
        node: usize,
        key: Option<&SettingKey>,
    ) -> Option<Step> {
        let name = self
            .named
            .get(&node)
            .cloned()
            .unwrap_or_else(|| "the piece".into());
        let to_set = self.to_set(tree, pieces, node, &name)?;
        let Set {
            setting,
            line,
            keeps_low,
            from_true_side,
        } = to_set.set();
        let CutNode::Cut {
            direction,
            tool,
            kerf,
            low,
            high,
            ..
        } = &tree.nodes[node]
        else {
            return None;
        };
        let workpiece = pieces.get(node)?;
        let band_box = to_set.band;
        let band = band_region(band_box, &self.layout.frame);
        let (first, second) = if keeps_low {
            (*low, *high)
        } else {
            (*high, *low)
        };
        let yields: Vec<Yielded> = [first, second]
            .into_iter()
            .filter_map(|child| self.yielded(tree, pieces, child))
            .collect();
        let trims = pieces.is_waste(second);
        let action = match (trims, direction) {
            (true, _) => Action::Trim,
            (_, Direction::Rip) => Action::Rip,
            (_, Direction::Crosscut) => Action::Crosscut,
        };
        let ripping = *direction == Direction::Rip;
        let waste_width = pieces.get(second).map_or(0.0, |p| {
            if ripping {
                p.extent.height()
            } else {
                p.extent.width()
            }
        });
        let weigh = CutToWeigh {
            job: self.job,
            board: self.board,
            tool: self.tool(tool),
            ripping,
            longest: workpiece.longest(),
            across: workpiece.extent.height(),
            weight_kg: self.weight(workpiece.area),
            beside_fence: setting.by_fence.then_some(setting.distance),
            true_side: from_true_side,
            band: band.as_ref(),
            skim: trims && waste_width <= 1e-6 && pieces.get(second).is_none_or(|p| p.area <= 1e-6),
        };
        let mut cautions = weigh.cautions();
        for child in [first, second] {
            if let Some(CutNode::Blank { placement }) = tree.nodes.get(child)
                && let Some(placement) = self.layout.placements.get(*placement)
            {
                cautions.extend(blank_cautions(self.job, self.board, placement));
            }
        }
        let same_setting =
            matches!((&self.last, key), (Some(last), Some(key)) if last.is_same(key));
        self.last = key.cloned();
        let sawn_length = if ripping {
            band_box.width()
        } else {
            band_box.height()
        };
        let mut step = Step {
            number: 0,
            board: self.layout.board.clone(),
            layout: self.place,
            node: Some(node),
            placement: None,
            action,
            tool: tool.clone(),
            same_setting,
            workpiece: name,
            workpiece_size: self.size(workpiece.extent),
            workpiece_kg: self.weight(workpiece.area),
            setting: Some(setting),
            line,
            band: band.map_or_else(Vec::new, |r| r.outer().points().to_vec()),
            sawn_length,
            yields,
            cautions,
            title: String::new(),
            text: Vec::new(),
        };
        self.word(&mut step, *kerf);
        if node == 0 && self.layout.way == Way::Sawn {
            step.text.push(DRAW_FIRST.into());
        }
        Some(step)
    }

    fn word(&self, step: &mut Step, kerf: f64) {
        let Some(setting) = &step.setting else { return };
        let units = &self.job.units;
        let verb = if step.action == Action::Trim {
            "Trim"
        } else {
            step.action.words()
        };
        let distance = &setting.words;
        step.title = format!("{verb} {}, {distance}", step.workpiece);
        let with = if step.tool.is_empty() {
            String::new()
        } else {
            format!("With the {}. ", step.tool)
        };
        step.text.push(format!(
            "{with}The workpiece is {} and weighs {}.",
            step.workpiece_size,
            write_weight(step.workpiece_kg, units)
        ));
        // The title has the measure.
        let how = match (setting.by_fence, step.same_setting) {
            (true, true) => "Fence as before",
            (true, false) => "Set the fence",
            (false, _) => "Mark the line",
        };
        step.text.push(format!(
            "{how}; the kerf of {} falls {}.",
            write_length(kerf, units),
            setting.kerf_side
        ));
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
    }
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

/// "1 hole", "2 holes".
pub(crate) fn plural(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

/// "a", "a and b", "a, b and c".
pub(crate) fn listed(words: &[&str]) -> String {
    match words {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [start @ .., last] => format!("{} and {last}", start.join(", ")),
    }
}
