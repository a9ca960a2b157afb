//! The floor of the page: all boards side by side at true scale, in fragments that change and move by themselves.

use heartside_cutting::board_label;
use heartside_geometry::Arrange;
use heartside_geometry::{Bounds, Point};
use heartside_timber::document::{BoardCopy, PartCopy};
use heartside_timber::job::Job;
use heartside_timber::length::write_length;

use crate::arrangement::{Arrangement, boards_on_floor};
use crate::end_grain::{end_words, ends, ends_wide};
use crate::kept::{KeptBoard, KeptFloor};
use crate::measures::ruler;
use crate::on_floor::{BoardOnFloor, Floor, Fragment, LEAST_ON_SCREEN, OnTheFloor, View, unit_of};
use crate::pen::{Pen, Words};
use crate::picture::picture;
use crate::scene::{Look, Outside, Subject};
use crate::svg::{Ids, Origin};
use crate::text::{LINE, text_width};
use crate::title::{board_facts, board_heading};

/// Height on paper that running dimensions and the numbers of the next board take between two boards.
const DIMENSIONS_NEED: f64 = 19.0;

/// The fragment of the cut that is picked out: there is at most one.
const CHOSEN_CUT: &str = "chosen-cut";

/// Draws the floor. Pure: the same input gives the same fragments, so that unchanged ones can be kept.
pub fn floor(on: &OnTheFloor, view: &View) -> Floor {
    floor_again(on, view, &mut KeptFloor::default())
}

