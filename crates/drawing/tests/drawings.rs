//! Every kind of drawing of the invented sample job: sound XML, true measure, labels apart.

#![allow(clippy::unwrap_used)]

use crate::sample;
use crate::svg_read;

use std::collections::BTreeSet;

use heartside_drawing::{
    Drawing, OnTheFloor, Options, Paper, Theme, View, board_svg, floor, held_part, overview_svg,
    sheets, trestle,
};
use heartside_geometry::{Bounds, Point, Region, Ring};
use heartside_timber::document::{BoardCopy, PartCopy};
use heartside_timber::job::Job;
use heartside_timber::length::{DisplayUnits, InchFraction};
use heartside_timber::plan::{Layout, Placed, Placement, Plan};
use proptest::prelude::*;
use svg_read::{Text, attribute, read, span, texts_of};

fn copy(id: &str) -> BoardCopy {
    BoardCopy {
        board: id.into(),
        copy: 1,
    }
}

/// All drawings of a job that stand alone.
fn all(job: &Job, plan: &Plan) -> Vec<Drawing> {
    let steps = heartside_cutting::steps(job, plan);
    let findings = sample::findings();
    let mut drawings = Vec::new();
    for theme in [Theme::Light, Theme::Dark, Theme::Print, Theme::Screen] {
        let options = Options {
            theme,
            date: "25 November 2026",
            findings: Some(&findings),
            ..Options::default()
        };
        drawings.extend(
            job.boards
                .iter()
                .filter_map(|b| board_svg(job, plan, &copy(&b.id), &steps, &options)),
        );
        drawings.push(overview_svg(job, plan, &steps, &options));
        for paper in [Paper::A4, Paper::Letter] {
            drawings.extend(sheets(job, plan, &steps, paper, &options));
        }
    }
    drawings
}

fn assert_apart(labels: &[Bounds], what: &str) {
    for (place, a) in labels.iter().enumerate() {
        for b in &labels[..place] {
            let apart = a.min.x >= b.max.x - 1e-6
                || b.min.x >= a.max.x - 1e-6
                || a.min.y >= b.max.y - 1e-6
                || b.min.y >= a.max.y - 1e-6;
            assert!(apart, "{what}: labels overlap: {a:?} and {b:?}");
        }
    }
}

#[test]
fn every_drawing_is_sound_xml_with_ids_of_its_own() {
    for drawing in all(&sample::job(), &sample::plan()) {
        let (_, ids) = read(&drawing.svg);
        assert_eq!(
            ids.len(),
            ids.iter().collect::<BTreeSet<_>>().len(),
            "{}",
            drawing.name
        );
        assert!(
            drawing
                .name
                .chars()
                .all(|c| c.is_ascii_alphanumeric() || c == '-' || c == '_')
        );
    }
}

#[test]
fn no_two_labels_overlap_and_none_is_missing() {
    let (job, plan) = (sample::job(), sample::plan());
    for drawing in all(&job, &plan) {
        assert_apart(&drawing.labels, &drawing.name);
    }
    let steps = heartside_cutting::steps(&job, &plan);
    for layout in &plan.layouts {
        let drawing = board_svg(&job, &plan, &layout.board, &steps, &Options::default()).unwrap();
        let (texts, _) = read(&drawing.svg);
        for placement in &layout.placements {
            let name = job.part(&placement.part).unwrap().copy_name(placement.copy);
            assert!(texts.iter().any(|t| t.trim() == name), "{name} is missing");
        }
        for step in steps.iter().filter(|s| s.board == layout.board) {
            assert!(
                texts.contains(&step.number.to_string()),
                "cut {} has no number",
                step.number
            );
        }
    }
}

