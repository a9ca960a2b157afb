//! Faces as they will be put together, front and back: of each piece where it is seen in the face, and where on
//! which face of which board its wood lies.

mod figure;
mod framed;
mod put_together;
mod wood;

use heartside_geometry::{Bounds, Point, Pose};
use heartside_timber::choices::PanelChoice;
use heartside_timber::document::{BoardCopy, MatchKind, PartCopy};
use heartside_timber::job::{Job, Panel};
use heartside_timber::plan::Plan;

pub(crate) use figure::{figure, unseen_words};
pub use figure::{has_figure, pictures_in};
use wood::{Lies, photographed};

/// What a face is of.
#[derive(Debug, Clone, PartialEq)]
pub enum FaceOf {
    /// A copy of a panel.
    Panel(PartCopy),
    /// Parts that must look related, by their place in [`Job::matches`].
    Match(usize),
}

/// One side of what is put together.
#[derive(Debug, Clone, PartialEq)]
pub struct FaceSeen {
    /// "Top", "Door 1 and Door 2".
    pub name: String,
    /// What tells it from all others of the job, its other side too.
    pub key: String,
    /// What it is of.
    pub of: FaceOf,
    /// It is seen from behind: x stays, y is mirrored, and every part shows its other face.
    pub is_back: bool,
    /// Its grain is shown upright: doors stand.
    pub stands: bool,
    /// Length along the grain and width across it, in millimetres.
    pub size: [f64; 2],
    /// What it is made of.
    pub tiles: Vec<TileSeen>,
}

/// One piece of a face.
#[derive(Debug, Clone, PartialEq)]
pub struct TileSeen {
    /// The part, a stave or a piece of one.
    pub part: PartCopy,
    /// Where it is seen, in millimetres of the face: x along the grain, y across it and up.
    pub seen: Bounds,
    /// The board that it comes out of, or the piece that it is; none while it is placed nowhere.
    pub board: Option<BoardCopy>,
    /// Whose photographs and maps show it: the board as it was bought, or the piece of it that was photographed
    /// since. Empty where it is placed nowhere, and where its face lies within a blank that is resawn.
    pub root: String,
    /// It shows the down face of that board: the frame of the face is the board's mirrored, y to -y.
    pub is_down: bool,
    /// Takes places of the face that is put together into the frame of the board's face. It never mirrors.
    pub to_face_frame: Pose,
    /// Takes them into the frame of the part's face that is seen: the part's, or from behind that mirrored.
    pub to_part: Pose,
}

impl TileSeen {
    /// The same piece, were its part to lie elsewhere: on a board at a pose, or nowhere.
    pub fn laid(&self, job: &Job, on: Option<(&BoardCopy, Pose)>, is_back: bool) -> TileSeen {
        let lies = on.map(|(board, pose)| Lies {
            board: board.clone(),
            pose,
            leaf: None,
        });
        self.on(job, lies, is_back)
    }

    fn on(&self, job: &Job, lies: Option<Lies>, is_back: bool) -> TileSeen {
        let mut tile = TileSeen {
            board: None,
            root: String::new(),
            is_down: false,
            to_face_frame: Pose::IDENTITY,
            ..self.clone()
        };
        if let Some(lies) = lies {
            let (is_down, in_face) = face_shown(&lies.pose, is_back);
            tile.is_down = is_down;
            tile.to_face_frame = after(&in_face, &self.to_part);
            tile.root = photographed(job, &lies, &self.part, is_down).unwrap_or_default();
            tile.board = Some(lies.board);
        }
        tile
    }
}

/// Every face that is put together of a job's parts, each from the front and from behind: panels, then matches
/// whose parts are seen together, in the job's order. A match within one panel is seen in the panel.
///
/// O(parts x (boards + placements)).
pub fn faces_of(job: &Job, plan: &Plan) -> Vec<FaceSeen> {
    let panels = job.panels.iter().flat_map(|panel| {
        let copies = panel.copies.iter();
        copies.map(|choice| {
            let of = FaceOf::Panel(choice.panel.clone());
            (of, put_together::of_panel(panel, choice))
        })
    });
    let matches = job.matches.iter().enumerate().filter_map(|(row, wanted)| {
        let made = match wanted.kind {
            MatchKind::Frame => framed::of_frame(job, wanted)?,
            _ => put_together::of_match(job, plan, wanted)?,
        };
        Some((FaceOf::Match(row), made))
    });
    let made = panels.chain(matches);
    made.flat_map(|(of, made)| [false, true].map(|is_back| made.seen(job, plan, &of, is_back)))
        .collect()
}

