//! What must lie together is one blank to the engines.
//!
//! A [`Composites`] stands between a job and the engines: they get a job in which the copies of a run are
//! one part, and a plan of theirs is handed out with its members laid and cut apart. Members that are
//! pinned or in hand stay as they are, and the others of their run are pinned beside them; where there
//! is no wood for that they are left out.
//!
//! | module | idea |
//! |---|---|
//! | `saws` | the kerf between neighbours |
//! | `apart` | a layout with its composite blanks cut apart, and put together again |
//! | `longest` | how long a run could be, where no board gives it whole |
//! | `beside` | the rest of a run beside what stays |

mod apart;
mod beside;
mod longest;
mod saws;

use heartside_geometry::Arrange;
use heartside_timber::blank::Blank;
use heartside_timber::composite::{Composite, is_of_leaves, is_run, resawn_extents};
use heartside_timber::document::PartCopy;
use heartside_timber::job::{Job, Match};
use heartside_timber::plan::{Layout, Longest, Plan, Unplaced, UnplacedReason, Way};
use heartside_timber::score::Score;

use crate::settings::WayWanted;

/// The composite blanks of a job.
#[derive(Debug, Clone)]
pub(crate) struct Composites {
    /// The job as it was given.
    job: Job,
    list: Vec<Composite>,
    /// The same as they lie on boards that are sawn by line, whose kerf may be another.
    lines: Vec<Composite>,
    /// For each, once asked, how long it could be where no board gives it whole.
    longest: Vec<Option<Option<Longest>>>,
    /// Copies that the engines do not get: there is no wood beside what they must lie beside.
    left_out: Vec<(PartCopy, UnplacedReason)>,
}

impl Composites {
    /// The composite blanks of a job, and the job for the engines.
    pub(crate) fn of(job: Job, way: WayWanted) -> (Composites, Job) {
        let mut composites = Composites {
            job,
            list: Vec::new(),
            lines: Vec::new(),
            longest: Vec::new(),
            left_out: Vec::new(),
        };
        if !composites.job.matches.iter().any(is_composed) {
            let job = composites.job.clone();
            return (composites, job);
        }
        let inner = composites.compose(way);
        (composites, inner)
    }

    /// The engines' job for boards that are sawn by line, where its composite blanks have other sizes there.
    pub(crate) fn by_line(&self, inner: &Job) -> Option<Job> {
        self.with_parts(inner, |_, line| Some(line))
    }

    /// The engines' job with the smaller of the sizes that its composite blanks may have, where that is another.
    pub(crate) fn smallest(&self, inner: &Job) -> Option<Job> {
        self.with_parts(inner, |cuts, line| {
            let area = |c: &Composite| c.part.outline.area();
            (area(line) < area(cuts)).then_some(line)
        })
    }

