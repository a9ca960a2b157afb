//! The ways in which a part may lie on a board.

use std::sync::Arc;

use heartside_geometry::{Transform, math};
use heartside_timber::job::{Board, Job, Part, PartCut, Warp};

use super::Ground;
use super::obstacles::ZonePieces;
use crate::cuts::fits::{Class, Fit, listed_turn};
use crate::fit;

impl Ground {
    /// The ways in which each part that is wanted may lie; the others have none.
    pub(super) fn add_fits(
        &mut self,
        job: &Job,
        (outside, zones, to_frame): (usize, &[ZonePieces], &Transform),
        wanted: &dyn Fn(usize) -> bool,
    ) {
        let board = &job.boards[self.board];
        // Parts that ask the same of a board lie the same ways on it, each with its own size.
        let is_by_size = matches!(board.warp, Warp::Measured { .. });
        let mut known: Vec<(&Part, Vec<Lie>)> = Vec::new();
        let none: Arc<[Fit]> = Arc::new([]);
        for (index, part) in job.parts.iter().enumerate() {
            if !wanted(index) {
                self.fits.push(Arc::clone(&none));
                continue;
            }
            let place = known
                .iter()
                .position(|(other, _)| !is_by_size && asks_alike(other, part));
            let place = match place {
                Some(place) => place,
                None => {
                    let lies = self.lies_of(job, board, part, outside, zones, to_frame);
                    if is_by_size {
                        known.clear();
                    }
                    known.push((part, lies));
                    known.len() - 1
                }
            };
            let lies: Vec<(u32, Fit)> = (known[place].1.iter())
                .map(|lie| (lie.quarter, self.fit_of(part, lie)))
                .collect();
            let mut fits: Vec<Fit> = Vec::new();
            for (_, fit) in &lies {
                if !fits.iter().any(|f| f.same_room(fit, self.noise)) {
                    fits.push(*fit);
                }
            }
            self.fits.push(match fits.is_empty() {
                true => Arc::clone(&none),
                false => fits.into(),
            });
            if part.cut == PartCut::Sawn {
                self.sawn_lies.push((index, lies));
            }
        }
    }

    /// A part's blank lying one way.
    fn fit_of(&self, part: &Part, lie: &Lie) -> Fit {
        let relative = 90.0 * f64::from(lie.quarter);
        self.fit(part, relative, lie.turn, lie.turned_over, lie.class)
    }

    /// Every way a part may lie, by quarters of a turn against the frame.
    fn lies_of(
        &mut self,
        job: &Job,
        board: &Board,
        part: &Part,
        outside: usize,
        zones: &[ZonePieces],
        to_frame: &Transform,
    ) -> Vec<Lie> {
        let mut lies = Vec::new();
        if !board.is_usable()
            || !fit::species_fits(board, part)
            || !fit::can_be_sawn(job, board, part)
        {
            return lies;
        }
        let over_choices: &[bool] = if fit::turning_over_matters(board, part) {
            &[false, true]
        } else {
            &[false]
        };
        for quarter in 0..4u32 {
            for turned_over in over_choices {
                let relative = 90.0 * f64::from(quarter);
                let Some(turn) =
                    listed_turn(part, math::normalise_deg(self.frame.angle + relative))
                else {
                    continue;
                };
                if !fit::grain_allows(board, part, turn)
                    || !fit::thick_enough(job, board, part, turn, *turned_over)
                {
                    continue;
                }
                let mut class = Class {
                    blank: (0..outside).collect(),
                    ..Class::default()
                };
                for (zone, pieces) in board.zones.iter().zip(zones) {
                    let asks = fit::zone_asks(board, zone, part, *turned_over);
                    let margin = match part.cut {
                        PartCut::Straight => &pieces.beside_cut,
                        PartCut::Sawn => &pieces.beside_line,
                    };
                    if asks.or_around {
                        class.around.extend(match part.cut {
                            PartCut::Straight => pieces.margin.clone(),
                            PartCut::Sawn => margin.clone(),
                        });
                    } else if asks.blank_clear {
                        class.blank.extend(margin.clone());
                    }
                    if asks.blank_outside {
                        class.blank.extend(pieces.bare.clone());
                    }
                    if asks.finished_clear {
                        class.finished.extend(pieces.margin.clone());
                    }
                }
                if let Some(tolerance) =
                    fit::grain_tolerance(part).filter(|_| board.grain.is_bent())
                {
                    let from = self.pieces.len();
                    let axis = fit::grain_axis(part, turn);
                    self.add_wild_grain(board, axis, tolerance, to_frame);
                    class.blank.extend(from..self.pieces.len());
                }
                lies.push(Lie {
                    quarter,
                    turn,
                    turned_over: *turned_over,
                    class: self.class_like(class),
                });
            }
        }
        lies
    }

    pub(crate) fn fit(
        &self,
        part: &Part,
        relative: f64,
        turn: f64,
        turned_over: bool,
        class: usize,
    ) -> Fit {
        let bounds = fit::turned_blank(part, relative, turned_over);
        let inset = match part.cut {
            PartCut::Sawn => (part.allowances.sawn, part.allowances.sawn),
            PartCut::Straight if relative.rem_euclid(180.0) == 0.0 => {
                (part.allowances.end, part.allowances.edge)
            }
            PartCut::Straight => (part.allowances.edge, part.allowances.end),
        };
        Fit {
            width: bounds.width(),
            height: bounds.height(),
            inset,
            turn,
            turned_over,
            class,
            origin: (-bounds.min.x, -bounds.min.y),
        }
    }
}

/// A way to lie that a board allows, whatever the size of the blank.
#[derive(Debug, Clone, Copy)]
struct Lie {
    /// Quarters of a turn against the frame.
    quarter: u32,
    /// Turn of the placement, in the board.
    turn: f64,
    turned_over: bool,
    /// The obstacles.
    class: usize,
}

/// True where two parts ask the same of a board, their sizes apart.
fn asks_alike(one: &Part, other: &Part) -> bool {
    one.cut == other.cut
        && one.thickness == other.thickness
        && one.faces == other.faces
        && one.may_turn_over == other.may_turn_over
        && one.fixing_ok == other.fixing_ok
        && one.allowances == other.allowances
        && one.grain == other.grain
        && one.species == other.species
}
