//! Rule 3: defects and sapwood stay out of the wood that matters.

use heartside_geometry::{Separation, separation_at_most};
use heartside_timber::blank::{is_seen, is_seen_or_painted, planed_off_each_face};
use heartside_timber::document::BoardCopy;
use heartside_timber::finding::{Finding, Rule};
use heartside_timber::job::{Board, ClearOf, Job, Part, Zone, ZoneFace, ZoneKind};

use crate::ground::{Ground, Piece, ZoneGround};
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

/// Everything rule 3 has to say about a piece.
pub(crate) fn zones(
    ground: &Ground<'_>,
    board: usize,
    copy: &BoardCopy,
    piece: &Piece,
) -> Vec<Finding> {
    let (words, slack) = (ground.words(), ground.slack());
    let (wood, prepared) = ground.board(board);
    let part = ground.part(piece.part);
    let mut found = Vec::new();
    for near in prepared.zones_near(&piece.bounds) {
        let zone = &wood.zones[near.place];
        let Some(keeps) = what_keeps_clear(wood, part, zone, piece.pose.turned_over, slack) else {
            continue;
        };
        let Some((by, separation)) = reach_into(zone, near, piece, keeps) else {
            continue;
        };
        if by <= slack {
            continue;
        }
        let (cause, message) = match keeps {
            Keeps::Blank | Keeps::Finished => {
                let touching = separation.amount <= slack;
                (
                    "zone-too-near",
                    words.too_near_zone(&piece.copy, copy, zone, by, touching),
                )
            }
            Keeps::Face => (
                "defect-on-face",
                words.defect_on_face(&piece.copy, copy, zone, by),
            ),
            Keeps::Seen => (
                "sapwood-seen",
                words.sapwood_seen(&piece.copy, copy, zone, by),
            ),
        };
        let at = Job::between(separation.from, separation.to);
        found.push(
            broken(Rule::Zones, cause, message)
                .on(copy)
                .of(&piece.copy)
                .zone(zone.index)
                .at(at)
                .mm(by),
        );
    }
    found
}

fn reach_into(
    zone: &Zone,
    near: &ZoneGround,
    piece: &Piece,
    keeps: Keeps,
) -> Option<(f64, Separation)> {
    let (region, needed) = match keeps {
        Keeps::Blank => (&piece.core, zone.margin + piece.radius),
        Keeps::Finished | Keeps::Face | Keeps::Seen => (piece.finished(), zone.margin),
    };
    separation_at_most(region, &near.shape, needed).map(|found| (needed - found.amount, found))
}

/// The rule for one zone and one part.
///
/// A zone whose depth is unknown, or reaches through the board, is as good as through. An
/// unsound one on a single face is too: it may lie in no blank.
fn what_keeps_clear(
    board: &Board,
    part: &Part,
    zone: &Zone,
    turned_over: bool,
    slack: f64,
) -> Option<Keeps> {
    let through = zone.face == ZoneFace::Through || zone.depth >= board.thickness - slack;
    match zone.kind {
        ZoneKind::Figure | ZoneKind::Fixing => None,
        ZoneKind::Sapwood => {
            let seen = |up| is_seen(part.faces, turned_over, up);
            let shows = if through {
                seen(true) || seen(false)
            } else {
                seen(zone.face == ZoneFace::Up)
            };
            shows.then_some(Keeps::Seen)
        }
        ZoneKind::Defect if through || !zone.sound => Some(match zone.clear_of {
            ClearOf::Blank => Keeps::Blank,
            ClearOf::Finished => Keeps::Finished,
        }),
        ZoneKind::Defect => {
            let matters = is_seen_or_painted(part.faces, turned_over, zone.face == ZoneFace::Up);
            let planed_away = zone.depth <= planed_off_each_face(board, &part.allowances) + slack;
            (matters && !planed_away).then_some(Keeps::Face)
        }
    }
}
