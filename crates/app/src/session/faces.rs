//! Faces as they will look: panels and parts that are seen together, from the front and from behind, live while a
//! blank is in the hand.

use heartside_drawing::{
    Drawing, FaceOf, FaceShown, assembled, assembled_svg, faces_of, has_figure, together,
    together_svg, unseen_in,
};
use heartside_timber::document::MatchKind;

use super::Session;
use super::state::copy_of;
use crate::protocol::{FaceView, Sheet, TogetherSheet};

/// A side of a face by its key, "front" or "back" behind it.
fn key(of: &str, is_back: bool) -> String {
    format!("{of} {}", if is_back { "back" } else { "front" })
}

impl Session {
    /// Every set of parts that must look related and is seen together.
    pub fn sets_together(&self) -> Vec<TogetherSheet> {
        let faces = faces_of(&self.job, &self.plan_or_empty()).into_iter();
        let fronts = faces.filter(|face| !face.is_back);
        let sets = fronts.filter_map(|face| {
            let FaceOf::Match(row) = face.of else {
                return None;
            };
            let kind = self.job.matches.get(row)?.kind;
            let facts = match kind {
                MatchKind::SameBoard => "of one board",
                MatchKind::ContinuousAlong => "one after the other along the grain",
                MatchKind::ContinuousAcross => "one above the other across the grain",
                MatchKind::Slip => "slipped, side by side",
                MatchKind::Book => "opened like a book, side by side",
                MatchKind::Balanced => "balanced, side by side",
                MatchKind::Frame => "stiles, rails and panels put together, without their tenons",
            };
            let parts = face.tiles.iter().map(|tile| copy_of(&tile.part));
            Some(TogetherSheet {
                key: face.key.trim_end_matches(" front").to_owned(),
                title: face.name,
                facts: facts.to_owned(),
                stands: face.stands,
                parts: parts.collect(),
            })
        });
        sets.collect()
    }

    /// One side of a panel ("panel top 1") or of parts that are seen together ("match 2"). `stands`: their grain is
    /// upright; a panel always lies.
    pub fn face_view(&self, of: &str, is_back: bool, stands: bool) -> FaceView {
        let shown = FaceShown {
            is_back,
            stands,
            ..FaceShown::default()
        };
        self.face_shown(of, shown)
    }

    /// The same, to be shown over the whole window.
    pub fn face_large(&self, of: &str, is_back: bool, stands: bool) -> FaceView {
        let shown = FaceShown {
            is_back,
            stands,
            is_large: true,
            ..FaceShown::default()
        };
        self.face_shown(of, shown)
    }

    fn face_shown(&self, of: &str, shown: FaceShown) -> FaceView {
        let plan = self.plan_or_empty();
        let faces = faces_of(&self.job, &plan).into_iter();
        let key = key(of, shown.is_back);
        let Some(face) = faces.into_iter().find(|face| face.key == key) else {
            return FaceView::default();
        };
        let svg = match &face.of {
            FaceOf::Panel(copy) => assembled(&self.job, &plan, copy, shown).unwrap_or_default(),
            FaceOf::Match(_) => together(&self.job, &face, shown),
        };
        FaceView {
            key,
            svg,
            photo: face.tiles.iter().any(|tile| has_figure(&self.job, tile)),
            unseen: unseen_in(&self.job, &face),
        }
    }

    /// The drawing of one side, to be kept as a file; an empty sheet where there is no such face.
    pub fn svg_face(&self, of: &str, is_back: bool, stands: bool, date: &str) -> Sheet {
        let plan = self.plan_or_empty();
        let options = self.options(date);
        let key = key(of, is_back);
        let face = faces_of(&self.job, &plan).into_iter();
        let face = face.into_iter().find(|face| face.key == key);
        let drawing: Option<Drawing> = face.and_then(|face| match &face.of {
            FaceOf::Panel(copy) => assembled_svg(&self.job, &plan, copy, is_back, &options),
            FaceOf::Match(_) => Some(together_svg(&self.job, &face, stands, &options)),
        });
        drawing.map(super::paper::sheet).unwrap_or_default()
    }
}
