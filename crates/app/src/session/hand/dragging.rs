//! A part in the hand: taken up, moved, dropped or put back.

use heartside_drawing::{BoardOnFloor, held_part, held_transform};
use heartside_geometry::{Point, Pose, math};
use heartside_timber::document::{BoardCopy, PartCopy};
use heartside_timber::finding::{Finding, Severity};
use heartside_timber::job::Part;

use super::held::{Hand, TakenOff};
use super::poses::{finite, middle_of, pose_at, same_pose};
use crate::protocol::{CopyOf, Fragment, Held, Outcome};
use crate::session::Session;
use crate::session::picture::board_label;
use crate::session::state::{copy_of, finding_row};
use crate::snapping::{on_grid, places_near, to_contact};
use crate::words::NO_PART;

/// How near, in pixels of the screen, a part jumps to what it could touch.
const SNAP_PIXELS: f64 = 14.0;
/// The same in millimetres where the size of the picture is not known.
const SNAP_MM: f64 = 20.0;
/// How far beside its box, in millimetres, a board still takes a part that is held over it.
const BESIDE: f64 = 60.0;

impl Session {
    /// Takes a part in the hand.
    pub fn drag_begin(&mut self, part: &str, copy: u32) -> Held {
        self.put_down();
        let of = PartCopy {
            part: part.to_owned(),
            copy,
        };
        let Some(known) = self.known_copy(&of) else {
            return Held {
                problem: Some(self.no_such_copy(&of)),
                ..Held::default()
            };
        };
        let plan = self.plan_or_empty();
        let from = plan.find(part, copy).map(|(layout, place)| {
            let layout = &plan.layouts[layout];
            (layout.board.clone(), layout.placements[place].pose())
        });
        let mut boards = self.lying();
        // Nothing is laid on a blank that is sawn.
        boards.retain(|b| {
            let board = self.job.board(&b.board.board);
            board.is_some_and(|b| !b.is_in_hand())
        });
        let (turn, turned_over) = match &from {
            Some((_, pose)) => (pose.turn, pose.turned_over),
            None => (0.0, false),
        };
        let on_floor = from.as_ref().and_then(|(board, pose)| {
            let place = boards.iter().find(|b| b.board == *board)?;
            let middle = middle_of(known, pose);
            Some(Point {
                x: place.origin.x + middle.x,
                y: place.origin.y - middle.y,
            })
        });
        let at = on_floor.unwrap_or(Point { x: 0.0, y: 0.0 });
        let fits = from.is_some();
        let live = self.live_without_pin(&of, &plan);
        let over = from.clone();
        self.hand = Some(Hand {
            part: of.clone(),
            live,
            boards,
            from,
            drawn: Some((turn, turned_over)),
            over,
            instead: Vec::new(),
            faces: self.faces_with(&of),
            turn,
            turned_over,
        });
        Held {
            held: true,
            x: at.x,
            y: at.y,
            turn,
            turned_over,
            fragment: self.held_fragment(&of, turn, turned_over),
            transform: held_transform(at),
            board: self
                .hand
                .as_ref()
                .and_then(|h| h.over.as_ref())
                .map(|(b, _)| CopyOf::from(b)),
            fits,
            sentence: format!("{} is in the hand", self.copy_words(&of)),
            ..Held::default()
        }
    }

    fn held_fragment(&self, part: &PartCopy, turn: f64, turned_over: bool) -> Option<Fragment> {
        let pixels = self.view.pixels_per_mm.unwrap_or(0.4);
        let svg = held_part(&self.job, part, turn, turned_over, pixels)?;
        Some(Fragment {
            id: "held".to_owned(),
            svg,
            layer: 90,
            board: None,
            part: Some(copy_of(part)),
        })
    }

    /// Moves the part in the hand: the middle of its blank to a place of the floor.
    pub fn drag(&mut self, x: f64, y: f64, turn: f64, turned_over: bool, snap: bool) -> Held {
        let Some(mut hand) = self.hand.take() else {
            return Held {
                problem: Some("there is no part in the hand".to_owned()),
                ..Held::default()
            };
        };
        let held = self.moved(&mut hand, Point { x, y }, turn, turned_over, snap);
        self.hand = Some(hand);
        held
    }

    /// Moves the part in the hand by a little on the board it is held over: `dx` to the right,
    /// `dy` down, as seen. Nothing snaps, and it changes no board: that is for dragging.
    pub fn nudge_held(&mut self, dx: f64, dy: f64) -> Held {
        let Some(mut hand) = self.hand.take() else {
            return Held {
                problem: Some("there is no part in the hand".to_owned()),
                ..Held::default()
            };
        };
        let held = self.nudged(&mut hand, finite(dx), finite(dy));
        self.hand = Some(hand);
        held.unwrap_or_default()
    }

