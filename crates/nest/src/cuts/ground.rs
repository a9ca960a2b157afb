//! A board seen in the frame of its straight cuts: wood, obstacles, true edges, and how each part may lie.

use std::sync::Arc;

use heartside_geometry::Arrange;
use heartside_geometry::{
    Bounds, Convex, Point, Pose, Ring, Tolerance, Transform, convex_pieces, math, outside_pieces,
};
use heartside_timber::blank::twist_over;
use heartside_timber::document::{Stops, ZoneKind};
use heartside_timber::grain::{CELL, difference};
use heartside_timber::job::{Board, GrainRule, Job, Part, PartCut, Warp};
use heartside_timber::plan::{Frame, Placed};

use super::fits::{Class, Fit, Pair};
use super::obstacle::Piece;
use super::outline::{StraightEdge, clipped, is_upright_rectangle, straight_edges, straighten};
use super::side::Side;
use crate::fit;
use crate::waney::FewLines;

/// One board in one frame.
#[derive(Debug, Clone)]
pub(crate) struct Ground {
    /// The board's place in the job's list.
    pub(crate) board: usize,
    /// The frame.
    pub(crate) frame: Frame,
    /// Thickness of the board.
    pub(crate) thickness: f64,
    /// Bounds of the outline in the frame.
    pub(crate) bounds: Bounds,
    /// Where blanks may lie at all: the bounds less the trim where the outline is an upright rectangle, else the bounds.
    pub(crate) usable: Bounds,
    /// All obstacles.
    pub(crate) pieces: Vec<Piece>,
    /// The pieces that are fixings, and the cuts they stop.
    pub(crate) fixings: Vec<(usize, Stops)>,
    /// Sets of obstacles that some part keeps clear of.
    pub(crate) classes: Vec<Class>,
    /// What an offcut worth keeping is clear of: a place in the list of classes.
    pub(crate) offcut_class: usize,
    /// For each part of the job, the ways it may lie; boards on which they are the same share them.
    pub(crate) fits: Vec<Arc<[Fit]>>,
    /// Sawn parts that may share a rectangle, each in one way to lie.
    pub(crate) pairs: Vec<Pair>,
    /// For each part that is sawn, by its place in the job, all ways it may lie, by quarters of a turn
    /// against the frame.
    sawn_lies: Vec<(usize, Vec<(u32, Fit)>)>,
    /// Rounding below which two lines in the frame are the same, well under what the checker forgives.
    pub(crate) noise: f64,
    /// What a leaf may exceed its blank by, so that placements can lie on the grid.
    pub(crate) leaf_play: f64,
    /// What a cut may run into a blank by, where an exact fit leaves no room for the grid.
    pub(crate) bite: f64,
    outside_count: usize,
    board_count: usize,
    outline: Vec<Point>,
    holes: Vec<Vec<Point>>,
    is_upright: bool,
    straight_edges: Vec<StraightEdge>,
    /// Twist of each square millimetre of the board.
    twist: f64,
    to_board: Transform,
    tolerance: Tolerance,
}

/// A way to lie that a board allows, whatever the size of the blank.
#[derive(Debug, Clone, Copy)]
struct Lie {
    /// Quarters of a turn against the frame.
    quarter: u32,
    /// Turn of the placement, in the board.
    turn: f64,
    turned_over: bool,
    /// The obstacles.
    class: usize,
}

/// A zone's pieces with its margin, without one, and with the kerf of a cut or of a sawn line besides: ranges in the list of pieces.
#[derive(Debug, Clone)]
struct ZonePieces {
    margin: std::ops::Range<usize>,
    bare: std::ops::Range<usize>,
    beside_cut: std::ops::Range<usize>,
    beside_line: std::ops::Range<usize>,
}

