//! Parts moved by hand: dragged, turned, nudged, pinned, put back on the trestle.
//!
//! While a part is in the hand the checker's live index says what is wrong wherever it is
//! held; nothing of the job changes. Dropping it is one undo step: the part is pinned, and
//! an order of straight cuts is looked for on the boards that it left and came to.

use heartside_check::Live;
use heartside_drawing::{BoardOnFloor, held_part, held_transform};
use heartside_geometry::{Point, Pose, math};
use heartside_timber::blank::Blank;
use heartside_timber::document::{BoardCopy, Document, PartCopy, Pin};
use heartside_timber::finding::{Finding, Severity};
use heartside_timber::job::{Board, Job, Part};
use heartside_timber::plan::{Made, Placement, Plan, Unplaced, UnplacedReason};
use heartside_timber::prepare::Prepared;
use heartside_timber::score::Score;

use super::engine::{KnownCuts, NotCut};
use super::picture::board_label;
use super::state::{copy_of, finding_row};
use super::{Change, Session};
use crate::protocol::{CopyOf, Fragment, Held, Outcome};
use crate::snapping::{on_grid, places_near, to_contact};

/// How near, in pixels of the screen, a part jumps to what it could touch.
const SNAP_PIXELS: f64 = 14.0;
/// The same in millimetres where the size of the picture is not known.
const SNAP_MM: f64 = 20.0;
/// How far beside its box, in millimetres, a board still takes a part that is held over it.
const BESIDE: f64 = 60.0;
const NO_PART: &str = "this part is not there any more, or has a problem that must be mended first";

/// A part in the hand.
pub(super) struct Hand {
    part: PartCopy,
    live: Live,
    boards: Vec<BoardOnFloor>,
    /// Where it was taken from: its board and pose.
    from: Option<(BoardCopy, Pose)>,
    /// What is drawn: again only where it is turned.
    drawn: Option<(f64, bool)>,
    /// Where it is held now.
    over: Option<(BoardCopy, Pose)>,
    /// Places near there that would do as well, where it snapped: not every place where a part may
    /// lie can be cut, and which can is asked only when it is dropped.
    instead: Vec<Pose>,
    turn: f64,
    turned_over: bool,
}

/// Where a part lay before it was put on the trestle.
#[derive(Debug, Clone)]
pub(super) struct TakenOff {
    board: BoardCopy,
    pose: Pose,
    /// What else lay on the board.
    others: Vec<Placement>,
    /// What the part and the board were like.
    like: (Option<Part>, Option<Board>),
}

impl std::fmt::Debug for Hand {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Hand")
            .field("part", &self.part)
            .field("over", &self.over)
            .finish_non_exhaustive()
    }
}

/// The pose that brings the middle of a part's blank to a point of the board.
fn pose_at(part: &Part, middle: Point, turn: f64, turned_over: bool) -> Pose {
    let centre = Blank::of(part).bounds().centre();
    let off = Pose {
        x: 0.0,
        y: 0.0,
        turn,
        turned_over,
    }
    .apply(centre);
    Pose {
        x: middle.x - off.x,
        y: middle.y - off.y,
        turn,
        turned_over,
    }
}

