//! What is taken of a photograph into the job, all in one step, and which photographs are shown.
//!
//! The pictures themselves are files that the page keeps; the job knows them by their hash.

use heartside_drawing::{face_picture, photos_of};
use heartside_geometry::{Bounds, Point, Ring, Vector};
use heartside_timber::document::{
    Board, BoardOutline, FigureMap, Length, Photo, PhotoMark, Zone, ZoneFace, ZoneFrom, ZoneKind,
    ZoneShape,
};
use heartside_timber::job;
use heartside_timber::prepare::prepare;

use super::editing::adding::add_to;
use super::end_for_end::is_end_for_end;
use super::keeping_figure::{forget_figure, rows_of};
use super::side_by_side::{Joined, joined};
use super::{Change, Session};
use crate::figure::doubts::{doubts, same_wood};
use crate::protocol::{Outcome, PhotoRow, PhotoTaken, PhotoZone, Thing, ThingKind};
use crate::words::GONE;

/// A photograph that covers more than this share of an older one of the same face takes its place; less is
/// the next one along a long board.
const SAME_VIEW: f64 = 0.7;

/// Outlines of which the lengths or widths differ by more, in millimetres, are not quietly laid on each other.
const OUTLINES_DIFFER: f64 = 5.0;

/// Where the frame of a picture lies in the frame of its board: mirrored first where it shows the down face.
#[derive(Debug, Clone, Copy)]
struct Laid {
    is_down: bool,
    by: Vector,
}

impl Laid {
    fn in_board(self, [x, y]: [f64; 2]) -> Point {
        let y = if self.is_down { -y } else { y };
        Point::new(x, y) + self.by
    }

    /// In the frame of the face that is seen: that of the board, or that mirrored.
    fn in_face(self, [x, y]: [f64; 2]) -> [f64; 2] {
        let across = if self.is_down { -self.by.y } else { self.by.y };
        [x + self.by.x, y + across]
    }
}

