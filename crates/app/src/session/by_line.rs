//! Sawing by line: one copy of a part, and with it the board it lies on; and what is said
//! after a change by hand where no straight cuts do.

use heartside_cutting::zone_words;
use heartside_timber::document::{Cuts, Document, PartCopy, PartCut, ZoneKind};
use heartside_timber::finding::{Rule, Severity};
use heartside_timber::ids::TakenIds;
use heartside_timber::job::{Job, Part};
use heartside_timber::length::write_length;
use heartside_timber::plan::{Layout, Way};
use heartside_timber::prepare::Prepared;
use heartside_timber::words::{counted, listed};

use super::Session;
use super::engine::{KnownCuts, NotCut, find_cuts};
use super::picture::board_label;
use super::state::copy_of;
use crate::protocol::{Outcome, SawOffer};
use crate::words::NO_PART;

/// More names make a message that nobody reads.
const MOST_NAMES: usize = 2;

impl Session {
    /// Lets one copy of a part be sawn by line, and with it the board it lies on. A part of
    /// several copies gives that copy up: it becomes a part of its own, and the others stay as
    /// they are.
    pub fn saw_by_line(&mut self, part: &str, copy: u32) -> Outcome {
        self.put_down();
        let of = PartCopy {
            part: part.to_owned(),
            copy,
        };
        if self.job.part(part).is_some_and(|p| p.stave.is_some()) {
            let name = self.copy_words(&of);
            return Outcome::refused(format!("{name} is glued to others, so it is cut straight"));
        }
        let Some((after, prepared, own)) = self.sawn_by_line(&of) else {
            return Outcome::refused(NO_PART);
        };
        let name = self.copy_words(&of);
        let board = self.place_of(&of).map(|(board, _)| board);
        // It changes what engines may do, but not where anything lies.
        let change = self.by_hand();
        let label = format!("sawing {name} by line");
        self.commit_prepared(&label, after, change, prepared);
        let on = board.map(|b| format!(", with all of {}", board_label(&self.job, &b)));
        let mut said = format!("{name} is sawn by line now{}", on.unwrap_or_default());
        if own != of {
            let new = self
                .job
                .part(&own.part)
                .map_or(&own.part, |p| &p.name)
                .clone();
            said = format!("{said}; it is a part of its own, \u{201c}{new}\u{201d}");
        }
        Outcome::done().saying(said)
    }

    /// The document with a copy sawn by line, and what the copy is called there.
    fn sawn_by_line(&mut self, of: &PartCopy) -> Option<(Document, Prepared, PartCopy)> {
        let mut after = self.document.clone();
        after.parts.iter().position(|p| p.id == of.part)?;
        let count = self.job.part(&of.part).map_or(1, |p| p.count);
        let own = if count > 1 {
            let name = format!("{}, by line", self.copy_words(of));
            split_off(&mut after, of, name)?
        } else {
            of.clone()
        };
        let row = after.parts.iter().position(|p| p.id == own.part)?;
        after.parts[row].cut = PartCut::Sawn;
        if let Some((board, _)) = self.place_of(of)
            && let Some(typed) = after.boards.iter_mut().find(|b| b.id == board.board)
        {
            if typed.cuts == Cuts::Straight {
                typed.cuts = Cuts::Any;
            }
            let layouts = after.plan.iter_mut().flat_map(|p| &mut p.layouts);
            for layout in layouts.filter(|l| l.board == board) {
                layout.way = Way::Sawn;
                layout.cuts = None;
                layout.frame = Default::default();
            }
        }
        let prepared = self.work.prepare(&after);
        if let Some(plan) = &mut after.plan {
            KnownCuts::default().find(&prepared.job, plan);
        }
        Some((after, prepared, own))
    }

