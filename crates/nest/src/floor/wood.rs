//! Where a blank may lie on a board at most: the board in cells, as seen in one frame.
//!
//! A cell counts as blocked where it surely holds a point that no blank may cover: outside, trimmed off,
//! or nearer to a flaw than its margin. A blank that covers a blocked cell wholly cannot lie there. Where
//! anything is in doubt the cell is open: too much may lie on it, never too little.

use heartside_geometry::{Bounds, Convex, Point, Region, convex_pieces};
use heartside_timber::job::{Board, Job};
use heartside_timber::plan::Frame;

/// Cells and shapes must overlap by more than this, in millimetres: beyond what a checker forgives.
pub(super) const HAIR: f64 = 0.01;

/// How a board is looked at: in a frame, along it or, x and y exchanged, across it.
#[derive(Debug, Clone, Copy)]
pub(super) struct View {
    pub(super) angle: f64,
    pub(super) crosswise: bool,
}

impl View {
    fn frame(self) -> Frame {
        Frame {
            angle: self.angle,
            ..Frame::default()
        }
    }

    fn point(self, p: Point) -> Point {
        let p = self.frame().inverse().apply(p);
        if self.crosswise {
            Point { x: p.y, y: p.x }
        } else {
            p
        }
    }

    fn points<'a>(self, points: impl IntoIterator<Item = &'a Point>) -> Vec<Point> {
        points.into_iter().map(|p| self.point(*p)).collect()
    }
}

/// All points within a margin of a convex shape: its corners in order, or the ends of a line.
#[derive(Debug, Clone)]
pub(super) struct Block {
    corners: Vec<Point>,
    margin: f64,
}

impl Block {
    /// A shape in convex pieces, as seen.
    pub(super) fn all_of(region: &Region, margin: f64, view: View) -> Vec<Block> {
        let margin = (margin - HAIR).max(0.0);
        let seen = |piece: &Convex| Block {
            corners: view.points(piece.points()),
            margin,
        };
        convex_pieces(region).iter().map(seen).collect()
    }

    /// Its least and greatest y between two upright lines.
    fn extent(&self, from: f64, to: f64) -> Option<(f64, f64)> {
        let mut found: Option<(f64, f64)> = None;
        let mut meet = |low: f64, high: f64| {
            let (l, h) = found.unwrap_or((low, high));
            found = Some((l.min(low), h.max(high)));
        };
        for (k, a) in self.corners.iter().enumerate() {
            let off = (from - a.x).max(a.x - to).max(0.0);
            if off <= self.margin {
                let reach = (self.margin * self.margin - off * off).sqrt();
                meet(a.y - reach, a.y + reach);
            }
            let b = self.corners[(k + 1) % self.corners.len()];
            let length = a.distance(b);
            if length <= 0.0 {
                continue;
            }
            let aside = (b - *a).turned_left() * (self.margin / length);
            // On the inner side the line runs within the shape too.
            for (p, q) in [(*a + aside, b + aside), (*a - aside, b - aside)] {
                let (p, q) = if p.x <= q.x { (p, q) } else { (q, p) };
                if q.x < from || p.x > to || p.x >= q.x {
                    continue;
                }
                let at = |x: f64| p.y + (q.y - p.y) * ((x - p.x) / (q.x - p.x));
                let (y, z) = (at(from.max(p.x)), at(to.min(q.x)));
                meet(y.min(z), y.max(z));
            }
        }
        found
    }
}

/// The cells of a board: columns side by side along x, each of so many rows.
#[derive(Debug, Clone)]
pub(super) struct Wood {
    /// What all blanks lie in.
    pub(super) bounds: Bounds,
    pub(super) columns: usize,
    pub(super) rows: usize,
    /// Of a column, and of a row, in millimetres.
    pub(super) wide: f64,
    pub(super) high: f64,
    blocked: Vec<bool>,
}

impl Wood {
    /// The board's outline, its holes and what is trimmed off raw sides.
    pub(super) fn new(
        job: &Job,
        board: &Board,
        view: View,
        columns: usize,
        most_rows: f64,
    ) -> Wood {
        let ring = view.points(board.outline.outer().points());
        let all = Bounds::of_points(ring.iter().copied()).unwrap_or(Bounds::of_size(1.0, 1.0));
        let mut bounds = all;
        let mut blocks = Vec::new();
        for ((a, b), side) in board.outline.edges().zip(&board.sides) {
            let trim = side.trim(&job.workshop) - HAIR;
            if trim <= 0.0 {
                continue;
            }
            let (a, b) = (view.point(a), view.point(b));
            let high = (a.y - b.y).abs() >= all.height() - 1e-6;
            let wide = (a.x - b.x).abs() >= all.width() - 1e-6;
            // A side that runs square across all of it moves the bounds in.
            match (
                high && (a.x - b.x).abs() < 1e-6,
                wide && (a.y - b.y).abs() < 1e-6,
            ) {
                (true, _) if a.x < all.centre().x => bounds.min.x = bounds.min.x.max(a.x + trim),
                (true, _) => bounds.max.x = bounds.max.x.min(a.x - trim),
                (_, true) if a.y < all.centre().y => bounds.min.y = bounds.min.y.max(a.y + trim),
                (_, true) => bounds.max.y = bounds.max.y.min(a.y - trim),
                _ => blocks.push(Block {
                    corners: vec![a, b],
                    margin: trim,
                }),
            }
        }
        if bounds.is_empty() {
            bounds = all;
        }
        let bounds = bounds.grown(HAIR);
        // Most sizes are whole or half millimetres: units of them lose nothing.
        let mut high = 0.5;
        while bounds.height() / high > most_rows {
            high *= 2.0;
        }
        let rows = ((bounds.height() / high).ceil() as usize).max(1);
        let mut wood = Wood {
            bounds,
            columns,
            rows,
            wide: bounds.width() / columns as f64,
            high,
            blocked: vec![false; columns * rows],
        };
        wood.block_outside(&ring);
        for hole in board.outline.holes() {
            if let Some(hole) = hole_of(hole.points()) {
                wood.block(&Block::all_of(&hole, 0.0, view));
            }
        }
        wood.block(&blocks);
        wood
    }

