//! What cuts leave besides parts: offcuts and the pieces of a sawn board, their marks and names.

use heartside_cutting::{Becomes, holds_words};
use heartside_geometry::{Point, Region};
use heartside_timber::length::write_dimension;
use heartside_timber::plan::{CutNode, Way};
use heartside_timber::workpieces::Workpieces;

use crate::fitting::{Wording, around, fit_inside, is_within, pole};
use crate::laid::TYPE;
use crate::pen::Words;
use crate::room::Taken;
use crate::scene::Scene;
use crate::text::{LINE, text_width};

impl Scene<'_> {
    /// The kept offcuts: node, its pieces in the board's frame, its name.
    pub(crate) fn offcuts(&self) -> Vec<(usize, Vec<Region>, String)> {
        self.leaves(
            |node| matches!(node, CutNode::Offcut),
            |becomes| *becomes == Becomes::Offcut,
        )
    }

    /// The pieces that through cuts leave of a sawn board, as [`Scene::offcuts`].
    fn regions(&self) -> Vec<(usize, Vec<Region>, String)> {
        if self.subject.layout.is_none_or(|l| l.way != Way::Sawn) {
            return Vec::new();
        }
        self.leaves(
            |node| matches!(node, CutNode::Region { .. }),
            |becomes| matches!(becomes, Becomes::Region { .. }),
        )
    }

    fn leaves(
        &self,
        is_wanted: impl Fn(&CutNode) -> bool,
        comes_as: impl Fn(&Becomes) -> bool,
    ) -> Vec<(usize, Vec<Region>, String)> {
        let Some(layout) = self.subject.layout else {
            return Vec::new();
        };
        let Some(tree) = &layout.cuts else {
            return Vec::new();
        };
        Workpieces::of(tree, layout.frame, &self.subject.board.outline)
            .iter()
            .filter(|piece| is_wanted(&tree.nodes[piece.node]))
            .map(|piece| {
                let (node, pieces) = (piece.node, piece.wood());
                let name = self
                    .steps
                    .iter()
                    .flat_map(|s| &s.yields)
                    .find(|y| y.node == Some(node) && comes_as(&y.becomes));
                (
                    node,
                    pieces,
                    name.map_or_else(|| "offcut".into(), |y| y.name.clone()),
                )
            })
            .collect()
    }

    pub(crate) fn offcut_words(&mut self) {
        let mut pen = self.pen();
        let units = &self.subject.job.units;
        let mut all = Vec::new();
        for (node, pieces, name) in self.offcuts() {
            let Some(body) = pieces
                .iter()
                .max_by(|a, b| a.area().total_cmp(&b.area()))
                .cloned()
            else {
                continue;
            };
            let bounds = body.bounds();
            let size = format!(
                "{} × {}",
                write_dimension(bounds.width(), units),
                write_dimension(bounds.height(), units)
            );
            let mut yields = self.steps.iter().flat_map(|s| &s.yields);
            let own = yields.find(|y| y.node == Some(node) && y.becomes == Becomes::Offcut);
            let size = own.map_or(size, |y| y.size.clone());
            let holds = own
                .filter(|y| !y.holds.is_empty())
                .map(|y| holds_words(&y.holds));
            all.push((body, name, size, holds));
        }
        let unit = self.unit;
        let text = TYPE.size * unit;
        for (body, name, size, holds) in all {
            // Whoever takes the offcut up must know what it holds, so that is never left out.
            let class = "hs-quiet hs-halo-wood";
            let gap = |text: &String| (format!("  {text}"), class);
            let mut whole = vec![(name.clone(), class), gap(&size)];
            whole.extend(holds.iter().map(gap));
            let lines = |rows: Vec<Vec<(String, &'static str)>>| Wording {
                lines: rows.into_iter().map(|runs| (runs, text)).collect(),
            };
            let mut rows = vec![vec![(name.clone(), class)], vec![(size.clone(), class)]];
            let mut two = vec![vec![(name.clone(), class), gap(&size)]];
            if let Some(held) = &holds {
                rows.push(vec![(held.clone(), class)]);
                two.push(vec![(held.clone(), class)]);
            }
            let ways = [lines(vec![whole]), lines(two), lines(rows)];
            match fit_inside(&ways, &body, self.origin, &self.done.room, 1.0 * unit) {
                Some(lines) => {
                    for line in lines {
                        self.done.room.take(Taken::Label, line.bounds());
                        pen.words(&line.haloed(0.9 * unit, ""));
                    }
                }
                None => {
                    let target = self.origin.map(pole(&body));
                    let mut runs = vec![(name, "hs-quiet"), (format!("  {size}"), "hs-quiet")];
                    runs.extend(holds.map(|h| (format!("  {h}"), "hs-quiet")));
                    let wording = Wording {
                        lines: vec![(runs, text)],
                    };
                    match self.call_out(&wording, target, "hs-leader") {
                        Some(svg) => pen.out.push_str(&svg),
                        None => self.done.left_out += 1,
                    }
                }
            }
        }
        self.done.labels.push_str(&pen.out);
    }

    /// The names of the pieces that through cuts leave of a sawn board: on the wood between
    /// their parts, else led out of the board from there.
    pub(crate) fn region_words(&mut self) {
        let mut pen = self.pen();
        let unit = self.unit;
        let size = TYPE.size * unit;
        for (_, pieces, name) in self.regions() {
            let (w, h) = (text_width(&name, size), LINE * size);
            let free = |w: f64, h: f64| {
                pieces.iter().find_map(|body| {
                    let spots = spots(body, w, h);
                    spots.map(|p| self.origin.map(p)).find(|middle| {
                        let own = around(*middle, w, h);
                        self.done.room.is_clear(&own)
                    })
                })
            };
            if let Some(middle) = free(w + unit, h) {
                let words =
                    Words::new(name, "hs-quiet", middle, size).haloed(0.9 * unit, "hs-halo-wood");
                self.done.room.take(Taken::Label, words.bounds());
                pen.words(&words);
            } else {
                let target =
                    free(unit, unit).or_else(|| pieces.first().map(|body| self.free_target(body)));
                let wording = Wording {
                    lines: vec![(vec![(name, "hs-quiet")], size)],
                };
                match target.and_then(|t| self.call_out(&wording, t, "hs-leader")) {
                    Some(svg) => pen.out.push_str(&svg),
                    None => self.done.left_out += 1,
                }
            }
        }
        self.done.labels.push_str(&pen.out);
    }
}

