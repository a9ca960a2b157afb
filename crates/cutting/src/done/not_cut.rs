//! A cut that was not made after all.

use heartside_geometry::{Arrange, Region, Vector};
use heartside_timber::document::{
    Board, Document, DoneCut, Hand, OnFloor, PartCopy, Photo, Pin, ZoneFace,
};
use heartside_timber::edit::{Edit, RowEdit};
use heartside_timber::job::{self, Job};
use heartside_timber::plan::{CutNode, CutTree, Layout, Placement, Plan, UnplacedReason};

use super::carrying::{Carried, FirstCut, laid_anew};
use super::laying::plan_edit;
use super::row::zones;
use super::{Refused, sawn};

/// The edit that takes a cut back: its pieces go, its board lies there again, with what the plan had
/// on it where its pieces still have that, else with what they have now.
///
/// # Errors
/// Where there is no such cut, or something was cut from its pieces since.
pub fn not_cut(document: &Document, job: &Job, id: u32) -> Result<Edit, Refused> {
    let Some(at) = document.done.iter().position(|c| c.id == id) else {
        return Err(Refused(format!("there is no cut {id} in this job")));
    };
    let cut = &document.done[at];
    if !document.boards.iter().any(|b| b.id == cut.board) {
        let why = "is not in this job any more: bring it back first";
        return Err(Refused(format!("board {} {why}", cut.board)));
    }
    let is_piece = |b: &Board| b.from.as_ref().is_some_and(|from| from.done == id);
    let rows: Vec<usize> = (0..document.boards.len())
        .filter(|row| is_piece(&document.boards[*row]))
        .collect();
    let pieces: Vec<&Board> = rows.iter().map(|row| &document.boards[*row]).collect();
    if let Some(piece) = pieces.iter().find(|p| document.is_gone(&p.id, 1)) {
        return Err(Refused(format!("first take back the cut of {}", piece.id)));
    }
    let is_its = |board: &str| pieces.iter().any(|p| p.id == board);
    let mut edits: Vec<Edit> = Vec::new();
    for (row, pin) in document
        .pins
        .iter()
        .enumerate()
        .filter(|(_, p)| is_its(&p.board))
    {
        let pin = Pin {
            board: cut.board.clone(),
            board_copy: cut.board_copy,
            ..pin.clone()
        };
        edits.push(Edit::Pin(RowEdit::put(row, pin)));
    }
    edits.extend(photos(document, job, cut, &pieces));
    let lies = |f: &OnFloor| is_its(&f.board.board);
    for row in (0..document.floor.len()).rev() {
        if lies(&document.floor[row]) {
            edits.push(Edit::OnFloor(RowEdit::Remove { at: row }));
        }
    }
    if let Some(plan) = &document.plan {
        let plan = Back {
            job,
            cut,
            pieces: &pieces,
        }
        .plan(plan.clone());
        edits.push(plan_edit(document, plan));
    }
    edits.extend(as_it_was(document, job, cut, &pieces));
    edits.extend(
        rows.iter()
            .rev()
            .map(|at| Edit::Board(RowEdit::Remove { at: *at })),
    );
    edits.push(Edit::Done(RowEdit::Remove { at }));
    Ok(Edit::Many(edits))
}

