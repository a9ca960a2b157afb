//! Jobs whose parts must look related, and ways of breaking their plans.

use heartside_timber::document::{Document, Length, MatchKind};
use heartside_timber::plan::{Layout, Placement, Plan};
use serde_json::{Value, json};

use crate::chance::Chance;

/// A job with a row of rails end to end, fronts side by side, leaves of one blank and parts of one board, each
/// match with the chance of being there; on boards with flaws and measured warp, by straight cuts or by line.
pub fn related_job(seed: u32) -> Document {
    let mut chance = Chance::new(seed ^ 0x7e1a_7ed0);
    let boards: Vec<Value> = (0..3 + chance.below(3))
        .map(|k| board(&mut chance, k))
        .collect();
    let mut parts = Vec::new();
    let mut matches = Vec::new();
    let copies = |part: &str, count: u32| -> Vec<Value> {
        (1..=count)
            .map(|c| json!({"part": part, "copy": c}))
            .collect()
    };
    let width = chance.between(40.0, 80.0).round();
    if chance.percent(80) {
        let count = 2 + chance.below(3) as u32;
        parts.push(part(
            "rail",
            count,
            (chance.length(250.0, 420.0), width),
            20.0,
        ));
        parts.push(part(
            "stile",
            1,
            (chance.length(200.0, 300.0), width - 10.0),
            20.0,
        ));
        let mut row = copies("rail", count);
        row.insert(
            chance.below(row.len() + 1),
            json!({"part": "stile", "copy": 1}),
        );
        matches.push(json!({"kind": "continuous_along", "parts": row}));
    }
    if chance.percent(60) {
        parts.push(part("front", 2, (chance.length(250.0, 450.0), 60.0), 20.0));
        matches.push(json!({"kind": "continuous_across", "parts": copies("front", 2)}));
    }
    let kind = if chance.percent(60) { "book" } else { "slip" };
    let leaves = 2 + u32::from(chance.percent(25));
    let mut door = part("door", leaves, (chance.length(250.0, 500.0), 90.0), 9.0);
    door["faces"] = json!(*chance.one_of(&["both", "one", "none", "painted"]));
    parts.push(door);
    matches.push(json!({"kind": kind, "parts": copies("door", leaves)}));
    if chance.percent(50) {
        parts.push(part("shelf", 2, (chance.length(200.0, 350.0), 70.0), 18.0));
        matches.push(json!({"kind": "same_board", "parts": copies("shelf", 2)}));
    }
    let mut tools = vec![
        json!({"name": "Track saw", "does": ["rip", "crosscut"], "kerf": 2.4, "guide": "along", "work_moves": false, "can_skim": chance.percent(50)}),
        json!({"name": "Band saw", "does": ["sawn"], "kerf": 1.6}),
    ];
    if chance.percent(70) {
        tools[1] =
            json!({"name": "Band saw", "does": ["sawn", "resaw"], "kerf": 1.6, "max_depth": 180});
    }
    let document = json!({
        "format": "heartside-job", "version": heartside_timber::document::VERSION,
        "title": "Related parts", "workshop": {"tools": tools, "trim": {"end": 15, "edge": 4}},
        "boards": boards, "parts": parts, "matches": matches,
    });
    let text = document.to_string();
    heartside_timber::document::Document::open(&text)
        .map(|opened| opened.document)
        .expect("a job of our own")
}

