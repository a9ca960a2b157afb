use std::collections::BTreeMap;

use heartside_geometry::math::sin_cos_deg;
use heartside_geometry::{Bounds, Point, Region, Ring};
use heartside_testkit::by_hand;
use heartside_timber::document::PartCut;
use heartside_timber::job::Job;
use heartside_timber::plan::Plan;
use proptest::prelude::*;

use super::tiling::{Tiling, tile_name};
use super::*;
use crate::document::Drawing;
use crate::paper::Paper;
use crate::printed::{EDGE, LEAST_PRINTED};
use crate::room::{line_meets, overlaps};

const PAPERS: [Paper; 3] = [Paper::A4, Paper::A3, Paper::Letter];

/// A sheet by its row and column, and the chains of places that it draws.
type Drawn = ((usize, usize), Vec<Vec<Point>>);

/// Places in the paths of a stretch of SVG, path by path and chain by chain; controls of curves are places too.
fn chains(svg: &str) -> Vec<Vec<Point>> {
    let mut all = Vec::new();
    for d in svg.split(" d=\"").skip(1) {
        let d = d.split('"').next().unwrap_or_default();
        for chain in d.split('M').skip(1) {
            let pairs = chain
                .split(['L', 'C', 'S', 'Z', ' '])
                .filter(|p| !p.is_empty());
            let places = pairs.map(|pair| {
                let (x, y) = pair.split_once(',').expect("a place");
                Point {
                    x: x.parse().expect("x"),
                    y: y.parse().expect("y"),
                }
            });
            all.push(places.collect());
        }
    }
    all
}

/// The content of a group by its id.
fn group<'a>(page: &'a Drawing, id: &str) -> &'a str {
    let from = page
        .svg
        .split(&format!("<g id=\"{id}\""))
        .nth(1)
        .expect("the group");
    from.split("</g>").next().unwrap_or_default()
}

fn value(element: &str, name: &str) -> f64 {
    let from = element
        .split(&format!(" {name}=\""))
        .nth(1)
        .expect("the attribute");
    from.split('"')
        .next()
        .expect("a value")
        .parse()
        .expect("a number")
}

/// All sheets of a template by their tiles.
fn tiled(
    template: &Template,
    print: &TemplatePrint,
) -> (Tiling, BTreeMap<(usize, usize), Drawing>) {
    let bounds = template.bounds().expect("lines");
    let tiling = Tiling::of(bounds, print.paper, print.overlap, "").expect("sheets");
    let sheets = template_sheets(template, print).expect("sheets");
    assert_eq!(
        sheets.pages.len() + sheets.left_out.len(),
        tiling.rows * tiling.columns
    );
    let mut pages = sheets.pages.into_iter();
    let printed = tiling
        .tiles()
        .filter(|t| !sheets.left_out.contains(&tile_name(*t)));
    let pages = printed.map(|tile| (tile, pages.next().expect("a page")));
    let pages = pages.collect();
    (tiling, pages)
}

/// A part round a middle, by distances from it; wide along x.
fn round_part(radii: &[f64], stretch: (f64, f64), cut: PartCut) -> Template {
    let count = radii.len() as f64;
    let points = radii.iter().enumerate().map(|(k, r)| {
        let (s, c) = sin_cos_deg(360.0 * k as f64 / count);
        Point {
            x: stretch.0 * (r * c + 1.0),
            y: stretch.1 * (r * s + 1.0),
        }
    });
    let ring = Ring::new(points.collect()).expect("a star is sound");
    let mut part = by_hand::part("p", 2, Region::from_ring(ring));
    part.name = "Arm <left> & \"right\"".into();
    part.cut = cut;
    let job = by_hand::job(Vec::new(), vec![part]);
    part_templates(&job).remove(0)
}

#[test]
fn two_metres_are_eight_sheets_and_run_on_from_one_to_the_next() {
    let radii: Vec<f64> = (0..60).map(|k| 0.8 + 0.2 * f64::from(k % 2)).collect();
    let template = round_part(&radii, (1000.0, 60.0), PartCut::Straight);
    let (tiling, pages) = tiled(&template, &TemplatePrint::default());
    assert_eq!((tiling.rows, tiling.columns, pages.len()), (1, 8, 8));
    let names: Vec<String> = pages.keys().map(|t| tile_name(*t)).collect();
    assert_eq!(names[0], "A1");
    assert!(
        pages
            .values()
            .all(|p| (p.width_mm, p.height_mm) == (297.0, 210.0))
    );
}

#[test]
fn sheets_without_a_line_are_left_out_and_told() {
    let template = round_part(&[1.0; 90], (500.0, 500.0), PartCut::Straight);
    let sheets = template_sheets(&template, &TemplatePrint::default()).expect("sheets");
    assert!(sheets.left_out.len() >= 4, "{:?}", sheets.left_out);
    let few = TemplatePrint {
        paper: Paper::A3,
        ..TemplatePrint::default()
    };
    let few = template_sheets(&template, &few).expect("sheets");
    assert!(few.left_out.contains(&"B2".to_owned()));
    for page in few.pages {
        assert!(page.svg.contains("B2"), "{}", page.name);
    }
}

