//! A floor that is drawn again and again is at every moment the one that would be drawn anew.

#![allow(clippy::unwrap_used)]

use crate::sample;

use heartside_drawing::{KeptFloor, OnTheFloor, View, floor, floor_again};
use heartside_timber::document::{BoardCopy, PartCopy};
use heartside_timber::job::{Job, Pin};
use heartside_timber::plan::Plan;
use proptest::prelude::*;

/// Something that changes between two drawings.
#[derive(Debug, Clone)]
enum Change {
    Nothing,
    MovePart(usize, f64),
    TakeOff(usize),
    Pin(usize),
    Unpin,
    Choose(Option<usize>),
    ChooseBoard(Option<usize>),
    ChooseCut(Option<u32>),
    Findings(bool),
    Look(u8),
    Rename(usize),
    Swap,
}

fn changes() -> impl Strategy<Value = Change> {
    prop_oneof![
        Just(Change::Nothing),
        (0usize..50, -40.0..40.0).prop_map(|(i, d)| Change::MovePart(i, d)),
        (0usize..50).prop_map(Change::TakeOff),
        (0usize..50).prop_map(Change::Pin),
        Just(Change::Unpin),
        proptest::option::of(0usize..50).prop_map(Change::Choose),
        proptest::option::of(0usize..5).prop_map(Change::ChooseBoard),
        proptest::option::of(1u32..30).prop_map(Change::ChooseCut),
        any::<bool>().prop_map(Change::Findings),
        (0u8..8).prop_map(Change::Look),
        (0usize..5).prop_map(Change::Rename),
        Just(Change::Swap),
    ]
}

struct Scene {
    job: Job,
    plan: Plan,
    chosen: Vec<PartCopy>,
    board: Option<BoardCopy>,
    cut: Option<u32>,
    with_findings: bool,
    look: u8,
}

impl Scene {
    fn new() -> Scene {
        Scene {
            job: sample::job(),
            plan: sample::plan(),
            chosen: Vec::new(),
            board: None,
            cut: None,
            with_findings: true,
            look: 0,
        }
    }

    /// The place of the part with this number, counted round.
    fn place(&self, number: usize) -> Option<(usize, usize)> {
        let places: Vec<(usize, usize)> = self
            .plan
            .layouts
            .iter()
            .enumerate()
            .flat_map(|(l, layout)| (0..layout.placements.len()).map(move |p| (l, p)))
            .collect();
        (!places.is_empty()).then(|| places[number % places.len()])
    }

    fn apply(&mut self, change: &Change) {
        match change {
            Change::Nothing => {}
            Change::MovePart(number, by) => {
                if let Some((layout, place)) = self.place(*number) {
                    self.plan.layouts[layout].placements[place].at.x += by;
                    self.plan.layouts[layout].cuts = None;
                }
            }
            Change::TakeOff(number) => {
                if let Some((layout, place)) = self.place(*number) {
                    self.plan.layouts[layout].placements.remove(place);
                    self.plan.layouts[layout].cuts = None;
                }
            }
            Change::Pin(number) => {
                if let Some((layout, place)) = self.place(*number) {
                    let layout = &self.plan.layouts[layout];
                    self.job.pins.push(Pin {
                        part: layout.placements[place].part_copy(),
                        board: layout.board.clone(),
                        at: layout.placements[place].at,
                    });
                }
            }
            Change::Unpin => self.job.pins.clear(),
            Change::Choose(number) => {
                let place = number.and_then(|n| self.place(n));
                let part = place.map(|(l, p)| self.plan.layouts[l].placements[p].part_copy());
                self.chosen = part.into_iter().collect();
            }
            Change::ChooseBoard(number) => {
                self.board = number.map(|n| BoardCopy {
                    board: self.job.boards[n % self.job.boards.len()].id.clone(),
                    copy: 1,
                });
            }
            Change::ChooseCut(number) => self.cut = *number,
            Change::Findings(on) => self.with_findings = *on,
            Change::Look(look) => self.look = *look,
            Change::Rename(number) => {
                let boards = self.job.boards.len();
                self.job.boards[number % boards].name.push('i');
            }
            Change::Swap => {
                let last = self.plan.layouts.len().saturating_sub(1);
                if last > 0 {
                    self.plan.layouts.swap(0, last);
                }
            }
        }
    }

    /// Draws it again, and tells how many boards that took; it must be as if drawn anew.
    fn drawn(&self, kept: &mut KeptFloor) -> usize {
        let findings = if self.with_findings {
            sample::findings()
        } else {
            Vec::new()
        };
        let steps = heartside_cutting::steps(&self.job, &self.plan);
        let on = OnTheFloor {
            job: &self.job,
            plan: Some(&self.plan),
            steps: &steps,
            findings: &findings,
            moved: &[],
        };
        let view = View {
            pixels_per_mm: if self.look & 1 == 0 { 0.4 } else { 0.9 },
            dimensions: self.look & 2 != 0,
            parts: self.look & 4 == 0,
            cuts: self.look & 4 == 0,
            selected_parts: &self.chosen,
            selected_board: self.board.as_ref(),
            chosen_cut: self.cut,
            ..View::default()
        };
        assert_eq!(floor_again(&on, &view, kept), floor(&on, &view));
        kept.drawn()
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    /// Whatever changes between two drawings.
    #[test]
    fn drawing_again_is_drawing_anew(changes in proptest::collection::vec(changes(), 1..12)) {
        let mut scene = Scene::new();
        let mut kept = KeptFloor::default();
        for change in &changes {
            scene.apply(change);
            scene.drawn(&mut kept);
        }
    }
}

#[test]
fn only_boards_that_changed_are_drawn() {
    let mut scene = Scene::new();
    let mut kept = KeptFloor::default();
    let all: usize = scene.job.boards.iter().map(|b| b.count as usize).sum();
    assert_eq!(scene.drawn(&mut kept), all);
    assert_eq!(scene.drawn(&mut kept), 0);
    scene.apply(&Change::Choose(Some(0)));
    assert_eq!(scene.drawn(&mut kept), 1);
    scene.apply(&Change::Pin(0));
    assert_eq!(scene.drawn(&mut kept), 1);
    scene.apply(&Change::ChooseBoard(Some(1)));
    assert_eq!(scene.drawn(&mut kept), 1);
    scene.apply(&Change::ChooseCut(Some(1)));
    assert_eq!(scene.drawn(&mut kept), 1);
    scene.apply(&Change::Look(1));
    assert_eq!(scene.drawn(&mut kept), all);
}
