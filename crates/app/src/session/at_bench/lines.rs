//! A straight line over a board: drawn over the floor, drawn to a mark, and worded.

use heartside_cutting::board_words;
use heartside_drawing::BoardOnFloor;
use heartside_geometry::{Point, Region, Vector, math};
use heartside_timber::blank::Blank;
use heartside_timber::document::BoardCopy;
use heartside_timber::job::{Board, ZoneKind};
use heartside_timber::length::{write_angle, write_length};

use crate::protocol::{Ask, CopyOf, FloorLine, HeldLine};
use crate::session::Session;

/// A line so many degrees off square to its board, or off its length, was meant square or along.
const SQUARE_WITHIN: f64 = 4.0;
/// A shorter line has no direction, in millimetres.
const SHORTEST: f64 = 5.0;
/// No saw takes more, in millimetres: a band that reaches further runs askew to the line.
const WIDEST_KERF: f64 = 12.0;

/// The middle of a kerf across a board, in its own coordinates, from where it enters the wood to
/// where it last leaves it.
#[derive(Debug, Clone)]
pub(super) struct BoardLine {
    pub(super) board: BoardCopy,
    pub(super) ends: [Point; 2],
    pub(super) snapped: bool,
}

impl Session {
    /// A line of a cut while it is drawn over the floor; with `snap` it jumps to marks.
    pub fn hold_line(&self, line: &FloorLine, snap: bool) -> HeldLine {
        let mut held = HeldLine {
            x1: line.x1,
            y1: line.y1,
            x2: line.x2,
            y2: line.y2,
            ..HeldLine::default()
        };
        let boards = self.lying();
        let found = match self.line_over(&boards, line, None, snap) {
            Ok(found) => found,
            Err(why) => {
                held.sentence = why;
                return held;
            }
        };
        self.to_floor(&mut held, &found, &boards);
        held.snapped = found.snapped;
        held.board = Some(CopyOf::from(&found.board));
        match self.why_not_cut_further(&found.board) {
            Some(why) => held.sentence = why,
            None => {
                held.fits = true;
                held.sentence = self.line_words(&found);
            }
        }
        held
    }

    /// The line of a cut that was typed, to be seen on the floor; none while it runs nowhere.
    pub fn typed_line(&self, ask: &Ask) -> Option<HeldLine> {
        let found = self.own_line(ask).ok()?;
        let mut held = HeldLine {
            fits: true,
            ..HeldLine::default()
        };
        self.to_floor(&mut held, &found, &self.lying());
        Some(held)
    }

    fn to_floor(&self, held: &mut HeldLine, found: &BoardLine, boards: &[BoardOnFloor]) {
        if let Some(place) = boards.iter().find(|b| b.board == found.board) {
            let [a, b] = found.ends;
            let on_floor = |p: Point| (place.origin.x + p.x, place.origin.y - p.y);
            ((held.x1, held.y1), (held.x2, held.y2)) = (on_floor(a), on_floor(b));
        }
    }

