//! Reads one length as a person typed it.

use super::digits::{all_digits, is_first_group, is_group};
use super::number::{Measure, UnitWord, decimal_text, doubtful_point, plain_characters};
use super::{LengthError, Unit};
use crate::words::shortened;

/// The longest length taken, in millimetres: no board or part is 100 metres long, so
/// more is a slip of the unit.
pub const MAX_LENGTH_MM: f64 = 100_000.0;

/// What the length is for; only a nominal thickness may be given in sawn quarters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum LengthContext {
    /// Any length but a thickness.
    #[default]
    Length,
    /// The thickness of a finished part. `8/4` is refused: no part is finished at it.
    FinishedThickness,
    /// The thickness measured on a board. `8/4` is refused: it is what the board was sold as.
    MeasuredThickness,
    /// The thickness that a board is sold as: `8/4` is two inches.
    NominalThickness,
}

/// Reads a length to millimetres.
///
/// Taken are `1400`, `1 400`, `1.4 m`, `1,4 m`, `140 cm`, `1400mm`; `55"`, `16.25 in`,
/// `16 1/4`, `16-1/4"`, `3/4`, `16¼`; `5'`, `5' 3 1/2"`, `5ft 3in`, `5'3.5"`; typographic
/// primes and quotes as well as straight ones.
///
/// # Units and conventions
/// A number without a unit is in `default_unit`. **A fraction without a unit is in inches
/// in every job**, since nobody writes fractions of a millimetre. A bare fraction of one
/// or more is a sawn thickness (`8/4` is two inches) and is taken only where `context` is
/// [`LengthContext::NominalThickness`]. A point and a comma are decimal signs, except that
/// `1,400` is refused because it may mean 1400, and so is `1.400` where it would be
/// millimetres and no unit is written.
///
/// # Errors
/// One [`LengthError`] with a hint; the value returned is finite and from 0 to
/// [`MAX_LENGTH_MM`].
///
/// # Examples
/// ```
/// use heartside_timber::length::{read_length, LengthContext, Unit};
///
/// let read = |text| read_length(text, Unit::Millimetres, LengthContext::Length);
/// assert_eq!(read("1,4 m"), Ok(1400.0));
/// assert_eq!(read("16 1/4"), Ok(412.75));
/// assert!(read("1,400").is_err());
/// assert!(read("1.400").is_err());
/// assert_eq!(read("1.400 m"), Ok(1400.0));
/// ```
pub fn read_length(
    text: &str,
    default_unit: Unit,
    context: LengthContext,
) -> Result<f64, LengthError> {
    let plain = plain_characters(text);
    let tokens = tokens(&plain, text)?;
    if tokens.is_empty() {
        return Err(LengthError::Empty);
    }
    if tokens[0] == Token::Hyphen {
        return Err(LengthError::Negative);
    }
    let mut reader = Reader {
        tokens: &tokens,
        at: 0,
        text,
    };
    let mm = reader.length(default_unit, context)?;
    if reader.at < tokens.len() {
        return Err(reader.not_a_length());
    }
    if !mm.is_finite() || mm > MAX_LENGTH_MM {
        return Err(LengthError::TooLong { mm });
    }
    Ok(mm)
}

/// The same for a length that may lie on either side of nothing: with a minus sign before it.
///
/// # Errors
/// As [`read_length`], but for [`LengthError::Negative`].
pub fn read_signed_length(
    text: &str,
    default_unit: Unit,
    context: LengthContext,
) -> Result<f64, LengthError> {
    match read_length(text, default_unit, context) {
        Err(LengthError::Negative) => {
            let unsigned: String = text.trim_start().chars().skip(1).collect();
            read_length(&unsigned, default_unit, context).map(|mm| -mm)
        }
        other => other,
    }
}

#[derive(Debug, Clone, PartialEq)]
enum Token {
    Number(String),
    Slash,
    Hyphen,
    Unit(UnitWord),
}

fn tokens(plain: &str, typed: &str) -> Result<Vec<Token>, LengthError> {
    let wrong = || LengthError::NotALength {
        text: shortened(typed),
    };
    let mut tokens = Vec::new();
    let mut rest = plain.trim_start();
    while let Some(first) = rest.chars().next() {
        let length = match first {
            '0'..='9' | '.' | ',' => {
                let length = run(rest, |c| c.is_ascii_digit() || c == '.' || c == ',');
                let digits = &rest[..length];
                if !digits.bytes().any(|b| b.is_ascii_digit()) {
                    return Err(wrong());
                }
                tokens.push(Token::Number(digits.to_owned()));
                length
            }
            '/' => {
                tokens.push(Token::Slash);
                1
            }
            '-' => {
                tokens.push(Token::Hyphen);
                1
            }
            '"' => {
                tokens.push(Token::Unit(UnitWord::Inch));
                1
            }
            '\'' if rest.starts_with("''") => {
                tokens.push(Token::Unit(UnitWord::Inch));
                2
            }
            '\'' => {
                tokens.push(Token::Unit(UnitWord::Foot));
                1
            }
            c if c.is_alphabetic() => {
                let length = run(rest, char::is_alphabetic);
                let word = &rest[..length];
                let unit = UnitWord::of(word);
                if tokens.is_empty() {
                    return Err(wrong());
                }
                tokens.push(Token::Unit(unit.ok_or_else(|| {
                    LengthError::UnknownUnit {
                        word: shortened(word),
                    }
                })?));
                // "in." and "ft." are written with a full stop.
                if rest[length..].starts_with('.') {
                    length + 1
                } else {
                    length
                }
            }
            _ => return Err(wrong()),
        };
        rest = rest[length..].trim_start();
    }
    Ok(tokens)
}

