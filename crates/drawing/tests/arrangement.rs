//! How boards lie on the floor: by the job and the window's shape alone, as large as can be, and
//! nothing of one board reaches over another.

use heartside_drawing::{BoardOnFloor, OnTheFloor, View, boards_on_floor, floor};
use heartside_geometry::Bounds;
use heartside_testkit::{CutApart, cut_apart};
use heartside_timber::document::Document;
use heartside_timber::edit::apply;
use heartside_timber::prepare::prepare;

fn extent(boards: &[BoardOnFloor], aspect: f64) -> f64 {
    let all = boards.iter().map(|b| b.bounds).reduce(|a, b| a.union(b));
    let Some(all) = all else { return 0.0 };
    (all.width() / aspect).max(all.height())
}

fn jobs() -> impl Iterator<Item = Document> {
    (1..14).map(|seed| {
        let boards = 1 + seed as usize % 9;
        cut_apart(
            seed,
            CutApart {
                boards,
                ..CutApart::default()
            },
        )
    })
}

#[test]
fn boards_never_overlap_and_are_seen_as_large_as_in_one_column_or_larger() {
    for document in jobs() {
        let job = prepare(&document).job;
        for aspect in [0.3, 0.6, 1.0, 1.5, 2.4, 5.0] {
            let boards = boards_on_floor(&job, &[], aspect);
            for (k, a) in boards.iter().enumerate() {
                for b in &boards[..k] {
                    assert!(!a.bounds.grown(20.0).intersects(&b.bounds));
                }
            }
            let one = boards_on_floor(&job, &[], 0.05);
            // Names take some room beside each column.
            assert!(extent(&boards, aspect) <= extent(&one, aspect) + 1e-6);
        }
    }
}

#[test]
fn a_floor_that_scrolls_has_one_column() {
    for document in jobs() {
        let job = prepare(&document).job;
        let boards = boards_on_floor(&job, &[], 0.01);
        assert!(boards.iter().all(|b| b.bounds.min.x == 0.0));
        assert!(
            boards
                .windows(2)
                .all(|w| w[0].bounds.max.y < w[1].bounds.min.y)
        );
    }
}

/// Whatever is cut: pieces keep the place of their board, the kerf shows between them, and no word
/// stands on another.
#[test]
fn pieces_lie_where_their_board_lay_with_the_kerf_between_them() {
    let mut pieces = 0;
    for mut document in jobs().take(6) {
        let before = boards_on_floor(&prepare(&document).job, &[], 1.5);
        for _ in 0..7 {
            let job = prepare(&document).job;
            let steps = heartside_cutting::steps(&job, document.plan.as_ref().unwrap());
            let Some(step) = steps.iter().find(|s| s.node == Some(0)) else {
                break;
            };
            let edit = heartside_cutting::as_planned(&document, &job, step).unwrap();
            apply(&mut document, edit).unwrap();
            let job = prepare(&document).job;
            let boards = boards_on_floor(&job, &[], 1.5);
            for place in &boards {
                let was = before.iter().find(|b| b.board == *job.root(&place.board));
                let was = was.unwrap();
                assert_eq!((place.origin, place.slot), (was.origin, was.bounds));
                assert!(was.bounds.grown(1e-6).contains_bounds(&place.bounds));
                assert!(
                    job.board(&place.board.board)
                        .unwrap()
                        .copies()
                        .any(|c| c == place.board.copy)
                );
            }
            let own = boards.iter().filter(|b| b.bounds != b.slot);
            let own: Vec<_> = own.collect();
            pieces += own.len();
            for (k, a) in own.iter().enumerate() {
                for b in &own[..k] {
                    let apart = a.bounds.separation(&b.bounds);
                    assert!(apart > 0.5, "{:?} and {:?}", a.board, b.board);
                }
            }
            let steps = heartside_cutting::steps(&job, document.plan.as_ref().unwrap());
            let on = OnTheFloor {
                job: &job,
                plan: document.plan.as_ref(),
                steps: &steps,
                findings: &[],
                moved: &[],
            };
            let drawn = floor(&on, &View::default());
            for (k, a) in drawn.labels.iter().enumerate() {
                for b in &drawn.labels[..k] {
                    assert!(!a.grown(-1e-6).intersects(&b.grown(-1e-6)), "{a:?} {b:?}");
                }
            }
            for step in &steps {
                let alone =
                    heartside_drawing::at_machine(&job, document.plan.as_ref().unwrap(), step);
                let alone = alone.unwrap();
                assert!(alone.svg.contains("hs-wood") && alone.bounds.area() > 0.0);
            }
        }
    }
    assert!(pieces > 100, "{pieces}");
}

