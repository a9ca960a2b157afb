//! Boards in which halves of a face lie hidden that mirror each other, as two leaves of one tree would.
//!
//! Every face has a figure of its own. Where a tile of the hidden face lies, the figure of a common tree is
//! blended over it, seen mirrored in the tile that answers it; then the light falls off, the camera adds its noise,
//! and the map is made of the photograph.

use core::f64::consts::TAU;

use std::rc::Rc;

use heartside_figure::map::{Cells, FigureMap, Mapping};
use heartside_figure::matching::{Room, Source};
use heartside_figure::{Picture, TruePicture};
use heartside_geometry::{Bounds, Point, Pose, Ring, Vector, math};

use super::board::RealBoard;
use super::noise::{Noise, blend, smooth};
use crate::Chance;

/// What is hidden, and where.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AnsweringSettings {
    /// How many staves the face has, two or four.
    pub staves: usize,
    /// Length and width of each, in millimetres.
    pub stave: [f64; 2],
    /// How many boards there are.
    pub boards: usize,
    /// Length and width of each, in millimetres.
    pub board: [f64; 2],
    /// How many of the boards, from the last on, are seen from both faces; the others from the up face.
    pub both_faces: usize,
    /// How far staves are turned at most, in degrees.
    pub tilt: f64,
    /// Standard deviation of the noise of each pixel, in levels of 256.
    pub noise: f64,
    /// How much darker a picture is where it is darkest: 0 not at all, 1 black.
    pub fall_off: f64,
    /// The share of each board's own figure that shows through where the tree's was laid over it.
    pub other: f64,
}

impl Default for AnsweringSettings {
    fn default() -> AnsweringSettings {
        AnsweringSettings {
            staves: 2,
            stave: [1000.0, 180.0],
            boards: 2,
            board: [2200.0, 320.0],
            both_faces: 1,
            tilt: 3.0,
            noise: 4.0,
            fall_off: 0.3,
            other: 0.1,
        }
    }
}

/// Boards with a hidden face, and where it is.
#[derive(Debug, Clone)]
pub struct AnsweringBoards {
    /// What is seen of each face.
    pub maps: Vec<FigureMap>,
    /// Whose face each map shows, in the same order.
    pub sources: Vec<Source>,
    /// Length and width of the face.
    pub size: [f64; 2],
    /// Where each of its tiles is seen, the lowest first.
    pub tiles: Vec<Bounds>,
    /// Where each of them lies hidden: its source, and its pose there.
    pub hidden: Vec<(usize, Pose)>,
    /// Where tiles may lie.
    pub room: BoardRoom,
}

/// Boards without flaws on which tiles may lie anywhere within the outline, a kerf apart.
#[derive(Debug, Clone)]
pub struct BoardRoom {
    boards: Vec<RealBoard>,
    sources: Vec<Source>,
    tiles: Vec<Bounds>,
    kerf: f64,
}

/// The boards of a seed; the same on every machine.
pub fn answering_boards(seed: u32, settings: &AnsweringSettings) -> AnsweringBoards {
    let mut chance = Chance::new(seed ^ 0x7a15_c0de);
    let [length, width] = settings.board;
    let boards: Vec<RealBoard> = (0..settings.boards)
        .map(|k| RealBoard::new(seed.wrapping_mul(31).wrapping_add(k as u32), length, width))
        .collect();
    let sources = sources(settings);
    let tiles: Vec<Bounds> = (0..settings.staves)
        .map(|k| {
            let low = k as f64 * settings.stave[1];
            Bounds::new(
                Point::new(0.0, low),
                Point::new(settings.stave[0], low + settings.stave[1]),
            )
        })
        .collect();
    let size = [
        settings.stave[0],
        settings.staves as f64 * settings.stave[1],
    ];
    let room = BoardRoom {
        boards,
        sources,
        tiles,
        kerf: 4.0,
    };
    let hidden = hidden(&mut chance, settings, &room);
    let maps = (0..room.sources.len())
        .map(|source| {
            let laid: Vec<Laid> = (0..settings.staves)
                .filter(|&tile| hidden[tile].0 == source)
                .map(|tile| Laid::new(room.tiles[tile], hidden[tile].1, size[1]))
                .collect();
            face_map(seed, source, &room, &laid, settings)
        })
        .collect();
    AnsweringBoards {
        maps,
        sources: room.sources.clone(),
        size,
        tiles: room.tiles.clone(),
        hidden,
        room,
    }
}

