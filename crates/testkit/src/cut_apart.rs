//! Boards cut apart by a random legal tree: the full answer is known.

use heartside_geometry::{Bounds, Point, Pose};
use heartside_timber::document::{
    BoardOutline, Document, EdgeKind, Faces, GrainAxis, Length, Part, PartGrain, Shape, Stops,
    Zone, ZoneFace, ZoneKind,
};
use heartside_timber::plan::{CutNode, CutTree, Direction, Placement, Plan};

use crate::chance::Chance;
use crate::timberyard::{KERF, TRIM, add_cut_up, board, clear_size, empty_job, mm, spot};

/// What to generate.
#[derive(Debug, Clone, Copy)]
pub struct CutApart {
    /// Boards.
    pub boards: usize,
    /// Parts of one board; fewer where the board is too small to be cut into so many.
    pub parts_a_board: usize,
    /// Share of a board's area, inside its trims, that becomes waste besides the kerfs, in per
    /// cent; kept within three.
    pub waste: usize,
    /// Defects, sapwood and fixings on the boards.
    pub zones: bool,
}

impl Default for CutApart {
    fn default() -> CutApart {
        CutApart {
            boards: 2,
            parts_a_board: 6,
            waste: 12,
            zones: true,
        }
    }
}

/// Most levels of cuts inside the trimmed rectangle.
const LEVELS: usize = 4;
/// Smallest side of a part's blank.
const LEAST: f64 = 45.0;
/// How far the share of waste may be off, in per cent of the area.
const WASTE_SPREAD: f64 = 3.0;
/// How often a board is cut apart anew before the nearest share is taken.
const TRIES: usize = 1000;

/// A job whose boards were cut apart by random through cuts, with the complete plan.
///
/// The plan obeys every rule; the job's parts are exactly what was cut. Waste leaves may
/// hold defects.
pub fn cut_apart(seed: u32, wanted: CutApart) -> Document {
    let mut chance = Chance::new(seed);
    let mut document = empty_job(format!("Cut apart {seed}"));
    let mut plan = Plan::default();
    for index in 0..wanted.boards {
        let thickness = *chance.one_of(&[27.0, 33.0, 40.0]);
        let mut board = board(&mut chance, index, thickness);
        let mut cutter = Cutter {
            chance: &mut chance,
            wanted,
            nodes: Vec::new(),
            blanks: Vec::new(),
            waste: Vec::new(),
        };
        cutter.board(&board);
        let (nodes, blanks, waste) = (cutter.nodes, cutter.blanks, cutter.waste);
        let mut placements = Vec::new();
        for (place, blank) in blanks.iter().enumerate() {
            let (part, at) = part_for(&mut chance, &document, &board.id, place, *blank, thickness);
            placements.push(Placement {
                part: part.id.clone(),
                copy: 1,
                at: at.into(),
                ..Placement::default()
            });
            document.parts.push(part);
        }
        if wanted.zones {
            add_zones(&mut chance, &mut board.zones, &blanks, &waste, &nodes);
        }
        add_cut_up(
            &mut document,
            &mut plan,
            board,
            placements,
            Some(CutTree { nodes }),
        );
    }
    document.plan = Some(plan);
    document
}

/// A piece that is cut no further.
struct Leaf {
    node: usize,
    bounds: Bounds,
    level: usize,
}

struct Cutter<'a> {
    chance: &'a mut Chance,
    wanted: CutApart,
    nodes: Vec<CutNode>,
    blanks: Vec<Bounds>,
    waste: Vec<Bounds>,
}

