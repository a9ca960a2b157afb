//! Palette and style sheet. Paper and ink, pencil grey, wood only where there is wood, one chalk red for cuts.
//!
//! Meaning never rests on colour alone: every kind of zone has its hatch and its word, cuts
//! have numbers, finished outlines are dashed. Line widths and text sizes are attributes of
//! the elements, in the drawing's millimetres; the style sheet holds colours and faces only.

use serde::{Deserialize, Serialize};

/// Which colours a drawing carries.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
#[serde(rename_all = "snake_case")]
pub enum Theme {
    /// Variables that the page sets, with the light colours where it sets none.
    Screen,
    /// Light paper.
    #[default]
    Light,
    /// Slate.
    Dark,
    /// White paper, made to be read in black and white.
    Print,
}

/// The list of faces, best first; all narrower than the table in [`crate::text`].
pub(crate) const FACES: &str =
    "'Iowan Old Style','Palatino Linotype',Palatino,'Book Antiqua',Georgia,'DejaVu Serif',serif";

/// Colours by role.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Palette {
    pub(crate) paper: &'static str,
    pub(crate) sheet: &'static str,
    pub(crate) ink: &'static str,
    pub(crate) pencil: &'static str,
    pub(crate) line: &'static str,
    pub(crate) wood: &'static str,
    pub(crate) grain: &'static str,
    pub(crate) part: &'static str,
    pub(crate) chalk: &'static str,
    pub(crate) heart: &'static str,
    pub(crate) good: &'static str,
}

pub(crate) const LIGHT: Palette = Palette {
    paper: "#f6f2e9",
    sheet: "#fffdf7",
    ink: "#23201b",
    pencil: "#5e584e",
    line: "#d8d0c0",
    wood: "#e6d3ad",
    grain: "#b8985f",
    part: "#fbf3df",
    chalk: "#ae3a22",
    heart: "#7d3520",
    good: "#34603f",
};

pub(crate) const DARK: Palette = Palette {
    paper: "#22272b",
    sheet: "#2b3136",
    ink: "#f0eadc",
    pencil: "#d3cbbc",
    line: "#4a5157",
    wood: "#4f4330",
    grain: "#8b7550",
    part: "#5c4e38",
    chalk: "#ffa48a",
    heart: "#f5c4ac",
    good: "#9fd1aa",
};

pub(crate) const PRINT: Palette = Palette {
    paper: "#ffffff",
    sheet: "#ffffff",
    ink: "#000000",
    pencil: "#4a4a4a",
    line: "#bdbdbd",
    wood: "#f3ecdd",
    grain: "#c9b48d",
    part: "#ffffff",
    chalk: "#a12a12",
    heart: "#3d2318",
    good: "#000000",
};

impl Palette {
    fn roles(&self) -> [(&'static str, &'static str); 11] {
        [
            ("paper", self.paper),
            ("sheet", self.sheet),
            ("ink", self.ink),
            ("pencil", self.pencil),
            ("line", self.line),
            ("wood", self.wood),
            ("grain", self.grain),
            ("part", self.part),
            ("chalk", self.chalk),
            ("heart", self.heart),
            ("good", self.good),
        ]
    }
}

/// The custom properties of a palette (`--hs-ink:#23201b;...`), to be set by the page on its
/// root, light and dark.
pub fn palette_variables(theme: Theme) -> String {
    palette(theme)
        .roles()
        .iter()
        .map(|(role, value)| format!("--hs-{role}:{value};"))
        .collect()
}

fn palette(theme: Theme) -> &'static Palette {
    match theme {
        Theme::Screen | Theme::Light => &LIGHT,
        Theme::Dark => &DARK,
        Theme::Print => &PRINT,
    }
}

/// The rules every drawing uses; `{role}` stands for a colour.
const RULES: &str = "\
.hs text{font-family:{faces};font-variant-numeric:lining-nums tabular-nums;fill:{ink};stroke:none}\
.hs path,.hs line,.hs rect,.hs circle{fill:none;stroke:none}\
.hs .hs-paper{fill:{paper}}\
.hs .hs-sheet{fill:{sheet}}\
.hs .hs-wood{fill:{wood}}\
.hs .hs-edge{stroke:{ink};stroke-linejoin:round;stroke-linecap:round}\
.hs .hs-bark{stroke:{heart};stroke-linecap:round;stroke-linejoin:round}\
.hs .hs-grain{stroke:{grain};stroke-linecap:round;opacity:.55}\
.hs .hs-blank{fill:{part};fill-opacity:.9;stroke:{ink};stroke-linejoin:round}\
.hs .hs-finish{stroke:{pencil};stroke-linejoin:round}\
.hs .hs-pencil{stroke:{pencil};stroke-linecap:round;stroke-linejoin:round}\
.hs .hs-faint{stroke:{pencil};opacity:.55;stroke-linecap:round}\
.hs .hs-rule{stroke:{line}}\
.hs .hs-ink{stroke:{ink};stroke-linecap:round;stroke-linejoin:round}\
.hs .hs-dot{fill:{ink}}\
.hs .hs-pencil-dot{fill:{pencil}}\
.hs .hs-zone{stroke:{heart};stroke-linecap:round;stroke-linejoin:round}\
.hs .hs-zone-dot{fill:{heart}}\
.hs .hs-zone-ground{fill:{paper};fill-opacity:.7}\
.hs .hs-kerf{fill:{chalk}}\
.hs .hs-cut{stroke:{chalk};stroke-linecap:butt}\
.hs .hs-bubble{fill:{sheet};stroke:{chalk}}\
.hs .hs-leader{stroke:{pencil};stroke-linecap:round}\
.hs .hs-note-leader{stroke:{chalk};stroke-linecap:round}\
.hs .hs-number{fill:{chalk}}\
.hs .hs-size,.hs .hs-dim,.hs .hs-quiet{fill:{pencil}}\
.hs .hs-zone-word{fill:{heart};font-style:italic}\
.hs .hs-note{fill:{chalk};font-style:italic}\
.hs .hs-good{fill:{good}}\
.hs .hs-italic{font-style:italic;fill:{pencil}}\
.hs .hs-halo{paint-order:stroke;stroke:{paper};stroke-opacity:.85;stroke-linejoin:round}\
.hs .hs-halo-part{paint-order:stroke;stroke:{part};stroke-opacity:1;stroke-linejoin:round}\
.hs .hs-halo-wood{paint-order:stroke;stroke:{wood};stroke-opacity:.9;stroke-linejoin:round}\
";

