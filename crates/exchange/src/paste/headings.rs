//! What is told about the headings of a list, whatever it lists.

use heartside_timber::words::shortened;

use super::columns::{Column, Field};
use super::row::Pasted;

/// More lines than this are refused: no piece has so many different parts.
pub(super) const MOST_LINES: usize = 20_000;

/// Tells which headings stand there twice, and which are not known.
pub(super) fn tell_headings(first_line: usize, columns: &[Column], pasted: &mut Pasted) {
    for (k, column) in columns.iter().enumerate() {
        let says = |c: &Column| {
            c.field.or(c
                .said
                .filter(|f| !matches!(f, Field::Note | Field::LeftOut)))
        };
        let again = columns[..k]
            .iter()
            .any(|c| says(c).is_some() && says(c) == says(column));
        if again {
            let message = format!(
                "two columns are headed \u{201c}{}\u{201d}",
                shortened(&column.heading)
            );
            pasted.say(
                first_line,
                None,
                "paste-column-twice",
                message,
                "the last one that says something counts",
            );
        } else if column.field.or(column.said).is_none() && !column.heading.is_empty() {
            let message = format!(
                "the column \u{201c}{}\u{201d} is not known",
                shortened(&column.heading)
            );
            pasted.say(
                first_line,
                None,
                "paste-column-unknown",
                message,
                "its cells go into the note",
            );
        }
    }
}
