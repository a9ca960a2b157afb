//! A layout with its composite blanks cut apart, and put together again.

use heartside_geometry::math::normalise_deg;
use heartside_geometry::{Arrange, Bounds, Point};
use heartside_timber::composite::Composite;
use heartside_timber::job::{Job, MatchKind, PartCopy};
use heartside_timber::plan::{CutNode, CutTree, Direction, Layout, Placed, Placement, Way};
use heartside_timber::workpieces::Workpieces;

use super::{Composites, saws};
use crate::cuts::cutting::{Cutout, Cutting};
use crate::cuts::ground::Ground;
use crate::cuts::offcut::is_offcut;
use crate::cuts::saw::Saws;
use crate::straight::separator::cut_apart;

/// Cuts looked at for one composite blank.
const STEPS: u64 = 4_000;

/// What is laid by hand or read from a file may miss its place by so much, in millimetres.
const SAME_PLACE: f64 = 2e-3;

impl Composites {
    /// A layout of the engines with its composite blanks cut apart; none where no saw of the workshop can.
    pub(super) fn apart(&self, inner: &Job, layout: &Layout) -> Option<Layout> {
        let board = inner.board_index(&layout.board.board)?;
        match (layout.way, &layout.cuts) {
            (Way::Straight, Some(tree)) => self.apart_by_cuts(inner, board, layout, tree),
            _ => self.apart_by_line(inner, board, layout),
        }
    }

    fn apart_by_cuts(
        &self,
        inner: &Job,
        board: usize,
        layout: &Layout,
        tree: &CutTree,
    ) -> Option<Layout> {
        let ground = Ground::for_parts(inner, board, layout.frame.angle, &|_| false);
        if ground.frame != layout.frame {
            return None;
        }
        let cutouts: Option<Vec<Cutout>> = layout
            .placements
            .iter()
            .map(|p| cutout(inner, &ground, &p.part_copy(), p.at))
            .collect();
        let mut cutting = Cutting::from_tree(inner, &ground, tree, cutouts?)?;
        for (place, placement) in layout.placements.iter().enumerate() {
            let Some(composite) = self.named(&placement.part) else {
                continue;
            };
            let holds = |n: &CutNode| *n == CutNode::Blank { placement: place };
            let leaf = cutting.nodes.iter().position(holds)?;
            if composite.members.iter().any(|m| m.leaf.is_some()) {
                let places = composite.members_at(&placement.at, 0.0);
                let first = cutting.cutouts.len();
                for (member, at) in composite.members.iter().zip(places) {
                    let leaf = cutout(inner, &ground, &member.copy, at)?;
                    cutting.cutouts.push(leaf);
                }
                cutting.nodes[leaf] = CutNode::Leaves {
                    placements: (first..cutting.cutouts.len()).collect(),
                };
                continue;
            }
            cutting.nodes[leaf] = CutNode::Waste;
            cutting.open.push(leaf);
            let direction = row_direction(composite.kind, placement.at.turn - ground.frame.angle);
            // That of the blank first: nothing is then left over.
            let mut kerfs = saws::kerfs_for(inner, composite, ground.thickness);
            kerfs.retain(|k| *k <= composite.kerf + inner.tolerance.slack);
            kerfs.reverse();
            cutting = kerfs.into_iter().find_map(|kerf| {
                let places = composite.members_at(&placement.at, kerf);
                let members = composite.members.iter().zip(places);
                let cutouts: Option<Vec<Cutout>> = members
                    .map(|(m, at)| cutout(inner, &ground, &m.copy, at))
                    .collect();
                let saws = Saws::of_kerf(inner, direction, kerf);
                cut_apart((inner, &ground, &saws), &cutting, leaf, &cutouts?, STEPS)
            })?;
        }
        let tree = cutting.finished_tree(|w| is_offcut(inner, &ground, w));
        Some(self.with_members(inner, layout, &cutting.cutouts, tree))
    }

    /// The layout with the blanks of a tree, without the composite ones.
    fn with_members(
        &self,
        inner: &Job,
        layout: &Layout,
        cutouts: &[Cutout],
        mut tree: CutTree,
    ) -> Layout {
        let mut now = Vec::with_capacity(cutouts.len());
        let mut placements: Vec<Placement> = Vec::with_capacity(cutouts.len());
        for (place, cutout) in cutouts.iter().enumerate() {
            now.push(placements.len());
            let old = layout.placements.get(place);
            if old.is_some_and(|p| self.named(&p.part).is_some()) {
                continue;
            }
            placements.push(old.cloned().unwrap_or_else(|| {
                let copy = PartCopy {
                    part: inner.parts[cutout.part].id.clone(),
                    copy: cutout.copy.unwrap_or(1),
                };
                self.laid(&copy, cutout.placed)
            }));
        }
        for node in &mut tree.nodes {
            node.placements_mut().iter_mut().for_each(|p| *p = now[*p]);
        }
        Layout {
            placements,
            cuts: Some(tree),
            ..layout.clone()
        }
    }

