//! What was drawn of each board the last time, and from what, so that only boards that changed are drawn again.

use heartside_cutting::Step;
use heartside_geometry::Bounds;
use heartside_timber::document::{BoardCopy, PartCopy};
use heartside_timber::finding::Finding;
use heartside_timber::job::{Job, Pin};
use heartside_timber::plan::{Layout, Placement};

use crate::arrangement::Arrangement;
use crate::on_floor::{BoardOnFloor, Fragment, OnTheFloor, View};
use crate::svg::Ids;

/// Boards as they were drawn last; empty at first.
#[derive(Debug, Default)]
pub struct KeptFloor {
    /// What all boards depend on. Where it changes everything is drawn anew.
    common: Option<Common>,
    boards: Vec<Option<(From, KeptBoard)>>,
    drawn: usize,
}

#[derive(Debug)]
struct Common {
    job: Job,
    boards: Vec<BoardOnFloor>,
    pixels_per_mm: u64,
    parts: bool,
    cuts: bool,
    dimensions: bool,
    figure: bool,
    names_above: bool,
}

/// What one board was drawn from, besides what all depend on.
#[derive(Debug)]
struct From {
    layout: Option<Layout>,
    steps: Vec<Step>,
    findings: Vec<Finding>,
    pins: Vec<Pin>,
    selected: Vec<PartCopy>,
    chosen: bool,
    chosen_cut: Option<u32>,
}

/// What one board came to.
#[derive(Debug)]
pub(crate) struct KeptBoard {
    pub(crate) fragments: Vec<Fragment>,
    pub(crate) labels: Vec<Bounds>,
    pub(crate) left_out: usize,
    pub(crate) extent: Bounds,
}

impl KeptFloor {
    /// How many boards were drawn anew the last time.
    pub fn drawn(&self) -> usize {
        self.drawn
    }

    /// Forgets everything where something changed that all boards depend on.
    pub(crate) fn begin(&mut self, on: &OnTheFloor, view: &View, boards: &[BoardOnFloor]) {
        self.drawn = 0;
        let names_above = Arrangement::of(on.job, view.aspect).names_above;
        let is_as_before = self.common.as_ref().is_some_and(|c| {
            c.pixels_per_mm == view.pixels_per_mm.to_bits()
                && (c.parts, c.cuts, c.dimensions) == (view.parts, view.cuts, view.dimensions)
                && c.figure == view.figure
                && c.names_above == names_above
                && c.boards == boards
                && c.job.differs_in_pins_only(on.job)
                && c.job.photos == on.job.photos
                && c.job.figure == on.job.figure
        });
        if is_as_before {
            return;
        }
        self.common = Some(Common {
            job: on.job.clone(),
            boards: boards.to_vec(),
            pixels_per_mm: view.pixels_per_mm.to_bits(),
            parts: view.parts,
            cuts: view.cuts,
            dimensions: view.dimensions,
            figure: view.figure,
            names_above,
        });
        self.boards.clear();
        self.boards.resize_with(boards.len(), || None);
    }

    /// What was drawn of a board, if it would be drawn so again.
    pub(crate) fn as_before(
        &self,
        on: &OnTheFloor,
        view: &View,
        index: usize,
        ids: &mut Ids,
    ) -> Option<&KeptBoard> {
        let (from, kept) = self.boards.get(index)?.as_ref()?;
        let place = &self.common.as_ref()?.boards[index].board;
        let is_as_before = from.layout.as_ref() == layout_on(on, view, place)
            && from.chosen == (view.selected_board == Some(place))
            && from.chosen_cut == cut_on(on, view, place)
            && from.steps.iter().eq(steps_on(on, place))
            && from.findings.iter().eq(findings_on(on, place))
            && from
                .pins
                .iter()
                .eq(pins_on(on, from.layout.as_ref(), place))
            && from.selected.iter().eq(selected_on(on, view, place));
        // Another board may have taken an id of this one's meanwhile.
        (is_as_before && ids.take_all(kept.fragments.iter().map(|f| &f.id))).then_some(kept)
    }

    pub(crate) fn keep(&mut self, on: &OnTheFloor, view: &View, index: usize, drawn: KeptBoard) {
        self.drawn += 1;
        let Some(place) = self.common.as_ref().map(|c| &c.boards[index].board) else {
            return;
        };
        let layout = layout_on(on, view, place);
        let from = From {
            layout: layout.cloned(),
            steps: steps_on(on, place).cloned().collect(),
            findings: findings_on(on, place).cloned().collect(),
            pins: pins_on(on, layout, place).cloned().collect(),
            selected: selected_on(on, view, place).cloned().collect(),
            chosen: view.selected_board == Some(place),
            chosen_cut: cut_on(on, view, place),
        };
        self.boards[index] = Some((from, drawn));
    }
}

fn layout_on<'a>(on: &OnTheFloor<'a>, view: &View, place: &BoardCopy) -> Option<&'a Layout> {
    let plan = on.plan.filter(|_| view.parts)?;
    plan.layout(&place.board, place.copy)
}

fn steps_on<'a>(on: &OnTheFloor<'a>, place: &BoardCopy) -> impl Iterator<Item = &'a Step> {
    on.steps.iter().filter(move |s| s.board == *place)
}

/// The picked cut, where it is one of this board.
fn cut_on(on: &OnTheFloor, view: &View, place: &BoardCopy) -> Option<u32> {
    let is_own = |number: &u32| steps_on(on, place).any(|s| s.number == *number);
    view.chosen_cut.filter(is_own)
}

fn findings_on<'a>(on: &OnTheFloor<'a>, place: &BoardCopy) -> impl Iterator<Item = &'a Finding> {
    let here = move |f: &&Finding| f.board.as_ref() == Some(place);
    on.findings.iter().filter(here)
}

/// Pins on a board, and of the parts that lie there.
fn pins_on<'a>(
    on: &OnTheFloor<'a>,
    layout: Option<&Layout>,
    place: &BoardCopy,
) -> impl Iterator<Item = &'a Pin> {
    let lies = move |pin: &Pin| layout.is_some_and(|l| holds(l, &pin.part));
    let pins = on.job.pins.iter();
    pins.filter(move |p| p.board == *place || lies(p))
}

fn holds(layout: &Layout, part: &PartCopy) -> bool {
    let placed = |p: &Placement| p.part == part.part && p.copy == part.copy;
    layout.placements.iter().any(placed)
}

/// The chosen parts that lie on a board.
fn selected_on<'a>(
    on: &OnTheFloor,
    view: &View<'a>,
    place: &BoardCopy,
) -> impl Iterator<Item = &'a PartCopy> {
    let layout = layout_on(on, view, place);
    let lies = move |part: &&PartCopy| layout.is_some_and(|l| holds(l, part));
    view.selected_parts.iter().filter(lies)
}