    fn with_parts<'a>(
        &'a self,
        inner: &Job,
        other: impl Fn(&'a Composite, &'a Composite) -> Option<&'a Composite>,
    ) -> Option<Job> {
        let both = self.list.iter().zip(&self.lines);
        let differ = both.filter(|(cuts, line)| cuts.part.outline != line.part.outline);
        let others: Vec<&Composite> = differ.filter_map(|(c, l)| other(c, l)).collect();
        (!others.is_empty()).then(|| {
            let mut job = inner.clone();
            for composite in others {
                if let Some(place) = job.part_index(&composite.part.id) {
                    job.parts[place] = composite.part.clone();
                }
            }
            job
        })
    }

    /// True where the engines' job is the job.
    pub(crate) fn is_empty(&self) -> bool {
        self.list.is_empty() && self.left_out.is_empty()
    }

    /// The job as it was given.
    pub(crate) fn job(&self) -> &Job {
        &self.job
    }

    fn compose(&mut self, way: WayWanted) -> Job {
        let mut inner = self.job.clone();
        let runs = std::mem::take(&mut inner.matches);
        let (composed, others): (Vec<Match>, Vec<Match>) = runs.into_iter().partition(is_composed);
        let mut taken: Vec<PartCopy> = Vec::new();
        for (number, wanted) in composed.iter().enumerate() {
            let is_new = |copy: &&PartCopy| !taken.contains(copy);
            if !wanted.parts.iter().all(|copy| is_new(&copy)) {
                // Of matches that share a copy the first counts.
                let rest: Vec<PartCopy> = wanted.parts.iter().filter(is_new).cloned().collect();
                self.leave_out(&rest, UnplacedReason::NoRoom);
                continue;
            }
            taken.extend(wanted.parts.iter().cloned());
            let stays = wanted.parts.iter().any(|c| beside::stays(&self.job, c));
            let made = match is_run(wanted) {
                true if stays => {
                    let laid = beside::beside_what_stays(&self.job, wanted);
                    inner.pins.extend(laid.pins);
                    self.leave_out(&laid.left_out, UnplacedReason::NoRoom);
                    continue;
                }
                true => saws::composite(&self.job, way, wanted).ok_or(UnplacedReason::NoRoom),
                false => self
                    .of_leaves(wanted)
                    .map(|leaves| (leaves.clone(), leaves)),
            };
            match made {
                Ok((mut composite, mut line)) => {
                    // No id of a maker has two points in a row.
                    composite.part.id = format!("..together.{number}");
                    line.part.id.clone_from(&composite.part.id);
                    self.lines.push(line);
                    if stays {
                        beside::pin_whole(&composite, &mut inner.pins);
                    }
                    inner.parts.push(composite.part.clone());
                    self.list.push(composite);
                }
                Err(reason) => self.leave_out(&wanted.parts, reason),
            }
        }
        let held = self.list.iter().flat_map(|c| &c.members).map(|m| &m.copy);
        for copy in held.chain(self.left_out.iter().map(|(copy, _)| copy)) {
            if let Some(part) = inner.parts.iter_mut().find(|p| p.id == copy.part)
                && let Err(place) = part.in_hand.binary_search(&copy.copy)
            {
                part.in_hand.insert(place, copy.copy);
            }
        }
        inner.matches = others.into_iter().filter_map(|m| self.seen(m)).collect();
        inner.earlier = self.put_together(&inner, self.job.earlier.clone());
        inner
    }

    /// The thick blank of a match of leaves; why there is none.
    fn of_leaves(&self, wanted: &Match) -> Result<Composite, UnplacedReason> {
        let is_in_hand = |copy: &PartCopy| {
            let part = self.job.part(&copy.part);
            part.is_some_and(|p| p.in_hand.binary_search(&copy.copy).is_ok())
        };
        // What was resawn is resawn: no other blank gives its neighbour.
        if wanted.parts.iter().any(is_in_hand) {
            return Err(UnplacedReason::NoRoom);
        }
        let made = Composite::leaves(&self.job, wanted.kind, &wanted.parts);
        let composite = made.map_err(|_| UnplacedReason::NoRoom)?;
        let (length, width) = resawn_extents(&Blank::of(&composite.part).bounds());
        match self.job.workshop.can_resaw(length, width) {
            true => Ok(composite),
            false => Err(UnplacedReason::Tools),
        }
    }

    /// Leaves copies to nobody, but for those that stay where they are.
    fn leave_out(&mut self, copies: &[PartCopy], reason: UnplacedReason) {
        let free = copies.iter().filter(|c| !beside::stays(&self.job, c));
        let free: Vec<_> = free.map(|c| (c.clone(), reason)).collect();
        self.left_out.extend(free);
    }

    /// A match of the engines' job: a copy that is in a composite blank stands for it.
    fn seen(&self, wanted: Match) -> Option<Match> {
        let blank = |copy: PartCopy| {
            let holds = |c: &&Composite| c.members.iter().any(|m| m.copy == copy);
            match self.list.iter().find(holds) {
                Some(composite) => PartCopy {
                    part: composite.part.id.clone(),
                    copy: 1,
                },
                None => copy,
            }
        };
        let mut parts: Vec<PartCopy> = Vec::with_capacity(wanted.parts.len());
        for copy in wanted.parts.into_iter().map(blank) {
            if !parts.contains(&copy) {
                parts.push(copy);
            }
        }
        (parts.len() > 1).then_some(Match {
            kind: wanted.kind,
            parts,
        })
    }

    /// The engines' layouts without composite blanks that no saw of the workshop cuts apart there; true
    /// where there were any.
    pub(crate) fn drop_whole(&self, inner: &Job, layouts: &mut [Layout]) -> bool {
        let mut dropped = false;
        for layout in layouts {
            if self.holds_any(layout) && self.apart(inner, layout).is_none() {
                *layout = layout
                    .clone()
                    .without(|copy| self.named(&copy.part).is_some());
                dropped = true;
            }
        }
        dropped
    }

    /// A layout of the engines as it was before, if its composite blanks cannot be cut apart as it is now.
    pub(crate) fn keep_apart(&self, inner: &Job, plan: &mut Plan, before: &Plan) {
        for layout in &mut plan.layouts {
            if self.holds_any(layout) && self.apart(inner, layout).is_none() {
                let mut there = before.layouts.iter();
                if let Some(old) = there.find(|l| l.board == layout.board) {
                    layout.clone_from(old);
                }
            }
        }
    }

    /// Asks how long those runs could be that no board gives whole, as far as that is `known`, once each.
    pub(crate) fn learn_longest(
        &mut self,
        inner: &Job,
        plan: &Plan,
        known: impl Fn(usize) -> bool,
    ) {
        self.longest.resize(self.list.len(), None);
        let both = self.list.iter().zip(&self.lines);
        for ((composite, line), longest) in both.zip(&mut self.longest) {
            let id = &composite.part.id;
            let waits = plan.unplaced.iter().any(|u| u.part == *id);
            let is_run = composite.members.iter().all(|m| m.leaf.is_none());
            if is_run && waits && longest.is_none() && inner.part_index(id).is_some_and(&known) {
                *longest = Some(longest::longest(inner, composite, line));
            }
        }
    }

    /// The engines' plan as it is handed out, and its score.
    pub(crate) fn handed_out(&self, inner: &Job, plan: &Plan) -> (Plan, Score) {
        let mut plan = plan.clone();
        for layout in &mut plan.layouts {
            if !self.holds_any(layout) {
                continue;
            }
            *layout = self
                .apart(inner, layout)
                .unwrap_or_else(|| layout.clone().without(|c| self.named(&c.part).is_some()));
        }
        plan.layouts.retain(|l| !l.placements.is_empty());
        plan.unplaced = self.unplaced(&plan);
        let score = Score::of(&self.job, &plan);
        plan.cost = score.cost;
        (plan, score)
    }

    /// What is left out, by the parts of the job.
    fn unplaced(&self, plan: &Plan) -> Vec<Unplaced> {
        let mut list: Vec<Unplaced> = Vec::with_capacity(plan.unplaced.len());
        let mut add = |copy: &PartCopy, reason, least_board, longest: Option<Longest>| {
            let alike = |u: &&mut Unplaced| {
                u.part == copy.part && u.reason == reason && u.longest == longest
            };
            match list.iter_mut().find(alike) {
                Some(known) if known.copies.contains(&copy.copy) => {}
                Some(known) => known.copies.push(copy.copy),
                None => list.push(Unplaced {
                    part: copy.part.clone(),
                    copies: vec![copy.copy],
                    reason,
                    least_board,
                    longest,
                }),
            }
        };
        for unplaced in &plan.unplaced {
            match self.list.iter().position(|c| c.part.id == unplaced.part) {
                Some(run) => {
                    let longest = self.longest.get(run).cloned().flatten().flatten();
                    for member in &self.list[run].members {
                        let (reason, least) = (unplaced.reason, unplaced.least_board);
                        add(&member.copy, reason, least, longest.clone());
                    }
                }
                None => {
                    for copy in &unplaced.copies {
                        let copy = PartCopy {
                            part: unplaced.part.clone(),
                            copy: *copy,
                        };
                        add(&copy, unplaced.reason, unplaced.least_board, None);
                    }
                }
            }
        }
        for (copy, reason) in &self.left_out {
            add(copy, *reason, None, None);
        }
        list.iter_mut().for_each(|u| u.copies.arrange());
        list.arrange_by_key(|u| (self.job.part_index(&u.part), u.copies.first().copied()));
        list
    }

    fn named(&self, id: &str) -> Option<&Composite> {
        self.list.iter().find(|c| c.part.id == id)
    }

    /// As [`Composites::named`], with its size on a board that is cut this way.
    fn as_it_lies(&self, id: &str, way: Way) -> Option<&Composite> {
        let place = self.list.iter().position(|c| c.part.id == id)?;
        match way {
            Way::Straight => self.list.get(place),
            Way::Sawn => self.lines.get(place),
        }
    }

    fn holds_any(&self, layout: &Layout) -> bool {
        layout
            .placements
            .iter()
            .any(|p| self.named(&p.part).is_some())
    }
}

fn is_composed(wanted: &Match) -> bool {
    is_run(wanted) || is_of_leaves(wanted)
}
