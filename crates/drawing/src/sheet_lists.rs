//! The lists of a printed page: cuts, cautions, parts with their marking-out figures, offcuts.

use heartside_cutting::{
    Becomes, Column, Datum, Step, Table, board_label, chalk_name, finished_size, holds_words,
    is_scrap, set_up_words, shopping_list, totals, write_rough,
};
use heartside_geometry::{Point, SortedMap, SortedSet};
use heartside_timber::job::Job;
use heartside_timber::length::write_dimension;
use heartside_timber::plan::{Layout, Plan};
use heartside_timber::words::listed;

use crate::inscription::across_words;
use crate::laid::{Laid, extreme_corners};
use crate::pen::Pen;
use crate::rows::{Listed, draw_tables};

/// The lists of one board's pages: cuts and cautions at the left, parts at the right.
pub(crate) struct Lists {
    left: Vec<Listed>,
    right: Vec<Listed>,
}

/// How far each column of lists has come: table, row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Progress {
    left: (usize, usize),
    right: (usize, usize),
}

impl Progress {
    pub(crate) fn is_done(self, lists: &Lists) -> bool {
        self.left.0 >= lists.left.len() && self.right.0 >= lists.right.len()
    }
}

impl Lists {
    pub(crate) fn of(job: &Job, layout: &Layout, place: usize, steps: &[Step]) -> Lists {
        let own: Vec<&Step> = steps.iter().filter(|s| s.layout == place).collect();
        let left = to_tick(job, "Cuts, in order", &own).into_iter().collect();
        let mut right = vec![Listed::new(parts(job, layout), &[0.27, 0.25, 0.21, 0.27])];
        let offcuts = offcuts(&own);
        if !offcuts.rows.is_empty() {
            right.push(Listed::new(offcuts, &[0.27, 0.43, 0.3]));
        }
        let cautions = cautions(&own);
        if !cautions.rows.is_empty() {
            right.push(Listed::new(cautions, &[0.16, 0.84]));
        }
        Lists { left, right }
    }

    /// The lists of the first pages: all parts and the sizes that gave way at the left; what is still to buy,
    /// what is kept and the sums at the right.
    pub(crate) fn of_all(job: &Job, plan: &Plan, steps: &[Step], sizes: &[String]) -> Lists {
        let mut sums = table("The plan", &["", ""]);
        sums.rows = totals(job, plan, steps)
            .rows
            .into_iter()
            .map(|(what, value)| vec![what, value])
            .collect();
        let mut right = Vec::new();
        let to_buy = shopping_list(job, plan);
        if !to_buy.rows.is_empty() {
            right.push(Listed::new(to_buy, &[0.2, 0.13, 0.23, 0.23, 0.21]));
        }
        right.push(Listed::new(sums, &[0.4, 0.6]));
        let all: Vec<&Step> = steps.iter().collect();
        let offcuts = offcuts(&all);
        if !offcuts.rows.is_empty() {
            right.push(Listed::new(offcuts, &[0.27, 0.43, 0.3]));
        }
        let made = cuts_made(job, plan);
        if !made.rows.is_empty() {
            right.push(Listed::new(made, &[0.1, 0.2, 0.7]));
        }
        // Blanks in hand lie on no board of the plan.
        let in_hand = steps.iter().filter(|s| s.layout >= plan.layouts.len());
        let in_hand: Vec<&Step> = in_hand.collect();
        let mut left = vec![Listed::new(all_parts(job, plan), &[0.32, 0.1, 0.32, 0.26])];
        left.extend(to_tick(job, "Blanks in hand, to be resawn", &in_hand));
        let cautions = cautions(&in_hand);
        if !cautions.rows.is_empty() {
            right.push(Listed::new(cautions, &[0.16, 0.84]));
        }
        if !sizes.is_empty() {
            let mut gave = table("Sizes that gave way", &[""]);
            gave.rows = sizes.iter().map(|said| vec![said.clone()]).collect();
            left.push(Listed::new(gave, &[1.0]));
        }
        Lists { left, right }
    }

    pub(crate) fn start(&self) -> Progress {
        Progress {
            left: (0, 0),
            right: (0, 0),
        }
    }