    /// On a board that is sawn by line the members are parted by such lines.
    fn apart_by_line(&self, inner: &Job, board: usize, layout: &Layout) -> Option<Layout> {
        let thickness = inner.boards[board].thickness;
        let line = (layout.way == Way::Sawn).then(|| inner.workshop.sawn_kerf_for(thickness));
        let mut placements = Vec::with_capacity(layout.placements.len());
        let mut now: Vec<Vec<usize>> = Vec::with_capacity(layout.placements.len());
        for placement in &layout.placements {
            let first = placements.len();
            match self.as_it_lies(&placement.part, layout.way) {
                None => placements.push(placement.clone()),
                Some(composite) => {
                    let is_leaf = composite.members.iter().any(|m| m.leaf.is_some());
                    let kerf = line.filter(|_| !is_leaf).unwrap_or(composite.kerf);
                    if kerf > composite.kerf + inner.tolerance.slack {
                        return None;
                    }
                    let places = composite.members_at(&placement.at, kerf);
                    let members = composite.members.iter().zip(places);
                    placements.extend(members.map(|(m, at)| self.laid(&m.copy, at)));
                }
            }
            now.push((first..placements.len()).collect());
        }
        let mut cuts = layout.cuts.clone();
        for node in cuts.iter_mut().flat_map(|tree| &mut tree.nodes) {
            match node {
                CutNode::Blank { placement } => match now.get(*placement)?.as_slice() {
                    [one] => *placement = *one,
                    several => {
                        *node = CutNode::Region {
                            placements: several.to_vec(),
                        }
                    }
                },
                CutNode::Region { placements } => {
                    let all = placements.iter().filter_map(|p| now.get(*p));
                    *placements = all.flatten().copied().collect();
                }
                _ => {}
            }
        }
        Some(Layout {
            placements,
            cuts,
            ..layout.clone()
        })
    }

    /// A member as it lies.
    fn laid(&self, copy: &PartCopy, at: Placed) -> Placement {
        let members = self.list.iter().flat_map(|c| &c.members);
        let member = members.into_iter().find(|m| m.copy == *copy);
        Placement {
            part: copy.part.clone(),
            copy: copy.copy,
            at,
            leaf: member.and_then(|m| m.leaf),
            ..Placement::default()
        }
    }

    /// Layouts with the copies of each composite blank put together, for the engines; copies that do not lie
    /// as the engines would lay them are left out.
    pub(crate) fn put_together(&self, inner: &Job, layouts: Vec<Layout>) -> Vec<Layout> {
        let layouts = layouts.into_iter();
        let together = layouts.map(|layout| {
            let list = match layout.way {
                Way::Straight => &self.list,
                Way::Sawn => &self.lines,
            };
            list.iter().fold(layout, |layout, composite| {
                let is_member = |copy: &PartCopy| composite.members.iter().any(|m| m.copy == *copy);
                if !layout.placements.iter().any(|p| is_member(&p.part_copy())) {
                    return layout;
                }
                let whole = self.with_whole(inner, &layout, composite);
                whole.unwrap_or_else(|| layout.without(is_member))
            })
        });
        together.filter(|l| !l.placements.is_empty()).collect()
    }

    fn with_whole(&self, inner: &Job, layout: &Layout, composite: &Composite) -> Option<Layout> {
        let board = inner.board(&layout.board.board)?;
        let places: Option<Vec<usize>> = composite
            .members
            .iter()
            .map(|m| {
                layout
                    .placements
                    .iter()
                    .position(|p| p.part_copy() == m.copy)
            })
            .collect();
        let places = places?;
        let first = layout.placements[*places.first()?].at;
        let is_leaf = composite.members.iter().any(|m| m.leaf.is_some());
        let kerfs: Vec<f64> = match layout.way {
            _ if is_leaf => vec![composite.kerf],
            Way::Sawn => vec![inner.workshop.sawn_kerf_for(board.thickness)],
            Way::Straight => saws::kerfs_for(inner, composite, board.thickness),
        };
        let blank = composite.around(composite.members.first()?, &first);
        let lies_so = |kerf: &f64| {
            let members = composite.members_at(&blank, *kerf);
            let mut lying = members.iter().zip(&places);
            lying.all(|(at, place)| is_same_place(at, &layout.placements[*place].at))
        };
        kerfs.iter().find(|kerf| lies_so(kerf))?;
        let mut whole = layout.clone();
        if let Some(tree) = &mut whole.cuts {
            let node = leaf_of(inner, layout, composite, &blank, &places)?;
            tree.nodes[node] = match &tree.nodes[node] {
                CutNode::Region { placements } => {
                    let is_other = |p: &&usize| !places[1..].contains(p);
                    CutNode::Region {
                        placements: placements.iter().filter(is_other).copied().collect(),
                    }
                }
                _ => CutNode::Blank {
                    placement: places[0],
                },
            };
            *tree = reached(tree)?;
        }
        whole.placements[places[0]] = Placement {
            part: composite.part.id.clone(),
            copy: 1,
            at: blank,
            ..Placement::default()
        };
        let rest = &composite.members[1..];
        Some(whole.without(|copy| rest.iter().any(|m| m.copy == *copy)))
    }
}

