//! Tables as comma-separated values (RFC 4180).
//!
//! Written and read (`paste`) by ourselves, though the crate `csv` would add a mere 4 kB to the page:
//! its reader takes an inch mark that opens a cell, `"open`, for a quote and the rest of the list
//! for that cell, and its writer asks for more lines than it saves.

use heartside_cutting::Table;

/// The list as comma-separated values, headings first.
///
/// A text cell that a spreadsheet would take for a formula gets a leading apostrophe.
pub fn write_csv(table: &Table) -> String {
    let headings = table.columns.iter().map(|c| c.title.as_str()).collect();
    let rows = table.rows.iter();
    let rows = rows.map(|row| row.iter().map(String::as_str).collect());
    std::iter::once(headings)
        .chain(rows)
        .map(|row: Vec<&str>| {
            let cells: Vec<String> = row.into_iter().map(quoted).collect();
            cells.join(",") + "\r\n"
        })
        .collect()
}

fn quoted(cell: &str) -> String {
    let is_number = cell.parse::<f64>().is_ok();
    let guarded = if !is_number && cell.starts_with(['=', '+', '-', '@', '\t', '\r']) {
        format!("'{cell}")
    } else {
        cell.to_owned()
    };
    if guarded.contains([',', '"', '\n', '\r']) {
        format!("\"{}\"", guarded.replace('"', "\"\""))
    } else {
        guarded
    }
}

#[cfg(test)]
mod tests {
    use heartside_cutting::Column;

    use super::*;

    #[test]
    fn csv_quotes_what_needs_it_and_disarms_formulas() {
        let column = |title: &str, numeric| Column {
            title: title.into(),
            numeric,
        };
        let table = Table {
            title: "t".into(),
            columns: vec![column("name", false), column("size", true)],
            rows: vec![
                vec!["Leg, \"left\"".into(), "-3.5".into()],
                vec!["=1+1".into(), "2".into()],
            ],
        };
        assert_eq!(
            write_csv(&table),
            "name,size\r\n\"Leg, \"\"left\"\"\",-3.5\r\n'=1+1,2\r\n"
        );
    }
}
