//! Reads lengths and numbers as typed into a field, and shows them again.

use heartside_geometry::SortedMap;

use heartside_timber::expression::{Expression, ExpressionError, ExpressionFault};
use heartside_timber::length::{
    DisplayUnits, LengthContext, LengthError, Unit, read_length, read_signed_length, write_decimal,
    write_length,
};
use serde_json::{Value, json};

/// What is needed to read and show the fields of a job.
#[derive(Debug)]
pub(crate) struct Reader<'a> {
    /// The unit of a bare number, and how lengths are shown.
    pub(crate) units: DisplayUnits,
    /// Values of the named dimensions.
    pub(crate) values: &'a SortedMap<String, f64>,
    /// What holds where a field of the job's settings is empty, by path.
    pub(crate) usual: &'a SortedMap<&'static str, UsualText>,
    /// Ids and names of the parts, for lists of copies.
    pub(crate) parts: &'a [(String, String)],
}

/// What holds where a field is empty.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct UsualText {
    /// The value as shown.
    pub(crate) text: String,
    /// A sentence that says where it comes from.
    pub(crate) standing: String,
}

/// A value to be put into a field, and what is wrong with it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Written {
    /// Nothing: the field is taken away.
    pub(super) value: Option<Value>,
    /// It is kept all the same.
    pub(super) problem: Option<String>,
}

impl Written {
    pub(super) fn good(value: Value) -> Written {
        Written {
            value: Some(value),
            problem: None,
        }
    }

    pub(super) fn nothing() -> Written {
        Written {
            value: None,
            problem: None,
        }
    }

    fn bad(value: Value, problem: String) -> Written {
        Written {
            value: Some(value),
            problem: Some(problem),
        }
    }
}

/// What is asked of a length.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct LengthKind {
    /// What it is for: only a nominal thickness may be written in sawn quarters.
    pub(crate) context: LengthContext,
    /// It may lie on either side of nothing.
    pub(crate) signed: bool,
    /// It must be there.
    pub(crate) needed: bool,
}

impl LengthKind {
    /// Any length that is there, on either side of nothing.
    const fn either_side() -> LengthKind {
        LengthKind {
            context: LengthContext::NominalThickness,
            signed: true,
            needed: true,
        }
    }
}