#[test]
fn a_board_broken_down_shows_its_cuts_and_names_its_pieces_as_the_steps_do() {
    let (job, plan) = (sample::job(), sample::broken_down());
    for drawing in all(&job, &plan) {
        assert_apart(&drawing.labels, &drawing.name);
    }
    let steps = heartside_cutting::steps(&job, &plan);
    let drawing = board_svg(&job, &plan, &copy("C"), &steps, &Options::default()).unwrap();
    let (texts, _) = read(&drawing.svg);
    for piece in ["piece C1", "piece C3"] {
        assert_eq!(texts.iter().filter(|t| t.trim() == piece).count(), 1);
        assert!(steps.iter().any(|s| s.workpiece == piece));
    }
    // The first is cut on and has no name of its own to be sawn from.
    assert!(!texts.iter().any(|t| t.trim() == "piece C2"));
    let of_c = || steps.iter().filter(|s| s.board.board == "C");
    for step in of_c() {
        assert!(texts.contains(&step.number.to_string()));
    }
    let kerfs = drawing.svg.matches("class=\"hs-kerf\"").count();
    assert_eq!(kerfs, of_c().filter(|s| !s.band.is_empty()).count());
}

/// A board of 1000 mm with one part, and its plan.
fn plain(length: f64, name: &str) -> (Job, Plan) {
    let mut job = sample::job();
    job.boards = vec![job.boards[1].clone()];
    job.boards[0].outline = Region::rectangle(Bounds {
        min: Point { x: 0.0, y: 0.0 },
        max: Point {
            x: length,
            y: 190.0,
        },
    })
    .unwrap();
    job.parts.retain(|p| p.id == "front");
    job.parts[0].name = name.into();
    job.pins.clear();
    let at = Placed {
        x: 30.0,
        y: 4.0,
        turn: 0.0,
        turned_over: false,
    };
    let layout = Layout {
        board: copy("B"),
        way: heartside_timber::plan::Way::Straight,
        frame: Default::default(),
        placements: vec![Placement {
            part: "front".into(),
            copy: 1,
            at,
            ..Placement::default()
        }],
        cuts: None,
    };
    (
        job,
        Plan {
            layouts: vec![layout],
            ..Plan::default()
        },
    )
}

#[test]
fn drawings_measure_true() {
    let (job, plan) = plain(1000.0, "Front");
    let drawing = board_svg(&job, &plan, &copy("B"), &[], &Options::default()).unwrap();
    assert_eq!(span(&drawing.svg, "hs-wood"), (0.0, 1000.0));
    assert_eq!(
        span(&drawing.svg, "hs-blank").1 - span(&drawing.svg, "hs-blank").0,
        580.0
    );
    // One unit is one millimetre.
    let view: Vec<f64> = attribute(&drawing.svg, "viewBox")
        .split(' ')
        .map(|v| v.parse().unwrap())
        .collect();
    assert_eq!(attribute(&drawing.svg, "width"), format!("{}mm", view[2]));
    assert_eq!(attribute(&drawing.svg, "height"), format!("{}mm", view[3]));
    assert!((drawing.width_mm - view[2]).abs() < 1e-3);
}

#[test]
fn sheets_keep_the_scale_they_state() {
    let (job, plan) = plain(1000.0, "Front");
    for (paper, width) in [(Paper::A4, 297.0), (Paper::Letter, 279.4)] {
        let pages = sheets(&job, &plan, &[], paper, &Options::default());
        assert_eq!(pages[0].title, "All boards");
        let svg = &pages[1].svg;
        assert_eq!(attribute(svg, "width"), format!("{width}mm"));
        let stated: f64 = svg
            .split("scale 1:")
            .nth(1)
            .unwrap()
            .split([' ', '<'])
            .next()
            .unwrap()
            .parse()
            .unwrap();
        let used: f64 = svg
            .split(") scale(")
            .nth(1)
            .unwrap()
            .split(')')
            .next()
            .unwrap()
            .parse()
            .unwrap();
        assert!(
            (used * stated - 1.0).abs() < 1e-6,
            "{used} against 1:{stated}"
        );
        assert_eq!(span(svg, "hs-wood"), (0.0, 1000.0));
    }
}

