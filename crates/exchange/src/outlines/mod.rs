//! Boards drawn as outlines in a file: SVG and DXF.
//!
//! Closed lines become outlines of boards, holes in them and marked areas: by what their layer,
//! id, class or group is called ([`Meaning`]), and where that says nothing by how they lie in each
//! other. Curves become straight on the safe side: boards within, holes and areas without, by at
//! most [`FLATTEN_TOLERANCE`](heartside_geometry::FLATTEN_TOLERANCE).
//!
//! Nothing is guessed: where the file does not say its unit, [`Read::AskUnit`] comes back. Nothing
//! is dropped silently: what cannot be used is told with its line.
//!
//! Both readers make a [`Drawing`]; what becomes of them is the same for both.
//!
//! The crate `dxf` was weighed for the second format: it knows several hundred entities by name,
//! all of which would come into the page; the eight that can bound a board are read here.

mod curve;
mod drawn;
mod dxf;
mod elements;
mod gather;
mod groups;
mod meaning;
mod proposals;
mod ring;
mod scan;
mod svg;
mod svg_path;

use heartside_timber::diagnostic::Level;
use heartside_timber::ids::TakenIds;

use drawn::{Drawing, Refused, told};
pub use meaning::Meaning;
pub use proposals::{FileUnit, Named, Proposals, Read, Said};

/// Files above this are refused: no drawing of boards comes near it.
const MOST_BYTES: usize = 40_000_000;

/// Reads the boards of an SVG file. Ids come from `taken`.
///
/// Taken are paths, rectangles, circles, ellipses, polygons, polylines and lines, in groups, with
/// transforms, and as copies (`use`). Units come from the width and height; lengths in px are 96 to
/// the inch. Nothing is fetched or run.
pub fn read_svg(text: &str, said: &Said, taken: &mut TakenIds) -> Read {
    read(text, said, taken, svg::read)
}

/// Reads the boards of a DXF file as text. Ids come from `taken`.
///
/// Taken are lines, polylines of both kinds with bulges, arcs, circles, ellipses, splines by control
/// points, and blocks. The unit comes from `$INSUNITS`.
pub fn read_dxf(text: &str, said: &Said, taken: &mut TakenIds) -> Read {
    read(text, said, taken, dxf::read)
}

fn read(
    text: &str,
    said: &Said,
    taken: &mut TakenIds,
    reader: fn(&str) -> Result<Drawing, Refused>,
) -> Read {
    let refused = |code, message, hint| told(Level::Error, None, code, message, hint).into();
    let read = if text.len() > MOST_BYTES {
        let message = "the file is too large for a drawing of boards";
        let hint = "save only the boards, at most 40 MB";
        Err(refused("drawing-too-large", message, hint))
    } else if text.contains('\0') {
        let message = "the file is not text";
        let hint = "save the drawing as an SVG file, or as a DXF file of the plain kind";
        Err(refused("drawing-not-text", message, hint))
    } else {
        reader(text.trim_start_matches('\u{feff}'))
    };
    match read {
        Ok(drawing) => gather::boards(drawing, said, taken),
        Err(diagnostic) => Read::Boards(Proposals {
            diagnostics: vec![*diagnostic],
            ..Proposals::default()
        }),
    }
}

#[cfg(test)]
mod tests;
