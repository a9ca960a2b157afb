//! A photograph straightened by marks: the view, and how far it may be off.

use heartside_geometry::{Bounds, Point, math};

use crate::fit::{Fit, Model};
use crate::suspect::{Lens, Suspect, misfit, misfit_of, suspect};
use crate::{CheckLength, Mark, Remark, Spot, View, marks};

/// Marks may be off by twice what half a pixel explains before they are said to disagree: clicks are off
/// by a pixel now and then, and the told error grows with it anyhow.
const DISAGREE: f64 = 2.0;

/// The told error is worked out as if everything were straight near the place; this much is added. Less
/// lets a few photographs in a thousand come out farther off than told.
const BENT: f64 = 1.05;

/// The least share of the board's length that marks should span; beyond them errors grow with the square.
const LEAST_SPAN: f64 = 0.6;

/// The tilt in degrees that nobody sees in a photograph taken square on. Two marks cannot tell it either, so
/// it counts in the told error: over 2 m it is centimetres.
const UNSEEN_TILT: f64 = 3.0;

/// The focal length as a share of the picture's long side, for a wide lens: most are longer and bring
/// less error.
const SHORT_LENS: f64 = 0.65;

/// What is known about a photograph.
#[derive(Debug, Clone, Copy)]
pub struct Given<'a> {
    /// Two marks for a photograph taken square on, four or more for any; three are two and one to spare.
    pub marks: &'a [Mark],
    /// Lengths to check them by.
    pub checks: &'a [CheckLength],
    /// What the board takes up, in millimetres of its own frame.
    pub board: Bounds,
    /// Pixels in a row of the picture, and rows.
    pub size: [u32; 2],
}

/// A view and how far it may be off.
#[derive(Debug, Clone)]
pub struct Straightened {
    /// Where the places of the board are seen.
    pub view: View,
    /// How far the corners of the board may be off, in millimetres: the worse one at the end of the least x,
    /// and at the other end.
    pub ends: [f64; 2],
    /// How far marks and check lengths that are to spare are off at most, in millimetres; none where nothing
    /// is to spare.
    pub misfit: Option<f64>,
    /// What the maker should know; nothing of it is in the way.
    pub remarks: Vec<Remark>,
    fit: Fit,
    /// By how much more than half a pixel marks must be off to explain their misfit; 1 at least.
    factor: f64,
    /// Of a view by two or three marks.
    slant: Option<Slant>,
    /// A lens that bends, where marks to spare point to one.
    lens: Option<Lens>,
    /// How far the worst check length is off, in millimetres.
    lengths_off: f64,
}

impl Straightened {
    /// How far a place may be off, in millimetres: half a pixel at each mark in the worst way, or
    /// as much more as marks and check lengths to spare show, and at least their misfit. Of a
    /// photograph said to be square on, three degrees of tilt besides. Without bound at the horizon. O(n)
    /// for n marks.
    pub fn error_at(&self, place: Point) -> f64 {
        let carried = BENT * self.factor * self.fit.carried(place);
        let slant = self.slant.map_or(0.0, |slant| slant.at(place));
        // Where a lens may explain the misfit, it moves places beyond the marks more than those between.
        let lens = self
            .lens
            .as_ref()
            .map_or(Some(0.0), |lens| lens.moves(&self.view, place));
        let told = carried + slant + self.lengths_off + lens.unwrap_or(f64::INFINITY);
        told.max(self.misfit.unwrap_or(0.0))
    }
}

