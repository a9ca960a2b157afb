//! A job and its easier twin: the same job made easier in one way.

use heartside_timber::document::{BoardOutline, CutKind, Document, Length, Pin, Station};
use heartside_timber::plan::Plan;

use crate::chance::{Chance, round};
use crate::filled_job::{FilledJob, any_board, filled_job};
use crate::timberyard::{mm, plain};
use crate::workshop::{Outfit, any_tool};

/// In which way the easier twin is easier.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Easing {
    /// One tool has a thinner kerf.
    ThinnerKerf,
    /// One knot, spot of sapwood or screw is not there.
    FlawLess,
    /// One board is longer or wider, at the same price.
    LargerBoard,
    /// There is one board more.
    BoardMore,
    /// One piece fewer is wanted.
    PieceFewer,
    /// One part bears more slope of the grain.
    WiderGrain,
    /// One piece is not pinned.
    PinRemoved,
    /// There is one tool more.
    ToolMore,
}

/// All ways, in the order in which they take turns.
pub const EASINGS: &[Easing] = &[
    Easing::ThinnerKerf,
    Easing::FlawLess,
    Easing::LargerBoard,
    Easing::BoardMore,
    Easing::PieceFewer,
    Easing::WiderGrain,
    Easing::PinRemoved,
    Easing::ToolMore,
];

/// Two jobs, the second easier in one way and in nothing harder.
#[derive(Debug, Clone, PartialEq)]
pub struct Twins {
    /// What made the difference.
    pub easing: Easing,
    /// The difference in words, for whoever looks at an exception.
    pub told: String,
    /// The harder job.
    pub harder: Document,
    /// The easier one.
    pub easier: Document,
}

/// The twins of a seed, the harder one's blanks filling a share of its boards, in per cent.
///
/// `plan` makes a plan for a job; it is asked only where a piece is to be pinned, for a place
/// where it lies well.
pub fn twins(seed: u32, share: f64, plan: impl FnOnce(&Document) -> Plan) -> Twins {
    let mut chance = Chance::new(seed ^ 0x7715_7715);
    let wanted = FilledJob {
        boards: 2 + chance.below(3),
        share,
        sawn: *chance.one_of(&[0, 0, 0, 15, 40]),
        outfit: Outfit::Sensible,
    };
    let base = filled_job(seed, wanted);
    let easing = EASINGS[seed as usize % EASINGS.len()];
    let eased = match easing {
        Easing::ThinnerKerf => thinner_kerf(&mut chance, &base),
        Easing::FlawLess => flaw_less(&mut chance, &base),
        Easing::LargerBoard => larger_board(&mut chance, &base),
        Easing::BoardMore => Some(board_more(&mut chance, &base)),
        Easing::PieceFewer => piece_fewer(&mut chance, &base),
        Easing::WiderGrain => wider_grain(&mut chance, &base),
        Easing::PinRemoved => pin_removed(&mut chance, &base, &plan(&base)),
        Easing::ToolMore => Some(tool_more(&mut chance, &base)),
    };
    // Where a job has nothing to be eased in this way, it gets a board more.
    let (easing, (told, harder, easier)) = match eased {
        Some(eased) => (easing, eased),
        None => (Easing::BoardMore, board_more(&mut chance, &base)),
    };
    Twins {
        easing,
        told,
        harder: with_title(harder, "harder"),
        easier: with_title(easier, "easier"),
    }
}

/// What was done, the harder and the easier job.
type Eased = (String, Document, Document);

fn with_title(document: Document, which: &str) -> Document {
    Document {
        title: format!("{}, the {which} twin", document.title),
        ..document
    }
}

fn thinner_kerf(chance: &mut Chance, base: &Document) -> Option<Eased> {
    let mut easier = base.clone();
    // A planer's depth is no kerf: less of it is not easier.
    let cutting: Vec<usize> = (0..base.workshop.tools.len())
        .filter(|t| {
            let tool = &base.workshop.tools[*t];
            !tool.does.contains(&CutKind::TrueEdge) && tool.kerf.as_ref().map_or(0.0, plain) > 1.0
        })
        .collect();
    if cutting.is_empty() {
        return None;
    }
    let tool = &mut easier.workshop.tools[*chance.one_of(&cutting)];
    let kerf = tool.kerf.as_ref().map_or(0.0, plain);
    let thinner = round(chance.between(0.8, kerf - 0.1), 10.0);
    tool.kerf = mm(thinner);
    let told = format!("the kerf of {} {thinner} instead of {kerf}", tool.name);
    Some((told, base.clone(), easier))
}

