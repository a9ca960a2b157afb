//! Cautions that belong to a step. Reminders only: the machine's manual, local rules and a qualified person come first.
//!
//! No published rule gives a least workpiece length for a saw; 300 mm is a rule of
//! practice. Where a figure is published its source stands beside it. A caution's sentence
//! is the same wherever it is due (figures of the single cut stand in the step's own words), so
//! that it can be said in full once and by its short name afterwards.

use heartside_geometry::SortedSet;

use heartside_timber::job::{Guide, Job, Tool, Zone, ZoneKind};
use heartside_timber::length::write_length;

use crate::step::{Caution, Step};

/// Said once with every list of cautions.
pub const DEFERENCE: &str = "Cautions are reminders, not instructions: the machine's manual, local rules and a qualified person come first.";

/// Farthest that a riving knife stands from the blade, in millimetres. HSE, circular saw benches.
const KNIFE: f64 = 8.0;

impl Caution {
    /// A caution that was not said before.
    pub(crate) fn new(code: &str, text: String, short: &str, source: &str) -> Caution {
        Caution {
            code: code.into(),
            text,
            short: short.into(),
            source: source.into(),
            first: true,
            near: None,
        }
    }

    /// True where a hand or the blade is in danger at this very cut, so that its words stand on
    /// the cut's own line and not a tap away.
    pub fn is_grave(&self) -> bool {
        const GRAVE: [&str; 7] = [
            "resaw",
            "short-piece",
            "narrow-strip",
            "raw-edge",
            "too-twisted",
            "buried-near-cut",
            "buried-in-blank",
        ];
        GRAVE.contains(&self.code.as_str())
    }

    /// The whole sentence where it is due for the first time, its short name afterwards.
    pub fn shown(&self) -> &str {
        if self.first { &self.text } else { &self.short }
    }
}

/// Marks all cautions that were given in full by an earlier step.
///
/// What is buried in the wood is said in full every time.
pub(crate) fn say_once(steps: &mut [Step]) {
    let mut said: SortedSet<String> = SortedSet::new();
    for caution in steps.iter_mut().flat_map(|s| &mut s.cautions) {
        let new = said.insert(caution.text.clone());
        caution.first = new || caution.code.starts_with("buried");
    }
}

/// Said where a tool is taken up: guard, riving knife, supports.
pub(crate) fn guard_caution(job: &Job, tool: &Tool, trues: bool) -> Caution {
    let manual = follow_manual(Some(tool));
    let (text, source) = if trues {
        (
            "Planer: guard over the block up to the work, fence square, push blocks, and with the grain".to_owned(),
            "common practice",
        )
    } else if tool.has_rip_fence() {
        (
            format!(
                "Guard over the blade, riving knife in place and within {} of it, a table or a helper behind to take the work off",
                write_length(KNIFE, &job.units)
            ),
            "HSE, circular saw benches",
        )
    } else {
        let text = match tool.guide {
            Guide::Along => {
                "Guard and riving knife in order; rail and board clamped, both pieces supported so that the kerf cannot close on the blade"
            }
            Guide::Square => {
                "Guard free to fall; board down on the table and back against the fence, hands out of the blade's way, offcut not held"
            }
            Guide::None => {
                "On a band saw guard and guides just above the work; with a saw in the hand the board clamped, and both pieces supported so that the kerf cannot close"
            }
        };
        (text.to_owned(), "common practice")
    };
    Caution::new("guard", format!("{text}; {manual}."), "guard", source)
}

/// Said at the first cut of all.
pub(crate) fn eyes_and_ears() -> Caution {
    Caution::new(
        "eyes-and-ears",
        "Eye and hearing protection, for everybody near: saws are louder than the 85 dB(A) at which rules at work ask for it.".into(),
        "eyes and ears",
        "European and British rules on noise at work; value from memory",
    )
}

pub(crate) fn follow_manual(tool: Option<&Tool>) -> String {
    match tool.map(|t| t.name.trim()).filter(|n| !n.is_empty()) {
        Some(name) => format!("follow the manual of the {name}"),
        None => "follow the machine's manual".into(),
    }
}

/// What a zone is called: the maker's note, else its kind.
pub fn zone_words(zone: &Zone) -> String {
    if !zone.note.trim().is_empty() {
        return zone.note.trim().to_owned();
    }
    match zone.kind {
        ZoneKind::Defect => "defect",
        ZoneKind::Sapwood => "sapwood",
        ZoneKind::Fixing => "old fixing",
        ZoneKind::Figure => "figure",
    }
    .to_owned()
}
