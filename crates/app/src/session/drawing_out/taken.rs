//! A drawing is taken: its lines become what the job keeps, as one edit.

use heartside_geometry::{Point, PreparedRegion, Side, interiors_disjoint, protrusion};
use heartside_timber::document::{
    BoardGrain, BoardOutline, EdgeKind, Length, Zone, ZoneFrom, ZoneShape,
};

use super::drawing::{Drawing, Target};
use super::line::{Corner, Line, What};
use super::sound::{Sound, sound};
use crate::protocol::{DrawOrder, Outcome, Thing, ThingKind};
use crate::session::editing::zones::put_where_it_lay;
use crate::session::marking::described;
use crate::session::{Change, Session};

const CHANGED: &str =
    "what you draw was changed elsewhere meanwhile: leave the drawing and begin anew";

impl Session {
    /// Takes the drawing into the job: one step to undo. Where something is wrong with it, it goes on.
    pub fn take_drawing(&mut self) -> Outcome {
        let Some(drawing) = &self.drawing else {
            return Outcome::refused("nothing is being drawn");
        };
        if drawing.sketch.open_line().is_some() {
            self.draw_order(DrawOrder::Close);
        }
        let Some(drawing) = self.drawing.clone() else {
            return Outcome::default();
        };
        if drawing.sketch.open_line().is_some() {
            return Outcome::refused(drawing.sketch.told.unwrap_or_default());
        }
        match self.taken(&drawing) {
            Ok(outcome) => {
                self.drawing = None;
                outcome
            }
            Err(why) => Outcome::refused(why),
        }
    }

    fn taken(&mut self, drawing: &Drawing) -> Result<Outcome, String> {
        let Drawing {
            sketch,
            on,
            target,
            before,
        } = drawing;
        let lines = &sketch.figure.lines;
        let row = self.document.boards.iter().position(|b| b.id == on.board);
        let row = row.ok_or(CHANGED)?;
        if lines == before {
            return Ok(Outcome::done().saying("Nothing was changed."));
        }
        let owner = Thing::row(ThingKind::Board, row);
        let called = self.called(&owner);
        let mut after = self.document.clone();
        let board = &mut after.boards[row];
        let mut thing = owner;
        let mut told = "";
        let label = match target {
            Target::Outline(was) => {
                if board.outline != *was {
                    return Err(CHANGED.to_owned());
                }
                let Sound { rings, .. } = sound(What::Wood, lines).map_err(|f| f.sentence)?;
                board.outline = Some(outline(rings));
                format!("drawing the outline of {called}")
            }
            Target::Grain(was) => {
                if board.grain != *was {
                    return Err(CHANGED.to_owned());
                }
                board.grain = grain(was.as_ref(), lines);
                format!("drawing the grain of {called}")
            }
            Target::NewArea(_) | Target::Area(..) => {
                let Sound { mut rings, region } =
                    sound(What::Area, lines).map_err(|f| f.sentence)?;
                let wood = self.job.board(&board.id).ok_or(CHANGED)?;
                let start = wood.outline.bounds().min.x;
                told = beside(
                    PreparedRegion::new(region),
                    &PreparedRegion::new(wood.outline.clone()),
                )?;
                let at = match target {
                    Target::Area(at, was) => {
                        let there = board.zones.get(*at).is_some_and(|z| z.shape == *was);
                        if !there {
                            return Err(CHANGED.to_owned());
                        }
                        *at
                    }
                    _ => {
                        let mark = match target {
                            Target::NewArea(mark) => *mark,
                            _ => None,
                        };
                        let (kind, note) = mark.map(described).unwrap_or_default();
                        board.zones.push(Zone {
                            kind,
                            note: note.to_owned(),
                            ..Zone::default()
                        });
                        board.zones.len() - 1
                    }
                };
                let zone = &mut board.zones[at];
                thing = Thing::inner(ThingKind::Zone, row, at);
                match lines.iter().find_map(Line::oval_box) {
                    Some(around) => {
                        let by_tape = matches!(
                            zone.shape,
                            Some(ZoneShape::Spot { .. } | ZoneShape::Span { .. })
                        );
                        if !by_tape {
                            zone.shape = Some(spot());
                        }
                        put_where_it_lay(zone, &(around, start));
                    }
                    None => {
                        zone.shape = Some(ZoneShape::Polygon {
                            points: kept(rings.remove(0)),
                        });
                    }
                }
                format!("drawing a marked area of {called}")
            }
        };
        let prepared = self.with_all_usable(&after)?;
        self.commit_prepared(&label, after, Change::Job, prepared);
        Ok(Outcome::done()
            .saying(format!("Drawn on {called}.{told}"))
            .with_thing(thing))
    }
}

/// A drawn place in millimetres, to a thousandth.
fn kept_mm(mm: f64) -> f64 {
    (mm * 1000.0).round() / 1000.0
}

fn kept(corners: Vec<Corner>) -> Vec<[Length; 2]> {
    let kept = |(at, _, typed): Corner| {
        typed.unwrap_or_else(|| [at.x, at.y].map(|mm| Length::Mm(kept_mm(mm))))
    };
    corners.into_iter().map(kept).collect()
}

fn outline(rings: Vec<Vec<Corner>>) -> BoardOutline {
    let kinds =
        |ring: &Vec<Corner>| -> Vec<EdgeKind> { ring.iter().map(|(_, kind, _)| *kind).collect() };
    let mut all: Vec<Vec<EdgeKind>> = rings.iter().map(kinds).collect();
    let mut points: Vec<Vec<[Length; 2]>> = rings.into_iter().map(kept).collect();
    let (sides, points_outside) = (all.remove(0), points.remove(0));
    // A hole is raw where nothing is said.
    if all.iter().flatten().all(|kind| *kind == EdgeKind::Raw) {
        all.clear();
    }
    BoardOutline::Polygon {
        points: points_outside,
        sides,
        holes: points,
        hole_sides: all,
    }
}

fn grain(was: Option<&BoardGrain>, lines: &[Line]) -> Option<BoardGrain> {
    let mut grain = was.cloned().unwrap_or_default();
    let kept = |at: Point| [at.x, at.y].map(kept_mm);
    let of_line = |line: &Line| {
        line.points(What::Grain, Side::Inside)
            .into_iter()
            .map(kept)
            .collect()
    };
    grain.lines = lines.iter().map(of_line).collect();
    let is_plain = grain == BoardGrain::default();
    (!is_plain || was.is_some()).then_some(grain)
}

/// What is to be known of an area that reaches beyond the board; refused where none of it is on the board.
fn beside(area: PreparedRegion, board: &PreparedRegion) -> Result<&'static str, String> {
    if interiors_disjoint(&area, board, 0.0) {
        return Err("The area lies beside the board: draw it on the wood.".to_owned());
    }
    Ok(match protrusion(&area, board).amount > -0.01 {
        true => "",
        false => " It reaches beyond the edge: what is not wood does not count.",
    })
}

/// An oval, still to be laid.
fn spot() -> ZoneShape {
    let zero = || Length::Mm(0.0);
    ZoneShape::Spot {
        oval: true,
        along: zero(),
        across: zero(),
        from: ZoneFrom::ChalkLine,
        length: zero(),
        width: zero(),
    }
}
