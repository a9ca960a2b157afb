//! Reads a list of parts pasted from a spreadsheet or typed as lines.
//!
//! The first line holds headings in plain English; columns may stand in any order. Cells
//! are parted by tabs, else by semicolons, else by commas. A heading may name the unit of
//! its bare numbers: `Length (mm)`, `Width in`. Nothing is dropped silently: a cell that
//! cannot be read stays in its field as written and is reported with its line; columns
//! that are not known go into the note.

use crate::diagnostic::{Diagnostic, Level, Place, Subject};
use crate::document::{Faces, GrainAxis, Length, Part, PartCut, Shape, Tenon};
use crate::ids::{TakenIds, is_safe_id};
use crate::length::{LengthContext, Unit, read_length, shortened};

/// More lines than this are refused: no piece has so many different parts.
pub const MOST_LINES: usize = 20_000;

/// The parts of a pasted list, and what is wrong with it by line.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Pasted {
    /// One part for every line that says something.
    pub parts: Vec<Part>,
    /// Problems, each with its line from 1.
    pub diagnostics: Vec<Diagnostic>,
}

/// Reads a pasted list. Bare numbers are in `unit` unless the heading says otherwise; ids
/// are taken from an id column or made from the names, and never from `taken`.
pub fn read_parts(text: &str, unit: Unit, taken: &mut TakenIds) -> Pasted {
    let mut pasted = Pasted::default();
    let rows = rows(text);
    let Some((first_line, headings)) = rows.first() else {
        pasted.say(
            1,
            None,
            "paste-empty",
            "there is nothing to paste",
            "copy the list with its headings",
        );
        return pasted;
    };
    if rows.len() > MOST_LINES {
        let message = format!("{} lines are too many for one list", rows.len());
        pasted.say(1, None, "paste-too-long", message, "paste it in pieces");
        return pasted;
    }
    let columns: Vec<Column> = headings.iter().map(|heading| Column::of(heading)).collect();
    if !columns
        .iter()
        .any(|c| matches!(c.field, Some(Field::Length | Field::Width | Field::Name)))
    {
        pasted.say(
            *first_line,
            None,
            "paste-without-headings",
            "the first line does not say what the columns are",
            "begin with a line such as Name, Count, Length, Width, Thickness",
        );
        return pasted;
    }
    for (k, column) in columns.iter().enumerate() {
        let again = columns[..k]
            .iter()
            .any(|c| c.field.is_some() && c.field == column.field);
        if again {
            let message = format!(
                "two columns are headed \u{201c}{}\u{201d}",
                shortened(&column.heading)
            );
            pasted.say(
                *first_line,
                None,
                "paste-column-twice",
                message,
                "the last one that says something counts",
            );
        } else if column.field.is_none() && !column.heading.is_empty() {
            let message = format!(
                "the column \u{201c}{}\u{201d} is not known",
                shortened(&column.heading)
            );
            pasted.say(
                *first_line,
                None,
                "paste-column-unknown",
                message,
                "its cells go into the note",
            );
        }
    }
    for (line, cells) in &rows[1..] {
        let mut row = RowReader {
            line: *line,
            unit,
            pasted: &mut pasted,
        };
        let part = row.part(&columns, cells, taken);
        pasted.parts.push(part);
    }
    if pasted.parts.is_empty() {
        let hint = "copy the lines under the headings too";
        pasted.say(
            *first_line,
            None,
            "paste-empty",
            "there are headings but no parts",
            hint,
        );
    }
    pasted
}

impl Pasted {
    fn say(
        &mut self,
        line: usize,
        field: Option<&str>,
        code: &str,
        message: impl Into<String>,
        hint: impl Into<String>,
    ) {
        self.diagnostics.push(Diagnostic {
            code: code.into(),
            level: Level::Warning,
            message: message.into(),
            place: Place {
                subject: Subject::File,
                line: Some(line),
                field: field.map(str::to_owned),
                ..Place::default()
            },
            hint: Some(hint.into()),
        });
    }
}

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Field {
    Id,
    Name,
    Count,
    Length,
    Width,
    Thickness,
    Species,
    Grain,
    Faces,
    Cut,
    Priority,
    TenonStart,
    TenonEnd,
    Note,
}

struct Column {
    heading: String,
    field: Option<Field>,
    /// The unit that the heading names.
    unit: Option<Unit>,
}

