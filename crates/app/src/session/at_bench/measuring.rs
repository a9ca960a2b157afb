//! A piece as it is by tape: sizes, edges that sprang, warp, and flaws found or gone.

use heartside_cutting::{Bend, Measured, WidthAt, measured};
use heartside_cutting::{board_words, zone_words};
use heartside_geometry::Point;
use heartside_timber::document::{
    BoardCopy, BoardEnd, Document, FixingMaterial, GapOver, Hand, Length, Twist, Warp, Zone,
    ZoneFrom, ZoneKind, ZoneShape,
};
use heartside_timber::edit::{Edit, RowEdit, apply};
use heartside_timber::job::{Board, EdgeKind};
use heartside_timber::length::write_dimension;
use heartside_timber::words::capital;

use super::asking::{Asked, Size, choice, typed};
use super::lines::right_across;
use crate::protocol::{Ask, Field, FieldPlace, Form, Outcome};
use crate::session::Session;

const SIZES: &str = "Sizes";
const EDGES: &str = "Edges";
const WARP: &str = "Warp";
const FLAWS: &str = "Flaws";

const fn asked(
    name: &'static str,
    group: &'static str,
    label: &'static str,
    hint: &'static str,
) -> Asked {
    Asked {
        name,
        group,
        label,
        hint,
    }
}

const LENGTH: Asked = asked("length", SIZES, "Length", "");
const WIDTHS: [(Asked, f64); 3] = [
    (asked("width_start", SIZES, "Width at the start", ""), 0.0),
    (asked("width_middle", SIZES, "Width in the middle", ""), 0.5),
    (asked("width_end", SIZES, "Width at the far end", ""), 1.0),
];
const THICKNESS: Asked = asked("thickness", SIZES, "Thickness", "Where it is thinnest.");
/// Each edge: how it is, and the gap.
const BENDS: [(Hand, Asked, Asked); 2] = [
    (
        Hand::Right,
        asked("right_edge", EDGES, "Right edge", ""),
        asked("right_gap", EDGES, "Greatest gap there", GAP),
    ),
    (
        Hand::Left,
        asked("left_edge", EDGES, "Left edge", ""),
        asked("left_gap", EDGES, "Greatest gap there", GAP),
    ),
];
const GAP: &str = "Between the edge and a straight edge or a taut string from end to end.";
const CUP: Asked = asked(
    "cup",
    WARP,
    "Hollow across",
    "The gap under a straight edge laid across.",
);
const BOW: Asked = asked(
    "bow",
    WARP,
    "Hollow along",
    "The gap under a straight edge laid along.",
);
const TWIST: Asked = asked("twist", WARP, "Twist", "How far one corner lifts.");
const FOUND: Asked = asked("found", FLAWS, "Came to light", "");
const BEGINS: Asked = asked(
    "begins",
    FLAWS,
    "It begins",
    "From the start end of this piece.",
);
const ENDS: Asked = asked(
    "ends",
    FLAWS,
    "It ends",
    "From the start end of this piece.",
);
const NEAR: Asked = asked("near", FLAWS, "From the right edge", "");
const FAR: Asked = asked("far", FLAWS, "to", "");
const GONE: Asked = asked("gone", FLAWS, "Is not there after all", "");
const END: Asked = asked(
    "measured_from_end",
    SIZES,
    "Length is measured from",
    "That end lies where it was planned, and the other moves.",
);
const EDGE: Asked = asked(
    "measured_from_edge",
    SIZES,
    "Width is measured from",
    "That edge lies where it was planned, and the other moves.",
);

/// A note that nobody can type.
const NOT_THERE: &str = "\0";

/// A place of a flaw that is not measured reaches over all of it.
const WHAT_CAME_TO_LIGHT: [(&str, &str); 5] = [
    ("", "nothing"),
    ("defect", "a knot, split or other flaw"),
    ("wood", "a dowel or loose tenon"),
    ("metal", "a screw or nail"),
    ("sapwood", "sapwood"),
];

