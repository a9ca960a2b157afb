//! Writes labels and templates of jobs with their plans into a folder, to be looked at:
//! `cargo run -p heartside-drawing --example paper_out -- DIR JOB...`.

#![allow(clippy::print_stdout, clippy::unwrap_used, unused)]

use heartside_drawing::{
    COMMON_GRIDS, LabelPrint, Paper, TemplatePrint, label_sheets, layout_templates, offcut_labels,
    part_labels, part_templates, template_sheets,
};
use heartside_timber::document::Document;
use heartside_timber::plan::Plan;
use heartside_timber::{Choices, prepare_with};

fn main() {
    let mut arguments = std::env::args().skip(1);
    let folder = arguments.next().unwrap();
    std::fs::create_dir_all(&folder).unwrap();
    for file in arguments {
        let stem = std::path::Path::new(&file).file_name().unwrap();
        let stem = stem.to_string_lossy().replace(".heartside.json", "");
        let document = Document::open(&std::fs::read_to_string(&file).unwrap());
        let document = document.unwrap().document;
        let plan = document.plan.clone().unwrap_or_default();
        let job = prepare_with(&document, &Choices::of(&plan)).job;
        let steps = heartside_cutting::steps(&job, &plan);
        let date = "25 November 2026";
        let write = |name: &str, text: &str| {
            std::fs::write(format!("{folder}/{stem}-{name}.svg"), text).unwrap();
        };
        for (k, grid) in COMMON_GRIDS.into_iter().enumerate() {
            let print = LabelPrint {
                grid,
                first: 3,
                cut_lines: k == 5 || k == 9,
            };
            let mut labels = part_labels(&job, &plan);
            labels.extend(offcut_labels(&job, &plan, &steps, date));
            for page in label_sheets(&labels, &print, &job.units).unwrap() {
                write(&format!("grid{k}-{}", page.name), &page.svg);
            }
        }
        let mut templates = part_templates(&job);
        templates.extend(layout_templates(&job, &plan, &steps));
        for (paper, name) in [
            (Paper::A4, "a4"),
            (Paper::A3, "a3"),
            (Paper::Letter, "letter"),
        ] {
            let print = TemplatePrint {
                paper,
                date,
                ..TemplatePrint::default()
            };
            for template in &templates {
                match template_sheets(template, &print) {
                    Ok(sheets) => {
                        println!(
                            "{stem}, {}, {name}: {} sheets, left out {:?}",
                            template.title,
                            sheets.pages.len(),
                            sheets.left_out
                        );
                        for page in sheets.pages {
                            write(&format!("{name}-{}", page.name), &page.svg);
                        }
                    }
                    Err(why) => println!("{why}"),
                }
            }
        }
    }
}
