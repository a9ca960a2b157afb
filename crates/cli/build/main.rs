//! Gives the command's benchmarks a name for the engine they measure.
//!
//! `HEARTSIDE_ENGINE` is the beginning of a hash over the sources that decide what a search
//! finds, `HEARTSIDE_TRIALS` over those and what only published instances use. Results that were
//! kept under another name are of another engine. Comments and tests make no difference.

// Cargo reads what is printed.
#![allow(clippy::print_stdout)]

mod bare;

use std::error::Error;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use sha2::{Digest, Sha256};

/// The crates that a search is made of; the last is part of trials only.
const CRATES: [&str; 4] = ["geometry", "timber", "nest", "trials"];

/// Bytes of the hash that are told: too few to be the same by chance only where one looks for it.
const TOLD: usize = 6;

/// Files that hold tests alone.
const TESTS: [&str; 2] = ["tests.rs", "samples.rs"];

fn main() -> Result<(), Box<dyn Error>> {
    let crates = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let mut hash = Sha256::new();
    for name in CRATES {
        if name == "trials" {
            tell("HEARTSIDE_ENGINE", hash.clone());
        }
        let folder = crates.join(name).join("src");
        println!("cargo:rerun-if-changed={}", folder.display());
        for file in sources(&folder)? {
            let is_test = file
                .file_name()
                .is_some_and(|f| TESTS.iter().any(|t| f == *t));
            if is_test {
                continue;
            }
            let inside = file.strip_prefix(&crates)?.to_string_lossy().into_owned();
            let text = bare::bare(&fs::read_to_string(&file)?);
            // Lengths in between: no two sets of files read alike.
            hash.update(format!("{inside} {}\n", text.len()));
            hash.update(&text);
        }
    }
    tell("HEARTSIDE_TRIALS", hash);
    Ok(())
}

fn tell(name: &str, hash: Sha256) {
    let told: String = hash.finalize()[..TOLD]
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect();
    println!("cargo:rustc-env={name}={told}");
}

/// The files of a folder and of the folders in it, in the order of their names.
fn sources(folder: &Path) -> io::Result<Vec<PathBuf>> {
    let mut files = Vec::new();
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() {
            files.extend(sources(&path)?);
        } else {
            files.push(path);
        }
    }
    files.sort();
    Ok(files)
}
