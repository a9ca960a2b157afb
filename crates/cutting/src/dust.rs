//! Cautions about the dust of a species.
//!
//! Sources: HSE's EH40/2005 (UK: hardwood dust is classed as a cause of cancer, both kinds can
//! cause asthma; limits 3 mg/m³ for hardwood and mixtures, 5 for softwood) and Directive (EU)
//! 2017/2398 (hardwood dust likewise, 2 mg/m³); ACGIH for oak and beech (A1), birch, mahogany,
//! teak and walnut (A2), and for western red cedar (0.5 mg/m³). The woods that sensitise are those of
//! HSE's woodworking sheet 30, *Toxic woods*; that list is from memory.

use heartside_timber::species::is_softwood;
use heartside_timber::words::capital;

use crate::step::Caution;

/// Woods whose dust sensitises, by a word or two of their names. From memory.
const SENSITISING: [&str; 12] = [
    "iroko",
    "wenge",
    "obeche",
    "makore",
    "mansonia",
    "rosewood",
    "padauk",
    "teak",
    "sapele",
    "khaya",
    "african mahogany",
    "yew",
];

/// What is known of the dust of a species; said once a board.
pub(crate) fn dust_cautions(species: &str) -> Vec<Caution> {
    let lower = species.trim().to_lowercase();
    let has_word = |word: &str| {
        let letters = |c: char| !c.is_alphabetic();
        lower.split(letters).any(|w| w == word)
    };
    let has = |words: &[&str]| words.iter().any(|w| has_word(w));
    const REST: &str =
        "Extraction first, a fitting mask besides; look up the limits where you work.";
    const CANCER: &str = "hardwood dust is classed as a cause of cancer (HSE, EH40; Directive (EU) 2017/2398) and can cause asthma";
    let kind = is_softwood(species);
    let text = match kind {
        Some(true) => format!(
            "Softwood dust can cause asthma (HSE, EH40); mixed with hardwood dust it counts as such. {REST}"
        ),
        Some(false) if has(&["oak", "beech"]) => format!(
            "Dust: {CANCER}; that of oak and beech is a confirmed carcinogen (ACGIH, A1). {REST}"
        ),
        Some(false) if has(&["birch", "mahogany", "khaya", "teak", "walnut"]) => format!(
            "Dust: {CANCER}; that of birch, mahogany, teak and walnut is suspected by itself (ACGIH, A2). {REST}"
        ),
        Some(false) => format!("Dust: {CANCER}. {REST}"),
        None => format!(
            "Dust: whether this is a hardwood is not known here, so take it as one: {CANCER}. {REST}"
        ),
    };
    let mut found = vec![Caution::new(
        "dust",
        text,
        "dust",
        "HSE EH40/2005; Directive (EU) 2017/2398; ACGIH classes",
    )];
    let is_cedar = kind == Some(true) && has_word("cedar");
    let other_cedars = ["yellow", "white", "eastern", "incense", "orford", "lebanon"];
    if is_cedar && has_word("western") {
        found.push(Caution::new(
            "sensitising",
            "Western red cedar: its dust sensitises and causes asthma; the limit that ACGIH gives for it is half of that for other woods. Whoever has reacted to it once keeps away from it.".to_owned(),
            "sensitising wood",
            "ACGIH, 0.5 mg/m³ against 1",
        ));
    } else if is_cedar && !has(&other_cedars) {
        found.push(Caution::new(
            "sensitising",
            "Cedar: which one is not told. If it is western red cedar its dust sensitises and causes asthma.".to_owned(),
            "sensitising wood",
            "ACGIH, western red cedar",
        ));
    } else if let Some(wood) = SENSITISING.iter().find(|w| w.split(' ').all(has_word)) {
        let wood = match *wood {
            "khaya" | "african mahogany" => "African mahogany",
            other => other,
        };
        found.push(Caution::new(
            "sensitising",
            format!(
                "{}: its dust can sensitise lungs and skin. Whoever has reacted to it once keeps away from it.",
                capital(wood)
            ),
            "sensitising wood",
            "HSE woodworking sheet 30, toxic woods; from memory",
        ));
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(species: &str) -> String {
        let texts: Vec<String> = dust_cautions(species).into_iter().map(|c| c.text).collect();
        texts.join(" ")
    }

    #[test]
    fn every_hardwood_is_classed_and_no_softwood_is() {
        for wood in heartside_timber::species::WOODS {
            let classed = said(wood.name).contains("classed as a cause of cancer");
            assert_eq!(classed, !wood.is_softwood(), "{}", wood.name);
        }
        assert!(said("American beech").contains("A1"));
        assert!(said("true mahogany").contains("A2"));
        assert!(!said("European ash").contains("ACGIH"));
        assert!(!said("maple").contains("ACGIH"));
    }

    #[test]
    fn a_cedar_is_what_its_name_says() {
        assert!(said("western red cedar").contains("Western red cedar: its dust"));
        assert!(said("Cedar, western red").contains("Western red cedar: its dust"));
        for other in ["eastern red cedar", "yellow cedar", "Port-Orford cedar"] {
            assert!(!said(other).contains("estern red cedar: its"), "{other}");
            assert!(!said(other).contains("sensitises"), "{other}");
        }
        assert!(said("cedar").contains("which one is not told"));
        assert!(said("Spanish-cedar").contains("hardwood dust is classed"));
        assert!(!said("Spanish-cedar").contains("western"));
    }

    #[test]
    fn woods_that_sensitise_are_named() {
        assert!(said("Iroko").contains("Iroko: its dust can sensitise"));
        assert!(said("wenge").contains("Wenge"));
        assert!(said("khaya").contains("African mahogany"));
        assert!(!said("European oak").contains("sensitise"));
        assert!(
            dust_cautions("iroko")
                .iter()
                .any(|c| c.source.contains("from memory"))
        );
    }

    #[test]
    fn an_unknown_wood_is_taken_as_a_hardwood() {
        for species in ["", "unobtainium"] {
            assert!(said(species).contains("take it as one"), "{species}");
        }
    }
}
