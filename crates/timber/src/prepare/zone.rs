//! Marked areas on boards.

use heartside_geometry::Arrange;
use heartside_geometry::flatten::{Ellipse, FLATTEN_TOLERANCE, Side, flatten_ellipse};
use heartside_geometry::{Bounds, Point, Region, Ring};

use super::outline::{corners, height_at, ring};
use super::reading::{Reading, Thing, Wanted};
use crate::defaults;
use crate::document::{self, BoardEnd, Hand, Length, ZoneFrom, ZoneKind, ZoneShape};
use crate::job::{Zone, ZoneFace};

/// Reads the zones of a board whose outline is sound.
///
/// A faulty zone makes the whole board unusable, since nobody may cut through a knot that
/// could not be read; only a faulty figure, which never forbids anything, is left out.
pub(super) fn zones(
    board: &document::Board,
    outline: &Region,
    thing: &Thing,
    reading: &mut Reading<'_>,
) -> Vec<Zone> {
    let mut zones = Vec::with_capacity(board.zones.len());
    for (index, source) in board.zones.iter().enumerate() {
        let path = |field: &str| format!("zones[{index}].{field}");
        let label = label_of(source, index);
        let shape = match &source.shape {
            Some(shape) => region(shape, outline, &label, &path("shape"), thing, reading),
            None => {
                reading.error(
                    "zone-without-shape",
                    thing.field(&path("shape")),
                    format!("{label} has no place on the board"),
                    "measure where it is, or remove it",
                );
                None
            }
        };
        let extra =
            |field: &str, what: &str, length: &Option<Length>, usual: f64, r: &mut Reading<'_>| {
                let what = format!("{what} of {label}");
                r.usual(
                    thing.field(&path(field)),
                    &what,
                    length.as_ref(),
                    Wanted::EXTRA,
                    usual,
                )
            };
        let depth = extra("depth", "depth", &source.depth, f64::INFINITY, reading);
        let keep_off = match source.kind {
            ZoneKind::Fixing => defaults::FIXING_KEEP_OFF,
            ZoneKind::Defect | ZoneKind::Sapwood | ZoneKind::Figure => 0.0,
        };
        let margin = extra("margin", "margin", &source.margin, keep_off, reading);
        let uncertain = extra("uncertain", "uncertainty", &source.uncertain, 0.0, reading);
        let begins = extra(
            "depth_from",
            "depth at which it begins",
            &source.depth_from,
            0.0,
            reading,
        );
        let ends = extra(
            "depth_to",
            "depth at which it ends",
            &source.depth_to,
            f64::INFINITY,
            reading,
        );
        let weight = match source.weight {
            None => 1.0,
            Some(weight) => {
                let place = thing.field(&path("weight"));
                reading
                    .number(place, "weight of the figure", weight, (-1.0, 1.0))
                    .unwrap_or(1.0)
            }
        };
        let (Some(shape), Some(depth), Some(margin), Some(uncertain)) =
            (shape, depth, margin, uncertain)
        else {
            continue;
        };
        let (Some(begins), Some(ends)) = (begins, ends) else {
            continue;
        };
        if ends < begins {
            reading.error(
                "fixing-depth",
                thing.field(&path("depth_to")),
                format!("{label} ends nearer to the face than it begins"),
                "give both depths from the face it was put in from",
            );
            continue;
        }
        let margin = margin + uncertain;
        if !shape.bounds().grown(margin).intersects(&outline.bounds()) {
            reading.warn(
                "zone-off-board",
                thing.field(&path("shape")),
                format!("{label} lies beside the board"),
                "check where it was measured from",
            );
        }
        let depth = if source.face == ZoneFace::Through {
            f64::INFINITY
        } else {
            depth
        };
        zones.push(Zone {
            index,
            kind: source.kind,
            shape,
            face: source.face,
            depth,
            sound: source.sound,
            margin,
            clear_of: source.clear_of,
            stops: source.stops,
            material: source.material,
            buried: (source.depth_from.is_some() || source.depth_to.is_some())
                .then_some((begins, ends)),
            drawn_before_planing: source.drawn_before_planing,
            weight,
            note: source.note.clone(),
        });
    }
    zones
}

fn label_of(zone: &document::Zone, index: usize) -> String {
    let number = index + 1;
    let note = zone.note.trim();
    if note.is_empty() {
        let kind = match zone.kind {
            ZoneKind::Defect => "defect",
            ZoneKind::Sapwood => "sapwood",
            ZoneKind::Fixing => "fixing",
            ZoneKind::Figure => "figure",
        };
        format!("marked area {number} ({kind})")
    } else {
        format!(
            "marked area {number} (\u{201c}{}\u{201d})",
            crate::words::shortened(note)
        )
    }
}

