//! The search: advances the engines step by step and keeps the best whole plan.

use heartside_timber::document::{Cuts, PartCopy};
use heartside_timber::job::{Job, Pin};
use heartside_timber::plan::{Bound, Layout, Made, Plan, UnplacedReason, Way};
use heartside_timber::score::Score;

use crate::assemble::{unplaced, whole_plan};
use crate::bound::{bound_with, is_met, reaches};
use crate::composite::Composites;
use crate::copies::as_they_lay;
use crate::last_look::LastLook;
use crate::objective::Choices;
use crate::parted::Parted;
use crate::portfolio::{Strategy, portfolio};
use crate::reasons::Reasons;
use crate::settings::Settings;
use crate::straight::handier::Handier;
use crate::task::usable_stock;

/// Steps in a round: workers exchange their best plans at whole rounds only.
///
/// Fewer and the exchange costs more than it brings; more and what one worker finds helps the
/// others later (a step of sawn shapes takes up to ten milliseconds).
pub const ROUND_STEPS: u64 = 500;

/// A plan that the engines have not bettered by this step is looked at for the pieces it leaves out.
///
/// Nothing is placed yet before the engines' first plan, and it comes within some hundred steps; of a
/// large job later, and then the look waits for it.
const LOOK_AT_LAST: u64 = 1_000;

/// Steps between two looks for handier cuts: it takes some milliseconds, a new plan may come
/// with every step, and the first one is not to wait.
const HANDIER_EVERY: u64 = 250;

/// Every so many steps one goes to the search that moves nothing of what still holds.
const UNMOVED_EVERY: u64 = 3;

/// Reasons are worked out from this step on, where there is no plan by then; later where a first
/// plan alone takes longer.
const EXPLAIN_FROM: u64 = 100;

/// Boards times kinds that are left out up to which the engines wait for the last look. Beyond that
/// they find places sooner, and each better plan would be looked at for as long as it took to find.
const LOOKED_AT: usize = 20_000;

/// Why a search could not be made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum SearchError {
    /// `worker` is not below `workers`.
    #[error("worker {worker} of {workers} does not exist: workers are counted from 0")]
    NoSuchWorker {
        /// The worker asked for.
        worker: u32,
        /// How many there are.
        workers: u32,
    },
}

/// How a search stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Status {
    /// Steps made in all.
    pub steps: u64,
    /// The best plan changed during the last call.
    pub improved: bool,
    /// Further steps can change nothing: the best is proved, or there is nothing to do.
    pub finished: bool,
}

/// A search for the best plan of a job.
///
/// Steps bound the work and nothing else does: `step(a)` then `step(b)` is `step(a + b)`,
/// and the same job, settings and steps give the same plan on every machine.
pub struct Search {
    /// What must lie together, as one blank to the engines: [`Search::job`] and all plans but those handed
    /// out and taken in are theirs.
    composites: Composites,
    /// Boards that pins at different angles part, where there are any.
    parted: Option<Parted>,
    job: Job,
    /// The same for boards that are sawn by line, where composite blanks have other sizes there; and with the
    /// smaller of both, of which the bound speaks.
    by_line: Option<Job>,
    smallest: Option<Job>,
    settings: Settings,
    reasons: Reasons,
    bound: Bound,
    strategies: Vec<Strategy>,
    /// Looks for room for what the best plan leaves out, as soon as there is a better one.
    look: LastLook,
    /// Where the rest of a job is planned: the search that moves nothing of what still holds.
    unmoved: Option<Box<Search>>,
    /// The best plan is not looked at yet.
    look_is_due: bool,
    /// The strategy whose turn it is, and how many steps are left of its turn.
    turn: (usize, u64),
    steps: u64,
    /// By this step an engine that goes on without a break has its first plan: a step lays a blank,
    /// or gives a workpiece or a board up.
    first_plan_by: u64,
    best: Plan,
    score: Score,
    /// The best plan as it is handed out, its cuts made handier, and its score. The engines go on
    /// from their own cuts: those made handier are no better to them.
    shown: (Plan, Score),
    /// The same with composite blanks cut apart, where there are any.
    apart: Option<(Plan, Score)>,
    handier: Handier,
    /// The best plan's cuts were not made handier yet.
    handier_is_due: bool,
    finished: bool,
    /// It only has to show what it comes to: nothing is explained, made handier or looked at last.
    is_brief: bool,
}

