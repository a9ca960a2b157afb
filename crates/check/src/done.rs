//! Rule 12: cuts that were made, their pieces, and blanks in hand.
//!
//! What was planned of a cut must be what lies there: pieces inside what was cut, on their side of the
//! kerf, and with the kerf all of it. What the maker measured wins: a measured piece may have lost wood,
//! but all pieces together are never more than there was.

use heartside_geometry::{
    Bounds, FLATTEN_TOLERANCE, Point, Pose, PreparedRegion, Vector, clip_half_plane,
    protrusion_at_most, separation_at_most,
};
use heartside_timber::document::{BoardCopy, Hand, PartCopy};
use heartside_timber::finding::{Finding, Rule};
use heartside_timber::job::DoneCut;
use heartside_timber::plan::Direction;

use crate::cuts::Workpiece;
use crate::index::{Held, JobIndex};
use crate::report::{About, broken};
use crate::{fixings, lie, zones};

/// Sums of areas lose far less than this share of a board to rounding.
const AREA_SHARE: f64 = 1e-6;

fn report(cause: &str, message: String) -> Finding {
    broken(Rule::Done, cause, message)
}

/// Why nothing can be planned on a board: it is cut already, or it is the blank of a copy in hand.
pub(crate) fn on_board(index: &JobIndex<'_>, place: usize, copy: &BoardCopy) -> Option<Finding> {
    let (wood, _) = index.board(place);
    let words = index.words();
    if wood.gone.binary_search(&copy.copy).is_ok() {
        return Some(report("board-is-cut", words.board_is_cut(copy)).on(copy));
    }
    let holds = wood.from.as_ref()?.holds.as_ref()?.part_copy();
    let message = words.blank_cut_again(copy, &holds);
    Some(report("blank-cut-again", message).on(copy).of(&holds))
}

/// What is wrong with placing a copy: it is in hand.
pub(crate) fn placed(index: &JobIndex<'_>, copy: &PartCopy) -> Option<Finding> {
    let message = || index.words().in_hand_and_placed(copy);
    is_in_hand(index, copy).then(|| report("in-hand-and-placed", message()).of(copy))
}

/// What is wrong with listing a copy as without a place: it is in hand.
pub(crate) fn listed(index: &JobIndex<'_>, copy: &PartCopy) -> Option<Finding> {
    let message = || index.words().in_hand_and_listed(copy);
    is_in_hand(index, copy).then(|| report("in-hand-and-listed", message()).of(copy))
}

fn is_in_hand(index: &JobIndex<'_>, copy: &PartCopy) -> bool {
    let part = index.part_place(copy).map(|place| index.part(place));
    part.is_some_and(|p| p.in_hand.binary_search(&copy.copy).is_ok())
}

/// Everything that is wrong with the pieces of cuts that were made and with blanks in hand, whatever
/// is planned.
pub(crate) fn pieces(index: &JobIndex<'_>) -> Vec<Finding> {
    let mut found = Vec::new();
    for cut in &index.job().done {
        if let Some(parting) = Parting::of(index, cut) {
            parting.judge(&mut found);
        }
    }
    for held in index.held() {
        blank(index, held, &mut found);
    }
    found
}

/// One cut that was made, with what it was made in and what it left.
struct Parting<'a, 'j> {
    index: &'a JobIndex<'j>,
    cut: &'a DoneCut,
    whole: &'a PreparedRegion,
    pieces: Vec<Left<'a>>,
    /// What is forgiven in a distance: curves are drawn as corners.
    forgiven: f64,
}

struct Left<'a> {
    copy: BoardCopy,
    outline: &'a PreparedRegion,
    side: Hand,
    is_measured: bool,
}

impl<'a, 'j> Parting<'a, 'j> {
    fn of(index: &'a JobIndex<'j>, cut: &'a DoneCut) -> Option<Parting<'a, 'j>> {
        let (_, whole) = index.board(index.board_place(&cut.board)?);
        let places = cut.pieces.iter().filter(|k| **k < index.job().boards.len());
        let pieces = places.filter_map(|place| {
            let (board, prepared) = index.board(*place);
            let from = board.from.as_ref()?;
            Some(Left {
                copy: BoardCopy {
                    board: board.id.clone(),
                    copy: 1,
                },
                outline: &prepared.outline,
                side: from.side,
                is_measured: from.measured,
            })
        });
        let along_a_line = cut.line.len() > 2;
        Some(Parting {
            index,
            cut,
            whole: &whole.outline,
            pieces: pieces.collect(),
            forgiven: index.slack() + if along_a_line { FLATTEN_TOLERANCE } else { 0.0 },
        })
    }

