//! What must be installed, how to tell that it is missing, and how to bring it.

use std::path::Path;
use std::time::Duration;

use crate::command::{Program, find_program};
use crate::core_module::WasmCompiler;
use crate::fault::{Fault, Outcome};

/// Whether this run may change the machine outside the project folder.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Permission {
    /// Install what is missing.
    Install,
    /// Only name what is missing and how to get it.
    OnlyName,
}

/// Something that a build or a test cannot do without.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Need {
    /// A compiler for WebAssembly.
    WasmCompiler,
    /// Node.js with npm: bundles the page.
    Node,
    /// Chromium without windows, which opens the page with half the work of the whole browser: the browser tests.
    Browser,
    /// Python with its `venv` module: the outside oracle.
    Python,
    /// `xmllint`: proves that drawings are well formed.
    XmlCheck,
    /// `pdftoppm`: turns a printed sheet into a picture.
    PdfPictures,
    /// A second program that draws SVG.
    SvgPictures,
    /// Any font, without which pictures of the page hold no letters.
    Fonts,
}

impl Need {
    /// What building the page takes.
    pub(crate) const FOR_PAGE: [Self; 2] = [Self::WasmCompiler, Self::Node];
    /// What running all tests takes.
    pub(crate) const FOR_TESTS: [Self; 8] = [
        Self::WasmCompiler,
        Self::Node,
        Self::Browser,
        Self::Python,
        Self::XmlCheck,
        Self::PdfPictures,
        Self::SvgPictures,
        Self::Fonts,
    ];

    fn is_met(self) -> bool {
        match self {
            Self::WasmCompiler => WasmCompiler::find().is_some(),
            Self::Node => {
                node_major().is_some_and(|major| major >= OLDEST_NODE)
                    && find_program("npm").is_some()
            }
            Self::Browser => {
                Path::new("/usr/bin/chromium-headless-shell").is_file() || !on_debian()
            }
            // Debian ships Python without the part that fills a new environment.
            Self::Python => Program::new("python3")
                .arguments(["-c", "import venv, ensurepip"])
                .read()
                .is_ok(),
            Self::XmlCheck => find_program("xmllint").is_some(),
            Self::PdfPictures => find_program("pdftoppm").is_some(),
            Self::SvgPictures => find_program("rsvg-convert").is_some(),
            Self::Fonts => !on_debian() || has_fonts(Path::new("/usr/share/fonts")),
        }
    }

    /// What it is, in words.
    fn name(self) -> &'static str {
        match self {
            Self::WasmCompiler => "a Rust compiler for WebAssembly (wasm32-unknown-unknown)",
            Self::Node => "Node.js 20 or later, with npm",
            Self::Browser => "the browser Chromium without windows",
            Self::Python => "Python 3 with venv",
            Self::XmlCheck => "xmllint",
            Self::PdfPictures => "pdftoppm",
            Self::SvgPictures => "rsvg-convert",
            Self::Fonts => "fonts",
        }
    }

    /// Debian packages that bring it.
    fn packages(self) -> &'static [&'static str] {
        match self {
            Self::WasmCompiler => &[
                "rustc-web",
                "cargo-web",
                "rust-web-src",
                "rust-web-llvm",
                "lld-22",
            ],
            // Debian 12's own is too old.
            Self::Node => &[],
            Self::Browser => &["chromium-headless-shell"],
            Self::Python => &["python3", "python3-venv"],
            Self::XmlCheck => &["libxml2-utils"],
            Self::PdfPictures => &["poppler-utils"],
            Self::SvgPictures => &["librsvg2-bin"],
            Self::Fonts => &["fonts-dejavu-core"],
        }
    }
}

const OLDEST_NODE: u32 = 20;

/// A refusing network must not hold up the way that works: a target is fetched in a few
/// seconds or not at all.
const RUSTUP_LIMIT: Duration = Duration::from_secs(20);

/// Sees to it that all needs are met.
///
/// # Errors
/// Names everything that is missing, with the commands that bring it, where `permission` does
/// not allow installing or installing did not help.
pub(crate) fn provide(needs: &[Need], permission: Permission) -> Outcome<()> {
    let mut missing = missing_of(needs);
    if missing.is_empty() {
        return Ok(());
    }
    if permission == Permission::OnlyName {
        return Err(what_to_do(&missing, Machine::look()));
    }
    if missing.contains(&Need::WasmCompiler) && find_program("rustup").is_some() {
        println!("Asking rustup for the target wasm32-unknown-unknown ...");
        match Program::new("rustup")
            .arguments(["target", "add", "wasm32-unknown-unknown"])
            .run_within(RUSTUP_LIMIT)
        {
            Ok(()) => missing = missing_of(&missing),
            Err(_) => println!("rustup could not fetch it here; going on with Debian's packages."),
        }
    }
    let packages = packages_for(&missing);
    if on_debian() && !packages.is_empty() {
        install_packages(&packages)?;
        missing = missing_of(&missing);
    }
    if missing.is_empty() {
        Ok(())
    } else {
        Err(what_to_do(&missing, Machine::look()))
    }
}

fn missing_of(needs: &[Need]) -> Vec<Need> {
    needs
        .iter()
        .copied()
        .filter(|need| !need.is_met())
        .collect()
}

fn packages_for(missing: &[Need]) -> Vec<&'static str> {
    missing
        .iter()
        .flat_map(|need| need.packages())
        .copied()
        .collect()
}

