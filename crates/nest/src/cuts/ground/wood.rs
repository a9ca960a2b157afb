//! The wood of a board within an upright rectangle.

use heartside_geometry::{Arrange, Bounds};

use super::Ground;
use crate::cuts::outline::clipped;
use crate::cuts::side::Side;

impl Ground {
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
}