/// As [`floor`], but boards that are as they were when `kept` was last used are not drawn again.
pub fn floor_again(on: &OnTheFloor, view: &View, kept: &mut KeptFloor) -> Floor {
    let unit = unit_of(view.pixels_per_mm);
    let boards = boards_on_floor(on.job, on.moved, view.aspect);
    let arrangement = Arrangement::of(on.job, view.aspect);
    let mut ids = Ids::default();
    let mut fragments = Vec::new();
    let mut all: Option<Bounds> = None;
    let mut left_out = 0;
    let mut labels = Vec::new();
    kept.begin(on, view, &boards);
    // Boards and their names, as the others see them.
    let mut scratch = Pen::new(unit);
    let taken: Vec<(Bounds, Option<Bounds>)> = boards
        .iter()
        .enumerate()
        .map(|(index, place)| {
            let right = place.slot.min.x - 3.2 * unit;
            let named = named_beside(on.job, &boards, index);
            let name = named.and_then(|root| {
                board_name(&mut scratch, on.job, root, place.slot, right, &arrangement)
            });
            (place.bounds, name)
        })
        .collect();
    let look_reach = 2.0 * arrangement.gap + 60.0 * unit;
    // Pieces lie so near each other that each keeps off what was written for those before it.
    let (mut slot, mut slot_labels, mut slot_is_new) = (None, 0, false);
    for (index, place) in boards.iter().enumerate() {
        let Some(board) = on.job.board(&place.board.board) else {
            continue;
        };
        let root = on.job.root(&place.board);
        if slot != Some(root) {
            (slot, slot_labels, slot_is_new) = (Some(root), labels.len(), false);
        }
        let as_before = match slot_is_new {
            true => None,
            false => kept.as_before(on, view, index, &mut ids),
        };
        slot_is_new |= as_before.is_none();
        if let Some(as_before) = as_before {
            left_out += as_before.left_out;
            labels.extend_from_slice(&as_before.labels);
            fragments.extend_from_slice(&as_before.fragments);
            all = Some(all.map_or(as_before.extent, |a| a.union(as_before.extent)));
            continue;
        }
        let (first_fragment, first_label) = (fragments.len(), labels.len());
        let origin = Origin::at(place.origin.x, place.origin.y);
        let layout = on
            .plan
            .filter(|_| view.parts)
            .and_then(|p| p.layout(&place.board.board, place.board.copy));
        let subject = Subject {
            job: on.job,
            board,
            copy: &place.board,
            layout,
            steps: on.steps,
            findings: on.findings,
            selected: view.selected_parts,
            others: &[],
        };
        let look = Look {
            // From afar they would run into the next board; they show when one comes nearer.
            dimensions: view.dimensions
                && layout.is_some()
                && arrangement.gap / unit >= DIMENSIONS_NEED,
            cuts: view.cuts,
            chosen: view.chosen_cut.filter(|_| view.cuts),
            outside: Outside::Within(arrangement.gap * 0.48),
            least_type: LEAST_ON_SCREEN * unit,
            figure: view.figure,
        };
        let mut others = near(&taken, index, place.bounds.grown(look_reach));
        others.extend_from_slice(&labels[slot_labels..]);
        let subject = Subject {
            others: &others,
            ..subject
        };
        let drawn = picture(subject, look, origin, unit);
        left_out += drawn.left_out;
        labels.extend(drawn.room.labels().copied());
        let key = format!("{}-{}", place.board.board, place.board.copy);
        let mut add = |word: &str,
                       title: &str,
                       layer: u32,
                       content: String,
                       part: Option<PartCopy>,
                       extra: &str| {
            let name = part
                .as_ref()
                .map_or_else(|| key.clone(), |p| format!("{}-{}", p.part, p.copy));
            let id = ids.make(word, &name);
            let mut pen = Pen::new(unit);
            pen.open(&id, &format!("hs hs-{word}{extra}"), title, "");
            pen.out.push_str(&content);
            pen.close();
            fragments.push(Fragment {
                id,
                svg: pen.out,
                layer,
                board: Some(place.board.clone()),
                part,
            });
        };
        let chosen = view.selected_board == Some(&place.board);
        let mut label = Pen::new(unit);
        let beside = drawn.room.extent().map_or(place.bounds.min.x, |e| e.min.x);
        let right = place.slot.min.x - 3.2 * unit;
        // Left of the words of the datum, where there are some.
        let right = if look.dimensions {
            right.min(beside - 2.0 * unit)
        } else {
            right
        };
        let named = named_beside(on.job, &boards, index);
        let label_box = named
            .and_then(|root| board_name(&mut label, on.job, root, place.slot, right, &arrangement));
        labels.extend(label_box);
        if chosen {
            label.path("hs-cut", &origin.region(&board.outline), 0.9, &[]);
        }
        let heading = format!(
            "{}: {}",
            board_heading(on.job, board, &place.board),
            board_facts(on.job, board)
        );
        add(
            "board",
            &heading,
            10,
            drawn.ground + &label.out,
            None,
            if chosen { " hs-selected" } else { "" },
        );
        for (_, part, title, svg) in drawn.parts {
            let selected = if view.selected_parts.contains(&part) {
                " hs-selected"
            } else {
                ""
            };
            add("part", &title, 20, svg, Some(part), selected);
        }
        for (word, title, layer, content) in [
            ("zones", "marked areas", 30, drawn.zones),
            ("cuts", "cuts", 40, drawn.cuts),
            ("labels", "offcuts", 50, drawn.labels),
            ("dimensions", "running dimensions", 60, drawn.dimensions),
            ("notes", "findings", 70, drawn.notes),
        ] {
            if !content.is_empty() {
                add(word, title, layer, content, None, "");
            }
        }
        if !drawn.chosen.is_empty() {
            let mut pen = Pen::new(unit);
            pen.open(CHOSEN_CUT, "hs", "the chosen cut", "");
            pen.out.push_str(&drawn.chosen);
            pen.close();
            fragments.push(Fragment {
                id: CHOSEN_CUT.into(),
                svg: pen.out,
                layer: 80,
                board: Some(place.board.clone()),
                part: None,
            });
        }
        let own = drawn
            .room
            .extent()
            .map_or(place.bounds, |e| e.union(place.bounds));
        let own = label_box.map_or(own, |l| own.union(l));
        all = Some(all.map_or(own, |a| a.union(own)));
        let drawn_now = KeptBoard {
            fragments: fragments[first_fragment..].to_vec(),
            labels: labels[first_label..].to_vec(),
            left_out: drawn.left_out,
            extent: own,
        };
        kept.keep(on, view, index, drawn_now);
    }
    let mut bounds = all.unwrap_or(Bounds {
        min: Point { x: 0.0, y: 0.0 },
        max: Point {
            x: 1000.0,
            y: 600.0,
        },
    });
    if !boards.is_empty() {
        let mut pen = Pen::new(unit);
        pen.open("ruler", "hs hs-ruler", "rulers along the boards", "");
        let top = boards
            .iter()
            .map(|b| b.slot.min.y)
            .fold(bounds.min.y, f64::min);
        let y = top - 2.0 * unit;
        for (left, right) in columns(&boards) {
            ruler(&mut pen, on.job, left, left, right, y);
        }
        pen.close();
        bounds.min.y = y - 7.0 * unit;
        fragments.push(Fragment {
            id: "ruler".into(),
            svg: pen.out,
            layer: 5,
            board: None,
            part: None,
        });
    }
    Floor {
        fragments,
        boards,
        bounds,
        description: described(on),
        left_out,
        labels,
    }
}

/// The other boards near one, and all names near it; none where boards were laid over each other.
fn near(taken: &[(Bounds, Option<Bounds>)], own: usize, reach: Bounds) -> Vec<Bounds> {
    let mut near = Vec::new();
    for (index, (board, name)) in taken.iter().enumerate() {
        if index != own && reach.intersects(board) && !taken[own].0.intersects(board) {
            near.push(*board);
        }
        near.extend(name.filter(|n| reach.intersects(n) && !taken[own].0.intersects(n)));
    }
    near
}

