//! The form of a thing: its fields as typed, with what is wrong with each.

use heartside_cutting::ripped;
use heartside_drawing::FaceOf;
use heartside_geometry::SortedMap;
use heartside_timber::defaults::{self, Quantity};
use heartside_timber::document::Length;
use heartside_timber::length::{write_dimension, write_length};
use heartside_timber::warp::StavesRow;
use serde_json::Value;

use super::Session;
use crate::figure::contradictions::against;
use crate::forms::{self, UsualText, glued_of, head_of};
use crate::protocol::{Field, Form, Ripped, Thing, ThingKind};
use crate::words::GONE;

impl Session {
    /// The form of a thing.
    pub fn form(&self, thing: &Thing) -> Form {
        let (Some(sheet), Some(value)) = (forms::sheet(thing.kind), self.value_of(thing)) else {
            return Form {
                problems: vec![GONE.to_owned()],
                ..Form::default()
            };
        };
        let (mut fields, mut tables) = self.with_reader(|reader| {
            (
                forms::fields(sheet, &value, reader),
                forms::tables(sheet, &value, thing, reader),
            )
        });
        self.ask_of_wish(thing, &mut fields);
        let mut left = Vec::new();
        for (of, field, message) in self.problems_of(thing) {
            let found = fields
                .iter_mut()
                .chain(
                    tables
                        .iter_mut()
                        .flat_map(|t| &mut t.rows)
                        .flat_map(|r| &mut r.cells),
                )
                .find(|f| of == *thing && Some(f.name.as_str()) == field.as_deref());
            match found {
                // What reading the text has to say comes first: it is about the very text.
                Some(known) => {
                    known.problem.get_or_insert(message);
                }
                None => left.push(message),
            }
        }
        Form {
            thing: Some(thing.clone()),
            title: self.called(thing),
            fields,
            tables,
            ripped: self.ripped(thing),
            problems: left,
            removable: !matches!(
                thing.kind,
                ThingKind::Job | ThingKind::Workshop | ThingKind::Allowances
            ),
        }
    }

    /// Says beside each choice of how a face is to look what stands against it.
    fn ask_of_wish(&self, thing: &Thing, fields: &mut [Field]) {
        let against = match thing.kind {
            ThingKind::Part => {
                let part = self.document.parts.get(thing.at());
                let Some(id) = part.map(|part| part.id.as_str()) else {
                    return;
                };
                against(
                    &self.job,
                    |of| matches!(of, FaceOf::Panel(copy) if copy.part == id),
                )
            }
            ThingKind::Match if self.job.matches.len() == self.document.matches.len() => {
                against(&self.job, |of| *of == FaceOf::Match(thing.at()))
            }
            _ => return,
        };
        for field in fields {
            let name = field.name.rsplit_once("wish.").map(|(_, name)| name);
            let found = match name {
                Some("answer") => &against.answer,
                Some("spread") => &against.spread,
                Some("sapwood") => &against.sapwood,
                _ => continue,
            };
            if field.question.is_none() {
                field.question.clone_from(found);
            }
        }
    }

    /// What a cupped board finishes at in more and more staves; nothing for anything else.
    fn ripped(&self, thing: &Thing) -> Vec<Ripped> {
        let typed = self.document.boards.get(thing.at());
        let typed = typed.filter(|_| thing.kind == ThingKind::Board);
        let board = typed.and_then(|typed| self.sound_board(thing.at(), typed));
        let rows = board.map_or_else(Vec::new, |board| ripped(&self.job, board));
        let words = |mm| write_dimension(mm, &self.job.units);
        let row = |row: StavesRow| Ripped {
            staves: row.staves,
            width: words(row.stave_width),
            finishes_at: words(row.finishes_at),
        };
        rows.into_iter().map(row).collect()
    }

    fn value_of(&self, thing: &Thing) -> Option<Value> {
        let d = &self.document;
        match thing.kind {
            ThingKind::Job => Some(forms::as_typed(&head_of(d))),
            ThingKind::Workshop => Some(forms::as_typed(&d.workshop)),
            ThingKind::Allowances => Some(forms::as_typed(&d.allowances)),
            ThingKind::Board => d.boards.get(thing.at()).map(forms::as_typed),
            ThingKind::Zone => d
                .boards
                .get(thing.at())?
                .zones
                .get(thing.within())
                .map(forms::as_typed),
            ThingKind::Part => {
                let part = d.parts.get(thing.at())?;
                let mut typed = forms::as_typed(part);
                let mut glued = forms::as_typed(&glued_of(d, &part.id));
                if let Some(panel) = glued.get_mut("panel") {
                    typed["panel"] = panel.take();
                }
                Some(typed)
            }
            ThingKind::Tool => d.workshop.tools.get(thing.at()).map(forms::as_typed),
            ThingKind::Dimension => d.dimensions.get(thing.at()).map(forms::as_typed),
            ThingKind::Match => d.matches.get(thing.at()).map(forms::as_typed),
            ThingKind::Species => d.species.get(thing.at()).map(forms::as_typed),
            ThingKind::Station | ThingKind::Corner => None,
        }
    }

    /// What holds where a field is empty, and where that comes from, by setting.
    pub(super) fn usual_texts(&self) -> SortedMap<&'static str, UsualText> {
        let own = &self.document.allowances;
        let mut texts: SortedMap<&'static str, UsualText> = SortedMap::from_iter(
            defaults::USUAL
                .iter()
                .map(|usual| (usual.setting, self.usual_text(usual))),
        );
        let of_job = [
            ("part.allowances.end", "allowances.end", &own.end),
            ("part.allowances.edge", "allowances.edge", &own.edge),
            ("part.allowances.sawn", "allowances.sawn", &own.sawn),
            (
                "part.allowances.planing",
                "allowances.planing",
                &own.planing,
            ),
            (
                "part.allowances.clean_up",
                "allowances.clean_up",
                &own.clean_up,
            ),
        ];
        for (of_part, setting, set) in of_job {
            let known = set.as_ref().and_then(Length::plain_mm);
            let text = match known {
                Some(mm) => Some(UsualText {
                    text: write_length(mm, &self.job.units),
                    standing: "As set for all parts of the job".to_owned(),
                }),
                None => texts.get(setting).cloned(),
            };
            if let Some(text) = text {
                texts.insert(of_part, text);
            }
        }
        texts
    }

    fn usual_text(&self, usual: &defaults::Usual) -> UsualText {
        let bare = heartside_timber::length::write_decimal(usual.value, 1);
        let (text, shown) = match usual.quantity {
            Quantity::Length => {
                let shown = write_length(usual.value, &self.job.units);
                (shown.clone(), shown)
            }
            Quantity::Weight => (bare.clone(), format!("{bare} kg")),
            Quantity::Angle => (bare.clone(), format!("{bare}\u{b0}")),
        };
        UsualText {
            text,
            standing: format!("Usual {shown}, {}", usual.standing.words()),
        }
    }
}
