//! `heartside figure`: how well faces are balanced, and better ones.

use std::io::Write;
use std::path::PathBuf;

use heartside_app::figure::asked::FaceAsked;
use heartside_app::protocol::{FaceCard, MeasureRow};
use heartside_app::session::Session;
use heartside_drawing::FaceSeen;

use crate::check::open;
use crate::failure::{Failure, printable};
use crate::folder::write;

/// Which faces, and what becomes of better ones.
#[derive(clap::Args)]
pub(crate) struct Arguments {
    /// The job file.
    job: PathBuf,
    /// Only the faces whose name holds this.
    #[arg(long, value_name = "NAME")]
    panel: Option<String>,
    /// Look for better ones in at most so many steps; 0 only measures.
    #[arg(long, default_value_t = 1_000_000)]
    steps: u32,
    /// Write the job with the best face taken into this file.
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
    /// Write the job with each face taken into this folder.
    #[arg(long, value_name = "FOLDER")]
    plans: Option<PathBuf>,
}

/// Prints measures and better faces. 0: every face that could be looked for has some; 1: not so.
pub(crate) fn run(arguments: &Arguments) -> Result<u8, Failure> {
    let text = open(&arguments.job)?.save();
    let mut session = Session::default();
    session.open(&text);
    let wanted = |face: &FaceSeen| {
        let mut name = arguments.panel.iter();
        name.all(|name| face.name.contains(name.as_str()))
    };
    let faces: Vec<FaceSeen> = session.faces().into_iter().filter(wanted).collect();
    if faces.is_empty() {
        return Err(Failure::Option(
            "this job has no such face: a face is a panel, or parts that must look related".into(),
        ));
    }
    let mut told = String::new();
    let mut has_all = true;
    for (number, face) in faces.iter().enumerate() {
        let Some(balance) = session.balance(&face.key, face.stands) else {
            continue;
        };
        let side = if face.is_back { ", from behind" } else { "" };
        told.push_str(&format!("{}{side}\n", face.name));
        for note in &balance.notes {
            told.push_str(&format!("  {note}\n"));
        }
        told.push_str(&measures(&balance.measures));
        if face.is_back || arguments.steps == 0 {
            continue;
        }
        if let Some(why) = balance.cannot_look {
            told.push_str(&format!("  {why}\n"));
            continue;
        }
        let mut asked = FaceAsked::new(&session.save(), &face.key, None);
        let mut steps = 0;
        while steps < arguments.steps && asked.step() {
            steps += 1;
        }
        let found = asked.found();
        told.push_str(&format!("  {}\n", found.sentence));
        has_all &= !found.cards.is_empty();
        for (place, card) in found.cards.iter().enumerate() {
            told.push_str(&card_text(place, card));
            let Some(plan) = asked.plan(card.index) else {
                continue;
            };
            if let Some(folder) = &arguments.plans {
                std::fs::create_dir_all(folder).map_err(|e| Failure::writing(folder, e))?;
                let name = format!("face-{}-{}.heartside.json", number + 1, place + 1);
                let mut taken = Session::default();
                taken.open(&session.save());
                if taken.take_face(&face.key, &plan).done {
                    write(&folder.join(name), &taken.save())?;
                }
            }
        }
        let best = found.cards.first().and_then(|card| asked.plan(card.index));
        if let (Some(best), Some(_)) = (best, &arguments.output) {
            session.take_face(&face.key, &best);
        }
    }
    if let Some(file) = &arguments.output {
        write(file, &session.save())?;
    }
    write!(std::io::stdout().lock(), "{}", printable(&told))?;
    Ok(u8::from(!has_all))
}

fn measures(rows: &[MeasureRow]) -> String {
    let row = |row: &MeasureRow| {
        let lost = match row.lost_at.as_str() {
            "" => String::new(),
            at => format!(", lost most at: {at}"),
        };
        format!("  {}: {}{lost}\n", row.name, row.text)
    };
    rows.iter().map(row).collect()
}

fn card_text(place: usize, card: &FaceCard) -> String {
    let mut told = format!("  {}. {}\n     {}\n", place + 1, card.cost, card.lies);
    for line in &card.cut_away {
        told.push_str(&format!("     {line}\n"));
    }
    for line in measures(&card.measures).lines() {
        told.push_str(&format!("   {line}\n"));
    }
    told
}
