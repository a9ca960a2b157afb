//! The folder that a run writes into, where an earlier run may have written before.

use std::path::{Path, PathBuf};

use sha2::{Digest, Sha256};

use crate::failure::Failure;

/// How the seal of a drawing begins: a comment that is its last line.
const SEAL: &str = "<!-- heartside ";

/// The seal of a drawing, by which a later run knows it for one that was written here and has
/// not been changed since.
fn seal(svg: &str) -> String {
    let hash = Sha256::digest(svg.as_bytes());
    let short: String = hash.iter().take(8).map(|b| format!("{b:02x}")).collect();
    format!("{SEAL}{short} -->\n")
}

/// A drawing as it is written.
pub(crate) fn sealed(svg: &str) -> String {
    let mut text = svg.to_owned();
    if !text.ends_with('\n') {
        text.push('\n');
    }
    let seal = seal(&text);
    text + &seal
}

/// True for a drawing with its own seal under it.
fn is_unchanged(text: &str) -> bool {
    text.rfind(SEAL)
        .is_some_and(|at| text[at..] == seal(&text[..at]))
}

/// Writes a file.
pub(crate) fn write(path: &Path, contents: &(impl AsRef<[u8]> + ?Sized)) -> Result<(), Failure> {
    std::fs::write(path, contents).map_err(|cause| Failure::writing(path, cause))
}

/// What was found of drawings of boards that this run did not write.
#[derive(Debug, Default)]
pub(crate) struct Earlier {
    /// Drawings of an earlier run, unchanged since: taken away.
    pub(crate) removed: Vec<PathBuf>,
    /// Files that look like drawings of boards, but were made or changed elsewhere: left.
    pub(crate) left: Vec<PathBuf>,
}

/// Takes away the drawings of boards that an earlier run left in a folder; nothing else is
/// touched. `written` are the names of this run's files.
pub(crate) fn clear_earlier(folder: &Path, written: &[String]) -> Result<Earlier, Failure> {
    let mut found = Earlier::default();
    let entries = std::fs::read_dir(folder).map_err(|cause| Failure::reading(folder, cause))?;
    for entry in entries {
        let entry = entry.map_err(|cause| Failure::reading(folder, cause))?;
        let is_file = entry.file_type().is_ok_and(|kind| kind.is_file());
        let Ok(name) = entry.file_name().into_string() else {
            continue;
        };
        let is_drawing = name.starts_with("board-") && name.ends_with(".svg");
        // Some systems do not tell capitals apart.
        if !is_file || !is_drawing || written.iter().any(|w| w.eq_ignore_ascii_case(&name)) {
            continue;
        }
        let path = entry.path();
        if std::fs::read_to_string(&path).is_ok_and(|text| is_unchanged(&text)) {
            std::fs::remove_file(&path).map_err(|cause| Failure::writing(&path, cause))?;
            found.removed.push(path);
        } else {
            found.left.push(path);
        }
    }
    found.left.sort();
    Ok(found)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_seal_holds_until_the_drawing_is_changed() {
        let drawing = sealed("<svg><text>Board A</text></svg>");
        assert!(is_unchanged(&drawing));
        assert!(!is_unchanged(&drawing.replace("Board A", "Board B")));
        assert!(!is_unchanged(&(drawing + "x")));
        assert!(!is_unchanged("<svg></svg>\n"));
    }
}
