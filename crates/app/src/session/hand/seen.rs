//! The faces in which the part in the hand is seen: its wood slides along with it.

use heartside_drawing::{face_id, faces_of, pictures_in};
use heartside_timber::document::PartCopy;

use super::held::Shown;
use crate::protocol::HeldFigure;
use crate::session::Session;

impl Session {
    /// How faces change with the part in the hand: of each in which it is seen the place of its wood, and the
    /// pictures only where they are others than before. O(faces with the part): nothing is drawn again.
    pub fn held_figures(&mut self) -> Vec<HeldFigure> {
        let Some(mut hand) = self.hand.take() else {
            return Vec::new();
        };
        let over = hand.over.clone();
        let figures = hand.faces.iter_mut().filter_map(|shown| {
            let face = &shown.face;
            let k = face.tiles.iter().position(|t| t.part == hand.part)?;
            let on = over.as_ref().map(|(board, pose)| (board, *pose));
            let tile = face.tiles[k].laid(&self.job, on, face.is_back);
            let id = format!("{}-{k}-held", face_id(face));
            let (pictures, transform) = pictures_in(&self.job, face, &tile, &id);
            let is_other = shown.pictures.as_ref() != Some(&pictures);
            shown.pictures = Some(pictures);
            Some(HeldFigure {
                face: face.key.clone(),
                figure: format!("{}#{}", tile.part.part, tile.part.copy),
                transform,
                pictures: shown.pictures.clone().filter(|_| is_other),
            })
        });
        let figures = figures.collect();
        self.hand = Some(hand);
        figures
    }
}

impl Session {
    /// The faces in which a part is seen, where photographs show any wood.
    pub(super) fn faces_with(&self, part: &PartCopy) -> Vec<Shown> {
        if self.job.photos.is_empty() {
            return Vec::new();
        }
        let faces = faces_of(&self.job, &self.plan_or_empty()).into_iter();
        let with = faces.filter(|face| face.tiles.iter().any(|t| t.part == *part));
        with.map(|face| Shown {
            face,
            pictures: None,
        })
        .collect()
    }
}
