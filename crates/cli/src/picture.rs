//! A picture file: its pixels as it is held upright, or why it is none.

use std::io::Cursor;

use image::{DynamicImage, ImageDecoder, ImageReader};

/// More pixels than any photograph that is taken in: 400 MB with four bytes each.
const MOST_PIXELS: u64 = 100_000_000;

/// Pixels that a byte of a JPEG file tells of at most: each block of 8 x 8 takes a bit of it (ITU-T T.81).
const PIXELS_A_BYTE_OF_JPEG: u64 = 8 * 64;
/// The same of a PNG file: eight pixels a byte, and 258 bytes take two bits of what is packed (RFC 1951).
const PIXELS_A_BYTE_OF_PNG: u64 = 8 * 4 * 258;

/// Reads a JPEG or PNG file and turns it as it says.
///
/// # Errors
/// What is wrong with it, and how to mend it. What a header tells costs no memory before it is found possible.
pub(crate) fn picture_of(file: &[u8]) -> Result<DynamicImage, String> {
    let unreadable =
        |error| format!("this picture cannot be read ({error}): save it as JPEG or PNG");
    if file.is_empty() {
        return Err("this file is empty: copy the picture again from the camera".to_owned());
    }
    let is_jpeg = file.starts_with(b"\xff\xd8\xff");
    if is_jpeg && !is_whole_jpeg(file) {
        return Err("the end of this picture is missing: copy it again from the camera, or save it anew as JPEG".to_owned());
    }
    let mut decoder = ImageReader::new(Cursor::new(file))
        .with_guessed_format()
        .map_err(image::ImageError::from)
        .and_then(ImageReader::into_decoder)
        .map_err(unreadable)?;
    let (width, height) = decoder.dimensions();
    let pixels = u64::from(width) * u64::from(height);
    let a_byte = if is_jpeg {
        PIXELS_A_BYTE_OF_JPEG
    } else {
        PIXELS_A_BYTE_OF_PNG
    };
    if pixels > a_byte * file.len() as u64 {
        return Err(format!(
            "this picture is broken: it tells of {width} x {height} pixels and holds fewer; copy it again from the camera"
        ));
    }
    if pixels > MOST_PIXELS {
        return Err(
            "this picture is larger than 100 megapixels: take a smaller one, it is as exact"
                .to_owned(),
        );
    }
    let orientation = decoder.orientation().map_err(unreadable)?;
    let mut picture = DynamicImage::from_decoder(decoder).map_err(unreadable)?;
    picture.apply_orientation(orientation);
    Ok(picture)
}

/// Whether a JPEG file goes on to the marker that ends it; its reader takes what is missing for grey. What cameras
/// put behind that is not looked at.
fn is_whole_jpeg(file: &[u8]) -> bool {
    let mut at = 2;
    while let Some(&byte) = file.get(at) {
        at += 1;
        // Between the markers lies packed data, which holds 0xff before 0 or a number of 0xd0 to 0xd7 only.
        if byte != 0xff {
            continue;
        }
        match file.get(at) {
            None => return false,
            Some(0xd9) => return true,
            Some(0x00 | 0x01 | 0xd0..=0xd8) => at += 1,
            Some(0xff) => {}
            Some(_) => {
                let Some(&[high, low]) = file.get(at + 1..at + 3) else {
                    return false;
                };
                at += 1 + usize::from(u16::from_be_bytes([high, low]));
            }
        }
    }
    false
}
