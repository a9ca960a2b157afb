//! The cut that is picked out: its line, the piece it is made in, its number and measure.

use heartside_cutting::Step;
use heartside_geometry::{Point, Region};
use heartside_timber::length::write_dimension;
use heartside_timber::workpieces::Workpieces;

use crate::fitting::around;
use crate::laid::Laid;
use crate::numbers::centre_line;
use crate::pen::Words;
use crate::room::Taken;
use crate::scene::Scene;
use crate::text::text_width;

/// Size of its words on paper, in millimetres: larger than any other number.
const SIZE: f64 = 3.2;

impl Scene<'_> {
    /// Draws the picked cut over everything else, in sizes that do not shrink with the picture.
    pub(crate) fn chosen_cut(&mut self, laid: &[(usize, Laid)]) {
        let Some(number) = self.look.chosen else {
            return;
        };
        let Some(step) = self.steps.iter().copied().find(|s| s.number == number) else {
            return;
        };
        let mut pen = self.pen();
        let piece: String = self
            .piece_of(step, laid)
            .iter()
            .map(|r| self.origin.region(r))
            .collect();
        pen.path("hs-chosen-piece", &piece, 0.7, &[]);
        let line = (!step.band.is_empty()).then(|| centre_line(&step.band));
        if let Some((a, b)) = line {
            pen.path("hs-kerf", &self.origin.ring(&step.band), 0.0, &[]);
            pen.line("hs-chosen-cut", self.origin.map(a), self.origin.map(b), 1.2);
        }
        let words = self.chosen_words(step);
        let size = SIZE * self.unit;
        let (w, h) = (text_width(&words, size) + 2.4 * self.unit, 5.2 * self.unit);
        let (middle, from) = self.bubble_place(line, step, (w, h));
        if let Some(from) = from {
            pen.line("hs-chosen-cut", from, middle, 0.35);
        }
        let own = around(middle, w, h);
        pen.rect("hs-chosen-bubble", own, h / 2.0, 0.4);
        pen.words(&Words::new(words, "hs-chosen-word", middle, size));
        self.done.room.take(Taken::Label, own);
        self.done.chosen = pen.out;
    }

    /// "12 · 770": its number, and what is measured; a line drawn on the wood has no measure.
    fn chosen_words(&self, step: &Step) -> String {
        let number = step.number.to_string();
        match &step.setting {
            Some(setting) if setting.distance_far.is_none() => format!(
                "{number} · {}",
                write_dimension(setting.scale.abs(), &self.subject.job.units)
            ),
            _ => number,
        }
    }

    /// What the cut is made in: the workpiece, or, sawn by line, the blank itself.
    fn piece_of(&self, step: &Step, laid: &[(usize, Laid)]) -> Vec<Region> {
        if let Some(place) = step.placement {
            let own = laid.iter().find(|(p, _)| *p == place);
            return own.map_or_else(Vec::new, |(_, l)| l.blank.clone());
        }
        let whole = vec![self.subject.board.outline.clone()];
        let (Some(layout), Some(node)) = (self.subject.layout, step.node) else {
            return whole;
        };
        let Some(tree) = &layout.cuts else {
            return whole;
        };
        let all = Workpieces::of(tree, layout.frame, &self.subject.board.outline);
        all.get(node).map_or(whole, |piece| piece.wood())
    }

    /// Where the bubble stands: beyond an end of the line, else on a long one, where it hides no
    /// word; at the worst beyond its upper end over whatever is there.
    fn bubble_place(
        &self,
        line: Option<(Point, Point)>,
        step: &Step,
        (w, h): (f64, f64),
    ) -> (Point, Option<Point>) {
        let unit = self.unit;
        let Some((a, b)) = line else {
            return (self.origin.map(step.line[0]), None);
        };
        let (a, b) = (self.origin.map(a), self.origin.map(b));
        let length = a.distance(b).max(1e-9);
        let along = Point {
            x: (b.x - a.x) / length,
            y: (b.y - a.y) / length,
        };
        // Half the bubble's extent along the line.
        let half = (along.x * w / 2.0).abs() + (along.y * h / 2.0).abs();
        let beyond = [(a, -1.0), (b, 1.0)].into_iter().flat_map(|(end, sign)| {
            [0.6, 2.4, 5.0, 8.0].map(|gap| {
                let out = sign * (half + gap * unit);
                let middle = Point {
                    x: end.x + along.x * out,
                    y: end.y + along.y * out,
                };
                (middle, Some(end))
            })
        });
        // On a line that is short it would hide the line.
        let places: &[f64] = match length > 6.0 * half {
            true => &[0.5, 0.3, 0.7, 0.15, 0.85],
            false => &[],
        };
        let on_it = places.iter().map(|t| (a.towards(b, *t), None));
        beyond
            .chain(on_it)
            .find(|(middle, from)| {
                let room = &self.done.room;
                room.is_free(&around(*middle, w, h))
                    && from.is_none_or(|f| room.leader_is_free(f, *middle))
            })
            .unwrap_or_else(|| {
                let upper = if a.y < b.y { (a, -1.0) } else { (b, 1.0) };
                let out = upper.1 * (half + 0.6 * unit);
                let middle = Point {
                    x: upper.0.x + along.x * out,
                    y: upper.0.y + along.y * out,
                };
                (middle, Some(upper.0))
            })
    }
}
