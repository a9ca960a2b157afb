//! Every sentence of the checker: what is wrong, where, and by how much, in the job's units.

use heartside_timber::document::{BoardCopy, PartCopy, ZoneKind};
use heartside_timber::job::{Board, Job, Part, Zone};
use heartside_timber::length::{DisplayUnits, write_angle, write_gap, write_length};
use heartside_timber::plan::Direction;
use heartside_timber::words::{capital, counted, either, listed, plural};

/// A distance by which a rule is missed, never shown as nothing.
///
/// Below a hundredth of a millimetre (a thousandth of an inch) the writer would show 0.
pub(crate) fn gap(mm: f64, units: &DisplayUnits) -> String {
    let least = match units.unit {
        heartside_timber::length::Unit::Millimetres => 0.01,
        heartside_timber::length::Unit::Inches => 0.0254,
    };
    if mm.abs() < 0.5 * least && mm != 0.0 {
        format!("less than {}", write_gap(least, units))
    } else {
        write_gap(mm, units)
    }
}

/// An angle by which a rule is missed, never shown as nothing.
pub(crate) fn angle(degrees: f64) -> String {
    if degrees.abs() < 0.005 && degrees != 0.0 {
        format!("less than {}", write_angle(0.01))
    } else {
        write_angle(degrees)
    }
}

/// What things are called, and the sentences about them.
#[derive(Clone, Copy)]
pub(crate) struct Words<'a> {
    job: &'a Job,
}

impl<'a> Words<'a> {
    pub(crate) fn new(job: &'a Job) -> Words<'a> {
        Words { job }
    }

    fn gap(&self, mm: f64) -> String {
        gap(mm, &self.job.units)
    }

    fn length(&self, mm: f64) -> String {
        write_length(mm, &self.job.units)
    }

    /// "Leg 2", or the bare id of a part that the job does not know.
    pub(crate) fn part(&self, copy: &PartCopy) -> String {
        match self.job.part(&copy.part) {
            Some(part) => part.copy_name(copy.copy),
            None => format!("\u{201c}{}\u{201d} {}", copy.part, copy.copy),
        }
    }

    fn parts(&self, copies: &[PartCopy]) -> String {
        let names: Vec<String> = copies.iter().map(|c| self.part(c)).collect();
        if names.is_empty() {
            "no part".into()
        } else {
            listed(&names)
        }
    }

    /// "board C", with the copy's number where there are several alike.
    pub(crate) fn board(&self, copy: &BoardCopy) -> String {
        let board = self.job.board(&copy.board);
        let name = board.map_or(copy.board.as_str(), |b| b.name.as_str());
        let named = if name.to_lowercase().starts_with("board") {
            name.to_string()
        } else {
            format!("board {name}")
        };
        if board.is_some_and(|b| b.count > 1) {
            format!("{named} (no. {})", copy.copy)
        } else {
            named
        }
    }

    /// "the knot": the maker's own word, else its kind.
    fn zone(&self, zone: &Zone) -> String {
        let note = zone.note.trim();
        if !note.is_empty() {
            return format!("the {note}");
        }
        match zone.kind {
            ZoneKind::Defect => "the marked defect".into(),
            ZoneKind::Sapwood => "the sapwood".into(),
            ZoneKind::Fixing => "the old fixing".into(),
            ZoneKind::Figure => "the figure".into(),
        }
    }

    /// "the rip at 120 mm on board C".
    fn cut(&self, direction: Direction, at: f64, board: &BoardCopy) -> String {
        let kind = match direction {
            Direction::Rip => "rip",
            Direction::Crosscut => "crosscut",
        };
        format!("the {kind} at {} on {}", self.length(at), self.board(board))
    }
}

fn has(parts: &[PartCopy]) -> &'static str {
    plural(parts.len(), "has", "have")
}

