//! Placements on the grid of the job, and the rectangles that they take up.

use heartside_geometry::{Bounds, Point, Pose, math};
use heartside_timber::job::{Part, PartCut};
use heartside_timber::plan::Placed;

use super::Ground;
use crate::cuts::fits::Fit;

impl Ground {
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
    pub(crate) fn placed_near(&self, origin: Point, turn: f64, turned_over: bool) -> Placed {
        let at = self.to_board.apply(origin);
        Placed {
            x: self.tolerance.snap(at.x),
            y: self.tolerance.snap(at.y),
            turn,
            turned_over,
        }
    }

    /// The spacing of placements; 0 where they are free.
    pub fn grid_step(&self) -> f64 {
        self.tolerance.grid.unwrap_or(0.0)
    }

    pub(super) fn snap_up(&self, value: f64, grid: f64) -> f64 {
        let near = self.tolerance.snap(value);
        if near >= value - self.noise {
            near
        } else {
            self.tolerance.snap(near + grid)
        }
    }

    /// The rectangle, in the frame, of a blank whose part's origin lies at a point of the board.
    pub(super) fn rect_at(&self, fit: &Fit, at: Point) -> Bounds {
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