fn board(chance: &mut Chance, number: usize) -> Value {
    let (length, half) = (chance.length(1100.0, 2300.0), chance.length(70.0, 120.0));
    let taper = chance.between(0.8, 1.0);
    let thickness = *chance.one_of(&[27.0, 34.0, 45.0]);
    let mut board = json!({
        "id": format!("B{number}"), "thickness": thickness, "price": {"amount": (length * half / 1000.0).round(), "per": "board"},
        "cuts": *chance.one_of(&["straight", "straight", "any", "sawn"]),
        "outline": {"form": "tape", "length": length, "stations": [
            {"at": 0, "left": half, "right": half}, {"at": length, "left": half * taper, "right": half}]},
    });
    if chance.percent(60) {
        board["warp"] = json!({"cup": {"gap": chance.between(0.2, 2.0)}, "bow": {"gap": chance.between(0.5, 6.0)}});
    }
    let zones: Vec<Value> = (0..chance.below(4))
        .map(|_| {
            let (x, y) = (chance.between(0.0, length), chance.between(-half, half));
            let (w, h) = (chance.between(8.0, 40.0), chance.between(8.0, 30.0));
            let face = *chance.one_of(&["through", "up", "down"]);
            let mut zone = json!({
                "kind": *chance.one_of(&["defect", "defect", "sapwood"]), "face": face, "sound": chance.percent(60),
                "margin": 3, "shape": {"form": "polygon", "points": [[x, y], [x + w, y], [x + w, y + h], [x, y + h]]},
            });
            if face != "through" {
                zone["depth"] = json!(chance.between(1.0, 30.0));
            }
            zone
        })
        .collect();
    board["zones"] = json!(zones);
    board
}

fn part(id: &str, count: u32, (length, width): (f64, f64), thickness: f64) -> Value {
    json!({"id": id, "name": id, "count": count, "thickness": thickness,
        "shape": {"form": "rectangle", "length": length, "width": width}})
}

/// A way of breaking a plan of [`related_job`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RelatedBreakage {
    /// Two members of a row change places.
    Order,
    /// A member of a row, in its very place, is turned over.
    Face,
    /// A member is turned a little.
    Turn,
    /// A member of a row is pushed out of line.
    Band,
    /// A member of a row is pushed away along it.
    Gap,
    /// Leaves become thicker than their board gives.
    Thick,
    /// One leaf is pushed off the others.
    Footprint,
    /// All leaves are turned over.
    Mirrored,
    /// Leaves are numbered the other way round.
    Leaf,
    /// A member is carried to another board.
    Elsewhere,
}

impl RelatedBreakage {
    /// Every way.
    pub const ALL: [RelatedBreakage; 10] = [
        RelatedBreakage::Order,
        RelatedBreakage::Face,
        RelatedBreakage::Turn,
        RelatedBreakage::Band,
        RelatedBreakage::Gap,
        RelatedBreakage::Thick,
        RelatedBreakage::Footprint,
        RelatedBreakage::Mirrored,
        RelatedBreakage::Leaf,
        RelatedBreakage::Elsewhere,
    ];
}

