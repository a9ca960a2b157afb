//! What speaks against photographs: of another board, the wrong way round, one wood twice, or telling nothing.

use heartside_figure::map::Layer;
use heartside_geometry::{Bounds, Point, Region};
use heartside_timber::job::{Board, Job};
use heartside_timber::words::listed;

use super::known::KnownFace;
use super::likeness::correlation;

/// The outlines of a photograph and of its board may lie so far apart, in millimetres along all of them: less is how well
/// edges are traced.
const MOST_BESIDE: f64 = 4.0;
/// Less is nothing, whichever way round would fit better.
const NOTHING_BESIDE: f64 = 2.0;
/// Of the wood at least so much has to be sapwood to say at which edge it lies, and so much of that at one edge.
const LEAST_SAPWOOD: f64 = 0.03;
const AT_ONE_EDGE: f64 = 0.9;
/// Between places that are looked at, in millimetres.
const STEP: f64 = 12.0;
/// Cells on which two pictures are held against each other, in millimetres: shifts of marks and of pixels matter less.
const COMPARED: f64 = 8.0;
/// Light that varies alike by so much, as a coefficient of correlation, is that of one piece of wood. Boards that were
/// neighbours in a log answer each other mirrored, so the mirrored way has to be so much less alike.
const SAME_WOOD: f64 = 0.6;
const LESS_MIRRORED: f64 = 0.25;

/// Doubts about the photographs of some boards, in sentences without their full stops. O(cells) of their faces.
pub(crate) fn doubts(
    job: &Job,
    known: &[KnownFace],
    is_asked: impl Fn(&str) -> bool,
) -> Vec<String> {
    let mut said: Vec<String> = twice(job, &is_asked).collect();
    for board in job.boards.iter().filter(|board| is_asked(&board.id)) {
        let own = |down: bool| {
            known
                .iter()
                .find(|f| f.board == board.id && f.is_down == down)
        };
        let photographed = [own(false), own(true)];
        for face in photographed.into_iter().flatten() {
            said.extend(outline_differs(board, face));
        }
        if let [Some(up), Some(down)] = photographed {
            said.extend(sapwood_changes_edges(board, up, down));
        }
    }
    said
}

/// All doubts about the boards that may be cut, and what is not known of them.
pub(crate) fn all_doubts(job: &Job, known: &[KnownFace]) -> Vec<String> {
    let is_usable = |id: &str| job.board(id).is_some_and(Board::is_usable);
    let mut said = doubts(job, known, is_usable);
    said.extend(same_wood(known, is_usable));
    let is_known = |board: &Board, down| {
        known
            .iter()
            .any(|f| f.board == board.id && f.is_down == down)
    };
    for (down, side, other) in [(true, "down", "up"), (false, "up", "down")] {
        let lacking = job
            .boards
            .iter()
            .filter(|b| b.is_usable() && is_known(b, !down) && !is_known(b, down));
        let names: Vec<String> = lacking.map(|board| board.id.clone()).collect();
        if !names.is_empty() {
            said.push(format!(
                "Nothing is known of the {side} face of {}, so it is looked for with the {other} face to the front: photograph the other too for more to choose from",
                listed(&names)
            ));
        }
    }
    said
}

/// Whether there is a photograph of a face, of which nothing is known although.
pub(crate) fn is_photographed(job: &Job, board: &str, is_down: bool) -> bool {
    let mut photos = job.photos.iter();
    photos.any(|photo| photo.board == board && photo.is_down == is_down)
}

/// Faces whose photographs show the same wood, in sentences without their full stops. O(cells x faces x faces).
pub(crate) fn same_wood(known: &[KnownFace], is_asked: impl Fn(&str) -> bool) -> Vec<String> {
    let seen = known.iter().filter(|face| face.map.light.columns > 0);
    let seen: Vec<(&KnownFace, Layer)> =
        seen.map(|face| (face, coarser(&face.map.light))).collect();
    let mut said = Vec::new();
    for (k, (one, own)) in seen.iter().enumerate() {
        for (other, beside) in &seen[k + 1..] {
            if (is_asked(&one.board) || is_asked(&other.board)) && is_same_wood(own, beside) {
                said.push(format!(
                    "The photos of {} and of {} show the same wood: take out the one that is of another face, and take in its own",
                    named(one),
                    named(other)
                ));
            }
        }
    }
    said
}

