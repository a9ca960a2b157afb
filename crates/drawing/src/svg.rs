//! Writes SVG: numbers, escaped text, paths, file names.

use heartside_geometry::{Point, Region};
use heartside_timber::length::write_decimal;

/// A number for an SVG attribute: at most three decimals, no trailing noughts.
///
/// A micrometre is the grid of placements, so nothing is lost that could be sawn. What is
/// not finite becomes 0, so that a drawing never holds a broken number.
pub fn number(value: f64) -> String {
    if !value.is_finite() {
        return "0".into();
    }
    if value.abs() < 1.0e12 {
        return write_decimal(value, 3);
    }
    let mut text = format!("{value:.3}");
    text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
    text
}

/// Text made safe for SVG content and attributes: markup escaped, control characters and
/// what XML 1.0 forbids left out, line breaks and tabs turned into blanks.
pub fn escape(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            '\n' | '\r' | '\t' => safe.push(' '),
            // Direction overrides could make a label read as something else.
            '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => {}
            '\u{fffe}' | '\u{ffff}' => {}
            c if c.is_control() => {}
            c => safe.push(c),
        }
    }
    safe
}

/// Longest file name that is made, without its ending; short enough for every file system.
const LONGEST_FILE_NAME: usize = 60;

/// A file name (without ending) made of an id: letters `a-z A-Z`, digits, `-` and `_` only.
///
/// Other characters become `-`; a name that would be empty, or that some system keeps for
/// itself (`con`, `nul`, `com1`, ...), gets a leading `x-`. Different ids may give the same
/// name: whoever writes several files keeps count.
pub fn safe_file_name(id: &str) -> String {
    let mut name = String::new();
    for c in id.chars() {
        let c = if c.is_ascii_alphanumeric() || c == '_' {
            c
        } else {
            '-'
        };
        if c != '-' || !name.ends_with('-') {
            name.push(c);
        }
        if name.len() >= LONGEST_FILE_NAME {
            break;
        }
    }
    let name = name.trim_matches('-');
    let lower = name.to_ascii_lowercase();
    let kept = matches!(lower.as_str(), "con" | "prn" | "aux" | "nul")
        || (lower.len() == 4
            && (lower.starts_with("com") || lower.starts_with("lpt"))
            && lower.ends_with(|c: char| c.is_ascii_digit()));
    if name.is_empty() || kept {
        format!("x-{name}").trim_end_matches('-').to_owned()
    } else {
        name.to_owned()
    }
}

/// Gives each drawing element an id that no other element of the same drawing has.
#[derive(Debug, Default)]
pub(crate) struct Ids {
    used: std::collections::BTreeSet<String>,
}

impl Ids {
    /// An id made of a word and the person's own id, unique here.
    pub(crate) fn make(&mut self, word: &str, id: &str) -> String {
        let base = format!("{word}-{}", safe_file_name(id));
        let mut name = base.clone();
        let mut count = 2;
        while !self.used.insert(name.clone()) {
            name = format!("{base}.{count}");
            count += 1;
        }
        name
    }

    /// Takes ids that were made before; none of them where one is taken already.
    pub(crate) fn take_all<'a>(&mut self, ids: impl Iterator<Item = &'a String> + Clone) -> bool {
        let are_free = ids.clone().all(|id| !self.used.contains(id));
        if are_free {
            self.used.extend(ids.cloned());
        }
        are_free
    }
}

/// Where the board's frame (y up) lies in the drawing (y down).
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Origin {
    /// Drawing x of the board's origin.
    pub(crate) x: f64,
    /// Drawing y of the board's origin.
    pub(crate) y: f64,
    /// The board is seen turned over about its length: what is at its upper edge comes to the lower.
    pub(crate) turned_over: bool,
}

impl Origin {
    /// Of a board that is seen as it lies.
    pub(crate) fn at(x: f64, y: f64) -> Origin {
        Origin {
            x,
            y,
            turned_over: false,
        }
    }

    /// That of the frame of the face that is seen: the board's, or that mirrored.
    pub(crate) fn of_face(self) -> Origin {
        Origin::at(self.x, self.y)
    }

    /// A point of the board in the drawing.
    pub(crate) fn map(self, p: Point) -> Point {
        let y = if self.turned_over { -p.y } else { p.y };
        Point {
            x: self.x + p.x,
            y: self.y - y,
        }
    }

    fn pair(self, p: Point) -> String {
        let q = self.map(p);
        format!("{},{}", number(q.x), number(q.y))
    }

    /// The path of a region: every ring closed.
    pub(crate) fn region(self, region: &Region) -> String {
        let mut d = String::new();
        for ring in region.rings() {
            self.ring_into(&mut d, ring.points());
        }
        d
    }

    /// The path of one closed ring.
    pub(crate) fn ring(self, points: &[Point]) -> String {
        let mut d = String::new();
        self.ring_into(&mut d, points);
        d
    }

    fn ring_into(self, d: &mut String, points: &[Point]) {
        for (place, point) in points.iter().enumerate() {
            d.push(if place == 0 { 'M' } else { 'L' });
            d.push_str(&self.pair(*point));
        }
        if !points.is_empty() {
            d.push('Z');
        }
    }

    /// The path of an open chain of points.
    pub(crate) fn chain(self, points: &[Point]) -> String {
        let mut d = String::new();
        for (place, point) in points.iter().enumerate() {
            d.push(if place == 0 { 'M' } else { 'L' });
            d.push_str(&self.pair(*point));
        }
        d
    }

    /// The path of many separate lines.
    pub(crate) fn lines(self, lines: &[(Point, Point)]) -> String {
        let mut d = String::new();
        for (a, b) in lines {
            d.push('M');
            d.push_str(&self.pair(*a));
            d.push('L');
            d.push_str(&self.pair(*b));
        }
        d
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_short_and_always_finite() {
        assert_eq!(number(12.5), "12.5");
        assert_eq!(number(-0.0004), "0");
        assert_eq!(number(100.0), "100");
        assert_eq!(number(f64::NAN), "0");
        assert_eq!(number(f64::NEG_INFINITY), "0");
        assert_eq!(number(1.0 / 3.0), "0.333");
    }

    #[test]
    fn markup_is_escaped_and_control_characters_go() {
        assert_eq!(
            escape("<b>\u{0}\u{8}a & \"b\"\n</b>"),
            "&lt;b&gt;a &amp; &quot;b&quot; &lt;/b&gt;"
        );
        assert_eq!(escape("a\u{202e}b"), "ab");
    }

    #[test]
    fn file_names_never_leave_the_folder() {
        assert_eq!(safe_file_name("../x"), "x");
        assert_eq!(safe_file_name(".."), "x");
        assert_eq!(safe_file_name(""), "x");
        assert_eq!(safe_file_name("NUL"), "x-NUL");
        assert_eq!(safe_file_name("com7"), "x-com7");
        assert_eq!(safe_file_name("Brett Ö / 3"), "Brett-3");
        assert_eq!(safe_file_name("C_1-b"), "C_1-b");
        assert!(safe_file_name(&"a".repeat(500)).len() <= LONGEST_FILE_NAME);
    }

    #[test]
    fn ids_are_unique_even_where_letters_were_lost() {
        let mut ids = Ids::default();
        assert_eq!(ids.make("part", "a b"), "part-a-b");
        assert_eq!(ids.make("part", "a-b"), "part-a-b.2");
        assert_eq!(ids.make("part", "a/b"), "part-a-b.3");
    }
}
