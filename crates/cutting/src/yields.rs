//! What a cut leaves, in words.

use heartside_geometry::{Bounds, area_in_bounds};
use heartside_timber::blank::Blank;
use heartside_timber::document::PartCopy;
use heartside_timber::job::{Zone, ZoneKind};
use heartside_timber::length::{write_dimension, write_weight};
use heartside_timber::plan::{CutNode, Frame};
use heartside_timber::words::listed;

use crate::caution::zone_words;
use crate::naming::{ChalkNames, copies_words};
use crate::rough::write_rough;
use crate::step::{Becomes, Yielded};
use crate::steps::BoardSteps;
use crate::workpiece::into_frame;

/// "holds old screw and knot": what is said on an offcut that is kept.
pub fn holds_words(holds: &[String]) -> String {
    format!("holds {}", listed(holds))
}

impl BoardSteps<'_> {
    pub(crate) fn yielded(&mut self, node: usize, names: &mut ChalkNames) -> Option<Yielded> {
        let mut next = || names.next(self.job, &self.layout.board);
        let tree = self.layout.cuts.as_ref()?;
        let pieces = self.pieces.as_ref()?;
        let piece = pieces.get(node)?;
        let (extent, area) = (piece.extent, piece.area);
        let size = self.rough_size(extent);
        let weight_kg = self.weight(area);
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
            CutNode::Leaves { placements } => {
                let mut yielded = self.leaves_yield(*placements.first()?)?;
                yielded.node = Some(node);
                Some(yielded)
            }
            CutNode::Cut { .. } => {
                let name = format!("piece {}", next());
                self.named.insert(node, name.clone());
                Some(Yielded {
                    becomes: Becomes::Piece,
                    node: Some(node),
                    words: words(&name),
                    name,
                    size,
                    weight_kg,
                    holds: Vec::new(),
                })
            }
            CutNode::Region { placements } => {
                let name = format!("piece {}", next());
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
                    holds: Vec::new(),
                })
            }
            CutNode::Offcut => {
                let name = format!("offcut {}", next());
                let holds = self.flaws_in(extent, &piece.frame);
                let held = match holds.is_empty() {
                    true => String::new(),
                    false => format!(", {}", holds_words(&holds)),
                };
                Some(Yielded {
                    becomes: Becomes::Offcut,
                    node: Some(node),
                    words: format!("{name} ({size}{weight}{held})"),
                    name,
                    size,
                    weight_kg,
                    holds,
                })
            }
            CutNode::Waste => (area > 1e-6).then(|| Yielded {
                becomes: Becomes::Waste,
                node: Some(node),
                words: "waste".into(),
                name: "waste".into(),
                size,
                weight_kg,
                holds: Vec::new(),
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
            holds: Vec::new(),
            words,
        })
    }

    /// The thick blank of a leaf and those below it, or the blank of what is no leaf.
    pub(crate) fn leaves_yield(&self, first: usize) -> Option<Yielded> {
        let mut yielded = self.blank_yield(first)?;
        let leaves = self.leaves(first);
        let parts: Vec<PartCopy> = leaves.iter().map(|p| p.part_copy()).collect();
        let count = parts.len();
        if count < 2 {
            return Some(yielded);
        }
        yielded.name = copies_words(self.job, &parts);
        let weight = self.weight_words(yielded.weight_kg);
        yielded.words = format!(
            "{} ({count} leaves in one blank {}{weight})",
            yielded.name, yielded.size
        );
        yielded.becomes = Becomes::Leaves { parts };
        Some(yielded)
    }

    pub(crate) fn size(&self, extent: Bounds) -> String {
        let units = &self.job.units;
        format!(
            "{} × {}",
            write_dimension(extent.width(), units),
            write_dimension(extent.height(), units)
        )
    }

    /// The size of a piece that is cut further or kept: as a tape reads it.
    pub(crate) fn rough_size(&self, extent: Bounds) -> String {
        let show = |mm: f64| write_rough(mm, &self.job.units);
        format!("{} × {}", show(extent.width()), show(extent.height()))
    }

    /// Kilograms of an area of this board; none where its density is not known.
    pub(crate) fn weight(&self, area: f64) -> Option<f64> {
        let density = self.board.density;
        (density > 0.0).then_some(area * self.board.thickness * density * 1e-9)
    }

    /// ", 14 kg" where it is more than half of what one person lifts; lighter things ask for no thought.
    pub(crate) fn weight_words(&self, kg: Option<f64>) -> String {
        match kg {
            Some(kg) if kg > self.job.workshop.max_lift_kg / 2.0 => {
                format!(", {}", write_weight(kg, &self.job.units))
            }
            _ => String::new(),
        }
    }

    /// Fixings and unsound flaws that reach into a piece within these bounds of its frame, each
    /// name once.
    fn flaws_in(&self, extent: Bounds, frame: &Frame) -> Vec<String> {
        let mut held: Vec<String> = Vec::new();
        let unsound =
            |z: &&Zone| z.kind == ZoneKind::Fixing || (z.kind == ZoneKind::Defect && !z.sound);
        for zone in self.board.zones.iter().filter(unsound) {
            let shape = into_frame(&zone.shape, frame);
            if area_in_bounds(&shape, &extent) > 0.0 {
                let words = zone_words(zone);
                if !held.contains(&words) {
                    held.push(words);
                }
            }
        }
        held
    }
}