impl Cutter<'_> {
    /// Trims the board to its largest upright rectangle, then cuts that apart.
    fn board(&mut self, board: &heartside_timber::document::Board) {
        let (length, left, right) = clear_size(board);
        let Some(BoardOutline::Tape {
            left: l,
            right: r,
            start,
            end,
            ..
        }) = &board.outline
        else {
            return;
        };
        // A little more than the trim, so that at least a kerf falls off and nothing is skimmed.
        let edge = |kind: &EdgeKind| {
            if *kind == EdgeKind::Raw {
                TRIM.1 + KERF
            } else {
                0.0
            }
        };
        let ends = |kind: &EdgeKind| {
            if *kind == EdgeKind::Raw {
                TRIM.0 + KERF
            } else {
                0.0
            }
        };
        let clear = Bounds {
            min: Point {
                x: ends(start),
                y: -(right - edge(r)),
            },
            max: Point {
                x: length - ends(end),
                y: left - edge(l),
            },
        };
        self.nodes.push(CutNode::Waste);
        let mut at = 0;
        for (needed, direction, position, keeps_high) in [
            (
                clear.min.x > 0.0,
                Direction::Crosscut,
                clear.min.x - KERF,
                true,
            ),
            (
                clear.max.x < length,
                Direction::Crosscut,
                clear.max.x,
                false,
            ),
            (
                *r == EdgeKind::Raw,
                Direction::Rip,
                clear.min.y - KERF,
                true,
            ),
            (*l == EdgeKind::Raw, Direction::Rip, clear.max.y, false),
        ] {
            if needed {
                let (low, high) = self.cut(at, direction, position);
                at = if keeps_high { high } else { low };
            }
        }
        self.apart(at, clear);
    }

    /// Cuts a workpiece in two; gives the places of the two pieces.
    fn cut(&mut self, node: usize, direction: Direction, at: f64) -> (usize, usize) {
        let low = self.nodes.len();
        self.nodes.push(CutNode::Waste);
        self.nodes.push(CutNode::Waste);
        self.nodes[node] = CutNode::Cut {
            angle: None,
            direction,
            tool: "Hand-led saw".into(),
            at,
            kerf: KERF,
            low,
            high: low + 1,
        };
        (low, low + 1)
    }

    /// Cuts a rectangle apart at random into at most so many pieces.
    fn split(&mut self, node: usize, bounds: Bounds, pieces: usize) -> Vec<Leaf> {
        let mut done = Vec::new();
        let mut open = vec![Leaf {
            node,
            bounds,
            level: 0,
        }];
        while !open.is_empty() {
            let leaf = open.swap_remove(self.chance.below(open.len()));
            let room = |extent: f64| extent - 2.0 * LEAST - KERF;
            let (along, across) = (room(leaf.bounds.width()), room(leaf.bounds.height()));
            if done.len() + open.len() + 1 >= pieces
                || leaf.level == LEVELS
                || (along <= 0.0 && across <= 0.0)
            {
                done.push(leaf);
                continue;
            }
            let crosscuts = if leaf.level == 0 { 70 } else { 50 };
            let crosscut = along > 0.0 && (across <= 0.0 || self.chance.percent(crosscuts));
            let share = self.chance.between(0.0, 1.0);
            open.extend(self.cut_leaf(
                &leaf,
                crosscut,
                share * if crosscut { along } else { across },
            ));
        }
        // In the order of the boards' places, whatever the order of the cuts was.
        done.sort_by_key(|leaf| leaf.node);
        done
    }

    fn cut_leaf(&mut self, leaf: &Leaf, crosscut: bool, past_least: f64) -> [Leaf; 2] {
        let Bounds { min, max } = leaf.bounds;
        let (direction, start) = if crosscut {
            (Direction::Crosscut, min.x)
        } else {
            (Direction::Rip, min.y)
        };
        let at = half_millimetres(start + LEAST + past_least);
        let (low, high) = self.cut(leaf.node, direction, at);
        let (low_max, high_min) = if crosscut {
            (
                Point { x: at, ..max },
                Point {
                    x: at + KERF,
                    ..min
                },
            )
        } else {
            (
                Point { y: at, ..max },
                Point {
                    y: at + KERF,
                    ..min
                },
            )
        };
        [
            (low, Bounds { min, max: low_max }),
            (high, Bounds { min: high_min, max }),
        ]
        .map(|(node, bounds)| Leaf {
            node,
            bounds,
            level: leaf.level + 1,
        })
    }

    /// Cuts a rectangle apart until the waste has its share, and names blanks and waste.
    fn apart(&mut self, node: usize, clear: Bounds) {
        let bare = self.nodes.clone();
        let mut best: Option<(f64, Vec<CutNode>, Vec<Leaf>)> = None;
        for _ in 0..TRIES {
            self.nodes.clone_from(&bare);
            let wasted = match self.wanted.waste {
                0 => 0,
                _ => 1 + self.chance.below(1 + self.wanted.parts_a_board / 2),
            };
            let mut leaves = self.split(node, clear, self.wanted.parts_a_board + wasted);
            for place in (1..leaves.len()).rev() {
                let other = self.chance.below(place + 1);
                leaves.swap(place, other);
            }
            // Whatever is over the number of parts is waste, and it comes last.
            let parts = self
                .wanted
                .parts_a_board
                .min(leaves.len() - wasted.min(leaves.len() - 1));
            let area = |b: &Bounds| b.width() * b.height();
            let waste: f64 = leaves[parts..].iter().map(|leaf| area(&leaf.bounds)).sum();
            let off = (100.0 * waste / area(&clear) - self.wanted.waste as f64).abs()
                + 100.0 * self.wanted.parts_a_board.abs_diff(parts) as f64;
            if best.as_ref().is_none_or(|b| off < b.0) {
                leaves[..parts].sort_by_key(|leaf| leaf.node);
                for (place, leaf) in leaves[..parts].iter().enumerate() {
                    self.nodes[leaf.node] = CutNode::Blank { placement: place };
                }
                self.blanks = leaves[..parts].iter().map(|leaf| leaf.bounds).collect();
                best = Some((off, self.nodes.clone(), leaves.split_off(parts)));
            }
            if off <= WASTE_SPREAD {
                break;
            }
        }
        if let Some((_, nodes, waste)) = best {
            self.nodes = nodes;
            self.waste = waste.iter().map(|leaf| leaf.bounds).collect();
        }
    }
}

