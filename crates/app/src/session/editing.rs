//! Fields typed into; rows added, removed, doubled and moved.

use std::collections::BTreeMap;

use heartside_exchange::paste::{MEANINGS, read_parts};
use heartside_geometry::{Arrange, Bounds, map_of};
use heartside_timber::blank;
use heartside_timber::defaults::{self, Quantity};
use heartside_timber::diagnostic::Level;
use heartside_timber::document::{
    Aim, Allowances, Board, BoardEnd, BoardOutline, CutKind, Dimension, Document, Length, Match,
    MatchKind, Part, Shape, Species, Station, Tool, Zone, ZoneFrom, ZoneShape,
};
use heartside_timber::ids::TakenIds;
use heartside_timber::length::{LengthContext, Unit, read_length, write_length};
use heartside_timber::prepare::prepare;
use serde::{Serialize, de::DeserializeOwned};
use serde_json::Value;

use super::engine::KnownCuts;
use super::{Change, Session, renaming};
use crate::forms::{self, Head, Reader, Typed, UsualText, head_of, put_head};
use crate::protocol::{BadRow, Choice, Form, OpenColumn, Outcome, Thing, ThingKind};

const GONE: &str = "this is not there any more";

/// True for fields that no plan depends on.
fn is_aside(kind: ThingKind, field: &str) -> bool {
    match kind {
        ThingKind::Job => matches!(field, "title" | "currency"),
        ThingKind::Board | ThingKind::Part => field == "note",
        _ => false,
    }
}

/// What typing came to, with the thing put back into the document.
struct TypedIn {
    label: String,
    problem: Option<String>,
}

enum Did {
    Changed(TypedIn),
    Same,
    Refused(String),
}

