//! Boards of files that were given: drawings and tables. They are read back as words and pictures, and
//! are in the job only once they are taken, all in one step. What was given and said is the whole
//! proposal.

use heartside_drawing::{Options, board_svg};
use heartside_exchange::outlines::{FileUnit, Meaning, Named};
use heartside_exchange::text_of;
use heartside_timber::diagnostic::Diagnostic;
use heartside_timber::document::{Board, BoardCopy, Document, Length};
use heartside_timber::ids::TakenIds;
use heartside_timber::job::Job;
use heartside_timber::length::{LengthContext, read_length, write_dimension};
use heartside_timber::plan::Plan;
use heartside_timber::prepare::prepare;
use heartside_timber::words::counted;

use super::by_tape::{like_the_last, told};
use super::editing::adding::like_last_bought;
use super::given::{GivenFile, Proposed};
use super::{Change, Session};
use crate::protocol::{
    BoardRead, Choice, FileRead, FilesRead, LineTold, NameRead, Outcome, Thing, ThingKind,
};

/// Pictures of more boards at once would help nobody and take long.
const MOST_PICTURES: usize = 24;
/// More files at once than this are a slip.
const MOST_FILES: usize = 100;
/// What a board is taken to measure while its thickness is open, so that it can be looked at.
const OPEN_THICKNESS: f64 = 20.0;

impl Session {
    /// Takes a file of boards to be looked at. Changes nothing in the job.
    pub fn give_file(&mut self, name: &str, bytes: &[u8]) {
        if self.given.len() < MOST_FILES {
            self.given.push(GivenFile {
                name: name.to_owned(),
                text: text_of(bytes),
                ..GivenFile::default()
            });
        }
    }

    /// Puts all given files away.
    pub fn drop_files(&mut self) {
        self.given = Vec::new();
    }

    /// What is said about a given file: its `unit`, the `thickness` of its boards, or `without` and
    /// the place of a board that is to be left out or taken after all.
    pub fn say_of_file(&mut self, file: usize, what: &str, value: &str) {
        let Some(given) = self.given.get_mut(file) else {
            return;
        };
        match what {
            "unit" => given.said.unit = FileUnit::of_word(value),
            "thickness" => value.clone_into(&mut given.thickness),
            _ => {
                let Ok(board) = value.parse() else {
                    return;
                };
                match given.without.iter().position(|known| *known == board) {
                    Some(at) => _ = given.without.remove(at),
                    None => given.without.push(board),
                }
            }
        }
    }

    /// What a name in a given drawing means, by a word of [`Meaning`].
    pub fn name_in_file(&mut self, file: usize, name: &str, meaning: &str) {
        let Some(given) = self.given.get_mut(file) else {
            return;
        };
        given.said.meanings.retain(|(known, _)| known != name);
        if let Some(meaning) = Meaning::of_word(meaning) {
            given.said.meanings.push((name.to_owned(), meaning));
        }
        // Other shapes are boards now.
        given.without.clear();
    }

    /// The given files as they are understood.
    pub fn read_files(&self) -> FilesRead {
        let mut files = Vec::new();
        let (proposed, job, cannot) = self.tried_files();
        let (mut seen, mut count) = (0, 0);
        for (given, file) in self.given.iter().zip(&proposed) {
            let mut boards = Vec::new();
            let mut told_of_file = Vec::new();
            // There is a field for the thickness.
            let of_interest = |d: &&Diagnostic| d.code != "drawing-thickness";
            for diagnostic in file.told.iter().filter(of_interest) {
                // What is said of the whole file has no line.
                let line = diagnostic.place.line.unwrap_or(0) as u32;
                told_of_file.push(LineTold {
                    line,
                    ..told(diagnostic)
                });
            }
            for (place, board) in file.boards.iter().enumerate() {
                if let Some((_, why)) = cannot.iter().find(|(id, _)| *id == board.id) {
                    told_of_file.push(LineTold {
                        message: format!("board {} is not taken: {why}", board.id),
                        ..LineTold::default()
                    });
                    continue;
                }
                let svg = match seen < MOST_PICTURES {
                    true => picture(&job, board),
                    false => String::new(),
                };
                seen += 1;
                boards.push(BoardRead {
                    line: place as u32,
                    mark: board.id.clone(),
                    words: words(&job, board),
                    svg,
                });
            }
            count += given.taken(&file.boards, &cannot).count() as u32;
            files.push(FileRead {
                name: given.name.clone(),
                asks_unit: file.asks.map(|[x, y]| format!("{x:.1} \u{d7} {y:.1}")),
                unit: given.said.unit.map_or("", FileUnit::word).to_owned(),
                asks_thickness: file.asks_thickness,
                thickness: given.thickness.clone(),
                names: file.names.iter().map(name_read).collect(),
                boards,
                without: given.without.clone(),
                told: told_of_file,
            });
        }
        FilesRead {
            files,
            count,
            missing: self.missing(&proposed, count),
            units: choices(FileUnit::ALL.map(|(word, label, _)| (word, label))),
            meanings: choices(Meaning::ALL.map(|(word, label, _)| (word, label))),
        }
    }

