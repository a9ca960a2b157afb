//! The command as a person runs it: how the tests start it and what they get back.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// Runs the command to its end.
pub(crate) fn heartside(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_heartside"))
        .args(arguments)
        .output()
        .expect("the command starts")
}

/// The path of a demo job.
pub(crate) fn fixture(name: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../fixtures")
        .join(name);
    path.to_str().expect("a plain path").to_owned()
}

/// A folder of this test's own, emptied.
pub(crate) fn folder(name: &str) -> PathBuf {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = std::fs::remove_dir_all(&path);
    std::fs::create_dir_all(&path).expect("a folder");
    path
}

/// What a stream said.
pub(crate) fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

/// Both streams, one after the other.
pub(crate) fn text_of(run: &Output) -> String {
    text(&run.stdout) + &text(&run.stderr)
}

/// A job set out for a few hundred steps in a folder of its own: how it ended, and the folder.
pub(crate) fn set_out(name: &str, job: &serde_json::Value) -> (Output, PathBuf) {
    let folder = folder(name);
    let path = folder.join("job.heartside.json");
    std::fs::write(&path, job.to_string()).expect("written");
    let out = folder.join("out");
    let run = heartside(&[
        "set-out",
        path.to_str().expect("plain"),
        "-o",
        out.to_str().expect("plain"),
        "--steps",
        "400",
    ]);
    (run, out)
}

/// The plan that a run wrote.
pub(crate) fn plan_in(folder: &Path) -> serde_json::Value {
    let text = std::fs::read_to_string(folder.join("plan.heartside.json")).expect("a plan");
    let document: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    document["plan"].clone()
}
