//! Numbers typed while drawing: where a point is, how long a side is and which way it runs, how large an oval is.

use heartside_geometry::math::{atan2_deg, sin_cos_deg};
use heartside_geometry::{Bounds, Point, Vector};

use super::line::{Line, What};
use super::sketch::{NO_MORE, Place, Sketch};
use crate::protocol::DrawWay;

/// What typed numbers are about.
pub(super) enum Typed {
    /// A place: of the point chosen, or of the next one.
    Place(Option<Place>),
    /// Length and direction of the side from here, to the point chosen or to the next one.
    Side(Point, Option<Place>),
    /// Length and width of an oval.
    Oval(usize),
}

impl Sketch {
    pub(super) fn typed(&self) -> Typed {
        let lines = &self.figure.lines;
        if let Some(last) = self.open_line().and_then(|l| lines[l].nodes.last()) {
            return Typed::Side(last.at, None);
        }
        match self.figure.chosen {
            Some((l, _)) if lines[l].oval => Typed::Oval(l),
            Some((l, 0)) if self.what == What::Grain => Typed::Place(Some((l, 0))),
            Some((l, k)) => {
                let n = lines[l].nodes.len();
                Typed::Side(lines[l].nodes[(k + n - 1) % n].at, Some((l, k)))
            }
            None => Typed::Place(None),
        }
    }

    /// What the two numbers are now, where they are anything.
    pub(super) fn numbers(&self) -> Option<[f64; 2]> {
        match self.typed() {
            Typed::Place(place) => {
                let at = place
                    .map(|(l, k)| self.figure.lines[l].nodes[k].at)
                    .or(self.hover)?;
                Some([at.x, at.y])
            }
            Typed::Oval(l) => {
                let around = self.figure.lines[l].oval_box()?;
                Some([around.width(), around.height()])
            }
            Typed::Side(from, of) => {
                let to = of
                    .map(|(l, k)| self.figure.lines[l].nodes[k].at)
                    .or(self.hover)?;
                let way = to - from;
                Some([way.length(), atan2_deg(way.y, way.x)])
            }
        }
    }

    /// Takes numbers that were typed; what is missing stays, or follows the pointer. Without either
    /// the line is closed.
    pub(super) fn put(&mut self, first: Option<f64>, second: Option<f64>) {
        let now = self.numbers();
        let turn = self.square_on();
        self.step(|sketch| {
            let number = |given: Option<f64>, k: usize, usual: f64| {
                given.unwrap_or_else(|| now.map_or(usual, |now| now[k]))
            };
            if first.is_none() && second.is_none() {
                return sketch.close();
            }
            match sketch.typed() {
                Typed::Place(place) => {
                    let at = Point::new(number(first, 0, 0.0), number(second, 1, 0.0));
                    match place {
                        Some(place) => sketch.move_to(place, at),
                        None if !sketch.may_begin(&sketch.figure.lines) => {
                            sketch.told = Some(NO_MORE.to_owned());
                        }
                        None if matches!(sketch.way, DrawWay::Oval | DrawWay::FromMiddle) => {
                            let half = Vector::new(20.0, 15.0);
                            sketch
                                .figure
                                .lines
                                .push(Line::oval_between(at - half, at + half));
                            sketch.figure.chosen = Some((sketch.figure.lines.len() - 1, 1));
                        }
                        None => sketch.add(at),
                    }
                }
                Typed::Oval(l) => {
                    let Some(around) = sketch.figure.lines[l].oval_box() else {
                        return;
                    };
                    let size = [number(first, 0, 0.0), number(second, 1, 0.0)];
                    let half = Vector::new(size[0].abs() / 2.0, size[1].abs() / 2.0);
                    let middle = around.centre();
                    let box_now = Bounds::new(middle - half, middle + half);
                    sketch.figure.lines[l] = Line::oval_between(box_now.min, box_now.max);
                }
                Typed::Side(from, of) => {
                    let Some(length) = first.or(now.map(|now| now[0])) else {
                        sketch.told = Some("Type how long the side is, too.".to_owned());
                        return;
                    };
                    let (sin, cos) = sin_cos_deg(number(second, 1, turn));
                    let at = from + Vector::new(cos, sin) * length;
                    match of {
                        Some(place) => sketch.move_to(place, at),
                        None => sketch.add(at),
                    }
                }
            }
        });
    }

    /// The direction square to the last side, to the left: round a board as it is measured.
    fn square_on(&self) -> f64 {
        let line = self
            .open_line()
            .map(|l| self.figure.lines[l].nodes.as_slice());
        match line {
            Some([.., a, b]) => atan2_deg(b.at.y - a.at.y, b.at.x - a.at.x) + 90.0,
            _ => 0.0,
        }
    }
}