    fn judge(&self, found: &mut Vec<Finding>) {
        if self.cut.resawn {
            return self.judge_leaves(found);
        }
        for (k, piece) in self.pieces.iter().enumerate() {
            if piece.is_measured {
                continue;
            }
            found.extend(self.beyond(piece));
            let others = self.pieces[..k].iter().filter(|other| !other.is_measured);
            found.extend(others.filter_map(|other| self.too_near(other, piece)));
        }
        let lost = match self.cut.line[..] {
            [a, b] => self.lost_straight(a, b, found),
            _ => self.lost_along_a_line(),
        };
        found.extend(self.areas(&lost));
    }

    /// What was resawn: every leaf has the outline of the blank, and with the kerfs between them they are no thicker
    /// than that.
    fn judge_leaves(&self, found: &mut Vec<Finding>) {
        let job = self.index.job();
        let (words, slack) = (self.index.words(), self.index.slack());
        let all = self.whole.region().area();
        let planned = self.pieces.iter().filter(|p| !p.is_measured);
        for piece in planned.clone() {
            found.extend(self.beyond(piece));
            if piece.outline.region().area() < all * (1.0 - AREA_SHARE) {
                let message = words.wood_is_missing(&self.cut.board);
                found.push(report("wood-is-missing", message).on(&self.cut.board));
            }
        }
        let thick = |copy: &BoardCopy| job.board(&copy.board).map_or(0.0, |b| b.thickness);
        let kerfs = self.pieces.len().saturating_sub(1) as f64 * self.cut.kerf;
        let leaves: f64 = planned.map(|piece| thick(&piece.copy)).sum();
        if leaves + kerfs > thick(&self.cut.board) + slack {
            let message = words.more_than_there_was(&self.cut.board);
            found.push(report("more-than-there-was", message).on(&self.cut.board));
        }
    }

    /// A piece that reaches beyond what was cut.
    fn beyond(&self, piece: &Left<'_>) -> Option<Finding> {
        let out = protrusion_at_most(piece.outline, self.whole, 0.0)?;
        let words = self.index.words();
        let message = |by| words.piece_beyond_board(&piece.copy, &self.cut.board, by);
        self.exceeds("piece-beyond-board", piece, -out.amount, message)
            .map(|finding| finding.at(out.from))
    }

    /// Two pieces that overlap, or that lie nearer than the kerf on the two sides of a sawn line.
    fn too_near(&self, one: &Left<'_>, other: &Left<'_>) -> Option<Finding> {
        let sawn = self.cut.line.len() > 2 && one.side != other.side;
        let kerf = if sawn {
            self.cut.kerf - FLATTEN_TOLERANCE
        } else {
            0.0
        };
        let apart = separation_at_most(one.outline, other.outline, kerf)?;
        let words = self.index.words();
        let message = |by| words.pieces_too_near(&one.copy, &other.copy, by);
        self.exceeds("pieces-too-near", other, kerf - apart.amount, message)
            .map(|finding| finding.at(apart.from))
    }

    fn exceeds(
        &self,
        cause: &str,
        piece: &Left<'_>,
        by: f64,
        message: impl FnOnce(f64) -> String,
    ) -> Option<Finding> {
        (by > self.forgiven).then(|| report(cause, message(by)).on(&piece.copy).mm(by))
    }

    /// A straight cut: no piece reaches into the kerf. Its dust, and slivers that are no pieces.
    fn lost_straight(&self, a: Point, b: Point, found: &mut Vec<Finding>) -> Lost {
        let frame = Pose::new(a.x, a.y, (b - a).angle_deg());
        let half = 0.5 * self.cut.kerf;
        for piece in self.pieces.iter().filter(|p| !p.is_measured) {
            let Some(extents) = Workpiece::whole(piece.outline, &frame).extents() else {
                continue;
            };
            let by = match piece.side {
                Hand::Left => half - extents.min.y,
                Hand::Right => half + extents.max.y,
            };
            let message = |by| self.index.words().piece_in_kerf(&piece.copy, by);
            found.extend(self.exceeds("piece-in-kerf", piece, by, message));
        }
        let whole = Workpiece::whole(self.whole, &frame);
        let dust = whole.part(Direction::Rip, -half, self.cut.kerf, true).dust;
        let across = Vector::new(a.y - b.y, b.x - a.x);
        let slivers = [1.0, -1.0].into_iter().flat_map(|sign| {
            let (normal, region) = (across * sign, self.whole.region());
            let edge = normal.unit().map_or(a, |n| a + n * half);
            clip_half_plane(region, edge, normal)
        });
        let slivers = slivers.map(|s| (s.area(), sliver(&s.bounds())));
        let slivers = slivers.filter(|(area, most)| area <= most);
        let dust = dust.area();
        Lost {
            least: dust,
            most: dust + slivers.map(|(area, _)| area).sum::<f64>(),
        }
    }

