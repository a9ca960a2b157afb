//! One cut at the machine: whether it can be made now, what to look at and to mark, its piece alone.

use heartside_cutting::{Action, Step, set_up_count, steps, steps_by_board};
use heartside_geometry::Arrange;
use heartside_timber::blank::is_seen;
use heartside_timber::document::{BoardCopy, PartCopy};

use crate::protocol::{Rectangle, StepPicture};
use crate::session::Session;

/// Said after the first crosscut of a board.
const LOOK: &str = "Look at the new end for checks. Where one runs in, cut again behind it and measure what is left.";

/// True where a cut runs across the board.
fn runs_across(step: &Step) -> bool {
    let [a, b] = step.line;
    let straight = matches!(step.action, Action::Crosscut | Action::Trim);
    straight && (b.x - a.x).abs() < (b.y - a.y).abs()
}

impl Session {
    /// Lists the cuts board by board, or by set-up across boards.
    pub fn order_cuts(&mut self, by_board: bool) {
        if self.by_board != by_board {
            self.by_board = by_board;
            self.judge();
        }
    }

    /// "37 set-ups across boards, 45 board by board: 8 fewer".
    pub(in crate::session) fn saves(&self) -> Option<String> {
        let judged = self.judged.as_ref()?;
        let plan = self.document.plan.as_ref()?;
        let other = judged.other_set_ups.get_or_init(|| {
            set_up_count(&match self.by_board {
                true => steps(&self.job, plan),
                false => steps_by_board(&self.job, plan),
            })
        });
        let own = set_up_count(&judged.steps);
        let (across, by_board) = match self.by_board {
            true => (*other, own),
            false => (own, *other),
        };
        let fewer = by_board.checked_sub(across).filter(|n| *n > 0)?;
        Some(format!(
            "{across} set-ups across boards, {by_board} board by board: {fewer} fewer"
        ))
    }

    /// The step that a tick names.
    pub(super) fn step_of(&self, tick: &str) -> Option<&Step> {
        let mut steps = self.judged.iter().flat_map(|j| &j.steps);
        steps.find(|step| self.tick_of(step) == tick)
    }

    /// Boards as they were bought that were cut across already.
    pub(in crate::session) fn crosscut_already(&self) -> Vec<BoardCopy> {
        let across = self.job.done.iter().filter(|cut| match cut.line[..] {
            [a, b] if !cut.resawn => (b.x - a.x).abs() < (b.y - a.y).abs(),
            _ => false,
        });
        let mut boards: Vec<BoardCopy> = across
            .map(|cut| self.job.root(&cut.board).clone())
            .collect();
        boards.arrange();
        boards.dedup();
        boards
    }

    /// What to look at after a cut; notes boards that it is the first to cut across.
    pub(in crate::session) fn look_after(
        &self,
        step: &Step,
        crosscut: &mut Vec<BoardCopy>,
    ) -> Option<String> {
        let root = self.job.root(&step.board);
        if !runs_across(step) || crosscut.contains(root) {
            return None;
        }
        crosscut.push(root.clone());
        Some(LOOK.to_owned())
    }

    /// The marks to draw on what a cut sets free, a sentence a part.
    pub(in crate::session) fn marks(&self, step: &Step) -> Vec<String> {
        let free = step.yields.iter().flat_map(|y| y.becomes.blank_of());
        free.filter_map(|part| self.mark(step, part)).collect()
    }

    fn mark(&self, step: &Step, of: &PartCopy) -> Option<String> {
        let part = self.job.part(&of.part)?;
        let in_hand = || {
            let boards = self.job.boards.iter();
            let mut held = boards
                .filter_map(|b| b.from.as_ref())
                .flat_map(|f| f.held());
            held.find(|p| p.part_copy() == *of).map(|p| p.pose())
        };
        let lies = self.place_of(of).map(|(_, pose)| pose);
        let pose = lies.or_else(in_hand)?;
        let seen = |up: bool| is_seen(part.faces, pose.turned_over, up);
        let face = match (seen(true), seen(false)) {
            (true, false) => "on the face that lies up",
            (false, true) => "underneath",
            _ => "on the better face",
        };
        let name = self.copy_words(of);
        if step.action == Action::Resaw {
            return Some(format!(
                "{name}: face mark {face}, edge mark on the edge it stood on."
            ));
        }
        let edge = match &step.setting {
            None => return Some(format!("{name}: face mark {face}.")),
            Some(_) if runs_across(step) => "on its truest edge".to_owned(),
            Some(setting) if setting.by_fence => "on the edge that ran along the fence".to_owned(),
            Some(_) => "on the edge just sawn".to_owned(),
        };
        Some(format!("{name}: face mark {face}, edge mark {edge}."))
    }

    /// The piece of one cut alone, as it lies at the machine; empty where there is no such cut.
    pub fn step_picture(&self, tick: &str) -> StepPicture {
        let drawn = self.step_of(tick).and_then(|step| {
            let plan = self.document.plan.as_ref()?;
            heartside_drawing::at_machine(&self.job, plan, step)
        });
        drawn.map_or_else(StepPicture::default, |drawn| StepPicture {
            bounds: Rectangle {
                x: drawn.bounds.min.x,
                y: drawn.bounds.min.y,
                width: drawn.bounds.width(),
                height: drawn.bounds.height(),
            },
            svg: drawn.svg,
            description: drawn.description,
        })
    }
}