/// Rule 1.
impl Words<'_> {
    pub(crate) fn no_place(&self, part: &PartCopy, board: &BoardCopy) -> String {
        format!(
            "{} has no usable place on {}: its position is not a number or lies far away.",
            self.part(part),
            self.board(board)
        )
    }

    pub(crate) fn outside(&self, part: &PartCopy, board: &BoardCopy, by: f64, trim: f64) -> String {
        let (part, board, by) = (self.part(part), self.board(board), self.gap(by));
        if trim > 0.0 {
            format!(
                "{part} sticks out of {board}: it reaches {by} too far, counting the {} that is trimmed off there.",
                self.length(trim)
            )
        } else {
            format!("{part} sticks out of {board} by {by}.")
        }
    }

    pub(crate) fn too_near_side(
        &self,
        part: &PartCopy,
        board: &BoardCopy,
        by: f64,
        trim: f64,
        is_end: bool,
    ) -> String {
        let side = if is_end { "end" } else { "edge" };
        format!(
            "{} is {} too near the raw {side} of {}, where {} is trimmed off.",
            self.part(part),
            self.gap(by),
            self.board(board),
            self.length(trim)
        )
    }
}

/// Rule 2.
impl Words<'_> {
    pub(crate) fn too_near_each_other(
        &self,
        a: &PartCopy,
        b: &PartCopy,
        board: &BoardCopy,
        by: f64,
        kerf: f64,
    ) -> String {
        let (a, b, board) = (self.part(a), self.part(b), self.board(board));
        if by > kerf {
            format!(
                "{a} and {b} lie over each other on {board}: they must move {} apart.",
                self.gap(by)
            )
        } else {
            format!(
                "{a} and {b} are {} too near each other on {board}: the saw takes {} between them.",
                self.gap(by),
                self.length(kerf)
            )
        }
    }
}

/// Rules 3 and 4.
impl Words<'_> {
    pub(crate) fn too_near_zone(
        &self,
        part: &PartCopy,
        board: &BoardCopy,
        zone: &Zone,
        by: f64,
        touching: bool,
    ) -> String {
        let (part, board, by, zone) = (
            self.part(part),
            self.board(board),
            self.gap(by),
            self.zone(zone),
        );
        if touching {
            format!("{part} lies over {zone} on {board}: it reaches {by} too far.")
        } else {
            format!("{part} is {by} too near {zone} on {board}.")
        }
    }

    pub(crate) fn defect_on_face(
        &self,
        part: &PartCopy,
        board: &BoardCopy,
        zone: &Zone,
        by: f64,
    ) -> String {
        format!(
            "{} would show {} of {} on a face that matters: it reaches {} too far.",
            self.part(part),
            self.zone(zone),
            self.board(board),
            self.gap(by)
        )
    }

    pub(crate) fn sapwood_seen(
        &self,
        part: &PartCopy,
        board: &BoardCopy,
        zone: &Zone,
        by: f64,
    ) -> String {
        format!(
            "{} would show {} of {} on its seen face: it reaches {} too far.",
            self.part(part),
            self.zone(zone),
            self.board(board),
            self.gap(by)
        )
    }

    pub(crate) fn holds_fixing(
        &self,
        part: &PartCopy,
        board: &BoardCopy,
        zone: &Zone,
        by: f64,
    ) -> String {
        format!(
            "{} reaches {} over {} on {}, and it may not hold one.",
            self.part(part),
            self.gap(by),
            self.zone(zone),
            self.board(board)
        )
    }

    pub(crate) fn fixing_near_edge(
        &self,
        part: &PartCopy,
        board: &BoardCopy,
        zone: &Zone,
        by: f64,
    ) -> String {
        format!(
            "{} of {} lies {} too near the edge of {}: it must stay wholly inside, {} from every edge.",
            capital(&self.zone(zone)),
            self.board(board),
            self.gap(by),
            self.part(part),
            self.length(zone.margin)
        )
    }

    pub(crate) fn fixing_planed(
        &self,
        part: &PartCopy,
        board: &BoardCopy,
        zone: &Zone,
        (thickness, finished): (f64, f64),
    ) -> String {
        format!(
            "{} of {} lies in {}, which is planed from {} to {}: it may be metal and would ruin the knives. Draw it before planing, or say how deep it lies.",
            capital(&self.zone(zone)),
            self.board(board),
            self.part(part),
            self.length(thickness),
            self.length(finished)
        )
    }

    pub(crate) fn fixing_too_shallow(
        &self,
        part: &PartCopy,
        board: &BoardCopy,
        zone: &Zone,
        by: f64,
    ) -> String {
        format!(
            "{} of {} lies in {}, {} too near to what may be planed off it: it may be metal and would ruin the knives.",
            capital(&self.zone(zone)),
            self.board(board),
            self.part(part),
            self.gap(by)
        )
    }

    pub(crate) fn sawn_line_at_fixing(
        &self,
        part: &PartCopy,
        board: &BoardCopy,
        zone: &Zone,
        by: f64,
    ) -> String {
        format!(
            "The saw going round {} comes {} too near {} on {}.",
            self.part(part),
            self.gap(by),
            self.zone(zone),
            self.board(board)
        )
    }

    pub(crate) fn cut_at_fixing(
        &self,
        direction: Direction,
        at: f64,
        board: &BoardCopy,
        zone: &Zone,
        by: f64,
    ) -> String {
        format!(
            "{} comes {} too near {}.",
            capital(&self.cut(direction, at, board)),
            self.gap(by),
            self.zone(zone)
        )
    }
}

