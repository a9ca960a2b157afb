//! A panel as it is glued up: its staves in order with joints, heart sides, and a mark to put them
//! together by again.

use heartside_cutting::board_label;
use heartside_geometry::{Bounds, Point};
use heartside_timber::choices::PanelChoice;
use heartside_timber::document::{BoardCopy, HeartSide, PartCopy};
use heartside_timber::job::{Job, Panel, RingRun};
use heartside_timber::length::{write_dimension, write_length};
use heartside_timber::plan::Plan;
use heartside_timber::words::counted;

use crate::document::{Drawing, Options, document, joined};
use crate::end_grain::end;
use crate::measures::scale_bar;
use crate::paper::{ENLARGED, FOOT_HEIGHT, LEAST_TYPE, MARGIN, Paper, foot, page_title};
use crate::pen::{Pen, Words};
use crate::svg::{Ids, number, safe_file_name};
use crate::text::{shorten, wrap};
use crate::title::{Title, Verdict, title};

/// Widths on paper that the drawing is made to be read at, in millimetres: in a file, and beside the floor.
const READ_AT: f64 = 170.0;
const BESIDE: f64 = 64.0;

/// From where on the mark stands, of the panel's length.
const MARK_FROM: f64 = 0.16;

/// What the mark across the joints means.
pub const MARK_WORDS: &str = "The slanted line and the strokes are to be chalked across the joints: each joint has as many strokes as its number from below.";

/// A stave in its place in the panel, or a piece of one that is joined end to end.
#[derive(Debug, Clone, PartialEq)]
pub struct StaveSeen {
    /// It, as a part of the job.
    pub part: PartCopy,
    /// Its number.
    pub number: u32,
    /// Which of its pieces, from 1; 0 for a stave in one piece.
    pub piece: u32,
    /// Its finished width before gluing.
    pub width: f64,
    /// Its finished length before joining.
    pub length: f64,
    /// From where to where it is seen along the panel, up to the middle of its end joints.
    along: (f64, f64),
    /// The board that it comes out of, or the piece that it is.
    pub board: Option<BoardCopy>,
    /// Its blank is sawn.
    pub in_hand: bool,
    /// The face of the panel that its heart side shows on.
    pub heart: HeartSide,
}

/// The staves of a copy of a panel, the first lowest, of each its pieces from the panel's start on.
pub fn staves_seen(job: &Job, plan: &Plan, choice: &PanelChoice) -> Vec<StaveSeen> {
    let panel = job.panels.iter().find(|p| p.part.id == choice.panel.part);
    let (long, taken) = panel.map_or((0.0, 0.0), |p| (p.length, p.ends.taken));
    let pieces = choice.staves.iter().flat_map(|stave| {
        let ends = stave.ends(taken);
        let numbers = stave.piece_numbers().zip(stave.ids(&choice.panel));
        let seen = numbers.enumerate().map(move |(k, (piece, id))| {
            let from = k.checked_sub(1).map_or(0.0, |k| ends[k]);
            let to = ends.get(k).copied().unwrap_or(long);
            let length = stave.pieces.get(k).copied().unwrap_or(long);
            (piece, id, length, (from, to))
        });
        let seen: Vec<_> = seen.collect();
        seen.into_iter().map(move |seen| (stave, seen))
    });
    let staves = pieces.map(|(stave, (piece, id, length, along))| {
        let part = PartCopy { part: id, copy: 1 };
        let held = job.boards.iter().find_map(|board| {
            let held = board.from.as_ref()?.holds.as_ref()?;
            let piece = BoardCopy {
                board: board.id.clone(),
                copy: 1,
            };
            (held.part_copy() == part).then_some((piece, held.at.turned_over))
        });
        let in_hand = held.is_some();
        let lies = held.or_else(|| {
            let (layout, place) = plan.find(&part.part, part.copy)?;
            let layout = &plan.layouts[layout];
            let over = layout.placements[place].at.turned_over;
            Some((layout.board.clone(), over))
        });
        let heart = lies.as_ref().and_then(|(board, over)| {
            let side = job.board(&board.board)?.heart_side;
            Some(match (side, over) {
                (HeartSide::Up, true) => HeartSide::Down,
                (HeartSide::Down, true) => HeartSide::Up,
                (side, _) => side,
            })
        });
        StaveSeen {
            number: stave.number,
            piece,
            width: stave.width,
            length,
            along,
            board: lies.map(|(board, _)| board),
            in_hand,
            heart: heart.unwrap_or_default(),
            part,
        }
    });
    staves.collect()
}

