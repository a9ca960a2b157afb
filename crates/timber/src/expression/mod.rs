//! Lengths worked out from named dimensions: `top width - 2 * overhang`.
//!
//! An expression knows `+ - * / ( )`, numbers with or without a unit, and names. A name
//! begins with a letter and goes on with letters, figures, underscores and single spaces;
//! capitals count; a unit (`mm`, `in`, ...) cannot be a word of it.
//!
//! A number without a unit is a plain factor in a product and a length, in the job's unit,
//! in a sum: in `top / 2 - 20` the 2 is a factor and the 20 a length. What makes no length
//! (a length times a length, a length plus a ratio) is refused.

mod names;
mod read;
mod value;

pub(crate) use names::explain;
pub use names::{Definition, Resolved, is_name, resolve};

use crate::length::{LengthError, Unit};
use heartside_geometry::{Arrange, SortedSet};
use thiserror::Error;
use value::Node;

/// The most characters an expression may have.
pub const MAX_CHARACTERS: usize = 500;

/// How deep brackets and signs may be nested.
pub const MAX_DEPTH: usize = 50;

/// An expression that has been read and can be evaluated.
#[derive(Debug, Clone, PartialEq)]
pub struct Expression {
    text: String,
    unit: Unit,
    root: Node,
}

/// What is wrong with an expression, and where.
#[derive(Debug, Clone, PartialEq, Error)]
#[error("{fault}")]
pub struct ExpressionError {
    /// Position of the fault, in characters from the start, counted from 0.
    pub at: usize,
    /// The fault.
    pub fault: ExpressionFault,
}

/// The kinds of fault in an expression.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum ExpressionFault {
    /// Nothing but space.
    #[error("there is nothing to work out here")]
    Empty,
    /// More than [`MAX_CHARACTERS`] or nested deeper than [`MAX_DEPTH`].
    #[error("this is too long to be worked out")]
    TooLong,
    /// A sign that no expression has.
    #[error("\u{201c}{sign}\u{201d} has no meaning here")]
    UnknownSign {
        /// The sign.
        sign: char,
    },
    /// A number, a name or a bracket was expected.
    #[error("a number or a name is missing here")]
    ValueMissing,
    /// An operator was expected between two values.
    #[error("+, -, * or / is missing before \u{201c}{word}\u{201d}")]
    OperatorMissing {
        /// What follows.
        word: String,
    },
    /// A bracket is not closed, or closed without being opened.
    #[error("the brackets do not match")]
    Bracket,
    /// A number that cannot be read.
    #[error("{0}")]
    Number(LengthError),
    /// A name that stands for nothing.
    #[error("there is no dimension called \u{201c}{name}\u{201d}")]
    UnknownName {
        /// The name.
        name: String,
        /// A known name that differs only in capitals.
        like: Option<String>,
    },
    /// A name whose own value could not be worked out.
    #[error("\u{201c}{name}\u{201d} has no value yet")]
    NameWithoutValue {
        /// The name.
        name: String,
    },
    /// Dimensions that need each other.
    #[error("these dimensions need each other: {}", .names.join(" \u{2192} "))]
    Circle {
        /// The names, each needing the next, the last one needing the first.
        names: Vec<String>,
    },
    /// A division by nothing.
    #[error("this divides by 0")]
    DivisionByNought,
    /// A product of two lengths.
    #[error("two lengths cannot be multiplied: that makes an area")]
    LengthTimesLength,
    /// A number divided by a length.
    #[error("a number cannot be divided by a length")]
    NumberByLength,
    /// A ratio of two lengths used as a length.
    #[error("one length divided by another is not a length")]
    RatioAsLength,
    /// A fraction without unit used as a length in a metric job.
    #[error("it is not clear whether this fraction means inches")]
    FractionWithoutUnit,
    /// A result that is not finite, or longer than any board.
    #[error("the result is too large")]
    ResultTooLarge,
}

