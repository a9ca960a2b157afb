//! What stands round a drawing: title block, legend, scale bar, ruler.

use std::collections::BTreeSet;

use heartside_cutting::{Step, board_label, cost_words};
use heartside_geometry::{Bounds, Point, Region};
use heartside_timber::document::{BoardCopy, EdgeKind, HeartSide, Surface, Use};
use heartside_timber::finding::{Finding, Severity};
use heartside_timber::job::{Board, Job, Warp};
use heartside_timber::length::{Unit, write_dimension, write_length, write_percent};
use heartside_timber::plan::Layout;

use crate::blanks::{face_mark, grain_arrow};
use crate::pen::{Pen, Words};
use crate::svg::number;
use crate::text::{LINE, text_width, wrap};
use crate::zones::Sign;

/// Whether a drawing may call its plan good.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Verdict {
    NotChecked,
    Sound(usize),
    Broken(usize),
}

impl Verdict {
    /// The verdict on one board, or on the whole plan where no board is named.
    pub(crate) fn of(findings: Option<&[Finding]>, board: Option<&BoardCopy>) -> Verdict {
        let Some(findings) = findings else {
            return Verdict::NotChecked;
        };
        let here = |f: &&Finding| board.is_none() || f.board.is_none() || f.board.as_ref() == board;
        let broken = findings
            .iter()
            .filter(here)
            .filter(|f| f.severity == Severity::Broken)
            .count();
        let other = findings.iter().filter(here).count() - broken;
        if broken > 0 {
            Verdict::Broken(broken)
        } else {
            Verdict::Sound(other)
        }
    }

    pub(crate) fn words(self) -> (String, &'static str) {
        match self {
            Verdict::NotChecked => ("not checked yet".into(), "hs-italic"),
            Verdict::Sound(0) => ("checked against every rule".into(), "hs-good"),
            Verdict::Sound(1) => ("checked against every rule; 1 caution".into(), "hs-good"),
            Verdict::Sound(n) => (
                format!("checked against every rule; {n} cautions"),
                "hs-good",
            ),
            Verdict::Broken(1) => ("not good: 1 finding".into(), "hs-note"),
            Verdict::Broken(n) => (format!("not good: {n} findings"), "hs-note"),
        }
    }
}

/// "Board C", or "Board C, wide plank" where it has a name of its own.
pub(crate) fn board_heading(job: &Job, board: &Board, copy: &BoardCopy) -> String {
    let label = board_label(job, copy);
    if board.name.trim().is_empty() || board.name == board.id {
        format!("Board {label}")
    } else {
        format!("Board {label}, {}", board.name.trim())
    }
}

/// What the board is, in one line.
pub(crate) fn board_facts(job: &Job, board: &Board) -> String {
    let bounds = board.outline.bounds();
    let units = &job.units;
    let mut facts = Vec::new();
    if !board.species.is_empty() {
        facts.push(board.species.clone());
    }
    facts.push(format!("{} thick", write_length(board.thickness, units)));
    facts.push(format!(
        "{} × {}",
        write_dimension(bounds.width(), units),
        write_dimension(bounds.height(), units)
    ));
    facts.push(match board.surface {
        Surface::Sawn => "from the saw".into(),
        Surface::Planed => "planed".into(),
    });
    if board
        .sides
        .iter()
        .any(|s| s.kind == EdgeKind::Raw && !s.is_end)
        && crate::wood::is_waney_or_tapered(board)
    {
        facts.push("waney or tapered".into());
    }
    match board.heart_side {
        HeartSide::Up => facts.push("heart side up".into()),
        HeartSide::Down => facts.push("heart side down".into()),
        HeartSide::Unknown => {}
    }
    if let Warp::Measured {
        cup: (gap, span), ..
    } = board.warp
        && gap > 0.0
    {
        facts.push(format!(
            "cupped {} over {}",
            write_length(gap, units),
            write_length(span, units)
        ));
    }
    match board.usage {
        Use::Freely => {}
        Use::IfNeeded => facts.push("only if needed".into()),
        Use::First => facts.push("to be used first".into()),
        Use::Leave => facts.push("to be left".into()),
    }
    facts.join(" · ")
}

