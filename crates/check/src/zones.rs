//! Rule 3: defects and sapwood stay out of the wood that matters.

use std::borrow::Cow;

use heartside_geometry::{Point, Separation, separation_at_most};
use heartside_timber::blank::{is_seen, is_seen_or_painted, planed_off_each_face};
use heartside_timber::document::BoardCopy;
use heartside_timber::finding::{Finding, Rule};
use heartside_timber::job::{Board, ClearOf, Job, Part, Zone, ZoneFace, ZoneKind};

use crate::index::{JobIndex, Piece, ZoneIndex};
use crate::report::{About, broken};

/// What must keep clear of a zone, and why.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Keeps {
    /// The blank.
    Blank,
    /// The finished outline, because the zone must stay out of it altogether.
    Finished,
    /// The finished outline, because the zone would show on a face that is seen or painted.
    Face,
    /// The finished outline, because sapwood would show on a seen face.
    Seen,
}

/// Everything rule 3 has to say about a piece: for each zone what is broken most.
pub(crate) fn zones(
    index: &JobIndex<'_>,
    board: usize,
    copy: &BoardCopy,
    piece: &Piece,
) -> Vec<Finding> {
    let (wood, prepared) = index.board(board);
    let part = index.part(piece.part);
    let over = piece.pose.turned_over;
    let mut found = Vec::new();
    for near in prepared.zones_near(&piece.bounds) {
        let zone = &wood.zones[near.place];
        let Some(as_met) = as_met(index, wood, zone, piece) else {
            continue;
        };
        let worst = demands(wood, part, &as_met, over, index.slack())
            .into_iter()
            .flatten()
            .filter_map(|demand| reach_into(near, piece, demand))
            .max_by(|a, b| a.by.total_cmp(&b.by));
        if let Some(reach) = worst.filter(|reach| reach.by > index.slack()) {
            found.push(finding(index, copy, piece, zone, &reach));
        }
    }
    found
}

/// The zones that spoil a part whose blank is sawn already, by how far they reach into its finished
/// outline, and where: what lies in the allowance is planed or sawn away.
pub(crate) fn in_finished<'a>(
    index: &'a JobIndex<'_>,
    board: usize,
    piece: &'a Piece,
) -> impl Iterator<Item = (&'a Zone, f64, Point)> {
    let (wood, prepared) = index.board(board);
    let part = index.part(piece.part);
    prepared.zones_near(&piece.bounds).filter_map(move |near| {
        let zone = &wood.zones[near.place];
        let as_met = as_met(index, wood, zone, piece)?;
        let demands = demands(wood, part, &as_met, piece.pose.turned_over, index.slack());
        demands.iter().flatten().next()?;
        let reach = reach_into(near, piece, (Keeps::Finished, 0.0))?;
        let at = Job::between(reach.separation.from, reach.separation.to);
        (reach.by > index.slack()).then_some((zone, reach.by, at))
    })
}

/// A zone as a piece meets it; none where it does not reach into a leaf. One on a face of the board that
/// reaches a leaf further in shows on the leaf's own face, and may run right through it.
fn as_met<'z>(
    index: &JobIndex<'_>,
    board: &Board,
    zone: &'z Zone,
    piece: &Piece,
) -> Option<Cow<'z, Zone>> {
    let is_rot = zone.kind == ZoneKind::Defect && !zone.sound;
    let is_through = zone.face == ZoneFace::Through || zone.depth >= board.thickness;
    let Some(leaf) = piece.leaf.filter(|_| !is_rot && !is_through) else {
        return Some(Cow::Borrowed(zone));
    };
    let part = index.part(piece.part);
    let (within, outermost) = match zone.face {
        ZoneFace::Down => (leaf.within.1, leaf.outermost.1),
        _ => (leaf.within.0, leaf.outermost.0),
    };
    let reach = zone.depth - within;
    if !outermost && reach <= index.slack() {
        return None;
    }
    let mut met = zone.clone();
    if reach >= part.thickness - index.slack() {
        met.face = ZoneFace::Through;
    } else {
        met.depth = planed_off_each_face(board, &part.allowances) + reach;
    }
    Some(Cow::Owned(met))
}

