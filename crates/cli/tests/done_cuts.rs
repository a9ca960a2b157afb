//! Cuts that are made: laws over random jobs and random legal orders of their cuts.
//!
//! After each cut the checker accepts the rest, the same parts are named, areas add up, and taking
//! back gives the document back. The outside oracle judges one stage of such jobs (`done_cases`).
//!
//! Five hundred cases in every run; for more `HEARTSIDE_CUT_JOBS=20000 cargo test -p heartside-cli --test all done_cuts`.

#![allow(clippy::unwrap_used)]

use std::collections::BTreeSet;

use heartside_check::check;
use heartside_cutting::{
    Action, Becomes, CutOtherwise, Step, Yielded, as_planned, chalk_name, cut_otherwise, not_cut,
    steps, steps_by_board,
};
use heartside_geometry::{Point, Region};
use heartside_nest::{Search, Settings};
use heartside_testkit::{
    Chance, CutApart, CutToMake, Outfit, askew_apart, broken_down, cut_apart, cut_to_make,
    related_job, sawn_apart,
};
use heartside_timber::document::{Board, Document, PartCopy};
use heartside_timber::edit::{Edit, apply};
use heartside_timber::finding::{Rule, Severity};
use heartside_timber::job::Job;
use heartside_timber::plan::Way;
use heartside_timber::prepare;

/// A document with its job.
struct Bench {
    document: Document,
    job: Job,
}

impl Bench {
    #[track_caller]
    fn of(document: Document, what: &str) -> Bench {
        let prepared = prepare(&document);
        assert!(!prepared.has_errors(), "{what}: {:?}", prepared.diagnostics);
        let plan = document.plan.as_ref().unwrap();
        assert_eq!(plan.revision, document.revision, "{what}");
        let bench = Bench {
            document,
            job: prepared.job,
        };
        bench.is_sound(what);
        bench
    }

    /// The checker accepts what is left; where a cut of the maker's own left a layout without an order
    /// of cuts, all but that.
    #[track_caller]
    fn is_sound(&self, what: &str) {
        let plan = self.document.plan.as_ref().unwrap();
        let mut laid = plan.layouts.iter();
        let is_ordered = laid.all(|l| l.cuts.is_some() || l.way == Way::Sawn);
        let found = check(&self.job, plan);
        let mut broken = found.iter().filter(|f| f.severity == Severity::Broken);
        if let Some(first) = broken.find(|f| is_ordered || f.rule != Rule::Cuts) {
            panic!("{what}: {first:#?}");
        }
    }

    fn list(&self) -> Vec<Step> {
        steps(&self.job, self.document.plan.as_ref().unwrap())
    }

    /// Copies that lie on a board or are in hand.
    fn named(&self) -> BTreeSet<PartCopy> {
        let plan = self.document.plan.as_ref().unwrap();
        let lies = plan.layouts.iter().flat_map(|l| &l.placements);
        let boards = self.document.boards.iter();
        let held = boards.flat_map(|b| b.holds.iter().chain(&b.leaves));
        lies.chain(held).map(|p| p.part_copy()).collect()
    }
}

/// The step of a list that makes a cut.
fn step_of(list: &[Step], cut: CutToMake) -> &Step {
    let wanted = (cut.layout, cut.node, cut.placement);
    let mut found = list.iter();
    found
        .find(|s| (s.layout, s.node, s.placement) == wanted)
        .unwrap()
}