impl Column {
    fn of(heading: &str) -> Column {
        let plain: String = heading
            .to_lowercase()
            .chars()
            .map(|c| {
                if c.is_alphanumeric() || c == '"' {
                    c
                } else {
                    ' '
                }
            })
            .collect();
        let mut words: Vec<&str> = plain.split_whitespace().collect();
        let mut unit = None;
        // The last word may be a unit, unless it is all there is.
        if let Some((last, rest)) = words.split_last().filter(|(_, rest)| !rest.is_empty()) {
            unit = match *last {
                "mm" | "millimetres" | "millimeters" => Some(Unit::Millimetres),
                "in" | "inch" | "inches" | "\"" => Some(Unit::Inches),
                _ => None,
            };
            if unit.is_some() {
                words = rest.to_vec();
            }
        }
        if words.last() == Some(&"in") && words.len() > 1 {
            words.pop();
        }
        Column {
            heading: heading.trim().to_owned(),
            field: field(&words.join(" ")),
            unit,
        }
    }
}

fn field(words: &str) -> Option<Field> {
    Some(match words {
        "id" | "mark" => Field::Id,
        "name" | "part" | "part name" | "member" | "description" => Field::Name,
        "count" | "quantity" | "qty" | "number" | "no" | "how many" | "pieces" => Field::Count,
        "length" | "long" | "l" | "finished length" => Field::Length,
        "width" | "wide" | "w" | "breadth" | "finished width" => Field::Width,
        "thickness" | "thick" | "t" | "finished thickness" => Field::Thickness,
        "species" | "wood" | "timber" | "material" => Field::Species,
        "grain" | "grain direction" => Field::Grain,
        "faces" | "seen" | "seen faces" | "show faces" | "show face" => Field::Faces,
        "cut" | "cut by" | "how cut" => Field::Cut,
        "priority" => Field::Priority,
        "tenon start" | "tenon at start" | "first tenon" => Field::TenonStart,
        "tenon end" | "tenon at end" | "second tenon" => Field::TenonEnd,
        "note" | "notes" | "remark" | "remarks" | "comment" => Field::Note,
        _ => return None,
    })
}

struct RowReader<'a> {
    line: usize,
    unit: Unit,
    pasted: &'a mut Pasted,
}

