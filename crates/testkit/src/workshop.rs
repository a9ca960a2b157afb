//! Workshops at random: from one saw in the hand to six machines, each with limits of its own.

use heartside_timber::document::{CutKind, Document, FallbackKerf, Guide, Tool};

use crate::chance::{Chance, round};
use crate::timberyard::mm;

/// Which workshops are drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outfit {
    /// For each kind of cut (rip, crosscut, by line) some tool that takes any board of the generators,
    /// raw edges and all; straight cuts also of a twisted one.
    Sensible,
    /// Anything: a kind of cut that no tool makes, machines too small for every board, a planer alone.
    Odd,
}

/// Least and greatest kerf of any saw here: a fine band saw's and a coarse circular saw's.
const KERFS: (f64, f64) = (0.8, 4.5);
/// Most tools of a workshop.
const MOST: usize = 6;
/// Longest board of the generators, with something to spare.
const LONGEST: f64 = 4000.0;
/// Widest board of the generators, with something to spare.
const WIDEST: f64 = 400.0;
/// Thickest board of the generators.
const THICKEST: f64 = 40.0;

/// One to six tools, no two of one name; odd workshops now and then have none at all.
///
/// Kerfs lie within 0.8 and 4.5 mm; guides, moving work, true edges, limits, least held lengths and
/// skimming are drawn for each tool, and in half of the workshops nothing skims. The sizes are
/// invented round common ones.
pub fn tools(seed: u32, outfit: Outfit) -> Vec<Tool> {
    let mut chance = Chance::new(seed ^ 0x0070_0150);
    let mut tools = match outfit {
        Outfit::Sensible => for_every_cut(&mut chance),
        Outfit::Odd => Vec::new(),
    };
    let more = match outfit {
        Outfit::Sensible => chance.below(MOST + 1 - tools.len()),
        Outfit::Odd => 1 + chance.below(MOST),
    };
    for _ in 0..more {
        tools.push(any_tool(&mut chance));
    }
    if outfit == Outfit::Odd && chance.percent(50) {
        let gone = *chance.one_of(&[CutKind::Rip, CutKind::Crosscut, CutKind::Sawn]);
        for tool in &mut tools {
            tool.does.retain(|kind| *kind != gone);
        }
        tools.retain(|tool| !tool.does.is_empty());
    }
    let none_skims = chance.percent(50);
    for tool in &mut tools {
        tool.can_skim = !none_skims && chance.percent(40);
    }
    for place in (1..tools.len()).rev() {
        let other = chance.below(place + 1);
        tools.swap(place, other);
    }
    name_apart(&mut tools);
    tools
}

/// Gives a job another workshop: its tools, the kerfs that stand in, and the trims.
///
/// A plan that the document holds was made with other tools: it does not hold any more.
pub fn fit_out(document: &mut Document, seed: u32, outfit: Outfit) {
    document.workshop.tools = tools(seed, outfit);
    let mut chance = Chance::new(seed ^ 0x0070_0151);
    document.workshop.fallback_kerf = FallbackKerf {
        rip: mm(kerf(&mut chance, KERFS)),
        crosscut: mm(kerf(&mut chance, KERFS)),
        sawn: mm(kerf(&mut chance, KERFS)),
        ..FallbackKerf::default()
    };
    document.workshop.trim.end = mm(chance.length(0.0, 25.0));
    document.workshop.trim.edge = mm(chance.length(0.0, 6.0));
}

