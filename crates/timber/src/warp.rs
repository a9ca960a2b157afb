//! Warp as arcs: what cutting narrower or shorter leaves of a cup, bow or crook.
//!
//! Mathematics of the circular arc with chord w and depth h: R = w²/(8h) + h/2, spanning
//! theta = 2 asin(w / 2R). A strip of one n-th of the arc keeps the depth
//! R (1 - cos(theta / 2n)), which is h/n² to better than 0.2 % for h/w under 1/25.

use heartside_geometry::math;
use thiserror::Error;

/// A circular arc: the profile of a cupped, bowed or crooked board.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WarpArc {
    chord: f64,
    depth: f64,
    radius: f64,
    /// Radians.
    span: f64,
}

/// Why a chord and a depth are no warp.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum WarpError {
    /// The span is not a finite length above 0.
    #[error("the span over which the warp was measured must be more than 0")]
    Span,
    /// The gap is not finite, below 0, or more than half the span.
    #[error("the gap must be from 0 to half the span over which it was measured")]
    Gap,
}

impl WarpArc {
    /// An arc by its chord (width for a cup, length for bow and crook) and depth, in mm.
    ///
    /// # Errors
    /// A chord that is not above 0, a depth below 0 or above half the chord (the arc would
    /// be more than a half circle), or a value that is not finite.
    pub fn new(chord: f64, depth: f64) -> Result<WarpArc, WarpError> {
        if !chord.is_finite() || chord <= 0.0 {
            return Err(WarpError::Span);
        }
        if !depth.is_finite() || depth < 0.0 || depth > chord / 2.0 {
            return Err(WarpError::Gap);
        }
        if depth == 0.0 {
            return Ok(WarpArc {
                chord,
                depth,
                radius: f64::INFINITY,
                span: 0.0,
            });
        }
        let radius = chord * chord / (8.0 * depth) + depth / 2.0;
        let span = 2.0 * math::asin((chord / (2.0 * radius)).min(1.0));
        Ok(WarpArc {
            chord,
            depth,
            radius,
            span,
        })
    }

    /// Radius in mm; infinite where there is no warp.
    pub fn radius(&self) -> f64 {
        self.radius
    }

    /// The angle that the arc spans, in degrees.
    pub fn span_degrees(&self) -> f64 {
        math::to_degrees(self.span)
    }

    /// The depth left in each of `pieces` equal pieces, in mm; nothing is lost to kerfs.
    pub fn depth_in_each_of(&self, pieces: u32) -> f64 {
        self.depth_over_angle(self.span / f64::from(pieces.max(1)))
    }

    /// The depth left in each of `pieces` equal pieces when every cut takes `kerf`, with
    /// the width of a piece: (width, depth), both in mm. Nothing if the kerfs eat all.
    pub fn pieces_after_kerf(&self, pieces: u32, kerf: f64) -> Option<(f64, f64)> {
        let pieces = f64::from(pieces.max(1));
        let width = (self.chord - (pieces - 1.0) * kerf) / pieces;
        (width > 0.0).then(|| (width, self.depth_over_chord(width)))
    }

    /// The depth under a straight edge of length `chord` laid anywhere on the arc, in mm.
    pub fn depth_over_chord(&self, chord: f64) -> f64 {
        if self.depth == 0.0 {
            return 0.0;
        }
        let half = (chord / 2.0).clamp(0.0, self.radius);
        // R - sqrt(R² - a²), written so that nearly equal numbers are not subtracted.
        let rest = (self.radius * self.radius - half * half).sqrt();
        half * half / (self.radius + rest)
    }

    /// By how many degrees each edge of one of `pieces` equal pieces is off square to its
    /// own chord.
    pub fn edge_off_square(&self, pieces: u32) -> f64 {
        self.span_degrees() / (2.0 * f64::from(pieces.max(1)))
    }

    /// The V-shaped gap, in mm, between two such edges closed without being cut again, in
    /// wood of the given thickness.
    pub fn joint_gap(&self, pieces: u32, thickness: f64) -> f64 {
        2.0 * thickness * math::tan(math::to_radians(self.edge_off_square(pieces)))
    }