impl Ground {
    /// The board in the frame turned by `angle` about the board's own origin.
    ///
    /// O(parts + kinds of demands x zones) and the cutting of outline and zones into convex pieces;
    /// O(parts x zones) on a board whose warp was measured.
    pub(crate) fn new(job: &Job, board_index: usize, angle: f64) -> Ground {
        Ground::for_parts(job, board_index, angle, &|_| true)
    }

    /// As [`Ground::new`], but only for some of the parts: the others have no way to lie.
    pub(crate) fn for_parts(
        job: &Job,
        board_index: usize,
        angle: f64,
        wanted: &dyn Fn(usize) -> bool,
    ) -> Ground {
        let board = &job.boards[board_index];
        let frame = Frame {
            x: 0.0,
            y: 0.0,
            angle,
        };
        let to_board = frame.pose().transform();
        let to_frame = Pose {
            x: 0.0,
            y: 0.0,
            turn: -angle,
            turned_over: false,
        }
        .transform();
        let noise = job.tolerance.slack * 0.1;
        let mut outline: Vec<Point> = board
            .outline
            .outer()
            .points()
            .iter()
            .map(|p| to_frame.apply(*p))
            .collect();
        straighten(&mut outline, noise);
        let bounds =
            Bounds::of_points(outline.iter().copied()).unwrap_or_else(|| board.outline.bounds());
        let in_frame = |hole: &Ring| hole.points().iter().map(|p| to_frame.apply(*p)).collect();
        let holes: Vec<Vec<Point>> = board.outline.holes().iter().map(in_frame).collect();
        let is_upright = holes.is_empty() && is_upright_rectangle(&outline);
        let mut ground = Ground {
            board: board_index,
            frame,
            thickness: board.thickness,
            bounds,
            usable: bounds,
            pieces: Vec::new(),
            fixings: Vec::new(),
            classes: Vec::new(),
            offcut_class: 0,
            fits: Vec::new(),
            pairs: Vec::new(),
            sawn_lies: Vec::new(),
            noise,
            leaf_play: job.tolerance.slack + 1.5 * job.tolerance.grid.unwrap_or(0.0),
            bite: 0.9 * job.tolerance.slack,
            straight_edges: straight_edges(board, &outline, noise),
            outside_count: 0,
            board_count: 0,
            outline,
            holes,
            is_upright,
            twist: twist_over(board, 1.0, 1.0),
            to_board,
            tolerance: job.tolerance,
        };
        let outside = ground.add_outside(job, board, &to_frame);
        let zones = ground.add_zones(job, board, &to_frame);
        ground.outside_count = outside;
        ground.board_count = ground.pieces.len();
        let flaws = board
            .zones
            .iter()
            .zip(&zones)
            .filter(|(z, _)| matches!(z.kind, ZoneKind::Defect | ZoneKind::Fixing));
        let blank = (0..outside)
            .chain(flaws.flat_map(|(_, pieces)| pieces.margin.clone()))
            .collect();
        ground.offcut_class = ground.class_like(Class {
            blank,
            ..Class::default()
        });
        // Parts that ask the same of a board lie the same ways on it, each with its own size.
        let is_by_size = matches!(board.warp, Warp::Measured { .. });
        let mut known: Vec<(&Part, Vec<Lie>)> = Vec::new();
        let none: Arc<[Fit]> = Arc::new([]);
        for (index, part) in job.parts.iter().enumerate() {
            if !wanted(index) {
                ground.fits.push(Arc::clone(&none));
                continue;
            }
            let place = known
                .iter()
                .position(|(other, _)| !is_by_size && asks_alike(other, part));
            let place = match place {
                Some(place) => place,
                None => {
                    let lies = ground.lies_of(job, board, part, outside, &zones, &to_frame);
                    if is_by_size {
                        known.clear();
                    }
                    known.push((part, lies));
                    known.len() - 1
                }
            };
            let lies: Vec<(u32, Fit)> = (known[place].1.iter())
                .map(|lie| (lie.quarter, ground.fit_of(part, lie)))
                .collect();
            let mut fits: Vec<Fit> = Vec::new();
            for (_, fit) in &lies {
                if !fits.iter().any(|f| f.same_room(fit, noise)) {
                    fits.push(*fit);
                }
            }
            ground.fits.push(match fits.is_empty() {
                true => Arc::clone(&none),
                false => fits.into(),
            });
            if part.cut == PartCut::Sawn {
                ground.sawn_lies.push((index, lies));
            }
        }
        ground
    }

