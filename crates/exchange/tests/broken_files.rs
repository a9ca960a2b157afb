//! Fifty broken files of each kind, made from good ones: each gives right boards or a clear word.

use heartside_exchange::bundle::{Packing, unpack};
use heartside_exchange::outlines::{Read, Said, read_dxf, read_svg};
use heartside_exchange::{paste::read_boards, text_of};
use heartside_timber::diagnostic::{Diagnostic, Level};
use heartside_timber::document::{Board, Document};
use heartside_timber::ids::TakenIds;
use heartside_timber::length::Unit;
use heartside_timber::prepare::prepare;

const SVG: &str = "<?xml version=\"1.0\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"2000mm\" height=\"400mm\" viewBox=\"0 0 2000 400\">\n\
    <g id=\"L\u{e4}rche\" transform=\"translate(20,10)\">\n<path d=\"M0,0 C300,-4 600 4 1800 0 v300 q-400 30 -900 0 t-900 0 a9 150 0 0 1 0 -300z\"/>\n</g>\n\
    <g class=\"knots\">\n<circle cx=\"300\" cy=\"120\" r=\"30\"/>\n<rect x=\"700\" y=\"60\" width=\"9cm\" height=\"40\" rx=\"9\"/>\n</g>\n</svg>\n";

const DXF: &str = "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n2\nknot\n10\n1\n20\n1\n\
    0\nCIRCLE\n8\nknots\n10\n5\n20\n5\n40\n9\n0\nENDBLK\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n\
    0\nLWPOLYLINE\n8\nL\u{e4}rche\n90\n4\n70\n1\n10\n0\n20\n0\n42\n0.01\n10\n1800\n20\n0\n10\n1800\n20\n300\n10\n0\n20\n300\n\
    0\nINSERT\n8\n0\n2\nknot\n10\n700\n20\n200\n41\n-1\n50\n30\n0\nENDSEC\n0\nEOF\n";

const CSV: &str = "Mark;Length;Width;Far width;Thickness;Species;Count\nK1;2400;180;170;27;L\u{e4}rche;2\n;1900;140;;27;\"L\u{e4}rche; old\";1\n";

/// Boards, what was said, and whether the unit was asked for.
type Answer = (Vec<Board>, Vec<Diagnostic>, bool);

fn answer(kind: usize, bytes: &[u8]) -> Answer {
    let (text, mut taken) = (text_of(bytes), TakenIds::default());
    let reader = match kind {
        0 => read_svg,
        1 => read_dxf,
        _ => {
            let read = read_boards(&text, Unit::Millimetres, &mut taken);
            return (read.boards, read.diagnostics, false);
        }
    };
    match reader(&text, &Said::default(), &mut taken) {
        Read::Boards(read) => (read.boards, read.diagnostics, false),
        Read::AskUnit { extent } => {
            assert!(extent.iter().all(|e| e.is_finite() && *e >= 0.0));
            (Vec::new(), Vec::new(), true)
        }
    }
}

/// The `nth` number of a text becomes something else.
fn with_number(text: &str, nth: usize, other: &str) -> String {
    let is_digit = |c: char| c.is_ascii_digit();
    let starts = text.match_indices(is_digit).filter(|(at, _)| {
        !text[..*at].ends_with(|c: char| is_digit(c) || c == '.' || c.is_alphabetic())
    });
    let starts: Vec<usize> = starts.map(|(at, _)| at).collect();
    let start = starts[nth % starts.len()];
    let end = text[start..].find(|c| !is_digit(c) && c != '.');
    format!(
        "{}{other}{}",
        &text[..start],
        &text[start + end.expect("something follows")..]
    )
}

