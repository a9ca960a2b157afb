//! What is known of the figure of each face: by its photographs, by the areas that the maker marked, or by both.

use heartside_figure::map::{Cells, FigureMap, Layer};
use heartside_geometry::{Bounds, Point, Region};
use heartside_timber::document::{ZoneFace, ZoneKind};
use heartside_timber::job::{self, Board, FigureLayer, Zone};

/// Side of the cells of what the maker wants, in millimetres: nobody draws finer by hand.
const WANTED_CELL: f64 = 10.0;

/// A face of a board with what is known of its figure.
#[derive(Debug, Clone, PartialEq)]
pub struct KnownFace {
    /// The board as it was bought, or the piece that a photograph was taken of.
    pub board: String,
    /// The down face: its map lies in the frame of the board turned over, y to -y.
    pub is_down: bool,
    /// What is known; a layer without cells says that nothing is.
    pub map: FigureMap,
}

/// The faces of which something is known, each once, in the order of the boards, up faces first. Faces without a
/// photograph have what follows from areas marked as figure and as sapwood. O(cells x areas that hold them).
pub fn faces_known(job: &job::Job) -> Vec<KnownFace> {
    let mut faces = Vec::new();
    for board in &job.boards {
        for is_down in [false, true] {
            let maps: Vec<&job::FigureMap> = job
                .figure
                .iter()
                .filter(|map| map.board == board.id && map.is_down == is_down)
                .collect();
            let marked = Marked::on(board, is_down);
            // Areas of a piece are those of the board that it came from.
            let is_said = !maps.is_empty() || (board.from.is_none() && !marked.is_empty());
            if is_said {
                let mut map = photographed(&maps);
                marked.put_on(&mut map, board, maps.is_empty());
                faces.push(KnownFace {
                    board: board.id.clone(),
                    is_down,
                    map,
                });
            }
        }
    }
    faces
}

/// What the photographs of one face say together.
fn photographed(maps: &[&job::FigureMap]) -> FigureMap {
    let layer = |name: &str| {
        let all = maps.iter().flat_map(|map| &map.layers);
        joined(&all.filter(|l| l.name == name).collect::<Vec<_>>())
    };
    FigureMap {
        light: layer("light"),
        sapwood: layer("sapwood"),
        strength: layer("strength"),
        direction: layer("direction"),
        wanted: Layer::default(),
    }
}

/// A layer as it is measured.
pub(crate) fn layer_of(layer: &FigureLayer) -> Layer {
    Layer {
        cell: layer.cell,
        origin: layer.origin,
        columns: layer.columns,
        levels: layer.levels.to_vec(),
    }
}

/// Layers of photographs beside each other as one, on the cells of the first; where two know a place the first counts.
fn joined(layers: &[&FigureLayer]) -> Layer {
    let layers: Vec<Layer> = layers.iter().map(|layer| layer_of(layer)).collect();
    let Some((first, others)) = layers.split_first() else {
        return Layer::default();
    };
    let reach = layers.iter().map(extent).reduce(Bounds::union);
    let (Some(reach), false) = (reach, others.is_empty()) else {
        return first.clone();
    };
    let cell = first.cell;
    let before = [reach.min.x, reach.min.y];
    let before = [0, 1].map(|k| ((first.origin[k] - before[k]) / cell).ceil().max(0.0));
    let origin = [0, 1].map(|k| first.origin[k] - before[k] * cell);
    let count = |from: f64, to: f64| ((to - from) / cell).ceil().max(1.0);
    let (columns, rows) = (count(origin[0], reach.max.x), count(origin[1], reach.max.y));
    // Photographs that lie far apart are not worth the cells between them.
    if columns * rows > 4e6 {
        return first.clone();
    }
    let mut whole = Layer {
        cell,
        origin,
        columns: columns as usize,
        levels: vec![0; columns as usize * rows as usize],
    };
    for at in 0..whole.levels.len() {
        let middle = whole.middle(at);
        let known = layers.iter().map(|layer| layer.in_cell(middle));
        whole.levels[at] = known.into_iter().find(|level| *level > 0).unwrap_or(0);
    }
    whole
}

