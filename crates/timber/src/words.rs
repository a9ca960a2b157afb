//! How sentences count, list and begin: everything written in words uses these.

use std::fmt::Display;

/// `part` or `parts`, without the number.
pub fn plural<'a>(count: impl PartialEq + From<u8>, one: &'a str, several: &'a str) -> &'a str {
    if count == 1.into() { one } else { several }
}

/// `1 part`, `3 parts`.
pub fn counted(
    count: impl Display + Copy + PartialEq + From<u8>,
    one: &str,
    several: &str,
) -> String {
    format!("{count} {}", plural(count, one, several))
}

/// `a`, `a and b`, `a, b and c`; nothing for no words.
pub fn listed(words: &[impl AsRef<str>]) -> String {
    with_last(words, "and")
}

/// `a`, `a or b`, `a, b or c`; nothing for no words.
pub fn either(words: &[impl AsRef<str>]) -> String {
    with_last(words, "or")
}

fn with_last(words: &[impl AsRef<str>], before_last: &str) -> String {
    let words: Vec<&str> = words.iter().map(AsRef::as_ref).collect();
    match words.as_slice() {
        [] => String::new(),
        [only] => (*only).to_owned(),
        [first @ .., last] => format!("{} {before_last} {last}", first.join(", ")),
    }
}

/// The text with its first letter in capitals, as a sentence begins.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// At most forty characters of what was typed, for a message.
pub fn shortened(text: &str) -> String {
    let text = text.trim();
    let mut short: String = text.chars().take(40).collect();
    if text.chars().count() > 40 {
        short.push('\u{2026}');
    }
    short
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn things_are_counted() {
        assert_eq!(counted(0_usize, "part", "parts"), "0 parts");
        assert_eq!(counted(1_u32, "part", "parts"), "1 part");
        assert_eq!(counted(2_u64, "part", "parts"), "2 parts");
    }

    #[test]
    fn words_are_listed() {
        assert_eq!(listed(&[""; 0]), "");
        assert_eq!(listed(&["a"]), "a");
        assert_eq!(listed(&["a", "b"]), "a and b");
        assert_eq!(either(&["a", "b", "c"]), "a, b or c");
    }

    #[test]
    fn sentences_begin_with_a_capital() {
        assert_eq!(capital("élan and oak"), "Élan and oak");
        assert_eq!(capital(""), "");
    }
}