impl Session {
    pub(super) fn ask_to_measure(&self, ask: &Ask) -> Form {
        let found = self.asked_board(ask);
        let board = found.as_ref().ok().and_then(|of| self.job.board(&of.board));
        let (Ok(of), Some(board)) = (&found, board) else {
            return Form {
                title: "Measure".to_owned(),
                problems: found.err().into_iter().collect(),
                ..Form::default()
            };
        };
        let bounds = board.outline.bounds();
        let size = |asked, kind, empty| self.length_field(ask, asked, kind, empty);
        let mut fields = vec![size(LENGTH, Size::Some, Some(bounds.width()))];
        for (asked, share) in WIDTHS {
            fields.push(size(asked, Size::Some, width_at(board, share)));
        }
        fields.push(size(THICKNESS, Size::Some, Some(board.thickness)));
        for (_, edge, gap) in BENDS {
            let ways = [("", "as it was"), ("hollow", "hollow"), ("round", "round")];
            fields.push(edge.of(ask, ways.map(|(v, l)| choice(v, l)).to_vec()));
            if !typed(ask, edge.name).is_empty() {
                fields.push(size(gap, Size::Some, None));
            }
        }
        for gap in [CUP, BOW, TWIST] {
            fields.push(size(gap, Size::OrNothing, None));
        }
        let lights = WHAT_CAME_TO_LIGHT.map(|(v, l)| choice(v, l)).to_vec();
        fields.push(FOUND.of(ask, lights));
        if !typed(ask, FOUND.name).is_empty() {
            fields.extend([BEGINS, ENDS, NEAR, FAR].map(|a| size(a, Size::OrNothing, None)));
        }
        fields.extend(self.gone_field(ask, board));
        let from_end = [("start", "the start end"), ("far", "the far end")];
        let from_edge = [("right", "the right edge"), ("left", "the left edge")];
        let mut edge = EDGE.of(ask, from_edge.map(|(v, l)| choice(v, l)).to_vec());
        if typed(ask, EDGE.name).is_empty() && staying_edge(board) == Hand::Left {
            edge.text = "left".to_owned();
        }
        for mut field in [
            END.of(ask, from_end.map(|(v, l)| choice(v, l)).to_vec()),
            edge,
        ] {
            field.place = FieldPlace::Details;
            fields.push(field);
        }
        Form {
            title: format!("Measure {}", self.measured_name(of)),
            fields,
            ..Form::default()
        }
    }

    /// Which marked area is not there after all; none where nothing is marked.
    fn gone_field(&self, ask: &Ask, board: &Board) -> Option<Field> {
        let start = board.outline.bounds().min.x;
        let zones = board.zones.iter().map(|zone| {
            // One that reaches beyond the piece begins with it.
            let begins = (zone.shape.bounds().min.x - start).max(0.0);
            let from = write_dimension(begins, &self.job.units);
            choice(
                &zone.index.to_string(),
                &format!("{} from {from} on", zone_words(zone)),
            )
        });
        let zones: Vec<_> = zones.collect();
        (!zones.is_empty()).then(|| {
            let none = std::iter::once(choice("", "nothing"));
            GONE.of(ask, none.chain(zones).collect())
        })
    }

    /// "C3", or the part whose blank the piece is.
    fn measured_name(&self, of: &BoardCopy) -> String {
        let mut rows = self.document.boards.iter();
        match rows.find(|b| b.id == of.board) {
            Some(piece) if piece.from.is_some() => self.piece_name(piece),
            _ => board_words(&self.job, of),
        }
    }

    /// Writes down a piece as it was measured: one step. What was measured wins over what was planned.
    pub(super) fn measure(&mut self, ask: &Ask) -> Outcome {
        let edit = self.measuring(ask);
        let (of, edit) = match edit {
            Ok(found) => found,
            Err(why) => return Outcome::refused(why),
        };
        let name = self.measured_name(&of);
        let before = self.standing();
        match self.do_at_bench(edit, true, |_, _, _| format!("measuring {name}")) {
            Ok(_) => {
                self.changed_from = Some(before);
                let show = |mm: f64| write_dimension(mm, &self.job.units);
                let size = self.job.board(&of.board).map(|b| {
                    let bounds = b.outline.bounds();
                    let (along, across) = (show(bounds.width()), show(bounds.height()));
                    format!(": {along} \u{d7} {across} \u{d7} {}", show(b.thickness))
                });
                let said = format!("{name} measured{}", size.unwrap_or_default());
                self.said_after_change(&capital(&said))
            }
            Err(why) => Outcome::refused(why),
        }
    }

