//! Outlines, and what they are filled and drawn with.

use pdf_writer::Content;
use pdf_writer::types::{LineCapStyle, LineJoinStyle};
use usvg::tiny_skia_path::PathSegment;
use usvg::{Fill, LineCap, LineJoin, Paint, Stroke};

/// A colour with how much it covers of what lies under it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Brush {
    /// Red, green and blue from 0 to 1.
    pub(super) colour: [f32; 3],
    /// From 0 to 1, all of it.
    pub(super) opacity: f32,
}

impl Brush {
    /// What a shape in a group of some opacity is filled with.
    pub(super) fn of_fill(fill: &Fill, opacity: f32) -> Option<Brush> {
        let colour = colour(fill.paint())?;
        let opacity = opacity * fill.opacity().get();
        Some(Brush { colour, opacity })
    }

    /// What its line is drawn with.
    pub(super) fn of_stroke(stroke: &Stroke, opacity: f32) -> Option<Brush> {
        let colour = colour(stroke.paint())?;
        let opacity = opacity * stroke.opacity().get();
        Some(Brush { colour, opacity })
    }
}

/// A plain colour; none of a gradient or a pattern.
fn colour(paint: &Paint) -> Option<[f32; 3]> {
    let Paint::Color(colour) = paint else {
        return None;
    };
    Some([colour.red, colour.green, colour.blue].map(|part| f32::from(part) / 255.0))
}

/// Sets how a line is drawn; what is as a page begins with is left.
pub(super) fn pencil(content: &mut Content, line: Brush, stroke: &Stroke) {
    let [r, g, b] = line.colour;
    content.set_stroke_rgb(r, g, b);
    content.set_line_width(stroke.width().get());
    match stroke.linecap() {
        LineCap::Butt => {}
        LineCap::Round => _ = content.set_line_cap(LineCapStyle::RoundCap),
        LineCap::Square => _ = content.set_line_cap(LineCapStyle::ProjectingSquareCap),
    }
    match stroke.linejoin() {
        LineJoin::Miter | LineJoin::MiterClip => {
            content.set_miter_limit(stroke.miterlimit().get());
        }
        LineJoin::Round => _ = content.set_line_join(LineJoinStyle::RoundJoin),
        LineJoin::Bevel => _ = content.set_line_join(LineJoinStyle::BevelJoin),
    }
    if let Some(dashes) = stroke.dasharray() {
        content.set_dash_pattern(dashes.iter().copied(), stroke.dashoffset());
    }
}

/// Adds an outline to the one that is filled or drawn next. Curves of second degree are raised to the third.
pub(super) fn outline(content: &mut Content, path: &usvg::tiny_skia_path::Path) {
    let mut last = (0.0, 0.0);
    for segment in path.segments() {
        match segment {
            PathSegment::MoveTo(p) => {
                content.move_to(p.x, p.y);
                last = (p.x, p.y);
            }
            PathSegment::LineTo(p) => {
                content.line_to(p.x, p.y);
                last = (p.x, p.y);
            }
            PathSegment::QuadTo(c, p) => {
                let third = |from: f32, to: f32| from + 2.0 / 3.0 * (to - from);
                let (a, b) = (third(last.0, c.x), third(last.1, c.y));
                content.cubic_to(a, b, third(p.x, c.x), third(p.y, c.y), p.x, p.y);
                last = (p.x, p.y);
            }
            PathSegment::CubicTo(c, d, p) => {
                content.cubic_to(c.x, c.y, d.x, d.y, p.x, p.y);
                last = (p.x, p.y);
            }
            PathSegment::Close => _ = content.close_path(),
        }
    }
}
