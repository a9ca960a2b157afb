//! Rule 8 for panels: the staves that a plan has chosen make up each panel by its rules, they are the
//! staves of the job, and their heart sides lie as asked.
//!
//! Nothing of how staves are chosen is used here: widths, joints and faces are added up anew.

use heartside_geometry::{SortedMap, SortedSet};

use heartside_timber::choices::{PanelChoice, Stave, piece_id};
use heartside_timber::document::{BoardCopy, HeartSide, Hearts, PartCopy};
use heartside_timber::finding::{Finding, Rule};
use heartside_timber::job::{Panel, Part};
use heartside_timber::plan::Plan;

use crate::index::JobIndex;
use crate::lying::Layouts;
use crate::report::{About, broken};

/// What each stave may add to the width that is wanted, in mm: sawn to tenths, and never too narrow.
const TENTH: f64 = 0.1;

fn report(cause: &str, message: String) -> Finding {
    broken(Rule::Matches, cause, message)
}

/// What is wrong with the staves that the plan has chosen.
pub(crate) fn staves(index: &JobIndex<'_>, plan: &Plan) -> Vec<Finding> {
    let (job, words) = (index.job(), index.words());
    let mut found = Vec::new();
    for panel in &job.panels {
        for copy in 1..=panel.part.count {
            let of_copy = |c: &&PanelChoice| c.panel.part == panel.part.id && c.panel.copy == copy;
            let mut chosen = plan.panels.iter().filter(of_copy);
            let about = Copy { index, panel, copy };
            match chosen.next() {
                None => {
                    found.push(about.report("panel-missing", words.panel_missing(panel, copy)));
                }
                Some(chosen) => about.judge(&chosen.staves, &mut found),
            }
            if chosen.next().is_some() {
                found.push(about.report("panel-twice", words.panel_twice(panel, copy)));
            }
        }
    }
    for chosen in &plan.panels {
        let PartCopy { part, copy } = &chosen.panel;
        let known = |p: &Panel| p.part.id == *part && (1..=p.part.count).contains(copy);
        if !job.panels.iter().any(known) {
            found.push(report("panel-unknown", words.panel_unknown(&chosen.panel)));
        }
    }
    found.extend(told_sizes(index, plan));
    found
}

/// Placements that tell another size than their stave has: what is sawn once would be known by it.
fn told_sizes(index: &JobIndex<'_>, plan: &Plan) -> Vec<Finding> {
    let placed = plan
        .layouts
        .iter()
        .flat_map(|l| l.placements.iter().map(move |p| (l, p)));
    let told = placed.flat_map(|(layout, placement)| {
        let part = index.job().part(&placement.part);
        let part = part.filter(|p| p.stave.is_some());
        let sizes = part.map(|part| {
            [
                (false, placement.width, part.width()),
                (true, placement.length, part.length()),
            ]
        });
        let sizes = sizes.into_iter().flatten();
        sizes.map(move |(along, told, is)| (layout, placement, (along, told, is)))
    });
    let wrong = told.filter_map(|(layout, placement, (along, told, is))| {
        let told = told?;
        let off = (told - is).abs();
        // Written so that what is no number is wrong too.
        let is_right = off <= index.slack();
        (!is_right).then(|| {
            let copy = placement.part_copy();
            let message = index.words().stave_told_other(&copy, along, told, is);
            let finding = report("stave-told-other", message)
                .on(&layout.board)
                .of(&copy);
            if off.is_finite() {
                finding.mm(off)
            } else {
                finding
            }
        })
    });
    wrong.collect()
}

/// One copy of a panel.
struct Copy<'a> {
    index: &'a JobIndex<'a>,
    panel: &'a Panel,
    copy: u32,
}

