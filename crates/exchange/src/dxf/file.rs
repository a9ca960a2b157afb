//! A DXF file as text: what it must hold to be opened, and the few things that are drawn in it.
//!
//! The form is that of release 2000 (AC1015), the oldest that tells its unit, by the published DXF Reference:
//! pairs of lines, a group's number and its value. All letters are ASCII: others are written as `\U+XXXX`.

use heartside_geometry::{Bounds, Point, Region, Vector};

/// What is drawn, by the names of the layers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Layer {
    /// `outline`: of the board, or of the part in a file of its own; holes as well.
    Outline,
    /// `defects`: knots, splits and the like.
    Defects,
    /// `sapwood`.
    Sapwood,
    /// `fixings`: screws, nails, dowels.
    Fixings,
    /// `figure`.
    Figure,
    /// `blanks`: as sawn, with allowances.
    Blanks,
    /// `parts`: as finished.
    Parts,
    /// `cuts`: the middle of every kerf, as wide as it is.
    Cuts,
    /// `names`.
    Names,
}

impl Layer {
    /// All of them, in the order of the file.
    const ALL: [Layer; 9] = [
        Layer::Outline,
        Layer::Defects,
        Layer::Sapwood,
        Layer::Fixings,
        Layer::Figure,
        Layer::Blanks,
        Layer::Parts,
        Layer::Cuts,
        Layer::Names,
    ];

    /// Its name, and its colour as the format counts them: 7 is black on white and white on black, 1 red,
    /// 2 yellow, 3 green, 5 blue, 6 magenta, 8 grey.
    fn looks(self) -> (&'static str, u8) {
        match self {
            Layer::Outline => ("outline", 7),
            Layer::Defects => ("defects", 6),
            Layer::Sapwood => ("sapwood", 2),
            Layer::Fixings => ("fixings", 6),
            Layer::Figure => ("figure", 3),
            Layer::Blanks => ("blanks", 8),
            Layer::Parts => ("parts", 5),
            Layer::Cuts => ("cuts", 1),
            Layer::Names => ("names", 7),
        }
    }
}

/// Letters of a name at most: no drawing is wide enough for more.
const MOST_LETTERS: usize = 60;
/// Height of letters at most, in millimetres: large enough on a board, no more.
const TALLEST: f64 = 20.0;
/// What a letter is wide at most, over its height.
const WIDTH_OF_LETTER: f64 = 1.0;

/// Handles of what every file holds; those of what is drawn come behind them.
const FIRST_HANDLE: u32 = 0x100;
/// The space that is drawn in.
const MODEL: &str = "1F";
/// The sheet that every file must have.
const PAPER: &str = "1B";

/// A file that is being drawn.
#[derive(Default)]
pub(super) struct File {
    entities: String,
    drawn: u32,
    extent: Option<Bounds>,
}

impl File {
    /// The rings of a region.
    pub(super) fn region(&mut self, layer: Layer, region: &Region) {
        for ring in region.rings() {
            let corners: Vec<(Point, f64)> = ring.points().iter().map(|&p| (p, 0.0)).collect();
            self.polyline(layer, &corners, None);
        }
    }

    /// A closed line of corners, each with the bulge of the side behind it; so wide, if it is the middle of a kerf.
    pub(super) fn polyline(&mut self, layer: Layer, corners: &[(Point, f64)], width: Option<f64>) {
        self.lightweight(layer, corners, true, width);
    }

    /// A straight line, so wide.
    pub(super) fn line(&mut self, layer: Layer, ends: [Point; 2], width: f64) {
        self.lightweight(layer, &ends.map(|p| (p, 0.0)), false, Some(width));
    }

    fn lightweight(
        &mut self,
        layer: Layer,
        corners: &[(Point, f64)],
        closed: bool,
        width: Option<f64>,
    ) {
        self.begin("LWPOLYLINE", layer, "AcDbPolyline");
        self.group(90, &corners.len().to_string());
        self.group(70, if closed { "1" } else { "0" });
        if let Some(width) = width {
            self.group(43, &number(width));
        }
        for &(corner, bulge) in corners {
            self.reaches(corner);
            self.point(10, corner);
            if bulge != 0.0 {
                self.group(42, &precise(bulge));
            }
        }
    }