    /// The line of a cut that was drawn over the floor, on the board that it runs over longest
    /// unless that is named.
    pub(super) fn line_over(
        &self,
        boards: &[BoardOnFloor],
        line: &FloorLine,
        named: Option<&BoardCopy>,
        snap: bool,
    ) -> Result<BoardLine, String> {
        let ends = [(line.x1, line.y1), (line.x2, line.y2)].map(|(x, y)| Point { x, y });
        if ends.iter().any(|p| !p.x.is_finite() || !p.y.is_finite()) {
            return Err("a cut can only run over the floor".to_owned());
        }
        if ends[0].distance(ends[1]) < SHORTEST {
            return Err("draw the line across the board".to_owned());
        }
        let on_board = |place: &BoardOnFloor| {
            ends.map(|p| Point {
                x: p.x - place.origin.x,
                y: place.origin.y - p.y,
            })
        };
        let candidates = boards
            .iter()
            .filter(|b| named.is_none_or(|named| b.board == *named));
        let over = candidates.filter_map(|place| {
            let board = self.job.board(&place.board.board)?;
            let [a, b] = on_board(place);
            let (from, to) = through(&board.outline, a, (b - a).unit()?)?;
            let length = a.distance(b);
            // How much of what was drawn lies over the board.
            let shared = to.min(length) - from.max(0.0);
            (shared > 0.0).then_some((shared, place, board))
        });
        let longest = over.max_by(|a, b| a.0.total_cmp(&b.0));
        let Some((_, place, board)) = longest else {
            return Err(match named {
                Some(named) => format!("the line misses {}", board_words(&self.job, named)),
                None => "the line misses the boards: draw it over one".to_owned(),
            });
        };
        let drawn = on_board(place);
        let (ends, snapped) = match snap {
            true => self.snapped(&place.board, board, drawn),
            false => (drawn, false),
        };
        let ends = right_across(&board.outline, ends)
            .ok_or_else(|| format!("the line misses {}", board_words(&self.job, &place.board)))?;
        Ok(BoardLine {
            board: place.board.clone(),
            ends,
            snapped,
        })
    }

    /// A line drawn to its nearest marks: square to the board or along it, beside a blank or a flaw,
    /// over a cut of the plan.
    fn snapped(&self, copy: &BoardCopy, board: &Board, ends: [Point; 2]) -> ([Point; 2], bool) {
        let [a, b] = ends;
        let plan = self.document.plan.as_ref();
        let layout = plan.and_then(|p| p.layout(&copy.board, copy.copy));
        let frame = layout.map_or(0.0, |l| l.frame.angle);
        let angle = math::atan2_deg(b.y - a.y, b.x - a.x);
        let off = (angle - frame + 45.0).rem_euclid(90.0) - 45.0;
        let middle = a.towards(b, 0.5);
        let (mut middle, mut angle, mut snapped) = (middle, angle, false);
        if off.abs() <= SQUARE_WITHIN {
            angle -= off;
            snapped = off != 0.0;
        }
        let (sin, cos) = math::sin_cos_deg(angle);
        let (along, square) = (Vector::new(cos, sin), Vector::new(-sin, cos));
        let place = |p: Point| p.x * square.x + p.y * square.y;
        let here = place(middle);
        let reach = self.reach();
        let kerf = self.kerf_of_own(runs_along(along));
        let near = self.marks_beside(copy, board, kerf, &place).into_iter();
        let nearest = near
            .map(|mark| mark - here)
            .filter(|by| by.abs() <= reach)
            .min_by(|a, b| a.abs().total_cmp(&b.abs()));
        if let Some(by) = nearest {
            middle += square * by;
            snapped = true;
        }
        ([middle + along * -1.0, middle + along], snapped)
    }

    /// Where the middle of a kerf would lie beside what is marked on a board, measured square to it.
    fn marks_beside(
        &self,
        copy: &BoardCopy,
        board: &Board,
        kerf: f64,
        place: &dyn Fn(Point) -> f64,
    ) -> Vec<f64> {
        let mut marks = Vec::new();
        let mut beside = |points: &mut dyn Iterator<Item = Point>, gap: f64| {
            if let Some((low, high)) = reach_of(points.map(place)) {
                let away = gap + kerf / 2.0;
                marks.extend([low - away, high + away]);
            }
        };
        let plan = self.document.plan.as_ref();
        let layout = plan.and_then(|p| p.layout(&copy.board, copy.copy));
        for placement in layout.iter().flat_map(|l| &l.placements) {
            if let Some(part) = self.job.part(&placement.part) {
                let blank = Blank::of(part);
                let core = placement.pose().apply_region(&blank.core);
                beside(&mut core.outer().points().iter().copied(), blank.radius);
            }
        }
        for zone in board.zones.iter().filter(|z| z.kind != ZoneKind::Figure) {
            beside(
                &mut zone.shape.outer().points().iter().copied(),
                zone.margin,
            );
        }
        let steps = self.judged.iter().flat_map(|j| &j.steps);
        let bands = steps.filter(|s| s.board == *copy && !s.band.is_empty());
        marks.extend(bands.filter_map(|s| {
            let reach = reach_of(s.band.iter().map(|p| place(*p)));
            // A cut that runs another way is no mark for this one.
            let (low, high) = reach.filter(|(low, high)| high - low < WIDEST_KERF)?;
            Some((low + high) / 2.0)
        }));
        marks
    }

