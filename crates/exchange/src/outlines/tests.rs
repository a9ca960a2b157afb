//! Drawings as they come, good and broken.

use heartside_geometry::{Location, Point, Ring};
use heartside_timber::document::{Board, BoardOutline, Length, ZoneKind, ZoneShape};
use proptest::prelude::*;

use super::curve::{Lean, oval, spline};
use super::*;
use crate::encoding::text_of;

const HEAD: &str = r#"<?xml version="1.0"?><svg xmlns="http://www.w3.org/2000/svg" width="2000mm" height="400mm" viewBox="0 0 2000 400">"#;

fn svg_said(text: &str, said: &Said) -> Read {
    read_svg(text, said, &mut TakenIds::default())
}

fn svg(body: &str) -> Proposals {
    proposals(svg_said(&format!("{HEAD}{body}</svg>"), &Said::default()))
}

fn dxf(text: &str) -> Proposals {
    proposals(read_dxf(text, &Said::default(), &mut TakenIds::default()))
}

fn proposals(read: Read) -> Proposals {
    match read {
        Read::Boards(proposals) => proposals,
        Read::AskUnit { extent } => panic!("asked for the unit of {extent:?}"),
    }
}

/// A DXF file with entities written as `LINE 8 0 10 0 20 0 ...`, one a line.
fn dxf_file(unit: u32, blocks: &str, entities: &str) -> String {
    let pairs = |text: &str| -> String {
        let things = text.lines().filter(|line| !line.trim().is_empty());
        things
            .map(|line| {
                let mut words = line.split_whitespace();
                let kind = words.next().unwrap();
                let words: Vec<&str> = words.collect();
                let rest = words
                    .chunks(2)
                    .map(|pair| format!("{}\n{}\n", pair[0], pair[1]));
                format!("0\n{kind}\n{}", rest.collect::<String>())
            })
            .collect()
    };
    let section = |name: &str, body: String| format!("0\nSECTION\n2\n{name}\n{body}0\nENDSEC\n");
    let header = section("HEADER", format!("9\n$INSUNITS\n70\n{unit}\n"));
    let blocks = section("BLOCKS", pairs(blocks));
    let entities = section("ENTITIES", pairs(entities));
    format!("{header}{blocks}{entities}0\nEOF\n")
}

fn points(lengths: &[[Length; 2]]) -> Vec<Point> {
    let at = |length: &Length| length.plain_mm().unwrap();
    lengths
        .iter()
        .map(|[x, y]| Point::new(at(x), at(y)))
        .collect()
}

fn outline(board: &Board) -> (Ring, Vec<Ring>) {
    let Some(BoardOutline::Polygon {
        points: outer,
        holes,
        ..
    }) = &board.outline
    else {
        panic!("no outline");
    };
    let holes = holes.iter().map(|hole| Ring::new(points(hole)).unwrap());
    (Ring::new(points(outer)).unwrap(), holes.collect())
}

fn size(board: &Board) -> [f64; 2] {
    let bounds = outline(board).0.bounds();
    assert!(
        bounds.min.x.abs() < 1e-9 && bounds.min.y.abs() < 1e-9,
        "{bounds:?}"
    );
    [bounds.width(), bounds.height()]
}

fn near(a: [f64; 2], b: [f64; 2]) {
    assert!(
        (a[0] - b[0]).abs() < 1e-6 && (a[1] - b[1]).abs() < 1e-6,
        "{a:?} is not {b:?}"
    );
}

fn codes(proposals: &Proposals) -> Vec<&str> {
    let told = proposals
        .diagnostics
        .iter()
        .filter(|d| d.level != Level::Note);
    told.map(|d| d.code.as_str()).collect()
}