/// One tool of any kind, as it might stand beside the others.
pub fn any_tool(chance: &mut Chance) -> Tool {
    let mut tool = match chance.below(9) {
        0 => hand_saw(chance),
        1 => guided_saw(chance),
        2 => table_saw(chance),
        3 => mitre_saw(chance),
        4 => band_saw(chance),
        5 => jigsaw(chance),
        6 => planer(chance),
        7 => sliding_saw(chance),
        _ => return nonesuch(chance),
    };
    // A limit is more often a machine's own than none.
    let limit = |chance: &mut Chance, low: f64, high: f64| {
        let value = chance.length(low, high);
        chance.percent(40).then(|| mm(value)).flatten()
    };
    tool.max_length = tool.max_length.or(limit(chance, 250.0, 3000.0));
    tool.max_width = tool.max_width.or(limit(chance, 100.0, 1200.0));
    tool.max_depth = tool.max_depth.or(limit(chance, 20.0, 120.0));
    tool.min_piece = tool.min_piece.or(limit(chance, 0.0, 400.0));
    if chance.percent(10) {
        tool.kerf = mm(kerf(chance, KERFS));
    }
    tool
}

/// Tools that between them rip, crosscut and follow a line on any board of the generators.
fn for_every_cut(chance: &mut Chance) -> Vec<Tool> {
    let mut tools = match chance.below(5) {
        0 => vec![hand_saw(chance), jigsaw(chance)],
        1 => vec![guided_saw(chance), band_saw(chance)],
        2 => vec![Tool {
            does: vec![CutKind::Rip, CutKind::Crosscut, CutKind::Sawn],
            // Unset, a saw that rips and follows lines would be taken for a band saw.
            work_moves: Some(false),
            ..jigsaw(chance)
        }],
        3 => vec![
            Tool {
                guide: Guide::None,
                ..band_saw(chance)
            },
            hand_saw(chance),
        ],
        _ => vec![
            Tool {
                does: vec![CutKind::Rip],
                ..guided_saw(chance)
            },
            Tool {
                max_length: mm(WIDEST),
                ..mitre_saw(chance)
            },
            jigsaw(chance),
        ],
    };
    for tool in &mut tools {
        tool.max_depth = mm(THICKEST + chance.length(5.0, 60.0));
        // Where it says nothing, a mitre saw would have a least held length.
        tool.min_piece = mm(if chance.percent(70) {
            0.0
        } else {
            chance.length(0.0, 60.0)
        });
        if tool.guide != Guide::Square {
            tool.max_length = chance.percent(30).then(|| mm(LONGEST)).flatten();
        }
        tool.max_width = chance.percent(30).then(|| mm(LONGEST)).flatten();
        tool.work_moves = tool
            .work_moves
            .map(|moves| moves && tool.guide != Guide::Along);
    }
    tools
}

fn saw(name: &str, does: &[CutKind], kerf: f64) -> Tool {
    Tool {
        name: name.into(),
        does: does.to_vec(),
        kerf: mm(kerf),
        ..Tool::default()
    }
}

fn kerf(chance: &mut Chance, (low, high): (f64, f64)) -> f64 {
    round(chance.between(low, high), 10.0)
}

fn hand_saw(chance: &mut Chance) -> Tool {
    let kerf = kerf(chance, (0.8, 1.8));
    saw("Hand saw", &[CutKind::Rip, CutKind::Crosscut], kerf)
}

fn guided_saw(chance: &mut Chance) -> Tool {
    let kerf = kerf(chance, (1.6, 3.0));
    Tool {
        guide: Guide::Along,
        work_moves: Some(false),
        leaves_true_edge: chance.percent(20).then(|| chance.percent(50)),
        ..saw("Guided saw", &[CutKind::Rip, CutKind::Crosscut], kerf)
    }
}

fn table_saw(chance: &mut Chance) -> Tool {
    let kerf = kerf(chance, (1.8, KERFS.1));
    Tool {
        guide: Guide::Along,
        work_moves: chance.percent(60).then_some(true),
        leaves_true_edge: chance.percent(20).then(|| chance.percent(50)),
        max_width: mm(chance.length(250.0, 900.0)),
        max_depth: mm(chance.length(30.0, 100.0)),
        ..saw("Table saw", &[CutKind::Rip], kerf)
    }
}

fn mitre_saw(chance: &mut Chance) -> Tool {
    let kerf = kerf(chance, (1.6, 3.4));
    Tool {
        guide: Guide::Square,
        work_moves: chance.percent(20).then_some(false),
        max_length: mm(chance.length(120.0, 350.0)),
        max_depth: mm(chance.length(30.0, 110.0)),
        ..saw("Mitre saw", &[CutKind::Crosscut], kerf)
    }
}

