//! Photographs of boards as a camera might take them, with all that is true of them.
//!
//! Everything is worked out by formula at every pixel: a board ([`RealBoard`]) on a ground ([`Ground`])
//! as a camera sees it ([`Camera`]). Rendered wood is tidier than wood; what passes here must also be
//! tried on photographs.

mod answering;
mod board;
mod camera;
mod figured;
mod flaws;
mod ground;
mod noise;

use heartside_figure::{Mark, Picture, Spot, TruePicture};
use heartside_geometry::{Point, math};

use crate::Chance;
pub use answering::{AnsweringBoards, AnsweringSettings, BoardRoom, answering_boards};
pub use board::RealBoard;
pub use camera::Camera;
pub use figured::{FiguredWood, Taking, plain_map};
pub use flaws::{FlawKind, TrueFlaw};
pub use ground::Ground;
use noise::Noise;

/// How a photograph is taken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PhotoSettings {
    /// What the board lies on.
    pub ground: Ground,
    /// The board's length in millimetres.
    pub length: f64,
    /// The board's greatest width in millimetres.
    pub width: f64,
    /// Pixels in a row, and rows.
    pub size: [u32; 2],
    /// The greatest angle between the view and the square to the board, in degrees.
    pub tilt: f64,
    /// How far the lens bends: the share by which a corner of the picture moves outwards (inwards if
    /// negative). Few lenses bend more than 0.05.
    pub bend: f64,
    /// Standard deviation of the noise of each pixel, in levels of 256.
    pub noise: f64,
    /// Standard deviation of the blur, in pixels.
    pub blur: f64,
    /// How much darker the picture is in the corner that is darkest: 0 not at all, 1 black.
    pub fall_off: f64,
    /// How many marks are given, 2 at least; the first four make a rectangle in the order of its corners.
    pub marks: usize,
    /// The share of the board's length that the marks span.
    pub spanning: f64,
    /// How far each mark is off at most, right or left and up or down, in pixels.
    pub marks_off: f64,
    /// Whether the marks are drawn as crosses of chalk beside the board.
    pub chalk: bool,
}

impl Default for PhotoSettings {
    fn default() -> PhotoSettings {
        PhotoSettings {
            ground: Ground::Concrete,
            length: 2000.0,
            width: 180.0,
            size: [1600, 1200],
            tilt: 30.0,
            bend: 0.0,
            noise: 3.0,
            blur: 0.7,
            fall_off: 0.3,
            marks: 4,
            spanning: 0.8,
            marks_off: 0.5,
            chalk: true,
        }
    }
}

/// A photograph of a board, and all that is true of it.
#[derive(Debug, Clone)]
pub struct BoardPhoto {
    /// The picture as the camera took it.
    pub picture: Picture,
    /// The marks as a person might give them: each a little off in the picture.
    pub marks: Vec<Mark>,
    /// Where everything is seen.
    pub camera: Camera,
    /// The board, its flaws and its grain.
    pub board: RealBoard,
}

/// The photograph of a seed; the same on every machine.
pub fn board_photo(seed: u32, settings: &PhotoSettings) -> BoardPhoto {
    let board = RealBoard::new(seed, settings.length, settings.width);
    let (camera, marks) = photo_marks(seed, settings);
    let scene = Scene::new(seed, settings.ground, &board);
    let places: Vec<Point> = marks.iter().map(|m| m.place).collect();
    let crosses: &[Point] = if settings.chalk { &places } else { &[] };
    let picture = taken(&scene, &camera, crosses, settings);
    BoardPhoto {
        picture,
        marks,
        camera,
        board,
    }
}

/// The camera and the marks of a photograph without taking it, which is a thousand times quicker.
pub fn photo_marks(seed: u32, settings: &PhotoSettings) -> (Camera, Vec<Mark>) {
    let mut chance = Chance::new(seed ^ 0x00ca_3e7a);
    let camera = Camera::by_chance(&mut chance, settings);
    let (length, width) = (settings.length, settings.width);
    let end = 0.5 * (1.0 - settings.spanning) * length;
    let beside = |chance: &mut Chance| chance.between(15.0, 60.0);
    let mut places = vec![
        Point::new(end, -beside(&mut chance)),
        Point::new(length - end, -beside(&mut chance)),
        Point::new(length - end, width + beside(&mut chance)),
        Point::new(end, width + beside(&mut chance)),
    ];
    // Two of them as on a rule that lies along the board.
    places.truncate(settings.marks.max(2));
    while places.len() < settings.marks {
        let across = beside(&mut chance);
        let x = chance.between(end, length - end);
        let y = if chance.percent(50) {
            -across
        } else {
            width + across
        };
        places.push(Point::new(x, y));
    }
    let off = |chance: &mut Chance| chance.between(-settings.marks_off, settings.marks_off);
    let mark = |place: Point| {
        let spot = camera.spot_of(place);
        let seen = Spot::new(spot.x + off(&mut chance), spot.y + off(&mut chance));
        Mark { seen, place }
    };
    let marks = places.into_iter().map(mark).collect();
    (camera, marks)
}