    fn nudged(&self, hand: &mut Hand, dx: f64, dy: f64) -> Option<Held> {
        let part = self.job.part(&hand.part.part)?;
        let (board, pose) = hand.over.clone()?;
        let place = hand.boards.iter().find(|b| b.board == board)?.clone();
        let pose = on_grid(
            &self.job,
            Pose {
                x: pose.x + dx,
                y: pose.y - dy,
                ..pose
            },
        );
        Some(self.held_at(hand, part, &place, pose))
    }

    /// The part in the hand laid on a board just so: nothing snaps.
    pub(super) fn held_at(
        &self,
        hand: &mut Hand,
        part: &Part,
        place: &BoardOnFloor,
        pose: Pose,
    ) -> Held {
        hand.instead.clear();
        let middle = middle_of(part, &pose);
        let mut held = Held {
            held: true,
            x: place.origin.x + middle.x,
            y: place.origin.y - middle.y,
            turn: pose.turn,
            turned_over: pose.turned_over,
            ..Held::default()
        };
        self.judge_held(hand, place, pose, &mut held);
        held.transform = held_transform(Point {
            x: held.x,
            y: held.y,
        });
        held
    }

    /// What the rules say of the part in the hand where it is held.
    pub(super) fn judge_held(
        &self,
        hand: &mut Hand,
        place: &BoardOnFloor,
        pose: Pose,
        held: &mut Held,
    ) {
        // Back home all is as it was: the plan's own order of cuts holds, which may ask for less
        // room between parts than is asked while none is known.
        let lies_there = |f: &(BoardCopy, Pose)| f.0 == place.board && same_pose(&f.1, &pose);
        let lay_there = |lay: &TakenOff| {
            lay.board == place.board
                && same_pose(&lay.pose, &pose)
                && self.is_as_left(&hand.part, lay)
        };
        let found = if hand.from.as_ref().is_some_and(lies_there) {
            let judged = self.judged.iter().flat_map(|j| &j.findings);
            judged
                .filter(|f| f.parts.contains(&hand.part))
                .cloned()
                .collect()
        } else if self.taken_off.get(&hand.part).is_some_and(lay_there) {
            Vec::new()
        } else {
            hand.live.trial(&hand.part, &place.board, pose)
        };
        held.fits = found.iter().all(|f| f.severity != Severity::Broken);
        held.sentence = self.sentence_for(&found, &place.board);
        held.findings = found
            .iter()
            .enumerate()
            .map(|(i, f)| finding_row(i, f, &hand.boards))
            .collect();
        held.board = Some(CopyOf::from(&place.board));
        hand.over = Some((place.board.clone(), pose));
    }

    fn moved(&self, hand: &mut Hand, at: Point, turn: f64, turned_over: bool, snap: bool) -> Held {
        let Some(part) = self.job.part(&hand.part.part) else {
            return Held {
                problem: Some(NO_PART.to_owned()),
                ..Held::default()
            };
        };
        let at = Point {
            x: finite(at.x),
            y: finite(at.y),
        };
        let turned_over = turned_over && part.may_turn_over;
        let turn = math::normalise_deg(finite(turn));
        (hand.turn, hand.turned_over) = (turn, turned_over);
        let mut held = Held {
            held: true,
            x: at.x,
            y: at.y,
            turn,
            turned_over,
            ..Held::default()
        };
        hand.over = None;
        hand.instead.clear();
        if let Some(place) = under(&hand.boards, at).cloned() {
            let middle = Point {
                x: at.x - place.origin.x,
                y: place.origin.y - at.y,
            };
            let raw = pose_at(part, middle, turn, turned_over);
            let reach = self.reach();
            let pose = if snap {
                let (live, of, board) = (&hand.live, &hand.part, &place.board);
                let here = hand.from.as_ref().filter(|(from, _)| from == board);
                let lay = self.taken_off.get(of);
                let lay = lay.filter(|lay| lay.board == *board && self.is_as_left(of, lay));
                let home = here.map(|(_, pose)| *pose).or(lay.map(|lay| lay.pose));
                let mut places = places_near(live, of, board, raw, reach, home).into_iter();
                let first = places.next();
                let first = first.unwrap_or_else(|| to_contact(live, of, board, raw, reach));
                hand.instead = places.collect();
                first
            } else {
                on_grid(&self.job, raw)
            };
            held.snapped = snap && (pose.x - raw.x).abs().max((pose.y - raw.y).abs()) > 2e-3;
            let middle = middle_of(part, &pose);
            (held.x, held.y) = (place.origin.x + middle.x, place.origin.y - middle.y);
            self.judge_held(hand, &place, pose, &mut held);
        } else {
            held.sentence = "on no board: let go here it waits on the trestle".to_owned();
        }
        if hand.drawn != Some((turn, turned_over)) {
            held.fragment = self.held_fragment(&hand.part, turn, turned_over);
            hand.drawn = Some((turn, turned_over));
        }
        held.transform = held_transform(Point {
            x: held.x,
            y: held.y,
        });
        held
    }

