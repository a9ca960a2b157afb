//! Lays the pieces of a cut where their board lay: one edit of boards, cuts, plan and pins.

use heartside_geometry::{Point, PreparedRegion, Vector};
use heartside_timber::document::{
    self, Document, DoneCut, Hand, Length, PartCopy, Pin, Surface, Warp,
};
use heartside_timber::edit::{Edit, RowEdit};
use heartside_timber::ids::TakenIds;
use heartside_timber::job::{Board, Job};
use heartside_timber::plan::{Layout, Placement, Plan};

use super::carrying::{Carried, lies_on};
use super::row::{row, zones};
use super::wood::Wood;
use super::{Ground, Refused};
use crate::naming::{ChalkNames, copies_words};

/// A piece lies where another lay if their outlines reach equally far within this, in millimetres.
const SAME_PIECE: f64 = 0.5;

/// A cut that is being made.
pub(super) struct Making<'a> {
    pub(super) document: &'a Document,
    pub(super) job: &'a Job,
    pub(super) ground: Ground<'a>,
    pub(super) line: Vec<Point>,
    pub(super) kerf: f64,
    pub(super) tool: String,
    /// What its fence or stop was set to.
    pub(super) set_to: Option<f64>,
    /// Lowest side first.
    pub(super) pieces: Vec<Piece>,
}

/// A piece that a cut leaves.
pub(super) struct Piece {
    pub(super) wood: Wood,
    pub(super) side: Hand,
    pub(super) carried: Carried,
    pub(super) name: Named,
    /// It is a leaf of what was resawn, thinner than that.
    pub(super) leaf: Option<Leaf>,
}

/// A leaf as a board of its own.
pub(super) struct Leaf {
    /// As it comes off the saw, in millimetres.
    pub(super) thickness: f64,
    /// The blank with the marked areas alone that reach the leaf.
    pub(super) board: Board,
}

/// How a piece gets its id.
pub(super) enum Named {
    /// As the list of cuts calls it.
    As(String),
    /// By the next number of its board.
    Next,
    /// As waste: nobody writes on it, so that it takes no number.
    Waste,
    /// As what is left of a board out of which parts are sawn by line: it keeps its mark.
    Rest,
}

impl Making<'_> {
    /// The edit that makes the cut.
    ///
    /// # Errors
    /// Where it leaves nothing, or a piece whose outline is not sound.
    pub(super) fn edit(self) -> Result<Edit, Refused> {
        let Making {
            document,
            job,
            ground,
            line,
            kerf,
            tool,
            set_to,
            pieces,
        } = self;
        let words = &ground.words;
        if pieces.is_empty() {
            let why = "this cut would leave nothing of it: measure again";
            return Err(Refused(format!("{words}: {why}")));
        }
        let number = document.done.iter().map(|c| c.id).max().unwrap_or(0);
        let Some(done) = number.checked_add(1) else {
            return Err(Refused("there are too many cuts in this job".into()));
        };
        let ids = ids(document, job, &ground, &pieces);
        let plan = document.plan.as_ref();
        let place = plan.and_then(|p| p.layouts.iter().position(|l| l.board == *ground.copy));
        let layout = plan
            .zip(place)
            .map(|(plan, place)| plan.layouts[place].clone());
        let mut edits = Vec::new();
        let resawn = pieces.iter().any(|piece| piece.leaf.is_some());
        if resawn && ground.board.is_in_hand() {
            // What it was the blank of is now in hand leaf by leaf.
            let thick = document::Board {
                holds: None,
                leaves: Vec::new(),
                ..ground.source.clone()
            };
            edits.push(Edit::Board(RowEdit::put(ground.row, thick)));
        }
        let mut layouts: Vec<Layout> = Vec::new();
        for (at, (piece, id)) in pieces.iter().zip(&ids).enumerate() {
            let mut held = piece.carried.holds.iter().map(|p| job.as_held(p));
            let (holds, leaves) = (held.next(), held.collect());
            let copies = piece.carried.holds.iter().map(Placement::part_copy);
            let name = copies_words(job, &copies.collect::<Vec<_>>());
            let from = (done, piece.side);
            let Some(mut row) = row(&ground, &piece.wood, id.clone(), (name, holds), from) else {
                let why = "the outline of a piece would cross itself: measure the board again";
                return Err(Refused(format!("{words}: {why}")));
            };
            row.leaves = leaves;
            if let Some(leaf) = &piece.leaf {
                // The blank was flattened before it was resawn.
                row.thickness = Some(Length::Mm(leaf.thickness));
                (row.surface, row.warp) = (Surface::Sawn, Some(Warp::default()));
                row.zones = zones(ground.source, &leaf.board, &piece.wood.region, Vector::ZERO);
            }
            edits.push(Edit::Board(RowEdit::insert(ground.row + 1 + at, row)));
            layouts.extend(piece.carried.layout.clone().map(|mut layout| {
                layout.board.board.clone_from(id);
                layout.board.copy = 1;
                layout
            }));
        }
        edits.extend(pins(document, job, &ground, &pieces, &ids));
        edits.extend(photos(document, job, &ground, &pieces, &ids));
        if let Some(plan) = plan {
            let mut plan = plan.clone();
            if let Some(place) = place {
                let old = plan.layouts.splice(place..=place, layouts.clone());
                let old: Vec<Placement> = old.flat_map(|l| l.placements).collect();
                let lies = layouts.iter().flat_map(|l| &l.placements);
                let held = pieces.iter().flat_map(|p| &p.carried.holds);
                let carried: Vec<PartCopy> = lies.chain(held).map(Placement::part_copy).collect();
                for gone in old.iter().filter(|p| !carried.contains(&p.part_copy())) {
                    plan.wait(&gone.part, gone.copy);
                }
            }
            edits.push(plan_edit(document, plan));
        }
        let cut = DoneCut {
            id: done,
            board: ground.copy.board.clone(),
            board_copy: ground.copy.copy,
            line: line.iter().map(|p| [p.x, p.y]).collect(),
            kerf,
            resawn,
            tool,
            set_to,
            layout,
            place,
            ..DoneCut::default()
        };
        edits.push(Edit::Done(RowEdit::insert(document.done.len(), cut)));
        Ok(Edit::Many(edits))
    }
}

