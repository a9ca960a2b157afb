//! What a cut leaves, in words.

use heartside_geometry::Bounds;
use heartside_timber::blank::Blank;
use heartside_timber::document::PartCopy;
use heartside_timber::length::{write_dimension, write_weight};
use heartside_timber::plan::{CutNode, CutTree};

use crate::naming::copies_words;
use crate::step::{Becomes, Yielded};
use crate::steps::BoardSteps;
use crate::workpiece::Workpieces;

impl BoardSteps<'_> {
    pub(crate) fn yielded(
        &mut self,
        tree: &CutTree,
        pieces: &Workpieces,
        node: usize,
    ) -> Option<Yielded> {
        let piece = pieces.get(node)?;
        let size = self.size(piece.extent);
        let weight_kg = self.weight(piece.area);
        let weight = self.weight_words(weight_kg);
        let words = |name: &str| format!("{name} ({size}{weight})");
        let kind = if pieces.is_waste(node) {
            &CutNode::Waste
        } else {
            tree.nodes.get(node)?
        };
        match kind {
            CutNode::Blank { placement } => {
                let mut yielded = self.blank_yield(*placement)?;
                yielded.node = Some(node);
                Some(yielded)
            }
            CutNode::Cut { .. } => {
                let name = format!("piece {}", self.names.next());
                self.named.insert(node, name.clone());
                Some(Yielded {
                    becomes: Becomes::Piece,
                    node: Some(node),
                    words: words(&name),
                    name,
                    size,
                    weight_kg,
                })
            }
            CutNode::Region { placements } => {
                let name = format!("piece {}", self.names.next());
                self.named.insert(node, name.clone());
                let parts: Vec<PartCopy> = placements
                    .iter()
                    .filter_map(|p| self.layout.placements.get(*p))
                    .map(|p| p.part_copy())
                    .collect();
                let held = match copies_words(self.job, &parts).as_str() {
                    "" => String::new(),
                    held => format!(", for {held}"),
                };
                Some(Yielded {
                    becomes: Becomes::Region { parts },
                    node: Some(node),
                    words: format!("{name} ({size}{weight}{held})"),
                    name,
                    size,
                    weight_kg,
                })
            }
            CutNode::Offcut => {
                let name = format!("offcut {}", self.names.next());
                Some(Yielded {
                    becomes: Becomes::Offcut,
                    node: Some(node),
                    words: words(&name),
                    name,
                    size,
                    weight_kg,
                })
            }
            CutNode::Waste => (piece.area > 1e-6).then(|| Yielded {
                becomes: Becomes::Waste,
                node: Some(node),
                words: "waste".into(),
                name: "waste".into(),
                size,
                weight_kg,
            }),
        }
    }

    pub(crate) fn blank_yield(&self, placement: usize) -> Option<Yielded> {
        let lying = self.layout.placements.get(placement)?;
        let part = self.job.part(&lying.part)?;
        let blank = Blank::of(part);
        let size = self.size(blank.bounds());
        let rounded = std::f64::consts::PI * blank.radius * blank.radius;
        let area = blank.core.area() + blank.radius * blank.core.outer().perimeter() + rounded;
        let weight_kg = self.weight(area);
        let name = part.copy_name(lying.copy);
        let words = format!("{name} (blank {size}{})", self.weight_words(weight_kg));
        let becomes = Becomes::Blank {
            part: PartCopy {
                part: lying.part.clone(),
                copy: lying.copy,
            },
        };
        Some(Yielded {
            becomes,
            node: None,
            name,
            size,
            weight_kg,
            words,
        })
    }

    pub(crate) fn size(&self, extent: Bounds) -> String {
        let units = &self.job.units;
        format!(
            "{} × {}",
            write_dimension(extent.width(), units),
            write_dimension(extent.height(), units)
        )
    }

    pub(crate) fn weight(&self, area: f64) -> f64 {
        area * self.board.thickness * self.board.density * 1e-9
    }

    pub(crate) fn weight_words(&self, kg: f64) -> String {
        if kg >= 0.05 {
            format!(", {}", write_weight(kg, &self.job.units))
        } else {
            String::new()
        }
    }
}
