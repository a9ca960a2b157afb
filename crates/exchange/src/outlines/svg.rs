//! Reads the shapes of an SVG file.

use heartside_geometry::math::tan;
use heartside_geometry::math::to_radians;
use heartside_geometry::{Point, SortedMap, Vector};
use heartside_timber::diagnostic::Level;

use super::curve::{Affine, Curve, oval};
use super::drawn::{Chain, Drawing, MOST_DEPTH, Refused, broken, quoted, told, too_many};
use super::elements::{Elements, Node};
use super::scan::Scan;
use super::svg_path::{Stretch, stretches};

/// More elements than this are refused, however often they are copied (`use`).
const MOST_VISITS: usize = 2_000_000;
/// Millimetres in a pixel: 96 to the inch.
const PIXEL: f64 = 25.4 / 96.0;

/// Reads a drawing.
pub(super) fn read(text: &str) -> Result<Drawing, Refused> {
    let elements = Elements::of(text)?;
    let root = elements.get(0);
    let (prefix, name) = root.name();
    if name != "svg" {
        let message = format!("this is no SVG drawing: it begins with {}", quoted(name));
        return Err(broken(root.line(), &message));
    }
    let mut reader = Reader {
        elements: &elements,
        prefix,
        copied: elements.copied().ok_or_else(|| too_many(1))?,
        drawing: Drawing::default(),
        visits: 0,
    };
    let place = reader.page(root);
    reader.children(root, &place, &[], MOST_DEPTH)?;
    Ok(reader.drawing)
}

struct Reader<'a> {
    elements: &'a Elements<'a>,
    /// What stands before the names of a drawing's own elements; mostly nothing.
    prefix: &'a str,
    /// The places of elements that others copy, by their ids.
    copied: SortedMap<String, usize>,
    drawing: Drawing,
    visits: usize,
}

impl<'a> Reader<'a> {
    /// Reads the unit off the page's width and height. Where its own numbers come to lie, y up.
    fn page(&mut self, root: Node<'a>) -> Affine {
        let side = |name| {
            let mm = millimetres(&root.attribute(name)?)?;
            (mm > 0.0).then_some(mm)
        };
        let (width, height) = (side("width"), side("height"));
        let up = Affine::stretch(1.0, -1.0);
        let view = root.attribute("viewBox");
        let mut sizes = [0.0; 4];
        let read = view
            .as_ref()
            .and_then(|view| Scan::of(view).fill(&mut sizes));
        let [left, top, across, down] = sizes;
        if read.is_none() || !(across > 0.0 && down > 0.0) {
            if view.is_some() {
                let message = "the viewBox cannot be read";
                let hint = "it is passed over";
                self.drawing.say(root.line(), "drawing-page", message, hint);
            }
            // Without a view box the page's own numbers are pixels, if it has a size at all.
            self.drawing.unit = width.or(height).map(|_| PIXEL);
            return up;
        }
        let keep = root.attribute("preserveAspectRatio").unwrap_or_default();
        let (unit, stretch) = match [width.map(|w| w / across), height.map(|h| h / down)] {
            [Some(x), Some(y)] if keep.trim().starts_with("none") => (Some(x), y / x),
            [Some(x), Some(y)] if keep.contains("slice") => (Some(x.max(y)), 1.0),
            [Some(x), Some(y)] => (Some(x.min(y)), 1.0),
            [x, y] => (x.or(y), 1.0),
        };
        self.drawing.unit = unit;
        Affine::stretch(1.0, -stretch).after(&Affine::shift(-left, -top))
    }

    fn children(
        &mut self,
        node: Node<'a>,
        place: &Affine,
        names: &[String],
        depth: usize,
    ) -> Result<(), Refused> {
        for child in node.children() {
            self.element(child, place, names, depth)?;
        }
        Ok(())
    }