/// Deep in one another, or with something beyond all measure.
fn nested(kind: usize, depth: usize) -> String {
    match kind {
        0 => {
            let (open, close) = ("<g>".repeat(depth), "</g>".repeat(depth));
            SVG.replace("<path", &format!("{open}<path"))
                .replace("300z\"/>", &format!("300z\"/>{close}"))
        }
        1 => {
            let block = |k: usize| {
                let next = format!("0\nINSERT\n2\nb{}\n10\n0\n20\n0\n", k + 1);
                format!("0\nBLOCK\n2\nb{k}\n{next}{next}0\nENDBLK\n")
            };
            let blocks: String = (0..depth.min(2000)).map(block).collect();
            DXF.replace("BLOCKS\n", &format!("BLOCKS\n{blocks}"))
                .replace("2\nknot\n10\n700", "2\nb0\n10\n700")
        }
        _ => CSV.replace("K1", &"\"\"".repeat(depth)),
    }
}

/// A good file with some of its bytes changed, by a fixed series of numbers.
fn scrambled(good: &[u8], seed: u64, changes: usize) -> Vec<u8> {
    let mut bytes = good.to_vec();
    let mut state = seed;
    for _ in 0..changes {
        let next = state.wrapping_mul(6_364_136_223_846_793_005);
        state = next.wrapping_add(1_442_695_040_888_963_407);
        let at = (state >> 33) as usize % bytes.len();
        bytes[at] = (state >> 24) as u8;
    }
    bytes
}

fn broken(kind: usize) -> Vec<Vec<u8>> {
    let good = [SVG, DXF, CSV][kind];
    let mut files: Vec<Vec<u8>> = Vec::new();
    for tenth in 0..10 {
        files.push(good.as_bytes()[..good.len() * tenth / 10].to_vec());
    }
    let others = [
        "x", "1e999", "-1e308", "NaN", "1,5", "", "0", "-0", "1e-320", "7",
    ];
    for (k, other) in others.iter().enumerate() {
        files.push(with_number(good, 5 * k + 3, other).into_bytes());
    }
    files.push(with_number(good, 8, &"9".repeat(4000)).into_bytes());
    for depth in [70, 3_000, 100_000] {
        files.push(nested(kind, depth).into_bytes());
    }
    for piece in ["\n", ">", "\"", "0", ";", "10"] {
        files.push(good.replace(piece, "").into_bytes());
        files.push(good.replace(piece, &piece.repeat(2)).into_bytes());
    }
    files.push(good.chars().rev().collect::<String>().into_bytes());
    files.push(good.repeat(2).into_bytes());
    let binary: [&[u8]; 6] = [
        b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR",
        b"PK\x03\x04\x14\0\0\0",
        b"%PDF-1.7\n%\xe2\xe3",
        b"\0\x01\x02SECTION\0ENTITIES",
        b" \n \t\n",
        &[0xff; 900],
    ];
    files.extend(binary.map(<[u8]>::to_vec));
    let seeds = 50 - files.len() as u64;
    for seed in 0..seeds {
        files.push(scrambled(good.as_bytes(), seed, 1 << seed));
    }
    files
}

#[test]
fn fifty_broken_files_of_each_kind_are_boards_or_a_clear_word() {
    for kind in 0..3 {
        let files = broken(kind);
        assert_eq!(files.len(), 50);
        let mut refused = 0;
        for (k, bytes) in files.iter().enumerate() {
            let (boards, told, asked) = answer(kind, bytes);
            let lines = text_of(bytes).lines().count() + 1;
            for word in &told {
                let hint = word.hint.as_deref().unwrap_or_default();
                let line = word.place.line.unwrap_or(1);
                assert!(
                    word.message.len() > 8 && hint.len() > 8 && (1..=lines).contains(&line),
                    "{kind} {k}: {word:?}"
                );
            }
            let is_told = told.iter().any(|word| word.level != Level::Note);
            assert!(
                asked || is_told || !boards.is_empty(),
                "{kind} {k}: no board and no word"
            );
            refused += usize::from(boards.is_empty());
            // What is a board is a sound one, or it is said why not when it is to be used.
            let count = boards.len();
            let prepared = prepare(&Document {
                boards,
                ..Document::new()
            });
            assert_eq!(
                prepared.job.boards.len() + prepared.left_out.len(),
                count,
                "{kind} {k}"
            );
        }
        assert!(
            (10..45).contains(&refused),
            "{kind}: {refused} of 50 refused"
        );
    }
}

