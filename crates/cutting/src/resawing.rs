//! A thick blank is resawn into leaves: a step of its own, once the blank is free.
//!
//! The blank's up face is flattened and runs along a high fence; each cut parts one leaf, and the fresh face of
//! what is left is flattened before the next, so that one setting serves all.

use heartside_geometry::{Arrange, Bounds, Point};
use heartside_timber::blank::Blank;
use heartside_timber::composite::{is_of_leaves, leaves_as_sawn, resawn_extents};
use heartside_timber::document::{BoardCopy, PartCopy};
use heartside_timber::job::{Job, Match, MatchKind, Part, Tool};
use heartside_timber::length::{write_dimension, write_length};
use heartside_timber::plan::{CutNode, CutTree, Frame, Layout, Placement, Way};
use heartside_timber::words::{counted, listed};

use crate::caution::follow_manual;
use crate::cut_caution::CutToWeigh;
use crate::naming::copies_words;
use crate::order::{SetTo, SettingKey};
use crate::step::{Action, Becomes, Caution, Setting, Step, Yielded};
use crate::steps::BoardSteps;

/// The leaves that a copy is one of.
pub(crate) fn leaves_with<'a>(job: &'a Job, copy: &PartCopy) -> Option<&'a Match> {
    let mut leaves = job.matches.iter().filter(|m| is_of_leaves(m));
    leaves.find(|m| m.parts.contains(copy))
}

/// The places of all that lie in one blank with a placement, from the up face down; itself alone where it is
/// no leaf.
pub(crate) fn in_one_blank(job: &Job, placements: &[Placement], place: usize) -> Vec<usize> {
    let leaf = placements.get(place).filter(|p| p.leaf.is_some());
    let Some(leaves) = leaf.and_then(|p| leaves_with(job, &p.part_copy())) else {
        return vec![place];
    };
    let of = |copy: &PartCopy| {
        let is_it = |p: &Placement| p.leaf.is_some() && p.part_copy() == *copy;
        placements.iter().position(is_it)
    };
    leaves.parts.iter().filter_map(of).collect()
}

/// The blanks in hand that are still to be resawn, each as a layout of its own: all of it is one blank.
pub(crate) fn still_to_resaw(job: &Job) -> Vec<Layout> {
    let thick = job.boards.iter().filter(|b| b.left() > 0);
    let thick = thick.filter_map(|board| {
        let from = board.from.as_ref().filter(|from| !from.leaves.is_empty())?;
        let placements: Vec<Placement> = from.held().cloned().collect();
        let all = (0..placements.len()).collect();
        let nodes = vec![CutNode::Leaves { placements: all }];
        Some(Layout {
            board: BoardCopy {
                board: board.id.clone(),
                copy: 1,
            },
            way: Way::Straight,
            frame: Frame::default(),
            placements,
            cuts: Some(CutTree { nodes }),
        })
    });
    thick.collect()
}

/// How a thick blank is resawn.
pub(crate) struct Resawing<'a> {
    pub(crate) tool: Option<&'a Tool>,
    pub(crate) kerf: f64,
    /// How thick each leaf comes off the saw.
    pub(crate) leaves: Vec<f64>,
    /// Length and width of the blank as it stands on its edge.
    pub(crate) extents: (f64, f64),
    /// The blank on its board.
    pub(crate) bounds: Bounds,
}

