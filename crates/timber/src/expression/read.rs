//! Reads the text of an expression into a tree, by recursive descent.

use super::value::{Kind, Node, Operator};
use super::{ExpressionError, ExpressionFault, MAX_CHARACTERS, MAX_DEPTH};
use crate::length::{
    LengthError, Measure, UnitWord, all_digits, decimal_text, doubtful_point, push_plain,
};
use crate::words::shortened;

pub(super) fn read(text: &str) -> Result<Node, ExpressionError> {
    if text.chars().count() > MAX_CHARACTERS {
        return Err(ExpressionError {
            at: MAX_CHARACTERS,
            fault: ExpressionFault::TooLong,
        });
    }
    let tokens = Scanner::new(text).tokens()?;
    if tokens.is_empty() {
        return Err(ExpressionError {
            at: 0,
            fault: ExpressionFault::Empty,
        });
    }
    let mut parser = Parser {
        tokens: &tokens,
        next: 0,
        end: text.chars().count(),
    };
    let root = parser.sum(0)?;
    match parser.peek() {
        None => Ok(root),
        Some(Token {
            at,
            kind: TokenKind::Close,
            ..
        }) => Err(ExpressionError {
            at: *at,
            fault: ExpressionFault::Bracket,
        }),
        Some(token) => Err(ExpressionError {
            at: token.at,
            fault: ExpressionFault::OperatorMissing { word: token.word() },
        }),
    }
}

/// Refuses `1.400` where it counts as millimetres, as a length field does: it may mean 1400.
/// A factor such as 1.618 is no length and stays.
pub(super) fn refuse_doubtful_points(root: &Node, text: &str) -> Result<(), ExpressionError> {
    let mut places = Vec::new();
    root.bare_lengths(true, &mut places);
    let first = places
        .into_iter()
        .filter_map(|(at, end)| {
            let digits: String = text.chars().skip(at).take(end - at).collect();
            Some((at, doubtful_point(digits.trim())?))
        })
        .min_by_key(|(at, _)| *at);
    match first {
        Some((at, doubt)) => Err(ExpressionError {
            at,
            fault: ExpressionFault::Number(doubt),
        }),
        None => Ok(()),
    }
}

#[derive(Debug, Clone)]
struct Token {
    at: usize,
    end: usize,
    kind: TokenKind,
}

#[derive(Debug, Clone)]
enum TokenKind {
    Value(Kind),
    Operator(Operator),
    Open,
    Close,
}

impl Token {
    fn word(&self) -> String {
        match &self.kind {
            TokenKind::Value(Kind::Name(name)) => shortened(name),
            TokenKind::Open => "(".into(),
            _ => "the next number".into(),
        }
    }
}

/// Cuts the text into tokens, after replacing typographic signs.
struct Scanner {
    /// Each plain character with the position of what was typed.
    characters: Vec<(usize, char)>,
    next: usize,
    /// How many characters were typed.
    end: usize,
}

impl Scanner {
    fn new(text: &str) -> Scanner {
        let mut characters = Vec::new();
        let mut plain = String::new();
        for (at, character) in text.chars().enumerate() {
            plain.clear();
            push_plain(character, &mut plain);
            characters.extend(plain.chars().map(|c| (at, c)));
        }
        let end = text.chars().count();
        Scanner {
            characters,
            next: 0,
            end,
        }
    }

    fn tokens(mut self) -> Result<Vec<Token>, ExpressionError> {
        let mut tokens: Vec<Token> = Vec::new();
        loop {
            self.skip_spaces();
            let Some((at, character)) = self.characters.get(self.next).copied() else {
                return Ok(tokens);
            };
            let kind = match character {
                '0'..='9' | '.' | ',' => {
                    let after_slash = matches!(
                        tokens.last(),
                        Some(Token {
                            kind: TokenKind::Operator(Operator::Over),
                            ..
                        })
                    );
                    TokenKind::Value(self.number(after_slash)?)
                }
                '+' | '-' | '*' | '/' | '(' | ')' => {
                    self.next += 1;
                    match character {
                        '+' => TokenKind::Operator(Operator::Plus),
                        '-' => TokenKind::Operator(Operator::Minus),
                        '*' => TokenKind::Operator(Operator::Times),
                        '/' => TokenKind::Operator(Operator::Over),
                        '(' => TokenKind::Open,
                        _ => TokenKind::Close,
                    }
                }
                c if c.is_alphabetic() => TokenKind::Value(Kind::Name(self.name())),
                sign => {
                    return Err(ExpressionError {
                        at,
                        fault: ExpressionFault::UnknownSign { sign },
                    });
                }
            };
            let end = self
                .characters
                .get(self.next)
                .map_or(self.end, |(at, _)| *at);
            tokens.push(Token { at, end, kind });
        }
    }

