//! Running dimensions for marking out: from one named end and one named edge or chalk line to every blank.

use heartside_cutting::write_rough;
use heartside_geometry::{Arrange, Bounds, Point};
use heartside_timber::length::write_dimension;

use crate::laid::{Laid, TYPE};
use crate::pen::{Anchor, Pen, Words};
use crate::room::{Taken, spread};
use crate::scene::Scene;
use crate::text::{LINE, text_width, wrap};
use crate::zones::Sign;

impl Scene<'_> {
    /// Names of the datum: where the running dimensions start.
    pub(crate) fn datum_words(&mut self) {
        if !self.look.dimensions {
            return;
        }
        let unit = self.unit;
        let mut pen = self.pen();
        let board = self.board_box();
        let y = self
            .origin
            .map(Point {
                x: 0.0,
                y: self.datum.line_y(),
            })
            .y;
        let size = TYPE.dim * unit;
        if let Some((start, far)) = self.datum.chalk_from_right {
            let d = format!(
                "M{},{}H{}",
                crate::svg::number(board.min.x),
                crate::svg::number(y),
                crate::svg::number(board.max.x)
            );
            pen.path("hs-pencil", &d, 0.16, &[3.0, 0.8, 0.5, 0.8]);
            self.sign(Sign::Chalk);
            let show = |mm: f64| write_dimension(mm, &self.subject.job.units);
            let far_words = Words::starting(
                format!("chalk line, here {} from the right edge", show(far)),
                "hs-dim",
                Point {
                    x: board.max.x + 1.5 * unit,
                    y,
                },
                size,
            );
            let lines = wrap(&far_words.runs[0].0, size, 14.0 * unit);
            let mut at = y - LINE * size * (lines.len() as f64 - 1.0) / 2.0;
            for line in lines {
                let words = Words::starting(
                    line,
                    "hs-dim",
                    Point {
                        x: board.max.x + 1.5 * unit,
                        y: at,
                    },
                    size,
                );
                self.done.room.take(Taken::Label, words.bounds());
                pen.words(&words);
                at += LINE * size;
            }
            self.datum_at_start(
                &mut pen,
                board,
                y,
                vec![
                    "0 across:".into(),
                    "chalk line,".into(),
                    format!("here {} from", show(start)),
                    "right edge".into(),
                ],
            );
        } else {
            let words = vec![
                "0 across:".into(),
                self.datum
                    .across_words()
                    .trim_start_matches("the ")
                    .to_owned(),
            ];
            self.datum_at_start(&mut pen, board, y, words);
        }
        self.done.dimensions.push_str(&pen.out);
    }

    fn datum_at_start(&mut self, pen: &mut Pen, board: Bounds, y: f64, lines: Vec<String>) {
        let unit = self.unit;
        let size = TYPE.dim * unit;
        pen.line(
            "hs-pencil",
            Point {
                x: board.min.x - 4.0 * unit,
                y,
            },
            Point {
                x: board.min.x - 0.6 * unit,
                y,
            },
            0.2,
        );
        pen.circle(
            "hs-pencil",
            Point {
                x: board.min.x - 4.6 * unit,
                y,
            },
            0.6 * unit,
            0.2,
        );
        let mut at = y - LINE * size * (lines.len() as f64 - 1.0) / 2.0;
        for line in lines {
            let words = Words::ending(
                line,
                "hs-dim",
                Point {
                    x: board.min.x - 6.0 * unit,
                    y: at,
                },
                size,
            );
            self.done.room.take(Taken::Label, words.bounds());
            pen.words(&words);
            at += LINE * size;
        }
    }

    /// Running dimensions along the board, from its start end to every side of every blank, below the board.
    pub(crate) fn along(&mut self, laid: &[(usize, Laid)]) {
        let unit = self.unit;
        let units = self.subject.job.units;
        let outline = self.subject.board.outline.bounds();
        let mut values: Vec<f64> = laid
            .iter()
            .flat_map(|(_, l)| [l.bounds().min.x, l.bounds().max.x])
            .chain([outline.min.x, outline.max.x])
            .collect();
        values.arrange_by(f64::total_cmp);
        let written = |x: f64| write_rough(x - self.datum.start, &units);
        values.dedup_by(|a, b| (*a - *b).abs() < 0.05 || written(*a) == written(*b));
        let size = TYPE.dim * unit;
        let drawn: Vec<f64> = values
            .iter()
            .map(|x| self.origin.map(Point { x: *x, y: 0.0 }).x)
            .collect();
        let places = spread(&drawn, LINE * size);
        // Below everything, also below what a broken plan lays beside its board.
        let board_foot = self.board_box().max.y;
        let foot = self
            .done
            .room
            .extent()
            .map_or(board_foot, |e| e.max.y.max(board_foot));
        let mut pen = self.pen();
        let (near, far, text) = (foot + 0.8 * unit, foot + 5.2 * unit, foot + 5.8 * unit);
        let mut d = String::new();
        let n = crate::svg::number;
        for (x, place) in drawn.iter().zip(&places) {
            d.push_str(&format!(
                "M{},{}V{}L{},{}V{}",
                n(*x),
                n(near),
                n(near + 1.4 * unit),
                n(*place),
                n(far - 1.0 * unit),
                n(far)
            ));
        }
        pen.path("hs-pencil", &d, 0.14, &[]);
        let mut deepest = text;
        for (value, place) in values.iter().zip(&places) {
            let label = written(*value);
            let length = text_width(&label, size);
            // Held at its upper end, which is the end of text that reads upwards.
            let words = Words {
                anchor: Anchor::End,
                ..Words::new(
                    label,
                    "hs-dim",
                    Point {
                        x: *place,
                        y: text + length / 2.0,
                    },
                    size,
                )
                .turned()
            };
            self.done.room.take(Taken::Label, words.bounds());
            pen.words(&words);
            deepest = deepest.max(text + length);
        }
        let first = places
            .first()
            .copied()
            .unwrap_or(drawn.first().copied().unwrap_or(0.0));
        pen.circle(
            "hs-pencil",
            Point {
                x: drawn.first().copied().unwrap_or(first),
                y: near,
            },
            0.6 * unit,
            0.2,
        );
        let lines = ["0 along:", "start end"];
        let mut at = text + LINE * size / 2.0;
        for line in lines {
            let words = Words::ending(
                line,
                "hs-dim",
                Point {
                    x: first - 2.6 * unit,
                    y: at,
                },
                size,
            );
            self.done.room.take(Taken::Label, words.bounds());
            pen.words(&words);
            at += LINE * size;
        }
        self.done.dimensions.push_str(&pen.out);
    }
}