fn cutout(job: &Job, ground: &Ground, copy: &PartCopy, at: Placed) -> Option<Cutout> {
    let part = job.part_index(&copy.part)?;
    Some(Cutout {
        part,
        copy: Some(copy.copy),
        placed: at,
        rect: ground.rect_of(&job.parts[part], &at)?,
    })
}

/// Along which lines of the frame a row is cut apart that lies at this turn against it.
fn row_direction(kind: MatchKind, turn: f64) -> Direction {
    let quarters = (normalise_deg(turn) / 90.0).round() as i64;
    if (kind == MatchKind::ContinuousAcross) == (quarters % 2 == 0) {
        Direction::Rip
    } else {
        Direction::Crosscut
    }
}

pub(super) fn is_same_place(a: &Placed, b: &Placed) -> bool {
    let off = normalise_deg(a.turn - b.turn);
    (a.x - b.x).abs() <= SAME_PLACE
        && (a.y - b.y).abs() <= SAME_PLACE
        && off.min(360.0 - off) <= 1e-6
        && a.turned_over == b.turned_over
}

/// The workpiece that is just this composite blank, or the region in which its members are sawn by line.
fn leaf_of(
    inner: &Job,
    layout: &Layout,
    composite: &Composite,
    blank: &Placed,
    places: &[usize],
) -> Option<usize> {
    let tree = layout.cuts.as_ref()?;
    let board = inner.board(&layout.board.board)?;
    let workpieces = Workpieces::of(tree, layout.frame, &board.outline);
    // Of each workpiece how many of the members it holds, and how many others.
    let mut held = vec![(0usize, 0usize); tree.nodes.len()];
    let count = |list: &[usize]| {
        let members = list.iter().filter(|p| places.contains(p)).count();
        (members, list.len() - members)
    };
    for piece in workpieces.iter().rev() {
        held[piece.node] = match &tree.nodes[piece.node] {
            CutNode::Cut { low, high, .. } => {
                let (low, high) = (*held.get(*low)?, *held.get(*high)?);
                (low.0 + high.0, low.1 + high.1)
            }
            other => count(other.placements()),
        };
    }
    let ground = Ground::for_parts(
        inner,
        inner.board_index(&board.id)?,
        layout.frame.angle,
        &|_| false,
    );
    let rect = ground.rect_of(&composite.part, blank);
    let found = workpieces.iter().find(|piece| {
        let (members, others) = held[piece.node];
        let is_region = matches!(tree.nodes[piece.node], CutNode::Region { .. });
        let is_it = |rect: Bounds| {
            let near = |a: Point, b: Point| (a - b).length() <= 2.0 * SAME_PLACE;
            near(rect.min, piece.bounds.min) && near(rect.max, piece.bounds.max)
        };
        let is_just_it = || layout.way == Way::Straight && others == 0 && rect.is_some_and(is_it);
        members == places.len() && (is_region || is_just_it())
    });
    found.map(|piece| piece.node)
}

/// The tree without nodes that it does not reach.
fn reached(tree: &CutTree) -> Option<CutTree> {
    let mut seen: Vec<usize> = Vec::with_capacity(tree.nodes.len());
    let mut waiting = vec![0usize];
    while let Some(node) = waiting.pop() {
        seen.push(node);
        if let Some(cut) = tree.nodes.get(node)?.cut() {
            waiting.extend([cut.high, cut.low]);
        }
        if seen.len() > tree.nodes.len() {
            return None;
        }
    }
    seen.arrange();
    let now = |old: usize| seen.binary_search(&old).ok();
    let mut nodes = Vec::with_capacity(seen.len());
    for node in &seen {
        let mut node = tree.nodes[*node].clone();
        if let CutNode::Cut { low, high, .. } = &mut node {
            (*low, *high) = (now(*low)?, now(*high)?);
        }
        nodes.push(node);
    }
    Some(CutTree { nodes })
}
