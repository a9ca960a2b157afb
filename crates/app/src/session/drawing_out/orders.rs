//! What is done to a drawing without a pointer: lines finished, points walked to, moved and taken away.

use heartside_geometry::Vector;

use super::line::What;
use super::sketch::{Place, Sketch};

impl Sketch {
    /// Closes the line that is being drawn, as a step.
    pub(super) fn finish(&mut self) {
        self.step(Sketch::close);
    }

    /// The next point begins another line.
    pub(super) fn another(&mut self) {
        self.finish();
        self.figure.chosen = None;
        self.begins = self.open_line().is_none();
    }

    /// Takes the chosen point away, or the last of the line that is being drawn; a line of too few goes too.
    pub(super) fn remove(&mut self) {
        self.step(|sketch| {
            let last = |l: usize| (l, sketch.figure.lines[l].nodes.len().saturating_sub(1));
            let Some((l, k)) = sketch
                .figure
                .chosen
                .or_else(|| sketch.open_line().map(last))
            else {
                return;
            };
            let line = &mut sketch.figure.lines[l];
            let least = match (line.finished, sketch.what) {
                (false, _) => 1,
                (true, What::Grain) => 2,
                (true, _) => 3,
            };
            sketch.figure.chosen = None;
            if line.oval || line.nodes.len() <= least {
                sketch.figure.lines.remove(l);
                return;
            }
            line.nodes.remove(k);
            let n = line.nodes.len();
            let before = &mut line.nodes[(k + n - 1) % n];
            before.bow = 0.0;
            before.stroke.clear();
            if !line.finished {
                sketch.figure.chosen = Some((l, n - 1));
            }
        });
    }

    /// Takes the whole line of the chosen point away; all of them where none is chosen.
    pub(super) fn remove_line(&mut self) {
        self.step(|sketch| {
            let figure = &mut sketch.figure;
            match figure.chosen.take() {
                Some((l, _)) => {
                    figure.lines.remove(l);
                }
                None => figure.lines.clear(),
            }
        });
    }

    /// Goes on to the next point, or back to the one before, over all lines.
    pub(super) fn walk(&mut self, back: bool) {
        self.give_up();
        let lines = self.figure.lines.iter().enumerate();
        let all: Vec<Place> = lines
            .flat_map(|(l, line)| (0..line.nodes.len()).map(move |k| (l, k)))
            .collect();
        let n = all.len();
        if n == 0 {
            return;
        }
        let here = all.iter().position(|p| Some(*p) == self.figure.chosen);
        let next = match (here, back) {
            (None, false) => 0,
            (None, true) => n - 1,
            (Some(k), false) => (k + 1) % n,
            (Some(k), true) => (k + n - 1) % n,
        };
        self.figure.chosen = Some(all[next]);
    }

    /// Moves the chosen point by so many millimetres.
    pub(super) fn nudge(&mut self, by: Vector) {
        self.give_up();
        self.told = None;
        let Some((l, k)) = self.figure.chosen else {
            return;
        };
        let before = self.figure.clone();
        self.move_to((l, k), before.lines[l].nodes[k].at + by);
        if self.nudged != Some((l, k)) {
            self.stepped(before);
            self.nudged = Some((l, k));
        }
    }
}
