//! A list of rows with ready-worded cells, as CSV too.

use serde::Serialize;

/// One column.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Column {
    /// Its heading.
    pub title: String,
    /// Its cells are numbers and stand at the right.
    pub numeric: bool,
}

/// A list.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Table {
    /// What is listed.
    pub title: String,
    /// The columns.
    pub columns: Vec<Column>,
    /// One cell for each column in every row.
    pub rows: Vec<Vec<String>>,
}

impl Table {
    /// An empty list; headings that start with `#` name columns of numbers.
    pub(crate) fn new(title: &str, headings: &[&str]) -> Table {
        let columns = headings
            .iter()
            .map(|h| Column {
                title: h.trim_start_matches('#').to_owned(),
                numeric: h.starts_with('#'),
            })
            .collect();
        Table {
            title: title.to_owned(),
            columns,
            rows: Vec::new(),
        }
    }

    /// The list as comma-separated values (RFC 4180), headings first.
    ///
    /// A text cell that a spreadsheet would take for a formula gets a leading apostrophe.
    pub fn csv(&self) -> String {
        let mut text = String::new();
        let headings: Vec<String> = self.columns.iter().map(|c| c.title.clone()).collect();
        for row in std::iter::once(&headings).chain(&self.rows) {
            for (place, cell) in row.iter().enumerate() {
                if place > 0 {
                    text.push(',');
                }
                text.push_str(&quoted(cell));
            }
            text.push_str("\r\n");
        }
        text
    }
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
    use super::*;

    #[test]
    fn csv_quotes_what_needs_it_and_disarms_formulas() {
        let mut table = Table::new("t", &["name", "#size"]);
        table.rows.push(vec!["Leg, \"left\"".into(), "-3.5".into()]);
        table.rows.push(vec!["=1+1".into(), "2".into()]);
        assert_eq!(
            table.csv(),
            "name,size\r\n\"Leg, \"\"left\"\"\",-3.5\r\n'=1+1,2\r\n"
        );
        assert!(table.columns[1].numeric && !table.columns[0].numeric);
    }
}