impl Session {
    /// Takes a straightened photograph of a board with what was accepted of it, as one step: a new board, or
    /// a face of one that is there. On a board that is there it is laid by its outline, so that the down face
    /// lies under the up face as a page lies under a page. On a piece likewise, in the coordinates of the board that it
    /// came from; wherever the piece is drawn, and what is cut from it later, that photograph goes before the board's.
    pub fn take_photo(&mut self, taken: &PhotoTaken) -> Outcome {
        let mut after = self.document.clone();
        let is_new = taken.board.is_none();
        let thing = match &taken.board {
            Some(thing) => Some(thing.clone()),
            None => add_to(&mut after, ThingKind::Board, None),
        };
        let Some(thing) = thing.filter(|t| t.at() < after.boards.len()) else {
            return Outcome::refused(GONE);
        };
        let row = thing.at();
        let is_piece = after.boards[row].from.is_some();
        // A piece keeps the outline that it was cut to, and its photo shows all of it.
        let own = PhotoTaken {
            new_outline: taken.new_outline && !is_piece,
            part: taken.part && !is_piece,
            ..taken.clone()
        };
        let taken = &own;
        let seen = Bounds::of_points(taken.outline.iter().map(|&[x, y]| Point::new(x, y)));
        let Some(seen) = seen.filter(|_| taken.outline.len() > 2) else {
            return Outcome::refused(
                "the outline of the board is missing: trace it, or set its corners",
            );
        };
        let known = self.document.boards.get(row).filter(|_| !is_new);
        let known = known.and_then(|board| self.sound_board(row, board));
        let (laid, joins, told) = lay(taken, known, seen);
        let told = match told.is_empty() || !is_piece {
            true => told,
            false => format!(
                "{told}: look whether it is this piece, and take the photo out again if not"
            ),
        };
        let from = known.and_then(|piece| Some((piece, piece.from.as_ref()?)));
        if let Some((piece, from)) = from.filter(|_| !taken.sure && !taken.figure.is_empty()) {
            let rows = rows_of(&taken.figure, &taken.hash, |at| laid.in_face(at));
            let face = (from.root.board.as_str(), laid.is_down);
            let Bounds { min, max } = piece.outline.bounds();
            let reach = match laid.is_down {
                true => Bounds::new(Point::new(min.x, -max.y), Point::new(max.x, -min.y)),
                false => Bounds { min, max },
            };
            if is_end_for_end(&self.job, face, reach, &rows) {
                return Outcome::refused(
                    "its figure fits that of the board turned end for end: set its marks from the other end, or press the button again to take it as it is",
                );
            }
        }
        let board = &mut after.boards[row];
        if is_new && let Err(why) = self.describe(board, taken) {
            return Outcome::refused(why);
        }
        if is_new || taken.new_outline {
            let whole = match &joins {
                Some(joined) => joined.outline.clone(),
                None => corners_in_board(&taken.outline, laid),
            };
            // A part that adds nothing leaves the board as long as it was.
            if joins.is_some() || !taken.part || known.is_none() {
                board.outline = Some(outline(&whole));
            }
        }
        let own = known.map(|board| board.outline.bounds().min.x);
        let points = taken.outline.iter().map(|&p| laid.in_board(p).x);
        let seen = points.fold(f64::INFINITY, f64::min);
        // Marked areas are measured from the left end.
        let left = own
            .filter(|_| taken.part || !taken.new_outline)
            .unwrap_or(seen);
        if joins.is_some() && taken.new_outline && seen < left - 0.005 {
            return Outcome::refused(
                "this part reaches beyond the left end, from which the board is measured: take in the photo of its left end first",
            );
        }
        let zones = taken.zones.iter().filter(|z| !z.corners.is_empty());
        board
            .zones
            .extend(zones.map(|z| zone(z, taken.face, laid, left)));
        if !taken.grain.is_empty() {
            let lines = taken.grain.iter().map(|line| {
                let points = line.iter().map(|&p| laid.in_board(p));
                points.map(|p| [p.x, p.y]).collect()
            });
            board.grain.get_or_insert_default().lines = lines.collect();
        }
        let id = board.id.clone();
        // Without a file only what was traced over it is taken.
        if !taken.hash.is_empty() {
            let photo = photo(taken, &id, laid);
            let Some(covers) = photo.covers() else {
                return Outcome::refused("this photo has no scale: set its marks again");
            };
            after.photos.retain(|old| {
                let is_same_face = (old.face == ZoneFace::Down) == laid.is_down && old.board == id;
                let share = old.covers().map_or(1.0, |old| {
                    let both = old.intersection(covers).map_or(0.0, |b| b.area());
                    both / old.area()
                });
                old.put_by.is_some() || !(is_same_face && share > SAME_VIEW)
            });
            let own = |map: &FigureMap| map.photo.eq_ignore_ascii_case(&photo.hash);
            after.figure_maps.retain(|map| !own(map));
            let figure = rows_of(&taken.figure, &photo.hash, |at| laid.in_face(at));
            after.figure_maps.extend(figure);
            after.photos.push(photo);
            forget_figure(&mut after);
        }
        let what = if is_piece { "piece" } else { "board" };
        let label = format!("taking in a photo of {what} {id}");
        let said = |session: &Session| {
            let doubts = if told.is_empty() {
                session.doubts_of(&id)
            } else {
                Vec::new()
            };
            let doubts: String = doubts.iter().map(|doubt| format!(". {doubt}")).collect();
            Outcome::done()
                .with_thing(Thing::row(ThingKind::Board, row))
                .saying(format!("Photo of {what} {id} taken in{told}{doubts}"))
        };
        if after.boards == self.document.boards {
            self.commit(&label, after, Change::Aside);
            return said(self);
        }
        let prepared = match self.with_all_usable(&after) {
            Ok(prepared) => prepared,
            Err(why) => return Outcome::refused(why),
        };
        let lame = prepared.left_out.iter().find(|l| is_new && l.name == id);
        if let Some(lame) = lame {
            return Outcome::refused(format!("this board cannot be used: {}", lame.because));
        }
        self.commit_prepared(&label, after, Change::Job, prepared);
        said(self)
    }

    /// What speaks against the photographs of a board.
    fn doubts_of(&self, board: &str) -> Vec<String> {
        let known = self.faces_known();
        let mut said = doubts(&self.job, &known, |id| id == board);
        said.extend(same_wood(&known, |id| id == board));
        said
    }

