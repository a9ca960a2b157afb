//! `heartside add-photo`: a board out of a photograph, by its own four corners.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::str::FromStr;

use heartside_app::photograph::Photograph;
use heartside_app::protocol::{
    PhotoAsked, PhotoFit, PhotoMarkAsked, PhotoSpot, PhotoTaken, Thing, ThingKind,
};
use heartside_app::session::Session;
use heartside_exchange::bundle::Packing;
use heartside_timber::document::{Document, ZoneFace};

use crate::failure::{Failure, printable, tell_passed_over};
use crate::photos::{Photos, encoded, hash_of, read};
use crate::picture::picture_of;

/// What to take in.
#[derive(clap::Args)]
pub(crate) struct Arguments {
    /// The job file, plain or packed with its photographs.
    job: PathBuf,
    /// The photograph, as JPEG or PNG.
    picture: PathBuf,
    /// The board's four corners in the photograph held upright, in any order: pixels from the left and from the top.
    #[arg(long, num_args = 4, required = true, value_name = "X,Y")]
    corners: Vec<Spot>,
    /// The board's length.
    #[arg(long)]
    length: String,
    /// The width of its left end.
    #[arg(long)]
    width: String,
    /// The width of its right end, if that is another.
    #[arg(long, value_name = "WIDTH")]
    right_width: Option<String>,
    /// The mark of the board that it shows; a new board is made unless told.
    #[arg(long, value_name = "MARK")]
    board: Option<String>,
    /// It shows the down face.
    #[arg(long)]
    down: bool,
    /// Thickness of a new board; as the last one unless told.
    #[arg(long, default_value = "")]
    thickness: String,
    /// Timber of a new board; as the last one unless told.
    #[arg(long, default_value = "")]
    species: String,
    /// Side of a pixel of the straightened picture, in millimetres.
    #[arg(long, default_value_t = 0.5, value_name = "MM")]
    pixel: f64,
    /// Where the job is written, packed with its photographs.
    #[arg(short, long, value_name = "FILE")]
    output: PathBuf,
}

/// A place in a photograph.
#[derive(Debug, Clone)]
struct Spot(f64, f64);

impl FromStr for Spot {
    type Err = String;

    fn from_str(text: &str) -> Result<Spot, String> {
        let number = |text: &str| text.trim().parse().ok().filter(|n: &f64| n.is_finite());
        let both = text.split_once(',');
        both.and_then(|(x, y)| Some(Spot(number(x)?, number(y)?)))
            .ok_or_else(|| "write two numbers with a comma between, such as 310,1180".to_owned())
    }
}

/// Takes a photograph in. 0: done; 2: it could not be.
pub(crate) fn run(arguments: &Arguments) -> Result<u8, Failure> {
    let mut packed = read(&arguments.job)?;
    let mut session = Session::default();
    let opened = session.open(&packed.job);
    if !opened.accepted {
        let problems = opened.problems.into_iter().map(|p| p.message);
        let message = problems.collect::<Vec<_>>().join("; ");
        return Err(unreadable(&arguments.job, message));
    }
    tell_passed_over(&arguments.job, &packed.others);
    let asked = asked(arguments, &session)?;
    let path = &arguments.picture;
    let file = std::fs::read(path).map_err(|cause| Failure::reading(path, cause))?;
    let taken_in = picture_of(&file).map_err(|why| unreadable(path, why))?;
    let original = [taken_in.width(), taken_in.height()];
    let [wide, high] = original;
    let is_outside = |&&Spot(x, y): &&Spot| {
        !(0.0..=f64::from(wide)).contains(&x) || !(0.0..=f64::from(high)).contains(&y)
    };
    if let Some(Spot(x, y)) = arguments.corners.iter().find(is_outside) {
        return Err(Failure::Option(format!(
            "--corners {x},{y}: this is outside the picture, which is {wide} x {high} pixels held upright"
        )));
    }
    let mut photograph =
        Photograph::new(taken_in.into_rgba8().into_raw(), original[0], original[1]);
    let fit = photograph.straighten(&asked);
    let told = told(&fit);
    let Some(error) = &fit.error else {
        return Err(unreadable(&arguments.picture, told));
    };
    let made = photograph.begin(arguments.pixel, None);
    if let Some(problem) = made.problem {
        return Err(unreadable(&arguments.picture, problem));
    }
    while photograph.step(64) < 1.0 {}
    let picture = encoded(&photograph.pixels(), made.size)
        .ok_or_else(|| unreadable(&arguments.picture, "it could not be packed".to_owned()))?;
    let outline = outline(&fit);
    photograph.map_begin(outline.as_flattened());
    while photograph.map(256) < 1.0 {}
    let figure = photograph.figure();
    let taken = PhotoTaken {
        figure: figure.map,
        board: board(arguments, &session)?,
        face: if arguments.down {
            ZoneFace::Down
        } else {
            ZoneFace::Up
        },
        hash: hash_of(&picture),
        pixel: made.pixel,
        origin: made.origin,
        size: made.size,
        original,
        marks: placed(&asked, &fit),
        outline,
        thickness: arguments.thickness.clone(),
        species: arguments.species.clone(),
        ..PhotoTaken::default()
    };
    let outcome = session.take_photo(&taken);
    if let Some(problem) = outcome.problem {
        return Err(unreadable(&arguments.picture, problem));
    }
    packed.photos.add(picture);
    write_packed(&arguments.output, &session, &packed.photos)?;
    let said = outcome.announce.unwrap_or_default();
    let mut out = std::io::stdout().lock();
    let place = arguments.output.display();
    let unmapped = figure
        .problem
        .map_or_else(String::new, |why| format!("{why}\n"));
    let line = format!(
        "{said}; true {}.\n{told}{unmapped}Written: {place}\n",
        error.told
    );
    write!(out, "{}", printable(&line))?;
    Ok(0)
}