/// Breaks the plan of a document in one way by about `by` millimetres or degrees; false where nothing in it
/// can be broken so.
pub fn break_related(
    document: &mut Document,
    way: RelatedBreakage,
    by: f64,
    chance: &mut Chance,
) -> bool {
    let Some(mut plan) = document.plan.take() else {
        return false;
    };
    let of_leaves = |kind: MatchKind| matches!(kind, MatchKind::Book | MatchKind::Slip);
    let of_row = |kind: MatchKind| {
        matches!(
            kind,
            MatchKind::ContinuousAlong | MatchKind::ContinuousAcross
        )
    };
    let wants = |kind: MatchKind| match way {
        RelatedBreakage::Order
        | RelatedBreakage::Face
        | RelatedBreakage::Band
        | RelatedBreakage::Gap => of_row(kind),
        RelatedBreakage::Thick
        | RelatedBreakage::Footprint
        | RelatedBreakage::Mirrored
        | RelatedBreakage::Leaf => of_leaves(kind),
        RelatedBreakage::Turn => of_row(kind) || of_leaves(kind),
        RelatedBreakage::Elsewhere => true,
    };
    let laid = |m: &&heartside_timber::document::Match| {
        wants(m.kind) && m.parts.iter().all(|c| plan.find(&c.part, c.copy).is_some())
    };
    let found: Vec<_> = document.matches.iter().filter(laid).cloned().collect();
    if found.is_empty() {
        document.plan = Some(plan);
        return false;
    }
    let chosen = chance.one_of(&found).clone();
    let (first, last) = (&chosen.parts[0], &chosen.parts[chosen.parts.len() - 1]);
    let mut broken = true;
    match way {
        RelatedBreakage::Order => {
            let (a, b) = (at(&plan, first), at(&plan, last));
            let (one, two) = (
                plan.layouts[a.0].placements[a.1].at,
                plan.layouts[b.0].placements[b.1].at,
            );
            plan.layouts[a.0].placements[a.1].at = two;
            plan.layouts[b.0].placements[b.1].at = one;
        }
        RelatedBreakage::Face => {
            let width = document
                .parts
                .iter()
                .find(|p| p.id == last.part)
                .and_then(width_of);
            let placed = placement(&mut plan, last);
            let (sin, cos) = heartside_geometry::math::sin_cos_deg(placed.at.turn);
            let up = if placed.at.turned_over { -1.0 } else { 1.0 } * width.unwrap_or(0.0);
            placed.at.x -= sin * up;
            placed.at.y += cos * up;
            placed.at.turned_over = !placed.at.turned_over;
        }
        RelatedBreakage::Turn => placement(&mut plan, last).at.turn += 0.1 + by,
        RelatedBreakage::Band | RelatedBreakage::Gap => {
            let along =
                (way == RelatedBreakage::Gap) == (chosen.kind == MatchKind::ContinuousAlong);
            let placed = placement(&mut plan, last);
            let upright = (placed.at.turn / 90.0).round() as i64 % 2 != 0;
            if along != upright {
                placed.at.x += by;
            } else {
                placed.at.y += by;
            }
        }
        RelatedBreakage::Thick => {
            for part in document.parts.iter_mut().filter(|p| p.id == first.part) {
                part.thickness = Some(Length::Mm(9.0 + 4.0 * by));
            }
        }
        RelatedBreakage::Footprint if chance.percent(50) => placement(&mut plan, last).at.x += by,
        RelatedBreakage::Footprint => placement(&mut plan, last).at.y += by,
        RelatedBreakage::Mirrored => {
            for copy in &chosen.parts {
                let placed = placement(&mut plan, copy);
                placed.at.turned_over = !placed.at.turned_over;
            }
        }
        RelatedBreakage::Leaf => {
            let count = chosen.parts.len() as u32;
            for copy in &chosen.parts {
                let placed = placement(&mut plan, copy);
                placed.leaf = placed.leaf.map(|number| count + 1 - number);
            }
        }
        RelatedBreakage::Elsewhere => {
            let (layout, place) = at(&plan, last);
            broken = plan.layouts.len() > 1;
            if broken {
                let moved: Placement = plan.layouts[layout].placements[place].clone();
                let copy = moved.part_copy();
                let old: Layout = plan.layouts[layout].clone();
                plan.layouts[layout] = old.without(|c| *c == copy);
                let there = (layout + 1) % plan.layouts.len();
                plan.layouts[there].placements.push(moved);
                plan.layouts.retain(|l| !l.placements.is_empty());
            }
        }
    }
    document.plan = Some(plan);
    broken
}

fn width_of(part: &heartside_timber::document::Part) -> Option<f64> {
    let shape = serde_json::to_value(&part.shape).ok()?;
    shape.get("width")?.as_f64()
}

fn at(plan: &Plan, copy: &heartside_timber::document::PartCopy) -> (usize, usize) {
    plan.find(&copy.part, copy.copy)
        .expect("it was found before")
}

fn placement<'a>(
    plan: &'a mut Plan,
    copy: &heartside_timber::document::PartCopy,
) -> &'a mut Placement {
    let (layout, place) = at(plan, copy);
    &mut plan.layouts[layout].placements[place]
}
