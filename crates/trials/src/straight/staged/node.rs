//! Partial plans of the staged search.

use heartside_geometry::{Bounds, Point};

use crate::straight::boxed::{Axis, Field};

/// Where the last blank went, seen from the one before.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Level {
    /// Above it in the same column.
    Stack,
    /// Into the next column of its row.
    Column,
    /// Into the next row of its section.
    Row,
    /// Into the next section of its board.
    Section,
    /// On the next board.
    Board,
}

/// How far a board is filled.
///
/// Sections follow one another along u; the last reaches from `u0` to `u1`. In it rows
/// follow along v; the last reaches from `v0` to `v1`. In it columns follow along u; the
/// last reaches from `c0` to `c1` and is filled up to `v2`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Front {
    pub(super) u0: f64,
    pub(super) u1: f64,
    pub(super) v0: f64,
    pub(super) v1: f64,
    pub(super) c0: f64,
    pub(super) c1: f64,
    pub(super) v2: f64,
}

impl Front {
    /// The area that can take no more blanks, from the usable corner.
    pub(super) fn area(&self, usable: &Bounds) -> f64 {
        let section = self.u1 - self.u0;
        (self.u0 - usable.min.x) * usable.height()
            + section * (self.v0 - usable.min.y)
            + (self.c0 - self.u0) * (self.v1 - self.v0)
            + (self.c1 - self.c0) * (self.v2 - self.v0)
    }

    /// Where the cuts are made that end the column's last blank, the column, the row and
    /// the section: at their ends, or beyond fixings that are in the way there.
    pub(super) fn ends(&self, field: &Field) -> Ends {
        let usable = field.usable;
        Ends {
            v2: field.cut_v(self.v2, (self.c0, self.c1)),
            c1: field.cut_u(self.c1, (self.v0, self.v1)),
            v1: field.cut_v(self.v1, (self.u0, self.u1)),
            u1: field.cut_u(self.u1, (usable.min.y, usable.max.y)),
        }
    }

    /// True where whatever is free there is free here too.
    pub(super) fn is_within(&self, other: &Front) -> bool {
        let steps = [
            f64::NEG_INFINITY,
            self.v0,
            self.v1,
            self.v2,
            other.v0,
            other.v1,
            other.v2,
        ];
        steps
            .iter()
            .all(|v| self.reach_at(*v) <= other.reach_at(*v) + 1e-9)
    }

    /// How far along u the board is filled at a height.
    fn reach_at(&self, v: f64) -> f64 {
        if v < self.v0 {
            self.u1
        } else if v < self.v2 {
            self.c1
        } else if v < self.v1 {
            self.c0
        } else {
            self.u0
        }
    }
}

/// Where the stages end: see [`Front::ends`].
#[derive(Debug, Clone, Copy)]
pub(super) struct Ends {
    pub(super) v2: f64,
    pub(super) c1: f64,
    pub(super) v1: f64,
    pub(super) u1: f64,
}

/// No node.
pub(super) const NONE: u32 = u32::MAX;

/// A partial plan: the one before it and one block more.
#[derive(Debug, Clone, Copy)]
pub(super) struct Node {
    /// Place of the one before; [`NONE`] for the first blank.
    pub(super) parent: u32,
    /// Place of its board's view.
    pub(super) field: u16,
    /// Place in the field's list of blocks.
    pub(super) block: u16,
    pub(super) level: Level,
    pub(super) front: Front,
    /// Still in the first row of its section, which may grow along u.
    pub(super) first_row: bool,
    /// Still in the first column of its row, which may grow along v.
    pub(super) first_column: bool,
    /// Area, each board's weighed by its price, of the boards before this one.
    pub(super) closed: f64,
    /// Cost of all boards so far.
    pub(super) cost: f64,
    /// Area of all blanks.
    pub(super) area: f64,
    pub(super) value: f64,
    pub(super) count: u32,
    /// Sum of the parts' random numbers: the same for the same parts in any order.
    pub(super) parts: u64,
}

impl Node {
    /// The node with a block more on the same board; costs, areas and counts are the caller's.
    pub(super) fn with(&self, block: u16, level: Level, front: Front) -> Node {
        Node {
            block,
            level,
            front,
            ..*self
        }
    }
}

/// How freely a board's stages grow.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Habit {
    /// Rows may be lengthened and raised by later blanks. Needless on clear boards, where
    /// the longest row and the highest column can be made first; past obstacles order matters.
    pub(super) loose: bool,
    /// The first column of a row may be several blanks high.
    pub(super) tall_first: bool,
}

