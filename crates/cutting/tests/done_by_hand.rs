//! Cuts that are made, on one small job: what carries over, what is refused and how it is said.

#![allow(clippy::unwrap_used)]

use heartside_cutting::{
    Bend, CutOtherwise, Measured, Refused, Step, WidthAt, as_planned, before_planing, chalk_name,
    cut_otherwise, free_already, measured, not_cut, offcuts_home, spoiled, steps,
};
use heartside_geometry::Point;
use heartside_timber::document::{
    Board, BoardCopy, BoardOutline, Document, EdgeKind, Hand, Length, PartCopy, Use, Zone,
    ZoneFrom, ZoneShape,
};
use heartside_timber::edit::{Edit, apply};
use heartside_timber::job::{Job, Warp};
use heartside_timber::plan::{CutNode, CutTree};
use heartside_timber::prepare;
use serde_json::{Value, json};

/// A board of 2000 by 200 with a knot, sapwood and a cup; two legs side by side at its start end.
fn small() -> Value {
    let cut = |direction: &str, tool: &str, at: f64, low: usize, high: usize| {
        json!({"node": "cut", "direction": direction, "tool": tool, "at": at, "kerf": 3,
               "low": low, "high": high})
    };
    json!({
        "format": "heartside-job", "version": 3, "title": "Stool", "revision": 4,
        "workshop": {
            "trim": {"end": 0, "edge": 0},
            "min_offcut": {"length": 200, "width": 40},
            "tools": [
                {"name": "Guided saw", "does": ["rip", "crosscut"], "kerf": 3, "guide": "along",
                 "work_moves": false, "can_skim": false},
                {"name": "Band saw", "does": ["rip", "crosscut", "sawn"], "kerf": 3, "guide": "none",
                 "leaves_true_edge": false, "can_skim": true}]},
        "allowances": {"end": 6, "edge": 3, "sawn": 3, "planing": 1, "clean_up": 1},
        "boards": [{"id": "A", "thickness": {"typed": "27"}, "species": "European oak", "heart_side": "up",
            "moisture": 9, "price": {"amount": 20}, "warp": {"cup": {"gap": 2}},
            "grain": {"angle": 1},
            "outline": {"form": "tape", "length": 2000, "stations": [{"at": 0, "left": 90, "right": 110}],
                        "left": "straight", "right": "straight", "start": "straight", "end": "straight"},
            "zones": [
                {"note": "knot", "margin": 5, "shape": {"form": "spot", "along": 1500, "across": 40,
                    "length": 30, "width": 20}},
                {"kind": "sapwood", "shape": {"form": "strip", "side": "left", "width": 15}}]}],
        "parts": [{"id": "leg", "name": "Leg", "count": 2, "thickness": 20,
                   "shape": {"form": "rectangle", "length": 600, "width": 60}}],
        "pins": [{"part": "leg", "copy": 2, "board": "A", "x": 6, "y": -38}],
        "plan": {"revision": 4, "layouts": [{"board": "A", "copy": 1, "way": "straight",
            "placements": [{"part": "leg", "copy": 1, "x": 6, "y": -107},
                           {"part": "leg", "copy": 2, "x": 6, "y": -38}],
            "cuts": {"nodes": [
                cut("rip", "Guided saw", -44.0, 1, 4),
                cut("crosscut", "Band saw", 612.0, 2, 3),
                {"node": "blank", "placement": 0},
                {"node": "offcut"},
                cut("rip", "Band saw", 25.0, 5, 8),
                cut("crosscut", "Guided saw", 612.0, 6, 7),
                {"node": "blank", "placement": 1},
                {"node": "offcut"},
                {"node": "waste"}]}}]}
    })
}

fn opened(job: &Value) -> Document {
    Document::open(&job.to_string()).unwrap().document
}

#[track_caller]
fn job(document: &Document) -> Job {
    let prepared = prepare(document);
    assert_eq!(prepared.diagnostics, []);
    prepared.job
}

