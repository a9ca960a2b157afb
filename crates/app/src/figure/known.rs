//! Maps of faces of boards, and faces whose tiles read them.

use heartside_drawing::FaceSeen;
use heartside_figure::balance::{Face, Tile};
use heartside_geometry::Pose;
use heartside_timber::document::BoardCopy;
use heartside_timber::job::Job;

pub(crate) use super::maps::{KnownFace, faces_known};

/// The face of a board by its place in the list; none where nothing is known of it.
pub(crate) fn place_of(known: &[KnownFace], board: &str, is_down: bool) -> Option<usize> {
    let mut known = known.iter();
    known.position(|face| face.board == board && face.is_down == is_down)
}

/// The same of a copy of a board, that shows what its root shows if it was not photographed since.
pub(super) fn place_on(
    job: &Job,
    known: &[KnownFace],
    on: &BoardCopy,
    is_down: bool,
) -> Option<usize> {
    let own = place_of(known, &on.board, is_down);
    own.or_else(|| place_of(known, &job.root(on).board, is_down))
}

/// A face that is put together, to be measured.
pub(crate) fn as_tiles(known: &[KnownFace], seen: &FaceSeen) -> Face {
    let tiles = seen.tiles.iter().map(|tile| Tile {
        seen: tile.seen,
        map: place_of(known, &tile.root, tile.is_down),
        to_map: tile.to_face_frame,
    });
    Face {
        size: seen.size,
        tiles: tiles.collect(),
    }
}

/// How a part lies on its board whose face is seen so: in the frame of the down face y is mirrored, and so is the
/// part that shows it.
pub(super) fn on_board(is_down: bool, at: Pose) -> Pose {
    match is_down {
        false => at,
        true => Pose {
            turned_over: true,
            ..Pose::new(at.x, -at.y, -at.turn)
        },
    }
}

/// The way back.
pub(super) fn on_face(lies: Pose) -> Pose {
    match lies.turned_over {
        false => lies,
        true => Pose::new(lies.x, -lies.y, -lies.turn),
    }
}