    /// An oval by its centre and its two half axes, square to each other: a circle where they are alike.
    pub(super) fn oval(&mut self, layer: Layer, centre: Point, half: Vector, other: Vector) {
        let (long, short) = if half.length() >= other.length() {
            (half, other)
        } else {
            (other, half)
        };
        for corner in [long + short, long - short] {
            self.reaches(centre + corner);
            self.reaches(centre - corner);
        }
        if long.length() - short.length() < 1e-9 {
            self.begin("CIRCLE", layer, "AcDbCircle");
            self.point(10, centre);
            self.group(30, "0");
            self.group(40, &number(long.length()));
            return;
        }
        self.begin("ELLIPSE", layer, "AcDbEllipse");
        self.point(10, centre);
        self.group(30, "0");
        self.group(11, &precise(long.x));
        self.group(21, &precise(long.y));
        self.group(31, "0");
        self.group(40, &precise(short.length() / long.length()));
        self.group(41, "0");
        self.group(42, &precise(core::f64::consts::TAU));
    }

    /// Words about a point, turned by degrees, within a length and a height.
    pub(super) fn words(&mut self, words: &str, at: Point, turn: f64, [length, height]: [f64; 2]) {
        let (written, letters) = ascii(words);
        let widest = length / (WIDTH_OF_LETTER * letters.max(1) as f64);
        if letters == 0 || !at.is_finite() {
            return;
        }
        self.begin("TEXT", Layer::Names, "AcDbText");
        self.point(10, at);
        self.group(30, "0");
        self.group(40, &number(height.min(TALLEST).min(widest).max(0.1)));
        self.group(1, &written);
        self.group(50, &number(turn));
        // In the middle of the point, both ways.
        self.group(72, "1");
        self.point(11, at);
        self.group(31, "0");
        self.group(100, "AcDbText");
        self.group(73, "2");
    }

    fn begin(&mut self, kind: &str, layer: Layer, class: &str) {
        let handle = FIRST_HANDLE + self.drawn;
        self.drawn += 1;
        self.group(0, kind);
        self.group(5, &format!("{handle:X}"));
        self.group(330, MODEL);
        self.group(100, "AcDbEntity");
        self.group(8, layer.looks().0);
        self.group(100, class);
    }

    fn group(&mut self, code: u16, value: &str) {
        self.entities.push_str(&pair(code, value));
    }

    fn point(&mut self, code: u16, at: Point) {
        self.group(code, &number(at.x));
        self.group(code + 10, &number(at.y));
    }

    fn reaches(&mut self, point: Point) {
        if point.is_finite() {
            let here = Bounds::new(point, point);
            self.extent = Some(self.extent.map_or(here, |known| known.union(here)));
        }
    }

    /// The whole file.
    pub(super) fn finished(self) -> String {
        let origin = Point::new(0.0, 0.0);
        let extent = self.extent.unwrap_or(Bounds::new(origin, origin));
        let next = FIRST_HANDLE + self.drawn;
        [
            header(extent, next),
            section("CLASSES", ""),
            section("TABLES", &tables(extent)),
            section("BLOCKS", &blocks()),
            section("ENTITIES", &self.entities),
            section("OBJECTS", &objects()),
            pair(0, "EOF"),
        ]
        .concat()
    }
}

fn pair(code: u16, value: &str) -> String {
    format!("{code:>3}\r\n{value}\r\n")
}

fn pairs(all: &[(u16, &str)]) -> String {
    all.iter().map(|&(code, value)| pair(code, value)).collect()
}

fn section(name: &str, inner: &str) -> String {
    pair(0, "SECTION") + &pair(2, name) + inner + &pair(0, "ENDSEC")
}

