//! What the name of a layer, of an element or of a group says about what is drawn there.

use heartside_timber::document::{Zone, ZoneKind};

/// What a shape of a drawing is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Meaning {
    /// The outline of a board, or a hole in one that it lies in.
    Outline,
    /// A hole right through a board.
    Hole,
    /// Wood that is kept out of blanks.
    Defect,
    /// A knot: kept out of blanks as well.
    Knot,
    /// Sapwood.
    Sapwood,
    /// Metal or a dowel in reclaimed wood.
    Fixing,
    /// Fine or wild figure.
    Figure,
    /// Nothing: it is left out.
    LeftOut,
}

impl Meaning {
    /// All of them: the word to hand over and what a person reads.
    pub const ALL: [(&'static str, &'static str, Meaning); 8] = [
        ("outline", "the outline of a board", Meaning::Outline),
        ("hole", "a hole right through", Meaning::Hole),
        ("defect", "a flaw", Meaning::Defect),
        ("knot", "a knot", Meaning::Knot),
        ("sapwood", "sapwood", Meaning::Sapwood),
        ("fixing", "a screw, nail or dowel", Meaning::Fixing),
        ("figure", "figure", Meaning::Figure),
        ("left_out", "nothing: leave it out", Meaning::LeftOut),
    ];

    /// The meaning that one of the words of [`Meaning::ALL`] stands for.
    pub fn of_word(word: &str) -> Option<Meaning> {
        let known = Meaning::ALL.iter().find(|(known, _, _)| *known == word);
        known.map(|(_, _, meaning)| *meaning)
    }

    /// The word that stands for it.
    pub fn word(self) -> &'static str {
        Self::ALL[self as usize].0
    }

    /// What a name usually says, by the words in it: `Knots 2` is a knot. Also the word itself.
    pub(super) fn usual(name: &str) -> Option<(Meaning, String)> {
        let lower = name.to_lowercase();
        lower
            .split(|c: char| !c.is_alphabetic())
            .filter(|word| !word.is_empty())
            .find_map(|word| {
                let one = word.strip_suffix('s').unwrap_or(word);
                of_plain_word(one).map(|meaning| (meaning, one.to_owned()))
            })
    }

    /// The zone that it marks, without its place; none for what is no zone.
    pub(super) fn zone(self) -> Option<Zone> {
        let kind = match self {
            Meaning::Defect | Meaning::Knot => ZoneKind::Defect,
            Meaning::Sapwood => ZoneKind::Sapwood,
            Meaning::Fixing => ZoneKind::Fixing,
            Meaning::Figure => ZoneKind::Figure,
            Meaning::Outline | Meaning::Hole | Meaning::LeftOut => return None,
        };
        Some(Zone {
            kind,
            ..Zone::default()
        })
    }
}

fn of_plain_word(word: &str) -> Option<Meaning> {
    Some(match word {
        "outline" | "board" | "plank" | "edge" | "contour" => Meaning::Outline,
        "hole" | "mortise" | "cutout" => Meaning::Hole,
        "defect" | "flaw" | "split" | "crack" | "check" | "shake" | "rot" | "bark" | "stain"
        | "wane" | "pith" | "worm" => Meaning::Defect,
        "knot" => Meaning::Knot,
        "sapwood" | "sap" => Meaning::Sapwood,
        "fixing" | "screw" | "nail" | "dowel" | "metal" | "staple" => Meaning::Fixing,
        "figure" => Meaning::Figure,
        _ => return None,
    })
}
