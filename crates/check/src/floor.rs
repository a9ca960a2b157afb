//! Boards with what lies on them: what the rules say is kept for each piece, each pair of
//! pieces and each board, so that a change works out again only what it touches.

use heartside_geometry::{Bounds, BoxIndex, SortedMap};
use heartside_timber::document::{BoardCopy, PartCopy};
use heartside_timber::finding::{Finding, Rule};
use heartside_timber::job::{Match, PartCut};
use heartside_timber::plan::{CutNode, Layout, Placement, Way};

use crate::cuts::{self, Parting};
use crate::index::{FAR, JobIndex, Piece};
use crate::lying::{Layouts, Lying};
use crate::report::{About, broken};
use crate::{fixings, inside, kerf, lie, stock, zones};

/// One placement and what rules 1 and 3 to 7, and rule 10 as to species and pins, say about it.
#[derive(Debug, Clone)]
pub(crate) struct Slot {
    id: u64,
    /// Where it lies; none where the part is unknown or the pose no place.
    pub(crate) piece: Option<Piece>,
    own: Vec<Finding>,
}

/// One layout with everything found on it.
#[derive(Clone)]
pub(crate) struct Laid {
    layout: Layout,
    /// The board's place in the job; none if the job does not know it.
    pub(crate) place: Option<usize>,
    pub(crate) slots: Vec<Slot>,
    next_id: u64,
    index: BoxIndex<u64>,
    /// Rule 2, by the ids of both pieces, the smaller first.
    pairs: SortedMap<(u64, u64), Finding>,
    parting: Option<Parting>,
    /// Rule 4 as to straight cuts.
    bands: Vec<Finding>,
    /// Rule 9.
    cuts: Vec<Finding>,
    /// The widest kerf that may lie between two of the pieces.
    widest: f64,
}

impl Laid {
    /// Lays out a whole board and looks at everything.
    pub(crate) fn new(index: &JobIndex<'_>, layout: Layout) -> Laid {
        let place = index.board_place(&layout.board);
        let (parting, mut cuts) =
            cuts::parting(index, &layout).map_or((None, Vec::new()), |(p, f)| (Some(p), f));
        let mut laid = Laid {
            widest: widest_kerf(index, &layout),
            place,
            slots: Vec::with_capacity(layout.placements.len()),
            next_id: layout.placements.len() as u64,
            index: BoxIndex::new(),
            pairs: SortedMap::new(),
            parting,
            bands: Vec::new(),
            cuts: Vec::new(),
            layout,
        };
        let Some(board) = place else {
            laid.slots = (0..laid.next_id)
                .map(|id| Slot {
                    id,
                    piece: None,
                    own: Vec::new(),
                })
                .collect();
            return laid;
        };
        for k in 0..laid.layout.placements.len() {
            let slot = laid.slot(
                index,
                board,
                k as u64,
                &laid.layout.placements[k],
                laid.is_sawn_by_line(k),
            );
            laid.slots.push(slot);
        }
        laid.index = BoxIndex::of(
            laid.slots
                .iter()
                .filter_map(|s| Some((s.piece.as_ref()?.bounds, s.id))),
        );
        let pieces: Vec<Option<&Piece>> = laid.slots.iter().map(|s| s.piece.as_ref()).collect();
        let judged = cuts::judge(index, board, &laid.layout, &pieces, laid.parting.as_ref());
        cuts.extend(judged.found);
        laid.cuts = cuts;
        laid.bands = judged
            .bands
            .iter()
            .flat_map(|band| fixings::band(index, board, &laid.layout.board, band))
            .collect();
        laid.measure_all_pairs(index);
        laid
    }

    /// A layout with nothing on it yet, cut in a way that suits the board.
    pub(crate) fn empty(index: &JobIndex<'_>, board: &BoardCopy, way: Way) -> Laid {
        let layout = Layout {
            board: board.clone(),
            way,
            frame: Default::default(),
            placements: Vec::new(),
            cuts: None,
        };
        Laid::new(index, layout)
    }

    pub(crate) fn board(&self) -> &BoardCopy {
        &self.layout.board
    }

    pub(crate) fn layout(&self) -> &Layout {
        &self.layout
    }

    /// Findings of all rules but 8, 9, 11 and the counts of 10.
    pub(crate) fn lying(&self) -> impl Iterator<Item = &Finding> {
        self.slots
            .iter()
            .flat_map(|s| &s.own)
            .chain(self.pairs.values())
            .chain(&self.bands)
    }

    /// Findings of rule 9.
    pub(crate) fn cuts(&self) -> &[Finding] {
        &self.cuts
    }

    /// The place of a copy in the list of placements.
    pub(crate) fn find(&self, part: &PartCopy) -> Option<usize> {
        self.layout
            .placements
            .iter()
            .position(|p| p.part == part.part && p.copy == part.copy)
    }

    /// The kerf between two placements.
    pub(crate) fn kerf_between(&self, index: &JobIndex<'_>, a: usize, b: usize) -> f64 {
        match self.parting.as_ref().and_then(|p| p.kerf_between(a, b)) {
            Some(Some(kerf)) => kerf.clamp(0.0, FAR),
            Some(None) => index.sawn_kerf(self.place),
            None => self.kerf_once_moved(index),
        }
    }