    fn sentence_for(&self, found: &[Finding], board: &BoardCopy) -> String {
        let broken: Vec<&Finding> = found
            .iter()
            .filter(|f| f.severity == Severity::Broken)
            .collect();
        // Beside the hand there is room for a line or two: the amounts stand in the findings.
        let short = |f: &Finding| {
            let words = f.message.split(": ").next().unwrap_or(&f.message);
            let words = words.trim_end_matches('.');
            // Which board it is one sees.
            let known = self.job.board(&board.board);
            let name = known.map_or("", |b| b.name.as_str());
            let named = [
                format!(" on board {name}"),
                format!(" on {name}"),
                format!(" on board {}", board.board),
            ];
            let place = named.iter().find(|n| words.contains(n.as_str()));
            place.map_or_else(|| words.to_owned(), |n| words.replacen(n.as_str(), "", 1))
        };
        match broken.as_slice() {
            [] => format!("fits on {}", board_label(&self.job, board)),
            [one] => short(one),
            [first, rest @ ..] => format!("{}, and {} more", short(first), rest.len()),
        }
    }

    /// Drops the part in the hand.
    pub fn drag_end(&mut self) -> Outcome {
        let Some(hand) = self.hand.take() else {
            return Outcome::refused("there is no part in the hand");
        };
        match hand.over.clone() {
            Some((board, pose)) => {
                let lay_there = |f: &(BoardCopy, Pose)| f.0 == board && same_pose(&f.1, &pose);
                if hand.from.as_ref().is_some_and(lay_there) {
                    return Outcome::done();
                }
                let pose = self.one_that_can_be_cut(&hand, &board, pose);
                let verb = self.verb_for(&hand, &board, &pose);
                self.lay_with(hand.live, &hand.part, &board, pose, verb)
            }
            None if hand.from.is_none() => Outcome::done(),
            None => self.to_trestle(&hand.part.part, hand.part.copy),
        }
    }

    /// What a drop did to a part, as the undo names it: one that stays where it is was turned.
    fn verb_for(&self, hand: &Hand, board: &BoardCopy, pose: &Pose) -> &'static str {
        let from = hand.from.as_ref().filter(|(from, _)| from == board);
        let Some(((_, from), part)) = from.zip(self.job.part(&hand.part.part)) else {
            return "moving";
        };
        let (was, is) = (middle_of(part, from), middle_of(part, pose));
        // A snap may carry it along a little.
        if (was.x - is.x).abs().max((was.y - is.y).abs()) > self.reach() {
            "moving"
        } else if from.turned_over != pose.turned_over {
            "turning over"
        } else if (from.turn - pose.turn).abs() > 1e-9 {
            "turning"
        } else {
            "moving"
        }
    }

    /// How far a part jumps to what it could touch, in millimetres.
    pub(in crate::session) fn reach(&self) -> f64 {
        let pixels = self.view.pixels_per_mm.filter(|p| *p > 0.0);
        pixels.map_or(SNAP_MM, |p| SNAP_PIXELS / p)
    }

    /// The first of the places that a snapped part may have meant whose board can be cut apart;
    /// the one it is shown at where none can, or where the board could not be cut before.
    fn one_that_can_be_cut(&mut self, hand: &Hand, board: &BoardCopy, shown: Pose) -> Pose {
        let layout = |pose: Pose| hand.live.layout_with(&hand.part, board, pose);
        let (job, cuts) = (&self.job, &mut self.cuts);
        if layout(shown).is_none_or(|mut l| cuts.find_one(job, &mut l).is_none()) {
            return shown;
        }
        let mut others = hand.instead.iter().copied();
        let found = others.find(|p| layout(*p).is_some_and(|l| cuts.finds_soon(job, &l)));
        found.unwrap_or(shown)
    }

    /// Puts the part in the hand back where it was.
    pub fn drag_cancel(&mut self) -> Outcome {
        if self.hand.take().is_some() {
            Outcome::done()
        } else {
            Outcome::refused("there is no part in the hand")
        }
    }

    /// Whatever is in the hand goes back: the job is about to change under it.
    pub(in crate::session) fn put_down(&mut self) {
        self.hand = None;
    }
}

/// The board under a place of the floor: the one whose box holds it, else the nearest one close by.
fn under(boards: &[BoardOnFloor], at: Point) -> Option<&BoardOnFloor> {
    let away = |b: &BoardOnFloor| {
        let dx = (b.bounds.min.x - at.x).max(at.x - b.bounds.max.x).max(0.0);
        let dy = (b.bounds.min.y - at.y).max(at.y - b.bounds.max.y).max(0.0);
        dx.max(dy)
    };
    // Of boards that overlap on the floor the last one lies on top.
    boards
        .iter()
        .rev()
        .map(|b| (away(b), b))
        .filter(|(d, _)| *d <= BESIDE)
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, b)| b)
}