impl Reader<'_> {
    /// Reads a length.
    ///
    /// A number with its unit is kept as written. A bare number means another length in
    /// another unit, so it is kept as millimetres, or with its inch sign: the job's unit
    /// may be changed later without changing any board.
    pub(super) fn length(&self, text: &str, kind: LengthKind, before: Option<&Value>) -> Written {
        let text = text.trim();
        if text.is_empty() {
            return if kind.needed {
                Written::bad(json!({ "typed": "" }), "a length is needed here".to_owned())
            } else {
                Written::nothing()
            };
        }
        match self.read_signed(text, self.units.unit, kind) {
            Ok(mm) => Written::good(self.kept(text, mm, kind)),
            // Worked out as a sum, what is doubtful would become sure: 8/4 would be 2.
            Err(
                error @ (LengthError::TwoReadings { .. }
                | LengthError::Nominal { .. }
                | LengthError::QuartersElsewhere { .. }),
            ) => Written::bad(bad_length(text, before, self), sentence(&error)),
            Err(error) if self.looks_like_expression(text) => self.expression(text, before, &error),
            Err(error) => Written::bad(bad_length(text, before, self), sentence(&error)),
        }
    }

    fn kept(&self, text: &str, mm: f64, kind: LengthKind) -> Value {
        let other = match self.units.unit {
            Unit::Millimetres => Unit::Inches,
            Unit::Inches => Unit::Millimetres,
        };
        if self.read_signed(text, other, kind) == Ok(mm) {
            return json!({ "mm": mm, "typed": text });
        }
        if self.units.unit == Unit::Inches {
            let with_sign = format!("{text}\"");
            if self.read_signed(&with_sign, other, kind) == Ok(mm) {
                return json!({ "mm": mm, "typed": with_sign });
            }
        }
        json!(mm)
    }

    pub(super) fn read_signed(
        &self,
        text: &str,
        unit: Unit,
        kind: LengthKind,
    ) -> Result<f64, LengthError> {
        match kind.signed {
            true => read_signed_length(text, unit, kind.context),
            false => read_length(text, unit, kind.context),
        }
    }

    fn looks_like_expression(&self, text: &str) -> bool {
        let text = text.trim_start_matches('=');
        match Expression::read(text, self.units.unit) {
            Ok(read) => {
                let names = read.names();
                // A slip in a unit ("12 mn") is read as a name too; a sum of plain numbers has none.
                names.is_empty() || names.iter().any(|n| self.values.contains_key(*n))
            }
            Err(error) => is_doubtful(&error),
        }
    }

    fn expression(&self, text: &str, before: Option<&Value>, error: &LengthError) -> Written {
        let text = text.trim_start_matches('=').trim();
        match Expression::read(text, self.units.unit) {
            Ok(read) => {
                let worked = read.value(&|name| self.values.get(name).copied());
                Written {
                    value: Some(json!({ "expr": text })),
                    problem: worked.err().map(|e| format!("{e}; {}", e.fault.hint())),
                }
            }
            Err(doubt) if is_doubtful(&doubt) => Written {
                value: Some(json!({ "expr": text })),
                problem: Some(format!("{doubt}; {}", doubt.fault.hint())),
            },
            Err(_) => Written::bad(bad_length(text, before, self), sentence(error)),
        }
    }

    /// A length of the file in millimetres, if it can be read.
    pub(super) fn millimetres(&self, value: &Value) -> Option<f64> {
        if let Some(mm) = value.as_f64() {
            return Some(mm);
        }
        let kind = LengthKind::either_side();
        if let Some(typed) = value.get("typed").and_then(Value::as_str) {
            return self.read_signed(typed, self.units.unit, kind).ok();
        }
        let text = value.get("expr").and_then(Value::as_str)?;
        let read = Expression::read(text, self.units.unit).ok()?;
        read.value(&|name| self.values.get(name).copied()).ok()
    }

    /// A length of the file as it stands in its field.
    pub(super) fn length_text(&self, value: &Value) -> String {
        if let Some(mm) = value.as_f64() {
            return self.shown(mm);
        }
        let word = |key: &str| value.get(key).and_then(Value::as_str).map(str::to_owned);
        word("typed").or_else(|| word("expr")).unwrap_or_default()
    }

    /// Millimetres as a field shows them: in inches to the fraction that the job shows, beside
    /// which [`Reader::reads_as`] tells the rest.
    pub(super) fn shown(&self, mm: f64) -> String {
        match self.units.unit {
            Unit::Millimetres => self.readable_millimetres(mm),
            Unit::Inches => self.fraction(mm),
        }
    }

    /// Millimetres as a text that gives the same length when it is read again, for texts of
    /// many lengths of which one may be changed.
    pub(super) fn unrounded(&self, mm: f64) -> String {
        match self.units.unit {
            Unit::Inches if self.is_fraction(mm) => self.fraction(mm),
            Unit::Inches => format!("{} mm", write_decimal(mm, 3)),
            Unit::Millimetres => self.readable_millimetres(mm),
        }
    }

    /// Bare millimetres, but with their unit where a bare number would be asked about.
    fn readable_millimetres(&self, mm: f64) -> String {
        let bare = write_decimal(mm, 3);
        let readable = self
            .read_signed(&bare, Unit::Millimetres, LengthKind::either_side())
            .is_ok();
        if readable { bare } else { format!("{bare} mm") }
    }

    fn fraction(&self, mm: f64) -> String {
        let units = DisplayUnits {
            feet: false,
            ..self.units
        };
        write_length(mm, &units)
    }

    fn is_fraction(&self, mm: f64) -> bool {
        self.read_signed(&self.fraction(mm), Unit::Inches, LengthKind::either_side())
            .is_ok_and(|read| (read - mm).abs() < 5e-4)
    }

    /// What a length is understood as, where its text does not say so.
    pub(super) fn reads_as(&self, value: &Value) -> Option<String> {
        if let Some(mm) = value.as_f64() {
            let rounded = self.units.unit == Unit::Inches && !self.is_fraction(mm);
            return rounded.then(|| format!("exactly {} mm", write_decimal(mm, 3)));
        }
        let mm = self.millimetres(value)?;
        let shown = write_length(mm, &self.units);
        let plain = |text: &str| {
            text.chars()
                .filter(|c| !c.is_whitespace())
                .collect::<String>()
        };
        (plain(&shown) != plain(&self.length_text(value))).then(|| format!("= {shown}"))
    }

    /// What is wrong with a length of the file.
    pub(super) fn length_problem(&self, value: &Value, kind: LengthKind) -> Option<String> {
        if let Some(typed) = value.get("typed").and_then(Value::as_str) {
            if typed.is_empty() {
                return kind.needed.then(|| "a length is needed here".to_owned());
            }
            return self
                .read_signed(typed, self.units.unit, kind)
                .err()
                .map(|e| sentence(&e));
        }
        if let Some(text) = value.get("expr").and_then(Value::as_str) {
            return Expression::read(text, self.units.unit)
                .and_then(|e| e.value(&|name| self.values.get(name).copied()))
                .err()
                .map(|e| format!("{e}; {}", e.fault.hint()));
        }
        None
    }
}