impl Copy<'_> {
    fn report(&self, cause: &str, message: String) -> Finding {
        report(cause, message).of(&PartCopy {
            part: self.panel.part.id.clone(),
            copy: self.copy,
        })
    }

    /// The part of the job that a stave of this number is, or a piece of it.
    fn part(&self, number: u32, piece: u32) -> Option<&Part> {
        self.index.job().part(&self.piece(number, piece).part)
    }

    fn piece(&self, number: u32, piece: u32) -> PartCopy {
        PartCopy {
            part: piece_id(&self.panel.part.id, self.copy, number, piece),
            copy: 1,
        }
    }

    /// Its first piece stands for a stave.
    fn stave_copy(&self, stave: &Stave) -> PartCopy {
        self.piece(stave.number, *stave.piece_numbers().start())
    }

    /// True where some of the stave was sawn already.
    fn is_held(&self, stave: &Stave) -> bool {
        let mut pieces = stave.piece_numbers();
        pieces.any(|piece| {
            let part = self.part(stave.number, piece);
            part.is_some_and(|p| !p.in_hand.is_empty())
        })
    }

    fn judge(&self, staves: &[Stave], found: &mut Vec<Finding>) {
        let (panel, copy, words) = (self.panel, self.copy, self.index.words());
        let slack = self.index.slack();
        if staves
            .iter()
            .flat_map(|s| s.pieces.iter().chain([&s.width]))
            .any(|size| !(size.is_finite() && *size > 0.0))
        {
            found.push(self.report("stave-no-width", words.stave_no_width(panel, copy)));
            return;
        }
        let mut numbers = SortedSet::new();
        for stave in staves {
            if !numbers.insert(stave.number) {
                let message = words.stave_twice(panel, copy, stave.number);
                found.push(self.report("stave-twice", message));
            }
        }
        let most = panel.max_count as usize;
        if staves.is_empty() || staves.len() > most {
            let message = words.stave_count(panel, copy, staves.len());
            let by = staves.len().saturating_sub(most).max(1);
            found.push(self.report("stave-count", message).count(by as f64));
        }
        let mut widths: Option<(f64, f64)> = None;
        for stave in staves {
            // What was sawn once is as it is.
            if !self.is_held(stave) {
                let (low, high) = widths.unwrap_or((stave.width, stave.width));
                widths = Some((low.min(stave.width), high.max(stave.width)));
                self.judge_width(stave, slack, found);
            }
            self.judge_pieces(stave, slack, found);
        }
        self.judge_ends(staves, slack, found);
        let spread = widths.map_or(0.0, |(low, high)| high - low);
        if panel.equal && spread > TENTH + slack {
            let message = words.staves_not_equal(panel, copy, spread);
            found.push(self.report("staves-not-equal", message).mm(spread - TENTH));
        }
        let joints = staves.len().saturating_sub(1) as f64 * panel.joint;
        let whole = staves.iter().map(|s| s.width).sum::<f64>() - joints;
        let over = whole - panel.width;
        let most_over = TENTH * staves.len() as f64;
        if over < -slack {
            let message = words.panel_too_narrow(panel, copy, -over);
            found.push(self.report("panel-too-narrow", message).mm(-over));
        } else if over > most_over + slack {
            let message = words.panel_too_wide(panel, copy, over);
            found.push(self.report("panel-too-wide", message).mm(over - most_over));
        }
        self.judge_others(staves, found);
    }

    /// A stave's width against the narrowest and the widest that the panel may have.
    fn judge_width(&self, stave: &Stave, slack: f64, found: &mut Vec<Finding>) {
        let (least, most) = self.panel.widths;
        let by = (least - stave.width).max(stave.width - most);
        if by > slack {
            let copy = self.stave_copy(stave);
            let wide = stave.width > most;
            let words = self.index.words();
            let which = (self.copy, stave.number, 0);
            let message = words.stave_width(self.panel, which, wide, by);
            let cause = if wide {
                "stave-too-wide"
            } else {
                "stave-too-narrow"
            };
            found.push(report(cause, message).of(&copy).mm(by));
        }
    }

    /// A stave is as long as the panel, in one piece or joined as the panel's rules allow.
    fn judge_pieces(&self, stave: &Stave, slack: f64, found: &mut Vec<Finding>) {
        let (panel, words) = (self.panel, self.index.words());
        let (copy, which) = (self.stave_copy(stave), (self.copy, stave.number, 0));
        if stave.pieces.is_empty() {
            self.judge_part(stave, (0, panel.length), slack, found);
            return;
        }
        for (piece, length) in (1..).zip(&stave.pieces) {
            let part = self.part(stave.number, piece);
            let short = panel.ends.least - length;
            if short > slack && part.is_none_or(|p| p.in_hand.is_empty()) {
                let which = (self.copy, stave.number, piece);
                let message = words.piece_too_short(panel, which, short);
                let copy = self.piece(stave.number, piece);
                found.push(report("piece-too-short", message).of(&copy).mm(short));
            }
            self.judge_part(stave, (piece, *length), slack, found);
        }
        let count = stave.pieces.len();
        if count < 2 || !(panel.ends.allowed || self.is_held(stave)) {
            let message = words.stave_joined(panel, which, count);
            found.push(report("stave-joined", message).of(&copy));
        }
        let over = stave.joined(panel.ends.taken) - panel.length;
        let most_over = TENTH * count as f64;
        if over < -slack {
            let message = words.stave_too_short(panel, which, -over);
            found.push(report("stave-too-short", message).of(&copy).mm(-over));
        } else if over > most_over + slack {
            let message = words.stave_too_long(panel, which, over);
            found.push(
                report("stave-too-long", message)
                    .of(&copy)
                    .mm(over - most_over),
            );
        }
    }

    /// End joints of neighbouring staves stand apart.
    fn judge_ends(&self, staves: &[Stave], slack: f64, found: &mut Vec<Finding>) {
        let panel = self.panel;
        for pair in staves.windows(2) {
            let (low, high) = (
                pair[0].ends(panel.ends.taken),
                pair[1].ends(panel.ends.taken),
            );
            let apart = low
                .iter()
                .flat_map(|a| high.iter().map(move |b| (a - b).abs()));
            let nearest = apart.fold(f64::INFINITY, f64::min);
            let by = panel.ends.apart - nearest;
            if by > slack {
                let numbers = (pair[0].number, pair[1].number);
                let words = self.index.words();
                let message = words.ends_near(panel, self.copy, numbers, nearest);
                let finding = report("ends-near", message).of(&self.stave_copy(&pair[0]));
                found.push(finding.of(&self.stave_copy(&pair[1])).mm(by));
            }
        }
    }

    /// A piece is one part of the job, of that width and length and thick enough to be flattened.
    fn judge_part(
        &self,
        stave: &Stave,
        (piece, length): (u32, f64),
        slack: f64,
        found: &mut Vec<Finding>,
    ) {
        let (panel, words) = (self.panel, self.index.words());
        let copy = self.piece(stave.number, piece);
        let which = (self.copy, stave.number, piece);
        let part = self.part(stave.number, piece);
        let Some(part) = part.filter(|p| p.count == 1 && p.stave.is_some()) else {
            let message = words.stave_not_of_job(panel, which, None);
            found.push(report("stave-not-of-job", message).of(&copy));
            return;
        };
        let off = (part.width() - stave.width).abs();
        if off > slack {
            let message = words.stave_not_of_job(panel, which, Some((stave.width, part.width())));
            found.push(report("stave-not-of-job", message).of(&copy).mm(off));
        }
        let short = length - part.length();
        if short > slack {
            let message = words.stave_too_short(panel, which, short);
            found.push(report("stave-too-short", message).of(&copy).mm(short));
        }
        let thin = panel.part.thickness + 2.0 * panel.flatten - part.thickness;
        if thin > slack {
            let message = words.stave_too_thin(panel, which, thin);
            found.push(report("stave-too-thin", message).of(&copy).mm(thin));
        }
    }

    /// Staves that the job has and the plan does not.
    fn judge_others(&self, staves: &[Stave], found: &mut Vec<Finding>) {
        let (job, words) = (self.index.job(), self.index.words());
        for part in &job.parts {
            let Some(stave) = &part.stave else { continue };
            let here = job.panels.get(stave.panel).map(|p| &p.part.id) == Some(&self.panel.part.id)
                && stave.copy == self.copy;
            let mut named = staves.iter().filter(|s| s.number == stave.number);
            if here && !named.any(|s| s.piece_numbers().contains(&stave.piece)) {
                let which = (self.copy, stave.number, stave.piece);
                let message = words.stave_left_out(self.panel, which);
                let copy = self.piece(stave.number, stave.piece);
                found.push(report("stave-left-out", message).of(&copy));
            }
        }
    }
}

