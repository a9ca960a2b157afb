//! What a field asks back, with the answers to choose from.

use heartside_timber::length::{LengthContext, LengthError, Unit, write_length};
use heartside_timber::measure::UsualThickness;
use heartside_timber::shared_names::{counts_as, woods_called};
use heartside_timber::species::Wood;
use heartside_timber::words::{capital, either};
use serde_json::{Value, json};

use super::path;
use super::reading::{LengthKind, Reader};
use crate::protocol::Choice;

/// What is told and asked beside a field.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Asked {
    /// Where a value comes from.
    pub(crate) standing: Option<String>,
    /// A question that the field leaves open.
    pub(crate) question: Option<String>,
    /// Answers to it, or to a problem: texts to be put into the field.
    pub(crate) offers: Vec<Choice>,
}

/// Where sawn quarters stand for a thickness: the usual sizes of such a board.
pub(super) fn thickness(thing: &Value, reader: &Reader<'_>) -> Asked {
    let typed = path::get(thing, "thickness")
        .and_then(|v| v.get("typed"))
        .and_then(Value::as_str)
        .unwrap_or_default();
    let Some(mm) = nominal(typed, reader) else {
        return Asked::default();
    };
    let usual = UsualThickness::of_nominal(mm);
    let offer = |mm: f64, words: &str| Choice {
        value: reader.unrounded(mm),
        label: format!("{} {words}", write_length(mm, &reader.units)),
        picture: None,
    };
    // A part is finished planed.
    let for_board = path::get(thing, "outline").is_some();
    let rough = for_board.then(|| offer(usual.rough, "from the saw"));
    let planed = usual.planed.map(|mm| offer(mm, "planed"));
    Asked {
        standing: Some(
            "Planed: published table of hardwood sizes. From the saw: 1/16\" under nominal, \
             published by Wengert for 4/4 and 5/4, else common practice"
                .to_owned(),
        ),
        offers: rough.into_iter().chain(planed).collect(),
        ..Asked::default()
    }
}

/// Keeps sawn quarters that were typed for a measured thickness as what the board was sold as.
pub(super) fn keep_nominal(board: &mut Value, text: &str, reader: &Reader<'_>) {
    if nominal(text, reader).is_some() {
        path::put(board, "nominal", json!({ "typed": text.trim() }));
    }
}

fn nominal(text: &str, reader: &Reader<'_>) -> Option<f64> {
    let kind = LengthKind {
        context: LengthContext::MeasuredThickness,
        ..LengthKind::default()
    };
    match reader.read_signed(text, reader.units.unit, kind) {
        Err(LengthError::Nominal { mm, .. }) => Some(mm),
        _ => None,
    }
}

/// Both readings of a length that may be thousands, where it stands without a unit.
pub(super) fn readings(value: &Value, kind: LengthKind, reader: &Reader<'_>) -> Vec<Choice> {
    let typed = value.get("typed").and_then(Value::as_str).unwrap_or("");
    match reader.read_signed(typed, reader.units.unit, kind) {
        Err(LengthError::TwoReadings {
            text,
            decimal,
            thousands,
        }) if text == typed.trim() => [decimal, thousands]
            .into_iter()
            .map(|number| match reader.units.unit {
                Unit::Millimetres => format!("{number} mm"),
                Unit::Inches => format!("{number}\""),
            })
            .map(|text| Choice {
                value: text.clone(),
                label: text,
                picture: None,
            })
            .collect(),
        _ => Vec::new(),
    }
}

/// Which of the woods that go by one name is meant, and where its weight comes from.
pub(super) fn species(board: &Value, _reader: &Reader<'_>) -> Asked {
    let name = path::get(board, "species")
        .and_then(Value::as_str)
        .unwrap_or_default();
    let woods = woods_called(name);
    let weight = counts_as(name).and_then(weight);
    if woods.is_empty() {
        return Asked {
            standing: weight,
            ..Asked::default()
        };
    }
    Asked {
        question: Some(format!(
            "Which? {name} may be {}. Until you say, the heaviest counts.",
            either(woods)
        )),
        offers: woods
            .iter()
            .map(|wood| Choice {
                value: capital(wood),
                label: (*wood).to_owned(),
                picture: None,
            })
            .collect(),
        standing: weight,
    }
}

/// Where the weight of a species comes from while the job sets none.
pub(super) fn density(species: &Value, _reader: &Reader<'_>) -> Asked {
    let name = path::get(species, "name")
        .and_then(Value::as_str)
        .unwrap_or_default();
    Asked {
        standing: counts_as(name).and_then(weight),
        ..Asked::default()
    }
}

fn weight(wood: &Wood) -> Option<String> {
    let density = wood.density?;
    Some(format!(
        "{} weighs {} kg a cubic metre at 12 % moisture: {}",
        capital(wood.name),
        heartside_timber::length::write_decimal(density, 0),
        wood.source_words()
    ))
}