/// A board and the ground `beyond` it at true scale, as a perfect straightening would show them: square
/// from above, without noise, blur or marks. `pixel` is the side of a pixel in millimetres.
pub fn straight_photo(
    seed: u32,
    ground: Ground,
    board: &RealBoard,
    pixel: f64,
    beyond: f64,
) -> TruePicture {
    let scene = Scene::new(seed, ground, board);
    let columns = ((board.length + 2.0 * beyond) / pixel).ceil() as u32;
    let rows = ((board.width + 2.0 * beyond) / pixel).ceil() as u32;
    let mut rgb = Vec::with_capacity(3 * columns as usize * rows as usize);
    for row in 0..rows {
        let y = (f64::from(rows - row) - 0.5) * pixel - beyond;
        for column in 0..columns {
            let x = (f64::from(column) + 0.5) * pixel - beyond;
            let colour = scene.colour(Point::new(x, y), &[]);
            rgb.extend(colour.map(|c| c.clamp(0.0, 255.0) as u8));
        }
    }
    TruePicture {
        picture: Picture {
            width: columns,
            height: rows,
            rgb,
        },
        pixel,
        origin: [-beyond, -beyond],
    }
}

/// A board on its ground.
struct Scene<'a> {
    noise: Noise,
    ground: Ground,
    board: &'a RealBoard,
    /// Which way its shadow falls.
    shadow: [f64; 2],
}

impl<'a> Scene<'a> {
    fn new(seed: u32, ground: Ground, board: &'a RealBoard) -> Scene<'a> {
        let mut chance = Chance::new(seed ^ 0x5ce9_e111);
        Scene {
            noise: Noise::new(seed).other(77),
            ground,
            board,
            shadow: [chance.between(-6.0, 6.0), chance.between(-6.0, 6.0)],
        }
    }

    /// The colour at a place: wood, chalk, shadow or ground.
    fn colour(&self, place: Point, crosses: &[Point]) -> [f64; 3] {
        if crosses.iter().any(|&cross| is_chalk(place, cross)) {
            return [236.0, 234.0, 228.0];
        }
        if let Some(wood) = self.board.colour(place) {
            return wood;
        }
        let ground = self.ground.colour(self.noise, place);
        let lit_from = Point::new(place.x + self.shadow[0], place.y + self.shadow[1]);
        let light = if self.board.is_wood(lit_from) {
            0.55
        } else {
            1.0
        };
        ground.map(|c| c * light)
    }
}

/// Within a cross of 24 mm, its strokes 3 mm wide.
fn is_chalk(place: Point, cross: Point) -> bool {
    let (x, y) = ((place.x - cross.x).abs(), (place.y - cross.y).abs());
    x.max(y) <= 12.0 && x.min(y) <= 1.5
}

/// The picture that a camera takes of a scene.
fn taken(scene: &Scene, camera: &Camera, crosses: &[Point], settings: &PhotoSettings) -> Picture {
    let [columns, rows] = settings.size;
    let (wide, high) = (f64::from(columns), f64::from(rows));
    let mut light = Vec::with_capacity(columns as usize * rows as usize);
    for row in 0..rows {
        for column in 0..columns {
            let spot = Spot::new(f64::from(column) + 0.5, f64::from(row) + 0.5);
            let colour = scene.colour(camera.place_of(spot), crosses);
            // Darkest in one corner, brightest in the opposite one.
            let corner = 0.5 * (spot.x / wide + spot.y / high);
            light.push(colour.map(|c| c * (1.0 - settings.fall_off * corner)));
        }
    }
    let light = blurred(light, columns as usize, settings.blur);
    let noise = scene.noise.other(99);
    let mut rgb = Vec::with_capacity(3 * light.len());
    for (k, colour) in light.iter().enumerate() {
        let (column, row) = (k as u32 % columns, k as u32 / columns);
        for (channel, level) in colour.iter().enumerate() {
            let level = level + settings.noise * noise.bell(column, row, channel as u32);
            rgb.push(level.round().clamp(0.0, 255.0) as u8);
        }
    }
    Picture {
        width: columns,
        height: rows,
        rgb,
    }
}

/// Blurred by a bell curve, along the rows and then along the columns.
fn blurred(light: Vec<[f64; 3]>, columns: usize, deviation: f64) -> Vec<[f64; 3]> {
    if deviation <= 0.0 {
        return light;
    }
    let reach = (3.0 * deviation).ceil() as i64;
    let weight = |d: i64| math::exp(-0.5 * (d * d) as f64 / (deviation * deviation));
    let whole: f64 = (-reach..=reach).map(weight).sum();
    let weights: Vec<(i64, f64)> = (-reach..=reach).map(|d| (d, weight(d) / whole)).collect();
    let rows = light.len() / columns.max(1);
    let along = |from: &[[f64; 3]], step: (i64, i64)| {
        let mut to = Vec::with_capacity(from.len());
        for k in 0..from.len() {
            let (column, row) = ((k % columns) as i64, (k / columns) as i64);
            let mut sum = [0.0; 3];
            for &(d, weight) in &weights {
                let c = (column + d * step.0).clamp(0, columns as i64 - 1) as usize;
                let r = (row + d * step.1).clamp(0, rows as i64 - 1) as usize;
                let colour = from[r * columns + c];
                for (s, c) in sum.iter_mut().zip(colour) {
                    *s += weight * c;
                }
            }
            to.push(sum);
        }
        to
    };
    along(&along(&light, (1, 0)), (0, 1))
}
