//! The WebAssembly core: compiled, bound to JavaScript, made small.

use std::fs;
use std::path::{Path, PathBuf};

use sha2::{Digest, Sha256};
use wasm_bindgen_cli_support::Bindgen;

use crate::command::{Program, find_program};
use crate::fault::{Fault, Outcome, read_bytes, read_text, write_file};
use crate::javascript;
use crate::project::Project;

const TARGET: &str = "wasm32-unknown-unknown";

/// 128-bit vectors are in every browser that has DecompressionStream, which the page needs too.
const FEATURES: &str = "-Ctarget-feature=+simd128";

/// Passes of wasm-opt, and the features that the compiler may have used.
const WASM_OPT: [&str; 8] = [
    "-O1",
    "--enable-simd",
    "--enable-bulk-memory",
    "--enable-nontrapping-float-to-int",
    "--enable-sign-ext",
    "--enable-mutable-globals",
    "--enable-reference-types",
    "--enable-multivalue",
];

/// How much trouble is taken over a build.
#[derive(Debug, Default, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Finish {
    /// Small and fast: what people get.
    #[default]
    Small,
    /// Built in seconds, to look at a change: large, and the searches are slower.
    Quick,
}

impl Finish {
    /// The profile of `Cargo.toml`, which is also the name of cargo's folder.
    fn profile(self) -> &'static str {
        match self {
            Self::Small => "wasm",
            Self::Quick => "wasm-quick",
        }
    }
}

/// The core, ready for the page.
pub(crate) struct CoreModule {
    /// How it was built.
    pub(crate) finish: Finish,
    /// The module's bytes.
    pub(crate) wasm: Vec<u8>,
    /// Types of everything it exports, the same whichever compiler was used.
    pub(crate) types: String,
}

/// A way to compile for WebAssembly.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum WasmCompiler {
    /// The compiler in use has the target's standard library.
    Usual,
    /// A second compiler that has the standard library's sources and builds it along.
    WithLibrarySources {
        /// That compiler's cargo.
        cargo: PathBuf,
        /// The compiler.
        rustc: PathBuf,
    },
}

impl WasmCompiler {
    /// Finds a way, the usual one first.
    pub(crate) fn find() -> Option<Self> {
        let sysroot_of = |rustc: &Path| {
            let printed = Program::new(rustc)
                .arguments(["--print", "sysroot"])
                .without_variable("LD_LIBRARY_PATH")
                .read()
                .ok()?;
            Some(PathBuf::from(printed.trim()))
        };
        let usual = std::env::var_os("RUSTC").map_or_else(|| PathBuf::from("rustc"), PathBuf::from);
        if sysroot_of(&usual).is_some_and(|sysroot| has_target(&sysroot)) {
            return Some(Self::Usual);
        }
        let (cargo, rustc) = (
            PathBuf::from("/usr/bin/cargo"),
            PathBuf::from("/usr/bin/rustc"),
        );
        let has_sources = cargo.is_file()
            && find_program("rust-lld").is_some()
            && sysroot_of(&rustc)
                .is_some_and(|sysroot| sysroot.join("lib/rustlib/src/rust/library/std").is_dir());
        has_sources.then_some(Self::WithLibrarySources { cargo, rustc })
    }

    /// The command that compiles the core.
    fn build_command(&self, project: &Project, finish: Finish) -> Program {
        let program = match self {
            Self::Usual => Program::cargo(project).argument("build"),
            Self::WithLibrarySources { cargo, rustc } => Program::new(cargo)
                .folder(&project.root)
                .arguments(["build", "-Zbuild-std=std,panic_abort"])
                // Without backtraces, which no browser shows, a third of the library is left out; its
                // small sorts save half a megabyte, since each use of one is compiled anew.
                .argument("-Zbuild-std-features=optimize_for_size")
                .variable("RUSTC", rustc)
                // Building the library is not open to stable compilers otherwise.
                .variable("RUSTC_BOOTSTRAP", "1")
                // Set by the other cargo for its own compiler's libraries.
                .without_variable("LD_LIBRARY_PATH")
                .without_variable("RUSTUP_TOOLCHAIN")
                .without_variable("CARGO"),
        };
        program
            .arguments([
                "--package",
                "heartside-wasm",
                "--profile",
                finish.profile(),
                "--target",
                TARGET,
                "--target-dir",
            ])
            .argument(project.wasm_target())
            // Encoded flags win over RUSTFLAGS and may hold spaces.
            .variable(
                "CARGO_ENCODED_RUSTFLAGS",
                flags(&project.root, &registries()).join("\x1f"),
            )
    }
}

/// Compiler flags for the core.
///
/// Messages of a panic name source files. Shortened, they neither tell where the page was built
/// nor make it differ from one machine to the next.
fn flags(root: &Path, registries: &[PathBuf]) -> Vec<String> {
    let mut flags = vec![
        FEATURES.to_owned(),
        format!("--remap-path-prefix={}=.", root.display()),
    ];
    flags.extend(
        registries
            .iter()
            .map(|folder| format!("--remap-path-prefix={}=crates", folder.display())),
    );
    flags
}