impl<'a> Resawing<'a> {
    /// None where the job does not know the parts.
    pub(crate) fn of(job: &'a Job, board: &str, leaves: &[&Placement]) -> Option<Resawing<'a>> {
        let board = job.board(board)?;
        let parts: Option<Vec<&Part>> = leaves.iter().map(|p| job.part(&p.part)).collect();
        let parts = parts?;
        let blank = Blank::of(parts.first()?);
        let lying = leaves.first()?.pose().apply_region(&blank.core);
        let bounds = lying.bounds().grown(blank.radius);
        let (length, width) = resawn_extents(&blank.bounds());
        Some(Resawing {
            tool: job.workshop.resawing_tool_for(length, width),
            kerf: job.workshop.resaw_kerf_for(length, width),
            leaves: leaves_as_sawn(job, board, &parts, (bounds.width(), bounds.height())),
            extents: (length, width),
            bounds,
        })
    }
}

impl BoardSteps<'_> {
    /// The leaves of one blank, from the up face down.
    pub(crate) fn leaves(&self, first: usize) -> Vec<&Placement> {
        let placements = &self.layout.placements;
        let nodes = self.layout.cuts.iter().flat_map(|tree| &tree.nodes);
        let mut blanks = nodes.filter(|n| matches!(n, CutNode::Leaves { .. }));
        let own = blanks.find(|n| n.placements().contains(&first));
        let own = own.map(|n| n.placements().to_vec());
        let own = own.unwrap_or_else(|| in_one_blank(self.job, placements, first));
        let mut leaves: Vec<&Placement> = own.iter().filter_map(|p| placements.get(*p)).collect();
        leaves.arrange_by(|a, b| a.leaf.cmp(&b.leaf));
        leaves
    }

