//! Rule 8 for panels: the staves that a plan has chosen make up each panel by its rules, they are the
//! staves of the job, and their heart sides lie as asked.
//!
//! Nothing of how staves are chosen is used here: widths, joints and faces are added up anew.

use std::collections::{BTreeMap, BTreeSet};

use heartside_timber::choices::{PanelChoice, Stave, stave_id};
use heartside_timber::document::{BoardCopy, HeartSide, Hearts, PartCopy};
use heartside_timber::finding::{Finding, Rule};
use heartside_timber::job::{Panel, Part};
use heartside_timber::plan::Plan;

use crate::index::JobIndex;
use crate::lying::Layouts;
use crate::report::{About, broken};

/// What each stave may add to the width that is wanted, in mm: sawn to tenths, and never too narrow.
const TENTH: f64 = 0.1;

fn report(cause: &str, message: String) -> Finding {
    broken(Rule::Matches, cause, message)
}

/// What is wrong with the staves that the plan has chosen.
pub(crate) fn staves(index: &JobIndex<'_>, plan: &Plan) -> Vec<Finding> {
    let (job, words) = (index.job(), index.words());
    let mut found = Vec::new();
    for panel in &job.panels {
        for copy in 1..=panel.part.count {
            let of_copy = |c: &&PanelChoice| c.panel.part == panel.part.id && c.panel.copy == copy;
            let mut chosen = plan.panels.iter().filter(of_copy);
            let about = Copy { index, panel, copy };
            match chosen.next() {
                None => {
                    found.push(about.report("panel-missing", words.panel_missing(panel, copy)));
                }
                Some(chosen) => about.judge(&chosen.staves, &mut found),
            }
            if chosen.next().is_some() {
                found.push(about.report("panel-twice", words.panel_twice(panel, copy)));
            }
        }
    }
    for chosen in &plan.panels {
        let PartCopy { part, copy } = &chosen.panel;
        let known = |p: &Panel| p.part.id == *part && (1..=p.part.count).contains(copy);
        if !job.panels.iter().any(known) {
            found.push(report("panel-unknown", words.panel_unknown(&chosen.panel)));
        }
    }
    found.extend(told_widths(index, plan));
    found
}

/// Placements that tell another width than their stave has: what is sawn once would be known by it.
fn told_widths(index: &JobIndex<'_>, plan: &Plan) -> Vec<Finding> {
    let placed = plan
        .layouts
        .iter()
        .flat_map(|l| l.placements.iter().map(move |p| (l, p)));
    let wrong = placed.filter_map(|(layout, placement)| {
        let (part, told) = (index.job().part(&placement.part)?, placement.width?);
        let off = (told - part.width()).abs();
        // Written so that what is no number is wrong too.
        let is_right = part.stave.is_none() || off <= index.slack();
        (!is_right).then(|| {
            let copy = placement.part_copy();
            let message = index.words().stave_told_other(&copy, told, part.width());
            let finding = report("stave-told-other", message)
                .on(&layout.board)
                .of(&copy);
            if off.is_finite() {
                finding.mm(off)
            } else {
                finding
            }
        })
    });
    wrong.collect()
}

/// One copy of a panel.
struct Copy<'a> {
    index: &'a JobIndex<'a>,
    panel: &'a Panel,
    copy: u32,
}