impl Session {
    /// Types a text into a field.
    pub fn set(&mut self, thing: &Thing, field: &str, text: &str) -> Outcome {
        if let Some(why) = self.name_refused(thing, field, text) {
            return Outcome::refused(why);
        }
        let mut after = self.document.clone();
        let did =
            self.with_reader(|reader| type_into_document(&mut after, thing, field, text, reader));
        match did {
            Did::Same => Outcome::done().with_thing(thing.clone()),
            Did::Refused(why) => Outcome::refused(why),
            Did::Changed(typed) => {
                renaming::follow(&self.document, &mut after, thing, field);
                let label = format!("{} of {}", typed.label, self.called(thing));
                let change = if is_aside(thing.kind, field) {
                    Change::Aside
                } else {
                    Change::Job
                };
                self.commit(&label, after, change);
                Outcome {
                    problem: typed.problem,
                    ..Outcome::done().with_thing(thing.clone())
                }
            }
        }
    }

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
            problems: left,
            removable: !matches!(
                thing.kind,
                ThingKind::Job | ThingKind::Workshop | ThingKind::Allowances
            ),
        }
    }

    /// Adds a thing.
    pub fn add(&mut self, kind: ThingKind, owner: Option<&Thing>) -> Outcome {
        let mut after = self.document.clone();
        let Some(thing) = add_to(&mut after, kind, owner) else {
            return Outcome::refused("this cannot be added here");
        };
        let prepared = match self.with_all_usable(&after) {
            Ok(prepared) => prepared,
            Err(why) => return Outcome::refused(why),
        };
        let what = kind_words(kind);
        self.commit_prepared(&format!("adding {what}"), after, Change::Job, prepared);
        Outcome::done()
            .saying(format!("Added: {}", self.called(&thing)))
            .with_thing(thing)
    }

    /// Takes a thing away.
    pub fn remove(&mut self, thing: &Thing) -> Outcome {
        let called = self.called(thing);
        let mut after = self.document.clone();
        if !remove_from(&mut after, thing) {
            return Outcome::refused(GONE);
        }
        if thing.kind == ThingKind::Dimension {
            let values = self.job.dimensions.iter().map(|d| &d.value);
            let typed = self.document.dimensions.get(thing.at());
            let name = typed.map_or("", |d| d.name.trim());
            if let Some(known) = values.into_iter().find(|v| v.name == name) {
                renaming::forget_dimension(&mut after, name, known.value);
            }
        }
        let prepared = match self.with_all_usable(&after) {
            Ok(prepared) => prepared,
            Err(why) => return Outcome::refused(why),
        };
        if thing.kind == ThingKind::Part {
            // Boards that lost a part are cut in another order; what cannot be is a finding.
            let mut cuts = KnownCuts::default();
            if let Some(plan) = &mut after.plan {
                cuts.find(&prepared.job, plan);
            }
        }
        self.commit_prepared(
            &format!("taking away {called}"),
            after,
            Change::Job,
            prepared,
        );
        Outcome::done().saying(format!("Taken away: {called}"))
    }

    /// Adds another like it, after it.
    pub fn duplicate(&mut self, thing: &Thing) -> Outcome {
        let called = self.called(thing);
        let mut after = self.document.clone();
        let Some(new) = duplicate_in(&mut after, thing) else {
            return Outcome::refused(GONE);
        };
        let prepared = match self.with_all_usable(&after) {
            Ok(prepared) => prepared,
            Err(why) => return Outcome::refused(why),
        };
        self.commit_prepared(&format!("doubling {called}"), after, Change::Job, prepared);
        Outcome::done()
            .saying(format!("Added: {}", self.called(&new)))
            .with_thing(new)
    }

    /// Moves a thing to another place of its list.
    pub fn move_in_list(&mut self, thing: &Thing, to: usize) -> Outcome {
        let called = self.called(thing);
        let mut after = self.document.clone();
        let Some(new) = move_in(&mut after, thing, to) else {
            return Outcome::refused(GONE);
        };
        let prepared = match self.with_all_usable(&after) {
            Ok(prepared) => prepared,
            Err(why) => return Outcome::refused(why),
        };
        self.commit_prepared(&format!("moving {called}"), after, Change::Job, prepared);
        Outcome::done().with_thing(new)
    }

    /// The aims that do something, in the maker's order.
    pub(super) fn aims(&self) -> Vec<Aim> {
        let does_something = |aim: &Aim| *aim != Aim::Figure;
        self.job
            .order
            .iter()
            .copied()
            .filter(does_something)
            .collect()
    }

    /// Puts one of [`State::aims`](crate::protocol::State::aims) at another place. An aim that is
    /// not offered stays where the file has it.
    pub fn move_aim(&mut self, from: usize, to: usize) -> Outcome {
        let mut order = self.aims();
        if from >= order.len() || to >= order.len() {
            return Outcome::refused(GONE);
        }
        let aim: Aim = order.remove(from);
        order.insert(to, aim);
        let mut after = self.document.clone();
        for (at, aim) in self.document.objective.iter().enumerate() {
            if !order.contains(aim) {
                order.insert(at.min(order.len()), *aim);
            }
        }
        after.objective = order;
        self.commit("what matters most", after, Change::Job);
        Outcome::done()
    }

    /// Adds parts from a list with headings, or from typed lines. `meanings` says for each
    /// column, in order, what it holds where its heading does not tell.
    pub fn paste_parts(&mut self, text: &str, meanings: &[String]) -> Outcome {
        let mut taken = TakenIds::of(self.document.parts.iter().map(|p| p.id.as_str()));
        let unit = self.document.units.length;
        let pasted = read_parts(text, unit, &mut taken, meanings);
        let columns: Vec<OpenColumn> = pasted
            .unknown
            .iter()
            .map(|(at, heading)| OpenColumn {
                at: *at as u32,
                heading: heading.clone(),
                meanings: MEANINGS
                    .iter()
                    .map(|(value, label)| Choice {
                        value: (*value).to_owned(),
                        label: (*label).to_owned(),
                    })
                    .collect(),
            })
            .collect();
        let bad_rows: Vec<BadRow> = pasted
            .diagnostics
            .iter()
            .filter(|d| d.level != Level::Note)
            // Asked about by their columns.
            .filter(|d| d.code != "paste-column-unknown")
            .map(|d| BadRow {
                line: d.place.line.unwrap_or(1) as u32,
                message: match &d.hint {
                    Some(hint) => format!("{}; {hint}", d.message),
                    None => d.message.clone(),
                },
            })
            .collect();
        let count = pasted.parts.len();
        if count == 0 {
            let problem = if bad_rows.is_empty() {
                "there is nothing to paste: copy a table with a line of headings first"
            } else {
                "no row could be used"
            };
            return Outcome {
                bad_rows,
                columns,
                ..Outcome::refused(problem)
            };
        }
        let first = self.document.parts.len();
        let mut after = self.document.clone();
        after.parts.extend(pasted.parts);
        self.commit("pasting parts", after, Change::Job);
        let bad = match bad_rows.len() {
            0 => String::new(),
            1 => "; 1 thing in it is to be mended".to_owned(),
            n => format!("; {n} things in it are to be mended"),
        };
        let added = if count == 1 {
            "1 part added".to_owned()
        } else {
            format!("{count} parts added")
        };
        Outcome {
            bad_rows,
            columns,
            ..Outcome::done()
                .with_thing(Thing::row(ThingKind::Part, first))
                .saying(added + &bad)
        }
    }

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
            Some(b) if !b.id.trim().is_empty() => format!("board {}", b.id.trim()),
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
            ThingKind::Part => d.parts.get(thing.at()).map(forms::as_typed),
            ThingKind::Tool => d.workshop.tools.get(thing.at()).map(forms::as_typed),
            ThingKind::Dimension => d.dimensions.get(thing.at()).map(forms::as_typed),
            ThingKind::Match => d.matches.get(thing.at()).map(forms::as_typed),
            ThingKind::Species => d.species.get(thing.at()).map(forms::as_typed),
            ThingKind::Station | ThingKind::Corner => None,
        }
    }

    /// What holds where a field is empty, and where that comes from, by setting.
    pub(super) fn usual_texts(&self) -> BTreeMap<&'static str, UsualText> {
        let own = &self.document.allowances;
        let mut texts: BTreeMap<&'static str, UsualText> = map_of(
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

    /// The extents of a part's blank along and across its grain.
    pub(super) fn blank_extents(part: &heartside_timber::job::Part) -> (f64, f64) {
        let bounds = blank::Blank::of(part).bounds();
        (bounds.width(), bounds.height())
    }
}

