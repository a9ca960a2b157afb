//! What the checker says about a plan.

use heartside_geometry::Point;
use serde::{Deserialize, Serialize};

use crate::document::copies::{BoardCopy, PartCopy};
use crate::document::form::word_enum;

word_enum! {
    /// The rules that every plan must obey, numbered as in the README.
    pub enum Rule {
        /// 1. The blank lies inside the board, clear of what is trimmed off.
        #[default]
        Inside,
        /// 2. Room for the saw between blanks.
        Kerf,
        /// 3. Defects and sapwood stay out of the wood that matters.
        Zones,
        /// 4. The saw stays clear of fixings.
        Fixings,
        /// 5. The grain runs the right way.
        Grain,
        /// 6. Thick enough once flat.
        Thickness,
        /// 7. Turned over only where allowed.
        TurnedOver,
        /// 8. Matches.
        Matches,
        /// 9. The cuts exist and can be made.
        Cuts,
        /// 10. Counts, species, stock and pins.
        Stock,
        /// 11. Dimensions.
        Dimensions,
        /// 12. Cuts that were made: boards that are there no more, their pieces, blanks in hand.
        Done,
    }
}

impl Rule {
    /// The rule's number, 1 to 12.
    pub fn number(self) -> u8 {
        self as u8 + 1
    }
}

word_enum! {
    /// How serious a finding is.
    pub enum Severity {
        /// The plan is broken.
        #[default]
        Broken,
        /// The plan is good, but the maker should know.
        Caution,
        /// A rule that cannot be checked yet; never passed silently.
        NotChecked,
    }
}

/// By how much a rule is broken.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
#[serde(tag = "unit", content = "value", rename_all = "snake_case")]
pub enum Amount {
    /// Millimetres too much or too little.
    Millimetres(f64),
    /// Degrees too much.
    Degrees(f64),
    /// Pieces too many or too few.
    Count(f64),
}

/// One thing that the checker found.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Finding {
    /// The rule.
    pub rule: Rule,
    /// How serious.
    pub severity: Severity,
    /// A stable name of the cause within the rule, such as `zone-too-near`.
    pub cause: String,
    /// The board, if one is concerned.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub board: Option<BoardCopy>,
    /// The parts concerned.
    pub parts: Vec<PartCopy>,
    /// The zone concerned: its place in the board's list.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub zone: Option<usize>,
    /// Where, in the board's frame.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "page", tsify(type = "{ x: number; y: number }"))]
    pub at: Option<Point>,
    /// By how much.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub amount: Option<Amount>,
    /// The sentence a maker reads, in the job's units.
    pub message: String,
}

/// True when no finding says that the plan is broken.
pub fn is_sound(findings: &[Finding]) -> bool {
    findings.iter().all(|f| f.severity != Severity::Broken)
}

/// What the findings about a plan come to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// So many things are wrong with it.
    Broken(usize),
    /// Nothing that was looked at is wrong, but so many things could not be looked at: such a
    /// plan must never be called checked against every rule.
    NotAllChecked(usize),
    /// Every rule was looked at and is kept; there may be cautions.
    Checked,
}

impl Outcome {
    /// What these findings, all of one plan, come to.
    pub fn of(findings: &[Finding]) -> Outcome {
        let count = |severity| findings.iter().filter(|f| f.severity == severity).count();
        match (count(Severity::Broken), count(Severity::NotChecked)) {
            (0, 0) => Outcome::Checked,
            (0, n) => Outcome::NotAllChecked(n),
            (n, _) => Outcome::Broken(n),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn finding(severity: Severity) -> Finding {
        Finding {
            rule: Rule::Matches,
            severity,
            cause: String::new(),
            board: None,
            parts: Vec::new(),
            zone: None,
            at: None,
            amount: None,
            message: String::new(),
        }
    }

    #[test]
    fn what_was_not_looked_at_is_not_checked() {
        let [broken, caution, open] =
            [Severity::Broken, Severity::Caution, Severity::NotChecked].map(finding);
        assert_eq!(Outcome::of(&[]), Outcome::Checked);
        assert_eq!(
            Outcome::of(std::slice::from_ref(&caution)),
            Outcome::Checked
        );
        let some = [caution, open.clone(), open.clone()];
        assert_eq!(Outcome::of(&some), Outcome::NotAllChecked(2));
        assert!(is_sound(&some));
        assert_eq!(Outcome::of(&[open, broken]), Outcome::Broken(1));
    }
}
