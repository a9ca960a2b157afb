//! Cuts that are made: laws over random jobs and random legal orders of their cuts.

#![allow(clippy::unwrap_used)]

use std::collections::BTreeSet;

use heartside_cutting::{Becomes, Step, as_planned, chalk_name, not_cut, steps};
use heartside_geometry::Region;
use heartside_testkit::{
    Chance, CutApart, CutToMake, Outfit, broken_down, cut_apart, cut_to_make, sawn_apart,
};
use heartside_timber::document::{Document, PartCopy};
use heartside_timber::edit::{Edit, apply};
use heartside_timber::job::Job;
use heartside_timber::prepare;

/// A document with its job and its list of cuts.
struct Bench {
    document: Document,
    job: Job,
    steps: Vec<Step>,
}

impl Bench {
    #[track_caller]
    fn of(document: Document, what: &str) -> Bench {
        let prepared = prepare(&document);
        assert!(!prepared.has_errors(), "{what}: {:?}", prepared.diagnostics);
        let (job, plan) = (prepared.job, document.plan.clone().unwrap());
        assert_eq!(plan.revision, document.revision, "{what}");
        let steps = steps(&job, &plan);
        Bench {
            document,
            job,
            steps,
        }
    }

    fn step(&self, cut: CutToMake) -> &Step {
        let is_it =
            |s: &&Step| (s.layout, s.node, s.placement) == (cut.layout, cut.node, cut.placement);
        self.steps.iter().find(is_it).unwrap()
    }

    /// Copies that lie on a board or are in hand.
    fn named(&self) -> BTreeSet<PartCopy> {
        let plan = self.document.plan.as_ref().unwrap();
        let lies = plan.layouts.iter().flat_map(|l| &l.placements);
        let held = self.document.boards.iter().filter_map(|b| b.holds.as_ref());
        lies.chain(held).map(|p| p.part_copy()).collect()
    }
}

fn applied(document: &Document, edit: Edit) -> (Document, Edit) {
    let mut document = document.clone();
    let inverse = apply(&mut document, edit).unwrap();
    (document, inverse)
}

/// The document with the revision of another: taking back is an edit as well.
fn at_revision_of(document: &Document, other: &Document) -> Document {
    let mut document = document.clone();
    document.revision = other.revision;
    document.plan.as_mut().unwrap().revision = other.plan.as_ref().unwrap().revision;
    document
}

/// The pieces of a cut and what the saw took add up to what was cut.
#[track_caller]
fn adds_up(before: &Bench, after: &Bench, step: &Step, what: &str) {
    let cut = after.job.done.last().unwrap();
    let whole = &before.job.board(&cut.board.board).unwrap().outline;
    let pieces = cut
        .pieces
        .iter()
        .map(|k| after.job.boards[*k].outline.area());
    let sum: f64 = pieces.sum();
    let missing = whole.area() - sum;
    if step.placement.is_none() {
        let (from, to) = (cut.line[0], *cut.line.last().unwrap());
        let across = (to - from).unit().unwrap().turned_left();
        let half = cut.kerf / 2.0;
        let band: f64 = heartside_geometry::clip_half_plane(whole, from + across * half, -across)
            .iter()
            .flat_map(|r| heartside_geometry::clip_half_plane(r, from + across * -half, across))
            .map(|r| Region::area(&r))
            .sum();
        // Slivers thinner than a saw can be set to fall to dust.
        let slivers = 0.05 * whole.bounds().width().max(whole.bounds().height());
        let off = missing - band;
        assert!(
            off > -1e-6 * whole.area() && off < 1e-6 * whole.area() + slivers,
            "{what}: {off} of {}",
            whole.area()
        );
        return;
    }
    let length: f64 = cut.line.windows(2).map(|w| w[0].distance(w[1])).sum();
    let part = before.job.part(&step_part(step).part).unwrap();
    let holes: f64 = part.outline.holes().iter().map(|h| h.perimeter()).sum();
    assert!(missing > 0.0, "{what}: more wood than there was");
    let most = (length + holes) * (cut.kerf + 0.05) + slack(cut.kerf);
    assert!(missing < most, "{what}: {missing} of at most {most}");
}

