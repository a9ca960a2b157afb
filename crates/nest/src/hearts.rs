//! Heart sides of staves: turned over in place until they lie as their panel asks.
//!
//! A stave is a rectangle, so turning it over about its own middle line leaves its blank where it is,
//! and the cuts with it. What cannot be turned and lies the wrong way is left out, for the plan would
//! not keep the rule.

use std::collections::VecDeque;

use heartside_geometry::Point;
use heartside_timber::choices::{PanelChoice, Stave};
use heartside_timber::document::{HeartSide, Hearts, PartCopy};
use heartside_timber::job::{Job, Panel, Part};
use heartside_timber::plan::{Layout, Placed, Placement};

use crate::cuts::ground::Ground;
use crate::fit;

/// A stave that lies somewhere, or is in hand.
struct Lying {
    /// Its place in the glued panel.
    place: usize,
    /// Its layout's and its own place in the lists; none for what is in hand.
    at: Option<(usize, usize)>,
    is_up: bool,
    may_turn: bool,
}

/// The layouts with heart sides as panels ask for.
pub(crate) fn keep_hearts(job: &Job, mut layouts: Vec<Layout>) -> Vec<Layout> {
    for panel in job.panels.iter().filter(|p| p.hearts != Hearts::Any) {
        for chosen in &panel.copies {
            let staves: Vec<Lying> = chosen
                .staves
                .iter()
                .enumerate()
                .flat_map(|(place, stave)| stave.ids(&chosen.panel).map(move |id| (place, id)))
                .filter_map(|(place, id)| lying(job, &layouts, place, job.part(&id)?))
                .collect();
            let wanted = |place: usize, first: bool| {
                first != (panel.hearts == Hearts::Alternate && place % 2 == 1)
            };
            let wrong = |first: bool| {
                let off = staves.iter().filter(|s| s.is_up != wanted(s.place, first));
                let (turned, fixed): (Vec<&Lying>, Vec<&Lying>) = off.partition(|s| s.may_turn);
                (fixed, turned)
            };
            let count = |first| {
                let (fixed, turned) = wrong(first);
                (fixed.len(), turned.len())
            };
            let (fixed, turned) = wrong(count(true) <= count(false));
            for (layout, placement) in turned.iter().filter_map(|s| s.at) {
                let placement = &mut layouts[layout].placements[placement];
                if let Some(part) = job.part(&placement.part) {
                    placement.at = turned_over(job, part, placement);
                }
            }
            let dropped = |(layout, placement): (usize, usize)| {
                layouts[layout].placements[placement].part_copy()
            };
            let dropped: Vec<PartCopy> = fixed
                .iter()
                .filter_map(|s| s.at)
                .map(dropped)
                .filter(|copy| job.pins.iter().all(|pin| pin.part != *copy))
                .collect();
            if !dropped.is_empty() {
                layouts = layouts
                    .into_iter()
                    .map(|l| l.without(|copy| dropped.contains(copy)))
                    .collect();
            }
        }
    }
    layouts
}

/// The staves of all panels in an order in which heart sides can alternate, where they lie so that in the
/// order of now they cannot; none where nothing is gained, or end joints would stand side by side.
pub(crate) fn in_turns(job: &Job, layouts: &[Layout]) -> Option<Vec<PanelChoice>> {
    let mut all = job.panel_choices();
    let mut changed = false;
    let alternates = |c: &&mut PanelChoice| {
        let mut panels = job.panels.iter();
        panels.any(|p| p.part.id == c.panel.part && p.hearts == Hearts::Alternate)
    };
    for chosen in all.iter_mut().filter(alternates) {
        // The side of those that cannot be turned.
        let sides: Vec<Option<bool>> = (chosen.staves.iter().enumerate())
            .map(|(place, stave)| {
                let mut pieces = stave.ids(&chosen.panel);
                pieces.find_map(|id| {
                    let lying = lying(job, layouts, place, job.part(&id)?)?;
                    (!lying.may_turn).then_some(lying.is_up)
                })
            })
            .collect();
        let is_wrong = |first: bool| {
            let mut sides = sides.iter().enumerate();
            sides.any(|(place, side)| side.is_some_and(|up| up != (first != (place % 2 == 1))))
        };
        if !(is_wrong(true) && is_wrong(false)) {
            continue;
        }
        let of = |side: Option<bool>| -> VecDeque<Stave> {
            let these = chosen
                .staves
                .iter()
                .zip(&sides)
                .filter(|(_, s)| **s == side);
            these.map(|(stave, _)| stave.clone()).collect()
        };
        let (mut up, mut down, mut free) = (of(Some(true)), of(Some(false)), of(None));
        let up_first = up.len() >= down.len();
        let order = (0..chosen.staves.len()).map_while(|place| {
            let (own, other) = match up_first == (place % 2 == 0) {
                true => (&mut up, &mut down),
                false => (&mut down, &mut up),
            };
            let next = own.pop_front().or_else(|| free.pop_front());
            next.or_else(|| other.pop_front())
        });
        let order: Vec<Stave> = order.collect();
        let stands_apart = |panel: &Panel| {
            let mut pairs = order.windows(2);
            panel.part.id != chosen.panel.part || pairs.all(|p| panel.keeps_apart(&p[0], &p[1]))
        };
        if order != chosen.staves && job.panels.iter().all(stands_apart) {
            chosen.staves = order;
            changed = true;
        }
    }
    changed.then_some(all)
}