/// Whether heart sides lie as asked: in glued order turn by turn, or all one way.
///
/// Staves without a place are passed over, those of boards whose heart side nobody has looked at are
/// told as a caution.
pub(crate) fn hearts(index: &JobIndex<'_>, plan: &Plan, layouts: &dyn Layouts) -> Vec<Finding> {
    let mut found = Vec::new();
    for panel in index
        .job()
        .panels
        .iter()
        .filter(|p| p.hearts != Hearts::Any)
    {
        for copy in 1..=panel.part.count {
            let of_copy = |c: &&PanelChoice| c.panel.part == panel.part.id && c.panel.copy == copy;
            if let Some(chosen) = plan.panels.iter().find(of_copy) {
                let about = Copy { index, panel, copy };
                found.extend(about.hearts(&chosen.staves, layouts));
            }
        }
    }
    found
}

impl Copy<'_> {
    fn hearts(&self, staves: &[Stave], layouts: &dyn Layouts) -> Vec<Finding> {
        let words = self.index.words();
        let mut found = Vec::new();
        // Each with its own board: many staves of one board are told once.
        let mut unknown: SortedMap<BoardCopy, Vec<PartCopy>> = SortedMap::new();
        let mut held_against: Option<(usize, PartCopy, bool)> = None;
        let mut is_told = false;
        let pieces = staves.iter().enumerate().flat_map(|(place, stave)| {
            let numbers = stave.piece_numbers();
            numbers.map(move |piece| (place, self.piece(stave.number, piece)))
        });
        for (place, copy) in pieces {
            let Some(lying) = layouts.lying(&copy) else {
                continue;
            };
            let Some(board) = self.index.board_place(lying.board) else {
                continue;
            };
            let side = self.index.job().boards[board].heart_side;
            if side == HeartSide::Unknown {
                unknown.entry(lying.board.clone()).or_default().push(copy);
                continue;
            }
            let is_up = (side == HeartSide::Up) != lying.piece.pose.turned_over;
            let Some((at, other, was_up)) = &held_against else {
                held_against = Some((place, copy, is_up));
                continue;
            };
            let alternate = self.panel.hearts == Hearts::Alternate;
            let turns = alternate && (place - at) % 2 == 1;
            // Of three that face one way the middle one is to be turned: it is told once.
            is_told = is_up != (*was_up != turns) && !(alternate && is_told);
            if is_told {
                let between = (place - at).checked_sub(1);
                let message =
                    words.heart_wrong(self.panel, (&copy, is_up), (other, *was_up), between);
                let finding = report("heart-side", message)
                    .on(lying.board)
                    .of(&copy)
                    .of(other);
                found.push(finding.at(lying.piece.bounds.centre()));
            }
            // Turn by turn each is held against its neighbour, else all against the first.
            if alternate {
                held_against = Some((place, copy, is_up));
            }
        }
        for (board, copies) in unknown {
            let message = words.heart_unknown(self.panel, &board, &copies);
            let finding = report("heart-unknown", message).on(&board);
            found.push(copies.iter().fold(finding, |f, c| f.of(c)).caution());
        }
        found
    }
}