fn slack(kerf: f64) -> f64 {
    // Outer corners are rounded, and what is thinner than a sliver is gone.
    10.0 * kerf * kerf + 50.0
}

fn step_part(step: &Step) -> &PartCopy {
    match &step.yields[0].becomes {
        Becomes::Blank { part } => part,
        other => panic!("a sawn part: {other:?}"),
    }
}

/// Makes every cut in a random legal order and takes all back again.
fn cut_and_back(document: Document, seed: u32, what: &str) -> usize {
    let mut chance = Chance::new(seed);
    let mut bench = Bench::of(document, what);
    let mut made: Vec<Document> = Vec::new();
    while let Some(cut) = cut_to_make(&mut chance, bench.document.plan.as_ref().unwrap()) {
        let what = format!("{what}, cut {}", made.len() + 1);
        let step = bench.step(cut).clone();
        // What lies below is refused, with the cut that comes first.
        if let Some(later) = bench.steps.iter().find(|s| s.node.is_some_and(|n| n > 0)) {
            let refused = as_planned(&bench.document, &bench.job, later).unwrap_err();
            assert!(
                refused.0.starts_with("first make cut "),
                "{what}: {refused}"
            );
        }
        let edit = as_planned(&bench.document, &bench.job, &step).unwrap();
        let (document, inverse) = applied(&bench.document, edit);
        let (undone, _) = applied(&document, inverse);
        assert_eq!(undone, bench.document, "{what}: undo");
        let after = Bench::of(document, &what);
        assert_eq!(after.named(), bench.named(), "{what}");
        assert_eq!(after.steps.len() + 1, bench.steps.len(), "{what}");
        adds_up(&bench, &after, &step, &what);
        // The pieces are called what the list said.
        for yielded in step
            .yields
            .iter()
            .filter(|y| !matches!(y.becomes, Becomes::Waste))
        {
            let name = chalk_name(&yielded.name).trim_start_matches("offcut ");
            let called = |b: &&heartside_timber::document::Board| b.id == name || b.name == name;
            let piece = after
                .document
                .boards
                .iter()
                .find(called)
                .unwrap_or_else(|| {
                    panic!("{what}: no {name}");
                });
            assert_eq!(
                piece.from.as_ref().unwrap().done,
                after.document.done.last().unwrap().id
            );
        }
        made.push(bench.document);
        bench = after;
    }
    let count = made.len();
    let all_in_hand = bench.job.parts.iter().all(|p| p.wanted_count() == 0);
    assert!(all_in_hand && bench.steps.is_empty(), "{what}");
    while let Some(before) = made.pop() {
        let id = bench.document.done.last().unwrap().id;
        let edit = not_cut(&bench.document, &bench.job, id).unwrap();
        let (document, _) = applied(&bench.document, edit);
        assert_eq!(
            at_revision_of(&document, &before),
            before,
            "{what}, back to {}",
            made.len()
        );
        bench = Bench::of(document, what);
    }
    count
}

#[test]
fn straight_cuts_in_any_legal_order_leave_what_was_planned_and_can_be_taken_back() {
    let mut cuts = 0;
    for seed in 0..800 {
        let wanted = CutApart {
            boards: 1 + seed as usize % 3,
            parts_a_board: 2 + seed as usize % 6,
            outfit: (seed % 2 == 0).then_some(Outfit::Sensible),
            ..CutApart::default()
        };
        cuts += cut_and_back(cut_apart(seed, wanted), seed, &format!("cut apart {seed}"));
    }
    assert!(cuts > 4000, "{cuts} cuts");
}

#[test]
fn parts_sawn_by_line_come_free_in_any_order() {
    let mut cuts = 0;
    for seed in 0..100 {
        cuts += cut_and_back(sawn_apart(seed, 1, 4), seed, &format!("sawn apart {seed}"));
        cuts += cut_and_back(
            broken_down(seed, 1, 5),
            seed,
            &format!("broken down {seed}"),
        );
    }
    assert!(cuts > 500, "{cuts} cuts");
}