fn header(extent: Bounds, next: u32) -> String {
    let mut inner = pairs(&[
        (9, "$ACADVER"),
        (1, "AC1015"),
        (9, "$DWGCODEPAGE"),
        (3, "ANSI_1252"),
        (9, "$HANDSEED"),
        (5, &format!("{next:X}")),
        // Millimetres, in decimals, metric patterns.
        (9, "$INSUNITS"),
        (70, "4"),
        (9, "$LUNITS"),
        (70, "2"),
        (9, "$MEASUREMENT"),
        (70, "1"),
    ]);
    for (name, at) in [("$EXTMIN", extent.min), ("$EXTMAX", extent.max)] {
        inner += &pairs(&[
            (9, name),
            (10, &number(at.x)),
            (20, &number(at.y)),
            (30, "0"),
        ]);
    }
    section("HEADER", &inner)
}

/// A table with its entries, each begun by what all of them have.
fn table(name: &str, handle: &str, more: &str, entries: &[(&str, &str, String)]) -> String {
    let mut all = pairs(&[
        (0, "TABLE"),
        (2, name),
        (5, handle),
        (330, "0"),
        (100, "AcDbSymbolTable"),
        (70, &entries.len().to_string()),
    ]);
    all += more;
    for (own, class, inner) in entries {
        // The table of styles of dimensions numbers its entries by another group.
        let number_of = if name == "DIMSTYLE" { 105 } else { 5 };
        all += &pairs(&[
            (0, name),
            (number_of, own),
            (330, handle),
            (100, "AcDbSymbolTableRecord"),
            (100, class),
        ]);
        all += inner;
    }
    all + &pair(0, "ENDTAB")
}

fn tables(extent: Bounds) -> String {
    let line_type = |name: &str| {
        let words = if name == "Continuous" {
            "Solid line"
        } else {
            ""
        };
        pairs(&[
            (2, name),
            (70, "0"),
            (3, words),
            (72, "65"),
            (73, "0"),
            (40, "0"),
        ])
    };
    let layer = |name: &str, colour: u8| {
        pairs(&[
            (2, name),
            (70, "0"),
            (62, &colour.to_string()),
            (6, "Continuous"),
            // Drawn as thin as the plotter can, and placed by the first plot style.
            (370, "-3"),
            (390, "F"),
        ])
    };
    let handles: Vec<String> = (0..Layer::ALL.len())
        .map(|k| format!("{:X}", 0x40 + k))
        .collect();
    let mut layers = vec![("10", "AcDbLayerTableRecord", layer("0", 7))];
    layers.extend(Layer::ALL.iter().zip(&handles).map(|(own, handle)| {
        let (name, colour) = own.looks();
        (handle.as_str(), "AcDbLayerTableRecord", layer(name, colour))
    }));
    let middle = extent.min.midpoint(extent.max);
    // The window shows all that is drawn, four times as wide as high.
    let tall = extent.height().max(extent.width() / 4.0).max(1.0) * 1.1;
    let window = pairs(&[
        (2, "*Active"),
        (70, "0"),
        (10, "0"),
        (20, "0"),
        (11, "1"),
        (21, "1"),
        (12, &number(middle.x)),
        (22, &number(middle.y)),
        (16, "0"),
        (26, "0"),
        (36, "1"),
        (17, "0"),
        (27, "0"),
        (37, "0"),
        (40, &number(tall)),
        (41, "4"),
        (42, "50"),
    ]);
    let style = pairs(&[
        (2, "Standard"),
        (70, "0"),
        (40, "0"),
        (41, "1"),
        (50, "0"),
        (71, "0"),
        (42, "2.5"),
        (3, "txt"),
        (4, ""),
    ]);
    let block = |name: &str| pairs(&[(2, name), (340, "0")]);
    let named = |name: &str| pairs(&[(2, name), (70, "0")]);
    [
        table(
            "VPORT",
            "8",
            "",
            &[("29", "AcDbViewportTableRecord", window)],
        ),
        table(
            "LTYPE",
            "5",
            "",
            &[
                ("14", "AcDbLinetypeTableRecord", line_type("ByBlock")),
                ("15", "AcDbLinetypeTableRecord", line_type("ByLayer")),
                ("16", "AcDbLinetypeTableRecord", line_type("Continuous")),
            ],
        ),
        table("LAYER", "2", "", &layers),
        table(
            "STYLE",
            "3",
            "",
            &[("11", "AcDbTextStyleTableRecord", style)],
        ),
        table("VIEW", "6", "", &[]),
        table("UCS", "7", "", &[]),
        table(
            "APPID",
            "9",
            "",
            &[("12", "AcDbRegAppTableRecord", named("ACAD"))],
        ),
        table(
            "DIMSTYLE",
            "A",
            &pair(100, "AcDbDimStyleTable"),
            &[("27", "AcDbDimStyleTableRecord", named("Standard"))],
        ),
        table(
            "BLOCK_RECORD",
            "1",
            "",
            &[
                (MODEL, "AcDbBlockTableRecord", block("*Model_Space")),
                (PAPER, "AcDbBlockTableRecord", block("*Paper_Space")),
            ],
        ),
    ]
    .concat()
}

