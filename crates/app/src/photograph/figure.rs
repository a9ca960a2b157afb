//! A map of figure as the job file has it: a row for layers that share their cells.

use heartside_figure::map::{FigureMap, Layer};
use heartside_timber::document::{self, Levels};

/// The rows of a map; the photograph's hash is not known here.
pub(super) fn rows(map: &FigureMap) -> Vec<document::FigureMap> {
    let layers: [(&str, &Layer); 4] = [
        ("light", &map.light),
        ("sapwood", &map.sapwood),
        ("strength", &map.strength),
        ("direction", &map.direction),
    ];
    let mut rows: Vec<document::FigureMap> = Vec::new();
    for (name, layer) in layers.into_iter().filter(|(_, layer)| layer.columns > 0) {
        let columns = layer.columns as u32;
        let own = rows.iter().position(|row| {
            (row.cell, row.origin, row.columns) == (layer.cell, layer.origin, columns)
        });
        let own = own.unwrap_or_else(|| {
            rows.push(document::FigureMap {
                cell: layer.cell,
                origin: layer.origin,
                columns,
                ..document::FigureMap::default()
            });
            rows.len() - 1
        });
        let levels = Levels(layer.levels.as_slice().into());
        rows[own].layers.insert(name.to_owned(), levels);
    }
    rows
}
