//! The file around the pages.

use std::io::Write;

use flate2::Compression;
use flate2::write::ZlibEncoder;
use pdf_writer::{Filter, Finish, Name, Pdf, Rect, Ref, TextStr};

use super::Shared;

/// A drawing's unit is 1/96 in once it is read (CSS), that of PDF 1/72 in.
pub(super) const POINTS_A_PIXEL: f32 = 0.75;

/// A page with its content, packed.
pub(super) struct Page {
    /// Width and height in points.
    size: [f32; 2],
    content: Vec<u8>,
}

impl Page {
    /// As large as a drawing.
    pub(super) fn of(size: usvg::Size, content: Vec<u8>) -> Page {
        Page {
            size: [size.width(), size.height()].map(|side| side * POINTS_A_PIXEL),
            content: packed(&content),
        }
    }
}

/// Bytes as PDF calls FlateDecode (RFC 1950).
pub(super) fn packed(bytes: &[u8]) -> Vec<u8> {
    let mut packer = ZlibEncoder::new(Vec::new(), Compression::default());
    // Into memory everything can be written.
    let written = packer.write_all(bytes);
    written
        .and_then(|()| packer.finish())
        .expect("there is room in memory")
}

/// The whole file.
pub(super) fn written(pages: &[Page], title: &str, shared: &Shared) -> Vec<u8> {
    let mut pdf = Pdf::new();
    let mut next = Ref::new(1);
    let [catalog, tree, info] = std::array::from_fn(|_| next.bump());
    let mut head = pdf.catalog(catalog);
    head.pages(tree).lang(TextStr("en"));
    let mut viewed = head.viewer_preferences();
    viewed.display_doc_title(true);
    // Printed as it is, since what is measured on paper must be true (12.2).
    viewed.pair(Name(b"PrintScaling"), Name(b"None"));
    viewed.finish();
    head.finish();
    let mut facts = pdf.document_info(info);
    facts
        .author(TextStr("Heartside"))
        .producer(TextStr("Heartside"));
    if !title.is_empty() {
        facts.title(TextStr(title));
    }
    facts.finish();

    let mut kids = Vec::new();
    for page in pages {
        let [id, content] = std::array::from_fn(|_| next.bump());
        let [width, height] = page.size;
        pdf.page(id)
            .parent(tree)
            .media_box(Rect::new(0.0, 0.0, width, height))
            .contents(content);
        pdf.stream(content, &page.content)
            .filter(Filter::FlateDecode);
        kids.push(id);
    }
    let faces = shared.faces.write(&mut pdf, &mut next);
    let pictures = shared.pictures.write(&mut pdf, &mut next);
    // Pages take over what the tree has (7.7.3.4).
    let mut all = pdf.pages(tree);
    all.count(i32::try_from(kids.len()).unwrap_or(i32::MAX))
        .kids(kids);
    let mut resources = all.resources();
    let mut named = resources.fonts();
    for (name, id) in faces {
        named.pair(Name(name.as_bytes()), id);
    }
    named.finish();
    let mut named = resources.x_objects();
    for (name, id) in pictures {
        named.pair(Name(name.as_bytes()), id);
    }
    named.finish();
    shared.opacities.write(&mut resources);
    resources.finish();
    all.finish();
    pdf.finish()
}
