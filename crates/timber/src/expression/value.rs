//! The tree of an expression and its evaluation.

use super::{ExpressionError, ExpressionFault};
use crate::length::{MAX_LENGTH_MM, Unit};
use heartside_geometry::SortedSet;

/// One node, with the position of its sign or word in the text.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Node {
    pub(super) at: usize,
    /// Just behind its sign or word.
    pub(super) end: usize,
    pub(super) kind: Kind,
}

#[derive(Debug, Clone, PartialEq)]
pub(super) enum Kind {
    /// A bare number.
    Number(f64),
    /// A bare proper fraction such as 3/4.
    Fraction(f64),
    /// A number with a unit, in millimetres.
    Length(f64),
    Name(String),
    Negate(Box<Node>),
    Binary(Operator, Box<Node>, Box<Node>),
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Operator {
    Plus,
    Minus,
    Times,
    Over,
}

/// A value while it is worked out.
#[derive(Debug, Clone, Copy)]
enum Value {
    /// A factor, or a length in the job's unit.
    Number(f64),
    /// As a number, but never a length in a metric job.
    Fraction(f64),
    /// A length over a length: a factor only.
    Ratio(f64),
    /// Millimetres.
    Length(f64),
}

impl Node {
    /// Calls `visit` with every name and the places where it begins and ends.
    pub(super) fn each_name(&self, visit: &mut dyn FnMut(&str, usize, usize)) {
        match &self.kind {
            Kind::Name(name) => visit(name, self.at, self.end),
            Kind::Negate(inner) => inner.each_name(visit),
            Kind::Binary(_, left, right) => {
                left.each_name(visit);
                right.each_name(visit);
            }
            Kind::Number(_) | Kind::Fraction(_) | Kind::Length(_) => {}
        }
    }

    /// Whether the value is a length by itself, without the job's unit.
    fn is_length(&self) -> bool {
        match &self.kind {
            Kind::Length(_) | Kind::Name(_) => true,
            Kind::Number(_) | Kind::Fraction(_) => false,
            Kind::Negate(inner) => inner.is_length(),
            Kind::Binary(Operator::Over, left, right) => left.is_length() && !right.is_length(),
            Kind::Binary(_, left, right) => left.is_length() || right.is_length(),
        }
    }

    /// Adds where bare numbers that count as lengths in the job's unit begin and end.
    ///
    /// `as_length`: the value of this node is used as a length.
    pub(super) fn bare_lengths(&self, as_length: bool, places: &mut Vec<(usize, usize)>) {
        match &self.kind {
            Kind::Number(_) | Kind::Fraction(_) => {
                if as_length {
                    places.push((self.at, self.end));
                }
            }
            Kind::Length(_) | Kind::Name(_) => {}
            Kind::Negate(inner) => inner.bare_lengths(as_length, places),
            Kind::Binary(Operator::Plus | Operator::Minus, left, right) => {
                let as_length = as_length || left.is_length() || right.is_length();
                left.bare_lengths(as_length, places);
                right.bare_lengths(as_length, places);
            }
            // Of a product one factor becomes the length: the first, unless the other is one.
            Kind::Binary(Operator::Times, left, right) => {
                left.bare_lengths(as_length && !right.is_length(), places);
                right.bare_lengths(false, places);
            }
            Kind::Binary(Operator::Over, left, right) => {
                left.bare_lengths(as_length, places);
                right.bare_lengths(false, places);
            }
        }
    }

    pub(super) fn collect_names<'a>(&'a self, names: &mut SortedSet<&'a str>) {
        match &self.kind {
            Kind::Name(name) => {
                names.insert(name);
            }
            Kind::Negate(inner) => inner.collect_names(names),
            Kind::Binary(_, left, right) => {
                left.collect_names(names);
                right.collect_names(names);
            }
            Kind::Number(_) | Kind::Fraction(_) | Kind::Length(_) => {}
        }
    }
}

pub(super) fn evaluate(
    root: &Node,
    unit: Unit,
    of_name: &dyn Fn(&str) -> Option<f64>,
) -> Result<f64, ExpressionError> {
    let mm = as_length(value_of(root, unit, of_name)?, unit, root.at)?;
    if mm.is_finite() && mm.abs() <= MAX_LENGTH_MM {
        Ok(mm)
    } else {
        Err(ExpressionError {
            at: root.at,
            fault: ExpressionFault::ResultTooLarge,
        })
    }
}

