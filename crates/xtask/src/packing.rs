//! Bytes as text that may stand in the page: gzipped, then five letters for every four bytes.
//!
//! The usual base of 64 takes a third more room than the bytes, this one a quarter: some
//! seventy kilobytes less of a page. `web/src/packed.ts` reads it.

use std::io::Write;

use flate2::Compression;
use flate2::write::GzEncoder;

use crate::fault::{Fault, Outcome};

/// Gzips bytes and writes them as text.
pub(crate) fn pack(bytes: &[u8]) -> Outcome<String> {
    let mut encoder = GzEncoder::new(Vec::new(), Compression::best());
    encoder
        .write_all(bytes)
        .and_then(|()| encoder.finish())
        .map(|bytes| letters(&bytes))
        .map_err(|error| Fault::new(format!("cannot pack what the page carries: {error}")))
}

/// Groups of four bytes, the first the most significant, as five digits to base 85.
///
/// The digits are the signs from `(` to `|`; `}` stands for `<`, which could end an element.
/// Of a last group of n bytes, filled up with noughts, the first n + 1 digits are written.
fn letters(bytes: &[u8]) -> String {
    let mut text = String::with_capacity(bytes.len() / 4 * 5 + 5);
    for group in bytes.chunks(4) {
        let mut filled = [0; 4];
        filled[..group.len()].copy_from_slice(group);
        let word = u32::from_be_bytes(filled);
        let digits = (0..5u32).map(|place| word / 85u32.pow(4 - place) % 85);
        text.extend(digits.take(group.len() + 1).map(|digit| {
            let sign = b'(' + digit as u8;
            char::from(if sign == b'<' { b'}' } else { sign })
        }));
    }
    text
}

/// Reads packed text again.
#[cfg(test)]
pub(crate) fn unpack(text: &str) -> Vec<u8> {
    use std::io::Read;
    let mut packed = Vec::new();
    for group in text.as_bytes().chunks(5) {
        let digit = |sign: u8| u32::from(if sign == b'}' { b'<' } else { sign } - b'(');
        let word = (0..5).fold(0u32, |word, place| {
            word.wrapping_mul(85)
                .wrapping_add(group.get(place).map_or(84, |s| digit(*s)))
        });
        packed.extend(&word.to_be_bytes()[..group.len() - 1]);
    }
    let mut bytes = Vec::new();
    flate2::read::GzDecoder::new(packed.as_slice())
        .read_to_end(&mut bytes)
        .unwrap();
    bytes
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_packed_comes_out_as_it_went_in() {
        let bytes: Vec<u8> = (0..5000u32).map(|n| (n * n % 251) as u8).collect();
        for length in [0, 1, 2, 3, 4, 5, 4999, 5000] {
            let packed = pack(&bytes[..length]).unwrap();
            assert_eq!(unpack(&packed), &bytes[..length]);
            assert!(
                packed
                    .bytes()
                    .all(|b| (b'('..=b'}').contains(&b) && b != b'<')
            );
        }
    }
}
