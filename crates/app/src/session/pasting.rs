//! Parts added from a list.

use heartside_exchange::paste::{MEANINGS, read_parts};
use heartside_timber::diagnostic::Level;
use heartside_timber::ids::TakenIds;

use super::{Change, Session};
use crate::protocol::{BadRow, Choice, OpenColumn, Outcome, Thing, ThingKind};

impl Session {
    /// Adds parts from a list with headings, or from typed lines. `meanings` says for each
    /// column, in order, what it holds where its heading does not tell.
    pub fn paste_parts(&mut self, text: &str, meanings: &[String]) -> Outcome {
        let mut taken = TakenIds::of(self.document.parts.iter().map(|p| p.id.as_str()));
        let unit = self.document.units.length;
        let pasted = read_parts(text, unit, &mut taken, meanings);
        let columns: Vec<OpenColumn> = pasted
            .unknown
            .iter()
            .map(|(at, heading)| OpenColumn {
                at: *at as u32,
                heading: heading.clone(),
                meanings: MEANINGS
                    .iter()
                    .map(|(value, label)| Choice {
                        value: (*value).to_owned(),
                        label: (*label).to_owned(),
                        picture: None,
                    })
                    .collect(),
            })
            .collect();
        let bad_rows: Vec<BadRow> = pasted
            .diagnostics
            .iter()
            .filter(|d| d.level != Level::Note)
            // Asked about by their columns.
            .filter(|d| d.code != "paste-column-unknown")
            .map(|d| BadRow {
                line: d.place.line.unwrap_or(1) as u32,
                message: match &d.hint {
                    Some(hint) => format!("{}; {hint}", d.message),
                    None => d.message.clone(),
                },
            })
            .collect();
        let count = pasted.parts.len();
        if count == 0 {
            let problem = if bad_rows.is_empty() {
                "there is nothing to paste: copy a table with a line of headings first"
            } else {
                "no row could be used"
            };
            return Outcome {
                bad_rows,
                columns,
                ..Outcome::refused(problem)
            };
        }
        let first = self.document.parts.len();
        let mut after = self.document.clone();
        after.parts.extend(pasted.parts);
        self.commit("pasting parts", after, Change::Job);
        let bad = match bad_rows.len() {
            0 => String::new(),
            1 => "; 1 thing in it is to be mended".to_owned(),
            n => format!("; {n} things in it are to be mended"),
        };
        let added = if count == 1 {
            "1 part added".to_owned()
        } else {
            format!("{count} parts added")
        };
        Outcome {
            bad_rows,
            columns,
            ..Outcome::done()
                .with_thing(Thing::row(ThingKind::Part, first))
                .saying(added + &bad)
        }
    }
}
