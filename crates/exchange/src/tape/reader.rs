//! A line read sign by sign: what comes next, one size at a time, and faults at their column.

use heartside_timber::document::Length;
use heartside_timber::length::{LengthContext, Unit, read_length};
use heartside_timber::words::shortened;

use super::scan::{Scanned, Sign, Token, UnitSign};
use super::words::COUNT_WORDS;
use super::{Fault, UNFINISHED};

/// The finest part of an inch that a rule is divided into; what is finer is no fraction of one.
const FINEST: u32 = 64;

/// A line on its way.
pub(super) struct Line {
    pub(super) scanned: Scanned,
    pub(super) unit: Unit,
    pub(super) at: usize,
}

/// A length as it stands in the line.
#[derive(Debug, Clone)]
pub(super) struct Size {
    pub(super) mm: f64,
    pub(super) length: Length,
    /// Where it begins and ends in the plain text.
    pub(super) from: usize,
    pub(super) to: usize,
}

/// Whether a number over another may be a fraction of an inch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Slashed {
    /// It can be nothing else.
    Fraction,
    /// Less than an inch in the steps of a rule, or left and right of a chalk line.
    Either,
    /// Left and right of the chalk line.
    Sides,
}

impl Line {
    pub(super) fn of(text: &str, unit: Unit) -> Line {
        Line {
            scanned: Scanned::of(text),
            unit,
            at: 0,
        }
    }

    /// One length. `fraction_here`: a bare fraction of a rule's steps is one.
    pub(super) fn size(
        &mut self,
        context: LengthContext,
        fraction_here: bool,
    ) -> Result<Size, Box<Fault>> {
        let Some(first) = self.token(0).filter(|t| t.sign == Sign::Number) else {
            return Err(self.or_unfinished(
                "a size is missing here",
                "write it like 128, 1.4 m or 5 1/2\"",
            ));
        };
        let mut next = 1;
        match self.slashed(0) {
            Some(Slashed::Fraction) => next = 3,
            Some(Slashed::Either) if fraction_here || self.sign(3) == Some(Sign::Plus) => next = 3,
            Some(Slashed::Either) => {
                let (n, d) = (self.text(0), self.text(2));
                let message = format!(
                    "\u{201c}{n}/{d}\u{201d} can be {n}/{d} of an inch, or {n} left and {d} right of the chalk line"
                );
                let hint = format!("write {n}/{d}\" or {n}+{d}, whichever you mean");
                return Err(self.fault("tape-two-readings", &message, &hint));
            }
            Some(Slashed::Sides) => {}
            None => next = self.mixed(1).unwrap_or(1),
        }
        if let Some(Sign::Unit(unit)) = self.sign(next) {
            next += 1;
            if unit == UnitSign::Foot {
                next = self.inches(next).unwrap_or(next);
            }
        }
        let to = self.token(next - 1).map_or(first.to, |t| t.to);
        self.at += next;
        self.read(first.from, to, context)
    }

    /// A fraction at `k`, after a whole number: what comes then. Among millimetres it has its sign of
    /// inches or a hyphen before it: `140 3/4` is a width and a thickness there.
    fn mixed(&self, k: usize) -> Option<usize> {
        let whole = self.text(k - 1).bytes().all(|b| b.is_ascii_digit());
        let hyphen = self.sign(k) == Some(Sign::Hyphen);
        let k = k + usize::from(hyphen);
        let fraction = match self.slashed(k)? {
            Slashed::Fraction => true,
            Slashed::Either => hyphen || self.unit == Unit::Inches,
            Slashed::Sides => false,
        };
        (whole && fraction).then_some(k + 3)
    }

    /// Inches at `k`, after feet: what comes then.
    fn inches(&self, k: usize) -> Option<usize> {
        let k = k + usize::from(self.sign(k) == Some(Sign::Hyphen));
        if self.sign(k) != Some(Sign::Number) || self.is_count_at(k) {
            return None;
        }
        let next = match self.slashed(k) {
            Some(Slashed::Fraction | Slashed::Either) => k + 3,
            Some(Slashed::Sides) => return None,
            None if self.text(k).parse().is_ok_and(|inches: f64| inches < 12.0) => {
                self.mixed(k + 1).unwrap_or(k + 1)
            }
            None => return None,
        };
        match self.sign(next) {
            Some(Sign::Unit(UnitSign::Inch)) => Some(next + 1),
            Some(Sign::Unit(_)) => None,
            _ => Some(next),
        }
    }

