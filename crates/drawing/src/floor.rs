//! The floor of the page: all boards side by side at true scale, in fragments that change and move by themselves.

use heartside_cutting::{Step, board_label};
use heartside_geometry::Arrange;
use heartside_geometry::{Bounds, Point};
use heartside_timber::document::{BoardCopy, HeartSide, OnFloor, PartCopy};
use heartside_timber::finding::Finding;
use heartside_timber::job::Job;
use heartside_timber::length::write_length;
use heartside_timber::plan::Plan;

use crate::diagram::board_copies;
use crate::kept::{KeptBoard, KeptFloor};
use crate::measures::{end_grain, ruler};
use crate::pen::Pen;
use crate::picture::{Look, Outside, Subject, picture};
use crate::svg::{Ids, Origin};
use crate::text::{LINE, text_width};
use crate::title::{board_facts, board_heading};

/// Screen pixels of one millimetre on paper, a little larger than life: a screen is read from further away.
const PIXELS: f64 = 4.3;
/// Gap between boards on the floor, in millimetres of wood: room for numbers and notes between them.
const GAP: f64 = 170.0;

/// Height on paper that running dimensions and the numbers of the next board take between two boards.
const DIMENSIONS_NEED: f64 = 19.0;

/// The fragment of the cut that is picked out: there is at most one.
const CHOSEN_CUT: &str = "chosen-cut";

/// One group of the floor.
#[derive(Debug, Clone, PartialEq)]
pub struct Fragment {
    /// `board-A-1`, `part-leg-2`, `zones-A-1`, `cuts-A-1`, `notes-A-1`, `chosen-cut`, `ruler`.
    pub id: String,
    /// One `g` element with that id, in millimetres of the floor, y down.
    pub svg: String,
    /// Drawn in the order of layers, then as listed.
    pub layer: u32,
    /// The board it shows or lies on.
    pub board: Option<BoardCopy>,
    /// The part it shows.
    pub part: Option<PartCopy>,
}

/// What to show on the floor.
#[derive(Debug, Clone, PartialEq)]
pub struct View<'a> {
    /// Screen pixels of one millimetre of wood: text keeps its size on the screen.
    pub pixels_per_mm: f64,
    /// The placed parts.
    pub parts: bool,
    /// The cuts with their numbers.
    pub cuts: bool,
    /// Running dimensions for marking out.
    pub dimensions: bool,
    /// Width over height of the window: boards are laid in columns to suit.
    pub aspect: f64,
    /// Parts drawn as selected.
    pub selected_parts: &'a [PartCopy],
    /// The board drawn as selected.
    pub selected_board: Option<&'a BoardCopy>,
    /// The cut that is picked out, by its number.
    pub chosen_cut: Option<u32>,
}

impl Default for View<'_> {
    fn default() -> Self {
        View {
            pixels_per_mm: 0.4,
            parts: true,
            cuts: true,
            dimensions: false,
            aspect: 1.5,
            selected_parts: &[],
            selected_board: None,
            chosen_cut: None,
        }
    }
}

/// A board's place on the floor.
#[derive(Debug, Clone, PartialEq)]
pub struct BoardOnFloor {
    /// Which.
    pub board: BoardCopy,
    /// Its bounding box on the floor, y down.
    pub bounds: Bounds,
    /// Where the origin of the board's frame lies on the floor, y down: floor = (x + bx, y - by).
    pub origin: Point,
}

/// The floor.
#[derive(Debug, Clone, PartialEq)]
pub struct Floor {
    /// All fragments.
    pub fragments: Vec<Fragment>,
    /// Where the boards lie.
    pub boards: Vec<BoardOnFloor>,
    /// The box of everything drawn, y down.
    pub bounds: Bounds,
    /// The drawing in words, for those who cannot see it.
    pub description: String,
    /// Labels that found no room at this size; they show when one looks closer.
    pub left_out: usize,
    /// Boxes of the labels: no two overlap while boards lie where they were put by themselves.
    pub labels: Vec<Bounds>,
}

/// What lies on the floor.
#[derive(Debug, Clone, Copy)]
pub struct OnTheFloor<'a> {
    /// The job.
    pub job: &'a Job,
    /// The plan shown; none before the first.
    pub plan: Option<&'a Plan>,
    /// Its steps.
    pub steps: &'a [Step],
    /// What the checker found.
    pub findings: &'a [Finding],
    /// Where boards were dragged to: the lower left corner of their box, y up.
    pub moved: &'a [OnFloor],
}

/// How many millimetres of the floor are one on paper, at so many screen pixels to the millimetre of wood.
pub(crate) fn unit_of(pixels_per_mm: f64) -> f64 {
    PIXELS
        / if pixels_per_mm.is_finite() {
            pixels_per_mm.clamp(0.005, 50.0)
        } else {
            0.4
        }
}

/// Draws the floor. Pure: the same input gives the same fragments, so that unchanged ones can be kept.
pub fn floor(on: &OnTheFloor, view: &View) -> Floor {
    floor_again(on, view, &mut KeptFloor::default())
}