    /// Shares the ways to lie with another board's where they are the same: with thousands of kinds of
    /// parts on hundreds of boards they would take gigabytes.
    pub(crate) fn share_with(&mut self, other: &Ground) {
        for (own, theirs) in self.fits.iter_mut().zip(&other.fits) {
            if own == theirs {
                own.clone_from(theirs);
            }
        }
    }

    /// What lies outside the outline and what is trimmed off it; the number of pieces.
    fn add_outside(&mut self, job: &Job, board: &Board, to_frame: &Transform) -> usize {
        let count = self.outline.len();
        let trims: Vec<f64> = (0..count)
            .map(|k| board.sides.get(k).map_or(0.0, |s| s.trim(&job.workshop)))
            .collect();
        if self.is_upright {
            for (k, trim) in trims.iter().enumerate() {
                let (a, b) = (self.outline[k], self.outline[(k + 1) % count]);
                let middle = a.midpoint(b);
                let centre = self.bounds.centre();
                if a.x == b.x {
                    if middle.x < centre.x {
                        self.usable.min.x += trim
                    } else {
                        self.usable.max.x -= trim
                    }
                } else if middle.y < centre.y {
                    self.usable.min.y += trim;
                } else {
                    self.usable.max.y -= trim;
                }
            }
            return 0;
        }
        if let Some(few) = FewLines::of(board, &job.workshop) {
            // A blank would not get past very many corners one by one.
            for convex in outside_pieces(&few.region, 100.0) {
                self.pieces.extend(piece_in_frame(&convex, to_frame, 0.0));
            }
            for (a, b, kept) in few.lines.iter().filter(|(_, _, kept)| *kept > 0.0) {
                let ends = vec![to_frame.apply(*a), to_frame.apply(*b)];
                self.pieces
                    .extend(Piece::new(ends, kept + job.tolerance.extra));
            }
            return self.pieces.len();
        }
        for convex in outside_pieces(&board.outline, 100.0) {
            self.pieces.extend(piece_in_frame(&convex, to_frame, 0.0));
        }
        for (k, trim) in trims.iter().enumerate() {
            if *trim > 0.0 {
                let ends = vec![self.outline[k], self.outline[(k + 1) % count]];
                self.pieces
                    .extend(Piece::new(ends, trim + job.tolerance.extra));
            }
        }
        let of_holes = board.outline.edges().zip(&board.sides).skip(count);
        for ((a, b), side) in of_holes {
            let trim = side.trim(&job.workshop);
            if trim > 0.0 {
                let ends = vec![to_frame.apply(a), to_frame.apply(b)];
                self.pieces
                    .extend(Piece::new(ends, trim + job.tolerance.extra));
            }
        }
        self.pieces.len()
    }

