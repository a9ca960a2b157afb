//! How one field is called, read and shown.

use heartside_timber::length::LengthContext;
use serde_json::{Value, json};

use super::asking::{self, Asked};
use super::path;
use super::reading::{LengthKind, NumberKind, Reader, Written, parse_number};
use super::several::{chains, chains_text, copies, copies_text, flag_word, read_flag, words};
use crate::protocol::{Choice, Field, FieldKind, FieldPlace, SmallPicture, ThingKind};

/// The fields and tables of a kind of thing.
#[derive(Debug)]
pub(crate) struct Sheet {
    /// Fields, in the order of the form.
    pub(crate) fields: &'static [Spec],
    /// Tables below them.
    pub(crate) tables: &'static [Rows],
}

/// A table of rows in a form.
#[derive(Debug)]
pub(crate) struct Rows {
    pub(crate) label: &'static str,
    pub(crate) row_label: &'static str,
    /// Path of the list.
    pub(crate) list: &'static str,
    pub(crate) kind: ThingKind,
    pub(crate) add_label: &'static str,
    pub(crate) opens: bool,
    pub(crate) hint: &'static str,
    pub(crate) columns: &'static [Column],
    pub(crate) when: fn(&Value) -> bool,
}

/// A column of a table: a field whose path has `#` for the row.
#[derive(Debug)]
pub(crate) struct Column {
    pub(crate) spec: Spec,
}

impl Column {
    pub(super) fn path(&self, row: usize) -> String {
        self.spec.path.replacen('#', &row.to_string(), 1)
    }
}

