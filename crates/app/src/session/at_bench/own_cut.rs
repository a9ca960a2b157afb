//! A cut that the plan does not hold: drawn over the floor, or measured from an end or edge.

use heartside_cutting::{Action, Step, board_words};
use heartside_cutting::{CutOtherwise, cut_otherwise};
use heartside_geometry::{Point, Vector, math};
use heartside_timber::document::BoardCopy;
use heartside_timber::job::{Board, Tool};
use heartside_timber::words::capital;

use super::asking::{Asked, Size, choice, typed};
use super::lines::{BoardLine, right_across, runs_along};
use crate::protocol::{Ask, Choice, FieldKind, Form, Outcome};
use crate::session::Session;
use heartside_cutting::is_scrap;

const BOARD: Asked = Asked {
    name: "board",
    group: "",
    label: "What is cut",
    hint: "",
};
const FROM: Asked = Asked {
    name: "from",
    group: "",
    label: "Measured from",
    hint: "",
};
const DISTANCE: Asked = Asked {
    name: "distance",
    group: "",
    label: "Distance",
    hint: "To the near side of the kerf: the piece is so long or wide. From an end it is measured along the right edge, from an edge at the start end.",
};
const OTHER: Asked = Asked {
    name: "other_distance",
    group: "",
    label: "At the other end of the line",
    hint: "Where the cut runs askew: the distance along the left edge, or at the far end.",
};
const ANGLE: Asked = Asked {
    name: "angle",
    group: "",
    label: "Angle off square",
    hint: "In degrees, counter-clockwise; nothing for a cut square to its end or along its edge.",
};
const TOOL: Asked = Asked {
    name: "tool",
    group: "",
    label: "Tool",
    hint: "",
};

/// Steeper against its own end or edge a cut is measured from the other.
const MOST_ANGLE: f64 = 80.0;

impl Session {
    pub(super) fn ask_for_a_cut(&self, ask: &Ask) -> Form {
        let found = self.own_line(ask);
        let on = match &found {
            Ok(line) => Some(line.board.clone()),
            Err(_) => self.cut_board(ask).ok(),
        };
        let mut board = BOARD.of(ask, self.boards_to_cut(ask));
        if let Some(on) = &on {
            board.text = format!("{}#{}", on.board, on.copy);
        }
        let ends = [
            ("start", "its start end"),
            ("far", "its far end"),
            ("right", "its right edge"),
            ("left", "its left edge"),
        ];
        let from = FROM.of(
            ask,
            ends.map(|(value, label)| choice(value, label)).to_vec(),
        );
        let mut angle = ANGLE.field(ask, FieldKind::Number);
        angle.problem = angle_of(ask).err();
        let mut fields = vec![
            board,
            from,
            self.length_field(ask, DISTANCE, Size::Some, None),
            angle,
            self.length_field(ask, OTHER, Size::Some, None),
        ];
        fields.push(TOOL.of(ask, self.tools_to_cut(ask)));
        let asked_yet = ask.line.is_some() || !typed(ask, DISTANCE.name).is_empty();
        Form {
            title: match &found {
                Ok(line) => format!("A cut {}", self.line_words(line)),
                Err(_) => "A cut of your own".to_owned(),
            },
            fields,
            problems: found.err().into_iter().filter(|_| asked_yet).collect(),
            ..Form::default()
        }
    }

    /// Makes a cut of one's own: its pieces lie there, and the plan is fitted to them.
    pub(super) fn cut_line(&mut self, ask: &Ask) -> Outcome {
        let line = match self.own_line(ask) {
            Ok(line) => line,
            Err(why) => return Outcome::refused(why),
        };
        let along = runs_along(line.ends[1] - line.ends[0]);
        let tool = self.tool_of(ask, along);
        let cut = CutOtherwise {
            line: line.ends,
            kerf: self.kerf_of(tool),
            tool: tool.map(|t| t.name.clone()).unwrap_or_default(),
            board: line.board,
        };
        let edit = match cut_otherwise(&self.document, &self.job, &cut) {
            Ok(edit) => edit,
            Err(refused) => return Outcome::refused(refused.to_string()),
        };
        let before = self.standing();
        let number = self.document.done.len() + 1;
        let done = self.do_at_bench(edit, true, |session, after, job| {
            let cut = after.done.last();
            let words = cut.map(|cut| session.cut_into_words(after, job, cut));
            format!("cut {number} of your own: {}", words.unwrap_or_default())
        });
        match done {
            Ok(label) => {
                self.changed_from = Some(before);
                self.said_after_change(&capital(&label))
            }
            Err(why) => Outcome::refused(why),
        }
    }