    /// What a number, a slash and a number at `k` are.
    fn slashed(&self, k: usize) -> Option<Slashed> {
        if self.sign(k)? != Sign::Number
            || self.sign(k + 1)? != Sign::Slash
            || self.sign(k + 2)? != Sign::Number
        {
            return None;
        }
        let (Ok(n), Ok(d)) = (self.text(k).parse::<u32>(), self.text(k + 2).parse::<u32>()) else {
            return Some(Slashed::Sides);
        };
        let of_a_rule = d.is_power_of_two() && (2..=FINEST).contains(&d) && (1..d).contains(&n);
        let inches = self.sign(k + 3) == Some(Sign::Unit(UnitSign::Inch));
        Some(match (of_a_rule, inches) {
            (true, true) => Slashed::Fraction,
            // 12/16 is found on no rule.
            (true, false) if n % 2 == 1 => Slashed::Either,
            _ => Slashed::Sides,
        })
    }

    pub(super) fn read(
        &self,
        from: usize,
        to: usize,
        context: LengthContext,
    ) -> Result<Size, Box<Fault>> {
        let text = &self.scanned.plain[from..to];
        match read_length(text, self.unit, context) {
            Ok(mm) => Ok(Size {
                mm,
                length: Length::Typed {
                    mm: Some(mm),
                    typed: text.to_owned(),
                },
                from,
                to,
            }),
            Err(error) => Err(Fault::new(
                self.scanned.column(from),
                "tape-size",
                &format!(
                    "\u{201c}{}\u{201d} cannot be used: {error}",
                    shortened(text)
                ),
                &error.hint(),
            )),
        }
    }

    /// An x with a space before it and none behind, as in `x3`.
    pub(super) fn is_times_glued(&self) -> bool {
        let (Some(x), Some(number)) = (self.token(0), self.token(1)) else {
            return false;
        };
        let before = self.at.checked_sub(1).map(|k| self.scanned.tokens[k]);
        let apart = before.is_none_or(|t| t.sign == Sign::Comma || t.to < x.from);
        x.sign == Sign::Times && number.sign == Sign::Number && apart && x.to == number.from
    }

    /// `3 alike`.
    pub(super) fn is_count(&self) -> bool {
        self.is_count_at(0)
    }

    pub(super) fn is_count_at(&self, k: usize) -> bool {
        self.sign(k) == Some(Sign::Number)
            && self.sign(k + 1) == Some(Sign::Word)
            && COUNT_WORDS.contains(&self.text(k + 1).to_lowercase().as_str())
    }

    pub(super) fn token(&self, ahead: usize) -> Option<Token> {
        self.scanned.tokens.get(self.at + ahead).copied()
    }

    pub(super) fn sign(&self, ahead: usize) -> Option<Sign> {
        self.token(ahead).map(|t| t.sign)
    }

    pub(super) fn text(&self, ahead: usize) -> &str {
        self.token(ahead).map_or("", |t| self.scanned.text(t))
    }

    pub(super) fn is_at_end(&self) -> bool {
        self.token(0).is_none()
    }

    /// A fault at the sign that comes next, or at the end.
    pub(super) fn fault(&self, code: &'static str, message: &str, hint: &str) -> Box<Fault> {
        let place = self.token(0).map_or(self.scanned.plain.len(), |t| t.from);
        Fault::new(self.scanned.column(place), code, message, hint)
    }

    pub(super) fn unfinished(&self, message: &str, hint: &str) -> Box<Fault> {
        self.fault(UNFINISHED, message, hint)
    }

    /// Something is missing: at the end of the line it may still come.
    pub(super) fn or_unfinished(&self, message: &str, hint: &str) -> Box<Fault> {
        let code = if self.is_at_end() {
            UNFINISHED
        } else {
            "tape-missing"
        };
        self.fault(code, message, hint)
    }
}
