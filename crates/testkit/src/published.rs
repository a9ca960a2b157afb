//! Published instances, from the folder that holds them.

use std::path::PathBuf;

use heartside_trials::instance::{Instance, Options};

/// The folder of the published instances: what `HEARTSIDE_INSTANCES` names, or the one beside the
/// repository.
pub fn instances_folder() -> PathBuf {
    std::env::var_os("HEARTSIDE_INSTANCES").map_or_else(
        || concat!(env!("CARGO_MANIFEST_DIR"), "/../../../shared/benchmarks").into(),
        PathBuf::from,
    )
}

/// The published instance `FAMILY/NAME`; none, with a printed skip, where it is not there.
///
/// # Panics
/// Where it cannot be read, and where it is missing though `CI` is set.
#[allow(clippy::print_stdout, reason = "what is skipped is said")]
pub fn published(name: &str, options: &Options) -> Option<Instance> {
    let path = instances_folder().join(format!("{name}.json"));
    let Ok(text) = std::fs::read_to_string(&path) else {
        let path = path.display();
        assert!(std::env::var_os("CI").is_none(), "{path} is missing");
        println!("skipped: {path} is not there");
        return None;
    };
    let read = Instance::read(&text, options);
    Some(read.unwrap_or_else(|error| panic!("{}: {error}", path.display())))
}