impl ExpressionFault {
    /// A stable name of the kind of fault.
    pub fn code(&self) -> &'static str {
        match self {
            ExpressionFault::Empty => "expression-empty",
            ExpressionFault::TooLong => "expression-too-long",
            ExpressionFault::UnknownSign { .. } => "expression-unknown-sign",
            ExpressionFault::ValueMissing => "expression-value-missing",
            ExpressionFault::OperatorMissing { .. } => "expression-operator-missing",
            ExpressionFault::Bracket => "expression-bracket",
            ExpressionFault::Number(error) => error.code(),
            ExpressionFault::UnknownName { .. } => "expression-unknown-name",
            ExpressionFault::NameWithoutValue { .. } => "expression-name-without-value",
            ExpressionFault::Circle { .. } => "expression-circle",
            ExpressionFault::DivisionByNought => "expression-division-by-nought",
            ExpressionFault::LengthTimesLength => "expression-area",
            ExpressionFault::NumberByLength => "expression-number-by-length",
            ExpressionFault::RatioAsLength => "expression-ratio",
            ExpressionFault::FractionWithoutUnit => "expression-fraction",
            ExpressionFault::ResultTooLarge => "expression-too-large",
        }
    }

    /// How to mend it, in plain words.
    pub fn hint(&self) -> String {
        match self {
            ExpressionFault::Empty | ExpressionFault::ValueMissing => {
                "write something like top length / 2 - 20".into()
            }
            ExpressionFault::TooLong => "give parts of it a name of their own".into(),
            ExpressionFault::UnknownSign { .. } => {
                "use numbers, names of dimensions, + - * / and ( )".into()
            }
            ExpressionFault::OperatorMissing { .. } => "put + - * or / between the two".into(),
            ExpressionFault::Bracket => "give every ( its )".into(),
            ExpressionFault::Number(error) => error.hint(),
            ExpressionFault::UnknownName {
                like: Some(like), ..
            } => {
                format!("did you mean \u{201c}{like}\u{201d}?")
            }
            ExpressionFault::UnknownName { .. } => {
                "add a dimension of that name, or correct the name".into()
            }
            ExpressionFault::NameWithoutValue { name } => {
                format!("mend \u{201c}{name}\u{201d} first")
            }
            ExpressionFault::Circle { .. } => "give one of them a plain length".into(),
            ExpressionFault::DivisionByNought => "divide by something else".into(),
            ExpressionFault::LengthTimesLength => "leave the unit off the factor".into(),
            ExpressionFault::NumberByLength => "divide a length by a number instead".into(),
            ExpressionFault::RatioAsLength => "multiply it by a length".into(),
            ExpressionFault::FractionWithoutUnit => {
                "write it with its unit (3/4\") or as a decimal (0.75)".into()
            }
            ExpressionFault::ResultTooLarge => {
                "check the units and signs: at most 100 m is taken".into()
            }
        }
    }
}

impl Expression {
    /// Reads an expression; bare lengths in it are in `unit`.
    ///
    /// # Errors
    /// The first [`ExpressionError`] from the left.
    ///
    /// # Examples
    /// ```
    /// use heartside_timber::{expression::Expression, length::Unit};
    ///
    /// let sum = Expression::read("top / 2 - 20", Unit::Millimetres)?;
    /// assert_eq!(sum.value(&|name| (name == "top").then_some(1400.0))?, 680.0);
    /// # Ok::<(), heartside_timber::expression::ExpressionError>(())
    /// ```
    pub fn read(text: &str, unit: Unit) -> Result<Expression, ExpressionError> {
        let root = read::read(text)?;
        if unit == Unit::Millimetres {
            read::refuse_doubtful_points(&root, text)?;
        }
        Ok(Expression {
            text: text.to_owned(),
            unit,
            root,
        })
    }

    /// What was typed.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The names it uses, each once, in alphabetical order.
    pub fn names(&self) -> SortedSet<&str> {
        let mut names = SortedSet::new();
        self.root.collect_names(&mut names);
        names
    }

    /// The text with the unit written behind every bare number that counts as a length, so
    /// that it means the same in a job of another unit: `top / 2 - 20` becomes
    /// `top / 2 - 20 mm`.
    pub fn with_units_written(&self) -> String {
        let mut places = Vec::new();
        self.root.bare_lengths(true, &mut places);
        let mut ends: Vec<usize> = places.into_iter().map(|(_, end)| end).collect();
        ends.arrange();
        let unit = match self.unit {
            Unit::Millimetres => " mm",
            Unit::Inches => " in",
        };
        let mut written = String::with_capacity(self.text.len() + unit.len() * ends.len());
        let mut ends = ends.into_iter().peekable();
        for (at, character) in self.text.chars().enumerate() {
            if ends.next_if_eq(&at).is_some() {
                written.push_str(unit);
            }
            written.push(character);
        }
        if ends.next().is_some() {
            written.push_str(unit);
        }
        written
    }

    /// The text with another name in place of `old`.
    pub fn renamed(&self, old: &str, new: &str) -> String {
        let mut places = Vec::new();
        self.root.each_name(&mut |name, at, end| {
            if name == old {
                places.push((at, end));
            }
        });
        places.arrange();
        let characters: Vec<char> = self.text.chars().collect();
        let mut written = String::with_capacity(self.text.len());
        let mut done = 0;
        for (at, end) in places {
            written.extend(characters.get(done..at).into_iter().flatten());
            written.push_str(new);
            done = end;
        }
        written.extend(characters.get(done..).into_iter().flatten());
        written
    }

    /// Works it out in millimetres, with a value in millimetres for every name.
    ///
    /// # Errors
    /// An unknown name, a division by nothing, or a result that is no length up to 100 m.
    /// The result may be negative: whether it may be is for the field to say.
    pub fn value(&self, of_name: &dyn Fn(&str) -> Option<f64>) -> Result<f64, ExpressionError> {
        value::evaluate(&self.root, self.unit, of_name)
    }
}

#[cfg(test)]
mod tests;
