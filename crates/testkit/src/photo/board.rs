//! A board of which everything is known: outline, flaws, grain and colour at every place.
//!
//! The grain is the flow of a stream round the knots (the flow-grain analogy: Goodman & Bodig 1978): its
//! lines are the places where the stream function, [`RealBoard::stream`], has one value, and the
//! figure is drawn in terms of it. So the picture shows exactly the grain that is told.

use core::f64::consts::TAU;

use heartside_geometry::{Point, math};

use super::flaws::{Bark, FlawKind, Knot, Sapwood, Split, TrueFlaw};
use super::noise::{Noise, blend, blended, lit, smooth};
use crate::Chance;

/// A board with all that is true of it. Its frame has x along it, from 0 to `length`, and y across, from
/// 0 to `width` at most.
#[derive(Debug, Clone)]
pub struct RealBoard {
    /// Along the board, in millimetres.
    pub length: f64,
    /// Across it, in millimetres; where an edge is waney it is narrower in places.
    pub width: f64,
    /// The outline, counter-clockwise.
    pub outline: Vec<Point>,
    /// Knots, splits, bark and sapwood.
    pub flaws: Vec<TrueFlaw>,
    noise: Noise,
    wood: Wood,
    /// How far the lower and the upper edge lie from 0 and from the width, every [`STATION`].
    edges: [Vec<f64>; 2],
    /// How much farther in the ends lie at the upper edge than at the lower one, each.
    ends: [f64; 2],
    grain: Grain,
    knots: Vec<Knot>,
    splits: Vec<Split>,
    bark: Vec<Bark>,
    sapwood: Option<Sapwood>,
}

/// Between two of the places where an edge is known, in millimetres.
const STATION: f64 = 20.0;

/// Heartwood, sapwood, and how strong the rings are.
#[derive(Debug, Clone, Copy)]
struct Wood {
    heart: [f64; 3],
    sap: [f64; 3],
    rings: f64,
    ring_width: f64,
}

const WOODS: [Wood; 5] = [
    // Pale with clear rings; reddish; dark; brownish; yellow with strong rings.
    Wood {
        heart: [206.0, 178.0, 138.0],
        sap: [226.0, 206.0, 172.0],
        rings: 0.16,
        ring_width: 5.0,
    },
    Wood {
        heart: [172.0, 112.0, 76.0],
        sap: [214.0, 180.0, 140.0],
        rings: 0.1,
        ring_width: 4.0,
    },
    Wood {
        heart: [104.0, 74.0, 54.0],
        sap: [178.0, 150.0, 116.0],
        rings: 0.16,
        ring_width: 5.5,
    },
    Wood {
        heart: [168.0, 132.0, 92.0],
        sap: [206.0, 178.0, 138.0],
        rings: 0.14,
        ring_width: 4.5,
    },
    Wood {
        heart: [206.0, 160.0, 98.0],
        sap: [226.0, 198.0, 148.0],
        rings: 0.22,
        ring_width: 7.0,
    },
];

/// How the grain runs where no knot turns it.
#[derive(Debug, Clone, Copy)]
struct Grain {
    slope: f64,
    /// Height and length of a slow wave.
    wave: [f64; 2],
    phase: f64,
}

impl RealBoard {
    /// The board of a seed.
    pub fn new(seed: u32, length: f64, width: f64) -> RealBoard {
        let mut chance = Chance::new(seed ^ 0x0b0a_12d5);
        let chance = &mut chance;
        let noise = Noise::new(seed);
        let waney = [chance.percent(30), chance.percent(55)];
        let edges = [0, 1].map(|side| edge(noise.other(side), waney[side as usize], length, width));
        let end = |chance: &mut Chance| chance.between(-0.012, 0.012) * width;
        let mut board = RealBoard {
            length,
            width,
            outline: Vec::new(),
            flaws: Vec::new(),
            noise,
            wood: *chance.one_of(&WOODS),
            edges,
            ends: [end(chance), end(chance)],
            grain: Grain {
                slope: chance.between(-0.06, 0.06),
                wave: [
                    chance.between(0.0, 0.035) * width,
                    chance.between(700.0, 1800.0),
                ],
                phase: chance.between(0.0, TAU),
            },
            knots: Vec::new(),
            splits: Vec::new(),
            bark: Vec::new(),
            sapwood: None,
        };
        board.outline = board.traced();
        board.grow_knots(chance);
        board.split(chance);
        for (upper, waney) in [(false, waney[0]), (true, waney[1])] {
            if waney {
                board.leave_bark(upper, chance);
            }
        }
        if chance.percent(50) {
            // A tree's sapwood is on its outside: at the waney edge if there is one.
            let upper = waney[1] || (!waney[0] && chance.percent(50));
            let depth = chance.between(0.1, 0.28) * width;
            let wander = chance.between(0.02, 0.2) * depth;
            board.sapwood = Some(Sapwood {
                upper,
                depth,
                wander,
            });
        }
        board.flaws = board.told_flaws();
        board
    }