fn type_into_document(
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

fn kind_words(kind: ThingKind) -> &'static str {
    match kind {
        ThingKind::Job => "a job",
        ThingKind::Workshop => "a workshop",
        ThingKind::Allowances => "extra wood",
        ThingKind::Board => "a board",
        ThingKind::Station => "a width",
        ThingKind::Corner => "a corner",
        ThingKind::Zone => "a marked area",
        ThingKind::Part => "a part",
        ThingKind::Tool => "a tool",
        ThingKind::Dimension => "a dimension",
        ThingKind::Match => "a match",
        ThingKind::Species => "a species",
    }
}

/// A round size in the job's unit, to be typed over.
fn round(document: &Document, mm: f64, inches: &str) -> Length {
    match document.units.length {
        Unit::Millimetres => Length::Mm(mm),
        Unit::Inches => Length::Typed {
            // Read at once, so that what is worked out from it needs no file to be opened.
            mm: read_length(inches, Unit::Inches, LengthContext::Length).ok(),
            typed: inches.to_owned(),
        },
    }
}

/// The first letter that no board has.
pub(super) fn free_letter(document: &Document) -> String {
    TakenIds::of(document.boards.iter().map(|b| b.id.as_str())).fresh_letter()
}

/// `stem`, `stem-2`, `stem-3`, ...: the first that is not taken.
fn free_id(stem: &str, taken: impl Fn(&str) -> bool) -> String {
    if !taken(stem) {
        return stem.to_owned();
    }
    (2usize..)
        .map(|n| format!("{stem}-{n}"))
        .find(|id| !taken(id))
        .unwrap_or_default()
}

pub(super) fn free_part_id(document: &Document, like: &str) -> String {
    TakenIds::of(document.parts.iter().map(|p| p.id.as_str())).fresh(like, "part")
}

