//! Undo and redo: what a step changed, and nothing else.

use heartside_timber::document::{
    Board, Dimension, Document, KeptPlan, Match, OnFloor, Panel, Part, Pin, Species,
};
use heartside_timber::plan::Plan;

/// So many steps are kept; a day at the bench has fewer, and each holds only what it changed.
const MOST_STEPS: usize = 1000;

/// A run of rows that gave way to another.
#[derive(Debug, Clone, PartialEq)]
struct Splice<T> {
    at: usize,
    before: Vec<T>,
    after: Vec<T>,
}

impl<T: Clone + PartialEq> Splice<T> {
    /// The shortest run that differs; nothing where the lists are equal. O(rows).
    fn between(before: &[T], after: &[T]) -> Option<Splice<T>> {
        let same = before.iter().zip(after).take_while(|(a, b)| a == b).count();
        if same == before.len() && same == after.len() {
            return None;
        }
        let most = before.len().min(after.len()) - same;
        let tail = before
            .iter()
            .rev()
            .zip(after.iter().rev())
            .take(most)
            .take_while(|(a, b)| a == b)
            .count();
        Some(Splice {
            at: same,
            before: before[same..before.len() - tail].to_vec(),
            after: after[same..after.len() - tail].to_vec(),
        })
    }

    fn put(list: &mut Vec<T>, splice: Option<&Splice<T>>, back: bool) {
        let Some(splice) = splice else { return };
        let (out, new) = if back {
            (&splice.after, &splice.before)
        } else {
            (&splice.before, &splice.after)
        };
        list.splice(splice.at..splice.at + out.len(), new.iter().cloned());
    }
}

/// What a step changed.
#[derive(Debug, Clone)]
pub(super) struct Step {
    label: String,
    boards: Option<Splice<Board>>,
    parts: Option<Splice<Part>>,
    dimensions: Option<Splice<Dimension>>,
    species: Option<Splice<Species>>,
    matches: Option<Splice<Match>>,
    panels: Option<Splice<Panel>>,
    pins: Option<Splice<Pin>>,
    plans: Option<Splice<KeptPlan>>,
    floor: Option<Splice<OnFloor>>,
    plan: Option<Box<(Option<Plan>, Option<Plan>)>>,
    /// The documents without their lists, where those differ.
    rest: Option<Box<(Document, Document)>>,
}

/// A document without what the lists of a step hold.
fn rest_of(document: &Document) -> Document {
    Document {
        format: document.format.clone(),
        version: document.version,
        title: document.title.clone(),
        units: document.units.clone(),
        currency: document.currency.clone(),
        timber_rate: document.timber_rate,
        offcut_value: document.offcut_value,
        workshop: document.workshop.clone(),
        allowances: document.allowances.clone(),
        objective: document.objective.clone(),
        revision: document.revision,
        unknown: document.unknown.clone(),
        ..Document::default()
    }
}

impl Step {
    /// What makes one document of the other; nothing where they are equal.
    pub(super) fn between(label: &str, before: &Document, after: &Document) -> Option<Step> {
        let rest = (rest_of(before), rest_of(after));
        let step = Step {
            label: label.to_owned(),
            boards: Splice::between(&before.boards, &after.boards),
            parts: Splice::between(&before.parts, &after.parts),
            dimensions: Splice::between(&before.dimensions, &after.dimensions),
            species: Splice::between(&before.species, &after.species),
            matches: Splice::between(&before.matches, &after.matches),
            panels: Splice::between(&before.panels, &after.panels),
            pins: Splice::between(&before.pins, &after.pins),
            plans: Splice::between(&before.plans, &after.plans),
            floor: Splice::between(&before.floor, &after.floor),
            plan: (before.plan != after.plan)
                .then(|| Box::new((before.plan.clone(), after.plan.clone()))),
            rest: (rest.0 != rest.1).then(|| Box::new(rest)),
        };
        let something = step.boards.is_some()
            || step.parts.is_some()
            || step.dimensions.is_some()
            || step.species.is_some()
            || step.matches.is_some()
            || step.panels.is_some()
            || step.pins.is_some()
            || step.plans.is_some()
            || step.floor.is_some()
            || step.plan.is_some()
            || step.rest.is_some();
        something.then_some(step)
    }

