//! From lines to boards: joins what meets, tells holes from outlines, gives marked areas to their
//! boards and lays each board along x.

use heartside_geometry::{
    Arrange, Location, Point, PreparedRegion, Region, Ring, Side, interiors_disjoint,
};
use heartside_timber::diagnostic::Level;
use heartside_timber::document::{Board, BoardOutline, Length, Zone, ZoneShape};
use heartside_timber::ids::TakenIds;

use super::curve::Affine;
use super::drawn::{Chain, Drawing, MEETS, quoted, told};
use super::meaning::Meaning;
use super::proposals::{FileUnit, Named, Proposals, Read, Said};
use super::ring::ring;

/// More loose lines of one name than this are not joined: each is compared with each.
const MOST_LOOSE: usize = 8_000;
/// More closed shapes than this are refused: each is compared with each.
const MOST_SHAPES: usize = 4_000;

/// Boards longer or shorter than this, in millimetres, are mostly drawn in another unit.
const USUAL_LENGTHS: std::ops::RangeInclusive<f64> = 50.0..=20_000.0;

/// More names than this are not listed: nobody goes through them.
const MOST_NAMES: usize = 1_000;

/// Makes boards of a drawing, or asks for its unit.
pub(super) fn boards(mut drawing: Drawing, said: &Said, taken: &mut TakenIds) -> Read {
    let Some(unit) = said.unit.map(FileUnit::millimetres).or(drawing.unit) else {
        if let Some(extent) = extent(&drawing.chains) {
            return Read::AskUnit { extent };
        }
        return Read::Boards(Gathering::of(drawing, said).nothing());
    };
    for chain in &mut drawing.chains {
        chain.map(&Affine::stretch(unit, unit));
    }
    let mut gathering = Gathering::of(drawing, said);
    gathering.sort_out_names();
    gathering.join_loose();
    let shapes = gathering.shapes();
    if shapes.len() > MOST_SHAPES {
        let message = format!("{} closed shapes are too many for one file", shapes.len());
        let hint = "save it in pieces";
        gathering.say(Level::Error, None, "drawing-too-large", &message, hint);
        return Read::Boards(gathering.found);
    }
    gathering.lay(&shapes, taken);
    Read::Boards(if gathering.found.boards.is_empty() {
        gathering.nothing()
    } else {
        gathering.found
    })
}

fn extent(chains: &[Chain]) -> Option<[f64; 2]> {
    let first = chains.first()?.start();
    let (mut least, mut most) = (first, first);
    for chain in chains {
        for curve in &chain.curves {
            for point in curve.hull() {
                least = Point::new(least.x.min(point.x), least.y.min(point.y));
                most = Point::new(most.x.max(point.x), most.y.max(point.y));
            }
        }
    }
    let across = most - least;
    (across.length_squared() > 0.0).then_some([across.x, across.y])
}

struct Gathering<'a> {
    chains: Vec<Chain>,
    said: &'a Said,
    found: Proposals,
}

/// A closed line that is sound.
struct Shape {
    chain: Chain,
    /// Straightened inwards.
    inner: Ring,
}

/// A board while its marked areas are gathered.
struct Laid<'a> {
    region: PreparedRegion,
    zones: Vec<Zone>,
    chain: &'a Chain,
}

