//! The house is in order: what may use what, and what core crates may not touch.

// What was found is told in full.
#![allow(clippy::print_stdout)]

mod sources;

use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;

use sources::{Sources, project};

/// Public functions without a caller in the product, and why they stay.
const WITHOUT_CALLER: [(&str, &str); 9] = [
    ("change_beyond", "movement of panels, to come"),
    ("change_in_use", "movement of panels, to come"),
    ("coefficient_at_ring_angle", "movement of panels, to come"),
    ("depth_in_each_of", "staves of panels, to come"),
    ("flat_from_twist", "staves of panels, to come"),
    ("joint_gap", "staves of panels, to come"),
    ("schema_text", "the schema is written by its test"),
    ("correlated", "the outside oracle holds it against scipy's"),
    ("has_errors", "tests ask whether a job is sound"),
];

fn crates() -> Vec<PathBuf> {
    let mut list: Vec<PathBuf> = std::fs::read_dir(project().join("crates"))
        .expect("the folder of crates")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.join("Cargo.toml").is_file())
        .collect();
    list.sort();
    list
}

/// Sets of files each of which leads to every other: Tarjan's strongly connected components by plain
/// reachability, for there are some hundred files.
fn circles(edges: &BTreeMap<PathBuf, BTreeSet<PathBuf>>) -> Vec<Vec<PathBuf>> {
    let reached = |from: &PathBuf| {
        let mut seen: BTreeSet<&PathBuf> = BTreeSet::new();
        let mut waiting: Vec<&PathBuf> = edges[from].iter().collect();
        while let Some(file) = waiting.pop() {
            if seen.insert(file) {
                waiting.extend(edges.get(file).into_iter().flatten());
            }
        }
        seen.into_iter().cloned().collect::<BTreeSet<_>>()
    };
    let all: BTreeMap<&PathBuf, BTreeSet<PathBuf>> =
        edges.keys().map(|file| (file, reached(file))).collect();
    let mut found: Vec<Vec<PathBuf>> = Vec::new();
    for (file, reaches) in &all {
        if !reaches.contains(*file) || found.iter().flatten().any(|f| f == *file) {
            continue;
        }
        let back = reaches
            .iter()
            .filter(|f| all.get(f).is_some_and(|r| r.contains(*file)));
        found.push(back.cloned().collect());
    }
    found
}

/// Two files may be one thought where the head of one of them says so.
fn is_explained(circle: &[PathBuf]) -> bool {
    circle.iter().any(|file| {
        let text = std::fs::read_to_string(file).unwrap_or_default();
        text.lines()
            .take_while(|l| l.starts_with("//!"))
            .any(|l| l.contains("one thought"))
    })
}

#[test]
fn no_two_files_need_each_other() {
    let mut told = String::new();
    for folder in crates() {
        let Some(sources) = Sources::of(&folder) else {
            continue;
        };
        let edges = sources.edges();
        for circle in circles(&edges) {
            if is_explained(&circle) {
                continue;
            }
            let name = |f: &PathBuf| {
                let inside = f.strip_prefix(&folder).unwrap_or(f).display().to_string();
                inside.replace("src/", "")
            };
            let crate_name = folder.file_name().unwrap_or_default().to_string_lossy();
            told += &format!("{crate_name}, {} files:\n", circle.len());
            for file in &circle {
                let to: Vec<String> = edges[file]
                    .iter()
                    .filter(|f| circle.contains(f))
                    .map(name)
                    .collect();
                told += &format!("  {} needs {}\n", name(file), to.join(", "));
            }
        }
    }
    assert!(told.is_empty(), "files that need each other:\n{told}");
}

/// The crates that decide: they are told everything and touch nothing.
const CORE: [&str; 9] = [
    "geometry", "timber", "nest", "check", "cutting", "drawing", "exchange", "figure", "app",
];

#[test]
fn core_crates_touch_no_clock_file_thread_or_environment() {
    let told: String = core().iter().map(|(name, s)| touched(name, s)).collect();
    assert!(told.is_empty(), "{told}");
    let command = Sources::of(&project().join("crates/cli")).expect("the command's sources");
    assert!(
        !touched("cli", &command).is_empty(),
        "the command does write files"
    );
}

/// Where threads may share what was seen: it would come out the same again.
const REMEMBERS: [&str; 1] = ["app/src/figure/judge.rs"];

/// What a crate names of the world outside, line by line.
fn touched(name: &str, sources: &Sources) -> String {
    let barred = [
        "time", "thread", "fs", "env", "net", "process", "io", "sync",
    ];
    let mut told = String::new();
    for module in sources.modules.values() {
        let file = told_file(&module.file);
        let remembers = REMEMBERS.contains(&file.as_str());
        for path in &module.paths {
            let is_barred = path.first().is_some_and(|p| p == "std")
                    && path.get(1).is_some_and(|p| barred.contains(&p.as_str()))
                    // Shared by threads but deciding nothing.
                    && !path.iter().any(|p| p == "Arc" || p == "OnceLock" || p == "LazyLock")
                    && !(remembers && path.get(1).is_some_and(|p| p == "sync"));
            if is_barred {
                told += &format!("{name}: {file} uses {}\n", path.join("::"));
            }
        }
        for word in ["thread_local", "RefCell", "Mutex", "RwLock"] {
            if module.words.contains_key(word) && !(remembers && word == "Mutex") {
                told += &format!("{name}: {file} says {word}\n");
            }
        }
    }
    told
}

fn told_file(file: &std::path::Path) -> String {
    let text = file.display().to_string();
    text.split("crates/").last().unwrap_or_default().to_owned()
}

