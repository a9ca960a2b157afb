//! The workpieces of a tree of cuts: where each of them lies, and in which frame.

use heartside_geometry::{Bounds, Point, Pose, Region, area_in_bounds, clip_bounds};

use crate::plan::{Cut, CutTree, Direction, Frame};

/// The wood that one frame is laid on: the board, or a workpiece that a cut turned from its line.
#[derive(Debug, Clone)]
pub struct Ground {
    /// The line of reference of all that is cut in it.
    pub frame: Frame,
    /// All of its wood, seen from the frame; nothing where a kerf took it.
    wood: Vec<Region>,
    /// The box round the wood, in the frame.
    bounds: Bounds,
}

/// Every workpiece that a tree reaches, parents first.
#[derive(Debug, Clone)]
pub struct Workpieces<'a> {
    tree: &'a CutTree,
    grounds: Vec<Ground>,
    pieces: Vec<Lying>,
}

#[derive(Debug, Clone, Copy)]
struct Lying {
    node: usize,
    bounds: Bounds,
    ground: usize,
    /// The ground of what its cut leaves; its own where that is square to it.
    after: usize,
}

/// One workpiece, as it came free.
#[derive(Debug, Clone, Copy)]
pub struct Workpiece<'a> {
    /// Its node.
    pub node: usize,
    /// Its rectangle in the frame of its ground.
    pub bounds: Bounds,
    /// Where it lies.
    pub ground: &'a Ground,
    /// The cut that is made in it.
    pub cut: Option<CutIn<'a>>,
}

/// A cut, in the frame that it is square to.
#[derive(Debug, Clone, Copy)]
pub struct CutIn<'a> {
    /// The cut.
    pub cut: Cut<'a>,
    /// The workpiece's rectangle in the frame of the cut.
    pub bounds: Bounds,
    /// What it and all below it are cut in; the workpiece's own unless the cut turns it.
    pub ground: &'a Ground,
}

impl Ground {
    /// The whole of a board, seen from a frame.
    pub fn whole(frame: Frame, outline: &Region) -> Ground {
        let wood = if frame == Frame::default() {
            outline.clone()
        } else {
            frame.region_in_frame(outline)
        };
        let bounds = wood.bounds();
        let wood = vec![wood];
        Ground {
            frame,
            wood,
            bounds,
        }
    }

    /// What of it lies within a rectangle, seen from a frame that is turned against it.
    fn turned(&self, angle: f64, within: &Bounds) -> Ground {
        let turn = Pose {
            turn: -angle,
            ..Pose::IDENTITY
        };
        let wood: Vec<Region> = self.wood_in(within);
        let wood: Vec<Region> = wood.iter().map(|w| turn.apply_region(w)).collect();
        let bounds = wood.iter().map(Region::bounds).reduce(Bounds::union);
        Ground {
            frame: self.frame.turned(angle),
            wood,
            bounds: bounds.unwrap_or(Bounds::new(within.min, within.min)),
        }
    }

    /// The box round all of its wood, in the frame.
    pub fn bounds(&self) -> Bounds {
        self.bounds
    }

    /// The wood within a rectangle, all in the frame.
    pub fn wood_in(&self, within: &Bounds) -> Vec<Region> {
        self.wood
            .iter()
            .flat_map(|wood| clip_bounds(wood, within))
            .collect()
    }

    /// Its area in square millimetres.
    pub fn area_in(&self, within: &Bounds) -> f64 {
        self.wood
            .iter()
            .map(|wood| area_in_bounds(wood, within))
            .sum()
    }
}

impl Workpiece<'_> {
    /// Its wood in the board's frame.
    pub fn wood(&self) -> Vec<Region> {
        let pose = self.ground.frame.pose();
        let wood = self.ground.wood_in(&self.bounds);
        wood.iter().map(|w| pose.apply_region(w)).collect()
    }
}

impl<'a> Workpieces<'a> {
    /// Goes down a tree from the whole board, whose outline is given in its own frame.
    ///
    /// Nodes that are reached twice or named wrongly are passed over, so a broken tree cannot hang
    /// a reader; an angle that is no number turns nothing. O(nodes), and O(corners of the outline)
    /// for each cut askew.
    pub fn of(tree: &'a CutTree, frame: Frame, outline: &Region) -> Workpieces<'a> {
        let whole = Ground::whole(frame, outline);
        let mut seen = vec![false; tree.nodes.len()];
        let mut waiting = vec![(0usize, 0usize, whole.bounds)];
        let mut grounds = vec![whole];
        let mut pieces = Vec::with_capacity(tree.nodes.len());
        while let Some((node, ground, bounds)) = waiting.pop() {
            if node >= tree.nodes.len() || std::mem::replace(&mut seen[node], true) {
                continue;
            }
            let mut after = ground;
            if let Some(cut) = tree.nodes[node].cut() {
                let mut own = bounds;
                if cut.angle != 0.0 && cut.angle.is_finite() {
                    let turned = grounds[ground].turned(cut.angle, &bounds);
                    (own, after) = (turned.bounds, grounds.len());
                    grounds.push(turned);
                }
                let (low, high) = split(own, cut.direction, cut.at, cut.kerf);
                waiting.extend([(cut.high, after, high), (cut.low, after, low)]);
            }
            pieces.push(Lying {
                node,
                bounds,
                ground,
                after,
            });
        }
        Workpieces {
            tree,
            grounds,
            pieces,
        }
    }

    /// All of them, parents before children.
    pub fn iter(&self) -> impl DoubleEndedIterator<Item = Workpiece<'_>> + '_ {
        self.pieces.iter().map(|piece| self.seen(piece))
    }

    /// The one of a node; none where the tree does not reach it.
    pub fn get(&self, node: usize) -> Option<Workpiece<'_>> {
        let piece = self.pieces.iter().find(|p| p.node == node)?;
        Some(self.seen(piece))
    }

    fn seen(&self, piece: &Lying) -> Workpiece<'_> {
        let cut = self.tree.nodes[piece.node].cut();
        Workpiece {
            node: piece.node,
            bounds: piece.bounds,
            ground: &self.grounds[piece.ground],
            cut: cut.map(|cut| {
                let ground = &self.grounds[piece.after];
                let bounds = match piece.after == piece.ground {
                    true => piece.bounds,
                    false => ground.bounds,
                };
                CutIn {
                    cut,
                    bounds,
                    ground,
                }
            }),
        }
    }
}

/// The two rectangles that a cut leaves; either may be empty (minimum beyond maximum is clamped).
pub fn split(bounds: Bounds, direction: Direction, at: f64, kerf: f64) -> (Bounds, Bounds) {
    let (mut low, mut high) = (bounds, bounds);
    match direction {
        Direction::Rip => {
            low.max = Point {
                x: low.max.x,
                y: at.clamp(low.min.y, low.max.y),
            };
            high.min = Point {
                x: high.min.x,
                y: (at + kerf).clamp(high.min.y, high.max.y),
            };
        }
        Direction::Crosscut => {
            low.max = Point {
                x: at.clamp(low.min.x, low.max.x),
                y: low.max.y,
            };
            high.min = Point {
                x: (at + kerf).clamp(high.min.x, high.max.x),
                y: high.min.y,
            };
        }
    }
    (low, high)
}
