//! Copies that must lie together as one blank: what a match makes of its parts, for searches and for
//! what is said before planning.
//!
//! Of grain that runs on the blanks lie in a row, one kerf apart, so that the row is a rectangle that
//! lies like any other part. Where members differ in width they lie flush on one side, or so far from it that a
//! saw can take the strip off, and always so that the narrower of two neighbours lies within the wider.
//! Leaves lie one below the other in a blank as thick as all of them, with the kerfs of resawing and what is
//! planed off each face.

use heartside_geometry::{Bounds, Point, Pose, Region};

use crate::blank::{Blank, greatest_finished_thickness};
use crate::job::{
    Allowances, Board, Composed, Faces, Form, GrainRule, Job, Match, MatchKind, Part, PartCopy,
    PartCut,
};
use crate::plan::Placed;

/// Copies that lie together as one blank.
#[derive(Debug, Clone, PartialEq)]
pub struct Composite {
    /// The blank as a part, counted once. Its frame is that of the members, none of which is turned in it.
    pub part: Part,
    /// What lies in it, in order.
    pub members: Vec<Member>,
    /// How they go together.
    pub kind: MatchKind,
    /// The kerf between neighbours, in millimetres.
    pub kerf: f64,
}

/// One of the copies.
#[derive(Debug, Clone, PartialEq)]
pub struct Member {
    /// Which.
    pub copy: PartCopy,
    /// Where its origin lies in the blank's frame.
    pub at: Point,
    /// It lies the other way up than the blank.
    pub over: bool,
    /// Which leaf it is, from 1 at the board's up face; none for members side by side.
    pub leaf: Option<u32>,
}

/// Why copies cannot lie together, whatever the boards.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Odd {
    /// No wood is accepted by all of them.
    Species,
    /// Their grain would have to run different ways.
    Grain,
    /// Leaves of one blank must be of one size and thickness.
    Unlike,
    /// Every other leaf is turned over, and one of these may not be.
    Turned,
    /// A copy is not in the job.
    Unknown,
}

/// What saws take where a blank is cut apart, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Saw {
    /// The kerf between neighbours.
    pub kerf: f64,
    /// The narrowest strip that can be taken off beside a narrower member.
    pub strip: f64,
}

impl Composite {
    /// The row of a match along which the grain runs on: from end to end or side by side.
    ///
    /// # Errors
    /// Why its copies cannot lie in a row.
    pub fn run(
        job: &Job,
        kind: MatchKind,
        copies: &[PartCopy],
        saw: Saw,
    ) -> Result<Composite, Odd> {
        let parts: Option<Vec<&Part>> = copies.iter().map(|c| job.part(&c.part)).collect();
        let parts = parts.filter(|p| !p.is_empty()).ok_or(Odd::Unknown)?;
        let across = kind == MatchKind::ContinuousAcross;
        let boxes: Vec<Bounds> = parts.iter().map(|p| Blank::of(p).bounds()).collect();
        let rows: Vec<InRow> = parts
            .iter()
            .zip(&boxes)
            .map(|(part, blank)| InRow::of(part, blank, across))
            .collect();
        let (sides, breadth) = beside_each_other(&rows, saw.strip);
        let mut members = Vec::with_capacity(copies.len());
        let mut reached = 0.0;
        for ((copy, blank), (row, side)) in copies.iter().zip(&boxes).zip(rows.iter().zip(&sides)) {
            let corner = if across {
                Point::new(*side, reached)
            } else {
                Point::new(reached, *side)
            };
            members.push(Member {
                copy: copy.clone(),
                at: Point::new(corner.x - blank.min.x, corner.y - blank.min.y),
                over: false,
                leaf: None,
            });
            reached += row.length + saw.kerf;
        }
        let length = reached - saw.kerf;
        let size = if across {
            (breadth, length)
        } else {
            (length, breadth)
        };
        let (part, members) = composed(&parts, &boxes, size, members)?;
        Ok(Composite {
            part,
            members,
            kind,
            kerf: saw.kerf,
        })
    }

