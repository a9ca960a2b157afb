//! An invented small job with everything a drawing may have to show: waney and straight
//! boards, zones of all kinds, tapered legs, curved brackets, tenons, a tree of cuts.

#![allow(unreachable_pub, dead_code, missing_docs)] // Shared by tests and the example, each of which uses some of it.

use heartside_geometry::{Bounds, Point, Region, Ring};
use heartside_testkit::by_hand;
use heartside_timber::document::*;
use heartside_timber::finding::{Amount, Finding, Rule, Severity};
use heartside_timber::grain::GrainField;
use heartside_timber::job::{self, Allowances, Form, Job, Warp};
use heartside_timber::plan::*;

fn p(x: f64, y: f64) -> Point {
    Point { x, y }
}

fn polygon(points: &[(f64, f64)]) -> Region {
    Region::from_ring(
        Ring::new(points.iter().map(|(x, y)| p(*x, *y)).collect()).expect("a sound ring"),
    )
}

fn rectangle(x0: f64, y0: f64, x1: f64, y1: f64) -> Region {
    Region::rectangle(Bounds {
        min: p(x0, y0),
        max: p(x1, y1),
    })
    .expect("a rectangle")
}

fn oval(x: f64, y: f64, a: f64, b: f64) -> Region {
    let points = (0..20)
        .map(|k| {
            let (s, c) = heartside_geometry::math::sin_cos_deg(18.0 * f64::from(k));
            (x + a / 2.0 * c, y + b / 2.0 * s)
        })
        .collect::<Vec<_>>();
    polygon(&points)
}

fn zone(index: usize, kind: ZoneKind, shape: Region, note: &str) -> job::Zone {
    job::Zone {
        index,
        kind,
        shape,
        face: ZoneFace::Through,
        depth: f64::INFINITY,
        sound: false,
        margin: 0.0,
        clear_of: ClearOf::Blank,
        stops: Stops::All,
        material: FixingMaterial::Unknown,
        buried: None,
        drawn_before_planing: false,
        weight: 1.0,
        note: note.into(),
    }
}

fn board(id: &str, outline: Region, straight: &[usize], thickness: f64) -> job::Board {
    let kind = |place, _| {
        if straight.contains(&place) {
            EdgeKind::Straight
        } else {
            EdgeKind::Raw
        }
    };
    job::Board {
        thickness,
        surface: Surface::Sawn,
        heart_side: HeartSide::Up,
        warp: Warp::Unknown,
        cost: 46.2,
        density: 690.0,
        ..by_hand::board(id, outline, kind)
    }
}

fn part(id: &str, name: &str, count: u32, outline: Region, cut: PartCut) -> job::Part {
    let usual = by_hand::part(id, count, outline);
    job::Part {
        name: name.into(),
        thickness: 22.0,
        allowances: Allowances {
            end: 10.0,
            edge: 4.0,
            ..usual.allowances
        },
        cut,
        ..usual
    }
}

/// Waney board, chalk line along its middle.
fn waney(id: &str, length: f64, half: f64) -> job::Board {
    let mut points = Vec::new();
    for k in 0..=12 {
        let x = length * f64::from(k) / 12.0;
        points.push((
            x,
            -half + 6.0 * heartside_geometry::math::sin_cos_deg(f64::from(k) * 50.0).0
                - f64::from(k) * 0.4,
        ));
    }
    for k in (0..=12).rev() {
        let x = length * f64::from(k) / 12.0;
        points.push((
            x,
            half + 12.0 + 7.0 * heartside_geometry::math::sin_cos_deg(f64::from(k) * 64.0 + 40.0).0
                - f64::from(k) * 0.9,
        ));
    }
    board(id, polygon(&points), &[], 27.0)
}

/// A tree written from the inside out.
pub enum Tree {
    Cut(Direction, f64, Box<Tree>, Box<Tree>),
    Leaf(CutNode),
}

pub fn rip(at: f64, low: Tree, high: Tree) -> Tree {
    Tree::Cut(Direction::Rip, at, Box::new(low), Box::new(high))
}

pub fn cross(at: f64, low: Tree, high: Tree) -> Tree {
    Tree::Cut(Direction::Crosscut, at, Box::new(low), Box::new(high))
}