    /// The direction of the grain at a place, in degrees from the board's length, above -90 and at most 90.
    /// Within a knot it means nothing.
    pub fn grain_at(&self, place: Point) -> f64 {
        let Point { x, y } = place;
        let step = 0.25;
        let along = self.stream(x + step, y) - self.stream(x - step, y);
        let across = self.stream(x, y + step) - self.stream(x, y - step);
        // Along a line of the stream function it does not change.
        let angle = math::atan2_deg(-along, across);
        if angle > 90.0 {
            angle - 180.0
        } else if angle <= -90.0 {
            angle + 180.0
        } else {
            angle
        }
    }

    /// Whether a place is sapwood, knots and bark left aside.
    pub fn is_sapwood(&self, place: Point) -> bool {
        self.sapwood
            .as_ref()
            .is_some_and(|s| s.depth_at(self.noise, place.x) > self.inside_edge(s.upper, place))
    }

    /// Its colour at a place, red, green, blue from 0 to 255; none beyond the outline.
    pub(super) fn colour(&self, place: Point) -> Option<[f64; 3]> {
        if !self.is_wood(place) {
            return None;
        }
        let Point { x, y } = place;
        let stream = self.stream(x, y);
        // Rings of uneven width, the late wood a thin dark line.
        let uneven = 1.5
            * self
                .noise
                .other(11)
                .at(stream / (6.0 * self.wood.ring_width), 0.5);
        let ring = stream / self.wood.ring_width + uneven;
        let late = ring - ring.floor();
        let ring = late * late * late;
        let fibre = self.noise.other(12).at(x / 45.0, stream / 0.9);
        let pore = smooth(4.0 * (self.noise.other(13).at(x / 14.0, stream / 0.7) - 0.55));
        let cloud = self.noise.other(14).detailed(x / 350.0, y / 90.0, 2);
        let light = 1.0 - self.wood.rings * ring + 0.06 * fibre - 0.16 * pore + 0.1 * cloud;
        let mut colour = lit(self.wood.heart, light);
        if let Some(sapwood) = &self.sapwood {
            // The change takes a few millimetres.
            let within = sapwood.depth_at(self.noise, x) - self.inside_edge(sapwood.upper, place);
            colour = blended(
                colour,
                lit(self.wood.sap, light),
                smooth(0.5 + within / 5.0),
            );
        }
        for knot in &self.knots {
            colour = self.knotted(colour, knot, place);
        }
        for bark in &self.bark {
            if self.is_bark(bark, place) {
                let rough = self.noise.other(15).detailed(x / 9.0, y / 5.0, 3);
                colour = lit([74.0, 58.0, 46.0], 1.0 + 0.7 * rough);
            }
        }
        if self.splits.iter().any(|s| s.contains(place)) {
            colour = [26.0, 20.0, 16.0];
        }
        Some(colour)
    }

    /// Whether a place is on the board.
    pub(super) fn is_wood(&self, place: Point) -> bool {
        let [start, end] = self.ends_at(place.y);
        (start..=end).contains(&place.x)
            && self.inside_edge(false, place) >= 0.0
            && self.inside_edge(true, place) >= 0.0
    }

    /// Where the ends lie at a height.
    fn ends_at(&self, y: f64) -> [f64; 2] {
        let up = y / self.width;
        // Square at the corner that reaches farthest, so that the board is as long as it is said to be.
        let of = |slope: f64| {
            if slope >= 0.0 {
                slope * up
            } else {
                -slope * (1.0 - up)
            }
        };
        [of(self.ends[0]), self.length - of(self.ends[1])]
    }

