//! Parts laid, turned, pinned and taken off their boards: each one undo step.

use heartside_check::Live;
use heartside_geometry::{Pose, math};
use heartside_timber::document::{BoardCopy, Document, PartCopy, Pin};
use heartside_timber::job::Part;
use heartside_timber::plan::{Made, Placement, Plan};
use heartside_timber::prepare::Prepared;
use heartside_timber::score::Score;

use super::first_fit::first_fit;
use super::held::TakenOff;
use super::poses::{finite, middle_of, pose_at};
use crate::protocol::Outcome;
use crate::session::engine::{KnownCuts, NotCut};
use crate::session::picture::board_label;
use crate::session::{Change, Session};
use crate::snapping::on_grid;

impl Session {
    /// Turns a placed part round the middle of its blank.
    pub fn turn(&mut self, part: &str, copy: u32, degrees: f64) -> Outcome {
        self.change_pose(part, copy, "turning", |part, pose| {
            let turn = math::normalise_deg(pose.turn + finite(degrees));
            Ok(pose_at(
                part,
                middle_of(part, &pose),
                turn,
                pose.turned_over,
            ))
        })
    }

    /// Turns a placed part over, about its own length.
    pub fn turn_over(&mut self, part: &str, copy: u32) -> Outcome {
        self.change_pose(part, copy, "turning over", |part, pose| {
            if !part.may_turn_over {
                return Err(format!("{} may not be turned over", part.name));
            }
            Ok(pose_at(
                part,
                middle_of(part, &pose),
                pose.turn,
                !pose.turned_over,
            ))
        })
    }

    /// Moves a placed part by a little: `dx` to the right, `dy` down, as seen.
    pub fn nudge(&mut self, part: &str, copy: u32, dx: f64, dy: f64) -> Outcome {
        self.change_pose(part, copy, "moving", |_, pose| {
            Ok(Pose {
                x: pose.x + finite(dx),
                y: pose.y - finite(dy),
                ..pose
            })
        })
    }

    fn change_pose(
        &mut self,
        part: &str,
        copy: u32,
        verb: &str,
        change: impl FnOnce(&Part, Pose) -> Result<Pose, String>,
    ) -> Outcome {
        self.put_down();
        let of = PartCopy {
            part: part.to_owned(),
            copy,
        };
        let Some(known) = self.known_copy(&of) else {
            return Outcome::refused(self.no_such_copy(&of));
        };
        let Some((board, pose)) = self.place_of(&of) else {
            return Outcome::refused(format!(
                "{} waits on the trestle: put it on a board first",
                self.copy_words(&of)
            ));
        };
        match change(known, pose) {
            Ok(pose) => {
                let pose = on_grid(&self.job, pose);
                self.lay(&of, &board, pose, verb)
            }
            Err(why) => Outcome::refused(why),
        }
    }

    /// Pins a part where it lies, or lets it go.
    pub fn pin(&mut self, part: &str, copy: u32, on: bool) -> Outcome {
        let of = PartCopy {
            part: part.to_owned(),
            copy,
        };
        if self.known_copy(&of).is_none() {
            return Outcome::refused(self.no_such_copy(&of));
        }
        let mut after = self.document.clone();
        after.pins.retain(|p| p.part != of);
        if on {
            let Some((board, pose)) = self.place_of(&of) else {
                return Outcome::refused(format!(
                    "{} waits on the trestle: put it on a board first",
                    self.copy_words(&of)
                ));
            };
            after.pins.push(pin(&of, &board, pose));
        }
        let name = self.copy_words(&of);
        let label = if on {
            format!("pinning {name}")
        } else {
            format!("letting {name} go")
        };
        // It changes what engines may do, but not the plan that lies there.
        let change = self.by_hand();
        self.commit(&label, after, change);
        Outcome::done().saying(if on {
            format!("{name} stays where it lies")
        } else {
            format!("{name} may be moved again")
        })
    }

    /// Takes a part off its board.
    pub fn to_trestle(&mut self, part: &str, copy: u32) -> Outcome {
        self.put_down();
        let of = PartCopy {
            part: part.to_owned(),
            copy,
        };
        let name = self.copy_words(&of);
        let Some((board, pose)) = self.place_of(&of) else {
            return Outcome::refused(format!("{name} is on the trestle already"));
        };
        let sound = self.judged.as_ref().is_some_and(|j| j.is_sound());
        if sound {
            let others = self.others_on(&board, &of);
            let like = (
                self.job.part(&of.part).cloned(),
                self.job.board(&board.board).cloned(),
            );
            let lay = TakenOff {
                board,
                pose,
                others,
                like,
            };
            self.taken_off.insert(of.clone(), lay);
        }
        let mut live = self.checker.live(&self.plan_or_empty());
        live.take(&of);
        let mut after = self.document.clone();
        after.pins.retain(|p| p.part != of);
        let (lost, prepared) = self.put_plan(&mut after, live.plan());
        let change = self.by_hand();
        let label = format!("putting {name} on the trestle");
        self.commit_prepared(&label, after, change, prepared);
        self.told(lost, None, format!("{name} waits on the trestle"))
    }