fn half_millimetres(value: f64) -> f64 {
    (value * 2.0).round() / 2.0
}

/// The part whose blank is this rectangle, and where it lies.
fn part_for(
    chance: &mut Chance,
    document: &Document,
    board: &str,
    place: usize,
    blank: Bounds,
    thickness: f64,
) -> (Part, Pose) {
    let (end, edge) = (8.0, 2.0);
    let crosswise = chance.percent(25);
    let (along, across) = if crosswise {
        (blank.height(), blank.width())
    } else {
        (blank.width(), blank.height())
    };
    let turned_over = chance.percent(30);
    let turn = f64::from(u8::from(crosswise)) * 90.0 + if chance.percent(50) { 180.0 } else { 0.0 };
    // The blank's rectangle in the part's frame, and where the pose without a move takes it.
    let own = Bounds {
        min: Point { x: -end, y: -edge },
        max: Point {
            x: along - end,
            y: across - edge,
        },
    };
    let still = Pose {
        x: 0.0,
        y: 0.0,
        turn,
        turned_over,
    };
    let corners = [
        own.min,
        own.max,
        Point {
            x: own.min.x,
            y: own.max.y,
        },
        Point {
            x: own.max.x,
            y: own.min.y,
        },
    ];
    let (mut x, mut y) = (f64::INFINITY, f64::INFINITY);
    for corner in corners {
        let moved = still.apply(corner);
        x = x.min(moved.x);
        y = y.min(moved.y);
    }
    let pose = Pose {
        x: blank.min.x - x,
        y: blank.min.y - y,
        ..still
    };
    let part = Part {
        id: format!("{}{}", board.to_lowercase(), place + 1),
        name: format!("Part {}", document.parts.len() + 1),
        shape: Some(Shape::Rectangle {
            length: Length::Mm(along - 2.0 * end),
            width: Length::Mm(across - 2.0 * edge),
        }),
        // The worst warp that the generator gives costs less than 13 mm; planing costs 5.
        thickness: mm(thickness - 16.0),
        grain: PartGrain {
            axis: if crosswise {
                GrainAxis::Across
            } else {
                GrainAxis::Along
            },
            tolerance: Some(3.0),
            ..PartGrain::default()
        },
        faces: *chance.one_of(&[Faces::One, Faces::Both, Faces::Hidden, Faces::Painted]),
        ..Part::default()
    };
    (part, pose)
}