fn add_to(d: &mut Document, kind: ThingKind, owner: Option<&Thing>) -> Option<Thing> {
    let after = |length: usize| {
        owner
            .filter(|o| o.kind == kind)
            .map_or(length, |o| (o.at() + 1).min(length))
    };
    match kind {
        ThingKind::Board => {
            // The next board of a stack is mostly of the same timber, thickness and price.
            let last = d.boards.last().cloned().unwrap_or_default();
            let thickness = last
                .thickness
                .filter(|_| !d.boards.is_empty())
                .unwrap_or_else(|| round(d, 27.0, "1\""));
            let board = Board {
                id: free_letter(d),
                thickness: Some(thickness),
                nominal: last.nominal,
                surface: last.surface,
                species: last.species,
                price: last.price,
                outline: Some(BoardOutline::Tape {
                    length: round(d, 2000.0, "80\""),
                    stations: vec![Station {
                        at: Length::Mm(0.0),
                        left: round(d, 100.0, "4\""),
                        right: round(d, 100.0, "4\""),
                    }],
                    left: Default::default(),
                    right: Default::default(),
                    start: Default::default(),
                    end: Default::default(),
                }),
                ..Board::default()
            };
            let at = after(d.boards.len());
            d.boards.insert(at, board);
            Some(Thing::row(kind, at))
        }
        ThingKind::Part => {
            let part = Part {
                id: free_part_id(d, "part"),
                name: "New part".to_owned(),
                thickness: Some(round(d, 20.0, "3/4\"")),
                shape: Some(Shape::Rectangle {
                    length: round(d, 600.0, "24\""),
                    width: round(d, 80.0, "3\""),
                }),
                ..Part::default()
            };
            let at = after(d.parts.len());
            d.parts.insert(at, part);
            Some(Thing::row(kind, at))
        }
        ThingKind::Tool => {
            let name = free_id("Saw", |n| d.workshop.tools.iter().any(|t| t.name == n));
            let tool = Tool {
                name,
                does: vec![CutKind::Rip, CutKind::Crosscut],
                kerf: Some(round(d, 3.0, "1/8\"")),
                ..Tool::default()
            };
            let at = after(d.workshop.tools.len());
            d.workshop.tools.insert(at, tool);
            Some(Thing::row(kind, at))
        }
        ThingKind::Dimension => {
            let name = free_id("size", |n| {
                d.dimensions.iter().any(|t| t.name == n.replace('-', " "))
            })
            .replace('-', " ");
            let dimension = Dimension {
                name,
                preferred: Some(round(d, 500.0, "20\"")),
                ..Dimension::default()
            };
            let at = after(d.dimensions.len());
            d.dimensions.insert(at, dimension);
            Some(Thing::row(kind, at))
        }
        ThingKind::Match => {
            d.matches.push(Match {
                kind: MatchKind::SameBoard,
                parts: Vec::new(),
            });
            Some(Thing::row(kind, d.matches.len() - 1))
        }
        ThingKind::Species => {
            let name = free_id("my timber", |n| d.species.iter().any(|t| t.name == n));
            d.species.push(Species {
                name,
                ..Species::default()
            });
            Some(Thing::row(kind, d.species.len() - 1))
        }
        ThingKind::Zone => {
            let owner = owner?;
            let (from, to) = (round(d, 300.0, "12\""), round(d, 350.0, "14\""));
            let (near, far) = (round(d, 35.0, "1 1/2\""), round(d, 65.0, "2 1/2\""));
            let board = d.boards.get_mut(owner.at())?;
            let last = board.zones.last();
            board.zones.push(Zone {
                kind: last.map(|z| z.kind).unwrap_or_default(),
                shape: Some(ZoneShape::Span {
                    oval: true,
                    end: BoardEnd::Start,
                    begins: from,
                    ends: to,
                    edge: ZoneFrom::RightEdge,
                    near,
                    far,
                }),
                ..Zone::default()
            });
            Some(Thing::inner(kind, owner.at(), board.zones.len() - 1))
        }
        ThingKind::Station => add_station(d, owner?),
        ThingKind::Corner => add_corner(d, owner?),
        ThingKind::Job | ThingKind::Workshop | ThingKind::Allowances => None,
    }
}

