//! A drawing as the content of a page.

use pdf_writer::{Content, Name};
use usvg::{ClipPath, FillRule, Group, Image, Node, PaintOrder, Path, Transform, Tree};

use super::Shared;
use super::file::POINTS_A_PIXEL;
use super::outlines::{Brush, outline, pencil};

/// The content of a page while it is written.
///
/// Our drawings have no gradients, patterns, masks and filters; what has one is left out. Opacity of a group is
/// given to each of its members, which do not lie over each other.
pub(super) struct Canvas<'a> {
    pub(super) content: Content,
    pub(super) shared: &'a mut Shared,
}

/// The six numbers of a transform in the order of PDF.
pub(super) fn matrix(t: Transform) -> [f32; 6] {
    [t.sx, t.ky, t.kx, t.sy, t.tx, t.ty]
}

impl Canvas<'_> {
    /// The content of a drawing, on a page as large as it is.
    pub(super) fn drawn(tree: &Tree, shared: &mut Shared) -> Vec<u8> {
        let mut canvas = Canvas {
            content: Content::new(),
            shared,
        };
        // A page has its origin below.
        let height = tree.size().height() * POINTS_A_PIXEL;
        let upright = [POINTS_A_PIXEL, 0.0, 0.0, -POINTS_A_PIXEL, 0.0, height];
        canvas.content.transform(upright);
        canvas.group(tree.root(), 1.0);
        canvas.content.finish().into_vec()
    }

    fn group(&mut self, group: &Group, opacity: f32) {
        let opacity = opacity * group.opacity().get();
        let is_plain = group.transform().is_identity() && group.clip_path().is_none();
        if !is_plain {
            self.content.save_state();
            self.content.transform(matrix(group.transform()));
            if let Some(clip) = group.clip_path() {
                self.clip(clip);
            }
        }
        for node in group.children() {
            match node {
                Node::Group(inner) => self.group(inner, opacity),
                Node::Path(path) => self.path(path, opacity),
                Node::Image(image) => self.image(image),
                Node::Text(text) => self.words(text, opacity),
            }
        }
        if !is_plain {
            self.content.restore_state();
        }
    }

    /// Leaves of what follows only what lies within.
    fn clip(&mut self, clip: &ClipPath) {
        if let Some(outer) = clip.clip_path() {
            self.clip(outer);
        }
        // Within an empty outline nothing lies.
        self.content.rect(0.0, 0.0, 0.0, 0.0);
        self.outlines(clip.root(), clip.transform());
        self.content.clip_nonzero();
        self.content.end_path();
    }

    fn outlines(&mut self, group: &Group, transform: Transform) {
        let transform = transform.pre_concat(group.transform());
        for node in group.children() {
            match node {
                Node::Group(inner) => self.outlines(inner, transform),
                Node::Path(path) => {
                    if let Some(moved) = path.data().clone().transform(transform) {
                        outline(&mut self.content, &moved);
                    }
                }
                Node::Image(_) | Node::Text(_) => {}
            }
        }
    }

    fn path(&mut self, path: &Path, opacity: f32) {
        let fill = path.fill().and_then(|fill| Brush::of_fill(fill, opacity));
        let stroke = path.stroke();
        let line = stroke.and_then(|stroke| Brush::of_stroke(stroke, opacity));
        if !path.is_visible() || (fill.is_none() && line.is_none()) {
            return;
        }
        debug_assert_eq!(path.paint_order(), PaintOrder::FillAndStroke);
        let even_odd = path.fill().is_some_and(|f| f.rule() == FillRule::EvenOdd);
        self.content.save_state();
        self.set_opacity(fill, line);
        if let Some(fill) = fill {
            let [r, g, b] = fill.colour;
            self.content.set_fill_rgb(r, g, b);
        }
        if let (Some(line), Some(stroke)) = (line, stroke) {
            pencil(&mut self.content, line, stroke);
        }
        outline(&mut self.content, path.data());
        match (fill.is_some(), line.is_some(), even_odd) {
            (true, true, false) => self.content.fill_nonzero_and_stroke(),
            (true, true, true) => self.content.fill_even_odd_and_stroke(),
            (true, false, false) => self.content.fill_nonzero(),
            (true, false, true) => self.content.fill_even_odd(),
            (false, ..) => self.content.stroke(),
        };
        self.content.restore_state();
    }

    /// The strokes of what text was flattened to, for a halo.
    pub(super) fn strokes(&mut self, group: &Group, opacity: f32) {
        self.content.save_state();
        self.content.transform(matrix(group.transform()));
        for node in group.children() {
            match node {
                Node::Group(inner) => self.strokes(inner, opacity),
                Node::Path(path) => {
                    let stroke = path.stroke();
                    let line = stroke.and_then(|stroke| Brush::of_stroke(stroke, opacity));
                    if let (Some(line), Some(stroke)) = (line, stroke) {
                        self.content.save_state();
                        self.set_opacity(None, Some(line));
                        pencil(&mut self.content, line, stroke);
                        outline(&mut self.content, path.data());
                        self.content.stroke();
                        self.content.restore_state();
                    }
                }
                Node::Image(_) | Node::Text(_) => {}
            }
        }
        self.content.restore_state();
    }

    /// A picture fills the square from (0, 0) to (1, 1) and stands upright there (8.9.5.1).
    fn image(&mut self, image: &Image) {
        let name = self.shared.pictures.named(image.kind());
        let Some(name) = name.filter(|_| image.is_visible()) else {
            return;
        };
        let (width, height) = (image.size().width(), image.size().height());
        self.content.save_state();
        self.content
            .transform([width, 0.0, 0.0, -height, 0.0, height]);
        self.content.x_object(Name(name.as_bytes()));
        self.content.restore_state();
    }

    /// Sets how much of the ground shows through what is filled and drawn next.
    pub(super) fn set_opacity(&mut self, fill: Option<Brush>, line: Option<Brush>) {
        let of = |brush: Option<Brush>| brush.map_or(1.0, |brush| brush.opacity);
        if let Some(name) = self.shared.opacities.named(of(fill), of(line)) {
            self.content.set_parameters(Name(name.as_bytes()));
        }
    }

    /// Words with their halo; where one lies under them, it is drawn as outlines, so that no letter is there twice.
    fn words(&mut self, text: &usvg::Text, opacity: f32) {
        let spans = text.layouted();
        if spans.iter().any(|span| span.stroke.is_some()) {
            self.strokes(text.flattened(), opacity);
        }
        for span in spans.iter().filter(|span| span.visible) {
            let fill = span.fill.as_ref();
            if let Some(fill) = fill.and_then(|fill| Brush::of_fill(fill, opacity)) {
                self.span(span, fill);
            }
        }
    }
}