/// What lies on photographs; a drawing without any has no need of them.
const PHOTO_RULES: &str = "\
.hs .hs-blank.hs-veil{fill-opacity:.4}\
.hs .hs-tag{fill:{sheet};fill-opacity:.86}\
.hs .hs-casing{stroke:{part};stroke-opacity:.75;stroke-linejoin:round;stroke-linecap:round}\
.hs image{pointer-events:none}\
.hs .hs-zone-wash{fill:{paper};fill-opacity:.3}\
";

/// What is picked out is on the screen alone.
const SCREEN_RULES: &str = "\
.hs .hs-chosen-piece{fill:{chalk};fill-opacity:.14;stroke:{chalk};stroke-linejoin:round}\
.hs .hs-chosen-cut{stroke:{chalk};stroke-linecap:round}\
.hs .hs-chosen-bubble{fill:{chalk};stroke:{sheet}}\
.hs .hs-chosen-word{fill:{sheet}}\
";

/// The style sheet of a theme; all rules lie under the class `hs`.
pub fn style_sheet(theme: Theme) -> String {
    style_of(theme, theme == Theme::Screen)
}

/// The same, with what photographs need or without.
pub(crate) fn style_of(theme: Theme, with_photos: bool) -> String {
    let mut rules = RULES.replace("{faces}", FACES);
    if with_photos {
        rules.push_str(PHOTO_RULES);
    }
    if theme == Theme::Screen {
        rules.push_str(SCREEN_RULES);
    }
    for (role, value) in palette(theme).roles() {
        let colour = if theme == Theme::Screen {
            format!("var(--hs-{role},{value})")
        } else {
            value.to_owned()
        };
        rules = rules.replace(&format!("{{{role}}}"), &colour);
    }
    rules
}

#[cfg(test)]
mod tests {
    use super::*;

    fn channel(hex: &str, place: usize) -> f64 {
        let value = u8::from_str_radix(&hex[1 + 2 * place..3 + 2 * place], 16).expect("a colour");
        let share = f64::from(value) / 255.0;
        if share <= 0.039_28 {
            share / 12.92
        } else {
            heartside_geometry::math::powf((share + 0.055) / 1.055, 2.4)
        }
    }

    fn luminance(hex: &str) -> f64 {
        0.2126 * channel(hex, 0) + 0.7152 * channel(hex, 1) + 0.0722 * channel(hex, 2)
    }

    fn contrast(a: &str, b: &str) -> f64 {
        let (x, y) = (luminance(a), luminance(b));
        (x.max(y) + 0.05) / (x.min(y) + 0.05)
    }

    /// WCAG 2.2, 1.4.3: text at least 4.5 to 1; 1.4.11: lines that carry meaning at least 3 to 1.
    #[test]
    fn text_and_lines_have_enough_contrast_on_every_ground() {
        for palette in [LIGHT, DARK, PRINT] {
            for ground in [palette.paper, palette.sheet, palette.part, palette.wood] {
                for text in [palette.ink, palette.pencil, palette.heart] {
                    assert!(
                        contrast(text, ground) >= 4.5,
                        "{text} on {ground}: {:.2}",
                        contrast(text, ground)
                    );
                }
                assert!(
                    contrast(palette.chalk, ground) >= 3.0,
                    "{} on {ground}",
                    palette.chalk
                );
            }
            for ground in [palette.paper, palette.sheet] {
                for text in [palette.chalk, palette.good] {
                    assert!(
                        contrast(text, ground) >= 4.5,
                        "{text} on {ground}: {:.2}",
                        contrast(text, ground)
                    );
                }
            }
        }
    }

    #[test]
    fn every_role_is_filled_in() {
        for theme in [Theme::Screen, Theme::Light, Theme::Dark, Theme::Print] {
            let css = style_of(theme, true);
            assert!(!css.contains("{ink}") && !css.contains("{good}"), "{css}");
            assert_eq!(css.matches('{').count(), css.matches('}').count());
        }
        assert!(style_sheet(Theme::Screen).contains("var(--hs-ink,#23201b)"));
    }
}