#[test]
fn running_dimensions_name_every_side_of_every_blank() {
    let (job, plan) = (sample::job(), sample::plan());
    let steps = heartside_cutting::steps(&job, &plan);
    let drawing = board_svg(&job, &plan, &copy("A"), &steps, &Options::default()).unwrap();
    let (texts, _) = read(&drawing.svg);
    for along in [
        "0", "20", "1100", "1240", "2320", "1840", "1843", "2253", "2400",
    ] {
        assert!(texts.iter().any(|t| t == along), "{along} is not marked");
    }
    for across in ["88 R", "3 L", "91 L", "69 L"] {
        assert!(texts.iter().any(|t| t == across), "{across} is not marked");
    }
    assert!(texts.iter().any(|t| t == "0 along:") && texts.iter().any(|t| t == "0 across:"));
}

#[test]
fn running_dimensions_are_whole_millimetres() {
    let (job, mut plan) = (sample::job(), sample::plan());
    let on_a = plan.layouts.iter_mut().find(|l| l.board == copy("A"));
    for placement in &mut on_a.expect("A is cut").placements {
        placement.at.x += 0.3;
        placement.at.y += 0.3;
    }
    let drawing = board_svg(&job, &plan, &copy("A"), &[], &Options::default()).unwrap();
    let (texts, _) = read(&drawing.svg);
    let is_broken = |t: &&String| {
        let number = t.trim_end_matches([' ', 'L', 'R']).parse::<f64>();
        number.is_ok_and(|mm| mm.fract() != 0.0)
    };
    let broken: Vec<&String> = texts.iter().filter(is_broken).collect();
    assert!(broken.is_empty(), "{broken:?}");
    assert!(texts.iter().any(|t| t == "1100") && texts.iter().any(|t| t == "91 L"));
}

#[test]
fn no_text_lies_on_another_and_no_number_on_a_word() {
    let (job, plan) = (sample::job(), sample::plan());
    let mut pairs = 0;
    for (job, plan) in [
        (job.clone(), plan),
        plain(1000.0, "Front"),
        (job, sample::broken_down()),
    ] {
        for drawing in all(&job, &plan) {
            let texts = texts_of(&drawing.svg);
            for (k, a) in texts.iter().enumerate() {
                for b in &texts[..k] {
                    pairs += 1;
                    let (p, q) = (a.bounds.grown(-1e-3), b.bounds);
                    let apart = p.max.x <= q.min.x
                        || q.max.x <= p.min.x
                        || p.max.y <= q.min.y
                        || q.max.y <= p.min.y;
                    assert!(
                        apart,
                        "{}: {:?} lies on {:?} ({})",
                        drawing.name,
                        a.content,
                        b.content,
                        a.in_bubble || b.in_bubble
                    );
                }
            }
        }
    }
    assert!(pairs > 1000);
}