/// The class of plans that proofs of values speak of.
const BY_STRAIGHT_CUTS: &str = "straight cuts along and across the board";

impl Search {
    /// A search that has made no step yet; its best plan holds the pins and what still holds of an earlier
    /// plan ([`Job::earlier`]), and lists everything else as unplaced.
    ///
    /// # Errors
    /// [`SearchError::NoSuchWorker`] where `worker` is not below `workers`.
    pub fn new(job: &Job, settings: Settings) -> Result<Search, SearchError> {
        if settings.worker >= settings.workers {
            return Err(SearchError::NoSuchWorker {
                worker: settings.worker,
                workers: settings.workers,
            });
        }
        let mut job = job.clone();
        // A search knows no figure: who chooses by it does so beside.
        job.judge = None;
        job.workshop.sawn_kerf = widest_line(&job);
        let (parted, job) = with_pins_parted(job, settings);
        let (composites, job) = Composites::of(job, settings.way);
        let (by_line, smallest) = (composites.by_line(&job), composites.smallest(&job));
        let between = (parted, composites);
        Ok(Search::of(between, job, (by_line, smallest), settings))
    }

    fn of(
        (parted, composites): (Option<Parted>, Composites),
        job: Job,
        (by_line, smallest): (Option<Job>, Option<Job>),
        settings: Settings,
    ) -> Search {
        let reasons = Reasons::new(&job);
        let bound = bound_with(smallest.as_ref().unwrap_or(&job), &reasons);
        let jobs = (&job, by_line.as_ref());
        let strategies = portfolio(jobs, settings);
        let look = LastLook::new(&job, settings.way);
        let layouts = strategies.first().map_or_else(Vec::new, |c| c.layouts());
        let best = whole_plan(jobs, layouts, &reasons, &bound, made(settings, 0));
        let score = Score::of(&job, &best);
        let boards = usable_stock(&job, |_| true).len() as u64;
        let first_plan_by = job.piece_count().saturating_mul(4).saturating_add(boards);
        let mut search = Search {
            composites,
            parted,
            job,
            by_line,
            smallest,
            settings,
            reasons,
            bound,
            strategies,
            look,
            unmoved: None,
            look_is_due: true,
            turn: (0, 0),
            steps: 0,
            first_plan_by,
            shown: (best.clone(), score.clone()),
            apart: None,
            best,
            score,
            handier: Handier::default(),
            handier_is_due: true,
            finished: false,
            is_brief: false,
        };
        search.look_whether_finished();
        search.shown.0.bound.clone_from(&search.best.bound);
        if !search.job.earlier.is_empty() {
            search.go_on(search.job.earlier.clone());
            let (parted, job) = with_pins_parted(where_it_lies(&search.job), settings);
            let (composites, job) = Composites::of(job, settings.way);
            let others = [&search.by_line, &search.smallest];
            let others = others.map(|job| job.as_ref().map(where_it_lies));
            // Composite blanks are made before boards are parted here, so their other sizes are left alone.
            let [by_line, smallest] = others.map(|job| job.filter(|_| parted.is_none()));
            let between = (parted, composites);
            let mut unmoved = Search::of(between, job, (by_line, smallest), settings);
            match unmoved.parted {
                Some(_) => unmoved.go_on_from(search.job.earlier.clone()),
                None => unmoved.go_on(search.job.earlier.clone()),
            };
            search.unmoved = Some(Box::new(unmoved));
        }
        search.hand_out();
        search
    }

    /// Makes `n` steps, or fewer where it finishes before.
    pub fn step(&mut self, n: u64) -> Status {
        let mut improved = false;
        for _ in 0..n {
            if self.finished {
                break;
            }
            self.steps += 1;
            if self.steps == 1 {
                self.explain_again();
            }
            if self.look.is_waiting() {
                improved |= self.look_once();
                improved |= self.make_handier();
                continue;
            }
            if self.steps.is_multiple_of(UNMOVED_EVERY) && self.step_unmoved() {
                improved = true;
                improved |= self.make_handier();
                continue;
            }
            self.explain();
            let Some(changed) = self.step_once() else {
                break;
            };
            if changed {
                improved |= self.consider();
                // What was just proved may be the plan that was there before.
                self.look_whether_finished();
            }
            if self.steps == LOOK_AT_LAST.max(self.first_plan_by) {
                self.begin_look();
            }
            self.finished |= self.nothing_is_left();
            improved |= self.make_handier();
        }
        self.best.made = made(self.settings, self.steps);
        self.shown.0.made.clone_from(&self.best.made);
        self.shown.0.bound.clone_from(&self.best.bound);
        self.hand_out();
        Status {
            steps: self.steps,
            improved,
            finished: self.finished,
        }
    }