/// Pictures that were taken in as two faces.
fn twice<'a>(
    job: &'a Job,
    is_asked: &'a impl Fn(&str) -> bool,
) -> impl Iterator<Item = String> + 'a {
    let photos = job.photos.iter().enumerate();
    photos.filter_map(|(k, one)| {
        let mut later = job.photos[k + 1..].iter();
        let other = later
            .find(|p| p.hash == one.hash && (&p.board, p.is_down) != (&one.board, one.is_down))?;
        (is_asked(&one.board) || is_asked(&other.board)).then(|| {
            let [one, other] = [one, other].map(|photo| face_of(&photo.board, photo.is_down));
            format!(
                "One picture was taken in as {one} and as {other}: take it out where it is wrong"
            )
        })
    })
}

fn named(face: &KnownFace) -> String {
    face_of(&face.board, face.is_down)
}

/// "the up face of A".
fn face_of(board: &str, is_down: bool) -> String {
    let side = if is_down { "down" } else { "up" };
    format!("the {side} face of {board}")
}

/// How a picture could lie on its board: as it does, end for end, turned over, both.
const WAYS: [([f64; 2], &str); 4] = [
    ([1.0, 1.0], ""),
    ([-1.0, -1.0], "turned end for end"),
    ([1.0, -1.0], "as the other face"),
    ([-1.0, 1.0], "as the other face and end for end"),
];

fn outline_differs(board: &Board, face: &KnownFace) -> Option<String> {
    let light = &face.map.light;
    let places = places_of(light);
    let seen = Bounds::of_points(places.iter().copied())?;
    let off = WAYS.map(|(way, _)| off(&board.outline, light, (seen, &places), (way, face.is_down)));
    let others = WAYS
        .iter()
        .zip(off)
        .filter(|(_, there)| *there < 0.4 * off[0]);
    let others: Vec<&str> = others.map(|((_, way), _)| *way).collect();
    if off[0] < NOTHING_BESIDE || (others.is_empty() && off[0] < MOST_BESIDE) {
        return None;
    }
    let fits = match others.is_empty() {
        true => String::new(),
        false => format!("; {} it would fit", others.join(" or ")),
    };
    Some(format!(
        "The photo of {} shows another outline than the board has, {:.0} mm off all round{fits}: look whether it is of this board and this way round, and trace its outline when you take it in",
        named(face),
        off[0]
    ))
}

/// Places with wood, some a hand apart.
fn places_of(layer: &Layer) -> Vec<Point> {
    let every = (STEP / layer.cell.max(0.1)).round().max(1.0) as usize;
    let columns = layer.columns.max(1);
    let is_one =
        |at: &usize| (at % columns).is_multiple_of(every) && (at / columns).is_multiple_of(every);
    let cells = (0..layer.levels.len()).filter(is_one);
    cells
        .filter(|at| layer.levels[*at] > 0)
        .map(|at| layer.middle(at))
        .collect()
}

/// How far the outlines of a picture and of a board lie apart, as far along as the picture reaches: what only one of them
/// covers, by the length of its outline.
fn off(
    outline: &Region,
    light: &Layer,
    (seen, places): (Bounds, &[Point]),
    ([along, across], is_down): ([f64; 2], bool),
) -> f64 {
    let own = outline.bounds();
    let sign = if is_down { -1.0 } else { 1.0 };
    let middle = Point::new(own.centre().x, sign * own.centre().y);
    let laid = |p: Point| {
        Point::new(
            middle.x + along * (p.x - middle.x),
            middle.y + across * (p.y - middle.y),
        )
    };
    let on_board = |p: Point| Point::new(p.x, sign * p.y);
    let beyond = places
        .iter()
        .filter(|p| !outline.contains(on_board(laid(**p))))
        .count();
    let (mut bare, reach) = (0_usize, light.cell + 1.0);
    let mut x = seen.min.x;
    while x <= seen.max.x {
        let mut y = own.min.y;
        while y <= own.max.y {
            let on_face = Point::new(x, sign * y);
            let place = laid(on_face);
            let is_far = |d: f64| light.in_cell(Point::new(place.x, place.y + d)) > 0;
            let is_bare = !is_far(0.0) && !is_far(reach) && !is_far(-reach);
            bare += usize::from(is_bare && outline.contains(Point::new(x, y)));
            y += STEP;
        }
        x += STEP;
    }
    let area = (beyond + bare) as f64 * STEP * STEP;
    area / (2.0 * (seen.width() + seen.height()))
}