    /// Whether nothing would be wrong on the copy's board any more, were the copy sawn by line.
    ///
    /// Asked of the job itself: nothing is typed and nothing prepared for a mere offer.
    fn would_be_right(&self, of: &PartCopy) -> bool {
        let Some((board, _)) = self.place_of(of) else {
            return false;
        };
        let mut job = self.job.clone();
        let mut parts = job.parts.iter().filter(|p| p.stave.is_none());
        let Some(part) = parts.find(|p| p.id == of.part) else {
            return false;
        };
        let ids = TakenIds::of(job.parts.iter().map(|p| p.id.as_str())).fresh(&part.id, "part");
        let own = PartCopy { part: ids, copy: 1 };
        let part = Part {
            id: own.part.clone(),
            count: 1,
            cut: PartCut::Sawn,
            ..part.clone()
        };
        job.parts.push(part);
        let pinned = job.pins.iter_mut().map(|pin| &mut pin.part);
        let matched = job.matches.iter_mut().flat_map(|m| &mut m.parts);
        for copy in pinned.chain(matched).filter(|copy| *copy == of) {
            copy.clone_from(&own);
        }
        let wood = job.boards.iter_mut().find(|b| b.id == board.board);
        if let Some(wood) = wood.filter(|wood| wood.cuts == Cuts::Straight) {
            wood.cuts = Cuts::Any;
        }
        let mut plan = self.plan_or_empty();
        if job.matches.is_empty() {
            // What lies on other boards is judged without this one.
            plan.layouts.retain(|l| l.board == board);
        }
        for layout in plan.layouts.iter_mut().filter(|l| l.board == board) {
            (layout.way, layout.cuts) = (Way::Sawn, None);
            layout.frame = Default::default();
            let placements = layout.placements.iter_mut();
            for placement in placements.filter(|p| p.part_copy() == *of) {
                own.part.clone_into(&mut placement.part);
                placement.copy = own.copy;
            }
        }
        // Whole as it is: what breaks it down on the bench makes nothing right.
        heartside_check::check(&job, &plan)
            .iter()
            .all(|f| f.severity != Severity::Broken || f.board.as_ref() != Some(&board))
    }

    /// What became of a plan changed by hand, in a line or two, with a way out where it cannot
    /// be cut and sawing by line would make it right.
    pub(super) fn told(
        &self,
        lost: Vec<NotCut>,
        moved: Option<&PartCopy>,
        sentence: String,
    ) -> Outcome {
        let broken = self
            .judged
            .as_ref()
            .map_or(0, |j| j.count(Severity::Broken));
        let mut outcome = Outcome::done();
        // The board that was worked on is told; the others stand in the list of findings.
        let worked_on = moved.and_then(|m| self.place_of(m)).map(|(board, _)| board);
        let not_cut = lost
            .iter()
            .find(|n| Some(&n.board) == worked_on.as_ref())
            .or(lost.first());
        let Some(not_cut) = not_cut else {
            return outcome.saying(match broken {
                0 => sentence,
                n => {
                    let wrong = counted(n, "thing is wrong now", "things are wrong now");
                    format!("{sentence}; {wrong}")
                }
            });
        };
        outcome.inseparable = lost.iter().flat_map(|n| &n.parts).map(copy_of).collect();
        let label = board_label(&self.job, &not_cut.board);
        // Where it lies wrongly, that is what to mend; that no cut frees it follows.
        let lies_wrong = moved.and_then(|m| {
            let judged = self.judged.as_ref()?;
            judged.findings.iter().find(|f| {
                f.severity == Severity::Broken && f.rule != Rule::Cuts && f.parts.contains(m)
            })
        });
        if let Some(wrong) = lies_wrong {
            return outcome.saying(wrong.message.trim_end_matches('.'));
        }
        let why = match self.fixing_in_the_way(not_cut) {
            Some((fixing, kerf)) => {
                let mend = moved.map_or(String::new(), |m| {
                    format!(": move {} {kerf} further from it", self.copy_words(m))
                });
                format!("The saw would meet the {fixing} on {label}{mend}")
            }
            None if not_cut.parts.is_empty() => {
                format!("No order of straight cuts was found for {label} in the time there is")
            }
            None => format!(
                "No straight cut can separate {} on {label}",
                self.few_names(&not_cut.parts, moved)
            ),
        };
        let candidates = moved
            .filter(|m| not_cut.parts.contains(m))
            .into_iter()
            .chain(&not_cut.parts);
        // One offer: each would have the whole board sawn by line.
        if let Some(part) = candidates.take(2).find(|p| self.would_be_right(p)) {
            outcome.offers.push(SawOffer {
                part: copy_of(part),
                label: format!("Saw {} by line", self.copy_words(part)),
            });
        }
        outcome.saying(why)
    }

    fn few_names(&self, parts: &[PartCopy], first: Option<&PartCopy>) -> String {
        let mut sorted: Vec<&PartCopy> = first.filter(|f| parts.contains(f)).into_iter().collect();
        sorted.extend(parts.iter().filter(|p| Some(*p) != first));
        let mut names: Vec<String> = sorted.iter().map(|p| self.copy_words(p)).collect();
        if names.len() > MOST_NAMES + 1 {
            let more = names.len() - MOST_NAMES;
            names.truncate(MOST_NAMES);
            names.push(format!("{more} more"));
        }
        if let [one] = names.as_slice() {
            return format!("{one} from the rest");
        }
        listed(&names)
    }