#[test]
fn printed_sheets_are_read_at_arms_length_and_ticked() {
    let findings = sample::findings();
    for (job, plan) in [
        (sample::job(), sample::plan()),
        plain(420.0, "Front"),
        many_boards(40),
    ] {
        let steps = heartside_cutting::steps(&job, &plan);
        let options = Options {
            theme: Theme::Print,
            date: "25 November 2026",
            findings: Some(&findings),
            ..Options::default()
        };
        for paper in [Paper::A4, Paper::Letter] {
            let pages = sheets(&job, &plan, &steps, paper, &options);
            let (width, height) = paper.size();
            for page in &pages {
                for text in texts_of(&page.svg) {
                    assert!(
                        text.size >= 9.0 * 25.4 / 72.0 - 1e-3,
                        "{}: {:?} is {} mm",
                        page.name,
                        text.content,
                        text.size
                    );
                    let on_page = Bounds::new(
                        Point { x: 4.0, y: 4.0 },
                        Point {
                            x: width - 4.0,
                            y: height - 4.0,
                        },
                    );
                    assert!(
                        on_page.contains_bounds(&text.bounds),
                        "{}: {:?} leaves the page",
                        page.name,
                        text.content
                    );
                }
            }
            let boxes: usize = pages.iter().map(|p| p.svg.matches("hs-tick").count()).sum();
            assert_eq!(boxes, steps.len(), "a box for each cut");
            // The first pages name every board and every part once.
            let first: Vec<Text> = pages
                .iter()
                .filter(|p| p.title == "All boards")
                .flat_map(|p| texts_of(&p.svg))
                .collect();
            let named = |start: &str| {
                first
                    .iter()
                    .filter(|t| t.content.starts_with(start))
                    .count()
            };
            for board in &job.boards {
                let several = board.count > 1;
                let label = if several {
                    format!("{}/1,", board.id)
                } else {
                    format!("{},", board.id)
                };
                assert!(named(&label) >= 1, "board {}", board.id);
            }
            for part in &job.parts {
                assert!(named(&part.name) >= 1, "part {}", part.name);
            }
            let to_buy = !plan.unplaced.is_empty();
            assert_eq!(named("Still to find") > 0, to_buy);
        }
    }
}

/// A plan of so many boards with a part on each, and one part that found no place.
fn many_boards(count: u32) -> (Job, Plan) {
    let (mut job, mut plan) = plain(1900.0, "Front");
    job.boards[0].count = count;
    job.parts[0].count = count;
    let layout = plan.layouts[0].clone();
    plan.layouts = (1..=count)
        .map(|number| {
            let mut own = layout.clone();
            own.board.copy = number;
            own.placements[0].copy = number;
            own
        })
        .collect();
    (job, plan)
}

#[test]
fn markup_and_control_characters_in_names_stay_text() {
    let nasty = "<script>alert('1')</script> & \"quoted\" \u{0}\u{1b}]]>";
    let (mut job, plan) = plain(1400.0, nasty);
    job.title = nasty.into();
    job.boards[0].name = nasty.into();
    job.boards[0].zones[0].note = nasty.into();
    for drawing in all(&job, &plan) {
        let (texts, _) = read(&drawing.svg);
        assert!(!drawing.svg.contains("<script"), "{}", drawing.name);
        assert!(
            texts.iter().any(|t| t.contains("script")),
            "the name itself is kept"
        );
    }
}

#[test]
fn a_name_and_its_size_never_run_into_one_number() {
    // "Rail 1  700 × 90" must not become "Rail 1700 × 90" where blanks in a row are dropped.
    let (job, plan) = plain(700.0, "Rail");
    let mut sizes = 0;
    for drawing in all(&job, &plan) {
        assert!(!drawing.svg.contains("<tspan"), "{}", drawing.name);
        for text in texts_of(&drawing.svg) {
            let own = text.content.as_str();
            assert_eq!(own, own.trim_matches(['\u{a0}', ' ']), "{}", drawing.name);
            assert!(!own.contains("  ") && !own.contains('\u{a0}'), "{own}");
            assert!(!(own.contains("Rail") && own.contains("×")), "{own}");
            sizes += usize::from(own.starts_with("556 × 84") || own.contains('×'));
        }
    }
    assert!(sizes > 0);
}

