//! Which faces a job has, and where each part is seen in its face.

use heartside_drawing::{FaceOf, faces_of};
use heartside_figure::balance::{Answer, Sapwood, Spread, Wish};
use heartside_geometry::{Bounds, Point, Pose};
use heartside_timber::choices::stave_named;
use heartside_timber::document::PartCopy;
use heartside_timber::job::{self, Job, WishedFace};
use heartside_timber::plan::Plan;

/// A face that parts are looked for.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Wanted {
    pub(crate) of: FaceOf,
    /// What it is asked for by.
    pub(crate) key: String,
    /// Its length along the grain and its width, in millimetres.
    pub(crate) size: [f64; 2],
    /// Its grain is shown upright.
    pub(crate) stands: bool,
    /// What it is made of, the lowest first.
    pub(crate) seats: Vec<Seat>,
    /// What counts in it.
    pub(crate) wish: Wish,
}

/// Where a part is seen in a face.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Seat {
    /// "stave 2", "Door 1".
    pub(crate) name: String,
    /// It.
    pub(crate) part: PartCopy,
    /// In millimetres of the face.
    pub(crate) seen: Bounds,
    /// Takes what is seen, from its lower left corner on, into the frame of the part.
    to_part: Pose,
}

impl Seat {
    /// How the part lies where what is seen of it lies so.
    pub(crate) fn part_at(&self, seen_at: Pose) -> Pose {
        let back = inverse(self.to_part);
        after(seen_at, back)
    }

    /// How what is seen of a part lies where the part lies so.
    pub(crate) fn seen_at(&self, part_at: Pose) -> Pose {
        after(part_at, self.to_part)
    }
}

/// The front of a face of a job, found by its key; none where it is there no more.
pub(crate) fn wanted(job: &Job, key: &str) -> Option<Wanted> {
    let mut faces = faces_of(job, &Plan::default()).into_iter();
    let seen = faces.find(|face| face.key == key && !face.is_back)?;
    let seats = seen.tiles.iter().map(|tile| {
        let corner = tile.to_part.apply(tile.seen.min);
        let stave = stave_named(&tile.part.part).map(|stave| stave.words());
        Seat {
            name: stave
                .or_else(|| job.name_of(&tile.part))
                .unwrap_or_default(),
            part: tile.part.clone(),
            seen: tile.seen,
            to_part: Pose::new(corner.x, corner.y, tile.to_part.turn),
        }
    });
    Some(Wanted {
        seats: seats.collect(),
        size: seen.size,
        stands: seen.stands,
        wish: wish_of(job, &seen.of),
        key: seen.key,
        of: seen.of,
    })
}

/// What counts in a face, as the maker chose.
pub(super) fn wish_of(job: &Job, of: &FaceOf) -> Wish {
    let chosen = job.wish_of(&match of {
        FaceOf::Panel(copy) => WishedFace::Panel(copy.part.clone()),
        FaceOf::Match(row) => WishedFace::Match(*row),
    });
    Wish {
        answer: match chosen.answer {
            job::Answer::Any => Answer::Any,
            job::Answer::Mirror => Answer::Mirror,
            job::Answer::RunOn => Answer::RunOn,
        },
        spread: match chosen.spread {
            job::Spread::Any => Spread::Any,
            job::Spread::Middle => Spread::Middle,
            job::Spread::Even => Spread::Even,
        },
        sapwood: match chosen.sapwood {
            job::SapwoodSeen::Any => Sapwood::Any,
            job::SapwoodSeen::Both => Sapwood::Both,
            job::SapwoodSeen::None => Sapwood::None,
        },
    }
}

/// The pose that does one after the other; neither mirrors.
fn after(last: Pose, first: Pose) -> Pose {
    let corner = last.apply(Point::new(first.x, first.y));
    Pose::new(corner.x, corner.y, last.turn + first.turn)
}

fn inverse(pose: Pose) -> Pose {
    let corner = pose.inverse_apply(Point::ORIGIN);
    Pose::new(corner.x, corner.y, -pose.turn)
}
