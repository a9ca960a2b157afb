//! What is put on the picture of a board: marked areas dropped and moved there, and widths added
//! where its edge is tapped.

use heartside_geometry::Point;
use heartside_timber::document::{
    BoardCopy, BoardEnd, Hand, Length, Zone, ZoneFrom, ZoneKind, ZoneShape,
};
use heartside_timber::length::Unit;

use super::editing::widths::{add_station_at, widths_at};
use super::{Change, Session};
use crate::protocol::{EdgeTapped, MarkKind, Outcome, Rectangle, Thing, ThingKind};

const GONE: &str = "this marked area is not there any more";
const NO_BOARD: &str = "this board is not there any more";

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

    /// The row of a board, and a place of the floor (y down) as one of its own, x from its start end.
    fn on_board(&self, board: &str, copy: u32, x: f64, y: f64) -> Option<(usize, Point)> {
        let of = BoardCopy {
            board: board.to_owned(),
            copy,
        };
        let row = self.document.boards.iter().position(|b| b.id == board)?;
        let sound = self.sound_board(row, &self.document.boards[row])?;
        let lying = self.lying();
        let origin = lying.iter().find(|b| b.board == of)?.origin;
        let start = sound.outline.bounds().min.x;
        let at = Point {
            x: x - origin.x - start,
            y: origin.y - y,
        };
        (at.x.is_finite() && at.y.is_finite()).then_some((row, at))
    }

    /// Adds a width where a long edge of a board by tape was tapped, no farther from it than
    /// `reach` millimetres. Elsewhere nothing is done, and nothing is said.
    pub fn tap_edge(&mut self, board: &str, copy: u32, x: f64, y: f64, reach: f64) -> EdgeTapped {
        let beside = EdgeTapped::default;
        let Some((row, at)) = self.on_board(board, copy, x, y) else {
            return beside();
        };
        let Some([left, right]) = widths_at(&self.document.boards[row], at.x) else {
            return beside();
        };
        let (to_left, to_right) = ((at.y - left).abs(), (at.y + right).abs());
        // A board that is drawn small is not edge all over.
        let reach = reach.min((left + right) / 4.0);
        let length = self
            .job
            .board(board)
            .map_or(0.0, |b| b.outline.bounds().width());
        let is_along = (-reach..=length + reach).contains(&at.x);
        if !is_along || to_left.min(to_right) > reach {
            return beside();
        }
        let mut after = self.document.clone();
        let Some(thing) = add_station_at(&mut after, row, at.x) else {
            return beside();
        };
        let prepared = match self.with_all_usable(&after) {
            Ok(prepared) => prepared,
            Err(why) => {
                return EdgeTapped {
                    outcome: Outcome::refused(why),
                    field: None,
                };
            }
        };
        let called = self.called(&thing);
        let added = self.commit_prepared(&format!("adding {called}"), after, Change::Job, prepared);
        let side = if to_left <= to_right { "left" } else { "right" };
        let outcome = Outcome::done().with_thing(thing.clone());
        EdgeTapped {
            outcome: match added {
                true => outcome.saying(format!("Added: {called}")),
                false => outcome,
            },
            field: Some(format!("outline.stations[{}].{side}", thing.within())),
        }
    }

    /// Marks an area with one tap on a board: of a usual size, its middle where it was tapped.
    /// Sapwood reaches from the nearer edge to there.
    pub fn drop_mark(&mut self, board: &str, copy: u32, x: f64, y: f64, what: MarkKind) -> Outcome {
        let Some((row, at)) = self.on_board(board, copy, x, y) else {
            return Outcome::refused(NO_BOARD);
        };
        let owner = Thing::row(ThingKind::Board, row);
        if let Some(why) = self.marked_too_late(ThingKind::Zone, Some(&owner)) {
            return Outcome::refused(why);
        }
        let Some(bounds) = self.job.board(board).map(|b| b.outline.bounds()) else {
            return Outcome::refused(NO_BOARD);
        };
        let edges = widths_at(&self.document.boards[row], at.x);
        let [left, right] = edges.unwrap_or([bounds.max.y, -bounds.min.y]);
        if !(0.0..=bounds.width()).contains(&at.x) || at.y > left || -at.y > right {
            return Outcome::refused("tap on the board, where the mark is to be");
        }
        let unit = self.document.units.length;
        let zone = usual_mark(what, at, [left, right], unit);
        let mut after = self.document.clone();
        let zones = &mut after.boards[row].zones;
        zones.push(zone);
        let thing = Thing::inner(ThingKind::Zone, row, zones.len() - 1);
        let prepared = match self.with_all_usable(&after) {
            Ok(prepared) => prepared,
            Err(why) => return Outcome::refused(why),
        };
        let label = format!("marking {} on {}", mark_words(what), self.called(&owner));
        self.commit_prepared(&label, after, Change::Job, prepared);
        Outcome::done()
            .saying(format!(
                "Marked: {} on {}",
                mark_words(what),
                self.called(&owner)
            ))
            .with_thing(thing)
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

fn mark_words(what: MarkKind) -> &'static str {
    match what {
        MarkKind::Knot => "a knot",
        MarkKind::Split => "a split",
        MarkKind::Sapwood => "sapwood",
        MarkKind::Fixing => "a screw or nail",
        MarkKind::Figure => "fine figure",
    }
}

