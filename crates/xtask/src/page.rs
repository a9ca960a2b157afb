//! From sources to the one HTML file.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use crate::command::Program;
use crate::core_module::{self, CoreModule, Finish};
use crate::fault::{Fault, Outcome, read_text, write_file};
use crate::html::{self, Ingredients};
use crate::javascript;
use crate::packing::file_of;
use crate::project::Project;

/// The page may take this much on disk.
const BUDGET: usize = 1_335_000;

/// Builds everything, with as much trouble as is asked for, and returns the path of the finished file.
pub(crate) fn build(project: &Project, finish: Finish) -> Outcome<PathBuf> {
    let core = core_module::build(project, finish)?;
    build_with(project, &core)
}

/// Builds the file around a core that is ready.
pub(crate) fn build_with(project: &Project, core: &CoreModule) -> Outcome<PathBuf> {
    javascript::fetch_tools(project)?;
    let shell = read_text(&project.at("web/index.html"))?;
    let ingredients = Ingredients {
        starter: bundle(project, "start.ts", "start.js")?,
        unpacker: bundle(project, "unpacker.ts", "unpacker.js")?,
        script: bundle(project, "main.ts", "page.js")?,
        worker: bundle(project, "worker/solver.worker.ts", "worker.js")?,
        ground: bundle(project, "style/ground.css", "ground.css")?,
        style: bundle(project, "style.css", "page.css")?,
        fixtures: fixtures(project)?,
        wasm: core.wasm.clone(),
        finish: core.finish,
    };
    let file = file_of(&html::assemble(&shell, &ingredients)?);
    let built = project.at("web/dist/heartside.html");
    write_file(&built, &file)?;
    report_sizes(&ingredients, file.len());
    if core.finish == Finish::Small && file.len() > BUDGET {
        return Err(Fault::new(format!(
            "the page takes {}, more than its budget of {}",
            kilobytes(file.len()),
            kilobytes(BUDGET)
        ))
        .mended_by("take weight out of it: the sizes of its ingredients stand above"));
    }
    Ok(built)
}

/// Opens the file in the person's browser.
pub(crate) fn show(built: &Path) -> Outcome<()> {
    let program = if cfg!(target_os = "macos") {
        Program::new("open")
    } else if cfg!(windows) {
        Program::new("cmd").arguments(["/C", "start", ""])
    } else {
        Program::new("xdg-open")
    };
    program.argument(built).run().map_err(|_| {
        Fault::new("the page is built, but no browser could be started")
            .mended_by(format!("open {} in a browser", built.display()))
    })
}

fn bundle(project: &Project, source: &str, result: &str) -> Outcome<String> {
    let bundled = project.wasm_target().join("bundled").join(result);
    javascript::tool(project, "esbuild/bin/esbuild")
        .argument(project.at("web/src").join(source))
        .arguments([
            "--bundle",
            "--format=iife",
            "--target=es2022",
            "--minify",
            "--charset=utf8",
            "--legal-comments=none",
            "--log-level=warning",
        ])
        .argument(format!("--outfile={}", bundled.display()))
        .run()?;
    read_text(&bundled)
}

/// The jobs that come with the page; those that are there, since none is needed to build it.
fn fixtures(project: &Project) -> Outcome<BTreeMap<String, String>> {
    let folder = project.at("fixtures");
    let mut jobs = BTreeMap::new();
    let Ok(entries) = fs::read_dir(&folder) else {
        return Ok(jobs);
    };
    for entry in entries.flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        if name.ends_with(".heartside.json") {
            jobs.insert(name, read_text(&entry.path())?);
        }
    }
    Ok(jobs)
}

fn report_sizes(ingredients: &Ingredients, page: usize) {
    let jobs: usize = ingredients.fixtures.values().map(String::len).sum();
    println!(
        "core {} unpacked; script {}, worker {}, styles {}, {} jobs {}",
        kilobytes(ingredients.wasm.len()),
        kilobytes(ingredients.script.len()),
        kilobytes(ingredients.worker.len()),
        kilobytes(ingredients.ground.len() + ingredients.style.len()),
        ingredients.fixtures.len(),
        kilobytes(jobs),
    );
    println!("page {} of at most {}", kilobytes(page), kilobytes(BUDGET));
}

fn kilobytes(bytes: usize) -> String {
    format!("{}.{} kB", bytes / 1000, bytes % 1000 / 100)
}
