//! Bytes as text that may stand in the page: gzipped, then a letter for every seven bits.
//!
//! Letters of seven bits take a sixth more room than the bytes, where the usual base of 64
//! takes a third: some 170 kilobytes less of a page. Three letters would not come out of a
//! page as they went in: nought, the carriage return, and `<`, which could end an element.
//! They are written 128 places further on, two bytes each, and the reader looks at seven
//! bits only. `web/src/packed.ts` reads it.

use std::num::NonZeroU64;

use crate::fault::{Fault, Outcome};

/// Rounds in which the compressor looks for a shorter way to say the same. More take as long
/// again each and hardly save a kilobyte.
const ROUNDS: NonZeroU64 = NonZeroU64::new(6).expect("six is not nought");

/// Gzips bytes and writes them as text.
pub(crate) fn pack(bytes: &[u8]) -> Outcome<String> {
    let mut packed = Vec::new();
    let options = zopfli::Options {
        iteration_count: ROUNDS,
        ..zopfli::Options::default()
    };
    zopfli::compress(options, zopfli::Format::Gzip, bytes, &mut packed)
        .map(|()| letters(&packed))
        .map_err(|error| Fault::new(format!("cannot pack what the page carries: {error}")))
}

/// Seven bits a letter, the first bits of a byte first; the last letter is filled up with noughts.
fn letters(bytes: &[u8]) -> String {
    let mut text = String::with_capacity(bytes.len() / 6 * 7 + 8);
    let (mut held, mut bits) = (0u32, 0);
    let mut write = |letter: u8| {
        let is_safe = !matches!(letter, 0 | b'\r' | b'<');
        text.push(char::from(if is_safe { letter } else { letter + 128 }));
    };
    for byte in bytes {
        held = held << 8 | u32::from(*byte);
        bits += 8;
        while bits >= 7 {
            bits -= 7;
            write((held >> bits & 127) as u8);
        }
        held &= 127;
    }
    if bits > 0 {
        write((held << (7 - bits) & 127) as u8);
    }
    text
}

/// Reads packed text again.
#[cfg(test)]
pub(crate) fn unpack(text: &str) -> Vec<u8> {
    use std::io::Read;
    let mut packed = Vec::new();
    let (mut held, mut bits) = (0u32, 0);
    for letter in text.chars() {
        held = (held << 7 | u32::from(letter) & 127) & 0xffff;
        bits += 7;
        if bits >= 8 {
            bits -= 8;
            packed.push((held >> bits & 255) as u8);
        }
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
            assert!(packed.chars().all(|letter| !"\0\r<".contains(letter)));
        }
    }
}