fn install_packages(packages: &[&str]) -> Outcome<()> {
    println!("Installing with apt-get: {}", packages.join(" "));
    let apt = || {
        // Installing needs the administrator's rights; containers often run with them.
        let program = if is_administrator() {
            Program::new("apt-get")
        } else {
            Program::new("sudo").argument("apt-get")
        };
        program.variable("DEBIAN_FRONTEND", "noninteractive")
    };
    // An old package list is better than none: an unreachable mirror is told by the next step.
    if let Err(fault) = apt().arguments(["update", "-qq"]).run() {
        eprintln!("{fault}");
    }
    apt()
        .arguments([
            "install",
            "-y",
            "-qq",
            "--no-install-recommends",
            "--no-remove",
        ])
        .arguments(packages)
        .run()
}

/// What this machine offers for installing things.
#[derive(Debug, Clone, Copy)]
struct Machine {
    debian: bool,
    rustup: bool,
    administrator: bool,
}

impl Machine {
    fn look() -> Self {
        Self {
            debian: on_debian(),
            rustup: find_program("rustup").is_some(),
            administrator: is_administrator(),
        }
    }
}

/// The words for what is missing. Kept apart from finding it out, so that it can be tested.
fn what_to_do(missing: &[Need], machine: Machine) -> Fault {
    let mut ways = Vec::new();
    let wants_wasm = missing.contains(&Need::WasmCompiler);
    if wants_wasm && machine.rustup {
        ways.push("rustup target add wasm32-unknown-unknown".to_owned());
    } else if wants_wasm && !machine.debian {
        ways.push("install rustup, then: rustup target add wasm32-unknown-unknown".to_owned());
    }
    let packages = packages_for(missing);
    if machine.debian && !packages.is_empty() {
        let lead = if wants_wasm && machine.rustup {
            "or, where rustup cannot fetch it: "
        } else {
            ""
        };
        let sudo = if machine.administrator { "" } else { "sudo " };
        let packages = packages.join(" ");
        ways.push(format!(
            "{lead}{sudo}apt-get install -y --no-install-recommends {packages}"
        ));
    }
    if !ways.is_empty() && (machine.debian || machine.rustup) {
        ways.push("or let it be done: add --install to the command".to_owned());
    }
    let by_hand: Vec<_> = missing
        .iter()
        .filter(|need| {
            **need != Need::WasmCompiler && (!machine.debian || need.packages().is_empty())
        })
        .map(|need| need.name())
        .collect();
    if !by_hand.is_empty() {
        ways.push(format!(
            "install by hand or with the system's package manager: {}",
            by_hand.join("; ")
        ));
    }
    let names: Vec<_> = missing.iter().map(|need| need.name()).collect();
    Fault::new(format!("missing: {}", names.join("; "))).mended_by(ways.join("\n"))
}

fn on_debian() -> bool {
    Path::new("/etc/debian_version").is_file() && find_program("apt-get").is_some()
}

fn is_administrator() -> bool {
    Program::new("id")
        .argument("-u")
        .read()
        .is_ok_and(|id| id.trim() == "0")
}

fn node_major() -> Option<u32> {
    let version = Program::node().argument("--version").read().ok()?;
    version
        .trim()
        .strip_prefix('v')?
        .split('.')
        .next()?
        .parse()
        .ok()
}

fn has_fonts(folder: &Path) -> bool {
    let Ok(entries) = std::fs::read_dir(folder) else {
        return false;
    };
    entries.flatten().any(|entry| {
        let path = entry.path();
        if path.is_dir() {
            has_fonts(&path)
        } else {
            path.extension()
                .is_some_and(|ending| ending == "ttf" || ending == "otf" || ending == "pfb")
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const BARE: Machine = Machine {
        debian: false,
        rustup: false,
        administrator: false,
    };

    #[test]
    fn on_debian_one_pasteable_command_brings_everything() {
        let debian = Machine {
            debian: true,
            ..BARE
        };
        let words = what_to_do(&[Need::Browser, Need::XmlCheck], debian).to_string();
        assert!(
            words.contains("missing: the browser Chromium without windows; xmllint"),
            "{words}"
        );
        assert!(
            words.contains(
                "sudo apt-get install -y --no-install-recommends chromium-headless-shell libxml2-utils\n"
            ),
            "{words}"
        );
        assert!(words.contains("--install"), "{words}");
        let administrator = Machine {
            administrator: true,
            ..debian
        };
        assert!(
            !what_to_do(&[Need::Browser], administrator)
                .to_string()
                .contains("sudo")
        );
    }

    #[test]
    fn rustup_comes_first_where_there_is_one() {
        let machine = Machine {
            debian: true,
            rustup: true,
            ..BARE
        };
        let words = what_to_do(&[Need::WasmCompiler], machine).to_string();
        let usual = words
            .find("rustup target add wasm32-unknown-unknown")
            .unwrap();
        let second = words.find("rustc-web").unwrap();
        assert!(usual < second, "{words}");
    }

    #[test]
    fn elsewhere_no_debian_command_is_offered() {
        let words = what_to_do(&Need::FOR_TESTS, BARE).to_string();
        assert!(
            !words.contains("apt-get") && !words.contains("--install"),
            "{words}"
        );
        assert!(words.contains("install rustup"), "{words}");
        assert!(words.contains("Node.js 20"), "{words}");
    }

    #[test]
    fn what_no_package_brings_is_left_to_the_person() {
        let machine = Machine {
            debian: true,
            rustup: true,
            ..BARE
        };
        let words = what_to_do(&[Need::Node], machine).to_string();
        assert!(
            words.contains("by hand or with the system's package manager: Node.js 20"),
            "{words}"
        );
        assert!(
            !words.contains("apt-get") && !words.contains("--install"),
            "{words}"
        );
    }

    #[test]
    fn a_machine_that_has_everything_is_left_alone() {
        assert_eq!(provide(&[], Permission::OnlyName), Ok(()));
    }
}