/// How one field is called, read and shown.
#[derive(Debug)]
pub(crate) struct Spec {
    /// Where it stands in the thing's JSON.
    pub(crate) path: &'static str,
    pub(crate) group: &'static str,
    pub(crate) place: FieldPlace,
    pub(crate) label: &'static str,
    pub(crate) hint: &'static str,
    pub(crate) kind: Kind,
    /// What holds while it is empty: words, or the name of a setting of the job.
    pub(crate) empty: Empty,
    /// What is told and asked beside it.
    pub(crate) asks: fn(&Value, &Reader<'_>) -> Asked,
    /// Whether the form shows it.
    pub(crate) when: fn(&Value) -> bool,
    /// How it is measured: the wood, and what is laid on it.
    pub(crate) measured: Option<[&'static str; 2]>,
    /// What a choice looks like.
    pub(crate) looks: fn(&str) -> Option<SmallPicture>,
}

/// What holds while a field is empty.
#[derive(Debug)]
pub(crate) enum Empty {
    /// Nothing to say.
    Unsaid,
    /// In words.
    Words(&'static str),
    /// The job's own setting of this name.
    Usual(&'static str),
}

/// How a field is read and shown.
#[derive(Debug)]
pub(crate) enum Kind {
    Length(LengthKind),
    Number(NumberKind),
    Text,
    Note,
    /// A list of words, with commas between.
    Words,
    /// A list of numbers, with commas between.
    Numbers,
    /// One of several: the word of the file and what a person reads. The first is usual.
    Choice(&'static [(&'static str, &'static str)]),
    /// A number of the file among several.
    NumberChoice(&'static [(&'static str, &'static str)]),
    /// Yes or no, and which is usual.
    Flag(bool),
    /// Yes or no: whether a list of words holds this one.
    Member(&'static str),
    /// Chains of points, one a line: `0, 0; 200, 15; 400, 0`, lengths in any unit.
    Chains,
    /// Copies of parts, with commas between.
    Copies,
    /// A choice that makes the thing over.
    Switch {
        choices: &'static [(&'static str, &'static str)],
        now: fn(&Value) -> String,
        make: fn(&mut Value, &str, &Reader<'_>),
    },
}

/// Always shown.
pub(super) fn always(_: &Value) -> bool {
    true
}

fn nothing(_: &Value, _: &Reader<'_>) -> Asked {
    Asked::default()
}

/// A field with its usual settings, to be changed by the builders below.
pub(super) const fn field(
    path: &'static str,
    group: &'static str,
    label: &'static str,
    kind: Kind,
) -> Spec {
    Spec {
        path,
        group,
        place: FieldPlace::Start,
        label,
        hint: "",
        kind,
        empty: Empty::Unsaid,
        asks: nothing,
        when: always,
        measured: None,
        looks: |_| None,
    }
}

pub(super) const fn length(path: &'static str, group: &'static str, label: &'static str) -> Spec {
    field(
        path,
        group,
        label,
        Kind::Length(LengthKind {
            context: LengthContext::Length,
            signed: false,
            needed: false,
        }),
    )
}

pub(super) const fn number(
    path: &'static str,
    group: &'static str,
    label: &'static str,
    least: f64,
    most: f64,
    whole: bool,
) -> Spec {
    field(
        path,
        group,
        label,
        Kind::Number(NumberKind { least, most, whole }),
    )
}

impl Spec {
    pub(super) const fn hint(mut self, hint: &'static str) -> Spec {
        self.hint = hint;
        self
    }

    pub(super) const fn when(mut self, when: fn(&Value) -> bool) -> Spec {
        self.when = when;
        self
    }

    pub(super) const fn measured(mut self, wood: &'static str, laid_on: &'static str) -> Spec {
        self.measured = Some([wood, laid_on]);
        self
    }

    pub(super) const fn looks(mut self, looks: fn(&str) -> Option<SmallPicture>) -> Spec {
        self.looks = looks;
        self
    }

    /// Stands below the tables.
    pub(super) const fn below(mut self) -> Spec {
        self.place = FieldPlace::Below;
        self
    }

    /// Stands under details.
    pub(super) const fn detail(mut self) -> Spec {
        self.place = FieldPlace::Details;
        self
    }

    pub(super) const fn empty(mut self, words: &'static str) -> Spec {
        self.empty = Empty::Words(words);
        self
    }

    pub(super) const fn usual(mut self, setting: &'static str) -> Spec {
        self.empty = Empty::Usual(setting);
        self
    }

    pub(super) const fn asks(mut self, asks: fn(&Value, &Reader<'_>) -> Asked) -> Spec {
        self.asks = asks;
        self
    }

    pub(super) const fn needed(mut self) -> Spec {
        if let Kind::Length(kind) = &mut self.kind {
            kind.needed = true;
        }
        self
    }

    pub(super) const fn context(mut self, context: LengthContext) -> Spec {
        if let Kind::Length(kind) = &mut self.kind {
            kind.context = context;
        }
        self
    }

    pub(super) const fn signed(mut self) -> Spec {
        if let Kind::Length(kind) = &mut self.kind {
            kind.signed = true;
        }
        self
    }

    /// "thickness", for the label of an undo step.
    pub(super) fn name_in_undo(&self) -> String {
        let mut letters = self.label.chars();
        let first: String = letters
            .next()
            .map(|c| c.to_lowercase().collect())
            .unwrap_or_default();
        first + letters.as_str()
    }

    /// The field as it stands in a thing.
    pub(super) fn field(&self, path: &str, thing: &Value, reader: &Reader<'_>) -> Field {
        let stands = path::get(thing, self.json_path(path));
        let choices = |list: &[(&str, &str)]| {
            list.iter()
                .map(|(value, label)| Choice {
                    value: (*value).to_owned(),
                    label: (*label).to_owned(),
                    picture: (self.looks)(value),
                })
                .collect()
        };
        let (kind, choices) = match &self.kind {
            Kind::Length(_) => (FieldKind::Length, Vec::new()),
            Kind::Number(_) => (FieldKind::Number, Vec::new()),
            Kind::Text | Kind::Words | Kind::Numbers | Kind::Copies => {
                (FieldKind::Text, Vec::new())
            }
            Kind::Note | Kind::Chains => (FieldKind::Note, Vec::new()),
            Kind::Choice(list) | Kind::NumberChoice(list) | Kind::Switch { choices: list, .. } => {
                (FieldKind::Choice, choices(list))
            }
            Kind::Flag(_) | Kind::Member(_) => (FieldKind::Flag, Vec::new()),
        };
        let problem = stands.and_then(|value| match &self.kind {
            Kind::Length(kind) => reader.length_problem(value, *kind),
            Kind::Number(kind) => kind.problem_of(value, reader.units.unit),
            Kind::Choice(list) => self.unknown_word(value, list),
            Kind::Words | Kind::Numbers | Kind::Chains => value.as_str().map(|t| self.unread(t)),
            _ => None,
        });
        let asked = (self.asks)(thing, reader);
        let usual = match self.empty {
            Empty::Usual(setting) => reader.usual.get(setting),
            _ => None,
        };
        Field {
            name: path.to_owned(),
            place: self.place,
            group: self.group.to_owned(),
            label: self.label.to_owned(),
            kind,
            text: self.text_of(path, thing, reader),
            when_empty: match self.empty {
                Empty::Unsaid => None,
                Empty::Words(words) => Some(words.to_owned()),
                Empty::Usual(_) => usual.map(|usual| usual.text.clone()),
            },
            standing: asked
                .standing
                .or_else(|| usual.map(|usual| usual.standing.clone())),
            question: asked.question,
            offers: match (&self.kind, stands) {
                (Kind::Length(kind), Some(value)) if asked.offers.is_empty() => {
                    asking::readings(value, *kind, reader)
                }
                _ => asked.offers,
            },
            reads_as: match (&self.kind, stands) {
                // What is wrong is not also understood.
                (Kind::Length(_), Some(value)) if problem.is_none() => reader.reads_as(value),
                _ => None,
            },
            choices,
            hint: (!self.hint.is_empty()).then(|| self.hint.to_owned()),
            picture: self.measured.map(|[wood, laid_on]| SmallPicture {
                wood: wood.to_owned(),
                sign: laid_on.to_owned(),
            }),
            problem,
        }
    }

    /// Where the value stands: for members of a list of words, the list.
    fn json_path<'a>(&self, path: &'a str) -> &'a str {
        match self.kind {
            Kind::Member(_) => path.split(':').next().unwrap_or(path),
            _ => path,
        }
    }

    fn unknown_word(&self, value: &Value, list: &[(&str, &str)]) -> Option<String> {
        let word = value.as_str()?;
        (!list.iter().any(|(known, _)| *known == word))
            .then(|| format!("\u{201c}{word}\u{201d} is not one of the choices"))
    }

    fn unread(&self, text: &str) -> String {
        match self.kind {
            Kind::Numbers => {
                format!("\u{201c}{text}\u{201d} is not a list of numbers; write it like 0, 90, 180")
            }
            Kind::Chains => {
                "write one chain of points a line, like 0, 0; 200, 15; 400, 0 (along, across)"
                    .to_owned()
            }
            _ => format!("\u{201c}{text}\u{201d} cannot be read here"),
        }
    }

    /// The text in the field.
    pub(super) fn text_of(&self, path: &str, thing: &Value, reader: &Reader<'_>) -> String {
        let stands = path::get(thing, self.json_path(path));
        let plain = |value: &Value| match value {
            Value::String(text) => text.clone(),
            Value::Number(number) => number
                .as_f64()
                .map(|n| heartside_timber::length::write_decimal(n, 6))
                .unwrap_or_default(),
            Value::Bool(yes) => flag_word(*yes).to_owned(),
            _ => String::new(),
        };
        match &self.kind {
            Kind::Length(_) => stands.map(|v| reader.length_text(v)).unwrap_or_default(),
            Kind::Number(_) | Kind::NumberChoice(_) | Kind::Text | Kind::Note => {
                stands.map(plain).unwrap_or_default()
            }
            Kind::Words | Kind::Numbers => {
                stands.map_or_else(String::new, |value| match value.as_array() {
                    Some(list) => list.iter().map(plain).collect::<Vec<_>>().join(", "),
                    None => plain(value),
                })
            }
            Kind::Choice(list) => stands
                .map(plain)
                .filter(|t| !t.is_empty())
                .unwrap_or_else(|| list.first().map_or("", |(v, _)| v).to_owned()),
            Kind::Flag(usual) => {
                flag_word(stands.and_then(Value::as_bool).unwrap_or(*usual)).to_owned()
            }
            Kind::Member(word) => {
                let there = stands
                    .and_then(Value::as_array)
                    .is_some_and(|l| l.iter().any(|v| v.as_str() == Some(word)));
                flag_word(there).to_owned()
            }
            Kind::Chains => stands.map(|v| chains_text(v, reader)).unwrap_or_default(),
            Kind::Copies => stands.map(|v| copies_text(v, reader)).unwrap_or_default(),
            Kind::Switch { now, .. } => now(thing),
        }
    }

    /// Puts a text into a thing. The answer says what is wrong with a text that is kept.
    ///
    /// # Errors
    /// What cannot be kept: a choice that is not there, a list of copies that cannot be read.
    pub(super) fn put(
        &self,
        path: &str,
        thing: &mut Value,
        text: &str,
        reader: &Reader<'_>,
    ) -> Result<Option<String>, String> {
        let json_path = self.json_path(path).to_owned();
        let written = match &self.kind {
            Kind::Length(kind) => {
                if kind.context == LengthContext::MeasuredThickness {
                    asking::keep_nominal(thing, text, reader);
                }
                reader.length(text, *kind, path::get(thing, &json_path))
            }
            Kind::Number(kind) => kind.read(text, reader.units.unit),
            Kind::Text => Written {
                value: (!text.trim().is_empty()).then(|| json!(text.trim())),
                problem: None,
            },
            Kind::Note => Written {
                value: (!text.trim().is_empty()).then(|| json!(text)),
                problem: None,
            },
            Kind::Words => words(text),
            Kind::Numbers => self.numbers(text),
            Kind::Choice(list) => {
                if !list.iter().any(|(value, _)| *value == text) {
                    return Err(format!("\u{201c}{text}\u{201d} is not one of the choices"));
                }
                Written::good(json!(text))
            }
            Kind::NumberChoice(list) => {
                if !list.iter().any(|(value, _)| *value == text) {
                    return Err(format!("\u{201c}{text}\u{201d} is not one of the choices"));
                }
                match text.parse::<i64>() {
                    Ok(number) => Written::good(json!(number)),
                    Err(_) => Written::nothing(),
                }
            }
            Kind::Flag(_) => Written::good(json!(read_flag(text)?)),
            Kind::Member(word) => {
                let on = read_flag(text)?;
                let mut list = path::get(thing, &json_path)
                    .and_then(Value::as_array)
                    .cloned()
                    .unwrap_or_default();
                list.retain(|v| v.as_str() != Some(word));
                if on {
                    list.push(json!(word));
                }
                Written::good(Value::Array(list))
            }
            Kind::Chains => chains(text, reader),
            Kind::Copies => Written::good(copies(text, reader)?),
            Kind::Switch { choices, make, .. } => {
                if !choices.iter().any(|(value, _)| *value == text) {
                    return Err(format!("\u{201c}{text}\u{201d} is not one of the choices"));
                }
                make(thing, text, reader);
                return Ok(None);
            }
        };
        let problem = written.problem;
        match written.value {
            Some(value) => {
                if !path::put(thing, &json_path, value) {
                    return Err("this field is not there now".to_owned());
                }
            }
            // A row of a list cannot be missing: nothing written means nothing there.
            None if json_path.ends_with(']') => {
                path::put(thing, &json_path, json!(0.0));
            }
            None => path::take_away(thing, &json_path),
        }
        Ok(problem)
    }

    fn numbers(&self, text: &str) -> Written {
        if text.trim().is_empty() {
            return Written::nothing();
        }
        let read: Option<Vec<Value>> = text
            .split([',', ';'])
            .map(|piece| parse_number(piece.trim()).map(|n| json!(n)))
            .collect();
        match read {
            Some(list) => Written::good(Value::Array(list)),
            None => Written {
                value: Some(json!(text)),
                problem: Some(self.unread(text)),
            },
        }
    }
}

impl Sheet {
    /// The field that a path names.
    pub(super) fn find(&self, path: &str) -> Option<&Spec> {
        self.fields.iter().find(|s| s.path == path).or_else(|| {
            self.tables
                .iter()
                .flat_map(|t| t.columns)
                .map(|c| &c.spec)
                .find(|s| fits(s.path, path))
        })
    }
}

/// Whether a path is one of a column: the column's with a number for `#`.
fn fits(column: &str, path: &str) -> bool {
    let Some((before, after)) = column.split_once('#') else {
        return column == path;
    };
    path.strip_prefix(before)
        .and_then(|rest| rest.strip_suffix(after))
        .is_some_and(|number| !number.is_empty() && number.chars().all(|c| c.is_ascii_digit()))
}