#[track_caller]
fn done(document: &mut Document, edit: Result<Edit, Refused>) {
    apply(document, edit.unwrap()).unwrap();
}

fn list(document: &Document) -> Vec<Step> {
    steps(&job(document), document.plan.as_ref().unwrap())
}

/// Makes the first cut of a workpiece; what its pieces are called, the kept side first.
#[track_caller]
fn tick(document: &mut Document, workpiece: &str) -> Vec<String> {
    let all = list(document);
    let step = all.iter().find(|s| s.workpiece == workpiece).unwrap();
    let names = step.yields.iter().map(|y| {
        let name = chalk_name(&y.name);
        name.trim_start_matches("offcut ").to_owned()
    });
    let edit = as_planned(document, &job(document), step);
    done(document, edit);
    names.collect()
}

fn board<'a>(document: &'a Document, id: &str) -> &'a Board {
    document.boards.iter().find(|b| b.id == id).unwrap()
}

fn ids(document: &Document) -> Vec<&str> {
    document.boards.iter().map(|b| b.id.as_str()).collect()
}

fn copy(board: &str) -> BoardCopy {
    BoardCopy {
        board: board.into(),
        copy: 1,
    }
}

fn leg(copy: u32) -> PartCopy {
    PartCopy {
        part: "leg".into(),
        copy,
    }
}

fn line(board: &str, from: [f64; 2], to: [f64; 2], tool: &str) -> CutOtherwise {
    let point = |[x, y]: [f64; 2]| Point { x, y };
    CutOtherwise {
        board: copy(board),
        line: [point(from), point(to)],
        kerf: 3.0,
        tool: tool.into(),
    }
}

fn sides(board: &Board) -> &[EdgeKind] {
    match board.outline.as_ref().unwrap() {
        BoardOutline::Polygon { sides, .. } => sides,
        BoardOutline::Tape { .. } => panic!("a piece is drawn by its corners"),
    }
}

#[test]
fn what_is_known_of_a_board_carries_over_to_its_pieces() {
    let mut document = opened(&small());
    let whole = job(&document);
    tick(&mut document, "board A");
    assert_eq!(ids(&document), ["A", "A1", "A2"]);
    let after = job(&document);
    let (low, high) = (board(&document, "A1"), board(&document, "A2"));
    for piece in [low, high] {
        let a = &document.boards[0];
        assert_eq!(
            (
                &piece.species,
                &piece.thickness,
                piece.heart_side,
                piece.moisture,
                &piece.grain
            ),
            (&a.species, &a.thickness, a.heart_side, a.moisture, &a.grain)
        );
        assert_eq!(
            (&piece.price, piece.count, &piece.name),
            (&None, None, &String::new())
        );
        assert_eq!(sides(piece), [EdgeKind::Straight; 4]);
        // The cup was measured over the width of the whole board.
        let warp = after.board(&piece.id).unwrap().warp;
        let Warp::Measured { cup, .. } = warp else {
            panic!("{warp:?}")
        };
        assert_eq!(cup, (2.0, 200.0));
    }
    // The knot lies below the cut, the sapwood above it, both where they were.
    assert_eq!((low.zones.len(), high.zones.len()), (1, 1));
    let at = |job: &Job, id: &str, zone: usize| job.board(id).unwrap().zones[zone].shape.bounds();
    assert_eq!(at(&after, "A1", 0), at(&whole, "A", 0));
    assert_eq!(at(&after, "A2", 0), at(&whole, "A", 1));
    assert!(matches!(
        low.zones[0].shape,
        Some(ZoneShape::Spot {
            from: ZoneFrom::ChalkLine,
            ..
        })
    ));
    let outline = after.board("A1").unwrap().outline.bounds();
    assert_eq!((outline.min.y, outline.max.y), (-110.0, -44.0));
    assert_eq!(after.board("A2").unwrap().outline.bounds().min.y, -41.0);
    // Pins and plan go along; the money is spent.
    assert_eq!(
        (document.pins[0].board.as_str(), after.pins.len()),
        ("A2", 1)
    );
    let plan = document.plan.as_ref().unwrap();
    let boards: Vec<&str> = plan
        .layouts
        .iter()
        .map(|l| l.board.board.as_str())
        .collect();
    assert_eq!(boards, ["A1", "A2"]);
    assert_eq!((after.spent, after.board("A1").unwrap().cost), (20.0, 0.0));
    assert_eq!(document.done[0].line, [[0.0, -42.5], [2000.0, -42.5]]);
}