fn sapwood_changes_edges(board: &Board, up: &KnownFace, down: &KnownFace) -> Option<String> {
    let middle = board.outline.bounds().centre().y;
    // Of all sapwood what lies above the middle line of the board.
    let above = |face: &KnownFace| {
        let layer = &face.map.sapwood;
        let sign = if face.is_down { -1.0 } else { 1.0 };
        let (mut wood, mut sap, mut above) = (0.0, 0.0, 0.0);
        for (at, level) in layer
            .levels
            .iter()
            .enumerate()
            .filter(|(_, level)| **level > 0)
        {
            wood += 1.0;
            if *level >= 128 {
                sap += 1.0;
                above += f64::from(u8::from(sign * layer.middle(at).y > middle));
            }
        }
        (sap > LEAST_SAPWOOD * wood && sap > 0.0).then(|| above / sap)
    };
    let (above, below) = (above(up)?, above(down)?);
    let is_other = above.max(below) > AT_ONE_EDGE && above.min(below) < 1.0 - AT_ONE_EDGE;
    is_other.then(|| {
        format!(
            "Sapwood lies at one edge on the up face of {0} and at the other on its down face: look whether both photos are of {0} and this way round",
            board.id
        )
    })
}

/// The means of a layer on larger cells.
fn coarser(layer: &Layer) -> Layer {
    let every = (COMPARED / layer.cell.max(0.1)).round().max(1.0) as usize;
    let (columns, rows) = (layer.columns.div_ceil(every), layer.rows().div_ceil(every));
    let mut sums = vec![(0_u32, 0_u32); columns * rows];
    for (at, &level) in layer
        .levels
        .iter()
        .enumerate()
        .filter(|(_, level)| **level > 0)
    {
        let (column, row) = (at % layer.columns / every, at / layer.columns / every);
        let sum = &mut sums[row * columns + column];
        *sum = (sum.0 + u32::from(level), sum.1 + 1);
    }
    let levels = sums
        .iter()
        .map(|(sum, count)| (sum / (*count).max(1)) as u8);
    Layer {
        cell: layer.cell * every as f64,
        origin: layer.origin,
        columns,
        levels: levels.collect(),
    }
}

fn is_same_wood(one: &Layer, other: &Layer) -> bool {
    let alike = |[along, across]: [f64; 2]| {
        let shifts = [-1.0, 0.0, 1.0].into_iter();
        let shifts = shifts.flat_map(|x| [-1.0, 0.0, 1.0].map(|y| [x * one.cell, y * one.cell]));
        let all = shifts.filter_map(|shift| likeness(one, other, [along, across], shift));
        all.fold(0.0, f64::max)
    };
    // What is not alike as it lies is not a little to the side: most pairs need one look each way.
    let quick = |way| likeness(one, other, way, [0.0, 0.0]).unwrap_or(0.0) > 0.5 * SAME_WOOD;
    [(1.0, 1.0), (-1.0, -1.0)]
        .into_iter()
        .any(|(along, across)| {
            quick([along, across]) && {
                let same = alike([along, across]);
                same > SAME_WOOD && same > LESS_MIRRORED + alike([along, -across])
            }
        })
}

/// The coefficient of correlation of two layers laid on each other by their middles; none where little of them is
/// covered by both.
fn likeness(one: &Layer, other: &Layer, [along, across]: [f64; 2], shift: [f64; 2]) -> Option<f64> {
    let middle = |layer: &Layer| {
        let size = [layer.columns, layer.rows()].map(|n| 0.5 * n as f64 * layer.cell);
        [layer.origin[0] + size[0], layer.origin[1] + size[1]]
    };
    let (from, to) = (middle(one), middle(other));
    let known = one
        .levels
        .iter()
        .enumerate()
        .filter(|(_, level)| **level > 0);
    let pairs = known.clone().filter_map(|(at, &level)| {
        let p = one.middle(at);
        let place = Point::new(
            to[0] + along * (p.x - from[0]) + shift[0],
            to[1] + across * (p.y - from[1]) + shift[1],
        );
        Some((f64::from(level), other.at(place)?))
    });
    let pairs: Vec<(f64, f64)> = pairs.collect();
    let is_enough = pairs.len() as f64 > 0.6 * known.count() as f64;
    is_enough.then(|| correlation(&pairs)).flatten()
}

#[cfg(test)]
mod tests {
    use std::rc::Rc;

    use heartside_figure::map::{Cells, FigureMap, Mapping};
    use heartside_geometry::Ring;
    use heartside_testkit::{Ground, RealBoard, straight_photo};
    use heartside_timber::document::Document;
    use heartside_timber::prepare::prepare;
    use serde_json::json;

    use super::*;

    const SIZE: [f64; 2] = [1100.0, 160.0];

    fn real(seed: u32) -> RealBoard {
        RealBoard::new(seed, SIZE[0], SIZE[1])
    }

