//! `heartside add-boards`: boards from a drawing or a table into a job.

use std::io::Write;
use std::path::{Path, PathBuf};

use heartside_exchange::outlines::{FileUnit, Meaning, Read, Said, read_dxf, read_svg};
use heartside_exchange::paste::read_boards;
use heartside_exchange::text_of;
use heartside_timber::diagnostic::{Diagnostic, Level};
use heartside_timber::document::{Board, Document};
use heartside_timber::ids::TakenIds;
use heartside_timber::length::Unit;
use heartside_timber::words::{counted, either, listed};

use crate::check::open_packed;
use crate::failure::{Failure, printable, tell_opening};
use crate::folder::write;

/// What to add, and to what.
#[derive(clap::Args)]
pub(crate) struct Arguments {
    /// The job file; it stays as it is.
    job: PathBuf,
    /// Drawings of boards (.svg, .dxf) and tables of plain boards (.csv).
    #[arg(required = true)]
    files: Vec<PathBuf>,
    /// The job file to write.
    #[arg(short, long, value_name = "FILE")]
    output: PathBuf,
    /// What the files are measured in, where they do not say: mm, cm, m, in, ft or px.
    #[arg(long, value_parser = unit_of)]
    unit: Option<FileUnit>,
    /// What a layer, id or group of a drawing holds: outline, hole, defect, knot, sapwood, fixing,
    /// figure or left_out. May be given several times.
    #[arg(long = "name", value_name = "NAME=WHAT", value_parser = meaning_of)]
    names: Vec<(String, Meaning)>,
}

fn unit_of(word: &str) -> Result<FileUnit, String> {
    let words = FileUnit::ALL.map(|(known, _, _)| known);
    FileUnit::of_word(word).ok_or_else(|| format!("write {}", either(&words)))
}

fn meaning_of(text: &str) -> Result<(String, Meaning), String> {
    let words = Meaning::ALL.map(|(known, _, _)| known);
    let (name, word) = text
        .rsplit_once('=')
        .ok_or_else(|| "write the name, = and what it holds, such as Layer3=knot".to_owned())?;
    let meaning =
        Meaning::of_word(word).ok_or_else(|| format!("write {} after the =", either(&words)))?;
    Ok((name.to_owned(), meaning))
}

/// Adds the boards. 0: everything in the files was used; 1: some of it was not.
pub(crate) fn run(arguments: &Arguments) -> Result<u8, Failure> {
    let (mut document, photos) = open_packed(&arguments.job)?;
    if !photos.is_empty() {
        let message = "its photographs would be lost: add the boards in the page, or save it without photographs first";
        return Err(Failure::Unreadable {
            path: arguments.job.clone(),
            message: message.into(),
        });
    }
    let mut whole = true;
    for file in &arguments.files {
        let (boards, diagnostics) = boards_of(file, arguments, &document)?;
        if !diagnostics.is_empty() {
            let mut err = std::io::stderr().lock();
            writeln!(err, "{}:", printable(&file.display().to_string()))?;
        }
        tell_opening(&diagnostics);
        if boards.is_empty() {
            return Err(Failure::Unreadable {
                path: file.clone(),
                message: "no board in it can be used".into(),
            });
        }
        whole &= diagnostics.iter().all(|d| d.level == Level::Note);
        let ids: Vec<&str> = boards.iter().map(|b| b.id.as_str()).collect();
        let told = format!(
            "{}: {}: {}",
            file.display(),
            counted(boards.len() as u64, "board", "boards"),
            listed(&ids)
        );
        writeln!(std::io::stdout().lock(), "{}", printable(&told))?;
        document.boards.extend(boards);
        document.revision = document.revision.saturating_add(1);
    }
    write(&arguments.output, &document.save())?;
    Ok(u8::from(!whole))
}

fn boards_of(
    file: &Path,
    arguments: &Arguments,
    document: &Document,
) -> Result<(Vec<Board>, Vec<Diagnostic>), Failure> {
    let bytes = std::fs::read(file).map_err(|cause| Failure::reading(file, cause))?;
    let text = text_of(&bytes);
    let unreadable = |message: String| Failure::Unreadable {
        path: file.to_owned(),
        message,
    };
    let mut taken = TakenIds::of(document.boards.iter().map(|b| b.id.as_str()));
    let kind = file
        .extension()
        .and_then(|e| e.to_str())
        .unwrap_or_default();
    let reader = match kind.to_lowercase().as_str() {
        "svg" => read_svg,
        "dxf" => read_dxf,
        "csv" | "tsv" | "txt" => {
            let unit = match arguments.unit {
                None => document.units.length,
                Some(FileUnit::Millimetres) => Unit::Millimetres,
                Some(FileUnit::Inches) => Unit::Inches,
                Some(_) => {
                    let message =
                        "bare numbers of a table are in mm or in; write other units beside them";
                    return Err(unreadable(message.into()));
                }
            };
            let read = read_boards(&text, unit, &mut taken);
            return Ok((read.boards, read.diagnostics));
        }
        _ => {
            return Err(unreadable(
                "only .svg, .dxf and .csv files hold boards".into(),
            ));
        }
    };
    let said = Said {
        unit: arguments.unit,
        meanings: arguments.names.clone(),
    };
    match reader(&text, &said, &mut taken) {
        Read::Boards(read) => Ok((read.boards, read.diagnostics)),
        Read::AskUnit { extent: [x, y] } => Err(unreadable(format!(
            "the file does not say what it is measured in; all that is drawn reaches {x:.1} by {y:.1}: \
             say --unit mm, cm, m, in, ft or px"
        ))),
    }
}
