//! Flaws of a photographed board.

use core::f64::consts::{PI, TAU};

use heartside_geometry::{Point, math};

use super::noise::Noise;

/// What a flaw of a photographed board is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum FlawKind {
    /// A knot, round or oval.
    Knot,
    /// A split that runs in from an end, along the grain.
    Split,
    /// Bark on the waney edge.
    Bark,
    /// Paler wood along an edge.
    Sapwood,
}

/// A flaw where it is.
#[derive(Debug, Clone, PartialEq)]
pub struct TrueFlaw {
    /// What it is.
    pub kind: FlawKind,
    /// Its outline, counter-clockwise, in millimetres of the board's frame.
    pub outline: Vec<Point>,
}

#[derive(Debug, Clone, Copy)]
pub(super) struct Knot {
    pub(super) centre: Point,
    /// Half its extent along the board, and across.
    pub(super) half: [f64; 2],
}

impl Knot {
    /// How far out a place lies: 1 on the knot's outline.
    pub(super) fn out(&self, place: Point) -> f64 {
        let (x, y) = self.scaled(place);
        (x * x + y * y).sqrt()
    }

    pub(super) fn scaled(&self, place: Point) -> (f64, f64) {
        let x = (place.x - self.centre.x) / self.half[0];
        (x, (place.y - self.centre.y) / self.half[1])
    }

    pub(super) fn outline(&self) -> Vec<Point> {
        let corner = |k: u32| {
            let angle = TAU * f64::from(k) / 32.0;
            let (x, y) = (
                math::cos(angle) * self.half[0],
                math::sin(angle) * self.half[1],
            );
            Point::new(self.centre.x + x, self.centre.y + y)
        };
        (0..32).map(corner).collect()
    }
}

#[derive(Debug, Clone)]
pub(super) struct Split {
    /// Where its middle runs, from the end inwards.
    pub(super) line: Vec<Point>,
    /// How wide it is at the end; it comes to a point.
    pub(super) width: f64,
}

#[derive(Debug, Clone, Copy)]
pub(super) struct Bark {
    pub(super) upper: bool,
    pub(super) from: f64,
    pub(super) to: f64,
    pub(super) depth: f64,
}

#[derive(Debug, Clone, Copy)]
pub(super) struct Sapwood {
    pub(super) upper: bool,
    /// How deep it is, and how much that wanders.
    pub(super) depth: f64,
    pub(super) wander: f64,
}

impl Split {
    /// Half as wide as it is, by the share of its length from the end.
    fn half_at(&self, share: f64) -> f64 {
        0.5 * self.width * (1.0 - share)
    }

    pub(super) fn contains(&self, place: Point) -> bool {
        let last = (self.line.len() - 1) as f64;
        self.line.windows(2).enumerate().any(|(k, ends)| {
            let distance = place.distance_to_segment(ends[0], ends[1]);
            distance <= self.half_at((k as f64 + 0.5) / last)
        })
    }

    pub(super) fn outline(&self) -> Vec<Point> {
        let last = (self.line.len() - 1) as f64;
        let beside = |side: f64| {
            let moved = self
                .line
                .iter()
                .enumerate()
                .map(move |(k, p)| Point::new(p.x, p.y + side * self.half_at(k as f64 / last)));
            moved.collect::<Vec<Point>>()
        };
        // From the end at the left its line runs to the right, from the other end to the left.
        let to_right = self
            .line
            .first()
            .zip(self.line.last())
            .is_some_and(|(a, b)| a.x < b.x);
        let (mut first, second) = if to_right {
            (beside(-1.0), beside(1.0))
        } else {
            (beside(1.0), beside(-1.0))
        };
        first.extend(second.into_iter().rev().skip(1));
        first
    }
}

impl Bark {
    /// How deep it is at a place along the board; it thins out towards both of its ends.
    pub(super) fn depth_at(&self, x: f64) -> f64 {
        let share = ((x - self.from) / (self.to - self.from)).clamp(0.0, 1.0);
        self.depth * math::sin(PI * share).sqrt()
    }
}

impl Sapwood {
    /// How deep it is at a place along the board.
    pub(super) fn depth_at(&self, noise: Noise, x: f64) -> f64 {
        self.depth + self.wander * noise.other(17).at(x / 260.0, 0.5)
    }
}