fn flaw_less(chance: &mut Chance, base: &Document) -> Option<Eased> {
    let mut easier = base.clone();
    let flawed: Vec<usize> = (0..base.boards.len())
        .filter(|b| !base.boards[*b].zones.is_empty())
        .collect();
    if flawed.is_empty() {
        return None;
    }
    let board = &mut easier.boards[*chance.one_of(&flawed)];
    let zone = board.zones.remove(chance.below(board.zones.len()));
    let told = format!("no {} on board {}", zone.note, board.id);
    Some((told, base.clone(), easier))
}

fn larger_board(chance: &mut Chance, base: &Document) -> Option<Eased> {
    let mut easier = base.clone();
    let by_tape: Vec<usize> = (0..base.boards.len())
        .filter(|b| matches!(base.boards[*b].outline, Some(BoardOutline::Tape { .. })))
        .collect();
    if by_tape.is_empty() {
        return None;
    }
    let board = &mut easier.boards[*chance.one_of(&by_tape)];
    let Some(BoardOutline::Tape {
        length, stations, ..
    }) = &mut board.outline
    else {
        return None;
    };
    let by;
    if chance.percent(50) {
        by = chance.length(5.0, 300.0);
        let whole = plain(length) + by;
        *length = Length::Mm(whole);
        // As wide there as where it ended, so that nothing of the old board is lost.
        let last = stations.last()?.clone();
        stations.push(Station {
            at: Length::Mm(whole),
            ..last
        });
    } else {
        by = chance.length(2.0, 60.0);
        for station in stations.iter_mut() {
            station.left = Length::Mm(plain(&station.left) + by);
        }
    }
    let told = format!("board {} larger by {by}", board.id);
    Some((told, base.clone(), easier))
}

fn board_more(chance: &mut Chance, base: &Document) -> Eased {
    let mut easier = base.clone();
    let mut board = any_board(chance, base.boards.len());
    // The job's own boards are named by letters in turn.
    board.cuts = base.boards.first().map(|b| b.cuts).unwrap_or_default();
    let told = format!("board {} besides", board.id);
    easier.boards.push(board);
    (told, base.clone(), easier)
}

fn piece_fewer(chance: &mut Chance, base: &Document) -> Option<Eased> {
    let mut easier = base.clone();
    if base.parts.len() < 2 {
        return None;
    }
    let place = chance.below(easier.parts.len());
    let part = &mut easier.parts[place];
    let told = format!("one {} fewer", part.id);
    let count = part.count.unwrap_or(1.0) - 1.0;
    part.count = Some(count);
    if count < 1.0 {
        easier.parts.remove(place);
    }
    Some((told, base.clone(), easier))
}

fn wider_grain(chance: &mut Chance, base: &Document) -> Option<Eased> {
    let mut easier = base.clone();
    if base.parts.is_empty() {
        return None;
    }
    let place = chance.below(easier.parts.len());
    let part = &mut easier.parts[place];
    let tolerance = part.grain.tolerance.unwrap_or(0.0) + round(chance.between(1.0, 10.0), 2.0);
    part.grain.tolerance = Some(tolerance);
    let told = format!("{} bears {tolerance} degrees", part.id);
    Some((told, base.clone(), easier))
}

fn pin_removed(chance: &mut Chance, base: &Document, plan: &Plan) -> Option<Eased> {
    let placed: Vec<_> = plan
        .layouts
        .iter()
        .flat_map(|layout| layout.placements.iter().map(move |p| (layout, p)))
        .collect();
    if placed.is_empty() {
        return None;
    }
    let (layout, placement) = *chance.one_of(&placed);
    let mut harder = base.clone();
    harder.pins.push(Pin {
        part: placement.part_copy(),
        board: layout.board.board.clone(),
        board_copy: layout.board.copy,
        at: placement.at,
    });
    let told = format!(
        "{} {} not pinned on board {}",
        placement.part, placement.copy, layout.board.board
    );
    Some((told, harder, base.clone()))
}

fn tool_more(chance: &mut Chance, base: &Document) -> Eased {
    let mut easier = base.clone();
    let mut tool = any_tool(chance);
    tool.name = format!("Borrowed {}", tool.name.to_lowercase());
    let told = format!("{} besides", tool.name);
    easier.workshop.tools.push(tool);
    (told, base.clone(), easier)
}
