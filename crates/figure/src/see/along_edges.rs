//! What lies along an edge: bark, and sapwood.
//!
//! Both are found as the outline is: each pixel votes by its colour, and the cheapest path along the board
//! parts what belongs to the edge from what does not.

use heartside_geometry::Point;

use super::best_path::{Moves, best_path};
use super::colours::Colours;
use super::ribbon::{Ribbon, simpler};
use super::seen::{Seen, share};

/// The deepest bark in millimetres.
const DEEPEST_BARK: f64 = 45.0;
/// Bark is this much darker than the wood within, in CIELAB's lightness.
const BARK_DARKER: f32 = 10.0;
/// The shallowest and the shortest bark that is told, in millimetres: less is lost in dressing the edge, and
/// in a shadow's breadth.
const LEAST_BARK: [f64; 2] = [3.0, 50.0];
/// Sapwood less deep than this, in millimetres, is lost in dressing the edge.
const LEAST_SAPWOOD: f64 = 8.0;
/// Sapwood is this much paler, in CIELAB's lightness.
const PALER: f32 = 4.0;
const MOVES: Moves = Moves {
    steepest: 2,
    slope: 0.7,
};

/// One long edge, looked at inwards.
struct Edge<'a> {
    colours: &'a Colours,
    ribbon: &'a Ribbon,
    upper: bool,
    first: usize,
    last: usize,
}

impl Edge<'_> {
    /// The pixel so deep within the edge, none beyond the middle of the board.
    fn pixel(&self, column: usize, depth: usize) -> Option<usize> {
        let (from, to) = self.ribbon.rows(column, 0.0);
        let to = to.min(self.colours.height);
        (2 * depth < to.saturating_sub(from)).then(|| {
            let row = if self.upper {
                from + depth
            } else {
                to - 1 - depth
            };
            row * self.colours.width + column
        })
    }

    /// The mean colour over a range of depths along the whole edge.
    fn mean(
        &self,
        depths: std::ops::Range<usize>,
        counts: impl Fn(usize) -> bool,
    ) -> Option<[f32; 3]> {
        let (mut sum, mut count) = ([0.0_f64; 3], 0.0);
        for column in self.first..=self.last {
            for at in depths.clone().filter_map(|depth| self.pixel(column, depth)) {
                if counts(at) {
                    for (sum, value) in sum.iter_mut().zip(self.colours.at(at)) {
                        *sum += f64::from(value);
                    }
                    count += 1.0;
                }
            }
        }
        (count > 0.0).then(|| sum.map(|value| (value / count) as f32))
    }

    /// How deep what is voted for reaches in, column by column from the first.
    fn depths(&self, deepest: usize, vote: impl Fn(usize) -> f32) -> Vec<usize> {
        best_path(
            self.last + 1 - self.first,
            deepest + 1,
            &MOVES,
            |_| f32::INFINITY,
            |column, cost| {
                let mut sum = 0.0;
                for (depth, cost) in cost.iter_mut().enumerate().skip(1) {
                    sum += self
                        .pixel(self.first + column, depth - 1)
                        .map_or(-1.0, &vote);
                    *cost = -sum;
                }
            },
        )
    }

    /// The outline of what reaches in so deep from a column on, counter-clockwise.
    fn outline(&self, start: usize, depths: &[usize]) -> Vec<Point> {
        let outer_rows = if self.upper {
            &self.ribbon.top
        } else {
            &self.ribbon.bottom
        };
        let line = |inner: bool| -> Vec<Point> {
            let points: Vec<Point> = depths
                .iter()
                .enumerate()
                .map(|(at, depth)| {
                    let depth = if inner { *depth as f64 } else { 0.0 };
                    let row =
                        f64::from(outer_rows[start + at]) + if self.upper { depth } else { -depth };
                    self.colours.place((start + at) as f64 + 0.5, row)
                })
                .collect();
            simpler(&points, 0.5)
        };
        let mut back = line(!self.upper);
        back.reverse();
        [line(self.upper), back].concat()
    }
}

fn edges<'a>(colours: &'a Colours, ribbon: &'a Ribbon) -> Vec<Edge<'a>> {
    let Some((first, last)) = ribbon.columns() else {
        return Vec::new();
    };
    let edge = |upper| Edge {
        colours,
        ribbon,
        upper,
        first,
        last,
    };
    vec![edge(false), edge(true)]
}