    fn measuring(&self, ask: &Ask) -> Result<(BoardCopy, Edit), String> {
        let of = self.asked_board(ask)?;
        let board = self.job.board(&of.board).ok_or(crate::words::GONE)?;
        if board.copies().all(|there| there != of.copy) {
            let words = board_words(&self.job, &of);
            return Err(format!("{words} was cut already: measure its pieces"));
        }
        let what = self.what_was_measured(ask, board)?;
        let marked = self.with_gone_marked(ask, &of);
        let edit = match what == unmeasured(&what) {
            true => Edit::Many(Vec::new()),
            false => {
                let done = measured(&marked, &self.job, &of, &what);
                done.map_err(|refused| refused.to_string())?
            }
        };
        let edit = self.with_flaws(marked, ask, &of, edit)?;
        if edit == Edit::Many(Vec::new()) {
            return Err("nothing was measured yet: fill in what you measured".to_owned());
        }
        Ok((of, edit))
    }

    fn what_was_measured(&self, ask: &Ask, board: &Board) -> Result<Measured, String> {
        let size = |asked| self.length_of(ask, asked, Size::Some);
        let length = size(LENGTH)?;
        let long = length.unwrap_or(board.outline.bounds().width());
        let mut what = Measured {
            length,
            stays: match typed(ask, END.name) {
                "far" => BoardEnd::Far,
                _ => BoardEnd::Start,
            },
            edge: match typed(ask, EDGE.name) {
                "left" => Hand::Left,
                "right" => Hand::Right,
                _ => staying_edge(board),
            },
            ..Measured::default()
        };
        for (asked, share) in WIDTHS {
            let width = size(asked)?;
            what.widths.extend(width.map(|width| WidthAt {
                at: share * long,
                width,
            }));
        }
        if let Some(mm) = size(THICKNESS)? {
            what.thickness = Some(Length::Mm(mm));
        }
        for (edge, way, gap) in BENDS {
            let sign = match typed(ask, way.name) {
                "hollow" => 1.0,
                "round" => -1.0,
                _ => continue,
            };
            let gap = size(gap)?;
            let gap = gap.ok_or_else(|| format!("{}: say by how much", way.label))?;
            what.bends.push(Bend {
                edge,
                gap: sign * gap,
            });
        }
        what.warp = self.warp_measured(ask, &board.id)?;
        Ok(what)
    }

    /// The warp with what was measured of it anew.
    fn warp_measured(&self, ask: &Ask, board: &str) -> Result<Option<Warp>, String> {
        let gap = |asked| self.length_of(ask, asked, Size::OrNothing);
        let (cup, bow, twist) = (gap(CUP)?, gap(BOW)?, gap(TWIST)?);
        if cup.or(bow).or(twist).is_none() {
            return Ok(None);
        }
        let over = |gap: f64| GapOver {
            gap: Length::Mm(gap),
            over: None,
        };
        let mut rows = self.document.boards.iter();
        let known = rows.find(|b| b.id == board).and_then(|b| b.warp.clone());
        let mut warp = known.unwrap_or_default();
        warp.cup = cup.map(over).or(warp.cup);
        warp.bow = bow.map(over).or(warp.bow);
        let twist = twist.map(|lift| Twist {
            lift: Length::Mm(lift),
            over_length: None,
            over_width: None,
        });
        warp.twist = twist.or(warp.twist);
        Ok(Some(warp))
    }

    /// The same edit, of a document in which what is gone is marked, with what came to light on the
    /// piece and without what is not there after all.
    fn with_flaws(
        &self,
        mut marked: Document,
        ask: &Ask,
        of: &BoardCopy,
        edit: Edit,
    ) -> Result<Edit, String> {
        let found = self.flaw_found(ask, of)?;
        if found.is_none() && marked == self.document {
            return Ok(edit);
        }
        apply(&mut marked, edit).map_err(|e| e.to_string())?;
        let row = marked.boards.iter().position(|b| b.id == of.board);
        let row = row.ok_or(crate::words::GONE)?;
        let mut piece = marked.boards.swap_remove(row);
        piece.zones.retain(|zone| zone.note != NOT_THERE);
        piece.zones.extend(found);
        Ok(Edit::Board(RowEdit::put(row, piece)))
    }

