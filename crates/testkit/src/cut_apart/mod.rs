//! Boards cut apart by a random legal tree: the full answer is known.

mod cutter;

use heartside_geometry::{Bounds, Point, Pose};
use heartside_timber::document::{
    Document, Faces, GrainAxis, Length, Part, PartGrain, Shape, Stops, Zone, ZoneFace, ZoneKind,
};
use heartside_timber::plan::{CutNode, CutTree, Direction, Placement, Plan};

use self::cutter::Cutter;
use crate::chance::Chance;
use crate::saw::Saw;
use crate::timberyard::{add_cut_up, board, empty_job, mm, plain, spot};
use crate::workshop::{Outfit, fit_out};

/// What to generate.
#[derive(Debug, Clone, Copy)]
pub struct CutApart {
    /// Boards.
    pub boards: usize,
    /// Parts of one board; fewer where the board is too small to be cut into so many.
    pub parts_a_board: usize,
    /// Share of a board's area, inside its trims, that becomes waste besides the kerfs, in per
    /// cent; kept within three.
    pub waste: usize,
    /// Defects, sapwood and fixings on the boards.
    pub zones: bool,
    /// Tools at random, of which each cut has one that may make it; none for the same three everywhere.
    pub outfit: Option<Outfit>,
}

impl Default for CutApart {
    fn default() -> CutApart {
        CutApart {
            boards: 2,
            parts_a_board: 6,
            waste: 12,
            zones: true,
            outfit: None,
        }
    }
}

/// A job whose boards were cut apart by random through cuts, with the complete plan.
///
/// The plan obeys every rule; the job's parts are exactly what was cut. Waste leaves may
/// hold defects.
pub fn cut_apart(seed: u32, wanted: CutApart) -> Document {
    let mut chance = Chance::new(seed);
    let mut document = empty_job(format!("Cut apart {seed}"));
    // Of the three tools that all other jobs share the first makes every cut.
    let mut saws = Saw::all(&document.workshop.tools[..1]);
    if let Some(outfit) = wanted.outfit {
        fit_out(&mut document, seed, outfit);
        saws = Saw::all(&document.workshop.tools);
    }
    let mut plan = Plan::default();
    for index in 0..wanted.boards {
        let thickness = *chance.one_of(&[27.0, 33.0, 40.0]);
        let mut board = board(&mut chance, index, thickness);
        let mut cutter = Cutter {
            chance: &mut chance,
            parts: wanted.parts_a_board,
            waste_share: wanted.waste,
            saws: &saws,
            trim: (
                document.workshop.trim.end.as_ref().map_or(0.0, plain),
                document.workshop.trim.edge.as_ref().map_or(0.0, plain),
            ),
            thickness,
            is_twisted: board.warp.as_ref().is_some_and(|warp| warp.twist.is_some()),
            nodes: Vec::new(),
            blanks: Vec::new(),
            waste: Vec::new(),
        };
        cutter.board(&board);
        let (nodes, blanks, waste) = (cutter.nodes, cutter.blanks, cutter.waste);
        let mut placements = Vec::new();
        for (place, blank) in blanks.iter().enumerate() {
            let (part, at) = part_for(&mut chance, &document, &board.id, place, *blank, thickness);
            placements.push(Placement {
                part: part.id.clone(),
                copy: 1,
                at: at.into(),
                ..Placement::default()
            });
            document.parts.push(part);
        }
        if wanted.zones {
            add_zones(&mut chance, &mut board.zones, &blanks, &waste, &nodes);
        }
        add_cut_up(
            &mut document,
            &mut plan,
            board,
            placements,
            Some(CutTree { nodes }),
        );
    }
    document.plan = Some(plan);
    document
}

