//! Generated jobs and plans, mostly bad ones: laws hold for these as well.

use heartside_geometry::{Pose, Region};
use heartside_timber::document::*;
use heartside_timber::grain::GrainField;
use heartside_timber::job::{
    Allowances, Board, GrainRule, Job, Match, Part, Pin, Stops, Warp, Zone,
};
use heartside_timber::plan::*;
use proptest::prelude::*;

use crate::fixtures::*;

/// Where something is put: part and board by number, and the pose.
#[derive(Debug, Clone)]
pub(crate) struct Put {
    pub(crate) part: usize,
    pub(crate) copy: u32,
    pub(crate) board: usize,
    pub(crate) pose: Pose,
}

impl Put {
    pub(crate) fn part_copy(&self) -> PartCopy {
        part_copy(PARTS[self.part], self.copy)
    }

    pub(crate) fn board_copy(&self) -> BoardCopy {
        board_copy(BOARDS[self.board])
    }
}

/// The last of each is unknown to the job.
const PARTS: [&str; 5] = ["rail", "bracket", "ring", "slat", "ghost"];
const BOARDS: [&str; 5] = ["A", "B", "C", "D", "gone"];

pub(crate) fn put() -> impl Strategy<Value = Put> {
    let turns = prop_oneof![Just(0.0), Just(90.0), Just(180.0), -6.0..6.0f64];
    // Unknown things and copies beyond the count are rare.
    let part = prop_oneof![20 => 0usize..4, 1 => Just(4usize)];
    let copy = prop_oneof![20 => 1u32..4, 1 => Just(0u32)];
    let board = prop_oneof![20 => 0usize..3, 2 => 3usize..5];
    (
        part,
        copy,
        board,
        -20.0..800.0f64,
        -20.0..220.0f64,
        turns,
        any::<bool>(),
    )
        .prop_map(|(part, copy, board, x, y, turn, turned_over)| {
            let pose = Pose {
                x,
                y,
                turn,
                turned_over,
            };
            Put {
                part,
                copy,
                board,
                pose,
            }
        })
}

/// Four boards: straight edges and a hand-made tree (A), waney (B), a hole and crooked grain
/// (C), to be left alone (D); zones of every kind; four parts, matches and a pin.
pub(crate) fn busy_job() -> Job {
    let waney = polygon(&[
        (0.0, 10.0),
        (200.0, 0.0),
        (450.0, 22.0),
        (700.0, 5.0),
        (900.0, 15.0),
        (905.0, 180.0),
        (600.0, 205.0),
        (300.0, 190.0),
        (3.0, 200.0),
    ]);
    let hole = box_of(400.0, 80.0, 440.0, 120.0).outer().clone();
    let holed = Region::new(box_of(0.0, 0.0, 900.0, 220.0).outer().clone(), vec![hole]).unwrap();
    let b = Board {
        sides: sides_of(&waney, EdgeKind::Raw, EdgeKind::Raw),
        outline: waney,
        surface: Surface::Sawn,
        warp: Warp::Unknown,
        species: "ash".into(),
        cuts: Cuts::Sawn,
        ..board("B")
    };
    let c = Board {
        sides: sides_of(&holed, EdgeKind::Straight, EdgeKind::Raw),
        outline: holed,
        grain: GrainField::straight(4.0),
        warp: Warp::Measured {
            cup: (3.0, 220.0),
            bow: (5.0, 900.0),
            twist: (4.0, 900.0, 220.0),
        },
        ..board("C")
    };
    let d = Board {
        usage: Use::Leave,
        ..board("D")
    };
    let mut job = job(vec![board("A"), b, c, d], parts());
    for place in [0, 1, 2] {
        job.boards[place].zones = zones();
    }
    let three = |part: &str| (1..=3).map(|k| part_copy(part, k)).collect();
    job.matches = vec![
        Match {
            kind: MatchKind::SameBoard,
            parts: vec![part_copy("rail", 1), part_copy("bracket", 1)],
        },
        Match {
            kind: MatchKind::ContinuousAlong,
            parts: three("rail"),
        },
        Match {
            kind: MatchKind::ContinuousAcross,
            parts: three("slat"),
        },
        Match {
            kind: MatchKind::Book,
            parts: vec![part_copy("slat", 1), part_copy("slat", 2)],
        },
    ];
    let at = Placed {
        x: 40.0,
        y: 100.0,
        turn: 0.0,
        turned_over: false,
    };
    job.pins = vec![Pin {
        part: part_copy("slat", 1),
        board: board_copy("C"),
        at,
    }];
    job
}