/// The view that fits the marks best, and how far it may be off.
///
/// Two or three marks: turned, scaled and moved. Four or more: a homography (normalised linear
/// transformation, then least squares of the distances in the picture).
///
/// # Errors
/// Everything that is in the way, at once; see [`Remark`].
pub fn straighten(given: &Given) -> Result<Straightened, Vec<Remark>> {
    let Given {
        marks,
        checks,
        board,
        size,
    } = *given;
    let mut remarks = marks::unusable(marks);
    remarks.extend(unusable_checks(checks));
    let numbers = [board.min.x, board.min.y, board.max.x, board.max.y];
    let has_size = board.width() > 0.0 && board.height() > 0.0 && size.iter().all(|&s| s > 0);
    if !has_size || numbers.iter().any(|n| n.abs() >= marks::BEYOND) {
        remarks.push(Remark::NoSize);
    }
    if !remarks.is_empty() {
        return Err(remarks);
    }
    let model = if marks.len() < 4 {
        Model::SquareOn
    } else {
        Model::Any
    };
    if let Some(remark) = marks::out_of_order(marks, |rest| misfit_of(model, rest)) {
        return Err(vec![remark]);
    }
    if model == Model::Any && marks::are_in_line(marks) {
        return Err(vec![Remark::InOneLine]);
    }
    let fit = Fit::of(model, marks).ok_or_else(|| vec![Remark::BeyondHorizon])?;
    if board.corners().iter().any(|&c| !fit.carried(c).is_finite()) {
        return Err(vec![Remark::BeyondHorizon]);
    }
    let is_seen = |spot: Spot| fit.view.place_of(spot).is_some();
    if !marks.iter().all(|m| is_seen(m.seen)) {
        return Err(vec![Remark::BeyondHorizon]);
    }
    let mut numbers = 0..checks.len();
    if let Some(check) = numbers.find(|&k| !(is_seen(checks[k].from) && is_seen(checks[k].to))) {
        return Err(vec![Remark::NoLength { check }]);
    }
    let mut found = Straightened {
        view: fit.view,
        ends: [0.0; 2],
        misfit: None,
        remarks: Vec::new(),
        fit,
        factor: 1.0,
        slant: (model == Model::SquareOn).then(|| Slant::of(marks, size)),
        lens: None,
        lengths_off: 0.0,
    };
    found.remarks.extend(marks::close_together(marks));
    found.remarks.extend(spanned_too_little(marks, board));
    found.weigh_marks(model, marks, size);
    found.weigh_checks(checks);
    let ends = [board.min.x, board.max.x];
    found.ends = ends.map(|x| {
        let corners = [board.min.y, board.max.y].map(|y| found.error_at(Point::new(x, y)));
        corners[0].max(corners[1])
    });
    for (end, x) in ends.into_iter().enumerate() {
        let corners = [board.min.y, board.max.y].map(|y| Point::new(x, y));
        let is_shown = |&corner: &Point| {
            found
                .view
                .spot_of(corner)
                .is_some_and(|s| is_within(s, size))
        };
        if !corners.iter().all(is_shown) {
            found.remarks.push(Remark::NotInPicture { end });
        }
    }
    Ok(found)
}

impl Straightened {
    /// What marks to spare say.
    fn weigh_marks(&mut self, model: Model, marks: &[Mark], size: [u32; 2]) {
        if 2 * marks.len() <= model.unknowns() {
            return;
        }
        let beside = |mark: &Mark| {
            let place = self.view.place_of(mark.seen);
            place.map_or(f64::INFINITY, |p| p.distance(mark.place))
        };
        let farthest = marks.iter().map(beside).fold(0.0, f64::max);
        self.misfit = Some(farthest);
        let by = misfit(&self.fit, marks).unwrap_or(1.0);
        // With two numbers to spare a lens or a deviation is mostly chance, unless half a pixel does not
        // explain what is left.
        if by <= 1.0 && 2 * marks.len() < model.unknowns() + 4 {
            return;
        }
        self.factor = by.max(self.fit.spread(marks)).max(1.0);
        let lens = Lens::of(model, marks, size);
        let with_lens = lens.as_ref().map_or(f64::INFINITY, |l| l.misfit);
        self.lens = lens.filter(|l| 1.3 * l.misfit < by);
        if by <= DISAGREE {
            return;
        }
        let misfit = farthest;
        self.remarks.push(match suspect(model, marks, with_lens) {
            Suspect::Mark(mark) => Remark::Disagree {
                mark: Some(mark),
                misfit,
            },
            Suspect::Lens => Remark::LensBends { misfit },
            Suspect::Unknown => Remark::Disagree { mark: None, misfit },
        });
    }