#[test]
fn a_board_with_a_hole_and_marked_areas() {
    let read = svg(
        r#"<g id="Outline"><path d="M0 0H1800V300H0Z M900 100h50v50h-50z"/></g>
           <g id="Knots" transform="translate(100 100)"><circle r="20"/></g>
           <rect class="sap wide" x="0" y="280" width="1800" height="20"/>
           <ellipse id="nail-2" cx="500" cy="200" rx="4" ry="3"/>"#,
    );
    assert_eq!(codes(&read), [""; 0]);
    let [board] = read.boards.as_slice() else {
        panic!("{read:?}")
    };
    near(size(board), [1800.0, 300.0]);
    let (_, holes) = outline(board);
    assert_eq!(holes.len(), 1);
    // y up: what was drawn 100 from the top lies 150 to 200 from the bottom.
    near(
        [holes[0].bounds().min.y, holes[0].bounds().max.y],
        [150.0, 200.0],
    );
    let zones: Vec<(ZoneKind, &str)> = board
        .zones
        .iter()
        .map(|z| (z.kind, z.note.as_str()))
        .collect();
    assert_eq!(
        zones,
        [
            (ZoneKind::Defect, "knot"),
            (ZoneKind::Sapwood, "sap"),
            (ZoneKind::Fixing, "nail")
        ]
    );
    let Some(ZoneShape::Polygon { points: knot }) = &board.zones[0].shape else {
        panic!()
    };
    let knot = Ring::new(points(knot)).unwrap();
    assert!(
        knot.signed_area() >= core::f64::consts::PI * 400.0,
        "areas grow"
    );
    near(
        [knot.bounds().centre().x, knot.bounds().centre().y],
        [100.0, 200.0],
    );
    assert_eq!(read.names.len(), 4);
    assert_eq!(board.id, "A");
}

