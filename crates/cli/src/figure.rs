//! `heartside figure`: how well faces are balanced, and better ones.

use std::io::Write;
use std::path::{Path, PathBuf};

use heartside_app::figure::asked::FaceAsked;
use heartside_app::protocol::{FaceCard, MeasureRow};
use heartside_app::session::Session;
use heartside_drawing::{FaceOf, FaceSeen};
use heartside_timber::job::WishedFace;
use heartside_timber::length::write_decimal;
use heartside_timber::words::listed;

use crate::add_photo::write_packed;
use crate::check::{left_out_lines, open_packed, prepared};
use crate::failure::{Failure, printable};
use crate::folder::{sealed, write};
use crate::photos::Photos;

/// Which faces, and what becomes of better ones.
#[derive(clap::Args)]
pub(crate) struct Arguments {
    /// The job file, plain or packed with its photographs.
    job: PathBuf,
    /// Only the faces whose name holds this.
    #[arg(long, value_name = "NAME")]
    panel: Option<String>,
    /// Look for better ones in at most so many steps; 0 only measures.
    #[arg(long, default_value_t = 1_000_000)]
    steps: u32,
    /// Write the job with the best face taken into this file, packed with its photographs where it has some.
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
    /// Write a job and a picture of each face that can be chosen into this folder, and a picture of each face as it is.
    #[arg(long, value_name = "FOLDER")]
    plans: Option<PathBuf>,
}

/// Prints measures and better faces. 0: every face that could be looked for has a better one; 1: not so.
pub(crate) fn run(arguments: &Arguments) -> Result<u8, Failure> {
    let (document, photos) = open_packed(&arguments.job)?;
    let prepared = prepared(&document);
    let mut session = Session::default();
    session.open(&document.save());
    let fronts = session.faces().into_iter().filter(|face| !face.is_back);
    let (faces, others): (Vec<FaceSeen>, Vec<FaceSeen>) =
        fronts.partition(|face| match &arguments.panel {
            Some(name) => face.name.to_lowercase().contains(&name.to_lowercase()),
            None => true,
        });
    if faces.is_empty() {
        return Err(Failure::Option(no_face(&others)));
    }
    let mut told = String::new();
    let mut has_all = true;
    for (place, face) in faces.iter().enumerate() {
        let number = place + 1;
        told.push_str(&standing(&session, face));
        if let Some(folder) = &arguments.plans {
            std::fs::create_dir_all(folder).map_err(|e| Failure::writing(folder, e))?;
            let name = format!("face-{number}-now.svg");
            draw(&folder.join(name), &mut session, &photos, face)?;
        }
        let balance = session.balance(&face.key, face.stands);
        let cannot = balance.and_then(|balance| balance.cannot_look);
        if let Some(why) = cannot {
            told.push_str(&format!("  {why}\n"));
            continue;
        }
        if arguments.steps == 0 {
            continue;
        }
        let mut asked = FaceAsked::new(&session.save(), &face.key, None);
        let mut steps = 0;
        while steps < arguments.steps && asked.step() {
            steps += 1;
        }
        let found = asked.found();
        told.push_str(&format!("  {}\n", found.sentence));
        if prepared.job.wish_of(&wished(face)).is_empty() && !found.cards.is_empty() {
            told.push_str(&format!("  {NOTHING_CHOSEN}\n"));
        }
        for line in &found.contradictions {
            told.push_str(&format!("  {line}\n"));
        }
        for (place, card) in found.cards.iter().enumerate() {
            told.push_str(&card_text(place, card));
            let (Some(plan), Some(folder)) = (asked.plan(card.index), &arguments.plans) else {
                continue;
            };
            let name = format!("face-{number}-{}", place + 1);
            let mut taken = Session::default();
            taken.open(&session.save());
            let outcome = taken.take_face(&face.key, &plan);
            if let Some(why) = outcome.problem {
                told.push_str(&format!("     not written: {why}\n"));
                continue;
            }
            let job = folder.join(format!("{name}.heartside.json"));
            write(&job, &taken.save())?;
            draw(
                &folder.join(format!("{name}.svg")),
                &mut taken,
                &photos,
                face,
            )?;
        }
        let best = found
            .cards
            .first()
            .filter(|card| asked.is_better(card.index));
        has_all &= best.is_some();
        let plan = best.and_then(|card| asked.plan(card.index));
        if let (Some(plan), Some(_)) = (plan, &arguments.output) {
            let outcome = session.take_face(&face.key, &plan);
            let said = outcome.problem.or(outcome.announce).unwrap_or_default();
            told.push_str(&format!("  {said}\n"));
        }
    }
    for line in left_out_lines(&prepared) {
        told.push_str(&format!("{line}\n"));
    }
    if let Some(file) = &arguments.output {
        match photos.is_empty() {
            true => write(file, &session.save())?,
            false => write_packed(file, &session, &photos)?,
        }
        told.push_str(&format!("Written: {}\n", file.display()));
    }
    if let Some(folder) = &arguments.plans {
        told.push_str(&format!("Jobs and pictures are in {}\n", folder.display()));
        if !photos.is_empty() {
            let job = arguments.job.display();
            told.push_str(&format!(
                "The photographs stay in {job}: those jobs have none\n"
            ));
        }
    }
    write!(std::io::stdout().lock(), "{}", printable(&told))?;
    Ok(u8::from(!has_all))
}

