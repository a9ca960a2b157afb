//! Reads one length as a person typed it.

use super::{Unit, write_decimal};
use thiserror::Error;

/// The longest length taken, in millimetres: no board or part is 100 metres long, so
/// more is a slip of the unit.
pub const MAX_LENGTH_MM: f64 = 100_000.0;

/// What the length is for; only a thickness may be given in sawn quarters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum LengthContext {
    /// Any length but a thickness.
    #[default]
    Length,
    /// A thickness: `8/4` is two inches, as sawn hardwood is sold.
    Thickness,
}

/// Why a text is not a length.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum LengthError {
    /// Nothing but space.
    #[error("there is no length here")]
    Empty,
    /// A text that is no length at all.
    #[error("\u{201c}{text}\u{201d} is not a length")]
    NotALength {
        /// What was typed, shortened.
        text: String,
    },
    /// A word where a unit was expected.
    #[error("\u{201c}{word}\u{201d} is not a unit of length")]
    UnknownUnit {
        /// The word.
        word: String,
    },
    /// A comma that may part decimals or thousands.
    #[error("\u{201c}{text}\u{201d} can be read as {decimal} or as {thousands}")]
    TwoReadings {
        /// The number as typed.
        text: String,
        /// With the comma taken as decimal sign.
        decimal: String,
        /// With the comma taken as thousands sign.
        thousands: String,
    },
    /// A minus sign before the length.
    #[error("a length cannot be less than nothing")]
    Negative,
    /// More than [`MAX_LENGTH_MM`].
    #[error("{} is longer than any board", in_metres(*.mm))]
    TooLong {
        /// The length read.
        mm: f64,
    },
    /// A fraction over nought.
    #[error("a fraction cannot have 0 below the line")]
    OverNought,
    /// A whole number followed by a fraction that is not below one.
    #[error("the fraction after a whole number must be less than one")]
    FractionNotBelowOne,
    /// A top-heavy fraction without a unit, where no sawn thickness is meant.
    #[error("\u{201c}{text}\u{201d} is written like a sawn thickness, but this is not a thickness")]
    QuartersElsewhere {
        /// The fraction.
        text: String,
    },
    /// Twelve inches or more after feet.
    #[error("after feet, the inches must be fewer than 12")]
    TooManyInches,
}

fn in_metres(mm: f64) -> String {
    if mm.is_finite() && mm < 1.0e9 {
        format!("{} m", write_decimal(mm / 1000.0, 1))
    } else {
        "this".into()
    }
}

impl LengthError {
    /// A stable name of the kind of fault.
    pub fn code(&self) -> &'static str {
        match self {
            LengthError::Empty => "length-empty",
            LengthError::NotALength { .. } => "length-not-readable",
            LengthError::UnknownUnit { .. } => "length-unknown-unit",
            LengthError::TwoReadings { .. } => "length-two-readings",
            LengthError::Negative => "length-negative",
            LengthError::TooLong { .. } => "length-too-long",
            LengthError::OverNought => "length-over-nought",
            LengthError::FractionNotBelowOne => "length-fraction",
            LengthError::QuartersElsewhere { .. } => "length-quarters",
            LengthError::TooManyInches => "length-too-many-inches",
        }
    }

    /// How to mend it, in plain words.
    pub fn hint(&self) -> String {
        match self {
            LengthError::Empty | LengthError::NotALength { .. } => {
                "write it like 1400, 1.4 m, 55\", 16 1/4\" or 5' 3 1/2\"".into()
            }
            LengthError::UnknownUnit { .. } => "use mm, cm, m, in (\") or ft (')".into(),
            LengthError::TwoReadings {
                decimal, thousands, ..
            } => {
                format!("write {decimal} or {thousands}, whichever you mean")
            }
            LengthError::Negative => "leave out the minus sign".into(),
            LengthError::TooLong { .. } => "check the unit: at most 100 m is taken".into(),
            LengthError::OverNought => "write a number above 0 below the line".into(),
            LengthError::FractionNotBelowOne => "write it like 16 1/4".into(),
            LengthError::QuartersElsewhere { text } => {
                format!("write {text}\" if inches are meant, or the number worked out")
            }
            LengthError::TooManyInches => "carry 12 inches over as one foot".into(),
        }
    }
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
/// [`LengthContext::Thickness`]. A point is always the decimal sign; a comma is too, except
/// that `1,400` is refused because it may mean 1400.
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

