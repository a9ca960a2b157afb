//! Which lines across a board can meet a part's blank, and where on them.

use heartside_geometry::math;
use heartside_timber::blank::straight_bounds;
use heartside_timber::job::{Board, Job, Part, PartCut};

use crate::bound::{blank_area, leaves};
use crate::fit;

use super::lines::{Begins, Fill, Lines};
use super::wood::{Block, HAIR, Sums, View, Wood};

/// Columns that a board is seen in, along and across it.
const COLUMNS: [usize; 2] = [128, 64];
/// Units that a line has at most, across the board and along it.
const UNITS: [f64; 2] = [640.0, 1600.0];

/// What the board's flaws ask of a part lying one way up: cells that its blank keeps out of, and its
/// finished form.
struct Cells {
    asks: Vec<fit::Asks>,
    of_blank: Sums,
    of_finished: Sums,
}

/// The lines of a board in one view while they are made, part by part.
pub(super) struct Reach {
    view: View,
    wood: Wood,
    kerf: f64,
    units: usize,
    known: Vec<Cells>,
    fills: Vec<Fill>,
    columns: Vec<Begins>,
    /// The place in the group of the part that is next.
    next: usize,
}

impl Reach {
    /// Nothing lies across the lines yet. `least` is the narrowest blank that one could meet.
    pub(super) fn new(job: &Job, board: &Board, view: View, (kerf, least): (f64, f64)) -> Reach {
        let turned = usize::from(view.crosswise);
        let wood = Wood::new(job, board, view, COLUMNS[turned], UNITS[turned]);
        // Nothing is cut between a line's end and the board's: one kerf more makes room for as many
        // kerfs as blanks. Each blank may be a hair nearer to the next than it should.
        let blanks = (wood.bounds.height() / least).ceil();
        let room = wood.bounds.height() + kerf + 2.0 * HAIR * blanks;
        let units = (room / wood.high).floor() as usize;
        Reach {
            view,
            kerf,
            units,
            known: Vec::new(),
            fills: Vec::new(),
            columns: vec![Vec::new(); wood.columns],
            wood,
            next: 0,
        }
    }

    /// Takes the group's next part in; the lines when all are.
    pub(super) fn step(
        &mut self,
        job: &Job,
        board: &Board,
        parts: &[usize],
        takes: &[bool],
    ) -> Option<Lines> {
        while let Some(part) = parts.get(self.next) {
            let takes = takes[self.next];
            if takes {
                self.take(job, board, &job.parts[*part]);
            }
            self.next += 1;
            if takes {
                return None;
            }
        }
        let fills = std::mem::take(&mut self.fills);
        let columns = std::mem::take(&mut self.columns);
        Some(Lines::new(self.units, fills, self.wood.wide, columns))
    }

    fn take(&mut self, job: &Job, board: &Board, part: &Part) {
        let (words, leaves) = (self.units / 64 + 1, leaves(job, part));
        if part.cut == PartCut::Sawn {
            // It lies at any turn, and two share a rectangle where they like: by its area.
            self.fills.push(Fill {
                part: self.next,
                units: 1,
                copies_a_mm: leaves * self.wood.high / blank_area(part).max(f64::MIN_POSITIVE),
            });
            self.columns
                .iter_mut()
                .for_each(|c| c.push(vec![u64::MAX; words]));
            return;
        }
        for quarter in [0.0, 90.0] {
            let ways = ways_up(job, board, part, self.view.angle + quarter);
            let lying = Lying::of(part, (quarter == 0.0) != self.view.crosswise);
            let mut met = vec![vec![0u64; words]; self.wood.columns];
            for turned_over in ways {
                let asks = board.zones.iter().map(|zone| match leaves > 1.0 {
                    // What shows on one leaf may not reach into the next.
                    true => fit::Asks::default(),
                    false => fit::zone_asks(board, zone, part, turned_over),
                });
                let cells = self.cells(board, asks.collect());
                lying.meet(&self.wood, &self.known[cells], &mut met);
            }
            if met.iter().flatten().all(|m| *m == 0) {
                continue;
            }
            self.fills.push(Fill {
                part: self.next,
                units: (((lying.size.1 + self.kerf) / self.wood.high).floor() as usize).max(1),
                copies_a_mm: leaves / lying.size.0,
            });
            // By all the hairs together a blank may come to lie a unit farther on.
            met.iter_mut().for_each(|column| move_on(column));
            self.columns
                .iter_mut()
                .zip(met)
                .for_each(|(c, met)| c.push(met));
        }
    }