    /// One step of the search that moves nothing; true if that made a better plan.
    fn step_unmoved(&mut self) -> bool {
        let Some(unmoved) = &mut self.unmoved else {
            return false;
        };
        let status = unmoved.step(1);
        let known = |search: &Search| match search.parted {
            Some(_) => search.handed_out().0.layouts.clone(),
            None => search.best.layouts.clone(),
        };
        let layouts = status.improved.then(|| known(unmoved));
        if status.finished {
            self.unmoved = None;
        }
        layouts.is_some_and(|mut layouts| {
            self.keep_whole(&mut layouts);
            self.take_over(layouts)
        })
    }

    /// Puts back what held on boards where an engine could not go on from it: one that cuts another way
    /// takes it for granted that what is pinned can be sawn its way.
    fn keep_whole(&self, layouts: &mut [Layout]) {
        for layout in layouts {
            let mut held = self.job.earlier.iter();
            let held = held.find(|held| held.board == layout.board);
            let Some(held) = held else { continue };
            let has_order = layout.way == Way::Sawn || layout.cuts.is_some();
            if layout.way != held.way || !has_order {
                layout.clone_from(held);
            }
        }
    }

    /// One step of the strategy whose turn it is; true if its layouts changed. None where there are no strategies.
    fn step_once(&mut self) -> Option<bool> {
        let mut changed = false;
        if self.turn.1 == 0 {
            // Of a large job a turn lays a part only: the others wait until there is a plan at all.
            let stays = self.steps == 1 || self.has_only_pins() && self.steps < self.first_plan_by;
            let next = if stays { self.turn.0 } else { self.turn.0 + 1 };
            let next = next % self.strategies.len().max(1);
            let strategy = self.strategies.get_mut(next)?;
            changed = strategy.begin_turn((&self.job, self.by_line.as_ref()));
            self.turn = (next, strategy.turn_steps());
        }
        self.turn.1 -= 1;
        let strategy = self.strategies.get_mut(self.turn.0)?;
        Some(strategy.step((&self.job, self.by_line.as_ref())) || changed)
    }

    fn has_only_pins(&self) -> bool {
        let placed = self.best.layouts.iter().map(|l| l.placements.len());
        placed.sum::<usize>() <= self.job.pins.len()
    }

    /// Looks at one part that waits and one board; true if that made a better plan.
    fn look_once(&mut self) -> bool {
        let layouts = self.look.step(&self.job, self.by_line.as_ref());
        let improved = layouts.is_some_and(|layouts| self.take_over(layouts));
        self.finished |= self.nothing_is_left();
        improved
    }

    /// A plan that no strategy has made; true if it is better, and then all go on from it.
    fn take_over(&mut self, layouts: Vec<Layout>) -> bool {
        let improved = self.replace(layouts);
        if improved {
            let layouts = self.best.layouts.clone();
            for strategy in &mut self.strategies {
                strategy.adopt((&self.job, self.by_line.as_ref()), &layouts);
            }
        }
        improved
    }

    /// Asks about the next part that the best plan leaves out and that was not asked about, once the
    /// engines have had their first turn: one part a step, so that no step takes long.
    fn explain(&mut self) {
        if self.is_brief {
            return;
        }
        let waits = self.best.layouts.is_empty() && !self.strategies_are_done();
        if waits && self.steps < EXPLAIN_FROM.max(self.first_plan_by) {
            return;
        }
        let Some(part) = self.owes_reason() else {
            return;
        };
        if self.reasons.ask(&self.job, part) {
            self.explain_again();
        }
    }

    /// The first part without a place and without a reason.
    fn owes_reason(&self) -> Option<usize> {
        let (best, shown) = (&self.best.unplaced, &self.shown.0.unplaced);
        best.iter()
            .chain(shown)
            .filter(|u| u.reason == UnplacedReason::NotTried)
            .filter_map(|u| self.job.part_index(&u.part))
            .find(|part| self.reasons.is_open(*part))
    }

