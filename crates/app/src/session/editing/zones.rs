//! A marked area that is measured in another way stays where it is.

use heartside_geometry::Bounds;
use heartside_timber::document::{BoardEnd, Document, Length, Zone, ZoneFrom, ZoneShape};
use heartside_timber::prepare::prepare;

/// The box of a marked area in its board's frame, and where the board's start end is.
pub(super) fn zone_as_it_lies(
    document: &Document,
    row: usize,
    zone: usize,
) -> Option<(Bounds, f64)> {
    let alone = Document {
        units: document.units.clone(),
        dimensions: document.dimensions.clone(),
        boards: vec![document.boards.get(row)?.clone()],
        ..Document::new()
    };
    let job = prepare(&alone).job;
    let board = job.boards.first()?;
    let zone = board.zones.iter().find(|z| z.index == zone)?;
    Some((zone.shape.bounds(), board.outline.bounds().min.x))
}

/// Measures a marked area, which has just been given another form, from where it lay.
pub(in crate::session) fn put_where_it_lay(zone: &mut Zone, (lay, start): &(Bounds, f64)) {
    let mm = |value: f64| Length::Mm((value * 100.0).round() / 100.0);
    match &mut zone.shape {
        Some(ZoneShape::Spot {
            along,
            across,
            from,
            length,
            width,
            ..
        }) => {
            let middle = lay.centre();
            (*along, *across) = (mm(middle.x - start), mm(middle.y));
            (*length, *width) = (mm(lay.width()), mm(lay.height()));
            *from = ZoneFrom::ChalkLine;
        }
        Some(ZoneShape::Span {
            end,
            begins,
            ends,
            edge,
            near,
            far,
            ..
        }) => {
            (*end, *edge) = (BoardEnd::Start, ZoneFrom::ChalkLine);
            (*begins, *ends) = (mm(lay.min.x - start), mm(lay.max.x - start));
            (*near, *far) = (mm(lay.min.y), mm(lay.max.y));
        }
        Some(ZoneShape::Polygon { points }) => {
            let corner = |x: f64, y: f64| [mm(x), mm(y)];
            *points = vec![
                corner(lay.min.x, lay.min.y),
                corner(lay.max.x, lay.min.y),
                corner(lay.max.x, lay.max.y),
                corner(lay.min.x, lay.max.y),
            ];
        }
        Some(ZoneShape::Strip { .. }) | None => {}
    }
}