/// The box of a marked area in its board's frame, and where the board's start end is.
fn zone_as_it_lies(document: &Document, row: usize, zone: usize) -> Option<(Bounds, f64)> {
    let alone = Document {
        units: document.units.clone(),
        dimensions: document.dimensions.clone(),
        boards: vec![document.boards.get(row)?.clone()],
        ..Document::new()
    };
    let job = prepare(&alone).job;
    let board = job.boards.first()?;
    let zone = board.zones.iter().find(|z| z.index == zone)?;
    Some((zone.shape.bounds(), board.outline.bounds().min.x))
}

/// Measures a marked area, which has just been given another form, from where it lay.
fn put_where_it_lay(zone: &mut Zone, (lay, start): &(Bounds, f64)) {
    let mm = |value: f64| Length::Mm((value * 100.0).round() / 100.0);
    match &mut zone.shape {
        Some(ZoneShape::Spot {
            along,
            across,
            from,
            length,
            width,
            ..
        }) => {
            let middle = lay.centre();
            (*along, *across) = (mm(middle.x - start), mm(middle.y));
            (*length, *width) = (mm(lay.width()), mm(lay.height()));
            *from = ZoneFrom::ChalkLine;
        }
        Some(ZoneShape::Span {
            end,
            begins,
            ends,
            edge,
            near,
            far,
            ..
        }) => {
            (*end, *edge) = (BoardEnd::Start, ZoneFrom::ChalkLine);
            (*begins, *ends) = (mm(lay.min.x - start), mm(lay.max.x - start));
            (*near, *far) = (mm(lay.min.y), mm(lay.max.y));
        }
        Some(ZoneShape::Polygon { points }) => {
            let corner = |x: f64, y: f64| [mm(x), mm(y)];
            *points = vec![
                corner(lay.min.x, lay.min.y),
                corner(lay.max.x, lay.min.y),
                corner(lay.max.x, lay.max.y),
                corner(lay.min.x, lay.max.y),
            ];
        }
        Some(ZoneShape::Strip { .. }) | None => {}
    }
}

fn tape_length(board: &Board) -> Option<f64> {
    match &board.outline {
        Some(BoardOutline::Tape { length, .. }) => length.plain_mm(),
        _ => None,
    }
}

/// What was measured at the far end still is after the length was put right.
fn keep_widths_at_end(board: &mut Board, before: f64) {
    let Some(now) = tape_length(board).filter(|now| *now != before) else {
        return;
    };
    if let Some(BoardOutline::Tape { stations, .. }) = &mut board.outline {
        for station in stations {
            if station.at.plain_mm() == Some(before) {
                station.at = Length::Mm(now);
            }
        }
    }
}