    /// The board of a job with the outline of a real one.
    fn board(seed: u32) -> Board {
        let points: Vec<[f64; 2]> = real(seed).outline.iter().map(|p| [p.x, p.y]).collect();
        let text = json!({"format": "heartside-job", "version": 2, "boards": [{"id": "A", "thickness": 30,
            "outline": {"form": "polygon", "points": points}}]});
        let document = Document::open(&text.to_string()).unwrap().document;
        prepare(&document).job.boards.remove(0)
    }

    /// The face of a photograph of a real board, seen as it lies or from below, turned end for end or not.
    fn face(seed: u32, (id, pixel): (&str, f64), [along, across]: [f64; 2]) -> KnownFace {
        let board = real(seed);
        let mut photo = straight_photo(
            seed ^ (pixel * 10.0) as u32,
            Ground::Concrete,
            &board,
            pixel,
            30.0,
        );
        let (wide, high) = (photo.picture.width as usize, photo.picture.height as usize);
        let own = photo.picture.rgb.clone();
        for y in 0..high {
            for x in 0..wide {
                let from = [
                    if along < 0.0 { wide - 1 - x } else { x },
                    if across < 0.0 { high - 1 - y } else { y },
                ];
                let (to, from) = (3 * (y * wide + x), 3 * (from[1] * wide + from[0]));
                photo.picture.rgb[to..to + 3].copy_from_slice(&own[from..from + 3]);
            }
        }
        let middle = [0, 1].map(|k| photo.origin[k] + 0.5 * [wide, high][k] as f64 * pixel);
        let turned = board.outline.iter().map(|p| {
            Point::new(
                middle[0] + along * (p.x - middle[0]),
                middle[1] + across * (p.y - middle[1]),
            )
        });
        let mut turned: Vec<Point> = turned.collect();
        if along * across < 0.0 {
            turned.reverse();
        }
        let outline = Ring::new(turned).unwrap();
        let mut mapping = Mapping::new(Rc::new(photo), &outline, Cells::default()).unwrap();
        while !mapping.step(1000) {}
        KnownFace {
            board: id.to_owned(),
            is_down: false,
            map: mapping.finish().unwrap(),
        }
    }

    #[test]
    fn photographs_of_other_boards_are_noticed_and_right_ones_are_not() {
        // Waney on one side; straight all round.
        for (seed, is_waney) in [(1, true), (2, false)] {
            let own = board(seed);
            let right = face(seed, ("A", 2.0), [1.0, 1.0]);
            assert_eq!(outline_differs(&own, &right), None, "{seed}");
            let turned = face(seed, ("B", 1.6), [-1.0, -1.0]);
            let told = outline_differs(&own, &turned);
            let is_told = told
                .as_ref()
                .is_some_and(|told| told.contains("end for end"));
            assert_eq!(is_told, is_waney, "{seed}: {told:?}");
            let over = face(seed, ("C", 1.6), [1.0, -1.0]);
            let other = face(seed + 110, ("D", 2.0), [1.0, 1.0]);
            // A neighbour in the log shows the same, mirrored; that is no mistake.
            let said = same_wood(&[right.clone(), over, other.clone()], |_| true);
            assert_eq!(said, Vec::<String>::new(), "{seed}");
            let said = same_wood(&[right, other, turned], |_| true);
            assert!(
                said.len() == 1 && said[0].contains("face of A and of the up face of B"),
                "{said:?}"
            );
        }
        let other = face(8, ("A", 2.0), [1.0, 1.0]);
        assert!(outline_differs(&board(11), &other).is_some());
    }

    #[test]
    fn sapwood_that_changes_edges_is_noticed() {
        let own = board(2);
        let with = |is_down: bool, sap_above: bool| {
            let light = Layer {
                cell: 20.0,
                origin: [0.0, if is_down { -160.0 } else { 0.0 }],
                columns: 50,
                levels: vec![1; 400],
            };
            let is_sap = |at: usize| {
                let y = light.middle(at).y;
                let above = if is_down { -y } else { y } > 130.0;
                above == sap_above && (above || (if is_down { -y } else { y }) < 30.0)
            };
            let levels = (0..400)
                .map(|at| if is_sap(at) { 255 } else { 1 })
                .collect();
            KnownFace {
                board: "A".to_owned(),
                is_down,
                map: FigureMap {
                    sapwood: Layer {
                        levels,
                        ..light.clone()
                    },
                    ..FigureMap::default()
                },
            }
        };
        for (up, down) in [(true, true), (false, false), (true, false), (false, true)] {
            let told = sapwood_changes_edges(&own, &with(false, up), &with(true, down));
            assert_eq!(told.is_some(), up != down);
        }
    }
}
