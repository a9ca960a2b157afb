//! The letters of a file.

/// The text of a file: UTF-8, UTF-16 where its mark says so, and else the letters of western Europe
/// (ISO 8859-1), as older programs write tables. A mark at the beginning is no part of it.
pub fn text_of(bytes: &[u8]) -> String {
    let wide = |order: fn([u8; 2]) -> u16| {
        let (pairs, _) = bytes[2..].as_chunks();
        let read = char::decode_utf16(pairs.iter().map(|pair| order(*pair)));
        read.map(|letter| letter.unwrap_or(char::REPLACEMENT_CHARACTER))
            .collect()
    };
    match bytes {
        [0xff, 0xfe, ..] => wide(u16::from_le_bytes),
        [0xfe, 0xff, ..] => wide(u16::from_be_bytes),
        _ => match str::from_utf8(bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes)) {
            Ok(text) => text.to_owned(),
            Err(_) => bytes.iter().map(|byte| char::from(*byte)).collect(),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_are_read_as_they_were_written() {
        let word = "L\u{e4}rche";
        assert_eq!(text_of(word.as_bytes()), word);
        assert_eq!(text_of(b"\xef\xbb\xbfL\xc3\xa4rche"), word);
        assert_eq!(text_of(b"L\xe4rche"), word);
        let low = word.encode_utf16().flat_map(u16::to_le_bytes);
        assert_eq!(
            text_of(&[0xff, 0xfe].into_iter().chain(low).collect::<Vec<_>>()),
            word
        );
        let high = word.encode_utf16().flat_map(u16::to_be_bytes);
        assert_eq!(
            text_of(&[0xfe, 0xff].into_iter().chain(high).collect::<Vec<_>>()),
            word
        );
        assert_eq!(text_of(b""), "");
    }
}
