//! Panels: parts glued up from staves, which take their place in the job.

use heartside_geometry::{Arrange, Bounds, Point, Region, SortedSet};

use super::end_to_end::{OVER_A_STAVE, SAME, end_joints, is_held, note_pieces};
use super::reading::{Reading, Thing, Wanted};
use crate::choices::{Choices, Held, PanelChoice, Stave, piece_id, stave_named};
use crate::defaults;
use crate::document::{self, Document, PartCopy, PartCut};
use crate::job::{Board, Form, GrainRule, Panel, Part, StaveOf, Workshop};
use crate::length::{DisplayUnits, write_length};
use crate::staves::StaveNamed;

/// Takes the panels out of the parts and puts their staves there, as chosen where that holds, else as
/// usual. A panel with a fault is left out, as any part would be; rows of `kept` go with their parts.
pub(super) fn panels(
    document: &Document,
    choices: &Choices,
    boards: &[Board],
    machines: (&Workshop, &DisplayUnits),
    (parts, kept): (&mut Vec<Part>, &mut Vec<usize>),
    reading: &mut Reading<'_>,
) -> Vec<Panel> {
    let mut panels: Vec<Panel> = Vec::with_capacity(document.panels.len());
    let mut named = SortedSet::new();
    for (row, source) in document.panels.iter().enumerate() {
        if !document.parts.iter().any(|p| p.id == source.part) {
            let thing = Thing::row(
                crate::diagnostic::Subject::Relation,
                row,
                &source.part,
                &format!("panel {}", row + 1),
            );
            let message = format!(
                "there is no part with the id \u{201c}{}\u{201d}",
                source.part
            );
            let place = thing.field(&format!("panels[{row}]"));
            reading.error("part-unknown", place, message, "choose a part of this job");
            continue;
        }
        let row = document.parts.iter().position(|p| p.id == source.part);
        let thing = super::part::thing(document, row.unwrap_or_default());
        if !named.insert(source.part.as_str()) {
            let message = "this part is made a panel twice";
            let hint = "remove one of the two; the first one counts";
            reading.warn("panel-twice", thing.field("panel"), message, hint);
            continue;
        }
        let Some(at) = parts.iter().position(|p| p.id == source.part) else {
            continue;
        };
        let part = parts.remove(at);
        match panel((document, source), part, &thing, boards, reading) {
            None => {
                kept.remove(at);
            }
            Some(mut panel) => {
                let place = panels.len();
                let largest = largest(&panel, boards, machines.0.trim_end);
                panel.copies = (1..=panel.part.count)
                    .map(|copy| {
                        let held = held(document, &panel, copy);
                        settle(&panel, copy, choices, &held, largest)
                    })
                    .collect();
                note_planer(&panel, machines, &thing, reading);
                let staves = panel.copies.iter().flat_map(|c| staves(&panel, place, c));
                let staves: Vec<Part> = staves.collect();
                // Their row is the panel's.
                kept.splice(at..=at, std::iter::repeat_n(kept[at], staves.len()));
                parts.splice(at..at, staves);
                panels.push(panel);
            }
        }
    }
    kept.dedup();
    panels
}