/// Left and right of each column of boards that start at one place, where columns keep apart; else of all boards together.
fn columns(boards: &[BoardOnFloor]) -> Vec<(f64, f64)> {
    let mut found: Vec<(f64, f64)> = Vec::new();
    for board in boards {
        let (left, right) = (board.slot.min.x, board.slot.max.x);
        match found.iter_mut().find(|(l, _)| *l == left) {
            Some(column) => column.1 = column.1.max(right),
            None => found.push((left, right)),
        }
    }
    found.arrange_by(|a, b| a.0.total_cmp(&b.0));
    if found.windows(2).any(|w| w[0].1 >= w[1].0) {
        let right = found.iter().map(|c| c.1).fold(f64::NEG_INFINITY, f64::max);
        found = found.first().map(|c| (c.0, right)).into_iter().collect();
    }
    found
}

/// Whose name stands beside a board: its own, or beside the first of its pieces that of the board
/// that they came from.
fn named_beside<'a>(
    job: &'a Job,
    boards: &'a [BoardOnFloor],
    index: usize,
) -> Option<&'a BoardCopy> {
    let root = job.root(&boards.get(index)?.board);
    let before = index.checked_sub(1).and_then(|k| boards.get(k));
    before
        .is_none_or(|b| job.root(&b.board) != root)
        .then_some(root)
}

/// The board's letter, thickness and heart side, left of it; from afar there is only room for the
/// letter. Where names stand above, letter and thickness in one line.
fn board_name(
    pen: &mut Pen,
    job: &Job,
    copy: &BoardCopy,
    lies: Bounds,
    right: f64,
    arrangement: &Arrangement,
) -> Option<Bounds> {
    let board = job.board(&copy.board)?;
    let u = pen.unit;
    let least = LEAST_ON_SCREEN * u;
    let label = board_label(job, copy);
    let thick = write_length(board.thickness, &job.units);
    let ends_known = end_words(board);
    if arrangement.names_above {
        let size = (0.56 * arrangement.gap).min(2.9 * u);
        if size < least {
            return None;
        }
        let at = Point {
            x: lies.min.x,
            y: lies.min.y - 0.7 * size,
        };
        let name = Words::starting(label, "hs-name", at, size);
        let beside = Point {
            x: at.x + name.length() + 0.7 * size,
            y: at.y,
        };
        let thick = Words::starting(thick, "hs-quiet", beside, least.max(0.8 * size));
        pen.words(&name);
        pen.words(&thick);
        let mut taken = name.bounds().union(thick.bounds());
        if let Some(text) = ends_known {
            let left = Point {
                x: taken.max.x + 1.5 * u,
                y: at.y,
            };
            pen.open("", "", &text, "");
            taken.max.x = ends(pen, board, left);
            pen.close();
        }
        return Some(taken);
    }
    let room = (lies.height() + arrangement.gap) / u;
    let small = 2.8 * u;
    let big = (room * 0.8).min(5.2) * u;
    if big < least {
        return None;
    }
    let middle = lies.centre().y;
    let with_thickness = room >= 9.5;
    let lift = if with_thickness { 2.0 * u } else { 0.0 };
    crate::title::right(pen, &label, "hs-name", right, middle - lift, big);
    let mut low = middle + LINE * big / 2.0;
    let mut wide = text_width(&label, big);
    if with_thickness {
        crate::title::right(pen, &thick, "hs-quiet", right, middle + 2.2 * u, small);
        low = middle + 4.0 * u;
        wide = wide.max(text_width(&thick, small));
    }
    if let Some(text) = ends_known.filter(|_| room >= 14.0) {
        pen.open("", "", &text, "");
        let at = Point {
            x: right - ends_wide(board) * u,
            y: middle + 6.0 * u,
        };
        ends(pen, board, at);
        pen.close();
        low = middle + 7.6 * u;
        wide = wide.max((ends_wide(board) + 0.2) * u);
    }
    Some(Bounds {
        min: Point {
            x: right - wide,
            y: middle - lift - LINE * big / 2.0,
        },
        max: Point { x: right, y: low },
    })
}

fn described(on: &OnTheFloor) -> String {
    let mut lines = Vec::new();
    for copy in on.job.board_copies() {
        let Some(board) = on.job.board(&copy.board) else {
            continue;
        };
        let names: Vec<String> = on
            .plan
            .and_then(|p| p.layout(&copy.board, copy.copy))
            .map(|l| {
                l.placements
                    .iter()
                    .filter_map(|p| on.job.part(&p.part).map(|part| part.copy_name(p.copy)))
                    .collect()
            })
            .unwrap_or_default();
        let holds = if board.is_in_hand() {
            "its blank is sawn".to_owned()
        } else if names.is_empty() {
            "nothing on it".to_owned()
        } else {
            names.join(", ")
        };
        lines.push(format!(
            "{} ({}): {holds}.",
            board_heading(on.job, board, &copy),
            board_facts(on.job, board)
        ));
    }
    lines.join(" ")
}
