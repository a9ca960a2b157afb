//! Proposals for a face, step by step.

use std::rc::Rc;

use heartside_figure::matching::{Lacking, Matching, Proposal, Sought};
use heartside_geometry::Pose;

use super::known::KnownFace;
use super::wanted::Wanted;
use super::wood::{Lies, Wood};

/// Steps of the search between two looks at what it has found: together some milliseconds.
const AT_A_TIME: usize = 4;

/// The search for the places of a face's parts.
pub(super) struct Finder {
    matching: Matching,
    /// The face that others are to be like, until what is near it is known.
    like: Option<Vec<(usize, Pose)>>,
    is_finished: bool,
}

impl Finder {
    /// Begins from where the parts lie now, if they do. `is_like`: what is found is to be like that.
    pub(super) fn new(
        known: &[KnownFace],
        wanted: &Wanted,
        wood: &Rc<Wood>,
        (lies, is_like): (Option<&[Lies]>, bool),
    ) -> Finder {
        let start = lies.and_then(|lies| wood.seen(lies));
        let maps: Vec<_> = known.iter().map(|face| face.map.clone()).collect();
        let sought = Sought {
            maps: maps.into(),
            sources: wood.sources.clone(),
            tiles: wanted.seats.iter().map(|seat| seat.seen).collect(),
            size: wanted.size,
            wish: wanted.wish,
            start: start.clone(),
            room: Rc::clone(wood) as _,
            seed: 1,
        };
        Finder {
            matching: Matching::new(sought),
            like: start.filter(|_| is_like),
            is_finished: false,
        }
    }

    /// Goes on by some milliseconds.
    pub(super) fn step(&mut self) {
        self.is_finished = self.matching.step(AT_A_TIME);
        if self.is_finished
            && let Some(lies) = self.like.take()
        {
            self.matching.more_like(&Proposal {
                lies,
                measured: Vec::new(),
                worth: 0.0,
            });
            self.is_finished = false;
        }
    }

    pub(super) fn is_finished(&self) -> bool {
        self.is_finished
    }

    /// How far it is, from 0 to 1.
    pub(super) fn share(&self) -> f64 {
        self.matching.progress()
    }

    /// The best so far, the first of them the best.
    pub(super) fn proposals(&self) -> &[Proposal] {
        self.matching.proposals()
    }

    /// Why nothing is proposed, in a sentence without its full stop.
    pub(super) fn why_none(&self, wanted: &Wanted) -> String {
        match self.matching.lacking() {
            Some(Lacking::Room { tile }) => {
                let name = wanted.seats.get(tile).map_or("a part", |seat| seat.name.as_str());
                format!("No board whose figure is known has room for {name}: set out first, so that its width fits the boards, mark less as a flaw, or photograph more boards")
            }
            Some(Lacking::RoomForAll | Lacking::Nothing) | None => {
                "The boards whose figure is known have no room for all of it at once: photograph more boards".to_owned()
            }
            Some(Lacking::Seen) => "Nothing was seen on the photographs: take them in again".to_owned(),
            Some(Lacking::Fineness) => {
                "The photographs are too coarse to say how such narrow parts answer: take them again from nearer".to_owned()
            }
        }
    }
}