#[test]
fn leaders_cross_no_other_board_and_no_type_is_smaller_than_eleven_pixels() {
    let (mut leaders, mut texts) = (0, 0);
    for document in jobs() {
        let job = prepare(&document).job;
        let steps = heartside_cutting::steps(&job, document.plan.as_ref().unwrap());
        let on = OnTheFloor {
            job: &job,
            plan: document.plan.as_ref(),
            steps: &steps,
            findings: &[],
            moved: &[],
        };
        for (pixels, aspect) in [
            (0.14, 0.01),
            (0.2, 1.4),
            (0.35, 1.4),
            (0.6, 2.0),
            (1.2, 1.0),
        ] {
            let view = View {
                pixels_per_mm: pixels,
                aspect,
                ..View::default()
            };
            let drawn = floor(&on, &view);
            for fragment in &drawn.fragments {
                for size in numbers_after(&fragment.svg, "font-size=\"") {
                    if fragment.id != "ruler" {
                        assert!(size * pixels >= 10.99, "{} at {pixels}", fragment.svg);
                        texts += 1;
                    }
                }
                let Some(own) = &fragment.board else { continue };
                for line in lines_of(&fragment.svg, "hs-leader") {
                    leaders += 1;
                    for other in drawn.boards.iter().filter(|b| b.board != *own) {
                        assert!(
                            !crosses(&other.bounds, line),
                            "{own:?} over {:?}",
                            other.board
                        );
                    }
                }
            }
        }
    }
    assert!(leaders > 40 && texts > 1000, "{leaders}, {texts}");
}

fn numbers_after(svg: &str, before: &str) -> Vec<f64> {
    svg.split(before)
        .skip(1)
        .filter_map(|rest| rest.split('"').next()?.parse().ok())
        .collect()
}

/// Ends of the lines of a class.
fn lines_of(svg: &str, class: &str) -> Vec<[f64; 4]> {
    svg.split('<')
        .filter(|tag| tag.contains(&format!("class=\"{class}\"")) && tag.contains(" d=\""))
        .filter_map(|tag| {
            let d = tag.split(" d=\"").nth(1)?.split('"').next()?;
            let numbers: Vec<f64> = d
                .split(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-'))
                .filter_map(|n| n.parse().ok())
                .collect();
            numbers.try_into().ok()
        })
        .collect()
}

fn crosses(bounds: &Bounds, [ax, ay, bx, by]: [f64; 4]) -> bool {
    (0..=200).any(|k| {
        let t = f64::from(k) / 200.0;
        let (x, y) = (ax + t * (bx - ax), ay + t * (by - ay));
        x > bounds.min.x && x < bounds.max.x && y > bounds.min.y && y < bounds.max.y
    })
}

#[test]
fn a_line_askew_has_its_measure_at_both_ends() {
    let mut shown = 0;
    for seed in 0..20 {
        let document = heartside_testkit::askew_apart(seed, 1);
        let job = heartside_timber::prepare(&document).job;
        let plan = document.plan.unwrap();
        for step in heartside_cutting::steps(&job, &plan) {
            let Some(setting) = step
                .setting
                .as_ref()
                .filter(|s| s.words.starts_with("from "))
            else {
                continue;
            };
            let drawn = heartside_drawing::at_machine(&job, &plan, &step).unwrap();
            for mm in [Some(setting.distance), setting.distance_far] {
                let told = heartside_timber::length::write_length(mm.unwrap(), &job.units);
                assert!(setting.shown.contains(&told), "{}", setting.shown);
                shown += usize::from(drawn.svg.contains(&format!(">{told}<")));
            }
        }
    }
    assert!(shown > 10, "{shown} measures drawn");
}