    /// The blank that is resawn into the leaves of a match: slipped, all the same way up; opened like a
    /// book, the first, third and so on turned over, so that neighbours show what the saw parted.
    ///
    /// # Errors
    /// Why its copies cannot be leaves of one blank.
    pub fn leaves(job: &Job, kind: MatchKind, copies: &[PartCopy]) -> Result<Composite, Odd> {
        let parts: Option<Vec<&Part>> = copies.iter().map(|c| job.part(&c.part)).collect();
        let parts = parts.filter(|p| !p.is_empty()).ok_or(Odd::Unknown)?;
        let boxes: Vec<Bounds> = parts.iter().map(|p| Blank::of(p).bounds()).collect();
        let (first, size) = (parts[0], boxes[0]);
        let same = |a: f64, b: f64| (a - b).abs() <= SAME;
        let alike = parts.iter().zip(&boxes).all(|(part, blank)| {
            same(part.thickness, first.thickness)
                && same(blank.width(), size.width())
                && same(blank.height(), size.height())
        });
        if !alike {
            return Err(Odd::Unlike);
        }
        let is_book = kind == MatchKind::Book;
        let mut members = Vec::with_capacity(copies.len());
        for ((copy, blank), number) in copies.iter().zip(&boxes).zip(1u32..) {
            let over = is_book && number % 2 == 1;
            if over && !parts[members.len()].may_turn_over {
                return Err(Odd::Turned);
            }
            members.push(Member {
                copy: copy.clone(),
                at: Point::new(-blank.min.x, if over { blank.max.y } else { -blank.min.y }),
                over,
                leaf: Some(number),
            });
        }
        let (part, members) = composed(&parts, &boxes, (size.width(), size.height()), members)?;
        let seen = |f: Faces| matches!(f, Faces::Both | Faces::One);
        let part = Part {
            thickness: leaves_thickness(job, &parts),
            // What lies on the outside of one leaf may lie on the inside of the next.
            faces: match parts.iter().any(|p| seen(p.faces)) {
                true => Faces::Both,
                false => part.faces,
            },
            may_turn_over: part.may_turn_over && !is_book,
            composed: part.composed.map(|held| Composed {
                leaf: first.thickness,
                ..held
            }),
            ..part
        };
        Ok(Composite {
            part,
            members,
            kind,
            kerf: 0.0,
        })
    }

    /// How the members lie where the blank lies at a place and is cut apart with this kerf, which may be
    /// narrower than its own: what is left over then lies at its far end.
    pub fn members_at(&self, blank: &Placed, kerf: f64) -> Vec<Placed> {
        let pose = Pose::from(*blank);
        let members = self.members.iter().zip(0u32..);
        let places = members.map(|(member, number)| {
            let mut at = member.at;
            let closer = f64::from(number) * (self.kerf - kerf);
            match self.kind {
                MatchKind::ContinuousAcross => at.y -= closer,
                _ => at.x -= closer,
            }
            let at = pose.apply(at);
            Placed {
                x: at.x,
                y: at.y,
                turn: blank.turn,
                turned_over: blank.turned_over != member.over,
            }
        });
        places.collect()
    }

    /// Where the blank lies whose member lies at a place.
    pub fn around(&self, member: &Member, at: &Placed) -> Placed {
        let turned_over = at.turned_over != member.over;
        let about = Pose {
            x: 0.0,
            y: 0.0,
            turn: at.turn,
            turned_over,
        };
        let origin = about.apply(member.at);
        Placed {
            x: at.x - origin.x,
            y: at.y - origin.y,
            turn: at.turn,
            turned_over,
        }
    }
}

/// The finished thickness that a board must yield for leaves: theirs, a kerf between neighbours, and what
/// is planed off both faces that the saw parted. What comes off the outer faces goes by the board.
pub fn leaves_thickness(job: &Job, parts: &[&Part]) -> f64 {
    let all: f64 = parts.iter().map(|p| p.thickness).sum();
    let Some(first) = parts.first() else {
        return all;
    };
    let blank = Blank::of(first).bounds();
    let (length, width) = resawn_extents(&blank);
    let kerf = job.workshop.resaw_kerf_for(length, width);
    let between = parts
        .windows(2)
        .map(|two| kerf + two[0].allowances.clean_up + two[1].allowances.clean_up);
    all + between.sum::<f64>()
}

/// How thick each leaf comes off the saw, in millimetres, one of its faces planed and the other as sawn:
/// finished thickness, clean-up, and its share of what a board has to spare over the extents of the blank
/// along and across it. Flattened on the up face, and on the fresh face after every cut, a blank gives all
/// of them by one setting of the fence; the last one still has the board's raw down face besides.
pub fn leaves_as_sawn(
    job: &Job,
    board: &Board,
    parts: &[&Part],
    (along, across): (f64, f64),
) -> Vec<f64> {
    let spare = parts.first().map_or(0.0, |first| {
        greatest_finished_thickness(board, &first.allowances, along, across)
            - leaves_thickness(job, parts)
    });
    let share = spare.max(0.0) / parts.len().max(1) as f64;
    let leaves = parts.iter();
    leaves
        .map(|p| p.thickness + p.allowances.clean_up + share)
        .collect()
}