impl AnsweringBoards {
    /// How far each pair of halves is from how the hidden ones answer each other: in millimetres at the middle of the
    /// lower tile, and in degrees. What counts is which places of the boards answer, not how much of them the
    /// tiles take, nor which pair lies outside. Beyond any number where other sources were taken.
    pub fn off(&self, lies: &[(usize, Pose)]) -> Vec<(f64, f64)> {
        let count = self.tiles.len();
        let of_pair = |k: usize| {
            let tile = self.tiles[k];
            let (one, other) = (lies[k], lies[count - 1 - k]);
            let middle = one
                .1
                .apply(Point::new(0.5 * tile.width(), 0.5 * tile.height()));
            let found = self.relation(k, one, other);
            let truths = (0..count).map(|t| {
                let (a, b) = (self.hidden[t], self.hidden[count - 1 - t]);
                if (a.0, b.0) != (one.0, other.0) {
                    return (f64::INFINITY, f64::INFINITY);
                }
                let truth = self.relation(t, a, b);
                let turn = (found.turn - truth.turn + 180.0).rem_euclid(360.0) - 180.0;
                (
                    found.apply(middle).distance(truth.apply(middle)),
                    turn.abs(),
                )
            });
            truths.fold((f64::INFINITY, f64::INFINITY), |a, b| {
                if b.0 < a.0 { b } else { a }
            })
        };
        (0..count / 2).map(of_pair).collect()
    }

    /// What takes places of the one source to those of the other that answer them, by where two tiles lie.
    fn relation(&self, tile: usize, one: (usize, Pose), other: (usize, Pose)) -> Pose {
        let (low, high) = (
            self.tiles[tile].min,
            self.tiles[self.tiles.len() - 1 - tile].min,
        );
        // Where the second tile's origin is answered from, in the frame of the first.
        let answers = Point::new(high.x - low.x, self.size[1] - high.y - low.y);
        let from = one.1.apply(answers);
        let turned = Pose {
            turn: one.1.turn + other.1.turn,
            turned_over: true,
            ..Pose::IDENTITY
        };
        let to = turned.apply(from);
        turned.moved(Vector::new(other.1.x - to.x, other.1.y - to.y))
    }
}

fn sources(settings: &AnsweringSettings) -> Vec<Source> {
    let [length, width] = settings.board;
    let mut sources = Vec::new();
    for board in 0..settings.boards {
        sources.push(Source {
            map: sources.len(),
            board,
            is_down: false,
            extent: Bounds::of_size(length, width),
        });
        if board + settings.both_faces >= settings.boards {
            sources.push(Source {
                map: sources.len(),
                board,
                is_down: true,
                extent: Bounds::new(Point::new(0.0, -width), Point::new(length, 0.0)),
            });
        }
    }
    sources
}

/// Places for all tiles, apart from each other, halves that answer each other not on one face.
fn hidden(
    chance: &mut Chance,
    settings: &AnsweringSettings,
    room: &BoardRoom,
) -> Vec<(usize, Pose)> {
    for _ in 0..100_000 {
        let mut found: Vec<(usize, Pose)> = Vec::new();
        for tile in 0..settings.staves {
            let source = chance.below(room.sources.len());
            let extent = room.sources[source].extent;
            let tilt = chance.between(-settings.tilt, settings.tilt);
            let turn = if chance.percent(50) { 180.0 } else { 0.0 } + tilt;
            let middle = Point::new(
                chance.between(extent.min.x, extent.max.x),
                chance.between(extent.min.y, extent.max.y),
            );
            let half = Pose::new(0.0, 0.0, turn)
                .apply(Point::new(0.5 * settings.stave[0], 0.5 * settings.stave[1]));
            let pose = Pose::new(middle.x - half.x, middle.y - half.y, turn);
            let answers = settings.staves - 1 - tile;
            let is_free = found.iter().enumerate().all(|(other, &(s, p))| {
                (other != answers || s != source)
                    && room.are_apart((tile, source, pose), (other, s, p))
            });
            if is_free && room.may_lie(tile, source, pose) {
                found.push((source, pose));
            } else {
                break;
            }
        }
        if found.len() == settings.staves {
            return found;
        }
    }
    panic!(
        "boards of {:?} mm have no room for the staves",
        settings.board
    );
}

/// A tile that lies on a face.
struct Laid {
    tile: Bounds,
    pose: Pose,
    /// The face's width.
    across: f64,
}

