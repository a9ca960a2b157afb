//! A list of rows with ready-worded cells.

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
}