#[test]
fn blanks_come_free_under_their_own_names_and_waste_takes_no_number() {
    let mut document = opened(&small());
    assert_eq!(tick(&mut document, "board A"), ["A1", "A2"]);
    let trimmed = tick(&mut document, "piece A2");
    assert_eq!(trimmed[1], "waste");
    let now = ["A", "A1", "A2", trimmed[0].as_str(), "A2-waste-1"];
    assert_eq!(ids(&document), now);
    let parted = tick(&mut document, "piece A1");
    assert_eq!(parted[0], "Leg 1");
    let now = [
        "A",
        "A1",
        "leg-1",
        &parted[1],
        "A2",
        &trimmed[0],
        "A2-waste-1",
    ];
    assert_eq!(ids(&document), now);
    let blank = board(&document, "leg-1");
    assert_eq!(blank.name, "Leg 1");
    assert_eq!(blank.holds.as_ref().unwrap().part_copy(), leg(1));
    // A band saw leaves no true edge: counter-clockwise from the corner where the saw came in.
    let made = sides(blank)
        .iter()
        .filter(|s| **s == EdgeKind::Sawn)
        .count();
    assert_eq!(made, 1);
    assert_eq!(job(&document).part("leg").unwrap().in_hand, [1]);
}

#[test]
fn a_step_whose_piece_is_not_free_names_the_cut_that_comes_first() {
    let document = opened(&small());
    let all = list(&document);
    let later = all.iter().find(|s| s.workpiece == "piece A1").unwrap();
    let refused = as_planned(&document, &job(&document), later).unwrap_err();
    assert_eq!(
        refused.0,
        "first make cut 1: piece A1 is still part of board A"
    );
    let mut after = document.clone();
    tick(&mut after, "board A");
    let refused = as_planned(&after, &job(&after), &all[0]).unwrap_err();
    assert_eq!(refused.0, "board A was cut already: go on with its pieces");
}

#[test]
fn a_cut_of_ones_own_leaves_parts_that_it_misses_where_they_lie() {
    let mut document = opened(&small());
    let edit = cut_otherwise(
        &document,
        &job(&document),
        &line("A", [700.0, -110.0], [720.0, 90.0], "Band saw"),
    );
    done(&mut document, edit);
    assert_eq!(ids(&document), ["A", "A1", "A2"]);
    let plan = document.plan.as_ref().unwrap();
    let [layout] = plan.layouts.as_slice() else {
        panic!("{:?}", plan.layouts)
    };
    assert_eq!(
        (layout.board.board.as_str(), layout.placements.len()),
        ("A1", 2)
    );
    assert!(layout.cuts.is_none() && plan.unplaced.is_empty());
    assert!(sides(board(&document, "A1")).contains(&EdgeKind::Sawn));
    // Through both legs: they wait.
    let edit = cut_otherwise(
        &document,
        &job(&document),
        &line("A1", [300.0, -110.0], [300.0, 90.0], ""),
    );
    done(&mut document, edit);
    let plan = document.plan.as_ref().unwrap();
    assert!(plan.layouts.is_empty());
    assert_eq!(
        (plan.unplaced[0].part.as_str(), &plan.unplaced[0].copies),
        ("leg", &vec![1, 2])
    );
    let before = opened(&small());
    for id in [2, 1] {
        let edit = not_cut(&document, &job(&document), id);
        done(&mut document, edit);
    }
    document.revision = before.revision;
    document.plan.as_mut().unwrap().revision = before.revision;
    assert_eq!(document, before);
}

