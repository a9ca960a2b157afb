//! Corners of boards, parts and marked areas, with the lists that go with them.

use heartside_timber::document::{BoardOutline, Document, EdgeKind, Length, Shape, ZoneShape};

use crate::protocol::{Thing, ThingKind};

pub(super) type Corners<'a> = (&'a mut Vec<[Length; 2]>, Option<Fellows<'a>>);

/// The list that goes with the corners.
pub(super) enum Fellows<'a> {
    Sides(&'a mut Vec<EdgeKind>),
    Swells(&'a mut Vec<Length>),
}

pub(super) fn corners<'a>(d: &'a mut Document, owner: &Thing) -> Option<Corners<'a>> {
    if owner.of_part || owner.kind == ThingKind::Part {
        return match d.parts.get_mut(owner.at())?.shape.as_mut()? {
            Shape::Polygon { points, .. } => Some((points, None)),
            Shape::ArcSided { points, swells, .. } => Some((points, Some(Fellows::Swells(swells)))),
            _ => None,
        };
    }
    let board = d.boards.get_mut(owner.at())?;
    if owner.kind == ThingKind::Zone {
        return match board.zones.get_mut(owner.within())?.shape.as_mut()? {
            ZoneShape::Polygon { points } => Some((points, None)),
            _ => None,
        };
    }
    match board.outline.as_mut()? {
        BoardOutline::Polygon { points, sides, .. } => Some((points, Some(Fellows::Sides(sides)))),
        BoardOutline::Tape { .. } => None,
    }
}

/// A corner halfway between the one named (or the last) and the next.
pub(super) fn add_corner(d: &mut Document, owner: &Thing) -> Option<Thing> {
    let of_part = owner.of_part || owner.kind == ThingKind::Part;
    let (points, fellows) = corners(d, owner)?;
    let last = points.len().checked_sub(1)?;
    let before = if owner.kind == ThingKind::Corner {
        owner.within().min(last)
    } else {
        last
    };
    let next = (before + 1) % points.len();
    let middle = |axis: usize| {
        let value = |i: usize| points[i][axis].plain_mm().unwrap_or(0.0);
        Length::Mm(((value(before) + value(next)) / 2.0).round())
    };
    let new = [middle(0), middle(1)];
    points.insert(before + 1, new);
    match fellows {
        Some(Fellows::Sides(sides)) if before < sides.len() => {
            sides.insert(before + 1, sides[before])
        }
        Some(Fellows::Swells(swells)) if before < swells.len() => {
            swells[before] = Length::Mm(0.0);
            swells.insert(before + 1, Length::Mm(0.0));
        }
        _ => {}
    }
    let zone_owner = owner.kind == ThingKind::Zone;
    // A corner of a zone is named by its zone: the page shows the zone's form again.
    Some(if zone_owner {
        owner.clone()
    } else {
        Thing {
            kind: ThingKind::Corner,
            row: owner.row,
            index: Some(before as u32 + 1),
            of_part,
        }
    })
}