    /// What was typed of a new board.
    fn describe(&self, board: &mut Board, taken: &PhotoTaken) -> Result<(), String> {
        if !taken.species.trim().is_empty() {
            taken.species.trim().clone_into(&mut board.species);
        }
        if taken.thickness.trim().is_empty() {
            return Ok(());
        }
        let read = self.read_length(&taken.thickness);
        let Some(mm) = read.mm.filter(|mm| *mm > 0.0) else {
            let why = read
                .problem
                .unwrap_or_else(|| "it must be above 0".to_owned());
            return Err(format!("thickness: {why}"));
        };
        board.thickness = Some(Length::Mm(mm));
        // What the last board was sold as says nothing of this one.
        board.nominal = None;
        Ok(())
    }

    /// Takes a photograph out of the job. What was taken over from it stays.
    pub fn drop_photo(&mut self, hash: &str) -> Outcome {
        let mut after = self.document.clone();
        after.photos.retain(|photo| photo.hash != hash);
        forget_figure(&mut after);
        if !self.commit("taking out a photo", after, Change::Aside) {
            return Outcome::refused(GONE);
        }
        Outcome::done().saying("Photo taken out")
    }

    /// The photographs of the job.
    pub fn photos(&self) -> Vec<PhotoRow> {
        let rows = self.document.photos.iter().map(|photo| {
            let mut boards = self.document.boards.iter();
            let row = boards.position(|b| b.id == photo.board);
            let face = match photo.face {
                ZoneFace::Down => "down face",
                ZoneFace::Up | ZoneFace::Through => "up face",
            };
            PhotoRow {
                hash: photo.hash.clone(),
                board: row.map(|row| Thing::row(ThingKind::Board, row)),
                title: match row.map(|row| self.document.boards[row].from.is_some()) {
                    _ if photo.put_by.is_some() => format!(
                        "a piece of {}, {face}, shown again once that is cut",
                        photo.board
                    ),
                    Some(true) => format!("piece {}, {face}", photo.board),
                    _ => format!("board {}, {face}", photo.board),
                },
            }
        });
        rows.collect()
    }

    /// A face of a board as an `svg` element: the down face as it is seen once the board is turned over about its
    /// length. None where nothing is known of its down face, and of a blank in hand.
    pub fn face_picture(&self, thing: &Thing, turned_over: bool) -> Option<String> {
        let typed = self.document.boards.get(thing.at());
        let typed = typed.filter(|_| thing.kind == ThingKind::Board)?;
        let board = self.sound_board(thing.at(), typed)?;
        let from = board.from.as_ref();
        let root = from.map_or(&board.id, |from| &from.root.board);
        let is_down = |photo: &Photo| photo.face == ZoneFace::Down;
        let is_own = |photo: &Photo| photo.board == *root || photo.board == board.id;
        let photos = || {
            let all = self.document.photos.iter();
            all.filter(|p| is_own(p) && p.put_by.is_none())
        };
        let is_marked = board.zones.iter().any(|z| z.face == ZoneFace::Down);
        if board.is_in_hand() || !(is_marked || photos().any(is_down)) {
            return None;
        }
        let shown = photos_of(&self.job, board, turned_over);
        let shown = shown.into_iter().cloned().collect();
        Some(face_picture(
            &self.job,
            board,
            shown,
            turned_over,
            self.figure_shown,
        ))
    }

    /// The files that the job's photographs are in, those that undo may bring back among them. Each once, in no
    /// order that means anything.
    pub fn photo_files(&self) -> Vec<String> {
        let own = self.document.photos.iter().map(|p| p.hash.as_str());
        let mut files: Vec<String> = Vec::new();
        for file in own.chain(self.history.photos()) {
            // One that is still to be made has none.
            if !file.is_empty() && !files.iter().any(|f| f == file) {
                files.push(file.to_owned());
            }
        }
        files
    }

    /// Says which files of photographs are at hand: only those are drawn.
    pub fn show_photos(&mut self, files: Vec<String>) {
        self.photos_at_hand = files;
        let mut photos = prepare(&self.document).job.photos;
        photos.retain(|photo| self.photos_at_hand.contains(&photo.hash));
        self.job.photos = photos;
    }
}