/// "heart side up"; empty where nobody has looked.
fn heart_words(heart: HeartSide) -> &'static str {
    match heart {
        HeartSide::Unknown => "",
        HeartSide::Up => "heart side up",
        HeartSide::Down => "heart side down",
    }
}

/// Where a stave comes from: "from A", "in hand", "on the trestle".
fn from_words(job: &Job, stave: &StaveSeen) -> String {
    match (&stave.board, stave.in_hand) {
        (_, true) => "in hand".to_owned(),
        (Some(board), false) => format!("from {}", board_label(job, board)),
        (None, false) => "on the trestle".to_owned(),
    }
}

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

/// Where a stave comes from and its heart side; piece by piece where it is joined.
pub fn row_words(job: &Job, row: &[StaveSeen]) -> String {
    let hearts = |seen: &StaveSeen| heart_words(seen.heart);
    if let [whole] = row {
        return joined(&[&from_words(job, whole), hearts(whole)]);
    }
    let pieces = row.iter().map(|piece| {
        let long = write_dimension(piece.length, &job.units);
        let told = format!(
            "piece {}, {long} long, {}",
            piece.piece,
            from_words(job, piece)
        );
        match hearts(piece) {
            "" => told,
            heart => format!("{told}, {heart}"),
        }
    });
    joined(
        &pieces
            .collect::<Vec<_>>()
            .iter()
            .map(String::as_str)
            .collect::<Vec<_>>(),
    )
}

/// Quiet lines along a stave, uneven by a fixed pattern.
fn grain_of(own: Bounds, number_of: u32, u: f64) -> String {
    let count = (own.height() / (2.6 * u)).clamp(1.0, 8.0) as u32;
    let lines = (0..count).map(|k| {
        let place = f64::from(k * 7 + number_of * 13);
        let share = (place * 0.618_033_988_749_895).fract();
        let y = own.min.y + own.height() * (f64::from(k) + 0.3 + 0.4 * share) / f64::from(count);
        let (from, to) = (0.02 + 0.3 * share, 0.98 - 0.25 * (1.0 - share));
        let at = |part: f64| number(own.min.x + own.width() * part);
        format!("M{},{}H{}", at(from), number(y), at(to))
    });
    lines.collect()
}

/// The mark to put the staves together by: a slanted line over all of them, which tells each
/// stave's place along and which way round it lies, and at each joint as many strokes as its number.
fn mark(pen: &mut Pen, wood: Bounds, joints: &[f64]) {
    let u = pen.unit;
    let lean = (wood.height() * 0.25).min(wood.width() * 0.06);
    let foot = wood.width() * MARK_FROM;
    let at = |y: f64| foot + lean * (wood.max.y - y) / wood.height().max(1e-9);
    let (low, high) = (wood.max.y - 1.2 * u, wood.min.y + 1.2 * u);
    pen.open("", "hs-mark", MARK_WORDS, "");
    pen.line(
        "hs-cut",
        Point { x: at(low), y: low },
        Point {
            x: at(high),
            y: high,
        },
        0.55,
    );
    for (place, y) in joints.iter().enumerate() {
        for stroke in 0..=place {
            let x = at(*y) + (2.4 + 1.5 * stroke as f64) * u;
            let (a, b) = (Point { x, y: y - 1.3 * u }, Point { x, y: y + 1.3 * u });
            pen.line("hs-cut", a, b, 0.45);
        }
    }
    pen.close();
}