/// The part whose blank is this rectangle, and where it lies.
fn part_for(
    chance: &mut Chance,
    document: &Document,
    board: &str,
    place: usize,
    blank: Bounds,
    thickness: f64,
) -> (Part, Pose) {
    let (end, edge) = (8.0, 2.0);
    let crosswise = chance.percent(25);
    let (along, across) = if crosswise {
        (blank.height(), blank.width())
    } else {
        (blank.width(), blank.height())
    };
    let turned_over = chance.percent(30);
    let turn = f64::from(u8::from(crosswise)) * 90.0 + if chance.percent(50) { 180.0 } else { 0.0 };
    // The blank's rectangle in the part's frame, and where the pose without a move takes it.
    let own = Bounds {
        min: Point { x: -end, y: -edge },
        max: Point {
            x: along - end,
            y: across - edge,
        },
    };
    let still = Pose {
        x: 0.0,
        y: 0.0,
        turn,
        turned_over,
    };
    let corners = [
        own.min,
        own.max,
        Point {
            x: own.min.x,
            y: own.max.y,
        },
        Point {
            x: own.max.x,
            y: own.min.y,
        },
    ];
    let (mut x, mut y) = (f64::INFINITY, f64::INFINITY);
    for corner in corners {
        let moved = still.apply(corner);
        x = x.min(moved.x);
        y = y.min(moved.y);
    }
    let pose = Pose {
        x: blank.min.x - x,
        y: blank.min.y - y,
        ..still
    };
    let part = Part {
        id: format!("{}{}", board.to_lowercase(), place + 1),
        name: format!("Part {}", document.parts.len() + 1),
        shape: Some(Shape::Rectangle {
            length: Length::Mm(along - 2.0 * end),
            width: Length::Mm(across - 2.0 * edge),
        }),
        // The worst warp that the generator gives costs less than 13 mm; planing costs 5.
        thickness: mm(thickness - 16.0),
        grain: PartGrain {
            axis: if crosswise {
                GrainAxis::Across
            } else {
                GrainAxis::Along
            },
            tolerance: Some(3.0),
            ..PartGrain::default()
        },
        faces: *chance.one_of(&[Faces::One, Faces::Both, Faces::Hidden, Faces::Painted]),
        ..Part::default()
    };
    (part, pose)
}

/// Defects in waste, sound defects under hidden faces, fixings clear of every cut.
fn add_zones(
    chance: &mut Chance,
    zones: &mut Vec<Zone>,
    blanks: &[Bounds],
    waste: &[Bounds],
    nodes: &[CutNode],
) {
    for bounds in waste {
        if bounds.width() > 60.0 && bounds.height() > 40.0 && chance.percent(80) {
            let middle = bounds.centre();
            let margin = 4.0;
            let zone = spot(
                middle.x,
                middle.y,
                bounds.width() - 20.0,
                bounds.height() - 20.0,
                chance.percent(60),
            );
            if chance.percent(70) {
                zones.push(Zone {
                    margin: mm(margin),
                    note: "knot".into(),
                    ..zone
                });
            } else if clear_of_cuts(middle, 14.0, nodes) {
                let screw = spot(middle.x, middle.y, 8.0, 8.0, true);
                zones.push(Zone {
                    kind: ZoneKind::Fixing,
                    margin: mm(8.0),
                    stops: *chance.one_of(&[Stops::All, Stops::Rips, Stops::Crosscuts]),
                    note: "old screw".into(),
                    ..screw
                });
            }
        }
    }
    for bounds in blanks {
        // A shallow mark that planing takes away, on either face.
        if chance.percent(15) {
            let middle = bounds.centre();
            zones.push(Zone {
                face: if chance.percent(50) {
                    ZoneFace::Up
                } else {
                    ZoneFace::Down
                },
                depth: mm(0.0),
                sound: true,
                note: "stain".into(),
                ..spot(middle.x, middle.y, 20.0, 12.0, true)
            });
        }
    }
}

/// Whether a round thing keeps away from every cut's line, however far that runs.
fn clear_of_cuts(at: Point, reach: f64, nodes: &[CutNode]) -> bool {
    nodes.iter().all(|node| match node {
        CutNode::Cut {
            direction,
            at: line,
            kerf,
            ..
        } => {
            let value = if *direction == Direction::Rip {
                at.y
            } else {
                at.x
            };
            value + reach < *line || value - reach > line + kerf
        }
        _ => true,
    })
}
