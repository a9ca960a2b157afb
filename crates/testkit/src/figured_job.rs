//! Jobs whose boards have maps of figure: a panel of two to four staves, and parts beside it.

use heartside_geometry::math;
use heartside_timber::document::{Document, FigureMap, Levels, Photo, VERSION, ZoneFace};
use serde_json::{Value, json};

use crate::chance::Chance;

/// A job with maps of most faces of its boards, waves of light along the grain and sapwood at the edges. The
/// pictures that the maps name are not there.
pub fn figured_job(seed: u32) -> Document {
    let mut chance = Chance::new(seed ^ 0x0f16_0e5d);
    let boards: Vec<Value> = (0..2 + chance.below(2))
        .map(|k| board(k, &mut chance))
        .collect();
    let count = if chance.percent(15) {
        4
    } else {
        2 + chance.below(2)
    };
    let width = chance.length(100.0, 140.0) * count as f64;
    let mut parts = vec![
        json!({"id": "top", "name": "Top", "thickness": 20, "may_turn_over": chance.percent(80),
        "shape": {"form": "rectangle", "length": chance.length(380.0, 620.0), "width": width}}),
    ];
    for k in 0..chance.below(3) {
        parts.push(json!({"id": format!("rail{k}"), "name": format!("Rail {}", k + 1), "thickness": 20, "count": 2,
            "shape": {"form": "rectangle", "length": chance.length(200.0, 350.0), "width": 50}}));
    }
    let kerf = *chance.one_of(&[1.8, 2.5, 3.2]);
    let mut tools =
        vec![json!({"name": "circular saw", "does": ["rip", "crosscut"], "kerf": kerf})];
    if chance.percent(50) {
        tools.push(json!({"name": "table saw", "does": ["rip"], "kerf": 3, "guide": "along"}));
    }
    let text = json!({
        "format": "heartside-job", "version": VERSION, "title": format!("Figured top {seed}"),
        "workshop": {"tools": tools}, "boards": boards, "parts": parts,
        "panels": [{"part": "top", "max_width": 145}],
    });
    let opened = Document::open(&text.to_string());
    let mut document = opened.map(|opened| opened.document).unwrap_or_default();
    let faces: Vec<(String, [f64; 2])> = document
        .boards
        .iter()
        .map(|b| (b.id.clone(), [1500.0, 120.0]))
        .collect();
    for (id, [long, reach]) in faces {
        for face in [ZoneFace::Up, ZoneFace::Down] {
            if chance.percent(if face == ZoneFace::Up { 90 } else { 40 }) {
                let number = document.photos.len() + 1;
                map_of(
                    &mut document,
                    &id,
                    face,
                    ([long, reach], number),
                    &mut chance,
                );
            }
        }
    }
    document
}

fn board(place: usize, chance: &mut Chance) -> Value {
    let id = char::from(b'A' + place as u8).to_string();
    let long = chance.length(1100.0, 1500.0);
    let mut side = || chance.length(90.0, 120.0);
    let stations: Vec<Value> = [0.0, 0.5 * long, long]
        .into_iter()
        .map(|at| json!({"at": at, "left": side(), "right": side()}))
        .collect();
    let mut zones = Vec::new();
    if chance.percent(40) {
        let at = [
            chance.length(200.0, long - 200.0),
            chance.length(-50.0, 50.0),
        ];
        let corners = [[-20.0, -15.0], [20.0, -15.0], [20.0, 15.0], [-20.0, 15.0]];
        let points = corners.map(|[x, y]| [at[0] + x, at[1] + y]);
        zones.push(json!({"kind": "defect", "shape": {"form": "polygon", "points": points}}));
    }
    json!({"id": id, "name": id, "thickness": 34, "heart_side": "up", "zones": zones,
        "price": {"amount": chance.length(30.0, 80.0), "per": "piece"},
        "outline": {"form": "tape", "length": long, "stations": stations}})
}

/// Puts a photograph and its map into a document.
fn map_of(
    document: &mut Document,
    board: &str,
    face: ZoneFace,
    ([long, reach], number): ([f64; 2], usize),
    chance: &mut Chance,
) {
    let hash = format!("{number:064x}");
    let mut layers = |cell: f64, names: &[&str]| {
        let columns = (long / cell) as usize;
        let rows = (2.0 * reach / cell) as usize;
        let waves: Vec<[f64; 3]> = (0..4)
            .map(|_| {
                [
                    chance.between(0.1, 0.9),
                    chance.between(0.5, 4.0),
                    chance.between(0.0, 360.0),
                ]
            })
            .collect();
        let level = |name: &str, at: usize| {
            let (x, y) = (
                (at % columns) as f64 * cell,
                (at / columns) as f64 * cell - reach,
            );
            let wave = |w: &[f64; 3]| math::sin_cos_deg(w[0] * x + w[1] * y + w[2]).0;
            let wave = waves.iter().map(wave).sum::<f64>() / 4.0;
            match name {
                "sapwood" if y.abs() > 80.0 => 230,
                "sapwood" => 10,
                _ => (128.0 + 100.0 * wave) as u8,
            }
        };
        let layer = |name: &&str| {
            let levels: Vec<u8> = (0..columns * rows).map(|at| level(name, at)).collect();
            ((*name).to_owned(), Levels(levels.into()))
        };
        FigureMap {
            photo: hash.clone(),
            cell,
            origin: [0.0, -reach],
            columns: columns as u32,
            layers: names.iter().map(layer).collect(),
            ..FigureMap::default()
        }
    };
    let maps = [
        layers(4.0, &["light", "sapwood"]),
        layers(20.0, &["strength", "direction"]),
    ];
    document.figure_maps.extend(maps);
    document.photos.push(Photo {
        hash,
        board: board.to_owned(),
        face,
        pixel: 0.5,
        origin: [0.0, -reach],
        size: [(long / 0.5) as u32, (2.0 * reach / 0.5) as u32],
        ..Photo::default()
    });
}