    /// Blocks the cells that reach into the blocks.
    pub(super) fn block(&mut self, blocks: &[Block]) {
        for block in blocks {
            for column in 0..self.columns {
                let (from, to) = self.across(column);
                if let Some((low, high)) = block.extent(from, to) {
                    self.block_between(column, low, high);
                }
            }
        }
    }

    /// A column's left and right, a hair within.
    fn across(&self, column: usize) -> (f64, f64) {
        let from = self.bounds.min.x + self.wide * column as f64;
        (from + HAIR, from + self.wide - HAIR)
    }

    fn block_between(&mut self, column: usize, low: f64, high: f64) {
        let (bottom, high_of_one) = (self.bounds.min.y, self.high);
        let from = ((low + HAIR - bottom) / high_of_one).floor().max(0.0) as usize;
        let to = ((high - HAIR - bottom) / high_of_one).ceil().max(0.0) as usize;
        for row in from.min(self.rows)..to.min(self.rows) {
            self.blocked[column * self.rows + row] = true;
        }
    }

    /// Blocks what lies beyond the ring at some upright line that is looked at.
    fn block_outside(&mut self, ring: &[Point]) {
        let Bounds { min, max } = self.bounds.grown(1.0);
        for column in 0..self.columns {
            let (from, to) = self.across(column);
            let corners = ring.iter().flat_map(|p| [p.x - HAIR, p.x + HAIR]);
            let within = corners.filter(|x| (from..=to).contains(x));
            let lines: Vec<f64> = [from, to].into_iter().chain(within).collect();
            for x in lines {
                match span(ring, x) {
                    Some((low, high)) => {
                        self.block_between(column, min.y, low);
                        self.block_between(column, high, max.y);
                    }
                    None => self.block_between(column, min.y, max.y),
                }
            }
        }
    }

    /// How many blocked cells lie left of and below each corner of the cells.
    pub(super) fn sums(&self) -> Sums {
        let across = self.rows + 1;
        let mut of = vec![0u32; (self.columns + 1) * across];
        for column in 0..self.columns {
            let mut so_far = 0;
            for row in 0..self.rows {
                so_far += u32::from(self.blocked[column * self.rows + row]);
                of[(column + 1) * across + row + 1] = of[column * across + row + 1] + so_far;
            }
        }
        Sums { across, of }
    }
}

/// Sums of blocked cells, for asking about boxes of them.
#[derive(Debug, Clone)]
pub(super) struct Sums {
    across: usize,
    of: Vec<u32>,
}

impl Sums {
    /// True where none of these cells is blocked.
    pub(super) fn is_open(&self, columns: (usize, usize), rows: (usize, usize)) -> bool {
        if columns.0 >= columns.1 || rows.0 >= rows.1 {
            return true;
        }
        let at = |c: usize, r: usize| self.of[c * self.across + r];
        at(columns.1, rows.1) + at(columns.0, rows.0)
            == at(columns.0, rows.1) + at(columns.1, rows.0)
    }
}

fn hole_of(points: &[Point]) -> Option<Region> {
    let mut points = points.to_vec();
    if points.len() > 2 {
        points.reverse();
    }
    heartside_geometry::Ring::new(points)
        .ok()
        .map(Region::from_ring)
}

/// The lowest and highest place of a ring on an upright line.
fn span(ring: &[Point], x: f64) -> Option<(f64, f64)> {
    let mut found: Option<(f64, f64)> = None;
    for (k, a) in ring.iter().enumerate() {
        let b = ring[(k + 1) % ring.len()];
        let (p, q) = if a.x <= b.x { (*a, b) } else { (b, *a) };
        if x < p.x || x > q.x {
            continue;
        }
        let ys = if p.x == q.x {
            [p.y, q.y]
        } else {
            [p.y + (q.y - p.y) * ((x - p.x) / (q.x - p.x)); 2]
        };
        for y in ys {
            let (low, high) = found.unwrap_or((y, y));
            found = Some((low.min(y), high.max(y)));
        }
    }
    found
}
