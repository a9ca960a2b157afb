//! Which convex pieces of a no-fit polygon, and which of their sides, may matter near a point.

use heartside_geometry::Point;

use super::span::{Corner, Span};

/// For each mesh the polygons that reach into it, and of each the sides that may be the nearest there.
///
/// Every other side is further inside all over the mesh than one of these, so what is
/// measured is the same as with all sides; it only takes a fraction of the time.
#[derive(Debug)]
pub(super) struct Net {
    low: Point,
    per_mm: (f64, f64),
    columns: usize,
    rows: usize,
    /// Where the list of each mesh begins, one more for the end.
    starts: Vec<u32>,
    /// The lists: for every polygon in turn its number, how many sides, the sides.
    ///
    /// In one piece and short, for what takes the time is fetching it from memory.
    held: Vec<u16>,
}

impl Net {
    /// A net of about the square of `meshes`; none where there is nothing to catch, or too much for the numbers held.
    pub(super) fn over(spans: &[Span], corners: &[Corner], meshes: f64) -> Option<Net> {
        let most = usize::from(u16::MAX);
        if spans.is_empty()
            || spans.len() > most
            || spans.iter().any(|span| span.of(corners).len() > most)
        {
            return None;
        }
        let (mut low, mut high) = (spans[0].low, spans[0].high);
        for span in spans {
            low = Point::new(low.x.min(span.low.x), low.y.min(span.low.y));
            high = Point::new(high.x.max(span.high.x), high.y.max(span.high.y));
        }
        let (width, height) = (high.x - low.x, high.y - low.y);
        if !(width > 0.0 && height > 0.0 && width.is_finite() && height.is_finite()) {
            return None;
        }
        let side = (width * height).sqrt() / meshes;
        let count = |extent: f64| ((extent / side).ceil() as usize).clamp(4, 2 * meshes as usize);
        let (columns, rows) = (count(width), count(height));
        let mut net = Net {
            low,
            per_mm: (columns as f64 / width, rows as f64 / height),
            columns,
            rows,
            starts: Vec::with_capacity(columns * rows + 1),
            held: Vec::new(),
        };
        // A little more than the mesh, for points that rounding puts into it.
        let spare = 1e-6 * (width + height);
        let half = (0.5 / net.per_mm.0 + spare, 0.5 / net.per_mm.1 + spare);
        // How much the height over a side may differ from that in the middle of a mesh.
        let around: Vec<f64> = corners
            .iter()
            .map(|c| c.normal.x.abs() * half.0 + c.normal.y.abs() * half.1)
            .collect();
        let mut row_spans: Vec<u16> = Vec::new();
        let mut heights = Vec::new();
        for row in 0..rows {
            let y = low.y + (row as f64 + 0.5) / net.per_mm.1;
            row_spans.clear();
            row_spans.extend(
                (0..spans.len())
                    .filter(|k| spans[*k].low.y < y + half.1 && spans[*k].high.y > y - half.1)
                    .map(|k| k as u16),
            );
            for column in 0..columns {
                net.starts.push(u32::try_from(net.held.len()).ok()?);
                let x = low.x + (column as f64 + 0.5) / net.per_mm.0;
                for k in &row_spans {
                    let span = &spans[usize::from(*k)];
                    if span.low.x < x + half.0 && span.high.x > x - half.0 {
                        let around = span.of(&around);
                        let sides = (span.of(corners), around);
                        net.add((*k, span), sides, Point::new(x, y), spare, &mut heights);
                    }
                }
            }
        }
        net.starts.push(u32::try_from(net.held.len()).ok()?);
        net.held.shrink_to_fit();
        Some(net)
    }

    /// Numbers held, as a measure of memory: one for every four of its short ones.
    pub(super) fn weight(&self) -> usize {
        self.held.len() / 4 + self.starts.len() / 2
    }

    /// Adds a polygon to the list of the mesh round a point, with the sides that may be the nearest there.
    fn add(
        &mut self,
        (number, span): (u16, &Span),
        (sides, around): (&[Corner], &[f64]),
        middle: Point,
        spare: f64,
        heights: &mut Vec<f64>,
    ) {
        heights.clear();
        let mut best = f64::NEG_INFINITY;
        for (side, around) in sides.iter().zip(around) {
            let height = middle.to_vector().dot(side.normal) - side.height;
            best = best.max(height - around);
            heights.push(height + around);
        }
        if best >= span.keep {
            return;
        }
        let place = self.held.len();
        self.held.extend([number, 0]);
        for (k, high) in heights.iter().enumerate() {
            if *high >= best - spare {
                self.held.push(k as u16);
                self.held[place + 1] += 1;
            }
        }
    }

    /// The list of the mesh that holds a point; nothing is barred outside the net.
    pub(super) fn at(&self, d: Point) -> &[u16] {
        let x = (d.x - self.low.x) * self.per_mm.0;
        let y = (d.y - self.low.y) * self.per_mm.1;
        if x < 0.0 || y < 0.0 {
            return &[];
        }
        let (column, row) = (x as usize, y as usize);
        if column >= self.columns || row >= self.rows {
            return &[];
        }
        let mesh = row * self.columns + column;
        &self.held[self.starts[mesh] as usize..self.starts[mesh + 1] as usize]
    }
}
