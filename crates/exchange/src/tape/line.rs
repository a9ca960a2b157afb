//! The sizes of a line: length, widths along the board, thickness.

use heartside_timber::document::{BoardOutline, EdgeKind, Length, Station};
use heartside_timber::length::{LengthContext, Unit, read_length};

use super::Fault;
use super::reader::{Line, Size};
use super::scan::{Sign, Token};
use super::spacing::spaced_evenly;

enum Width {
    Whole(Size),
    Sides(Size, Size),
}

impl Width {
    fn first(&self) -> &Size {
        match self {
            Width::Whole(size) | Width::Sides(size, _) => size,
        }
    }
}

/// A width, and where along the board if that is said.
struct Measured {
    along: Option<Size>,
    width: Width,
}

impl Line {
    /// What stands before the first colon, with its column: unless words that take in everything
    /// after them came first.
    pub(super) fn mark(&mut self) -> Option<(usize, String)> {
        let tokens = &self.scanned.tokens;
        let colon = tokens.iter().position(|t| t.sign == Sign::Colon)?;
        let named = |t: &Token| {
            let word = self.scanned.text(*t).to_lowercase();
            t.sign == Sign::Word && (word == "called" || word == "of")
        };
        if tokens[..colon].iter().any(named) {
            return None;
        }
        let from = tokens[0].from;
        let mark = self.scanned.typed(from, tokens[colon].from);
        self.at = colon + 1;
        Some((self.scanned.column(from), mark.trim().to_owned()))
    }

    /// The outline and the thickness.
    pub(super) fn sizes(&mut self) -> Result<(BoardOutline, Length), Box<Fault>> {
        if self.is_at_end() {
            return Err(self.unfinished(
                "the length is missing",
                "a line begins with the length: 2680 x 128/110 131/110 27",
            ));
        }
        let length = self.size(LengthContext::Length, false)?;
        match self.sign(0) {
            Some(Sign::Times) => self.at += 1,
            Some(Sign::Number) => {
                return Err(self.fault(
                    "tape-x",
                    "an x is missing between the length and the widths",
                    "write 2680 x 140 27; within one size write no space (2680, not 2 680)",
                ));
            }
            _ => return Err(self.or_unfinished("the widths are missing", "write x and the widths")),
        }
        let (mut widths, after_x) = self.widths()?;
        if widths.is_empty() {
            let (message, hint) = (
                "the widths are missing",
                "after the x come the widths, and the thickness last: 2680 x 140 27",
            );
            return Err(match after_x {
                Some(_) => self.fault("tape-missing", message, hint),
                None => self.or_unfinished(message, hint),
            });
        }
        let thickness = match after_x {
            Some(thickness) => thickness,
            None => self.thickness_of(&mut widths)?,
        };
        let stations = self.stations(&length, widths)?;
        let outline = BoardOutline::Tape {
            length: length.length,
            stations,
            left: EdgeKind::default(),
            right: EdgeKind::default(),
            start: EdgeKind::default(),
            end: EdgeKind::default(),
        };
        Ok((outline, thickness))
    }

    /// What stands behind the sizes, as typed, and the column at which it begins.
    pub(super) fn rest(&self) -> (usize, String) {
        let end = self.scanned.plain.len();
        let from = self.token(0).map_or(end, |t| t.from);
        (self.scanned.column(from), self.scanned.typed(from, end))
    }

