//! The chalk name of a piece of a cut board, on its wood; of a blank in hand the part's name.

use crate::fitting::{Wording, around};
use crate::laid::TYPE;
use crate::left_pieces::spots;
use crate::pen::Words;
use crate::room::Taken;
use crate::scene::Scene;
use crate::text::{LINE, text_width};
use crate::title::in_hand_name;

impl Scene<'_> {
    /// Writes it where nothing else stands, else beside the piece.
    pub(crate) fn chalk_name(&mut self) {
        let board = self.subject.board;
        if board.from.is_none() {
            return;
        }
        let part = in_hand_name(self.subject.job, board);
        let is_in_hand = part.is_some();
        let (bounds, least) = (board.outline.bounds(), self.subject.job.workshop.min_offcut);
        let is_small = bounds.width() < least.0 || bounds.height() < least.1;
        let layout = self.subject.layout;
        if is_small && !is_in_hand && layout.is_none_or(|l| l.placements.is_empty()) {
            // Nobody chalks a name on waste.
            return;
        }
        let name = part.unwrap_or_else(|| board.id.clone());
        let (large, small) = (TYPE.name * self.unit, TYPE.size * self.unit);
        let mut lines = vec![(name.clone(), "hs-name", large)];
        if is_in_hand {
            lines.push(("in hand".to_owned(), "hs-quiet", small));
        }
        let widths = lines.iter().map(|(t, _, size)| text_width(t, *size));
        let w = widths.fold(0.0, f64::max);
        let h: f64 = lines.iter().map(|(_, _, size)| LINE * size).sum();
        let room = &self.done.room;
        let place = spots(&board.outline, w, h)
            .map(|p| self.origin.map(p))
            .find(|middle| room.is_clear(&around(*middle, w, h)));
        let mut pen = self.pen();
        if let Some(middle) = place {
            self.done.room.take(Taken::Label, around(middle, w, h));
            let mut top = middle.y - h / 2.0;
            for (text, class, size) in lines {
                let at = heartside_geometry::Point {
                    x: middle.x,
                    y: top + LINE * size / 2.0,
                };
                top += LINE * size;
                let words = Words::new(text, class, at, size);
                pen.words(&words.haloed(0.9 * self.unit, "hs-halo-wood"));
            }
            self.done.labels.push_str(&pen.out);
            return;
        }
        let target = self.free_target(&board.outline);
        let mut runs = vec![(name, "hs-name")];
        if is_in_hand {
            runs.push(("  in hand".to_owned(), "hs-quiet"));
        }
        let wording = Wording {
            lines: vec![(runs, small)],
        };
        match self.call_out(&wording, target, "hs-leader") {
            Some(svg) => self.done.labels.push_str(&svg),
            None => self.done.left_out += 1,
        }
    }
}
