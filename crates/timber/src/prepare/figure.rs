//! Maps of figure: those of photographs that are there, and sound.

use super::reading::{Reading, Thing};
use crate::document::{self, Document, ZoneFace};
use crate::job::{FigureLayer, FigureMap};

/// No board reaches so far, in millimetres.
const MOST: f64 = 1e6;
/// No map has larger cells, in millimetres.
const LARGEST_CELL: f64 = 1000.0;

const AGAIN: &str = "take the photo in again; until then its figure counts as not seen";

/// What photographs say of the figure. A map that is damaged is said and left out; a board is as good without it.
pub(super) fn figure(document: &Document, reading: &mut Reading<'_>) -> Vec<FigureMap> {
    let mut maps: Vec<FigureMap> = Vec::new();
    for (row, map) in document.figure_maps.iter().enumerate() {
        let place = Thing::job().field(&format!("figure_maps[{row}]"));
        let photos = &mut document.photos.iter();
        let Some(photo) = photos.find(|p| p.hash.eq_ignore_ascii_case(&map.photo)) else {
            let message = "a map of figure belongs to no photo of this job".to_owned();
            let hint = "take the photo in again; the map is of no use without it";
            reading.warn("figure-of-no-photo", place, message, hint);
            continue;
        };
        // A photograph of no board is told by itself.
        let is_there = document.boards.iter().any(|b| b.id == photo.board);
        if photo.put_by.is_some() || !is_there {
            continue;
        }
        let said = |what: String| format!("the map of figure of board {}: {what}", photo.board);
        if let Some(what) = wrong(map) {
            reading.warn("figure-unusable", place, said(what), AGAIN);
            continue;
        }
        let own = maps.iter().position(|m| m.photo == photo.hash);
        let own = own.unwrap_or_else(|| {
            maps.push(FigureMap {
                photo: photo.hash.clone(),
                board: photo.board.clone(),
                is_down: photo.face == ZoneFace::Down,
                layers: Vec::new(),
            });
            maps.len() - 1
        });
        for (name, levels) in &map.layers {
            let layers = &mut maps[own].layers;
            if layers.iter().any(|l| l.name == *name) {
                let what = said(format!(
                    "\u{201c}{name}\u{201d} stands in it twice; the first counts"
                ));
                reading.warn("figure-twice", place.clone(), what, AGAIN);
                continue;
            }
            layers.push(FigureLayer {
                name: name.clone(),
                cell: map.cell,
                origin: map.origin,
                columns: map.columns as usize,
                levels: levels.0.clone(),
            });
        }
    }
    maps.retain(|map| !map.layers.is_empty());
    maps
}

/// What makes a map useless.
fn wrong(map: &document::FigureMap) -> Option<String> {
    if map.layers.is_empty() {
        return None;
    }
    if !(map.cell > 0.0 && map.cell <= LARGEST_CELL) {
        return Some("its cells have no size".to_owned());
    }
    if !map.origin.iter().all(|v| v.abs() < MOST) {
        return Some("it lies nowhere near a board".to_owned());
    }
    let columns = map.columns as usize;
    let is_whole = |length: usize| columns > 0 && length > 0 && length.is_multiple_of(columns);
    let mut layers = map.layers.iter();
    let (name, levels) = layers.find(|(_, levels)| !is_whole(levels.0.len()))?;
    Some(format!(
        "\u{201c}{name}\u{201d} has {} cells, which make no whole rows of {columns}",
        levels.0.len()
    ))
}