/// Whether an expression is refused only for a number that can be read in two ways.
fn is_doubtful(error: &ExpressionError) -> bool {
    matches!(
        error.fault,
        ExpressionFault::Number(LengthError::TwoReadings { .. })
    )
}

fn sentence(error: &LengthError) -> String {
    format!("{error}; {}", error.hint())
}

/// The text with the last value that could be read.
fn bad_length(text: &str, before: Option<&Value>, reader: &Reader<'_>) -> Value {
    match before.and_then(|v| {
        reader
            .millimetres(v)
            .or_else(|| v.get("mm").and_then(Value::as_f64))
    }) {
        Some(mm) => json!({ "mm": mm, "typed": text }),
        None => json!({ "typed": text }),
    }
}

/// Limits of a number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct NumberKind {
    /// Smallest.
    pub(crate) least: f64,
    /// Largest.
    pub(crate) most: f64,
    /// Whole numbers only.
    pub(crate) whole: bool,
}

impl NumberKind {
    /// What is wrong with a number.
    fn problem(&self, number: f64) -> Option<String> {
        let range = if self.most.is_finite() {
            format!(
                "from {} to {}",
                write_decimal(self.least, 3),
                write_decimal(self.most, 3)
            )
        } else {
            format!("{} or more", write_decimal(self.least, 3))
        };
        if !(self.least..=self.most).contains(&number) {
            return Some(format!("this must be {range}"));
        }
        (self.whole && number.fract() != 0.0)
            .then(|| format!("this must be a whole number, {range}"))
    }

    /// Reads a number; a text that is none, or may be two, is kept as text. In jobs in `unit`
    /// a sign that may part thousands is asked about as in a length.
    pub(super) fn read(&self, text: &str, unit: Unit) -> Written {
        let text = text.trim();
        if text.is_empty() {
            return Written::nothing();
        }
        if let Some(doubt) = two_numbers(text, unit) {
            return Written::bad(json!(text), doubt);
        }
        match parse_number(text) {
            Some(number) => {
                let value = if number.fract() == 0.0 && number.abs() < 1e15 {
                    json!(number as i64)
                } else {
                    json!(number)
                };
                Written {
                    value: Some(value),
                    problem: self.problem(number),
                }
            }
            None => Written::bad(json!(text), not_a_number(text)),
        }
    }

    /// What is wrong with what stands in a file.
    pub(super) fn problem_of(&self, value: &Value, unit: Unit) -> Option<String> {
        match value {
            Value::String(text) => two_numbers(text, unit).or_else(|| Some(not_a_number(text))),
            other => other.as_f64().and_then(|n| self.problem(n)),
        }
    }
}

/// What is asked about a number that can be read in two ways.
fn two_numbers(text: &str, unit: Unit) -> Option<String> {
    let unsigned = text.trim().trim_start_matches(['-', '+']);
    match read_length(unsigned, unit, LengthContext::Length) {
        Err(LengthError::TwoReadings {
            decimal, thousands, ..
        }) => {
            // Three decimals would be asked about again.
            let three = decimal.split_once('.').is_some_and(|(_, d)| d.len() == 3);
            let nought = if three { "0" } else { "" };
            Some(format!(
                "\u{201c}{text}\u{201d} can be read as {decimal} or as {thousands}; write {decimal}{nought} or {thousands}, whichever you mean"
            ))
        }
        _ => None,
    }
}

fn not_a_number(text: &str) -> String {
    format!("\u{201c}{text}\u{201d} is not a number; write it in figures")
}

/// A plain number; a comma is a decimal sign where it can be nothing else.
pub(super) fn parse_number(text: &str) -> Option<f64> {
    let compact: String = text
        .chars()
        .filter(|c| !c.is_whitespace() && *c != '\u{b0}' && *c != '%')
        .collect();
    let dotted = if compact.matches(',').count() == 1 && !compact.contains('.') {
        compact.replace(',', ".")
    } else {
        compact
    };
    // "inf" and "nan" are words that the parser knows and a workshop does not.
    let figures = dotted
        .chars()
        .all(|c| c.is_ascii_digit() || matches!(c, '.' | '-' | '+'));
    dotted
        .parse()
        .ok()
        .filter(|n: &f64| figures && n.is_finite())
}

impl Reader<'_> {
    /// A length read for the page, whatever it is for.
    pub(crate) fn read_out(&self, text: &str) -> crate::protocol::LengthRead {
        let kind = LengthKind::either_side();
        let written = self.length(text, kind, None);
        let mm = written
            .value
            .as_ref()
            .filter(|_| written.problem.is_none())
            .and_then(|v| self.millimetres(v));
        crate::protocol::LengthRead {
            mm,
            shown: mm.map(|mm| write_length(mm, &self.units)),
            problem: written.problem,
        }
    }
}