/// A random one of the steps that may come next: a cut, or a blank that is free already to be resawn.
fn next_step(chance: &mut Chance, bench: &Bench, list: &[Step]) -> Option<Step> {
    let free = list
        .iter()
        .filter(|s| s.action == Action::Resaw && s.is_ready());
    let free: Vec<&Step> = free.collect();
    let cut = cut_to_make(chance, bench.document.plan.as_ref().unwrap());
    match cut {
        Some(cut) if free.is_empty() || chance.percent(60) => Some(step_of(list, cut).clone()),
        _ if free.is_empty() => None,
        _ => Some((*chance.one_of(&free)).clone()),
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
    if step.action == Action::Resaw {
        let boards = cut.pieces.iter().map(|k| &after.job.boards[*k]);
        let leaves: Vec<_> = boards.collect();
        let all =
            |l: &&heartside_timber::job::Board| (l.outline.area() - whole.area()).abs() < 1e-6;
        assert!(leaves.len() > 1 && leaves.iter().all(all), "{what}");
        let thick: f64 = leaves.iter().map(|l| l.thickness + cut.kerf).sum();
        let blank = before.job.board(&cut.board.board).unwrap().thickness;
        assert!(
            thick - cut.kerf < blank + 1e-6,
            "{what}: {thick} of {blank}"
        );
        return;
    }
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

/// Takes every cut back: the last one first, where the document is each time what it was, or in any
/// order that is legal.
fn back(mut bench: Bench, mut made: Vec<Document>, mut chance: Option<Chance>, what: &str) {
    let Some(whole) = made.first().cloned() else {
        return;
    };
    while !bench.document.done.is_empty() {
        let ids: Vec<u32> = bench.document.done.iter().map(|c| c.id).collect();
        let id = match &mut chance {
            None => *ids.last().unwrap(),
            Some(chance) => *chance.one_of(&ids),
        };
        match not_cut(&bench.document, &bench.job, id) {
            Ok(edit) => {
                let (document, _) = applied(&bench.document, edit);
                bench = Bench::of(document, what);
                let before = made.pop().unwrap();
                if chance.is_none() {
                    let now = at_revision_of(&bench.document, &before);
                    assert_eq!(now, before, "{what}, back to {}", made.len());
                }
            }
            Err(refused) => {
                assert!(chance.is_some(), "{what}: {refused}");
                assert!(
                    refused.0.starts_with("first take back the cut of "),
                    "{what}: {refused}"
                );
            }
        }
    }
    assert_eq!(at_revision_of(&bench.document, &whole), whole, "{what}");
}

/// Makes every cut in a random legal order and takes all back again.
fn cut_and_back(document: Document, seed: u32, what: &str) -> usize {
    let mut chance = Chance::new(seed);
    let mut bench = Bench::of(document, what);
    let mut list = bench.list();
    let mut made: Vec<Document> = Vec::new();
    while let Some(step) = next_step(&mut chance, &bench, &list) {
        let what = format!("{what}, cut {}", made.len() + 1);
        // What lies below is refused, with the cut that comes first.
        if let Some(later) = list.iter().find(|s| s.node.is_some_and(|n| n > 0)) {
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
        let left = after.list();
        assert_eq!(left.len() + 1, list.len(), "{what}");
        adds_up(&bench, &after, &step, &what);
        // The pieces are called what the list said.
        for yielded in step
            .yields
            .iter()
            .filter(|y| !matches!(y.becomes, Becomes::Waste))
        {
            let name = chalk_name(&yielded.name).trim_start_matches("offcut ");
            let called = |b: &&Board| b.id == name || b.name == name;
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
        list = left;
    }
    let count = made.len();
    let all_in_hand = bench.job.parts.iter().all(|p| p.wanted_count() == 0);
    assert!(all_in_hand && list.is_empty(), "{what}");
    let any_order = (seed % 2 == 1).then(|| Chance::new(seed));
    back(bench, made, any_order, what);
    count
}

/// Half as many jobs as a thousand cases take, or as many as `HEARTSIDE_CUT_JOBS` asks for.
#[allow(clippy::disallowed_methods)]
fn jobs(usual: u32) -> u32 {
    let set = std::env::var("HEARTSIDE_CUT_JOBS").ok();
    let asked = set.and_then(|n| n.parse::<u32>().ok()).unwrap_or(500);
    (usual * asked.max(500)) / 1000
}

/// Makes the cuts of the list one after the other: what is left of it is what stood there.
fn in_the_lists_order(document: Document, all_by_board: bool, what: &str) {
    let list_of = |bench: &Bench| match all_by_board {
        true => steps_by_board(&bench.job, bench.document.plan.as_ref().unwrap()),
        false => bench.list(),
    };
    // Names and the kept side may change with the edge measured from, which is the piece's own by then.
    let told = |step: &Step| {
        let blank = |y: &Yielded| match &y.becomes {
            Becomes::Blank { part } => Some(part.clone()),
            _ => None,
        };
        let free: BTreeSet<PartCopy> = step.yields.iter().filter_map(blank).collect();
        (step.number, step.action, step.tool.clone(), free)
    };
    let mut bench = Bench::of(document, what);
    let mut list = list_of(&bench);
    while let Some(step) = list.first().cloned() {
        let edit = as_planned(&bench.document, &bench.job, &step).unwrap();
        bench = Bench::of(applied(&bench.document, edit).0, what);
        let left = list_of(&bench);
        let stood: Vec<_> = list[1..].iter().map(told).collect();
        assert_eq!(
            left.iter().map(told).collect::<Vec<_>>(),
            stood,
            "{what}, after cut {}",
            step.number
        );
        list = left;
    }
}

#[test]
fn whoever_follows_the_list_finds_the_rest_of_it_as_it_was() {
    for seed in 0..jobs(60) {
        let straight = CutApart {
            boards: 1 + seed as usize % 4,
            parts_a_board: 2 + seed as usize % 6,
            outfit: (seed % 3 > 0).then_some(Outfit::Sensible),
            ..CutApart::default()
        };
        for all_by_board in [false, true] {
            let what = |kind: &str| format!("{kind} {seed}, by board {all_by_board}");
            in_the_lists_order(cut_apart(seed, straight), all_by_board, &what("cut apart"));
            if seed % 3 == 0 {
                let down = broken_down(seed, 2, 5);
                in_the_lists_order(down, all_by_board, &what("broken down"));
            }
        }
    }
}

/// Three random legal orders of the cuts of one job.
fn in_three_orders(document: &Document, seed: u32, what: &str) -> usize {
    let orders = 3 * seed..3 * seed + 3;
    orders
        .map(|order| cut_and_back(document.clone(), order, what))
        .sum()
}

#[test]
fn straight_cuts_in_any_legal_order_leave_what_was_planned_and_can_be_taken_back() {
    let mut cuts = 0;
    for seed in 0..jobs(260) {
        let wanted = CutApart {
            boards: 1 + seed as usize % 3,
            parts_a_board: 2 + seed as usize % 6,
            outfit: (seed % 2 == 0).then_some(Outfit::Sensible),
            ..CutApart::default()
        };
        cuts += in_three_orders(&cut_apart(seed, wanted), seed, &format!("cut apart {seed}"));
    }
    assert!(cuts > 2000, "{cuts} cuts");
}

/// Runs are cut apart, and a thick blank that comes free takes all its leaves in hand.
#[test]
fn parts_that_must_look_related_are_cut_and_taken_back() {
    let (mut cuts, mut leaves) = (0, 0);
    for seed in 0..jobs(60) {
        let mut document = related_job(seed);
        let job = prepare(&document).job;
        let mut search = Search::new(&job, Settings::default()).unwrap();
        search.step(500);
        let plan = search.best().clone();
        let is_straight = |l: &heartside_timber::plan::Layout| l.way == Way::Straight;
        if !plan.unplaced.is_empty() || !plan.layouts.iter().all(is_straight) {
            continue;
        }
        let placed = plan.layouts.iter().flat_map(|l| &l.placements);
        leaves += placed.filter(|p| p.leaf.is_some()).count();
        document.plan = Some(plan);
        cuts += in_three_orders(&document, seed, &format!("related {seed}"));
    }
    assert!(cuts > 75 && leaves > 5, "{cuts} cuts, {leaves} leaves");
}

#[test]
fn pieces_turned_from_their_line_keep_it_when_they_come_free() {
    let mut cuts = 0;
    for seed in 0..jobs(60) {
        let apart = askew_apart(seed, 1 + seed as usize % 2);
        cuts += in_three_orders(&apart, seed, &format!("askew apart {seed}"));
    }
    assert!(cuts > 500, "{cuts} cuts");
}

#[test]
fn parts_sawn_by_line_come_free_in_any_order() {
    let mut cuts = 0;
    for seed in 0..jobs(40) {
        let apart = sawn_apart(seed, 1, 4);
        cuts += in_three_orders(&apart, seed, &format!("sawn apart {seed}"));
        let down = broken_down(seed, 1, 5);
        cuts += in_three_orders(&down, seed, &format!("broken down {seed}"));
    }
    assert!(cuts > 250, "{cuts} cuts");
}

/// Some cuts as planned, some of the maker's own, wherever they fall; then all back.
#[test]
fn cuts_of_the_makers_own_lose_nothing_and_can_be_taken_back() {
    let (mut own, mut refusals) = (0, 0);
    for seed in 0..jobs(200) {
        let what = format!("cut apart {seed}");
        let mut chance = Chance::new(seed ^ 0x0c07);
        let mut bench = Bench::of(cut_apart(seed, CutApart::default()), &what);
        let wanted = bench.named();
        let mut made = Vec::new();
        for _ in 0..5 {
            let copies = bench.job.board_copies();
            let board = chance.one_of(&copies).clone();
            let bounds = bench.job.board(&board.board).unwrap().outline.bounds();
            let mut point = || Point {
                x: chance.between(bounds.min.x - 50.0, bounds.max.x + 50.0),
                y: chance.between(bounds.min.y - 50.0, bounds.max.y + 50.0),
            };
            let cut = CutOtherwise {
                board,
                line: [point(), point()],
                kerf: chance.between(0.0, 4.0),
                tool: String::new(),
            };
            let planned = cut_to_make(&mut chance, bench.document.plan.as_ref().unwrap());
            let edit = match planned.filter(|_| chance.percent(40)) {
                Some(planned) => {
                    let list = bench.list();
                    as_planned(&bench.document, &bench.job, step_of(&list, planned))
                }
                None => cut_otherwise(&bench.document, &bench.job, &cut).inspect(|_| own += 1),
            };
            let Ok(edit) = edit else {
                refusals += 1;
                continue;
            };
            let (document, inverse) = applied(&bench.document, edit);
            assert_eq!(
                applied(&document, inverse).0,
                bench.document,
                "{what}: undo"
            );
            let after = Bench::of(document, &what);
            let mut named = after.named();
            for waiting in &after.document.plan.as_ref().unwrap().unplaced {
                let part = &waiting.part;
                named.extend(waiting.copies.iter().map(|copy| PartCopy {
                    part: part.clone(),
                    copy: *copy,
                }));
            }
            assert_eq!(named, wanted, "{what}");
            let sum = |b: &Bench| -> f64 {
                let there = b.job.boards.iter().filter(|board| board.left() > 0);
                there.map(|board| board.outline.area()).sum()
            };
            assert!(
                sum(&after) <= sum(&bench) * (1.0 + 1e-9),
                "{what}: wood from nowhere"
            );
            made.push(bench.document);
            bench = after;
        }
        let any_order = (seed % 2 == 1).then(|| Chance::new(seed));
        back(bench, made, any_order, &what);
    }
    assert!(
        own > 150 && refusals > 10,
        "{own} cuts, {refusals} refusals"
    );
}
