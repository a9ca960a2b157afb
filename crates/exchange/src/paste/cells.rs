//! Cuts a pasted list into lines and cells.

/// Lines with something in them, each with its number from 1, cut into trimmed cells. A
/// cell in quotes may hold the separator, line ends and doubled quotes.
pub(super) fn rows(text: &str) -> Vec<(usize, Vec<String>)> {
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