/// The last cut of a blank, made by the maker along the edge of it.
#[test]
fn what_is_just_a_blank_is_in_hand_without_a_cut_of_the_plan() {
    let mut document = opened(&small());
    tick(&mut document, "board A");
    let edit = cut_otherwise(
        &document,
        &job(&document),
        &line("A1", [613.5, -110.0], [613.5, -44.0], "Guided saw"),
    );
    done(&mut document, edit);
    let mut plan = document.plan.clone().unwrap();
    assert!(free_already(&document, &job(&document), &plan).is_none());
    // As a search for an order of cuts finds it: there is none to be made.
    let own = plan.layouts.iter_mut().find(|l| l.board.board == "A3");
    own.unwrap().cuts = Some(CutTree {
        nodes: vec![CutNode::Blank { placement: 0 }],
    });
    let edit = free_already(&document, &job(&document), &plan);
    done(&mut document, Ok(edit.unwrap()));
    let piece = board(&document, "A3");
    assert_eq!(piece.holds.as_ref().unwrap().part_copy(), leg(1));
    assert_eq!(piece.name, "Leg 1");
    let plan = document.plan.as_ref().unwrap();
    assert_eq!(plan.revision, document.revision);
    assert_eq!(plan.layouts.len(), 1, "the other half goes on as planned");
    assert_eq!(job(&document).parts[0].in_hand, [1]);
}

#[test]
fn lines_that_are_no_cut_are_refused_in_words() {
    let mut document = opened(&small());
    let refused = |document: &Document, cut: &CutOtherwise| -> String {
        cut_otherwise(document, &job(document), cut).unwrap_err().0
    };
    let right_across = |x: f64| line("A", [x, -110.0], [x, 90.0], "Guided saw");
    for (cut, says) in [
        (right_across(5000.0), "the line misses board A"),
        (
            right_across(-0.5),
            "nothing of board A would be left on one side",
        ),
        (
            line("A", [5.0, 5.0], [5.0, 5.0], ""),
            "the two ends of the line are at one place",
        ),
        (
            line("A", [f64::NAN, 5.0], [5.0, 5.0], ""),
            "the two ends of the line",
        ),
        (
            line("Z", [0.0, 5.0], [5.0, 5.0], ""),
            "board Z is not in this job",
        ),
        (
            CutOtherwise {
                kerf: -1.0,
                ..right_across(900.0)
            },
            "a kerf is 0 to 100 mm wide",
        ),
        (
            CutOtherwise {
                board: BoardCopy {
                    copy: 2,
                    ..copy("A")
                },
                ..right_across(900.0)
            },
            "board A/2 is not in this job",
        ),
    ] {
        let said = refused(&document, &cut);
        assert!(said.starts_with(says), "{said}");
    }
    // With a saw that can skim the edge is taken off, and one piece is left.
    let skimmed = cut_otherwise(
        &document,
        &job(&document),
        &CutOtherwise {
            tool: "Band saw".into(),
            ..right_across(-0.5)
        },
    );
    let mut trimmed = document.clone();
    done(&mut trimmed, skimmed);
    assert_eq!(ids(&trimmed), ["A", "A1"]);
    tick(&mut document, "board A");
    tick(&mut document, "piece A1");
    let said = refused(
        &document,
        &line("leg-1", [300.0, -110.0], [300.0, 90.0], ""),
    );
    assert_eq!(
        said,
        "Leg 1 is in hand and is cut no further: if it was spoiled, say so first"
    );
}

