//! The faces that text is set in, and the letters of each that a file holds.
//!
//! The drawings ask for a serif face and reckon with the widths of one as wide as DejaVu Serif, which is here;
//! letters that it does not have come from DejaVu Sans (Hebrew and Arabic among them), and for what neither has
//! there stands the empty box of the first.

use std::collections::BTreeMap;
use std::sync::Arc;

use pdf_writer::types::{CidFontType, FontFlags, SystemInfo, UnicodeCmap};
use pdf_writer::{Filter, Finish, Name, Pdf, Rect, Ref, Str};
use sha2::{Digest, Sha256};
use subsetter::GlyphRemapper;
use usvg::fontdb::{Database, ID, Source};

use super::file::packed;

/// Letters stand under numbers of ours, with no meaning beyond the file (9.7.3).
const OWN_NUMBERS: SystemInfo<'static> = SystemInfo {
    registry: Str(b"Adobe"),
    ordering: Str(b"Identity"),
    supplement: 0,
};

/// A face with the letters that are used.
pub(super) struct Face {
    id: ID,
    /// How pages call it.
    pub(super) name: String,
    data: &'static [u8],
    parsed: ttf_parser::Face<'static>,
    /// What each number means: a shape of the face and the text it stands for. One shape may stand for several
    /// texts, as the box does, and has a number for each, so that searching finds the right one.
    letters: Vec<(u16, String)>,
    codes: BTreeMap<(u16, String), u16>,
}

/// All faces.
pub(super) struct Faces(Vec<Face>);

/// The faces at hand, for whoever sets text, and to note letters in.
pub(super) fn at_hand() -> (Database, Faces) {
    let mut database = Database::new();
    let mut faces = Vec::new();
    for data in [
        dejavu::serif::regular(),
        dejavu::serif::italic(),
        dejavu::sans::regular(),
    ] {
        let ids = database.load_font_source(Source::Binary(Arc::new(data)));
        let (Some(id), Ok(parsed)) = (ids.first(), ttf_parser::Face::parse(data, 0)) else {
            continue;
        };
        faces.push(Face {
            id: *id,
            name: format!("F{}", faces.len()),
            data,
            parsed,
            letters: Vec::new(),
            codes: BTreeMap::new(),
        });
    }
    database.set_serif_family("DejaVu Serif");
    database.set_sans_serif_family("DejaVu Sans");
    (database, Faces(faces))
}

impl Faces {
    /// The face that text was set in.
    pub(super) fn of(&mut self, id: ID) -> Option<&mut Face> {
        self.0.iter_mut().find(|face| face.id == id)
    }

    /// Writes those that are used; returns their names with the objects.
    pub(super) fn write(&self, pdf: &mut Pdf, next: &mut Ref) -> Vec<(&str, Ref)> {
        let used = self.0.iter().filter(|face| !face.letters.is_empty());
        let written = used.map(|face| (face.name.as_str(), face.write(pdf, next)));
        written.collect()
    }
}

impl Face {
    /// Units of the face's own grid in a font size.
    pub(super) fn units_an_em(&self) -> f32 {
        f32::from(self.parsed.units_per_em())
    }

    /// The number of a shape that stands for a text, from 1, and its width in thousandths of the font size.
    pub(super) fn code(&mut self, glyph: u16, text: &str) -> (u16, f32) {
        let next = self.letters.len() + 1;
        let key = (glyph, text.to_owned());
        let code = match (self.codes.get(&key), u16::try_from(next)) {
            (Some(code), _) => *code,
            (None, Ok(code)) => {
                self.letters.push(key.clone());
                self.codes.insert(key, code);
                code
            }
            // More letters than there are numbers: an empty box.
            (None, Err(_)) => 0,
        };
        (code, self.width(glyph))
    }

    fn width(&self, glyph: u16) -> f32 {
        let advance = self.parsed.glyph_hor_advance(ttf_parser::GlyphId(glyph));
        self.scaled(f32::from(advance.unwrap_or_default()))
    }

    /// Units of the face in thousandths of the font size.
    fn scaled(&self, units: f32) -> f32 {
        units * 1000.0 / self.units_an_em()
    }