/// The mark of a piece that is kept: a stroke each way in every corner of its box that has wood,
/// as a maker chalks round what is not to go to the stove.
pub(crate) fn keep_corners(body: &Region, unit: f64) -> Vec<(Point, Point)> {
    let bounds = body.bounds();
    let inset = 1.3 * unit;
    let arm = |extent: f64| (3.4 * unit).min(extent / 2.0 - inset);
    let (long, high) = (arm(bounds.width()), arm(bounds.height()));
    if long <= 0.0 || high <= 0.0 {
        return Vec::new();
    }
    let mut lines = Vec::new();
    for (x, dx) in [(bounds.min.x, 1.0), (bounds.max.x, -1.0)] {
        for (y, dy) in [(bounds.min.y, 1.0), (bounds.max.y, -1.0)] {
            // A waney side leaves a corner of the box bare: the mark moves in to the wood.
            let corner = (0..6)
                .map(|k| Point {
                    x: x + dx * inset,
                    y: y + dy * (inset + f64::from(k) * bounds.height() / 12.0),
                })
                .find(|p| body.contains(*p));
            let Some(corner) = corner else { continue };
            let ends = [
                Point {
                    x: corner.x + dx * long,
                    ..corner
                },
                Point {
                    y: corner.y + dy * high,
                    ..corner
                },
            ];
            lines.extend(
                ends.into_iter()
                    .filter(|p| body.contains(*p))
                    .map(|p| (corner, p)),
            );
        }
    }
    lines
}

/// Places for a box of a size inside a region, from above and from its middle outwards.
pub(crate) fn spots(body: &Region, w: f64, h: f64) -> impl Iterator<Item = Point> + '_ {
    let bounds = body.bounds();
    let rows = 12;
    let columns = 12_i32;
    let spare = (
        (bounds.width() - w).max(0.0),
        (bounds.height() - h).max(0.0),
    );
    let centre = bounds.centre();
    (0..=rows)
        .flat_map(move |row| {
            let y = bounds.max.y - h / 2.0 - spare.1 * f64::from(row) / f64::from(rows);
            (0..=columns).flat_map(|k| [k, -k]).map(move |k| Point {
                x: centre.x + spare.0 * f64::from(k) / f64::from(2 * columns),
                y,
            })
        })
        .filter(move |p| is_within(body, &around(*p, w, h)))
}
