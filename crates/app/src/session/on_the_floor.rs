//! The job on the floor: what is held of it, and how an edit becomes a step.

use heartside_check::Checker;
use heartside_cutting::{steps, steps_by_board};
use heartside_geometry::SortedMap;
use heartside_nest::Floor;
use heartside_timber::diagnostic::Diagnostic;
use heartside_timber::document::{Document, PartCopy};
use heartside_timber::edit::{Edit, History};
use heartside_timber::job::Job;
use heartside_timber::plan::{Bound, Plan, Unplaced};
use heartside_timber::prepare::{Prepared, prepare};
use heartside_timber::tools::small_workshop;

use super::at_bench::Standing;
use super::difference::edits_between;
use super::drawing_out::Drawing;
use super::engine::KnownCuts;
use super::given::GivenFile;
use super::hand::{Hand, TakenOff};
use super::judged::Judged;
use super::sent::Sent;
use super::set_out::{Passed, SetOut};
use super::to_mend::ToMend;
use crate::figure::{judge_figure, judge_like};
use crate::forms::Reader;
use crate::protocol::{LengthRead, Opened, Outcome, ThingKind, View};

/// What a change means for the plan on the floor.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Change {
    /// The job changed: the plan was made for the one before.
    Job,
    /// The plan was changed by hand along with the job, and goes with it.
    Hand,
    /// No plan depends on it.
    Aside,
}

/// What was worked out so far, counted: an edit needs each once.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) struct Work {
    /// How often a whole document was prepared.
    pub(super) prepared: u32,
    /// How often a plan was judged.
    pub(super) judged: u32,
    /// For how many boards an order of cuts was looked for.
    pub(super) cut: u32,
}

impl Work {
    pub(super) fn prepare(&mut self, document: &Document) -> Prepared {
        self.prepared += 1;
        prepare(document)
    }
}

/// The job on the floor.
#[derive(Debug)]
pub struct Session {
    pub(super) document: Document,
    pub(super) history: History,
    /// The sound rest of the document, and all that is wrong with it.
    pub(super) job: Job,
    pub(super) diagnostics: Vec<Diagnostic>,
    /// Parts that are not in the job because they have a problem.
    pub(super) left_out: Vec<Unplaced>,
    /// How many boards and parts have a problem.
    pub(super) to_mend: ToMend,
    /// Jobs made for other choices than those of the plan on the floor.
    /// How many things are wrong with each thing and what lies inside it.
    pub(super) problem_counts: SortedMap<(ThingKind, u32), u32>,
    /// What the opening of the file itself had to say.
    pub(super) opening: Vec<Diagnostic>,
    /// The checker of this job, with the boards that it has looked at.
    pub(super) checker: Checker,
    /// The plan on the floor as the checker sees it.
    pub(super) judged: Option<Judged>,
    /// What no plan of the job can go under; worked out when it is first asked for.
    pub(super) bound: Option<Bound>,
    /// A greater one that rises while nothing else is to be done, for plans of its class.
    pub(super) floor: Option<Floor>,
    /// Counts every change that a plan depends on, also by undo: plans for an older one are dropped.
    pub(super) epoch: u32,
    pub(super) hand: Option<Hand>,
    /// What is being drawn on a board.
    pub(super) drawing: Option<Drawing>,
    /// Where parts lay that were put on the trestle: brought back near there, they lie there again.
    pub(super) taken_off: SortedMap<PartCopy, TakenOff>,
    pub(super) set_out: Option<SetOut>,
    pub(super) progress: Vec<Passed>,
    pub(super) sent: Sent,
    /// Files of photographs that can be shown; those of other photographs are not there.
    pub(super) photos_at_hand: Vec<String>,
    /// What is known of the figure is drawn over the wood.
    pub(super) figure_shown: bool,
    /// What was drawn of each board the last time.
    pub(super) kept_floor: heartside_drawing::KeptFloor,
    /// Kept plans as they were judged, and after how much work that was.
    pub(super) kept_known: Option<(u32, Vec<crate::protocol::KeptRow>)>,
    pub(super) work: Work,
    /// Orders of cuts that were looked for in this job.
    pub(super) cuts: KnownCuts,
    /// Cuts are listed board by board, and not by set-up across boards.
    pub(super) by_board: bool,
    /// How things lay before the last change at the bench that was more than a cut as planned.
    pub(super) changed_from: Option<Standing>,
    /// Files of boards that are looked at and not taken yet.
    pub(super) given: Vec<GivenFile>,
    pub(super) view: View,
    pub(super) announce: Option<String>,
}

impl Default for Session {
    /// A new job, with a small workshop to begin with.
    fn default() -> Session {
        let mut document = Document::new();
        document.workshop.tools = small_workshop();
        Session::of(document)
    }
}

