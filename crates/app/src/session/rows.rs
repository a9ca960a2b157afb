//! Rows of parts and the workshop.

use heartside_geometry::{Arrange, SortedMap};

use heartside_timber::blank::greatest_finished_thickness;
use heartside_timber::document::{self, Length};
use heartside_timber::job::{Board, Faces, GrainRule, Part, PartCut, StaveOf};
use heartside_timber::length::{write_angle, write_decimal, write_dimension, write_length};
use heartside_timber::words::counted;

use super::Session;
use super::picture::{blank_extents, board_label, finished_size};
use super::staying::makers_parts;
use crate::protocol::{CopyOf, CopyRow, PartRow, SimpleRow, ThicknessClass, Thing, ThingKind};
use heartside_cutting::is_scrap;

/// So many copies of a part are listed one by one; a table of more would help nobody.
const MOST_COPIES_LISTED: u32 = 200;
pub(super) const NOT_KNOWN: &str = "\u{2013}";

impl Session {
    /// The board of the job that a row became; none where it has a problem.
    pub(super) fn sound_board(&self, row: usize, typed: &document::Board) -> Option<&Board> {
        // Of two rows with one id the first became the board.
        let first = self.document.boards.iter().position(|b| b.id == typed.id) == Some(row);
        self.job.board(typed.id.trim()).filter(|_| first)
    }

    /// The part of the job that a row became, glued up or in one piece; none where it has a problem.
    pub(super) fn sound_part(&self, row: usize, typed: &document::Part) -> Option<&Part> {
        let first = self.document.parts.iter().position(|p| p.id == typed.id) == Some(row);
        let id = typed.id.trim();
        let part = makers_parts(&self.job).find(|p| p.id == id);
        part.filter(|_| first)
    }

    pub(super) fn length_words(&self, length: Option<&Length>) -> String {
        match length {
            Some(Length::Mm(mm)) => write_dimension(*mm, &self.job.units),
            Some(Length::Typed { typed, .. }) => typed.clone(),
            Some(Length::Expr { expr }) => expr.clone(),
            None => NOT_KNOWN.to_owned(),
        }
    }

    pub(super) fn part_rows(&self) -> Vec<PartRow> {
        let places = self.places();
        self.document
            .parts
            .iter()
            .enumerate()
            .map(|(row, part)| self.part_row(row, part, &places))
            .collect()
    }

    /// Where every placed copy lies.
    fn places(&self) -> SortedMap<(&str, u32), CopyOf> {
        let mut places = SortedMap::new();
        for layout in self.document.plan.iter().flat_map(|p| &p.layouts) {
            for placement in &layout.placements {
                let board = CopyOf::from(&layout.board);
                places.insert((placement.part.as_str(), placement.copy), board);
            }
        }
        places
    }

    fn part_row(
        &self,
        row: usize,
        typed: &document::Part,
        places: &SortedMap<(&str, u32), CopyOf>,
    ) -> PartRow {
        let thing = Thing::row(ThingKind::Part, row);
        let sound = self.sound_part(row, typed);
        let mut out = PartRow {
            problems: self.problem_count(&thing),
            thing,
            id: typed.id.clone(),
            name: if typed.name.is_empty() {
                typed.id.clone()
            } else {
                typed.name.clone()
            },
            count: count_of(typed.count),
            finished: NOT_KNOWN.to_owned(),
            blank: NOT_KNOWN.to_owned(),
            faces: faces_words(typed.faces).to_owned(),
            sound: sound.is_some(),
            ..PartRow::default()
        };
        let Some(part) = sound else { return out };
        let staves = self.staves_of(part);
        out.count = part.count;
        out.finished = self.finished_words(part);
        // A stave stands for the others, which are as long and as thick.
        let sawn = staves.first().copied().unwrap_or(part);
        if staves.is_empty() {
            out.blank = self.blank_words(part);
        }
        out.glued = self.glued_words(&staves);
        out.grain = grain_words(&part.grain);
        out.cut = match sawn.cut {
            PartCut::Straight => "straight cuts",
            PartCut::Sawn => "sawn by line",
        }
        .to_owned();
        out.classes = self.classes(sawn);
        // Of boards that are thick enough the one that leaves least to spare is about as thick as
        // the part wants; where none is, the one that comes nearest.
        let about = out.classes.iter().rev().find(|c| c.enough);
        out.thickest = about.or(out.classes.first()).map(|c| c.sentence.clone());
        let own = [part];
        let pieces: &[&Part] = if staves.is_empty() { &own } else { &staves };
        let mut on: SortedMap<String, u32> = SortedMap::new();
        for piece in pieces {
            self.list_copies(piece, places, &mut out);
            for copy in piece.wanted() {
                let place = places.get(&(piece.id.as_str(), copy));
                out.placed_count += u32::from(place.is_some());
                if let Some(board) = place {
                    *on.entry(self.label_of(board)).or_default() += 1;
                }
            }
        }
        let wanted: u32 = pieces.iter().map(|p| p.wanted_count()).sum();
        let waiting = wanted - out.placed_count;
        let in_hand: usize = pieces.iter().map(|p| p.in_hand.len()).sum();
        let in_hand = (in_hand > 0).then(|| format!("{in_hand} in hand"));
        let mut words: Vec<String> = in_hand
            .into_iter()
            .chain(
                on.iter()
                    .map(|(board, count)| format!("{count} on {board}")),
            )
            .collect();
        if waiting > 0 {
            words.push(format!("{waiting} on the trestle"));
        }
        out.placed = words.join(", ");
        out
    }