/// The rules of a panel; none where it has a fault.
fn panel(
    (document, source): (&Document, &document::Panel),
    part: Part,
    thing: &Thing,
    boards: &[Board],
    reading: &mut Reading<'_>,
) -> Option<Panel> {
    let before = reading.errors();
    let mut read = |field: &str, what: &str, length: &Option<document::Length>, wanted, usual| {
        let place = thing.field(&format!("panel.{field}"));
        reading.usual(place, what, length.as_ref(), wanted, usual)
    };
    let least = read(
        "min_width",
        "narrowest stave",
        &source.min_width,
        Wanted::SIZE,
        defaults::LEAST_STAVE,
    );
    let most = read(
        "max_width",
        "widest stave",
        &source.max_width,
        Wanted::SIZE,
        f64::INFINITY,
    );
    let joint = read(
        "joint",
        "width that a joint takes",
        &source.joint,
        Wanted::EXTRA,
        0.0,
    );
    let flatten = read(
        "flatten",
        "flattening of each face",
        &source.flatten,
        Wanted::EXTRA,
        defaults::FLATTEN,
    );
    let is_across = matches!(part.grain, GrainRule::Axis { across: true, .. });
    let (length, width) = if is_across {
        (part.width(), part.length())
    } else {
        (part.length(), part.width())
    };
    let (least, most, joint, flatten) = (least?, most?, joint?, flatten?);
    // A narrowest stave that nobody set gives way to what was.
    let least = if source.min_width.is_none() {
        least.min(most).min(width)
    } else {
        least
    };
    if least > most {
        reading.error(
            "stave-widths-crossed",
            thing.field("panel.min_width"),
            "the narrowest stave is wider than the widest",
            "swap the two",
        );
        return None;
    }
    let ends = end_joints(document, source, (&part, length), thing, reading)?;
    let max_count = source.max_count.unwrap_or(defaults::MOST_STAVES);
    let panel = Panel {
        length,
        width,
        is_across,
        widths: (least, most),
        max_count: max_count.clamp(1, defaults::MOST_STAVES),
        equal: source.equal,
        hearts: source.hearts,
        joint,
        flatten,
        ends,
        copies: Vec::new(),
        part,
    };
    if max_count == 0 || max_count > defaults::MOST_STAVES {
        reading.warn(
            "stave-count",
            thing.field("panel.max_count"),
            format!("a panel has from 1 to {} staves", defaults::MOST_STAVES),
            "write in how many staves it has at most",
        );
    }
    if count_for(&panel, f64::INFINITY).is_none() {
        let (field, hint) = if panel.full(panel.max_count, most) < width {
            ("panel.max_width", "allow wider staves, or more of them")
        } else {
            ("panel.min_width", "allow narrower staves")
        };
        reading.error(
            "stave-widths-meet-nothing",
            thing.field(field),
            "no number of staves of these widths makes up the panel",
            hint,
        );
    }
    if panel.max_count == 1 && reading.errors() == before {
        reading.warn(
            "panel-of-one-stave",
            thing.field("panel.max_count"),
            "this panel may have one stave only, so nothing is glued up",
            "allow more staves, or make it a part in one piece",
        );
    }
    note_pieces(&panel, thing, reading);
    let narrow = count_for(&panel, largest(&panel, boards, 0.0).0).is_none();
    if narrow && reading.errors() == before && boards.iter().any(Board::is_usable) {
        reading.warn(
            "staves-wider-than-boards",
            thing.field("panel.min_width"),
            "no board is wide enough for staves of these widths",
            "allow narrower staves or more of them, or add a wider board",
        );
    }
    (reading.errors() == before).then_some(panel)
}

/// Says where no planer of the workshop takes the glued panel or its staves.
fn note_planer(
    panel: &Panel,
    (workshop, units): (&Workshop, &DisplayUnits),
    thing: &Thing,
    reading: &mut Reading<'_>,
) {
    let planers = || workshop.tools.iter().filter(|t| t.trues);
    if planers().next().is_none() {
        return;
    }
    let name = &panel.part.name;
    let least = planers().map(|t| t.min_piece).fold(f64::INFINITY, f64::min);
    let pieces = || panel.copies.iter().flat_map(|c| &c.staves);
    let shortest = pieces().flat_map(|s| &s.pieces);
    let shortest = shortest.fold(panel.length, |least, length| least.min(*length));
    let whose = if shortest < panel.length {
        "shortest pieces of staves"
    } else {
        "staves"
    };
    let long = shortest + 2.0 * panel.part.allowances.end;
    if long < least {
        reading.warn(
            "staves-short-for-planer",
            thing.field("panel"),
            format!(
                "the {whose} of {name} are {} long, less than the {} that can be held on the planer",
                write_length(long, units),
                write_length(least, units)
            ),
            "leave them longer and cut the glued panel to length, or joint them by hand",
        );
    }
    let widest = planers().map(|t| t.max_width).fold(0.0, f64::max);
    if panel.flatten > 0.0 && panel.width > widest {
        reading.warn(
            "panel-wide-for-planer",
            thing.field("panel.flatten"),
            format!(
                "{name} is {} wide once it is glued up; the planer takes {}",
                write_length(panel.width, units),
                write_length(widest, units)
            ),
            "flatten it by hand, or glue it up in halves that the planer takes, and then glue these",
        );
    }
}

