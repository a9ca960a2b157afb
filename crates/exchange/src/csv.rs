//! Tables as comma-separated values (RFC 4180), or with semicolons where commas part decimals.
//!
//! Written and read (`paste`) by ourselves, though the crate `csv` would add a mere 4 kB to the page:
//! its reader takes an inch mark that opens a cell, `"open`, for a quote and the rest of the list
//! for that cell, and its writer asks for more lines than it saves.

use heartside_cutting::Table;

/// What stands between cells, and with it what parts the decimals of numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Separator {
    /// Commas between cells, points in numbers.
    #[default]
    Comma,
    /// Semicolons between cells, commas in numbers: what spreadsheets expect where a comma parts decimals.
    Semicolon,
}

/// Signs at the beginning of a cell that a spreadsheet may take for a formula's, their wide forms with them
/// (OWASP, "CSV Injection").
const FORMULA_SIGNS: [char; 8] = [
    '=', '+', '-', '@', '\u{ff1d}', '\u{ff0b}', '\u{ff0d}', '\u{ff20}',
];

/// The list as text, headings first, a line a row; no cell breaks a line.
///
/// It begins with a byte order mark, by which spreadsheets know UTF-8. Numbers stand in columns of
/// numbers only. A text cell that a spreadsheet would take for a formula gets a leading apostrophe.
pub fn write_csv(table: &Table, separator: Separator) -> String {
    let between = match separator {
        Separator::Comma => ",",
        Separator::Semicolon => ";",
    };
    let mut text = String::from("\u{feff}");
    let mut line = |cells: Vec<String>| {
        text.push_str(&cells.join(between));
        text.push_str("\r\n");
    };
    line(table.columns.iter().map(|c| words(&c.title)).collect());
    for row in &table.rows {
        let cells = table.columns.iter().zip(row);
        let cells = cells.map(|(column, cell)| match column.numeric {
            true => number(cell, separator),
            false => words(cell),
        });
        line(cells.collect());
    }
    text
}

/// A cell of a column of numbers; what is none is text there as well.
fn number(cell: &str, separator: Separator) -> String {
    let is_number = cell.parse::<f64>().is_ok_and(f64::is_finite);
    match separator {
        _ if !is_number => words(cell),
        Separator::Comma => cell.to_owned(),
        Separator::Semicolon => cell.replace('.', ","),
    }
}

/// A cell of text, as every spreadsheet shows it. Quoted where either form of the list needs it, so that
/// one opened as the other falls apart no further than it must.
fn words(cell: &str) -> String {
    let mut safe: String = cell
        .chars()
        .map(|c| {
            if c.is_control() || matches!(c, '\u{2028}' | '\u{2029}') {
                ' '
            } else {
                c
            }
        })
        // What turns the direction of reading would let a cell read as something else.
        .filter(|c| !matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}'))
        .collect();
    if safe.trim_start().starts_with(FORMULA_SIGNS) {
        safe.insert(0, '\'');
    }
    if safe.contains([',', ';', '"']) || safe.trim() != safe {
        format!("\"{}\"", safe.replace('"', "\"\""))
    } else {
        safe
    }
}

#[cfg(test)]
mod tests {
    use heartside_cutting::Column;

    use super::*;

    fn table(rows: &[[&str; 2]]) -> Table {
        let column = |title: &str, numeric| Column {
            title: title.into(),
            numeric,
        };
        Table {
            title: "t".into(),
            columns: vec![column("name", false), column("size (mm)", true)],
            rows: rows
                .iter()
                .map(|row| row.map(str::to_owned).to_vec())
                .collect(),
        }
    }

    #[test]
    fn cells_are_quoted_where_needed_and_formulas_disarmed() {
        let table = table(&[
            ["Leg, \"left\"", "-3.5"],
            ["=1+1", "2"],
            [" \t@x", "-1+1"],
            ["-2.5", ""],
            ["two\r\nlines; \u{202e}x", "inf"],
        ]);
        assert_eq!(
            write_csv(&table, Separator::Comma),
            "\u{feff}name,size (mm)\r\n\"Leg, \"\"left\"\"\",-3.5\r\n'=1+1,2\r\n\
             '  @x,'-1+1\r\n'-2.5,\r\n\"two  lines; x\",inf\r\n"
        );
        let semicolons = write_csv(&table, Separator::Semicolon);
        assert!(semicolons.contains("\"Leg, \"\"left\"\"\";-3,5\r\n'=1+1;2\r\n"));
    }

    #[test]
    fn what_is_written_is_read_back_by_the_list_reader() {
        let text = write_csv(&table(&[["Rail; long", "1150.5"]]), Separator::Semicolon);
        assert_eq!(
            crate::text_of(text.as_bytes()),
            "name;size (mm)\r\n\"Rail; long\";1150,5\r\n"
        );
    }
}