/// As [`floor`], but boards that are as they were when `kept` was last used are not drawn again.
pub fn floor_again(on: &OnTheFloor, view: &View, kept: &mut KeptFloor) -> Floor {
    let unit = unit_of(view.pixels_per_mm);
    let boards = boards_on_floor(on.job, on.moved, view.aspect);
    let mut ids = Ids::default();
    let mut fragments = Vec::new();
    let mut all: Option<Bounds> = None;
    let mut left_out = 0;
    let mut labels = Vec::new();
    kept.begin(on, view, &boards);
    for (index, place) in boards.iter().enumerate() {
        let Some(board) = on.job.board(&place.board.board) else {
            continue;
        };
        if let Some(as_before) = kept.as_before(on, view, index, &mut ids) {
            left_out += as_before.left_out;
            labels.extend_from_slice(&as_before.labels);
            fragments.extend_from_slice(&as_before.fragments);
            all = Some(all.map_or(as_before.extent, |a| a.union(as_before.extent)));
            continue;
        }
        let (first_fragment, first_label) = (fragments.len(), labels.len());
        let origin = Origin {
            x: place.origin.x,
            y: place.origin.y,
        };
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
        };
        let look = Look {
            // From afar they would run into the next board; they show when one comes nearer.
            dimensions: view.dimensions && layout.is_some() && GAP / unit >= DIMENSIONS_NEED,
            cuts: view.cuts,
            chosen: view.chosen_cut.filter(|_| view.cuts),
            outside: Outside::Within(GAP * 0.48),
            least_type: 0.0,
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
        let right = place.bounds.min.x - 3.2 * unit;
        // Left of the words of the datum, where there are some.
        let right = if look.dimensions {
            right.min(beside - 2.0 * unit)
        } else {
            right
        };
        let label_box = board_name(
            &mut label,
            on.job,
            place,
            right,
            board.heart_side,
            board.thickness,
        );
        labels.push(label_box);
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
            .map_or(place.bounds, |e| e.union(place.bounds))
            .union(label_box);
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
            .map(|b| b.bounds.min.y)
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

/// Left and right of each column of boards that start at one place, where columns keep apart; else of all boards together.
fn columns(boards: &[BoardOnFloor]) -> Vec<(f64, f64)> {
    let mut found: Vec<(f64, f64)> = Vec::new();
    for board in boards {
        let (left, right) = (board.bounds.min.x, board.bounds.max.x);
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

/// Where the boards lie: where they were dragged to, else below each other, in columns to suit the window.
pub fn boards_on_floor(job: &Job, moved: &[OnFloor], aspect: f64) -> Vec<BoardOnFloor> {
    let copies: Vec<(BoardCopy, Bounds)> = board_copies(job)
        .into_iter()
        .filter_map(|c| job.board(&c.board).map(|b| (c, b.outline.bounds())))
        .collect();
    let widest = copies.iter().map(|(_, b)| b.width()).fold(0.0, f64::max);
    let side = 0.16 * widest + GAP;
    let total: f64 = copies.iter().map(|(_, b)| b.height() + GAP).sum();
    let aspect = if aspect.is_finite() {
        aspect.clamp(0.2, 6.0)
    } else {
        1.5
    };
    // Seen as large as possible: the extent that has to fit the window, in heights of it.
    let extent =
        |columns: usize| (columns as f64 * (widest + side) / aspect).max(total / columns as f64);
    let columns = (1..=12.min(copies.len().max(1)))
        .min_by(|a, b| extent(*a).total_cmp(&extent(*b)))
        .unwrap_or(1);
    let tall = total / columns as f64;
    let (mut x, mut y) = (0.0, 0.0);
    copies
        .into_iter()
        .map(|(board, own)| {
            let there = moved
                .iter()
                .find(|m| m.board == board && m.x.is_finite() && m.y.is_finite());
            if columns > 1 && y > 0.0 && y + own.height() > tall + GAP {
                x += widest + side;
                y = 0.0;
            }
            // A board that was dragged away leaves its place free: the others stay where they lie.
            let own_place = (x, y);
            y += own.height() + GAP;
            let (left, top) = there.map_or(own_place, |m| (m.x, -m.y - own.height()));
            let bounds = Bounds {
                min: Point { x: left, y: top },
                max: Point {
                    x: left + own.width(),
                    y: top + own.height(),
                },
            };
            let origin = Point {
                x: left - own.min.x,
                y: top + own.max.y,
            };
            BoardOnFloor {
                board,
                bounds,
                origin,
            }
        })
        .collect()
}

/// The board's letter, thickness and heart side, left of it; from afar there is only room for the letter.
fn board_name(
    pen: &mut Pen,
    job: &Job,
    place: &BoardOnFloor,
    right: f64,
    heart: HeartSide,
    thickness: f64,
) -> Bounds {
    let u = pen.unit;
    let label = board_label(job, &place.board);
    let room = (place.bounds.height() + GAP) / u;
    let small = 2.8 * u;
    let big = (room * 0.8).min(5.6) * u;
    let middle = place.bounds.centre().y;
    let (with_thickness, with_heart) = (room >= 9.5, room >= 14.0 && heart != HeartSide::Unknown);
    let lift = if with_thickness { 2.0 * u } else { 0.0 };
    crate::title::right(pen, &label, "hs-name", right, middle - lift, big);
    let thick = write_length(thickness, &job.units);
    let mut low = middle + LINE * big / 2.0;
    let mut wide = text_width(&label, big);
    if with_thickness {
        crate::title::right(pen, &thick, "hs-quiet", right, middle + 2.2 * u, small);
        low = middle + 4.0 * u;
        wide = wide.max(text_width(&thick, small));
    }
    if with_heart {
        let text = if heart == HeartSide::Up {
            "heart side up"
        } else {
            "heart side down"
        };
        pen.open("", "", text, "");
        end_grain(
            pen,
            heart,
            Point {
                x: right - 4.0 * u,
                y: middle + 6.0 * u,
            },
        );
        pen.close();
        low = middle + 7.6 * u;
        wide = wide.max(8.2 * u);
    }
    Bounds {
        min: Point {
            x: right - wide,
            y: middle - lift - LINE * big / 2.0,
        },
        max: Point { x: right, y: low },
    }
}

fn described(on: &OnTheFloor) -> String {
    let mut lines = Vec::new();
    for copy in board_copies(on.job) {
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
        let holds = if names.is_empty() {
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