/// A blank's length and width as it stands at the blade: on its longer edge.
pub fn resawn_extents(blank: &Bounds) -> (f64, f64) {
    let (a, b) = (blank.width(), blank.height());
    (a.max(b), a.min(b))
}

/// The copies of a match that are leaves of one blank.
pub fn is_of_leaves(wanted: &Match) -> bool {
    matches!(wanted.kind, MatchKind::Slip | MatchKind::Book)
}

/// The copies of a match whose grain runs on.
pub fn is_run(wanted: &Match) -> bool {
    matches!(
        wanted.kind,
        MatchKind::ContinuousAlong | MatchKind::ContinuousAcross
    )
}

/// A blank in its row.
#[derive(Debug, Clone, Copy)]
struct InRow {
    /// Its extent along the row.
    length: f64,
    /// Its extent across the row.
    breadth: f64,
    /// Across the row, from the blank's side to the finished part's, on both sides.
    inset: (f64, f64),
}

impl InRow {
    fn of(part: &Part, blank: &Bounds, across: bool) -> InRow {
        let finished = part.outline.bounds();
        let inset_x = (finished.min.x - blank.min.x, blank.max.x - finished.max.x);
        let inset_y = (finished.min.y - blank.min.y, blank.max.y - finished.max.y);
        if across {
            InRow {
                length: blank.height(),
                breadth: blank.width(),
                inset: inset_x,
            }
        } else {
            InRow {
                length: blank.width(),
                breadth: blank.height(),
                inset: inset_y,
            }
        }
    }

    fn finished(&self, side: f64) -> (f64, f64) {
        (side + self.inset.0, side + self.breadth - self.inset.1)
    }
}

/// How far two spans may miss each other, in millimetres: sums in another order.
const SAME: f64 = 1e-6;

/// The narrower of the two lies within the wider.
fn is_within(a: (f64, f64), b: (f64, f64)) -> bool {
    let (narrow, wide) = if a.1 - a.0 <= b.1 - b.0 {
        (a, b)
    } else {
        (b, a)
    };
    narrow.0 >= wide.0 - SAME && narrow.1 <= wide.1 + SAME
}

/// Where each blank's low side lies across the row, and the breadth of the row.
fn beside_each_other(rows: &[InRow], strip: f64) -> (Vec<f64>, f64) {
    let breadth = rows.iter().map(|r| r.breadth).fold(0.0, f64::max);
    let can_be_taken_off = |width: f64| width <= SAME || width >= strip - SAME;
    // For each blank the places that it may have, and which of the one before goes with it.
    let mut places: Vec<Vec<(f64, usize)>> = Vec::with_capacity(rows.len());
    for (k, row) in rows.iter().enumerate() {
        let rest = breadth - row.breadth;
        let tried = [0.0, rest, 0.5 * rest, strip, rest - strip];
        let may_be = |side: &f64| {
            *side >= 0.0
                && *side <= rest + SAME
                && can_be_taken_off(*side)
                && can_be_taken_off(rest - side)
        };
        let here = tried.into_iter().filter(may_be).filter_map(|side| {
            let Some(before) = k.checked_sub(1) else {
                return Some((side, 0));
            };
            let mut known = places[before].iter();
            let goes = known.position(|(other, _)| {
                is_within(row.finished(side), rows[before].finished(*other))
            });
            goes.map(|place| (side, place))
        });
        let here: Vec<(f64, usize)> = here.collect();
        places.push(here);
    }
    let mut sides = Vec::with_capacity(rows.len());
    let mut chosen = 0;
    for here in places.iter().rev() {
        let Some((side, before)) = here.get(chosen) else {
            return with_strips_round(rows, strip);
        };
        sides.push(*side);
        chosen = *before;
    }
    sides.reverse();
    (sides, breadth)
}

/// All finished parts flush on one side, and a strip to be taken off on both sides of each.
fn with_strips_round(rows: &[InRow], strip: f64) -> (Vec<f64>, f64) {
    let widest = rows.iter().map(|r| r.inset.0).fold(0.0, f64::max);
    let side = |row: &InRow| strip + widest - row.inset.0;
    let reach = rows.iter().map(|r| side(r) + r.breadth);
    let breadth = reach.fold(0.0, f64::max) + strip;
    (rows.iter().map(side).collect(), breadth)
}