/// A table saw with a sliding table, for crosscuts.
fn sliding_saw(chance: &mut Chance) -> Tool {
    let kerf = kerf(chance, (2.0, KERFS.1));
    Tool {
        guide: Guide::Square,
        work_moves: Some(true),
        max_length: mm(chance.length(300.0, 3200.0)),
        ..saw("Sliding table", &[CutKind::Crosscut], kerf)
    }
}

fn band_saw(chance: &mut Chance) -> Tool {
    let kerf = kerf(chance, (KERFS.0, 2.2));
    let mut does = vec![CutKind::Rip, CutKind::Sawn];
    if chance.percent(30) {
        does.push(CutKind::Resaw);
    }
    Tool {
        guide: *chance.one_of(&[Guide::None, Guide::Along]),
        work_moves: Some(true),
        least_radius: mm(chance.length(0.0, 30.0)),
        ..saw("Band saw", &does, kerf)
    }
}

fn jigsaw(chance: &mut Chance) -> Tool {
    let kerf = kerf(chance, (0.9, 2.0));
    Tool {
        least_radius: mm(chance.length(0.0, 15.0)),
        ..saw("Jigsaw", &[CutKind::Sawn], kerf)
    }
}

fn planer(chance: &mut Chance) -> Tool {
    // Its kerf is the depth it takes.
    let depth = kerf(chance, KERFS);
    Tool {
        guide: Guide::Along,
        work_moves: Some(true),
        min_piece: mm(chance.length(150.0, 400.0)),
        max_length: mm(chance.length(800.0, 3000.0)),
        ..saw("Planer", &[CutKind::TrueEdge], depth)
    }
}

/// What no catalogue holds: every property drawn by itself.
fn nonesuch(chance: &mut Chance) -> Tool {
    let kinds = [CutKind::Rip, CutKind::Crosscut, CutKind::Sawn];
    let mut does: Vec<CutKind> = kinds.into_iter().filter(|_| chance.percent(50)).collect();
    if does.is_empty() {
        does.push(*chance.one_of(&[CutKind::Rip, CutKind::Crosscut, CutKind::TrueEdge]));
    }
    let kerf = kerf(chance, KERFS);
    Tool {
        guide: *chance.one_of(&[Guide::None, Guide::Along, Guide::Square]),
        work_moves: *chance.one_of(&[None, Some(false), Some(true)]),
        leaves_true_edge: *chance.one_of(&[None, Some(false), Some(true)]),
        max_length: mm(chance.length(100.0, 3000.0)),
        max_width: mm(chance.length(40.0, 700.0)),
        max_depth: mm(chance.length(20.0, 90.0)),
        min_piece: mm(chance.length(0.0, 400.0)),
        ..saw("Nonesuch", &does, kerf)
    }
}