    /// Writes the reasons that are known into the best plan.
    fn explain_again(&mut self) {
        self.know_bound();
        for plan in [&mut self.best, &mut self.shown.0] {
            plan.unplaced = unplaced(&self.job, plan, &self.reasons, self.steps > 0);
        }
        self.look_whether_finished();
    }

    /// The floor speaks of the parts that are known to be possible: it rises as more are.
    fn know_bound(&mut self) {
        if self.reasons.knows_more() {
            self.bound = bound_with(self.smallest.as_ref().unwrap_or(&self.job), &self.reasons);
            self.best.bound = Some(self.bound.clone());
        }
    }

    fn strategies_are_done(&self) -> bool {
        self.strategies.iter().all(Strategy::is_finished)
    }

    fn begin_look(&mut self) {
        if self.is_brief {
            return;
        }
        let pairs = self.best.unplaced.len() * self.job.boards.len();
        if pairs > LOOKED_AT && !self.strategies_are_done() {
            return;
        }
        if std::mem::take(&mut self.look_is_due) {
            self.look.begin(&self.job, &self.best);
        }
    }

    /// True where no step can change anything: before that the best plan is looked at.
    fn nothing_is_left(&mut self) -> bool {
        if !self.strategies_are_done() {
            return false;
        }
        self.begin_look();
        !self.look.is_waiting() && self.owes_reason().is_none()
    }

    /// From now on the search only shows what it comes to, or, as at first, its plan is explained, made
    /// handier and looked at last besides: that takes longer than a short search itself.
    pub(crate) fn be_brief(&mut self, is_brief: bool) {
        self.is_brief = is_brief;
    }

    /// As `be_brief(true)`, and its engines are to find a whole plan in few steps.
    pub(crate) fn hurry(&mut self) {
        self.is_brief = true;
        self.strategies.iter_mut().for_each(Strategy::hurry);
    }

    /// The best plan so far: complete, its claims filled in, its cuts made handier.
    pub fn best(&self) -> &Plan {
        &self.handed_out().0
    }

    /// The best plan's score.
    pub fn score(&self) -> &Score {
        &self.handed_out().1
    }

    fn handed_out(&self) -> &(Plan, Score) {
        self.apart.as_ref().unwrap_or(&self.shown)
    }

    /// Cuts the composite blanks of the best plan apart.
    fn hand_out(&mut self) {
        if self.composites.is_empty() && self.parted.is_none() {
            return;
        }
        let (steps, reasons) = (self.steps, &self.reasons);
        let known = |part| steps > 0 && reasons.is_known_not_to_fit(part);
        self.composites
            .learn_longest(&self.job, &self.shown.0, known);
        self.apart = Some(self.as_handed_out(&self.shown.0));
    }

    /// Makes the best plan's cuts handier now and then, and at last; true if what is handed out changed.
    fn make_handier(&mut self) -> bool {
        let is_time = self.finished || self.steps.is_multiple_of(HANDIER_EVERY);
        if !is_time || self.is_brief || !std::mem::take(&mut self.handier_is_due) {
            return false;
        }
        let mut plan = self.handier.plan(&self.job, &self.best);
        self.composites.keep_apart(&self.job, &mut plan, &self.best);
        let score = Score::of(&self.job, &plan);
        let keeps = self.shown.1.better_than(&score, &self.job.order)
            || plan.layouts == self.shown.0.layouts;
        if !keeps {
            self.shown = (plan, score);
        }
        !keeps
    }

    /// A floor under the cost (for values: a ceiling), proved for the best plan where that meets it.
    pub fn bound(&self) -> Bound {
        if let Some(parted) = &self.parted {
            return parted.bound().clone();
        }
        let mut bound = self
            .best
            .bound
            .clone()
            .unwrap_or_else(|| self.bound.clone());
        let choices = Choices::of(&self.job);
        let limit = self.limit().filter(|l| choices.is_nearer(*l, bound.value));
        if let Some(limit) = limit {
            bound.value = limit;
            bound.because = format!("proved for {BY_STRAIGHT_CUTS}");
        }
        bound
    }

    /// Where a value or a strip is wanted: what a strategy has proved that no plan of straight cuts can better.
    fn limit(&self) -> Option<f64> {
        let choices = Choices::of(&self.job);
        let limits = self.strategies.iter().filter_map(Strategy::limit);
        limits.reduce(|a, b| if choices.is_nearer(b, a) { b } else { a })
    }