    /// The line that was measured, else the one that was drawn.
    pub(super) fn own_line(&self, ask: &Ask) -> Result<BoardLine, String> {
        let line = match (&ask.line, typed(ask, DISTANCE.name)) {
            (Some(line), "") => {
                let named = ask.board.as_ref().map(BoardCopy::from);
                self.line_over(&self.lying(), line, named.as_ref(), false)?
            }
            _ => self.measured_line(ask)?,
        };
        match self.why_not_cut_further(&line.board) {
            Some(why) => Err(why),
            None => Ok(line),
        }
    }

    fn measured_line(&self, ask: &Ask) -> Result<BoardLine, String> {
        let copy = self.cut_board(ask)?;
        let missing = || "say how far from its end or edge the cut runs".to_owned();
        let distance = self
            .length_of(ask, DISTANCE, Size::Some)?
            .ok_or_else(missing)?;
        let other = self.length_of(ask, OTHER, Size::Some)?;
        let angle = angle_of(ask)?;
        let board = self.job.board(&copy.board).ok_or(crate::words::GONE)?;
        let from = MeasuredFrom::of(typed(ask, FROM.name));
        let kerf = self.kerf_of(self.tool_of(ask, from.is_edge()));
        let ends = from.line(board, distance, other, angle, kerf);
        let ends = right_across(&board.outline, ends).ok_or_else(|| {
            let words = board_words(&self.job, &copy);
            format!("the line misses {words}: it is not so long or wide there")
        })?;
        Ok(BoardLine {
            board: copy,
            ends,
            snapped: false,
        })
    }

    /// The board that is to be cut: the one typed, else the one named, else the first there is.
    fn cut_board(&self, ask: &Ask) -> Result<BoardCopy, String> {
        let text = typed(ask, BOARD.name);
        if let Some((id, copy)) = text.rsplit_once('#')
            && let Ok(copy) = copy.parse()
        {
            return Ok(BoardCopy {
                board: id.to_owned(),
                copy,
            });
        }
        if ask.board.is_some() {
            return self.asked_board(ask);
        }
        // The wood that lies at the saw is the likeliest.
        let steps = self.judged.iter().flat_map(|j| &j.steps);
        let is_next = |s: &&Step| s.is_ready() && s.action != Action::Resaw;
        let at_saw = steps.into_iter().find(is_next);
        let first = at_saw.map(|step| step.board.clone());
        first
            .or_else(|| self.copies_to_cut().into_iter().next())
            .ok_or_else(|| "there is no board to cut".to_owned())
    }

    /// But for what nobody keeps: that is cut by drawing over it.
    fn copies_to_cut(&self) -> Vec<BoardCopy> {
        let plan = self.document.plan.as_ref();
        let mut copies = self.job.board_copies();
        copies.retain(|c| {
            let board = self.job.board(&c.board);
            board.is_some_and(|b| !b.is_in_hand() && !is_scrap(&self.job, plan, b))
        });
        copies
    }

    fn boards_to_cut(&self, ask: &Ask) -> Vec<Choice> {
        let mut copies = self.copies_to_cut();
        copies.extend(self.cut_board(ask).ok().filter(|own| !copies.contains(own)));
        let of = |c: &BoardCopy| {
            let value = format!("{}#{}", c.board, c.copy);
            choice(&value, &board_words(&self.job, c))
        };
        copies.iter().map(of).collect()
    }