#[test]
fn the_word_of_a_marked_area_never_crosses_the_boards_edge() {
    let (mut job, plan) = plain(1000.0, "Front");
    // The upper edge slants down to the far end, and a small mark lies close beneath it.
    let corners = [(0.0, 0.0), (1000.0, 0.0), (1000.0, 110.0), (0.0, 300.0)];
    let outline = corners.map(|(x, y)| Point { x, y }).to_vec();
    job.boards[0].outline = Region::from_ring(Ring::new(outline).unwrap());
    let mut inside = 0;
    for k in 0..40 {
        let x = 600.0 + 80.0 * f64::from(k % 4);
        let low = 300.0 - 0.19 * x - 22.0 - f64::from(k);
        let zone = &mut job.boards[0].zones[0];
        zone.note = "rippled".into();
        zone.margin = 0.0;
        zone.shape = Region::rectangle(Bounds {
            min: Point { x, y: low },
            max: Point {
                x: x + 20.0,
                y: low + 20.0,
            },
        })
        .unwrap();
        job.boards[0].zones.truncate(1);
        let drawing = board_svg(&job, &plan, &copy("B"), &[], &Options::default()).unwrap();
        let texts = texts_of(&drawing.svg);
        let word = texts
            .iter()
            .find(|t| t.content == "rippled")
            .unwrap()
            .bounds;
        // y runs down on the drawing, from the upper left corner's height.
        let edge = |x: f64| 0.19 * x;
        let (above, under) = (
            word.max.y <= edge(word.min.x) + 0.1,
            word.min.y >= edge(word.max.x) - 0.1,
        );
        inside += usize::from(under);
        assert!(above || under, "{word:?} at {x}");
    }
    assert!(inside > 0);
}

#[test]
fn thousands_of_flaws_and_of_boards_are_drawn_and_what_is_left_out_is_said() {
    let started = std::time::Instant::now();
    let (mut job, plan) = plain(2400.0, "Front");
    let pattern = job.boards[0].zones[0].clone();
    job.boards[0].zones = (0..3000)
        .map(|k| {
            let (x, y) = (f64::from(k * 7919 % 2390), f64::from(k * 104_729 % 180));
            let (min, max) = (
                Point { x, y },
                Point {
                    x: x + 4.0,
                    y: y + 3.0,
                },
            );
            heartside_timber::job::Zone {
                index: k as usize,
                shape: Region::rectangle(Bounds { min, max }).unwrap(),
                ..pattern.clone()
            }
        })
        .collect();
    let options = Options::default();
    let crowded = board_svg(&job, &plan, &copy("B"), &[], &options).unwrap();
    assert!(
        read(&crowded.svg)
            .0
            .iter()
            .any(|t| t.contains("labels found no room on this drawing"))
    );
    assert_apart(&crowded.labels, "crowded");

    let (mut job, plan) = plain(1000.0, "Front");
    let other = job.boards[0].clone();
    job.boards
        .extend((0..5000).map(|k| heartside_timber::job::Board {
            id: format!("X{k}"),
            ..other.clone()
        }));
    let all = overview_svg(&job, &plan, &[], &options);
    let told = "5000 boards that are not cut are not drawn";
    assert!(read(&all.svg).0.iter().any(|t| t.contains(told)));
    assert!(all.svg.len() < 200_000, "{} bytes", all.svg.len());
    // Some seconds even where the machine is busy; it took minutes.
    assert!(started.elapsed().as_secs() < 60, "{:?}", started.elapsed());
}

#[test]
fn ids_from_elsewhere_make_safe_file_names() {
    let (mut job, mut plan) = plain(1000.0, "Front");
    job.boards[0].id = "../../x".into();
    plan.layouts[0].board.board = "../../x".into();
    let drawing = board_svg(&job, &plan, &copy("../../x"), &[], &Options::default()).unwrap();
    assert_eq!(drawing.name, "board-x");
    assert!(
        sheets(&job, &plan, &[], Paper::A4, &Options::default())[1]
            .name
            .starts_with("sheet-x")
    );
}

#[test]
fn nothing_to_draw_is_drawn_as_nothing() {
    let mut job = sample::job();
    let empty = Plan::default();
    for drawing in all(&job, &empty) {
        read(&drawing.svg);
    }
    assert!(sheets(&job, &empty, &[], Paper::A4, &Options::default()).is_empty());
    assert!(board_svg(&job, &empty, &copy("none"), &[], &Options::default()).is_none());
    job.boards.clear();
    job.parts.clear();
    read(&overview_svg(&job, &empty, &[], &Options::default()).svg);
    let on = OnTheFloor {
        job: &job,
        plan: None,
        steps: &[],
        findings: &[],
        moved: &[],
    };
    assert!(floor(&on, &View::default()).fragments.is_empty());
}