/// A width at a new place, as wide as its neighbours make the board there: at the far end
/// while nothing was measured there, else in the middle of the longest stretch between two
/// places (that after the width named, where it is a width that gets a neighbour).
fn add_station(d: &mut Document, owner: &Thing) -> Option<Thing> {
    let unit = d.units.length;
    let board = d.boards.get_mut(owner.at())?;
    let Some(BoardOutline::Tape {
        length, stations, ..
    }) = &mut board.outline
    else {
        return None;
    };
    let end = length.plain_mm().filter(|end| *end > 0.0);
    let mut known: Vec<(f64, usize)> = stations
        .iter()
        .enumerate()
        .filter_map(|(row, s)| Some((s.at.plain_mm()?, row)))
        .collect();
    known.arrange_by(|a, b| a.0.total_cmp(&b.0));
    let after = |row: usize| known.iter().position(|(_, r)| *r == row);
    let gap = match owner.kind {
        ThingKind::Station => after(owner.within()).filter(|k| k + 1 < known.len()),
        _ => None,
    };
    let longest = || {
        let gaps = known.windows(2).map(|w| w[1].0 - w[0].0);
        // Of equal ones the first.
        gaps.enumerate()
            .fold(None, |best: Option<(usize, f64)>, (k, wide)| match best {
                Some((_, widest)) if widest >= wide => best,
                _ => Some((k, wide)),
            })
            .map(|(k, _)| k)
    };
    let last = known.last().copied();
    let at_end = end.filter(|end| last.is_none_or(|(at, _)| at < *end) && gap.is_none());
    let (place, row, like) = if let Some(end) = at_end {
        let row = last.map_or(stations.len(), |(_, row)| row + 1);
        (end, row, last.map(|(_, row)| (row, row)))
    } else if let Some(k) = gap.or_else(longest) {
        let ((from, before), (to, after)) = (known[k], known[k + 1]);
        (middle_of(from, to, unit), before + 1, Some((before, after)))
    } else {
        let at = last.map_or(0.0, |(at, _)| at + 100.0);
        (at, stations.len(), last.map(|(_, row)| (row, row)))
    };
    let between = |side: fn(&Station) -> &Length| {
        let (one, other) = like?;
        let (one, other) = (side(stations.get(one)?), side(stations.get(other)?));
        match (one.plain_mm(), other.plain_mm()) {
            (Some(a), Some(b)) if a != b => Some(Length::Mm(middle_of(a, b, unit))),
            _ => Some(one.clone()),
        }
    };
    let new = Station {
        at: Length::Mm(place),
        left: between(|s| &s.left).unwrap_or(Length::Mm(100.0)),
        right: between(|s| &s.right).unwrap_or(Length::Mm(100.0)),
    };
    stations.insert(row, new);
    Some(Thing::inner(ThingKind::Station, owner.at(), row))
}

/// The middle of two lengths, on a whole millimetre or an eighth of an inch if one lies between.
fn middle_of(a: f64, b: f64, unit: Unit) -> f64 {
    let step = match unit {
        Unit::Millimetres => 1.0,
        Unit::Inches => 25.4 / 8.0,
    };
    let middle = (a + b) / 2.0;
    let round = (middle / step).round() * step;
    if (round - a) * (round - b) < 0.0 {
        round
    } else {
        middle
    }
}

type Corners<'a> = (&'a mut Vec<[Length; 2]>, Option<Fellows<'a>>);

/// The list that goes with the corners.
enum Fellows<'a> {
    Sides(&'a mut Vec<heartside_timber::document::EdgeKind>),
    Swells(&'a mut Vec<Length>),
}

fn corners<'a>(d: &'a mut Document, owner: &Thing) -> Option<Corners<'a>> {
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
fn add_corner(d: &mut Document, owner: &Thing) -> Option<Thing> {
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

fn remove_row<T>(list: &mut Vec<T>, row: usize) -> bool {
    let there = row < list.len();
    if there {
        list.remove(row);
    }
    there
}

fn remove_from(d: &mut Document, thing: &Thing) -> bool {
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

fn duplicate_in(d: &mut Document, thing: &Thing) -> Option<Thing> {
    let row = thing.at();
    match thing.kind {
        ThingKind::Board => {
            let mut board = d.boards.get(row)?.clone();
            board.id = free_letter(d);
            d.boards.insert(row + 1, board);
        }
        ThingKind::Part => {
            let mut part = d.parts.get(row)?.clone();
            part.id = free_part_id(d, &part.id);
            d.parts.insert(row + 1, part);
        }
        ThingKind::Tool => {
            let mut tool = d.workshop.tools.get(row)?.clone();
            tool.name = free_id(&tool.name, |n| d.workshop.tools.iter().any(|t| t.name == n));
            d.workshop.tools.insert(row + 1, tool);
        }
        ThingKind::Zone => {
            let zones = &mut d.boards.get_mut(row)?.zones;
            let zone = zones.get(thing.within())?.clone();
            zones.insert(thing.within() + 1, zone);
            return Some(Thing::inner(ThingKind::Zone, row, thing.within() + 1));
        }
        ThingKind::Station | ThingKind::Corner => return add_to(d, thing.kind, Some(thing)),
        _ => return None,
    }
    Some(Thing::row(thing.kind, row + 1))
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

fn move_in(d: &mut Document, thing: &Thing, to: usize) -> Option<Thing> {
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