/// A panel as it is glued up, to be shown beside the floor: an `svg` element in millimetres of wood.
/// None where the job has no such panel.
pub fn assembled(job: &Job, plan: &Plan, copy: &PartCopy) -> Option<String> {
    let glued = Glued::of(job, plan, copy)?;
    let mut pen = Pen::new(glued.unit(BESIDE));
    let (extent, _) = glued.draw(&mut pen, &mut Ids::default());
    Some(format!(
        "<svg viewBox=\"{} {} {} {}\" role=\"img\"><title>{}</title><g class=\"hs\">{}</g></svg>",
        number(extent.min.x),
        number(extent.min.y),
        number(extent.width()),
        number(extent.height()),
        crate::svg::escape(&format!("{}, glued up", glued.name())),
        pen.out
    ))
}

/// "1500 × 700 × 20 mm, glued up from 6 staves".
pub fn panel_facts(job: &Job, panel: &Panel, choice: &PanelChoice) -> String {
    let show = |mm: f64| write_dimension(mm, &job.units);
    let staves = choice.staves.len();
    let pieces: usize = choice.staves.iter().map(|s| s.pieces.len().max(1)).sum();
    let glued = format!(
        "{} × {} × {}, glued up from {}",
        show(panel.length),
        show(panel.width),
        write_length(panel.part.thickness, &job.units),
        counted(staves, "stave", "staves")
    );
    if pieces == staves {
        return glued;
    }
    format!("{glued} of {}", counted(pieces, "piece", "pieces"))
}

fn head(glued: &Glued<'_>, small: String, options: &Options) -> Title {
    Title {
        heading: format!("{}, glued up", glued.name()),
        job: glued.job.title.clone(),
        facts: vec![panel_facts(glued.job, glued.panel, glued.choice)],
        verdict: Verdict::of(options.findings, None),
        missing: 0,
        small,
    }
}

/// The drawing of a panel that stands alone, one unit a millimetre of wood. None where the job has
/// no such panel.
pub fn assembled_svg(
    job: &Job,
    plan: &Plan,
    copy: &PartCopy,
    options: &Options,
) -> Option<Drawing> {
    let glued = Glued::of(job, plan, copy)?;
    let unit = glued.unit(READ_AT);
    let mut pen = Pen::new(unit);
    let (mut extent, labels) = glued.draw(&mut pen, &mut Ids::default());
    let head = head(
        &glued,
        joined(&["true size, scale 1:1", options.date]),
        options,
    );
    let width = extent.width().max(150.0 * unit);
    let left = extent.min.x;
    let height = title(&mut Pen::new(unit), &head, Point { x: 0.0, y: 0.0 }, width);
    let top = extent.min.y - height - 4.0 * unit;
    title(&mut pen, &head, Point { x: left, y: top }, width);
    extent.min.y = top;
    extent.max.x = extent.max.x.max(left + width);
    let mut y = extent.max.y + 4.0 * unit;
    scale_bar(&mut pen, job, Point { x: 0.0, y }, 1.0, 45.0 * unit);
    y += 3.5 * unit;
    for line in wrap(MARK_WORDS, 2.3 * unit, width) {
        pen.words(&Words::starting(
            line,
            "hs-quiet",
            Point { x: left, y },
            2.3 * unit,
        ));
        y += 3.2 * unit;
    }
    extent.max.y = y;
    let described = format!("{}. {}.", head.heading, head.facts.join(". "));
    let name = format!("panel-{}", safe_file_name(&glued.name()));
    let page = extent.grown(5.0 * unit);
    Some(document(
        &name,
        &head.heading,
        &described,
        page,
        options.theme,
        &pen.out,
        labels,
    ))
}

/// A page for each panel: as it is glued up, with its staves one by one.
pub(crate) fn panel_sheets(
    job: &Job,
    plan: &Plan,
    paper: Paper,
    options: &Options,
) -> Vec<Drawing> {
    let copies = job.panels.iter().flat_map(|p| &p.copies);
    let sheets = copies.filter_map(|choice| {
        let glued = Glued::of(job, plan, &choice.panel)?;
        Some(glued.sheet(paper, options))
    });
    sheets.collect()
}

