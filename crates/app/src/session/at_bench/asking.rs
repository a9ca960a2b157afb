//! Questions at the bench: fields that are filled in before anything is changed, and the answers
//! as one step.

use heartside_timber::document::{BoardCopy, PartCopy};
use heartside_timber::length::write_length;

use crate::protocol::{Ask, AskKind, Choice, Field, FieldKind, Form, LengthRead, Outcome};
use crate::session::Session;
use crate::words::GONE;

/// What was typed into a field; empty where nothing was.
pub(super) fn typed<'a>(ask: &'a Ask, name: &str) -> &'a str {
    let answer = ask.answers.iter().find(|a| a.name == name);
    answer.map_or("", |a| a.text.trim())
}

/// A choice with its text and words.
pub(super) fn choice(value: &str, label: &str) -> Choice {
    Choice {
        value: value.to_owned(),
        label: label.to_owned(),
        picture: None,
    }
}

/// How a field of a question is called.
#[derive(Debug, Clone, Copy)]
pub(super) struct Asked {
    pub(super) name: &'static str,
    pub(super) group: &'static str,
    pub(super) label: &'static str,
    pub(super) hint: &'static str,
}

impl Asked {
    /// The field with what was typed into it.
    pub(super) fn field(self, ask: &Ask, kind: FieldKind) -> Field {
        Field {
            name: self.name.to_owned(),
            group: self.group.to_owned(),
            label: self.label.to_owned(),
            kind,
            text: typed(ask, self.name).to_owned(),
            hint: (!self.hint.is_empty()).then(|| self.hint.to_owned()),
            ..Field::default()
        }
    }

    /// A choice, of which the first counts where none is made.
    pub(super) fn of(self, ask: &Ask, choices: Vec<Choice>) -> Field {
        let mut field = self.field(ask, FieldKind::Choice);
        let known = |text: &str| choices.iter().any(|c| c.value == text);
        if !known(&field.text) {
            field.text = choices.first().map_or(String::new(), |c| c.value.clone());
        }
        field.choices = choices;
        field
    }
}

/// A length that was asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Size {
    /// It may be nothing.
    OrNothing,
    /// It is more than nothing.
    Some,
}

impl Session {
    /// What is asked, with what was answered so far and what is wrong with it. Changes nothing.
    pub fn ask(&self, ask: &Ask) -> Form {
        match ask.kind {
            AskKind::Measure => self.ask_to_measure(ask),
            AskKind::Cut => self.ask_for_a_cut(ask),
            AskKind::Spoil => self.ask_what_is_spoiled(ask),
        }
    }

    /// Hands over what was answered: one step. Where something cannot be read nothing is changed.
    pub fn answer(&mut self, ask: &Ask) -> Outcome {
        self.put_down();
        self.end_set_out();
        match ask.kind {
            AskKind::Measure => self.measure(ask),
            AskKind::Cut => self.cut_line(ask),
            AskKind::Spoil => match self.asked_part(ask) {
                Some(part) => self.spoil(&part.part, part.copy),
                None => Outcome::refused("no part is in hand"),
            },
        }
    }

    /// The board that a question is about.
    pub(super) fn asked_board(&self, ask: &Ask) -> Result<BoardCopy, String> {
        let of = ask.board.as_ref().map(BoardCopy::from);
        let there = of.filter(|of| self.job.board(&of.board).is_some());
        there.ok_or_else(|| GONE.to_owned())
    }

    /// A field for a length; `empty` says what counts while nothing is typed.
    pub(super) fn length_field(
        &self,
        ask: &Ask,
        asked: Asked,
        size: Size,
        empty: Option<f64>,
    ) -> Field {
        let mut field = asked.field(ask, FieldKind::Length);
        field.when_empty = empty.map(|mm| write_length(mm, &self.job.units));
        if !field.text.is_empty() {
            let read = self.read_length(&field.text);
            field.problem = length_problem(&read, size);
            let shown = read.shown.filter(|_| field.problem.is_none());
            field.reads_as = shown.filter(|s| *s != field.text).map(|s| format!("= {s}"));
        }
        field
    }

    /// The length that was typed into a field, if any; the problem with the field's label.
    pub(super) fn length_of(
        &self,
        ask: &Ask,
        asked: Asked,
        size: Size,
    ) -> Result<Option<f64>, String> {
        let text = typed(ask, asked.name);
        if text.is_empty() {
            return Ok(None);
        }
        let read = self.read_length(text);
        match length_problem(&read, size) {
            Some(problem) => Err(format!("{}: {problem}", asked.label)),
            None => Ok(read.mm),
        }
    }

    fn ask_what_is_spoiled(&self, ask: &Ask) -> Form {
        let parts = self.parts_in_hand();
        let choices = parts.iter().map(|part| {
            let value = format!("{}#{}", part.part, part.copy);
            choice(&value, &self.copy_words(part))
        });
        let asked = Asked {
            name: "part",
            group: "",
            label: "Spoiled",
            hint: "It is wanted again. Its wood is a piece, left alone until you say under Timber that it may be used.",
        };
        let mut field = asked.of(ask, choices.collect());
        if let Some(part) = self.asked_part(ask) {
            field.text = format!("{}#{}", part.part, part.copy);
        }
        Form {
            title: "A part was spoiled".to_owned(),
            problems: match parts.is_empty() {
                true => vec!["no part is in hand".to_owned()],
                false => Vec::new(),
            },
            fields: vec![field],
            ..Form::default()
        }
    }

    fn parts_in_hand(&self) -> Vec<PartCopy> {
        let parts = self.job.parts.iter();
        parts
            .flat_map(|part| {
                part.in_hand.iter().map(|copy| PartCopy {
                    part: part.id.clone(),
                    copy: *copy,
                })
            })
            .collect()
    }

    /// The part that a question is about: the one typed, the one named, or the first in hand.
    fn asked_part(&self, ask: &Ask) -> Option<PartCopy> {
        let parts = self.parts_in_hand();
        let is_typed = |p: &&PartCopy| format!("{}#{}", p.part, p.copy) == typed(ask, "part");
        if let Some(part) = parts.iter().find(is_typed) {
            return Some(part.clone());
        }
        match &ask.part {
            Some(named) => Some(PartCopy {
                part: named.id.clone(),
                copy: named.copy,
            }),
            None => parts.into_iter().next(),
        }
    }
}

fn length_problem(read: &LengthRead, size: Size) -> Option<String> {
    if read.problem.is_some() {
        return read.problem.clone();
    }
    let mm = read.mm?;
    match size {
        Size::OrNothing if mm < 0.0 => Some("a size cannot be negative".to_owned()),
        Size::Some if mm <= 0.0 => Some("this must be more than nothing".to_owned()),
        _ => None,
    }
}