/// Photographs of the pieces, which have their board's coordinates. The only one of a face of which the board has none
/// is the board's; others would lie over each other, and are put by until such a piece is cut again.
fn photos(document: &Document, job: &Job, cut: &DoneCut, pieces: &[&Board]) -> Vec<Edit> {
    let root = job.board(&cut.board).and_then(|b| b.from.as_ref());
    let root = root.map_or(&cut.board, |from| &from.root.board);
    let is_its = |photo: &Photo| pieces.iter().any(|p| p.id == photo.board);
    let is_down = |photo: &Photo| photo.face == ZoneFace::Down;
    let is_alone = |photo: &Photo| {
        let alike = |other: &&Photo| is_down(other) == is_down(photo) && other.put_by.is_none();
        let near =
            |other: &Photo| is_its(other) || other.board == cut.board || other.board == *root;
        let mut others = document.photos.iter().filter(alike);
        others.all(|other| other == photo || !near(other))
    };
    let edit = |(row, photo): (usize, &Photo)| {
        let piece = job.board(&photo.board);
        let b = piece.map(|piece| piece.outline.bounds());
        let reached = b.map(|b| [b.min.x, b.min.y, b.max.x, b.max.y]);
        let photo = Photo {
            board: cut.board.clone(),
            put_by: match (photo.put_by, is_alone(photo)) {
                (None, true) => None,
                (put_by, _) => put_by.or(reached),
            },
            ..photo.clone()
        };
        Edit::Photo(RowEdit::put(row, photo))
    };
    let rows = document.photos.iter().enumerate();
    rows.filter(|(_, p)| is_its(p)).map(edit).collect()
}

/// Two measures of one place agree within this, in mm.
const SAME_PLACE: f64 = 0.05;

/// The board with what came to light on its pieces since: a screw that was found is still in it. A blank that
/// was resawn holds its leaves again.
fn as_it_was(document: &Document, job: &Job, cut: &DoneCut, pieces: &[&Board]) -> Option<Edit> {
    let row = document.boards.iter().position(|b| b.id == cut.board)?;
    let whole = job.board(&cut.board)?;
    let is_known = |zone: &job::Zone| {
        let near = |a: f64, b: f64| (a - b).abs() <= SAME_PLACE;
        let own = zone.shape.bounds();
        whole.zones.iter().any(|known| {
            let was = known.shape.bounds();
            (known.kind, known.material, known.face) == (zone.kind, zone.material, zone.face)
                && known.margin >= zone.margin
                && near(was.min.x, own.min.x)
                && near(was.min.y, own.min.y)
                && near(was.max.x, own.max.x)
                && near(was.max.y, own.max.y)
        })
    };
    let mut board = document.boards[row].clone();
    if cut.resawn && cut.layout.is_none() {
        // It is the blank of what its leaves are the blanks of.
        let mut held: Vec<&Placement> = pieces.iter().filter_map(|p| p.holds.as_ref()).collect();
        held.arrange_by(|a, b| a.leaf.cmp(&b.leaf));
        let mut held = held.into_iter().cloned();
        (board.holds, board.leaves) = (held.next(), held.collect());
    }
    for typed in pieces {
        let Some(mut piece) = job.board(&typed.id).cloned() else {
            continue;
        };
        piece.zones.retain(|zone| !is_known(zone));
        let found = zones(typed, &piece, &whole.outline, Vector::ZERO);
        board.zones.extend(found);
    }
    (board != document.boards[row]).then(|| Edit::Board(RowEdit::put(row, board)))
}

/// A cut that is being taken back.
struct Back<'a> {
    job: &'a Job,
    cut: &'a DoneCut,
    pieces: &'a [&'a Board],
}

