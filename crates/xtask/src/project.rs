//! Where the project's folders are.

use std::env;
use std::path::{Path, PathBuf};

use crate::fault::{Fault, Outcome};

/// The project's folders. All paths are absolute.
#[derive(Debug, Clone)]
pub(crate) struct Project {
    /// The folder that holds the workspace's Cargo.toml.
    pub(crate) root: PathBuf,
    /// Where native builds go.
    pub(crate) target: PathBuf,
}

impl Project {
    /// Finds the project from where this program was built.
    pub(crate) fn find() -> Outcome<Self> {
        // Cargo sets the variable at run time too; the built-in value would name the folder
        // of another copy if target folders are shared.
        let manifest = env::var_os("CARGO_MANIFEST_DIR")
            .map_or_else(|| PathBuf::from(env!("CARGO_MANIFEST_DIR")), PathBuf::from);
        let root = manifest
            .ancestors()
            .nth(2)
            .filter(|root| root.join("Cargo.toml").is_file())
            .ok_or_else(|| {
                Fault::new("the project folder is not where it was when this was built")
            })?
            .to_owned();
        let target = match env::var_os("CARGO_TARGET_DIR") {
            Some(chosen) => root.join(chosen),
            None => root.join("target"),
        };
        Ok(Self { root, target })
    }

    /// A path inside the project, written with `/`.
    pub(crate) fn at(&self, inside: impl AsRef<Path>) -> PathBuf {
        self.root.join(inside)
    }

    /// The page's sources.
    pub(crate) fn web(&self) -> PathBuf {
        self.at("web")
    }

    /// Target folder of the WebAssembly build: its own, so that two compilers do not throw
    /// away each other's work.
    pub(crate) fn wasm_target(&self) -> PathBuf {
        self.target.join("wasm")
    }
}

/// Whether an automatic run on a build machine is under way.
pub(crate) fn in_ci() -> bool {
    env::var("CI").is_ok_and(|value| !matches!(value.as_str(), "" | "0" | "false"))
}
