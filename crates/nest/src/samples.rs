//! Small jobs for this crate's own tests.

use heartside_geometry::{Bounds, Point, Region, Ring};
use heartside_testkit::by_hand;
use heartside_timber::document::{
    Aim, ClearOf, EdgeKind, FixingMaterial, Stops, ZoneFace, ZoneKind,
};
use heartside_timber::job::{Allowances, Board, GrainRule, Job, Part, Tool, Workshop, Zone};

pub(crate) fn point(x: f64, y: f64) -> Point {
    Point { x, y }
}

pub(crate) fn rectangle(x0: f64, y0: f64, x1: f64, y1: f64) -> Region {
    Region::rectangle(Bounds {
        min: point(x0, y0),
        max: point(x1, y1),
    })
    .unwrap()
}

#[allow(dead_code)]
pub(crate) fn polygon(points: &[(f64, f64)]) -> Region {
    Region::from_ring(Ring::new(points.iter().map(|p| point(p.0, p.1)).collect()).unwrap())
}

/// A saw for everything, without limits.
pub(crate) fn free_saw(kerf: f64) -> Tool {
    Tool {
        name: "any saw".into(),
        rips: true,
        crosscuts: true,
        kerf,
        leaves_true_edge: true,
        can_skim: true,
        ..Tool::default()
    }
}

pub(crate) fn job(boards: Vec<Board>, parts: Vec<Part>) -> Job {
    Job {
        title: "a test".into(),
        units: Default::default(),
        order: vec![Aim::Timber, Aim::Figure, Aim::Labour, Aim::Offcuts],
        workshop: Workshop {
            tools: vec![free_saw(3.0)],
            sawn_kerf: 3.0,
            trim_end: 20.0,
            trim_edge: 5.0,
            min_offcut: (300.0, 50.0),
            max_lift_kg: 25.0,
        },
        revision: 7,
        ..by_hand::job(boards, parts)
    }
}

/// A board of any outline, every side of the given kind.
pub(crate) fn board(id: &str, outline: Region, kind: EdgeKind) -> Board {
    Board {
        cost: outline.area() * 30.0 * 1e-9 * 1000.0,
        ..by_hand::board(id, outline, |_, _| kind)
    }
}

/// A rectangular part with grain along it.
pub(crate) fn part(id: &str, count: u32, length: f64, width: f64) -> Part {
    let usual = by_hand::part(id, count, rectangle(0.0, 0.0, length, width));
    Part {
        grain: GrainRule::Axis {
            across: false,
            tolerance: 5.0,
        },
        allowances: Allowances {
            planing: 2.0,
            ..usual.allowances
        },
        value: length * width,
        ..usual
    }
}

#[allow(dead_code)]
pub(crate) fn zone(index: usize, kind: ZoneKind, shape: Region) -> Zone {
    Zone {
        index,
        kind,
        shape,
        face: ZoneFace::Through,
        depth: f64::INFINITY,
        sound: false,
        margin: 4.0,
        clear_of: ClearOf::Blank,
        stops: Stops::All,
        material: FixingMaterial::Metal,
        buried: None,
        drawn_before_planing: false,
        weight: 1.0,
        note: String::new(),
    }
}
