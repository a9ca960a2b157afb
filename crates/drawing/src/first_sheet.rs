//! The first pages that are printed: all boards small, the parts, and what is still to buy.

use heartside_cutting::{Step, board_label, is_scrap};
use heartside_geometry::{Bounds, Point};
use heartside_timber::document::BoardCopy;
use heartside_timber::job::{Board, Job};
use heartside_timber::length::write_length;
use heartside_timber::plan::Plan;

use crate::document::{Drawing, Options, board_groups, document, joined};
use crate::paper::{ENLARGED, FOOT_HEIGHT, LEAST_TYPE, MARGIN, Paper, foot, page_title};
use crate::pen::{Pen, Words};
use crate::picture::picture;
use crate::scene::{Look, Outside, Subject};
use crate::sheet_lists::Lists;
use crate::svg::{Ids, Origin, number};
use crate::text::{shorten, text_width};
use crate::title::{Title, Verdict};

/// Room above a board for its letter, and between two boards, in millimetres of paper.
const NAME: f64 = 5.6;
const GAP: f64 = 4.0;
/// Boards are drawn no smaller than this, however many there are: they go on to further pages.
const SMALLEST: f64 = 60.0;
/// The scales boards are drawn at, the largest at which all find room.
const SCALES: [f64; 13] = [
    5.0, 6.0, 8.0, 10.0, 12.0, 14.0, 16.0, 20.0, 25.0, 30.0, 40.0, 50.0, SMALLEST,
];

/// A board's place on a page.
struct Spot<'a> {
    board: &'a Board,
    copy: BoardCopy,
    /// Counted from the first page.
    page: usize,
    /// Top left corner of its wood.
    at: Point,
}

/// All boards, the parts and what is still to buy; long lists go on to further pages.
pub(crate) fn first_sheets(
    job: &Job,
    plan: &Plan,
    steps: &[Step],
    paper: Paper,
    options: &Options,
) -> Vec<Drawing> {
    let (width, height) = paper.size();
    let inner = width - 2.0 * MARGIN;
    let bottom = height - MARGIN - FOOT_HEIGHT;
    let heading = match job.title.trim() {
        "" => "All boards",
        title => title,
    };
    let missing: usize = plan.unplaced.iter().map(|u| u.copies.len()).sum();
    let mut head = Title {
        heading: heading.to_owned(),
        job: "all boards".into(),
        facts: Vec::new(),
        verdict: Verdict::of(options.findings, None),
        missing: missing as u64,
        small: joined(&[options.date]),
    };
    let corner = Point {
        x: MARGIN,
        y: MARGIN,
    };
    let top = MARGIN + page_title(&mut Pen::new(1.0), &head, corner, inner) + 3.0;
    let lists = Lists::of_all(job, plan, steps, options.sizes);
    let (scale, spots) = arranged((job, plan), &lists, inner, top, bottom);
    head.small = joined(&[&format!("boards 1:{}", number(scale)), options.date]);
    let last_page = spots.last().map_or(0, |s| s.page);
    let mut state = lists.start();
    let mut pages = Vec::new();
    // Every page takes at least one row of a list, so this ends; the bound is for safety.
    for page in 0..1000 {
        let (mut pen, mut ids) = (Pen::new(1.0), Ids::default());
        page_title(&mut pen, &head, corner, inner);
        let mut y = top;
        for spot in spots.iter().filter(|s| s.page == page) {
            draw_board(&mut pen, &mut ids, (job, plan, steps), spot, scale);
            y = y.max(lowest(std::slice::from_ref(spot), scale, top));
        }
        // Below the boards only where there is room for more than a heading.
        if page >= last_page && y < bottom - 30.0 {
            state = lists.draw(&mut pen, state, MARGIN, y, inner, bottom);
        }
        let done = page >= last_page && state.is_done(&lists);
        let words = format!("All boards, page {}", page + 1);
        foot(&mut pen, &words, done, paper);
        pages.push(pen.out);
        if done {
            break;
        }
    }
    let sheet = Bounds {
        min: Point { x: 0.0, y: 0.0 },
        max: Point {
            x: width,
            y: height,
        },
    };
    let count = pages.len();
    pages
        .into_iter()
        .enumerate()
        .map(|(place, content)| {
            let name = match count {
                1 => "sheet-all".to_owned(),
                _ => format!("sheet-all-{}", place + 1),
            };
            let described = format!("All boards of {heading}, page {} of {count}", place + 1);
            document(
                &name,
                "All boards",
                &described,
                sheet,
                options.theme,
                &content,
                Vec::new(),
            )
        })
        .collect()
}

