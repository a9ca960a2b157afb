//! A job file as text, or as a ZIP file with its photographs, which then stand in its drawings.

use std::collections::BTreeMap;
use std::fs::File;
use std::io::Read;
use std::path::Path;

use base64::prelude::{BASE64_STANDARD, Engine};
use heartside_app::photograph::Photograph;
use heartside_app::protocol::{PhotoToMap, PhotoToRender};
use heartside_app::session::Session;
use heartside_exchange::bundle::{is_bundle, unpack};
use image::RgbImage;
use image::codecs::jpeg::JpegEncoder;
use sha2::{Digest, Sha256};

use crate::failure::Failure;

/// A straightened picture is packed no larger.
const MOST_BYTES: usize = 4_000_000;

/// Qualities of the picture that are tried, until it is small enough.
const QUALITIES: [u8; 5] = [90, 80, 65, 45, 25];

/// A job file that was read.
#[derive(Debug, Default)]
pub(crate) struct Packed {
    /// The text of the job.
    pub(crate) job: String,
    pub(crate) photos: Photos,
    /// Names of what is neither the job nor one of its photographs.
    pub(crate) others: Vec<String>,
}

/// Pictures by the hashes of their files.
#[derive(Debug, Default)]
pub(crate) struct Photos(BTreeMap<String, Vec<u8>>);

/// SHA-256 of a file, in hexadecimal.
pub(crate) fn hash_of(bytes: &[u8]) -> String {
    let hash = Sha256::digest(bytes);
    hash.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// An address that holds a picture whole.
fn address(picture: &[u8]) -> String {
    let kind = match picture {
        [0x89, b'P', b'N', b'G', ..] => "png",
        _ => "jpeg",
    };
    let whole = BASE64_STANDARD.encode(picture);
    format!("data:image/{kind};base64,{whole}")
}

/// Reads a job file of either kind.
pub(crate) fn read(path: &Path) -> Result<Packed, Failure> {
    let mut bytes = Vec::new();
    File::open(path)
        .and_then(|mut file| file.read_to_end(&mut bytes))
        .map_err(|cause| Failure::reading(path, cause))?;
    let unreadable = |message: String| Failure::Unreadable {
        path: path.to_owned(),
        message,
    };
    let text = |bytes: Vec<u8>| {
        String::from_utf8(bytes).map_err(|cause| {
            let cause = std::io::Error::new(std::io::ErrorKind::InvalidData, cause);
            Failure::reading(path, cause)
        })
    };
    if !is_bundle(&bytes) {
        return Ok(rendered(Packed {
            job: text(bytes)?,
            ..Packed::default()
        }));
    }
    let found = unpack(&bytes).map_err(|error| unreadable(error.to_string()))?;
    let mut others = found.others;
    let mut photos = BTreeMap::new();
    for (hash, place) in found.photos {
        let picture = &bytes[place];
        if hash_of(picture) != hash {
            others.push(format!("{hash} (it is another picture than its name says)"));
            continue;
        }
        photos.insert(hash, picture.to_vec());
    }
    Ok(rendered(Packed {
        job: text(bytes[found.job].to_vec())?,
        photos: Photos(photos),
        others,
    }))
}

/// Makes the pictures of invented logs that are not there. A job without any stays as it was written.
fn rendered(packed: Packed) -> Packed {
    let Packed {
        job,
        mut photos,
        others,
    } = packed;
    let mut session = Session::default();
    let is_read = job.contains("\"rendered\"") && session.open(&job).accepted;
    session.show_photos(photos.0.keys().cloned().collect());
    let wanted = session.photos_to_render();
    if !is_read || wanted.is_empty() {
        return Packed {
            job,
            photos,
            others,
        };
    }
    for photo in wanted {
        let PhotoToRender {
            log,
            board,
            is_down,
            size,
            ..
        } = photo;
        let PhotoToMap {
            pixel,
            origin,
            outline,
            ..
        } = photo.place;
        let mut photograph = Photograph::rendered([log, board], is_down, size, pixel, origin);
        photograph.map_begin(&outline);
        while photograph.map(256) < 1.0 {}
        if let Some(picture) = encoded(&photograph.pixels(), size) {
            session.keep_rendered(photo.row, &hash_of(&picture), &photograph.figure().map);
            photos.add(picture);
        }
    }
    Packed {
        job: session.save(),
        photos,
        others,
    }
}

/// A picture of so many pixels in a row and rows as JPEG, small enough to be packed.
pub(crate) fn encoded(rgba: &[u8], size: [u32; 2]) -> Option<Vec<u8>> {
    let rgb: Vec<u8> = rgba
        .chunks_exact(4)
        .flat_map(|pixel| [pixel[0], pixel[1], pixel[2]])
        .collect();
    let picture = RgbImage::from_raw(size[0], size[1], rgb)?;
    let mut last = None;
    for quality in QUALITIES {
        let mut bytes = Vec::new();
        let encoder = JpegEncoder::new_with_quality(&mut bytes, quality);
        picture.write_with_encoder(encoder).ok()?;
        let is_small = bytes.len() <= MOST_BYTES;
        last = Some(bytes);
        if is_small {
            break;
        }
    }
    last
}

impl Photos {
    /// Whether the picture with this hash is there.
    pub(crate) fn has(&self, hash: &str) -> bool {
        self.0.contains_key(hash)
    }

    /// The file of the picture with this hash.
    pub(crate) fn picture(&self, hash: &str) -> Option<&[u8]> {
        self.0.get(hash).map(Vec::as_slice)
    }

    /// Whether there is none.
    pub(crate) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// One more.
    pub(crate) fn add(&mut self, picture: Vec<u8>) {
        self.0.insert(hash_of(&picture), picture);
    }

    /// All of them.
    pub(crate) fn files(&self) -> impl Iterator<Item = (&str, &[u8])> {
        self.0
            .iter()
            .map(|(hash, bytes)| (hash.as_str(), bytes.as_slice()))
    }

    /// A drawing that holds its pictures.
    pub(crate) fn inlined(&self, svg: &str) -> String {
        let mut pieces = svg.split("href=\"photo:");
        let mut whole = pieces.next().unwrap_or_default().to_owned();
        for piece in pieces {
            let (hash, rest) = piece.split_once('"').unwrap_or((piece, ""));
            let address = self.0.get(hash).map_or_else(String::new, |p| address(p));
            whole.push_str(&format!("href=\"{address}\"{rest}"));
        }
        whole
    }
}