#[test]
fn a_cut_is_taken_back_only_while_its_pieces_are_whole() {
    let mut document = opened(&small());
    tick(&mut document, "board A");
    tick(&mut document, "piece A1");
    let refused = |id| not_cut(&document, &job(&document), id).unwrap_err().0;
    assert_eq!(refused(1), "first take back the cut of A1");
    assert_eq!(refused(9), "there is no cut 9 in this job");
    // What the pieces have now goes back, where they have something else than went along.
    let mut changed = document.clone();
    let plan = changed.plan.as_mut().unwrap();
    let upper = plan
        .layouts
        .iter_mut()
        .find(|l| l.board.board == "A2")
        .unwrap();
    upper.placements[0].at.y -= 0.5;
    for id in [2, 1] {
        let edit = not_cut(&changed, &job(&changed), id);
        done(&mut changed, edit);
    }
    let plan = changed.plan.as_ref().unwrap();
    let layout = &plan.layouts[0];
    assert_eq!((plan.layouts.len(), layout.placements.len()), (1, 2));
    assert_eq!(layout.placements[1].at.y, -38.5);
    // Both halves are square to the same line, so their trees are joined again.
    let before = opened(&small()).plan.unwrap();
    let count = |cuts: &Option<heartside_timber::plan::CutTree>| cuts.as_ref().unwrap().nodes.len();
    assert_eq!(count(&layout.cuts), count(&before.layouts[0].cuts));
}

#[test]
fn what_lay_on_a_piece_lies_on_its_board_again() {
    let mut job_file = small();
    let hash = "ab".repeat(32);
    job_file["photos"] =
        json!([{"hash": hash, "board": "A", "face": "up", "pixel": 0.5, "size": [4000, 600]}]);
    let before = opened(&job_file);
    let mut document = before.clone();
    tick(&mut document, "board A");
    document.photos[0].board = "A1".into();
    document.floor = serde_json::from_value(json!([{"board": "A2", "x": 1, "y": 2}])).unwrap();
    let edit = not_cut(&document, &job(&document), 1);
    done(&mut document, edit);
    assert_eq!(
        (&document.photos, &document.floor),
        (&before.photos, &before.floor)
    );
    assert_eq!(document.pins, before.pins);
}

#[test]
fn a_cut_is_taken_back_whatever_the_trees_of_its_pieces_name() {
    let mut document = opened(&small());
    tick(&mut document, "board A");
    let plan = document.plan.as_mut().unwrap();
    for layout in &mut plan.layouts {
        let tree = layout.cuts.as_mut().unwrap();
        if let CutNode::Cut { low, .. } = &mut tree.nodes[0] {
            *low = usize::MAX;
        }
    }
    let edit = not_cut(&document, &job(&document), 1);
    done(&mut document, edit);
    assert_eq!(ids(&document), ["A"]);
}

#[test]
fn what_came_to_light_on_a_piece_stays_in_its_board() {
    let mut document = opened(&small());
    tick(&mut document, "board A");
    let known = board(&document, "A").zones.clone();
    let screw: Zone = serde_json::from_value(json!({"kind": "fixing", "material": "metal",
        "note": "screw", "shape": {"form": "span", "begins": 300, "ends": 310,
        "edge": "right_edge", "near": 20, "far": 30}}))
    .unwrap();
    let upper = document.boards.iter_mut().find(|b| b.id == "A2").unwrap();
    upper.zones.push(screw);
    let places = |document: &Document, id: &str| {
        let job = job(document);
        let zones = job.board(id).unwrap().zones.iter();
        let screws = zones.filter(|z| z.note == "screw");
        let screws: Vec<_> = screws.map(|z| z.shape.bounds()).collect();
        screws
    };
    let lay = places(&document, "A2");
    let edit = not_cut(&document, &job(&document), 1);
    done(&mut document, edit);
    assert_eq!(board(&document, "A").zones.len(), known.len() + 1);
    let lies = places(&document, "A");
    assert_eq!((lay.len(), lies.len()), (1, 1));
    assert!(
        (lay[0].min.y - lies[0].min.y).abs() < 1e-6 && (lay[0].max.x - lies[0].max.x).abs() < 1e-6
    );
}