    /// The document, in which the marked area that is not there after all can be told from others
    /// that are like it.
    fn with_gone_marked(&self, ask: &Ask, of: &BoardCopy) -> Document {
        let mut marked = self.document.clone();
        let row = marked.boards.iter().position(|b| b.id == of.board);
        let gone = typed(ask, GONE.name).parse::<usize>().ok();
        let zone = row.zip(gone);
        let zone = zone.and_then(|(row, k)| marked.boards[row].zones.get_mut(k));
        if let Some(zone) = zone {
            NOT_THERE.clone_into(&mut zone.note);
        }
        marked
    }

    fn flaw_found(&self, ask: &Ask, of: &BoardCopy) -> Result<Option<Zone>, String> {
        let (kind, material, note) = match typed(ask, FOUND.name) {
            "defect" => (ZoneKind::Defect, FixingMaterial::Unknown, "flaw"),
            "wood" => (ZoneKind::Fixing, FixingMaterial::Wood, "dowel"),
            "metal" => (ZoneKind::Fixing, FixingMaterial::Metal, "screw"),
            "sapwood" => (ZoneKind::Sapwood, FixingMaterial::Unknown, ""),
            _ => return Ok(None),
        };
        let place = |asked: Asked| {
            let mm = self.length_of(ask, asked, Size::OrNothing)?;
            mm.ok_or_else(|| format!("{}: say where the flaw lies", asked.label))
        };
        let (begins, ends) = (place(BEGINS)?, place(ENDS)?);
        let (near, far) = (place(NEAR)?, place(FAR)?);
        if ends <= begins || far <= near {
            return Err("a flaw ends further on than it begins".to_owned());
        }
        let size = self.job.board(&of.board).map(|b| b.outline.bounds());
        if let Some(size) = size.filter(|s| begins >= s.width() || near >= s.height()) {
            let name = self.measured_name(of);
            let [long, wide] =
                [size.width(), size.height()].map(|mm| write_dimension(mm, &self.job.units));
            return Err(format!(
                "the flaw would not lie on {name}, which is {long} \u{d7} {wide}: measure from this piece's own start end and right edge"
            ));
        }
        Ok(Some(Zone {
            kind,
            material,
            note: note.to_owned(),
            shape: Some(ZoneShape::Span {
                oval: kind != ZoneKind::Sapwood,
                end: BoardEnd::Start,
                begins: Length::Mm(begins),
                ends: Length::Mm(ends),
                edge: ZoneFrom::RightEdge,
                near: Length::Mm(near),
                far: Length::Mm(far),
            }),
            ..Zone::default()
        }))
    }
}

/// The same with nothing measured.
fn unmeasured(what: &Measured) -> Measured {
    Measured {
        stays: what.stays,
        edge: what.edge,
        ..Measured::default()
    }
}

/// The width of a board across its length at a share of it, a hair inside its ends.
fn width_at(board: &Board, share: f64) -> Option<f64> {
    let bounds = board.outline.bounds();
    let inset = (bounds.width() * 1e-3).min(0.5);
    let x = bounds.min.x + (share * bounds.width()).clamp(inset, bounds.width() - inset);
    let up = [0.0, 1.0].map(|y| Point { x, y });
    let [a, b] = right_across(&board.outline, up)?;
    Some(a.distance(b))
}

/// The edge that a width is measured from: the true one where only one is, else the right one.
fn staying_edge(board: &Board) -> Hand {
    let edges = board.outline.edges().zip(&board.sides);
    let mut straight = [0.0_f64; 2];
    for ((a, b), side) in edges {
        if side.kind == EdgeKind::Straight && !side.is_end {
            // The wood lies to the left of a side.
            straight[usize::from(b.x < a.x)] += a.distance(b);
        }
    }
    match straight[1] > straight[0] {
        true => Hand::Left,
        false => Hand::Right,
    }
}
