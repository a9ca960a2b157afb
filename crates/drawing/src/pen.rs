//! Writes elements whose widths and sizes are given as they will look on paper.

use heartside_geometry::{Bounds, Point};

use crate::svg::{escape, number};
use crate::text::{FOOT, LINE, text_width};

/// Where in its box a line of text is held, so that it stays in line with others in a narrower face.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Anchor {
    #[default]
    Middle,
    Start,
    End,
}

/// A line of text around the middle of its box, lying or turned to be read from the right.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Words {
    /// Pieces with their classes, written one after the other.
    pub(crate) runs: Vec<(String, &'static str)>,
    /// The middle of the box.
    pub(crate) middle: Point,
    /// Font size in the drawing's unit.
    pub(crate) size: f64,
    /// Turned by a quarter, reading upwards.
    pub(crate) turned: bool,
    pub(crate) anchor: Anchor,
    /// Width of a halo in the drawing's unit, and its class.
    pub(crate) halo: Option<(f64, &'static str)>,
}

impl Words {
    /// One run of text.
    pub(crate) fn new(
        text: impl Into<String>,
        class: &'static str,
        middle: Point,
        size: f64,
    ) -> Words {
        Words {
            runs: vec![(text.into(), class)],
            middle,
            size,
            turned: false,
            anchor: Anchor::Middle,
            halo: None,
        }
    }

    /// Text whose box starts at a point (its left end, at mid height).
    pub(crate) fn starting(
        text: impl Into<String>,
        class: &'static str,
        left: Point,
        size: f64,
    ) -> Words {
        let text = text.into();
        let width = text_width(&text, size);
        Words {
            anchor: Anchor::Start,
            ..Words::new(
                text,
                class,
                Point {
                    x: left.x + width / 2.0,
                    y: left.y,
                },
                size,
            )
        }
    }

    /// Text whose box ends at a point (its right end, at mid height).
    pub(crate) fn ending(
        text: impl Into<String>,
        class: &'static str,
        right: Point,
        size: f64,
    ) -> Words {
        let text = text.into();
        let width = text_width(&text, size);
        Words {
            anchor: Anchor::End,
            ..Words::new(
                text,
                class,
                Point {
                    x: right.x - width / 2.0,
                    y: right.y,
                },
                size,
            )
        }
    }

    pub(crate) fn turned(self) -> Words {
        Words {
            turned: true,
            ..self
        }
    }

    pub(crate) fn haloed(self, width: f64, class: &'static str) -> Words {
        Words {
            halo: Some((width, class)),
            ..self
        }
    }

    /// An upper bound of the text's length.
    pub(crate) fn length(&self) -> f64 {
        self.runs
            .iter()
            .map(|(t, _)| text_width(t, self.size))
            .sum()
    }

    /// The box that the text stays in.
    pub(crate) fn bounds(&self) -> Bounds {
        let (long, high) = (self.length() / 2.0, LINE * self.size / 2.0);
        let (w, h) = if self.turned {
            (high, long)
        } else {
            (long, high)
        };
        let Point { x, y } = self.middle;
        Bounds {
            min: Point { x: x - w, y: y - h },
            max: Point { x: x + w, y: y + h },
        }
    }
}

/// Collects elements. `unit` is how many millimetres of the drawing are one on paper.
#[derive(Debug, Clone)]
pub(crate) struct Pen {
    pub(crate) unit: f64,
    /// What is drawn lies on a photograph, light or dark: lines get a light casing.
    pub(crate) on_photo: bool,
    /// What ids of shapes begin with that cut pictures out: those of a page that is not shown cut nothing on paper.
    pub(crate) ids: &'static str,
    pub(crate) out: String,
}

/// How much wider than its line a casing is on paper.
const CASING: f64 = 0.4;

/// Lines that say something and lie on the photograph itself.
const CASED: [&str; 5] = [
    "hs-blank hs-veil",
    "hs-zone",
    "hs-cut",
    "hs-pencil",
    "hs-ink",
];

impl Pen {
    pub(crate) fn new(unit: f64) -> Pen {
        Pen {
            unit,
            on_photo: false,
            ids: "",
            out: String::new(),
        }
    }

    /// The same for a sheet that is printed out of the page.
    pub(crate) fn on_paper(self) -> Pen {
        Pen {
            ids: "paper-",
            ..self
        }
    }

    /// A path with a line of some width on paper (0: none) and an optional dash pattern on paper.
    pub(crate) fn path(&mut self, class: &str, d: &str, width: f64, dash: &[f64]) {
        if self.on_photo && width > 0.0 && CASED.contains(&class) {
            self.fine_path("hs-casing", d, width + CASING, &[]);
        }
        self.fine_path(class, d, width, dash);
    }

    /// The same without a casing, for lines so close that the casings would cover the photograph.
    pub(crate) fn fine_path(&mut self, class: &str, d: &str, width: f64, dash: &[f64]) {
        if d.is_empty() {
            return;
        }
        self.out
            .push_str(&format!("<path class=\"{class}\" d=\"{d}\""));
        if width > 0.0 {
            self.out
                .push_str(&format!(" stroke-width=\"{}\"", number(width * self.unit)));
        }
        if !dash.is_empty() {
            let dashes: Vec<String> = dash.iter().map(|v| number(v * self.unit)).collect();
            self.out
                .push_str(&format!(" stroke-dasharray=\"{}\"", dashes.join(" ")));
        }
        self.out.push_str("/>");
    }

    /// A straight line in drawing coordinates.
    pub(crate) fn line(&mut self, class: &str, a: Point, b: Point, width: f64) {
        let d = format!(
            "M{},{}L{},{}",
            number(a.x),
            number(a.y),
            number(b.x),
            number(b.y)
        );
        self.path(class, &d, width, &[]);
    }

    /// A circle; the radius is in the drawing's unit.
    pub(crate) fn circle(&mut self, class: &str, middle: Point, radius: f64, width: f64) {
        self.out.push_str(&format!(
            "<circle class=\"{class}\" cx=\"{}\" cy=\"{}\" r=\"{}\"",
            number(middle.x),
            number(middle.y),
            number(radius)
        ));
        if width > 0.0 {
            self.out
                .push_str(&format!(" stroke-width=\"{}\"", number(width * self.unit)));
        }
        self.out.push_str("/>");
    }

    /// A box, with rounded corners where `round` is above 0 (drawing's unit).
    pub(crate) fn rect(&mut self, class: &str, bounds: Bounds, round: f64, width: f64) {
        self.out.push_str(&format!(
            "<rect class=\"{class}\" x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"",
            number(bounds.min.x),
            number(bounds.min.y),
            number(bounds.width()),
            number(bounds.height())
        ));
        if round > 0.0 {
            self.out.push_str(&format!(" rx=\"{}\"", number(round)));
        }
        if width > 0.0 {
            self.out
                .push_str(&format!(" stroke-width=\"{}\"", number(width * self.unit)));
        }
        self.out.push_str("/>");
    }

    /// Text around the middle of its box; each run is a text of its own at a place of its own.
    ///
    /// How wide a face draws a run is not known here, so what stands between two runs is held from
    /// both sides: the first ends before the gap, the others start after it. Blanks would not do:
    /// some readers drop those at the start of a run, and "Rail 1  700" would read "Rail 1700".
    pub(crate) fn words(&mut self, words: &Words) {
        let half = words.length() / 2.0;
        let [first, rest @ ..] = words.runs.as_slice() else {
            return;
        };
        if rest.is_empty() {
            let along = match words.anchor {
                Anchor::Middle => 0.0,
                Anchor::Start => -half,
                Anchor::End => half,
            };
            self.run(words, first, along, words.anchor);
            return;
        }
        let mut along = -half + text_width(&first.0, words.size);
        self.run(words, first, along, Anchor::End);
        for run in rest {
            let own = run.0.trim_start_matches(' ');
            let blanks = run.0.len() - own.len();
            let start = along + text_width(" ", words.size) * blanks as f64;
            self.run(words, &(own.to_owned(), run.1), start, Anchor::Start);
            along += text_width(&run.0, words.size);
        }
    }

    /// One run of words, held at so far along them from their middle.
    fn run(&mut self, words: &Words, run: &(String, &'static str), along: f64, anchor: Anchor) {
        let (text, class) = (run.0.trim(), run.1);
        if text.is_empty() {
            return;
        }
        let Point { x, y } = words.middle;
        // The baseline lies above the foot of the box.
        let drop = (LINE / 2.0 - FOOT) * words.size;
        // Turned text reads upwards: its start is the lower end.
        let baseline = if words.turned {
            Point {
                x: x + drop,
                y: y - along,
            }
        } else {
            Point {
                x: x + along,
                y: y + drop,
            }
        };
        let anchor = match anchor {
            Anchor::Middle => "middle",
            Anchor::Start => "start",
            Anchor::End => "end",
        };
        let (bx, by) = (number(baseline.x), number(baseline.y));
        let turn = if words.turned {
            format!(" transform=\"rotate(-90 {bx} {by})\"")
        } else {
            String::new()
        };
        let (halo, halo_class) = words.halo.map_or_else(Default::default, |(width, class)| {
            let width = format!(" stroke-width=\"{}\"", number(width));
            (width, format!(" {class}"))
        });
        self.out.push_str(&format!(
            "<text class=\"{class}{halo_class}\" x=\"{bx}\" y=\"{by}\" font-size=\"{}\" text-anchor=\"{anchor}\"{turn}{halo}>{}</text>",
            number(words.size),
            escape(&single_spaced(text))
        ));
    }

    /// Opens a group with an id, a class and a title; empty ones are left out.
    pub(crate) fn open(&mut self, id: &str, class: &str, title: &str, extra: &str) {
        self.out.push_str("<g");
        if !id.is_empty() {
            self.out.push_str(&format!(" id=\"{}\"", escape(id)));
        }
        if !class.is_empty() {
            self.out.push_str(&format!(" class=\"{class}\""));
        }
        self.out.push_str(extra);
        self.out.push('>');
        if !title.is_empty() {
            self.out
                .push_str(&format!("<title>{}</title>", escape(title)));
        }
    }

    pub(crate) fn close(&mut self) {
        self.out.push_str("</g>");
    }
}

/// Words with one blank between two: readers make one of several, and widths are worked out so.
fn single_spaced(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