/// Where a picture lies on its board, how its outline joins the board's if it shows a part, and what is to be said
/// of it.
fn lay(
    taken: &PhotoTaken,
    known: Option<&job::Board>,
    seen: Bounds,
) -> (Laid, Option<Joined>, String) {
    let mut laid = Laid {
        is_down: taken.face == ZoneFace::Down,
        by: Vector::ZERO,
    };
    let Some(board) = known else {
        return (laid, None, String::new());
    };
    if taken.part {
        let ring = Ring::new(corners_in_board(&taken.outline, laid)).ok();
        let joins = ring.and_then(|seen| joined(&board.outline, &seen));
        let told = joins.as_ref().map_or_else(String::new, Joined::words);
        return (laid, joins, told);
    }
    let (own, middle) = (board.outline.bounds(), seen.centre());
    laid.by = own.centre() - laid.in_board([middle.x, middle.y]);
    let off = (own.width() - seen.width()).abs();
    let off = off.max((own.height() - seen.height()).abs());
    let told = if off > OUTLINES_DIFFER {
        format!("; its outline and that of the photo differ by {off:.0} mm")
    } else {
        String::new()
    };
    (laid, None, told)
}

fn photo(taken: &PhotoTaken, board: &str, laid: Laid) -> Photo {
    let marks = taken.marks.iter().filter_map(|mark| {
        Some(PhotoMark {
            pixel: [mark.seen.x, mark.seen.y],
            at: laid.in_face(mark.place?),
            ..PhotoMark::default()
        })
    });
    Photo {
        hash: taken.hash.to_ascii_lowercase(),
        board: board.to_owned(),
        face: if laid.is_down {
            ZoneFace::Down
        } else {
            ZoneFace::Up
        },
        pixel: taken.pixel,
        origin: laid.in_face(taken.origin),
        size: taken.size,
        original: taken.original,
        marks: marks.collect(),
        ..Photo::default()
    }
}

fn outline(points: &[Point]) -> BoardOutline {
    BoardOutline::Polygon {
        points: points.iter().copied().map(typed).collect(),
        sides: Vec::new(),
        holes: Vec::new(),
        hole_sides: Vec::new(),
    }
}

/// The outline that was seen, counter-clockwise on the board.
fn corners_in_board(points: &[[f64; 2]], laid: Laid) -> Vec<Point> {
    let mut points: Vec<Point> = points.iter().map(|&p| laid.in_board(p)).collect();
    if laid.is_down {
        // Mirrored they run the other way round.
        points.reverse();
    }
    points
}

/// Corners to the hundredth of a millimetre, which is finer than any photograph.
fn corners(points: &[[f64; 2]], laid: Laid) -> Vec<[Length; 2]> {
    points.iter().map(|&p| typed(laid.in_board(p))).collect()
}

fn typed(p: Point) -> [Length; 2] {
    [p.x, p.y].map(|v| Length::Mm(hundredths(v)))
}

fn hundredths(v: f64) -> f64 {
    (v * 100.0).round() / 100.0
}

fn zone(seen: &PhotoZone, face: ZoneFace, laid: Laid, left: f64) -> Zone {
    let bounds = Bounds::of_points(seen.corners.iter().map(|&p| laid.in_board(p)));
    let shape = match bounds {
        Some(bounds) if seen.oval => ZoneShape::Spot {
            oval: true,
            along: Length::Mm(hundredths(bounds.centre().x - left)),
            across: Length::Mm(hundredths(bounds.centre().y)),
            from: ZoneFrom::ChalkLine,
            length: Length::Mm(hundredths(bounds.width())),
            width: Length::Mm(hundredths(bounds.height())),
        },
        _ => ZoneShape::Polygon {
            points: corners(&seen.corners, laid),
        },
    };
    Zone {
        kind: seen.kind,
        shape: Some(shape),
        // How deep a flaw goes no photograph tells: it is kept out of both faces.
        face: match (seen.kind, face) {
            (ZoneKind::Defect | ZoneKind::Fixing, _) => ZoneFace::Through,
            (_, ZoneFace::Down) => ZoneFace::Down,
            _ => ZoneFace::Up,
        },
        note: seen.note.clone(),
        ..Zone::default()
    }
}