    /// Adds all boards of the given files but those left out, as one step, and puts the files away.
    pub fn take_files(&mut self) -> Outcome {
        let (proposed, _, cannot) = self.tried_files();
        let mut boards = Vec::new();
        for (given, file) in self.given.iter().zip(&proposed) {
            boards.extend(given.taken(&file.boards, &cannot).cloned());
        }
        if let Some(missing) = self.missing(&proposed, boards.len() as u32) {
            return Outcome::refused(missing);
        }
        let said = counted(boards.len() as u64, "board", "boards");
        let mut after = self.document.clone();
        let first = after.boards.len();
        after.boards.extend(boards);
        let prepared = match self.with_all_usable(&after) {
            Ok(prepared) => prepared,
            Err(why) => return Outcome::refused(why),
        };
        self.commit_prepared(&format!("adding {said}"), after, Change::Job, prepared);
        self.drop_files();
        Outcome::done()
            .saying(format!("Added: {said}"))
            .with_thing(Thing::row(ThingKind::Board, first))
    }

    /// Why nothing can be taken yet.
    fn missing(&self, proposed: &[Proposed], count: u32) -> Option<String> {
        for (given, file) in self.given.iter().zip(proposed) {
            let name = &given.name;
            if file.asks.is_some() {
                return Some(format!("say what {name} is measured in"));
            }
            if file.asks_thickness && self.thickness(given).is_none() {
                return Some(match given.thickness.trim() {
                    "" => format!("type how thick the boards of {name} are"),
                    typed => format!("{typed} is no thickness of the boards of {name}"),
                });
            }
        }
        (count == 0).then(|| "there is no board to be taken".to_owned())
    }

    fn thickness(&self, given: &GivenFile) -> Option<Length> {
        let (typed, unit) = (given.thickness.trim(), self.document.units.length);
        let mm = read_length(typed, unit, LengthContext::MeasuredThickness).ok()?;
        Some(Length::Typed {
            mm: Some(mm),
            typed: typed.to_owned(),
        })
    }

    /// What was given, prepared by itself, and the ids of boards that no job could use, with why.
    fn tried_files(&self) -> (Vec<Proposed>, Job, Vec<(String, String)>) {
        let d = &self.document;
        let mut taken = TakenIds::of(d.boards.iter().map(|b| b.id.as_str()));
        let like = like_last_bought(d);
        let (mut proposed, mut boards, mut open) = (Vec::new(), Vec::new(), Vec::new());
        for given in &self.given {
            let mut file = given.read(d.units.length, &mut taken);
            let thickness = self.thickness(given);
            for board in &mut file.boards {
                if board.thickness.is_none() && board.nominal.is_none() {
                    file.asks_thickness = true;
                    board.thickness.clone_from(&thickness);
                }
                if file.drawn {
                    // Another shape costs something else.
                    *board = Board {
                        price: None,
                        ..like_the_last(std::mem::take(board), &like)
                    };
                }
                let mut tried = board.clone();
                if tried.thickness.is_none() {
                    tried.thickness = Some(Length::Mm(OPEN_THICKNESS));
                    open.push(tried.id.clone());
                }
                boards.push(tried);
            }
            proposed.push(file);
        }
        let prepared = prepare(&Document {
            units: d.units.clone(),
            species: d.species.clone(),
            workshop: d.workshop.clone(),
            boards,
            ..Document::new()
        });
        let lame = prepared.left_out.into_iter();
        let cannot = lame.map(|lame| (lame.id, lame.because)).collect();
        let mut job = prepared.job;
        for board in &mut job.boards {
            if open.contains(&board.id) {
                board.thickness = 0.0;
            }
        }
        (proposed, job, cannot)
    }
}

fn picture(job: &Job, board: &Board) -> String {
    let of = BoardCopy {
        board: board.id.clone(),
        copy: 1,
    };
    board_svg(job, &Plan::default(), &of, &[], &Options::default())
        .map_or_else(String::new, |drawing| drawing.svg)
}

/// A board in a few words: its name, sizes and what is marked on it.
fn words(job: &Job, board: &Board) -> String {
    let mut words = Vec::new();
    if !board.name.is_empty() {
        words.push(board.name.clone());
    }
    if let Some(sound) = job.board(&board.id) {
        let bounds = sound.outline.bounds();
        let show = |mm: f64| write_dimension(mm, &job.units);
        let (length, width) = (show(bounds.width()), show(bounds.height()));
        words.push(format!("{length} \u{d7} {width}"));
        if sound.thickness > 0.0 {
            words.push(format!("{} thick", show(sound.thickness)));
        }
    }
    if !board.species.is_empty() {
        words.push(board.species.clone());
    }
    match board.zones.len() as u64 {
        0 => {}
        n => words.push(counted(n, "marked area", "marked areas")),
    }
    words.join(", ")
}

fn name_read(named: &Named) -> NameRead {
    NameRead {
        name: named.name.clone(),
        shapes: counted(named.shapes as u64, "shape", "shapes"),
        meaning: named.meaning.map_or("", Meaning::word).to_owned(),
    }
}