fn run(text: &str, belongs: impl Fn(char) -> bool) -> usize {
    text.find(|c| !belongs(c)).unwrap_or(text.len())
}

struct Reader<'a> {
    tokens: &'a [Token],
    at: usize,
    text: &'a str,
}

impl Reader<'_> {
    fn length(&mut self, default_unit: Unit, context: LengthContext) -> Result<f64, LengthError> {
        let measure = self.measure()?;
        match self.unit() {
            Some(UnitWord::Foot) => self.after_feet(measure.millimetres(UnitWord::Foot)),
            Some(unit) => Ok(measure.millimetres(unit)),
            None => self.without_unit(&measure, default_unit, context),
        }
    }

    fn without_unit(
        &self,
        measure: &Measure,
        default_unit: Unit,
        context: LengthContext,
    ) -> Result<f64, LengthError> {
        match (measure, default_unit) {
            (
                Measure::Fraction {
                    whole,
                    numerator,
                    denominator,
                },
                _,
            ) => {
                let mm = measure.millimetres(UnitWord::Inch);
                if *whole == 0.0 && numerator >= denominator {
                    let text = format!("{numerator}/{denominator}");
                    return top_heavy(text, mm, *denominator == 4.0, context);
                }
                Ok(mm)
            }
            (_, Unit::Inches) => Ok(measure.millimetres(UnitWord::Inch)),
            (Measure::Decimal(digits), Unit::Millimetres) => match doubtful_point(digits) {
                Some(doubt) => Err(doubt),
                None => Ok(measure.millimetres(UnitWord::Millimetre)),
            },
        }
    }

    fn after_feet(&mut self, feet_mm: f64) -> Result<f64, LengthError> {
        if self.tokens.get(self.at) == Some(&Token::Hyphen) {
            self.at += 1;
        }
        if self.at == self.tokens.len() {
            return Ok(feet_mm);
        }
        let inches = self.measure()?;
        match self.unit() {
            None | Some(UnitWord::Inch) => {}
            Some(_) => return Err(self.not_a_length()),
        }
        if inches.number() >= 12.0 {
            return Err(LengthError::TooManyInches);
        }
        Ok(feet_mm + inches.millimetres(UnitWord::Inch))
    }

    /// A decimal, a fraction, or a whole number and a fraction.
    fn measure(&mut self) -> Result<Measure, LengthError> {
        let first = self.digits()?;
        if self.tokens.get(self.at) == Some(&Token::Slash) {
            self.at += 1;
            let denominator = self.digits()?;
            return self.fraction(None, &first, &denominator);
        }
        let whole = self.further_groups(first);
        let start = self.at + usize::from(self.tokens.get(self.at) == Some(&Token::Hyphen));
        if let Some(
            [
                Token::Number(numerator),
                Token::Slash,
                Token::Number(denominator),
            ],
        ) = self.tokens.get(start..start + 3)
        {
            self.at = start + 3;
            return self.fraction(Some(&whole), numerator, denominator);
        }
        Ok(Measure::Decimal(decimal_text(&whole)?))
    }

    /// Joins `1 400` into 1400: groups of exactly three digits that are not the upper
    /// part of a fraction.
    fn further_groups(&mut self, first: String) -> String {
        let mut whole = first;
        if !is_first_group(&whole) {
            return whole;
        }
        while let Some(Token::Number(group)) = self.tokens.get(self.at) {
            let before_slash = self.tokens.get(self.at + 1) == Some(&Token::Slash);
            let (digits, ends) = match group.find(['.', ',']) {
                Some(sign) => (&group[..sign], true),
                None => (group.as_str(), false),
            };
            if !is_group(digits) || before_slash {
                break;
            }
            whole.push_str(group);
            self.at += 1;
            if ends {
                break;
            }
        }
        whole
    }

    fn fraction(
        &self,
        whole: Option<&str>,
        numerator: &str,
        denominator: &str,
    ) -> Result<Measure, LengthError> {
        let digits = |text: &str| -> Result<f64, LengthError> {
            if !all_digits(text) {
                return Err(self.not_a_length());
            }
            text.parse().map_err(|_| self.not_a_length())
        };
        let denominator = digits(denominator)?;
        let numerator = digits(numerator)?;
        if denominator == 0.0 {
            return Err(LengthError::OverNought);
        }
        if whole.is_some() && numerator >= denominator {
            return Err(LengthError::FractionNotBelowOne);
        }
        let whole = whole.map_or(Ok(0.0), digits)?;
        Ok(Measure::Fraction {
            whole,
            numerator,
            denominator,
        })
    }

    fn digits(&mut self) -> Result<String, LengthError> {
        match self.tokens.get(self.at) {
            Some(Token::Number(digits)) => {
                self.at += 1;
                Ok(digits.clone())
            }
            _ => Err(self.not_a_length()),
        }
    }

    fn unit(&mut self) -> Option<UnitWord> {
        match self.tokens.get(self.at) {
            Some(Token::Unit(unit)) => {
                self.at += 1;
                Some(*unit)
            }
            _ => None,
        }
    }

    fn not_a_length(&self) -> LengthError {
        LengthError::NotALength {
            text: shortened(self.text),
        }
    }
}

/// A fraction of one or more without a unit: a nominal size in quarters, or a slip.
fn top_heavy(
    text: String,
    mm: f64,
    quarters: bool,
    context: LengthContext,
) -> Result<f64, LengthError> {
    match context {
        LengthContext::NominalThickness if quarters => Ok(mm),
        LengthContext::FinishedThickness | LengthContext::MeasuredThickness if quarters => {
            Err(LengthError::Nominal {
                text,
                mm,
                finished: context == LengthContext::FinishedThickness,
            })
        }
        _ => Err(LengthError::QuartersElsewhere { text }),
    }
}