/// The largest scale at which all boards and the lists below them find room on one page, else
/// that at which the boards leave the lists a good part of it, and where they lie; at the
/// smallest scale they go on to further pages.
fn arranged<'a>(
    (job, plan): (&'a Job, &Plan),
    lists: &Lists,
    inner: f64,
    top: f64,
    bottom: f64,
) -> (f64, Vec<Spot<'a>>) {
    let wanted = bottom - 0.42 * (bottom - top);
    let mut large = None;
    for scale in SCALES {
        let limit = if scale == SMALLEST { bottom } else { wanted };
        let (spots, fits) = in_rows((job, plan), scale, inner, top, limit);
        if scale == SMALLEST || fits {
            let foot = lowest(&spots, scale, top);
            let state = lists.draw(
                &mut Pen::new(1.0),
                lists.start(),
                MARGIN,
                foot,
                inner,
                bottom,
            );
            if fits && state.is_done(lists) {
                return (scale, spots);
            }
            large.get_or_insert((scale, spots));
        }
        // Lists that are too long for a page at any scale are not worth small boards.
        if large.as_ref().is_some_and(|(first, _)| scale > 1.6 * first) {
            break;
        }
    }
    large.unwrap_or((SMALLEST, Vec::new()))
}

/// Below the boards of a page.
fn lowest(spots: &[Spot], scale: f64, top: f64) -> f64 {
    let foot = |s: &Spot| s.at.y + s.board.outline.bounds().height() / scale + GAP;
    spots.iter().map(foot).fold(top, f64::max)
}

/// Boards in rows from the left, and whether one page and its width were enough.
fn in_rows<'a>(
    (job, plan): (&'a Job, &Plan),
    scale: f64,
    inner: f64,
    top: f64,
    limit: f64,
) -> (Vec<Spot<'a>>, bool) {
    let mut spots = Vec::new();
    let (mut x, mut y, mut row, mut page) = (MARGIN, top, 0.0_f64, 0);
    let mut fits = true;
    for copy in job.board_copies() {
        let Some(board) = job.board(&copy.board) else {
            continue;
        };
        if board.is_in_hand() || is_scrap(job, Some(plan), board) {
            continue;
        }
        let bounds = board.outline.bounds();
        let (w, h) = (bounds.width() / scale, bounds.height() / scale);
        fits &= w <= inner;
        // Its name may be wider than the board.
        let wide = w.max(text_width(&name_of(job, board, &copy), LEAST_TYPE * 1.2));
        if x > MARGIN && x + wide > MARGIN + inner {
            x = MARGIN;
            y += row;
            row = 0.0;
        }
        if y + NAME + h > limit && y > top {
            (x, y, row, page) = (MARGIN, top, 0.0, page + 1);
            fits = false;
        }
        spots.push(Spot {
            board,
            copy,
            page,
            at: Point { x, y: y + NAME },
        });
        x += wide + 2.0 * GAP;
        row = row.max(NAME + h + GAP);
    }
    (spots, fits && page == 0)
}

/// "A, 27 mm".
fn name_of(job: &Job, board: &Board, copy: &BoardCopy) -> String {
    let thick = write_length(board.thickness, &job.units);
    format!("{}, {thick}", board_label(job, copy))
}

fn draw_board(
    pen: &mut Pen,
    ids: &mut Ids,
    (job, plan, steps): (&Job, &Plan, &[Step]),
    spot: &Spot,
    scale: f64,
) {
    let bounds = spot.board.outline.bounds();
    let name = name_of(job, spot.board, &spot.copy);
    let size = LEAST_TYPE * 1.2;
    pen.words(&Words::starting(
        shorten(&name, size, 200.0),
        "hs-name",
        Point {
            x: spot.at.x,
            y: spot.at.y - NAME / 2.0,
        },
        size,
    ));
    let subject = Subject {
        job,
        board: spot.board,
        copy: &spot.copy,
        layout: plan.layout(&spot.copy.board, spot.copy.copy),
        steps,
        findings: &[],
        selected: &[],
        others: &[],
    };
    let look = Look {
        dimensions: false,
        cuts: false,
        chosen: None,
        outside: Outside::Within(0.0),
        least_type: LEAST_TYPE * scale,
        figure: false,
    };
    let origin = Origin::at(-bounds.min.x, bounds.max.y);
    let drawn = picture(subject, look, origin, scale * ENLARGED);
    pen.out.push_str(&format!(
        "<g transform=\"translate({} {}) scale({})\">",
        number(spot.at.x),
        number(spot.at.y),
        // More digits than a coordinate: it is multiplied by thousands of millimetres.
        format!("{:.9}", 1.0 / scale).trim_end_matches('0')
    ));
    pen.out
        .push_str(&board_groups(&drawn, &name, scale * ENLARGED, ids));
    pen.close();
}