    /// How far a place lies inside an edge, across the board.
    fn inside_edge(&self, upper: bool, place: Point) -> f64 {
        let edge = &self.edges[usize::from(upper)];
        let at = (place.x / STATION).clamp(0.0, (edge.len() - 1) as f64);
        let before = (at.floor() as usize).min(edge.len() - 2);
        let inwards = blend(edge[before], edge[before + 1], at - before as f64);
        if upper {
            self.width - place.y - inwards
        } else {
            place.y - inwards
        }
    }

    /// The height of an edge.
    fn edge_at(&self, upper: bool, x: f64) -> f64 {
        let from = self.inside_edge(upper, Point::new(x, 0.0));
        if upper { from } else { -from }
    }

    /// The outline by its stations and corners.
    fn traced(&self) -> Vec<Point> {
        // A corner lies on an end and on an edge; each in turn comes quickly to it.
        let corner = |end: usize, upper: bool| {
            let mut y = if upper { self.width } else { 0.0 };
            for _ in 0..20 {
                y = self.edge_at(upper, self.ends_at(y)[end]);
            }
            Point::new(self.ends_at(y)[end], y)
        };
        let side = |upper: bool| {
            let (from, to) = (corner(0, upper), corner(1, upper));
            let inner = (0..self.edges[0].len())
                .map(|k| k as f64 * STATION)
                .filter(|&x| x > from.x && x < to.x)
                .map(|x| Point::new(x, self.edge_at(upper, x)));
            let mut points = vec![from];
            points.extend(inner);
            points.push(to);
            points
        };
        let mut outline = side(false);
        outline.extend(side(true).into_iter().rev());
        outline
    }

    /// The stream function: its lines are the grain.
    fn stream(&self, x: f64, y: f64) -> f64 {
        let Grain { slope, wave, phase } = self.grain;
        let bent = wave[0] * math::sin(TAU * x / wave[1] + phase);
        let mut stream = y - slope * x - bent;
        for knot in &self.knots {
            let (u, v) = knot.scaled(Point::new(x, y));
            // As round a pillar in a stream; within it the same without a pole.
            let squared = (u * u + v * v).max(1.0);
            stream -= knot.half[1] * v / squared;
        }
        stream
    }

    fn knotted(&self, colour: [f64; 3], knot: &Knot, place: Point) -> [f64; 3] {
        let out = knot.out(place);
        if out > 1.6 {
            return colour;
        }
        if out > 1.0 {
            // A darker rim in the wood round it.
            return lit(colour, 1.0 - 0.3 * (1.6 - out) / 0.6);
        }
        let rings = math::sin(out * knot.half[1] * 2.4);
        let rough = self.noise.other(16).at(place.x / 3.0, place.y / 3.0);
        let heart = lit(self.wood.heart, 0.5 + 0.06 * rings + 0.08 * rough);
        let rim = smooth((out - 0.8) / 0.15);
        blended(
            [heart[0], heart[1] * 0.86, heart[2] * 0.76],
            [44.0, 30.0, 22.0],
            rim,
        )
    }

    fn is_bark(&self, bark: &Bark, place: Point) -> bool {
        (bark.from..=bark.to).contains(&place.x)
            && self.inside_edge(bark.upper, place) <= bark.depth_at(place.x)
    }

    fn grow_knots(&mut self, chance: &mut Chance) {
        let wanted = chance.below(7);
        for _ in 0..wanted * 6 {
            if self.knots.len() == wanted {
                break;
            }
            let across = chance.between(4.0, 0.11 * self.width + 6.0);
            let along = across * chance.between(1.0, 1.5);
            let room = across + 6.0;
            let x = chance.between(60.0, self.length - 60.0);
            let low = self.edge_at(false, x) + room;
            let high = self.edge_at(true, x) - room;
            let y = chance.between(low, high.max(low));
            let knot = Knot {
                centre: Point::new(x, y),
                half: [along, across],
            };
            let is_free = self
                .knots
                .iter()
                .all(|k| k.centre.distance(knot.centre) > 2.0 * (k.half[0] + knot.half[0]));
            if low < high && is_free && knot.outline().iter().all(|&p| self.is_wood(p)) {
                self.knots.push(knot);
            }
        }
    }