/// Where a stave lies and which way; none where it lies nowhere, or nobody knows its heart side.
fn lying(job: &Job, layouts: &[Layout], place: usize, part: &Part) -> Option<Lying> {
    let up = |side: HeartSide, turned_over: bool| {
        (side != HeartSide::Unknown).then_some((side == HeartSide::Up) != turned_over)
    };
    let held = job.boards.iter().find_map(|board| {
        let holds = board.from.as_ref()?.holds.as_ref()?;
        (holds.part == part.id).then_some((board, holds))
    });
    if let Some((board, holds)) = held {
        return Some(Lying {
            place,
            at: None,
            is_up: up(board.heart_side, holds.at.turned_over)?,
            may_turn: false,
        });
    }
    let mut all = layouts.iter().enumerate().flat_map(|(l, layout)| {
        let placements = layout.placements.iter().enumerate();
        placements.map(move |(k, placement)| (l, k, placement))
    });
    let (l, k, placement) = all.find(|(_, _, p)| p.part == part.id)?;
    let board = job.board_index(&layouts[l].board.board)?;
    let pinned = job.pins.iter().any(|pin| pin.part.part == part.id);
    Some(Lying {
        place,
        at: Some((l, k)),
        is_up: up(job.boards[board].heart_side, placement.at.turned_over)?,
        may_turn: !pinned && may_turn(job, part, (board, &layouts[l]), placement),
    })
}

/// True where the stave may lie there the other way up.
pub(crate) fn may_turn(
    job: &Job,
    part: &Part,
    (board, layout): (usize, &Layout),
    at: &Placement,
) -> bool {
    if !part.may_turn_over {
        return false;
    }
    if !fit::turning_over_matters(&job.boards[board], part) {
        return true;
    }
    let Some(index) = job.part_index(&part.id) else {
        return false;
    };
    let turned = turned_over(job, part, at);
    let angle = layout.frame.angle;
    let ground = Ground::for_parts(job, board, angle, &|p| p == index);
    let Some(rect) = ground.rect_of(part, &turned) else {
        return false;
    };
    let over = turned.turned_over;
    let mut fits = ground.fits[index].iter().filter(|f| f.turned_over == over);
    // What is kept to spare is there already on either side.
    let rect = rect.grown(-job.tolerance.extra);
    fits.any(|fit| {
        let class = &ground.classes[fit.class];
        let mut all = class
            .blank
            .iter()
            .chain(&class.finished)
            .chain(&class.around);
        all.all(|k| !ground.pieces[*k].meets(&rect))
    })
}

/// The stave as it lies once turned over about its middle line: its blank stays where it is.
pub(crate) fn turned_over(job: &Job, part: &Part, placement: &Placement) -> Placed {
    let corner = Point {
        x: 0.0,
        y: part.width(),
    };
    Placed {
        turned_over: !placement.at.turned_over,
        ..with_corner(job, placement, corner)
    }
}

/// A placement whose origin lies where a corner of the part lies now.
pub(crate) fn with_corner(job: &Job, placement: &Placement, corner: Point) -> Placed {
    let there = placement.pose().apply(corner);
    // A grid point up to rounding is that point; others stay, so that the blank does not move.
    let snapped = |v: f64| {
        let near = job.tolerance.snap(v);
        if (near - v).abs() < 1e-6 { near } else { v }
    };
    Placed {
        x: snapped(there.x),
        y: snapped(there.y),
        ..placement.at
    }
}

