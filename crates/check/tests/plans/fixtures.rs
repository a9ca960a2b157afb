//! Small jobs and good plans from which the tests start.

use heartside_check::check;
use heartside_geometry::{Bounds, Point, Region, Ring};
use heartside_testkit::by_hand;
use heartside_timber::document::{BoardCopy, PartCopy};
use heartside_timber::finding::{Amount, Finding, Rule, Severity};
use heartside_timber::job::*;
use heartside_timber::plan::*;

pub(crate) fn point(x: f64, y: f64) -> Point {
    Point { x, y }
}

pub(crate) fn box_of(x0: f64, y0: f64, x1: f64, y1: f64) -> Region {
    Region::rectangle(Bounds::new(point(x0, y0), point(x1, y1))).unwrap()
}

pub(crate) fn polygon(points: &[(f64, f64)]) -> Region {
    Region::from_ring(Ring::new(points.iter().map(|(x, y)| point(*x, *y)).collect()).unwrap())
}

pub(crate) fn part_copy(part: &str, copy: u32) -> PartCopy {
    PartCopy {
        part: part.into(),
        copy,
    }
}

pub(crate) fn board_copy(board: &str) -> BoardCopy {
    BoardCopy {
        board: board.into(),
        copy: 1,
    }
}

/// A tool without limits.
pub(crate) fn tool(name: &str, kerf: f64) -> Tool {
    Tool {
        name: name.into(),
        kerf,
        leaves_true_edge: true,
        ..Tool::default()
    }
}

/// Hand saws for rips (3 mm) and crosscuts (2 mm) without limits, and a frame saw (1 mm).
pub(crate) fn tools() -> Vec<Tool> {
    vec![
        Tool {
            rips: true,
            ..tool("ripsaw", 3.0)
        },
        Tool {
            crosscuts: true,
            ..tool("cross saw", 2.0)
        },
        Tool {
            saws: true,
            ..tool("frame saw", 1.0)
        },
    ]
}

/// 1000 by 200 by 30 mm; raw ends, straight edges, flat and planed.
pub(crate) fn board(id: &str) -> Board {
    let kind = |_, is_end| {
        if is_end {
            EdgeKind::Raw
        } else {
            EdgeKind::Straight
        }
    };
    Board {
        species: "oak".into(),
        density: 0.0,
        ..by_hand::board(id, box_of(0.0, 0.0, 1000.0, 200.0), kind)
    }
}

/// The states of all sides, edges and ends apart.
pub(crate) fn sides_of(outline: &Region, edges: EdgeKind, ends: EdgeKind) -> Vec<SideState> {
    outline
        .outer()
        .edges()
        .map(|(a, b)| {
            let is_end = (b.y - a.y).abs() > (b.x - a.x).abs();
            SideState {
                kind: if is_end { ends } else { edges },
                is_end,
            }
        })
        .collect()
}

/// Finished 200 by 50 by 25 mm with 5 mm at each end and 2 mm at each edge: a blank of 210 by 54.
pub(crate) fn part(id: &str, count: u32) -> Part {
    let usual = by_hand::part(id, count, box_of(0.0, 0.0, 200.0, 50.0));
    Part {
        allowances: Allowances {
            sawn: 1.5,
            ..usual.allowances
        },
        ..usual
    }
}

pub(crate) fn job(boards: Vec<Board>, parts: Vec<Part>) -> Job {
    Job {
        cost_is_volume: true,
        workshop: Workshop {
            tools: tools(),
            sawn_kerf: 1.0,
            trim_end: 10.0,
            trim_edge: 4.0,
            min_offcut: (0.0, 0.0),
            max_lift_kg: 30.0,
        },
        ..by_hand::job(boards, parts)
    }
}

pub(crate) fn place(part: &str, copy: u32, x: f64, y: f64) -> Placement {
    Placement {
        part: part.into(),
        copy,
        at: Placed {
            x,
            y,
            turn: 0.0,
            turned_over: false,
        },
        ..Placement::default()
    }
}

pub(crate) fn sawn(board: &str, placements: Vec<Placement>) -> Layout {
    Layout {
        board: board_copy(board),
        way: Way::Sawn,
        frame: Frame::default(),
        placements,
        cuts: None,
    }
}

pub(crate) fn straight(board: &str, placements: Vec<Placement>, nodes: Vec<CutNode>) -> Layout {
    Layout {
        board: board_copy(board),
        way: Way::Straight,
        frame: Frame::default(),
        placements,
        cuts: Some(CutTree { nodes }),
    }
}