pub fn blank(placement: usize) -> Tree {
    Tree::Leaf(CutNode::Blank { placement })
}

pub fn waste() -> Tree {
    Tree::Leaf(CutNode::Waste)
}

pub fn region(placements: &[usize]) -> Tree {
    Tree::Leaf(CutNode::Region {
        placements: placements.to_vec(),
    })
}

pub fn offcut() -> Tree {
    Tree::Leaf(CutNode::Offcut)
}

pub fn flat(tree: Tree) -> CutTree {
    fn put(tree: Tree, nodes: &mut Vec<CutNode>) -> usize {
        let place = nodes.len();
        match tree {
            Tree::Leaf(node) => nodes.push(node),
            Tree::Cut(direction, at, low, high) => {
                nodes.push(CutNode::Waste);
                let (low, high) = (put(*low, nodes), put(*high, nodes));
                let tool = if direction == Direction::Rip {
                    "table saw"
                } else {
                    "mitre saw"
                };
                nodes[place] = CutNode::Cut {
                    angle: None,
                    direction,
                    tool: tool.into(),
                    at,
                    kerf: 3.0,
                    low,
                    high,
                };
            }
        }
        place
    }
    let mut nodes = Vec::new();
    put(tree, &mut nodes);
    CutTree { nodes }
}

fn placement(part: &str, copy: u32, x: f64, y: f64, turn: f64) -> Placement {
    Placement {
        part: part.into(),
        copy,
        at: Placed {
            x,
            y,
            turn,
            turned_over: false,
        },
        ..Placement::default()
    }
}

fn tool(name: &str, rips: bool, crosscuts: bool, saws: bool, fence: bool) -> job::Tool {
    job::Tool {
        name: name.into(),
        rips,
        crosscuts,
        saws,
        kerf: 3.0,
        guide: if fence {
            job::Guide::Along
        } else {
            job::Guide::None
        },
        work_moves: fence,
        leaves_true_edge: !saws,
        ..job::Tool::default()
    }
}