/// Which crate may use which, as the picture in DEVELOPERS.md has it.
const ARROWS: [(&str, &[&str]); 13] = [
    ("geometry", &[]),
    ("figure", &["geometry"]),
    ("timber", &["geometry"]),
    ("nest", &["geometry", "timber"]),
    ("check", &["geometry", "timber"]),
    ("cutting", &["geometry", "timber"]),
    ("exchange", &["geometry", "timber", "cutting"]),
    ("drawing", &["geometry", "timber", "cutting"]),
    ("trials", &["geometry", "timber", "nest"]),
    (
        "app",
        &[
            "geometry", "timber", "nest", "check", "cutting", "drawing", "exchange", "figure",
        ],
    ),
    ("wasm", &["app"]),
    (
        "cli",
        &[
            "geometry", "timber", "nest", "check", "cutting", "drawing", "exchange", "app",
            "trials",
        ],
    ),
    ("xtask", &[]),
];

/// The names under `[dependencies]` of a crate.
fn dependencies(name: &str) -> Vec<String> {
    let manifest = project().join("crates").join(name).join("Cargo.toml");
    let text = std::fs::read_to_string(&manifest).expect("a readable manifest");
    let after = text.split("[dependencies]\n").nth(1).unwrap_or_default();
    let section = after.split("\n[").next().unwrap_or_default();
    let lines = section
        .lines()
        .filter(|l| !l.starts_with('#') && !l.trim().is_empty());
    lines
        .filter_map(|l| l.split(['.', ' ', '=']).next())
        .filter(|d| !d.is_empty())
        .map(str::to_owned)
        .collect()
}

#[test]
fn crates_use_each_other_one_way_and_no_more_than_they_need() {
    let mut told = String::new();
    for (name, may_use) in ARROWS {
        let Some(sources) = Sources::of(&project().join("crates").join(name)) else {
            continue;
        };
        for dependency in dependencies(name) {
            if let Some(ours) = dependency.strip_prefix("heartside-")
                && !may_use.contains(&ours)
            {
                told += &format!("{name} must not use {ours}\n");
            }
            // Derives write this name; it need not stand in the sources.
            if dependency == "wasm-bindgen" {
                continue;
            }
            let word = dependency.replace('-', "_");
            if !sources
                .modules
                .values()
                .any(|m| m.words.contains_key(&word))
            {
                told += &format!("{name} names {dependency} in its manifest and nowhere else\n");
            }
        }
    }
    assert!(told.is_empty(), "{told}");
}

fn core() -> Vec<(&'static str, Sources)> {
    let read = |name| Sources::of(&project().join("crates").join(name));
    CORE.into_iter()
        .filter_map(|name| Some((name, read(name)?)))
        .collect()
}

#[test]
fn every_public_function_has_a_caller() {
    let mut said: BTreeMap<String, usize> = BTreeMap::new();
    let mut defined: BTreeMap<String, usize> = BTreeMap::new();
    for folder in crates().into_iter().filter(|f| !f.ends_with("testkit")) {
        for module in Sources::of(&folder).iter().flat_map(|s| s.modules.values()) {
            for (word, times) in &module.words {
                *said.entry(word.clone()).or_default() += times;
            }
            for name in &module.offers {
                *defined.entry(name.clone()).or_default() += 1;
            }
        }
    }
    let mut unused = BTreeMap::new();
    for (_, sources) in core() {
        for module in sources.modules.values() {
            let without = module.offers.iter().filter(|n| said[*n] <= defined[*n]);
            unused.extend(without.map(|name| (name.clone(), told_file(&module.file))));
        }
    }
    for (name, why) in WITHOUT_CALLER {
        let is_unused = unused.remove(name).is_some();
        assert!(
            is_unused,
            "{name} has a caller now, and needs no excuse: {why}"
        );
    }
    assert!(
        unused.is_empty(),
        "public functions without a caller: {unused:#?}"
    );
}

#[test]
fn every_place_that_the_guide_names_is_there() {
    let guide = std::fs::read_to_string(project().join("DEVELOPERS.md")).expect("the guide");
    let places = guide.split('`').filter(|word| {
        let begins = ["crates/", "web/", "tests/", "fixtures/"];
        begins.iter().any(|b| word.starts_with(b)) && !word.contains([' ', '*', '\n'])
    });
    let missing: BTreeSet<&str> = places
        .filter(|place| !project().join(place).exists())
        .collect();
    assert!(
        missing.is_empty(),
        "DEVELOPERS.md names what is not there: {missing:?}"
    );
}

#[test]
fn every_file_of_tests_is_run() {
    let mut forgotten = Vec::new();
    for folder in crates() {
        let program = folder.join("tests/main.rs");
        let Ok(program) = std::fs::read_to_string(program) else {
            continue;
        };
        let own = std::fs::read_to_string(folder.join("Cargo.toml")).expect("a manifest");
        for entry in std::fs::read_dir(folder.join("tests")).expect("tests") {
            let path = entry.expect("an entry").path();
            let name = path.file_stem().unwrap_or_default().to_string_lossy();
            let is_rust = path.extension().is_some_and(|e| e == "rs");
            let has_a_module = is_rust || path.join("mod.rs").is_file();
            let is_run = name == "main"
                || program.contains(&format!("mod {name};"))
                || own.contains(&format!("\"tests/{name}.rs\""));
            if has_a_module && !is_run {
                forgotten.push(told_file(&path));
            }
        }
    }
    assert!(
        forgotten.is_empty(),
        "no tests/main.rs names them, and no [[test]]: {forgotten:?}"
    );
}