    /// The zones' pieces, for each zone of the board.
    fn add_zones(&mut self, job: &Job, board: &Board, to_frame: &Transform) -> Vec<ZonePieces> {
        let sawn_kerf = job.workshop.sawn_kerf;
        let cutting = job.workshop.tools.iter().filter(|t| t.rips || t.crosscuts);
        let least_kerf = cutting.map(|t| t.kerf).fold(f64::INFINITY, f64::min);
        let least_kerf = if least_kerf.is_finite() {
            least_kerf
        } else {
            0.0
        };
        let any_sawn = job.parts.iter().any(|p| p.cut == PartCut::Sawn);
        let mut list = Vec::with_capacity(board.zones.len());
        for zone in board.zones.iter() {
            let is_fixing = zone.kind == ZoneKind::Fixing;
            let convex = match zone.kind {
                ZoneKind::Figure => Vec::new(),
                _ => convex_pieces(&zone.shape),
            };
            let extra = job.tolerance.extra;
            let mut add = |radius: f64| {
                let start = self.pieces.len();
                let pieces = convex
                    .iter()
                    .filter_map(|c| piece_in_frame(c, to_frame, radius));
                self.pieces.extend(pieces);
                start..self.pieces.len()
            };
            let margin = add(zone.margin + extra);
            let needs_bare = zone.kind == ZoneKind::Defect && zone.margin > 0.0 && !zone.sound;
            let bare = if needs_bare {
                add(extra)
            } else {
                margin.clone()
            };
            // Between a blank and a fixing there is always a cut, and its kerf misses the fixing
            // too. With the least kerf no place is lost where a cut could be made.
            let beside_cut = if is_fixing && zone.stops == Stops::All && least_kerf > 0.0 {
                add(zone.margin + extra + least_kerf)
            } else {
                margin.clone()
            };
            // The line sawn round a sawn part must miss fixings too.
            let beside_line = if is_fixing && any_sawn {
                add(zone.margin + extra + sawn_kerf.max(least_kerf))
            } else {
                margin.clone()
            };
            if is_fixing {
                self.fixings.extend(margin.clone().map(|p| (p, zone.stops)));
            }
            list.push(ZonePieces {
                margin,
                bare,
                beside_cut,
                beside_line,
            });
        }
        list
    }

    /// A part's blank lying one way.
    fn fit_of(&self, part: &Part, lie: &Lie) -> Fit {
        let relative = 90.0 * f64::from(lie.quarter);
        self.fit(part, relative, lie.turn, lie.turned_over, lie.class)
    }

    /// Every way a part may lie, by quarters of a turn against the frame.
    fn lies_of(
        &mut self,
        job: &Job,
        board: &Board,
        part: &Part,
        outside: usize,
        zones: &[ZonePieces],
        to_frame: &Transform,
    ) -> Vec<Lie> {
        let mut lies = Vec::new();
        if !fit::is_usable(board)
            || !fit::species_fits(board, part)
            || !fit::can_be_sawn(job, board, part)
        {
            return lies;
        }
        let over_choices: &[bool] = if fit::turning_over_matters(board, part) {
            &[false, true]
        } else {
            &[false]
        };
        for quarter in 0..4u32 {
            for turned_over in over_choices {
                let relative = 90.0 * f64::from(quarter);
                let Some(turn) =
                    listed_turn(part, math::normalise_deg(self.frame.angle + relative))
                else {
                    continue;
                };
                if !fit::grain_allows(board, part, turn)
                    || !fit::thick_enough(job, board, part, turn, *turned_over)
                {
                    continue;
                }
                let mut class = Class {
                    blank: (0..outside).collect(),
                    ..Class::default()
                };
                for (zone, pieces) in board.zones.iter().zip(zones) {
                    let asks = fit::zone_asks(board, zone, part, *turned_over);
                    let margin = match part.cut {
                        PartCut::Straight => &pieces.beside_cut,
                        PartCut::Sawn => &pieces.beside_line,
                    };
                    if asks.or_around {
                        class.around.extend(match part.cut {
                            PartCut::Straight => pieces.margin.clone(),
                            PartCut::Sawn => margin.clone(),
                        });
                    } else if asks.blank_clear {
                        class.blank.extend(margin.clone());
                    }
                    if asks.blank_outside {
                        class.blank.extend(pieces.bare.clone());
                    }
                    if asks.finished_clear {
                        class.finished.extend(pieces.margin.clone());
                    }
                }
                if let Some(tolerance) =
                    fit::grain_tolerance(part).filter(|_| board.grain.is_bent())
                {
                    let from = self.pieces.len();
                    let axis = fit::grain_axis(part, turn);
                    self.add_wild_grain(board, axis, tolerance, to_frame);
                    class.blank.extend(from..self.pieces.len());
                }
                lies.push(Lie {
                    quarter,
                    turn,
                    turned_over: *turned_over,
                    class: self.class_like(class),
                });
            }
        }
        lies
    }

