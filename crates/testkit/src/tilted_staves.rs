//! Jobs in which a proposal for a balanced top has tilted staves on their boards, so that a rip follows the figure.

use heartside_geometry::{Bounds, Point, Pose};
use heartside_timber::document::{
    Board, BoardOutline, Document, EdgeKind, Length, Part, PartCopy, PartGrain, Pin, Price, Shape,
    Station, ZoneKind,
};
use heartside_timber::plan::{Frame, Layout, Placed, Placement, Way};

use crate::chance::{Chance, round};
use crate::timberyard::{clear_size, empty_job, letter, mm, plain, spot};
use crate::workshop::{Outfit, tools};

/// Allowances of an empty job: at ends, at edges.
const ALLOWANCE: (f64, f64) = (8.0, 2.0);
/// Trim of the generated workshops, with a hair to spare.
const TRIM: (f64, f64) = (12.1, 4.1);
/// Beyond their kerf blanks lie at least so far apart, in mm: places are rounded to a micrometre.
const HAIR: f64 = 0.01;

/// What staves are tilted in a generated job.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TiltedStaves {
    /// How far each may be tilted, in degrees.
    pub most: f64,
    /// Kerf of every straight cut, in place of one between 1 and 4 mm.
    pub kerf: Option<f64>,
    /// How many other parts are wanted, of some kinds.
    pub others: usize,
}

impl Default for TiltedStaves {
    fn default() -> TiltedStaves {
        TiltedStaves {
            most: 3.0,
            kerf: None,
            others: 4,
        }
    }
}

/// A job of one to three waney boards with two to six staves pinned to them, each tilted by its own
/// small angle, in a workshop of any kind; nothing else is placed yet.
///
/// Between staves side by side there is a line at some angle between theirs with room for the kerf, and
/// one across between those in a row.
pub fn tilted_staves(seed: u32, wanted: TiltedStaves) -> Document {
    let mut chance = Chance::new(seed ^ 0x7117_ed00);
    let mut document = empty_job(format!("Tilted staves {seed}"));
    let own_kerf = round(chance.between(1.0, 4.0), 10.0);
    let kerf = wanted.kerf.unwrap_or(own_kerf);
    if !seed.is_multiple_of(3) {
        document.workshop.tools = tools(seed, Outfit::Sensible);
    }
    for tool in &mut document.workshop.tools {
        tool.kerf = mm(kerf);
    }
    let count = 2 + chance.below(5);
    let boards = (1 + chance.below(3)).min(count);
    let length = chance.length(320.0, 620.0);
    for index in 0..boards {
        let board = waney(&mut chance, index);
        let least = count * index / boards;
        let most = count * (index + 1) / boards;
        let mut laying = Laying::on(&board, (wanted.most, own_kerf), length);
        for stave in least..most {
            laying.lay(&mut chance, &mut document, stave + 1);
        }
        let board = with_marks(&mut chance, board, &laying.boxes);
        document.boards.push(board);
    }
    for kind in 0..wanted.others {
        let (length, width) = (chance.length(90.0, 420.0), chance.length(30.0, 110.0));
        let copies = 1 + chance.below(3);
        let part = rectangle(format!("other{}", kind + 1), (length, width), 3.0);
        document.parts.push(Part {
            count: Some(copies as f64),
            ..part
        });
    }
    document
}

/// The layouts of all that is pinned in a document, without cuts, boards in order.
pub fn pinned_layouts(document: &Document) -> Vec<Layout> {
    let on = |board: &Board| {
        let pins = document.pins.iter().filter(|pin| pin.board == board.id);
        let placements: Vec<Placement> = pins
            .map(|pin| Placement {
                part: pin.part.part.clone(),
                copy: pin.part.copy,
                at: pin.at,
                ..Placement::default()
            })
            .collect();
        Layout {
            board: heartside_timber::document::BoardCopy {
                board: board.id.clone(),
                copy: 1,
            },
            way: Way::Straight,
            frame: Frame::default(),
            placements,
            cuts: None,
        }
    };
    let all = document.boards.iter().map(on);
    all.filter(|layout| !layout.placements.is_empty()).collect()
}