/// The widest and the longest stave that some board could give, by its box alone; from its ends so much is
/// trimmed.
fn largest(panel: &Panel, boards: &[Board], trim: f64) -> (f64, f64) {
    let accepts =
        |b: &&Board| panel.part.species.is_empty() || panel.part.species.contains(&b.species);
    let boards = boards.iter().filter(|b| b.is_usable()).filter(accepts);
    let extra = &panel.part.allowances;
    boards.fold((0.0, 0.0), |(wide, long): (f64, f64), board| {
        let bounds = board.outline.bounds();
        (
            wide.max(bounds.height() - 2.0 * extra.edge),
            long.max(bounds.width() - 2.0 * (extra.end + trim)),
        )
    })
}

/// The least number of staves, each at most `widest`, that makes up the panel; none where no legal
/// number does.
fn count_for(panel: &Panel, widest: f64) -> Option<u32> {
    let widest = widest.min(panel.widths.1);
    (1..=panel.max_count).find(|n| {
        panel.full(*n, widest) >= panel.width - SAME
            && panel.full(*n, panel.widths.0) <= panel.width + SAME
    })
}

/// Staves of a copy, and pieces of them, that were sawn already.
fn held(document: &Document, panel: &Panel, copy: u32) -> Held {
    let boards = document.boards.iter();
    let held = boards.flat_map(|b| b.holds.iter().chain(&b.leaves));
    let of_copy = held.filter_map(|p| {
        let of = stave_named(&p.part)?;
        let is_here = of.panel == panel.part.id && of.copy == copy;
        let told = |mm: Option<f64>| mm.filter(|mm| mm.is_finite() && *mm > 0.0);
        let length = match of.piece {
            0 => panel.length,
            1..=defaults::MOST_STAVES => told(p.length)?,
            _ => return None,
        };
        is_here.then_some(((of.number, of.piece), (told(p.width)?, length)))
    });
    of_copy.collect()
}

/// The staves of a copy: as chosen where that holds, else what is in hand and the rest evenly.
fn settle(
    panel: &Panel,
    copy: u32,
    choices: &Choices,
    held: &Held,
    largest: (f64, f64),
) -> PanelChoice {
    let chosen = choices.panels.iter();
    let mut chosen = chosen.filter(|c| c.panel.part == panel.part.id && c.panel.copy == copy);
    let mut chosen = chosen.next().cloned();
    if let Some(chosen) = &mut chosen {
        panel.lengthen(&mut chosen.staves, held);
    }
    if let Some(chosen) = chosen.filter(|c| panel.allows(&c.staves, held)) {
        return chosen;
    }
    PanelChoice {
        panel: PartCopy {
            part: panel.part.id.clone(),
            copy,
        },
        staves: panel.evenly(held, largest),
    }
}

/// The staves of one copy as parts of the job.
fn staves(panel: &Panel, place: usize, chosen: &PanelChoice) -> Vec<Part> {
    let whole: f64 = chosen.staves.iter().map(|s| s.width).sum();
    let part = |stave: &Stave, piece: u32| {
        let (copy, number) = (chosen.panel.copy, stave.number);
        let (length, share) = match piece.checked_sub(1).map(|k| stave.pieces[k as usize]) {
            None => (panel.length, 1.0),
            Some(length) => (length, length / stave.pieces.iter().sum::<f64>()),
        };
        let named = StaveNamed {
            panel: &panel.part.id,
            copy,
            number,
            piece,
        };
        let far = Point {
            x: length,
            y: stave.width,
        };
        let bounds = Bounds {
            min: Point { x: 0.0, y: 0.0 },
            max: far,
        };
        let outline = Region::rectangle(bounds)?;
        let grain = match &panel.part.grain {
            GrainRule::Axis { tolerance, .. } => GrainRule::Axis {
                across: false,
                tolerance: *tolerance,
            },
            other => other.clone(),
        };
        Some(Part {
            id: piece_id(&panel.part.id, copy, number, piece),
            name: format!("{}, {}", panel.part.copy_name(copy), named.words()),
            count: 1,
            outline,
            form: Form::Rectangle,
            tenon: (0.0, 0.0),
            thickness: panel.part.thickness + 2.0 * panel.flatten,
            grain,
            cut: PartCut::Straight,
            in_hand: Vec::new(),
            stave: Some(StaveOf {
                panel: place,
                copy,
                number,
                piece,
                share: stave.width / whole * share,
            }),
            ..panel.part.clone()
        })
    };
    let pieces = |stave: &'_ Stave| -> Vec<Part> {
        let numbers = stave.piece_numbers();
        numbers.filter_map(|piece| part(stave, piece)).collect()
    };
    chosen.staves.iter().flat_map(pieces).collect()
}

