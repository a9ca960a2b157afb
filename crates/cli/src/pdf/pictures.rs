//! Photographs, each once in a file however often it is shown.

use std::collections::BTreeMap;

use image::GenericImageView;
use pdf_writer::{Filter, Finish, Name, Pdf, Ref};
use usvg::ImageKind;

use super::file::packed;
use crate::photos::hash_of;

/// A picture as it stands in the file.
#[derive(Debug)]
struct Picture {
    name: String,
    size: [u32; 2],
    kind: Pixels,
}

/// How its pixels are held.
#[derive(Debug)]
enum Pixels {
    /// A JPEG file with three colours, as it was taken.
    Jpeg(Vec<u8>),
    /// Packed bytes of red, green and blue, and of what covers, where not everything does.
    Plain {
        colours: Vec<u8>,
        cover: Option<Vec<u8>>,
    },
}

/// The pictures of all pages by the hashes of their files; none for a file that cannot be read.
#[derive(Debug, Default)]
pub(super) struct Pictures(BTreeMap<String, Option<Picture>>);

impl Pictures {
    /// The name of a picture.
    pub(super) fn named(&mut self, kind: &ImageKind) -> Option<&str> {
        let bytes = match kind {
            ImageKind::JPEG(bytes) | ImageKind::PNG(bytes) => bytes,
            ImageKind::GIF(_) | ImageKind::WEBP(_) | ImageKind::SVG(_) => return None,
        };
        let name = format!("P{}", self.0.len());
        let known = self.0.entry(hash_of(bytes));
        let picture = known.or_insert_with(|| read(bytes, name));
        picture.as_ref().map(|picture| picture.name.as_str())
    }

    /// Writes all of them; returns their names with the objects.
    pub(super) fn write(&self, pdf: &mut Pdf, next: &mut Ref) -> Vec<(&str, Ref)> {
        let pictures = self.0.values().flatten();
        let written = pictures.map(|picture| (picture.name.as_str(), picture.write(pdf, next)));
        written.collect()
    }
}

fn read(bytes: &[u8], name: String) -> Option<Picture> {
    let picture = image::load_from_memory(bytes).ok()?;
    let size: [u32; 2] = picture.dimensions().into();
    if colours_of_jpeg(bytes) == Some(3) {
        let kind = Pixels::Jpeg(bytes.to_vec());
        return Some(Picture { name, size, kind });
    }
    let rgba = picture.to_rgba8();
    let (mut colours, mut cover) = (Vec::new(), Vec::new());
    for pixel in rgba.pixels() {
        let [r, g, b, a] = pixel.0;
        colours.extend([r, g, b]);
        cover.push(a);
    }
    let is_clear = cover.iter().any(|a| *a < u8::MAX);
    let kind = Pixels::Plain {
        colours: packed(&colours),
        cover: is_clear.then(|| packed(&cover)),
    };
    Some(Picture { name, size, kind })
}

/// How many colours a JPEG file has, by the head of its frame (ITU-T T.81, B.2.2).
fn colours_of_jpeg(bytes: &[u8]) -> Option<u8> {
    let mut rest = bytes.strip_prefix(&[0xff, 0xd8])?;
    loop {
        let [0xff, marker, high, low, ..] = rest else {
            return None;
        };
        // Tables of Huffman codes and of arithmetic ones have numbers among those of frames.
        let is_frame = (0xc0..=0xcf).contains(marker) && ![0xc4, 0xc8, 0xcc].contains(marker);
        if is_frame {
            return rest.get(9).copied();
        }
        let length = usize::from(u16::from_be_bytes([*high, *low]));
        rest = rest.get(2 + length..)?;
    }
}

impl Picture {
    fn write(&self, pdf: &mut Pdf, next: &mut Ref) -> Ref {
        let id = next.bump();
        let (data, filter, cover) = match &self.kind {
            Pixels::Jpeg(bytes) => (bytes, Filter::DctDecode, None),
            Pixels::Plain { colours, cover } => (colours, Filter::FlateDecode, cover.as_ref()),
        };
        let cover = cover.map(|bytes| (next.bump(), bytes));
        let mut image = pdf.image_xobject(id, data);
        image.filter(filter);
        self.head(&mut image, b"DeviceRGB");
        if let Some((mask, _)) = cover {
            image.s_mask(mask);
        }
        image.finish();
        if let Some((mask, bytes)) = cover {
            let mut image = pdf.image_xobject(mask, bytes);
            image.filter(Filter::FlateDecode);
            self.head(&mut image, b"DeviceGray");
        }
        id
    }

    fn head(&self, image: &mut pdf_writer::writers::ImageXObject<'_>, colours: &[u8]) {
        let [width, height] = self.size.map(|n| i32::try_from(n).unwrap_or(i32::MAX));
        image.width(width).height(height).bits_per_component(8);
        image.color_space_name(Name(colours));
        image.interpolate(true);
    }
}