#[test]
fn sizes_that_gave_stand_where_all_boards_are_drawn() {
    let (job, plan) = (sample::job(), sample::plan());
    let said = "reach is 455 mm, 500 mm preferred. As the parts lie now, 500 would need 45 mm more for Leg than board A gives; 455 fits.";
    let sizes = [said.to_owned()];
    let options = Options {
        sizes: &sizes,
        ..Options::default()
    };
    let first = sheets(&job, &plan, &[], Paper::A4, &options).remove(0);
    for drawing in [first, overview_svg(&job, &plan, &[], &options)] {
        let texts: Vec<String> = read(&drawing.svg).0;
        // Wrapped, and nothing of it shortened.
        let all = texts.join(" ");
        let (start, end) = ("reach is 455 mm, 500 mm preferred.", "455 fits");
        assert!(
            all.contains(start) && all.contains(end),
            "{}: {all}",
            drawing.name
        );
        assert!(!drawing.svg.contains(".. "), "{}", drawing.name);
    }
    let other = &sheets(&job, &plan, &[], Paper::A4, &options)[1];
    assert!(!other.svg.contains("preferred"));
}

#[test]
fn long_lists_go_on_to_further_pages_and_lose_no_row() {
    let (job, plan) = (sample::job(), sample::plan());
    let mut steps = heartside_cutting::steps(&job, &plan);
    let template = steps[0].clone();
    for number in 0..120 {
        steps.push(heartside_cutting::Step {
            number: 100 + number,
            brief: format!("Row {number} of many"),
            ..template.clone()
        });
    }
    let pages = sheets(&job, &plan, &steps, Paper::A4, &Options::default());
    let of_a: Vec<&Drawing> = pages
        .iter()
        .filter(|p| p.title.starts_with("Board A"))
        .collect();
    assert!(of_a.len() > 1);
    let all: String = of_a.iter().map(|p| p.svg.as_str()).collect();
    for number in 0..120 {
        assert_eq!(
            all.matches(&format!(">Row {number} of many</text>"))
                .count(),
            1,
            "row {number}"
        );
    }
    assert!(of_a[0].svg.contains("page 1, continued"));
    assert!(!of_a[of_a.len() - 1].svg.contains(", continued<"));
}

#[test]
fn the_legend_holds_only_what_occurs() {
    let (job, plan) = (sample::job(), sample::plan());
    let steps = heartside_cutting::steps(&job, &plan);
    let texts = |id: &str| {
        read(
            &board_svg(&job, &plan, &copy(id), &steps, &Options::default())
                .unwrap()
                .svg,
        )
        .0
    };
    let has = |texts: &[String], word: &str| texts.iter().any(|t| t == word);
    let (b, c) = (texts("B"), texts("C"));
    assert!(has(&b, "old fixing") && !has(&c, "old fixing"));
    assert!(has(&c, "sapwood") && has(&c, "corner to mark") && !has(&b, "corner to mark"));
    assert!(has(&b, "straight edge") && !has(&c, "straight edge"));
}