    /// A sawn line: at most the area within half a kerf of it, and what curves drawn as corners lose;
    /// it may run beside the board.
    fn lost_along_a_line(&self) -> Lost {
        let length: f64 = self.cut.line.windows(2).map(|w| w[0].distance(w[1])).sum();
        // Within a distance r of a line lie at most 2 r L + pi r² (Steiner).
        let kerf = self.cut.kerf + 2.0 * FLATTEN_TOLERANCE;
        Lost {
            least: 0.0,
            most: kerf * length + core::f64::consts::PI * kerf * kerf / 4.0,
        }
    }

    /// The pieces and what was lost are what was cut: never more, and less only where a piece was measured.
    fn areas(&self, lost: &Lost) -> Option<Finding> {
        let all = self.whole.region().area();
        let left: f64 = self.pieces.iter().map(|p| p.outline.region().area()).sum();
        let is_measured = self.pieces.iter().any(|p| p.is_measured);
        // What the saw really took nobody knows once a piece was measured.
        let least = if is_measured { 0.0 } else { lost.least };
        let (words, near) = (self.index.words(), AREA_SHARE * all);
        let (cause, message) = if left + least > all + near {
            let message = words.more_than_there_was(&self.cut.board);
            ("more-than-there-was", message)
        } else if left + lost.most < all - near && !is_measured {
            ("wood-is-missing", words.wood_is_missing(&self.cut.board))
        } else {
            return None;
        };
        Some(report(cause, message).on(&self.cut.board))
    }
}

/// The area that a cut turned to dust, in square millimetres.
struct Lost {
    least: f64,
    most: f64,
}

/// The most area of what is so thin all along that it is no piece, in square millimetres.
fn sliver(bounds: &Bounds) -> f64 {
    FLATTEN_TOLERANCE * bounds.width().max(bounds.height())
}

/// A copy in hand must still come out of its blank.
fn blank(index: &JobIndex<'_>, held: &Held, found: &mut Vec<Finding>) {
    let (words, copy, piece) = (index.words(), &held.board, &held.piece);
    let (_, prepared) = index.board(held.place);
    let about = |cause: &str, message: String, by: f64| {
        report(cause, message).on(copy).of(&piece.copy).mm(by)
    };
    let out = protrusion_at_most(piece.finished(), &prepared.outline, 0.0);
    if let Some(out) = out.filter(|out| -out.amount > index.slack()) {
        let message = words.blank_too_small(&piece.copy, copy, -out.amount);
        found.push(about("blank-too-small", message, -out.amount).at(out.from));
    }
    let too_thin = match held.home.0 == held.place {
        true => lie::too_thin_by(index, held.place, piece),
        false => lie::leaf_too_thin_by(index, held.place, piece),
    };
    if let Some(by) = too_thin {
        let message = words.blank_too_thin(&piece.copy, copy, by);
        found.push(about("blank-too-thin", message, by).at(piece.bounds.centre()));
    }
    // A leaf that was measured has marks of its own.
    let (wood, _) = index.board(held.place);
    let is_measured = wood.from.as_ref().is_some_and(|from| from.measured);
    let mut by_itself = piece.clone();
    by_itself.leaf = piece.leaf.filter(|_| held.home.0 == held.place);
    let (place, piece) = match is_measured {
        true => (held.place, &by_itself),
        false => (held.home.0, piece),
    };
    for (zone, by, at) in zones::in_finished(index, place, piece) {
        let message = words.flaw_in_hand(&piece.copy, copy, zone);
        found.push(about("flaw-in-hand", message, by).zone(zone.index).at(at));
    }
    found.extend(fixings::held(index, place, copy, piece));
}