    /// Cells of a bent board where the grain leaves the axis by more than the tolerance, joined along the board.
    fn add_wild_grain(&mut self, board: &Board, axis: f64, tolerance: f64, to_frame: &Transform) {
        let bounds = board.outline.bounds();
        let columns = (bounds.width() / CELL).ceil().max(1.0) as usize;
        let rows = (bounds.height() / CELL).ceil().max(1.0) as usize;
        let edge_x = |column: usize| bounds.min.x + column as f64 * CELL;
        let edge_y = |row: usize| bounds.min.y + row as f64 * CELL;
        for row in 0..rows {
            let is_wild = |column: usize| {
                let middle = Point {
                    x: edge_x(column) + CELL / 2.0,
                    y: edge_y(row) + CELL / 2.0,
                };
                difference(axis, board.grain.angle_at(middle)) > tolerance
            };
            let mut column = 0;
            while column < columns {
                let start = column;
                while column < columns && is_wild(column) {
                    column += 1;
                }
                if column > start {
                    let run = Bounds {
                        min: Point {
                            x: edge_x(start),
                            y: edge_y(row),
                        },
                        max: Point {
                            x: edge_x(column),
                            y: edge_y(row + 1),
                        },
                    };
                    let corners = run.corners().iter().map(|p| to_frame.apply(*p)).collect();
                    self.pieces
                        .extend(Piece::new(corners, self.tolerance.extra));
                }
                column += 1;
            }
        }
    }

    pub(super) fn class_like(&mut self, class: Class) -> usize {
        match self.classes.iter().position(|c| *c == class) {
            Some(place) => place,
            None => {
                self.classes.push(class);
                self.classes.len() - 1
            }
        }
    }

    /// A rectangle of clear wood, as if it were a part.
    pub(crate) fn clear_rectangle(&self, width: f64, height: f64) -> Fit {
        Fit {
            width,
            height,
            inset: (0.0, 0.0),
            turn: 0.0,
            turned_over: false,
            class: self.offcut_class,
            origin: (0.0, 0.0),
        }
    }

    fn fit(&self, part: &Part, relative: f64, turn: f64, turned_over: bool, class: usize) -> Fit {
        let bounds = fit::turned_blank(part, relative, turned_over);
        let inset = match part.cut {
            PartCut::Sawn => (part.allowances.sawn, part.allowances.sawn),
            PartCut::Straight if relative.rem_euclid(180.0) == 0.0 => {
                (part.allowances.end, part.allowances.edge)
            }
            PartCut::Straight => (part.allowances.edge, part.allowances.end),
        };
        Fit {
            width: bounds.width(),
            height: bounds.height(),
            inset,
            turn,
            turned_over,
            class,
            origin: (-bounds.min.x, -bounds.min.y),
        }
    }

    /// True for an upright rectangle without anything on it that blanks or cuts keep clear of.
    #[cfg(feature = "proofs")]
    pub(crate) fn is_clear_rectangle(&self) -> bool {
        self.is_upright
            && self.usable == self.bounds
            && self.pieces.is_empty()
            && self.fixings.is_empty()
    }

    /// How many of the first pieces are the outline's outside and its trim.
    pub(crate) fn outside_count(&self) -> usize {
        self.outside_count
    }