    pub(crate) fn draw(
        &self,
        pen: &mut Pen,
        from: Progress,
        x: f64,
        y: f64,
        width: f64,
        bottom: f64,
    ) -> Progress {
        let gap = 8.0;
        let wide = (width - gap) * 0.56;
        let narrow = width - gap - wide;
        let (at_left, at_right) = (
            Point { x, y },
            Point {
                x: x + wide + gap,
                y,
            },
        );
        let below = |at: Point, y: f64| Point { y, ..at };
        let (mut left, left_end) =
            draw_tables(pen, &self.left, from.left, at_left, wide, (bottom, true));
        let (mut right, right_end) = draw_tables(
            pen,
            &self.right,
            from.right,
            at_right,
            narrow,
            (bottom, true),
        );
        // A column whose own lists are done takes on those of the other.
        if left.0 >= self.left.len() && right.0 < self.right.len() {
            let at = below(at_left, left_end);
            right = go_on(pen, &self.right, right, at, wide, bottom);
        } else if right.0 >= self.right.len() && left.0 < self.left.len() {
            let at = below(at_right, right_end);
            left = go_on(pen, &self.left, left, at, narrow, bottom);
        }
        Progress { left, right }
    }
}

/// Room below a list that is worth going on in, in millimetres.
pub(crate) const WORTH: f64 = 24.0;

/// Goes on with lists below others, where there is room for more than a heading.
fn go_on(
    pen: &mut Pen,
    lists: &[Listed],
    from: (usize, usize),
    at: Point,
    width: f64,
    bottom: f64,
) -> (usize, usize) {
    if bottom - at.y < WORTH {
        return from;
    }
    draw_tables(pen, lists, from, at, width, (bottom, false)).0
}

fn table(title: &str, headings: &[&str]) -> Table {
    let columns = headings
        .iter()
        .map(|h| Column {
            title: (*h).to_owned(),
            numeric: false,
        })
        .collect();
    Table {
        title: title.to_owned(),
        columns,
        rows: Vec::new(),
    }
}

/// Every part of the job with its finished size and the boards it comes out of.
fn all_parts(job: &Job, plan: &Plan) -> Table {
    let mut table = table("Parts", &["part", "", "finished", "out of"]);
    for part in &job.parts {
        let mut on: Vec<(String, usize)> = Vec::new();
        for layout in &plan.layouts {
            let here = layout.placements.iter().filter(|p| p.part == part.id);
            let count = here.count();
            if count > 0 {
                on.push((board_label(job, &layout.board), count));
            }
        }
        let mut out_of: Vec<String> = match on.as_slice() {
            [(board, _)] => vec![board.clone()],
            several if several.len() > MOST_NAMED => vec![format!("{} boards", several.len())],
            several => several.iter().map(|(b, n)| format!("{n} of {b}")).collect(),
        };
        if !part.in_hand.is_empty() {
            out_of.insert(0, format!("{} in hand", part.in_hand.len()));
        }
        let thick = write_dimension(part.thickness, &job.units);
        table.rows.push(vec![
            part.name.clone(),
            part.count.to_string(),
            format!("{} × {thick}", finished_size(job, part)),
            out_of.join(", "),
        ]);
    }
    table
}

/// Steps with boxes to tick; none where there are none.
fn to_tick(job: &Job, title: &str, steps: &[&Step]) -> Option<Listed> {
    let mut cuts = table(title, &["", "what to do", "with", "gives"]);
    for step in steps {
        let kept = step.yields.iter().filter(|y| y.becomes != Becomes::Waste);
        let gives: Vec<&str> = kept.map(|y| chalk_name(&y.name)).collect();
        cuts.rows.push(vec![
            step.number.to_string(),
            step.brief.clone(),
            set_up_words(job, step).replace(", to marks", ""),
            gives.join(", "),
        ]);
    }
    (!cuts.rows.is_empty()).then(|| Listed {
        boxes: true,
        ..Listed::new(cuts, &[0.1, 0.38, 0.33, 0.19])
    })
}

/// The cuts that were made, and what of them is kept: pieces by their chalk names, parts in hand by theirs.
fn cuts_made(job: &Job, plan: &Plan) -> Table {
    let mut table = table("Cut already", &["", "cut", "gave"]);
    for (place, cut) in job.done.iter().enumerate() {
        let pieces = cut.pieces.iter().filter_map(|k| job.boards.get(*k));
        let kept = pieces.filter(|board| !is_scrap(job, Some(plan), board));
        let called = kept.map(|board| {
            let held = board.from.iter().flat_map(|from| from.held());
            let parts = held.filter_map(|p| Some(job.part(&p.part)?.copy_name(p.copy)));
            let parts: Vec<String> = parts.collect();
            let is_resawn = job
                .done
                .iter()
                .any(|c| c.resawn && c.board.board == board.id);
            match parts.is_empty() {
                true if is_resawn => board.name.clone(),
                true => board.id.clone(),
                false => listed(&parts),
            }
        });
        table.rows.push(vec![
            (place + 1).to_string(),
            board_label(job, &cut.board),
            called.collect::<Vec<_>>().join(", "),
        ]);
    }
    table
}