impl Gathering<'_> {
    fn of(drawing: Drawing, said: &Said) -> Gathering<'_> {
        let mut gathering = Gathering {
            chains: drawing.chains,
            said,
            found: Proposals {
                diagnostics: drawing.diagnostics,
                ..Proposals::default()
            },
        };
        for (what, count, line) in drawing.unusable {
            let times = if count == 1 {
                String::new()
            } else {
                format!(", {count} times; this is the first")
            };
            let message = format!(
                "{} cannot be used as the edge of anything{times}",
                quoted(&what)
            );
            let hint = "draw it as lines, curves or polygons, if it counts";
            gathering.warn(line, "drawing-unusable", &message, hint);
        }
        gathering
    }

    fn say(&mut self, level: Level, line: Option<usize>, code: &str, message: &str, hint: &str) {
        let diagnostic = told(level, line, code, message, hint);
        self.found.diagnostics.push(diagnostic);
    }

    /// Tells of one thing that is left out.
    fn warn(&mut self, line: usize, code: &str, message: &str, hint: &str) {
        self.say(Level::Warning, Some(line), code, message, hint);
    }

    /// Tells of something that is no sound outline.
    fn unsound(&mut self, what: &str, line: usize, why: &str) {
        let message = format!("{what} cannot be used: {why}");
        self.warn(line, "drawing-unsound", &message, "mend it in the drawing");
    }

    /// The file has no board.
    fn nothing(mut self) -> Proposals {
        let message = "there is no closed outline of a board in the file";
        let hint = "close the outlines, or say which layer or group holds them";
        self.say(Level::Error, None, "drawing-empty", message, hint);
        self.found
    }

    /// Finds out what each chain means, and drops what is to be left out.
    fn sort_out_names(&mut self) {
        let said = &self.said.meanings;
        for chain in &mut self.chains {
            // What a person said of any of its names wins; else the first that is a usual word.
            let mut telling = chain.names.first();
            for name in chain.names.iter().rev() {
                if let Some((meaning, _)) = Meaning::usual(name) {
                    (telling, chain.meaning) = (Some(name), Some(meaning));
                }
            }
            for name in chain.names.iter().rev() {
                if let Some((_, meaning)) = said.iter().find(|(known, _)| known == name) {
                    (telling, chain.meaning) = (Some(name), Some(*meaning));
                }
            }
            let Some(name) = telling else {
                continue;
            };
            let names = &mut self.found.names;
            match names.iter().position(|named| named.name == *name) {
                Some(at) => names[at].shapes += 1,
                None if names.len() >= MOST_NAMES => {}
                None => names.push(Named {
                    name: name.clone(),
                    meaning: chain.meaning,
                    shapes: 1,
                }),
            }
        }
        self.chains
            .retain(|chain| chain.meaning != Some(Meaning::LeftOut));
    }

    /// Joins loose lines of the same names end to end, and tells of those that stay open.
    fn join_loose(&mut self) {
        let (mut closed, mut loose) = (Vec::new(), Vec::new());
        for mut chain in std::mem::take(&mut self.chains) {
            chain.closed |= chain.comes_round();
            if chain.closed {
                closed.push(chain);
            } else {
                loose.push(chain);
            }
        }
        if loose.len() > MOST_LOOSE {
            let message = format!("{} loose lines are too many to be joined", loose.len());
            let hint = "join them to closed lines before saving";
            self.say(Level::Error, None, "drawing-too-loose", &message, hint);
            loose.clear();
        }
        while let Some(mut chain) = loose.pop() {
            // Onwards from its end, then from its start.
            for _ in 0..2 {
                while let Some(next) = nearest(&chain, &loose) {
                    let mut next = loose.swap_remove(next);
                    if next.end().distance(chain.end()) < next.start().distance(chain.end()) {
                        next.reverse();
                    }
                    chain.line = chain.line.min(next.line);
                    chain.curves.extend(next.curves);
                }
                chain.reverse();
            }
            if chain.comes_round() {
                chain.closed = true;
                closed.push(chain);
                continue;
            }
            let gap = chain.start().distance(chain.end());
            let name = match chain.names.first() {
                Some(name) => format!(" of {}", quoted(name)),
                None => String::new(),
            };
            let message = format!("a line{name} does not close: its ends are {gap:.2} mm apart");
            let hint =
                "close it, or draw the missing side; ends less than 0.05 mm apart are joined";
            self.warn(chain.line, "drawing-open", &message, hint);
        }
        closed.arrange_by(|a, b| a.line.cmp(&b.line));
        self.chains = closed;
    }

    /// The closed lines that are sound as outlines.
    fn shapes(&mut self) -> Vec<Shape> {
        let mut shapes = Vec::new();
        for chain in std::mem::take(&mut self.chains) {
            match ring(&chain, Side::Inside) {
                Ok(inner) => shapes.push(Shape { chain, inner }),
                Err(why) => self.unsound("a shape", chain.line, &why),
            }
        }
        shapes
    }

    /// Makes the boards.
    fn lay(&mut self, shapes: &[Shape], taken: &mut TakenIds) {
        let homes = homes(shapes);
        let mut laid: Vec<Laid<'_>> = Vec::new();
        for (at, shape) in shapes.iter().enumerate() {
            let line = shape.chain.line;
            match homes[at] {
                Home::Board => match board_with_holes(shapes, &homes, at) {
                    Ok(region) => laid.push(Laid {
                        region: PreparedRegion::new(region),
                        zones: Vec::new(),
                        chain: &shape.chain,
                    }),
                    Err(why) => self.unsound("a board", line, &why),
                },
                Home::Nowhere => {
                    let message = "a hole lies in no outline";
                    let hint = "draw the board round it, or call it an outline";
                    self.warn(line, "drawing-hole-outside", message, hint);
                }
                Home::HoleIn(_) | Home::Area => {}
            }
        }
        for shape in shapes {
            if let Some(zone) = shape.chain.meaning.and_then(Meaning::zone) {
                self.mark(shape, &zone, &mut laid);
            }
        }
        for Laid {
            region,
            zones,
            chain,
        } in laid
        {
            let board = self.board(region.region(), zones, chain, taken);
            self.found.boards.push(board);
        }
        if !self.found.boards.is_empty() {
            let message = "a drawing does not show how thick its boards are";
            let hint = "type in the thickness of each";
            self.say(Level::Note, None, "drawing-thickness", message, hint);
        }
    }

    /// Gives an area to every board that it lies on.
    fn mark(&mut self, shape: &Shape, zone: &Zone, laid: &mut [Laid<'_>]) {
        let line = shape.chain.line;
        let outer = match ring(&shape.chain, Side::Outside) {
            Ok(outer) => outer,
            Err(why) => return self.unsound("a marked area", line, &why),
        };
        let area = PreparedRegion::new(Region::from_ring(outer.clone()));
        let mut note = String::new();
        for name in shape.chain.names.iter().rev() {
            match Meaning::usual(name) {
                Some((usual, word)) if Some(usual) == shape.chain.meaning => note = word,
                _ => {}
            }
        }
        if shape.chain.meaning == Some(Meaning::Knot) {
            note = "knot".to_owned();
        }
        let mut anywhere = false;
        for board in laid {
            if !interiors_disjoint(&board.region, &area, 1e-6) {
                anywhere = true;
                let mut zone = zone.clone();
                let points = lengths(outer.points());
                zone.shape = Some(ZoneShape::Polygon { points });
                zone.note.clone_from(&note);
                board.zones.push(zone);
            }
        }
        if !anywhere {
            let message = "a marked area lies on no board";
            let hint = "move it onto the board, or draw the board's outline round it";
            self.warn(line, "drawing-area-outside", message, hint);
        }
    }

    /// The board as a row, its long way along x and its least corner at 0, 0.
    fn board(
        &mut self,
        region: &Region,
        mut zones: Vec<Zone>,
        chain: &Chain,
        taken: &mut TakenIds,
    ) -> Board {
        let bounds = region.bounds();
        let upright = bounds.height() > bounds.width();
        let placed = |points: &[[Length; 2]]| -> Vec<[Length; 2]> {
            let at = |length: &Length| length.plain_mm().unwrap_or_default();
            let mut moved = Vec::new();
            for [x, y] in points {
                let (x, y) = (at(x) - bounds.min.x, at(y) - bounds.min.y);
                let (x, y) = match upright {
                    true => (y, bounds.width() - x),
                    false => (x, y),
                };
                moved.push([Length::Mm(x), Length::Mm(y)]);
            }
            moved
        };
        for zone in &mut zones {
            if let Some(ZoneShape::Polygon { points }) = &mut zone.shape {
                *points = placed(points);
            }
        }
        let id = taken.fresh_letter();
        if upright {
            let message =
                format!("board {id} is drawn upright: it is turned to lie along its length");
            let hint = "if its grain runs the short way, say so in its direction of grain";
            let line = Some(chain.line);
            self.say(Level::Note, line, "drawing-turned", &message, hint);
        }
        let long = bounds.width().max(bounds.height());
        if !USUAL_LENGTHS.contains(&long) {
            let wide = bounds.width().min(bounds.height());
            let message = format!("board {id} would measure {long:.0} by {wide:.0} mm");
            let hint = "if it is not so, say what the drawing is measured in";
            self.warn(chain.line, "drawing-size", &message, hint);
        }
        let mut holes = Vec::new();
        for hole in region.holes() {
            holes.push(placed(&lengths(hole.points())));
        }
        let outline = BoardOutline::Polygon {
            points: placed(&lengths(region.outer().points())),
            sides: Vec::new(),
            holes,
            hole_sides: Vec::new(),
        };
        Board {
            id,
            name: name_of(chain),
            outline: Some(outline),
            zones,
            ..Board::default()
        }
    }
}