impl RowReader<'_> {
    fn part(&mut self, columns: &[Column], cells: &[String], taken: &mut TakenIds) -> Part {
        let mut part = Part::default();
        let (mut length, mut width) = (None, None);
        let mut tenon = Tenon::default();
        let mut notes: Vec<String> = Vec::new();
        for (k, cell) in cells
            .iter()
            .enumerate()
            .filter(|(_, cell)| !cell.is_empty())
        {
            let Some(column) = columns.get(k) else {
                notes.push(cell.clone());
                self.say(
                    "",
                    "paste-cell-without-heading",
                    format!("\u{201c}{}\u{201d} has no heading", shortened(cell)),
                    "it goes into the note",
                );
                continue;
            };
            match column.field {
                Some(Field::Id) => part.id = cell.clone(),
                Some(Field::Name) => part.name = cell.clone(),
                Some(Field::Count) => {
                    part.count = self.whole("count", "the count", cell, &mut notes)
                }
                Some(Field::Priority) => {
                    part.priority = self.whole("priority", "the priority", cell, &mut notes)
                }
                Some(Field::Length) => {
                    length = Some(self.length("length", cell, column, LengthContext::Length))
                }
                Some(Field::Width) => {
                    width = Some(self.length("width", cell, column, LengthContext::Length))
                }
                Some(Field::Thickness) => {
                    part.thickness =
                        Some(self.length("thickness", cell, column, LengthContext::Thickness));
                }
                Some(Field::TenonStart) => {
                    tenon.start =
                        Some(self.length("tenon at the start", cell, column, LengthContext::Length))
                }
                Some(Field::TenonEnd) => {
                    tenon.end =
                        Some(self.length("tenon at the end", cell, column, LengthContext::Length))
                }
                Some(Field::Species) => {
                    part.species = cell
                        .split(['/', '|'])
                        .map(|s| s.trim().to_owned())
                        .filter(|s| !s.is_empty())
                        .collect();
                }
                Some(Field::Grain) => match cell.to_lowercase().as_str() {
                    "along" | "length" | "long" => part.grain.axis = GrainAxis::Along,
                    "across" | "width" => part.grain.axis = GrainAxis::Across,
                    "any" | "either" => part.grain.axis = GrainAxis::Any,
                    _ => self.word("grain", cell, "along, across or any", &mut notes),
                },
                Some(Field::Faces) => match cell.to_lowercase().as_str() {
                    "both" | "2" | "two" => part.faces = Faces::Both,
                    "one" | "1" => part.faces = Faces::One,
                    "none" | "0" | "hidden" => part.faces = Faces::Hidden,
                    "painted" => part.faces = Faces::Painted,
                    _ => self.word("faces", cell, "both, one, none or painted", &mut notes),
                },
                Some(Field::Cut) => match cell.to_lowercase().as_str() {
                    "straight" => part.cut = PartCut::Straight,
                    "sawn" | "by line" => part.cut = PartCut::Sawn,
                    _ => self.word("cut", cell, "straight or sawn", &mut notes),
                },
                Some(Field::Note) => notes.insert(0, cell.clone()),
                None if column.heading.is_empty() => notes.push(cell.clone()),
                None => notes.push(format!("{}: {cell}", column.heading)),
            }
        }
        part.shape = self.shape(length, width);
        if part.thickness.is_none() {
            self.say(
                "thickness",
                "paste-size-missing",
                "the thickness is missing",
                "write it in",
            );
        }
        part.tenon = (tenon != Tenon::default()).then_some(tenon);
        part.note = notes.join("; ");
        self.give_id(&mut part, taken);
        part
    }

    /// A rectangle; a missing side stays open as a text that cannot be read.
    fn shape(&mut self, length: Option<Length>, width: Option<Length>) -> Option<Shape> {
        for (side, what) in [(&length, "length"), (&width, "width")] {
            if side.is_none() {
                self.say(
                    what,
                    "paste-size-missing",
                    format!("the {what} is missing"),
                    "write it in",
                );
            }
        }
        let open = || Length::Typed {
            mm: None,
            typed: String::new(),
        };
        (length.is_some() || width.is_some()).then(|| Shape::Rectangle {
            length: length.unwrap_or_else(open),
            width: width.unwrap_or_else(open),
        })
    }

    fn give_id(&mut self, part: &mut Part, taken: &mut TakenIds) {
        let wanted = std::mem::take(&mut part.id);
        if is_safe_id(&wanted) && taken.take(&wanted) {
            part.id = wanted;
        } else {
            let from = if part.name.trim().is_empty() {
                &wanted
            } else {
                &part.name
            };
            part.id = taken.fresh(from, "part");
            if !wanted.is_empty() {
                let message = format!(
                    "the id \u{201c}{}\u{201d} cannot be used or is taken",
                    shortened(&wanted)
                );
                let hint = format!("the part is called {} instead", part.id);
                self.say("id", "paste-id", message, hint);
            }
        }
        if part.name.trim().is_empty() {
            part.name.clone_from(&part.id);
        }
    }

    /// A length as written; a bare number gets the unit of its column if that is another
    /// than the job's.
    fn length(
        &mut self,
        what: &str,
        cell: &str,
        column: &Column,
        context: LengthContext,
    ) -> Length {
        let unit = column.unit.unwrap_or(self.unit);
        match read_length(cell, unit, context) {
            Ok(mm) if read_length(cell, self.unit, context) == Ok(mm) => Length::Typed {
                mm: Some(mm),
                typed: cell.to_owned(),
            },
            Ok(mm) => {
                let word = if unit == Unit::Inches { "in" } else { "mm" };
                Length::Typed {
                    mm: Some(mm),
                    typed: format!("{cell} {word}"),
                }
            }
            Err(error) => {
                let message = format!("the {what} cannot be used: {error}");
                self.say(what, error.code(), message, error.hint());
                Length::Typed {
                    mm: None,
                    typed: cell.to_owned(),
                }
            }
        }
    }

    fn whole(
        &mut self,
        field: &str,
        what: &str,
        cell: &str,
        notes: &mut Vec<String>,
    ) -> Option<f64> {
        let number = cell.trim_end_matches(['x', '\u{d7}']).trim().parse::<u32>();
        match number {
            Ok(number) if number >= 1 => Some(f64::from(number)),
            _ => {
                let message = format!(
                    "{what} \u{201c}{}\u{201d} is not a whole number from 1 up",
                    shortened(cell)
                );
                self.say(
                    field,
                    "paste-count",
                    message,
                    "it is taken as 1 and kept in the note",
                );
                notes.push(format!("{field}: {cell}"));
                None
            }
        }
    }

    fn word(&mut self, field: &str, cell: &str, choices: &str, notes: &mut Vec<String>) {
        let message = format!(
            "\u{201c}{}\u{201d} means nothing as {field}",
            shortened(cell)
        );
        self.say(
            field,
            "paste-word",
            message,
            format!("write {choices}; it is kept in the note"),
        );
        notes.push(format!("{field}: {cell}"));
    }

    fn say(
        &mut self,
        field: &str,
        code: &str,
        message: impl Into<String>,
        hint: impl Into<String>,
    ) {
        let field = (!field.is_empty()).then_some(field);
        self.pasted.say(self.line, field, code, message, hint);
    }
}