/// One side of a copy of a panel.
pub(crate) fn face_of_panel(
    job: &Job,
    plan: &Plan,
    (panel, choice): (&Panel, &PanelChoice),
    is_back: bool,
) -> FaceSeen {
    let of = FaceOf::Panel(choice.panel.clone());
    put_together::of_panel(panel, choice).seen(job, plan, &of, is_back)
}

/// Parts put together, as they are seen from the front.
#[derive(Debug, Clone, Default)]
struct Made {
    name: String,
    stands: bool,
    size: [f64; 2],
    pieces: Vec<Piece>,
}

/// A part in its place.
#[derive(Debug, Clone)]
struct Piece {
    part: PartCopy,
    seen: Bounds,
    /// Takes places of the face into the frame of the part. It never mirrors.
    to_part: Pose,
}

impl Made {
    fn seen(&self, job: &Job, plan: &Plan, of: &FaceOf, is_back: bool) -> FaceSeen {
        let key = match of {
            FaceOf::Panel(copy) => format!("panel {} {}", copy.part, copy.copy),
            FaceOf::Match(row) => format!("match {}", row + 1),
        };
        let tiles = self.pieces.iter().map(|piece| {
            let lies = Lies::of(job, plan, &piece.part);
            self.tile(job, piece, lies, is_back)
        });
        FaceSeen {
            name: self.name.clone(),
            key: format!("{key} {}", if is_back { "back" } else { "front" }),
            of: of.clone(),
            is_back,
            stands: self.stands,
            size: self.size,
            tiles: tiles.collect(),
        }
    }

    fn tile(&self, job: &Job, piece: &Piece, lies: Option<Lies>, is_back: bool) -> TileSeen {
        let (seen, to_part) = if is_back {
            behind(piece, self.size[1])
        } else {
            (piece.seen, piece.to_part)
        };
        let tile = TileSeen {
            part: piece.part.clone(),
            seen,
            board: None,
            root: String::new(),
            is_down: false,
            to_face_frame: Pose::IDENTITY,
            to_part,
        };
        tile.on(job, lies, is_back)
    }
}

/// Where a piece is seen from behind, and what takes places of the back into the frame of its down face: the
/// part's mirrored, y to -y.
fn behind(piece: &Piece, across: f64) -> (Bounds, Pose) {
    let Bounds { min, max } = piece.seen;
    let seen = Bounds {
        min: Point::new(min.x, across - max.y),
        max: Point::new(max.x, across - min.y),
    };
    let corner = piece.to_part.apply(Point::new(0.0, across));
    let pose = Pose::new(corner.x, -corner.y, turn(-piece.to_part.turn));
    (seen, pose)
}

/// Which face of its board a part shows, and what takes the frame of that face of the part into the frame of
/// that face of the board.
///
/// A part that is not turned over shows the face of the board that it is seen from. In the frame of the down face,
/// (x, y) of the board is (x, -y), and with it a turn runs the other way.
fn face_shown(at: &Pose, is_back: bool) -> (bool, Pose) {
    let is_down = at.turned_over != is_back;
    let pose = if is_down {
        Pose::new(at.x, -at.y, turn(-at.turn))
    } else {
        Pose::new(at.x, at.y, at.turn)
    };
    (is_down, pose)
}

/// The pose that does one after the other; neither mirrors.
fn after(last: &Pose, first: &Pose) -> Pose {
    let corner = last.apply(Point::new(first.x, first.y));
    Pose::new(corner.x, corner.y, turn(last.turn + first.turn))
}

/// Degrees from 0 on, below 360.
fn turn(degrees: f64) -> f64 {
    let turn = degrees.rem_euclid(360.0);
    if turn >= 360.0 { 0.0 } else { turn }
}