#[test]
fn a_good_file_gives_its_boards_however_its_letters_are_written() {
    for (kind, good) in [SVG, DXF, CSV].into_iter().enumerate() {
        let (boards, told, _) = answer(kind, good.as_bytes());
        let is_clean = told.iter().all(|d| d.level == Level::Note);
        assert!(!boards.is_empty() && is_clean, "{told:?}");
        let wide = |order: fn(u16) -> [u8; 2]| -> Vec<u8> {
            let letters = std::iter::once(0xfeff).chain(good.encode_utf16());
            letters.flat_map(order).collect()
        };
        let old: Vec<u8> = good.chars().map(|c| u32::from(c) as u8).collect();
        let marked = [b"\xef\xbb\xbf", good.as_bytes()].concat();
        for other in [wide(u16::to_le_bytes), wide(u16::to_be_bytes), old, marked] {
            assert_eq!(answer(kind, &other).0, boards);
        }
    }
}

/// A job with two photographs.
fn bundle() -> Vec<u8> {
    let mut packing = Packing::default();
    let job = "{\"format\": \"heartside-job\", \"title\": \"L\u{e4}rche\"}";
    let mut whole = packing.job(job);
    whole.extend(job.as_bytes());
    for (digit, size) in [("a", 400), ("b", 90)] {
        let picture: Vec<u8> = (0..size).map(|k: u32| (k * 37 % 251) as u8).collect();
        let header = packing.photo(&digit.repeat(64), &picture);
        whole.extend(header.expect("there is room"));
        whole.extend(picture);
    }
    whole.extend(packing.finish());
    whole
}

/// The good bundle with other numbers of `size` bytes at places told from the start of its directory, or of its end.
fn with_fields(good: &[u8]) -> Vec<Vec<u8>> {
    let find = |mark: &[u8]| good.windows(4).position(|w| w == mark);
    let entry = find(b"PK\x01\x02").expect("a directory");
    let end = find(b"PK\x05\x06").expect("an end");
    // Size, length of the name, of what is more, of the comment, and place, of the first entry; then how many
    // entries there are, and where.
    let fields = [
        (entry + 24, 4),
        (entry + 28, 2),
        (entry + 30, 2),
        (entry + 32, 2),
        (entry + 42, 4),
        (end + 10, 2),
        (end + 16, 4),
    ];
    let mut files = Vec::new();
    for (at, size) in fields {
        for value in [0_u32, 1, 0x7fff_ffff, u32::MAX] {
            let mut file = good.to_vec();
            file[at..at + size].copy_from_slice(&value.to_le_bytes()[..size]);
            files.push(file);
        }
    }
    files
}

#[test]
fn fifty_broken_bundles_are_the_job_or_a_clear_word() {
    let good = bundle();
    let sound = unpack(&good).expect("it opens");
    let mut files = with_fields(&good);
    for tenth in 0..10 {
        files.push(good[..good.len() * tenth / 10].to_vec());
    }
    // A comment, another file before it, twice the same, and its end alone.
    files.push([&good[..], b"a comment"].concat());
    files.push([b"#!/bin/sh\n", &good[..]].concat());
    files.push(good.repeat(2));
    files.push(good[good.len() - 22..].to_vec());
    for seed in 0..50 - files.len() as u64 {
        files.push(scrambled(&good, seed, 1 << seed));
    }
    assert_eq!(files.len(), 50);
    let mut refused = 0;
    for (k, bytes) in files.iter().enumerate() {
        match unpack(bytes) {
            Ok(found) => {
                // What opens is what was packed, each byte of it, whatever it is called.
                assert_eq!(bytes[found.job], good[sound.job.clone()], "{k}");
                for (_, place) in found.photos {
                    let mut packed = sound.photos.iter().map(|(_, own)| &good[own.clone()]);
                    assert!(packed.any(|own| *own == bytes[place.clone()]), "{k}");
                }
            }
            Err(error) => {
                refused += 1;
                let word = error.to_string();
                assert!(word.contains("ZIP file") && word.len() > 40, "{k}: {word}");
            }
        }
    }
    assert!((35..50).contains(&refused), "{refused} of 50 refused");
}
