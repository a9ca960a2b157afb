//! A panel as it is glued up: its staves in order with joints, heart sides, and a mark to put them
//! together by again.

mod alone;
mod facts;
mod marks;
mod sheet;
mod staves;
mod together;
mod together_sheet;

use heartside_geometry::{Bounds, Point};
use heartside_timber::choices::{PanelChoice, stave_named};
use heartside_timber::document::{HeartSide, PartCopy};
use heartside_timber::job::{Job, Panel, RingRun};
use heartside_timber::length::{write_dimension, write_length};
use heartside_timber::plan::Plan;

use crate::document::joined;
use crate::end_grain::end;
use crate::faces::{FaceOf, FaceSeen, face_of_panel, figure, has_figure, unseen_words};
use crate::pen::{Pen, Words};
use crate::svg::{Ids, number, safe_file_name};
use crate::text::shorten;
pub use alone::{assembled, assembled_svg};
pub use facts::panel_facts;
pub use marks::MARK_WORDS;
use marks::{MARK_FROM, grain_of, mark};
pub(crate) use sheet::panel_sheets;
use staves::from_words;
pub use staves::{StaveSeen, row_words, staves_seen};
pub use together::{together, together_svg};
pub(crate) use together_sheet::together_sheets;

/// How a face is shown on the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct FaceShown {
    /// From behind.
    pub is_back: bool,
    /// Its grain is upright; a panel always lies.
    pub stands: bool,
    /// Over the whole window: what is written on it is so much smaller beside the wood.
    pub is_large: bool,
    /// The wood and its joints alone, to be compared with others.
    pub is_bare: bool,
}

impl FaceShown {
    /// The width on paper that it is made to be read at, in millimetres.
    fn read_at(self) -> f64 {
        if self.is_large { 240.0 } else { 64.0 }
    }
}

/// A copy of a panel, found in its job.
struct Glued<'a> {
    job: &'a Job,
    panel: &'a Panel,
    choice: &'a PanelChoice,
    staves: Vec<StaveSeen>,
    /// The side that is seen.
    face: FaceSeen,
}