fn lengths(points: &[Point]) -> Vec<[Length; 2]> {
    let each = points.iter();
    each.map(|p| [Length::Mm(p.x), Length::Mm(p.y)]).collect()
}

/// A name that a person gave the shape; drawing programs number their elements themselves.
fn name_of(chain: &Chain) -> String {
    let own = chain.names.first().map_or("", String::as_str);
    let word = own
        .trim_matches(|c: char| !c.is_alphabetic())
        .to_lowercase();
    let numbered = matches!(
        word.as_str(),
        "" | "path"
            | "rect"
            | "polygon"
            | "polyline"
            | "circle"
            | "ellipse"
            | "line"
            | "g"
            | "layer"
            | "use"
    );
    let plain = numbered
        || Meaning::usual(own).is_some_and(|(_, usual)| {
            usual == word.trim_end_matches('s') || own.eq_ignore_ascii_case(&usual)
        });
    if plain || own.chars().count() > 60 {
        String::new()
    } else {
        own.to_owned()
    }
}

/// What a sound closed line is.
#[derive(Clone, Copy, PartialEq)]
enum Home {
    /// The outline of a board.
    Board,
    /// A hole in the board of this number.
    HoleIn(usize),
    /// A hole in nothing.
    Nowhere,
    /// A marked area.
    Area,
}