fn extent(layer: &Layer) -> Bounds {
    let [x, y] = layer.origin;
    let size = [layer.columns, layer.rows()].map(|n| n as f64 * layer.cell);
    Bounds::new(Point::new(x, y), Point::new(x + size[0], y + size[1]))
}

/// The areas that the maker marked on one face.
struct Marked<'a> {
    is_down: bool,
    figure: Vec<&'a Zone>,
    sapwood: Vec<&'a Zone>,
}

impl<'a> Marked<'a> {
    fn on(board: &'a Board, is_down: bool) -> Marked<'a> {
        let of = |kind: ZoneKind| {
            let zones = board.zones.iter().filter(move |z| z.kind == kind);
            let here = zones.filter(move |z| match z.face {
                ZoneFace::Through => true,
                ZoneFace::Up => !is_down,
                ZoneFace::Down => is_down,
            });
            here.collect()
        };
        Marked {
            is_down,
            figure: of(ZoneKind::Figure),
            sapwood: of(ZoneKind::Sapwood),
        }
    }

    fn is_empty(&self) -> bool {
        self.figure.is_empty() && self.sapwood.is_empty()
    }

    /// Writes them into a map; `alone` where no photograph tells anything.
    fn put_on(&self, map: &mut FigureMap, board: &Board, alone: bool) {
        if !self.figure.is_empty() {
            map.wanted = self.blank(&board.outline, WANTED_CELL, 128);
            for zone in &self.figure {
                let level = (128.0 + 127.0 * zone.weight).round().clamp(1.0, 255.0);
                self.mark(&mut map.wanted, &zone.shape, level as u8);
            }
        }
        if alone {
            let cells = Cells::default();
            if !self.sapwood.is_empty() {
                map.sapwood = self.blank(&board.outline, cells.fine, 1);
            }
            if !self.figure.is_empty() {
                map.strength = self.blank(&board.outline, cells.coarse, 1);
                for zone in &self.figure {
                    let level = (1.0 + 254.0 * zone.weight).round().clamp(1.0, 255.0);
                    self.mark(&mut map.strength, &zone.shape, level as u8);
                }
            }
        } else if !self.sapwood.is_empty() && map.light.columns > 0 {
            // A face without sapwood in its photograph is told on large cells.
            let light = &map.light;
            let levels = light
                .levels
                .iter()
                .enumerate()
                .map(|(at, known)| match known {
                    0 => 0,
                    _ => map.sapwood.in_cell(light.middle(at)).max(1),
                });
            map.sapwood = Layer {
                levels: levels.collect(),
                ..light.clone()
            };
        }
        for zone in &self.sapwood {
            self.mark(&mut map.sapwood, &zone.shape, 255);
        }
    }

    /// A place of the face in the frame of the board, or the other way: mirrored twice is not mirrored.
    fn mirrored(&self, place: Point) -> Point {
        match self.is_down {
            true => Point::new(place.x, -place.y),
            false => place,
        }
    }

    /// A layer over a board, of one level.
    fn blank(&self, outline: &Region, cell: f64, level: u8) -> Layer {
        let bounds = outline.bounds();
        let corners = bounds.corners().map(|corner| self.mirrored(corner));
        let bounds = Bounds::of_points(corners).unwrap_or(bounds);
        let origin = [bounds.min.x, bounds.min.y].map(|v| (v / cell).floor() * cell);
        let count = |from: f64, to: f64| (((to - from) / cell).ceil() as usize).max(1);
        let columns = count(origin[0], bounds.max.x);
        let mut layer = Layer {
            cell,
            origin,
            columns,
            levels: vec![0; columns * count(origin[1], bounds.max.y)],
        };
        for at in 0..layer.levels.len() {
            if outline.contains(self.mirrored(layer.middle(at))) {
                layer.levels[at] = level;
            }
        }
        layer
    }

    /// Writes a level into the cells within an area, as far as they are known.
    fn mark(&self, layer: &mut Layer, shape: &Region, level: u8) {
        let bounds = shape.bounds();
        for at in 0..layer.levels.len() {
            let place = self.mirrored(layer.middle(at));
            if layer.levels[at] > 0 && bounds.contains(place) && shape.contains(place) {
                layer.levels[at] = level;
            }
        }
    }
}
