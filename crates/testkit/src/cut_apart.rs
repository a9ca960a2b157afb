//! Boards cut apart by a random legal tree: the full answer is known.

use heartside_geometry::{Bounds, Point, Pose};
use heartside_timber::document::{
    Board, BoardOutline, Document, EdgeKind, Faces, GrainAxis, Length, Part, PartGrain, Shape,
    Station, Stops, Zone, ZoneFace, ZoneKind,
};
use heartside_timber::plan::{CutNode, CutTree, Direction, Placement, Plan};

use crate::chance::Chance;
use crate::saw::{Kept, Saw, Work};
use crate::timberyard::{add_cut_up, board, clear_size, empty_job, mm, plain, spot};
use crate::workshop::{Outfit, fit_out};

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
    /// Tools at random, of which each cut has one that may make it; none for the same three everywhere.
    pub outfit: Option<Outfit>,
}

impl Default for CutApart {
    fn default() -> CutApart {
        CutApart {
            boards: 2,
            parts_a_board: 6,
            waste: 12,
            zones: true,
            outfit: None,
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
    // Of the three tools that all other jobs share the first makes every cut.
    let mut saws = Saw::all(&document.workshop.tools[..1]);
    if let Some(outfit) = wanted.outfit {
        fit_out(&mut document, seed, outfit);
        saws = Saw::all(&document.workshop.tools);
    }
    let mut plan = Plan::default();
    for index in 0..wanted.boards {
        let thickness = *chance.one_of(&[27.0, 33.0, 40.0]);
        let mut board = board(&mut chance, index, thickness);
        let mut cutter = Cutter {
            chance: &mut chance,
            wanted,
            saws: &saws,
            trim: (
                document.workshop.trim.end.as_ref().map_or(0.0, plain),
                document.workshop.trim.edge.as_ref().map_or(0.0, plain),
            ),
            thickness,
            is_twisted: board.warp.as_ref().is_some_and(|warp| warp.twist.is_some()),
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
    is_true: [bool; 4],
}

struct Cutter<'a> {
    chance: &'a mut Chance,
    wanted: CutApart,
    saws: &'a [Saw],
    /// Off raw ends and off raw edges.
    trim: (f64, f64),
    thickness: f64,
    is_twisted: bool,
    nodes: Vec<CutNode>,
    blanks: Vec<Bounds>,
    waste: Vec<Bounds>,
}

impl<'a> Cutter<'a> {
    /// Trims the board to its largest upright rectangle, then cuts that apart.
    fn board(&mut self, board: &Board) {
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
        let sides = [start, r, end, l].map(|kind| *kind == EdgeKind::Raw);
        let mut is_true = sides.map(|is_raw| !is_raw);
        let whole = Bounds {
            min: Point {
                x: 0.0,
                y: -widest(board, |station| &station.right),
            },
            max: Point {
                x: length,
                y: widest(board, |station| &station.left),
            },
        };
        let (trim_end, trim_edge) = self.trim;
        let mut clear = Bounds {
            min: Point { x: 0.0, y: -right },
            max: Point { x: length, y: left },
        };
        let mut outer = whole;
        self.nodes.push(CutNode::Waste);
        let mut at = 0;
        // Ends first, then edges: raw ones, each with a little more than its trim, so that at least
        // a kerf falls off and nothing is skimmed.
        for side in [0, 2, 1, 3] {
            if !sides[side] {
                continue;
            }
            let (direction, keeps_high) = match side {
                0 => (Direction::Crosscut, true),
                2 => (Direction::Crosscut, false),
                1 => (Direction::Rip, true),
                _ => (Direction::Rip, false),
            };
            // Where the kerf begins, and where the piece that is kept then ends.
            let cut_at = |kerf: f64| match side {
                0 => (trim_end, trim_end + kerf),
                2 => (length - trim_end - kerf, length - trim_end - kerf),
                1 => (trim_edge - right, trim_edge + kerf - right),
                _ => (left - trim_edge - kerf, left - trim_edge - kerf),
            };
            let work = Work {
                outer,
                inner: clear,
                is_true,
                thickness: self.thickness,
                is_twisted: self.is_twisted,
            };
            let kept = if keeps_high { Kept::High } else { Kept::Low };
            let Some(saw) = self.saw(direction, &work, |saw| cut_at(saw.kerf).0, kept) else {
                // Such a board stays whole, as waste.
                return;
            };
            let (begins, ends) = cut_at(saw.kerf);
            let (low, high) = self.cut(at, direction, begins, saw);
            at = if keeps_high { high } else { low };
            for bounds in [&mut clear, &mut outer] {
                match side {
                    0 => bounds.min.x = ends,
                    2 => bounds.max.x = ends,
                    1 => bounds.min.y = ends,
                    _ => bounds.max.y = ends,
                }
            }
            is_true[side] = saw.leaves_true_edge;
        }
        self.apart(at, clear, is_true);
    }

    /// One of the saws that may make a cut; none where none may.
    fn saw(
        &mut self,
        direction: Direction,
        work: &Work,
        at: impl Fn(&Saw) -> f64,
        kept: Kept,
    ) -> Option<&'a Saw> {
        let makes = |saw: &&Saw| saw.makes(direction, work, at(saw), kept);
        let all: Vec<&Saw> = self.saws.iter().filter(makes).collect();
        match all.as_slice() {
            [] => None,
            [only] => Some(only),
            several => Some(*self.chance.one_of(several)),
        }
    }

    /// Cuts a workpiece in two; gives the places of the two pieces.
    fn cut(&mut self, node: usize, direction: Direction, at: f64, saw: &Saw) -> (usize, usize) {
        let low = self.nodes.len();
        self.nodes.push(CutNode::Waste);
        self.nodes.push(CutNode::Waste);
        self.nodes[node] = CutNode::Cut {
            direction,
            tool: saw.name.clone(),
            at,
            kerf: saw.kerf,
            angle: None,
            low,
            high: low + 1,
        };
        (low, low + 1)
    }

    /// Cuts a rectangle apart at random into at most so many pieces.
    fn split(
        &mut self,
        node: usize,
        bounds: Bounds,
        is_true: [bool; 4],
        pieces: usize,
    ) -> Vec<Leaf> {
        let mut done = Vec::new();
        let mut open = vec![Leaf {
            node,
            bounds,
            level: 0,
            is_true,
        }];
        let kerf = self.saws.iter().map(|saw| saw.kerf).fold(0.0, f64::max);
        while !open.is_empty() {
            let leaf = open.swap_remove(self.chance.below(open.len()));
            let room = |extent: f64| extent - 2.0 * LEAST - kerf;
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
            let past_least = share * if crosscut { along } else { across };
            match self.cut_leaf(&leaf, crosscut, past_least) {
                Some(pieces) => open.extend(pieces),
                None => done.push(leaf),
            }
        }
        // In the order of the boards' places, whatever the order of the cuts was.
        done.sort_by_key(|leaf| leaf.node);
        done
    }

    /// Cuts a rectangle in two; none where no saw may.
    fn cut_leaf(&mut self, leaf: &Leaf, crosscut: bool, past_least: f64) -> Option<[Leaf; 2]> {
        let Bounds { min, max } = leaf.bounds;
        let (direction, start) = if crosscut {
            (Direction::Crosscut, min.x)
        } else {
            (Direction::Rip, min.y)
        };
        let at = half_millimetres(start + LEAST + past_least);
        let work = Work {
            outer: leaf.bounds,
            inner: leaf.bounds,
            is_true: leaf.is_true,
            thickness: self.thickness,
            is_twisted: self.is_twisted,
        };
        let saw = self.saw(direction, &work, |_| at, Kept::Both)?;
        let (low, high) = self.cut(leaf.node, direction, at, saw);
        let (mut low_bounds, mut high_bounds) = (leaf.bounds, leaf.bounds);
        let (mut low_true, mut high_true) = (leaf.is_true, leaf.is_true);
        let side = if crosscut {
            low_bounds.max = Point { x: at, ..max };
            high_bounds.min = Point {
                x: at + saw.kerf,
                ..min
            };
            0
        } else {
            low_bounds.max = Point { y: at, ..max };
            high_bounds.min = Point {
                y: at + saw.kerf,
                ..min
            };
            1
        };
        low_true[side + 2] = saw.leaves_true_edge;
        high_true[side] = saw.leaves_true_edge;
        let pieces = [(low, low_bounds, low_true), (high, high_bounds, high_true)];
        Some(pieces.map(|(node, bounds, is_true)| Leaf {
            node,
            bounds,
            level: leaf.level + 1,
            is_true,
        }))
    }

    /// Cuts a rectangle apart until the waste has its share, and names blanks and waste.
    fn apart(&mut self, node: usize, clear: Bounds, is_true: [bool; 4]) {
        let bare = self.nodes.clone();
        let mut best: Option<(f64, Vec<CutNode>, Vec<Leaf>)> = None;
        for _ in 0..TRIES {
            self.nodes.clone_from(&bare);
            let wasted = match self.wanted.waste {
                0 => 0,
                _ => 1 + self.chance.below(1 + self.wanted.parts_a_board / 2),
            };
            let mut leaves = self.split(node, clear, is_true, self.wanted.parts_a_board + wasted);
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

/// The greatest half-width of a board measured by tape, to one side.
fn widest(board: &Board, side: fn(&Station) -> &Length) -> f64 {
    match &board.outline {
        Some(BoardOutline::Tape { stations, .. }) => stations
            .iter()
            .map(|station| plain(side(station)))
            .fold(0.0, f64::max),
        _ => 0.0,
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
    use crate::timberyard::TRIM;

    #[test]
    fn the_waste_has_its_share() {
        for (parts, width) in [(4, 180.0), (5, 240.0), (6, 150.0)] {
            for seed in 0..20 {
                let mut chance = Chance::new(seed);
                let wanted = CutApart {
                    parts_a_board: parts,
                    ..CutApart::default()
                };
                let document = empty_job(String::new());
                let saws = Saw::all(&document.workshop.tools[..1]);
                let mut cutter = Cutter {
                    chance: &mut chance,
                    wanted,
                    saws: &saws,
                    trim: TRIM,
                    thickness: 27.0,
                    is_twisted: false,
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
                cutter.apart(0, clear, [true; 4]);
                assert_eq!(cutter.blanks.len(), parts);
                let waste: f64 = cutter.waste.iter().map(|b| b.width() * b.height()).sum();
                let share = 100.0 * waste / (2000.0 * width);
                assert!((9.0..=15.0).contains(&share), "seed {seed}: {share} %");
            }
        }
    }
}