/// Lines with something in them, each with its number from 1, cut into trimmed cells. A
/// cell in quotes may hold the separator, line ends and doubled quotes.
fn rows(text: &str) -> Vec<(usize, Vec<String>)> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let head = text
        .lines()
        .find(|line| !line.trim().is_empty())
        .unwrap_or_default();
    let separator = ['\t', ';', ',']
        .into_iter()
        .find(|s| head.contains(*s))
        .unwrap_or('\t');
    let mut rows = Vec::new();
    let mut cells: Vec<String> = Vec::new();
    let mut cell = String::new();
    let (mut line, mut first_line, mut quoted) = (1, 1, false);
    let mut characters = text.chars().peekable();
    let mut finish = |cells: &mut Vec<String>, line: usize| {
        if cells.iter().any(|cell| !cell.is_empty()) {
            rows.push((line, std::mem::take(cells)));
        }
        cells.clear();
    };
    while let Some(character) = characters.next() {
        match character {
            '"' if quoted && characters.peek() == Some(&'"') => {
                characters.next();
                cell.push('"');
            }
            '"' if quoted => quoted = false,
            // Only at the start of a cell, since 5" is five inches.
            '"' if cell.trim().is_empty() && closes(&characters, separator) => {
                cell.clear();
                quoted = true;
            }
            '\r' if !quoted => {}
            '\n' => {
                line += 1;
                if quoted {
                    cell.push('\n');
                } else {
                    cells.push(std::mem::take(&mut cell).trim().to_owned());
                    finish(&mut cells, first_line);
                    first_line = line;
                }
            }
            c if c == separator && !quoted => {
                cells.push(std::mem::take(&mut cell).trim().to_owned())
            }
            c => cell.push(c),
        }
    }
    cells.push(cell.trim().to_owned());
    finish(&mut cells, first_line);
    rows
}