/// Bark along the edges: outlines, counter-clockwise in the board's frame.
pub(crate) fn bark(colours: &Colours, ribbon: &Ribbon) -> Vec<Seen<Vec<Point>>> {
    let mut found = Vec::new();
    for edge in edges(colours, ribbon) {
        let deepest = colours.pixels(DEEPEST_BARK);
        let Some([wood, ..]) = edge.mean(deepest / 2..2 * deepest, |_| true) else {
            continue;
        };
        let lightness = colours.lightness();
        let middle = wood - BARK_DARKER;
        let depths = edge.depths(deepest, |at| {
            ((middle - lightness[at]) / 8.0).clamp(-1.0, 1.0)
        });
        let [least, shortest] = LEAST_BARK.map(|length| colours.pixels(length));
        for run in runs(&depths, least) {
            if run.len() < shortest {
                continue;
            }
            let mut mean = [0.0_f64; 2];
            for column in run.clone() {
                for at in
                    (0..depths[column]).filter_map(|depth| edge.pixel(edge.first + column, depth))
                {
                    mean[0] += f64::from(wood - lightness[at]);
                    mean[1] += 1.0;
                }
            }
            let darker = mean[0] / f64::max(mean[1], 1.0);
            let deep = mean[1] / run.len() as f64 * colours.pixel;
            let sure = share(darker, 8.0, 22.0) * (0.4 + 0.6 * share(deep, 3.0, 9.0));
            if sure >= 0.25 {
                found.push(Seen {
                    what: edge.outline(edge.first + run.start, &depths[run.clone()]),
                    sure,
                    because: format!(
                        "Dark along the edge, about {deep:.0} mm deep over {:.0} mm: bark, or a shadow.",
                        run.len() as f64 * colours.pixel
                    ),
                });
            }
        }
    }
    found
}

/// Runs of places where a value is at least so much.
fn runs(values: &[usize], least: usize) -> Vec<std::ops::Range<usize>> {
    let mut runs: Vec<std::ops::Range<usize>> = Vec::new();
    for (at, value) in values.iter().enumerate() {
        if *value >= least {
            match runs.last_mut() {
                Some(run) if run.end == at => run.end += 1,
                _ => runs.push(at..at + 1),
            }
        }
    }
    runs
}

/// Sapwood along an edge: outlines, counter-clockwise in the board's frame.
pub(crate) fn sapwood(colours: &Colours, ribbon: &Ribbon) -> Vec<Seen<Vec<Point>>> {
    edges(colours, ribbon)
        .iter()
        .filter_map(sapwood_along)
        .collect()
}

fn sapwood_along(edge: &Edge<'_>) -> Option<Seen<Vec<Point>>> {
    let colours = edge.colours;
    let lightness = colours.lightness();
    let heights = (edge.first..=edge.last).map(|c| edge.ribbon.bottom[c] - edge.ribbon.top[c]);
    let width = (heights.sum::<f32>() / (edge.last + 1 - edge.first) as f32) as usize;
    let heart = edge.mean(width * 2 / 5..width / 2 + 1, |_| true)?;
    // Bark and knots are no sapwood; what is paler than the heart is looked at alone.
    let margin = colours.pixels(2.0);
    let sap = edge.mean(margin..(width / 12).max(margin + 3), |at| {
        lightness[at] > heart[0] - BARK_DARKER
    })?;
    if sap[0] - heart[0] < PALER {
        return None;
    }
    let apart = [0, 1, 2].map(|axis| sap[axis] - heart[axis]);
    let squared: f32 = apart.iter().map(|value| value * value).sum();
    let depths = edge.depths(width / 2, |at| {
        let lab = colours.at(at);
        if lab[0] < heart[0] - BARK_DARKER {
            // Bark or a dark line within it.
            return 0.2;
        }
        let along: f32 = (0..3)
            .map(|axis| (lab[axis] - heart[axis]) * apart[axis])
            .sum();
        (2.0 * (along / squared - 0.5)).clamp(-1.0, 1.0)
    });
    let deep = depths.iter().sum::<usize>() as f64 / depths.len() as f64;
    if deep * colours.pixel < LEAST_SAPWOOD || deep > 0.46 * width as f64 {
        return None;
    }
    // Light that falls off across the board has no step.
    let (mut step, mut count) = (0.0_f64, 0.0);
    let (near, far) = (colours.pixels(3.0), colours.pixels(12.0));
    for (column, depth) in depths.iter().enumerate() {
        for away in near..far {
            let outside = depth
                .checked_sub(away)
                .and_then(|depth| edge.pixel(edge.first + column, depth));
            let inside = edge.pixel(edge.first + column, depth + away);
            if let (Some(outside), Some(inside)) = (outside, inside) {
                step += f64::from(lightness[outside] - lightness[inside]);
                count += 1.0;
            }
        }
    }
    let step = step / f64::max(count, 1.0);
    let sure = share(step, 2.0, 9.0);
    (sure >= 0.25).then(|| Seen {
        what: edge.outline(edge.first, &depths),
        sure,
        because: format!(
            "Paler along the {} edge, about {:.0} mm deep, with {} step to the darker wood.",
            if edge.upper {
                "left-hand"
            } else {
                "right-hand"
            },
            deep * colours.pixel,
            if step > 6.0 { "a clear" } else { "a faint" },
        ),
    })
}