    fn put(&self, document: &mut Document, back: bool) {
        if let Some(rest) = &self.rest {
            let from = if back { &rest.0 } else { &rest.1 };
            // The lists are taken over from what is there and spliced below.
            *document = Document {
                boards: std::mem::take(&mut document.boards),
                parts: std::mem::take(&mut document.parts),
                dimensions: std::mem::take(&mut document.dimensions),
                species: std::mem::take(&mut document.species),
                matches: std::mem::take(&mut document.matches),
                panels: std::mem::take(&mut document.panels),
                pins: std::mem::take(&mut document.pins),
                plans: std::mem::take(&mut document.plans),
                floor: std::mem::take(&mut document.floor),
                plan: document.plan.take(),
                ..from.clone()
            };
        }
        if let Some(plans) = &self.plan {
            document.plan = if back {
                plans.0.clone()
            } else {
                plans.1.clone()
            };
        }
        Splice::put(&mut document.boards, self.boards.as_ref(), back);
        Splice::put(&mut document.parts, self.parts.as_ref(), back);
        Splice::put(&mut document.dimensions, self.dimensions.as_ref(), back);
        Splice::put(&mut document.species, self.species.as_ref(), back);
        Splice::put(&mut document.matches, self.matches.as_ref(), back);
        Splice::put(&mut document.panels, self.panels.as_ref(), back);
        Splice::put(&mut document.pins, self.pins.as_ref(), back);
        Splice::put(&mut document.plans, self.plans.as_ref(), back);
        Splice::put(&mut document.floor, self.floor.as_ref(), back);
    }
}

/// The steps done and undone.
#[derive(Debug, Clone, Default)]
pub(super) struct Steps {
    done: Vec<Step>,
    undone: Vec<Step>,
}

impl Steps {
    /// Notes a step that was just done.
    pub(super) fn push(&mut self, step: Step) {
        self.undone.clear();
        if self.done.len() == MOST_STEPS {
            self.done.remove(0);
        }
        self.done.push(step);
    }

    /// What `undo` would take back.
    pub(super) fn undo_label(&self) -> Option<&str> {
        self.done.last().map(|s| s.label.as_str())
    }

    /// What `redo` would do again.
    pub(super) fn redo_label(&self) -> Option<&str> {
        self.undone.last().map(|s| s.label.as_str())
    }

    /// Takes the last step back; its label, or nothing where there is none.
    pub(super) fn undo(&mut self, document: &mut Document) -> Option<String> {
        let step = self.done.pop()?;
        step.put(document, true);
        let label = step.label.clone();
        self.undone.push(step);
        Some(label)
    }

    /// Does the last step taken back again.
    pub(super) fn redo(&mut self, document: &mut Document) -> Option<String> {
        let step = self.undone.pop()?;
        step.put(document, false);
        let label = step.label.clone();
        self.done.push(step);
        Some(label)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn board(id: &str) -> Board {
        Board {
            id: id.to_owned(),
            ..Board::default()
        }
    }

    #[test]
    fn every_step_goes_back_and_forth() {
        let first = Document {
            boards: vec![board("A"), board("B"), board("C")],
            ..Document::default()
        };
        let mut second = first.clone();
        second.boards.remove(1);
        second.title = "Stool".to_owned();
        let mut third = second.clone();
        third.boards.insert(0, board("D"));
        third.revision = 4;
        let mut steps = Steps::default();
        let mut document = third.clone();
        steps.push(Step::between("one", &first, &second).unwrap());
        steps.push(Step::between("two", &second, &third).unwrap());
        assert_eq!(steps.undo(&mut document).as_deref(), Some("two"));
        assert_eq!(document, second);
        assert_eq!(steps.undo(&mut document).as_deref(), Some("one"));
        assert_eq!(document, first);
        assert_eq!(steps.undo(&mut document), None);
        assert_eq!(steps.redo_label(), Some("one"));
        steps.redo(&mut document);
        steps.redo(&mut document);
        assert_eq!(document, third);
    }

    #[test]
    fn equal_documents_make_no_step() {
        let document = Document {
            boards: vec![board("A")],
            ..Document::default()
        };
        assert!(Step::between("nothing", &document, &document.clone()).is_none());
    }

    #[test]
    fn repeated_rows_are_spliced_once() {
        let before = vec![1, 1, 1];
        let after = vec![1, 1];
        let splice = Splice::between(&before, &after).unwrap();
        let mut list = after.clone();
        Splice::put(&mut list, Some(&splice), true);
        assert_eq!(list, before);
        Splice::put(&mut list, Some(&splice), false);
        assert_eq!(list, after);
    }
}