/// The same job with every board and what is pinned to it seen from the other side of its middle line.
pub fn mirrored(document: &Document) -> Document {
    let mut mirrored = document.clone();
    for board in &mut mirrored.boards {
        if let Some(BoardOutline::Tape {
            stations,
            left,
            right,
            ..
        }) = &mut board.outline
        {
            std::mem::swap(left, right);
            for station in stations {
                std::mem::swap(&mut station.left, &mut station.right);
            }
        }
        for zone in &mut board.zones {
            if let Some(heartside_timber::document::ZoneShape::Spot { across, .. }) =
                &mut zone.shape
            {
                *across = Length::Mm(-plain(across));
            }
        }
    }
    for pin in &mut mirrored.pins {
        let parts = document.parts.iter().find(|p| p.id == pin.part.part);
        let Some(Shape::Rectangle { width, .. }) = parts.and_then(|p| p.shape.as_ref()) else {
            continue;
        };
        let corner = Pose::from(pin.at).apply(Point::new(0.0, plain(width)));
        pin.at = Placed {
            x: corner.x,
            y: -corner.y,
            turn: -pin.at.turn,
            turned_over: false,
        };
    }
    mirrored
}

/// Staves laid on one board, in rows across it.
struct Laying {
    board: String,
    most: f64,
    kerf: f64,
    length: f64,
    room: Bounds,
    /// Where the row begins, and the corners of the stave laid last in it.
    row: f64,
    last: Option<(f64, Vec<Point>)>,
    boxes: Vec<Bounds>,
}

impl Laying {
    fn on(board: &Board, (most, kerf): (f64, f64), length: f64) -> Laying {
        let (along, left, right) = clear_size(board);
        let room = Bounds::new(
            Point::new(TRIM.0, TRIM.1 - right),
            Point::new(along - TRIM.0, left - TRIM.1),
        );
        Laying {
            board: board.id.clone(),
            most,
            kerf,
            length,
            room,
            row: room.min.x,
            last: None,
            boxes: Vec::new(),
        }
    }

    /// Lays one more stave beside the last one, or in a new row; none where there is no room.
    fn lay(&mut self, chance: &mut Chance, document: &mut Document, number: usize) {
        let width = chance.length(45.0, 95.0);
        let tilt = match self.most > 0.0 {
            true => round(chance.between(-self.most, self.most), 100.0),
            false => 0.0,
        };
        let beyond = chance.between(0.0, 12.0);
        let between = chance.between(0.0, 1.0);
        let spare = self.kerf + HAIR + if beyond < 4.0 { 0.0 } else { beyond };
        let blank = (self.length + 2.0 * ALLOWANCE.0, width + 2.0 * ALLOWANCE.1);
        for new_row in [false, true] {
            if new_row {
                let ends = self.boxes.iter().map(|b| b.max.x);
                self.row = ends.fold(self.room.min.x, f64::max) + spare;
                self.last = None;
            }
            let flat = turned_box(blank, Point::new(0.0, 0.0), tilt);
            let x = self.row - least(&flat, |p| p.x);
            let y = match &self.last {
                None => self.room.min.y - least(&flat, |p| p.y),
                // Above the last one, parted by a line at some angle between both.
                Some((angle, corners)) => {
                    let line = angle + between * (tilt - angle);
                    let square = Pose {
                        turn: line,
                        ..Pose::IDENTITY
                    };
                    let height = |p: &Point| square.inverse_apply(*p).y;
                    let top = corners.iter().map(height).fold(f64::NEG_INFINITY, f64::max);
                    let here = turned_box(blank, Point::new(x, 0.0), tilt);
                    let low = here.iter().map(height).fold(f64::INFINITY, f64::min);
                    let up = square.apply(Point::new(0.0, 1.0)).y;
                    (top + spare - low) / up
                }
            };
            let corners = turned_box(blank, Point::new(x, y), tilt);
            let Some(bounds) = Bounds::of_points(corners.iter().copied()) else {
                return;
            };
            let room = self.room;
            let fits = bounds.min.y >= room.min.y - 1e-6
                && bounds.max.y <= room.max.y
                && bounds.max.x <= room.max.x
                && bounds.min.x >= room.min.x - 1e-6;
            if !fits {
                continue;
            }
            let id = format!("stave{number}");
            let pose = Pose {
                x,
                y,
                turn: tilt,
                turned_over: false,
            };
            let origin = pose.apply(Point::new(ALLOWANCE.0, ALLOWANCE.1));
            document
                .parts
                .push(rectangle(id.clone(), (self.length, width), 5.0));
            document.pins.push(Pin {
                part: PartCopy { part: id, copy: 1 },
                board: self.board.clone(),
                board_copy: 1,
                at: Placed {
                    x: round(origin.x, 1000.0),
                    y: round(origin.y, 1000.0),
                    turn: tilt,
                    turned_over: false,
                },
            });
            self.boxes.push(bounds);
            self.last = Some((tilt, corners));
            return;
        }
    }
}