impl Glued<'_> {
    fn sheet(&self, paper: Paper, options: &Options) -> Drawing {
        let (width, height) = paper.size();
        let inner = width - 2.0 * MARGIN;
        // What is told of the staves stands below, a line each in two columns.
        let rows = self.staves.len().div_ceil(2) as f64;
        let list = (rows * 4.6 + 16.0).min(height * 0.4);
        let wood = self.wood();
        let scale = ((wood.width() + 1.0) / (inner - 30.0))
            .max(wood.height() / (height - 2.0 * MARGIN - FOOT_HEIGHT - 40.0 - list))
            .max(1.0);
        let scale = if scale < 10.0 {
            (scale * 2.0).ceil() / 2.0
        } else {
            scale.ceil()
        };
        let head = head(
            self,
            joined(&[&format!("scale 1:{}", number(scale)), options.date]),
            options,
        );
        let mut pen = Pen::new(1.0);
        let corner = Point {
            x: MARGIN,
            y: MARGIN,
        };
        let mut y = MARGIN + page_title(&mut pen, &head, corner, inner) + 4.0;
        let narrowest = self.staves.iter().map(|s| s.width - self.panel.joint);
        let narrowest = narrowest.fold(f64::INFINITY, f64::min);
        let mut drawn = Pen::new((scale * ENLARGED).min(narrowest / 3.0));
        let (extent, labels) = self.draw(&mut drawn, &mut Ids::default());
        let shift = Point {
            x: MARGIN + (inner - extent.width() / scale) / 2.0 - extent.min.x / scale,
            y: y - extent.min.y / scale,
        };
        pen.out.push_str(&format!(
            "<g transform=\"translate({} {}) scale({})\">{}</g>",
            number(shift.x),
            number(shift.y),
            format!("{:.9}", 1.0 / scale).trim_end_matches('0'),
            drawn.out
        ));
        let on_page = |p: Point| Point {
            x: shift.x + p.x / scale,
            y: shift.y + p.y / scale,
        };
        let labels = labels.iter().map(|b| Bounds {
            min: on_page(b.min),
            max: on_page(b.max),
        });
        let labels = labels.collect();
        y += extent.height() / scale + 6.0;
        for line in wrap(MARK_WORDS, LEAST_TYPE, inner) {
            pen.words(&Words::starting(
                line,
                "hs-quiet",
                Point { x: MARGIN, y },
                LEAST_TYPE,
            ));
            y += 4.6;
        }
        for (place, stave) in self.staves.iter().enumerate() {
            let show = |mm: f64| write_dimension(mm, &self.job.units);
            let name = match stave.piece {
                0 => format!("Stave {}", stave.number),
                piece => format!(
                    "Stave {}, piece {piece} · {} long",
                    stave.number,
                    show(stave.length)
                ),
            };
            let words = joined(&[
                &name,
                &format!("{} wide", show(stave.width)),
                &from_words(self.job, stave),
                heart_words(stave.heart),
            ]);
            let at = Point {
                x: MARGIN + if place % 2 == 0 { 0.0 } else { inner / 2.0 },
                y: y + (place / 2) as f64 * 4.6,
            };
            let words = shorten(&words, LEAST_TYPE, inner / 2.0 - 3.0);
            pen.words(&Words::starting(words, "hs-size", at, LEAST_TYPE));
        }
        foot(&mut pen, &format!("{}, glued up", self.name()), true, paper);
        let sheet = Bounds {
            min: Point { x: 0.0, y: 0.0 },
            max: Point {
                x: width,
                y: height,
            },
        };
        let name = format!("sheet-{}", safe_file_name(&self.name()));
        document(
            &name,
            &head.heading,
            &head.facts.join(". "),
            sheet,
            options.theme,
            &pen.out,
            labels,
        )
    }
}