    /// Rows of the copies of a part or stave.
    fn list_copies(
        &self,
        piece: &Part,
        places: &SortedMap<(&str, u32), CopyOf>,
        out: &mut PartRow,
    ) {
        for copy in 1..=piece.count.min(MOST_COPIES_LISTED) {
            let board = places.get(&(piece.id.as_str(), copy)).cloned();
            let label = board.as_ref().map(|b| self.label_of(b));
            let pinned = self.is_pinned(&piece.id, copy);
            out.pinned_count += u32::from(pinned);
            out.copies.push(CopyRow {
                part: CopyOf {
                    id: piece.id.clone(),
                    copy,
                },
                name: piece.copy_name(copy),
                size: match piece.stave {
                    Some(StaveOf { piece: 1.., .. }) => {
                        let long = write_dimension(piece.length(), &self.job.units);
                        format!("{long} long, {}", self.wide_words(piece.width()))
                    }
                    Some(_) => self.wide_words(piece.width()),
                    None => String::new(),
                },
                place: match (piece.in_hand.contains(&copy), label) {
                    (true, _) => "in hand".to_owned(),
                    (false, Some(label)) => format!("on {label}"),
                    (false, None) => "on the trestle".to_owned(),
                },
                board,
                pinned,
            });
        }
    }

    /// The staves of a panel, copy by copy in the order in which they are glued; none of another part.
    pub(super) fn staves_of(&self, part: &Part) -> Vec<&Part> {
        let panel = self.job.panels.iter().find(|p| p.part.id == part.id);
        let copies = panel.into_iter().flat_map(|p| &p.copies);
        copies
            .flat_map(|c| c.staves.iter().flat_map(move |s| s.ids(&c.panel)))
            .filter_map(|id| self.job.part(&id))
            .collect()
    }

    /// "133 wide".
    pub(super) fn wide_words(&self, width: f64) -> String {
        format!("{} wide", write_dimension(width, &self.job.units))
    }

    /// "3 staves, 133 wide each", or with the narrowest and the widest.
    fn glued_words(&self, staves: &[&Part]) -> String {
        if staves.is_empty() {
            return String::new();
        }
        let widths = staves.iter().map(|s| s.width());
        let least = widths.clone().fold(f64::INFINITY, f64::min);
        let most = widths.fold(0.0, f64::max);
        let show = |mm: f64| write_dimension(mm, &self.job.units);
        let wide = match show(least) == show(most) {
            true => format!("{} wide", show(most)),
            false => format!("{} to {} wide", show(least), show(most)),
        };
        let first = |p: &&&Part| p.stave.as_ref().is_none_or(|s| s.piece <= 1);
        let count = staves.iter().filter(first).count();
        let of = match count == staves.len() {
            true => String::new(),
            false => format!(" of {}", counted(staves.len(), "piece", "pieces")),
        };
        format!("{}{of}, {wide}", counted(count, "stave", "staves"))
    }

    pub(super) fn label_of(&self, board: &CopyOf) -> String {
        board_label(&self.job, &document::BoardCopy::from(board))
    }

