//! Sources without what changes nothing: comments, tests and empty lines.

/// The code of a source alone.
pub(crate) fn bare(source: &str) -> String {
    let code = without_comments(source);
    let mut kept = String::new();
    let mut rest = code.as_str();
    while let Some((before, after)) = rest.split_once("#[cfg(test)]") {
        kept.push_str(before);
        rest = after
            .get(length_of_item(after.as_bytes())..)
            .unwrap_or_default();
    }
    kept.push_str(rest);
    let lines = kept.lines().map(str::trim).filter(|line| !line.is_empty());
    lines.collect::<Vec<_>>().join("\n")
}

/// An item with its attributes: up to a semicolon or closing brace outside all brackets.
fn length_of_item(text: &[u8]) -> usize {
    let (mut depth, mut at) = (0, 0);
    while at < text.len() {
        let rest = &text[at..];
        if let Some(length) = length_of_raw(rest).or_else(|| length_of_quoted(rest)) {
            at += length;
            continue;
        }
        at += 1;
        match rest[0] {
            b'(' | b'[' | b'{' => depth += 1,
            b')' | b']' | b'}' => depth -= 1,
            _ => {}
        }
        if depth == 0 && matches!(rest[0], b';' | b'}') {
            break;
        }
    }
    at
}

/// Text in quotes is left as it is.
fn without_comments(source: &str) -> String {
    let bytes = source.as_bytes();
    let (mut code, mut at) = (Vec::with_capacity(bytes.len()), 0);
    while at < bytes.len() {
        let rest = &bytes[at..];
        if rest.starts_with(b"//") {
            at += rest.iter().position(|b| *b == b'\n').unwrap_or(rest.len());
            continue;
        }
        if rest.starts_with(b"/*") {
            at += length_of_block(rest);
            continue;
        }
        let quoted = length_of_raw(rest).or_else(|| length_of_quoted(rest));
        let length = quoted.unwrap_or(1);
        code.extend_from_slice(&rest[..length]);
        at += length;
    }
    String::from_utf8_lossy(&code).into_owned()
}

/// A comment that may hold others.
fn length_of_block(text: &[u8]) -> usize {
    let (mut depth, mut at) = (0, 0);
    while at < text.len() {
        match &text[at..] {
            [b'/', b'*', ..] => (depth, at) = (depth + 1, at + 2),
            [b'*', b'/', ..] => (depth, at) = (depth - 1, at + 2),
            _ => at += 1,
        }
        if depth == 0 {
            break;
        }
    }
    at
}

/// `r"..."` or `r#"..."#`.
fn length_of_raw(text: &[u8]) -> Option<usize> {
    let hashes = text.strip_prefix(b"r")?;
    let count = hashes.iter().take_while(|b| **b == b'#').count();
    let inside = hashes[count..].strip_prefix(b"\"")?;
    let close = [b"\"".to_vec(), vec![b'#'; count]].concat();
    let end = inside.windows(close.len()).position(|w| w == close)?;
    Some(2 + count + end + close.len())
}

/// `"..."`, or a character: `'"'`, `'\''`. A lifetime is none.
fn length_of_quoted(text: &[u8]) -> Option<usize> {
    let quote = *text.first().filter(|b| matches!(b, b'"' | b'\''))?;
    if quote == b'\'' && text.get(1) != Some(&b'\\') {
        // One character of up to four bytes.
        return (3..=6)
            .find(|n| text.get(n - 1) == Some(&b'\''))
            .filter(|n| {
                std::str::from_utf8(&text[1..n - 1]).is_ok_and(|t| t.chars().count() == 1)
            });
    }
    let mut at = 1;
    while at < text.len() {
        match text[at] {
            b'\\' => at += 2,
            b if b == quote => return Some(at + 1),
            _ => at += 1,
        }
    }
    None
}
