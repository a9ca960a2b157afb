//! Writes measurements the way they are read on a drawing or at the bench.

use super::{DisplayUnits, MM_PER_FOOT, MM_PER_INCH, Unit};
use crate::measure::{KG_PER_POUND, MM3_PER_BOARD_FOOT};

/// Shown for a value that is not a finite number; it never comes from a sound job.
const NOT_A_NUMBER: &str = "?";

/// A length with its unit: `1400 mm`, `16 1/4"`, `5' 3 1/2"`.
///
/// The nearest shown step, halves away from zero.
pub fn write_length(mm: f64, units: &DisplayUnits) -> String {
    match units.unit {
        Unit::Millimetres if mm.is_finite() => format!("{} mm", write_dimension(mm, units)),
        _ => write_dimension(mm, units),
    }
}

/// A length as a number on a drawing: as [`write_length`], but millimetres stay bare.
pub fn write_dimension(mm: f64, units: &DisplayUnits) -> String {
    if !mm.is_finite() {
        return NOT_A_NUMBER.into();
    }
    match units.unit {
        Unit::Millimetres => write_decimal(mm, units.decimals.min(3)),
        Unit::Inches => write_inches(mm, units),
    }
}

/// A small distance, such as how far a rule is missed by, fine enough not to vanish:
/// hundredths of a millimetre, or thousandths of an inch.
pub fn write_gap(mm: f64, units: &DisplayUnits) -> String {
    if !mm.is_finite() {
        return NOT_A_NUMBER.into();
    }
    match units.unit {
        Unit::Millimetres => {
            let places = if mm.abs() < 10.0 { 2 } else { 1 };
            format!("{} mm", write_decimal(mm, places))
        }
        Unit::Inches if mm.abs() < 10.0 => format!("{}\"", write_decimal(mm / MM_PER_INCH, 3)),
        Unit::Inches => write_inches(mm, units),
    }
}

/// Inches to the nearest fraction, reduced: `16 1/4"`, `3/4"`, `-1/16"`, `0"`.
fn write_inches(mm: f64, units: &DisplayUnits) -> String {
    let denominator = u64::from(units.fraction.denominator());
    let steps = (mm.abs() / MM_PER_INCH * denominator as f64).round();
    // Above 2^53 steps (millions of kilometres) a fraction would be an invention.
    if steps >= 9.0e15 {
        return format!("{}\"", write_decimal(mm / MM_PER_INCH, 0));
    }
    let steps = steps as u64;
    let sign = if mm < 0.0 && steps > 0 { "-" } else { "" };
    let inches = steps / denominator;
    let fraction = reduced(steps % denominator, denominator);
    let (feet, inches) = if units.feet {
        (inches / 12, inches % 12)
    } else {
        (0, inches)
    };
    let mut parts = Vec::new();
    if feet > 0 {
        parts.push(format!("{feet}'"));
    }
    match (inches, fraction) {
        (0, None) if feet > 0 => {}
        (whole, None) => parts.push(format!("{whole}\"")),
        (0, Some((n, d))) => parts.push(format!("{n}/{d}\"")),
        (whole, Some((n, d))) => parts.push(format!("{whole} {n}/{d}\"")),
    }
    format!("{sign}{}", parts.join(" "))
}

fn reduced(numerator: u64, denominator: u64) -> Option<(u64, u64)> {
    if numerator == 0 {
        return None;
    }
    let (mut n, mut d) = (numerator, denominator);
    while n.is_multiple_of(2) && d.is_multiple_of(2) {
        n /= 2;
        d /= 2;
    }
    Some((n, d))
}

/// A decimal with at most `places` (up to 6) figures after the point and no trailing
/// noughts; halves are rounded away from nought. What is greater than anything in a workshop
/// is written short: `1e308`.
pub fn write_decimal(value: f64, places: u8) -> String {
    if !value.is_finite() {
        return NOT_A_NUMBER.into();
    }
    if value.abs() >= 1.0e15 {
        return format!("{value:.0e}");
    }
    let places = places.min(6);
    let mut scale = 1.0;
    for _ in 0..places {
        scale *= 10.0;
    }
    // Rounded by hand first: formatting alone rounds the binary value, so that a typed
    // 2.25 and 2.35 would go different ways.
    let scaled = value * scale;
    if scaled.abs() < 1.0e15 {
        return write_scaled(scaled.round() as i64, usize::from(places));
    }
    let rounded = if scaled.abs() < 9.0e15 {
        scaled.round() / scale
    } else {
        value
    };
    let mut text = format!("{rounded:.*}", usize::from(places));
    if text.contains('.') {
        text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
    }
    if text == "-0" { "0".into() } else { text }
}