    /// R (1 - cos(a/2)) = 2 R sin²(a/4): the second form keeps its digits for flat arcs.
    fn depth_over_angle(&self, angle: f64) -> f64 {
        if self.depth == 0.0 {
            return 0.0;
        }
        let sine = math::sin(angle / 4.0);
        2.0 * self.radius * sine * sine
    }
}

/// The greatest flat plank in a twisted board of even thickness: (shimmed to the best
/// plane, three corners on the table), in mm. Half the lift is lost shimmed, all of it not.
pub fn flat_from_twist(thickness: f64, lift: f64) -> (f64, f64) {
    (thickness - lift / 2.0, thickness - lift)
}

/// One row of "how many staves must this board be ripped into?".
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StavesRow {
    /// Number of staves; one less glue lines.
    pub staves: u32,
    /// Width of each stave in mm, kerfs taken off.
    pub stave_width: f64,
    /// Cup left in each stave, in mm.
    pub cup_left: f64,
    /// Thickness that each stave finishes at, in mm.
    pub finishes_at: f64,
}

/// The most staves that the table goes to; narrower strips are not glued up by hand.
pub const MOST_STAVES: u32 = 20;

/// For each number of staves, what thickness a cupped board finishes at.
///
/// A stave finishes at the board's thickness less its own cup, less `clean_up` on both
/// faces. Rows run from one stave (the whole board) to the first that reaches `wanted`,
/// or to [`MOST_STAVES`]; the last row tells whether it can be done.
///
/// # Units and conventions
/// Millimetres.
///
/// # Errors
/// As [`WarpArc::new`].
pub fn staves_for_thickness(board: &CuppedBoard, wanted: f64) -> Result<Vec<StavesRow>, WarpError> {
    let arc = WarpArc::new(board.width, board.cup)?;
    let mut rows = Vec::new();
    for staves in 1..=MOST_STAVES {
        let Some((stave_width, cup_left)) = arc.pieces_after_kerf(staves, board.kerf) else {
            break;
        };
        let finishes_at = board.thickness - cup_left - 2.0 * board.clean_up;
        rows.push(StavesRow {
            staves,
            stave_width,
            cup_left,
            finishes_at,
        });
        if finishes_at >= wanted {
            break;
        }
    }
    Ok(rows)
}