/// A marked area of a usual size, to be moved and typed over. The sizes are no one's measure: a knot
/// as wide as a thumb is long, a split as long as a hand.
fn usual_mark(what: MarkKind, at: Point, [left, right]: [f64; 2], unit: Unit) -> Zone {
    let step = rule_step(unit);
    let round = |mm: f64| Length::Mm((mm / step).round() * step);
    let spot = |oval: bool, length: f64, width: f64| ZoneShape::Spot {
        oval,
        along: round(at.x),
        across: round(at.y),
        from: ZoneFrom::ChalkLine,
        length: round(length),
        width: round(width),
    };
    let (kind, note) = described(what);
    let shape = match what {
        MarkKind::Knot => spot(true, 40.0, 30.0),
        MarkKind::Split => spot(false, 150.0, 8.0),
        MarkKind::Sapwood => {
            let (to_left, to_right) = (left - at.y, right + at.y);
            let (side, width) = match to_left < to_right {
                true => (Hand::Left, to_left),
                false => (Hand::Right, to_right),
            };
            let width = round(width.max(step));
            ZoneShape::Strip { side, width }
        }
        MarkKind::Fixing => spot(true, 8.0, 8.0),
        MarkKind::Figure => spot(true, 300.0, 80.0),
    };
    Zone {
        kind,
        shape: Some(shape),
        note: note.to_owned(),
        ..Zone::default()
    }
}

/// What a mark is in the job, and what is noted of it.
pub(super) fn described(what: MarkKind) -> (ZoneKind, &'static str) {
    match what {
        MarkKind::Knot => (ZoneKind::Defect, "knot"),
        MarkKind::Split => (ZoneKind::Defect, "split"),
        MarkKind::Sapwood => (ZoneKind::Sapwood, ""),
        MarkKind::Fixing => (ZoneKind::Fixing, ""),
        MarkKind::Figure => (ZoneKind::Figure, ""),
    }
}

/// How finely a place is read off a rule.
pub(super) fn rule_step(unit: Unit) -> f64 {
    match unit {
        Unit::Millimetres => 1.0,
        Unit::Inches => 25.4 / 16.0,
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
    let step = rule_step(unit);
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
    use crate::session::tests::one_board;

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

    /// A place of board A on the floor.
    fn floor(session: &Session, x: f64, y: f64) -> (f64, f64) {
        let origin = session.lying()[0].origin;
        (origin.x + x, origin.y - y)
    }

    #[test]
    fn a_width_is_added_where_the_edge_is_tapped_and_changes_nothing_yet() {
        let mut session = one_board();
        let before = session.job.boards[0].outline.area();
        let (x, y) = floor(&session, 500.2, 106.0);
        let tapped = session.tap_edge("A", 1, x, y, 8.0);
        assert!(tapped.outcome.done);
        assert_eq!(tapped.field.as_deref(), Some("outline.stations[1].left"));
        assert_eq!(
            widths_at(&session.document.boards[0], 500.0),
            Some([105.0, 110.0])
        );
        assert!((session.job.boards[0].outline.area() - before).abs() < 1e-6);
        // The same place again: no second width there, and no step to undo.
        let (x, y) = floor(&session, 500.0, -109.0);
        let again = session.tap_edge("A", 1, x, y, 8.0);
        assert_eq!(again.field.as_deref(), Some("outline.stations[1].right"));
        assert!(session.undo().done);
        assert_eq!(session.document.boards[0], one_board().document.boards[0]);
        // In the middle of the board nothing is tapped.
        let (x, y) = floor(&session, 500.0, 10.0);
        assert_eq!(session.tap_edge("A", 1, x, y, 8.0), EdgeTapped::default());
        assert_eq!(session.tap_edge("B", 1, x, y, 8.0), EdgeTapped::default());
        assert_eq!(
            session.tap_edge("A", 1, f64::NAN, y, 8.0),
            EdgeTapped::default()
        );
    }

    #[test]
    fn a_mark_lies_where_it_was_dropped() {
        let mut session = one_board();
        for what in [
            MarkKind::Knot,
            MarkKind::Split,
            MarkKind::Fixing,
            MarkKind::Figure,
        ] {
            let (x, y) = floor(&session, 700.0, 20.0);
            let outcome = session.drop_mark("A", 1, x, y, what);
            assert!(outcome.done, "{:?}", outcome.problem);
            let lies = session.mark_box(&outcome.thing.unwrap()).unwrap();
            let middle = (lies.x + lies.width / 2.0, lies.y + lies.height / 2.0);
            assert!(
                (middle.0 - x).abs() < 1e-6 && (middle.1 - y).abs() < 1e-6,
                "{what:?}"
            );
        }
        assert_eq!(session.document.boards[0].zones.len(), 4);
        assert!(session.undo().done);
        assert_eq!(session.document.boards[0].zones.len(), 3);
        let (x, y) = floor(&session, 700.0, 200.0);
        assert!(!session.drop_mark("A", 1, x, y, MarkKind::Knot).done);
    }

    #[test]
    fn sapwood_reaches_from_the_nearer_edge_to_where_it_is_tapped() {
        let mut session = one_board();
        let (x, y) = floor(&session, 1000.0, 80.0);
        assert!(session.drop_mark("A", 1, x, y, MarkKind::Sapwood).done);
        let (x, y) = floor(&session, 1000.0, -95.0);
        assert!(session.drop_mark("A", 1, x, y, MarkKind::Sapwood).done);
        let strips: Vec<(Hand, f64)> = session.document.boards[0]
            .zones
            .iter()
            .map(|z| match &z.shape {
                Some(ZoneShape::Strip { side, width }) => (*side, width.plain_mm().unwrap()),
                _ => panic!("no strip"),
            })
            .collect();
        assert_eq!(strips, [(Hand::Left, 30.0), (Hand::Right, 15.0)]);
    }
}