/// The blank as a part. Where members differ it asks for the most that one of them does.
fn composed(
    parts: &[&Part],
    boxes: &[Bounds],
    (along, across): (f64, f64),
    members: Vec<Member>,
) -> Result<(Part, Vec<Member>), Odd> {
    let least =
        |of: &dyn Fn(&Part) -> f64| parts.iter().map(|p| of(p)).fold(f64::INFINITY, f64::min);
    let around = |part: &Part, own: f64| match part.cut {
        PartCut::Straight => own,
        PartCut::Sawn => part.allowances.sawn,
    };
    let allowances = Allowances {
        end: least(&|p| around(p, p.allowances.end)),
        edge: least(&|p| around(p, p.allowances.edge)),
        sawn: 0.0,
        planing: least(&|p| p.allowances.planing),
        clean_up: least(&|p| p.allowances.clean_up),
    };
    let thickness = parts.iter().map(|p| {
        let planing = p.allowances.planing - allowances.planing;
        let clean_up = p.allowances.clean_up - allowances.clean_up;
        p.thickness + 2.0 * planing.max(clean_up)
    });
    // The blank's frame has its finished corner at the origin, as every part's.
    let (end, edge) = (allowances.end, allowances.edge);
    let members = members.into_iter().map(|m| Member {
        at: Point::new(m.at.x - end, m.at.y - edge),
        ..m
    });
    let finished = Bounds::of_size(along - 2.0 * end, across - 2.0 * edge);
    let extent = |of: fn(&Bounds) -> f64| boxes.iter().map(of).fold(0.0, f64::max);
    let part = Part {
        id: String::new(),
        name: String::new(),
        count: 1,
        species: species(parts)?,
        outline: Region::rectangle(finished).ok_or(Odd::Unknown)?,
        form: Form::Rectangle,
        tenon: (0.0, 0.0),
        thickness: thickness.fold(0.0, f64::max),
        grain: grain(parts)?,
        faces: faces(parts),
        may_turn_over: parts.iter().all(|p| p.may_turn_over),
        allowances,
        fixing_ok: false,
        cut: PartCut::Straight,
        priority: parts.iter().map(|p| p.priority).min().unwrap_or(1),
        value: parts.iter().map(|p| p.value).sum(),
        in_hand: Vec::new(),
        stave: None,
        composed: Some(Composed {
            weight: parts.iter().map(|p| p.weight()).sum(),
            flattened: (extent(Bounds::width), extent(Bounds::height)),
            leaf: f64::INFINITY,
        }),
    };
    Ok((part, members.collect()))
}

fn species(parts: &[&Part]) -> Result<Vec<String>, Odd> {
    let mut named = parts.iter().filter(|p| !p.species.is_empty());
    let Some(first) = named.next() else {
        return Ok(Vec::new());
    };
    let mut accepted = first.species.clone();
    for part in named {
        accepted.retain(|s| part.species.contains(s));
    }
    if accepted.is_empty() {
        return Err(Odd::Species);
    }
    Ok(accepted)
}

fn grain(parts: &[&Part]) -> Result<GrainRule, Odd> {
    let mut rule = GrainRule::Any;
    for part in parts {
        rule = match (rule, &part.grain) {
            (GrainRule::Any, other) => other.clone(),
            (rule, GrainRule::Any) => rule,
            (
                GrainRule::Axis { across, tolerance },
                GrainRule::Axis {
                    across: other,
                    tolerance: least,
                },
            ) if across == *other => GrainRule::Axis {
                across,
                tolerance: tolerance.min(*least),
            },
            (GrainRule::Turns(turns), GrainRule::Turns(others)) => {
                let both: Vec<f64> = turns.into_iter().filter(|t| others.contains(t)).collect();
                if both.is_empty() {
                    return Err(Odd::Grain);
                }
                GrainRule::Turns(both)
            }
            _ => return Err(Odd::Grain),
        };
    }
    Ok(rule)
}

/// What all faces that are seen or painted ask for together.
fn faces(parts: &[&Part]) -> Faces {
    let mut faces = parts.iter().map(|p| p.faces);
    let first = faces.next().unwrap_or(Faces::Hidden);
    faces.fold(first, |so_far, next| match (so_far, next) {
        (a, b) if a == b => a,
        (Faces::Hidden, other) | (other, Faces::Hidden) => other,
        _ => Faces::Both,
    })
}
