//! Numbers and units as they are written: signs, fractions, points and commas.

use super::LengthError;
use super::digits::{all_digits, is_first_group, is_group, may_part_thousands};
use crate::words::shortened;

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

/// Whether a word or mark stands for a unit of length.
pub fn is_unit(word: &str) -> bool {
    UnitWord::of(word).is_some()
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
pub(super) fn plain_characters(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    for character in text.chars() {
        push_plain(character, &mut plain);
    }
    plain
}

/// Adds the plain form of one character: straight quotes and dashes, `*` for the sign of times, a
/// space and figures for a fraction that is one sign.
pub fn push_plain(character: char, plain: &mut String) {
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
                return Err(two_readings(text, before, after));
            }
            Ok(with_leading_nought(&format!("{before}.{after}")))
        }
        _ => grouped_decimal(text).ok_or_else(wrong),
    }
}

/// A point before exactly three digits, where it may part thousands as well as decimals:
/// `1.400` is 1400 to half of Europe. Only for numbers without a unit in millimetres: nobody
/// writes thousands of inches, and a unit written out says that the size was meant.
pub(crate) fn doubtful_point(digits: &str) -> Option<LengthError> {
    let (before, after) = digits.split_once('.')?;
    may_part_thousands(digits).then(|| two_readings(digits, before, after))
}

/// The text with a comma for its point: refused in every unit, as the point is in millimetres.
pub fn doubt_kept(text: &str) -> String {
    text.replace('.', ",")
}

fn two_readings(text: &str, before: &str, after: &str) -> LengthError {
    LengthError::TwoReadings {
        text: text.to_owned(),
        decimal: format!("{before}.{}", after.trim_end_matches('0'))
            .trim_end_matches('.')
            .to_owned(),
        thousands: format!("{before}{after}"),
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
