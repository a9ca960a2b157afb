//! Drawings as the pages of one PDF file: in true size, with text that can be selected and searched.
//!
//! Each drawing is read by `usvg`, which resolves its style sheet and sets its text, and is written as a page by
//! [`canvas`]. Faces, pictures and opacities are noted on the way and stand once, at the end of the file.
//! There is no clock and no chance in it: the same drawings give the same bytes.
//!
//! Source of the format: ISO 32000-1:2008 (PDF 1.7); sections are named where they are used.

mod canvas;
mod faces;
mod file;
mod opacities;
mod outlines;
mod pictures;
#[cfg(test)]
mod tests;
mod words;

use std::sync::Arc;

use usvg::{ImageHrefResolver, ImageKind, Options, Tree};

use crate::photos::Photos;
use canvas::Canvas;
use faces::Faces;
use file::Page;
use opacities::Opacities;
use pictures::Pictures;

/// What the pages of a file use together.
struct Shared {
    faces: Faces,
    pictures: Pictures,
    opacities: Opacities,
}

/// A PDF file of drawings, one a page, each as large as its drawing. `title` is that of the whole.
///
/// # Errors
/// A drawing that is no SVG.
pub(crate) fn pdf<'a>(
    drawings: impl IntoIterator<Item = &'a str>,
    title: &str,
    photos: &Photos,
) -> Result<Vec<u8>, usvg::Error> {
    let (database, faces) = faces::at_hand();
    let options = Options {
        fontdb: Arc::new(database),
        image_href_resolver: ImageHrefResolver {
            resolve_data: ImageHrefResolver::default_data_resolver(),
            resolve_string: Box::new(|address, _| photograph(address, photos)),
        },
        ..Options::default()
    };
    let mut shared = Shared {
        faces,
        pictures: Pictures::default(),
        opacities: Opacities::default(),
    };
    let mut pages = Vec::new();
    for drawing in drawings {
        let tree = Tree::from_str(drawing, &options)?;
        pages.push(Page::of(tree.size(), Canvas::drawn(&tree, &mut shared)));
    }
    Ok(file::written(&pages, title, &shared))
}

/// The photograph that a drawing calls by `photo:` and its hash.
fn photograph(address: &str, photos: &Photos) -> Option<ImageKind> {
    let bytes = photos.picture(address.strip_prefix("photo:")?)?;
    let whole = Arc::new(bytes.to_vec());
    Some(match bytes {
        [0x89, b'P', b'N', b'G', ..] => ImageKind::PNG(whole),
        _ => ImageKind::JPEG(whole),
    })
}