/// What the plan makes of the board, in one line.
pub(crate) fn layout_facts(
    job: &Job,
    board: &Board,
    layout: Option<&Layout>,
    steps: &[Step],
) -> String {
    let Some(layout) = layout.filter(|l| !l.placements.is_empty()) else {
        return format!("nothing is cut from it · {}", cost_words(job, board.cost));
    };
    let parts: f64 = layout
        .placements
        .iter()
        .filter_map(|p| job.part(&p.part))
        .map(|p| p.outline.area() * p.thickness)
        .sum();
    let count = layout.placements.len();
    let mut facts = vec![format!(
        "{count} {}",
        if count == 1 { "part" } else { "parts" }
    )];
    if board.volume() > 0.0 {
        facts.push(format!(
            "wood in parts {}",
            write_percent(parts / board.volume())
        ));
    }
    facts.push(cost_words(job, board.cost));
    let numbers: Vec<u32> = steps
        .iter()
        .filter(|s| s.board == layout.board)
        .map(|s| s.number)
        .collect();
    match (numbers.first(), numbers.last()) {
        (Some(first), Some(last)) if first == last => facts.push(format!("cut {first}")),
        (Some(first), Some(last)) => facts.push(format!("cuts {first} to {last}")),
        _ => facts.push("no cuts found yet".into()),
    }
    facts.join(" · ")
}

/// The text of a title block.
pub(crate) struct Title {
    pub(crate) heading: String,
    pub(crate) job: String,
    pub(crate) facts: Vec<String>,
    pub(crate) verdict: Verdict,
    /// "scale 1:10 · 25 November 2026", or less.
    pub(crate) small: String,
}

/// Draws a title block with its top left corner at a place; returns its height.
pub(crate) fn title(pen: &mut Pen, title: &Title, at: Point, width: f64) -> f64 {
    let u = pen.unit;
    let (big, job, fact) = (5.4 * u, 3.6 * u, 2.8 * u);
    let mut y = at.y + LINE * big / 2.0;
    let job_width = text_width(&title.job, job).min(width * 0.5);
    let heading = crate::text::shorten(&title.heading, big, width - job_width - 4.0 * u);
    pen.words(&Words::starting(
        heading,
        "hs-name",
        Point { x: at.x, y },
        big,
    ));
    let job_words = crate::text::shorten(&title.job, job, job_width);
    right(pen, &job_words, "hs-italic", at.x + width, y + 0.6 * u, job);
    y += LINE * big / 2.0 + 1.2 * u;
    let (verdict, class) = title.verdict.words();
    let beside = [(verdict, class), (title.small.clone(), "hs-quiet")];
    let side = beside
        .iter()
        .map(|(t, _)| text_width(t, fact))
        .fold(0.0, f64::max)
        + 6.0 * u;
    let lines: Vec<String> = title
        .facts
        .iter()
        .flat_map(|f| wrap(f, fact, (width - side).max(40.0 * u)))
        .collect();
    let rows = lines.len().max(beside.len());
    for row in 0..rows {
        let line_y = y + LINE * fact * (row as f64 * 1.22 + 0.5);
        if let Some(line) = lines.get(row) {
            pen.words(&Words::starting(
                line.clone(),
                "hs-quiet",
                Point { x: at.x, y: line_y },
                fact,
            ));
        }
        if let Some((text, class)) = beside.get(row) {
            right(pen, text, class, at.x + width, line_y, fact);
        }
    }
    y += LINE * fact * (rows as f64 * 1.22) + 1.2 * u;
    pen.line(
        "hs-rule",
        Point { x: at.x, y },
        Point { x: at.x + width, y },
        0.25,
    );
    y - at.y
}

/// Text that ends at a place, at mid height.
pub(crate) fn right(pen: &mut Pen, text: &str, class: &'static str, x: f64, y: f64, size: f64) {
    pen.words(&Words::ending(text, class, Point { x, y }, size));
}

/// What a sign means.
fn meaning(sign: Sign) -> &'static str {
    match sign {
        Sign::Blank => "blank, rough size",
        Sign::Finish => "finished outline",
        Sign::Shoulder => "tenon shoulder",
        Sign::GrainArrow => "grain",
        Sign::FaceMark => "seen face up (broken: underneath)",
        Sign::Kerf => "cut with its number",
        Sign::Offcut => "offcut to keep",
        Sign::Raw => "raw edge or end",
        Sign::Straight => "straight edge",
        Sign::Defect => "defect",
        Sign::Sapwood => "sapwood",
        Sign::Fixing => "old fixing",
        Sign::Figure => "figure",
        Sign::Underneath => "broken line: underneath",
        Sign::Margin => "distance kept",
        Sign::Chalk => "chalk line",
        Sign::Corner => "corner to mark",
    }
}