#[test]
fn an_overlap_or_a_size_that_cannot_be_is_refused() {
    let template = round_part(&[1.0; 30], (500.0, 500.0), PartCut::Straight);
    for overlap in [0.0, 5.9, 200.0, f64::NAN, f64::INFINITY, -3.0] {
        let print = TemplatePrint {
            overlap,
            ..TemplatePrint::default()
        };
        let told = template_sheets(&template, &print)
            .expect_err("no overlap")
            .to_string();
        assert!(told.contains("choose 6 to 40 mm"), "{told}");
    }
    let huge = round_part(&[1.0; 30], (1.0e7, 1.0e7), PartCut::Straight);
    let told = template_sheets(&huge, &TemplatePrint::default()).expect_err("too many");
    assert!(told.to_string().contains("more than 400"), "{told}");
}

#[test]
fn rectangles_need_no_template_and_names_of_rows_go_past_the_alphabet() {
    let plank = by_hand::part("plank", 1, by_hand::rectangle(300.0, 80.0));
    let job: Job = by_hand::job(Vec::new(), vec![plank]);
    assert!(part_templates(&job).is_empty());
    assert!(layout_templates(&job, &Plan::default(), &[]).is_empty());
    assert_eq!(tile_name((0, 0)), "A1");
    assert_eq!(tile_name((25, 9)), "Z10");
    assert_eq!(tile_name((26, 0)), "AA1");
}

/// No two of a sheet's words meet, and none leaves what a printer reaches.
fn assert_apart(page: &Drawing) {
    let reached = Bounds::of_size(page.width_mm, page.height_mm).grown(-EDGE + 0.002);
    for (k, own) in page.labels.iter().enumerate() {
        assert!(reached.contains_bounds(own), "{}: {own:?}", page.name);
        let inner = own.grown(-1e-3);
        let others = &page.labels[..k];
        assert!(!others.iter().any(|b| overlaps(b, &inner)), "{}", page.name);
    }
}

#[test]
fn boards_sawn_by_line_name_every_part_and_no_word_meets_another() {
    for seed in 0..6 {
        let document = heartside_testkit::broken_down(seed, 2, 5);
        let job = heartside_timber::prepare(&document).job;
        let plan = document.plan.expect("a plan");
        let steps = heartside_cutting::steps(&job, &plan);
        let made = layout_templates(&job, &plan, &steps);
        assert_eq!(made.len(), plan.layouts.len());
        for (template, layout) in made.iter().zip(&plan.layouts) {
            let print = TemplatePrint::default();
            let sheets = template_sheets(template, &print).expect("sheets");
            let drawn: String = sheets.pages.iter().map(|p| p.svg.as_str()).collect();
            sheets.pages.iter().for_each(assert_apart);
            for placement in &layout.placements {
                let name = job.name_of(&placement.part_copy()).expect("a name");
                assert!(drawn.contains(&format!(">{name}</text>")), "{name}");
            }
        }
    }
}

#[test]
fn hostile_names_stay_words() {
    let mut part = by_hand::part(
        "../p",
        1,
        round_part(&[1.0; 20], (40.0, 20.0), PartCut::Straight).parts[0]
            .region
            .clone(),
    );
    for name in [
        "</svg><script>",
        "a\n\"b\"\u{202e}'c'",
        "",
        "🪵 שולחן",
        &"n".repeat(300),
    ] {
        part.name = name.to_owned();
        let job = by_hand::job(Vec::new(), vec![part.clone()]);
        let template = part_templates(&job).remove(0);
        assert!(
            template
                .name
                .chars()
                .all(|c| c.is_ascii_alphanumeric() || c == '-' || c == '_')
        );
        for page in template_sheets(&template, &TemplatePrint::default())
            .expect("sheets")
            .pages
        {
            assert_apart(&page);
            assert!(!page.svg.contains("<script") && page.svg.matches("</svg>").count() == 1);
            assert!(!page.svg.contains('\u{202e}'));
        }
    }
}

