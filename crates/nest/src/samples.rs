//! Small jobs for this crate's own tests.

use heartside_geometry::{Bounds, Point, Region, Ring, Tolerance};
use heartside_timber::document::{
    Aim, ClearOf, Cuts, EdgeKind, Faces, FixingMaterial, HeartSide, PartCut, Stops, Surface, Use,
    ZoneFace, ZoneKind,
};
use heartside_timber::grain::GrainField;
use heartside_timber::job::{
    Allowances, Board, Form, Goal, GrainRule, Job, Part, SideState, Tool, Warp, Workshop, Zone,
};

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
        currency: String::new(),
        cost_is_volume: false,
        offcut_value: 0.0,
        goal: Goal::Furnish,
        order: vec![Aim::Timber, Aim::Figure, Aim::Labour, Aim::Offcuts],
        tolerance: Tolerance::JOB,
        workshop: Workshop {
            tools: vec![free_saw(3.0)],
            sawn_kerf: 3.0,
            trim_end: 20.0,
            trim_edge: 5.0,
            min_offcut: (300.0, 50.0),
            max_lift_kg: 25.0,
        },
        boards,
        parts,
        matches: Vec::new(),
        pins: Vec::new(),
        dimensions: Vec::new(),
        revision: 7,
    }
}

/// A board of any outline, every side of the given kind.
pub(crate) fn board(id: &str, outline: Region, kind: EdgeKind) -> Board {
    let sides = outline
        .outer()
        .edges()
        .map(|(a, b)| SideState {
            kind,
            is_end: (b.y - a.y).abs() > (b.x - a.x).abs(),
        })
        .collect();
    Board {
        id: id.into(),
        name: id.into(),
        species: "ash".into(),
        count: 1,
        usage: Use::Freely,
        sides,
        thickness: 30.0,
        surface: Surface::Planed,
        grain: GrainField::straight(0.0),
        heart_side: HeartSide::Unknown,
        cost_is_estimate: false,
        zones: Vec::new(),
        warp: Warp::Flat,
        cost: outline.area() * 30.0 * 1e-9 * 1000.0,
        density: 650.0,
        cuts: Cuts::Any,
        outline,
    }
}

/// A rectangular part with grain along it.
pub(crate) fn part(id: &str, count: u32, length: f64, width: f64) -> Part {
    Part {
        id: id.into(),
        name: id.into(),
        count,
        species: Vec::new(),
        outline: rectangle(0.0, 0.0, length, width),
        form: Form::Rectangle,
        tenon: (0.0, 0.0),
        thickness: 25.0,
        grain: GrainRule::Axis {
            across: false,
            tolerance: 5.0,
        },
        faces: Faces::One,
        may_turn_over: true,
        allowances: Allowances {
            end: 5.0,
            edge: 2.0,
            sawn: 3.0,
            planing: 2.0,
            clean_up: 0.8,
        },
        fixing_ok: false,
        cut: PartCut::Straight,
        priority: 1,
        value: length * width,
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