impl Session {
    fn of(document: Document) -> Session {
        let mut work = Work::default();
        let mut prepared = work.prepare(&document);
        judge_figure(&mut prepared.job);
        let mut session = Session {
            document,
            history: History::default(),
            left_out: prepared.unplaced_parts(),
            to_mend: ToMend::of(&prepared),
            checker: Checker::new(&prepared.job),
            job: prepared.job,
            diagnostics: prepared.diagnostics,
            problem_counts: SortedMap::new(),
            opening: Vec::new(),
            judged: None,
            bound: None,
            floor: None,
            epoch: 1,
            hand: None,
            drawing: None,
            taken_off: Default::default(),
            set_out: None,
            progress: Vec::new(),
            sent: Sent::default(),
            photos_at_hand: Vec::new(),
            figure_shown: false,
            kept_floor: heartside_drawing::KeptFloor::default(),
            kept_known: None,
            work,
            cuts: KnownCuts::default(),
            by_board: false,
            changed_from: None,
            given: Vec::new(),
            view: View::default(),
            announce: None,
        };
        session.problem_counts = session.counted_problems();
        session.judge();
        session
    }

    /// Opens a file. One that is refused changes nothing; otherwise undo brings the old job back.
    pub fn open(&mut self, text: &str) -> Opened {
        match Document::open(text) {
            Ok(opened) => {
                self.put_down();
                self.drawing = None;
                self.end_set_out();
                self.opening = opened.diagnostics;
                self.progress.clear();
                self.changed_from = None;
                self.replace(opened.document);
                Opened {
                    accepted: true,
                    problems: self.problem_rows(),
                }
            }
            Err(error) => Opened {
                accepted: false,
                problems: vec![self.problem_row(&error.diagnostic())],
            },
        }
    }

    /// Puts another document in place of this one.
    fn replace(&mut self, mut document: Document) {
        let fresh = self.epoch == 1 && self.history.undo_label().is_none();
        if fresh {
            // The first file is the start and not a change of the empty job before it.
            self.document = document;
        } else {
            // It takes a revision that was never given out here, and its plan goes along.
            let revision = document.revision.max(self.document.revision + 1);
            if let Some(plan) = document
                .plan
                .as_mut()
                .filter(|p| p.revision == document.revision)
            {
                plan.revision = revision;
            }
            document.revision = revision;
            let edit = Edit::Whole(Box::new(document));
            self.do_edit("opening a file", edit);
        }
        self.refresh();
    }

    /// Does an edit as a step. Edits worked out from the document itself always fit it.
    pub(super) fn do_edit(&mut self, label: &str, edit: Edit) -> bool {
        self.history.apply(&mut self.document, label, edit).is_ok()
    }

    /// The text of the job file.
    pub fn save(&self) -> String {
        self.document.save()
    }

    /// A file name for the job, in letters that every system takes.
    pub fn save_name(&self) -> String {
        let title = heartside_drawing::safe_file_name(self.title_or_job());
        format!("{title}.heartside.json")
    }

    pub(super) fn title_or_job(&self) -> &str {
        match self.document.title.trim() {
            "" => "job",
            title => title,
        }
    }

    /// Reads a length as the job would.
    pub fn read_length(&self, text: &str) -> LengthRead {
        self.with_reader(|reader| reader.read_out(text))
    }

    /// Takes the last step back.
    pub fn undo(&mut self) -> Outcome {
        self.put_down();
        self.end_set_out();
        match self.history.undo(&mut self.document) {
            Some(label) => {
                self.changed_from = None;
                self.refresh();
                Outcome::done().saying(format!("Undone: {label}"))
            }
            None => Outcome::refused("there is nothing to undo"),
        }
    }

    /// Does the last step taken back again.
    pub fn redo(&mut self) -> Outcome {
        self.put_down();
        match self.history.redo(&mut self.document) {
            Some(label) => {
                self.changed_from = None;
                self.refresh();
                Outcome::done().saying(format!("Done again: {label}"))
            }
            None => Outcome::refused("there is nothing to do again"),
        }
    }

    /// Makes a changed document the job: one undo step. False where nothing changed.
    ///
    /// Where a plan depends on what was changed, the plan on the floor is then older than
    /// the job, and plans still on their way are dropped. Otherwise a set-out goes on; what
    /// it has brought so far is a step of its own.
    pub(super) fn commit(&mut self, label: &str, after: Document, change: Change) -> bool {
        let goes_on =
            self.set_out.is_some() && change == Change::Aside && after.plan == self.document.plan;
        let earlier = self.job.earlier.clone();
        if !self.put_in_place(label, after, change) {
            return false;
        }
        let epoch = self.epoch;
        self.refresh();
        if goes_on {
            self.epoch = epoch;
            self.compare_with(earlier);
            self.go_on_setting_out();
        }
        true
    }