/// Rules 5 to 7.
impl Words<'_> {
    pub(crate) fn grain_off(
        &self,
        part: &PartCopy,
        board: &BoardCopy,
        by: f64,
        tolerance: f64,
    ) -> String {
        format!(
            "The grain runs {} too far off in {} on {}: at most {} is allowed.",
            angle(by),
            self.part(part),
            self.board(board),
            angle(tolerance)
        )
    }

    pub(crate) fn turn_not_allowed(&self, part: &PartCopy, board: &BoardCopy, by: f64) -> String {
        format!(
            "{} is turned {} away from any turn it may have on {}.",
            self.part(part),
            angle(by),
            self.board(board)
        )
    }

    pub(crate) fn too_thin(
        &self,
        part: &Part,
        copy: &PartCopy,
        board: &BoardCopy,
        by: f64,
    ) -> String {
        format!(
            "{} comes out {} too thin from {}: {} is wanted once it is flat.",
            self.part(copy),
            self.gap(by),
            self.board(board),
            self.length(part.thickness)
        )
    }

    pub(crate) fn turned_over(&self, part: &PartCopy, board: &BoardCopy) -> String {
        format!(
            "{} may not be turned over, but lies so on {}.",
            self.part(part),
            self.board(board)
        )
    }
}

/// Rule 8.
impl Words<'_> {
    pub(crate) fn match_not_checked(&self, what: &str, parts: &[PartCopy]) -> String {
        format!(
            "Not checked: whether {} {what}. Look at it yourself.",
            self.parts(parts)
        )
    }

    pub(crate) fn not_same_board(
        &self,
        part: &PartCopy,
        board: &BoardCopy,
        first: &PartCopy,
        other: &BoardCopy,
    ) -> String {
        format!(
            "{} comes from {}, but {} from {}: they must come from one board.",
            self.part(part),
            self.board(board),
            self.part(first),
            self.board(other)
        )
    }

    fn run_on(&self, a: &PartCopy, b: &PartCopy) -> String {
        format!(
            "The grain does not run on from {} to {}",
            self.part(a),
            self.part(b)
        )
    }

    pub(crate) fn runs_on_other_board(&self, a: &PartCopy, b: &PartCopy) -> String {
        format!("{}: they come from different boards.", self.run_on(a, b))
    }

    pub(crate) fn runs_on_other_face(&self, a: &PartCopy, b: &PartCopy) -> String {
        format!("{}: one of them is turned over.", self.run_on(a, b))
    }

    pub(crate) fn runs_on_other_turn(&self, a: &PartCopy, b: &PartCopy, by: f64) -> String {
        format!(
            "{}: they are turned {} too differently.",
            self.run_on(a, b),
            angle(by)
        )
    }

    pub(crate) fn runs_on_wrong_order(&self, a: &PartCopy, b: &PartCopy, by: f64) -> String {
        format!(
            "{}: they do not follow each other in that order ({} the wrong way).",
            self.run_on(a, b),
            self.gap(by)
        )
    }

    pub(crate) fn runs_on_out_of_line(&self, a: &PartCopy, b: &PartCopy, by: f64) -> String {
        format!(
            "{}: they are {} out of line.",
            self.run_on(a, b),
            self.gap(by)
        )
    }

    pub(crate) fn runs_on_too_far(
        &self,
        a: &PartCopy,
        b: &PartCopy,
        by: f64,
        limit: f64,
    ) -> String {
        format!(
            "{}: the gap between them is {} more than the {} that allowances and one kerf need.",
            self.run_on(a, b),
            self.gap(by),
            self.length(limit)
        )
    }
}

