//! A thick blank is resawn into leaves: a step of its own, once the blank is free.
//!
//! The blank's up face is flattened and runs along a high fence; each cut parts one leaf, and the fresh face of
//! what is left is flattened before the next, so that one setting serves all.

use heartside_geometry::{Arrange, Point};
use heartside_timber::blank::Blank;
use heartside_timber::document::PartCopy;
use heartside_timber::job::{MatchKind, Tool};
use heartside_timber::length::{write_dimension, write_length};
use heartside_timber::plan::{CutNode, Placement};
use heartside_timber::words::{capital, counted, listed};

use crate::caution::follow_manual;
use crate::cut_caution::CutToWeigh;
use crate::leaves::{Resawing, in_one_blank, leaves_with};
use crate::naming::copies_words;
use crate::order::{SetTo, SettingKey};
use crate::step::{Action, Becomes, Caution, Setting, Step, Yielded};
use crate::steps::BoardSteps;

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
            askew: false,
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

fn tall_caution(tool: Option<&Tool>) -> Caution {
    let text = format!(
        "Resawing stands tall wood on a narrow edge: a high fence, a base wide enough or a carrier, a featherboard or push block, the guard down to the wood, no hand in line with the blade. Freed wood may close on the blade: keep the kerf open with a wedge. {}, local rules and a qualified person come first.",
        capital(follow_manual(tool).trim_start_matches("follow "))
    );
    Caution::new("resaw", text, "tall on a narrow edge", "common practice")
}
