//! Which tiles of a face answer each other, and where the one lies by where the other does.

use heartside_geometry::{Bounds, Point, Pose, Vector};

use super::shade::{Raster, Shade, alike};
use crate::balance::Answer;

/// Two tiles of which a part is to look alike: mirrored about the middle of the face, or along a joint.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Halves {
    pub(super) one: usize,
    pub(super) other: usize,
    /// The part of the first, in its own frame.
    pub(super) part: Bounds,
    /// A place (x, y) of the first answers (x, `across` - y) of the second if mirrored, else (x, y + `across`),
    /// plus `along` in x, each in its own frame.
    across: f64,
    along: f64,
    pub(super) mirrored: bool,
}

/// How a place of one source answers one of another: turned by `turn` degrees after it was mirrored (y to -y), if
/// it is, and moved.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Relation {
    pub(super) turn: f64,
    pub(super) mirrored: bool,
    pub(super) by: Vector,
}

impl Relation {
    /// That which brings one place to another.
    pub(super) fn between(from: Point, to: Point, turn: f64, mirrored: bool) -> Relation {
        let relation = Relation {
            turn,
            mirrored,
            by: Vector::new(0.0, 0.0),
        };
        let there = relation.pose().apply(from);
        Relation {
            by: to - there,
            ..relation
        }
    }

    pub(super) fn pose(&self) -> Pose {
        Pose {
            x: self.by.x,
            y: self.by.y,
            turn: self.turn,
            turned_over: self.mirrored,
        }
    }

    pub(super) fn apply(&self, place: Point) -> Point {
        self.pose().apply(place)
    }
}

impl Halves {
    /// The halves of a face. A tile that lies across the middle line answers none.
    pub(super) fn of(tiles: &[Bounds], size: [f64; 2], answer: Answer) -> Vec<Halves> {
        match answer {
            Answer::Any => Vec::new(),
            Answer::Mirror => mirrored(tiles, size[1]),
            Answer::RunOn => joints(tiles),
        }
    }

    /// Whether what is found for the one pair serves the other too.
    pub(super) fn is_like(&self, other: &Halves) -> bool {
        let near = |a: f64, b: f64| (a - b).abs() < 0.5;
        self.mirrored == other.mirrored
            && near(self.across, other.across)
            && near(self.along, other.along)
            && near(self.part.min.distance(other.part.min), 0.0)
            && near(self.part.max.distance(other.part.max), 0.0)
    }

    /// Which place of the second answers one of the first.
    fn answering(&self, place: Point) -> Point {
        let y = if self.mirrored {
            self.across - place.y
        } else {
            place.y + self.across
        };
        Point::new(place.x + self.along, y)
    }

    /// Where the second lies if the first lies at `one` and their sources answer by a relation.
    pub(super) fn other_at(&self, one: Pose, by: Relation) -> Pose {
        // Where the second's origin is answered from.
        let y = if self.mirrored {
            self.across
        } else {
            -self.across
        };
        let origin = by.apply(one.apply(Point::new(-self.along, y)));
        let turn = if self.mirrored {
            by.turn - one.turn
        } else {
            by.turn + one.turn
        };
        Pose::new(origin.x, origin.y, turn)
    }

    /// By which relation the sources answer where both lie so.
    pub(super) fn relation(&self, one: Pose, other: Pose) -> Relation {
        let turn = if self.mirrored {
            one.turn + other.turn
        } else {
            other.turn - one.turn
        };
        let middle = self.part.centre();
        let (from, to) = (one.apply(middle), other.apply(self.answering(middle)));
        Relation::between(from, to, turn, self.mirrored)
    }

    /// How alike they look where they lie so, read about every `apart` millimetres along and across; and which
    /// share of it was seen of both.
    pub(super) fn alike(
        &self,
        one: (&Shade, Pose),
        other: (&Shade, Pose),
        apart: [f64; 2],
    ) -> (f64, f64) {
        let ([first, second], [columns, rows]) = self.rasters(one.1, other.1, apart);
        alike((one.0, first), (other.0, second), columns, rows)
    }

    /// Where the part is read on both sources, and at how many places along and across.
    pub(super) fn rasters(
        &self,
        one: Pose,
        other: Pose,
        apart: [f64; 2],
    ) -> ([Raster; 2], [usize; 2]) {
        let count = |long: f64, apart: f64| ((long / apart).round() as usize).clamp(2, 4096);
        let columns = count(self.part.width(), apart[0]);
        let rows = count(self.part.height(), apart[1]);
        let step = [
            self.part.width() / columns as f64,
            self.part.height() / rows as f64,
        ];
        let first = Point::new(
            self.part.min.x + 0.5 * step[0],
            self.part.min.y + 0.5 * step[1],
        );
        let up = if self.mirrored { -step[1] } else { step[1] };
        let raster = |pose: Pose, from: Point, up: f64| Raster {
            from: pose.apply(from),
            along: pose.apply_vector(Vector::new(step[0], 0.0)),
            across: pose.apply_vector(Vector::new(0.0, up)),
        };
        let rasters = [
            raster(one, first, step[1]),
            raster(other, self.answering(first), up),
        ];
        (rasters, [columns, rows])
    }
}

/// Each tile of the lower half with the one whose mirror image it shares the most with.
fn mirrored(tiles: &[Bounds], across: f64) -> Vec<Halves> {
    let mut halves = Vec::new();
    let mut taken = vec![false; tiles.len()];
    for (one, tile) in tiles.iter().enumerate() {
        if tile.centre().y >= 0.5 * across - 1.0 {
            continue;
        }
        let common = |other: &Bounds| {
            let image = Bounds::new(
                Point::new(other.min.x, across - other.max.y),
                Point::new(other.max.x, across - other.min.y),
            );
            tile.intersection(image)
        };
        let mut best: Option<(usize, Bounds)> = None;
        for (other, bounds) in tiles.iter().enumerate() {
            if other == one || taken[other] {
                continue;
            }
            let Some(part) = common(bounds) else { continue };
            let least = best.map_or(0.25 * tile.area().min(bounds.area()), |(_, b)| b.area());
            if part.area() > least {
                best = Some((other, part));
            }
        }
        if let Some((other, part)) = best {
            taken[other] = true;
            let to = tiles[other].min;
            halves.push(Halves {
                one,
                other,
                part: part.translated(Vector::new(-tile.min.x, -tile.min.y)),
                across: across - tile.min.y - to.y,
                along: tile.min.x - to.x,
                mirrored: true,
            });
        }
    }
    halves
}

/// How wide the strip beside a joint is that is compared, in millimetres: narrower it holds too little figure, wider
/// it asks for a figure that stands still.
const STRIP: f64 = 30.0;

/// Tiles that meet along a joint with the grain.
fn joints(tiles: &[Bounds]) -> Vec<Halves> {
    let mut joints = Vec::new();
    for (one, low) in tiles.iter().enumerate() {
        for (other, high) in tiles.iter().enumerate() {
            let (from, to) = (low.min.x.max(high.min.x), low.max.x.min(high.max.x));
            let strip = STRIP.min(0.5 * low.height()).min(0.5 * high.height());
            if one == other || (low.max.y - high.min.y).abs() > 1.0 || to - from < strip {
                continue;
            }
            let along = low.min.x - high.min.x;
            joints.push(Halves {
                one,
                other,
                part: Bounds::new(
                    Point::new(from - low.min.x, low.height() - strip),
                    Point::new(to - low.min.x, low.height()),
                ),
                across: strip - low.height(),
                along,
                mirrored: false,
            });
        }
    }
    joints
}
