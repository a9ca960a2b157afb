//! A text typed into a field of the document, and what follows the field.

use heartside_timber::document::{Allowances, Document};
use serde::{Serialize, de::DeserializeOwned};

use super::widths::{keep_widths_at_end, tape_length};
use super::zones::{put_where_it_lay, zone_as_it_lies};
use crate::forms::{self, Glued, Head, Reader, Typed, glued_of, head_of, put_glued, put_head};
use crate::protocol::{Thing, ThingKind};
use crate::words::GONE;

/// What typing came to, with the thing put back into the document.
pub(super) struct TypedIn {
    pub(super) label: String,
    pub(super) problem: Option<String>,
}

pub(super) enum Did {
    Changed(TypedIn),
    Same,
    Refused(String),
}

pub(super) fn type_into_document(
    after: &mut Document,
    thing: &Thing,
    field: &str,
    text: &str,
    reader: &Reader<'_>,
) -> Did {
    fn into<T: Serialize + DeserializeOwned>(
        place: Option<&mut T>,
        kind: ThingKind,
        field: &str,
        text: &str,
        reader: &Reader<'_>,
    ) -> Did {
        let Some(place) = place else {
            return Did::Refused(GONE.to_owned());
        };
        match forms::type_into(kind, place, field, text, reader) {
            Typed::Taken {
                thing,
                label,
                problem,
            } => {
                *place = thing;
                Did::Changed(TypedIn { label, problem })
            }
            Typed::Same => Did::Same,
            Typed::Refused(why) => Did::Refused(why),
        }
    }
    let (row, kind) = (thing.at(), thing.kind);
    match kind {
        ThingKind::Job => {
            let mut head: Head = head_of(after);
            let did = into(Some(&mut head), kind, field, text, reader);
            put_head(after, head);
            did
        }
        ThingKind::Workshop => {
            // Without its tools, which have forms of their own.
            let tools = std::mem::take(&mut after.workshop.tools);
            let did = into(Some(&mut after.workshop), kind, field, text, reader);
            after.workshop.tools = tools;
            did
        }
        ThingKind::Allowances => into(
            Some::<&mut Allowances>(&mut after.allowances),
            kind,
            field,
            text,
            reader,
        ),
        ThingKind::Board => {
            let before = (field == "outline.length")
                .then(|| tape_length(after.boards.get(row)?))
                .flatten();
            let did = into(after.boards.get_mut(row), kind, field, text, reader);
            if let (Some(before), Some(board)) = (before, after.boards.get_mut(row)) {
                keep_widths_at_end(board, before);
            }
            did
        }
        ThingKind::Zone => {
            // Measured in another way it stays where it is.
            let lies = (field == "shape.form")
                .then(|| zone_as_it_lies(after, row, thing.within()))
                .flatten();
            let zone = after.boards.get_mut(row);
            let did = into(
                zone.and_then(|b| b.zones.get_mut(thing.within())),
                kind,
                field,
                text,
                reader,
            );
            let zone = after.boards.get_mut(row);
            if let (Some(lies), Some(zone)) =
                (lies, zone.and_then(|b| b.zones.get_mut(thing.within())))
            {
                put_where_it_lay(zone, &lies);
            }
            did
        }
        ThingKind::Part if field.split('.').next() == Some("panel") => {
            let Some(part) = after.parts.get(row) else {
                return Did::Refused(GONE.to_owned());
            };
            let id = part.id.clone();
            let mut glued: Glued = glued_of(after, &id);
            let did = into(Some(&mut glued), kind, field, text, reader);
            put_glued(after, &id, glued);
            did
        }
        ThingKind::Part => into(after.parts.get_mut(row), kind, field, text, reader),
        ThingKind::Tool => into(after.workshop.tools.get_mut(row), kind, field, text, reader),
        ThingKind::Dimension => into(after.dimensions.get_mut(row), kind, field, text, reader),
        ThingKind::Match => into(after.matches.get_mut(row), kind, field, text, reader),
        ThingKind::Species => into(after.species.get_mut(row), kind, field, text, reader),
        ThingKind::Station | ThingKind::Corner => {
            Did::Refused("a width or corner is typed into the form of its board or part".to_owned())
        }
    }
}