fn middle_of(part: &Part, pose: &Pose) -> Point {
    pose.apply(Blank::of(part).bounds().centre())
}

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
                problem: Some(NO_PART.to_owned()),
                ..Held::default()
            };
        };
        let plan = self.plan_or_empty();
        let from = plan.find(part, copy).map(|(layout, place)| {
            let layout = &plan.layouts[layout];
            (layout.board.clone(), layout.placements[place].pose())
        });
        let boards = self.lying();
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
                .map(|(b, _)| copy_of_board(b)),
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
        self.judge_held(hand, &place, pose, &mut held);
        held.transform = held_transform(Point {
            x: held.x,
            y: held.y,
        });
        Some(held)
    }

    /// What the rules say of the part in the hand where it is held.
    fn judge_held(&self, hand: &mut Hand, place: &BoardOnFloor, pose: Pose, held: &mut Held) {
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
        held.board = Some(copy_of_board(&place.board));
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
            let reach = self
                .view
                .pixels_per_mm
                .filter(|p| *p > 0.0)
                .map_or(SNAP_MM, |p| SNAP_PIXELS / p);
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
                self.lay_with(hand.live, &hand.part, &board, pose, "moving")
            }
            None if hand.from.is_none() => Outcome::done(),
            None => self.to_trestle(&hand.part.part, hand.part.copy),
        }
    }

    /// The first of the places that a snapped part may have meant whose board can be cut apart;
    /// the one it is shown at where none can, or where the board could not be cut before.
    fn one_that_can_be_cut(&mut self, hand: &Hand, board: &BoardCopy, shown: Pose) -> Pose {
        let mut can_be_cut = |pose: Pose| {
            let mut live = hand.live.clone();
            live.put(&hand.part, board, pose);
            let mut plan = live.plan();
            plan.layouts.retain(|l| l.board == *board);
            self.cuts.find(&self.job, &mut plan).is_empty()
        };
        std::iter::once(shown)
            .chain(hand.instead.iter().copied())
            .find(|pose| can_be_cut(*pose))
            .unwrap_or(shown)
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
    pub(super) fn put_down(&mut self) {
        self.hand = None;
    }

    /// Turns a placed part round the middle of its blank.
    pub fn turn(&mut self, part: &str, copy: u32, degrees: f64) -> Outcome {
        self.change_pose(part, copy, "turning", |part, pose| {
            let turn = math::normalise_deg(pose.turn + finite(degrees));
            Ok(pose_at(
                part,
                middle_of(part, &pose),
                turn,
                pose.turned_over,
            ))
        })
    }

    /// Turns a placed part over, about its own length.
    pub fn turn_over(&mut self, part: &str, copy: u32) -> Outcome {
        self.change_pose(part, copy, "turning over", |part, pose| {
            if !part.may_turn_over {
                return Err(format!("{} may not be turned over", part.name));
            }
            Ok(pose_at(
                part,
                middle_of(part, &pose),
                pose.turn,
                !pose.turned_over,
            ))
        })
    }

    /// Moves a placed part by a little: `dx` to the right, `dy` down, as seen.
    pub fn nudge(&mut self, part: &str, copy: u32, dx: f64, dy: f64) -> Outcome {
        self.change_pose(part, copy, "moving", |_, pose| {
            Ok(Pose {
                x: pose.x + finite(dx),
                y: pose.y - finite(dy),
                ..pose
            })
        })
    }

    fn change_pose(
        &mut self,
        part: &str,
        copy: u32,
        verb: &str,
        change: impl FnOnce(&Part, Pose) -> Result<Pose, String>,
    ) -> Outcome {
        self.put_down();
        let of = PartCopy {
            part: part.to_owned(),
            copy,
        };
        let Some(known) = self.known_copy(&of) else {
            return Outcome::refused(NO_PART);
        };
        let Some((board, pose)) = self.place_of(&of) else {
            return Outcome::refused(format!(
                "{} waits on the trestle: put it on a board first",
                self.copy_words(&of)
            ));
        };
        match change(known, pose) {
            Ok(pose) => {
                let pose = on_grid(&self.job, pose);
                self.lay(&of, &board, pose, verb)
            }
            Err(why) => Outcome::refused(why),
        }
    }

    /// Pins a part where it lies, or lets it go.
    pub fn pin(&mut self, part: &str, copy: u32, on: bool) -> Outcome {
        let of = PartCopy {
            part: part.to_owned(),
            copy,
        };
        if self.known_copy(&of).is_none() {
            return Outcome::refused(NO_PART);
        }
        let mut after = self.document.clone();
        after.pins.retain(|p| p.part != of);
        if on {
            let Some((board, pose)) = self.place_of(&of) else {
                return Outcome::refused(format!(
                    "{} waits on the trestle: put it on a board first",
                    self.copy_words(&of)
                ));
            };
            after.pins.push(pin(&of, &board, pose));
        }
        let name = self.copy_words(&of);
        let label = if on {
            format!("pinning {name}")
        } else {
            format!("letting {name} go")
        };
        // It changes what engines may do, but not the plan that lies there.
        let change = self.by_hand();
        self.commit(&label, after, change);
        Outcome::done().saying(if on {
            format!("{name} stays where it lies")
        } else {
            format!("{name} may be moved again")
        })
    }

    /// Takes a part off its board.
    pub fn to_trestle(&mut self, part: &str, copy: u32) -> Outcome {
        self.put_down();
        let of = PartCopy {
            part: part.to_owned(),
            copy,
        };
        let name = self.copy_words(&of);
        let Some((board, pose)) = self.place_of(&of) else {
            return Outcome::refused(format!("{name} is on the trestle already"));
        };
        let sound = self.judged.as_ref().is_some_and(|j| j.is_sound());
        if sound {
            let others = self.others_on(&board, &of);
            let like = (
                self.job.part(&of.part).cloned(),
                self.job.board(&board.board).cloned(),
            );
            let lay = TakenOff {
                board,
                pose,
                others,
                like,
            };
            self.taken_off.insert(of.clone(), lay);
        }
        let mut live = self.checker.live(&self.plan_or_empty());
        live.take(&of);
        let mut after = self.document.clone();
        after.pins.retain(|p| p.part != of);
        let (lost, prepared) = self.put_plan(&mut after, live.plan());
        let change = self.by_hand();
        let label = format!("putting {name} on the trestle");
        self.commit_prepared(&label, after, change, prepared);
        self.told(lost, None, format!("{name} waits on the trestle"))
    }

    /// Lays a part on a board, at the first place where every rule is kept.
    pub fn lay_on(&mut self, part: &str, copy: u32, board: &str, board_copy: u32) -> Outcome {
        self.put_down();
        let of = PartCopy {
            part: part.to_owned(),
            copy,
        };
        let on = BoardCopy {
            board: board.to_owned(),
            copy: board_copy,
        };
        let (Some(known), Some(wood)) = (self.known_copy(&of), self.job.board(board)) else {
            return Outcome::refused(NO_PART);
        };
        let mut live = self.live_without_pin(&of, &self.plan_or_empty());
        live.take(&of);
        let label = board_label(&self.job, &on);
        match first_fit(&live, known, wood, &of, &on) {
            Some(pose) => self.lay(&of, &on, pose, "laying"),
            None => Outcome::refused(format!(
                "there is no place on {label} where {} would keep every rule",
                self.copy_words(&of)
            )),
        }
    }

    /// Lays a part on a board: one undo step, pinned, with an order of cuts where there is one.
    fn lay(&mut self, part: &PartCopy, board: &BoardCopy, pose: Pose, verb: &str) -> Outcome {
        let live = self.checker.live(&self.plan_or_empty());
        self.lay_with(live, part, board, pose, verb)
    }

    fn lay_with(
        &mut self,
        mut live: Live,
        part: &PartCopy,
        board: &BoardCopy,
        pose: Pose,
        verb: &str,
    ) -> Outcome {
        live.put(part, board, pose);
        let mut after = self.document.clone();
        after.pins.retain(|p| p.part != *part);
        after.pins.push(pin(part, board, pose));
        let (lost, prepared) = self.put_plan(&mut after, live.plan());
        let change = self.by_hand();
        let name = self.copy_words(part);
        self.commit_prepared(&format!("{verb} {name}"), after, change, prepared);
        let label = board_label(&self.job, board);
        self.told(lost, Some(part), format!("{name} lies on {label}, pinned"))
    }

    /// Makes a plan changed by hand the one on the floor; tells boards that cannot be cut.
    ///
    /// What the document was made into comes along, so that nothing prepares it again.
    fn put_plan(&mut self, after: &mut Document, mut plan: Plan) -> (Vec<NotCut>, Prepared) {
        let prepared = self.work.prepare(after);
        let job = &prepared.job;
        let lost = match self.job.differs_in_pins_only(job) {
            true => self.cuts.find(job, &mut plan),
            false => KnownCuts::default().find(job, &mut plan),
        };
        plan.cost = Score::of(job, &plan).cost;
        // It is no search's plan any more: no numbers repeat it, and its bound is for others to find.
        plan.made = Made::default();
        plan.bound = None;
        after.plan = Some(plan);
        (lost, prepared)
    }

    /// A plan that was made for the job as it is goes along with a change by hand.
    pub(super) fn by_hand(&self) -> Change {
        if self.is_stale() {
            Change::Job
        } else {
            Change::Hand
        }
    }

    /// The hand moves what is pinned: that it leaves its pin is meant.
    fn live_without_pin(&self, of: &PartCopy, plan: &Plan) -> Live {
        if self.job.pins.iter().all(|p| p.part != *of) {
            return self.checker.live(plan);
        }
        let mut job = self.job.clone();
        job.pins.retain(|p| p.part != *of);
        self.checker.renewed(&job).live(plan)
    }

    /// Everything else that lies on a board.
    fn others_on(&self, board: &BoardCopy, but: &PartCopy) -> Vec<Placement> {
        let layout = self
            .document
            .plan
            .as_ref()
            .and_then(|p| p.layout(&board.board, board.copy));
        let placements = layout.iter().flat_map(|l| &l.placements);
        placements
            .filter(|p| p.part_copy() != *but)
            .cloned()
            .collect()
    }

    /// Nothing on the board has changed since the part was taken off.
    fn is_as_left(&self, part: &PartCopy, lay: &TakenOff) -> bool {
        if lay.like.0.as_ref() != self.job.part(&part.part)
            || lay.like.1.as_ref() != self.job.board(&lay.board.board)
        {
            return false;
        }
        let layout = self
            .document
            .plan
            .as_ref()
            .and_then(|p| p.layout(&lay.board.board, lay.board.copy));
        layout.map_or(&[][..], |l| &l.placements) == lay.others.as_slice()
    }

    pub(super) fn known_copy(&self, of: &PartCopy) -> Option<&Part> {
        self.job
            .part(&of.part)
            .filter(|p| (1..=p.count).contains(&of.copy))
    }

    pub(super) fn copy_words(&self, of: &PartCopy) -> String {
        self.job.part(&of.part).map_or_else(
            || format!("{} {}", of.part, of.copy),
            |p| p.copy_name(of.copy),
        )
    }

    pub(super) fn place_of(&self, of: &PartCopy) -> Option<(BoardCopy, Pose)> {
        let plan = self.document.plan.as_ref()?;
        let (layout, place) = plan.find(&of.part, of.copy)?;
        let layout = &plan.layouts[layout];
        Some((layout.board.clone(), layout.placements[place].pose()))
    }

    /// The plan on the floor; before the first, one with everything on the trestle.
    pub(super) fn plan_or_empty(&self) -> Plan {
        self.document.plan.clone().unwrap_or_else(|| Plan {
            unplaced: everything_waits(&self.job),
            dimensions: self
                .job
                .dimensions
                .iter()
                .map(|d| d.value.clone())
                .collect(),
            revision: self.document.revision,
            ..Plan::default()
        })
    }
}