/// What a face is to be like where its maker did not choose.
const NOTHING_CHOSEN: &str = "Nothing is chosen for it: what counts is halves or joints that answer, and sapwood alike on both edges";

fn wished(face: &FaceSeen) -> WishedFace {
    match &face.of {
        FaceOf::Panel(copy) => WishedFace::Panel(copy.part.clone()),
        FaceOf::Match(row) => WishedFace::Match(*row),
    }
}

fn no_face(others: &[FaceSeen]) -> String {
    let names: Vec<String> = others.iter().map(|face| face.name.clone()).collect();
    match names.is_empty() {
        true => "this job has no face that is put together: make a part a panel, or say of parts that they must look related".to_owned(),
        false => format!("no face has such a name; there are: {}", listed(&names)),
    }
}

/// How a face is now, in front and from behind.
fn standing(session: &Session, face: &FaceSeen) -> String {
    let mut told = format!("{}\n", face.name);
    let behind = session
        .faces()
        .into_iter()
        .find(|other| other.is_back && other.of == face.of);
    for side in [Some(face), behind.as_ref()].into_iter().flatten() {
        let Some(balance) = session.balance(&side.key, side.stands) else {
            continue;
        };
        // What holds of a face without its parts is said once.
        if side.is_back && balance.measures.is_empty() {
            continue;
        }
        if side.is_back {
            told.push_str("  From behind:\n");
        }
        for note in &balance.notes {
            told.push_str(&format!("  {note}\n"));
        }
        told.push_str(&measures(&balance.measures));
    }
    told
}

/// Writes the picture of a face.
fn draw(
    path: &Path,
    session: &mut Session,
    photos: &Photos,
    face: &FaceSeen,
) -> Result<(), Failure> {
    session.show_photos(photos.files().map(|(hash, _)| hash.to_owned()).collect());
    let of = face.key.trim_end_matches(" front");
    let sheet = session.svg_face(of, false, face.stands, "");
    write(path, &sealed(&photos.inlined(&sheet.svg)))
}

/// A line a measure; those of which too little is seen in one.
fn measures(rows: &[MeasureRow]) -> String {
    let row = |row: &MeasureRow| {
        let lost = match row.lost_at.as_str() {
            "" => String::new(),
            at => format!(", lost most at: {at}"),
        };
        format!("  {}: {}{lost}\n", row.name, row.text)
    };
    let (known, unknown): (Vec<_>, Vec<_>) = rows.iter().partition(|row| row.value.is_some());
    let mut told: String = known.into_iter().map(row).collect();
    if !unknown.is_empty() {
        let names: Vec<String> = unknown.iter().map(|row| row.name.clone()).collect();
        told.push_str(&format!(
            "  Too little is seen to say: {}\n",
            names.join("; ")
        ));
    }
    told
}

fn card_text(place: usize, card: &FaceCard) -> String {
    let worth = write_decimal(card.worth, 2);
    let mut told = format!(
        "  {}. {worth} of 1 for what counts; {}\n     {}\n",
        place + 1,
        card.cost,
        card.lies
    );
    for line in &card.cut_away {
        told.push_str(&format!("     {line}\n"));
    }
    for line in measures(&card.measures).lines() {
        told.push_str(&format!("   {line}\n"));
    }
    told
}
