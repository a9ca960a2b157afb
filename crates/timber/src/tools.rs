//! What a tool is where nothing is set, and the small workshop that a new job begins with.

use crate::defaults;
use crate::document::{CutKind, Guide, Length, Tool};

impl Tool {
    fn makes(&self, kind: CutKind) -> bool {
        self.does.contains(&kind)
    }

    /// Whether the work is moved over it: as set, else with a guide along the cut, for planers,
    /// and for saws that both rip and follow lines (band saws).
    pub fn moves_the_work(&self) -> bool {
        self.work_moves.unwrap_or(
            self.guide == Guide::Along
                || self.makes(CutKind::TrueEdge)
                || (self.makes(CutKind::Sawn) && self.makes(CutKind::Rip)),
        )
    }

    /// Whether its edge can run against a fence: as set, else for planers and for guided saws
    /// that follow no lines.
    pub fn edge_is_true(&self) -> bool {
        self.leaves_true_edge.unwrap_or(
            self.makes(CutKind::TrueEdge)
                || (self.guide != Guide::None && !self.makes(CutKind::Sawn)),
        )
    }

    /// The least length by which a piece is held where the tool sets none, in mm: hand-fed
    /// circular saws have one; guided saws on a clamped board, hand saws, band saws and planers
    /// have none.
    pub fn usual_least_held(&self) -> f64 {
        let other_than_circular = self.makes(CutKind::Sawn) || self.makes(CutKind::TrueEdge);
        match self.guide {
            _ if other_than_circular => 0.0,
            Guide::Square => defaults::LEAST_HELD,
            Guide::Along if self.moves_the_work() => defaults::LEAST_HELD,
            Guide::Along | Guide::None => 0.0,
        }
    }
}

/// A small workshop to begin with, to be changed: three usual saws. The guided saw gives raw
/// boards a true edge and crosscuts, the table saw rips along its fence, the band saw follows
/// lines.
///
/// Kerfs and limits are those of common machines of a small shop: common practice, no source.
pub fn small_workshop() -> Vec<Tool> {
    let mm = |mm: f64| Some(Length::Mm(mm));
    vec![
        Tool {
            name: "Guided saw".into(),
            does: vec![CutKind::Rip, CutKind::Crosscut],
            kerf: mm(2.2),
            max_depth: mm(55.0),
            guide: Guide::Along,
            work_moves: Some(false),
            can_skim: true,
            ..Tool::default()
        },
        Tool {
            name: "Table saw".into(),
            does: vec![CutKind::Rip],
            kerf: mm(3.2),
            max_length: mm(3000.0),
            max_width: mm(600.0),
            max_depth: mm(80.0),
            guide: Guide::Along,
            work_moves: Some(true),
            ..Tool::default()
        },
        Tool {
            name: "Band saw".into(),
            does: vec![CutKind::Rip, CutKind::Sawn, CutKind::Resaw],
            kerf: mm(1.5),
            max_depth: mm(200.0),
            guide: Guide::None,
            work_moves: Some(true),
            least_radius: mm(15.0),
            ..Tool::default()
        },
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::document::{Document, Workshop};
    use crate::prepare;

    /// What a form shows as usual is what counts in the job.
    #[test]
    fn what_is_usual_is_what_counts() {
        use CutKind::{Crosscut, Rip, Sawn, TrueEdge};
        for does in [
            vec![Rip],
            vec![Crosscut],
            vec![Rip, Crosscut],
            vec![Sawn],
            vec![Rip, Sawn],
            vec![TrueEdge],
        ] {
            for guide in [Guide::None, Guide::Along, Guide::Square] {
                for (work_moves, leaves_true_edge) in [
                    (None, None),
                    (Some(true), Some(false)),
                    (Some(false), Some(true)),
                ] {
                    let tool = Tool {
                        name: "saw".into(),
                        does: does.clone(),
                        kerf: Some(Length::Mm(3.0)),
                        guide,
                        work_moves,
                        leaves_true_edge,
                        ..Tool::default()
                    };
                    let document = Document {
                        workshop: Workshop {
                            tools: vec![tool.clone()],
                            ..Workshop::default()
                        },
                        ..Document::new()
                    };
                    let counts = &prepare(&document).job.workshop.tools[0];
                    assert_eq!(counts.work_moves, tool.moves_the_work(), "{tool:?}");
                    assert_eq!(counts.leaves_true_edge, tool.edge_is_true(), "{tool:?}");
                    assert_eq!(counts.min_piece, tool.usual_least_held(), "{tool:?}");
                }
            }
        }
    }

    /// With it a raw board can be trued, ripped, crosscut and sawn by line: nothing is missing.
    #[test]
    fn the_small_workshop_is_sound_and_does_everything() {
        let document = Document {
            workshop: Workshop {
                tools: small_workshop(),
                ..Workshop::default()
            },
            ..Document::new()
        };
        let prepared = prepare(&document);
        assert_eq!(prepared.diagnostics, []);
        let tools = &prepared.job.workshop.tools;
        assert_eq!(tools.len(), 3);
        assert!(tools.iter().any(|t| t.rips && t.has_rip_fence()));
        assert!(tools.iter().any(|t| t.crosscuts));
        assert!(
            tools
                .iter()
                .any(|t| t.rips && !t.needs_true_edge() && t.leaves_true_edge)
        );
        assert!(tools.iter().any(|t| t.saws && !t.leaves_true_edge));
    }
}
