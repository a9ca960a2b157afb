//! Which mark is wrong, or whether the lens bends, where marks do not fit each other.

use heartside_geometry::Point;

use crate::fit::{Fit, Model};
use crate::{Mark, Spot, View};

/// What explains that marks do not fit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Suspect {
    /// A mark without which the others fit.
    Mark(usize),
    /// A lens that bends.
    Lens,
    /// Several, or any of them.
    Unknown,
}

/// How strongly lenses bend at most, in the corner of a picture; more is another kind of lens.
const MOST_BEND: f64 = 0.2;

/// Bends that are tried to either side of none.
const BENDS: i32 = 20;

/// How far the marks are beside a view in terms of what half a pixel explains: the worst of them. None where
/// no mark is to spare, and where they determine no view.
pub(crate) fn misfit(fit: &Fit, marks: &[Mark]) -> Option<f64> {
    // Where hardly anything is to spare at a mark it always fits, and rounding counts.
    let least = 0.05;
    let all = marks.iter().enumerate().map(|(k, mark)| {
        let beside = fit
            .view
            .spot_of(mark.place)
            .map_or(f64::INFINITY, |s| s.distance(mark.seen));
        beside / fit.explained(k).max(least)
    });
    all.reduce(f64::max)
}

/// The same of marks alone; beyond any number where they determine no view.
pub(crate) fn misfit_of(model: Model, marks: &[Mark]) -> f64 {
    let fit = Fit::of(model, marks);
    fit.and_then(|fit| misfit(&fit, marks))
        .unwrap_or(f64::INFINITY)
}

/// A lens that bends, as marks have it.
#[derive(Debug, Clone)]
pub(crate) struct Lens {
    /// How badly the marks fit with it; 1 is the most that pixels explain.
    pub(crate) misfit: f64,
    bend: f64,
    size: [u32; 2],
    fit: Fit,
}

impl Lens {
    /// The lens with which the marks fit best; the picture's size is that of the photograph.
    pub(crate) fn of(model: Model, marks: &[Mark], size: [u32; 2]) -> Option<Lens> {
        let tried = |bend: f64| {
            let straight = straightened(marks, bend, size);
            let fit = Fit::of(model, &straight)?;
            let misfit = misfit(&fit, &straight)?;
            Some(Lens {
                misfit,
                bend,
                size,
                fit,
            })
        };
        let best = |from: f64, step: f64| {
            let all = (-BENDS..=BENDS).filter_map(|k| tried(from + step * f64::from(k)));
            all.min_by(|a, b| a.misfit.total_cmp(&b.misfit))
        };
        let step = MOST_BEND / f64::from(BENDS);
        let coarse = best(0.0, step)?;
        best(coarse.bend, step / f64::from(BENDS))
    }

    /// How far from its place a place comes out by a view that knows nothing of the lens, in millimetres.
    pub(crate) fn moves(&self, view: &View, place: Point) -> Option<f64> {
        let straight = self.fit.view.spot_of(place)?;
        let [cx, cy] = self.size.map(|s| 0.5 * f64::from(s));
        let (x, y) = (straight.x - cx, straight.y - cy);
        // The division model undone step by step.
        let mut by = 1.0;
        for _ in 0..30 {
            by = 1.0 + self.bend * by * by * (x * x + y * y) / (cx * cx + cy * cy);
        }
        let seen = view.place_of(Spot::new(cx + x * by, cy + y * by))?;
        Some(seen.distance(place))
    }
}

/// What explains best that marks do not fit, given how badly they fit with a lens that bends.
pub(crate) fn suspect(model: Model, marks: &[Mark], lens: f64) -> Suspect {
    // Without one of them the others must still have one to spare, or they fit whatever is wrong.
    let is_told = 2 * (marks.len() - 1) > model.unknowns();
    let mut without: Vec<(usize, f64)> = Vec::new();
    if is_told {
        without.extend((0..marks.len()).map(|k| {
            let mut rest = marks.to_vec();
            rest.remove(k);
            (k, misfit_of(model, &rest))
        }));
    }
    let one = without.iter().copied().min_by(|a, b| a.1.total_cmp(&b.1));
    match one {
        Some((mark, left)) if left <= 1.0 && left <= lens => {
            // If the others fit without either of two marks, nobody knows which it is.
            let other = without.iter().any(|&(k, l)| k != mark && l <= 1.0);
            if other {
                Suspect::Unknown
            } else {
                Suspect::Mark(mark)
            }
        }
        _ if lens <= 1.0 => Suspect::Lens,
        _ => Suspect::Unknown,
    }
}

/// The marks as a lens without a bend would show them (the division model: Fitzgibbon 2001).
fn straightened(marks: &[Mark], bend: f64, size: [u32; 2]) -> Vec<Mark> {
    let (cx, cy) = (0.5 * f64::from(size[0]), 0.5 * f64::from(size[1]));
    let straight = |mark: &Mark| {
        let (x, y) = (mark.seen.x - cx, mark.seen.y - cy);
        let by = 1.0 / (1.0 + bend * (x * x + y * y) / (cx * cx + cy * cy));
        Mark {
            seen: Spot::new(cx + x * by, cy + y * by),
            place: mark.place,
        }
    };
    marks.iter().map(straight).collect()
}