/// A cupped board as [`staves_for_thickness`] needs it, in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CuppedBoard {
    /// Width over which the cup was measured.
    pub width: f64,
    /// Measured thickness.
    pub thickness: f64,
    /// Gap under the straight edge.
    pub cup: f64,
    /// Kerf of the rip.
    pub kerf: f64,
    /// Planed off each face once flat.
    pub clean_up: f64,
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(value: f64, expected: f64, within: f64) {
        assert!(
            (value - expected).abs() <= within,
            "{value} is not {expected}"
        );
    }

    /// Computed from the arc relations (mathematics).
    #[test]
    fn arcs_of_cupped_boards() {
        for (width, cup, radius, span, left) in [
            (400.0, 3.0, 6668.167, 3.4375, [0.750, 0.333, 0.1875, 0.120]),
            (300.0, 5.0, 2252.5, 7.6366, [1.2503, 0.5557, 0.3126, 0.2001]),
            (250.0, 1.0, 7813.0, 1.8334, [0.250, 0.111, 0.0625, 0.040]),
            (200.0, 2.0, 2501.0, 4.5831, [0.500, 0.222, 0.125, 0.080]),
            (150.0, 2.0, 1407.25, 6.1101, [0.5001, 0.2223, 0.125, 0.080]),
            (
                152.4,
                6.35,
                460.375,
                19.0546,
                [1.5902, 0.7070, 0.3977, 0.2546],
            ),
        ] {
            let arc = WarpArc::new(width, cup).unwrap();
            near(arc.radius(), radius, 0.001);
            near(arc.span_degrees(), span, 0.0001);
            for (pieces, expected) in (2..).zip(left) {
                near(arc.depth_in_each_of(pieces), expected, 0.0006);
            }
        }
    }

    #[test]
    fn ripping_with_kerf() {
        let arc = WarpArc::new(400.0, 3.0).unwrap();
        for (pieces, width, cup) in [
            (2, 198.4, 0.738),
            (3, 131.2, 0.323),
            (4, 97.6, 0.179),
            (5, 77.44, 0.113),
        ] {
            let (stave, left) = arc.pieces_after_kerf(pieces, 3.2).unwrap();
            near(stave, width, 0.07);
            near(left, cup, 0.001);
        }
        assert_eq!(arc.pieces_after_kerf(200, 3.2), None);
    }

    #[test]
    fn edges_off_square_open_the_joint() {
        let arc = WarpArc::new(400.0, 3.0).unwrap();
        for (pieces, degrees, gap) in [(2, 0.859, 0.600), (3, 0.573, 0.400), (4, 0.430, 0.300)] {
            near(arc.edge_off_square(pieces), degrees, 0.0005);
            near(arc.joint_gap(pieces, 20.0), gap, 0.0005);
        }
    }

    #[test]
    fn bow_falls_with_the_square_of_the_number_of_pieces() {
        for (length, bow, left) in [
            (2400.0, 12.0, [3.0, 1.333, 0.75]),
            (1800.0, 6.0, [1.5, 0.667, 0.375]),
            (1000.0, 2.0, [0.5, 0.222, 0.125]),
        ] {
            let arc = WarpArc::new(length, bow).unwrap();
            for (pieces, expected) in (2..).zip(left) {
                near(arc.depth_in_each_of(pieces), expected, 0.001);
                // The plain rule h/n² that rule 6 uses.
                let plain = bow / f64::from(pieces * pieces);
                near(plain, expected, 0.001);
            }
        }
        near(WarpArc::new(2400.0, 12.0).unwrap().radius(), 60006.0, 0.001);
    }

    /// The plain rule c (w/W)² used for layouts stays within 0.2 % of the arc.
    #[test]
    fn the_plain_rule_is_near_the_arc() {
        for (width, cup) in [(400.0, 16.0), (300.0, 5.0), (120.0, 1.0)] {
            let arc = WarpArc::new(width, cup).unwrap();
            for share in [0.2, 0.25, 0.5, 0.75] {
                let exact = arc.depth_over_chord(width * share);
                near(cup * share * share / exact, 1.0, 0.007);
            }
            near(arc.depth_over_chord(width), cup, 1e-9);
        }
    }

    /// Computed examples: a 27 mm board of 2000 x 200 with a twist of 8, and a cup of 4
    /// over 250 ripped in two and three.
    #[test]
    fn flat_planks_in_warped_boards() {
        assert_eq!(flat_from_twist(27.0, 8.0), (23.0, 19.0));
        assert_eq!(flat_from_twist(27.0, 4.0).0, 25.0);
        assert_eq!(flat_from_twist(27.0, 2.0).0, 26.0);
        let arc = WarpArc::new(250.0, 4.0).unwrap();
        near(27.0 - arc.depth_in_each_of(2), 26.0, 0.001);
        near(27.0 - arc.depth_in_each_of(3), 26.56, 0.005);
    }

    #[test]
    fn how_many_staves() {
        let board = CuppedBoard {
            width: 250.0,
            thickness: 27.0,
            cup: 4.0,
            kerf: 3.2,
            clean_up: 0.8,
        };
        let rows = staves_for_thickness(&board, 24.0).unwrap();
        assert_eq!(rows.iter().map(|r| r.staves).collect::<Vec<_>>(), [1, 2]);
        near(rows[0].finishes_at, 21.4, 1e-9);
        assert!(rows[1].finishes_at > 24.4);
        let never = staves_for_thickness(&board, 26.0).unwrap();
        assert_eq!(never.len(), MOST_STAVES as usize);
        assert!(
            never
                .windows(2)
                .all(|w| w[1].finishes_at > w[0].finishes_at)
        );
    }

    #[test]
    fn what_is_no_warp_is_refused() {
        assert_eq!(WarpArc::new(0.0, 1.0), Err(WarpError::Span));
        assert_eq!(WarpArc::new(f64::NAN, 1.0), Err(WarpError::Span));
        assert_eq!(WarpArc::new(100.0, -1.0), Err(WarpError::Gap));
        assert_eq!(WarpArc::new(100.0, 51.0), Err(WarpError::Gap));
        assert_eq!(WarpArc::new(100.0, f64::INFINITY), Err(WarpError::Gap));
        let flat = WarpArc::new(100.0, 0.0).unwrap();
        assert_eq!((flat.depth_in_each_of(3), flat.span_degrees()), (0.0, 0.0));
    }
}