    /// The state of the generators and the best plan in sixteen letters, for telling whether two runs went the same way.
    ///
    /// FNV-1a (Fowler, Noll & Vo) over the numbers that each engine would draw next and
    /// over every bit of the best plan's positions.
    pub fn fingerprint(&self) -> String {
        let placed = self.best.layouts.iter().flat_map(|l| &l.placements);
        let numbers = placed
            .flat_map(|p| [p.at.x.to_bits(), p.at.y.to_bits(), p.at.turn.to_bits()])
            .chain(self.strategies.iter().map(Strategy::chance_state))
            .chain([self.steps, self.best.cost.to_bits()]);
        let hash = numbers
            .flat_map(u64::to_le_bytes)
            .fold(0xcbf2_9ce4_8422_2325u64, |hash, byte| {
                (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)
            });
        format!("{hash:016x}")
    }

    /// Goes on from a plan found elsewhere, if it is better than the best here; true if it was taken.
    ///
    /// The plan must have come from a search of the same job: it is believed to be legal.
    /// Pieces that it leaves out are listed again.
    pub fn adopt(&mut self, plan: &Plan) -> bool {
        let job = self.parted.as_ref().map(Parted::job);
        let score = Score::of(job.unwrap_or(self.composites.job()), plan);
        if !score.better_than(&self.handed_out().1, &self.job.order) {
            return false;
        }
        let layouts = self.taken_apart(plan.layouts.clone());
        let taken = self.take_in(self.composites.put_together(&self.job, layouts));
        self.hand_out();
        taken
    }

    fn taken_apart(&self, layouts: Vec<Layout>) -> Vec<Layout> {
        match &self.parted {
            Some(parted) => parted.taken_apart(layouts),
            None => layouts,
        }
    }

    /// As [`Search::adopt`], of a plan of the engines' job.
    fn take_in(&mut self, layouts: Vec<Layout>) -> bool {
        let plan = Plan {
            layouts,
            ..Plan::default()
        };
        if !Score::of(&self.job, &plan).better_than(&self.shown.1, &self.job.order) {
            return false;
        }
        for strategy in &mut self.strategies {
            strategy.adopt((&self.job, self.by_line.as_ref()), &plan.layouts);
        }
        self.replace(plan.layouts)
    }

    /// Goes on from what still holds of a plan made before the job was changed, so that what
    /// nothing is gained by moving stays where it is; true if it was taken.
    ///
    /// The layouts must keep every rule of the job as it is now.
    /// Boards on which something was pinned meanwhile are begun anew.
    pub fn go_on_from(&mut self, layouts: Vec<Layout>) -> bool {
        let layouts = self.taken_apart(layouts);
        let taken = self.go_on(self.composites.put_together(&self.job, layouts));
        self.hand_out();
        taken
    }

    fn go_on(&mut self, mut layouts: Vec<Layout>) -> bool {
        for pin in &self.job.pins {
            let placed = |l: &Layout| {
                l.placements
                    .iter()
                    .any(|p| p.part_copy() == pin.part && p.at == pin.at)
            };
            layouts.retain(|l| l.board != pin.board || placed(l));
            for layout in layouts.iter_mut().filter(|l| l.board != pin.board) {
                *layout = layout.clone().without(|copy| *copy == pin.part);
            }
        }
        // The best so far may go on from something itself: only what is pinned in it must be there.
        let is_pinned = |copy: &PartCopy| self.job.pins.iter().any(|pin| pin.part == *copy);
        for best in &self.best.layouts {
            if layouts.iter().all(|l| l.board != best.board) {
                layouts.push(best.clone().without(|copy| !is_pinned(copy)));
            }
        }
        layouts.retain(|l| !l.placements.is_empty());
        !layouts.is_empty() && self.take_in(layouts)
    }

    fn consider(&mut self) -> bool {
        let layouts = self.strategies[self.turn.0].layouts();
        let improved = self.replace(layouts);
        if improved {
            // What one found the others go on from.
            let (turn, layouts) = (self.turn.0, self.best.layouts.clone());
            for (place, strategy) in self.strategies.iter_mut().enumerate() {
                if place != turn {
                    strategy.adopt((&self.job, self.by_line.as_ref()), &layouts);
                }
            }
        }
        improved
    }