    fn split(&mut self, chance: &mut Chance) {
        for end in [0, 1] {
            if !chance.percent(40) {
                continue;
            }
            let y = chance.between(0.25, 0.75) * self.width;
            let length = chance.between(50.0, 0.12 * self.length);
            let forward = if end == 0 { 1.0 } else { -1.0 };
            let mut at = Point::new(self.ends_at(y)[end], y);
            let mut line = vec![at];
            let mut gone = 0.0;
            while gone < length {
                let angle = math::to_radians(self.grain_at(at));
                at = Point::new(
                    at.x + forward * 5.0 * math::cos(angle),
                    at.y + forward * 5.0 * math::sin(angle),
                );
                gone += 5.0;
                if !self.is_wood(at) || self.knots.iter().any(|k| k.out(at) < 1.3) {
                    break;
                }
                line.push(at);
            }
            if line.len() > 6 {
                let width = chance.between(1.5, 4.0);
                self.splits.push(Split { line, width });
            }
        }
    }

    fn leave_bark(&mut self, upper: bool, chance: &mut Chance) {
        for _ in 0..1 + chance.below(3) {
            let from = chance.between(0.05, 0.75) * self.length;
            let to = from + chance.between(0.06, 0.2) * self.length;
            let depth = chance.between(5.0, 0.05 * self.width + 7.0);
            let is_free = self
                .bark
                .iter()
                .all(|b| b.upper != upper || b.to < from || b.from > to);
            let is_clear = self.knots.iter().all(|k| {
                k.centre.x + k.half[0] < from
                    || k.centre.x - k.half[0] > to
                    || self.inside_edge(upper, k.centre) - k.half[1] > depth + 3.0
            });
            if is_free && is_clear {
                self.bark.push(Bark {
                    upper,
                    from,
                    to,
                    depth,
                });
            }
        }
    }

    fn told_flaws(&self) -> Vec<TrueFlaw> {
        let knots = self.knots.iter().map(|k| (FlawKind::Knot, k.outline()));
        let splits = self.splits.iter().map(|s| (FlawKind::Split, s.outline()));
        let bark = self.bark.iter().map(|b| {
            let depth = |x: f64| b.depth_at(x);
            (
                FlawKind::Bark,
                self.along_edge(b.upper, b.from, b.to, &depth),
            )
        });
        let sapwood = self.sapwood.iter().map(|s| {
            let depth = |x: f64| s.depth_at(self.noise, x);
            (
                FlawKind::Sapwood,
                self.along_edge(s.upper, 0.0, self.length, &depth),
            )
        });
        let all = knots.chain(splits).chain(bark).chain(sapwood);
        all.map(|(kind, outline)| TrueFlaw { kind, outline })
            .collect()
    }

    /// What lies along an edge as deep as is told at each place.
    fn along_edge(
        &self,
        upper: bool,
        from: f64,
        to: f64,
        depth: &dyn Fn(f64) -> f64,
    ) -> Vec<Point> {
        let steps = (((to - from) / STATION).ceil() as usize).max(8);
        let x = |k: usize| from + (to - from) * k as f64 / steps as f64;
        let inwards = if upper { -1.0 } else { 1.0 };
        let outer: Vec<Point> = (0..=steps)
            .map(|k| Point::new(x(k), self.edge_at(upper, x(k))))
            .collect();
        let inner: Vec<Point> = outer
            .iter()
            .map(|p| Point::new(p.x, p.y + inwards * depth(p.x)))
            .collect();
        let (lower, upper) = if upper {
            (inner, outer)
        } else {
            (outer, inner)
        };
        lower.into_iter().chain(upper.into_iter().rev()).collect()
    }
}

/// How far an edge lies in from the straight line, every [`STATION`].
fn edge(noise: Noise, waney: bool, length: f64, width: f64) -> Vec<f64> {
    let stations = (length / STATION).ceil() as usize + 1;
    let of = |k: usize| {
        if !waney {
            return 0.0;
        }
        let x = k as f64 * STATION;
        let slow = 0.5 + 0.5 * noise.at(x / 500.0, 0.5);
        let quick = 0.5 + 0.5 * noise.other(3).at(x / 110.0, 0.5);
        width * (0.09 * slow + 0.025 * quick)
    };
    (0..stations.max(2)).map(of).collect()
}