    /// Forgets the order of cuts, which holds only for the very placements it was made for.
    pub(crate) fn forget_cuts(&mut self, index: &JobIndex<'_>) {
        if self.layout.cuts.take().is_some() {
            *self = Laid::new(index, self.layout.clone());
        }
    }

    /// Adds a placement; only its own findings and those of its pairs are worked out.
    pub(crate) fn put(&mut self, index: &JobIndex<'_>, placement: Placement) {
        let id = self.next_id;
        self.next_id += 1;
        let slot = match self.place {
            None => Slot {
                id,
                piece: None,
                own: Vec::new(),
            },
            Some(board) => self.slot(index, board, id, &placement, self.layout.way == Way::Sawn),
        };
        if let Some(piece) = &slot.piece {
            self.index.insert(piece.bounds, id);
        }
        self.layout.placements.push(placement);
        self.slots.push(slot);
        self.measure_pairs(index, self.slots.len() - 1);
    }

    /// Takes a placement away.
    pub(crate) fn take(&mut self, slot: usize) {
        self.layout.placements.remove(slot);
        let gone = self.slots.remove(slot);
        if let Some(piece) = &gone.piece {
            self.index.remove(piece.bounds, &gone.id);
        }
        self.pairs
            .retain(|(a, b), _| *a != gone.id && *b != gone.id);
    }

    /// What rules 1 to 7, and 10 as to species and pins, would say about a piece put here.
    pub(crate) fn supposing(&self, index: &JobIndex<'_>, piece: &Piece) -> Vec<Finding> {
        let Some(board) = self.place else {
            return Vec::new();
        };
        let by_line = self.layout.way == Way::Sawn;
        let mut found = own_findings(index, board, self.board(), piece, by_line);
        let kerf = self.kerf_once_moved(index);
        for (_, other) in self
            .neighbours(piece, kerf)
            .filter(|(_, other)| other.copy != piece.copy)
        {
            found.extend(kerf::kerf_between(index, self.board(), piece, other, kerf));
        }
        found
    }

    /// The kerf between pieces once something has moved and no order of cuts is known.
    fn kerf_once_moved(&self, index: &JobIndex<'_>) -> f64 {
        index.kerf_once_moved(self.layout.way, self.place)
    }

    /// The pieces whose boxes come within `reach` of a piece's box, with their slots.
    pub(crate) fn neighbours(
        &self,
        piece: &Piece,
        reach: f64,
    ) -> impl Iterator<Item = (usize, &Piece)> {
        let near: Bounds = piece.bounds.grown(reach);
        self.index.query(&near).into_iter().filter_map(|id| {
            let slot = self.slots.binary_search_by_key(&id, |s| s.id).ok()?;
            Some((slot, self.slots[slot].piece.as_ref()?))
        })
    }

    fn slot(
        &self,
        index: &JobIndex<'_>,
        board: usize,
        id: u64,
        placement: &Placement,
        by_line: bool,
    ) -> Slot {
        let copy = placement.part_copy();
        let piece = index.laid(board, placement);
        let own = match &piece {
            Some(piece) => own_findings(index, board, self.board(), piece, by_line),
            // Rule 10 speaks of parts that the job does not know.
            None if index.part_place(&copy).is_none() => Vec::new(),
            None => vec![no_place(index, self.board(), &copy)],
        };
        Slot { id, piece, own }
    }

    fn is_sawn_by_line(&self, slot: usize) -> bool {
        self.layout.way == Way::Sawn
            || self
                .parting
                .as_ref()
                .is_some_and(|p| p.is_sawn_by_line(slot))
    }

    fn measure_all_pairs(&mut self, index: &JobIndex<'_>) {
        for slot in 0..self.slots.len() {
            self.measure_pairs(index, slot);
        }
    }

    /// Measures one piece against all neighbours.
    fn measure_pairs(&mut self, index: &JobIndex<'_>, slot: usize) {
        let Some(piece) = self.slots[slot].piece.as_ref() else {
            return;
        };
        let id = self.slots[slot].id;
        let mut found = Vec::new();
        for (other, neighbour) in self.neighbours(piece, self.widest) {
            let key = (id.min(self.slots[other].id), id.max(self.slots[other].id));
            if other == slot || self.pairs.contains_key(&key) || are_leaves(index, piece, neighbour)
            {
                continue;
            }
            let kerf = self.kerf_between(index, slot, other);
            if let Some(finding) = kerf::kerf_between(index, self.board(), piece, neighbour, kerf) {
                found.push((key, finding));
            }
        }
        self.pairs.extend(found);
    }
}

/// Leaves of one blank lie one below the other: rule 8 says whether they do.
fn are_leaves(index: &JobIndex<'_>, a: &Piece, b: &Piece) -> bool {
    let together = |wanted: &Match| wanted.parts.contains(&b.copy);
    a.leaf.is_some() && b.leaf.is_some() && index.leaves_with(&a.copy).is_some_and(together)
}