/// Parts of any round shape, and how they are printed.
fn printed_templates() -> impl Strategy<Value = (Template, TemplatePrint<'static>)> {
    let radii = prop::collection::vec(0.2..1.0_f64, 5..40);
    let stretch = (60.0..700.0_f64, 30.0..400.0_f64);
    let paper = prop::sample::select(PAPERS.to_vec());
    let all = (radii, stretch, 6.0..40.0_f64, paper, any::<bool>());
    all.prop_map(|(radii, stretch, overlap, paper, is_sawn)| {
        let cut = if is_sawn {
            PartCut::Sawn
        } else {
            PartCut::Straight
        };
        let print = TemplatePrint {
            paper,
            overlap,
            date: "25 November 2026",
        };
        (round_part(&radii, stretch, cut), print)
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(16))]

    #[test]
    fn sheets_put_together_are_the_outline(
        (template, print) in printed_templates(),
    ) {
        let (tiling, pages) = tiled(&template, &print);
        // What each sheet draws, moved back to where it lies in the template.
        let drawn: Vec<Drawn> = pages.iter().map(|(tile, page)| {
            let from = tiling.on_sheet(*tile, Point::ORIGIN);
            let back = |p: Point| Point { x: p.x - from.x, y: p.y - from.y };
            let own = chains(group(page, "lines")).into_iter();
            (*tile, own.map(|chain| chain.into_iter().map(back).collect()).collect())
        }).collect();
        for side in template.lines.iter().flat_map(|l| l.chain.windows(2)) {
            for share in [0.0, 0.21, 0.5, 0.83] {
                let p = side[0].towards(side[1], share);
                let is_on = |chains: &Vec<Vec<Point>>| chains.iter().any(|chain| {
                    chain.windows(2).any(|s| p.distance_to_segment(s[0], s[1]) < 0.002)
                });
                let on: Vec<_> = drawn.iter().filter(|(_, chains)| is_on(chains)).map(|(t, _)| *t).collect();
                // Between the seams once, in the overlap twice; where four sheets meet, four times.
                let rows: std::collections::BTreeSet<usize> = on.iter().map(|t| t.0).collect();
                let columns: std::collections::BTreeSet<usize> = on.iter().map(|t| t.1).collect();
                prop_assert!((1..=2).contains(&rows.len()) && (1..=2).contains(&columns.len()), "{:?} on {:?}", p, on);
                let alone = tiling.tiles().filter(|t| tiling.cell(*t).grown(-0.01).contains(p));
                for tile in alone {
                    prop_assert!(on.contains(&tile), "{:?} is missing on {:?}", p, tile);
                }
                for tile in &on {
                    prop_assert!(tiling.sees(*tile).grown(0.01).contains(p));
                }
            }
        }
    }

    #[test]
    fn sheets_keep_their_margins_prove_their_scale_and_join(
        (template, print) in printed_templates(),
    ) {
        let (tiling, pages) = tiled(&template, &print);
        let reached = Bounds::of_size(tiling.paper.0, tiling.paper.1).grown(-EDGE + 0.002);
        let mut seams: BTreeMap<String, usize> = BTreeMap::new();
        for (tile, page) in &pages {
            let drawn = page.svg.split("</style>").nth(1).expect("a drawing");
            for p in chains(drawn).into_iter().flatten() {
                prop_assert!(reached.contains(p), "{:?}", p);
            }
            for rect in drawn.split("<rect class=\"hs-ink\"").skip(1) {
                let min = Point { x: value(rect, "x"), y: value(rect, "y") };
                let max = Point { x: min.x + value(rect, "width"), y: min.y + value(rect, "height") };
                prop_assert!(reached.contains(min) && reached.contains(max), "{:?} {:?}", min, max);
            }
            let square = group(page, "scale-square");
            prop_assert_eq!((value(square, "width"), value(square, "height")), (100.0, 100.0));
            let outline: Vec<Vec<Point>> = chains(group(page, "lines"));
            for (k, own) in page.labels.iter().enumerate() {
                prop_assert!(reached.contains_bounds(own), "{:?}", own);
                let inner = own.grown(-1e-3);
                prop_assert!(!page.labels[..k].iter().any(|b| overlaps(b, &inner)));
                let mut sides = outline.iter().flat_map(|c| c.windows(2));
                prop_assert!(!sides.any(|s| line_meets(&inner, s[0], s[1])), "{:?}", own);
            }
            for text in drawn.split("<text ").skip(1) {
                let size = value(text, "font-size");
                prop_assert!(size >= LEAST_PRINTED - 0.001, "{}", size);
                let words = text.split('>').nth(1).and_then(|t| t.split('<').next()).unwrap_or_default();
                let is_seam = words.split_once('/').is_some_and(|(a, b)| {
                    [a, b].iter().all(|n| n.chars().all(|c| c.is_ascii_alphanumeric()))
                });
                if is_seam {
                    *seams.entry(words.to_owned()).or_default() += 1;
                }
            }
            let heading = format!("sheet {}, ", tile_name(*tile));
            prop_assert!(drawn.contains(&heading) || pages.len() == 1);
            let texts = drawn.split("<text ").skip(1).filter_map(|t| t.split('>').nth(1)?.split('<').next());
            let read = texts.collect::<Vec<_>>().join(" ");
            let caution = heartside_cutting::DEFERENCE.replace('\'', "&#39;");
            prop_assert!(read.contains(&caution), "{}", read);
        }
        // Every two neighbours name their seam, each on its own sheet.
        let mut wanted = BTreeMap::new();
        for (row, column) in pages.keys().copied() {
            for other in [(row + 1, column), (row, column + 1)] {
                if pages.contains_key(&other) {
                    wanted.insert(format!("{}/{}", tile_name((row, column)), tile_name(other)), 2);
                }
            }
        }
        prop_assert_eq!(seams, wanted);
    }
}
