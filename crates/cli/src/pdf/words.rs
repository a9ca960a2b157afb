//! Words as text: letters of one face on one line are one piece, so that readers find them.

use pdf_writer::{Name, Str};
use usvg::Transform;
use usvg::layout::{PositionedGlyph, Span};

use super::canvas::{Canvas, matrix};
use super::outlines::Brush;

/// So far off its line may a letter stand before it is a piece of its own, in font sizes.
const OFF_LINE: f32 = 1e-3;

/// Letters are set to thousandths of the font size, as PDF counts (9.4.3).
const THOUSAND: f32 = 1000.0;

impl Canvas<'_> {
    /// The letters of a span.
    pub(super) fn span(&mut self, span: &Span, fill: Brush) {
        let mut rest = span.positioned_glyphs.as_slice();
        if rest.is_empty() {
            return;
        }
        self.content.save_state();
        self.set_opacity(Some(fill), None);
        let [r, g, b] = fill.colour;
        self.content.set_fill_rgb(r, g, b);
        self.content.begin_text();
        while let [first, ..] = rest {
            let taken = self.piece(first, rest);
            rest = rest.get(taken..).unwrap_or_default();
        }
        self.content.end_text();
        self.content.restore_state();
    }

    /// Writes the letters that stand on the line of the first one, in its face; returns how many.
    fn piece(&mut self, first: &PositionedGlyph, letters: &[PositionedGlyph]) -> usize {
        let faces = &mut self.shared.faces;
        let Some(face) = faces.of(first.font) else {
            return 1;
        };
        let origin = on_page(first, face.units_an_em());
        let Some(back) = origin.invert() else {
            return 1;
        };
        let size = first.font_size();
        let unit = Transform::from_scale(1.0 / size, 1.0 / size);
        self.content.set_font(Name(face.name.as_bytes()), size);
        self.content
            .set_text_matrix(matrix(origin.pre_concat(unit)));
        let mut show = self.content.show_positioned();
        let mut items = show.items();
        let mut bytes = Vec::new();
        // Where the next letter would stand by itself.
        let mut pen = 0.0;
        let mut taken = 0;
        for letter in letters {
            let own = on_page(letter, face.units_an_em());
            let at = back.pre_concat(own);
            let is_alike = letter.font == first.font && on_line(at);
            if !is_alike {
                break;
            }
            let step = ((pen - at.tx) * THOUSAND).round();
            if step != 0.0 {
                items.show(Str(&bytes)).adjust(step);
                bytes.clear();
            }
            let (code, width) = face.code(letter.id.0, &letter.text);
            bytes.extend(code.to_be_bytes());
            pen += width / THOUSAND - step / THOUSAND;
            taken += 1;
        }
        items.show(Str(&bytes));
        taken.max(1)
    }
}

/// Where a letter stands, in font sizes from its origin and upwards.
fn on_page(letter: &PositionedGlyph, units_an_em: f32) -> Transform {
    let em = Transform::from_scale(units_an_em, -units_an_em);
    letter.transform().pre_concat(em)
}

/// Whether a letter stands on the line it is measured from, as large and as upright.
fn on_line(at: Transform) -> bool {
    let near = |a: f32, b: f32| (a - b).abs() < OFF_LINE;
    near(at.sx, 1.0) && near(at.sy, 1.0) && [at.kx, at.ky, at.ty].iter().all(|v| near(*v, 0.0))
}