/// Whether a quote that opens a cell is closed again at the end of one; a stray quote
/// would otherwise swallow the rest of the list.
fn closes(rest: &std::iter::Peekable<std::str::Chars<'_>>, separator: char) -> bool {
    let mut rest = rest.clone();
    while let Some(character) = rest.next() {
        if character == '"' {
            match rest.peek() {
                Some('"') => {
                    rest.next();
                }
                None | Some('\n' | '\r') => return true,
                Some(c) => return *c == separator,
            }
        }
    }
    false
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::document::Document;
    use crate::prepare;
    use proptest::prelude::*;

    fn read(text: &str, unit: Unit) -> Pasted {
        read_parts(text, unit, &mut TakenIds::default())
    }

    fn sizes(pasted: &Pasted) -> Vec<(String, Option<f64>, [f64; 3])> {
        let document = Document {
            parts: pasted.parts.clone(),
            ..Document::new()
        };
        let job = prepare(&document).job;
        job.parts
            .iter()
            .map(|p| {
                (
                    p.name.clone(),
                    Some(f64::from(p.count)),
                    [p.length(), p.width(), p.thickness],
                )
            })
            .collect()
    }

    #[test]
    fn a_list_from_a_spreadsheet() {
        let text = "Name\tQty\tLength (mm)\tWidth\tThick\tWood\tSeen\n\
                    Leg\t4\t720\t60\t45\tAsh\tboth\n\
                    \n\
                    Front rail\t1\t1,01 m\t84\t22\tAsh / Oak\tone\n";
        let pasted = read(text, Unit::Millimetres);
        assert_eq!(pasted.diagnostics, []);
        assert_eq!(
            sizes(&pasted),
            [
                ("Leg".to_owned(), Some(4.0), [720.0, 60.0, 45.0]),
                ("Front rail".to_owned(), Some(1.0), [1010.0, 84.0, 22.0])
            ]
        );
        assert_eq!(pasted.parts[1].species, ["Ash", "Oak"]);
        assert_eq!(pasted.parts[1].id, "front-rail");
        assert_eq!(pasted.parts[0].faces, Faces::Both);
    }

    #[test]
    fn both_units_side_by_side() {
        let text = "part,length in inches,width (mm),thickness\nTop,\"55 1/4\",600,7/8\"\nShelf,30,300,8/4\n";
        let pasted = read(text, Unit::Millimetres);
        assert_eq!(pasted.diagnostics, []);
        let sizes = sizes(&pasted);
        assert_eq!(sizes[0].2, [55.25 * 25.4, 600.0, 22.225]);
        assert_eq!(sizes[1].2, [762.0, 300.0, 50.8]);
    }

    #[test]
    fn bad_cells_are_reported_by_line_and_kept() {
        let text = "name;count;length;width;thickness;colour\n\
                    Leg;some;1,400;60;45;red\n\
                    ;2;;60;45;;too much\n";
        let pasted = read(text, Unit::Millimetres);
        let found: Vec<_> = pasted
            .diagnostics
            .iter()
            .map(|d| {
                (
                    d.place.line.unwrap_or(0),
                    d.code.as_str(),
                    d.place.field.as_deref().unwrap_or(""),
                )
            })
            .collect();
        assert_eq!(
            found,
            [
                (1, "paste-column-unknown", ""),
                (2, "paste-count", "count"),
                (2, "length-two-readings", "length"),
                (3, "paste-cell-without-heading", ""),
                (3, "paste-size-missing", "length"),
            ]
        );
        assert_eq!(pasted.parts[0].note, "count: some; colour: red");
        assert_eq!(pasted.parts[1].note, "too much");
        let Some(Shape::Rectangle { length, .. }) = &pasted.parts[0].shape else {
            panic!()
        };
        assert_eq!(
            *length,
            Length::Typed {
                mm: None,
                typed: "1,400".into()
            }
        );
    }

    #[test]
    fn lists_without_headings_or_parts_are_refused_plainly() {
        for (text, code) in [
            ("", "paste-empty"),
            ("  \n\n", "paste-empty"),
            ("Leg\t4\t720\n", "paste-without-headings"),
            ("Name\tLength\n", "paste-empty"),
        ] {
            let pasted = read(text, Unit::Millimetres);
            assert!(pasted.parts.is_empty());
            assert_eq!(pasted.diagnostics[0].code, code, "{text}");
        }
    }

    #[test]
    fn ids_are_made_safe_and_new() {
        let mut taken = TakenIds::of(["leg"]);
        let text = "id\tname\tlength\twidth\tthickness\n../x\tLeg\t1\t1\t1\nA1\tB\t1\t1\t1\na1\tC\t1\t1\t1\n";
        let pasted = read_parts(text, Unit::Millimetres, &mut taken);
        let ids: Vec<_> = pasted.parts.iter().map(|p| p.id.as_str()).collect();
        assert_eq!(ids, ["leg-2", "A1", "c"]);
        assert_eq!(
            pasted
                .diagnostics
                .iter()
                .filter(|d| d.code == "paste-id")
                .count(),
            2
        );
    }

    #[test]
    fn quoted_cells_may_hold_anything() {
        let text =
            "name,length,width,thickness\n\"Leg, \"\"left\"\"\nfront\",5\",3\",1\"\n\"open,2,3,4\n";
        let pasted = read(text, Unit::Inches);
        assert_eq!(pasted.parts[0].name, "Leg, \"left\"\nfront");
        assert_eq!(sizes(&pasted)[0].2, [127.0, 76.2, 25.4]);
        assert_eq!(pasted.parts[1].name, "\"open");
    }

    proptest! {
        /// Any text is answered; every part has a safe id of its own.
        #[test]
        fn any_list_is_answered(text in "(name|length|width|[a-z]{0,4}|[0-9,.\"]{0,4}|\t|;|,|\n|\"|\\PC){0,40}") {
            let pasted = read(&text, Unit::Inches);
            let mut seen = TakenIds::default();
            for part in &pasted.parts {
                prop_assert!(is_safe_id(&part.id) && seen.take(&part.id));
            }
            for diagnostic in &pasted.diagnostics {
                prop_assert!(diagnostic.place.line.is_some());
            }
        }
    }
}
