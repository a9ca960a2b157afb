//! Labels that stand outside their board, each with a leader to its place, and findings as margin notes.

use heartside_geometry::{Bounds, Point, Region};
use heartside_timber::finding::Finding;

use crate::fitting::{Wording, around, pole};
use crate::laid::TYPE;
use crate::pen::Words;
use crate::room::Taken;
use crate::scene::{Outside, Scene};
use crate::text::wrap;

/// After so many labels in a row without a place beside the board no more are tried: it is seen from too far.
const MOST_REFUSED: usize = 6;

/// So many labels stand outside a board at most: more could not be told apart, and looking for
/// their places would take minutes on a board of thousands of flaws.
const MOST_CALLED_OUT: usize = 150;

/// So wide are words outside a board at most, in the drawing's units: wider ones would make the board small.
const WIDEST: f64 = 90.0;

impl Scene<'_> {
    /// Whether further labels may stand outside the board.
    pub(crate) fn may_call_out(&self) -> bool {
        self.called_out < MOST_CALLED_OUT
    }

    /// A free box outside the board, as near as may be to a place on it. A leader that crosses
    /// labels is a way round as long as several lines; where neighbours limit the room, such a place is none.
    pub(crate) fn outside_place(&self, w: f64, h: f64, target: Point) -> Option<Bounds> {
        let board = self.board_box();
        let unit = self.unit;
        let step = 1.3 * unit;
        let free = self.look.outside == Outside::Free;
        let (rows, below) = match self.look.outside {
            Outside::Free => (60, !self.look.dimensions),
            Outside::Within(by) => (
                (((by - h - unit) / step).floor().max(-1.0) + 1.0) as usize,
                true,
            ),
        };
        let reach = ((board.width() / 2.0 / (2.0 * unit)) as i32).clamp(12, 80);
        let mut best: Option<(f64, Bounds)> = None;
        for row in 0..rows {
            let out = 1.2 * unit + row as f64 * step;
            if best.as_ref().is_some_and(|(cost, _)| *cost <= out * 1.6) {
                break;
            }
            for (down, y) in [
                (false, board.min.y - out - h / 2.0),
                (true, board.max.y + out + h / 2.0),
            ] {
                if down && !below {
                    continue;
                }
                let base = out * 1.6 + (y - target.y).abs() * 0.3;
                // From the target outwards, so that the cost only rises.
                for place in (0..=reach).flat_map(|k| [-k, k]) {
                    let dx = f64::from(place) * 2.0 * unit;
                    let cost = base + (dx.abs() - w / 2.0).max(0.0) + dx.abs() * 0.25;
                    if best.as_ref().is_some_and(|(least, _)| *least <= cost) {
                        break;
                    }
                    let own = around(
                        Point {
                            x: target.x + dx,
                            y,
                        },
                        w,
                        h,
                    );
                    if !(free || own.min.x >= board.min.x - 2.0 * unit)
                        || !self.done.room.is_clear_outside(&own.grown(0.35 * unit))
                    {
                        continue;
                    }
                    let crossed = self.done.room.crossed(target, leader_end(&own, target));
                    if crossed > 0 && !free {
                        continue;
                    }
                    let cost = cost + 25.0 * unit * crossed as f64;
                    if best.as_ref().is_none_or(|(least, _)| cost < *least) {
                        best = Some((cost, own));
                    }
                }
            }
        }
        best.map(|(_, own)| own)
    }

    /// A point of a region from which a leader can start: not under a label, rather at its upper side.
    pub(crate) fn free_target(&self, region: &Region) -> Point {
        let bounds = region.bounds();
        let at = |fx: f64, fy: f64| Point {
            x: bounds.min.x + fx * bounds.width(),
            y: bounds.min.y + fy * bounds.height(),
        };
        let places = [0.85, 0.5, 0.2]
            .into_iter()
            .flat_map(|fy| [0.5, 0.7, 0.3, 0.85, 0.15].map(|fx| at(fx, fy)));
        let dot = 0.5 * self.unit;
        std::iter::once(pole(region))
            .chain(places)
            .filter(|p| region.contains(*p))
            .map(|p| self.origin.map(p))
            .find(|p| {
                self.done
                    .room
                    .is_free(&Bounds { min: *p, max: *p }.grown(dot))
            })
            .unwrap_or_else(|| self.origin.map(pole(region)))
    }

    /// Words outside the board with a leader to a place on it; takes their room.
    pub(crate) fn call_out(
        &mut self,
        wording: &Wording,
        target: Point,
        leader: &'static str,
    ) -> Option<String> {
        if !self.may_call_out() {
            return None;
        }
        self.called_out += 1;
        let wording = wording.no_wider(WIDEST * self.unit);
        let lines = wording.at(Point { x: 0.0, y: 0.0 }, false);
        let box_at_zero = lines.iter().map(Words::bounds).reduce(|a, b| a.union(b))?;
        if self.refused >= MOST_REFUSED && leader != "hs-note-leader" {
            return None;
        }
        let Some(own) = self.outside_place(box_at_zero.width(), box_at_zero.height(), target)
        else {
            self.refused += 1;
            return None;
        };
        self.refused = 0;
        let mut pen = self.pen();
        let end = leader_end(&own, target);
        pen.line(leader, target, end, 0.16);
        pen.circle(
            if leader == "hs-note-leader" {
                "hs-kerf"
            } else {
                "hs-pencil-dot"
            },
            target,
            0.35 * self.unit,
            0.0,
        );
        self.done.room.take_leader(target, end);
        for line in wording.at(own.centre(), false) {
            self.done.room.take(Taken::Label, line.bounds());
            pen.words(&line);
        }
        Some(pen.out)
    }

    /// Findings of this board as margin notes.
    pub(crate) fn notes(&mut self) {
        let size = TYPE.size * self.unit;
        let mut svg = String::new();
        let findings: Vec<&Finding> = self
            .subject
            .findings
            .iter()
            .filter(|f| f.board.as_ref() == Some(self.subject.copy))
            .collect();
        // What was found is told whatever else stands there, and counts anew.
        self.called_out = 0;
        for finding in findings {
            let board = self.board_box();
            let target = finding.at.map_or_else(
                || Point {
                    x: board.centre().x,
                    y: board.min.y,
                },
                |p| self.origin.map(p),
            );
            let lines = wrap(&finding.message, size, 62.0 * self.unit)
                .into_iter()
                .map(|l| (vec![(l, "hs-note")], size))
                .collect();
            match self.call_out(&Wording { lines }, target, "hs-note-leader") {
                Some(note) => svg.push_str(&note),
                None => self.done.left_out += 1,
            }
        }
        self.done.notes = svg;
    }
}

/// Where a leader meets a label: the middle of the side that faces the target, no further along than need be.
fn leader_end(own: &Bounds, target: Point) -> Point {
    let x = target.x.clamp(
        own.min.x + own.width() * 0.12,
        own.max.x - own.width() * 0.12,
    );
    let y = if target.y > own.max.y {
        own.max.y
    } else if target.y < own.min.y {
        own.min.y
    } else {
        own.centre().y
    };
    Point { x, y }
}
