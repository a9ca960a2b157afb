//! From a document as typed to a job that engines can trust.
//!
//! Every problem is reported at once, each with its place and how to mend it. A board or
//! part with an error is left out of the job, so that the sound rest can be planned; a
//! warning leaves the thing in.

mod board;
mod dimensions;
mod done;
mod end_to_end;
mod figure;
mod fit;
mod outline;
mod panels;
mod part;
mod photos;
mod price;
mod reading;
mod relations;
mod settings;
mod shape;
mod together;
mod unknown;
pub(crate) mod workshop;
mod zone;

use heartside_geometry::{SortedMap, Tolerance};

use crate::choices::Choices;
use crate::defaults;
use crate::diagnostic::{Diagnostic, Level, Subject};
use crate::document::{Document, Wish};
use crate::ids::{TakenIds, is_safe_id};
use crate::job::{Goal, Job, Wished, WishedFace};
use crate::plan::{Unplaced, UnplacedReason};

use reading::{Reading, Thing, usable_count};

/// A job and everything that is wrong with the document it came from.
#[derive(Debug, Clone, PartialEq)]
pub struct Prepared {
    /// The sound rest; boards and parts with an error are not in it.
    pub job: Job,
    /// All problems: the job as a whole first, then workshop, dimensions, boards, parts,
    /// relations, and last what fits nowhere.
    pub diagnostics: Vec<Diagnostic>,
    /// The boards and parts that are not in the job, in the document's order, boards first.
    pub left_out: Vec<LeftOut>,
}

/// A board or part that has a problem, so that nothing can be planned with it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LeftOut {
    /// Board or part.
    pub subject: Subject,
    /// Its place in the document's list, from 0.
    pub row: usize,
    /// Its id as it stands there, possibly empty, doubled or unusable.
    pub id: String,
    /// What a person knows it by: its name, its id, or "board 3".
    pub name: String,
    /// How many there are, where that can be read.
    pub count: Option<u32>,
    /// The first thing that is wrong with it, as a sentence.
    pub because: String,
}

impl LeftOut {
    /// How many pieces it stands for at least.
    pub fn pieces(&self) -> u32 {
        self.count.unwrap_or(1)
    }
}

/// What was chosen of the faces of sound panels and matches; `rows` are the matches' places in the document.
fn wishes(document: &Document, rows: &[usize], job: &Job) -> Vec<Wished> {
    let chosen = |of: WishedFace, wish: &Wish| {
        (!wish.is_empty()).then(|| Wished {
            of,
            wish: wish.clone(),
        })
    };
    let is_sound = |id: &str| job.panels.iter().any(|p| p.part.id == id);
    let panels = document.panels.iter().filter(|p| is_sound(&p.part));
    let panels = panels.filter_map(|p| chosen(WishedFace::Panel(p.part.clone()), &p.wish));
    let matches = rows.iter().enumerate();
    let matches = matches.filter_map(|(at, row)| {
        let source = document.matches.get(*row)?;
        chosen(WishedFace::Match(at), &source.wish)
    });
    panels.chain(matches).collect()
}

impl Prepared {
    /// True if something had to be left out.
    pub fn has_errors(&self) -> bool {
        self.diagnostics.iter().any(|d| d.level == Level::Error)
    }
}

/// Reads a document into a job, made for what the plan on the floor has chosen as far as that holds,
/// else with the sizes preferred and with even staves.
///
/// Never fails: the worst document gives an empty job and its diagnostics.
///
/// # Cost
/// O(total size of the document + corners log corners + parts x boards).
pub fn prepare(document: &Document) -> Prepared {
    let chosen = document.plan.as_ref().map(Choices::of);
    prepare_with(document, &chosen.unwrap_or_default())
}

