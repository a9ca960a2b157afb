//! Bytes as text that may stand in the page: packed, then a character for every two bytes.
//!
//! What starts the page is gzipped, which browsers unpack themselves. All else is packed by LZMA in
//! the form of `.xz`, the core a quarter smaller and the rest a tenth, for which the page brings a library along.
//!
//! The page is written in UTF-16, where a character of two bytes says sixteen bits: a thirtieth
//! more than the bytes, where the usual base of 64 in UTF-8 takes a third and seven bits a letter
//! a sixth. Some characters would not come out of a page as they went in: nought, the carriage
//! return, `<`, which could end an element, and the halves of pairs. They are written as the
//! character 65536 places further on, which is a pair of four bytes, and the reader looks at
//! sixteen bits only. `web/src/packed.ts` reads it.

use std::io::{Read, Write};
use std::num::NonZeroU64;

use lzma_rust2::{CheckType, LzmaOptions, XzOptions, XzWriter};

use crate::core_module::Finish;
use crate::fault::{Fault, Outcome};

/// Rounds in which the compressor looks for a shorter way to say the same. More take as long
/// again each and hardly save a kilobyte.
const ROUNDS: NonZeroU64 = NonZeroU64::new(6).expect("six is not nought");

/// Gzips bytes and writes them as text; a page for a quick look is packed in no time at all.
pub(crate) fn pack(bytes: &[u8], finish: Finish) -> Outcome<String> {
    let mut packed = Vec::new();
    if finish == Finish::Quick {
        let mut encoder = flate2::read::GzEncoder::new(bytes, flate2::Compression::fast());
        return encoder
            .read_to_end(&mut packed)
            .map(|_| characters(&packed))
            .map_err(fault);
    }
    let options = zopfli::Options {
        iteration_count: ROUNDS,
        ..zopfli::Options::default()
    };
    zopfli::compress(options, zopfli::Format::Gzip, bytes, &mut packed)
        .map(|()| characters(&packed))
        .map_err(fault)
}

/// Packs bytes as `.xz` and writes them as text; the core in a second or two.
pub(crate) fn pack_xz(wasm: &[u8], finish: Finish) -> Outcome<String> {
    let lzma_options = match finish {
        Finish::Quick => LzmaOptions::with_preset(0),
        Finish::Small => LzmaOptions {
            // All that came before is looked back on, and matches are sought as long as they may be.
            dict_size: 4 << 20,
            nice_len: LzmaOptions::NICE_LEN_MAX,
            // Instructions have no place in words of two or four bytes; the byte before tells more.
            lc: 4,
            lp: 0,
            pb: 0,
            ..LzmaOptions::with_preset(9)
        },
    };
    let options = XzOptions {
        lzma_options,
        check_type: CheckType::Crc32,
        block_size: None,
        filters: Vec::new(),
    };
    let mut writer = XzWriter::new(Vec::new(), options).map_err(fault)?;
    writer.write_all(wasm).map_err(fault)?;
    Ok(characters(&writer.finish().map_err(fault)?))
}

#[allow(clippy::needless_pass_by_value, reason = "as `map_err` hands it over")]
fn fault(error: std::io::Error) -> Fault {
    Fault::new(format!("cannot pack what the page carries: {error}"))
}

/// Sixteen bits a character, the first byte being the lower one. After an odd number of bytes
/// stands one character more, the last byte alone 131072 places further on.
fn characters(bytes: &[u8]) -> String {
    let (pairs, last) = bytes.as_chunks::<2>();
    let words = pairs
        .iter()
        .map(|pair| u32::from(u16::from_le_bytes(*pair)));
    let words = words.map(|word| {
        let is_safe = !matches!(word, 0 | 0x0d | 0x3c | 0xd800..0xe000);
        if is_safe { word } else { word + FURTHER }
    });
    let last = last.iter().map(|byte| u32::from(*byte) + 2 * FURTHER);
    words.chain(last).filter_map(char::from_u32).collect()
}

/// Beyond all characters of two bytes.
const FURTHER: u32 = 0x1_0000;

/// The page's text as the bytes of its file: UTF-16, low byte first, with the mark by which every
/// browser knows it, whatever a server says.
pub(crate) fn file_of(text: &str) -> Vec<u8> {
    std::iter::once(0xfeff)
        .chain(text.encode_utf16())
        .flat_map(u16::to_le_bytes)
        .collect()
}

/// Reads packed text again.
#[cfg(test)]
pub(crate) fn unpack(text: &str) -> Vec<u8> {
    read_all(flate2::read::GzDecoder::new(bytes_of(text).as_slice()))
}

/// Reads what was packed as `.xz` again.
#[cfg(test)]
pub(crate) fn unpack_xz(text: &str) -> Vec<u8> {
    read_all(lzma_rust2::XzReader::new(bytes_of(text).as_slice(), false))
}

#[cfg(test)]
fn read_all(mut reader: impl Read) -> Vec<u8> {
    let mut bytes = Vec::new();
    reader.read_to_end(&mut bytes).unwrap();
    bytes
}

#[cfg(test)]
fn bytes_of(text: &str) -> Vec<u8> {
    let mut packed = Vec::new();
    for character in text.chars().map(u32::from) {
        let bytes = (character as u16).to_le_bytes();
        let is_last = character >= 2 * FURTHER;
        packed.extend(&bytes[..if is_last { 1 } else { 2 }]);
    }
    packed
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_packed_comes_out_as_it_went_in() {
        let bytes: Vec<u8> = (0..5000u32).map(|n| (n * n % 251) as u8).collect();
        for length in [0, 1, 2, 3, 4, 5, 4999, 5000] {
            for finish in [Finish::Small, Finish::Quick] {
                let packed = pack(&bytes[..length], finish).unwrap();
                assert_eq!(unpack(&packed), &bytes[..length]);
                let packed = pack_xz(&bytes[..length], finish).unwrap();
                assert_eq!(unpack_xz(&packed), &bytes[..length]);
            }
        }
    }

    #[test]
    fn every_two_bytes_survive_in_a_page() {
        let all: Vec<u8> = (0..=u16::MAX).flat_map(u16::to_le_bytes).collect();
        let text = characters(&all);
        assert_eq!(text.chars().count(), 65_536, "none is lost");
        assert!(text.chars().all(|c| !"\0\r<".contains(c)));
        let read: Vec<u8> = (text.chars())
            .flat_map(|c| (u32::from(c) as u16).to_le_bytes())
            .collect();
        assert_eq!(read, all);
    }

    #[test]
    fn the_file_begins_with_the_mark_of_its_letters() {
        assert_eq!(file_of("<é"), [0xff, 0xfe, b'<', 0, 0xe9, 0]);
    }
}
