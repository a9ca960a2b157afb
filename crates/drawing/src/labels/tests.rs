use std::collections::BTreeMap;

use heartside_geometry::{Bounds, Point};
use heartside_testkit::{by_hand, panel_job};
use heartside_timber::document::{BoardCopy, Faces, Hand};
use heartside_timber::grain::GrainField;
use heartside_timber::job::{Origin, StaveOf};
use heartside_timber::length::DisplayUnits;
use heartside_timber::plan::{Layout, Placed, Placement, Plan};
use heartside_timber::prepare::prepare;
use proptest::prelude::*;

use super::*;
use crate::document::Drawing;
use crate::printed::{EDGE, LEAST_PRINTED};
use crate::room::overlaps;

const MM: fn() -> DisplayUnits = DisplayUnits::default;

/// The words of a page with the sizes of their type.
fn texts(page: &Drawing) -> Vec<(String, f64)> {
    let pieces = page.svg.split("<text ").skip(1);
    let texts = pieces.map(|piece| {
        let size = piece.split("font-size=\"").nth(1).expect("a size");
        let size = size.split('"').next().expect("a number");
        let words = piece.split('>').nth(1).expect("words");
        let words = words.split('<').next().unwrap_or_default();
        (words.to_owned(), size.parse().expect("a number"))
    });
    texts.collect()
}

fn labels(count: usize) -> Vec<Label> {
    let one = |k: usize| Label {
        name: format!("Part no. {k}"),
        facts: vec![
            "742 × 56 → 32".into(),
            "25 mm thick".into(),
            "board C".into(),
        ],
        grain_is_across: Some(k.is_multiple_of(2)),
        seen: (k.is_multiple_of(3), true),
    };
    (1..=count).map(one).collect()
}

#[test]
fn three_hundred_labels_stand_once_each_from_any_place_of_a_begun_sheet() {
    for (grid, first) in [
        (COMMON_GRIDS[0], 1),
        (COMMON_GRIDS[4], 65),
        (COMMON_GRIDS[6], 17),
    ] {
        let print = LabelPrint {
            grid,
            first,
            cut_lines: false,
        };
        let labels = labels(300);
        let pages = label_sheets(&labels, &print, &MM()).expect("a sound grid");
        assert_eq!(pages.len(), (first - 1 + 300).div_ceil(grid.on_a_sheet()));
        let mut seen: BTreeMap<String, usize> = BTreeMap::new();
        for words in pages.iter().flat_map(texts) {
            *seen.entry(words.0).or_default() += 1;
        }
        assert!(labels.iter().all(|l| seen.get(&l.name) == Some(&1)));
        // The places of the labels that are gone stay empty.
        let before = (0..first - 1).map(|at| grid.place(at).grown(-0.1));
        for place in before {
            assert!(!pages[0].labels.iter().any(|own| overlaps(own, &place)));
        }
        let place = grid.place(first - 1);
        assert!(place.contains_bounds(&pages[0].labels[0]));
    }
}

#[test]
fn common_grids_are_sound_and_lie_in_the_middle_of_their_paper() {
    for grid in COMMON_GRIDS {
        assert_eq!(grid.checked(&MM()), Ok(()), "{grid:?}");
        let last = grid.place(grid.on_a_sheet() - 1).max;
        assert!(
            (grid.left - (grid.paper.0 - last.x)).abs() < 0.02,
            "{grid:?}"
        );
        assert!(
            (grid.top - (grid.paper.1 - last.y)).abs() < 0.02,
            "{grid:?}"
        );
    }
}

