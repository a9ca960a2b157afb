//! What of a wish cannot be met, told where it is chosen, before anything is looked for.

use heartside_drawing::{FaceOf, faces_of};
use heartside_figure::balance::{Answer, Sapwood, Spread, Wish};
use heartside_figure::map::Layer;
use heartside_geometry::Point;
use heartside_timber::document::MatchKind;
use heartside_timber::job::Job;
use heartside_timber::plan::Plan;

use super::known::{KnownFace, faces_known, place_on};
use super::wanted::{Wanted, wanted};

/// From this level on wood is sapwood, and wanted.
const SAPWOOD: f64 = 128.0;
const WANTED: u8 = 192;
/// Where the liveliest tenth of the wood is no livelier than the middle by so many levels, there is no lively place.
const LIVELIER: u8 = 20;

/// What stands against each choice of a wish.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Against {
    /// Against how halves and joints answer.
    pub(crate) answer: Option<String>,
    /// Against where the figure is.
    pub(crate) spread: Option<String>,
    /// Against what is seen of sapwood.
    pub(crate) sapwood: Option<String>,
}

/// What stands against the wish for a face, which `is_it` finds; nothing where nothing was chosen. O(cells).
pub(crate) fn against(job: &Job, is_it: impl Fn(&FaceOf) -> bool) -> Against {
    let mut faces = faces_of(job, &Plan::default()).into_iter();
    let face = faces.find(|face| !face.is_back && is_it(&face.of));
    let face = face.and_then(|face| wanted(job, &face.key));
    let Some(face) = face.filter(|face| face.wish != Wish::default()) else {
        return Against::default();
    };
    let known = faces_known(job);
    let has = |layer: fn(&KnownFace) -> &Layer| known.iter().any(|face| layer(face).columns > 0);
    Against {
        answer: match (kind_of(job, &face), face.wish.answer) {
            (_, Answer::Any) => None,
            (Some(MatchKind::Book | MatchKind::Balanced), Answer::RunOn) => Some("Such a match mirrors, so no figure runs on across its joints: choose mirrored halves here, or another kind of match".to_owned()),
            (Some(MatchKind::Slip | MatchKind::ContinuousAcross | MatchKind::ContinuousAlong), Answer::Mirror) => Some("Such a match follows one board, so its halves do not mirror: choose as if one board here, or another kind of match".to_owned()),
            _ if !has(|face| &face.map.light) => Some("No photograph tells the figure of any board: nothing can be measured or looked for by this until some are taken in".to_owned()),
            _ => None,
        },
        spread: match face.wish.spread {
            Spread::Any => None,
            _ if !has(|face| &face.map.strength) => Some("Nothing tells how lively the boards are: take photographs in, or mark their figure".to_owned()),
            Spread::Middle => is_plain(&known).then(|| "The wood that is known is about as lively everywhere: there is no place to bring to the middle".to_owned()),
            Spread::Even => None,
        },
        sapwood: match face.wish.sapwood {
            Sapwood::Any => None,
            _ if !has(|face| &face.map.sapwood) => Some("Nothing tells where the boards have sapwood: take photographs in, or mark it".to_owned()),
            Sapwood::None => wants_sapwood(&known).or_else(|| too_little_heartwood(job, &known, &face)),
            Sapwood::Both => None,
        },
    }
}

fn kind_of(job: &Job, face: &Wanted) -> Option<MatchKind> {
    match face.of {
        FaceOf::Match(row) => job.matches.get(row).map(|m| m.kind),
        FaceOf::Panel(_) => None,
    }
}

fn is_plain(known: &[KnownFace]) -> bool {
    let levels = known.iter().flat_map(|face| &face.map.strength.levels);
    let mut counts = [0_usize; 256];
    for level in levels.filter(|level| **level > 0) {
        counts[usize::from(*level)] += 1;
    }
    let all: usize = counts.iter().sum();
    let level_of = |share: f64| {
        let mut below = 0;
        let reached = counts.iter().position(|count| {
            below += count;
            below as f64 > share * all as f64
        });
        reached.unwrap_or(0) as u8
    };
    all > 0 && level_of(0.9).saturating_sub(level_of(0.5)) < LIVELIER
}

/// Where most of what is painted as wanted is sapwood.
fn wants_sapwood(known: &[KnownFace]) -> Option<String> {
    let (mut wanted, mut sap) = (0_usize, 0_usize);
    for face in known {
        let own = &face.map.wanted;
        let is_wanted = |at: &usize| own.levels[*at] >= WANTED;
        for place in (0..own.levels.len())
            .filter(is_wanted)
            .map(|at| own.middle(at))
        {
            wanted += 1;
            sap += usize::from(is_sapwood(&face.map.sapwood, place));
        }
    }
    (2 * sap > wanted).then(|| "Most of what is marked as wanted is sapwood, and none is to be seen: take back one of them".to_owned())
}

fn is_sapwood(layer: &Layer, place: Point) -> bool {
    layer.at(place).is_some_and(|level| level >= SAPWOOD)
}

/// Where all boards together have less wood without sapwood than the face takes.
fn too_little_heartwood(job: &Job, known: &[KnownFace], face: &Wanted) -> Option<String> {
    let parts = face
        .seats
        .iter()
        .filter_map(|seat| job.part(&seat.part.part));
    let may_turn_over = parts.into_iter().any(|part| part.may_turn_over);
    let mut heartwood = 0.0;
    for copy in job.board_copies() {
        if !job
            .board(&copy.board)
            .is_some_and(|board| board.is_usable())
        {
            continue;
        }
        let of = |is_down| {
            let layer = &known[place_on(job, known, &copy, is_down)?].map.sapwood;
            let heart = layer
                .levels
                .iter()
                .filter(|level| (1..SAPWOOD as u8).contains(level));
            (layer.columns > 0).then(|| heart.count() as f64 * layer.cell * layer.cell)
        };
        // Of a face that nobody saw anything may come.
        let up = of(false)?;
        heartwood += if may_turn_over { up.max(of(true)?) } else { up };
    }
    let share = heartwood / (face.size[0] * face.size[1]).max(1.0);
    (share < 1.0).then(|| {
        format!(
            "All boards together have heartwood for {:.0} of 100 of this face: allow sapwood on both edges, or add boards",
            (100.0 * share).floor()
        )
    })
}
