//! Title blocks: what a board is, what the plan makes of it, and whether it was checked.

use heartside_cutting::{Step, board_label, copies_words, cost_words};
use heartside_geometry::Point;
use heartside_timber::document::{BoardCopy, EdgeKind, PartCopy, Surface, Use};
use heartside_timber::finding::{Finding, Outcome, Severity};
use heartside_timber::job::{Board, Job, Warp};
use heartside_timber::length::{write_dimension, write_length, write_percent};
use heartside_timber::plan::Layout;
use heartside_timber::words::counted;

use crate::end_grain::end_words;
use crate::pen::{Pen, Words};
use crate::text::{LINE, text_width, wrap};

/// What was found about a plan, or about one board of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Verdict {
    /// What the findings come to; nothing where nobody has looked yet.
    outcome: Option<Outcome>,
    cautions: usize,
}

impl Verdict {
    /// The verdict on one board, or on the whole plan where no board is named.
    pub fn of(findings: Option<&[Finding]>, board: Option<&BoardCopy>) -> Verdict {
        let here = |f: &&Finding| board.is_none() || f.board.is_none() || f.board.as_ref() == board;
        let own: Option<Vec<Finding>> = findings.map(|f| f.iter().filter(here).cloned().collect());
        let cautions = own.iter().flatten();
        Verdict {
            cautions: cautions.filter(|f| f.severity == Severity::Caution).count(),
            outcome: own.map(|own| Outcome::of(&own)),
        }
    }

    /// The same in words; `missing` pieces of the job have no place.
    ///
    /// Only where every rule was looked at and is kept does it say "checked against every rule".
    pub fn words(self, missing: u64) -> String {
        let mut said = match self.outcome {
            None => return "not checked yet".into(),
            Some(Outcome::Broken(n)) => format!(
                "not good: {}",
                counted(n, "thing is wrong", "things are wrong")
            ),
            Some(Outcome::NotAllChecked(n)) => format!(
                "{} could not be checked; the rest is checked",
                counted(n, "thing", "things")
            ),
            Some(Outcome::Checked) if missing > 0 => {
                "what is placed is checked against every rule".into()
            }
            Some(Outcome::Checked) => "checked against every rule".into(),
        };
        if self.cautions > 0 {
            let cautions = counted(self.cautions, "caution", "cautions");
            said.push_str(&format!("; {cautions}"));
        }
        if missing > 0 {
            let parts = counted(missing, "part is", "parts are");
            said.push_str(&format!("; {parts} not placed"));
        }
        said
    }

    fn class(self, missing: u64) -> &'static str {
        match self.outcome {
            None => "hs-italic",
            Some(_) if missing > 0 => "hs-note",
            Some(Outcome::Checked) => "hs-good",
            Some(Outcome::Broken(_) | Outcome::NotAllChecked(_)) => "hs-note",
        }
    }
}

/// "Board C", or "Board C, wide plank" where it has a name of its own; "Piece C3", "Leg 2 in hand".
pub(crate) fn board_heading(job: &Job, board: &Board, copy: &BoardCopy) -> String {
    let label = board_label(job, copy);
    if board.from.is_some() {
        let part = in_hand_name(job, board);
        part.map_or_else(
            || format!("Piece {label}"),
            |name| format!("{name} in hand"),
        )
    } else if board.name.trim().is_empty() || board.name == board.id {
        format!("Board {label}")
    } else {
        format!("Board {label}, {}", board.name.trim())
    }
}

/// The name of the copy of a part whose blank a piece is.
pub(crate) fn in_hand_name(job: &Job, board: &Board) -> Option<String> {
    let held = board.from.iter().flat_map(|from| from.held());
    let held: Vec<PartCopy> = held.map(|p| p.part_copy()).collect();
    (!held.is_empty()).then(|| copies_words(job, &held))
}

/// What the board is, in one line.
pub(crate) fn board_facts(job: &Job, board: &Board) -> String {
    let bounds = board.outline.bounds();
    let units = &job.units;
    let mut facts = Vec::new();
    if !board.species.is_empty() {
        facts.push(board.species.clone());
    }
    // A board that is read from a drawing has no thickness before it is taken.
    if board.thickness > 0.0 {
        facts.push(format!("{} thick", write_length(board.thickness, units)));
    }
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
    facts.extend(end_words(board));
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
        _ if board.is_in_hand() => {}
        Use::Freely => {}
        Use::IfNeeded => facts.push("only if needed".into()),
        Use::First => facts.push("to be used first".into()),
        Use::Leave => facts.push("to be left".into()),
    }
    facts.join(" · ")
}

/// "€19.00", or "about €9.89, as no price is known".
fn price_words(job: &Job, board: &Board) -> String {
    let cost = cost_words(job, board.cost);
    if board.from.is_some() {
        "of a board that is cut already".to_owned()
    } else if board.cost_is_estimate {
        format!("about {cost}, as no price is known")
    } else {
        cost
    }
}

/// What the plan makes of the board, in one line.
pub(crate) fn layout_facts(
    job: &Job,
    board: &Board,
    layout: Option<&Layout>,
    steps: &[Step],
) -> String {
    let Some(layout) = layout.filter(|l| !l.placements.is_empty()) else {
        return format!("nothing is cut from it · {}", price_words(job, board));
    };
    let parts: f64 = layout
        .placements
        .iter()
        .filter_map(|p| job.part(&p.part))
        .map(|p| p.outline.area() * p.thickness)
        .sum();
    let count = layout.placements.len();
    let mut facts = vec![counted(count, "part", "parts")];
    if board.volume() > 0.0 {
        facts.push(format!(
            "wood in parts {}",
            write_percent(parts / board.volume())
        ));
    }
    facts.push(price_words(job, board));
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
    /// Pieces of the job that have no place, where the whole plan is drawn.
    pub(crate) missing: u64,
    /// "scale 1:10 · 25 November 2026", or less.
    pub(crate) small: String,
}

/// Size of the smallest type of a title block on paper, in millimetres.
pub(crate) const FACT_TYPE: f64 = 2.8;

/// Draws a title block with its top left corner at a place; returns its height.
pub(crate) fn title(pen: &mut Pen, title: &Title, at: Point, width: f64) -> f64 {
    let u = pen.unit;
    let (big, job, fact) = (5.4 * u, 3.6 * u, FACT_TYPE * u);
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
    let verdict = title.verdict.words(title.missing);
    let beside = [
        (verdict, title.verdict.class(title.missing)),
        (title.small.clone(), "hs-quiet"),
    ];
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

/// "12 labels found no room on this drawing"; nothing where all did.
pub(crate) fn left_out_words(count: usize) -> Option<String> {
    let labels = counted(count, "label", "labels");
    (count > 0).then(|| format!("{labels} found no room on this drawing"))
}