/// Every copy of every part as waiting on the trestle.
pub(super) fn everything_waits(job: &Job) -> Vec<Unplaced> {
    job.parts
        .iter()
        .map(|p| Unplaced {
            part: p.id.clone(),
            copies: (1..=p.count).collect(),
            reason: UnplacedReason::NotTried,
            least_board: None,
        })
        .collect()
}

fn pin(part: &PartCopy, board: &BoardCopy, pose: Pose) -> Pin {
    Pin {
        part: part.clone(),
        board: board.board.clone(),
        board_copy: board.copy,
        at: pose.into(),
    }
}

fn same_pose(a: &Pose, b: &Pose) -> bool {
    (a.x - b.x).abs() < 1e-6
        && (a.y - b.y).abs() < 1e-6
        && (a.turn - b.turn).abs() < 1e-9
        && a.turned_over == b.turned_over
}

fn finite(value: f64) -> f64 {
    if value.is_finite() {
        value.clamp(-1e7, 1e7)
    } else {
        0.0
    }
}

fn copy_of_board(board: &BoardCopy) -> CopyOf {
    CopyOf {
        id: board.board.clone(),
        copy: board.copy,
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

/// The first place, from the start end on, where a part breaks no rule.
///
/// O(places tried); at most some thousands of looks at the live index.
fn first_fit(
    live: &Live,
    part: &Part,
    wood: &Board,
    of: &PartCopy,
    on: &BoardCopy,
) -> Option<Pose> {
    use heartside_timber::job::GrainRule;
    let turns: Vec<f64> = match &part.grain {
        GrainRule::Turns(turns) => turns.clone(),
        GrainRule::Any => vec![0.0, 90.0],
        GrainRule::Axis { across, .. } => {
            let base = wood.grain.base_angle() + if *across { 90.0 } else { 0.0 };
            vec![math::normalise_deg(base), math::normalise_deg(base + 180.0)]
        }
    };
    let bounds = wood.outline.bounds();
    for turn in turns {
        let blank = Blank::of(part).bounds();
        let (sin, cos) = math::sin_cos_deg(turn);
        let along = blank.width() * cos.abs() + blank.height() * sin.abs();
        let across = blank.width() * sin.abs() + blank.height() * cos.abs();
        // Half a blank's step and a snap as far as the step miss nothing that is much larger than the part.
        let (step_x, step_y) = (
            (along / 4.0).clamp(10.0, 200.0),
            (across / 4.0).clamp(8.0, 60.0),
        );
        let reach = step_x.max(step_y);
        let mut x = bounds.min.x + along / 2.0;
        while x <= bounds.max.x - along / 2.0 + 1e-9 {
            let mut y = bounds.min.y + across / 2.0;
            while y <= bounds.max.y - across / 2.0 + 1e-9 {
                let raw = pose_at(part, Point { x, y }, turn, false);
                let pose = to_contact(live, of, on, raw, reach);
                let sound = |pose: Pose| {
                    live.trial(of, on, pose)
                        .iter()
                        .all(|f| f.severity != Severity::Broken)
                };
                if sound(pose) {
                    return Some(pose);
                }
                y += step_y;
            }
            x += step_x;
        }
    }
    None
}
