//! Every length of a document, one after the other.

use crate::document::{
    Allowances, Board, BoardOutline, Dimension, Document, Length, Panel, Part, Shape, Tool,
    Workshop, Zone, ZoneShape,
};

type Visit<'a> = dyn FnMut(&mut Length) + 'a;

fn some(length: &mut Option<Length>, visit: &mut Visit<'_>) {
    if let Some(length) = length {
        visit(length);
    }
}

fn pairs(points: &mut [[Length; 2]], visit: &mut Visit<'_>) {
    points.iter_mut().flatten().for_each(visit);
}

impl Document {
    /// Calls `visit` for every length that may be typed or an expression, in the document's
    /// order. Plans, done cuts, photographs and grain lines hold plain millimetres and are left out.
    pub fn each_length(&mut self, visit: &mut dyn FnMut(&mut Length)) {
        self.workshop.each_length(visit);
        self.allowances.each_length(visit);
        self.dimensions
            .iter_mut()
            .for_each(|d| d.each_length(visit));
        self.boards.iter_mut().for_each(|b| b.each_length(visit));
        self.parts.iter_mut().for_each(|p| p.each_length(visit));
        self.panels.iter_mut().for_each(|p| p.each_length(visit));
    }
}

impl Workshop {
    /// Calls `visit` for every length, those of the tools included.
    pub fn each_length(&mut self, visit: &mut dyn FnMut(&mut Length)) {
        self.tools
            .iter_mut()
            .for_each(|tool| tool.each_length(visit));
        let kerf = &mut self.fallback_kerf;
        some(&mut kerf.rip, visit);
        some(&mut kerf.crosscut, visit);
        some(&mut kerf.sawn, visit);
        some(&mut self.trim.end, visit);
        some(&mut self.trim.edge, visit);
        if let Some(offcut) = &mut self.min_offcut {
            some(&mut offcut.length, visit);
            some(&mut offcut.width, visit);
        }
    }
}

impl Tool {
    /// Calls `visit` for every length.
    pub fn each_length(&mut self, visit: &mut dyn FnMut(&mut Length)) {
        some(&mut self.kerf, visit);
        some(&mut self.max_length, visit);
        some(&mut self.max_width, visit);
        some(&mut self.max_depth, visit);
        some(&mut self.min_piece, visit);
        some(&mut self.least_radius, visit);
    }
}

impl Allowances {
    /// Calls `visit` for every length.
    pub fn each_length(&mut self, visit: &mut dyn FnMut(&mut Length)) {
        some(&mut self.end, visit);
        some(&mut self.edge, visit);
        some(&mut self.sawn, visit);
        some(&mut self.planing, visit);
        some(&mut self.clean_up, visit);
    }
}

impl Dimension {
    /// Calls `visit` for every length.
    pub fn each_length(&mut self, visit: &mut dyn FnMut(&mut Length)) {
        some(&mut self.preferred, visit);
        some(&mut self.least, visit);
        some(&mut self.most, visit);
        some(&mut self.step, visit);
    }
}

impl Panel {
    /// Calls `visit` for every length.
    pub fn each_length(&mut self, visit: &mut dyn FnMut(&mut Length)) {
        some(&mut self.min_width, visit);
        some(&mut self.max_width, visit);
        some(&mut self.joint, visit);
        some(&mut self.flatten, visit);
        some(&mut self.min_piece, visit);
        some(&mut self.ends_apart, visit);
        some(&mut self.end_joint, visit);
    }
}

impl Board {
    /// Calls `visit` for every length, those of the zones included.
    pub fn each_length(&mut self, visit: &mut dyn FnMut(&mut Length)) {
        match &mut self.outline {
            Some(BoardOutline::Tape {
                length, stations, ..
            }) => {
                visit(length);
                for station in stations {
                    visit(&mut station.at);
                    visit(&mut station.left);
                    visit(&mut station.right);
                }
            }
            Some(BoardOutline::Polygon { points, holes, .. }) => {
                pairs(points, visit);
                holes.iter_mut().for_each(|hole| pairs(hole, visit));
            }
            None => {}
        }
        some(&mut self.thickness, visit);
        some(&mut self.nominal, visit);
        self.zones
            .iter_mut()
            .for_each(|zone| zone.each_length(visit));
        if let Some(warp) = &mut self.warp {
            for gap in [&mut warp.cup, &mut warp.bow].into_iter().flatten() {
                visit(&mut gap.gap);
                some(&mut gap.over, visit);
            }
            if let Some(twist) = &mut warp.twist {
                visit(&mut twist.lift);
                some(&mut twist.over_length, visit);
                some(&mut twist.over_width, visit);
            }
        }
    }
}

impl Zone {
    /// Calls `visit` for every length.
    pub fn each_length(&mut self, visit: &mut dyn FnMut(&mut Length)) {
        match &mut self.shape {
            Some(ZoneShape::Spot {
                along,
                across,
                length,
                width,
                ..
            }) => {
                [along, across, length, width]
                    .into_iter()
                    .for_each(&mut *visit);
            }
            Some(ZoneShape::Span {
                begins,
                ends,
                near,
                far,
                ..
            }) => {
                [begins, ends, near, far].into_iter().for_each(&mut *visit);
            }
            Some(ZoneShape::Strip { width, .. }) => visit(width),
            Some(ZoneShape::Polygon { points }) => pairs(points, visit),
            None => {}
        }
        some(&mut self.depth, visit);
        some(&mut self.margin, visit);
        some(&mut self.uncertain, visit);
        some(&mut self.depth_from, visit);
        some(&mut self.depth_to, visit);
    }
}

impl Part {
    /// Calls `visit` for every length.
    pub fn each_length(&mut self, visit: &mut dyn FnMut(&mut Length)) {
        if let Some(shape) = &mut self.shape {
            shape.each_length(visit);
        }
        some(&mut self.thickness, visit);
        if let Some(allowances) = &mut self.allowances {
            allowances.each_length(visit);
        }
        if let Some(tenon) = &mut self.tenon {
            some(&mut tenon.start, visit);
            some(&mut tenon.end, visit);
        }
    }
}

impl Shape {
    /// Calls `visit` for every length.
    pub fn each_length(&mut self, visit: &mut dyn FnMut(&mut Length)) {
        match self {
            Shape::Rectangle { length, width } | Shape::Ellipse { length, width } => {
                visit(length);
                visit(width);
            }
            Shape::Taper {
                length,
                start_width,
                end_width,
                ..
            } => {
                visit(length);
                visit(start_width);
                visit(end_width);
            }
            Shape::Disc { diameter } => visit(diameter),
            Shape::ArcSided {
                points,
                swells,
                holes,
            } => {
                pairs(points, visit);
                swells.iter_mut().for_each(&mut *visit);
                holes.iter_mut().for_each(|hole| pairs(hole, visit));
            }
            Shape::Polygon { points, holes } => {
                pairs(points, visit);
                holes.iter_mut().for_each(|hole| pairs(hole, visit));
            }
        }
    }
}
