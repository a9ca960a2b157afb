//! The drawing of one board that stands alone, in true millimetres.

use heartside_cutting::Step;
use heartside_geometry::{Bounds, Point};
use heartside_timber::document::BoardCopy;
use heartside_timber::job::Job;
use heartside_timber::plan::Plan;

use crate::document::{Drawing, Options, document, joined, label_name, standalone_groups};
use crate::end_grain::{end_words, ends};
use crate::legend::legend;
use crate::measures::scale_bar;
use crate::pen::{Pen, Words};
use crate::picture::picture;
use crate::scene::{Look, Outside, Subject};
use crate::svg::Origin;
use crate::title::{
    Title, Verdict, board_facts, board_heading, layout_facts, left_out_words, title,
};

/// Width on paper that a board's drawing is made to be read at, in millimetres: an A4 page lying, less its margins and the names at the sides.
pub(crate) const READ_AT: f64 = 205.0;

/// The true-size diagram of one copy of a board: one unit of the drawing is one millimetre of wood.
///
/// Text is sized so that it reads well when the whole is fit to a page. None where the
/// board is not in the job. O(labels² + outline vertices x hatch lines).
pub fn board_svg(
    job: &Job,
    plan: &Plan,
    copy: &BoardCopy,
    steps: &[Step],
    options: &Options,
) -> Option<Drawing> {
    let board = job.board(&copy.board)?;
    let bounds = board.outline.bounds();
    let unit = (bounds.width() / READ_AT)
        .max(bounds.height() / 110.0)
        .max(0.05);
    let layout = plan.layout(&copy.board, copy.copy);
    let findings = options.findings.unwrap_or(&[]);
    let subject = Subject {
        job,
        board,
        copy,
        layout,
        steps,
        findings,
        selected: &[],
        others: &[],
    };
    let dimensions =
        !options.without_dimensions && layout.is_some_and(|l| !l.placements.is_empty());
    let look = Look {
        dimensions,
        cuts: true,
        chosen: None,
        outside: Outside::Free,
        least_type: 0.0,
        figure: false,
    };
    // The board's lower left corner lies at (0, height): all coordinates of the wood are positive.
    let origin = Origin::at(-bounds.min.x, bounds.max.y);
    let drawn = picture(subject, look, origin, unit);
    let mut facts = vec![
        board_facts(job, board),
        layout_facts(job, board, layout, steps),
    ];
    facts.extend(left_out_words(drawn.left_out));
    let wood = Bounds {
        min: Point { x: 0.0, y: 0.0 },
        max: Point {
            x: bounds.width(),
            y: bounds.height(),
        },
    };
    let mut extent = drawn.room.extent().map_or(wood, |e| e.union(wood));
    let mut pen = Pen::new(unit);
    let width = extent.width().max(150.0 * unit);
    let head = Title {
        heading: board_heading(job, board, copy),
        job: job.title.clone(),
        facts,
        verdict: Verdict::of(options.findings, Some(copy)),
        missing: 0,
        small: joined(&["true size, scale 1:1", options.date]),
    };
    // Drawn once to learn its height, then in its place.
    let height = title(&mut Pen::new(unit), &head, Point { x: 0.0, y: 0.0 }, width);
    let left = extent.min.x;
    title(
        &mut pen,
        &head,
        Point {
            x: left,
            y: extent.min.y - height - 4.0 * unit,
        },
        width,
    );
    extent.min.y -= height + 4.0 * unit;
    extent.max.x = extent.max.x.max(left + width);
    if let Some(text) = end_words(board) {
        let at = Point {
            x: wood.min.x,
            y: extent.max.y + 5.0 * unit,
        };
        pen.open("", "", &text, "");
        let right = ends(&mut pen, board, at);
        pen.words(&Words::starting(
            text,
            "hs-quiet",
            Point {
                x: right + 1.5 * unit,
                y: extent.max.y + 5.0 * unit,
            },
            2.3 * unit,
        ));
        pen.close();
    }
    scale_bar(
        &mut pen,
        job,
        Point {
            x: wood.min.x + 38.0 * unit,
            y: extent.max.y + 5.8 * unit,
        },
        1.0,
        45.0 * unit,
    );
    extent.max.y += 8.5 * unit;
    extent.max.y += legend(
        &mut pen,
        &drawn.signs,
        Point {
            x: left,
            y: extent.max.y + 1.0 * unit,
        },
        width,
    ) + 1.0 * unit;
    let labels = drawn.room.labels().copied().collect();
    let content = standalone_groups(&drawn, &head.heading, unit) + &pen.out;
    let page = extent.grown(5.0 * unit);
    let described = format!(
        "{}. {}. {}.",
        head.heading,
        head.facts.join(". "),
        head.verdict.words(0)
    );
    Some(document(
        &format!("board-{}", label_name(job, copy)),
        &head.heading,
        &described,
        page,
        options.theme,
        &content,
        labels,
    ))
}
