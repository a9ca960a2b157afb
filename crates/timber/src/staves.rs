//! Staves of panels: how a plan and a job name them.

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

/// One strip of a panel.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Stave {
    /// Its number; it keeps it wherever it comes to lie.
    pub number: u32,
    /// Its finished width before gluing, in millimetres: what the joints take included.
    pub width: f64,
}

/// Parts the panel's id, the copy and the number in the id of a stave. No id of a maker has two
/// points in a row ([`crate::ids::is_safe_id`]).
const MARK: &str = "..";

/// The id of a stave as a part of the job: `top..1.3` is stave 3 of the first copy of `top`.
pub fn stave_id(panel: &str, copy: u32, number: u32) -> String {
    format!("{panel}{MARK}{copy}.{number}")
}

/// The panel, the copy and the number that an id of a stave names; none for any other id.
pub fn stave_named(id: &str) -> Option<(&str, u32, u32)> {
    let (panel, rest) = id.rsplit_once(MARK)?;
    let (copy, number) = rest.split_once('.')?;
    Some((panel, copy.parse().ok()?, number.parse().ok()?))
}

/// The part that a maker knows of behind an id: the panel of a stave, else the part itself.
pub fn part_named(id: &str) -> &str {
    stave_named(id).map_or(id, |(panel, _, _)| panel)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_id_of_a_stave_reads_back_and_is_no_makers_id() {
        let id = stave_id("top", 2, 13);
        assert_eq!(stave_named(&id), Some(("top", 2, 13)));
        assert_eq!(part_named(&id), "top");
        assert!(!crate::ids::is_safe_id(&id));
        for other in ["top", "top.1.3", "top..", "top..1", "top..x.3"] {
            assert_eq!(stave_named(other), None, "{other}");
        }
    }
}
