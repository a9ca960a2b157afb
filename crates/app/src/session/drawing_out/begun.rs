//! A drawing is begun with what is there already.

use heartside_geometry::Point;
use heartside_timber::document::{BoardOutline, EdgeKind, Length, ZoneShape};
use heartside_timber::job::{Board, Zone};

use super::drawing::{Drawing, Target};
use super::line::{Line, Node, What};
use super::sketch::Sketch;
use crate::protocol::{DrawWay, DrawWhat, MarkKind, Outcome, Thing, ThingKind};
use crate::session::Session;

const NO_BOARD: &str = "this board is not there any more";
const GONE: &str = "this marked area is not there any more";
const WORKED_OUT: &str = "a corner is worked out from a formula: change it in the form";

impl Session {
    /// Begins to draw: on a board, or the marked area that is named.
    pub fn draw(&mut self, thing: &Thing, what: DrawWhat, mark: Option<MarkKind>) -> Outcome {
        match self.drawing_of(thing, what, mark) {
            Ok(drawing) => {
                self.put_down();
                self.drawing = Some(drawing);
                Outcome::done()
            }
            Err(why) => Outcome::refused(why),
        }
    }

    fn drawing_of(
        &self,
        thing: &Thing,
        what: DrawWhat,
        mark: Option<MarkKind>,
    ) -> Result<Drawing, String> {
        let typed = self.document.boards.get(thing.at()).ok_or(NO_BOARD)?;
        let id = &typed.id;
        let lying = self.lying();
        let on = lying.iter().find(|b| b.board.board == *id);
        let board = self.sound_board(thing.at(), typed);
        let (Some(board), Some(on)) = (board, on) else {
            return Err(match board {
                Some(_) => format!("board {id} is cut up: draw on its pieces"),
                None => format!(
                    "board {id} cannot be shown yet: mend its sizes first, or give it a plain length and width"
                ),
            });
        };
        if let Some(why) = self.marked_too_late(ThingKind::Zone, Some(thing)) {
            return Err(why);
        }
        let area = Some(thing).filter(|t| t.kind == ThingKind::Zone);
        let (target, drawn, lines) = match (what, area) {
            (DrawWhat::Outline, _) => {
                let is_cut = self.document.done.iter().any(|cut| cut.board == *id);
                if is_cut || typed.from.is_some() {
                    return Err(format!(
                        "{id} was cut: measure what is left of it at the bench"
                    ));
                }
                let lines = outline(typed.outline.as_ref(), board)?;
                (Target::Outline(typed.outline.clone()), What::Wood, lines)
            }
            (DrawWhat::Grain, _) => {
                let lines = typed.grain.iter().flat_map(|g| &g.lines);
                let lines =
                    lines.map(|line| Line::through(line.iter().map(|[x, y]| Point::new(*x, *y))));
                (
                    Target::Grain(typed.grain.clone()),
                    What::Grain,
                    lines.collect(),
                )
            }
            (DrawWhat::Area, None) => (Target::NewArea(mark), What::Area, Vec::new()),
            (DrawWhat::Area, Some(thing)) => {
                let shape = typed.zones.get(thing.within()).ok_or(GONE)?.shape.clone();
                let zone = board
                    .zones
                    .iter()
                    .find(|z| z.index == thing.within())
                    .ok_or(GONE)?;
                let line = area_line(shape.as_ref(), zone)?;
                (Target::Area(thing.within(), shape), What::Area, vec![line])
            }
        };
        let mut sketch = Sketch::new(drawn, lines.clone(), self.job.units.unit);
        if matches!(
            target,
            Target::NewArea(None | Some(MarkKind::Knot | MarkKind::Fixing))
        ) {
            sketch.way = DrawWay::Oval;
        }
        Ok(Drawing {
            sketch,
            on: on.board.clone(),
            target,
            before: lines,
        })
    }
}

fn outline(typed: Option<&BoardOutline>, board: &Board) -> Result<Vec<Line>, String> {
    if let Some(BoardOutline::Polygon {
        points,
        sides,
        holes,
        hole_sides,
    }) = typed
    {
        let mut lines = vec![typed_line(points, sides)?];
        for (k, hole) in holes.iter().enumerate() {
            let sides = hole_sides.get(k).map_or(&[][..], Vec::as_slice);
            lines.push(typed_line(hole, sides)?);
        }
        return Ok(lines);
    }
    let mut kinds = board.sides.iter().map(|side| side.kind);
    let rings = board.outline.rings();
    Ok(rings
        .map(|ring| {
            let mut line = Line::through(ring.points().iter().copied());
            for node in &mut line.nodes {
                node.kind = kinds.next().unwrap_or_default();
            }
            line
        })
        .collect())
}

fn typed_line(points: &[[Length; 2]], sides: &[EdgeKind]) -> Result<Line, String> {
    let mut line = Line::through([]);
    for (k, corner) in points.iter().enumerate() {
        let [Some(x), Some(y)] = [corner[0].plain_mm(), corner[1].plain_mm()] else {
            return Err(WORKED_OUT.to_owned());
        };
        line.nodes.push(Node {
            kind: sides.get(k).copied().unwrap_or_default(),
            typed: Some(corner.clone()),
            ..Node::at(Point::new(x, y))
        });
    }
    Ok(line)
}

fn area_line(typed: Option<&ZoneShape>, zone: &Zone) -> Result<Line, String> {
    match typed {
        Some(ZoneShape::Polygon { points }) => typed_line(points, &[]),
        Some(ZoneShape::Spot { oval: true, .. } | ZoneShape::Span { oval: true, .. }) => {
            let around = zone.shape.bounds();
            Ok(Line::oval_between(around.min, around.max))
        }
        _ => Ok(Line::through(zone.shape.outer().points().iter().copied())),
    }
}