    fn element(
        &mut self,
        node: Node<'a>,
        place: &Affine,
        outer: &[String],
        depth: usize,
    ) -> Result<(), Refused> {
        let line = node.line();
        self.visits += 1;
        if self.visits > MOST_VISITS {
            return Err(too_many(line));
        }
        let (prefix, tag) = node.name();
        // Notes that a drawing program keeps for itself.
        if prefix != self.prefix {
            return Ok(());
        }
        match tag {
            "defs" | "symbol" | "title" | "desc" | "metadata" | "style" | "linearGradient"
            | "radialGradient" | "pattern" | "marker" | "clipPath" | "mask" | "filter" => {
                return Ok(());
            }
            _ if is_hidden(node) => {
                self.drawing.cannot_use("hidden element", line);
                return Ok(());
            }
            _ => {}
        }
        let Some(own) = transform(&node.attribute("transform").unwrap_or_default()) else {
            let message = "a transform cannot be read";
            let hint = "what it moves is left out: mend it in the drawing";
            self.drawing.say(line, "drawing-transform", message, hint);
            return Ok(());
        };
        let place = place.after(&own);
        let mut names = own_names(node);
        names.extend_from_slice(outer);
        let stretches = match tag {
            "g" | "a" | "switch" | "use" if depth == 0 => {
                let message = "groups lie too deep in each other";
                let (code, hint) = ("drawing-depth", "draw with fewer groups");
                return Err(told(Level::Error, Some(line), code, message, hint).into());
            }
            "g" | "a" | "switch" => return self.children(node, &place, &names, depth - 1),
            "use" => return self.copy(node, &place, &names, depth - 1),
            other => match shape(node, other) {
                Shape::Sides(stretches) => stretches,
                Shape::Unknown => {
                    self.drawing.cannot_use(other, line);
                    return Ok(());
                }
                Shape::Unreadable(what) => {
                    let message = format!("the {what} of a {other} cannot be read");
                    let hint = "it is left out: mend it in the drawing";
                    self.drawing.say(line, "drawing-shape", &message, hint);
                    return Ok(());
                }
            },
        };
        for stretch in stretches {
            let mut chain = Chain {
                curves: stretch.curves,
                closed: stretch.closed,
                names: names.clone(),
                meaning: None,
                within: node.parent().to_string(),
                line,
            };
            chain.map(&place);
            if !self.drawing.take(chain) {
                return Err(too_many(line));
            }
        }
        Ok(())
    }

    /// What a `use` element copies.
    fn copy(
        &mut self,
        node: Node<'a>,
        place: &Affine,
        names: &[String],
        depth: usize,
    ) -> Result<(), Refused> {
        let target = node.link().and_then(|id| self.copied.get(&id));
        let target = target.filter(|at| **at != usize::MAX);
        let (Some(&target), Some(x), Some(y)) = (target, size(node, "x"), size(node, "y")) else {
            let message = "a copy (use) of something that is not in the file";
            let hint = "it is left out: draw the thing itself";
            self.drawing.say(node.line(), "drawing-copy", message, hint);
            return Ok(());
        };
        let target = self.elements.get(target);
        let place = place.after(&Affine::shift(x, y));
        if target.name() == (self.prefix, "symbol") {
            return self.children(target, &place, names, depth);
        }
        self.element(target, &place, names, depth)
    }
}