fn region(
    shape: &ZoneShape,
    outline: &Region,
    label: &str,
    field: &str,
    thing: &Thing,
    reading: &mut Reading<'_>,
) -> Option<Region> {
    match shape {
        ZoneShape::Spot {
            oval,
            along,
            across,
            from,
            length,
            width,
        } => {
            let mut read = |name: &str, what: &str, source: &Length, wanted| {
                let place = thing.field(&format!("{field}.{name}"));
                reading.length(place, &format!("{what} of {label}"), source, wanted)
            };
            let along = read("along", "distance from the start end", along, Wanted::PLACE);
            let across = read("across", "distance across", across, Wanted::PLACE);
            let length = read("length", "length", length, Wanted::SIZE);
            let width = read("width", "width", width, Wanted::SIZE);
            let (along, across, length, width) = (along?, across?, length?, width?);
            // The tape is hooked on the board itself, wherever its corners begin to count.
            let x = outline.bounds().min.x + along;
            let centre = Point {
                x,
                y: height_of(outline, x, across, *from),
            };
            laid(*oval, centre, (length, width), label, field, thing, reading)
        }
        ZoneShape::Span {
            oval,
            end,
            begins,
            ends,
            edge,
            near,
            far,
        } => {
            let mut read = |name: &str, what: &str, source: &Length| {
                let place = thing.field(&format!("{field}.{name}"));
                reading.length(place, &format!("{what} of {label}"), source, Wanted::PLACE)
            };
            let begins = read("begins", "beginning", begins);
            let ends = read("ends", "end", ends);
            let near = read("near", "near edge", near);
            let far = read("far", "far edge", far);
            let (begins, ends, near, far) = (begins?, ends?, near?, far?);
            for (name, what, one, other) in [
                ("ends", "along the board", begins, ends),
                ("far", "across the board", near, far),
            ] {
                if one == other {
                    reading.error(
                        "zone-without-extent",
                        thing.field(&format!("{field}.{name}")),
                        format!("{label} begins and ends at the same place {what}"),
                        "measure both its sides",
                    );
                    return None;
                }
            }
            let bounds = outline.bounds();
            let along = (begins + ends) / 2.0;
            let x = match end {
                BoardEnd::Start => bounds.min.x + along,
                BoardEnd::Far => bounds.max.x - along,
            };
            let centre = Point {
                x,
                y: height_of(outline, x, (near + far) / 2.0, *edge),
            };
            let size = ((ends - begins).abs(), (far - near).abs());
            laid(*oval, centre, size, label, field, thing, reading)
        }
        ZoneShape::Strip { side, width } => {
            let place = thing.field(&format!("{field}.width"));
            let width = reading.length(place, &format!("width of {label}"), width, Wanted::SIZE)?;
            let strip = Ring::new(strip_points(outline.outer(), *side, width)).ok();
            if strip.is_none() {
                reading.error(
                    "strip-cannot-follow",
                    thing.field(field),
                    format!("{label} cannot follow an edge with steps"),
                    "draw it corner by corner",
                );
            }
            strip.map(Region::from_ring)
        }
        ZoneShape::Polygon { points } => {
            let points = corners(points, &format!("{field}.points"), thing, reading)?;
            ring(points, thing.field(field), label, reading).map(Region::from_ring)
        }
    }
}

/// An oval or rectangle round a middle.
fn laid(
    oval: bool,
    centre: Point,
    (length, width): (f64, f64),
    label: &str,
    field: &str,
    thing: &Thing,
    reading: &mut Reading<'_>,
) -> Option<Region> {
    let found = if oval {
        let (radius_x, radius_y) = (length / 2.0, width / 2.0);
        let ellipse = Ellipse {
            centre,
            radius_x,
            radius_y,
            turn: 0.0,
        };
        flatten_ellipse(&ellipse, FLATTEN_TOLERANCE, Side::Outside)
            .ok()
            .map(Region::from_ring)
    } else {
        let half = Point {
            x: length / 2.0,
            y: width / 2.0,
        };
        Region::rectangle(Bounds::new(
            Point {
                x: centre.x - half.x,
                y: centre.y - half.y,
            },
            Point {
                x: centre.x + half.x,
                y: centre.y + half.y,
            },
        ))
    };
    if found.is_none() {
        let message = format!("{label} is too small or too large to be drawn");
        reading.error(
            "zone-not-drawable",
            thing.field(field),
            message,
            "check its size",
        );
    }
    found
}

/// The height of a spot's middle. Beyond the ends of the board the nearest end counts.
fn height_of(outline: &Region, x: f64, across: f64, from: ZoneFrom) -> f64 {
    let bounds = outline.bounds();
    let x = x.clamp(bounds.min.x, bounds.max.x);
    let span = outline.outer().span_at(x);
    let (low, high) = span.unwrap_or((bounds.min.y, bounds.max.y));
    match from {
        ZoneFrom::RightEdge => low + across,
        ZoneFrom::LeftEdge => high - across,
        ZoneFrom::ChalkLine => across,
    }
}

/// Follows the left (upper) or right (lower) edge from end to end, and back at `width`
/// from it, measured across. It may reach over the other edge of a narrow board, which
/// does no harm.
fn strip_points(ring: &Ring, side: Hand, width: f64) -> Vec<Point> {
    let mut places: Vec<f64> = ring.points().iter().map(|p| p.x).collect();
    places.arrange_by(f64::total_cmp);
    places.dedup();
    let mut edge: Vec<Point> = Vec::with_capacity(2 * places.len());
    for pair in places.windows(2) {
        let middle = (pair[0] + pair[1]) / 2.0;
        // Between two corners no sides cross, so the outermost stays the outermost.
        let outermost = ring
            .edges()
            .map(|(a, b)| if a.x <= b.x { (a, b) } else { (b, a) })
            .filter(|(a, b)| a.x <= pair[0] && b.x >= pair[1])
            .max_by(|p, q| {
                let (p, q) = (height_at(p.0, p.1, middle), height_at(q.0, q.1, middle));
                match side {
                    Hand::Left => p.total_cmp(&q),
                    Hand::Right => q.total_cmp(&p),
                }
            });
        if let Some((a, b)) = outermost {
            edge.extend(pair.iter().map(|&x| Point {
                x,
                y: height_at(a, b, x),
            }));
        }
    }
    let inwards = match side {
        Hand::Left => -width,
        Hand::Right => width,
    };
    let back: Vec<Point> = edge
        .iter()
        .rev()
        .map(|p| Point {
            x: p.x,
            y: p.y + inwards,
        })
        .collect();
    edge.extend(back);
    edge
}
