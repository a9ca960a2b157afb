//! Writes every kind of drawing of the invented sample job into a folder, to be looked at:
//! `cargo run -p heartside-drawing --example sample -- DIR`.

#![allow(clippy::print_stdout, clippy::unwrap_used, unused)]

#[path = "../tests/sample/mod.rs"]
mod sample;

use heartside_drawing::{
    OnTheFloor, Options, Paper, Theme, View, board_svg, floor, overview_svg, palette_variables,
    sheets, style_sheet, trestle,
};

fn main() {
    let folder = std::env::args()
        .nth(1)
        .unwrap_or_else(|| "target/sample-drawings".into());
    std::fs::create_dir_all(&folder).unwrap();
    let write = |name: &str, text: &str| std::fs::write(format!("{folder}/{name}"), text).unwrap();
    let (job, plan, findings) = (sample::job(), sample::plan(), sample::findings());
    let steps = heartside_cutting::steps(&job, &plan);
    for step in &steps {
        println!("{}. {}", step.number, step.text.join(" "));
        for caution in &step.cautions {
            println!("     ! {}", caution.text);
        }
    }
    let options = Options {
        date: "25 November 2026",
        findings: Some(&findings),
        ..Options::default()
    };
    for layout in &plan.layouts {
        let drawing = board_svg(&job, &plan, &layout.board, &steps, &options).unwrap();
        write(&format!("{}.svg", drawing.name), &drawing.svg);
    }
    let dark = Options {
        theme: Theme::Dark,
        ..options
    };
    write(
        "overview.svg",
        &overview_svg(&job, &plan, &steps, &options).svg,
    );
    write(
        "overview-dark.svg",
        &overview_svg(&job, &plan, &steps, &dark).svg,
    );
    for (paper, name) in [(Paper::A4, "a4"), (Paper::Letter, "letter")] {
        let print = Options {
            theme: Theme::Print,
            ..options
        };
        let (w, h) = paper.size();
        let pages: Vec<String> = sheets(&job, &plan, &steps, paper, &print)
            .into_iter()
            .map(|d| d.svg)
            .collect();
        write(
            &format!("sheets-{name}.html"),
            &format!(
                "<!doctype html><style>@page{{size:{w}mm {h}mm;margin:0}}body{{margin:0}}svg{{display:block;page-break-after:always}}</style>{}",
                pages.concat()
            ),
        );
    }
    for (name, scale, width) in [
        ("floor", 0.42, 1400.0),
        ("floor-small", 0.16, 520.0),
        ("floor-near", 0.9, 2600.0),
    ] {
        let view = View {
            pixels_per_mm: scale,
            ..View::default()
        };
        let on = OnTheFloor {
            job: &job,
            plan: Some(&plan),
            steps: &steps,
            findings: &findings,
            moved: &[],
        };
        let floor = floor(&on, &view);
        let mut fragments = floor.fragments.clone();
        fragments.sort_by_key(|f| f.layer);
        let body: String = fragments.iter().map(|f| f.svg.as_str()).collect();
        let b = floor.bounds;
        println!(
            "{name}: {} fragments, {} labels left out, {} bytes",
            fragments.len(),
            floor.left_out,
            body.len()
        );
        write(
            &format!("{name}.html"),
            &format!(
                "<!doctype html><style>{}body{{margin:0;background:#f6f2e9}}</style><svg width=\"{}\" height=\"{}\" viewBox=\"{} {} {} {}\">{body}</svg>",
                style_sheet(Theme::Light),
                b.width() * scale + 40.0,
                b.height() * scale + 40.0,
                b.min.x - 20.0 / scale,
                b.min.y - 20.0 / scale,
                b.width() + 40.0 / scale,
                b.height() + 40.0 / scale
            ),
        );
        let _ = width;
    }
    println!("{}", trestle(&job, Some(&plan), 0.4, 50).len());
    println!("{}", palette_variables(Theme::Dark));
}