/// Numbers the second and later tools of one name: cuts name their tool.
fn name_apart(tools: &mut [Tool]) {
    for place in 0..tools.len() {
        let name = tools[place].name.clone();
        let before = tools[..place]
            .iter()
            .filter(|tool| {
                tool.name
                    .strip_prefix(&name)
                    .is_some_and(|rest| rest.is_empty() || rest.starts_with(' '))
            })
            .count();
        if before > 0 {
            tools[place].name = format!("{name} {}", before + 1);
        }
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use heartside_timber::prepare;

    use super::*;
    use crate::workshop_job::{JobSize, workshop_job};

    const SIZE: JobSize = JobSize {
        boards: 2,
        pieces: 4,
        sawn: 20,
    };

    /// Every workshop is sound: nothing of it is left out, and no diagnostic speaks of a tool.
    #[test]
    fn workshops_are_sound_and_their_tools_have_names_of_their_own() {
        for outfit in [Outfit::Sensible, Outfit::Odd] {
            for seed in 0..300 {
                let mut document = workshop_job(1, SIZE);
                fit_out(&mut document, seed, outfit);
                let wanted = &document.workshop.tools;
                assert!((1..=MOST).contains(&wanted.len()) || outfit == Outfit::Odd);
                let names: BTreeSet<&str> = wanted.iter().map(|t| t.name.as_str()).collect();
                assert_eq!(names.len(), wanted.len(), "{names:?}");
                let prepared = prepare(&document);
                for tool in wanted {
                    let made = prepared
                        .job
                        .workshop
                        .tools
                        .iter()
                        .any(|t| t.name == tool.name);
                    assert!(
                        made,
                        "{outfit:?} {seed}: {tool:?} {:?}",
                        prepared.diagnostics
                    );
                }
            }
        }
    }

    #[test]
    fn sensible_workshops_have_a_tool_for_every_cut_and_odd_ones_lack_some() {
        let lacks = |seed, outfit| {
            let tools = tools(seed, outfit);
            let takes_all = |tool: &Tool| {
                let none = |limit: &Option<heartside_timber::document::Length>, need: f64| {
                    limit
                        .as_ref()
                        .is_none_or(|l| crate::timberyard::plain(l) >= need)
                };
                let free = !(tool.guide == Guide::Along && tool.work_moves != Some(false))
                    || tool.does.contains(&CutKind::Sawn);
                free && none(&tool.max_depth, THICKEST)
            };
            [CutKind::Rip, CutKind::Crosscut, CutKind::Sawn]
                .into_iter()
                .filter(|kind| !tools.iter().any(|t| t.does.contains(kind) && takes_all(t)))
                .count()
        };
        assert!((0..300).all(|seed| lacks(seed, Outfit::Sensible) == 0));
        let lacking = (0..300)
            .filter(|seed| lacks(*seed, Outfit::Odd) > 0)
            .count();
        assert!((60..300).contains(&lacking), "{lacking}");
    }

    /// The variety that random tests count on.
    #[test]
    fn every_kind_of_tool_and_limit_comes_up() {
        let all: Vec<Vec<Tool>> = (0..200)
            .map(|seed| match seed % 2 {
                0 => tools(seed, Outfit::Sensible),
                _ => tools(seed, Outfit::Odd),
            })
            .collect();
        let some = |of: &dyn Fn(&Tool) -> bool| all.iter().flatten().filter(|t| of(t)).count();
        for guide in [Guide::None, Guide::Along, Guide::Square] {
            assert!(some(&|t| t.guide == guide) > 30, "{guide:?}");
        }
        for kind in [
            CutKind::Rip,
            CutKind::Crosscut,
            CutKind::Sawn,
            CutKind::TrueEdge,
        ] {
            assert!(some(&|t| t.does.contains(&kind)) > 30, "{kind:?}");
        }
        assert!(some(&|t| t.does.contains(&CutKind::Resaw)) > 5);
        assert!(some(&|t| t.can_skim) > 30 && some(&|t| !t.can_skim) > 100);
        assert!(some(&|t| t.work_moves == Some(true)) > 30);
        assert!(some(&|t| t.leaves_true_edge.is_some()) > 15);
        for counted in [
            some(&|t| t.max_length.is_some()),
            some(&|t| t.max_width.is_some()),
            some(&|t| t.max_depth.is_some()),
            some(&|t| t.min_piece.is_some()),
        ] {
            assert!(counted > 50, "{counted}");
        }
        let kerfs: Vec<f64> = all
            .iter()
            .flatten()
            .filter_map(|t| t.kerf.as_ref().map(crate::timberyard::plain))
            .collect();
        assert!(kerfs.iter().all(|k| (KERFS.0..=KERFS.1).contains(k)));
        assert!(kerfs.iter().any(|k| *k < 1.0) && kerfs.iter().any(|k| *k > 4.0));
        let counts: BTreeSet<usize> = all.iter().map(Vec::len).collect();
        assert!((1..=MOST).all(|n| counts.contains(&n)), "{counts:?}");
    }
}