#[test]
fn a_spoiled_part_is_wanted_again_and_its_wood_is_a_piece() {
    let mut document = opened(&small());
    let said = spoiled(&document, &leg(1)).unwrap_err().0;
    assert_eq!(
        said,
        "number 1 of Leg is not in hand: only what was sawn can be spoiled"
    );
    tick(&mut document, "board A");
    tick(&mut document, "piece A1");
    assert_eq!(job(&document).piece_count(), 1);
    let edit = spoiled(&document, &leg(1));
    done(&mut document, edit);
    let after = job(&document);
    assert_eq!(after.piece_count(), 2);
    assert_eq!(
        after.board("leg-1").unwrap().usage,
        Use::Leave,
        "the same leg would fit it again"
    );
    assert_eq!(board(&document, "leg-1").name, "Leg 1, spoiled");
    assert_eq!(document.plan.as_ref().unwrap().unplaced[0].copies, [1]);
}

#[test]
fn what_the_tape_says_wins() {
    let mut document = opened(&small());
    tick(&mut document, "board A");
    let mut short = document.clone();
    let sizes = Measured {
        length: Some(1985.0),
        widths: vec![
            WidthAt {
                at: 0.0,
                width: 66.0,
            },
            WidthAt {
                at: 1985.0,
                width: 64.0,
            },
        ],
        thickness: Some(Length::Mm(26.0)),
        ..Measured::default()
    };
    let edit = measured(&short, &job(&short), &copy("A1"), &sizes);
    done(&mut short, edit);
    let piece = job(&short).board("A1").unwrap().clone();
    let bounds = piece.outline.bounds();
    let far = piece.outline.outer().span_at(bounds.max.x).unwrap();
    for (is, was_measured) in [
        (bounds.min.x, 0.0),
        (bounds.max.x, 1985.0),
        (bounds.min.y, -110.0),
        (bounds.max.y, -44.0),
        (far.0, -110.0),
        (far.1, -46.0),
        (piece.thickness, 26.0),
    ] {
        assert!((is - was_measured).abs() < 1e-9, "{is} for {was_measured}");
    }
    let plan = short.plan.as_ref().unwrap();
    assert_eq!(plan.revision, short.revision, "the plan goes on");
    assert!(piece.from.unwrap().measured);
    assert_eq!(sides(board(&short, "A1")), [EdgeKind::Straight; 4]);
    // A dowel that came to light lies where it was found.
    let mut found = document.clone();
    let mut zones: Vec<Zone> = board(&found, "A1").zones.clone();
    zones.push(zones[0].clone());
    let sizes = Measured {
        zones: Some(zones),
        ..Measured::default()
    };
    let edit = measured(&found, &job(&found), &copy("A1"), &sizes);
    done(&mut found, edit);
    assert_eq!(job(&found).board("A1").unwrap().zones.len(), 2);
}

#[test]
fn a_bent_edge_is_drawn_within_the_wood_and_is_not_true() {
    let mut document = opened(&small());
    tick(&mut document, "board A");
    for gap in [0.3, 2.0, 11.0, -2.0] {
        let mut bent = document.clone();
        let sizes = Measured {
            bends: vec![Bend {
                edge: Hand::Right,
                gap,
            }],
            ..Measured::default()
        };
        let edit = measured(&bent, &job(&bent), &copy("A1"), &sizes);
        done(&mut bent, edit);
        let outline = job(&bent).board("A1").unwrap().outline.clone();
        for k in 0..=100 {
            let t = f64::from(k) / 100.0;
            let (low, high) = outline.outer().span_at(2000.0 * t).unwrap();
            let off = low - (-110.0 + 4.0 * gap * t * (1.0 - t));
            assert!(
                (-1e-9..=gap.abs() / 64.0 + 1e-9).contains(&off),
                "{gap} at {t}: {off}"
            );
            assert_eq!(high, -44.0);
        }
        let kinds = sides(board(&bent, "A1"));
        let sawn = kinds.iter().filter(|s| **s == EdgeKind::Sawn).count();
        assert_eq!(
            kinds.len() - sawn,
            3,
            "the other edge and both ends are as they were"
        );
    }
}

