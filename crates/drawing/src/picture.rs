//! One board with everything on it: the single scene that screen, export and print share.

use heartside_cutting::{Datum, Step};
use heartside_geometry::{Arrange, Point};
use heartside_timber::document::{EdgeKind, PartCopy, ZoneFace};
use heartside_timber::job::Zone;

use crate::blanks;
use crate::figure_overlay;
use crate::fitting::Wording;
use crate::inscription::{Inscription, inscribe};
use crate::laid::{Laid, TYPE};
use crate::left_pieces::keep_corners;
use crate::lineage::photos_of;
use crate::pen::Pen;

use crate::room::{Room, Taken};
use crate::scene::{Look, Outside, Picture, Scene, Subject};
use crate::svg::Origin;
use crate::wood;
use crate::zones::{self, Sign};

/// Draws one board. `unit` is how many millimetres of the drawing are one on paper.
pub(crate) fn picture(subject: Subject, look: Look, origin: Origin, unit: f64) -> Picture {
    let steps: Vec<&Step> = subject
        .steps
        .iter()
        .filter(|s| s.board == *subject.copy)
        .collect();
    let mut room = Room::with_strips(10.0 * unit);
    room.least_type = look.least_type;
    let mut scene = Scene {
        subject,
        steps,
        look,
        origin,
        unit,
        datum: Datum::of(subject.board),
        on_photo: !photos_of(subject.job, subject.board, origin.turned_over).is_empty(),
        done: Picture {
            room,
            ..Picture::default()
        },
        refused: 0,
        called_out: 0,
    };
    for other in subject.others {
        scene.done.room.take(Taken::Other, *other);
    }
    scene.run();
    scene.done
}