/// A unit as written after a number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum UnitWord {
    Millimetre,
    Centimetre,
    Metre,
    Inch,
    Foot,
}

impl UnitWord {
    /// The unit that a word or mark stands for, in small or capital letters.
    pub(crate) fn of(word: &str) -> Option<UnitWord> {
        Some(match word.to_lowercase().as_str() {
            "mm" | "millimetre" | "millimetres" | "millimeter" | "millimeters" => {
                UnitWord::Millimetre
            }
            "cm" | "centimetre" | "centimetres" | "centimeter" | "centimeters" => {
                UnitWord::Centimetre
            }
            "m" | "metre" | "metres" | "meter" | "meters" => UnitWord::Metre,
            "in" | "inch" | "inches" | "\"" | "''" => UnitWord::Inch,
            "ft" | "foot" | "feet" | "'" => UnitWord::Foot,
            _ => return None,
        })
    }

    /// Power of ten from this unit to millimetres, for the metric ones.
    fn metric_exponent(self) -> Option<u32> {
        match self {
            UnitWord::Millimetre => Some(0),
            UnitWord::Centimetre => Some(1),
            UnitWord::Metre => Some(3),
            UnitWord::Inch | UnitWord::Foot => None,
        }
    }
}

/// A number as written: a decimal, or a whole number with a fraction.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Measure {
    /// Digits with at most one point.
    Decimal(String),
    /// `whole numerator/denominator`, the denominator above 0.
    Fraction {
        whole: f64,
        numerator: f64,
        denominator: f64,
    },
}

impl Measure {
    /// The value without a unit.
    pub(crate) fn number(&self) -> f64 {
        match self {
            Measure::Decimal(digits) => digits.parse().unwrap_or(f64::INFINITY),
            Measure::Fraction {
                whole,
                numerator,
                denominator,
            } => (whole * denominator + numerator) / denominator,
        }
    }

    /// The value in millimetres, rounded once wherever that can be had: metric decimals by
    /// moving the point in the text (1.1 m is exactly the number 1100), fractions by one
    /// division of whole numbers (3/4" is exactly the number 19.05).
    pub(crate) fn millimetres(&self, unit: UnitWord) -> f64 {
        // An inch is 127/5 mm.
        let (times, over) = match unit {
            UnitWord::Millimetre => (1.0, 1.0),
            UnitWord::Centimetre => (10.0, 1.0),
            UnitWord::Metre => (1000.0, 1.0),
            UnitWord::Inch => (127.0, 5.0),
            UnitWord::Foot => (1524.0, 5.0),
        };
        match (self, unit.metric_exponent()) {
            (Measure::Decimal(digits), Some(exponent)) => format!("{digits}e{exponent}")
                .parse()
                .unwrap_or(f64::INFINITY),
            (
                Measure::Fraction {
                    whole,
                    numerator,
                    denominator,
                },
                _,
            ) => (whole * denominator + numerator) * times / (denominator * over),
            _ => self.number() * times / over,
        }
    }
}

/// Replaces typographic signs by plain ones: primes and quotes, spaces, dashes, the
/// fraction slash, and fractions set as one character.
pub(crate) fn plain_characters(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    for character in text.chars() {
        push_plain(character, &mut plain);
    }
    plain
}

/// Adds the plain form of one character.
pub(crate) fn push_plain(character: char, plain: &mut String) {
    match character {
        '\u{2033}' | '\u{201c}' | '\u{201d}' | '\u{201e}' | '\u{201f}' | '\u{02ba}' => {
            plain.push('"');
        }
        '\u{2032}' | '\u{2018}' | '\u{2019}' | '\u{201b}' | '\u{02b9}' | '\u{00b4}' | '`' => {
            plain.push('\'');
        }
        '\u{2010}'..='\u{2015}' | '\u{2212}' => plain.push('-'),
        '\u{2044}' | '\u{2215}' | '\u{f7}' => plain.push('/'),
        '\u{d7}' => plain.push('*'),
        c if c.is_whitespace() || c == '\u{200b}' || c == '\u{feff}' => plain.push(' '),
        c => match vulgar_fraction(c) {
            Some(fraction) => {
                plain.push(' ');
                plain.push_str(fraction);
            }
            None => plain.push(c),
        },
    }
}