// The reader bounds the number of characters and with it the depth of this recursion.
fn value_of(
    node: &Node,
    unit: Unit,
    of_name: &dyn Fn(&str) -> Option<f64>,
) -> Result<Value, ExpressionError> {
    Ok(match &node.kind {
        Kind::Number(number) => Value::Number(*number),
        Kind::Fraction(number) => Value::Fraction(*number),
        Kind::Length(mm) => Value::Length(*mm),
        Kind::Name(name) => match of_name(name) {
            Some(mm) => Value::Length(mm),
            None => {
                let fault = ExpressionFault::UnknownName {
                    name: name.clone(),
                    like: None,
                };
                return Err(ExpressionError { at: node.at, fault });
            }
        },
        Kind::Negate(inner) => match value_of(inner, unit, of_name)? {
            Value::Number(number) => Value::Number(-number),
            Value::Fraction(number) => Value::Fraction(-number),
            Value::Ratio(number) => Value::Ratio(-number),
            Value::Length(mm) => Value::Length(-mm),
        },
        Kind::Binary(operator, left, right) => {
            let left = value_of(left, unit, of_name)?;
            let right = value_of(right, unit, of_name)?;
            match operator {
                Operator::Plus => sum(left, right, unit, node.at)?,
                Operator::Minus => match right {
                    Value::Number(number) => sum(left, Value::Number(-number), unit, node.at)?,
                    Value::Fraction(number) => sum(left, Value::Fraction(-number), unit, node.at)?,
                    Value::Ratio(number) => sum(left, Value::Ratio(-number), unit, node.at)?,
                    Value::Length(mm) => sum(left, Value::Length(-mm), unit, node.at)?,
                },
                Operator::Times => product(left, right, node.at)?,
                Operator::Over => quotient(left, right, node.at)?,
            }
        }
    })
}

fn sum(left: Value, right: Value, unit: Unit, at: usize) -> Result<Value, ExpressionError> {
    Ok(match (left, right) {
        (Value::Number(a), Value::Number(b)) => Value::Number(a + b),
        (Value::Ratio(a), Value::Ratio(b) | Value::Number(b) | Value::Fraction(b))
        | (Value::Number(a) | Value::Fraction(a), Value::Ratio(b)) => Value::Ratio(a + b),
        (Value::Fraction(a), Value::Number(b) | Value::Fraction(b))
        | (Value::Number(a), Value::Fraction(b)) => Value::Fraction(a + b),
        (a, b) => Value::Length(as_length(a, unit, at)? + as_length(b, unit, at)?),
    })
}

fn product(left: Value, right: Value, at: usize) -> Result<Value, ExpressionError> {
    use Value::{Fraction, Length, Number, Ratio};
    Ok(match (left, right) {
        (Length(_), Length(_)) => {
            return Err(ExpressionError {
                at,
                fault: ExpressionFault::LengthTimesLength,
            });
        }
        (Length(mm), Number(n) | Fraction(n) | Ratio(n))
        | (Number(n) | Fraction(n) | Ratio(n), Length(mm)) => Length(mm * n),
        (Ratio(a), Number(b) | Fraction(b) | Ratio(b)) | (Number(a) | Fraction(a), Ratio(b)) => {
            Ratio(a * b)
        }
        (Fraction(a), Number(b) | Fraction(b)) | (Number(a), Fraction(b)) => Fraction(a * b),
        (Number(a), Number(b)) => Number(a * b),
    })
}

fn quotient(left: Value, right: Value, at: usize) -> Result<Value, ExpressionError> {
    use Value::{Fraction, Length, Number, Ratio};
    let (Number(below) | Fraction(below) | Ratio(below) | Length(below)) = right;
    if below == 0.0 {
        return Err(ExpressionError {
            at,
            fault: ExpressionFault::DivisionByNought,
        });
    }
    Ok(match (left, right) {
        (Length(a), Length(b)) => Ratio(a / b),
        (Length(mm), Number(n) | Fraction(n) | Ratio(n)) => Length(mm / n),
        (Number(_) | Fraction(_) | Ratio(_), Length(_)) => {
            return Err(ExpressionError {
                at,
                fault: ExpressionFault::NumberByLength,
            });
        }
        (Ratio(a), Number(b) | Fraction(b) | Ratio(b)) | (Number(a) | Fraction(a), Ratio(b)) => {
            Ratio(a / b)
        }
        (Fraction(a), Number(b) | Fraction(b)) | (Number(a), Fraction(b)) => Fraction(a / b),
        (Number(a), Number(b)) => Number(a / b),
    })
}

fn as_length(value: Value, unit: Unit, at: usize) -> Result<f64, ExpressionError> {
    match value {
        Value::Length(mm) => Ok(mm),
        Value::Number(number) => Ok(number * unit.millimetres()),
        Value::Fraction(number) if unit == Unit::Inches => Ok(number * unit.millimetres()),
        Value::Fraction(_) => Err(ExpressionError {
            at,
            fault: ExpressionFault::FractionWithoutUnit,
        }),
        Value::Ratio(_) => Err(ExpressionError {
            at,
            fault: ExpressionFault::RatioAsLength,
        }),
    }
}
