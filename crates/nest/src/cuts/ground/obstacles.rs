//! What blanks keep clear of on a board: convex pieces of what lies outside, of trim, zones and wild grain.

use heartside_geometry::{Bounds, Convex, Point, Transform, convex_pieces, outside_pieces};
use heartside_timber::document::{Stops, ZoneKind};
use heartside_timber::grain::{CELL, difference};
use heartside_timber::job::{Board, Job, PartCut};

use super::Ground;
use crate::cuts::obstacle::Piece;
use crate::waney::FewLines;

impl Ground {
    /// What lies outside the outline and what is trimmed off it; the number of pieces.
    pub(super) fn add_outside(&mut self, job: &Job, board: &Board, to_frame: &Transform) -> usize {
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
    pub(super) fn add_zones(
        &mut self,
        job: &Job,
        board: &Board,
        to_frame: &Transform,
    ) -> Vec<ZonePieces> {
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

    /// Cells of a bent board where the grain leaves the axis by more than the tolerance, joined along the board.
    pub(super) fn add_wild_grain(
        &mut self,
        board: &Board,
        axis: f64,
        tolerance: f64,
        to_frame: &Transform,
    ) {
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
}

/// A zone's pieces with its margin, without one, and with the kerf of a cut or of a sawn line besides: ranges in the list of pieces.
#[derive(Debug, Clone)]
pub(super) struct ZonePieces {
    pub(super) margin: std::ops::Range<usize>,
    pub(super) bare: std::ops::Range<usize>,
    pub(super) beside_cut: std::ops::Range<usize>,
    pub(super) beside_line: std::ops::Range<usize>,
}

fn piece_in_frame(convex: &Convex, to_frame: &Transform, radius: f64) -> Option<Piece> {
    Piece::new(
        convex.points().iter().map(|p| to_frame.apply(*p)).collect(),
        radius,
    )
}