#[test]
fn what_cannot_be_printed_is_said_with_what_to_do() {
    let good = COMMON_GRIDS[0];
    let refused = |grid: LabelGrid| grid.checked(&MM()).expect_err("a faulty grid").to_string();
    let wide = refused(LabelGrid {
        label: (70.0, 38.1),
        ..good
    });
    assert_eq!(
        wide,
        "3 columns end 222.3 mm from the edge, and the paper is only 210 mm wide: make labels, gaps or the margin smaller."
    );
    let high = LabelGrid { rows: 8, ..good };
    assert!(refused(high).contains("only 297 mm high"));
    let both = LabelGrid { columns: 4, ..high };
    assert_eq!(both.checked(&MM()).expect_err("faulty").0.len(), 2);
    for none in [
        LabelGrid { rows: 0, ..good },
        LabelGrid {
            columns: usize::MAX,
            ..good
        },
        LabelGrid { left: -1.0, ..good },
        LabelGrid {
            gap_down: f64::NAN,
            ..good
        },
        LabelGrid {
            label: (f64::INFINITY, 20.0),
            ..good
        },
    ] {
        assert!(!refused(none).is_empty());
    }
    let small = LabelGrid {
        label: (12.0, 6.0),
        ..good
    };
    assert!(refused(small).contains("no room for words of 6 points"));
    let begun = LabelPrint {
        grid: good,
        first: 22,
        cut_lines: false,
    };
    let told = label_sheets(&labels(1), &begun, &MM()).expect_err("a sheet has 21");
    assert_eq!(
        told.to_string(),
        "A sheet has 21 labels: begin with one from 1 to 21, not 22."
    );
    let inches = DisplayUnits::inches(heartside_timber::length::InchFraction::Sixteenths);
    let wide = LabelGrid { columns: 4, ..good }
        .checked(&inches)
        .expect_err("faulty");
    assert!(!wide.to_string().contains("mm"), "{wide}");
}

#[test]
fn a_label_says_where_its_part_comes_from_and_which_way_it_lies() {
    let mut part = by_hand::part("rail", 3, by_hand::rectangle(700.0, 80.0));
    part.name = "Rail".into();
    part.tenon = (30.0, 0.0);
    let board = by_hand::board("B", by_hand::rectangle(2000.0, 200.0), |_, _| {
        Default::default()
    });
    let job = by_hand::job(vec![board], vec![part]);
    let lying = |copy, turned_over| Placement {
        part: "rail".into(),
        copy,
        at: Placed {
            turned_over,
            ..Placed::default()
        },
        ..Placement::default()
    };
    let layout = Layout {
        board: BoardCopy {
            board: "B".into(),
            copy: 1,
        },
        way: Default::default(),
        frame: Default::default(),
        placements: vec![lying(1, false), lying(2, true)],
        cuts: None,
    };
    let plan = Plan {
        layouts: vec![layout],
        ..Plan::default()
    };
    let made = part_labels(&job, &plan);
    let names: Vec<&str> = made.iter().map(|l| l.name.as_str()).collect();
    assert_eq!(names, ["Rail 1", "Rail 2", "Rail 3"]);
    let facts = [
        "700 × 80",
        "25 mm thick",
        "board B",
        "tenon 30 mm left",
        "seen face up",
    ];
    assert_eq!(made[0].facts, facts);
    assert_eq!((made[0].seen, made[1].seen), ((true, false), (false, true)));
    assert_eq!(made[1].facts[4], "seen face underneath");
    assert_eq!(made[2].facts[2], "no board yet");
    assert_eq!(made[0].grain_is_across, Some(false));
    let mut hidden = job.clone();
    hidden.parts[0].faces = Faces::Painted;
    hidden.parts[0].stave = Some(StaveOf {
        panel: 7,
        copy: 1,
        number: 1,
        piece: 0,
        share: 1.0,
    });
    assert_eq!(part_labels(&hidden, &plan)[0].facts[4], "painted");
}

#[test]
fn an_offcut_tells_its_grain_and_a_panel_has_a_label_of_its_own() {
    let grain = |angle, lines: &[Vec<Point>]| {
        let mut board = by_hand::board("B", by_hand::rectangle(2000.0, 200.0), |_, _| {
            Default::default()
        });
        board.grain = GrainField::bent(angle, lines, board.outline.bounds());
        let root = BoardCopy {
            board: "A".into(),
            copy: 1,
        };
        board.from = Some(Origin {
            done: 0,
            side: Hand::Left,
            root,
            holds: None,
            leaves: Vec::new(),
            measured: false,
        });
        let job = by_hand::job(vec![board], Vec::new());
        let labels = offcut_labels(&job, &Plan::default(), &[], "");
        labels.first().map(|label| label.grain_is_across)
    };
    assert_eq!(grain(3.0, &[]), Some(Some(false)));
    assert_eq!(grain(-95.0, &[]), Some(Some(true)));
    assert_eq!(grain(45.0, &[]), Some(None));
    let bent = [0.0, 900.0, 1900.0].map(|x| Point { x, y: x * x / 3e4 });
    assert_eq!(grain(0.0, &[bent.to_vec()]), Some(None));

    let prepared = prepare(&panel_job(5));
    let job = &prepared.job;
    let labels = panel_labels(job);
    assert_eq!(labels.len(), job.panels[0].copies.len());
    let staves = job.panels[0].copies[0].staves.len();
    assert_eq!(labels[0].name, "Top");
    assert!(
        labels[0]
            .facts
            .contains(&format!("glued up from {staves} staves")),
        "{labels:?}"
    );
    assert_eq!(labels[0].grain_is_across, Some(false));
}