pub(crate) fn plan(layouts: Vec<Layout>) -> Plan {
    Plan {
        layouts,
        ..Plan::default()
    }
}

pub(crate) fn rip(at: f64, low: usize, high: usize) -> CutNode {
    CutNode::Cut {
        angle: None,
        direction: Direction::Rip,
        tool: "ripsaw".into(),
        at,
        kerf: 3.0,
        low,
        high,
    }
}

pub(crate) fn crosscut(at: f64, low: usize, high: usize) -> CutNode {
    CutNode::Cut {
        angle: None,
        direction: Direction::Crosscut,
        tool: "cross saw".into(),
        at,
        kerf: 2.0,
        low,
        high,
    }
}

/// One board sawn by line with two rails well clear of everything.
pub(crate) fn sawn_job() -> (Job, Plan) {
    let job = job(vec![board("A")], vec![part("rail", 2)]);
    let plan = plan(vec![sawn(
        "A",
        vec![
            place("rail", 1, 100.0, 20.0),
            place("rail", 2, 500.0, 120.0),
        ],
    )]);
    (job, plan)
}

/// One board cut straight: ends trimmed, a strip ripped off, two rails crosscut from it.
///
/// The strip is the blank's width (54) from the lower edge; both blanks 210 long from x = 12.
pub(crate) fn straight_job() -> (Job, Plan) {
    let job = job(vec![board("A")], vec![part("rail", 2)]);
    let placements = vec![place("rail", 1, 17.0, 2.0), place("rail", 2, 229.0, 2.0)];
    let nodes = vec![
        crosscut(10.0, 1, 2),
        CutNode::Waste,
        rip(54.0, 3, 4),
        crosscut(222.0, 5, 6),
        CutNode::Offcut,
        CutNode::Blank { placement: 0 },
        crosscut(434.0, 7, 8),
        CutNode::Blank { placement: 1 },
        CutNode::Offcut,
    ];
    (job, plan(vec![straight("A", placements, nodes)]))
}

/// The findings as (rule, cause, amount).
pub(crate) fn told(findings: &[Finding]) -> Vec<(Rule, String, Option<f64>)> {
    findings
        .iter()
        .map(|f| (f.rule, f.cause.clone(), amount(f)))
        .collect()
}

pub(crate) fn amount(finding: &Finding) -> Option<f64> {
    finding.amount.map(|amount| match amount {
        Amount::Millimetres(v) | Amount::Degrees(v) | Amount::Count(v) => v,
    })
}

/// Checks that nothing at all is found.
#[track_caller]
pub(crate) fn assert_good(job: &Job, plan: &Plan) {
    assert_eq!(told(&check(job, plan)), vec![]);
}

/// Checks that just one thing is found, and returns it.
#[track_caller]
pub(crate) fn only(job: &Job, plan: &Plan) -> Finding {
    let found = check(job, plan);
    assert_eq!(
        found.len(),
        1,
        "{:#?}",
        found.iter().map(|f| &f.message).collect::<Vec<_>>()
    );
    found.into_iter().next().unwrap()
}

/// Checks that just one thing is found: this rule, cause and amount, about these parts.
#[track_caller]
pub(crate) fn assert_only(
    job: &Job,
    plan: &Plan,
    rule: Rule,
    cause: &str,
    by: Option<f64>,
    parts: &[PartCopy],
) -> Finding {
    let finding = only(job, plan);
    assert_eq!(
        (finding.rule, finding.cause.as_str()),
        (rule, cause),
        "{}",
        finding.message
    );
    assert_eq!(finding.parts, parts, "{}", finding.message);
    assert_eq!(finding.severity, Severity::Broken);
    match (amount(&finding), by) {
        (Some(told), Some(by)) => assert!(
            (told - by).abs() < 1e-6,
            "{told} is not {by}: {}",
            finding.message
        ),
        (told, by) => assert_eq!(told, by, "{}", finding.message),
    }
    finding
}

/// A zone right through, without margin.
pub(crate) fn zone(kind: ZoneKind, shape: Region) -> Zone {
    Zone {
        index: 0,
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
        weight: 0.0,
        note: String::new(),
    }
}

/// Puts a zone on the first board, numbered by its place.
pub(crate) fn mark(job: &mut Job, zone: Zone) {
    let zones = &mut job.boards[0].zones;
    zones.push(Zone {
        index: zones.len(),
        ..zone
    });
}

/// The first placement of the first layout.
pub(crate) fn first(plan: &mut Plan) -> &mut Placed {
    &mut plan.layouts[0].placements[0].at
}
