//! The cuts in order, under the headings of their set-ups.

use heartside_cutting::{
    Action, Becomes, Caution, Step, board_words, chalk_name, set_up_count, set_ups,
};
use heartside_geometry::Arrange;
use heartside_timber::document::BoardCopy;
use heartside_timber::finding::Severity;
use heartside_timber::words::{capital, counted, listed};

use super::Session;
use super::sent::hash_of;
use crate::protocol::{Bench, BenchSetUp, BenchStep, CopyOf, Line};

/// So many cuts are told by their numbers where a caution concerns them; more are counted.
const MOST_NUMBERS: usize = 12;

impl Session {
    pub(super) fn bench(&self) -> Bench {
        let (parts, tally) = self.bench_parts();
        let Some(judged) = &self.judged else {
            return Bench {
                done: self.done_boards(),
                tally,
                parts,
                ..Bench::default()
            };
        };
        let wrong_boards = self.boards_without_cuts();
        let steps: Vec<Step> = judged
            .steps
            .iter()
            .filter(|s| !wrong_boards.iter().any(|(board, _)| *board == s.board))
            .cloned()
            .collect();
        Bench {
            heading: format!(
                "{}{}, {}",
                counted(steps.len(), "cut", "cuts"),
                if self.job.done.is_empty() {
                    ""
                } else {
                    " left"
                },
                counted(set_up_count(&steps), "set-up", "set-ups")
            ),
            wrong: self.wrong_words(&wrong_boards),
            cautions: caution_lines(&steps),
            set_ups: self.bench_set_ups(&steps),
            by_board: self.by_board,
            saves: self.saves(),
            next: steps.iter().find(|s| s.is_ready()).map(|s| self.tick_of(s)),
            done: self.done_boards(),
            tally,
            parts,
            rest: self.rest_reason(),
            changed: self.changed_lines(),
        }
    }

    /// The cuts under the headings of their set-ups; board by board each board begins a heading.
    fn bench_set_ups(&self, steps: &[Step]) -> Vec<BenchSetUp> {
        let mut crosscut = self.crosscut_already();
        let mut found: Vec<BenchSetUp> = Vec::new();
        let mut last = None;
        for set_up in set_ups(&self.job, steps) {
            let own = &steps[set_up.steps];
            for (place, step) in own.iter().enumerate() {
                let root = self.job.root(&step.board);
                let begins = self.by_board && last != Some(root);
                last = Some(root);
                if begins || place == 0 {
                    found.push(BenchSetUp {
                        board: begins.then(|| capital(&board_words(&self.job, root))),
                        heading: set_up.heading.clone(),
                        steps: Vec::new(),
                    });
                }
                let look = self.look_after(step, &mut crosscut);
                if let Some(set_up) = found.last_mut() {
                    set_up.steps.push(self.bench_step(step, look));
                }
            }
        }
        found
    }

    fn bench_step(&self, step: &Step, look: Option<String>) -> BenchStep {
        let (grave, care): (Vec<&Caution>, Vec<&Caution>) =
            step.cautions.iter().partition(|c| c.is_grave());
        let gives = step.yields.iter().filter(|y| y.becomes != Becomes::Waste);
        let mut lines = vec![format!("{}.", step.title)];
        lines.extend(step.text.iter().cloned());
        // What is sawn by line is named by the line itself.
        let is_named = |name: &str| step.brief.starts_with(name);
        BenchStep {
            number: step.number,
            board: CopyOf::from(&step.board),
            tick: self.tick_of(step),
            brief: step.brief.clone(),
            gives: gives
                .map(|y| chalk_name(&y.name))
                .filter(|name| !is_named(name))
                .collect::<Vec<_>>()
                .join(", "),
            grave: short_words(&grave),
            care: short_words(&care),
            lines,
            cautions: step.cautions.iter().map(|c| c.text.clone()).collect(),
            ready: step.is_ready(),
            look,
            marks: self.marks(step),
        }
    }

    /// Boards of the plan whose cuts are not shown, and why: a rule is broken there, or no order
    /// of cuts is known.
    pub(super) fn boards_without_cuts(&self) -> Vec<(BoardCopy, String)> {
        let (Some(judged), Some(plan)) = (&self.judged, &self.document.plan) else {
            return Vec::new();
        };
        plan.layouts
            .iter()
            .filter(|l| !l.placements.is_empty())
            .filter_map(|layout| {
                let broken = judged.findings.iter().find(|f| {
                    f.severity == Severity::Broken && f.board.as_ref() == Some(&layout.board)
                });
                let why = match broken {
                    Some(finding) => finding.message.clone(),
                    None if judged.steps.iter().all(|s| s.board != layout.board) => {
                        "No order of cuts has been found for it.".to_owned()
                    }
                    None => return None,
                };
                Some((layout.board.clone(), why))
            })
            .collect()
    }