/// Words as makers and mischief write them.
fn words() -> impl Strategy<Value = String> {
    prop_oneof![
        4 => "[A-Za-z]{1,9}( [a-z0-9]{1,9}){0,4}",
        1 => "\\PC{0,24}",
        1 => Just("=cmd|'/c calc'!A1".to_owned()),
        1 => Just("</svg><script>alert(1)</script>".to_owned()),
        1 => Just("a\nb\t\u{202e}\"c\",;../".to_owned()),
        1 => Just("שולחן 🪵 テーブル".to_owned()),
        1 => Just("w".repeat(300)),
    ]
}

fn any_label() -> impl Strategy<Value = Label> {
    let facts = prop::collection::vec(words(), 0..9);
    let signs = (any::<Option<bool>>(), any::<(bool, bool)>());
    (words(), facts, signs).prop_map(|(name, facts, (grain_is_across, seen))| Label {
        name,
        facts,
        grain_is_across,
        seen,
    })
}

/// Grids whose labels fill the paper with gaps, some of them in what printers leave white.
fn any_grid() -> impl Strategy<Value = LabelGrid> {
    let count = (1_usize..12, 1_usize..6);
    let gaps = (0.0..6.0_f64, 0.0..6.0_f64, 0.0..9.0_f64, 0.0..9.0_f64);
    (count, gaps, any::<bool>()).prop_map(|((rows, columns), (across, down, left, top), is_a4)| {
        let paper = if is_a4 {
            (210.0, 297.0)
        } else {
            (215.9, 279.4)
        };
        let each = |long: f64, margin: f64, count: usize, gap: f64| {
            (long - 2.0 * margin + gap) / count as f64 - gap
        };
        LabelGrid {
            paper,
            rows,
            columns,
            label: (
                each(paper.0, left, columns, across),
                each(paper.1, top, rows, down),
            ),
            left,
            top,
            gap_across: across,
            gap_down: down,
        }
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    #[test]
    fn words_stay_on_their_label_and_apart_whatever_they_say(
        grid in any_grid(),
        labels in prop::collection::vec(any_label(), 1..40),
        begun in any::<prop::sample::Index>(),
        cut_lines: bool,
    ) {
        let first = begun.index(grid.on_a_sheet()) + 1;
        let print = LabelPrint { grid, first, cut_lines };
        let pages = label_sheets(&labels, &print, &MM()).expect("a sound grid");
        prop_assert_eq!(pages.len(), (first - 1 + labels.len()).div_ceil(grid.on_a_sheet()));
        let reached = Bounds::of_size(grid.paper.0, grid.paper.1).grown(-EDGE + 1e-6);
        let places: Vec<Bounds> = (0..grid.on_a_sheet()).map(|at| grid.place(at)).collect();
        for page in &pages {
            for (k, own) in page.labels.iter().enumerate() {
                prop_assert!(reached.contains_bounds(own), "{:?}", own);
                prop_assert!(places.iter().any(|place| place.grown(1e-6).contains_bounds(own)));
                let is_apart = |b: &Bounds| !overlaps(&b.grown(-1e-6), &own.grown(-1e-6));
                prop_assert!(page.labels[..k].iter().all(is_apart));
            }
            for (_, size) in texts(page) {
                prop_assert!(size >= LEAST_PRINTED - 0.001, "{}", size);
            }
            // Black on white: of the classes with a colour only that of ink.
            let drawn = page.svg.split("</style>").nth(1).expect("a drawing");
            let classes = drawn.split("class=\"").skip(1).map(|c| c.split('"').next());
            for class in classes.flatten() {
                prop_assert!(["hs", "hs-paper", "hs-label", "hs-name", "hs-ink"].contains(&class), "{}", class);
            }
            let lines = drawn.split("<path class=\"hs-ink\" d=\"M").skip(1);
            for line in lines.filter_map(|d| d.split('"').next()).filter(|d| !d.contains('C')) {
                for pair in line.split('L') {
                    let (x, y) = pair.split_once(',').expect("a place");
                    let p = Point { x: x.parse().expect("x"), y: y.parse().expect("y") };
                    prop_assert!(reached.grown(0.001).contains(p), "{:?}", p);
                }
            }
        }
    }
}
