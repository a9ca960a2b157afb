//! The signs of a line, each with its place.

use heartside_timber::length::{is_unit, push_plain};

/// What a unit measures, as far as it decides what may follow it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum UnitSign {
    Foot,
    Inch,
    Metric,
}

impl UnitSign {
    fn of(word: &str) -> Option<UnitSign> {
        if !is_unit(word) {
            return None;
        }
        Some(match word.to_lowercase().as_str() {
            "'" | "ft" | "foot" | "feet" => UnitSign::Foot,
            "\"" | "''" | "in" | "inch" | "inches" => UnitSign::Inch,
            _ => UnitSign::Metric,
        })
    }
}

/// A sign of the line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Sign {
    /// Figures, with points and commas between them.
    Number,
    Unit(UnitSign),
    Slash,
    Plus,
    Hyphen,
    At,
    Times,
    Comma,
    Colon,
    Word,
    Other,
}

/// A sign and where it stands: `from` and `to` in the plain text.
#[derive(Debug, Clone, Copy)]
pub(super) struct Token {
    pub(super) sign: Sign,
    pub(super) from: usize,
    pub(super) to: usize,
}

/// A line in plain signs (straight quotes, fractions written out), with the way back to what was typed.
pub(super) struct Scanned {
    typed: Vec<char>,
    pub(super) plain: String,
    /// For each byte of the plain text, and for its end, the typed character that it came from, from 0.
    places: Vec<usize>,
    pub(super) tokens: Vec<Token>,
}

impl Scanned {
    pub(super) fn of(text: &str) -> Scanned {
        let typed: Vec<char> = text.chars().collect();
        let mut plain = String::with_capacity(text.len());
        let mut places = Vec::with_capacity(text.len() + 1);
        for (place, character) in typed.iter().enumerate() {
            push_plain(*character, &mut plain);
            places.resize(plain.len(), place);
        }
        places.push(typed.len());
        let tokens = tokens(&plain);
        Scanned {
            typed,
            plain,
            places,
            tokens,
        }
    }

    /// The column of a place in the plain text, from 1.
    pub(super) fn column(&self, byte: usize) -> usize {
        self.places.get(byte).map_or(self.typed.len(), |at| *at) + 1
    }

    /// What was typed from a place of the plain text to another.
    pub(super) fn typed(&self, from: usize, to: usize) -> String {
        let (from, to) = (self.column(from) - 1, self.column(to) - 1);
        self.typed.get(from..to).unwrap_or(&[]).iter().collect()
    }

    pub(super) fn text(&self, token: Token) -> &str {
        &self.plain[token.from..token.to]
    }
}

fn tokens(plain: &str) -> Vec<Token> {
    let mut tokens = Vec::new();
    let mut from = 0;
    while let Some(first) = plain[from..].chars().next() {
        let rest = &plain[from..];
        let (sign, length) = match first {
            ' ' => {
                from += 1;
                continue;
            }
            '0'..='9' => (Sign::Number, number(rest)),
            '.' | ',' if number(rest) > 0 => (Sign::Number, number(rest)),
            '/' => (Sign::Slash, 1),
            '+' => (Sign::Plus, 1),
            '-' => (Sign::Hyphen, 1),
            '@' => (Sign::At, 1),
            '*' => (Sign::Times, 1),
            ',' | ';' => (Sign::Comma, 1),
            ':' => (Sign::Colon, 1),
            '"' => (Sign::Unit(UnitSign::Inch), 1),
            '\'' if rest.starts_with("''") => (Sign::Unit(UnitSign::Inch), 2),
            '\'' => (Sign::Unit(UnitSign::Foot), 1),
            c if c.is_alphabetic() => word(rest),
            c => (Sign::Other, c.len_utf8()),
        };
        tokens.push(Token {
            sign,
            from,
            to: from + length,
        });
        from += length;
    }
    tokens
}

/// The length of a number at the beginning of a text; a point or comma belongs to it only before a figure.
fn number(text: &str) -> usize {
    let bytes = text.as_bytes();
    let figure = |k: usize| bytes.get(k).is_some_and(u8::is_ascii_digit);
    let mut length = 0;
    while figure(length) || matches!(bytes.get(length), Some(b'.' | b',')) && figure(length + 1) {
        length += 1;
    }
    length
}

fn word(text: &str) -> (Sign, usize) {
    let length = text
        .find(|c: char| !c.is_alphabetic())
        .unwrap_or(text.len());
    let word = &text[..length];
    if word.eq_ignore_ascii_case("x") {
        return (Sign::Times, length);
    }
    match UnitSign::of(word) {
        // "in." and "ft." are written with a full stop.
        Some(unit) if text[length..].starts_with('.') => (Sign::Unit(unit), length + 1),
        Some(unit) => (Sign::Unit(unit), length),
        None => (Sign::Word, length),
    }
}