impl Copy<'_> {
    fn report(&self, cause: &str, message: String) -> Finding {
        report(cause, message).of(&PartCopy {
            part: self.panel.part.id.clone(),
            copy: self.copy,
        })
    }

    /// The part of the job that a stave of this number is.
    fn part(&self, number: u32) -> Option<&Part> {
        let id = stave_id(&self.panel.part.id, self.copy, number);
        self.index.job().part(&id)
    }

    fn stave_copy(&self, number: u32) -> PartCopy {
        PartCopy {
            part: stave_id(&self.panel.part.id, self.copy, number),
            copy: 1,
        }
    }

    fn judge(&self, staves: &[Stave], found: &mut Vec<Finding>) {
        let (panel, copy, words) = (self.panel, self.copy, self.index.words());
        let slack = self.index.slack();
        if staves
            .iter()
            .any(|s| !(s.width.is_finite() && s.width > 0.0))
        {
            found.push(self.report("stave-no-width", words.stave_no_width(panel, copy)));
            return;
        }
        let mut numbers = BTreeSet::new();
        for stave in staves {
            if !numbers.insert(stave.number) {
                let message = words.stave_twice(panel, copy, stave.number);
                found.push(self.report("stave-twice", message));
            }
        }
        let most = panel.max_count as usize;
        if staves.is_empty() || staves.len() > most {
            let message = words.stave_count(panel, copy, staves.len());
            let by = staves.len().saturating_sub(most).max(1);
            found.push(self.report("stave-count", message).count(by as f64));
        }
        let mut widths: Option<(f64, f64)> = None;
        for stave in staves {
            let part = self.part(stave.number);
            // What was sawn once is as it is.
            if part.is_none_or(|p| p.in_hand.is_empty()) {
                let (low, high) = widths.unwrap_or((stave.width, stave.width));
                widths = Some((low.min(stave.width), high.max(stave.width)));
                self.judge_width(stave, slack, found);
            }
            self.judge_part(stave, part, slack, found);
        }
        let spread = widths.map_or(0.0, |(low, high)| high - low);
        if panel.equal && spread > TENTH + slack {
            let message = words.staves_not_equal(panel, copy, spread);
            found.push(self.report("staves-not-equal", message).mm(spread - TENTH));
        }
        let joints = staves.len().saturating_sub(1) as f64 * panel.joint;
        let whole = staves.iter().map(|s| s.width).sum::<f64>() - joints;
        let over = whole - panel.width;
        let most_over = TENTH * staves.len() as f64;
        if over < -slack {
            let message = words.panel_too_narrow(panel, copy, -over);
            found.push(self.report("panel-too-narrow", message).mm(-over));
        } else if over > most_over + slack {
            let message = words.panel_too_wide(panel, copy, over);
            found.push(self.report("panel-too-wide", message).mm(over - most_over));
        }
        self.judge_others(&numbers, found);
    }

    /// A stave's width against the narrowest and the widest that the panel may have.
    fn judge_width(&self, stave: &Stave, slack: f64, found: &mut Vec<Finding>) {
        let (least, most) = self.panel.widths;
        let by = (least - stave.width).max(stave.width - most);
        if by > slack {
            let copy = self.stave_copy(stave.number);
            let wide = stave.width > most;
            let words = self.index.words();
            let message = words.stave_width(self.panel, (self.copy, stave.number), wide, by);
            let cause = if wide {
                "stave-too-wide"
            } else {
                "stave-too-narrow"
            };
            found.push(report(cause, message).of(&copy).mm(by));
        }
    }

    /// A stave is one part of the job, of that width, as long as the panel and thick enough to be
    /// flattened.
    fn judge_part(&self, stave: &Stave, part: Option<&Part>, slack: f64, found: &mut Vec<Finding>) {
        let (panel, words) = (self.panel, self.index.words());
        let copy = self.stave_copy(stave.number);
        let which = (self.copy, stave.number);
        let Some(part) = part.filter(|p| p.count == 1 && p.stave.is_some()) else {
            let message = words.stave_not_of_job(panel, which, None);
            found.push(report("stave-not-of-job", message).of(&copy));
            return;
        };
        let off = (part.width() - stave.width).abs();
        if off > slack {
            let message = words.stave_not_of_job(panel, which, Some((stave.width, part.width())));
            found.push(report("stave-not-of-job", message).of(&copy).mm(off));
        }
        let short = panel.length - part.length();
        if short > slack {
            let message = words.stave_too_short(panel, which, short);
            found.push(report("stave-too-short", message).of(&copy).mm(short));
        }
        let thin = panel.part.thickness + 2.0 * panel.flatten - part.thickness;
        if thin > slack {
            let message = words.stave_too_thin(panel, which, thin);
            found.push(report("stave-too-thin", message).of(&copy).mm(thin));
        }
    }

    /// Staves that the job has and the plan does not.
    fn judge_others(&self, numbers: &BTreeSet<u32>, found: &mut Vec<Finding>) {
        let (job, words) = (self.index.job(), self.index.words());
        for part in &job.parts {
            let Some(stave) = &part.stave else { continue };
            let here = job.panels.get(stave.panel).map(|p| &p.part.id) == Some(&self.panel.part.id)
                && stave.copy == self.copy;
            if here && !numbers.contains(&stave.number) {
                let message = words.stave_left_out(self.panel, (self.copy, stave.number));
                let copy = self.stave_copy(stave.number);
                found.push(report("stave-left-out", message).of(&copy));
            }
        }
    }
}