#[test]
fn sizes_that_cannot_be_are_refused_in_words() {
    let mut document = opened(&small());
    tick(&mut document, "board A");
    let refused = |sizes: Measured| -> String {
        measured(&document, &job(&document), &copy("A1"), &sizes)
            .unwrap_err()
            .0
    };
    let long = |length| Measured {
        length: Some(length),
        ..Measured::default()
    };
    let wide = |at, width| Measured {
        widths: vec![WidthAt { at, width }],
        ..Measured::default()
    };
    let bend = |gap| Measured {
        bends: vec![Bend {
            edge: Hand::Left,
            gap,
        }],
        ..Measured::default()
    };
    let thick = |mm| Measured {
        thickness: Some(Length::Mm(mm)),
        ..Measured::default()
    };
    for (sizes, says) in [
        (
            long(0.0),
            "piece A1: its length must be more than 0: measure it again",
        ),
        (
            long(f64::NAN),
            "piece A1: its length must be more than 0: measure it again",
        ),
        (
            wide(0.0, -3.0),
            "piece A1: a width must be more than 0: measure it again",
        ),
        (
            wide(3000.0, 60.0),
            "piece A1: a width was measured beyond its ends",
        ),
        (
            long(2010.0),
            "piece A1: at 2010 mm it would be longer than what it was cut from, which was 2000 mm",
        ),
        (wide(0.0, 210.0), "piece A1: at 210 mm it would be wider"),
        (
            thick(0.0),
            "piece A1: its thickness must be more than 0: measure it again",
        ),
        (
            thick(40.0),
            "piece A1: at 40 mm it would be thicker than what it was cut from, which was 27 mm",
        ),
        (bend(5000.0), "piece A1: a gap is a few millimetres"),
        (
            bend(70.0),
            "piece A1: with these sizes its outline would cross itself",
        ),
    ] {
        let said = refused(sizes);
        assert!(said.starts_with(says), "{said}");
    }
}

#[test]
fn offcuts_come_home_with_their_shape_their_flaws_and_where_they_are_from() {
    let mut document = opened(&small());
    tick(&mut document, "board A");
    let upper = tick(&mut document, "piece A2");
    let first = tick(&mut document, "piece A1");
    let second = tick(&mut document, &format!("piece {}", upper[0]));
    let home = offcuts_home(&document, &job(&document));
    let named: Vec<&str> = home.iter().map(|b| b.id.as_str()).collect();
    // The blanks are in hand.
    assert_eq!(named, [first[1].as_str(), &second[1], "A2-waste-1"]);
    let next = Document {
        boards: home,
        ..Document::new()
    };
    let next = job(&next);
    let bounds = next.boards[0].outline.bounds();
    assert_eq!(
        (bounds.min, bounds.width(), bounds.height()),
        (Point::new(0.0, 0.0), 1385.0, 66.0)
    );
    // The knot lay 1500 along and 40 up.
    assert_eq!(
        next.boards[0].zones[0].shape.bounds().centre(),
        Point::new(885.0, 40.0)
    );
    let sapwood = next.boards[2].zones[0].shape.bounds();
    assert_eq!((sapwood.min.y, sapwood.max.y), (47.0, 62.0));
}

