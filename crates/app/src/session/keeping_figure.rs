//! Maps of figure come with their photographs and leave with them.

use heartside_geometry::Point;
use heartside_timber::document::{Document, FigureMap, Photo, RenderedWood, ZoneFace, ZoneKind};
use heartside_timber::job::Board;
use heartside_timber::prepare::prepare;

use super::Session;
use crate::figure::judge_figure;
use crate::protocol::{PhotoToMap, PhotoToRender};

/// A picture of an invented log has no more pixels.
const MOST_PIXELS: u64 = 8_000_000;

/// The rows of a map as a worker hands it over; none where it handed over nothing that can be read. A photograph
/// that tells nothing has one row without layers.
pub(super) fn rows_of(
    text: &str,
    photo: &str,
    moved: impl Fn([f64; 2]) -> [f64; 2],
) -> Vec<FigureMap> {
    let Ok(mut rows) = serde_json::from_str::<Vec<FigureMap>>(text) else {
        return Vec::new();
    };
    if rows.is_empty() {
        rows.push(FigureMap::default());
    }
    for row in &mut rows {
        photo.clone_into(&mut row.photo);
        if !row.layers.is_empty() {
            row.origin = moved(row.origin);
        }
    }
    rows
}

/// Takes out maps of photographs that are not there any more.
pub(super) fn forget_figure(document: &mut Document) {
    let Document {
        photos,
        figure_maps,
        ..
    } = document;
    let is_there = |map: &FigureMap| {
        photos
            .iter()
            .any(|p| p.hash.eq_ignore_ascii_case(&map.photo))
    };
    figure_maps.retain(is_there);
}

impl Session {
    /// The photographs at hand of which no map was made yet: those of older files, and of files with a damaged map.
    pub fn photos_to_map(&self) -> Vec<PhotoToMap> {
        let at_hand = |hash: &String| self.photos_at_hand.contains(hash);
        let photos = self.document.photos.iter();
        let photos = photos.filter(|p| at_hand(&p.hash) && p.put_by.is_none());
        let lacking = photos.filter(|photo| {
            let own = |hash: &str| hash.eq_ignore_ascii_case(&photo.hash);
            let is_sound = self.job.figure.iter().any(|map| own(&map.photo));
            let mut rows = self.document.figure_maps.iter();
            !is_sound && !rows.any(|row| own(&row.photo) && row.layers.is_empty())
        });
        let to_map = lacking.filter_map(|photo| photo.covers().and_then(|_| self.to_map(photo)));
        to_map.collect()
    }

    /// How a photograph is mapped; none where its board or its scale is not known.
    fn to_map(&self, photo: &Photo) -> Option<PhotoToMap> {
        let outline = self.job.board(&photo.board)?.outline.outer().points();
        let mut outline: Vec<Point> = outline.to_vec();
        if photo.face == ZoneFace::Down {
            outline = outline
                .iter()
                .rev()
                .map(|p| Point::new(p.x, -p.y))
                .collect();
        }
        Some(PhotoToMap {
            hash: photo.hash.clone(),
            pixel: photo.pixel,
            origin: photo.origin,
            outline: outline.iter().flat_map(|p| [p.x, p.y]).collect(),
        })
    }

    /// The photographs of invented logs whose pictures are not at hand.
    pub fn photos_to_render(&self) -> Vec<PhotoToRender> {
        let photos = self.document.photos.iter().enumerate();
        let to_render = photos.filter_map(|(row, photo)| {
            let RenderedWood { log, board, .. } = *photo.rendered.as_ref()?;
            let [width, height] = photo.size.map(u64::from);
            let is_sound = photo.pixel > 0.0 && (1..=MOST_PIXELS).contains(&(width * height));
            (is_sound && !self.photos_at_hand.contains(&photo.hash)).then_some(PhotoToRender {
                row: row as u32,
                log,
                board,
                is_down: photo.face == ZoneFace::Down,
                size: photo.size,
                place: self.to_map(photo)?,
            })
        });
        to_render.collect()
    }

    /// Keeps the picture of an invented log by its row and the hash of its file, and its map. This is no step to be undone. False where that photograph is
    /// not waited for any more.
    pub fn keep_rendered(&mut self, row: u32, hash: &str, figure: &str) -> bool {
        let is_waited_for = self.photos_to_render().iter().any(|asked| asked.row == row);
        let Some(photo) = self.document.photos.get_mut(row as usize) else {
            return false;
        };
        if hash.is_empty() || !is_waited_for {
            return false;
        }
        hash.clone_into(&mut photo.hash);
        let mut files = std::mem::take(&mut self.photos_at_hand);
        files.push(hash.to_owned());
        self.show_photos(files);
        self.keep_figure(hash, figure)
    }

    /// Draws what is known of the figure over the wood, or no longer. False where nothing is known of any face.
    pub fn show_figure(&mut self, shown: bool) -> bool {
        self.figure_shown = shown;
        let is_marked = |board: &Board| board.zones.iter().any(|z| z.kind == ZoneKind::Figure);
        !self.job.figure.is_empty() || self.job.boards.iter().any(is_marked)
    }

    /// Keeps the map of a photograph that is in the job already. This is no step to be undone: the photograph said
    /// so all along. False where there is no such photograph, or no map that can be
    /// used.
    pub fn keep_figure(&mut self, hash: &str, figure: &str) -> bool {
        let rows = rows_of(figure, hash, |origin| origin);
        let is_there = self.document.photos.iter().any(|p| p.hash == hash);
        if !is_there || rows.is_empty() {
            return false;
        }
        let maps = &mut self.document.figure_maps;
        maps.retain(|map| !map.photo.eq_ignore_ascii_case(hash));
        maps.extend(rows);
        forget_figure(&mut self.document);
        let prepared = prepare(&self.document);
        self.job.figure = prepared.job.figure;
        judge_figure(&mut self.job);
        self.diagnostics = prepared.diagnostics;
        self.problem_counts = self.counted_problems();
        !self.photos_to_map().iter().any(|photo| photo.hash == hash)
    }
}
