//! Sound jobs put together by hand, for tests that say themselves what matters in them: everything
//! else is usual, so that a new field of a job costs one edit here.

use heartside_geometry::{Bounds, Region, Tolerance};
use heartside_timber::document::{Cuts, EdgeKind, Faces, HeartSide, PartCut, Surface, Use};
use heartside_timber::grain::GrainField;
use heartside_timber::job::{
    Allowances, Board, Form, Goal, GrainRule, Job, Part, SideState, Warp, Workshop,
};
use heartside_timber::length::DisplayUnits;

/// The rectangle from (0, 0) to (length, width).
///
/// # Panics
/// Where a side is not above 0.
pub fn rectangle(length: f64, width: f64) -> Region {
    Region::rectangle(Bounds::of_size(length, width)).expect("sides above 0")
}

/// A flat, planed board of ash, 30 mm thick, in any outline, its grain along x. `kind` says what each
/// side of the outline is, by its place and whether it is an end.
pub fn board(id: &str, outline: Region, kind: impl Fn(usize, bool) -> EdgeKind) -> Board {
    let sides = outline.outer().edges().enumerate();
    let sides = sides.map(|(place, (a, b))| {
        let is_end = (b.y - a.y).abs() > (b.x - a.x).abs();
        SideState {
            kind: kind(place, is_end),
            is_end,
        }
    });
    Board {
        id: id.into(),
        name: id.into(),
        species: "ash".into(),
        count: 1,
        usage: Use::Freely,
        sides: sides.collect(),
        outline,
        thickness: 30.0,
        surface: Surface::Planed,
        grain: GrainField::straight(0.0),
        heart_side: HeartSide::Unknown,
        rings: Default::default(),
        cost_is_estimate: false,
        zones: Vec::new(),
        warp: Warp::Flat,
        cost: 1.0,
        density: 650.0,
        cuts: Cuts::Any,
        gone: Vec::new(),
        from: None,
    }
}

/// A part for straight cuts, 25 mm thick, its grain along it within 3 degrees, one face seen, of any
/// wood, worth nothing.
pub fn part(id: &str, count: u32, outline: Region) -> Part {
    Part {
        id: id.into(),
        name: id.into(),
        count,
        species: Vec::new(),
        outline,
        form: Form::Rectangle,
        tenon: (0.0, 0.0),
        thickness: 25.0,
        grain: GrainRule::Axis {
            across: false,
            tolerance: 3.0,
        },
        faces: Faces::One,
        may_turn_over: true,
        allowances: Allowances {
            end: 5.0,
            edge: 2.0,
            sawn: 3.0,
            planing: 2.5,
            clean_up: 0.8,
        },
        fixing_ok: false,
        cut: PartCut::Straight,
        priority: 1,
        value: 0.0,
        in_hand: Vec::new(),
        stave: None,
        composed: None,
    }
}

/// A job in a workshop without tools, which trims nothing and keeps every offcut.
pub fn job(boards: Vec<Board>, parts: Vec<Part>) -> Job {
    Job {
        title: String::new(),
        units: DisplayUnits::metric(),
        currency: String::new(),
        cost_is_volume: false,
        offcut_value: 0.0,
        goal: Goal::Furnish,
        order: Vec::new(),
        tolerance: Tolerance::JOB,
        workshop: Workshop {
            tools: Vec::new(),
            sawn_kerf: 3.0,
            trim_end: 0.0,
            trim_edge: 0.0,
            min_offcut: (0.0, 0.0),
            max_lift_kg: 25.0,
        },
        boards,
        parts,
        panels: Vec::new(),
        matches: Vec::new(),
        pins: Vec::new(),
        dimensions: Vec::new(),
        done: Vec::new(),
        spent: 0.0,
        earlier: Vec::new(),
        photos: Vec::new(),
        figure: Vec::new(),
        wishes: Vec::new(),
        figure_worth: 0.0,
        judge: None,
        revision: 0,
    }
}
