//! Rows taken away and moved, with all that goes with them.

use heartside_timber::document::{BoardOutline, Document};

use super::corners::{Fellows, corners};
use crate::protocol::{Thing, ThingKind};
use crate::session::renaming;

pub(super) fn remove_from(d: &mut Document, thing: &Thing) -> bool {
    let row = thing.at();
    match thing.kind {
        ThingKind::Board => {
            let Some(id) = d.boards.get(row).map(|b| b.id.clone()) else {
                return false;
            };
            d.boards.remove(row);
            if !d.boards.iter().any(|b| b.id == id) {
                renaming::forget_board(d, &id);
            }
            true
        }
        ThingKind::Part => {
            let Some(id) = d.parts.get(row).map(|p| p.id.clone()) else {
                return false;
            };
            d.parts.remove(row);
            if !d.parts.iter().any(|p| p.id == id) {
                renaming::forget_part(d, &id);
            }
            true
        }
        ThingKind::Zone => d
            .boards
            .get_mut(row)
            .is_some_and(|b| remove_row(&mut b.zones, thing.within())),
        ThingKind::Station => match d.boards.get_mut(row).and_then(|b| b.outline.as_mut()) {
            Some(BoardOutline::Tape { stations, .. }) => remove_row(stations, thing.within()),
            _ => false,
        },
        ThingKind::Corner => {
            let Some((points, fellows)) = corners(d, thing) else {
                return false;
            };
            match fellows {
                Some(Fellows::Sides(sides)) => {
                    remove_row(sides, thing.within());
                }
                Some(Fellows::Swells(swells)) => {
                    remove_row(swells, thing.within());
                }
                None => {}
            }
            remove_row(points, thing.within())
        }
        ThingKind::Tool => remove_row(&mut d.workshop.tools, row),
        ThingKind::Dimension => remove_row(&mut d.dimensions, row),
        ThingKind::Match => remove_row(&mut d.matches, row),
        ThingKind::Species => remove_row(&mut d.species, row),
        ThingKind::Job | ThingKind::Workshop | ThingKind::Allowances => false,
    }
}

pub(super) fn move_in(d: &mut Document, thing: &Thing, to: usize) -> Option<Thing> {
    let row = thing.at();
    let to = match thing.kind {
        ThingKind::Board => move_row(&mut d.boards, row, to)?,
        ThingKind::Part => move_row(&mut d.parts, row, to)?,
        ThingKind::Tool => move_row(&mut d.workshop.tools, row, to)?,
        ThingKind::Dimension => move_row(&mut d.dimensions, row, to)?,
        ThingKind::Match => move_row(&mut d.matches, row, to)?,
        ThingKind::Species => move_row(&mut d.species, row, to)?,
        ThingKind::Zone => {
            let to = move_row(&mut d.boards.get_mut(row)?.zones, thing.within(), to)?;
            return Some(Thing::inner(thing.kind, row, to));
        }
        ThingKind::Station => {
            let Some(BoardOutline::Tape { stations, .. }) = d.boards.get_mut(row)?.outline.as_mut()
            else {
                return None;
            };
            let to = move_row(stations, thing.within(), to)?;
            return Some(Thing::inner(thing.kind, row, to));
        }
        ThingKind::Corner => {
            let (points, fellows) = corners(d, thing)?;
            let from = thing.within();
            let moved = move_row(points, from, to)?;
            match fellows {
                Some(Fellows::Sides(sides)) => {
                    move_row(sides, from, moved);
                }
                Some(Fellows::Swells(swells)) => {
                    move_row(swells, from, moved);
                }
                None => {}
            }
            return Some(Thing {
                index: Some(moved as u32),
                ..thing.clone()
            });
        }
        ThingKind::Job | ThingKind::Workshop | ThingKind::Allowances => return None,
    };
    Some(Thing::row(thing.kind, to))
}

fn remove_row<T>(list: &mut Vec<T>, row: usize) -> bool {
    let there = row < list.len();
    if there {
        list.remove(row);
    }
    there
}

fn move_row<T>(list: &mut Vec<T>, from: usize, to: usize) -> Option<usize> {
    if from >= list.len() {
        return None;
    }
    let row = list.remove(from);
    let to = to.min(list.len());
    list.insert(to, row);
    Some(to)
}