/// As [`prepare`], for other choices than those of the plan on the floor: a plan is judged against
/// the job made for what it has chosen itself.
///
/// What does not hold is passed over: a value for a name that the document does not have, one out of
/// its range or chosen when something else was preferred, staves that do not make up their panel.
pub fn prepare_with(document: &Document, choices: &Choices) -> Prepared {
    let unit = document.units.length;
    let values = dimensions::that_hold(document, choices);
    let named = dimensions::read(document, &values);
    let mut reading = Reading::new(unit, &named.table, &named.resolved.values);

    settings::note_form(document, &mut reading);
    let units = settings::display_units(document, &mut reading);
    let order = settings::order(document, &mut reading);
    let offcut_value = settings::offcut_value(document, &mut reading);
    let figure_worth = settings::figure_worth(document, &mut reading);
    unknown::note_all(document, &mut reading);

    let workshop = workshop::workshop(&document.workshop, &mut reading);
    let mut dimensions = dimensions::ranges(document, &named, &mut reading);
    let allowances = workshop::allowances(
        &document.allowances,
        &workshop::USUAL_ALLOWANCES,
        &Thing::job(),
        &mut reading,
    )
    .unwrap_or(workshop::USUAL_ALLOWANCES);

    let prices = price::Rates::read(document, &mut reading);
    let drafts = board::boards(document, &prices, &mut reading);
    let boards_kept: Vec<usize> = drafts.iter().map(|draft| draft.row).collect();
    let (mut boards, cost_is_volume) = prices.settle(document, drafts, &mut reading);
    let offcut_value = settings::counted(offcut_value, cost_is_volume, &mut reading);
    let figure_worth = settings::counted_figure(figure_worth, cost_is_volume, &mut reading);
    let (mut parts, mut parts_kept) = part::parts(document, &allowances, &prices, &mut reading);
    let panels = panels::panels(
        document,
        choices,
        &boards,
        (&workshop, &units),
        (&mut parts, &mut parts_kept),
        &mut reading,
    );
    let (done, spent) = done::done(document, &mut boards, &mut parts, &mut reading);
    dimensions::keep_as_cut(document, &named, &parts, &mut dimensions);
    let glued = (parts.as_slice(), panels.as_slice());
    let matches = relations::matches(document, glued, &mut reading);
    let pins = relations::pins(document, glued, &boards, &mut reading);
    let photos = photos::photos(document, &mut reading);
    let figure = figure::figure(document, &mut reading);
    dimensions::note_unused(document, &named, &mut reading);

    let mut job = Job {
        title: document.title.clone(),
        units,
        currency: if cost_is_volume {
            String::new()
        } else {
            document.currency.clone().unwrap_or_default()
        },
        cost_is_volume,
        offcut_value,
        goal: Goal::Furnish,
        order,
        tolerance: Tolerance::JOB,
        workshop,
        boards,
        parts,
        panels,
        matches: Vec::new(),
        pins,
        dimensions,
        done,
        spent,
        earlier: Vec::new(),
        photos,
        figure,
        wishes: Vec::new(),
        figure_worth,
        judge: None,
        revision: document.revision,
    };
    let matches = together::sound(matches, &job, &mut reading);
    let (rows, matches): (Vec<usize>, Vec<_>) = matches.into_iter().unzip();
    job.matches = matches;
    job.wishes = wishes(document, &rows, &job);
    fit::note_misfits(document, &job, &mut reading);
    together::note(&rows, &job, &mut reading);
    let left_out = left_out(document, &boards_kept, &parts_kept, &reading);
    Prepared {
        job,
        diagnostics: reading.notes,
        left_out,
    }
}