/// The job.
pub fn job() -> Job {
    let mut a = waney("A", 2400.0, 100.0);
    a.grain = GrainField::bent(
        0.0,
        &[vec![
            p(0.0, -40.0),
            p(900.0, -20.0),
            p(1180.0, 30.0),
            p(1500.0, -10.0),
            p(2400.0, 10.0),
        ]],
        a.outline.bounds(),
    );
    a.zones = vec![
        job::Zone {
            margin: 8.0,
            ..zone(0, ZoneKind::Defect, oval(1178.0, 20.0, 60.0, 40.0), "knot")
        },
        zone(
            1,
            ZoneKind::Defect,
            polygon(&[(2330.0, -4.0), (2400.0, -8.0), (2400.0, 6.0)]),
            "split",
        ),
        job::Zone {
            face: ZoneFace::Down,
            sound: true,
            ..zone(
                2,
                ZoneKind::Defect,
                oval(520.0, -50.0, 70.0, 26.0),
                "pitch pocket",
            )
        },
    ];
    let mut b = board("B", rectangle(0.0, 0.0, 2100.0, 190.0), &[0, 2], 27.0);
    b.heart_side = HeartSide::Down;
    b.warp = Warp::Measured {
        cup: (3.0, 190.0),
        bow: (0.0, 0.0),
        twist: (0.0, 0.0, 0.0),
    };
    b.zones = vec![
        job::Zone {
            margin: 12.0,
            material: FixingMaterial::Metal,
            buried: None,
            drawn_before_planing: false,
            ..zone(
                0,
                ZoneKind::Fixing,
                oval(700.0, 150.0, 8.0, 8.0),
                "old screw",
            )
        },
        job::Zone {
            margin: 6.0,
            material: FixingMaterial::Wood,
            buried: None,
            drawn_before_planing: false,
            ..zone(1, ZoneKind::Fixing, oval(1500.0, 40.0, 10.0, 10.0), "dowel")
        },
        zone(
            2,
            ZoneKind::Figure,
            rectangle(100.0, 20.0, 500.0, 90.0),
            "ripple",
        ),
    ];
    let mut c = waney("C", 1500.0, 84.0);
    c.thickness = 40.0;
    c.name = "the thick one".into();
    c.zones = vec![
        zone(
            0,
            ZoneKind::Sapwood,
            polygon(&[
                (0.0, 78.0),
                (500.0, 74.0),
                (1000.0, 70.0),
                (1500.0, 66.0),
                (1500.0, 84.0),
                (1000.0, 88.0),
                (500.0, 90.0),
                (0.0, 98.0),
            ]),
            "",
        ),
        job::Zone {
            margin: 5.0,
            ..zone(1, ZoneKind::Defect, oval(900.0, -30.0, 44.0, 30.0), "knot")
        },
    ];
    let mut d = board("D", rectangle(0.0, 0.0, 900.0, 150.0), &[0], 20.0);
    d.count = 2;
    d.usage = Use::IfNeeded;
    let taper = polygon(&[(0.0, 0.0), (742.0, 0.0), (742.0, 32.0), (0.0, 56.0)]);
    let bracket = polygon(&[
        (0.0, 0.0),
        (120.0, 0.0),
        (120.0, 18.0),
        (92.0, 22.0),
        (64.0, 32.0),
        (42.0, 48.0),
        (28.0, 66.0),
        (22.0, 90.0),
        (0.0, 90.0),
    ]);
    let mut legs = part("leg", "Leg", 2, taper, PartCut::Sawn);
    legs.form = Form::Taper(56.0, 32.0);
    legs.thickness = 32.0;
    legs.faces = Faces::Both;
    let mut brackets = part("bracket", "Bracket", 3, bracket, PartCut::Sawn);
    brackets.form = Form::Free;
    brackets.faces = Faces::Hidden;
    let mut rail = part(
        "rail",
        "Front rail",
        1,
        rectangle(0.0, 0.0, 560.0, 98.0),
        PartCut::Straight,
    );
    rail.tenon = (25.0, 25.0);
    let parts = vec![
        part(
            "stave",
            "Top stave",
            3,
            rectangle(0.0, 0.0, 1060.0, 80.0),
            PartCut::Straight,
        ),
        part(
            "apron",
            "Apron, back",
            1,
            rectangle(0.0, 0.0, 580.0, 58.0),
            PartCut::Straight,
        ),
        part(
            "apron-left",
            "Apron, left",
            1,
            rectangle(0.0, 0.0, 390.0, 58.0),
            PartCut::Straight,
        ),
        part(
            "front",
            "Drawer front",
            1,
            rectangle(0.0, 0.0, 560.0, 98.0),
            PartCut::Straight,
        ),
        rail,
        part(
            "stop",
            "Drawer stop",
            2,
            rectangle(0.0, 0.0, 60.0, 16.0),
            PartCut::Straight,
        ),
        legs,
        brackets,
        part(
            "shelf",
            "Shelf",
            1,
            rectangle(0.0, 0.0, 900.0, 240.0),
            PartCut::Straight,
        ),
    ];
    Job {
        title: "Writing desk in ash".into(),
        currency: "€".into(),
        order: vec![Aim::Timber],
        workshop: job::Workshop {
            tools: vec![
                tool("table saw", true, false, false, true),
                tool("mitre saw", false, true, false, false),
                tool("bandsaw", false, false, true, false),
            ],
            sawn_kerf: 3.0,
            trim_end: 20.0,
            trim_edge: 6.0,
            min_offcut: (300.0, 60.0),
            max_lift_kg: 9.0,
        },
        pins: vec![job::Pin {
            part: PartCopy {
                part: "leg".into(),
                copy: 2,
            },
            board: BoardCopy {
                board: "C".into(),
                copy: 1,
            },
            at: Placed {
                x: 30.0,
                y: -60.0,
                turn: 0.0,
                turned_over: false,
            },
        }],
        revision: 7,
        ..by_hand::job(vec![a, b, c, d], parts)
    }
}