    /// A plan that the search passes by just now, as it would be handed out: as whole as the best of its engine, and
    /// dearer by no more than this. Asking changes nothing.
    pub(crate) fn passing(&self, dearer: f64) -> Option<(Plan, Score)> {
        let jobs = (&self.job, self.by_line.as_ref());
        let mut layouts = self.strategies.get(self.turn.0)?.passing(jobs, dearer)?;
        as_they_lay(&self.job, &mut layouts);
        let made = made(self.settings, self.steps);
        let plan = whole_plan(jobs, layouts, &self.reasons, &self.bound, made);
        Some(match self.composites.is_empty() && self.parted.is_none() {
            true => {
                let score = Score::of(&self.job, &plan);
                (plan, score)
            }
            false => self.as_handed_out(&plan),
        })
    }

    fn as_handed_out(&self, plan: &Plan) -> (Plan, Score) {
        let apart = self.composites.handed_out(&self.job, plan);
        match &self.parted {
            Some(parted) => parted.handed_out(apart.0),
            None => apart,
        }
    }

    fn replace(&mut self, mut layouts: Vec<Layout>) -> bool {
        as_they_lay(&self.job, &mut layouts);
        self.reasons.learn_from(&self.job, &layouts);
        self.know_bound();
        let jobs = (&self.job, self.by_line.as_ref());
        let whole = |layouts| {
            let made = made(self.settings, self.steps);
            let plan = whole_plan(jobs, layouts, &self.reasons, &self.bound, made);
            let score = Score::of(&self.job, &plan);
            score
                .better_than(&self.score, &self.job.order)
                .then_some((plan, score))
        };
        let Some((mut plan, mut score)) = whole(layouts) else {
            return false;
        };
        if self.composites.drop_whole(&self.job, &mut plan.layouts) {
            match whole(plan.layouts) {
                Some(without) => (plan, score) = without,
                None => return false,
            }
        }
        self.best = plan;
        self.score = score;
        if self.score.better_than(&self.shown.1, &self.job.order) {
            self.shown = (self.best.clone(), self.score.clone());
        }
        self.handier_is_due = true;
        self.look_is_due = true;
        self.begin_look();
        self.look_whether_finished();
        true
    }

    /// Proved where the bound is met and only what no board could take is missing.
    ///
    /// With no aim but the one the bound speaks of left undecided there would be nothing
    /// to search for; labour and offcuts can still be bettered, so only goals without them finish.
    fn look_whether_finished(&mut self) {
        let met = is_met(
            &self.job,
            &self.best,
            &self.score,
            &self.bound,
            &self.reasons,
        );
        let is_whole = self.best.unplaced.is_empty();
        let limit = self.limit();
        let reached = limit.is_some_and(|l| reaches(&self.job, &self.score, l, is_whole));
        let class = met.or_else(|| reached.then(|| BY_STRAIGHT_CUTS.to_owned()));
        self.best.bound = Some(self.bound());
        if let Some(class) = class {
            if let Some(bound) = &mut self.best.bound {
                bound.proved_for = Some(class);
            }
            self.finished = !Choices::of(&self.job).furnishes;
        }
        self.finished |= self.nothing_is_left();
    }
}

/// The job for the engines where pins part some of its boards; the job as it is elsewhere.
fn with_pins_parted(job: Job, settings: Settings) -> (Option<Parted>, Job) {
    match Parted::of(&job, settings.way) {
        Some((parted, inner)) => (Some(parted), inner),
        None => (None, job),
    }
}

/// The rest of a job with all that still holds pinned where it lies.
fn where_it_lies(job: &Job) -> Job {
    let mut job = job.clone();
    for layout in std::mem::take(&mut job.earlier) {
        for placement in &layout.placements {
            let part = placement.part_copy();
            if job.pins.iter().all(|pin| pin.part != part) {
                job.pins.push(Pin {
                    part,
                    board: layout.board.clone(),
                    at: placement.at,
                });
            }
        }
    }
    job
}

/// The kerf that is kept round sawn lines on every board: that of the saw that takes the thickest of them.
fn widest_line(job: &Job) -> f64 {
    let boards = job.boards.iter().filter(|b| {
        let can = job.workshop.can_saw_by_line(b.thickness);
        b.is_usable() && b.cuts != Cuts::Straight && can
    });
    let kerfs = boards.map(|b| job.workshop.sawn_kerf_for(b.thickness));
    kerfs.reduce(f64::max).unwrap_or(job.workshop.sawn_kerf)
}

fn made(settings: Settings, steps: u64) -> Made {
    Made {
        seed: settings.seed,
        steps,
        workers: settings.workers,
    }
}