/// Equal cautions of several cuts are one row.
fn cautions(steps: &[&Step]) -> Table {
    let mut rows: SortedMap<(u32, String), SortedSet<u32>> = SortedMap::new();
    let mut first: SortedMap<String, u32> = SortedMap::new();
    for step in steps {
        for caution in &step.cautions {
            let number = *first.entry(caution.text.clone()).or_insert(step.number);
            rows.entry((number, caution.text.clone()))
                .or_default()
                .insert(step.number);
        }
    }
    let mut table = table("Take care", &["cuts", ""]);
    for ((_, text), numbers) in rows {
        table.rows.push(vec![ranges(&numbers), text]);
    }
    table
}

/// Of a part that lies on more boards their number is told, for a row must fit a page.
const MOST_NAMED: usize = 6;
/// Of so many stretches of cuts each is told.
const MOST_STRETCHES: usize = 24;

/// "1, 3 to 9, 12"; of very many stretches only how many cuts they are.
fn ranges(numbers: &SortedSet<u32>) -> String {
    let mut stretches: Vec<(u32, u32)> = Vec::new();
    for number in numbers {
        match stretches.last_mut() {
            Some((_, end)) if *end + 1 == *number => *end = *number,
            _ => stretches.push((*number, *number)),
        }
    }
    if stretches.len() > MOST_STRETCHES {
        return format!("{} cuts", numbers.len());
    }
    let words: Vec<String> = stretches
        .iter()
        .map(|(from, to)| match to - from {
            0 => from.to_string(),
            1 => format!("{from}, {to}"),
            _ => format!("{from} to {to}"),
        })
        .collect();
    words.join(", ")
}

fn offcuts(steps: &[&Step]) -> Table {
    let mut table = table("Offcuts to keep", &["offcut", "size", "from cut"]);
    for step in steps {
        for offcut in step.yields.iter().filter(|y| y.becomes == Becomes::Offcut) {
            let size = match offcut.holds.is_empty() {
                true => offcut.size.clone(),
                false => format!("{}\n{}", offcut.size, holds_words(&offcut.holds)),
            };
            table
                .rows
                .push(vec![offcut.name.clone(), size, step.number.to_string()]);
        }
    }
    table
}

fn parts(job: &Job, layout: &Layout) -> Table {
    let mut table = table(
        "Parts, blanks marked out from the datum",
        &["part", "finished", "along", "across"],
    );
    let Some(board) = job.board(&layout.board.board) else {
        return table;
    };
    let datum = Datum::of(board);
    let show = |mm: f64| write_dimension(mm, &job.units);
    let marked = |mm: f64| write_rough(mm, &job.units);
    for placement in &layout.placements {
        let (Some(part), Some(laid)) = (job.part(&placement.part), Laid::of(job, placement, false))
        else {
            continue;
        };
        let bounds = laid.bounds();
        let (along, across) = if laid.is_square_to_board() || laid.sawn {
            let low = across_words(job, &datum, bounds.min);
            let high = across_words(job, &datum, bounds.max);
            (
                format!(
                    "{} to {}",
                    marked(datum.along(bounds.min)),
                    marked(datum.along(bounds.max))
                ),
                format!("{low} to {high}"),
            )
        } else {
            // One corner a line, so that its two distances stand side by side.
            let corners = extreme_corners(&laid);
            let list = |f: &dyn Fn(Point) -> String| {
                corners.iter().map(|p| f(*p)).collect::<Vec<_>>().join("\n")
            };
            (
                list(&|p| marked(datum.along(p))),
                list(&|p| across_words(job, &datum, p)),
            )
        };
        let mut name = part.copy_name(placement.copy);
        if placement.at.turned_over {
            name.push_str(", turned over");
        }
        let size = format!("{} × {}", finished_size(job, part), show(part.thickness));
        table.rows.push(vec![name, size, along, across]);
    }
    table
}