    /// Bounds of the wood within an upright rectangle of the frame; none where there is none.
    ///
    /// The outline is clipped to the rectangle side by side (Sutherland & Hodgman 1974);
    /// the seams this leaves in hollow outlines run between points of the wood, so the
    /// bounds are right all the same. O(outline points).
    pub(crate) fn wood_within(&self, rect: &Bounds) -> Option<Bounds> {
        let wood = self.wood_touching(rect)?;
        (wood.width() > self.noise && wood.height() > self.noise).then_some(wood)
    }

    /// As [`Ground::wood_within`], but slivers and touching lines count.
    pub(crate) fn wood_touching(&self, rect: &Bounds) -> Option<Bounds> {
        let common = self.bounds.intersection(*rect)?;
        if self.is_upright {
            return Some(common);
        }
        let mut points = self.outline.clone();
        let sides = [Side::LowX, Side::HighX, Side::LowY, Side::HighY];
        for side in sides {
            points = clipped(&points, side, side.of(rect));
        }
        Bounds::of_points(points)
    }

    /// Over what length straight, true sides of the board run along this side of some wood.
    pub(crate) fn straight_along(&self, side: Side, tight: &Bounds) -> f64 {
        let at = side.of(tight);
        let (from, to) = side.span(tight);
        // Sides of one ring share no stretch of a line.
        self.straight_edges
            .iter()
            .filter(|e| e.side == side && (e.at - at).abs() <= self.noise)
            .map(|e| (e.to.min(to) - e.from.max(from)).max(0.0))
            .sum()
    }

    /// Over what length wood of a rectangle lies along one of its sides.
    ///
    /// O(corners), or at once on an upright rectangular board.
    pub(crate) fn wood_along(&self, side: Side, rect: &Bounds) -> f64 {
        let (from, to) = side.span(rect);
        if self.is_upright {
            let (low, high) = side.span(&self.bounds);
            return (to.min(high) - from.max(low)).max(0.0);
        }
        // A hair inside, so that sides of the outline on the very line do not matter.
        let inwards = if side.is_low() {
            self.noise
        } else {
            -self.noise
        };
        let at = side.of(rect) + inwards;
        let mut crossings = Vec::new();
        for ring in std::iter::once(&self.outline).chain(&self.holes) {
            for (k, a) in ring.iter().enumerate() {
                let b = &ring[(k + 1) % ring.len()];
                let ((u, v), (w, z)) = (side.seen(*a), side.seen(*b));
                if (v <= at) != (z <= at) {
                    crossings.push(u + (at - v) / (z - v) * (w - u));
                }
            }
        }
        crossings.arrange_by(f64::total_cmp);
        crossings
            .chunks_exact(2)
            .map(|pair| (pair[1].min(to) - pair[0].max(from)).max(0.0))
            .sum()
    }

    /// Twist of a workpiece with this box, in millimetres.
    pub(crate) fn twist_of(&self, tight: &Bounds) -> f64 {
        self.twist * tight.width() * tight.height()
    }

    /// The placement, on the job's grid, of a blank whose low corner is at or just beyond (x, y), and its rectangle.
    ///
    /// Moved up to the next grid point, so that nothing below is met; at most one and a
    /// half grid steps further.
    pub(crate) fn settle(&self, fit: &Fit, x: f64, y: f64) -> (Placed, Bounds) {
        let origin = Point {
            x: x + fit.origin.0,
            y: y + fit.origin.1,
        };
        let at = match self.tolerance.grid {
            None => self.to_board.apply(origin),
            Some(grid) if self.frame.angle == 0.0 => Point {
                x: self.snap_up(origin.x, grid),
                y: self.snap_up(origin.y, grid),
            },
            Some(grid) => {
                let lifted = self.to_board.apply(Point {
                    x: origin.x + 0.71 * grid,
                    y: origin.y + 0.71 * grid,
                });
                Point {
                    x: self.tolerance.snap(lifted.x),
                    y: self.tolerance.snap(lifted.y),
                }
            }
        };
        let placed = Placed {
            x: at.x,
            y: at.y,
            turn: fit.turn,
            turned_over: fit.turned_over,
        };
        (placed, self.rect_at(fit, at))
    }