    fn resawing(&self, first: usize) -> Option<Resawing<'_>> {
        Resawing::of(self.job, &self.layout.board.board, &self.leaves(first))
    }

    /// What is set for resawing: a high fence, or marks where no tool for it is named.
    pub(crate) fn resaw_key(&self, first: usize) -> Option<(SettingKey, f64)> {
        let resawing = self.resawing(first)?;
        let set_to = match resawing.tool {
            Some(_) => SetTo::HighFence(*resawing.leaves.first()?),
            None => SetTo::Mark,
        };
        let tool = resawing.tool.map(|t| t.name.clone()).unwrap_or_default();
        let (length, width) = resawing.extents;
        Some((SettingKey { tool, set_to }, length * width))
    }

    /// The step that resaws the blank of a placement: the piece of a node, or what is sawn by line.
    pub(crate) fn resawn(&self, first: usize, node: Option<usize>, by_line: bool) -> Option<Step> {
        let resawing = self.resawing(first)?;
        let (job, units) = (self.job, &self.job.units);
        let leaves = self.leaves(first);
        let copies: Vec<PartCopy> = leaves.iter().map(|p| p.part_copy()).collect();
        let (length, width) = resawing.extents;
        let thick = self.board.thickness;
        let weight_kg = self.weight(length * width);
        let mut cautions = Vec::new();
        let weigh = CutToWeigh {
            job,
            board: self.board,
            tool: resawing.tool,
            ripping: true,
            along: length,
            across: thick,
            weight_kg,
            volume: length * width * thick,
            beside_fence: None,
            held: None,
            against_fence: None,
            band: None,
            skim: false,
        };
        weigh.of_the_piece(&mut cautions);
        cautions.push(tall_caution(resawing.tool));
        let distance = *resawing.leaves.first()?;
        let shown = write_length(distance, units);
        let by_fence = resawing.tool.is_some();
        let setting = Setting {
            distance,
            distance_far: None,
            scale: distance,
            words: format!("{shown} from its up face"),
            brief: match by_fence {
                true => "from up face".into(),
                false => format!("{} from up face", write_dimension(distance, units)),
            },
            shown,
            from: "its up face".into(),
            towards: Point { x: 0.0, y: 1.0 },
            kerf_side: "towards the down face".into(),
            by_fence,
            by_stop: false,
            kept_from: None,
        };
        let yields = leaves.iter().zip(&resawing.leaves);
        let yields: Vec<Yielded> = yields
            .filter_map(|(leaf, thick)| self.leaf_yield(leaf, *thick))
            .collect();
        let cuts = leaves.len().saturating_sub(1) as f64;
        let middle = resawing.bounds.centre();
        Some(Step {
            number: 0,
            board: self.layout.board.clone(),
            layout: self.place,
            node,
            placement: by_line.then_some(first),
            action: Action::Resaw,
            tool: resawing.tool.map(|t| t.name.clone()).unwrap_or_default(),
            same_setting: false,
            workpiece: copies_words(job, &copies),
            workpiece_size: format!(
                "{} × {}",
                write_dimension(length, units),
                write_dimension(width, units)
            ),
            workpiece_kg: weight_kg,
            setting: Some(setting),
            line: [middle, middle],
            band: Vec::new(),
            sawn_length: cuts * length,
            yields,
            cautions,
            title: String::new(),
            brief: String::new(),
            text: Vec::new(),
        })
    }

    fn leaf_yield(&self, leaf: &Placement, thick: f64) -> Option<Yielded> {
        let part = self.job.part(&leaf.part)?;
        let blank = Blank::of(part).bounds();
        let name = part.copy_name(leaf.copy);
        let weight_kg = self.weight(blank.area() * thick / self.board.thickness);
        Some(Yielded {
            becomes: Becomes::Blank {
                part: leaf.part_copy(),
            },
            node: None,
            words: name.clone(),
            name,
            size: self.size(blank),
            weight_kg,
            holds: Vec::new(),
        })
    }

    /// The sentences of a step that resaws, its setting known to be that of the step before or not.
    pub(crate) fn word_resawn(&self, step: &mut Step) {
        let Some(setting) = &step.setting else { return };
        let units = &self.job.units;
        let show = |mm: f64| write_length(mm, units);
        let parts: Vec<&PartCopy> = step
            .yields
            .iter()
            .filter_map(|y| y.becomes.blank_of())
            .collect();
        let count = parts.len();
        let Some(first) = self.layout.placements.iter().position(|p| {
            let copy = p.part_copy();
            parts.first().is_some_and(|c| **c == copy)
        }) else {
            return;
        };
        let Some(resawing) = self.resawing(first) else {
            return;
        };
        let (kerf, depth) = (show(resawing.kerf), show(resawing.extents.1));
        let with = match resawing.tool {
            Some(tool) => format!("With the {}.", tool.name),
            None => format!("No tool is said to resaw: take a saw with a kerf of at most {kerf}."),
        };
        step.text.push(format!(
            "{with} The blank is {} × {} and stands on its longer edge: the blade cuts {depth} deep.",
            step.workpiece_size,
            show(self.board.thickness)
        ));
        let names: Vec<&str> = step.yields.iter().map(|y| y.name.as_str()).collect();
        step.text.push(format!(
            "Flatten its up face and true a long edge square to it; write {} on the end, from the up face down.",
            listed(&names)
        ));
        let shown = &setting.shown;
        step.text.push(match (setting.by_fence, step.same_setting) {
            (true, true) => format!(
                "High fence as before, {shown}, the up face against it; the kerf is {kerf}."
            ),
            (true, false) => format!(
                "Set a high fence to {shown}, the up face against it; the kerf is {kerf}."
            ),
            (false, _) => format!(
                "Gauge a line {shown} from the up face all round; the kerf of {kerf} falls beyond it."
            ),
        });
        if count > 2 {
            step.text.push(format!(
                "That is {}: before each further one flatten the fresh face, and run it where the up face ran.",
                counted(count - 1, "cut", "cuts")
            ));
        }
        step.text.push(format!(
            "Gives {}, each {shown} thick before it is cleaned up: {}, from the up face down. The last has the raw down face besides.",
            counted(count, "leaf", "leaves"),
            listed(&names)
        ));
        let leaves = parts.first().and_then(|copy| leaves_with(self.job, copy));
        step.text.push(match leaves.map(|m| m.kind) {
            Some(MatchKind::Book) => {
                "Open them like a book: neighbours show what the saw parted.".into()
            }
            _ => "Slip them apart, all the same way up.".into(),
        });
    }
}

/// Said where a blank of leaves comes off: once it is turned over nobody knows which face was up.
pub(crate) fn to_be_resawn(count: usize) -> Caution {
    let text = format!(
        "This thick blank is resawn into {} by a later cut: mark its up face now.",
        counted(count, "leaf", "leaves")
    );
    Caution::new("mark-leaves", text, "mark its up face", "common practice")
}

fn tall_caution(tool: Option<&Tool>) -> Caution {
    let text = format!(
        "Resawing stands tall wood on a narrow edge: a high fence, a base wide enough or a carrier, a featherboard or push block, the guard down to the wood, no hand in line with the blade. Freed wood may close on the blade: keep the kerf open with a wedge. {}, local rules and a qualified person come first.",
        heartside_timber::words::capital(follow_manual(tool).trim_start_matches("follow "))
    );
    Caution::new("resaw", text, "tall on a narrow edge", "common practice")
}