/// Rule 9.
impl Words<'_> {
    pub(crate) fn no_cut_order(&self, board: &BoardCopy) -> String {
        format!(
            "No order of straight cuts has been found for {}.",
            self.board(board)
        )
    }

    pub(crate) fn way_not_allowed(&self, board: &BoardCopy, sawn: bool) -> String {
        let board = self.board(board);
        if sawn {
            format!(
                "{} is to be cut by straight cuts only, but this plan saws it by line.",
                capital(&board)
            )
        } else {
            format!(
                "{} is to be sawn by line, but this plan cuts it straight across.",
                capital(&board)
            )
        }
    }

    pub(crate) fn bad_frame(&self, board: &BoardCopy) -> String {
        format!(
            "The line from which the cuts of {} are measured is not a number or lies far away.",
            self.board(board)
        )
    }

    pub(crate) fn tree_damaged(&self, board: &BoardCopy, how: &str) -> String {
        format!(
            "The list of cuts for {} is damaged: {how}.",
            self.board(board)
        )
    }

    pub(crate) fn cut_not_a_number(&self, board: &BoardCopy) -> String {
        format!(
            "A cut on {} has no usable place or kerf.",
            self.board(board)
        )
    }

    pub(crate) fn part_without_piece(&self, part: &PartCopy, board: &BoardCopy) -> String {
        format!(
            "The cuts of {} never free {}.",
            self.board(board),
            self.part(part)
        )
    }

    pub(crate) fn part_in_two_pieces(&self, part: &PartCopy, board: &BoardCopy) -> String {
        format!(
            "The cuts of {} give {} twice.",
            self.board(board),
            self.part(part)
        )
    }

    pub(crate) fn part_leaves_piece(&self, part: &PartCopy, board: &BoardCopy, by: f64) -> String {
        format!(
            "The cuts of {} run {} into {}.",
            self.board(board),
            self.gap(by),
            self.part(part)
        )
    }

    pub(crate) fn piece_too_large(&self, part: &PartCopy, board: &BoardCopy, by: f64) -> String {
        format!(
            "The cuts of {} leave {} {} too large: a cut is missing.",
            self.board(board),
            self.part(part),
            self.gap(by)
        )
    }

    pub(crate) fn askew(&self, part: &PartCopy, board: &BoardCopy, by: f64) -> String {
        format!(
            "{} lies {} askew to the cuts of {}.",
            self.part(part),
            angle(by),
            self.board(board)
        )
    }

    pub(crate) fn sawn_part_as_blank(&self, part: &PartCopy, board: &BoardCopy) -> String {
        format!(
            "{} is sawn by line, but the cuts of {} treat it as finished by straight cuts.",
            self.part(part),
            self.board(board)
        )
    }

    pub(crate) fn empty_region(&self, board: &BoardCopy) -> String {
        format!(
            "A piece of {} is set aside for sawing by line, but holds no part.",
            self.board(board)
        )
    }

    pub(crate) fn areas_do_not_add(&self, board: &BoardCopy) -> String {
        format!(
            "The pieces of {} and the sawdust do not add up to the whole board.",
            self.board(board)
        )
    }

    fn about_cut(&self, direction: Direction, at: f64, board: &BoardCopy) -> String {
        capital(&self.cut(direction, at, board))
    }

    pub(crate) fn cut_misses(&self, d: Direction, at: f64, board: &BoardCopy, by: f64) -> String {
        format!(
            "{} misses its piece by {}.",
            self.about_cut(d, at, board),
            self.gap(by)
        )
    }

    pub(crate) fn cut_leaves_nothing(&self, d: Direction, at: f64, board: &BoardCopy) -> String {
        format!(
            "{} turns its whole piece to dust.",
            self.about_cut(d, at, board)
        )
    }

    pub(crate) fn cannot_skim(
        &self,
        d: Direction,
        at: f64,
        board: &BoardCopy,
        by: f64,
        tool: &str,
    ) -> String {
        format!(
            "{} runs {} over the edge of its piece, and {} cannot take off less than its kerf.",
            self.about_cut(d, at, board),
            self.gap(by),
            tool_name(tool)
        )
    }

    pub(crate) fn no_such_tool(
        &self,
        d: Direction,
        at: f64,
        board: &BoardCopy,
        tool: &str,
    ) -> String {
        if tool.is_empty() {
            format!(
                "{} names no tool, and the workshop has none that takes every piece.",
                self.about_cut(d, at, board)
            )
        } else {
            format!(
                "{} wants {}, which is not in the workshop.",
                self.about_cut(d, at, board),
                tool_name(tool)
            )
        }
    }

    pub(crate) fn wrong_tool(
        &self,
        d: Direction,
        at: f64,
        board: &BoardCopy,
        tool: &str,
    ) -> String {
        let does = match d {
            Direction::Rip => "rip",
            Direction::Crosscut => "crosscut",
        };
        format!(
            "{} cannot be made with {}: it does not {does}.",
            self.about_cut(d, at, board),
            tool_name(tool)
        )
    }

    pub(crate) fn wrong_kerf(
        &self,
        d: Direction,
        at: f64,
        board: &BoardCopy,
        kerf: f64,
        tools: f64,
    ) -> String {
        format!(
            "{} is planned with a kerf of {}, but its tool takes {}.",
            self.about_cut(d, at, board),
            self.gap(kerf),
            self.gap(tools)
        )
    }

    pub(crate) fn piece_too_big_for_tool(
        &self,
        d: Direction,
        at: f64,
        board: &BoardCopy,
        extent: Extent,
        by: f64,
        tool: &str,
    ) -> String {
        let what = match extent {
            Extent::Length => "long",
            Extent::Width => "wide",
            Extent::Depth => "thick",
            Extent::FenceWidth => {
                return format!(
                    "{} is {} too far from the fence for {}.",
                    self.about_cut(d, at, board),
                    self.gap(by),
                    tool_name(tool)
                );
            }
        };
        format!(
            "{}: the piece is {} too {what} for {}.",
            self.about_cut(d, at, board),
            self.gap(by),
            tool_name(tool)
        )
    }

    pub(crate) fn piece_too_small(
        &self,
        d: Direction,
        at: f64,
        board: &BoardCopy,
        by: f64,
        tool: &str,
        held: Held,
    ) -> String {
        let (cut, by, tool) = (self.about_cut(d, at, board), self.gap(by), tool_name(tool));
        match held {
            Held::InHand => {
                format!("{cut}: the piece is {by} too short to be held safely at {tool}.")
            }
            Held::AlongCut => format!(
                "{cut}: the piece is {by} too short along the cut to be held safely at {tool}."
            ),
            Held::AgainstFence => format!(
                "{cut}: what lies against the fence of {tool} is {by} too short to be held safely."
            ),
            Held::BesideFence => format!(
                "{cut}: the piece between fence and blade is {by} too short to be held safely at {tool}."
            ),
        }
    }

    pub(crate) fn piece_twisted(
        &self,
        d: Direction,
        at: f64,
        board: &BoardCopy,
        twist: f64,
        by: f64,
        tool: &str,
    ) -> String {
        format!(
            "{}: the piece is twisted by {}, {} too much to be pushed over {}, where it would rock. Cut it smaller first with a saw that moves over the clamped work.",
            self.about_cut(d, at, board),
            self.gap(twist),
            self.gap(by),
            tool_name(tool)
        )
    }

    pub(crate) fn planed_too_deep(
        &self,
        d: Direction,
        at: f64,
        board: &BoardCopy,
        by: f64,
        tool: &str,
    ) -> String {
        format!(
            "{} takes {} more off the edge than {} can.",
            self.about_cut(d, at, board),
            self.gap(by),
            tool_name(tool)
        )
    }

    pub(crate) fn planer_parts(
        &self,
        d: Direction,
        at: f64,
        board: &BoardCopy,
        by: f64,
        tool: &str,
    ) -> String {
        format!(
            "{} leaves {} of wood beyond the planed edge, and {} parts nothing.",
            self.about_cut(d, at, board),
            self.gap(by),
            tool_name(tool)
        )
    }

    pub(crate) fn true_edge_too_short(
        &self,
        d: Direction,
        at: f64,
        board: &BoardCopy,
        tool: &str,
        touching: f64,
        by: f64,
    ) -> String {
        format!(
            "{}: only {} of true edge runs against the fence of {}, {} too little for this piece.",
            self.about_cut(d, at, board),
            self.length(touching),
            tool_name(tool),
            self.gap(by)
        )
    }

    pub(crate) fn no_true_edge(
        &self,
        d: Direction,
        at: f64,
        board: &BoardCopy,
        tool: &str,
    ) -> String {
        format!(
            "{}: {} needs a straight, true edge against its fence, and this piece has none along the cut.",
            self.about_cut(d, at, board),
            tool_name(tool)
        )
    }

    pub(crate) fn tight_corner(
        &self,
        parts: &[PartCopy],
        board: &BoardCopy,
        radius: f64,
    ) -> String {
        format!(
            "{} on {} {} an inside corner tighter than the {} that the saw can follow.",
            self.parts(parts),
            self.board(board),
            has(parts),
            self.length(radius)
        )
    }

    pub(crate) fn hole_entry(&self, parts: &[PartCopy], board: &BoardCopy) -> String {
        format!(
            "{} on {} {} a hole: drill a place for the blade to start.",
            self.parts(parts),
            self.board(board),
            has(parts)
        )
    }

    pub(crate) fn too_thick_to_saw(&self, board: &BoardCopy, by: f64) -> String {
        format!(
            "{} is {} too thick for every tool that saws by line.",
            capital(&self.board(board)),
            self.gap(by)
        )
    }
}