#[test]
fn the_floor_is_made_of_whole_groups_that_repeat() {
    let (job, plan, findings) = (sample::job(), sample::plan(), sample::findings());
    let steps = heartside_cutting::steps(&job, &plan);
    let on = OnTheFloor {
        job: &job,
        plan: Some(&plan),
        steps: &steps,
        findings: &findings,
        moved: &[],
    };
    for pixels in [0.02, 0.15, 0.42, 1.0, 8.0, f64::NAN] {
        let view = View {
            pixels_per_mm: pixels,
            dimensions: pixels > 0.5,
            ..View::default()
        };
        let drawn = floor(&on, &view);
        assert_eq!(drawn, floor(&on, &view));
        let ids: BTreeSet<&str> = drawn.fragments.iter().map(|f| f.id.as_str()).collect();
        assert_eq!(ids.len(), drawn.fragments.len());
        for fragment in &drawn.fragments {
            assert!(
                fragment
                    .svg
                    .starts_with(&format!("<g id=\"{}\"", fragment.id)),
                "{}",
                fragment.id
            );
            read(&format!("<svg>{}</svg>", fragment.svg));
        }
        assert_apart(&drawn.labels, &format!("floor at {pixels}"));
        assert_eq!(
            drawn.fragments.iter().filter(|f| f.part.is_some()).count(),
            plan.placed_count()
        );
        assert_eq!(drawn.boards.len(), 5);
    }
    let moved = heartside_timber::document::OnFloor {
        board: copy("B"),
        x: 300.0,
        y: -900.0,
    };
    let moved = floor(
        &OnTheFloor {
            moved: &[moved],
            ..on
        },
        &View::default(),
    );
    let b = &moved.boards[1];
    assert_eq!((b.bounds.min.x, b.bounds.max.y), (300.0, 900.0));
}

#[test]
fn parts_off_their_boards_are_drawn_too() {
    let (job, plan) = (sample::job(), sample::plan());
    let waiting = trestle(&job, Some(&plan), 0.4, 100);
    assert_eq!(waiting.len(), 1);
    assert_eq!(
        (waiting[0].name.as_str(), waiting[0].blank.as_str()),
        ("Shelf", "920 × 248 × 27")
    );
    assert_eq!(trestle(&job, None, 0.4, 100).len(), 15);
    let held = held_part(
        &job,
        &PartCopy {
            part: "leg".into(),
            copy: 1,
        },
        30.0,
        true,
        0.4,
    )
    .unwrap();
    read(&format!("<svg>{held}</svg>"));
    assert!(
        held_part(
            &job,
            &PartCopy {
                part: "none".into(),
                copy: 1
            },
            0.0,
            false,
            0.4
        )
        .is_none()
    );
}

#[test]
fn imperial_drawings_show_no_millimetres() {
    let (mut job, plan) = (sample::job(), sample::plan());
    job.units = DisplayUnits::inches(InchFraction::Sixteenths);
    let steps = heartside_cutting::steps(&job, &plan);
    for drawing in sheets(
        &job,
        &plan,
        &steps,
        Paper::Letter,
        &Options {
            theme: Theme::Print,
            ..Options::default()
        },
    ) {
        let (texts, _) = read(&drawing.svg);
        assert!(
            texts.iter().all(|t| !t.contains(" mm")),
            "{:?}",
            texts.iter().find(|t| t.contains(" mm"))
        );
    }
}

/// The pictures in the README are made by `heartside set-out fixtures/writing-desk.heartside.json`
/// and `heartside sheets`, with the steps told there. A plan would take too long here; what they are drawn
/// with is compared.
#[test]
fn the_pictures_in_the_readme_are_drawn_as_drawings_are_now() {
    for (kept, theme, words) in [
        (
            include_str!("../../../fixtures/writing-desk-board-B.svg"),
            Theme::Light,
            "Top stave",
        ),
        (
            include_str!("../../../fixtures/writing-desk-sheet.svg"),
            Theme::Print,
            "Cuts, in order",
        ),
        (
            include_str!("../../../fixtures/writing-desk-labels.svg"),
            Theme::Print,
            "joint to staves 1 and 3",
        ),
        (
            include_str!("../../../fixtures/writing-desk-template.svg"),
            Theme::Print,
            "100 mm, only to prove the scale",
        ),
    ] {
        let style = format!("<style>{}</style>", heartside_drawing::style_sheet(theme));
        let is_now = kept.contains(&style) && !kept.contains("<tspan");
        assert!(is_now, "make the picture of {words:?} in the README again");
        let (texts, _) = read(kept);
        assert!(texts.iter().any(|t| t.starts_with(words)), "{texts:?}");
    }
}