    /// "across A2, 640 mm from its start end"; with the angle where it is not square.
    pub(super) fn line_words(&self, line: &BoardLine) -> String {
        let label = heartside_cutting::board_label(&self.job, &line.board);
        let Some(board) = self.job.board(&line.board.board) else {
            return label;
        };
        let bounds = board.outline.bounds();
        let [a, b] = line.ends;
        let middle = a.towards(b, 0.5);
        let angle = math::atan2_deg(b.y - a.y, b.x - a.x).rem_euclid(180.0);
        let is_along = runs_along(b - a);
        let show = |mm: f64| write_length(mm, &self.job.units);
        let (way, measure, off) = if is_along {
            let off = angle.min(180.0 - angle);
            let from = show(middle.y - bounds.min.y);
            ("along", format!("{from} from its right edge"), off)
        } else {
            let from = show(middle.x - bounds.min.x);
            (
                "across",
                format!("{from} from its start end"),
                (angle - 90.0).abs(),
            )
        };
        let off = (off * 10.0).round() / 10.0;
        match off == 0.0 {
            true => format!("{way} {label}, {measure}"),
            false => format!(
                "{way} {label} at {}, {measure} in its middle",
                write_angle(off)
            ),
        }
    }

    /// Why a board or piece is cut no further: it is gone, or a blank in hand.
    pub(in crate::session) fn why_not_cut_further(&self, copy: &BoardCopy) -> Option<String> {
        let words = || board_words(&self.job, copy);
        let Some(board) = self.job.board(&copy.board) else {
            return Some("this board is not there any more".to_owned());
        };
        if board.copies().all(|there| there != copy.copy) {
            return Some(format!(
                "{} is cut already: take one of its pieces",
                words()
            ));
        }
        let held = board.from.as_ref().and_then(|from| from.holds.as_ref());
        held.map(|held| {
            let name = self.copy_words(&held.part_copy());
            format!("{name} is in hand, and is cut no further: say that it was spoiled first")
        })
    }
}

/// The least and the largest of some places; none of none.
fn reach_of(places: impl Iterator<Item = f64>) -> Option<(f64, f64)> {
    places.fold(None, |so_far: Option<(f64, f64)>, p| {
        Some(so_far.map_or((p, p), |(low, high)| (low.min(p), high.max(p))))
    })
}

/// True for a line that runs more along the board than across it.
pub(super) fn runs_along(line: Vector) -> bool {
    line.x.abs() >= line.y.abs()
}

/// Where a line enters a region and where it last leaves it, in lengths of its direction from a point;
/// none where it misses.
fn through(region: &Region, from: Point, along: Vector) -> Option<(f64, f64)> {
    let side = |p: Point| along.x * (p.y - from.y) - along.y * (p.x - from.x);
    let ahead = |p: Point| along.x * (p.x - from.x) + along.y * (p.y - from.y);
    let mut reach: Option<(f64, f64)> = None;
    for (a, b) in region.edges() {
        let (left, right) = (side(a), side(b));
        if (left > 0.0) == (right > 0.0) {
            continue;
        }
        let at = ahead(a.towards(b, left / (left - right)));
        reach = Some(reach.map_or((at, at), |(low, high)| (low.min(at), high.max(at))));
    }
    reach.filter(|(low, high)| high > low)
}

/// The line through two points as far as it runs over a region; none where it misses.
pub(super) fn right_across(region: &Region, [a, b]: [Point; 2]) -> Option<[Point; 2]> {
    let along = (b - a).unit()?;
    let (from, to) = through(region, a, along)?;
    Some([a + along * from, a + along * to])
}