impl<'a> Glued<'a> {
    fn of(job: &'a Job, plan: &Plan, copy: &PartCopy, is_back: bool) -> Option<Glued<'a>> {
        let panel = job.panels.iter().find(|p| p.part.id == copy.part)?;
        let choice = panel.copies.iter().find(|c| c.panel == *copy)?;
        Some(Glued {
            job,
            panel,
            choice,
            staves: staves_seen(job, plan, choice),
            face: face_of_panel(job, plan, (panel, choice), is_back),
        })
    }

    /// Its staves, each with its pieces.
    fn rows(&self) -> impl Iterator<Item = &[StaveSeen]> {
        self.staves.chunk_by(|a, b| a.number == b.number)
    }

    /// "Top", "Top, from behind".
    fn name(&self) -> String {
        let name = self.panel.part.copy_name(self.choice.panel.copy);
        if self.face.is_back {
            return format!("{name}, from behind");
        }
        name
    }

    /// Whether a photograph shows any of it.
    fn has_figure(&self) -> bool {
        self.face
            .tiles
            .iter()
            .any(|tile| has_figure(self.job, tile))
    }

    /// What the mark means, and what no photograph shows where some do.
    fn told_below(&self) -> String {
        let mark = if self.face.is_back { "" } else { MARK_WORDS };
        let unseen = unseen_in(self.job, &self.face);
        let unseen = if self.has_figure() {
            unseen
        } else {
            String::new()
        };
        [mark, &unseen].join(" ").trim().to_owned()
    }

    /// The wood alone; at least as wide as the panel, or what is over for trimming.
    fn wood(&self) -> Bounds {
        let glued = self.panel.glued(&self.choice.staves);
        Bounds {
            min: Point { x: 0.0, y: 0.0 },
            max: Point {
                x: self.panel.length,
                y: glued.max(self.panel.width),
            },
        }
    }

    /// So many millimetres of wood to one on paper, that staves keep apart their words.
    fn unit(&self, read_at: f64) -> f64 {
        let narrowest = self.staves.iter().map(|s| s.width - self.panel.joint);
        let narrowest = narrowest.fold(f64::INFINITY, f64::min);
        (self.panel.length / read_at).min(narrowest / 3.6).max(0.05)
    }

    /// Draws it with the top left corner of its wood at (0, 0); its whole extent and its labels.
    fn draw(&self, pen: &mut Pen, ids: &mut Ids, is_bare: bool) -> (Bounds, Vec<Bounds>) {
        let (u, wood) = (pen.unit, self.wood());
        let mut labels = Vec::new();
        // The first stave lies lowest, or from behind uppermost.
        let is_back = self.face.is_back;
        let mut y = if is_back { wood.min.y } else { wood.max.y };
        let mut joints = Vec::new();
        let last = self.rows().count().saturating_sub(1);
        for (place, row) in self.rows().enumerate() {
            let taken = if place == last { 0.0 } else { self.panel.joint };
            let across = row[0].width - taken;
            let next = if is_back { y + across } else { y - across };
            let own = Bounds::new(
                Point { x: 0.0, y },
                Point {
                    x: wood.max.x,
                    y: next,
                },
            );
            self.draw_stave(pen, ids, row, own, &mut labels, is_bare);
            y = next;
            if place != last {
                joints.push(y);
            }
        }
        for joint in &joints {
            let (a, b) = (
                Point { x: 0.0, y: *joint },
                Point {
                    x: wood.max.x,
                    y: *joint,
                },
            );
            pen.line("hs-edge", a, b, 0.3);
        }
        pen.rect("hs-edge", wood, 0.0, 0.4);
        if is_bare {
            return (wood.grown(0.3 * u), labels);
        }
        // It is chalked on the front.
        if !is_back {
            mark(pen, wood, &joints);
        }
        let below = wood.max.y + 3.2 * u;
        let grain = format!(
            "grain, {} long",
            write_length(self.panel.length, &self.job.units)
        );
        let words = Words::new(
            grain,
            "hs-dim",
            Point {
                x: wood.max.x / 2.0,
                y: below,
            },
            2.5 * u,
        );
        let (left, right) = (
            words.bounds().min.x - 1.5 * u,
            words.bounds().max.x + 1.5 * u,
        );
        for (from, to, lean) in [
            (left, left - 12.0 * u, 1.0),
            (right, right + 12.0 * u, -1.0),
        ] {
            let d = format!(
                "M{},{y}H{}m{},{}L{},{y}l{},{}",
                number(from),
                number(to),
                number(lean * 1.6 * u),
                number(-0.9 * u),
                number(to),
                number(lean * 1.6 * u),
                number(0.9 * u),
                y = number(below),
            );
            pen.path("hs-pencil", &d, 0.2, &[]);
        }
        let width = write_dimension(self.panel.width, &self.job.units);
        let middle = Point {
            x: -3.0 * u,
            y: wood.max.y / 2.0,
        };
        let across = Words::new(width, "hs-dim", middle, 2.5 * u).turned();
        for words in [words, across] {
            labels.push(words.bounds());
            pen.words(&words);
        }
        let extent = Bounds {
            min: Point { x: -5.0 * u, y: -u },
            max: Point {
                x: wood.max.x + if self.tells_hearts() { 13.0 * u } else { u },
                y: below + 2.2 * u,
            },
        };
        (extent, labels)
    }

    /// Whether anybody has looked at the heart side of a stave.
    fn tells_hearts(&self) -> bool {
        let mut staves = self.staves.iter();
        staves.any(|stave| stave.heart != HeartSide::Unknown)
    }

    fn draw_stave(
        &self,
        pen: &mut Pen,
        ids: &mut Ids,
        row: &[StaveSeen],
        own: Bounds,
        labels: &mut Vec<Bounds>,
        is_bare: bool,
    ) {
        let u = pen.unit;
        let first = &row[0];
        let wide = write_dimension(first.width, &self.job.units);
        let told = joined(&[
            &format!("stave {}", first.number),
            &format!("{wide} wide"),
            &row_words(self.job, row),
        ]);
        let id = ids.make("stave", &first.part.part);
        let extra = format!(" data-stave=\"{}\"", first.number);
        pen.open(&id, "hs-stave", &told, &extra);
        for stave in row {
            let (from, to) = stave.along;
            let own = Bounds {
                min: Point {
                    x: from,
                    y: own.min.y,
                },
                max: Point {
                    x: to.min(own.max.x),
                    y: own.max.y,
                },
            };
            self.draw_piece(pen, stave, own);
        }
        for piece in &row[1..] {
            self.draw_end_joint(pen, piece.along.0, own);
        }
        if is_bare {
            pen.close();
            return;
        }
        for stave in row {
            self.write_on(pen, stave, own, &wide, labels);
        }
        let is_alike = row.iter().all(|piece| piece.heart == first.heart);
        let heart = if is_alike {
            as_seen(first.heart, self.face.is_back)
        } else {
            HeartSide::Unknown
        };
        let middle = Point {
            x: own.max.x + 7.0 * u,
            y: own.centre().y,
        };
        if self.tells_hearts() {
            end(pen, RingRun::Unknown, heart, middle);
        }
        pen.close();
    }

    /// A joint of two pieces: straight across, or as deep as it takes of their length.
    fn draw_end_joint(&self, pen: &mut Pen, x: f64, own: Bounds) {
        let half = self.panel.ends.taken / 2.0;
        let teeth = if half > 0.0 { 6 } else { 1 };
        let at = |k: u32| {
            let side = if k.is_multiple_of(2) { half } else { -half };
            let y = own.min.y + own.height() * f64::from(k) / f64::from(teeth);
            Point { x: x + side, y }
        };
        for k in 0..teeth {
            pen.line("hs-edge", at(k), at(k + 1), 0.3);
        }
    }

    /// A stave in one piece, or one of its pieces, with its number in `data-piece`.
    fn draw_piece(&self, pen: &mut Pen, stave: &StaveSeen, own: Bounds) {
        let u = pen.unit;
        pen.open("", "hs-piece", "", &piece_of(stave));
        pen.rect("hs-wood", own, 0.0, 0.0);
        let tile = self.face.tiles.iter().position(|t| t.part == stave.part);
        let seen = tile.map(|k| (k, &self.face.tiles[k]));
        if let Some((k, tile)) = seen {
            figure(
                pen,
                self.job,
                &self.face,
                tile,
                &format!("{}-{k}", face_id(&self.face)),
            );
        }
        if seen.is_none_or(|(_, tile)| !has_figure(self.job, tile)) {
            let seed = stave.number + 5 * stave.piece;
            pen.path("hs-grain", &grain_of(own, seed, u), 0.14, &[]);
        }
        if stave.board.is_none() {
            let dashed = |at: f64| {
                format!(
                    "M{},{}H{}",
                    number(own.min.x),
                    number(at),
                    number(own.max.x)
                )
            };
            let d = dashed(own.min.y + 0.5 * u) + &dashed(own.max.y - 0.5 * u);
            pen.path("hs-pencil", &d, 0.2, &[1.2, 0.9]);
        }
        pen.close();
    }

    /// What is written on a stave or a piece of one; `own` is the whole stave.
    fn write_on(
        &self,
        pen: &mut Pen,
        stave: &StaveSeen,
        own: Bounds,
        wide: &str,
        labels: &mut Vec<Bounds>,
    ) {
        let u = pen.unit;
        let from = from_words(self.job, stave);
        let (start, end) = (stave.along.0, stave.along.1.min(own.max.x));
        let size = (0.62 * own.height()).min(2.7 * u);
        // The mark stands in the left half: what is there has room for little before it.
        let (whole, gap) = (self.panel.length, 2.0 * u);
        let (before_mark, beyond) = (MARK_FROM * whole, 0.45 * whole);
        let long = write_dimension(stave.length, &self.job.units);
        let (x, to, told) = match stave.piece {
            0 => (
                beyond,
                0.95 * whole,
                format!("{} · {wide} · {from}", stave.number),
            ),
            piece if start < before_mark && end < 0.7 * whole => {
                let told = format!("{}, {piece} · {from}", stave.number);
                (start + gap, before_mark, told)
            }
            piece => {
                let told = format!("{}, {piece} · {long} × {wide} · {from}", stave.number);
                let is_left = start < before_mark;
                let x = if is_left { beyond } else { start + gap };
                (x, end - gap, told)
            }
        };
        let words = shorten(&told, size, (to - x).max(0.0));
        let tile = self.face.tiles.iter().find(|t| t.part == stave.part);
        let on_photo = tile.is_some_and(|tile| has_figure(self.job, tile));
        let words = if on_photo {
            let low = own.max.y - (0.9 * size).min(0.5 * own.height());
            Words::ending(words, "hs-name", Point { x: to, y: low }, 0.85 * size)
        } else {
            let left = Point {
                x,
                y: own.centre().y,
            };
            Words::starting(words, "hs-name", left, size).haloed(0.8 * size, "hs-halo-wood")
        };
        labels.push(words.bounds());
        let extra = piece_of(stave);
        if !extra.is_empty() {
            pen.open("", "", "", &extra);
        }
        if on_photo {
            tag(pen, &words);
        }
        pen.words(&words);
        if !extra.is_empty() {
            pen.close();
        }
    }
}

/// The ground of words that stand on a photograph, so that little of it is hidden.
fn tag(pen: &mut Pen, words: &Words) {
    let ground = words.bounds().grown(0.35 * words.size);
    pen.rect("hs-tag", ground, 0.5 * words.size, 0.0);
}

/// The attribute with the number of a piece of a stave; none where that is in one piece.
fn piece_of(stave: &StaveSeen) -> String {
    match stave.piece {
        0 => String::new(),
        piece => format!(" data-piece=\"{piece}\""),
    }
}

/// The face that the heart side shows on, as one sees the panel.
fn as_seen(heart: HeartSide, is_back: bool) -> HeartSide {
    match (heart, is_back) {
        (HeartSide::Up, true) => HeartSide::Down,
        (HeartSide::Down, true) => HeartSide::Up,
        (heart, _) => heart,
    }
}

/// Which staves or parts no photograph shows on this side, in a sentence.
pub fn unseen_in(job: &Job, face: &FaceSeen) -> String {
    let is_panel = matches!(face.of, FaceOf::Panel(_));
    unseen_words(job, face, |tile| {
        let named = stave_named(&tile.part.part).filter(|_| is_panel);
        let own = || job.name_of(&tile.part).unwrap_or_default();
        named.map_or_else(own, |named| named.words())
    })
}

/// What begins the ids of a face's pieces.
pub fn face_id(face: &FaceSeen) -> String {
    format!("face-{}", safe_file_name(&face.key))
}