    fn wrong_words(&self, boards: &[(BoardCopy, String)]) -> Vec<String> {
        let Some(judged) = &self.judged else {
            return Vec::new();
        };
        let mut words: Vec<String> = boards
            .iter()
            .map(|(board, why)| {
                let name = capital(&board_words(&self.job, board));
                format!("{name} is not to be cut like this. {why}")
            })
            .collect();
        // What is wrong with the plan as a whole has no board to stand at.
        words.extend(
            judged
                .findings
                .iter()
                .filter(|f| f.severity == Severity::Broken)
                .filter(|f| {
                    f.board
                        .as_ref()
                        .is_none_or(|b| !boards.iter().any(|(known, _)| known == b))
                })
                .map(|f| f.message.clone()),
        );
        words
    }

    /// A name for a cut that holds as long as its board is laid out and cut in the same way.
    pub(super) fn tick_of(&self, step: &Step) -> String {
        let layout = self
            .document
            .plan
            .as_ref()
            .and_then(|p| p.layouts.get(step.layout));
        let laid = layout.map_or(0, |l| {
            hash_of(&format!("{:?} {:?} {:?}", l.frame, l.cuts, l.placements))
        });
        let place = |n: Option<usize>| n.map_or_else(String::new, |n| n.to_string());
        let resaws = if step.action == Action::Resaw {
            "#"
        } else {
            ""
        };
        format!(
            "{}#{}#{laid:x}#{}#{}{resaws}",
            step.board.board,
            step.board.copy,
            place(step.node),
            place(step.placement)
        )
    }
}

/// Short names of cautions: what a cut has to say of several things alike is said once.
fn short_words(cautions: &[&Caution]) -> Vec<String> {
    let mut said: Vec<(&str, usize)> = Vec::new();
    for caution in cautions {
        match said.iter_mut().find(|(short, _)| *short == caution.short) {
            Some((_, times)) => *times += 1,
            None => said.push((&caution.short, 1)),
        }
    }
    said.into_iter()
        .map(|(short, times)| match times {
            1 => short.to_owned(),
            2 => format!("{short}, twice"),
            n => format!("{short}, {n} times"),
        })
        .collect()
}

/// A caution and the numbers of the cuts it is due at.
struct Due<'a> {
    caution: &'a Caution,
    cuts: Vec<u32>,
    /// Cuts from which the same thing is farther away than the caution says.
    farther: Vec<u32>,
}

impl<'a> Due<'a> {
    /// True where a caution is this one, however near its thing is.
    fn is(&self, other: &Caution) -> bool {
        match (&self.caution.near, &other.near) {
            (Some(a), Some(b)) => self.caution.code == other.code && a.thing == b.thing,
            _ => self.caution.text == other.text,
        }
    }

    fn add(&mut self, other: &'a Caution, cut: u32) {
        let gap = |c: &Caution| c.near.as_ref().map_or(0.0, |near| near.gap);
        if other.text == self.caution.text {
            self.cuts.push(cut);
        } else if gap(other) < gap(self.caution) {
            self.farther.append(&mut self.cuts);
            self.cuts.push(cut);
            self.caution = other;
        } else {
            self.farther.push(cut);
        }
    }

    fn line(mut self) -> Line {
        self.cuts.dedup();
        self.farther.arrange();
        self.farther.dedup();
        self.farther.retain(|cut| !self.cuts.contains(cut));
        let mut due = capital(&cuts_words(&self.cuts));
        if !self.farther.is_empty() {
            due = format!("{due}; farther away at {}", cuts_words(&self.farther));
        }
        Line {
            label: self.caution.short.clone(),
            value: format!("{} {due}.", self.caution.text),
        }
    }
}

/// "cut 3", "cuts 3, 4 and 7", "13 cuts".
fn cuts_words(cuts: &[u32]) -> String {
    match cuts.len() {
        1 => format!("cut {}", cuts[0]),
        n if n > MOST_NUMBERS => format!("{n} cuts"),
        _ => {
            let numbers: Vec<String> = cuts.iter().map(u32::to_string).collect();
            format!("cuts {}", listed(&numbers))
        }
    }
}

/// Each caution once, in the order of the cuts, with the numbers of those it concerns; of what is
/// near several kerfs the nearest.
fn caution_lines(steps: &[Step]) -> Vec<Line> {
    let mut found: Vec<Due<'_>> = Vec::new();
    for step in steps {
        for caution in &step.cautions {
            match found.iter_mut().find(|due| due.is(caution)) {
                Some(due) => due.add(caution, step.number),
                None => found.push(Due {
                    caution,
                    cuts: vec![step.number],
                    farther: Vec::new(),
                }),
            }
        }
    }
    found.into_iter().map(Due::line).collect()
}
