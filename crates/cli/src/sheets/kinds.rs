//! The kinds of files that can be asked for, and what is told of each.

use clap::ValueEnum;
use heartside_app::files_out::{FileKind, FileNames, Leaving};
use heartside_drawing::Paper;
use heartside_exchange::csv::Separator;

use super::files::Written;
use super::in_pdf;
use crate::failure::Failure;
use crate::photos::Photos;

/// A kind of files.
#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Kind {
    /// A drawing for other programs of every board that is cut, and of every part.
    Dxf,
    /// Lists for spreadsheets: boards, parts, cuts, offcuts, what is still to find.
    Csv,
    /// A picture of every board that is cut, in true size, and of all boards together.
    Svg,
    /// Pages to be printed, as pictures.
    Pages,
    /// Labels for parts and offcuts, as pages to be printed.
    Labels,
    /// Parts that are no rectangles and boards sawn by line at full size, over sheets that are joined.
    Templates,
    /// Pages, labels and templates once more, each in one file to print.
    Pdf,
}

impl Kind {
    /// Its files, under names that no other file has.
    pub(super) fn files(
        self,
        leaving: &Leaving<'_>,
        photos: &Photos,
        names: &mut FileNames,
    ) -> Result<Vec<Written>, Failure> {
        let made_by = match self {
            Kind::Dxf => FileKind::Dxf,
            Kind::Csv => FileKind::Csv,
            Kind::Svg => FileKind::Svg,
            Kind::Pages => FileKind::Pages,
            Kind::Labels => FileKind::Labels,
            Kind::Templates => FileKind::Templates,
            Kind::Pdf => return in_pdf::files(leaving, photos),
        };
        let made = made_by.files(leaving, names);
        let made = made.map_err(|refused| Failure::Option(refused.to_string()))?;
        let whole = |file| Written::of(file, photos);
        Ok(made.into_iter().map(whole).collect())
    }

    /// What was written, before how many and which.
    pub(super) fn words(self, leaving: &Leaving<'_>) -> String {
        match self {
            Kind::Dxf => "Drawings for other programs (DXF, in millimetres)".into(),
            Kind::Csv => match leaving.separator {
                Separator::Comma => "Lists (CSV, commas between cells)".into(),
                Separator::Semicolon => "Lists (CSV, semicolons between cells)".into(),
            },
            Kind::Svg => "Pictures in true size (SVG)".into(),
            Kind::Labels => "Labels to stick on (SVG, standing)".into(),
            Kind::Templates => "Templates at full size (SVG)".into(),
            Kind::Pages => format!("Pages to print (SVG, {}, lying)", paper(leaving)),
            Kind::Pdf => format!("All that is printed (PDF, {})", paper(leaving)),
        }
    }
}

fn paper(leaving: &Leaving<'_>) -> &'static str {
    match leaving.paper {
        Paper::A4 => "A4",
        Paper::A3 => "A3",
        Paper::Letter => "Letter",
    }
}