/// So many tenths, hundredths and so on, by `places`. Drawings write hundreds of thousands of
/// numbers; this takes a third of the time of formatting the fraction.
fn write_scaled(mut steps: i64, mut places: usize) -> String {
    while places > 0 && steps % 10 == 0 {
        steps /= 10;
        places -= 1;
    }
    let mut text = steps.to_string();
    if places > 0 {
        // Figures before the point: at least one.
        let sign = usize::from(steps < 0);
        while text.len() - sign <= places {
            text.insert(sign, '0');
        }
        text.insert(text.len() - places, '.');
    }
    text
}

/// An area: `0.48 m²` or `5.17 sq ft`.
pub fn write_area(mm2: f64, units: &DisplayUnits) -> String {
    match units.unit {
        Unit::Millimetres => format!("{} m²", write_decimal(mm2 / 1.0e6, 2)),
        Unit::Inches => {
            format!(
                "{} sq ft",
                write_decimal(mm2 / (MM_PER_FOOT * MM_PER_FOOT), 2)
            )
        }
    }
}

/// A volume: `0.013 m³` or `5.5 board feet`.
pub fn write_volume(mm3: f64, units: &DisplayUnits) -> String {
    match units.unit {
        Unit::Millimetres => {
            let cubic_metres = mm3 / 1.0e9;
            let places = figures(cubic_metres, 4).max(4);
            format!("{} m³", write_decimal(cubic_metres, places))
        }
        Unit::Inches => {
            let feet = mm3 / MM3_PER_BOARD_FOOT;
            let feet = write_decimal(feet, figures(feet, 3).max(1));
            let word = if feet == "1" {
                "board foot"
            } else {
                "board feet"
            };
            format!("{feet} {word}")
        }
    }
}

/// Decimal places that show so many figures of a value below ten; no more than nine.
fn figures(value: f64, wanted: u8) -> u8 {
    let mut places = wanted.saturating_sub(1);
    let mut least = 1.0;
    while value.abs() < least && places < 9 && value != 0.0 {
        places += 1;
        least /= 10.0;
    }
    if value.abs() >= 10.0 { 0 } else { places }
}

/// A weight: `3.8 kg` or `8.4 lb`.
pub fn write_weight(kg: f64, units: &DisplayUnits) -> String {
    match units.unit {
        Unit::Millimetres => format!("{} kg", write_decimal(kg, 1)),
        Unit::Inches => format!("{} lb", write_decimal(kg / KG_PER_POUND, 1)),
    }
}

/// An angle in degrees with at most two decimals: `1.5°`.
pub fn write_angle(degrees: f64) -> String {
    format!("{}°", write_decimal(degrees, 2))
}

/// An amount of money with two decimals; a one-sign currency stands before it (`€12.50`),
/// a word after it (`12.50 EUR`), none leaves the number bare.
pub fn write_money(amount: f64, currency: &str) -> String {
    if !amount.is_finite() {
        return NOT_A_NUMBER.into();
    }
    let cents = amount * 100.0;
    let rounded = if cents.abs() < 9.0e15 {
        cents.round() / 100.0
    } else {
        amount
    };
    let sign = if rounded < 0.0 { "-" } else { "" };
    let number = format!("{:.2}", rounded.abs());
    let currency = currency.trim();
    let mut letters = currency.chars();
    match (letters.next(), letters.next()) {
        (None, _) => format!("{sign}{number}"),
        (Some(symbol), None) if !symbol.is_alphanumeric() => format!("{sign}{symbol}{number}"),
        _ => format!("{sign}{number} {currency}"),
    }
}

/// A share, 1 being all, as a percentage with at most one decimal: `83.3 %`.
pub fn write_percent(share: f64) -> String {
    format!("{} %", write_decimal(share * 100.0, 1))
}
