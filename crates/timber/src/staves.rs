//! Staves of panels: how a plan and a job name them.

use heartside_geometry::SortedMap;

use serde::{Deserialize, Serialize};

use crate::document::copies::PartCopy;

/// The staves that one copy of a panel is glued up from.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct PanelChoice {
    /// Which copy of which panel.
    #[serde(flatten)]
    pub panel: PartCopy,
    /// Its staves, in the order in which they are glued: the first lies lowest in the panel's frame.
    pub staves: Vec<Stave>,
}

/// One strip of a panel: in one piece, or of several that are joined end to end.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Stave {
    /// Its number; it keeps it wherever it comes to lie.
    pub number: u32,
    /// Its finished width before gluing, in millimetres: what the joints take included.
    pub width: f64,
    /// Finished lengths of its pieces before joining, in millimetres, from the start of the panel on; none
    /// where it is in one piece.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub pieces: Vec<f64>,
}

/// Pieces that were sawn already, by the stave's number and their own (0 for a stave in one piece): how wide
/// and how long they are.
pub type Held = SortedMap<(u32, u32), (f64, f64)>;

impl Stave {
    /// A stave in one piece.
    pub fn whole(number: u32, width: f64) -> Stave {
        Stave {
            number,
            width,
            pieces: Vec::new(),
        }
    }

    /// The numbers of its pieces: 1, 2, ...; 0 alone where it is in one piece.
    pub fn piece_numbers(&self) -> std::ops::RangeInclusive<u32> {
        match self.pieces.len() as u32 {
            0 => 0..=0,
            count => 1..=count,
        }
    }

    /// The ids of its pieces as parts of the job.
    pub fn ids<'a>(&'a self, panel: &'a PartCopy) -> impl Iterator<Item = String> + 'a {
        let id = |piece| piece_id(&panel.part, panel.copy, self.number, piece);
        self.piece_numbers().map(id)
    }

    /// What its pieces make up once joined, where each joint takes so much.
    pub fn joined(&self, taken: f64) -> f64 {
        let long: f64 = self.pieces.iter().sum();
        long - self.pieces.len().saturating_sub(1) as f64 * taken
    }

    /// Where its pieces meet, from the start of the panel: the middle of each joint.
    pub fn ends(&self, taken: f64) -> Vec<f64> {
        let mut end = -taken / 2.0;
        let mut ends: Vec<f64> = Vec::new();
        for length in self.pieces.iter().take(self.pieces.len().saturating_sub(1)) {
            end += length - if ends.is_empty() { 0.0 } else { taken };
            ends.push(end);
        }
        ends
    }
}

/// Parts the panel's id, the copy and the number in the id of a stave. No id of a maker has two
/// points in a row ([`crate::ids::is_safe_id`]).
const MARK: &str = "..";

/// The id of a stave as a part of the job: `top..1.3` is stave 3 of the first copy of `top`.
pub fn stave_id(panel: &str, copy: u32, number: u32) -> String {
    format!("{panel}{MARK}{copy}.{number}")
}

/// The id of a piece of a stave that is joined end to end: `top..1.3.2` is piece 2 of stave 3. Piece 0 is a
/// stave in one piece.
pub fn piece_id(panel: &str, copy: u32, number: u32, piece: u32) -> String {
    let stave = stave_id(panel, copy, number);
    match piece {
        0 => stave,
        piece => format!("{stave}.{piece}"),
    }
}

/// What an id of a stave or of a piece of one names; none for any other id.
pub fn stave_named(id: &str) -> Option<StaveNamed<'_>> {
    let (panel, rest) = id.rsplit_once(MARK)?;
    let (copy, rest) = rest.split_once('.')?;
    let (number, piece) = rest.split_once('.').unwrap_or((rest, "0"));
    Some(StaveNamed {
        panel,
        copy: copy.parse().ok()?,
        number: number.parse().ok()?,
        piece: piece.parse().ok()?,
    })
}

/// A stave, or a piece of one, as its id tells it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct StaveNamed<'a> {
    /// The panel's id.
    pub panel: &'a str,
    /// Which copy of it.
    pub copy: u32,
    /// The stave's number.
    pub number: u32,
    /// Which of its pieces, from 1; 0 for a stave in one piece.
    pub piece: u32,
}

impl StaveNamed<'_> {
    /// "stave 3", "stave 3, piece 2".
    pub fn words(&self) -> String {
        match self.piece {
            0 => format!("stave {}", self.number),
            piece => format!("stave {}, piece {piece}", self.number),
        }
    }
}

/// The part that a maker knows of behind an id: the panel of a stave, else the part itself.
pub fn part_named(id: &str) -> &str {
    stave_named(id).map_or(id, |named| named.panel)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_id_of_a_stave_reads_back_and_is_no_makers_id() {
        let id = stave_id("top", 2, 13);
        let named = StaveNamed {
            panel: "top",
            copy: 2,
            number: 13,
            piece: 0,
        };
        assert_eq!(stave_named(&id), Some(named));
        assert_eq!(piece_id("top", 2, 13, 0), id);
        let piece = piece_id("top", 2, 13, 2);
        assert_eq!(stave_named(&piece), Some(StaveNamed { piece: 2, ..named }));
        assert_eq!(part_named(&piece), "top");
        assert_eq!(part_named(&id), "top");
        assert!(!crate::ids::is_safe_id(&id));
        for other in [
            "top",
            "top.1.3",
            "top..",
            "top..1",
            "top..x.3",
            "top..1.3.x",
        ] {
            assert_eq!(stave_named(other), None, "{other}");
        }
    }

    #[test]
    fn pieces_meet_where_the_joint_has_its_middle() {
        let stave = Stave {
            pieces: vec![700.0, 620.0, 500.0],
            ..Stave::whole(1, 80.0)
        };
        assert_eq!(stave.joined(10.0), 1800.0);
        assert_eq!(stave.ends(10.0), [695.0, 1305.0]);
        assert_eq!(stave.piece_numbers().collect::<Vec<_>>(), [1, 2, 3]);
        assert!(Stave::whole(1, 80.0).ends(10.0).is_empty());
    }
}