#[test]
fn units_are_read_or_asked_for() {
    let file = |size: &str| {
        format!(
            r#"<svg xmlns="http://www.w3.org/2000/svg" {size}><rect width="960" height="96"/></svg>"#
        )
    };
    let wide = |size: &str| match svg_said(&file(size), &Said::default()) {
        Read::Boards(read) => Some(outline(&read.boards[0]).0.bounds().width()),
        Read::AskUnit { extent } => {
            assert_eq!(extent, [960.0, 96.0]);
            None
        }
    };
    for (size, mm) in [
        (r#"width="96cm" height="9.6cm" viewBox="0 0 960 96""#, 960.0),
        (r#"width="10in" viewBox="0 0 960 96""#, 254.0),
        (r#"height="1in" viewBox="0 0 960 96""#, 254.0),
        (r#"width="960px" height="96px""#, 254.0),
        (r#"width="200mm" height="50mm""#, 254.0),
        (r#"width="960mm" height="48mm" viewBox="0 0 960 96""#, 480.0),
    ] {
        assert!(
            (wide(size).unwrap() - mm).abs() < 1e-9,
            "{size}: {:?}",
            wide(size)
        );
    }
    for size in [
        "",
        r#"width="960" height="96""#,
        r#"width="100%" viewBox="0 0 960 96""#,
    ] {
        assert_eq!(wide(size), None, "{size}");
    }
    let said = Said {
        unit: Some(FileUnit::Inches),
        ..Said::default()
    };
    let read = proposals(svg_said(&file(""), &said));
    near(size(&read.boards[0]), [960.0 * 25.4, 96.0 * 25.4]);
    let square = "LWPOLYLINE 8 0 70 1 10 0 20 0 10 30 20 0 10 30 20 4 10 0 20 4";
    for (code, mm) in [(1, 25.4), (2, 304.8), (4, 1.0), (5, 10.0), (6, 1000.0)] {
        near(
            size(&dxf(&dxf_file(code, "", square)).boards[0]),
            [30.0 * mm, 4.0 * mm],
        );
    }
    let open = read_dxf(
        &dxf_file(0, "", square),
        &Said::default(),
        &mut TakenIds::default(),
    );
    assert_eq!(
        open,
        Read::AskUnit {
            extent: [30.0, 4.0]
        }
    );
}

#[test]
fn lines_and_arcs_are_joined_and_blocks_placed() {
    let slot = "LINE 8 0 10 0 20 0 11 1000 21 0
                ARC 8 0 10 1000 20 50 40 50 50 270 51 90
                LINE 8 0 10 0 20 100 11 1000.01 21 100
                ARC 8 0 10 0 20 50 40 50 50 90 51 270";
    let read = dxf(&dxf_file(4, "", slot));
    assert_eq!(codes(&read), [""; 0]);
    near(size(&read.boards[0]), [1100.0, 100.0]);
    let block = format!("BLOCK 2 Plank 10 0 20 0\n{slot}\nENDBLK");
    let rows = "INSERT 8 Boards 2 plank 10 0 20 0 41 2 42 2 50 90 71 2 45 500";
    let read = dxf(&dxf_file(4, &block, rows));
    assert_eq!(read.boards.len(), 2);
    near(size(&read.boards[1]), [2200.0, 200.0]);
    assert_eq!(read.names[0].name, "Boards");
    let turned = read
        .diagnostics
        .iter()
        .filter(|d| d.code == "drawing-turned");
    assert_eq!(turned.count(), 2);
}

#[test]
fn bulges_swell_and_hollow() {
    // Two half circles on the ends of a square: one out, one in.
    let read = dxf(&dxf_file(
        4,
        "",
        "LWPOLYLINE 8 0 70 1 10 0 20 0 10 400 20 0 42 1 10 400 20 200 10 0 20 200 42 -1",
    ));
    let (outer, _) = outline(&read.boards[0]);
    assert!(outer.signed_area() <= 80_000.0 && outer.signed_area() > 80_000.0 * 0.999);
    // The hollow ends in two feathers; where they are thinner than the tolerance they are not promised.
    let [long, wide] = size(&read.boards[0]);
    assert!(
        long <= 500.0 && long > 497.0 && (wide - 200.0).abs() < 1e-6,
        "{long} by {wide}"
    );
}

#[test]
fn what_cannot_be_used_is_told_with_its_line() {
    let read = svg(
        "<rect width='900' height='90'/>\n<text>Oak</text>\n<image/><path d='M0 0 L5 x'/>\n<path id='crack' d='M0 0 L100 9'/><g transform='turn(3)'><rect/></g>",
    );
    let told: Vec<(&str, Option<usize>)> = read
        .diagnostics
        .iter()
        .filter(|d| d.level != Level::Note)
        .map(|d| (d.code.as_str(), d.place.line))
        .collect();
    for expected in [
        ("drawing-unusable", Some(2)),
        ("drawing-unusable", Some(3)),
        ("drawing-shape", Some(3)),
        ("drawing-open", Some(4)),
        ("drawing-transform", Some(4)),
    ] {
        assert!(told.contains(&expected), "{expected:?} is not in {told:?}");
    }
    assert_eq!(read.boards.len(), 1);
    let read = dxf(&dxf_file(
        4,
        "",
        "TEXT 8 0 1 Oak\nTEXT 8 0 1 Ash\nLINE 8 0 10 0 20 0 11 7 21 0\nINSERT 8 0 2 none 10 0 20 0\nCIRCLE 8 0 10 0 20 0 40 -1\nSPLINE 8 0 71 3 11 0 21 0",
    ));
    let mut all = codes(&read);
    all.sort_unstable();
    assert_eq!(
        all,
        [
            "drawing-block",
            "drawing-empty",
            "drawing-open",
            "drawing-radius",
            "drawing-spline",
            "drawing-unusable"
        ]
    );
    assert!(
        read.diagnostics
            .iter()
            .any(|d| d.message.contains("2 times"))
    );
}

#[test]
fn a_label_is_what_a_shape_is_called() {
    let label = r#"<svg:svg xmlns:svg="http://www.w3.org/2000/svg" xmlns:own="urn:own" width="900mm" viewBox="0 0 900 100">
        <own:view/><svg:g id="layer1" own:label="Knots"><svg:circle cx="50" cy="50" r="9"/></svg:g>
        <svg:rect id="rect7" own:label="Teak 3" width="900" height="100"/></svg:svg>"#;
    let read = proposals(svg_said(label, &Said::default()));
    assert_eq!(codes(&read), [] as [&str; 0]);
    assert_eq!(read.boards[0].name, "Teak 3");
    assert_eq!(read.boards[0].zones[0].note, "knot");
    let names: Vec<&str> = read.names.iter().map(|n| n.name.as_str()).collect();
    assert_eq!(names, ["Knots", "Teak 3"]);
}

#[test]
fn names_mean_what_one_says() {
    let body =
        r#"<rect id="red" width="900" height="90"/><circle id="blue" cx="50" cy="50" r="10"/>"#;
    let read = svg(body);
    assert_eq!(
        outline(&read.boards[0]).1.len(),
        1,
        "by its place it is a hole"
    );
    assert_eq!(read.boards[0].name, "red");
    let said = Said {
        meanings: vec![("blue".to_owned(), Meaning::Figure)],
        ..Said::default()
    };
    let read = proposals(svg_said(&format!("{HEAD}{body}</svg>"), &said));
    assert_eq!(outline(&read.boards[0]).1.len(), 0);
    assert_eq!(read.boards[0].zones[0].kind, ZoneKind::Figure);
    for (word, _, meaning) in Meaning::ALL {
        assert_eq!(Meaning::of_word(word), Some(meaning));
    }
    for (word, _, unit) in FileUnit::ALL {
        assert_eq!(FileUnit::of_word(word), Some(unit));
    }
}

#[test]
fn boards_lie_in_holes_and_holes_in_boards() {
    let rings = r#"<circle cx="1000" cy="200" r="190"/><circle cx="1000" cy="200" r="150"/>
                   <circle cx="1000" cy="200" r="100"/><circle cx="1000" cy="200" r="50"/>"#;
    let read = svg(rings);
    assert_eq!(codes(&read), [""; 0]);
    let holes: Vec<usize> = read.boards.iter().map(|b| outline(b).1.len()).collect();
    assert_eq!(holes, [1, 1]);
    assert_eq!(
        codes(&svg(r#"<circle id="hole" r="9"/>"#)),
        ["drawing-hole-outside", "drawing-empty"]
    );
    let aside = svg(r#"<rect width="90" height="9"/><circle class="knot" cx="500" r="9"/>"#);
    assert_eq!(codes(&aside), ["drawing-area-outside"]);
}

#[test]
fn nothing_is_unfolded_without_end() {
    let deep = format!(
        "{}<rect width='9' height='9'/>{}",
        "<g>".repeat(3000),
        "</g>".repeat(3000)
    );
    assert_eq!(codes(&svg(&deep)), ["drawing-depth"]);
    let itself = r##"<g id="a"><use href="#a"/><use href="#a"/></g>"##;
    assert!(matches!(
        codes(&svg(itself)).as_slice(),
        ["drawing-depth" | "drawing-too-large"]
    ));
    // What a document type declares is neither unfolded nor fetched.
    let entities = r#"<!DOCTYPE svg [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;"><!ENTITY w "90">]><svg id="&b;" width="90mm"><rect width="&w;" height="9"/></svg>"#;
    let read = proposals(svg_said(entities, &Said::default()));
    assert_eq!(codes(&read), ["drawing-shape", "drawing-empty"]);
    let outside = r#"<!DOCTYPE svg [<!ENTITY a SYSTEM "file:///etc/hosts">]><svg>&a;</svg>"#;
    assert_eq!(
        codes(&proposals(svg_said(outside, &Said::default()))),
        ["drawing-empty"]
    );
    let blocks = "BLOCK 2 a\nINSERT 2 a 10 0 20 0\nINSERT 2 a 10 0 20 0\nENDBLK";
    let read = dxf(&dxf_file(4, blocks, "INSERT 2 a 10 0 20 0"));
    assert!(matches!(
        codes(&read).as_slice(),
        ["drawing-broken" | "drawing-too-large"]
    ));
    let many = "BLOCK 2 a\nLINE 8 0 10 0 20 0 11 1 21 1\nENDBLK\nBLOCK 2 b\nINSERT 2 a 10 0 20 0 70 100 71 100\nENDBLK";
    let read = dxf(&dxf_file(4, many, "INSERT 2 b 10 0 20 0 70 100 71 100"));
    assert_eq!(codes(&read), ["drawing-too-large"]);
}

/// A good drawing of each kind with everything that is read in it.
fn good() -> [String; 2] {
    let body = r##"<!-- a board --><g id="Outline" transform="rotate(3 5 5) translate(20,10)"><path d="M0,0 C300,-40 600 40 1800 0 s50 100 0 300 q-400 30 -900 0 t-900 0 a9 150 0 0 1 0 -300z"/></g>
        <g class="knots"><circle cx="300" cy="120" r="30"/><use href="#k" x="40"/></g><defs><ellipse id="k" cx="900" cy="100" rx="3%" ry="9"/></defs>
        <polyline points="5,5 9,5 9,9 5,5"/><polygon points="100,50 200,50 150,90"/><line x1="1" y1="2" x2="3" y2="4"/><rect x="700" y="60" width="9cm" height="40" rx="9"/>"##;
    let blocks = "BLOCK 2 knot 10 1 20 1\nCIRCLE 8 knots 10 5 20 5 40 9\nENDBLK";
    let entities = "LWPOLYLINE 8 0 90 4 70 1 10 0 20 0 42 0.1 10 1000 20 0 10 1000 20 300 10 0 20 300
        POLYLINE 8 sap 70 1
        VERTEX 10 1 20 1
        VERTEX 10 900 20 1 42 0.2
        VERTEX 10 900 20 40
        SEQEND
        SPLINE 8 0 70 4 71 2 72 6 73 3 40 0 40 0 40 0 40 1 40 1 40 1 41 1 41 0.5 41 1 10 200 20 200 10 250 20 280 10 300 20 200
        LINE 8 0 10 300 20 200 11 200 21 200
        ELLIPSE 8 figure 10 500 20 100 11 40 21 3 40 0.5 41 0 42 6.283185307179586
        INSERT 8 0 2 knot 10 700 20 200 41 -1 50 30
        ARC 8 0 10 5 20 5 40 5 50 20 51 10";
    [format!("{HEAD}{body}</svg>"), dxf_file(4, blocks, entities)]
}

/// What is read of bytes, however broken: boards, a question, or a word that says what to do.
fn answers(bytes: &[u8]) {
    for reader in [read_svg, read_dxf] {
        if let Read::Boards(read) =
            reader(&text_of(bytes), &Said::default(), &mut TakenIds::default())
        {
            let refused = read
                .diagnostics
                .iter()
                .any(|d| d.level == Level::Error && d.message.len() > 10 && d.hint.is_some());
            assert!(refused || !read.boards.is_empty());
        }
    }
}

#[test]
fn drawings_that_end_too_soon_say_so() {
    let [svg_file, dxf_file] = good();
    for (text, reader) in [
        (svg_file, read_svg as fn(&str, &Said, &mut TakenIds) -> Read),
        (dxf_file, read_dxf),
    ] {
        let whole = proposals(reader(&text, &Said::default(), &mut TakenIds::default()));
        assert!(!whole.boards.is_empty(), "{:?}", whole.diagnostics);
        // In the middle of the header and of every element, at 60 places.
        for k in 0..60 {
            let cut = text.len() * k / 60;
            answers(&text.as_bytes()[..cut]);
            if text.starts_with('<') {
                let read = svg_said(&text[..cut], &Said::default());
                assert_eq!(codes(&proposals(read)), ["drawing-broken"]);
            }
        }
    }
}

#[test]
fn files_of_other_kinds_are_refused_with_a_word() {
    for bytes in [
        &b""[..],
        b"\x89PNG\r\n\x1a\n\0\0",
        b"%PDF-1.7",
        b"<html><body/></html>",
        b"name,length\nA,3",
        b"0\nSECTION\n2\nHEADER\n0\nENDSEC\n0\nEOF\n",
        b"\xff\xfe<\0s\0",
        b"0\nEOF",
        b"<svg/>",
        b"999\nremark\n0\nSECTION\n2\nENTITIES\n0\nENDSEC\n0\nEOF",
        b"0\nSECTION\n2\nENTITIES\n0\nLINE\n10\nx\n20\n0\n11\n1\n21\n1\n0\nENDSEC",
        b"0\nSECTION\n2\nENTITIES\n0\nCIRCLE\n10\n1e999\n20\n0\n40\n1\n0\nENDSEC",
    ] {
        answers(bytes);
    }
}

proptest! {
    /// Bytes changed, dropped, doubled or moved in a good file never end in a panic.
    #[test]
    fn broken_drawings_are_answered(
        which in 0..2_usize,
        changes in proptest::collection::vec((0.0..1.0_f64, 0..5_u8, any::<u8>()), 1..8),
    ) {
        let mut bytes = good()[which].clone().into_bytes();
        for (place, how, byte) in changes {
            let at = (bytes.len() as f64 * place) as usize;
            match how {
                0 => bytes[at] = byte,
                1 => { bytes.remove(at); }
                2 => bytes.insert(at, b"0123456789-.eE<>\"\n/ "[usize::from(byte) % 20]),
                3 => {
                    let end = (at + usize::from(byte)).min(bytes.len());
                    let piece = bytes[at..end].to_vec();
                    bytes.splice(at..at, piece);
                }
                _ => {
                    let end = (at + usize::from(byte)).min(bytes.len());
                    bytes.drain(at..end);
                }
            }
            prop_assume!(!bytes.is_empty());
        }
        answers(&bytes);
    }

    /// Straight lines that lean inwards lie within those that lean outwards, the curve in between,
    /// and none further from it than allowed.
    #[test]
    fn curves_become_straight_on_the_safe_side(
        radii in proptest::collection::vec(200.0..600.0_f64, 3..9),
        weights in proptest::collection::vec(0.3..4.0_f64, 3..9),
        degree in 2..4_usize,
    ) {
        // A closed spline round the origin whose knots are evenly spaced.
        let count = radii.len().max(degree + 1);
        let control: Vec<[f64; 3]> = (0..count + degree)
            .map(|k| k % count)
            .map(|k| {
                let (sin, cos) = heartside_geometry::math::sin_cos_deg(360.0 * k as f64 / count as f64);
                let (r, w) = (radii[k % radii.len()], weights[k % weights.len()]);
                [r * cos * w, r * sin * w, w]
            })
            .collect();
        let knots: Vec<f64> = (0..control.len() + degree + 1).map(|k| k as f64).collect();
        let curves = spline(degree, &knots, &control).unwrap();
        prop_assert_eq!(curves.len(), count);
        let straight = |lean, tolerance| {
            let mut points = Vec::new();
            assert!(curves.iter().all(|c| c.straighten(lean, tolerance, &mut points)));
            Ring::new(points)
        };
        // Rarely it crosses itself.
        let (Ok(inner), Ok(outer)) = (straight(Lean::Left, 0.05), straight(Lean::Right, 0.05)) else {
            return Err(TestCaseError::reject("crosses itself"));
        };
        prop_assert!(inner.signed_area() <= outer.signed_area());
        let mut fine = Vec::new();
        prop_assert!(curves.iter().all(|c| c.straighten(Lean::Left, 0.0005, &mut fine)));
        let gap = |ring: &Ring, p: Point| ring.edges().map(|(a, b)| p.distance_to_segment(a, b)).fold(f64::MAX, f64::min);
        for p in fine.iter().step_by(7) {
            let within = inner.locate(*p) != Location::Inside || gap(&inner, *p) < 6e-4;
            prop_assert!(within, "{p:?} lies within the inner line by {}", gap(&inner, *p));
            prop_assert!(outer.locate(*p) != Location::Outside || gap(&outer, *p) < 6e-4);
            prop_assert!(gap(&inner, *p) < 0.0506 && gap(&outer, *p) < 0.0506);
        }
    }

    /// Ovals turned and sheared have their area.
    #[test]
    fn ovals_have_their_area(
        across in 50.0..500.0_f64, up in 50.0..500.0_f64, shear in -300.0..300.0_f64, start in -400.0..400.0_f64,
    ) {
        let (x, y) = (heartside_geometry::Vector::new(across, 0.0), heartside_geometry::Vector::new(shear, up));
        let curves = oval(Point::new(7.0, -3.0), x, y, start, 360.0);
        let mut points = Vec::new();
        prop_assert!(curves.iter().all(|c| c.straighten(Lean::Left, 1e-3, &mut points)));
        let area = Ring::new(points).unwrap().signed_area();
        let exact = core::f64::consts::PI * across * up;
        prop_assert!(area <= exact * (1.0 + 1e-9) && area > exact * 0.9995, "{area} is not {exact}");
    }

    /// Rectangles written out in any unit come back with their sizes, whichever way they lie.
    #[test]
    fn rectangles_keep_their_sizes(
        long in 300.0..4000.0_f64, share in 0.05..0.95_f64, x in -900.0..900.0_f64, y in -900.0..900.0_f64,
        upright in any::<bool>(), unit in 0..5_usize,
    ) {
        let wide = long * share;
        let (w, h) = if upright { (wide, long) } else { (long, wide) };
        let (code, mm, word) = [(1, 25.4, "in"), (4, 1.0, "mm"), (5, 10.0, "cm"), (4, 1.0, "mm"), (1, 25.4, "in")][unit];
        let (w, h, x, y) = (w / mm, h / mm, x / mm, y / mm);
        let (r, t) = (x + w, y + h);
        let drawn = format!("LINE 8 0 10 {x} 20 {y} 11 {r} 21 {y}\nLINE 8 0 10 {x} 20 {t} 11 {x} 21 {y}\nLINE 8 0 10 {r} 20 {t} 11 {x} 21 {t}\nLINE 8 0 10 {r} 20 {t} 11 {r} 21 {y}");
        let read = dxf(&dxf_file(code, "", &drawn));
        near(size(&read.boards[0]), [long, wide]);
        let page = format!(r#"<svg width="100{word}" height="100{word}" viewBox="0 0 100 100"><rect x="{x}" y="{y}" width="{w}" height="{h}"/></svg>"#);
        near(size(&proposals(svg_said(&page, &Said::default())).boards[0]), [long, wide]);
    }
}
