//! The words of marked areas: on them, beside them, else outside the board.

use heartside_geometry::{Arrange, Point};
use heartside_timber::job::Zone;

use crate::fitting::{Wording, around, is_within};
use crate::laid::TYPE;
use crate::pen::Words;
use crate::room::Taken;
use crate::scene::Scene;
use crate::text::{LINE, text_width};
use crate::zones;

impl Scene<'_> {
    pub(crate) fn zone_words(&mut self) {
        let mut pen = self.pen();
        let unit = self.unit;
        let size = TYPE.zone * unit;
        let board = self.subject.board;
        for zone in &board.zones {
            let words = zones::words(zone);
            let (w, h) = (text_width(&words, size), LINE * size);
            let reach = zones::reach(zone, unit);
            let middle = reach.centre();
            let gap = 0.7 * unit;
            let (left, right) = (reach.min.x - gap - w / 2.0, reach.max.x + gap + w / 2.0);
            let (below, above) = (reach.min.y - gap - h / 2.0, reach.max.y + gap + h / 2.0);
            let beside = [
                (right, middle.y),
                (left, middle.y),
                (middle.x, above),
                (middle.x, below),
            ];
            let in_the_wood = |p: &Point| is_within(&board.outline, &around(*p, w, h));
            // A long strip bears its word on itself, wherever it is not covered; where the strip
            // is narrower than the word is high, the word stands over its inner side.
            let own = zone.shape.bounds();
            let inwards = (board.outline.bounds().centre().y - own.centre().y).signum();
            let along_it: Vec<Point> = if own.width() > 3.0 * w {
                [0.0, 0.5, 1.0]
                    .into_iter()
                    .flat_map(|lift| {
                        (1..24).map(move |k| {
                            let x = own.min.x + own.width() * f64::from(k) / 24.0;
                            let y = strip_middle(zone, x) + lift * h * inwards;
                            Point { x, y }
                        })
                    })
                    .filter(in_the_wood)
                    .map(|p| self.origin.map(p))
                    .collect()
            } else {
                Vec::new()
            };
            let free = |m: &Point| self.done.room.is_clear(&around(*m, w, h));
            let beside = beside.map(|(x, y)| Point { x, y });
            let beside = beside.iter().filter(|p| in_the_wood(p));
            let found = along_it
                .into_iter()
                .find(&free)
                .or_else(|| beside.map(|p| self.origin.map(*p)).find(&free));
            match found {
                Some(middle) => {
                    let words = Words::new(words, "hs-zone-word", middle, size)
                        .haloed(0.9 * unit, "hs-halo-wood");
                    self.done.room.take(Taken::Label, words.bounds());
                    pen.words(&words);
                }
                None if !self.may_call_out() => self.done.left_out += 1,
                None => {
                    let target = self.free_target(&zone.shape);
                    let wording = Wording {
                        lines: vec![(vec![(words, "hs-zone-word")], size)],
                    };
                    match self.call_out(&wording, target, "hs-leader") {
                        Some(svg) => pen.out.push_str(&svg),
                        None => self.done.left_out += 1,
                    }
                }
            }
        }
        self.done.zones.push_str(&pen.out);
    }
}

/// The middle across of a strip at one x.
fn strip_middle(zone: &Zone, x: f64) -> f64 {
    let mut crossings: Vec<f64> = zone
        .shape
        .edges()
        .filter(|(a, b)| (a.x > x) != (b.x > x))
        .map(|(a, b)| a.y + (x - a.x) / (b.x - a.x) * (b.y - a.y))
        .collect();
    crossings.arrange_by(f64::total_cmp);
    match crossings.as_slice() {
        [a, b, ..] => (a + b) / 2.0,
        _ => zone.shape.bounds().centre().y,
    }
}
