//! Blanks: the rough-sized wood a part is finished from.

use heartside_geometry::{Bounds, Point, Region};

use crate::job::{Allowances, Board, Faces, Part, PartCut, Surface, Warp};

/// A blank in the part's frame: every point within `radius` of `core`.
///
/// Straight parts: the bounding box of the finished outline plus the end allowance at
/// each end and the edge allowance at each side, radius 0. Sawn parts: the finished
/// outline with the sawn allowance as radius, so that corners are rounded and holes
/// shrink, and every rule about a blank is an exact rule about distances.
#[derive(Debug, Clone, PartialEq)]
pub struct Blank {
    /// The region.
    pub core: Region,
    /// How far round it the blank reaches.
    pub radius: f64,
}

impl Blank {
    /// The blank of a part.
    pub fn of(part: &Part) -> Blank {
        match part.cut {
            // A rectangle of no size cannot be: a sound part has an area, allowances are not negative.
            PartCut::Straight => {
                let core = Region::rectangle(straight_bounds(part))
                    .unwrap_or_else(|| part.outline.clone());
                Blank { core, radius: 0.0 }
            }
            PartCut::Sawn => Blank {
                core: part.outline.clone(),
                radius: part.allowances.sawn,
            },
        }
    }

    /// The blank's bounding box in the part's frame.
    pub fn bounds(&self) -> Bounds {
        self.core.bounds().grown(self.radius)
    }
}

/// The rectangle of a straight part's blank, in the part's frame.
pub fn straight_bounds(part: &Part) -> Bounds {
    let finished = part.outline.bounds();
    let Allowances { end, edge, .. } = part.allowances;
    Bounds {
        min: Point {
            x: finished.min.x - end,
            y: finished.min.y - edge,
        },
        max: Point {
            x: finished.max.x + end,
            y: finished.max.y + edge,
        },
    }
}

/// The rectangle of what is flattened in one piece, in the part's frame; none where that is the blank.
pub fn flattened_bounds(part: &Part) -> Option<Bounds> {
    let (along, across) = part.composed?.flattened;
    Some(Bounds::of_size(along, across))
}

/// What is planed off each face of a part from this board.
///
/// A planed board known to be flat loses nothing; otherwise the part's `planing` where
/// the warp is unknown and its `clean_up` where it was measured.
pub fn planed_off_each_face(board: &Board, allowances: &Allowances) -> f64 {
    match board.warp {
        Warp::Flat if board.surface == Surface::Planed => 0.0,
        Warp::Flat | Warp::Measured { .. } => allowances.clean_up,
        Warp::Unknown => allowances.planing,
    }
}

/// The greatest finished thickness a blank of extent `along` by `across` gives on this board.
///
/// Measured warp: thickness - cup gap (w/over)^2 - bow gap (l/over)^2 - 1/2 twist lift
/// (w l)/(over_width over_length) - 2 clean-up; the sum is an upper bound of the loss
/// (a cup or bow of depth h costs h in all, a twist shimmed to its best plane half its
/// lift; cutting narrower divides a cup by the square of the ratio). Unknown warp:
/// thickness - 2 planing.
pub fn greatest_finished_thickness(
    board: &Board,
    allowances: &Allowances,
    along: f64,
    across: f64,
) -> f64 {
    let planed = 2.0 * planed_off_each_face(board, allowances);
    let lost = match board.warp {
        Warp::Unknown | Warp::Flat => 0.0,
        Warp::Measured { cup, bow, .. } => {
            let squared = |(gap, over): (f64, f64), extent: f64| {
                if gap > 0.0 && over > 0.0 {
                    gap * (extent / over) * (extent / over)
                } else {
                    0.0
                }
            };
            squared(cup, across) + squared(bow, along) + 0.5 * twist_over(board, along, across)
        }
    };
    board.thickness - lost - planed
}

/// The twist of a workpiece of extent `along` by `across` cut from this board, in millimetres: how
/// far one corner lifts off a flat surface on which the other three lie. 0 where none was measured.
///
/// A twisted board is close to a surface z = k x y, so the lift goes with the area:
/// lift x (along / over_length) x (across / over_width).
pub fn twist_over(board: &Board, along: f64, across: f64) -> f64 {
    match board.warp {
        Warp::Measured {
            twist: (lift, length, width),
            ..
        } if lift > 0.0 && length > 0.0 && width > 0.0 => {
            lift * (across / width) * (along / length)
        }
        _ => 0.0,
    }
}

/// Whether a part's face on the board's up (or down) face will be seen, given how it lies.
pub fn is_seen(faces: Faces, turned_over: bool, on_up_face: bool) -> bool {
    match faces {
        Faces::Both => true,
        Faces::One => turned_over != on_up_face,
        Faces::Hidden | Faces::Painted => false,
    }
}

/// Whether a part's face on the board's up (or down) face will be seen or painted.
pub fn is_seen_or_painted(faces: Faces, turned_over: bool, on_up_face: bool) -> bool {
    faces == Faces::Painted || is_seen(faces, turned_over, on_up_face)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn twist_goes_with_the_area_and_half_of_it_is_lost() {
        let document = serde_json::json!({
            "format": "heartside-job", "version": crate::document::VERSION,
            "boards": [{"id": "A", "thickness": 30, "outline": {"form": "tape", "length": 2000,
                "stations": [{"at": 0, "left": 100, "right": 100}]},
                "warp": {"twist": {"lift": 8}}}],
        });
        let opened = crate::document::Document::open(&document.to_string()).expect("it is a job");
        let mut board = crate::prepare(&opened.document).job.boards.remove(0);
        assert_eq!(twist_over(&board, 2000.0, 200.0), 8.0);
        assert_eq!(twist_over(&board, 1000.0, 50.0), 1.0);
        let allowances = Allowances {
            end: 0.0,
            edge: 0.0,
            sawn: 0.0,
            planing: 2.5,
            clean_up: 1.0,
        };
        let thick = greatest_finished_thickness(&board, &allowances, 1000.0, 50.0);
        assert_eq!(thick, 30.0 - 0.5 - 2.0);
        board.warp = Warp::Flat;
        assert_eq!(twist_over(&board, 2000.0, 200.0), 0.0);
    }
}