fn vulgar_fraction(character: char) -> Option<&'static str> {
    Some(match character {
        '\u{bd}' => "1/2",
        '\u{bc}' => "1/4",
        '\u{be}' => "3/4",
        '\u{2153}' => "1/3",
        '\u{2154}' => "2/3",
        '\u{2155}' => "1/5",
        '\u{2156}' => "2/5",
        '\u{2157}' => "3/5",
        '\u{2158}' => "4/5",
        '\u{2159}' => "1/6",
        '\u{215a}' => "5/6",
        '\u{215b}' => "1/8",
        '\u{215c}' => "3/8",
        '\u{215d}' => "5/8",
        '\u{215e}' => "7/8",
        _ => return None,
    })
}

/// Turns the digits of one number, with points and commas, into a plain decimal.
///
/// # Errors
/// [`LengthError::TwoReadings`] for a single comma before exactly three digits;
/// [`LengthError::NotALength`] for signs that cannot be placed.
pub(crate) fn decimal_text(text: &str) -> Result<String, LengthError> {
    let wrong = || LengthError::NotALength {
        text: shortened(text),
    };
    let points = text.matches('.').count();
    let commas = text.matches(',').count();
    match (points, commas) {
        (0, 0) => Ok(text.to_owned()),
        (1, 0) => Ok(with_leading_nought(text)),
        (0, 1) => {
            let (before, after) = text.split_once(',').ok_or_else(wrong)?;
            let grouped = is_first_group(before) && after.len() == 3;
            if grouped && !before.starts_with('0') {
                return Err(LengthError::TwoReadings {
                    text: text.to_owned(),
                    decimal: format!("{before}.{}", after.trim_end_matches('0'))
                        .trim_end_matches('.')
                        .to_owned(),
                    thousands: format!("{before}{after}"),
                });
            }
            Ok(with_leading_nought(&format!("{before}.{after}")))
        }
        _ => grouped_decimal(text).ok_or_else(wrong),
    }
}

/// `1,400.5`, `1.400,5` or `1,400,000`: two kinds of sign, or one repeated, can be read
/// in one way only.
fn grouped_decimal(text: &str) -> Option<String> {
    let last_point = text.rfind('.');
    let last_comma = text.rfind(',');
    let (whole, decimals, sign) = match (last_point, last_comma) {
        (Some(point), Some(comma)) if point > comma => (&text[..point], &text[point + 1..], ','),
        (Some(_), Some(comma)) => (&text[..comma], &text[comma + 1..], '.'),
        (Some(_), None) => (text, "", '.'),
        (None, _) => (text, "", ','),
    };
    let mut groups = whole.split(sign);
    let first = groups.next()?;
    let mut digits = first.to_owned();
    if !is_first_group(first) {
        return None;
    }
    for group in groups {
        if !is_group(group) {
            return None;
        }
        digits.push_str(group);
    }
    if !decimals.is_empty() {
        if !all_digits(decimals) {
            return None;
        }
        digits.push('.');
        digits.push_str(decimals);
    }
    Some(digits)
}

fn with_leading_nought(text: &str) -> String {
    let text = text.strip_suffix('.').unwrap_or(text);
    if text.starts_with('.') {
        format!("0{text}")
    } else {
        text.to_owned()
    }
}

pub(crate) fn all_digits(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit())
}

fn is_first_group(text: &str) -> bool {
    all_digits(text) && text.len() <= 3
}

fn is_group(text: &str) -> bool {
    all_digits(text) && text.len() == 3
}

/// At most forty characters of what was typed, for a message.
pub(crate) fn shortened(text: &str) -> String {
    let text = text.trim();
    let mut short: String = text.chars().take(40).collect();
    if text.chars().count() > 40 {
        short.push('\u{2026}');
    }
    short
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
                let top_heavy = *whole == 0.0 && numerator >= denominator;
                let quarters = *denominator == 4.0 && context == LengthContext::Thickness;
                if top_heavy && !quarters {
                    return Err(LengthError::QuartersElsewhere {
                        text: format!("{numerator}/{denominator}"),
                    });
                }
                Ok(measure.millimetres(UnitWord::Inch))
            }
            (_, Unit::Inches) => Ok(measure.millimetres(UnitWord::Inch)),
            (_, Unit::Millimetres) => Ok(measure.millimetres(UnitWord::Millimetre)),
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
