//! Fifty broken pictures of each kind, made from good ones: each is a picture or a clear word, in little memory.
//!
//! Alone in its file: what is allocated is counted for the whole process.

#[path = "../src/picture.rs"]
mod picture;

use image::codecs::jpeg::JpegEncoder;
use image::codecs::png::PngEncoder;
use image::{Rgb, RgbImage};
use peak_alloc::PeakAlloc;
use picture::picture_of;

#[global_allocator]
static HELD: PeakAlloc = PeakAlloc;

const SIZE: [u32; 2] = [96, 64];

/// A plank with stripes on grey, as JPEG and as PNG.
fn good() -> [Vec<u8>; 2] {
    let plank = RgbImage::from_fn(SIZE[0], SIZE[1], |x, y| {
        let is_wood = (10..86).contains(&x) && (12..52).contains(&y);
        let shade = (y * 37 % 23) as u8 + (x % 5) as u8;
        Rgb(if is_wood {
            [180 - shade, 140 - shade, 90]
        } else {
            [96, 99, 103]
        })
    });
    let (mut jpeg, mut png) = (Vec::new(), Vec::new());
    let packed = [
        plank.write_with_encoder(JpegEncoder::new_with_quality(&mut jpeg, 90)),
        plank.write_with_encoder(PngEncoder::new(&mut png)),
    ];
    assert!(packed.iter().all(Result::is_ok));
    [jpeg, png]
}

/// Numbers by a fixed series.
struct Series(u64);

impl Series {
    fn below(&mut self, end: usize) -> usize {
        let next = self.0.wrapping_mul(6_364_136_223_846_793_005);
        self.0 = next.wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as usize % end
    }
}

fn with_bytes(good: &[u8], at: usize, bytes: &[u8]) -> Vec<u8> {
    let mut file = good.to_vec();
    file[at..at + bytes.len()].copy_from_slice(bytes);
    file
}

/// The check sum of ISO 3309, bit by bit.
fn check_sum(bytes: &[u8]) -> u32 {
    let mut sum = u32::MAX;
    for byte in bytes {
        sum ^= u32::from(*byte);
        for _ in 0..8 {
            sum = sum >> 1 ^ if sum & 1 == 1 { 0xedb8_8320 } else { 0 };
        }
    }
    !sum
}

/// The good file, its header telling of another size.
fn told(kind: usize, good: &[u8], [width, height]: [u32; 2]) -> Vec<u8> {
    if kind == 0 {
        let frame = good.windows(2).position(|w| w == [0xff, 0xc0]);
        let at = frame.expect("a frame") + 5;
        let sizes = [(height as u16).to_be_bytes(), (width as u16).to_be_bytes()];
        return with_bytes(good, at, &sizes.concat());
    }
    let sizes = [width.to_be_bytes(), height.to_be_bytes()].concat();
    let file = with_bytes(good, 16, &sizes);
    let sum = check_sum(&file[12..29]);
    with_bytes(&file, 29, &sum.to_be_bytes())
}

/// Sizes that no camera makes, and sizes that are not those of the file.
const TOLD: [[u32; 2]; 10] = [
    [65_535, 65_535],
    [65_535, 1],
    [1, 65_535],
    [9_999, 9_999],
    [0, 64],
    [96, 0],
    [1, 1],
    [97, 64],
    [96, 65],
    [48, 32],
];

fn broken(kind: usize, good: &[u8]) -> Vec<Vec<u8>> {
    let mut files: Vec<Vec<u8>> = Vec::new();
    for tenth in 0..10 {
        files.push(good[..good.len() * tenth / 10].to_vec());
    }
    files.push(good[..good.len() - 20].to_vec());
    files.extend(TOLD.map(|size| told(kind, good, size)));
    let others: [&[u8]; 6] = [
        b"Mark;Length;Width\nK1;2400;180\n",
        b"\0\0\0\x18ftypheic\0\0\0\0mif1heic",
        b"PK\x03\x04\x14\0\0\0",
        b"<svg xmlns=\"http://www.w3.org/2000/svg\"/>",
        &[0xff; 900],
        &[0; 900],
    ];
    files.extend(others.map(<[u8]>::to_vec));
    // The head of one kind before the rest of any file.
    files.push([&good[..8], &[0x20; 400][..]].concat());
    files.push([&good[..good.len() / 2], good].concat());
    files.push([good, &good[good.len() / 2..]].concat());
    let mut series = Series(5 + kind as u64);
    for k in 0..50 - files.len() {
        // One changed byte at first, then more and more of them.
        let mut file = good.to_vec();
        for _ in 0..1 << (k / 3) {
            let at = series.below(file.len());
            file[at] ^= 1 + series.below(255) as u8;
        }
        files.push(file);
    }
    files
}

/// What is held at most above what was held before: a picture of this size needs a fraction of it.
const MOST_HELD: usize = 16 << 20;

#[test]
fn fifty_broken_pictures_of_each_kind_are_a_picture_or_a_clear_word() {
    for (kind, good) in good().iter().enumerate() {
        let whole = picture_of(good).expect("a picture");
        assert_eq!([whole.width(), whole.height()], SIZE);
        let files = broken(kind, good);
        assert_eq!(files.len(), 50);
        let mut refused = 0;
        for (k, file) in files.iter().enumerate() {
            HELD.reset_peak_usage();
            let before = HELD.current_usage();
            match picture_of(file) {
                Ok(picture) => {
                    let pixels = picture.width() as usize * picture.height() as usize;
                    assert!(pixels > 0, "{kind} {k}: nothing to see");
                    assert_eq!(picture.into_rgba8().into_raw().len(), 4 * pixels);
                }
                Err(word) => {
                    refused += 1;
                    assert!(
                        word.contains("picture") && word.contains(": "),
                        "{kind} {k}: {word}"
                    );
                }
            }
            let held = HELD.peak_usage().saturating_sub(before);
            assert!(held < MOST_HELD, "{kind} {k}: {held} bytes");
            // What is cut off is no picture with a grey half.
            assert!(k > 10 || refused == k + 1, "{kind} {k}: cut off and taken");
        }
        assert!((20..50).contains(&refused), "{kind}: {refused} refused");
    }
}

#[test]
fn what_a_camera_puts_behind_a_picture_is_let_be() {
    for good in good() {
        let longer = [&good[..], b"\0\0MotionPhoto", &[7; 300]].concat();
        let picture = picture_of(&longer).expect("a picture");
        assert_eq!(Some(picture), picture_of(&good).ok());
    }
}
