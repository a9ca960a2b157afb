//! The Rust tests, several test programs at a time.
//!
//! `cargo test` runs one program after another, and near the end of each most cores wait for its
//! longest test. So cargo only builds them here. A runner that does this and more (cargo-nextest)
//! would take longer to install on a build machine than it saves.

use std::path::PathBuf;
use std::sync::Mutex;
use std::thread;

use serde_json::Value;

use crate::command::{Program, Transcript};
use crate::fault::{Fault, Outcome};
use crate::project::Project;
use crate::tally::{Tally, failed_of_cargo};

/// A compiled program of tests.
#[derive(Debug, Clone, PartialEq, Eq)]
struct TestProgram {
    /// What is told when it runs, such as `tests/laws.rs of crates/nest`.
    name: String,
    /// Folder of its package, in which it runs as under `cargo test`.
    folder: PathBuf,
    executable: PathBuf,
}

/// Builds and runs all tests and the examples of the documentation; `tally` takes their counts
/// even where one fails.
///
/// `meanwhile` is started at once, since cargo leaves a core idle wherever crates wait for each other,
/// and is waited for at the end.
///
/// # Errors
/// Where they cannot be built, or a program or an example fails: then all that failed are named.
pub(crate) fn run(
    project: &Project,
    tally: &mut Tally,
    meanwhile: impl FnOnce() + Send,
) -> Outcome<()> {
    thread::scope(|scope| {
        scope.spawn(meanwhile);
        build_and_run(project, tally)
    })
}

fn build_and_run(project: &Project, tally: &mut Tally) -> Outcome<()> {
    let built = Program::cargo(project)
        .arguments(["test", "--workspace", "--no-run"])
        .argument("--message-format=json-render-diagnostics")
        .keep()?;
    let programs = programs(&built);
    if programs.is_empty() {
        return Err(Fault::new("cargo built no tests"));
    }
    let waiting = Mutex::new(programs.iter());
    let done = Mutex::new((Tally::default(), Vec::new()));
    let next = || waiting.lock().ok()?.next();
    thread::scope(|scope| {
        for _ in 0..thread::available_parallelism().map_or(2, usize::from) {
            scope.spawn(|| {
                while let Some(program) = next() {
                    let end = program.run();
                    if let Ok(mut done) = done.lock() {
                        // Under the lock, so that the words of two programs do not mix.
                        println!("\n     Running {}", program.name);
                        match end {
                            Ok(Transcript { text, end }) => {
                                print!("{text}");
                                done.0 += Tally::of_cargo(&text);
                                if end.is_err() {
                                    done.1.push(told_failure(&program.name, &text));
                                }
                            }
                            Err(fault) => {
                                println!("{fault}");
                                done.1.push(program.name.clone());
                            }
                        }
                    }
                }
            });
        }
    });
    let (sum, mut failed) = done
        .into_inner()
        .map_err(|_| Fault::new("a thread that ran tests has panicked"))?;
    *tally += sum;

    let examples = Program::cargo(project)
        .arguments(["test", "--workspace", "--doc", "--no-fail-fast"])
        .run_and_keep()?;
    *tally += Tally::of_cargo(&examples.text);
    if examples.end.is_err() {
        failed.push(told_failure(
            "the examples of the documentation",
            &examples.text,
        ));
    }
    if failed.is_empty() {
        Ok(())
    } else {
        Err(Fault::new(format!("tests failed: {}", failed.join(", "))))
    }
}

/// A program that failed, and which of its tests.
fn told_failure(program: &str, text: &str) -> String {
    match failed_of_cargo(text).as_slice() {
        [] => program.to_owned(),
        tests => format!("{program} ({})", tests.join(", ")),
    }
}

impl TestProgram {
    fn run(&self) -> Outcome<Transcript> {
        Program::new(&self.executable)
            .folder(&self.folder)
            // As cargo sets it; inherited, it would name this program's package.
            .variable("CARGO_MANIFEST_DIR", &self.folder)
            .variable("PROPTEST_RNG_SEED", random_seed())
            .keep_all()
    }
}

/// What random tests start from: the same in every run, so that a failure is one of the change at
/// hand; another where `PROPTEST_RNG_SEED` says so.
fn random_seed() -> String {
    std::env::var("PROPTEST_RNG_SEED").unwrap_or_else(|_| "1".to_owned())
}

/// The programs of tests among cargo's messages, one JSON object a line (The Cargo Book,
/// "External tools").
fn programs(messages: &str) -> Vec<TestProgram> {
    let program = |line: &str| {
        let message: Value = serde_json::from_str(line).ok()?;
        if message["reason"] != "compiler-artifact" || message["profile"]["test"] != true {
            return None;
        }
        let folder = PathBuf::from(message["manifest_path"].as_str()?)
            .parent()?
            .to_owned();
        let package = folder.file_name()?.to_string_lossy().into_owned();
        let source = PathBuf::from(message["target"]["src_path"].as_str()?);
        let source = source.strip_prefix(&folder).unwrap_or(&source).display();
        Some(TestProgram {
            name: format!("{source} of {package}"),
            executable: PathBuf::from(message["executable"].as_str()?),
            folder,
        })
    };
    messages.lines().filter_map(program).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn programs_of_tests_are_told_from_what_else_is_built() {
        let artifact = |test: bool, executable: &str| {
            format!(
                r#"{{"reason":"compiler-artifact","manifest_path":"/a/crates/nest/Cargo.toml","target":{{"src_path":"/a/crates/nest/tests/laws.rs"}},"profile":{{"test":{test}}},"executable":{executable}}}"#
            )
        };
        let messages = [
            artifact(true, r#""/a/target/laws-1""#),
            artifact(false, r#""/a/target/heartside""#),
            artifact(true, "null"),
            r#"{"reason":"build-finished","success":true}"#.to_owned(),
            "no JSON".to_owned(),
        ]
        .join("\n");
        assert_eq!(
            programs(&messages),
            [TestProgram {
                name: "tests/laws.rs of nest".to_owned(),
                folder: PathBuf::from("/a/crates/nest"),
                executable: PathBuf::from("/a/target/laws-1"),
            }]
        );
    }
}