fn unreadable(path: &Path, message: String) -> Failure {
    Failure::Unreadable {
        path: path.to_owned(),
        message,
    }
}

fn asked(arguments: &Arguments, session: &Session) -> Result<PhotoAsked, Failure> {
    let length = |name: &str, text: &str| {
        let read = session.read_length(text);
        read.mm.ok_or_else(|| {
            let why = read.problem.unwrap_or_default();
            Failure::Option(format!("--{name} {text}: {why}"))
        })
    };
    let right_width = arguments.right_width.as_deref();
    let right_width = right_width.map(|text| length("right-width", text));
    let marks = arguments.corners.iter().map(|&Spot(x, y)| PhotoMarkAsked {
        seen: PhotoSpot { x, y },
        place: None,
    });
    Ok(PhotoAsked {
        length: length("length", &arguments.length)?,
        width: length("width", &arguments.width)?,
        right_width: right_width.transpose()?,
        marks: marks.collect(),
        ..PhotoAsked::default()
    })
}

/// What is to be known about the marks, a line each.
fn told(fit: &PhotoFit) -> String {
    let remarks = fit.remarks.iter().map(|r| format!("{}\n", r.text));
    remarks.collect()
}

fn board(arguments: &Arguments, session: &Session) -> Result<Option<Thing>, Failure> {
    let Some(mark) = &arguments.board else {
        return Ok(None);
    };
    let document = Document::open(&session.save()).map(|opened| opened.document);
    let boards = document.map_or_else(|_| Vec::new(), |document| document.boards);
    let row = boards.iter().position(|board| board.id == *mark);
    let row =
        row.ok_or_else(|| Failure::Option(format!("--board {mark}: there is no such board")))?;
    Ok(Some(Thing::row(ThingKind::Board, row)))
}

/// The marks, each with its place.
fn placed(asked: &PhotoAsked, fit: &PhotoFit) -> Vec<PhotoMarkAsked> {
    let marks = asked.marks.iter().zip(&fit.marks);
    let placed = marks.map(|(mark, taken)| PhotoMarkAsked {
        seen: mark.seen.clone(),
        place: taken.place,
    });
    placed.collect()
}

/// The four corners as they were measured, counter-clockwise from the lower left one.
fn outline(fit: &PhotoFit) -> Vec<[f64; 2]> {
    const ROUND: [&str; 4] = [
        "left end, lower",
        "right end, lower",
        "right end, upper",
        "left end, upper",
    ];
    let corner = |name: &str| {
        let mut marks = fit.marks.iter();
        let mark = marks.find(|m| m.name.as_deref().is_some_and(|n| n.starts_with(name)));
        mark.and_then(|mark| mark.place)
    };
    ROUND.iter().filter_map(|name| corner(name)).collect()
}

/// Writes a job with its photographs as one ZIP file.
pub(crate) fn write_packed(path: &Path, session: &Session, photos: &Photos) -> Result<(), Failure> {
    let job = session.save();
    let mut packing = Packing::default();
    let mut whole = packing.job(&job);
    whole.extend(job.as_bytes());
    for (hash, bytes) in photos.files() {
        let too_many = || "its photographs are too many for one ZIP file".to_owned();
        let header = packing.photo(hash, bytes);
        whole.extend(header.ok_or_else(|| unreadable(path, too_many()))?);
        whole.extend(bytes);
    }
    whole.extend(packing.finish());
    std::fs::write(path, whole).map_err(|cause| Failure::writing(path, cause))
}