    /// A number with its unit, if any; feet may be followed by inches.
    fn number(&mut self, after_slash: bool) -> Result<Kind, ExpressionError> {
        let measure = self.measure(after_slash)?;
        let Some(unit) = self.unit() else {
            return Ok(match &measure {
                Measure::Decimal(_) => Kind::Number(measure.number()),
                // A whole number with a fraction is in inches, as in a length field.
                Measure::Fraction { whole, .. } if *whole > 0.0 => {
                    Kind::Length(measure.millimetres(UnitWord::Inch))
                }
                Measure::Fraction { .. } => Kind::Fraction(measure.number()),
            });
        };
        let mut mm = measure.millimetres(unit);
        if unit == UnitWord::Foot && self.digit_follows() {
            let inches = self.measure(false)?;
            if !matches!(self.unit(), None | Some(UnitWord::Inch)) {
                return Err(self.fault(LengthError::NotALength {
                    text: "feet and inches".into(),
                }));
            }
            if inches.number() >= 12.0 {
                return Err(self.fault(LengthError::TooManyInches));
            }
            mm += inches.millimetres(UnitWord::Inch);
        }
        Ok(Kind::Length(mm))
    }

    /// A decimal, a whole number and a fraction (`16 1/4`), or a proper fraction.
    fn measure(&mut self, after_slash: bool) -> Result<Measure, ExpressionError> {
        let first = self.digits();
        if all_digits(&first) && !after_slash {
            let start = self.next;
            if let Some(fraction) = self.fraction_after(&first)? {
                return Ok(fraction);
            }
            self.next = start;
        }
        decimal_text(&first)
            .map(Measure::Decimal)
            .map_err(|error| self.fault(error))
    }

    /// `first` is a whole number and ` n/d` follows, or it is itself the upper part of a
    /// fraction below one or with a unit behind it; otherwise the slash divides.
    fn fraction_after(&mut self, first: &str) -> Result<Option<Measure>, ExpressionError> {
        if self.peek() == Some(' ') {
            self.skip_spaces();
            let numerator = self.digits();
            if !all_digits(&numerator) || self.peek() != Some('/') {
                return Ok(None);
            }
            self.next += 1;
            let denominator = self.digits();
            if !all_digits(&denominator) {
                return Ok(None);
            }
            let fraction = self.fraction(first, &numerator, &denominator)?;
            if let Measure::Fraction {
                numerator,
                denominator,
                ..
            } = &fraction
                && numerator >= denominator
            {
                return Err(self.fault(LengthError::FractionNotBelowOne));
            }
            return Ok(Some(fraction));
        }
        if self.peek() != Some('/') {
            return Ok(None);
        }
        self.next += 1;
        let denominator = self.digits();
        if !all_digits(&denominator) {
            return Ok(None);
        }
        let behind = self.next;
        let has_unit = self.unit().is_some();
        self.next = behind;
        let inch_like = ["2", "4", "8", "16", "32", "64"].contains(&denominator.as_str());
        let fraction = self.fraction("0", first, &denominator)?;
        let below_one = fraction.number() < 1.0;
        Ok((has_unit || (inch_like && below_one)).then_some(fraction))
    }

    fn fraction(&self, whole: &str, over: &str, under: &str) -> Result<Measure, ExpressionError> {
        let number = |digits: &str| digits.parse().unwrap_or(f64::INFINITY);
        let denominator: f64 = number(under);
        if denominator == 0.0 {
            return Err(self.fault(LengthError::OverNought));
        }
        Ok(Measure::Fraction {
            whole: number(whole),
            numerator: number(over),
            denominator,
        })
    }

    /// The unit that comes next, if one does.
    fn unit(&mut self) -> Option<UnitWord> {
        let start = self.next;
        self.skip_spaces();
        match self.peek() {
            Some('"') => {
                self.next += 1;
                return Some(UnitWord::Inch);
            }
            Some('\'') => {
                self.next += 1;
                if self.peek() == Some('\'') {
                    self.next += 1;
                    return Some(UnitWord::Inch);
                }
                return Some(UnitWord::Foot);
            }
            Some(c) if c.is_alphabetic() => {
                if let Some(unit) = UnitWord::of(&self.word()) {
                    return Some(unit);
                }
            }
            _ => {}
        }
        self.next = start;
        None
    }

