//! A panel as it is glued up: its staves in order with joints, heart sides, and a mark to put them
//! together by again.

mod alone;
mod facts;
mod marks;
mod sheet;
mod staves;

use heartside_geometry::{Bounds, Point};
use heartside_timber::choices::PanelChoice;
use heartside_timber::document::{HeartSide, PartCopy};
use heartside_timber::job::{Job, Panel, RingRun};
use heartside_timber::length::{write_dimension, write_length};
use heartside_timber::plan::Plan;

use crate::document::joined;
use crate::end_grain::end;
use crate::pen::{Pen, Words};
use crate::svg::{Ids, number};
use crate::text::shorten;
pub use alone::{assembled, assembled_svg};
pub use facts::panel_facts;
pub use marks::MARK_WORDS;
use marks::{MARK_FROM, grain_of, mark};
pub(crate) use sheet::panel_sheets;
use staves::from_words;
pub use staves::{StaveSeen, row_words, staves_seen};

/// A copy of a panel, found in its job.
struct Glued<'a> {
    job: &'a Job,
    panel: &'a Panel,
    choice: &'a PanelChoice,
    staves: Vec<StaveSeen>,
}

impl<'a> Glued<'a> {
    fn of(job: &'a Job, plan: &Plan, copy: &PartCopy) -> Option<Glued<'a>> {
        let panel = job.panels.iter().find(|p| p.part.id == copy.part)?;
        let choice = panel.copies.iter().find(|c| c.panel == *copy)?;
        Some(Glued {
            job,
            panel,
            choice,
            staves: staves_seen(job, plan, choice),
        })
    }

    /// Its staves, each with its pieces.
    fn rows(&self) -> impl Iterator<Item = &[StaveSeen]> {
        self.staves.chunk_by(|a, b| a.number == b.number)
    }

    fn name(&self) -> String {
        self.panel.part.copy_name(self.choice.panel.copy)
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
    fn draw(&self, pen: &mut Pen, ids: &mut Ids) -> (Bounds, Vec<Bounds>) {
        let (u, wood) = (pen.unit, self.wood());
        let mut labels = Vec::new();
        // The first stave lies lowest.
        let mut y = wood.max.y;
        let mut joints = Vec::new();
        let last = self.rows().count().saturating_sub(1);
        for (place, row) in self.rows().enumerate() {
            let taken = if place == last { 0.0 } else { self.panel.joint };
            let own = Bounds {
                min: Point {
                    x: 0.0,
                    y: y - (row[0].width - taken),
                },
                max: Point { x: wood.max.x, y },
            };
            self.draw_stave(pen, ids, row, own, &mut labels);
            y = own.min.y;
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
        mark(pen, wood, &joints);
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
                x: wood.max.x + 13.0 * u,
                y: below + 2.2 * u,
            },
        };
        (extent, labels)
    }

    fn draw_stave(
        &self,
        pen: &mut Pen,
        ids: &mut Ids,
        row: &[StaveSeen],
        own: Bounds,
        labels: &mut Vec<Bounds>,
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
            self.draw_piece(pen, stave, own, &wide, labels);
        }
        for piece in &row[1..] {
            self.draw_end_joint(pen, piece.along.0, own);
        }
        let is_alike = row.iter().all(|piece| piece.heart == first.heart);
        let heart = if is_alike {
            first.heart
        } else {
            HeartSide::Unknown
        };
        let middle = Point {
            x: own.max.x + 7.0 * u,
            y: own.centre().y,
        };
        end(pen, RingRun::Unknown, heart, middle);
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
    fn draw_piece(
        &self,
        pen: &mut Pen,
        stave: &StaveSeen,
        own: Bounds,
        wide: &str,
        labels: &mut Vec<Bounds>,
    ) {
        let u = pen.unit;
        let from = from_words(self.job, stave);
        let extra = match stave.piece {
            0 => String::new(),
            piece => format!(" data-piece=\"{piece}\""),
        };
        pen.open("", "hs-piece", "", &extra);
        pen.rect("hs-wood", own, 0.0, 0.0);
        let seed = stave.number + 5 * stave.piece;
        pen.path("hs-grain", &grain_of(own, seed, u), 0.14, &[]);
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
            piece if own.min.x < before_mark && own.max.x < 0.7 * whole => {
                let told = format!("{}, {piece} · {from}", stave.number);
                (own.min.x + gap, before_mark, told)
            }
            piece => {
                let told = format!("{}, {piece} · {long} × {wide} · {from}", stave.number);
                let is_left = own.min.x < before_mark;
                let x = if is_left { beyond } else { own.min.x + gap };
                (x, own.max.x - gap, told)
            }
        };
        let words = shorten(&told, size, (to - x).max(0.0));
        let left = Point {
            x,
            y: own.centre().y,
        };
        let words =
            Words::starting(words, "hs-name", left, size).haloed(0.8 * size, "hs-halo-wood");
        labels.push(words.bounds());
        pen.words(&words);
        pen.close();
    }
}