/// Whether heart sides lie as asked: in glued order turn by turn, or all one way.
///
/// Staves without a place are passed over, those of boards whose heart side nobody has looked at are
/// told as a caution.
pub(crate) fn hearts(index: &JobIndex<'_>, plan: &Plan, layouts: &dyn Layouts) -> Vec<Finding> {
    let mut found = Vec::new();
    for panel in index
        .job()
        .panels
        .iter()
        .filter(|p| p.hearts != Hearts::Any)
    {
        for copy in 1..=panel.part.count {
            let of_copy = |c: &&PanelChoice| c.panel.part == panel.part.id && c.panel.copy == copy;
            if let Some(chosen) = plan.panels.iter().find(of_copy) {
                let about = Copy { index, panel, copy };
                found.extend(about.hearts(&chosen.staves, layouts));
            }
        }
    }
    found
}

impl Copy<'_> {
    fn hearts(&self, staves: &[Stave], layouts: &dyn Layouts) -> Vec<Finding> {
        let words = self.index.words();
        let mut found = Vec::new();
        // Each with its own board: many staves of one board are told once.
        let mut unknown: BTreeMap<BoardCopy, Vec<PartCopy>> = BTreeMap::new();
        let mut held_against: Option<(usize, PartCopy, bool)> = None;
        let mut is_told = false;
        for (place, stave) in staves.iter().enumerate() {
            let copy = self.stave_copy(stave.number);
            let Some(lying) = layouts.lying(&copy) else {
                continue;
            };
            let Some(board) = self.index.board_place(lying.board) else {
                continue;
            };
            let side = self.index.job().boards[board].heart_side;
            if side == HeartSide::Unknown {
                unknown.entry(lying.board.clone()).or_default().push(copy);
                continue;
            }
            let is_up = (side == HeartSide::Up) != lying.piece.pose.turned_over;
            let Some((at, other, was_up)) = &held_against else {
                held_against = Some((place, copy, is_up));
                continue;
            };
            let alternate = self.panel.hearts == Hearts::Alternate;
            let turns = alternate && (place - at) % 2 == 1;
            // Of three that face one way the middle one is to be turned: it is told once.
            is_told = is_up != (*was_up != turns) && !(alternate && is_told);
            if is_told {
                let message =
                    words.heart_wrong(self.panel, (&copy, is_up), (other, *was_up), place - at - 1);
                let finding = report("heart-side", message)
                    .on(lying.board)
                    .of(&copy)
                    .of(other);
                found.push(finding.at(lying.piece.bounds.centre()));
            }
            // Turn by turn each is held against its neighbour, else all against the first.
            if alternate {
                held_against = Some((place, copy, is_up));
            }
        }
        for (board, copies) in unknown {
            let message = words.heart_unknown(self.panel, &board, &copies);
            let finding = report("heart-unknown", message).on(&board);
            found.push(copies.iter().fold(finding, |f, c| f.of(c)).caution());
        }
        found
    }
}