/// Defects in waste, sound defects under hidden faces, fixings clear of every cut.
fn add_zones(
    chance: &mut Chance,
    zones: &mut Vec<Zone>,
    blanks: &[Bounds],
    waste: &[Bounds],
    nodes: &[CutNode],
) {
    for bounds in waste {
        if bounds.width() > 60.0 && bounds.height() > 40.0 && chance.percent(80) {
            let middle = bounds.centre();
            let margin = 4.0;
            let zone = spot(
                middle.x,
                middle.y,
                bounds.width() - 20.0,
                bounds.height() - 20.0,
                chance.percent(60),
            );
            if chance.percent(70) {
                zones.push(Zone {
                    margin: mm(margin),
                    note: "knot".into(),
                    ..zone
                });
            } else if clear_of_cuts(middle, 14.0, nodes) {
                let screw = spot(middle.x, middle.y, 8.0, 8.0, true);
                zones.push(Zone {
                    kind: ZoneKind::Fixing,
                    margin: mm(8.0),
                    stops: *chance.one_of(&[Stops::All, Stops::Rips, Stops::Crosscuts]),
                    note: "old screw".into(),
                    ..screw
                });
            }
        }
    }
    for bounds in blanks {
        // A shallow mark that planing takes away, on either face.
        if chance.percent(15) {
            let middle = bounds.centre();
            zones.push(Zone {
                face: if chance.percent(50) {
                    ZoneFace::Up
                } else {
                    ZoneFace::Down
                },
                depth: mm(0.0),
                sound: true,
                note: "stain".into(),
                ..spot(middle.x, middle.y, 20.0, 12.0, true)
            });
        }
    }
}

/// Whether a round thing keeps away from every cut's line, however far that runs.
fn clear_of_cuts(at: Point, reach: f64, nodes: &[CutNode]) -> bool {
    nodes.iter().all(|node| match node {
        CutNode::Cut {
            direction,
            at: line,
            kerf,
            ..
        } => {
            let value = if *direction == Direction::Rip {
                at.y
            } else {
                at.x
            };
            value + reach < *line || value - reach > line + kerf
        }
        _ => true,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_waste_has_its_share() {
        for (parts, width) in [(4, 180.0), (5, 240.0), (6, 150.0)] {
            for seed in 0..20 {
                let mut chance = Chance::new(seed);
                let wanted = CutApart {
                    parts_a_board: parts,
                    ..CutApart::default()
                };
                let mut cutter = Cutter {
                    chance: &mut chance,
                    wanted,
                    nodes: vec![CutNode::Waste],
                    blanks: Vec::new(),
                    waste: Vec::new(),
                };
                let clear = Bounds {
                    min: Point { x: 0.0, y: 0.0 },
                    max: Point {
                        x: 2000.0,
                        y: width,
                    },
                };
                cutter.apart(0, clear);
                assert_eq!(cutter.blanks.len(), parts);
                let waste: f64 = cutter.waste.iter().map(|b| b.width() * b.height()).sum();
                let share = 100.0 * waste / (2000.0 * width);
                assert!((9.0..=15.0).contains(&share), "seed {seed}: {share} %");
            }
        }
    }
}
