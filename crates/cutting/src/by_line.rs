//! Parts that are sawn by line: one step each.

use heartside_geometry::{Bounds, Region};
use heartside_timber::blank::Blank;
use heartside_timber::job::Allowances;
use heartside_timber::length::write_length;
use heartside_timber::plan::Frame;
use heartside_timber::words::counted;

use crate::brief::chalk_name;
use crate::cut_caution::CutToWeigh;
use crate::leaves::to_be_resawn;
use crate::rough::{write_rough, write_rough_length};
use crate::step::{Action, Becomes, Step};
use crate::steps::BoardSteps;
use crate::wood_caution::blank_cautions;
use crate::workpiece::Workpiece;

impl BoardSteps<'_> {
    /// A part sawn by line, out of the board or out of the piece of a node.
    pub(crate) fn sawn(&mut self, placement: usize, node: Option<usize>) -> Option<Step> {
        let workpiece = node
            .and_then(|node| self.named.get(&node).cloned())
            .unwrap_or_else(|| self.words.clone());
        let piece = node.and_then(|node| self.pieces.as_ref()?.get(node).cloned());
        let lying = self.layout.placements.get(placement)?;
        let part = self.job.part(&lying.part)?;
        let blank = Blank::of(part);
        let bounds = lying
            .pose()
            .apply_region(&blank.core)
            .bounds()
            .grown(blank.radius);
        let extent = piece
            .as_ref()
            .map_or(self.board.outline.bounds(), |p| p.extent);
        let area = piece.as_ref().map_or(self.board.outline.area(), |p| p.area);
        let tool = self.line_tool();
        let weigh = CutToWeigh {
            job: self.job,
            board: self.board,
            tool,
            ripping: false,
            along: extent.width(),
            across: extent.height(),
            weight_kg: self.weight(area),
            volume: area * self.board.thickness,
            beside_fence: None,
            held: None,
            against_fence: None,
            band: None,
            skim: false,
            askew: false,
        };
        let mut cautions = weigh.cautions();
        cautions.extend(blank_cautions(self.job, self.board, lying));
        let blank_left = self.leaves_yield(placement)?;
        let name = blank_left.name.clone();
        if let Becomes::Leaves { parts } = &blank_left.becomes {
            cautions.push(to_be_resawn(parts.len()));
        }
        let holes = part.outline.holes().len();
        let mut text = vec![
            format!(
                "Saw {name} by line out of {workpiece}{}.",
                tool.map(|t| format!(", with the {}", t.name))
                    .unwrap_or_default()
            ),
            format!(
                "It lies {}; mark it with a template or from the diagram.",
                self.lies_words(bounds, &workpiece, piece.as_ref())
            ),
            self.keep_outside(&part.allowances),
        ];
        if holes > 0 {
            text.push(format!(
                "{} inside: drill a starting hole in the waste of each.",
                counted(holes, "hole", "holes")
            ));
        }
        if lying.at.turned_over {
            text.push("Turned over: mark it mirrored, its seen face lies underneath.".into());
        }
        let middle = bounds.centre();
        let yields = vec![blank_left];
        Some(Step {
            number: 0,
            board: self.layout.board.clone(),
            layout: self.place,
            node,
            placement: Some(placement),
            action: Action::SawByLine,
            tool: tool.map(|t| t.name.clone()).unwrap_or_default(),
            same_setting: false,
            workpiece: workpiece.clone(),
            workpiece_size: self.rough_size(extent),
            workpiece_kg: self.weight(area),
            setting: None,
            line: [middle, middle],
            band: Vec::new(),
            sawn_length: sawn_length(&part.outline, blank.radius),
            yields,
            cautions,
            brief: format!("{name} out of {}", chalk_name(&workpiece)),
            title: format!("Saw {name} out of {workpiece} by line"),
            text,
        })
    }
}

impl BoardSteps<'_> {
    /// On which side of which line the kerf falls: the blank's, not the finished one.
    fn keep_outside(&self, allowances: &Allowances) -> String {
        let units = &self.job.units;
        let kerf = write_length(self.job.workshop.sawn_kerf, units);
        if allowances.sawn > 0.0 {
            format!(
                "Keep the kerf of {kerf} outside the blank's line, which runs {} outside the finished outline all round.",
                write_length(allowances.sawn, units)
            )
        } else {
            format!(
                "Keep the kerf of {kerf} outside the finished outline: the blank has no allowance."
            )
        }
    }

    /// Where a part lies, measured on the piece it is sawn out of: "15 to 641 mm from the start
    /// end, 12 to 74 mm from the right edge".
    ///
    /// Only a piece whose own start was cut is measured from there; across, from an edge that is
    /// true on the piece, else from the board's own line, which was drawn before it was cut.
    fn lies_words(&self, bounds: Bounds, name: &str, piece: Option<&Workpiece>) -> String {
        let units = &self.job.units;
        let span = |low: f64, high: f64| {
            format!(
                "{} to {}",
                write_rough(low, units),
                write_rough_length(high, units)
            )
        };
        let start = self.datum.along(bounds.min);
        let end = self.datum.along(bounds.max);
        let across = self.datum.span_words([bounds.min, bounds.max], units);
        let Some(piece) = piece.filter(|p| p.frame == Frame::default()) else {
            return format!("{} from the start end, {across}", span(start, end));
        };
        let own = piece.extent;
        let offset = self.datum.along(own.min);
        let along = span(start - offset, end - offset);
        let from = if offset > 0.0 {
            format!("the start end of {name}")
        } else {
            "the start end".into()
        };
        let across = if piece.sides.right {
            let low = bounds.min.y - own.min.y;
            format!("{} from its right edge", span(low, low + bounds.height()))
        } else if piece.sides.left {
            let low = own.max.y - bounds.max.y;
            format!("{} from its left edge", span(low, low + bounds.height()))
        } else {
            across
        };
        format!("{along} from {from}, {across}")
    }
}

fn sawn_length(outline: &Region, radius: f64) -> f64 {
    outline.rings().map(|r| r.perimeter()).sum::<f64>() + 2.0 * std::f64::consts::PI * radius
}