fn choices<const N: usize>(words: [(&str, &str); N]) -> Vec<Choice> {
    let choice = |(value, label): (&str, &str)| Choice {
        value: value.to_owned(),
        label: label.to_owned(),
        picture: None,
    };
    words.map(choice).into()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::session::tests::small_workshop;

    const DRAWN: &str = r#"<svg xmlns="http://www.w3.org/2000/svg" width="2000mm" height="400mm" viewBox="0 0 2000 400">
        <rect id="Teak" width="1800" height="300"/><g id="Layer_3"><circle cx="400" cy="150" r="20"/></g>
        <rect id="Walnut" x="0" y="310" width="900" height="80"/></svg>"#;
    const TABLE: &str =
        "Length;Width;Thickness;Species\n2400;180;27;ash\n2100;160;;ash\n1900;x;27;ash\n";

    #[test]
    fn files_are_read_back_and_change_nothing() {
        let mut session = small_workshop();
        let before = session.save();
        session.give_file("bench.svg", DRAWN.as_bytes());
        session.give_file("rack.csv", TABLE.as_bytes());
        let read = session.read_files();
        assert_eq!(session.save(), before);
        let [drawn, table] = read.files.as_slice() else {
            panic!("{read:?}");
        };
        assert_eq!((drawn.boards.len(), table.boards.len()), (2, 2));
        assert!(drawn.boards[0].svg.contains("<svg"));
        assert!(!drawn.boards[0].svg.contains("thick"), "it is not known");
        assert!(
            drawn.boards[0].words.starts_with("Teak, 1800 \u{d7} 300"),
            "{:?}",
            drawn.boards[0]
        );
        assert!(drawn.asks_thickness && table.asks_thickness);
        assert!(
            table
                .told
                .iter()
                .any(|t| t.message.contains("is not taken")),
            "{:?}",
            table.told
        );
        assert_eq!(
            read.missing.as_deref(),
            Some("type how thick the boards of bench.svg are")
        );
        assert!(!session.take_files().done);
        assert_eq!(session.save(), before);
    }

    #[test]
    fn what_is_said_counts_and_all_is_taken_as_one_step() {
        let mut session = small_workshop();
        let before = session.document.clone();
        session.give_file("bench.svg", DRAWN.as_bytes());
        session.give_file("rack.csv", TABLE.as_bytes());
        let layer = |session: &Session| {
            let read = session.read_files();
            let names = &read.files[0].names;
            names.iter().find(|n| n.name == "Layer_3").cloned()
        };
        // A circle in a board, in a group that says nothing, is a hole.
        assert_eq!(layer(&session).unwrap().meaning, "");
        session.name_in_file(0, "Layer_3", "knot");
        assert_eq!(layer(&session).unwrap().meaning, "knot");
        session.say_of_file(0, "thickness", "1 1/4\"");
        session.say_of_file(1, "thickness", "30");
        session.say_of_file(0, "without", "1");
        let outcome = session.take_files();
        assert!(outcome.done, "{:?}", outcome.problem);
        assert_eq!(outcome.announce.as_deref(), Some("Added: 3 boards"));
        let new = &session.document.boards[before.boards.len()..];
        let thick = |b: &Board| b.thickness.as_ref().and_then(|t| t.plain_mm()).unwrap();
        assert_eq!(
            new.iter().map(thick).collect::<Vec<_>>(),
            [31.75, 27.0, 30.0]
        );
        assert_eq!(new[0].zones[0].note, "knot");
        assert!(session.read_files().files.is_empty());
        assert!(session.undo().done);
        assert_eq!(session.document, before);
    }

    #[test]
    fn a_unit_that_is_not_said_is_asked_for() {
        let mut session = small_workshop();
        session.give_file("plan.SVG", br#"<svg><rect width="90" height="8"/></svg>"#);
        let read = session.read_files();
        assert_eq!(read.files[0].asks_unit.as_deref(), Some("90.0 \u{d7} 8.0"));
        assert_eq!(
            read.missing.as_deref(),
            Some("say what plan.SVG is measured in")
        );
        session.say_of_file(0, "unit", "in");
        session.say_of_file(0, "thickness", "27");
        assert_eq!(session.read_files().missing, None);
        session.drop_files();
        assert!(!session.take_files().done);
    }

    #[test]
    fn a_board_of_forty_metres_is_told() {
        let mut session = small_workshop();
        let long = r#"<svg width="41000mm" viewBox="0 0 41000 400"><rect width="40000" height="300"/></svg>"#;
        session.give_file("long.svg", long.as_bytes());
        session.say_of_file(0, "thickness", "27");
        session.give_file("long.csv", b"Length,Width,Thickness\n40 m,200,27\n");
        let read = session.read_files();
        let told = |file: usize, word: &str| {
            read.files[file]
                .told
                .iter()
                .any(|t| t.message.contains(word))
        };
        assert!(
            told(0, "40000 by 300 mm") && told(1, "longer than 20 m"),
            "{read:?}"
        );
    }
}
