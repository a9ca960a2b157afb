//! What is known of the figure of a face, by its photographs and by areas that were marked.

use heartside_figure::map::Layer;
use heartside_geometry::Point;
use heartside_timber::document::{
    FigureMap, Length, Levels, Photo, Zone, ZoneFace, ZoneKind, ZoneShape,
};

use super::*;
use crate::figure::maps::{KnownFace, faces_known};

/// A marked area from x 200 to 600 mm in the upper half of [`one_board`]. Its face, what it marks, how wanted.
fn marked(face: ZoneFace, kind: ZoneKind, weight: Option<f64>) -> Zone {
    let points = [[200.0, 20.0], [600.0, 20.0], [600.0, 90.0], [200.0, 90.0]];
    Zone {
        kind,
        face,
        weight,
        shape: Some(ZoneShape::Polygon {
            points: points.map(|p| p.map(Length::Mm)).to_vec(),
        }),
        ..Zone::default()
    }
}

fn with(zones: Vec<Zone>, maps: Vec<(&str, ZoneFace, FigureMap)>) -> Vec<KnownFace> {
    let session = one_board();
    let mut document = session.document.clone();
    document.boards[0].zones = zones;
    for (hash, face, map) in maps {
        document.photos.push(Photo {
            hash: hash.repeat(64),
            board: "A".to_owned(),
            face,
            pixel: 0.5,
            size: [4000, 400],
            ..Photo::default()
        });
        let photo = hash.repeat(64);
        document.figure_maps.push(FigureMap { photo, ..map });
    }
    faces_known(&heartside_timber::prepare::prepare(&document).job)
}

/// Light of one level on cells of 4 mm, from x on.
fn map(x: f64, columns: usize, level: u8) -> FigureMap {
    let layers = [
        ("light", vec![level; columns * 10]),
        ("sapwood", vec![1; columns * 10]),
    ];
    let layers = layers.map(|(name, levels)| (name.to_owned(), Levels(levels.into())));
    FigureMap {
        cell: 4.0,
        origin: [x, 0.0],
        columns: columns as u32,
        layers: layers.into(),
        ..FigureMap::default()
    }
}

fn at(layer: &Layer, x: f64, y: f64) -> Option<f64> {
    layer.at(Point::new(x, y))
}

#[test]
fn marked_areas_serve_where_no_photograph_was_taken() {
    assert!(with(Vec::new(), Vec::new()).is_empty());
    let faces = with(
        vec![
            marked(ZoneFace::Down, ZoneKind::Sapwood, None),
            marked(ZoneFace::Through, ZoneKind::Figure, Some(-0.5)),
        ],
        Vec::new(),
    );
    assert_eq!(faces.len(), 2);
    let [up, down] = [&faces[0], &faces[1]];
    assert!((up.board.as_str(), up.is_down, down.is_down) == ("A", false, true));
    assert_eq!((up.map.light.columns, up.map.sapwood.columns), (0, 0));
    assert_eq!(at(&up.map.wanted, 400.0, 50.0), Some(65.0));
    assert_eq!(at(&up.map.wanted, 400.0, -50.0), Some(128.0));
    assert_eq!(at(&up.map.strength, 400.0, 50.0), Some(1.0));
    assert_eq!(at(&up.map.wanted, 400.0, 150.0), None, "beyond the board");
    // As the down face is seen, it lies in the lower half.
    assert_eq!(at(&down.map.wanted, 400.0, -50.0), Some(65.0));
    assert_eq!(at(&down.map.sapwood, 400.0, -50.0), Some(255.0));
    assert_eq!(at(&down.map.sapwood, 400.0, 50.0), Some(1.0));
    // Wild and wanted: it is there all the same.
    let faces = with(
        vec![marked(ZoneFace::Up, ZoneKind::Figure, None)],
        Vec::new(),
    );
    assert_eq!(faces.len(), 1);
    assert_eq!(at(&faces[0].map.strength, 400.0, 50.0), Some(255.0));
    assert_eq!(at(&faces[0].map.wanted, 400.0, 50.0), Some(255.0));
}

#[test]
fn photographs_of_one_face_are_one_map() {
    let maps = vec![
        ("a", ZoneFace::Up, map(0.0, 100, 100)),
        ("b", ZoneFace::Up, map(380.0, 100, 200)),
        ("c", ZoneFace::Down, map(-10.0, 50, 50)),
    ];
    let faces = with(vec![marked(ZoneFace::Up, ZoneKind::Sapwood, None)], maps);
    assert_eq!(faces.len(), 2);
    let light = &faces[0].map.light;
    assert_eq!(
        (at(light, 100.0, 20.0), at(light, 390.0, 20.0)),
        (Some(100.0), Some(100.0))
    );
    assert_eq!(
        (at(light, 500.0, 20.0), at(light, 777.0, 20.0)),
        (Some(200.0), Some(200.0))
    );
    assert_eq!(
        (at(light, 790.0, 20.0), at(light, 500.0, 45.0)),
        (None, None)
    );
    // What the maker marked counts as sapwood, whatever the photograph said.
    let sapwood = &faces[0].map.sapwood;
    assert_eq!(
        (at(sapwood, 300.0, 30.0), at(sapwood, 100.0, 30.0)),
        (Some(255.0), Some(1.0))
    );
    assert_eq!(at(&faces[1].map.light, 0.0, 20.0), Some(50.0));
    assert_eq!(faces[1].map.wanted.columns, 0, "nothing was said of it");
}