    pub(super) fn is_pinned(&self, part: &str, copy: u32) -> bool {
        self.document
            .pins
            .iter()
            .any(|p| p.part.part == part && p.part.copy == copy)
    }

    /// "742 x 56 to 32 x 32".
    pub(super) fn finished_words(&self, part: &Part) -> String {
        format!(
            "{} \u{d7} {}",
            finished_size(&self.job, part),
            write_dimension(part.thickness, &self.job.units)
        )
    }

    /// "770 x 66 x 36": with the thickness that the blank must at least come from, wherever the warp is unknown.
    pub(super) fn blank_words(&self, part: &Part) -> String {
        let (along, across) = blank_extents(part);
        let show = |mm: f64| write_dimension(mm, &self.job.units);
        let thick = part.thickness + 2.0 * part.allowances.planing;
        format!(
            "{} \u{d7} {} \u{d7} {}",
            show(along),
            show(across),
            show(thick)
        )
    }

    /// What each class of boards (one thickness, one result) gives a part; best first.
    fn classes(&self, part: &Part) -> Vec<ThicknessClass> {
        let (along, across) = self.extents_on_board(part);
        let show = |mm: f64| write_dimension(mm, &self.job.units);
        struct Class {
            gives: f64,
            boards: Vec<String>,
        }
        let mut found: Vec<((String, String), Class)> = Vec::new();
        // Most boards are as thick and as flat as another: their words are written once.
        let mut known: SortedMap<[u64; 2], usize> = SortedMap::new();
        let plan = self.document.plan.as_ref();
        let species = |b: &&Board| part.species.is_empty() || part.species.contains(&b.species);
        for board in self
            .job
            .boards
            .iter()
            .filter(species)
            .filter(|b| b.is_usable() && !is_scrap(&self.job, plan, b))
        {
            let gives = greatest_finished_thickness(board, &part.allowances, along, across);
            let like = [board.thickness.to_bits(), gives.to_bits()];
            let place = *known.entry(like).or_insert_with(|| {
                let words = (show(board.thickness), show(gives.max(0.0)));
                let place = found.iter().position(|(known, _)| *known == words);
                place.unwrap_or_else(|| {
                    let boards = Vec::new();
                    found.push((words, Class { gives, boards }));
                    found.len() - 1
                })
            });
            found[place].1.boards.push(board.id.clone());
        }
        found.arrange_by(|a, b| {
            b.1.gives
                .total_cmp(&a.1.gives)
                .then_with(|| a.1.boards.cmp(&b.1.boards))
        });
        found
            .into_iter()
            .map(|((thickness, gives), class)| {
                let boards = class.boards.join(", ");
                ThicknessClass {
                    sentence: format!("{thickness} finishes at most {gives} here (board {boards})"),
                    enough: class.gives >= part.thickness,
                    boards,
                    thickness,
                    gives,
                }
            })
            .collect()
    }

    /// Extents of a blank along and across the board it lies on, by its grain.
    fn extents_on_board(&self, part: &Part) -> (f64, f64) {
        let (length, width) = blank_extents(part);
        match part.grain {
            GrainRule::Axis { across: true, .. } => (width, length),
            _ => (length, width),
        }
    }

    pub(super) fn tool_rows(&self) -> Vec<SimpleRow> {
        self.document
            .workshop
            .tools
            .iter()
            .enumerate()
            .map(|(row, tool)| {
                let thing = Thing::row(ThingKind::Tool, row);
                let does: Vec<&str> = tool
                    .does
                    .iter()
                    .map(|kind| match kind {
                        document::CutKind::Rip => "rips",
                        document::CutKind::Crosscut => "crosscuts",
                        document::CutKind::Sawn => "follows a line",
                        document::CutKind::Resaw => "resaws",
                        document::CutKind::TrueEdge => "trues edges",
                    })
                    .collect();
                let trues = tool.does.contains(&document::CutKind::TrueEdge);
                let kerf = tool.kerf.as_ref().map(|kerf| {
                    let words = if trues { "takes off at most" } else { "kerf" };
                    format!("{words} {}", self.length_words(Some(kerf)))
                });
                let guide = match tool.guide {
                    document::Guide::None => None,
                    document::Guide::Along if tool.moves_the_work() => Some("rip fence"),
                    document::Guide::Along => Some("rail on the board"),
                    document::Guide::Square => Some("fence square to the cut"),
                };
                let text: Vec<String> = does
                    .into_iter()
                    .map(str::to_owned)
                    .chain(kerf)
                    .chain(guide.map(str::to_owned))
                    .collect();
                self.simple_row(thing, text.join(", "))
            })
            .collect()
    }