    /// The fixing without which a board could be cut apart, and the room that a cut takes.
    fn fixing_in_the_way(&self, not_cut: &NotCut) -> Option<(String, String)> {
        let place = self.job.board_index(&not_cut.board.board)?;
        let plan = self.document.plan.as_ref()?;
        let layout = plan.layout(&not_cut.board.board, not_cut.board.copy)?;
        let fixings: Vec<usize> = (0..self.job.boards[place].zones.len())
            .filter(|z| self.job.boards[place].zones[*z].kind == ZoneKind::Fixing)
            .collect();
        let can_without = |gone: &[usize]| {
            let mut job = self.job.clone();
            let mut at = 0;
            job.boards[place].zones.retain(|_| {
                at += 1;
                !gone.contains(&(at - 1))
            });
            can_be_cut(&job, layout)
        };
        if fixings.is_empty() || !can_without(&fixings) {
            return None;
        }
        let one = fixings
            .iter()
            .find(|z| can_without(std::slice::from_ref(z)))
            .or(fixings.first())?;
        let kerfs = self.job.workshop.tools.iter();
        let kerf = kerfs
            .filter(|t| t.rips || t.crosscuts)
            .map(|t| t.kerf)
            .fold(0.0, f64::max);
        Some((
            zone_words(&self.job.boards[place].zones[*one]),
            write_length(kerf, &self.job.units),
        ))
    }
}

/// Whether an order of cuts is found for a layout without one.
fn can_be_cut(job: &Job, layout: &Layout) -> bool {
    let mut layout = layout.clone();
    layout.cuts = None;
    find_cuts(job, &mut layout).is_none()
}

/// Makes a copy a part of its own, listed after the part it was of; copies after it count one
/// less. Whatever refers to them follows.
fn split_off(document: &mut Document, of: &PartCopy, name: String) -> Option<PartCopy> {
    let row = document.parts.iter().position(|p| p.id == of.part)?;
    let id = TakenIds::of(document.parts.iter().map(|p| p.id.as_str())).fresh(&name, "part");
    let own = PartCopy {
        part: id.clone(),
        copy: 1,
    };
    let mut part = document.parts[row].clone();
    part.id = id;
    part.name = name;
    part.count = Some(1.0);
    if let Some(count) = &mut document.parts[row].count {
        *count -= 1.0;
    }
    document.parts.insert(row + 1, part);
    let renamed = |part: &mut String, copy: &mut u32| {
        if *part == of.part && *copy == of.copy {
            own.part.clone_into(part);
            *copy = own.copy;
        } else if *part == of.part && *copy > of.copy {
            *copy -= 1;
        }
    };
    for pin in &mut document.pins {
        renamed(&mut pin.part.part, &mut pin.part.copy);
    }
    for part in document.matches.iter_mut().flat_map(|m| &mut m.parts) {
        renamed(&mut part.part, &mut part.copy);
    }
    let boards = document.boards.iter_mut();
    let held = boards.flat_map(|b| b.holds.iter_mut().chain(&mut b.leaves));
    let cut = document.done.iter_mut().filter_map(|c| c.layout.as_mut());
    for placed in held.chain(cut.flat_map(|l| &mut l.placements)) {
        renamed(&mut placed.part, &mut placed.copy);
    }
    let kept = document.plans.iter_mut().filter_map(|k| k.plan.as_mut());
    for plan in document.plan.iter_mut().chain(kept) {
        for placed in plan.layouts.iter_mut().flat_map(|l| &mut l.placements) {
            renamed(&mut placed.part, &mut placed.copy);
        }
        let mut apart = Vec::new();
        for waiting in plan.unplaced.iter_mut().filter(|u| u.part == of.part) {
            if waiting.copies.contains(&of.copy) {
                let mut alone = waiting.clone();
                alone.part.clone_from(&own.part);
                alone.copies = vec![own.copy];
                apart.push(alone);
            }
            waiting.copies.retain(|c| *c != of.copy);
            for copy in waiting.copies.iter_mut().filter(|c| **c > of.copy) {
                *copy -= 1;
            }
        }
        plan.unplaced.retain(|u| !u.copies.is_empty());
        plan.unplaced.extend(apart);
    }
    Some(own)
}
