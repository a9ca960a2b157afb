//! Files by kind, as the page asks for them.

use std::collections::BTreeSet;

use super::*;

const KINDS: [FileKind; 6] = [
    FileKind::Pages,
    FileKind::Labels,
    FileKind::Templates,
    FileKind::Csv,
    FileKind::Dxf,
    FileKind::Svg,
];

fn wanted() -> FilesWanted {
    FilesWanted {
        kinds: KINDS.to_vec(),
        texts: true,
        grid: "plain".into(),
        date: "30 November 2026".into(),
        ..FilesWanted::default()
    }
}

/// A plan by hand: rectangles, and a gusset, which has a template.
fn planned() -> Session {
    opened(
        r#"{"format": "heartside-job", "version": 3, "title": "Stool", "boards": [{"id": "A",
        "species": "oak", "thickness": 27, "outline": {"form": "tape", "length": 1800,
            "stations": [{"at": 0, "left": 280, "right": 0}]}}],
        "parts": [{"id": "rail", "name": "Rail", "count": 3, "thickness": 20,
            "shape": {"form": "rectangle", "length": 300, "width": 80}},
            {"id": "gusset", "thickness": 20, "cut": "sawn",
            "shape": {"form": "polygon", "points": [[0, 0], [320, 0], [0, 160]]}}],
        "plan": {"layouts": [{"board": "A", "copy": 1, "way": "sawn", "placements": [
            {"part": "rail", "copy": 1, "x": 20, "y": 20},
            {"part": "rail", "copy": 2, "x": 350, "y": 20},
            {"part": "rail", "copy": 3, "x": 680, "y": 20},
            {"part": "gusset", "copy": 1, "x": 1100, "y": 40}]}], "unplaced": []}}"#,
    )
}

fn fields(out: &FilesOut) -> Vec<(&str, FileKind)> {
    let wrong = out.wrong.iter();
    wrong.map(|w| (w.field.as_str(), w.kind)).collect()
}

#[test]
fn a_plan_leaves_in_every_kind_that_is_wanted() {
    let mut session = planned();
    let out = session.files_out(&wanted());
    assert_eq!(out.wrong, []);
    assert_eq!(out.name, "Stool-files.zip");
    let names: BTreeSet<&str> = out.files.iter().map(|f| f.name.as_str()).collect();
    assert_eq!(names.len(), out.files.len());
    for kind in KINDS {
        assert!(out.files.iter().any(|f| f.kind == kind), "{kind:?}");
    }
    let mut templates = out.files.iter().filter(|f| f.kind == FileKind::Templates);
    assert!(templates.all(|f| f.text.contains("30 November 2026")));
    let again = FilesWanted {
        kinds: vec![FileKind::Csv],
        between: BetweenCells::Semicolons,
        ..wanted()
    };
    let lists = session.files_out(&again).files;
    assert_eq!(lists.len(), 5);
    assert!(
        lists
            .iter()
            .all(|f| f.text.starts_with('\u{feff}') && f.text.contains(';'))
    );
    let named = session.files_out(&FilesWanted {
        texts: false,
        ..wanted()
    });
    assert!(named.files.iter().all(|f| f.text.is_empty()));
    assert_eq!(named.files.len(), out.files.len());
    session.set(&job(), "title", "../\u{202e}</svg>\"");
    let name = session.files_out(&wanted()).name;
    assert!(
        name.bytes()
            .all(|b| b.is_ascii_alphanumeric() || b"-.".contains(&b)),
        "{name}"
    );
    assert!(Session::default().files_out(&wanted()).files.is_empty());
}

fn job() -> Thing {
    Thing {
        kind: ThingKind::Job,
        ..Thing::default()
    }
}

#[test]
fn what_is_typed_for_paper_is_read_or_told_beside_its_field() {
    let session = planned();
    let asked = |change: fn(&mut FilesWanted)| {
        let mut all = wanted();
        change(&mut all);
        session.files_out(&all)
    };
    let labels = || FilesWanted {
        kinds: vec![FileKind::Labels],
        ..wanted()
    };
    // Every usual sheet does, on each paper; one that a paper does not know is plain paper.
    for paper in [Paper::A4, Paper::A3, Paper::Letter] {
        let all = session.files_out(&FilesWanted { paper, ..labels() });
        for grid in all.grids.iter().map(|g| g.value.clone()) {
            let own = FilesWanted {
                paper,
                grid: grid.clone(),
                ..labels()
            };
            let out = session.files_out(&own);
            assert_eq!((out.wrong.len(), &out.grid), (0, &grid));
            // Its measures, typed, are the same sheet.
            let typed = FilesWanted {
                measures: out.measures.clone(),
                grid: "own".into(),
                ..own
            };
            assert_eq!(session.files_out(&typed).measures, out.measures);
        }
    }
    assert_eq!(asked(|w| w.grid = "99x99".into()).grid, "plain");
    let begun = asked(|w| w.first = " 11 ".into());
    let all = asked(|_| ());
    let on = |out: &FilesOut, k: usize| {
        let sheets = out.files.iter().filter(|f| f.kind == FileKind::Labels);
        sheets.map(|f| f.text.matches("hs-label").count()).nth(k)
    };
    // The style names it, too.
    assert_eq!(on(&all, 0), on(&begun, 0).map(|count| count + 2));
    let wrong = asked(|w| w.first = "13".into());
    assert_eq!(fields(&wrong), [("first", FileKind::Labels)]);
    assert!(wrong.wrong[0].words.contains("1 to 12"), "{wrong:?}");
    assert!(wrong.files.iter().any(|f| f.kind == FileKind::Pages));
    assert!(wrong.files.iter().all(|f| f.kind != FileKind::Labels));
    let typed = asked(|w| {
        w.grid = "own".into();
        w.measures = ["ten", "3", "60", "2,6 cm", "-1", "", "", "gap"]
            .map(str::to_owned)
            .into();
        w.overlap = "a bit".into();
    });
    let told = ["0", "4", "7"].map(|field| (field, FileKind::Labels));
    assert_eq!(fields(&typed)[..3], told);
    assert_eq!(fields(&typed)[3], ("overlap", FileKind::Templates));
    assert_eq!(typed.on_a_sheet, 0);
    let wide = asked(|w| {
        w.grid = "own".into();
        w.measures = ["10", "3", "90", "26"].map(str::to_owned).into();
    });
    assert_eq!(fields(&wide), [("grid", FileKind::Labels)]);
    assert_eq!(
        fields(&asked(|w| w.overlap = "400".into())),
        [("overlap", FileKind::Templates)]
    );
}