/// What each shape is. Where no name tells, what lies in an odd number of others is a hole in the
/// innermost of them.
fn homes(shapes: &[Shape]) -> Vec<Home> {
    let bounds = |shape: &Shape| {
        let meaning = shape.chain.meaning;
        matches!(meaning, None | Some(Meaning::Outline | Meaning::Hole))
    };
    let (mut innermost, mut is_hole) = (Vec::new(), Vec::new());
    for (at, shape) in shapes.iter().enumerate() {
        let mut nearest: Option<(usize, f64)> = None;
        let mut depth = 0;
        for (other, round) in shapes.iter().enumerate() {
            if other == at || !bounds(round) || !encloses(&round.inner, &shape.inner) {
                continue;
            }
            depth += 1;
            let area = round.inner.signed_area();
            if nearest.is_none_or(|(_, least)| area < least) {
                nearest = Some((other, area));
            }
        }
        innermost.push(nearest.map(|(other, _)| other));
        is_hole.push(shape.chain.meaning == Some(Meaning::Hole) || depth % 2 == 1);
    }
    let mut homes = Vec::new();
    for (at, shape) in shapes.iter().enumerate() {
        homes.push(match innermost[at] {
            _ if !bounds(shape) => Home::Area,
            _ if !is_hole[at] => Home::Board,
            Some(round) if !is_hole[round] => Home::HoleIn(round),
            _ => Home::Nowhere,
        });
    }
    homes
}

/// The outline of a board with its holes. A hole that cannot be used is never left out.
fn board_with_holes(shapes: &[Shape], homes: &[Home], at: usize) -> Result<Region, String> {
    let mut holes = Vec::new();
    for (hole, home) in homes.iter().enumerate() {
        if *home == Home::HoleIn(at) {
            holes.push(ring(&shapes[hole].chain, Side::Outside)?);
        }
    }
    Region::new(shapes[at].inner.clone(), holes).map_err(|faults| faults.to_string())
}

/// The loose chain of the same layer and meaning with an end next to this one's end, within reach.
fn nearest(chain: &Chain, loose: &[Chain]) -> Option<usize> {
    // A line that has come round is not led on.
    if chain.comes_round() {
        return None;
    }
    let end = chain.end();
    let mut best: Option<(usize, f64)> = None;
    for (k, other) in loose.iter().enumerate() {
        let gap = other.start().distance(end).min(other.end().distance(end));
        let nearer = gap <= MEETS && best.is_none_or(|(_, least)| gap < least);
        if nearer && other.meaning == chain.meaning && other.within == chain.within {
            best = Some((k, gap));
        }
    }
    best.map(|(k, _)| k)
}

/// Whether `inner` lies within `outer`, by its first corner that is not on the very edge.
fn encloses(outer: &Ring, inner: &Ring) -> bool {
    outer.bounds().contains_bounds(&inner.bounds())
        && inner
            .points()
            .iter()
            .map(|p| outer.locate(*p))
            .find(|place| *place != Location::Boundary)
            .is_some_and(|place| place == Location::Inside)
}