/// A placement without a usable pose.
pub(crate) fn no_place(index: &JobIndex<'_>, board: &BoardCopy, part: &PartCopy) -> Finding {
    broken(
        Rule::Inside,
        "no-place",
        index.words().no_place(part, board),
    )
    .on(board)
    .of(part)
}

/// Rules 1, 3 to 7, and 10 as to species and pins.
fn own_findings(
    index: &JobIndex<'_>,
    board: usize,
    copy: &BoardCopy,
    piece: &Piece,
    by_line: bool,
) -> Vec<Finding> {
    let mut found = inside::inside(index, board, copy, piece);
    found.extend(zones::zones(index, board, copy, piece));
    found.extend(fixings::held(index, board, copy, piece));
    if by_line || index.part(piece.part).cut == PartCut::Sawn {
        found.extend(fixings::sawn_line(index, board, copy, piece));
    }
    found.extend(lie::grain(index, board, copy, piece));
    found.extend(lie::thickness(index, board, copy, piece));
    found.extend(lie::turned_over(index, copy, piece));
    found.extend(stock::piece(index, board, copy, piece));
    found
}

fn widest_kerf(index: &JobIndex<'_>, layout: &Layout) -> f64 {
    let in_tree = layout
        .cuts
        .iter()
        .flat_map(|t| &t.nodes)
        .filter_map(|node| match node {
            CutNode::Cut { kerf, .. } => Some(kerf.clamp(0.0, FAR)),
            _ => None,
        });
    // `max` passes over a kerf that is not a number.
    in_tree.fold(
        index
            .sawn_kerf(index.board_place(&layout.board))
            .max(index.least_straight_kerf),
        f64::max,
    )
}

/// All layouts, with the place of every copy at hand.
pub(crate) struct Floor<'a> {
    index: &'a JobIndex<'a>,
    laid: &'a [Laid],
    places: SortedMap<(&'a str, u32), (usize, usize)>,
    /// A piece that is looked at somewhere else than where it lies.
    supposed: Option<(&'a BoardCopy, &'a Piece)>,
}

impl<'a> Floor<'a> {
    pub(crate) fn new(index: &'a JobIndex<'a>, laid: &'a [Laid]) -> Floor<'a> {
        let mut places = SortedMap::new();
        for (l, board) in laid.iter().enumerate() {
            for (k, placement) in board.layout.placements.iter().enumerate() {
                if board.slots[k].piece.is_some() {
                    places
                        .entry((placement.part.as_str(), placement.copy))
                        .or_insert((l, k));
                }
            }
        }
        Floor {
            index,
            laid,
            places,
            supposed: None,
        }
    }

    /// The same with one piece looked at somewhere else.
    pub(crate) fn supposing(mut self, board: &'a BoardCopy, piece: &'a Piece) -> Floor<'a> {
        self.supposed = Some((board, piece));
        self
    }

    /// The same with one copy lying nowhere.
    pub(crate) fn without(mut self, copy: &'a PartCopy) -> Floor<'a> {
        self.places.remove(&(copy.part.as_str(), copy.copy));
        self
    }

    fn is_supposed(&self, copy: &PartCopy) -> bool {
        self.supposed.is_some_and(|(_, piece)| piece.copy == *copy)
    }
}

impl Layouts for Floor<'_> {
    fn lying(&self, copy: &PartCopy) -> Option<Lying<'_>> {
        if let Some((board, piece)) = self.supposed.filter(|(_, piece)| piece.copy == *copy) {
            // A board that the job does not know gives no piece.
            self.index.board_place(board)?;
            return Some(Lying { board, piece });
        }
        let Some((l, k)) = self.places.get(&(copy.part.as_str(), copy.copy)).copied() else {
            let held = self.index.held().iter().find(|h| h.piece.copy == *copy)?;
            return Some(Lying {
                board: &held.home.1,
                piece: &held.piece,
            });
        };
        Some(Lying {
            board: self.laid[l].board(),
            piece: self.laid[l].slots[k].piece.as_ref()?,
        })
    }

    fn kerf_between(&self, a: &PartCopy, b: &PartCopy) -> f64 {
        let place = |copy: &PartCopy| self.places.get(&(copy.part.as_str(), copy.copy)).copied();
        let unknown = |laid: Option<&Laid>| match laid {
            Some(laid) if laid.layout.way == Way::Sawn => self.index.sawn_kerf(laid.place),
            // Any tool may make the cut, so the widest kerf is "one kerf".
            _ => self.index.widest_straight_kerf,
        };
        if self.is_supposed(a) || self.is_supposed(b) {
            let there = self.supposed.map(|(board, _)| board);
            return unknown(self.laid.iter().find(|l| Some(l.board()) == there));
        }
        match (place(a), place(b)) {
            (Some((l, i)), Some((m, j))) if l == m => {
                let laid = &self.laid[l];
                match laid.parting.as_ref().and_then(|p| p.kerf_between(i, j)) {
                    Some(Some(kerf)) => kerf.clamp(0.0, FAR),
                    Some(None) => self.index.sawn_kerf(laid.place),
                    None => unknown(Some(laid)),
                }
            }
            _ => unknown(None),
        }
    }
}