    /// Widths up to the thickness, and that where an x stands before it.
    fn widths(&mut self) -> Result<(Vec<Measured>, Option<Length>), Box<Fault>> {
        let mut widths: Vec<Measured> = Vec::new();
        let mut along = None;
        loop {
            match self.sign(0) {
                Some(Sign::Number) if self.is_count() => break,
                Some(Sign::Number) => {
                    let may_be_last = !widths.is_empty() && along.is_none() && self.ends_at(3);
                    let width = self.width(may_be_last)?;
                    let along = along.take();
                    widths.push(Measured { along, width });
                }
                Some(Sign::At) if along.is_none() => {
                    self.at += 1;
                    along = Some(self.size(LengthContext::Length, false)?);
                }
                Some(Sign::Times) => {
                    if let Some(fault) = self.count_or_thickness(widths.len()) {
                        return Err(fault);
                    }
                    self.at += 1;
                    let thickness = self.size(LengthContext::MeasuredThickness, true)?;
                    self.no_more_sizes(&along)?;
                    self.nothing_behind_thickness()?;
                    return Ok((widths, Some(thickness.length)));
                }
                // A taper may be written 140-120.
                Some(Sign::Hyphen) if self.sign(1) == Some(Sign::Number) && !widths.is_empty() => {
                    self.at += 1;
                }
                Some(Sign::Comma) => {
                    self.at += 1;
                    if matches!(self.sign(0), Some(Sign::Word)) || self.is_times_glued() {
                        break;
                    }
                }
                Some(Sign::Word) | None => break,
                Some(_) => {
                    let sign = self.token(0).map_or("", |t| self.scanned.text(t));
                    return Err(self.fault(
                        "tape-sign",
                        &format!("\u{201c}{sign}\u{201d} is not understood here"),
                        "write widths like 128/110 or 140, and the thickness last",
                    ));
                }
            }
        }
        self.no_more_sizes(&along)?;
        Ok((widths, None))
    }

    fn nothing_behind_thickness(&self) -> Result<(), Box<Fault>> {
        match self.sign(0) {
            None | Some(Sign::Word | Sign::Comma) => Ok(()),
            _ if self.is_count() || self.is_times_glued() => Ok(()),
            Some(_) => Err(self.fault(
                "tape-behind-thickness",
                "a size stands behind the thickness",
                "the thickness comes last; widths stand before its x, with @ and a place where needed",
            )),
        }
    }

    /// Whether the sizes end before the sign at `k`.
    fn ends_at(&self, k: usize) -> bool {
        match self.sign(k) {
            None | Some(Sign::Word) => true,
            Some(Sign::Number) => self.is_count_at(k),
            Some(Sign::Comma) => {
                matches!(self.sign(k + 1), None | Some(Sign::Word | Sign::Times))
            }
            Some(_) => false,
        }
    }

    /// A place along the board was given, and its width is not there.
    fn no_more_sizes(&self, along: &Option<Size>) -> Result<(), Box<Fault>> {
        match along {
            None => Ok(()),
            Some(_) => Err(self.or_unfinished(
                "the width at this place is missing",
                "after @ and the place comes the width there: @900 131/110",
            )),
        }
    }

    /// The last size, where it is a plain one: the thickness.
    fn thickness_of(&self, widths: &mut Vec<Measured>) -> Result<Length, Box<Fault>> {
        let missing = || {
            self.or_unfinished(
                "the thickness is missing",
                "write it last; where it is a fraction, or follows one, put an x before it: 8 x 3/4",
            )
        };
        match widths.pop() {
            Some(Measured {
                along: None,
                width: Width::Whole(size),
            }) if !widths.is_empty() => {
                // Read again as what it is: a thickness has rules of its own.
                self.read(size.from, size.to, LengthContext::MeasuredThickness)
                    .map(|size| size.length)
            }
            _ => Err(missing()),
        }
    }

    /// `128/110`, `128+110` or `140`. `may_be_last`: it may be the thickness.
    fn width(&mut self, may_be_last: bool) -> Result<Width, Box<Fault>> {
        let first = self.size(LengthContext::Length, may_be_last)?;
        match self.sign(0) {
            Some(Sign::Plus) => {
                self.at += 1;
                Ok(Width::Sides(first, self.size(LengthContext::Length, true)?))
            }
            Some(Sign::Slash) => {
                let slash = self.at;
                self.at += 1;
                let second = self.size(LengthContext::Length, true)?;
                let doubt = self.nominal(&first, &second, slash);
                if let Some(fault) = doubt.or_else(|| self.inches_of_one(&first, &second)) {
                    return Err(fault);
                }
                Ok(Width::Sides(first, second))
            }
            _ => Ok(Width::Whole(first)),
        }
    }

