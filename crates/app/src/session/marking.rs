//! Marked areas moved on the picture of their board.

use heartside_timber::document::{BoardEnd, Hand, Length, ZoneFrom, ZoneShape};
use heartside_timber::length::Unit;

use super::{Change, Session};
use crate::protocol::{Outcome, Rectangle, Thing};

const GONE: &str = "this marked area is not there any more";

impl Session {
    /// Where a marked area lies on the floor: its box, y down. Nothing while its board cannot be used.
    pub fn mark_box(&self, mark: &Thing) -> Option<Rectangle> {
        let typed = self.document.boards.get(mark.at())?;
        let board = self.sound_board(mark.at(), typed)?;
        let zone = board.zones.iter().find(|z| z.index == mark.within())?;
        let lying = self.lying();
        let origin = lying.iter().find(|b| b.board.board == board.id)?.origin;
        let bounds = zone.shape.bounds();
        Some(Rectangle {
            x: origin.x + bounds.min.x,
            y: origin.y - bounds.max.y,
            width: bounds.width(),
            height: bounds.height(),
        })
    }

    /// Moves a marked area by so many millimetres along its board and to the left of it. It is
    /// measured from where it was measured before.
    pub fn shift_mark(&mut self, mark: &Thing, along: f64, left: f64) -> Outcome {
        let mut after = self.document.clone();
        let unit = after.units.length;
        let zones = after.boards.get_mut(mark.at()).map(|b| &mut b.zones);
        let Some(shape) = zones
            .and_then(|z| z.get_mut(mark.within()))
            .and_then(|z| z.shape.as_mut())
        else {
            return Outcome::refused(GONE);
        };
        if !along.is_finite() || !left.is_finite() {
            return Outcome::refused("a mark can only be moved on the floor");
        }
        let moved = shifts(shape, along, left)
            .into_iter()
            .all(|(length, by)| shift(length, by, unit));
        if !moved {
            return Outcome::refused("its place is not a plain length: change it in its form");
        }
        let prepared = match self.with_all_usable(&after) {
            Ok(prepared) => prepared,
            Err(why) => return Outcome::refused(why),
        };
        let label = format!("moving {}", self.called(mark));
        self.commit_prepared(&label, after, Change::Job, prepared);
        Outcome::done().with_thing(mark.clone())
    }
}

/// The lengths that say where a shape lies, and what each grows by.
fn shifts(shape: &mut ZoneShape, along: f64, left: f64) -> Vec<(&mut Length, f64)> {
    let across = |from: ZoneFrom| match from {
        ZoneFrom::RightEdge | ZoneFrom::ChalkLine => left,
        ZoneFrom::LeftEdge => -left,
    };
    match shape {
        ZoneShape::Spot {
            along: at,
            across: over,
            from,
            ..
        } => vec![(at, along), (over, across(*from))],
        ZoneShape::Span {
            end,
            begins,
            ends,
            edge,
            near,
            far,
            ..
        } => {
            let along = match end {
                BoardEnd::Start => along,
                BoardEnd::Far => -along,
            };
            let across = across(*edge);
            vec![
                (begins, along),
                (ends, along),
                (near, across),
                (far, across),
            ]
        }
        ZoneShape::Strip { side, width } => {
            let wider = match side {
                Hand::Right => left,
                Hand::Left => -left,
            };
            vec![(width, wider)]
        }
        ZoneShape::Polygon { points } => points
            .iter_mut()
            .flat_map(|[x, y]| [(x, along), (y, left)])
            .collect(),
    }
}

/// False where the length is worked out or cannot be read.
fn shift(length: &mut Length, by: f64, unit: Unit) -> bool {
    let Some(mm) = length.plain_mm() else {
        return by == 0.0;
    };
    let step = match unit {
        Unit::Millimetres => 1.0,
        Unit::Inches => 25.4 / 16.0,
    };
    let by = (by / step).round() * step;
    if by != 0.0 {
        *length = Length::Mm(mm + by);
    }
    true
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::protocol::ThingKind;

    /// However it is measured, a mark lies as much farther along and to the left as it was moved,
    /// and moved back it lies where it lay.
    #[test]
    fn a_mark_goes_where_it_is_moved_however_it_is_measured() {
        let shapes = [
            r#"{"form": "span", "begins": 600, "ends": 660, "near": 50, "far": 90}"#,
            r#"{"form": "span", "end": "far", "begins": 600, "ends": 660, "edge": "left_edge", "near": 50, "far": 90}"#,
            r#"{"form": "span", "begins": 600, "ends": 660, "edge": "chalk_line", "near": -50, "far": -20}"#,
            r#"{"form": "spot", "along": 600, "across": 70, "length": 60, "width": 40}"#,
            r#"{"form": "spot", "along": 600, "across": 70, "from": "left_edge", "length": 60, "width": 40}"#,
            r#"{"form": "polygon", "points": [[500, 0], [600, 0], [550, 40]]}"#,
        ];
        for shape in shapes {
            let text = format!(
                r#"{{"format": "heartside-job", "version": 3, "boards": [{{"id": "A", "thickness": 27,
                "outline": {{"form": "tape", "length": 2000, "stations": [{{"at": 0, "left": 100, "right": 110}}]}},
                "zones": [{{"shape": {shape}}}]}}]}}"#
            );
            let mut session = Session::default();
            assert!(session.open(&text).accepted);
            let mark = Thing::inner(ThingKind::Zone, 0, 0);
            let before = session.mark_box(&mark).unwrap();
            assert!(session.shift_mark(&mark, 37.2, 11.8).done, "{shape}");
            let after = session.mark_box(&mark).unwrap();
            assert!((after.x - before.x - 37.0).abs() < 1e-6, "{shape}");
            assert!((before.y - after.y - 12.0).abs() < 1e-6, "{shape}");
            assert!((after.width - before.width).abs() < 1e-6, "{shape}");
            assert!(session.shift_mark(&mark, -37.0, -12.0).done);
            let back = session.mark_box(&mark).unwrap();
            assert!((back.x - before.x).abs() < 1e-6 && (back.y - before.y).abs() < 1e-6);
            assert!(session.undo().done);
            assert_eq!(session.mark_box(&mark).unwrap(), after);
        }
    }
}
