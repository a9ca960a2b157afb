//! What a thing is called in a sentence.

use super::Session;
use crate::protocol::{Thing, ThingKind};

impl Session {
    /// What a thing is called in a sentence: "board A", "Leg", "table saw".
    pub(super) fn called(&self, thing: &Thing) -> String {
        let d = &self.document;
        let named = |name: &str, id: &str, what: &str| {
            let name = [name, id]
                .into_iter()
                .find(|n| !n.trim().is_empty())
                .map(str::trim);
            name.map_or_else(|| format!("a {what} without a name"), str::to_owned)
        };
        let board = |row: usize| match d.boards.get(row) {
            Some(b) if !b.id.trim().is_empty() => {
                let what = if b.from.is_some() { "piece" } else { "board" };
                format!("{what} {}", b.id.trim())
            }
            _ => format!("board number {}", row + 1),
        };
        match thing.kind {
            ThingKind::Job => "the job".to_owned(),
            ThingKind::Workshop => "the workshop".to_owned(),
            ThingKind::Allowances => "extra wood".to_owned(),
            ThingKind::Board => board(thing.at()),
            ThingKind::Station => format!("a width of {}", board(thing.at())),
            ThingKind::Corner if thing.of_part => {
                d.parts.get(thing.at()).map_or_else(String::new, |p| {
                    format!("a corner of {}", named(&p.name, &p.id, "part"))
                })
            }
            ThingKind::Corner => format!("a corner of {}", board(thing.at())),
            ThingKind::Zone => {
                let word = d
                    .boards
                    .get(thing.at())
                    .and_then(|b| b.zones.get(thing.within()))
                    .map_or("", |z| z.note.trim());
                let word = if word.is_empty() {
                    "a marked area"
                } else {
                    word
                };
                format!("{word} on {}", board(thing.at()))
            }
            ThingKind::Part => d
                .parts
                .get(thing.at())
                .map_or_else(String::new, |p| named(&p.name, &p.id, "part")),
            ThingKind::Tool => d
                .workshop
                .tools
                .get(thing.at())
                .map_or_else(String::new, |t| named(&t.name, "", "tool")),
            ThingKind::Dimension => d
                .dimensions
                .get(thing.at())
                .map_or_else(String::new, |t| named(&t.name, "", "dimension")),
            ThingKind::Match => format!("match {}", thing.row + 1),
            ThingKind::Species => d
                .species
                .get(thing.at())
                .map_or_else(String::new, |t| named(&t.name, "", "species")),
        }
    }
}