/// All ways to lay one more block on the node's own board, by the deepest level first.
///
/// A blank that lies in the free rest of the column, row or section without enlarging it
/// could be moved there in any plan that leaves it empty, so where such a blank exists
/// only those are looked at; the levels above wait until nothing more fits. True where
/// some blank fits without enlarging, so that no new board need be opened.
pub(super) fn on_same_board(
    field: &Field,
    node: &Node,
    pool: &[u32],
    habit: Habit,
    starts: &mut Vec<(f64, f64)>,
    out: &mut Vec<Node>,
) -> bool {
    let f = node.front;
    let (max_u, max_v) = (field.usable.max.x, field.usable.max.y);
    let end_of_wood = field.whole.max.y;
    let (kerf_u, kerf_v) = field.kerf;
    let room = |u0: f64, u1: f64, v0: f64, v1: f64| Bounds {
        min: Point { x: u0, y: v0 },
        max: Point { x: u1, y: v1 },
    };
    let mut lay = |level: Level,
                   room: Bounds,
                   keep: &dyn Fn(f64, f64, f64, f64) -> bool,
                   front: &dyn Fn(f64, f64, f64, f64) -> Front,
                   out: &mut Vec<Node>| {
        if room.min.x > room.max.x || room.min.y > room.max.y {
            return false;
        }
        let before = out.len();
        let first = match level {
            Level::Stack | Level::Row => Axis::V,
            Level::Column | Level::Section | Level::Board => Axis::U,
        };
        for place in &field.order {
            let block = &field.blocks[usize::from(*place)];
            if !block.is_in(pool) {
                continue;
            }
            let Some((u, v)) = field.place(block, &room, first, starts) else {
                continue;
            };
            let (end_u, end_v) = (u + block.width(), v + block.height());
            if keep(u, v, end_u, end_v) {
                out.push(node.with(*place, level, front(u, v, end_u, end_v)));
            }
        }
        out.len() > before
    };

    // Above the last blank in its column.
    let ends = f.ends(field);
    let over = ends.v2 + kerf_v;
    let stacked = lay(
        Level::Stack,
        room(f.c0, f.c1, over, f.v1),
        &|u, _, end_u, end_v| {
            field.can_part_u(f.c1 - end_u)
                && field.can_part_u(u - f.c0)
                && field.can_part_v(f.v1 - end_v)
        },
        &|_, _, _, end_v| Front { v2: end_v, ..f },
        out,
    );
    if stacked {
        return true;
    }
    if node.first_column && habit.tall_first {
        lay(
            Level::Stack,
            room(f.c0, f.c1, over, max_v),
            &|_, _, end_u, end_v| {
                field.can_part_u(f.c1 - end_u) && field.can_part_v(end_of_wood - end_v)
            },
            &|_, _, _, end_v| Front {
                v1: end_v,
                v2: end_v,
                ..f
            },
            out,
        );
    }
    if !field.can_part_v(f.v1 - f.v2) {
        return false;
    }

    // Beside it: the next column.
    let beside = ends.c1 + kerf_u;
    let in_row = lay(
        Level::Column,
        room(beside, f.u1, f.v0, f.v1),
        &|_, v, _, end_v| field.can_part_v(f.v1 - end_v) && field.can_part_v(v - f.v0),
        &|_, _, end_u, end_v| Front {
            c0: beside,
            c1: end_u,
            v2: end_v,
            ..f
        },
        out,
    );
    if in_row && !node.first_row {
        return true;
    }
    if node.first_row || habit.loose {
        let top = if habit.loose { max_v } else { f.v1 };
        lay(
            Level::Column,
            room(beside, max_u, f.v0, top),
            &|_, _, end_u, end_v| {
                (end_u > f.u1 + field.bite || end_v > f.v1 + field.bite)
                    && field.can_part_v((f.v1 - end_v).max(0.0))
                    && field.can_part_v((end_v - f.v1).max(0.0))
            },
            &|_, _, end_u, end_v| Front {
                u1: f.u1.max(end_u),
                v1: f.v1.max(end_v),
                c0: beside,
                c1: end_u,
                v2: end_v,
                ..f
            },
            out,
        );
    }
    if in_row {
        return true;
    }
    if !field.can_part_u(f.u1 - f.c1) {
        return false;
    }

    // Above the row.
    let above = ends.v1 + kerf_v;
    let in_section = lay(
        Level::Row,
        room(f.u0, f.u1, above, max_v),
        &|u, _, _, _| field.can_part_u(u - f.u0),
        &|_, v, end_u, end_v| Front {
            v0: v,
            v1: end_v,
            c0: f.u0,
            c1: end_u,
            v2: end_v,
            ..f
        },
        out,
    );
    if habit.loose {
        lay(
            Level::Row,
            room(f.u0, max_u, above, max_v),
            &|_, _, end_u, _| end_u > f.u1 + field.bite,
            &|_, v, end_u, end_v| Front {
                u1: end_u,
                v0: v,
                v1: end_v,
                c0: f.u0,
                c1: end_u,
                v2: end_v,
                ..f
            },
            out,
        );
    }
    if in_section {
        return true;
    }
    if !field.can_part_v(end_of_wood - f.v1) {
        return false;
    }

    // The next section.
    let beyond = ends.u1 + kerf_u;
    lay(
        Level::Section,
        room(beyond, max_u, field.usable.min.y, max_v),
        &|_, _, _, _| true,
        &|u, v, end_u, end_v| Front {
            u0: u,
            u1: end_u,
            v0: v,
            v1: end_v,
            c0: u,
            c1: end_u,
            v2: end_v,
        },
        out,
    )
}

/// The front of a board with a first blank.
pub(super) fn first_front(at: (f64, f64), width: f64, height: f64) -> Front {
    Front {
        u0: at.0,
        u1: at.0 + width,
        v0: at.1,
        v1: at.1 + height,
        c0: at.0,
        c1: at.0 + width,
        v2: at.1 + height,
    }
}