    /// The place of the cells for these asks, made where they are not known.
    fn cells(&mut self, board: &Board, asks: Vec<fit::Asks>) -> usize {
        if let Some(known) = self.known.iter().position(|k| k.asks == asks) {
            return known;
        }
        let (mut of_blank, mut of_finished) = (self.wood.clone(), self.wood.clone());
        for (zone, asks) in board.zones.iter().zip(&asks) {
            let clear = |margin| Block::all_of(&zone.shape, margin, self.view);
            if asks.or_around {
                continue;
            }
            if asks.blank_clear {
                of_blank.block(&clear(zone.margin));
            } else if asks.blank_outside {
                of_blank.block(&clear(0.0));
            }
            if asks.finished_clear {
                of_finished.block(&clear(zone.margin));
            }
        }
        self.known.push(Cells {
            asks,
            of_blank: of_blank.sums(),
            of_finished: of_finished.sums(),
        });
        self.known.len() - 1
    }
}

/// Sets, beside every bit that is set, the next one.
fn move_on(bits: &mut [u64]) {
    let mut carried = 0;
    for word in bits {
        let over = *word >> 63;
        *word |= *word << 1 | carried;
        carried = over;
    }
}

/// Which ways up the part may lie at this turn or half a circle on; none where it may not.
fn ways_up(job: &Job, board: &Board, part: &Part, turn: f64) -> Vec<bool> {
    let turns = [0.0, 180.0].map(|half| math::normalise_deg(turn + half));
    let may = |over: bool| {
        let at = |t: &f64| {
            fit::grain_allows(board, part, *t) && fit::thick_enough(job, board, part, *t, over)
        };
        turns.iter().any(at)
    };
    let ways = [(false, may(false)), (true, part.may_turn_over && may(true))];
    ways.into_iter()
        .filter(|(_, may)| *may)
        .map(|(over, _)| over)
        .collect()
}

/// A blank as it lies in a view.
struct Lying {
    /// Through columns, and along a line.
    size: (f64, f64),
    /// How far within it the finished form lies; none where that is no rectangle.
    inset: Option<(f64, f64)>,
}

impl Lying {
    fn of(part: &Part, upright: bool) -> Lying {
        let (blank, finished) = (straight_bounds(part), part.outline.bounds());
        let turn = |l: f64, w: f64| if upright { (l, w) } else { (w, l) };
        let is_plain = part.outline.area() >= finished.area() * (1.0 - 1e-9);
        Lying {
            size: turn(blank.width(), blank.height()),
            inset: is_plain.then(|| turn(part.allowances.end, part.allowances.edge)),
        }
    }

    /// Marks, column by column, the units from which a blank may begin that the column's lines meet.
    fn meet(&self, wood: &Wood, cells: &Cells, met: &mut [Vec<u64>]) {
        let (across, up) = (self.size.0 - HAIR, self.size.1 - HAIR);
        let last = |room: f64, size: f64, unit: f64| ((room - size) / unit).floor();
        let columns = last(wood.bounds.width(), across, wood.wide);
        let rows = last(wood.bounds.height(), up, wood.high);
        if columns < 0.0 || rows < 0.0 {
            return;
        }
        // It begins somewhere within a cell; these cells it covers wherever that is.
        let covered = |first: usize, unit: f64, inset: f64, size: f64, all: usize| {
            let from = (first as f64 + 1.0 + inset / unit).ceil() as usize;
            let to = (first as f64 + (size - inset) / unit).floor() as usize;
            (from.min(all), to.min(all))
        };
        let spans = (across / wood.wide).floor() as usize + 2;
        let inset = self.inset;
        let whole: Vec<_> = (0..wood.columns)
            .map(|c| covered(c, wood.wide, 0.0, across, wood.columns))
            .collect();
        let within: Vec<_> = (0..wood.columns)
            .map(|c| {
                covered(
                    c,
                    wood.wide,
                    inset.map_or(0.0, |i| i.0),
                    across,
                    wood.columns,
                )
            })
            .collect();
        for row in 0..=(rows as usize).min(wood.rows - 1) {
            let high = covered(row, wood.high, 0.0, up, wood.rows);
            let finished = inset.map(|i| covered(row, wood.high, i.1, up, wood.rows));
            let mut until = 0;
            for column in 0..wood.columns {
                let fits = column as f64 <= columns
                    && cells.of_blank.is_open(whole[column], high)
                    && finished.is_none_or(|up| cells.of_finished.is_open(within[column], up));
                if fits {
                    until = column + spans;
                }
                if column < until {
                    met[column][row / 64] |= 1 << (row % 64);
                }
            }
        }
    }
}