#[cfg(test)]
mod tests {
    use heartside_testkit::by_hand;
    use heartside_timber::choices::stave_id;
    use heartside_timber::document::{BoardCopy, EdgeKind};
    use heartside_timber::job::{EndJoints, StaveOf};
    use heartside_timber::plan::Way;

    use super::*;

    /// A panel of three staves, two from a board with its heart up and one from a board with its heart
    /// down, in this order.
    fn glued(order: [u32; 3], may_turn_over: bool) -> (Job, Vec<Layout>) {
        let board = |id: &str, heart_side| heartside_timber::job::Board {
            heart_side,
            ..by_hand::board(id, by_hand::rectangle(1000.0, 200.0), |_, _| {
                EdgeKind::Straight
            })
        };
        let boards = vec![board("A", HeartSide::Up), board("B", HeartSide::Down)];
        let stave = |number: u32| Part {
            may_turn_over,
            stave: Some(StaveOf {
                panel: 0,
                copy: 1,
                number,
                piece: 0,
                share: 1.0 / 3.0,
            }),
            ..by_hand::part(
                &stave_id("top", 1, number),
                1,
                by_hand::rectangle(200.0, 50.0),
            )
        };
        let mut job = by_hand::job(boards, (1..=3).map(stave).collect());
        job.panels.push(Panel {
            part: by_hand::part("top", 1, by_hand::rectangle(200.0, 150.0)),
            length: 200.0,
            width: 150.0,
            is_across: false,
            widths: (40.0, 60.0),
            max_count: 4,
            equal: false,
            hearts: Hearts::Alternate,
            joint: 0.0,
            flatten: 0.0,
            ends: EndJoints::default(),
            copies: vec![PanelChoice {
                panel: PartCopy {
                    part: "top".into(),
                    copy: 1,
                },
                staves: order.map(|number| Stave::whole(number, 50.0)).to_vec(),
            }],
        });
        let layout = |board: &str, numbers: &[u32]| Layout {
            board: BoardCopy {
                board: board.into(),
                copy: 1,
            },
            way: Way::Sawn,
            frame: Default::default(),
            placements: (numbers.iter())
                .map(|number| Placement {
                    part: stave_id("top", 1, *number),
                    copy: 1,
                    at: Placed {
                        x: 300.0 * f64::from(*number),
                        y: 20.0,
                        ..Placed::default()
                    },
                    ..Placement::default()
                })
                .collect(),
            cuts: None,
        };
        (job, vec![layout("A", &[1, 2]), layout("B", &[3])])
    }

    fn over(layouts: &[Layout]) -> Vec<(String, bool, f64)> {
        let placed = layouts.iter().flat_map(|l| &l.placements);
        placed
            .map(|p| (p.part.clone(), p.at.turned_over, p.at.y))
            .collect()
    }

    #[test]
    fn staves_are_turned_over_where_they_lie() {
        // Heart up, up, down: the fewest are turned, the first.
        let (job, layouts) = glued([1, 2, 3], true);
        let kept = over(&keep_hearts(&job, layouts));
        let turned: Vec<&String> = kept.iter().filter(|k| k.1).map(|k| &k.0).collect();
        assert_eq!(turned, [&stave_id("top", 1, 1)]);
        // As wide as it is: the blank covers what it covered.
        assert!(kept.iter().all(|k| k.2 == if k.1 { 70.0 } else { 20.0 }));
        assert_eq!(in_turns(&job, &glued([1, 2, 3], true).1), None);
    }

    #[test]
    fn what_cannot_be_turned_changes_its_order_or_is_left_out() {
        let (job, layouts) = glued([1, 2, 3], false);
        let ordered = in_turns(&job, &layouts).expect("another order");
        let numbers: Vec<u32> = ordered[0].staves.iter().map(|s| s.number).collect();
        assert_eq!(numbers, [1, 3, 2]);
        assert_eq!(over(&keep_hearts(&job, layouts)).len(), 2);
        let (job, layouts) = glued([1, 3, 2], false);
        assert_eq!(in_turns(&job, &layouts), None);
        assert_eq!(over(&keep_hearts(&job, layouts)).len(), 3);
    }
}