    /// As [`Session::commit`], of a document that has been prepared already (its plan aside, but for
    /// what that has chosen) and that a plan depends on.
    pub(super) fn commit_prepared(
        &mut self,
        label: &str,
        after: Document,
        change: Change,
        prepared: Prepared,
    ) -> bool {
        let unknown = after.unknown.clone();
        let changed = self.put_in_place(label, after, change);
        if changed && self.document.unknown == unknown {
            self.follow(prepared);
        } else if changed {
            // What was kept aside is forgotten where the edit wrote it anew.
            self.refresh();
        }
        changed
    }

    /// Writes a changed document over this one, as one undo step. False where nothing changed.
    fn put_in_place(&mut self, label: &str, after: Document, change: Change) -> bool {
        self.end_set_out();
        let mark = self.history.mark();
        let edits = edits_between(&self.document, &after);
        let mut plan = after.plan;
        let mut changed = false;
        if !edits.is_empty() {
            let edit = match change {
                Change::Aside => Edit::At {
                    revision: self.document.revision,
                    edit: Box::new(Edit::Many(edits)),
                },
                Change::Job | Change::Hand => Edit::Many(edits),
            };
            changed |= self.do_edit(label, edit);
        }
        if let Some(plan) = plan.as_mut().filter(|_| change == Change::Hand) {
            plan.revision = self.document.revision;
        }
        if plan != self.document.plan {
            changed |= self.do_edit(label, Edit::Plan(plan.map(Box::new)));
        }
        if changed {
            self.history.join(mark, label);
        }
        changed
    }

    /// Works out again all that follows from the document.
    pub(super) fn refresh(&mut self) {
        let prepared = self.work.prepare(&self.document);
        self.follow(prepared);
    }

    /// Takes over what was made of the document, and works out all that follows from it.
    fn follow(&mut self, prepared: Prepared) {
        self.put_job(prepared);
        self.epoch = self.epoch.wrapping_add(1);
        self.judge();
    }

    /// Puts another job in place of the one that was made of the document before.
    pub(super) fn put_job(&mut self, prepared: Prepared) {
        self.left_out = prepared.unplaced_parts();
        self.to_mend = ToMend::of(&prepared);
        let mut job = prepared.job;
        job.revision = self.document.revision;
        job.photos
            .retain(|photo| self.photos_at_hand.contains(&photo.hash));
        judge_like(&mut job, &self.job);
        // No bound and no order of cuts depends on where parts are pinned.
        if !self.job.differs_in_pins_only(&job) {
            self.bound = None;
            self.floor = None;
            self.cuts = KnownCuts::default();
        }
        self.checker = self.checker.renewed(&job);
        self.job = job;
        self.diagnostics = prepared.diagnostics;
        self.problem_counts = self.counted_problems();
    }

    pub(super) fn judge(&mut self) {
        self.work.judged += 1;
        let plan = self.document.plan.as_ref();
        let job = (&self.checker, &self.job, self.left_out.as_slice());
        self.judged = plan.map(|plan| self.judged_in(job, plan));
    }

    /// A plan as the checker sees it, in the job made for what it has chosen.
    pub(super) fn judged_of(&self, plan: &Plan) -> Judged {
        self.in_its_job(plan, |checker, job, left_out| {
            self.judged_in((checker, job, left_out), plan)
        })
    }

    fn judged_in(&self, job: (&Checker, &Job, &[Unplaced]), plan: &Plan) -> Judged {
        let steps = match self.by_board {
            true => steps_by_board,
            false => steps,
        };
        Judged::of(job.0, job.1, plan, job.2, steps)
    }

    /// True where the plan on the floor was made before the last change of the job.
    pub(super) fn is_stale(&self) -> bool {
        self.document
            .plan
            .as_ref()
            .is_some_and(|p| p.revision != self.document.revision)
    }

    pub(super) fn with_reader<R>(&self, act: impl FnOnce(&Reader<'_>) -> R) -> R {
        let dimensions = self.job.dimensions.iter();
        let values =
            SortedMap::from_iter(dimensions.map(|d| (d.value.name.clone(), d.value.value)));
        let usual = self.usual_texts();
        let parts: Vec<(String, String)> = self
            .document
            .parts
            .iter()
            .map(|p| {
                (
                    p.id.clone(),
                    if p.name.is_empty() {
                        p.id.clone()
                    } else {
                        p.name.clone()
                    },
                )
            })
            .collect();
        act(&Reader {
            units: self.job.units,
            values: &values,
            usual: &usual,
            parts: &parts,
        })
    }
}