/// Small drawings as text, rounded; `HEARTSIDE_BLESS=1` writes them anew.
#[test]
fn golden_drawings_are_unchanged() {
    let (job, plan) = plain(1000.0, "Front");
    let options = Options {
        date: "25 November 2026",
        ..Options::default()
    };
    let (sample_job, sample_plan) = (sample::job(), sample::plan());
    let steps = heartside_cutting::steps(&sample_job, &sample_plan);
    let goldens = [
        (
            "board-plain.svg",
            board_svg(&job, &plan, &copy("B"), &[], &options)
                .unwrap()
                .svg,
        ),
        (
            "board-B.svg",
            board_svg(&sample_job, &sample_plan, &copy("B"), &steps, &options)
                .unwrap()
                .svg,
        ),
        (
            "trestle-shelf.svg",
            trestle(&sample_job, Some(&sample_plan), 0.4, 1)[0]
                .svg
                .clone(),
        ),
    ];
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden");
    for (name, svg) in goldens {
        let rounded = rounded(&svg).replace("><", ">\n<");
        let path = folder.join(name);
        if std::env::var_os("HEARTSIDE_BLESS").is_some() {
            std::fs::create_dir_all(&folder).unwrap();
            std::fs::write(&path, &rounded).unwrap();
        }
        let kept = std::fs::read_to_string(&path).unwrap_or_default();
        assert!(
            kept == rounded,
            "{name} has changed; look at it, then `cargo xtask bless` writes it anew"
        );
    }
}

/// Every number of more than one decimal rounded to one, so that a last digit is no change.
fn rounded(svg: &str) -> String {
    let mut out = String::new();
    let mut number = String::new();
    for c in svg.chars().chain(std::iter::once('\0')) {
        if c.is_ascii_digit() || (c == '.' && !number.is_empty()) {
            number.push(c);
            continue;
        }
        match number.parse::<f64>() {
            Ok(value) if number.contains('.') => out.push_str(&format!("{value:.1}")),
            _ => out.push_str(&number),
        }
        number.clear();
        if c != '\0' {
            out.push(c);
        }
    }
    out
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    /// Whatever the names and sizes, labels keep apart and the XML is sound.
    #[test]
    fn labels_keep_apart_whatever_they_say(
        length in 120.0..6000.0_f64,
        names in proptest::collection::vec("\\PC{0,30}", 1..7),
        sizes in proptest::collection::vec((20.0..600.0_f64, 8.0..90.0_f64, 0.0..360.0_f64), 6),
    ) {
        let (mut job, mut plan) = plain(length, "x");
        let template = job.parts[0].clone();
        job.parts.clear();
        plan.layouts[0].placements.clear();
        for (place, name) in names.iter().enumerate() {
            let (l, w, turn) = sizes[place % sizes.len()];
            let mut part = template.clone();
            part.id = format!("p{place}");
            part.name = name.clone();
            part.outline = Region::rectangle(Bounds { min: Point { x: 0.0, y: 0.0 }, max: Point { x: l, y: w } }).unwrap();
            job.parts.push(part);
            let at = Placed { x: length * place as f64 / names.len() as f64, y: 20.0, turn: if place % 2 == 0 { 0.0 } else { turn }, turned_over: place == 1 };
            plan.layouts[0].placements.push(Placement { part: format!("p{place}"), copy: 1, at, ..Placement::default() });
        }
        for drawing in [board_svg(&job, &plan, &copy("B"), &[], &Options::default()).unwrap()].into_iter().chain(sheets(&job, &plan, &[], Paper::A4, &Options::default())) {
            read(&drawing.svg);
            assert_apart(&drawing.labels, &drawing.name);
        }
    }
}
