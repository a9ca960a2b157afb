//! Where neighbouring sheets meet: a seam to cut along, diamonds that close on each other, both names.

use heartside_geometry::{Bounds, Point};

use crate::pen::Words;
use crate::printed::{LEAST_PRINTED, Printed};
use crate::svg::number;
use crate::templates::clear_place::Ground;
use crate::templates::tiling::{Tiling, tile_name};
use crate::text::LINE;

/// Half a diamond, in millimetres: within half of the least overlap.
const DIAMOND: f64 = 2.6;
/// Where along a seam the diamonds stand.
const DIAMONDS: [f64; 2] = [0.25, 0.75];
/// Where along a seam its name may stand, best first.
const NAMES: [f64; 9] = [0.5, 0.4, 0.6, 0.32, 0.68, 0.15, 0.85, 0.06, 0.94];

/// How much further from the seam than close by, best first.
const AWAY: [f64; 3] = [0.0, 3.0, 7.0];

/// A neighbour that is printed, and on which side it lies.
struct Seam {
    at: f64,
    /// Along y, at a place in x.
    is_upright: bool,
    /// The neighbour lies to the right, or below.
    is_after: bool,
    with: (usize, usize),
}

/// Draws the seams to all neighbours that are printed and takes the room of what is drawn.
pub(crate) fn joins(
    page: &mut Printed,
    ground: &mut Ground,
    tiling: &Tiling,
    tile: (usize, usize),
    is_printed: impl Fn((usize, usize)) -> bool,
) {
    let cell = tiling.cell(tile);
    let own = Bounds::new(
        tiling.on_sheet(tile, cell.min),
        tiling.on_sheet(tile, cell.max),
    );
    let (row, column) = tile;
    let seam = |at, is_upright, is_after, with| Seam {
        at,
        is_upright,
        is_after,
        with,
    };
    let before = |count: usize| count.checked_sub(1);
    let seams = [
        before(column).map(|c| seam(own.min.x, true, false, (row, c))),
        Some(seam(own.max.x, true, true, (row, column + 1))),
        before(row).map(|r| seam(own.min.y, false, false, (r, column))),
        Some(seam(own.max.y, false, true, (row + 1, column))),
    ];
    for seam in seams.into_iter().flatten() {
        if seam.with.0 < tiling.rows && seam.with.1 < tiling.columns && is_printed(seam.with) {
            draw(page, ground, (&own, &tiling.window), &seam, tile);
        }
    }
}

fn draw(
    page: &mut Printed,
    ground: &mut Ground,
    (own, own_window): (&Bounds, &Bounds),
    seam: &Seam,
    tile: (usize, usize),
) {
    let (from, to) = match seam.is_upright {
        true => (own.min.y, own.max.y),
        false => (own.min.x, own.max.x),
    };
    let place = |along: f64, off: f64| match seam.is_upright {
        true => Point {
            x: seam.at + off,
            y: along,
        },
        false => Point {
            x: along,
            y: seam.at + off,
        },
    };
    let pair = |p: Point| format!("{},{}", number(p.x), number(p.y));
    let line = format!("M{}L{}", pair(place(from, 0.0)), pair(place(to, 0.0)));
    page.pen.path("hs-ink", &line, 0.1, &[4.0, 1.0, 0.6, 1.0]);
    ground
        .taken
        .push(Bounds::new(place(from, -0.3), place(to, 0.3)));
    for share in DIAMONDS {
        let at = from + share * (to - from);
        let corners = [
            place(at - DIAMOND, 0.0),
            place(at, -DIAMOND),
            place(at + DIAMOND, 0.0),
            place(at, DIAMOND),
        ];
        let d: Vec<String> = corners.iter().map(|p| pair(*p)).collect();
        page.pen
            .path("hs-ink", &format!("M{}Z", d.join("L")), 0.2, &[]);
        ground.taken.push(Bounds::new(
            place(at - DIAMOND, -DIAMOND),
            place(at + DIAMOND, DIAMOND),
        ));
    }
    let (first, second) = match seam.is_after {
        true => (tile, seam.with),
        false => (seam.with, tile),
    };
    let name = format!("{}/{}", tile_name(first), tile_name(second));
    // On the side that stays when this sheet is the one that is cut.
    let side = if seam.is_after { -1.0 } else { 1.0 };
    let close = 0.8 + 0.6 + LINE * LEAST_PRINTED / 2.0;
    let named = |middle| {
        let mut words = Words::new(name.clone(), "hs-name", middle, LEAST_PRINTED);
        words.turned = seam.is_upright;
        words
    };
    let beside = AWAY.iter().flat_map(|away| {
        NAMES.map(|share| place(from + share * (to - from), side * (close + away)))
    });
    let clear = |middle: &Point| ground.is_clear(&named(*middle).bounds());
    // Where lines leave no room there the nearest place will do: both sheets are named in it.
    let nearest = || {
        let own = named(Point::ORIGIN).bounds();
        let middle = place((from + to) / 2.0, side * close);
        ground.clear_place((own.width(), own.height()), own_window, middle, |_| true)
    };
    let found = beside.into_iter().find(clear).or_else(nearest);
    if let Some(middle) = found {
        let words = named(middle);
        ground.taken.push(words.bounds());
        page.words(&words);
    }
}