    fn tools_to_cut(&self, ask: &Ask) -> Vec<Choice> {
        let along = MeasuredFrom::of(typed(ask, FROM.name)).is_edge();
        let tools = self.job.workshop.tools.iter();
        let cuts = tools.filter(|t| if along { t.rips } else { t.crosscuts });
        let mut choices: Vec<Choice> = cuts.map(|t| choice(&t.name, &t.name)).collect();
        choices.push(choice("", "by hand"));
        choices
    }

    fn tool_of(&self, ask: &Ask, along: bool) -> Option<&Tool> {
        let name = typed(ask, TOOL.name);
        let asked = ask.answers.iter().any(|a| a.name == TOOL.name);
        let mut tools = self.job.workshop.tools.iter();
        match asked {
            true => tools.find(|t| t.name == name),
            false => tools.find(|t| if along { t.rips } else { t.crosscuts }),
        }
    }

    /// The kerf of a tool; of a saw in the hand as of lines that are sawn.
    fn kerf_of(&self, tool: Option<&Tool>) -> f64 {
        tool.map_or(self.job.workshop.sawn_kerf, |t| t.kerf)
    }

    /// The kerf of a cut of one's own before a tool is chosen.
    pub(super) fn kerf_of_own(&self, along: bool) -> f64 {
        self.kerf_of(self.tool_of(&Ask::default(), along))
    }
}

/// Where a cut is measured from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum MeasuredFrom {
    Start,
    Far,
    Right,
    Left,
}

impl MeasuredFrom {
    fn of(text: &str) -> MeasuredFrom {
        match text {
            "far" => MeasuredFrom::Far,
            "right" => MeasuredFrom::Right,
            "left" => MeasuredFrom::Left,
            _ => MeasuredFrom::Start,
        }
    }

    fn is_edge(self) -> bool {
        matches!(self, MeasuredFrom::Right | MeasuredFrom::Left)
    }

    /// Two points of the middle of the kerf: at the right edge and beyond the left one, or at the
    /// start end and beyond the far one.
    fn line(
        self,
        board: &Board,
        distance: f64,
        other: Option<f64>,
        angle: f64,
        kerf: f64,
    ) -> [Point; 2] {
        let bounds = board.outline.bounds();
        let at = |distance: f64| {
            let distance = distance + kerf / 2.0;
            match self {
                MeasuredFrom::Start => Point {
                    x: bounds.min.x + distance,
                    ..bounds.min
                },
                MeasuredFrom::Far => Point {
                    x: bounds.max.x - distance,
                    ..bounds.min
                },
                MeasuredFrom::Right => Point {
                    y: bounds.min.y + distance,
                    ..bounds.min
                },
                MeasuredFrom::Left => Point {
                    y: bounds.max.y - distance,
                    ..bounds.min
                },
            }
        };
        let first = at(distance);
        let across = if self.is_edge() {
            Vector::new(bounds.width(), 0.0)
        } else {
            Vector::new(0.0, bounds.height())
        };
        if let Some(other) = other {
            return [first, at(other) + across];
        }
        let (sin, cos) = math::sin_cos_deg(angle);
        let turned = Vector::new(
            across.x * cos - across.y * sin,
            across.x * sin + across.y * cos,
        );
        [first, first + turned]
    }
}

fn angle_of(ask: &Ask) -> Result<f64, String> {
    let text = typed(ask, ANGLE.name).trim_end_matches('\u{b0}').trim();
    if text.is_empty() {
        return Ok(0.0);
    }
    let figures = text
        .chars()
        .all(|c| c.is_ascii_digit() || "+-.,".contains(c));
    let read = text.replace(',', ".").parse::<f64>();
    match read.ok().filter(|a| figures && a.is_finite()) {
        Some(angle) if angle.abs() <= MOST_ANGLE => Ok(angle),
        Some(_) => Err(format!(
            "an angle off square is at most {MOST_ANGLE} degrees: measure from an edge instead of an end, or the other way round"
        )),
        None => Err(format!(
            "\u{201c}{text}\u{201d} is not an angle: write degrees in figures"
        )),
    }
}