    fn digit_follows(&mut self) -> bool {
        let start = self.next;
        self.skip_spaces();
        if self.peek().is_some_and(|c| c.is_ascii_digit() || c == '.') {
            return true;
        }
        self.next = start;
        false
    }

    fn digits(&mut self) -> String {
        self.take_while(|c| c.is_ascii_digit() || c == '.' || c == ',')
    }

    fn word(&mut self) -> String {
        self.take_while(|c| c.is_alphanumeric() || c == '_')
    }

    /// A name of one or several words, with one space between each two however many were typed.
    fn name(&mut self) -> String {
        let mut name = self.word();
        loop {
            let behind = self.next;
            self.skip_spaces();
            let word = self.word();
            if word.is_empty() || UnitWord::of(&word).is_some() {
                self.next = behind;
                return name;
            }
            name.push(' ');
            name.push_str(&word);
        }
    }

    fn take_while(&mut self, belongs: impl Fn(char) -> bool) -> String {
        let mut taken = String::new();
        while let Some(character) = self.peek().filter(|c| belongs(*c)) {
            taken.push(character);
            self.next += 1;
        }
        taken
    }

    fn skip_spaces(&mut self) {
        while self.peek() == Some(' ') {
            self.next += 1;
        }
    }

    fn peek(&self) -> Option<char> {
        self.characters
            .get(self.next)
            .map(|(_, character)| *character)
    }

    /// A fault in the number that was just read.
    fn fault(&self, error: LengthError) -> ExpressionError {
        let last = self
            .next
            .saturating_sub(1)
            .min(self.characters.len().saturating_sub(1));
        let at = self.characters.get(last).map_or(0, |(at, _)| *at);
        ExpressionError {
            at,
            fault: ExpressionFault::Number(error),
        }
    }
}

struct Parser<'a> {
    tokens: &'a [Token],
    next: usize,
    end: usize,
}

impl Parser<'_> {
    fn peek(&self) -> Option<&Token> {
        self.tokens.get(self.next)
    }

    fn sum(&mut self, depth: usize) -> Result<Node, ExpressionError> {
        let mut left = self.product(depth)?;
        while let Some(Token {
            at,
            end,
            kind: TokenKind::Operator(operator @ (Operator::Plus | Operator::Minus)),
        }) = self.peek()
        {
            let (at, end, operator) = (*at, *end, *operator);
            self.next += 1;
            let right = self.product(depth)?;
            left = Node {
                at,
                end,
                kind: Kind::Binary(operator, Box::new(left), Box::new(right)),
            };
        }
        Ok(left)
    }

    fn product(&mut self, depth: usize) -> Result<Node, ExpressionError> {
        let mut left = self.factor(depth)?;
        while let Some(Token {
            at,
            end,
            kind: TokenKind::Operator(operator @ (Operator::Times | Operator::Over)),
        }) = self.peek()
        {
            let (at, end, operator) = (*at, *end, *operator);
            self.next += 1;
            let right = self.factor(depth)?;
            left = Node {
                at,
                end,
                kind: Kind::Binary(operator, Box::new(left), Box::new(right)),
            };
        }
        Ok(left)
    }

    fn factor(&mut self, depth: usize) -> Result<Node, ExpressionError> {
        let Some(token) = self.peek().cloned() else {
            return Err(ExpressionError {
                at: self.end,
                fault: ExpressionFault::ValueMissing,
            });
        };
        if depth >= MAX_DEPTH {
            return Err(ExpressionError {
                at: token.at,
                fault: ExpressionFault::TooLong,
            });
        }
        self.next += 1;
        match token.kind {
            TokenKind::Value(kind) => Ok(Node {
                at: token.at,
                end: token.end,
                kind,
            }),
            TokenKind::Operator(Operator::Minus) => {
                let inner = self.factor(depth + 1)?;
                Ok(Node {
                    at: token.at,
                    end: token.end,
                    kind: Kind::Negate(Box::new(inner)),
                })
            }
            TokenKind::Open => {
                let inner = self.sum(depth + 1)?;
                match self.peek() {
                    Some(Token {
                        kind: TokenKind::Close,
                        ..
                    }) => {
                        self.next += 1;
                        Ok(inner)
                    }
                    Some(other) => Err(ExpressionError {
                        at: other.at,
                        fault: ExpressionFault::OperatorMissing { word: other.word() },
                    }),
                    None => Err(ExpressionError {
                        at: token.at,
                        fault: ExpressionFault::Bracket,
                    }),
                }
            }
            TokenKind::Operator(_) | TokenKind::Close => Err(ExpressionError {
                at: token.at,
                fault: ExpressionFault::ValueMissing,
            }),
        }
    }
}