fn parts() -> Vec<Part> {
    let angle = [
        (0.0, 0.0),
        (120.0, 0.0),
        (120.0, 30.0),
        (30.0, 30.0),
        (30.0, 90.0),
        (0.0, 90.0),
    ];
    let bracket = Part {
        outline: polygon(&angle),
        cut: PartCut::Sawn,
        may_turn_over: false,
        faces: Faces::Both,
        ..part("bracket", 3)
    };
    let hole = box_of(20.0, 20.0, 60.0, 60.0).outer().clone();
    let ring = Part {
        outline: Region::new(box_of(0.0, 0.0, 80.0, 80.0).outer().clone(), vec![hole]).unwrap(),
        cut: PartCut::Sawn,
        grain: GrainRule::Any,
        fixing_ok: true,
        faces: Faces::Hidden,
        ..part("ring", 2)
    };
    let slat = Part {
        outline: box_of(0.0, 0.0, 300.0, 30.0),
        species: vec!["oak".into()],
        grain: GrainRule::Turns(vec![0.0, 180.0]),
        allowances: Allowances {
            end: 3.0,
            edge: 1.0,
            ..part("slat", 1).allowances
        },
        ..part("slat", 3)
    };
    vec![part("rail", 3), bracket, ring, slat]
}

fn zones() -> Vec<Zone> {
    let defect = |x0, y0, x1, y1| zone(ZoneKind::Defect, box_of(x0, y0, x1, y1));
    let fixing = |x, y| zone(ZoneKind::Fixing, box_of(x, y, x + 6.0, y + 6.0));
    let all = vec![
        Zone {
            margin: 3.0,
            ..defect(150.0, 60.0, 180.0, 80.0)
        },
        Zone {
            face: ZoneFace::Up,
            depth: 4.0,
            sound: true,
            ..defect(500.0, 20.0, 560.0, 60.0)
        },
        Zone {
            face: ZoneFace::Down,
            depth: 8.0,
            ..defect(600.0, 120.0, 640.0, 150.0)
        },
        zone(ZoneKind::Sapwood, box_of(0.0, 150.0, 900.0, 230.0)),
        Zone {
            margin: 5.0,
            stops: Stops::Rips,
            ..fixing(300.0, 90.0)
        },
        Zone {
            material: FixingMaterial::Wood,
            buried: None,
            drawn_before_planing: false,
            ..fixing(700.0, 50.0)
        },
        zone(ZoneKind::Figure, box_of(0.0, 0.0, 400.0, 200.0)),
    ];
    all.into_iter()
        .enumerate()
        .map(|(index, z)| Zone { index, ..z })
        .collect()
}

/// A plan of the busy job with these placements; board A has its tree and two rails instead.
pub(crate) fn busy_plan(puts: &[Put]) -> Plan {
    let (_, straight) = straight_job();
    let mut layouts = straight.layouts;
    for put in puts.iter().filter(|p| p.board != 0) {
        let copy = put.board_copy();
        if layouts.iter().all(|l| l.board != copy) {
            let way = if put.board == 2 {
                Way::Straight
            } else {
                Way::Sawn
            };
            layouts.push(Layout {
                way,
                ..sawn(&copy.board, Vec::new())
            });
        }
        let layout = layouts.iter_mut().find(|l| l.board == copy).unwrap();
        let part = put.part_copy();
        layout.placements.push(Placement {
            part: part.part,
            copy: part.copy,
            at: put.pose.into(),
            ..Placement::default()
        });
    }
    plan(layouts)
}
