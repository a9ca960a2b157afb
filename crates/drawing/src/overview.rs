//! All boards together on one drawing, in true millimetres.

use heartside_cutting::{Step, board_label, is_scrap, totals};
use heartside_geometry::{Bounds, Point, SortedSet};
use heartside_timber::job::{Board, Job};
use heartside_timber::length::write_length;
use heartside_timber::plan::Plan;

use crate::board_drawing::READ_AT;
use crate::document::{Drawing, Options, document, groups, joined};
use crate::legend::legend;
use crate::measures::{ruler, scale_bar};
use crate::pen::Pen;
use crate::picture::picture;
use crate::scene::{Look, Outside, Subject};
use crate::svg::{Ids, Origin, number};
use crate::text::text_width;
use crate::title::{Title, Verdict, board_heading, left_out_words, right, title};

/// With more boards than this only those that are cut are drawn together, without labels beside
/// them: thousands of whole boards on one drawing show nothing and fill tens of megabytes.
const MOST_WHOLE_BOARDS: usize = 300;

/// All boards together in true millimetres, those that are cut with their parts; dimensions are left to the drawings of single boards.
pub fn overview_svg(job: &Job, plan: &Plan, steps: &[Step], options: &Options) -> Drawing {
    let mut copies = job.board_copies();
    let is_shown = |b: &Board| !b.is_in_hand() && !is_scrap(job, Some(plan), b);
    copies.retain(|copy| job.board(&copy.board).is_some_and(is_shown));
    let all = copies.len();
    if all > MOST_WHOLE_BOARDS {
        let cut = SortedSet::from_iter(plan.layouts.iter().map(|l| &l.board));
        copies.retain(|copy| cut.contains(copy));
    }
    let not_drawn = all - copies.len();
    let mut left_out = 0;
    let widest = copies
        .iter()
        .filter_map(|c| job.board(&c.board))
        .map(|b| b.outline.bounds().width())
        .fold(1.0, f64::max);
    let unit = (widest / READ_AT).max(0.05);
    let mut pen = Pen::new(unit);
    let mut ids = Ids::default();
    let mut signs = SortedSet::new();
    let mut labels = Vec::new();
    let (mut extent, mut y) = (
        Bounds {
            min: Point { x: 0.0, y: 0.0 },
            max: Point { x: widest, y: 0.0 },
        },
        0.0,
    );
    for copy in &copies {
        let Some(board) = job.board(&copy.board) else {
            continue;
        };
        let bounds = board.outline.bounds();
        let findings = options.findings.unwrap_or(&[]);
        let subject = Subject {
            job,
            board,
            copy,
            layout: plan.layout(&copy.board, copy.copy),
            steps,
            findings,
            selected: &[],
            others: &[],
        };
        let look = Look {
            dimensions: false,
            cuts: true,
            chosen: None,
            outside: if all > MOST_WHOLE_BOARDS {
                Outside::Within(0.0)
            } else {
                Outside::Free
            },
            least_type: 0.0,
            figure: false,
        };
        // Drawn where the board's upper side is at 0, then moved to its place below the last.
        let drawn = picture(subject, look, Origin::at(-bounds.min.x, bounds.max.y), unit);
        let reach = drawn.room.extent().map_or(0.0, |e| -e.min.y).max(0.0);
        y += reach + 7.0 * unit;
        let top = y;
        let moved = |b: &Bounds| Bounds {
            min: Point {
                y: b.min.y + top,
                ..b.min
            },
            max: Point {
                y: b.max.y + top,
                ..b.max
            },
        };
        pen.open(
            &ids.make("board", &board_label(job, copy)),
            "",
            &board_heading(job, board, copy),
            "",
        );
        pen.out
            .push_str(&format!("<g transform=\"translate(0 {})\">", number(y)));
        pen.out.push_str(&groups(&drawn, &mut ids));
        pen.close();
        let middle = y + bounds.height() / 2.0;
        // Numbers of cuts may stand beyond the board's end: its name stands beside them.
        let beyond = drawn.room.extent().map_or(0.0, |e| -e.min.x);
        let beside = -(beyond + 2.0 * unit).max(4.0 * unit);
        let label = board_label(job, copy);
        right(
            &mut pen,
            &label,
            "hs-name",
            beside,
            middle - 1.5 * unit,
            6.0 * unit,
        );
        let thick = write_length(board.thickness, &job.units);
        right(
            &mut pen,
            &thick,
            "hs-quiet",
            beside,
            middle + 2.8 * unit,
            2.6 * unit,
        );
        pen.close();
        extent.min.x = extent.min.x.min(
            beside
                - 2.0 * unit
                - text_width(&label, 6.0 * unit).max(text_width(&thick, 2.6 * unit)),
        );
        let own = drawn.room.extent().map_or(extent, |e| moved(&e));
        extent = extent.union(own);
        y = own.max.y.max(y + bounds.height());
        left_out += drawn.left_out;
        labels.extend(drawn.room.labels().map(moved));
        signs.extend(drawn.signs);
    }
    extent.max.y = extent.max.y.max(y);
    let sums = totals(job, plan, steps);
    let mut facts = vec![
        sums.rows
            .iter()
            .map(|(what, value)| format!("{} {value}", lower(what)))
            .collect::<Vec<_>>()
            .join(" · "),
    ];
    if not_drawn > 0 {
        facts.push(format!("{not_drawn} boards that are not cut are not drawn"));
    }
    let sizes = options.sizes.iter();
    facts.extend(sizes.map(|said| said.trim_end_matches('.').to_owned()));
    facts.extend(left_out_words(left_out));
    let head = Title {
        heading: if job.title.is_empty() {
            "All boards".into()
        } else {
            job.title.clone()
        },
        job: "all boards".into(),
        facts,
        verdict: Verdict::of(options.findings, None),
        missing: sums.wanted.saturating_sub(sums.placed as u64),
        small: joined(&["true size, scale 1:1", options.date]),
    };
    let width = extent.width().max(150.0 * unit);
    let left = extent.min.x;
    let height = title(&mut Pen::new(unit), &head, Point { x: 0.0, y: 0.0 }, width);
    let top = extent.min.y - height - 10.0 * unit;
    title(&mut pen, &head, Point { x: left, y: top }, width);
    ruler(&mut pen, job, 0.0, 0.0, widest, extent.min.y + 1.0 * unit);
    extent.min.y = top;
    extent.max.x = extent.max.x.max(left + width);
    scale_bar(
        &mut pen,
        job,
        Point {
            x: 0.0,
            y: extent.max.y + 7.0 * unit,
        },
        1.0,
        45.0 * unit,
    );
    extent.max.y += 9.0 * unit;
    extent.max.y += legend(
        &mut pen,
        &signs,
        Point {
            x: left,
            y: extent.max.y + 1.0 * unit,
        },
        width,
    ) + 1.0 * unit;
    let described = format!("All boards of {}. {}.", head.heading, head.facts.join(". "));
    document(
        "overview",
        "All boards",
        &described,
        extent.grown(5.0 * unit),
        options.theme,
        &pen.out,
        labels,
    )
}

fn lower(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_lowercase().chain(letters).collect()
    })
}