    pub(super) fn dimension_rows(&self) -> Vec<SimpleRow> {
        self.document
            .dimensions
            .iter()
            .enumerate()
            .map(|(row, dimension)| {
                let mut known = self.job.dimensions.iter();
                let known = known.find(|d| d.value.name == dimension.name.trim());
                let value = match known {
                    Some(known) => {
                        let show = |mm: f64| write_length(mm, &self.job.units);
                        let (value, preferred) = (show(known.value.value), show(known.preferred));
                        match value == preferred {
                            true => value,
                            false => format!("{value}, {preferred} preferred"),
                        }
                    }
                    None => self.length_words(dimension.preferred.as_ref()),
                };
                let range = match (&dimension.least, &dimension.most) {
                    (None, None) => String::new(),
                    (least, most) => format!(
                        ", from {} to {}",
                        self.length_words(least.as_ref().or(dimension.preferred.as_ref())),
                        self.length_words(most.as_ref().or(dimension.preferred.as_ref()))
                    ),
                };
                let step = match &dimension.step {
                    Some(step) if !range.is_empty() => {
                        format!(" in steps of {}", self.length_words(Some(step)))
                    }
                    _ => String::new(),
                };
                self.simple_row(
                    Thing::row(ThingKind::Dimension, row),
                    value + &range + &step,
                )
            })
            .collect()
    }

    pub(super) fn match_rows(&self) -> Vec<SimpleRow> {
        self.document
            .matches
            .iter()
            .enumerate()
            .map(|(row, relation)| {
                let names: Vec<String> = relation
                    .parts
                    .iter()
                    .map(|c| self.job.name_of(c).unwrap_or_else(|| c.part.clone()))
                    .collect();
                let kind = match relation.kind {
                    document::MatchKind::SameBoard => "from one board",
                    document::MatchKind::ContinuousAlong => "grain runs on, end to end",
                    document::MatchKind::ContinuousAcross => "grain runs on, side by side",
                    document::MatchKind::Slip => "leaves of one blank, side by side",
                    document::MatchKind::Book => "leaves of one blank, opened like a book",
                    document::MatchKind::Balanced => "figure that mirrors",
                    document::MatchKind::Frame => "a frame",
                };
                self.simple_row(
                    Thing::row(ThingKind::Match, row),
                    format!("{kind}: {}", names.join(", ")),
                )
            })
            .collect()
    }

    pub(super) fn species_rows(&self) -> Vec<SimpleRow> {
        self.document
            .species
            .iter()
            .enumerate()
            .map(|(row, species)| {
                let text = species
                    .density
                    .map(|d| format!("{} kg a cubic metre", write_decimal(d, 0)));
                self.simple_row(
                    Thing::row(ThingKind::Species, row),
                    text.unwrap_or_default(),
                )
            })
            .collect()
    }

    fn simple_row(&self, thing: Thing, text: String) -> SimpleRow {
        SimpleRow {
            name: self.called(&thing),
            text,
            problems: self.problem_count(&thing),
            thing,
        }
    }
}

pub(super) fn count_of(count: Option<f64>) -> u32 {
    count
        .filter(|c| *c >= 0.0 && *c < 1e9)
        .map_or(1, |c| c as u32)
}

pub(super) fn faces_words(faces: Faces) -> &'static str {
    match faces {
        Faces::Both => "both faces seen",
        Faces::One => "one face seen",
        Faces::Hidden => "not seen",
        Faces::Painted => "painted",
    }
}

pub(super) fn grain_words(grain: &GrainRule) -> String {
    match grain {
        GrainRule::Any => "any way".to_owned(),
        GrainRule::Axis { across, tolerance } => {
            format!(
                "{}, within {}",
                if *across { "across" } else { "along" },
                write_angle(*tolerance)
            )
        }
        GrainRule::Turns(turns) => {
            let list: Vec<String> = turns.iter().map(|t| write_angle(*t)).collect();
            format!("turns {}", list.join(", "))
        }
    }
}