impl Prepared {
    /// What the plan of a job must say of its parts that are left out: they are not placed,
    /// whatever becomes of the others.
    ///
    /// A part without an id of its own cannot be named in a plan; it stands in
    /// [`Prepared::left_out`] alone.
    pub fn unplaced_parts(&self) -> Vec<Unplaced> {
        let mut listed: Vec<Unplaced> = Vec::new();
        for part in self.left_out.iter().filter(|l| l.subject == Subject::Part) {
            let is_free = self.job.part_index(&part.id).is_none()
                && listed.iter().all(|other| other.part != part.id);
            if is_free && is_safe_id(&part.id) {
                listed.push(Unplaced {
                    part: part.id.clone(),
                    copies: (1..=part.pieces()).collect(),
                    reason: UnplacedReason::PartNotSound,
                    least_board: None,
                    longest: None,
                });
            }
        }
        listed
    }

    /// How many pieces the document asks for: those of the job, and at least so many of the
    /// parts that are left out.
    pub fn wanted(&self) -> u64 {
        let parts = self.left_out.iter().filter(|l| l.subject == Subject::Part);
        self.job.piece_count() + parts.map(|l| u64::from(l.pieces())).sum::<u64>()
    }
}

/// The rows of boards and parts that were not kept; rows kept are in rising order.
fn left_out(
    document: &Document,
    boards_kept: &[usize],
    parts_kept: &[usize],
    reading: &Reading<'_>,
) -> Vec<LeftOut> {
    let mut because: SortedMap<(bool, usize), &str> = SortedMap::new();
    for note in reading.notes.iter().filter(|n| n.level == Level::Error) {
        let is_board = note.place.subject == Subject::Board;
        if let Some(row) = note.place.row
            && (is_board || note.place.subject == Subject::Part)
        {
            because.entry((is_board, row)).or_insert(&note.message);
        }
    }
    let entry = |subject, row, id: &str, name: &str, count: Option<f64>| {
        let is_board = subject == Subject::Board;
        let kind = if is_board { "board" } else { "part" };
        let named = [name.trim(), id.trim()].into_iter().find(|n| !n.is_empty());
        let because = because.get(&(is_board, row)).copied();
        LeftOut {
            subject,
            row,
            id: id.to_owned(),
            name: named.map_or_else(|| format!("{kind} {}", row + 1), str::to_owned),
            count: usable_count(count, defaults::MOST_COPIES),
            because: because
                .unwrap_or("something in it cannot be read")
                .to_owned(),
        }
    };
    let gone = |kept: &'_ [usize], all: usize| -> Vec<usize> {
        (0..all)
            .filter(|row| kept.binary_search(row).is_err())
            .collect()
    };
    let mut left_out = Vec::new();
    for row in gone(boards_kept, document.boards.len()) {
        let board = &document.boards[row];
        left_out.push(entry(
            Subject::Board,
            row,
            &board.id,
            &board.name,
            board.count,
        ));
    }
    for row in gone(parts_kept, document.parts.len()) {
        let part = &document.parts[row];
        left_out.push(entry(Subject::Part, row, &part.id, &part.name, part.count));
    }
    left_out
}

/// Ids that were seen, to find doubles.
#[derive(Default)]
struct Ids {
    seen: TakenIds,
}

impl Ids {
    /// Notes an id that is missing, unsafe or used twice; true if it can be used.
    fn take(&mut self, id: &str, thing: &Thing, kind: &str, reading: &mut Reading<'_>) -> bool {
        if id.is_empty() {
            reading.error(
                "id-missing",
                thing.field("id"),
                format!("this {kind} has no id"),
                "give it a short one, such as A or leg",
            );
            return false;
        }
        if !is_safe_id(id) {
            reading.error(
                "id-not-usable",
                thing.field("id"),
                format!("the id of this {kind} has signs that cannot be used"),
                "use letters, figures, - and _ (at most 60), beginning with a letter or figure",
            );
            return false;
        }
        // Files are named after ids, and some systems do not tell capitals apart.
        if !self.seen.take(id) {
            reading.error(
                "id-used-twice",
                thing.field("id"),
                format!("the id \u{201c}{id}\u{201d} is used twice"),
                format!("give this {kind} another id; the first one keeps it"),
            );
            return false;
        }
        true
    }
}

#[cfg(test)]
mod tests;
