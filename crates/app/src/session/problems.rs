//! What is wrong with the job as typed, joined to the forms that mend it.

use heartside_geometry::SortedMap;

use heartside_timber::diagnostic::{Diagnostic, Level, Subject};
use heartside_timber::words::capital;

use super::Session;
use crate::protocol::{ProblemRow, Thing, ThingKind};

impl Session {
    /// Everything that is wrong, in the order of the job.
    pub(super) fn problem_rows(&self) -> Vec<ProblemRow> {
        self.opening
            .iter()
            .chain(&self.diagnostics)
            .map(|d| self.problem_row(d))
            .collect()
    }

    pub(super) fn problem_row(&self, diagnostic: &Diagnostic) -> ProblemRow {
        let joined = self.thing_at(diagnostic);
        let place = match &joined {
            Some((thing, _)) => self.called(thing),
            None => words_of(diagnostic),
        };
        let (thing, field) = joined.map_or((None, None), |(t, f)| (Some(t), f));
        ProblemRow {
            code: diagnostic.code.clone(),
            level: diagnostic.level,
            place: capital(&place),
            message: diagnostic.message.clone(),
            hint: diagnostic.hint.clone(),
            thing,
            field,
        }
    }

    /// What is wrong with one thing or what lies inside it: the thing itself, its field, the sentence.
    pub(super) fn problems_of(&self, thing: &Thing) -> Vec<(Thing, Option<String>, String)> {
        self.diagnostics
            .iter()
            .filter(|d| d.level != Level::Note)
            .filter_map(|d| {
                let (of, field) = self.thing_at(d)?;
                let same_board = thing.kind == ThingKind::Board
                    && of.kind == ThingKind::Zone
                    && of.row == thing.row;
                let whole = |d: &Diagnostic| {
                    d.hint.as_ref().map_or_else(
                        || d.message.clone(),
                        |hint| format!("{}; {hint}", d.message),
                    )
                };
                if of == *thing {
                    Some((of, field, whole(d)))
                } else if same_board {
                    Some((
                        of.clone(),
                        None,
                        format!("{}: {}", self.called(&of), whole(d)),
                    ))
                } else {
                    None
                }
            })
            .collect()
    }

    /// How many things are wrong with each thing and what lies inside it.
    pub(super) fn counted_problems(&self) -> SortedMap<(ThingKind, u32), u32> {
        let mut counts = SortedMap::new();
        for diagnostic in self.diagnostics.iter().filter(|d| d.level != Level::Note) {
            let Some((thing, _)) = self.thing_at(diagnostic) else {
                continue;
            };
            // A zone's problem is its board's too: zones have no row of their own in the sheet.
            let kind = match thing.kind {
                ThingKind::Zone => ThingKind::Board,
                kind => kind,
            };
            *counts.entry((kind, thing.row)).or_default() += 1;
        }
        counts
    }

    /// How many things are wrong with a thing and what lies inside it.
    pub(super) fn problem_count(&self, thing: &Thing) -> u32 {
        let key = (thing.kind, thing.row);
        self.problem_counts.get(&key).copied().unwrap_or(0)
    }

    /// The thing whose form mends a problem, and the field in it.
    fn thing_at(&self, diagnostic: &Diagnostic) -> Option<(Thing, Option<String>)> {
        let place = &diagnostic.place;
        let field = place.field.clone();
        let thing = |kind| place.row.map(|row| (Thing::row(kind, row), field.clone()));
        match place.subject {
            Subject::Board => {
                let (board, field) = thing(ThingKind::Board)?;
                Some(match field.as_deref().and_then(|f| inner(f, "zones")) {
                    Some((index, rest)) => (Thing::inner(ThingKind::Zone, board.at(), index), rest),
                    None => (board, field),
                })
            }
            Subject::Part => thing(ThingKind::Part),
            Subject::Dimension => thing(ThingKind::Dimension),
            Subject::Workshop => Some(match field.as_deref().and_then(|f| inner(f, "tools")) {
                Some((index, rest)) => (Thing::row(ThingKind::Tool, index), rest),
                None => (Thing::only(ThingKind::Workshop), field),
            }),
            Subject::Relation => {
                let within = |list| field.as_deref().and_then(|f| inner(f, list));
                if let Some((row, rest)) = within("panels") {
                    // How a part is glued up stands in the form of the part.
                    let part = &self.document.panels.get(row)?.part;
                    let field = rest.map_or_else(|| "panel".to_owned(), |f| format!("panel.{f}"));
                    return Some((self.thing_of_part(part)?, Some(field)));
                }
                let (index, rest) = within("matches")?;
                Some((Thing::row(ThingKind::Match, index), rest))
            }
            Subject::Job => Some(match field.as_deref() {
                Some(f) if f.starts_with("allowances.") => (
                    Thing::only(ThingKind::Allowances),
                    Some(f["allowances.".len()..].to_owned()),
                ),
                Some(f) => match inner(f, "species") {
                    Some((index, rest)) => (Thing::row(ThingKind::Species, index), rest),
                    None => (Thing::only(ThingKind::Job), field),
                },
                None => (Thing::only(ThingKind::Job), None),
            }),
            Subject::Plan | Subject::Cut | Subject::File => None,
        }
    }
}

/// `zones[3].shape.along` with `zones` is 3 and `shape.along`.
fn inner(field: &str, list: &str) -> Option<(usize, Option<String>)> {
    let rest = field.strip_prefix(list)?.strip_prefix('[')?;
    let (index, rest) = rest.split_once(']')?;
    let rest = rest
        .strip_prefix('.')
        .filter(|r| !r.is_empty())
        .map(str::to_owned);
    Some((index.parse().ok()?, rest))
}

fn words_of(diagnostic: &Diagnostic) -> String {
    let place = &diagnostic.place;
    let named = || {
        place
            .name
            .clone()
            .or_else(|| place.id.clone())
            .unwrap_or_default()
    };
    match (place.subject, place.line) {
        (Subject::File, Some(line)) => format!("the file, line {line}"),
        (Subject::File, None) => "the file".to_owned(),
        (Subject::Plan, _) => format!("plan {}", named()),
        (Subject::Relation, _) => "matches and pins".to_owned(),
        _ => named(),
    }
}