impl Laid {
    fn new(tile: Bounds, pose: Pose, across: f64) -> Laid {
        Laid { tile, pose, across }
    }

    /// How much a place belongs to it, and which place of the tree is seen there.
    fn seen(&self, place: Point) -> (f64, Point) {
        let inside = self.pose.inverse_apply(place);
        let on_face = Point::new(inside.x + self.tile.min.x, inside.y + self.tile.min.y);
        let beyond = (self.tile.min.x - on_face.x)
            .max(on_face.x - self.tile.max.x)
            .max(self.tile.min.y - on_face.y)
            .max(on_face.y - self.tile.max.y);
        // Beyond the middle line the tree goes on as it is in this tile.
        let of_tree = if self.tile.centre().y <= 0.5 * self.across {
            on_face.y
        } else {
            self.across - on_face.y
        };
        (smooth(1.0 - beyond / 15.0), Point::new(on_face.x, of_tree))
    }
}

/// The map of one face, made of a photograph at true scale as every other map is.
fn face_map(
    seed: u32,
    source: usize,
    room: &BoardRoom,
    laid: &[Laid],
    settings: &AnsweringSettings,
) -> FigureMap {
    let Source { board, is_down, .. } = room.sources[source];
    let up = |p: &Point| Point::new(p.x, if is_down { -p.y } else { p.y });
    let outline = Ring::new(room.boards[board].outline.iter().map(up).collect());
    let photo = photo(seed, source, room, laid, settings);
    let mut mapping = Mapping::new(
        Rc::new(photo),
        &outline.expect("a board has an outline"),
        Cells::default(),
    )
    .expect("the photograph is fine enough");
    while !mapping.step(1000) {}
    mapping.finish().expect("all steps are made")
}

/// What a camera keeps of one face, and of the ground about it.
fn photo(
    seed: u32,
    source: usize,
    room: &BoardRoom,
    laid: &[Laid],
    settings: &AnsweringSettings,
) -> TruePicture {
    let own = Figure::new(seed.wrapping_mul(977).wrapping_add(source as u32 + 1));
    let tree = Figure::new(seed.wrapping_mul(977) ^ 0x00f1_6e00);
    let extent = room.sources[source].extent;
    let noise = Noise::new(seed).other(200 + source as u32);
    let darkest = [noise.of_cell(1, 1), noise.of_cell(2, 1)];
    let columns = (extent.width() / PIXEL).ceil() as u32;
    let rows = (extent.height() / PIXEL).ceil() as u32;
    let mut rgb = Vec::with_capacity((3 * columns * rows) as usize);
    for row in (0..rows).rev() {
        for column in 0..columns {
            let place = Point::new(
                extent.min.x + PIXEL * (f64::from(column) + 0.5),
                extent.min.y + PIXEL * (f64::from(row) + 0.5),
            );
            if !room.is_wood(source, place, 0.0) {
                rgb.extend(GROUND);
                continue;
            }
            let mut light = own.light(place);
            for laid in laid {
                let (share, of_tree) = laid.seen(place);
                if share > 0.0 {
                    light = blend(light, tree.light(of_tree), (1.0 - settings.other) * share);
                }
            }
            let away = [
                (place.x - extent.min.x) / extent.width() - darkest[0],
                (place.y - extent.min.y) / extent.height() - darkest[1],
            ];
            light *= 1.0
                - settings.fall_off
                    * (1.0 - (away[0] * away[0] + 0.3 * away[1] * away[1])).max(0.0);
            let noise = settings.noise * noise.bell(column, row, 0);
            rgb.extend(WOOD.map(|w| (w * light + noise).clamp(0.0, 255.0).round() as u8));
        }
    }
    TruePicture {
        picture: Picture {
            width: columns,
            height: rows,
            rgb,
        },
        pixel: PIXEL,
        origin: [extent.min.x, extent.min.y],
    }
}

/// Side of a pixel in millimetres: the coarsest of which maps are made.
const PIXEL: f64 = 2.0;

/// Wood of middle lightness, and what it lies on.
const WOOD: [f64; 3] = [178.0, 142.0, 104.0];
const GROUND: [u8; 3] = [96, 98, 102];

/// A figure on an endless plane: bands of all widths along a bent grain, rings, and knots.
struct Figure {
    noise: Noise,
    slope: f64,
    wave: [f64; 3],
}