#[test]
fn what_is_left_round_a_sawn_part_keeps_its_mark() {
    let mut file = small();
    file["pins"] = json!([]);
    file["parts"] = json!([{"id": "disc", "name": "Disc", "count": 2, "thickness": 20, "cut": "sawn",
        "shape": {"form": "rectangle", "length": 100, "width": 100}}]);
    file["plan"]["layouts"] = json!([{"board": "A", "copy": 1, "way": "sawn", "placements": [
        {"part": "disc", "copy": 1, "x": 200, "y": -50}, {"part": "disc", "copy": 2, "x": 400, "y": -50}]}]);
    let before = opened(&file);
    let mut document = before.clone();
    assert_eq!(tick(&mut document, "board A"), ["Disc 1"]);
    assert_eq!(ids(&document), ["A", "disc-1", "A-rest-1"]);
    // On the wood it is still board A.
    assert_eq!(tick(&mut document, "piece A"), ["Disc 2"]);
    assert_eq!(
        ids(&document),
        ["A", "disc-1", "A-rest-1", "disc-2", "A-rest-2"]
    );
    let Some(BoardOutline::Polygon {
        holes,
        hole_sides,
        sides,
        ..
    }) = &board(&document, "A-rest-2").outline
    else {
        panic!("it is drawn by its corners")
    };
    assert_eq!(
        (holes.len(), sides.as_slice()),
        (2, &[EdgeKind::Straight; 4][..])
    );
    assert!(
        hole_sides
            .iter()
            .flatten()
            .all(|side| *side == EdgeKind::Sawn)
    );
    // A square of 100 with 3 mm all round and the kerf of 3 round that; its corners are rounded.
    let hole = 112.0 * 112.0 - (4.0 - std::f64::consts::PI) * 36.0;
    let area = job(&document).board("A-rest-2").unwrap().outline.area();
    let off = area - (400_000.0 - 2.0 * hole);
    assert!((0.0..10.0).contains(&off), "{off}");
    for id in [2, 1] {
        let edit = not_cut(&document, &job(&document), id);
        done(&mut document, edit);
    }
    document.revision = before.revision;
    document.plan.as_mut().unwrap().revision = before.revision;
    assert_eq!(document, before);
}

#[test]
fn a_piece_of_a_long_rip_may_have_sprung_once_it_is_a_board_of_its_own() {
    let mut job_file = small();
    job_file["workshop"]["tools"][0]["work_moves"] = json!(true);
    job_file["plan"]["layouts"][0]["cuts"]["nodes"][4]["tool"] = json!("Guided saw");
    let mut document = opened(&job_file);
    let sprung = |job: &Job, document: &Document| -> Vec<String> {
        let all = steps(job, document.plan.as_ref().unwrap()).into_iter();
        let warned = all.filter(|s| s.cautions.iter().any(|c| c.code == "sprung"));
        warned.map(|s| s.workpiece).collect()
    };
    assert_eq!(sprung(&job(&document), &document), ["piece A2"]);
    tick(&mut document, "board A");
    let mut job = job(&document);
    assert_eq!(sprung(&job, &document), ["piece A2"]);
    // An edge that was trued is true.
    let mut planer = job.workshop.tools[0].clone();
    (planer.name, planer.trues) = ("Planer".into(), true);
    job.workshop.tools.push(planer);
    job.done[0].tool = "Planer".into();
    assert!(sprung(&job, &document).is_empty());
}

#[test]
fn a_screw_in_a_blank_in_hand_is_told_of_until_it_is_planed() {
    let mut job_file = small();
    job_file["parts"][0]["fixing_ok"] = json!(true);
    job_file["boards"][0]["zones"][0] = json!({"kind": "fixing", "material": "metal",
        "note": "screw", "drawn_before_planing": true, "shape": {"form": "spot", "along": 300,
        "across": 30, "length": 8, "width": 8}});
    let mut document = opened(&job_file);
    tick(&mut document, "board A");
    tick(&mut document, "piece A1");
    let job = job(&document);
    let told = |id: &str| before_planing(&job, job.board(id).unwrap());
    let held = document.boards.iter().find(|b| b.holds.is_some()).unwrap();
    let screw = "Leg 1 holds the screw: draw it before planing, or plane by hand short of it";
    assert_eq!(told(&held.id), [screw]);
    assert!(told("A2").is_empty());
}