    /// What check lengths say.
    fn weigh_checks(&mut self, checks: &[CheckLength]) {
        // The marks' own factor, so that the order of check lengths does not matter.
        let (before, mut by) = (self.factor, 1.0_f64);
        for (check, length) in checks.iter().enumerate() {
            let ends = [length.from, length.to].map(|spot| self.view.place_of(spot));
            let found = match ends {
                [Some(a), Some(b)] => a.distance(b),
                _ => f64::INFINITY,
            };
            let off = (found - length.length).abs();
            self.misfit = Some(self.misfit.unwrap_or(0.0).max(off));
            self.lengths_off = self.lengths_off.max(off);
            let explained: f64 = ends
                .iter()
                .flatten()
                .map(|&place| self.clicked(place))
                .sum();
            by = by.max(off / explained);
            if off > DISAGREE * before * explained {
                let given = length.length;
                self.remarks.push(Remark::LengthOff {
                    check,
                    given,
                    found,
                });
            }
        }
        self.factor = self.factor.max(by);
    }

    /// How far a place that was clicked may be off: half a pixel of its own, and of every mark.
    fn clicked(&self, place: Point) -> f64 {
        let own = self.view.change_at(place).map(|[along, across]| {
            // At most the diagonal of half a pixel times the norm of the inverse.
            let squares = along.length_squared() + across.length_squared();
            (0.5 * squares).sqrt() / along.cross(across).abs()
        });
        own.unwrap_or(f64::INFINITY) + self.fit.carried(place)
    }
}

/// What two marks cannot tell: that the camera did not look quite square at the board.
#[derive(Debug, Clone, Copy)]
struct Slant {
    marks: [Point; 2],
    /// The sine of the tilt, over the distance of the camera in millimetres.
    by: f64,
    /// The share by which what is tilted looks shorter.
    shorter: f64,
}

impl Slant {
    fn of(marks: &[Mark], size: [u32; 2]) -> Slant {
        let [a, b] = [marks[0], marks[1]];
        let scale = a.seen.distance(b.seen) / a.place.distance(b.place);
        let longest = f64::from(size[0].max(size[1]));
        let tilt = math::to_radians(UNSEEN_TILT);
        Slant {
            marks: [a.place, b.place],
            by: math::sin(tilt) * scale / (SHORT_LENS * longest),
            shorter: 1.0 - math::cos(tilt),
        }
    }

    /// By how much it moves a place at most, in millimetres.
    ///
    /// A tilt sends p to p - p (n p) to the first order, n being the sine of the tilt over the distance along
    /// the direction of the tilt. Less what turning, scaling and moving make good so that both marks
    /// stay, with p complex, that is half of n times (p - a)(p - b), and half of n times the same with the
    /// distance from the line through the marks squared besides.
    fn at(&self, place: Point) -> f64 {
        let [a, b] = self.marks;
        let (from_a, from_b) = (place.distance(a), place.distance(b));
        let beside = (b - a).cross(place - a) / a.distance(b);
        self.by * (from_a * from_b + beside * beside) + self.shorter * from_a.max(from_b)
    }
}

fn unusable_checks(checks: &[CheckLength]) -> impl Iterator<Item = Remark> {
    let is_usable = |c: &CheckLength| {
        let numbers = [c.from.x, c.from.y, c.to.x, c.to.y, c.length];
        numbers.iter().all(|n| n.abs() < marks::BEYOND)
            && c.length > 0.0
            && c.from.distance(c.to) >= 1.0
    };
    let numbers = 0..checks.len();
    numbers
        .filter(move |&k| !is_usable(&checks[k]))
        .map(|check| Remark::NoLength { check })
}

fn spanned_too_little(marks: &[Mark], board: Bounds) -> Option<Remark> {
    let span = Bounds::of_points(marks.iter().map(|m| m.place))?;
    let share = span.width() / board.width();
    (share < LEAST_SPAN).then_some(Remark::SpanTooSmall { share })
}

fn is_within(spot: Spot, size: [u32; 2]) -> bool {
    let [columns, rows] = size.map(f64::from);
    (0.0..=columns).contains(&spot.x) && (0.0..=rows).contains(&spot.y)
}