impl Back<'_> {
    /// The plan with the board's layout in the place of its pieces'.
    fn plan(&self, mut plan: Plan) -> Plan {
        let now: Vec<Carried> = self
            .pieces
            .iter()
            .map(|p| self.carried_now(&plan, p))
            .collect();
        let is_its = |l: &Layout| self.pieces.iter().any(|p| p.id == l.board.board);
        let first = plan.layouts.iter().position(is_its);
        plan.layouts.retain(|l| !is_its(l));
        let before = self.cut.layout.clone();
        let before = before.filter(|layout| self.cut.resawn || self.still_has(layout, &now));
        let Some(layout) = before.or_else(|| self.joined(&now)) else {
            return plan;
        };
        // What was placed elsewhere since stays there.
        let lies = |copy: &PartCopy| plan.find(&copy.part, copy.copy).is_some();
        let held = |copy: &PartCopy| {
            let part = self.job.part(&copy.part);
            let is_own = now.iter().flat_map(|c| &c.holds);
            part.is_some_and(|p| p.in_hand.contains(&copy.copy))
                && !is_own.into_iter().any(|p| p.part_copy() == *copy)
        };
        let layout = layout.without(|copy| lies(copy) || held(copy));
        for unplaced in &mut plan.unplaced {
            let placed = |copy: u32| {
                let mut own = layout.placements.iter();
                own.any(|p| p.part == unplaced.part && p.copy == copy)
            };
            if unplaced.reason == UnplacedReason::NotTried {
                unplaced.copies.retain(|copy| !placed(*copy));
            }
        }
        plan.unplaced.retain(|u| !u.copies.is_empty());
        let at = first.unwrap_or_else(|| self.place(&plan));
        plan.layouts.insert(at.min(plan.layouts.len()), layout);
        plan
    }

    /// The place of the board's layout among the others, none of which is of its pieces: in the
    /// order of the boards where the plan has that, else where it was.
    fn place(&self, plan: &Plan) -> usize {
        let key = |board: &str, copy: u32| (self.job.board_index(board), copy);
        let keys: Vec<_> = plan
            .layouts
            .iter()
            .map(|l| key(&l.board.board, l.board.copy))
            .collect();
        let own = key(&self.cut.board, self.cut.board_copy);
        if keys.is_sorted() {
            keys.partition_point(|k| *k < own)
        } else {
            self.cut.place.unwrap_or(keys.len())
        }
    }

    /// What a piece has now, as of its board.
    fn carried_now(&self, plan: &Plan, piece: &Board) -> Carried {
        let layout = plan.layout(&piece.id, 1).cloned();
        Carried {
            holds: piece.holds.iter().chain(&piece.leaves).cloned().collect(),
            layout: layout.map(|mut layout| {
                layout.board.board.clone_from(&self.cut.board);
                layout.board.copy = self.cut.board_copy;
                layout
            }),
        }
    }

    /// Whether the pieces have what went along to them when the cut was made.
    fn still_has(&self, layout: &Layout, now: &[Carried]) -> bool {
        let is_same = |(then, now): (&Carried, &Carried)| match &then.layout {
            // How it is cut was looked for since, and it may have been free already.
            Some(layout) if layout.cuts.is_none() => then.placements().eq(now.placements()),
            _ => then == now,
        };
        let then = self.went_along(layout);
        then.is_some_and(|then| then.iter().zip(now).all(is_same))
    }

    /// What went along to the pieces, in their order; none where their outlines are not known.
    fn went_along(&self, layout: &Layout) -> Option<Vec<Carried>> {
        let regions: Option<Vec<&Region>> = self
            .pieces
            .iter()
            .map(|p| Some(&self.job.board(&p.id)?.outline))
            .collect();
        let regions = regions?;
        let of_side = |side: Hand| -> Vec<usize> {
            let on = |k: &usize| {
                self.pieces[*k]
                    .from
                    .as_ref()
                    .is_some_and(|f| f.side == side)
            };
            (0..self.pieces.len()).filter(on).collect()
        };
        let mut carried = vec![Carried::default(); regions.len()];
        let mut put = |places: Vec<usize>, found: Vec<Carried>| {
            for (place, found) in places.into_iter().zip(found) {
                carried[place] = found;
            }
        };
        let chosen =
            |places: &[usize]| -> Vec<&Region> { places.iter().map(|k| regions[*k]).collect() };
        if let Some(first) = self.first_cut(layout) {
            for half in first.halves() {
                let places = of_side(half.side);
                let found = first.carried(self.job, &half, &chosen(&places))?;
                put(places, found);
            }
        } else if self.cut.line.len() > 2 {
            let own = of_side(Hand::Left);
            let own_row = self.pieces[*own.first()?];
            let holds: Vec<Placement> = own_row
                .holds
                .iter()
                .chain(&own_row.leaves)
                .cloned()
                .collect();
            let copies: Vec<PartCopy> = holds.iter().map(Placement::part_copy).collect();
            let rest = of_side(Hand::Right);
            let found = sawn::carried(self.job, layout, &copies, &chosen(&rest));
            put(rest, found);
            put(
                own,
                vec![Carried {
                    holds,
                    layout: None,
                }],
            );
        } else {
            carried = laid_anew(self.job, layout, &regions);
        }
        Some(carried)
    }

    /// The first cut of a layout, if that was the cut which was made.
    fn first_cut<'l>(&self, layout: &'l Layout) -> Option<FirstCut<'l>> {
        let first = FirstCut::of(layout)?;
        let line = first.line(&self.job.board(&self.cut.board)?.outline);
        (line.map(|p| [p.x, p.y]).as_slice() == self.cut.line.as_slice()).then_some(first)
    }

    /// What the pieces have now, joined: their trees below the cut where they are square to the same frame, else
    /// the parts alone.
    fn joined(&self, now: &[Carried]) -> Option<Layout> {
        if let Some(joined) = self.joined_trees(now) {
            return Some(joined);
        }
        let placements: Vec<Placement> =
            now.iter().flat_map(Carried::placements).cloned().collect();
        let like = now
            .iter()
            .find_map(|c| c.layout.as_ref())
            .or(self.cut.layout.as_ref())?;
        (!placements.is_empty()).then(|| Layout {
            placements,
            cuts: None,
            ..like.clone()
        })
    }

    fn joined_trees(&self, now: &[Carried]) -> Option<Layout> {
        let before = self.cut.layout.as_ref()?;
        let first = self.first_cut(before)?;
        let root = before.cuts.as_ref()?.nodes.first()?.clone();
        let (mut nodes, mut placements) = (vec![root], Vec::new());
        let mut children = Vec::new();
        for half in first.halves() {
            let on = |p: &&Board| p.from.as_ref().is_some_and(|f| f.side == half.side);
            let mut own = self.pieces.iter().zip(now).filter(|(p, _)| on(p));
            let piece = own.next();
            if own.next().is_some() {
                return None;
            }
            children.push(nodes.len());
            let offset = placements.len();
            match piece.map(|(_, carried)| carried) {
                Some(Carried { holds, .. }) if !holds.is_empty() => {
                    nodes.push(match holds.len() {
                        1 => CutNode::Blank { placement: offset },
                        count => CutNode::Leaves {
                            placements: (offset..offset + count).collect(),
                        },
                    });
                    placements.extend(holds.iter().cloned());
                }
                Some(Carried {
                    layout: Some(layout),
                    ..
                }) => {
                    let tree = layout
                        .cuts
                        .as_ref()
                        .filter(|_| layout.frame == first.frame)?;
                    let base = nodes.len();
                    placements.extend(layout.placements.iter().cloned());
                    nodes.extend(tree.nodes.iter().map(|node| moved(node, base, offset)));
                }
                _ => nodes.push(match before.cuts.as_ref()?.nodes.get(half.node) {
                    Some(CutNode::Offcut) => CutNode::Offcut,
                    _ => CutNode::Waste,
                }),
            }
        }
        if let (Some(CutNode::Cut { low, high, .. }), [a, b]) =
            (nodes.first_mut(), children.as_slice())
        {
            (*low, *high) = (*a, *b);
        }
        (!placements.is_empty()).then(|| Layout {
            placements,
            cuts: Some(CutTree { nodes }),
            ..before.clone()
        })
    }
}

/// A node as one of a longer list.
fn moved(node: &CutNode, nodes: usize, places: usize) -> CutNode {
    let mut node = node.clone();
    if let CutNode::Cut { low, high, .. } = &mut node {
        (*low, *high) = (low.saturating_add(nodes), high.saturating_add(nodes));
    }
    let held = node.placements_mut().iter_mut();
    held.for_each(|p| *p = p.saturating_add(places));
    node
}