    /// `5/4"` in a job in millimetres: an inch and a quarter, more likely than 5 mm and 4 inches.
    fn inches_of_one(&self, first: &Size, second: &Size) -> Option<Box<Fault>> {
        let bare = |size: &Size| {
            let text = &self.scanned.plain[size.from..size.to];
            !text.contains(|c: char| c.is_alphabetic() || c == '"' || c == '\'')
        };
        let is_mixed = self.unit == Unit::Millimetres && bare(first) && !bare(second);
        is_mixed.then(|| {
            Fault::new(
                self.scanned.column(first.from),
                "tape-units",
                &format!(
                    "\u{201c}{}\u{201d} has a unit on one side only",
                    &self.scanned.plain[first.from..second.to]
                ),
                "write the unit on both sides of the slash, or a + between them",
            )
        })
    }

    /// `8/4` at the end of the sizes: what a board is sold as, and no thickness that was measured.
    fn nominal(&self, first: &Size, second: &Size, slash: usize) -> Option<Box<Fault>> {
        let over_four = self.scanned.text(*self.scanned.tokens.get(slash + 1)?) == "4"
            && self.scanned.plain[second.from..second.to].trim() == "4";
        let text = self.scanned.plain[first.from..second.to].to_owned();
        let is_last = !matches!(
            self.sign(0),
            Some(Sign::Number | Sign::At | Sign::Times | Sign::Comma)
        );
        (over_four && is_last).then(|| {
            let error = read_length(&text, Unit::Inches, LengthContext::MeasuredThickness).err();
            let hint = error.map_or_else(String::new, |e| format!("{}. ", e.hint()));
            Fault::new(
                self.scanned.column(first.from),
                "tape-nominal",
                &format!("\u{201c}{text}\u{201d} is a nominal size and not a thickness"),
                &format!(
                    "{hint}If it is a width, write {} with the thickness behind it",
                    text.replace('/', "+")
                ),
            )
        })
    }

    /// Widths at their places: those without one are spaced evenly between their neighbours.
    fn stations(&self, length: &Size, widths: Vec<Measured>) -> Result<Vec<Station>, Box<Fault>> {
        let last = widths.len() - 1;
        let mut places: Vec<Option<f64>> = widths
            .iter()
            .map(|w| w.along.as_ref().map(|a| a.mm))
            .collect();
        places[0].get_or_insert(0.0);
        if last > 0 {
            places[last].get_or_insert(length.mm);
        }
        let places = spaced_evenly(&places, self.unit);
        let mut stations: Vec<Station> = Vec::new();
        let mut before = None;
        for (measured, place) in widths.into_iter().zip(places) {
            let place_size = measured.along.as_ref().unwrap_or(measured.width.first());
            let column = self.scanned.column(place_size.from);
            if place > length.mm {
                return Err(Fault::new(
                    column,
                    "tape-beyond",
                    "this place lies beyond the end of the board",
                    "give a place within the length, or mend the length",
                ));
            }
            if before.is_some_and(|before| before >= place) {
                return Err(Fault::new(
                    column,
                    "tape-order",
                    "this width does not lie farther along than the one before it",
                    "give the widths in order from the start end, each at a place of its own",
                ));
            }
            before = Some(place);
            let at = measured.along.map_or(Length::Mm(place), |a| a.length);
            stations.push(match measured.width {
                Width::Whole(size) => Station {
                    at,
                    left: Length::Mm(size.mm / 2.0),
                    right: Length::Mm(size.mm / 2.0),
                },
                Width::Sides(left, right) => Station {
                    at,
                    left: left.length,
                    right: right.length,
                },
            });
        }
        Ok(stations)
    }

    /// ` x3` behind complete sizes may be a thickness or a count.
    fn count_or_thickness(&self, widths: usize) -> Option<Box<Fault>> {
        let number = self.text(1);
        (widths >= 2 && self.is_times_glued()).then(|| {
            self.fault(
                "tape-x-two-readings",
                &format!("\u{201c}x{number}\u{201d} can be the thickness, or how many there are"),
                &format!("write x {number} for a thickness, or {number} alike"),
            )
        })
    }
}
