//! Names, sizes, grain arrows and face marks of the parts that a sheet shows.

use heartside_geometry::{Bounds, Location, Point};

use crate::blanks::{face_mark, grain_arrow};
use crate::fitting::{Wording, around, pole};
use crate::printed::{LEAST_PRINTED, Printed, clipped, in_one_line};
use crate::templates::clear_place::Ground;
use crate::templates::subject::Inscribed;
use crate::templates::tiling::Tiling;
use crate::text::shorten;

/// Type of a name, best first.
const TYPE: [f64; 4] = [5.0, 3.8, 2.8, LEAST_PRINTED];
/// How large arrows and marks are drawn, best first.
const SIGN: [f64; 4] = [1.8, 1.3, 0.9, 0.6];
/// Longest name that is not written out.
const LONGEST: f64 = 90.0;

/// Inscribes one part, as far as a sheet shows it.
pub(crate) fn inscribe(
    page: &mut Printed,
    ground: &mut Ground,
    tiling: &Tiling,
    tile: (usize, usize),
    part: &Inscribed,
) {
    let sees = tiling.sees(tile);
    let Some(shown) = part.region.bounds().intersection(sees) else {
        return;
    };
    let shown = Bounds::new(
        tiling.on_sheet(tile, shown.min),
        tiling.on_sheet(tile, shown.max),
    );
    let shift = tiling.on_sheet(tile, Point::ORIGIN);
    let inside = |p: Point| {
        let own = Point {
            x: p.x - shift.x,
            y: p.y - shift.y,
        };
        part.region.locate(own) == Location::Inside
    };
    let is_here = {
        let pole = pole(&part.region);
        tiling
            .cell(tile)
            .contains(pole)
            .then(|| tiling.on_sheet(tile, pole))
    };
    let (name, size) = (in_one_line(&part.name), in_one_line(&part.size));
    let near = ground.near(&shown);
    if let Some((wording, middle, turned)) = fitted(&near, &shown, &name, &size, inside) {
        write(page, ground, &wording, middle, turned);
    } else if let Some(pole) = is_here {
        beside(page, ground, tiling, pole, &name, &size);
    }
    signs(page, ground, tiling, part, &shown, inside, is_here);
}

/// Name and size in the largest type that finds room inside; a name that finds none is shortened.
fn fitted(
    near: &Ground,
    shown: &Bounds,
    name: &str,
    size: &str,
    inside: impl Fn(Point) -> bool,
) -> Option<(Wording, Point, bool)> {
    let mut ways: Vec<Wording> = Vec::new();
    for large in TYPE {
        let small = (large * 0.8).max(LEAST_PRINTED);
        ways.push(worded(name, large, Some((size, small))));
    }
    // Read or not, a size says less than a name.
    ways.push(worded(name, LEAST_PRINTED, None));
    let longest = shown.width().max(shown.height()).min(LONGEST);
    for share in [0.8, 0.4] {
        let short = shorten(name, LEAST_PRINTED, share * longest);
        // Three letters and an ellipsis name nothing.
        if short != name && short.chars().count() > 8 {
            ways.push(worded(&short, LEAST_PRINTED, None));
        }
    }
    for way in ways {
        for turned in [false, true] {
            let own = extent(&way, turned);
            if let Some(middle) = near.clear_place(own, shown, shown.centre(), &inside) {
                return Some((way, middle, turned));
            }
        }
    }
    None
}

fn worded(name: &str, large: f64, size: Option<(&str, f64)>) -> Wording {
    let mut lines = vec![(vec![(name.to_owned(), "hs-name")], large)];
    lines.extend(size.map(|(words, small)| (vec![(words.to_owned(), "hs-name")], small)));
    Wording { lines }
}

fn extent(wording: &Wording, turned: bool) -> (f64, f64) {
    let boxes = wording.at(Point::ORIGIN, turned);
    let all = boxes.iter().map(|words| words.bounds());
    let all = all.reduce(|a, b| a.union(b)).unwrap_or(Bounds::EMPTY);
    (all.width(), all.height())
}

fn write(page: &mut Printed, ground: &mut Ground, way: &Wording, middle: Point, turned: bool) {
    for words in way.at(middle, turned) {
        ground.taken.push(words.bounds());
        page.words(&words);
    }
}

/// The name where there is room outside, with a line to the part.
fn beside(
    page: &mut Printed,
    ground: &mut Ground,
    tiling: &Tiling,
    pole: Point,
    name: &str,
    size: &str,
) {
    let name = shorten(name, LEAST_PRINTED, LONGEST);
    let way = worded(&name, LEAST_PRINTED, Some((size, LEAST_PRINTED)));
    let own = extent(&way, false);
    let Some(middle) = ground.clear_place(own, &tiling.window, pole, |_| true) else {
        return;
    };
    let words = around(middle, own.0, own.1);
    // From the side of the words that is turned to the part.
    if let Some((start, _)) = clipped(pole, middle, &words) {
        page.pen.line("hs-ink", start, pole, 0.1);
        page.pen.circle("hs-dot", pole, 0.35, 0.0);
    }
    write(page, ground, &way, middle, false);
}

/// Grain arrow and face mark, each inside where it finds room, the arrow else beside the part.
fn signs(
    page: &mut Printed,
    ground: &mut Ground,
    tiling: &Tiling,
    part: &Inscribed,
    shown: &Bounds,
    inside: impl Fn(Point) -> bool,
    is_here: Option<Point>,
) {
    if let Some(axis) = part.grain {
        let size = |unit: f64| {
            (
                (axis.x.abs() * 6.8 + axis.y.abs() * 2.0) * unit,
                (axis.y.abs() * 6.8 + axis.x.abs() * 2.0) * unit,
            )
        };
        let placed = placed(ground, shown, size, &inside).or_else(|| {
            let unit = SIGN[1];
            let near = is_here?;
            let middle = ground.clear_place(size(unit), &tiling.window, near, |_| true)?;
            Some((middle, unit))
        });
        if let Some((middle, unit)) = placed {
            let (w, h) = size(unit);
            let own = around(middle, w, h);
            ground.taken.push(own);
            page.sign(own, unit, |pen| grain_arrow(pen, "hs-ink", middle, axis));
        }
    }
    if part.seen.0 || part.seen.1 {
        let size = |unit: f64| (3.4 * unit, 3.4 * unit);
        if let Some((middle, unit)) = placed(ground, shown, size, &inside) {
            let (w, h) = size(unit);
            let own = around(middle, w, h);
            ground.taken.push(own);
            page.sign(own, unit, |pen| face_mark(pen, middle, part.seen));
        }
    }
}

fn placed(
    ground: &Ground,
    shown: &Bounds,
    size: impl Fn(f64) -> (f64, f64),
    inside: impl Fn(Point) -> bool,
) -> Option<(Point, f64)> {
    let near = ground.near(shown);
    SIGN.into_iter().find_map(|unit| {
        let middle = near.clear_place(size(unit), shown, shown.centre(), &inside)?;
        Some((middle, unit))
    })
}