/// Folders where cargo keeps the sources of crates, one for each registry used.
fn registries() -> Vec<PathBuf> {
    let home = std::env::var_os("CARGO_HOME").map(PathBuf::from);
    let Some(cargo) = home.or_else(|| Some(std::env::home_dir()?.join(".cargo"))) else {
        return Vec::new();
    };
    let entries = fs::read_dir(cargo.join("registry/src"))
        .into_iter()
        .flatten()
        .flatten();
    let mut folders: Vec<PathBuf> = entries.map(|entry| entry.path()).collect();
    folders.sort();
    folders
}

fn has_target(sysroot: &Path) -> bool {
    let library = sysroot.join("lib/rustlib").join(TARGET).join("lib");
    fs::read_dir(library).is_ok_and(|entries| {
        entries
            .flatten()
            .any(|entry| entry.file_name().to_string_lossy().starts_with("libstd-"))
    })
}

/// Compiles the core.
fn compile(project: &Project, finish: Finish) -> Outcome<()> {
    let compiler = WasmCompiler::find().ok_or_else(|| {
        Fault::new(format!("no compiler for {TARGET}")).mended_by("cargo xtask page --install")
    })?;
    compiler.build_command(project, finish).run()
}

/// Builds the core and writes its JavaScript side beside the types, where the page imports it.
///
/// Work already done for the same compiled module is not repeated.
pub(crate) fn build(project: &Project, finish: Finish) -> Outcome<CoreModule> {
    compile(project, finish)?;
    let compiled = read_bytes(
        &project
            .wasm_target()
            .join(TARGET)
            .join(finish.profile())
            .join("heartside_wasm.wasm"),
    )?;

    let folder = bound_folder(project);
    let stamp = stamp_of(&compiled, finish);
    let stamp_file = folder.join("stamp");
    if !fs::read_to_string(&stamp_file).is_ok_and(|old| old == stamp) {
        // Until all files are there again the old stamp must not vouch for them.
        let _ = fs::remove_file(&stamp_file);
        bind(compiled, &folder)?;
        if finish == Finish::Small {
            shrink(project, &folder)?;
        }
        write_file(&stamp_file, &stamp)?;
    }
    let script = read_text(&folder.join("heartside_wasm.js"))?;
    write_file(&project.at("web/src/protocol/generated.js"), script)?;
    Ok(CoreModule {
        finish,
        wasm: read_bytes(&module_file(project))?,
        types: read_text(&folder.join("heartside_wasm.d.ts"))?,
    })
}

/// The finished module on disk, for tests that start it outside the page.
pub(crate) fn module_file(project: &Project) -> PathBuf {
    bound_folder(project).join("heartside_wasm_bg.wasm")
}

/// Folder of the bound core: its JavaScript side, its types and the module.
fn bound_folder(project: &Project) -> PathBuf {
    project.wasm_target().join("bound")
}

fn stamp_of(compiled: &[u8], finish: Finish) -> String {
    let mut hash = Sha256::new();
    hash.update(compiled);
    hash.update(finish.profile());
    hash.update(WASM_OPT.join(" "));
    hash.update(env!("CARGO_PKG_VERSION"));
    hash.finalize()
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect()
}

fn bind(compiled: Vec<u8>, folder: &Path) -> Outcome<()> {
    let bound = || -> Result<(), Box<dyn std::error::Error>> {
        let mut bindgen = Bindgen::new();
        bindgen
            .input_bytes("heartside_wasm", compiled)
            .web(true)?
            .typescript(true)
            // After a panic the page makes a new instance of the module in place of the broken one.
            .reset_state_function(true)
            .remove_name_section(true);
        bindgen.remove_producers_section(true);
        bindgen.generate(folder)?;
        Ok(())
    };
    bound().map_err(|error| {
        Fault::new(format!("the core cannot be bound to JavaScript: {error}")).mended_by(
            "if it speaks of versions: make wasm-bindgen and wasm-bindgen-cli-support the same in Cargo.toml",
        )
    })
}

fn shrink(project: &Project, folder: &Path) -> Outcome<()> {
    javascript::fetch_tools(project)?;
    let bound = folder.join("heartside_wasm_bg.wasm");
    let small = folder.join("heartside_wasm_bg.small.wasm");
    javascript::tool(project, "binaryen/bin/wasm-opt")
        .arguments(WASM_OPT)
        .argument(&bound)
        .argument("-o")
        .argument(&small)
        .run()?;
    fs::rename(&small, &bound).map_err(|error| Fault::about_file("replace", &bound, &error))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_folder_of_this_machine_stays_in_messages() {
        let flags = flags(
            Path::new("/home/a b/heartside"),
            &[PathBuf::from("/home/a b/.cargo/registry/src/one")],
        );
        assert_eq!(
            flags[1..],
            [
                "--remap-path-prefix=/home/a b/heartside=.",
                "--remap-path-prefix=/home/a b/.cargo/registry/src/one=crates",
            ]
        );
    }

    #[test]
    fn a_changed_module_gets_another_stamp() {
        assert_ne!(
            stamp_of(b"one", Finish::Small),
            stamp_of(b"two", Finish::Small)
        );
        assert_eq!(
            stamp_of(b"one", Finish::Small),
            stamp_of(b"one", Finish::Small)
        );
    }
}