impl Panel {
    /// What `count` staves of this width make up once glued.
    pub fn full(&self, count: u32, width: f64) -> f64 {
        f64::from(count) * width - f64::from(count.saturating_sub(1)) * self.joint
    }

    /// What these staves make up once glued.
    pub fn glued(&self, staves: &[Stave]) -> f64 {
        let wide: f64 = staves.iter().map(|s| s.width).sum();
        wide - staves.len().saturating_sub(1) as f64 * self.joint
    }

    /// True where these staves make up the panel by its rules, those that were sawn already among them. How
    /// far end joints stand apart depends on their order, and is not asked here.
    pub fn allows(&self, staves: &[Stave], held: &Held) -> bool {
        let numbers: SortedSet<u32> = staves.iter().map(|s| s.number).collect();
        let count = staves.len();
        let over = self.glued(staves) - self.width;
        let own = |s: &&Stave| !is_held(held, s.number);
        let (least, most) = (self.widths.0 - SAME, self.widths.1 + SAME);
        let fresh: Vec<f64> = staves.iter().filter(own).map(|s| s.width).collect();
        let fits = fresh.iter().all(|w| (least..=most).contains(w));
        let spread = |w: &f64| fresh.iter().all(|v| (v - w).abs() <= OVER_A_STAVE + SAME);
        numbers.len() == count
            && !numbers.contains(&0)
            && (1..=self.max_count as usize).contains(&count)
            && fits
            && (-SAME..=OVER_A_STAVE * count as f64 + SAME).contains(&over)
            && (!self.equal || fresh.iter().all(spread))
            && staves.iter().all(|s| self.allows_pieces(s, held))
            && held.iter().all(|((number, piece), (width, length))| {
                let is_it = |s: &&Stave| s.number == *number && (s.width - width).abs() <= SAME;
                let there = staves.iter().find(is_it);
                there.is_some_and(|s| match piece.checked_sub(1) {
                    None => s.pieces.is_empty(),
                    Some(k) => {
                        let own = s.pieces.get(k as usize);
                        own.is_some_and(|own| (own - length).abs() <= SAME)
                    }
                })
            })
    }

    /// The width of each of so many staves that make up the panel.
    fn equal_width(&self, count: u32) -> f64 {
        let count = count.max(1);
        let width = (self.width + f64::from(count - 1) * self.joint) / f64::from(count);
        // To a tenth, as a rule shows it; up, so that nothing is missing.
        ((width * 10.0 - 1e-6).ceil() / 10.0).min(self.widths.1.max(width))
    }

    /// So many staves of one width, each in one piece; none where the rules of the panel do not allow them.
    pub fn of_one_width(&self, count: u32) -> Option<Vec<Stave>> {
        let width = self.equal_width(count);
        let staves: Vec<Stave> = (1..=count).map(|n| Stave::whole(n, width)).collect();
        self.allows(&staves, &Held::default()).then_some(staves)
    }

    /// As few staves of one width as can be, none wider and in no piece longer than `largest`, beside
    /// those that were sawn already.
    fn evenly(&self, held: &Held, (widest, longest): (f64, f64)) -> Vec<Stave> {
        let mut staves: Vec<Stave> = Vec::new();
        for ((number, _), (width, _)) in held {
            if staves.last().is_none_or(|s| s.number != *number) {
                let pieces = self.held_pieces(held, *number, longest);
                staves.push(Stave {
                    pieces,
                    ..Stave::whole(*number, *width)
                });
            }
        }
        let left = if staves.is_empty() {
            self.width
        } else {
            self.width - self.glued(&staves) + self.joint
        };
        if left > SAME {
            let rest = Panel {
                width: left,
                max_count: self.max_count.saturating_sub(staves.len() as u32).max(1),
                copies: Vec::new(),
                ..self.clone()
            };
            let count = count_for(&rest, widest).or_else(|| count_for(&rest, f64::INFINITY));
            let count = count.unwrap_or(1);
            let width = rest.equal_width(count);
            let mut free = (1..).filter(|n| !is_held(held, *n));
            let fresh = (0..count).filter_map(|_| free.next());
            staves.extend(fresh.map(|number| Stave::whole(number, width)));
            staves.arrange_by_key(|s| s.number);
            self.join_too_long(&mut staves, held, longest);
        }
        staves
    }
}