/// What of a workpiece is too much for a tool.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Extent {
    Length,
    Width,
    Depth,
    FenceWidth,
}

/// How a piece is held while it is cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Held {
    /// By hand, anywhere.
    InHand,
    /// Along a guide that runs along the cut.
    AlongCut,
    /// Against a fence square to the cut.
    AgainstFence,
    /// Between a rip fence and the blade.
    BesideFence,
}

fn tool_name(tool: &str) -> String {
    if tool.is_empty() {
        "the saw".into()
    } else {
        format!("\u{201c}{tool}\u{201d}")
    }
}

/// Rule 10.
impl Words<'_> {
    pub(crate) fn unknown_part(&self, part: &PartCopy) -> String {
        format!(
            "The plan names a part \u{201c}{}\u{201d} that is not in the job.",
            part.part
        )
    }

    pub(crate) fn no_such_copy(&self, part: &Part, copy: &PartCopy) -> String {
        format!(
            "The plan names number {} of {}, but only {} wanted.",
            copy.copy,
            part.name,
            counted(part.count, "is", "are")
        )
    }

    pub(crate) fn placed_twice(&self, part: &PartCopy, times: usize) -> String {
        format!(
            "{} is placed {} in this plan.",
            self.part(part),
            if times == 2 {
                "twice".into()
            } else {
                format!("{times} times")
            }
        )
    }

    pub(crate) fn listed_twice(&self, part: &PartCopy) -> String {
        format!(
            "{} is listed twice among the parts without a place.",
            self.part(part)
        )
    }

    pub(crate) fn placed_and_listed(&self, part: &PartCopy) -> String {
        format!(
            "{} is placed, yet listed as without a place.",
            self.part(part)
        )
    }

    pub(crate) fn forgotten(&self, part: &PartCopy) -> String {
        format!(
            "{} is neither placed nor listed as without a place.",
            self.part(part)
        )
    }

    pub(crate) fn wrong_species(
        &self,
        part: &Part,
        copy: &PartCopy,
        board: &BoardCopy,
        species: &str,
    ) -> String {
        let wood = if species.trim().is_empty() {
            "wood of unknown species"
        } else {
            species
        };
        format!(
            "{} lies on {}, which is {wood}; it may be made of {}.",
            self.part(copy),
            self.board(board),
            either(&part.species)
        )
    }

    pub(crate) fn unknown_board(&self, board: &BoardCopy) -> String {
        format!(
            "The plan cuts a board \u{201c}{}\u{201d} that is not in the job.",
            board.board
        )
    }

    pub(crate) fn no_such_board_copy(&self, board: &Board, copy: u32) -> String {
        format!(
            "The plan cuts number {copy} of board {}, but there {} only {}.",
            board.name,
            plural(board.count, "is", "are"),
            board.count
        )
    }

    pub(crate) fn board_used_twice(&self, board: &BoardCopy) -> String {
        format!("The plan cuts {} more than once.", self.board(board))
    }

    pub(crate) fn board_to_leave(&self, board: &BoardCopy) -> String {
        format!(
            "{} is to be left alone, but this plan cuts it.",
            capital(&self.board(board))
        )
    }

    pub(crate) fn pin_not_placed(&self, part: &PartCopy, board: &BoardCopy) -> String {
        format!(
            "{} is pinned to {}, but has no place in this plan.",
            self.part(part),
            self.board(board)
        )
    }

    pub(crate) fn pin_other_board(
        &self,
        part: &PartCopy,
        pinned: &BoardCopy,
        lies: &BoardCopy,
    ) -> String {
        format!(
            "{} is pinned to {}, but lies on {}.",
            self.part(part),
            self.board(pinned),
            self.board(lies)
        )
    }

    pub(crate) fn pin_moved(&self, part: &PartCopy, board: &BoardCopy, by: f64) -> String {
        format!(
            "{} lies {} from where it is pinned on {}.",
            self.part(part),
            self.gap(by),
            self.board(board)
        )
    }

    pub(crate) fn pin_turned(&self, part: &PartCopy, board: &BoardCopy, by: f64) -> String {
        format!(
            "{} is turned {} from how it is pinned on {}.",
            self.part(part),
            angle(by),
            self.board(board)
        )
    }

    pub(crate) fn pin_turned_over(&self, part: &PartCopy, board: &BoardCopy) -> String {
        format!(
            "{} lies the other way up than it is pinned on {}.",
            self.part(part),
            self.board(board)
        )
    }
}

/// Rule 11.
impl Words<'_> {
    pub(crate) fn dimension_missing(&self, name: &str) -> String {
        format!("The plan does not say which {name} it was made with.")
    }

    pub(crate) fn dimension_unknown(&self, name: &str) -> String {
        format!("The plan gives a value for {name}, which is no dimension of this job.")
    }

    pub(crate) fn dimension_twice(&self, name: &str) -> String {
        format!("The plan gives two values for {name}.")
    }

    pub(crate) fn dimension_not_a_number(&self, name: &str) -> String {
        format!("The plan's value for {name} is not a number.")
    }

    pub(crate) fn dimension_out_of_range(
        &self,
        name: &str,
        value: f64,
        by: f64,
        too_small: bool,
    ) -> String {
        format!(
            "{name} is {}: {} too {}.",
            self.length(value),
            self.gap(by),
            if too_small { "small" } else { "large" }
        )
    }

    pub(crate) fn dimension_not_applied(
        &self,
        name: &str,
        planned: f64,
        worked_out: f64,
    ) -> String {
        format!(
            "The plan was made with {name} = {}, but the parts were worked out with {}.",
            self.length(planned),
            self.length(worked_out)
        )
    }
}