/// Draws the legend of the signs that occur, in rows; returns its height.
pub(crate) fn legend(pen: &mut Pen, signs: &BTreeSet<Sign>, at: Point, width: f64) -> f64 {
    let u = pen.unit;
    let (size, swatch, row) = (2.3 * u, 7.0 * u, 4.6 * u);
    let (mut x, mut y) = (at.x, at.y + row / 2.0);
    for sign in signs {
        let long = swatch + 1.4 * u + text_width(meaning(*sign), size) + 4.5 * u;
        if x > at.x && x + long > at.x + width {
            x = at.x;
            y += row;
        }
        pen.open("", "", meaning(*sign), "");
        draw_swatch(
            pen,
            *sign,
            Point {
                x: x + swatch / 2.0,
                y,
            },
        );
        pen.words(&Words::starting(
            meaning(*sign),
            "hs-quiet",
            Point {
                x: x + swatch + 1.4 * u,
                y,
            },
            size,
        ));
        pen.close();
        x += long;
    }
    if signs.is_empty() {
        0.0
    } else {
        y + row / 2.0 - at.y
    }
}

fn draw_swatch(pen: &mut Pen, sign: Sign, middle: Point) {
    let u = pen.unit;
    let (w, h) = (7.0 * u, 3.2 * u);
    let own = Bounds {
        min: Point {
            x: middle.x - w / 2.0,
            y: middle.y - h / 2.0,
        },
        max: Point {
            x: middle.x + w / 2.0,
            y: middle.y + h / 2.0,
        },
    };
    let across = |pen: &mut Pen, class: &str, width: f64, dash: &[f64]| {
        let d = format!(
            "M{},{}H{}",
            number(own.min.x),
            number(middle.y),
            number(own.max.x)
        );
        pen.path(class, &d, width, dash);
    };
    let zone = |pen: &mut Pen, kind| {
        if let Some(shape) = Region::rectangle(Bounds {
            min: Point { x: 0.0, y: 0.0 },
            max: Point { x: w, y: h },
        }) {
            let zone = heartside_timber::job::Zone {
                index: 0,
                kind,
                shape,
                face: heartside_timber::document::ZoneFace::Through,
                depth: f64::INFINITY,
                sound: false,
                margin: 0.0,
                clear_of: heartside_timber::document::ClearOf::Blank,
                stops: heartside_timber::document::Stops::All,
                material: heartside_timber::document::FixingMaterial::Unknown,
                weight: 0.0,
                note: String::new(),
            };
            crate::zones::draw(
                pen,
                &zone,
                crate::svg::Origin {
                    x: own.min.x,
                    y: own.max.y,
                },
            );
        }
    };
    match sign {
        Sign::Blank => pen.rect("hs-blank", own, 0.0, 0.26),
        Sign::Finish => across(pen, "hs-finish", 0.2, &[1.1, 0.8]),
        Sign::Shoulder => {
            let x = middle.x;
            pen.line(
                "hs-pencil",
                Point { x, y: own.min.y },
                Point { x, y: own.max.y },
                0.2,
            );
            pen.rect("hs-finish", own, 0.0, 0.17);
        }
        Sign::GrainArrow => grain_arrow(pen, middle, Point { x: 1.0, y: 0.0 }),
        Sign::FaceMark => face_mark(pen, middle, (true, false)),
        Sign::Kerf => {
            across(pen, "hs-cut", 0.35, &[]);
            pen.circle("hs-bubble", middle, 1.4 * u, 0.24);
        }
        Sign::Offcut => {
            let mut d = String::new();
            for k in 0..4 {
                let x = own.min.x + (f64::from(k) + 0.1) * w / 4.6;
                d.push_str(&format!(
                    "M{},{}L{},{}",
                    number(x),
                    number(own.max.y),
                    number(x + h * 0.9),
                    number(own.min.y)
                ));
            }
            pen.path("hs-faint", &d, 0.16, &[]);
        }
        Sign::Raw => {
            across(pen, "hs-edge", 0.38, &[]);
            let mut d = String::new();
            for k in 0..4 {
                let x = own.min.x + (f64::from(k) + 0.5) * w / 4.0;
                d.push_str(&format!(
                    "M{},{}l{},{}",
                    number(x),
                    number(middle.y),
                    number(-0.6 * u),
                    number(1.1 * u)
                ));
            }
            pen.path("hs-bark", &d, 0.16, &[]);
        }
        Sign::Straight => across(pen, "hs-edge", 0.38, &[]),
        Sign::Defect => zone(pen, heartside_timber::document::ZoneKind::Defect),
        Sign::Sapwood => zone(pen, heartside_timber::document::ZoneKind::Sapwood),
        Sign::Fixing => zone(pen, heartside_timber::document::ZoneKind::Fixing),
        Sign::Figure => zone(pen, heartside_timber::document::ZoneKind::Figure),
        Sign::Underneath => across(pen, "hs-zone", 0.24, &[1.0, 0.7]),
        Sign::Margin => across(pen, "hs-zone", 0.14, &[0.7, 0.7]),
        Sign::Chalk => across(pen, "hs-pencil", 0.16, &[3.0, 0.8, 0.5, 0.8]),
        Sign::Corner => pen.circle("hs-dot", middle, 0.42 * u, 0.0),
    }
}