impl Scene<'_> {
    fn run(&mut self) {
        let laid = self.laid();
        self.ground(&laid);
        self.take_zones();
        self.datum_words();
        let inscribed: Vec<Inscription> = laid.iter().map(|(_, l)| self.inscribe(l)).collect();
        for (_, l) in &laid {
            for piece in &l.blank {
                let bounds = self.drawn(piece.bounds());
                let small = bounds.width().min(bounds.height()) < 5.0 * self.unit;
                let what = if small { Taken::Small } else { Taken::Body };
                self.done.room.take(what, bounds);
            }
        }
        if self.look.cuts {
            self.cuts(&laid);
        }
        if !self.subject.board.is_in_hand() {
            self.zone_words();
        }
        self.chalk_name();
        self.offcut_words();
        if self.look.cuts {
            self.region_words();
        }
        self.parts(&laid, inscribed);
        if self.look.dimensions {
            self.along(&laid);
        }
        self.notes();
        self.chosen_cut(&laid);
    }

    fn laid(&self) -> Vec<(usize, Laid)> {
        let Some(layout) = self.subject.layout else {
            return Vec::new();
        };
        let pinned = |part: &PartCopy| {
            self.subject
                .job
                .pins
                .iter()
                .any(|p| p.part == *part && p.board == *self.subject.copy)
        };
        layout
            .placements
            .iter()
            .enumerate()
            .filter_map(|(place, p)| {
                Laid::of(self.subject.job, p, pinned(&p.part_copy())).map(|l| (place, l))
            })
            .collect()
    }

    fn ground(&mut self, laid: &[(usize, Laid)]) {
        let mut pen = self.pen();
        let board = self.subject.board;
        let whole = self.board_box();
        self.done.room.take(Taken::Ground, whole);
        if board.is_in_hand() {
            wood::draw_quietly(&mut pen, board, self.origin);
            let held = board.from.as_ref().and_then(|from| from.holds.as_ref());
            let held = held.and_then(|p| Laid::of(self.subject.job, p, false));
            if let Some(laid) = held {
                let finished = self.origin.region(&laid.finished);
                pen.path("hs-faint", &finished, 0.17, &[1.1, 0.8]);
            }
            self.done.ground = pen.out;
            return;
        }
        wood::draw(&mut pen, self.subject.job, board, self.origin);
        if self.look.figure {
            figure_overlay::draw(&mut pen, self.subject.job, board, self.origin);
        }
        let kinds: Vec<_> = board.sides.iter().map(|s| s.kind).collect();
        if kinds.contains(&EdgeKind::Raw) {
            self.sign(Sign::Raw);
        }
        if kinds.contains(&EdgeKind::Straight) {
            self.sign(Sign::Straight);
        }
        for zone in zones::of(board, true) {
            self.zone(&mut pen, zone);
        }
        for (_, offcut, _) in self.offcuts() {
            let corners: String = offcut
                .iter()
                .map(|r| self.origin.lines(&keep_corners(r, self.unit)))
                .collect();
            pen.path("hs-pencil", &corners, 0.28, &[]);
            self.sign(Sign::Offcut);
        }
        if self.look.dimensions {
            // Drawn under the parts: the lines show in the gaps and vanish under blanks.
            let foot = board.outline.bounds().min.y;
            let mut lines = Vec::new();
            for (_, l) in laid {
                let bounds = l.bounds();
                for x in [bounds.min.x, bounds.max.x] {
                    lines.push((Point { x, y: bounds.min.y }, Point { x, y: foot }));
                }
            }
            pen.path("hs-faint", &self.origin.lines(&lines), 0.11, &[0.5, 0.6]);
        }
        self.done.ground = pen.out;
    }

    fn zone(&mut self, pen: &mut Pen, zone: &Zone) {
        pen.open("", "hs-a-zone", &zones::words(zone), "");
        zones::draw(pen, zone, self.origin);
        pen.close();
        self.sign(zones::sign(zone.kind));
        if zone.face == ZoneFace::Down {
            self.sign(Sign::Underneath);
        }
        if zone.margin > 0.0 {
            self.sign(Sign::Margin);
        }
    }

    fn take_zones(&mut self) {
        let board = self.subject.board;
        if board.is_in_hand() {
            return;
        }
        let mut pen = self.pen();
        for zone in zones::of(board, false) {
            self.zone(&mut pen, zone);
            let reach = self.drawn(zones::reach(zone, self.unit));
            // A number would hide a knot wholly; of a long strip it hides little.
            let small = reach.width().max(reach.height()) < 14.0 * self.unit;
            let what = if small { Taken::Small } else { Taken::Body };
            self.done.room.take(what, reach);
        }
        self.done.zones = pen.out;
    }

    fn inscribe(&mut self, laid: &Laid) -> Inscription {
        if laid.is_beneath {
            return Inscription::default();
        }
        let short = self.look.outside != Outside::Free;
        let marking = self
            .look
            .dimensions
            .then_some((&self.datum, &self.subject.board.outline));
        inscribe(
            laid,
            self.subject.job,
            marking,
            short,
            self.origin,
            &mut self.done.room,
            self.unit,
        )
    }

    fn parts(&mut self, laid: &[(usize, Laid)], inscribed: Vec<Inscription>) {
        let mut outside = Vec::new();
        for ((place, l), inscription) in laid.iter().zip(inscribed) {
            let mut pen = self.pen();
            let mut used = Vec::new();
            let selected = self.subject.selected.contains(&l.part);
            blanks::draw(
                &mut pen,
                l,
                &inscription,
                self.origin,
                selected,
                self.look.dimensions,
                &mut |s| used.push(s),
            );
            self.done.signs.extend(used);
            let has_rest = inscription.label.is_empty() || inscription.across_outside.is_some();
            if has_rest && !l.is_beneath {
                let mut runs = if inscription.label.is_empty() {
                    l.one_line()
                } else {
                    vec![(l.name.clone(), "hs-name")]
                };
                if let Some(across) = &inscription.across_outside {
                    runs.push((format!("  {across}"), "hs-dim"));
                }
                let size = TYPE.size * self.unit;
                let target = self.free_target(l.body());
                outside.push((
                    self.done.parts.len(),
                    Wording {
                        lines: vec![(runs, size)],
                    },
                    target,
                ));
            }
            self.done
                .parts
                .push((*place, l.part.clone(), l.title(), pen.out));
        }
        // From left to right, so that leaders do not cross more than they must.
        outside.arrange_by(|a, b| a.2.x.total_cmp(&b.2.x));
        for (place, wording, target) in outside {
            match self.call_out(&wording, target, "hs-leader") {
                Some(svg) => self.done.parts[place].3.push_str(&svg),
                None => self.done.left_out += 1,
            }
        }
    }
}