    /// The face with only the shapes that are used, and the new number of each.
    fn cut_down(&self) -> (Vec<u8>, GlyphRemapper) {
        let mut shapes = GlyphRemapper::new();
        for (glyph, _) in &self.letters {
            shapes.remap(*glyph);
        }
        match subsetter::subset(self.data, 0, &shapes) {
            Ok(small) => (small, shapes),
            Err(_) => {
                let all = 0..self.parsed.number_of_glyphs();
                let whole = all.collect::<Vec<u16>>();
                (
                    self.data.to_vec(),
                    GlyphRemapper::new_from_glyphs_sorted(&whole),
                )
            }
        }
    }

    /// Writes a composite font (9.7) whose file is cut down; its name begins with six letters that follow from
    /// what it holds (9.6.4).
    fn write(&self, pdf: &mut Pdf, next: &mut Ref) -> Ref {
        let [whole, single, described, file, shapes_of, texts_of] =
            std::array::from_fn(|_| next.bump());
        let (data, shapes) = self.cut_down();
        let tag: String = Sha256::digest(&data)
            .iter()
            .take(6)
            .map(|byte| char::from(b'A' + byte % 26))
            .collect();
        let family = self.parsed.names().into_iter().find_map(|name| {
            let is_own = name.name_id == ttf_parser::name_id::POST_SCRIPT_NAME;
            is_own.then(|| name.to_string()).flatten()
        });
        let name = format!("{tag}+{}", family.as_deref().unwrap_or("Face"));
        let name = Name(name.as_bytes());

        pdf.type0_font(whole)
            .base_font(name)
            .encoding_predefined(Name(b"Identity-H"))
            .descendant_font(single)
            .to_unicode(texts_of);
        let mut font = pdf.cid_font(single);
        font.subtype(CidFontType::Type2)
            .base_font(name)
            .system_info(OWN_NUMBERS)
            .font_descriptor(described)
            .default_width(self.width(0))
            .cid_to_gid_map_stream(shapes_of);
        let widths = self.letters.iter().map(|(glyph, _)| self.width(*glyph));
        font.widths().consecutive(1, widths);
        font.finish();
        self.describe(pdf, described, file, name);

        let plain = data.len();
        let data = packed(&data);
        let mut stream = pdf.stream(file, &data);
        stream.filter(Filter::FlateDecode);
        stream.pair(Name(b"Length1"), i32::try_from(plain).unwrap_or(i32::MAX));
        stream.finish();

        let glyphs = self.letters.iter();
        let numbers = glyphs.map(|(glyph, _)| shapes.get(*glyph).unwrap_or_default());
        let map: Vec<u8> = std::iter::once(0)
            .chain(numbers)
            .flat_map(u16::to_be_bytes)
            .collect();
        pdf.stream(shapes_of, &packed(&map))
            .filter(Filter::FlateDecode);

        let mut texts = UnicodeCmap::<u16>::new(Name(b"Texts"), OWN_NUMBERS);
        for (code, (_, text)) in (1..).zip(&self.letters) {
            if !text.is_empty() {
                texts.pair_with_multiple(code, text.chars());
            }
        }
        pdf.stream(texts_of, &packed(&texts.finish()))
            .filter(Filter::FlateDecode);
        whole
    }

    /// What readers ask of a face without opening it (9.8).
    fn describe(&self, pdf: &mut Pdf, id: Ref, file: Ref, name: Name<'_>) {
        let face = &self.parsed;
        let units = |value: i16| self.scaled(f32::from(value));
        let bounds = face.global_bounding_box();
        let mut flags = FontFlags::SYMBOLIC;
        flags.set(FontFlags::ITALIC, face.is_italic());
        pdf.font_descriptor(id)
            .name(name)
            .flags(flags)
            .bbox(Rect::new(
                units(bounds.x_min),
                units(bounds.y_min),
                units(bounds.x_max),
                units(bounds.y_max),
            ))
            .italic_angle(face.italic_angle())
            .ascent(units(face.ascender()))
            .descent(units(face.descender()))
            .cap_height(units(face.capital_height().unwrap_or(face.ascender())))
            // No reader needs it where the face is there; it must be told.
            .stem_v(80.0)
            .font_file2(file);
    }
}
