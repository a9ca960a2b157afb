//! Pages, labels and templates, each kind in one PDF file.

use heartside_app::files_out::{FileKind, FileNames, Leaving};

use super::files::{PDF_FILES, Written};
use crate::failure::Failure;
use crate::pdf::pdf;
use crate::photos::Photos;

/// What each of the files holds, in their order.
const HELD: [FileKind; 3] = [FileKind::Pages, FileKind::Labels, FileKind::Templates];

/// The files; none of a kind that has no pages.
pub(super) fn files(leaving: &Leaving<'_>, photos: &Photos) -> Result<Vec<Written>, Failure> {
    let mut written = Vec::new();
    for (kind, name) in HELD.into_iter().zip(PDF_FILES) {
        let pages = kind.files(leaving, &mut FileNames::default());
        let pages = pages.map_err(|refused| Failure::Option(refused.to_string()))?;
        if pages.is_empty() {
            continue;
        }
        let drawings = pages.iter().map(|page| page.text.as_str());
        let contents = pdf(drawings, &leaving.job.title, photos);
        let contents = contents.map_err(|cause| Failure::Unreadable {
            path: name.into(),
            message: format!("a drawing cannot be put into it ({cause}); \"--only pages labels templates\" writes the drawings"),
        })?;
        let name = name.to_owned();
        written.push(Written { name, contents });
    }
    Ok(written)
}