    /// Lays a part on a board, at the first place where every rule is kept.
    pub fn lay_on(&mut self, part: &str, copy: u32, board: &str, board_copy: u32) -> Outcome {
        self.put_down();
        let of = PartCopy {
            part: part.to_owned(),
            copy,
        };
        let on = BoardCopy {
            board: board.to_owned(),
            copy: board_copy,
        };
        let (Some(known), Some(wood)) = (self.known_copy(&of), self.job.board(board)) else {
            return Outcome::refused(self.no_such_copy(&of));
        };
        if let Some(why) = self.why_not_cut_further(&on) {
            return Outcome::refused(why);
        }
        let mut live = self.live_without_pin(&of, &self.plan_or_empty());
        live.take(&of);
        let label = board_label(&self.job, &on);
        match first_fit(&live, known, wood, &of, &on) {
            Some(pose) => self.lay(&of, &on, pose, "laying"),
            None => Outcome::refused(format!(
                "there is no place on {label} where {} would keep every rule",
                self.copy_words(&of)
            )),
        }
    }

    /// Lays a part on a board: one undo step, pinned, with an order of cuts where there is one.
    fn lay(&mut self, part: &PartCopy, board: &BoardCopy, pose: Pose, verb: &str) -> Outcome {
        let live = self.checker.live(&self.plan_or_empty());
        self.lay_with(live, part, board, pose, verb)
    }

    pub(super) fn lay_with(
        &mut self,
        mut live: Live,
        part: &PartCopy,
        board: &BoardCopy,
        pose: Pose,
        verb: &str,
    ) -> Outcome {
        live.put(part, board, pose);
        let mut after = self.document.clone();
        after.pins.retain(|p| p.part != *part);
        after.pins.push(pin(part, board, pose));
        let (lost, prepared) = self.put_plan(&mut after, live.plan());
        let change = self.by_hand();
        let name = self.copy_words(part);
        self.commit_prepared(&format!("{verb} {name}"), after, change, prepared);
        let label = board_label(&self.job, board);
        self.told(lost, Some(part), format!("{name} lies on {label}, pinned"))
    }

    /// Makes a plan changed by hand the one on the floor; tells boards that cannot be cut.
    ///
    /// What the document was made into comes along, so that nothing prepares it again.
    fn put_plan(&mut self, after: &mut Document, mut plan: Plan) -> (Vec<NotCut>, Prepared) {
        let prepared = self.work.prepare(after);
        let job = &prepared.job;
        let lost = match self.job.differs_in_pins_only(job) {
            true => self.cuts.find(job, &mut plan),
            false => KnownCuts::default().find(job, &mut plan),
        };
        plan.cost = Score::of(job, &plan).cost;
        // It is no search's plan any more: no numbers repeat it, and its bound is for others to find.
        plan.made = Made::default();
        (plan.bound, plan.cheapest) = (None, None);
        after.plan = Some(plan);
        (lost, prepared)
    }

    /// A plan that was made for the job as it is goes along with a change by hand.
    pub(in crate::session) fn by_hand(&self) -> Change {
        if self.is_stale() {
            Change::Job
        } else {
            Change::Hand
        }
    }

    /// The hand moves what is pinned: that it leaves its pin is meant.
    pub(super) fn live_without_pin(&self, of: &PartCopy, plan: &Plan) -> Live {
        if self.job.pins.iter().all(|p| p.part != *of) {
            return self.checker.live(plan);
        }
        let mut job = self.job.clone();
        job.pins.retain(|p| p.part != *of);
        self.checker.renewed(&job).live(plan)
    }

    /// Everything else that lies on a board.
    fn others_on(&self, board: &BoardCopy, but: &PartCopy) -> Vec<Placement> {
        let layout = self
            .document
            .plan
            .as_ref()
            .and_then(|p| p.layout(&board.board, board.copy));
        let placements = layout.iter().flat_map(|l| &l.placements);
        placements
            .filter(|p| p.part_copy() != *but)
            .cloned()
            .collect()
    }

    /// Nothing on the board has changed since the part was taken off.
    pub(super) fn is_as_left(&self, part: &PartCopy, lay: &TakenOff) -> bool {
        if lay.like.0.as_ref() != self.job.part(&part.part)
            || lay.like.1.as_ref() != self.job.board(&lay.board.board)
        {
            return false;
        }
        let layout = self
            .document
            .plan
            .as_ref()
            .and_then(|p| p.layout(&lay.board.board, lay.board.copy));
        layout.map_or(&[][..], |l| &l.placements) == lay.others.as_slice()
    }
}

fn pin(part: &PartCopy, board: &BoardCopy, pose: Pose) -> Pin {
    Pin {
        part: part.clone(),
        board: board.board.clone(),
        board_copy: board.copy,
        at: pose.into(),
    }
}