/// The blocks that stand for the space that is drawn in and for the sheet.
fn blocks() -> String {
    let block = |name: &str, owner: &str, [begins, ends]: [&str; 2]| {
        pairs(&[
            (0, "BLOCK"),
            (5, begins),
            (330, owner),
            (100, "AcDbEntity"),
            (8, "0"),
            (100, "AcDbBlockBegin"),
            (2, name),
            (70, "0"),
            (10, "0"),
            (20, "0"),
            (30, "0"),
            (3, name),
            (1, ""),
            (0, "ENDBLK"),
            (5, ends),
            (330, owner),
            (100, "AcDbEntity"),
            (8, "0"),
            (100, "AcDbBlockEnd"),
        ])
    };
    block("*Model_Space", MODEL, ["20", "21"]) + &block("*Paper_Space", PAPER, ["1C", "1D"])
}

/// The dictionary that every file must have, with what its layers are plotted by.
fn objects() -> String {
    pairs(&[
        (0, "DICTIONARY"),
        (5, "C"),
        (330, "0"),
        (100, "AcDbDictionary"),
        (281, "1"),
        (3, "ACAD_GROUP"),
        (350, "D"),
        (3, "ACAD_PLOTSTYLENAME"),
        (350, "E"),
        (0, "DICTIONARY"),
        (5, "D"),
        (330, "C"),
        (100, "AcDbDictionary"),
        (281, "1"),
        (0, "ACDBDICTIONARYWDFLT"),
        (5, "E"),
        (330, "C"),
        (100, "AcDbDictionary"),
        (281, "1"),
        (3, "Normal"),
        (350, "F"),
        (100, "AcDbDictionaryWithDefault"),
        (340, "F"),
        (0, "ACDBPLACEHOLDER"),
        (5, "F"),
        (330, "E"),
    ])
}

/// A coordinate: a millionth of a millimetre is finer than anything that is measured.
fn number(value: f64) -> String {
    let text = format!("{:.6}", if value.is_finite() { value } else { 0.0 });
    let short = text.trim_end_matches('0').trim_end_matches('.');
    if short == "-0" {
        "0".into()
    } else {
        short.into()
    }
}

/// A number that is multiplied by millimetres: with all of its digits.
fn precise(value: f64) -> String {
    let value = if value.is_finite() { value } else { 0.0 };
    format!("{value:.15}")
}

/// Words in the letters of the file, and how many letters they are: one line, and nothing that a reader takes
/// for a command.
fn ascii(words: &str) -> (String, usize) {
    let mut written = String::new();
    let all: Vec<char> = words
        .chars()
        .filter(|c| !matches!(c, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}'))
        .map(|c| if c.is_control() || c.is_whitespace() { ' ' } else { c })
        .collect();
    let kept = if all.len() > MOST_LETTERS {
        let mut kept: Vec<char> = all.into_iter().take(MOST_LETTERS - 1).collect();
        kept.push('\u{2026}');
        kept
    } else {
        all
    };
    let words: String = kept.into_iter().collect();
    let words = words.trim();
    for c in words.chars() {
        match c {
            // Two of them begin a command, `\` a coded letter and `^` a coded control.
            '%' | '\\' | '^' => written.push_str(&format!("\\U+{:04X}", u32::from(c))),
            ' '..='~' => written.push(c),
            c if u32::from(c) <= 0xffff => {
                written.push_str(&format!("\\U+{:04X}", u32::from(c)));
            }
            // The form has no room for letters beyond these.
            _ => written.push('?'),
        }
    }
    (written, words.chars().count())
}