/// A length of about a tenth of the drawing in round figures of the job's unit, in millimetres, and its words.
pub(crate) fn round_length(job: &Job, about: f64) -> (f64, String) {
    let (unit, steps): (f64, &[f64]) = match job.units.unit {
        Unit::Millimetres => (
            1.0,
            &[
                1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0, 5000.0,
                10000.0,
            ],
        ),
        Unit::Inches => (
            25.4,
            &[
                0.25, 0.5, 1.0, 2.0, 6.0, 12.0, 24.0, 48.0, 96.0, 240.0, 480.0,
            ],
        ),
    };
    let mm = steps
        .iter()
        .map(|s| s * unit)
        .filter(|mm| *mm <= about)
        .fold(steps[0] * unit, f64::max);
    (mm, write_length(mm, &job.units))
}

/// A scale bar with its left end at a place; `per_mm` is the drawing's length of a true millimetre.
pub(crate) fn scale_bar(pen: &mut Pen, job: &Job, at: Point, per_mm: f64, about: f64) {
    let u = pen.unit;
    let (mm, words) = round_length(job, about / per_mm);
    let long = mm * per_mm;
    let d = format!(
        "M{x},{top}V{y}H{end}V{top}M{middle},{half}V{y}",
        x = number(at.x),
        top = number(at.y - 1.6 * u),
        y = number(at.y),
        end = number(at.x + long),
        middle = number(at.x + long / 2.0),
        half = number(at.y - 0.9 * u)
    );
    pen.open("", "hs-scale-bar", &words, "");
    pen.path("hs-pencil", &d, 0.2, &[]);
    pen.words(&Words::starting(
        words,
        "hs-dim",
        Point {
            x: at.x + long + 1.2 * u,
            y: at.y - 0.8 * u,
        },
        2.3 * u,
    ));
    pen.close();
}

/// A ruler over a stretch of the drawing, zero at `zero`, ticks upwards from `y`.
pub(crate) fn ruler(pen: &mut Pen, job: &Job, zero: f64, from: f64, to: f64, y: f64) {
    let u = pen.unit;
    let (major, _) = round_length(job, 34.0 * u);
    let minor = match job.units.unit {
        Unit::Millimetres
            if (major / 5.0).fract() == 0.0 && !major.to_string().starts_with('2') =>
        {
            major / 5.0
        }
        Unit::Millimetres => major / 4.0,
        Unit::Inches => major / 6.0,
    };
    let first = ((from - zero) / minor).ceil() as i64;
    let last = (((to - zero) / minor).floor() as i64).min(first + 4000);
    let every = (major / minor).round() as i64;
    let mut d = String::new();
    for k in first..=last {
        let x = zero + k as f64 * minor;
        let tall = if k % every == 0 { 2.6 } else { 1.3 };
        d.push_str(&format!(
            "M{},{}v{}",
            number(x),
            number(y),
            number(-tall * u)
        ));
    }
    pen.path("hs-pencil", &d, 0.16, &[]);
    let size = 2.3 * u;
    for k in (first..=last).filter(|k| k % every == 0) {
        let words = Words::new(
            write_dimension(k as f64 * minor, &job.units),
            "hs-dim",
            Point {
                x: zero + k as f64 * minor,
                y: y - 4.3 * u,
            },
            size,
        );
        pen.words(&words);
    }
}

/// The end grain of a board with its rings: their open side shows where the heart was.
pub(crate) fn end_grain(pen: &mut Pen, heart: HeartSide, middle: Point) {
    let u = pen.unit;
    let (w, h) = (8.0 * u, 2.8 * u);
    let own = Bounds {
        min: Point {
            x: middle.x - w / 2.0,
            y: middle.y - h / 2.0,
        },
        max: Point {
            x: middle.x + w / 2.0,
            y: middle.y + h / 2.0,
        },
    };
    pen.rect("hs-ink", own, 0.0, 0.2);
    if heart == HeartSide::Unknown {
        return;
    }
    // Rings are circles round the heart: seen in the end grain they arch away from it.
    let (foot, rise) = if heart == HeartSide::Up {
        (own.min.y, 1.0)
    } else {
        (own.max.y, -1.0)
    };
    let mut d = String::new();
    for reach in [0.95, 2.0, 3.3] {
        let deep = (reach * 0.8_f64).min(2.6);
        d.push_str(&format!(
            "M{},{}Q{},{} {},{}",
            number(middle.x - reach * u),
            number(foot),
            number(middle.x),
            number(foot + rise * deep * 1.9 * u * 0.5),
            number(middle.x + reach * u),
            number(foot)
        ));
    }
    pen.path("hs-pencil", &d, 0.18, &[]);
}