impl Figure {
    fn new(seed: u32) -> Figure {
        let mut chance = Chance::new(seed ^ 0x0f19_0e5e);
        Figure {
            noise: Noise::new(seed).other(300),
            slope: chance.between(-0.05, 0.05),
            wave: [
                chance.between(0.0, 12.0),
                chance.between(600.0, 1600.0),
                chance.between(0.0, TAU),
            ],
        }
    }

    /// How light it is at a place; about 1.
    fn light(&self, place: Point) -> f64 {
        let Point { x, y } = place;
        let [height, length, phase] = self.wave;
        let mut stream = y - self.slope * x - height * math::sin(TAU * x / length + phase);
        let mut dark = 0.0_f64;
        let (column, row) = ((x / 400.0).floor() as i32, (y / 130.0).floor() as i32);
        for c in column - 1..=column + 1 {
            for r in row - 1..=row + 1 {
                let of = |k: u32| self.noise.other(k).of_cell(c, r);
                if of(1) > 0.25 {
                    continue;
                }
                let half = 5.0 + 12.0 * of(2);
                let u = (x - 400.0 * (f64::from(c) + of(3))) / (1.4 * half);
                let v = (y - 130.0 * (f64::from(r) + of(4))) / half;
                let squared = u * u + v * v;
                stream -= half * v / squared.max(1.0) * smooth(2.0 - 0.2 * squared);
                dark = dark.max(smooth(1.5 - squared));
            }
        }
        let mut light = 1.0;
        for (k, strength) in [0.04, 0.05, 0.06, 0.06, 0.04].into_iter().enumerate() {
            let wide = 8.0 * f64::from(1_u32 << k);
            light += strength
                * self
                    .noise
                    .other(10 + k as u32)
                    .at(x / (12.0 * wide), stream / wide);
        }
        let ring = stream / 5.0 + 1.5 * self.noise.other(20).at(x / 900.0, stream / 30.0);
        let late = ring - ring.floor();
        (light - 0.1 * late * late * late) * (1.0 - 0.5 * dark)
    }
}

impl BoardRoom {
    fn is_wood(&self, source: usize, place: Point, inside: f64) -> bool {
        let Source { board, is_down, .. } = self.sources[source];
        let y = if is_down { -place.y } else { place.y };
        let beside = [
            (0.0, 0.0),
            (-inside, 0.0),
            (inside, 0.0),
            (0.0, -inside),
            (0.0, inside),
        ];
        beside
            .iter()
            .all(|d| self.boards[board].is_wood(Point::new(place.x + d.0, y + d.1)))
    }

    /// The corners of a tile in the board's own frame.
    fn corners(&self, (tile, source, at): (usize, usize, Pose)) -> [Point; 4] {
        let tile = self.tiles[tile];
        let is_down = self.sources[source].is_down;
        Bounds::of_size(tile.width(), tile.height())
            .corners()
            .map(|c| {
                let place = at.apply(c);
                Point::new(place.x, if is_down { -place.y } else { place.y })
            })
    }
}

impl Room for BoardRoom {
    fn may_lie(&self, tile: usize, source: usize, at: Pose) -> bool {
        let tilt = (at.turn + 90.0).rem_euclid(180.0) - 90.0;
        let bounds = self.tiles[tile];
        let (length, width) = (bounds.width(), bounds.height());
        let steps = (length / 40.0).ceil();
        !at.turned_over
            && tilt.abs() <= 3.0 + 1e-9
            && (0..=steps as usize).all(|k| {
                let x = length * k as f64 / steps;
                [0.0, width]
                    .iter()
                    .all(|&y| self.is_wood(source, at.apply(Point::new(x, y)), 3.0))
            })
    }

    fn are_apart(&self, one: (usize, usize, Pose), other: (usize, usize, Pose)) -> bool {
        if self.sources[one.1].board != self.sources[other.1].board {
            return true;
        }
        let (a, b) = (self.corners(one), self.corners(other));
        let sides = |c: &[Point; 4]| {
            let c = *c;
            (0..4).map(move |k| {
                let side = c[(k + 1) % 4] - c[k];
                let long = (side.x * side.x + side.y * side.y).sqrt();
                Vector::new(-side.y / long, side.x / long)
            })
        };
        sides(&a).chain(sides(&b)).any(|n| {
            let along = |c: &[Point; 4]| c.map(|p| p.x * n.x + p.y * n.y);
            let low = along(&b).into_iter().fold(f64::INFINITY, f64::min);
            let high = along(&a).into_iter().fold(f64::NEG_INFINITY, f64::max);
            low - high >= self.kerf
        })
    }
}