/// A plan of it, by hand.
pub fn plan() -> Plan {
    let board = |id: &str| BoardCopy {
        board: id.into(),
        copy: 1,
    };
    let mut left = placement("apron-left", 1, 1853.0, 65.0, 0.0);
    left.at.turned_over = true;
    let a = Layout {
        board: board("A"),
        way: Way::Straight,
        frame: Frame::default(),
        placements: vec![
            placement("stave", 1, 30.0, -84.0, 0.0),
            placement("stave", 2, 30.0, 7.0, 0.0),
            placement("stave", 3, 1250.0, -84.0, 0.0),
            placement("apron", 1, 1250.0, 7.0, 0.0),
            left,
        ],
        cuts: Some(flat(cross(
            1100.0,
            cross(
                17.0,
                waste(),
                rip(
                    -91.0,
                    waste(),
                    rip(0.0, blank(0), rip(91.0, blank(1), waste())),
                ),
            ),
            cross(
                1237.0,
                waste(),
                cross(
                    2320.0,
                    rip(
                        -91.0,
                        waste(),
                        rip(
                            0.0,
                            blank(2),
                            rip(
                                69.0,
                                cross(1840.0, blank(3), cross(2253.0, blank(4), waste())),
                                waste(),
                            ),
                        ),
                    ),
                    waste(),
                ),
            ),
        ))),
    };
    let b = Layout {
        board: board("B"),
        way: Way::Straight,
        frame: Frame::default(),
        placements: vec![
            placement("front", 1, 30.0, 4.0, 0.0),
            placement("rail", 1, 613.0, 4.0, 0.0),
            placement("stop", 1, 1196.0, 4.0, 0.0),
            placement("stop", 2, 1196.0, 31.0, 0.0),
        ],
        cuts: Some(flat(rip(
            106.0,
            cross(
                17.0,
                waste(),
                cross(
                    600.0,
                    blank(0),
                    cross(
                        1183.0,
                        blank(1),
                        cross(
                            1266.0,
                            rip(24.0, blank(2), rip(51.0, blank(3), waste())),
                            offcut(),
                        ),
                    ),
                ),
            ),
            offcut(),
        ))),
    };
    let c = Layout {
        board: board("C"),
        way: Way::Sawn,
        frame: Frame::default(),
        placements: vec![
            placement("leg", 1, 30.0, 10.0, 0.0),
            placement("leg", 2, 776.0, -10.0, 181.85),
            placement("bracket", 1, 960.0, -20.0, 0.0),
            placement("bracket", 2, 1110.0, -60.0, 0.0),
            placement("bracket", 3, 1330.0, 60.0, 180.0),
        ],
        cuts: None,
    };
    Plan {
        layouts: vec![a, b, c],
        unplaced: vec![Unplaced {
            part: "shelf".into(),
            copies: vec![1],
            reason: UnplacedReason::Width,
            least_board: Some([920.0, 248.0, 27.0]),
            longest: None,
        }],
        cost: 138.6,
        ..Plan::default()
    }
}

/// The same, with the sawn board broken down first: the legs from the brackets, the end off.
pub fn broken_down() -> Plan {
    let mut plan = plan();
    plan.layouts[2].cuts = Some(flat(cross(
        850.0,
        region(&[0, 1]),
        cross(1400.0, region(&[2, 3, 4]), waste()),
    )));
    plan
}

/// Two findings, one of each kind.
pub fn findings() -> Vec<Finding> {
    vec![
        Finding {
            rule: Rule::Zones,
            severity: Severity::Broken,
            cause: "zone-too-near".into(),
            board: Some(BoardCopy {
                board: "C".into(),
                copy: 1,
            }),
            parts: vec![PartCopy {
                part: "bracket".into(),
                copy: 1,
            }],
            zone: Some(1),
            at: Some(p(925.0, -28.0)),
            amount: Some(Amount::Millimetres(1.4)),
            message: "Bracket 1 is 1.4 mm too near the knot on board C.".into(),
        },
        Finding {
            rule: Rule::Fixings,
            severity: Severity::Caution,
            cause: "fixing-near-cut".into(),
            board: Some(BoardCopy {
                board: "B".into(),
                copy: 1,
            }),
            parts: Vec::new(),
            zone: Some(0),
            at: Some(p(700.0, 150.0)),
            amount: None,
            message: "Cut 13 keeps 32 mm clear of the old screw.".into(),
        },
    ]
}