fn least(points: &[Point], value: fn(&Point) -> f64) -> f64 {
    points.iter().map(value).fold(f64::INFINITY, f64::min)
}

/// The corners of a blank whose low corner lies at a point, turned about it.
fn turned_box((length, width): (f64, f64), corner: Point, turn: f64) -> Vec<Point> {
    let pose = Pose {
        x: corner.x,
        y: corner.y,
        turn,
        turned_over: false,
    };
    let flat = [(0.0, 0.0), (length, 0.0), (length, width), (0.0, width)];
    flat.map(|(x, y)| pose.apply(Point::new(x, y))).to_vec()
}

fn rectangle(id: String, (length, width): (f64, f64), tolerance: f64) -> Part {
    Part {
        name: format!("Part {id}"),
        id,
        shape: Some(Shape::Rectangle {
            length: Length::Mm(length),
            width: Length::Mm(width),
        }),
        thickness: mm(17.0),
        grain: PartGrain {
            tolerance: Some(tolerance),
            ..PartGrain::default()
        },
        ..Part::default()
    }
}

/// A wide board whose sides wander, raw but for one in five.
fn waney(chance: &mut Chance, index: usize) -> Board {
    let length = chance.length(1500.0, 2600.0);
    let half = chance.length(110.0, 180.0);
    let count = 4 + chance.below(4);
    let straight = chance.percent(20);
    let stations = (0..count).map(|k| {
        let mut side = || match straight {
            true => Length::Mm(half),
            false => Length::Mm(half + chance.length(-12.0, 12.0)),
        };
        Station {
            at: Length::Mm(round(length * k as f64 / (count - 1) as f64, 2.0)),
            left: side(),
            right: side(),
        }
    });
    let stations = stations.collect();
    let edge = match straight {
        true => EdgeKind::Straight,
        false => EdgeKind::Raw,
    };
    Board {
        id: letter(index),
        name: format!("Board {}", letter(index)),
        species: "ash".into(),
        outline: Some(BoardOutline::Tape {
            length: Length::Mm(length),
            stations,
            left: edge,
            right: edge,
            start: EdgeKind::Raw,
            end: EdgeKind::Raw,
        }),
        thickness: mm(33.0),
        price: Some(Price {
            amount: chance.length(20.0, 60.0),
            per: Default::default(),
        }),
        ..Board::default()
    }
}

/// The board with some knots, and now and then a screw, away from what lies on it.
fn with_marks(chance: &mut Chance, mut board: Board, taken: &[Bounds]) -> Board {
    let (length, left, right) = clear_size(&board);
    for mark in 0..3 + chance.below(4) {
        let at = Point::new(
            chance.length(60.0, length - 60.0),
            chance.length(20.0 - right, left - 20.0),
        );
        let size = (chance.length(15.0, 50.0), chance.length(10.0, 30.0));
        let is_screw = mark == 0 && chance.percent(25);
        let around = Bounds::new(at, at).grown(0.5 * size.0.max(size.1) + 16.0);
        if taken.iter().any(|t| t.intersection(around).is_some()) {
            continue;
        }
        let zone = spot(at.x, at.y, size.0, size.1, !is_screw);
        board.zones.push(heartside_timber::document::Zone {
            kind: match is_screw {
                true => ZoneKind::Fixing,
                false => ZoneKind::Defect,
            },
            ..zone
        });
    }
    board
}