/// The plan as an edit that goes with others on which plans depend: it holds for the document that they leave.
pub(super) fn plan_edit(document: &Document, mut plan: Plan) -> Edit {
    if plan.revision == document.revision {
        plan.revision = document.revision.saturating_add(1);
    }
    Edit::Plan(Some(Box::new(plan)))
}

/// An id for each piece, none of which is taken.
fn ids(document: &Document, job: &Job, ground: &Ground<'_>, pieces: &[Piece]) -> Vec<String> {
    let mut taken = TakenIds::of(document.boards.iter().map(|b| b.id.as_str()));
    // Names of the list are given first, so that no other piece takes one.
    let mut ids: Vec<Option<String>> = pieces
        .iter()
        .map(|piece| match &piece.name {
            Named::As(name) => taken.take(name).then(|| name.clone()),
            Named::Next | Named::Waste | Named::Rest => None,
        })
        .collect();
    let mut names = ChalkNames::of(job);
    let own = &ground.source.id;
    for (id, piece) in ids.iter_mut().zip(pieces) {
        if id.is_some() {
            continue;
        }
        let numbered = |stem: &str, taken: &mut TakenIds| {
            let mut number = 1;
            loop {
                let id = format!("{stem}-{number}");
                if taken.take(&id) {
                    return id;
                }
                number += 1;
            }
        };
        let held = piece.carried.holds.iter().map(Placement::part_copy);
        let held: Vec<PartCopy> = held.collect();
        let held = (!held.is_empty()).then(|| copies_words(job, &held));
        *id = Some(match (&piece.name, held) {
            (_, Some(held)) => taken.fresh(&held, "blank"),
            (Named::Waste, None) => numbered(&stem(own, "-waste"), &mut taken),
            (Named::Rest, None) => numbered(&stem(own, "-rest"), &mut taken),
            (Named::As(_) | Named::Next, None) => loop {
                let name = names.next(job, ground.copy);
                if taken.take(&name) {
                    break name;
                }
            },
        });
    }
    ids.into_iter().flatten().collect()
}

/// The id of a board with a word behind it, once.
fn stem(id: &str, word: &str) -> String {
    let stem = id.rsplit_once(word).map_or(id, |(stem, _)| stem);
    let short: String = stem.chars().take(40).collect();
    format!("{}{word}", short.trim_end_matches([' ', '.', '-']))
}

/// Photographs that were put by when a cut was taken back go to the piece that lies where theirs lay.
fn photos(
    document: &Document,
    job: &Job,
    ground: &Ground<'_>,
    pieces: &[Piece],
    ids: &[String],
) -> Vec<Edit> {
    let root = |board: &str| {
        let from = job.board(board).and_then(|b| b.from.as_ref());
        from.map_or(board, |from| &from.root.board).to_owned()
    };
    let own = root(&ground.copy.board);
    let came_back = |(row, photo): (usize, &document::Photo)| {
        let reached = photo.put_by.filter(|_| root(&photo.board) == own)?;
        let is_same = |piece: &Piece| {
            let b = piece.wood.region.bounds();
            let now = [b.min.x, b.min.y, b.max.x, b.max.y];
            now.iter()
                .zip(reached)
                .all(|(a, b)| (a - b).abs() <= SAME_PIECE)
        };
        let piece = pieces.iter().position(is_same)?;
        let photo = document::Photo {
            board: ids[piece].clone(),
            put_by: None,
            ..photo.clone()
        };
        Some(Edit::Photo(RowEdit::put(row, photo)))
    };
    let rows = document.photos.iter().enumerate();
    rows.filter_map(came_back).collect()
}

/// Pins go along to the piece that has their part, or on which it would lie.
fn pins(
    document: &Document,
    job: &Job,
    ground: &Ground<'_>,
    pieces: &[Piece],
    ids: &[String],
) -> Vec<Edit> {
    let has = |piece: &Piece, pin: &Pin| {
        let layout = piece.carried.layout.as_ref();
        let lies = layout.into_iter().flat_map(|l| &l.placements);
        lies.chain(&piece.carried.holds)
            .any(|p| p.part_copy() == pin.part)
    };
    let on = |pin: &&Pin| pin.board == ground.copy.board && pin.board_copy == ground.copy.copy;
    let rows = document.pins.iter().enumerate().filter(|(_, pin)| on(pin));
    rows.map(|(row, pin)| {
        let placement = Placement {
            part: pin.part.part.clone(),
            copy: pin.part.copy,
            at: pin.at,
            ..Default::default()
        };
        let on_it = |p: &Piece| {
            let wood = PreparedRegion::new(p.wood.region.clone());
            lies_on(job, &placement, &wood)
        };
        let found = pieces.iter().position(|p| has(p, pin));
        let found = found.or_else(|| pieces.iter().position(on_it));
        let pin = Pin {
            board: ids[found.unwrap_or(0)].clone(),
            board_copy: 1,
            ..pin.clone()
        };
        Edit::Pin(RowEdit::put(row, pin))
    })
    .collect()
}