    /// The placement, on the job's grid, whose origin is nearest to a point of the frame.
    pub(super) fn placed_near(&self, origin: Point, turn: f64, turned_over: bool) -> Placed {
        let at = self.to_board.apply(origin);
        Placed {
            x: self.tolerance.snap(at.x),
            y: self.tolerance.snap(at.y),
            turn,
            turned_over,
        }
    }

    /// A sawn part's way to lie, turned by quarters against the frame; none where it may not.
    pub(super) fn sawn_lie(&self, part: usize, quarters: u32, turned_over: bool) -> Option<Fit> {
        let place = self.sawn_lies.binary_search_by_key(&part, |(of, _)| *of);
        let mut lies = self.sawn_lies[place.ok()?].1.iter();
        lies.find(|(q, fit)| *q == quarters && fit.turned_over == turned_over)
            .map(|(_, fit)| *fit)
    }

    /// The spacing of placements; 0 where they are free.
    pub(crate) fn grid_step(&self) -> f64 {
        self.tolerance.grid.unwrap_or(0.0)
    }

    fn snap_up(&self, value: f64, grid: f64) -> f64 {
        let near = self.tolerance.snap(value);
        if near >= value - self.noise {
            near
        } else {
            self.tolerance.snap(near + grid)
        }
    }

    /// The rectangle, in the frame, of a blank whose part's origin lies at a point of the board.
    fn rect_at(&self, fit: &Fit, at: Point) -> Bounds {
        let back = Pose {
            x: 0.0,
            y: 0.0,
            turn: -self.frame.angle,
            turned_over: false,
        }
        .transform()
        .apply(at);
        let min = Point {
            x: back.x - fit.origin.0,
            y: back.y - fit.origin.1,
        };
        Bounds {
            min,
            max: Point {
                x: min.x + fit.width,
                y: min.y + fit.height,
            },
        }
    }

    /// The rectangle, in the frame, of a placed part: its blank, or the box round a sawn
    /// part's; none where a straight part's turn is not square to the frame.
    pub(crate) fn rect_of(&self, part: &Part, placed: &Placed) -> Option<Bounds> {
        let relative = math::normalise_deg(placed.turn - self.frame.angle);
        let quarters = (relative / 90.0).round();
        let is_square = (relative - 90.0 * quarters).abs() <= 1e-7;
        if !is_square && part.cut == PartCut::Straight {
            return None;
        }
        let relative = if is_square {
            90.0 * quarters.rem_euclid(4.0)
        } else {
            relative
        };
        let fit = self.fit(part, relative, placed.turn, placed.turned_over, 0);
        Some(self.rect_at(
            &fit,
            Point {
                x: placed.x,
                y: placed.y,
            },
        ))
    }
}

/// True where two parts ask the same of a board, their sizes apart.
fn asks_alike(one: &Part, other: &Part) -> bool {
    one.cut == other.cut
        && one.thickness == other.thickness
        && one.faces == other.faces
        && one.may_turn_over == other.may_turn_over
        && one.fixing_ok == other.fixing_ok
        && one.allowances == other.allowances
        && one.grain == other.grain
        && one.species == other.species
}

/// The turn as the part lists it, where it lists turns.
pub(crate) fn listed_turn(part: &Part, turn: f64) -> Option<f64> {
    match &part.grain {
        GrainRule::Turns(turns) => turns.iter().copied().find(|t| fit::same_turn(*t, turn)),
        GrainRule::Axis { .. } | GrainRule::Any => Some(turn),
    }
}

fn piece_in_frame(convex: &Convex, to_frame: &Transform, radius: f64) -> Option<Piece> {
    Piece::new(
        convex.points().iter().map(|p| to_frame.apply(*p)).collect(),
        radius,
    )
}