/// What an element draws.
enum Shape {
    Sides(Vec<Stretch>),
    /// Nothing that could bound a board.
    Unknown,
    /// One of its attributes makes no sense.
    Unreadable(&'static str),
}

fn shape(node: Node<'_>, tag: &str) -> Shape {
    let (found, else_unreadable) = match tag {
        "path" => {
            let data = node.attribute("d").unwrap_or_default();
            (stretches(&data), "line (d)")
        }
        "polygon" | "polyline" => (corners(node, tag == "polygon"), "list of points"),
        "line" => (straight(node), "end"),
        "circle" => (round(node, ["r", "r"]), "size"),
        "ellipse" => (round(node, ["rx", "ry"]), "size"),
        "rect" => (rectangle(node), "size"),
        _ => return Shape::Unknown,
    };
    found.map_or(Shape::Unreadable(else_unreadable), Shape::Sides)
}

/// One closed or open line as what an element draws.
fn one(curves: Vec<Curve>, closed: bool) -> Option<Vec<Stretch>> {
    Some(vec![Stretch { curves, closed }])
}

/// Straight lines from corner to corner.
fn through(corners: &[Point], closed: bool) -> Option<Vec<Stretch>> {
    let mut curves = Vec::new();
    for pair in corners.windows(2) {
        curves.push(Curve::line(pair[0], pair[1]));
    }
    if let ([first, .., last], true) = (corners, closed)
        && first != last
    {
        curves.push(Curve::line(*last, *first));
    }
    one(curves, closed)
}

fn corners(node: Node<'_>, closed: bool) -> Option<Vec<Stretch>> {
    let list = node.attribute("points").unwrap_or_default();
    let mut scan = Scan::of(&list);
    let mut corners = Vec::new();
    while !scan.is_done() {
        corners.push(Point::new(scan.number()?, scan.number()?));
    }
    through(&corners, closed)
}

fn straight(node: Node<'_>) -> Option<Vec<Stretch>> {
    let from = Point::new(size(node, "x1")?, size(node, "y1")?);
    let to = Point::new(size(node, "x2")?, size(node, "y2")?);
    through(&[from, to], false)
}

fn round(node: Node<'_>, [rx, ry]: [&str; 2]) -> Option<Vec<Stretch>> {
    let (rx, ry) = (positive(node, rx)?, positive(node, ry)?);
    let centre = Point::new(size(node, "cx")?, size(node, "cy")?);
    let (across, up) = (Vector::new(rx, 0.0), Vector::new(0.0, ry));
    one(oval(centre, across, up, 0.0, 360.0), true)
}

/// A rectangle, its corners rounded where it says so.
fn rectangle(node: Node<'_>) -> Option<Vec<Stretch>> {
    let (x, y) = (size(node, "x")?, size(node, "y")?);
    let (width, height) = (positive(node, "width")?, positive(node, "height")?);
    let radius = |name| match node.attribute(name).as_deref() {
        None | Some("auto") => Some(None),
        Some(_) => size(node, name).filter(|r| *r >= 0.0).map(Some),
    };
    let (rx, ry) = (radius("rx")?, radius("ry")?);
    let rx = rx.or(ry).unwrap_or(0.0).min(0.5 * width);
    let ry = ry.or(Some(rx)).unwrap_or(0.0).min(0.5 * height);
    let (right, bottom) = (x + width, y + height);
    if rx == 0.0 || ry == 0.0 {
        let at = Point::new;
        let corners = [at(x, y), at(right, y), at(right, bottom), at(x, bottom)];
        return through(&corners, true);
    }
    // A quarter of an oval at each corner; the straight sides are what lies between their ends.
    let corners = [
        (right - rx, y + ry, -90.0),
        (right - rx, bottom - ry, 0.0),
        (x + rx, bottom - ry, 90.0),
        (x + rx, y + ry, 180.0),
    ];
    let (across, down) = (Vector::new(rx, 0.0), Vector::new(0.0, ry));
    let mut curves = Vec::new();
    for (x, y, start) in corners {
        curves.extend(oval(Point::new(x, y), across, down, start, 90.0));
    }
    one(curves, true)
}

/// What an element is called: the label that a person gave it, its id and its classes.
fn own_names(node: Node<'_>) -> Vec<String> {
    let mut names = Vec::new();
    for name in [node.any_prefix("label"), node.attribute("id")] {
        let name = name.unwrap_or_default();
        if !name.trim().is_empty() {
            names.push(name.into_owned());
        }
    }
    for class in node
        .attribute("class")
        .unwrap_or_default()
        .split_whitespace()
    {
        names.push(class.to_owned());
    }
    names
}

fn is_hidden(node: Node<'_>) -> bool {
    let mut style = node.attribute("style").unwrap_or_default().into_owned();
    style.retain(|c| !c.is_whitespace());
    let is = |name: &str, word: &str| node.attribute(name).is_some_and(|value| value == word);
    is("display", "none")
        || is("visibility", "hidden")
        || is("visibility", "collapse")
        || style.contains("display:none")
        || style.contains("visibility:hidden")
}

/// An attribute in the page's own numbers, 0 where it is missing; none where it cannot be read.
fn size(node: Node<'_>, name: &str) -> Option<f64> {
    let Some(text) = node.attribute(name) else {
        return Some(0.0);
    };
    let mut scan = Scan::of(&text);
    let number = scan.number()?;
    match scan.is_done() {
        true => Some(number),
        false => millimetres(&text).map(|mm| mm / PIXEL),
    }
}

fn positive(node: Node<'_>, name: &str) -> Option<f64> {
    size(node, name).filter(|size| *size > 0.0)
}

/// Millimetres of a length with a unit that is the same everywhere; none for others.
fn millimetres(text: &str) -> Option<f64> {
    let mut scan = Scan::of(text);
    let number = scan.number()?;
    let unit = match scan.rest() {
        "mm" => 1.0,
        "cm" => 10.0,
        "in" => 25.4,
        "pt" => 25.4 / 72.0,
        "pc" => 25.4 / 6.0,
        "px" => PIXEL,
        "Q" => 0.25,
        _ => return None,
    };
    Some(number * unit)
}

/// A list of transforms as one; none where it cannot be read.
fn transform(list: &str) -> Option<Affine> {
    let mut all = Affine::SAME;
    let mut scan = Scan::of(list);
    while !scan.is_done() {
        let name = scan.up_to('(')?;
        let mut inner = Scan::of(scan.up_to(')')?);
        let mut n = [0.0; 6];
        let mut count = 0;
        while !inner.is_done() {
            *n.get_mut(count)? = inner.number()?;
            count += 1;
        }
        let skew = tan(to_radians(n[0]));
        let one = match (name, count) {
            ("matrix", 6) => Affine {
                a: n[0],
                b: n[1],
                c: n[2],
                d: n[3],
                e: n[4],
                f: n[5],
            },
            ("translate", 1 | 2) => Affine::shift(n[0], n[1]),
            ("scale", 1) => Affine::stretch(n[0], n[0]),
            ("scale", 2) => Affine::stretch(n[0], n[1]),
            ("rotate", 1 | 3) => Affine::shift(n[1], n[2])
                .after(&Affine::turn(n[0]))
                .after(&Affine::shift(-n[1], -n[2])),
            ("skewX", 1) => Affine {
                c: skew,
                ..Affine::SAME
            },
            ("skewY", 1) => Affine {
                b: skew,
                ..Affine::SAME
            },
            _ => return None,
        };
        all = all.after(&one);
    }
    Some(all)
}
