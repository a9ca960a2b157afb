//! How much of each cell's colour is sapwood.

use heartside_geometry::{Location, Point, Ring};

use super::cells::Grid;
use super::fall_off::{FallOff, median};
use crate::see::Seen;

/// Less sure sapwood is passed over: none is invented.
const LEAST_SURE: f64 = 0.4;
/// Where it would reach farther in than this share of the wood's width it must be this sure: beside the dark wood about a
/// pith all other heartwood is paler.
const DEEP: f64 = 0.3;
const SURE_IF_DEEP: f64 = 0.85;
/// Colours nearer than this are one wood, in CIELAB.
const LEAST_APART: f64 = 4.0;
/// Darker than the heartwood by so much, in CIELAB's lightness, is bark or a knot.
const BARK_DARKER: f64 = 10.0;
/// As far from where the sapwood was seen to end, in millimetres, the colour itself may tell.
const REACH: f64 = 8.0;

/// How far each cell has come from heartwood (0) to sapwood (1), and how much lighter sapwood is.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Sapwood {
    pub(super) shares: Vec<f64>,
    pub(super) lighter: f64,
}

/// The cells that lie in sapwood that was seen.
pub(super) fn within(grid: &Grid, seen: &[Seen<Vec<Point>>]) -> Vec<bool> {
    let deep = DEEP * width(grid);
    let rings = seen.iter().filter_map(|seen| {
        let ring = Ring::new(seen.what.clone()).ok()?;
        let is_deep = ring.signed_area().abs() > deep * ring.bounds().width();
        let least = if is_deep { SURE_IF_DEEP } else { LEAST_SURE };
        (seen.sure >= least).then_some(ring)
    });
    let rings: Vec<Ring> = rings.collect();
    let mut within = vec![false; grid.wood.len()];
    for ring in &rings {
        let bounds = ring.bounds();
        for (at, within) in within.iter_mut().enumerate() {
            let middle = grid.middle(at);
            *within |= grid.wood[at].is_some()
                && bounds.contains(middle)
                && ring.locate(middle) != Location::Outside;
        }
    }
    within
}

/// The mean width of the wood, where there is some.
fn width(grid: &Grid) -> f64 {
    let columns = (0..grid.columns).map(|column| {
        let cells = grid.wood.iter().skip(column).step_by(grid.columns);
        cells.filter(|wood| wood.is_some()).count()
    });
    let (wood, long) = columns.fold((0, 0), |(wood, long), count| {
        (wood + count, long + usize::from(count > 0))
    });
    grid.cell * wood as f64 / f64::max(long as f64, 1.0)
}

impl Sapwood {
    /// By the colour of what lies within and of what does not; none where the two are one wood. O(cells).
    pub(super) fn by_colour(grid: &Grid, within: &[bool], fall_off: &FallOff) -> Option<Sapwood> {
        let colours: Vec<Option<[f64; 3]>> = grid
            .wood
            .iter()
            .enumerate()
            .map(|(at, wood)| Some(fall_off.evened(grid.middle(at), wood.as_ref()?.colour)))
            .collect();
        let middle = |sap: bool| {
            let of = |axis: usize| {
                let all = colours.iter().zip(within);
                let own = all.filter(|(_, within)| **within == sap);
                own.filter_map(|(colour, _)| Some(colour.as_ref()?[axis]))
                    .collect()
            };
            [0, 1, 2].map(|axis| median(of(axis)))
        };
        let (heart, sap) = (middle(false), middle(true));
        let apart = [0, 1, 2].map(|axis| sap[axis] - heart[axis]);
        let squared: f64 = apart.iter().map(|value| value * value).sum();
        if !within.contains(&true) || squared < LEAST_APART * LEAST_APART {
            return None;
        }
        let reach = (REACH / grid.cell).ceil() as isize;
        let near = |at: usize, wanted: bool| {
            let (column, row) = ((at % grid.columns) as isize, (at / grid.columns) as isize);
            (-reach..=reach).any(|up| {
                let (there, across) = (row + up, column);
                (0..grid.rows as isize).contains(&there)
                    && within[there as usize * grid.columns + across as usize] == wanted
                    && grid.wood[there as usize * grid.columns + across as usize].is_some()
            })
        };
        let share = |(at, colour): (usize, &Option<[f64; 3]>)| {
            let Some(colour) = colour else { return 0.0 };
            let along: f64 = (0..3)
                .map(|k| (colour[k] - heart[k]) * apart[k] / squared)
                .sum();
            let by_colour = along.clamp(0.0, 1.0);
            match (within[at], near(at, !within[at])) {
                _ if colour[0] < heart[0] - BARK_DARKER => 0.0,
                (true, true) => by_colour.max(0.5),
                (true, false) => 1.0,
                (false, true) => by_colour.min(0.5),
                (false, false) => 0.0,
            }
        };
        Some(Sapwood {
            shares: colours.iter().enumerate().map(share).collect(),
            lighter: apart[0],
        })
    }
}