/// How far something that must keep clear of a zone reaches into it or its margin.
struct Reach {
    keeps: Keeps,
    by: f64,
    separation: Separation,
}

fn reach_into(near: &ZoneIndex, piece: &Piece, (keeps, margin): (Keeps, f64)) -> Option<Reach> {
    let (region, needed) = match keeps {
        Keeps::Blank => (&piece.core, margin + piece.radius),
        Keeps::Finished | Keeps::Face | Keeps::Seen => (piece.finished(), margin),
    };
    let separation = separation_at_most(region, &near.shape, needed)?;
    Some(Reach {
        keeps,
        by: needed - separation.amount,
        separation,
    })
}

fn finding(
    index: &JobIndex<'_>,
    copy: &BoardCopy,
    piece: &Piece,
    zone: &Zone,
    reach: &Reach,
) -> Finding {
    let (words, part, by) = (index.words(), &piece.copy, reach.by);
    let (cause, message) = match reach.keeps {
        Keeps::Blank | Keeps::Finished => {
            let touching = reach.separation.amount <= index.slack();
            let message = words.too_near_zone(part, copy, zone, by, touching);
            ("zone-too-near", message)
        }
        Keeps::Face => ("defect-on-face", words.defect_on_face(part, copy, zone, by)),
        Keeps::Seen => ("sapwood-seen", words.sapwood_seen(part, copy, zone, by)),
    };
    broken(Rule::Zones, cause, message)
        .on(copy)
        .of(part)
        .zone(zone.index)
        .at(Job::between(reach.separation.from, reach.separation.to))
        .mm(by)
}

/// What must keep clear of one zone, and by which margin: nothing, one or two things.
///
/// Sapwood keeps its margin from the finished outline of a part one of whose seen faces it
/// would show on. Defects go by this table; m is the zone's margin. "Through" is what is marked
/// so, what is as deep as the board is thick, and what nobody measured the depth of. "Shows" is
/// a part whose seen or painted face lies on the zone's face, where less is planed off than the
/// zone is deep.
///
/// | face          | sound | clear of | keeps clear                                      |
/// |---------------|-------|----------|--------------------------------------------------|
/// | through       | yes   | blank    | the blank, by m                                  |
/// | through       | yes   | finished | the finished outline, by m                       |
/// | one, shows    | yes   | either   | the finished outline, by m                       |
/// | one, does not | yes   | either   | nothing                                          |
/// | any           | no    | blank    | the blank, by m                                  |
/// | any           | no    | finished | the finished outline, by m; the blank, by nothing |
///
/// So rot is kept out of every blank, margin and all, on a hidden face and however shallow it
/// is: where it ends nobody sees.
fn demands(
    board: &Board,
    part: &Part,
    zone: &Zone,
    turned_over: bool,
    slack: f64,
) -> [Option<(Keeps, f64)>; 2] {
    let through = zone.face == ZoneFace::Through || zone.depth >= board.thickness - slack;
    match zone.kind {
        ZoneKind::Figure | ZoneKind::Fixing => [None, None],
        ZoneKind::Sapwood => {
            let seen = |up| is_seen(part.faces, turned_over, up);
            let shows = match through {
                true => seen(true) || seen(false),
                false => seen(zone.face == ZoneFace::Up),
            };
            [shows.then_some((Keeps::Seen, zone.margin)), None]
        }
        ZoneKind::Defect if through || !zone.sound => match zone.clear_of {
            ClearOf::Blank => [Some((Keeps::Blank, zone.margin)), None],
            ClearOf::Finished => [
                Some((Keeps::Finished, zone.margin)),
                (!zone.sound).then_some((Keeps::Blank, 0.0)),
            ],
        },
        ZoneKind::Defect => {
            let on_up_face = zone.face == ZoneFace::Up;
            let planed = planed_off_each_face(board, &part.allowances);
            let shows = is_seen_or_painted(part.faces, turned_over, on_up_face)
                && zone.depth > planed + slack;
            [shows.then_some((Keeps::Face, zone.margin)), None]
        }
    }
}
